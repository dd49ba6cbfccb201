"""What the pages tell of a thermometer log: its sentence, its table, and windows for later batches.

None of it tells when setting plaster can be touched.
"""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.briefs.records import Studio
from pourwright.ledger.said import many
from pourwright.plan.standing_from_book import day_of
from pourwright.quantities import show
from pourwright.report.charts.heat import ClockMark, heat_chart
from pourwright.report.charts.records import PHONE, HeatReading, LawReading
from pourwright.report.charts.render import svg_in_page
from pourwright.report.saying import day_in_week
from pourwright.studio.bench.heat_fits import HeatFit, HeatWindows, Window
from pourwright.studio.bench.heat_logs import HeatLog

ROWS = 24
"""Most rows of the table; a logger's thousand readings are thinned to it."""
NOT_FOR_HANDS = "The curve is of the plaster. It says nothing on whether it can be touched."
WITHIN_US = 9 / 5
USUAL_OPENING_MIN = 60.0
"""From the pour until a part is opened, where no studio says another: common practice, no source. [min]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatShown:
    """A log as a page shows it.

    Parameters
    ----------
    title, says, svg : str
        The picture's title, what it shows in words, and the drawing for a page.
    fault : str
        Why there is no law; empty if there is one.
    facts : tuple of (str, str, str)
        What was fitted: label, value and a few words.
    rows : tuple of (str, str, str, str)
        Minute, reading, law and the distance between the two.
    note : str
        What stands under the table.
    """

    title: str
    says: str
    svg: str
    fault: str
    facts: tuple[tuple[str, str, str], ...]
    rows: tuple[tuple[str, str, str, str], ...]
    note: str


def heat_shown(
    log: HeatLog, fit: HeatFit, units: str, zone: str, studio: Studio | None = None
) -> HeatShown:
    """Return a log as a page shows it, opened by the studio's own time as the bench has it."""
    set_min = USUAL_OPENING_MIN if studio is None else studio.pouring.set_min
    thick = show(log.thickness_mm, "length", units)
    when = day_in_week(day_of(log.at, zone))
    opening = opening_mark(log, fit, set_min)
    rows = _rows(log, fit, units)
    thinned = len(rows) < len(log.minutes)
    return HeatShown(
        title=f"Temperature of {log.name} while it set",
        says=_says(log, fit, units, thick),
        svg=_drawn(log, fit, units, opening),
        fault=fit.fault,
        facts=_facts(log, fit, units, opening) if not fit.fault else (),
        rows=rows,
        note=f"{when}, middle of a part of {thick}, at {log.consistency:g} parts of water to 100 of plaster"
        + (f", lot {log.lot}" if log.lot else "")
        + (f"; {len(rows)} of {len(log.minutes)} readings" if thinned else "")
        + f". {NOT_FOR_HANDS}",
    )


def opening_mark(
    log: HeatLog, fit: HeatFit, set_min: float = USUAL_OPENING_MIN
) -> tuple[float, str] | None:
    """Return when a logged batch was opened, or may be at the earliest, and which of the two.

    Parameters
    ----------
    log, fit : HeatLog, HeatFit
        A log, and the law through it.
    set_min : float, optional
        When the studio opens its parts, after the pour. [min]

    Returns
    -------
    tuple of float and str, or None
        Counted from plaster meeting water; None if nobody told when it was poured. [min]
    """
    if log.opened_min is not None:
        return log.opened_min, "opened"
    if log.poured_min is None or fit.fault:
        return None
    return log.poured_min + earliest_opening_min(
        fit.hottest_min - log.poured_min, set_min
    ), "open at the earliest"


def earliest_opening_min(hottest_min: float, set_min: float = USUAL_OPENING_MIN) -> float:
    """Return the earliest opening: when the studio opens its parts, or the hottest if that is later.

    Parameters
    ----------
    hottest_min : float
        When a part is at its hottest, after the pour. [min]
    set_min : float, optional
        When the studio opens its parts, after the pour. [min]

    Returns
    -------
    float
        After the pour. [min]

    Examples
    --------
    >>> earliest_opening_min(31.0), earliest_opening_min(72.0), earliest_opening_min(31.0, 50.0)
    (60.0, 72.0, 50.0)
    """
    return max(set_min, hottest_min)


