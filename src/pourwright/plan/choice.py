"""Which plan to take: the cheapest, the soonest, the one of fewest molds, or what the maker prefers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from pourwright.briefs.records import Prefer
from pourwright.plan.case import Case
from pourwright.plan.cost import Use, cost_of_plan, labor_h, use_of_runs
from pourwright.simulation.odds import Runs
from pourwright.simulation.search import Found

NEAR_MONEY = 0.002
"""Share of the cost by which two plans must differ before one is called cheaper: a coin is no reason."""
NEAR_DAYS = 1.0
_SLACK_IN_CHANCE = 0.02


@dataclass(frozen=True, slots=True)
class Way:
    """One plan among those for other numbers of molds, as its runs go.

    Parameters
    ----------
    found : Found
        Its expected course.
    finish : float
        The day by which half of the runs are done. [days]
    spent : float
        What its runs spend on average; see `spent_of`. [currency or h]
    poured : int
        Molds to pour in that course. [-]
    chance : float or None
        Share of the runs that keep the date. [-]
    """

    found: Found
    finish: float
    spent: float
    poured: int
    chance: float | None

    def beats(self, other: Way) -> bool:
        """Return whether it is as good in cost, finish and molds, and clearly better in one."""
        near = NEAR_MONEY * max(self.spent, other.spent)
        no_worse = (
            self.spent <= other.spent + near
            and self.finish <= other.finish + NEAR_DAYS / 2
            and self.poured <= other.poured
        )
        better = (
            self.spent < other.spent - near
            or self.finish < other.finish - NEAR_DAYS
            or self.poured < other.poured
        )
        return no_worse and better


def way_of(case: Case, found: Found, runs: Runs, deadline: int | None) -> Way:
    """Return a plan as its runs go."""
    ended = np.where(np.isfinite(runs.finish), runs.finish, 1e6)
    return Way(
        found,
        finish=float(np.median(ended)),
        spent=spent_of(case, use_of_runs(runs)),
        poured=case.to_pour(found.molds_poured),
        chance=None if deadline is None else float((runs.finish <= deadline).mean()),
    )


def spent_of(case: Case, use: Use) -> float:
    """Return what plans are compared by: their cost, or the hours of hands where these have no price."""
    if case.studio.prices.labor_per_h is None:
        return sum(labor_h(case, use).values())
    return float(cost_of_plan(case, use).total or 0)


def unbeaten(ways: Sequence[Way]) -> list[Way]:
    """Return the plans that none other beats in cost, finish and molds at once."""
    return [way for way in ways if not any(other.beats(way) for other in ways)]


def best_at(ways: Iterable[Way], what: Prefer) -> Way:
    """Return the cheapest, the soonest or the plan of fewest molds; of equals the one better elsewhere."""
    keys = {
        "cheapest": lambda way: (way.spent, way.finish, way.poured),
        "soonest": lambda way: (round(way.finish), way.spent, way.poured),
        "fewest molds": lambda way: (way.poured, way.spent, way.finish),
    }
    return min(ways, key=keys[what])


def in_time(ways: Sequence[Way], confidence: float, least: int | None) -> list[Way]:
    """Return the plans that keep the date at the confidence asked; ``least`` molds are known to."""
    if least is None:
        return []
    return [
        way
        for way in ways
        if way.found.molds == least
        or (way.found.molds > least and (way.chance or 0.0) >= confidence - _SLACK_IN_CHANCE)
    ]


def recommended(case: Case, ways: Sequence[Way], *, dated: bool) -> Way:
    """Return the plan to take of those that keep what is wished.

    What the maker prefers; else, with a date, the cheapest. Without one, the cheapest
    unless a week saved costs less than the brief says that it is worth.
    """
    terms = case.brief.edition
    if terms.prefer or dated:
        return best_at(ways, terms.prefer or "cheapest")
    a_week = terms.week_saved * min(way.spent for way in ways)
    return min(ways, key=lambda way: (way.spent + a_week * way.finish / 7, way.poured))
