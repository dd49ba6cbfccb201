"""The book of a studio: opened, told what happened, checked, copied, restored, written out and read again.

Page and command call these; neither knows the ledger.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import count
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from msgspec.structs import replace

from pourwright.briefs.studio_fields import FIELDS as STUDIO_FIELDS
from pourwright.briefs.studio_file import STUDIO_FILE, read_studio
from pourwright.errors import BadInput, NotDoable, StudioError, as_written
from pourwright.ledger.answer import BookAnswer, BookRefusal
from pourwright.ledger.book import Book as Book
from pourwright.ledger.book import refusal_of
from pourwright.ledger.file.backup import COPIES, back_up
from pourwright.ledger.file.chain import REBUILD, Fault, read_checkpoint
from pourwright.ledger.file.exporting import export_to, import_from
from pourwright.ledger.file.opening import is_older
from pourwright.ledger.file.places import doubt_about
from pourwright.ledger.file.putting_back import rebuild, restore
from pourwright.ledger.file.store import Store, gone_said
from pourwright.ledger.file.transaction import Head
from pourwright.ledger.file.trouble import BookGone, BookTrouble
from pourwright.ledger.file.witness import PUT_BACK
from pourwright.ledger.one_json import one_json
from pourwright.ledger.replaying import replay

BOOK_FILE = "book.db"
SOONEST_DRY_DAYS = int(
    str(next(one.default for one in STUDIO_FIELDS if one.name == "drying.days_low"))
)
"""How soon a mold is dry where no studio's file says it. [days]"""


def book_path(where: Path) -> Path:
    """Return a book's file: in a studio's folder it is ``book.db``.

    Examples
    --------
    >>> book_path(Path("elsewhere.db")).as_posix()
    'elsewhere.db'
    """
    return where if where.suffix == ".db" else where / BOOK_FILE


def open_book(where: Path | str, *, create: bool = True, anew: bool = False) -> Book:
    """Open a studio's book; a new one is made if there is none.

    Parameters
    ----------
    where : Path or str
        The studio's folder, or the book's own file.
    create : bool, optional
        Whether a new book may be made.
    anew : bool, optional
        Whether one is meant although there was a book before.

    Returns
    -------
    Book
        With the zone and the pints of the ``studio.toml`` beside it.

    Raises
    ------
    StudioError
        If there is no folder, no book and none may be made, or it cannot be used.
    """
    path = book_path(Path(where))
    if not path.parent.is_dir():
        raise NotDoable(f"There is no folder {path.parent}. Make it, or name another one.")
    if not create and not path.exists():
        if gone := gone_said(path):
            raise BookGone(f"{gone} {PUT_BACK}")
        raise NotDoable(
            f"There is no book in {path.parent}. The first entry makes one: pourwright book plan-edition."
        )
    zone, prefer, dry_days = _customs(path.with_name(STUDIO_FILE))
    return Book(Store.open(path, create=create, anew=anew), zone, prefer, dry_days)


OLDER = (
    "This book is of an older version and is brought up to date first; with ten years of records "
    "that takes up to a minute. A verified copy of it as it was stays beside it."
)


def said_before_opening(where: Path) -> str:
    """Return what is said before a book of an older version is opened; empty if it is of this one."""
    return OLDER if is_older(book_path(where)) else ""


def said_of_place(where: Path) -> str:
    """Return what is said where a book lies in a folder that may harm it; else nothing."""
    return doubt_about(book_path(where).parent)


def bring_book_up_to_date(where: Path) -> None:
    """Bring a book of an older version up to date, as every opening of it does.

    Raises
    ------
    StudioError
        If it cannot be used.
    """
    open_book(where, create=False).store.close()


def _customs(file: Path) -> tuple[str, str | None, int]:
    """Return the zone of the studio beside a book, whose pints are meant, and how soon a mold is dry."""
    if not file.is_file():
        return "UTC", None, SOONEST_DRY_DAYS
    studio = read_studio(file, datetime.now().astimezone().date())
    about = studio.studio
    return about.zone, "us" if about.units == "us" else None, studio.drying.days_low


def do(book: Book, command: Mapping[str, object], now: datetime) -> BookAnswer:
    """Have the book keep what a command says.

    Parameters
    ----------
    book : Book
        The book.
    command : mapping
        ``do``, ``id`` and the verb's fields.
    now : datetime
        The studio's clock, with a time zone.

    Raises
    ------
    StudioError
        If the command cannot be read or is refused; nothing was written then.
    """
    return book.do(command, now)


def do_lines(
    book: Book, lines: Iterable[str], now: datetime, *, clock_in_file: bool = False
) -> Iterator[BookAnswer | BookRefusal]:
    """Do one command a line; one that is refused does not keep the next from being done.

    Parameters
    ----------
    book : Book
        The book.
    lines : iterable of str
        JSON objects; empty lines, and lines that begin with #, are passed over.
    now : datetime
        The studio's clock, with a time zone.
    clock_in_file : bool, optional
        Let lines such as ``{"clock": "2025-03-04T17:00"}`` set the clock; for
        examples and trials.

    Yields
    ------
    dict
        An answer for each command, a refusal among them; a refusal tells its line.
    """
    for number, line in zip(count(1), lines, strict=False):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        command: object = None
        # Answering a line with a refusal is the contract of a run; the other lines go on.
        try:
            command = _read_line(number, line)
            if clock_in_file and set(command) == {"clock"}:
                now = _clock(number, command["clock"], book.zone)
            else:
                yield book.do(command, now)
        except StudioError as error:
            yield replace(refusal_of(command, error), line=number)


