"""Rubber for masters."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.errors import OutOfRange
from pourwright.materials.rubber import most_rubber_at_a_time, rubber_batch, rubber_mass


@given(
    st.floats(0.01, 50),
    st.floats(0.8, 1.6),
    st.floats(0.5, 200),
    st.floats(0, 0.3),
    st.floats(0, 0.5),
)
def test_base_hardener_and_filler_fill_the_gap(
    volume: float, density: float, parts: float, reclaimed: float, spare: float
) -> None:
    """Mass is kept, and the ratio is the data sheet's."""
    batch = rubber_batch(volume, density, parts, reclaimed=reclaimed, spare=spare)

    assert batch.total_kg == pytest.approx(volume * density * (1 + spare), rel=1e-12)
    assert batch.hardener_kg == pytest.approx(batch.base_kg * parts / 100, rel=1e-9)
    assert batch.base_kg + batch.hardener_kg == pytest.approx(
        rubber_mass(volume, density, reclaimed=reclaimed, spare=spare)
    )


@pytest.mark.parametrize(
    ("volume", "density", "reclaimed", "spare", "match"),
    [
        (0.0, 1.1, 0.0, 0.0, "volume of rubber"),
        (np.nan, 1.1, 0.0, 0.0, "volume of rubber"),
        (1.0, 1100.0, 0.0, 0.0, r"1100 kg/m3 is written 1\.1"),
        (1.0, np.nan, 0.0, 0.0, "density of the rubber"),
        (1.0, 1.1, 0.31, 0.0, r"between 0 and 0\.3 of the volume"),
        (1.0, 1.1, 0.0, 5.0, r"5 % is written 0\.05"),
    ],
)
def test_impossible_masters_are_refused(
    volume: float, density: float, reclaimed: float, spare: float, match: str
) -> None:
    with pytest.raises(OutOfRange, match=match):
        rubber_mass(volume, density, reclaimed=reclaimed, spare=spare)


@pytest.mark.parametrize("parts", [0.4, 201.0, np.nan])
def test_impossible_mix_ratios_are_refused(parts: float) -> None:
    with pytest.raises(OutOfRange, match="1:1 is 100; 10:1 is 10"):
        rubber_batch(1.0, 1.1, parts)


@given(st.floats(2, 600), st.floats(0, 1), st.floats(0.1, 60))
def test_the_largest_batch_is_poured_with_a_fifth_of_the_pot_life_left(
    pot_life: float, share: float, pouring: float
) -> None:
    mixing = 0.79 * pot_life * share
    batch = most_rubber_at_a_time(pot_life, mixing, pouring)

    assert mixing + batch * pouring == pytest.approx(0.8 * pot_life)


@pytest.mark.parametrize(
    ("pot_life", "mixing", "pouring", "match"),
    [
        (0.5, 0.1, 1.0, "pot life"),
        (np.nan, 0.1, 1.0, "pot life"),
        (30.0, 24.0, 1.0, "four fifths of the pot life"),
        (30.0, -1.0, 1.0, "mixing time"),
        (30.0, np.nan, 1.0, "mixing time"),
        (30.0, 5.0, 0.0, "time to pour a kilogram"),
    ],
)
def test_rubber_that_cannot_be_poured_in_time_is_refused(
    pot_life: float, mixing: float, pouring: float, match: str
) -> None:
    with pytest.raises(OutOfRange, match=match):
        most_rubber_at_a_time(pot_life, mixing, pouring)


def test_the_slowest_and_the_quickest_rubber_are_taken() -> None:
    """A pot life of 1 to 600 minutes, and 0.1 to 60 minutes to pour a kilogram."""
    for pot_life, pouring in ((1.0, 0.1), (600.0, 0.1), (600.0, 60.0)):
        assert most_rubber_at_a_time(pot_life, 0.1, pouring) > 0
    for pot_life, pouring in ((0.99, 0.1), (601.0, 1.0), (600.0, 60.5), (600.0, 0.09)):
        with pytest.raises(OutOfRange):
            most_rubber_at_a_time(pot_life, 0.1, pouring)


def test_a_cavity_takes_its_volume_in_rubber_and_no_more_unless_told() -> None:
    """By hand: 2 l at 1.1 kg/l are 2.2 kg, ten parts in a hundred and ten of it hardener."""
    batch = rubber_batch(2.0, 1.1, 10.0)

    assert rubber_mass(2.0, 1.1) == pytest.approx(2.2)
    assert batch.hardener_kg + batch.base_kg == pytest.approx(2.2)
    assert batch.hardener_kg == pytest.approx(0.2)
