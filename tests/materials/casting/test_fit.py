"""The studio's own casting rate, retiming, and how long a mold goes on."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from scipy import stats

from pourwright.errors import NotDoable, OutOfRange
from pourwright.materials.casting import fit as casting_fit
from pourwright.materials.casting import rest as casting_rest

RATES = st.floats(0.5, 6.0)


@given(RATES, st.lists(st.floats(0.6, 12.0), min_size=1, max_size=8))
def test_exact_casts_give_their_rate(rate: float, walls: list[float]) -> None:
    fitted = casting_fit.fit_rate(walls, [wall**2 / rate for wall in walls])

    assert fitted.best_mm2_per_min == approx(rate, rel=1e-9)
    assert fitted.low_mm2_per_min < rate < fitted.high_mm2_per_min


def test_each_further_test_narrows_the_range() -> None:
    widths = [
        casting_fit.fit_rate([4.0] * n, [5.0] * n).high_mm2_per_min for n in (1, 2, 3, 5, 10, 40)
    ]

    assert widths == sorted(widths, reverse=True)
    assert widths[0] / 3.2 == approx(np.exp(2.920 * 0.12 * np.sqrt(2)), rel=1e-3)  # t, 2 degrees


def test_many_tests_outweigh_what_was_believed() -> None:
    """With a hundred tests the range is that of Student's t on their own scatter (scipy)."""
    rng = np.random.default_rng(3)
    minutes = 8 * np.exp(rng.normal(0, 0.30, 100))
    fitted = casting_fit.fit_rate([4.0] * 100, list(minutes))
    logs = np.log(16 / minutes)
    low, high = np.exp(
        stats.t.interval(0.9, 99, loc=logs.mean(), scale=logs.std(ddof=1) * np.sqrt(1.01))
    )

    assert fitted.best_mm2_per_min == approx(np.exp(logs.mean()))
    assert (fitted.low_mm2_per_min, fitted.high_mm2_per_min) == (
        approx(low, rel=0.02),
        approx(high, rel=0.02),
    )
    assert fitted.tests == 100


def test_nine_of_ten_next_casts_lie_in_the_range() -> None:
    """Casts that scatter as is believed: 90 % within three errors, over 2000 studios."""
    rng = np.random.default_rng(8)
    kept = 0
    for _ in range(2000):
        rates = 3 * np.exp(rng.normal(0, 0.12, 4))
        fitted = casting_fit.fit_rate([4.0] * 3, list(16 / rates[:3]))
        kept += fitted.low_mm2_per_min <= rates[3] <= fitted.high_mm2_per_min

    assert kept / 2000 >= 0.9 - 3 * np.sqrt(0.09 / 2000)


def test_later_casts_in_a_row_are_put_back_to_a_dry_mold() -> None:
    """4 mm in 3, 3.5 and 4 minutes in one mold: all three say about 5.3 mm2/min when dry."""
    fitted = casting_fit.fit_rate([4.0, 4.0, 4.0], [3.0, 3.5, 4.0], [1, 2, 3])

    assert fitted.best_mm2_per_min == approx(16 / 3, rel=0.01)
    assert casting_fit.fit_rate([4.0] * 3, [3.0, 3.5, 4.0]).best_mm2_per_min < 5.0


def test_a_fit_gives_the_time_for_a_wall() -> None:
    minutes = casting_fit.fit_rate([4.0, 4.0], [8.0, 8.0]).minutes(6.0)

    assert minutes.best == approx(18.0)
    assert minutes.low < 18.0 < minutes.high
    assert minutes.basis == "2 test casts"
    assert casting_fit.fit_rate([4.0], [8.0]).minutes(6.0).basis == "1 test cast"


def test_tests_that_do_not_match_are_refused() -> None:
    with pytest.raises(NotDoable, match="0 walls and 0 times"):
        casting_fit.fit_rate([], [])
    with pytest.raises(NotDoable, match="2 walls and 1 times"):
        casting_fit.fit_rate([4.0, 4.0], [8.0])
    with pytest.raises(NotDoable, match="1 casts in a row"):
        casting_fit.fit_rate([4.0, 4.0], [8.0, 8.0], [1])
    with pytest.raises(OutOfRange, match="third: time a test cast"):
        casting_fit.fit_rate([4.0], [8.0], [4])
    for bad in (0.5, -1.0, float("nan")):
        with pytest.raises(OutOfRange, match="wall of a test cast"):
            casting_fit.fit_rate([bad], [8.0])
    with pytest.raises(OutOfRange, match="time of a test cast"):
        casting_fit.fit_rate([4.0], [0.0])


