"""Where air stays when a mold is filled through its opening, and how it is let out.

Slip rises everywhere alike. Where a place of the surface is higher than all around it and no way
leads up from there to the opening, air stays. Leaning the mold helps if the place then has a way
up; under a ring, such as a foot, it never has, and a vent is led up from it.
"""

from __future__ import annotations

from dataclasses import dataclass

import manifold3d
import msgspec
import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from pourwright.shape.edges import edges_of
from pourwright.shape.mesh import FloatArray, IntArray, Mesh, as_place
from pourwright.shape.records import Air

LEAST_MM = 1.0
"""Tops that stand out less above what they hang together with are not told. [mm]"""

LEANS_DEG = (5, 10, 15, 20, 25, 30)
"""So far a mold is leaned by hand while it fills. Our own choice. [degree]"""

VENT_MM, VENT_DEG = 2.0, 1.2
"""How wide a vent is at its upper end, and how it narrows toward there so that a top comes off it.
Common practice, no source. [mm, degree]"""

APART_MM = 30.0
"""Under a place that is longer two vents stand, as far from one another as can be. Our own choice. [mm]"""

_FLAT_MM, _ON_IT_MM, _PAST_MM = 0.5, 0.02, 1.0
_FREED_DEG = 2.0
_INWARD_MM = (1.5, 1.0, 0.5, 0.2)


@dataclass(frozen=True, slots=True, eq=False)
class _Pocket:
    """A place where air stays: its highest corner, where a way leads up, and all corners above that."""

    top: int
    way_up: int
    corners: IntArray


def air_of(inside: Mesh) -> tuple[Air, ...]:
    """Return where air stays while slip rises, the deepest first.

    It is as deep as one would have to go down to come up to a higher place.

    Parameters
    ----------
    inside : Mesh
        The piece with the spare on its opening, and with its vents, z up.
    """
    found = []
    for one in _pockets(inside):
        top, way_up = inside.vertices_mm[[one.top, one.way_up]]
        told = Air(as_place(top), float(top[2] - way_up[2]))
        found.append(_leaned(inside, one, told))
    return tuple(sorted(found, key=lambda one: -one.deep_mm))


@dataclass(frozen=True, slots=True, eq=False)
class Vent:
    """A vent: where it begins on the piece, and its body up past the top of the block."""

    at_mm: FloatArray
    body: manifold3d.Manifold


def vents_of(
    inside: Mesh, top_mm: float, seam_of_top_mm: float | None, *, halves: bool
) -> tuple[Vent, ...]:
    """Return the vents that a mold takes: through its top, or where its two halves meet.

    None stands where leaning the mold lets the air out.

    Parameters
    ----------
    inside : Mesh
        The piece with the spare on its opening, z up, and two halves meeting in x = 0.
    top_mm : float
        How high the block is. [mm]
    seam_of_top_mm : float or None
        How high the seam of a top is that is pulled off upward; None where there is none. [mm]
    halves : bool
        Whether the sides are two halves.
    """
    found: list[Vent] = []
    for one in _pockets(inside):
        high = inside.vertices_mm[one.top]
        if _leaned(inside, one, Air(as_place(high), 0.0)).lean_deg is not None:
            continue
        flat = one.corners[inside.vertices_mm[one.corners, 2] > high[2] - _FLAT_MM]
        area = _area(inside, flat)
        if seam_of_top_mm is not None and high[2] > seam_of_top_mm - _FLAT_MM:
            places = _middles(area, inside.vertices_mm[flat])
        else:
            places = _at_seam(inside, flat) if halves else np.zeros((0, 3))
        if len(places):
            away = np.linalg.norm(places - places[0], axis=1)
            last = [places[away.argmax()]] if away.max() > APART_MM else []
            found += [_vent(at, area, top_mm) for at in (places[0], *last)]
    return tuple(found)


def _vent(at_mm: FloatArray, area: manifold3d.CrossSection, top_mm: float) -> Vent:
    """Return a vent; into the piece it reaches only where the piece is level, so it leaves no pit."""
    x, y, z = (float(one) for one in at_mm)
    high = top_mm + _PAST_MM - z
    wide = VENT_MM / 2 + high * np.tan(np.radians(VENT_DEG))
    body = manifold3d.Manifold.cylinder(high, wide, VENT_MM / 2, 32).translate((x, y, z))
    foot = manifold3d.CrossSection.circle(wide, 32).translate((x, y)) ^ area
    if foot.is_empty():
        return Vent(at_mm, body.translate((0.0, 0.0, -_ON_IT_MM)))
    into = manifold3d.Manifold.extrude(foot, _FLAT_MM + _ON_IT_MM)
    return Vent(at_mm, body + into.translate((0.0, 0.0, z - _FLAT_MM)))


