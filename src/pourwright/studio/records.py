"""The records: entries searched, one entry whole, and whether and how it was corrected."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from itertools import groupby
from typing import Any
from zoneinfo import ZoneInfo

from msgspec import Struct

from pourwright.errors import BadInput, NotDoable
from pourwright.ledger.answer import BookAnswer
from pourwright.ledger.corrections import corrected_lead, shipped_and_here
from pourwright.ledger.documents import EditionDoc, as_quantity
from pourwright.ledger.entry import STUDIO, Body, Entry, instant, moment_in
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.kinds.fields import BookField, Kind
from pourwright.ledger.kinds.table import BY_KIND, GROUPS
from pourwright.ledger.labels import WIDTHS, read_label
from pourwright.ledger.replaying import CORRECTED, corrected, effective
from pourwright.ledger.said import called, names_said, piece_typed, with_unit
from pourwright.ledger.things import Things
from pourwright.plan.standing_from_book import day_of
from pourwright.report.saying import day, day_in_week, range_of
from pourwright.studio.history import EntryTold, entries_told
from pourwright.studio.lines import EntryLine

AT_ONCE = 30
SIGNS_WITHIN = 5_000
"""How many entries are read for what cannot be looked up, such as a percent sign. [-]"""
BESIDE = {
    "load": "kiln",
    "unload": "kiln",
    "fire": "kiln",
    "glaze": "glaze",
    "sell": "sale",
    "note": "note",
}
"""What stands beside an entry of a verb, if it is not what its group is about."""
WORKED_OUT = {"made": "Labels given", "book": "By the book", "asked": "Asked before"}
"""What the book itself adds to an entry."""


@dataclass(frozen=True, slots=True)
class EntriesFound:
    """What a search found, and before which place the next ones begin.

    Parameters
    ----------
    days : tuple of (str, list of EntryLine)
        A page for each day on which something was written, the newest first; its lines in the
        order of writing.
    older : int or None
        The place.
    """

    days: tuple[tuple[str, list[EntryLine]], ...]
    older: int | None


def search_entries(
    reading: Reading,
    zone: str,
    *,
    words: str = "",
    edition: str = "",
    kind: str = "",
    before: int | None = None,
) -> EntriesFound:
    """Return entries that hold some words, the newest day first.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    zone : str
        The studio's time zone.
    words : str
        Each of them, or a word that begins with it, must be in the entry; one that is a label
        is looked for as such. What has neither letter nor digit is in no index, and is only
        looked for in the last `SIGNS_WITHIN` entries.
    edition, kind : str
        Only of an edition (or "studio"), or of a kind.
    before : int, optional
        The place before which to begin.
    """
    sought = [_sought(one) for one in words.split()]
    signs = [one for one in sought if not any(map(str.isalnum, one))]
    entries = reading.latest(
        AT_ONCE + 1,
        before,
        scope=edition or None,
        kinds=(kind,) if kind else None,
        words=[one for one in sought if one not in signs],
        holds=signs,
        after=max(reading.head().seq - SIGNS_WITHIN, 0) if signs else 0,
    )
    shown = entries[:AT_ONCE]
    older = shown[-1].seq if len(entries) > AT_ONCE else None
    lines = zip(shown, _rows(reading, shown, zone), strict=True)
    days = groupby(lines, lambda one: day_of(one[0].recorded, zone))
    return EntriesFound(tuple((day(when), _page(some, zone)) for when, some in days), older)


def _page(written: Iterable[tuple[Entry, EntryLine]], zone: str) -> list[EntryLine]:
    """Return the lines of a day's page in the order of writing; one of another day says which."""
    lines = []
    for entry, line in written:
        happened = day_of(entry.at, zone)
        of_day = "" if happened == day_of(entry.recorded, zone) else f"of {day(happened)}"
        note = " · ".join(one for one in (str(entry.seq), of_day, entry.by) if one)
        lines.append(replace(line, note=note, about=drawn_beside(entry.kind)))
    return lines[::-1]


def drawn_beside(kind: str) -> str:
    """Return the thing that is drawn beside entries of a kind.

    Examples
    --------
    >>> drawn_beside("load-fired"), drawn_beside("casts-made")
    ('kiln', 'Casts and ware')
    """
    found = BY_KIND.get(kind)
    if found is None:
        return ""
    return BESIDE.get(found.verb) or next(about for about, kinds in GROUPS if found in kinds)


