"""A firing from its segments: its temperature over time, and how long it takes.

What this page leaves out: a kiln cools as it likes unless it is told to fire
down; a cooling segment here is only as true as the controller makes it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pourwright.errors import NotDoable
from pourwright.materials.ranges import (
    FloatArray,
    Floats,
    require,
    require_between,
    require_more_than,
)

WATER_SMOKING_DEGC = (90.0, 120.0)
"""Where the last free water leaves (practice, from memory). [degC]"""


@dataclass(frozen=True, slots=True)
class Segment:
    """One stretch of a schedule.

    Parameters
    ----------
    rate_degc_per_h : float
        How fast, up or down alike, more than 0. [degC/h]
    to_degc : float
        Where it ends. [degC]
    hold_min : float
        How long it stays there. [min]
    """

    rate_degc_per_h: float
    to_degc: float
    hold_min: float = 0.0


@dataclass(frozen=True, slots=True)
class Course:
    """A schedule as a line of temperature over time.

    Parameters
    ----------
    minutes : array, shape (n,)
        Times of its corners, the first zero. [min]
    temperatures_degc : array, shape (n,)
        Temperature at each. [degC]
    """

    minutes: FloatArray
    temperatures_degc: FloatArray

    def at(self, minutes: Floats) -> Floats:
        """Return the temperature at a time.

        Parameters
        ----------
        minutes : float or array
            Since the start; after the end, the last temperature. [min]

        Returns
        -------
        float or array
            Temperature. [degC]

        Raises
        ------
        OutOfRange
            If the time is before the start.
        """
        require("time", minutes, "min", "0 or more", np.asarray(minutes) >= 0)
        found: Floats = np.interp(minutes, self.minutes, self.temperatures_degc)
        return found


def course(segments: Sequence[Segment], start_degc: float = 20.0) -> Course:
    """Return a schedule's temperature over time.

    Parameters
    ----------
    segments : sequence of Segment
        In their order; each starts where the one before ended.
    start_degc : float
        Temperature of the kiln at the start, -10 to 300. [degC]

    Returns
    -------
    Course
        Corners of the line. [min and degC]

    Raises
    ------
    NotDoable
        If there is no segment.
    OutOfRange
        If a rate, a temperature or a hold is impossible.

    Examples
    --------
    A controller's preset, 180 degC/h for 2.5 hours and so on, told by temperature:

    >>> climb = course([Segment(180, 470), Segment(85, 520), Segment(100, 786), Segment(60, 876)])
    >>> f"{climb.minutes[-1] / 60:.2f} h"
    '7.25 h'
    """
    if not segments:
        raise NotDoable("the schedule has no segment; give at least one rate and one temperature.")
    require_between("temperature at the start", start_degc, "degC", -10.0, 300.0)
    minutes, heats = [0.0], [start_degc]
    for segment in segments:
        require_between("heating or cooling rate", segment.rate_degc_per_h, "degC/h", 1.0, 1500.0)
        require_between("temperature of a segment", segment.to_degc, "degC", 0.0, 1400.0)
        require_between("hold", segment.hold_min, "min", 0.0, 10080.0)
        climb_min = 60 * abs(segment.to_degc - heats[-1]) / segment.rate_degc_per_h
        for span_min in (climb_min, segment.hold_min):
            if minutes[-1] + span_min > minutes[-1]:  # a hair of a minute is no corner
                minutes.append(minutes[-1] + span_min)
                heats.append(segment.to_degc)
    return Course(np.array(minutes), np.array(heats))


def last_climb_degc_per_h(course_up: Course, over_degc: float = 100.0) -> float:
    """Return the mean rate of the last hundred degrees, by which cones are charted.

    Parameters
    ----------
    course_up : Course
        From `course`.
    over_degc : float
        How far down from the top, 10 to 500. [degC]

    Returns
    -------
    float
        Degrees over the time they took, holds on the way counted. [degC/h]

    Raises
    ------
    OutOfRange
        If the course does not climb that far.

    Examples
    --------
    >>> f"{last_climb_degc_per_h(course([Segment(150, 1120), Segment(60, 1222, 10)])):.0f} degC/h"
    '60 degC/h'
    """
    require_between("stretch below the top", over_degc, "degC", 10.0, 500.0)
    heats, minutes = course_up.temperatures_degc, course_up.minutes
    top = int(np.argmax(heats))
    below = heats[top] - over_degc
    hint = "The schedule does not climb that far."
    require(
        "start of the schedule", float(heats[0]), "degC", f"below {below:g}", heats[0] < below, hint
    )
    under = int(np.flatnonzero(heats[:top] <= below)[-1])
    share = (below - heats[under]) / (heats[under + 1] - heats[under])
    began = minutes[under] + share * (minutes[under + 1] - minutes[under])
    return float(60 * over_degc / (minutes[top] - began))


def heating_minutes(firing: Course) -> tuple[float, float]:
    """Return how long a firing preheats, to 120 degC, and how long it heats after that.

    Parameters
    ----------
    firing : Course
        From `course`; what comes after the top's hold is left out.

    Returns
    -------
    tuple of float
        Time below 120 degC on the way up, and from there to the end of the last
        stretch at the top. [min]

    Raises
    ------
    OutOfRange
        If the firing never passes 120 degC.

    Examples
    --------
    >>> [round(part) for part in heating_minutes(course([Segment(100, 120), Segment(150, 1000)]))]
    [60, 352]
    """
    heats, minutes = firing.temperatures_degc, firing.minutes
    edge = WATER_SMOKING_DEGC[1]
    top = float(np.max(heats))
    require_more_than("top temperature", top, "degC", edge)
    over = int(np.flatnonzero(heats > edge)[0])
    share = (edge - heats[over - 1]) / (heats[over] - heats[over - 1]) if over else 0.0
    passed = minutes[over - 1] + share * (minutes[over] - minutes[over - 1]) if over else 0.0
    end = minutes[int(np.flatnonzero(heats == top)[-1])]
    return float(passed), float(end - passed)
