"""Firings from their segments, their bands, the thick foot, and what they cost."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from pourwright.errors import NotDoable, OutOfRange
from pourwright.materials.kiln import (
    bands as firing_bands,
)
from pourwright.materials.kiln import (
    energy as kiln_energy,
)
from pourwright.materials.kiln import (
    heat as kiln_heat,
)
from pourwright.materials.kiln import (
    schedule as firing,
)
from pourwright.materials.kiln import (
    thick_foot,
)
from pourwright.materials.kiln.schedule import Segment, course

RATES = st.floats(10.0, 400.0)
TOPS = st.floats(200.0, 1300.0)
DEPTHS = st.floats(1.0, 60.0)


@given(RATES, TOPS, st.floats(0.0, 600.0), RATES)
def test_a_course_takes_its_way_over_its_rate(
    up: float, top: float, hold: float, down: float
) -> None:
    made = course([Segment(up, top, hold), Segment(down, 100.0)])

    hours = (top - 20) / up + hold / 60 + (top - 100) / down
    assert made.minutes[-1] == approx(60 * hours, rel=1e-9)
    assert (made.minutes[0], made.temperatures_degc[0]) == (0, 20)
    assert made.temperatures_degc[-1] == 100
    assert made.at(60 * (top - 20) / up) == approx(top)
    assert (np.diff(made.minutes) > 0).all()


def test_corners_of_a_preset_come_where_the_manual_puts_them() -> None:
    """
    A kiln controller's mid-fire preset: 180 degC/h for 2.5 h, 85 for 35 min, 100 for
    2 h 40 min, 60 for 1.5 h, from 20 degC: 470, 520, 786 and 876 degC.
    """
    made = course([Segment(180, 470), Segment(85, 520), Segment(100, 786), Segment(60, 876)])

    assert list(made.at(np.array([150.0, 185.0, 345.0, 435.0]))) == [
        approx(heat, abs=1) for heat in (470, 520, 786, 876)
    ]


def test_a_course_beyond_its_end_stays() -> None:
    made = course([Segment(100, 120)])

    assert made.at(1e6) == 120
    for bad in (-1.0, float("nan")):
        with pytest.raises(OutOfRange):
            made.at(bad)


def test_a_segment_that_goes_nowhere_leaves_no_corner() -> None:
    made = course([Segment(100, 120), Segment(50, 120), Segment(50, 120, 30)])

    assert list(made.temperatures_degc) == [20, 120, 120]


@pytest.mark.parametrize("segment", [Segment(0, 100), Segment(-50, 100), Segment(1501, 100),
                                     Segment(100, 1401), Segment(100, -1), Segment(100, 100, -1),
                                     Segment(float("nan"), 100), Segment(100, float("nan")),
                                     Segment(100, 100, float("nan"))])  # fmt: skip
def test_no_impossible_segment_passes(segment: Segment) -> None:
    with pytest.raises(OutOfRange):
        course([segment])


def test_no_impossible_firing_passes() -> None:
    with pytest.raises(NotDoable, match="no segment"):
        course([])
    with pytest.raises(OutOfRange):
        course([Segment(100, 500)], start_degc=301.0)


@given(RATES, st.floats(700.0, 1300.0))
def test_the_last_hundred_degrees_set_the_rate(rate: float, top: float) -> None:
    made = course([Segment(200, top - 150), Segment(rate, top, 10), Segment(100, 100)])

    assert firing.last_climb_degc_per_h(made) == approx(rate, rel=1e-9)


def test_a_rate_that_changes_on_the_way_is_a_mean() -> None:
    """Fifty degrees in half an hour and fifty in an hour are a hundred in an hour and a half."""
    made = course([Segment(100, 1150), Segment(50, 1200)])

    assert firing.last_climb_degc_per_h(made) == approx(100 / 1.5)
    assert firing.last_climb_degc_per_h(made, 50.0) == approx(50)
    held = course([Segment(100, 1150, 30), Segment(100, 1200)])
    assert firing.last_climb_degc_per_h(held) == approx(100 / 1.5)
    with pytest.raises(OutOfRange, match="does not climb that far"):
        firing.last_climb_degc_per_h(course([Segment(100, 110)]))
    with pytest.raises(OutOfRange):
        firing.last_climb_degc_per_h(made, 501.0)


def test_preheating_is_told_apart_from_heating() -> None:
    made = course(
        [Segment(50, 90, 120), Segment(50, 120), Segment(100, 1000, 20), Segment(200, 100)]
    )
    preheat, heat = firing.heating_minutes(made)

    assert preheat == approx(60 * 70 / 50 + 120 + 60 * 30 / 50)
    assert heat == approx(60 * 880 / 100 + 20)
    steady = firing.heating_minutes(course([Segment(100, 1000)]))
    assert steady == (approx(60), approx(528))
    with pytest.raises(OutOfRange):
        firing.heating_minutes(course([Segment(100, 120)]))
    assert firing.heating_minutes(course([Segment(100, 1000)], 200.0)) == (0, approx(480))


# --- bands


def test_a_fast_firing_is_told_where_it_is_too_fast() -> None:
    made = course([Segment(150, 1040), Segment(60, 100)])
    found = {
        band.band: band
        for band in firing_bands.too_fast(made, 6.0, greenware=True, cristobalite=True)
    }

    assert set(found) == {"water smoking", "quartz, cooling", "cristobalite, cooling"}
    assert found["quartz, cooling"].rate_degc_per_h == approx(60)
    assert found["quartz, cooling"].limit_degc_per_h == 50
    assert found["water smoking"].rate_degc_per_h == approx(150)
    assert "Fortuna" in found["quartz, cooling"].basis
    assert found["water smoking"].basis == "practice, no source"


def test_what_does_not_apply_is_not_told() -> None:
    made = course([Segment(150, 1040), Segment(60, 100)])

    bands = [found.band for found in firing_bands.too_fast(made, 6.0, greenware=False)]
    assert bands == ["quartz, cooling"]
    slow = course([Segment(55, 130), Segment(150, 1040), Segment(300, 650), Segment(50, 540),
                   Segment(300, 280), Segment(50, 150)])  # fmt: skip
    assert firing_bands.too_fast(slow, 6.0, greenware=True, cristobalite=True) == ()
    # The bands end where they are said to: 548 and 598, 200 and 270 degC.
    for hot, cool, bands in ((1040, 598, 0), (1040, 597, 1), (548, 300, 0), (549, 300, 1),
                             (540, 270, 0), (540, 269, 1), (200, 100, 0), (201, 100, 1)):  # fmt: skip
        made = course([Segment(55, hot), Segment(400, cool)])
        found = firing_bands.too_fast(made, 6.0, greenware=True, cristobalite=True)
        assert len(found) == bands
    low = course([Segment(55, 500), Segment(400, 300)])
    assert firing_bands.too_fast(low, 6.0, greenware=True) == ()


@given(st.floats(1.0, 100.0), st.floats(0.1, 10.0))
def test_thicker_ware_is_fired_slower_and_held_longer(wall: float, more: float) -> None:
    thicker = min(wall + more, 100.0)

    limit = firing_bands.water_smoking_limit_degc_per_h
    assert limit(thicker) <= limit(wall) <= 55
    short, long = firing_bands.candling_minutes(wall)
    assert short <= long
    assert firing_bands.candling_minutes(thicker)[1] >= long


def test_thickness_limits_hold() -> None:
    assert firing_bands.water_smoking_limit_degc_per_h(6.0) == 55
    assert firing_bands.water_smoking_limit_degc_per_h(12.0) == approx(13.75)
    assert firing_bands.candling_minutes(6.0) == (60, 60)
    short, long = firing_bands.candling_minutes(25.4)
    assert short < 12 * 60 < long  # a sculptor's schedule for an inch holds 12 hours
    assert np.shape(firing_bands.candling_minutes(np.array([6.0, 12.0]))[0]) == (2,)
    for bad in (0.9, 101.0, float("nan")):
        for law in (firing_bands.water_smoking_limit_degc_per_h, firing_bands.candling_minutes):
            with pytest.raises(OutOfRange):
                law(bad)


@given(st.floats(800.0, 1280.0), st.floats(1.0, 40.0), st.booleans())
def test_our_bisque_keeps_to_our_bands(top: float, wall: float, dry: bool) -> None:
    made = course(firing_bands.bisque_segments(top, wall, dry=dry))

    assert firing_bands.too_fast(made, wall, greenware=True) == ()
    assert firing.last_climb_degc_per_h(made) == approx(60)
    assert made.temperatures_degc.max() == top


def test_damp_ware_is_held_first() -> None:
    dry = course(firing_bands.bisque_segments(1060.0, 8.0, dry=True))
    damp = course(firing_bands.bisque_segments(1060.0, 8.0, dry=False))

    assert damp.minutes[-1] - dry.minutes[-1] == approx(firing_bands.candling_minutes(8.0)[1])
    with pytest.raises(OutOfRange):
        firing_bands.bisque_segments(1281.0, 8.0, dry=True)


# --- the thick foot


@given(st.floats(20.0, 300.0), st.floats(2.0, 20.0), st.floats(0.17, 0.5))
def test_a_long_climb_lags_by_the_closed_form(rate: float, depth: float, spread: float) -> None:
    """Carslaw and Jaeger: rate L^2 / 2a once the climb has lasted a few L^2 / a."""
    core = thick_foot.core_course(course([Segment(rate, 1300.0)]), depth, spread)
    lag = 1300.0 - core.temperatures_degc[-1]
    steady = rate / 3600 * depth**2 / (2 * spread)
    age = 1280 / rate * 3600 * spread / depth**2

    assert lag == approx(steady, rel=2e-3 + 2 * np.exp(-2.4 * age), abs=1e-6)


def test_a_step_nearly_follows_the_tabled_center_of_a_slab() -> None:
    """
    Heisler's chart, by its series: a slab's center keeps 0.772 of a step at Fourier
    number 0.2 and 0.1080 at 1.0. The step is taken as fast as a course may be.
    """
    up = course([Segment(1500.0, 1000.0, 5000.0)], 0.0)
    depth, spread = 100.0, 0.5
    step_min = float(up.minutes[1])
    core = thick_foot.core_course(up, depth, spread)
    for fourier, kept in ((0.2, 0.772), (1.0, 0.1080)):
        # A ramp of length s acts as a step in its middle, for modes that are slow against it.
        minute = fourier * depth**2 / spread / 60 + step_min / 2
        left = 1 - np.interp(minute, core.minutes, core.temperatures_degc) / 1000
        assert left == approx(kept, abs=0.002)


@given(RATES, TOPS, DEPTHS, st.floats(0.1, 1.0))
def test_a_core_is_never_hotter_than_the_face_has_been(
    rate: float, top: float, depth: float, spread: float
) -> None:
    made = course([Segment(rate, top, 60), Segment(rate, 100)])
    core = thick_foot.core_course(made, depth, spread)

    assert core.temperatures_degc.max() <= top + 1e-6
    assert core.temperatures_degc.min() >= 20 - 1e-6
    assert core.minutes[-1] == made.minutes[-1]
    assert np.diff(core.minutes).max() <= 2 + 1e-9


def test_a_foot_is_behind_going_up_and_ahead_going_down() -> None:
    there_and_back = course([Segment(100.0, 1040.0), Segment(50.0, 100.0)])
    up, down = thick_foot.lag_when_face_is_at_degc(there_and_back, 573.0, 20.0, 0.17)

    assert up == approx(100 / 3600 * 20.0**2 / (2 * 0.17), rel=0.01)
    assert down == approx(-50 / 3600 * 20.0**2 / (2 * 0.17), rel=0.01)
    one_way = thick_foot.lag_when_face_is_at_degc(course([Segment(100, 1040)]), 573.0, 20.0, 0.17)
    assert np.isnan(one_way[1])
    assert not np.isnan(one_way[0])


@pytest.mark.parametrize(("depth", "spread"), [(0.4, 0.3), (101.0, 0.3), (10.0, 0.04), (10.0, 2.1),
                                               (float("nan"), 0.3), (10.0, float("nan"))])  # fmt: skip
def test_no_impossible_foot_passes(depth: float, spread: float) -> None:
    made = course([Segment(100, 1000)])
    with pytest.raises(OutOfRange):
        thick_foot.core_course(made, depth, spread)
    with pytest.raises(OutOfRange):
        thick_foot.lag_when_face_is_at_degc(made, float("nan"), 10.0, 0.3)


# --- electricity and heat


@pytest.mark.parametrize(("liters", "degc", "metered"), [
    (73.6, 1000.0, (26, 29)), (73.6, 1270.0, (34, 36)), (198.2, 1093.0, (35, 35)),
    (198.2, 751.0, (17, 17)), (198.2, 1285.0, (87, 87)),
])  # fmt: skip
def test_every_metered_firing_lies_in_the_range(
    liters: float, degc: float, metered: tuple[float, float]
) -> None:
    """Two kilns' own meters, a potter's log (2001) and a US studio's (2006)."""
    load = kiln_energy.energy_by_volume(liters, degc)

    assert load.low_kwh <= metered[0] + 0.1
    assert metered[1] - 0.1 <= load.high_kwh
    assert not load.extrapolated


