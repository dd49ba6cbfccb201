"""Air: an independent psychrometric library, and textbook values, beside the answer."""

import psychrolib
import pytest
from pytest import approx

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.table import ask

psychrolib.SetUnitSystem(psychrolib.SI)


def figures(**typed):
    _, answer = ask("air", typed, today=THE_DAY)
    return {one.name: one for one in answer.figures}


@pytest.mark.parametrize(
    ("celsius", "percent"),
    [(5, 50), (5, 90), (20, 15), (20, 50), (27, 40), (27, 90), (45, 15), (45, 50)],
)
@pytest.mark.parametrize("hpa", [1013.25, 850])
def test_the_state_of_the_air_is_that_of_an_independent_library(celsius, percent, hpa):
    """psychrolib, the equations of ASHRAE 2017; it takes the real gas as ideal, as we do."""
    found = figures(temperature=f"{celsius} C", humidity=f"{percent} %", pressure=str(hpa))
    at, rh, pa = float(celsius), percent / 100, hpa * 100
    water = psychrolib.GetHumRatioFromRelHum(at, rh, pa)
    bulb = psychrolib.GetTWetBulbFromRelHum(at, rh, pa)
    dew = psychrolib.GetTDewPointFromRelHum(at, rh)

    assert found["water_g_per_kg"].value == approx(1000 * water, rel=0.002)
    assert found["wet_bulb_c"].value == approx(bulb, abs=0.03)
    assert found["air_m3_per_kg"].value == approx(
        psychrolib.GetMoistAirVolume(at, water, pa), rel=1e-3
    )
    assert found["heat_kj_per_kg"].value == approx(
        psychrolib.GetMoistAirEnthalpy(at, water) / 1000, rel=0.003
    )
    if dew > 0.1:
        assert found["dew_point_c"].value == approx(dew, abs=0.03)
    else:
        assert found["dew_point_c"].text == "below freezing"


def test_a_wet_face_gives_what_the_correlations_span():
    """20 degC, 50 %, 1 m/s: 0.109 kg/(m2 h) by a laminar plate; any flux of a workshop lies
    between 0.03 and 0.4. The formula for open pools gives 0.33, three times too much."""
    flux = figures(temperature="20 C", humidity="50 %", air_speed="1")["water_g_per_m2_h"]

    assert flux.low == approx(109, abs=1)
    assert 30 < flux.low < flux.value < flux.high < 0.6 * 330


def test_a_range_of_speeds_is_wider_than_one_speed():
    wide = figures(temperature="20 C", humidity="50 %")["water_g_per_m2_h"]
    one = figures(temperature="20 C", humidity="50 %", air_speed="0.5")["water_g_per_m2_h"]

    assert wide.low < one.low < one.high < wide.high


def test_full_air_takes_nothing():
    assert figures(temperature="20 C", humidity="100 %")["water_g_per_m2_h"].high == approx(
        0, abs=1e-6
    )


def test_air_in_which_a_face_freezes_is_told_with_what_can_be_told():
    """5 degC at 30 % has a wet bulb of -0.2 degC; its pressures and its heat are known all the same."""
    cold = figures(temperature="5 C", humidity="30 %")
    _, frost = ask("air", {"temperature": "3 C", "humidity": "5 %"}, today=THE_DAY)

    assert cold["wet_bulb_c"].text == "below freezing"
    assert cold["vapor_pa"].value == approx(0.3 * 872.6, rel=1e-3)  # IAPWS: 872.6 Pa at 5 degC
    assert "warm the room first" in frost.says
