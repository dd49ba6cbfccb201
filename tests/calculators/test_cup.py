"""Flow cups: a viscometer maker's calibration oils, through the question that is asked."""

import pytest
from pytest import approx

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.table import ask
from pourwright.errors import StudioError


def answered(**typed):
    return ask("cup", typed, today=THE_DAY)[1]


def figures(**typed):
    return {one.name: one for one in answered(**typed).figures}


@pytest.mark.parametrize(
    ("cup", "seconds", "mm2_per_s", "share"),
    [
        ("Zahn 1", 60, 34, 0.04), ("Zahn 2", 33, 66, 0.02), ("Zahn 3", 47, 460, 0.02),
        ("Zahn 4", 62, 850, 0.02), ("Zahn 5", 70, 1600, 0.02), ("Ford 1", 70, 17, 0.02),
        ("Ford 2", 42, 34, 0.02), ("Ford 3", 58, 120, 0.02), ("Ford 4", 36, 120, 0.02),
        ("Shell 4", 68, 230, 0.02),
    ],
)  # fmt: skip
def test_a_cup_gives_the_viscosity_of_the_oil_that_calibrates_it(cup, seconds, mm2_per_s, share):
    """A viscometer maker's table of cups: each oil with its time in each cup, 25 degC."""
    found = figures(cup=cup.lower(), drained=f"{seconds} s")["viscosity_mm2_per_s"]

    assert found.value == approx(mm2_per_s, rel=share)
    assert found.low < found.value < found.high
    assert found.grade.startswith("weak")


@pytest.mark.parametrize(
    ("cup", "inside", "outside"),
    [("Ford 1", (55, 100), (54, 101)), ("Ford 2", (40, 100), (39, 101)), ("Ford 4", (20, 100), (19, 101))],
)  # fmt: skip
def test_seconds_outside_the_cups_window_are_kept_and_not_converted(cup, inside, outside):
    """ASTM D1200-94 (2005), 11.2: 55 to 100 s, 40 to 100 s, 20 to 100 s."""
    for seconds in inside:
        assert "viscosity_mm2_per_s" in figures(cup=cup, drained=f"{seconds} s")
    for seconds in outside:
        answer = answered(cup=cup, drained=f"{seconds} s")
        assert [one.name for one in answer.figures] == ["drained_s"]
        assert answer.figures[0].value == seconds
        assert any("Outside the cup's window" in note for note in answer.notes)
        assert answer.tables[0].name == "cups"


def test_a_cup_of_ones_own_is_kept_by_its_name_and_a_near_name_is_asked_about():
    assert figures(cup="yogurt cup", drained="42 s")["drained_s"].value == 42
    assert any(
        "Did you mean Ford 4?" in note for note in answered(cup="Fort 4", drained="42 s").notes
    )


BATCHES = ("49.6", "47.6", "49.9", "51.3", "47.8", "51.2", "52.6", "52.4", "53.6", "52.1")


def test_limits_from_earlier_readings_are_those_of_the_handbook():
    """NIST/SEMATECH e-Handbook, 6.3.2.2, flow rates of ten batches: 50.81, 45.8159 to 55.8041."""
    found = figures(cup="Ford 4", drained="50 s", earlier=[f"{one} s" for one in BATCHES])[
        "own_mean_s"
    ]

    assert (found.value, found.low, found.high) == approx((50.81, 45.8159, 55.8041), abs=1e-4)


@pytest.mark.parametrize(
    ("seconds", "words"),
    [("50", "It is usual"), ("57", "It is slower"), ("45", "It is quicker")],
)
def test_a_reading_is_judged_by_the_studios_own(seconds, words):
    answer = answered(cup="Ford 4", drained=f"{seconds} s", earlier=[f"{one} s" for one in BATCHES])

    assert words in answer.says


def test_thickening_is_a_ratio_and_is_judged_only_by_earlier_ones():
    """58 over 42, by division."""
    rested = {"cup": "Ford 4", "drained": "42 s", "rested": "58 s"}

    assert figures(**rested)["thickening"].value == approx(58 / 42)
    assert any("no right figure" in note for note in answered(**rested).notes)
    own = ["1.3", "1.4", "1.35", "1.4", "1.3", "1.35", "1.4", "1.38"]
    assert any(
        "The thickening is usual" in note
        for note in answered(**rested, earlier_thickening=own).notes
    )
    assert any("time both again" in note for note in answered(**{**rested, "rested": "30 s"}).notes)


def test_a_history_of_thickening_asks_for_the_time_after_the_rest():
    with pytest.raises(StudioError, match="--rested is missing"):
        answered(cup="Ford 4", drained="42 s", earlier_thickening="1.3")
