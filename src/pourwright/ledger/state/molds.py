"""What entries about molds and their parts do to the state."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

from pourwright.ledger.documents import (
    EditionDoc,
    MoldDoc,
    MoldWeighing,
    PartInMold,
    SpareDoc,
    Verdict,
    as_quantity,
)
from pourwright.ledger.entry import Body, Entry, day_in
from pourwright.ledger.kinds.molds import ALL_PARTS
from pourwright.ledger.said import causes, many, names_said
from pourwright.ledger.state.edition import destroy, edition_of
from pourwright.ledger.things import Things

WEIGHINGS_KEPT = 6
"""Weighings in a mold's document; every one stays in the book."""


def mold_of(things: Things, name: str) -> MoldDoc:
    """Return a mold, which the rules have seen to be there."""
    mold = things.get(MoldDoc, name)
    assert mold is not None  # noqa: S101 - rule_what_is_named_is_known
    return mold


def spare_of(things: Things, name: str) -> SpareDoc:
    """Return a spare part, which the rules have seen to be there."""
    spare = things.get(SpareDoc, name)
    assert spare is not None  # noqa: S101 - rule_what_is_named_is_known
    return spare


def molds_cast(things: Things, entry: Entry) -> dict[str, MoldDoc]:
    """Return the molds that a ``casts-made`` or ``casts-counted`` entry casts or counts, by label."""
    body = entry.body
    names = [body["mold"]] if "casts" in body else body["molds"]
    return {name: mold_of(things, name) for name in names}


def is_complete(mold: MoldDoc) -> bool:
    """Return whether no part of a mold is broken."""
    return not any(part.broken for part in mold.parts.values())


def poured_last(things: Things, mold: MoldDoc, zone: str) -> str:
    """Return when the last part of a mold was poured, from which on it dries."""
    spares = [things.get(SpareDoc, part.spare) for part in mold.parts.values() if part.spare]
    poured = [mold.poured_at, *(spare.poured_at for spare in spares if spare is not None)]
    return max(poured, key=lambda at: (day_in(at, zone), at))


def is_called_dry(mold: MoldDoc) -> bool:
    """Return whether an entry says that a mold is dry, and no fresh part came into it since.

    That a mold was cast says nothing: some are cast too early.
    """
    return mold.dry_at is not None


def stopped_losing(things: Things, mold: MoldDoc, zone: str) -> bool:
    """Return whether the last two weighings, on two days since its last part was poured, are the same.

    They are if they agree within five parts in a thousand; common practice, no source.
    """
    if len(mold.weighings) < 2:
        return False
    before, last = mold.weighings[-2:]
    day = day_in(before.at, zone)
    if day >= day_in(last.at, zone) or before.strapped != last.strapped:
        return False
    if day < day_in(poured_last(things, mold, zone), zone):
        return False
    before_kg, last_kg = float(before.mass.value), float(last.mass.value)
    return abs(last_kg - before_kg) <= 0.005 * before_kg


def molds_poured(things: Things, entry: Entry) -> str:
    """Take in ``molds-poured``: molds are poured in a session."""
    edition, body = edition_of(things, entry), entry.body
    for name in body["made"]:
        things.put(name, _new_mold(edition, entry))
    edition.molds += len(body["made"])
    things.put(edition.edition, edition)
    lost = f", lost {causes(body['lost'])}" if body.get("lost") else ""
    made = f": {names_said(body['made'])}" if body["made"] else ""
    return f"{many(len(body['made']), 'mold')} poured{made}{lost}."


def _new_mold(edition: EditionDoc, entry: Entry) -> MoldDoc:
    part = PartInMold(lot=entry.body.get("lot"), spare=None, broken=False)
    return MoldDoc(
        edition=edition.edition,
        poured_at=entry.at,
        parts=dict.fromkeys(edition.parts, part),
    )


def part_poured(things: Things, entry: Entry) -> str:
    """Take in ``part-poured``: spare parts are poured."""
    body = entry.body
    for name in body["made"]:
        spare = SpareDoc(
            edition=body["edition"],
            part=body["part"],
            lot=body.get("lot"),
            poured_at=entry.at,
        )
        things.put(name, spare)
    return f"{many(len(body['made']), 'spare ' + body['part'])}: {names_said(body['made'])}."


