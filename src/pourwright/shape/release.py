"""How a mold can be parted so that every part comes off: studio ways first, the fewest parts first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import msgspec
import numpy as np

from pourwright.errors import BadInput
from pourwright.shape.any_pulls import any_pulls
from pourwright.shape.distance import Surface, Watch, unwatched
from pourwright.shape.edges import bodies_of
from pourwright.shape.ends import end_of
from pourwright.shape.mesh import BoolArray, FloatArray, IntArray, Mesh, as_place
from pourwright.shape.no_seam import KeptWhole, NoSeam, kept_whole
from pourwright.shape.opening import SAME_LEVEL_MM, is_in_recess, opening_of, within
from pourwright.shape.reach import LINES, free_lines, reached
from pourwright.shape.records import AnyPulls, Draft, Parting, Pulls, Release, Undercut
from pourwright.shape.solids import mesh_of, solid_of

HEADINGS = 72
"""Level directions that are tried, 5 degrees apart."""

ENOUGH = 1e-3
"""A way to part that leaves no more of the face unreached is taken. [-]"""

MOST_TRIMMED_L = 5e-5
"""Seams that leave no more plaster to be cut away will do. [l]"""

LEAST_UNDERCUT_M2 = 5e-6
"""A place of less than five square millimeters is not told. [m2]"""


class Way(NamedTuple):
    """A way to part: how many sides, and whether a part is pulled off downward and one upward."""

    sides: int
    base: bool = False
    top: bool = False

    @property
    def parts(self) -> int:
        """How many parts there are."""
        return self.sides + self.base + self.top


WAYS: dict[Parting, Way] = {
    "drop-out": Way(0, base=True),
    "halves": Way(2),
    "halves and base": Way(2, base=True),
    "halves and top": Way(2, top=True),
    "halves, base and top": Way(2, base=True, top=True),
    "three sides": Way(3),
    "three sides and base": Way(3, base=True),
    "four sides": Way(4),
    "four sides and base": Way(4, base=True),
}
"""Each way to part. A top is tried only where slip is poured into a recess, which it forms."""


class Layout(NamedTuple):
    """Where the sides of a way are pulled, and where the seams between them run, in steps of 5 degrees.

    Parameters
    ----------
    way : Way
        The way.
    pulls : tuple of int
        Of each side, from the direction that a face is turned to.
    seams : tuple of float
        Of the plane between each side and the next.
    """

    way: Way
    pulls: tuple[int, ...]
    seams: tuple[float, ...]

    @classmethod
    def equal(cls, way: Way, first: int) -> Layout:
        """Return sides of equal width.

        Parameters
        ----------
        way : Way
            The way.
        first : int
            The pull of the first.
        """
        pulls = tuple(first + one * HEADINGS // way.sides for one in range(way.sides))
        return cls(way, pulls, tuple(one + HEADINGS / way.sides / 2 for one in pulls))

    @classmethod
    def of(cls, pulls: Pulls) -> Layout:
        """Return the layout of some pulls, turned to the first of them.

        Parameters
        ----------
        pulls : Pulls
            The pulls.
        """
        way = WAYS[pulls.parting]
        if not pulls.sides_deg:
            return cls.equal(way, 0)
        first = pulls.sides_deg[0]
        steps = [
            [round((one - first) % 360 / _STEP_DEG) for one in angles]
            for angles in (pulls.sides_deg, pulls.seams_deg)
        ]
        return cls(way, tuple(steps[0]), tuple(steps[1]))

    @property
    def is_equal(self) -> bool:
        """Whether all sides are equally wide and pulled from their middle."""
        return self == Layout.equal(self.way, self.pulls[0] if self.pulls else 0)

    def told_deg(self, turned_deg: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Return pulls and seams as they are told; nothing of sides of equal width. [degree]

        Parameters
        ----------
        turned_deg : float
            From where the steps are counted. [degree]
        """
        if self.is_equal:
            return (), ()
        pulls, seams = (
            tuple((turned_deg + one * _STEP_DEG) % 360 for one in steps)
            for steps in (self.pulls, self.seams)
        )
        return pulls, seams

    @property
    def halves_deg(self) -> list[tuple[float, float]]:
        """How far the seams of each side are turned from its pull, to the left and to the right."""
        return [
            (
                (self.seams[number] - pull) % HEADINGS * _STEP_DEG,
                (pull - self.seams[number - 1]) % HEADINGS * _STEP_DEG,
            )
            for number, pull in enumerate(self.pulls)
        ]


