"""Slip: handbooks, a chemist's scale and suppliers' recipes, through the question that is asked."""

import re

import pytest
from pytest import approx

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.table import ask
from pourwright.calculators.words import figure_text
from pourwright.errors import StudioError

OZ_KG, PINT_L = 0.028349523125, 0.56826125


def answered(**typed):
    return ask("slip", typed, today=THE_DAY)[1]


def figures(**typed):
    return {one.name: one for one in answered(**typed).figures}


@pytest.mark.parametrize(
    ("weight", "solids", "dry_g", "water_g"),
    [("1700 g/l", "2.5", 1166, None), ("1500 g/l", "2.5", 833.3, 666.7), ("1750 g/l", "2.5", 1250, 500)],
)  # fmt: skip
def test_a_liter_holds_what_the_printed_examples_say(weight, solids, dry_g, water_g):
    """Norsker and Danisch (GTZ, 1991), appendix: 1166 g; a potters' list (1998) for the others."""
    found = figures(liter_weight=weight, solids=solids)

    assert 1000 * found["dry_kg_per_l"].value == approx(dry_g, abs=1)
    if water_g is not None:
        assert 1000 * found["water_kg_per_l"].value == approx(water_g, abs=0.1)


def test_forty_per_cent_of_the_dry_clay_is_water_at_1750():
    """The same potters' list (1998), solids 2.5."""
    assert figures(liter_weight="1750 g/l", solids="2.5")["water_of_dry"].value == approx(0.40)


def test_a_small_measure_is_enough():
    """A potters' list (2004), worked there with a handbook's 2.65: 65 g in 50 ml hold 24.1 g."""
    found = figures(weighed="65 g in 50 ml", solids="2.65")

    assert 1000 * 0.05 * found["dry_kg_per_l"].value == approx(24.1, abs=0.1)


def test_an_imperial_pint_of_36_ounces_holds_what_cardew_has():
    """Cardew, Pioneer Pottery (1969), p. 269, with solids 2.5: 26.67 oz; his pint is 0.2 % light."""
    found = figures(liter_weight="36 oz/imperial pint", solids="2.5")

    assert found["dry_kg_per_l"].value * PINT_L / OZ_KG == approx(26.67, abs=0.12)
    assert found["pint_imperial_oz"].value == approx(36, abs=1e-9)


@pytest.mark.parametrize(("degrees", "density"), [("100", 1.500), ("25", 1.125), ("9", 1.045)])
def test_degrees_twaddell_are_a_chemists(degrees, density):
    """A US chemist's handbook of paper and dyeing (1910s), p. 19."""
    found = figures(twaddell=degrees)

    assert found["liter_weight_g_per_l"].value == approx(1000 * density, abs=0.5)
    assert found["twaddell_degrees"].value == approx(float(degrees))


def test_degrees_baume_are_those_of_the_us_scale():
    """Marks' Standard Handbook: 145 / (145 - degrees)."""
    assert figures(baume="62")["liter_weight_g_per_l"].value == approx(1000 * 145 / 83, abs=0.1)


def test_a_powdered_body_is_made_by_its_suppliers_recipe():
    """A UK clay supplier's recipe: 25 kg of powder to 10 l of water; Brongniart has 1750 g/l at 2.5."""
    found = figures(clay="25 kg", target="1750 g/l", solids="2.5")

    assert found["water_kg"].value == approx(10.0, abs=0.05)
    assert found["makes_l"].value == approx(20.0, abs=0.05)


def test_a_kit_makes_the_slip_that_its_supplier_says():
    """A UK supplier's kit: 1.5 kg of powder and 0.6 kg of water make 1.2 l."""
    made = figures(clay="1.5 kg", target="1750 g/l", solids="2.5")

    assert made["water_kg"].value == approx(0.6, abs=0.005)
    assert made["makes_l"].value == approx(1.2, abs=0.05)


@pytest.mark.parametrize(
    ("typed", "clay_kg", "water_kg"),
    [
        ({"liter_weight": "1850 g/l", "volume": "10 l", "target": "1780 g/l"}, 0, 0.897),
        ({"liter_weight": "1700 g/l", "volume": "10 l", "target": "1780 g/l"}, 2.537, 0),
    ],
)
def test_what_goes_in_makes_the_weight_that_is_wanted(typed, clay_kg, water_kg):
    """By the masses and volumes themselves: water 1 kg/l, clay 2.6 kg/l."""
    found = figures(**typed)
    mass = float(typed["liter_weight"][:4]) * 0.010 + clay_kg + water_kg

    assert found["clay_kg" if clay_kg else "water_kg"].value == approx(
        clay_kg + water_kg, abs=0.001
    )
    assert mass / (10 + clay_kg / 2.6 + water_kg) == approx(1.780, abs=0.0005)
    assert found["makes_l"].value == approx(10 + clay_kg / 2.6 + water_kg, abs=0.001)
    assert (found["then_g_per_l"].label, found["then_g_per_l"].value) == ("weighs then", 1780)
    assert found["liter_weight_g_per_l"].label == "weighs now"


