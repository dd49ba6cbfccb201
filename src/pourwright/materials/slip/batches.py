"""Make slip from dry clay, plastic clay or returns, with what goes in weighed.

Plastic clay and returns bring their own water, so less goes in. What they bring
of deflocculant and of salts from the molds is not in the balance; see
`pourwright.materials.slip.returns`.

Dry clay is dust with silica in it: weigh it under extraction or with a fitted
respirator, put clay into water and not water onto clay, clean up wet. Soda ash
and silicate burn eyes: wear goggles. The suppliers' safety sheets go before this.

What this page leaves out: deflocculant and salts that plastic clay and returns bring,
and what sticks to buckets and sieve.
"""

from __future__ import annotations

import numpy as np

from pourwright.materials.ranges import Floats, require, require_more_than
from pourwright.materials.slip.liter_weight import (
    SOLIDS_KG_PER_L,
    dry_kg_per_l,
    water_kg_per_l,
    water_to_dry,
)
from pourwright.materials.slip.mixing import Adjustment, require_drier


def make_slip(
    volume_l: Floats,
    liter_weight_g_per_l: Floats,
    clay_moisture: Floats = 0.0,
    solids_kg_per_l: Floats = SOLIDS_KG_PER_L,
) -> Adjustment:
    """Return the clay and the water for a volume of slip.

    Parameters
    ----------
    volume_l : float or array
        Slip wanted, more than 0. [l]
    liter_weight_g_per_l : float or array
        What a liter of it is to weigh. [g/l]
    clay_moisture : float or array
        Water share of the clay (wet basis), 0 for dry powder and about 0.2 for
        plastic clay; weigh a lump before and after drying. [-]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    Adjustment
        Clay as it lies there, and water [kg]; ``makes_l`` is ``volume_l`` [l].

    Raises
    ------
    OutOfRange
        If the clay is wetter than the slip, or a value impossible.

    Examples
    --------
    Twenty liters from plastic clay of 20 % water:

    >>> batch = make_slip(20.0, 1750.0, clay_moisture=0.20)
    >>> f"{batch.clay_kg:.1f} kg clay, {batch.water_kg:.1f} kg water"
    '30.5 kg clay, 4.5 kg water'
    """
    require_more_than("slip wanted", volume_l, "l")
    require_drier(clay_moisture, water_to_dry(liter_weight_g_per_l, solids_kg_per_l))
    clay = volume_l * dry_kg_per_l(liter_weight_g_per_l, solids_kg_per_l) / (1 - clay_moisture)
    water = volume_l * liter_weight_g_per_l / 1000 - clay
    return Adjustment(clay_kg=clay, water_kg=water, makes_l=volume_l)


def slip_from_clay(
    clay_kg: Floats,
    liter_weight_g_per_l: Floats,
    clay_moisture: Floats = 0.0,
    solids_kg_per_l: Floats = SOLIDS_KG_PER_L,
) -> Adjustment:
    """Return the water for a lot of clay, and the slip that it makes.

    Parameters
    ----------
    clay_kg : float or array
        Clay there is, with its own moisture, more than 0. [kg]
    liter_weight_g_per_l : float or array
        What a liter of slip is to weigh. [g/l]
    clay_moisture : float or array
        Water share of the clay (wet basis). [-]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    Adjustment
        The clay as given, water to add [kg], slip it makes [l].

    Raises
    ------
    OutOfRange
        If the clay is wetter than the slip, or a value impossible.

    Examples
    --------
    >>> batch = slip_from_clay(25.0, 1750.0, solids_kg_per_l=2.5)
    >>> f"{batch.water_kg:.1f} kg of water make {batch.makes_l:.1f} l"
    '10.0 kg of water make 20.0 l'
    """
    require_more_than("clay", clay_kg, "kg")
    one_l = make_slip(1.0, liter_weight_g_per_l, clay_moisture, solids_kg_per_l)
    liters = clay_kg / one_l.clay_kg
    return Adjustment(clay_kg=clay_kg, water_kg=liters * one_l.water_kg, makes_l=liters)


