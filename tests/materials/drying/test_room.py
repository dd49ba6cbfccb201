"""A room full of wet molds, and the cabinet that dries them."""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.errors import OutOfRange
from pourwright.materials.drying.air import (
    air_volume,
    enthalpy,
    humidity_ratio,
    relative_humidity,
)
from pourwright.materials.drying.evaporation import wet_face
from pourwright.materials.drying.room import dryer, room_with_molds


@given(
    st.floats(0.05, 30), st.floats(3, 20), st.floats(20, 300), st.floats(0.1, 10),
    st.floats(16, 28), st.floats(0, 15), st.floats(0.3, 1.0),
)  # fmt: skip
def test_what_the_molds_give_the_ventilation_takes(
    area: float, h: float, room: float, changes: float, t: float, out_t: float, out_rh: float
) -> None:
    """Mass balance, both sides worked here from the humidity found."""
    air = room_with_molds(area, h, room, changes, t, out_t, out_rh)
    outside = humidity_ratio(out_t, out_rh)
    given_g = wet_face(t, air.relative_humidity, h).water_g_per_m2_h * area
    air_kg = changes * room / air_volume(t, outside)
    taken_g = air_kg * (humidity_ratio(t, air.relative_humidity) - outside) * 1000

    assert given_g == pytest.approx(taken_g, rel=1e-5, abs=1e-4)
    assert air.water_g_per_h == pytest.approx(taken_g, rel=1e-9, abs=1e-9)
    assert relative_humidity(t, outside) - 1e-9 <= air.relative_humidity <= 1.0


def test_ten_molds_make_the_room_wetter_than_one_and_each_dries_slower() -> None:
    molds = np.arange(1, 11)
    air = room_with_molds(0.13 * molds, 7.6, 50.0, 0.5, 20.0, 5.0, 0.8)

    assert np.all(np.diff(air.relative_humidity) > 0)
    assert np.all(np.diff(air.water_g_per_h) > 0)
    assert np.all(np.diff(np.asarray(air.water_g_per_h) / molds) < 0)


def test_an_open_window_dries_the_room() -> None:
    changes = np.array([0.2, 0.5, 1.0, 3.0, 10.0])
    air = room_with_molds(1.3, 7.6, 50.0, changes, 20.0, 5.0, 0.8)

    assert np.all(np.diff(air.relative_humidity) < 0)
    assert np.all(np.diff(air.water_g_per_h) > 0)


@given(
    st.floats(0.5, 50), st.floats(5, 200), st.floats(10, 25), st.floats(0.2, 0.6),
    st.floats(35, 49), st.floats(0.35, 0.9),
)  # fmt: skip
def test_the_dryers_water_and_heat_balance(
    water: float, hours: float, t: float, rh: float, hot: float, leaving: float
) -> None:
    """Water: what the air gained. Heat: what raised the room's air; none is lost on the way."""
    cabinet = dryer(water, hours, t, rh, hot, leaving)
    entering = humidity_ratio(t, rh)
    gained = humidity_ratio(cabinet.leaving_c, leaving) - entering
    air_kg = water / gained

    assert cabinet.energy_kwh * 3600 == pytest.approx(
        air_kg * (enthalpy(hot, entering) - enthalpy(t, entering)), rel=1e-9
    )
    assert enthalpy(cabinet.leaving_c, humidity_ratio(cabinet.leaving_c, leaving)) == pytest.approx(
        enthalpy(hot, entering), rel=1e-6
    )
    assert cabinet.heater_kw * hours == pytest.approx(cabinet.energy_kwh)
    assert cabinet.air_m3_per_h * hours / air_volume(t, entering) == pytest.approx(air_kg)
    assert 0 < cabinet.leaving_c < hot


def test_the_dryers_leaving_air_agrees_with_the_psychrometric_library() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    cabinet = dryer(10.0, 24.0, 20.0, 0.5, 45.0, 0.5)
    entering = psychrolib.GetHumRatioFromRelHum(20.0, 0.5, 101325)
    leaving = psychrolib.GetHumRatioFromRelHum(cabinet.leaving_c, 0.5, 101325)
    heat = psychrolib.GetMoistAirEnthalpy(45.0, entering)

    assert psychrolib.GetMoistAirEnthalpy(cabinet.leaving_c, leaving) == pytest.approx(
        heat, rel=1e-4
    )
    assert cabinet.energy_kwh == pytest.approx(
        10.0
        / (leaving - entering)
        * (heat - psychrolib.GetMoistAirEnthalpy(20.0, entering))
        / 3.6e6,
        rel=2e-3,
    )


def test_no_dryer_needs_less_than_the_latent_heat() -> None:
    """
    A plaster maker's drying bulletin: slightly more than 1000 Btu/lb (2326 kJ/kg) to
    evaporate the water alone; a cabinet that vents spends more.
    """
    cabinet = dryer(1.0, 10.0, 20.0, 0.5, 45.0, 0.9)

    assert cabinet.energy_kwh * 3600 > 2326


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: room_with_molds(0.0, 7.6, 50.0, 0.5, 20.0, 5.0, 0.8), "open area"),
        (lambda: room_with_molds(1.0, 7.6, np.nan, 0.5, 20.0, 5.0, 0.8), "volume of the room"),
        (lambda: room_with_molds(1.0, 7.6, 50.0, 0.0, 20.0, 5.0, 0.8), "air changes"),
        (lambda: room_with_molds(1.0, 7.6, 50.0, 61.0, 20.0, 5.0, 0.8), "air changes"),
        (lambda: dryer(0.0, 24.0, 20.0, 0.5), "water to carry away"),
        (lambda: dryer(1.0, 0.0, 20.0, 0.5), "drying time"),
        (lambda: dryer(1.0, 24.0, 20.0, 0.5, 70.1), "at most 70"),
        (lambda: dryer(1.0, 24.0, 20.0, 0.5, 20.0), "above the room"),
        (lambda: dryer(1.0, 24.0, 20.0, 0.5, np.nan), "dryer temperature"),
        (lambda: dryer(1.0, 24.0, 20.0, 0.5, 45.0, 0.29), "humidity of the leaving air"),
        (lambda: dryer(1.0, 24.0, 24.0, 0.9, 25.0, 0.3), "water taken up by the air"),
    ],
)
def test_impossible_rooms_are_refused(call: object, match: str) -> None:
    with pytest.raises(OutOfRange, match=match):
        call()  # type: ignore[operator]


def test_a_cabinet_is_reckoned_at_45_degrees_unless_told() -> None:
    assert dryer(5.0, 24.0, 20.0, 0.5) == dryer(5.0, 24.0, 20.0, 0.5, dryer_c=45.0)
    dryer(5.0, 24.0, 20.0, 0.5, dryer_c=49.0, leaving_humidity=0.3)
    for beyond in ({"dryer_c": 70.1}, {"leaving_humidity": 0.95}, {"leaving_humidity": 0.29}):
        with pytest.raises(OutOfRange):
            dryer(5.0, 24.0, 20.0, 0.5, **beyond)
