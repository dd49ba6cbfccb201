"""Molds in use over time, and how many are worn by then."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import pairwise

from pourwright.plan.plan import MoldsDay
from pourwright.report.charts.days import reach
from pourwright.report.charts.frame import (
    Drawing,
    below_px,
    calendar_marks,
    counted,
    deadline_marks,
    drawing,
    within,
)
from pourwright.report.charts.marks import Mark, band, curve, diamond, level, triangle
from pourwright.report.charts.records import Deadline, Look
from pourwright.report.charts.sheet import ChartSheet
from pourwright.report.charts.words import Word, width_px

HEIGHT = {"phone": 260, "desktop": 300}


def use_chart(
    rows: Sequence[MoldsDay],
    look: Look,
    *,
    pours: Sequence[date] = (),
    deadline: Deadline | None = None,
) -> Drawing:
    """Return molds that can be cast in, those that are worn, and the days of pouring.

    The rows are by date, one at least.
    """
    rows = _until_idle(rows)
    sheet = _sheet(rows, look, deadline, pours)
    grid, names = calendar_marks(sheet, look.line_px if pours else 0)
    line, due = deadline_marks(sheet, deadline)
    values = counted(sheet.high)
    worn = [now for before, now in pairwise(rows) if now.worn_p50 > before.worn_p50]
    ends = [(row.date, row.p10, row.p90) for row in rows]
    marks: list[Mark] = [
        *grid,
        *(level(sheet, value, "hair") for value in values),
        band(sheet, ends, "glaze-pale", stepped=True),
        *line,
        curve(sheet, [(row.date, row.p50) for row in rows], "ink", 2.5, stepped=True),
    ]
    if worn:
        by_day = [(row.date, row.worn_p50) for row in rows]
        marks.append(curve(sheet, by_day, "ochre", dashed=True, stepped=True))
        marks += [diamond(sheet, row.date, row.worn_p50, "ochre") for row in worn]
    marks += [triangle(sheet, day, 0, "ink") for day in pours]
    left = sheet.left_px - 6
    numbers = [Word(left, sheet.up_px(n), str(n), "right", "soft") for n in values]
    words = [*due, *numbers, *_named(sheet, rows, worn), *_feet(sheet, pours), *names]
    return drawing(sheet, marks, words)


def _until_idle(rows: Sequence[MoldsDay]) -> list[MoldsDay]:
    """Return the rows up to the first after which no mold is in use any more."""
    last = max((i for i, row in enumerate(rows) if row.p90 > 0), default=0)
    return list(rows[: last + 2])


def _sheet(
    rows: Sequence[MoldsDay], look: Look, deadline: Deadline | None, pours: Sequence[date]
) -> ChartSheet[date]:
    """Return the sheet: numbers on the left, one line of words above and two lines below."""
    days = [*(row.date for row in rows), *pours]
    first, last = reach(days, deadline.day if deadline else None, margin=0.02)
    most = max(*(row.p90 for row in rows), *(row.worn_p50 for row in rows), 1)
    height = HEIGHT[look.name]
    return ChartSheet(
        look,
        height,
        left_px=look.edge_px + width_px(str(most), look.text_px) + 8,
        top_px=look.top_px,
        bottom_px=height - below_px(look) - (look.line_px if pours else 0),
        first=first,
        last=last,
        high=most,
    )


def _named(
    sheet: ChartSheet[date], rows: Sequence[MoldsDay], worn: Sequence[MoldsDay]
) -> list[Word]:
    """Return the names of the two lines, each above the place where it is highest."""
    peak = max(rows, key=lambda row: row.p50)
    above = sheet.look.line_px * 0.7
    words = [Word(sheet.at_px(peak.date) + 4, sheet.up_px(peak.p50) - above, "in use", bold=True)]
    if worn:
        x, y = sheet.at_px(worn[-1].date) + 8, sheet.up_px(worn[-1].worn_p50) - above
        words.append(within(Word(x, y, "worn", color="ochre", bold=True), sheet.look))
    return words


def _feet(sheet: ChartSheet[date], pours: Sequence[date]) -> list[Word]:
    """Return the word for the triangles, below the first of them."""
    if not pours:
        return []
    y = sheet.bottom_px + sheet.look.line_px * 0.65
    return [Word(sheet.at_px(pours[0]) - 4, y, "▲ poured")]
