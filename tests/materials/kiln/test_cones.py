"""The cone table, heat work and what witness cones say."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from pourwright.errors import NotDoable, OutOfRange
from pourwright.materials.kiln import (
    cones,
    heat_work,
    witness,
)
from pourwright.materials.kiln import (
    holds as heat_holds,
)
from pourwright.materials.kiln.cones import cone_temperature
from pourwright.materials.kiln.schedule import Segment, course
from tests.sources.firing_cones import DEGF_60, DEGF_150, NAMES_60, NAMES_150, degc

FITTED = [name for name in cones.cone_names("large") if name not in {"11", "12"}]
CONES = st.sampled_from(FITTED)
KINDS = st.sampled_from(["self-supporting", "large"])


@pytest.mark.parametrize(("rate", "names", "degf"), [(60.0, NAMES_60, DEGF_60),
                                                     (150.0, NAMES_150, DEGF_150)])  # fmt: skip
def test_the_whole_table_agrees_with_the_charts_in_fahrenheit(
    rate: float, names: list[str], degf: tuple[int, ...]
) -> None:
    """Two charts that print Fahrenheit; whole degrees of both make 0.6 degC at the most."""
    ours = [float(cone_temperature(name, rate).temperature_degc) for name in names]

    assert ours == [approx(degc(heat), abs=0.6) for heat in degf]


@pytest.mark.parametrize("kind", ["self-supporting", "large", "small"])
def test_a_chart_climbs_with_the_cone_and_with_the_rate(kind: cones.Kind) -> None:
    for rate in (15.0, 60.0, 150.0, 300.0):
        column = [
            figure.temperature_degc
            for name in cones.cone_names(kind)
            for figure in cones.printed_temperatures(name, kind)
            if figure.rate_degc_per_h == rate
        ]
        assert column == sorted(column)
    for name in cones.cone_names(kind):
        row = [figure.temperature_degc for figure in cones.printed_temperatures(name, kind)]
        assert row == sorted(row)
        assert len(set(row)) == len(row)


def test_kinds_of_cones_differ_but_not_always_one_way() -> None:
    """The charts: self-supporting less large runs from -2 (05 at 150) to +7 (04 at 150)."""
    shared = [name for name in cones.cone_names("large") if name != "05.5"]
    gaps = [
        float(cone_temperature(name, rate).temperature_degc)
        - float(cone_temperature(name, rate, "large").temperature_degc)
        for name in shared
        for rate in (60.0, 150.0)
    ]

    assert (min(gaps), max(gaps)) == (-2, 7)


def test_one_number_stands_in_two_charts_under_two_rates() -> None:
    """The edition trap: 1222 is cone 6 at 60 degC/h now, and at 150 in the older chart."""
    now = cone_temperature("6", 60.0)
    then = cone_temperature("6", 150.0, "large", "older")

    assert now.temperature_degc == then.temperature_degc == 1222
    assert (now.chart, then.chart) == ("current", "older")
    assert cone_temperature("06", 150.0, "large", "older").temperature_degc == 999


def test_memory_is_said_to_be_memory() -> None:
    assert cone_temperature("6").grade == "read"
    assert cone_temperature("6", 15.0).grade == "read"
    assert cone_temperature("04", 15.0).grade == "memory"
    assert cone_temperature("04", 30.0).grade == "memory"
    assert cone_temperature("04", 100.0).grade == "read"
    assert cone_temperature("05.5", 60.0).grade == "read"
    assert cone_temperature("05.5", 100.0).grade == "memory"
    assert cone_temperature("05.5", np.array([60.0, 100.0])).grade == "memory"


@given(CONES, st.floats(60.0, 150.0), st.floats(0.5, 20.0))
def test_faster_is_hotter_between_the_printed_rates(cone: str, rate: float, more: float) -> None:
    slow, fast = (cone_temperature(cone, min(r, 150.0)) for r in (rate, rate + more))

    assert slow.temperature_degc <= fast.temperature_degc
    ends = cone_temperature(cone, np.array([60.0, 150.0])).temperature_degc
    assert ends[0] <= slow.temperature_degc <= ends[1]


def test_between_rates_it_goes_with_the_logarithm() -> None:
    middle = cone_temperature("6", float(np.sqrt(60 * 150)))

    assert middle.temperature_degc == approx((1222 + 1243) / 2)
    assert not middle.printed
    assert cone_temperature("6", np.array([60.0, 150.0])).printed
    assert cone_temperature("6", 100.0).temperature_degc == approx(1233.7, abs=0.1)


@pytest.mark.parametrize("rate", [14.9, 150.1, 0.0, -60.0, float("nan")])
def test_no_rate_beyond_the_chart_passes(rate: float) -> None:
    with pytest.raises(OutOfRange, match="heating rate for cone 6"):
        cone_temperature("6", rate)
    with pytest.raises(OutOfRange):
        cone_temperature("6", np.array([60.0, rate]))
    with pytest.raises(OutOfRange, match="it must be 300 degC/h"):
        cone_temperature("6", 299.0, "small")


@pytest.mark.parametrize(("typed", "name"), [("04", "04"), ("cone 04", "04"), ("^6", "6"), (6, "6"),
                                             (5.5, "5.5"), ("5½", "5.5"), ("05 1/2", "05.5"),
                                             (" Cone 10 ", "10"), (6.0, "6")])  # fmt: skip
def test_cones_are_read_as_people_write_them(typed: str | float, name: str) -> None:
    assert cones.cone_name(typed) == name


def test_an_unknown_cone_or_chart_is_named() -> None:
    with pytest.raises(NotDoable, match=r'cone "4\.2" .* from 022 to 14\. Is a leading nought'):
        cone_temperature("4.2")
    with pytest.raises(NotDoable, match='no chart "bar'):
        cones.cone_names("bar")  # type: ignore[arg-type]
    with pytest.raises(NotDoable):
        cone_temperature("13", 60.0, "large")
    assert cones.cone_names()[0] == "022"
    assert "6" in cones.cone_names("large", "older")


# --- heat work


@given(CONES, KINDS)
def test_a_fit_gives_back_both_printed_temperatures(cone: str, kind: cones.Kind) -> None:
    for rate in (60.0, 150.0):
        printed = cone_temperature(cone, rate, kind).temperature_degc
        assert heat_work.end_temperature_degc(cone, rate, kind) == approx(printed, abs=1e-6)


def test_the_law_stays_within_its_stated_error_at_15() -> None:
    """Energies from 60 and 150 degC/h, held against every temperature printed for 15."""
    for cone in FITTED:
        printed = {p.rate_degc_per_h: p for p in cones.printed_temperatures(cone)}
        miss = heat_work.end_temperature_degc(cone, 15.0) - printed[15.0].temperature_degc
        assert abs(miss) <= heat_work.bending(cone).error_degc


@pytest.mark.parametrize(("cone", "energy"), [("06", 809), ("04", 960), ("6", 798), ("10", 911)])
def test_energies_are_those_of_the_closed_form(cone: str, energy: float) -> None:
    """
    For large E/RT the integral is R T^2 / E exp(-E/RT) (1 - 2RT/E): a second way to the
    energy, by fixed point iteration, agrees to 0.3 %.
    """
    slow, fast = (float(cone_temperature(cone, r).temperature_degc) + 273.15 for r in (60.0, 150.0))
    gas, found = heat_work.GAS_CONSTANT, 800.0
    for _ in range(200):
        shape = [2 * np.log(t) + np.log(1 - 2 * gas * t / found) for t in (slow, fast)]
        found = (np.log(2.5) - shape[1] + shape[0]) / (1 / (gas * slow) - 1 / (gas * fast))

    assert heat_work.bending(cone).energy_kj_per_mol == approx(found, rel=3e-3)
    assert heat_work.bending(cone).energy_kj_per_mol == approx(energy, abs=0.6)


@given(CONES, st.floats(20.0, 390.0), st.floats(0.5, 9.0))
def test_heat_work_is_hotter_when_faster(cone: str, rate: float, more: float) -> None:
    law = heat_work.end_temperature_degc

    assert law(cone, rate + more) > law(cone, rate)


@given(CONES, st.floats(1.0, 39.0))
def test_a_hold_finishes_what_the_climb_left(cone: str, short: float) -> None:
    """Climb, stop short, hold as told: the log then has done the cone's whole work."""
    hold = heat_holds.hold_in_place_of_climb(cone, short)
    stop = heat_work.bending(cone).end_degc - short
    made = course([Segment(60.0, stop, hold.minutes)])

    assert heat_holds.work_done(made.minutes, made.temperatures_degc, cone) == approx(1.0, rel=1e-6)
    assert hold.low_min < hold.minutes < hold.high_min
    assert bool(hold.note) == (hold.minutes > 60)


