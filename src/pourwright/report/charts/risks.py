"""What moves the finish most, each input alone from its low to its high end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from pourwright.report.charts.days import reach, short_day
from pourwright.report.charts.frame import (
    Drawing,
    below_px,
    calendar_marks,
    deadline_marks,
    drawing,
    within,
)
from pourwright.report.charts.marks import Ground, Mark, bar, box, disc, upright
from pourwright.report.charts.records import Deadline, Look, RiskBar
from pourwright.report.charts.sheet import ChartSheet, rows_sheet
from pourwright.report.charts.words import BOLD, Word, width_px, wrapped

BAR_PX = 8.0
HIGH_PX, LOW_PX = 5.2, 4.7
"""Radius of the disc and of the ring, which its line makes larger. [px]"""
BESIDE_PX = 9.0
"""From the middle of a mark to the date beside it. [px]"""
NAMES_SHARE = 0.38
"""Part of a wide image that the names take. [-]"""
LOW, HIGH, APART = "○", "●", "\N{EM SPACE}"


@dataclass(frozen=True, slots=True)
class _Placed:
    """An input on the image: the lines of its name, its top, its bar's middle, its bottom. [px]"""

    risk: RiskBar
    lines: list[tuple[float, str]]
    top: float
    bar: float
    bottom: float


def risks_chart(
    rows: Sequence[RiskBar], look: Look, *, average: date, deadline: Deadline | None = None
) -> Drawing:
    """Return how far each input moves the finish, the largest first; one at least.

    A ring is the low end of an input, a disc its high end; ``average`` is the average
    finish of all ways it may go.
    """
    placed = _placed(rows, look)
    sheet = _sheet(placed, look, average, deadline)
    grid, names = calendar_marks(sheet)
    line, due = deadline_marks(sheet, deadline)
    bars = [bar(sheet, *row.risk.days, row.bar, "glaze-mid", thick_px=BAR_PX) for row in placed]
    highs = [disc(sheet, row.risk.finish_high, row.bar, "glaze", HIGH_PX) for row in placed]
    lows = [
        disc(sheet, row.risk.finish_low, row.bar, "glaze", LOW_PX, open_=True) for row in placed
    ]
    marks: list[Mark] = [
        *grid,
        *line,
        upright(sheet, average, "ink", 1.5, dashed=True),
        *_behind_names(sheet, placed),
        *bars,
        *highs,
        *lows,
    ]
    said = f"on average {short_day(average, month_first=look.month_first)}"
    word = Word(sheet.at_px(average), look.head_px[1], said, "center", bold=True)
    return drawing(
        sheet,
        marks,
        [*due, within(word, look), *_names(sheet, placed), *_dates(sheet, placed), *names],
    )


def _placed(rows: Sequence[RiskBar], look: Look) -> list[_Placed]:
    """Return the rows with the lines of their names and the heights of all."""
    narrow = look.name == "phone"
    placed, y = [], look.top_px + 4
    for row in rows:
        lines = _lines(row, _room_px(look), look.text_px)
        height = len(lines) * look.line_px
        middle = y + height + 12 if narrow else y + height / 2
        placed.append(_Placed(row, lines, top=y, bar=middle, bottom=y + height))
        y = middle + 22 if narrow else y + height + 14
    return placed


def _room_px(look: Look) -> float:
    """Return the room of a line of names: the whole image, or a column beside the bars. [px]"""
    whole = look.width_px - 2 * look.edge_px
    return whole if look.name == "phone" else look.width_px * NAMES_SHARE - look.edge_px - 12


def _lines(row: RiskBar, room: float, size: float) -> list[tuple[float, str]]:
    """Return how far in each line of a row's name begins, and its text."""
    inset = width_px(LOW, size) + 4
    named = [(0.0, line) for line in wrapped(row.what, room / BOLD, size)]
    both = f"{LOW} {row.low}{APART}{HIGH} {row.high}"
    if width_px(both, size) <= room:
        return [*named, (0.0, both)]
    for mark, text in ((LOW, row.low), (HIGH, row.high)):
        first, *more = wrapped(text, room - inset, size)
        named += [(0.0, f"{mark} {first}"), *((inset, line) for line in more)]
    return named


def _sheet(
    placed: Sequence[_Placed], look: Look, average: date, deadline: Deadline | None
) -> ChartSheet[date]:
    """Return the sheet, with room for a date on either side of the longest bar."""
    days = [average, *(day for row in placed for day in row.risk.days)]
    first, last = reach(days, deadline.day if deadline else None)
    narrow = look.name == "phone"
    left = look.edge_px if narrow else look.width_px * NAMES_SHARE
    room = look.width_px - look.edge_px - left
    beside = width_px("30 Sep", look.text_px) + BESIDE_PX + 4
    per_day = (last - first) / max(room - 2 * beside, 1)
    margin = per_day * beside
    first, last = first - margin, last + margin
    bottom = (placed[-1].bar if narrow else placed[-1].bottom) + 14
    return rows_sheet(look, bottom + below_px(look), left, look.top_px, bottom, first, last)


def _names(sheet: ChartSheet[date], placed: Sequence[_Placed]) -> list[Word]:
    """Return the lines of the names, those before the ends of the input in bold."""
    look = sheet.look
    return [
        Word(
            look.edge_px + inset,
            row.top + look.line_px * (i + 0.5),
            line,
            bold=not inset and line[0] not in (LOW, HIGH),
            must=True,
        )
        for row in placed
        for i, (inset, line) in enumerate(row.lines)
    ]


def _behind_names(sheet: ChartSheet[date], placed: Sequence[_Placed]) -> list[Ground]:
    """Return what keeps the uprights off the names where these stand over the bars."""
    if sheet.look.name != "phone":
        return []
    beside = (sheet.right_px - sheet.left_px) / 50
    left, right = sheet.left_px - beside, sheet.right_px + beside
    return [box(left, row.top - 5, right, row.bottom, "plaster") for row in placed]


def _dates(sheet: ChartSheet[date], placed: Sequence[_Placed]) -> list[Word]:
    """Return the dates at the ends of the bars."""
    words = []
    for row in placed:
        first, last = row.risk.days
        early, late = (short_day(one, month_first=sheet.look.month_first) for one in (first, last))
        words.append(Word(sheet.at_px(last) + BESIDE_PX, row.bar, late))
        if first != last:
            words.append(Word(sheet.at_px(first) - BESIDE_PX, row.bar, early, "right"))
    return words
