"""The volume of a mold's plaster, however the maker knows it, and what the mold weighs.

What this page leaves out: water that clings above the rim of a master, frames that
bulge under the plaster's weight, and straps that take up water themselves.
"""

from __future__ import annotations

import numpy as np

from pourwright.materials.plaster.mix import Plaster, dry_density, wet_density
from pourwright.materials.ranges import Floats, require, require_between, require_more_than

_KELL_TOP = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
_KELL_BOTTOM = 16.879850e-3


def water_density(temperature_c: Floats = 20.0) -> Floats:
    """Return the density of liquid water at ordinary pressure.

    Kell's rational polynomial [1]_, constants from memory and held against
    IAPWS-95 to 0.01 %.

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 100. [degC]

    Returns
    -------
    float or array
        Kilograms a liter. [kg/l]

    Raises
    ------
    OutOfRange
        If the water would be ice or steam.

    Examples
    --------
    >>> round(water_density(20.0), 4)
    0.9982

    References
    ----------
    .. [1] Kell, G. S., Density, thermal expansivity, and compressibility of liquid
       water from 0 to 150 degC, J. Chem. Eng. Data 20 (1975) 97.
    """
    require_between("water temperature", temperature_c, "degC", 0.0, 100.0)
    top = sum(a * temperature_c**power for power, a in enumerate(_KELL_TOP))
    return top / (1 + _KELL_BOTTOM * temperature_c) / 1000


def volume_from_water_fill(water_kg: Floats, temperature_c: Floats = 20.0) -> Floats:
    """Return the volume that a weighed fill of water shows.

    Mass over the density of water at its temperature.

    Parameters
    ----------
    water_kg : float or array
        Water that fills the rubber master level, weighed. [kg]
    temperature_c : float or array
        Its temperature, 0 to 100. [degC]

    Returns
    -------
    float or array
        Volume of the part that will be poured. [l]

    Raises
    ------
    OutOfRange
        If the mass is not more than zero or the temperature is impossible.

    Examples
    --------
    >>> round(volume_from_water_fill(3.20), 3)
    3.206
    """
    require_more_than("water that fills the master", water_kg, "kg")
    return water_kg / water_density(temperature_c)


def volume_from_dry_mass(dry_kg: Floats, plaster: Plaster) -> Floats:
    """Return the volume of a mold that was weighed dry.

    Mass over `pourwright.materials.plaster.mix.dry_density`.

    Parameters
    ----------
    dry_kg : float or array
        The dry mold or part, without straps. [kg]
    plaster : Plaster
        The mix it was poured with.

    Returns
    -------
    float or array
        Volume. [l]

    Raises
    ------
    OutOfRange
        If the mass is not more than zero.

    Examples
    --------
    >>> round(volume_from_dry_mass(3.5, Plaster("pottery plaster", 70, "the bag")), 2)
    3.17
    """
    require_more_than("dry mass of the mold", dry_kg, "kg")
    return dry_kg / dry_density(plaster)


def volume_from_box(
    length_mm: Floats, width_mm: Floats, height_mm: Floats, displaced_l: Floats = 0.0
) -> Floats:
    """Return the plaster in a pouring frame around what stands in it.

    ``length x width x height - displaced``; a million cubic millimeters a liter.

    Parameters
    ----------
    length_mm, width_mm, height_mm : float or array
        The inside of the frame, up to the plaster's surface. [mm]
    displaced_l : float or array
        Volume of what stands in the frame: model, clay, other parts. [l]

    Returns
    -------
    float or array
        Volume of plaster. [l]

    Raises
    ------
    OutOfRange
        If a side is not more than zero, or what stands in the frame fills it.

    Examples
    --------
    >>> volume_from_box(200.0, 150.0, 120.0, displaced_l=0.9)
    2.7
    """
    for side, value in (("length", length_mm), ("width", width_mm), ("height", height_mm)):
        require_more_than(f"{side} of the frame", value, "mm")
    frame_l = length_mm * width_mm * height_mm / 1e6
    displaced = np.asarray(displaced_l)
    require(
        "volume displaced in the frame",
        displaced_l,
        "l",
        f"at least 0 and less than the frame's {float(np.min(frame_l)):g}",
        (displaced >= 0) & (displaced < frame_l),
    )
    return frame_l - displaced_l


def wet_mass(volume_l: Floats, plaster: Plaster, straps_kg: Floats = 0.0) -> Floats:
    """Return what a fresh mold weighs on the day it is poured.

    ``volume x wet density + straps``: strapped molds are weighed whole.

    Parameters
    ----------
    volume_l : float or array
        Plaster of all its parts. [l]
    plaster : Plaster
        The mix.
    straps_kg : float or array
        Straps, boards and bands that are weighed with it. [kg]

    Returns
    -------
    float or array
        Wet mass. [kg]

    Raises
    ------
    OutOfRange
        If the volume is not more than zero or the straps weigh less than nothing.

    Examples
    --------
    >>> round(wet_mass(3.2, Plaster("pottery plaster", 70, "the bag"), straps_kg=0.1), 2)
    5.16
    """
    return _mass(volume_l, wet_density(plaster), straps_kg)


def dry_mass(volume_l: Floats, plaster: Plaster, straps_kg: Floats = 0.0) -> Floats:
    """Return what a mold will weigh once its free water has gone.

    ``volume x dry density + straps``.

    Parameters
    ----------
    volume_l : float or array
        Plaster of all its parts. [l]
    plaster : Plaster
        The mix.
    straps_kg : float or array
        Straps, boards and bands that are weighed with it. [kg]

    Returns
    -------
    float or array
        Dry mass. [kg]

    Raises
    ------
    OutOfRange
        If the volume is not more than zero or the straps weigh less than nothing.

    Examples
    --------
    >>> round(dry_mass(3.2, Plaster("pottery plaster", 70, "the bag"), straps_kg=0.1), 2)
    3.63
    """
    return _mass(volume_l, dry_density(plaster), straps_kg)


def _mass(volume_l: Floats, kg_per_l: Floats, straps_kg: Floats) -> Floats:
    """Return the mass of plaster and straps [kg]."""
    require_more_than("volume of the mold", volume_l, "l")
    require("mass of the straps", straps_kg, "kg", "at least 0", np.asarray(straps_kg) >= 0)
    return volume_l * kg_per_l + straps_kg
