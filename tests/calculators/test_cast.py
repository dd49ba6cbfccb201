"""Casting: a clay supplier's timings, a paper's law and balances, through the question that is asked."""

import re

import pytest
from pytest import approx
from scipy.integrate import quad

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.table import ask
from pourwright.errors import StudioError


def answered(**typed):
    return ask("cast", typed, today=THE_DAY)[1]


def figures(**typed):
    return {one.name: one for one in answered(**typed).figures}


def test_without_a_test_cast_there_is_no_single_time():
    """Published rates: 4 mm in 3 min (a UK clay supplier) to 3 mm in 10 min: 5 mm takes 5 to 28."""
    found = figures(wall="5 mm")["stand_min"]

    assert found.value is None
    assert (found.low, found.high) == approx((4.69, 27.8), abs=0.1)


@pytest.mark.parametrize(
    ("place", "minutes"), [("1", 3.0), ("2", 3.5), ("3", 4.0)]
)  # fmt: skip
def test_later_casts_in_a_row_take_what_a_supplier_prints(place, minutes):
    """A UK clay supplier's terracotta slip, small mold, 4 mm: 3, 3.5 and 4 minutes. The second
    share is the middle of four molds', hence the tenth of a minute; these calibrate the shares."""
    found = figures(wall="4 mm", test="4 mm in 3 min", cast_in_a_row=place)["stand_min"]

    assert found.value == approx(minutes, abs=0.1)
    assert found.low < minutes < found.high


def test_a_test_of_a_later_cast_is_put_back_to_a_dry_mold():
    """The same page: 4 mm in 4 min on the third cast is 3 min on the first."""
    assert figures(wall="4 mm", third_test="4 mm in 4 min")["stand_min"].value == approx(3.0)


def test_twice_the_wall_takes_four_times_as_long():
    """The wall grows with the root of time: Ceramics 8(1), 6 (2025), introduction."""
    once, twice = (
        figures(wall=wall, test="3 mm in 3 min")["stand_min"].value for wall in ("4 mm", "8 mm")
    )

    assert twice == approx(4 * once)


def test_a_round_wall_is_darcys_law_behind_a_round_face():
    """scipy.integrate.quad on Darcy's law: dt = (r/k) ln(R/r) dr x 2, R 25 mm, wall 5 mm, k 3."""
    by_quad = quad(lambda r: 2 * r / 3 * _log(25 / r), 20, 25)[0]
    found = figures(wall="5 mm", test="6 mm in 12 min", shape="inside a tube", radius="25 mm")

    assert found["stand_min"].value == approx(by_quad, rel=1e-6)


def _log(x):
    import math

    return math.log(x)


def test_a_warmer_slip_casts_quicker_as_water_flows():
    """IAPWS viscosities of water: 1.0016 mPa s at 20 and 0.7972 at 30 degC."""
    test = {"wall": "4 mm", "test": "4 mm in 6 min"}
    warm = figures(**test, test_temperature="20 C", temperature="30 C")["stand_min"].value

    assert warm / figures(**test)["stand_min"].value == approx(0.7972 / 1.0016, rel=0.002)


def test_a_slab_cast_from_two_faces_closes_when_each_half_has_grown():
    """The law itself: 3 mm at 3 mm2/min is 3 min."""
    assert figures(solid="slab", thickness="6 mm", test="6 mm in 12 min")[
        "stand_min"
    ].value == approx(3.0)


def test_a_cut_spare_retimes_the_molds_that_stand():
    """The law itself: 4.2 mm after 8 min is 2.205 mm2/min, and 5 mm takes 11.34 min."""
    found = figures(wall="5 mm", spare="4.2 mm after 8 min", stood="9 min")["more_min"]

    assert found.value == approx(25 / (4.2**2 / 8) - 9)
    assert found.low < found.value < found.high
    assert (
        answered(wall="4 mm", spare="4.2 mm after 8 min").says
        == "Drain now: the wall is there already."
    )


