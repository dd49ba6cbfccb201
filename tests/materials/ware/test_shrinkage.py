"""Shrinkage of clay, and the way from the original to the fired piece and back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from pourwright.errors import NotDoable, OutOfRange
from pourwright.materials.ware import dimension_chain as chain
from pourwright.materials.ware import fired_body, shrinkage

DRY = st.floats(0.0, 0.12)
FIRED = st.floats(0.0, 0.16)
BASES = st.sampled_from(["dry", "wet", "total"])
LENGTHS = st.floats(1.0, 900.0)


@given(DRY, st.floats(0.13, 0.25))
def test_one_bar_told_in_three_ways_is_one_bar(dry: float, total: float) -> None:
    """From wet, dry and fired lengths, each base by its own definition (ASTM C326)."""
    wet, dried, fired = 1.0, 1 - dry, 1 - total
    told = {
        "dry": (dried - fired) / dried,
        "wet": (dried - fired) / wet,
        "total": (wet - fired) / wet,
    }

    for base, figure in told.items():
        assert shrinkage.total_shrinkage(dry, figure, base) == approx(total, abs=1e-12)
        assert shrinkage.clay_factors(dry, figure, base)[0] == approx(dried)


def test_shrinkages_compound() -> None:
    assert shrinkage.total_shrinkage(0.06, 0.06, "dry") == approx(0.1164, abs=1e-9)
    assert shrinkage.total_shrinkage(0.06, 0.08, "dry") == approx(0.1352, abs=1e-9)
    assert shrinkage.total_shrinkage(0.06, 0.06, "wet") == approx(0.12, abs=1e-9)
    assert shrinkage.total_shrinkage(0.06, 0.12, "total") == approx(0.12, abs=1e-9)


@given(DRY, FIRED, LENGTHS, st.floats(0.0, 0.01), st.floats(0.0, 0.005), st.booleans())
def test_the_way_back_is_the_way_there(
    dry: float, fired: float, length: float, rubber: float, plaster: float, block: bool
) -> None:
    steps = chain.dimension_chain(
        dry=dry, fired=fired, fired_on="dry", rubber_shrinkage=rubber,
        plaster_expansion=plaster, block_mold=block,
    )  # fmt: skip
    there = chain.length_after(length, steps)

    assert chain.length_before(there, steps) == approx(length, rel=1e-12)
    assert chain.lengths_along(length, steps)[0] == length
    assert chain.lengths_along(length, steps)[-1] == approx(there, rel=1e-12)
    assert there == approx(
        length * (1 + plaster) ** (2 if block else 1) * (1 - rubber) * (1 - dry) * (1 - fired)
    )


def test_every_step_has_its_name() -> None:
    steps = chain.dimension_chain(dry=0.03, fired=0.09, fired_on="dry", rubber_shrinkage=0.001)
    names = [step.name for step in steps]

    assert names == ["original", "block mold", "master", "mold", "clay", "dry", "fired"]
    assert [step.factor for step in steps] == [1.0, 1.002, approx(0.999), 1.002, 1.0, 0.97, 0.91]
    short = chain.dimension_chain(dry=0.03, fired=0.09, fired_on="dry", block_mold=False)
    assert "block mold" not in [step.name for step in short]


def test_a_finished_length_asks_for_a_longer_original() -> None:
    """A total of 12 % wants 113.64 mm for 100 (the factor 1 / (1 - S))."""
    steps = (chain.ChainStep("dry", 0.94), chain.ChainStep("fired", 0.88 / 0.94))

    assert chain.length_before(100.0, steps) == approx(113.636, abs=5e-4)
    assert chain.whole_factor(()) == 1.0


def test_the_chain_takes_arrays() -> None:
    steps = chain.dimension_chain(dry=np.array([0.02, 0.04]), fired=0.08, fired_on="wet")

    assert list(chain.length_after(100.0, steps)) == [
        approx(100 * 1.002**2 * 0.90),
        approx(100 * 1.002**2 * 0.88),
    ]


def test_the_base_is_asked_for() -> None:
    with pytest.raises(NotDoable, match='told on "wet length"; say "dry"'):
        shrinkage.clay_factors(0.03, 0.09, "wet length")  # type: ignore[arg-type]


@pytest.mark.parametrize(("dry", "fired", "base", "says"), [
    (6.0, 0.06, "dry", "dry shrinkage is 6;.* Is it in per cent\\? Then write 0.06."),
    (0.06, 12.0, "dry", "fired shrinkage is 12;.* Then write 0.12."),
    (0.2, 0.06, "dry", "less than 0.2"),
    (0.06, 0.3, "dry", "less than 0.3"),
    (-0.01, 0.06, "dry", "dry shrinkage"),
    (0.06, -0.01, "dry", "fired shrinkage"),
    (float("nan"), 0.06, "dry", "dry shrinkage"),
    (0.06, float("nan"), "wet", "fired shrinkage"),
    (0.06, 0.05, "total", "total shrinkage is 0.05;.* at least 0.06"),
])  # fmt: skip
def test_no_impossible_shrinkage_passes(
    dry: float, fired: float, base: shrinkage.FiredOn, says: str
) -> None:
    with pytest.raises(OutOfRange, match=says):
        shrinkage.clay_factors(dry, fired, base)


@pytest.mark.parametrize("bad", [0.06, -0.001, float("nan")])
def test_no_impossible_step_passes(bad: float) -> None:
    for name in ("rubber_shrinkage", "plaster_expansion"):
        with pytest.raises(OutOfRange):
            chain.dimension_chain(dry=0.03, fired=0.09, fired_on="dry", **{name: bad})
    for law in (chain.length_after, chain.length_before):
        with pytest.raises(OutOfRange):
            law(min(bad, -bad), ())


@given(st.floats(0.5, 1.0))
def test_capacity_is_the_cube(factor: float) -> None:
    assert shrinkage.volume_factor(factor) == approx(factor * factor * factor)
    with pytest.raises(OutOfRange):
        shrinkage.volume_factor(-factor)


def test_a_tenth_shorter_holds_a_quarter_less() -> None:
    assert 1 - shrinkage.volume_factor(0.9) == approx(0.271)


def test_firing_loses_the_clays_own_water() -> None:
    assert shrinkage.fired_mass_kg(1.0, 0.1) == approx(0.9)
    for bad in (-0.1, 0.41, float("nan")):
        with pytest.raises(OutOfRange):
            shrinkage.fired_mass_kg(1.0, bad)
    with pytest.raises(OutOfRange):
        shrinkage.fired_mass_kg(0.0, 0.1)


@given(st.floats(0.1, 0.4), st.floats(0.05, 1.0), st.floats(2.3, 3.0))
def test_a_drying_cast_loses_as_much_volume_as_water(
    cast: float, share: float, solids: float
) -> None:
    """One kilogram of dry clay with its water: the volumes before and after, worked out."""
    critical = share * cast
    before = 1 / solids + cast / (1 - cast)
    after = 1 / solids + critical / (1 - critical)

    shrunk = shrinkage.dry_shrinkage_from_moisture(cast, critical, solids)
    assert (1 - shrunk) ** 3 == approx(after / before, rel=1e-9)
    assert shrunk >= 0


def test_moisture_limits_hold() -> None:
    assert shrinkage.dry_shrinkage_from_moisture(0.2, 0.16) == approx(0.0323, abs=5e-5)
    assert shrinkage.dry_shrinkage_from_moisture(0.2, 0.14) == approx(0.0481, abs=5e-5)
    assert shrinkage.dry_shrinkage_from_moisture(0.2, 0.2) == 0
    for cast, critical in ((0.2, 0.21), (0.2, -0.01), (0.61, 0.1), (float("nan"), 0.1),
                           (0.2, float("nan"))):  # fmt: skip
        with pytest.raises(OutOfRange):
            shrinkage.dry_shrinkage_from_moisture(cast, critical)
    with pytest.raises(OutOfRange):
        shrinkage.dry_shrinkage_from_moisture(0.2, 0.1, 2.0)


# --- fired bodies


@given(st.floats(0.05, 5.0), st.floats(0.0, 0.45), st.floats(2.2, 2.8))
def test_three_weighings_find_a_body_that_was_made_up(
    dry: float, porosity: float, solid: float
) -> None:
    """A piece of known pores: D = solid volume x density, M = D + pore water, S = D - solid volume."""
    solid_l = dry / solid
    pores_l = solid_l * porosity / (1 - porosity)
    body = fired_body.fired_body(dry, dry - solid_l, dry + pores_l)

    assert body.porosity == approx(porosity, abs=1e-9)
    assert body.absorption == approx(pores_l / dry, abs=1e-9)
    assert body.apparent_kg_per_l == approx(solid, rel=1e-9)
    assert body.bulk_kg_per_l == approx(solid * (1 - porosity), rel=1e-9)


@pytest.mark.parametrize("weights", [(0.0, 0.0, 0.1), (0.1, 0.1, 0.11), (0.1, -0.01, 0.11),
                                     (0.1, 0.06, 0.099), (float("nan"), 0.06, 0.11),
                                     (0.1, float("nan"), 0.11), (0.1, 0.06, float("nan"))])  # fmt: skip
def test_no_impossible_weighing_passes(weights: tuple[float, float, float]) -> None:
    with pytest.raises(OutOfRange):
        fired_body.fired_body(*weights)
