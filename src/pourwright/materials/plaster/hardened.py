"""Set plaster: how much water it drinks, how strong it is, how far it grew as it set.

Absorption and strength are for ranking mixes, not for design: the strength law
mixes alpha and beta plasters in one fit, and the share of pores that water
reaches comes from two data sheets.

What this page leaves out: cracks, uneven mixing, additives for strength, and what
years of salts and water do to a mold.
"""

from __future__ import annotations

import numpy as np

from pourwright.materials.plaster.mix import Plaster, dry_density, porosity
from pourwright.materials.plaster.volumes import water_density
from pourwright.materials.ranges import Floats, Range, plain

REACHED_PORES = (0.72, 0.80, 0.88)
"""Share of the pores that a soak fills: from two printed absorptions, so they calibrate it."""
STRENGTH_AT_NO_PORES_MPA = 289.0
STRENGTH_FALL = 5.69
"""Least squares through eight printed strengths, consistency 32 to 74, r2 0.986."""


def absorption(plaster: Plaster) -> Range:
    """Return the water that a dry mold takes up when it is soaked.

    ``reached x porosity x rho_water/dry``, reached pores 0.80 (0.72 to 0.88).

    Parameters
    ----------
    plaster : Plaster
        The mix.

    Returns
    -------
    Range
        Water over dry mass. [-]

    Notes
    -----
    The reached share was set by a printed absorption of 36 % at consistency 70 [1]_
    and a printed pore volume of 44 % at 68 [2]_; neither says how it was measured.
    The figure says nothing about the rate of casting.

    Examples
    --------
    >>> drinks = absorption(Plaster("pottery plaster", 70, "the bag"))
    >>> f"{drinks.low:.2f} to {drinks.high:.2f}"
    '0.34 to 0.42'

    References
    ----------
    .. [1] A pottery plaster's data on a US supplier's product page.
    .. [2] A European pottery plaster's data sheet, 2017.
    """
    full = porosity(plaster) * water_density(20.0) / dry_density(plaster)
    low, likely, high = (share * full for share in REACHED_PORES)
    return Range(low, likely, high, "two printed absorptions, which calibrated it")


def dry_strength(plaster: Plaster) -> Floats:
    """Return the compressive strength of the dry mold, for ranking mixes only.

    ``289 exp(-5.69 porosity)`` MPa: a fit through eight printed strengths [1]_,
    which therefore do not test it. Within 20 % of them.

    Parameters
    ----------
    plaster : Plaster
        The mix.

    Returns
    -------
    float or array
        Compressive strength. [MPa]

    Notes
    -----
    One abstract gives a fall of only 1.5 % from consistency 66 to 82 [2]_, against
    31 % here and against every data sheet; the fit follows the data sheets.

    Examples
    --------
    >>> round(dry_strength(Plaster("pottery plaster", 70, "the bag")), 1)
    14.6

    References
    ----------
    .. [1] Makers' and suppliers' data at consistencies 32, 38, 45, 65, 68, 70, 70, 74.
    .. [2] Ochoa et al., Trans. Ind. Ceram. Soc. 77 (2018) 84, abstract.
    """
    return plain(STRENGTH_AT_NO_PORES_MPA * np.exp(-STRENGTH_FALL * np.asarray(porosity(plaster))))


def setting_expansion(plaster: Plaster, *, low_expansion: bool = False) -> Range:
    """Return how far a mold grows as it sets, in every direction alike.

    ``0.0022 - (c - 65) 0.0003/9`` from 0.22 % at consistency 65 to 0.19 % at 74
    [1]_, held at its ends; printed values spread from 0.15 to 0.30 %. Alpha plasters
    sold as low expansion: 0.08 to 0.13 %. Each mold taken from a mold grows again.

    Parameters
    ----------
    plaster : Plaster
        The mix.
    low_expansion : bool
        Whether the bag says low expansion (case and master plasters).

    Returns
    -------
    Range
        Growth over length. [-]

    Notes
    -----
    The two ends of the line are printed values and do not test it. An ordinary
    alpha plaster is printed with 0.39 % at consistency 45: outside consistency 60
    to 80 use the figure on the bag.

    Examples
    --------
    >>> growth = setting_expansion(Plaster("pottery plaster", 70, "the bag"))
    >>> f"{100 * growth.low:.2f} to {100 * growth.high:.2f} %, likely {100 * growth.likely:.2f} %"
    '0.15 to 0.30 %, likely 0.20 %'

    References
    ----------
    .. [1] A glass caster's table of molding plasters, blog, November 2009.
    """
    if low_expansion:
        return Range(0.0008, 0.00105, 0.0013, "two printed values for low-expansion alpha plasters")
    slope = (0.0022 - 0.0019) / (74 - 65)
    likely = plain(0.0022 - slope * (np.clip(plaster.consistency, 65.0, 74.0) - 65))
    return Range(0.0015, likely, 0.0030, "printed values at consistency 65 to 74")
