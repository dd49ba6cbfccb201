"""Which plan to take: the cheapest, the soonest, the one of fewest molds, or what the maker prefers."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_EVEN, Decimal

import numpy as np

from pourwright.briefs.records import Prefer
from pourwright.plan.case import Case
from pourwright.plan.cost import Use, cost_of_plan, labor_h, use_of_runs
from pourwright.plan.molds import casts_in_time
from pourwright.plan.plan import WORTH_CHASING, same_cost
from pourwright.simulation.odds import Runs
from pourwright.simulation.race import Spending
from pourwright.simulation.search import Found

NEAR_DAYS = 1.0
NEAR_CHANCE = 0.05
"""How far below the best chance of a date a plan may stay where none is sure enough: our own choice."""


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
        """Return whether it is as good in cost, finish and molds, and clearly better in one.

        A plan that keeps the date more surely is not beaten, though half of its runs end no sooner.
        """
        no_worse = (
            (self.spent <= other.spent or same_cost(self.spent, other.spent))
            and self.finish <= other.finish + NEAR_DAYS / 2
            and self.poured <= other.poured
            and (self.chance or 0.0) >= (other.chance or 0.0)
        )
        better = (
            (self.spent < other.spent and not same_cost(self.spent, other.spent))
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
    return money_of(case, use)


def money_of(case: Case, use: Use) -> float:
    """Return what is priced of a plan. [currency]"""
    return float(cost_of_plan(case, use).total or 0)


def spending_of(case: Case, spent_of: Callable[[Case, Use], float] = spent_of) -> Spending:
    """Return what each thing that a run uses up adds to what plans are compared by.

    A bag of plaster that is begun counts for a part of its price here.
    """
    many, there = 100, len(case.edition.already.molds)
    casts = max(case.target, 1)
    no_loads = (0.0,) * len(case.edition.firings)
    nothing = Use(0, 0, there, 0, no_loads)
    fixed = spent_of(case, nothing)

    def each(use: Use, count: int) -> float:
        return (spent_of(case, use) - fixed) / count

    mold = each(replace(nothing, molds_poured=there + many), many)
    return Spending(
        fixed=fixed - mold * there,
        cast=each(replace(nothing, casts=casts), casts),
        conditioning=each(replace(nothing, conditioning=many), many),
        mold=mold,
        session=each(replace(nothing, sessions=many), many),
        loads=tuple(
            each(replace(nothing, loads=(*no_loads[:k], many, *no_loads[k + 1 :])), many)
            for k in range(len(no_loads))
        ),
        week_saved=case.brief.edition.week_saved,
    )


def added_cost(case: Case, runs: Runs, before: Runs, money: Spending) -> Decimal | None:
    """Return what runs cost more than others with the same luck; below 0 what they save.

    ``money`` is what each thing used up costs. No finer than the runs can tell; None where
    nothing is priced. [currency]
    """
    if cost_of_plan(case, use_of_runs(runs)).total is None:
        return None
    more = money.of(runs) - money.of(before)
    return on_its_error(float(more.mean()), float(more.std(ddof=1)) / math.sqrt(len(more)))


def on_its_error(mean: float, error: float) -> Decimal:
    """Return a mean over runs, no finer than its standard error allows.

    Other luck moves what is returned by no more than one unit in nineteen of
    twenty: two means differ by less than 2.8 errors then.

    Examples
    --------
    >>> print(on_its_error(1234.5, 2.0), on_its_error(-0.31, 0.002), on_its_error(3.0, 5.0))
    1230 -0.31 0
    """
    digits = math.ceil(math.log10(2.8 * error)) if error > 0 else -2
    unit = Decimal(1).scaleb(max(digits, -2))
    steps = (Decimal(repr(mean)) / unit).quantize(Decimal(1), rounding=ROUND_HALF_EVEN)
    return (steps * unit).quantize(min(unit, Decimal(1))) + 0


def unbeaten(ways: Sequence[Way]) -> list[Way]:
    """Return the plans that none other beats in cost, finish and molds at once."""
    return [way for way in ways if not any(other.beats(way) for other in ways)]


def best_at(ways: Sequence[Way], what: Prefer) -> Way:
    """Return the cheapest, the soonest or the plan of fewest molds; of equals the one better elsewhere."""
    if what == "soonest":
        soon = min(round(way.finish) for way in ways)
        ways = [way for way in ways if round(way.finish) == soon]
    elif what == "fewest molds":
        few = min(way.poured for way in ways)
        ways = [way for way in ways if way.poured == few]
    return _of_one_cost(ways, min(ways, key=lambda way: way.spent))


def _of_one_cost(ways: Iterable[Way], best: Way) -> Way:
    """Return the soonest of the plans that cost the same as one, of equals that of fewest molds."""
    same = [way for way in ways if same_cost(way.spent, best.spent)]
    return min(same, key=lambda way: (round(way.finish), way.poured, way.spent))


def in_time(ways: Sequence[Way], confidence: float) -> list[Way]:
    """Return the plans that keep the date at the confidence asked."""
    return [way for way in ways if (way.chance or 0.0) >= confidence]


def in_reach(ways: Sequence[Way], confidence: float) -> list[Way]:
    """Return the plans that keep the date at the confidence asked, or nearly as well as any does; none where that is hopeless."""
    best = max(way.chance or 0.0 for way in ways)
    if best < min(confidence, WORTH_CHASING):
        return []
    return in_time(ways, confidence if best >= confidence else best - NEAR_CHANCE)


def in_order(case: Case, ways: Sequence[Way], *, dated: bool) -> list[Way]:
    """Return plans in the order in which they would be taken: the best, then the best of the others, and so on."""
    left, order = list(ways), []
    while left:
        order.append(recommended(case, left, dated=dated))
        left.remove(order[-1])
    return order


def recommended(case: Case, ways: Sequence[Way], *, dated: bool) -> Way:
    """Return the plan to take.

    What the maker prefers; else, of those that keep the date, or nearly as well as any, the
    cheapest. Where there is no date or it is hopeless, the cheapest unless a week saved costs
    less than the brief says that it is worth. Plans that cast no longer than wished come first.
    """
    terms = case.brief.edition
    keeping = in_time if terms.prefer else in_reach
    fit = keeping(ways, terms.confidence) if dated else list(ways)
    if not fit:
        return _best(case, ways, dated=False)
    short = [way for way in fit if casts_in_time(case, way.found)]
    return _best(case, short or fit, dated=dated)


def _best(case: Case, ways: Sequence[Way], *, dated: bool) -> Way:
    terms = case.brief.edition
    if terms.prefer:
        return best_at(ways, terms.prefer)
    return best_at(ways, "cheapest") if dated else best_for_the_money(ways, terms.week_saved)


def best_for_the_money(ways: Sequence[Way], week_saved: float) -> Way:
    """Return the plan that spends least when a week sooner is worth a share of what is spent."""
    a_week = week_saved * min(way.spent for way in ways)
    best = min(ways, key=lambda way: (way.spent + a_week * way.finish / 7, way.poured))
    return _of_one_cost(ways, best)
