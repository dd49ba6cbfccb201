"""A week of casts in a mold's wall."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from pourwright.errors import OutOfRange
from pourwright.materials.drying.evaporation import wet_face
from pourwright.materials.drying.moisture import (
    _drinking,
    _inner_face,
    cast_week,
    drying_face,
    falls_behind,
)
from pourwright.materials.drying.wall import CELLS, MoldWall
from pourwright.materials.plaster.hardened import REACHED_PORES
from pourwright.materials.plaster.mix import Plaster

MIX = Plaster("plaster", 70, "a test")
WALL = MoldWall(MIX, 30.0)
WEEK = [day * 24 + hour for day in range(5) for hour in (0, 4)]


@given(
    st.floats(15, 60), st.floats(0.1, 2.5), st.floats(2, 30), st.integers(1, 12),
    st.floats(1.5, 12), st.booleans(),
)  # fmt: skip
@settings(max_examples=40)
def test_no_water_is_lost_in_a_week(
    thickness: float, water: float, minutes: float, casts: int, every: float, inside: bool
) -> None:
    """Drunk less evaporated is what the wall holds; drunk and refused is what was given."""
    wall = MoldWall(MIX, thickness, inside_open=inside)
    week = cast_week(wall, np.arange(casts) * every, water, minutes, until_h=casts * every + 5)
    held = float(week.last_profile.sum()) * wall.cell_mm * wall.capacity

    assert week.drunk_kg_per_m2 - week.evaporated_kg_per_m2 == pytest.approx(held, abs=1e-9)
    assert week.drunk_kg_per_m2 + week.refused_kg_per_m2 == pytest.approx(water * casts, rel=1e-5)
    assert week.evaporated_kg_per_m2 >= 0
    assert -0.02 < week.last_profile.min() <= week.last_profile.max() < 1.05


def test_the_first_cast_is_that_of_the_dry_mold() -> None:
    week = cast_week(WALL, WEEK, 0.97, 5.0)

    for end in (week.slower.low, week.slower.likely, week.slower.high):
        assert np.asarray(end)[0] == 1.0
    assert week.free_water[0] == 0.0
    assert np.all(np.asarray(week.slower.low) <= week.slower.likely)
    assert np.all(np.asarray(week.slower.likely) <= week.slower.high)


def test_casts_in_a_row_are_each_slower_and_a_night_helps() -> None:
    row = cast_week(WALL, [0, 1, 2, 3], 0.97, 5.0)
    night = cast_week(WALL, [0, 1, 2, 20], 0.97, 5.0)

    assert np.all(np.diff(row.slower.likely) > 0)
    assert np.asarray(night.slower.likely)[3] < np.asarray(row.slower.likely)[3]


def test_one_cast_a_day_keeps_a_mold_going_and_four_do_not() -> None:
    """EP 0211653, background: two casts or fewer in eight hours, then 6 to 18 h of drying."""
    one = cast_week(WALL, [24.0 * day for day in range(10)], 0.97, 5.0)
    four = cast_week(WALL, [24.0 * day + 2 * n for day in range(5) for n in range(4)], 0.97, 5.0)

    assert falls_behind(one, WALL) is None
    behind = falls_behind(four, WALL)
    assert behind is not None
    assert behind > 2


def test_a_studio_dries_its_molds_after_five_casts_in_a_row() -> None:
    """A potter's page: dry the mold after five casts. Ours is too wet for the seventh."""
    week = cast_week(WALL, range(10), 0.97, 5.0)

    assert falls_behind(week, WALL) in (5, 6)


def test_a_thicker_wall_drier_air_and_an_open_mold_hold_out_longer() -> None:
    last = cast_week(WALL, WEEK, 0.97, 5.0).free_water[-1]

    assert cast_week(MoldWall(MIX, 45.0), WEEK, 0.97, 5.0).free_water[-1] < last
    assert cast_week(replace(WALL, relative_humidity=0.3), WEEK, 0.97, 5.0).free_water[-1] < last
    assert cast_week(replace(WALL, heat_w_per_m2_k=15.0), WEEK, 0.97, 5.0).free_water[-1] < last
    assert cast_week(replace(WALL, inside_open=True), WEEK, 0.97, 5.0).free_water[-1] < last
    assert cast_week(WALL, WEEK, 0.5, 5.0).free_water[-1] < last


