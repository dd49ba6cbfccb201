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
LOADS_BELIEVED = 20
"""So many loads does the told likeness of a load's pieces weigh: our own choice, because loads are
spoiled so rarely that a few sound ones say little."""
LEAST_LIKENESS = 0.02
"""Pieces of a load share fire and shelf even where no load is ever spoiled: our own choice."""
_GRID = 801
_GRID_WIDTH = 6.0
_LEAST_SPREAD = 0.02


def share_after(
    mean: float, behind: float, good: float, of: float, pieces_as_one: float = 1.0
) -> tuple[float, float]:
    """Return the share that passes, and the pieces of experience behind it, after some were counted.

    Parameters
    ----------
    mean, behind : float
        The beta distribution believed so far: its mean and its weight in pieces. [-]
    good, of : float
        How many of how many passed. [-]
    pieces_as_one : float
        How many of them tell as much as one piece by itself; see `pieces_as_one`. [-]

    Returns
    -------
    tuple of float
        Mean and weight afterward. [-]

    Notes
    -----
    The beta distribution is conjugate to counts: a Beta(a, b) belief and ``good``
    of ``of`` give Beta(a + good, b + of - good) [1]_. Counts of pieces that share a
    cause are divided by the design effect first, both of them [2]_.

    Examples
    --------
    >>> mean, behind = share_after(0.94, 60, 30, 40)
    >>> round(mean, 3), behind
    (0.864, 100.0)

    References
    ----------
    .. [1] Gelman, Carlin, Stern, Dunson, Vehtari and Rubin, Bayesian Data
       Analysis, 3rd ed. (2013), section 2.4.
    .. [2] Rao and Scott (1992), "A simple method for the analysis of clustered
       binary data", Biometrics 48, 577-585.
    """
    weight = behind + of / pieces_as_one
    return (mean * behind + good / pieces_as_one) / weight, float(weight)


def likeness_of_a_load(passed: float, spoiled_chance: float, spoiled_passed: float) -> float:
    """Return the correlation of two pieces of a load, if whole loads are spoiled now and then.

    Parameters
    ----------
    passed : float
        Share that passes over many loads. [-]
    spoiled_chance, spoiled_passed : float
        Share of loads that are spoiled, and share that passes in those. [-]

    Returns
    -------
    float
        Between `LEAST_LIKENESS` and 1. [-]

    Notes
    -----
    The variance between sound and spoiled loads, over that of a piece.

    Examples
    --------
    Three loads in a hundred keep a fifth:

    >>> round(likeness_of_a_load(0.92, 0.03, 0.2), 2)
    0.22
    """
    piece = passed * (1 - passed)
    between = spoiled_chance * (passed - spoiled_passed) ** 2 / (1 - spoiled_chance)
    return min(max(between / piece, LEAST_LIKENESS), 1.0) if piece > 0 else LEAST_LIKENESS


def pieces_as_one(
    mean: float, behind: float, loads: Sequence[tuple[float, float]], likeness: float
) -> float:
    """Return how many pieces of some loads tell as much as one piece by itself.

    The pieces of a load share a cause, so twelve of them are not twelve witnesses.

    Parameters
    ----------
    mean, behind : float
        What is believed of the share that passes, as in `share_after`. [-]
    loads : sequence of (float, float)
        Good of how many, load by load. [-]
    likeness : float
        Correlation of two pieces of a load as believed so far; it counts as
        `LOADS_BELIEVED` loads. [-]

    Returns
    -------
    float
        The design effect, 1 or more. [-]

    Notes
    -----
    A count over loads of n pieces has ``1 + (n - 1) r`` times the variance of as many
    pieces by themselves, where r is the correlation of two pieces of a load; with
    uneven loads n is their mean weighted by size. The loads' own r is that which gives
    Pearson's sum of squares its expected value. [1]_

    Examples
    --------
    A load of twelve lost whole, beside four sound ones:

    >>> loads = [(11, 12), (12, 12), (11, 12), (2, 12), (12, 12)]
    >>> round(pieces_as_one(0.92, 60, loads, likeness=0.22), 1)
    4.8

    References
    ----------
    .. [1] Fleiss, Levin and Paik, Statistical Methods for Rates and Proportions,
       3rd ed. (2003), chapter 15, on correlated binary data.
    """
    good = np.array([one for one, _ in loads], dtype=np.float64)
    of = np.array([many for _, many in loads], dtype=np.float64)
    if not of.sum():
        return 1.0
    passed, _ = share_after(mean, behind, float(good.sum()), float(of.sum()))
    neighbors = float((of - 1).sum())
    found = likeness
    if neighbors > 0 and 0 < passed < 1:
        squares = float(((good - of * passed) ** 2 / (of * passed * (1 - passed))).sum())
        found = min(max((squares - len(of)) / neighbors, 0.0), 1.0)
    both = (LOADS_BELIEVED * likeness + len(of) * found) / (LOADS_BELIEVED + len(of))
    return 1 + both * (float((of**2).sum() / of.sum()) - 1)


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


