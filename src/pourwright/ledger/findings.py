"""What is odd and never blocks: each finding yields a sentence, kept beside its entry."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from pourwright.ledger.documents import (
    FormDoc,
    LoadDoc,
    LotDoc,
    MoldDoc,
    SpareDoc,
    StepDoc,
    or_none,
    present,
)
from pourwright.ledger.entry import Entry, clock_in, day_in, day_of_entry, day_said, instant
from pourwright.ledger.observations import APART, LOST, cast_number, load_named, mold_of_cast
from pourwright.ledger.said import many, names_said, piece_said, seen_said
from pourwright.ledger.stages import stage_when_marked
from pourwright.ledger.state.casts import new_casts
from pourwright.ledger.state.edition import edition_of
from pourwright.ledger.state.loads import feet_of, seen_lost
from pourwright.ledger.state.molds import mold_of, molds_cast
from pourwright.ledger.state.record import step_id
from pourwright.ledger.things import Things

Look = Callable[[Things, Entry], Iterator[str]]
DAY = len("2027-03-01")


@dataclass(frozen=True, slots=True)
class Casts:
    """Molds that an entry really casts, looked up once for all findings about them."""

    molds: dict[str, MoldDoc]
    new: dict[str, int]
    life: int | None
    day: str
    zone: str


CastLook = Callable[[Casts], Iterator[str]]


def finding_retired_mold_is_cast(casts: Casts) -> Iterator[str]:
    """Notice that a retired mold is kept against breakage, and it was used."""
    for name, mold in casts.molds.items():
        if mold.state == "retired":
            day = day_in(present(mold.retired_at), casts.zone)
            yield f"{name} was retired on {day_said(day)} and is cast."


def finding_mold_is_cast_before_dry(casts: Casts) -> Iterator[str]:
    """Notice that a mold is cast, and no entry says that it is dry."""
    names = [name for name, mold in casts.molds.items() if mold.wet]
    if names:
        yield f"{names_said(names)} {'is' if len(names) == 1 else 'are'} cast, and no entry says dry."


def finding_mold_is_past_its_life(casts: Casts) -> Iterator[str]:
    """Notice that a mold gives more casts than it was planned to give."""
    life = casts.life
    if life is None:
        return
    for name, mold in casts.molds.items():
        if mold.casts <= life < mold.casts + casts.new[name]:
            yield f"{name} is past its planned {many(life, 'cast')}; hold a cast beside the reference piece."


def finding_cast_is_dated_before_the_mold(casts: Casts) -> Iterator[str]:
    """Notice that a cast carries an earlier date than its mold's pour."""
    for name, mold in casts.molds.items():
        poured = day_in(mold.poured_at, casts.zone)
        if casts.day < poured:
            yield f"{name} was poured on {day_said(poured)} and is cast on {day_said(casts.day)}."


def finding_count_shrank(things: Things, entry: Entry) -> Iterator[str]:
    """Notice that a mold's count is lower than what the book has already."""
    name, casts = entry.body["mold"], entry.body["casts"]
    known = mold_of(things, name).casts
    if casts < known:
        yield f"{name}: {many(casts, 'cast')} told, and the book has {known}; the book's count stays. Correct the entry that is wrong."


def finding_plaster_lots_are_mixed(things: Things, entry: Entry) -> Iterator[str]:
    """Notice that the parts of one mold are of different plaster lots."""
    body = entry.body
    mold, spare = mold_of(things, body["mold"]), things.get(SpareDoc, body["spare"])
    lot_of = {name: part.lot for name, part in mold.parts.items()}
    lot_of[body["part"]] = spare.lot if spare else None
    lots = sorted({lot for lot in lot_of.values() if lot})
    if len(lots) > 1:
        yield f"{body['mold']} has parts of {names_said(lots)}: mixed plaster wears and drinks unevenly."