def test_ten_degrees_short_wants_about_a_quarter_hour() -> None:
    """From the charts alone: 13 to 14 minutes, give or take two, for 06, 04, 6 and 10."""
    for cone in ("06", "04", "6", "10"):
        assert heat_holds.hold_in_place_of_climb(cone, 10.0).minutes == approx(13.5, abs=2)
    none = heat_holds.hold_in_place_of_climb("6", 0.0)
    assert (none.minutes, none.low_min) == (0, 0)
    fast = heat_holds.hold_in_place_of_climb("6", 10.0, 120.0)
    assert fast.minutes == approx(
        heat_holds.hold_in_place_of_climb("6", 10.0).minutes / 2, rel=0.15
    )


def test_a_log_does_its_work_piece_by_piece() -> None:
    """Half the log and the other half are the whole; standing adds at an even pace."""
    made = course([Segment(150.0, 1100.0, 30.0), Segment(60.0, 1200.0, 20.0)])
    fine = np.linspace(0, made.minutes[-1], 5001)
    whole = heat_holds.work_done(made.minutes, made.temperatures_degc, "6")
    pieces = heat_holds.work_done(fine, np.asarray(made.at(fine)), "6")

    assert pieces == approx(whole, rel=2e-5)
    stand = [
        heat_holds.work_done(np.array([0.0, m]), np.array([1200.0, 1200.0]), "6")
        for m in (10.0, 20.0)
    ]
    assert stand[1] == approx(2 * stand[0], rel=1e-9)
    down = heat_holds.work_done(np.array([0.0, 60.0]), np.array([1200.0, 1100.0]), "6")
    up = heat_holds.work_done(np.array([0.0, 60.0]), np.array([1100.0, 1200.0]), "6")
    assert down == approx(up, rel=1e-9)


