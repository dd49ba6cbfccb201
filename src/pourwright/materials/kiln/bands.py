"""Where a firing goes too fast for the ware: steam, quartz, cristobalite.

Ware cracks where water leaves as steam, where quartz changes at 573 degC, and
where cristobalite, if the body has any, changes at about 226 degC. The bands are
held by temperature, never by the clock: a slow stretch that is told in minutes
slides away when the kiln lags.

Kilns burn, and damp ware bursts in steam: follow the kiln's manual and local
codes, vent it outdoors, do not leave it alone.

What this page leaves out: only quartz's limit was found in print. The others are
practice and say so.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.materials.kiln.schedule import WATER_SMOKING_DEGC, Course, Segment
from pourwright.materials.ranges import Floats, require_between

QUARTZ_DEGC = 573.0
"""Quartz changes with 0.45 % of length (Fraser, as cited in an encyclopedia). [degC]"""

CRISTOBALITE_DEGC = (200.0, 270.0)
"""Where cristobalite changes, by about 1 %; tables print 220 and 226. [degC]"""

QUARTZ_COOLING_DEGC_PER_H = 50.0
"""Fastest cooling through quartz's change (Fortuna, Sanitaryware, 2000, as cited). [degC/h]"""


@dataclass(frozen=True, slots=True)
class TooFast:
    """A stretch of a schedule that is faster than a band allows.

    Parameters
    ----------
    band : str
        What happens there.
    rate_degc_per_h : float
        The schedule's fastest rate within the band. [degC/h]
    limit_degc_per_h : float
        The most that is advised. [degC/h]
    basis : str
        Where the limit comes from.
    """

    band: str
    rate_degc_per_h: float
    limit_degc_per_h: float
    basis: str


def water_smoking_limit_degc_per_h(wall_mm: Floats) -> Floats:
    """Return how fast dry greenware may pass the boiling point, by its thickest part.

    55 degC/h to 6 mm, and slower by the square of the thickness beyond, as water
    must come from as deep.

    Parameters
    ----------
    wall_mm : float or array
        Thickest part, 1 to 100. [mm]

    Returns
    -------
    float or array
        Most heating rate between 90 and 120 degC. [degC/h]

    Raises
    ------
    OutOfRange
        If the thickness is outside its range.

    Notes
    -----
    Practice, no source: 55 degC/h is a studio habit, the square is diffusion's.
    Ware that is not dry must be held below the boiling point until it is.

    Examples
    --------
    >>> water_smoking_limit_degc_per_h(12.0)
    13.75
    """
    require_between("thickest part", wall_mm, "mm", 1.0, 100.0)
    limit = 55.0 * np.minimum(1.0, (6.0 / np.asarray(wall_mm)) ** 2)
    return limit if limit.ndim else float(limit)


def candling_minutes(wall_mm: Floats) -> tuple[Floats, Floats]:
    """Return how long to hold below the boiling point until ware is dry, as a range.

    Ten minutes for each millimeter of the thickest part; at the long end by the
    square, as water must come from as deep.

    Parameters
    ----------
    wall_mm : float or array
        Thickest part, 1 to 100. [mm]

    Returns
    -------
    tuple of float or array
        Shortest and longest hold at 80 to 95 degC. [min]

    Raises
    ------
    OutOfRange
        If the thickness is outside its range.

    Notes
    -----
    Practice: sculptors hold an hour for each quarter inch; schedules in print
    hold 1 to 12 hours. Hold a mirror to the vent: as long as it fogs, hold.

    Examples
    --------
    >>> candling_minutes(12.0)
    (120.0, 240.0)
    """
    require_between("thickest part", wall_mm, "mm", 1.0, 100.0)
    short = 10.0 * np.asarray(wall_mm, dtype=np.float64)
    long = short * np.maximum(1.0, np.asarray(wall_mm) / 6.0)
    return (short, long) if short.ndim else (float(short), float(long))