def finding_lot_is_not_entered(things: Things, entry: Entry) -> Iterator[str]:
    """Notice that a lot is used that the book does not know."""
    name = entry.body.get("lot")
    if name and things.get(LotDoc, name) is None:
        yield f"{name} is used and not in the book; enter the lot."


def finding_stocktake_differs(_: Things, entry: Entry) -> Iterator[str]:
    """Notice that what was counted is not what the book says."""
    counts, book = entry.body["counts"], entry.body["book"]
    for key, counted in sorted(counts.items()):  # as a replay finds them, whatever was typed first
        if counted != book[key]:
            yield f"{key}: {counted} counted, {book[key]} in the book."


def finding_master_is_made_before_approval(things: Things, entry: Entry) -> Iterator[str]:
    """Notice that rubber is poured before the fired test casts were approved."""
    if entry.body["what"] != "master":
        return
    forms = things.of(FormDoc, entry.body["edition"])
    if not any(form.approved for _, form in forms):
        yield "A master is made, and no test casts have been approved."


def finding_rubber_did_not_cure(_: Things, entry: Entry) -> Iterator[str]:
    """Notice that a master is made although the test patch did not cure."""
    if entry.body["what"] == "master" and entry.body.get("cure_test") is False:
        yield "The test patch did not cure, and a master is made."


def finding_marked_at_another_stage(things: Things, entry: Entry) -> Iterator[str]:
    """Notice that a piece is marked elsewhere than the brief says."""
    edition = edition_of(things, entry)
    usual = stage_when_marked(edition)
    if entry.body["stage"] != usual:
        yield f"Marked at {entry.body['stage']}; the brief says {edition.marked}, which is {usual}."


def finding_closed_within_the_claim_days(things: Things, entry: Entry) -> Iterator[str]:
    """Notice that an edition is closed while a buyer may still claim a replacement."""
    edition = edition_of(things, entry)
    last, days = edition.last_away, edition.claim_days
    if last and days:
        ends = (date.fromisoformat(last) + timedelta(days=days)).isoformat()
        if day_of_entry(entry) <= ends:
            yield f"The last piece left on {day_said(last)} and its claim window ends on {day_said(ends)}; the edition is closed before."


def finding_devices_disagree(things: Things, entry: Entry) -> Iterator[str]:
    """Notice that another device saw a step begin minutes earlier or later; the earliest counts."""
    step = things.get(StepDoc, step_id(entry.body))
    first = step.begun if step else None
    if (
        step is None
        or first is None
        or first.by == entry.by
        or DAY in (len(first.at), len(entry.at))
    ):
        return
    cause, other = or_none(first.cause), entry.body.get("cause")
    is_near = abs(instant(first.at) - instant(entry.at)) <= APART
    if (is_near and cause == other) or step.was_ended:
        return
    seen = sorted([(first.at, first.by, cause), (entry.at, entry.by, other)])
    (at, by, it), (later, who, else_it) = [
        (clock_in(when, entry.zone), name or "nobody named", why or "it")
        for when, name, why in seen
    ]
    what, again = seen_said(things, step.what), f" {else_it}" if else_it != it else ""
    head = f"{what}, {step.step}" if cause else f"{step.step} of {what}"
    yield f"{head}: {by} wrote {it} at {at}, {who}{again} at {later}; the earlier counts."


def finding_load_was_written_down(things: Things, entry: Entry) -> Iterator[str]:
    """Notice that a piece is seen lost, or good again, whose load was written down otherwise."""
    label, piece = load_named(entry.body["what"])
    load = things.get(LoadDoc, label) if piece and entry.body["step"] == LOST else None
    if load is None or load.state == "closed" or piece not in feet_of(load):
        return
    when = day_said(day_in(present(load.opened_at), entry.zone))
    is_undo, said = "undoes" in entry.body, piece_said(things, piece)
    others = [one for one in seen_lost(things, label, load) if one not in (*load.pieces, piece)]
    is_one_more = piece not in load.pieces and sum(load.lost.values()) > len(others)
    counted = piece in load.lost_pieces or is_one_more
    if is_undo and counted:
        yield f"{label} was written down on {when} with {said} as lost; the kiln's page counts it good."
    elif not is_undo and not counted:
        yield f"{label} was written down on {when} without {said}, seen lost; the kiln's page counts it in."


