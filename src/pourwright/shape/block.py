"""What a mold is made of: the piece with its spare, and the block of plaster around both."""

from __future__ import annotations

from dataclasses import dataclass

import manifold3d
import numpy as np

from pourwright.errors import NotDoable
from pourwright.shape.mesh import FloatArray, Mesh
from pourwright.shape.opening import SAME_LEVEL_MM, is_in_recess, opening_of
from pourwright.shape.solids import solid_of

FLARE_DEG = 10.0
"""How far the spare widens upward, to each side. Our own choice. [degree]"""

LEDGE_MM, NARROWS_DEG = 8.0, 2.0
"""A spare in a recess leaves so much of its floor to the top, and narrows upward to let it off. [mm, degree]"""

BEVEL_MM = 4.0
"""How far the outside edges are taken off. Our own choice. [mm]"""

GROOVE_MM, GROOVE_DEEP_MM = 26.0, 3.0
"""A strap of an inch lies in a groove so wide and so deep. Our own choice. [mm]"""

GROOVE_FROM_SEAM_MM = 5.0
"""A groove leaves at least so much of the sides to a level seam and to the next groove. [mm]"""

_BELOW_MM, _PAST_MM = 0.05, 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Inside:
    """What no plaster is: the piece with the spare on its opening.

    Parameters
    ----------
    solid : Manifold
        Both as one body, the piece where it was; the spare runs a little past the block's top.
    low_mm, rim_mm, top_mm : float
        Heights of the piece's lowest point, of its highest, and of the end of the spare. [mm]
    """

    solid: manifold3d.Manifold
    low_mm: float
    rim_mm: float
    top_mm: float


def inside_of(mesh: Mesh, pour_mm: float | None, spare_mm: float, plaster_mm: float) -> Inside:
    """Return a piece with the spare that stands on its opening.

    Parameters
    ----------
    mesh : Mesh
        The piece: one sound body, z up.
    pour_mm : float or None
        As for the wall. [mm]
    spare_mm : float
        How high the spare is. [mm]
    plaster_mm : float
        Plaster over a rim that goes round a recess. [mm]

    Raises
    ------
    NotDoable
        If there is no level face to pour through.
    """
    solid = solid_of(mesh)
    is_open, level = opening_of(mesh, pour_mm)
    if solid is None or not is_open.any():
        raise NotDoable(
            "There is no level face at the top to pour through, so no spare can stand on it. "
            "Say --up or --pour."
        )
    rim = float(mesh.high_mm[2])
    is_recessed = is_in_recess(mesh, is_open)
    # triangles go round to the left as seen from above
    flat = [manifold3d.CrossSection([one]) for one in mesh.corners_mm[is_open][:, :, :2]]
    outline = manifold3d.CrossSection.batch_boolean(flat, manifold3d.OpType.Add)
    outline = outline.offset(-LEDGE_MM) if is_recessed else outline
    rings = [manifold3d.CrossSection([one]) for one in outline.to_polygons()]
    if not rings:
        raise NotDoable(
            f"The face to pour through is too narrow: {LEDGE_MM:g} mm of it all round belong to the "
            "plaster that forms the recess. Name another with --pour."
        )
    outline = max(rings, key=lambda one: float(one.area()))
    top = max(level + spare_mm, rim + plaster_mm if level < rim - SAME_LEVEL_MM else level)
    spare = _spare(
        outline, top - level + _BELOW_MM + _PAST_MM, -NARROWS_DEG if is_recessed else FLARE_DEG
    )
    spare = spare.translate((0.0, 0.0, level - _BELOW_MM))
    return Inside(solid + spare, float(mesh.low_mm[2]), rim, top)