FINE_MM = 1.5
"""How long the sides of triangles are, at most, in which the way that was chosen is counted. [mm]"""

_MOST_TRIANGLES = 60_000
_PLANES, _LIKELY_HEADINGS = 8, 3
_MOST_PARTS = 9
_UNREACHED_MM = 1.0
_FOOT_MM = 1.0
_ON_IT_MM = 0.02
_STEP_DEG = 360 / HEADINGS
_NARROWEST, _WIDEST = 6, 22
"""A seam is turned by 30 to 110 degrees from the pulls beside it: else no natch comes off. [steps]"""
_EQUAL = (0, 18, 24, 36, 48, 54)
"""The pulls of two, three and four sides of equal width, the first of them along the heading."""
_DOWN, _BASE, _TOP = HEADINGS, HEADINGS + 1, HEADINGS + 2
"""The numbers of the pulls after the level ones: of the whole mold down, of a base, of a top up."""


def release_of(
    mesh: Mesh,
    parting: Parting | None = None,
    heading_deg: float | None = None,
    pour_mm: float | None = None,
    watch: Watch = unwatched,
    *,
    parts: int | None = None,
    no_seams: tuple[NoSeam, ...] = (),
) -> Release:
    """Return how a mold around a body can be pulled off.

    Parameters
    ----------
    mesh : Mesh
        What the mold is made around: one sound body, z up.
    parting : str or None
        The way to part that is wanted; None lets the fewest parts that do be found.
    heading_deg : float or None
        Which way the first side is pulled; None looks for the best. [degree]
    pour_mm : float or None
        As for the wall. [mm]
    watch : callable
        Told how much is done.
    parts : int or None
        How many parts are wanted; None takes the fewest that do.
    no_seams : tuple of NoSeam
        Places that no seam may run across.

    Raises
    ------
    BadInput
        If the heading is no number, no way has so many parts, or every seam runs across a place.
    """
    if heading_deg is not None and not -360 <= heading_deg <= 360:
        raise BadInput.one("--heading", f"{heading_deg:g}", "give degrees from -360 to 360")
    wanted = range(_TOP + 1) if heading_deg is None else [*_EQUAL, _DOWN, _BASE, _TOP]
    coarse = _Face(mesh, pour_mm, heading_deg, wanted, watch)
    coarse.kept = kept_whole(mesh, no_seams)
    tried = {
        one: best
        for one, way in WAYS.items()
        if (one == parting or not way.top or coarse.is_recessed) and (best := coarse.best(one))
    }
    fewest = min((one.parts for one in tried.values() if does(one)), default=_MOST_PARTS)
    for one, way in WAYS.items():
        # where flat seams leave plaster; whether a bent one runs across a place is not known
        is_able = way.sides == 2 and one in tried and not no_seams and not does(tried[one])
        if is_able and (one == parting or way.parts < fewest):
            bent = coarse.curved(tried[one])
            tried[one] = bent if does(bent) else tried[one]
    fewest = min((one.parts for one in tried.values() if does(one)), default=_MOST_PARTS)
    for one, way in WAYS.items():
        is_wanted = way.parts == (parts or way.parts) and (parts or way.parts < fewest)
        is_wanted = one == parting if parting else is_wanted
        if way.sides > 2 and is_wanted and (other := coarse.unequal(one, tried.get(one))):
            tried[one] = other
    chosen = _chosen(tried, parting, parts, no_seams)
    face = _Face(_refined(mesh), pour_mm, chosen.heading_deg or 0.0, coarse.numbers_of(chosen))
    face.kept = coarse.kept
    chosen = tried[chosen.parting] = face.again(chosen)
    numbers = face.numbers_of(chosen)
    best = face.shares[numbers].max(axis=0)
    is_lost = parting is None and not does(chosen)
    return Release(
        face_m2=float(face.areas.sum()),
        tried=tuple(tried.values()),
        chosen=chosen,
        undercuts=_undercuts(face.mesh, face.areas * (1 - best), (face.areas > 0) & (best < 1)),
        draft=_draft(face, numbers),
        any_pulls=_any_pulls(mesh, opening_of(mesh, pour_mm)[0], watch) if is_lost else (),
    )


