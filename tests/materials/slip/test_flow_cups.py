"""Flow cups, the dose series and a reading's own history."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from scipy.optimize import curve_fit

from pourwright.errors import NotDoable, OutOfRange
from pourwright.materials.slip import flow_cups
from pourwright.materials.slip import history as slip_history
from pourwright.materials.slip.deflocculation import _Parabola, best_dose

CUPS = st.sampled_from(sorted(flow_cups.CUPS))


@pytest.mark.parametrize(("cup", "window"), [
    ("Ford 1", (55, 100)), ("Ford 2", (40, 100)), ("Ford 3", (20, 100)), ("Ford 4", (20, 100)),
    ("Ford 5", (20, 100)), ("Zahn 1", (35, 80)), ("Zahn 2", (20, 80)), ("Shell 4", (20, 80)),
    ("ISO 4 mm", (30, 100)),
])  # fmt: skip
def test_a_cup_is_converted_in_its_window_only(cup: str, window: tuple[float, float]) -> None:
    """ASTM D1200, 11.2, for Ford cups; the viscometer maker's table for dip cups."""
    for seconds in window:
        assert flow_cups.kinematic_viscosity_mm2_per_s(cup, float(seconds)) > 0
    for seconds in (window[0] - 0.5, window[1] + 0.5, float("nan")):
        with pytest.raises(OutOfRange, match=f"drain time of the cup {cup}"):
            flow_cups.kinematic_viscosity_mm2_per_s(cup, seconds)
        with pytest.raises(OutOfRange):
            flow_cups.kinematic_viscosity_mm2_per_s(cup, np.array([60.0, seconds]))


# The calibrator's table as printed: v = slope (t - zero), and the window in seconds.
PRINTED = {
    "Zahn 1": (1.1, 29, 35, 80), "Zahn 2": (3.5, 14, 20, 80), "Zahn 3": (11.7, 7.5, 20, 80),
    "Zahn 4": (14.8, 5, 20, 80), "Zahn 5": (23, 0, 20, 80), "Shell 3": (1.51, 2, 20, 80),
    "Shell 3.5": (2.17, 1.5, 20, 80), "Shell 4": (3.45, 1, 20, 80), "Shell 5": (6.5, 1, 20, 80),
    "Shell 6": (16.2, 0.5, 20, 80), "Ford 1": (0.49, 35, 55, 100), "Ford 2": (1.44, 18, 40, 100),
}  # fmt: skip


@pytest.mark.parametrize("cup", PRINTED)
def test_a_cup_read_in_the_table_is_the_tables(cup: str) -> None:
    slope, zero, shortest, longest = PRINTED[cup]
    ours = flow_cups.cup_named(cup)

    assert (ours.shortest, ours.longest, ours.grade) == (shortest, longest, "read")
    for seconds in (float(shortest), float(longest)):
        told = flow_cups.kinematic_viscosity_mm2_per_s(cup, seconds)
        assert told == approx(slope * (seconds - zero), rel=1e-9)


def test_a_cup_from_memory_says_so() -> None:
    from_memory = {name for name, cup in flow_cups.CUPS.items() if cup.grade == "memory"}

    assert from_memory == {"Ford 3", "Ford 4", "Ford 5", "ISO 4 mm", "ISO 6 mm"}
    assert set(flow_cups.CUPS) == from_memory | set(PRINTED)


@given(CUPS, st.floats(55.0, 79.0), st.floats(0.1, 1.0))
def test_slower_is_thicker(cup: str, seconds: float, more: float) -> None:
    law = flow_cups.kinematic_viscosity_mm2_per_s

    assert law(cup, seconds + more) > law(cup, seconds)


def test_two_cups_agree_on_one_oil() -> None:
    """An oil of 230 mm2/s drains from the fourth Ford in 64 s and the fourth Shell in 68 s."""
    ford = flow_cups.kinematic_viscosity_mm2_per_s("Ford 4", 64.0)
    shell = flow_cups.kinematic_viscosity_mm2_per_s("Shell 4", 68.0)

    assert ford == approx(shell, rel=0.02)


