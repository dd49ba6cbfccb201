"""What can be wrong with the book as a file, in sentences, and how a database says it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from pourwright.errors import StudioError

_NOTHING_WRITTEN = "Nothing of this command was written"


class BookTrouble(StudioError):
    """The book cannot be read or written as it is; the command may be sent again later."""


class BookBusy(BookTrouble):
    """Another program is writing to the book and did not end in time."""


class BookExchanged(BookTrouble):
    """Another file lies where the book was opened, or somebody wrote over it."""


class BookGone(BookTrouble):
    """There was a book, and it is not there any more; a new one is begun only if that is said."""


class NewerBook(BookTrouble):
    """The book was written by a newer version of this program."""


DAMAGED = "The book's file is damaged; restore it from the last backup."
HEADLESS = (
    "The row that says where the book ends is missing. End whatever has the book open, "
    "then run: pourwright book rebuild."
)

_SENTENCES = {
    "SQLITE_FULL": (
        f"There is no room left on the disk. {_NOTHING_WRITTEN}; make room and send it again."
    ),
    "SQLITE_READONLY": "The book may only be read here; make its file and folder writable.",
    "SQLITE_CANTOPEN": "The book cannot be opened; look whether its folder exists and is writable.",
    "SQLITE_PERM": "The book cannot be opened; its file belongs to somebody else.",
    "SQLITE_NOTADB": "The file is no book; restore one from a backup.",
    "SQLITE_CORRUPT_VTAB": (
        f"The index of words is damaged. {_NOTHING_WRITTEN}; the entries themselves are not "
        "touched. End whatever has the book open, then run: pourwright book rebuild."
    ),
    "SQLITE_CORRUPT": DAMAGED,
    "SQLITE_IOERR": (
        "The disk could not be read or written, and whether this command was kept is not known. "
        "Look after the disk, then send the same command again: it counts only once."
    ),
}
_BUSY = f"Another program is writing to the book. {_NOTHING_WRITTEN}; send it again."


def trouble_of(error: DBAPIError | sqlite3.Error) -> BookTrouble | None:
    """Return what a maker can do about a database's error, or None if the fault is ours."""
    from_driver = getattr(error, "orig", error)
    name = str(getattr(from_driver, "sqlite_errorname", ""))
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED", "SQLITE_PROTOCOL")):
        return BookBusy(_BUSY)
    if "Could not decode" in str(from_driver):  # the driver, not SQLite, and without a name
        return BookTrouble(DAMAGED)
    known = next((text for start, text in _SENTENCES.items() if name.startswith(start)), None)
    return BookTrouble(known) if known else None


@contextmanager
def told_plainly() -> Iterator[None]:
    """Turn a database's error into a sentence; a fault of ours passes as it is."""
    try:
        yield
    except (DBAPIError, sqlite3.Error) as error:
        trouble = trouble_of(error)
        if trouble is None:
            raise
        raise trouble from error


@contextmanager
def files_told_plainly() -> Iterator[None]:
    """Turn a failing disk, folder or database into a sentence."""
    try:
        with told_plainly():
            yield
    except OSError as error:
        name = Path(str(error.filename or "the file")).name
        raise BookTrouble(f"{name}: {error.strerror or error}. The book is as it was.") from error
