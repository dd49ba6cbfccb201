"""The best expected plan for each number of molds, found by trying what is allowed, and less.

More molds, hours or kiln places can make a day-by-day rule finish later: a load
waits to be fuller, hands are taken by casts that could have waited. So the search
may leave some of what is allowed unused. Its choices with little are among its
choices with more, which is why being allowed more does not give a later plan.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from pourwright.simulation.draws import Draws
from pourwright.simulation.forecast import forecast
from pourwright.simulation.kiln_loads import least_to_fire, load_sizes, pieces_to_fire
from pourwright.simulation.outcome import LineOutcome, Outcome
from pourwright.simulation.problem import (
    NEVER,
    Edition,
    Ints,
    Policy,
    Workshop,
)

WAITS = (1, 4, NEVER)
"""Working days a part-load may wait that are tried; the last is "until nothing more comes"."""
EAGER = (1.0, 1.25, 4.0)
"""How far the casts still wanted are overstated when a replacement is weighed up; the last replaces every mold."""
_EARLIER = (0, 2, 4, 7, 12)
"""Casts by which a replacement may be poured earlier than just in time."""
_MINUTES_STEP = 15
_BEST_KEPT = 4
"""So many of the best rules of each number of molds are tried with shorter days and shorter lives."""
_LOADS_TRIED = 4000
NOTHING_TO_CAST = -1
"""A policy's target where what is there already is expected to be enough."""


@dataclass(frozen=True, slots=True)
class Found:
    """The best plan found for one number of molds, days counted from the plan's first.

    ``bound`` is a day before which no plan with so many molds can finish.
    """

    molds: int
    finish: int
    bound: int
    casts: int
    conditioning: int
    molds_poured: int
    sessions: int
    last_pour: int
    last_cast: int
    loads: tuple[int, ...]
    busiest_min: int
    policy: Policy

    @property
    def order(self) -> tuple[int, ...]:
        """What makes one plan better than another: days, then molds, loads, sessions."""
        return (self.finish, self.molds_poured, sum(self.loads), self.sessions)


@dataclass(frozen=True, slots=True)
class _Option:
    """One rule to try; ``limits`` are the pieces a load may hold, firing by firing."""

    molds: int
    wait: int
    lead: int
    limits: tuple[int, ...]
    eager: float
    minutes: int = NEVER
    life: int = NEVER


