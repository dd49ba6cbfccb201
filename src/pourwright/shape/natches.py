"""Where two parts meet: natches that hold them in register, and edges taken off along the seam."""

from __future__ import annotations

from dataclasses import dataclass

import manifold3d
import numpy as np

from pourwright.shape.block import Block
from pourwright.shape.mesh import FloatArray

NATCHES_MM, NATCH_DEG, PLAY_MM = (6.0, 4.5, 3.0), 60.5, 0.15
"""Radii of a natch at its foot, the largest that has room is taken; how steep it is there, and how
much wider its hollow is. [mm, degree, mm]"""

FREE_DEG = 5.0
"""A natch is so much less steep than the pull is slanted to its seam. [degree]"""

NATCHES = 3
"""So many hold two halves in register; other seams take two."""

SEAM_BEVEL_MM = 3.0
"""How far outside edges are taken off along a seam. Our own choice. [mm]"""

_SAME_MM = 1e-3
_BESIDE_MM = 0.01
_GRID_MM = 3.0
_STEP_MM = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Seam:
    """A plane in which two parts meet.

    Parameters
    ----------
    first, second : int
        The parts by their numbers, the one that comes off first first.
    frame : array of float, (3, 4)
        Brings the plane to height 0, the first part above it.
    is_half : bool
        Whether it ends where the sides meet, at x = 0.
    slant_deg : float
        How far the first part's pull leans from square to the plane. [degree]
    natches : int
        How many are wanted.
    """

    first: int
    second: int
    frame: FloatArray
    is_half: bool
    slant_deg: float
    natches: int

    @classmethod
    def level(cls, first: int, second: int, end: float, up: float) -> Seam:
        """Return the seam of a base (up is -1) or a top with a side.

        Parameters
        ----------
        first, second : int
            The parts.
        end : float
            How high it is. [mm]
        up : float
            Which way the first is pulled.
        """
        frame = np.array([[1.0, 0, 0, 0], [0, up, 0, 0], [0, 0, up, -up * end]])
        return cls(first, second, frame, is_half=False, slant_deg=0.0, natches=NATCHES - 1)

    @classmethod
    def upright(
        cls,
        first: int,
        second: int,
        ray: FloatArray,
        slant_deg: float,
        *,
        half: bool,
        turned: bool,
    ) -> Seam:
        """Return the seam between two sides.

        Parameters
        ----------
        first, second : int
            The parts.
        ray : array of float, (3,)
            In which direction it runs from where the sides meet.
        slant_deg : float
            How far the pull of either leans from square to it. [degree]
        half : bool
            Whether it ends where the sides meet.
        turned : bool
            Whether the first lies to the left of it, and not to the right.
        """
        way = -1.0 if turned else 1.0
        x, y = float(ray[0]), float(ray[1])
        frame = np.array([[x, y, 0, 0], [0, 0, way, 0], [way * y, -way * x, 0, 0]])
        few = NATCHES - 1 if half else NATCHES
        return cls(first, second, frame, half, slant_deg, few)

    def into(self, solid: manifold3d.Manifold) -> manifold3d.Manifold:
        """Return a body in the seam's frame.

        Parameters
        ----------
        solid : Manifold
            Any.
        """
        return solid.transform(self.frame)

    def out_of(self, solid: manifold3d.Manifold) -> manifold3d.Manifold:
        """Return a body from the seam's frame.

        Parameters
        ----------
        solid : Manifold
            Any.
        """
        turn = self.frame[:, :3].T
        return solid.transform(np.column_stack([turn, -turn @ self.frame[:, 3]]))

    def back(self, points: FloatArray) -> FloatArray:
        """Return points from the seam's frame.

        Parameters
        ----------
        points : array of float, (..., 3)
            The points. [mm]
        """
        moved: FloatArray = (points - self.frame[:, 3]) @ self.frame[:, :3]
        return moved

    def shared(
        self, first: manifold3d.Manifold, second: manifold3d.Manifold
    ) -> manifold3d.CrossSection:
        """Return where two parts lie on one another, in the seam's frame.

        Parameters
        ----------
        first, second : Manifold
            The parts.
        """
        return self.into(first).slice(_BESIDE_MM) ^ self.into(second).slice(-_BESIDE_MM)

    def edges(
        self, first: manifold3d.Manifold, second: manifold3d.Manifold
    ) -> tuple[FloatArray, FloatArray]:
        """Return points along the edges of where two parts meet, each with its length. [mm]

        Parameters
        ----------
        first, second : Manifold
            The parts.
        """
        points, lengths = [np.zeros((0, 3))], [np.zeros(0)]
        for ring in self.shared(first, second).to_polygons():
            along = np.roll(ring, -1, axis=0) - ring
            length = np.linalg.norm(along, axis=1)
            steps = np.maximum(np.ceil(length / _STEP_MM), 1).astype(np.int64)
            edge = np.repeat(np.arange(len(steps)), steps)
            share = np.arange(len(edge)) - np.repeat(np.cumsum(steps) - steps, steps) + 0.5
            flat = ring[edge] + along[edge] * (share / steps[edge])[:, None]
            points.append(self.back(np.column_stack([flat, np.zeros(len(flat))])))
            lengths.append((length / steps)[edge])
        return np.concatenate(points), np.concatenate(lengths)