def test_water_of_a_cast_is_what_slip_and_cast_do_not_share():
    """Masses alone: slip of 1780 g/l, cast of 20 % water, solids 2.6; 0.05 m2 of 4 mm."""
    found = figures(wall="4 mm", area="0.05 m2", liter_weight="1780 g/l")
    cast_kg = 0.2 / (0.2 + 0.8 / 2.6)
    slip_kg = cast_kg * 0.8 / (0.780 * 2.6 / 1.6) * 1.780

    assert found["cast_kg"].value == approx(cast_kg)
    assert found["water_to_mold_kg"].value == approx(slip_kg - cast_kg)
    assert found["water_to_mold_kg"].low < slip_kg - cast_kg < found["water_to_mold_kg"].high


def test_a_mold_rests_before_it_passes_the_bulletins_limit():
    """A plaster maker's bulletin: 5 % is good practice, 15 % the most many shops allow."""
    found = figures(wall="4 mm", area="0.05 m2", liter_weight="1780 g/l", dry_mold="4 kg")
    water = found["water_to_mold_kg"].value
    casts = found["casts_before_rest"].value

    assert casts == 0.10 * 4 // water
    assert found["free_water_then"].value == approx(0.05 + casts * water / 4)


def test_a_tank_that_loses_a_tenth_a_round_settles_at_nine_rounds():
    """Sum of 0.9 + 0.81 + ...: nine; 0.2488 l a cast of a tank ten times as large."""
    kept = figures(wall="4 mm", area="0.05 m2", liter_weight="1780 g/l")["kept_l"].value
    found = figures(
        wall="4 mm",
        area="0.05 m2",
        liter_weight="1780 g/l",
        tank=f"{10 * kept:.6f} l",
        rounds="300",
    )

    assert found["rounds_in_the_tank"].value == approx(9.0, abs=0.001)
    assert found["rounds_in_the_end"].value == approx(9.0, abs=0.001)


def test_slip_is_ready_for_every_mold_that_stands_filled():
    """0.9 l and what sinks, four times, with 5 % more."""
    found = figures(wall="4 mm", area="0.05 m2", liter_weight="1780 g/l", fill="0.9 l", molds="4")

    assert found["ready_l"].value == approx(4 * (0.9 + found["top_up_l"].value) * 1.05)


def test_walls_that_do_not_grow_with_the_root_of_time_are_told():
    even = ["2 mm in 2 min", "4.1 mm in 4 min", "6 mm in 6 min", "8.1 mm in 8 min"]

    assert any(
        "do not grow with the root" in note for note in answered(wall="5 mm", test=even).notes
    )
    assert any(
        "No such casting rate" in note for note in answered(wall="5 mm", test="9 mm in 1 min").notes
    )


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({}, "--wall is missing"),
        ({"wall": "5"}, "a number alone does not say which unit"),
        ({"wall": "5 mm", "shape": "inside a tube"}, "--radius is missing"),
        ({"wall": "5 mm", "shape": "inside a tube", "radius": "4 mm"}, "more than 0 and at most 1"),
        ({"wall": "5 mm", "test": "4 mm in 3 min", "temperature": "30 C"}, "--test-temperature is missing"),
        ({"wall": "5 mm", "area": "500 cm2"}, "--liter-weight is missing"),
        ({"area": "500 cm2", "liter_weight": "1780 g/l"}, "--wall is missing"),
        ({"dry_mold": "4 kg"}, "--dry-mold needs it, or --kept"),
        ({"spare": "4 mm after 8 min"}, "--wall is missing"),
        ({"wall": "5 mm", "cast_in_a_row": "4"}, "Nothing is published beyond the third"),
        ({"wall": "4 mm", "area": "0.05 m2", "liter_weight": "1780 g/l", "tank": "0.1 l"}, "the tank must hold more"),
        ({"wall": "4 mm", "area": "0.05 m2", "liter_weight": "1780 g/l", "dries_a_day": "90 g"},
         "--occupied is missing"),
        ({"solid": "slab"}, "--solid needs it too"),
    ],
)  # fmt: skip
def test_what_is_missing_or_cannot_be_is_said(typed, said):
    with pytest.raises(StudioError, match=re.escape(said)):
        answered(**typed)


def test_a_wall_far_beyond_any_that_was_tested_is_warned_of():
    """50 mm from a test of 4 mm: 12.5 times as thick, 156 times as long."""
    far = answered(wall="50 mm", test="4 mm in 6 min")
    near = answered(wall="5 mm", test="4 mm in 6 min")

    assert "12 times as thick as your test's 4.0 mm" in far.says
    assert "cast a test nearer to it first" in far.says
    assert "cast a test" not in near.says
