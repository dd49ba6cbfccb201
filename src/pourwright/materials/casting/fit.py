"""The studio's own casting rate from its test casts, and the time for the next.

One test gives a time with a wide range; each further one narrows it. Nothing is
gained below what two casts in one dry mold differ by. "Cut the spare, enter the
wall" is the best test of all: it retimes the molds that still stand.

What this page leaves out: slips that gel. If the walls of test casts at
different times do not follow the square root of time, `fits_root_of_time` says
so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pourwright.errors import NotDoable
from pourwright.materials.casting.minutes import (
    WALL_READING_MM,
    Minutes,
    casting_minutes,
    casting_rate,
)
from pourwright.materials.ranges import FloatArray, Floats, require, require_more_than

CASTS_IN_A_ROW = {
    1: (1.0, 1.0),
    2: (0.833, 0.889),
    3: (0.75, 0.75),
}
"""Rate of a mold's first, second and third cast in a row, over the first. [-]

A UK clay supplier's page: second casts in four molds, a third in one, all to 4 mm.
"""

USUAL_SCATTER = 0.12
"""Standard deviation of the logarithm of the rate between casts of a dry mold. [-]

Believed before a studio's own tests, with the weight of two of them: the printed
rates of first and second casts differ by 11 to 17 %.
"""

_BELIEVED_TESTS = 2

CONFIDENCE = 0.90
"""Share of next casts that the range is to hold. [-]"""


@dataclass(frozen=True, slots=True)
class FittedRate:
    """A casting rate from test casts.

    Parameters
    ----------
    best_mm2_per_min : float
        The rate to reckon with, in a dry mold. [mm2/min]
    low_mm2_per_min, high_mm2_per_min : float
        Where nine of ten next casts will lie. [mm2/min]
    tests : int
        How many test casts it rests on. [-]
    scatter : float
        Standard deviation of the logarithm of the rate. [-]
    """

    best_mm2_per_min: float
    low_mm2_per_min: float
    high_mm2_per_min: float
    tests: int
    scatter: float

    def minutes(self, wall_mm: Floats) -> Minutes:
        """Return the time for a wall with its range.

        Parameters
        ----------
        wall_mm : float or array
            Thickness wanted, more than 0. [mm]

        Returns
        -------
        Minutes
            The time to try and its range. [min]

        Raises
        ------
        OutOfRange
            If the wall is not more than zero.
        """
        return Minutes(
            low=casting_minutes(wall_mm, self.high_mm2_per_min),
            best=casting_minutes(wall_mm, self.best_mm2_per_min),
            high=casting_minutes(wall_mm, self.low_mm2_per_min),
            basis=f"{self.tests} test cast{'s' if self.tests > 1 else ''}",
        )


def share_of_dry_rate(cast_in_a_row: int) -> tuple[float, float]:
    """Return what is left of the dry mold's rate at its n-th cast in a row.

    Parameters
    ----------
    cast_in_a_row : int
        1 for a dry mold's first cast, up to 3. [-]

    Returns
    -------
    tuple of float
        Lowest and highest published share. [-]

    Raises
    ------
    OutOfRange
        Beyond the third, where nothing is published: time a test cast.

    Notes
    -----
    Figures for plaster dipped bare into water (5 % of water halves its
    absorption) must not be used for this.

    Examples
    --------
    >>> share_of_dry_rate(2)
    (0.833, 0.889)
    """
    hint = "Nothing is published beyond the third: time a test cast."
    known = cast_in_a_row in CASTS_IN_A_ROW
    require("cast in a row", cast_in_a_row, "", "1, 2 or 3", known, hint)
    return CASTS_IN_A_ROW[cast_in_a_row]


def fit_rate(
    walls_mm: Sequence[float],
    minutes: Sequence[float],
    casts_in_a_row: Sequence[int] | None = None,
) -> FittedRate:
    """Return the casting rate of a dry mold from test casts, with its range.

    Each test gives ``ln(L^2 / t)``, a later cast in a row being put back to a dry
    mold by the published share. The mean is the rate. The range is that of a
    next cast, ``+- t s sqrt(1 + 1/n)``, where ``s`` pools the tests' own scatter
    with `USUAL_SCATTER` at the weight of two tests.

    Parameters
    ----------
    walls_mm : sequence of float
        Measured walls, at least one, each more than 0.5. [mm]
    minutes : sequence of float
        Casting time of each, more than 0. [min]
    casts_in_a_row : sequence of int, optional
        1 for a dry mold's first cast, 2 or 3 for later ones that day; all first
        if left out. [-]

    Returns
    -------
    FittedRate
        The rate and its range. [mm2/min]

    Raises
    ------
    NotDoable
        If there is no test, or not one wall for each time.
    OutOfRange
        If a wall or a time is impossible.

    Examples
    --------
    >>> rate = fit_rate([4.1, 5.9, 4.9], [6.0, 12.0, 8.5])
    >>> f"{rate.best_mm2_per_min:.2f}, {rate.low_mm2_per_min:.1f} to {rate.high_mm2_per_min:.1f}"
    '2.84, 2.3 to 3.5'
    """
    walls, times = _tests(walls_mm, minutes)
    row = np.ones(walls.size, dtype=int) if casts_in_a_row is None else np.asarray(casts_in_a_row)
    if row.shape != walls.shape:
        raise NotDoable(f"there are {walls.size} walls and {row.size} casts in a row.")
    shares = np.array([np.mean(share_of_dry_rate(int(place))) for place in row])
    logs = np.log(np.asarray(casting_rate(walls, times)) / shares)
    mean, n = float(np.mean(logs)), logs.size
    freedom = _BELIEVED_TESTS + n - 1
    squares = _BELIEVED_TESTS * USUAL_SCATTER**2 + float(np.sum((logs - mean) ** 2))
    scatter = float(np.sqrt(squares / freedom))
    reach = float(_student_t(freedom, (1 + CONFIDENCE) / 2)) * scatter * np.sqrt(1 + 1 / n)
    low, high = np.exp([mean - reach, mean + reach])
    return FittedRate(float(np.exp(mean)), float(low), float(high), n, scatter)


def _tests(walls_mm: Sequence[float], minutes: Sequence[float]) -> tuple[FloatArray, FloatArray]:
    """Check test casts and return them as arrays."""
    walls = np.asarray(walls_mm, dtype=np.float64)
    times = np.asarray(minutes, dtype=np.float64)
    if walls.size == 0 or walls.shape != times.shape or walls.ndim != 1:
        raise NotDoable(f"there are {walls.size} walls and {times.size} times; give one each.")
    require_more_than("wall of a test cast", walls, "mm", 0.5)
    require_more_than("time of a test cast", times, "min")
    return walls, times


def fits_root_of_time(walls_mm: Sequence[float], minutes: Sequence[float]) -> bool | None:
    """Say whether test casts grow with the square root of time.

    The slope of ``ln L`` over ``ln t`` is one half if they do; a slope that tells
    against it at 95 % says that the parabola must not be used. Some slips are
    reported to grow evenly with time [1]_.

    Parameters
    ----------
    walls_mm : sequence of float
        Measured walls, more than 0.5. [mm]
    minutes : sequence of float
        Casting time of each, more than 0. [min]

    Returns
    -------
    bool or None
        None if fewer than four tests, or none twice as long as another, cannot
        tell. [-]

    Raises
    ------
    NotDoable
        If there is not one wall for each time.
    OutOfRange
        If a wall or a time is impossible.

    Examples
    --------
    >>> fits_root_of_time([2.0, 3.0, 4.1, 5.9], [1.5, 3.4, 6.0, 12.2])
    True
    >>> fits_root_of_time([2.0, 4.1, 6.0, 8.1], [2.0, 4.0, 6.0, 8.0])
    False

    References
    ----------
    .. [1] Ceramics 8(1), 6 (2025), introduction.
    """
    walls, times = _tests(walls_mm, minutes)
    if walls.size < 4 or times.max() < 2 * times.min():
        return None
    x, y = np.log(times) - np.mean(np.log(times)), np.log(walls)
    slope = float(np.sum(x * y) / np.sum(x**2))
    left = y - np.mean(y) - slope * x
    freedom = walls.size - 2
    # The walls' own reading is never better than half a tenth of a millimeter.
    least = (0.05 / float(np.mean(walls))) ** 2
    error = np.sqrt(max(float(np.sum(left**2)) / freedom, least) / np.sum(x**2))
    return bool(abs(slope - 0.5) <= _student_t(freedom, 0.975) * error)


def _student_t(freedom: int, share: float) -> float:
    """Return below what the given share of Student's t lies."""
    from scipy.special import stdtrit  # 26 MB, which who asks only for a cast's time does not need

    return float(stdtrit(freedom, share))