def earliest_words(opening_min: float) -> str:
    """Return what the earliest opening rests on.

    Examples
    --------
    >>> earliest_words(60.0), earliest_words(72.0)
    ('an hour, and never before its hottest', '1 h 12 min, past its hottest')
    """
    if opening_min == earliest_opening_min(0.0):
        return "an hour, and never before its hottest"
    return f"{show(opening_min, 'duration')}, past its hottest"


def _says(log: HeatLog, fit: HeatFit, units: str, thick: str) -> str:
    top = max(log.degc)
    first, last = (show(one, "temperature", units) for one in (log.degc[0], log.degc[-1]))
    read = (
        f"{many(len(log.degc), 'reading')} in the middle of a part of {thick}: {first} after {log.minutes[0]:g} min, "
        f"highest {show(top, 'temperature', units)} after {log.minutes[log.degc.index(top)]:g} min, {last} after {log.minutes[-1]:g} min."
    )
    if fit.fault:
        return read
    hottest = show(fit.hottest_c, "temperature", units)
    return f"{read} By the curve through them it was hottest after {fit.hottest_min:.0f} min, at {hottest}."


def _facts(
    log: HeatLog, fit: HeatFit, units: str, mark: tuple[float, str] | None
) -> tuple[tuple[str, str, str], ...]:
    low, high = (show(fit.hottest_c + sign * fit.band_k, "temperature", units) for sign in (-1, 1))
    room = show(log.room_c, "temperature", units)
    facts = [
        (
            "Hottest, in the middle",
            show(fit.hottest_c, "temperature", units),
            f"{low} to {high} by the curve",
        ),
        (
            "Hottest after",
            f"{fit.hottest_min:.0f} min",
            f"{fit.hottest_span_min[0]:.0f} to {fit.hottest_span_min[1]:.0f} min by the curve, from plaster meeting water",
        ),
        ("Sets after", f"{fit.set_min:.0f} min", "from plaster meeting water, by the curve"),
        (
            "Readings off the curve",
            _apart(fit.off_k, units),
            f"{many(len(log.degc), 'reading')}; the band is twice that",
        ),
        ("Room", room, "told" if log.room_told else "not told: a room of 20 °C"),
    ]
    if mark is not None:
        is_rule = mark[1] != "opened"
        minutes = mark[0] - (log.poured_min or 0.0) if is_rule else mark[0]
        how = (
            "after the pour, and never before its hottest"
            if is_rule
            else "by the clock of the bench"
        )
        facts.insert(2, (mark[1].capitalize(), f"{minutes:.0f} min", how))
    return tuple(facts)


def _apart(kelvin: float, units: str) -> str:
    return f"{kelvin * WITHIN_US:.1f} °F" if units == "us" else f"{kelvin:.1f} °C"


