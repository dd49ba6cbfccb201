"""What was just written down, and putting it right: the last entries, undo, change."""

from __future__ import annotations

import os
import secrets
from pathlib import Path
from typing import Any

import click

from pourwright.cli.book.files import answered, clock_option, folder_option, now_at, opened

_TYPED = "typed"


class _EntryNumber(click.IntRange):
    """An entry by its number in the book."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Read it, or say where the numbers of entries are shown."""
        try:
            return super().convert(value, param, ctx)
        except click.BadParameter:
            said = f"{value!r} is no entry; write its number, as pourwright book last shows it."
            raise click.BadParameter(said, ctx, param) from None


def typed_id() -> str:
    """Return a new id for a command of this terminal."""
    return f"{_TYPED}-{_terminal()}-{secrets.token_hex(8)}"


def _terminal() -> str:
    """Return what tells this terminal from another: its session, or the program that began this one."""
    session = os.getsid(0) if hasattr(os, "getsid") else os.getppid()
    return f"{session:x}"


@click.command("last", epilog="\b\nExamples:\n  pourwright book last\n  pourwright book last 30\n")
@click.argument("count", type=click.IntRange(1, 1000), default=10)
@click.option("--edition", metavar="ID", help="Only of one edition. Without it: of all.")
def last_command(count: int, folder: Path, edition: str | None) -> None:
    """Show the newest entries with their numbers: ten, or COUNT."""
    from pourwright.studio.records import last_lines

    book = opened(folder)
    with book.store, book.reading() as reading:
        for line in last_lines(reading, book.zone, count, edition):
            click.echo(line)


@click.command("undo", epilog="\b\nExamples:\n  pourwright book undo\n  pourwright book undo 41\n")
@click.argument("entry", type=_EntryNumber(1, 10**12), required=False)
def undo_command(entry: int | None, folder: Path, today: str | None) -> None:
    """Take back what was typed last at this terminal, or ENTRY: it did not happen.

    It stays in the book with the entry that takes it back.
    """
    from pourwright.studio.records import last_by

    book = opened(folder)
    with book.store:
        if entry is None:
            with book.reading() as reading:
                mine = f"{_TYPED}-{_terminal()}-"
                entry = last_by(reading, mine, now_at(today, book.zone))
        command: dict[str, object] = {"do": "correct", "entry": entry, "void": True}
        answer = answered(book, {**command, "id": typed_id()}, now_at(today, book.zone))
    click.echo(answer.said)


@click.command(
    "change",
    epilog="\b\nExamples:\n  pourwright book change 41 good=7\n"
    '  pourwright book change 41 good=7 "lost=2 warp" at=2027-03-01\n',
)
@click.argument("entry", type=_EntryNumber(1, 10**12))
@click.argument("fields", nargs=-1, required=True, metavar="FIELD=VALUE...")
@click.option("--why", metavar="TEXT", help="Why. Such as: counted again.")
def change_command(
    entry: int, fields: tuple[str, ...], folder: Path, why: str | None, today: str | None
) -> None:
    """Put the fields of ENTRY right; a FIELD without a value is taken away.

    The entry stays as it was written, and what followed is worked out again.
    """
    from pourwright.errors import BadInput, as_written

    changes: dict[str, object] = {}
    for one in fields:
        name, is_told, value = one.partition("=")
        if not is_told or not name.strip():
            raise BadInput.one("change", as_written(one), "write fields such as good=7")
        changes[name.strip().replace("-", "_")] = value.strip() or None
    command: dict[str, object] = {"do": "correct", "entry": entry, "changes": changes}
    book = opened(folder)
    with book.store:
        told = {**command, **({"why": why} if why else {}), "id": typed_id()}
        answer = answered(book, told, now_at(today, book.zone))
    click.echo(answer.said)


MENDING = (last_command, undo_command, change_command)
for _one in MENDING:
    _one.params.append(folder_option())
for _one in (undo_command, change_command):
    _one.params.append(clock_option())