def test_returns_bring_their_own_clay_and_water():
    """Clay in is clay out: 20 l of 1780 hold what 8 l of 1720 and what is added hold."""
    made = figures(make="20 l", target="1780 g/l", returns="8 l", returns_weight="1720 g/l")
    dry = [20 * 0.780 * 2.6 / 1.6, 8 * 0.720 * 2.6 / 1.6]

    assert made["clay_kg"].value == approx(dry[0] - dry[1])
    assert made["water_kg"].value == approx(20 * 1.780 - 8 * 1.720 - made["clay_kg"].value)


def test_a_dose_is_weighed_for_the_clay_that_goes_in():
    """A casting blog's worked example (2010): 0.1 % on 600 g is 0.6 g."""
    found = figures(clay="600 g", target="1750 g/l", deflocculant="0.1 %")

    assert 1000 * found["deflocculant_kg"].value == approx(0.6)


def test_a_slip_that_weighs_less_than_what_went_in_is_refused():
    """A potters' forum (2024): 10 lb of clay and 5 lb of water weighed 1.58 to 1.59."""
    with pytest.raises(StudioError, match="It holds air, or more water went in"):
        answered(liter_weight="1585 g/l", mixed="10 lb dry 5 lb water")
    assert "can be true" in answered(liter_weight="1700 g/l", mixed="10 lb dry 5 lb water").says


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"liter_weight": "180 g/l"}, "Was it weighed in a 100 ml cup? Then write 1800 g/l."),
        ({"weighed": "18 g in 100 ml"}, "Was it weighed in a 100 ml cup?"),
        ({"liter_weight": "36 oz/US pint"}, "and the imperial one? Then it is 1796 g/l."),
        ({"liter_weight": "24 oz/pint"}, 'say which: "24 oz/US pint" or "24 oz/imperial pint"'),
        ({"liter_weight": "175"}, "a number alone is a specific gravity between 1 and 2.6"),
        ({"liter_weight": "1,75 kg/l"}, "a comma can be read in two ways"),
        ({}, 'the slip is missing; tell its weight such as --liter-weight "1750 g/l"'),
        ({"liter_weight": "1750 g/l", "volume": "3 l"}, "--target is missing"),
        ({"volume": "3 l", "target": "1750 g/l"}, "the slip is missing; tell its weight"),
        ({"make": "3 l"}, "--target is missing"),
        ({"clay": "3 kg", "target": "1750 g/l", "returns": "1 l", "returns_weight": "1700 g/l"},
         "it goes with --make"),
        ({"make": "3 l", "target": "1750 g/l", "returns": "1 l"}, "--returns-weight is missing"),
        ({"make": "3 l", "target": "1750 g/l", "clay_moisture": "40 %"}, "Dry the clay first."),
        ({"mixed": "10 kg dry 5 kg water", "make": "3 l", "target": "1750 g/l"},
         "write what the slip of that recipe weighed"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_named_with_its_likely_slip_of_hand(typed, said):
    with pytest.raises(StudioError, match=re.escape(said)):
        answered(**typed)


def test_a_pint_too_light_for_a_slip_is_asked_about():
    """29.2 oz fill a US pint of slip of 1750 g/l; by the imperial pint that is 1457 g/l."""
    assert (
        "Was it the US pint? Then it is 1749 g/l."
        in answered(liter_weight="29.2 oz/imperial pint").notes[0]
    )
    assert answered(liter_weight="29.2 oz/US pint").notes == ()


def test_a_studio_tells_its_solids_and_what_its_slip_is_to_weigh(tmp_path):
    path = tmp_path / "studio.toml"
    path.write_text(
        'version = 1\n[slip]\nliter_weight = "1760 g/l"\nsolids_density = 2.5\n[kiln]\nloads_a_week = 2\n'
    )
    given, answer = ask("slip", {"make": "20 l"}, today=THE_DAY, studio=path)

    assert {name: given.told[name].by for name in ("target", "solids")} == dict.fromkeys(
        ("target", "solids"), "studio"
    )
    assert answer.figures[0].value == approx(20 * 0.760 * 2.5 / 1.5)
    # what the slip weighs today is never taken from the file
    with pytest.raises(StudioError, match="the slip is missing"):
        ask("slip", {"volume": "20 l"}, today=THE_DAY, studio=path)


@pytest.mark.parametrize(
    ("typed", "weight", "said"),
    [
        # an ounce is 28.3495 g, a US pint 0.473176 l, an imperial one 0.568261 l
        ("30 oz/pint", 1797.4, "The pint was read as the US one."),
        ("36 oz/pint", 1796.0, "The pint was read as the imperial one."),
        ("1.75", 1750.0, ""),
    ],
)
def test_the_pint_that_makes_a_casting_slip_is_meant_and_named(typed, weight, said):
    answer = answered(liter_weight=typed)

    assert answer.figures[0].value == approx(weight, abs=0.1)
    assert said in " ".join(answer.notes)


def test_a_small_dose_is_shown_to_a_tenth_of_a_gram_and_an_addition_is_weighed_too():
    """By hand: 0.3 % of 5.447 kg is 16.34 g, and 5 % of it 272.35 g."""
    found = figures(clay="5.447 kg", target="1750 g/l", deflocculant="0.3 %", addition="5 %")

    assert figure_text(found["deflocculant_kg"], "metric") == "16.3 g"
    assert found["addition_kg"].value == approx(0.27235)
