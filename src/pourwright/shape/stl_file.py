"""Bodies written as STL, so that whoever reads them finds them closed."""

from __future__ import annotations

import struct

import numpy as np

from pourwright.shape.edges import edges_of
from pourwright.shape.mesh import Mesh

DIGITS = 5
"""Digits after the point that are kept. [mm]"""


def as_read_back(mesh: Mesh) -> Mesh:
    """Return a body as whoever reads its STL will find it.

    An STL keeps single numbers and no neighbors: its reader joins corners that are the same.
    A triangle whose corners become the same by being rounded would tear a hole there, and two
    that come to lie on one another would make a fold; such triangles are left out, and their
    neighbors meet.

    Parameters
    ----------
    mesh : Mesh
        A closed body.
    """
    rounded = mesh.vertices_mm.round(DIGITS).astype("<f4")
    places, renamed = np.unique(rounded, axis=0, return_inverse=True)
    faces = renamed.reshape(-1)[mesh.faces]
    faces = faces[(np.diff(np.sort(faces, axis=1), axis=1) > 0).all(axis=1)]
    _, fold, sharing = np.unique(
        np.sort(faces, axis=1), axis=0, return_inverse=True, return_counts=True
    )
    faces = faces[sharing[fold.reshape(-1)] == 1]
    return Mesh(places.astype(np.float64), faces.astype(np.int64))


def reads_back_closed(mesh: Mesh) -> bool:
    """Return whether whoever reads a body's STL finds two triangles at every edge.

    Parameters
    ----------
    mesh : Mesh
        A closed body.
    """
    edges = edges_of(as_read_back(mesh).faces)
    return bool((edges.forward == 1).all() and (edges.backward == 1).all())


def stl_bytes(mesh: Mesh) -> bytes:
    """Return a body as a binary STL, in millimeters.

    Parameters
    ----------
    mesh : Mesh
        A closed body.
    """
    kept = as_read_back(mesh)
    triangles = np.zeros(
        len(kept.faces), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")]
    )
    triangles["normal"], triangles["corners"] = kept.normals, kept.corners_mm
    return bytes(80) + struct.pack("<I", len(triangles)) + triangles.tobytes()
