"""A surface of triangles in millimeters, and what can be measured on it exactly."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]
IntArray: TypeAlias = NDArray[np.int64]
BoolArray: TypeAlias = NDArray[np.bool_]
Place: TypeAlias = tuple[float, float, float]
"""Where something is on the model as it was read. [mm]"""


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """A surface of triangles; seen from outside, the corners of each go round to the left.

    Parameters
    ----------
    vertices_mm : array of float, (n, 3)
        Corners. [mm]
    faces : array of int, (m, 3)
        The three corners of each triangle, by their rows.
    """

    vertices_mm: FloatArray
    faces: IntArray

    @property
    def corners_mm(self) -> FloatArray:
        """The corners of each triangle, (m, 3, 3). [mm]"""
        return self.vertices_mm[self.faces]

    @property
    def centers_mm(self) -> FloatArray:
        """The middle of each triangle, (m, 3). [mm]"""
        middles: FloatArray = self.corners_mm.mean(axis=1)
        return middles

    @property
    def crosses_mm2(self) -> FloatArray:
        """Twice each triangle's area along its normal, (m, 3). [mm2]"""
        first, second, third = np.moveaxis(self.corners_mm, 1, 0)
        return np.cross(second - first, third - first)

    @property
    def areas_m2(self) -> FloatArray:
        """Each triangle's area. [m2]"""
        areas: FloatArray = np.linalg.norm(self.crosses_mm2, axis=1) / 2e6
        return areas

    @property
    def normals(self) -> FloatArray:
        """Each triangle's direction outward, of length 1; 0 for one without area. [-]"""
        crosses = self.crosses_mm2
        lengths = np.linalg.norm(crosses, axis=1, keepdims=True)
        return crosses / np.where(lengths > 0, lengths, 1.0)

    @property
    def area_m2(self) -> float:
        """The whole surface. [m2]"""
        return float(self.areas_m2.sum())

    @property
    def volume_l(self) -> float:
        """What the surface encloses, negative if it is inside out. [l]"""
        # from a corner of the box, because far from the origin digits would be lost
        first, second, third = np.moveaxis(self.corners_mm - self.vertices_mm.min(axis=0), 1, 0)
        return float(np.einsum("ij,ij->", first, np.cross(second, third)) / 6e6)

    @property
    def low_mm(self) -> FloatArray:
        """The lowest corner of its box. [mm]"""
        low: FloatArray = self.vertices_mm[self.faces].min(axis=(0, 1))
        return low

    @property
    def high_mm(self) -> FloatArray:
        """The highest corner of its box. [mm]"""
        high: FloatArray = self.vertices_mm[self.faces].max(axis=(0, 1))
        return high

    @property
    def size_mm(self) -> FloatArray:
        """How long it is along x, y and z. [mm]"""
        return self.high_mm - self.low_mm


def scaled(mesh: Mesh, factor: float) -> Mesh:
    """Return a mesh made larger or smaller from the origin.

    Parameters
    ----------
    mesh : Mesh
        Any.
    factor : float
        New length over old. [-]
    """
    return Mesh(mesh.vertices_mm * factor, mesh.faces)


def turned(mesh: Mesh) -> Mesh:
    """Return a mesh with its inside out.

    Parameters
    ----------
    mesh : Mesh
        Any.
    """
    return Mesh(mesh.vertices_mm, mesh.faces[:, ::-1])


def with_faces(mesh: Mesh, faces: IntArray) -> Mesh:
    """Return a mesh of other triangles on the same corners; corners that none uses are left out.

    Parameters
    ----------
    mesh : Mesh
        Whose corners they are.
    faces : array of int, (m, 3)
        The triangles.
    """
    used, renamed = np.unique(faces, return_inverse=True)
    return Mesh(mesh.vertices_mm[used], renamed.reshape(-1, 3).astype(np.int64))


def as_place(point_mm: FloatArray) -> Place:
    """Return a point as it is told, to a hundredth of a millimeter.

    Parameters
    ----------
    point_mm : array of float, (3,)
        The point. [mm]
    """
    x, y, z = (round(float(one), 2) + 0.0 for one in point_mm)
    return x, y, z


def as_arrow(direction: FloatArray) -> Place:
    """Return a direction as it is told, to a millionth.

    Parameters
    ----------
    direction : array of float, (3,)
        The direction, of length 1. [-]
    """
    x, y, z = (round(float(one), 6) + 0.0 for one in direction)
    return x, y, z
