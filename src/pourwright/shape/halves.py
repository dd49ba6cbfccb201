"""A mold in two halves, as bodies of plaster: block, spare, natches, and nothing shut in.

Each half is what is left of its side of the block once everything is taken out that could not
come off: the piece with its spare, and whatever lies between a face that leans back and the plane.
Over every place of a half the way along the pull is then free, and the half comes off.
"""

from __future__ import annotations

from dataclasses import dataclass

import manifold3d
import numpy as np

from pourwright.errors import NotDoable, OutOfRange
from pourwright.shape.distance import Surface, Watch, unwatched
from pourwright.shape.mesh import BoolArray, FloatArray, Mesh, Place, as_place
from pourwright.shape.opening import opening_of
from pourwright.shape.records import Half, Halves, Pulls
from pourwright.shape.solids import mesh_of, solid_of
from pourwright.shape.stl_file import reads_back_closed

PLASTER_MM = 30.0
"""Plaster around the piece, at least. Common practice, no source. [mm]"""

SPARE_MM = 25.0
"""How high the spare stands above the opening. Our own choice. [mm]"""

FLARE_DEG = 10.0
"""How far the spare widens upward, to each side. Our own choice. [degree]"""

NATCH_MM, NATCH_DEEP_MM, PLAY_MM = 6.0, 3.5, 0.15
"""Radius of a natch at its foot, how far it stands out, and how much wider its hollow is. [mm]"""

NATCHES = 3
"""So many hold two halves in register."""

FROM_EDGE_MM = 9.0
"""Plaster between a natch and the piece or the outside of the block, at least. [mm]"""

SAME_MM = 1e-3
"""A face that leans back over the plane by less is taken to lie on it. [mm]"""

_WIDER_MM = 0.02
_SQUARE = np.array([[0.0, y, z] for y in (-1.0, 1.0) for z in (-1.0, 1.0)])
_LEVEL_BELOW_MM = 0.05
_GRID_MM = 4.0


@dataclass(frozen=True, slots=True, eq=False)
class HalvesOfMold:
    """Two halves and what is told of them.

    Parameters
    ----------
    told : Halves
        Volumes, natches, what was cut away.
    bodies : tuple of Mesh
        The two, at the size of the mold, where they stand around the piece.
    """

    told: Halves
    bodies: tuple[Mesh, Mesh]


def halves_of(
    mesh: Mesh,
    pulls: Pulls,
    pour_mm: float | None = None,
    plaster_mm: float = PLASTER_MM,
    spare_mm: float = SPARE_MM,
    natches: int = NATCHES,
    watch: Watch = unwatched,
) -> HalvesOfMold:
    """Return the two halves of a mold as bodies.

    Parameters
    ----------
    mesh : Mesh
        What the mold is made around: one sound body, z up.
    pulls : Pulls
        Halves: their heading, and the plane between them.
    pour_mm : float or None
        As for the wall. [mm]
    plaster_mm : float
        Plaster around the piece, 15 to 100. [mm]
    spare_mm : float
        How high the spare is, 5 to 100. [mm]
    natches : int
        How many are wanted; fewer where there is no room.
    watch : callable
        Told how much is done.

    Raises
    ------
    StudioError
        If there is no opening, or a length is impossible.
    """
    for what, length, low in (
        ("plaster around the piece", plaster_mm, 15.0),
        ("spare", spare_mm, 5.0),
    ):
        if not low <= length <= 100:
            raise OutOfRange(what, length, "mm", f"between {low:g} and 100")
    if pulls.heading_deg is None or pulls.plane_mm is None:
        raise NotDoable("Only halves and their plane can be made into bodies so far.")
    turn = -pulls.heading_deg
    inside = _piece_with_spare(mesh, pour_mm, spare_mm).rotate((0.0, 0.0, turn))
    inside = inside.translate((-pulls.plane_mm, 0.0, 0.0))
    block = _block(inside, plaster_mm)
    watch(0.2)
    ahead, cut_ahead, shut_ahead = _half(block, inside, 1.0)
    watch(0.5)
    behind, cut_behind, shut_behind = _half(block, inside, -1.0)
    watch(0.8)
    at = _natch_places(block, inside)[:natches]
    for y, z in at:
        ahead += _cap(y, z, NATCH_DEEP_MM, NATCH_MM)
        behind -= _cap(y, z, NATCH_DEEP_MM + PLAY_MM, NATCH_MM + PLAY_MM)
    bodies = [_largest(one) for one in (ahead, behind)]
    back = [
        one.translate((pulls.plane_mm, 0.0, 0.0)).rotate((0.0, 0.0, -turn)) for one, _ in bodies
    ]
    watch(1.0)
    box = block.bounding_box()
    overlap = max(
        _overlap_mm3(one, [inside, *shut_in])
        for (one, _), shut_in in zip(bodies, (shut_ahead, shut_behind), strict=True)
    )
    told = Halves(
        halves=(
            Half(pulls.heading_deg, bodies[0][0].volume() / 1e6),
            Half((pulls.heading_deg + 180) % 360, bodies[1][0].volume() / 1e6),
        ),
        block_mm=as_place(np.array(box[3:]) - np.array(box[:3])),
        natches_at_mm=tuple(_turned_back(y, z, pulls) for y, z in at),
        cut_l=(cut_ahead + cut_behind) / 1e6,
        crumbs_l=sum(rest for _, rest in bodies) / 1e6,
        overlap_l=overlap / 1e6,
        fill_l=inside.volume() / 1e6,
    )
    return HalvesOfMold(told, (_for_a_file(back[0]), _for_a_file(back[1])))


