"""Shapes: a whole vessel from its mesh to proven parts and masters, the wall of a cast, what pulls reach."""

from __future__ import annotations

import time
from functools import cache

import manifold3d
import numpy as np

from benchmarks.yardstick import ratio
from pourwright.shape.masters import master_form
from pourwright.shape.mesh import FloatArray, Mesh
from pourwright.shape.mold import mold_of
from pourwright.shape.reach import reached
from pourwright.shape.release import release_of
from pourwright.shape.solids import mesh_of
from pourwright.shape.wall import cast_wall

CELLS = 256
"""Dots along each side of the plain picture of depths."""

FEW = 5
"""Pulls that both ways are timed with."""


@cache
def mug() -> Mesh:
    """Return a mug of 190 x 133 x 200 mm with a ring for a handle and a foot ring, of 23,600 triangles."""
    profile = [(0, 6), (40, 6), (42, 0), (55, 0)]
    profile += [(55 + 20 * np.sin(z * np.pi / 200) * z / 200, z) for z in np.linspace(5, 200, 40)]
    body = manifold3d.CrossSection([np.array([*profile, (0, 200)])])
    angles = np.arange(40) * np.pi / 20
    section = np.column_stack([45 + 9 * np.cos(angles), 9 * np.sin(angles)])
    ring = manifold3d.Manifold.revolve(manifold3d.CrossSection([section]), 140)
    whole = manifold3d.Manifold.revolve(body, 200)
    return mesh_of(whole + ring.rotate((90, 0, 0)).translate((70, 0, 100)))


def bench_a_vessel_from_its_mesh_to_parts_and_masters() -> float:
    """Vessels parted in the best way, made into parts that come off, with the forms of their masters."""

    def whole() -> None:
        made = mold_of(mug(), release_of(mug()).chosen)
        for body, one in zip(made.bodies, made.told.parts, strict=True):
            master_form(body, one.pull)

    return ratio(whole, turns=2)


def bench_a_wall_counted_to_half_a_millimeter() -> float:
    """Walls of 5 mm, with what drains and what casts solid."""
    return ratio(lambda: cast_wall(mug(), 5.0), turns=2)


def bench_reach_against_plain_pictures_of_depth() -> float:
    """How many times as fast rays are as a picture of depths for each pull, drawn with NumPy."""
    angles = np.arange(FEW) * 2 * np.pi / FEW
    pulls = np.column_stack([np.cos(angles), np.sin(angles), np.zeros(FEW)])
    took = []
    for work in (lambda: reached(mug(), pulls), lambda: [_depths(mug(), one) for one in pulls]):
        began = time.perf_counter()
        work()
        took.append(time.perf_counter() - began)
    return took[1] / took[0]


def _depths(mesh: Mesh, pull: FloatArray) -> FloatArray:
    """Return the height of the last face along a pull over each dot of a grid, triangle by triangle."""
    frame = np.array([[-pull[1], pull[0], 0.0], [0.0, 0.0, 1.0], pull])
    corners = mesh.corners_mm @ frame.T
    low = corners.min(axis=(0, 1))
    step = float((corners.max(axis=(0, 1)) - low)[:2].max()) / CELLS
    flat = (corners[:, :, :2] - low[:2]) / step
    picture = np.full((CELLS + 1, CELLS + 1), -np.inf)
    for dots, heights in zip(flat, corners[:, :, 2], strict=True):
        first, last = np.ceil(dots.min(axis=0)).astype(int), np.floor(dots.max(axis=0)).astype(int)
        x, y = np.mgrid[first[0] : last[0] + 1, first[1] : last[1] + 1]
        (ax, ay), (bx, by), (cx, cy) = dots
        area = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
        if abs(area) < 1e-12 or not x.size:
            continue
        v = ((x - ax) * (cy - ay) - (cx - ax) * (y - ay)) / area
        w = ((bx - ax) * (y - ay) - (x - ax) * (by - ay)) / area
        over = (v >= 0) & (w >= 0) & (v + w <= 1)
        height = heights[0] + v * (heights[1] - heights[0]) + w * (heights[2] - heights[0])
        np.maximum.at(picture, (x[over], y[over]), height[over])
    return picture
