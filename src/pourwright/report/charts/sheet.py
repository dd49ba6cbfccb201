"""The sheet a chart is drawn on: its size, its days or minutes along and its values up.

Everything is placed in pixels before it is drawn, so that each machine draws the same image.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Generic, TypeVar

from pourwright.report.charts.records import Look

At = TypeVar("At", date, float)
"""What runs from left to right: days, or minutes."""


@dataclass(frozen=True, slots=True)
class ChartSheet(Generic[At]):
    """A chart's place on the image: days or minutes from left to right, values from bottom to top."""

    look: Look
    height_px: float
    left_px: float
    top_px: float
    bottom_px: float
    first: At
    last: At
    low: float = 0.0
    high: float = 1.0

    @property
    def right_px(self) -> float:
        """The right end of the days or minutes. [px]"""
        return self.look.width_px - self.look.edge_px

    def at_px(self, at: At) -> float:
        """Return how far from the left a day or a minute stands. [px]"""
        share = (at - self.first) / (self.last - self.first)
        return self.left_px + share * (self.right_px - self.left_px)

    def up_px(self, value: float) -> float:
        """Return how far from the top a value stands. [px]"""
        share = (value - self.low) / (self.high - self.low)
        return self.bottom_px + share * (self.top_px - self.bottom_px)


def rows_sheet(
    look: Look,
    height_px: float,
    left_px: float,
    top_px: float,
    bottom_px: float,
    first: date,
    last: date,
) -> ChartSheet[date]:
    """Return a sheet whose values are pixels from the top of the image, for charts of rows."""
    return ChartSheet(
        look, height_px, left_px, top_px, bottom_px, first, last, low=bottom_px, high=top_px
    )