def _for_a_file(solid: manifold3d.Manifold) -> Mesh:
    """Return a half without edges so short that a file of it would not be closed."""
    for mesh in (
        mesh_of(solid),
        mesh_of(solid.simplify(SAME_MM / 10)),
        mesh_of(solid.simplify(SAME_MM)),
    ):
        if reads_back_closed(mesh):
            return mesh
    raise NotDoable(
        "A half touches itself along an edge, and no file of it would be closed. "
        "Turn the heading by a degree, or give another thickness with --around."
    )


def _piece_with_spare(mesh: Mesh, pour_mm: float | None, spare_mm: float) -> manifold3d.Manifold:
    """Return the piece with the spare that stands on its opening."""
    solid = solid_of(mesh)
    is_open, level = opening_of(mesh, pour_mm)
    if solid is None or not is_open.any():
        raise NotDoable(
            "There is no level face at the top to pour through, so no spare can stand on it. "
            "Say --up or --pour."
        )
    rings = [
        manifold3d.CrossSection([one]) for one in solid.slice(level - _LEVEL_BELOW_MM).to_polygons()
    ]
    outline = max(rings, key=lambda one: float(one.area()))
    low_x, low_y, high_x, high_y = outline.bounds()
    middle = ((low_x + high_x) / 2, (low_y + high_y) / 2)
    wider = 2 * spare_mm * np.tan(np.radians(FLARE_DEG))
    scale = (1 + wider / (high_x - low_x), 1 + wider / (high_y - low_y))
    centered = outline.translate((-middle[0], -middle[1]))
    spare = manifold3d.Manifold.extrude(centered, spare_mm + _LEVEL_BELOW_MM, scale_top=scale)
    return solid + spare.translate((middle[0], middle[1], level - _LEVEL_BELOW_MM))


def _block(inside: manifold3d.Manifold, plaster_mm: float) -> manifold3d.Manifold:
    """Return the block around the piece, its top level with the spare's; the pull is along x."""
    low_x, low_y, low_z, high_x, high_y, high_z = inside.bounding_box()
    low = np.array([min(low_x, 0.0), low_y, low_z]) - plaster_mm
    sides = np.array([plaster_mm, plaster_mm, 0.0])
    high = np.array([max(high_x, 0.0), high_y, high_z]) + sides
    return manifold3d.Manifold.cube(tuple(high - low)).translate(tuple(low))


def _half(
    block: manifold3d.Manifold, inside: manifold3d.Manifold, way: float
) -> tuple[manifold3d.Manifold, float, list[manifold3d.Manifold]]:
    """Return the half on one side of the plane x = 0, what was cut away from it, and from where. [mm3]"""
    side = block.trim_by_plane((way, 0.0, 0.0), 0.0)
    whole = side - inside
    shut_in = _shut_in(mesh_of(inside), way)
    if shut_in is None:
        return whole, 0.0, []
    free = whole - shut_in
    return free, float(whole.volume() - free.volume()), [shut_in]


