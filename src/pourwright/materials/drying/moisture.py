"""Water inside a mold's wall through a week of casts: drinking, spreading, drying.

One dimension, from the casting face to the outside, on the equation of
`pourwright.materials.drying.wall`. The slowing of casts is calibrated on one potter's log,
so that log does not test it.

What this page leaves out: edges of the mold, seams, the cast's own drying while it
stands in the mold, and the slower drying of molds that have seen many casts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pourwright.materials.drying.evaporation import wet_face
from pourwright.materials.drying.wall import CELLS, Face, MoldWall, diffuse
from pourwright.materials.plaster.hardened import REACHED_PORES
from pourwright.materials.ranges import FloatArray, Range, require, require_between

SLOWING_PER_KG_PER_M2 = Range(
    0.130, 0.178, 0.208, "one potter's log of three molds: each cast 1/8, 1/6 and 1/5 longer"
)
"""Rise of the casting time over the water in the first 25 mm of wall [m2/kg]: calibrated.

A 4 mm wall gives about 0.97 kg/m2; 3, 3.5 and 4 min on one mold, 4 and 4.5, 5 and 6
on two others. The wet depth stands in the way of the water, so it is water that
counts and not saturation.
"""
NEAR_FACE_MM = 25.0
WORKING_LIMIT = 0.15
"""Free water over dry mass beyond which many shops rest a mold (a maker's bulletin)."""
CRITICAL_SATURATION = 0.10
_THIN_FILM = 0.02
_KNOTS = 96
_GENTLE = 0.25
_NEARLY_FULL = 0.05


@dataclass(frozen=True, slots=True)
class CastWeek:
    """What a series of casts does to a mold's wall.

    Parameters
    ----------
    cast_h : array of shape (casts,)
        When each cast was poured. [h]
    slower : Range
        Casting time of each over that of the dry mold, arrays of shape (casts,). [-]
    free_water : array of shape (casts,)
        Of the whole wall over its dry mass, as each cast was poured. [-]
    profile : array of shape (casts, cells)
        Saturation of the reached pores from the casting face outward, likewise. [-]
    last_profile : array of shape (cells,)
        The same at the end. [-]
    drunk_kg_per_m2, evaporated_kg_per_m2 : float
        Water taken from the casts and given to the air. [kg/m2]
    refused_kg_per_m2 : float
        Water that a full face could not take: those casts stay wet. [kg/m2]
    """

    cast_h: FloatArray
    slower: Range
    free_water: FloatArray
    profile: FloatArray
    last_profile: FloatArray
    drunk_kg_per_m2: float
    evaporated_kg_per_m2: float
    refused_kg_per_m2: float


def drying_face(wall: MoldWall) -> Face:
    """Return what an open face of the wall gives to the air, by its saturation.

    The rate of `pourwright.materials.drying.evaporation.wet_face`, slowed behind a dry
    layer once the mean saturation is below a tenth, and stopped where the cell at
    the face has run dry.

    Parameters
    ----------
    wall : MoldWall
        The wall and its air.

    Returns
    -------
    callable
        From the saturation to the flux, and its slopes by the cell at the face and
        by the mean. [m/s]

    Examples
    --------
    >>> from pourwright.materials.plaster.mix import Plaster
    >>> wall = MoldWall(Plaster("pottery plaster", 70, "the bag"), 30.0)
    >>> f"{drying_face(wall)(np.full(30, 0.9))[0] * 3.6e9:.0f} g/(m2 h)"
    '96 g/(m2 h)'
    """
    depth_mm = wall.thickness_mm / (2 if wall.inside_open else 1)
    # The dry layer sets in gently: a kink would cost the solver its steps.
    short = 1 - np.linspace(0.0, 1 + _GENTLE, _KNOTS + 1)
    gently = (np.clip(short, -_GENTLE, _GENTLE) + _GENTLE) ** 2 / (4 * _GENTLE)
    layer = depth_mm * np.where(short > _GENTLE, short, gently)
    air = (wall.temperature_c, wall.relative_humidity, wall.heat_w_per_m2_k)
    rates = np.asarray(wet_face(*air, dry_layer_mm=layer).water_g_per_m2_h) / 3.6e9
    flux = [float(rate) for rate in rates]
    to_place = _KNOTS / (1 + _GENTLE) * REACHED_PORES[1] / CRITICAL_SATURATION

    def outflow(saturation: FloatArray) -> tuple[float, float, float]:
        place = max(float(np.add.reduce(saturation)) / CELLS, 0.0) * to_place
        low = min(int(place), _KNOTS - 1)
        rise = flux[low + 1] - flux[low] if place < _KNOTS else 0.0
        rate = flux[low] + rise * (place - low) if place < _KNOTS else flux[-1]
        wet = max(float(saturation[-1]), 0.0)
        open_share = wet / (wet + _THIN_FILM)
        by_cell = rate * _THIN_FILM / (wet + _THIN_FILM) ** 2
        return rate * open_share, by_cell, to_place * rise * open_share

    return outflow


def _inner_face(wall: MoldWall, outer: Face) -> Face:
    """Return the flux through the casting face between casts: none, or drying too. [m/s]."""
    if not wall.inside_open:
        return lambda saturation: (0.0, 0.0, 0.0)

    def inflow(saturation: FloatArray) -> tuple[float, float, float]:
        flux, by_cell, by_mean = outer(saturation[::-1])
        return -flux, -by_cell, -by_mean

    return inflow


def _drinking(rate_m_per_s: float) -> Face:
    """Return the flux that a cast gives a face: all of it until the face is nearly full. [m/s]."""

    def inflow(saturation: FloatArray) -> tuple[float, float, float]:
        room = (1 - float(saturation[0])) / _NEARLY_FULL
        if room >= 2:
            return rate_m_per_s, 0.0, 0.0
        # A parabola that meets the full rate without a kink; what is over-full flows back.
        slope = rate_m_per_s * (room / 2 - 1) / _NEARLY_FULL
        return rate_m_per_s * (room - room**2 / 4), slope, 0.0

    return inflow


def cast_week(
    wall: MoldWall,
    cast_h: Sequence[float],
    water_kg_per_m2: float,
    casting_min: float,
    *,
    start: FloatArray | None = None,
    until_h: float | None = None,
) -> CastWeek:
    """Return what a series of casts does to a mold: how slow each is, how wet the wall.

    A cast gives its water evenly over its time; in between it spreads and dries.
    Casting time over that of the dry mold is ``1 + 0.178 W``, W the water in the
    first 25 mm of wall as the cast is poured, in kg/m2.

    Parameters
    ----------
    wall : MoldWall
        The wall and its air.
    cast_h : sequence of float
        When each cast is poured, rising, from 0 on. [h]
    water_kg_per_m2 : float
        Water that a cast gives to a face, 0 to 10: about 1 for a 4 mm wall. [kg/m2]
    casting_min : float
        Casting time in the dry mold, 0.5 to 240. [min]
    start : array of shape (cells,), optional
        Saturation of the wall at the beginning; bone dry if not told. [-]
    until_h : float, optional
        When to stop; the last cast if not told. [h]

    Returns
    -------
    CastWeek
        One entry a cast, and the water balance.

    Raises
    ------
    OutOfRange
        If a figure is outside its range, or the casts do not follow each other.

    Notes
    -----
    The slowing is calibrated on one log of casts in rapid order [1]_; two other
    molds of the same log give the range. Plaster drinks from slip a tenth as fast
    as from water, so figures of bare immersion say nothing of casting.

    Examples
    --------
    Two casts a day from Monday to Wednesday:

    >>> from pourwright.materials.plaster.mix import Plaster
    >>> wall = MoldWall(Plaster("pottery plaster", 70, "the bag"), 30.0)
    >>> week = cast_week(wall, [0, 4, 24, 28, 48, 52], 0.97, 5.0)
    >>> [round(float(factor), 2) for factor in week.slower.likely]
    [1.0, 1.14, 1.2, 1.3, 1.23, 1.33]

    References
    ----------
    .. [1] A pottery supplier's page on casting slip: a 4 mm wall in 3, 3.5 and 4 min.
    """
    at = _checked(wall, cast_h, water_kg_per_m2, casting_min)
    state = np.zeros(CELLS) if start is None else np.asarray(start, dtype=np.float64)
    end = float(at[-1]) if until_h is None else until_h
    require("end of the week", end, "h", f"at least {at[-1]:g}, the last cast", end >= at[-1])
    outer = drying_face(wall)
    inner = _inner_face(wall, outer)
    profiles, drunk, gone = [], 0.0, 0.0
    ends = np.append(at[1:], max(end, float(at[-1]) + casting_min / 30))
    for begun, following in zip(at * 3600, ends * 3600, strict=True):
        profiles.append(state)
        slower = 1 + float(SLOWING_PER_KG_PER_M2.likely) * float(_near_water(wall, state))
        seconds = min(casting_min * 60 * slower, following - begun)
        drinking = _drinking(water_kg_per_m2 / 1000 / max(seconds, 1.0))
        state, came, went = diffuse(wall, state, seconds, drinking, outer)
        drunk, gone = drunk + came, gone + went
        state, came, went = diffuse(wall, state, following - begun - seconds, inner, outer)
        gone += went - came
    profile = np.array(profiles)
    return _week(wall, at, profile, state, drunk, gone, water_kg_per_m2)


def _week(
    wall: MoldWall,
    at: FloatArray,
    profile: FloatArray,
    last: FloatArray,
    drunk_m: float,
    gone_m: float,
    water_kg_per_m2: float,
) -> CastWeek:
    """Return the record of a week from its profiles and its water balance."""
    wet, slowing = _near_water(wall, profile), SLOWING_PER_KG_PER_M2
    low, likely, high = (1 + bound * wet for bound in (slowing.low, slowing.likely, slowing.high))
    return CastWeek(
        cast_h=at,
        slower=Range(low, likely, high, slowing.source),
        free_water=wall.free_water(profile.mean(axis=1)),
        profile=profile,
        last_profile=last,
        drunk_kg_per_m2=drunk_m * 1000,
        evaporated_kg_per_m2=gone_m * 1000,
        refused_kg_per_m2=max(water_kg_per_m2 * len(at) - drunk_m * 1000, 0.0),
    )


def _near_water(wall: MoldWall, saturation: FloatArray) -> FloatArray:
    """Return the water in the first 25 mm of wall. [kg/m2]."""
    cell_mm = wall.thickness_mm / CELLS
    share = np.clip(NEAR_FACE_MM / cell_mm - np.arange(CELLS), 0.0, 1.0)
    return np.asarray((saturation * share).sum(axis=-1) * cell_mm * wall.capacity)


def _checked(
    wall: MoldWall, cast_h: Sequence[float], water_kg_per_m2: float, casting_min: float
) -> FloatArray:
    """Return the times of the casts, all figures looked at. [h]."""
    at = np.asarray(cast_h, dtype=np.float64)
    require("number of casts", float(at.size), "casts", "at least 1", at.size > 0)
    require("time of a cast", at, "h", "at least 0 and finite", (at >= 0) & np.isfinite(at))
    require_between("water that a cast gives to the mold", water_kg_per_m2, "kg/m2", 0.0, 10.0)
    require_between("casting time in the dry mold", casting_min, "min", 0.5, 240.0)
    gaps = np.diff(at) * 60
    require(
        "time from one cast to the next",
        gaps,
        "min",
        f"more than twice the casting time, {casting_min:g} min",
        gaps > 2 * casting_min,
    )
    return at


def falls_behind(week: CastWeek, wall: MoldWall, limit: float = WORKING_LIMIT) -> int | None:
    """Return the first cast for which the mold is too wet, or None.

    Too wet: the wall holds more free water than the limit as the cast is poured.

    Parameters
    ----------
    week : CastWeek
        From `cast_week`.
    wall : MoldWall
        The wall.
    limit : float
        Free water over dry mass, 0.01 to 0.4. [-]

    Returns
    -------
    int or None
        The cast, counted from 0: rest the mold before it. [-]

    Raises
    ------
    OutOfRange
        If the limit is outside its range.

    Examples
    --------
    Cast upon cast, an hour apart:

    >>> from pourwright.materials.plaster.mix import Plaster
    >>> wall = MoldWall(Plaster("pottery plaster", 70, "the bag"), 30.0)
    >>> falls_behind(cast_week(wall, range(10), 0.97, 5.0), wall)
    6
    """
    require_between("free water that the mold may hold", limit, "of the dry mass", 0.01, 0.4)
    late = np.flatnonzero(week.free_water > limit)
    return int(late[0]) if late.size else None
