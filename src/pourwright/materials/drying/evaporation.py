"""How fast a wet plaster face gives its water to the air.

The wet face cools until the heat that reaches it from the air and the room is
what its evaporation takes. The heat transfer coefficient is the weak point: three
printed correlations differ by a factor of two, and all three are carried along.

What this page leaves out: edges, molds that stand in each other's lee, sunshine, and
salts at the face, which slow a used mold.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.materials.drying.air import (
    DRY_AIR_GAS_CONSTANT,
    STANDARD_PRESSURE_PA,
    VAPOR_GAS_CONSTANT,
    latent_heat,
    saturation_pressure,
    vapor_pressure,
)
from pourwright.materials.ranges import Floats, Range, plain, require, require_between

STILL_AIR_W_PER_M2_K = 3.0
"""Free convection; a textbook figure, from memory."""
ROOM_RADIATION_W_PER_M2_K = 5.0
"""Between a mold and a room at room temperature; 0 where it sees only wet molds."""
LEWIS_NUMBER = 0.87
"""Schmidt over Prandtl number of water vapor in air; textbooks, from memory."""
AIR_HEAT_J_PER_KG_K = 1006.0
_NUDGE = 1e-4
AIR_CONDUCTIVITY_W_PER_M_K = 0.0257
AIR_VISCOSITY_M2_PER_S = 1.51e-5
AIR_PRANDTL = 0.71
"""Air at 20 degC, textbooks, from memory; they serve the low correlation only."""
DRY_LAYER_MU = 8.0
"""How much longer vapor's way is in dry plaster: 4 to 10 in EN ISO 10456 (from memory)."""
DRY_LAYER_W_PER_M_K = 0.4
"""Conductivity of dry plaster of 1100 kg/m3 (EN ISO 10456, from memory; 0.30 measured at 998)."""


@dataclass(frozen=True, slots=True)
class WetFace:
    """A wet face in balance with the air and the room.

    Parameters
    ----------
    surface_c : float or array
        Its temperature. [degC]
    water_g_per_m2_h : float or array
        What it evaporates. [g/(m2 h)]
    """

    surface_c: Floats
    water_g_per_m2_h: Floats


def heat_transfer(air_speed_m_per_s: Floats, face_length_mm: float = 200.0) -> Range:
    """Return the coefficient of heat transfer between air and a face, as a range.

    Low: a laminar plate, ``Nu = 0.664 Re^0.5 Pr^(1/3)``. Likely: ``5.7 + 3.8 v``
    [1]_. High: ``0.0204 G^0.8`` with G in kg/(m2 h) [2]_, where that is more. Never
    below 3, still air.

    Parameters
    ----------
    air_speed_m_per_s : float or array
        Speed of the air along the face, 0 to 8: a fan not aimed at the molds gives
        0.3 to 1. [m/s]
    face_length_mm : float
        Length of the face along the air, 20 to 2000. [mm]

    Returns
    -------
    Range
        Coefficient. [W/(m2 K)]

    Raises
    ------
    OutOfRange
        If speed or length is outside its range.

    Notes
    -----
    All three are textbook correlations for flat plates, from memory; a stack of
    molds on a rack is none.

    Examples
    --------
    >>> h = heat_transfer(1.0)
    >>> f"{h.low:.1f}, {h.likely:.1f}, {h.high:.1f}"
    '8.8, 9.5, 16.5'

    References
    ----------
    .. [1] McAdams, Heat Transmission (after Juerges).
    .. [2] Geankoplis, Transport Processes and Unit Operations, section 9.6.
    """
    require_between("air speed", air_speed_m_per_s, "m/s", 0.0, 8.0)
    require_between("length of the face", face_length_mm, "mm", 20.0, 2000.0)
    speed, length_m = np.asarray(air_speed_m_per_s, dtype=np.float64), face_length_mm / 1000
    reynolds = speed * length_m / AIR_VISCOSITY_M2_PER_S
    nusselt = 0.664 * np.sqrt(reynolds) * AIR_PRANDTL ** (1 / 3)
    likely = np.maximum(STILL_AIR_W_PER_M2_K, 5.7 + 3.8 * speed)
    low = np.clip(nusselt * AIR_CONDUCTIVITY_W_PER_M_K / length_m, STILL_AIR_W_PER_M2_K, likely)
    high = np.maximum(0.0204 * (speed * 1.2 * 3600) ** 0.8, likely)
    return Range(
        plain(low), plain(likely), plain(high), "three textbook correlations for flat plates"
    )


def vapor_transfer(
    heat_w_per_m2_k: Floats, temperature_c: Floats, pressure_pa: Floats = STANDARD_PRESSURE_PA
) -> Floats:
    """Return the coefficient of vapor transfer that goes with one of heat.

    ``h/(rho cp Le^(2/3))``, Lewis number 0.87.

    Parameters
    ----------
    heat_w_per_m2_k : float or array
        Coefficient of heat transfer. [W/(m2 K)]
    temperature_c : float or array
        Air temperature. [degC]
    pressure_pa : float or array
        Air pressure. [Pa]

    Returns
    -------
    float or array
        Coefficient of vapor transfer. [m/s]

    Examples
    --------
    >>> round(vapor_transfer(9.5, 20.0), 5)
    0.00861
    """
    density = pressure_pa / (DRY_AIR_GAS_CONSTANT * (temperature_c + 273.15))
    return plain(heat_w_per_m2_k / (density * AIR_HEAT_J_PER_KG_K * LEWIS_NUMBER ** (2 / 3)))