def _spare(
    outline: manifold3d.CrossSection, high_mm: float, flare_deg: float
) -> manifold3d.Manifold:
    low_x, low_y, high_x, high_y = outline.bounds()
    middle = ((low_x + high_x) / 2, (low_y + high_y) / 2)
    wider = 2 * high_mm * np.tan(np.radians(flare_deg))
    scale = (1 + wider / (high_x - low_x), 1 + wider / (high_y - low_y))
    centered = outline.translate((-middle[0], -middle[1]))
    spare = manifold3d.Manifold.extrude(centered, high_mm, scale_top=scale)
    return spare.translate((*middle, 0.0))


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """The plaster around the piece, before it is parted.

    Parameters
    ----------
    outline : CrossSection
        Seen from above; it has no hollows.
    low_mm, top_mm : float
        From where to where it stands. [mm]
    bare : Manifold
        Its edges beveled.
    solid : Manifold
        The same with the grooves for straps.
    """

    outline: manifold3d.CrossSection
    low_mm: float
    top_mm: float
    bare: manifold3d.Manifold
    solid: manifold3d.Manifold


def block_around(
    inside: Inside,
    normals: FloatArray,
    plaster_mm: float,
    round_mm: float,
    strapped_mm: tuple[float, float] | None,
) -> Block:
    """Return the block around a piece, its top level with the end of the spare.

    Parameters
    ----------
    inside : Inside
        The piece and its spare, the line in which the sides meet upright at x = y = 0, and the
        first side pulled along x.
    normals : array of float, (n, 3)
        Which way its upright faces look, once round.
    plaster_mm : float
        Plaster around the piece, at least. [mm]
    round_mm : float
        Radius of its upright edges. [mm]
    strapped_mm : (float, float) or None
        Between which heights straps hold the sides: piece and spare, or the seam of a base or a
        top; None for a mold that drops out, which takes none. [mm]
    """
    outline = _outline(inside, normals[:, :2], plaster_mm)
    outline = outline.offset(-round_mm, manifold3d.JoinType.Miter).offset(
        round_mm, manifold3d.JoinType.Round, circular_segments=64
    )
    low, top = inside.low_mm - plaster_mm, inside.top_mm
    inner = outline.offset(-BEVEL_MM, manifold3d.JoinType.Miter)
    whole = [
        manifold3d.Manifold.extrude(inner, top - low).translate((0.0, 0.0, low)),
        manifold3d.Manifold.extrude(outline, top - low - 2 * BEVEL_MM).translate(
            (0.0, 0.0, low + BEVEL_MM)
        ),
    ]
    bare = manifold3d.Manifold.batch_hull(whole)
    solid = bare
    ring = outline.offset(1.0, manifold3d.JoinType.Miter) - outline.offset(
        -GROOVE_DEEP_MM, manifold3d.JoinType.Miter
    )
    for middle in _strap_heights(*strapped_mm) if strapped_mm else ():
        groove = manifold3d.Manifold.extrude(ring, GROOVE_MM)
        solid -= groove.translate((0.0, 0.0, middle - GROOVE_MM / 2))
    return Block(outline, low, top, bare, solid)


def _strap_heights(low: float, high: float) -> list[float]:
    """Return the middles of the grooves: two in the sides, one where they are low, or none. [mm]

    A strap across a level seam would hold neither part, and the lips beside it would chip.
    """
    quarter, least = (high - low) / 4, GROOVE_MM / 2 + GROOVE_FROM_SEAM_MM
    if quarter >= least:
        return [low + quarter, high - quarter]
    return [(low + high) / 2] if 2 * quarter >= least else []


def _outline(inside: Inside, normals: FloatArray, plaster_mm: float) -> manifold3d.CrossSection:
    """Return an outline of flat faces around piece and seam line."""
    points = np.vstack([inside.solid.to_mesh64().vert_properties[:, :2], [[0.0, 0.0]]])
    reach = (points @ normals.T).max(axis=0) + plaster_mm
    far = 2 * float(reach.max())
    outline = manifold3d.CrossSection.square((2 * far, 2 * far), True)
    for (x, y), at in zip(normals, reach, strict=True):
        corners = [(at, -far), (at, far), (-far, far), (-far, -far)]
        outline ^= manifold3d.CrossSection(
            [np.array([(a * x - b * y, a * y + b * x) for a, b in corners])]
        )
    return outline
