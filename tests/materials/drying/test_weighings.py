"""A forecast from the mold's own weighings."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp, trapezoid

from pourwright.errors import OutOfRange
from pourwright.materials.drying.weighings import (
    DRY_FREE_WATER,
    _days_to,
    _water_after,
    forecast_from_weighings,
)

DRAWS = 60_000
DRY_KG, WET_KG = 3.53, 5.06


def drying_mold(days: np.ndarray, rate: float, bend: float) -> np.ndarray:
    """Return what a mold of known rate and bend weighs, by a general solver. [kg]"""
    first = WET_KG / DRY_KG - 1
    found = solve_ivp(
        lambda t, x: -rate * np.minimum(1.0, x / bend),
        (0, float(days[-1]) + 1e-9),
        [first],
        t_eval=days,
        rtol=1e-8,
        atol=1e-10,
    )
    return np.asarray(DRY_KG * (1 + found.y[0]))


@given(st.floats(0.02, 0.5), st.floats(0.005, 0.2), st.floats(0.02, 0.10), st.floats(0.05, 30))
def test_the_closed_form_agrees_with_a_general_solver(
    start: float, rate: float, bend: float, days: float
) -> None:
    one = np.array([1.0])
    expected = solve_ivp(
        lambda t, x: -rate * np.minimum(1.0, x / bend),
        (0, days),
        [start],
        rtol=1e-9,
        atol=1e-12,
        max_step=days / 50,
    ).y[0, -1]

    found = _water_after(start * one, rate * one, bend * one, days)[0]
    assert found == pytest.approx(expected, rel=1e-4, abs=1e-6)


@given(st.floats(0.05, 0.5), st.floats(0.005, 0.2), st.floats(0.02, 0.10), st.floats(0.001, 0.05))
def test_days_to_undoes_water_after(start: float, rate: float, bend: float, left: float) -> None:
    one = np.array([1.0])
    days = _days_to(start * one, left, rate * one, bend * one)[0]

    assert _water_after(start * one, rate * one, bend * one, float(days))[0] == pytest.approx(
        min(left, start), rel=1e-9
    )


@pytest.mark.parametrize("bend", [0.025, 0.05, 0.08])
@pytest.mark.parametrize("rate", [0.03, 0.08])
def test_the_true_days_lie_in_the_range(rate: float, bend: float) -> None:
    """
    Molds of known rate and bend, weighed daily on a scale of 10 g. The bends are of the middle
    80 % of those held possible, 0.0235 to 0.085; the range need not hold what lies beyond.
    """
    days = np.arange(0.0, 4.0)
    seen = np.round(drying_mold(days, rate, bend), 2)
    one = np.array([1.0])
    after = np.array([drying_mold(days, rate, bend)[-1] / DRY_KG - 1])
    true_ready = _days_to(after, 0.05, rate * one, bend * one)[0]
    true_dry = _days_to(after, DRY_FREE_WATER, rate * one, bend * one)[0]

    left = forecast_from_weighings(days, seen, DRY_KG)

    assert left.ready.low - 0.1 <= true_ready <= left.ready.high + 0.1
    assert left.dry.low <= true_dry <= left.dry.high


def test_each_weighing_tightens_the_forecast() -> None:
    """The day it will be dry, counted from the first weighing, is known ever better."""
    days = np.arange(0.0, 8.0)
    masses = drying_mold(days, 0.05, 0.05)
    widths = []
    for seen in (2, 4, 8):
        left = forecast_from_weighings(days[:seen], masses[:seen], DRY_KG)
        widths.append(left.dry.high - left.dry.low)

    assert widths[0] > widths[1] > widths[2]


def test_a_mold_past_the_mark_has_no_days_left() -> None:
    left = forecast_from_weighings([0, 2], [3.60, 3.55], DRY_KG)

    assert left.ready.high == pytest.approx(0.0, abs=1e-9)
    assert left.dry.high > 0


def test_straps_are_no_water() -> None:
    bare = forecast_from_weighings([0, 1, 2], [5.06, 4.9, 4.74], DRY_KG)
    strapped = forecast_from_weighings([0, 1, 2], [5.56, 5.4, 5.24], DRY_KG + 0.5, straps_kg=0.5)

    assert strapped.dry.likely == pytest.approx(bare.dry.likely)
    assert strapped.rate_kg_per_day.likely == pytest.approx(bare.rate_kg_per_day.likely)


def test_the_rate_is_that_of_the_scale_and_the_source_counts() -> None:
    left = forecast_from_weighings([0, 1, 2], [5.06, 4.9, 4.74], DRY_KG)

    assert left.rate_kg_per_day.likely == pytest.approx(0.16, rel=0.03)
    assert left.ready.source.startswith("3 weighings")
    for found in (left.ready, left.dry, left.rate_kg_per_day):
        assert found.low <= found.likely <= found.high


def test_a_coarse_scale_widens_the_range() -> None:
    fine = forecast_from_weighings([0, 1, 2], [5.06, 4.9, 4.74], DRY_KG, scale_step_kg=0.001)
    coarse = forecast_from_weighings([0, 1, 2], [5.06, 4.9, 4.74], DRY_KG, scale_step_kg=0.1)

    assert coarse.dry.high - coarse.dry.low > fine.dry.high - fine.dry.low


@pytest.mark.parametrize(
    ("days", "masses", "change", "match"),
    [
        ([0], [5.0], {}, "number of weighings"),
        ([0, 1], [5.0], {}, "number of weighings"),
        ([0, 1, 1], [5.0, 4.9, 4.8], {}, "time between weighings"),
        ([0, 0.4], [5.0, 4.9], {}, "first to last"),
        ([0, 1], [5.0, 5.0], {}, "gains weight is not drying"),
        ([0, 1], [5.0, np.nan], {}, "mass of the mold"),
        ([0, np.nan], [5.0, 4.9], {}, "time between weighings"),
        ([0, 1], [5.0, 4.9], {"dry_kg": 0.0}, "dry mass"),
        ([0, 1], [5.0, 4.9], {"straps_kg": -1.0}, "straps"),
        ([0, 1], [5.0, 4.9], {"straps_kg": 3.6}, "dry mass"),
        ([0, 1], [5.0, 4.9], {"scale_step_kg": 0.0}, "step of the scale"),
    ],
)
def test_impossible_weighings_are_refused(
    days: list[float], masses: list[float], change: dict[str, float], match: str
) -> None:
    with pytest.raises(OutOfRange, match=match):
        forecast_from_weighings(days, masses, **({"dry_kg": DRY_KG} | change))


def test_days_may_be_counted_from_any_day() -> None:
    first = forecast_from_weighings([0, 1, 2], [5.06, 4.9, 4.74], DRY_KG)
    later = forecast_from_weighings([100, 101, 102], [5.06, 4.9, 4.74], DRY_KG)

    assert later.dry == first.dry
    assert later.ready == first.ready


def test_two_weighings_leave_the_doubt_of_one_days_loss() -> None:
    """A tenth on the rate: the middle 80 % of it is 1.28 times as much to either side."""
    left = forecast_from_weighings([0, 1], [5.06, 4.9], DRY_KG, scale_step_kg=0.0001)
    rate = left.rate_kg_per_day

    assert rate.likely == pytest.approx(0.16, rel=0.02)
    assert (rate.high - rate.low) / 2 / rate.likely == pytest.approx(0.128, rel=0.1)


def test_a_weighing_between_the_first_and_the_last_counts() -> None:
    even = forecast_from_weighings([0, 1, 2], [5.06, 4.9, 4.74], DRY_KG)
    bent = forecast_from_weighings([0, 1, 2], [5.06, 4.8, 4.74], DRY_KG)

    assert bent.dry.likely != pytest.approx(even.dry.likely, rel=1e-3)


def by_random_draws(
    days: list[float], masses: list[float], lefts: tuple[float, ...]
) -> tuple[list[np.ndarray], np.ndarray]:
    """
    Return tenth, middle and ninetieth percentile of the days left, to each share that may be left,
    and of the loss a day, by importance sampling: molds of drawn rate, bend and true dry mass,
    dried in kilograms by small steps and weighed by how well they meet the scale.
    """
    rng = np.random.default_rng(4)
    draws = DRAWS
    dry = DRY_KG * (1 + 0.01 * rng.standard_normal(draws))
    loss = (
        (masses[0] - masses[-1])
        / (days[-1] - days[0])
        * np.exp(rng.uniform(np.log(0.3), np.log(8.0), draws))
    )
    bend_kg = np.exp(rng.uniform(np.log(0.02), np.log(0.10), draws)) * dry
    badness = np.zeros(draws)
    for m0, m1, span in zip(masses, masses[1:], np.diff(days), strict=False):
        water = np.maximum(m0 - dry, 0.0)
        for _ in range(100):
            water = water - loss * np.clip(water / bend_kg, 0.0, 1.0) * span / 100
        badness += (dry + water - m1) ** 2 / (0.01**2 + (0.10 * (m0 - m1)) ** 2)
        # what misses by nine standard deviations weighs nothing, and need not be dried further
        near = badness < 80
        dry, loss, bend_kg, badness = dry[near], loss[near], bend_kg[near], badness[near]
    weight = np.exp(-badness / 2)

    def percentiles(values: np.ndarray) -> np.ndarray:
        order = np.argsort(values)
        return np.interp((0.1, 0.5, 0.9), np.cumsum(weight[order]) / weight.sum(), values[order])

    waits = []
    for left in lefts:
        over = np.maximum(masses[-1] - dry - left * dry, 0.0)
        grid = left * dry + over * np.linspace(0, 1, 400)[:, None]
        waits.append(
            percentiles(trapezoid(1 / (loss * np.minimum(1.0, grid / bend_kg)), grid, axis=0))
        )
    return waits, percentiles(loss * np.clip((masses[-1] - dry) / bend_kg, 0.0, 1.0))


@pytest.mark.parametrize(
    "masses", [[5.06, 4.86, 4.66, 4.46], [4.10, 3.98, 3.88, 3.80], [4.00, 3.87, 3.78, 3.72]]
)
def test_the_range_is_that_of_many_drawn_molds(masses: list[float]) -> None:
    """Far from the bend, near it and past it: a grid and random draws tell the same range."""
    days = [0.0, 1.0, 2.0, 3.0]
    ours = forecast_from_weighings(days, masses, DRY_KG)

    (ready, dry), now = by_random_draws(days, masses, (0.05, DRY_FREE_WATER))
    for found, drawn in ((ours.ready, ready), (ours.dry, dry)):
        assert (found.low, found.likely, found.high) == pytest.approx(drawn, rel=0.04, abs=0.1)
    rate = ours.rate_kg_per_day
    assert (rate.low, rate.likely, rate.high) == pytest.approx(now, rel=0.04)


def test_the_days_are_counted_between_the_weighings() -> None:
    forecast_from_weighings([100.0, 100.5], [5.0, 4.9], DRY_KG)
    with pytest.raises(OutOfRange, match=r"first to last weighing is 0\.4 days"):
        forecast_from_weighings([100.0, 100.1, 100.4], [5.0, 4.95, 4.9], DRY_KG)
    with pytest.raises(
        OutOfRange, match=r"last weighing is 5\.2 kg; it must be below the first, 5"
    ):
        forecast_from_weighings([0.0, 1.0, 2.0], [5.0, 4.9, 5.2], DRY_KG)
    # Gained in between, by a damp day, and drier in the end: it can be told.
    assert forecast_from_weighings([0.0, 1.0, 2.0], [5.0, 5.01, 4.8], DRY_KG).dry.low > 0


def test_a_mold_lighter_than_its_straps_is_refused() -> None:
    with pytest.raises(OutOfRange, match="mass of the mold is 0.4 kg"):
        forecast_from_weighings([0.0, 1.0], [5.0, 0.4], DRY_KG, straps_kg=0.5)


def test_every_range_names_the_weighings() -> None:
    left = forecast_from_weighings([0, 1], [5.0, 4.9], DRY_KG)

    assert {r.source for r in (left.ready, left.dry, left.rate_kg_per_day)} == {
        "2 weighings of this mold and its mix; the middle 80 %"
    }