def wet_face(
    temperature_c: Floats,
    relative_humidity: Floats,
    heat_w_per_m2_k: Floats,
    radiation_w_per_m2_k: Floats = ROOM_RADIATION_W_PER_M2_K,
    *,
    dry_layer_mm: Floats = 0.0,
    pressure_pa: Floats = STANDARD_PRESSURE_PA,
) -> WetFace:
    """Return the temperature and the evaporation of a wet face, or of water behind a dry layer.

    Solves ``(p_s(Ts)/(Rv Ts) - p_v/(Rv Ta)) L(Ts)/r_v = (Ta - Ts)/r_h`` with
    ``r_v = 1/h_m + mu d/D`` and ``r_h = 1/(h + h_r) + d/lambda`` for the dry layer
    d (mu 8, lambda 0.4 W/(m K)). Without radiation and layer Ts is
    0.4 to 1.3 degC below the wet bulb of meteorology, since vapor passes the air sooner
    than heat does.

    Parameters
    ----------
    temperature_c : float or array
        Air temperature, 2 to 70. [degC]
    relative_humidity : float or array
        0 to 1. [-]
    heat_w_per_m2_k : float or array
        Coefficient of heat transfer, 1 to 200; see `heat_transfer`. [W/(m2 K)]
    radiation_w_per_m2_k : float or array
        The same for radiation from the room, 0 to 10. [W/(m2 K)]
    dry_layer_mm : float or array
        Dry plaster between the water and the air, 0 to 200. [mm]
    pressure_pa : float or array
        Air pressure. [Pa]

    Returns
    -------
    WetFace
        Temperature of the water and what evaporates. [degC, g/(m2 h)]

    Raises
    ------
    OutOfRange
        If a figure is outside its range, or the face would freeze.

    Notes
    -----
    Formulas for open pools that take the vapor pressure at the *air's*
    temperature give three times too much for a mold, which cools.

    Examples
    --------
    >>> face = wet_face(20.0, 0.5, heat_transfer(1.0).likely)
    >>> f"{face.surface_c:.1f} degC, {face.water_g_per_m2_h:.0f} g/(m2 h)"
    '14.5 degC, 117 g/(m2 h)'
    """
    require_between("air temperature", temperature_c, "degC", 2.0, 70.0)
    require_between("coefficient of heat transfer", heat_w_per_m2_k, "W/(m2 K)", 1.0, 200.0)
    require_between("coefficient of radiation", radiation_w_per_m2_k, "W/(m2 K)", 0.0, 10.0)
    require_between("dry layer", dry_layer_mm, "mm", 0.0, 200.0)
    vapor = vapor_pressure(temperature_c, relative_humidity)
    air_kg_per_m3 = vapor / (VAPOR_GAS_CONSTANT * (temperature_c + 273.15))
    layer_m = np.asarray(dry_layer_mm) / 1000
    vapor_path = 1 / vapor_transfer(heat_w_per_m2_k, temperature_c, pressure_pa)
    vapor_path = vapor_path + DRY_LAYER_MU * layer_m / vapor_diffusivity(temperature_c, pressure_pa)
    heat_path = 1 / (heat_w_per_m2_k + radiation_w_per_m2_k) + layer_m / DRY_LAYER_W_PER_M_K
    surface = _balance(np.asarray(temperature_c, float), air_kg_per_m3, vapor_path, heat_path)
    require(
        "temperature of the wet face",
        surface,
        "degC",
        "above 0",
        np.asarray(surface) > 1e-6,
        "In air this cold and dry the face would freeze.",
    )
    flux = _excess_vapor(surface, air_kg_per_m3) / vapor_path
    return WetFace(plain(surface), plain(flux * 3.6e6))


def vapor_diffusivity(temperature_c: Floats, pressure_pa: Floats = STANDARD_PRESSURE_PA) -> Floats:
    """Return how fast water vapor spreads in still air.

    ``1.87e-10 T^2.072/p``, p in atmospheres [1]_, from memory.

    Parameters
    ----------
    temperature_c : float or array
        Temperature. [degC]
    pressure_pa : float or array
        Air pressure. [Pa]

    Returns
    -------
    float or array
        Diffusivity. [m2/s]

    Examples
    --------
    >>> f"{vapor_diffusivity(25.0):.2e}"
    '2.51e-05'

    References
    ----------
    .. [1] Marrero and Mason, J. Phys. Chem. Ref. Data 1 (1972) 3.
    """
    return 1.87e-10 * (temperature_c + 273.15) ** 2.072 * STANDARD_PRESSURE_PA / pressure_pa


def _excess_vapor(surface_c: Floats, air_kg_per_m3: Floats) -> Floats:
    """Return the vapor over wet plaster in excess of that in the air. [kg/m3]."""
    kelvin = surface_c + 273.15
    return saturation_pressure(surface_c) / (VAPOR_GAS_CONSTANT * kelvin) - air_kg_per_m3


def _balance(air_c: Floats, air_kg_per_m3: Floats, vapor_path: Floats, heat_path: Floats) -> Floats:
    """Return the temperature at which heat in and evaporation out agree. [degC].

    Newton's method from the air's temperature downward: evaporation less heat rises
    with the face's temperature and bends upward, so the steps cannot overshoot. A
    face that would freeze is held at 0, for the caller to refuse.
    """

    def off(surface_c: Floats) -> Floats:
        out = _excess_vapor(surface_c, air_kg_per_m3) / vapor_path * latent_heat(surface_c) * 1000
        return out - (air_c - surface_c) / heat_path

    surface = np.zeros(np.broadcast(air_c, air_kg_per_m3, vapor_path, heat_path).shape) + air_c
    for _ in range(9):
        here = off(surface)
        slope = (off(surface + _NUDGE) - here) / _NUDGE
        surface = np.maximum(surface - here / slope, 0.0)
    return plain(surface)
