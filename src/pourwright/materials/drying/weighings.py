"""A drying forecast from the mold itself: two weighings or more, and an interval.

The dry mass is known from the mix; what the weighings tell is the rate. The rate
stays the same until the mold is nearly dry (one hobbyist's log, and every textbook),
then falls in proportion to the water left.

What this page leaves out: a change of rooms, a fan switched on, straps put on or off
between two weighings. Weigh again after any of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pourwright.materials.drying.dryness import READY_FREE_WATER
from pourwright.materials.ranges import FloatArray, Range, require, require_more_than

DRY_FREE_WATER = 0.005
"""Free water over dry mass at which the weight has stopped to change."""
DRY_MASS_DOUBT = 0.01
"""Standard error of the predicted dry mass: mix weighed by hand, purity of the plaster."""
RATE_DOUBT = 0.10
"""How far the loss from one weighing to the next strays as the room changes: no source."""
_NEGLIGIBLE = 1e-5
"""A point of the grid this much less likely than the best moves no percentile that is shown."""
BENDS = (0.02, 0.10)
"""Water over dry mass where the rate may begin to fall; saturation 0.05 to 0.20 at consistency 70."""


@dataclass(frozen=True, slots=True)
class WeighedForecast:
    """What the weighings of one mold say of its remaining days.

    Parameters
    ----------
    ready : Range
        From the last weighing until ready to cast (5 % free water). [days]
    dry : Range
        From the last weighing until dry. [days]
    rate_kg_per_day : Range
        Loss a day at the last weighing. [kg/day]
    """

    ready: Range
    dry: Range
    rate_kg_per_day: Range


def forecast_from_weighings(
    days: Sequence[float],
    masses_kg: Sequence[float],
    dry_kg: float,
    *,
    straps_kg: float = 0.0,
    scale_step_kg: float = 0.01,
) -> WeighedForecast:
    """Return the days left until a mold is ready to cast and dry, from its weighings.

    ``dX/dt = -k`` above X_c and ``-k X/X_c`` below. Rate, bend and dry mass are
    weighed against the data on a grid (Bayes' rule, flat in log k and log X_c,
    normal in the dry mass); the range is the middle 80 % of what remains.

    Parameters
    ----------
    days : sequence of float
        Day of each weighing, counted from any day, rising, at least two and half
        a day apart in all. [days]
    masses_kg : sequence of float
        What the mold weighed, always with the same straps. [kg]
    dry_kg : float
        Predicted dry mass with the straps, see
        `pourwright.materials.drying.dryness.expected_dry_mass`. [kg]
    straps_kg : float
        Straps and boards weighed with it. [kg]
    scale_step_kg : float
        The step of the scale. [kg]

    Returns
    -------
    WeighedForecast
        Days until ready and dry, and the present rate, each as a range.

    Raises
    ------
    OutOfRange
        If there are fewer than two weighings, they do not rise in time, the mold
        gained weight, or a mass is not more than that of the straps.

    Examples
    --------
    A mold of 5.06 kg wet and 3.53 kg dry, weighed three days running:

    >>> left = forecast_from_weighings([0, 1, 2, 3], [5.06, 4.86, 4.66, 4.46], 3.53)
    >>> f"ready in {left.ready.low:.1f} to {left.ready.high:.1f} days"
    'ready in 3.4 to 4.3 days'
    """
    at, water = _checked(days, masses_kg, dry_kg, straps_kg, scale_step_kg)
    rate, bend, dry_factor = _grid((water[0] - water[-1]) / (at[-1] - at[0]))
    # A heavier dry mold holds less water at the same weight.
    end = (water[-1] + 1) / dry_factor - 1
    misfit = ((dry_factor - 1) / DRY_MASS_DOUBT) ** 2
    for before, after, span in zip(water[:-1], water[1:], np.diff(at), strict=True):
        doubt = np.hypot(scale_step_kg / (dry_kg - straps_kg), RATE_DOUBT * (before - after))
        held = (before + 1) / dry_factor - 1
        expected = (_water_after(held, rate, bend, float(span)) + 1) * dry_factor - 1
        misfit = misfit + ((expected - after) / doubt) ** 2
    weight = np.exp(-(misfit - misfit.min()) / 2)
    likely = weight > _NEGLIGIBLE
    rate, bend, end = (np.broadcast_to(one, likely.shape)[likely] for one in (rate, bend, end))
    weight = weight[likely]
    now = rate * np.minimum(1.0, np.maximum(end, 0.0) / bend) * (dry_kg - straps_kg)
    source = f"{len(at)} weighings of this mold and its mix; the middle 80 %"
    return WeighedForecast(
        ready=_spread(_days_to(end, READY_FREE_WATER[0], rate, bend), weight, source),
        dry=_spread(_days_to(end, DRY_FREE_WATER, rate, bend), weight, source),
        rate_kg_per_day=_spread(now, weight, source),
    )


def _checked(
    days: Sequence[float],
    masses_kg: Sequence[float],
    dry_kg: float,
    straps_kg: float,
    scale_step_kg: float,
) -> tuple[FloatArray, FloatArray]:
    """Return the days, and the water over dry mass at each weighing. [days], [-]."""
    at, mass = np.asarray(days, dtype=np.float64), np.asarray(masses_kg, dtype=np.float64)
    require(
        "number of weighings",
        float(min(at.size, mass.size)),
        "weighings",
        "at least 2, a day for each",
        at.size == mass.size and at.size >= 2,
    )
    require(
        "time between weighings",
        np.diff(at),
        "days",
        "more than 0, one after the other",
        np.diff(at) > 0,
    )
    require(
        "time from first to last weighing",
        float(at[-1] - at[0]),
        "days",
        "at least 0.5",
        at[-1] - at[0] >= 0.5,
    )
    require("mass of the straps", straps_kg, "kg", "at least 0", straps_kg >= 0)
    require_more_than("dry mass of the mold", dry_kg, "kg", straps_kg)
    require_more_than("mass of the mold", mass, "kg", straps_kg)
    require_more_than("step of the scale", scale_step_kg, "kg")
    require(
        "last weighing",
        float(mass[-1]),
        "kg",
        f"below the first, {mass[0]:g}",
        bool(mass[-1] < mass[0]),
        "A mold that gains weight is not drying.",
    )
    return at, (mass - straps_kg) / (dry_kg - straps_kg) - 1


def _grid(slope_per_day: float) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return rates, bends and factors of the dry mass to weigh against the data, an axis for each."""
    rates = slope_per_day * np.geomspace(0.3, 8.0, 120)
    bends = np.geomspace(*BENDS, 19)[1::2]  # middles of nine steps: ends would count twice
    factors = 1 + DRY_MASS_DOUBT * np.linspace(-2.5, 2.5, 11)
    rate, bend, factor = np.ix_(rates, bends, factors)
    return rate, bend, factor