def test_slip_that_grows_evenly_is_told_apart() -> None:
    times = np.array([2.0, 4.0, 6.0, 8.0, 12.0])

    assert casting_fit.fits_root_of_time(list(np.sqrt(3 * times)), list(times)) is True
    assert casting_fit.fits_root_of_time(list(0.8 * times), list(times)) is False
    assert casting_fit.fits_root_of_time([2.0, 3.0, 4.0], [1.0, 2.0, 4.0]) is None
    assert casting_fit.fits_root_of_time([2.0, 2.1, 2.2, 2.3], [4.0, 5.0, 6.0, 7.0]) is None


def test_the_root_of_time_is_judged_as_a_regression_judges_it() -> None:
    """scipy's regression of ln L on ln t: a slope whose 95 % interval holds one half passes."""
    rng = np.random.default_rng(2)
    verdicts = []
    for _ in range(300):
        times = np.array([3.0, 5.0, 8.0, 12.0, 18.0])
        walls = 1.2 * times ** rng.uniform(0.35, 0.65) * np.exp(rng.normal(0, 0.04, 5))
        line = stats.linregress(np.log(times), np.log(walls))
        # Below this scatter the walls' own reading counts instead; leave such series out.
        if (
            line.stderr * np.sqrt(np.sum((np.log(times) - np.log(times).mean()) ** 2))
            > 0.05 / walls.mean()
        ):
            expected = abs(line.slope - 0.5) <= stats.t.ppf(0.975, 3) * line.stderr
            verdicts.append(casting_fit.fits_root_of_time(list(walls), list(times)) == expected)

    assert len(verdicts) > 100
    assert all(verdicts)


def test_a_cut_spare_retimes_what_stands() -> None:
    """4.2 mm after 8 minutes: 5 mm takes 8 (5 / 4.2)^2 = 11.34 minutes in all."""
    left = casting_fit.minutes_still_to_stand(5.0, 4.2, 8.0, 9.0)

    assert left.best == approx(8 * (5 / 4.2) ** 2 - 9, abs=1e-9)
    assert (left.low, left.high) == (
        approx(8 * (5 / 4.45) ** 2 - 9),
        approx(8 * (5 / 3.95) ** 2 - 9),
    )
    assert casting_fit.minutes_still_to_stand(4.0, 4.2, 8.0, 9.0).best < 0
    for values in ((5.0, 0.4, 8.0, 9.0), (5.0, 4.2, 0.0, 9.0), (5.0, 4.2, 8.0, -1.0),
                   (float("nan"), 4.2, 8.0, 9.0), (5.0, 4.2, 8.0, float("nan"))):  # fmt: skip
        with pytest.raises(OutOfRange):
            casting_fit.minutes_still_to_stand(*values)


# --- how long a mold goes on


@given(st.integers(0, 30), st.floats(0.0, 0.3), st.floats(0.0, 0.2), st.floats(0.0, 0.3))
def test_water_in_a_mold_is_what_came_less_what_went(
    casts: int, water: float, start: float, dried: float
) -> None:
    """The closed form is the mold worked cast by cast; it never dries below zero."""
    level = start * 4.0
    for cast in range(casts):
        level = max(level - (dried if cast else 0.0), 0.0) + water

    assert casting_rest.free_water_after(casts, water, 4.0, start, dried) * 4.0 == approx(
        level, abs=1e-9
    )


@given(st.floats(0.01, 0.5), st.floats(1.0, 20.0), st.floats(0.0, 0.14))
def test_casts_before_rest_stay_below_the_limit_and_one_more_does_not(
    water: float, mold: float, start: float
) -> None:
    casts = casting_rest.casts_before_rest(water, mold, start)

    assert casting_rest.free_water_after(casts, water, mold, start) <= 0.15 + 1e-9
    assert casting_rest.free_water_after(casts + 1, water, mold, start) > 0.15 - 1e-9


def test_casts_before_rest_agree_with_published_practice() -> None:
    """
    A UK clay supplier lets small molds rest after five casts; a plaster maker's
    bulletin: 15 % of free water in 10 mm of plaster is about one and a half casts
    of 5 mm (reckoned per area: 0.15 x 10 kg/m2 over 0.97 x 5 / 4 kg/m2).
    """
    assert casting_rest.casts_before_rest(0.08, 4.0) == 5
    room = casting_rest.casts_before_rest(0.973 * 5 / 4, 10 * 1.08, free_water=0.0)
    assert room == 1
    assert casting_rest.casts_before_rest(0.08, 4.0, 0.2) == 0
    assert list(casting_rest.casts_before_rest(np.array([0.08, 0.3]), 4.0)) == [5, 1]
    assert casting_rest.casts_before_rest(0.1, 1.0, 0.05, 0.15) == 1  # the hair of a float