def make_slip_with_returns(
    volume_l: Floats,
    liter_weight_g_per_l: Floats,
    returns_l: Floats,
    returns_g_per_l: Floats,
    clay_moisture: Floats = 0.0,
    solids_kg_per_l: Floats = SOLIDS_KG_PER_L,
) -> Adjustment:
    """Return what must go to a lot of returned slip to make a volume at a weight.

    Parameters
    ----------
    volume_l : float or array
        Slip wanted in all, more than 0. [l]
    liter_weight_g_per_l : float or array
        What a liter of it is to weigh. [g/l]
    returns_l : float or array
        Returned slip that goes in, more than 0 and at most ``volume_l``. [l]
    returns_g_per_l : float or array
        What a liter of the returns weighs. [g/l]
    clay_moisture : float or array
        Water share of the clay that goes in (wet basis). [-]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    Adjustment
        Clay and water to add [kg]; ``makes_l`` is ``volume_l`` [l].

    Raises
    ------
    OutOfRange
        If the returns already hold more clay, or more water, than is wanted.

    Notes
    -----
    Returns also bring what they picked up in the molds; see
    `pourwright.materials.slip.returns.carried_over`.

    Examples
    --------
    >>> batch = make_slip_with_returns(20.0, 1780.0, 8.0, 1720.0)
    >>> f"{batch.clay_kg:.1f} kg clay, {batch.water_kg:.1f} kg water"
    '16.0 kg clay, 5.9 kg water'
    """
    require_more_than("slip wanted", volume_l, "l")
    returns = np.asarray(returns_l)
    fits = (returns > 0) & (returns <= np.asarray(volume_l))
    require(
        "returned slip",
        returns_l,
        "l",
        f"more than 0 and at most {float(np.max(volume_l)):g}",
        fits,
    )
    require_drier(clay_moisture, water_to_dry(liter_weight_g_per_l, solids_kg_per_l))
    dry = volume_l * dry_kg_per_l(liter_weight_g_per_l, solids_kg_per_l)
    water = volume_l * water_kg_per_l(liter_weight_g_per_l, solids_kg_per_l)
    dry = dry - returns_l * dry_kg_per_l(returns_g_per_l, solids_kg_per_l)
    water = water - returns_l * water_kg_per_l(returns_g_per_l, solids_kg_per_l)
    hint = "Make more slip of these returns, or thin them first."
    require("clay still wanted", dry, "kg", "0 or more", np.asarray(dry) >= 0, hint)
    clay = dry / (1 - clay_moisture)
    water = water - clay * clay_moisture
    hint = "Make more slip of these returns, or stiffen them first."
    require("water still wanted", water, "kg", "0 or more", np.asarray(water) >= 0, hint)
    return Adjustment(clay_kg=clay, water_kg=water, makes_l=volume_l)


def deflocculant_kg(dry_clay_kg: Floats, share_of_dry: Floats) -> Floats:
    """Return the deflocculant for a mass of dry clay.

    Parameters
    ----------
    dry_clay_kg : float or array
        Dry clay in the slip, more than 0. [kg]
    share_of_dry : float or array
        Deflocculant over dry clay, as the supplier gives it or a series found
        it, 0 to 0.02. [-]

    Returns
    -------
    float or array
        Deflocculant as sold. [kg]

    Raises
    ------
    OutOfRange
        If the share is outside what any supplier prints.

    Notes
    -----
    Printed doses: 0.1 to 0.65 % for vitreous china, 0.24 to 0.42 % of silicate
    with soda ash for a powdered body, 0.16 to 0.70 % of polymers. A dose is
    never taken from one deflocculant to another.

    Examples
    --------
    >>> f"{1000 * deflocculant_kg(25.0, 0.003):.0f} g"
    '75 g'
    """
    require_more_than("dry clay", dry_clay_kg, "kg")
    hint = "It is a fraction: 0.3 % is 0.003."
    share = np.asarray(share_of_dry)
    good = (share >= 0) & (share <= 0.02)
    require("deflocculant on dry clay", share_of_dry, "", "between 0 and 0.02", good, hint)
    return dry_clay_kg * share_of_dry
