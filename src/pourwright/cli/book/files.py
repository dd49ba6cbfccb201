"""The book as a whole on the command line: lines from a script, verified, copied, restored, written out."""

from __future__ import annotations

import secrets
import sys
from collections.abc import Iterator
from datetime import datetime, time
from pathlib import Path
from typing import IO, TYPE_CHECKING

import click

if TYPE_CHECKING:
    from pourwright.ledger.answer import BookAnswer
    from pourwright.studio.book import Book

REFUSED_STATUS = 2


def folder_option() -> click.Option:
    """Return the option that names the studio's folder."""
    return click.Option(
        ["--folder", "folder"],
        metavar="FOLDER",
        type=click.Path(path_type=Path),
        default=Path(),
        help="The studio's folder, which holds studio.toml and book.db. Without it: this folder.",
    )


def clock_option() -> click.Option:
    """Return the option that writes as if it were another day."""
    return click.Option(
        ["--today", "today"],
        metavar="DATE",
        help="Write as if it were this day, for trials only. Without it: the day it is.",
    )


def with_folder(command: click.Command) -> click.Command:
    """Return a command with the option of the folder."""
    command.params.append(folder_option())
    return command


def opened(folder: Path, *, create: bool = False, anew: bool = False) -> Book:
    """Open the book of a folder; ``anew`` says to begin one although there was one before."""
    from pourwright.ledger.file.trouble import BookGone
    from pourwright.studio.book import open_book

    say_if_older(folder)
    try:
        return open_book(folder, create=create, anew=anew)
    except BookGone as gone:
        begin = f'pourwright book note --text "a new book" {GO_ON}'
        raise BookGone(f"{gone} To begin a new one all the same, run: {begin}") from None


def say_if_older(folder: Path) -> None:
    """Say that a book of an older version is brought up to date before it is opened."""
    from pourwright.studio.book import said_before_opening

    if words := said_before_opening(folder):
        click.echo(words, err=True)


GO_ON = "--go-on"


def answered(book: Book, command: dict[str, object], now: datetime) -> BookAnswer:
    """Have the book keep a command, and return its answer; what it asks is asked at the terminal.

    Raises
    ------
    StudioError
        If it is refused, or the book asks and nobody is there to answer.
    """
    from pourwright.errors import Asks
    from pourwright.studio.book import do

    try:
        return do(book, command, now)
    except Asks as asks:
        if not sys.stdin.isatty():
            hint = f"Nothing is written. To go on all the same, add {GO_ON}."
            raise Asks([*asks.sentences, hint], asks.rules) from None
        for sentence in asks.sentences:
            click.echo(sentence, err=True)
        click.confirm("Go on all the same?", abort=True, err=True)
    return do(book, {**command, "go_on": True}, now)


def now_at(today: str | None, zone: str) -> datetime:
    """Return the moment it is, or the evening of another day that is tried."""
    from zoneinfo import ZoneInfo

    from pourwright.reading import read_day

    now = datetime.now().astimezone()
    if today is None:
        return now
    day = read_day(today, now.date(), "--today")
    return datetime.combine(day, time(21), ZoneInfo(zone))


@click.command(
    "run",
    epilog="\b\nExamples:\n  pourwright book run today.jsonl\n"
    "  pourwright book run - < today.jsonl > answers.jsonl\n"
    "  pourwright book run examples/fernwick-jug/year.jsonl --clock-in-file --folder trial\n",
)
@click.argument("file", type=click.File("r", encoding="utf-8"))
@click.option(
    "--clock-in-file",
    is_flag=True,
    help='Let lines such as {"clock": "2025-03-04T17:00"} set the clock for the lines below them. '
    "For examples and trials: in a real book the studio's own clock says when an entry was written.",
)
def run_command(file: IO[str], folder: Path, *, clock_in_file: bool) -> int:
    """Write down what FILE says, an entry a line as JSON; "-" reads from standard input.

    Prints one answer a line as JSON. A command that is refused changes nothing and does
    not keep the next from being done; then the exit status is 2.
    """
    from pourwright.ledger.answer import answer_text
    from pourwright.studio.book import do_lines

    refused = done = 0
    now = datetime.now().astimezone()
    book = opened(folder, create=True)
    with book.store:
        for answer in do_lines(book, _whole_lines(file), now, clock_in_file=clock_in_file):
            click.echo(answer_text(answer))
            done, refused = done + answer.ok, refused + (not answer.ok)
    click.echo(f"{done} done, {refused} refused.", err=True)
    return REFUSED_STATUS if refused else 0


def _whole_lines(file: IO[str]) -> Iterator[str]:
    """Yield the lines of a file; text that is not UTF-8 is a fault of the file."""
    from pourwright.errors import BadInput

    try:
        yield from file
    except UnicodeDecodeError:
        raise BadInput.one("the file", file.name, "it must be text in UTF-8") from None


