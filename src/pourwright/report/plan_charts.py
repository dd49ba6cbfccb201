"""A plan's charts: their words for everyone, and their drawings for a page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from typing import TypeVar

from pourwright.plan.plan import FanDay, MoldsDay, MoldsRow, Plan
from pourwright.report.blocks import Figure, Row, Section, Table
from pourwright.report.chart_rows import (
    MoldUse,
    closed_spells,
    deadline_of,
    finish_of,
    life_of,
    mold_finishes,
    mold_lives,
    mold_uses,
    mold_word,
    moving_risks,
    pour_days,
    risks,
    stage_rows,
    thinned,
)
from pourwright.report.charts.fan import fan_chart
from pourwright.report.charts.frame import Drawing
from pourwright.report.charts.molds import molds_chart
from pourwright.report.charts.records import DESKTOP, PHONE, Look
from pourwright.report.charts.render import svg_in_page
from pourwright.report.charts.risks import risks_chart
from pourwright.report.charts.timeline import timeline_chart
from pourwright.report.charts.use import use_chart
from pourwright.report.charts.ways import ways_chart
from pourwright.report.saying import Say, count

Days = TypeVar("Days", FanDay, MoldsDay)
MOST_ROWS = 12
"""Rows of a table over time; more would be read by nobody."""


def fan_figure(plan: Plan) -> Figure:
    """Return the words of the fan of pieces finished over time."""
    rows = _moving(plan.odds.fan, lambda day: day.p90, lambda day: day.p10)
    table = Table(
        caption="Pieces finished: no more than these, so many times in a hundred",
        columns=(
            ("By", "left"),
            *((f"{n} %", "right") for n in (10, 25, 50, 75, 90)),
        ),
        rows=tuple(
            (_said(plan, row.date), *map(str, (row.p10, row.p25, row.p50, row.p75, row.p90)))
            for row in thinned(rows, MOST_ROWS)
        ),
        narrow="fit",
    )
    return Figure(
        "fan",
        "Pieces finished over time (pieces, proofs among them)",
        _fan_alt(plan),
        table,
        key="Dark band: half of the time. Pale band: eight times in ten. Line: the middle.",
    )


def _fan_alt(plan: Plan) -> str:
    """Return what the fan shows."""
    ends = plan.odds.finish
    shown = (
        f"A fan of curves: the edition is done at even odds by {_said(plan, ends.p50)}, "
        f"nine times in ten by {_said(plan, ends.p90)}"
    )
    deadline = plan.answer.deadline
    if deadline is None:
        return f"{shown}."
    then = _at(plan.odds.fan, deadline)
    lost = "; a lost proof is not made again" if then.p10 < _wanted(plan) else ""
    return (
        f"{shown}; on your date, {_said(plan, deadline)}, {then.p50} of {_wanted(plan)} are done in the "
        f"middle of all cases and {then.p10} or fewer one time in ten{lost}."
    )


def _at(rows: Sequence[FanDay], day: date) -> FanDay:
    """Return the last row that is not after a date, or the first."""
    return next((row for row in reversed(rows) if row.date <= day), rows[0])


def ways_figure(plan: Plan) -> Figure:
    """Return the words of the ten ways it may go."""
    days, ends = plan.odds.ten_ways, plan.odds.finish
    table = Table(
        caption="Finished, one line for each",
        columns=(("Way", "left"), ("Finished", "left")),
        rows=tuple((str(n), _said(plan, day)) for n, day in enumerate(days, 1)),
        narrow="fit",
    )
    alt = (
        f"Ten discs along the calendar, from {_said(plan, days[0])} to {_said(plan, days[9])}: five by "
        f"{_said(plan, ends.p50)}, the even odds, and nine by {_said(plan, ends.p90)}."
    )
    return Figure(
        "ways",
        "Ten ways it may go, each as likely (last piece packed)",
        alt,
        table,
        key="A disc: the day on which the last piece is packed.",
    )


def use_figure(plan: Plan) -> Figure:
    """Return the words of the molds in use and worn."""
    rows = _moving(plan.odds.molds_in_use, lambda day: day.p90, lambda day: day.p90, falling=True)
    table = Table(
        caption="Molds in use: no more than these, so many times in a hundred. Worn: the middle",
        columns=(
            ("On", "left"),
            ("10 %", "right"),
            ("50 %", "right"),
            ("90 %", "right"),
            ("Worn", "right"),
        ),
        rows=tuple(
            (_said(plan, row.date), *map(str, (row.p10, row.p50, row.p90, row.worn_p50)))
            for row in thinned(rows, MOST_ROWS)
        ),
        narrow="fit",
    )
    return Figure(
        "use",
        "Molds in use, and worn by then (molds)",
        _use_alt(plan),
        table,
        key="Solid line: dry and not worn, the middle; band: eight times in ten. "
        "Dashed line: worn, a diamond for each change.",
    )


def _use_alt(plan: Plan) -> str:
    """Return what the curve of molds in use shows."""
    rows = plan.odds.molds_in_use
    most = max(row.p50 for row in rows)
    first = next(row.date for row in rows if row.p50 == most)
    last = next((r.date for r in reversed(rows) if r.p50 > 0), rows[-1].date)
    worn = rows[-1].worn_p50
    return (
        f"A stepped curve: in the middle of all cases up to {count(most, 'mold')} can be cast in from "
        f"{_said(plan, first)}, the last until about {_said(plan, last)}, and {worn or 'none'} of them "
        f"{'wears' if worn == 1 else 'wear'} out."
    )


def timeline_figure(plan: Plan) -> Figure:
    """Return the words of the calendar of stages and molds."""
    life = life_of(plan)
    rows = tuple(_mold_row(plan, use, life) for use in mold_uses(plan))
    table = Table(
        caption="Molds: poured, first and last cast, casts in all",
        columns=(
            ("Mold", "left"),
            ("Poured", "left"),
            ("First cast", "left"),
            ("Last cast", "left"),
            ("Casts", "right"),
        ),
        rows=rows,
        narrow="cards",
        note=f"A mold is counted to last {count(life, 'cast')}.",
    )
    return Figure(
        "timeline",
        "Stages and molds (calendar days)",
        _timeline_alt(plan),
        table,
        key="Open bar: preparation. Dashed bar: drying. Solid bar: by hand. Block: a kiln load. "
        "Diamond: worn. Broad bar: the finish eight times in ten, its disc as in the calendar.",
    )


def _mold_row(plan: Plan, use: MoldUse, life: int) -> Row:
    """Return one mold's line."""
    casts = use.casts
    worn = " (worn)" if use.given + len(casts) >= life else ""
    first, last = (
        (_said(plan, casts[0]), _said(plan, casts[-1])) if casts else ("not used", "not used")
    )
    before = f"{use.given} + " if use.given else ""
    return use.label, _said(plan, use.poured), first, last, f"{before}{len(casts)}{worn}"


