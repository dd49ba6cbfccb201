"""Stages and the calendar: days alike are said once, weeks alike as well."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import chain, groupby

from pourwright.plan.plan import Doing, Marked, Plan, PlanDay, Stage
from pourwright.report.blocks import (
    Block,
    FactRow,
    Section,
    Table,
    Text,
    Week,
    Weeks,
)
from pourwright.report.plan_charts import plan_figures
from pourwright.report.plaster import batches_on, block_weights, weighed_on
from pourwright.report.saying import Say, count, listed, sentence

DOING = {
    "original": "work on the original",
    "block mold": "make the block mold",
    "test casts": "make a test cast",
    "fire test casts": "fire the {n} test casts",
    "approval": "judge the test casts",
    "masters": "make the masters",
    "pour": "pour {molds}",
    "conditioning": "make {first_casts}, thrown away",
    "cast": "cast {n}",
    "fettle": "fettle {n}",
    "glaze": "glaze {n}",
    "decorate": "decorate {n}",
    "prepare for third": "decorate {n}",
    "finish": "inspect and pack {n}",
}
"""What is done on a day, by the plan's name of it; ``load X`` and ``unload X`` come on top."""

MARKING: dict[Marked, dict[str, str]] = {
    "leather-hard": {"fettle": "fettle and mark {n}"},
    "before glaze": {"glaze": "mark and glaze {n}"},
    "end": {"finish": "inspect, mark and pack {n}"},
}
"""What is said instead, by when a piece gets its number."""

FIRINGS = {"third": "third firing"}

WAITING = "nothing to do by hand; drying and the kiln go on"


def stages_words(plan: Plan) -> Section:
    """Return the stages with their first and last day."""
    say = Say.of(plan)
    rows = tuple(
        (_stage(s), say.day(s.starts, weekday=False), say.day(s.ends, weekday=False))
        for s in plan.stages
    )
    table = Table(
        caption="Stages, first and last day",
        columns=(("Stage", "left"), ("Starts", "left"), ("Ends", "left")),
        rows=rows,
        narrow="fit",
    )
    gate = Text(
        "Rubber waits for approval: the block mold is cast three to five times and fired, and wall, "
        "handle, seam, size and release are judged before masters are made.",
    )
    figure = plan_figures(plan)["timeline"]
    blocks: tuple[Block, ...] = (gate, figure, table) if _makes_masters(plan) else (figure, table)
    return Section("stages", "Stages", blocks)


def _stage(stage: Stage) -> str:
    """Return the name of a stage, and its note when it has one."""
    name = sentence(stage.name)[:-1]
    return f"{name} ({stage.note})" if stage.note else name


def _makes_masters(plan: Plan) -> bool:
    """Return whether masters are still to be made."""
    return any(stage.name == "masters" for stage in plan.stages)


def calendar_words(plan: Plan) -> Section:
    """Return the calendar, week by week, closed days without a reason left out."""
    runs = _runs(plan)
    near, later = _later(runs, Say.of(plan))
    weeks = tuple(_weeks(plan, runs))
    text = Text(
        "The time beside a day is that of hands. Days alike stand in one line; days without hands' work are "
        "left out. Drying and the kiln go on by themselves."
    )
    return Section(
        "calendar",
        "Day by day",
        (text, Weeks("What is done when", weeks, near=near, later=later)),
        fresh_page=True,
    )


def days_in_words(plan: Plan, first: date, last: date) -> tuple[FactRow, ...]:
    """Return what is done and weighed from a day to a day, days alike in one line."""
    entries = (entry for entry in plan.calendar if first <= entry.date <= last)
    said = [_with_weights(plan, _said(plan, entry)) for entry in entries]
    return tuple(_rows(said, Say.of(plan), alike=False))


def doing_words(plan: Plan, entry: PlanDay, begun: Collection[str] = ()) -> str:
    """Return what hands do on a day, empty if nothing; ``begun`` are parts of a block mold at work."""
    tests = sum(
        one.count for day in plan.calendar for one in day.doing if one.stage == "test casts"
    )
    words = DOING | _marking(plan, entry)
    if tests > 1:
        words |= {"test casts": f"make one of the {tests} test casts"}
    words |= _block_mold(plan, entry, begun)
    return "; ".join(_phrase(one, words) for one in entry.doing)


