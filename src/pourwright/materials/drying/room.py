"""The air of a room in which molds dry: what ten wet molds do to it, and what a dryer needs.

What this page leaves out: water that walls, shelves and greenware take up or give, the
cold that evaporation brings, and heat lost through a dryer's walls.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.materials.drying.air import (
    STANDARD_PRESSURE_PA,
    air_volume,
    enthalpy,
    humidity_ratio,
    relative_humidity,
)
from pourwright.materials.drying.evaporation import wet_face
from pourwright.materials.ranges import (
    Floats,
    plain,
    require,
    require_between,
    require_more_than,
)

HOTTEST_DRY_C = 49.0
"""A plaster maker's limit for pottery plaster; see `pourwright.materials.drying.dehydration`."""
HOTTEST_DRYER_C = 70.0
"""Of the air that meets wet molds, which their own evaporation keeps cooler; common practice, no source."""


@dataclass(frozen=True, slots=True)
class RoomAir:
    """A room in balance with the molds that dry in it.

    Parameters
    ----------
    relative_humidity : float or array
        What the room comes to. [-]
    water_g_per_h : float or array
        What the molds give and the ventilation takes away. [g/h]
    """

    relative_humidity: Floats
    water_g_per_h: Floats


@dataclass(frozen=True, slots=True)
class Dryer:
    """What a cabinet needs to carry the water of its molds away.

    Parameters
    ----------
    air_m3_per_h : float or array
        Room air drawn in. [m3/h]
    heater_kw : float or array
        Power of the heater. [kW]
    energy_kwh : float or array
        Heat for the whole drying. [kWh]
    leaving_c : float or array
        Temperature of the air that leaves. [degC]
    """

    air_m3_per_h: Floats
    heater_kw: Floats
    energy_kwh: Floats
    leaving_c: Floats


def room_with_molds(
    open_area_m2: Floats,
    heat_w_per_m2_k: Floats,
    room_m3: Floats,
    air_changes_per_h: Floats,
    temperature_c: Floats,
    outside_c: Floats,
    outside_humidity: Floats,
    *,
    dry_layer_mm: Floats = 0.0,
) -> RoomAir:
    """Return the humidity of a heated room with wet molds in it.

    Mass balance: ``wet_face(humidity) x area = changes x room x (W - W_out)/v``,
    solved for the humidity by bisection; drier air takes more from the molds and
    less to the outside.

    Parameters
    ----------
    open_area_m2 : float or array
        Wet face of all the molds together. [m2]
    heat_w_per_m2_k : float or array
        Coefficient of heat transfer at the molds. [W/(m2 K)]
    room_m3 : float or array
        Volume of the room. [m3]
    air_changes_per_h : float or array
        Times an hour that the air is renewed: a closed old room 0.3 to 1, windows
        ajar 2 to 5 (common practice, no source). 0.05 to 60. [1/h]
    temperature_c : float or array
        Room temperature, which the heating holds. [degC]
    outside_c : float or array
        Outside temperature, 0 to 50; below freezing give 0 degC, the air is as
        good as dry. [degC]
    outside_humidity : float or array
        Relative humidity outside. [-]
    dry_layer_mm : float or array
        Dry plaster over the water of molds that are past their wet stage. [mm]

    Returns
    -------
    RoomAir
        Humidity and evaporation, at most 1: then walls and windows run wet.

    Raises
    ------
    OutOfRange
        If a figure is outside its range.

    Notes
    -----
    Water that the walls take up or give is left out, and so is the cold that the
    evaporation brings; both pass within a day or are the heating's.

    Examples
    --------
    Ten molds of 0.13 m2 in a room of 50 m3, winter, half an air change an hour:

    >>> air = room_with_molds(1.3, 7.6, 50.0, 0.5, 20.0, 5.0, 0.8)
    >>> f"{air.relative_humidity:.2f}, {air.water_g_per_h:.0f} g/h"
    '0.55, 112 g/h'
    """
    require_more_than("open area of the molds", open_area_m2, "m2")
    require_more_than("volume of the room", room_m3, "m3")
    require_between("air changes", air_changes_per_h, "an hour", 0.05, 60.0)
    outside = np.asarray(humidity_ratio(outside_c, outside_humidity))
    driest = np.minimum(relative_humidity(temperature_c, outside), 1.0)
    air_kg_per_h = air_changes_per_h * room_m3 / air_volume(temperature_c, outside)
    parts = (driest, open_area_m2, heat_w_per_m2_k, air_kg_per_h, temperature_c, dry_layer_mm)
    low = np.zeros(np.broadcast(*parts).shape) + driest
    high = np.ones_like(low)
    for _ in range(30):
        middle = (low + high) / 2
        face = wet_face(temperature_c, middle, heat_w_per_m2_k, dry_layer_mm=dry_layer_mm)
        given = face.water_g_per_m2_h * open_area_m2
        taken = air_kg_per_h * (humidity_ratio(temperature_c, middle) - outside) * 1000
        wetter = np.asarray(given) > taken
        low, high = np.where(wetter, middle, low), np.where(wetter, high, middle)
    humidity = (low + high) / 2
    taken = air_kg_per_h * (humidity_ratio(temperature_c, humidity) - outside) * 1000
    return RoomAir(plain(humidity), plain(taken))


