"""Water to lose, the days as a range, and the verdict of two weighings."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.errors import OutOfRange
from pourwright.materials.drying.dryness import (
    CLOSE_TO_DRY,
    READY_FREE_WATER,
    STEADY_LOSS_PER_DAY,
    MoldState,
    drying_days,
    dryness,
    expected_dry_mass,
    water_to_lose,
)
from pourwright.materials.plaster.mix import GYPSUM_FROM_PLASTER, Plaster
from pourwright.materials.plaster.volumes import dry_mass, wet_mass

PLASTER = Plaster("plaster", 70, "a test")


@given(st.floats(0.1, 100), st.floats(25, 120))
def test_the_water_lost_is_what_the_scale_misses(volume: float, consistency: float) -> None:
    """Mass balance: wet less dry, by two routes."""
    plaster = Plaster("plaster", consistency, "a test")
    lost = wet_mass(volume, plaster) - dry_mass(volume, plaster)

    assert water_to_lose(volume, plaster) == pytest.approx(lost, rel=1e-9)
    assert expected_dry_mass(wet_mass(volume, plaster), plaster) == pytest.approx(
        dry_mass(volume, plaster), rel=1e-12
    )


@given(st.floats(1, 100), st.floats(25, 120), st.floats(0, 0.9))
def test_dry_is_between_the_straps_and_wet(wet: float, consistency: float, straps: float) -> None:
    plaster = Plaster("plaster", consistency, "a test")

    dry = expected_dry_mass(wet, plaster, straps)
    assert straps < dry < wet


@given(st.floats(0, 0.5), st.floats(0, 0.5))
def test_the_drier_it_must_be_the_more_water_goes(one: float, other: float) -> None:
    drier, wetter = sorted((one, other))

    assert water_to_lose(3.0, PLASTER, drier) >= water_to_lose(3.0, PLASTER, wetter) >= 0


def test_a_good_working_mold_keeps_a_twentieth_of_its_dry_mass() -> None:
    kept = water_to_lose(3.0, PLASTER) - water_to_lose(3.0, PLASTER, 0.05)

    assert kept == pytest.approx(0.05 * dry_mass(3.0, PLASTER), rel=1e-9)
    assert water_to_lose(3.0, PLASTER, 0.5) == 0


def test_the_default_days_are_a_range_with_its_source() -> None:
    days = drying_days()

    assert (days.low, days.high) == (7.0, 14.0)
    assert days.likely == pytest.approx(np.sqrt(98.0))
    assert "not measured" in days.source
    assert drying_days(3.0, 3.0, "our own").source == "our own"


@pytest.mark.parametrize(
    ("low", "high"), [(0.0, 7.0), (8.0, 7.0), (np.nan, 7.0), (7.0, np.nan), (7.0, 121.0)]
)
def test_impossible_days_are_refused(low: float, high: float) -> None:
    with pytest.raises(OutOfRange, match="drying days"):
        drying_days(low, high)


@pytest.mark.parametrize(
    ("earlier", "later", "state"),
    [
        (10.005, 10.0, MoldState.DRY),
        (10.050, 10.049, MoldState.DRY),
        (10.030, 10.0, MoldState.READY),
        (10.900, 10.8, MoldState.READY),
        (11.600, 11.5, MoldState.READY),
        (11.520, 11.51, MoldState.STOPPED),
        (13.200, 13.0, MoldState.DRYING),
        (9.942, 9.940, MoldState.TOO_LIGHT),
    ],
)
def test_the_verdict_of_two_weighings(earlier: float, later: float, state: MoldState) -> None:
    """The dry mold is 10 kg: 0.5 % is 50 g, 0.1 % a day 10 g, 15 % free water 1.5 kg."""
    assert dryness(earlier, later, 24, 10.0).state is state


def test_a_loss_is_counted_by_the_day_and_without_the_straps() -> None:
    seen = dryness(12.2, 12.0, 48, 11.0, straps_kg=2.0)

    assert seen.loss_per_day == pytest.approx(0.2 / 10.0 / 2)
    assert seen.free_water_kg == pytest.approx(1.0)
    assert seen.free_water == pytest.approx(1.0 / 9.0)


@pytest.mark.parametrize(("step", "fine"), [(0.010, True), (0.0101, False)])
def test_a_coarse_scale_is_told(step: float, fine: bool) -> None:
    assert dryness(10.0, 10.0, 24, 10.0, scale_step_kg=step).scale_fine_enough is fine


@pytest.mark.parametrize(
    ("change", "match"),
    [
        ({"earlier_kg": 0.0}, "earlier weighing"),
        ({"later_kg": np.nan}, "later weighing"),
        ({"dry_kg": 0.5}, "dry mass"),
        ({"hours_apart": 11.0}, "time between"),
        ({"hours_apart": 241.0}, "time between"),
        ({"straps_kg": -0.1}, "straps"),
        ({"scale_step_kg": 0.0}, "step of the scale"),
    ],
)
def test_impossible_weighings_are_refused(change: dict[str, float], match: str) -> None:
    usual = {
        "earlier_kg": 10.1,
        "later_kg": 10.0,
        "hours_apart": 24.0,
        "dry_kg": 9.9,
        "straps_kg": 0.5,
    }
    with pytest.raises(OutOfRange, match=match):
        dryness(**(usual | change))


def test_straps_cannot_weigh_as_much_as_the_mold() -> None:
    with pytest.raises(OutOfRange, match="more than 4 kg"):
        expected_dry_mass(4.0, PLASTER, 4.0)


def test_the_criteria_are_those_that_the_words_tell() -> None:
    """EN ISO 12570 (from memory) 0.1 % a day; a maker's ceramic bulletin, 5 and 15 % free water."""
    assert STEADY_LOSS_PER_DAY == 0.001
    assert READY_FREE_WATER == (0.05, 0.15)
    assert CLOSE_TO_DRY == 0.005


def test_a_season_is_the_longest_drying() -> None:
    assert drying_days(7.0, 120.0).high == 120.0


@pytest.mark.parametrize(("later", "fine"), [(1.0, True), (0.99, False)])
def test_a_scale_of_a_gram_suits_a_kilogram(later: float, fine: bool) -> None:
    assert dryness(later + 0.002, later, 24, 0.9).scale_fine_enough is fine


def test_a_tenth_of_a_percent_a_day_is_not_yet_steady() -> None:
    """Less than 0.1 % a day is steady; a tonne that loses a kilogram loses just that."""
    assert dryness(1001.0, 1000.0, 24, 1000.0).state is MoldState.READY
    assert dryness(1000.9, 1000.0, 24, 1000.0).state is MoldState.DRY


def test_half_a_day_apart_will_do_and_a_light_mold_holds_no_water() -> None:
    seen = dryness(9.95, 9.90, 12.0, 10.0)

    assert (seen.state, seen.free_water_kg, seen.free_water) == (MoldState.TOO_LIGHT, 0.0, 0.0)
    assert seen.loss_per_day == pytest.approx(2 * 0.05 / 9.90)


def test_a_mold_without_straps_is_all_plaster() -> None:
    """Each 1.7 kg of a wet mold of consistency 70 was a kilogram of plaster, and is gypsum now."""
    dry = float(expected_dry_mass(17.0, PLASTER))

    assert dry == pytest.approx(17.0 * GYPSUM_FROM_PLASTER / 1.7)
