"""How much clay and how much water a liter of slip holds, from what it weighs.

One weighing answers it, because water and clay fill the liter between them
(Brongniart's law). Water is taken as 1.000 kg/l, as potters and the published
tables do; at 20 degC that makes the dry clay 0.1 % too little.

What this page leaves out: salts dissolved in the water (a slip's deflocculant
is some 0.3 % of its clay), and air stirred into it, which makes a slip weigh
less; `pourwright.materials.slip.scales` looks for that.
"""

from __future__ import annotations

import numpy as np

from pourwright.materials.ranges import Floats, require, require_between

WATER_KG_PER_L = 1.0
"""Density of water, by the potters' convention. [kg/l]"""

SOLIDS_KG_PER_L = 2.6
"""Density of the dry minerals of most casting bodies. [kg/l]

Handbooks print 2.5 for most clays and 2.5 to 2.6 for clay with glaze materials;
quartz, kaolinite and feldspar lie between 2.56 and 2.65.
"""


def likely_slip_of_hand(liter_weight_g_per_l: float) -> str:
    """Return what an impossible liter weight was probably meant to say.

    Parameters
    ----------
    liter_weight_g_per_l : float
        The number as it was read or typed. [g/l]

    Returns
    -------
    str
        A sentence, or "" if no usual slip of hand gives this number.

    Notes
    -----
    The usual slips are: a density where grams were asked; a 100 ml cup; ounces
    per pint; a pint instead of a liter; a scale that was not set to zero with
    the empty cup on it. Common practice, no source.

    Examples
    --------
    >>> likely_slip_of_hand(180.0)
    'Was it weighed in a 100 ml cup? Then write 1800 g/l.'
    >>> likely_slip_of_hand(1.75)
    'Is it a density? Then write 1750 g/l.'
    """
    weight = liter_weight_g_per_l
    if 1.0 < weight <= 2.6:
        return f"Is it a density? Then write {1000 * weight:.0f} g/l."
    if 24.0 <= weight <= 43.0:
        return "Is it in ounces? Then say whether they fill a US pint or an imperial pint."
    if 100.0 < weight <= 260.0:
        return f"Was it weighed in a 100 ml cup? Then write {10 * weight:.0f} g/l."
    if 600.0 <= weight <= 1000.0:
        return "Was it a pint, or was the measure not full? Weigh one full liter, or a full 100 ml."
    if weight > 2000.0:
        return "Was the scale set to zero with the empty measure on it?"
    return ""


def require_liter_weight(
    what: str, liter_weight_g_per_l: Floats, solids_kg_per_l: Floats = SOLIDS_KG_PER_L
) -> None:
    """Refuse a liter weight that no mix of clay and water can have.

    Parameters
    ----------
    what : str
        What was weighed, such as "slip weight".
    liter_weight_g_per_l : float or array
        What one liter weighs. [g/l]
    solids_kg_per_l : float or array
        Density of the dry solids. [kg/l]

    Raises
    ------
    OutOfRange
        If the weight is not above that of water and below that of the solids,
        or the solids are not between 2.2 and 3.5 kg/l.

    Examples
    --------
    >>> require_liter_weight("slip weight", 1750.0)
    >>> require_liter_weight("slip weight", 180.0)
    Traceback (most recent call last):
    ...
    pourwright.errors.OutOfRange: slip weight is 180 g/l; it must be between 1000 and 2600 g/l. \
Was it weighed in a 100 ml cup? Then write 1800 g/l.
    """
    require_between("density of the dry solids", solids_kg_per_l, "kg/l", 2.2, 3.5)
    weight, solids = np.broadcast_arrays(
        np.asarray(liter_weight_g_per_l, dtype=np.float64), np.asarray(solids_kg_per_l)
    )
    good = (weight > 1000 * WATER_KG_PER_L) & (weight < 1000 * solids)
    if good.all():
        return
    first = tuple(np.argwhere(~good)[0])
    allowed = f"between 1000 and {1000 * float(solids[first]):.0f}"
    require(what, weight, "g/l", allowed, good, likely_slip_of_hand(float(weight[first])))