def _pockets(inside: Mesh) -> list[_Pocket]:
    heights = inside.vertices_mm[:, 2]
    order = np.argsort(-heights, kind="stable")
    rank = np.empty(len(order), dtype=np.int64)
    rank[order] = np.arange(len(order))
    ends = edges_of(inside.faces).ends
    # each edge belongs to its lower end, and joins it to what is higher
    lower_first = np.where((rank[ends[:, 0]] > rank[ends[:, 1]])[:, None], ends, ends[:, ::-1])
    by_lower = lower_first[np.argsort(rank[lower_first[:, 0]], kind="stable")]
    lower, higher = by_lower[:, 0].tolist(), by_lower[:, 1].tolist()
    top = list(range(len(order)))  # the highest place of all that hangs together with each

    def top_of(one: int) -> int:
        while top[one] != one:
            top[one] = top[top[one]]
            one = top[one]
        return one

    # the spare and each vent end at the top of the block
    is_open = heights > heights.max() - _PAST_MM
    # a recess from below has a top as well, but slip is above it
    upward = np.zeros(len(order))
    np.add.at(upward, inside.faces.ravel(), np.repeat(inside.crosses_mm2[:, 2], 3))
    found = []
    for low, high in zip(lower, higher, strict=True):
        first, second = top_of(low), top_of(high)
        if first == second:
            continue
        less, more = sorted((first, second), key=lambda one: -int(rank[one]))
        top[less] = more
        is_shut = upward[less] > 0 and not is_open[less]
        if is_shut and heights[less] - heights[low] >= LEAST_MM:
            found.append(_Pocket(less, low, _above(heights, ends, less, low)))
    return found


def _above(heights: FloatArray, ends: IntArray, top: int, way_up: int) -> IntArray:
    """Return the corners that hang together with a top, all above where a way leads up from it."""
    is_above = heights > heights[way_up]
    links = ends[is_above[ends].all(axis=1)]
    ones = np.ones(len(links), dtype=np.int8)
    _, piece = connected_components(
        coo_array((ones, (links[:, 0], links[:, 1])), shape=(len(heights),) * 2), directed=False
    )
    return np.flatnonzero(is_above & (piece == piece[top]))


def _leaned(inside: Mesh, pocket: _Pocket, air: Air) -> Air:
    """Return the same with how far the mold is leaned to let the air out, if that does.

    The side of the place goes down, until where a way leads up is higher than it; and slip has to
    rise past there before it runs over the low side of the spare.
    """
    top, way_up = inside.vertices_mm[[pocket.top, pocket.way_up]]
    away = (top - way_up)[:2]
    far = float(np.linalg.norm(away))
    least = np.degrees(np.arctan2(top[2] - way_up[2], far)) + _FREED_DEG
    able = [one for one in LEANS_DEG if one >= least]
    if not able:
        return air
    lean, heading = able[0], float(np.degrees(np.arctan2(away[1], away[0])))
    turned = Mesh(inside.vertices_mm @ _lean(lean, heading).T, inside.faces)
    brim = inside.vertices_mm[:, 2] > inside.vertices_mm[:, 2].max() - _PAST_MM
    if turned.vertices_mm[brim, 2].min() < turned.vertices_mm[pocket.way_up, 2]:
        return air
    if np.isin([one.top for one in _pockets(turned)], pocket.corners).any():
        return air
    return msgspec.structs.replace(air, lean_deg=float(lean), toward_deg=round(heading) % 360.0)


def _lean(lean_deg: float, heading_deg: float) -> FloatArray:
    """Return the turn that lowers the side at a heading."""
    lean, heading = np.radians([lean_deg, heading_deg])
    x, y = -np.sin(heading), np.cos(heading)  # the level line it is turned around
    cross = np.array([[0.0, 0.0, y], [0.0, 0.0, -x], [-y, x, 0.0]])
    turn: FloatArray = np.eye(3) + np.sin(lean) * cross + (1 - np.cos(lean)) * cross @ cross
    return turn


def _area(inside: Mesh, flat: IntArray) -> manifold3d.CrossSection:
    """Return what a level place covers, seen from above."""
    faces = np.isin(inside.faces, flat).all(axis=1) & (inside.normals[:, 2] > 0)
    rings = [manifold3d.CrossSection([one]) for one in inside.corners_mm[faces][:, :, :2]]
    return manifold3d.CrossSection.batch_boolean(rings, manifold3d.OpType.Add)


def _middles(area: manifold3d.CrossSection, corners: FloatArray) -> FloatArray:
    """Return places along the middle of a level place, its own corners where it has no area. [mm]"""
    for inward in _INWARD_MM:
        middle = area.offset(-inward, manifold3d.JoinType.Miter)
        if not middle.is_empty():
            points = np.vstack(middle.to_polygons())
            return np.column_stack([points, np.full(len(points), corners[:, 2].max())])
    return corners


def _at_seam(inside: Mesh, flat: IntArray) -> FloatArray:
    """Return the places where a level place crosses the seam of two halves, the highest first. [mm]"""
    ends = edges_of(inside.faces).ends
    begin, end = np.moveaxis(inside.vertices_mm[ends[np.isin(ends, flat).all(axis=1)]], 1, 0)
    crosses = begin[:, 0] * end[:, 0] <= 0
    begin, end = begin[crosses], end[crosses]
    along = np.abs(begin[:, :1])
    share = along / np.maximum(along + np.abs(end[:, :1]), 1e-9)
    places = begin + share * (end - begin)
    places[:, 0] = 0.0
    order: FloatArray = places[np.argsort(-places[:, 2], kind="stable")]
    return order
