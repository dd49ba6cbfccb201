"""Batches of plaster: patterns against the plain model, and the large case to the yardstick.

The plain model has a yes or no for each part and batch. It answers the same question, but its
batches are interchangeable, so that it is soon lost in equal answers.
"""

from __future__ import annotations

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csc_array

from benchmarks.yardstick import ratio, seconds
from pourwright.simulation.plaster_batches import least_batches

CAPACITY_L = 5.24
TURNS = 3


def parts(kinds: int) -> list[float]:
    """Return the volumes of a mold's parts. [l]"""
    draws = np.random.Generator(np.random.Philox(12)).integers(300, 2600, kinds)
    return [int(draw) / 1000 for draw in draws]


def by_assignment(volumes_l: list[float], molds: int, capacity_l: float) -> int:
    """Return the fewest batches of so many molds by the plain model."""
    sizes = np.repeat(volumes_l, molds)
    batches = (
        len(
            least_batches(
                volumes_l, [molds] * len(volumes_l), [molds] * len(volumes_l), capacity_l
            ).batches
        )
        + 1
    )
    copies = len(sizes)
    # Unknowns: is copy i in batch b, for all i and b; then: is batch b mixed.
    once = np.hstack([np.kron(np.eye(copies), np.ones(batches)), np.zeros((copies, batches))])
    fits = np.hstack([np.kron(sizes, np.eye(batches)), -capacity_l * np.eye(batches)])
    answer = milp(
        c=np.concatenate([np.zeros(copies * batches), np.ones(batches)]),
        integrality=np.ones(copies * batches + batches),
        bounds=Bounds(0, 1),
        constraints=[
            LinearConstraint(csc_array(once), 1, 1),
            LinearConstraint(csc_array(fits), ub=0),
        ],
        options={"mip_rel_gap": 0.0},
    )
    return round(answer.fun)


def bench_patterns_against_the_plain_model() -> float:
    """Six molds of twelve parts: how many times as fast the patterns are, with the same answer.

    Eight molds already took the plain model 185 s and the patterns 0.05 s, on two shared cores.
    """
    volumes_l, molds = parts(12), 6
    counts = [molds] * len(volumes_l)
    ours = least_batches(volumes_l, counts, counts, CAPACITY_L)
    plain = by_assignment(volumes_l, molds, CAPACITY_L)
    if len(ours.batches) != plain:
        raise AssertionError(f"patterns need {len(ours.batches)} batches, the plain model {plain}")
    slow = min(seconds(lambda: by_assignment(volumes_l, molds, CAPACITY_L)) for _ in range(TURNS))
    quick = min(
        seconds(lambda: least_batches(volumes_l, counts, counts, CAPACITY_L))
        for _ in range(20 * TURNS)
    )
    return slow / quick


def bench_fifty_molds_of_twelve_parts() -> float:
    """Proved least, with two masters of each part: runs in one run of the yardstick."""
    volumes_l = parts(12)
    return ratio(lambda: least_batches(volumes_l, [50] * 12, [2] * 12, CAPACITY_L))
