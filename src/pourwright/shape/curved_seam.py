"""A seam between two halves that follows the parting line, where no plane does.

Seen along the pull, the piece has an outline; on the piece that is the parting line, and if the
piece twists or leans it lies in no plane. The seam is a sheet stretched through it, one place for
each line along the pull: on the way out to the sides of the block it evens out as a sheet of
rubber would, and inside the piece it is anywhere in the piece. So whatever plaster is ahead of it
has a free way out, but for what the piece itself shuts in.
"""

from __future__ import annotations

from dataclasses import dataclass

import manifold3d
import numpy as np
from embreex import rtcore_scene
from embreex.mesh_construction import TriangleMesh
from scipy.spatial import cKDTree

from pourwright.shape.block import Block
from pourwright.shape.distance import Surface
from pourwright.shape.edges import edges_of
from pourwright.shape.mesh import BoolArray, FloatArray, IntArray, Mesh
from pourwright.shape.natches import (
    NATCHES,
    NATCHES_MM,
    SEAM_BEVEL_MM,
    Natches,
    Seam,
    apart,
    caps,
)
from pourwright.shape.solids import mesh_of

CELL_MM = 2.0
"""How far apart the lines along the pull are. [mm]"""

_SWEEPS, _PUSH = 300, 1.9
_FAR_MM = 1000.0
_PAST_MM = 5.0
_STEP_MM, _BESIDE_MM, _WITHIN_MM = 1.0, 0.05, 0.05
_SAME = 1e-6
_SHARP_TOP_MM = 10.0
_STEEPEST_DEG, _UNEVEN_MM, _INTO_MM = 35.0, 0.4, 0.5
_AROUND = 12
_ON_IT_MM = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """How far along the pull a seam is, in the frame in which the first half is pulled along x.

    Parameters
    ----------
    y_mm, z_mm : array of float, (n,), (k,)
        Where the lines along the pull stand. [mm]
    x_mm : array of float, (n, k)
        How far along each of them the seam is. [mm]
    bevel_mm : array of float, (n, k)
        How far each half stays back from it, for the beveled edges. [mm]
    """

    y_mm: FloatArray
    z_mm: FloatArray
    x_mm: FloatArray
    bevel_mm: FloatArray

    def at(self, y_mm: FloatArray, z_mm: FloatArray) -> FloatArray:
        """Return how far along the pull the seam is. [mm]

        Parameters
        ----------
        y_mm, z_mm : array of float
            Where. [mm]
        """
        first = np.clip(np.searchsorted(self.y_mm, y_mm) - 1, 0, len(self.y_mm) - 2)
        second = np.clip(np.searchsorted(self.z_mm, z_mm) - 1, 0, len(self.z_mm) - 2)
        u = (y_mm - self.y_mm[first]) / (self.y_mm[first + 1] - self.y_mm[first])
        v = (z_mm - self.z_mm[second]) / (self.z_mm[second + 1] - self.z_mm[second])
        x = self.x_mm
        # as its two triangles have it
        low, high = x[first, second], x[first + 1, second + 1]
        aside, above = x[first + 1, second], x[first, second + 1]
        under: FloatArray = low + u * (aside - low) + v * (high - aside)
        over: FloatArray = low + v * (above - low) + u * (high - above)
        return np.where(u >= v, under, over)

    def ahead(self, bevel: float = 0.0) -> manifold3d.Manifold:
        """Return all that is ahead of the seam.

        Parameters
        ----------
        bevel : float
            1 leaves the bevel of the first half out, -1 adds that of the second. [-]
        """
        x = self.x_mm + bevel * self.bevel_mm
        n, k = x.shape
        y, z = np.repeat(self.y_mm, k), np.tile(self.z_mm, n)
        near = np.column_stack([x.ravel(), y, z])
        far = np.column_stack([np.full(n * k, _FAR_MM), y, z])
        number = np.arange(n * k).reshape(n, k)
        a, b = number[:-1, :-1].ravel(), number[1:, :-1].ravel()
        c, d = number[1:, 1:].ravel(), number[:-1, 1:].ravel()
        ahead = np.vstack([np.column_stack([a, b, c]), np.column_stack([a, c, d])])
        rim = np.concatenate([number[:-1, 0], number[-1, :-1], number[:0:-1, -1], number[0, :0:-1]])
        on = np.roll(rim, -1)
        walls = np.vstack(
            [
                np.column_stack([rim, on, rim + n * k]),
                np.column_stack([on, on + n * k, rim + n * k]),
            ]
        )
        faces = np.vstack([ahead[:, ::-1], ahead + n * k, walls])
        told = manifold3d.Mesh64(
            vert_properties=np.vstack([near, far]), tri_verts=faces.astype(np.uint64)
        )
        return manifold3d.Manifold(told)