def _sought(word: str) -> str:
    """Return a word as it is looked up: a label whole, which a space behind it says."""
    labels = (read_label(word, letter) for letter in WIDTHS if not word.isdigit())
    label = next((one for one in labels if one is not None), None)
    return f"{label} " if label else word


def _corrections(reading: Reading, entries: Sequence[Entry]) -> dict[str, Entry]:
    """Return the last correction of each entry that has one which was not taken back."""
    if not entries:
        return {}
    later = reading.corrections([one.id for one in entries])
    taken_back = _corrections(reading, later)
    return {str(word.corrects): word for word in later if word.id not in taken_back}


def _rows(reading: Reading, entries: Sequence[Entry], zone: str) -> Iterator[EntryLine]:
    """Yield a line for each entry with what it says now, as it was corrected."""
    words = _corrections(reading, entries)
    right = {key: word for key, word in words.items() if not word.body["void"]}
    now = [corrected(one, right[one.id].body) if one.id in right else one for one in entries]
    told_of = dict(zip(right, entries_told(reading, list(right.values()), zone), strict=True))
    for entry, told in zip(entries, entries_told(reading, now, zone), strict=True):
        shown = told
        if entry.id in right and entry.kind != "note-made":
            lead, said = corrected_lead(entry), told_of[entry.id].said
            shown = replace(told, said=said.removeprefix(lead) if lead in said else told.said)
        yield _row(entry, shown, words.get(entry.id))


def words_now(reading: Reading, entries: Sequence[Entry], zone: str) -> list[str]:
    """Return what each entry says now, as it was corrected."""
    return [one.words for one in _rows(reading, entries, zone)]


def _row(entry: Entry, told: EntryTold, word: Entry | None) -> EntryLine:
    title = BY_KIND[entry.kind].title if entry.kind in BY_KIND else entry.kind
    if entry.kind == "step-started" and read_label(str(entry.body["what"]).partition(",")[0], "L"):
        title = "Seen at the kiln"
    note = [f"Entry {entry.seq}", day(told.day), title, *([entry.by] if entry.by else [])]
    if word is not None:
        mark, about = ("lost", "Did not happen") if word.body["void"] else ("odd", "Corrected")
    else:
        mark, about = ("soon", "Late") if entry.is_late else ("", "")
    return EntryLine(
        words=told.said,
        note=" · ".join(note),
        to=f"/records/{entry.seq}",
        kind=mark,
        word=about,
    )


class SaleLeft(Struct, frozen=True):
    """A sale of which pieces have left since: their labels, and they and the others as they are said."""

    shipped: tuple[str, ...]
    shipped_said: str
    here_said: str


def sale_left(reading: Reading, seq: object) -> SaleLeft | None:
    """Return what has left of a sale and what has not; None if it is no sale, or not parted so."""
    text = str(seq)[:12]
    entry = reading.entry(int(text)) if text.isascii() and text.isdecimal() else None
    if entry is None:
        return None
    told = [entry, *reading.entries(entry.scope, entry.seq, (CORRECTED,))]
    shipped, here = shipped_and_here(reading.things, entry, told)
    if not (shipped and here):
        return None
    said = (names_said(piece_typed(reading.things, n) for n in some) for some in (shipped, here))
    return SaleLeft(tuple(shipped), *said)


def last_lines(reading: Reading, zone: str, count: int, edition: str | None) -> list[str]:
    """Return the newest entries as lines of text, the newest last, each with its number."""
    entries = reading.latest(count, scope=edition)
    lines = []
    for one in _rows(reading, entries, zone):
        mark = f" [{one.word}]" if one.word else ""
        lines.append(f"{one.note}: {one.words}{mark}")
    return lines[::-1]


class LastWritten(Struct, frozen=True):
    """What was written last of a thing and still counts: its place in the book, its words, when and by whom."""

    seq: int
    words: str
    note: str


OF_ONE_THING = 20
"""How many entries of a thing are looked through for one that still counts. [-]"""