def test_cadence_is_set_by_water_or_by_the_clock() -> None:
    assert casting_rest.casts_a_day(0.08, 0.10, 90.0, 480.0) == approx(1.25)
    assert casting_rest.casts_a_day(0.08, 10.0, 90.0, 480.0) == 5
    assert casting_rest.casts_a_day(0.08, 0.0, 90.0, 480.0) == 0
    assert list(casting_rest.casts_a_day(0.08, np.array([0.04, 0.16]), 90.0, 480.0)) == [0.5, 2.0]


@pytest.mark.parametrize("bad", [-0.1, float("nan")])
def test_no_impossible_mold_passes(bad: float) -> None:
    for law in (
        lambda: casting_rest.free_water_after(bad, 0.1, 4.0),
        lambda: casting_rest.free_water_after(2, bad, 4.0),
        lambda: casting_rest.free_water_after(2, 0.1, bad),
        lambda: casting_rest.free_water_after(2, 0.1, 4.0, bad),
        lambda: casting_rest.free_water_after(2, 0.1, 4.0, 0.05, bad),
        lambda: casting_rest.casts_before_rest(bad, 4.0),
        lambda: casting_rest.casts_before_rest(0.1, bad),
        lambda: casting_rest.casts_before_rest(0.1, 4.0, bad),
        lambda: casting_rest.casts_before_rest(0.1, 4.0, 0.05, bad),
        lambda: casting_rest.casts_a_day(bad, 0.1, 90.0, 480.0),
        lambda: casting_rest.casts_a_day(0.1, bad, 90.0, 480.0),
        lambda: casting_rest.casts_a_day(0.1, 0.1, bad, 480.0),
        lambda: casting_rest.casts_a_day(0.1, 0.1, 90.0, bad),
    ):
        with pytest.raises(OutOfRange):
            law()
    for values in ((0.0, 4.0, 0.05, 0.15), (0.1, 4.0, 0.05, 0.21), (0.1, 4.0, 0.05, 0.0)):
        with pytest.raises(OutOfRange):
            casting_rest.casts_before_rest(*values)
    with pytest.raises(OutOfRange, match="a whole number"):
        casting_rest.free_water_after(1.5, 0.1, 4.0)


def test_a_number_of_casts_is_a_number() -> None:
    assert type(casting_rest.casts_a_day(0.08, 0.10, 90.0, 480.0)) is float
    assert type(casting_rest.casts_before_rest(0.08, 4.0)) is float
    assert casting_rest.casts_a_day(np.array([0.08]), 0.10, 90.0, 480.0).tolist() == [1.25]


def test_four_casts_of_which_one_lasts_twice_as_long_can_tell() -> None:
    """``L^2 = k t``: walls of 4, 4.4, 5.2 and 5.657 mm at 4, 4.84, 6.76 and 8 minutes."""
    walls, minutes = [4.0, 4.4, 5.2, 32**0.5], [4.0, 4.84, 6.76, 8.0]

    assert casting_fit.fits_root_of_time(walls, minutes) is True
    assert casting_fit.fits_root_of_time(walls[:3], minutes[:3]) is None
    assert casting_fit.fits_root_of_time(walls, [4.0, 4.84, 6.76, 7.99]) is None
    # A wall that grows evenly is told apart.
    assert casting_fit.fits_root_of_time([4.0, 8.0, 12.0, 16.0], [4.0, 8.0, 12.0, 16.0]) is False


def test_the_scatter_of_many_tests_is_their_own() -> None:
    """Rates of 2 and 8 in turns lie a factor of 2 from their middle: a deviation of ln 2."""
    fitted = casting_fit.fit_rate([4.0] * 1000, [8.0, 2.0] * 500)

    assert (fitted.best_mm2_per_min, fitted.tests) == (approx(4.0), 1000)
    assert fitted.scatter == approx(np.log(2), rel=0.01)


def test_one_mold_gives_a_number() -> None:
    """By hand: 4 kg dry with 5 % in it, and 0.08 kg a cast, holds 9 % after two."""
    after = casting_rest.free_water_after(2, 0.08, 4.0, 0.05)

    assert type(after) is float
    assert after == approx(0.09)
