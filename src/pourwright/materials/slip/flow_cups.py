"""Seconds from a flow cup: always worth recording, seldom worth converting.

A cup's equation holds for liquids that flow alike at every speed, at 25 degC,
and only inside the cup's window of drain times. Slip is not such a liquid: it
thickens while it rests. So the seconds themselves, always with the same cup and
the same rest, are the studio's measure; the viscosity is for comparing cups.

What this page leaves out: temperature. A slip 10 degC warmer drains in about
four fifths of the time.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from pourwright.errors import NotDoable
from pourwright.materials.ranges import Floats, require, require_more_than


@dataclass(frozen=True, slots=True)
class Cup:
    """A standard cup: ``v = slope t - offset - kick / t`` inside its window.

    Parameters
    ----------
    slope : float
        Viscosity gained with each second. [mm2/s2]
    offset : float
        Subtracted from it. [mm2/s]
    kick : float
        The falling stream's own energy, for cups that state it. [mm2]
    shortest, longest : float
        The window of drain times that the equation holds in. [s]
    grade : {"read", "memory"}
        Whether the equation was read in a calibrator's table, or is from memory
        of the standard and agrees with that table's calibration oils.
    standard : str
        Where the cup is laid down.
    """

    slope: float
    offset: float
    kick: float
    shortest: float
    longest: float
    grade: Literal["read", "memory"]
    standard: str


def _straight(slope: float, zero: float, shortest: float, longest: float, standard: str) -> Cup:
    """Return a cup told as ``slope (t - zero)``, read in the calibrator's table."""
    return Cup(slope, slope * zero, 0.0, shortest, longest, "read", standard)


_DIP = "ASTM D4212, dip-type viscosity cups"
_FORD = "ASTM D1200, Ford viscosity cup"
_ISO = "ISO 2431, flow cups"

CUPS: dict[str, Cup] = {
    "Zahn 1": _straight(1.1, 29.0, 35.0, 80.0, _DIP),
    "Zahn 2": _straight(3.5, 14.0, 20.0, 80.0, _DIP),
    "Zahn 3": _straight(11.7, 7.5, 20.0, 80.0, _DIP),
    "Zahn 4": _straight(14.8, 5.0, 20.0, 80.0, _DIP),
    "Zahn 5": _straight(23.0, 0.0, 20.0, 80.0, _DIP),
    "Shell 3": _straight(1.51, 2.0, 20.0, 80.0, _DIP),
    "Shell 3.5": _straight(2.17, 1.5, 20.0, 80.0, _DIP),
    "Shell 4": _straight(3.45, 1.0, 20.0, 80.0, _DIP),
    "Shell 5": _straight(6.5, 1.0, 20.0, 80.0, _DIP),
    "Shell 6": _straight(16.2, 0.5, 20.0, 80.0, _DIP),
    "Ford 1": _straight(0.49, 35.0, 55.0, 100.0, _FORD),
    "Ford 2": _straight(1.44, 18.0, 40.0, 100.0, _FORD),
    "Ford 3": Cup(2.31, 2.31 * 6.58, 0.0, 20.0, 100.0, "memory", _FORD),
    "Ford 4": Cup(3.85, 3.85 * 4.49, 0.0, 20.0, 100.0, "memory", _FORD),
    "Ford 5": Cup(12.1, 12.1 * 2.00, 0.0, 20.0, 100.0, "memory", _FORD),
    "ISO 4 mm": Cup(1.37, 0.0, 200.0, 30.0, 100.0, "memory", _ISO),
    "ISO 6 mm": Cup(6.90, 0.0, 570.0, 30.0, 100.0, "memory", _ISO),
}
"""The standard cups by name. Other cups have no equation here; record their seconds.

:meta hide-value:
"""


@dataclass(frozen=True, slots=True)
class FlowReading:
    """A reading as it was taken, with a viscosity if the cup gives one.

    Parameters
    ----------
    cup : str
        The cup's name.
    seconds : float
        Drain time, from opening to the first break of the stream. [s]
    mm2_per_s : float or None
        Kinematic viscosity of a liquid that does not thicken at rest. [mm2/s]
    note : str
        Why there is no viscosity, or what to mind about it.
    """

    cup: str
    seconds: float
    mm2_per_s: float | None
    note: str


