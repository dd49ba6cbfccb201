"""A model that is drawn as a hollow vessel: its outside, and what it holds when brimful."""

from __future__ import annotations

from dataclasses import dataclass

import manifold3d

from pourwright.shape.mesh import Mesh
from pourwright.shape.solids import mesh_of, solid_of

LEAST_DEPTH = 0.5
"""A hollow that is less deep than this share of the height is a recess, not a vessel's inside. [-]"""

_BELOW_RIM_MM = 0.05
_LID_MM = 1.0
_SEARCHED = 0.15
"""How far below the top a brim is looked for, as a share of the height: a spout may dip. [-]"""


@dataclass(frozen=True, slots=True, eq=False)
class Vessel:
    """A hollow vessel taken apart.

    Parameters
    ----------
    outside : Mesh
        The body with its inside filled to the brim.
    capacity_l : float
        The inside, brimful. [l]
    brim_mm : float
        How high the brim is above the lowest point. [mm]
    """

    outside: Mesh
    capacity_l: float
    brim_mm: float


def vessel_of(mesh: Mesh) -> Vessel | None:
    """Take a hollow vessel that stands upright apart; None if the model is not one.

    A lid is laid on the highest level at which the rim goes all the way round. What it
    encloses is the inside; what both enclose together is the outside.

    Parameters
    ----------
    mesh : Mesh
        One sound body, z up.
    """
    solid = solid_of(mesh)
    if solid is None:
        return None
    low, top = float(mesh.low_mm[2]), float(mesh.high_mm[2])
    level = top - _BELOW_RIM_MM
    while level > top - _SEARCHED * (top - low):
        if found := _lidded(solid, level, low, top):
            return found
        level -= _LID_MM
    return None


def _lidded(solid: manifold3d.Manifold, level: float, low: float, top: float) -> Vessel | None:
    """Return the vessel that a lid at some level makes of a body, None if it encloses nothing."""
    section = solid.slice(level)
    if section.num_contour() < 2:
        return None
    rings = [manifold3d.CrossSection([ring]) for ring in section.to_polygons()]
    outline = max(rings, key=lambda one: float(one.area()))
    lid = manifold3d.Manifold.extrude(outline, _LID_MM).translate((0.0, 0.0, level))
    parts = (solid + lid).decompose()
    inside = min(parts, key=lambda one: float(one.volume()))
    _, _, bottom, _, _, brim = inside.bounding_box()
    if inside.volume() >= 0 or brim - bottom < LEAST_DEPTH * (top - low):
        return None
    body = max(parts, key=lambda one: float(one.volume()))
    outside = body.trim_by_plane((0.0, 0.0, -1.0), -top)
    above_lid = (outline.area() - section.area()) * _BELOW_RIM_MM  # up to the brim itself
    capacity_l = (above_lid - inside.volume()) / 1e6
    return Vessel(mesh_of(outside), capacity_l, level + _BELOW_RIM_MM - low)
