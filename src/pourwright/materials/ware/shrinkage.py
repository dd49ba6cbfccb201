"""How clay shrinks on drying and in the kiln.

The two multiply; they never add. A supplier's fired shrinkage may be told on the dry length, on the
wet length, or as the total of both, so the base is always asked.

What this page leaves out: pieces shrink a little less along the way they stood,
and sag; a test tile does not show it, a test cast does.
"""

from __future__ import annotations

from typing import Literal, TypeAlias

import numpy as np

from pourwright.errors import NotDoable
from pourwright.materials.ranges import Floats, require, require_between, require_more_than
from pourwright.materials.slip.basis import dry_basis
from pourwright.materials.slip.liter_weight import SOLIDS_KG_PER_L

FiredOn: TypeAlias = Literal["dry", "wet", "total"]
"""What a fired shrinkage is told on; see `clay_factors`."""


def clay_factors(dry: Floats, fired: Floats, fired_on: FiredOn) -> tuple[Floats, Floats]:
    """Return what drying and firing each leave of a length.

    With wet length Lp, dry Ld, fired Lf: dry shrinkage is ``(Lp - Ld) / Lp``, and
    fired shrinkage is told in one of three ways [1]_:
    "dry", ``(Ld - Lf) / Ld``; "wet", ``(Ld - Lf) / Lp``; "total", ``(Lp - Lf) / Lp``,
    in which drying is already counted.

    Parameters
    ----------
    dry : float or array
        Shrinkage from wet to dry, on the wet length, 0 to less than 0.2. [-]
    fired : float or array
        Shrinkage in the kiln, told as ``fired_on`` says, 0 to less than 0.3. [-]
    fired_on : {"dry", "wet", "total"}
        The length that the fired figure is told on. Ask the supplier, or
        measure a test bar; there is no default.

    Returns
    -------
    tuple of float or array
        Dry over wet length, and fired over dry length. [-]

    Raises
    ------
    OutOfRange
        If a shrinkage is outside its range.
    NotDoable
        If ``fired_on`` is none of the three.

    Examples
    --------
    Six and six per cent make 11.64 per cent, not twelve:

    >>> dried, burned = clay_factors(0.06, 0.06, "dry")
    >>> f"{1 - dried * burned:.4f}"
    '0.1164'

    References
    ----------
    .. [1] ASTM C326, Standard Test Method for Drying and Firing Shrinkages of
       Ceramic Whiteware Clays.
    """
    _require_shrinkage("dry shrinkage", dry, 0.2)
    _require_shrinkage("fired shrinkage", fired, 0.3)
    dried = 1 - dry
    if fired_on == "dry":
        return dried, 1 - fired
    if fired_on == "wet":
        return dried, (dried - fired) / dried
    if fired_on == "total":
        more = np.asarray(fired) >= np.asarray(dry)
        require("total shrinkage", fired, "", f"at least {float(np.max(dry)):g}", more)
        return dried, (1 - fired) / dried
    raise NotDoable(
        f'fired shrinkage is told on "{fired_on}"; say "dry" if the supplier measured it on the '
        f'dry length, "wet" if on the wet length, "total" if drying is already in it.'
    )


def _require_shrinkage(what: str, value: Floats, limit: float) -> None:
    """Refuse a shrinkage that is no fraction of a clay's usual size."""
    numbers = np.asarray(value)
    first = float(np.max(numbers))
    hint = f"Is it in per cent? Then write {first / 100:g}." if first >= 1 else ""
    good = (numbers >= 0) & (numbers < limit)
    require(what, value, "", f"0 or more and less than {limit:g}", good, hint)


def total_shrinkage(dry: Floats, fired: Floats, fired_on: FiredOn) -> Floats:
    """Return the shrinkage from wet to fired, ``1 - (Ld/Lp) (Lf/Ld)``.

    Parameters
    ----------
    dry : float or array
        Shrinkage from wet to dry, on the wet length, 0 to less than 0.2. [-]
    fired : float or array
        Shrinkage in the kiln, told as ``fired_on`` says, 0 to less than 0.3. [-]
    fired_on : {"dry", "wet", "total"}
        The length that the fired figure is told on.

    Returns
    -------
    float or array
        Wet length less fired length, over the wet length. [-]

    Raises
    ------
    OutOfRange
        If a shrinkage is outside its range.
    NotDoable
        If ``fired_on`` is none of the three.

    Examples
    --------
    >>> f"{total_shrinkage(0.06, 0.08, 'dry'):.4f} or {total_shrinkage(0.06, 0.08, 'wet'):.4f}"
    '0.1352 or 0.1400'
    """
    dried, burned = clay_factors(dry, fired, fired_on)
    return 1 - dried * burned