def _rows(log: HeatLog, fit: HeatFit, units: str) -> tuple[tuple[str, str, str, str], ...]:
    count = len(log.minutes)
    every = -(-count // ROWS)
    places = sorted({*range(0, count, every), log.degc.index(max(log.degc)), count - 1})
    rows = []
    for place in places:
        read = log.degc[place]
        law = fit.at_readings_c[place] if fit.at_readings_c else None
        rows.append(
            (
                f"{log.minutes[place]:.4g} min",
                _tenths(read, units),
                "" if law is None else _tenths(law, units),
                "" if law is None else _signed(read - law, units),
            )
        )
    return tuple(rows)


def _tenths(degc: float, units: str) -> str:
    return f"{degc * WITHIN_US + 32:.1f} °F" if units == "us" else f"{degc:.1f} °C"


def _signed(kelvin: float, units: str) -> str:
    apart = round(kelvin * WITHIN_US if units == "us" else kelvin, 1)
    return f"{apart:+.1f}".replace("-", "\u2212") if apart else "0.0"


def windows_words(
    windows: HeatWindows, consistency: float, units: str, set_min: float = USUAL_OPENING_MIN
) -> tuple[str, ...]:
    """Return what the studio's own logs say of later batches, a sentence each.

    ``set_min`` is when the studio opens its parts, after the pour. [min]

    Notes
    -----
    By the law a thicker part of the same mix is hottest later: some minutes where the mix went in
    warm, half an hour for a thick one that was poured cold and loses heat at one face only.
    """
    said = []
    if windows.hottest is not None:
        said.append(
            f"Hottest {_span(windows.hottest)} after plaster met water, by the curve through "
            f"{many(windows.hottest.count, 'thermometer log')} of this plaster at {consistency:g}"
            f"{_in_parts(windows, units)}."
        )
        if windows.thickness_mm is not None:
            said.append("A thicker part is hottest later, by minutes or by half an hour.")
        said.append(
            f"Opened {_span(windows.opened)} after plaster met water, in {many(windows.opened.count, 'logged batch', 'logged batches')} of yours."
            if windows.opened is not None
            else f"No logged batch was opened by the clock yet: open {show(set_min, 'duration')} after the pour, and never before its hottest."
        )
    return tuple(said)


def _in_parts(windows: HeatWindows, units: str) -> str:
    if windows.thickness_mm is None:
        return ""
    thin, thick = (show(one, "length", units) for one in windows.thickness_mm)
    return f", in parts {thin} thick" if thin == thick else f", in parts {thin} to {thick} thick"


def _span(window: Window) -> str:
    low, high = f"{window.low_min:.0f}", f"{window.high_min:.0f}"
    return f"{low} min" if low == high else f"{low} to {high} min"


def target_of(
    window: Window | None, poured_min: float | None, what: str
) -> tuple[float, str] | None:
    """Return the target of a phase that is counted from the pour, and where it comes from.

    Parameters
    ----------
    window : Window or None
        Counted from plaster meeting water.
    poured_min : float or None
        When this batch was poured, counted from the same; None if it was not timed. [min]
    what : str
        Such as ``"hottest"``.

    Examples
    --------
    >>> target_of(Window(34.0, 38.0, 2), 6.0, "hottest")
    (30.0, 'hottest after 28 to 32 min, by 2 thermometer logs of yours')
    """
    if window is None or poured_min is None or window.low_min <= poured_min:
        return None
    here = window.moved(poured_min)
    return (
        here.middle_min,
        f"{what} after {_span(here)}, by {many(window.count, 'thermometer log')} of yours",
    )


# --- a thermometer log as a picture


def _drawn(log: HeatLog, fit: HeatFit, units: str, opening: tuple[float, str] | None) -> str:
    """Return a thermometer log, and the law through it, as a drawing for a page."""
    is_us = units == "us"

    def degrees(degc: float) -> float:
        return degc * 9 / 5 + 32 if is_us else degc

    readings = [
        HeatReading(minute, degrees(one)) for minute, one in zip(log.minutes, log.degc, strict=True)
    ]
    law = [
        LawReading(minute, degrees(one), degrees(one - fit.band_k), degrees(one + fit.band_k))
        for minute, one in zip(fit.minutes, fit.law_c, strict=True)
    ]
    marks = []
    if not fit.fault:
        marks.append(ClockMark(fit.hottest_min, f"hottest {fit.hottest_min:.0f} min", True))
    if opening is not None:
        # the rule is told from the pour, as its clock counts, and the axis from plaster meeting water
        after_min = opening[0] - (log.poured_min or 0.0)
        is_rule = opening[1] != "opened"
        words = (
            f"open {after_min:.0f} min after the pour"
            if is_rule
            else f"opened {opening[0]:.0f} min"
        )
        marks.append(ClockMark(opening[0], words, False))
    drawing = heat_chart(
        readings,
        PHONE,
        law=law,
        room=degrees(log.room_c) if log.room_told or law else None,
        marks=marks,
        degrees="°F" if is_us else "°C",
    )
    return svg_in_page(drawing)