def to_mark(plan: Plan, day: date, one: Doing) -> int:
    """Return how many pieces are still to be marked in a piece of a day's work. [-]

    What the book says is marked already is taken up first.
    """
    if one.stage not in MARKING[plan.numbers.marked]:
        return 0
    marked = plan.book.marked if plan.book else 0
    days = (entry for entry in plan.calendar if entry.date < day)
    before = sum(it.count for entry in days for it in entry.doing if it.stage == one.stage)
    return max(one.count - max(marked - before, 0), 0)


def _marking(plan: Plan, entry: PlanDay) -> dict[str, str]:
    """Return what is said of the work of a day in which pieces are marked."""
    said: dict[str, str] = {}
    for one in entry.doing:
        left = to_mark(plan, entry.date, one)
        if left == one.count:
            said |= MARKING[plan.numbers.marked]
        elif left:
            said[one.stage] = f"mark {left}; {DOING[one.stage]}"
    return said


def block_parts(plan: Plan, day: date, begun: Collection[str] = ()) -> list[str]:
    """Return the parts of a block mold that are poured on a day, those that are begun left out."""
    block = plan.plaster.block_mold
    batches = block.batches if block else ()
    return [one.part for one in batches if one.date == day and one.part not in begun]


def _block_mold(plan: Plan, entry: PlanDay, begun: Collection[str]) -> dict[str, str]:
    """Return which parts of a block mold of several are poured on a day."""
    if len(plan.plaster.parts) == 1:
        return {}
    parts = block_parts(plan, entry.date, begun)
    return {"block mold": f"make the block mold: pour {listed(parts)}"} if parts else {}


@dataclass(frozen=True, slots=True)
class _Day:
    """One day as it is said: ``doing`` is empty on a closed day without a reason, ``molds`` are those poured."""

    when: date
    doing: str
    used_min: int
    cast: int
    molds: tuple[str, ...] = ()

    @property
    def alike(self) -> str:
        """What is done on it, whichever molds are poured."""
        return self.doing.replace(listed(self.molds), "") if self.molds else self.doing


def _runs(plan: Plan) -> list[list[list[_Day]]]:
    """Return the weeks in which something is done, those of one pattern that follow each other together."""
    said = (_said(plan, entry) for entry in plan.calendar)
    by_week = [list(w) for _, w in groupby(said, key=lambda d: _monday(d.when))]
    busy = [week for week in by_week if any(d.doing for d in week)]
    return [list(alike) for _, alike in groupby(busy, key=_pattern)]


def _later(runs: list[list[list[_Day]]], say: Say) -> tuple[int, str]:
    """Return how many runs of weeks begin within a fortnight of the first, and what the others are called."""
    starts = [_monday(run[0][0].when) for run in runs]
    near = sum(start < starts[0] + timedelta(days=14) for start in starts)
    if near == len(runs):
        return 0, ""
    last = [d.when for d in runs[-1][-1] if d.doing][-1]
    return near, f"Later, until {say.day(last)}"


def _weeks(plan: Plan, runs: list[list[list[_Day]]]) -> Iterable[Week]:
    """Yield the weeks, those alike as one."""
    say, done = Say.of(plan), 0
    for run in runs:
        done += sum(d.cast for week in run for d in week)
        note = f"{done} of {plan.answer.casts} cast" if any(d.cast for d in run[-1]) else ""
        yield Week(_title(run, say), tuple(_rows(run[-1], say, alike=len(run) > 1)), note)


def _monday(when: date) -> date:
    """Return the Monday of a day's week."""
    return when - timedelta(days=when.weekday())


def _said(plan: Plan, entry: PlanDay) -> _Day:
    """Return one day of the plan in words."""
    doing = doing_words(plan, entry)
    if not doing and entry.open:
        doing = WAITING
    if not entry.open and entry.why:
        doing = "; ".join(filter(None, (f"closed: {entry.why}", doing)))
    cast = sum(one.count for one in entry.doing if one.stage == "cast")
    poured = (one.molds for one in entry.doing if one.stage == "pour")
    return _Day(entry.date, doing, entry.used_min, cast, tuple(chain(*poured)))


