"""A plan's tables as charts take them: stages and molds with their spells."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby, islice
from typing import TypeVar

from pourwright.plan.plan import Doing, MoldsRow, Plan, RiskRow, Stage
from pourwright.report.charts.records import (
    Days,
    Deadline,
    Finish,
    Kind,
    MoldLife,
    MoldsFinish,
    RiskBar,
    StageBar,
)
from pourwright.report.saying import sentence

Row = TypeVar("Row")
PREPARING = frozenset({"original", "block mold", "test casts", "approval", "masters"})
MOST_MOLDS = 14
"""More molds than this are shown by the day they were poured."""
CLOSED_DAYS = 5
"""A spell of so many closed days is shown; weekends and single holidays are not. [days]"""
MOST_RISKS = 6


def deadline_of(plan: Plan) -> Deadline | None:
    """Return the date wished for, if there is one."""
    day = plan.answer.deadline
    return None if day is None else Deadline(day)


def finish_of(plan: Plan) -> Finish:
    """Return the expected finish and the range of eight runs in ten."""
    ends = plan.odds.finish
    return Finish(plan.answer.finish, (ends.p10, ends.p90))


def mold_word(plan: Plan, row: MoldsRow) -> str:
    """Return what marks the plan's own number of molds, and the fewest that do."""
    if row.molds == plan.answer.molds:
        return "this plan"
    return "fewest" if row.least else ""


def mold_finishes(plan: Plan) -> list[MoldsFinish]:
    """Return the finishes by number of molds, each with the word that marks it."""
    return [
        MoldsFinish(row.molds, row.p10, row.p50, row.p90, mold_word(plan, row))
        for row in plan.odds.molds_for_chance.rows
    ]


def risks(plan: Plan) -> list[RiskBar]:
    """Return the inputs that move the middle finish as a chart takes them."""
    return [
        RiskBar(row.what, row.low, row.high, row.finish_low, row.finish_high)
        for row in moving_risks(plan)
    ]


def moving_risks(plan: Plan) -> tuple[RiskRow, ...]:
    """Return the inputs that move the middle finish by a day or more, the most first."""
    moving = (row for row in plan.odds.risks if row.finish_low != row.finish_high)
    return tuple(islice(moving, MOST_RISKS))


def pour_days(plan: Plan) -> list[date]:
    """Return the days on which molds are poured."""
    return [one.date for one in plan.plaster.session_list]


def stage_rows(plan: Plan) -> list[StageBar]:
    """Return the stages; a firing has a spell for each of its kiln loads."""
    firings = {firing.name for firing in plan.kiln.firings}
    return [_stage_row(plan, stage, firings) for stage in plan.stages]


def _stage_row(plan: Plan, stage: Stage, firings: set[str]) -> StageBar:
    """Return one stage as a chart takes it."""
    name = stage.name
    whole = (stage.starts, stage.ends)
    firing = name.removesuffix(" firing")
    if firing in firings:
        return StageBar(sentence(name)[:-1], "fire", _loads(plan, firing) or (whole,))
    kind: Kind = "prepare" if name in PREPARING else "dry" if "drying" in name else "hands"
    return StageBar(sentence(name)[:-1], kind, (whole,))


def _loads(plan: Plan, firing: str) -> tuple[Days, ...]:
    """Return from when to when each load of a firing is in the kiln, first in first out."""
    loaded = [day for day, _ in _done(plan, f"load {firing}")]
    taken = [day for day, _ in _done(plan, f"unload {firing}")]
    return tuple(zip(loaded, taken, strict=False))


def _done(plan: Plan, stage: str) -> Iterator[tuple[date, Doing]]:
    """Yield the days on which something is done, and what of it."""
    for entry in plan.calendar:
        for one in entry.doing:
            if one.stage == stage:
                yield entry.date, one


@dataclass(frozen=True, slots=True)
class MoldUse:
    """A mold of the plan: its label, when it is poured, and every day it is cast in."""

    label: str
    poured: date
    casts: tuple[date, ...]
    given: int = 0


def mold_uses(plan: Plan) -> list[MoldUse]:
    """Return the molds in the order in which they are poured, with their casts."""
    casts: dict[str, list[date]] = {}
    for stage in ("conditioning", "cast"):
        for day, one in _done(plan, stage):
            for label in one.molds:
                casts.setdefault(label, []).append(day)
    there = [
        MoldUse(one.label, one.poured, tuple(sorted(casts.get(one.label, ()))), one.casts)
        for one in (plan.book.molds if plan.book else ())
    ]
    return there + [
        MoldUse(label, day, tuple(sorted(casts.get(label, ()))))
        for day, one in _done(plan, "pour")
        for label in one.molds
    ]


def life_of(plan: Plan) -> int:
    """Return the casts a mold of the plan is counted to last."""
    rows = plan.molds
    own = next((row for row in rows if row.chosen), rows[0])
    return own.life


def mold_lives(plan: Plan) -> list[MoldLife]:
    """Return the molds as a chart takes them, those of one pouring together when there are many."""
    uses, life = mold_uses(plan), life_of(plan)
    if len(uses) <= MOST_MOLDS:
        return [_life([use], life) for use in uses]
    return [_life(list(group), life) for _, group in groupby(uses, key=lambda use: use.poured)]


def _life(uses: Sequence[MoldUse], life: int) -> MoldLife:
    """Return one mold, or several poured together, as a row."""
    first, last = uses[0].label, uses[-1].label
    name = first if first == last else f"{first} to {last.removeprefix('M-')}"
    days = [day for use in uses for day in use.casts]
    used = (min(days), max(days)) if days else None
    worn = all(use.given + len(use.casts) >= life for use in uses)
    return MoldLife(name, uses[0].poured, used, worn)


def closed_spells(plan: Plan) -> list[Days]:
    """Return the spells of days on which the studio is closed, those of a weekend left out."""
    spells = []
    for is_open, group in groupby(plan.calendar, key=lambda entry: entry.open):
        days = [entry.date for entry in group]
        if not is_open and len(days) >= CLOSED_DAYS:
            spells.append((days[0], days[-1]))
    return spells


def thinned(rows: Sequence[Row], most: int) -> list[Row]:
    """Return at most so many rows, evenly apart, the first and the last among them."""
    if len(rows) <= most:
        return list(rows)
    steps = {round(i * (len(rows) - 1) / (most - 1)) for i in range(most)}
    return [rows[i] for i in sorted(steps)]
