"""What the studio's own record does to what was believed: less room for the default, more for the count.

Each function takes a belief as `Belief` holds it and what was counted, and gives the
belief afterward. With nothing counted it gives back what it was given.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import NormalDist

import numpy as np

_TEN_PERCENT = NormalDist().inv_cdf(0.9)
_ROOM_SHARE = 0.8
"""Share of the spread of mold drying that is the room's and the season's; the rest is each mold's own."""
_GRID = 801
_GRID_WIDTH = 6.0
_LEAST_SPREAD = 0.02


def share_after(mean: float, behind: float, good: int, of: int) -> tuple[float, float]:
    """Return the share that passes, and the pieces of experience behind it, after some were counted.

    Parameters
    ----------
    mean, behind : float
        The beta distribution believed so far: its mean and its weight in pieces. [-]
    good, of : int
        How many of how many passed. [-]

    Returns
    -------
    tuple of float
        Mean and weight afterward. [-]

    Notes
    -----
    The beta distribution is conjugate to counts: a Beta(a, b) belief and ``good``
    of ``of`` give Beta(a + good, b + of - good) [1]_.

    Examples
    --------
    >>> mean, behind = share_after(0.94, 60, 30, 40)
    >>> round(mean, 3), behind
    (0.864, 100.0)

    References
    ----------
    .. [1] Gelman, Carlin, Stern, Dunson, Vehtari and Rubin, Bayesian Data
       Analysis, 3rd ed. (2013), section 2.4.
    """
    weight = behind + of
    return (mean * behind + good) / weight, float(weight)


def life_after(
    life: float,
    spread: float,
    retired_at: Sequence[int],
    holding_at: Sequence[int] = (),
    *,
    shape: float = 4.0,
) -> tuple[float, float]:
    """Return the mean casts of a mold, and the spread of its logarithm, after molds were counted.

    Parameters
    ----------
    life, spread : float
        Mean casts believed so far, and standard deviation of the logarithm of
        that mean. [-]
    retired_at : sequence of int
        Casts that each worn-out mold had given. [-]
    holding_at : sequence of int
        Casts given by each mold that still holds, or was lost without being
        worn: it would have given more. [-]
    shape : float
        Weibull shape of the life of one mold around the mean. [-]

    Returns
    -------
    tuple of float
        Mean casts [-] and spread [-] afterward.

    Notes
    -----
    The logarithm of the mean is believed normal. Each retired mold adds the
    Weibull density at its casts to the likelihood, each other one the share that
    lasts longer; both ends are summed on a grid of the logarithm.

    Examples
    --------
    >>> life, spread = life_after(30.0, 0.45, retired_at=[18, 22, 20, 21])
    >>> round(life, 1), round(spread, 2)
    (19.8, 0.14)
    """
    retired = np.asarray([c for c in retired_at if c > 0], dtype=np.float64)
    holding = np.asarray([c for c in holding_at if c > 0], dtype=np.float64)
    if not len(retired) and not len(holding):
        return life, spread
    offset = np.linspace(-_GRID_WIDTH, _GRID_WIDTH, _GRID) * spread
    log_mean = math.log(life) + offset
    scale = np.exp(log_mean) / math.gamma(1 + 1 / shape)
    weight = -0.5 * (offset / spread) ** 2
    worn = (retired[:, None] / scale) ** shape
    weight = weight + (shape * np.log(retired[:, None] / scale) - worn).sum(axis=0)
    weight = weight - ((holding[:, None] / scale) ** shape).sum(axis=0)
    share = np.exp(weight - weight.max())
    share /= share.sum()
    middle = float((share * log_mean).sum())
    after = float(np.sqrt((share * (log_mean - middle) ** 2).sum()))
    return math.exp(middle), max(after, _LEAST_SPREAD)


def days_after(low: float, high: float, observed: Sequence[float]) -> tuple[float, float]:
    """Return the span that a mold's drying keeps in eight of ten, after some dryings were timed.

    Parameters
    ----------
    low, high : float
        The span believed so far. [days]
    observed : sequence of float
        Days that molds took from pouring to dry. [days]

    Returns
    -------
    tuple of float
        The span afterward. [days]

    Notes
    -----
    Logarithms of days are believed normal: four fifths of the variance is the
    room's, which what was timed tells of, one fifth each mold's own. A normal
    mean with known variance, as in section 2.5 of the book that `share_after`
    names.

    Examples
    --------
    >>> low, high = days_after(7, 14, [12, 13, 12, 14])
    >>> round(low, 1), round(high, 1)
    (10.6, 14.9)
    """
    days = np.asarray([d for d in observed if d > 0], dtype=np.float64)
    if not len(days):
        return low, high
    variance = (math.log(high / low) / (2 * _TEN_PERCENT)) ** 2
    variance = max(variance, _LEAST_SPREAD**2)
    room, own = _ROOM_SHARE * variance, (1 - _ROOM_SHARE) * variance
    precision = 1 / room + len(days) / own
    middle = (math.log(low * high) / 2 / room + float(np.log(days).sum()) / own) / precision
    reach = _TEN_PERCENT * math.sqrt(1 / precision + own)
    return math.exp(middle - reach), math.exp(middle + reach)


def minutes_after(minutes: float, observed: Sequence[float]) -> float:
    """Return the minutes a piece is believed to take after some were timed. [min]

    Parameters
    ----------
    minutes : float
        Believed so far. [min]
    observed : sequence of float
        Minutes a piece that were timed. [min]

    Returns
    -------
    float
        A weighted geometric mean: one timing weighs as much as the belief. [min]

    Examples
    --------
    >>> round(minutes_after(20.0, [30.0, 30.0, 30.0]), 1)
    27.1
    """
    timed = [m for m in observed if m > 0]
    if not timed or minutes <= 0:
        return minutes
    logs = math.log(minutes) + math.fsum(math.log(m) for m in timed)
    return math.exp(logs / (1 + len(timed)))
