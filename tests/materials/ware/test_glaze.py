"""Glaze for an edition: coat, slurry, and what thin bisque can draw."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from pourwright.errors import OutOfRange
from pourwright.materials.slip import liter_weight as slip
from pourwright.materials.ware import glaze

COATS = st.floats(50.0, 1500.0)
AREAS = st.floats(0.005, 0.8)


@given(AREAS, COATS)
def test_a_weighed_test_gives_the_coat_that_was_put_on(area: float, coat: float) -> None:
    on_it = glaze.dry_glaze_kg(area, coat)

    assert glaze.coat_from_test_g_per_m2(0.4, 0.4 + on_it, area) == approx(coat, rel=1e-9)
    assert glaze.dry_glaze_kg(area, coat, 12) == approx(12 * on_it)


@given(st.floats(0.1, 20.0), st.floats(1350.0, 1700.0), st.floats(2.4, 3.2))
def test_slurry_holds_the_glaze_that_is_wanted(dry: float, weight: float, solids: float) -> None:
    liters = glaze.slurry_l(dry, weight, solids)

    assert liters * slip.dry_kg_per_l(weight, solids) == approx(dry, rel=1e-12)
    assert glaze.slurry_l(dry, weight + 10, solids) < liters


def test_slurries_hold_what_brongniart_says() -> None:
    """S = 2.6: 731, 812.5 and 894 g of dry glaze in liters of 1450, 1500 and 1550 g."""
    grams = 1000 / glaze.slurry_l(1.0, np.array([1450.0, 1500.0, 1550.0]))

    assert list(grams) == [approx(g, abs=0.5) for g in (731.25, 812.5, 893.75)]


@given(st.floats(1.0, 10.0), st.floats(0.01, 0.3), st.floats(1350.0, 1700.0))
def test_a_wall_draws_no_more_water_than_it_holds(
    wall: float, absorption: float, weight: float
) -> None:
    """The water that left the glaze is the water that fills the wall, face by face."""
    both = glaze.most_coat_g_per_m2(wall, 1.9, absorption, weight)
    one = glaze.most_coat_g_per_m2(wall, 1.9, absorption, weight, faces=1)
    water_kg = 2 * both / 1000 * slip.water_to_dry(weight)

    assert water_kg == approx(wall * 1.9 * absorption, rel=1e-9)
    assert one == approx(2 * both)


def test_the_limit_of_a_thin_wall_comes_out() -> None:
    """4 mm of 1.9 kg/l that absorbs 9 %, slurry of 1500 g/l: 808 g/m2 in all, 404 a face."""
    assert glaze.most_coat_g_per_m2(4.0, 1.9, 0.09, 1500.0) == approx(404, abs=0.5)
    assert glaze.most_coat_g_per_m2(4.0, 1.9, 0.09, 1500.0, faces=1) == approx(808, abs=1)
    assert glaze.most_coat_g_per_m2(4.0, 1.9, 0.0, 1500.0) == 0


def test_thickness_is_a_coat_if_the_packing_is_known() -> None:
    assert glaze.coat_of_thickness_g_per_m2(0.5) == approx(715)
    assert glaze.coat_of_thickness_g_per_m2(np.array([0.5, 1.0]), 0.5, 2.5).tolist() == [625, 1250]


def test_the_bucket_keeps_its_own() -> None:
    assert glaze.slurry_to_mix_l(1.4) == 1.4
    assert glaze.slurry_to_mix_l(1.4, 3.0, 1.5) == approx(5.1)


@pytest.mark.parametrize("bad", [-0.1, float("nan")])
def test_no_impossible_glaze_passes(bad: float) -> None:
    for law in (
        lambda: glaze.dry_glaze_kg(bad, 500.0),
        lambda: glaze.dry_glaze_kg(0.1, bad),
        lambda: glaze.dry_glaze_kg(0.1, 500.0, bad),
        lambda: glaze.slurry_l(bad, 1500.0),
        lambda: glaze.slurry_l(1.0, bad),
        lambda: glaze.slurry_l(1.0, 1500.0, bad),
        lambda: glaze.coat_from_test_g_per_m2(bad, 0.5, 0.1),
        lambda: glaze.coat_from_test_g_per_m2(0.4, bad, 0.1),
        lambda: glaze.coat_from_test_g_per_m2(0.4, 0.5, bad),
        lambda: glaze.coat_of_thickness_g_per_m2(bad),
        lambda: glaze.coat_of_thickness_g_per_m2(0.5, bad),
        lambda: glaze.coat_of_thickness_g_per_m2(0.5, 0.5, bad),
        lambda: glaze.most_coat_g_per_m2(bad, 1.9, 0.09, 1500.0),
        lambda: glaze.most_coat_g_per_m2(4.0, bad, 0.09, 1500.0),
        lambda: glaze.most_coat_g_per_m2(4.0, 1.9, bad, 1500.0),
        lambda: glaze.most_coat_g_per_m2(4.0, 1.9, 0.09, bad),
        lambda: glaze.most_coat_g_per_m2(4.0, 1.9, 0.09, 1500.0, faces=bad),
        lambda: glaze.slurry_to_mix_l(bad),
        lambda: glaze.slurry_to_mix_l(1.0, bad),
        lambda: glaze.slurry_to_mix_l(1.0, 0.0, bad),
    ):
        with pytest.raises(OutOfRange):
            law()


def test_slips_of_the_hand_are_named() -> None:
    with pytest.raises(OutOfRange, match="glaze weight is 150 g/l; .* Then write 1500 g/l"):
        glaze.slurry_l(1.0, 150.0)
    with pytest.raises(OutOfRange, match="Weigh both dry"):
        glaze.coat_from_test_g_per_m2(0.4, 0.4, 0.1)
    with pytest.raises(OutOfRange, match="1 or 2"):
        glaze.most_coat_g_per_m2(4.0, 1.9, 0.09, 1500.0, faces=3)
    for coat in (19.0, 3001.0):
        with pytest.raises(OutOfRange):
            glaze.dry_glaze_kg(0.1, coat)


def test_a_heavy_glaze_is_counted_with_its_own_density() -> None:
    """
    By hand, dry glaze of 3.2 kg/l in a slurry of 2650 g/l: 1.65 x 3.2 / 2.2 = 2.4 kg dry and
    0.25 kg of water a liter, so each kilogram of water that 4 mm of bisque drinks leaves 9.6.
    """
    assert glaze.slurry_l(2.4, 2650.0, 3.2) == approx(1.0)
    assert glaze.most_coat_g_per_m2(4.0, 2.0, 0.10, 2650.0, 2.0, 3.2) == approx(800 * 9.6 / 2)
    with pytest.raises(OutOfRange):
        glaze.slurry_l(2.4, 2650.0)
