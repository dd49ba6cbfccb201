"""Which faces a part of the mold can be pulled off: the way out is free, and no face leans over.

A face is reached along a pull if it does not lean against it and straight lines from it along the
pull meet nothing of the piece. Four lines start from each triangle, so that one which is half in
the shadow of another counts half.
"""

from __future__ import annotations

import numpy as np
from embreex import rtcore_scene
from embreex.mesh_construction import TriangleMesh

from pourwright.shape.distance import Watch, unwatched
from pourwright.shape.mesh import BoolArray, FloatArray, IntArray, Mesh

LINES = 4
"""Lines from each triangle."""

_TOWARD_CORNERS = 0.8
_LIFTED_MM = 0.02
UPRIGHT = -1e-9
"""A face whose normal turns back from a pull by no more is upright: so far numbers are rounded. [-]"""


def reached(mesh: Mesh, pulls: FloatArray, watch: Watch = unwatched) -> FloatArray:
    """Return how much of each triangle each pull reaches. [-]

    Parameters
    ----------
    mesh : Mesh
        One sound body.
    pulls : array of float, (d, 3)
        Directions of length 1.
    watch : callable
        Told how much is done.

    Returns
    -------
    array of float, (d, m)
        Shares of 0, 1/4, 1/2, 3/4 or 1.
    """
    every = np.arange(len(mesh.faces))
    free = free_lines(mesh, pulls, every, watch)
    shares: FloatArray = free.reshape(len(pulls), -1, LINES).mean(axis=2)
    return shares


def free_lines(
    mesh: Mesh, pulls: FloatArray, faces: IntArray, watch: Watch = unwatched
) -> BoolArray:
    """Return which lines from some triangles are free along each pull.

    Parameters
    ----------
    mesh : Mesh
        One sound body.
    pulls : array of float, (d, 3)
        Directions of length 1.
    faces : array of int, (k,)
        The triangles.
    watch : callable
        Told how much is done.

    Returns
    -------
    array of bool, (d, 4 k)
        The lines of each triangle beside one another.
    """
    scene = rtcore_scene.EmbreeScene(robust=True)
    TriangleMesh(scene, mesh.corners_mm.astype(np.float32))
    normals = mesh.normals
    starts = _starts(mesh, normals)[faces]
    free = np.zeros((len(pulls), len(faces), LINES), dtype=bool)
    for number, pull in enumerate(pulls):
        watch(number / len(pulls))
        facing = np.flatnonzero(normals[faces] @ pull >= UPRIGHT)
        begin = np.ascontiguousarray(starts[facing].reshape(-1, 3))
        along = np.tile(pull.astype(np.float32), (len(begin), 1))
        is_free = np.asarray(scene.run(begin, along, query="OCCLUDED")) != 0
        free[number, facing] = is_free.reshape(-1, LINES)
    watch(1.0)
    return free.reshape(len(pulls), -1)


def _starts(mesh: Mesh, normals: FloatArray) -> np.ndarray[tuple[int, ...], np.dtype[np.float32]]:
    """Return where the lines start: the middle of each triangle and near its corners, (m, 4, 3)."""
    middles, corners = mesh.centers_mm, mesh.corners_mm
    toward = [middles + _TOWARD_CORNERS * (corners[:, one] - middles) for one in range(3)]
    lifted = np.stack([middles, *toward], axis=1) + _LIFTED_MM * normals[:, None]
    return lifted.astype(np.float32)
