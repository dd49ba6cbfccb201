"""Where a base or a top parts from the sides: at the foot or the rim, or past its rounding."""

from __future__ import annotations

import manifold3d
import numpy as np
from scipy.spatial import cKDTree

from pourwright.shape.mesh import FloatArray, Mesh

STEEP = 0.5
"""Where the outside leans toward a base or a top by less than this sine, its seam is steep. [-]"""

MOST_ROUNDED_MM = 15.0
"""A foot or a rim is taken for rounded no farther. [mm]"""

SAME_MM = 1e-3
"""A face that leans back over a seam by less is taken to lie on it. [mm]"""

_FEW = 0.02
"""So little of an outline does not count: slivers of a decimated model. [-]"""


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
