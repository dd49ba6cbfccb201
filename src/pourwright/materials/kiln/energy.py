"""What a load costs in electricity, as a range.

Two ways, and neither asks for more than a maker knows: the kiln's volume with
metered loads of other kilns, or its own rated power with the share of time the
elements are on. The studio's own meter replaces both.

What this page leaves out: how full the kiln is. Walls and furniture take most
of the heat of a small kiln, so half a load costs nearly as much as a whole one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.materials.kiln.schedule import Course, heating_minutes
from pourwright.materials.ranges import Floats, require, require_between, require_more_than

BISQUE_DUTY = 0.50
"""Share of rated power over a bisque firing; a US studio's page on firing costs. [-]"""
GLAZE_DUTY = 0.65
"""The same over a cone 6 glaze firing, same page. [-]"""
PREHEAT_DUTY = 0.15
"""The same while preheating at 82 degC, same page. [-]"""

METERED_DEGC = (751.0, 1285.0)
"""Lowest and highest top temperature of the firings that were metered. [degC]"""

_FAST_KWH_PER_L, _FAST_DEGC, _FAST_POWER = 35 / 198.2, 1093.0, 1.88
_SLOW_KWH_PER_L, _SLOW_DEGC = 0.61, 1285.0
_ROOM_DEGC = 20.0


@dataclass(frozen=True, slots=True)
class Energy:
    """Electricity for one load.

    Parameters
    ----------
    low_kwh, high_kwh : float or array
        The range to expect. [kWh]
    extrapolated : bool
        Whether it goes beyond the firings that were metered.
    """

    low_kwh: Floats
    high_kwh: Floats
    extrapolated: bool


def energy_by_volume(kiln_l: Floats, top_degc: Floats) -> Energy:
    """Return the electricity of one load from the kiln's volume, as a range.

    The low end is a fast firing of a larger kiln, ``0.177 ((T - 20) / 1073)^1.88``
    kWh per liter; the high end a slow one of a small kiln, ``0.61 (T - 20) / 1265``.

    Parameters
    ----------
    kiln_l : float or array
        Inner volume of the kiln, 5 to 2000. [l]
    top_degc : float or array
        Top temperature, 600 to 1320; flagged outside 751 to 1285. [degC]

    Returns
    -------
    Energy
        The range [kWh], flagged where no firing was metered.

    Raises
    ------
    OutOfRange
        If the kiln or the temperature is outside what can be told.

    Notes
    -----
    Five metered firings of two kilns carry this law. The low end runs through
    17 and 35 kWh of a 198 l kiln, fired fast to 751 and 1093 degC [1]_. The high
    end is that kiln's 87 kWh to 1285 degC with five hours of holds, raised by the
    cube root of the volumes to a kiln of 74 l. Such a kiln was metered at 26 to
    29 kWh for cone 06 and 34 to 36 for cone 9 [2]_, which lies between. The
    studio's own meter replaces the range by a number.

    Examples
    --------
    >>> load = energy_by_volume(73.6, 1000.0)
    >>> f"{load.low_kwh:.0f} to {load.high_kwh:.0f} kWh"
    '11 to 35 kWh'

    References
    ----------
    .. [1] A US studio's log of a meter in its kiln's supply line (2006).
    .. [2] A potter's kiln log, a potters' discussion list (July 2001).
    """
    require_between("volume of the kiln", kiln_l, "l", 5.0, 2000.0)
    require_between("top temperature", top_degc, "degC", 600.0, 1320.0)
    rise = top_degc - _ROOM_DEGC
    low = _FAST_KWH_PER_L * (rise / (_FAST_DEGC - _ROOM_DEGC)) ** _FAST_POWER
    high = _SLOW_KWH_PER_L * rise / (_SLOW_DEGC - _ROOM_DEGC)
    heats = np.asarray(top_degc)
    outside = bool(((heats < METERED_DEGC[0]) | (heats > METERED_DEGC[1])).any())
    return Energy(low_kwh=kiln_l * low, high_kwh=kiln_l * high, extrapolated=outside)


def energy_by_power(power_kw: Floats, hours: Floats, duty: Floats) -> Floats:
    """Return the electricity of one stretch of a firing, power times time times duty.

    Parameters
    ----------
    power_kw : float or array
        Rated power of the kiln, more than 0. [kW]
    hours : float or array
        Length of the stretch, zero or more. [h]
    duty : float or array
        Share of the time that the elements are on: `BISQUE_DUTY`, `GLAZE_DUTY`,
        `PREHEAT_DUTY`, or the studio's own. [-]

    Returns
    -------
    float or array
        Electricity of the stretch. [kWh]

    Raises
    ------
    OutOfRange
        If a value is impossible.

    Examples
    --------
    >>> f"{energy_by_power(11.52, 9.0, 0.50) + energy_by_power(11.52, 7.0, 0.15):.1f} kWh"
    '63.9 kWh'
    """
    require_more_than("rated power", power_kw, "kW")
    require("hours", hours, "h", "0 or more", np.asarray(hours) >= 0)
    require_between("duty", duty, "", 0.0, 1.0)
    return power_kw * hours * duty


def energy_of_course(firing: Course, power_kw: float, duty: float) -> float:
    """Return the electricity of a firing from its schedule and the kiln's power.

    Up to 120 degC at the duty of preheating, from there to the end of the hold at
    the top at the duty given; cooling costs nothing.

    Parameters
    ----------
    firing : Course
        From `pourwright.materials.kiln.schedule.course`, above 120 degC.
    power_kw : float
        Rated power of the kiln, more than 0. [kW]
    duty : float
        `BISQUE_DUTY`, `GLAZE_DUTY`, or the studio's own. [-]

    Returns
    -------
    float
        Electricity of the load. [kWh]

    Raises
    ------
    OutOfRange
        If a value is impossible, or the firing stays below 120 degC.

    Notes
    -----
    Duties were told for firings of about nine hours; a slow schedule has less.
    The studio's own meter gives its duty: read energy over power over hours.

    Examples
    --------
    >>> from pourwright.materials.kiln.schedule import Segment, course
    >>> load = course([Segment(50.0, 120.0), Segment(100.0, 1020.0)])
    >>> f"{energy_of_course(load, 8.0, BISQUE_DUTY):.0f} kWh"
    '38 kWh'
    """
    preheat_min, heat_min = heating_minutes(firing)
    preheat = energy_by_power(power_kw, preheat_min / 60, PREHEAT_DUTY)
    return float(preheat + energy_by_power(power_kw, heat_min / 60, duty))
