"""The sheet a chart is drawn on: its size, its days along, its marks and its words.

Charts are Vega-Lite views of one size in pixels, with every scale's range given:
nothing is left to the measuring of fonts, so each machine draws the same image.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from itertools import groupby
from typing import Any, Literal, TypeAlias

import altair as alt

from pourwright.charts.days import short, ticks
from pourwright.charts.palette import LIGHT, Token
from pourwright.charts.words import LINE, Align, Word, width_px, with_room

Spec: TypeAlias = dict[str, Any]
"""A Vega-Lite view, as JSON holds it."""
Row: TypeAlias = Mapping[str, Any]
Step: TypeAlias = Literal["linear", "step-after"]


@dataclass(frozen=True, slots=True)
class Look:
    """The size a chart is drawn in.

    ``edge_px`` is kept free on the left and right: on a phone the image reaches
    from edge to edge of the screen.
    """

    name: Literal["phone", "desktop"]
    width_px: int
    text_px: int
    edge_px: int

    @property
    def line_px(self) -> float:
        """From one line of text to the next. [px]"""
        return self.text_px * LINE

    @property
    def head_px(self) -> tuple[float, float]:
        """Heights of the two lines of words above a chart. [px]"""
        return self.line_px * 0.55, self.line_px * 1.6

    @property
    def top_px(self) -> float:
        """Where a chart begins below these words. [px]"""
        return self.line_px * 2.15 + 6


PHONE = Look("phone", 360, 13, 16)
DESKTOP = Look("desktop", 720, 14, 2)
LOOKS = (PHONE, DESKTOP)

MARK = {"line": 2.0, "thin": 1.0, "disc": 64.0}
"""Widths of lines [px] and area of a disc [px2]."""
DASH = [5, 3]
"""What is drawn and left free along a dashed line. [px]"""


@dataclass(frozen=True, slots=True)
class Deadline:
    """The date wished for, and the word that stands at its line."""

    day: date
    word: str = "your date"


@dataclass(frozen=True, slots=True)
class Sheet:
    """A chart's place on the image: days from left to right, values from bottom to top."""

    look: Look
    height_px: float
    left_px: float
    top_px: float
    bottom_px: float
    first: date
    last: date
    low: float = 0.0
    high: float = 1.0

    @property
    def right_px(self) -> float:
        """The right end of the days. [px]"""
        return self.look.width_px - self.look.edge_px

    def at_px(self, day: date) -> float:
        """Return how far from the left a day stands. [px]"""
        share = (day - self.first).days / (self.last - self.first).days
        return self.left_px + share * (self.right_px - self.left_px)

    def up_px(self, value: float) -> float:
        """Return how far from the top a value stands. [px]"""
        share = (value - self.low) / (self.high - self.low)
        return self.bottom_px + share * (self.top_px - self.bottom_px)

    def x(self, field: str = "date") -> alt.X:
        """Return the days as a channel; the calendar has no clock, hence UTC."""
        scale = alt.Scale(
            type="utc",
            domain=[_instant(self.first), _instant(self.last)],
            range=[self.left_px, self.right_px],
        )
        return alt.X(field, type="temporal", scale=scale, axis=None)

    def y(self, field: str) -> alt.Y:
        """Return values as a channel."""
        scale = alt.Scale(
            domain=[self.low, self.high], range=[self.bottom_px, self.top_px], zero=False
        )
        return alt.Y(field, type="quantitative", scale=scale, axis=None)


def rows_sheet(
    look: Look,
    height_px: float,
    left_px: float,
    top_px: float,
    bottom_px: float,
    first: date,
    last: date,
) -> Sheet:
    """Return a sheet whose values are pixels from the top of the image, for charts of rows."""
    return Sheet(
        look, height_px, left_px, top_px, bottom_px, first, last, low=bottom_px, high=top_px
    )


def _instant(day: date) -> int:
    """Return the start of a day, in milliseconds since 1970 in UTC."""
    return int(datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp() * 1000)


def dated(rows: Iterable[Row], *fields: str) -> list[dict[str, Any]]:
    """Return rows with the days of some fields as instants."""
    return [{k: _instant(v) if k in fields else v for k, v in row.items()} for row in rows]


def _values(rows: Sequence[Row]) -> alt.Data:
    """Return rows as data that stand inside the view."""
    return alt.InlineData(values=[dict(row) for row in rows])


def _chart(rows: Sequence[Row]) -> alt.Chart:
    """Return a chart of rows."""
    return alt.Chart(_values(rows))


# --- marks


