"""What lots, readings, stocktakes, notes, photos and the bench's clocks do to the state."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import UNSET, UnsetType

from pourwright.ledger.documents import (
    LastReading,
    LotDoc,
    NoteDoc,
    PhotoDoc,
    PieceDoc,
    ReadingDoc,
    Seen,
    StepDoc,
    StocktakeDoc,
    ThermometerDoc,
    as_quantity,
    quantity_or_none,
)
from pourwright.ledger.entry import STUDIO, Body, Entry
from pourwright.ledger.observations import FAILED, WALL, load_named
from pourwright.ledger.said import called, many, seen_said, with_unit
from pourwright.ledger.thermometer import minutes_after_contact
from pourwright.ledger.things import Things


def lot_mixed(things: Things, entry: Entry) -> str:
    """Take in ``lot-mixed``: a lot is mixed or opened."""
    body, label = entry.body, entry.body["made"][0]
    lot = LotDoc(
        edition=STUDIO,
        what=body["what"],
        name=body.get("name", ""),
        at=entry.at,
        mass=quantity_or_none(body.get("mass")),
        water=quantity_or_none(body.get("water")),
    )
    things.put(label, lot)
    return f"{label}: {lot.what}{', ' + lot.name if lot.name else ''}."


def lot_read(things: Things, entry: Entry) -> str:
    """Take in ``lot-read``: a lot is read before use."""
    body = entry.body
    lot = things.get(LotDoc, body["lot"])
    assert lot is not None  # noqa: S101 - rule_what_is_named_is_known
    measures = ("liter_weight", "flow", "temperature")
    taken = {key: as_quantity(body[key]) for key in measures if key in body}
    lot.readings += 1
    lot.last = LastReading(at=entry.at, **taken)
    things.put(body["lot"], lot)
    reading = ReadingDoc(edition=STUDIO, lot=body["lot"], at=entry.at, **taken)
    things.put(entry.id, reading)
    return f"{body['lot']} read: {', '.join(map(with_unit, taken.values()))}."


def thermometer_logged(things: Things, entry: Entry) -> str:
    """Take in ``thermometer-logged``: what a thermometer in a setting part read."""
    body = entry.body
    minutes = minutes_after_contact(body["readings"], body.get("contact"))
    log = ThermometerDoc(
        edition=body["edition"],
        at=entry.at,
        degc=list(body["readings"]["degc"]),
        after_min=[f"{one:f}" for one in minutes],
        batch=body.get("batch"),
        mold=body.get("mold"),
        spare=body.get("spare"),
        lot=body.get("lot"),
        consistency=body.get("consistency"),
        contact=body.get("contact"),
        thickness=as_quantity(body["thickness"]),
        one_face=body.get("one_face"),
        mix_temperature=quantity_or_none(body.get("mix_temperature")),
        room_temperature=quantity_or_none(body.get("room_temperature")),
        poured=quantity_or_none(body.get("poured")),
    )
    things.put(entry.id, log)
    where = log.batch or log.mold or log.spare
    return f"Thermometer in {where}: {many(len(minutes), 'reading')}."


def stock_counted(things: Things, entry: Entry) -> str:
    """Take in ``stock-counted``: a stocktake."""
    body = entry.body
    counts, book = dict(body["counts"]), dict(body["book"])
    stocktake = StocktakeDoc(edition=body["edition"], at=entry.at, counts=counts, book=book)
    things.put(entry.id, stocktake)
    differ = sum(counts[key] != book[key] for key in counts)
    if not differ:
        return "Stocktake: all as in the book."
    return f"Stocktake: {many(differ, 'count')} other than in the book."


def note_made(things: Things, entry: Entry) -> str:
    """Take in ``note-made``: a note about anything."""
    about = entry.body.get("about")
    note = NoteDoc(edition=entry.scope, at=entry.at, about=about, text=entry.body["text"])
    things.put(entry.id, note)
    return f"Noted{f' about {about}' if about is not None else ''}."


def photo_id(scope: str, digest: str) -> str:
    """Return the id of a photo's document: its edition or the studio, and its file's SHA-256."""
    return f"{scope}/{digest}"


def photo_kept(things: Things, entry: Entry) -> str:
    """Take in ``photo-kept``: a photo is kept."""
    digest, about = entry.body["digest"], entry.body.get("about")
    key = photo_id(entry.scope, digest)
    photo = things.get(PhotoDoc, key)
    if photo is None:
        photo = PhotoDoc(edition=entry.scope, at=entry.at, about=about)
    elif about:  # one photo of two pieces
        photo.also = [*(photo.also or ()), about]
    things.put(key, photo)
    piece = things.get(PieceDoc, about) if about else None
    if about and piece is not None and piece.edition == entry.scope:
        piece.photos = [*piece.photos, digest]
        things.put(about, piece)
    return f"Photo kept{f' of {called(things, about)}' if about else ''}."


def photo_erased(things: Things, entry: Entry) -> str:
    """Take in ``photo-erased``: a photo is erased."""
    key = photo_id(entry.scope, entry.body["digest"])
    photo = things.get(PhotoDoc, key)
    assert photo is not None  # noqa: S101 - rule_photo_is_known
    photo.erased, photo.why = entry.at, entry.body.get("why")
    things.put(key, photo)
    return "Photo erased; its digest stays in the book."


def step_id(body: Body) -> str:
    """Return the id of a bench step's document, by the entry that starts or ends it."""
    return f"{body['edition']}/{body['what']}/{body['step']}"