def test_a_thin_mold_cannot_take_the_water_of_a_thick_cast() -> None:
    week = cast_week(MoldWall(MIX, 10.0), [0, 1, 2], 3.0, 20.0)

    assert week.refused_kg_per_m2 > 1.0
    assert week.profile.max() < 1.05


def test_a_week_can_follow_another() -> None:
    whole = cast_week(WALL, [0, 24, 48, 72], 0.97, 5.0, until_h=96)
    half = cast_week(WALL, [0, 24], 0.97, 5.0, until_h=48)
    rest = cast_week(WALL, [0, 24], 0.97, 5.0, start=half.last_profile, until_h=48)

    assert rest.free_water == pytest.approx(whole.free_water[2:], rel=5e-3)
    assert rest.last_profile.mean() == pytest.approx(whole.last_profile.mean(), rel=1e-2)


def test_a_week_agrees_with_a_general_stiff_solver() -> None:
    """
    SciPy's Radau on the same cells, faces and casts, restarted at each of them: casting
    times to a tenth of a percent, free water to half a percent.
    """
    outer = drying_face(WALL)
    state, begun, minutes, water = np.zeros(CELLS), 0.0, 5.0, 0.97
    ours = cast_week(WALL, WEEK[:6], water, minutes)

    def rate(inflow: float):  # type: ignore[no-untyped-def]
        def change(_: float, s: np.ndarray) -> np.ndarray:
            flux = np.empty(CELLS + 1)
            potential = np.exp(6.0 * s) / 6.0
            flux[1:-1] = WALL.diffusivity_m2_per_s / (WALL.cell_mm / 1000) * -np.diff(potential)
            room = min((1 - s[0]) / 0.05, 2.0)
            full = room - room**2 / 4
            flux[0], flux[-1] = inflow * full / WALL.capacity, outer(s)[0] / WALL.capacity
            return np.asarray(-np.diff(flux) / (WALL.cell_mm / 1000))

        return change

    for cast, begun in enumerate(WEEK[:6]):
        near = state[:25].sum() * WALL.cell_mm * WALL.capacity
        slower = 1 + 0.178 * near
        assert np.asarray(ours.slower.likely)[cast] == pytest.approx(slower, rel=1e-3)
        assert ours.free_water[cast] == pytest.approx(
            float(WALL.free_water(state.mean())), rel=5e-3, abs=1e-9
        )
        if cast == 5:
            break
        span = minutes * 60 * slower
        rest = (WEEK[cast + 1] - begun) * 3600 - span
        for inflow, seconds in ((water / 1000 / span, span), (0.0, rest)):
            state = solve_ivp(rate(inflow), (0, seconds), state, "Radau", rtol=1e-6, atol=1e-8).y[
                :, -1
            ]


def test_the_drying_face_is_the_wet_face_until_a_tenth_of_saturation() -> None:
    face = drying_face(WALL)
    wet = wet_face(20.0, 0.5, 7.6).water_g_per_m2_h
    deep = wet_face(20.0, 0.5, 7.6, dry_layer_mm=30.0).water_g_per_m2_h

    assert face(np.full(CELLS, 0.9))[0] * 3.6e9 == pytest.approx(wet, rel=0.03)
    assert face(np.zeros(CELLS))[0] == 0.0
    nearly = np.zeros(CELLS)
    nearly[-1] = 0.03
    assert 0 < face(nearly)[0] * 3.6e9 < deep * 1.2


