"""Which rules an edition is made by: many are played on few runs, the best of them on more.

All rules meet the same runs, so that a difference is theirs and not luck's, and none of
these runs is told to anybody.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pourwright.simulation.odds import Futures, Runs, joined
from pourwright.simulation.problem import Edition, Floats, Policy
from pourwright.simulation.search import WAITS, even_loads, leads

FEW, MORE = 48, 120
"""Runs of the first rounds and of the last; fewer for larger editions, whose runs are more alike."""
_LARGE_FEW, _LARGE = 125, 250
"""Pieces from which on the first rounds, and the last, make fewer."""
_KEPT, _STEPS = 2, 2
"""A rule may be better only if it differs in two things at once."""
_SAFETIES = (0.5, 2.0)
_EAGER = (1.0, 4.0)
_NEAR_DAYS, _NEAR_SHARE, _CLEARLY = 0.25, 0.002, 0.005
"""Two rules that differ by less are equally soon, or equally cheap; and what is clearly cheaper."""


@dataclass(frozen=True, slots=True)
class Spending:
    """What is spent on each thing that a run uses up, in money or, without a price of labor, in hours.

    Parameters
    ----------
    fixed, cast, conditioning, mold, session : float
        Whatever is done, and for each of them. [currency or h]
    loads : tuple of float
        For a load of each firing. [currency or h]
    week_saved : float
        What a week sooner is worth, as a share of what is spent. [-]
    """

    fixed: float
    cast: float
    conditioning: float
    mold: float
    session: float
    loads: tuple[float, ...]
    week_saved: float

    def of(self, runs: Runs) -> Floats:
        """Return what each run spends. [currency or h]"""
        fired = sum(one * loads for one, loads in zip(self.loads, runs.loads, strict=True))
        return np.asarray(
            self.fixed
            + self.cast * runs.casts
            + self.conditioning * runs.conditioning
            + self.mold * runs.molds
            + self.session * runs.sessions
            + fired
        )


def first_rules(edition: Edition) -> tuple[Policy, ...]:
    """Return the rules that are tried first, for one mold."""
    lead = leads(edition)[1]
    usual = Policy(safety=1.0, lead=lead, eagerness=1.25)
    hurried = usual.but(part_load_wait=1, safety=2.0, eagerness=4.0)
    waits = (usual.but(part_load_wait=wait, least_fill=fill) for wait, fill in WAITS)
    return (*waits, hurried, hurried.but(least_fill=0.5))


def race(
    futures: Futures,
    spending: Spending,
    counts: Sequence[int],
    rules: Sequence[Policy],
    asked: int | None = None,
    *,
    near: bool = True,
) -> list[Policy]:
    """Return the best rules for each number of molds worth having.

    Parameters
    ----------
    futures : Futures
        The edition's runs.
    spending : Spending
        What is spent, and what a week is worth.
    counts : sequence of int
        Numbers of molds. [-]
    rules : sequence of Policy
        What is tried first, whatever its number of molds.
    asked : int, optional
        A number of molds that is kept where all its rules are beaten too. [-]
    near : bool
        Try also what differs from the best in a thing or two.

    Returns
    -------
    list of Policy
        For each number of molds the rule that spends least, the one that ends
        soonest, and the one that is best when a week has its price; fewer where
        they are the same, and none that another clearly beats.
    """
    need = futures.edition.need
    few = max(round(FEW * min(1.0, _LARGE_FEW / need)), 8)
    more = max(round(MORE * min(1.0, _LARGE / need)), 40)
    price = spending.week_saved
    known: dict[Policy, _Tried] = {}  # on few runs; what was tried once is not tried again

    def best_of(entered: list[Policy]) -> list[Policy]:
        known.update(_tried(futures, spending, [one for one in entered if one not in known], few))
        tried = [known[one] for one in dict.fromkeys(entered)]
        return [one.rule for one in _best(tried, _KEPT, price)]

    best = best_of([rule.but(molds=molds) for molds in counts for rule in rules])
    for _ in range(_STEPS * near):
        best = best_of([*best, *_near(best, futures.edition)])
    last = _best([*_tried(futures, spending, best, more).values()], 1, price)
    won = [one.rule for one in last if not any(other.beats(one) for other in last)]
    if all(rule.molds != asked for rule in won):
        won += [one.rule for one in last if one.rule.molds == asked]
    return won


def _near(rules: Iterable[Policy], edition: Edition) -> list[Policy]:
    """Return rules that differ from some in one thing: casts to spare, loads evened out, when molds follow."""
    early, _, late, *_ = leads(edition)
    changes: list[dict[str, Any]] = [{"safety": safety} for safety in _SAFETIES]
    changes += [{"eagerness": eager} for eager in _EAGER]
    changes += [{"lead": lead} for lead in (early, late)]
    changes += [{"capacity_limits": even_loads(edition, more)} for more in (0, 1)]
    return [rule.but(**change) for rule in rules for change in changes]


@dataclass(frozen=True, slots=True)
class _Tried:
    """How a rule's runs went on average: spent, days, molds poured."""

    rule: Policy
    spent: float
    days: float
    poured: float

    def beats(self, other: _Tried) -> bool:
        """Return whether it is clearly better in cost and days, and pours no more molds."""
        return (
            self.spent < other.spent * (1 - _CLEARLY)
            and self.days < other.days - _NEAR_DAYS
            and int(self.rule.molds) <= int(other.rule.molds)
            and self.poured <= other.poured
        )


def _tried(
    futures: Futures, spending: Spending, rules: Iterable[Policy], count: int
) -> dict[Policy, _Tried]:
    """Return how some rules go, all on the same so many runs."""
    fresh = list(dict.fromkeys(rules))
    if not fresh:
        return {}
    futures.prepare(fresh, count)
    runs = joined([futures.runs(rule, count) for rule in fresh])
    late = len(futures.workshop.minutes)
    days = np.where(np.isfinite(runs.finish), runs.finish, late).reshape(-1, count).mean(axis=1)
    spent = spending.of(runs).reshape(-1, count).mean(axis=1)
    poured = runs.molds.reshape(-1, count).mean(axis=1)
    columns = zip(fresh, spent, days, poured, strict=True)
    return {rule: _Tried(rule, *(float(one) for one in told)) for rule, *told in columns}


def _best(tried: Sequence[_Tried], kept: int, week_saved: float) -> list[_Tried]:
    """Return the few best at something for their number of molds: cheapest, soonest, or of most worth."""
    found: dict[Policy, _Tried] = {}
    day = week_saved * min(one.spent for one in tried) / 7
    for molds in dict.fromkeys(one.rule.molds for one in tried):
        own = [one for one in tried if one.rule.molds == molds]
        soon = min(one.days for one in own) + _NEAR_DAYS
        cheap = min(one.spent for one in own) * (1 + _NEAR_SHARE)
        orders = (
            sorted(own, key=lambda one: (max(one.spent, cheap), one.days)),
            sorted(own, key=lambda one: (max(one.days, soon), one.spent)),
            sorted(own, key=lambda one: one.spent + day * one.days),
        )
        found.update((one.rule, one) for order in orders for one in order[:kept])
    return list(found.values())