def dry_kg_per_l(liter_weight_g_per_l: Floats, solids_kg_per_l: Floats = SOLIDS_KG_PER_L) -> Floats:
    """Return the dry clay in a liter of slip.

    ``W = (rho - rho_w) S / (S - rho_w)``: what a liter weighs above water, times
    the factor by which the solids outweigh the water they push away [1]_ [2]_.

    Parameters
    ----------
    liter_weight_g_per_l : float or array
        What one liter of the slip weighs, 1000 to 1000 ``S``. [g/l]
    solids_kg_per_l : float or array
        Density ``S`` of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    float or array
        Dry solids in a liter of slip. [kg/l]

    Raises
    ------
    OutOfRange
        If the weight is impossible; the sentence names the likely slip of hand.

    Notes
    -----
    An error of 0.05 kg/l in the solids' density moves the answer by 1.2 %.

    Examples
    --------
    >>> f"{dry_kg_per_l(1700.0, 2.5):.3f} kg"
    '1.167 kg'

    References
    ----------
    .. [1] Norsker and Danisch, Forming Techniques for the Self-Reliant Potter
       (GTZ, 1991), appendix, "Dry content of liquid".
    .. [2] Cardew, Pioneer Pottery (1969), p. 269, the same law in ounces per pint.
    """
    require_liter_weight("slip weight", liter_weight_g_per_l, solids_kg_per_l)
    above_water = liter_weight_g_per_l / 1000 - WATER_KG_PER_L
    return above_water * solids_kg_per_l / (solids_kg_per_l - WATER_KG_PER_L)


def water_kg_per_l(
    liter_weight_g_per_l: Floats, solids_kg_per_l: Floats = SOLIDS_KG_PER_L
) -> Floats:
    """Return the water in a liter of slip: its weight less its dry clay.

    Parameters
    ----------
    liter_weight_g_per_l : float or array
        What one liter of the slip weighs, 1000 to 1000 ``S``. [g/l]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    float or array
        Water in a liter of slip. [kg/l]

    Raises
    ------
    OutOfRange
        If the weight is impossible.

    Examples
    --------
    >>> f"{water_kg_per_l(1750.0, 2.5):.3f} kg"
    '0.500 kg'
    """
    return liter_weight_g_per_l / 1000 - dry_kg_per_l(liter_weight_g_per_l, solids_kg_per_l)


def water_fraction(
    liter_weight_g_per_l: Floats, solids_kg_per_l: Floats = SOLIDS_KG_PER_L
) -> Floats:
    """Return the share of a slip's mass that is water (wet basis).

    Textbooks give water this way; recipes give it per dry clay, which is
    `water_to_dry`. The two must not be mixed: 29 % of the one is 40 % of the other.

    Parameters
    ----------
    liter_weight_g_per_l : float or array
        What one liter of the slip weighs, 1000 to 1000 ``S``. [g/l]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    float or array
        Mass of water over mass of slip. [-]

    Raises
    ------
    OutOfRange
        If the weight is impossible.

    Examples
    --------
    >>> f"{water_fraction(1780.0):.4f}"
    '0.2879'
    """
    dry = dry_kg_per_l(liter_weight_g_per_l, solids_kg_per_l)
    return 1 - dry / (liter_weight_g_per_l / 1000)


def water_to_dry(liter_weight_g_per_l: Floats, solids_kg_per_l: Floats = SOLIDS_KG_PER_L) -> Floats:
    """Return a slip's water over its dry clay (dry basis), as recipes give it.

    Parameters
    ----------
    liter_weight_g_per_l : float or array
        What one liter of the slip weighs, 1000 to 1000 ``S``. [g/l]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    float or array
        Mass of water over mass of dry solids. [-]

    Raises
    ------
    OutOfRange
        If the weight is impossible.

    Examples
    --------
    >>> f"{water_to_dry(1750.0, 2.5):.2f}"
    '0.40'
    """
    return liter_weight_g_per_l / 1000 / dry_kg_per_l(liter_weight_g_per_l, solids_kg_per_l) - 1


def solids_volume_fraction(
    liter_weight_g_per_l: Floats, solids_kg_per_l: Floats = SOLIDS_KG_PER_L
) -> Floats:
    """Return the share of a slip's volume that is solid, ``(rho - 1) / (S - 1)``.

    Parameters
    ----------
    liter_weight_g_per_l : float or array
        What one liter of the slip weighs, 1000 to 1000 ``S``. [g/l]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    float or array
        Volume of solids over volume of slip. [-]

    Raises
    ------
    OutOfRange
        If the weight is impossible.

    Examples
    --------
    >>> f"{solids_volume_fraction(1800.0):.3f}"
    '0.500'
    """
    return dry_kg_per_l(liter_weight_g_per_l, solids_kg_per_l) / solids_kg_per_l
