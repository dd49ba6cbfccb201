"""A thermometer log as a picture."""

from __future__ import annotations

from pourwright.report.charts.palette import Scheme
from pourwright.report.charts.records import LOOKS
from pourwright.studio.heat import heat_shown, opening_mark
from pourwright.studio.heat_fits import HeatFit
from pourwright.studio.heat_logs import HeatLog


def heat_svg(
    log: HeatLog, fit: HeatFit, units: str, zone: str, width: str, scheme: Scheme
) -> bytes:
    """Return a thermometer log, and the law through it, as an SVG file.

    Parameters
    ----------
    log : HeatLog
        The log.
    fit : HeatFit
        What was fitted through it; without a law the readings alone are drawn.
    units : {"metric", "us"}
        What it is shown in.
    zone : str
        The studio's.
    width : {"phone", "desktop"}
        The size it is drawn in.
    scheme : {"light", "dark", "bench"}
        The page it is for.

    Returns
    -------
    bytes
    """
    from pourwright.report.charts.heat import ClockMark, heat_chart
    from pourwright.report.charts.render import svg_image

    shown = heat_shown(log, fit, units, zone)
    is_us = units == "us"

    def degrees(degc: float) -> float:
        return degc * 9 / 5 + 32 if is_us else degc

    readings = [
        {"minute": minute, "degrees": degrees(one)}
        for minute, one in zip(log.minutes, log.degc, strict=True)
    ]
    law = [
        {
            "minute": minute, "degrees": degrees(one),
            "low": degrees(one - fit.band_k), "high": degrees(one + fit.band_k),
        }
        for minute, one in zip(fit.minutes, fit.law_c, strict=True)
    ]  # fmt: skip
    marks = []
    if not fit.fault:
        marks.append(ClockMark(fit.hottest_min, f"hottest {fit.hottest_min:.0f} min", True))
    opening = opening_mark(log, fit)
    if opening is not None:
        marks.append(ClockMark(opening[0], f"{opening[1]} {opening[0]:.0f} min", False))
    spec = heat_chart(
        readings, next(one for one in LOOKS if one.name == width), law=law,
        room=degrees(log.room_c) if log.room_told or law else None, marks=marks, degrees="°F" if is_us else "°C",
    )  # fmt: skip
    return svg_image(spec, scheme, title=shown.title, alt=shown.says)
