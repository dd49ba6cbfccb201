"""What a liter of slip holds."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from pourwright.errors import OutOfRange
from pourwright.materials.slip import basis as slip_basis
from pourwright.materials.slip import liter_weight as slip

SOLIDS = st.floats(2.3, 3.2)
WEIGHTS = st.floats(1050.0, 2100.0)


@given(WEIGHTS, SOLIDS)
def test_clay_and_water_fill_the_liter(weight: float, solids: float) -> None:
    """Volumes and masses of the two must add up to the liter and to what it weighs."""
    dry, water = slip.dry_kg_per_l(weight, solids), slip.water_kg_per_l(weight, solids)

    assert dry / solids + water == approx(1.0, rel=1e-12)
    assert 1000 * (dry + water) == approx(weight, rel=1e-12)


@given(WEIGHTS, SOLIDS)
def test_a_mix_weighed_and_mixed_again_is_the_same(weight: float, solids: float) -> None:
    """`liter_weight_of_mix` and the other way in undo the weighing."""
    dry, water = slip.dry_kg_per_l(weight, solids), slip.water_kg_per_l(weight, solids)
    share = slip.water_fraction(weight, solids)

    assert slip_basis.liter_weight_of_mix(dry, water, solids) == approx(weight, rel=1e-12)
    assert slip_basis.liter_weight_of_water_fraction(share, solids) == approx(weight, rel=1e-12)
    assert slip_basis.dry_basis(share) == approx(slip.water_to_dry(weight, solids), rel=1e-12)
    assert slip.solids_volume_fraction(weight, solids) == approx(dry / solids, rel=1e-12)


@given(WEIGHTS, st.floats(0.1, 50.0), SOLIDS)
def test_heavier_slip_holds_more_clay_and_less_water(
    weight: float, more: float, solids: float
) -> None:
    assert slip.dry_kg_per_l(weight + more, solids) > slip.dry_kg_per_l(weight, solids)
    assert slip.water_fraction(weight + more, solids) < slip.water_fraction(weight, solids)
    assert slip.water_to_dry(weight + more, solids) < slip.water_to_dry(weight, solids)


def test_arrays_give_what_floats_give() -> None:
    weights = np.array([1500.0, 1700.0, 1800.0])
    whole = slip.dry_kg_per_l(weights[:, None], np.array([2.5, 2.6]))

    assert np.shape(whole) == (3, 2)
    assert whole[1, 0] == approx(slip.dry_kg_per_l(1700.0, 2.5))


@pytest.mark.parametrize(
    ("typed", "hint"),
    [
        (1.75, "Is it a density? Then write 1750 g/l."),
        (36.0, "US pint or an imperial pint"),
        (180.0, "100 ml cup? Then write 1800 g/l."),
        (828.0, "a pint"),
        (2900.0, "zero"),
        (500.0, "must be between 1000 and 2600 g/l."),
    ],
)
def test_an_impossible_weight_names_the_slip_of_hand(typed: float, hint: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        slip.dry_kg_per_l(typed)

    assert hint in str(refused.value)
    assert str(refused.value).startswith(f"slip weight is {typed:g} g/l; it must be")


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), 1000.0, 2600.0, -1700.0])
def test_no_impossible_weight_passes(bad: float) -> None:
    for law in (slip.dry_kg_per_l, slip.water_fraction, slip.water_to_dry):
        with pytest.raises(OutOfRange):
            law(bad)
        with pytest.raises(OutOfRange):
            law(np.array([1750.0, bad]))


@pytest.mark.parametrize("bad", [float("nan"), 1.0, 2.1, 3.6])
def test_no_impossible_solids_pass(bad: float) -> None:
    with pytest.raises(OutOfRange, match="density of the dry solids"):
        slip.dry_kg_per_l(1750.0, bad)
    with pytest.raises(OutOfRange, match="density of the dry solids"):
        slip_basis.volume_of_mix_l(1.0, 1.0, bad)


@pytest.mark.parametrize(
    ("dry", "water"), [(-1.0, 1.0), (1.0, 0.0), (float("nan"), 1.0), (1.0, float("nan"))]
)
def test_no_impossible_mix_passes(dry: float, water: float) -> None:
    with pytest.raises(OutOfRange):
        slip_basis.liter_weight_of_mix(dry, water)


@pytest.mark.parametrize("bad", [-0.01, 1.0, float("nan")])
def test_no_impossible_share_passes(bad: float) -> None:
    with pytest.raises(OutOfRange):
        slip_basis.dry_basis(bad)
    with pytest.raises(OutOfRange):
        slip_basis.liter_weight_of_water_fraction(bad)
