"""Thin a slip or stiffen it, with what goes in weighed.

Every answer here is a balance: the clay and the water that go in are the clay
and the water that come out, and each law's test says so.

What this page leaves out: the deflocculant that thinned slip still carries and
stiffened slip lacks. Change the weight in small steps and look at the flow.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.materials.ranges import Floats, require, require_more_than
from pourwright.materials.slip.basis import dry_basis
from pourwright.materials.slip.liter_weight import (
    SOLIDS_KG_PER_L,
    require_liter_weight,
    water_to_dry,
)


@dataclass(frozen=True, slots=True)
class Adjustment:
    """What goes into a slip, and what it makes.

    Parameters
    ----------
    clay_kg : float or array
        Clay to add, as it lies there, with its own moisture. [kg]
    water_kg : float or array
        Water to add. [kg]
    makes_l : float or array
        Slip that there is afterwards. [l]
    """

    clay_kg: Floats
    water_kg: Floats
    makes_l: Floats


def thin(volume_l: Floats, from_g_per_l: Floats, to_g_per_l: Floats) -> Adjustment:
    """Return the water that brings a slip down to a weight.

    ``dV = V (rho1 - rho2) / (rho2 - 1)``; the solids' density does not come in.

    Parameters
    ----------
    volume_l : float or array
        Slip there is, more than 0. [l]
    from_g_per_l : float or array
        What a liter of it weighs. [g/l]
    to_g_per_l : float or array
        What a liter is to weigh, at most ``from_g_per_l``. [g/l]

    Returns
    -------
    Adjustment
        Water to add [kg] and the slip it makes [l].

    Raises
    ------
    OutOfRange
        If the slip is already lighter, or a weight is impossible.

    Examples
    --------
    >>> f"{thin(10.0, 1850.0, 1780.0).water_kg:.3f} kg"
    '0.897 kg'
    """
    require_more_than("slip", volume_l, "l")
    require_liter_weight("slip weight", from_g_per_l, 3.5)
    require_liter_weight("slip weight wanted", to_g_per_l, 3.5)
    lighter = np.asarray(to_g_per_l) <= np.asarray(from_g_per_l)
    hint = "To go up, add clay."
    require(
        "slip weight wanted",
        to_g_per_l,
        "g/l",
        f"at most {float(np.min(from_g_per_l)):g}",
        lighter,
        hint,
    )
    water = volume_l * (from_g_per_l - to_g_per_l) / (to_g_per_l - 1000)
    return Adjustment(clay_kg=0.0 * water, water_kg=water, makes_l=volume_l + water)


def stiffen(
    volume_l: Floats,
    from_g_per_l: Floats,
    to_g_per_l: Floats,
    clay_moisture: Floats = 0.0,
    solids_kg_per_l: Floats = SOLIDS_KG_PER_L,
) -> Adjustment:
    """Return the clay that brings a slip up to a weight.

    For dry clay ``dm = V (rho2 - rho1) / (1 - rho2 / S)``; clay that is damp
    must be drier than the slip that is wanted, or it thins it.

    Parameters
    ----------
    volume_l : float or array
        Slip there is, more than 0. [l]
    from_g_per_l : float or array
        What a liter of it weighs. [g/l]
    to_g_per_l : float or array
        What a liter is to weigh, at least ``from_g_per_l``. [g/l]
    clay_moisture : float or array
        Water share of the clay that is added (wet basis), 0 for dry powder and
        about 0.2 for plastic clay. [-]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    Adjustment
        Clay to add as it lies there [kg] and the slip it makes [l].

    Raises
    ------
    OutOfRange
        If the slip is already heavier, the clay too wet, or a weight impossible.

    Examples
    --------
    >>> added = stiffen(10.0, 1700.0, 1780.0)
    >>> f"{added.clay_kg:.3f} kg make {added.makes_l:.3f} l"
    '2.537 kg make 10.976 l'
    """
    require_more_than("slip", volume_l, "l")
    heavier = np.asarray(to_g_per_l) >= np.asarray(from_g_per_l)
    hint = "To go down, add water."
    require(
        "slip weight wanted",
        to_g_per_l,
        "g/l",
        f"at least {float(np.max(from_g_per_l)):g}",
        heavier,
        hint,
    )
    require_liter_weight("slip weight", from_g_per_l, solids_kg_per_l)
    wanted = water_to_dry(to_g_per_l, solids_kg_per_l)
    require_drier(clay_moisture, wanted)
    # Water that the slip has beyond what its own clay may have, for each liter.
    beyond = (to_g_per_l - from_g_per_l) / (to_g_per_l - 1000)
    added_dry = volume_l * beyond / (wanted - dry_basis(clay_moisture))
    clay = added_dry / (1 - clay_moisture)
    grown = added_dry / solids_kg_per_l + clay * clay_moisture
    return Adjustment(clay_kg=clay, water_kg=0.0 * clay, makes_l=volume_l + grown)


def require_drier(clay_moisture: Floats, wanted_water_to_dry: Floats) -> None:
    """Refuse clay that holds more water than the slip that it is to make.

    Parameters
    ----------
    clay_moisture : float or array
        Water share of the clay (wet basis). [-]
    wanted_water_to_dry : float or array
        Water over dry clay of the slip wanted. [-]

    Raises
    ------
    OutOfRange
        If the clay is too wet, or its share impossible.

    Examples
    --------
    >>> require_drier(0.2, 0.4)
    """
    share = np.asarray(clay_moisture)
    most = np.asarray(wanted_water_to_dry) / (1 + np.asarray(wanted_water_to_dry))
    require(
        "water share of the clay",
        clay_moisture,
        "",
        f"0 or more and less than the slip's own {float(np.min(most)):.3f}",
        (share >= 0) & (share < most),
        "Dry the clay first.",
    )
