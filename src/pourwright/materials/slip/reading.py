"""Whether the weight of a fresh slip can be true, given what went into it.

Clay and water cannot weigh less than they do. A slip that weighs less than its
recipe holds air, or more water than was written down.

What this page leaves out: how much of the difference is air and how much is water.
Let the slip stand, stir it slowly and weigh it again.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pourwright.materials.ranges import require
from pourwright.materials.slip.basis import liter_weight_of_mix
from pourwright.materials.slip.liter_weight import require_liter_weight

BELIEVABLE_SOLIDS = (2.4, 2.8)
"""Densities of casting bodies' dry solids; a reading that implies others is false. [kg/l]"""


@dataclass(frozen=True, slots=True)
class MixReading:
    """What a weighing of fresh slip says about the mix it came from.

    Parameters
    ----------
    expected_low_g_per_l, expected_high_g_per_l : float
        What the recipe's clay and water should weigh. [g/l]
    air_low, air_high : float
        Share of the slip's volume that would be air, zero or more. [-]
    verdict : {"fits", "too light", "too heavy"}
        Whether the reading can be believed.
    advice : str
        What to do, or "".
    """

    expected_low_g_per_l: float
    expected_high_g_per_l: float
    air_low: float
    air_high: float
    verdict: Literal["fits", "too light", "too heavy"]
    advice: str


def judge_mix_reading(liter_weight_g_per_l: float, dry_kg: float, water_kg: float) -> MixReading:
    """Compare what a fresh slip weighs with what its recipe must weigh.

    Clay and water cannot weigh less than they do, so a slip that is too light
    holds air; one that is too heavy was weighed or mixed wrongly.

    Parameters
    ----------
    liter_weight_g_per_l : float
        What one liter weighed. [g/l]
    dry_kg : float
        Dry clay that went in, more than 0. [kg]
    water_kg : float
        Water that went in, more than 0. [kg]

    Returns
    -------
    MixReading
        The expected range, for solids between 2.4 and 2.8 kg/l [g/l], the air [-]
        and the advice.

    Raises
    ------
    OutOfRange
        If a mass is not more than zero or the weight is impossible.

    Examples
    --------
    A report of ten pounds of clay and five of water that weighed 1.58 to 1.59:

    >>> reading = judge_mix_reading(1585.0, 10.0, 5.0)
    >>> reading.verdict
    'too light'
    >>> f"{reading.air_low:.0%} to {reading.air_high:.0%} air"
    '3% to 9% air'
    """
    require_liter_weight("slip weight", liter_weight_g_per_l, 3.5)
    low, high = (
        float(liter_weight_of_mix(dry_kg, water_kg, solids)) for solids in BELIEVABLE_SOLIDS
    )
    air_low, air_high = (max(0.0, 1 - liter_weight_g_per_l / limit) for limit in (low, high))
    if liter_weight_g_per_l < low:
        advice = "It holds air, or more water went in: let it stand, sieve it, weigh it again."
        return MixReading(low, high, air_low, air_high, "too light", advice)
    if liter_weight_g_per_l > high:
        advice = "Check that the scale was at zero with the empty measure, and the clay's weight."
        return MixReading(low, high, air_low, air_high, "too heavy", advice)
    return MixReading(low, high, air_low, air_high, "fits", "")


def require_true_reading(liter_weight_g_per_l: float, dry_kg: float, water_kg: float) -> None:
    """Refuse a weight that the clay and the water that went in cannot have.

    Parameters
    ----------
    liter_weight_g_per_l : float
        What one liter weighed. [g/l]
    dry_kg : float
        Dry clay that went in, more than 0. [kg]
    water_kg : float
        Water that went in, more than 0. [kg]

    Raises
    ------
    OutOfRange
        If the reading asks for solids below 2.4 or above 2.8 kg/l; the sentence
        says what to do.

    Examples
    --------
    >>> require_true_reading(1700.0, 10.0, 5.0)
    >>> require_true_reading(1585.0, 10.0, 5.0)
    Traceback (most recent call last):
    ...
    pourwright.errors.OutOfRange: slip weight is 1585 g/l; it must be between 1636 and 1750 g/l. \
It holds air, or more water went in: let it stand, sieve it, weigh it again.
    """
    seen = judge_mix_reading(liter_weight_g_per_l, dry_kg, water_kg)
    allowed = f"between {seen.expected_low_g_per_l:.0f} and {seen.expected_high_g_per_l:.0f}"
    fits = seen.verdict == "fits"
    require("slip weight", liter_weight_g_per_l, "g/l", allowed, fits, seen.advice)
