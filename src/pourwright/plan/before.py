"""What is done before the first pour: original, block mold, test casts, approval, masters."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal, NamedTuple

from msgspec.structs import replace

from pourwright.briefs.records import Brief, Studio
from pourwright.plan.plan import Stage
from pourwright.plan.standing import Standing
from pourwright.simulation.calendar import Calendar

HAVE = ("nothing", "original", "block mold", "approved", "masters")
"""What may be there already, in the order in which it is made."""
FIRE_TESTS = "fire test casts"


@dataclass(frozen=True, slots=True)
class Task:
    """What hands do on one day; their minutes are 0 where nobody knows them. [min]"""

    day: date
    what: str
    count: int = 1
    minutes: int = 0


@dataclass(frozen=True, slots=True)
class Again:
    """What is made once more if its approval fails: how often that is, and the days it takes. [-], [days]"""

    what: Literal["test casts", "one master"]
    chance: float
    days: int


@dataclass(frozen=True, slots=True)
class Before:
    """The stages before the first pour, what hands do in them, and the first day for pouring.

    ``test_casts`` and ``block_molds`` are still to be made, ``block_parts`` to be poured for it;
    ``again`` is what may be refused, of which days and tasks hold nothing.
    """

    stages: tuple[Stage, ...]
    tasks: tuple[Task, ...]
    pour_from: date
    test_casts: int
    block_molds: int
    block_parts: tuple[str, ...]
    again: tuple[Again, ...]

    def minutes_of(self, *what: str) -> int:
        """Return what hands spend on some of the stages. [min]"""
        return sum(task.minutes for task in self.tasks if task.what in what)


class BlockLeft(NamedTuple):
    """What is left of making a block mold: its parts, working days, and hands' minutes. [days], [min]"""

    parts: tuple[str, ...]
    days: int
    minutes: float | None


def block_left(brief: Brief, standing: Standing | None = None) -> BlockLeft:
    """Return what is left of making a block mold; its parts share the days of its making."""
    terms, names = brief.preparation, [part.name for part in brief.mold.parts]
    poured = standing.block_parts if standing is not None else ()
    left = tuple(name for name in names if name not in poured)
    days = terms.block_mold_days - (len(names) - len(left)) * terms.block_mold_days // len(names)
    spent = terms.block_mold_min
    return BlockLeft(left, days, None if spent is None else spent * len(left) / len(names))


def before_pouring(
    brief: Brief,
    studio: Studio,
    calendar: Calendar,
    route: Sequence[str],
    standing: Standing | None = None,
) -> Before:
    """Return what is done before the first pour; ``route`` are the firings' names.

    A block mold that is there already dries from the day it was made.

    The order of the work is a gate: no rubber before the test casts are fired
    and approved. They dry and are fired as ware is, in loads of their own, which count
    among the week's, and the kiln is loaded and unloaded on days that are worked. Where
    they are refused, a new block mold and new test casts are made; of the masters one is
    refused.
    """
    terms = brief.preparation
    have = HAVE.index(terms.have)
    days = _Days(calendar, brief.edition.start, studio.kiln.loads_a_week)
    if standing is not None:
        days.week, days.week_loads = monday_of(standing.as_of), standing.week_loads
    again: list[Again] = []
    if have < 1:
        days.work("original", terms.original_days, terms.original_min)
    if have < 2:
        _make_block_mold(days, block_left(brief, standing), studio)
    if standing is not None and standing.block_mold_made is not None:
        dry = standing.block_mold_made + timedelta(days=studio.drying.days_high + 1)
        days.wait("block mold drying", max((dry - days.free).days, 0), _as_the_thickest(studio))
    if have < 3:
        _test_and_approve(days, brief, studio, route)
        other = days.from_now()
        _make_block_mold(other, block_left(brief), studio)
        _test_and_approve(other, brief, studio, route)
        again += _refused("test casts", terms.refused, days, other)
    if have < 4:
        days.work("masters", terms.masters_days, terms.masters_min)
        other = days.from_now()
        other.work("masters", terms.masters_days)
        again += _refused("one master", terms.refused, days, other)
    return Before(
        tuple(days.stages),
        tuple(days.tasks),
        calendar.after(days.free, 0),
        terms.test_casts if have < 3 else 0,
        int(have < 2),
        block_left(brief, standing).parts if have < 2 else (),
        tuple(again),
    )