def finding_mold_was_filled_twice(things: Things, entry: Entry) -> Iterator[str]:
    """Notice that a mold is filled under the name of its next cast, and nobody opened it."""
    body, number = entry.body, cast_number(entry.body["what"])
    label = mold_of_cast(body["what"])
    mold = things.get(MoldDoc, label) if body["step"] == "fill" and number > 1 else None
    if mold is None or mold.casts >= number - 1:
        return
    before = f"{body['edition']}/{label} cast {number - 1}"
    fill, opened = (things.get(StepDoc, f"{before}/{step}") for step in ("fill", "open"))
    if fill and fill.begun and not (opened and opened.begun):
        at = clock_in(fill.started, entry.zone)
        yield f"{label} was filled at {at} as cast {number - 1}, and nobody opened it: it is one cast until an opening between is told."


def finding_step_was_not_started(things: Things, entry: Entry) -> Iterator[str]:
    """Notice that a step is ended that nobody started."""
    step = things.get(StepDoc, step_id(entry.body))
    if step is None or step.begun is None:
        yield f"{entry.body['step']} of {entry.body['what']} is ended, and nobody started it."


def finding_gone_on_when_asked(_: Things, entry: Entry) -> Iterator[str]:
    """Notice what the book asked before it wrote the entry."""
    yield from entry.body.get("asked", ())


OF_CASTS: tuple[CastLook, ...] = (
    finding_retired_mold_is_cast,
    finding_mold_is_cast_before_dry,
    finding_mold_is_past_its_life,
    finding_cast_is_dated_before_the_mold,
)
"""What is looked for whenever molds are cast."""

FINDINGS: dict[str, tuple[Look, ...]] = {
    "casts-made": (finding_lot_is_not_entered,),
    "casts-counted": (finding_lot_is_not_entered, finding_count_shrank),
    "part-swapped": (finding_plaster_lots_are_mixed,),
    "molds-poured": (finding_lot_is_not_entered,),
    "part-poured": (finding_lot_is_not_entered,),
    "step-started": (
        finding_devices_disagree,
        finding_mold_was_filled_twice,
        finding_load_was_written_down,
    ),
    "step-ended": (finding_step_was_not_started,),
    "step-voided": (finding_load_was_written_down,),
    "ware-lost": (finding_lot_is_not_entered,),
    "ware-glazed": (finding_lot_is_not_entered,),
    "form-made": (
        finding_master_is_made_before_approval,
        finding_rubber_did_not_cure,
        finding_lot_is_not_entered,
    ),
    "stock-counted": (finding_stocktake_differs,),
    "piece-marked": (finding_marked_at_another_stage,),
    "edition-closed": (finding_closed_within_the_claim_days,),
}
"""What else is looked for, by kind."""

OF_ALL: tuple[Look, ...] = (finding_gone_on_when_asked,)
"""What is looked for in every entry."""


def findings_about(things: Things, entry: Entry) -> list[tuple[str, str]]:
    """Return what is odd about an entry, by the state before it: each finding's name and sentence."""
    found: list[tuple[str, str]] = []
    if entry.kind in ("casts-made", "casts-counted"):
        casts = _casts(things, entry)
        for look_at in OF_CASTS:
            found += [(look_at.__name__, said) for said in look_at(casts)]
    for look in (*FINDINGS.get(entry.kind, ()), *OF_ALL):
        found += [(look.__name__, said) for said in look(things, entry)]
    return found


def _casts(things: Things, entry: Entry) -> Casts:
    molds = molds_cast(things, entry)
    new = new_casts(molds, entry.body)
    really = {name: mold for name, mold in molds.items() if new[name]}
    life = edition_of(things, entry).life
    return Casts(really, new, life, day_of_entry(entry), entry.zone)