LATELY = 200
"""Notes of an edition that are looked at for those about its things. [-]"""


def noted_of(reading: Reading, edition: str, now: datetime) -> dict[str, str]:
    """Return the last note about each thing of an edition, a sentence each, by its label.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    edition : str
        Whose things.
    now : datetime
        The instant, in the studio's zone: a day of another year is told with it.
    """
    zone: str = getattr(now.tzinfo, "key", "UTC")
    lately = reading.latest(LATELY, scope=edition, kinds=("note-made", CORRECTED))
    standing = effective(sorted(lately, key=lambda one: one.seq))

    def on(when: date) -> str:
        return day_in_week(when) if when.year == now.year else day(when)

    return {
        str(one.body["about"]): f"Noted {on(day_of(one.at, zone))}: {one.body['text']}"
        for one in sorted(standing, key=lambda one: (day_of(one.at, zone), one.at, one.seq))
        if one.body.get("about")
    }


def last_written(
    reading: Reading, label: str, edition: str, kinds: Collection[str], zone: str
) -> LastWritten | None:
    """Return what was written last of a thing and still counts, None if nothing does.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    label, edition : str
        The thing's, such as ``"M-007"``, and whose it is.
    kinds : collection of str
        What it may be.
    zone : str
        The studio's time zone.
    """
    entries = reading.latest(OF_ONE_THING, scope=edition, kinds=kinds, words=[f"{label} "])
    words = _corrections(reading, entries)
    standing = (
        one
        for one in entries
        if _is_about(one.body, label) and (one.id not in words or not words[one.id].body["void"])
    )
    last = next(standing, None)
    if last is None:
        return None
    (line,) = _rows(reading, [last], zone)
    molds = last.body.get("molds", ()) if last.kind == "casts-made" else ()
    of = f" In {names_said(molds)}." if len(molds) > 1 else ""  # all of them are taken back
    return LastWritten(last.seq, line.words + of, line.note)


def _is_about(body: Body, label: str) -> bool:
    """Return whether an entry is about a thing: a note may name it too."""
    told = [value for name, value in body.items() if name != "note"]
    return any(label == one or (isinstance(one, (list, dict)) and label in one) for one in told)


LATEST_LOOKED_AT = 500
SINCE_LAST = timedelta(hours=24)
"""What was written longer ago is taken back by its number only."""


def last_by(reading: Reading, prefix: str, now: datetime) -> int:
    """Return the place of the last entry of a terminal that still counts.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    prefix : str
        What the ids of its commands begin with.
    now : datetime
        The studio's clock.

    Raises
    ------
    NotDoable
        If there is none that was written since yesterday at this time.
    """
    voided: set[str] = set()
    for entry in reading.latest(LATEST_LOOKED_AT):
        if now - instant(entry.recorded) > SINCE_LAST:
            break
        if entry.kind == CORRECTED and entry.body["void"] and entry.id not in voided:
            voided.add(str(entry.corrects))
            continue
        if entry.command_id.startswith(prefix) and entry.id not in voided:
            return entry.seq
    raise NotDoable(
        "Nothing that was typed at this terminal today is left to take back. "
        "pourwright book last shows the newest entries; pourwright book undo 41 takes back one of them."
    )


class EntryShown(Struct, kw_only=True, frozen=True):
    """One entry whole, as its page shows it.

    Parameters
    ----------
    seq : int
        Its place in the book.
    words, verb, meaning : str
        What the book said to it, and what it is.
    edition : str
        Whose it is; empty for the studio's.
    fields : dict of str
        What it says, each value under its name.
    about : str
        The thing that is drawn beside it.
    happened, signed : str
        When it happened; when and by whom it was written down.
    corrections : list of EntryLine
        What was said of it later.
    corrects : int or None
        The place of the entry that it corrects.
    voided, can_change : bool
        Whether it counts for nothing by a later one; whether its fields can be corrected.
    before, after : int or None
        The places beside it.
    """

    seq: int
    words: str
    verb: str
    meaning: str
    edition: str
    name: str
    fields: dict[str, str]
    about: str
    happened: str
    signed: str
    corrections: list[EntryLine]
    corrects: int | None
    voided: bool
    can_change: bool
    before: int | None
    after: int | None