def _any_pulls(mesh: Mesh, is_open: BoolArray, watch: Watch) -> tuple[AnyPulls, ...]:
    """Return what pulls in any direction reach, and where each number of them would hold."""
    areas, found = np.where(is_open, 0.0, mesh.areas_m2), []
    for one in any_pulls(mesh, is_open, ENOUGH, watch):
        lines = free_lines(mesh, np.array(one.pulls), np.arange(len(areas)))
        missed = 1 - lines.any(axis=0).reshape(-1, LINES).mean(axis=1)
        held = _undercuts(mesh, areas * missed, (areas > 0) & (missed > 0))
        found.append(msgspec.structs.replace(one, held=held))
    return tuple(found)


def _chosen(
    tried: dict[Parting, Pulls],
    parting: Parting | None,
    parts: int | None,
    no_seams: tuple[NoSeam, ...],
) -> Pulls:
    """Return the way that is told, or the best of those with so many parts as are told."""
    if parting and parts and WAYS[parting].parts != parts:
        right = f"{parting} has {WAYS[parting].parts}; leave one of the two out"
        raise BadInput.one("--parts", str(parts), right)
    able = [one for one in tried.values() if one.parting == (parting or one.parting)]
    able = [one for one in able if one.parts == (parts or one.parts)]
    if able:
        return able[0] if parting else _fewest(tuple(able))
    if no_seams:
        told = " and ".join(one.told for one in no_seams)
        what = f"of {parting}" if parting else (f"of {parts} parts" if parts else "of every way")
        right = f"the seams {what} all run across it; make it smaller, or part the mold otherwise"
        raise BadInput.one("--no-seam", told, right)
    known = sorted({one.parts for one in tried.values()})
    right = f"this piece is parted in {known[0]} to {known[-1]}"
    raise BadInput.one("--parts", str(parts), right)


def _refined(mesh: Mesh) -> Mesh:
    """Return the same surface in triangles so small that one half in a shadow counts for little."""
    solid = solid_of(mesh)
    length = max(FINE_MM, np.sqrt(mesh.area_m2 * 1e6 * 2.3 / _MOST_TRIANGLES))
    return mesh if solid is None else mesh_of(solid.refine_to_length(length))


