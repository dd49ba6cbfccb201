"""The temperature of a setting part over minutes: readings, the law through them, the room, and marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

from pourwright.report.charts.frame import Drawing, drawing, within
from pourwright.report.charts.marks import DISC_PX, LINE_PX, Mark, band, curve, disc, level, upright
from pourwright.report.charts.palette import Token
from pourwright.report.charts.records import HeatReading, LawReading, Look
from pourwright.report.charts.sheet import ChartSheet
from pourwright.report.charts.words import BOLD, Word, width_px

HEIGHT = {"phone": 320, "desktop": 360}
MANY, SMALL_PX = 60, 2.0
"""Of more readings than these each is a smaller disc. [-], [px]"""
_MINUTES = (1, 2, 5, 10, 20, 30, 60, 120, 240, 480)
_DEGREES = (1, 2, 5, 10, 20, 50)
_LEVELS = 6


@dataclass(frozen=True, slots=True)
class ClockMark:
    """A moment that is marked: when, in what words, and whether it is the hottest.

    Parameters
    ----------
    minute : float
        After plaster met water. [min]
    word : str
        Such as ``"hottest 36 min"``.
    is_hottest : bool
        Whether it is the hottest moment; another is drawn dashed.
    """

    minute: float
    word: str
    is_hottest: bool


def heat_chart(
    readings: Sequence[HeatReading],
    look: Look,
    *,
    law: Sequence[LawReading] = (),
    room: float | None = None,
    marks: Sequence[ClockMark] = (),
    degrees: str = "°C",
) -> Drawing:
    """Return the temperature in the middle of a setting part over minutes.

    Parameters
    ----------
    readings : sequence of HeatReading
        In the order of their minutes; at least two.
    look : Look
        The size it is drawn in.
    law : sequence of LawReading
        The fitted law and its range.
    room : float, optional
        Temperature of the room.
    marks : sequence of ClockMark
        The hottest moment, and the opening.
    degrees : str
        The unit that all temperatures are in.
    """
    levels = _levels(readings, law, room)
    last = max(readings[-1].minute, *(one.minute for one in marks), 1.0) * 1.03
    sheet = _sheet(look, levels, last, degrees)
    minutes = _minutes(sheet)
    shapes: list[Mark] = [upright(sheet, minute, "hair") for minute in minutes]
    shapes += [level(sheet, one, "hair") for one in levels]
    if law:
        shapes.append(band(sheet, [(one.minute, one.low, one.high) for one in law], "glaze-mid"))
        shapes.append(curve(sheet, [(one.minute, one.degrees) for one in law], "glaze"))
    if room is not None:
        shapes.append(level(sheet, room, "soft"))
    shapes += [_upright(sheet, one) for one in marks]
    radius = SMALL_PX if len(readings) > MANY else DISC_PX
    shapes += [disc(sheet, one.minute, one.degrees, "ink", radius) for one in readings]
    words = [*_mark_words(sheet, marks), *_room_word(sheet, room, degrees)]
    return drawing(sheet, shapes, [*words, *_axis_words(sheet, levels, minutes, degrees)])


def _levels(
    readings: Sequence[HeatReading], law: Sequence[LawReading], room: float | None
) -> list[float]:
    """Return the named degrees, from the lowest to the highest."""
    values = [one.degrees for one in readings]
    values += [end for one in law for end in (one.low, one.high)]
    values += [room] if room is not None else []
    span = max(values) - min(values)
    step = next((one for one in _DEGREES if span / one <= _LEVELS), _DEGREES[-1])
    low, high = floor(min(values) / step) * step, ceil(max(values) / step) * step
    if high == low:
        high += step
    if room is not None and room - low < 0.7 * step:
        low -= step  # the room's word stands below its line
    return [float(one) for one in range(low, high + 1, step)]


def _sheet(look: Look, levels: Sequence[float], last: float, degrees: str) -> ChartSheet[float]:
    """Return the sheet, with a gutter for the degrees and a line for the minutes."""
    height = HEIGHT[look.name]
    gutter = width_px(f"{levels[-1]:g} {degrees}", look.text_px) * BOLD + 8
    return ChartSheet(
        look,
        height,
        left_px=look.edge_px + gutter,
        top_px=look.top_px,
        bottom_px=height - 1.4 * look.line_px - 4,
        first=0.0,
        last=last,
        low=levels[0],
        high=levels[-1],
    )


def _minutes(sheet: ChartSheet[float]) -> list[float]:
    """Return the named minutes, as many as have room."""
    names = (sheet.right_px - sheet.left_px) / width_px("000 min", sheet.look.text_px)
    every = next((one for one in _MINUTES if sheet.last / one <= names), _MINUTES[-1])
    return [float(every * n) for n in range(int(sheet.last / every) + 1)]


def _upright(sheet: ChartSheet[float], one: ClockMark) -> Mark:
    color: Token = "iron" if one.is_hottest else "ink"
    return upright(sheet, one.minute, color, LINE_PX, dashed=not one.is_hottest)


def _mark_words(sheet: ChartSheet[float], marks: Sequence[ClockMark]) -> list[Word]:
    """Return the words over the marks, the hottest on the upper line of the two."""
    upper, lower = sheet.look.head_px
    words = [
        Word(
            sheet.at_px(one.minute),
            upper if one.is_hottest else lower,
            one.word,
            "center",
            "iron" if one.is_hottest else "ink",
            bold=True,
            must=True,
        )
        for one in marks
    ]
    return [within(one, sheet.look) for one in words]


def _room_word(sheet: ChartSheet[float], room: float | None, degrees: str) -> list[Word]:
    if room is None:
        return []
    y = sheet.up_px(room) + 0.6 * sheet.look.line_px
    return [Word(sheet.left_px + 4, y, f"room {room:.0f} {degrees}", "left", "soft", must=True)]


def _axis_words(
    sheet: ChartSheet[float], levels: Sequence[float], minutes: Sequence[float], degrees: str
) -> list[Word]:
    x, y = sheet.left_px - 6, sheet.bottom_px + 0.8 * sheet.look.line_px
    up = [
        Word(x, sheet.up_px(one), f"{one:g} {degrees}", "right", "soft") for one in reversed(levels)
    ]
    along = [Word(sheet.at_px(one), y, f"{one:g}", "center", "soft") for one in minutes[:-1]]
    last = Word(sheet.at_px(minutes[-1]), y, f"{minutes[-1]:g} min", "center", "soft")
    return [*up, within(last, sheet.look), *along]
