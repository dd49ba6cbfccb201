"""Words on a chart: how much room they take, and which of them find room.

The image is laid out before any browser sees it, and system fonts differ. Widths
are therefore those of a wide one, so that what fits here fits with every font.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, TypeAlias

from pourwright.report.charts.palette import Token

Align: TypeAlias = Literal["left", "center", "right"]

LINE = 1.35
"""From one line of text to the next, in sizes of the text. [-]"""

BOLD = 1.12
"""How much wider bold letters run. [-]"""

ROUNDING_PX = 0.01
"""Boxes that share no more than this stand side by side. [px]"""

_NARROW = frozenset("iljftrI.,:;!'|()[] -/·")
_WIDE = frozenset("mwMWQO@%—●○◆")
_FULL_WIDTH = ("W", "F")
_TIED = re.compile(r"(?<=\d) ")
"""A number and its unit stay on one line."""


def width_px(text: str, size_px: float) -> float:
    """Return the room a line of text takes at most, in any common system font. [px]

    Examples
    --------
    >>> width_px("mold", 10)
    27.4
    """
    return round(sum(_advance(char) for char in text) * size_px, 1)


def _advance(char: str) -> float:
    """Return how far a character moves the next one, in sizes of the text. [-]"""
    if char in _NARROW:
        return 0.42
    if char in _WIDE:
        return 1.0
    if unicodedata.east_asian_width(char) in _FULL_WIDTH or not char.isprintable():
        return 1.1
    if unicodedata.combining(char):
        return 0.0
    return 0.78 if char.isupper() else 0.66 if ord(char) < 0x2000 else 1.1


def shortened(text: str, room_px: float, size_px: float) -> str:
    """Return a line that fits, cut with an ellipsis if it has to be.

    Examples
    --------
    >>> shortened("casting and fettling", 90, 13)
    'casting a…'
    """
    if width_px(text, size_px) <= room_px:
        return text
    kept = text
    while kept and width_px(kept + "…", size_px) > room_px:
        kept = kept[:-1].rstrip()
    return kept + "…"


def wrapped(text: str, room_px: float, size_px: float, most: int = 2) -> list[str]:
    """Return a text broken between words into lines that fit, the last one cut if need be.

    Examples
    --------
    >>> wrapped("casting and fettling", 90, 13)
    ['casting and', 'fettling']
    """
    lines: list[str] = []
    for word in _TIED.sub("\N{NO-BREAK SPACE}", text).split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and (width_px(longer, size_px) <= room_px or len(lines) == most):
            lines[-1] = longer
        else:
            lines.append(word)
    return [shortened(line, room_px, size_px) for line in lines]


@dataclass(frozen=True, slots=True)
class Word:
    """A line of text on the image.

    ``x_px`` is its left end, middle or right end, by ``align``; ``y_px`` its middle
    height. A word that ``must`` be seen is kept even where there is little room.
    """

    x_px: float
    y_px: float
    text: str
    align: Align = "left"
    color: Token = "ink"
    bold: bool = False
    must: bool = False

    def box_px(self, size_px: float) -> tuple[float, float, float, float]:
        """Return left, top, right and bottom of the room it takes. [px]"""
        width = width_px(self.text, size_px) * (BOLD if self.bold else 1.0)
        left = self.x_px - {"left": 0.0, "center": width / 2, "right": width}[self.align]
        half = size_px * LINE / 2
        return left, self.y_px - half, left + width, self.y_px + half


def with_room(words: Iterable[Word], size_px: float, width: float, height: float) -> list[Word]:
    """Return the words that lie on the image and over none of the words before them."""
    kept: list[Word] = []
    taken: list[tuple[float, float, float, float]] = []
    for word in words:
        box = word.box_px(size_px)
        inside = box[0] >= 0 and box[1] >= 0 and box[2] <= width and box[3] <= height
        if word.must or (inside and not any(_touch(box, other) for other in taken)):
            kept.append(word)
            taken.append(box)
    return kept


def _touch(
    one: tuple[float, float, float, float], other: tuple[float, float, float, float]
) -> bool:
    """Return whether two boxes share room."""
    across = min(one[2], other[2]) - max(one[0], other[0])
    down = min(one[3], other[3]) - max(one[1], other[1])
    return across > ROUNDING_PX and down > ROUNDING_PX
