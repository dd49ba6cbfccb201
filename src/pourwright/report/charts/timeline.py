"""Stages and molds as bars along the calendar."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from pourwright.report.charts.days import reach
from pourwright.report.charts.frame import (
    Drawing,
    below_px,
    calendar_marks,
    day_after,
    deadline_marks,
    drawing,
)
from pourwright.report.charts.marks import Ground, Mark, bar, box, diamond, disc
from pourwright.report.charts.palette import Token
from pourwright.report.charts.records import (
    Days,
    Deadline,
    Finish,
    Kind,
    Look,
    MoldLife,
    StageBar,
)
from pourwright.report.charts.sheet import ChartSheet, rows_sheet
from pourwright.report.charts.words import Word, shortened, width_px

STYLES: dict[Kind, tuple[Token, Token | None, float, bool]] = {
    "prepare": ("plaster", "soft", 8.0, False),
    "hands": ("soft", None, 8.0, False),
    "dry": ("sheet", "line", 8.0, True),
    "fire": ("ochre", "plaster", 14.0, False),
}
"""Fill, edge, height [px] and whether the edge is dashed: told apart without color."""
ROW_PX = 25.0
MOLD_ROW_PX = 19.0
FINISHED = "Finished"
NAMES_SHARE = 0.3
"""Most of the image's width that names beside the bars take. [-]"""


@dataclass(frozen=True, slots=True)
class _Line:
    """A row on the image: its name and where, and the height of its bars."""

    name: Word
    y: float


def timeline_chart(
    stages: Sequence[StageBar],
    molds: Sequence[MoldLife],
    look: Look,
    *,
    finish: Finish,
    closed: Sequence[Days] = (),
    deadline: Deadline | None = None,
) -> Drawing:
    """Return stages and molds along the calendar, each in its order; there may be none.

    ``closed`` are spells in which nothing is done.
    """
    days = _days(stages, molds, finish)
    first, last = reach(days, deadline.day if deadline else None, margin=0.03)
    left, names = _gutter(stages, molds, look)
    lines, bottom = _lines(stages, molds, look, names)
    sheet = rows_sheet(look, bottom + below_px(look), left, look.top_px, bottom, first, last)
    grid, labels = calendar_marks(sheet)
    line, due = deadline_marks(sheet, deadline)
    at = len(stages)
    marks: list[Mark] = [
        *_closed(sheet, closed),
        *grid,
        *line,
        *_stage_bars(sheet, stages, [row.y for row in lines[:at]]),
        *_finish_marks(sheet, finish, lines[at].y),
        *_mold_bars(sheet, molds, [row.y for row in lines[at + 1 :]]),
    ]
    words = [*due, *(row.name for row in lines), *_closed_words(sheet, closed), *labels]
    return drawing(sheet, marks, words)


def _days(stages: Sequence[StageBar], molds: Sequence[MoldLife], finish: Finish) -> list[date]:
    """Return every day that must be on the chart."""
    spells = [spell for stage in stages for spell in stage.spells]
    spells += [mold.used for mold in molds if mold.used] + ([finish.spell] if finish.spell else [])
    return [
        finish.day,
        *(mold.poured for mold in molds),
        *(day for spell in spells for day in spell),
    ]


def _gutter(
    stages: Sequence[StageBar], molds: Sequence[MoldLife], look: Look
) -> tuple[float, float]:
    """Return where the days begin, and the room of a name beside them. [px]

    On a phone the names of stages stand above their bars, so only those of molds
    need room beside.
    """
    names = [mold.name for mold in molds]
    if look.name == "desktop":
        names += [FINISHED, *(stage.name for stage in stages)]
    widest = max((width_px(name, look.text_px) for name in names), default=0.0)
    room = min(widest, look.width_px * NAMES_SHARE)
    return look.edge_px + room + (10 if room else 0), room


def _lines(
    stages: Sequence[StageBar], molds: Sequence[MoldLife], look: Look, room: float
) -> tuple[list[_Line], float]:
    """Return the rows of stages, finish and molds, and where the last one ends. [px]"""
    narrow = look.name == "phone"
    whole = look.width_px - 2 * look.edge_px
    lines, y = [], look.top_px + 4
    for name in (*(stage.name for stage in stages), FINISHED):
        text = shortened(name, whole if narrow else room, look.text_px)
        above = look.line_px if narrow else 0.0
        bar = y + above + (8 if narrow else ROW_PX / 2)
        middle = y + look.line_px / 2 if narrow else bar
        lines.append(_Line(Word(look.edge_px, middle, text, must=True), bar))
        y = bar + (12 if narrow else ROW_PX / 2)
    y += 10 if molds else 0
    for mold in molds:
        text = shortened(mold.name, room, look.text_px)
        lines.append(
            _Line(Word(look.edge_px, y + MOLD_ROW_PX / 2, text, must=True), y + MOLD_ROW_PX / 2)
        )
        y += MOLD_ROW_PX
    return lines, y + 4


def _stage_bars(
    sheet: ChartSheet[date], stages: Sequence[StageBar], heights: Sequence[float]
) -> list[Ground]:
    """Return the bars of stages, each kind in its style."""
    marks = []
    for stage, y in zip(stages, heights, strict=True):
        fill, edge, thick, dashed = STYLES[stage.kind]
        for first, last in stage.spells:
            until = day_after(last)
            marks.append(bar(sheet, first, until, y, fill, edge, thick_px=thick, dashed=dashed))
    return marks


def _finish_marks(sheet: ChartSheet[date], finish: Finish, y: float) -> list[Mark]:
    """Return the range of the finish and its disc."""
    as_planned = disc(sheet, finish.day, y, "ink")
    if finish.spell is None:
        return [as_planned]
    first, last = finish.spell
    return [bar(sheet, first, day_after(last), y, "glaze-mid", "glaze"), as_planned]


def _mold_bars(
    sheet: ChartSheet[date], molds: Sequence[MoldLife], heights: Sequence[float]
) -> list[Ground]:
    """Return for each mold its drying, its use, and a diamond where it is worn."""
    marks = []
    for mold, y in zip(molds, heights, strict=True):
        dry = mold.used[0] if mold.used else day_after(mold.poured)
        marks.append(bar(sheet, mold.poured, dry, y, "sheet", "line", thick_px=8, dashed=True))
        if mold.used:
            first, until = mold.used[0], day_after(mold.used[1])
            marks.append(bar(sheet, first, until, y, "soft", thick_px=8))
            marks += [diamond(sheet, until, y, "ochre")] if mold.worn else []
    return marks


def _closed(sheet: ChartSheet[date], closed: Sequence[Days]) -> list[Ground]:
    """Return the grounds of days on which nothing is done."""
    return [
        box(
            sheet.at_px(max(first, sheet.first)),
            sheet.top_px,
            sheet.at_px(min(day_after(last), sheet.last)),
            sheet.bottom_px,
            "sheet",
        )
        for first, last in closed
        if first < sheet.last and last > sheet.first
    ]


def _closed_words(sheet: ChartSheet[date], closed: Sequence[Days]) -> list[Word]:
    """Return the word for closed days, where it has room above them."""
    y = sheet.look.head_px[1]
    return [
        Word((sheet.at_px(first) + sheet.at_px(last)) / 2, y, "closed", "center", "soft")
        for first, last in closed
        if sheet.first <= first and last <= sheet.last
    ]
