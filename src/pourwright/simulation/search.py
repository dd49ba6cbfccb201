"""The course of an edition without chance: under a rule that is told, and under the quickest of a few."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from pourwright.simulation.draws import Draws
from pourwright.simulation.forecast import forecast
from pourwright.simulation.kiln_loads import least_to_fire, pieces_to_fire
from pourwright.simulation.outcome import Outcome
from pourwright.simulation.problem import NEVER, Edition, Policy, Workshop, joint

WAITS = (
    *((0, 0.0), (0, 0.34), (0, 0.5), (0, 0.75), (1, 0.0), (2, 0.0)),
    *((2, 0.5), (4, 0.0), (4, 0.5), (NEVER, 0.0)),
)
"""Working days a part-load waits, and how full it must be; the last fires full loads until nothing more comes."""
EAGER = (1.0, 1.25, 4.0)
"""How far the casts still wanted are overstated when a replacement is weighed up; the last replaces every mold."""
_EARLIER = (0, 2, 4, 7, 12)
"""Casts by which a replacement may be poured earlier than just in time."""
NOTHING_TO_CAST = -1
"""A policy's target where what is there already is expected to be enough."""


@dataclass(frozen=True, slots=True)
class Found:
    """The course of an edition without chance, days counted from the plan's first.

    ``finish`` is -1 where the days ran out. ``policy`` starts the casts that are
    expected to be enough and no more; ``rule`` is the same where chance decides how
    many it takes.
    """

    molds: int
    finish: int
    casts: int
    conditioning: int
    molds_poured: int
    sessions: int
    last_pour: int
    last_cast: int
    loads: tuple[int, ...]
    policy: Policy

    @property
    def rule(self) -> Policy:
        """What is decided, whatever comes."""
        return self.policy.but(target=0)

    @property
    def order(self) -> tuple[int, ...]:
        """What makes one plan better than another: days, then molds, loads, sessions."""
        days = self.finish if self.finish >= 0 else NEVER
        return (days, self.molds_poured, sum(self.loads), self.sessions)