def test_a_reading_is_kept_whatever_the_cup() -> None:
    assert flow_cups.record_flow("tin with a hole", 41.0).mm2_per_s is None
    outside = flow_cups.record_flow("Zahn 2", 19.0)
    assert (outside.mm2_per_s, outside.seconds) == (None, 19.0)
    assert outside.note == "Outside the cup's window of 20 to 80 s."
    inside = flow_cups.record_flow("Zahn 2", 33.0)
    assert inside.mm2_per_s == approx(66.5)
    assert "thickens at rest" in inside.note
    assert flow_cups.record_flow("Zahn 2", 20.0).mm2_per_s == approx(21.0)
    assert flow_cups.record_flow("Zahn 2", 80.0).mm2_per_s == approx(231.0)
    for bad in (0.0, -1.0, float("nan")):
        with pytest.raises(OutOfRange):
            flow_cups.record_flow("Zahn 2", bad)
    with pytest.raises(NotDoable, match='no flow cup "Ford 9" is known'):
        flow_cups.cup_named("Ford 9")


def test_iso_cups_follow_the_figures_of_the_reference() -> None:
    """34.4, 78.9 and 135 mm2/s at 30, 60 and 100 s: from memory of ISO 2431, a guard only."""
    law = flow_cups.kinematic_viscosity_mm2_per_s

    assert [float(law("ISO 4 mm", t)) for t in (30.0, 60.0, 100.0)] == [
        approx(34.4, abs=0.05),
        approx(78.9, abs=0.05),
        approx(135.0, abs=0.05),
    ]


# --- the dose series

DOSES = np.array([0.002, 0.0025, 0.003, 0.0035, 0.004])


@given(st.floats(0.0024, 0.0036), st.floats(0.5, 3.0))
def test_an_exact_parabola_gives_its_turn(turn: float, steep: float) -> None:
    seconds = 40 * np.exp(steep * ((DOSES - turn) / 0.001) ** 2)
    found = best_dose(list(DOSES), list(seconds))

    assert found.verdict == "found"
    assert found.dose == approx(turn, rel=1e-6)
    assert found.least_seconds == approx(40.0, rel=1e-6)
    assert DOSES[0] <= found.low <= found.dose <= found.high <= DOSES[-1]


def test_the_range_agrees_with_the_delta_method_when_scatter_is_small() -> None:
    """scipy's curve_fit gives the parabola's covariance; the delta method its turn's error."""
    rng = np.random.default_rng(4)
    doses = np.repeat(DOSES, 40)
    seconds = 44 * np.exp(0.6 * ((doses - 0.0031) / 0.001) ** 2 + rng.normal(0, 0.05, doses.size))
    found = best_dose(list(doses), list(seconds))
    scaled = (doses - 0.003) / 0.001
    terms, spread = curve_fit(lambda x, a, b, c: a + b * x + c * x**2, scaled, np.log(seconds))
    slope = np.array([0.0, -1 / (2 * terms[2]), terms[1] / (2 * terms[2] ** 2)])
    error = 0.001 * float(np.sqrt(slope @ spread @ slope))

    low, high = _Parabola.through(doses, np.log(seconds)).turning_range()

    assert found.dose == approx(0.003 - 0.001 * terms[1] / (2 * terms[2]), rel=1e-6)
    assert (high - low) / 2 == approx(1.653 * error, rel=0.03)  # t, 197 degrees
    assert (found.low, found.high) == approx((DOSES[1], DOSES[3]))  # no narrower than was tried


def test_the_range_holds_the_true_dose_nine_times_in_ten() -> None:
    """Fieller's interval is exact: 90 % of 1000 series, give or take three errors."""
    rng = np.random.default_rng(11)
    kept = 0
    for _ in range(1000):
        noise = rng.normal(0, 0.06, DOSES.size)
        found = best_dose(list(DOSES), list(44 * np.exp(((DOSES - 0.003) / 0.0007) ** 2 + noise)))
        kept += found.verdict == "found" and found.low <= 0.003 <= found.high

    assert kept >= 900 - 3 * np.sqrt(1000 * 0.9 * 0.1)


