"""What all charts share: named days, the date wished for, words, and the finished view."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import groupby
from typing import Protocol

import altair as alt

from pourwright.report.charts.days import short, ticks
from pourwright.report.charts.marks import MARK, chart_of, uprights
from pourwright.report.charts.palette import LIGHT
from pourwright.report.charts.records import Deadline, Look
from pourwright.report.charts.sheet import Sheet, Spec
from pourwright.report.charts.words import Align, Word, width_px, with_room


class Ground(Protocol):
    """What a view is laid on: the size of the image."""

    @property
    def look(self) -> Look:
        """Its width and its text."""

    @property
    def height_px(self) -> float:
        """Its height. [px]"""


def calendar_marks(sheet: Sheet, free_px: float = 0) -> tuple[list[alt.Chart], list[Word]]:
    """Return the uprights of named days, and their names some way below the chart."""
    look = sheet.look
    widest = width_px("30 Sep", look.text_px) + 10
    named = ticks(sheet.first, sheet.last, (sheet.right_px - sheet.left_px) / widest)
    y = sheet.bottom_px + look.line_px * 0.7 + free_px
    words = []
    for tick in named:
        x = sheet.at_px(tick.day)
        words.append(Word(x + 1, y, tick.label, color="soft"))
        if tick.year:
            words.append(Word(x + 1, y + look.line_px, tick.year, color="soft"))
    return [uprights(sheet, [tick.day for tick in named], "hair")], words


def below_px(look: Look) -> float:
    """Return the room for the names of days below a chart. [px]"""
    return 2.3 * look.line_px + 2


def deadline_marks(sheet: Sheet, deadline: Deadline | None) -> tuple[list[alt.Chart], list[Word]]:
    """Return the iron line of the date wished for, and its word above it.

    A date beyond the chart gets an arrow at the edge and no line.
    """
    if deadline is None:
        return [], []
    text, day = f"{deadline.word} {short(deadline.day)}", deadline.day
    y_px = sheet.look.head_px[0]
    left, right = sheet.look.edge_px, sheet.right_px
    if day < sheet.first:
        return [], [_iron(left, y_px, f"← {text} {day.year}", "left")]
    if day > sheet.last:
        return [], [_iron(right, y_px, f"{text} {day.year} →", "right")]
    word = _iron(sheet.at_px(day), y_px, text, "center")
    return [uprights(sheet, [day], "iron", MARK["line"])], [within(word, sheet)]


def _iron(x: float, y: float, text: str, align: Align) -> Word:
    """Return a word about the date wished for."""
    return Word(x, y, text, align, "iron", bold=True, must=True)


def within(word: Word, sheet: Ground) -> Word:
    """Return a word moved aside so that it ends on the image."""
    size = sheet.look.text_px
    left, _, right, _ = word.box_px(size)
    low, high = 1.0, sheet.look.width_px - 1.0
    over = min(0.0, high - right) or max(0.0, low - left)
    return replace(word, x_px=word.x_px + over)


def counted(high: float, most: int = 5) -> list[int]:
    """Return round numbers from 0 up to a number, few enough to read.

    Examples
    --------
    >>> counted(26), counted(1)
    ([0, 10, 20], [0, 1])
    """
    sizes = (base * 10**power for power in range(9) for base in (1, 2, 5))
    step = next(size for size in sizes if high / size <= most)
    return list(range(0, int(high) + 1, step))


def day_after(day: date) -> date:
    """Return the next day, where a bar that includes a day ends."""
    return day + timedelta(days=1)


def view(sheet: Ground, marks: Sequence[alt.Chart], words: Iterable[Word]) -> Spec:
    """Return the finished view: marks in their order, and the words that find room on top.

    Parameters
    ----------
    sheet : Ground
        The sheet of the chart.
    marks : sequence of altair.Chart
        The marks, the lowest first.
    words : iterable of Word
        The words, the more telling ones first.

    Returns
    -------
    dict
        A Vega-Lite view.
    """
    look, height = sheet.look, round(sheet.height_px)
    kept = with_room(words, look.text_px, look.width_px, height)
    layers = [*marks, *_texts(kept, look, height)]
    chart = (
        alt.layer(*layers)
        .resolve_scale(x="independent", y="independent")
        .properties(width=look.width_px, height=height, padding=0, autosize="none")
        .properties(background="transparent")
        .configure_view(stroke=None)
    )
    spec: Spec = chart.to_dict()
    return spec


def _texts(words: list[Word], look: Look, height: float) -> list[alt.Chart]:
    """Return the words as marks, those of one kind together."""

    def kind(word: Word) -> tuple[str, str, bool]:
        return word.align, word.color, word.bold

    layers = []
    for _, group in groupby(sorted(words, key=kind), key=kind):
        alike = list(group)
        rows = [{"x": round(w.x_px, 1), "y": round(w.y_px, 1), "text": w.text} for w in alike]
        mark: alt.Chart = chart_of(rows).mark_text(
            align=alike[0].align,
            baseline="middle",
            fontSize=look.text_px,
            fontWeight="bold" if alike[0].bold else "normal",
            color=LIGHT[alike[0].color],
            stroke=LIGHT["slip"],
            strokeWidth=3,
        )
        layers.append(
            mark.encode(
                x=alt.X("x", type="quantitative", scale=_pixels(look.width_px), axis=None),
                y=alt.Y("y", type="quantitative", scale=_pixels(height), axis=None),
                text=alt.Text("text", type="nominal"),
            )
        )
    return layers


def _pixels(length_px: float) -> alt.Scale:
    """Return the scale of pixels on the image."""
    return alt.Scale(domain=[0, length_px], range=[0, length_px], nice=False)