@click.command(
    "keep-photo",
    epilog="\b\nExample:\n  pourwright book keep-photo lid.jpg --edition tide-cup --about P-00007\n",
)
@click.argument("file", type=click.File("rb"))
@click.option("--edition", metavar="ID", help="The edition it belongs to. Without it: the studio.")
@click.option("--about", metavar="TEXT", help="What it is of: a label such as P-00007 or M-004.")
@click.option("--id", "command_id", metavar="TEXT", help="An id of its own. Without it: a new one.")
def keep_photo_command(
    file: IO[bytes], folder: Path, edition: str | None, about: str | None, command_id: str | None
) -> None:
    """Keep FILE, a photo as JPEG, PNG or WebP, beside the book, and name it there.

    It is decoded in a process of its own and written anew: where and with what it was taken
    is left out.
    """
    from pourwright.studio.photos import MOST_BYTES, decoded_photo, name_photo

    told = {"edition": edition, "about": about, "id": command_id or secrets.token_hex(8)}
    given = {name: value for name, value in told.items() if value is not None}
    decoded = decoded_photo(file.read(MOST_BYTES + 1))  # no book is made for a photo that is none
    book = opened(folder, create=True)
    with book.store:
        answer = name_photo(folder, book, decoded, given, datetime.now().astimezone())
    click.echo(answer.said)


@click.command(
    "verify",
    epilog="\b\nExample:\n  pourwright book verify --checkpoint 4182:9c1d0a2b3c4d5e6f\n",
)
@click.option(
    "--checkpoint",
    "checkpoints",
    metavar="SEQ:DIGEST",
    multiple=True,
    help="What the book's end was once, from a printed page or a copy's name. May be given more than once.",
)
def verify_command(folder: Path, checkpoints: tuple[str, ...]) -> int:
    """Check that the book is as it was written: file, chain, and all that follows from it.

    What this computer last saw in the book is compared too. At the end stands what mends it.
    """
    from pourwright.studio.book import said_of_place, verify_book

    book = opened(folder)
    with book.store:
        found = verify_book(book, checkpoints)
    if doubt := said_of_place(folder):
        click.echo(doubt, err=True)
    for fault in found.faults:
        click.echo(fault, err=True)
    if found.faults:
        click.echo(f"{len(found.faults)} faults in {found.entries} entries. {found.mend}", err=True)
        return REFUSED_STATUS
    click.echo(f"{found.entries} entries, all as written. Checkpoint {found.checkpoint}")
    return 0


@click.command("rebuild", epilog="\b\nExample:\n  pourwright book rebuild --folder pottery\n")
def rebuild_command(folder: Path) -> None:
    """Work out everything but the entries anew, and say what was otherwise.

    The entries are checked one by one and put into a new file; documents, tables, guards and the
    index of words are made from them. The book that is there is kept beside it.
    """
    from pourwright.studio.book import rebuild_book

    entries, otherwise, aside = rebuild_book(folder, datetime.now().astimezone())
    for one in otherwise:
        click.echo(one)
    if otherwise:
        click.echo(f"All of this is mended. {entries} entries. The book before is kept: {aside}")
    else:
        click.echo(f"{entries} entries, and nothing was otherwise. Nothing was changed.")


@click.command("backup", epilog="\b\nExample:\n  pourwright book backup --into /media/stick/book\n")
@click.option(
    "--into",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="Where copies are kept. Without it: copies, in the studio's folder.",
)
def backup_command(folder: Path, into: Path | None) -> None:
    """Copy the book, check the copy, and let old copies go."""
    from pourwright.studio.book import back_up_book

    say_if_older(folder)
    path, entries = back_up_book(folder, into, datetime.now().astimezone())
    click.echo(f"{entries} entries copied and verified: {path}")


@click.command("restore", epilog="\b\nExample:\n  pourwright book restore copies/book-1.db\n")
@click.argument("copy", type=click.Path(path_type=Path))
def restore_command(copy: Path, folder: Path) -> None:
    """Put a COPY in the book's place; the book that is there is kept beside it."""
    from pourwright.studio.book import restore_book

    entries, aside = restore_book(copy, folder, datetime.now().astimezone())
    kept = f" The book before is kept: {aside}" if aside else ""
    click.echo(f"{entries} entries restored.{kept}")


@click.command("export", epilog="\b\nExample:\n  pourwright book export book.jsonl\n")
@click.argument("file", type=click.Path(path_type=Path))
def export_command(file: Path, folder: Path) -> None:
    """Write the book to FILE as text, one JSON line an entry."""
    from pourwright.studio.book import export_book

    say_if_older(folder)
    click.echo(f"{export_book(folder, file)} entries written: {file}")


@click.command("import", epilog="\b\nExample:\n  pourwright book import book.jsonl --folder new\n")
@click.argument("file", type=click.Path(path_type=Path))
def import_command(file: Path, folder: Path) -> None:
    """Fill an empty book from FILE, which export wrote; every line is checked."""
    from pourwright.studio.book import import_book

    click.echo(f"{import_book(file, folder)} entries read and verified.")


RUN = with_folder(run_command)
FILES = tuple(
    map(
        with_folder,
        (
            keep_photo_command,
            verify_command,
            rebuild_command,
            backup_command,
            restore_command,
            export_command,
            import_command,
        ),
    )
)