def too_fast(
    firing: Course, wall_mm: float, *, greenware: bool, cristobalite: bool = False
) -> tuple[TooFast, ...]:
    """Return where a firing is faster than its bands allow.

    Parameters
    ----------
    firing : Course
        From `course`, with its cooling if it is controlled.
    wall_mm : float
        Thickest part of the ware, 1 to 100. [mm]
    greenware : bool
        Whether the ware still holds the clay's own water.
    cristobalite : bool
        Whether the body grows cristobalite: high-fired and rich in silica.

    Returns
    -------
    tuple of TooFast
        Nothing if every band is slow enough. [degC/h]

    Raises
    ------
    OutOfRange
        If the thickness is outside its range.

    Notes
    -----
    Only quartz's cooling limit was found in print. Thin even walls stand more;
    the limits are for feet, handles and joints.

    Examples
    --------
    >>> from pourwright.materials.kiln.schedule import course
    >>> fast = course([Segment(150, 1040), Segment(200, 100)])
    >>> [found.band for found in too_fast(fast, 5.0, greenware=True)]
    ['water smoking', 'quartz, cooling']
    """
    smoking = float(water_smoking_limit_degc_per_h(wall_mm))
    quartz = (QUARTZ_DEGC - 25, QUARTZ_DEGC + 25)
    cooling = QUARTZ_COOLING_DEGC_PER_H
    practice, book = "practice, no source", "Fortuna, Sanitaryware (2000), as cited"
    bands = [("quartz, cooling", quartz, -1, cooling, book)]
    if greenware:
        bands.insert(0, ("water smoking", WATER_SMOKING_DEGC, 1, smoking, practice))
    if cristobalite:
        bands.append(("cristobalite, cooling", CRISTOBALITE_DEGC, -1, cooling, practice))
    found = []
    for band, (cool, hot), way, limit, basis in bands:
        rate = _fastest(firing, cool, hot, way)
        if rate > limit * (1 + 1e-9):
            found.append(TooFast(band, rate, limit, basis))
    return tuple(found)


def _fastest(firing: Course, cool_degc: float, hot_degc: float, way: int) -> float:
    """Return the fastest rate up (1) or down (-1) that touches a band."""
    heats = firing.temperatures_degc
    rates = way * 60 * np.diff(heats) / np.diff(firing.minutes)
    low, high = np.minimum(heats[:-1], heats[1:]), np.maximum(heats[:-1], heats[1:])
    return float(np.max(np.where((high > cool_degc) & (low < hot_degc), rates, 0.0)))


def bisque_segments(top_degc: float, wall_mm: float, *, dry: bool) -> tuple[Segment, ...]:
    """Return a bisque schedule to start from: slow where it must be, by temperature.

    Parameters
    ----------
    top_degc : float
        Where it ends, 800 to 1280. [degC]
    wall_mm : float
        Thickest part of the ware, 1 to 100. [mm]
    dry : bool
        Whether the ware has stopped losing weight; if not, it is held below the
        boiling point first.

    Returns
    -------
    tuple of Segment
        Rates [degC/h], temperatures [degC] and holds [min].

    Raises
    ------
    OutOfRange
        If a value is outside its range.

    Notes
    -----
    A studio's habit (practice, from memory), told by temperature. The kiln's
    manual and the clay's supplier go before it.

    Examples
    --------
    >>> from pourwright.materials.kiln.schedule import course
    >>> firing = course(bisque_segments(1063.0, 6.0, dry=True))
    >>> f"{firing.minutes[-1] / 60:.1f} h"
    '11.6 h'
    """
    require_between("top temperature", top_degc, "degC", 800.0, 1280.0)
    slow = float(water_smoking_limit_degc_per_h(wall_mm))
    hold = 0.0 if dry else float(candling_minutes(wall_mm)[1])
    return (
        Segment(55.0, WATER_SMOKING_DEGC[0], hold),
        Segment(slow, WATER_SMOKING_DEGC[1]),
        Segment(100.0, QUARTZ_DEGC - 25),
        Segment(60.0, QUARTZ_DEGC + 25),
        Segment(140.0, top_degc - 120),
        Segment(60.0, top_degc, 15.0),
    )