def _timeline_alt(plan: Plan) -> str:
    """Return what the calendar shows."""
    uses, life = mold_uses(plan), life_of(plan)
    worn = sum(use.given + len(use.casts) >= life for use in uses)
    answer = plan.answer
    start = min(stage.starts for stage in plan.stages)
    poured = "" if answer.first_pour is None else f" poured from {_said(plan, answer.first_pour)}"
    cast = "" if answer.first_cast is None else f", cast from {_said(plan, answer.first_cast)}"
    return (
        f"Bars along the calendar: work from {_said(plan, start)} to {_said(plan, answer.finish)}, "
        f"{count(len(uses), 'mold')}{poured}{cast}, {worn or 'none'} of them worn before the end."
    )


def molds_figure(plan: Plan) -> Figure:
    """Return the words of the curve of finishes over the number of molds."""
    rows = plan.odds.molds_for_chance.rows
    table = Table(
        caption="Finished by then, so many times in a hundred",
        columns=(("Molds", "left"), ("10 %", "left"), ("50 %", "left"), ("90 %", "left")),
        rows=tuple(
            (str(row.molds), _said(plan, row.p10), _said(plan, row.p50), _said(plan, row.p90))
            for row in rows
        ),
        marked=tuple(i for i, row in enumerate(rows) if mold_word(plan, row) == "this plan"),
        mark_word="this plan",
        narrow="fit",
    )
    return Figure(
        "molds",
        "Finish by number of molds (date)",
        _molds_alt(plan, rows),
        table,
        key="Bar: eight times in ten. Disc: the middle.",
    )


def _molds_alt(plan: Plan, rows: Sequence[MoldsRow]) -> str:
    """Return what the curve over molds shows."""
    fewest, most = rows[0], rows[-1]
    shown = (
        f"A curve over the number of molds: with {count(fewest.molds, 'mold')} it is finished, eight times "
        f"in ten, from {_said(plan, fewest.p10)} to {_said(plan, fewest.p90)}"
    )
    if fewest is not most:
        shown += f", with {most.molds} from {_said(plan, most.p10)} to {_said(plan, most.p90)}"
    if plan.answer.deadline is None:
        return f"{shown}."
    found, asked = plan.odds.molds_for_chance, f"{plan.odds.confidence:.0%}"
    least = found.molds
    does = "none of them" if least is None else f"{least} or more molds"
    keep = "keeps" if least is None else "keep"
    return f"{shown}; {does} {keep} your date {asked.replace('%', ' %')} of the time."


