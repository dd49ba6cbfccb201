"""A mold as bodies of plaster, one for each part: spare, natches, beveled edges, and nothing shut in.

Each part is given a region of the block that it cannot leave sideways when it is pulled: what lies
past the foot or the rim, or what lies between two upright planes. From the plaster there everything
is taken that could not come off: whatever lies behind a face of the piece that leans back, seen
along the pull. Over every place of a part the way out is then free, and the part comes off.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import manifold3d
import numpy as np
from scipy.spatial import cKDTree

from pourwright.errors import BadInput, NotDoable, OutOfRange
from pourwright.shape import curved_seam
from pourwright.shape.air import air_of, vents_of
from pourwright.shape.block import Block, Inside, block_around, inside_of
from pourwright.shape.curved_seam import Sheet
from pourwright.shape.distance import Surface, Watch, unwatched
from pourwright.shape.ends import SAME_MM, End, end_of
from pourwright.shape.mesh import FloatArray, Mesh, as_arrow, as_place
from pourwright.shape.natches import Seam, beveled, natched
from pourwright.shape.opening import within
from pourwright.shape.reach import UPRIGHT
from pourwright.shape.records import Mold, MoldPart, Natch, Pulls, SeamLine
from pourwright.shape.release import HEADINGS, Layout, depth_mm, rays_of
from pourwright.shape.solids import mesh_of
from pourwright.shape.stl_file import reads_back_closed
from pourwright.shape.thickness import edges_along, thickness_of

PLASTER_MM = 30.0
"""Plaster around the piece, at least. Common practice, no source. [mm]"""

SPARE_MM = 25.0
"""How high the spare stands above the opening. Our own choice. [mm]"""

ROUND_MM = 4.0
"""Radius of the block's upright edges. Our own choice. [mm]"""

_WIDER_MM = 0.02
_SQUARE = ((-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0), (1.0, 1.0))
_END_MM = 1.0
_SAME_DEG = 0.01
_INSET_MM = 0.25
_ON_IT_MM, _NEAR_MM = 0.1, 0.05


