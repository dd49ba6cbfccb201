"""When warm air takes the crystal water out of a mold: temperature and humidity together.

Equilibrium says where gypsum would turn back into plaster of Paris; below some 40
degC it does so too slowly to matter. How fast, no readable source says below 80
degC, so the rules here are cautions, not rates.

What this page leaves out: how fast. Below 80 degC no rate was found in print, and a
mold that was once too hot does not show it at once.
"""

from __future__ import annotations

from enum import IntEnum

import numpy as np

from pourwright.materials.ranges import Floats, plain, require_between

# Thermoddem (BRGM): log K = A + B T + C/T + D log10 T + E/T^2, T in kelvin.
_HEMIHYDRATE = (-1.58343880e3, -2.53478769e-1, 8.81153251e4, 5.73467473e2, -5.28508068e6)
_GYPSUM = (-1.62021439e3, -2.57234846e-1, 8.91506186e4, 5.87385148e2, -5.34735206e6)

HARD_STOP_C = 49.0
"""Makers' limit for pottery, molding and alpha plasters: 120 degF."""
ADVISED_C = 45.0
"""Makers advise 43 to 49 degC; 42 for a mold in its first day."""
SLOW_ENOUGH_C = 40.0
"""At 40 degC and 11 to 12 % humidity a vented oven took no crystal water; at 0.2 % it did."""
BONE_DRY_HUMIDITY = 0.05
"""Air as dry as this took crystal water at 40 degC."""
NEARLY_DRY = 0.93
"""A wetter mold is kept cool by its own evaporation."""


class DehydrationRisk(IntEnum):
    """How near a mold is to losing its crystal water."""

    NONE = 0
    WATCH = 1
    HIGH = 2
    STOP = 3


RISK_SAYS = {
    DehydrationRisk.NONE: "The mold is safe in this air.",
    DehydrationRisk.WATCH: "Warm, dry air and a nearly dry mold: take it out once its weight stands still.",
    DehydrationRisk.HIGH: "The plaster can lose crystal water and go soft and chalky: lower the heat now.",
    DehydrationRisk.STOP: "Too hot for any mold: below 49 °C (120 °F), better 43 to 45 °C (110 °F).",
}


def log_solubility_gypsum(temperature_c: Floats) -> Floats:
    """Return the decimal logarithm of the solubility product of gypsum.

    ``A + B T + C/T + D log10 T + E/T^2`` with the coefficients of Thermoddem [1]_.

    Parameters
    ----------
    temperature_c : float or array
        Temperature, 0 to 120. [degC]

    Returns
    -------
    float or array
        log10 K. [-]

    Raises
    ------
    OutOfRange
        If the temperature is outside the range.

    Examples
    --------
    >>> round(log_solubility_gypsum(25.0), 2)
    -4.6

    References
    ----------
    .. [1] Thermoddem, BRGM, mineral sheet "Gypsum".
    """
    return _log_k(temperature_c, _GYPSUM)


def log_solubility_hemihydrate(temperature_c: Floats) -> Floats:
    """Return the decimal logarithm of the solubility product of plaster of Paris.

    ``A + B T + C/T + D log10 T + E/T^2`` with the coefficients of Thermoddem [1]_.

    Parameters
    ----------
    temperature_c : float or array
        Temperature, 0 to 120. [degC]

    Returns
    -------
    float or array
        log10 K. [-]

    Raises
    ------
    OutOfRange
        If the temperature is outside the range.

    Notes
    -----
    Printed solubilities of plaster run from 3 to 8.8 g/l, since it sets; only the
    ratio to that of gypsum is used here.

    Examples
    --------
    >>> round(log_solubility_hemihydrate(25.0), 2)
    -3.92

    References
    ----------
    .. [1] Thermoddem, BRGM, mineral sheet "Bassanite".
    """
    return _log_k(temperature_c, _HEMIHYDRATE)


def _log_k(temperature_c: Floats, coefficients: tuple[float, float, float, float, float]) -> Floats:
    """Return a Thermoddem polynomial. [-]."""
    require_between("temperature", temperature_c, "degC", 0.0, 120.0)
    a, b, c, d, e = coefficients
    kelvin = np.asarray(temperature_c) + 273.15
    return plain(a + b * kelvin + c / kelvin + d * np.log10(kelvin) + e / kelvin**2)


def equilibrium_humidity(temperature_c: Floats) -> Floats:
    """Return the humidity below which dry gypsum would give up crystal water, given time.

    ``10^((log K_gypsum - log K_hemihydrate)/1.5)``: the water activity at which
    gypsum and plaster of Paris would be in balance.

    Parameters
    ----------
    temperature_c : float or array
        Temperature, 0 to 120. [degC]

    Returns
    -------
    float or array
        Relative humidity; above 1 beyond about 107 degC, where even a wet mold is
        lost: by measurement it is 101 degC. [-]

    Raises
    ------
    OutOfRange
        If the temperature is outside the range.

    Notes
    -----
    Another pair of solubility products, 2.40e-5 and 8.75e-5 at 25 degC [1]_, gives
    0.42 where this gives 0.35: trust it to eight points.

    Examples
    --------
    >>> round(equilibrium_humidity(49.0), 2)
    0.49

    References
    ----------
    .. [1] Shen et al., J. Chem. Eng. Data (2019), abstract.
    """
    difference = np.asarray(log_solubility_gypsum(temperature_c)) - log_solubility_hemihydrate(
        temperature_c
    )
    return plain(10 ** (difference / 1.5))


def dehydration_risk(
    temperature_c: float, relative_humidity: float, dried: float
) -> DehydrationRisk:
    """Return how near a mold is to losing crystal water in this air.

    Stop at 49 degC and above. Otherwise only a mold that has lost 93 % of its free
    water, in air drier than `equilibrium_humidity`, is at risk: watch above 40
    degC, high above 45 degC or in air below 5 % humidity from 40 degC on.

    Parameters
    ----------
    temperature_c : float
        Air at the mold, 0 to 120. [degC]
    relative_humidity : float
        Of that air, 0 to 1. [-]
    dried : float
        Share of the free water that has gone, 0 to 1. [-]

    Returns
    -------
    Risk
        With its sentence in ``RISK_SAYS``.

    Raises
    ------
    OutOfRange
        If a figure is outside its range.

    Notes
    -----
    Baking molds at 65 to 180 degC, as some hobby pages have it, contradicts every
    maker of plaster. What air is too dry is read from one measurement [1]_.

    Examples
    --------
    >>> dehydration_risk(47.0, 0.10, dried=0.98)
    <DehydrationRisk.HIGH: 2>

    References
    ----------
    .. [1] Wilkes, Atchley and Childs, ASHRAE (2004): 40 degC at 0.2 % humidity takes
       crystal water; at 11 to 12 % none was reported.
    """
    require_between("air temperature", temperature_c, "degC", 0.0, 120.0)
    require_between(
        "relative humidity", relative_humidity, "of saturation", 0.0, 1.0, "50 % is 0.5."
    )
    require_between("share of the water that has gone", dried, "of it", 0.0, 1.0)
    if temperature_c >= HARD_STOP_C:
        return DehydrationRisk.STOP
    below = relative_humidity < float(equilibrium_humidity(temperature_c))
    if dried < NEARLY_DRY or not below or temperature_c < SLOW_ENOUGH_C:
        return DehydrationRisk.NONE
    if temperature_c > ADVISED_C or relative_humidity < BONE_DRY_HUMIDITY:
        return DehydrationRisk.HIGH
    return DehydrationRisk.WATCH if temperature_c > SLOW_ENOUGH_C else DehydrationRisk.NONE
