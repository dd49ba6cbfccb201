"""Drying: printed losses, the criterion of a standard, dehydration measured, and weighings."""

import re

import pytest
from pytest import approx

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.table import ask
from pourwright.errors import StudioError

SCALE = {"scale_step": "1 g"}


def answered(**typed):
    return ask("drying", typed, today=THE_DAY)[1]


def figures(**typed):
    return {one.name: one for one in answered(**typed).figures}


@pytest.mark.parametrize(
    ("consistency", "lost"), [("70", 0.303), ("65", 0.275), ("45", 0.186), ("38", 0.139)]
)
def test_a_fresh_mold_loses_what_printed_densities_say(consistency, lost):
    """A plaster maker's wet and dry densities; a lure maker's own scale says 30 % "every time"."""
    found = figures(wet_mass="5 kg", consistency=consistency)

    assert found["dry_kg"].value == approx(5 * (1 - lost), abs=0.05)


def test_straps_lose_nothing():
    bare, strapped = figures(wet_mass="5 kg"), figures(wet_mass="5.2 kg", straps="200 g")

    assert strapped["dry_kg"].value == approx(bare["dry_kg"].value + 0.2)
    assert strapped["water_to_lose_kg"].value == approx(bare["water_to_lose_kg"].value)


@pytest.mark.parametrize(
    ("pair", "state"),
    [
        # EN ISO 12570 (from memory): mass steady within 0.1 % a day
        (["2027-02-20 3.540 kg", "2027-02-21 3.538 kg"], "dry"),
        (["2027-02-20 3.560 kg", "2027-02-21 3.540 kg"], "ready to cast"),
        (["2027-02-20 3.90 kg", "2027-02-21 3.80 kg"], "ready to cast"),
        (["2027-02-20 4.50 kg", "2027-02-21 4.40 kg"], "still drying"),
        (["2027-02-20 4.501 kg", "2027-02-21 4.500 kg"], "stopped losing weight above its dry weight"),
        (["2027-02-20 3.42 kg", "2027-02-21 3.41 kg"], "lighter than its dry weight"),
        # half the loss over half the time is the same loss a day
        (["2027-02-20 20:00 3.540 kg", "2027-02-21 08:00 3.539 kg"], "dry"),
    ],
)  # fmt: skip
def test_two_weighings_a_day_apart_give_the_verdict(pair, state):
    found = figures(wet_mass="5.06 kg", weighing=pair, **SCALE)

    assert found["state"].value.startswith(state)


def test_the_order_of_the_weighings_does_not_matter():
    days = ["2027-02-20 5.06 kg", "2027-02-21 4.86 kg", "2027-02-22 4.66 kg"]

    assert figures(volume="3.2 l", weighing=days) == figures(volume="3.2 l", weighing=days[::-1])


def test_a_steady_loss_carried_on_lies_in_the_range_of_the_forecast():
    """The rate is constant until the mold is nearly dry (a hobbyist's log; every textbook):
    from 4.46 kg at 200 g a day the 5 % of a working mold, 3.71 kg, is 3.8 days away."""
    days = [f"2027-02-{20 + day} {5.06 - 0.2 * day:.2f} kg" for day in range(4)]
    found = figures(volume="3.2 l", weighing=days)

    assert found["ready_days"].low < (4.46 - 3.71) / 0.2 < found["ready_days"].high
    assert found["ready_days"].value < found["dry_days"].value
    assert found["loss_kg"].value == approx(0.2, rel=0.1)


def test_more_weighings_tighten_the_forecast():
    days = [f"2027-02-{18 + day} {5.06 - 0.2 * day:.2f} kg" for day in range(6)]
    few, many = (figures(volume="3.2 l", weighing=some)["ready_days"] for some in (days[4:], days))

    assert many.high - many.low < few.high - few.low


def test_the_room_tightens_the_forecast_and_no_room_is_a_wide_one():
    block = {"volume": "3.2 l", "sides": "200 mm by 150 mm by 120 mm"}
    wide = figures(**block)["dry_days"]
    room = figures(**block, temperature="20 C", humidity="50 %", air_speed="1")["dry_days"]

    assert room.high / room.low < wide.high / wide.low
    assert figures(volume="3.2 l")["dry_days"].low == 7
    assert figures(volume="3.2 l")["dry_days"].high == 14


def test_warm_moving_air_dries_a_large_mold_in_the_workshops_days():
    """27 degC, fans not aimed at the molds: 10 to 14 days for larger molds (a workshop owner,
    2004). It calibrated the model, so this holds the wiring, not the law."""
    found = figures(volume="8 l", area="0.2 m2", temperature="27 C", humidity="40 %", air_speed="1")

    assert found["depth_mm"].value == approx(40.0)
    assert found["dry_days"].low < 14
    assert found["dry_days"].high > 10