@given(st.floats(0.001, 0.9), st.floats(0.001, 0.2))
def test_the_faces_slopes_are_its_own(outside: float, inside: float) -> None:
    """Central differences, away from the kinks of the table."""
    face = drying_face(WALL)
    state = np.full(CELLS, inside)
    state[-1] = outside
    _, by_cell, by_mean = face(state)
    step = 1e-7
    up, down = state.copy(), state.copy()
    up[-1] += step
    down[-1] -= step
    expected = (face(up)[0] - face(down)[0]) / (2 * step)

    assert by_cell + by_mean / CELLS == pytest.approx(expected, rel=2e-2, abs=1e-12)


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: cast_week(WALL, [], 0.97, 5.0), "number of casts"),
        (lambda: cast_week(WALL, [-1.0], 0.97, 5.0), "time of a cast"),
        (lambda: cast_week(WALL, [np.nan], 0.97, 5.0), "time of a cast"),
        (lambda: cast_week(WALL, [0, 0.1], 0.97, 5.0), "from one cast to the next"),
        (lambda: cast_week(WALL, [4, 0], 0.97, 5.0), "from one cast to the next"),
        (lambda: cast_week(WALL, [0], -0.1, 5.0), "water that a cast gives"),
        (lambda: cast_week(WALL, [0], 97.0, 5.0), "water that a cast gives"),
        (lambda: cast_week(WALL, [0], 0.97, 0.4), "casting time"),
        (lambda: cast_week(WALL, [0], 0.97, 241.0), "casting time"),
        (lambda: cast_week(WALL, [10], 0.97, 5.0, until_h=9.0), "end of the week"),
        (
            lambda: falls_behind(cast_week(WALL, [0], 0.97, 5.0), WALL, 15.0),
            "free water that the mold",
        ),
    ],
)
def test_impossible_weeks_are_refused(call: object, match: str) -> None:
    with pytest.raises(OutOfRange, match=match):
        call()  # type: ignore[operator]


def test_a_face_drinks_at_the_full_rate_until_it_is_nearly_full() -> None:
    """Full below 0.9; three quarters at 0.95; nothing at 1; what is over-full flows back."""
    face = _drinking(1e-6)
    full = np.zeros(CELLS)
    for saturation, share in ((0.0, 1.0), (0.9, 1.0), (0.95, 0.75), (1.0, 0.0)):
        full[0] = saturation
        assert face(full)[0] == pytest.approx(share * 1e-6, abs=1e-12)
    full[0] = 1.02
    assert face(full)[0] < 0


@pytest.mark.parametrize("saturation", [0.5, 0.92, 0.97, 1.01])
def test_the_drinking_faces_slope_is_its_own(saturation: float) -> None:
    face, step = _drinking(1e-6), 1e-6
    up, down = np.full(CELLS, saturation + step), np.full(CELLS, saturation - step)

    assert face(np.full(CELLS, saturation))[1] == pytest.approx(
        (face(up)[0] - face(down)[0]) / (2 * step), abs=1e-11
    )


def test_an_open_mold_dries_inside_as_it_does_outside_and_a_closed_one_does_not() -> None:
    both = replace(WALL, inside_open=True)
    outer = drying_face(both)
    state = np.linspace(0.05, 0.3, CELLS)

    assert _inner_face(both, outer)(state) == tuple(-part for part in outer(state[::-1]))
    assert _inner_face(WALL, outer)(state) == (0.0, 0.0, 0.0)


def test_a_wet_mold_stands_longer_under_its_slip() -> None:
    """The slower cast ends later, so the drying until the next one is shorter."""
    wet = np.full(CELLS, 0.3)
    week = cast_week(WALL, [0.0], 0.97, 200.0, start=wet, until_h=10.0)
    slower = float(np.asarray(week.slower.likely)[0])
    near_kg = 0.3 * 25.0 * WALL.capacity

    assert slower == pytest.approx(1 + 0.178 * near_kg, rel=1e-9)
    assert slower > 1.5


@pytest.mark.parametrize(("thickness", "counted"), [(20.0, 20.0), (30.0, 25.0), (50.0, 25.0)])
def test_the_water_in_the_first_25_mm_slows_a_cast(thickness: float, counted: float) -> None:
    """By hand: a wall wet throughout holds saturation times capacity in each millimeter."""
    wall = MoldWall(MIX, thickness)
    week = cast_week(wall, [0.0], 0.97, 5.0, start=np.full(CELLS, 0.2))

    near_kg_per_m2 = 0.2 * counted * wall.capacity
    assert np.asarray(week.slower.likely)[0] == pytest.approx(1 + 0.178 * near_kg_per_m2, rel=1e-9)
    assert week.cast_h.tolist() == [0.0]
    assert week.slower.source


