"""A series of doses: a general-purpose library's parabola, through the question that is asked."""

import re

import numpy as np
import pytest
from pytest import approx

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.table import ask
from pourwright.errors import StudioError

SERIES = ["0.20 % in 75 s", "0.25 % in 52 s", "0.30 % in 44 s", "0.35 % in 47 s", "0.40 % in 61 s"]


def answered(**typed):
    return ask("dose", typed, today=THE_DAY)[1]


def test_the_dose_is_where_numpys_own_parabola_turns():
    """numpy.polyfit through the logarithms of the times: the same turn and the same least time."""
    c, b, a = np.polyfit([0.20, 0.25, 0.30, 0.35, 0.40], np.log([75, 52, 44, 47, 61]), 2)
    answer = answered(drained=SERIES)
    found = {one.name: one for one in answer.figures}

    assert 100 * found["dose"].value == approx(-b / (2 * c), rel=1e-6)
    assert 60 * found["least_min"].value == approx(np.exp(a - b**2 / (4 * c)), rel=1e-6)
    assert found["dose"].low < found["dose"].value < found["dose"].high


def test_the_dose_is_weighed_out_for_the_dry_clay():
    """A share times a mass; 0.24 to 0.42 % is what a UK supplier's powdered body takes."""
    found = {one.name: one for one in answered(drained=SERIES, dry_clay="25 kg").figures}

    assert found["deflocculant_kg"].value == approx(25 * found["dose"].value)
    assert 0.0024 < found["dose"].value < 0.0042


@pytest.mark.parametrize(
    ("times", "words"),
    [((75, 61, 52, 47, 44), "still drains faster"), ((44, 47, 52, 61, 75), "the best may lie below")],
)  # fmt: skip
def test_a_series_without_a_turn_gives_no_dose(times, words):
    doses = ("0.20", "0.25", "0.30", "0.35", "0.40")
    answer = answered(
        drained=[f"{dose} % in {time} s" for dose, time in zip(doses, times, strict=True)]
    )

    assert words in answer.says
    assert answer.figures == ()


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({}, "--drained is missing"),
        ({"drained": SERIES[:2]}, "it takes at least 5"),
        ({"drained": ["0.20 in 75 s"]}, "write 0.2 % if per cent is meant"),
        ({"drained": ["75 s"]}, 'write it such as "0.30 % in 44 s"'),
        ({"drained": ["0.3 % in 44"]}, "a number alone does not say which unit"),
    ],
)
def test_what_cannot_be_a_series_is_refused(typed, said):
    with pytest.raises(StudioError, match=re.escape(said)):
        answered(**typed)


def test_the_range_reaches_to_the_doses_tried_on_either_side_of_the_fastest():
    """A steep fall and a slow rise, least at 0.33 %: a parabola alone puts it lower, and is sure."""
    doses = (0.20, 0.25, 0.30, 0.35, 0.40)
    times = [40 * np.exp(20 * max(0.33 - x, 0) ** 1.5 + 4 * max(x - 0.33, 0)) for x in doses]
    found = answered(
        drained=[f"{x} % in {time:.2f} s" for x, time in zip(doses, times, strict=True)]
    ).figures[0]

    assert found.low <= 0.0030
    assert found.low <= 0.0033 <= found.high
    assert found.high >= 0.0035
