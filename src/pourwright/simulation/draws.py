"""What chance decides, as tables made before a run: which pieces survive, how long molds last.

A run never asks for a random number. It looks up "how many of the first n casts
came out", "how many casts mold 7 will give". So the very same tables can be given
to another engine, and a plan of expected values is a run on tables without chance.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pourwright.simulation.problem import (
    NOTHING_YET,
    Already,
    Counts,
    Edition,
    Floats,
    Ints,
)

_ROUNDING = 1e-9
"""Keeps 0.07 * 100 from counting as 6."""


@dataclass(frozen=True, slots=True)
class Draws:
    """One edition's tables; each has one row, or one row a run.

    Parameters
    ----------
    cast_good, dry_good : ndarray of int, (rows, pieces + 1)
        How many of the first n casts, and of the first n dried, are good.
    fired_good, fired_spoiled : ndarray of int, (firings, rows, pieces + 1)
        How many of the first n pieces through each firing are good in sound
        loads, and in spoiled ones.
    spoiled : ndarray of bool, (firings, rows, loads)
        Which loads of each firing are spoiled.
    life, mold_dry_days : ndarray of int, (rows, molds)
        Casts each mold gives, and days until it may be cast.
    ware_dry_days, pour_from : ndarray of int, (rows,)
        Days until ware may be fired; first day of pouring. [days]
    cast_min, fettle_min, finish_min : ndarray of int, (rows,)
        Hands' minutes a piece. [min]
    prep_min, handling_min : ndarray of int, (rows, firings)
        Hands' minutes to prepare a piece for each firing, and for one load of it. [min]
    setup_min, set_min : ndarray of int, (rows,)
        Hands' minutes of a pouring session, and of each mold in it. [min]
    casts_left : ndarray of float, (casts + 1,)
        Casts a mold is expected to give yet, by the casts it has given: what
        the maker believes, not what the mold holds in store.
    """

    cast_good: Counts
    dry_good: Counts
    fired_good: Counts
    fired_spoiled: Counts
    spoiled: np.ndarray
    life: Ints
    mold_dry_days: Ints
    ware_dry_days: Ints
    pour_from: Ints
    cast_min: Ints
    fettle_min: Ints
    finish_min: Ints
    prep_min: Ints
    handling_min: Ints
    setup_min: Ints
    set_min: Ints
    casts_left: Floats

    def __post_init__(self) -> None:
        """Hold that tables read side by side are of one shape: a compiled loop reads past an end unseen."""
        pairs = (
            (self.cast_good, self.dry_good),
            (self.fired_good, self.fired_spoiled),
            (self.life, self.mold_dry_days),
        )
        for one, other in pairs:
            if one.shape != other.shape:
                raise ValueError(f"tables of chance of shapes {one.shape} and {other.shape}")

    @property
    def pieces(self) -> int:
        """How many casts the tables reach."""
        return int(self.cast_good.shape[1] - 1)


def expected_draws(edition: Edition, pieces: int, molds: int) -> Draws:
    """Return the tables of a run in which everything goes as expected.

    Of the first n casts ``floor(n * passed)`` come through all stages: the part of a
    piece that is lost at one stage is carried to the next, and nothing is hoped for
    that has not come.
    """
    shares = [edition.cast_passed, edition.dry_passed, *(f.passed for f in edition.firings)]
    cast, dry, *firings = _carried(shares, pieces)
    fired = np.stack(firings)
    ages = np.arange(edition.life + 1)
    mold_dry_days = np.full((1, molds), edition.mold_dry_days, dtype=np.int64)
    for at, mold in enumerate(edition.already.molds):
        if mold.ready_days is not None:
            mold_dry_days[0, at] = math.ceil(sum(mold.ready_days) / 2) - mold.poured_day
    return Draws(
        cast_good=cast,
        dry_good=dry,
        fired_good=fired,
        fired_spoiled=fired,
        spoiled=np.zeros((len(edition.firings), 1, 1), dtype=bool),
        life=_expected_lives(edition, molds),
        mold_dry_days=mold_dry_days,
        ware_dry_days=np.array([edition.ware_dry_days]),
        pour_from=np.array([edition.pour_from]),
        cast_min=np.array([edition.cast_min]),
        fettle_min=np.array([edition.fettle_min]),
        finish_min=np.array([edition.finish_min]),
        prep_min=np.array([[firing.prep_min for firing in edition.firings]]),
        handling_min=np.array([[firing.handling_min for firing in edition.firings]]),
        setup_min=np.array([edition.setup_min]),
        set_min=np.array([edition.set_min]),
        casts_left=(edition.life - ages).astype(np.float64),
    )


def _carried(shares: Sequence[float], pieces: int) -> list[Counts]:
    """Return how many of the first n pieces that come to each stage are good there.

    A cast is lost as soon as all stages together owe a whole piece, at the stage
    that owes most.
    """
    through = math.prod(shares)
    lost_at = [math.prod(shares[:k]) * (1 - share) for k, share in enumerate(shares)]
    owed, tables, casts, whole = [0.0] * len(shares), [[0] for _ in shares], 0, 0
    while len(tables[-1]) <= pieces:
        casts += 1
        owed = [before + more for before, more in zip(owed, lost_at, strict=True)]
        good = math.floor(casts * through + _ROUNDING)
        lost = owed.index(max(owed)) if good == whole else len(shares)
        whole = good
        for k, table in enumerate(tables[: lost + 1]):
            table.append(table[-1] + (k != lost))
        if lost < len(shares):
            owed[lost] -= 1
    return [np.array([table[: pieces + 1]], dtype=np.int32) for table in tables]


def _expected_lives(edition: Edition, molds: int) -> Ints:
    """Return each mold's casts; an old mold that has outlived the expectation gives one more."""
    lives = np.full((1, molds), edition.life, dtype=np.int64)
    for at, mold in enumerate(edition.already.molds):
        lives[0, at] = max(edition.life, mold.casts + 1)
    return lives


def casts_to_start(draws: Draws, need: int, already: Already = NOTHING_YET) -> int:
    """Return the fewest casts, conditioning not counted, that end as ``need`` pieces.

    Follows the first run's tables through every stage, sound loads throughout,
    with what is there already before what is cast. Returns -1 if the tables end
    before.
    """
    finished = draws.dry_good[0, _within(draws.dry_good, draws.cast_good[0] + already.green)]
    for k, table in enumerate(draws.fired_good):
        finished = table[0, _within(table, finished + already.came_to(k))]
    finished = finished + already.to_finish + already.finished
    reached = np.nonzero(finished >= need)[0]
    return int(reached[0]) if len(reached) else -1


def _within(table: Counts, index: Counts) -> Counts:
    return np.asarray(np.minimum(index, table.shape[1] - 1))
