"""One number as a page tells it: its bearers, what became of each, and every entry that names one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from urllib.parse import urlencode

from msgspec import Struct

from pourwright.errors import BadInput, NotDoable
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.said import names_said
from pourwright.ledger.stages import stage_when_marked
from pourwright.plan.standing_from_book import edition_doc
from pourwright.report.saying import day
from pourwright.studio.answers import number_written
from pourwright.studio.edition import KEY, Fact, Foot, feet
from pourwright.studio.history import Bearer, EntryTold, NumberStory, number_story
from pourwright.studio.lines import EntryLine

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
    bearers : tuple of BearerShown
        The pieces that have borne it.
    is_borne : bool
        Whether the last of them lives.
    entries : tuple of EntryLine
        Every entry that names one of them.
    steps : tuple of (str, str, str)
        What can be done with it: words, address and how strongly it is shown.
    """

    foot: Foot
    number: str
    standing: str
    why: str | None = None
    bearers: tuple[BearerShown, ...] = ()
    is_borne: bool = False
    entries: tuple[EntryLine, ...] = ()
    steps: tuple[tuple[str, str, str], ...]


def number_shown(reading: Reading, edition: str, written: str, zone: str) -> NumberShown | None:
    """Return what the page of a number shows, None if the edition has no such number."""
    foot = _foot(reading, edition, written)
    if foot is None:
        return None
    try:
        number_written(reading.things, edition, foot.label)
    except (BadInput, NotDoable):  # a number that nobody bears yet has a page too
        mark = ("Mark it", _do("mark", edition, foot, _numbers(foot)), "")
        return NumberShown(foot=foot, number=foot.label, standing=KEY[foot.word], steps=(mark,))
    story = number_story(reading, edition, foot.label, zone)
    doc = edition_doc(reading.things, edition)
    return NumberShown(
        foot=foot,
        number=story.number,
        standing=KEY[foot.word],
        why=story.why,
        bearers=tuple(_bearer(one) for one in story.bearers),
        is_borne=story.status == "living",
        entries=tuple(_entry_line(one) for one in story.entries),
        steps=tuple(_steps(edition, foot, story, doc.ware[stage_when_marked(doc)])),
    )


def _foot(reading: Reading, edition: str, written: str) -> Foot | None:
    kinds = ("numbered", "proof")
    every = (foot for kind in kinds for foot in feet(reading.things, edition, kind))
    return next((foot for foot in every if foot.key == written), None)


def _entry_line(one: EntryTold) -> EntryLine:
    late = ", entered late" if one.late else ""
    note = f"{day(one.day)}, entry {one.seq}{late}"
    return EntryLine(words=one.said, note=note, to=f"/records/{one.seq}")


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
        ("Replaces", one.replaces or "", ""),
        ("Photos", str(one.photos or ""), ""),
    ]
    return BearerShown(one.piece, words, (*days, *(fact for fact in facts if fact[1])))


def _steps(
    edition: str, foot: Foot, story: NumberStory, there: int
) -> Iterator[tuple[str, str, str]]:
    """Yield what can be done with a number; ``there`` unmarked pieces may take it."""
    if story.status == "owed":
        last = story.bearers[-1]
        again = _numbers(foot) | ({} if last.photos else {"evidence": last.evidence or ""})
        if there:
            yield "Make it again", _do("mark", edition, foot, again), ""
        yield "Settle it", _do("settle", edition, foot, _numbers(foot)), "quiet"
        return
    piece = {"pieces": foot.label}
    verbs = {
        "here": (("Sell", "sell"), ("Ship", "ship"), ("Give", "give"), ("It broke", "break")),
        "sold": (("Ship", "ship"), ("It broke", "break")),
        "left": (("It came back", "return"), ("It broke there", "break")),
        "given": (("It came back", "return"), ("It broke there", "break")),
    }.get(foot.word, ())
    for at, (word, verb) in enumerate(verbs):
        yield word, _do(verb, edition, foot, piece), "quiet" if at else ""
    if " " in foot.label and foot.word == "here":
        yield "Destroy it", _do("surplus", edition, foot, piece | {"fate": "destroyed"}), "quiet"


def _numbers(foot: Foot) -> dict[str, str]:
    digits = foot.label.rpartition(" ")[2]
    return {"numbers": digits} | ({"kind": "proof"} if " " in foot.label else {})


def _do(verb: str, edition: str, foot: Foot, fields: dict[str, str]) -> str:
    to = f"/editions/{edition}/numbers/{foot.key}"
    return f"/do/{verb}?{urlencode({'edition': edition, **fields, 'back': to})}"