def band(
    sheet: Sheet, rows: Sequence[Row], low: str, high: str, color: Token, step: Step = "linear"
) -> alt.Chart:
    """Return the ground between two values of each day."""
    mark: alt.Chart = _chart(dated(rows, "date")).mark_area(color=LIGHT[color], interpolate=step)
    return mark.encode(x=sheet.x(), y=sheet.y(low), y2=alt.Y2(high))


def curve(
    sheet: Sheet,
    rows: Sequence[Row],
    field: str,
    color: Token,
    width: float = MARK["line"],
    step: Step = "linear",
    *,
    dashed: bool = False,
) -> alt.Chart:
    """Return a line through a value of each day, in the order of the rows."""
    mark: alt.Chart = _chart(dated(rows, "date")).mark_line(
        color=LIGHT[color],
        strokeWidth=width,
        interpolate=step,
        strokeDash=DASH if dashed else alt.Undefined,
        strokeJoin="round",
    )
    return mark.encode(x=sheet.x(), y=sheet.y(field), order=alt.value(0))


def discs(
    sheet: Sheet,
    rows: Sequence[Row],
    field: str,
    color: Token,
    shape: str = "circle",
    *,
    open_: bool = False,
    size: float = MARK["disc"],
) -> alt.Chart:
    """Return a mark on each day: a disc, a ring, a diamond or a triangle."""
    mark: alt.Chart = _chart(dated(rows, "date")).mark_point(
        shape=shape,
        size=size,
        filled=not open_,
        fill=LIGHT["slip" if open_ else color],
        stroke=LIGHT[color],
        strokeWidth=MARK["line"] if open_ else 0,
        opacity=1,
    )
    return mark.encode(x=sheet.x(), y=sheet.y(field))


def bars(
    sheet: Sheet,
    rows: Sequence[Row],
    fill: Token,
    edge: Token | None = None,
    *,
    thick_px: float = 10,
    dashed: bool = False,
) -> alt.Chart:
    """Return bars from ``date`` to ``until`` about the height ``y``, on a sheet of rows."""
    half = thick_px / 2
    high = [{**row, "y": row["y"] - half, "y2": row["y"] + half} for row in rows]
    return grounds(sheet, high, fill, edge, dashed=dashed)


def grounds(
    sheet: Sheet,
    rows: Sequence[Row],
    fill: Token,
    edge: Token | None = None,
    *,
    dashed: bool = False,
) -> alt.Chart:
    """Return rectangles from ``date`` to ``until`` between the heights ``y`` and ``y2``."""
    mark: alt.Chart = _chart(dated(rows, "date", "until")).mark_rect(
        color=LIGHT[fill],
        stroke=alt.Undefined if edge is None else LIGHT[edge],
        strokeWidth=MARK["thin"] if edge else 0,
        strokeDash=DASH if dashed else alt.Undefined,
    )
    return mark.encode(x=sheet.x(), x2=alt.X2("until"), y=sheet.y("y"), y2=alt.Y2("y2"))


def uprights(
    sheet: Sheet, days: Sequence[date], color: Token, width: float = MARK["thin"]
) -> alt.Chart:
    """Return a line from bottom to top on each day."""
    rows = [{"date": day, "y": sheet.low, "y2": sheet.high} for day in days]
    mark: alt.Chart = _chart(dated(rows, "date")).mark_rule(color=LIGHT[color], strokeWidth=width)
    return mark.encode(x=sheet.x(), y=sheet.y("y"), y2=alt.Y2("y2"))


def levels(sheet: Sheet, values: Sequence[float], color: Token) -> alt.Chart:
    """Return a line from left to right at each value."""
    rows = [{"date": sheet.first, "until": sheet.last, "y": value} for value in values]
    mark: alt.Chart = _chart(dated(rows, "date", "until")).mark_rule(
        color=LIGHT[color], strokeWidth=MARK["thin"]
    )
    return mark.encode(x=sheet.x(), x2=alt.X2("until"), y=sheet.y("y"))


# --- what charts share


def calendar_marks(sheet: Sheet, free_px: float = 0) -> tuple[list[alt.Chart], list[Word]]:
    """Return the uprights of named days, and their names some way below the chart."""
    look = sheet.look
    widest = width_px("30 Sep", look.text_px) + 10
    named = ticks(sheet.first, sheet.last, (sheet.right_px - sheet.left_px) / widest)
    y = sheet.bottom_px + look.line_px * 0.7 + free_px
    words = []
    for tick in named:
        x = sheet.at_px(tick.day)
        words.append(Word(x + 1, y, tick.label, color="soft"))
        if tick.year:
            words.append(Word(x + 1, y + look.line_px, tick.year, color="soft"))
    return [uprights(sheet, [tick.day for tick in named], "hair")], words