@given(st.floats(10.0, 1000.0), st.floats(600.0, 1310.0), st.floats(1.0, 10.0))
def test_hotter_and_larger_costs_more(liters: float, degc: float, more: float) -> None:
    load = kiln_energy.energy_by_volume(liters, degc)
    hotter = kiln_energy.energy_by_volume(liters, degc + more)
    larger = kiln_energy.energy_by_volume(2 * liters, degc)

    assert load.low_kwh < load.high_kwh
    assert (hotter.low_kwh, hotter.high_kwh) > (load.low_kwh, load.high_kwh)
    assert (larger.low_kwh, larger.high_kwh) == (
        approx(2 * load.low_kwh),
        approx(2 * load.high_kwh),
    )


def test_firings_that_nobody_metered_are_flagged() -> None:
    assert kiln_energy.energy_by_volume(100.0, 750.0).extrapolated
    assert kiln_energy.energy_by_volume(100.0, np.array([1000.0, 1300.0])).extrapolated
    assert not kiln_energy.energy_by_volume(100.0, np.array([751.0, 1285.0])).extrapolated
    for liters, degc in ((4.9, 1000.0), (2001.0, 1000.0), (100.0, 599.0), (100.0, 1321.0),
                         (float("nan"), 1000.0), (100.0, float("nan"))):  # fmt: skip
        with pytest.raises(OutOfRange):
            kiln_energy.energy_by_volume(liters, degc)


