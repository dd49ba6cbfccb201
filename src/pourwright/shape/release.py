"""How a mold can be parted so that every part comes off: studio ways first, the fewest parts first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from pourwright.errors import BadInput
from pourwright.shape.distance import Watch, unwatched
from pourwright.shape.edges import bodies_of
from pourwright.shape.mesh import BoolArray, FloatArray, IntArray, Mesh, as_place
from pourwright.shape.opening import SAME_LEVEL_MM, is_in_recess, opening_of, within
from pourwright.shape.reach import reached
from pourwright.shape.records import Draft, Parting, Pulls, Release, Undercut
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

FINE_MM = 1.5
"""How long the sides of triangles are, at most, in which the way that was chosen is counted. [mm]"""

_MOST_TRIANGLES = 60_000
_PLANES, _LIKELY_HEADINGS = 8, 3
_FOOT_MM = 1.0
_DOWN, _BASE, _TOP = HEADINGS, HEADINGS + 1, HEADINGS + 2
"""The numbers of the pulls after the level ones: of the whole mold down, of a base, of a top up."""


def release_of(
    mesh: Mesh,
    parting: Parting | None = None,
    heading_deg: float | None = None,
    pour_mm: float | None = None,
    watch: Watch = unwatched,
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

    Raises
    ------
    BadInput
        If the heading is no number.
    """
    if heading_deg is not None and not -360 <= heading_deg <= 360:
        raise BadInput.one("--heading", f"{heading_deg:g}", "give degrees from -360 to 360")
    coarse = _Face(mesh, pour_mm, heading_deg, range(_TOP + 1), watch)
    tried = {
        one: coarse.best(one)
        for one, way in WAYS.items()
        if one == parting or not way.top or coarse.is_recessed
    }
    chosen = tried[parting] if parting else _fewest(tuple(tried.values()))
    face = _Face(
        _refined(mesh), pour_mm, chosen.heading_deg or 0.0, coarse.numbers(chosen.parting, 0)
    )
    chosen = tried[chosen.parting] = face.best(chosen.parting)
    numbers = face.numbers(chosen.parting, 0)
    best = face.shares[numbers].max(axis=0)
    return Release(
        face_m2=float(face.areas.sum()),
        tried=tuple(tried.values()),
        chosen=chosen,
        undercuts=_undercuts(face.mesh, face.areas * (1 - best), (face.areas > 0) & (best < 1)),
        draft=_draft(face, numbers),
    )


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
        self.pulls = _pulls(self.turned_deg)
        self.shares = np.zeros((len(self.pulls), len(mesh.faces)))
        self.shares[wanted] = reached(mesh, self.pulls[wanted], watch)
        heights = mesh.vertices_mm[:, 2]
        # a base takes nothing beside the foot, and a top nothing beside the rim
        foot = mesh.vertices_mm[heights < mesh.low_mm[2] + _FOOT_MM]
        self.shares[_BASE] *= within(foot, self.centers_mm)
        rim = mesh.vertices_mm[heights > mesh.high_mm[2] - _FOOT_MM]
        is_above = mesh.centers_mm[:, 2] > level - SAME_LEVEL_MM
        self.shares[_TOP] *= within(rim, self.centers_mm) & is_above

    def numbers(self, parting: Parting, first: int) -> list[int]:
        """Return the numbers of a way's pulls, its sides all round from the first."""
        way = WAYS[parting]
        level = [(first + one * HEADINGS // way.sides) % HEADINGS for one in range(way.sides)]
        ends = [*([_BASE if way.sides else _DOWN] * way.base), *([_TOP] * way.top)]
        return [*level, *ends]

    def missed_m2(self, shares: FloatArray) -> float:
        """Return how much of the face some pulls leave. [m2]"""
        return float((self.areas * (1 - shares.max(axis=0))).sum())

    def best(self, parting: Parting) -> Pulls:
        """Return a way to part at the heading that leaves the least."""
        way = WAYS[parting]
        # the same set comes again after a turn by one side
        firsts = range(1 if self.is_told or not way.sides else HEADINGS // way.sides)
        sets = [self.numbers(parting, first) for first in firsts]
        missed = [self.missed_m2(self.shares[one]) for one in sets]
        seams = self._seams(sets, missed, way.sides)
        # what differs by less than a hundredth of a square millimeter is the same: the first then
        first = min(seams, key=lambda one: (seams[one].merit, round(missed[one] * 1e8), one))
        heading = (self.turned_deg + first * 360 / HEADINGS) % 360 if way.sides else None
        return Pulls(
            parting,
            way.parts,
            heading,
            seams[first].plane_mm,
            seams[first].axis_mm,
            seams[first].trimmed_l,
            missed[first],
            1 - missed[first] / float(self.areas.sum()),
        )

    def _seams(self, sets: list[list[int]], missed: list[float], sides: int) -> dict[int, _Seams]:
        """Return the best seams of each heading that may be the best, by its number."""
        if not sides:
            # what is shut in reaches up to the top of the block, where the mold comes off downward
            missed_m2 = self._missed(_DOWN, []) * self.areas
            depths = self.mesh.high_mm[2] - self.centers_mm[:, 2]
            return {0: _Seams(max(float(missed_m2 * self.normals[:, 2] @ depths), 0.0))}
        if sides > 2:
            order = sorted(range(len(sets)), key=lambda one: (round(missed[one] * 1e6), one))
            return {one: self._around_axis(sets[one], sides) for one in order}
        gaps = [self._gaps(numbers) for numbers in sets]
        likely = [_likely_planes(*one) for one in gaps]
        order = sorted(range(len(sets)), key=lambda one: (round(likely[one][0] * 1e6), one))
        return {
            one: min(
                (_Seams(_trimmed_l(*gaps[one], at), plane_mm=at) for at in likely[one][1]),
                key=lambda seams: seams.merit,
            )
            for one in order[:_LIKELY_HEADINGS]
        }

    def _missed(self, number: int, ends: list[int]) -> FloatArray:
        """Return how much of each triangle a side leaves; what a base or a top reaches is its own."""
        missed: FloatArray = 1 - self.shares[[number, *ends]].max(axis=0)
        return missed

    def _gaps(self, numbers: list[int]) -> tuple[FloatArray, FloatArray]:
        """Return where a gap between piece and plane begins or ends, and each triangle's places.

        A gap ends where the piece leans back over it, and begins where it leans forward. [m2, mm]
        """
        forward, backward, *ends = numbers
        missed = np.stack([self._missed(one, ends) for one in (forward, backward)])
        leans = self.normals @ self.pulls[forward]
        return missed * self.areas * np.stack([-leans, leans]), self.corners_mm @ self.pulls[
            forward
        ]

    def _around_axis(self, numbers: list[int], sides: int) -> _Seams:
        """Return planes between three or four sides that meet in an upright line, and what they leave.

        The line stands in the middle of the piece or of its opening, whichever leaves less.
        """
        level, ends = numbers[:sides], numbers[sides:]
        left = np.zeros(len(self.middles_mm))
        for one in level:
            pull = self.pulls[one]
            gap = self._missed(one, ends) * self.areas * -(self.normals @ pull)
            held = np.flatnonzero(gap)
            for number, middle in enumerate(self.middles_mm):
                away = self.centers_mm[held] - middle
                left[number] += gap[held] @ depth_mm(away, pull, sides)
        best = int(left.round(6).argmin())
        x, y, _ = self.middles_mm[best]
        return _Seams(max(float(left[best]), 0.0), axis_mm=(float(x), float(y)))


def depth_mm(points_mm: FloatArray, pull: FloatArray, sides: int) -> FloatArray:
    """Return how far points lie inside a side, measured back along its pull; 0 outside. [mm]

    Parameters
    ----------
    points_mm : array of float, (..., 3)
        From the line in which the planes between the sides meet. [mm]
    pull : array of float, (3,)
        Its pull, level and of length 1.
    sides : int
        How many there are, all equally wide.
    """
    along = points_mm @ pull
    across = points_mm @ np.array([-pull[1], pull[0], 0.0])
    depth: FloatArray = np.maximum(along - np.abs(across) / np.tan(np.pi / sides), 0.0)
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


def _pulls(turned_deg: float) -> FloatArray:
    """Return the pulls that are tried: level ones all round, two straight down, one up."""
    angles = np.radians(turned_deg) + np.arange(HEADINGS) * 2 * np.pi / HEADINGS
    level = np.column_stack([np.cos(angles), np.sin(angles), np.zeros(HEADINGS)])
    return np.vstack([level.round(15), [0.0, 0.0, -1.0], [0.0, 0.0, -1.0], [0.0, 0.0, 1.0]])


def _likely_planes(gaps: FloatArray, along: FloatArray) -> tuple[float, list[float]]:
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
    steps = np.unique(np.append(along.round(2), middle))
    at = np.searchsorted(middles[order], steps)
    left = (ahead_high[-1] - ahead_high[at]) - steps * (ahead[-1] - ahead[at])
    left += steps * behind[at] - behind_high[at]
    # of planes that do equally well, the one nearest the middle
    best = np.lexsort((np.abs(steps - middle), np.round(left * 1e6)))[:_PLANES]
    return float(left[best[0]]), [float(one) + 0.0 for one in dict.fromkeys([middle, *steps[best]])]


def _trimmed_l(gaps: FloatArray, along: FloatArray, plane_mm: float) -> float:
    """Return the gaps between piece and plane on both sides: plaster that cannot come off. [l]"""
    ahead, behind = _mean_above(along - plane_mm), _mean_above(plane_mm - along)
    return max(float(gaps[0] @ ahead + gaps[1] @ behind), 0.0)


def _mean_above(heights_mm: FloatArray) -> FloatArray:
    """Return each triangle's mean of its height where it is above 0, from its corners'. [mm]"""
    low, middle, high = np.sort(heights_mm, axis=1).T
    whole = heights_mm.mean(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        one_above = high**3 / (3 * (high - low) * (high - middle))
        one_below = whole - low**3 / (3 * (low - middle) * (low - high))
    between = np.where(middle > 0, one_below, one_above)
    return np.where(low >= 0, whole, np.where(high <= 0, 0.0, between))


def _fewest(tried: tuple[Pulls, ...]) -> Pulls:
    """Return the way with the fewest parts that reaches all but a thousandth, or the most."""
    able = [one for one in tried if one.reached >= 1 - ENOUGH and one.trimmed_l <= MOST_TRIMMED_L]
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
