"""Where a load's heat goes: ware, water, shelves. The least a kiln can do with.

A real kiln takes more, mostly for its walls: the best tunnel kilns of a survey
came within a fifth of this; small studio kilns take several times as much.

What this page leaves out: walls, vent and leaks, for which a kiln's own meter is
the only figure.
"""

from __future__ import annotations

import numpy as np

from pourwright.materials.ranges import Floats, require, require_between

KJ_PER_KWH = 3600.0

WATER_KJ_PER_KG = 2591.0
"""To warm water from 20 degC and boil it away at 100 (IAPWS). [kJ/kg]"""

GREEN_KJ_PER_KG_K = (1.64, 2.12)
"""Heat of raw ware for each degree, from half clay and half flint to all clay. [kJ/kg/K]

MacGee, Journal of the American Ceramic Society 9 (1926), abstract, by heating:
kaolin or ball clay to 1000 degC, about 500 cal/g; flint or feldspar to 1050 degC,
about 290 cal/g; each less its first 20 degC.
"""


def fired_clay_heat_kj_per_kg(top_degc: Floats, start_degc: Floats = 40.0) -> Floats:
    """Return the heat that already fired clay takes up.

    The integral of ``c = 1128 + 0.102 T - 36e6 / T^2``, J/kg/K with T in kelvin [1]_.

    Parameters
    ----------
    top_degc : float or array
        Temperature reached, 40 to 1300; measured to 1100. [degC]
    start_degc : float or array
        Temperature at the start, 40 to 1300. [degC]

    Returns
    -------
    float or array
        Heat taken up, less than zero if it cools. [kJ/kg]

    Raises
    ------
    OutOfRange
        If a temperature is outside its range.

    Notes
    -----
    Above 1100 degC the formula is carried on.

    Examples
    --------
    >>> f"{fired_clay_heat_kj_per_kg(1100.0):.0f} kJ/kg"
    '1198 kJ/kg'

    References
    ----------
    .. [1] Effect of dehydroxylation on the specific heat of simple clay mixtures,
       abstract: dehydroxylated kaolin, 40 to 1100 degC.
    """
    require_between("temperature reached", top_degc, "degC", 40.0, 1300.0)
    require_between("temperature at the start", start_degc, "degC", 40.0, 1300.0)
    return _enthalpy(top_degc) - _enthalpy(start_degc)


def _enthalpy(degc: Floats) -> Floats:
    """Return the integral of the specific heat, up to a constant. [kJ/kg]"""
    kelvin = np.asarray(degc) + 273.15
    return (1128 * kelvin + 0.051 * kelvin**2 + 36e6 / kelvin) / 1000


def raw_ware_heat_kwh(dry_kg: Floats, top_degc: Floats) -> tuple[Floats, Floats]:
    """Return the heat that dry raw ware takes up, the clay's own water included.

    1.64 to 2.12 kJ/kg/K times the rise from 20 degC, from a body half of clay to
    one all of clay.

    Parameters
    ----------
    dry_kg : float or array
        Dry ware, zero or more. [kg]
    top_degc : float or array
        Temperature reached, 600 to 1300. [degC]

    Returns
    -------
    tuple of float or array
        Least and most heat. [kWh]

    Raises
    ------
    OutOfRange
        If a value is outside its range.

    Notes
    -----
    A firebrick body took 0.59 kWh/kg to 1200 degC in the same paper, which lies
    between.

    Examples
    --------
    >>> low, high = raw_ware_heat_kwh(20.0, 1060.0)
    >>> f"{low:.1f} to {high:.1f} kWh"
    '9.5 to 12.2 kWh'
    """
    _require_mass("dry ware", dry_kg)
    require_between("temperature reached", top_degc, "degC", 600.0, 1300.0)
    low, high = (dry_kg * each * (top_degc - 20) / KJ_PER_KWH for each in GREEN_KJ_PER_KG_K)
    return low, high


def _require_mass(what: str, mass_kg: Floats) -> None:
    """Refuse a mass below zero."""
    good = (np.asarray(mass_kg) >= 0) & np.isfinite(mass_kg)
    require(what, mass_kg, "kg", "0 or more", good)


def fired_heat_kwh(fired_kg: Floats, top_degc: Floats) -> Floats:
    """Return the heat that bisque, or shelves and posts, take up from 40 degC.

    Parameters
    ----------
    fired_kg : float or array
        Bisque ware, shelves and posts, zero or more. [kg]
    top_degc : float or array
        Temperature reached, 40 to 1300. [degC]

    Returns
    -------
    float or array
        Heat. [kWh]

    Raises
    ------
    OutOfRange
        If a value is outside its range.

    Notes
    -----
    Shelves are reckoned as fired clay; their own specific heat was not looked up.

    Examples
    --------
    >>> f"{fired_heat_kwh(30.0, 1222.0):.1f} kWh"
    '11.3 kWh'
    """
    _require_mass("fired ware and shelves", fired_kg)
    return fired_kg * fired_clay_heat_kj_per_kg(top_degc) / KJ_PER_KWH


def water_heat_kwh(water_kg: Floats) -> Floats:
    """Return the heat that drives out water left in the ware.

    Parameters
    ----------
    water_kg : float or array
        Water still in the ware or the glaze, zero or more. [kg]

    Returns
    -------
    float or array
        Heat, 0.72 kWh for each kilogram. [kWh]

    Raises
    ------
    OutOfRange
        If the mass is less than zero.

    Examples
    --------
    >>> f"{water_heat_kwh(1.0):.2f} kWh"
    '0.72 kWh'
    """
    _require_mass("water", water_kg)
    return water_kg * WATER_KJ_PER_KG / KJ_PER_KWH
