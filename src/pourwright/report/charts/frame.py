"""What all charts share: named days, the date wished for, words, and the finished drawing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from pourwright.report.charts.days import short_day, ticks
from pourwright.report.charts.marks import LINE_PX, LineMark, Mark, upright
from pourwright.report.charts.records import Deadline, Look
from pourwright.report.charts.sheet import At, ChartSheet
from pourwright.report.charts.words import Align, Word, width_px, with_room


@dataclass(frozen=True, slots=True)
class Drawing:
    """A chart as it is laid out: its size, its marks, the lowest first, and its words on top."""

    look: Look
    height_px: int
    marks: tuple[Mark, ...]
    words: tuple[Word, ...]


def drawing(sheet: ChartSheet[At], marks: Sequence[Mark], words: Iterable[Word]) -> Drawing:
    """Return the finished drawing; of its words, the more telling ones first, those that find room."""
    look, height = sheet.look, round(sheet.height_px)
    kept = with_room(words, look.text_px, look.width_px, height)
    boxes = [word.box_px(look.text_px) for word in kept]
    whole = (piece for mark in marks for piece in _beside_words(mark, boxes))
    return Drawing(look, height, tuple(whole), tuple(kept))


def _beside_words(mark: Mark, boxes: Sequence[tuple[float, float, float, float]]) -> Iterator[Mark]:
    """Yield what of a mark is drawn: the iron upright of a date strikes no word through."""
    if not isinstance(mark, LineMark) or mark.color != "iron" or len(mark.points) > 2:
        yield mark
        return
    (x_px, from_px), (end_x_px, to_px) = mark.points
    if x_px != end_x_px:
        yield mark
        return
    y_px, ends_px = sorted((from_px, to_px))
    under = sorted(box[1::2] for box in boxes if box[0] < x_px < box[2])
    for top_px, bottom_px in (*under, (ends_px, ends_px)):
        if y_px < min(top_px, ends_px):
            yield replace(mark, points=((x_px, y_px), (end_x_px, min(top_px, ends_px))))
        y_px = max(y_px, bottom_px)


def calendar_marks(
    sheet: ChartSheet[date], free_px: float = 0
) -> tuple[list[LineMark], list[Word]]:
    """Return the uprights of named days, and their names some way below the chart."""
    look = sheet.look
    widest = width_px("30 Sep", look.text_px) + 10
    room = (sheet.right_px - sheet.left_px) / widest
    named = ticks(sheet.first, sheet.last, room, month_first=look.month_first)
    y = sheet.bottom_px + look.line_px * 0.7 + free_px
    words = []
    for tick in named:
        x = sheet.at_px(tick.day)
        words.append(Word(x + 1, y, tick.label, color="soft"))
        if tick.year:
            words.append(Word(x + 1, y + look.line_px, tick.year, color="soft"))
    return [upright(sheet, tick.day, "hair") for tick in named], words


def below_px(look: Look) -> float:
    """Return the room for the names of days below a chart. [px]"""
    return 2.3 * look.line_px + 2


def deadline_marks(
    sheet: ChartSheet[date], deadline: Deadline | None
) -> tuple[list[LineMark], list[Word]]:
    """Return the iron line of the date wished for, and its word above it.

    A date beyond the chart gets an arrow at the edge and no line.
    """
    if deadline is None:
        return [], []
    day = deadline.day
    text = f"{deadline.word} {short_day(day, month_first=sheet.look.month_first)}"
    y_px = sheet.look.head_px[0]
    left, right = sheet.look.edge_px, sheet.right_px
    dated = f"{text}, {day.year}" if sheet.look.month_first else f"{text} {day.year}"
    if day < sheet.first:
        return [], [_iron(left, y_px, f"← {dated}", "left")]
    if day > sheet.last:
        return [], [_iron(right, y_px, f"{dated} →", "right")]
    word = _iron(sheet.at_px(day), y_px, text, "center")
    return [upright(sheet, day, "iron", LINE_PX)], [within(word, sheet.look)]


def _iron(x: float, y: float, text: str, align: Align) -> Word:
    """Return a word about the date wished for."""
    return Word(x, y, text, align, "iron", bold=True, must=True)


def within(word: Word, look: Look) -> Word:
    """Return a word moved aside so that it ends on the image."""
    left, _, right, _ = word.box_px(look.text_px)
    low, high = 1.0, look.width_px - 1.0
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
