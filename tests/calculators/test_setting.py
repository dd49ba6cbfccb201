"""Setting: printed set times, a court's 60 degC, a log fitted, and no word on touching."""

import re

import pytest
from pytest import approx

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.table import ask, find_question
from pourwright.errors import OutOfRange, StudioError

LOG = find_question("setting").examples[2]


def answered(**typed):
    return ask("setting", typed, today=THE_DAY)[1]


def figures(**typed):
    return {one.name: one for one in answered(**typed).figures}


def test_without_a_set_time_the_range_is_the_printed_one():
    """9 initial to 13 final (a European data sheet, 2017); 14 to 24 (a US supplier's page).
    ASTM C59 asks of casting plaster 10 to 50 min."""
    sets = figures()["sets_min"]

    assert (sets.low, sets.high) == (9.0, 24.0)
    assert figures()["creams_min"].low < figures()["creams_min"].high < sets.high


def test_every_time_scales_with_the_set_time_that_was_measured():
    quick, slow = figures(set="10 min"), figures(set="30 min")

    for name in ("creams_min", "sets_min", "ends_min"):
        assert slow[name].value == approx(3 * quick[name].value)
        assert quick[name].low is None


def test_the_ceiling_holds_the_temperature_of_the_court_record():
    """A large mass, mixed in a school room: "up to 60 degC" (press of October 2009)."""
    ceiling = figures(mix_temperature="20 C")["ceiling_c"]

    assert ceiling.low < ceiling.value < ceiling.high
    assert ceiling.high == approx(60, abs=2)


def test_no_curve_and_no_peak_without_a_log():
    answer = answered(set="12 min", thickness="50 mm")

    assert answer.tables == ()
    assert "hottest_c" not in figures(set="12 min", thickness="50 mm")
    assert "--log" in answer.notes[0]


def test_a_log_gives_the_curve_of_another_part():
    thin, thick = figures(**LOG | {"thickness": "20 mm"}), figures(**LOG | {"thickness": "100 mm"})

    assert thin["hottest_c"].value < thick["hottest_c"].value <= thick["ceiling_c"].high
    assert thin["hottest_min"].value < thick["hottest_min"].value
    assert thin["hottest_face_c"].value < thin["hottest_c"].value
    assert thin["cooled_min"].value < thick["cooled_min"].value
    assert answered(**LOG).tables[0].rows[0][1] == approx(20.0)


def test_opening_waits_an_hour_or_for_the_hottest():
    assert figures()["open_min"].value == 60
    assert figures(**LOG)["open_min"].value == 60
    slow = {"log": [re.sub(r"(\d+) min", lambda m: f"{3 * int(m[1])} min", LOG["log"][0])]}
    late = figures(**LOG | slow | {"thickness": "60 mm"})
    assert late["open_min"].value == approx(late["hottest_min"].value)
    assert late["open_min"].value > 60


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"log": ["5 min at 20 C; 10 min at 22 C"]}, "number of readings is 2 readings"),
        ({"log": [LOG["log"][0].split("; 40")[0]]}, "Keep reading until it cools"),
        ({"log": ["5 min at 20.2 C; 10 min at 22 C; 15 min at 26.1 C; 20 min at 93 C"]}, "between 0 °C and 80 °C"),
        ({"logged_thickness": "600 mm"}, "--logged-thickness"),
    ],
)  # fmt: skip
def test_a_log_that_says_nothing_is_refused(change, said):
    with pytest.raises(StudioError, match=re.escape(said)):
        answered(**LOG | change)


def test_a_log_counted_from_pouring_is_named():
    shifted = [f"{10 * place} min at {t} C" for place, t in enumerate((20, 60, 20, 60, 20, 60, 20))]
    with pytest.raises(OutOfRange, match="Was the thermometer in the middle"):
        answered(**LOG | {"log": shifted})