def _with_weights(plan: Plan, day: _Day) -> _Day:
    """Return a day with what is weighed on it, if plaster is poured: beside each part of a block mold its own."""
    parts, weights = block_parts(plan, day.when), weighed_on(plan, day.when)
    named = f"pour {listed(parts)}"
    if parts and named in day.doing and not batches_on(plan, day.when):
        return replace(day, doing=day.doing.replace(named, block_weights(plan, day.when)))
    return replace(day, doing=f"{day.doing}; weigh {weights}") if weights else day


def _phrase(one: Doing, words: Mapping[str, str]) -> str:
    """Return one thing done on a day."""
    stage, n = one.stage, one.count
    kiln, _, firing = stage.partition(" ")
    firing = FIRINGS.get(firing, f"{firing} firing")
    if kiln == "load":
        part_full = f" where {one.of} fit, {one.why}" if one.why else ""
        return f"load the {firing}: {count(n, 'piece')}{part_full}"
    if kiln == "unload":
        return (
            f"unload the {firing}: about {n} of {one.of} good"
            if one.of is not None
            else f"unload the {firing}"
        )
    return words.get(stage, f"{stage} {{n}}").format(
        n=n, molds=_poured(one), first_casts=count(n, "first cast")
    )


def _poured(one: Doing) -> str:
    """Return the molds poured, by their labels when the plan has them."""
    number = count(one.count, "mold")
    return f"{number}, {listed(one.molds)}" if one.molds else number


def _pattern(week: list[_Day]) -> tuple[tuple[int, str], ...]:
    """Return what makes two weeks alike: the same things on the same weekdays."""
    return tuple((d.when.weekday(), d.doing) for d in _worth_saying(week))


def _title(run: list[list[_Day]], say: Say) -> str:
    """Return the title of a week, or of several alike."""
    first, last = _monday(run[0][0].when), _monday(run[-1][0].when)
    if first == last:
        return f"Week of {say.day(first, weekday=False)}"
    return f"{len(run)} weeks alike, {say.span(first, last + timedelta(days=6))}"


def _rows(week: list[_Day], say: Say, *, alike: bool) -> Iterable[FactRow]:
    """Yield the lines of a week, days alike in one line."""
    for _, group in groupby(_worth_saying(week), key=lambda d: d.alike):
        run = list(group)
        yield _span(run, say, month=not alike), sentence(_doing(run))[:-1], _hands(run, say)


def _doing(run: list[_Day]) -> str:
    """Return what is done on days alike, the molds that are poured on them from the first to the last."""
    first, molds = run[0].doing, [mold for day in run for mold in day.molds]
    if first == run[-1].doing:
        return first
    poured = listed(molds) if len(molds) < 3 else f"{molds[0]} to {molds[-1]}"
    return f"each day {first.replace(listed(run[0].molds), poured)}"


def _worth_saying(week: list[_Day]) -> list[_Day]:
    """Return the days to be shown: those that only wait go unsaid beside busier ones."""
    said = [d for d in week if d.doing]
    busy = [d for d in said if d.doing != WAITING]
    return busy or said


def _span(run: list[_Day], say: Say, *, month: bool) -> str:
    """Return the days of a line; weeks alike name weekdays only."""
    first, last = run[0].when, run[-1].when
    if not month:
        names = [say.day_in_week(when)[:3] for when in (first, last)]
        return names[0] if first == last else f"{names[0]} to {names[1]}"
    if first == last:
        return say.day_in_week(first)
    months = first.month != last.month
    if say.units == "us":  # the month is told by the first day that has it
        return f"{say.day_in_week(first)} to {say.day_in_week(last, month=months)}"
    return f"{say.day_in_week(first, month=months)} to {say.day_in_week(last)}"


def _hands(run: list[_Day], say: Say) -> str:
    """Return the hands-on time of a day, the longest of the line."""
    least, most = min(d.used_min for d in run), max(d.used_min for d in run)
    if not most:
        return ""
    each = " each day" if len(run) > 1 else ""
    return f"{'' if least == most else 'up to '}{say.duration(most)}{each}"
