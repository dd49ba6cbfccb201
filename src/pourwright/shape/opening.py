"""The level face that slip is poured through: no plaster touches it."""

from __future__ import annotations

import numpy as np

from pourwright.errors import BadInput
from pourwright.shape.mesh import BoolArray, Mesh

LEAST_OPENING_M2 = 5e-5
"""A level face of less is none to pour through. [m2]"""

SAME_LEVEL_MM = 0.8
"""Triangles that lie no farther apart in height belong to one face. [mm]"""

_LEVEL = 0.999


def opening_of(mesh: Mesh, pour_mm: float | None) -> tuple[BoolArray, float]:
    """Return the triangles of the pour face, none where there is none, and its height. [mm]

    Parameters
    ----------
    mesh : Mesh
        One sound body, z up.
    pour_mm : float or None
        How high it is above the lowest point; None takes the top. [mm]

    Raises
    ------
    BadInput
        If no level face is at the height told.
    """
    heights = mesh.centers_mm[:, 2]
    is_level = mesh.normals[:, 2] > _LEVEL
    low, top = float(mesh.low_mm[2]), float(mesh.high_mm[2])
    asked = top if pour_mm is None else low + pour_mm
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
