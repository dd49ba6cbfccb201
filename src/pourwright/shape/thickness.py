"""How thick a part is where it is thinnest behind the piece, and how sharp its edges are."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from embreex import rtcore_scene
from embreex.mesh_construction import TriangleMesh
from scipy.spatial import cKDTree

from pourwright.shape.distance import Surface
from pourwright.shape.edges import edges_of
from pourwright.shape.mesh import BoolArray, FloatArray, Mesh

FROM_EDGE_MM = 5.0
"""Closer to a seam plaster always gets thin; there its edges are told. [mm]"""

SHARP_DEG = 45.0
"""An edge of plaster that is sharper chips. Common practice, no source. [degree]"""

DRAGS_DEG = 1.0
"""A face that leans less far away from its pull drags. [degree]"""

LEAST_MM2 = 10.0
"""Less of the face than this may be thinner. [mm2]"""

_ON_IT_MM, _STEP_MM = 0.01, 0.02


@dataclass(frozen=True, slots=True, eq=False)
class Thickness:
    """Where a part is thinnest, how long its sharp edges are, how much of its face drags, how deep it is.

    In millimeters and square meters.
    """

    thin_mm: float
    at_mm: FloatArray
    sharp_mm: float
    drags_m2: float
    deep_mm: float


def thickness_of(part: Mesh, inside: Mesh, pull: FloatArray) -> Thickness:
    """Return how thick a part is behind the piece where it is thinnest, and how sharp its edges are.

    Thickness is measured square to the face, through the plaster to where it ends.

    Parameters
    ----------
    part : Mesh
        The part.
    inside : Mesh
        The piece with its spare.
    pull : array of float, (3,)
        Which way the part is pulled, of length 1.
    """
    is_face = _is_face(part, Surface(inside))
    edges, _, sharp_mm = _edges_along(part, is_face)
    faces = np.flatnonzero(is_face)
    leans = -part.normals[faces] @ pull  # the piece's face looks the other way
    drags_m2 = float(part.areas_m2[faces][leans < np.sin(np.radians(DRAGS_DEG))].sum())
    deep_mm = float(np.ptp(part.corners_mm[faces] @ pull)) if len(faces) else 0.0
    if len(edges):
        from_edge, _ = cKDTree(edges).query(part.centers_mm[faces])
        faces = faces[from_edge > FROM_EDGE_MM]
    if not len(faces):
        return Thickness(float(part.size_mm.min()), part.centers_mm[0], sharp_mm, drags_m2, deep_mm)
    scene = rtcore_scene.EmbreeScene(robust=True)
    TriangleMesh(scene, part.corners_mm.astype(np.float32))
    inward = -part.normals[faces]
    begin = (part.centers_mm[faces] + _STEP_MM * inward).astype(np.float32)
    far = np.asarray(scene.run(begin, inward.astype(np.float32), query="DISTANCE"))
    order = np.argsort(far)
    area = np.cumsum(part.areas_m2[faces][order]) * 1e6
    chosen = order[min(int(np.searchsorted(area, LEAST_MM2)), len(order) - 1)]
    thin_mm, at_mm = float(far[chosen]) + _STEP_MM, part.centers_mm[faces[chosen]]
    return Thickness(thin_mm, at_mm, sharp_mm, drags_m2, deep_mm)


def edges_along(part: Mesh, piece: Surface) -> tuple[FloatArray, FloatArray]:
    """Return points a millimeter apart on a part's edges along the piece, each with its length. [mm]

    Parameters
    ----------
    part : Mesh
        The part.
    piece : Surface
        The piece.
    """
    points, lengths, _ = _edges_along(part, _is_face(part, piece))
    return points, lengths


def _is_face(part: Mesh, piece: Surface) -> BoolArray:
    is_face: BoolArray = piece.distances_mm(part.centers_mm) < _ON_IT_MM
    return is_face


def _edges_along(part: Mesh, is_face: BoolArray) -> tuple[FloatArray, FloatArray, float]:
    """Return the same, and how long those are that are sharp. [mm]"""
    edges = edges_of(part.faces)
    order = np.argsort(edges.of_side, kind="stable") % len(part.faces)
    first, second = order.reshape(-1, 2).T  # a closed body has two triangles at every edge
    along = np.flatnonzero(is_face[first] != is_face[second])
    first, second = first[along], second[along]
    normals = part.normals
    ends = part.vertices_mm[edges.ends[along]]
    lengths = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    toward = part.centers_mm[second] - part.centers_mm[first]
    stands_out = np.einsum("ij,ij->i", toward, normals[first]) < 0
    turn = np.einsum("ij,ij->i", normals[first], normals[second])
    is_sharp = stands_out & (turn < -np.cos(np.radians(SHARP_DEG)))
    steps = np.maximum(np.ceil(lengths), 1).astype(np.int64)
    edge = np.repeat(np.arange(len(steps)), steps)
    share = (np.arange(len(edge)) - np.repeat(np.cumsum(steps) - steps, steps) + 0.5) / steps[edge]
    points: FloatArray = ends[edge, 0] + share[:, None] * (ends[edge, 1] - ends[edge, 0])
    return points, (lengths / steps)[edge], float(lengths[is_sharp].sum())
