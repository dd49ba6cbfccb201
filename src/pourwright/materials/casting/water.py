"""What one cast takes from the slip and gives to the mold.

Water and clay are only moved about: what the cast keeps and what the mold
drinks are together what left the slip. So one volume, the cast's, gives the
rest. A drain cast takes its volume from wall and area, a solid one from the
cavity.

What this page leaves out: the film of slip that stays on the wall after
draining (no published figure; some tenths of a millimeter) and what spills.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.materials.ranges import Floats, require, require_between, require_more_than
from pourwright.materials.slip.basis import liter_weight_of_water_fraction
from pourwright.materials.slip.liter_weight import (
    SOLIDS_KG_PER_L,
    solids_volume_fraction,
    water_fraction,
)

CAST_MOISTURE = 0.20
"""Water share of a fresh cast, wet basis. [-]

18 to 22 % in practice. The same bodies are extruded at 19 to 21 % (Casting Slip
Control, a UK ball-clay producer's booklet).
"""


@dataclass(frozen=True, slots=True)
class WaterBalance:
    """What one cast takes and gives; each may be a number or an array.

    Parameters
    ----------
    cast_l : float or array
        Volume of the fresh cast. [l]
    cast_kg : float or array
        Its mass, with its water. [kg]
    dry_kg : float or array
        Dry clay in it. [kg]
    kept_l : float or array
        Slip used up: what was filled and topped up less what was drained. [l]
    water_to_mold_kg : float or array
        Water the mold takes up. [kg]
    top_up_l : float or array
        How far the slip sinks while casting, to be topped up. [l]
    """

    cast_l: Floats
    cast_kg: Floats
    dry_kg: Floats
    kept_l: Floats
    water_to_mold_kg: Floats
    top_up_l: Floats


def cast_volume_l(area_m2: Floats, wall_mm: Floats) -> Floats:
    """Return the volume of a cast wall: its area times its thickness.

    One square meter, one millimeter thick, is one liter.

    Parameters
    ----------
    area_m2 : float or array
        Area of the mold's face that the slip touches, more than 0. [m2]
    wall_mm : float or array
        Thickness of the wall, more than 0. [mm]

    Returns
    -------
    float or array
        Volume of the cast. [l]

    Raises
    ------
    OutOfRange
        If either is not more than zero.

    Notes
    -----
    The face of the mold is the outside of the piece. On the inside of a tube of
    radius R the wall holds ``1 - wall / (2 R)`` of this: 5 % less for 4 mm in
    an 80 mm beaker.

    Examples
    --------
    >>> f"{cast_volume_l(0.05, 4.0):.2f} l"
    '0.20 l'
    """
    require_more_than("surface area", area_m2, "m2")
    require_more_than("wall", wall_mm, "mm")
    return area_m2 * wall_mm


def slip_per_cast_volume(
    liter_weight_g_per_l: Floats,
    cast_moisture: Floats = CAST_MOISTURE,
    solids_kg_per_l: Floats = SOLIDS_KG_PER_L,
) -> Floats:
    """Return the liters of slip that make a liter of cast.

    The solids stay: ``phi_cast / phi_slip``, each the solids' share of the volume.
    One less than this is the water, in kilograms, that a liter of cast sends
    into the mold.

    Parameters
    ----------
    liter_weight_g_per_l : float or array
        What one liter of the slip weighs. [g/l]
    cast_moisture : float or array
        Water share of the fresh cast (wet basis), less than the slip's and at
        least 0.05. [-]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    float or array
        Liters of slip to a liter of cast, more than 1. [-]

    Raises
    ------
    OutOfRange
        If the slip holds no more water than the cast.

    Examples
    --------
    >>> f"{slip_per_cast_volume(1780.0):.3f}"
    '1.243'
    """
    slip_water = water_fraction(liter_weight_g_per_l, solids_kg_per_l)
    moisture = np.asarray(cast_moisture)
    require(
        "water share of the cast",
        cast_moisture,
        "",
        f"at least 0.05 and less than the slip's own {float(np.min(slip_water)):.3f}",
        (moisture >= 0.05) & (moisture < slip_water),
    )
    cast_weight = liter_weight_of_water_fraction(cast_moisture, solids_kg_per_l)
    in_cast = solids_volume_fraction(cast_weight, solids_kg_per_l)
    return in_cast / solids_volume_fraction(liter_weight_g_per_l, solids_kg_per_l)


def water_balance(
    cast_l: Floats,
    liter_weight_g_per_l: Floats,
    cast_moisture: Floats = CAST_MOISTURE,
    solids_kg_per_l: Floats = SOLIDS_KG_PER_L,
) -> WaterBalance:
    """Return the slip that a cast of known volume uses and the water it sends on.

    Clay in equals clay kept; water in equals water kept and water in the mold.

    Parameters
    ----------
    cast_l : float or array
        Volume of the fresh cast, its spare included, more than 0. [l]
    liter_weight_g_per_l : float or array
        What one liter of the slip weighs. [g/l]
    cast_moisture : float or array
        Water share of the fresh cast (wet basis), at least 0.05. [-]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    WaterBalance
        Slip used [l], water to the mold [kg], volume to top up [l], masses [kg].

    Raises
    ------
    OutOfRange
        If the slip holds no more water than the cast, or a weight is impossible.

    Examples
    --------
    A beaker of 0.05 m2 and a 4 mm wall:

    >>> made = water_balance(cast_volume_l(0.05, 4.0), 1780.0)
    >>> f"{made.kept_l:.3f} l of slip, {1000 * made.water_to_mold_kg:.0f} g of water"
    '0.249 l of slip, 49 g of water'
    """
    require_more_than("volume of the cast", cast_l, "l")
    ratio = slip_per_cast_volume(liter_weight_g_per_l, cast_moisture, solids_kg_per_l)
    cast_kg = cast_l * liter_weight_of_water_fraction(cast_moisture, solids_kg_per_l) / 1000
    gone_l = (ratio - 1) * cast_l
    return WaterBalance(
        cast_l=cast_l,
        cast_kg=cast_kg,
        dry_kg=cast_kg * (1 - cast_moisture),
        kept_l=ratio * cast_l,
        water_to_mold_kg=gone_l,  # water weighs 1 kg/l here
        top_up_l=gone_l,
    )


def balance_of_kept_slip(
    kept_l: Floats,
    liter_weight_g_per_l: Floats,
    cast_moisture: Floats = CAST_MOISTURE,
    solids_kg_per_l: Floats = SOLIDS_KG_PER_L,
) -> WaterBalance:
    """Return the cast and the water that a measured use of slip made.

    The other way into `water_balance`: measure what is filled, what is topped up
    and what is drained; the mold and the cast have kept the difference.

    Parameters
    ----------
    kept_l : float or array
        Slip filled and topped up, less slip drained, more than 0. [l]
    liter_weight_g_per_l : float or array
        What one liter of the slip weighs. [g/l]
    cast_moisture : float or array
        Water share of the fresh cast (wet basis), at least 0.05. [-]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    WaterBalance
        As from `water_balance`. [l and kg]

    Raises
    ------
    OutOfRange
        If less was filled than drained, or a weight is impossible.

    Examples
    --------
    >>> made = balance_of_kept_slip(0.3, 1750.0)
    >>> f"{made.cast_l:.3f} l of cast, {1000 * made.water_to_mold_kg:.0f} g of water"
    '0.232 l of cast, 68 g of water'
    """
    require_more_than("slip kept (filled less drained)", kept_l, "l")
    ratio = slip_per_cast_volume(liter_weight_g_per_l, cast_moisture, solids_kg_per_l)
    return water_balance(kept_l / ratio, liter_weight_g_per_l, cast_moisture, solids_kg_per_l)


def slip_to_have_ready_l(
    fill_l: Floats, top_up_l: Floats, molds: Floats = 1.0, spare: Floats = 0.05
) -> Floats:
    """Return the slip to have in the tank before the first mold is filled.

    Each mold must be filled whole and topped up while it casts, even though most
    of the slip comes back; none comes back before the last mold is filled.

    Parameters
    ----------
    fill_l : float or array
        Volume of the cavity with its spare, more than 0. [l]
    top_up_l : float or array
        What sinks away while casting, from `water_balance`, zero or more. [l]
    molds : float or array
        Molds that stand filled at one time, at least 1. [-]
    spare : float or array
        Share added for what clings and spills, 0 to 1; common practice, no
        source. [-]

    Returns
    -------
    float or array
        Slip to have ready. [l]

    Raises
    ------
    OutOfRange
        If a volume, the number of molds or the share is impossible.

    Examples
    --------
    >>> f"{slip_to_have_ready_l(0.9, 0.05, molds=4):.1f} l"
    '4.0 l'
    """
    require_more_than("fill volume", fill_l, "l")
    require("volume to top up", top_up_l, "l", "0 or more", np.asarray(top_up_l) >= 0)
    require("molds filled at one time", molds, "", "at least 1", np.asarray(molds) >= 1)
    require_between("spare", spare, "", 0.0, 1.0)
    return molds * (fill_l + top_up_l) * (1 + spare)
