"""A day's work over all open editions as a list: what is opened, read, cast, weighed, poured, loaded.

The day sheet prints it with blanks; what was written into them is typed in later, in the same
order, and becomes late entries.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from pourwright.briefs.folder import BriefHere
from pourwright.ledger.causes import CASTING_CAUSES, FIRING_CAUSES
from pourwright.ledger.documents import EditionDoc, MoldDoc
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.kinds.table import kind_of
from pourwright.ledger.said import many
from pourwright.ledger.stages import firings_of
from pourwright.ledger.things import Things
from pourwright.studio.answers import DayLists, pieces_at, stage_before_firing, today_lists
from pourwright.studio.bench.clocks import steps_of
from pourwright.studio.bench.plaster import poured_molds
from pourwright.studio.kiln import WARE_DRY_DAYS, cold_on, good_casts_lately, load_pieces
from pourwright.studio.lots import last_lots
from pourwright.studio.shelf import to_judge

Doing = Literal["open", "dry", "read", "cast", "judge", "weigh", "pour", "load"]
IN_ORDER: tuple[Doing, ...] = ("open", "dry", "read", "cast", "judge", "weigh", "pour", "load")
"""As a day goes: the kiln is opened first and closed last."""


TITLES: dict[Doing, str] = {
    "open": "Open the kiln",
    "dry": "Call dry",
    "read": "Read the slip",
    "cast": "Cast",
    "judge": "Hold beside the reference piece",
    "weigh": "Weigh, strapped",
    "pour": "Pour molds",
    "load": "Load the kiln",
}


@dataclass(frozen=True, slots=True)
class Blank:
    """What is written down of a task: the field of the book's command, its words, its choices if it has some."""

    field: str
    words: str
    choices: tuple[str, ...] = ()


VERDICTS = next(field.choices for field in kind_of("judge").fields if field.name == "verdict")
BLANKS: dict[Doing, tuple[Blank, ...]] = {
    "open": (
        Blank("lost", "Lost, and why"),
        Blank("lost_pieces", "Numbers lost"),
        Blank("cones", "Cones"),
    ),
    "dry": (),
    "read": (
        Blank("liter_weight", "A liter weighs"),
        Blank("flow", "The cup runs"),
        Blank("temperature", "It is at"),
    ),
    "cast": (Blank("lost", "Lost, and why", CASTING_CAUSES),),
    "judge": (Blank("verdict", "Same, softer or retire", VERDICTS),),
    "weigh": (Blank("mass", "It weighs"),),
    "pour": (
        Blank("count", "Came out"),
        Blank("lost", "Lost, and why"),
        Blank("lot", "Plaster lot"),
    ),
    "load": (Blank("count", "Pieces"), Blank("kiln", "Kiln"), Blank("note", "Note")),
}
"""A task is done when its box is ticked or one of these is filled in."""
BROKEN = (
    Blank("mold", "Mold with a part that broke"),
    Blank("part", "Which part"),
    Blank("how", "How"),
)
"""The line for a part of a mold that broke that day, which no sheet foresees."""
BROKEN_KEY = "broken"
CAUSES_OF: dict[Doing, tuple[str, ...]] = {"cast": CASTING_CAUSES, "open": FIRING_CAUSES}
"""Why something may be lost in the work that has a blank for it."""
TICKED: tuple[Doing, ...] = ("open", "dry", "cast")
"""What may be done with nothing else to write down."""
DONE = "done"
"""The box before each task, for what may be done with nothing to write down."""


@dataclass(frozen=True, slots=True)
class DayTask:
    """One thing to do on a day.

    Parameters
    ----------
    doing : str
        What kind of thing, one of `IN_ORDER`.
    edition, name : str
        The edition's id, and what it is called; empty for what all share.
    what : str
        The label, or what is poured or loaded.
    note : str
        What to know then.
    """

    doing: Doing
    edition: str
    name: str
    what: str
    note: str = ""

    @property
    def key(self) -> str:
        """What its fields in a form begin with; another phone's entries do not change it."""
        return f"{self.doing}:{self.edition}:{self.what}"