def test_power_times_time_times_duty() -> None:
    assert kiln_energy.energy_by_power(10.0, np.array([1.0, 2.0]), 0.5).tolist() == [5, 10]
    for power, hours, duty in ((0.0, 1.0, 0.5), (10.0, -1.0, 0.5), (10.0, 1.0, 1.1),
                               (float("nan"), 1.0, 0.5), (10.0, float("nan"), 0.5),
                               (10.0, 1.0, float("nan"))):  # fmt: skip
        with pytest.raises(OutOfRange):
            kiln_energy.energy_by_power(power, hours, duty)


def test_a_course_costs_its_preheating_and_its_heating() -> None:
    """Two hours below 120 degC at 15 % and nine above at 50 %, of eight kilowatts."""
    load = course([Segment(50.0, 120.0), Segment(100.0, 1020.0), Segment(50.0, 100.0)])

    assert kiln_energy.energy_of_course(load, 8.0, 0.5) == approx(8 * (2 * 0.15 + 9 * 0.5))
    for power, duty in ((0.0, 0.5), (8.0, 1.1), (float("nan"), 0.5), (8.0, float("nan"))):
        with pytest.raises(OutOfRange):
            kiln_energy.energy_of_course(load, power, duty)


def test_published_specific_heats_come_out() -> None:
    """The formula printed for dehydroxylated kaolin gives 793, 1170 and 1249 J/kg/K."""
    heat = kiln_heat.fired_clay_heat_kj_per_kg
    around = ((40.0, 40.02), (599.5, 600.5), (1099.5, 1100.5))

    assert [1000 * float(heat(top, low)) / (top - low) for low, top in around] == [
        approx(c, rel=5e-3) for c in (793, 1170, 1249)
    ]
    assert kiln_heat.fired_clay_heat_kj_per_kg(600.0, 600.0) == 0


