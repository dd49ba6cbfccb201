"""A pour day: the batches of a session as they were laid out for it, and what is still to come.

They are kept in ``pour-day.toml`` in the studio's folder, for one day: so any phone takes the day
up, and no plan is worked out again at a tap. What was started of them is in the book alone.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import msgspec

from pourwright.briefs.records import Brief, Studio
from pourwright.briefs.toml_file import load
from pourwright.errors import BadInput
from pourwright.files import write_whole
from pourwright.ledger.observations import BATCH
from pourwright.ledger.rules.questions import Asking, asked_of, asks_for_a_living_master
from pourwright.ledger.said import many, names_said
from pourwright.ledger.things import Things
from pourwright.plan.plan import Plan, PourSession
from pourwright.report.saying import day_in_week
from pourwright.studio.bench.batches import (
    BatchSheet,
    batch_named,
    batch_of,
    block_batches,
    is_whole,
)

FILE = "pour-day.toml"
ASKED_BEFORE = asks_for_a_living_master.__name__
"""What is asked before batches are laid out, and not once more when they are written down."""
_BEFORE = ("original", "block mold", "test casts", "approval", "masters")
"""Stages of a plan that come before the first pour. Their drying and firing go with them."""


class LaidOut(msgspec.Struct, frozen=True):
    """A batch of the day.

    Parameters
    ----------
    edition : str
        What it is of.
    name : str
        Such as ``"batch 4: 2 molds"``: what is in it, and so what it weighs.
    starts_min : float
        When hands start on it, from the start of the session. [min]
    """

    edition: str
    name: str
    starts_min: float = 0.0


class _Day(msgspec.Struct, frozen=True):
    version: int
    date: date
    batches: list[LaidOut] = []
    forms: list[str] = []
    """The ids of the forms that laid them out: one that is sent twice lays out once."""


def laid_out(folder: Path, today: date) -> list[LaidOut]:
    """Return the batches that were laid out for today, in the order of pouring.

    Raises
    ------
    BadInput
        If the file cannot be read.
    """
    return _day(folder, today).batches


def _day(folder: Path, today: date) -> _Day:
    path, empty = folder / FILE, _Day(1, today)
    if not path.is_file():
        return empty
    try:
        day = msgspec.convert(load(path, usual=FILE), _Day)
    except msgspec.ValidationError:
        right = "remove the file, and lay the day out again"
        raise BadInput.one("the file", "not a pour day", right, file=FILE) from None
    return day if day.date == today else empty


def lay_out_batches(
    folder: Path, today: date, edition: str, sheets: Sequence[BatchSheet], form: str = ""
) -> None:
    """Keep batches for today, behind those that were laid out before.

    Parameters
    ----------
    folder : Path
        The studio's.
    today : date
        The day it is.
    edition : str
        What the batches are of.
    sheets : sequence of BatchSheet
        The batches, in the order of pouring.
    form : str, optional
        The id of the form that asks for it; what is asked by one id is laid out once a day.
    """
    import tomlkit

    day = _day(folder, today)
    if form and form in day.forms:
        return
    kept = day.batches + [LaidOut(edition, one.name, one.starts_min) for one in sheets]
    told = {"version": 1, "date": today, "batches": [msgspec.to_builtins(one) for one in kept]}
    forms = [*day.forms, *([form] if form else [])]
    write_whole(folder / FILE, tomlkit.dumps(told | ({"forms": forms} if forms else {})))


@dataclass(frozen=True, slots=True)
class NextPour:
    """What a plan has poured today, or next.

    Parameters
    ----------
    date : date
        When.
    batches : int
        How many it takes. [-]
    session : PourSession or None
        The molds; None for the block mold.
    block : tuple of int
        Which batches of the block mold, counted from 1.
    """

    date: date
    batches: int
    session: PourSession | None
    block: tuple[int, ...] = ()


def next_pour(plan: Plan, today: date, begun: Collection[int] = ()) -> NextPour | None:
    """Return what a plan has poured today, or next; None if no mold is still to be poured.

    A block mold that is still to be made comes before the molds: of its batches those of the day,
    and those of days gone by that nobody has begun.

    Parameters
    ----------
    plan : Plan
        The edition's.
    today : date
        The day it is.
    begun : collection of int
        The batches of the block mold that are laid out, at work or open, counted from 1.
    """
    block = plan.plaster.block_mold
    names = [one.name for one in plan.plaster.parts]
    shares = {names.index(one.part) + 1: one.date for one in block.batches} if block else {}
    left = [(day, n) for n, day in shares.items() if n not in begun]
    if left:
        first = min(left)[0]
        due = tuple(n for day, n in left if day <= max(first, today))
        return NextPour(first, len(due), None, due)
    for one in plan.plaster.session_list:
        if one.date >= today:
            return NextPour(one.date, one.batches, one)
    return None


def pour_words(plan: Plan, pour: NextPour) -> str:
    """Return when it is poured by the plan, and how many batches it takes."""
    when = day_in_week(pour.date, units=plan.studio.units)
    what = "" if pour.session else "the block mold, "
    return f"{what}{when}, {many(pour.batches, 'batch', 'batches')}"


def not_made_yet(plan: Plan, pour: NextPour) -> list[str]:
    """Return what the plan makes before it is poured, in the order of the work."""
    before = _BEFORE if pour.session else _BEFORE[: _BEFORE.index("block mold")]
    return [one.name for one in plan.stages if one.name in before]


def asked_of_the_day(plan: Plan, pour: NextPour, shown: object, today: date) -> tuple[str, ...]:
    """Return what is asked where masters are not made by the plan, or it pours on another day than was shown.

    Parameters
    ----------
    plan : Plan
        The edition's.
    pour : NextPour
        What it has poured next.
    shown : object
        The day that stood on the button, as it was sent; empty if the plan was not worked out then.
    today : date
        The day it is.
    """
    missing = not_made_yet(plan, pour)
    if not missing and (pour.date == today or shown == pour.date.isoformat()):
        return ()
    on = "on " if pour.session else ""
    said = f"The plan of {plan.edition.name} pours {on}{pour_words(plan, pour)}"
    said += f"; not made yet: {names_said(missing)}" if missing else ""
    return (f"{said}. Lay the batches out for today all the same?",)


def asked_of_masters(
    things: Things, edition: str, parts: Collection[str], today: date, *, is_begun: bool
) -> tuple[str, ...]:
    """Return what is asked where masters are not in the book, as the book asks it of a pour.

    Parameters
    ----------
    things : Things
        The book's documents.
    edition : str
        What the batches are of.
    parts : collection of str
        Which parts are poured, an empty name for whole molds.
    today : date
        The day it is.
    is_begun : bool
        Whether batches of its molds stand at the bench already: what is asked once is not asked again.
    """
    told = {"edition": edition} | ({"count": 0} if is_begun else {})
    pours = [
        ("part-poured", told | {"part": one}) if one else ("molds-poured", told) for one in parts
    ]
    asking = Asking(today.isoformat(), None)
    asked = [said for kind, body in pours for _, said in asked_of(things, kind, body, asking)]
    return tuple(dict.fromkeys(asked))


def batches_of_plan(
    plan: Plan, brief: Brief, studio: Studio, pour: NextPour, first: int
) -> tuple[BatchSheet, ...]:
    """Return the batches of what a plan has poured.

    Parameters
    ----------
    plan : Plan
        The edition's, going on from the book.
    brief, studio : Brief, Studio
        The edition's and its room's.
    pour : NextPour
        Which.
    first : int
        The number of the first batch. [-]
    """
    if pour.session is None:
        return tuple(
            block_batches(brief, studio, number - share + 1)[share - 1]
            for number, share in enumerate(pour.block, first)
        )
    names = [part.name for part in brief.mold.parts]
    found = []
    batches = [one for one in plan.plaster.batches if one.session == pour.session.number]
    for number, batch in enumerate(batches, first):
        counts = Counter(one.part for one in batch.parts)
        whole = is_whole(counts, names)
        found.append(batch_of(brief, studio, counts, number, batch.starts_min, whole=whole))
    return tuple(found)


def still_to_come(
    day: Sequence[LaidOut],
    started: Mapping[str, str],
    brief: Brief,
    studio: Studio,
    last: int = 0,
) -> tuple[BatchSheet, ...]:
    """Return the batches that were not started yet; one that failed is to be poured again.

    Parameters
    ----------
    day : sequence of LaidOut
        The batches of the day, of one edition.
    started : mapping of str to str
        Why each batch of the edition that was started came to nothing, by its name; empty if it
        did not.
    brief, studio : Brief, Studio
        The edition's and its room's.
    last : int, optional
        The highest number of a batch at the bench, of any edition. [-]
    """
    if not day:
        return ()
    names = [one.name for one in day]
    first = min(map(number_of, names))
    failed = Counter(_content(name) for name in names if started.get(name))
    for name, why in started.items():
        if name not in names and number_of(name) > first and not why:  # poured in place of one
            failed[_content(name)] -= 1
    last = max(last, *map(number_of, [*names, *started]))
    again = [f"batch {n}: {what}" for n, what in enumerate((+failed).elements(), last + 1)]
    begun = {number_of(name) for name in started}  # by whatever name, one number is one batch
    waiting = [(one.name, one.starts_min) for one in day if number_of(one.name) not in begun]
    waiting += [(name, 0.0) for name in again]
    sheets = (batch_named(brief, studio, name, starts_min) for name, starts_min in waiting)
    return tuple(sheet for sheet in sheets if sheet is not None)


def number_of(name: str) -> int:
    """Return the number of a batch, 0 if it is none.

    Examples
    --------
    >>> number_of("batch 4: 2 molds"), number_of("M-004 cast 1")
    (4, 0)
    """
    found = BATCH.fullmatch(name)
    return int(found[1]) if found else 0


def _content(name: str) -> str:
    return name.partition(": ")[2]
