"""Moist air on whole arrays: pressure, humidity, wet bulb, dew point, volume, enthalpy.

The tests hold every function against an independent psychrometric library.
Ordinary pressure unless another is given: 1000 m up, about 90 kPa, water leaves a
mold a little faster.

What this page leaves out: air below freezing, and the half of a percent by which
moist air is not an ideal gas.
"""

from __future__ import annotations

import numpy as np

from pourwright.materials.ranges import Floats, plain, require, require_between

STANDARD_PRESSURE_PA = 101325.0
WATER_TO_AIR = 0.621945
"""Molar mass of water over that of dry air (ASHRAE Handbook, Fundamentals)."""
DRY_AIR_GAS_CONSTANT = 287.042
"""J/(kg K), as in the ASHRAE Handbook."""
VAPOR_GAS_CONSTANT = 461.52
"""J/(kg K)."""

# IAPWS-IF97, region 4, table 34.
_N = (
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
)
_COLDEST, _HOTTEST = 0.0, 120.0


def saturation_pressure(temperature_c: Floats) -> Floats:
    """Return the pressure of water vapor over liquid water.

    The saturation-pressure equation of IAPWS-IF97 [1]_.

    Parameters
    ----------
    temperature_c : float or array
        Temperature, 0 to 120. [degC]

    Returns
    -------
    float or array
        Saturation pressure. [Pa]

    Raises
    ------
    OutOfRange
        If the temperature is outside the range; over ice it would not hold.

    Examples
    --------
    >>> round(saturation_pressure(20.0))
    2339

    References
    ----------
    .. [1] IAPWS R7-97(2012), Revised Release on the Industrial Formulation 1997,
       equation 30; verification values in table 35.
    """
    require_between("temperature", temperature_c, "degC", _COLDEST, _HOTTEST)
    return _saturation(np.asarray(temperature_c, dtype=np.float64))


def _saturation(temperature_c: Floats) -> Floats:
    """Return the saturation pressure without asking whether it may. [Pa]."""
    kelvin = np.asarray(temperature_c) + 273.15
    theta = kelvin + _N[8] / (kelvin - _N[9])
    a = (theta + _N[0]) * theta + _N[1]
    b = (_N[2] * theta + _N[3]) * theta + _N[4]
    c = (_N[5] * theta + _N[6]) * theta + _N[7]
    return plain((2 * c / (-b + np.sqrt(b * b - 4 * a * c))) ** 4 * 1e6)


def vapor_pressure(temperature_c: Floats, relative_humidity: Floats) -> Floats:
    """Return the pressure of the vapor in the air.

    ``humidity x saturation_pressure``.

    Parameters
    ----------
    temperature_c : float or array
        Air temperature, 0 to 120. [degC]
    relative_humidity : float or array
        0 to 1. [-]

    Returns
    -------
    float or array
        Vapor pressure. [Pa]

    Raises
    ------
    OutOfRange
        If temperature or humidity is outside its range.

    Examples
    --------
    >>> round(vapor_pressure(20.0, 0.5))
    1170
    """
    require_between(
        "relative humidity", relative_humidity, "of saturation", 0.0, 1.0, "50 % is written 0.5."
    )
    return relative_humidity * saturation_pressure(temperature_c)


def humidity_ratio(
    temperature_c: Floats, relative_humidity: Floats, pressure_pa: Floats = STANDARD_PRESSURE_PA
) -> Floats:
    """Return the water in the air.

    ``0.621945 p_v/(p - p_v)`` [1]_.

    Parameters
    ----------
    temperature_c : float or array
        Air temperature, 0 to 95. [degC]
    relative_humidity : float or array
        0 to 1. [-]
    pressure_pa : float or array
        Air pressure, 60000 to 110000. [Pa]

    Returns
    -------
    float or array
        Water over dry air. [kg/kg]

    Raises
    ------
    OutOfRange
        If a figure is outside its range, or the air would be steam.

    Examples
    --------
    >>> round(humidity_ratio(20.0, 0.5), 5)
    0.00726

    References
    ----------
    .. [1] ASHRAE Handbook, Fundamentals, Psychrometrics.
    """
    require_between("air pressure", pressure_pa, "Pa", 60000.0, 110000.0, "1013 mbar is 101300 Pa.")
    vapor = vapor_pressure(temperature_c, relative_humidity)
    require(
        "vapor pressure",
        vapor,
        "Pa",
        "below the air pressure",
        np.asarray(vapor) < pressure_pa * 0.99,
    )
    return WATER_TO_AIR * vapor / (pressure_pa - vapor)