def test_a_real_kiln_takes_more_than_its_ware() -> None:
    """The best UK kiln of a survey took 24 therms a tonne, 0.703 kWh/kg of earthenware."""
    low, high = kiln_heat.raw_ware_heat_kwh(1.0, 1120.0)

    assert low < high < 0.703
    assert kiln_heat.raw_ware_heat_kwh(2.0, 1120.0)[0] == approx(2 * low)
    firebrick = kiln_heat.raw_ware_heat_kwh(1.0, 1200.0)
    assert firebrick[0] < 2134 / 3600 < firebrick[1]  # MacGee, 510 cal/g
    assert kiln_heat.fired_heat_kwh(1.0, 1100.0) < low
    assert kiln_heat.fired_heat_kwh(2.0, 1100.0) == approx(2 * 1198 / 3600, rel=1e-3)
    assert kiln_heat.water_heat_kwh(np.array([0.0, 2.0]))[1] == approx(1.439, abs=5e-4)


@pytest.mark.parametrize("bad", [-0.1, float("nan"), float("inf")])
def test_no_impossible_load_passes(bad: float) -> None:
    for law in (
        lambda: kiln_heat.raw_ware_heat_kwh(bad, 1000.0),
        lambda: kiln_heat.fired_heat_kwh(bad, 1000.0),
        lambda: kiln_heat.water_heat_kwh(bad),
        lambda: kiln_heat.raw_ware_heat_kwh(1.0, bad),
        lambda: kiln_heat.fired_clay_heat_kj_per_kg(bad),
        lambda: kiln_heat.fired_clay_heat_kj_per_kg(100.0, bad),
    ):
        with pytest.raises(OutOfRange):
            law()


