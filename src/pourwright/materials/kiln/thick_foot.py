"""What a schedule does to a thick foot: how far its core lags behind its face.

Heat conducts into the foot from its faces. Behind a steady climb the core of a
part of half thickness L lags by ``rate L^2 / 2a``; thickness counts twice over.
A foot that stands on a shelf heats from above only: its whole thickness counts.

What this page leaves out, and it is much: the heat that the clay's own water
takes near 575 degC, steam, and the shade of the shelf. Diffusivity is taken as
constant and known to a factor of three. Use it to compare two schedules.
"""

from __future__ import annotations

import numpy as np

from pourwright.materials.kiln.schedule import Course
from pourwright.materials.ranges import FloatArray, Floats, require_between

DIFFUSIVITY_MM2_PER_S = (0.17, 0.5)
"""Slowest and fastest that heat spreads in a body below sintering. [mm2/s]

Low: kaolin conducts less than 0.3 W/m/K green and fired below 1050 degC (Michot and
others, Journal of the European Ceramic Society 28 (2008) 2639), at 1.6 kg/l and
1.1 kJ/kg/K. High: bodies rich in quartz, from memory.
"""

_MODES = 40
_STEP_MIN = 2.0


def _require_foot(depth_mm: Floats, diffusivity_mm2_per_s: Floats) -> None:
    """Refuse an impossible foot."""
    require_between("depth of the core", depth_mm, "mm", 0.5, 100.0)
    require_between("diffusivity", diffusivity_mm2_per_s, "mm2/s", 0.05, 2.0)


def core_course(firing: Course, depth_mm: float, diffusivity_mm2_per_s: float) -> Course:
    """Return the temperature of a foot's core while its face follows a schedule.

    Each mode of the slab follows ``q' = T' - a ((2n+1) pi / 2L)^2 q``, exactly over
    a steady stretch; the core is the face less ``sum of 4 (-1)^n / ((2n+1) pi) q``
    [1]_.

    Parameters
    ----------
    firing : Course
        What the face does.
    depth_mm : float
        Half the thickness if both faces are heated; the whole, on a shelf, 0.5 to
        100. [mm]
    diffusivity_mm2_per_s : float
        How fast heat spreads, 0.05 to 2. [mm2/s]

    Returns
    -------
    Course
        The core at steps of at most two minutes. [min and degC]

    Raises
    ------
    OutOfRange
        If a value is outside its range.

    Examples
    --------
    >>> from pourwright.materials.kiln.schedule import Segment, course
    >>> climb = course([Segment(100.0, 1000.0)])
    >>> core = core_course(climb, 20.0, 0.17)
    >>> f"{1000 - core.temperatures_degc[-1]:.0f} degC behind at the end"
    '33 degC behind at the end'

    References
    ----------
    .. [1] Carslaw and Jaeger, Conduction of Heat in Solids (1959), 3.3 to 3.5.
    """
    _require_foot(depth_mm, diffusivity_mm2_per_s)
    minutes = _fine_minutes(firing)
    face = np.interp(minutes, firing.minutes, firing.temperatures_degc)
    odd = 2 * np.arange(_MODES) + 1
    pace = diffusivity_mm2_per_s * 60 * (odd * np.pi / (2 * depth_mm)) ** 2
    share = 4 * (-1.0) ** np.arange(_MODES) / (odd * np.pi)
    lag = np.zeros_like(face)
    waves = np.zeros(_MODES)
    # What the modes left out would follow at once: they lag by their steady share.
    rest = depth_mm**2 / (2 * diffusivity_mm2_per_s * 60) - float(np.sum(share / pace))
    for step, span in enumerate(np.diff(minutes)):
        slope = (face[step + 1] - face[step]) / span
        fade = np.exp(-pace * span)
        waves = waves * fade + slope * (1 - fade) / pace
        lag[step + 1] = float(share @ waves) + slope * rest
    return Course(minutes, face - lag)


def _fine_minutes(firing: Course) -> FloatArray:
    """Return the times of a course's corners with more between them."""
    parts = [
        np.linspace(start, end, max(2, int(np.ceil((end - start) / _STEP_MIN)) + 1))[:-1]
        for start, end in zip(firing.minutes[:-1], firing.minutes[1:], strict=True)
    ]
    return np.append(np.concatenate(parts), firing.minutes[-1])


def lag_when_face_is_at_degc(
    firing: Course, at_degc: float, depth_mm: float, diffusivity_mm2_per_s: float
) -> tuple[float, float]:
    """Return how far the core is behind when the face first passes a temperature.

    Ask at 573 degC: where face and core pass quartz's change far apart, the one is
    longer than the other by 0.45 %. The second figure is for the way down.

    Parameters
    ----------
    firing : Course
        What the face does.
    at_degc : float
        Temperature of the face. [degC]
    depth_mm : float
        Half the thickness if both faces are heated; the whole, on a shelf. [mm]
    diffusivity_mm2_per_s : float
        How fast heat spreads, 0.05 to 2. [mm2/s]

    Returns
    -------
    tuple of float
        Face less core on the way up and on the way down; nan if it is not
        passed that way. [degC]

    Raises
    ------
    OutOfRange
        If a value is outside its range.

    Examples
    --------
    >>> from pourwright.materials.kiln.schedule import Segment, course
    >>> there_and_back = course([Segment(100.0, 1040.0), Segment(50.0, 100.0)])
    >>> up, down = lag_when_face_is_at_degc(there_and_back, 573.0, 20.0, 0.17)
    >>> f"{up:.0f} and {down:.0f} degC"
    '33 and -16 degC'
    """
    require_between("temperature of the face", at_degc, "degC", 0.0, 1400.0)
    core = core_course(firing, depth_mm, diffusivity_mm2_per_s)
    face = np.interp(core.minutes, firing.minutes, firing.temperatures_degc)
    lag = face - core.temperatures_degc
    above = face >= at_degc
    ups, downs = np.flatnonzero(~above[:-1] & above[1:]), np.flatnonzero(above[:-1] & ~above[1:])
    return (
        float(lag[ups[0] + 1]) if ups.size else float("nan"),
        float(lag[downs[-1] + 1]) if downs.size else float("nan"),
    )