def test_a_cast_in_a_wet_mold_drinks_as_long_as_it_stands() -> None:
    """SciPy's Radau from a wet wall: 100 minutes become 179, and the wall is looked at soon after."""
    wet, minutes, water = np.full(CELLS, 0.3), 100.0, 2.0
    ours = cast_week(WALL, [0.0], water, minutes, start=wet)
    outer = drying_face(WALL)
    span = minutes * 60 * (1 + 0.178 * 0.3 * 25.0 * WALL.capacity)

    def change(seconds: float, s: np.ndarray) -> np.ndarray:
        flux = np.empty(CELLS + 1)
        flux[1:-1] = WALL.diffusivity_m2_per_s / (WALL.cell_mm / 1000) * -np.diff(np.exp(6 * s) / 6)
        room = min((1 - s[0]) / 0.05, 2.0)
        flux[0] = (
            water / 1000 / span * (room - room**2 / 4) / WALL.capacity if seconds < span else 0.0
        )
        flux[-1] = outer(s)[0] / WALL.capacity
        return np.asarray(-np.diff(flux) / (WALL.cell_mm / 1000))

    state = wet
    for begun, ended in ((0.0, span - 1e-6), (span, minutes * 120)):
        found = solve_ivp(change, (begun, ended), state, "Radau", rtol=1e-7, atol=1e-9)
        state = found.y[:, -1]

    assert ours.last_profile == pytest.approx(state, rel=5e-3)


@pytest.mark.parametrize(("inside", "depth"), [(False, 30.0), (True, 15.0)])
@pytest.mark.parametrize("short", [0.3, 0.5, 0.8, 1.0])
def test_behind_a_dry_layer_the_face_gives_what_that_layer_lets_through(
    inside: bool, depth: float, short: float
) -> None:
    """The layer grows with what is missing from a tenth of saturation, from each open face."""
    wall = replace(WALL, inside_open=inside)
    state = np.full(CELLS, (1 - short) * 0.10 / REACHED_PORES[1])
    state[-1], share = 0.5, 0.5 / 0.52  # wet at the face, where a thin film is left
    state[:-1] -= (state.mean() - (1 - short) * 0.10 / REACHED_PORES[1]) * CELLS / (CELLS - 1)
    layer = wet_face(20.0, 0.5, 7.6, dry_layer_mm=depth * short).water_g_per_m2_h

    assert drying_face(wall)(state)[0] * 3.6e9 == pytest.approx(float(layer) * share, rel=2e-3)


def test_a_wetter_wall_than_a_tenth_dries_as_a_wet_face() -> None:
    """No layer from a quarter above the bend on: the flux is the wet face's, but for the film."""
    for saturation in (1.3 * 0.10 / REACHED_PORES[1], 0.5, 1.0):
        open_share = saturation / (saturation + 0.02)
        flux = drying_face(WALL)(np.full(CELLS, saturation))[0] * 3.6e9
        assert flux == pytest.approx(
            float(wet_face(20.0, 0.5, 7.6).water_g_per_m2_h) * open_share, rel=1e-4
        )


def test_the_edges_of_a_week_are_taken() -> None:
    cast_week(WALL, [0.0], 10.0, 0.5)
    cast_week(WALL, [0.0], 0.0, 1.0)
    with pytest.raises(OutOfRange, match="water that a cast gives"):
        cast_week(WALL, [0.0], 10.1, 0.5)
    with pytest.raises(OutOfRange, match="more than twice the casting time"):
        cast_week(WALL, [0.0, 2.0], 0.97, 60.0)
    cast_week(WALL, [0.0, 2.001], 0.97, 60.0)
    with pytest.raises(OutOfRange, match="free water that the mold"):
        falls_behind(cast_week(WALL, [0.0], 0.97, 5.0), WALL, 0.41)