def relative_humidity(
    temperature_c: Floats, water: Floats, pressure_pa: Floats = STANDARD_PRESSURE_PA
) -> Floats:
    """Return the relative humidity of air that holds a known share of water.

    ``p_v/p_s`` with ``p_v = p W/(0.621945 + W)``; above 1 the air is fog.

    Parameters
    ----------
    temperature_c : float or array
        Air temperature, 0 to 120. [degC]
    water : float or array
        Water over dry air, 0 to 1. [kg/kg]
    pressure_pa : float or array
        Air pressure. [Pa]

    Returns
    -------
    float or array
        Relative humidity; not cut at 1. [-]

    Raises
    ------
    OutOfRange
        If a figure is outside its range.

    Examples
    --------
    >>> round(relative_humidity(30.0, humidity_ratio(20.0, 0.5)), 2)
    0.28
    """
    require_between("water in the air", water, "kg/kg dry air", 0.0, 1.0)
    vapor = pressure_pa * water / (WATER_TO_AIR + water)
    return vapor / saturation_pressure(temperature_c)


def dew_point(vapor_pa: Floats) -> Floats:
    """Return the temperature at which vapor of a known pressure turns to dew.

    The backward saturation equation of IAPWS-IF97 [1]_.

    Parameters
    ----------
    vapor_pa : float or array
        Vapor pressure, 611.3 to 198670: dew between 0 and 120 degC. [Pa]

    Returns
    -------
    float or array
        Dew point. [degC]

    Raises
    ------
    OutOfRange
        If the dew would be frost.

    Examples
    --------
    >>> round(dew_point(vapor_pressure(20.0, 0.5)), 1)
    9.3

    References
    ----------
    .. [1] IAPWS R7-97(2012), equation 31; verification values in table 36.
    """
    require_between("vapor pressure", vapor_pa, "Pa", 611.2, 198700.0)
    beta = (np.asarray(vapor_pa) / 1e6) ** 0.25
    e = (beta + _N[2]) * beta + _N[5]
    f = (_N[0] * beta + _N[3]) * beta + _N[6]
    g = (_N[1] * beta + _N[4]) * beta + _N[7]
    d = 2 * g / (-f - np.sqrt(f * f - 4 * e * g))
    total = _N[9] + d
    return plain((total - np.sqrt(total * total - 4 * (_N[8] + _N[9] * d))) / 2 - 273.15)


def wet_bulb(
    temperature_c: Floats, relative_humidity: Floats, pressure_pa: Floats = STANDARD_PRESSURE_PA
) -> Floats:
    """Return the wet-bulb temperature: what a wet face in moving air falls to.

    Newton's method on the ASHRAE balance [1]_, from the air temperature downward;
    the balance rises and bends upward with the wet bulb, so the steps cannot
    overshoot.

    Parameters
    ----------
    temperature_c : float or array
        Air temperature, 0 to 90. [degC]
    relative_humidity : float or array
        0 to 1. [-]
    pressure_pa : float or array
        Air pressure. [Pa]

    Returns
    -------
    float or array
        Wet bulb. [degC]

    Raises
    ------
    OutOfRange
        If a figure is outside its range, or the wet bulb would be below 0 degC.

    Examples
    --------
    >>> round(wet_bulb(20.0, 0.5), 2)
    13.78

    References
    ----------
    .. [1] ASHRAE Handbook, Fundamentals, Psychrometrics, equation of the
       thermodynamic wet bulb.
    """
    require_between("air temperature", temperature_c, "degC", 0.0, 90.0)
    water = np.asarray(humidity_ratio(temperature_c, relative_humidity, pressure_pa))
    air = np.asarray(temperature_c, dtype=np.float64) + np.zeros_like(water)
    bulb = air
    for _ in range(12):
        excess = _water_at_wet_bulb(air, bulb, pressure_pa) - water
        slope = (_water_at_wet_bulb(air, bulb + 1e-4, pressure_pa) - water - excess) / 1e-4
        bulb = bulb - excess / slope
    require("wet bulb", bulb, "degC", "at least 0", bulb >= -1e-6, "The law knows no ice.")
    return plain(bulb)


