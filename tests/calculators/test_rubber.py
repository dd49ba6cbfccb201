"""Rubber: no published worked example was found, so plain arithmetic and conservation."""

import re

import pytest
from pytest import approx

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.table import ask
from pourwright.errors import StudioError

BASE = {"volume": "2 l", "density": "1.1 kg/l", "hardener": "10", "spare": "0 %"}
POT = {"pot_life": "30 min", "mixing": "6 min", "pouring": "3 min"}


def answered(**typed):
    return ask("rubber", BASE | typed, today=THE_DAY)[1]


def figures(**typed):
    return {one.name: one.value for one in answered(**typed).figures}


def test_ten_to_one():
    """2 l of 1.1 kg/l is 2.2 kg; ten parts and one of eleven."""
    found = figures()

    assert (found["base_kg"], found["hardener_kg"]) == (approx(2.0), approx(0.2))


@pytest.mark.parametrize("reclaimed", ["0 %", "15 %", "30 %"])
def test_filler_and_rubber_fill_the_gap_together(reclaimed):
    found = figures(reclaimed=reclaimed, hardener="100")

    assert found["total_kg"] == approx(2.2)
    assert found["base_kg"] == approx(found["hardener_kg"])


def test_water_tells_the_gap_as_well():
    """Water at 20 degC weighs 0.998207 kg/l (IAPWS-95)."""
    told = {name: text for name, text in BASE.items() if name != "volume"}
    _, answer = ask("rubber", told | {"water_fill": "2 kg"}, today=THE_DAY)

    assert {one.name: one.value for one in answer.figures}["volume_l"] == approx(
        2 / 0.998207, rel=1e-5
    )


def test_a_batch_is_poured_within_the_pot_life():
    found = figures(volume="9 l", **POT)

    assert found["at_a_time_kg"] == approx(6.0)
    assert found["batches"] == 2
    assert found["each_kg"] * found["batches"] == approx(found["total_kg"])
    assert 6 + 3 * found["each_kg"] <= 30


def test_shrinkage_is_never_assumed_and_shortens_the_master():
    assert "never assumed" in " ".join(answered().notes)
    assert figures(shrinkage="0.5 %", length="200 mm")["master_mm"] == approx(199.0)


def test_a_patch_comes_before_the_mass():
    assert "cure a spoonful on a hidden spot" in answered().notes[0]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"reclaimed": "40 %"}, "More than 30 % leaves too little new rubber to bind it."),
        ({"density": "1100 kg/l"}, "1100 kg/m3 is 1.1 kg/l"),
        ({"hardener": "0.1"}, "1:1 is 100; 10:1 is 10."),
        ({"hardener": "10:1"}, "it must be a number alone, such as 10. 1:1 is 100; 10:1 is 10."),
        ({"pot_life": "30 min"}, "--mixing is missing; --pot-life needs it too."),
        (POT | {"mixing": "25 min"}, "less than four fifths of the pot life"),
        ({"shrinkage": "0.5 %"}, "--length is missing"),
    ],
)
def test_what_is_wrong_is_said(typed, said):
    with pytest.raises(StudioError, match=re.escape(said)):
        answered(**typed)
