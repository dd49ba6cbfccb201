"""What a warmer slip does to a casting rate, by the water's stickiness.

What this page leaves out: figures for suction and permeability of studio slips
and molds were not found in print, only their order of size. So rates themselves
come from test casts.
"""

from __future__ import annotations

import numpy as np

from pourwright.materials.ranges import Floats, require_between, require_more_than

_VISCOSITY_TERMS = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))
"""Coefficients of IAPWS SR6-08 for water at 0.1 MPa. [uPa s, -]"""


def water_viscosity_mpa_s(temperature_degc: Floats) -> Floats:
    """Return the viscosity of water at everyday pressure.

    ``eta = sum of a_i (T / 300)^b_i``, T in kelvin, four terms [1]_.

    Parameters
    ----------
    temperature_degc : float or array
        0 to 100. [degC]

    Returns
    -------
    float or array
        Dynamic viscosity. [mPa s]

    Raises
    ------
    OutOfRange
        If the temperature is not between 0 and 100.

    Examples
    --------
    >>> f"{water_viscosity_mpa_s(20.0):.4f} mPa s"
    '1.0016 mPa s'

    References
    ----------
    .. [1] IAPWS SR6-08 (2011), Revised Supplementary Release on Properties of
       Liquid Water at 0.1 MPa, equation 7.
    """
    require_between("temperature of the water", temperature_degc, "degC", 0.0, 100.0)
    log = np.log((np.asarray(temperature_degc, dtype=np.float64) + 273.15) / 300)
    micro = sum(a * np.exp(b * log) for a, b in _VISCOSITY_TERMS)
    return micro / 1000


def rate_at_temperature(
    rate_mm2_per_min: Floats, measured_degc: Floats, now_degc: Floats
) -> Floats:
    """Return a casting rate at another temperature of slip and mold.

    The water flows ``eta(measured) / eta(now)`` times as fast.

    Parameters
    ----------
    rate_mm2_per_min : float or array
        Rate of the test cast, more than 0. [mm2/min]
    measured_degc : float or array
        Temperature of slip and mold in the test, 0 to 60. [degC]
    now_degc : float or array
        Their temperature now, 0 to 60. [degC]

    Returns
    -------
    float or array
        Casting rate at the temperature now. [mm2/min]

    Raises
    ------
    OutOfRange
        If a temperature is not between 0 and 60, or the rate not more than zero.

    Notes
    -----
    That warm slip casts faster is long used; sanitaryware was studied at 20 and
    40 degC [1]_. The slip itself may thin or gel with heat, which this does not
    know.

    Examples
    --------
    >>> f"{rate_at_temperature(3.0, 20.0, 30.0):.2f} mm2/min"
    '3.77 mm2/min'

    References
    ----------
    .. [1] A study of plaster and pressure casting of sanitaryware, abstract.
    """
    require_more_than("casting rate", rate_mm2_per_min, "mm2/min")
    require_between("temperature of the test cast", measured_degc, "degC", 0.0, 60.0)
    require_between("temperature now", now_degc, "degC", 0.0, 60.0)
    return rate_mm2_per_min * (
        water_viscosity_mpa_s(measured_degc) / water_viscosity_mpa_s(now_degc)
    )
