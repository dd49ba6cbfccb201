"""How a length changes from the original to the fired piece, and back.

Each step has its own base: plaster swells while it sets, rubber shrinks on
curing, clay shrinks on drying, and again in the kiln. The steps multiply; they
never add.

What this page leaves out: free expansion and shrinkage are assumed. A stiff
jacket holds some of it back, and a tall piece shrinks and sags unevenly.
"""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.materials.ranges import Floats, require_between, require_more_than
from pourwright.materials.ware.shrinkage import FiredOn, clay_factors

PLASTER_EXPANSION = 0.002
"""Linear setting expansion of pottery plaster; see the page on plaster. [-]"""


@dataclass(frozen=True, slots=True)
class ChainStep:
    """One step of the way from the original to the piece.

    Parameters
    ----------
    name : str
        What the length is measured on after this step.
    factor : float or array
        Length after the step over length before it. [-]
    """

    name: str
    factor: Floats


def dimension_chain(
    *,
    dry: Floats,
    fired: Floats,
    fired_on: FiredOn,
    rubber_shrinkage: Floats = 0.0,
    plaster_expansion: Floats = PLASTER_EXPANSION,
    block_mold: bool = True,
) -> tuple[ChainStep, ...]:
    """Return every step from the original to the fired piece.

    Plaster that swells while it sets makes a cavity larger, so block mold and
    mold each multiply by ``1 + e``; the rubber taken from the block mold
    multiplies by ``1 - r``; the clay by its own two factors.

    Parameters
    ----------
    dry : float or array
        Shrinkage of the clay from wet to dry, 0 to less than 0.2. [-]
    fired : float or array
        Shrinkage in the kiln, told as ``fired_on`` says, 0 to less than 0.3. [-]
    fired_on : {"dry", "wet", "total"}
        The length that the fired figure is told on.
    rubber_shrinkage : float or array
        Linear shrinkage of the master's rubber, 0 to 0.05. [-]
    plaster_expansion : float or array
        Linear setting expansion of the plaster, 0 to 0.02. [-]
    block_mold : bool
        Whether the master is taken from a block mold; if not, straight from the
        original.

    Returns
    -------
    tuple of ChainStep
        "original", "block mold", "master", "mold", "clay", "dry", "fired". [-]

    Raises
    ------
    OutOfRange
        If a change is outside its range.
    NotDoable
        If ``fired_on`` is none of the three.

    Notes
    -----
    Setting expansion is free expansion; a stiff jacket holds some of it back, so
    the true cavity lies between factor 1 and ``1 + e``.

    Examples
    --------
    >>> steps = dimension_chain(dry=0.03, fired=0.09, fired_on="dry")
    >>> f"{length_after(100.0, steps):.1f} mm of 100 mm"
    '88.6 mm of 100 mm'
    """
    require_between("rubber shrinkage", rubber_shrinkage, "", 0.0, 0.05)
    require_between("setting expansion of the plaster", plaster_expansion, "", 0.0, 0.02)
    dried, burned = clay_factors(dry, fired, fired_on)
    swollen = 1 + plaster_expansion
    first = (ChainStep("block mold", swollen),) if block_mold else ()
    return (
        ChainStep("original", 1.0),
        *first,
        ChainStep("master", 1 - rubber_shrinkage),
        ChainStep("mold", swollen),
        ChainStep("clay", 1.0),
        ChainStep("dry", dried),
        ChainStep("fired", burned),
    )


def whole_factor(steps: tuple[ChainStep, ...]) -> Floats:
    """Return the last length over the first: the product of the steps' factors.

    Parameters
    ----------
    steps : tuple of ChainStep
        From `dimension_chain`.

    Returns
    -------
    float or array
        Fired length over the original's. [-]

    Examples
    --------
    >>> f"{whole_factor((ChainStep('dry', 0.94), ChainStep('fired', 0.94))):.4f}"
    '0.8836'
    """
    factor: Floats = 1.0
    for step in steps:
        factor = factor * step.factor
    return factor


def length_after(original_mm: Floats, steps: tuple[ChainStep, ...]) -> Floats:
    """Return the fired length of an original's length.

    Parameters
    ----------
    original_mm : float or array
        Length on the original, more than 0. [mm]
    steps : tuple of ChainStep
        From `dimension_chain`.

    Returns
    -------
    float or array
        Length on the fired piece. [mm]

    Raises
    ------
    OutOfRange
        If the length is not more than zero.

    Examples
    --------
    >>> f"{length_after(60.0, (ChainStep('fired', 0.9),)):.1f} mm"
    '54.0 mm'
    """
    require_more_than("length of the original", original_mm, "mm")
    return original_mm * whole_factor(steps)


def length_before(fired_mm: Floats, steps: tuple[ChainStep, ...]) -> Floats:
    """Return the original's length that fires to a wanted length.

    Parameters
    ----------
    fired_mm : float or array
        Length wanted on the fired piece, more than 0. [mm]
    steps : tuple of ChainStep
        From `dimension_chain`.

    Returns
    -------
    float or array
        Length to make the original. [mm]

    Raises
    ------
    OutOfRange
        If the length is not more than zero.

    Examples
    --------
    >>> f"{length_before(100.0, (ChainStep('fired', 0.88),)):.2f} mm"
    '113.64 mm'
    """
    require_more_than("length of the fired piece", fired_mm, "mm")
    return fired_mm / whole_factor(steps)


def lengths_along(original_mm: Floats, steps: tuple[ChainStep, ...]) -> tuple[Floats, ...]:
    """Return the length after each step, in their order.

    Parameters
    ----------
    original_mm : float or array
        Length on the original, more than 0. [mm]
    steps : tuple of ChainStep
        From `dimension_chain`.

    Returns
    -------
    tuple of float or array
        One length for each step. [mm]

    Raises
    ------
    OutOfRange
        If the length is not more than zero.

    Examples
    --------
    >>> [round(mm, 1) for mm in lengths_along(100.0, (ChainStep("dry", 0.97), ChainStep("fired", 0.91)))]
    [97.0, 88.3]
    """
    return tuple(length_after(original_mm, steps[: end + 1]) for end in range(len(steps)))
