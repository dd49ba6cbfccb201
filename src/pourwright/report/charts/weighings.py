"""A mold's weighings over days, the dry weight under them, and how they go on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from math import ceil, floor

from pourwright.report.charts.days import reach, short_day
from pourwright.report.charts.frame import Drawing, below_px, calendar_marks, drawing, within
from pourwright.report.charts.marks import DISC_PX, Mark, band, curve, disc, level
from pourwright.report.charts.records import Days, Look, Weighing
from pourwright.report.charts.sheet import ChartSheet
from pourwright.report.charts.words import BOLD, Align, Word, width_px

HEIGHT = {"phone": 300, "desktop": 340}
LOW_PX = 84.0
"""Height of the line alone. [px]"""
_STEPS = (0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
_LEVELS = 5


def weighings_chart(
    rows: Sequence[Weighing], look: Look, *, dry_kg: float | None = None, dry: Days | None = None
) -> Drawing:
    """Return the weighings of one mold by day, two at least, and how they go on.

    ``dry_kg`` is what it weighs dry, by its mix [kg]; ``dry`` between which days it will be
    dry, eight in ten, drawn only with ``dry_kg``.
    """
    days = [row.day for row in rows]
    ahead = _ahead(rows[-1], dry_kg, dry) if dry_kg is not None and dry else []
    masses = [row.kg for row in rows] + ([dry_kg] if dry_kg is not None else [])
    step = next((s for s in _STEPS if (max(masses) - min(masses)) / s <= _LEVELS), _STEPS[-1])
    low, high = floor(min(masses) / step) * step, ceil(max(masses) / step + 1e-9) * step
    sheet = _sheet([*days, *(day for day, _, _ in ahead)], look, low, high + (high == low))
    grid, names = calendar_marks(sheet)
    values = [low + n * step for n in range(round((high - low) / step) + 1)]
    marks: list[Mark] = [*grid, *(level(sheet, value, "hair") for value in values)]
    marks += _line_down(sheet, rows, ahead, dry_kg)
    words = [*_dry_word(sheet, rows[-1], dry_kg, dry), *_masses(sheet, values), *names]
    return drawing(sheet, marks, words)


def weighings_line(
    rows: Sequence[Weighing], look: Look, *, dry_kg: float | None = None, dry: Days | None = None
) -> Drawing:
    """Return the same as a line alone, so low that a number pad has room below it: no days, no scale."""
    ahead = _ahead(rows[-1], dry_kg, dry) if dry_kg is not None and dry else []
    first, last = reach([*(row.day for row in rows), *(day for day, _, _ in ahead)], None)
    masses = [row.kg for row in rows] + ([dry_kg] if dry_kg is not None else [])
    low, high = min(masses), max(masses)
    left, bottom = look.edge_px + DISC_PX, LOW_PX - look.line_px - 2
    high += high == low
    sheet = ChartSheet(look, LOW_PX, left, DISC_PX + 2, bottom, first, last, low=low, high=high)
    words = [
        replace(one, y_px=one.y_px + 1.3 * look.line_px)
        for one in _dry_word(sheet, rows[-1], dry_kg, dry)
    ]
    return drawing(sheet, _line_down(sheet, rows, ahead, dry_kg), words)


def _line_down(
    sheet: ChartSheet[date],
    rows: Sequence[Weighing],
    ahead: Sequence[tuple[date, float, float]],
    dry_kg: float | None,
) -> list[Mark]:
    """Return the weighings, how they go on, and the weight that they go down to."""
    marks: list[Mark] = [band(sheet, ahead, "glaze-pale")] if ahead else []
    if dry_kg is not None:
        marks.append(level(sheet, dry_kg, "glaze"))
    marks.append(curve(sheet, [(row.day, row.kg) for row in rows], "ink"))
    return [*marks, *(disc(sheet, row.day, row.kg, "ink") for row in rows)]


def _ahead(last: Weighing, dry_kg: float, dry: Days) -> list[tuple[date, float, float]]:
    """Return the fast and the slow way from the last weighing down to dry, straight."""
    first, end = last.day, max(dry[1], last.day)
    days = sorted({first, *(day for day in dry if day > first)})

    def at(day: date, until: date) -> float:
        span = (until - first).days
        share = min((day - first).days / span, 1.0) if span > 0 else 1.0
        return last.kg + share * (dry_kg - last.kg)

    return [(day, at(day, dry[0]), at(day, end)) for day in days]


def _sheet(days: Sequence[date], look: Look, low: float, high: float) -> ChartSheet[date]:
    first, last = reach(days, None)
    height = HEIGHT[look.name]
    gutter = width_px(f"{high:.2f} kg", look.text_px) * BOLD + 8
    return ChartSheet(
        look,
        height,
        left_px=look.edge_px + gutter,
        top_px=look.top_px,
        bottom_px=height - below_px(look),
        first=first,
        last=last,
        low=low,
        high=high,
    )


def _masses(sheet: ChartSheet[date], values: Sequence[float]) -> list[Word]:
    x = sheet.left_px - 6
    return [Word(x, sheet.up_px(kg), f"{kg:g} kg", "right", "soft") for kg in reversed(values)]


def _dry_word(
    sheet: ChartSheet[date], last: Weighing, dry_kg: float | None, dry: Days | None
) -> list[Word]:
    """Return the word on the dry line, when it is reached if that is known; left of a last disc near it."""
    if dry_kg is None:
        return []
    when = f", {short_day(dry[0])} to {short_day(dry[1])}" if dry and dry[0] < dry[1] else ""
    line_px = sheet.up_px(dry_kg)
    is_near = line_px - sheet.up_px(last.kg) < 1.5 * sheet.look.line_px
    x = sheet.left_px + 4 if is_near else sheet.right_px
    side: Align = "left" if is_near else "right"
    word = Word(
        x, line_px - sheet.look.line_px * 0.6, f"dry{when}", side, "glaze", bold=True, must=True
    )
    return [within(word, sheet.look)]
