"""What entries about molds and their parts do to the state."""

from __future__ import annotations

from collections.abc import Callable

from pourwright.ledger.entry import Entry
from pourwright.ledger.said import listed, many
from pourwright.ledger.state.edition import edition_of
from pourwright.ledger.things import Doc, Things

WEIGHINGS_KEPT = 6
"""Weighings in a mold's document; every one stays in the book."""


def mold_of(things: Things, name: str) -> Doc:
    """Return a mold's document, which the rules have seen to be there.

    Parameters
    ----------
    things : Things
        The state.
    name : str
        Its label.
    """
    mold = things.get("mold", name)
    assert mold is not None  # noqa: S101 - rule_what_is_named_is_known
    return mold


def molds_cast(things: Things, entry: Entry) -> dict[str, Doc]:
    """Return the documents of the molds that an entry casts or counts, by label.

    Parameters
    ----------
    things : Things
        The state.
    entry : Entry
        A ``casts-made`` or ``casts-counted`` entry.
    """
    body = entry.body
    names = [body["mold"]] if "casts" in body else body["molds"]
    return {name: mold_of(things, name) for name in names}


def is_complete(mold: Doc) -> bool:
    """Return whether no part of a mold is broken.

    Parameters
    ----------
    mold : dict
        Its document.
    """
    return not any(part["broken"] for part in mold["parts"].values())


def molds_poured(things: Things, entry: Entry) -> str:
    """Take in ``molds-poured``: molds are poured in a session."""
    edition, body = edition_of(things, entry), entry.body
    for name in body["made"]:
        things.put("mold", name, _new_mold(edition, entry))
    edition["molds"] += len(body["made"])
    things.put("edition", body["edition"], edition)
    return f"{many(len(body['made']), 'mold')} poured: {listed(body['made'])}."


def _new_mold(edition: Doc, entry: Entry) -> Doc:
    lot = entry.body.get("lot")
    return {
        "edition": edition["edition"], "state": "in use", "poured_at": entry.at,
        "parts": {name: {"lot": lot, "from": None, "broken": False} for name in edition["parts"]},
        "casts": 0, "thrown": 0, "lost": 0, "dry_at": None, "wet": True, "weighings": [], "tag": None,
        "verdict": None, "first_cast": None, "last_cast": None, "kept": None,
    }  # fmt: skip


def part_poured(things: Things, entry: Entry) -> str:
    """Take in ``part-poured``: spare parts are poured."""
    body = entry.body
    for name in body["made"]:
        doc: Doc = {
            "edition": body["edition"], "part": body["part"], "lot": body.get("lot"),
            "state": "spare", "poured_at": entry.at, "mold": None, "kept": None,
        }  # fmt: skip
        things.put("part", name, doc)
    return f"{many(len(body['made']), 'spare ' + body['part'])}: {listed(body['made'])}."


def part_swapped(things: Things, entry: Entry) -> str:
    """Take in ``part-swapped``: a worn or broken part of a mold is replaced by a spare one."""
    body = entry.body
    mold, spare = mold_of(things, body["mold"]), things.get("part", body["spare"])
    assert spare is not None  # noqa: S101 - rule_what_is_named_is_known
    mold["parts"][body["part"]] = {"lot": spare["lot"], "from": body["spare"], "broken": False}
    mold |= {"dry_at": None, "wet": True}  # a fresh part is wet
    spare |= {"state": "in use", "mold": body["mold"]}
    things.put("mold", body["mold"], mold)
    things.put("part", body["spare"], spare)
    return f"{body['mold']}: {body['part']} swapped for {body['spare']}."


def part_broken(things: Things, entry: Entry) -> str:
    """Take in ``part-broken``: a part is broken."""
    body, mold = entry.body, mold_of(things, entry.body["mold"])
    mold["parts"][body["part"]]["broken"] = True
    things.put("mold", body["mold"], mold)
    return f"{body['mold']} is incomplete: {body['part']} is broken."


def mold_weighed(things: Things, entry: Entry) -> str:
    """Take in ``mold-weighed``: a strapped mold is weighed whole."""
    body, mold = entry.body, mold_of(things, entry.body["mold"])
    weighing = {"at": entry.at, "mass": body["mass"], "strapped": body.get("strapped", True)}
    mold["weighings"] = [*mold["weighings"], weighing][-WEIGHINGS_KEPT:]
    things.put("mold", body["mold"], mold)
    return f"{body['mold']} weighs {body['mass']['typed']}."


def mold_dried(things: Things, entry: Entry) -> str:
    """Take in ``mold-dried``: molds are dry enough to cast."""
    return _set(things, entry, {"dry_at": entry.at, "wet": False}, "dry")


def straps_tagged(things: Things, entry: Entry) -> str:
    """Take in ``straps-tagged``: a mold's strap gets its tag."""
    body, mold = entry.body, mold_of(things, entry.body["mold"])
    mold["tag"] = body["tag"]
    things.put("mold", body["mold"], mold)
    return f"{body['mold']} is tagged {body['tag']}."


def mold_judged(things: Things, entry: Entry) -> str:
    """Take in ``mold-judged``: wear is judged against the reference piece."""
    for name in entry.body["molds"]:
        mold = mold_of(things, name)
        mold["verdict"] = {"at": entry.at, "is": entry.body["verdict"], "casts": mold["casts"]}
        things.put("mold", name, mold)
    return f"{listed(entry.body['molds'])} judged: {entry.body['verdict']}."


def mold_retired(things: Things, entry: Entry) -> str:
    """Take in ``mold-retired``: molds are retired."""
    change = {"state": "retired", "retired_at": entry.at, "why": entry.body.get("why")}
    return _set(things, entry, change, "retired and kept")


def mold_destroyed(things: Things, entry: Entry) -> str:
    """Take in ``mold-destroyed``: molds or spare parts are destroyed and can never be cast again."""
    change = {"state": "destroyed", "destroyed_at": entry.at, "how": entry.body.get("how")}
    for name in entry.body.get("spares", ()):
        spare = things.get("part", name)
        assert spare is not None  # noqa: S101 - rule_what_is_named_is_known
        things.put("part", name, spare | change)
    _set(things, entry, change, "")
    return f"{listed([*entry.body.get('molds', ()), *entry.body.get('spares', ())])} destroyed."


def _set(things: Things, entry: Entry, change: Doc, said: str) -> str:
    names = entry.body.get("molds", ())
    for name in names:
        things.put("mold", name, mold_of(things, name) | change)
    return f"{listed(names)} {said}." if names else ""


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