def test_cones_without_a_fit_and_logs_without_sense_are_refused() -> None:
    for cone in ("022", "020", "11", "13"):
        with pytest.raises(NotDoable, match="heat work is known for"):
            heat_work.bending(cone)
    with pytest.raises(NotDoable):
        heat_work.bending("6", "small")
    for rate in (9.9, 400.1, float("nan")):
        with pytest.raises(OutOfRange):
            heat_work.end_temperature_degc("6", rate)
    for short in (-0.1, 40.1, float("nan")):
        with pytest.raises(OutOfRange):
            heat_holds.hold_in_place_of_climb("6", short)
    with pytest.raises(NotDoable, match="times must rise|must rise"):
        heat_holds.work_done(np.array([0.0, 0.0]), np.array([20.0, 30.0]), "6")
    with pytest.raises(NotDoable, match="2 times and 1 temperatures"):
        heat_holds.work_done(np.array([0.0, 1.0]), np.array([20.0]), "6")
    with pytest.raises(OutOfRange):
        heat_holds.work_done(np.array([0.0, 1.0]), np.array([20.0, float("nan")]), "6")
    for energy in (99.0, 2001.0, float("nan")):
        with pytest.raises(OutOfRange):
            heat_work.ramp_integral(1200.0, energy)
    with pytest.raises(OutOfRange):
        heat_work.ramp_integral(-274.0, 800.0)
    assert np.shape(heat_work.end_temperature_degc("6", np.array([60.0, 90.0]))) == (2,)


# --- witness cones


@given(st.floats(-40.0, 40.0))
def test_an_offset_found_is_an_offset_taken_off(offset: float) -> None:
    """Cone 6 down and 7 standing means 1222 to 1224; what is shown moves with the kiln."""
    seen = witness.witness_offset(1223.0 - offset, "6", "7")

    assert seen.offset_degc == approx(offset, abs=1e-9)
    assert (seen.reached_low_degc, seen.reached_high_degc) == (1222, 1224)
    assert witness.shown_for_cone("6", seen.offset_degc) == approx(1222 - offset)


def test_the_next_cones_beginning_bounds_the_reading() -> None:
    """Cone 8 begins 15 minutes, so 15 degC, before its 1249 at 60 degC/h."""
    seen = witness.witness_offset(1230.0, "6", "8")

    assert seen.reached_high_degc == approx(1234)
    assert seen.error_degc == approx(6)
    fast = witness.witness_offset(1240.0, "8", "9", 150.0)  # 1280 less 37 is below 1271
    assert (fast.reached_low_degc, fast.reached_high_degc) == (1271, 1271)
    assert fast.error_degc == heat_work.PRINTED_END_DEGC


def test_cones_mixed_up_are_refused() -> None:
    with pytest.raises(NotDoable, match="not the hotter"):
        witness.witness_offset(1210.0, "6", "06")
    with pytest.raises(NotDoable):
        witness.witness_offset(1210.0, "6", "6")
    for bad in (499.0, 1401.0, float("nan")):
        with pytest.raises(OutOfRange):
            witness.witness_offset(bad, "6", "7")
    for bad in (-151.0, 151.0, float("nan")):
        with pytest.raises(OutOfRange):
            witness.shown_for_cone("6", bad)