class _Face:
    """The face that touches plaster, and how much of each triangle each pull reaches."""

    def __init__(
        self,
        mesh: Mesh,
        pour_mm: float | None,
        heading_deg: float | None,
        wanted: Sequence[int],
        watch: Watch = unwatched,
    ) -> None:
        self.mesh, self.corners_mm, self.normals = mesh, mesh.corners_mm, mesh.normals
        self.is_told = heading_deg is not None
        self.turned_deg = 0.0 if heading_deg is None else heading_deg
        is_open, level = opening_of(mesh, pour_mm)
        self.areas = np.where(is_open, 0.0, mesh.areas_m2)
        self.centers_mm = mesh.centers_mm
        self.middles_mm = [mesh.low_mm + mesh.size_mm / 2]
        if is_open.any():
            weights = mesh.areas_m2 * is_open
            self.middles_mm.append(np.average(self.centers_mm, axis=0, weights=weights))
        self.is_recessed = is_in_recess(mesh, is_open)
        self.kept: list[KeptWhole] = []
        self.pulls = _pulls(self.turned_deg)
        self.shares = np.zeros((len(self.pulls), len(mesh.faces)))
        self.shares[wanted] = reached(mesh, self.pulls[wanted], watch)
        heights = mesh.vertices_mm[:, 2]
        # a base takes nothing beside the foot, and a top nothing beside the rim
        self.foot_mm = mesh.vertices_mm[heights < mesh.low_mm[2] + _FOOT_MM]
        self.shares[_BASE] *= within(self.foot_mm, self.centers_mm)
        self.rim_mm = mesh.vertices_mm[heights > mesh.high_mm[2] - _FOOT_MM]
        is_above = mesh.centers_mm[:, 2] > level - SAME_LEVEL_MM
        self.shares[_TOP] *= within(self.rim_mm, self.centers_mm) & is_above

    def numbers(self, layout: Layout) -> list[int]:
        """Return the numbers of a way's pulls."""
        way = layout.way
        ends = [*([_BASE if way.sides else _DOWN] * way.base), *([_TOP] * way.top)]
        return [*(one % HEADINGS for one in layout.pulls), *ends]

    def numbers_of(self, pulls: Pulls) -> list[int]:
        """Return the numbers of some pulls in a face that is turned to the first."""
        return self.numbers(Layout.of(pulls))

    def missed_m2(self, shares: FloatArray) -> float:
        """Return how much of the face some pulls leave. [m2]"""
        return float((self.areas * (1 - shares.max(axis=0))).sum())

    def best(self, parting: Parting) -> Pulls | None:
        """Return a way to part at the heading that leaves the least, None if no seam may run so."""
        way = WAYS[parting]
        kept = self._kept_of_sides(way)
        if kept is None:
            return None
        # the same set comes again after a turn by one side
        firsts = range(1 if self.is_told or not way.sides else HEADINGS // way.sides)
        layouts = [Layout.equal(way, first) for first in firsts]
        return self._best_of(parting, layouts, kept)

    def unequal(self, parting: Parting, equal: Pulls | None) -> Pulls | None:
        """Return sides of unequal width, None if equal ones do or leave no more."""
        way = WAYS[parting]
        kept = self._kept_of_sides(way)
        if kept is None or (equal and does(equal)):
            return None
        if self.is_told:
            others = [one for one in range(HEADINGS) if one not in _EQUAL]
            self.shares[others] = reached(self.mesh, self.pulls[others])
        layouts = self._unequal(way, kept, 1 if self.is_told else HEADINGS)
        found = self._best_of(parting, layouts, kept)
        return found if found and (equal is None or _better(found, equal)) else None

    def curved(self, pulls: Pulls) -> Pulls:
        """Return two sides that meet along the parting line, at the heading that leaves the least.

        Then all that is shut in is what neither side reaches: it ends where the piece leans back
        and begins where it leans forward. Of headings that do equally well it is the one told,
        where the seam is nearest to a plane.
        """
        way = WAYS[pulls.parting]
        own = round(((pulls.heading_deg or 0.0) - self.turned_deg) / _STEP_DEG) % HEADINGS
        firsts = range(1 if self.is_told else HEADINGS // way.sides)
        left = []
        for first in firsts:
            numbers = self.numbers(Layout.equal(way, first))
            missed_m2 = self.areas * (1 - self.shares[numbers].max(axis=0))
            pull = self.pulls[numbers[0]]
            shut_in_l = -float((missed_m2 * (self.normals @ pull)) @ (self.centers_mm @ pull))
            left.append((max(shut_in_l, 0.0) + 0.0, float(missed_m2.sum())))
        merits = [
            (round(shut_in_l * 1e6), round(missed * 1e8), first != own)
            for first, (shut_in_l, missed) in zip(firsts, left, strict=True)
        ]
        best = merits.index(min(merits))
        shut_in_l, missed = left[best]
        return Pulls(
            pulls.parting,
            way.parts,
            (self.turned_deg + best * _STEP_DEG) % 360,
            None,
            None,
            shut_in_l,
            missed,
            1 - missed / float(self.areas.sum()),
            is_curved=True,
        )

    def again(self, pulls: Pulls) -> Pulls:
        """Return the same way, in a face that is turned to its first pull, counted anew."""
        if pulls.is_curved:
            return self.curved(pulls)
        kept = self._kept_of_sides(WAYS[pulls.parting]) or []
        return self._best_of(pulls.parting, [Layout.of(pulls)], kept) or pulls

    def _best_of(
        self, parting: Parting, layouts: list[Layout], kept: list[KeptWhole]
    ) -> Pulls | None:
        missed = [self.missed_m2(self.shares[self.numbers(one)]) for one in layouts]
        seams = self._seams(layouts, missed, kept)
        if not seams:
            return None
        # what differs by less than a hundredth of a square millimeter is the same: the first then
        best = min(seams, key=lambda one: (seams[one].merit, round(missed[one] * 1e8), one))
        layout, way = layouts[best], WAYS[parting]
        heading = self.turned_deg + layout.pulls[0] * _STEP_DEG if way.sides else 0.0
        return Pulls(
            parting,
            way.parts,
            heading % 360 if way.sides else None,
            seams[best].plane_mm,
            seams[best].axis_mm,
            seams[best].trimmed_l,
            missed[best],
            1 - missed[best] / float(self.areas.sum()),
            *layout.told_deg(self.turned_deg),
        )

    def _seams(
        self, layouts: list[Layout], missed: list[float], kept: list[KeptWhole]
    ) -> dict[int, _Seams]:
        """Return the best seams of each layout that may be the best, by its number."""
        sides = layouts[0].way.sides if layouts else 0
        if layouts and not sides:
            # what is shut in reaches up to the top of the block, where the mold comes off downward
            missed_m2 = self._missed(_DOWN, []) * self.areas
            depths = self.mesh.high_mm[2] - self.centers_mm[:, 2]
            return {0: _Seams(max(float(missed_m2 * self.normals[:, 2] @ depths), 0.0))}
        if sides > 2:
            made = {one: self._around_axis(layout, kept) for one, layout in enumerate(layouts)}
            return {one: seams for one, seams in made.items() if seams}
        gaps = [self._gaps(self.numbers(one)) for one in layouts]
        spans = [
            [one.span_mm(self.pulls[layout.pulls[0] % HEADINGS]) for one in kept]
            for layout in layouts
        ]
        likely = [_likely_planes(*one, span) for one, span in zip(gaps, spans, strict=True)]
        able = [one for one in range(len(layouts)) if likely[one][1]]
        order = sorted(able, key=lambda one: (round(likely[one][0] * 1e6), one))
        return {
            one: min(
                (_Seams(_trimmed_l(*gaps[one], at), plane_mm=at) for at in likely[one][1]),
                key=lambda seams: seams.merit,
            )
            for one in order[:_LIKELY_HEADINGS]
        }

    def _kept_of_sides(self, way: Way) -> list[KeptWhole] | None:
        """Return what the sides may not part, None if a base or a top would part it from them."""
        kept = []
        for one in self.kept:
            ends = np.zeros(len(one.points_mm), dtype=bool)
            if way.base and way.sides:
                ends |= self._is_of_end(one, self.foot_mm, -1.0)
            if way.top:
                ends |= self._is_of_end(one, self.rim_mm, 1.0)
            if ends.any() and not ends.all():
                return None
            kept.append(one.only(~ends))
        return kept

    def _is_of_end(self, kept: KeptWhole, edge_mm: FloatArray, up: float) -> BoolArray:
        """Return which points a base (up is -1) or a top forms: at its seam, and in its recess."""
        solid = solid_of(self.mesh)
        points = kept.points_mm
        end = float(self.mesh.high_mm[2] if up > 0 else self.mesh.low_mm[2])
        parted = None if solid is None else end_of(solid, self.mesh, end, up)
        seam = end if parted is None else parted.seam_mm
        is_past = (points[:, 2] - seam) * up > -_ON_IT_MM
        if parted is not None and parted.step is not None:
            is_past |= Surface(mesh_of(parted.step)).are_inside(points)
        is_near = (points[:, 2] - (self.mesh.low_mm[2] + self.mesh.size_mm[2] / 2)) * up > 0
        is_in = within(edge_mm, points) & (kept.normals[:, 2] * up > -_ON_IT_MM) & is_near
        formed: BoolArray = is_past | is_in
        return formed

    def _unequal(self, way: Way, kept: list[KeptWhole], firsts: int) -> list[Layout]:
        """Return the layout of sides of unequal width that leaves the least, nothing if none can be.

        What a side leaves is a sum over its two halves, left and right of its pull, so the best
        seam between two pulls depends on no third.
        """
        ends = self.numbers(Layout(way, (), ()))
        turns = np.array(_turns(way.sides))
        before = np.cumsum(turns, axis=1) - turns
        best, least = [], np.inf
        for middle in self.middles_mm:
            left, right = self._halves_of_sides(ends, middle)
            for one in kept:
                crossed = one.is_crossed(middle, self.pulls[:HEADINGS])
                for pull in range(HEADINGS):
                    left[pull, crossed[(pull + np.arange(_WIDEST + 1)) % HEADINGS]] = np.inf
            cost, seam = _between_pulls(left, right)
            for first in range(firsts):
                pulls = (first + before) % HEADINGS
                left_l = cost[pulls, turns].sum(axis=1).round(6)
                number = int(left_l.argmin())
                if left_l[number] < least:
                    least = left_l[number]
                    own = first + before[number]
                    seams = own + seam[pulls[number], turns[number]]
                    best = [Layout(way, tuple(own.tolist()), tuple(seams.tolist()))]
        return best

    def _halves_of_sides(
        self, ends: list[int], middle: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Return what half a side leaves, for each pull and each turn to its seam. [l]

        Its own face that it does not reach counts as if a millimeter were shut in behind it: what
        is shut in is a difference of sums, and in a narrow slot nothing but how they are rounded.
        """
        left, right = (np.full((HEADINGS, _WIDEST + 1), np.inf) for _ in range(2))
        turns = np.arange(_NARROWEST, _WIDEST + 1)
        slopes = 1 / np.tan(np.radians(turns * _STEP_DEG))
        for number in range(HEADINGS):
            pull = self.pulls[number]
            missed_m2 = self._missed(number, ends) * self.areas
            held = np.flatnonzero(missed_m2)
            missed_m2, gap = missed_m2[held], (missed_m2 * -(self.normals @ pull))[held]
            away = self.centers_mm[held] - middle
            along, across = away @ pull, away @ np.array([-pull[1], pull[0], 0.0])
            depths = np.maximum(along[:, None] - np.abs(across)[:, None] * slopes, 0.0)
            for half, is_here in ((left, across > 0), (right, across <= 0)):
                half[number, turns] = gap[is_here] @ depths[is_here]
                half[number, turns] += missed_m2[is_here] @ (depths[is_here] > 0) * _UNREACHED_MM
        return left, right

    def _missed(self, number: int, ends: list[int]) -> FloatArray:
        """Return how much of each triangle a side leaves; what a base or a top reaches is its own."""
        missed: FloatArray = 1 - self.shares[[number, *ends]].max(axis=0)
        return missed

    def _gaps(self, numbers: list[int]) -> tuple[FloatArray, FloatArray]:
        """Return where a gap between piece and plane begins or ends, and each triangle's corners.

        A gap ends where the piece leans back over it, and begins where it leans forward. The
        corners are places along the pull, the lowest first. [m2, mm]
        """
        forward, backward, *ends = numbers
        missed = np.stack([self._missed(one, ends) for one in (forward, backward)])
        leans = self.normals @ self.pulls[forward]
        corners = np.sort(self.corners_mm @ self.pulls[forward], axis=1)
        return missed * self.areas * np.stack([-leans, leans]), corners

    def _around_axis(self, layout: Layout, kept: list[KeptWhole]) -> _Seams | None:
        """Return planes between sides that meet in an upright line, and what they leave.

        The line stands in the middle of the piece or of its opening, whichever leaves less; None
        if with either a seam would run across a place that is kept whole.
        """
        numbers = self.numbers(layout)
        level, ends = numbers[: layout.way.sides], numbers[layout.way.sides :]
        left = np.zeros(len(self.middles_mm))
        for number, middle in enumerate(self.middles_mm):
            rays = rays_of(self.turned_deg, layout.seams)
            if any(one.is_crossed(middle, rays).any() for one in kept):
                left[number] = np.inf
        for one, halves in zip(level, layout.halves_deg, strict=True):
            pull = self.pulls[one]
            gap = self._missed(one, ends) * self.areas * -(self.normals @ pull)
            held = np.flatnonzero(gap)
            for number, middle in enumerate(self.middles_mm):
                away = self.centers_mm[held] - middle
                left[number] += gap[held] @ depth_mm(away, pull, *halves)
        best = int(left.round(6).argmin())
        x, y, _ = self.middles_mm[best]
        if not np.isfinite(left[best]):
            return None
        return _Seams(max(float(left[best]), 0.0), axis_mm=(float(x), float(y)))


def depth_mm(
    points_mm: FloatArray, pull: FloatArray, left_deg: float, right_deg: float
) -> FloatArray:
    """Return how far points lie inside a side, measured back along its pull; 0 outside. [mm]

    Parameters
    ----------
    points_mm : array of float, (..., 3)
        From the line in which the planes between the sides meet. [mm]
    pull : array of float, (3,)
        Its pull, level and of length 1.
    left_deg, right_deg : float
        How far its seams are turned from its pull, to the left as seen from above and to the
        right. [degree]
    """
    along = points_mm @ pull
    across = points_mm @ np.array([-pull[1], pull[0], 0.0])
    slope = np.where(across > 0, *(1 / np.tan(np.radians([left_deg, right_deg]))))
    depth: FloatArray = np.maximum(along - np.abs(across) * slope, 0.0)
    return depth


@dataclass(frozen=True, slots=True)
class _Seams:
    """Where the sides meet, and how much plaster there cannot come off."""

    trimmed_l: float
    plane_mm: float | None = None
    axis_mm: tuple[float, float] | None = None

    @property
    def merit(self) -> int:
        """Less is better; a cubic millimeter is the same."""
        return round(self.trimmed_l * 1e6)


def rays_of(turned_deg: float, steps: Sequence[float]) -> FloatArray:
    """Return level directions, (n, 3).

    Parameters
    ----------
    turned_deg : float
        From where the steps are counted. [degree]
    steps : sequence of float
        How far each is turned from there, in steps of 5 degrees.
    """
    angles = np.radians(turned_deg + np.array(steps) * _STEP_DEG)
    return np.column_stack([np.cos(angles), np.sin(angles), np.zeros(len(angles))]).round(15)


@cache
def _turns(sides: int) -> list[tuple[int, ...]]:
    """Return every way to go once round by so many turns from one pull to the next."""
    able = range(2 * _NARROWEST, 2 * _WIDEST + 1)
    turns: list[tuple[int, ...]] = [()]
    for number in range(sides - 1):
        left = sides - 1 - number
        turns = [
            (*one, turn)
            for one in turns
            for turn in able
            if left * able[0] <= HEADINGS - sum(one) - turn <= left * able[-1]
        ]
    return [(*one, HEADINGS - sum(one)) for one in turns]


def _between_pulls(left: FloatArray, right: FloatArray) -> tuple[FloatArray, IntArray]:
    """Return what the best seam between two pulls leaves, and how far it is turned from the first.

    For each first pull and each turn to the second. [l, steps]
    """
    cost = np.full((HEADINGS, 2 * _WIDEST + 1), np.inf)
    seam = np.zeros(cost.shape, dtype=np.int64)
    first = np.arange(HEADINGS)
    for turn in range(2 * _NARROWEST, 2 * _WIDEST + 1):
        able = np.arange(max(_NARROWEST, turn - _WIDEST), min(_WIDEST, turn - _NARROWEST) + 1)
        # of seams that do equally well, the one nearest the middle
        able = able[np.argsort(np.abs(2 * able - turn), kind="stable")]
        both = left[:, able] + right[(first + turn) % HEADINGS][:, turn - able]
        chosen = both.round(6).argmin(axis=1)
        cost[:, turn], seam[:, turn] = both[first, chosen], able[chosen]
    return cost, seam


def _pulls(turned_deg: float) -> FloatArray:
    """Return the pulls that are tried: level ones all round, two straight down, one up."""
    angles = np.radians(turned_deg) + np.arange(HEADINGS) * 2 * np.pi / HEADINGS
    level = np.column_stack([np.cos(angles), np.sin(angles), np.zeros(HEADINGS)])
    return np.vstack([level.round(15), [0.0, 0.0, -1.0], [0.0, 0.0, -1.0], [0.0, 0.0, 1.0]])


def _likely_planes(
    gaps: FloatArray, along: FloatArray, kept: list[tuple[float, float]]
) -> tuple[float, list[float]]:
    """Return places of a plane that leave little, the least first, and about how much. [l, mm]

    Each triangle is counted whole, at its middle.
    """
    middles = along.mean(axis=1)
    order = np.argsort(middles, kind="stable")
    ahead, behind = (np.concatenate([[0.0], np.cumsum(one[order])]) for one in gaps)
    ahead_high, behind_high = (
        np.concatenate([[0.0], np.cumsum((one * middles)[order])]) for one in gaps
    )
    middle = float(along.min() + along.max()) / 2
    spans = [one for one in kept if one[0] < one[1]]
    steps = np.unique(np.concatenate([along.round(2).ravel(), [middle], *spans]))
    steps = steps[(steps >= along.min()) & (steps <= along.max())]
    for first, last in spans:
        steps = steps[(steps <= first) | (steps >= last)]
    if not len(steps):
        return 0.0, []
    at = np.searchsorted(middles[order], steps)
    left = (ahead_high[-1] - ahead_high[at]) - steps * (ahead[-1] - ahead[at])
    left += steps * behind[at] - behind_high[at]
    # of planes that do equally well, the one nearest the middle
    best = np.lexsort((np.abs(steps - middle), np.round(left * 1e6)))[:_PLANES]
    return float(left[best[0]]), [
        float(one) + 0.0 for one in dict.fromkeys([*steps[steps == middle], *steps[best]])
    ]


def _trimmed_l(gaps: FloatArray, along: FloatArray, plane_mm: float) -> float:
    """Return the gaps between piece and plane on both sides: plaster that cannot come off. [l]"""
    ahead = float(gaps[0] @ _mean_above(along - plane_mm))
    behind = float(gaps[1] @ _mean_above((plane_mm - along)[:, ::-1]))
    return max(ahead + behind, 0.0)


def _mean_above(heights_mm: FloatArray) -> FloatArray:
    """Return each triangle's mean of its height where it is above 0, from its corners', lowest first."""
    above: FloatArray = np.where(heights_mm[:, 0] >= 0, heights_mm.mean(axis=1), 0.0)
    cut = np.flatnonzero((heights_mm[:, 0] < 0) & (heights_mm[:, 2] > 0))
    low, middle, high = heights_mm[cut].T
    with np.errstate(divide="ignore", invalid="ignore"):
        one_above = high**3 / (3 * (high - low) * (high - middle))
        one_below = (low + middle + high) / 3 - low**3 / (3 * (low - middle) * (low - high))
    above[cut] = np.where(middle > 0, one_below, one_above)
    return above


def does(pulls: Pulls) -> bool:
    """Return whether a way reaches all but a thousandth, and leaves next to nothing to cut away.

    Parameters
    ----------
    pulls : Pulls
        The way.
    """
    return pulls.reached >= 1 - ENOUGH and pulls.trimmed_l <= MOST_TRIMMED_L


def _better(one: Pulls, other: Pulls) -> bool:
    """Return whether a way leaves less, by a hundredth of a milliliter and more."""
    left, others = (each.trimmed_l + each.undercut_m2 * _UNREACHED_MM for each in (one, other))
    return left < others - 1e-5


def _fewest(tried: tuple[Pulls, ...]) -> Pulls:
    """Return the way with the fewest parts that reaches all but a thousandth, or the most."""
    able = [one for one in tried if does(one)]
    if able:
        return min(able, key=lambda one: (one.parts, one.undercut_m2))
    return max(tried, key=lambda one: (round(one.reached, 6), -one.parts))


def _undercuts(mesh: Mesh, missed_m2: FloatArray, is_missed: BoolArray) -> tuple[Undercut, ...]:
    """Return the places that are not reached, triangles that share an edge together."""
    missed = np.flatnonzero(is_missed)
    if not len(missed):
        return ()
    count, place = bodies_of(mesh.faces[missed])
    found = []
    for number in range(count):
        here: IntArray = missed[place == number]
        area = float(missed_m2[here].sum())
        if area >= LEAST_UNDERCUT_M2:
            middles = mesh.centers_mm[here]
            middle = np.average(middles, axis=0, weights=missed_m2[here])
            nearest = np.linalg.norm(middles - middle, axis=1).argmin()
            found.append(Undercut(area, as_place(middles[nearest])))
    return tuple(sorted(found, key=lambda one: -one.area_m2))


def _draft(face: _Face, numbers: list[int]) -> Draft:
    """Return how much of what is reached leans little, each triangle by the pull that suits it best."""
    shares = face.shares[numbers]
    leans = np.where(shares > 0, face.pulls[numbers] @ face.normals.T, -1.0)
    degrees = np.degrees(np.arcsin(np.clip(leans.max(axis=0), -1, 1)))
    reached_m2 = face.areas * shares.max(axis=0)
    under = [float(reached_m2[degrees < limit].sum() / face.areas.sum()) for limit in (1.0, 3.0)]
    return Draft(*under)
