"""The forecast: many runs against one run at a time in SimPy, and to the yardstick.

The SimPy engine of tests/reference plays the very same rules on the very same luck with an object for
every piece and mold. It is frozen and was not written to be quick, so its ratio says what counts
in a compiled loop are worth, and nothing about SimPy.
"""

from __future__ import annotations

import numpy as np

from benchmarks.yardstick import ratio, seconds
from pourwright.simulation.chance import Belief, Chance
from pourwright.simulation.draws import Draws
from pourwright.simulation.forecast import forecast
from pourwright.simulation.problem import Edition, Firing, Policy, Workshop
from tests.reference.simpy_day import run_days

RUNS, SIMPY_RUNS, TURNS = 10_000, 25, 7
CHUNK = 4000
"""Runs that the odds make at once, to keep memory low."""
BOWL = Edition(
    "bowl", 240,
    (
        Firing("bisque", 60, 2, 0.97, handling_min=45, spoiled_chance=0.02, spoiled_passed=0.2),
        Firing("glaze", 40, 2, 0.92, prep_min=8, handling_min=45, gate=4, spoiled_chance=0.02, spoiled_passed=0.2),
    ),
    life=25, conditioning=1, cast_passed=0.94, dry_passed=0.97, ware_dry_days=5, mold_dry_days=10,
    cast_min=12, fettle_min=20, finish_min=10, setup_min=180, set_min=40, sets_a_session=3, pour_from=4,
)  # fmt: skip
CUP = Edition(
    "cup", 60, (Firing("glaze", 30, 2, 0.9, prep_min=8, handling_min=45),), life=20, conditioning=2,
    casts_a_day=2, cast_passed=0.9, dry_passed=0.95, ware_dry_days=3, mold_dry_days=7, cast_min=10,
    fettle_min=15, finish_min=6, setup_min=120, set_min=25, sets_a_session=2,
)  # fmt: skip


def room(*editions: Edition, runs: int = CHUNK) -> tuple[Workshop, list[Draws]]:
    """Return a workshop open on weekdays, and the luck of all runs."""
    minutes = np.where(np.arange(700) % 7 < 5, 420, 0)
    chances = [Chance(e, Belief(), seed=1, line=k) for k, e in enumerate(editions)]
    return Workshop(minutes, 0, 4, editions), [c.draws(0, runs, 520, 60) for c in chances]


def bench_many_runs_against_simpy() -> float:
    """Ten thousand runs of 240 pieces: ours in the time of one in SimPy, with the same answers."""
    workshop, draws = room(BOWL, runs=RUNS)
    policies = [Policy(molds=12, lead=10, part_load_wait=4)]

    def ours() -> list[int]:
        return forecast(workshop, policies, draws, RUNS).lines[0].finish.tolist()

    def theirs() -> list[int]:
        return [
            run_days(workshop, policies, draws, run).lines[0].finish for run in range(SIMPY_RUNS)
        ]

    if ours()[:SIMPY_RUNS] != theirs():
        raise AssertionError("the two engines do not tell the same")
    times = [(seconds(theirs) / SIMPY_RUNS, seconds(ours) / RUNS) for _ in range(TURNS)]
    return min(slow for slow, _ in times) / min(quick for _, quick in times)


def bench_four_thousand_runs_of_an_edition() -> float:
    """One edition of 240 pieces, its luck drawn already."""
    workshop, draws = room(BOWL)
    return ratio(
        lambda: forecast(workshop, [Policy(molds=12, lead=10, part_load_wait=4)], draws, CHUNK)
    )


def bench_four_thousand_runs_of_two_editions() -> float:
    """Two editions that share the kiln and the hands."""
    workshop, draws = room(BOWL, CUP)
    policies = [Policy(molds=12, lead=10, part_load_wait=4), Policy(molds=4, lead=6)]
    return ratio(lambda: forecast(workshop, policies, draws, CHUNK))


def bench_drawing_the_luck_of_four_thousand_runs() -> float:
    """Every table of one edition; the seed changes, so that no number is kept from before."""
    seeds = iter(range(1, 1000))
    return ratio(lambda: Chance(BOWL, Belief(), seed=next(seeds)).draws(0, CHUNK, 500, 60))
