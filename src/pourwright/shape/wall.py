"""The wall that a mold casts: clay kept, slip that drains and slip that stays, places cast solid.

Clay grows as deep as the wall on every face that touches plaster. The face that slip is poured
through touches none: there the slip goes on upward.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import get_args

import numpy as np
from scipy import ndimage

from pourwright.errors import OutOfRange
from pourwright.shape.distance import Cells, Surface, Watch, cells_deeper_than, unwatched
from pourwright.shape.mesh import BoolArray, FloatArray, IntArray, Mesh, Place, as_place
from pourwright.shape.opening import SAME_LEVEL_MM, opening_of
from pourwright.shape.records import Opening, SolidPlace, Stays, Wall, Why

CELL_MM = 0.5
"""The finest cells that clay is counted in. [mm]"""

COARSE_MM = 1.0
"""Cells in which places that stay full or cast solid are looked for. [mm]"""

DRAINING_GAP_MM = 3.0
"""A passage narrower than this does not drain. Common practice, no source. [mm]"""

LEAST_PLACE_L = 5e-5
"""A place of less is not told. [l]"""

_MOST_FINE = 2e6
_MOST_COARSE = 8e6


@dataclass(frozen=True, slots=True, eq=False)
class _Mold:
    """A body, and the triangles of it that slip is poured through."""

    mesh: Mesh
    is_open: BoolArray
    level_mm: float


def cast_wall(
    mesh: Mesh,
    wall_mm: float,
    pour_mm: float | None = None,
    gap_mm: float = DRAINING_GAP_MM,
    watch: Watch = unwatched,
) -> Wall:
    """Return what a wall of some thickness comes to in a mold of some shape.

    Parameters
    ----------
    mesh : Mesh
        What the mold is made around: one sound body, z up, at the size of the mold.
    wall_mm : float
        The wall, 0.5 or more. [mm]
    pour_mm : float or None
        How high above the lowest point the level face is that slip is poured through; None
        takes the highest. [mm]
    gap_mm : float
        The narrowest passage that drains. [mm]
    watch : callable
        Told how much is done.

    Returns
    -------
    Wall

    Raises
    ------
    StudioError
        If there is no level face at that height, or the wall is impossible.
    """
    most = float(mesh.size_mm.min()) / 2
    if not 0.5 <= wall_mm <= most:
        right = f"between 0.5 and {most:.4g}, half the piece's smallest side"
        raise OutOfRange("wall", wall_mm, "mm", right)
    mold = _Mold(mesh, *opening_of(mesh, pour_mm))
    surface = Surface(mesh, ~mold.is_open)
    merged = _merged(mesh, wall_mm)
    cell_mm = _coarse_mm(mesh) / merged
    core = cells_deeper_than(surface, wall_mm, cell_mm, mold.level_mm, lambda done: watch(done / 2))
    wide_mm = wall_mm + gap_mm / 2
    wide = cells_deeper_than(surface, wide_mm, _coarse_mm(mesh), mold.level_mm)
    watch(0.7)
    grid = _coarse(mold, core.dense(merged) >= 0.5, wide.dense() >= 0.5)
    watch(0.8)
    stays = _staying(grid, gap_mm) if mold.is_open.any() else ()
    watch(0.9)
    solids = _solid(grid, surface, wall_mm)
    watch(1.0)
    core_l = core.volume_l
    liquid_l = core_l if mold.is_open.any() else 0.0
    stay_l = {why: sum(one.volume_l for one in stays if one.why == why) for why in get_args(Why)}
    return Wall(
        wall_mm=wall_mm,
        opening=_told_opening(mold),
        fill_l=mesh.volume_l,
        kept_l=mesh.volume_l - core_l,
        drained_l=max(liquid_l - sum(stay_l.values()), 0.0),
        capacity_l=max(liquid_l - stay_l["sealed"], 0.0),
        stays=stays,
        solids=solids,
        cell_mm=cell_mm,
    )


def _told_opening(mold: _Mold) -> Opening | None:
    if not mold.is_open.any():
        return None
    height = mold.level_mm - float(mold.mesh.low_mm[2])
    return Opening(round(height, 2), float(mold.mesh.areas_m2[mold.is_open].sum()))


# --- places, in coarser cells


@dataclass(frozen=True, slots=True, eq=False)
class _Grid:
    """The coarse cells of a mold, and what of each is inside and liquid."""

    cells: Cells
    inside: FloatArray
    core: BoolArray
    wide: BoolArray
    opening: BoolArray
    top: int

    @property
    def cell_mm(self) -> float:
        return self.cells.cell_mm

    def middles_mm(self, chosen: BoolArray) -> FloatArray:
        """Return the middles of some cells. [mm]"""
        middles: FloatArray = self.cells.low_mm + (np.argwhere(chosen) + 0.5) * self.cell_mm
        return middles


def _coarse_mm(mesh: Mesh) -> float:
    """Return how wide the coarse cells of a mold are. [mm]"""
    return max(COARSE_MM, float(np.cbrt(np.prod(mesh.size_mm) / _MOST_COARSE)))


def _merged(mesh: Mesh, wall_mm: float) -> int:
    """Return how many of the finest cells a coarse one is wide: what comes nearest to the width wanted."""
    wanted_mm = max(min(CELL_MM, wall_mm / 4), float(np.sqrt(mesh.area_m2 * 1e6 / _MOST_FINE)))
    return int(2 ** max(round(np.log2(_coarse_mm(mesh) / wanted_mm)), 0))


def _coarse(mold: _Mold, core: BoolArray, wide: BoolArray) -> _Grid:
    inside = cells_deeper_than(Surface(mold.mesh), 0.0, _coarse_mm(mold.mesh), mold.level_mm)
    top = round((mold.level_mm - inside.low_mm[2]) / inside.cell_mm) - 1
    opening = _below_opening(mold, inside, core, top)
    return _Grid(inside, inside.dense(), core, wide, opening, top)


def _below_opening(mold: _Mold, cells: Cells, core: BoolArray, top: int) -> BoolArray:
    """Return which cells of the slice below the pour face lie below the face itself."""
    below = np.zeros(core.shape[:2], dtype=bool)
    if not mold.is_open.any():
        return below
    where = np.argwhere(core[:, :, top])
    points = np.column_stack(
        [cells.low_mm[:2] + (where + 0.5) * cells.cell_mm, np.full(len(where), mold.level_mm)]
    )
    face = Surface(mold.mesh, mold.is_open)
    near = face.distances_mm(points) < SAME_LEVEL_MM + 0.1
    below[tuple(where[near].T)] = True
    return below


def _staying(grid: _Grid, gap_mm: float) -> tuple[Stays, ...]:
    """Return where slip stays when the mold is turned over, and why."""
    joined, _ = ndimage.label(grid.core)
    is_joined = _named(joined, joined[:, :, grid.top][grid.opening])
    runs = drained(grid.wide, grid.opening, grid.top)
    passes, _ = ndimage.label(grid.wide)
    is_wide = _named(passes, passes[:, :, grid.top][grid.opening])
    near_mm, film_mm = (gap_mm + grid.cell_mm) / 2, gap_mm / 2 + 2 * grid.cell_mm
    pocket = is_joined & (_away(is_joined, is_wide & ~runs, grid.cell_mm) <= near_mm)
    pocket = _away(pocket, runs, grid.cell_mm) > near_mm
    away = _away(is_joined, is_wide, grid.cell_mm)
    blobs, _ = ndimage.label(away > near_mm)
    narrow = _named(blobs, blobs[away > film_mm])  # the others are films in a wide place's corners
    found = [
        *_blobs(grid, grid.core & ~is_joined, "sealed"),
        *_blobs(grid, narrow, "narrow"),
        *_blobs(grid, pocket, "pocket"),
    ]
    return tuple(sorted(found, key=lambda one: -one.volume_l))


def _named(labels: IntArray, some: IntArray) -> BoolArray:
    """Return the cells whose label is one of some; 0 is none."""
    is_named = np.zeros(int(labels.max()) + 1, dtype=bool)
    is_named[some] = True
    is_named[0] = False
    found: BoolArray = is_named[labels]
    return found


def _away(of: BoolArray, seeds: BoolArray, cell_mm: float) -> FloatArray:
    """Return how far some cells are from the nearest seed, infinitely without any; 0 for the others. [mm]"""
    away = np.zeros(of.shape)
    if not seeds.any():
        away[of] = np.inf
    elif of.any():
        nearest = ndimage.distance_transform_edt(
            ~seeds, return_distances=False, return_indices=True
        )
        away[of] = np.linalg.norm(nearest[:, of] - np.argwhere(of).T, axis=0) * cell_mm
    return away


def _blobs(grid: _Grid, chosen: BoolArray, why: Why) -> list[Stays]:
    blobs, count = ndimage.label(chosen)
    found = []
    for number in range(1, count + 1):
        blob = blobs == number
        volume_l = float(blob.sum()) * grid.cell_mm**3 / 1e6
        if volume_l >= LEAST_PLACE_L:
            found.append(Stays(why, volume_l, _middle(grid, blob)))
    return found


def _middle(grid: _Grid, blob: BoolArray) -> Place:
    """Return the middle of a cell of the blob that is nearest to the blob's own middle."""
    middles = grid.middles_mm(blob)
    nearest = np.linalg.norm(middles - middles.mean(axis=0), axis=1).argmin()
    return as_place(middles[nearest])


