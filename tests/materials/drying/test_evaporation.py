"""Water from a wet face."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from pourwright.errors import OutOfRange
from pourwright.materials.drying.air import (
    VAPOR_GAS_CONSTANT,
    latent_heat,
    saturation_pressure,
    vapor_pressure,
    wet_bulb,
)
from pourwright.materials.drying.evaporation import (
    DRY_LAYER_MU,
    DRY_LAYER_W_PER_M_K,
    heat_transfer,
    vapor_diffusivity,
    vapor_transfer,
    wet_face,
)

AIR = st.floats(16, 60), st.floats(0.0, 0.98), st.floats(3, 60)


@given(*AIR, st.floats(0, 10), st.floats(0, 100))
def test_heat_in_pays_for_what_evaporates(
    t: float, rh: float, h: float, h_r: float, layer: float
) -> None:
    """Energy balance, worked here from the face's own temperature and rate."""
    face = wet_face(t, rh, h, h_r, dry_layer_mm=layer)
    heat = (t - face.surface_c) / (1 / (h + h_r) + layer / 1000 / DRY_LAYER_W_PER_M_K)
    cost = face.water_g_per_m2_h / 3600 * latent_heat(face.surface_c)

    assert cost == pytest.approx(heat, rel=1e-6, abs=1e-6)


@given(*AIR, st.floats(0, 10), st.floats(0, 100))
def test_vapor_goes_down_its_own_slope(
    t: float, rh: float, h: float, h_r: float, layer: float
) -> None:
    face = wet_face(t, rh, h, h_r, dry_layer_mm=layer)
    over = saturation_pressure(face.surface_c) / (face.surface_c + 273.15)
    excess = (over - vapor_pressure(t, rh) / (t + 273.15)) / VAPOR_GAS_CONSTANT
    path = 1 / vapor_transfer(h, t) + DRY_LAYER_MU * layer / 1000 / vapor_diffusivity(t)

    assert face.water_g_per_m2_h == pytest.approx(excess / path * 3.6e6, rel=1e-6, abs=1e-6)


def test_the_balance_agrees_with_a_general_root_finder() -> None:
    """SciPy's brentq on the equation of the docstring, no dry layer."""

    def off(surface: float) -> float:
        over = saturation_pressure(surface) / (VAPOR_GAS_CONSTANT * (surface + 273.15))
        air = vapor_pressure(27.0, 0.4) / (VAPOR_GAS_CONSTANT * 300.15)
        return float(
            (over - air) * vapor_transfer(9.5, 27.0) * latent_heat(surface) * 1000
            - 14.5 * (27.0 - surface)
        )

    assert wet_face(27.0, 0.4, 9.5).surface_c == pytest.approx(brentq(off, 1, 27), abs=1e-6)


@given(st.floats(10, 50), st.floats(0.2, 0.95))
def test_without_radiation_the_face_stays_near_the_wet_bulb(t: float, rh: float) -> None:
    """The Lewis number of 0.87 puts it below the thermodynamic wet bulb, by a tenth at most."""
    face = wet_face(t, rh, 50.0, 0.0)
    depression = t - wet_bulb(t, rh)

    assert 0.95 * depression < t - face.surface_c < 1.12 * depression


@given(*AIR)
def test_every_flux_at_the_bench_is_possible(t: float, rh: float, h: float) -> None:
    """A maker's bulletin prints 6 kg/m2h at room temperature; no wet face comes near it."""
    face = wet_face(t, rh, h)

    assert 0 <= face.water_g_per_m2_h < 6000
    assert face.surface_c <= t + 1e-6


def test_the_room_of_a_workshop_gives_what_workshops_see() -> None:
    """20 to 27 degC and at most 2 m/s: 30 to 400 g/m2h, hard bounds."""
    for t in (20.0, 27.0):
        for rh in (0.4, 0.6):
            for speed in (0.2, 2.0):
                h = heat_transfer(speed)
                assert 30 < wet_face(t, rh, h.low).water_g_per_m2_h < 400
                assert 30 < wet_face(t, rh, h.likely).water_g_per_m2_h < 400


def test_drier_warmer_faster_air_takes_more_and_a_dry_layer_less() -> None:
    rh = np.linspace(0.0, 0.99, 50)
    assert np.all(np.diff(wet_face(20.0, rh, 9.0).water_g_per_m2_h) < 0)
    t = np.linspace(5.0, 60.0, 50)
    assert np.all(np.diff(wet_face(t, 0.4, 9.0).water_g_per_m2_h) > 0)
    h = np.linspace(2.0, 60.0, 50)
    assert np.all(np.diff(wet_face(20.0, 0.4, h).water_g_per_m2_h) > 0)
    layer = np.linspace(0.0, 100.0, 50)
    assert np.all(np.diff(wet_face(20.0, 0.4, 9.0, dry_layer_mm=layer).water_g_per_m2_h) < 0)
    assert (
        wet_face(20.0, 0.4, 9.0, pressure_pa=90000.0).water_g_per_m2_h
        > wet_face(20.0, 0.4, 9.0).water_g_per_m2_h
    )


def test_a_face_that_would_freeze_is_refused() -> None:
    with pytest.raises(OutOfRange, match="the face would freeze"):
        wet_face(5.0, 0.0, 9.0, 0.0)


def test_saturated_air_takes_nothing() -> None:
    face = wet_face(20.0, 1.0, 9.0)

    assert face.surface_c == pytest.approx(20.0, abs=1e-6)
    assert face.water_g_per_m2_h == pytest.approx(0.0, abs=1e-4)


