"""Firing: presets, worked costs and a meter's log, through the question that is asked."""

import re

import pytest
from pytest import approx

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.rates import read_rate, show_difference, show_rate
from pourwright.calculators.table import ask
from pourwright.errors import StudioError

PRESET = ["180 C/h to 470 C", "85 C/h to 520 C", "100 C/h to 786 C", "60 C/h to 876 C"]


def answered(units=None, **typed):
    return ask("firing", typed, units, today=THE_DAY)[1]


def figures(**typed):
    return {one.name: one for one in answered(**typed).figures}


def test_a_controllers_preset_takes_the_hours_that_its_manual_says():
    """A kiln controller's manual, p. 9: about 6 to 8 hours; 2.5 h, 35 min, 2 h 40 min and 1.5 h."""
    answer = answered(segment=PRESET)
    whole = answer.figures[0].value

    assert 6 * 60 <= whole <= 8 * 60
    assert [row[2] for row in answer.tables[0].rows] == approx([150, 35, 160, 90], abs=1)


def test_a_low_fire_preset_takes_three_hours_and_twenty_minutes():
    """A kiln controller's manual, p. 28: 300 degC/h for about 2 h, 60 degC/h for about 1 h 20 min."""
    found = figures(segment=["300 C/h to 620 C", "60 C/h to 700 C"])

    assert found["whole_min"].value == approx(200, abs=1)
    assert found["last_climb_degc_per_h"].value == approx(6000 / 84, abs=0.1)


@pytest.mark.parametrize(
    ("power", "stretches", "kwh", "tolerance"),
    [
        ("11.5 kW", ["202.5 min at 25 %", "202.5 min at 50 %", "202.5 min at 75 %", "202.5 min at 100 %"],
         97.01, 0.05),
        ("16.64 kW", ["508.2 min at 50 %"], 8.45 / 0.12, 0.1),
        ("11.52 kW", ["9 h at 50 %", "7 h at 15 %"], 63.9, 0.1),
    ],
)  # fmt: skip
def test_energy_by_stretches_is_that_of_worked_examples(power, stretches, kwh, tolerance):
    """A US kiln supplier's page (97.01 kWh in four quarters), a US dealer's (8.45 $ at 0.12), and
    a US ceramics school's duties, worked out."""
    assert figures(power=power, stretch=stretches)["load_by_stretches_kwh"].value == approx(
        kwh, abs=tolerance
    )


@pytest.mark.parametrize(("top", "metered"), [("998 C", (26, 29)), ("1260 C", (34, 36))])
def test_metered_loads_of_a_small_kiln_lie_in_the_range(top, metered):
    """A potter's kiln log (2001): 2.6 cubic feet, cone 06 takes 26 to 29 kWh, cone 9 34 to 36."""
    found = figures(top=top, kiln_volume="2.6 cu ft")["load_by_volume_kwh"]

    assert found.value is None
    assert found.low < metered[0]
    assert metered[1] < found.high


def test_the_least_heat_is_that_of_the_papers():
    """MacGee (1926): 0.593 kWh/kg for a firebrick body to 1200 degC; 80 degC of warming and boiling
    take 0.72 kWh of a kilogram of water, by IAPWS."""
    ware = figures(top="1200 C", dry_ware="10 kg")["least_kwh"]
    wet = figures(top="1200 C", dry_ware="10 kg", water="1 kg")["least_kwh"]

    assert ware.low < 5.93 < ware.high
    assert wet.low - ware.low == approx(0.72, abs=0.005)


def test_a_schedule_too_fast_for_quartz_is_named_with_the_limit():
    """Fortuna, Sanitaryware (2000), as cited: at most 50 degC/h through 573 degC."""
    cooled = [*PRESET, "200 C/h to 100 C"]
    rows = {row[0]: row for row in answered(segment=cooled).tables[1].rows}

    assert rows["quartz, cooling"][1:3] == approx((200, 50))
    slow = ["55 C/h to 900 C", "50 C/h to 100 C"]
    assert "No band is passed too fast." in answered(segment=slow).says
    assert len(answered(segment=slow).tables) == 1
    assert "water smoking" not in {
        row[0] for row in answered(segment=cooled, ware="bisque").tables[1].rows
    }


