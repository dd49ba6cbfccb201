"""Molds in use over time, and how many are worn by then."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import pairwise

from pourwright.report.charts.days import reach
from pourwright.report.charts.frame import (
    below_px,
    calendar_marks,
    counted,
    deadline_marks,
    view,
    within,
)
from pourwright.report.charts.marks import band, curve, discs, levels
from pourwright.report.charts.records import Deadline, Look
from pourwright.report.charts.sheet import Row, Sheet, Spec
from pourwright.report.charts.words import Word, width_px

HEIGHT = {"phone": 260, "desktop": 300}


def use_chart(
    rows: Sequence[Row],
    look: Look,
    *,
    pours: Sequence[date] = (),
    deadline: Deadline | None = None,
) -> Spec:
    """Return molds that can be cast in, and those that are worn, by day.

    Parameters
    ----------
    rows : sequence of mapping
        ``date`` (a day); ``p10``, ``p50``, ``p90``: molds dry and not yet worn, of
        which so many in a hundred runs have fewer; ``worn_p50``: molds worn by
        then in the middle run; by date. At least one row.
    look : Look
        The size it is drawn in.
    pours : sequence of date
        Days on which molds are poured.
    deadline : Deadline, optional
        The date wished for.

    Returns
    -------
    dict
        A Vega-Lite view.
    """
    rows = _until_idle(rows)
    sheet = _sheet(rows, look, deadline, pours)
    grid, names = calendar_marks(sheet, look.line_px if pours else 0)
    line, due = deadline_marks(sheet, deadline)
    values = counted(sheet.high)
    feet = [{"date": day, "y": 0} for day in pours]
    worn = _changes(rows, "worn_p50")
    marks = [
        *grid,
        levels(sheet, values, "hair"),
        band(sheet, rows, "p10", "p90", "celadon-pale", "step-after"),
        *line,
        curve(sheet, rows, "p50", "ink", 2.5, "step-after"),
        *([curve(sheet, rows, "worn_p50", "ochre", 2, "step-after", dashed=True)] if worn else []),
        *([discs(sheet, worn, "worn_p50", "ochre", "diamond", size=90)] if worn else []),
        *([discs(sheet, feet, "y", "ink", "triangle-up", size=70)] if feet else []),
    ]
    left = sheet.left_px - 6
    numbers = [Word(left, sheet.up_px(n), str(n), "right", "soft") for n in values]
    words = [*due, *numbers, *_named(sheet, rows, worn), *_feet(sheet, pours), *names]
    return view(sheet, marks, words)


def _until_idle(rows: Sequence[Row]) -> list[Row]:
    """Return the rows up to the first after which no mold is in use any more."""
    last = max((i for i, row in enumerate(rows) if row["p90"] > 0), default=0)
    return list(rows[: last + 2])


def _changes(rows: Sequence[Row], field: str) -> list[Row]:
    """Return the rows in which a count has grown."""
    return [b for a, b in pairwise(rows) if b[field] > a[field]]


def _sheet(
    rows: Sequence[Row], look: Look, deadline: Deadline | None, pours: Sequence[date]
) -> Sheet:
    """Return the sheet: numbers on the left, one line of words above and two lines below."""
    days = [*(row["date"] for row in rows), *pours]
    first, last = reach(days, deadline.day if deadline else None, margin=0.02)
    most = max(*(row["p90"] for row in rows), *(row["worn_p50"] for row in rows), 1)
    height = HEIGHT[look.name]
    return Sheet(
        look,
        height,
        left_px=look.edge_px + width_px(str(most), look.text_px) + 8,
        top_px=look.top_px,
        bottom_px=height - below_px(look) - (look.line_px if pours else 0),
        first=first,
        last=last,
        high=most,
    )


def _named(sheet: Sheet, rows: Sequence[Row], worn: Sequence[Row]) -> list[Word]:
    """Return the names of the two lines, each above the place where it is highest."""
    peak = max(rows, key=lambda row: row["p50"])
    above = sheet.look.line_px * 0.7
    words = [
        Word(sheet.at_px(peak["date"]) + 4, sheet.up_px(peak["p50"]) - above, "in use", bold=True)
    ]
    if worn:
        x, y = sheet.at_px(worn[-1]["date"]) + 8, sheet.up_px(worn[-1]["worn_p50"]) - above
        words.append(within(Word(x, y, "worn", color="ochre", bold=True), sheet))
    return words


def _feet(sheet: Sheet, pours: Sequence[date]) -> list[Word]:
    """Return the word for the triangles, below the first of them."""
    if not pours:
        return []
    y = sheet.bottom_px + sheet.look.line_px * 0.65
    return [Word(sheet.at_px(pours[0]) - 4, y, "▲ poured")]
