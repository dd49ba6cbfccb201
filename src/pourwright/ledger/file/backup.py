"""Copies of the book that are known to be sound, and the way back from one.

A copy's name carries its moment and its checkpoint, so each one bears witness to what the book
held: ``book-20270301T140500Z-4182-9c1d0a2b3c4d5e6f.db``.
"""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

from sqlalchemy import NullPool, create_engine

from pourwright.files import put_in_place, whole_file
from pourwright.ledger.file.chain import Checkpoint
from pourwright.ledger.file.opening import look_at_file
from pourwright.ledger.file.transaction import Head, Reading
from pourwright.ledger.file.trouble import BookTrouble, files_told_plainly
from pourwright.ledger.file.verify import Replay, verify

HOURLY, DAILY = 24, 30
"""How many hours and days, of those with a copy, keep their last one; every month does."""

_NAME = re.compile(r"book-([0-9]{8}T[0-9]{6}Z)-([0-9]+)-([0-9a-f]{16})\.db")
_MOMENT = "%Y%m%dT%H%M%SZ"


class Copy(NamedTuple):
    """A copy of the book.

    Parameters
    ----------
    path : Path
        Its file.
    made : datetime
        When, in UTC.
    checkpoint : Checkpoint
        What the book held then.
    """

    path: Path
    made: datetime
    checkpoint: Checkpoint


def back_up(book: Path, folder: Path, now: datetime, replay: Replay | None = None) -> Copy:
    """Put a verified copy of the book into a folder, and let older ones go by the rotation.

    Writers may go on meanwhile.

    Parameters
    ----------
    book : Path
        The living book.
    folder : Path
        Where the copies are kept; made if it is not there.
    now : datetime
        The studio's clock, with a time zone.
    replay : callable, optional
        Works the documents out again, to compare them too.

    Raises
    ------
    BookTrouble
        If the copy is not sound, or cannot be written; the copies before are as they were.
    """
    with files_told_plainly():
        folder.mkdir(parents=True, exist_ok=True)
        with _sound_copy(book, folder, replay) as (part, head):
            stamp = now.astimezone(UTC).strftime(_MOMENT)
            path = folder / f"book-{stamp}-{head.seq}-{head.digest[:16]}.db"
            put_in_place(part, path)
        for old in to_let_go(copies_in(folder)):
            old.path.unlink(missing_ok=True)
    return Copy(path, _moment(stamp), Checkpoint(head.seq, head.digest[:16]))


def copy_verified(book: Path, target: Path, replay: Replay | None = None) -> Head:
    """Put a verified copy of a book at a path.

    Returns
    -------
    Head
        The end of the copy.

    Raises
    ------
    BookTrouble
        If the copy is not sound or cannot be written; nothing is at the target then.
    """
    with files_told_plainly(), _sound_copy(book, target.parent, replay) as (part, head):
        put_in_place(part, target)
    return head


@contextmanager
def _sound_copy(book: Path, folder: Path, replay: Replay | None) -> Iterator[tuple[Path, Head]]:
    part = folder / f".{book.name}-{os.getpid()}.part"
    try:
        with closing(sqlite3.connect(book)) as source, closing(sqlite3.connect(part)) as target:
            # All pages in one step: in several, each write meanwhile begins it anew.
            source.backup(target)
            target.execute("pragma journal_mode=delete")
        yield part, head_of_sound(part, replay)
    finally:
        part.unlink(missing_ok=True)


def head_of_sound(path: Path, replay: Replay | None = None) -> Head:
    """Return the end of a copy that nobody writes to; refuse it if it is not sound.

    Raises
    ------
    BookTrouble
        If it is not sound.
    """
    address = f"file:{path.resolve().as_posix()}?immutable=1"
    engine = create_engine(
        "sqlite://", creator=lambda: sqlite3.connect(address, uri=True), poolclass=NullPool
    )
    with files_told_plainly(), engine.connect() as connection:
        reading = Reading(connection)
        faults = verify(reading, replay=replay)
        if faults:
            raise BookTrouble(
                f"The copy is not sound, and is not kept. {faults[0]} Look at the book with verify."
            )
        return reading.head()