def day_tasks(
    reading: Reading,
    editions: Sequence[tuple[EditionDoc, BriefHere | None]],
    today: date,
    zone: str,
) -> tuple[DayTask, ...]:
    """Return a day's work over some editions.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    editions : sequence of (EditionDoc, BriefHere or None)
        Those that are open, and their briefs.
    today : date
        The day.
    zone : str
        The studio's.
    """
    found: list[DayTask] = []
    for doc, here in editions:
        lists = today_lists(reading.things, doc.edition, today, zone)
        found += _opened(reading.things, doc, here, lists, today, zone)
        found += [
            DayTask("dry", doc.edition, doc.name, one.label, "it has stopped losing weight")
            for one in lists.drying
            if one.stopped_losing
        ]
        found += _cast(reading.things, doc, lists)
        found += [
            DayTask("judge", doc.edition, doc.name, label, f"after {many(mold.casts, 'cast')}")
            for label, mold in to_judge(reading, doc.edition).items()
        ]
        found += [
            DayTask(
                "weigh", doc.edition, doc.name, one.label, f"drying for {many(one.days, 'day')}"
            )
            for one in lists.drying
            if one.weigh
        ]
        found += _poured(reading.things, doc, here)
        found += _loads(reading.things, doc, here, today)
    if any(one.doing == "cast" for one in found):
        found += [
            DayTask("read", "", "", label, lot.name)
            for label, lot in last_lots(reading.things, "slip")[:1]
        ]
    return tuple(sorted(found, key=lambda one: IN_ORDER.index(one.doing)))


def _opened(
    things: Things,
    doc: EditionDoc,
    here: BriefHere | None,
    lists: DayLists,
    today: date,
    zone: str,
) -> Iterator[DayTask]:
    """Yield the loads that have cooled by the brief's days."""
    for load in lists.in_the_kiln:
        if cold_on(load.firing, load.since, zone, here.studio if here else None) <= today:
            pieces = load_pieces(things, load.load, zone)
            marked = f", marked {', '.join(pieces.marked)}" if pieces and pieces.marked else ""
            note = f"{load.firing}, {many(load.pieces, 'piece')}{marked}; only ware that has cooled"
            yield DayTask("open", doc.edition, doc.name, load.load, note)


def _cast(things: Things, doc: EditionDoc, lists: DayLists) -> Iterator[DayTask]:
    for label in lists.ready:
        mold = things.get(MoldDoc, label)
        casts = mold.casts if mold else 0
        note = f"cast {casts + 1}"
        if casts < doc.conditioning:
            note += ", one of its first: thrown away"
        yield DayTask("cast", doc.edition, doc.name, label, note)


def _poured(things: Things, doc: EditionDoc, here: BriefHere | None) -> Iterator[DayTask]:
    """Yield the molds that are not poured yet; one that sets is, though the book does not have it."""
    left = (doc.molds_planned or 0) - doc.molds
    if here is not None and here.brief is not None and here.studio is not None:
        steps = steps_of(things, doc.edition)
        left -= len(poured_molds(things, doc.edition, steps, here.brief, here.studio))
    if left > 0:
        note = f"{many(left, 'mold')} still to pour by the plan; weights are on the pour sheet"
        yield DayTask("pour", doc.edition, doc.name, "molds", note)


def _loads(
    things: Things, doc: EditionDoc, here: BriefHere | None, today: date
) -> Iterator[DayTask]:
    """Yield the loads that could be built from ware that is dry."""
    terms = here.brief.firing if here and here.brief else None
    for firing in firings_of(doc.route):
        stage = stage_before_firing(doc, firing)
        days = terms.ware_dry_days if terms else WARE_DRY_DAYS
        damp = good_casts_lately(things, doc, today, days) if stage == "greenware" else 0
        ready = max(pieces_at(doc, stage) - damp, 0)
        if ready:
            holds = getattr(terms, f"{firing}_load") if terms else None
            note = f"{ready} ready" + (f" of the {holds} that a load holds" if holds else "")
            note += "; only bone-dry ware" if stage == "greenware" else ""
            yield DayTask("load", doc.edition, doc.name, firing, note)


# --- what was written on the sheet, as commands of the book


def written_commands(
    tasks: Sequence[DayTask], typed: Mapping[str, object], day: date
) -> list[dict[str, object]]:
    """Return the book's commands for what was filled in, in the order of the day.

    Parameters
    ----------
    tasks : sequence of DayTask
        What the sheet asked for.
    typed : mapping
        What was typed, under the task's key, a point and the field: ``"weigh:jug:M-007.mass"``;
        a part that broke under ``broken``, what else there was to say under ``note``.
    day : date
        When it was done.

    Examples
    --------
    >>> task = DayTask("weigh", "jug", "Fern jug", "M-007")
    >>> written_commands([task], {"weigh:jug:M-007.mass": "6.4 kg"}, date(2026, 11, 25))
    [{'do': 'weigh', 'mold': 'M-007', 'mass': '6.4 kg', 'edition': 'jug', 'at': '2026-11-25'}]
    """
    lot = next((one.what for one in tasks if one.doing == "read"), "")
    found: list[dict[str, object]] = []
    for doing in IN_ORDER:
        done = [(one, told) for one in tasks if one.doing == doing and (told := _told(one, typed))]
        if doing == "cast":
            found += _casts(done, lot)
        else:
            found += [_command(one, told) for one, told in done]
    broken = _filled(BROKEN_KEY, BROKEN, typed)
    if broken:
        found.append({"do": "break-part", **broken})
    if note := str(typed.get("note", "")).strip():
        found.append({"do": "note", "text": note})
    return [one | {"at": day.isoformat()} for one in found]


