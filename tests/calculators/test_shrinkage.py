"""Shrinkage: a standard's definitions and printed examples, through the question that is asked."""

import re

import pytest
from pytest import approx

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.table import ask
from pourwright.errors import StudioError


def answered(**typed):
    return ask("shrinkage", typed, today=THE_DAY)[1]


def figures(**typed):
    return {one.name: one for one in answered(**typed).figures}


@pytest.mark.parametrize(
    ("fired", "on", "total"),
    [("6 %", "dry", 0.1164), ("8 %", "dry", 0.1352), ("6 %", "wet", 0.12), ("12 %", "total", 0.12)],
)
def test_shrinkages_multiply_on_their_own_bases(fired, on, total):
    """ASTM C326: dry on the wet length, fired on the dry one; wet and total by the same lengths.
    A potter's rule of thumb for the first two, 6 % and 6 to 8 %, is 12 to 14 % in all."""
    found = figures(dry="6 %", fired=fired, fired_on=on)

    assert found["total_shrinkage"].value == approx(total, abs=1e-9)
    assert found["volume_shrinkage"].value == approx(1 - (1 - total) ** 3)


def test_tiles_are_made_as_large_as_a_potter_worked_out():
    """A potters' discussion list (2003): six-inch tiles of a clay that shrinks 11.5 % are cut 6.78."""
    found = figures(fired_length="6 in", fired="11.5 %", fired_on="total", clay_only="yes")

    assert found["original_mm"].value / 25.4 == approx(6.78, abs=0.005)


def test_an_original_gives_the_piece_that_a_potter_found():
    """A potter's blog: 60 mm gave just under 54 mm; made 1.11 times larger."""
    found = figures(original="60 mm", fired="10 %", fired_on="total", clay_only="yes")

    assert found["fired_mm"].value == approx(54, abs=0.3)
    assert found["model_factor"].value == approx(1.11, abs=0.005)


def test_the_chain_goes_both_ways():
    """By hand: 1.002 twice for plaster, 0.97 and 0.91 for the clay."""
    clay = {"dry": "3 %", "fired": "9 %", "fired_on": "dry"}
    factor = 1.002 * 1.002 * 0.97 * 0.91
    there = figures(original="100 mm", capacity="0.5 l", **clay)
    back = figures(fired_length=f"{100 * factor:.9f} mm", capacity="0.5 l", **clay)

    assert there["fired_mm"].value == approx(100 * factor)
    assert back["original_mm"].value == approx(100)
    assert there["capacity_l"].value == approx(0.5 * factor**3)
    assert back["capacity_l"].value == approx(0.5 / factor**3)
    rows = answered(original="100 mm", **clay).tables[0].rows
    assert [row[0] for row in rows][-2:] == ["the dry piece", "the fired piece"]
    assert rows[-1][1] == approx(100 * factor)


@pytest.mark.parametrize(
    ("typed", "factor"),
    [
        ({"no_block_mold": "yes"}, 1.002 * 0.88),
        ({"rubber": "0.5 %"}, 1.002**2 * 0.995 * 0.88),
        ({"plaster_expansion": "0 %"}, 0.88),
        ({"clay_only": "yes", "rubber": "0.5 %"}, 0.88),
    ],
)
def test_each_step_counts_once(typed, factor):
    """By hand, of a clay that shrinks 12 % in all."""
    found = figures(original="100 mm", fired="12 %", fired_on="total", **typed)

    assert found["whole_factor"].value == approx(factor)


def test_where_only_the_total_is_known_no_dry_piece_is_made_up():
    answer = answered(original="100 mm", fired="12 %", fired_on="total")

    assert "the dry piece" not in [row[0] for row in answer.tables[0].rows]
    assert "dry_shrinkage" not in {one.name for one in answer.figures}


def test_a_bar_of_ones_own_gives_both_shrinkages():
    """ASTM C326 by hand: 100, 97 and 88.27 mm are 3 % and 9 %; a second bar is averaged in."""
    found = figures(bar="100 mm dried 97 mm fired 88.27 mm")
    both = figures(bar=["100 mm dried 97 mm fired 88.27 mm", "50 mm dried 48 mm fired 43.2 mm"])

    assert (found["dry_shrinkage"].value, found["fired_shrinkage"].value) == approx((0.03, 0.09))
    assert both["total_shrinkage"].value == approx((0.1173 + 0.136) / 2)


def test_water_gives_the_dry_shrinkage_of_a_ball_clays_sheet():
    """A ball clay's data sheet: extruded at 25 % water, critical 16 %, dry contraction 6.5 %."""
    found = figures(cast_moisture="25 %", critical_moisture="16 %")["dry_shrinkage_by_water"]

    assert found.value == approx(0.065, abs=0.008)
    assert found.low < found.value < found.high
    assert found.grade.startswith("weak")


def test_mass_and_absorption_are_those_of_the_weighings():
    """By the definitions; two kiln controllers' manuals have about 10 % lost by earthenware."""
    assert figures(dry_mass="1000 g", loss_on_ignition="10 %")["fired_kg"].value == approx(0.9)
    found = figures(weighed="100 g dry 62 g hung 108 g soaked")
    assert found["absorption"].value == approx(8 / 100)
    assert found["porosity"].value == approx(8 / 46)
    assert found["bulk_kg_per_l"].value == approx(100 / 46)
    assert found["apparent_kg_per_l"].value == approx(100 / 38)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({}, "the shrinkage is missing"),
        ({"original": "100 mm"}, "--fired is missing"),
        ({"original": "100 mm", "fired": "9 %"}, "which length the supplier measured it on"),
        ({"original": "100 mm", "fired": "9 %", "fired_on": "dry"}, "--dry is missing"),
        ({"original": "100 mm", "fired": "9", "fired_on": "total"}, 'write "9 %" if per cent is meant'),
        ({"fired": "9 %", "fired_on": "moist"}, 'it must be one of "dry", "wet", "total"'),
        ({"dry": "6 %", "fired": "3 %", "fired_on": "total"}, "at least 0.06"),
        ({"bar": "100 mm dried 101 mm fired 90 mm"}, "each length must be at most the one before"),
        ({"bar": "100 mm dried 97 mm fired 8.8 mm"}, "over half of the first"),
        ({"dry_mass": "1 kg"}, "--loss-on-ignition is missing"),
        ({"weighed": "100 g dry 108 g hung 62 g soaked"}, "weight hung in water is 0.108 kg"),
        ({"cast_moisture": "20 %", "critical_moisture": "25 %"}, "critical moisture is 0.25"),
        ({"original": "1 m", "fired_length": "1 m"}, "--original is told beside --fired-length"),
    ],
)  # fmt: skip
def test_what_is_never_assumed_is_asked_for(typed, said):
    with pytest.raises(StudioError, match=re.escape(said)):
        answered(**typed)
