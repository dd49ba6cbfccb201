"""Sections on a terminal: readable in 80 columns, without color, and when piped."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from textwrap import wrap
from typing import TextIO

from rich.box import SIMPLE_HEAD
from rich.cells import cell_len
from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table as Grid
from rich.text import Text as Line

from pourwright.report.blocks import (
    Block,
    Caution,
    FactRow,
    Facts,
    Figure,
    Glance,
    Row,
    Section,
    Steps,
    Table,
    Text,
    Week,
    Weeks,
)
from pourwright.report.saying import tight

WIDTH = 80
"""Columns when nobody is looking: piped output is the same everywhere."""

WIDEST = 100
"""Columns past which lines are hard to follow, however wide the terminal."""


def console_for(stream: TextIO | None = None) -> Console:
    """Return a console on a stream, standard output if none is given.

    A terminal gets its own width, up to :data:`WIDEST` columns; anything else
    gets :data:`WIDTH` columns and no color.
    """
    console = Console(file=stream or sys.stdout, highlight=False, markup=False, emoji=False)
    console.width = min(console.width, WIDEST) if console.is_terminal else WIDTH
    return console


def show_sections(console: Console, title: str, sections: Iterable[Section]) -> None:
    """Print a title and the sections below it, without spaces at the ends of lines.

    A section without a title goes on below the one before it.
    """
    with console.capture() as captured:
        console.print(Line(title, style="bold"))
        for section in sections:
            if section.title:
                console.print()
                console.rule(Line(section.title, style="bold"), align="left", style="dim")
            for block in section.blocks:
                console.print()
                console.print(_drawn(block, console.width))
    shown = captured.get().replace(JOIN, " ")
    console.file.write("\n".join(line.rstrip(" ") for line in shown.split("\n")))


JOIN = "\ue000"
"""Stands for a space inside an amount or a date while lines are broken: rich breaks at every space."""


def _whole_words(text: str) -> str:
    """Return text whose amounts and dates stay on one line."""
    return tight(text).replace("\N{NO-BREAK SPACE}", JOIN)


def _drawn(block: Block, width: int) -> RenderableType:
    """Return a block as rich draws it."""
    match block:
        case Text():
            return Line(_whole_words(block.text), style="dim" if block.tone == "note" else "")
        case Glance():
            return _glance(block)
        case Facts():
            return _facts(block.rows)
        case Table():
            return _table(block, width)
        case Caution():
            return _caution(block, width)
        case Steps():
            return _steps(block)
        case Weeks():
            return _weeks(block, width)
        case Figure():
            return _figure(block)


def _glance(block: Glance) -> RenderableType:
    """Return the answer: its sentence, then its lines."""
    return Group(Line(_whole_words(block.sentence), style="bold"), "", _facts(block.rows))


def _facts(rows: tuple[FactRow, ...]) -> RenderableType:
    """Return lines of label, value and note; where one is long, the note goes on behind its value."""
    rows = tuple((label, _whole_words(value), _whole_words(note)) for label, value, note in rows)
    grid = Grid.grid(padding=(0, 2))
    grid.add_column(overflow="fold")
    if any(len(value) > SHORT_VALUE or len(note) > SHORT_NOTE for _, value, note in rows):
        for label, value, note in rows:
            grid.add_row(label, Line.assemble((value, "bold"), (f"  {note}".rstrip(), "dim")))
        return grid
    grid.add_column(min_width=12, overflow="fold")
    grid.add_column(ratio=1, overflow="fold")
    for label, value, note in rows:
        grid.add_row(label, Line(value, style="bold"), Line(note, style="dim"))
    return grid


def _table(block: Table, width: int) -> RenderableType:
    """Return a table: caption above, one rule under the titles, the mark as a word."""
    grid = Grid(
        box=SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1, 0, 0), header_style=""
    )
    mark = bool(block.marked and block.mark_word)
    rows = [_cells(row, block, index) if mark else row for index, row in enumerate(block.rows)]
    rows = [tuple(map(_whole_words, row)) for row in rows]
    few = len(block.columns) <= FEW_COLUMNS
    rooms = [
        max((cell_len(row[at]) for row in rows), default=0) for at in range(len(block.columns))
    ]
    titles = [
        _stacked(title, max(room, 12) if few else room)
        for (title, _), room in zip(block.columns, rooms, strict=True)
    ]
    whole = _whole_columns(block, rows, titles, rooms, width)
    for index, (title, (_, side)) in enumerate(zip(titles, block.columns, strict=True)):
        grid.add_column(title, justify=side, no_wrap=index in whole, overflow="fold")
    for index, row in enumerate(rows):
        grid.add_row(*row, style="bold" if index in block.marked else "")
    notes = [f"* {block.mark_word}"] if mark else []
    notes += [_whole_words(block.note)] if block.note else []
    below = [Line("\n" + "\n".join(notes), style="dim")] if notes else []
    return Group(Line(block.caption, style="bold"), grid, *below)


FEW_COLUMNS = 4
"""So many columns leave room for titles of two words in a line."""

SHORT = 24
"""Characters of a cell that stays on one line, such as a date or a weight."""

SHORT_VALUE = 14
"""Characters of a value that leaves its note a column of its own."""
SHORT_NOTE = 90
"""Characters of a note that has room in a column of its own."""

LONGEST_NAME = 32
"""Characters of a row's name that stays on one line, such as a field's path."""

SHORT_IN_LIST = 16
"""The same for the values of a list, which leave their room to the words after them."""


BETWEEN = 2
"""Columns of the terminal that part two columns of a table."""


def _whole_columns(
    block: Table, rows: list[Row], titles: list[str], rooms: list[int], width: int
) -> set[int]:
    """Return the columns whose cells stay on one line: the widest fold first where there is no room.

    A column that may not fold would lose its last letters.
    """
    words = [
        max(
            cell_len(word)
            for one in (title, *(row[at] for row in rows))
            for word in [*one.split(), ""]
        )
        for at, title in enumerate(titles)
    ]
    whole = {at for at, room in enumerate(rooms) if room <= _whole(block, at)}

    def needed() -> int:
        wide = (max(rooms[at], word) if at in whole else word for at, word in enumerate(words))
        return sum(wide) + BETWEEN * len(words)

    while whole and needed() > width:
        whole.remove(max(whole, key=lambda at: (rooms[at], at)))
    return whole


def _whole(block: Table, column: int) -> int:
    """Return how many characters of a column's cells stay on one line."""
    if column == 0:
        return LONGEST_NAME
    return SHORT_IN_LIST if block.narrow == "list" else SHORT


