"""Numbers in, floats or arrays alike, and the one way to refuse them.

Every law of this part takes floats or arrays that broadcast and gives back a
float for floats, an array for arrays.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from pourwright.errors import OutOfRange

FloatArray: TypeAlias = NDArray[np.float64]
Floats: TypeAlias = float | FloatArray
"""A number, or an array of them that broadcasts with the other arguments."""


def require(what: str, value: Floats, unit: str, allowed: str, ok: object, hint: str = "") -> None:
    """Refuse a number, or the first number of an array, that is out of range.

    Parameters
    ----------
    what : str
        The quantity in a maker's words, such as "volume to fill".
    value : float or array
        The number as it was given. [any]
    unit : str
        Its unit, printed after the number.
    allowed : str
        What would be right, such as "more than 0".
    ok : bool or array of bool
        Where the number may be used; broadcasts with ``value``. A number that
        is not a number (nan) is refused whatever this says.
    hint : str
        A further sentence, such as the likely slip of hand.

    Raises
    ------
    OutOfRange
        If any number is refused; the first one is shown.

    Examples
    --------
    >>> require("volume to fill", 3.2, "l", "more than 0", 3.2 > 0)
    >>> require("volume to fill", np.array([1.0, -2.0]), "l", "more than 0", [True, False])
    Traceback (most recent call last):
    ...
    pourwright.errors.OutOfRange: volume to fill is -2 l; it must be more than 0 l.
    """
    numbers, good = np.broadcast_arrays(
        np.asarray(value, dtype=np.float64), np.asarray(ok, dtype=bool)
    )
    refused = ~good | np.isnan(numbers)
    if refused.any():
        raise OutOfRange(what, float(numbers[refused].flat[0]), unit, allowed, hint)


def require_more_than(
    what: str, value: Floats, unit: str, low: float = 0.0, hint: str = ""
) -> None:
    """Refuse what is not a finite number above a limit.

    Parameters
    ----------
    what : str
        The quantity in a maker's words.
    value : float or array
        The number as it was given. [any]
    unit : str
        Its unit.
    low : float
        The limit, itself refused. [any]
    hint : str
        A further sentence.

    Raises
    ------
    OutOfRange
        If any number is not above the limit, or not finite.

    Examples
    --------
    >>> require_more_than("wall", 4.0, "mm")
    """
    numbers = np.asarray(value, dtype=np.float64)
    require(what, value, unit, f"more than {low:g}", (numbers > low) & np.isfinite(numbers), hint)


def require_between(
    what: str, value: Floats, unit: str, low: float, high: float, hint: str = ""
) -> None:
    """Refuse what is not between two limits, the limits themselves allowed.

    Parameters
    ----------
    what : str
        The quantity in a maker's words.
    value : float or array
        The number as it was given. [any]
    unit : str
        Its unit.
    low, high : float
        The limits, both allowed. [any]
    hint : str
        A further sentence.

    Raises
    ------
    OutOfRange
        If any number is outside the limits, or is nan.

    Examples
    --------
    >>> require_between("relative humidity", 0.5, "[-]", 0.0, 1.0)
    """
    numbers = np.asarray(value, dtype=np.float64)
    require(
        what,
        value,
        unit,
        f"between {low:g} and {high:g}",
        (numbers >= low) & (numbers <= high),
        hint,
    )


@dataclass(frozen=True, slots=True)
class Range:
    """A figure that is not known to a point.

    Parameters
    ----------
    low, likely, high : float or array
        The ends, and the figure to plan with where only one can be used. [any]
    source : str
        Where the ends come from.
    """

    low: Floats
    likely: Floats
    high: Floats
    source: str


def plain(result: object) -> Floats:
    """Return a float for a single number and an array for many.

    Parameters
    ----------
    result : float or array
        What NumPy worked out. [any]

    Returns
    -------
    float or array
        The same, a number as Python's own float. [any]

    Examples
    --------
    >>> plain(np.maximum(1.0, 2.0))
    2.0
    """
    array = np.asarray(result, dtype=np.float64)
    return float(array) if array.ndim == 0 else array