@dataclass(frozen=True, slots=True, eq=False)
class Natches:
    """The natches of a seam: what one part gains, what the other loses, and where."""

    bumps: manifold3d.Manifold
    hollows: manifold3d.Manifold
    at_mm: tuple[FloatArray, ...]


def natched(seam: Seam, first: manifold3d.Manifold, second: manifold3d.Manifold) -> Natches:
    """Return natches where two parts lie on one another with room for them.

    Parameters
    ----------
    seam : Seam
        Where they meet.
    first, second : Manifold
        The parts.
    """
    shared = seam.shared(first, second)
    chosen: list[tuple[float, float]] = []
    for radius in NATCHES_MM:
        # as much plaster as its radius stays between a natch and where the seam ends
        room = shared.offset(-2 * radius, manifold3d.JoinType.Round)
        chosen = apart(_grid_in(room), seam.natches, 4 * radius)
        if chosen:
            break
    bumps, hollows = caps(chosen, radius, seam.slant_deg)
    at = tuple(seam.back(np.array([x, y, 0.0])) for x, y in chosen)
    return Natches(seam.out_of(bumps), seam.out_of(hollows), at)


def _grid_in(room: manifold3d.CrossSection) -> FloatArray:
    """Return points of a grid that lie in an area, (k, 2). [mm]"""
    if room.is_empty():
        return np.zeros((0, 2))
    low_x, low_y, high_x, high_y = room.bounds()
    across = np.arange(low_x, high_x + 1e-9, _GRID_MM)
    along = np.arange(low_y, high_y + 1e-9, _GRID_MM)
    x, y = np.repeat(across, len(along)), np.tile(along, len(across))
    inside = np.zeros(len(x), dtype=bool)
    for ring in room.to_polygons():
        for (a, b), (c, d) in zip(ring, np.roll(ring, -1, axis=0), strict=True):
            if b != d:
                inside ^= ((b > y) != (d > y)) & (x < (c - a) * (y - b) / (d - b) + a)
    return np.column_stack([x, y])[inside]


def apart(points: FloatArray, count: int, least_mm: float) -> list[tuple[float, float]]:
    """Return some points, as far from one another as can be.

    Parameters
    ----------
    points : array of float, (k, 2)
        The points. [mm]
    count : int
        How many are wanted.
    least_mm : float
        None is closer to another. [mm]
    """
    if not len(points):
        return []
    chosen = [int(np.linalg.norm(points - points.mean(axis=0), axis=1).argmax())]
    while len(chosen) < count:
        away = np.linalg.norm(points[:, None] - points[chosen], axis=2).min(axis=1)
        if away.max() < least_mm:
            break
        chosen.append(int(away.argmax()))
    return [(float(points[one][0]), float(points[one][1])) for one in chosen]


def caps(
    places: list[tuple[float, float]], radius_mm: float, slant_deg: float, into_mm: float = _SAME_MM
) -> tuple[manifold3d.Manifold, manifold3d.Manifold]:
    """Return caps of balls that stand out downward from height 0, and their hollows.

    Parameters
    ----------
    places : list of (float, float)
        Where they stand. [mm]
    radius_mm : float
        Their radius at height 0. [mm]
    slant_deg : float
        How far the pull leans from upright. [degree]
    into_mm : float
        How far they go on above height 0, into the part that carries them. [mm]
    """
    steep = np.radians(min(NATCH_DEG, 90.0 - slant_deg - FREE_DEG))
    made = []
    for radius in (radius_mm, radius_mm + PLAY_MM):
        ball = radius / np.sin(steep)
        whole = manifold3d.Manifold.sphere(ball, 64).translate((0.0, 0.0, ball * np.cos(steep)))
        cap = whole.trim_by_plane((0.0, 0.0, -1.0), -into_mm)
        at_each = [cap.translate((x, y, 0.0)) for x, y in places]
        made.append(manifold3d.Manifold.batch_boolean(at_each, manifold3d.OpType.Add))
    return made[0], made[1]


def beveled(seam: Seam, block: Block) -> manifold3d.Manifold:
    """Return what is taken off the outside edges along a seam; the face to pour at stays sharp.

    Parameters
    ----------
    seam : Seam
        The seam.
    block : Block
        The block, its edges beveled.
    """
    edge = seam.into(block.bare).slice(0.0)
    around = edge.offset(1.0, manifold3d.JoinType.Miter)
    ring = manifold3d.Manifold.extrude(around, 2 * SEAM_BEVEL_MM)
    ring = ring.translate((0.0, 0.0, -SEAM_BEVEL_MM))
    inner = _points(edge.offset(-SEAM_BEVEL_MM, manifold3d.JoinType.Miter), 0.0)
    for side in (1.0, -1.0):
        outer = _points(edge, side * (SEAM_BEVEL_MM + _SAME_MM))
        ring -= manifold3d.Manifold.hull_points(np.vstack([inner, outer]))
    if seam.is_half:
        ring = ring.trim_by_plane((1.0, 0.0, 0.0), 0.0)
    is_level = abs(seam.frame[2, 2]) > 0.5
    ring = seam.out_of(ring)
    return ring if is_level else ring.trim_by_plane((0.0, 0.0, -1.0), -(block.top_mm - 10.0))


def _points(area: manifold3d.CrossSection, height_mm: float) -> FloatArray:
    flat = np.vstack(area.to_polygons())
    return np.column_stack([flat, np.full(len(flat), height_mm)])
