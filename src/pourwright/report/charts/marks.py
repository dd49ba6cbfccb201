"""The marks of charts: bands, curves, discs, bars and rules on a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Literal, TypeAlias

import altair as alt

from pourwright.report.charts.palette import LIGHT, Token
from pourwright.report.charts.sheet import Row, Sheet, dated

Step: TypeAlias = Literal["linear", "step-after"]

MARK = {"line": 2.0, "thin": 1.0, "disc": 64.0}
"""Widths of lines [px] and area of a disc [px2]."""
DASH = [5, 3]
"""What is drawn and left free along a dashed line. [px]"""


def _values(rows: Sequence[Row]) -> alt.Data:
    """Return rows as data that stand inside the view."""
    return alt.InlineData(values=[dict(row) for row in rows])


def chart_of(rows: Sequence[Row]) -> alt.Chart:
    """Return a chart of rows."""
    return alt.Chart(_values(rows))


def band(
    sheet: Sheet, rows: Sequence[Row], low: str, high: str, color: Token, step: Step = "linear"
) -> alt.Chart:
    """Return the ground between two values of each day."""
    mark: alt.Chart = chart_of(dated(rows, "date")).mark_area(color=LIGHT[color], interpolate=step)
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
    mark: alt.Chart = chart_of(dated(rows, "date")).mark_line(
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
    mark: alt.Chart = chart_of(dated(rows, "date")).mark_point(
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
    mark: alt.Chart = chart_of(dated(rows, "date", "until")).mark_rect(
        color=LIGHT[fill],
        stroke=alt.Undefined if edge is None else LIGHT[edge],
        strokeWidth=MARK["thin"] if edge else 0,
        strokeDash=DASH if dashed else alt.Undefined,
    )
    return mark.encode(x=sheet.x(), x2=alt.X2("until"), y=sheet.y("y"), y2=alt.Y2("y2"))


def uprights(
    sheet: Sheet,
    days: Sequence[date],
    color: Token,
    width: float = MARK["thin"],
    *,
    dashed: bool = False,
) -> alt.Chart:
    """Return a line from bottom to top on each day."""
    rows = [{"date": day, "y": sheet.low, "y2": sheet.high} for day in days]
    mark: alt.Chart = chart_of(dated(rows, "date")).mark_rule(
        color=LIGHT[color], strokeWidth=width, strokeDash=DASH if dashed else alt.Undefined
    )
    return mark.encode(x=sheet.x(), y=sheet.y("y"), y2=alt.Y2("y2"))


def levels(sheet: Sheet, values: Sequence[float], color: Token) -> alt.Chart:
    """Return a line from left to right at each value."""
    rows = [{"date": sheet.first, "until": sheet.last, "y": value} for value in values]
    mark: alt.Chart = chart_of(dated(rows, "date", "until")).mark_rule(
        color=LIGHT[color], strokeWidth=MARK["thin"]
    )
    return mark.encode(x=sheet.x(), x2=alt.X2("until"), y=sheet.y("y"))
