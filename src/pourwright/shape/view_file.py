"""A piece and the parts of its mold as one small file that a page turns and pulls apart.

The bodies follow one another without a gap, the piece first and then the parts in the order in
which they come off. Of each there are its corners, three numbers of 4 bytes a corner [mm], then
its triangles, three corners by their place, counted from 0, in numbers of 4 bytes, and then four
bytes a triangle: the part that forms it, how it comes off, how thick the clay behind it is, and
a 0. All numbers begin with their lowest byte. How many corners and triangles each body has stands
in the shape's JSON, so that whoever reads the file knows how long it must be.
"""

from __future__ import annotations

import numpy as np
from embreex import rtcore_scene
from embreex.mesh_construction import TriangleMesh
from scipy.spatial import cKDTree

from pourwright.shape.distance import Surface
from pourwright.shape.mesh import BoolArray, FloatArray, IntArray, Mesh, Place
from pourwright.shape.pictures import draft_classes
from pourwright.shape.reach import reached
from pourwright.shape.records import MOST_VIEWED, Wall
from pourwright.shape.solids import mesh_of, solid_of

NO_PART = 255
"""What stands for the part where none forms the piece: the face that slip is poured through."""

THICK, SOLID = 1.15, 1.45
"""How far slip is, as a multiple of the wall, where clay is thick and where it counts as solid.
In a square corner it is 1.41 times as far. Our own choice. [-]"""

_WITHIN_MM, _TOUCHES_MM = 0.2, 0.7
_FIRST_MM, _LAST_MM = 0.02, 10.0
_A_SAMPLE_MM2 = 4.0
_ON_CORE = 0.98


def view_of(
    piece: Mesh,
    is_open: BoolArray,
    parts: list[tuple[Mesh, Place]],
    wall: Wall | None,
    most: int = MOST_VIEWED,
) -> tuple[bytes, tuple[tuple[int, int], ...]]:
    """Return the file, and how many corners and triangles each body in it has.

    Parameters
    ----------
    piece : Mesh
        What the mold is made around.
    is_open : array of bool, (m,)
        Its triangles that slip is poured through.
    parts : list of (Mesh, (float, float, float))
        Each part and its pull, in the order in which they come off.
    wall : Wall or None
        What a wall of the piece comes to, if one was told.
    most : int
        Triangles of all bodies together; finer ones are made coarser until they are no more.
    """
    pulls = np.array([pull for _, pull in parts])
    forming = _forming(piece, is_open, [mesh for mesh, _ in parts])
    drafts = draft_classes(piece, pulls, reached(piece, pulls), is_open)
    drawn, *bodies = _coarser([piece, *(mesh for mesh, _ in parts)], most)
    if drawn is not piece:  # a triangle comes off as the finer one does that is nearest to it
        nearest = Surface(piece).nearest(drawn.centers_mm)
        forming, drafts, is_open = forming[nearest], drafts[nearest], is_open[nearest]
    thick = _thickness(drawn, is_open, wall)
    kinds = np.column_stack([forming, drafts, thick, np.zeros_like(thick)])
    told = _as_bytes(drawn, kinds)
    for number, body in enumerate(bodies):
        told += _as_bytes(body, np.tile([number, 0, 0, 0], (len(body.faces), 1)))
    return told, tuple((len(one.vertices_mm), len(one.faces)) for one in (drawn, *bodies))


def _as_bytes(body: Mesh, kinds: IntArray) -> bytes:
    corners, faces = body.vertices_mm.astype("<f4"), body.faces.astype("<u4")
    return corners.tobytes() + faces.tobytes() + kinds.astype(np.uint8).tobytes()


def _forming(piece: Mesh, is_open: BoolArray, parts: list[Mesh]) -> IntArray:
    """Return the part that lies on each triangle of a piece: the first that a line outward meets."""
    scene = rtcore_scene.EmbreeScene(robust=True)
    TriangleMesh(scene, np.concatenate([one.corners_mm for one in parts]).astype(np.float32))
    begin = (piece.centers_mm - _WITHIN_MM * piece.normals).astype(np.float32)
    outward = piece.normals.astype(np.float32)
    hit = np.asarray(scene.run(begin, outward, query="INTERSECT")).astype(np.int64)
    away = np.asarray(scene.run(begin, outward, query="DISTANCE"))
    of_part = np.repeat(np.arange(len(parts)), [len(one.faces) for one in parts])
    is_on = (hit >= 0) & (away < _TOUCHES_MM) & ~is_open
    forming: IntArray = np.where(is_on, of_part[hit], NO_PART)
    return forming


def _thickness(piece: Mesh, is_open: BoolArray, wall: Wall | None) -> IntArray:
    """Return how thick the clay is behind each triangle: 0 the wall, 1 thicker, 2 solid, 3 none.

    That is how far it is to the nearest slip. Solid is told only where the wall tells of a
    solid place: a corner, however sharp, is none.
    """
    thick = np.zeros(len(piece.faces), dtype=np.int64)
    if wall is None:
        return thick
    begin, inward = _samples(piece, ~is_open)
    slip = begin + inward * wall.wall_mm
    slip = slip[Surface(piece, ~is_open).distances_mm(slip) > _ON_CORE * wall.wall_mm]
    if len(slip):
        away = cKDTree(slip).query(piece.centers_mm)[0] / wall.wall_mm
        thick = (away > THICK).astype(np.int64)
        if wall.solids:
            thick += away > SOLID
    thick[is_open] = 3
    return thick


def _samples(piece: Mesh, chosen: BoolArray) -> tuple[FloatArray, FloatArray]:
    """Return points spread over some triangles, their middles first, and the ways inward."""
    corners, normals = piece.corners_mm[chosen], piece.normals[chosen]
    more = (piece.areas_m2[chosen] * 1e6 / _A_SAMPLE_MM2).astype(np.int64)
    of = np.repeat(np.arange(len(corners)), more)
    shares = np.random.default_rng(1).dirichlet((1.0, 1.0, 1.0), len(of))
    spread = np.einsum("ij,ijk->ik", shares, corners[of])
    return np.concatenate([corners.mean(axis=1), spread]), -np.concatenate([normals, normals[of]])


def _coarser(bodies: list[Mesh], most: int) -> list[Mesh]:
    """Return bodies with fewer triangles, where they have more than so many together."""
    tolerance_mm = _FIRST_MM
    while sum(len(one.faces) for one in bodies) > most and tolerance_mm < _LAST_MM:
        solids = [solid_of(one) for one in bodies]
        bodies = [
            one if solid is None else mesh_of(solid.simplify(tolerance_mm))
            for one, solid in zip(bodies, solids, strict=True)
        ]
        tolerance_mm *= 2
    return bodies
