"""Pictures of a piece and its mold, drawn by casting a line for every dot.

The palette is our own: plaster and clay, ocher where a face leans little, violet where it holds.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from embreex import rtcore_scene
from embreex.mesh_construction import TriangleMesh
from numpy.typing import NDArray
from PIL import Image

from pourwright.shape.mesh import BoolArray, FloatArray, IntArray, Mesh, Place

Picture: TypeAlias = NDArray[np.uint8]
"""Rows of dots, red, green and blue. """

CLAY = (178, 96, 62)
PLASTERS = (
    (227, 221, 205),
    (111, 149, 160),
    (179, 189, 133),
    (122, 74, 82),
    (216, 168, 146),
    (90, 84, 112),
)
"""A tint for each part in turn, as on a page."""

FREE, LITTLE, LEAST, HELD = (214, 206, 190), (226, 190, 104), (208, 132, 48), (92, 44, 128)
"""A face that leans 3 degrees or more away from its pull, less than 3, less than 1, and one that holds."""

_PAPER, _INK = (250, 247, 241), 0.45
_DOTS = 2
_MARGIN = 1.06


@dataclass(frozen=True, slots=True, eq=False)
class Painted:
    """A body with its colors.

    Parameters
    ----------
    mesh : Mesh
        The body.
    colors : array of int, (m, 3)
        Red, green and blue of each triangle, 0 to 255.
    """

    mesh: Mesh
    colors: IntArray

    @classmethod
    def plain(cls, mesh: Mesh, color: tuple[int, int, int]) -> Painted:
        """Return a body in one color.

        Parameters
        ----------
        mesh : Mesh
            The body.
        color : (int, int, int)
            Red, green and blue.
        """
        return cls(mesh, np.tile(np.array(color, dtype=np.int64), (len(mesh.faces), 1)))


def by_draft(mesh: Mesh, pulls: FloatArray, shares: FloatArray, is_open: BoolArray) -> Painted:
    """Return a piece colored by how its faces come off; its pour face is clay.

    Parameters
    ----------
    mesh : Mesh
        The piece.
    pulls : array of float, (d, 3)
        The pulls of its mold's parts.
    shares : array of float, (d, m)
        How much of each triangle each of them reaches. [-]
    is_open : array of bool, (m,)
        The triangles of the pour face.
    """
    colors = np.array([FREE, LITTLE, LEAST, HELD, CLAY], dtype=np.int64)
    return Painted(mesh, colors[draft_classes(mesh, pulls, shares, is_open)])


def draft_classes(
    mesh: Mesh, pulls: FloatArray, shares: FloatArray, is_open: BoolArray
) -> IntArray:
    """Return how each triangle comes off: 0 free, 1 leans under 3 degrees, 2 under 1, 3 holds, 4 open.

    Parameters
    ----------
    mesh, pulls, shares, is_open
        As for :func:`by_draft`.
    """
    leans = np.where(shares > 0, pulls @ mesh.normals.T, -1.0).max(axis=0)
    degrees = np.degrees(np.arcsin(np.clip(leans, -1.0, 1.0)))
    classes: IntArray = (degrees < 3).astype(np.int64) + (degrees < 1)
    classes[shares.max(axis=0) < 0.5] = 3
    classes[is_open] = 4
    return classes


def from_three_sides(piece: Painted, dots: int) -> Picture:
    """Return a piece from the front, from the right and from above, at one scale.

    Parameters
    ----------
    piece : Painted
        The piece.
    dots : int
        Width and height of each view.
    """
    wide = float(piece.mesh.size_mm.max()) * _MARGIN
    views = ((0.0, -1.0, 0.0), (1.0, 0.0, 0.0), (0.0, -1e-3, 1.0))
    return np.hstack([seen([piece], np.array(view), dots, wide) for view in views])


def opened(parts: list[tuple[Mesh, Place]], piece: Mesh, dots: int) -> Picture:
    """Return a mold pulled apart around its piece, then each part from the side of the piece.

    Parameters
    ----------
    parts : list of (Mesh, (float, float, float))
        Each part and its pull, in the order in which they come off.
    piece : Mesh
        The piece.
    dots : int
        Height of the picture, and width of each view.
    """
    tints = [PLASTERS[number % len(PLASTERS)] for number in range(len(parts))]
    far = float(piece.size_mm.max()) * 0.9
    apart = [
        Painted.plain(Mesh(mesh.vertices_mm + far * np.array(pull), mesh.faces), tint)
        for (mesh, pull), tint in zip(parts, tints, strict=True)
    ]
    first = np.array(next((pull for _, pull in parts if not pull[2]), (0.0, 1.0, 0.0)))
    aside = np.array([first[1], -first[0], 0.0])
    views = [seen([*apart, Painted.plain(piece, CLAY)], aside + 0.5 * first + [0, 0, 0.6], dots)]
    for (mesh, pull), tint in zip(parts, tints, strict=True):
        level = not pull[2]
        tilt = np.array([0.0, 0.0, 0.35]) if level else 0.6 * aside
        views.append(seen([Painted.plain(mesh, tint)], tilt - np.array(pull), dots))
    return np.hstack(views)


def seen(
    bodies: list[Painted], toward: FloatArray, dots: int, wide_mm: float | None = None
) -> Picture:
    """Return a square picture of bodies.

    Parameters
    ----------
    bodies : list of Painted
        The bodies.
    toward : array of float, (3,)
        From the bodies to who looks.
    dots : int
        Width and height of the picture.
    wide_mm : float or None
        How much it shows; None shows all. [mm]
    """
    corners = np.concatenate([one.mesh.corners_mm for one in bodies])
    normals = np.concatenate([one.mesh.normals for one in bodies])
    colors = np.concatenate([one.colors for one in bodies])
    of_body = np.repeat(np.arange(len(bodies)), [len(one.mesh.faces) for one in bodies])
    back = toward / np.linalg.norm(toward)
    right = np.cross([0.0, 0.0, 1.0], back)
    right /= np.linalg.norm(right)
    frame = np.array([right, np.cross(back, right), back])
    flat = corners.reshape(-1, 3) @ frame.T
    low, high = flat.min(axis=0), flat.max(axis=0)
    wide = float((high - low)[:2].max()) * _MARGIN if wide_mm is None else wide_mm
    count = dots * _DOTS
    step = wide / count
    places = (np.arange(count) + 0.5) * step - wide / 2
    middle = (low + high) / 2
    across, along = np.meshgrid(middle[0] + places, middle[1] - places)
    begin = np.column_stack([across.ravel(), along.ravel(), np.full(count**2, high[2] + 1.0)])
    scene = rtcore_scene.EmbreeScene(robust=True)
    TriangleMesh(scene, corners.astype(np.float32))
    origins = (begin @ frame).astype(np.float32)
    ahead = np.tile((-back).astype(np.float32), (len(origins), 1))
    hit = np.asarray(scene.run(origins, ahead, query="INTERSECT")).astype(np.int64)
    shaded = _shaded(hit, normals, colors, frame)
    depth = _depths(hit, begin @ frame, corners, normals, back)
    edge = _edges(hit.reshape(count, count), depth.reshape(count, count), of_body, 6 * step)
    shaded = np.where(edge.reshape(-1, 1), shaded * _INK, shaded)
    fine = shaded.reshape(dots, _DOTS, dots, _DOTS, 3).mean(axis=(1, 3))
    picture: Picture = fine.round().astype(np.uint8)
    return picture


def _shaded(hit: IntArray, normals: FloatArray, colors: IntArray, frame: FloatArray) -> FloatArray:
    """Return the color of each dot, lit from above on the left."""
    light = np.array([-0.45, 0.6, 0.66]) @ frame
    bright = 0.5 + 0.5 * np.clip(normals @ light, 0.0, 1.0)
    lit = colors * bright[:, None]
    shaded: FloatArray = np.where(hit[:, None] < 0, np.array(_PAPER, dtype=np.float64), lit[hit])
    return shaded


def _depths(
    hit: IntArray, begin: FloatArray, corners: FloatArray, normals: FloatArray, back: FloatArray
) -> FloatArray:
    """Return how far each dot's line runs until it meets something. [mm]"""
    lean = normals @ back
    lean = np.where(np.abs(lean) < 1e-6, 1e-6, lean)[hit]
    far: FloatArray = np.einsum("ij,ij->i", begin - corners[hit, 0], normals[hit]) / lean
    return np.where(hit < 0, 1e6, far)


def _edges(hit: IntArray, depth: FloatArray, of_body: IntArray, jump_mm: float) -> BoolArray:
    """Return which dots lie on an outline: where body or depth changes."""
    body = np.where(hit < 0, -1, of_body[hit])
    edge = np.zeros(hit.shape, dtype=bool)
    for axis in (0, 1):
        for way in (1, -1):
            edge |= body != np.roll(body, way, axis)
            edge |= np.roll(depth, way, axis) - depth > jump_mm
    return edge & (hit >= 0)


def png_bytes(picture: Picture) -> bytes:
    """Return a picture as PNG.

    Parameters
    ----------
    picture : array of int, (h, w, 3)
        The picture.
    """
    buffer = io.BytesIO()
    Image.fromarray(picture).save(buffer, format="PNG", optimize=True)
    return buffer.getvalue()