def _overlap_mm3(half: manifold3d.Manifold, obstacles: list[manifold3d.Manifold]) -> float:
    """Return how much of a half lies where the way out is not free. [mm3]"""
    ahead = half.trim_by_plane((1.0, 0.0, 0.0), 0.0)
    behind = half.trim_by_plane((-1.0, 0.0, 0.0), 0.0)
    # natches stand out over the plane, into their hollows
    own = ahead if ahead.volume() > behind.volume() else behind
    return float(sum((own ^ one).volume() for one in obstacles))


def _shut_in(mesh: Mesh, way: float) -> manifold3d.Manifold | None:
    """Return all that lies between the plane and a face ahead of it that leans back, or more."""
    corners = mesh.corners_mm
    heights = corners[:, :, 0] * way
    leans_back = mesh.normals[:, 0] * way < 0
    chosen: BoolArray = leans_back & (heights.max(axis=1) > SAME_MM)
    prisms = [_prism(one, way) for one in corners[chosen]]
    prisms = [one for one in prisms if not one.is_empty()]
    return manifold3d.Manifold.batch_boolean(prisms, manifold3d.OpType.Add) if prisms else None


def _prism(corners: FloatArray, way: float) -> manifold3d.Manifold:
    """Return the hull of a triangle and of its shadow on the plane, a little wider all round.

    Cut exactly along a silhouette, a half would touch itself there along an edge.
    """
    wider = (corners[:, None] + _WIDER_MM * _SQUARE).reshape(-1, 3)
    ahead, shadow = wider.copy(), wider.copy()
    ahead[:, 0] = np.where(ahead[:, 0] * way > 0, ahead[:, 0], 0.0)
    shadow[:, 0] = -way * SAME_MM
    return manifold3d.Manifold.hull_points(np.concatenate([ahead, shadow]))


def _largest(solid: manifold3d.Manifold) -> tuple[manifold3d.Manifold, float]:
    """Return the largest piece of a half, and what the loose crumbs are together. [mm3]"""
    parts = sorted(solid.decompose(), key=lambda one: -one.volume())
    return parts[0], float(sum(one.volume() for one in parts[1:]))


# --- natches


def _natch_places(
    block: manifold3d.Manifold, inside: manifold3d.Manifold
) -> list[tuple[float, float]]:
    """Return where natches stand on the plane, y and z, as far from one another as can be. [mm]"""
    _, low_y, low_z, _, high_y, high_z = block.bounding_box()
    keep = FROM_EDGE_MM + NATCH_MM
    y, z = np.meshgrid(
        np.arange(low_y + keep, high_y - keep + 1e-9, _GRID_MM),
        np.arange(low_z + keep, high_z - keep + 1e-9, _GRID_MM),
        indexing="ij",
    )
    points = np.column_stack([np.zeros(y.size), y.ravel(), z.ravel()])
    surface = Surface(mesh_of(inside))
    is_free = (surface.distances_mm(points) >= keep) & ~surface.are_inside(points)
    left = points[is_free, 1:]
    if not len(left):
        return []
    middle = left.mean(axis=0)
    chosen = [int(np.linalg.norm(left - middle, axis=1).argmax())]
    while len(chosen) < NATCHES:
        away = np.linalg.norm(left[:, None] - left[chosen], axis=2).min(axis=1)
        if away.max() < 4 * NATCH_MM:
            break
        chosen.append(int(away.argmax()))
    return [(float(left[one][0]), float(left[one][1])) for one in chosen]


def _cap(y: float, z: float, deep_mm: float, radius_mm: float) -> manifold3d.Manifold:
    """Return a natch: the cap of a ball that stands out of the plane backward."""
    ball = (radius_mm**2 + deep_mm**2) / (2 * deep_mm)
    whole = manifold3d.Manifold.sphere(ball, 64).translate((ball - deep_mm, y, z))
    return whole.trim_by_plane((-1.0, 0.0, 0.0), -SAME_MM)


def _turned_back(y: float, z: float, pulls: Pulls) -> Place:
    angle = np.radians(pulls.heading_deg or 0.0)
    along = pulls.plane_mm or 0.0
    across = np.array([-np.sin(angle), np.cos(angle), 0.0]) * y
    return as_place(np.array([np.cos(angle), np.sin(angle), 0.0]) * along + across + (0.0, 0.0, z))
