"""The volume of a mold, however it is known, and what it weighs."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.errors import OutOfRange
from pourwright.materials.plaster.mix import Plaster
from pourwright.materials.plaster.volumes import (
    dry_mass,
    volume_from_box,
    volume_from_dry_mass,
    volume_from_water_fill,
    water_density,
    wet_mass,
)

PLASTER = Plaster("plaster", 70, "a test")


@given(st.floats(0.01, 500), st.floats(25, 120))
def test_a_dry_weight_gives_its_volume_back(volume: float, consistency: float) -> None:
    plaster = Plaster("plaster", consistency, "a test")

    assert volume_from_dry_mass(dry_mass(volume, plaster), plaster) == pytest.approx(
        volume, rel=1e-12
    )


@given(st.floats(0.01, 500), st.floats(0, 100))
def test_a_water_fill_gives_its_volume_back(volume: float, temperature: float) -> None:
    water_kg = volume * water_density(temperature)

    assert volume_from_water_fill(water_kg, temperature) == pytest.approx(volume, rel=1e-12)


def test_water_is_densest_at_four_degrees_and_thins_from_there() -> None:
    density = np.asarray(water_density(np.arange(0.0, 101.0)))

    assert density.argmax() == 4
    assert np.all(np.diff(density[4:]) < 0)
    assert density[4] == pytest.approx(1.0, abs=1e-4)


def test_a_box_is_its_sides_less_what_stands_in_it() -> None:
    """A frame of 10 by 10 by 10 cm holds a liter."""
    assert volume_from_box(100.0, 100.0, 100.0) == pytest.approx(1.0)
    assert volume_from_box(100.0, 100.0, 100.0, 0.25) == pytest.approx(0.75)
    assert volume_from_box(np.array([100.0, 200.0]), 100.0, 100.0, 0.25) == pytest.approx(
        [0.75, 1.75]
    )


def test_straps_add_their_weight_wet_and_dry() -> None:
    assert wet_mass(2.0, PLASTER, 0.3) - wet_mass(2.0, PLASTER) == pytest.approx(0.3)
    assert dry_mass(2.0, PLASTER, 0.3) - dry_mass(2.0, PLASTER) == pytest.approx(0.3)
    assert wet_mass(2.0, PLASTER) > dry_mass(2.0, PLASTER)


@pytest.mark.parametrize("displaced", [1.0, 1.5, -0.1, np.nan])
def test_a_model_that_fills_the_frame_is_refused(displaced: float) -> None:
    with pytest.raises(OutOfRange, match="at least 0 and less than the frame's 1"):
        volume_from_box(100.0, 100.0, 100.0, displaced)


@pytest.mark.parametrize("bad", [0.0, -1.0, np.nan, np.inf])
def test_nothing_has_no_volume(bad: float) -> None:
    with pytest.raises(OutOfRange, match="water that fills the master"):
        volume_from_water_fill(bad)
    with pytest.raises(OutOfRange, match="dry mass of the mold"):
        volume_from_dry_mass(bad, PLASTER)
    with pytest.raises(OutOfRange, match="volume of the mold"):
        wet_mass(bad, PLASTER)
    with pytest.raises(OutOfRange, match="volume of the mold"):
        dry_mass(bad, PLASTER)
    for number in range(3):
        sides = [100.0, 100.0, 100.0]
        sides[number] = bad
        with pytest.raises(
            OutOfRange, match=f"{('length', 'width', 'height')[number]} of the frame"
        ):
            volume_from_box(*sides)


@pytest.mark.parametrize("bad", [-0.1, 100.1, np.nan])
def test_ice_and_steam_fill_no_master(bad: float) -> None:
    with pytest.raises(OutOfRange, match="water temperature"):
        water_density(bad)


@pytest.mark.parametrize("bad", [-0.1, np.nan])
def test_straps_weigh_at_least_nothing(bad: float) -> None:
    with pytest.raises(OutOfRange, match="mass of the straps"):
        wet_mass(1.0, PLASTER, bad)
    with pytest.raises(OutOfRange, match="mass of the straps"):
        dry_mass(1.0, PLASTER, bad)


def test_water_that_is_not_said_to_be_warm_is_at_20_degrees() -> None:
    assert water_density() == water_density(20.0)
    assert volume_from_water_fill(2.0) == volume_from_water_fill(2.0, 20.0)