def risks_figure(plan: Plan) -> Figure | None:
    """Return the words of what moves the finish, or nothing if nothing does."""
    rows = moving_risks(plan)
    if not rows:
        return None
    table = Table(
        caption="Each thing at either end, and the average finish then",
        columns=(
            ("What", "left"),
            ("Low end", "left"),
            ("Average finish", "left"),
            ("High end", "left"),
            ("Average finish", "left"),
        ),
        rows=tuple(
            (r.what, r.low, _said(plan, r.finish_low), r.high, _said(plan, r.finish_high))
            for r in rows
        ),
        narrow="cards",
    )
    first = rows[0]
    alt = (
        f"Bars, the longest first: {first.what} moves the average finish "
        f"from {_said(plan, min(first.finish_low, first.finish_high))} to "
        f"{_said(plan, max(first.finish_low, first.finish_high))}, more than anything else."
    )
    return Figure(
        "risks",
        "What changes the date (average finish)",
        alt,
        table,
        key="Ring: at its low end. Disc: at its high end.",
    )


def _moving(
    rows: Sequence[Days],
    starts: Callable[[Days], int],
    ends: Callable[[Days], int],
    *,
    falling: bool = False,
) -> Sequence[Days]:
    """Return the rows from just before something changes to just after nothing does any more."""
    first = next((i for i, row in enumerate(rows) if starts(row) > 0), 0)
    goal = 0 if falling else max(map(ends, rows))
    last = next((i for i, r in enumerate(rows) if i >= first and ends(r) == goal), len(rows) - 1)
    return rows[max(first - 1, 0) : last + 1]


def _wanted(plan: Plan) -> int:
    """Return pieces and proofs. [pieces]"""
    return plan.edition.pieces + plan.edition.proofs


def _said(plan: Plan, when: date) -> str:
    """Return a date as it is said."""
    return Say.of(plan).day(when, weekday=False)


def plan_figures(plan: Plan) -> dict[str, Figure]:
    """Return the figures of a plan in words, by name; one that has nothing to show is left out."""
    made = (
        ways_figure(plan),
        fan_figure(plan),
        use_figure(plan),
        timeline_figure(plan),
        molds_figure(plan),
        risks_figure(plan),
    )
    return {figure.name: figure for figure in made if figure is not None}


def with_drawings(sections: tuple[Section, ...], plan: Plan) -> tuple[Section, ...]:
    """Return sections in which every figure is drawn in phone and desktop width, for a page."""
    return tuple(
        replace(
            section,
            blocks=tuple(
                _drawn(block, plan) if isinstance(block, Figure) else block
                for block in section.blocks
            ),
        )
        for section in sections
    )


def _drawn(figure: Figure, plan: Plan) -> Figure:
    """Return a figure with its drawings for a page, in the page's own colors."""
    phone, desktop = (svg_in_page(chart(plan, figure.name, look)) for look in (PHONE, DESKTOP))
    return replace(figure, svg_phone=phone, svg_desktop=desktop)


def chart(plan: Plan, name: str, look: Look) -> Drawing:
    """Return a chart of a plan by its name, such as "fan"."""
    return CHARTS[name](plan, replace(look, month_first=plan.studio.units == "us"))


def _fan(plan: Plan, look: Look) -> Drawing:
    deadline, finish = deadline_of(plan), plan.odds.finish
    return fan_chart(plan.odds.fan, look, wanted=_wanted(plan), deadline=deadline, finish=finish)


def _ways(plan: Plan, look: Look) -> Drawing:
    return ways_chart(plan.odds.ten_ways, look, deadline=deadline_of(plan))


def _use(plan: Plan, look: Look) -> Drawing:
    pours, deadline = pour_days(plan), deadline_of(plan)
    return use_chart(plan.odds.molds_in_use, look, pours=pours, deadline=deadline)


def _timeline(plan: Plan, look: Look) -> Drawing:
    return timeline_chart(
        stage_rows(plan),
        mold_lives(plan),
        look,
        finish=finish_of(plan),
        closed=closed_spells(plan),
        deadline=deadline_of(plan),
    )


def _molds(plan: Plan, look: Look) -> Drawing:
    return molds_chart(mold_finishes(plan), look, deadline=deadline_of(plan))


def _risks(plan: Plan, look: Look) -> Drawing:
    average, deadline = plan.odds.average_finish, deadline_of(plan)
    return risks_chart(risks(plan), look, average=average, deadline=deadline)


CHARTS: dict[str, Callable[[Plan, Look], Drawing]] = {
    "ways": _ways,
    "fan": _fan,
    "use": _use,
    "timeline": _timeline,
    "molds": _molds,
    "risks": _risks,
}
"""How each chart of a plan is drawn, by its name."""
