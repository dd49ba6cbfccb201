"""A reading of the slip judged against the studio's own earlier readings.

There is no drain time or thickening that is right for every studio; a reading
is unusual if this studio's slip has not read so before. The chart is the usual
one for single readings: the mean, and 2.66 mean steps to either side.

What this page leaves out: why. A reading out of the usual is a reason to weigh
the slip, take its temperature and time it again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from pourwright.materials.ranges import Floats, require_more_than

FEWEST_READINGS = 8
"""Readings before any is judged. Common practice, no source. [-]"""

_LIMIT = 3 / 1.128
"""Three standard deviations, in mean steps between neighbors of a normal series."""

_RUN = 8
"""Readings in a row on one side of the mean that count as a drift."""


@dataclass(frozen=True, slots=True)
class Judged:
    """A reading beside the studio's own.

    Parameters
    ----------
    verdict : {"usual", "high", "low", "drifting", "too few"}
        What the studio's own readings make of it.
    mean, low, high : float or None
        Mean and limits of the earlier readings, in their unit. [any]
    earlier : int
        How many earlier readings there are. [-]
    """

    verdict: Literal["usual", "high", "low", "drifting", "too few"]
    mean: float | None
    low: float | None
    high: float | None
    earlier: int


def judge_reading(reading: float, earlier: Sequence[float]) -> Judged:
    """Judge a reading against the studio's earlier ones, oldest first.

    Limits are ``mean +- 3 MR / 1.128``, MR the mean step from one reading to the
    next [1]_. Eight readings in a row on one side of the mean are a drift, though
    each is within the limits.

    Parameters
    ----------
    reading : float
        The new reading: a drain time, a liter weight, a thickening. [any]
    earlier : sequence of float
        The studio's earlier readings of the same thing, oldest first, same cup,
        same rest. [any]

    Returns
    -------
    Judged
        The verdict with mean and limits, in the readings' unit. [any]

    Raises
    ------
    OutOfRange
        If a reading is not more than zero.

    Examples
    --------
    >>> judge_reading(58.0, [44, 46, 45, 47, 44, 45, 46, 45]).verdict
    'high'
    >>> judge_reading(46.0, [44, 45]).verdict
    'too few'

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2, individuals
       control charts.
    """
    kept = np.asarray(earlier, dtype=np.float64)
    require_more_than("reading", reading, "")
    require_more_than("earlier reading", kept, "")
    if kept.size < FEWEST_READINGS:
        return Judged("too few", None, None, None, int(kept.size))
    mean = float(np.mean(kept))
    reach = _LIMIT * float(np.mean(np.abs(np.diff(kept))))
    low, high = mean - reach, mean + reach
    return Judged(_verdict(reading, kept, mean, reach), mean, low, high, int(kept.size))


def _verdict(
    reading: float, kept: np.ndarray, mean: float, reach: float
) -> Literal["usual", "high", "low", "drifting"]:
    """Say where a reading stands to the limits and to its neighbors."""
    if reading > mean + reach:
        return "high"
    if reading < mean - reach:
        return "low"
    last = np.append(kept[1 - _RUN :], reading) - mean
    one_side = bool((last > 0).all() or (last < 0).all())
    return "drifting" if one_side else "usual"


def thickening(fresh_seconds: Floats, rested_seconds: Floats) -> Floats:
    """Return how much slower a slip drains after a rest: rested over fresh.

    Parameters
    ----------
    fresh_seconds : float or array
        Drain time right after stirring, more than 0. [s]
    rested_seconds : float or array
        Drain time of the same slip after a rest in the cup, always the same
        rest, more than 0. [s]

    Returns
    -------
    float or array
        Ratio of the two; 1 if it does not thicken. [-]

    Raises
    ------
    OutOfRange
        If a time is not more than zero.

    Notes
    -----
    There is no right figure: bands in practice are in degrees of a torsion
    viscometer and from memory. Judge it by `judge_reading`. Below 0.95 the slip
    would thin while resting, which points to a mistake in the timing.

    Examples
    --------
    >>> f"{thickening(42.0, 58.0):.2f}"
    '1.38'
    """
    require_more_than("drain time right after stirring", fresh_seconds, "s")
    require_more_than("drain time after the rest", rested_seconds, "s")
    return rested_seconds / fresh_seconds
