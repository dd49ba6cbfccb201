"""When the edition is finished, by how many molds are in use."""

from __future__ import annotations

from collections.abc import Sequence

from pourwright.report.charts.days import reach
from pourwright.report.charts.frame import (
    below_px,
    calendar_marks,
    deadline_marks,
    view,
)
from pourwright.report.charts.marks import bars, curve, discs
from pourwright.report.charts.records import Deadline, Look
from pourwright.report.charts.sheet import Row, Sheet, Spec, rows_sheet
from pourwright.report.charts.words import BOLD, Word, shortened, width_px

ROW = {"phone": 30.0, "desktop": 34.0}
TIGHT_ROW = 22.0
"""Height of a row where there are more than :data:`MANY`. [px]"""
MANY = 12
BAR_PX = 10.0


def molds_chart(rows: Sequence[Row], look: Look, *, deadline: Deadline | None = None) -> Spec:
    """Return the curve of finishes over the number of molds.

    Parameters
    ----------
    rows : sequence of mapping
        ``molds`` (a count), the days ``p10``, ``p50`` and ``p90`` by which so many
        in a hundred runs are finished, and ``word``, said beside the count, which
        may be empty. At least one row.
    look : Look
        The size it is drawn in.
    deadline : Deadline, optional
        The date wished for.

    Returns
    -------
    dict
        A Vega-Lite view. A bar holds eight runs in ten, its disc is the middle one;
        a row with a word has a solid bar.
    """
    sheet, placed = _placed(rows, look, deadline)
    grid, names = calendar_marks(sheet)
    line, due = deadline_marks(sheet, deadline)
    ranges = [{"date": r["p10"], "until": r["p90"], "y": r["y"]} for r in placed]
    told = [b for b, r in zip(ranges, placed, strict=True) if r["word"]]
    middle = [{"date": r["p50"], "y": r["y"]} for r in placed]
    marks = [
        *grid,
        bars(sheet, ranges, "celadon-pale", "celadon", thick_px=BAR_PX),
        *([bars(sheet, told, "celadon-mid", "celadon", thick_px=BAR_PX + 2)] if told else []),
        *line,
        curve(sheet, middle, "y", "ink", 1.5),
        discs(sheet, middle, "y", "ink"),
    ]
    return view(sheet, marks, [*due, *_labels(sheet, placed), *names])


def _placed(
    rows: Sequence[Row], look: Look, deadline: Deadline | None
) -> tuple[Sheet, list[dict[str, object]]]:
    """Return the sheet and the rows with their heights."""
    days = [row[p] for row in rows for p in ("p10", "p50", "p90")]
    first, last = reach(days, deadline.day if deadline else None, margin=0.04)
    high = ROW[look.name] if len(rows) <= MANY else TIGHT_ROW
    top = look.top_px
    widest = max(width_px(_label(row), look.text_px) * BOLD for row in rows)
    left = look.edge_px + min(widest, look.width_px * 0.4) + 10
    bottom = top + high * len(rows)
    sheet = rows_sheet(look, bottom + below_px(look), left, top, bottom, first, last)
    placed = [dict(row, y=top + high * (i + 0.5)) for i, row in enumerate(rows)]
    return sheet, placed


def _label(row: Row) -> str:
    """Return how a row is named."""
    return f"{row['molds']} {row['word']}".strip()


def _labels(sheet: Sheet, placed: Sequence[Row]) -> list[Word]:
    """Return the names of the rows, and above them what is counted."""
    look = sheet.look
    room = sheet.left_px - look.edge_px - 6
    head = Word(look.edge_px, look.head_px[1], "molds", color="soft")
    named = [
        Word(
            look.edge_px,
            row["y"],
            shortened(_label(row), room / (BOLD if row["word"] else 1), look.text_px),
            bold=bool(row["word"]),
            must=True,
        )
        for row in placed
    ]
    return [*named, head]