def entry_shown(reading: Reading, seq: int, zone: str) -> EntryShown | None:
    """Return one entry whole, None if there is none at that place."""
    entry = reading.entry(seq)
    if entry is None:
        return None
    kind = BY_KIND.get(entry.kind)
    later = reading.corrections([entry.id])
    target = reading.entry(str(entry.corrects)) if entry.corrects else None
    edition = reading.things.get(EditionDoc, entry.scope)
    return EntryShown(
        seq=seq,
        words=words_now(reading, [entry], zone)[0],
        verb=kind.verb if kind else entry.kind,
        meaning=kind.meaning if kind else "",
        edition="" if entry.scope == STUDIO else entry.scope,
        name=edition.name if edition else entry.scope,
        fields=dict(_field_facts(reading.things, entry.body)),
        about=drawn_beside(entry.kind),
        happened=_happened(entry, zone),
        signed=_signed(entry, zone),
        corrections=[
            replace(one, kind="odd", word="Correction") for one in _rows(reading, later, zone)
        ],
        corrects=target.seq if target else None,
        voided=bool(later) and bool(later[-1].body["void"]),
        can_change=kind is not None and entry.kind != CORRECTED and bool(kind.fields),
        before=seq - 1 or None,
        after=seq + 1 if seq < reading.head().seq else None,
    )


def _field_facts(things: Things, body: Body) -> Iterator[tuple[str, str]]:
    for name, value in body.items():
        words = value_words(_by_number(called, things, value))
        if name != "edition" and words:
            yield WORKED_OUT.get(name, name.replace("_", " ").capitalize()), words


def _by_number(name: Callable[[Things, str], str], things: Things, value: object) -> object:
    """Return a value with each piece that it names called by the number on its foot."""
    if isinstance(value, str):
        return name(things, value)
    if isinstance(value, list):
        return [_by_number(name, things, one) for one in value]
    if isinstance(value, Mapping):
        return {_by_number(name, things, key): one for key, one in value.items()}
    return value


