"""Holds in place of degrees, and what a temperature log has done to a cone.

A climb that stops short of a cone's end may be held there until the cone is down.
Near the end, ten degrees are worth about a quarter of an hour.

What this page leaves out: long holds are the law's weakest place. Count on half a
cone either way and set a witness cone.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq

from pourwright.errors import NotDoable
from pourwright.materials.kiln.cones import Kind
from pourwright.materials.kiln.heat_work import (
    GAS_CONSTANT,
    PRINTED_END_DEGC,
    bending,
    end_temperature_degc,
    ramp_integral,
)
from pourwright.materials.ranges import require, require_between, require_more_than

LONG_HOLD_MIN = 60.0
"""Longer holds are told as good to half a cone only. [min]"""


@dataclass(frozen=True, slots=True)
class Hold:
    """A hold that stands in for the last degrees of a climb.

    Parameters
    ----------
    minutes : float
        How long to hold. [min]
    low_min, high_min : float
        Its range, from the law's error. [min]
    note : str
        What to mind, or "".
    """

    minutes: float
    low_min: float
    high_min: float
    note: str


def hold_in_place_of_climb(
    cone: str | float,
    short_by_degc: float,
    rate_degc_per_h: float = 60.0,
    kind: Kind = "self-supporting",
) -> Hold:
    """Return the hold that brings a cone down when the climb stops short of its end.

    What the climb still lacks of the heat work is done at the temperature of the
    hold: ``(I(T) - I(T - dT)) / (rate exp(-E / R (T - dT)))``.

    Parameters
    ----------
    cone : str or float
        From 019 to 10.
    short_by_degc : float
        How far below its end temperature the climb stops, 0 to 40. [degC]
    rate_degc_per_h : float
        Heating rate of the climb, 10 to 400. [degC/h]
    kind : {"self-supporting", "large"}
        The kind of cone.

    Returns
    -------
    Hold
        Time with its range. [min]

    Raises
    ------
    OutOfRange
        If a value is outside its range.
    NotDoable
        If the cone has no fit.

    Notes
    -----
    The range takes the printed end 3 degC lower and higher. A rule of the trade
    says that one or two hours bring down the next cone; here that takes from
    minutes to three hours, by the cone. So long holds are good to half a cone:
    set a witness cone.

    Examples
    --------
    >>> hold = hold_in_place_of_climb("6", 10.0)
    >>> f"{hold.minutes:.0f} minutes, {hold.low_min:.0f} to {hold.high_min:.0f}"
    '13 minutes, 8 to 17'
    """
    require("stop before the end", short_by_degc, "degC", "0 to 40", 0 <= short_by_degc <= 40)
    answer = bending(cone, kind)
    end = float(end_temperature_degc(cone, rate_degc_per_h, kind))
    low, best, high = (
        _hold_min(end, max(short_by_degc + miss, 0.0), rate_degc_per_h, answer.energy_kj_per_mol)
        for miss in (-PRINTED_END_DEGC, 0.0, PRINTED_END_DEGC)
    )
    note = "Good to half a cone only: set a witness cone." if best > LONG_HOLD_MIN else ""
    return Hold(best, low, high, note)


def _hold_min(end_degc: float, short_degc: float, rate_degc_per_h: float, energy: float) -> float:
    """Return the hold for one energy."""
    at = end_degc - short_degc
    lacking = float(ramp_integral(end_degc, energy)) - float(ramp_integral(at, energy))
    pace = float(np.exp(-energy / (GAS_CONSTANT * (at + 273.15))))
    return 60 * lacking / (rate_degc_per_h * pace)


def degrees_that_a_hold_saves(
    cone: str | float,
    hold_min: float,
    rate_degc_per_h: float = 60.0,
    kind: Kind = "self-supporting",
) -> float:
    """Return how far below its end a climb may stop if it is then held.

    The inverse of `hold_in_place_of_climb`.

    Parameters
    ----------
    cone : str or float
        From 019 to 10.
    hold_min : float
        Length of the hold at the top, 0 to 240. [min]
    rate_degc_per_h : float
        Heating rate of the climb, 10 to 400. [degC/h]
    kind : {"self-supporting", "large"}
        The kind of cone.

    Returns
    -------
    float
        Degrees below the end temperature. [degC]

    Raises
    ------
    OutOfRange
        If a value is outside its range.
    NotDoable
        If the cone has no fit.

    Examples
    --------
    >>> f"{degrees_that_a_hold_saves('6', 15.0):.0f} degC"
    '12 degC'
    """
    require_between("hold at the top", hold_min, "min", 0.0, 240.0)
    energy = bending(cone, kind).energy_kj_per_mol
    end = float(end_temperature_degc(cone, rate_degc_per_h, kind))

    def miss(short_degc: float) -> float:
        """Return how much longer than the hold a stop so far short would need."""
        return _hold_min(end, short_degc, rate_degc_per_h, energy) - hold_min

    return float(brentq(miss, 0.0, 300.0))


def work_done(
    minutes: np.ndarray,
    temperatures_degc: np.ndarray,
    cone: str | float,
    kind: Kind = "self-supporting",
) -> float:
    """Return how much of a cone's heat work a temperature log has done.

    1 is a tip that touches. Between two points of the log the temperature is taken
    to climb, fall or stand evenly, and the work is exact for that.

    Parameters
    ----------
    minutes : array, shape (n,)
        Times of the log, rising. [min]
    temperatures_degc : array, shape (n,)
        Temperature at the cone at each. [degC]
    cone : str or float
        From 019 to 10.
    kind : {"self-supporting", "large"}
        The kind of cone.

    Returns
    -------
    float
        Work over the work of a climb of 60 degC/h to the printed end. [-]

    Raises
    ------
    NotDoable
        If there are not two or more times with one temperature each, rising.
    OutOfRange
        If a temperature is below -50.

    Examples
    --------
    >>> log_min = np.array([0.0, 1202.0])
    >>> f"{work_done(log_min, np.array([20.0, 1222.0]), '6'):.3f}"
    '1.000'
    """
    times = np.asarray(minutes, dtype=np.float64)
    heats = np.asarray(temperatures_degc, dtype=np.float64)
    if times.ndim != 1 or times.size < 2 or times.shape != heats.shape:
        raise NotDoable(
            f"the log has {times.size} times and {heats.size} temperatures; give one each."
        )
    if not (np.diff(times) > 0).all():
        raise NotDoable("the times of the log must rise from one to the next.")
    require_more_than("temperature", heats, "degC", -50.0)
    answer = bending(cone, kind)
    energy = answer.energy_kj_per_mol
    whole = np.asarray(ramp_integral(heats, energy))
    pace = np.exp(-energy / (GAS_CONSTANT * (heats + 273.15)))
    hours, climb = np.diff(times) / 60, np.diff(heats)
    level = np.abs(climb) < 1e-3
    steady = np.divide(np.diff(whole), climb, where=~level, out=np.zeros_like(climb))
    work = np.where(level, (pace[:-1] + pace[1:]) / 2, steady) * hours
    return float(np.sum(work) / (float(ramp_integral(answer.end_degc, energy)) / 60))
