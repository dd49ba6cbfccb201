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

from pourwright.materials.ranges import Floats, require, require_between, require_more_than

BISQUE_DUTY = 0.50
"""Share of rated power over a bisque firing; a US studio's page on firing costs. [-]"""
GLAZE_DUTY = 0.65
"""The same over a cone 6 glaze firing, same page. [-]"""
PREHEAT_DUTY = 0.15
"""The same while preheating at 82 degC, same page. [-]"""

METERED_DEGC = (1000.0, 1270.0)
"""Cone 06 and cone 9, the two firings that were metered. [degC]"""
METERED_LOW_KWH_PER_L = (26 / 73.6, 34 / 73.6)
"""A full 73.6 l electric kiln, 26 to 29 and 34 to 36 kWh (a potter, 2001). [kWh/l]"""
METERED_HIGH_KWH_PER_L = (0.49, 0.49 * 36 / 29)
"""Bisque in a larger kiln, 0.49 kWh/l (a US kiln supplier's page); for cone 9 it is
raised as the small kiln's own figures rise. [kWh/l]"""


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

    Metered loads give 0.35 to 0.49 kWh per liter at 1000 degC and 0.46 to 0.61
    at 1270 degC [1]_ [2]_; between them it goes straight.

    Parameters
    ----------
    kiln_l : float or array
        Inner volume of the kiln, 5 to 2000. [l]
    top_degc : float or array
        Top temperature, 600 to 1320; flagged outside 1000 to 1270. [degC]

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
    Three metered firings carry this law. Thick walls, a slow schedule or a long
    hold go beyond it: use the studio's own meter as soon as there is a reading.

    Examples
    --------
    >>> load = energy_by_volume(73.6, 1000.0)
    >>> f"{load.low_kwh:.0f} to {load.high_kwh:.0f} kWh"
    '26 to 36 kWh'

    References
    ----------
    .. [1] Townshend, kiln log of a 2.6 cubic foot electric kiln, a potters'
       discussion list (2001).
    .. [2] A US kiln supplier's page on firing costs, 7 cubic foot kiln.
    """
    require_between("volume of the kiln", kiln_l, "l", 5.0, 2000.0)
    require_between("top temperature", top_degc, "degC", 600.0, 1320.0)
    cool, hot = METERED_DEGC
    rise = (top_degc - cool) / (hot - cool)
    low, high = (
        first + (last - first) * rise
        for first, last in (METERED_LOW_KWH_PER_L, METERED_HIGH_KWH_PER_L)
    )
    heats = np.asarray(top_degc)
    outside = bool(((heats < cool) | (heats > hot)).any())
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
    require("hours", hours, "h", "zero or more", np.asarray(hours) >= 0)
    require_between("duty", duty, "[-]", 0.0, 1.0)
    return power_kw * hours * duty
