"""Pints in ounces, degrees Baume and Twaddell, and readings that cannot be true."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from pourwright.errors import OutOfRange
from pourwright.materials.slip import (
    basis as slip_basis,
)
from pourwright.materials.slip import (
    reading as slip_reading,
)
from pourwright.materials.slip import (
    scales as slip_scales,
)

PINTS = st.sampled_from(["US", "imperial"])
WEIGHTS = st.floats(1050.0, 2100.0)


def test_the_two_pints_are_a_fifth_apart() -> None:
    """4 imperial quarts are 1.20095 US quarts each, by the two legal definitions."""
    ratio = slip_scales.PINT_L["imperial"] / slip_scales.PINT_L["US"]

    assert ratio == approx(1.20095, abs=5e-6)
    assert slip_scales.pint_weight_oz(1780.0, "imperial") == approx(35.68, abs=0.005)
    assert slip_scales.pint_weight_oz(1780.0, "US") == approx(29.71, abs=0.005)


@given(st.floats(1.0, 2.5))
def test_degrees_undo_each_other(density: float) -> None:
    baume = slip_scales.baume_degrees(density)
    twaddell = slip_scales.twaddell_degrees(density)

    assert slip_scales.density_of_baume(baume) == approx(density, rel=1e-12)
    assert slip_scales.density_of_twaddell(twaddell) == approx(density, rel=1e-12)


def test_older_baume_scales_read_as_the_notes_say() -> None:
    """144 and 146.78 in place of 145 (CRC Handbook): 0.43 lower and 0.76 higher at 1.75."""
    ours = slip_scales.baume_degrees(1.75)

    assert 144 - 144 / 1.75 - ours == approx(-0.43, abs=0.005)
    assert 146.78 - 146.78 / 1.75 - ours == approx(0.76, abs=0.005)


@pytest.mark.parametrize("bad", [0.99, 3.01, float("nan")])
def test_no_impossible_density_passes(bad: float) -> None:
    for law in (slip_scales.baume_degrees, slip_scales.twaddell_degrees):
        with pytest.raises(OutOfRange):
            law(np.array([1.2, bad]))
    for law in (slip_scales.density_of_baume, slip_scales.density_of_twaddell):
        with pytest.raises(OutOfRange):
            law(-1.0)
        with pytest.raises(OutOfRange):
            law(float("nan"))
        with pytest.raises(OutOfRange):
            law(401.0)


@given(st.floats(0.0, 0.2), st.floats(0.35, 1.0))
def test_air_makes_a_slip_lighter_by_its_share(air: float, ratio: float) -> None:
    """Air weighs nothing: a slip of solids 2.4 with air in it is that much lighter."""
    low = slip_basis.liter_weight_of_mix(1.0, ratio, 2.4)
    reading = slip_reading.judge_mix_reading(float(low) * (1 - air), 1.0, ratio)

    assert reading.air_low == approx(air, abs=1e-12)
    assert reading.air_high > reading.air_low
    assert reading.verdict in ({"too light"} if air > 1e-9 else {"fits", "too light"})


@pytest.mark.parametrize(("weight", "verdict", "advice"), [
    (1590.0, "too light", "air"), (1700.0, "fits", ""), (1760.0, "too heavy", "zero"),
])  # fmt: skip
def test_a_reading_is_judged_by_its_recipe(weight: float, verdict: str, advice: str) -> None:
    """Ten of clay to five of water: 1636 to 1750 g/l for solids of 2.4 to 2.8."""
    reading = slip_reading.judge_mix_reading(weight, 10.0, 5.0)

    assert reading.verdict == verdict
    assert advice in reading.advice
    assert bool(advice) == bool(reading.advice)
    assert (reading.expected_low_g_per_l, reading.expected_high_g_per_l) == (
        approx(1636.4, abs=0.1),
        approx(1750.0, abs=0.1),
    )


def test_a_reading_that_cannot_be_is_refused() -> None:
    slip_reading.require_true_reading(1700.0, 10.0, 5.0)
    with pytest.raises(OutOfRange, match="between 1636 and 1750 g/l. It holds air"):
        slip_reading.require_true_reading(1585.0, 10.0, 5.0)
    with pytest.raises(OutOfRange, match="between 1636 and 1750 g/l. Check that the scale"):
        slip_reading.require_true_reading(1790.0, 10.0, 5.0)
    with pytest.raises(OutOfRange, match="100 ml cup"):
        slip_reading.require_true_reading(170.0, 10.0, 5.0)


def test_a_reading_on_the_edge_of_its_recipe_fits() -> None:
    """By hand: 7 kg of clay and 3 kg of water are 10 kg in 7/S + 3 liters."""
    low, high = 10_000 / (7 / 2.4 + 3), 10_000 / (7 / 2.8 + 3)
    seen = slip_reading.judge_mix_reading(1750.0, 7.0, 3.0)

    assert (seen.expected_low_g_per_l, seen.expected_high_g_per_l) == (approx(low), approx(high))
    for edge in (seen.expected_low_g_per_l, seen.expected_high_g_per_l):
        assert slip_reading.judge_mix_reading(edge, 7.0, 3.0).verdict == "fits"
    heavy = slip_reading.judge_mix_reading(high + 1, 7.0, 3.0)
    assert (heavy.verdict, heavy.air_low, heavy.air_high) == ("too heavy", 0.0, 0.0)
