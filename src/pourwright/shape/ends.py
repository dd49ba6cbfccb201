"""Where a base or a top parts from the sides: at the foot or the rim, past its rounding, or past a step."""

from __future__ import annotations

from dataclasses import dataclass

import manifold3d
import numpy as np
from scipy.spatial import cKDTree

from pourwright.shape.mesh import FloatArray, Mesh
from pourwright.shape.opening import within

STEEP = 0.5
"""Where the outside leans toward a base or a top by less than this sine, its seam is steep. [-]"""

MOST_ROUNDED_MM = 15.0
"""A foot or a rim is taken for rounded no farther. [mm]"""

SAME_MM = 1e-3
"""A face that leans back over a seam by less is taken to lie on it. [mm]"""

SHARP = np.sin(np.radians(45.0))
"""Where it leans toward them by more than this sine, the sides' plaster would end in an edge that chips. [-]"""

STEP_MM, STEP_DEG = 8.0, 5.0
"""How far a step leads a base or a top around such an edge, and how far its wall leans. Our own choice.
[mm, degree]"""

_FEW = 0.02
"""So little of an outline does not count: slivers of a decimated model. [-]"""

_BELOW_MM = 0.05


@dataclass(frozen=True, slots=True, eq=False)
class End:
    """Where a base or a top parts from the sides.

    Parameters
    ----------
    up : float
        Which way it is pulled: -1 for a base, 1 for a top.
    seam_mm : float
        How high its level seam is. [mm]
    outline : CrossSection
        What goes round the foot or the rim there, seen from above; it has no hollows.
    step : Manifold or None
        What it takes of the sides past the seam, the piece in it; None where no edge would chip.
    """

    up: float
    seam_mm: float
    outline: manifold3d.CrossSection
    step: manifold3d.Manifold | None


def end_of(solid: manifold3d.Manifold, surface: Mesh, end: float, up: float) -> End:
    """Return where a base (up is -1) or a top parts from the sides.

    Parameters
    ----------
    solid : Manifold
        The piece.
    surface : Mesh
        The same.
    end : float
        Its lowest or its highest point. [mm]
    up : float
        Which of the two.
    """
    seam = seam_height_mm(solid, surface, end, up)
    outline = solid.slice(seam - up * _BELOW_MM).hull()
    return End(up, seam, outline, _step(solid, surface, outline, seam, up))


def _step(
    solid: manifold3d.Manifold,
    surface: Mesh,
    outline: manifold3d.CrossSection,
    seam: float,
    up: float,
) -> manifold3d.Manifold | None:
    """Return a step around a foot or a rim that runs out flat, where nothing holds in it.

    The seam then meets the piece a step farther out and almost upright, and the plaster on both
    of its sides is blunt.
    """
    low, high = np.sort(surface.corners_mm[:, :, 2], axis=1)[:, [0, 2]].T
    at, leans = seam - up * _BELOW_MM, surface.normals[:, 2] * up
    crossing = np.flatnonzero((low < at) & (high > at))
    lengths = _outline_lengths(solid.slice(at), surface.corners_mm[crossing], at)
    if lengths[leans[crossing] > SHARP].sum() <= _FEW * lengths.sum():
        return None
    narrower = STEP_MM * (1 - np.tan(np.radians(STEP_DEG)))
    levels = ((STEP_MM, seam + up), (STEP_MM, seam), (narrower, seam - up * STEP_MM))
    points = [
        np.column_stack([ring, np.full(len(ring), height)])
        for wide, height in levels
        for ring in outline.offset(wide, manifold3d.JoinType.Round, 2.0, 64).to_polygons()
    ]
    corners = np.vstack(points)
    past = (seam - surface.centers_mm[:, 2]) * up
    is_in = (past > 0) & (past < STEP_MM) & within(corners, surface.centers_mm)
    step = manifold3d.Manifold.hull_points(corners)
    shut_off = [one for one in (step - solid).decompose() if _far(one, up) < seam * up]
    return None if shut_off or (leans[is_in] < -SAME_MM).any() else step


def _far(solid: manifold3d.Manifold, up: float) -> float:
    """Return how far a body reaches the way that a base or a top is pulled. [mm]"""
    _, _, low, _, _, high = solid.bounding_box()
    return float(high if up > 0 else -low)


def seam_height_mm(solid: manifold3d.Manifold, surface: Mesh, end: float, up: float) -> float:
    """Return at which height a base (up is -1) or a top parts from the sides. [mm]

    At the foot or the rim itself, if the outside is steep there. Where it is rounded, plaster of
    a side would run out into an edge that chips, so the seam stands where the rounding has
    become steep, and the base or the top forms it.

    Parameters
    ----------
    solid : Manifold
        The piece.
    surface : Mesh
        The same.
    end : float
        Its lowest or its highest point. [mm]
    up : float
        Which of the two.
    """
    low, high = np.sort(surface.corners_mm[:, :, 2], axis=1)[:, [0, 2]].T
    leans = surface.normals[:, 2] * up
    for inward in np.arange(0.1, MOST_ROUNDED_MM, 0.25):
        at = end - up * inward
        crossing = np.flatnonzero((low < at) & (high > at))
        lengths = _outline_lengths(solid.slice(at), surface.corners_mm[crossing], at)
        few = _FEW * lengths.sum()
        if lengths[leans[crossing] < -SAME_MM].sum() > few:
            break
        if lengths[leans[crossing] > STEEP].sum() <= few:
            return end if inward < 0.2 else float(at)
    return end


def _outline_lengths(
    section: manifold3d.CrossSection, triangles: FloatArray, at: float
) -> FloatArray:
    """Return how long each triangle crosses a level, 0 where that is the edge of a hollow. [mm]"""
    rings = section.to_polygons()
    middles = [(ring + np.roll(ring, -1, axis=0)) / 2 for ring in rings]
    areas = [float(manifold3d.CrossSection([ring]).area()) for ring in rings]
    is_outline = np.repeat([area > 0 for area in areas], [len(one) for one in middles])
    heights = triangles[:, :, 2] - at
    ahead, beyond = np.roll(triangles, -1, axis=1), np.roll(heights, -1, axis=1)
    is_cut = heights * beyond < 0
    share = np.where(is_cut, heights / np.where(is_cut, heights - beyond, 1.0), 0.0)
    crossed = (
        np.where(is_cut, 1.0, np.nan)[:, :, None]
        * (triangles + share[:, :, None] * (ahead - triangles))[:, :, :2]
    )
    first, last = np.nanmin(crossed, axis=1), np.nanmax(crossed, axis=1)
    _, nearest = cKDTree(np.vstack(middles)).query(np.nanmean(crossed, axis=1))
    lengths: FloatArray = np.linalg.norm(last - first, axis=1) * is_outline[nearest]
    return lengths