def test_a_block_on_a_board_dries_slower():
    block = {"volume": "3.2 l", "sides": "200 mm by 150 mm by 120 mm"}

    assert figures(**block, on_board="yes")["dry_days"].value > figures(**block)["dry_days"].value


def test_ten_molds_wet_a_closed_room_and_a_window_helps():
    closed = {"volume": "3.2 l", "area": "0.13 m2", "molds": "10", "room": "50 m3"}
    shut, ajar = figures(**closed), figures(**closed, air_changes="3")

    assert shut["together_days"].value > ajar["together_days"].value >= ajar["alone_days"].value
    assert shut["room_humidity"].value > ajar["room_humidity"].value


@pytest.mark.parametrize(
    ("temperature", "humidity", "said"),
    [
        # Wilkes, Atchley and Childs, ASHRAE (2004): crystal water lost at 0.2 %, none at 11 to 12 %
        ("40 C", "0.2 %", "lower the heat now"),
        ("40 C", "11.5 %", "the mold is safe in this air"),
        # makers' limit for pottery plaster: 120 degF
        ("121 F", "60 %", "too hot for any mold"),
        ("47 C", "10 %", "lower the heat now"),
        ("43 C", "20 %", "take it out once its weight stands still"),
        ("20 C", "20 %", "the mold is safe in this air"),
        # dry room air that was heated, where the humidity is not told
        ("43 C", None, "take it out once its weight stands still"),
    ],
)  # fmt: skip
def test_heat_and_dryness_together_are_warned_of(temperature, humidity, said):
    told = {"temperature": temperature, "humidity": humidity}
    typed = {name: text for name, text in told.items() if text}

    assert said in answered(volume="3.2 l", **typed).says


def test_a_wet_mold_stands_warmth_that_a_dry_one_does_not():
    """A plaster maker's data: higher is allowed while much free water remains."""
    air = {"wet_mass": "5.06 kg", "temperature": "47 C", "humidity": "10 %"}

    assert "safe in this air" in answered(**air, weighing=["2027-02-20 4.9 kg"]).says
    assert "lower the heat" in answered(**air, weighing=["2027-02-20 3.54 kg"]).says


def test_gypsum_keeps_its_water_above_a_humidity():
    """Equilibrium at 49 and 25 degC: 49 and 35 % from Thermoddem; another pair of solubilities
    (Shen et al. 2019) gives 42 % at 25 degC, hence the eight points."""
    warm, room = (
        figures(volume="3.2 l", temperature=one)["crystal_humidity"] for one in ("49 C", "25 C")
    )

    assert warm.value == approx(0.49, abs=0.01)
    assert room.low <= 0.35 < 0.42 <= room.high + 0.005


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"wet_mass": "0.1 kg", "straps": "200 g"}, "must be more than 0.2"),
        ({"dry_mass": "0.1 kg", "straps": "200 g"}, "The straps weigh"),
        ({"volume": "3 l", "weighing": ["2027-02-20 4.5 kg", "2027-02-21 4.6 kg"]}, "still drying"),
        ({"volume": "3 l", "weighing": ["2027-02-20 4.5 kg", "2027-02-20 4.4 kg"]}, "more than 0"),
        ({"volume": "3 l", "weighing": ["2027-02-30 4.5 kg"]}, "The calendar has no such day"),
        ({"volume": "3 l", "weighing": ["4.5 kg"]}, 'write it such as "2027-02-20 4.86 kg"'),
        ({"volume": "3 l", "weighing": ["2027-02-20 25:00 4.5 kg"]}, '"0:00" to "23:59"'),
        ({"volume": "3.2 l", "weighing": ["2027-02-20 11.1 kg"]}, "Was it read in pounds? 11.1 lb is 5.03 kg."),
        ({"volume": "3.2 l", "weighing": ["2027-02-20 2.1 kg"]}, "Is it the same mold, whole"),
        ({"volume": "3.2 l", "weighing": ["2027-02-20 4860 kg"]}, "Was it 4860 g rather than kg?"),
        ({"volume": "3.2 l", "temperature": "110 C"}, "Was it read in °F? 110 °F is 43 °C."),
        ({"volume": "3 l", "molds": "10"}, "--room is missing"),
        ({"volume": "3 l", "molds": "10", "room": "50 m3"}, "--area"),
        ({"volume": "3 l", "molds": "10", "room": "50 l"}, "--room"),
        ({"volume": "3 l", "humidity": "50"}, 'write "50 %" if per cent is meant'),
        ({}, "--volume, --wet-mass or --dry-mass is missing"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said(typed, said):
    if said == "still drying":
        assert "still drying" in answered(**typed).says
        return
    with pytest.raises(StudioError, match=re.escape(said)):
        answered(**typed)


def test_a_coarse_scale_is_told():
    answer = answered(wet_mass="5.06 kg", weighing=["2027-02-20 3.54 kg", "2027-02-21 3.54 kg"])

    assert "cannot show a loss of 0.1 %" in answer.notes[-1]
