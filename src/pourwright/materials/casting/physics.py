"""What sets a casting rate: suction, the water's stickiness, cast and mold in series.

Nobody measures these in a studio. They are here to say what a change does: a
warmer slip, a heavier slip, a mold that lets less water through. Rates
themselves come from test casts.

What this page leaves out: figures for suction and permeability of studio slips
and molds were not found in print, only their order of size. So `darcy_rate` is
for ratios, never for minutes.
"""

from __future__ import annotations

import numpy as np

from pourwright.materials.ranges import Floats, require, require_between, require_more_than

_VISCOSITY_TERMS = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))
"""Coefficients of IAPWS SR6-08 for water at 0.1 MPa. [uPa s, -]"""

SURFACE_TENSION_N_PER_M = 0.0727
"""Water at 20 degC (IAPWS). [N/m]"""


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


def capillary_suction_mpa(pore_um: Floats) -> Floats:
    """Return the suction of a pore that water wets, ``2 sigma / r`` (Laplace).

    Parameters
    ----------
    pore_um : float or array
        Radius of the pore, 0.01 to 100; about 1 in pottery plaster. [um]

    Returns
    -------
    float or array
        Suction. [MPa]

    Raises
    ------
    OutOfRange
        If the radius is outside its range.

    Examples
    --------
    >>> f"{capillary_suction_mpa(1.0):.3f} MPa"
    '0.145 MPa'
    """
    require_between("pore radius", pore_um, "um", 0.01, 100.0)
    return 2 * SURFACE_TENSION_N_PER_M / pore_um


def kozeny_carman_m2(grain_um: Floats, porosity: Floats) -> Floats:
    """Return the permeability of a bed of grains, ``e^3 d^2 / (180 (1 - e)^2)``.

    Parameters
    ----------
    grain_um : float or array
        Diameter of the grains, more than 0. [um]
    porosity : float or array
        Share of the bed that is not grains, 0.05 to 0.9. [-]

    Returns
    -------
    float or array
        Permeability. [m2]

    Raises
    ------
    OutOfRange
        If a value is outside its range.

    Notes
    -----
    For grains of one size and about round, clay is neither: an order of size.

    Examples
    --------
    >>> f"{kozeny_carman_m2(0.5, 0.394):.1e}"
    '2.3e-16'
    """
    require_more_than("grain", grain_um, "um")
    require_between("porosity", porosity, "", 0.05, 0.9)
    grain_m = grain_um * 1e-6
    return porosity**3 * grain_m**2 / (180 * (1 - porosity) ** 2)


def darcy_rate_mm2_per_min(
    suction_mpa: Floats,
    cast_m2: Floats,
    mold_m2: Floats,
    water_per_cast: Floats,
    mold_porosity: Floats = 0.5,
    mold_filled: Floats = 0.0,
    temperature_degc: Floats = 20.0,
) -> Floats:
    """Return the casting rate of cast and wetted mold in series, by Darcy's law.

    ``k = 2 P / (eta n (1/Kc + n / (e (1 - s) Km)))``: the deeper the water must go
    into the mold for a cast, the more the mold's own resistance counts [1]_.

    Parameters
    ----------
    suction_mpa : float or array
        Suction ``P`` of the mold, more than 0. [MPa]
    cast_m2 : float or array
        Permeability ``Kc`` of the cast, more than 0. [m2]
    mold_m2 : float or array
        Permeability ``Km`` of the mold, more than 0. [m2]
    water_per_cast : float or array
        Water ``n`` that a volume of cast sends on: one less than
        `pourwright.materials.casting.water.slip_per_cast_volume`. [-]
    mold_porosity : float or array
        Porosity ``e`` of the mold, 0.1 to 0.9. [-]
    mold_filled : float or array
        Share ``s`` of the pores already full of water, 0 to less than 1. [-]
    temperature_degc : float or array
        Temperature of the water, 0 to 60. [degC]

    Returns
    -------
    float or array
        Casting rate on a flat face. [mm2/min]

    Raises
    ------
    OutOfRange
        If a value is outside its range.

    Notes
    -----
    For ratios only. The form is derived here; that the wetted depth of the mold
    is the filter's thickness is stated in [1]_, and ``2 P Kp / (eta L)`` in [2]_.

    Examples
    --------
    A mold half full of water, of a mold a hundred times as open as the cast:

    >>> dry = darcy_rate_mm2_per_min(0.1, 6.1e-17, 6.1e-15, 0.243)
    >>> damp = darcy_rate_mm2_per_min(0.1, 6.1e-17, 6.1e-15, 0.243, mold_filled=0.5)
    >>> f"{dry:.2f} mm2/min, {damp / dry:.3f} of it when damp"
    '2.99 mm2/min, 0.995 of it when damp'

    References
    ----------
    .. [1] A metals handbook's chapter on slip casting of powders.
    .. [2] Rodrigo, Vives, Moreno and Monfort, Qualicer (1992).
    """
    require_more_than("suction", suction_mpa, "MPa")
    require_more_than("permeability of the cast", cast_m2, "m2")
    require_more_than("permeability of the mold", mold_m2, "m2")
    require_more_than("water per cast", water_per_cast, "")
    require_between("porosity of the mold", mold_porosity, "", 0.1, 0.9)
    filled = np.asarray(mold_filled)
    good = (filled >= 0) & (filled < 1)
    require("share of full pores", mold_filled, "", "from 0 to less than 1", good)
    require_between("temperature", temperature_degc, "degC", 0.0, 60.0)
    room = mold_porosity * (1 - mold_filled)
    resistance = 1 / cast_m2 + water_per_cast / (room * mold_m2)
    viscosity_pa_s = water_viscosity_mpa_s(temperature_degc) / 1000
    per_second = 2 * suction_mpa * 1e6 / (viscosity_pa_s * water_per_cast * resistance)
    return per_second * 1e6 * 60
