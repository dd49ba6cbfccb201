"""Shapes that we make ourselves, and files of them in every kind that is read."""

import io
import json
import struct
import zipfile

import manifold3d
import numpy as np

from pourwright.shape.mesh import Mesh
from pourwright.shape.solids import mesh_of

TWO_PI = 2 * np.pi


def revolved(outline: list[tuple[float, float]], sides: int = 96) -> Mesh:
    """Return a body turned about z from its outline of (radius, height), going up on the right."""
    section = manifold3d.CrossSection([np.array(outline, dtype=np.float64)])
    return mesh_of(manifold3d.Manifold.revolve(section, sides))


def kept_of_circle(sides: int) -> float:
    """Return what an n-sided ring keeps of its circle's area. [-]"""
    return sides * np.sin(TWO_PI / sides) / TWO_PI


def cup(sides: int = 64) -> Mesh:
    """Return a solid cup of 60 mm at the foot, 80 mm at the rim and 90 mm high."""
    return revolved([(0, 0), (30, 0), (40, 90), (0, 90)], sides)


def cup_l(sides: int = 64) -> float:
    """Return its volume by the formula of the frustum. [l]"""
    return kept_of_circle(sides) * np.pi * 90 * (40**2 + 40 * 30 + 30**2) / 3 / 1e6


def hollow_cup(sides: int = 64) -> Mesh:
    """Return the same with an inside: a floor of 6 mm, a wall of 5 mm measured level."""
    inner = 30 + 10 * 6 / 90 - 5
    return revolved([(0, 0), (30, 0), (40, 90), (35, 90), (inner, 6), (0, 6)], sides)


