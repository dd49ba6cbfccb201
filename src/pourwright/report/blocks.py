"""What a sheet is made of: sections of text, facts, tables, cautions, steps and weeks.

A block holds words that are ready to be read, never numbers to be formatted. The
HTML page and the terminal both draw the same blocks.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

Tone: TypeAlias = Literal["plain", "lead", "note"]
Align: TypeAlias = Literal["left", "right"]
Narrow: TypeAlias = Literal["fit", "cards", "list"]
Outcome: TypeAlias = Literal["holds", "late", "open"]
"""Whether the date wished for holds, is missed, or was not given."""
Row: TypeAlias = tuple[str, ...]
FactRow: TypeAlias = tuple[str, str, str]
"""Label, value and a note, which may be empty."""


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph: plain, the lead of its section, or a softer note."""

    text: str
    tone: Tone = "plain"


@dataclass(frozen=True, slots=True)
class Glance:
    """The answer in one look: one sentence, then a few ruled lines of label, value, note."""

    sentence: str
    rows: tuple[FactRow, ...]
    tone: Outcome = "open"


@dataclass(frozen=True, slots=True)
class Facts:
    """Lines of label, value and note."""

    rows: tuple[FactRow, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table; the first cell of each row names the row.

    Parameters
    ----------
    caption : str
        What the table shows; it is printed above it and read out first.
    columns : tuple of (str, "left" or "right")
        The title of each column and the side it is set to.
    rows : tuple of tuple of str
        The cells, as many in each row as there are columns.
    marked : tuple of int
        Rows to mark, counted from 0; ``mark_word`` is written beside their first
        cell, so that the mark does not rest on color.
    note : str
        A sentence below the table.
    strong : tuple of int
        Columns to be read from a step away, such as weights; counted from 0.
    narrow : "fit", "cards" or "list"
        What happens on a phone: the table fits, each row becomes a card, or each row becomes an entry of two or three lines.
    tick : bool
        Whether paper shows an empty box before each row, to be ticked.
    """

    caption: str
    columns: tuple[tuple[str, Align], ...]
    rows: tuple[Row, ...]
    marked: tuple[int, ...] = ()
    mark_word: str = "chosen"
    note: str = ""
    strong: tuple[int, ...] = ()
    narrow: Narrow = "cards"
    tick: bool = False


@dataclass(frozen=True, slots=True)
class Caution:
    """What can hurt at this step, the usual care, and who decides."""

    text: str
    title: str = "Take care"


@dataclass(frozen=True, slots=True)
class Steps:
    """Things done one after the other."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Week:
    """One week of a calendar, or several alike: a title and (days, doing, hands) lines."""

    title: str
    rows: tuple[FactRow, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class Weeks:
    """A calendar by week.

    The first ``near`` weeks stand open on a screen and the others fold under ``later``; all of
    them do where there are no others.
    """

    caption: str
    weeks: tuple[Week, ...]
    columns: tuple[str, str, str] = ("Days", "To do", "Hands")
    near: int = 0
    later: str = ""

    @property
    def has_hands(self) -> bool:
        """Whether the hands' time of any day is told; a column without one is left out."""
        return any(hands for week in self.weeks for _, _, hands in week.rows)


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture, its words, and the same numbers in a table.

    Parameters
    ----------
    name : str
        Its short name, the same for the same kind of picture.
    title : str
        What is shown, and in which unit.
    alt : str
        What the picture tells, in one sentence with numbers.
    table : Table
        The same numbers.
    key : str
        What its marks mean, as far as they are not named where they stand.
    svg_phone, svg_desktop : str
        ``svg`` elements for a narrow and a wide page, whose colors are the page's
        custom properties; empty where only words are shown.
    """

    name: str
    title: str
    alt: str
    table: Table
    key: str = ""
    svg_phone: str = ""
    svg_desktop: str = ""


Block: TypeAlias = Text | Glance | Facts | Table | Caution | Steps | Weeks | Figure


@dataclass(frozen=True, slots=True)
class Section:
    """A titled part of a sheet; ``id`` is its anchor.

    ``fresh_page`` starts it on a page of its own when printed, so that it can be
    pinned up by itself. One with a ``headline`` folds under it on a screen, where it
    stands for what is inside; it is printed open, unless it is ``folded``: then it is
    printed only if it was opened.
    """

    id: str
    title: str
    blocks: tuple[Block, ...]
    fresh_page: bool = False
    folded: bool = False
    headline: str = ""
