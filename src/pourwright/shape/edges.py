"""Edges of a surface: which triangles meet at each, and where none does."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from pourwright.shape.mesh import IntArray, Mesh


@dataclass(frozen=True, slots=True, eq=False)
class Edges:
    """The edges of a surface, each once.

    Parameters
    ----------
    ends : array of int, (e, 2)
        The two corners, the lower first.
    of_side : array of int, (3 m,)
        The edge of each triangle's side: all first sides, all second, all third.
    forward, backward : array of int, (e,)
        How many triangles run along it from the lower corner to the higher, and back.
    """

    ends: IntArray
    of_side: IntArray
    forward: IntArray
    backward: IntArray

    @property
    def meeting(self) -> IntArray:
        """How many triangles meet at each edge."""
        return self.forward + self.backward


def edges_of(faces: IntArray) -> Edges:
    """Return the edges of a surface.

    Parameters
    ----------
    faces : array of int, (m, 3)
        Its triangles.
    """
    sides = _sides(faces)
    is_forward = sides[:, 0] < sides[:, 1]
    ends, of_side = np.unique(np.sort(sides, axis=1), axis=0, return_inverse=True)
    of_side = of_side.reshape(-1)
    forward = np.bincount(of_side[is_forward], minlength=len(ends))
    backward = np.bincount(of_side[~is_forward], minlength=len(ends))
    return Edges(ends, of_side, forward.astype(np.int64), backward.astype(np.int64))


def _sides(faces: IntArray) -> IntArray:
    return np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])


def open_sides(faces: IntArray) -> IntArray:
    """Return the sides at which no second triangle meets, in the direction of their triangle.

    Parameters
    ----------
    faces : array of int, (m, 3)
        The surface.

    Returns
    -------
    array of int, (k, 2)
    """
    edges = edges_of(faces)
    alone: IntArray = _sides(faces)[edges.meeting[edges.of_side] == 1]
    return alone


def is_closed(faces: IntArray) -> bool:
    """Return whether at each edge as many triangles run one way as the other.

    Parameters
    ----------
    faces : array of int, (m, 3)
        The surface.
    """
    edges = edges_of(faces)
    return len(faces) > 0 and bool((edges.forward == edges.backward).all())


def bodies_of(faces: IntArray) -> tuple[int, IntArray]:
    """Return how many pieces a surface falls into along its edges, and the piece of each triangle.

    Parameters
    ----------
    faces : array of int, (m, 3)
        The surface.
    """
    edges, count = edges_of(faces), len(faces)
    triangles = np.tile(np.arange(count), 3)
    links = coo_array(
        (np.ones(3 * count, dtype=np.int8), (triangles, count + edges.of_side)),
        shape=(count + len(edges.ends),) * 2,
    )
    pieces, piece = connected_components(links, directed=False)
    return int(pieces), piece[:count].astype(np.int64)


def length_of(mesh: Mesh, sides: IntArray) -> float:
    """Return how long some sides are together. [mm]

    Parameters
    ----------
    mesh : Mesh
        Whose corners they name.
    sides : array of int, (k, 2)
        The sides.
    """
    ends = mesh.vertices_mm[sides]
    return float(np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1).sum())
