"""How many casts a studio's molds have given: from its own retired molds, as a range.

No law says how many casts a mold has left. What can be said comes from molds that
were retired, and from those that have not been: they count for as long as they
have held. Without a retired mold there is only what others tell.

What this page leaves out: why molds were retired, what form they had, and that a
studio that looks closer retires sooner. Molds of one master wear alike, so ten of
them are not ten witnesses.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pourwright.materials.ranges import FloatArray, Range, require

TOLD_BY_OTHERS = Range(
    15.0, 30.0, 60.0, "fine detail 15 to 20, simple forms 50 to 150: common practice, no source"
)
"""Casts a mold gives, as long as the studio has retired none: shown as three cases."""


@dataclass(frozen=True, slots=True)
class Survival:
    """The share of molds that held for so many casts.

    Parameters
    ----------
    casts : array of shape (steps,)
        Number of casts at which molds were retired, rising. [-]
    holding : array of shape (steps,)
        Share that held for longer. [-]
    standard_error : array of shape (steps,)
        Of the share (Greenwood). [-]
    """

    casts: FloatArray
    holding: FloatArray
    standard_error: FloatArray


def mold_survival(retired_at: Sequence[float], in_use_at: Sequence[float] = ()) -> Survival:
    """Return the share of molds that hold for longer than so many casts.

    The product-limit estimate ``prod(1 - d/n)``: d of the n molds that had held so
    far were retired then [1]_; Greenwood's standard error
    ``S sqrt(sum d/(n (n - d)))``. A mold still in use counts until its casts so far.

    Parameters
    ----------
    retired_at : sequence of float
        Casts that each worn-out mold had given. [-]
    in_use_at : sequence of float
        Casts that each mold still in use, or lost in another way, has given. [-]

    Returns
    -------
    Survival
        One step for each number of casts at which molds were retired.

    Raises
    ------
    OutOfRange
        If no mold was retired, or a number of casts is not more than zero.

    Examples
    --------
    >>> held = mold_survival([20, 30, 30, 45], in_use_at=[25, 50])
    >>> [f"{share:.2f}" for share in held.holding]
    ['0.83', '0.42', '0.21']

    References
    ----------
    .. [1] Kaplan and Meier, J. Am. Stat. Assoc. 53 (1958) 457.
    """
    retired = np.asarray(retired_at, dtype=np.float64)
    held = np.asarray(in_use_at, dtype=np.float64)
    require("retired molds", float(retired.size), "molds", "at least 1", retired.size > 0)
    for what, casts in (("a retired mold", retired), ("a mold in use", held)):
        require(f"casts of {what}", casts, "casts", "more than 0", (casts > 0) & np.isfinite(casts))
    steps, worn = np.unique(retired, return_counts=True)
    everyone = np.concatenate([retired, held])
    at_risk = (everyone >= steps[:, None]).sum(axis=1)
    holding = np.cumprod(1 - worn / at_risk)
    with np.errstate(divide="ignore"):
        spread = np.cumsum(worn / (at_risk * (at_risk - worn)))
    error = np.where(holding > 0, holding * np.sqrt(np.where(holding > 0, spread, 0.0)), 0.0)
    return Survival(steps, holding, error)


def casts_of_a_mold(retired_at: Sequence[float], in_use_at: Sequence[float] = ()) -> Range:
    """Return how many casts a mold gives, as a range.

    The casts that nine, five and one in ten molds reach, by `mold_survival`; before
    any mold was retired the three cases that others tell, 15, 30 and 60.

    Parameters
    ----------
    retired_at : sequence of float
        Casts that each worn-out mold had given. [-]
    in_use_at : sequence of float
        Casts that each mold still in use has given. [-]

    Returns
    -------
    Range
        Casts. Where so many hold that a share was never reached, the most that any
        mold has given: it may be more. [-]

    Raises
    ------
    OutOfRange
        If a number of casts is not more than zero.

    Examples
    --------
    >>> casts = casts_of_a_mold([20, 24, 30, 30, 45], in_use_at=[25])
    >>> casts.low, casts.likely, casts.high
    (20.0, 30.0, 45.0)
    """
    if not len(retired_at):
        return TOLD_BY_OTHERS
    held = mold_survival(retired_at, in_use_at)
    most = float(max([*retired_at, *in_use_at]))
    ends = []
    for share in (0.9, 0.5, 0.1):
        reached = np.flatnonzero(held.holding <= share + 1e-12)
        ends.append(float(held.casts[reached[0]]) if reached.size else most)
    low, likely, high = ends
    counted = f"{len(retired_at)} retired molds and {len(in_use_at)} in use"
    return Range(low, likely, high, counted)
