"""How long slip must stand for a wall, from the studio's own test casts.

A wall grows with the square root of time: ``L^2 = k t``. The rate k belongs to
one slip in one mold. Published rates differ more than fivefold, so no single
time is given before a first test cast.

A full mold is heavy and turns badly: two people, or a tilting frame, and straps
that hold.

What this page leaves out: the mold's own thickness behind an edge, which
starves sharp corners, and slip that gels in the mold.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.materials.ranges import Floats, require, require_more_than

PUBLISHED_RATE_LOW = 0.9
PUBLISHED_RATE_HIGH = 16 / 3
"""Slowest and fastest published casting rates. [mm2/min]

High: 4 mm in 3 min (a UK clay supplier's page on a terracotta slip, small dry
mold). Low: earthenware tableware, 3 mm in 10 min (practice, from memory).
"""

BELIEVABLE_RATES = (0.5, 6.0)
"""Casting rates outside these limits are asked about. [mm2/min]"""

SLOWEST_SHARE_OF_DRY_RATE = 0.75
"""Rate of the third cast in a row, as a share of the first. [-]

4 mm in 3, 3.5 and 4 minutes on successive casts (a UK clay supplier's page).
"""

WALL_READING_MM = 0.25
"""How well a fresh wall is measured. Common practice, no source. [mm]"""


@dataclass(frozen=True, slots=True)
class Minutes:
    """A casting time with its range.

    Parameters
    ----------
    low : float or array
        Shortest time to expect. [min]
    best : float, array or None
        The time to try, None while there is no test cast. [min]
    high : float or array
        Longest time to expect. [min]
    basis : str
        What the range rests on.
    """

    low: Floats
    best: Floats | None
    high: Floats
    basis: str


def casting_rate(wall_mm: Floats, minutes: Floats) -> Floats:
    """Return the rate of one test cast, ``k = L^2 / t``.

    Parameters
    ----------
    wall_mm : float or array
        Thickness of the wall, measured where it is flat, more than 0. [mm]
    minutes : float or array
        From full to the start of draining, more than 0. [min]

    Returns
    -------
    float or array
        Casting rate of this slip in this mold. [mm2/min]

    Raises
    ------
    OutOfRange
        If either is not more than zero.

    Notes
    -----
    Published rates lie between 0.9 and 5.3 mm2/min; see `BELIEVABLE_RATES`.
    That the wall grows with the square root of time is stated in [1]_.

    Examples
    --------
    >>> f"{casting_rate(4.0, 3.0):.2f} mm2/min"
    '5.33 mm2/min'

    References
    ----------
    .. [1] Ceramics 8(1), 6 (2025), introduction.
    """
    require_more_than("wall", wall_mm, "mm")
    require_more_than("casting time", minutes, "min")
    return wall_mm**2 / minutes


def casting_minutes(wall_mm: Floats, rate_mm2_per_min: Floats) -> Floats:
    """Return the time in which a flat wall grows, ``t = L^2 / k``.

    Twice the wall takes four times as long.

    Parameters
    ----------
    wall_mm : float or array
        Thickness wanted, more than 0. [mm]
    rate_mm2_per_min : float or array
        Casting rate, more than 0. [mm2/min]

    Returns
    -------
    float or array
        From full to the start of draining. [min]

    Raises
    ------
    OutOfRange
        If either is not more than zero.

    Examples
    --------
    >>> casting_minutes(6.0, 3.0)
    12.0
    """
    require_more_than("wall", wall_mm, "mm")
    require_more_than("casting rate", rate_mm2_per_min, "mm2/min")
    return wall_mm**2 / rate_mm2_per_min


def minutes_without_a_test(wall_mm: Floats) -> Minutes:
    """Return the range of times that published casting rates give, and no single one.

    Parameters
    ----------
    wall_mm : float or array
        Thickness wanted, more than 0. [mm]

    Returns
    -------
    Minutes
        The range [min]; ``best`` is None, because only a test cast can give it.

    Raises
    ------
    OutOfRange
        If the wall is not more than zero.

    Examples
    --------
    >>> guess = minutes_without_a_test(5.0)
    >>> f"{guess.low:.0f} to {guess.high:.0f} minutes, {guess.best}"
    '5 to 28 minutes, None'
    """
    return Minutes(
        low=casting_minutes(wall_mm, PUBLISHED_RATE_HIGH),
        best=None,
        high=casting_minutes(wall_mm, PUBLISHED_RATE_LOW),
        basis="published casting rates; a test cast narrows them",
    )


def _doubt(rate_mm2_per_min: Floats) -> str:
    """Return what to say of a rate that nobody has published."""
    low, high = BELIEVABLE_RATES
    rates = np.asarray(rate_mm2_per_min)
    if ((rates >= low) & (rates <= high)).all():
        return ""
    return "; no such casting rate is published: measure its wall and time once more"


def minutes_from_one_test(wall_mm: Floats, test_wall_mm: Floats, test_minutes: Floats) -> Minutes:
    """Return the time for a wall from one test cast, by the square of the walls.

    ``t = t_test (L / L_test)^2``. The short end takes the test wall to have been
    0.25 mm thicker than measured; the long end takes it thinner, and the mold as
    wet as on its third cast in a row, when published rates are down by a quarter.

    Parameters
    ----------
    wall_mm : float or array
        Thickness wanted, more than 0. [mm]
    test_wall_mm : float or array
        Wall of the test cast, at least 0.5. [mm]
    test_minutes : float or array
        Time the test cast stood, more than 0. [min]

    Returns
    -------
    Minutes
        The time to try and its range. [min]

    Raises
    ------
    OutOfRange
        If a wall or the time is impossible.

    Notes
    -----
    The range holds for the same slip in a mold of the same plaster and body.
    Temperature moves it further: a slip 10 degC warmer casts in four fifths of
    the time.

    Examples
    --------
    >>> plan = minutes_from_one_test(5.0, 4.0, 8.0)
    >>> f"{plan.low:.0f} to {plan.high:.0f} minutes, try {plan.best:.1f}"
    '11 to 19 minutes, try 12.5'
    """
    thin_enough = np.asarray(test_wall_mm) >= 2 * WALL_READING_MM
    require("wall of the test cast", test_wall_mm, "mm", "at least 0.5", thin_enough)
    require_more_than("time of the test cast", test_minutes, "min")
    rate = casting_rate(test_wall_mm, test_minutes)
    fast = casting_rate(test_wall_mm + WALL_READING_MM, test_minutes)
    slow = casting_rate(test_wall_mm - WALL_READING_MM, test_minutes) * SLOWEST_SHARE_OF_DRY_RATE
    return Minutes(
        low=casting_minutes(wall_mm, fast),
        best=casting_minutes(wall_mm, rate),
        high=casting_minutes(wall_mm, slow),
        basis=f"one test cast; the mold anywhere from dry to its third cast in a row{_doubt(rate)}",
    )