def leads(edition: Edition) -> tuple[int, ...]:
    """Return the casts left at which a replacement is poured: just in time, and earlier."""
    # the casts of a working week while the new mold dries, and two for a weekend in between
    in_time = -(-edition.mold_dry_days * 5 // 7) * edition.casts_a_day + 2
    return tuple(in_time + early * edition.casts_a_day for early in _EARLIER)


def search(
    workshop: Workshop,
    draws: Draws,
    target: int,
    molds: Sequence[int],
    *,
    first_only: bool = False,
    before: Sequence[tuple[Policy, Draws]] = (),
) -> tuple[Found, ...]:
    """Return the best plan found for each number of molds.

    Parameters
    ----------
    workshop : Workshop
        With the edition last; those before it have the first claim.
    draws : Draws
        That edition's expected tables.
    target : int
        Casts to start. [-]
    molds : sequence of int
        Numbers of molds to try. [-]
    first_only : bool
        Try full loads and days only: quicker, and at times some days later.
    before : sequence of (Policy, Draws)
        What is settled for the editions with the first claim.

    Returns
    -------
    tuple of Found
        One each, in the order asked; ``finish`` is -1 where the days ran out.
    """
    seeker = _Seeker(workshop, draws, target, before)
    sizes = [
        load_sizes(p, f.capacity)
        for p, f in zip(seeker.pieces, seeker.edition.firings, strict=True)
    ]
    first = [tuple(s[0] for s in sizes)]
    ways = product(molds, WAITS, leads(seeker.edition), first, EAGER)
    seeker.run([_Option(m, wait, lead, limits, eager) for m, wait, lead, limits, eager in ways])
    if first_only:
        return tuple(seeker.best(m) for m in molds)
    seeker.run(seeker.more_loads(molds, sizes))
    seeker.run(seeker.fewer_hours(molds) + seeker.shorter_lives(molds))
    return tuple(seeker.best(m) for m in molds)


class _Seeker:
    """The options tried so far, and the best of each number of molds."""

    def __init__(
        self, workshop: Workshop, draws: Draws, target: int, before: Sequence[tuple[Policy, Draws]]
    ) -> None:
        self.workshop, self.draws, self.target = workshop, draws, target
        self.before = before
        self.edition = workshop.editions[-1]
        self.begun = self.edition.already.begun
        self.pieces = pieces_to_fire(draws, target, self.edition.already)
        self.ranked: dict[int, list[tuple[tuple[int, ...], Found, _Option]]] = {}
        self.floors: dict[int, tuple[int, int]] = {}

    def run(self, options: Sequence[_Option]) -> None:
        """Try the options, all in one forecast."""
        if not options:
            return
        best = {m: rows[0][1].finish for m, rows in self.ranked.items() if rows[0][1].finish >= 0}
        # what is not done by the best day found so far is not worth following further
        give_up = np.array([best.get(option.molds, NEVER) for option in options], dtype=np.int64)
        policy = _policy(options, self.target).but(give_up=give_up)
        policies = [*(settled for settled, _ in self.before), policy]
        draws = [*(tables for _, tables in self.before), self.draws]
        outcome = forecast(self.workshop, policies, draws, len(options))
        line = outcome.lines[-1]
        finish = np.where(line.finish < 0, 1 << 30, line.finish)
        order = np.lexsort((line.sessions, line.loads.sum(axis=0), line.molds, finish))
        kept: Counter[int] = Counter()
        for at in order:
            option = options[at]
            kept[option.molds] += 1
            if kept[option.molds] <= _BEST_KEPT:
                found = self.found(outcome, int(at), option)
                rank = (int(finish[at]), *found.order[1:])
                self.ranked.setdefault(option.molds, []).append((rank, found, option))
        for rows in self.ranked.values():
            rows.sort(key=_rank)
            del rows[_BEST_KEPT:]

    def found(self, outcome: Outcome, at: int, option: _Option) -> Found:
        """Describe one run."""
        line: LineOutcome = outcome.lines[-1]
        return Found(
            molds=option.molds,
            finish=int(line.finish[at]),
            bound=self.bound(option.molds),
            casts=int(line.casts[at]),
            conditioning=int(line.conditioning[at]),
            molds_poured=int(line.molds[at]),
            sessions=int(line.sessions[at]),
            last_pour=int(line.last_pour[at]),
            last_cast=int(line.last_cast[at]),
            loads=tuple(int(n) for n in line.loads[:, at]),
            busiest_min=int(outcome.busiest_min[at]),
            policy=_policy([option], self.target),
        )

    def best(self, molds: int) -> Found:
        """Return the best found for a number of molds."""
        return self.ranked[molds][0][1]

    def floor(self, molds: int) -> tuple[int, int]:
        """Return the first and the last cast day if nothing but the molds held the casting up."""
        if molds not in self.floors:
            free = _without_limits(self.workshop)
            target = self.target or NOTHING_TO_CAST
            policy = Policy(molds=molds, target=target, lead=NEVER, eagerness=float(NEVER))
            line = forecast(free, [policy], [self.lasting_draws()], 1).lines[0]
            first = self.edition.pour_from + self.edition.mold_dry_days
            self.floors[molds] = (first, int(line.last_cast[0]))
        return self.floors[molds]

    def lasting_draws(self) -> Draws:
        """Return tables in which molds that are cast more than once a day do not wear.

        Such a mold may lose a part of its last day, or be retired before it
        does; a bound may not count that day.
        """
        if self.edition.casts_a_day == 1:
            return self.draws
        return replace(self.draws, life=np.full_like(self.draws.life, NEVER))

    def bound(self, molds: int, loads: Sequence[int] | None = None) -> int:
        """Return a day before which no plan with these molds, and loads, can finish.

        Either the last cast holds it up, which still has to dry and go through every
        firing; or the kiln does, which begins when the first cast has dried.
        """
        first, last = self.floor(molds)
        if self.begun:
            return self.bound_from_here(last)
        cycles = [f.cycle_days for f in self.edition.firings]
        dry = max(self.edition.ware_dry_days, 1)
        if loads is None:
            caps = (f.capacity for f in self.edition.firings)
            loads = [-(-p // min(c, max(p, 1))) for p, c in zip(self.pieces, caps, strict=True)]
        # the first and the last week may be cut short and still take their loads whole
        weeks = max(0, sum(loads) - 2 * self.workshop.loads_a_week) // self.workshop.loads_a_week
        # a firing that is out on the day it went in still has the kiln for that day
        kiln = max(sum(n * max(c, 1) for n, c in zip(loads, cycles, strict=True)), 7 * weeks)
        return max(last + dry + sum(cycles), first + dry + kiln)

    def bound_from_here(self, last_cast: int) -> int:
        """Return such a day for an edition that has ware: the last cast's way, or the kiln's days left."""
        firings = self.edition.firings
        fewest = least_to_fire(self.draws, self.edition)
        loads = [-(-n // f.capacity) for n, f in zip(fewest, firings, strict=True)]
        kiln = sum(n * max(f.cycle_days, 1) for n, f in zip(loads, firings, strict=True))
        if (load := self.edition.already.load) is not None:
            kiln += max(load.out_day, 0)
        a_week = self.workshop.loads_a_week
        weeks = max(0, sum(loads) - 2 * a_week) // a_week
        cast = last_cast + max(self.edition.ware_dry_days, 1) + sum(f.cycle_days for f in firings)
        return max(kiln, 7 * weeks, cast if last_cast >= 0 else 0)

    def more_loads(self, molds: Sequence[int], sizes: list[tuple[int, ...]]) -> list[_Option]:
        """List the smaller load sizes that could still beat what was found."""
        options = []
        for m in molds:
            best = self.best(m).finish
            chosen = sorted({leads(self.edition)[0], self.ranked[m][0][2].lead})
            for limits in product(*sizes):
                loads = [-(-p // s) for p, s in zip(self.pieces, limits, strict=True)]
                if best < 0 or self.bound(m, loads) <= best:
                    ways = product(WAITS, chosen, self.worth(m))
                    options += [_Option(m, wait, lead, limits, eager) for wait, lead, eager in ways]
        options.sort(key=lambda o: (-sum(o.limits), o.molds))
        return options[: _LOADS_TRIED * len(molds)]

    def worth(self, molds: int) -> tuple[float, ...]:
        """Return the ways to replace molds that differ: only one where first molds last to the end."""
        lasting = self.edition.life - self.edition.conditioning
        if self.edition.already.molds:
            return EAGER
        return EAGER if molds * lasting < self.target * EAGER[-1] else EAGER[:1]

    def fewer_hours(self, molds: Sequence[int]) -> list[_Option]:
        """List the shorter days to try with the best load sizes."""
        options = []
        for m in molds:
            for _, found, option in self.ranked[m]:
                shorter = range(self.least_minutes(found.finish), found.busiest_min, _MINUTES_STEP)
                options += [
                    _Option(m, option.wait, option.lead, option.limits, option.eager, minutes)
                    for minutes in shorter
                ]
        return options

    def least_minutes(self, finish: int) -> int:
        """Return the shortest day in which the hands could be done by a day."""
        edition, days = self.edition, self.workshop.minutes[: finish + 1]
        whole = (
            self.target * (edition.cast_min + edition.fettle_min)
            + (edition.need - edition.already.finished) * edition.finish_min
        )
        least = -(-whole // max(int((days > 0).sum()), 1))
        return max(-(-least // _MINUTES_STEP), 1) * _MINUTES_STEP

    def shorter_lives(self, molds: Sequence[int]) -> list[_Option]:
        """List what happens if molds are retired before they must be."""
        lives = range(max(self.edition.conditioning + 1, 2), self.edition.life)
        return [
            replace(option, life=life, wait=wait, eager=eager)
            for m in molds
            for option in dict.fromkeys(replace(row[2], minutes=NEVER) for row in self.ranked[m])
            for life, wait, eager in product(lives, WAITS, self.worth(m))
        ]


def _rank(row: tuple[tuple[int, ...], Found, _Option]) -> tuple[object, ...]:
    """Put better plans first, and of equal ones the one that leaves least unused."""
    rank, _, option = row
    return (
        rank,
        -option.minutes,
        -option.life,
        option.wait,
        option.eager,
        option.lead,
        option.limits,
    )


def _policy(options: Sequence[_Option], target: int) -> Policy:
    """Return the options as one policy with a value a run."""

    def column(values: list[int]) -> Ints | int:
        return values[0] if len(values) == 1 else np.array(values, dtype=np.int64)

    firings = range(len(options[0].limits))
    return Policy(
        molds=column([o.molds for o in options]),
        target=target or NOTHING_TO_CAST,
        part_load_wait=column([o.wait for o in options]),
        lead=column([o.lead for o in options]),
        eagerness=options[0].eager if len(options) == 1 else np.array([o.eager for o in options]),
        capacity_limits=tuple(column([o.limits[k] for o in options]) for k in firings),
        minutes_limit=column([o.minutes for o in options]),
        life_limit=column([o.life for o in options]),
    )


def _without_limits(workshop: Workshop) -> Workshop:
    """Return the workshop with hands enough for anything on its open days, and this edition alone."""
    open_days = np.where(workshop.minutes > 0, NEVER, 0)
    return Workshop(
        open_days, workshop.first_weekday, workshop.loads_a_week, workshop.editions[-1:]
    )