def _water_at_wet_bulb(air_c: Floats, bulb_c: Floats, pressure_pa: Floats) -> Floats:
    """Return the water in air of which the wet bulb is known. [kg/kg]."""
    vapor = _saturation(bulb_c)
    full = WATER_TO_AIR * vapor / (pressure_pa - vapor)
    top = (2501 - 2.326 * bulb_c) * full - 1.006 * (air_c - bulb_c)
    return top / (2501 + 1.86 * air_c - 4.186 * bulb_c)


def air_volume(
    temperature_c: Floats, water: Floats, pressure_pa: Floats = STANDARD_PRESSURE_PA
) -> Floats:
    """Return the volume of moist air that holds a kilogram of dry air.

    ``R T (1 + W/0.621945)/p`` [1]_.

    Parameters
    ----------
    temperature_c : float or array
        Air temperature, 0 to 120. [degC]
    water : float or array
        Water over dry air, 0 to 1. [kg/kg]
    pressure_pa : float or array
        Air pressure. [Pa]

    Returns
    -------
    float or array
        Volume over dry air. [m3/kg]

    Raises
    ------
    OutOfRange
        If a figure is outside its range.

    Examples
    --------
    >>> round(air_volume(20.0, 0.00726), 3)
    0.84

    References
    ----------
    .. [1] ASHRAE Handbook, Fundamentals, Psychrometrics.
    """
    require_between("air temperature", temperature_c, "degC", _COLDEST, _HOTTEST)
    require_between("water in the air", water, "kg/kg dry air", 0.0, 1.0)
    return (
        DRY_AIR_GAS_CONSTANT * (temperature_c + 273.15) * (1 + water / WATER_TO_AIR) / pressure_pa
    )


def enthalpy(temperature_c: Floats, water: Floats) -> Floats:
    """Return the heat in moist air, counted from dry air and liquid water at 0 degC.

    ``1.006 t + W (2501 + 1.86 t)`` [1]_.

    Parameters
    ----------
    temperature_c : float or array
        Air temperature, 0 to 120. [degC]
    water : float or array
        Water over dry air, 0 to 1. [kg/kg]

    Returns
    -------
    float or array
        Enthalpy over dry air. [kJ/kg]

    Raises
    ------
    OutOfRange
        If a figure is outside its range.

    Examples
    --------
    >>> round(enthalpy(20.0, 0.00726), 1)
    38.5

    References
    ----------
    .. [1] ASHRAE Handbook, Fundamentals, Psychrometrics.
    """
    require_between("air temperature", temperature_c, "degC", _COLDEST, _HOTTEST)
    require_between("water in the air", water, "kg/kg dry air", 0.0, 1.0)
    return 1.006 * temperature_c + water * (2501 + 1.86 * temperature_c)


def latent_heat(temperature_c: Floats) -> Floats:
    """Return the heat that evaporates a kilogram of water.

    ``2500.9 - 2.3515 t - 0.000925 t^2``: a parabola through IAPWS-97 at 0, 20 and
    100 degC [1]_, within 0.05 % between.

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 100. [degC]

    Returns
    -------
    float or array
        Latent heat. [kJ/kg]

    Raises
    ------
    OutOfRange
        If the temperature is outside the range.

    Examples
    --------
    >>> round(latent_heat(25.0))
    2442

    References
    ----------
    .. [1] IAPWS R7-97(2012), through a general-purpose steam library.
    """
    require_between("water temperature", temperature_c, "degC", 0.0, 100.0)
    return 2500.9 - (2.3515 + 0.000925 * temperature_c) * temperature_c