def drained(liquid: BoolArray, opening: BoolArray, top: int) -> BoolArray:
    """Return which cells run empty when the mold is turned over.

    A cell runs empty if a way leads from it to the opening that never climbs. The slices are
    taken in the order in which they lie when the mold is turned over, lowest first, and joined
    as they come: what is joined with the opening by then runs out.

    Parameters
    ----------
    liquid : array of bool, (nx, ny, nz)
        Where slip is; z up as it is cast.
    opening : array of bool, (nx, ny)
        The cells of the slice below the opening from which slip leaves.
    top : int
        The number of that slice.

    Returns
    -------
    array of bool, (nx, ny, nz)
    """
    runs = np.zeros_like(liquid)
    parents = [0]
    before: IntArray = np.zeros(liquid.shape[:2], dtype=np.int64)
    first_before, count_before = 1, 0
    for number in range(liquid.shape[2] - 1, -1, -1):
        found, count = ndimage.label(liquid[:, :, number])
        parts = found.astype(np.int64)
        first = len(parents)
        parents.extend(range(first, first + count))
        # a table of which parts touch is quicker than sorting all the cells that do
        touching = np.zeros((count_before + 1, count + 1), dtype=bool)
        touching[before, parts] = True
        for one, other in np.argwhere(touching[1:, 1:]).tolist():
            _join(parents, first_before + one, first + other)
        if number == top:
            for part in np.unique(parts[opening & (parts > 0)]).tolist():
                _join(parents, 0, first + part - 1)
        out = _root(parents, 0)
        empties = np.array(
            [False] + [_root(parents, one) == out for one in range(first, first + count)]
        )
        runs[:, :, number] = empties[parts]
        before, first_before, count_before = parts, first, count
    return runs


