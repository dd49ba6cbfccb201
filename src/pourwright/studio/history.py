"""The book told: everything about one number, and the whole year of an edition as a page of text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from pourwright.ledger.documents import EditionDoc, LoadDoc, NumberDoc, PieceDoc, or_none
from pourwright.ledger.entry import Entry
from pourwright.ledger.file.stored_things import stored_answer
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.replaying import CORRECTED, effective
from pourwright.ledger.said import number_name
from pourwright.plan.standing_from_book import day_of, edition_doc
from pourwright.report.saying import count, day
from pourwright.studio.answers import findings, number_written, owed, stages, yields

WIDTH = 78
NOTE_AT_MOST = 160
"""Letters of a note in a list of entries."""
_STEPS = ("step-started", "step-ended", "step-voided")
"""Entries of the bench clock are left out of a year's page: there are thousands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryTold:
    """An entry as it is told: its place, day, kind, what the book said to it, and by whom."""

    seq: int
    day: date
    kind: str
    said: str
    by: str
    late: bool


def entry_told(reading: Reading, entry: Entry, zone: str) -> EntryTold:
    """Return an entry as it is told."""
    return entries_told(reading, [entry], zone)[0]


def entries_told(reading: Reading, entries: Sequence[Entry], zone: str) -> list[EntryTold]:
    """Return entries as they are told; what the book said to all of them is read at once."""
    answers = reading.answers_of([one.command_id for one in entries])
    return [_told(one, answers.get(one.command_id), zone) for one in entries]


def _told(entry: Entry, answer: str | None, zone: str) -> EntryTold:
    said = stored_answer(answer).said if answer else entry.kind
    return EntryTold(
        seq=entry.seq,
        day=day_of(entry.at, zone),
        kind=entry.kind,
        said=_with_note(said, entry),
        by=entry.by,
        late=entry.is_late,
    )


def _with_note(said: str, entry: Entry) -> str:
    """Return what the book said; a note's own words after it, as "Noted." alone tells nothing."""
    if entry.kind != "note-made":
        return said
    words = " ".join(entry.body["text"].split())
    short = words if len(words) <= NOTE_AT_MOST else f"{words[: NOTE_AT_MOST - 1]}…"
    return f"{said.removesuffix('.')}: {short}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearer:
    """A piece that has borne a number, and what became of it.

    Parameters
    ----------
    piece : str
        Its label.
    state, stage : str
        Where it is.
    replaces, mold : str or None
        The piece that bore the number before, and the mold it came from.
    firings, loads : tuple of str
        What it went through.
    cause, evidence, declared : str or None
        Why it was lost, what shows it, and what becomes of it as surplus.
    days : mapping of str to date
        When it was marked, lost, sold, and when it left, as far as it was.
    photos : int
        How many there are of it. [-]
    """

    piece: str
    state: str
    stage: str
    replaces: str | None
    mold: str | None
    firings: tuple[str, ...]
    cause: str | None
    evidence: str | None
    declared: str | None
    days: Mapping[str, date]
    loads: tuple[str, ...]
    photos: int


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberStory:
    """Everything about one number: how it stands and why, each bearer, every entry that names one."""

    edition: str
    number: str
    status: str | None
    why: str | None
    bearers: tuple[Bearer, ...]
    entries: tuple[EntryTold, ...]


def number_story(reading: Reading, edition: str, written: str, zone: str) -> NumberStory:
    """Return everything about one number: each bearer, and every entry that names one.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    edition : str
        The edition.
    written : str
        Such as ``"7"``, ``"7/48"`` or ``"AP 2"``.
    zone : str
        The studio's time zone.

    Raises
    ------
    StudioError
        If there is no such number, or no piece has borne it.
    """
    things = reading.things
    doc = edition_doc(things, edition)
    number = number_written(things, edition, written)
    pieces = [(label, things.get(PieceDoc, label)) for label in number.bearers]
    bearers = [_bearer(reading, label, piece, zone) for label, piece in pieces if piece]
    labels = {name for one in bearers for name in (one.piece, *one.loads)}
    naming = [
        *reading.entries(edition, naming=labels),
        *reading.entries(edition, kinds=("number-settled",)),
    ]
    by_place = {e.seq: e for e in naming if _names(e, labels, number)}
    named = [entry for _, entry in sorted(by_place.items())]
    return NumberStory(
        edition=edition,
        number=number_name(doc, number.kind, number.n),
        status=number.status,
        why=or_none(number.why),
        bearers=tuple(bearers),
        entries=tuple(entries_told(reading, named, zone)),
    )


def _bearer(reading: Reading, label: str, piece: PieceDoc, zone: str) -> Bearer:
    happened = {
        "marked": piece.marked_at,
        "lost": or_none(piece.lost_at),
        "left": or_none(piece.away_at),
        "sold": piece.sold.at if piece.sold else None,
    }
    loads = reading.things.of(LoadDoc, piece.edition)
    return Bearer(
        piece=label,
        state=piece.state,
        stage=piece.stage,
        replaces=piece.replaces,
        mold=piece.mold,
        firings=tuple(piece.firings),
        cause=piece.cause,
        evidence=piece.evidence,
        declared=piece.declared,
        days={what: day_of(at, zone) for what, at in happened.items() if at},
        loads=tuple(name for name, load in loads if label in load.pieces),
        photos=len(piece.photos),
    )


