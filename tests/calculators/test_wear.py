"""Wear: a published survival table and geochemical figures, through the question that is asked."""

import re

import pytest
from pytest import approx

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.schema import json_text
from pourwright.calculators.table import ask, find_question
from pourwright.errors import StudioError
from tests.sources.plaster_transport import HELD, RELAPSED, REMAINING


def answered(**typed):
    return ask("wear", typed, today=THE_DAY)[1]


def figures(**typed):
    return {one.name: one for one in answered(**typed).figures}


def test_the_share_that_holds_is_that_of_the_usual_example_of_the_method():
    """Freireich and others, Blood 21 (1963) 699, by SciPy's ecdf of censored data: weeks for casts."""
    answer = answered(retired=[str(one) for one in RELAPSED], in_use=[str(one) for one in HELD])
    held = {row[0]: row[1] for row in answer.tables[0].rows}

    assert [held[weeks] for weeks, _ in REMAINING] == approx(
        [share for _, share in REMAINING], abs=0.0005
    )
    found = answer.figures[0]
    assert (found.low, found.value) == (
        6,
        23,
    )  # the first weeks that under 0.9 and under 0.5 outlasted


def test_before_any_mold_is_retired_there_are_three_cases_and_no_single_number():
    """Common practice, no source."""
    found = figures()["casts_of_a_mold"]

    assert found.value is None
    assert (found.low, found.high, found.text) == (15, 60, "15, 30 or 60")


def test_the_ceiling_of_dissolving_is_measured_solubility_over_the_density():
    """Lebedev and Kosorukov (2017): 2.5 to 3.1 g/l at 25 degC; a plaster maker's dry density,
    69 lb/ft3 at consistency 70; 1.1 kg of water on a square meter."""
    found = figures(water="1.1")["dissolved_um"]
    density = 69 * 16.0184634

    assert found.value is None
    assert found.low == 0
    assert 1.1 * 2.5 / density * 1000 * 0.97 < found.high < 1.1 * 3.1 / density * 1000


def test_the_ceiling_of_exchange_is_molecule_for_molecule():
    """Molar masses 105.99 and 172.17: 3 kg of clay with 0.2 % of soda; density as above, to 3 %."""
    found = figures(dry_clay="3", soda="0.2 %")["exchanged_um"]

    assert found.high == approx(6 * 172.17 / 105.99 / (69 * 16.0184634) * 1000, rel=0.03)


def test_a_wall_gives_the_water_and_the_clay_that_wear_the_mold():
    """Masses alone: 4 mm of slip of 1780 g/l cast to 20 % give 0.973 kg of water to a square meter."""
    by_wall = figures(wall="4 mm", liter_weight="1780 g/l")["dissolved_um"]

    assert by_wall.high == approx(figures(water="0.973")["dissolved_um"].high, rel=0.001)


@pytest.mark.parametrize(
    ("judged", "words"),
    [
        (["10 same"], "judge cast 15 next"),
        (["10 same", "15 softer"], "At cast 15 it was softer; judge cast 20 next."),
        (["12 same"], "judge cast 15 next"),
        (["10 same", "15 retire"], "cast no edition piece in it"),
    ],
)
def test_every_fifth_cast_is_held_beside_the_reference_piece(judged, words):
    assert words in answered(judged=judged).says


def test_ceilings_never_become_casts_left():
    question = find_question("wear")
    for example in question.examples:
        given, answer = ask("wear", example, today=THE_DAY)
        assert not any("left" in one.name for one in answer.figures)
        assert "never how many casts this mold has left" in json_text(question, given, answer)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"judged": ["15 bad"]}, 'say same, softer or retire after the cast, such as "15 softer"'),
        ({"retired": ["0"]}, "it must be between 1 and 5000"),
        ({"wall": "4 mm"}, "--liter-weight is missing"),
        ({"soda": "0.2 %"}, "--dry-clay is missing"),
        ({"dry_clay": "3", "soda": "0.2"}, "it must be between 0 % and 2 %"),
        ({"wall": "4 mm", "water": "1"}, "--wall is told beside --water"),
    ],
)
def test_what_cannot_be_is_refused(typed, said):
    with pytest.raises(StudioError, match=re.escape(said)):
        answered(**typed)
