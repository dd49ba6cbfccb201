"""What moves the finish most, each input alone from its low to its high end."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from pourwright.report.charts.days import reach, short
from pourwright.report.charts.frame import (
    below_px,
    calendar_marks,
    deadline_marks,
    view,
    within,
)
from pourwright.report.charts.marks import bars, discs, grounds, uprights
from pourwright.report.charts.records import Deadline, Look
from pourwright.report.charts.sheet import Row, Sheet, Spec, rows_sheet
from pourwright.report.charts.words import BOLD, Word, width_px, wrapped

if TYPE_CHECKING:
    import altair as alt

BAR_PX = 8.0
BESIDE_PX = 9.0
"""From the middle of a mark to the date beside it. [px]"""
NAMES_SHARE = 0.38
"""Part of a wide image that the names take. [-]"""
LOW, HIGH, APART = "○", "●", "\N{EM SPACE}"


def risks_chart(
    rows: Sequence[Row], look: Look, *, middle: date, deadline: Deadline | None = None
) -> Spec:
    """Return how far each input moves the finish.

    Parameters
    ----------
    rows : sequence of mapping
        ``what`` (the input's name), ``low`` and ``high`` (its ends, as text), and
        the days ``finish_low`` and ``finish_high`` by which half the runs are
        finished at these ends; the largest first. At least one row.
    look : Look
        The size it is drawn in.
    middle : date
        The day by which half of all runs are finished.
    deadline : Deadline, optional
        The date wished for.

    Returns
    -------
    dict
        A Vega-Lite view. A ring is the low end of an input, a disc its high end.
    """
    placed = _placed(rows, look)
    sheet = _sheet(placed, look, middle, deadline)
    grid, names = calendar_marks(sheet)
    line, due = deadline_marks(sheet, deadline)
    spans = [{"date": min(days := _ends(r)), "until": max(days), "y": r["bar"]} for r in placed]
    lows, highs = (
        [{"date": r[end], "y": r["bar"]} for r in placed] for end in ("finish_low", "finish_high")
    )
    marks = [
        *grid,
        *line,
        uprights(sheet, [middle], "ink", 1.5, dashed=True),
        *_behind_names(sheet, placed),
        bars(sheet, spans, "celadon-mid", thick_px=BAR_PX),
        discs(sheet, highs, "y", "celadon", size=110),
        discs(sheet, lows, "y", "celadon", open_=True, size=90),
    ]
    word = Word(
        sheet.at_px(middle), look.head_px[1], f"half by {short(middle)}", "center", bold=True
    )
    return view(
        sheet,
        marks,
        [*due, within(word, sheet), *_names(sheet, placed), *_dates(sheet, placed), *names],
    )


def _ends(row: Row) -> tuple[date, date]:
    """Return the days of a row."""
    return row["finish_low"], row["finish_high"]


def _placed(rows: Sequence[Row], look: Look) -> list[dict[str, Any]]:
    """Return the rows with the lines of their names and the heights of all."""
    narrow = look.name == "phone"
    placed, y = [], look.top_px + 4
    for row in rows:
        lines = _lines(row, _room_px(look), look.text_px)
        height = len(lines) * look.line_px
        bar = y + height + 12 if narrow else y + height / 2
        placed.append({**row, "lines": lines, "top": y, "bar": bar, "bottom": y + height})
        y = bar + 22 if narrow else y + height + 14
    return placed


def _room_px(look: Look) -> float:
    """Return the room of a line of names: the whole image, or a column beside the bars. [px]"""
    whole = look.width_px - 2 * look.edge_px
    return whole if look.name == "phone" else look.width_px * NAMES_SHARE - look.edge_px - 12


def _lines(row: Row, room: float, size: float) -> list[tuple[float, str]]:
    """Return how far in each line of a row's name begins, and its text."""
    inset = width_px(LOW, size) + 4
    named = [(0.0, line) for line in wrapped(row["what"], room / BOLD, size)]
    both = f"{LOW} {row['low']}{APART}{HIGH} {row['high']}"
    if width_px(both, size) <= room:
        return [*named, (0.0, both)]
    for mark, text in ((LOW, row["low"]), (HIGH, row["high"])):
        first, *more = wrapped(text, room - inset, size)
        named += [(0.0, f"{mark} {first}"), *((inset, line) for line in more)]
    return named


def _sheet(placed: Sequence[Row], look: Look, middle: date, deadline: Deadline | None) -> Sheet:
    """Return the sheet, with room for a date on either side of the longest bar."""
    days = [middle, *(day for row in placed for day in _ends(row))]
    first, last = reach(days, deadline.day if deadline else None)
    narrow = look.name == "phone"
    left = look.edge_px if narrow else look.width_px * NAMES_SHARE
    room = look.width_px - look.edge_px - left
    beside = width_px("30 Sep", look.text_px) + BESIDE_PX + 4
    per_day = (last - first) / max(room - 2 * beside, 1)
    margin = per_day * beside
    first, last = first - margin, last + margin
    bottom = (placed[-1]["bar"] if narrow else placed[-1]["bottom"]) + 14
    return rows_sheet(look, bottom + below_px(look), left, look.top_px, bottom, first, last)


def _names(sheet: Sheet, placed: Sequence[Row]) -> list[Word]:
    """Return the lines of the names, those before the ends of the input in bold."""
    look = sheet.look
    return [
        Word(
            look.edge_px + inset,
            row["top"] + look.line_px * (i + 0.5),
            line,
            bold=not inset and line[0] not in (LOW, HIGH),
            must=True,
        )
        for row in placed
        for i, (inset, line) in enumerate(row["lines"])
    ]


def _behind_names(sheet: Sheet, placed: Sequence[Row]) -> list[alt.Chart]:
    """Return what keeps the uprights off the names where these stand over the bars."""
    if sheet.look.name != "phone":
        return []
    beside = (sheet.last - sheet.first) / 50
    whole = {"date": sheet.first - beside, "until": sheet.last + beside}
    return [
        grounds(sheet, [{**whole, "y": r["top"] - 5, "y2": r["bottom"]} for r in placed], "slip")
    ]


def _dates(sheet: Sheet, placed: Sequence[Row]) -> list[Word]:
    """Return the dates at the ends of the bars."""
    words = []
    for row in placed:
        first, last = min(_ends(row)), max(_ends(row))
        words.append(Word(sheet.at_px(last) + BESIDE_PX, row["bar"], short(last)))
        if first != last:
            words.append(Word(sheet.at_px(first) - BESIDE_PX, row["bar"], short(first), "right"))
    return words
