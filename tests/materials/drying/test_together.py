"""Molds that dry in one room."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pourwright.errors import OutOfRange
from pourwright.materials.drying.air import humidity_ratio, relative_humidity
from pourwright.materials.drying.days import drying_hours
from pourwright.materials.drying.room import room_with_molds
from pourwright.materials.drying.together import DryingRoom, carried_off_kg_per_day, drying_together
from pourwright.materials.plaster.mix import Plaster, free_water, porosity
from pourwright.materials.plaster.volumes import water_density

MIX = Plaster("plaster", 70, "a test")
ROOM = DryingRoom(50.0, 0.5)


def test_in_a_gale_each_mold_dries_as_if_alone_in_the_outside_air() -> None:
    """With sixty air changes in a hall the room keeps the outside air's water."""
    hall = DryingRoom(5000.0, 60.0)
    dry = relative_humidity(20.0, humidity_ratio(10.0, 0.8))
    alone = drying_hours(MIX, 25.0, 20.0, dry, 7.6) / 24
    together = drying_together(MIX, 25.0, 0.13, 10, hall)

    assert together.days == pytest.approx(alone, rel=1e-3)
    assert together.alone_days == pytest.approx(alone, rel=1e-3)
    assert together.wettest_humidity == pytest.approx(dry, rel=1e-3)


@pytest.mark.parametrize("molds", [1, 20])
def test_the_integral_agrees_with_a_general_solver(molds: int) -> None:
    """SciPy's LSODA on dW/dt = -J(W), the room solved for at every call."""
    depth, area = 25.0, 0.13 * molds
    first = float(free_water(MIX)) * depth
    bend = 0.10 * float(porosity(MIX)) * float(water_density(20.0)) * depth
    last = 0.02 * first

    def rate(_: float, water: np.ndarray) -> list[float]:
        layer = min(max(0.0, depth * (1 - float(water[0]) / bend)), depth)
        air = room_with_molds(area, 7.6, 50.0, 0.5, 20.0, 10.0, 0.8, dry_layer_mm=layer)
        return [-float(air.water_g_per_h) / area / 1000]

    def done(_: float, water: np.ndarray) -> float:
        return float(water[0]) - last

    done.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(rate, (0, 5000), [first], "LSODA", events=done, rtol=3e-4, atol=1e-4)
    ours = drying_together(MIX, depth, 0.13, molds, ROOM, until=0.98)

    assert ours.days == pytest.approx(found.t_events[0][0] / 24, rel=1e-3)


@pytest.mark.parametrize(
    "room", [ROOM, DryingRoom(50.0, 3.0), DryingRoom(120.0, 1.0, 16.0, 2.0, 0.9)]
)
@pytest.mark.parametrize("molds", [2, 10, 20])
def test_each_mold_beside_others_takes_longer_by_their_water_over_what_the_room_carries_off(
    room: DryingRoom, molds: int
) -> None:
    """The sum by pencil against the integral, which knows the molds' faces and depth."""
    together = drying_together(MIX, 25.0, 0.13, molds, room)
    others_kg = (molds - 1) * float(free_water(MIX)) * 25.0 * 0.13

    longer = others_kg / carried_off_kg_per_day(room)

    assert longer == pytest.approx(together.days - together.alone_days, rel=0.10)


def test_more_molds_and_a_closed_window_take_longer() -> None:
    days = [drying_together(MIX, 25.0, 0.13, n, ROOM).days for n in (1, 5, 10, 20)]
    windows = [
        drying_together(MIX, 25.0, 0.13, 10, DryingRoom(50.0, c)).days for c in (0.3, 1.0, 5.0)
    ]

    assert days == sorted(days)
    assert days[-1] > 1.3 * days[0]
    assert windows == sorted(windows, reverse=True)


def test_one_mold_is_alone() -> None:
    one = drying_together(MIX, 25.0, 0.13, 1, ROOM)

    assert one.days == one.alone_days


@pytest.mark.parametrize(
    ("change", "match"),
    [
        ({"depth_mm": 1.0}, "plaster behind the open face"),
        ({"depth_mm": np.nan}, "plaster behind the open face"),
        ({"open_area_m2": 0.0}, "open area"),
        ({"molds": 0}, "molds in the room"),
        ({"until": 1.1}, "share of the free water"),
        ({"critical_saturation": 0.7}, "critical saturation"),
        ({"room": DryingRoom(0.0, 0.5)}, "volume of the room"),
        ({"room": DryingRoom(50.0, 100.0)}, "air changes"),
    ],
)
def test_impossible_rooms_are_refused(change: dict[str, object], match: str) -> None:
    usual: dict[str, object] = {"depth_mm": 25.0, "open_area_m2": 0.13, "molds": 10, "room": ROOM}
    with pytest.raises(OutOfRange, match=match):
        drying_together(MIX, **(usual | change))  # type: ignore[arg-type]


@pytest.mark.parametrize("depth", [2.0, 200.0])
def test_the_thinnest_and_the_thickest_plaster_are_taken(depth: float) -> None:
    assert drying_together(MIX, depth, 0.13, 1, ROOM).days > 0
    for beyond in (1.9, 201.0):
        with pytest.raises(OutOfRange, match="plaster behind the open face"):
            drying_together(MIX, beyond, 0.13, 1, ROOM)


def test_the_first_day_is_as_humid_as_all_the_wet_molds_make_it() -> None:
    """The room's own balance with the whole wet area in it, and nothing dried yet."""
    seen = drying_together(MIX, 25.0, 0.13, 10, ROOM).wettest_humidity
    air = room_with_molds(1.3, 7.6, 50.0, 0.5, 20.0, 10.0, 0.8)

    assert seen == pytest.approx(float(air.relative_humidity), rel=1e-6)


def test_drying_to_the_bend_takes_the_wet_stage_only() -> None:
    """Water over rate: above the bend nothing slows, so half the way takes half the days."""
    far = drying_together(MIX, 25.0, 0.13, 1, ROOM, until=0.6, critical_saturation=0.1)
    half = drying_together(MIX, 25.0, 0.13, 1, ROOM, until=0.3, critical_saturation=0.1)

    assert far.days == pytest.approx(2 * half.days, rel=1e-6)
