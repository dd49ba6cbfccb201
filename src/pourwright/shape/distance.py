"""How far points are from a surface, and on which side; and cells that are halved where it matters.

Distances are exact, to the triangles. Only cells that the surface wanted may run through are
halved, so that memory and time go with its area and not with the box around it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import igl
import numpy as np
from embreex import rtcore_scene
from embreex.mesh_construction import TriangleMesh

from pourwright.shape.mesh import BoolArray, FloatArray, IntArray, Mesh

Watch = Callable[[float], None]
"""Told how much of a long step is done, 0 to 1; what it raises ends the step."""

_HALF_DIAGONAL = np.sqrt(3) / 2
_CORNERS = np.array(
    [[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0], [0, 0, 1], [1, 0, 1], [1, 1, 1], [0, 1, 1]]
)
"""Of a cube, in the order in which marching cubes take them."""
_MOST_AT_ONCE = 250_000
_LEAST_SLOPE = 0.01
"""A plane that lies flatter in a cube is tilted so much, which moves nothing on the whole. [-]"""
_UPWARD = np.array([0.0512, 0.0377, 1.0])


def unwatched(done: float) -> None:
    """Take no notice of how much is done.

    Parameters
    ----------
    done : float
        Share done. [-]
    """


class Surface:
    """A closed surface that can be asked how far away it is, and which side is inside.

    Parameters
    ----------
    mesh : Mesh
        The whole of it, which says what is inside.
    walls : array of bool, (m,), optional
        The triangles that a distance is measured to; without it, all.
    """

    def __init__(self, mesh: Mesh, walls: BoolArray | None = None) -> None:
        self.mesh = mesh
        self._vertices = np.ascontiguousarray(mesh.vertices_mm)
        faces = mesh.faces if walls is None else mesh.faces[walls]
        self._walls = np.ascontiguousarray(faces)
        self._tree = igl.AABB()
        self._tree.init(self._vertices, self._walls)
        self._scene = rtcore_scene.EmbreeScene(robust=True)
        TriangleMesh(self._scene, mesh.corners_mm.astype(np.float32))
        self._slopes = mesh.normals @ _UPWARD

    def distances_mm(self, points_mm: FloatArray) -> FloatArray:
        """Return how far points are from the walls. [mm]

        Parameters
        ----------
        points_mm : array of float, (k, 3)
            The points. [mm]
        """
        return self.nearest_points(points_mm)[0]

    def nearest_points(self, points_mm: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return how far points are from the walls, and where on these it is nearest. [mm]

        Parameters
        ----------
        points_mm : array of float, (k, 3)
            The points. [mm]
        """
        if not len(points_mm):
            return np.zeros(0), np.zeros((0, 3))
        points = np.ascontiguousarray(points_mm)
        squares, _, nearest = self._tree.squared_distance(self._vertices, self._walls, points)
        return np.sqrt(np.asarray(squares, dtype=np.float64)), np.asarray(nearest)

    def nearest(self, points_mm: FloatArray) -> IntArray:
        """Return the wall that is nearest to each point, by its place among the walls.

        Parameters
        ----------
        points_mm : array of float, (k, 3)
            The points. [mm]
        """
        points = np.ascontiguousarray(points_mm)
        found = self._tree.squared_distance(self._vertices, self._walls, points)[1]
        return np.asarray(found, dtype=np.int64)

    def are_inside(self, points_mm: FloatArray) -> BoolArray:
        """Return which points lie inside, by the side of the first face that a line up from each meets.

        This needs a sound surface, and is many times as quick as counting windings. The line
        leans a little, so that it runs along no upright wall. A point within a ten-thousandth of
        a millimeter of the surface may fall on either side.

        Parameters
        ----------
        points_mm : array of float, (k, 3)
            The points. [mm]
        """
        along = np.tile(_UPWARD.astype(np.float32), (len(points_mm), 1))
        met = np.asarray(self._scene.run(points_mm.astype(np.float32), along, query="INTERSECT"))
        is_inside: BoolArray = (met >= 0) & (self._slopes[met] > 0)
        return is_inside

    def windings(self, points_mm: FloatArray) -> FloatArray:
        """Return how many times the surface goes round points: 1 inside, 0 outside. [-]

        Parameters
        ----------
        points_mm : array of float, (k, 3)
            The points. [mm]
        """
        if not len(points_mm):
            return np.zeros(0)
        winding = igl.FastWindingNumberBVH()
        winding.init(self._vertices, np.ascontiguousarray(self.mesh.faces))
        found = winding.winding_number(np.ascontiguousarray(points_mm))
        return np.asarray(found, dtype=np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """Cubes that together fill what lies inside a surface and deeper than some distance.

    Parameters
    ----------
    corners : array of int, (k, 3)
        The lowest corner of each, in cells of the finest size from the grid's own corner.
    sizes : array of int, (k,)
        How many of the finest cells each is wide.
    shares : array of float, (k,)
        How much of each belongs to it, 0 to 1. [-]
    low_mm : array of float, (3,)
        The grid's own corner. [mm]
    cell_mm : float
        Width of the finest cell. [mm]
    count : (int, int, int)
        The finest cells along x, y and z.
    """

    corners: IntArray
    sizes: IntArray
    shares: FloatArray
    low_mm: FloatArray
    cell_mm: float
    count: tuple[int, int, int]

    @property
    def volume_l(self) -> float:
        """What they fill together. [l]"""
        return float(
            (self.shares * self.sizes.astype(np.float64) ** 3).sum() * self.cell_mm**3 / 1e6
        )

    @property
    def middles_mm(self) -> FloatArray:
        """The middle of each. [mm]"""
        return self.low_mm + (self.corners + self.sizes[:, None] / 2) * self.cell_mm

    def dense(self, wide: int = 1) -> FloatArray:
        """Return the share of every cell of the grid, as an array of three dimensions. [-]

        Parameters
        ----------
        wide : int
            How many of the finest cells each of them is wide: 1, 2, 4 or 8.
        """
        grid = np.zeros([one // wide for one in self.count], dtype=np.float64)
        small = self.sizes <= wide
        np.add.at(
            grid,
            tuple(self.corners[small].T // wide),
            self.shares[small] * (self.sizes[small] / wide) ** 3,
        )
        for corner, size, share in zip(
            self.corners[~small] // wide,
            self.sizes[~small] // wide,
            self.shares[~small],
            strict=True,
        ):
            x, y, z = corner
            grid[x : x + size, y : y + size, z : z + size] = share
        return grid


def cells_deeper_than(
    surface: Surface, depth_mm: float, cell_mm: float, level_mm: float, watch: Watch = unwatched
) -> Cells:
    """Fill with cubes what lies inside a surface, farther from its walls than a depth.

    A cube whose middle is farther from the walls than half its diagonal lies on one side of
    them, and one that lies wholly deeper or wholly less deep is not halved any more. The
    finest cubes are cut by the plane that is so deep below the nearest point of the walls.

    Parameters
    ----------
    surface : Surface
        The surface.
    depth_mm : float
        The depth, 0 or more. [mm]
    cell_mm : float
        Width of the finest cube. [mm]
    level_mm : float
        A height on which cubes must end, such as that of the opening. [mm]
    watch : callable
        Told how much is done.

    Returns
    -------
    Cells
    """
    low, blocks, widest = _grid(surface.mesh, cell_mm, level_mm)
    corners = np.stack(np.meshgrid(*map(np.arange, blocks), indexing="ij"), -1).reshape(-1, 3)
    corners, known = corners * widest, np.zeros(len(corners), dtype=bool)
    nearest = np.full(corners.shape, np.inf)
    made: list[tuple[IntArray, int, FloatArray]] = []
    size = widest
    while size >= 1:
        watch(1 - np.log2(size * 2) / np.log2(widest * 4))
        reach = _HALF_DIAGONAL * size * cell_mm
        middles = low + (corners + size / 2) * cell_mm
        # what the cube before was nearest to is no nearer than the nearest, and is known already
        near = np.linalg.norm(middles - nearest, axis=1) + reach > depth_mm
        corners, known, middles = corners[near], known[near], middles[near]
        distances, nearest = _nearest_points(surface, middles)
        near = distances + reach > depth_mm
        clear = np.flatnonzero(near & ~known & (distances > reach))
        known[clear] = surface.are_inside(middles[clear])
        kept = near & (known | (distances <= reach))
        corners, known, middles = corners[kept], known[kept], middles[kept]
        distances, nearest = distances[kept], nearest[kept]
        if size == 1:
            signs = np.ones(len(corners))  # only here the surface itself runs through cubes
            signs[~known] -= 2.0 * ~surface.are_inside(middles[~known])
            past = (signs * distances - depth_mm) / cell_mm
            made.append((corners, 1, shares_past(past, middles - nearest)))
            break
        whole = known & (distances - reach >= depth_mm)
        made.append((corners[whole], size, np.ones(int(whole.sum()))))
        halved = ~whole
        size //= 2
        corners = (corners[halved][:, None] + _CORNERS * size).reshape(-1, 3)
        known, nearest = np.repeat(known[halved], 8), np.repeat(nearest[halved], 8, axis=0)
    watch(1.0)
    return Cells(
        corners=np.concatenate([one[0] for one in made]),
        sizes=np.concatenate([np.full(len(one[0]), one[1]) for one in made]),
        shares=np.concatenate([one[2] for one in made]),
        low_mm=low,
        cell_mm=cell_mm,
        count=(int(blocks[0]) * widest, int(blocks[1]) * widest, int(blocks[2]) * widest),
    )


def _grid(mesh: Mesh, cell_mm: float, level_mm: float) -> tuple[FloatArray, IntArray, int]:
    """Return the grid's corner, its widest cubes along each side, and how wide these are."""
    widest = 1
    while widest * 2 * cell_mm <= max(8.0, mesh.size_mm.max() / 16):
        widest *= 2
    step = widest * cell_mm
    low = mesh.low_mm - step / 2
    low[2] = level_mm - np.ceil((level_mm - low[2]) / step) * step
    blocks = np.ceil((mesh.high_mm + step / 4 - low) / step).astype(np.int64)
    return low, blocks, widest


def _nearest_points(surface: Surface, points_mm: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the same as the surface does, some points at a time, so that it can be stopped by hand."""
    parts = range(0, max(len(points_mm), 1), _MOST_AT_ONCE)
    found = [surface.nearest_points(points_mm[at : at + _MOST_AT_ONCE]) for at in parts]
    return np.concatenate([one for one, _ in found]), np.concatenate([one for _, one in found])


def shares_past(past: FloatArray, across: FloatArray) -> FloatArray:
    """Return how much of cubes lies past a plane: what three planes cut off, less what sticks out. [-]

    Parameters
    ----------
    past : array of float, (k,)
        How far their middles are past it, in widths of a cube. [-]
    across : array of float, (k, 3)
        A line square to the plane, of any length.
    """
    slopes = np.abs(across)
    slopes = np.maximum(slopes, _LEAST_SLOPE * slopes.max(axis=1, keepdims=True) + 1e-12)
    slopes /= np.linalg.norm(slopes, axis=1, keepdims=True)
    height = past + slopes.sum(axis=1) / 2
    cut = np.zeros(len(past))
    for corner in _CORNERS:
        over = np.maximum(height - slopes @ corner, 0.0)
        cut += (-1.0) ** corner.sum() * over * over * over  # a power takes several times as long
    shares: FloatArray = np.clip(cut / (6 * slopes.prod(axis=1)), 0.0, 1.0)
    return shares


def skin(surface: Surface, cell_mm: float) -> Mesh:
    """Return a new surface where points stop being inside: one closed skin, corners rounded.

    Parameters
    ----------
    surface : Surface
        What is to be wrapped; it may run through itself.
    cell_mm : float
        How fine. [mm]
    """
    low, blocks, widest = _grid(surface.mesh, cell_mm, float(surface.mesh.low_mm[2]))
    corners = np.stack(np.meshgrid(*map(np.arange, blocks), indexing="ij"), -1).reshape(-1, 3)
    corners, size = corners * widest, widest
    while True:
        middles = low + (corners + size / 2) * cell_mm
        near = surface.distances_mm(middles) <= (_HALF_DIAGONAL * size + 0.01) * cell_mm
        corners = corners[near]
        if size == 1:
            break
        size //= 2
        corners = (corners[:, None] + _CORNERS * size).reshape(-1, 3)
    nodes, of_cube = np.unique(
        (corners[:, None] + _CORNERS).reshape(-1, 3), axis=0, return_inverse=True
    )
    points = low + nodes * cell_mm
    signs = np.where(surface.windings(points) > 0.5, -1.0, 1.0)
    values = signs * np.maximum(surface.distances_mm(points), 1e-6 * cell_mm)
    vertices, faces, _ = igl.marching_cubes(
        values, points, np.ascontiguousarray(of_cube.reshape(-1, 8).astype(np.int64)), 0.0
    )
    made = Mesh(np.asarray(vertices, dtype=np.float64), np.asarray(faces, dtype=np.int64))
    return made if made.volume_l > 0 else Mesh(made.vertices_mm, made.faces[:, ::-1])
