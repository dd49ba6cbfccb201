"""What a mix weighs, fills and holds."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.errors import OutOfRange
from pourwright.materials.plaster.mix import (
    GYPSUM_FROM_PLASTER,
    GYPSUM_KG_PER_L,
    Plaster,
    batch_for_volume,
    batch_from_plaster,
    beyond_published,
    dry_density,
    free_water,
    free_water_fraction,
    mix_yield,
    own_yield,
    porosity,
    porosity_from_density,
    wet_density,
)

CONSISTENCIES = st.floats(25, 120)
VOLUMES = st.floats(0.01, 500)


def mix(consistency: float) -> Plaster:
    return Plaster("plaster", consistency, "a test")


@given(VOLUMES, CONSISTENCIES, st.floats(0, 0.5))
def test_a_batch_keeps_its_mass_and_its_ratio(
    volume: float, consistency: float, spare: float
) -> None:
    """What is weighed is what the volume weighs, and the ratio is the bag's."""
    batch = batch_for_volume(volume, mix(consistency), spare)

    assert batch.water_kg + batch.plaster_kg == pytest.approx(
        volume * (1 + spare) * wet_density(mix(consistency)), rel=1e-12
    )
    assert batch.water_kg / batch.plaster_kg == pytest.approx(consistency / 100, rel=1e-12)
    assert batch.volume_l == pytest.approx(volume * (1 + spare))


@given(st.floats(0.01, 500), CONSISTENCIES)
def test_plaster_to_volume_and_back(plaster_kg: float, consistency: float) -> None:
    forth = batch_from_plaster(plaster_kg, mix(consistency))
    back = batch_for_volume(forth.volume_l, mix(consistency))

    assert back.plaster_kg == pytest.approx(plaster_kg, rel=1e-12)
    assert back.water_kg == pytest.approx(forth.water_kg, rel=1e-12)


@given(CONSISTENCIES)
def test_gypsum_and_free_water_make_up_the_wet_mold(consistency: float) -> None:
    plaster = mix(consistency)

    assert dry_density(plaster) + free_water(plaster) == pytest.approx(
        wet_density(plaster), rel=1e-12
    )
    assert free_water_fraction(plaster) == pytest.approx(
        free_water(plaster) / wet_density(plaster), rel=1e-12
    )
    assert porosity(plaster) == pytest.approx(1 - dry_density(plaster) / GYPSUM_KG_PER_L, rel=1e-12)


@given(CONSISTENCIES, st.floats(0.9, 1.1))
def test_the_studios_yield_changes_densities_and_not_the_chemistry(
    consistency: float, off: float
) -> None:
    computed = mix(consistency)
    own = own_yield(computed, 2.0, 2.0 * float(mix_yield(computed)) * off)

    assert free_water_fraction(own) == free_water_fraction(computed)
    assert wet_density(own) == pytest.approx(wet_density(computed) / off, rel=1e-3)
    assert dry_density(own) == pytest.approx(GYPSUM_FROM_PLASTER / own.yield_l_per_kg, rel=1e-9)


def test_more_water_makes_a_lighter_more_porous_mold() -> None:
    plaster = Plaster("plaster", np.linspace(25, 120, 96), "a test")

    for law, sign in (
        (wet_density, -1),
        (dry_density, -1),
        (mix_yield, 1),
        (free_water, 1),
        (free_water_fraction, 1),
        (porosity, 1),
    ):
        assert np.all(sign * np.diff(law(plaster)) > 0), law.__name__


def test_arrays_give_what_numbers_give() -> None:
    many = batch_for_volume(
        np.array([1.0, 2.5]), Plaster("p", np.array([60.0, 80.0]), "a test"), 0.05
    )
    one = batch_for_volume(2.5, mix(80), 0.05)

    assert many.water_kg[1] == pytest.approx(one.water_kg)
    assert many.plaster_kg[1] == pytest.approx(one.plaster_kg)
    assert many.volume_l[1] == pytest.approx(one.volume_l)


def test_several_weighed_batches_count_by_their_plaster() -> None:
    own = own_yield(mix(70), np.array([1.0, 3.0]), np.array([1.1, 3.1]))

    assert own.yield_l_per_kg == pytest.approx(4.2 / 4.0)
    assert own.source == "a test; 2 weighed batches"
    assert own_yield(mix(70), 1.0, 1.1).source == "a test; one weighed batch"


@pytest.mark.parametrize(
    ("consistency", "beyond"), [(31.9, True), (32, False), (74, False), (74.1, True)]
)
def test_mixes_without_a_published_density_are_flagged(consistency: float, beyond: bool) -> None:
    assert beyond_published(mix(consistency)) is beyond


@pytest.mark.parametrize("consistency", [0.7, 24.9, 120.1, -70, np.nan, np.inf])
def test_an_impossible_mix_is_refused_with_the_likely_slip(consistency: float) -> None:
    with pytest.raises(OutOfRange, match=r"between 25 and 120.*a ratio of 0\.7 is written 70"):
        mix(consistency)


@pytest.mark.parametrize("off", [0.79, 1.21, np.nan, -1.0])
def test_a_yield_far_from_the_computed_one_is_refused(off: float) -> None:
    with pytest.raises(OutOfRange, match=r"within a fifth of the computed 1\.07"):
        Plaster("p", 70, "a test", yield_l_per_kg=1.074 * off)


@pytest.mark.parametrize("bad", [0.0, -1.0, np.nan, np.inf])
def test_nothing_is_mixed_for_no_volume(bad: float) -> None:
    with pytest.raises(OutOfRange, match="volume to fill"):
        batch_for_volume(bad, mix(70))
    with pytest.raises(OutOfRange, match="plaster at hand"):
        batch_from_plaster(bad, mix(70))
    with pytest.raises(OutOfRange, match="plaster in the batch"):
        own_yield(mix(70), bad, 1.0)
    with pytest.raises(OutOfRange, match="volume of the batch"):
        own_yield(mix(70), 1.0, bad)


@pytest.mark.parametrize("bad", [-0.01, 0.51, 5.0, np.nan])
def test_a_spare_in_percent_is_refused(bad: float) -> None:
    with pytest.raises(OutOfRange, match=r"5 % is written 0\.05"):
        batch_for_volume(1.0, mix(70), bad)


@pytest.mark.parametrize("bad", [0.0, 2.32, 2.5, 1104.0, np.nan])
def test_a_density_that_no_porous_gypsum_has_is_refused(bad: float) -> None:
    with pytest.raises(OutOfRange, match="density of the dry plaster"):
        porosity_from_density(bad)


@pytest.mark.parametrize("off", [0.801, 1.0, 1.199])
def test_a_yield_within_a_fifth_is_the_studios_own(off: float) -> None:
    computed = float(mix_yield(mix(70)))

    assert mix_yield(Plaster("p", 70, "a test", yield_l_per_kg=computed * off)) == computed * off


def test_a_yield_a_little_beyond_a_fifth_is_refused() -> None:
    computed = float(mix_yield(mix(70)))
    for off in (0.799, 1.201):
        with pytest.raises(OutOfRange, match="yield of the plaster"):
            Plaster("p", 70, "a test", yield_l_per_kg=computed * off)


def test_a_bag_is_mixed_whole() -> None:
    """By hand at consistency 70: 22.7 kg of plaster take 15.89 kg of water."""
    batch = batch_from_plaster(22.7, mix(70))

    assert (batch.plaster_kg, batch.water_kg) == (22.7, pytest.approx(15.89))