def _names(entry: Entry, labels: set[str], number: NumberDoc) -> bool:
    """Return whether an entry names one of some labels, or settles the number."""
    body = entry.body
    if entry.kind == "number-settled":
        return number.n in body["numbers"] and body["kind"] == number.kind
    named: list[object] = [body.get("about"), body.get("load")]
    for key in ("made", "pieces", "lost_pieces"):
        named += list(body.get(key, ()) or ()) if not isinstance(body.get(key), int) else []
    return bool(labels & {one for one in named if isinstance(one, str)})


def number_text(story: NumberStory) -> str:
    """Return the story of a number as lines of text."""
    lines = [f"{story.number} of {story.edition}: {story.status}"]
    lines += [f"  {story.why}"] if story.why else []
    for n, one in enumerate(story.bearers, 1):
        called = "The piece" if len(story.bearers) == 1 else f"Piece {n}"
        lines += ["", f"{called}: {_where(one)}"]
        lines += [f"  {what}: {day(when)}" for what, when in one.days.items()]
        lines += [f"  lost: {one.cause or 'broken'}"] if "lost" in one.days else []
        lines += [f"  shown by: {one.evidence}"] if one.evidence else []
        lines += [f"  from {one.mold}"] if one.mold else []
        lines += [f"  loads: {', '.join(one.loads)}"] if one.loads else []
    lines += ["", "Entries", *(_entry_line(one) for one in story.entries)]
    return "\n".join(lines) + "\n"


def _where(one: Bearer) -> str:
    where = {"here": f"here, {one.stage}", "away": "has left the studio"}
    return where.get(one.state, one.state)


def _entry_line(one: EntryTold, corrected: str = "") -> str:
    late = " (late)" if one.late else ""
    return f"  {one.seq:>5}  {one.day}  {one.said}{late}{corrected}"


def year_text(reading: Reading, edition: str, zone: str) -> str:
    """Return the whole year of an edition as a page of text.

    What it came to stands first, then every entry by month: corrected ones with
    the correction, late ones marked.
    """
    doc = edition_doc(reading.things, edition)
    entries = list(reading.entries(edition))
    blocks = [_title(doc, zone), _came_to(reading, doc), _yields(reading, edition)]
    odd = findings(reading.things, edition)
    blocks.append([f"What was odd ({len(odd)})", *(f"  {one.seq:>5}  {one.said}" for one in odd)])
    blocks += _months(reading, entries, zone)
    head = reading.head()
    blocks.append([f"The book ends at entry {head.seq}, checkpoint {head.short_checkpoint}."])
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _title(doc: EditionDoc, zone: str) -> list[str]:
    state, closed = doc.state, doc.closed
    if closed is not None:
        state = f"closed at {closed.made} of {closed.of} on {day(day_of(closed.at, zone))}"
    line = f"{doc.name} ({doc.edition}): {state}"
    proofs = f" and {count(doc.proofs, 'proof')}" if doc.proofs else ""
    planned = day(day_of(doc.planned_at, zone))
    return [
        line,
        "=" * min(len(line), WIDTH),
        f"{count(doc.pieces, 'piece')}{proofs}, planned on {planned}",
    ]


def _came_to(reading: Reading, doc: EditionDoc) -> list[str]:
    debts = owed(reading.things, doc.edition)
    casts = f"{doc.cast} casts, {doc.thrown} of them thrown away as first casts, {doc.good} good"
    lines = [f"{doc.molds} molds poured, {casts}"]
    held = stages(reading.things, doc.edition).stages
    lines += [f"{one.stage}: {one.count}" for one in held if one.count]
    for name, one in (("numbers", debts.numbers), ("proofs", debts.proofs)):
        if one.of:
            lines.append(
                f"{name}: {one.living} living, {one.gone} broken after they left, "
                f"{one.settled} settled, {one.owed} owed, {one.unmarked} never marked"
            )
    return lines


def _yields(reading: Reading, edition: str) -> list[str]:
    lines = ["Yields, with nineteen in twenty"]
    for one in yields(reading.things, edition, "stage"):
        span = f"({100 * one.low:.0f} to {100 * one.high:.0f} %)"
        lines.append(f"  {one.name:<10} {one.counted:>4} of {one.of:<4} {span}")
    lost = [f"{one.counted} {one.name}" for one in yields(reading.things, edition, "cause")]
    return [*lines, f"  lost: {', '.join(lost) or 'none'}"] if len(lines) > 1 else []


def _months(reading: Reading, entries: list[Entry], zone: str) -> Iterator[list[str]]:
    """Yield the entries by the month in which they happened."""
    standing = {e.id: e for e in effective(entries)}
    by_whom = {str(e.corrects): e.seq for e in entries if e.kind == CORRECTED}
    shown = [e for e in entries if e.kind not in _STEPS]
    ordered = sorted(shown, key=lambda e: (day_of(e.at, zone), e.seq))
    for month, group in groupby(ordered, key=lambda e: day_of(e.at, zone).isoformat()[:7]):
        yield [month, *(_year_line(reading, e, standing, by_whom, zone) for e in group)]


def _year_line(
    reading: Reading, entry: Entry, standing: dict[str, Entry], by_whom: dict[str, int], zone: str
) -> str:
    mark = ""
    if entry.id in by_whom:
        what = "corrected" if entry.id in standing else "did not happen"
        mark = f" [{what}, see entry {by_whom[entry.id]}]"
    return _entry_line(entry_told(reading, entry, zone), mark)
