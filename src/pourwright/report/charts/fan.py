"""Pieces finished over time: the middle course, and how far luck spreads it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

from pourwright.report.charts.days import reach, short
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
from pourwright.report.charts.words import BOLD, Word, width_px

if TYPE_CHECKING:
    import altair as alt

HEIGHT = {"phone": 320, "desktop": 380}
LEAD = timedelta(days=7)
"""Before the first piece is finished nothing happens on this chart; so much of it is shown."""
FAST_AT, SLOW_AT = 0.8, 0.2
"""Heights at which the two dashed lines are named, where the fan leaves room. [-]"""


def fan_chart(
    rows: Sequence[Row],
    look: Look,
    *,
    wanted: int,
    deadline: Deadline | None = None,
    finish: Mapping[str, date] | None = None,
) -> Spec:
    """Return the fan of pieces finished by day.

    Parameters
    ----------
    rows : sequence of mapping
        ``date`` (a day) and ``p10``, ``p25``, ``p50``, ``p75``, ``p90``: pieces
        finished by then, of which so many in a hundred runs have fewer; by date.
        At least one row.
    look : Look
        The size it is drawn in.
    wanted : int
        Pieces and proofs wanted. [pieces]
    deadline : Deadline, optional
        The date wished for.
    finish : mapping, optional
        Days ``p10``, ``p50``, ``p90`` by which the last piece is finished.

    Returns
    -------
    dict
        A Vega-Lite view.
    """
    rows = _busy(rows)
    sheet = _sheet(rows, look, wanted, deadline)
    grid, names = calendar_marks(sheet)
    line, due = deadline_marks(sheet, deadline)
    steps = [n for n in counted(wanted) if sheet.up_px(n) - sheet.up_px(wanted) > look.line_px]
    marks = [
        *grid,
        levels(sheet, [*steps, wanted], "hair"),
        band(sheet, rows, "p10", "p90", "celadon-pale"),
        band(sheet, rows, "p25", "p75", "celadon-mid"),
        *(
            curve(sheet, _until_full(rows, p), p, "celadon", 1.5, dashed=True)
            for p in ("p90", "p10")
        ),
        *line,
        curve(sheet, _until_full(rows, "p50"), "p50", "ink", 2.5),
        *_finish_marks(sheet, finish, wanted),
    ]
    words = [*due, *_numbers(sheet, [*steps, wanted]), *_finish_words(sheet, finish)]
    return view(sheet, marks, [*words, *names, *_edges(sheet, rows, wanted)])


def _busy(rows: Sequence[Row]) -> list[Row]:
    """Return the rows from shortly before the first piece may be finished, to the end."""
    first = next((row["date"] for row in rows if row["p90"] > 0), rows[0]["date"])
    full = max(row["p10"] for row in rows)
    last = next(row["date"] for row in rows if row["p10"] >= full)
    kept = [row for row in rows if first - LEAD <= row["date"] <= last + LEAD]
    return kept or list(rows)


def _until_full(rows: Sequence[Row], field: str) -> list[Row]:
    """Return the rows up to the first that has as many as the last."""
    full = max(row[field] for row in rows)
    return [row for i, row in enumerate(rows) if not i or rows[i - 1][field] < full]


def _sheet(rows: Sequence[Row], look: Look, wanted: int, deadline: Deadline | None) -> Sheet:
    """Return the sheet: a gutter for numbers, two lines of words above."""
    first, last = reach((r["date"] for r in rows), deadline.day if deadline else None)
    most = max(wanted, *(r["p90"] for r in rows), 1)
    height = HEIGHT[look.name]
    gutter = width_px(str(most), look.text_px) * BOLD + 8
    return Sheet(
        look,
        height,
        left_px=look.edge_px + gutter,
        top_px=look.top_px,
        bottom_px=height - below_px(look),
        first=first,
        last=last,
        high=most,
    )


def _numbers(sheet: Sheet, values: Sequence[int]) -> list[Word]:
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


def _finish_marks(sheet: Sheet, finish: Mapping[str, date] | None, wanted: int) -> list[alt.Chart]:
    """Return the disc where half the runs are finished and the ring where nine in ten are."""
    if finish is None:
        return []
    ring, disc = ([{"date": finish[p], "y": wanted}] for p in ("p90", "p50"))
    return [discs(sheet, ring, "y", "celadon", open_=True), discs(sheet, disc, "y", "ink")]


def _finish_words(sheet: Sheet, finish: Mapping[str, date] | None) -> list[Word]:
    """Return the words above disc and ring, which lean away from each other."""
    if finish is None:
        return []
    y = sheet.look.head_px[1]
    half = Word(
        sheet.at_px(finish["p50"]) + 6, y, f"half by {short(finish['p50'])}", "right", bold=True
    )
    nine = Word(
        sheet.at_px(finish["p90"]) - 6, y, f"9 in 10 by {short(finish['p90'])}", color="celadon"
    )
    return [within(half, sheet), within(nine, sheet)]


def _edges(sheet: Sheet, rows: Sequence[Row], wanted: int) -> list[Word]:
    """Return the names of the two dashed lines, beside them where there is room.

    Lines that lie on one another, or never rise so high, are not named.
    """
    fast = _crossing(sheet, rows, "p90", FAST_AT * wanted)
    slow = _crossing(sheet, rows, "p10", SLOW_AT * wanted)
    if fast is None or slow is None or all(row["p10"] == row["p90"] for row in rows):
        return []
    y_fast, y_slow = sheet.up_px(FAST_AT * wanted), sheet.up_px(SLOW_AT * wanted)
    return [
        Word(fast - 8, y_fast, "1 in 10 ahead", "right", "celadon"),
        Word(slow + 8, y_slow, "1 in 10 behind", "left", "celadon"),
    ]


def _crossing(sheet: Sheet, rows: Sequence[Row], field: str, value: float) -> float | None:
    """Return where a line first reaches a value, if it does. [px]"""
    day = next((row["date"] for row in rows if row[field] >= value), None)
    return None if day is None else sheet.at_px(day)