def copies_in(folder: Path) -> list[Copy]:
    """Return the copies in a folder, oldest first; files of other names are left out."""
    named = [(path, _NAME.fullmatch(path.name)) for path in sorted(folder.glob("book-*.db"))]
    copies = [
        Copy(path, _moment(name[1]), Checkpoint(int(name[2]), name[3]))
        for path, name in named
        if name
    ]
    return sorted(copies, key=lambda copy: (copy.made, copy.checkpoint.seq))


def _moment(stamp: str) -> datetime:
    return datetime.strptime(stamp, _MOMENT).replace(tzinfo=UTC)


def to_let_go(copies: Iterable[Copy]) -> list[Copy]:
    """Return the copies that the rotation no longer keeps.

    Kept are the last copy of each of the last 24 hours and 30 days that have one, and of every
    month.
    """
    ordered = sorted(copies, key=lambda copy: (copy.made, copy.checkpoint.seq))
    kept = {
        *_last_of_each(ordered, lambda made: made.strftime("%Y%m%d%H"))[-HOURLY:],
        *_last_of_each(ordered, lambda made: made.strftime("%Y%m%d"))[-DAILY:],
        *_last_of_each(ordered, lambda made: made.strftime("%Y%m")),
    }
    return [copy for copy in ordered if copy not in kept]


def _last_of_each(ordered: list[Copy], span: Callable[[datetime], str]) -> list[Copy]:
    return list({span(copy.made): copy for copy in ordered}.values())


def restore(backup: Path, book: Path, keep_aside: Path | None = None) -> Head:
    """Put a copy in the book's place.

    Parameters
    ----------
    backup : Path
        The copy; it stays where it is.
    book : Path
        The book's file.
    keep_aside : Path or None
        Where the book that is there now goes; without it, it is not replaced.

    Returns
    -------
    Head
        The end of the book that is there now.

    Raises
    ------
    BookTrouble
        If the copy is not sound, a book is there and nothing says where to keep it, or a
        program has it open.
    """
    look_at_file(backup, create=False)
    if book.exists() and keep_aside is None:
        raise BookTrouble(f"There is a book {book.name} already; say where it is to be kept aside.")
    if keep_aside is not None and keep_aside.exists():
        raise BookTrouble(f"There is a file {keep_aside.name} already; name another one.")
    part = book.with_name(f".{book.name}-restored.part")
    try:
        with files_told_plainly():
            shutil.copyfile(backup, part)
            head = head_of_sound(part)
            if keep_aside is not None and book.exists():
                _keep_aside(book, keep_aside)
            put_in_place(part, book)
    finally:
        part.unlink(missing_ok=True)
    return head


def _keep_aside(book: Path, aside: Path) -> None:
    _close_log(book)
    beside = [f"{book.name}{end}" for end in ("-wal", "-shm")]
    for name, end in zip(beside, ("-wal", "-shm"), strict=True):
        if book.with_name(name).exists():
            shutil.copyfile(book.with_name(name), aside.with_name(f"{aside.name}{end}"))
    with book.open("rb") as file, whole_file(aside) as copy:
        shutil.copyfileobj(file, copy)
    # A log that was left beside the file would be played into the restored book.
    for name in beside:
        book.with_name(name).unlink(missing_ok=True)


def _close_log(book: Path) -> None:
    """Bring the log into the file, which works only if no program has the book open."""
    try:
        with closing(sqlite3.connect(book, timeout=1)) as connection:
            connection.execute("pragma journal_mode=delete")
    except sqlite3.DatabaseError as error:
        # A damaged book is kept aside as it is, its log with it.
        if error.sqlite_errorname.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
            raise BookTrouble(f"A program has {book.name} open; close it, then restore.") from error
