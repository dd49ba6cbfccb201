"""A book put in the place of the one that is there: a copy, or the same entries in a new file.

Nothing that was there is lost: it is put aside to the byte, with its log.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from sqlalchemy import NullPool
from sqlalchemy.exc import DBAPIError

from pourwright.files import put_in_place, whole_file
from pourwright.ledger.file import tables
from pourwright.ledger.file.backup import copy_of_name, head_of_sound, read_only
from pourwright.ledger.file.chain import Row, take_row
from pourwright.ledger.file.connecting import sqlite_engine
from pourwright.ledger.file.hold import INDEX, LOG, LOG_HEAD, beside, is_held, is_whole
from pourwright.ledger.file.opening import look_at_file, make_tables, version_of_tables
from pourwright.ledger.file.transaction import Head, Writing
from pourwright.ledger.file.trouble import DAMAGED, BookTrouble, files_told_plainly
from pourwright.ledger.file.verify import Replay, verify
from pourwright.ledger.file.witness import keep_seen, seen_before, witness_path

if sys.platform != "win32":
    import fcntl

JOURNAL = "-journal"
_LOCKED_FROM, _LOCKED = 0x40000002, 510
"""The bytes that SQLite locks as long as a file is open in WAL mode: its file format, 2.3.1. [byte]"""
_PAGE_HEAD = 24
"""What stands before each page in a log. [byte]"""
_ROWS_AT_ONCE = 1000


def restore(
    backup: Path, book: Path, keep_aside: Path | None = None, replay: Replay | None = None
) -> Head:
    """Put a copy in the book's place, with what its log holds.

    Parameters
    ----------
    backup : Path
        The copy; it stays where it is.
    book : Path
        The book's file.
    keep_aside : Path or None
        Where the book that is there now goes; without it, it is not replaced.
    replay : callable, optional
        Works the documents out again, to compare them too.

    Returns
    -------
    Head
        The end of the book that is there now.

    Raises
    ------
    BookTrouble
        If the copy is not sound or not what its name says, a book is there and nothing says
        where to keep it, or a program has it open.
    """
    look_at_file(backup, create=False)
    _refuse_taken(book, keep_aside)
    with files_told_plainly(), _own_copy(backup, book.parent) as part:
        head = head_of_sound(part, replay=replay)
        named = copy_of_name(backup)
        if named and (head.seq, head.digest[:16]) != named.checkpoint:
            raise BookTrouble(
                f"{backup.name} holds {head.seq} entries and ends in {head.digest[:16]}, which is "
                "not what its name says. It was changed or renamed; take another copy."
            )
        _put(part, book, keep_aside)
    keep_seen(witness_path(book), head)
    return head


def rebuild(book: Path, keep_aside: Path, replay: Replay) -> tuple[Head, list[str]]:
    """Put the book's entries into a new file and work everything else out anew.

    Parameters
    ----------
    book : Path
        The book's file, which nobody has open.
    keep_aside : Path
        Where it goes as it is.
    replay : callable
        Works the documents out.

    Returns
    -------
    tuple of Head and list of str
        The end of the book, and what was otherwise before; nothing is changed if that is empty.

    Raises
    ------
    BookTrouble
        If an entry is not as it was written, or a program has the book open.
    """
    _refuse_taken(book, keep_aside)
    with files_told_plainly(), _own_copy(book, book.parent) as part:
        try:
            with read_only(part) as reading:
                otherwise = [str(fault) for fault in verify(reading, replay=replay)]
                if version_of_tables(reading.connection, book.name) < tables.SCHEMA:
                    otherwise.append("The book: its tables are said to be of an older version.")
                head = reading.head_if_there() or Head()
        except (BookTrouble, DBAPIError) as trouble:
            otherwise, head = [str(trouble)], Head()
        if otherwise:
            new = part.with_name(f"{part.name}-new")
            try:
                _filled_anew(new, part, replay)
                head = head_of_sound(new, replay=replay)
                _refuse_less(book, head)
                _put(new, book, keep_aside)
            finally:
                _remove(new)
            keep_seen(witness_path(book), head)
    return head, otherwise


def _refuse_taken(book: Path, keep_aside: Path | None) -> None:
    if is_held(book):
        raise BookTrouble(f"A program has {book.name} open; close it first.")
    if book.exists() and keep_aside is None:
        raise BookTrouble(f"There is a book {book.name} already; say where it is to be kept aside.")
    if keep_aside is not None and keep_aside.exists():
        raise BookTrouble(f"There is a file {keep_aside.name} already; name another one.")


def _refuse_less(book: Path, head: Head) -> None:
    seen = seen_before(book)
    if seen is not None and seen.seq > head.seq:
        raise BookTrouble(
            f"{book.name} holds {head.seq} entries, and this computer saw {seen.seq} in it. "
            "Restore a copy that holds them; nothing was changed."
        )


def _filled_anew(new: Path, source: Path, replay: Replay) -> None:
    """Make a book in a new file with the entries of another one, each looked at."""
    engine = sqlite_engine(new, poolclass=NullPool)
    make_tables(engine, new)
    names = ", ".join(Row._fields)
    with closing(sqlite3.connect(source)) as old, engine.begin() as connection:
        book = Writing(connection)
        try:
            rows = old.execute(f"SELECT {names} FROM entry NOT INDEXED ORDER BY seq")  # noqa: S608 - our own names
            for number, row in enumerate(map(Row._make, rows), 1):
                take_row(book, row, "Nothing is rebuilt, because an entry was altered. ")
                if number % _ROWS_AT_ONCE == 0:
                    book.flush()
        except (sqlite3.Error, UnicodeDecodeError) as error:
            raise BookTrouble(DAMAGED) from error
        book.flush()
        book.things.replace(None, replay(book.entries()))
        book.flush()


# --- files


@contextmanager
def _own_copy(source: Path, folder: Path) -> Iterator[Path]:
    """Yield a copy of a book's file in a folder, with what lies in its log brought into it."""
    part = folder / f".{source.name}-{os.getpid()}.part"
    try:
        with _alone_with(source) as file:
            with part.open("wb") as copy:
                shutil.copyfileobj(file, copy)
            for end in (LOG, JOURNAL):
                if beside(source, end).exists():
                    shutil.copyfile(beside(source, end), beside(part, end))
        _play_in(part, source)
        yield part
    finally:
        _remove(part)