@dataclass(frozen=True, slots=True, eq=False)
class MoldOfPiece:
    """A mold and its bodies.

    Parameters
    ----------
    told : Mold
        Volumes, natches, what was cut away.
    bodies : tuple of Mesh
        Its parts as they come off, at the size of the mold, where they stand around the piece.
    """

    told: Mold
    bodies: tuple[Mesh, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Part:
    """A part in the making, in the frame in which the first side is pulled along x."""

    name: str
    pull: FloatArray
    solid: manifold3d.Manifold
    shut_in: manifold3d.Manifold
    cut_mm3: float
    crumbs_mm3: float
    bumps: manifold3d.Manifold
    seam_mm: float = 0.0
    """How high the level seam of a base or a top is. [mm]"""
    has_step: bool = False
    """Whether that seam meets the piece in a step."""


def mold_of(
    mesh: Mesh,
    pulls: Pulls,
    pour_mm: float | None = None,
    plaster_mm: float = PLASTER_MM,
    spare_mm: float = SPARE_MM,
    round_mm: float = ROUND_MM,
    fittings: bool = True,  # noqa: FBT001 FBT002
    order: tuple[str, ...] = (),
    watch: Watch = unwatched,
) -> MoldOfPiece:
    """Return the parts of a mold as bodies.

    Parameters
    ----------
    mesh : Mesh
        What the mold is made around: one sound body, z up.
    pulls : Pulls
        How it is parted.
    pour_mm : float or None
        As for the wall. [mm]
    plaster_mm : float
        Plaster around the piece, 15 to 100. [mm]
    spare_mm : float
        How high the spare is, 5 to 100. [mm]
    round_mm : float
        Radius of the block's upright edges, 1 to the plaster around. [mm]
    fittings : bool
        Whether natches and beveled seams are made; without them the parts tile the block.
    order : tuple of str
        The parts' names as they are to come off; empty takes top, base, then the sides.
    watch : callable
        Told how much is done.

    Raises
    ------
    StudioError
        If there is no opening, or a length is impossible.
    """
    _check_lengths(plaster_mm, spare_mm, round_mm)
    inside = inside_of(mesh, pour_mm, spare_mm, plaster_mm)
    frame = _Frame.of(mesh, pulls)
    inside = replace(inside, solid=frame.into(inside.solid))
    layout = Layout.of(pulls)
    surface = mesh_of(inside.solid)
    ends = _ends(inside, surface, layout)
    seams = {up: end.seam_mm for up, end in ends.items()}
    vents = vents_of(surface, inside.top_mm, seams.get(1.0), halves=layout.way.sides == 2)
    if vents:
        made = [inside.solid, *(one.body for one in vents)]
        solid = manifold3d.Manifold.batch_boolean(made, manifold3d.OpType.Add)
        inside, surface = replace(inside, solid=solid), mesh_of(solid)
    strapped = (seams.get(-1.0, inside.low_mm), seams.get(1.0, inside.top_mm))
    block = block_around(
        inside, faces_of(layout), plaster_mm, round_mm, strapped if layout.way.sides else None
    )
    sheet = curved_seam.sheet_of(surface, block) if pulls.is_curved else None
    parts = _parts(block, inside, surface, layout, ends, sheet, watch)
    meeting = _seams(parts, layout, sheet)
    piece = Surface(frame.of_piece(mesh))
    lines = [_line(one, parts, piece) for one in meeting]
    if sheet is not None:
        between = parts[-2].name, parts[-1].name
        lines.append(SeamLine(between, curved_seam.length_mm(sheet, inside.solid, piece)))
    natches: tuple[tuple[FloatArray, str, str], ...] = ()
    if fittings:
        parts, natches = _fitted(parts, meeting, block, sheet)
    parts = _in_order(parts, order)
    watch(0.9)
    parts = [replace(one, solid=_for_a_file(one)) for one in parts]
    overlap = sum(_overlap_mm3(one, inside) for one in parts)
    box = block.bare.bounding_box()
    told = Mold(
        parts=tuple(_told(one, frame, surface) for one in parts),
        block_mm=as_place(np.array(box[3:]) - np.array(box[:3])),
        block_l=block.solid.volume() / 1e6,
        natches=tuple(Natch(as_place(frame.back(at)), *of) for at, *of in natches),
        cut_l=sum(one.cut_mm3 for one in parts) / 1e6,
        crumbs_l=sum(one.crumbs_mm3 for one in parts) / 1e6,
        overlap_l=overlap / 1e6,
        fill_l=(inside.solid ^ block.bare).volume() / 1e6,
        air=air_of(mesh_of(frame.out_of(inside.solid))),
        seams=tuple(one for one in lines if one.length_mm > 0),
        vents=tuple(as_place(frame.back(one.at_mm)) for one in vents),
    )
    watch(1.0)
    return MoldOfPiece(told, tuple(mesh_of(frame.out_of(one.solid)) for one in parts))


def _check_lengths(plaster_mm: float, spare_mm: float, round_mm: float) -> None:
    for what, length, low, high in (
        ("plaster around the piece", plaster_mm, 15.0, 100.0),
        ("spare", spare_mm, 5.0, 100.0),
        ("radius of the block's edges", round_mm, 1.0, plaster_mm),
    ):
        if not low <= length <= high:
            raise OutOfRange(what, length, "mm", f"between {low:g} and {high:g}")


# --- the frame


@dataclass(frozen=True, slots=True)
class _Frame:
    """The frame in which the sides meet at x = y = 0 and the first is pulled along x."""

    heading_deg: float
    x_mm: float
    y_mm: float

    @classmethod
    def of(cls, mesh: Mesh, pulls: Pulls) -> _Frame:
        heading = pulls.heading_deg or 0.0
        if pulls.axis_mm is not None:
            return cls(heading, *pulls.axis_mm)
        middle = (mesh.low_mm + mesh.high_mm) / 2
        if pulls.plane_mm is not None:
            # the place on the plane that is nearest to the middle of the piece
            angle = np.radians(heading)
            along = np.array([np.cos(angle), np.sin(angle), 0.0])
            middle = middle + (pulls.plane_mm - middle @ along) * along
        return cls(heading, float(middle[0]), float(middle[1]))

    def of_piece(self, mesh: Mesh) -> Mesh:
        moved = mesh.vertices_mm - [self.x_mm, self.y_mm, 0.0]
        return Mesh(moved @ self.turn, mesh.faces)

    def into(self, solid: manifold3d.Manifold) -> manifold3d.Manifold:
        return solid.translate((-self.x_mm, -self.y_mm, 0.0)).rotate((0.0, 0.0, -self.heading_deg))

    def out_of(self, solid: manifold3d.Manifold) -> manifold3d.Manifold:
        return solid.rotate((0.0, 0.0, self.heading_deg)).translate((self.x_mm, self.y_mm, 0.0))

    @property
    def turn(self) -> FloatArray:
        angle = np.radians(self.heading_deg)
        return np.array(
            [[np.cos(angle), -np.sin(angle), 0], [np.sin(angle), np.cos(angle), 0], [0, 0, 1]]
        )

    def turned(self, arrow: FloatArray) -> FloatArray:
        turned: FloatArray = self.turn @ arrow
        return turned

    def back(self, point: FloatArray) -> FloatArray:
        moved: FloatArray = self.turned(point) + np.array([self.x_mm, self.y_mm, 0.0])
        return moved


# --- the parts, in the order in which they come off


def _ends(inside: Inside, surface: Mesh, layout: Layout) -> dict[float, End]:
    """Return where a top (up is 1) and a base (up is -1) part from the sides."""
    way = layout.way
    has = ((way.top, 1.0, inside.rim_mm), (way.base and way.sides > 0, -1.0, inside.low_mm))
    return {up: end_of(inside.solid, surface, end, up) for one, up, end in has if one}


def _parts(
    block: Block,
    inside: Inside,
    surface: Mesh,
    layout: Layout,
    ends: dict[float, End],
    sheet: Sheet | None,
    watch: Watch,
) -> list[_Part]:
    rest, made = block.solid, []
    way = layout.way
    for up, end in ends.items():
        region = _end_region(inside, block, end)
        leaning = _leaning_at_end(surface, inside, up, end.seam_mm)
        name = "top" if up > 0 else "base"
        part = _part(name, np.array([0.0, 0.0, up]), rest ^ region, inside, leaning)
        made.append(replace(part, seam_mm=end.seam_mm, has_step=end.step is not None))
        rest = rest - region
    if not way.sides:
        down = np.array([0.0, 0.0, -1.0])
        leaning = (surface.normals @ down < UPRIGHT) & (
            surface.centers_mm[:, 2] < inside.top_mm - SAME_MM
        )
        return [_part("mold", down, rest, inside, surface.corners_mm[leaning])]
    if sheet is not None:
        return made + _halves(rest, inside, sheet)
    word = "half" if way.sides == 2 else "side"
    rays = rays_of(0.0, layout.seams)
    for number, pull in enumerate(rays_of(0.0, layout.pulls)):
        watch(0.1 + 0.7 * number / way.sides)
        halves = layout.halves_deg[number]
        reach = depth_mm(surface.corners_mm, pull, *halves).max(axis=1)
        leaning = surface.corners_mm[(surface.normals @ pull < UPRIGHT) & (reach > SAME_MM)]
        region = _between(rest, rays[number], rays[number - 1], sum(halves))
        made.append(_part(f"{word} {number + 1}", pull, region, inside, leaning))
    return made


def _halves(rest: manifold3d.Manifold, inside: Inside, sheet: Sheet) -> list[_Part]:
    """Return two halves that meet in a seam that follows the parting line."""
    ahead = sheet.ahead()
    # in triangles so small that none runs across the seam unseen
    fine = mesh_of(inside.solid.refine_to_length(2 * curved_seam.CELL_MM))
    past = fine.corners_mm[:, :, 0] - sheet.at(fine.corners_mm[:, :, 1], fine.corners_mm[:, :, 2])
    made = []
    for number, (way, region) in enumerate(((1.0, rest ^ ahead), (-1.0, rest - ahead))):
        leans = way * fine.normals[:, 0] < UPRIGHT
        leaning = fine.corners_mm[leans & ((way * past).max(axis=1) > -_NEAR_MM)]
        pull = np.array([way, 0.0, 0.0])
        made.append(_part(f"half {number + 1}", pull, region, inside, leaning))
    return made


def faces_of(layout: Layout) -> FloatArray:
    """Return which way the block's faces look, (n, 3): square to every pull, and six for three sides.

    Parameters
    ----------
    layout : Layout
        The sides.
    """
    if layout.way.sides < 3:
        return rays_of(0.0, [0, 18, 36, 54])
    seams = () if layout.way.sides == 4 and layout.is_equal else layout.seams
    return rays_of(0.0, sorted([*layout.pulls, *(one % HEADINGS for one in seams)]))


def _between(
    rest: manifold3d.Manifold, own: FloatArray, before: FloatArray, wide_deg: float
) -> manifold3d.Manifold:
    """Return what of the plaster lies between a side's own seam and the one before."""
    # the side lies to the right of its own seam and to the left of the one before
    right = (float(own[1]), float(-own[0]), 0.0)
    left = (float(-before[1]), float(before[0]), 0.0)
    if wide_deg > 180 + _SAME_DEG:
        others = rest.trim_by_plane((-right[0], -right[1], 0.0), 0.0)
        return rest - others.trim_by_plane((-left[0], -left[1], 0.0), 0.0)
    kept = rest.trim_by_plane(right, 0.0)
    return kept if wide_deg > 180 - _SAME_DEG else kept.trim_by_plane(left, 0.0)


def _end_region(inside: Inside, block: Block, end: End) -> manifold3d.Manifold:
    """Return where a base or a top is: past its seam, in the recess within it, and in its step."""
    seam, up = end.seam_mm, end.up
    deep = (inside.rim_mm - inside.low_mm) / 2
    within = manifold3d.Manifold.extrude(end.outline.offset(-_INSET_MM), deep + _END_MM)
    within = within.translate((0.0, 0.0, seam - deep if up > 0 else seam - _END_MM))
    within = within - inside.solid
    past = manifold3d.Manifold.extrude(block.outline.offset(10.0), 500.0)
    past = past.translate((0.0, 0.0, seam if up > 0 else seam - 500.0))
    for one in within.decompose():
        _, _, low, _, _, high = one.bounding_box()
        if (high > seam + _END_MM / 2) if up > 0 else (low < seam - _END_MM / 2):
            past += one
    return past if end.step is None else past + end.step


def _leaning_at_end(surface: Mesh, inside: Inside, up: float, end: float) -> FloatArray:
    """Return the triangles that lean back from a base or a top, (k, 3, 3)."""
    heights = surface.centers_mm[:, 2]
    around = surface.vertices_mm[np.abs(surface.vertices_mm[:, 2] - end) < _END_MM]
    is_near = (heights - (inside.rim_mm + inside.low_mm) / 2) * up > 0
    is_past = ((surface.corners_mm[:, :, 2] - end) * up).max(axis=1) > SAME_MM
    leans = surface.normals[:, 2] * up < UPRIGHT
    held: FloatArray = surface.corners_mm[
        leans & is_near & (is_past | within(around, surface.centers_mm))
    ]
    return held


def _part(
    name: str,
    pull: FloatArray,
    region: manifold3d.Manifold,
    inside: Inside,
    leaning: FloatArray,
) -> _Part:
    """Return a part of the plaster in its region, what is shut in cut away."""
    whole = region - inside.solid
    shut_in = _behind(leaning, pull, region)
    free = whole - shut_in
    pieces = sorted(free.decompose(), key=lambda one: -one.volume())
    if not pieces:
        raise NotDoable(
            f"Nothing is left of the {name} once all is cut away that cannot come off. "
            "Part the mold otherwise with --parting."
        )
    return _Part(
        name=name,
        pull=pull,
        solid=pieces[0],
        shut_in=shut_in,
        cut_mm3=float(whole.volume() - free.volume()),
        crumbs_mm3=float(sum(one.volume() for one in pieces[1:])),
        bumps=manifold3d.Manifold(),
    )


def _behind(
    triangles: FloatArray, pull: FloatArray, region: manifold3d.Manifold
) -> manifold3d.Manifold:
    """Return all that lies behind triangles as seen along a pull, as far as a region reaches.

    They are taken a little wider all round: cut exactly along a silhouette, a part would touch
    itself there along an edge.
    """
    if not len(triangles):
        return manifold3d.Manifold()
    across = np.linalg.svd(pull[None])[2][1:]
    wider = _WIDER_MM * np.array([a * across[0] + b * across[1] for a, b in _SQUARE])
    box = np.array(region.bounding_box()).reshape(2, 3)
    far = float((triangles @ pull).max() - np.minimum(*(box * pull)).sum()) + 1.0
    prisms = []
    for one in triangles:
        near = (one[:, None] + wider).reshape(-1, 3)
        prisms.append(manifold3d.Manifold.hull_points(np.concatenate([near, near - far * pull])))
    return manifold3d.Manifold.batch_boolean(prisms, manifold3d.OpType.Add)


# --- natches and bevels


def _fitted(
    parts: list[_Part], seams: list[Seam], block: Block, sheet: Sheet | None
) -> tuple[list[_Part], tuple[tuple[FloatArray, str, str], ...]]:
    """Return the parts with natches and beveled seams, and where the natches are."""
    solids = [one.solid for one in parts]
    bumps = [one.bumps for one in parts]
    found: list[tuple[FloatArray, str, str]] = []
    for seam in seams:
        ring = beveled(seam, block)
        for number in (seam.first, seam.second):
            solids[number] = solids[number] - ring
    if sheet is not None:
        solids[-2] = solids[-2] ^ sheet.ahead(1.0)
        solids[-1] = solids[-1] - sheet.ahead(-1.0)
    for seam in seams:
        made = natched(seam, solids[seam.first], solids[seam.second])
        solids[seam.first] += made.bumps
        solids[seam.second] -= made.hollows
        bumps[seam.first] += made.bumps
        of = parts[seam.first].name, parts[seam.second].name
        found += [(at, *of) for at in made.at_mm]
    if sheet is not None:
        made = curved_seam.natched(sheet, solids[-2], solids[-1])
        solids[-2] += made.bumps
        solids[-1] -= made.hollows
        bumps[-2] += made.bumps
        found += [(at, parts[-2].name, parts[-1].name) for at in made.at_mm]
    fitted = [
        replace(one, solid=solid, bumps=own)
        for one, solid, own in zip(parts, solids, bumps, strict=True)
    ]
    return fitted, tuple(found)


def _seams(parts: list[_Part], layout: Layout, sheet: Sheet | None) -> list[Seam]:
    """Return every plane in which two parts meet, the one that comes off first named first."""
    sides = layout.way.sides
    ends = len(parts) - sides
    seams = [
        Seam.level(number, ends + side, parts[number].seam_mm, parts[number].pull[2])
        for number in range(ends)
        for side in range(sides)
    ]
    if sheet is not None:
        return seams
    halves, rays = layout.halves_deg, rays_of(0.0, layout.seams)
    for number in range(1 if sides == 2 else sides):
        last = number > 0 and number == sides - 1
        first, second = (0, number) if last else (number, number + 1)
        beside = halves[number][0], halves[(number + 1) % sides][1]
        slant_deg = max(abs(90.0 - one) for one in beside)
        seams.append(
            Seam.upright(
                ends + first, ends + second, rays[number], slant_deg, half=sides > 2, turned=last
            )
        )
    return seams


def _line(seam: Seam, parts: list[_Part], piece: Surface) -> SeamLine:
    """Return how long two parts meet on the piece."""
    first, second = parts[seam.first], parts[seam.second]
    if first.has_step:
        points, lengths = edges_along(mesh_of(first.solid), piece)
        sides = [edges_along(mesh_of(one.solid), piece)[0] for one in parts if not one.pull[2]]
        away = [cKDTree(one).query(points)[0] for one in sides]
        side = seam.second - (len(parts) - len(sides))
        lengths = lengths * (np.argmin(away, axis=0) == side)
    else:
        points, lengths = seam.edges(first.solid, second.solid)
    is_on_it = piece.distances_mm(points) < _ON_IT_MM
    return SeamLine((first.name, second.name), float(lengths[is_on_it].sum()))


# --- what is told


def _in_order(parts: list[_Part], order: tuple[str, ...]) -> list[_Part]:
    """Return the parts as the maker wants them to come off.

    Sides part in any order, because each stands between planes that lead away from it. A base and
    a top come before the sides, which else would have to be pulled through their natches.
    """
    named = {one.name: one for one in parts}
    told = ", ".join(order)
    if not order:
        return parts
    if sorted(order) != sorted(named):
        raise BadInput.one("--order", told, f"name each part once: {', '.join(named)}")
    ends = [one.name for one in parts if one.pull[2]]
    if sorted(order[: len(ends)]) != sorted(ends):
        right = (
            f"name {' and '.join(ends)} first: its natches, and what it forms of the piece, stand "
            "in the way of the sides"
        )
        raise BadInput.one("--order", told, right)
    return [named[one] for one in order]


def _for_a_file(part: _Part) -> manifold3d.Manifold:
    """Return a part without edges so short that a file of it would not be closed."""
    for solid in (
        part.solid,
        part.solid.simplify(SAME_MM / 10),
        part.solid.simplify(SAME_MM),
        part.solid.simplify(SAME_MM * 5),
    ):
        if reads_back_closed(mesh_of(solid)):
            return solid
    raise NotDoable(
        f"The {part.name} touches itself along an edge, and no file of it would be closed. "
        "Turn the heading by a degree, or give another thickness with --around."
    )


def _overlap_mm3(part: _Part, inside: Inside) -> float:
    """Return how much of a part lies where the way out is not free. [mm3]

    Its natches stand out into the hollows of another, from where they come off slantwise.
    """
    own = part.solid - part.bumps
    return float((own ^ inside.solid).volume() + (own ^ part.shut_in).volume())


def _told(part: _Part, frame: _Frame, surface: Mesh) -> MoldPart:
    thickness = thickness_of(mesh_of(part.solid), surface, part.pull)
    return MoldPart(
        name=part.name,
        pull=as_arrow(frame.turned(part.pull)),
        heading_deg=None if part.pull[2] else _heading(frame.turned(part.pull)),
        volume_l=part.solid.volume() / 1e6,
        thinnest_mm=thickness.thin_mm,
        thinnest_at_mm=as_place(frame.back(thickness.at_mm)),
        sharp_mm=thickness.sharp_mm,
        drags_m2=thickness.drags_m2,
        deep_mm=thickness.deep_mm,
    )


def _heading(pull: FloatArray) -> float:
    return round(float(np.degrees(np.arctan2(pull[1], pull[0]))), 6) % 360