def volume_factor(linear_factor: Floats) -> Floats:
    """Return what a change of length makes of a volume or a capacity: its cube.

    Parameters
    ----------
    linear_factor : float or array
        Length after over length before, more than 0. [-]

    Returns
    -------
    float or array
        Volume after over volume before. [-]

    Raises
    ------
    OutOfRange
        If the factor is not more than zero.

    Examples
    --------
    >>> f"{volume_factor(0.9):.3f}"
    '0.729'
    """
    require_more_than("change of length", linear_factor, "")
    return linear_factor**3


def fired_mass_kg(dry_kg: Floats, loss_on_ignition: Floats) -> Floats:
    """Return what dry ware weighs after the kiln, ``m (1 - LOI)``.

    Parameters
    ----------
    dry_kg : float or array
        Bone-dry mass, more than 0. [kg]
    loss_on_ignition : float or array
        Share lost in firing, 0 to 0.4; 0.10 to 0.12 for most bodies [1]_. [-]

    Returns
    -------
    float or array
        Fired mass. [kg]

    Raises
    ------
    OutOfRange
        If the mass or the share is impossible.

    Examples
    --------
    >>> fired_mass_kg(1.0, 0.10)
    0.9

    References
    ----------
    .. [1] Two kiln-controller manuals: about 10 % for earthenware, 10 to 12 % for
       porcelain.
    """
    require_more_than("dry mass", dry_kg, "kg")
    require_between("loss on ignition", loss_on_ignition, "", 0.0, 0.4)
    return dry_kg * (1 - loss_on_ignition)


def dry_shrinkage_from_moisture(
    cast_moisture: Floats, critical_moisture: Floats, solids_kg_per_l: Floats = SOLIDS_KG_PER_L
) -> Floats:
    """Return the dry shrinkage of a saturated cast from the water it loses.

    While a cast shrinks, it loses as much volume as water; below the critical
    moisture its grains touch, and it shrinks no more:
    ``(1 - S)^3 = (1/S0 + u_crit) / (1/S0 + u_cast)``, u on the dry mass.

    Parameters
    ----------
    cast_moisture : float or array
        Water share of the fresh cast (wet basis), less than 0.6. [-]
    critical_moisture : float or array
        Water share at which shrinking stops (wet basis), at most the cast's. [-]
    solids_kg_per_l : float or array
        Density of the dry solids, 2.2 to 3.5. [kg/l]

    Returns
    -------
    float or array
        Linear shrinkage from wet to dry, on the wet length. [-]

    Raises
    ------
    OutOfRange
        If a moisture is impossible, or shrinking would stop before it began.

    Notes
    -----
    A guide only: one ball clay's critical moisture, 16 %, is all we found in
    print. A measured test bar replaces it.

    Examples
    --------
    >>> f"{dry_shrinkage_from_moisture(0.20, 0.16):.4f}"
    '0.0323'
    """
    require_between("water share of the cast", cast_moisture, "", 0.0, 0.6)
    stops_below = (np.asarray(critical_moisture) >= 0) & (
        np.asarray(critical_moisture) <= np.asarray(cast_moisture)
    )
    require(
        "critical moisture",
        critical_moisture,
        "",
        f"between 0 and {float(np.min(cast_moisture)):g}",
        stops_below,
    )
    require_between("density of the dry solids", solids_kg_per_l, "kg/l", 2.2, 3.5)
    solid_l_per_kg = 1 / solids_kg_per_l
    left = (solid_l_per_kg + dry_basis(critical_moisture)) / (
        solid_l_per_kg + dry_basis(cast_moisture)
    )
    shrunk: Floats = 1 - np.cbrt(left)
    return shrunk