def step_said(what: str, step: str) -> str:
    """Return that a step was started; of a batch that failed, that it did.

    Examples
    --------
    >>> step_said("M-004 cast 1", "fill"), step_said("batch 2: 1 mold", "failed: leaked")
    ('M-004 cast 1: fill started.', 'batch 2 (1 mold) failed: leaked.')
    >>> step_said("L-012", "off")
    'L-012: off.'
    >>> step_said("M-005 cast 17", "wall 4.0 mm at 15.0 min of M-004")
    'M-005 cast 17: timed by the spare of M-004, wall 4.0 mm at 15.0 min.'
    """
    if load_named(what)[0]:
        return f"{what}: {step}."
    short, _, content = what.partition(": ")
    if step.startswith(WALL):
        wall, _, cut = step.partition(" of ")
        return f"{what}: timed by {f'the spare of {cut}' if cut else 'a cut spare'}, {wall}."
    named = f"{short} ({content})" if content else short
    return f"{named} {step}." if step.startswith(FAILED) else f"{named}: {step} started."


def step_started(things: Things, entry: Entry) -> str:
    """Take in ``step-started``: somebody saw a step begin."""
    seen = Seen(id=entry.command_id, at=entry.at, by=entry.by, tap=_tap(entry))
    if "target" in entry.body:
        seen.target = as_quantity(entry.body["target"])
    if "scratched_in" in entry.body:
        seen.scratched_in = entry.body["scratched_in"]
    if "cause" in entry.body:
        seen.cause = entry.body["cause"]
    step = _seen(things, entry, seen)
    if seen.cause:
        return f"{seen_said(things, step.what)}: {step.step}, {seen.cause}."
    return step_said(step.what, step.step)


def step_ended(things: Things, entry: Entry) -> str:
    """Take in ``step-ended``: somebody saw a step end."""
    seen = Seen(id=entry.command_id, at=entry.at, by=entry.by, tap=_tap(entry), ended=True)
    step = _seen(things, entry, seen)
    return f"{step.what}: {step.step} ended."


def step_voided(things: Things, entry: Entry) -> str:
    """Take in ``step-voided``: somebody takes back what was seen of a step, known here or not yet."""
    step = _step(things, entry)
    step.undone[entry.command_id] = entry.body["undoes"]
    step.undone = dict(sorted(step.undone.items()))
    things.put(step_id(entry.body), step)
    return f"{seen_said(things, step.what)}: {step.step} is taken back."


def _tap(entry: Entry) -> int | UnsetType:
    return int(entry.body["tap"]) if "tap" in entry.body else UNSET


def _step(things: Things, entry: Entry) -> StepDoc:
    body = entry.body
    known = things.get(StepDoc, step_id(body))
    if known is not None:
        return known
    return StepDoc(
        edition=body["edition"], what=body["what"], step=body["step"], seen=[], undone={}
    )


def _seen(things: Things, entry: Entry, seen: Seen) -> StepDoc:
    """Keep what was seen with all else that was seen of the step, in an order of its own."""
    step = _step(things, entry)
    step.seen = sorted([*step.seen, seen], key=lambda one: (one.at, one.id))
    things.put(step_id(entry.body), step)
    return step


APPLY: dict[str, Callable[[Things, Entry], str]] = {
    "lot-mixed": lot_mixed,
    "lot-read": lot_read,
    "thermometer-logged": thermometer_logged,
    "stock-counted": stock_counted,
    "note-made": note_made,
    "photo-kept": photo_kept,
    "photo-erased": photo_erased,
    "step-started": step_started,
    "step-ended": step_ended,
    "step-voided": step_voided,
}
"""What each kind does."""