def _water_after(start: FloatArray, rate: FloatArray, bend: FloatArray, days: float) -> FloatArray:
    """Return the water left after some days. [-]."""
    positive = np.maximum(start, 1e-9)
    to_bend = np.maximum(positive - bend, 0.0) / rate
    falling = np.minimum(positive, bend) * np.exp(-rate / bend * np.maximum(days - to_bend, 0.0))
    return np.asarray(np.where(days < to_bend, positive - rate * days, falling))


def _days_to(start: FloatArray, left: float, rate: FloatArray, bend: FloatArray) -> FloatArray:
    """Return the days until some water is left, 0 where it is past that. [days]."""
    positive = np.maximum(start, 1e-9)
    straight = np.maximum(positive - np.maximum(bend, left), 0.0) / rate
    from_water = np.minimum(positive, bend)
    to_water = np.minimum(left, from_water)
    return np.asarray(straight + bend / rate * np.log(from_water / to_water))


def _spread(values: FloatArray, weight: FloatArray, source: str) -> Range:
    """Return the weighted tenth, middle and ninetieth percentile."""
    order = np.argsort(values)
    share = np.cumsum(weight[order])
    places = np.searchsorted(share / share[-1], (0.1, 0.5, 0.9))
    low, likely, high = (float(values[order][place]) for place in places)
    return Range(low, likely, high, source)