def test_the_pool_formula_at_the_airs_temperature_is_three_times_too_much() -> None:
    """(25 + 19 v)(Xs - X) kg/m2h, a worked example of open pools; the trap is Xs at the air."""
    pool_g = (25 + 19 * 1.0) * (0.01469 - 0.00726) * 1000

    assert 2.5 < pool_g / wet_face(20.0, 0.5, heat_transfer(1.0).likely).water_g_per_m2_h < 3.5


def test_heat_transfer_is_a_range_that_rises_with_the_wind() -> None:
    speed = np.linspace(0.0, 8.0, 81)
    h = heat_transfer(speed)

    assert np.all(np.asarray(h.low) <= h.likely)
    assert np.all(np.asarray(h.likely) <= h.high)
    for end in (h.low, h.likely, h.high):
        assert np.all(np.diff(end) >= 0)
    assert h.low[0] == 3.0
    assert h.likely[0] == pytest.approx(5.7)


def test_the_three_correlations_are_those_of_the_books() -> None:
    """From memory of the books, at 2 m/s: 12.4, 13.3 and 29.1 W/(m2 K)."""
    h = heat_transfer(2.0)

    assert h.low == pytest.approx(12.4, abs=0.05)
    assert h.likely == pytest.approx(13.3, abs=0.05)
    assert h.high == pytest.approx(28.7, abs=0.5)


@pytest.mark.parametrize(
    ("change", "match"),
    [
        ({"temperature_c": 1.9}, "air temperature"),
        ({"temperature_c": 70.1}, "air temperature"),
        ({"temperature_c": np.nan}, "air temperature"),
        ({"relative_humidity": 55.0}, "relative humidity"),
        ({"heat_w_per_m2_k": 0.9}, "coefficient of heat transfer"),
        ({"heat_w_per_m2_k": 201.0}, "coefficient of heat transfer"),
        ({"radiation_w_per_m2_k": -0.1}, "coefficient of radiation"),
        ({"radiation_w_per_m2_k": 10.1}, "coefficient of radiation"),
        ({"dry_layer_mm": -1.0}, "dry layer"),
        ({"dry_layer_mm": 201.0}, "dry layer"),
        ({"dry_layer_mm": np.nan}, "dry layer"),
    ],
)
def test_impossible_faces_are_refused(change: dict[str, float], match: str) -> None:
    usual = {"temperature_c": 20.0, "relative_humidity": 0.5, "heat_w_per_m2_k": 9.0}
    with pytest.raises(OutOfRange, match=match):
        wet_face(**(usual | change))


@pytest.mark.parametrize(("speed", "length"), [(-0.1, 200), (8.1, 200), (1, 19), (1, 2001)])
def test_impossible_winds_are_refused(speed: float, length: float) -> None:
    with pytest.raises(OutOfRange, match="air speed|length of the face"):
        heat_transfer(speed, length)


def test_the_dry_layer_is_that_of_the_building_standard() -> None:
    """EN ISO 10456, gypsum, from memory: mu 4 to 10, 0.39 W/(m K) at 1100 kg/m3."""
    assert DRY_LAYER_MU == 8.0
    assert DRY_LAYER_W_PER_M_K == 0.4


def test_a_wet_face_takes_seventy_degrees_and_a_long_face() -> None:
    assert wet_face(70.0, 0.3, 200.0, 10.0, dry_layer_mm=200.0).water_g_per_m2_h > 0
    assert heat_transfer(8.0, 2000.0).low > 3.0
    assert heat_transfer(8.0, 20.0).low > heat_transfer(8.0, 2000.0).low


def test_vapor_leaves_by_the_analogy_of_heat_and_mass() -> None:
    """
    ``h / h_m = rho cp Le^(2/3)`` (Incropera and DeWitt, heat and mass transfer analogy), by hand
    at 25 degC: 1.1839 kg/m3 of dry air, 1006 J/(kg K), 0.87^(2/3) = 0.9114; 10 / 1085.5.
    """
    assert vapor_transfer(10.0, 25.0) == pytest.approx(10 / 1085.5, rel=1e-3)
    assert vapor_transfer(10.0, 25.0, 50_000.0) == pytest.approx(10 / 1085.5 * 2.0265, rel=1e-3)


def test_a_face_of_a_hands_length_is_the_usual_one_and_the_ends_stay_in_order() -> None:
    """
    Laminar plate of 0.2 m at 2 m/s by hand: Re 26490, Nu 0.664 x 162.8 x 0.892 = 96.4,
    h = 96.4 x 0.0257 / 0.2 = 12.4 W/(m2 K). Of 2 cm at 5 m/s it would pass the likely one.
    """
    told = heat_transfer(2.0)
    assert told == heat_transfer(2.0, 200.0)
    assert told.low == pytest.approx(12.4, abs=0.05)
    short = heat_transfer(5.0, 20.0)
    assert short.low == short.likely == pytest.approx(5.7 + 19.0)
    whole = heat_transfer(np.array([2, 5]))
    assert np.asarray(whole.likely).tolist() == pytest.approx([13.3, 24.7])


def test_behind_a_thick_layer_thin_air_lets_more_vapor_through() -> None:
    """Diffusivity goes as one over the pressure: at 80 kPa a quarter more, less what cools."""
    sea, hills = (
        wet_face(20.0, 0.5, 50.0, dry_layer_mm=100.0, pressure_pa=p).water_g_per_m2_h
        for p in (101325.0, 80000.0)
    )
    assert 1.15 < hills / sea < 101325 / 80000 + 0.01


def test_the_coldest_air_and_the_stillest_are_taken() -> None:
    assert wet_face(2.0, 0.95, 1.0).water_g_per_m2_h > 0
    for air in ((1.9, 0.95, 1.0), (2.0, 0.95, 0.9), (70.1, 0.5, 5.0)):
        with pytest.raises(OutOfRange):
            wet_face(*air)
    assert 0 < wet_face(3.0, 0.60, 7.6).surface_c < 1.0
