"""Small studios drawn at random, a grid of all rules for them, and how far the search for a plan stays behind it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal

import numpy as np

from pourwright.simulation.chance import Belief, Chance
from pourwright.simulation.odds import Futures
from pourwright.simulation.problem import NEVER, Edition, Firing, Policy, Workshop
from pourwright.simulation.race import MORE, Spending, first_rules, race
from pourwright.simulation.search import leads
from tests.reference.simpy_day import run_days

COUNTS = range(1, 4)
PRICES = Spending(200.0, 12.0, 6.0, 25.0, 30.0, (28.0, 34.0), 0.02)
Measure = Literal["cheapest", "soonest", "best for the money"]
WITHIN: dict[Measure, float] = {"cheapest": 0.01, "soonest": 1.0, "best for the money": 0.01}
"""How far the search may stay behind: a share of what is spent, for the soonest days."""


def small_studio(seed: int) -> Futures:
    """Return the runs of about a dozen pieces in a room drawn at random."""
    rng = np.random.default_rng(seed)

    def firing(name: str, passed: float) -> Firing:
        return Firing(
            name,
            capacity=int(rng.integers(3, 13)),
            cycle_days=int(rng.integers(1, 4)),
            passed=passed,
            prep_min=8 * (name == "glaze"),
            handling_min=45,
            gate=int(rng.integers(0, 3)) * (name == "glaze"),
            spoiled_chance=0.03,
            spoiled_passed=0.2,
        )

    edition = Edition(
        "cup", int(rng.integers(10, 15)), (firing("bisque", 0.97), firing("glaze", 0.92)),
        life=int(rng.integers(6, 30)), conditioning=1, cast_passed=0.94, dry_passed=0.97,
        ware_dry_days=int(rng.integers(2, 7)), mold_dry_days=int(rng.integers(5, 11)), cast_min=12,
        fettle_min=20, finish_min=10, setup_min=120, set_min=40, sets_a_session=int(rng.integers(1, 4)),
    )  # fmt: skip
    minutes = np.where(np.arange(700) % 7 < 5, 60 * int(rng.integers(4, 8)), 0)
    room = Workshop(minutes, 0, int(rng.integers(1, 4)), (edition,))
    return Futures(room, Chance(edition, Belief(), seed=3, longest_day_min=int(minutes.max())))


def grid(edition: Edition) -> list[Policy]:
    """Return every rule: molds, waits, fills, casts to spare, replacements, and loads held smaller."""
    sizes = [f.capacity for f in edition.firings]
    limits = [(), (max(sizes[0] - 1, 1), sizes[1]), (sizes[0], max(2 * sizes[1] // 3, 1))]
    ways = product(
        COUNTS, (0, 1, 3, NEVER), (0.0, 0.34, 0.6), (0.5, 1.0, 2.0), leads(edition)[:3:2], (1.25, 4.0), limits
    )  # fmt: skip
    return [
        Policy(
            molds=molds, part_load_wait=wait, least_fill=fill, safety=safety, lead=lead,
            eagerness=eager, capacity_limits=limit,
        )
        for molds, wait, fill, safety, lead, eager, limit in ways
    ]  # fmt: skip


@dataclass(frozen=True)
class Gap:
    """What the search found best in one measure, what the grid did, and how far that is ahead.

    ``behind`` is a share of what is spent, for the soonest days; below 0 where the
    search's rule is the better one.
    """

    measure: Measure
    found: Policy
    best: Policy
    behind: float

    @property
    def held(self) -> bool:
        """Whether the search is near enough."""
        return self.behind <= WITHIN[self.measure]


def gaps(futures: Futures) -> list[Gap]:
    """Return how far the search stays behind the grid, in each measure; both as means over the race's last runs."""
    found = race(futures, PRICES, list(COUNTS), first_rules(futures.edition))
    every = grid(futures.edition)
    ours, theirs = _measured(futures, found), _measured(futures, every)
    a_day = PRICES.week_saved * theirs["cheapest"].min() / 7
    for told in (ours, theirs):
        told["best for the money"] = told["cheapest"] + a_day * told["soonest"]
    return [
        Gap(
            measure,
            found[ours[measure].argmin()],
            every[theirs[measure].argmin()],
            _behind(measure, ours[measure].min(), theirs[measure].min()),
        )
        for measure in WITHIN
    ]


def _measured(futures: Futures, rules: list[Policy]) -> dict[Measure, np.ndarray]:
    """Return what each rule spends, and its days."""
    runs = futures.side_by_side(rules, MORE)
    return {
        "cheapest": PRICES.of(runs).reshape(-1, MORE).mean(axis=1),
        "soonest": runs.finish.reshape(-1, MORE).mean(axis=1),
    }


def _behind(measure: Measure, ours: float, theirs: float) -> float:
    return float(ours - theirs if measure == "soonest" else ours / theirs - 1)


def told_otherwise(futures: Futures, rules: Sequence[Policy], every: int) -> list[Policy]:
    """Return the rules of which the second engine tells something else, looking at one in so many of their runs."""
    runs = futures.side_by_side(rules, MORE)
    draws = futures.chance.draws(0, MORE, *futures.reach())
    otherwise = []
    for at, rule in enumerate(rules):
        for run in range(at % every, MORE, every):
            theirs = run_days(futures.workshop, [rule], [draws], run).lines[0]
            ours = runs.part(slice(at * MORE + run, at * MORE + run + 1))
            same = all(
                getattr(ours, name)[0] == getattr(theirs, name)
                for name in ("finish", "casts", "conditioning", "molds", "sessions")
            )
            if not same or ours.loads[:, 0].tolist() != theirs.loads:
                otherwise.append(rule)
    return otherwise
