"""How plaster sets, and the heat it brings."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from pourwright.errors import OutOfRange
from pourwright.materials.plaster import setting
from pourwright.materials.plaster.mix import HEMIHYDRATE_G_PER_MOL, Plaster
from pourwright.materials.plaster.setting import (
    adiabatic_rise,
    conversion,
    minutes_to,
    mix_heat_capacity,
    mix_temperature,
    opening_minutes,
    setting_times,
)

SETS = st.floats(2, 120)


def mix(consistency: float) -> Plaster:
    return Plaster("plaster", consistency, "a test")


@given(st.floats(0.0, 1.0), SETS)
def test_conversion_undoes_minutes(share: float, set_min: float) -> None:
    assert conversion(minutes_to(share, set_min), set_min) == pytest.approx(share, abs=1e-9)


@given(st.floats(2.5, 36.5))
def test_the_inverse_agrees_with_a_general_root_finder(minutes: float) -> None:
    expected = brentq(lambda share: minutes_to(share) - minutes, 0.0, 1.0, xtol=1e-14)

    assert conversion(minutes) == pytest.approx(expected, abs=1e-8)


def test_it_waits_then_runs_then_slows() -> None:
    minutes = np.linspace(0.0, 60.0, 601)
    share = np.asarray(conversion(minutes))
    rate = np.diff(share)

    assert np.all(rate >= 0)
    assert share[20] == 0.0  # two minutes
    assert share[371] == 1.0  # thirty-seven
    fastest = rate.argmax() / 10
    assert 15 < fastest < 30


def test_a_studios_set_time_scales_the_whole_curve() -> None:
    """An ordinary plaster, by the calibration: a tenth at 11.6 min, half at 21, the end at 37."""
    assert minutes_to(0.10) == pytest.approx(11.8, abs=0.1)
    assert minutes_to(0.5, 24.0) == pytest.approx(2 * minutes_to(0.5))
    times = setting_times(24.0)
    assert times.creams_min < times.sets_min < times.ends_min
    assert times.ends_min == pytest.approx(74.0)


@given(st.floats(25, 120), st.floats(0, 1))
def test_heat_capacity_is_that_of_what_is_in_the_bucket(consistency: float, share: float) -> None:
    """Masses by hand: what has set, what has not, and the free water."""
    water = consistency / 100 - 1.5 * 18.015 / 145.149 * share
    gypsum = share * (1 + 1.5 * 18.015 / 145.149)
    expected = (1 - share) * 823 + gypsum * 1082 + water * 4181

    assert mix_heat_capacity(mix(consistency), share) == pytest.approx(expected, rel=1e-12)


def test_the_rise_pays_for_the_products() -> None:
    """Energy: rise times the capacity of the set mix is the heat."""
    assert adiabatic_rise(mix(70), 118.0) * mix_heat_capacity(mix(70), 1.0) == pytest.approx(118e3)


def test_a_thicker_mix_gets_hotter() -> None:
    mixes = Plaster("plaster", np.linspace(25, 120, 60), "a test")

    assert np.all(np.diff(adiabatic_rise(mixes)) < 0)


def test_the_accidents_temperature_is_within_reach() -> None:
    """Court's record of 2007: up to 60 degC in a bucket mixed at about 20."""
    low, high = (20 + adiabatic_rise(mix(70), q) for q in (112.3, 132.5))

    assert 50 < low < high < 62


@pytest.mark.parametrize(
    ("gypsum", "hemihydrate", "water", "printed"), [(-2022.946, -1577.897, -285.83, 112.3)]
)
def test_the_default_heat_lies_among_the_tables(
    gypsum: float, hemihydrate: float, water: float, printed: float
) -> None:
    """Thermoddem with NIST's water; 112 to 133 J/g in four tables."""
    heat = 1000 * (hemihydrate + 1.5 * water - gypsum) / HEMIHYDRATE_G_PER_MOL

    assert heat == pytest.approx(printed, abs=0.05)
    assert setting.HEAT_OF_SETTING.low <= heat <= setting.HEAT_OF_SETTING.high


def test_opening_is_an_hour_or_when_it_was_hottest() -> None:
    assert opening_minutes() == 60.0
    assert opening_minutes(35.0) == 60.0
    assert opening_minutes(90.0) == 90.0
    assert list(np.asarray(opening_minutes(np.array([30.0, 75.0])))) == [60.0, 75.0]


def test_nothing_says_that_setting_plaster_is_safe_to_touch() -> None:
    assert "safe to touch" in setting.HEAT_CAUTION
    assert "No calculation here tells" in setting.HEAT_CAUTION
    assert "touch" not in setting.OPENING_RULE


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: minutes_to(-0.1), "share turned"),
        (lambda: minutes_to(1.1), "share turned"),
        (lambda: minutes_to(np.nan), "share turned"),
        (lambda: minutes_to(0.5, 1.9), "set time"),
        (lambda: minutes_to(0.5, 121.0), "set time"),
        (lambda: conversion(-1.0), "time since mixing"),
        (lambda: conversion(np.nan), "time since mixing"),
        (lambda: conversion(10.0, np.nan), "set time"),
        (lambda: mix_heat_capacity(mix(70), 1.1), "share turned"),
        (lambda: adiabatic_rise(mix(70), 21.0), "heat of setting"),
        (lambda: adiabatic_rise(mix(70), 141.0), "heat of setting"),
        (lambda: opening_minutes(0.0), "highest reading"),
        (lambda: opening_minutes(np.nan), "highest reading"),
    ],
)
def test_impossible_figures_are_refused(call: object, match: str) -> None:
    with pytest.raises(OutOfRange, match=match):
        call()  # type: ignore[operator]


def test_the_heat_of_setting_is_the_spread_of_four_tables() -> None:
    """Thermoddem 112.3, HSC 115.8, NBS alpha 118.1, NBS beta 132.5 J/g (the last from memory)."""
    heat = setting.HEAT_OF_SETTING

    assert (heat.low, heat.likely, heat.high) == (105.0, 118.0, 133.0)
    assert adiabatic_rise(mix(70)) == adiabatic_rise(mix(70), 118.0)


def test_a_slow_plaster_creams_later_in_proportion() -> None:
    """One clock for all: twice the set time, twice the time to every mark."""
    fast, slow = setting.setting_times(15.0), setting.setting_times(30.0)

    assert slow.creams_min == pytest.approx(2 * fast.creams_min)
    assert slow.ends_min == pytest.approx(2 * fast.ends_min)


def test_ice_takes_up_what_old_calorimetry_says() -> None:
    """A gram of ice takes up 79.7 calories (handbooks): water as far above freezing melts its own
    mass of ice and ends at 0 degC, and dry plaster at 0 degC changes nothing."""
    assert mix_temperature(mix(70), 79.7 * 0.75, 0.0, 0.4283) == pytest.approx(0, abs=0.1)
    with pytest.raises(OutOfRange, match="little enough to melt in the rest of the water"):
        mix_temperature(mix(70), 20.0, 0.0, 0.5)


@given(st.floats(30, 110), st.floats(1, 59), st.floats(1, 59))
def test_a_mix_starts_between_its_water_and_its_powder(
    consistency: float, water_c: float, powder_c: float
) -> None:
    low, high = sorted((water_c, powder_c))

    assert low - 1e-9 <= mix_temperature(mix(consistency), water_c, powder_c) <= high + 1e-9