def test_preheating_ends_where_the_climb_passes_120() -> None:
    """By hand: 50 degrees at 50 an hour, 50 more at 100 an hour, and 50 more to the top."""
    two = course([Segment(50.0, 70.0), Segment(100.0, 170.0)])
    assert firing.heating_minutes(two) == (approx(90.0), approx(30.0))
    held = course([Segment(100.0, 120.0, 30.0), Segment(100.0, 220.0)])
    assert firing.heating_minutes(held) == (approx(90.0), approx(60.0))
    warm = course([Segment(100.0, 300.0)], start_degc=200.0)
    assert firing.heating_minutes(warm) == (0.0, approx(60.0))


def test_the_lag_is_read_when_the_face_gets_there() -> None:
    """Up at 10 degrees a minute through 100 after 8 minutes, down again through it after 24."""
    made = course([Segment(600.0, 180.0), Segment(600.0, 20.0)])
    core = thick_foot.core_course(made, 10.0, 0.3)
    up, down = thick_foot.lag_when_face_is_at_degc(made, 100.0, 10.0, 0.3)

    assert up == approx(100.0 - float(core.at(8.0)), abs=1e-9)
    # The first moment that is below, two minutes later: the face is at 80.
    assert down == approx(80.0 - float(core.at(26.0)), abs=1e-9)
    never = thick_foot.lag_when_face_is_at_degc(made, 181.0, 10.0, 0.3)
    assert np.isnan(never).all()


def test_the_range_of_a_load_runs_through_the_meters_that_made_it() -> None:
    """
    A US studio's meter (2006): 17 and 35 kWh in 198.2 l, fast, and 87 kWh to 1285 degC slow,
    raised by the cube root of the volumes to a kiln of 73.6 l.
    """
    fast = [kiln_energy.energy_by_volume(198.2, degc).low_kwh for degc in (751.0, 1093.0)]
    assert fast == [approx(17, abs=0.5), approx(35, abs=0.5)]
    small = kiln_energy.energy_by_volume(73.6, 1285.0)
    assert small.high_kwh / 73.6 == approx(87 / 198.2 * (198.2 / 73.6) ** (1 / 3), rel=0.01)


def test_raw_ware_takes_its_heat_from_room_temperature() -> None:
    """100 kg by 1000 degrees at 1.64 and 2.12 kJ/kg/K (MacGee 1926), over 3600 kJ a kWh."""
    low, high = kiln_heat.raw_ware_heat_kwh(100.0, 1020.0)

    assert (low, high) == (approx(164000 / 3600), approx(212000 / 3600))
    assert kiln_heat.raw_ware_heat_kwh(100.0, 620.0)[0] == approx(98400 / 3600)
