"""How plaster sets: conversion against time, the heat it brings, when a mold may be opened.

The shape of the curve is Schiller's; its three constants were set so that an
ordinary pottery plaster sets in 12 minutes. They are an engineering calibration,
not published values, and a studio's own set time scales all of them.

What this page leaves out: the temperature of the water, how long and how hard it was
mixed, old set plaster in the bucket, damp plaster. All of them change the set time;
only a watch tells by how much.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.materials.plaster.mix import (
    GYPSUM_FROM_PLASTER,
    WATER_TO_SET,
    Plaster,
)
from pourwright.materials.ranges import (
    Floats,
    Range,
    plain,
    require,
    require_between,
    require_more_than,
)

USUAL_SET_MIN = 12.0
"""Set time of the calibration: between a printed 9 to 13 min (Vicat) and 14 to 24 (machine mix)."""
_K0, _K1, _K2 = 2.0, 20.0, 15.0
CREAMS_AT = 0.01
"""Conversion at which a mix begins to thicken: our reading of a curve, no source."""

HEAT_OF_SETTING = Range(105.0, 118.0, 133.0, "four thermochemical tables, 112 to 133 J/g")
"""Heat that a gram of pure plaster gives as it sets. [J/g]"""
PLASTER_J_PER_KG_K = 823.0
GYPSUM_J_PER_KG_K = 1082.0
"""Thermoddem, BRGM, sheets "Bassanite" and "Gypsum"."""
WATER_J_PER_KG_K = 4181.0
"""IAPWS, 25 degC."""
ICE_MELT_J_PER_KG = 333_550.0
"""Heat that melting ice takes up (handbooks of physics: 333.55 kJ/kg; 79.7 cal/g), from memory."""

OPEN_AFTER_MIN = 60.0
"""After pouring: past its hottest and firm (a handbook of slip casting and others: about an hour)."""
OPENING_RULE = (
    "Open when the plaster has been hot, is cooling and firm to the fingernail: an hour after pouring unless "
    "the bag says more."
)
HEAT_CAUTION = (
    "Setting plaster burns: a large mass passes 50 degC, and skin is damaged above 44. Never put a hand, "
    "foot or face in it. No calculation here tells when it is safe to touch."
)


@dataclass(frozen=True, slots=True)
class SettingTimes:
    """Minutes after plaster and water met.

    Parameters
    ----------
    creams_min, sets_min, ends_min : float or array
        Begins to thicken; set; nothing left to react. [min]
    """

    creams_min: Floats
    sets_min: Floats
    ends_min: Floats


def minutes_to(conversion_fraction: Floats, set_min: Floats = USUAL_SET_MIN) -> Floats:
    """Return when a share of the plaster has turned to gypsum.

    Schiller's equation ``t = K0 + K1 a^(1/3) + K2 (1 - (1 - a)^(1/3))`` [1]_ with
    2, 20 and 15 minutes, all three scaled by ``set_min/12``.

    Parameters
    ----------
    conversion_fraction : float or array
        Share turned to gypsum, 0 to 1. [-]
    set_min : float or array
        The plaster's set time, 2 to 120. [min]

    Returns
    -------
    float or array
        Minutes after the plaster met the water. [min]

    Raises
    ------
    OutOfRange
        If a figure is outside its range.

    Notes
    -----
    The form is from memory of the source; another group used it for beta plaster
    [2]_. The constants are calibrated to printed set times. Between 5 and 40 degC
    the temperature of the mix is left out: one laboratory found almost no effect
    [3]_, workshops say that warm water sets faster; measure the set time.

    Examples
    --------
    >>> round(minutes_to(0.5), 1)
    21.0

    References
    ----------
    .. [1] Schiller, J. Appl. Chem. Biotechnol. 24 (1974) 379.
    .. [2] de Korte and Brouwers, J. Mater. Sci. 46 (2011) 7228, abstract.
    .. [3] Ridge, Nature 184 (1959) 47, abstract.
    """
    require_between("share turned to gypsum", conversion_fraction, "of it", 0.0, 1.0)
    require_between("set time", set_min, "min", 2.0, 120.0)
    rise, rest = np.cbrt(conversion_fraction), np.cbrt(1 - np.asarray(conversion_fraction))
    return plain((_K0 + _K1 * rise + _K2 * (1 - rest)) * set_min / USUAL_SET_MIN)


def conversion(minutes: Floats, set_min: Floats = USUAL_SET_MIN) -> Floats:
    """Return the share of the plaster that has turned to gypsum.

    The inverse of `minutes_to`, by bisection in the cube root of the conversion.

    Parameters
    ----------
    minutes : float or array
        After the plaster met the water. [min]
    set_min : float or array
        The plaster's set time, 2 to 120. [min]

    Returns
    -------
    float or array
        Share, 0 before the reaction begins and 1 after its end. [-]

    Raises
    ------
    OutOfRange
        If a figure is outside its range, or the time is before the mix.

    Examples
    --------
    >>> round(conversion(21.0), 2)
    0.5
    """
    require("time since mixing", minutes, "min", "at least 0", np.asarray(minutes) >= 0)
    require_between("set time", set_min, "min", 2.0, 120.0)
    scaled = np.asarray(minutes) * USUAL_SET_MIN / np.asarray(set_min)
    low, high = np.zeros_like(scaled), np.ones_like(scaled)
    for _ in range(50):
        root = (low + high) / 2
        late = _K0 + _K1 * root + _K2 * (1 - np.cbrt(1 - root**3)) > scaled
        low, high = np.where(late, low, root), np.where(late, root, high)
    return plain(np.where(scaled >= _K0 + _K1 + _K2, 1.0, np.where(scaled <= _K0, 0.0, low**3)))


def setting_times(set_min: Floats = USUAL_SET_MIN) -> SettingTimes:
    """Return when a mix creams, sets and has reacted to the end.

    Creams at 1 % conversion of `minutes_to`; the end is 37 minutes scaled.

    Parameters
    ----------
    set_min : float or array
        The plaster's own set time. [min]

    Returns
    -------
    SettingTimes
        The three times. [min]

    Raises
    ------
    OutOfRange
        If the set time is not between 2 and 120.

    Examples
    --------
    >>> times = setting_times(12.0)
    >>> f"creams {times.creams_min:.0f}, sets {times.sets_min:.0f}, ends {times.ends_min:.0f} min"
    'creams 6, sets 12, ends 37 min'
    """
    return SettingTimes(minutes_to(CREAMS_AT, set_min), set_min, minutes_to(1.0, set_min))


def mix_heat_capacity(plaster: Plaster, conversion_fraction: Floats) -> Floats:
    """Return what warms the mix from a kilogram of plaster by a degree.

    Masses of plaster, gypsum and free water times their heat capacities.

    Parameters
    ----------
    plaster : Plaster
        The mix.
    conversion_fraction : float or array
        Share turned to gypsum, 0 to 1. [-]

    Returns
    -------
    float or array
        Heat capacity for a kilogram of dry plaster in the mix. [J/(kg K)]

    Raises
    ------
    OutOfRange
        If the share is not between 0 and 1.

    Examples
    --------
    >>> round(mix_heat_capacity(Plaster("pottery plaster", 70, "the bag"), 1.0) / 1.7)
    2019
    """
    require_between("share turned to gypsum", conversion_fraction, "of it", 0.0, 1.0)
    gypsum = GYPSUM_FROM_PLASTER * conversion_fraction
    water = plaster.water_ratio - WATER_TO_SET * conversion_fraction
    dry = PLASTER_J_PER_KG_K * (1 - conversion_fraction) + GYPSUM_J_PER_KG_K * gypsum
    return dry + WATER_J_PER_KG_K * water


def adiabatic_rise(plaster: Plaster, heat_j_per_g: Floats = 118.0) -> Floats:
    """Return how much a mix warms that loses no heat: the ceiling of every peak.

    ``q/(1.1862 cp_gypsum + (w - 0.1862) cp_water)``: the heat given at the starting
    temperature, then the products warmed by it.

    Parameters
    ----------
    plaster : Plaster
        The mix.
    heat_j_per_g : float or array
        Heat of setting, 80 to 140; see ``HEAT_OF_SETTING``. [J/g]

    Returns
    -------
    float or array
        Rise of temperature. [K]

    Raises
    ------
    OutOfRange
        If the heat is outside its range.

    Notes
    -----
    An abstract that prints 5 cal/g for plaster of Paris contradicts thermochemistry
    and is not used. Commercial plaster is 90 to 98 % pure.

    Examples
    --------
    >>> round(adiabatic_rise(Plaster("pottery plaster", 70, "the bag")), 1)
    34.4
    """
    require_between("heat of setting", heat_j_per_g, "J/g", 80.0, 140.0)
    return heat_j_per_g * 1000 / mix_heat_capacity(plaster, 1.0)


def mix_temperature(
    plaster: Plaster, water_c: Floats, powder_c: Floats = 20.0, ice_fraction: Floats = 0.0
) -> Floats:
    """Return the temperature at which a mix starts: water, powder and melting ice shared out.

    Heat is kept: ``(cp_plaster T_powder + w cp_water (1 - i) T_water - w i L)`` over
    ``cp_plaster + w cp_water``, ice at 0 degC. The heat of wetting is left out.

    Parameters
    ----------
    plaster : Plaster
        The mix.
    water_c, powder_c : float or array
        Temperature of the liquid water, and of the dry plaster, 0 to 60. [degC]
    ice_fraction : float or array
        Ice in the mixing water, of its whole mass, 0 to 1. [-]

    Returns
    -------
    float or array
        Temperature of the mix before it sets. [degC]

    Raises
    ------
    OutOfRange
        If a figure is outside its range, or not all of the ice would melt.

    Examples
    --------
    >>> round(mix_temperature(Plaster("pottery plaster", 70, "the bag"), 20.0, ice_fraction=0.1), 1)
    12.2

    """
    require_between("temperature of the water", water_c, "degC", 0.0, 60.0)
    require_between("temperature of the plaster", powder_c, "degC", 0.0, 60.0)
    require_between("ice in the water", ice_fraction, "of it", 0.0, 1.0)
    ice = np.asarray(ice_fraction)
    water = plaster.water_ratio * WATER_J_PER_KG_K
    had = PLASTER_J_PER_KG_K * powder_c + water * (1 - ice) * water_c
    start = (had - plaster.water_ratio * ice * ICE_MELT_J_PER_KG) / (PLASTER_J_PER_KG_K + water)
    require(
        "ice",
        ice_fraction,
        "of the water",
        "little enough to melt in the rest",
        np.asarray(start) >= 0,
        "Take less ice, or wait until it has melted.",
    )
    return plain(start)


def opening_minutes(hottest_min: Floats | None = None) -> Floats:
    """Return when to open a mold, counted from pouring.

    Sixty minutes; later if a thermometer showed it hottest later. Never a word on
    whether it can be touched.

    Parameters
    ----------
    hottest_min : float or array, optional
        When a thermometer in this plaster read highest. [min]

    Returns
    -------
    float or array
        Minutes after pouring. [min]

    Raises
    ------
    OutOfRange
        If the time is not more than zero.

    Examples
    --------
    >>> opening_minutes()
    60.0
    """
    if hottest_min is None:
        return OPEN_AFTER_MIN
    require_more_than("time of the highest reading", hottest_min, "min")
    return plain(np.maximum(OPEN_AFTER_MIN, hottest_min))
