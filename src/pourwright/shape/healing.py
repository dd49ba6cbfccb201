"""A surface made sound, rung by rung: each fault named where it is, with what was done about it.

What comes out is one closed body whose inside is inside. What cannot be made so is refused.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import igl
import manifold3d
import msgspec
import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from pourwright.errors import BadInput
from pourwright.shape.distance import Surface, Watch, skin, unwatched
from pourwright.shape.edges import bodies_of, edges_of, is_closed, length_of, open_sides
from pourwright.shape.mesh import (
    BoolArray,
    FloatArray,
    IntArray,
    Mesh,
    Place,
    as_place,
    turned,
    with_faces,
)
from pourwright.shape.model_decoding import refused
from pourwright.shape.records import Fault, FaultKind
from pourwright.shape.solids import mesh_of, solid_of

SAME_MM = 1e-5
"""Corners closer than this are one. [mm]"""

SEAM_MM = 0.02
"""Open edges closer than this are joined: far less than plaster shows. [mm]"""

CRUMB = 0.01
"""A body of less than this share of the largest is no piece of its own. [-]"""

LEAST_L = 1e-4
"""A body of less is none that can be cast. [l]"""

SKIN_MM = 1.0
"""How fine a surface is wrapped anew. [mm]"""

_PROBE_MM = 0.01
_MOST_THROUGH = 1e-4


@dataclass(slots=True)
class _Case:
    """A surface on its way to being sound."""

    mesh: Mesh
    faults: list[Fault] = field(default_factory=list)

    def note(
        self, kind: FaultKind, count: int, at: FloatArray, size_mm: float, mended: str
    ) -> None:
        self.faults.append(Fault(kind, count, as_place(at), round(size_mm, 2), mended))


def heal(mesh: Mesh, watch: Watch = unwatched) -> tuple[Mesh, tuple[Fault, ...]]:
    """Make a surface one sound body, and tell what was wrong with it.

    Parameters
    ----------
    mesh : Mesh
        The model as it was read, in millimeters.
    watch : callable
        Told how much is done.

    Returns
    -------
    mesh : Mesh
        One closed body, its inside inside.
    faults : tuple of Fault
        Empty if it was so before.

    Raises
    ------
    BadInput
        If it encloses nothing, or is several bodies.
    """
    case = _Case(mesh)
    rungs = (
        _join_corners,
        _drop_lines,
        _drop_doubled,
        _join_seams,
        _note_crowded,
        _turn_alike,
        _close_openings,
        _turn_out,
        _unite,
        _wrap,
    )
    for number, rung in enumerate(rungs):
        watch(number / len(rungs))
        rung(case)
    if not (is_closed(case.mesh.faces) and case.mesh.volume_l > LEAST_L):
        right = "give it a wall, or close it, and export it again"
        raise refused("a surface that encloses nothing", right)
    watch(1.0)
    return case.mesh, tuple(case.faults)


def _join_corners(case: _Case) -> None:
    """Make corners that lie on one another one, as a file of loose triangles needs."""
    steps = np.round(case.mesh.vertices_mm / SAME_MM).astype(np.int64)
    _, first, renamed = np.unique(steps, axis=0, return_index=True, return_inverse=True)
    faces = renamed.reshape(-1)[case.mesh.faces]
    case.mesh = Mesh(case.mesh.vertices_mm[first], faces.astype(np.int64))


def _drop_lines(case: _Case) -> None:
    first, second, third = case.mesh.faces.T
    is_line = (first == second) | (second == third) | (third == first)
    if not is_line.any():
        return
    at = case.mesh.centers_mm[is_line][0]
    if is_line.all():
        raise _nothing_left()
    case.note("no thickness", int(is_line.sum()), at, 0.0, "left out")
    case.mesh = with_faces(case.mesh, case.mesh.faces[~is_line])


def _nothing_left() -> BadInput:
    return refused("a surface without area", "export a closed surface")


def _drop_doubled(case: _Case) -> None:
    """Keep one of triangles that lie on one another, and none where a fold has two sides."""
    faces = case.mesh.faces
    ordered = np.sort(faces, axis=1)
    sign = np.where(_same_way(faces, ordered), 1, -1)
    _, group = np.unique(ordered, axis=0, return_inverse=True)
    group = group.reshape(-1)
    balance = np.sign(np.bincount(group, weights=sign))[group]
    wanted = np.flatnonzero(balance == sign)
    kept = np.sort(wanted[np.unique(group[wanted], return_index=True)[1]])
    if len(kept) == len(faces):
        return
    if not len(kept):
        raise _nothing_left()
    dropped = np.setdiff1d(np.arange(len(faces)), kept)
    at = case.mesh.centers_mm[dropped[0]]
    case.note("doubled", len(dropped), at, 0.0, "left out")
    case.mesh = with_faces(case.mesh, faces[kept])


def _join_seams(case: _Case) -> None:
    """Join corners of open edges that lie beside one another."""
    mesh = case.mesh
    ends = np.unique(open_sides(mesh.faces))
    if not len(ends):
        return
    pairs = cKDTree(mesh.vertices_mm[ends]).query_pairs(SEAM_MM, output_type="ndarray")
    if not len(pairs):
        return
    links = coo_array((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(len(ends),) * 2)
    groups, group = connected_components(links, directed=False)
    first = np.full(groups, -1, dtype=np.int64)
    first[group[::-1]] = ends[::-1]
    renamed = np.arange(len(mesh.vertices_mm))
    renamed[ends] = first[group]
    gaps = np.linalg.norm(
        mesh.vertices_mm[ends[pairs[:, 0]]] - mesh.vertices_mm[ends[pairs[:, 1]]], axis=1
    )
    at = mesh.vertices_mm[ends[pairs[gaps.argmax(), 0]]]
    case.note(
        "seam", len(ends) - groups, at, 0.0, f"joined, none was farther apart than {SEAM_MM} mm"
    )
    faces = renamed[mesh.faces]
    is_line = (np.diff(np.sort(faces, axis=1), axis=1) == 0).any(axis=1)
    if is_line.all():
        raise _nothing_left()
    case.mesh = with_faces(mesh, faces[~is_line])


def _note_crowded(case: _Case) -> None:
    edges = edges_of(case.mesh.faces)
    crowded = np.flatnonzero((edges.meeting > 2) & (edges.forward != edges.backward))
    if len(crowded):
        at = case.mesh.vertices_mm[edges.ends[crowded[0]]].mean(axis=0)
        length = length_of(case.mesh, edges.ends[crowded])
        case.note("crowded edge", len(crowded), at, length, "wrapped anew with the whole surface")


def _turn_alike(case: _Case) -> None:
    """Let neighboring triangles face the same way, as most of each piece do already."""
    mesh = case.mesh
    alike, piece = (np.asarray(one, dtype=np.int64) for one in igl.bfs_orient(mesh.faces))
    differs = ~_same_way(alike, mesh.faces)
    share = np.bincount(piece, weights=differs * mesh.areas_m2)
    whole = np.bincount(piece, weights=mesh.areas_m2)
    is_turned = differs ^ (share > whole / 2)[piece]
    if not is_turned.any():
        return
    at = mesh.centers_mm[is_turned][0]
    case.note("turned", int(is_turned.sum()), at, 0.0, "turned to face out")
    faces = np.where(is_turned[:, None], mesh.faces[:, ::-1], mesh.faces)
    case.mesh = Mesh(mesh.vertices_mm, np.ascontiguousarray(faces))


def _same_way(faces: IntArray, others: IntArray) -> BoolArray:
    """Return which triangles name their corners in the same turn."""
    same: BoolArray = np.zeros(len(faces), dtype=bool)
    for shift in range(3):
        same |= (np.roll(faces, shift, axis=1) == others).all(axis=1)
    return same


# --- openings


def _close_openings(case: _Case) -> None:
    """Close every loop of open sides by triangles between its own corners."""
    mesh = case.mesh
    loops = [loop for loop in _loops(open_sides(mesh.faces)) if len(loop) > 2]
    if not loops:
        return
    made = [_lid(mesh.vertices_mm, loop) for loop in loops]
    lengths = [_round_mm(mesh.vertices_mm, loop) for loop in loops]
    longest = int(np.argmax(lengths))
    at = mesh.vertices_mm[loops[longest]].mean(axis=0)
    case.note("opening", len(loops), at, lengths[longest], "closed straight across")
    case.mesh = Mesh(mesh.vertices_mm, np.concatenate([mesh.faces, *made]))


def _loops(sides: IntArray) -> list[list[int]]:
    """Return the loops that open sides make, each in the direction of its triangles."""
    after: dict[int, list[int]] = {}
    for begin, end in sides.tolist():
        after.setdefault(begin, []).append(end)
    loops = []
    while after:
        loop = [next(iter(after))]
        while loop[-1] in after:
            ends = after[loop[-1]]
            end = ends.pop()
            if not ends:
                del after[loop[-1]]
            if end in loop:  # where loops touch, the inner one is cut off
                at = loop.index(end)
                loops.append(loop[at:])
                loop = loop[: at + 1]
            else:
                loop.append(end)
    return loops


def _round_mm(vertices_mm: FloatArray, loop: list[int]) -> float:
    points = vertices_mm[loop]
    return float(np.linalg.norm(points - np.roll(points, 1, axis=0), axis=1).sum())


def _lid(vertices_mm: FloatArray, loop: list[int]) -> IntArray:
    """Return triangles that close a loop, laid out on the plane that fits it best."""
    points = vertices_mm[loop] - vertices_mm[loop].mean(axis=0)
    area = np.cross(points, np.roll(points, -1, axis=0)).sum(axis=0)
    normal = -area / max(float(np.linalg.norm(area)), 1e-300)  # the lid runs against its border
    along = np.cross(normal, np.eye(3)[np.abs(normal).argmin()])
    along /= max(float(np.linalg.norm(along)), 1e-300)
    flat = np.stack([points @ along, points @ np.cross(normal, along)], axis=1)
    backward = np.array(loop, dtype=np.int64)[::-1]
    triangles = manifold3d.triangulate([np.ascontiguousarray(flat[::-1])])
    return backward[np.asarray(triangles, dtype=np.int64)]


# --- bodies


def _turn_out(case: _Case) -> None:
    """Turn bodies whose inside faces out, unless they are the hollow inside another."""
    count, body = bodies_of(case.mesh.faces)
    parts = [Mesh(case.mesh.vertices_mm, case.mesh.faces[body == one]) for one in range(count)]
    volumes = [one.volume_l for one in parts]
    largest = int(np.argmax(np.abs(volumes)))
    for at, (part, volume) in enumerate(zip(parts, volumes, strict=True)):
        if volume >= 0 or (at != largest and _lies_in(part, parts[largest])):
            continue
        case.note(
            "inside out", 1, part.centers_mm.mean(axis=0), float(part.size_mm.max()), "turned"
        )
        parts[at] = turned(part)
    case.mesh = Mesh(case.mesh.vertices_mm, np.concatenate([one.faces for one in parts]))


def _lies_in(part: Mesh, other: Mesh) -> bool:
    point = part.vertices_mm[part.faces[0, 0]][None]
    return bool(abs(Surface(other).windings(point)[0]) > 0.5)


def _unite(case: _Case) -> None:
    """Make one body of several that overlap; leave out hollows and crumbs."""
    solid = solid_of(case.mesh)
    if solid is None:
        return
    parts = solid.decompose()
    if len(parts) == 1:
        return
    bodies = [one for one in parts if one.volume() > 0]
    if hollows := [mesh_of(one) for one in parts if one.volume() <= 0]:
        worst = max(hollows, key=lambda one: float(one.size_mm.max()))
        case.note(
            "hollow inside",
            len(hollows),
            worst.centers_mm.mean(axis=0),
            float(worst.size_mm.max()),
            "filled: only the outside counts",
        )
    united = manifold3d.Manifold.batch_boolean(bodies, manifold3d.OpType.Add)
    apart = sorted(united.decompose(), key=lambda one: -one.volume())
    _note_overlap(case, bodies, len(apart))
    _drop_crumbs(case, [mesh_of(one) for one in apart])


def _note_overlap(case: _Case, bodies: list[manifold3d.Manifold], apart: int) -> None:
    if len(bodies) == apart:
        return
    joined = min(bodies, key=lambda one: float(one.volume()))
    small = mesh_of(joined)
    case.note(
        "overlap",
        len(bodies) - apart,
        small.centers_mm.mean(axis=0),
        float(small.size_mm.max()),
        "joined into one body",
    )


def _drop_crumbs(case: _Case, apart: list[Mesh]) -> None:
    """Keep the largest body; refuse another that is no crumb."""
    body, *others = [one for one in apart if one.volume_l > 0] or apart
    large = [one for one in others if one.volume_l >= CRUMB * body.volume_l]
    if large:
        places = " and ".join(
            _told(as_place(one.centers_mm.mean(axis=0))) for one in [body, *large][:4]
        )
        raise refused(
            f"{1 + len(large)} bodies apart from each other, around {places}",
            "join them into one, or export the one to be cast alone",
        )
    if others:
        worst = others[0]
        case.note(
            "crumb",
            len(others),
            worst.centers_mm.mean(axis=0),
            float(worst.size_mm.max()),
            "left out",
        )
    case.mesh = body


def _told(place: Place) -> str:
    return f"({place[0]:g}, {place[1]:g}, {place[2]:g}) mm"


# --- the last rung


def _wrap(case: _Case) -> None:
    """Wrap a surface anew that closes no body, or that runs through itself."""
    mesh = case.mesh
    is_sound = solid_of(mesh) is not None
    surface = Surface(mesh)
    through = _through(surface, mesh)
    share = float(mesh.areas_m2[through].sum() / mesh.area_m2)
    if is_sound and share < _MOST_THROUGH:
        return
    if not float(mesh.size_mm.min()) > SKIN_MM:
        raise refused("a surface that encloses nothing", "give it a wall, and export it again")
    wrapped = skin(surface, max(SKIN_MM, float(mesh.size_mm.max()) / 250))
    solid = solid_of(wrapped) if len(wrapped.faces) else None
    if solid is None:
        raise refused("a surface that closes no body", "close its openings, and export it again")
    before = len(case.faults)
    _unite_skin(case, solid)
    change = case.mesh.volume_l / mesh.volume_l - 1 if is_sound and mesh.volume_l > 0 else None
    told = "wrapped anew by a skin, its creases rounded"
    told += f"; its volume changed by {change:+.2%}" if change is not None else ""
    if through.any() and is_sound:
        at = mesh.centers_mm[through][0]
        case.note("overlap", int(through.sum()), at, 0.0, told)
    elif not any(one.kind == "crowded edge" for one in case.faults):
        case.note("crowded edge", 1, mesh.centers_mm.mean(axis=0), 0.0, told)
    else:
        case.faults[:before] = [
            msgspec.structs.replace(one, mended=told) if one.kind == "crowded edge" else one
            for one in case.faults[:before]
        ]


def _unite_skin(case: _Case, solid: manifold3d.Manifold) -> None:
    apart = [one.simplify(SKIN_MM / 50) for one in solid.decompose() if one.volume() > 0]
    if not apart:
        raise refused("a surface that encloses nothing", "give it a wall, and export it again")
    apart.sort(key=lambda one: -one.volume())
    _drop_crumbs(case, [mesh_of(one) for one in apart])


def _through(surface: Surface, mesh: Mesh) -> BoolArray:
    """Return the triangles that do not have inside on one side and outside on the other."""
    middles, normals = mesh.centers_mm, mesh.normals
    within = surface.windings(middles - _PROBE_MM * normals)
    without = surface.windings(middles + _PROBE_MM * normals)
    is_flat = np.linalg.norm(mesh.crosses_mm2, axis=1) < 2 * _PROBE_MM**2
    bad: BoolArray = ((np.abs(within - 1) > 0.5) | (np.abs(without) > 0.5)) & ~is_flat
    return bad
