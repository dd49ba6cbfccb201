"""Places that no seam may run across: a face, a stamp."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.errors import BadInput
from pourwright.shape.mesh import BoolArray, FloatArray, Mesh, Place
from pourwright.shape.solids import mesh_of, solid_of

_STEP_MM = 1.5
_BESIDE_MM = 0.5


@dataclass(frozen=True, slots=True)
class NoSeam:
    """A ball or a box that no seam may run across.

    Parameters
    ----------
    middle_mm : (float, float, float)
        Its middle, at the size of the mold, from the model's own origin, the piece's lowest point
        at height 0. [mm]
    half_mm : (float, float, float)
        Half of its length along x, y and z. [mm]
    is_ball : bool
        Whether it is a ball, and not a box.
    told : str
        As the maker told it.
    """

    middle_mm: Place
    half_mm: Place
    is_ball: bool
    told: str

    def holds(self, points_mm: FloatArray) -> BoolArray:
        """Return which points lie in it.

        Parameters
        ----------
        points_mm : array of float, (k, 3)
            The points. [mm]
        """
        away = np.abs(points_mm - np.array(self.middle_mm)) / np.array(self.half_mm)
        within: BoolArray = (np.linalg.norm(away, axis=1) if self.is_ball else away.max(axis=1)) < 1
        return within


@dataclass(frozen=True, slots=True, eq=False)
class KeptWhole:
    """The face in a place that no seam may run across, as points close together.

    Parameters
    ----------
    points_mm : array of float, (k, 3)
        The points. [mm]
    normals : array of float, (k, 3)
        Which way the face looks there. [-]
    """

    points_mm: FloatArray
    normals: FloatArray

    def only(self, chosen: BoolArray) -> KeptWhole:
        """Return some of the points.

        Parameters
        ----------
        chosen : array of bool, (k,)
            Which.
        """
        return KeptWhole(self.points_mm[chosen], self.normals[chosen])

    def span_mm(self, pull: FloatArray) -> tuple[float, float]:
        """Return between which places along a pull no plane may stand; nothing where it is empty. [mm]

        Parameters
        ----------
        pull : array of float, (3,)
            Of length 1.
        """
        if not len(self.points_mm):
            return np.inf, -np.inf
        along = self.points_mm @ pull
        return float(along.min()) - _BESIDE_MM, float(along.max()) + _BESIDE_MM

    def is_crossed(self, axis_mm: FloatArray, rays: FloatArray) -> BoolArray:
        """Return which upright planes, that end in an upright line, would run across it.

        Parameters
        ----------
        axis_mm : array of float, (3,)
            A point of the line. [mm]
        rays : array of float, (d, 3)
            In which level direction each runs from there, of length 1.
        """
        away = self.points_mm - axis_mm
        is_ahead = away @ rays.T > -_BESIDE_MM
        aside = away @ np.column_stack([-rays[:, 1], rays[:, 0], np.zeros(len(rays))]).T
        left = (is_ahead & (aside > -_BESIDE_MM)).max(axis=0, initial=False)
        right = (is_ahead & (aside < _BESIDE_MM)).max(axis=0, initial=False)
        crossed: BoolArray = left & right
        return crossed


def kept_whole(mesh: Mesh, places: tuple[NoSeam, ...]) -> list[KeptWhole]:
    """Return the face in each place that no seam may run across.

    Parameters
    ----------
    mesh : Mesh
        The piece.
    places : tuple of NoSeam
        The places.

    Raises
    ------
    BadInput
        If nothing of the piece is in one of them.
    """
    solid = solid_of(mesh)
    if not places or solid is None:
        return []
    fine = mesh_of(solid.refine_to_length(_STEP_MM))
    points, normals = fine.centers_mm, fine.normals
    found = []
    for one in places:
        is_in = one.holds(points)
        if not is_in.any():
            box = zip("xyz", mesh.low_mm, mesh.high_mm, strict=True)
            known = ", ".join(f"{axis} from {low:.0f} to {high:.0f}" for axis, low, high in box)
            right = f"nothing of the piece's face is there; at the mold it has {known} mm"
            raise BadInput.one("--no-seam", one.told, right)
        found.append(KeptWhole(points[is_in], normals[is_in]))
    return found