@given(CONES, st.floats(1.0, 39.0), st.floats(20.0, 200.0))
def test_degrees_saved_are_the_hold_undone(cone: str, short: float, rate: float) -> None:
    hold = heat_holds.hold_in_place_of_climb(cone, short, rate)
    if hold.minutes <= 240:
        assert heat_holds.degrees_that_a_hold_saves(cone, hold.minutes, rate) == approx(
            short, rel=1e-6
        )


def test_a_hold_is_taken_off_the_offset() -> None:
    """Stopped 10 degC short and held as told, cone 6 is down on a kiln that reads true."""
    hold = heat_holds.hold_in_place_of_climb("6", 10.0).minutes
    seen = witness.witness_offset(1213.0, "6", "7", hold_min=hold)

    assert (seen.reached_low_degc, seen.reached_high_degc) == (approx(1212), approx(1214))
    assert seen.offset_degc == approx(0.0, abs=1e-6)
    assert witness.shown_for_cone("6", 0.0, hold_min=hold) == approx(1212)
    assert heat_holds.degrees_that_a_hold_saves("6", 0.0) == approx(0.0, abs=1e-9)
    for bad in (-1.0, 241.0, float("nan")):
        with pytest.raises(OutOfRange):
            heat_holds.degrees_that_a_hold_saves("6", bad)
    with pytest.raises(NotDoable):
        witness.shown_for_cone("022", 0.0, hold_min=10.0)
    assert witness.shown_for_cone("022", 0.0) == 586


def test_large_cones_are_read_in_their_own_chart() -> None:
    """The printed chart at 60 degC/h, large cones: 6 at 1220, 7 at 1237, 8 at 1247 degC."""
    seen = witness.witness_offset(1230.0, "6", "8", 60.0, "large")

    assert (seen.reached_low_degc, seen.reached_high_degc) == (1220, approx(1247 - 15))
    assert witness.shown_for_cone("6", 0.0, 60.0, "large") == 1220
    held = witness.shown_for_cone("6", 0.0, 60.0, "large", hold_min=15.0)
    assert 1220 - held == approx(heat_holds.degrees_that_a_hold_saves("6", 15.0, 60.0, "large"))


@pytest.mark.parametrize("kind", ["self-supporting", "large"])
def test_each_kind_of_cone_has_its_own_heat_work(kind: cones.Kind) -> None:
    """
    The printed climbs are the witness: at 60 degC/h cone 6 is down at 1222 or, if large, 1220;
    stopped short and held as told, the log has done one work.
    """
    end = {"self-supporting": 1222.0, "large": 1220.0}[kind]
    assert heat_work.end_temperature_degc("6", 60.0, kind) == approx(end, abs=0.01)
    hold = heat_holds.hold_in_place_of_climb("6", 15.0, 60.0, kind).minutes
    climbed = 60.0 * (end - 15.0 - 20.0) / 60.0
    log = np.array([0.0, climbed, climbed + hold]), np.array([20.0, end - 15.0, end - 15.0])
    assert heat_holds.work_done(*log, "6", kind) == approx(1.0, rel=2e-3)
    assert heat_holds.degrees_that_a_hold_saves("6", hold, 60.0, kind) == approx(15.0, rel=1e-4)


def test_a_cone_is_told_with_what_was_asked() -> None:
    """The chart's own rate is 60 degC/h, where cone 6 prints 1222."""
    told = cones.cone_temperature("cone 6")

    assert (told.cone, told.rate_degc_per_h, told.kind, told.chart) == (
        "6", 60.0, "self-supporting", "current",
    )  # fmt: skip
    assert told.temperature_degc == 1222
    assert told.printed
    assert type(told.temperature_degc) is float
    assert heat_work.bending("cone 6").cone == "6"
    assert type(heat_work.end_temperature_degc("6", 100.0)) is float
    assert cones.cone_name("^^ 6") == "6"


def test_a_rate_that_is_not_printed_is_told_with_the_printed_ones() -> None:
    """Self-supporting cone 6 is printed from 15 to 150 degC/h."""
    with pytest.raises(OutOfRange, match="between 15 and 150"):
        cones.cone_temperature("6", 200.0)


def test_a_log_below_freezing_is_a_log() -> None:
    """A kiln in a cold yard does no work and is no mistake; below -50 the sensor is broken."""
    minutes = np.array([0.0, 60.0])
    assert heat_holds.work_done(minutes, np.array([-20.0, -10.0]), "6") == approx(0.0, abs=1e-12)
    for bad in (-50.0, -60.0):
        with pytest.raises(OutOfRange):
            heat_holds.work_done(minutes, np.array([bad, 20.0]), "6")
