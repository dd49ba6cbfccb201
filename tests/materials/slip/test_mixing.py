"""Thinning, stiffening and making slip: what goes in is what comes out."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pytest import approx

from pourwright.errors import OutOfRange
from pourwright.materials.slip import (
    batches as slip_batches,
)
from pourwright.materials.slip import (
    liter_weight as slip,
)
from pourwright.materials.slip import (
    mixing as slip_mixing,
)
from pourwright.materials.slip import (
    reading as slip_reading,
)
from pourwright.materials.slip import (
    returns as slip_returns,
)

VOLUMES = st.floats(0.1, 200.0)
SOLIDS = st.floats(2.4, 2.8)
DAMP = st.floats(0.0, 0.22)


def masses(volume: float, weight: float, solids: float = 2.6) -> tuple[float, float]:
    """Return clay and water of a slip."""
    return (
        float(volume * slip.dry_kg_per_l(weight, solids)),
        float(volume * slip.water_kg_per_l(weight, solids)),
    )


@given(VOLUMES, st.floats(1500.0, 1790.0), st.floats(1.0, 100.0), SOLIDS)
def test_thinning_keeps_the_clay_and_adds_the_water(
    volume: float, to: float, less: float, solids: float
) -> None:
    added = slip_mixing.thin(volume, to + less, to)
    clay, water = masses(volume, to + less, solids)

    assert masses(added.makes_l, to, solids) == (
        approx(clay, rel=1e-9),
        approx(water + added.water_kg, rel=1e-9),
    )
    assert added.clay_kg == 0


@given(VOLUMES, st.floats(1500.0, 1750.0), st.floats(1.0, 100.0), DAMP, SOLIDS)
def test_stiffening_adds_what_the_clay_brings(
    volume: float, start: float, more: float, damp: float, solids: float
) -> None:
    added = slip_mixing.stiffen(volume, start, start + more, damp, solids)
    clay, water = masses(volume, start, solids)

    assert masses(added.makes_l, start + more, solids) == (
        approx(clay + added.clay_kg * (1 - damp), rel=1e-9),
        approx(water + added.clay_kg * damp, rel=1e-9),
    )
    assert added.water_kg == 0
    assert added.clay_kg > 0


def test_the_usual_examples_come_out() -> None:
    """Balances worked by hand: 10 l from 1850 to 1780, and from 1700 to 1780 at S 2.6."""
    assert slip_mixing.thin(10.0, 1850.0, 1780.0).water_kg == approx(0.897, abs=5e-4)
    dry = slip_mixing.stiffen(10.0, 1700.0, 1780.0)
    assert (dry.clay_kg, dry.makes_l) == (approx(2.537, abs=5e-4), approx(10.976, abs=5e-4))
    damp = slip_mixing.stiffen(10.0, 1700.0, 1780.0, 0.2)
    assert damp.clay_kg > dry.clay_kg / 0.8  # its water must be made good by yet more clay
    assert slip_mixing.thin(10.0, 1780.0, 1780.0).water_kg == 0
    assert slip_mixing.stiffen(10.0, 1780.0, 1780.0).clay_kg == 0


@given(VOLUMES, st.floats(1550.0, 1850.0), DAMP, SOLIDS)
def test_a_batch_holds_what_went_in(
    volume: float, weight: float, damp: float, solids: float
) -> None:
    batch = slip_batches.make_slip(volume, weight, damp, solids)
    clay, water = masses(volume, weight, solids)

    assert batch.clay_kg * (1 - damp) == approx(clay, rel=1e-9)
    assert batch.clay_kg * damp + batch.water_kg == approx(water, rel=1e-9)
    assert batch.makes_l == volume
    again = slip_batches.slip_from_clay(batch.clay_kg, weight, damp, solids)
    assert (again.makes_l, again.water_kg) == (
        approx(volume, rel=1e-9),
        approx(batch.water_kg, rel=1e-9, abs=1e-9),
    )
    assert again.clay_kg == batch.clay_kg


@given(VOLUMES, st.floats(0.05, 0.9), st.floats(1600.0, 1800.0), DAMP)
def test_returns_are_counted_in(volume: float, share: float, returned: float, damp: float) -> None:
    wanted = 1780.0
    assume(_possible(share, returned, wanted, damp))
    batch = slip_batches.make_slip_with_returns(volume, wanted, share * volume, returned, damp)
    clay, water = masses(share * volume, returned)
    whole = masses(volume, wanted)

    assert clay + batch.clay_kg * (1 - damp) == approx(whole[0], rel=1e-9)
    assert water + batch.clay_kg * damp + batch.water_kg == approx(whole[1], rel=1e-9)


def _possible(share: float, returned: float, wanted: float, damp: float) -> bool:
    """Say whether returns leave room for clay and water."""
    clay, water = masses(share, returned)
    dry = masses(1.0, wanted)[0] - clay
    return dry >= 0 and masses(1.0, wanted)[1] - water - dry / (1 - damp) * damp >= 0


def test_returns_that_hold_too_much_are_refused() -> None:
    with pytest.raises(OutOfRange, match="clay still wanted .* thin them first"):
        slip_batches.make_slip_with_returns(10.0, 1700.0, 10.0, 1800.0)
    with pytest.raises(OutOfRange, match="water still wanted .* stiffen them first"):
        slip_batches.make_slip_with_returns(10.0, 1800.0, 9.9, 1600.0)
    with pytest.raises(OutOfRange, match="returned slip"):
        slip_batches.make_slip_with_returns(10.0, 1800.0, 10.1, 1800.0)


def test_the_wrong_direction_is_refused() -> None:
    with pytest.raises(OutOfRange, match="To go up, add clay"):
        slip_mixing.thin(10.0, 1700.0, 1750.0)
    with pytest.raises(OutOfRange, match="To go down, add water"):
        slip_mixing.stiffen(10.0, 1750.0, 1700.0)


@pytest.mark.parametrize("damp", [0.31, 1.0, -0.01, float("nan")])
def test_clay_wetter_than_the_slip_is_refused(damp: float) -> None:
    """Slip of 1750 g/l holds 30.4 % of water at S 2.6."""
    with pytest.raises(OutOfRange, match="less than the slip's own 0.304"):
        slip_batches.make_slip(10.0, 1750.0, damp)
    with pytest.raises(OutOfRange, match="less than the slip's own 0.304"):
        slip_mixing.stiffen(10.0, 1700.0, 1750.0, damp)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_no_impossible_amount_passes(bad: float) -> None:
    for law in (
        lambda: slip_mixing.thin(bad, 1800.0, 1750.0),
        lambda: slip_mixing.stiffen(bad, 1700.0, 1750.0),
        lambda: slip_batches.make_slip(bad, 1750.0),
        lambda: slip_batches.slip_from_clay(bad, 1750.0),
        lambda: slip_batches.make_slip_with_returns(bad, 1750.0, 1.0, 1750.0),
        lambda: slip_batches.deflocculant_kg(bad, 0.003),
    ):
        with pytest.raises(OutOfRange):
            law()


@pytest.mark.parametrize("share", [0.3, -0.001, float("nan")])
def test_a_dose_in_per_cent_is_refused(share: float) -> None:
    with pytest.raises(OutOfRange, match="0.3 % is 0.003"):
        slip_batches.deflocculant_kg(25.0, share)


def test_arrays_are_mixed_as_floats_are() -> None:
    volumes = np.array([1.0, 10.0])
    many = slip_batches.make_slip(volumes, 1750.0, 0.2)

    assert np.asarray(many.clay_kg)[1] == approx(slip_batches.make_slip(10.0, 1750.0, 0.2).clay_kg)
    assert np.asarray(slip_mixing.thin(volumes, 1800.0, 1750.0).clay_kg).tolist() == [0, 0]


@given(st.floats(0.0, 5.0), st.floats(0.02, 1.0), st.integers(0, 60))
def test_what_returns_carry_is_a_sum_of_rounds(picked: float, used: float, rounds: int) -> None:
    """The closed form is the tank worked round by round."""
    level = 0.0
    for _ in range(rounds):
        level = (level + picked) * (1 - used)

    assert slip_returns.carried_over(picked, used, rounds) == approx(level, rel=1e-9, abs=1e-12)
    assert slip_returns.rounds_in_the_tank(used, rounds) * picked == approx(
        level, rel=1e-9, abs=1e-12
    )


@pytest.mark.parametrize("values", [(-1.0, 0.1, 1.0), (1.0, 0.0, 1.0), (1.0, 1.1, 1.0),
                                    (1.0, 0.1, -1.0), (1.0, float("nan"), 1.0)])  # fmt: skip
def test_no_impossible_tank_passes(values: tuple[float, float, float]) -> None:
    with pytest.raises(OutOfRange):
        slip_returns.carried_over(*values)


@pytest.mark.parametrize("solids", [2.4, 2.8])
def test_returns_of_another_clay_are_counted_with_its_own_density(solids: float) -> None:
    """Mass balance with solids of 2.4 and 2.8 kg/l, clay of a tenth water."""
    batch = slip_batches.make_slip_with_returns(10.0, 1780.0, 3.0, 1700.0, 0.1, solids)
    (had_clay, had_water), (clay, water) = masses(3.0, 1700.0, solids), masses(10.0, 1780.0, solids)

    assert had_clay + 0.9 * batch.clay_kg == approx(clay, rel=1e-12)
    assert had_water + 0.1 * batch.clay_kg + batch.water_kg == approx(water, rel=1e-12)
    assert batch.makes_l == 10.0


def test_returns_may_be_all_the_slip_but_not_none() -> None:
    for returns in (10.0, 4.0):
        slip_batches.make_slip_with_returns(10.0, 1750.0, returns, 1750.0)
    whole = slip_batches.make_slip_with_returns(10.0, 1750.0, 10.0, 1750.0)
    assert (whole.clay_kg, whole.water_kg) == (0.0, 0.0)
    with pytest.raises(OutOfRange, match="returned slip is 0 l"):
        slip_batches.make_slip_with_returns(10.0, 1750.0, 0.0, 1750.0)


def test_dry_clay_is_what_is_mixed_unless_its_water_is_told() -> None:
    """By hand, S 2.6: a liter of 1780 g/l holds 0.78 x 2.6 / 1.6 = 1.2675 kg of dry clay."""
    batch = slip_batches.make_slip(1.0, 1780.0)

    assert (batch.clay_kg, batch.water_kg) == (approx(1.2675), approx(0.5125))


@pytest.mark.parametrize("damp", [0.25, 0.28])
def test_how_damp_clay_may_be_goes_by_its_own_density(damp: float) -> None:
    """1800 g/l of solids 2.4 holds 23.8 % of water (1.3714 kg dry); of 2.8, 30.9 % (1.2444 kg)."""
    for law in (
        lambda solids: slip_batches.make_slip(10.0, 1800.0, damp, solids),
        lambda solids: slip_batches.make_slip_with_returns(10.0, 1800.0, 1.0, 1800.0, damp, solids),
    ):
        assert law(2.8).clay_kg > 0
        with pytest.raises(OutOfRange, match="less than the slip's own 0.238"):
            law(2.4)


def test_slip_of_dense_clay_may_be_heavier_than_the_usual_clay() -> None:
    """2700 g/l is more than clay of 2.6 kg/l weighs, and possible with heavier solids."""
    assert slip_mixing.thin(1.0, 2700.0, 2650.0).water_kg == approx(0.05 / 1.65)
    assert slip_mixing.stiffen(1.0, 2650.0, 2700.0, 0.0, 3.4).clay_kg == approx(
        0.05 / (1 - 2.7 / 3.4)
    )
    judged = slip_reading.judge_mix_reading(2700.0, 7.0, 3.0)
    assert judged.verdict == "too heavy"
