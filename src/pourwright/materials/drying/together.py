"""How long molds take that dry in one room: the water of each slows the others.

At each state of the molds the room comes to the humidity that its ventilation
carries away (`pourwright.materials.drying.room.room_with_molds`); as the molds dry, the
room dries with them. All are taken as poured on one day and alike.

What this page leaves out: what walls and greenware take up, days that differ, and
molds of different ages. It is for telling whether a room is the bottleneck.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.materials.drying.air import air_volume, humidity_ratio
from pourwright.materials.drying.days import CRITICAL_SATURATION, UNTIL_DRY
from pourwright.materials.drying.room import RoomAir, room_with_molds
from pourwright.materials.plaster.mix import Plaster, free_water, porosity
from pourwright.materials.plaster.volumes import water_density
from pourwright.materials.ranges import FloatArray, require, require_between, require_more_than


@dataclass(frozen=True, slots=True)
class DryingRoom:
    """A room that molds dry in, and the air that it draws in.

    Parameters
    ----------
    room_m3 : float
        Volume of the room. [m3]
    air_changes_per_h : float
        Times an hour that its air is renewed. [1/h]
    temperature_c : float
        What the heating holds. [degC]
    outside_c : float
        Outside temperature, 0 to 50. [degC]
    outside_humidity : float
        Relative humidity outside. [-]
    heat_w_per_m2_k : float
        Coefficient of heat transfer at the molds. [W/(m2 K)]
    """

    room_m3: float
    air_changes_per_h: float
    temperature_c: float = 20.0
    outside_c: float = 10.0
    outside_humidity: float = 0.8
    heat_w_per_m2_k: float = 7.6


@dataclass(frozen=True, slots=True)
class DryingTogether:
    """Molds that dry in one room.

    Parameters
    ----------
    days : float
        Until the share of water asked for has gone. [days]
    alone_days : float
        The same for one mold alone in that room. [days]
    wettest_humidity : float
        Relative humidity of the room on the first days. [-]
    """

    days: float
    alone_days: float
    wettest_humidity: float


def carried_off_kg_per_day(room: DryingRoom) -> float:
    """Return the most water that the ventilation of a room carries off in a day.

    ``changes x room x (W_saturated - W_out)/v``: all the air that leaves is as wet as it
    can be at the room's temperature.

    Parameters
    ----------
    room : DryingRoom
        The room and the air that it draws in.

    Returns
    -------
    float
        Water. [kg/day]

    Raises
    ------
    OutOfRange
        If a figure of the room is outside its range.

    Notes
    -----
    Molds give water in proportion to what the room's air still lacks, and the room takes
    on what they give; so each mold that is wet beside others takes longer by their water
    over this figure, within a tenth of what `drying_together` integrates.

    Examples
    --------
    Nine molds of 1.5 kg of water beside a tenth, in a closed room of 50 m3:

    >>> most = carried_off_kg_per_day(DryingRoom(50.0, 0.5))
    >>> f"{most:.1f} kg a day, {9 * 1.5 / most:.1f} days longer"
    '6.2 kg a day, 2.2 days longer'
    """
    require_more_than("volume of the room", room.room_m3, "m3")
    require_between("air changes", room.air_changes_per_h, "an hour", 0.05, 60.0)
    outside = humidity_ratio(room.outside_c, room.outside_humidity)
    air_kg_per_h = room.air_changes_per_h * room.room_m3 / air_volume(room.temperature_c, outside)
    return float(24 * air_kg_per_h * (humidity_ratio(room.temperature_c, 1.0) - outside))


def drying_together(
    plaster: Plaster,
    depth_mm: float,
    open_area_m2: float,
    molds: int,
    room: DryingRoom,
    *,
    until: float = UNTIL_DRY,
    critical_saturation: float = CRITICAL_SATURATION[1],
) -> DryingTogether:
    """Return the days that molds take together, and the days that one would take alone.

    ``t = integral of dW/J``, as in `pourwright.materials.drying.days.drying_hours`,
    J at each W in balance with the ventilation of the room.

    Parameters
    ----------
    plaster : Plaster
        The mix.
    depth_mm : float
        Plaster behind the open faces of a mold, 2 to 200. [mm]
    open_area_m2 : float
        Open faces of one mold. [m2]
    molds : int
        How many, all poured on one day. [-]
    room : DryingRoom
        The room and its air.
    until : float
        Share of the free water gone, 0 to 1. [-]
    critical_saturation : float
        Share of the pores filled when the rate begins to fall. [-]

    Returns
    -------
    DryingTogether
        Days together and alone, and the humidity that the room comes to. [days, -]

    Raises
    ------
    OutOfRange
        If a figure is outside its range.

    Examples
    --------
    Ten molds in a closed room of 50 m3, then with a window ajar:

    >>> mix = Plaster("pottery plaster", 70, "the bag")
    >>> closed = drying_together(mix, 25.0, 0.13, 10, DryingRoom(50.0, 0.5))
    >>> ajar = drying_together(mix, 25.0, 0.13, 10, DryingRoom(50.0, 3.0))
    >>> f"{closed.days:.0f} days, {ajar.days:.0f} days, alone {ajar.alone_days:.0f} days"
    '12 days, 10 days, alone 10 days'
    """
    require_between("plaster behind the open face", depth_mm, "mm", 2.0, 200.0)
    require("molds in the room", molds, "molds", "at least 1", molds >= 1)
    require_between("share of the free water gone", until, "of it", 0.0, 1.0)
    require_between("critical saturation", critical_saturation, "of the pores", 0.01, 0.6)
    water, weight, layer = _states(plaster, depth_mm, until, critical_saturation)
    hours = []
    for area in (open_area_m2 * molds, open_area_m2):
        given = _room(room, area, layer).water_g_per_h / area / 1000
        hours.append(float(np.sum(weight * water / given)))
    first_days = _room(room, open_area_m2 * molds, np.zeros(1)).relative_humidity
    wettest = float(np.asarray(first_days)[0])
    return DryingTogether(hours[0] / 24, hours[1] / 24, wettest)


def _states(
    plaster: Plaster, depth_mm: float, until: float, critical_saturation: float
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return spans of water, the weights in them, and the dry layer there. [kg/m2], [-], [mm].

    The first state is the wet stage as a whole, where nothing changes; then come
    twelve Gauss points of the falling stage.
    """
    first = float(free_water(plaster)) * depth_mm
    full = float(porosity(plaster)) * float(water_density(20.0)) * depth_mm
    bend, last = min(critical_saturation * full, first), first * (1 - until)
    points, weights = np.polynomial.legendre.leggauss(12)
    span = max(bend - last, 0.0)
    at = min(last, bend) + span * (points + 1) / 2
    water = np.concatenate([[first - max(bend, last)], np.full(12, span)])
    weight = np.concatenate([[1.0], weights / 2])
    layer = np.concatenate([[0.0], depth_mm * (1 - at / bend)])
    return water, weight, np.clip(layer, 0.0, 200.0)


def _room(room: DryingRoom, area_m2: float, layer_mm: FloatArray) -> RoomAir:
    """Return the room's air for molds in one state after another."""
    return room_with_molds(
        area_m2,
        room.heat_w_per_m2_k,
        room.room_m3,
        room.air_changes_per_h,
        room.temperature_c,
        room.outside_c,
        room.outside_humidity,
        dry_layer_mm=layer_mm,
    )
