"""A fixed workload, half NumPy and half plain Python, that speed is measured against.

A time in seconds says as much about the machine as about the code. Here the yardstick and the
measured work take turns in one process, and what is kept is their ratio. Change nothing in the
workload: every committed ratio would lose its meaning.
"""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np

NOMINAL_S = 0.275
"""What the yardstick took when it was first committed, on two cores of a cloud machine. [s]"""

TURNS = 5


def workload() -> float:
    """Return a number that depends on every step: sorts, sums, lookups and a loop in Python."""
    total = 0.0
    for turn in range(6):
        draws = np.random.Generator(np.random.Philox(turn)).random(200_000)
        order = np.argsort(draws, kind="stable")
        sums = np.cumsum(draws[order])
        found = np.searchsorted(sums, np.linspace(0.0, sums[-1], 50_000))
        total += float(np.where(found % 2 == 0, sums[found - 1], draws[found - 1]).sum())
    counts: dict[int, int] = {}
    state = 1
    for _ in range(600_000):
        state = (state * 1_103_515_245 + 12_345) % 2_147_483_648
        counts[state >> 21] = counts.get(state >> 21, 0) + 1
    return total + max(counts.values())


def seconds(work: Callable[[], object]) -> float:
    """Return how long one run of the work takes by the wall clock. [s]"""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def ratio(work: Callable[[], object], turns: int = TURNS) -> float:
    """Return how many times the work could be done in one run of the yardstick. [-]

    The two take turns, so that a slow moment of the machine meets both, and the quickest turn
    of each counts, because noise only ever adds time. A first, uncounted run pays for imports
    and caches.
    """
    work()
    workload()
    times = [(seconds(workload), seconds(work)) for _ in range(turns)]
    return min(yard for yard, _ in times) / min(took for _, took in times)


def nominal_seconds(work: Callable[[], object], turns: int = TURNS) -> float:
    """Return how long the work would take where the yardstick takes its nominal time. [s]"""
    return NOMINAL_S / ratio(work, turns)


if __name__ == "__main__":
    quickest = min(seconds(workload) for _ in range(TURNS))
    print(f"the yardstick took {quickest:.3f} s here, {NOMINAL_S} s where it was committed")
