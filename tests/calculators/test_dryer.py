"""A drying cabinet: a psychrometric library's balance, a maker's bulletin, and conservation."""

import re

import psychrolib
import pytest
from pytest import approx

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.table import ask
from pourwright.errors import StudioError

psychrolib.SetUnitSystem(psychrolib.SI)
PA = 101325.0
CABINET = {"volume": "3.2 l", "molds": "10", "time": "48 h"}


def answered(**typed):
    return ask("dryer", typed, today=THE_DAY)[1]


def figures(**typed):
    return {one.name: one for one in answered(**typed).figures}


def leaving(enthalpy: float, humidity: float) -> float:
    """Return where a line of constant enthalpy meets a humidity, by the library. [degC]"""
    low, high = 0.0, 60.0
    for _ in range(60):
        middle = (low + high) / 2
        water = psychrolib.GetHumRatioFromRelHum(middle, humidity, PA)
        over = psychrolib.GetMoistAirEnthalpy(middle, water) > enthalpy
        low, high = (low, middle) if over else (middle, high)
    return low


@pytest.mark.parametrize("hot", [40.0, 45.0, 49.0])
@pytest.mark.parametrize("percent", [50, 80])
def test_air_and_heat_are_those_of_an_independent_library(hot, percent):
    """The same balance worked with psychrolib (ASHRAE 2017), 1 kg of water in an hour."""
    found = figures(
        water="1 kg", time="1 h", dryer_temperature=f"{hot} C", leaving_humidity=f"{percent} %", losses="0 %"
    )  # fmt: skip
    entering = psychrolib.GetHumRatioFromRelHum(20.0, 0.5, PA)
    heat = psychrolib.GetMoistAirEnthalpy(hot, entering)
    out_c = leaving(heat, percent / 100)
    air_kg = 1 / (psychrolib.GetHumRatioFromRelHum(out_c, percent / 100, PA) - entering)

    assert found["leaving_c"].value == approx(out_c, abs=0.05)
    assert found["air_m3_per_h"].value == approx(
        air_kg * psychrolib.GetMoistAirVolume(20.0, entering, PA), rel=0.005
    )
    kwh = air_kg * (heat - psychrolib.GetMoistAirEnthalpy(20.0, entering)) / 3.6e6
    assert found["heat_kwh"].value == approx(kwh, rel=0.005)


def test_evaporation_takes_what_the_bulletin_says():
    """A plaster maker's drying bulletin, p. 1: "slightly more than 1000 Btu" a pound of water,
    2326 kJ/kg; at most the 2460 of cold water (IAPWS-97)."""
    found = figures(**CABINET)

    assert 2326 < found["evaporation_kj_per_kg"].value < 2460
    assert found["heat_kwh"].low > found["evaporation_kwh"].value


def test_a_cast_of_two_inches_dries_in_the_bulletins_sixteen_hours():
    """The same bulletin, p. 3: air at 15 ft/s, inside 120 degF, 16 h in its dryer; 50 mm, both
    faces open. Consistency 70, and 93 % of the water gone, after which strength rises."""
    found = figures(
        volume="3.2 l", time="16 h", dryer_temperature="49 C", air_speed="4.572", depth="25 mm", left="3 %"
    )  # fmt: skip

    assert found["ready_min"].low < 16 * 60 < found["ready_min"].high
    assert 6 * 60 < found["wet_stage_min"].value < 20 * 60


def test_ten_molds_hold_ten_times_the_water_of_one():
    one, ten = figures(volume="3.2 l", time="48 h"), figures(**CABINET)

    for name in ("water_kg", "air_m3_per_h", "heater_kw", "heat_kwh"):
        assert ten[name].value == approx(10 * one[name].value)


def test_half_the_time_takes_twice_the_power_and_the_same_energy():
    slow, quick = figures(**CABINET), figures(**CABINET | {"time": "24 h"})

    assert quick["heater_kw"].value == approx(2 * slow["heater_kw"].value)
    assert quick["heat_kwh"].value == approx(slow["heat_kwh"].value)


def test_the_wet_mass_and_the_volume_tell_the_same_water():
    """Wet density at 70: 99.0 lb/ft3 (a plaster maker's table), 1.586 kg/l; 1 %."""
    by_mass = figures(wet_mass="5.075 kg", molds="10", time="48 h")

    assert by_mass["water_kg"].value == approx(figures(**CABINET)["water_kg"].value, rel=0.01)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (CABINET | {"dryer_temperature": "80 C"}, "Above 49 degC a dry mold loses its crystal water"),
        (CABINET | {"dryer_temperature": "20 C"}, "above the room's and at most 70"),
        (CABINET | {"room_humidity": "100 %", "dryer_temperature": "22 C", "leaving_humidity": "30 %"},
         "The air is more humid when it enters"),
        ({"time": "48 h"}, "--water, --volume or --wet-mass is missing"),
        ({"volume": "3 l"}, "--time is missing"),
        (CABINET | {"leaving_humidity": "20 %"}, "--leaving-humidity"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said(typed, said):
    with pytest.raises(StudioError, match=re.escape(said)):
        answered(**typed)


def test_a_dryer_at_its_limit_is_warned_of():
    assert "Too hot for any mold" in answered(**CABINET | {"dryer_temperature": "49 C"}).notes[0]


def test_hotter_air_is_for_wet_molds_only():
    hot, usual = answered(**CABINET | {"dryer_temperature": "60 C"}), answered(**CABINET)

    assert "turn it down to 49 °C before the first edge is dry" in hot.notes[0]
    assert not any("turn it down" in one for one in usual.notes)
