"""How a mold can be parted so that every part comes off: studio ways first, the fewest parts first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.spatial import ConvexHull

from pourwright.errors import BadInput
from pourwright.shape.distance import Watch, unwatched
from pourwright.shape.edges import bodies_of
from pourwright.shape.mesh import BoolArray, FloatArray, IntArray, Mesh, as_place
from pourwright.shape.opening import opening_of
from pourwright.shape.reach import reached
from pourwright.shape.records import Draft, Parting, Pulls, Release, Undercut
from pourwright.shape.solids import mesh_of, solid_of

HEADINGS = 72
"""Level directions that are tried, 5 degrees apart."""

ENOUGH = 1e-3
"""A way to part that leaves no more of the face unreached is taken. [-]"""

MOST_TRIMMED_L = 5e-5
"""A plane between two halves that leaves no more plaster to be cut away will do. [l]"""

LEAST_UNDERCUT_M2 = 5e-6
"""A place of less than five square millimeters is not told. [m2]"""

SIDES: dict[Parting, tuple[int, bool]] = {
    "drop-out": (0, True),
    "halves": (2, False),
    "halves and base": (2, True),
    "three sides": (3, False),
    "three sides and base": (3, True),
    "four sides": (4, False),
    "four sides and base": (4, True),
}
"""Each way to part: how many sides, and whether a part is pulled off downward."""

FINE_MM = 1.5
"""How long the sides of triangles are, at most, in which the way that was chosen is counted. [mm]"""

_MOST_TRIANGLES = 60_000
_PLANES, _LIKELY_HEADINGS = 8, 3
_FOOT_MM = 1.0
_DOWN, _BASE = HEADINGS, HEADINGS + 1
"""The numbers of the pulls straight down, after the level ones: of the whole mold, of a base."""


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
    coarse = _Face(mesh, pour_mm, heading_deg, range(_BASE + 1), watch)
    tried = {one: coarse.best(one) for one in SIDES}
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
        self.areas = np.where(opening_of(mesh, pour_mm)[0], 0.0, mesh.areas_m2)
        self.pulls = _pulls(self.turned_deg)
        self.shares = np.zeros((len(self.pulls), len(mesh.faces)))
        self.shares[wanted] = reached(mesh, self.pulls[wanted], watch)
        self.shares[_BASE] *= _is_under_foot(mesh)

    def numbers(self, parting: Parting, first: int) -> list[int]:
        """Return the numbers of a way's pulls, its sides all round from the first."""
        sides, has_base = SIDES[parting]
        level = [(first + one * HEADINGS // sides) % HEADINGS for one in range(sides)]
        return [*level, *([_BASE if sides else _DOWN] if has_base else [])]

    def missed_m2(self, shares: FloatArray) -> float:
        """Return how much of the face some pulls leave. [m2]"""
        return float((self.areas * (1 - shares.max(axis=0))).sum())

    def best(self, parting: Parting) -> Pulls:
        """Return a way to part at the heading that leaves the least."""
        sides, has_base = SIDES[parting]
        # the same set comes again after a turn by one side
        firsts = range(1 if self.is_told or not sides else HEADINGS // sides)
        sets = [self.numbers(parting, first) for first in firsts]
        missed = [self.missed_m2(self.shares[one]) for one in sets]
        planes = self._planes(sets) if sides == 2 else dict.fromkeys(firsts, _NO_PLANE)
        # what differs by less than a hundredth of a square millimeter is the same: the first then
        first = min(planes, key=lambda one: (*planes[one].merit, round(missed[one] * 1e8), one))
        heading = (self.turned_deg + first * 360 / HEADINGS) % 360 if sides else None
        return Pulls(
            parting,
            sides + has_base,
            heading,
            planes[first].at_mm,
            planes[first].trimmed_l,
            missed[first],
            1 - missed[first] / float(self.areas.sum()),
        )

    def _planes(self, sets: list[list[int]]) -> dict[int, _Plane]:
        """Return the best plane of each heading that may be the best, by its number."""
        gaps = [self._gaps(numbers) for numbers in sets]
        likely = [_likely_planes(*one) for one in gaps]
        order = sorted(range(len(sets)), key=lambda one: (round(likely[one][0] * 1e6), one))
        return {
            one: min(
                (_Plane(at, _trimmed_l(*gaps[one], at)) for at in likely[one][1]),
                key=lambda plane: plane.merit,
            )
            for one in order[:_LIKELY_HEADINGS]
        }

    def _gaps(self, numbers: list[int]) -> tuple[FloatArray, FloatArray]:
        """Return where a gap between piece and plane begins or ends, and each triangle's places.

        A gap ends where the piece leans back over it, and begins where it leans forward. [m2, mm]
        """
        forward, backward, *base = numbers
        missed = 1 - self.shares[[forward, backward]]
        if base:  # what a base reaches is its own
            missed = np.minimum(missed, 1 - self.shares[base[0]])
        leans = self.normals @ self.pulls[forward]
        return missed * self.areas * np.stack([-leans, leans]), self.corners_mm @ self.pulls[
            forward
        ]


@dataclass(frozen=True, slots=True)
class _Plane:
    """A plane across a pull: where, and how much plaster on it cannot come off."""

    at_mm: float | None
    trimmed_l: float | None

    @property
    def merit(self) -> tuple[int]:
        """Less is better; a cubic millimeter is the same."""
        return (round((self.trimmed_l or 0.0) * 1e6),)


_NO_PLANE = _Plane(None, None)


def _pulls(turned_deg: float) -> FloatArray:
    """Return the pulls that are tried: level ones all round, then two straight down."""
    angles = np.radians(turned_deg) + np.arange(HEADINGS) * 2 * np.pi / HEADINGS
    level = np.column_stack([np.cos(angles), np.sin(angles), np.zeros(HEADINGS)])
    return np.vstack([level.round(15), [0.0, 0.0, -1.0], [0.0, 0.0, -1.0]])


def _is_under_foot(mesh: Mesh) -> BoolArray:
    """Return which triangles lie over the outline that the piece stands on: a base takes no others."""
    standing = mesh.vertices_mm[mesh.vertices_mm[:, 2] < mesh.low_mm[2] + _FOOT_MM][:, :2]
    if len(standing) < 3 or np.linalg.matrix_rank(standing - standing[0], tol=0.1) < 2:
        return np.zeros(len(mesh.faces), dtype=bool)
    is_under: BoolArray = np.ones(len(mesh.faces), dtype=bool)
    across, along = mesh.centers_mm[:, 0], mesh.centers_mm[:, 1]
    for x, y, off in ConvexHull(standing).equations:
        is_under &= across * x + along * y + off <= 0
    return is_under


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
    able = [
        one
        for one in tried
        if one.reached >= 1 - ENOUGH and (one.trimmed_l or 0.0) <= MOST_TRIMMED_L
    ]
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
