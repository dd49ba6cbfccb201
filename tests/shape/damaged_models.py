"""Files that are damaged or mean harm: what must be refused and how, what must be healed and how.

Each is made from one sound cup whose volume a formula gives.
"""

import struct

import numpy as np

from pourwright.shape.mesh import Mesh
from tests.shape.models import (
    cup,
    cup_l,
    glb,
    joined,
    model_xml,
    moved,
    obj,
    packed,
    ply,
    sphere,
    stl,
    text_stl,
    three_mf,
)

CUP = cup()
VOLUME_L = cup_l()
STL, PLY, OBJ, GLB, THREE_MF = stl(CUP), ply(CUP), obj(CUP), glb(CUP), three_mf(CUP)
RNG = np.random.default_rng(16)


def faces(chosen) -> Mesh:
    return Mesh(CUP.vertices_mm, np.ascontiguousarray(chosen))


def with_nowhere() -> bytes:
    vertices = CUP.vertices_mm.copy()
    vertices[5] = np.nan
    return ply(Mesh(vertices, CUP.faces))


def cyclic() -> bytes:
    first = (
        '<object id="1" type="model"><components><component objectid="2"/></components></object>'
    )
    second = (
        '<object id="2" type="model"><components><component objectid="1"/></components></object>'
    )
    return packed(**{"3D__3dmodel": model_xml(first + second)})


def laughing() -> bytes:
    """An entity that doubles itself thirty times."""
    lines = "".join(f'<!ENTITY a{n} "&a{n - 1};&a{n - 1};">' for n in range(1, 31))
    before = f'<!DOCTYPE model [<!ENTITY a0 "ha">{lines}]>'
    inside = '<object id="1" type="model" name="&a30;"/>'
    return packed(**{"3D__3dmodel": model_xml(inside, before=before)})


SHEET = Mesh(
    np.array([[0, 0, 0], [90, 0, 0], [90, 90, 0], [0, 90, 0.0]]), np.array([[0, 1, 2], [0, 2, 3]])
)