def leads(edition: Edition) -> tuple[int, ...]:
    """Return the casts left at which a replacement is poured: just in time, and earlier."""
    # the casts of a working week while the new mold dries, and two for a weekend in between
    in_time = -(-edition.mold_dry_days * 5 // 7) * edition.casts_a_day + 2
    return tuple(in_time + early * edition.casts_a_day for early in _EARLIER)


def even_loads(edition: Edition, more: int = 0) -> tuple[int, ...]:
    """Return the pieces of a load, firing by firing, if all loads of a firing are alike.

    The loads are as few as can be, and ``more`` than that of the last firing.
    """
    limits, pieces = [], float(edition.need)
    for k, firing in reversed(list(enumerate(edition.firings))):
        pieces /= firing.passed
        loads = math.ceil(pieces / firing.capacity) + more * (k == len(edition.firings) - 1)
        limits.append(min(math.ceil(pieces / loads), firing.capacity))
    return tuple(reversed(limits))


def courses(
    workshop: Workshop,
    draws: Draws,
    target: int,
    rules: Sequence[Policy],
    before: Sequence[tuple[Policy, Draws]] = (),
) -> tuple[Found, ...]:
    """Return the course without chance under each of several rules.

    Parameters
    ----------
    workshop : Workshop
        With the edition last; those before it have the first claim.
    draws : Draws
        That edition's expected tables.
    target : int
        Casts to start. [-]
    rules : sequence of Policy
        What is decided.
    before : sequence of (Policy, Draws)
        What is settled for the editions with the first claim.

    Returns
    -------
    tuple of Found
        One a rule.
    """
    casts = target or NOTHING_TO_CAST
    policies = [*(settled for settled, _ in before), joint(rules).but(target=casts)]
    outcome = forecast(workshop, policies, [*(d for _, d in before), draws], len(rules))
    return tuple(_found(outcome, at, rule.but(target=casts)) for at, rule in enumerate(rules))


def search(
    workshop: Workshop,
    draws: Draws,
    target: int,
    molds: Sequence[int],
    *,
    before: Sequence[tuple[Policy, Draws]] = (),
) -> tuple[Found, ...]:
    """Return the quickest course found for each number of molds; the rest is as for `courses`."""
    edition = workshop.editions[-1]
    early, soon, *_ = leads(edition)
    ways: list[tuple[tuple[int, float], int, float, tuple[int, ...]]] = [
        *product(WAITS, leads(edition), EAGER, [()]),
        *product(WAITS, [early, soon], [EAGER[1]], [even_loads(edition, n) for n in (0, 1, 2)]),
    ]
    rules = [
        Policy(
            molds=m,
            part_load_wait=wait,
            least_fill=fill,
            lead=lead,
            eagerness=eager,
            capacity_limits=limits,
        )
        for m in molds
        for (wait, fill), lead, eager, limits in ways
    ]
    found = courses(workshop, draws, target, rules, before)
    by_molds = (found[at : at + len(ways)] for at in range(0, len(found), len(ways)))
    return tuple(min(some, key=lambda one: one.order) for some in by_molds)


def _found(outcome: Outcome, at: int, policy: Policy) -> Found:
    """Describe one run."""
    line = outcome.lines[-1]
    return Found(
        molds=int(policy.molds),
        finish=int(line.finish[at]),
        casts=int(line.casts[at]),
        conditioning=int(line.conditioning[at]),
        molds_poured=int(line.molds[at]),
        sessions=int(line.sessions[at]),
        last_pour=int(line.last_pour[at]),
        last_cast=int(line.last_cast[at]),
        loads=tuple(int(n) for n in line.loads[:, at]),
        policy=policy,
    )


def soonest_finish(workshop: Workshop, draws: Draws, target: int, molds: int) -> int:
    """Return a day before which no plan with so many molds can finish; the rest is as for `courses`. [days]"""
    return _Bound(workshop, draws, target, molds).day()


class _Bound:
    """What no plan with so many molds can do sooner."""

    def __init__(self, workshop: Workshop, draws: Draws, target: int, molds: int) -> None:
        self.workshop, self.draws, self.target, self.molds = workshop, draws, target, molds
        self.edition = workshop.editions[-1]
        self.begun = self.edition.already.begun
        self.pieces = pieces_to_fire(draws, target, self.edition.already)

    def floor(self) -> tuple[int, int]:
        """Return the first and the last cast day if nothing but the molds held the casting up."""
        free, target = _without_limits(self.workshop), self.target or NOTHING_TO_CAST
        policy = Policy(molds=self.molds, target=target, lead=NEVER, eagerness=float(NEVER))
        line = forecast(free, [policy], [self.lasting_draws()], 1).lines[0]
        return self.edition.pour_from + self.edition.mold_dry_days, int(line.last_cast[0])

    def lasting_draws(self) -> Draws:
        """Return tables in which molds that are cast more than once a day do not wear.

        Such a mold may lose a part of its last day, or be retired before it
        does; a bound may not count that day.
        """
        if self.edition.casts_a_day == 1:
            return self.draws
        return replace(self.draws, life=np.full_like(self.draws.life, NEVER))

    def day(self) -> int:
        """Return a day before which no plan with these molds can finish.

        Either the last cast holds it up, which still has to dry and go through every
        firing; or the kiln does, which begins when the first cast has dried.
        """
        first, last = self.floor()
        if self.begun:
            return self.day_from_here(last)
        cycles = [f.cycle_days for f in self.edition.firings]
        dry = max(self.edition.ware_dry_days, 1)
        caps = (f.capacity for f in self.edition.firings)
        loads = [-(-p // min(c, max(p, 1))) for p, c in zip(self.pieces, caps, strict=True)]
        weeks = self.whole_weeks(sum(loads))
        # a firing that is out on the day it went in still has the kiln for that day
        kiln = max(sum(n * max(c, 1) for n, c in zip(loads, cycles, strict=True)), 7 * weeks)
        return max(last + dry + sum(cycles), first + dry + kiln)

    def whole_weeks(self, loads: int) -> int:
        """Return the weeks that loads take at least; the first and the last may be cut short and be full."""
        a_week = self.workshop.loads_a_week
        return int(max(0, loads - 2 * math.ceil(a_week)) // a_week)

    def day_from_here(self, last_cast: int) -> int:
        """Return such a day for an edition that has ware: the last cast's way, or the kiln's days left."""
        firings = self.edition.firings
        fewest = least_to_fire(self.draws, self.edition)
        loads = [-(-n // f.capacity) for n, f in zip(fewest, firings, strict=True)]
        kiln = sum(n * max(f.cycle_days, 1) for n, f in zip(loads, firings, strict=True))
        if (load := self.edition.already.load) is not None:
            kiln += max(load.out_day, 0)
        weeks = self.whole_weeks(sum(loads))
        cast = last_cast + max(self.edition.ware_dry_days, 1) + sum(f.cycle_days for f in firings)
        return max(kiln, 7 * weeks, cast if last_cast >= 0 else 0)


def _without_limits(workshop: Workshop) -> Workshop:
    """Return the workshop with hands enough for anything on its open days, and this edition alone."""
    open_days = np.where(workshop.minutes > 0, NEVER, 0)
    return Workshop(
        open_days, workshop.first_weekday, workshop.loads_a_week, workshop.editions[-1:]
    )
