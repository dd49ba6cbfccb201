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
from pourwright.shape.mesh import FloatArray, Mesh

LINES = 4
"""Lines from each triangle."""

_TOWARD_CORNERS = 0.8
_LIFTED_MM = 0.02
_UPRIGHT = -1e-9


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
    scene = rtcore_scene.EmbreeScene(robust=True)
    TriangleMesh(scene, mesh.corners_mm.astype(np.float32))
    normals = mesh.normals
    starts = _starts(mesh, normals)
    shares = np.zeros((len(pulls), len(mesh.faces)))
    for number, pull in enumerate(pulls):
        watch(number / len(pulls))
        facing = np.flatnonzero(normals @ pull >= _UPRIGHT)
        begin = np.ascontiguousarray(starts[:, facing].reshape(-1, 3))
        along = np.tile(pull.astype(np.float32), (len(begin), 1))
        is_free = np.asarray(scene.run(begin, along, query="OCCLUDED")) != 0
        shares[number, facing] = is_free.reshape(LINES, -1).mean(axis=0)
    watch(1.0)
    return shares


def _starts(mesh: Mesh, normals: FloatArray) -> np.ndarray[tuple[int, ...], np.dtype[np.float32]]:
    """Return where the lines start: the middle of each triangle and near its corners, (4, m, 3)."""
    middles, corners = mesh.centers_mm, mesh.corners_mm
    toward = [middles + _TOWARD_CORNERS * (corners[:, one] - middles) for one in range(3)]
    return (np.stack([middles, *toward]) + _LIFTED_MM * normals).astype(np.float32)
