"""When the edition is finished, by how many molds are in use."""

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
from pourwright.report.charts.marks import Mark, bar, curve, disc
from pourwright.report.charts.records import Deadline, Look, MoldsFinish
from pourwright.report.charts.sheet import ChartSheet, rows_sheet
from pourwright.report.charts.words import BOLD, Word, shortened, width_px

ROW = {"phone": 30.0, "desktop": 34.0}
TIGHT_ROW = 22.0
"""Height of a row where there are more than :data:`MANY`. [px]"""
MANY = 12
BAR_PX = 10.0


def molds_chart(
    rows: Sequence[MoldsFinish], look: Look, *, deadline: Deadline | None = None
) -> Drawing:
    """Return the curve of finishes over the number of molds; one row at least.

    A bar holds eight runs in ten, its disc is the middle one; a row with a word has a
    darker and thicker bar.
    """
    sheet, heights = _sheet(rows, look, deadline)
    grid, names = calendar_marks(sheet)
    line, due = deadline_marks(sheet, deadline)
    bars = [
        bar(
            sheet,
            row.p10,
            row.p90,
            y,
            "glaze-mid" if row.word else "glaze-pale",
            "glaze",
            thick_px=BAR_PX + 2 if row.word else BAR_PX,
        )
        for row, y in zip(rows, heights, strict=True)
    ]
    middle = [(row.p50, y) for row, y in zip(rows, heights, strict=True)]
    marks: list[Mark] = [
        *grid,
        *bars,
        *line,
        curve(sheet, middle, "ink", 1.5),
        *(disc(sheet, day, y, "ink") for day, y in middle),
    ]
    return drawing(sheet, marks, [*due, *_labels(sheet, rows, heights), *names])


def _sheet(
    rows: Sequence[MoldsFinish], look: Look, deadline: Deadline | None
) -> tuple[ChartSheet[date], list[float]]:
    """Return the sheet and the heights of the rows. [px]"""
    days = [day for row in rows for day in (row.p10, row.p50, row.p90)]
    first, last = reach(days, deadline.day if deadline else None, margin=0.04)
    high = ROW[look.name] if len(rows) <= MANY else TIGHT_ROW
    top = look.top_px
    widest = max(width_px(_label(row), look.text_px) * BOLD for row in rows)
    left = look.edge_px + min(widest, look.width_px * 0.4) + 10
    bottom = top + high * len(rows)
    sheet = rows_sheet(look, bottom + below_px(look), left, top, bottom, first, last)
    return sheet, [top + high * (i + 0.5) for i in range(len(rows))]


def _label(row: MoldsFinish) -> str:
    """Return how a row is named."""
    return f"{row.molds} {row.word}".strip()


def _labels(
    sheet: ChartSheet[date], rows: Sequence[MoldsFinish], heights: Sequence[float]
) -> list[Word]:
    """Return the names of the rows, and above them what is counted."""
    look = sheet.look
    room = sheet.left_px - look.edge_px - 6
    head = Word(look.edge_px, look.head_px[1], "molds", color="soft")
    named = [
        Word(
            look.edge_px,
            y,
            shortened(_label(row), room / (BOLD if row.word else 1), look.text_px),
            bold=bool(row.word),
            must=True,
        )
        for row, y in zip(rows, heights, strict=True)
    ]
    return [*named, head]
