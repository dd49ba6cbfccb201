"""The form of each part's master: the part on its back in an open box, to be filled with rubber.

The rubber, taken out of it, is the master in which the part is poured in plaster, its back open
and screeded level. So the back has no strap grooves and no beveled edges.
"""

from __future__ import annotations

from dataclasses import dataclass

import manifold3d
import numpy as np

from pourwright.errors import NotDoable, OutOfRange
from pourwright.shape.mesh import FloatArray, Mesh, Place, as_place
from pourwright.shape.solids import mesh_of, solid_of
from pourwright.shape.stl_file import reads_back_closed

RUBBER_MM = 15.0
"""Rubber around and over the part. Common practice, no source. [mm]"""

WALL_MM, FLOOR_MM = 3.0, 4.0
"""How thick the box is printed. Our own choice. [mm]"""

DRAFT_DEG = 2.0
"""How far the inside of its walls leans outward. Our own choice. [degree]"""

_BACK_MM = 5.0


@dataclass(frozen=True, slots=True, eq=False)
class MasterForm:
    """The form of a master.

    Parameters
    ----------
    body : Mesh
        Part and box as one body, standing on its floor at height 0.
    size_mm : (float, float, float)
        Its width, depth and height. [mm]
    rubber_l : float
        Rubber that fills it level. [l]
    """

    body: Mesh
    size_mm: Place
    rubber_l: float


def master_form(part: Mesh, pull: Place, rubber_mm: float = RUBBER_MM) -> MasterForm:
    """Return the form to be printed for a part's master.

    Parameters
    ----------
    part : Mesh
        The part, as a closed body.
    pull : (float, float, float)
        Which way it is pulled off the piece: its back looks there. [-]
    rubber_mm : float
        Rubber around and over the part, 5 to 50. [mm]

    Raises
    ------
    StudioError
        If the thickness is impossible, or the body cannot be made.
    """
    if not 5 <= rubber_mm <= 50:
        raise OutOfRange("rubber around a part", rubber_mm, "mm", "between 5 and 50")
    standing = solid_of(Mesh(part.vertices_mm @ _turn(np.array(pull)).T, part.faces))
    if standing is None:
        raise NotDoable("A part is no closed body, so no form can be made of it.")
    low_x, low_y, low_z, high_x, high_y, high_z = standing.bounding_box()
    standing = standing.translate((-(low_x + high_x) / 2, -(low_y + high_y) / 2, -low_z))
    wide, deep, high = high_x - low_x, high_y - low_y, high_z - low_z
    back = manifold3d.Manifold.extrude(standing.slice(_BACK_MM), _BACK_MM + 0.01)
    positive = standing.trim_by_plane((0.0, 0.0, 1.0), _BACK_MM) + back
    full = high + rubber_mm
    room = _box(wide + 2 * rubber_mm, deep + 2 * rubber_mm, full, DRAFT_DEG)
    lean = 2 * full * np.tan(np.radians(DRAFT_DEG)) + 2 * WALL_MM
    outer = _box(
        wide + 2 * rubber_mm + lean, deep + 2 * rubber_mm + lean, full + FLOOR_MM, 0.0
    ).translate((0.0, 0.0, -FLOOR_MM))
    # the room runs a little past the brim, so that nothing closes it
    opened = outer - _box(wide + 2 * rubber_mm, deep + 2 * rubber_mm, full + 1.0, DRAFT_DEG)
    form = (opened + positive).translate((0.0, 0.0, FLOOR_MM))
    for solid in (form, form.simplify(1e-3), form.simplify(5e-3)):
        body = mesh_of(solid)
        if reads_back_closed(body):
            rubber = float(room.volume() - (positive ^ room).volume()) / 1e6
            return MasterForm(body, as_place(body.size_mm), rubber)
    raise NotDoable(
        "The form of a master touches itself along an edge, and no file of it would be closed. "
        "Give another thickness with --around."
    )


def _box(wide: float, deep: float, high: float, lean_deg: float) -> manifold3d.Manifold:
    """Return a box that stands on height 0 around the z axis, its walls leaning outward."""
    wider = 2 * high * np.tan(np.radians(lean_deg))
    return manifold3d.Manifold.extrude(
        manifold3d.CrossSection.square((wide, deep), True),
        high,
        scale_top=(1 + wider / wide, 1 + wider / deep),
    )


def _turn(pull: FloatArray) -> FloatArray:
    """Return the turn that lays a part on its back: its pull down, what was up ahead."""
    down = -pull / np.linalg.norm(pull)
    ahead = np.array([0.0, 0.0, 1.0]) if abs(down[2]) < 0.5 else np.array([0.0, 1.0, 0.0])
    aside = np.cross(ahead, down)
    turn: FloatArray = np.array([aside, np.cross(down, aside), down])
    return turn


def fits_printer(size_mm: Place, printer_mm: Place) -> bool:
    """Return whether a form can be printed in one, standing, turned by 90 degrees if need be.

    Parameters
    ----------
    size_mm : (float, float, float)
        Its width, depth and height. [mm]
    printer_mm : (float, float, float)
        What the printer prints. [mm]
    """
    flat, bed = sorted(size_mm[:2]), sorted(printer_mm[:2])
    return flat[0] <= bed[0] and flat[1] <= bed[1] and size_mm[2] <= printer_mm[2]