def _refused(
    what: Literal["test casts", "one master"], chance: float, days: _Days, again: _Days
) -> Iterator[Again]:
    """Yield what is made once more in days of its own, and note it beside the last stage."""
    more = (again.free - days.free).days
    if chance and more:
        last, whose = days.stages[-1], "one is" if what == "one master" else "they are"
        note = "; ".join(filter(None, (last.note, f"{more} days more where {whose} refused")))
        days.stages[-1] = replace(last, note=note)
        yield Again(what, chance, more)


def _make_block_mold(days: _Days, left: BlockLeft, studio: Studio) -> None:
    """Make the block mold and let it dry."""
    days.work("block mold", left.days, left.minutes)
    days.wait("block mold drying", studio.drying.days_high, _as_the_thickest(studio))


def _as_the_thickest(studio: Studio) -> str:
    """Return why a block mold is given the longest that a mold dries; common practice, no source."""
    high = studio.drying.days_high
    return f"{high} days, the longest for a mold: it is the thickest; common practice, no source"


def _test_and_approve(days: _Days, brief: Brief, studio: Studio, route: Sequence[str]) -> None:
    """Make the test casts, fire and judge them."""
    terms = brief.preparation
    each = math.ceil(brief.work.cast_min) + math.ceil(brief.work.fettle_min)
    days.work("test casts", terms.test_casts, terms.test_casts * each)
    if terms.test_casts:
        _fire_tests(days, brief, studio, route)
    days.work("approval", terms.approval_days, note="the gate before rubber")


def _fire_tests(days: _Days, brief: Brief, studio: Studio, route: Sequence[str]) -> None:
    """Dry the test casts and take them through their firings."""
    tests, first = brief.preparation.test_casts, days.free
    days.free += timedelta(days=brief.firing.ware_dry_days)
    prepare = {"glaze": brief.work.glaze_min, "third": brief.work.third_min}
    for name in route:
        minutes = math.ceil(studio.kiln.handling_min) + tests * math.ceil(prepare.get(name, 0.0))
        days.free = days.load_from(days.free)
        days.tasks.append(Task(days.free, FIRE_TESTS, tests, minutes))
        days.free = days.calendar.after(
            days.free + timedelta(days=getattr(studio.kiln, f"{name}_days")), 0
        )
    days.stages.append(Stage("test casts drying and fired", first, days.free, ""))
    days.free += timedelta(days=1)


def monday_of(day: date) -> date:
    """Return the Monday of a day's week."""
    return day - timedelta(days=day.weekday())


class _Days:
    """The days as they are taken up, one stage after the other; ``free`` is the first that is not.

    ``week_loads`` went into the kiln in the week that begins on ``week``.
    """

    def __init__(self, calendar: Calendar, first: date, loads_a_week: float) -> None:
        self.calendar, self.free, self.loads_a_week = calendar, first, loads_a_week
        self.week, self.week_loads = monday_of(first), 0.0
        self.stages: list[Stage] = []
        self.tasks: list[Task] = []

    def from_now(self) -> _Days:
        """Return days that begin where these end."""
        later = _Days(self.calendar, self.free, self.loads_a_week)
        later.week, later.week_loads = self.week, self.week_loads
        return later

    def load_from(self, day: date) -> date:
        """Return the first worked day from a day on whose week has a load left, and take that load.

        Of half a load too many in a week, the next has so much less, as in the forecast.
        """
        while True:
            day = self.calendar.after(day, 0)
            while self.week < monday_of(day):
                over = self.week_loads - self.loads_a_week
                self.week_loads = over if 0 < over < 1 else 0.0
                self.week += timedelta(days=7)
            if self.week_loads < self.loads_a_week:
                self.week_loads += 1
                return day
            day = self.week + timedelta(days=7)

    def work(
        self, name: str, working_days: int, whole_min: float | None = None, note: str = ""
    ) -> None:
        """Take up working days with one task each, over which hands' minutes are spread evenly."""
        if not working_days:
            return
        open_days = list(self._open(working_days))
        minutes = math.ceil((whole_min or 0.0) / working_days)
        self.tasks += [Task(day, name, 1, minutes) for day in open_days]
        self.stages.append(Stage(name, open_days[0], open_days[-1], note))
        self.free = open_days[-1] + timedelta(days=1)

    def wait(self, name: str, days: int, note: str = "") -> None:
        """Let days pass in which nothing is done."""
        if days:
            last = self.free + timedelta(days=days - 1)
            self.stages.append(Stage(name, self.free, last, note))
            self.free = last + timedelta(days=1)

    def _open(self, count: int) -> Iterator[date]:
        day = self.free
        for _ in range(count):
            day = self.calendar.after(day, 0)
            yield day
            day += timedelta(days=1)
