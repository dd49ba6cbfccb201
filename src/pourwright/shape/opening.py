"""The level face that slip is poured through: no plaster touches it."""

from __future__ import annotations

import numpy as np
from scipy.spatial import ConvexHull

from pourwright.errors import BadInput
from pourwright.shape.mesh import BoolArray, FloatArray, Mesh

LEAST_OPENING_M2 = 5e-5
"""A level face of less is none to pour through. [m2]"""

SAME_LEVEL_MM = 0.8
"""Triangles that lie no farther apart in height belong to one face. [mm]"""

UPPER = 0.25
"""A pour face is looked for in this share of the height. [-]"""

_LEVEL = 0.999


def opening_of(mesh: Mesh, pour_mm: float | None) -> tuple[BoolArray, float]:
    """Return the triangles of the pour face, none where there is none, and its height. [mm]

    Parameters
    ----------
    mesh : Mesh
        One sound body, z up.
    pour_mm : float or None
        How high it is above the lowest point; None takes the top, or
        a much larger level face near it. [mm]

    Raises
    ------
    BadInput
        If no level face is at the height told.
    """
    heights = mesh.centers_mm[:, 2]
    is_level = mesh.normals[:, 2] > _LEVEL
    low, top = float(mesh.low_mm[2]), float(mesh.high_mm[2])
    asked = _proposed(mesh, is_level) if pour_mm is None else low + pour_mm
    is_open: BoolArray = is_level & (np.abs(heights - asked) < SAME_LEVEL_MM)
    if mesh.areas_m2[is_open].sum() >= LEAST_OPENING_M2:
        return is_open, float(np.average(heights[is_open], weights=mesh.areas_m2[is_open]))
    if pour_mm is None:
        return np.zeros(len(heights), dtype=bool), top
    found = sorted(
        {round(float(one) - low, 1) for one in heights[is_level & (mesh.areas_m2 > 1e-6)]}
    )
    known = (
        f"it has them at {', '.join(f'{one:g}' for one in found[-5:])} mm"
        if found
        else "it has none"
    )
    raise BadInput.one(
        "--pour", f"{pour_mm:g} mm", f"name the height of a level face that faces up; {known}"
    )


def is_in_recess(mesh: Mesh, is_open: BoolArray) -> bool:
    """Return whether the rim of a piece goes round its pour face, above it.

    A jar's gallery is such a recess: slip is poured onto its floor, and plaster forms its wall.

    Parameters
    ----------
    mesh : Mesh
        The piece, z up.
    is_open : array of bool, (m,)
        The triangles of the pour face.
    """
    if not is_open.any() or mesh.centers_mm[is_open, 2].max() > mesh.high_mm[2] - SAME_LEVEL_MM:
        return False
    rim = mesh.vertices_mm[mesh.vertices_mm[:, 2] > mesh.high_mm[2] - SAME_LEVEL_MM]
    return bool(within(rim, mesh.centers_mm[is_open]).all())


def within(around_mm: FloatArray, points_mm: FloatArray) -> BoolArray:
    """Return which points lie within the outline around others, seen from above.

    Parameters
    ----------
    around_mm : array of float, (k, 3)
        The others. [mm]
    points_mm : array of float, (n, 3)
        The points. [mm]
    """
    flat = around_mm[:, :2]
    if len(flat) < 3 or np.linalg.matrix_rank(flat - flat[0], tol=0.1) < 2:
        return np.zeros(len(points_mm), dtype=bool)
    is_in: BoolArray = np.ones(len(points_mm), dtype=bool)
    for x, y, off in ConvexHull(flat).equations:
        is_in &= points_mm[:, 0] * x + points_mm[:, 1] * y + off <= 0
    return is_in


def _proposed(mesh: Mesh, is_level: BoolArray) -> float:
    """Return how high slip is poured in: at the top, unless that is a rim or no level face. [mm]

    Within a rim it is the floor of the recess; below a spout the largest level face near the top.
    """
    heights, top = mesh.centers_mm[:, 2], float(mesh.high_mm[2])
    is_rim = is_level & (heights > top - SAME_LEVEL_MM)
    largest_m2 = float(mesh.areas_m2[is_rim].sum())
    below = is_level & ~is_rim & (heights > top - UPPER * mesh.size_mm[2])
    if largest_m2 >= LEAST_OPENING_M2:
        below &= within(mesh.corners_mm[is_rim].reshape(-1, 3), mesh.centers_mm)
    best, largest_m2 = top, max(largest_m2, LEAST_OPENING_M2)
    for level in np.unique(heights[below].round(1))[::-1]:
        area = float(mesh.areas_m2[below & (np.abs(heights - level) < SAME_LEVEL_MM)].sum())
        if area > largest_m2:
            best, largest_m2 = float(level), area
    return best