def below_px(look: Look) -> float:
    """Return the room for the names of days below a chart. [px]"""
    return 2.3 * look.line_px + 2


def deadline_marks(sheet: Sheet, deadline: Deadline | None) -> tuple[list[alt.Chart], list[Word]]:
    """Return the iron line of the date wished for, and its word above it.

    A date beyond the chart gets an arrow at the edge and no line.
    """
    if deadline is None:
        return [], []
    text, day = f"{deadline.word} {short(deadline.day)}", deadline.day
    y_px = sheet.look.head_px[0]
    left, right = sheet.look.edge_px, sheet.right_px
    if day < sheet.first:
        return [], [_iron(left, y_px, f"← {text} {day.year}", "left")]
    if day > sheet.last:
        return [], [_iron(right, y_px, f"{text} {day.year} →", "right")]
    word = _iron(sheet.at_px(day), y_px, text, "center")
    return [uprights(sheet, [day], "iron", MARK["line"])], [within(word, sheet)]


def _iron(x: float, y: float, text: str, align: Align) -> Word:
    """Return a word about the date wished for."""
    return Word(x, y, text, align, "iron", bold=True, must=True)


def within(word: Word, sheet: Sheet) -> Word:
    """Return a word moved aside so that it ends on the image."""
    size = sheet.look.text_px
    left, _, right, _ = word.box_px(size)
    low, high = 1.0, sheet.look.width_px - 1.0
    over = min(0.0, high - right) or max(0.0, low - left)
    return replace(word, x_px=word.x_px + over)


def counted(high: float, most: int = 5) -> list[int]:
    """Return round numbers from 0 up to a number, few enough to read.

    Examples
    --------
    >>> counted(26), counted(1)
    ([0, 10, 20], [0, 1])
    """
    sizes = (base * 10**power for power in range(9) for base in (1, 2, 5))
    step = next(size for size in sizes if high / size <= most)
    return list(range(0, int(high) + 1, step))


def day_after(day: date) -> date:
    """Return the next day, where a bar that includes a day ends."""
    return day + timedelta(days=1)


def view(sheet: Sheet, marks: Sequence[alt.Chart], words: Iterable[Word]) -> Spec:
    """Return the finished view: marks in their order, and the words that find room on top.

    Parameters
    ----------
    sheet : Sheet
        The sheet of the chart.
    marks : sequence of altair.Chart
        The marks, the lowest first.
    words : iterable of Word
        The words, the more telling ones first.

    Returns
    -------
    dict
        A Vega-Lite view.
    """
    look, height = sheet.look, round(sheet.height_px)
    kept = with_room(words, look.text_px, look.width_px, height)
    layers = [*marks, *_texts(kept, look, height)]
    chart = (
        alt.layer(*layers)
        .resolve_scale(x="independent", y="independent")
        .properties(width=look.width_px, height=height, padding=0, autosize="none")
        .properties(background="transparent")
        .configure_view(stroke=None)
    )
    spec: Spec = chart.to_dict()
    return spec


def _texts(words: list[Word], look: Look, height: float) -> list[alt.Chart]:
    """Return the words as marks, those of one kind together."""

    def kind(word: Word) -> tuple[str, str, bool]:
        return word.align, word.color, word.bold

    layers = []
    for _, group in groupby(sorted(words, key=kind), key=kind):
        alike = list(group)
        rows = [{"x": round(w.x_px, 1), "y": round(w.y_px, 1), "text": w.text} for w in alike]
        mark: alt.Chart = _chart(rows).mark_text(
            align=alike[0].align,
            baseline="middle",
            fontSize=look.text_px,
            fontWeight="bold" if alike[0].bold else "normal",
            color=LIGHT[alike[0].color],
            stroke=LIGHT["slip"],
            strokeWidth=3,
        )
        layers.append(
            mark.encode(
                x=alt.X("x", type="quantitative", scale=_pixels(look.width_px), axis=None),
                y=alt.Y("y", type="quantitative", scale=_pixels(height), axis=None),
                text=alt.Text("text", type="nominal"),
            )
        )
    return layers


def _pixels(length_px: float) -> alt.Scale:
    """Return the scale of pixels on the image."""
    return alt.Scale(domain=[0, length_px], range=[0, length_px], nice=False)