def test_a_series_that_has_not_turned_gives_no_dose() -> None:
    falling = best_dose([0.001, 0.002, 0.003, 0.004, 0.005], [90, 80, 70, 60, 50])
    rising = best_dose([0.001, 0.002, 0.003, 0.004, 0.005], [50, 60, 70, 80, 90])

    assert (falling.verdict, falling.dose) == ("still falling", None)
    assert "higher doses" in falling.advice
    assert (rising.verdict, rising.high) == ("already rising", None)
    assert (rising.tried_low, rising.tried_high) == (0.001, 0.005)


def test_scatter_that_hides_the_turn_is_said() -> None:
    flat = best_dose([0.001, 0.002, 0.003, 0.004, 0.005], [60, 52, 51, 53, 52])
    hill = best_dose([0.001, 0.002, 0.003, 0.004, 0.005], [50, 49, 70, 72, 55])

    assert (flat.verdict, hill.verdict) == ("not clear", "not clear")
    assert flat.low is None


def test_only_the_neighbors_of_the_fastest_are_fitted() -> None:
    """A steep beginning must not pull the turn: the five around the fastest say it."""
    near = best_dose([0.002, 0.0025, 0.003, 0.0035, 0.004], [52, 46, 44, 46, 52])
    far = best_dose(
        [0.0005, 0.001, 0.002, 0.0025, 0.003, 0.0035, 0.004], [900, 300, 52, 46, 44, 46, 52]
    )

    assert far.dose == approx(near.dose)
    assert far.dose == approx(0.003, rel=1e-6)


@pytest.mark.parametrize(("doses", "seconds", "says"), [
    ([0.001, 0.002, 0.003, 0.004], [9, 8, 7, 8], "4 different doses"),
    ([0.001] * 5, [9, 8, 7, 8, 9], "1 different doses"),
    ([0.001, 0.002, 0.003, 0.004, 0.005], [9, 8, 7, 8], "5 doses and 4 drain times"),
])  # fmt: skip
def test_a_series_too_short_is_refused(doses: list[float], seconds: list[float], says: str) -> None:
    with pytest.raises(NotDoable, match=says):
        best_dose(doses, seconds)


def test_no_impossible_dose_or_time_passes() -> None:
    good = [0.001, 0.002, 0.003, 0.004, 0.005]
    with pytest.raises(OutOfRange, match=r"0.3 % is 0\.003"):
        best_dose([0.1, 0.2, 0.3, 0.4, 0.5], [9, 8, 7, 8, 9])
    for bad in (0.0, -5.0, float("nan"), float("inf")):
        with pytest.raises(OutOfRange, match="drain time"):
            best_dose(good, [9, 8, bad, 8, 9])
    with pytest.raises(OutOfRange):
        best_dose([0.001, 0.002, float("nan"), 0.004, 0.005], [9, 8, 7, 8, 9])


# --- a reading's own history

STEADY = [44, 46, 45, 47, 44, 45, 46, 45]


@pytest.mark.parametrize(("reading", "verdict"), [(45.0, "usual"), (50.0, "high"), (40.0, "low")])
def test_a_reading_is_judged_by_the_studios_own(reading: float, verdict: str) -> None:
    judged = slip_history.judge_reading(reading, STEADY)

    assert judged.verdict == verdict
    assert judged.mean == approx(45.25)
    assert judged.earlier == 8
    assert judged.high - judged.mean == approx(judged.mean - judged.low)


def test_a_drift_within_the_limits_is_found() -> None:
    """Eight in a row above the mean; one of them below breaks the run."""
    earlier = [40, 44] * 8 + [43] * 7

    assert slip_history.judge_reading(43.0, earlier).verdict == "drifting"
    assert slip_history.judge_reading(41.0, earlier).verdict == "usual"
    assert slip_history.judge_reading(43.0, [*earlier[:-7], 41, *[43] * 6]).verdict == "usual"
    assert slip_history.judge_reading(41.0, [44, 40] * 8 + [41] * 7).verdict == "drifting"


