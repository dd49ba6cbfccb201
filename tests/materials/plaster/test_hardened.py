"""Absorption, strength and expansion of set plaster."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.materials.plaster.hardened import (
    absorption,
    dry_strength,
    setting_expansion,
)
from pourwright.materials.plaster.mix import (
    Plaster,
    dry_density,
    free_water,
    porosity,
    wet_density,
)
from pourwright.materials.plaster.volumes import water_density


def mix(consistency: float) -> Plaster:
    return Plaster("plaster", consistency, "a test")


@given(st.floats(30, 120))
def test_a_mold_drinks_less_than_its_pores_and_more_than_nothing(consistency: float) -> None:
    plaster = mix(consistency)
    drinks = absorption(plaster)
    dry = wet_density(plaster) - free_water(plaster)

    assert 0 < drinks.low < drinks.likely < drinks.high < porosity(plaster) / dry


def test_a_wetter_mix_drinks_more_and_bears_less() -> None:
    plaster = Plaster("plaster", np.linspace(30, 120, 50), "a test")

    assert np.all(np.diff(absorption(plaster).likely) > 0)
    assert np.all(np.diff(dry_strength(plaster)) < 0)


def test_ordinary_mixes_stay_above_the_standards_least_strength() -> None:
    """ASTM C59/C59M-00, 5.1.2: 12.4 MPa for casting and molding plaster."""
    assert dry_strength(mix(74)) > 12.4 > dry_strength(mix(80))


@pytest.mark.parametrize(
    ("consistency", "likely"), [(60, 0.22), (65, 0.22), (69.5, 0.205), (74, 0.19), (90, 0.19)]
)
def test_expansion_falls_with_water_and_is_held_at_its_printed_ends(
    consistency: float, likely: float
) -> None:
    growth = setting_expansion(mix(consistency))

    assert 100 * growth.likely == pytest.approx(likely)
    assert (growth.low, growth.high) == (0.0015, 0.0030)


def test_low_expansion_plasters_grow_a_tenth_of_a_percent() -> None:
    """Two printed values: 0.08 and 0.13 %."""
    growth = setting_expansion(mix(38), low_expansion=True)

    assert (growth.low, growth.high) == (0.0008, 0.0013)
    assert growth.low < growth.likely < growth.high


def test_four_fifths_of_the_pores_are_reached_give_or_take_a_tenth() -> None:
    """0.80, 0.72 and 0.88 of the pores' water, the data sheets' 36 % and 44 % in view."""
    full = porosity(mix(70)) * water_density(20.0) / dry_density(mix(70))
    drinks = absorption(mix(70))

    shares = [end / full for end in (drinks.low, drinks.likely, drinks.high)]
    assert shares == pytest.approx([0.72, 0.80, 0.88], rel=1e-12)


def test_low_expansion_is_planned_with_the_middle() -> None:
    growth = setting_expansion(mix(38), low_expansion=True)

    assert growth.likely == pytest.approx((growth.low + growth.high) / 2)