REFUSED: dict[str, tuple[bytes, str]] = {
    "nothing at all": (b"", "an empty file"),
    "blanks": (b" \n\n ", "an empty file"),
    "a letter": (b"Dear studio, here is the mug.\n" * 50, "no kind that is known"),
    "a picture": (b"\x89PNG\r\n\x1a\n" + bytes(RNG.integers(0, 256, 5000, dtype=np.uint8)), "no kind that is known"),
    "noise": (bytes(RNG.integers(0, 256, 5000, dtype=np.uint8)), "no kind that is known"),
    "an STL cut short": (STL[:3000], "cut short: 58 of"),
    "an STL that promises four billion": (STL[:80] + struct.pack("<I", 2**32 - 1) + STL[84:], "4,294,967,295 triangles are there"),
    "an STL with nothing in it": (b"\0" * 84, "without a single triangle"),
    "a text STL cut short": (text_stl(CUP)[:-3000], "its last line is missing"),
    "a PLY without its end": (PLY[:100], "its list of contents does not end"),
    "a PLY of points": (PLY.replace(b"element face", b"element edge"), "points without a surface"),
    "a PLY that promises a billion": (PLY.replace(b"element face 2", b"element face 2000000"), "triangles; make it coarser"),
    "a PLY cut short": (PLY[: len(PLY) // 2], "cut short"),
    "an OBJ of points": (OBJ.split(b"\nf ")[0] + b"\n", "points without a surface"),
    "an OBJ that names corners which are not there": (OBJ + b"f 1 2 99999\n", "damaged"),
    "a corner nowhere": (with_nowhere(), "lie nowhere"),
    "a GLB cut short": (GLB[:-500], "cut short"),
    "a GLB whose contents are no JSON": (GLB[:20] + b"x" * 40 + GLB[60:], "damaged"),
    "a 3MF cut short": (THREE_MF[:-100], "cannot be unpacked"),
    "a 3MF without a model": (packed(), "without a model"),
    "a 3MF that contains itself": (cyclic(), "the model is"),
    "a 3MF that laughs a billion times": (laughing(), "the model is"),
    "a model at the other end of the world": (ply(moved(CUP, 1e9, 0, 0)), "farther than 10 million"),
    "a sheet": (ply(SHEET), "encloses nothing"),
    "a sheet with two sides": (ply(Mesh(SHEET.vertices_mm, np.concatenate([SHEET.faces, SHEET.faces[:, ::-1]]))), "without area"),
    "nothing but lines": (ply(Mesh(CUP.vertices_mm, CUP.faces[:, [0, 1, 1]])), "without area"),
    "two cups": (ply(joined(CUP, moved(CUP, 200, 0, 0))), "2 bodies apart from each other, around (0"),
}  # fmt: skip
"""Each with what its sentence must say."""


def loose(by_mm: float) -> Mesh:
    """Every triangle by itself, its corners moved by chance."""
    corners = CUP.corners_mm.reshape(-1, 3)
    return Mesh(
        corners + RNG.uniform(-by_mm, by_mm, corners.shape), np.arange(len(corners)).reshape(-1, 3)
    )


def some_turned() -> Mesh:
    chosen = CUP.faces.copy()
    turned = RNG.choice(len(chosen), len(chosen) // 20, replace=False)
    chosen[turned] = chosen[turned, ::-1]
    return faces(chosen)


def without_top() -> Mesh:
    return faces(CUP.faces[CUP.corners_mm[:, :, 2].min(axis=1) < 89.9])


def with_fin() -> Mesh:
    """A triangle that stands on an edge of the cup."""
    edge = CUP.faces[40, :2]
    tip = CUP.vertices_mm[edge].mean(axis=0) * [1.3, 1.3, 1]
    return Mesh(
        np.vstack([CUP.vertices_mm, tip]), np.vstack([CUP.faces, [*edge, len(CUP.vertices_mm)]])
    )


def with_lines() -> Mesh:
    return faces(np.vstack([CUP.faces, CUP.faces[:5][:, [0, 0, 1]]]))


def holes() -> Mesh:
    kept = np.ones(len(CUP.faces), dtype=bool)
    kept[[20, 60, 90]] = False
    return faces(CUP.faces[kept])


INNER = moved(sphere(15, 32), 0, 0, 45)
HEALED: dict[str, tuple[Mesh, dict[str, int], float, float]] = {
    "sound": (CUP, {}, VOLUME_L, 1e-9),
    "each triangle by itself": (loose(0), {}, VOLUME_L, 1e-9),
    "each triangle by itself, a micron off": (loose(0.001), {"seam": 0}, VOLUME_L, 1e-4),
    "one in twenty turned": (some_turned(), {"turned": len(CUP.faces) // 20}, VOLUME_L, 1e-9),
    "inside out": (faces(CUP.faces[:, ::-1]), {"inside out": 1}, VOLUME_L, 1e-9),
    "three triangles missing": (holes(), {"opening": 3}, VOLUME_L, 1e-9),
    "no top": (without_top(), {"opening": 1}, VOLUME_L, 1e-9),
    "ten triangles twice": (faces(np.vstack([CUP.faces, CUP.faces[30:40]])), {"doubled": 10}, VOLUME_L, 1e-9),
    "triangles that are lines": (with_lines(), {"no thickness": 5}, VOLUME_L, 1e-9),
    "a crumb": (joined(CUP, moved(sphere(2, 16), 60, 0, 0)), {"crumb": 1}, VOLUME_L, 1e-9),
    "a hollow": (joined(CUP, Mesh(INNER.vertices_mm, INNER.faces[:, ::-1])), {"hollow inside": 1}, VOLUME_L, 1e-9),
    "a body in the body": (joined(CUP, INNER), {"overlap": 1}, VOLUME_L, 1e-9),
    "a knob that sits in the wall": (joined(CUP, moved(sphere(10, 48), 35, 0, 45)), {"overlap": 1}, VOLUME_L, 0.012),
    "a fin": (with_fin(), {"crowded edge": 1}, VOLUME_L, 0.003),
}  # fmt: skip
"""Each with the faults that must be told and how many of each (0: some), its volume, and how near."""
