"""Moist air, held against an independent psychrometric library."""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.errors import OutOfRange
from pourwright.materials.drying.air import (
    air_volume,
    dew_point,
    enthalpy,
    humidity_ratio,
    latent_heat,
    relative_humidity,
    saturation_pressure,
    vapor_pressure,
    wet_bulb,
)

TEMPERATURES = st.floats(8, 60)
HUMIDITIES = st.floats(0.05, 1.0)
PRESSURES = st.floats(80000, 105000)


@pytest.fixture(autouse=True)
def metric() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)


@given(st.floats(0.1, 99))
def test_saturation_agrees_with_the_library(temperature: float) -> None:
    """Its fit (Hyland and Wexler) and IAPWS-IF97 differ by at most 0.02 %."""
    assert saturation_pressure(temperature) == pytest.approx(
        psychrolib.GetSatVapPres(temperature), rel=3e-4
    )


@given(TEMPERATURES, HUMIDITIES, PRESSURES)
def test_moist_air_agrees_with_the_library(t: float, rh: float, p: float) -> None:
    water = psychrolib.GetHumRatioFromRelHum(t, rh, p)

    assert humidity_ratio(t, rh, p) == pytest.approx(water, rel=5e-4)
    assert air_volume(t, water, p) == pytest.approx(
        psychrolib.GetMoistAirVolume(t, water, p), rel=1e-5
    )
    assert enthalpy(t, water) == pytest.approx(
        psychrolib.GetMoistAirEnthalpy(t, water) / 1000, rel=1e-5
    )


@given(TEMPERATURES, st.floats(0.3, 1.0), PRESSURES)
def test_wet_bulb_agrees_with_the_library(t: float, rh: float, p: float) -> None:
    """The library stops within 0.001 degC."""
    assert wet_bulb(t, rh, p) == pytest.approx(
        psychrolib.GetTWetBulbFromRelHum(t, rh, p), abs=0.004
    )


@given(st.floats(12, 60), st.floats(0.5, 1.0))
def test_dew_point_agrees_with_the_library(t: float, rh: float) -> None:
    """The library's dew point is good to about 0.01 degC."""
    assert dew_point(vapor_pressure(t, rh)) == pytest.approx(
        psychrolib.GetTDewPointFromRelHum(t, rh), abs=0.02
    )


@given(st.floats(0, 120))
def test_dew_point_undoes_saturation(temperature: float) -> None:
    assert dew_point(saturation_pressure(temperature)) == pytest.approx(temperature, abs=2e-5)


@given(TEMPERATURES, st.floats(0, 1.0), PRESSURES)
def test_relative_humidity_undoes_the_humidity_ratio(t: float, rh: float, p: float) -> None:
    assert relative_humidity(t, humidity_ratio(t, rh, p), p) == pytest.approx(rh, abs=1e-12)


def test_wet_bulb_lies_between_dew_point_and_air_and_rises_with_humidity() -> None:
    humidity = np.linspace(0.3, 1.0, 60)
    bulb = np.asarray(wet_bulb(25.0, humidity))

    assert np.all(np.diff(bulb) > 0)
    assert bulb[-1] == pytest.approx(25.0, abs=1e-6)
    assert np.all(bulb[:-1] > np.asarray(dew_point(vapor_pressure(25.0, humidity[:-1]))))
    assert np.all(bulb < 25.0 + 1e-6)


def test_warmer_air_holds_more_and_its_water_takes_less_heat_to_evaporate() -> None:
    celsius = np.arange(0.0, 101.0)

    assert np.all(np.diff(saturation_pressure(celsius)) > 0)
    assert np.all(np.diff(latent_heat(celsius)) < 0)
    assert np.all(np.diff(air_volume(celsius, 0.01)) > 0)
    assert np.all(np.diff(enthalpy(celsius, 0.01)) > 0)


def test_thin_air_holds_more_water_for_its_mass() -> None:
    assert humidity_ratio(20.0, 0.5, 90000.0) > humidity_ratio(20.0, 0.5)


def test_arrays_give_what_numbers_give() -> None:
    t, rh = np.array([10.0, 20.0, 30.0])[:, None], np.array([0.4, 0.8])
    bulbs = np.asarray(wet_bulb(t, rh))

    assert bulbs.shape == (3, 2)
    assert bulbs[2, 1] == pytest.approx(wet_bulb(30.0, 0.8), abs=1e-9)
    assert type(wet_bulb(30.0, 0.8)) is float


@pytest.mark.parametrize("bad", [-0.1, 120.1, np.nan])
def test_temperatures_beyond_the_equation_are_refused(bad: float) -> None:
    with pytest.raises(OutOfRange, match="between 0 and 120 degC"):
        saturation_pressure(bad)
    with pytest.raises(OutOfRange, match="air temperature"):
        air_volume(bad, 0.01)
    with pytest.raises(OutOfRange, match="air temperature"):
        enthalpy(bad, 0.01)


@pytest.mark.parametrize("bad", [-0.01, 1.01, 50.0, np.nan])
def test_a_humidity_in_percent_is_refused(bad: float) -> None:
    for law in (vapor_pressure, humidity_ratio, wet_bulb):
        with pytest.raises(OutOfRange, match=r"50 % is written 0\.5"):
            law(20.0, bad)


@pytest.mark.parametrize("bad", [1013.0, 59999.0, 110001.0, np.nan])
def test_a_pressure_in_millibar_is_refused(bad: float) -> None:
    with pytest.raises(OutOfRange, match="1013 mbar is 101300 Pa"):
        humidity_ratio(20.0, 0.5, bad)


def test_air_that_would_be_steam_or_ice_is_refused() -> None:
    with pytest.raises(OutOfRange, match="below the air pressure"):
        humidity_ratio(100.0, 1.0)
    with pytest.raises(OutOfRange, match="The law knows no ice"):
        wet_bulb(3.0, 0.1)
    with pytest.raises(OutOfRange, match="air temperature"):
        wet_bulb(90.1, 0.1)
    with pytest.raises(OutOfRange, match="vapor pressure"):
        dew_point(600.0)
    with pytest.raises(OutOfRange, match="vapor pressure"):
        dew_point(np.nan)


@pytest.mark.parametrize("bad", [-0.001, 1.001, np.nan])
def test_impossible_water_in_the_air_is_refused(bad: float) -> None:
    for law in (relative_humidity, air_volume, enthalpy):
        with pytest.raises(OutOfRange, match="water in the air"):
            law(20.0, bad)


@pytest.mark.parametrize("bad", [-0.1, 100.1, np.nan])
def test_latent_heat_ends_with_liquid_water(bad: float) -> None:
    with pytest.raises(OutOfRange, match="water temperature"):
        latent_heat(bad)