def test_too_few_readings_judge_nothing() -> None:
    judged = slip_history.judge_reading(60.0, STEADY[:7])

    assert (judged.verdict, judged.mean, judged.earlier) == ("too few", None, 7)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_no_impossible_reading_passes(bad: float) -> None:
    with pytest.raises(OutOfRange):
        slip_history.judge_reading(bad, STEADY)
    with pytest.raises(OutOfRange):
        slip_history.judge_reading(45.0, [*STEADY, bad])
    with pytest.raises(OutOfRange, match="right after stirring"):
        slip_history.thickening(bad, 50.0)
    with pytest.raises(OutOfRange, match="after the rest"):
        slip_history.thickening(50.0, bad)


def test_thickening_is_rested_over_fresh() -> None:
    assert list(slip_history.thickening(np.array([40.0, 50.0]), 60.0)) == [1.5, 1.2]


def test_a_reading_keeps_its_cup_and_its_seconds() -> None:
    """What the studio wrote down comes back whether or not there is a viscosity."""
    for cup, seconds in (("tin with a hole", 41.0), ("Zahn 2", 19.0), ("Zahn 2", 33.0)):
        kept = flow_cups.record_flow(cup, seconds)
        assert (kept.cup, kept.seconds) == (cup, seconds)


@pytest.mark.parametrize("cup", PRINTED)
def test_a_printed_cup_is_entered_as_the_table_prints_it(cup: str) -> None:
    """The table tells slope and zero; a cup stands still at its zero, without a kick."""
    made = flow_cups._straight(*(float(number) for number in PRINTED[cup]), "a test")

    assert made.slope * PRINTED[cup][1] - made.offset == approx(0.0, abs=1e-12)
    assert (made.slope, made.shortest, made.longest) == (PRINTED[cup][0], *PRINTED[cup][2:])
    assert (made.kick, made.grade, made.standard) == (0.0, "read", "a test")


def test_a_reading_on_the_limit_is_usual() -> None:
    """
    38 and 42 in turns: mean 40, moving range 4. The limits of a chart of single values are
    2.66 moving ranges away (ISO 7870-2, table of factors: E2 for pairs is 2.660).
    """
    steady = [38, 42] * 8
    judged = slip_history.judge_reading(40.0, steady)

    assert (judged.low, judged.high) == (approx(40 - 10.64, abs=0.01), approx(40 + 10.64, abs=0.01))
    for reading, verdict in ((judged.low, "usual"), (judged.high, "usual"),
                             (judged.low - 0.01, "low"), (judged.high + 0.01, "high")):  # fmt: skip
        assert slip_history.judge_reading(reading, steady).verdict == verdict


def test_a_reading_on_the_mean_is_on_neither_side() -> None:
    """A run of eight on one side is a drift; readings that lie on the mean are not on a side."""
    above = [40, 44] * 4 + [42] * 8

    assert slip_history.judge_reading(42.0, above).verdict == "usual"


def test_the_series_is_told_with_its_ends_and_its_advice() -> None:
    """An odd order of doses, a turn in the middle: tried from the least to the most."""
    doses = [0.003, 0.002, 0.004, 0.0025, 0.0035]
    seconds = [40 * np.exp(((dose - 0.003) / 0.001) ** 2) for dose in doses]
    found = best_dose(doses, seconds)

    assert (found.verdict, found.tried_low, found.tried_high) == ("found", 0.002, 0.004)
    assert found.advice
    quick = best_dose(doses, [second / 50 for second in seconds])  # under a second is a time too
    assert quick.dose == approx(found.dose)


def test_a_long_series_is_fitted_around_its_quickest_dose() -> None:
    """Far doses on a slope of their own do not move a turn that lies near the start."""
    doses = np.arange(1, 13) * 0.0005
    near = 40 * np.exp(0.5 * ((doses - 0.0015) / 0.001) ** 2)
    seconds = np.where(doses <= 0.0031, near, near[5] + 40 * (doses - 0.003) / 0.001)

    assert best_dose(list(doses), list(seconds)).dose == approx(0.0015, rel=0.02)
