"""Temperature through the thickness of a setting part: the 1-D heat equation with its source.

``c dT/dt = lambda d2T/dx2 + m q da/dt`` from the middle, or a closed face, to an
open one. The conversion depends on time alone (see
`pourwright.materials.plaster.setting`), so the cells' equations come apart into their
eigenvectors and each is solved exactly from step to step.

A maker is shown a curve only after a thermometer log has fitted it.

What this page leaves out: edges and corners, which cool faster, the rubber's own heat,
water that evaporates while the plaster is warm, and any effect of temperature on
the speed of setting. No measured curve of a poured block was found in print.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.linalg import eigh_tridiagonal
from scipy.optimize import least_squares

from pourwright.materials.plaster.mix import Plaster, mix_yield
from pourwright.materials.plaster.setting import conversion, mix_heat_capacity
from pourwright.materials.ranges import FloatArray, require, require_between

WET_CONDUCTIVITY_W_PER_M_K = 0.8
"""Saturated plaster at consistency 70: geometric mean of mineral and water, 0.7 to 0.9."""
FACE_W_PER_M2_K = 10.0
"""Air and radiation at an open face in a still room."""
CELLS = 40
LONGEST_STEP_MIN = 1.0
STEPS_TO_SET = 12.0


@dataclass(frozen=True, slots=True)
class SettingPart:
    """A part as it sets in its master.

    Parameters
    ----------
    plaster : Plaster
        The mix.
    thickness_mm : float
        Of the part, 5 to 400. [mm]
    open_faces : int
        2, or 1 where the other side lies on rubber or board and loses next to
        nothing. [-]
    start_c, room_c : float
        Temperature of the mix as it was poured, and of the room, 2 to 45. [degC]
    face_w_per_m2_k : float
        Heat transfer at an open face, 0 to 1000. [W/(m2 K)]

    Raises
    ------
    OutOfRange
        If a figure is outside its range.
    """

    plaster: Plaster
    thickness_mm: float
    open_faces: int = 2
    start_c: float = 20.0
    room_c: float = 20.0
    face_w_per_m2_k: float = FACE_W_PER_M2_K

    def __post_init__(self) -> None:
        """Refuse what no part can be."""
        require_between("thickness of the part", self.thickness_mm, "mm", 5.0, 400.0)
        require("open faces", self.open_faces, "faces", "1 or 2", self.open_faces in (1, 2))
        require_between("temperature of the mix", self.start_c, "degC", 2.0, 45.0)
        require_between("room temperature", self.room_c, "degC", 2.0, 45.0)
        require_between("heat transfer at the face", self.face_w_per_m2_k, "W/(m2 K)", 0.0, 1000.0)


@dataclass(frozen=True, slots=True)
class HeatCurve:
    """Temperatures of a setting part.

    Parameters
    ----------
    minutes : array of shape (times,)
        After plaster and water met. [min]
    temperature_c : array of shape (times, cells)
        From the middle, or closed face, to the open face. [degC]
    face_c : array of shape (times,)
        At the open face itself. [degC]
    heat_j_per_m2, lost_j_per_m2 : float
        Heat set free behind the open face, and lost through it. [J/m2]
    """

    minutes: FloatArray
    temperature_c: FloatArray
    face_c: FloatArray
    heat_j_per_m2: float
    lost_j_per_m2: float

    @property
    def core_c(self) -> FloatArray:
        """Temperature in the middle, or at the closed face. [degC]."""
        return np.asarray(self.temperature_c[:, 0])

    @property
    def hottest_c(self) -> float:
        """Highest temperature of all. [degC]."""
        return float(self.temperature_c.max())

    @property
    def hottest_min(self) -> float:
        """When the middle is hottest. [min]."""
        return float(self.minutes[self.core_c.argmax()])


@dataclass(frozen=True, slots=True)
class ThermometerFit:
    """What a thermometer log says of a studio's plaster.

    Parameters
    ----------
    set_min : float
        Its set time. [min]
    heat_j_per_g : float
        Its heat of setting. [J/g]
    off_k : float
        Root mean square between log and curve. [K]
    readings : int
        How many. [-]
    """

    set_min: float
    heat_j_per_g: float
    off_k: float
    readings: int


def heat_curve(
    part: SettingPart,
    set_min: float = 12.0,
    heat_j_per_g: float = 118.0,
    hours: float = 3.0,
) -> HeatCurve:
    """Return the temperature through a part while it sets and cools.

    Forty cells; in steps of a twelfth of the set time, a minute at most, within which
    the heat comes evenly and the rest is exact. Energy closes to a millionth, and the
    steps cost less than a ten-thousandth of the rise.

    Parameters
    ----------
    part : SettingPart
        The part and its surroundings.
    set_min : float
        The plaster's set time, 2 to 120. [min]
    heat_j_per_g : float
        Heat of setting, 0 to 140; 0 for plain cooling. [J/g]
    hours : float
        How long, 0.1 to 48. [h]

    Returns
    -------
    HeatCurve
        Temperatures and heats.

    Raises
    ------
    OutOfRange
        If a figure is outside its range.

    Notes
    -----
    No measured curve of a poured block could be found to hold this against; the
    tests hold the *equation* against closed solutions [1]_ and a general solver. The
    heat of setting is kept at its value at 25 degC, which makes a peak up to 1.4 K
    too low. Water that evaporates, and the rubber's own heat, are left out.

    Examples
    --------
    >>> part = SettingPart(Plaster("pottery plaster", 70, "the bag"), thickness_mm=50.0)
    >>> f"{heat_curve(part, heat_j_per_g=112.3).hottest_c:.1f} degC"
    '49.6 degC'

    References
    ----------
    .. [1] Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed. (1959), 3.11.
    """
    require_between("heat of setting", heat_j_per_g, "J/g", 0.0, 140.0)
    require_between("time to follow", hours, "h", 0.1, 48.0)
    step_min = min(LONGEST_STEP_MIN, set_min / STEPS_TO_SET)
    minutes = np.arange(0.0, hours * 60 + step_min / 2, step_min)
    turned = np.asarray(conversion(minutes, set_min))
    plaster_kg_per_m3 = 1000 / float(mix_yield(part.plaster))
    halfway = (turned[1:] + turned[:-1]) / 2
    capacity = plaster_kg_per_m3 * np.asarray(mix_heat_capacity(part.plaster, halfway))
    source = plaster_kg_per_m3 * heat_j_per_g * 1000 * np.diff(turned)
    depth_m = part.thickness_mm / 1000 / part.open_faces
    temperature, lost = _march(part, depth_m, capacity, source, step_min * 60)
    inside = WET_CONDUCTIVITY_W_PER_M_K / (depth_m / CELLS / 2)
    face = (inside * temperature[:, -1] + part.face_w_per_m2_k * part.room_c) / (
        inside + part.face_w_per_m2_k
    )
    return HeatCurve(minutes, temperature, face, float(source.sum()) * depth_m, lost)


def _march(
    part: SettingPart, depth_m: float, capacity: FloatArray, source: FloatArray, seconds: float
) -> tuple[FloatArray, float]:
    """Return the temperatures step by step and the heat lost. [degC], [J/m2].

    With the excess over the room as its unknown the system is ``c dT/dt = A T + s``,
    and c and s hold for a step: each eigenvector of A goes its own way, exactly, as
    ``exp(x) z + (exp(x) - 1)/x s dt/c`` with ``x = lambda dt/c``. Nothing can ring.
    """
    cell = depth_m / CELLS
    between = WET_CONDUCTIVITY_W_PER_M_K / cell
    half = 1 / (2 * between)
    out = 1 / (half + 1 / part.face_w_per_m2_k) if part.face_w_per_m2_k > 0 else 0.0
    leaving = np.full(CELLS, 2 * between)
    leaving[0], leaving[-1] = between, between + out
    rate, shape = eigh_tridiagonal(-leaving, np.full(CELLS - 1, between))
    x = np.minimum(rate, -1e-9 * between) * (seconds / (capacity * cell))[:, None]
    kept, rising = np.exp(x), np.expm1(x) / x
    gained = rising * shape.sum(axis=0) * (source / capacity)[:, None]
    modes = np.empty((len(source) + 1, CELLS))
    modes[0] = shape.sum(axis=0) * (part.start_c - part.room_c)
    for step, (keep, gain) in enumerate(zip(kept, gained, strict=True)):
        modes[step + 1] = keep * modes[step] + gain
    # The mean of each mode over a step, for what the face has lost.
    late = (rising - 1) / x * shape.sum(axis=0) * (source / capacity)[:, None]
    at_face = (rising * modes[:-1] + late) @ shape[-1]
    return modes @ shape.T + part.room_c, float(out * seconds * at_face.sum())


def fit_thermometer_log(
    part: SettingPart, minutes: Sequence[float], readings_c: Sequence[float]
) -> ThermometerFit:
    """Return the set time and the heat of setting that a thermometer in the middle shows.

    Least squares of `heat_curve` through the readings, both figures free.

    Parameters
    ----------
    part : SettingPart
        The part that was logged, with its room and starting temperature.
    minutes : sequence of float
        Of each reading, after plaster and water met: at least six, the last past
        the hottest. [min]
    readings_c : sequence of float
        Thermometer in the middle of the part. [degC]

    Returns
    -------
    ThermometerFit
        The plaster's own figures and how well the curve runs through the log.

    Raises
    ------
    OutOfRange
        If there are fewer than six readings, the log ends before it cools, or no
        setting plaster could have given it.

    Examples
    --------
    >>> part = SettingPart(Plaster("pottery plaster", 70, "the bag"), thickness_mm=60.0)
    >>> at = [5, 10, 15, 20, 25, 30, 35, 40, 50, 60]
    >>> read = [20.2, 22.0, 26.1, 33.0, 40.4, 46.7, 49.3, 48.6, 46.0, 43.3]
    >>> f"{fit_thermometer_log(part, at, read).set_min:.0f} min"
    '12 min'
    """
    at, read = np.asarray(minutes, dtype=np.float64), np.asarray(readings_c, dtype=np.float64)
    _require_log(at, read)

    def off(guess: FloatArray) -> FloatArray:
        curve = heat_curve(
            part, float(guess[0]), float(guess[1]), hours=max(0.1, at[-1] / 60 + 0.05)
        )
        return np.asarray(np.interp(at, curve.minutes, curve.core_c) - read)

    start = float(np.clip(at[read.argmax()] / 3, 3.0, 100.0))
    found = least_squares(off, [start, 112.0], bounds=([2.0, 40.0], [120.0, 140.0]), diff_step=1e-3)
    rms = float(np.sqrt(np.mean(found.fun**2)))
    require(
        "distance of the log from any setting curve",
        rms,
        "K",
        "at most 3",
        rms <= 3.0,
        "Was the thermometer in the middle, and the time counted from mixing?",
    )
    return ThermometerFit(float(found.x[0]), float(found.x[1]), rms, len(at))


def _require_log(minutes: FloatArray, readings_c: FloatArray) -> None:
    """Refuse a log that could fit anything."""
    require(
        "number of readings",
        float(min(minutes.size, readings_c.size)),
        "readings",
        "at least 6, a time for each",
        minutes.size == readings_c.size and minutes.size >= 6,
    )
    require(
        "time of a reading",
        minutes,
        "min",
        "between 0 and 1440",
        (minutes >= 0) & (minutes <= 1440),
    )
    require(
        "time from one reading to the next",
        np.diff(minutes),
        "min",
        "more than 0",
        np.diff(minutes) > 0,
    )
    require(
        "thermometer reading",
        readings_c,
        "degC",
        "between 0 and 80",
        (readings_c >= 0) & (readings_c <= 80),
        "A reading in degF needs converting.",
    )
    past = float(readings_c.max() - readings_c[-1])
    require(
        "fall from the hottest to the last reading",
        past,
        "K",
        "at least 0.5",
        past >= 0.5,
        "Keep reading until it cools.",
    )


def curve_from_fit(fit: ThermometerFit, part: SettingPart, hours: float = 3.0) -> HeatCurve:
    """Return the curve of another part of the same plaster, from a thermometer log.

    `heat_curve` with the fitted set time and heat.

    Parameters
    ----------
    fit : ThermometerFit
        From `fit_thermometer_log`.
    part : SettingPart
        The part to look at.
    hours : float
        How long. [h]

    Returns
    -------
    HeatCurve
        Temperatures. It never says that anything is safe to touch.

    Examples
    --------
    >>> part = SettingPart(Plaster("pottery plaster", 70, "the bag"), thickness_mm=30.0)
    >>> curve = curve_from_fit(ThermometerFit(12.0, 112.0, 0.3, 10), part)
    >>> round(curve.hottest_min)
    34
    """
    return heat_curve(part, fit.set_min, fit.heat_j_per_g, hours)