def sphere(radius_mm: float, sides: int) -> Mesh:
    """Return a sphere turned about z."""
    angles = np.linspace(-np.pi / 2, np.pi / 2, sides // 2 + 1)
    return revolved(
        [(max(radius_mm * np.cos(one), 0.0), radius_mm * np.sin(one)) for one in angles], sides
    )


def twisted(turn_deg: float = 60.0, sides: int = 48, rings: int = 24) -> Mesh:
    """Return an oval pot of 78 x 48 mm and 90 mm high that is turned as it goes up, a fifth wider there."""
    oval = manifold3d.CrossSection.circle(30, sides).scale((1.3, 0.8))
    return mesh_of(manifold3d.Manifold.extrude(oval, 90, rings, turn_deg, (1.2, 1.2)))


def swaying(ear: Mesh) -> Mesh:
    """Return a pot that sways toward x as it goes up, with two ears in the plane that sways with it."""
    tube = manifold3d.Manifold.extrude(manifold3d.CrossSection.circle(30, 96), 90, 30)
    for side in (1, -1):
        told = manifold3d.Mesh64(ear.vertices_mm, ear.faces.astype(np.uint64))
        tube += manifold3d.Manifold(told).rotate((0, 90, 0)).translate((0, side * 36, 45))
    mesh = mesh_of(tube.refine_to_length(4))
    sway = 18 * np.sin(mesh.vertices_mm[:, 2] / 90 * np.pi / 1.5)
    return Mesh(mesh.vertices_mm + sway[:, None] * [1, 0, 0], mesh.faces)


def ring(radius_mm: float, thick_mm: float) -> Mesh:
    """Return a ring around z of round wire."""
    angles = np.arange(24) * np.pi / 12
    return revolved([(radius_mm + thick_mm * np.cos(a), thick_mm * np.sin(a)) for a in angles], 64)


def joined(*meshes: Mesh) -> Mesh:
    """Return several meshes as one, nothing united."""
    vertices, faces, at = [], [], 0
    for one in meshes:
        vertices.append(one.vertices_mm)
        faces.append(one.faces + at)
        at += len(one.vertices_mm)
    return Mesh(np.concatenate(vertices), np.concatenate(faces))


def moved(mesh: Mesh, x: float, y: float, z: float) -> Mesh:
    return Mesh(mesh.vertices_mm + np.array((x, y, z)), mesh.faces)


# --- files


def stl(mesh: Mesh) -> bytes:
    triangles = np.zeros(
        len(mesh.faces), dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")]
    )
    triangles["n"], triangles["v"] = mesh.normals, mesh.corners_mm
    return b"\0" * 80 + struct.pack("<I", len(mesh.faces)) + triangles.tobytes()


def text_stl(mesh: Mesh) -> bytes:
    lines = ["solid cup"]
    for corners in mesh.corners_mm:
        lines += ["facet normal 0 0 0", "outer loop"]
        lines += ["vertex " + " ".join(f"{one:.9g}" for one in corner) for corner in corners]
        lines += ["endloop", "endfacet"]
    return "\n".join([*lines, "endsolid cup", ""]).encode()


def obj(mesh: Mesh) -> bytes:
    lines = ["v " + " ".join(f"{one:.9g}" for one in corner) for corner in mesh.vertices_mm]
    lines += ["f " + " ".join(str(one + 1) for one in face) for face in mesh.faces]
    return "\n".join([*lines, ""]).encode()


def ply(mesh: Mesh) -> bytes:
    head = ["ply", "format ascii 1.0", f"element vertex {len(mesh.vertices_mm)}",
            "property double x", "property double y", "property double z",
            f"element face {len(mesh.faces)}", "property list uchar int vertex_indices", "end_header"]  # fmt: skip
    lines = [" ".join(f"{one:.9g}" for one in corner) for corner in mesh.vertices_mm]
    lines += ["3 " + " ".join(str(one) for one in face) for face in mesh.faces]
    return "\n".join([*head, *lines, ""]).encode()


def glb(mesh: Mesh) -> bytes:
    points = mesh.vertices_mm.astype("<f4")
    body = points.tobytes() + mesh.faces.astype("<u4").tobytes()
    told = {
        "asset": {"version": "2.0"}, "scene": 0, "scenes": [{"nodes": [0]}], "nodes": [{"mesh": 0}],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "indices": 1}]}],
        "buffers": [{"byteLength": len(body)}],
        "bufferViews": [{"buffer": 0, "byteOffset": 0, "byteLength": points.nbytes},
                        {"buffer": 0, "byteOffset": points.nbytes, "byteLength": mesh.faces.size * 4}],
        "accessors": [{"bufferView": 0, "componentType": 5126, "count": len(points), "type": "VEC3",
                       "min": points.min(0).tolist(), "max": points.max(0).tolist()},
                      {"bufferView": 1, "componentType": 5125, "count": mesh.faces.size, "type": "SCALAR"}],
    }  # fmt: skip
    text = json.dumps(told).encode()
    text += b" " * (-len(text) % 4)
    chunks = (
        struct.pack("<I4s", len(text), b"JSON")
        + text
        + struct.pack("<I4s", len(body), b"BIN\0")
        + body
    )
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks


RELATIONS = """<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Target="/3D/3dmodel.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>
</Relationships>"""
CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"


def packed(**files: str) -> bytes:
    """Return a 3MF of some files; a name's double underscore stands for a slash."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("_rels/.rels", RELATIONS)
        for name, text in files.items():
            made.writestr(name.replace("__", "/") + ".model", text)
    return buffer.getvalue()


def three_mf(mesh: Mesh, unit: str = "millimeter") -> bytes:
    corners = "".join(
        '<vertex x="{:.9g}" y="{:.9g}" z="{:.9g}"/>'.format(*one) for one in mesh.vertices_mm
    )
    faces = "".join('<triangle v1="{}" v2="{}" v3="{}"/>'.format(*one) for one in mesh.faces)
    told = f"<mesh><vertices>{corners}</vertices><triangles>{faces}</triangles></mesh>"
    return packed(
        **{"3D__3dmodel": model_xml(f'<object id="1" type="model">{told}</object>', unit)}
    )


def model_xml(objects: str, unit: str = "millimeter", before: str = "") -> str:
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>{before}<model unit="{unit}" xml:lang="en-US" xmlns="{CORE}">'
        f'<resources>{objects}</resources><build><item objectid="1"/></build></model>'
    )


WRITERS = {"STL": stl, "OBJ": obj, "PLY": ply, "3MF": three_mf, "GLB": glb}