def minutes_still_to_stand(
    wall_mm: Floats, spare_wall_mm: Floats, minutes_then: Floats, minutes_now: Floats
) -> Minutes:
    """Return how much longer the molds must stand, from the wall of one cut spare.

    The cut gives this slip's rate today, ``k = L^2 / t``; what is left is
    ``wall^2 / k`` less the time they have stood. Zero or less says drain now.

    Parameters
    ----------
    wall_mm : float or array
        Wall wanted, more than 0. [mm]
    spare_wall_mm : float or array
        Wall found in the cut spare, at least 0.5. [mm]
    minutes_then : float or array
        How long that mold had stood when it was cut, more than 0. [min]
    minutes_now : float or array
        How long the other molds have stood now, zero or more. [min]

    Returns
    -------
    Minutes
        Time still to stand and its range, from reading the wall to a quarter of
        a millimeter; below zero is too long already. [min]

    Raises
    ------
    OutOfRange
        If a value is impossible.

    Examples
    --------
    >>> left = minutes_still_to_stand(5.0, 4.2, 8.0, 9.0)
    >>> f"{left.best:.1f} more minutes, {left.low:.1f} to {left.high:.1f}"
    '2.3 more minutes, 1.1 to 3.8'
    """
    enough = np.asarray(spare_wall_mm) >= 2 * WALL_READING_MM
    require("wall of the cut spare", spare_wall_mm, "mm", "at least 0.5", enough)
    require_more_than("time at the cut", minutes_then, "min")
    require("time stood", minutes_now, "min", "0 or more", np.asarray(minutes_now) >= 0)
    low, best, high = (
        casting_minutes(wall_mm, casting_rate(spare_wall_mm + error, minutes_then)) - minutes_now
        for error in (WALL_READING_MM, 0.0, -WALL_READING_MM)
    )
    return Minutes(low=low, best=best, high=high, basis="the wall of one cut spare, today")
