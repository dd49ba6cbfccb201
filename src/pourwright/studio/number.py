"""One number as a page tells it: its bearers, what became of each, and every entry that names one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from msgspec import Struct

from pourwright.errors import BadInput, NotDoable, as_written
from pourwright.ledger.documents import EditionDoc
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.labels import read_numbers
from pourwright.ledger.replaying import CORRECTED, effective
from pourwright.ledger.said import names_said
from pourwright.ledger.stages import stage_when_marked
from pourwright.ledger.state.promise import claim_ends, may_be_claimed
from pourwright.money import Money
from pourwright.plan.standing_from_book import edition_doc
from pourwright.report.saying import day
from pourwright.studio.answers import number_written
from pourwright.studio.edition import KEY, Fact, Foot, feet, last_price, not_again
from pourwright.studio.history import Bearer, EntryTold, number_story
from pourwright.studio.lines import EntryLine
from pourwright.studio.records import words_now

_WHERE = {"here": "here", "away": "has left the studio", "lost": "lost", "broken": "broken"}


@dataclass(frozen=True, slots=True)
class BearerShown:
    """A bearer in words: its label, where it is, and its days and the rest as facts."""

    piece: str
    words: str
    facts: tuple[Fact, ...]


class NumberShown(Struct, kw_only=True, frozen=True):
    """What the page of a number shows.

    Parameters
    ----------
    foot : Foot
        The number as it lies in the tray.
    number : str
        As it is written on the piece.
    standing : str
        How it stands.
    why : str or None
        Why it was settled.
    not_again : str
        What is missing to make it again; empty if nothing is.
    claim : str
        Until when another may be claimed for a piece that broke after it left; empty if none may.
    bearers : tuple of BearerShown
        The pieces that have borne it.
    is_borne : bool
        Whether the last of them lives.
    entries : tuple of EntryLine
        Every entry that names one of them.
    price : Money or None
        What a piece of the edition was last sold for.
    """

    foot: Foot
    number: str
    standing: str
    why: str | None = None
    not_again: str = ""
    claim: str = ""
    bearers: tuple[BearerShown, ...] = ()
    is_borne: bool = False
    entries: tuple[EntryLine, ...] = ()
    price: Money | None = None


def number_shown(
    reading: Reading, edition: str, key: str, zone: str, today: date
) -> NumberShown | None:
    """Return what the page of a number shows on a day, None if the edition has no such number."""
    foot = _foot(reading, edition, key, today)
    if foot is None:
        return None
    try:
        number_written(reading.things, edition, foot.label)
    except (BadInput, NotDoable):  # a number that nobody bears yet has a page too
        return NumberShown(foot=foot, number=foot.label, standing=KEY[foot.word])
    doc = edition_doc(reading.things, edition)
    story = number_story(reading, edition, foot.label, zone)
    written = [entry for one in story.entries if (entry := reading.entry(one.seq))]
    said = words_now(reading, written, zone)
    return NumberShown(
        foot=foot,
        number=story.number,
        standing=KEY[foot.word],
        why=story.why,
        not_again=not_again(doc, (foot,)),
        claim=_claim(doc, foot, today),
        bearers=tuple(_bearer(one) for one in story.bearers),
        is_borne=story.status == "living",
        entries=tuple(map(_entry_line, story.entries, said)),
        price=last_price(reading.things, edition),
    )


def _claim(doc: EditionDoc, foot: Foot, today: date) -> str:
    """Return until when another may be claimed for a number that broke after it left."""
    ends = claim_ends(doc)
    is_open = doc.state == "declared" and may_be_claimed(doc, today.isoformat())
    if foot.word != "gone" or foot.key[:1].isalpha() or ends is None or not is_open:
        return ""
    told = f"Its buyer may claim another until {day(date.fromisoformat(ends))}."
    if "again shown" in foot.acts:
        return told
    return f"{told} No unmarked {stage_when_marked(doc)} piece is free to be marked for it now."


def wrong_number(reading: Reading, edition: str, key: str, right: str) -> dict[str, object]:
    """Return the command that corrects the number of one piece; others of its entry keep theirs.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    edition, key : str
        Whose number it is, and what its address ends in.
    right : str
        The number that stands on the foot.

    Raises
    ------
    StudioError
        If no living piece bears the number, or what was typed is none.
    """
    foot = _foot(reading, edition, key)
    bearer = number_written(reading.things, edition, foot.label if foot else key).living
    if bearer is None:
        raise NotDoable(f"No piece bears {key} now, so that there is none to correct.")
    chosen = read_numbers(right, "number")
    if len(chosen) != 1:
        raise BadInput.one("number", as_written(right), "write the one number on its foot")
    for entry in reading.entries(edition, kinds=("piece-marked",), naming=(bearer,)):
        told = [entry, *reading.entries(edition, entry.seq, (CORRECTED,))]
        now = next((one for one in effective(told) if one.id == entry.id), None)
        if now is not None and bearer in now.body["made"]:
            at = now.body["made"].index(bearer)
            numbers = [*now.body["numbers"]]
            numbers[at] = chosen[0]
            changes = {"numbers": numbers}
            return {"do": "correct", "entry": entry.seq, "changes": changes, "why": "wrong number"}
    raise NotDoable(f"The book has no entry that marked {key}.")


def _foot(reading: Reading, edition: str, key: str, today: date | None = None) -> Foot | None:
    kinds = ("numbered", "proof")
    every = (foot for kind in kinds for foot in feet(reading.things, edition, kind, today))
    return next((foot for foot in every if foot.key == key), None)


def _entry_line(one: EntryTold, said: str) -> EntryLine:
    late = ", entered late" if one.late else ""
    note = f"{day(one.day)}, entry {one.seq}{late}"
    return EntryLine(words=said, note=note, to=f"/records/{one.seq}")


def _bearer(one: Bearer) -> BearerShown:
    where = _WHERE.get(one.state, one.state)
    words = f"{where}, {one.stage}" if one.state == "here" else where
    days = [(what.capitalize(), day(when), "") for what, when in one.days.items()]
    facts = [
        ("From", one.mold or "", ""),
        ("Fired", names_said(one.firings), ""),
        ("Loads", names_said(one.loads), ""),
        ("Lost to", one.cause or "", ""),
        ("Shown by", one.evidence or "", ""),
        ("Photos", str(one.photos or ""), ""),
    ]
    return BearerShown(one.piece, words, (*days, *(fact for fact in facts if fact[1])))
