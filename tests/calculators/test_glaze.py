"""Glaze: printed densities and masses that must balance, through the question that is asked."""

import re

import pytest
from pytest import approx

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.table import ask
from pourwright.errors import StudioError


def answered(**typed):
    return ask("glaze", typed, today=THE_DAY)[1]


def figures(**typed):
    return {one.name: one for one in answered(**typed).figures}


def test_a_liter_of_slurry_holds_what_a_worked_example_has():
    """A potters' list (2004), worked there with a handbook's 2.65: 65 g in 50 ml hold 24.1 g dry."""
    found = figures(liter_weight="1300 g/l", solids="2.65")

    assert 1000 * 0.05 * found["dry_kg_per_l"].value == approx(24.1, abs=0.1)
    assert found["dry_to_water"].value == approx(
        found["dry_kg_per_l"].value / found["water_kg_per_l"].value
    )


def test_dry_glaze_takes_water_that_makes_the_weight():
    """Masses and volumes alone: glaze 2.6 kg/l, water 1 kg/l."""
    found = figures(dry_glaze="2 kg", liter_weight="1450 g/l")
    volume = 2 / 2.6 + found["water_kg"].value

    assert (2 + found["water_kg"].value) / volume == approx(1.450)
    assert found["makes_l"].value == approx(volume)


def test_the_coat_is_that_of_the_weighed_piece_in_the_band_of_dipped_ware():
    """36 g on 500 cm2 are 720 g/m2; dipped tableware carries 400 to 900 (practice, from memory)."""
    found = figures(coat_test="310 g to 346 g on 500 cm2", area="500 cm2", pieces="12")

    assert found["coat_g_per_m2"].value == approx(720)
    assert found["pieces_kg"].value == approx(12 * 0.036)


def test_a_coats_thickness_gives_a_range_and_says_that_it_is_weak():
    """0.5 mm, 55 % of it solid, at 2.6 kg/l: 715 g/m2."""
    found = figures(coat_thickness="0.5 mm")["coat_g_per_m2"]

    assert (found.value, found.low, found.high) == approx((715, 585, 845))
    assert found.grade.startswith("weak")


def test_slurry_is_had_ready_for_the_pieces_and_the_bucket():
    """20 pieces of 0.08 m2 at 700 g/m2 are 1.12 kg; 0.8125 kg in a liter of 1500 g/l at 2.6."""
    pieces = {"area": "800 cm2", "pieces": "20", "coat": "700 g/m2", "liter_weight": "1500 g/l"}
    found = figures(**pieces, left_in_bucket="3 l", sprayed_past="1.5")

    assert found["pieces_kg"].value == approx(1.12)
    assert found["on_ware_l"].value == approx(1.12 / 0.8125)
    assert found["to_mix_l"].value == approx(1.5 * 1.12 / 0.8125 + 3)


def test_thin_bisque_draws_no_more_than_it_can_drink():
    """By the water: 4 mm of 1.9 kg/l drink 9 %, 0.684 kg/m2, which 0.6875 kg of water brings
    0.8125 kg of glaze; half of it to each face. 6 to 9 % is a potter's figure for bisque (1999)."""
    thin = {"wall": "4 mm", "absorption": "9 %", "liter_weight": "1500 g/l"}
    both = figures(**thin)["most_coat_g_per_m2"]

    assert both.value is None
    assert both.high == approx(4 * 1.9 * 0.09 * 1000 * 0.8125 / 0.6875 / 2)
    assert figures(**thin, faces="1")["most_coat_g_per_m2"].high == approx(2 * both.high)
    assert "less than the coat of 700 g/m²" in answered(**thin, coat="700 g/m2").says
    assert "less than the coat" not in answered(**thin, coat="300 g/m2").says


def test_no_glaze_is_ever_said_to_be_fit_for_food():
    assert any(
        "says nothing of food contact" in note for note in answered(liter_weight="1500 g/l").notes
    )


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({}, "--liter-weight is missing"),
        ({"area": "800 cm2"}, "weigh a piece dry before and after glazing. It is never assumed."),
        ({"wall": "4 mm", "liter_weight": "1500 g/l"}, "--absorption is missing"),
        ({"wall": "4 mm", "absorption": "9 %"}, "--liter-weight is missing"),
        ({"dry_glaze": "2 kg"}, "--liter-weight is missing"),
        ({"liter_weight": "150 g/l"}, "Was it weighed in a 100 ml cup? Then write 1500 g/l."),
        ({"coat_test": "346 g to 310 g on 500 cm2"}, "Weigh both dry."),
        ({"coat": "700 g/m2", "coat_thickness": "0.5 mm"}, "--coat is told beside --coat-thickness"),
    ],
)  # fmt: skip
def test_what_is_never_assumed_is_asked_for(typed, said):
    with pytest.raises(StudioError, match=re.escape(said)):
        answered(**typed)