def sheet_of(surface: Mesh, block: Block) -> Sheet:
    """Return the seam of two halves.

    Parameters
    ----------
    surface : Mesh
        The piece with its spare, in the frame in which the first half is pulled along x.
    block : Block
        The plaster around it.
    """
    _, low_y, low_z, _, high_y, high_z = block.bare.bounding_box()
    y, z = _lines(low_y, high_y), _lines(low_z, high_z)
    edge = np.minimum(np.minimum(y - low_y, high_y - y)[:, None], z - low_z)
    bevel = np.clip(SEAM_BEVEL_MM - edge, 0.0, None) * (z < high_z - _SHARP_TOP_MM)
    return Sheet(y, z, _stretched(surface, y, z), bevel)


def _lines(low: float, high: float) -> FloatArray:
    """Return where lines stand: evenly, and where bevels begin and end. [mm]"""
    first, last = low + SEAM_BEVEL_MM, high - SEAM_BEVEL_MM
    even = np.linspace(first, last, int(np.ceil((last - first) / CELL_MM)) + 1)
    return np.concatenate([[low - _PAST_MM, low], even, [high, high + _PAST_MM]])


class _Rays:
    """Lines along x through a surface."""

    def __init__(self, surface: Mesh) -> None:
        self.scene = rtcore_scene.EmbreeScene(robust=True)
        TriangleMesh(self.scene, surface.corners_mm.astype(np.float32))

    def span(self, y_mm: FloatArray, z_mm: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return where each line first enters and last leaves; -inf and inf where it misses. [mm]"""
        found = []
        for way in (1.0, -1.0):
            begin = np.column_stack([np.full(len(y_mm), -way * _FAR_MM), y_mm, z_mm])
            along = np.tile(np.array([way, 0.0, 0.0], dtype=np.float32), (len(y_mm), 1))
            far = self.scene.run(begin.astype(np.float32), along, query="DISTANCE")
            far = np.asarray(far, dtype=np.float64)
            found.append(np.where(far < 2 * _FAR_MM, way * (far - _FAR_MM), -way * np.inf))
        return found[0], found[1]


def _stretched(surface: Mesh, y: FloatArray, z: FloatArray) -> FloatArray:
    """Return the evenest sheet that is in the piece wherever a line meets it. [mm]

    Along the outline the piece is thin, and the lines beside it stand a little off: so the sheet
    is stretched once, and again with what it slopes by from the outline to those lines.
    """
    rays = _Rays(surface)
    shape = (len(y), len(z))
    first, last = rays.span(np.repeat(y, len(z)), np.tile(z, len(y)))
    first, last = first.reshape(shape), last.reshape(shape)
    thin, thin_first, thin_last = _along_outline(surface, rays)
    at = _nearest(y, thin[:, 0]), _nearest(z, thin[:, 1])
    off = np.column_stack([y[at[0]], z[at[1]]]) - thin
    x, rises = np.zeros(shape), np.zeros(len(thin))
    for _ in range(2):
        least, most = first.copy(), last.copy()
        np.maximum.at(least, at, thin_first + rises)
        np.minimum.at(most, at, thin_last + rises)
        crossed = np.nonzero(least > most)
        least[crossed] = most[crossed] = (least[crossed] + most[crossed]) / 2
        x = _evened(x, least, most)
        along_y, along_z = np.gradient(x, y, z)
        rises = along_y[at] * off[:, 0] + along_z[at] * off[:, 1]
    return x


def _along_outline(surface: Mesh, rays: _Rays) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return places just inside the outline, as (y, z), and where lines there enter and leave. [mm]"""
    points, outward = _outline(surface)
    past = points + _BESIDE_MM * outward
    is_outer = np.isinf(rays.span(past[:, 0], past[:, 1])[0])
    thin = points[is_outer] - _WITHIN_MM * outward[is_outer]
    first, last = rays.span(thin[:, 0], thin[:, 1])
    met = np.isfinite(first)
    return thin[met], first[met], last[met]


def _nearest(lines: FloatArray, places: FloatArray) -> IntArray:
    middles = (lines[1:] + lines[:-1]) / 2
    return np.searchsorted(middles, places)


def _outline(surface: Mesh) -> tuple[FloatArray, FloatArray]:
    """Return points of the outline as seen along x, and which way is outward there, both as (y, z)."""
    edges = edges_of(surface.faces)
    order = np.argsort(edges.of_side, kind="stable") % len(surface.faces)
    first, second = order.reshape(-1, 2).T
    normals = surface.normals
    looks = np.sign(np.where(np.abs(normals[:, 0]) < _SAME, 0.0, normals[:, 0]))
    turns = np.flatnonzero(looks[first] != looks[second])
    outward = (normals[first[turns]] + normals[second[turns]])[:, 1:]
    length = np.linalg.norm(outward, axis=1)
    turns, outward = turns[length > _SAME], outward[length > _SAME]
    outward = outward / np.linalg.norm(outward, axis=1)[:, None]
    begin, end = np.moveaxis(surface.vertices_mm[edges.ends[turns]][:, :, 1:], 1, 0)
    steps = np.ceil(np.linalg.norm(end - begin, axis=1) / _STEP_MM).astype(np.int64) + 1
    edge = np.repeat(np.arange(len(steps)), steps)
    share = (np.arange(len(edge)) - np.repeat(np.cumsum(steps) - steps, steps) + 0.5) / steps[edge]
    return begin[edge] + share[:, None] * (end - begin)[edge], outward[edge]


def _evened(x: FloatArray, least: FloatArray, most: FloatArray) -> FloatArray:
    """Return a sheet evened between bounds: each place is the mean of those beside it. [mm]"""
    n, k = x.shape
    even = (np.arange(n)[:, None] + np.arange(k)) % 2 == 0
    x = np.clip(x, least, most)
    for _ in range(_SWEEPS):
        for half in (even, ~even):
            padded = np.pad(x, 1, mode="edge")
            mean = (padded[:-2, 1:-1] + padded[2:, 1:-1] + padded[1:-1, :-2] + padded[1:-1, 2:]) / 4
            x = np.where(half, np.clip(x + _PUSH * (mean - x), least, most), x)
    return x


def natched(sheet: Sheet, first: manifold3d.Manifold, second: manifold3d.Manifold) -> Natches:
    """Return natches where two halves lie on one another with room for them.

    Parameters
    ----------
    sheet : Sheet
        Their seam.
    first, second : Manifold
        The halves.
    """
    y, z = (np.arange(one[0], one[-1], CELL_MM) for one in (sheet.y_mm, sheet.z_mm))
    places = np.column_stack([np.repeat(y, len(z)), np.tile(z, len(y))])
    has_room = _has_room(sheet, places, first, second)
    places, edge = places[has_room], cKDTree(places[~has_room])
    to_edge, _ = edge.query(places)
    chosen: list[tuple[float, float]] = []
    for radius in NATCHES_MM:
        # as much plaster as its radius stays between a natch and where the seam ends
        is_held = (to_edge > 2 * radius) & _slopes(sheet, places, radius)[1]
        chosen = apart(places[is_held], NATCHES, 4 * radius)
        if chosen:
            break
    bumps, hollows = manifold3d.Manifold(), manifold3d.Manifold()
    at = []
    for one in np.array(chosen).reshape(-1, 2):
        (slope,), _ = _slopes(sheet, one[None], radius)
        at.append(np.array([float(sheet.at(*one)), *one]))
        seam = _tangent(at[-1], slope)
        made = caps([(0.0, 0.0)], radius, seam.slant_deg, _INTO_MM)
        bumps += seam.out_of(made[0])
        hollows += seam.out_of(made[1])
    return Natches(bumps, hollows, tuple(at))


def _around(far_mm: float) -> FloatArray:
    angles = np.arange(_AROUND) * 2 * np.pi / _AROUND
    return far_mm * np.column_stack([np.cos(angles), np.sin(angles)])


def _has_room(
    sheet: Sheet, flat: FloatArray, first: manifold3d.Manifold, second: manifold3d.Manifold
) -> BoolArray:
    """Return on which places of the seam both halves have plaster."""
    places = np.column_stack([sheet.at(*flat.T), flat])
    ahead = np.array([_INTO_MM, 0.0, 0.0])
    has_room: BoolArray = Surface(mesh_of(first)).are_inside(places + ahead)
    has_room[has_room] = Surface(mesh_of(second)).are_inside((places - ahead)[has_room])
    return has_room


def _slopes(sheet: Sheet, flat: FloatArray, radius_mm: float) -> tuple[FloatArray, BoolArray]:
    """Return how the seam slopes along y and z, and where it is flat and even enough for a natch."""
    ring = _around(radius_mm)
    x = np.stack([sheet.at(*(flat + one).T) for one in ring])
    slopes = 2 * np.einsum("rn,rc->nc", x, ring) / (_AROUND * radius_mm**2)
    uneven = np.abs(x - sheet.at(*flat.T) - ring @ slopes.T).max(axis=0)
    steep = np.linalg.norm(slopes, axis=1)
    return slopes, (uneven < _UNEVEN_MM) & (steep < np.tan(np.radians(_STEEPEST_DEG)))


def _tangent(at_mm: FloatArray, slope: FloatArray) -> Seam:
    """Return the plane that touches the seam at a place."""
    out = np.array([1.0, *-slope])
    out /= np.linalg.norm(out)
    aside = np.array([slope[0], 1.0, 0.0])
    aside /= np.linalg.norm(aside)
    turn = np.array([aside, np.cross(out, aside), out])
    slant = float(np.degrees(np.arccos(out[0])))
    frame = np.column_stack([turn, -turn @ at_mm])
    return Seam(0, 1, frame, is_half=False, slant_deg=slant, natches=1)


def length_mm(sheet: Sheet, piece: manifold3d.Manifold, surface: Surface) -> float:
    """Return how long a seam is on the piece. [mm]

    Parameters
    ----------
    sheet : Sheet
        The seam.
    piece : Manifold
        The piece with its spare.
    surface : Surface
        The piece alone.
    """
    along = piece.transform(np.array([[0.0, 1, 0, 0], [0, 0, 1, 0], [1, 0, 0, 0]]))
    length = 0.0
    for ring in along.project().to_polygons():
        points = np.column_stack([sheet.at(*ring.T), ring])
        ahead = np.roll(points, -1, axis=0)
        is_on_it = surface.distances_mm((points + ahead) / 2) < _ON_IT_MM
        length += float(np.linalg.norm(ahead - points, axis=1)[is_on_it].sum())
    return length