def dryer(
    water_kg: Floats,
    hours: Floats,
    room_c: Floats,
    room_humidity: Floats,
    dryer_c: Floats = 45.0,
    leaving_humidity: Floats = 0.5,
) -> Dryer:
    """Return the air and the heat that carry a weight of water out of a drying cabinet.

    Room air is heated to the dryer's temperature; it takes up water along a line
    of constant enthalpy [1]_ until it leaves at the humidity told; ``air = water/(W_out
    - W_in)``, ``heat = air (H_dryer - H_room)``.

    Parameters
    ----------
    water_kg : float or array
        Water to carry away. [kg]
    hours : float or array
        In how long. [h]
    room_c : float or array
        Temperature of the room. [degC]
    room_humidity : float or array
        Relative humidity of the room. [-]
    dryer_c : float or array
        Temperature of the heated air, above the room's and at most 70; above 49 only
        while the molds are wet. [degC]
    leaving_humidity : float or array
        Relative humidity of the air that leaves: 0.3 to 0.9. A cabinet that
        recirculates leaves at more, and needs less heat. [-]

    Returns
    -------
    Dryer
        Air, power, energy and the temperature of the leaving air.

    Raises
    ------
    OutOfRange
        If a figure is outside its range, or the leaving air would be drier than
        the air that enters.

    Notes
    -----
    Losses through the walls are left out, and so is the heat of the plaster itself:
    take half as much again. The first stage of drying takes most of the water, so
    the power is not spread evenly.

    Examples
    --------
    >>> cabinet = dryer(15.3, 48.0, 20.0, 0.5)
    >>> f"{cabinet.air_m3_per_h:.0f} m3/h, {cabinet.heater_kw:.2f} kW, {cabinet.energy_kwh:.0f} kWh"
    '45 m3/h, 0.38 kW, 18 kWh'

    References
    ----------
    .. [1] ASHRAE Handbook, Fundamentals, Psychrometrics: adiabatic mixing of air and
       water at constant enthalpy, the enthalpy of the water itself left out.
    """
    require_more_than("water to carry away", water_kg, "kg")
    require_more_than("drying time", hours, "h")
    require_between("humidity of the leaving air", leaving_humidity, "of saturation", 0.3, 0.9)
    require(
        "dryer temperature",
        dryer_c,
        "degC",
        f"above the room's and at most {HOTTEST_DRYER_C:g}",
        (np.asarray(dryer_c) > room_c) & (np.asarray(dryer_c) <= HOTTEST_DRYER_C),
        "Hotter air takes the crystal water out of the plaster.",
    )
    entering = np.asarray(humidity_ratio(room_c, room_humidity))
    heat = np.asarray(enthalpy(dryer_c, entering))
    leaving_c = _leaving_temperature(heat, np.asarray(leaving_humidity), np.asarray(dryer_c))
    gained = humidity_ratio(leaving_c, leaving_humidity) - entering
    require(
        "water taken up by the air",
        gained,
        "kg/kg dry air",
        "more than 0",
        np.asarray(gained) > 0,
        "The air is more humid when it enters: warm it further, or let it leave more humid.",
    )
    air_kg = water_kg / gained
    energy_kwh = air_kg * (heat - enthalpy(room_c, entering)) / 3600
    air_m3 = air_kg * air_volume(room_c, entering) / hours
    return Dryer(plain(air_m3), plain(energy_kwh / hours), plain(energy_kwh), plain(leaving_c))


def _leaving_temperature(heat: Floats, humidity: Floats, dryer_c: Floats) -> Floats:
    """Return where a line of constant enthalpy meets a relative humidity. [degC]."""
    low = np.zeros(np.broadcast(heat, humidity, dryer_c).shape)
    high = low + dryer_c
    for _ in range(40):
        middle = (low + high) / 2
        over = enthalpy(middle, humidity_ratio(middle, humidity, STANDARD_PRESSURE_PA)) > heat
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    return plain((low + high) / 2)
