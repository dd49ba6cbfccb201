"""Absorption, porosity and density of fired ware, from three weighings.

The usual test: dry, then boiled five hours and soaked a day, then weighed hung
in water and wiped. Five unglazed pieces of 50 g or more [1]_.

What this page leaves out: pores that water cannot reach, and moisture that ware
takes up over years.

References
----------
.. [1] ASTM C373, as excerpted on three pages; its formulas from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.materials.ranges import Floats, require, require_more_than


@dataclass(frozen=True, slots=True)
class FiredBody:
    """What three weighings say of a fired piece.

    Parameters
    ----------
    absorption : float or array
        Water taken up over dry mass. [-]
    porosity : float or array
        Open pores over bulk volume. [-]
    bulk_kg_per_l : float or array
        Dry mass over bulk volume. [kg/l]
    apparent_kg_per_l : float or array
        Dry mass over the volume without open pores. [kg/l]
    """

    absorption: Floats
    porosity: Floats
    bulk_kg_per_l: Floats
    apparent_kg_per_l: Floats


def fired_body(dry_kg: Floats, hung_kg: Floats, saturated_kg: Floats) -> FiredBody:
    """Return absorption, porosity and densities from dry, hung and saturated weight.

    With D, S, M: absorption ``(M - D) / D``, porosity ``(M - D) / (M - S)``, bulk
    density ``D / (M - S)``, apparent ``D / (D - S)``.

    Parameters
    ----------
    dry_kg : float or array
        Dry weight D, more than 0. [kg]
    hung_kg : float or array
        Weight S of the saturated piece hung in water, 0 to less than D. [kg]
    saturated_kg : float or array
        Weight M of the saturated piece, wiped, at least D. [kg]

    Returns
    -------
    FiredBody
        Fractions [-] and densities [kg/l].

    Raises
    ------
    OutOfRange
        If the weights do not stand in the order hung, dry, saturated.

    Examples
    --------
    >>> body = fired_body(0.100, 0.062, 0.108)
    >>> f"{body.absorption:.1%} absorption, {body.bulk_kg_per_l:.2f} kg/l"
    '8.0% absorption, 2.17 kg/l'
    """
    require_more_than("dry weight", dry_kg, "kg")
    hung, dry = np.asarray(hung_kg), np.asarray(dry_kg)
    require(
        "weight hung in water",
        hung_kg,
        "kg",
        f"0 or more and less than {float(np.min(dry)):g}",
        (hung >= 0) & (hung < dry),
    )
    full = np.asarray(saturated_kg) >= dry
    require("saturated weight", saturated_kg, "kg", f"at least {float(np.max(dry)):g}", full)
    bulk_l = saturated_kg - hung_kg
    return FiredBody(
        absorption=(saturated_kg - dry_kg) / dry_kg,
        porosity=(saturated_kg - dry_kg) / bulk_l,
        bulk_kg_per_l=dry_kg / bulk_l,
        apparent_kg_per_l=dry_kg / (dry_kg - hung_kg),
    )
