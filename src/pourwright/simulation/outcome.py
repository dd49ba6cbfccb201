"""What a forecast gives back: one value a run, and curves and notes on request."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from pourwright.simulation.problem import DayNote, Ints


@dataclass(slots=True)
class LineOutcome:
    """What became of one edition, one value a run.

    ``finish`` is the day of the last piece, or -1 if the days ran out;
    ``casts`` counts casts meant for pieces, ``conditioning`` those thrown away.
    ``finished_by_day``, ``molds_by_day`` (those that can be cast) and
    ``worn_by_day`` (runs, days) are kept on request.
    """

    finish: Ints
    casts: Ints
    conditioning: Ints
    molds: Ints
    sessions: Ints
    last_pour: Ints
    last_cast: Ints
    good: Ints
    loads: Ints
    largest_load: Ints
    out_of_tables: np.ndarray
    finished_by_day: Ints | None = None
    molds_by_day: Ints | None = None
    worn_by_day: Ints | None = None

    def curves(self) -> tuple[Ints, Ints, Ints]:
        """Return finished pieces, live molds and worn molds by day; empty if they were not asked for."""
        none = np.zeros((0, 0), dtype=np.int64)
        kept = (self.finished_by_day, self.molds_by_day, self.worn_by_day)
        finished, live, worn = (none if curve is None else curve for curve in kept)
        return finished, live, worn


@dataclass(slots=True)
class Outcome:
    """What became of every edition, and the busiest day's minutes in each run."""

    lines: tuple[LineOutcome, ...]
    busiest_min: Ints
    notes: list[DayNote] = field(default_factory=list)

    @property
    def finish(self) -> Ints:
        """Day on which the last edition ended, -1 if one never did."""
        ends = np.stack([line.finish for line in self.lines])
        return np.where((ends < 0).any(axis=0), -1, ends.max(axis=0))
