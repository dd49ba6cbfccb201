"""The sheet a chart is drawn on: its size, its days along and its values up.

Charts are Vega-Lite views of one size in pixels, with every scale's range given:
nothing is left to the measuring of fonts, so each machine draws the same image.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any, TypeAlias

import altair as alt

from pourwright.report.charts.records import Look

Spec: TypeAlias = dict[str, Any]
"""A Vega-Lite view, as JSON holds it."""
Row: TypeAlias = Mapping[str, Any]


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
