"""Ceilings of wear."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.errors import OutOfRange
from pourwright.materials.plaster.mix import (
    GYPSUM_G_PER_MOL,
    Plaster,
    dry_density,
)
from pourwright.materials.plaster.wear import (
    JUDGE_EVERY_CASTS,
    SODA_ASH_G_PER_MOL,
    dissolved_depth,
    exchanged_depth,
    gypsum_solubility,
)

MIX = Plaster("plaster", 70, "a test")


@given(st.floats(0, 5), st.floats(0, 50))
def test_the_depth_holds_the_gypsum_that_the_water_takes(water: float, t: float) -> None:
    """Mass: a micrometer of a square meter is a milliliter of plaster."""
    grams = dissolved_depth(water, MIX, t) * dry_density(MIX)

    assert grams == pytest.approx(water * gypsum_solubility(t), rel=1e-12)


@given(st.floats(0, 10), st.floats(0, 0.02))
def test_one_molecule_of_soda_takes_one_of_gypsum(clay: float, soda: float) -> None:
    moles = clay * 1000 * soda / SODA_ASH_G_PER_MOL
    grams = exchanged_depth(clay, soda, MIX) * dry_density(MIX)

    assert grams == pytest.approx(moles * GYPSUM_G_PER_MOL, rel=1e-9, abs=1e-12)


def test_a_hundred_casts_may_take_a_quarter_of_a_millimeter_at_most() -> None:
    """A 5 mm wall gives about 1.1 kg of water to a square meter."""
    assert 100 * dissolved_depth(1.1, MIX) == pytest.approx(260, abs=10)


def test_a_wetter_mix_wears_faster() -> None:
    mixes = Plaster("plaster", np.linspace(30, 120, 40), "a test")

    assert np.all(np.diff(dissolved_depth(1.0, mixes)) > 0)
    assert np.all(np.diff(exchanged_depth(3.0, 0.002, mixes)) > 0)


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: gypsum_solubility(-0.1), "water temperature"),
        (lambda: gypsum_solubility(50.1), "water temperature"),
        (lambda: dissolved_depth(-0.1, MIX), "water to the mold"),
        (lambda: dissolved_depth(np.inf, MIX), "water to the mold"),
        (lambda: dissolved_depth(np.nan, MIX), "water to the mold"),
        (lambda: exchanged_depth(-1.0, 0.002, MIX), "dry clay"),
        (lambda: exchanged_depth(np.nan, 0.002, MIX), "dry clay"),
        (lambda: exchanged_depth(3.0, 0.2, MIX), r"0\.2 % is written 0\.002"),
    ],
)
def test_impossible_casts_are_refused(call: object, match: str) -> None:
    with pytest.raises(OutOfRange, match=match):
        call()  # type: ignore[operator]


def test_a_kilogram_of_water_at_25_degrees_unless_told() -> None:
    assert dissolved_depth(1.0, MIX) == dissolved_depth(1.0, MIX, 25.0)
    assert dissolved_depth(1.0, MIX) == pytest.approx(2.598 / 1.1044, rel=1e-3)
    assert JUDGE_EVERY_CASTS == 5
    assert exchanged_depth(3.0, 0.02, MIX) > 0