def _read_line(number: int, line: str) -> dict[str, Any]:
    """Read a line; one value that JSON has twice, or a number that is none, is no command."""
    try:
        command = one_json(line)
    except ValueError:
        raise BadInput.one(
            f"line {number}",
            as_written(line.strip()),
            'write one command, each field once, such as {"do": "cast", "id": "1"}',
        ) from None
    if not isinstance(command, dict):
        raise BadInput.one(
            f"line {number}", as_written(command), 'write an object, such as {"do": "cast"}'
        )
    return command


def _clock(number: int, written: object, zone: str) -> datetime:
    """Read the moment to which a line sets the clock, in the studio's zone unless it says its own."""
    try:
        moment = datetime.fromisoformat(written if isinstance(written, str) else "")
    except ValueError:
        raise BadInput.one(
            f"line {number}: clock", as_written(written), "write a moment, such as 2025-03-04T17:00"
        ) from None
    return moment if moment.tzinfo else moment.replace(tzinfo=ZoneInfo(zone))


@dataclass(frozen=True, slots=True)
class Checked:
    """What a verification found, what mends it, and the checkpoint of the book as it is now."""

    entries: int
    checkpoint: str
    faults: tuple[str, ...]
    mend: str = ""


def verify_book(book: Book, checkpoints: Iterable[str] = ()) -> Checked:
    """Check file, chain and documents, against checkpoints that were noted elsewhere.

    Raises
    ------
    BadInput
        If a checkpoint cannot be read.
    """
    known = [read_checkpoint(text) for text in checkpoints]
    faults = book.verify(known)
    with book.reading() as reading:
        head = reading.head_if_there() or Head()
    return Checked(head.seq, head.short_checkpoint, tuple(map(str, faults)), mend_of(faults))


def mend_of(faults: Sequence[Fault]) -> str:
    """Return what mends some faults, empty if there are none."""
    if not faults:
        return ""
    if all(fault.mend == REBUILD for fault in faults):
        return (
            "The entries are as they were written. End whatever has the book open, then run: "
            "pourwright book rebuild. It works out everything else from them anew."
        )
    return (
        "The entries themselves are not all as they were written. Verify the copies, newest first, "
        "and put one back with: pourwright book restore COPY."
    )


def back_up_book(where: Path, into: Path | None, now: datetime) -> tuple[Path, int]:
    """Put a verified copy beside the book or into a folder; return its file and entries."""
    path = book_path(where)
    with open_book(
        where, create=False
    ).store:  # refuses what is no book, brings up to date what is older
        copy = back_up(path, into or path.with_name(COPIES), now, replay)
    return copy.path, copy.checkpoint.seq


def restore_book(copy: Path, where: Path, now: datetime) -> tuple[int, Path | None]:
    """Put a copy in the book's place; return its entries, and where the book before is kept."""
    path = book_path(where)
    aside = _aside(path, now) if path.exists() else None
    return restore(copy, path, aside, replay).seq, aside


def _aside(path: Path, now: datetime) -> Path:
    return path.with_name(f"{path.stem}-before-{now.strftime('%Y%m%dT%H%M%S')}.db")


def rebuild_book(where: Path, now: datetime) -> tuple[int, list[str], Path]:
    """Work out everything but the entries anew.

    Returns
    -------
    tuple of int, list of str and Path
        The entries, what was otherwise before, and where the book before is kept if anything was.

    Raises
    ------
    StudioError
        If an entry was altered, or a program has the book open.
    """
    path = book_path(where)
    if not path.exists():
        raise BookTrouble(f"There is no book in {path.parent}.")
    aside = _aside(path, now)
    head, otherwise = rebuild(path, aside, replay)
    return head.seq, otherwise, aside


def export_book(where: Path, to: Path) -> int:
    """Write the book as text, one JSON line an entry; return the entries."""
    with open_book(where, create=False).store as store:
        return export_to(store, to).seq


def import_book(text: Path, where: Path) -> int:
    """Fill an empty book from a text that `export_book` wrote; return the entries.

    Raises
    ------
    StudioError
        If the text is not whole, or the book is not empty.
    """
    if not text.is_file():
        raise BadInput.one("the file", str(text), "name a file that book export wrote")
    # A text may be what is left of a book that is gone.
    book = open_book(where, anew=True)
    with book.store as store, text.open(encoding="utf-8", errors="strict") as lines:
        store.go_on()
        try:
            return import_from(lines, store, replay).seq
        except UnicodeDecodeError:
            raise BadInput.one("the file", text.name, "it must be text in UTF-8") from None