def _cells(row: tuple[str, ...], block: Table, index: int) -> tuple[str, ...]:
    """Return a row's cells, the first one with a star if the row is marked."""
    star = "* " if index in block.marked else "  "
    return (star + row[0], *row[1:])


def _stacked(title: str, room: int) -> str:
    """Return a column's title over several lines when its cells are narrow."""
    longest = max(map(len, title.split()))
    return "\n".join(wrap(title, max(longest, room)))


def _caution(block: Caution, width: int) -> RenderableType:
    """Return a caution beside a bar, each line of it."""
    words = Line.assemble((f"{block.title}. ", "bold"), _whole_words(block.text))
    lines = words.wrap(Console(width=width), width - 4)
    grid = Grid.grid(padding=(0, 1))
    for line in lines:
        grid.add_row("|", line)
    return Padding(grid, (0, 0, 0, 1))


def _steps(block: Steps) -> RenderableType:
    """Return numbered steps, their lines hanging."""
    grid = Grid.grid(padding=(0, 1))
    for number, item in enumerate(block.items, start=1):
        grid.add_row(f"{number}.", _whole_words(item))
    return grid


def _weeks(block: Weeks, width: int) -> RenderableType:
    """Return a calendar by week, its columns alike from week to week."""
    rows = [row for week in block.weeks for row in week.rows]
    days, hands = (max((len(row[at]) for row in rows), default=0) for at in (0, 2))
    if width < 60:
        days, hands = min(days, 11), min(hands, 11)  # such as "12 h 40 min"
    if len(block.weeks) == 1:  # the caption and the titles of week and hands in one line
        [week] = block.weeks
        title = Grid.grid(expand=True)
        title.add_column(ratio=1)
        title.add_column(justify="right")
        title.add_row(
            Line(f"{block.caption}, {week.title}", style="bold"), block.columns[2] if hands else ""
        )
        return Group(title, _week(week, days, hands))
    lines: list[RenderableType] = [Line(f"{block.caption} ({', '.join(block.columns).lower()})")]
    for week in block.weeks:
        note = (f", {week.note}", "dim") if week.note else ""
        lines += ["", Line.assemble((week.title, "bold"), note), _week(week, days, hands)]
    return Group(*lines)


def _week(week: Week, days: int, hands: int) -> RenderableType:
    """Return the lines of one week, so many characters wide for its days and its hands."""
    grid = Grid.grid(padding=(0, 1), expand=True)
    grid.add_column(width=days + 1, overflow="fold")
    grid.add_column(ratio=1, overflow="fold")
    grid.add_column(justify="right", width=hands + 2, overflow="fold")
    for row in week.rows:
        grid.add_row(*map(_whole_words, row))
    return grid


def _figure(block: Figure) -> RenderableType:
    """Return a picture in words; its table is for the page, where it can be folded."""
    return Group(Line(block.title, style="bold"), _whole_words(block.alt))