def _root(parents: list[int], one: int) -> int:
    while parents[one] != one:
        parents[one] = parents[parents[one]]
        one = parents[one]
    return one


def _join(parents: list[int], one: int, other: int) -> None:
    parents[_root(parents, other)] = _root(parents, one)


def _solid(grid: _Grid, surface: Surface, wall_mm: float) -> tuple[SolidPlace, ...]:
    """Return where clay meets clay: inside, and farther from any slip than the wall is thick."""
    clay = (grid.inside >= 0.5) & ~grid.core
    blobs, count = ndimage.label(
        _away(clay, grid.core, grid.cell_mm) > wall_mm + 0.5 * grid.cell_mm
    )
    found = []
    for number in range(1, count + 1):
        blob = blobs == number
        volume_l = float(grid.inside[blob].sum()) * grid.cell_mm**3 / 1e6
        if volume_l < LEAST_PLACE_L:
            continue
        middles = grid.middles_mm(blob)
        depths = surface.distances_mm(middles)
        if depths.max() > wall_mm / 2:  # else it is the edge of a sharp corner
            deepest = min(_deepest_mm(surface, middles[depths.argmax()], grid.cell_mm), wall_mm)
            found.append(SolidPlace(volume_l, _middle(grid, blob), deepest))
    return tuple(sorted(found, key=lambda one: -one.volume_l))


def _deepest_mm(surface: Surface, point_mm: FloatArray, cell_mm: float) -> float:
    """Return how deep the deepest place within a cell of a point is. [mm]"""
    around = np.stack(np.meshgrid(*[[-1.0, 0.0, 1.0]] * 3, indexing="ij"), axis=-1).reshape(-1, 3)
    point, deepest = point_mm, 0.0
    for step in (cell_mm / 2, cell_mm / 4, cell_mm / 8):
        tried = point + around * step
        depths = surface.distances_mm(tried)
        point, deepest = tried[depths.argmax()], float(depths.max())
    return deepest
