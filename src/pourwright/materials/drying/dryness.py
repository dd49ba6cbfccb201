"""How much water a mold has to lose, for how long it may take, and when it is dry.

The water follows from chemistry and is sure. The days are the weakest forecast
of all: they hang on the room, and are a range until the mold is weighed.

What this page leaves out: why a mold stopped losing weight. A weight that stands
still above the predicted one may be a wrong mix, a damp room or a damp strap.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from pourwright.materials.plaster.mix import (
    GYPSUM_FROM_PLASTER,
    Plaster,
    dry_density,
    free_water,
)
from pourwright.materials.ranges import (
    Floats,
    Range,
    plain,
    require,
    require_between,
    require_more_than,
)

DEFAULT_DAYS = (7.0, 14.0)
"""A workshop's own account: 7 days for small molds, 10 to 14 for large, at 27 degC with fans."""
DAYS_SOURCE = "workshop owner's account, 27 degC, fans not aimed at the molds (2004); not measured"
STEADY_LOSS_PER_DAY = 0.001
"""Loss a day, of the mold's mass, below which it has stopped drying (as EN ISO 12570, from memory)."""
CLOSE_TO_DRY = 0.005
"""How near the mass must be to the one that stoichiometry predicts (common practice, no source)."""
READY_FREE_WATER = (0.05, 0.15)
"""Free water of a working mold, of its dry mass: good practice, and what many shops accept.

A plaster maker's ceramic bulletin; that the figures are of the dry mass is our reading.
"""
DRY_CRITERION = (
    "Dry: two weighings a day apart differ by less than 0.1 %, and the weight is within 0.5 % of the dry "
    "weight worked out from the mix. Weigh the strapped mold whole, always with the same straps."
)
READY_CRITERION = (
    "Ready to cast is not bone dry: working molds hold 5 to 15 % free water, and 5 % already halves the "
    "rate at which plaster drinks."
)
TOUCH_CRITERION = "A mold that feels cool against the back of the hand is still drying."


class MoldState(Enum):
    """How far a mold has dried, by its weight."""

    DRYING = "still drying"
    READY = "ready to cast"
    DRY = "dry"
    STOPPED = "stopped losing weight above its dry weight: check the mix, the straps or the room"
    TOO_LIGHT = "lighter than its dry weight: check the scale and the mix, or it was baked"


@dataclass(frozen=True, slots=True)
class Dryness:
    """What two weighings a day apart say.

    Parameters
    ----------
    state : MoldState
        The verdict.
    free_water_kg : float
        Water still to lose to the predicted dry mass. [kg]
    free_water : float
        The same over the dry mass of the plaster. [-]
    loss_per_day : float
        Loss a day over the mass at the later weighing. [-]
    scale_fine_enough : bool
        Whether the scale's step could show a loss of 0.1 % at all.
    """

    state: MoldState
    free_water_kg: float
    free_water: float
    loss_per_day: float
    scale_fine_enough: bool


def water_to_lose(volume_l: Floats, plaster: Plaster, left: Floats = 0.0) -> Floats:
    """Return the water that a fresh mold loses until it holds what is left.

    ``volume x free_water - left x volume x dry_density`` of `pourwright.materials.plaster.mix`.

    Parameters
    ----------
    volume_l : float or array
        Plaster of the mold. [l]
    plaster : Plaster
        The mix.
    left : float or array
        Free water that may stay, over dry mass; 0 is bone dry, 0.05 a good
        working mold. [-]

    Returns
    -------
    float or array
        Water, 0 where less is in it than may stay. [kg]

    Raises
    ------
    OutOfRange
        If the volume is not more than zero or ``left`` is not between 0 and 0.5.

    Examples
    --------
    >>> round(water_to_lose(3.2, Plaster("pottery plaster", 70, "the bag")), 2)
    1.53
    """
    require_more_than("volume of the mold", volume_l, "l")
    require_between("free water left", left, "of the dry mass", 0.0, 0.5, "5 % is written 0.05.")
    water_kg = volume_l * (free_water(plaster) - left * dry_density(plaster))
    return plain(np.maximum(water_kg, 0.0))


def expected_dry_mass(wet_kg: Floats, plaster: Plaster, straps_kg: Floats = 0.0) -> Floats:
    """Return what a fresh mold of known weight will weigh when it is dry.

    ``straps + (wet - straps) 1.1862/(1 + w)``: chemistry alone, no density [1]_.

    Parameters
    ----------
    wet_kg : float or array
        The fresh mold, weighed before it lost water. [kg]
    plaster : Plaster
        The mix.
    straps_kg : float or array
        Straps and boards weighed with it. [kg]

    Returns
    -------
    float or array
        Dry mass, with the straps. [kg]

    Raises
    ------
    OutOfRange
        If the straps weigh as much as the mold.

    Examples
    --------
    >>> round(expected_dry_mass(5.06, Plaster("pottery plaster", 70, "the bag")), 2)
    3.53

    References
    ----------
    .. [1] Molar masses of the Thermoddem sheets "Bassanite" and "Gypsum" (BRGM);
       a plaster maker's data give 30.3 % loss at consistency 70, here 30.2 %.
    """
    _require_mold(wet_kg, straps_kg, "wet mass of the mold")
    return straps_kg + (wet_kg - straps_kg) * GYPSUM_FROM_PLASTER / (1 + plaster.water_ratio)