def _play_in(part: Path, source: Path) -> None:
    """Bring a log into the file, all of it or none."""
    committed = _committed_in(beside(part, LOG))
    try:
        with closing(sqlite3.connect(part)) as file:
            if committed != 0:
                _, _, played = file.execute("pragma wal_checkpoint(full)").fetchone()
                if committed != played:
                    raise BookTrouble(
                        f"{source.name}{LOG} is damaged, or is not the log of {source.name}. "
                        f"Take another copy; or move {source.name}{LOG} away, if what was written "
                        "last may be lost."
                    )
            file.execute("pragma journal_mode=delete")
    except sqlite3.DatabaseError as error:
        raise BookTrouble(f"{source.name} is damaged ({error}); take another copy.") from error


def _committed_in(log: Path) -> int | None:
    """Return the place of the last page in a log that ends a transaction; None if it is no log.

    Each page carries the same two numbers as the log's head, or it is left from before; one that
    carries one of them is damaged. SQLite passes over what is damaged, and all behind it, without
    a word.
    """
    if not log.exists() or not log.stat().st_size:
        return 0
    with log.open("rb") as file:
        head = file.read(LOG_HEAD)
        if not is_whole(head):
            return None
        page_size = int.from_bytes(head[8:12], "big")
        last = place = 0
        while len(page := file.read(_PAGE_HEAD)) == _PAGE_HEAD:
            place += 1
            is_of_it = page[8:12] == head[16:20] or page[12:16] == head[20:24]
            if is_of_it and int.from_bytes(page[4:8], "big"):
                last = place
            file.seek(page_size, os.SEEK_CUR)
    return last


@contextmanager
def _alone_with(book: Path) -> Iterator[BinaryIO]:
    """Yield a file that no other program has open; whoever opens it meanwhile is kept waiting.

    Raises
    ------
    BookTrouble
        If a program has it open.
    """
    if is_held(book):
        raise BookTrouble(f"A program has {book.name} open; close it first.")
    # On Windows no file that is open is replaced.
    may_lock = sys.platform != "win32" and os.access(book, os.W_OK)
    with book.open("rb+" if may_lock else "rb") as file:
        if sys.platform != "win32" and may_lock:
            try:
                fcntl.lockf(file, fcntl.LOCK_EX | fcntl.LOCK_NB, _LOCKED, _LOCKED_FROM)
            except OSError as error:
                raise BookTrouble(f"A program has {book.name} open; close it first.") from error
        yield file


def _put(part: Path, book: Path, aside: Path | None) -> None:
    """Put a file in the book's place; the book that is there goes aside as it is, with its log."""
    if aside is not None and book.exists():
        with _alone_with(book) as file:
            for end in (LOG, JOURNAL):
                if beside(book, end).exists():
                    with beside(book, end).open("rb") as log:
                        _copy(log, beside(aside, end))
            _copy(file, aside)
        if beside(aside, LOG).exists():
            # With its log played in, so that the log may go at any moment and nothing is lost.
            with suppress(BookTrouble), _own_copy(aside, book.parent) as whole:
                put_in_place(whole, book)
    for end in (LOG, INDEX, JOURNAL):
        # Left beside the file, it would be played into the book that comes in its place.
        beside(book, end).unlink(missing_ok=True)
    put_in_place(part, book)


def _copy(file: BinaryIO, target: Path) -> None:
    with whole_file(target) as copy:
        shutil.copyfileobj(file, copy)


def _remove(part: Path) -> None:
    with suppress(OSError):
        for end in ("", LOG, INDEX, JOURNAL):
            beside(part, end).unlink(missing_ok=True)
