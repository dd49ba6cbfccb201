"""The dose of deflocculant at which a slip flows best, from the studio's own series.

A slip with too little flows badly, and with too much again. Between the two
lies a least drain time, which this page finds, with its uncertainty, and only
inside the doses that were tried.

What this page leaves out: a dose from one body, water or deflocculant for
another. No numeric curve was found in print, only its shape [1]_.

References
----------
.. [1] Journal of the Society of Materials Science, Japan, 5(32), 292 (1956),
   abstract: fluidity and hardness rise with the dose, then fall.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.special import stdtrit

from pourwright.errors import NotDoable
from pourwright.materials.ranges import FloatArray, require

FEWEST_DOSES = 5
"""Doses that a series must have; three are needed to bend a curve. [-]"""

CONFIDENCE = 0.90
"""Share of cases in which the range holds the true dose, if scatter is as usual. [-]"""

LEAST_SCATTER = 0.03
"""A drain time is never believed closer than this share of it. [-]

Flow cups themselves are made to 2 to 5 % (a cup maker's manual).
"""


@dataclass(frozen=True, slots=True)
class BestDose:
    """What a series of doses says.

    Parameters
    ----------
    verdict : {"found", "still falling", "already rising", "not clear"}
        Whether the series has a least drain time, and if not, why.
    dose, low, high : float or None
        Dose of the least drain time and its 90 % range, within the doses tried. [-]
    least_seconds : float or None
        Drain time that the fitted curve gives there. [s]
    tried_low, tried_high : float
        The doses between which the answer holds. [-]
    advice : str
        What to do next.
    """

    verdict: Literal["found", "still falling", "already rising", "not clear"]
    dose: float | None
    low: float | None
    high: float | None
    least_seconds: float | None
    tried_low: float
    tried_high: float
    advice: str


def best_dose(doses: Sequence[float], seconds: Sequence[float]) -> BestDose:
    """Return the dose at which a series of slips drains fastest, with its range.

    The logarithm of the drain time is fitted by a parabola, ``a + b x + c x^2``,
    through the five doses around the fastest. The fastest lies at ``-b / 2c``; its
    range is Fieller's: every dose whose slope could be zero [1]_, with drain times
    never taken as closer than 3 %. It is never narrower than from the dose tried
    before the fastest to the one after it: no curve need be as even as a parabola,
    and five points do not show whether it is.

    Parameters
    ----------
    doses : sequence of float
        Deflocculant over dry clay of each slip, at least five different ones,
        0 to 0.02. [-]
    seconds : sequence of float
        Drain time of each, same cup, same rest, same liter weight, more than 0;
        leave out slips that did not drain. [s]

    Returns
    -------
    BestDose
        The dose and its range [-], never outside the doses tried.

    Raises
    ------
    NotDoable
        If there are fewer than five different doses, or a dose without a time.
    OutOfRange
        If a dose or a time is impossible.

    Notes
    -----
    Deflocculant stays in: go up in small steps and stop when the time rises.
    Many casters stay slightly under the fastest, at the low end of the range, to
    keep some body in the slip (practice, from memory).

    Examples
    --------
    >>> found = best_dose([0.002, 0.0025, 0.003, 0.0035, 0.004], [75, 52, 44, 47, 61])
    >>> f"{found.dose:.4f}, {found.low:.4f} to {found.high:.4f}"
    '0.0031, 0.0025 to 0.0035'

    References
    ----------
    .. [1] Fieller, Journal of the Royal Statistical Society B 16 (1954) 175.
    """
    x, y = _series(doses, seconds)
    fastest, order = x[np.argmin(y)], np.sort(np.unique(x))
    if fastest == order[-1]:
        return _none("still falling", order, "Try higher doses, in small steps.")
    if fastest == order[0]:
        return _none("already rising", order, "Try a fresh slip with lower doses.")
    near = _around(order, float(fastest))
    used = np.isin(x, near)
    fit = _Parabola.through(x[used], np.log(y[used]))
    low, high = fit.turning_range()
    if not near[0] <= low <= high <= near[-1]:
        return _none("not clear", order, "Weigh and time the doses around the fastest once more.")
    place = int(np.searchsorted(order, fastest))
    low, high = min(low, float(order[place - 1])), max(high, float(order[place + 1]))
    turn = fit.turn()
    advice = "Slips at the low end of the range keep more body; never go beyond what was tried."
    least = float(np.exp(fit.value(turn)))
    return BestDose("found", turn, low, high, least, float(order[0]), float(order[-1]), advice)


def _series(doses: Sequence[float], seconds: Sequence[float]) -> tuple[FloatArray, FloatArray]:
    """Check a series and return it as arrays."""
    x, y = np.asarray(doses, dtype=np.float64), np.asarray(seconds, dtype=np.float64)
    if x.shape != y.shape or x.ndim != 1:
        raise NotDoable(f"there are {x.size} doses and {y.size} drain times; give one time a dose.")
    hint = "It is a fraction of the dry clay: 0.3 % is 0.003."
    require("dose", x, "", "between 0 and 0.02", (x >= 0) & (x <= 0.02), hint)
    require("drain time", y, "s", "more than 0", (y > 0) & np.isfinite(y))
    if np.unique(x).size < FEWEST_DOSES:
        raise NotDoable(
            f"the series has {np.unique(x).size} different doses; "
            f"it takes at least {FEWEST_DOSES}, two of them beyond the fastest."
        )
    return x, y


def _around(order: FloatArray, fastest: float) -> FloatArray:
    """Return the five neighboring doses that have the fastest in or near their middle."""
    place = int(np.searchsorted(order, fastest))
    start = min(max(place - FEWEST_DOSES // 2, 0), order.size - FEWEST_DOSES)
    return order[start : start + FEWEST_DOSES]


def _none(
    verdict: Literal["still falling", "already rising", "not clear"],
    order: FloatArray,
    advice: str,
) -> BestDose:
    """Return that the series gives no dose, and what to do."""
    return BestDose(verdict, None, None, None, None, float(order[0]), float(order[-1]), advice)


@dataclass(frozen=True, slots=True)
class _Parabola:
    """A least-squares parabola in scaled doses, with the covariance of its slopes."""

    center: float
    width: float
    terms: FloatArray
    covariance: FloatArray
    freedom: int

    @classmethod
    def through(cls, x: FloatArray, y: FloatArray) -> _Parabola:
        """Fit; doses are scaled so that the numbers stay near one."""
        center, width = float(np.mean(x)), float(np.ptp(x)) / 2
        scaled = (x - center) / width
        design = np.stack([np.ones_like(scaled), scaled, scaled**2], axis=1)
        terms, *_ = np.linalg.lstsq(design, y, rcond=None)
        freedom = x.size - 3
        # Five lucky points may fit a parabola nearly exactly; the cup is no better for it.
        found = float(np.sum((y - design @ terms) ** 2)) / freedom
        scatter = max(found, LEAST_SCATTER**2)
        covariance = np.asarray(scatter * np.linalg.inv(design.T @ design), dtype=np.float64)
        return cls(center, width, np.asarray(terms, dtype=np.float64), covariance, freedom)

    def turn(self) -> float:
        """Return the dose at which the parabola turns."""
        return float(self.center - self.width * self.terms[1] / (2 * self.terms[2]))

    def value(self, dose: float) -> float:
        """Return the height of the parabola at a dose."""
        scaled = (dose - self.center) / self.width
        return float(self.terms @ [1.0, scaled, scaled**2])

    def turning_range(self) -> tuple[float, float]:
        """Return the doses whose slope could be zero, or an empty range (nan)."""
        _, b, c = self.terms
        limit = float(stdtrit(self.freedom, (1 + CONFIDENCE) / 2)) ** 2
        vb, vbc, vc = self.covariance[[1, 1, 2], [1, 2, 2]]
        # (b + 2 c x)^2 = t^2 var(b + 2 c x) at the two ends.
        two = 4 * (c**2 - limit * vc)
        one = 4 * (b * c - limit * vbc)
        none = b**2 - limit * vb
        if c <= 0 or two <= 0:
            return np.nan, np.nan
        half = float(np.sqrt(max(one**2 - 4 * two * none, 0.0))) / (2 * two)
        middle = -one / (2 * two)
        ends = (
            self.center + self.width * (middle - half),
            self.center + self.width * (middle + half),
        )
        return float(ends[0]), float(ends[1])
