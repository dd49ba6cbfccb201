"""Pieces finished over time: the middle course, and how far luck spreads it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta

from pourwright.plan.plan import FanDay, FinishRange
from pourwright.report.charts.days import reach, short_day
from pourwright.report.charts.frame import (
    Drawing,
    below_px,
    calendar_marks,
    counted,
    deadline_marks,
    drawing,
    within,
)
from pourwright.report.charts.marks import Mark, band, curve, disc, level
from pourwright.report.charts.records import Deadline, Look
from pourwright.report.charts.sheet import ChartSheet
from pourwright.report.charts.words import BOLD, Word, width_px

HEIGHT = {"phone": 320, "desktop": 380}
LEAD = timedelta(days=7)
"""Before the first piece is finished nothing happens on this chart; so much of it is shown."""
FAST_AT, SLOW_AT = 0.8, 0.2
"""Heights at which the two dashed lines are named, where the fan leaves room. [-]"""


def fan_chart(
    rows: Sequence[FanDay],
    look: Look,
    *,
    wanted: int,
    deadline: Deadline | None = None,
    finish: FinishRange | None = None,
) -> Drawing:
    """Return the fan of pieces finished by day, of so many wanted, proofs among them.

    The rows are by date, one at least; ``finish`` tells when the last piece is finished.
    """
    rows = _busy(rows)
    sheet = _sheet(rows, look, wanted, deadline)
    grid, names = calendar_marks(sheet)
    line, due = deadline_marks(sheet, deadline)
    steps = [n for n in counted(wanted) if sheet.up_px(n) - sheet.up_px(wanted) > look.line_px]
    marks: list[Mark] = [
        *grid,
        *(level(sheet, count, "hair") for count in [*steps, wanted]),
        band(sheet, [(row.date, row.p10, row.p90) for row in rows], "glaze-pale"),
        band(sheet, [(row.date, row.p25, row.p75) for row in rows], "glaze-mid"),
        curve(sheet, _until_full(rows, _p90), "glaze", 1.5, dashed=True),
        curve(sheet, _until_full(rows, _p10), "glaze", 1.5, dashed=True),
        *line,
        curve(sheet, _until_full(rows, lambda row: row.p50), "ink", 2.5),
        *_finish_marks(sheet, finish, wanted),
    ]
    words = [*due, *_numbers(sheet, [*steps, wanted]), *_finish_words(sheet, finish)]
    return drawing(sheet, marks, [*words, *names, *_edges(sheet, rows, wanted)])


def _p10(row: FanDay) -> int:
    return row.p10


def _p90(row: FanDay) -> int:
    return row.p90


def _busy(rows: Sequence[FanDay]) -> list[FanDay]:
    """Return the rows from shortly before the first piece may be finished, to the end."""
    first = next((row.date for row in rows if row.p90 > 0), rows[0].date)
    full = max(row.p10 for row in rows)
    last = next(row.date for row in rows if row.p10 >= full)
    kept = [row for row in rows if first - LEAD <= row.date <= last + LEAD]
    return kept or list(rows)


def _until_full(
    rows: Sequence[FanDay], pieces: Callable[[FanDay], int]
) -> list[tuple[date, float]]:
    """Return the pieces by day, up to the first day that has as many as the last."""
    full = max(map(pieces, rows))
    kept = [row for i, row in enumerate(rows) if not i or pieces(rows[i - 1]) < full]
    return [(row.date, pieces(row)) for row in kept]


def _sheet(
    rows: Sequence[FanDay], look: Look, wanted: int, deadline: Deadline | None
) -> ChartSheet[date]:
    """Return the sheet: a gutter for numbers, two lines of words above."""
    first, last = reach((row.date for row in rows), deadline.day if deadline else None)
    most = max(wanted, *(row.p90 for row in rows), 1)
    height = HEIGHT[look.name]
    gutter = width_px(str(most), look.text_px) * BOLD + 8
    return ChartSheet(
        look,
        height,
        left_px=look.edge_px + gutter,
        top_px=look.top_px,
        bottom_px=height - below_px(look),
        first=first,
        last=last,
        high=most,
    )


def _numbers(sheet: ChartSheet[date], values: Sequence[int]) -> list[Word]:
    """Return the counts beside their lines, the wanted one in bold."""
    x = sheet.left_px - 6
    return [
        Word(
            x,
            sheet.up_px(n),
            str(n),
            "right",
            "ink" if n == values[-1] else "soft",
            bold=n == values[-1],
        )
        for n in reversed(values)
    ]


def _finish_marks(sheet: ChartSheet[date], finish: FinishRange | None, wanted: int) -> list[Mark]:
    """Return the disc where half the runs are finished and the ring where nine in ten are."""
    if finish is None:
        return []
    return [
        disc(sheet, finish.p90, wanted, "glaze", open_=True),
        disc(sheet, finish.p50, wanted, "ink"),
    ]


def _finish_words(sheet: ChartSheet[date], finish: FinishRange | None) -> list[Word]:
    """Return the words above disc and ring, which lean away from each other."""
    if finish is None:
        return []
    y = sheet.look.head_px[1]
    p50, p90 = (
        short_day(one, month_first=sheet.look.month_first) for one in (finish.p50, finish.p90)
    )
    half = Word(sheet.at_px(finish.p50) + 6, y, f"even odds by {p50}", "right", bold=True)
    nine = Word(sheet.at_px(finish.p90) - 6, y, f"9 in 10 by {p90}", color="glaze")
    return [within(half, sheet.look), within(nine, sheet.look)]


def _edges(sheet: ChartSheet[date], rows: Sequence[FanDay], wanted: int) -> list[Word]:
    """Return the names of the two dashed lines, beside them where there is room.

    Lines that lie on one another, or never rise so high, are not named.
    """
    there = rows[0].p10  # an edition half way begins with what is finished
    fast_at, slow_at = (there + share * (wanted - there) for share in (FAST_AT, SLOW_AT))
    fast, slow = _crossing(sheet, rows, _p90, fast_at), _crossing(sheet, rows, _p10, slow_at)
    if fast is None or slow is None or all(row.p10 == row.p90 for row in rows):
        return []
    y_fast, y_slow = sheet.up_px(fast_at), sheet.up_px(slow_at)
    return [
        Word(fast - 8, y_fast, "1 in 10 ahead", "right", "glaze"),
        Word(slow + 8, y_slow, "1 in 10 behind", "left", "glaze"),
    ]


def _crossing(
    sheet: ChartSheet[date], rows: Sequence[FanDay], pieces: Callable[[FanDay], int], value: float
) -> float | None:
    """Return where a line first reaches a value, if it does. [px]"""
    day = next((row.date for row in rows if pieces(row) >= value), None)
    return None if day is None else sheet.at_px(day)