def part_swapped(things: Things, entry: Entry) -> str:
    """Take in ``part-swapped``: a worn or broken part of a mold is replaced by a spare one."""
    body = entry.body
    mold, spare = mold_of(things, body["mold"]), spare_of(things, body["spare"])
    mold.parts[body["part"]] = PartInMold(lot=spare.lot, spare=body["spare"], broken=False)
    mold.dry_at, mold.wet = None, True  # a fresh part is wet
    spare.state, spare.mold = "in use", body["mold"]
    things.put(body["mold"], mold)
    things.put(body["spare"], spare)
    return f"{body['mold']}: {body['part']} swapped for {body['spare']}."


def part_broken(things: Things, entry: Entry) -> str:
    """Take in ``part-broken``: a part is broken; a mold that is broken as a whole is gone."""
    body, mold = entry.body, mold_of(things, entry.body["mold"])
    is_whole = body["part"] == ALL_PARTS
    for name in list(mold.parts) if is_whole else [body["part"]]:
        mold.parts[name] = replace(mold.parts[name], broken=True)
    if is_whole:
        destroy(mold, entry)
    things.put(body["mold"], mold)
    if is_whole:
        return f"{body['mold']} is broken, all of it."
    return f"{body['mold']} is incomplete: {body['part']} is broken."


def mold_weighed(things: Things, entry: Entry) -> str:
    """Take in ``mold-weighed``: strapped molds are weighed whole."""
    strapped = entry.body.get("strapped", True)
    told = []
    for name, typed in weighed(entry.body).items():
        mold, mass = mold_of(things, name), as_quantity(typed)
        weighing = MoldWeighing(at=entry.at, mass=mass, strapped=strapped)
        mold.weighings = [*mold.weighings, weighing][-WEIGHINGS_KEPT:]
        things.put(name, mold)
        told.append(f"{name} weighs {mass.typed}")
    return f"{', '.join(told)}."


def weighed(body: Body) -> dict[str, dict[str, str]]:
    """Return what each mold of a ``mold-weighed`` entry weighed, by label."""
    return dict(body["masses"]) if "masses" in body else {body["mold"]: body["mass"]}


def mold_dried(things: Things, entry: Entry) -> str:
    """Take in ``mold-dried``: molds are dry enough to cast."""
    for name in entry.body["molds"]:
        mold = mold_of(things, name)
        mold.dry_at, mold.wet = entry.at, False
        things.put(name, mold)
    return f"{names_said(entry.body['molds'])} dry."


def straps_tagged(things: Things, entry: Entry) -> str:
    """Take in ``straps-tagged``: a mold's strap gets its tag."""
    body, mold = entry.body, mold_of(things, entry.body["mold"])
    mold.tag = body["tag"]
    things.put(body["mold"], mold)
    return f"{body['mold']} is tagged {body['tag']}."


def mold_judged(things: Things, entry: Entry) -> str:
    """Take in ``mold-judged``: wear is judged against the reference piece."""
    word = entry.body["verdict"]
    for name in entry.body["molds"]:
        mold = mold_of(things, name)
        mold.verdict = Verdict(at=entry.at, word=word, casts=mold.casts)
        things.put(name, mold)
    return f"{names_said(entry.body['molds'])} judged: {word}."


def mold_retired(things: Things, entry: Entry) -> str:
    """Take in ``mold-retired``: molds are retired."""
    for name in entry.body["molds"]:
        mold = mold_of(things, name)
        mold.state, mold.retired_at, mold.why = "retired", entry.at, entry.body.get("why")
        things.put(name, mold)
    return f"{names_said(entry.body['molds'])} retired and kept."


def mold_destroyed(things: Things, entry: Entry) -> str:
    """Take in ``mold-destroyed``: molds or spare parts are destroyed and can never be cast again."""
    molds, spares = entry.body.get("molds", ()), entry.body.get("spares", ())
    for name in spares:
        spare = spare_of(things, name)
        destroy(spare, entry)
        things.put(name, spare)
    for name in molds:
        mold = mold_of(things, name)
        destroy(mold, entry)
        things.put(name, mold)
    return f"{names_said([*molds, *spares])} destroyed."


APPLY: dict[str, Callable[[Things, Entry], str]] = {
    "molds-poured": molds_poured,
    "part-poured": part_poured,
    "part-swapped": part_swapped,
    "part-broken": part_broken,
    "mold-weighed": mold_weighed,
    "mold-dried": mold_dried,
    "straps-tagged": straps_tagged,
    "mold-judged": mold_judged,
    "mold-retired": mold_retired,
    "mold-destroyed": mold_destroyed,
}
"""What each kind does."""
