"""Casting: time and wall, round faces, solid casts, and where the water goes."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from pourwright.errors import NotDoable, OutOfRange
from pourwright.materials.casting import (
    minutes as casting,
)
from pourwright.materials.casting import (
    physics as casting_physics,
)
from pourwright.materials.casting import (
    shapes as casting_shapes,
)
from pourwright.materials.casting import (
    water as casting_water,
)
from pourwright.materials.slip import liter_weight as slip

WALLS = st.floats(0.6, 15.0)
RATES = st.floats(0.3, 8.0)
SHAPES = st.sampled_from(["flat", "inside a tube", "inside a ball", "around a rod"])
LIQUIDS = st.floats(1600.0, 1790.0)


@given(WALLS, RATES)
def test_wall_time_and_rate_undo_each_other(wall: float, rate: float) -> None:
    minutes = casting.casting_minutes(wall, rate)

    assert casting.casting_rate(wall, minutes) == approx(rate, rel=1e-12)


def test_without_a_test_cast_there_is_a_range_and_no_time() -> None:
    """A maker reports a quarter inch in 15 to 20 minutes: the range must hold it."""
    guess = casting.minutes_without_a_test(np.array([5.0, 6.35]))

    assert guess.best is None
    assert list(np.round(guess.low)) == [5, 8]
    assert list(np.round(guess.high)) == [28, 45]
    assert "a test cast narrows them" in guess.basis


@given(WALLS, st.floats(0.5, 10.0), st.floats(1.0, 60.0))
def test_one_test_gives_its_own_time_within_a_range(
    wall: float, test: float, minutes: float
) -> None:
    plan = casting.minutes_from_one_test(wall, test, minutes)

    assert plan.best == approx(minutes * (wall / test) ** 2, rel=1e-12)
    assert plan.low < plan.best < plan.high


def test_the_range_of_one_test_holds_the_published_third_cast() -> None:
    """4 mm took 3, 3.5 and 4 minutes on three casts in a row (a UK clay supplier's page)."""
    plan = casting.minutes_from_one_test(4.0, 4.0, 3.0)

    assert plan.low < 3.0
    assert plan.high > 4.0
    assert (plan.low, plan.high) == (
        approx(3 * (4 / 4.25) ** 2),
        approx(3 * (4 / 3.75) ** 2 / 0.75),
    )


@pytest.mark.parametrize(
    ("wall", "doubted"), [(1.9, True), (2.1, False), (6.8, False), (7.0, True)]
)
def test_a_rate_that_nobody_has_published_is_doubted(wall: float, doubted: bool) -> None:
    """Believable rates run from 0.5 to 6 mm2/min: 2 to 6.93 mm in 8 minutes."""
    basis = casting.minutes_from_one_test(4.0, wall, 8.0).basis

    assert ("measure its wall and time once more" in basis) == doubted


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_no_impossible_cast_passes(bad: float) -> None:
    for law in (
        lambda: casting.casting_rate(bad, 3.0),
        lambda: casting.casting_rate(3.0, bad),
        lambda: casting.casting_minutes(bad, 3.0),
        lambda: casting.casting_minutes(3.0, bad),
        lambda: casting.minutes_without_a_test(np.array([3.0, bad])),
        lambda: casting.minutes_from_one_test(bad, 4.0, 8.0),
        lambda: casting.minutes_from_one_test(4.0, 4.0, bad),
        lambda: casting_shapes.minutes_to_fill("slab", bad, 3.0),
        lambda: casting_shapes.minutes_to_fill("slab", 3.0, bad),
    ):
        with pytest.raises(OutOfRange):
            law()
    with pytest.raises(OutOfRange):
        casting.minutes_from_one_test(4.0, 0.49, 8.0)


# --- round faces


def minutes_on_shape(
    shape: casting_shapes.Shape, wall_mm: float, rate: float, radius_mm: float
) -> float:
    """Return ``L^2 / k``, longer or shorter by the shape's factor. [min]"""
    return wall_mm**2 / rate * float(casting_shapes.time_factor(shape, wall_mm / radius_mm))


@given(SHAPES, st.floats(0.01, 0.99), RATES, st.floats(5.0, 200.0))
def test_a_wall_on_a_round_face_is_found_again(
    shape: casting_shapes.Shape, x: float, rate: float, radius: float
) -> None:
    minutes = minutes_on_shape(shape, x * radius, rate, radius)

    assert casting_shapes.wall_on_shape_mm(shape, minutes, rate, radius) == approx(
        x * radius, rel=1e-6
    )


@given(st.floats(0.05, 0.95))
def test_faces_stand_in_order(x: float) -> None:
    """The less room a wall has, the sooner it is grown."""
    order = ["inside a ball", "inside a tube", "flat", "around a rod"]
    times = [casting_shapes.time_factor(shape, x) for shape in order]

    assert times == sorted(times)
    assert len(set(times)) == 4


@given(SHAPES, st.floats(1e-9, 1e-3))
def test_thin_walls_are_flat_walls(shape: casting_shapes.Shape, x: float) -> None:
    assert casting_shapes.time_factor(shape, x) == approx(1.0, abs=x)


@pytest.mark.parametrize("shape", ["inside a tube", "around a rod", "inside a ball"])
def test_series_and_formula_meet(shape: casting_shapes.Shape) -> None:
    """At x = 0.001 the series for thin walls gives way to the formula."""
    below, above = casting_shapes.time_factor(shape, np.array([0.00099999, 0.001]))
    slope = {"inside a tube": -1 / 3, "around a rod": 1 / 3, "inside a ball": -2 / 3}[shape]

    assert above - below == approx(slope * 1e-8, abs=3e-10)


def test_published_order_of_walls_after_ten_minutes() -> None:
    """Closed forms at k = 3 and R = 25 mm, x^2 (1 - x/3) to first order: 5.48 grows to 5.71."""
    walls = [
        float(casting_shapes.wall_on_shape_mm(shape, 10.0, 3.0, 25.0))
        for shape in ("flat", "inside a tube", "inside a ball", "around a rod")
    ]

    assert walls == [approx(w, abs=0.005) for w in (5.48, 5.71, 5.97, 5.30)]


def test_a_tube_that_closes_is_a_solid_rod() -> None:
    """Time to the center is R^2/2k in a tube and R^2/3k in a ball, as for solid casts."""
    for shape, solid in (("inside a tube", "rod"), ("inside a ball", "ball")):
        closed = minutes_on_shape(shape, 10.0, 3.0, 10.0)
        assert closed == approx(casting_shapes.minutes_to_fill(solid, 10.0, 3.0))
        assert casting_shapes.wall_on_shape_mm(shape, 100.0, 3.0, 10.0) == approx(10.0)
    assert [casting_shapes.minutes_to_fill(s, 10.0, 3.0) for s in ("slab", "rod", "ball")] == [
        approx(100 / 3),
        approx(100 / 6),
        approx(100 / 9),
    ]


@pytest.mark.parametrize(("shape", "x"), [("inside a tube", 1.001), ("inside a ball", 1.1),
                                          ("around a rod", 4.1), ("flat", 0.0),
                                          ("inside a tube", float("nan"))])  # fmt: skip
def test_a_wall_that_does_not_fit_is_refused(shape: casting_shapes.Shape, x: float) -> None:
    with pytest.raises(OutOfRange, match="wall over radius"):
        casting_shapes.time_factor(shape, np.array([0.5, x]))


def test_shapes_must_be_known_and_rods_not_too_thick() -> None:
    with pytest.raises(NotDoable, match='the shape "cube" is not known'):
        casting_shapes.time_factor("cube", 0.1)  # type: ignore[arg-type]
    with pytest.raises(NotDoable):
        casting_shapes.wall_on_shape_mm("cube", 1.0, 3.0, 9.0)  # type: ignore[arg-type]
    with pytest.raises(NotDoable, match="say slab, rod or ball"):
        casting_shapes.minutes_to_fill("cube", 1.0, 3.0)  # type: ignore[arg-type]
    with pytest.raises(OutOfRange):
        casting_shapes.wall_on_shape_mm("around a rod", 1e6, 3.0, 1.0)
    with pytest.raises(OutOfRange):
        casting_shapes.wall_on_shape_mm("flat", -1.0, 3.0, 1.0)
    assert casting_shapes.wall_on_shape_mm("inside a tube", 0.0, 3.0, 25.0) == approx(0.0, abs=1e-9)


def test_round_faces_take_arrays() -> None:
    walls = casting_shapes.wall_on_shape_mm("inside a tube", np.array([5.0, 10.0]), 3.0, 25.0)

    assert walls[1] == approx(casting_shapes.wall_on_shape_mm("inside a tube", 10.0, 3.0, 25.0))
    assert isinstance(casting_shapes.time_factor("inside a tube", 0.1), float)


# --- where the water goes


@given(st.floats(0.01, 20.0), LIQUIDS, st.floats(0.12, 0.22), st.floats(2.4, 2.8))
def test_clay_and_water_go_nowhere_else(
    cast: float, weight: float, moisture: float, solids: float
) -> None:
    made = casting_water.water_balance(cast, weight, moisture, solids)
    clay_in = made.kept_l * slip.dry_kg_per_l(weight, solids)
    water_in = made.kept_l * slip.water_kg_per_l(weight, solids)

    assert made.dry_kg == approx(clay_in, rel=1e-9)
    assert made.cast_kg - made.dry_kg + made.water_to_mold_kg == approx(water_in, rel=1e-9)
    assert made.kept_l == approx(made.cast_l + made.top_up_l, rel=1e-9)
    assert made.top_up_l == made.water_to_mold_kg > 0
    again = casting_water.balance_of_kept_slip(made.kept_l, weight, moisture, solids)
    assert (again.cast_l, again.water_to_mold_kg) == (
        approx(cast, rel=1e-9),
        approx(made.water_to_mold_kg, rel=1e-9),
    )


@given(LIQUIDS, st.floats(1.0, 30.0))
def test_heavier_slip_and_wetter_casts_send_less_water(weight: float, more: float) -> None:
    law = casting_water.slip_per_cast_volume

    assert law(weight + more) < law(weight)
    assert law(weight, 0.22) < law(weight, 0.20) < law(weight, 0.18)


def test_the_balances_of_the_reference_come_out() -> None:
    """Worked by mass balance: slip 1780, cast of 20 % water, S 2.6; then 1750, and 18 and 22 %."""
    made = casting_water.water_balance(1.0, 1780.0)
    flat = casting_water.water_balance(casting_water.cast_volume_l(1.0, 4.0), 1780.0)

    assert (made.cast_kg, made.dry_kg, made.kept_l) == (
        approx(1.970, abs=5e-4),
        approx(1.576, abs=5e-4),
        approx(1.243, abs=5e-4),
    )
    assert flat.water_to_mold_kg == approx(0.973, abs=5e-4)
    assert casting_water.slip_per_cast_volume(1750.0) - 1 == approx(0.293, abs=5e-4)
    assert casting_water.slip_per_cast_volume(1780.0, 0.18) - 1 == approx(0.306, abs=5e-4)
    assert casting_water.slip_per_cast_volume(1780.0, 0.22) - 1 == approx(0.183, abs=5e-4)


def test_a_published_mold_takes_water_slower_than_it_can() -> None:
    """
    A plaster maker's bulletin: molds absorb 0.08 g/cm2 a minute at the least. A 4 mm
    wall in 4 minutes sends 0.024, so that the cast, not the mold, sets the pace.
    """
    per_area = casting_water.water_balance(casting_water.cast_volume_l(1.0, 4.0), 1780.0)

    assert per_area.water_to_mold_kg / 10 / 4 < 0.08 / 2  # kg/m2 is 0.1 g/cm2


@pytest.mark.parametrize("moisture", [0.31, 0.04, float("nan")])
def test_a_cast_as_wet_as_its_slip_is_refused(moisture: float) -> None:
    """Slip of 1750 g/l holds 30.4 % of water."""
    with pytest.raises(OutOfRange, match="less than the slip's own 0.304"):
        casting_water.water_balance(1.0, 1750.0, moisture)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan")])
def test_no_impossible_volume_passes(bad: float) -> None:
    for law in (
        lambda: casting_water.cast_volume_l(bad, 4.0),
        lambda: casting_water.cast_volume_l(1.0, bad),
        lambda: casting_water.water_balance(bad, 1750.0),
        lambda: casting_water.balance_of_kept_slip(bad, 1750.0),
        lambda: casting_water.slip_to_have_ready_l(bad, 0.1),
        lambda: casting_water.slip_to_have_ready_l(1.0, 0.1, molds=bad),
        lambda: casting_water.slip_to_have_ready_l(1.0, -0.1),
        lambda: casting_water.slip_to_have_ready_l(1.0, 0.1, spare=1.1),
    ):
        with pytest.raises(OutOfRange):
            law()


def test_slip_is_ready_for_every_mold_that_stands_filled() -> None:
    assert casting_water.slip_to_have_ready_l(1.0, 0.0, molds=1, spare=0.0) == 1.0
    assert casting_water.slip_to_have_ready_l(0.9, 0.1, molds=3, spare=0.1) == approx(3.3)


# --- what sets the rate


@given(st.floats(0.0, 99.0), st.floats(0.1, 1.0))
def test_warm_water_flows_more_easily(degc: float, more: float) -> None:
    law = casting_physics.water_viscosity_mpa_s

    assert law(degc + more) < law(degc)


@pytest.mark.parametrize(
    ("now", "share"), [(30.0, 1.256), (40.0, 1.534), (10.0, 0.767), (20.0, 1.0)]
)
def test_rate_follows_the_water(now: float, share: float) -> None:
    """IAPWS viscosities at 20 degC over those at 10, 30 and 40."""
    assert casting_physics.rate_at_temperature(2.0, 20.0, now) == approx(2 * share, abs=0.005)


@pytest.mark.parametrize("bad", [-0.1, float("nan"), 1e9])
def test_no_impossible_physics_passes(bad: float) -> None:
    for law in (
        lambda: casting_physics.water_viscosity_mpa_s(bad),
        lambda: casting_physics.rate_at_temperature(2.0, bad, 20.0),
        lambda: casting_physics.rate_at_temperature(2.0, 20.0, bad),
    ):
        with pytest.raises(OutOfRange):
            law()


def test_one_mold_filled_once_takes_its_own_slip_and_a_twentieth() -> None:
    """By hand: 2 l and 0.4 l of topping up, 5 % for what clings; ten molds take ten times that."""
    assert casting_water.slip_to_have_ready_l(2.0, 0.4) == approx(2.52)
    assert casting_water.slip_to_have_ready_l(2.0, 0.4, molds=10) == approx(25.2)


def test_a_rate_on_the_edge_of_belief_is_not_doubted() -> None:
    """Only what lies beyond the edges is called unpublished, one of many too."""
    low, high = casting.BELIEVABLE_RATES

    assert (
        casting._doubt(low) == casting._doubt(high) == casting._doubt(np.array([low, high])) == ""
    )
    for beyond in (low * 0.999, high * 1.001, np.array([low, high * 1.001])):
        assert "no such casting rate is published" in casting._doubt(beyond)


@pytest.mark.parametrize("shape", ["flat", "inside a tube", "inside a ball", "around a rod"])
def test_a_number_gives_a_number_and_an_array_an_array(shape: casting_shapes.Shape) -> None:
    single = casting_shapes.wall_on_shape_mm(shape, 20.0, 1.5, 40.0)
    many = casting_shapes.wall_on_shape_mm(shape, np.array([20.0, 20.0]), 1.5, 40.0)

    assert type(single) is float
    assert isinstance(many, np.ndarray)
    assert many.tolist() == [single, single]
    whole = casting_shapes.wall_on_shape_mm(shape, np.array([20, 20]), 1, 40)  # whole numbers too
    assert whole[0] == casting_shapes.wall_on_shape_mm(shape, 20.0, 1.0, 40.0)


def test_a_flat_face_knows_no_end() -> None:
    """``L^2 = k t``: 60 mm at 1 mm2/min take 60 hours."""
    assert casting_shapes.wall_on_shape_mm("flat", 3600.0, 1.0, 5.0) == approx(60.0, rel=1e-12)


def test_a_rod_is_followed_to_four_times_its_radius() -> None:
    """
    Around a rod, ``k t / R^2 = y^2 ln y - (y^2 - 1)/2`` with y = 5 for a wall of four radii,
    the cylinder's solution of Darcy's law: 28.236 by hand. A tube holds no more than its radius.
    """
    limit = 25 * math.log(5) - 12
    wall = casting_shapes.wall_on_shape_mm("around a rod", limit * 100 / 2.0 * 0.999999, 2.0, 10.0)
    assert wall == approx(40.0, rel=1e-4)
    with pytest.raises(OutOfRange, match="at most 28"):
        casting_shapes.wall_on_shape_mm("around a rod", limit * 100 / 2.0 * 1.001, 2.0, 10.0)
    assert casting_shapes.wall_on_shape_mm("inside a tube", 1e6, 2.0, 10.0) == approx(10.0)