def left_over(tasks: Sequence[DayTask], typed: Mapping[str, object]) -> dict[str, str]:
    """Return what was typed for work that the day does not ask for any more.

    Another phone may have written it down meanwhile.

    Examples
    --------
    >>> left_over([], {"weigh:jug:M-007.mass": "6.4 kg", "day": "2026-11-25"})
    {'weigh:jug:M-007.mass': '6.4 kg'}
    """
    asked = {one.key for one in tasks}
    return {
        name: str(text)
        for name, text in typed.items()
        if name.partition(":")[0] in IN_ORDER
        and name.rpartition(".")[0] not in asked
        and str(text).strip()
    }


def _told(task: DayTask, typed: Mapping[str, object]) -> dict[str, str]:
    """Return what was filled in of a task, empty if it was not done."""
    is_ticked = _filled(task.key, (Blank(DONE, ""),), typed)
    return is_ticked | _filled(task.key, BLANKS[task.doing], typed)


def _filled(key: str, blanks: Sequence[Blank], typed: Mapping[str, object]) -> dict[str, str]:
    """Return the blanks under a key that were filled in."""
    found = {one.field: str(typed.get(f"{key}.{one.field}", "")).strip() for one in blanks}
    return {name: text for name, text in found.items() if text}


_NAMED = {
    "open": "load",
    "dry": "molds",
    "read": "lot",
    "judge": "molds",
    "weigh": "mold",
    "load": "firing",
}
"""The field of the command that takes what a task is about."""
_VERBS = {"open": "unload", "read": "read-lot"}


def _command(task: DayTask, told: Mapping[str, str]) -> dict[str, object]:
    fields: dict[str, object] = {
        name: text for name, text in with_their_cause(told).items() if name != DONE
    }
    if task.doing in _NAMED:
        fields = {_NAMED[task.doing]: task.what} | fields
    if task.edition:
        fields["edition"] = task.edition
    return {"do": _VERBS.get(task.doing, task.doing)} | fields


def with_their_cause(told: Mapping[str, str]) -> dict[str, str]:
    """Return what was told of a load, its lost numbers with the cause that stands beside them.

    Examples
    --------
    >>> with_their_cause({"lost": "1 crawl", "lost_pieces": "18"})
    {'lost_pieces': '18 crawl'}
    >>> with_their_cause({"lost": "3 crawl", "lost_pieces": "18"})
    {'lost': '3 crawl', 'lost_pieces': '18'}
    """
    lost = told.get("lost", "")
    numbers = [one.strip() for one in told.get("lost_pieces", "").split(",")]
    cause = lost.lstrip("0123456789 ")
    count = lost.removesuffix(cause).strip() or str(len(numbers))
    if not cause or count != str(len(numbers)) or not all(one.isdigit() for one in numbers):
        return dict(told)
    of_each = ", ".join(f"{number} {cause}" for number in numbers)
    return {name: text for name, text in told.items() if name != "lost"} | {"lost_pieces": of_each}


def _casts(
    done: Sequence[tuple[DayTask, Mapping[str, str]]], lot: str
) -> Iterator[dict[str, object]]:
    """Yield one command an edition, with the molds that were cast and the causes of what was lost."""
    for edition in dict.fromkeys(task.edition for task, _ in done):
        mine = [(task.what, told.get("lost", "")) for task, told in done if task.edition == edition]
        lost = [(mold, cause) for mold, cause in mine if cause]
        command: dict[str, object] = {
            "do": "cast",
            "edition": edition,
            "molds": ", ".join(mold for mold, _ in mine),
        }
        if lost:
            command["lost"] = ", ".join(f"1 {cause}" for _, cause in lost)
            command["lost_molds"] = ", ".join(mold for mold, _ in lost)
        yield command | ({"lot": lot} if lot else {})
