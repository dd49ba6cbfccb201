"""The temperature of a setting part over minutes: readings, the law through them, the room, and marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import altair as alt

from pourwright.report.charts.frame import view, within
from pourwright.report.charts.marks import MARK, chart_of
from pourwright.report.charts.palette import LIGHT, Token
from pourwright.report.charts.records import Look
from pourwright.report.charts.sheet import Row, Spec
from pourwright.report.charts.words import BOLD, Word, width_px

HEIGHT = {"phone": 320, "desktop": 360}
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


@dataclass(frozen=True, slots=True)
class _Clock:
    """The sheet: minutes from left to right, degrees from bottom to top."""

    look: Look
    height_px: float
    left_px: float
    top_px: float
    bottom_px: float
    last_min: float
    low: float
    high: float

    @property
    def right_px(self) -> float:
        return self.look.width_px - self.look.edge_px

    def at_px(self, minute: float) -> float:
        return self.left_px + minute / self.last_min * (self.right_px - self.left_px)

    def up_px(self, degrees: float) -> float:
        share = (degrees - self.low) / (self.high - self.low)
        return self.bottom_px + share * (self.top_px - self.bottom_px)

    def x(self, field: str = "minute") -> alt.X:
        scale = alt.Scale(
            domain=[0, self.last_min], range=[self.left_px, self.right_px], nice=False
        )
        return alt.X(field, type="quantitative", scale=scale, axis=None)

    def y(self, field: str) -> alt.Y:
        scale = alt.Scale(
            domain=[self.low, self.high],
            range=[self.bottom_px, self.top_px],
            zero=False,
            nice=False,
        )
        return alt.Y(field, type="quantitative", scale=scale, axis=None)


def heat_chart(
    readings: Sequence[Row],
    look: Look,
    *,
    law: Sequence[Row] = (),
    room: float | None = None,
    marks: Sequence[ClockMark] = (),
    degrees: str = "°C",
) -> Spec:
    """Return the temperature in the middle of a setting part over minutes.

    Parameters
    ----------
    readings : sequence of mapping
        ``minute`` and ``degrees``, in the order of their minutes; at least two. [min]
    look : Look
        The size it is drawn in.
    law : sequence of mapping
        ``minute``, ``degrees``, ``low`` and ``high``: the fitted law and its range. [min]
    room : float, optional
        Temperature of the room.
    marks : sequence of ClockMark
        The hottest moment, and the opening.
    degrees : str
        The unit that all temperatures are in.

    Returns
    -------
    dict
        A Vega-Lite view.
    """
    sheet, levels, minutes = _sheet(readings, look, law, room, marks, degrees)
    drawn = [
        _rules(
            sheet, [{"minute": one, "y": sheet.low, "y2": sheet.high} for one in minutes], "hair"
        ),
        _across(sheet, levels, "hair"),
    ]
    if law:
        drawn += [_band(sheet, law), _curve(sheet, law)]
    if room is not None:
        drawn.append(_across(sheet, [room], "soft"))
    drawn += [_upright(sheet, one) for one in marks]
    drawn.append(_discs(sheet, readings))
    words = [*_mark_words(sheet, marks), *_room_word(sheet, room, degrees)]
    return view(sheet, drawn, [*words, *_axis_words(sheet, levels, minutes, degrees)])


def _sheet(
    readings: Sequence[Row], look: Look, law: Sequence[Row], room: float | None, marks: Sequence[ClockMark], degrees: str
) -> tuple[_Clock, list[float], list[float]]:  # fmt: skip
    """Return the sheet, the named degrees and the named minutes."""
    values = [row["degrees"] for row in readings] + [
        row[key] for row in law for key in ("low", "high")
    ]
    values += [room] if room is not None else []
    step = next((s for s in _DEGREES if (max(values) - min(values)) / s <= _LEVELS), _DEGREES[-1])
    low, high = min(values) // step * step, -(-max(values) // step) * step
    high += step if high == low else 0
    low -= (
        step if room is not None and room - low < 0.7 * step else 0
    )  # the room's word stands below its line
    levels = [low + n * step for n in range(round((high - low) / step) + 1)]
    last = max(readings[-1]["minute"], *(one.minute for one in marks), 1.0) * 1.03
    height = HEIGHT[look.name]
    gutter = width_px(f"{high:g} {degrees}", look.text_px) * BOLD + 8
    left = look.edge_px + gutter
    room_for = (look.width_px - look.edge_px - left) / (width_px("000 min", look.text_px))
    every = next((s for s in _MINUTES if last / s <= room_for), _MINUTES[-1])
    sheet = _Clock(
        look, height, left_px=left, top_px=look.top_px, bottom_px=height - 1.4 * look.line_px - 4,
        last_min=last, low=low, high=high,
    )  # fmt: skip
    return sheet, levels, [float(every * n) for n in range(int(last / every) + 1)]


def _rules(sheet: _Clock, rows: list[Row], color: Token, width: float = MARK["thin"]) -> alt.Chart:
    mark: alt.Chart = chart_of(rows).mark_rule(color=LIGHT[color], strokeWidth=width)
    return mark.encode(x=sheet.x(), y=sheet.y("y"), y2=alt.Y2("y2"))


def _across(sheet: _Clock, values: Sequence[float], color: Token) -> alt.Chart:
    rows = [{"minute": 0, "until": sheet.last_min, "y": one} for one in values]
    mark: alt.Chart = chart_of(rows).mark_rule(color=LIGHT[color], strokeWidth=MARK["thin"])
    return mark.encode(x=sheet.x(), x2=alt.X2("until"), y=sheet.y("y"))


def _upright(sheet: _Clock, one: ClockMark) -> alt.Chart:
    mark: alt.Chart = chart_of(
        [{"minute": one.minute, "y": sheet.low, "y2": sheet.high}]
    ).mark_rule(
        color=LIGHT["iron" if one.is_hottest else "ink"],
        strokeWidth=MARK["line"],
        strokeDash=alt.Undefined if one.is_hottest else [5, 3],
    )
    return mark.encode(x=sheet.x(), y=sheet.y("y"), y2=alt.Y2("y2"))


def _band(sheet: _Clock, law: Sequence[Row]) -> alt.Chart:
    mark: alt.Chart = chart_of(law).mark_area(color=LIGHT["celadon-mid"], interpolate="linear")
    return mark.encode(x=sheet.x(), y=sheet.y("low"), y2=alt.Y2("high"))


def _curve(sheet: _Clock, law: Sequence[Row]) -> alt.Chart:
    mark: alt.Chart = chart_of(law).mark_line(
        color=LIGHT["celadon"], strokeWidth=MARK["line"], interpolate="linear", strokeJoin="round"
    )
    return mark.encode(x=sheet.x(), y=sheet.y("degrees"), order=alt.value(0))


def _discs(sheet: _Clock, readings: Sequence[Row]) -> alt.Chart:
    many = len(readings) > 60
    mark: alt.Chart = chart_of(readings).mark_point(
        shape="circle", size=16 if many else MARK["disc"], filled=True, fill=LIGHT["ink"],
        stroke=LIGHT["ink"], strokeWidth=0, opacity=1,
    )  # fmt: skip
    return mark.encode(x=sheet.x(), y=sheet.y("degrees"))


def _mark_words(sheet: _Clock, marks: Sequence[ClockMark]) -> list[Word]:
    """Return the words over the marks, the hottest on the upper line of the two."""
    upper, lower = sheet.look.head_px
    words = [
        Word(sheet.at_px(one.minute), upper if one.is_hottest else lower, one.word, "center",
             "iron" if one.is_hottest else "ink", bold=True, must=True)
        for one in marks
    ]  # fmt: skip
    return [within(one, sheet) for one in words]


def _room_word(sheet: _Clock, room: float | None, degrees: str) -> list[Word]:
    if room is None:
        return []
    y = sheet.up_px(room) + 0.6 * sheet.look.line_px
    return [Word(sheet.left_px + 4, y, f"room {room:.0f} {degrees}", "left", "soft", must=True)]


def _axis_words(
    sheet: _Clock, levels: Sequence[float], minutes: Sequence[float], degrees: str
) -> list[Word]:
    x, y = sheet.left_px - 6, sheet.bottom_px + 0.8 * sheet.look.line_px
    up = [
        Word(x, sheet.up_px(one), f"{one:g} {degrees}", "right", "soft") for one in reversed(levels)
    ]
    along = [Word(sheet.at_px(one), y, f"{one:g}", "center", "soft") for one in minutes[:-1]]
    last = Word(sheet.at_px(minutes[-1]), y, f"{minutes[-1]:g} min", "center", "soft")
    return [*up, within(last, sheet), *along]
