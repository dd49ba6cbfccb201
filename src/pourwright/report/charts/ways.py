"""Ten ways that the edition may go, a disc for the day on which each is finished."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from pourwright.report.charts.days import reach
from pourwright.report.charts.frame import (
    Drawing,
    below_px,
    calendar_marks,
    deadline_marks,
    drawing,
)
from pourwright.report.charts.marks import LineMark, Mark, disc
from pourwright.report.charts.records import Deadline, Look
from pourwright.report.charts.sheet import ChartSheet, rows_sheet

RADIUS_PX = 7.0
BESIDE_PX = 2 * RADIUS_PX + 2
"""From one disc to the next, beside it or above it. [px]"""


def ways_chart(days: Sequence[date], look: Look, *, deadline: Deadline | None = None) -> Drawing:
    """Return the finishes as discs on a line of days, those that would overlap piled up."""
    first, last = reach(days, deadline.day if deadline else None, margin=0.06)
    flat = rows_sheet(look, 0, look.edge_px + RADIUS_PX, 0, 1, first, last)
    places = _places(flat, sorted(days))
    top = look.top_px if deadline else 6.0
    floor = top + BESIDE_PX * (1 + max(level for _, level in places))
    height = floor + below_px(look)
    sheet = rows_sheet(look, height, look.edge_px + RADIUS_PX, top, floor, first, last)
    grid, names = calendar_marks(sheet)
    line, due = deadline_marks(sheet, deadline)
    ground = LineMark(((look.edge_px, floor), (sheet.right_px, floor)), "ink", 2.0)
    discs = [
        disc(sheet, day, floor - RADIUS_PX - 1 - BESIDE_PX * level, "glaze", RADIUS_PX)
        for day, level in places
    ]
    marks: list[Mark] = [*grid, ground, *line, *discs]
    return drawing(sheet, marks, [*due, *names])


def _places(sheet: ChartSheet[date], days: Sequence[date]) -> list[tuple[date, int]]:
    """Return each day with how many discs lie under its own."""
    placed: list[tuple[date, int]] = []
    for day in days:
        near = {
            level
            for other, level in placed
            if abs(sheet.at_px(other) - sheet.at_px(day)) < BESIDE_PX
        }
        placed.append((day, next(level for level in range(len(days)) if level not in near)))
    return placed