def test_a_core_lags_behind_a_steady_climb_by_the_square_of_its_depth():
    """Carslaw and Jaeger (1959), 3.4: rate L^2 / 2a, here 100 degC/h, 20 mm, 0.17 and 0.5 mm2/s."""
    climb = {"segment": "100 C/h to 1000 C", "ware": "bisque", "foot": "20 mm"}
    found = figures(**climb)["lag_up_degc"]

    assert (found.low, found.high) == approx(
        (100 / 3600 * 400 / 1.0, 100 / 3600 * 400 / 0.34), rel=0.01
    )
    both = figures(**climb, heated_both_sides="yes")["lag_up_degc"]
    assert both.high == approx(found.high / 4, rel=0.01)
    assert "lag_down_degc" not in figures(**climb)


def test_a_schedule_that_is_a_charts_climb_does_the_cones_work():
    """The US cone maker's chart: cone 6 at 1222 degC and 60 degC/h."""
    assert figures(segment="60 C/h to 1222 C", cone="6")["work_done"].value == approx(1, abs=0.001)


def test_a_bisque_schedule_holds_damp_ware_and_slows_for_a_thick_part():
    thin, thick = (
        answered(bisque_to="1060 C", thickest=wall, ware="damp greenware")
        for wall in ("6 mm", "12 mm")
    )

    assert thick.figures[0].value > thin.figures[0].value
    assert all("No band is passed too fast." in one.says for one in (thin, thick))
    assert answered(bisque_to="1060 C").figures[0].value < thin.figures[0].value


def test_energy_by_the_schedule_is_power_times_time_on():
    """By hand: an hour to 120 degC at 15 %, nine from there at 50 %, 65 % at the most."""
    found = figures(segment=["100 C/h to 120 C", "100 C/h to 1020 C"], power="8 kW")[
        "load_by_power_kwh"
    ]

    assert found.value == approx(8 * (1 * 0.15 + 9 * 0.50))
    assert (found.low, found.high) == approx((found.value, 8 * (1 * 0.15 + 9 * 0.65)))
    own = figures(segment=["100 C/h to 120 C", "100 C/h to 1020 C"], power="8 kW", duty="40 %")
    assert own["load_by_power_kwh"].value == approx(8 * (0.15 + 3.6))


def test_a_studio_tells_its_kiln(tmp_path):
    path = tmp_path / "studio.toml"
    path.write_text('version = 1\n[kiln]\nloads_a_week = 2\nvolume = "180 l"\npower = "9 kW"\n')
    _, answer = ask("firing", {"segment": PRESET}, today=THE_DAY, studio=path)

    assert {one.name for one in answer.figures} >= {"load_by_volume_kwh", "load_by_power_kwh"}


def test_rates_and_differences_are_read_and_shown_in_either_scale():
    """The charts' own pairs: 60 degC/h is 108 degF/h, 150 is 270."""
    assert [read_rate(one, "--rate") for one in ("108 F/h", "270 °F per hour", "1 K/min")] == [
        60,
        150,
        60,
    ]
    assert (show_rate(150, "us"), show_difference(-10, "us")) == ("270 °F/h", "-18 °F")
    shown = answered("us", segment=PRESET).says
    assert "1609 °F" in shown
    assert "324 °F/h" in shown


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({}, "--segment is missing"),
        ({"segment": "100"}, 'write a stretch such as "100 C/h to 600 C hold 15 min"'),
        ({"segment": ["100 C/h to 600 C", "5 to 3"]}, '--segment (2) is "5"; write a rate'),
        ({"segment": "100 C/h to 600"}, "a number alone does not say which unit"),
        ({"segment": "100 C/h to 6000 C"}, "it must be between 0 and 1400"),
        ({"segment": "9000 C/h to 600 C"}, "it must be between 1 and 1500"),
        ({"segment": "100 C/h to 600 C hold 1000 h"}, "it must be between 0 min and 168 h"),
        ({"segment": "100 C/h to 20 C"}, "it goes nowhere"),
        ({"kiln_volume": "74 l"}, "--top is missing"),
        ({"dry_ware": "20 kg"}, "--top is missing"),
        ({"stretch": "9 h at 50 %"}, "--power is missing"),
        ({"power": "9 kW", "stretch": "9 h at 50"}, 'write "50 %" if per cent is meant'),
        ({"segment": "100 C/h to 600 C", "top": "1000 C"}, "--segment is told beside --top"),
    ],
)  # fmt: skip
def test_what_is_no_schedule_is_refused(typed, said):
    with pytest.raises(StudioError, match=re.escape(said)):
        answered(**typed)
