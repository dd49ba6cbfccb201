"""What a cast can take off a mold at most: ceilings, never casts left.

Both ceilings say why detail goes in tens of casts and shape in a hundred or so. How
many casts a mold has left no law says: it is a distribution from the studio's own
retired molds, judged every fifth cast against the reference piece.

What this page leaves out: rubbing, chipped edges, mold soap, strapping, and a dropped
part, which end more molds than chemistry does.
"""

from __future__ import annotations

import numpy as np

from pourwright.materials.plaster.mix import (
    GYPSUM_G_PER_MOL,
    Plaster,
    dry_density,
)
from pourwright.materials.ranges import Floats, plain, require, require_between

SODA_ASH_G_PER_MOL = 105.99
"""Molar mass of Na2CO3 (IUPAC abridged atomic weights)."""
JUDGE_EVERY_CASTS = 5
"""Compare a cast with the reference piece so often: same, softer, retire."""
EFFLORESCENCE = (
    "White fuzz on a mold is salt, mostly sodium sulfate from the deflocculant: brush it off dry, and dry "
    "molds face down or covered so that the salt leaves by the back."
)


def gypsum_solubility(temperature_c: Floats) -> Floats:
    """Return the gypsum that saturates a kilogram of pure water.

    ``13.05 + 0.1188 t - 0.001488 t^2`` mmol/kg: a parabola through the figures of a
    geochemical library at 0, 25 and 50 degC [1]_, within 0.1 % of those between.

    Parameters
    ----------
    temperature_c : float or array
        Temperature, 0 to 50. [degC]

    Returns
    -------
    float or array
        Gypsum over water. [g/kg]

    Raises
    ------
    OutOfRange
        If the temperature is outside the range.

    Notes
    -----
    Measured values at 25 degC run from 2.5 to 3.1 g/l [2]_.

    Examples
    --------
    >>> round(gypsum_solubility(25.0), 2)
    2.6

    References
    ----------
    .. [1] PHREEQC, database of the Dutch waterworks, log K 4.58 at 25 degC.
    .. [2] Lebedev and Kosorukov, Geochem. Int. 55 (2017) 205, abstract.
    """
    require_between("water temperature", temperature_c, "degC", 0.0, 50.0)
    millimol = 13.05 + (0.1188 - 0.001488 * temperature_c) * temperature_c
    return millimol * GYPSUM_G_PER_MOL / 1000


def dissolved_depth(
    water_to_mold_kg_per_m2: Floats, plaster: Plaster, temperature_c: Floats = 25.0
) -> Floats:
    """Return how deep the water of one cast could dissolve the face, at most.

    ``water x solubility/dry density``: as if all of it left saturated and came from
    the surface. Much of the change really happens inside the pores.

    Parameters
    ----------
    water_to_mold_kg_per_m2 : float or array
        Water that a cast gives to the mold, 1.1 for a 5 mm wall. [kg/m2]
    plaster : Plaster
        The mix.
    temperature_c : float or array
        Temperature, 0 to 50. [degC]

    Returns
    -------
    float or array
        Ceiling for a cast. [um]

    Raises
    ------
    OutOfRange
        If the water is less than nothing or the temperature outside its range.

    Examples
    --------
    >>> round(dissolved_depth(1.1, Plaster("pottery plaster", 70, "the bag")), 1)
    2.6
    """
    _require_water(water_to_mold_kg_per_m2)
    grams = water_to_mold_kg_per_m2 * gypsum_solubility(temperature_c)
    return grams / dry_density(plaster)


def exchanged_depth(clay_kg_per_m2: Floats, soda_fraction: Floats, plaster: Plaster) -> Floats:
    """Return how deep the soda of one cast could turn the face into chalk, at most.

    ``Na2CO3 + CaSO4 -> CaCO3 + Na2SO4``, molecule for molecule, as if all the soda
    of the cast reached the mold.

    Parameters
    ----------
    clay_kg_per_m2 : float or array
        Dry clay of the cast over its face. [kg/m2]
    soda_fraction : float or array
        Soda ash, or silicate counted as soda, over dry clay: 0.002 for 0.2 %. At
        most 0.02. [-]
    plaster : Plaster
        The mix.

    Returns
    -------
    float or array
        Ceiling for a cast. [um]

    Raises
    ------
    OutOfRange
        If the clay is less than nothing or the soda outside its range.

    Examples
    --------
    >>> round(exchanged_depth(3.0, 0.002, Plaster("pottery plaster", 70, "the bag")), 1)
    8.8
    """
    require(
        "dry clay of the cast",
        clay_kg_per_m2,
        "kg/m2",
        "at least 0",
        np.asarray(clay_kg_per_m2) >= 0,
    )
    require_between("soda", soda_fraction, "of the dry clay", 0.0, 0.02, "0.2 % is written 0.002.")
    grams = clay_kg_per_m2 * soda_fraction * 1000 * GYPSUM_G_PER_MOL / SODA_ASH_G_PER_MOL
    return plain(grams / np.asarray(dry_density(plaster)))


def _require_water(water_kg_per_m2: Floats) -> None:
    """Refuse water below nothing."""
    require(
        "water to the mold",
        water_kg_per_m2,
        "kg/m2",
        "at least 0 and finite",
        (np.asarray(water_kg_per_m2) >= 0) & np.isfinite(water_kg_per_m2),
    )
