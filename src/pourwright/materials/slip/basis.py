"""The other way round: what a slip weighs of known clay and water, and the two bases.

Water is told on the wet mass in textbooks and on the dry mass in recipes. Mixing
the two is the usual mistake: 28.8 % on the wet is 40.4 % on the dry.

What this page leaves out: the moisture that air-dry clay already holds, unless it is
told, and what is dissolved in the water.
"""

from __future__ import annotations

import numpy as np

from pourwright.materials.ranges import Floats, require, require_between, require_more_than
from pourwright.materials.slip.liter_weight import SOLIDS_KG_PER_L, WATER_KG_PER_L


def liter_weight_of_mix(
    dry_kg: Floats, water_kg: Floats, solids_kg_per_l: Floats = SOLIDS_KG_PER_L
) -> Floats:
    """Return what a liter weighs of so much dry clay stirred into so much water.

    ``rho = (d + w) / (d / S + w)``: the two volumes add.

    Parameters
    ----------
    dry_kg : float or array
        Dry solids, zero or more. [kg]
    water_kg : float or array
        Water, more than 0. [kg]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    float or array
        What one liter of the mix weighs, without air in it. [g/l]

    Raises
    ------
    OutOfRange
        If there is no water, or less than no clay.

    Examples
    --------
    >>> f"{liter_weight_of_mix(25.0, 10.0, 2.5):.0f} g/l"
    '1750 g/l'
    """
    volume = volume_of_mix_l(dry_kg, water_kg, solids_kg_per_l)
    return 1000 * (dry_kg + water_kg) / volume


def volume_of_mix_l(
    dry_kg: Floats, water_kg: Floats, solids_kg_per_l: Floats = SOLIDS_KG_PER_L
) -> Floats:
    """Return the volume that dry clay and water fill together, ``d / S + w``.

    Parameters
    ----------
    dry_kg : float or array
        Dry solids, zero or more. [kg]
    water_kg : float or array
        Water, more than 0. [kg]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    float or array
        Volume of the mix, without air in it. [l]

    Raises
    ------
    OutOfRange
        If there is no water, or less than no clay.

    Examples
    --------
    >>> f"{volume_of_mix_l(1.5, 0.6, 2.5):.2f} l"
    '1.20 l'
    """
    require("dry clay", dry_kg, "kg", "0 or more", np.asarray(dry_kg) >= 0)
    require_more_than("water", water_kg, "kg")
    require_between("density of the dry solids", solids_kg_per_l, "kg/l", 2.2, 3.5)
    return dry_kg / solids_kg_per_l + water_kg / WATER_KG_PER_L


def liter_weight_of_water_fraction(
    water_fraction_wet: Floats, solids_kg_per_l: Floats = SOLIDS_KG_PER_L
) -> Floats:
    """Return what a liter weighs of a mix whose water share is known (wet basis).

    ``rho = 1 / (w + (1 - w) / S)``; the inverse of `water_fraction`, and also the
    density of a saturated cast.

    Parameters
    ----------
    water_fraction_wet : float or array
        Mass of water over mass of mix, more than 0 and less than 1. [-]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    float or array
        What one liter of the mix weighs. [g/l]

    Raises
    ------
    OutOfRange
        If the share is not between 0 and 1.

    Examples
    --------
    >>> f"{liter_weight_of_water_fraction(0.2):.0f} g/l"
    '1970 g/l'
    """
    share = np.asarray(water_fraction_wet)
    require("water share", water_fraction_wet, "", "between 0 and 1", (share > 0) & (share < 1))
    return liter_weight_of_mix(1 - water_fraction_wet, water_fraction_wet, solids_kg_per_l)


def dry_basis(water_fraction_wet: Floats) -> Floats:
    """Return water over the dry mass, from water over the whole mass: ``w / (1 - w)``.

    Parameters
    ----------
    water_fraction_wet : float or array
        Mass of water over mass of wet clay, zero to less than 1. [-]

    Returns
    -------
    float or array
        Mass of water over mass of dry clay. [-]

    Raises
    ------
    OutOfRange
        If the share is less than zero, or 1 or more.

    Examples
    --------
    >>> f"{dry_basis(0.2):.2f}"
    '0.25'
    """
    share = np.asarray(water_fraction_wet)
    allowed = "0 or more and less than 1"
    require("water share", water_fraction_wet, "", allowed, (share >= 0) & (share < 1))
    return water_fraction_wet / (1 - water_fraction_wet)