def value_words(value: object) -> str:
    """Return a value of an entry's body as it is read.

    Examples
    --------
    >>> value_words({"value": "6.4", "unit": "kg", "typed": "6.4 kg"}), value_words({"stuck": 1})
    ('6.4 kg', '1 stuck')
    >>> value_words([1, 2, 3, 7]), value_words(True)
    ('1 to 3, 7', 'yes')
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping):
        if "typed" in value and "unit" in value:
            return with_unit(as_quantity(value))
        if "typed" in value:
            return str(value["typed"])
        return ", ".join(_pair(key, one) for key, one in value.items())
    if isinstance(value, list):
        if value and all(isinstance(one, int) for one in value):
            return range_of(value)
        return ", ".join(value_words(one) for one in value)
    return "" if value is None else str(value)


def _pair(key: str, value: object) -> str:
    """Return a count by cause as "1 stuck", and anything else as "name: value"."""
    is_count = isinstance(value, int) and not isinstance(value, bool)
    return f"{value} {key}" if is_count else f"{key}: {value_words(value)}"


def _happened(entry: Entry, zone: str) -> str:
    """Return when it happened, with the hour if that was told."""
    when = day(day_of(entry.at, zone))
    is_instant = len(entry.at) > len("2027-03-01")
    return f"{when}, {_clock(entry.at, zone)}" if is_instant else when


def _signed(entry: Entry, zone: str) -> str:
    """Return when an entry was written down, and by whom."""
    recorded = f"{day(day_of(entry.recorded, zone))}, {_clock(entry.recorded, zone)}"
    late = ", more than twelve hours later" if entry.is_late else ""
    return f"Written down {recorded}{late}, by {entry.by or 'nobody named'}."


def _clock(at: str, zone: str) -> str:
    return datetime.fromisoformat(at).astimezone(ZoneInfo(zone)).strftime("%H:%M:%S")


# --- correcting an entry by a form: its fields as they stand, and what was changed in them

Do = Callable[[dict[str, object]], BookAnswer]


@dataclass(frozen=True, slots=True)
class ToCorrect:
    """An entry that can be corrected: its kind, and its fields as texts that could be typed.

    Parameters
    ----------
    seq : int
        Its place in the book.
    kind : Kind
        What it is.
    stands : dict of str
        Each field as it stands now, empty where it was not told.
    """

    seq: int
    kind: Kind
    stands: Mapping[str, str]


def to_correct(reading: Reading, seq: int) -> ToCorrect | None:
    """Return an entry as its form shows it; None if there is none, or it is itself a correction."""
    entry = reading.entry(seq)
    kind = BY_KIND.get(entry.kind) if entry else None
    if entry is None or kind is None or entry.kind == CORRECTED:
        return None
    told = [entry, *reading.entries(entry.scope, seq, (CORRECTED,))]
    now = next((one for one in effective(told) if one.seq == seq), entry)
    body = {
        name: _by_number(piece_typed, reading.things, value) for name, value in now.body.items()
    }
    stands = {one.name: typed_text(one, body.get(one.name)) for one in kind.fields}
    return ToCorrect(seq, kind, stands | {"at": moment_in(now.at, entry.zone)})


def typed_text(field: BookField, value: Any) -> str:
    """Return a field's value as it could be typed again.

    Examples
    --------
    >>> from pourwright.ledger.kinds.table import BY_VERB
    >>> field = BY_VERB["cast"].field("lost")
    >>> typed_text(field, {"stuck": 1, "warp": 2})
    '1 stuck, 2 warp'
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if field.kind in ("quantity", "money", "readings"):
        return str(value["typed"])
    if field.kind in ("causes", "counts"):
        return ", ".join(f"{count} {name}" for name, count in value.items())
    if field.kind == "masses":
        return ", ".join(f"{label} {mass['typed']}" for label, mass in value.items())
    if field.kind == "piece causes":
        return ", ".join(f"{label} {cause}" for label, cause in value.items())
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def correct(do: Do, entry: ToCorrect, typed: Mapping[str, object]) -> BookAnswer:
    """Have the book correct an entry by what was changed in its form.

    Parameters
    ----------
    do : callable
        Takes a command, as ``Book.do``.
    entry : ToCorrect
        The entry as the form showed it.
    typed : mapping
        What the form sent: its fields, ``why`` and ``id``. An empty field stays as it was.

    Raises
    ------
    StudioError
        If nothing was changed, or the book refuses it; a complaint names the form's field.
    """
    sent = {name: _sent(typed.get(name, "")) for name in entry.stands}
    changes = {
        name: text for name, text in sent.items() if text and text != _plain(entry.stands[name])
    }
    if not changes:
        raise BadInput.one("", None, "Nothing was changed. Change what was wrong, or go back.")
    command: dict[str, object] = {"do": "correct", "entry": entry.seq, "changes": changes}
    command |= {name: typed[name] for name in ("id", "why") if typed.get(name)}
    try:
        return do(command)
    except BadInput as wrong:  # the form's fields are named without the command's own
        raise BadInput(
            replace(one, path=one.path.removeprefix("changes.")) for one in wrong.complaints
        ) from None


# --- what one press wrote is taken back by one press


def taking_back(reading: Reading, places: Sequence[int], given: str) -> list[dict[str, object]]:
    """Return the commands that take back what one press wrote, the last entry first.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    places : sequence of int
        Where the entries stand in the book.
    given : str
        What the ids of the commands begin with.

    Raises
    ------
    BadInput
        If there is no entry at a place.
    """
    found = []
    for place in sorted(places, reverse=True):
        entry = reading.entry(place)
        if entry is None:
            raise BadInput.one("entries", str(place), "there is no such entry in the book")
        command: dict[str, object] = {"do": "correct", "entry": place, "void": True}
        if entry.kind in ("step-started", "step-ended"):  # seen at the bench: taken back by its id
            told = {name: entry.body[name] for name in ("edition", "what", "step")}
            command = {"do": "undo-step", **told, "undoes": entry.command_id}
        found.append({**command, "id": f"{given}-{place}"})
    return found


def _sent(value: object) -> str:
    """Return what a form sent as text."""
    return _plain(", ".join(map(str, value)) if isinstance(value, list) else str(value))


def _plain(text: str) -> str:
    """Return a text as a form sends it back: line ends alike, nothing around it."""
    return text.replace("\r\n", "\n").strip()
