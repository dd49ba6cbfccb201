"""How many casts a mold takes before it must rest, and how many a day it can give.

Each cast leaves water in the plaster. A working mold keeps some: five per cent
of its dry mass is good practice, fifteen the most that shops allow. Between
casts it dries, at a pace that the page on drying gives.

What this page leaves out: where in the wall the water sits. A mold that is dry
on average may be wet at its face; the page on moisture in the wall treats that.
"""

from __future__ import annotations

import numpy as np

from pourwright.materials.ranges import Floats, require, require_between, require_more_than

MOST_FREE_WATER = 0.15
"""Free water, over dry mass, that many shops go up to. [-]

A US plaster maker's bulletin for the ceramic industry.
"""

GOOD_FREE_WATER = 0.05
"""Free water, over dry mass, that the same bulletin calls good practice. [-]"""


def free_water_after(
    casts: Floats,
    water_to_mold_kg: Floats,
    dry_mold_kg: Floats,
    free_water: Floats = GOOD_FREE_WATER,
    dried_between_kg: Floats = 0.0,
) -> Floats:
    """Return the free water of a mold after a number of casts.

    Each cast adds its water; between two casts the mold loses some, never more
    than it has.

    Parameters
    ----------
    casts : float or array
        Casts since the mold held ``free_water``, a whole number, zero or more. [-]
    water_to_mold_kg : float or array
        Water of one cast, from `pourwright.materials.casting.water`, zero or more. [kg]
    dry_mold_kg : float or array
        Dry mass of the mold, more than 0. [kg]
    free_water : float or array
        Free water at the start, over dry mass, 0 to 1. [-]
    dried_between_kg : float or array
        Water lost between two casts, zero or more. [kg]

    Returns
    -------
    float or array
        Free water over dry mass, right after the last cast. [-]

    Raises
    ------
    OutOfRange
        If a value is impossible.

    Examples
    --------
    >>> f"{free_water_after(3, 0.08, 4.0):.3f}"
    '0.110'
    """
    count = np.asarray(casts)
    whole = (count >= 0) & (count == np.floor(count))
    require("casts", casts, "", "a whole number, 0 or more", whole)
    _require_water(water_to_mold_kg, dry_mold_kg, free_water)
    not_less = np.asarray(dried_between_kg) >= 0
    require("water dried between casts", dried_between_kg, "kg", "0 or more", not_less)
    # Either the mold gains at each step, or it is dry before each cast from some cast on.
    gains = free_water + (casts * water_to_mold_kg - (casts - 1) * dried_between_kg) / dry_mold_kg
    dried_out = water_to_mold_kg / dry_mold_kg
    after = np.where(count > 0, np.maximum(gains, dried_out), free_water)
    return after if after.ndim else float(after)


def _require_water(water_kg: Floats, dry_mold_kg: Floats, free_water: Floats) -> None:
    """Refuse an impossible mold or cast."""
    require("water to the mold", water_kg, "kg", "0 or more", np.asarray(water_kg) >= 0)
    require_more_than("dry mass of the mold", dry_mold_kg, "kg")
    require_between("free water of the mold", free_water, "", 0.0, 1.0)


def casts_before_rest(
    water_to_mold_kg: Floats,
    dry_mold_kg: Floats,
    free_water: Floats = GOOD_FREE_WATER,
    most_free_water: Floats = MOST_FREE_WATER,
) -> Floats:
    """Return how many casts in a row a mold takes before it must rest.

    ``floor((limit - now) x dry mass / water of one cast)``; nothing dries
    meanwhile.

    Parameters
    ----------
    water_to_mold_kg : float or array
        Water of one cast, more than 0. [kg]
    dry_mold_kg : float or array
        Dry mass of the mold, more than 0. [kg]
    free_water : float or array
        Free water now, over dry mass, 0 to 1. [-]
    most_free_water : float or array
        Limit, over dry mass, more than 0 and at most 0.2; 0.15 is the upper end
        of shop practice. [-]

    Returns
    -------
    float or array
        Whole casts, zero if the mold is already at its limit. [-]

    Raises
    ------
    OutOfRange
        If a value is impossible.

    Notes
    -----
    The casts grow slower one after another; see
    `pourwright.materials.casting.fit.share_of_dry_rate`. One supplier lets small
    molds rest after five casts. The water at which casting must stop was never
    measured in print, so the limit is practice.

    Examples
    --------
    >>> casts_before_rest(0.08, 4.0)
    5.0
    """
    _require_water(water_to_mold_kg, dry_mold_kg, free_water)
    require_more_than("water to the mold", water_to_mold_kg, "kg")
    limit = np.asarray(most_free_water)
    good = (limit > 0) & (limit <= 0.2)
    require("free water allowed", most_free_water, "", "more than 0 and at most 0.2", good)
    room = (most_free_water - np.asarray(free_water)) * dry_mold_kg / water_to_mold_kg
    # The hair of a float must not cost a cast.
    casts = np.floor(np.maximum(room, 0.0) + 1e-9)
    return casts if casts.ndim else float(casts)


def casts_a_day(
    water_to_mold_kg: Floats, dried_a_day_kg: Floats, stand_min: Floats, working_min: Floats
) -> Floats:
    """Return how many casts a day a mold can give, week after week.

    Water in must equal water out, and each cast stands its time: the smaller of
    the two counts. Less than one is a cast every few days.

    Parameters
    ----------
    water_to_mold_kg : float or array
        Water of one cast, more than 0. [kg]
    dried_a_day_kg : float or array
        Water that the mold loses in a day and night, zero or more. [kg]
    stand_min : float or array
        From filling to the mold being empty again, more than 0. [min]
    working_min : float or array
        Length of the working day, more than 0. [min]

    Returns
    -------
    float or array
        Casts a day in the long run. [-]

    Raises
    ------
    OutOfRange
        If a value is impossible.

    Notes
    -----
    Industry gives a mold two casts or fewer in eight hours, then 6 to 18 hours of
    drying [1]_.

    Examples
    --------
    >>> f"{casts_a_day(0.08, 0.10, 90.0, 480.0):.2f}"
    '1.25'

    References
    ----------
    .. [1] European patent application 0 211 653, background.
    """
    require_more_than("water to the mold", water_to_mold_kg, "kg")
    good = np.asarray(dried_a_day_kg) >= 0
    require("water dried in a day", dried_a_day_kg, "kg", "0 or more", good)
    require_more_than("time a cast stands", stand_min, "min")
    require_more_than("working day", working_min, "min")
    by_water = dried_a_day_kg / water_to_mold_kg
    casts = np.minimum(by_water, np.floor(working_min / np.asarray(stand_min)))
    return casts if casts.ndim else float(casts)
