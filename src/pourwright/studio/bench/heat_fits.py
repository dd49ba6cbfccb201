"""The law of setting through a thermometer log, and when later batches may be hottest and opened by it.

The fit is heavy and is called in the worker; what it returns is small and light to hold.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pourwright.errors import StudioError
from pourwright.materials.plaster.mix import Plaster
from pourwright.studio.bench.heat_logs import START_WITHIN_MIN, HeatLog

LAW_POINTS = 120
"""Points of a drawn law, and the hottest."""
OFF_TIMES = 2.0
"""The band about the law, in distances of the readings from it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatFit:
    """What was fitted through a log, or why nothing was.

    Parameters
    ----------
    fault : str
        Why there is no law; empty if there is one.
    set_min, heat_j_per_g : float
        The plaster's set time and heat of setting. [min], [J/g]
    off_k : float
        Root mean square between readings and law. [K]
    hottest_min, hottest_c : float
        When the middle is hottest by the law, counted from plaster meeting water, and how hot.
        [min], [degC]
    hottest_span_min : tuple of float
        Between which minutes the law lies no further below its highest than the readings lie off
        it: the readings do not tell these minutes apart. [min]
    minutes, law_c : tuple of float
        The law from mixing to the last reading, and no further. [min], [degC]
    at_readings_c : tuple of float
        The law at each reading. [degC]
    """

    fault: str = ""
    set_min: float = 0.0
    heat_j_per_g: float = 0.0
    off_k: float = 0.0
    hottest_min: float = 0.0
    hottest_c: float = 0.0
    hottest_span_min: tuple[float, float] = (0.0, 0.0)
    minutes: tuple[float, ...] = ()
    law_c: tuple[float, ...] = ()
    at_readings_c: tuple[float, ...] = ()

    @property
    def band_k(self) -> float:
        """How far the band about the law reaches, above and below. [K]"""
        return OFF_TIMES * self.off_k


def heat_fits(logs: Sequence[HeatLog]) -> list[HeatFit]:
    """Return the law through each of some logs, or why there is none."""
    return [_fit(one) for one in logs]


def _fit(log: HeatLog) -> HeatFit:
    import numpy as np

    from pourwright.materials.plaster.heat import (
        SettingPart,
        curve_from_fit,
        fit_thermometer_log,
    )

    if log.start_c is None:
        return HeatFit(
            fault=f"The first reading came later than {START_WITHIN_MIN:.0f} min after mixing: correct the entry and "
            "tell the temperature of the mix as it was poured."
        )
    # A log that no setting plaster could have given is the thermometer's story, not an error of the page.
    try:
        part = SettingPart(
            Plaster("plaster", log.consistency, "told"),
            log.thickness_mm,
            log.open_faces,
            log.start_c,
            log.room_c,
        )
        fit = fit_thermometer_log(part, log.minutes, log.degc)
        curve = curve_from_fit(fit, part, max(0.1, log.minutes[-1] / 60 + 0.05))
    except StudioError as no:
        return HeatFit(fault=str(no))
    held = curve.minutes <= log.minutes[-1]  # nothing is said beyond the last reading
    every, core = curve.minutes[held], curve.core_c[held]
    hottest = float(every[core.argmax()])
    top = every[core >= core.max() - fit.off_k]
    shown = np.unique([*np.linspace(0.0, log.minutes[-1], LAW_POINTS), hottest])
    law = np.interp(shown, curve.minutes, curve.core_c)
    at = np.interp(np.asarray(log.minutes), curve.minutes, curve.core_c)
    return HeatFit(
        set_min=fit.set_min,
        heat_j_per_g=fit.heat_j_per_g,
        off_k=fit.off_k,
        hottest_min=hottest,
        hottest_c=float(core.max()),
        hottest_span_min=(float(top[0]), float(top[-1])),
        minutes=tuple(map(float, shown)),
        law_c=tuple(map(float, law)),
        at_readings_c=tuple(map(float, at)),
    )


@dataclass(frozen=True, slots=True)
class Window:
    """Between which minutes something came in logged batches, and in how many.

    Parameters
    ----------
    low_min, high_min : float
        Earliest and latest. [min]
    count : int
        Of how many logs. [-]
    """

    low_min: float
    high_min: float
    count: int

    @property
    def middle_min(self) -> float:
        """Half way between. [min]"""
        return (self.low_min + self.high_min) / 2

    def moved(self, minutes: float) -> Window:
        """Return the same window counted from so many minutes later."""
        return Window(self.low_min - minutes, self.high_min - minutes, self.count)


@dataclass(frozen=True, slots=True)
class HeatWindows:
    """What the studio's own logs say of later batches of the plaster.

    Parameters
    ----------
    hottest : Window or None
        When the middle was hottest by the laws, counted from plaster meeting water.
    opened : Window or None
        When logged batches whose opening was timed were opened, counted from the same.
    thickness_mm : tuple of float, or None
        The thinnest and the thickest part that a log with a law was taken in. [mm]
    """

    hottest: Window | None = None
    opened: Window | None = None
    thickness_mm: tuple[float, float] | None = None


def windows_of(logs: Sequence[HeatLog], fits: Mapping[HeatLog, HeatFit]) -> HeatWindows:
    """Return between which minutes logged batches were hottest and were opened."""
    held = [log for log in logs if not fits[log].fault]
    opened = [log.opened_min for log in held if log.opened_min is not None]
    return HeatWindows(
        _window([fits[log].hottest_span_min for log in held]),
        _window([(one, one) for one in opened]),
        (min(thick), max(thick)) if (thick := [log.thickness_mm for log in held]) else None,
    )


def _window(spans: Sequence[tuple[float, float]]) -> Window | None:
    if not spans:
        return None
    return Window(min(low for low, _ in spans), max(high for _, high in spans), len(spans))
