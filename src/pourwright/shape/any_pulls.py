"""How much of a piece some parts could reach, if each were pulled off in any direction at all.

It says what no way to part can do better with so many parts. Whether plaster can be cut so that
parts come off along these pulls, in some order, is not looked into.
"""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from pourwright.shape.distance import Watch, unwatched
from pourwright.shape.mesh import BoolArray, FloatArray, IntArray, Mesh, as_arrow
from pourwright.shape.reach import LINES, free_lines
from pourwright.shape.records import AnyPulls

Float32Array: TypeAlias = NDArray[np.float32]

DIRECTIONS = 600
"""Directions that are tried, all round, about 8 degrees apart."""

MOST_PARTS = 6
"""For more parts nothing is told."""

_LINES, _STARTS, _TURNS = 5000, 12, 6
_MOST_TRIANGLES = 20_000
_TILTS_DEG = (4.0, 2.0, 1.0)


def any_pulls(
    mesh: Mesh, is_open: BoolArray, enough: float, watch: Watch = unwatched
) -> tuple[AnyPulls, ...]:
    """Return how much 1, 2, 3 and more pulls in any direction reach at most.

    Parameters
    ----------
    mesh : Mesh
        The piece: one sound body.
    is_open : array of bool, (m,)
        The triangles that slip is poured through, which no plaster touches.
    enough : float
        More pulls are told until so little of the face is left. [-]
    watch : callable
        Told how much is done.
    """
    search = _Search(mesh, is_open, lambda done: watch(done / 2))
    found: list[AnyPulls] = []
    for count in range(1, MOST_PARTS + 1):
        watch(0.5 + count / MOST_PARTS / 2)
        pulls, share = search.best(count)
        found.append(AnyPulls(count, share, tuple(as_arrow(one) for one in pulls)))
        if share >= 1 - enough:
            break
    return tuple(found)


class _Search:
    """Which lines from the face each direction leaves free, and what each line stands for."""

    def __init__(self, mesh: Mesh, is_open: BoolArray, watch: Watch) -> None:
        weights = np.where(is_open, 0.0, mesh.areas_m2)
        faces = np.flatnonzero(weights)
        if len(faces) > _MOST_TRIANGLES:
            faces = _drawn(weights, _MOST_TRIANGLES)
            weights = np.where(weights > 0, 1.0, 0.0)
        self.mesh, self.faces = mesh, faces
        self.weights = np.repeat(weights[faces] / weights[faces].sum() / LINES, LINES)
        self.directions = all_round(DIRECTIONS)
        self.free = free_lines(mesh, self.directions, faces, watch)
        some = _drawn(self.weights, _LINES)
        self.few = self.free[:, some]
        self.found: IntArray = np.zeros((0, 0), dtype=np.int64)
        self.of_few = (self.few.T / len(some)).astype(np.float32)
        self.of_all = (self.free * self.weights).astype(np.float32).T

    def best(self, count: int) -> tuple[FloatArray, float]:
        """Return the best directions that are found, and what they reach. [-]

        It starts from what was found for one less, and from sets drawn by chance; for two, every
        pair is tried.
        """
        rng = np.random.default_rng(count)
        drawn = np.array([rng.permutation(DIRECTIONS)[:count] for _ in range(_STARTS)])
        grown = np.column_stack([self.found, drawn[: len(self.found), 0]])
        sets = self._best_pairs() if count == 2 else np.vstack([grown, drawn])
        sets = _exchanged(sets, self.few, self.of_few)
        reached = np.array([self.weights @ self.free[one].any(axis=0) for one in sets])
        self.found = sets[np.argsort(-reached, kind="stable")[:_STARTS]]
        (best,) = _exchanged(self.found[:1].copy(), self.free, self.of_all)
        return self._tilted(self.directions[best], self.free[best])

    def _best_pairs(self) -> IntArray:
        """Return the pairs that reach most of the lines that are few."""
        both = self.few @ self.of_few
        alone = both.diagonal()
        pairs = alone[:, None] + alone - both
        order = np.argsort(-np.triu(pairs, 1), axis=None, kind="stable")[:_STARTS]
        return np.column_stack(np.unravel_index(order, pairs.shape))

    def _tilted(self, pulls: FloatArray, free: BoolArray) -> tuple[FloatArray, float]:
        """Return directions tilted by a few degrees each as long as they reach more, and how much."""
        for tilt_deg in _TILTS_DEG:
            for number in range(len(pulls)):
                tried = _around(pulls[number], tilt_deg)
                left = self.weights * ~np.delete(free, number, axis=0).any(axis=0)
                needed = left.reshape(-1, LINES).any(axis=1)
                lines = free_lines(self.mesh, tried, self.faces[needed])
                gains = lines @ left[np.repeat(needed, LINES)]
                best = int(gains.argmax())
                if gains[best] > free[number] @ left + 1e-6:
                    pulls[number] = tried[best]
                    (free[number],) = free_lines(self.mesh, tried[[best]], self.faces)
        return pulls, min(float(self.weights @ free.any(axis=0)), 1.0)


def _exchanged(sets: IntArray, free: BoolArray, weighed: Float32Array) -> IntArray:
    """Return sets of directions in which no single one can be exchanged for a better one.

    Lines that a direction leaves free are a row of free, and as much as they stand for a column
    of weighed.
    """
    count, rows, still = sets.shape[1], np.arange(len(sets)), 0
    for turn in range(count * _TURNS):
        at = turn % count
        others = np.delete(sets, at, axis=1)
        gains = (~free[others].any(axis=1)).astype(np.float32) @ weighed
        better = gains.argmax(axis=1)
        is_better = gains[rows, better] > gains[rows, sets[:, at]] + 1e-6
        sets[is_better, at] = better[is_better]
        still = 0 if is_better.any() else still + 1
        if still == count:
            break
    return sets


def all_round(count: int) -> FloatArray:
    """Return directions spread evenly over a ball, along a spiral, (n, 3).

    Parameters
    ----------
    count : int
        How many.
    """
    heights = 1 - (2 * np.arange(count) + 1) / count
    angles = np.arange(count) * np.pi * (3 - np.sqrt(5))
    level = np.sqrt(1 - heights**2)
    return np.column_stack([level * np.cos(angles), level * np.sin(angles), heights])


def _around(pull: FloatArray, tilt_deg: float) -> FloatArray:
    """Return eight directions round one, tilted from it."""
    aside = np.cross(pull, [1.0, 0.0, 0.0] if abs(pull[0]) < 0.9 else [0.0, 1.0, 0.0])
    aside /= np.linalg.norm(aside)
    angles = np.arange(8)[:, None] * np.pi / 4
    ring = np.cos(angles) * aside + np.sin(angles) * np.cross(pull, aside)
    tilt = np.radians(tilt_deg)
    tilted: FloatArray = np.cos(tilt) * pull + np.sin(tilt) * ring
    return tilted


def _drawn(weights: FloatArray, count: int) -> IntArray:
    """Return the numbers of some, as often as their weight says, evenly spread."""
    steps = (np.arange(count) + 0.5) / count * weights.sum()
    drawn: IntArray = np.searchsorted(np.cumsum(weights), steps).clip(max=len(weights) - 1)
    return drawn
