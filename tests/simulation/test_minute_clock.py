"""Whole days against a minute clock: how much too early the forecast is, and how steadily.

tests/reference/simpy_minute.py plays the same workshop by the minute. On the same luck the two
differ only by what a day leaves out, so that few runs measure it well; with luck of its own the minute clock
must give the same distribution, once the forecast is put right by the share that
docs/science/forecast.md states.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from pourwright.plan.odds import BIAS_NOTE
from pourwright.plan.outlook import BIAS as STATED
from pourwright.simulation.chance import Belief, Chance
from pourwright.simulation.forecast import forecast
from pourwright.simulation.problem import NEVER, Edition, Firing, Policy, Workshop
from tests.reference.simpy_minute import run_minutes

WITHIN = 0.03
RUNS = 120
PAGE = Path(__file__).parents[2] / "docs" / "science" / "forecast.md"

BOWL = Edition(
    "bowl", 60,
    (
        Firing("bisque", 24, 2, 0.97, handling_min=45),
        Firing("glaze", 16, 2, 0.92, prep_min=8, handling_min=45, gate=4),
    ),
    life=18, conditioning=1, cast_passed=0.94, dry_passed=0.97, ware_dry_days=5, mold_dry_days=10,
    cast_min=12, fettle_min=20, finish_min=10, setup_min=180, set_min=40, sets_a_session=3, pour_from=4,
)  # fmt: skip
CUP = replace(
    BOWL,
    name="cup",
    need=35,
    firings=(Firing("glaze", 30, 2, 0.9, prep_min=8, handling_min=45, spoiled_chance=0.05),),
    casts_a_day=2,
    conditioning=2,
    ware_dry_days=3,
)
LUSTER = replace(
    BOWL,
    name="luster",
    need=24,
    firings=(*BOWL.firings, Firing("third", 10, 2, 0.95, prep_min=8, handling_min=45)),
)


def room(*editions: Edition, minutes: int = 360, loads: int = 3) -> Workshop:
    open_days = np.where(np.arange(700) % 7 < 5, minutes, 0)
    return Workshop(open_days, 0, loads, editions)


ROOMS = {
    "one edition": (room(BOWL), [Policy(molds=4, lead=9)]),
    "many molds": (room(replace(BOWL, need=120, life=30), minutes=420), [Policy(molds=9, lead=9, part_load_wait=4)]),
    "once-fired, two casts a day": (room(CUP), [Policy(molds=3, lead=6)]),
    "three firings": (room(LUSTER), [Policy(molds=3, lead=9, part_load_wait=4)]),
    "few hours a day": (room(LUSTER, minutes=255), [Policy(molds=4, lead=9, part_load_wait=NEVER)]),
    "two editions": (
        room(BOWL, CUP, minutes=420, loads=4),
        [Policy(molds=4, lead=9, part_load_wait=4), Policy(molds=3, lead=5)],
    ),
}  # fmt: skip


def drawn(workshop: Workshop, seed: int, runs: int) -> list:
    longest = int(workshop.minutes.max())
    chances = [
        Chance(e, Belief(), seed=seed, line=k, longest_day_min=longest)
        for k, e in enumerate(workshop.editions)
    ]
    return [chance.draws(0, runs, 500, 80) for chance in chances]


def making(finish: np.ndarray, draws: list) -> np.ndarray:
    """Return the days from the first day of pouring to the finish, one row an edition."""
    return finish - np.stack([table.pour_from for table in draws])


def by_the_day(workshop: Workshop, policies: list[Policy], seed: int, runs: int) -> np.ndarray:
    draws = drawn(workshop, seed, runs)
    outcome = forecast(workshop, policies, draws, runs)
    return making(np.stack([line.finish for line in outcome.lines]), draws)


def by_the_minute(
    workshop: Workshop, policies: list[Policy], seed: int, runs: int, **kind: bool
) -> np.ndarray:
    draws = drawn(workshop, seed, runs)
    told = [run_minutes(workshop, policies, draws, run, rests=True, **kind) for run in range(runs)]
    return making(np.array([[line.finish for line in lines] for lines in told]).T, draws)


FEW_ROOMS = ("one edition", "two editions")
"""Those of `make test`: ware that waits for hands and kiln, and an edition that waits for another."""


@pytest.mark.parametrize(
    "name",
    [pytest.param(one, marks=[] if one in FEW_ROOMS else [pytest.mark.whole]) for one in ROOMS],
)
def test_the_minute_clock_is_later_by_about_the_share_that_is_stated(name: str) -> None:
    days = by_the_day(*ROOMS[name], seed=31, runs=RUNS)
    minutes = by_the_minute(*ROOMS[name], seed=31, runs=RUNS)
    later = minutes - days
    share = later.mean(axis=1) / days.mean(axis=1)
    error = later.std(axis=1, ddof=1) / RUNS**0.5 / days.mean(axis=1)
    print(name, *(f"{s:+.2%} +- {e:.2%}" for s, e in zip(share, error, strict=True)))

    assert (error < 0.015).all()
    assert (abs(share - STATED) <= WITHIN).all()


def test_what_is_stated_is_what_the_table_of_rooms_on_the_page_says() -> None:
    """The mean is what the odds put in, and the page and the note tell it and how far rooms lie from it."""
    text = PAGE.read_text(encoding="utf-8")
    rooms = re.findall(
        r"(?m)^\| [^|]+ \| [\d.]+ \| -?[\d.]+ ± [\d.]+ \| (-?[\d.]+) ± [\d.]+ \|", text
    )
    shares = np.array([float(share) for share in rooms])
    mean, spread = shares.mean(), shares.std(ddof=1)
    left = abs(shares - 100 * STATED).max()

    assert len(shares) == 13
    assert (
        f"The mean of the thirteen is {mean:.1f} %, with a standard deviation of {spread:.1f} %"
        in text
    )
    assert f"{100 * STATED:.1f}" == f"{mean:.1f}"
    assert f"**{100 * STATED:.1f} %**" in text
    assert f"within {left:.1f} % in every room" in text
    for said in (
        f"up to {shares.max():.1f} % later",
        f"in one of thirteen rooms {-shares.min():.1f} % sooner",
        f"the dates have {100 * STATED:.1f} % put in",
    ):
        assert said in BIAS_NOTE
    assert (shares < 0).sum() == 1


@pytest.mark.whole
def test_the_share_that_is_stated_is_the_mean_over_the_rooms() -> None:
    """In `make test` each room alone is held to the share, within three times as much."""
    shares = []
    for workshop, policies in ROOMS.values():
        days = by_the_day(workshop, policies, seed=57, runs=RUNS // 2)
        minutes = by_the_minute(workshop, policies, seed=57, runs=RUNS // 2)
        shares += ((minutes - days).mean(axis=1) / days.mean(axis=1)).tolist()

    assert np.mean(shares) == pytest.approx(STATED, abs=0.01)


def test_with_luck_of_its_own_the_minute_clock_has_the_same_distribution() -> None:
    """Two samples, Kolmogorov and Smirnov; put wrong by a tenth, they are told apart."""
    workshop, policies = ROOMS["one edition"]
    days = by_the_day(workshop, policies, seed=1, runs=4000)[0] * (1 + STATED)
    minutes = by_the_minute(workshop, policies, seed=2, runs=150)[0]

    assert stats.ks_2samp(days, minutes).pvalue > 0.01
    assert stats.ks_2samp(days * 1.1, minutes).pvalue < 0.001


@pytest.mark.whole
def test_counted_as_the_trade_counts_days_little_is_left() -> None:
    """Two days in the kiln end on the second morning: then only the order within a day differs."""
    workshop, policies = ROOMS["one edition"]
    days = by_the_day(workshop, policies, seed=31, runs=RUNS)
    minutes = by_the_minute(workshop, policies, seed=31, runs=RUNS, exact=False)

    assert (minutes - days).mean() / days.mean() == pytest.approx(0.005, abs=0.01)
