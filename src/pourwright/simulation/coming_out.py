"""What comes out of the casts that are started, run by run, compiled."""

from __future__ import annotations

import numpy as np

from pourwright.simulation.compiled import compiled
from pourwright.simulation.problem import Counts, Ints


@compiled
def come_out(
    cast_good: Counts,
    dry_good: Counts,
    fired_good: Counts,
    fired_spoiled: Counts,
    spoiled: np.ndarray,
    capacity: Ints,
    green: int,
    came_to: Ints,
    passed: Ints,
    reached: np.ndarray,
) -> None:
    """Fill (runs, casts + 1) with the pieces that come through the last firing, in full loads.

    Parameters
    ----------
    cast_good, dry_good, fired_good, fired_spoiled, spoiled : ndarray
        As in `Draws`.
    capacity, came_to : ndarray of int, (firings,)
        Pieces of a load, and pieces that have come to each firing already. [-]
    green : int
        Good casts that are not dry yet. [-]
    passed : ndarray of int, (pieces + 1,)
        Room to work in.
    reached : ndarray of int, (runs, pieces + 1)
        Filled.
    """
    last, loads = reached.shape[1] - 1, spoiled.shape[2]
    for run in range(reached.shape[0]):
        for casts in range(last + 1):
            reached[run, casts] = dry_good[run, min(cast_good[run, casts] + green, last)]
        for k in range(len(capacity)):
            passed[0], load, places = 0, 0, capacity[k]
            for piece in range(last):
                if places == 0:
                    load, places = min(load + 1, loads - 1), capacity[k]
                places -= 1
                table = fired_spoiled if spoiled[k, run, load] else fired_good
                passed[piece + 1] = passed[piece] + table[k, run, piece + 1] - table[k, run, piece]
            for casts in range(last + 1):
                reached[run, casts] = passed[min(reached[run, casts] + came_to[k], last)]
