"""Rubber for masters: how much to mix, and how much at a time.

What this page leaves out: air that is stirred in, rubber that soaks into an unsealed
model, and the jacket. Shrinkage belongs to the dimension chain, from the data sheet.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.materials.ranges import (
    Floats,
    plain,
    require,
    require_between,
    require_more_than,
)

MOST_RECLAIMED = 0.30
"""Reclaimed rubber as filler, of the volume: common practice, no source."""
PATCH_TEST = (
    "Before the mass is mixed, cure a spoonful on a hidden spot of the same model for the full time. "
    "Sulfur clay, fresh resin prints, latex and some wood sealers keep platinum-cured silicone sticky for good."
)
RUBBER_CAUTION = (
    "Uncured rubber: gloves, eye protection, moving air; polyurethane isocyanates can make a person "
    "allergic for life. Follow the product's safety sheet and local rules."
)


@dataclass(frozen=True, slots=True)
class RubberBatch:
    """What to weigh for a master.

    Parameters
    ----------
    base_kg, hardener_kg : float or array
        The two parts of the rubber. [kg]
    reclaimed_kg : float or array
        Shredded old rubber stirred in as filler. [kg]
    """

    base_kg: Floats
    hardener_kg: Floats
    reclaimed_kg: Floats

    @property
    def total_kg(self) -> Floats:
        """All of it [kg]."""
        return self.base_kg + self.hardener_kg + self.reclaimed_kg


def rubber_mass(
    volume_l: Floats, density_kg_per_l: Floats, *, reclaimed: Floats = 0.0, spare: Floats = 0.0
) -> Floats:
    """Return the new rubber that fills the gap between model and jacket.

    ``volume x density x (1 - reclaimed) x (1 + spare)``; reclaimed rubber of the
    same density takes the rest of the volume.

    Parameters
    ----------
    volume_l : float or array
        The gap. [l]
    density_kg_per_l : float or array
        Of the cured rubber, from its data sheet, 0.8 to 1.6. [kg/l]
    reclaimed : float or array
        Old rubber as filler, of the volume, at most 0.30 (common practice, no
        source). [-]
    spare : float or array
        Left in the cup, 0.05 for 5 %. [-]

    Returns
    -------
    float or array
        Mass of base and hardener together. [kg]

    Raises
    ------
    OutOfRange
        If the volume is not more than zero or a figure is outside its range.

    Examples
    --------
    >>> rubber_mass(2.0, 1.1)
    2.2
    """
    require_more_than("volume of rubber", volume_l, "l")
    require_between(
        "density of the rubber", density_kg_per_l, "kg/l", 0.8, 1.6, "1100 kg/m3 is written 1.1."
    )
    require_between("reclaimed rubber", reclaimed, "of the volume", 0.0, MOST_RECLAIMED)
    require_between("spare", spare, "of the batch", 0.0, 0.5, "5 % is written 0.05.")
    return volume_l * density_kg_per_l * (1 - reclaimed) * (1 + spare)


def rubber_batch(
    volume_l: Floats,
    density_kg_per_l: Floats,
    hardener_parts: Floats,
    *,
    reclaimed: Floats = 0.0,
    spare: Floats = 0.0,
) -> RubberBatch:
    """Return base, hardener and filler for a master.

    ``base = mass 100/(100 + h)``, ``hardener = mass h/(100 + h)``, mass from
    `rubber_mass`; the filler is the reclaimed share of volume at the same density.

    Parameters
    ----------
    volume_l : float or array
        The gap between model and jacket. [l]
    density_kg_per_l : float or array
        Of the cured rubber, 0.8 to 1.6. [kg/l]
    hardener_parts : float or array
        Hardener to 100 parts of base by mass: 100 for one to one, 10 for ten to
        one. 0.5 to 200. [-]
    reclaimed : float or array
        Old rubber as filler, of the volume, at most 0.30. [-]
    spare : float or array
        Left in the cup. [-]

    Returns
    -------
    RubberBatch
        What to weigh. [kg]

    Raises
    ------
    OutOfRange
        If a figure is outside its range.

    Examples
    --------
    >>> batch = rubber_batch(2.0, 1.1, 10)
    >>> f"{batch.base_kg:.2f} kg base, {batch.hardener_kg:.2f} kg hardener"
    '2.00 kg base, 0.20 kg hardener'
    """
    require_between(
        "hardener", hardener_parts, "parts to 100 of base", 0.5, 200.0, "1:1 is 100; 10:1 is 10."
    )
    new_kg = rubber_mass(volume_l, density_kg_per_l, reclaimed=reclaimed, spare=spare)
    base_kg = new_kg * 100 / (100 + hardener_parts)
    reclaimed_kg = volume_l * density_kg_per_l * reclaimed * (1 + spare)
    return RubberBatch(base_kg, new_kg - base_kg, reclaimed_kg)


def most_rubber_at_a_time(pot_life_min: Floats, mixing_min: Floats, pouring_min: Floats) -> Floats:
    """Return the largest batch that is mixed and poured before it stiffens.

    ``(0.8 pot life - mixing)/pouring time of a kilogram``: a fifth of the pot life
    is kept back, since a large batch warms itself and stiffens sooner than the
    small one that the data sheet was timed with (common practice, no source).

    Parameters
    ----------
    pot_life_min : float or array
        From the data sheet, 1 to 600. [min]
    mixing_min : float or array
        Weighing apart: stirring, and standing under vacuum if there is one. [min]
    pouring_min : float or array
        Time to pour one kilogram into the jacket, 0.1 to 60. [min]

    Returns
    -------
    float or array
        Rubber in one batch. [kg]

    Raises
    ------
    OutOfRange
        If a figure is outside its range, or the mixing alone takes the pot life.

    Examples
    --------
    >>> most_rubber_at_a_time(30.0, 6.0, 3.0)
    6.0
    """
    require_between("pot life", pot_life_min, "min", 1.0, 600.0)
    require_between("time to pour a kilogram", pouring_min, "min", 0.1, 60.0)
    left_min = 0.8 * np.asarray(pot_life_min) - mixing_min
    require(
        "mixing time",
        mixing_min,
        "min",
        "at least 0 and less than four fifths of the pot life",
        (np.asarray(mixing_min) >= 0) & (left_min > 0),
    )
    return plain(left_min / pouring_min)