def cup_named(name: str) -> Cup:
    """Return a standard cup.

    Parameters
    ----------
    name : str
        Such as "Ford 4".

    Returns
    -------
    Cup
        Its equation and window.

    Raises
    ------
    NotDoable
        If no standard cup has this name.

    Examples
    --------
    >>> cup_named("Ford 4").longest
    100.0
    """
    if name not in CUPS:
        raise NotDoable(
            f'no flow cup "{name}" is known; there are {", ".join(CUPS)}. '
            "Seconds of another cup are recorded as they are."
        )
    return CUPS[name]


def kinematic_viscosity_mm2_per_s(cup: str, seconds: Floats) -> Floats:
    """Return the viscosity of a liquid from its drain time, inside the cup's window.

    ``v = a t - b - c / t`` with the cup's own figures [1]_ [2]_ [3]_.

    Parameters
    ----------
    cup : str
        A name from `CUPS`.
    seconds : float or array
        Drain time, inside the cup's window: 20 to 80 s for dip cups (35 to 80 for
        the first), 20 to 100 s for Ford 3 to 5, 55 to 100 for Ford 1, 40 to 100 for
        Ford 2, 30 to 100 for ISO cups. [s]

    Returns
    -------
    float or array
        Kinematic viscosity at 25 degC. [mm2/s]

    Raises
    ------
    OutOfRange
        If a time lies outside the window: take another cup, do not convert.
    NotDoable
        If no standard cup has this name.

    Notes
    -----
    For liquids that flow alike at every speed. A slip does not, so that this
    compares two cups in one slip, and no more. The equations of Ford 3 to 5
    and of the ISO cups are from memory; the calibrator's oils bear out those
    of Ford 3 to 5.

    Examples
    --------
    >>> f"{kinematic_viscosity_mm2_per_s('Zahn 2', 33.0):.1f} mm2/s"
    '66.5 mm2/s'

    References
    ----------
    .. [1] A viscometer maker's table of viscosity cups, citing ASTM D4212 and D1200.
    .. [2] ASTM D1200-94 (2005), 11.2, for the windows of Ford cups.
    .. [3] ISO 2431, annex, for the ISO cups (from memory).
    """
    made = cup_named(cup)
    times = np.asarray(seconds, dtype=np.float64)
    inside = (times >= made.shortest) & (times <= made.longest)
    allowed = f"between {made.shortest:g} and {made.longest:g}"
    hint = "Record the seconds; take a smaller opening if it was quick, a larger if slow."
    require(f"drain time of the cup {cup}", seconds, "s", allowed, inside, hint)
    return made.slope * seconds - made.offset - made.kick / seconds


def record_flow(cup: str, seconds: float) -> FlowReading:
    """Return a reading to keep: the seconds always, the viscosity if the cup gives it.

    Parameters
    ----------
    cup : str
        Any cup; one that is not in `CUPS` is kept by its name.
    seconds : float
        Drain time, more than 0. [s]

    Returns
    -------
    FlowReading
        The seconds [s] with the viscosity [mm2/s] or the reason why there is none.

    Raises
    ------
    OutOfRange
        If the time is not more than zero.

    Examples
    --------
    >>> record_flow("Ford 4", 12.0).mm2_per_s is None
    True
    >>> f"{record_flow('Ford 4', 36.0).mm2_per_s:.0f} mm2/s"
    '121 mm2/s'
    """
    require_more_than("drain time", seconds, "s")
    known = CUPS.get(cup)
    if known is None:
        return FlowReading(cup, seconds, None, "Not a standard cup: the seconds are the measure.")
    if not known.shortest <= seconds <= known.longest:
        window = f"{known.shortest:g} to {known.longest:g} s"
        return FlowReading(cup, seconds, None, f"Outside the cup's window of {window}.")
    viscosity = float(kinematic_viscosity_mm2_per_s(cup, seconds))
    note = "Compares cups only: slip thickens at rest, and the equation does not know it."
    return FlowReading(cup, seconds, viscosity, note)
