"""How many pieces have to be fired, and how many at least."""

from __future__ import annotations

import numpy as np

from pourwright.simulation.draws import Draws
from pourwright.simulation.problem import NOTHING_YET, Already, Edition


def pieces_to_fire(draws: Draws, casts: int, already: Already = NOTHING_YET) -> tuple[int, ...]:
    """Return how many pieces still go into each firing when ``casts`` are started.

    What is in the kiln on day 0 is not counted.
    """
    last = draws.pieces
    count = int(draws.dry_good[0, min(draws.cast_good[0, casts] + already.green, last)])
    counts = []
    for k, table in enumerate(draws.fired_good):
        count = min(count + already.came_to(k), last)
        counts.append(count - already.inside(k))
        count = int(table[0, count])
    return tuple(counts)


def least_to_fire(draws: Draws, edition: Edition) -> tuple[int, ...]:
    """Return the fewest pieces that must still go into each firing for the edition to be done.

    Walks back from what lacks at the end, proofs left out; what is there already may be more.
    """
    already, fewest = edition.already, []
    lacking = edition.need - edition.proofs - already.finished - already.to_finish
    for k in reversed(range(len(edition.firings))):
        through = int(np.searchsorted(draws.fired_good[k][0], max(lacking, 0)))
        fewest.append(max(through - already.inside(k), 0))
        lacking = through - already.came_to(k)
    return tuple(reversed(fewest))