def days_after(
    low: float,
    high: float,
    shared: float,
    observed: Sequence[float],
    still: Sequence[float] = (),
) -> tuple[float, float, float]:
    """Return what is believed of molds' drying after some were timed.

    Parameters
    ----------
    low, high : float
        The span that eight of ten molds are believed to keep so far. [days]
    shared : float
        Share of the variance of its logarithm that is unknown of the room and the
        season; the rest is each mold's own. [-]
    observed : sequence of float
        Days that molds took from pouring to dry. [days]
    still : sequence of float
        Days that other molds have dried so far without being dry. [days]

    Returns
    -------
    tuple of float
        Low and high [days] and the shared part [-] afterward: timing molds tells of
        the room, and what differs from mold to mold stays.

    Notes
    -----
    Logarithms of days are believed normal, around a mean that is itself believed
    normal with the shared variance; the molds' own variance is known. What was timed
    is a normal mean with known variance [1]_; a mold that still dries adds the share
    of molds that take longer [2]_, and its posterior is summed on a grid.

    Examples
    --------
    >>> low, high, shared = days_after(7, 14, 0.8, [12, 13, 12, 14])
    >>> round(low, 1), round(high, 1), round(shared, 2)
    (10.6, 14.9, 0.19)

    References
    ----------
    .. [1] Gelman, Carlin, Stern, Dunson, Vehtari and Rubin, Bayesian Data
       Analysis, 3rd ed. (2013), section 2.5.
    .. [2] The same, section 8.7, on censored data.
    """
    timed = np.log([d for d in observed if d > 0])
    so_far = np.log([d for d in still if d > 0])
    if not len(timed) and not len(so_far):
        return low, high, shared
    variance = max((math.log(high / low) / (2 * _TEN_PERCENT)) ** 2, _LEAST_SPREAD**2)
    room, own = shared * variance, (1 - shared) * variance
    precision = 1 / room + len(timed) / own
    middle = (math.log(low * high) / 2 / room + float(timed.sum()) / own) / precision
    unknown = 1 / precision
    if len(so_far):
        middle, unknown = _normal_cut_off(middle, unknown, so_far, math.sqrt(own))
    reach = _TEN_PERCENT * math.sqrt(unknown + own)
    return math.exp(middle - reach), math.exp(middle + reach), unknown / (unknown + own)


def _normal_cut_off(
    mean: float, variance: float, least: np.ndarray, spread: float
) -> tuple[float, float]:
    """Return mean and variance of a normal mean once values were seen to be above some numbers."""
    from scipy import special

    offset = np.linspace(-_GRID_WIDTH, _GRID_WIDTH, _GRID) * math.sqrt(variance)
    above = special.log_ndtr((mean + offset - least[:, None]) / spread).sum(axis=0)
    weight = above - 0.5 * offset**2 / variance
    share = np.exp(weight - weight.max())
    share /= share.sum()
    moved = float((share * offset).sum())
    return mean + moved, float((share * (offset - moved) ** 2).sum())


def weight_of_count(unknown_before: float, unknown_after: float) -> float:
    """Return the weight of what was counted in a normal mean: the share of the doubt it took away.

    Parameters
    ----------
    unknown_before, unknown_after : float
        Variances of what is believed of the mean. [-]

    Returns
    -------
    float
        Between 0 and 1. [-]

    Examples
    --------
    >>> weight_of_count(0.04, 0.01)
    0.75
    """
    return min(max(1 - unknown_after / unknown_before, 0.0), 1.0)


def unknown_of_days(low: float, high: float, shared: float) -> float:
    """Return the variance of what is believed of the logarithm of molds' drying, as in `days_after`. [-]

    Parameters
    ----------
    low, high : float
        The span that eight of ten molds are believed to keep. [days]
    shared : float
        Share of the variance that is unknown of the room and the season. [-]

    Examples
    --------
    >>> round(unknown_of_days(7, 14, 0.8), 3)
    0.059
    """
    return shared * max((math.log(high / low) / (2 * _TEN_PERCENT)) ** 2, _LEAST_SPREAD**2)


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
