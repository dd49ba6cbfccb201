"""Which parts of the molds are poured from which batch of plaster.

A part is poured in one go: none is split over two batches. A batch fills no
more than the bucket or the mixer takes, and no more copies of a part than
there are masters for it. Within that we want the fewest batches; each batch is
mixed to what its parts need, so the fewest batches also leave the least plaster
in buckets. Of the ways with the fewest batches we take one whose largest batch
is small: it is lighter to lift and sooner poured.

Every set of parts that fills a batch so that no further part fits in is a
*pattern*; an integer program picks the fewest patterns that cover all parts.
This is bin packing as a covering problem (P. C. Gilmore and R. E. Gomory, "A
linear programming approach to the cutting-stock problem", Operations Research
9, 1961), small enough here to list the patterns outright.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from pourwright.errors import NotDoable, OutOfRange

PATTERN_LIMIT = 25_000
"""Patterns beyond which the batches are found by first fit instead."""
_NODE_LIMIT = 2_000  # a count, not a clock: the same input must give the same bytes
_MICROLITERS = 1_000_000
_VAST_L = 1e6

Pattern = tuple[int, ...]
"""How many of each part one batch fills."""


@dataclass(frozen=True, slots=True)
class Batching:
    """Batches that pour every part exactly once.

    Parameters
    ----------
    batches : tuple of tuple of int
        For each batch, how many of each part it fills; largest batch first.
    volumes_l : tuple of float
        What each batch fills, nothing added for waste. [l]
    least_bound : int
        No way of batching needs fewer batches than this. [-]
    """

    batches: tuple[Pattern, ...]
    volumes_l: tuple[float, ...]
    least_bound: int

    @property
    def proved(self) -> bool:
        """Whether it is proved that no fewer batches do."""
        return len(self.batches) == self.least_bound


class _Case(NamedTuple):
    """The same question in whole microliters, which add without rounding."""

    sizes: tuple[int, ...]
    counts: tuple[int, ...]
    at_most: tuple[int, ...]
    room: int

    def size(self, pattern: Pattern) -> int:
        return sum(size * copies for size, copies in zip(self.sizes, pattern, strict=True))


def least_batches(
    volumes_l: Sequence[float],
    counts: Sequence[int],
    at_most: Sequence[int],
    capacity_l: float,
    *,
    names: Sequence[str] = (),
    alone: Sequence[bool] = (),
) -> Batching:
    """Return the fewest batches that pour all parts, and how sure that is.

    Volumes are compared in whole microliters, a part's cut down, the
    capacity's rounded: three parts of 0.1 l fit into 0.3 l.

    Parameters
    ----------
    volumes_l : sequence of float, one for each part
        What one copy of the part takes. [l]
    counts : sequence of int, one for each part
        How many copies are poured in all. [-]
    at_most : sequence of int, one for each part
        Copies that one batch may fill: the part's masters. [-]
    capacity_l : float
        What one batch may fill, spare taken off; see
        `pourwright.simulation.pours.usable_l`. [l]
    names : sequence of str, optional
        What the parts are called, for the sentence of an error.
    alone : sequence of bool, optional
        Whether a copy of the part is poured by itself, however large a batch may be.

    Returns
    -------
    Batching
        The batches, a lower bound on their number and whether they meet it.
        The same input gives the same batches.

    Raises
    ------
    OutOfRange
        If a volume, a count or the capacity cannot be one.
    NotDoable
        If a part is larger than a batch.

    Notes
    -----
    Exact as long as no more than `PATTERN_LIMIT` patterns exist and the integer
    program is done within a fixed number of nodes. Beyond that: first fit
    decreasing, with the bound L2 of S. Martello and P. Toth, "Lower bounds and
    reduction procedures for the bin packing problem", Discrete Applied
    Mathematics 28, 1990; ``proved`` then says whether the two meet.

    Examples
    --------
    Three molds of two parts, one master of each, in a bucket for 9 liters:

    >>> batching = least_batches([5.5, 3.0], [3, 3], [1, 1], 9.0)
    >>> batching.batches, batching.proved
    (((1, 1), (1, 1), (1, 1)), True)
    """
    by_itself = alone or [False] * len(counts)
    own = [count if one else 0 for count, one in zip(counts, by_itself, strict=True)]
    shared = [count - one for count, one in zip(counts, own, strict=True)]
    case = _checked(volumes_l, shared, at_most, capacity_l, names)
    batches, bound = _fewest(case)
    singles = [
        tuple(int(at == part) for at in range(len(own)))
        for part, count in enumerate(own)
        for _ in range(count)
    ]
    bound += len(singles)
    leveled = sorted((*_leveled(case, batches), *singles), key=lambda one: (-case.size(one), one))
    poured = tuple(math.fsum(v * k for v, k in zip(volumes_l, one, strict=True)) for one in leveled)
    return Batching(tuple(leveled), poured, bound)


def _checked(
    volumes_l: Sequence[float],
    counts: Sequence[int],
    at_most: Sequence[int],
    capacity_l: float,
    names: Sequence[str],
) -> _Case:
    called = list(names) or [f"part {number}" for number in range(1, len(volumes_l) + 1)]
    if not capacity_l >= 0.001:  # also refuses nan
        raise OutOfRange("the largest batch", capacity_l, "l", "at least 0.001")
    for name, volume_l, count, most in zip(called, volumes_l, counts, at_most, strict=True):
        _check_part(name, volume_l, count, most, capacity_l)
    sizes = tuple(math.floor(volume_l * _MICROLITERS) for volume_l in volumes_l)
    most_used = tuple(min(most, count) for most, count in zip(at_most, counts, strict=True))
    return _Case(sizes, tuple(counts), most_used, _room(capacity_l))


def _room(capacity_l: float) -> int:
    return round(min(capacity_l, _VAST_L) * _MICROLITERS)


def _check_part(name: str, volume_l: float, count: int, most: int, capacity_l: float) -> None:
    if not 0.001 <= volume_l < _VAST_L:
        raise OutOfRange(f"the volume of {name}", volume_l, "l", "at least 0.001")
    if count < 0:
        raise OutOfRange(f"the number of {name} to pour", count, "", "0 or more")
    if most < 1:
        raise OutOfRange(f"the masters of {name}", most, "", "1 or more")
    if count and math.floor(volume_l * _MICROLITERS) > _room(capacity_l):
        raise NotDoable(
            f"{name} takes {volume_l:.2f} l and the largest batch fills {capacity_l:.2f} l; "
            "a part cannot be poured from two batches. "
            "Mix in a larger bucket or mixer, or divide the part in the mold's design."
        )


def _fewest(case: _Case) -> tuple[list[Pattern], int]:
    """Return the batches found and a lower bound on their number."""
    found = _first_fit(case)
    bound = _simple_bound(case)
    if len(found) == bound or (patterns := _full_patterns(case, PATTERN_LIMIT)) is None:
        return found, bound
    covered, dual_bound = _covered(case, patterns)
    if covered is not None and len(covered) < len(found):
        found = covered
    return found, max(bound, min(dual_bound, len(found)))


def _simple_bound(case: _Case) -> int:
    """Return the larger of the bound by masters and Martello and Toth's L2."""
    by_masters = max(
        (-(-n // most) for n, most in zip(case.counts, case.at_most, strict=True) if n), default=0
    )
    steps = {0, *(size for size in case.sizes if 2 * size <= case.room)}
    return max(by_masters, *(_bound_at(case, step) for step in steps))


def _bound_at(case: _Case, step: int) -> int:
    """Return the bound from parts that are at least ``step`` large."""
    alone = big = big_size = small_size = 0
    for size, count in zip(case.sizes, case.counts, strict=True):
        if size > case.room - step:
            alone += count
        elif 2 * size > case.room:
            big, big_size = big + count, big_size + size * count
        elif size >= step:
            small_size += size * count
    left_over = small_size - (big * case.room - big_size)
    return alone + big + max(0, -(-left_over // case.room))


def _first_fit(case: _Case) -> list[Pattern]:
    """Return the batches of first fit decreasing, within the masters there are."""
    filled: list[list[int]] = []
    free: list[int] = []
    for part in sorted(range(len(case.sizes)), key=lambda i: (-case.sizes[i], i)):
        for _ in range(case.counts[part]):
            fits = (
                at
                for at, batch in enumerate(filled)
                if free[at] >= case.sizes[part] and batch[part] < case.at_most[part]
            )
            at = next(fits, len(filled))
            if at == len(filled):
                filled.append([0] * len(case.sizes))
                free.append(case.room)
            filled[at][part] += 1
            free[at] -= case.sizes[part]
    return [tuple(batch) for batch in filled]


def _full_patterns(case: _Case, limit: int) -> list[Pattern] | None:
    """Return every pattern that no further part fits into; None if too many."""
    poured = [i for i, count in enumerate(case.counts) if count]
    order = sorted(poured, key=lambda i: -case.sizes[i])
    rest = [0]  # what the parts after each position could still fill
    for part in reversed(order):
        rest.append(rest[-1] + case.sizes[part] * case.at_most[part])
    rest.reverse()
    patterns: list[Pattern] = []
    chosen = [0] * len(case.sizes)
    # Each entry: position, copies to set there, room left, smallest part left short of its masters.
    todo = [(0, -1, case.room, case.room + 1)]
    steps = 0
    while todo:
        at, copies, room, short = todo.pop()
        steps += 1
        if steps > 40 * limit or len(patterns) > limit:
            return None
        if copies >= 0:
            chosen[order[at]] = copies
            at += 1
        if at == len(order):
            patterns.append(tuple(chosen))
            continue
        size, masters = case.sizes[order[at]], case.at_most[order[at]]
        for take in range(min(masters, room // size) + 1):
            new_room, new_short = room - take * size, short if take == masters else min(short, size)
            if new_room - rest[at + 1] < new_short:  # else a part left out would still fit
                todo.append((at, take, new_room, new_short))
    return patterns


def _covered(case: _Case, patterns: list[Pattern]) -> tuple[list[Pattern] | None, int]:
    """Return the fewest patterns that cover the parts, trimmed, and the bound."""
    # Half a second and forty megabytes, which the pages of a studio that is served do without.
    from scipy.optimize import LinearConstraint, milp
    from scipy.sparse import csc_array

    columns = csc_array(np.array(patterns, dtype=float).T)
    answer = milp(
        c=np.ones(len(patterns)),
        integrality=np.ones(len(patterns)),
        constraints=LinearConstraint(columns, lb=np.array(case.counts, dtype=float)),
        options={"node_limit": _NODE_LIMIT, "mip_rel_gap": 0.0},
    )
    dual = answer.mip_dual_bound
    bound = 0 if dual is None or not math.isfinite(dual) else math.ceil(dual - 1e-6)
    if answer.x is None:
        return None, bound
    times = np.rint(answer.x).astype(int)
    used = [pattern for pattern, n in zip(patterns, times, strict=True) for _ in range(n)]
    return _trimmed(case, used), bound


def _trimmed(case: _Case, used: list[Pattern]) -> list[Pattern]:
    """Return the batches without the copies that are poured more often than needed."""
    batches = [list(batch) for batch in used]
    for part, count in enumerate(case.counts):
        for _ in range(sum(batch[part] for batch in batches) - count):
            fullest = max((b for b in batches if b[part]), key=lambda b: case.size(tuple(b)))
            fullest[part] -= 1
    return [tuple(batch) for batch in batches if any(batch)]


def _leveled(case: _Case, batches: list[Pattern]) -> list[Pattern]:
    """Return as many batches with a smaller largest one, if putting each part into the emptiest gives one.

    The largest parts go first (R. L. Graham, "Bounds on Multiprocessing Timing Anomalies",
    SIAM Journal on Applied Mathematics 17, 1969).
    """
    filled = [[0] * len(case.sizes) for _ in batches]
    used = [0] * len(batches)
    for part in sorted(range(len(case.sizes)), key=lambda i: (-case.sizes[i], i)):
        for _ in range(case.counts[part]):
            mastered = (at for at, one in enumerate(filled) if one[part] < case.at_most[part])
            at = min(mastered, key=lambda at: used[at])
            filled[at][part] += 1
            used[at] += case.sizes[part]
    return (
        [tuple(batch) for batch in filled]
        if max(used, default=0) < max(map(case.size, batches), default=0)
        else batches
    )