def drying_days(
    low_days: float = DEFAULT_DAYS[0], high_days: float = DEFAULT_DAYS[1], source: str = DAYS_SOURCE
) -> Range:
    """Return the days a fresh mold takes to dry, as the range a maker plans with.

    Not a law: the default is one workshop's account. `likely` is the geometric
    mean, since the doubt is a factor, not a sum.

    Parameters
    ----------
    low_days, high_days : float
        The studio's own, or the default 7 and 14. [days]
    source : str
        Where they come from.

    Returns
    -------
    Range
        Low, likely and high. [days]

    Raises
    ------
    OutOfRange
        If a figure is not more than zero or the low end lies above the high one.

    Examples
    --------
    >>> days = drying_days()
    >>> days.low, round(days.likely, 1), days.high
    (7.0, 9.9, 14.0)
    """
    require_more_than("fewest drying days", low_days, "days")
    require(
        "most drying days",
        high_days,
        "days",
        f"at least the fewest, {low_days:g}",
        high_days >= low_days,
    )
    require("most drying days", high_days, "days", "at most 120", high_days <= 120)
    return Range(low_days, float(np.sqrt(low_days * high_days)), high_days, source)


def dryness(
    earlier_kg: float,
    later_kg: float,
    hours_apart: float,
    dry_kg: float,
    *,
    straps_kg: float = 0.0,
    scale_step_kg: float = 0.001,
) -> Dryness:
    """Tell how far a mold has dried from two weighings.

    Dry is a loss of less than 0.1 % a day together with a mass within 0.5 % of
    `expected_dry_mass`; ready to cast is free water of at most 15 % of the dry
    mass. The share of water is of the plaster alone, the straps taken off.

    Parameters
    ----------
    earlier_kg, later_kg : float
        The two weighings, with the same straps. [kg]
    hours_apart : float
        Time between them, 12 to 240; a day is usual. [h]
    dry_kg : float
        The predicted dry mass, with the straps. [kg]
    straps_kg : float
        Straps and boards weighed with it. [kg]
    scale_step_kg : float
        The step of the scale. [kg]

    Returns
    -------
    Dryness
        Verdict, free water and rate.

    Raises
    ------
    OutOfRange
        If a mass is not more than that of the straps, or the weighings lie too
        close together or too far apart to say anything.

    Notes
    -----
    A scale whose step is more than 0.1 % of the mold cannot show that it has
    stopped; the verdict then rests on the predicted mass alone, and
    ``scale_fine_enough`` is False.

    Examples
    --------
    >>> dryness(3.540, 3.538, 24, 3.53).state
    <MoldState.DRY: 'dry'>
    """
    for what, value in (
        ("earlier weighing", earlier_kg),
        ("later weighing", later_kg),
        ("dry mass", dry_kg),
    ):
        _require_mold(value, straps_kg, what)
    require_between("time between the weighings", hours_apart, "h", 12.0, 240.0)
    require_more_than("step of the scale", scale_step_kg, "kg")
    plaster_kg, dry_plaster_kg = later_kg - straps_kg, dry_kg - straps_kg
    loss_per_day = (earlier_kg - later_kg) / plaster_kg * 24 / hours_apart
    excess = plaster_kg / dry_plaster_kg - 1
    return Dryness(
        _state(excess, loss_per_day),
        max(plaster_kg - dry_plaster_kg, 0.0),
        max(excess, 0.0),
        loss_per_day,
        scale_step_kg <= STEADY_LOSS_PER_DAY * plaster_kg,
    )


def _state(excess: float, loss_per_day: float) -> MoldState:
    """Return the verdict for a mass above the dry one and a loss a day [-], [1/day]."""
    steady = abs(loss_per_day) < STEADY_LOSS_PER_DAY
    if excess < -CLOSE_TO_DRY:
        return MoldState.TOO_LIGHT
    if excess <= CLOSE_TO_DRY and steady:
        return MoldState.DRY
    if excess <= READY_FREE_WATER[1]:
        return MoldState.READY
    return MoldState.STOPPED if steady else MoldState.DRYING


def _require_mold(mass_kg: Floats, straps_kg: Floats, what: str) -> None:
    """Refuse straps below nothing and a mold that weighs no more than its straps."""
    require("mass of the straps", straps_kg, "kg", "at least 0", np.asarray(straps_kg) >= 0)
    require(
        what,
        mass_kg,
        "kg",
        f"more than {float(np.max(straps_kg)):g}",
        (np.asarray(mass_kg) > straps_kg) & np.isfinite(mass_kg),
    )
