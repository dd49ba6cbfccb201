"""The book's database: opened, read as of one moment, written by one at a time.

SQLite in WAL mode with ``synchronous=FULL``: what was acknowledged is on the disk. Its busy
handler is not fair, so the writers of one program wait for one lock, and SQLite's own lock only
keeps other programs out. Around every transaction the file is looked at, see ``hold``.
"""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import TracebackType
from typing import Self

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError

from pourwright.ledger.file import tables
from pourwright.ledger.file.backup import COPIES, copies_in
from pourwright.ledger.file.connecting import may_only_be_read, sqlite_engine
from pourwright.ledger.file.hold import LOG, Hold, beside
from pourwright.ledger.file.opening import look_at_file, pragma, version_of_tables
from pourwright.ledger.file.transaction import Head, Reading, Writing
from pourwright.ledger.file.trouble import BookBusy, BookGone, BookTrouble, told_plainly
from pourwright.ledger.file.upgrade import bring_up_to_date
from pourwright.ledger.file.verify import Replay
from pourwright.ledger.file.witness import (
    PUT_BACK,
    doubt_said,
    goes_on_from,
    keep_seen,
    seen_before,
    witness_path,
)


class Store:
    """A book's database, shared by the threads of a program.

    Parameters
    ----------
    engine : Engine
        As :func:`sqlite_engine` makes it.
    path : Path or None
        The file, if it is one.
    """

    def __init__(self, engine: Engine, path: Path | None = None) -> None:
        self.path = path
        self.commits_a_checkpoint = 100
        """After so many commits of its own it brings the log into the file. [-]"""
        self._lock = threading.Lock()
        self._writer = engine
        self._reader = engine.execution_options(reads_only=True)
        self._hold: Hold | None = None
        self._witness: Path | None = None
        self._commits = 0
        self.doubt = ""
        """Why this may not be the book that was written in; nothing should be, until somebody
        says to go on. The store itself only tells it."""

    @classmethod
    def open(cls, where: str | Path, *, create: bool = True, anew: bool = False) -> Self:
        """Open the book in a file; make a new one if there is none.

        ``anew`` says that a new one is meant although there was one before. An older book is brought up to date, after a verified copy of it was put aside. Where
        nothing may be written, the book can be read all the same. What this computer saw in it
        and is there no more is told by its ``doubt``.

        Raises
        ------
        BookTrouble
            If the file is no book, or damaged, or not there and none may be made.
        BookGone
            If it is not there, and was.
        NewerBook
            If a newer program wrote it; the file is left untouched.
        """
        path = Path(where)
        look_at_file(path, create=create)
        _refuse_emptied(path, create=create)
        is_new = not path.exists()
        gone = gone_said(path) if is_new else ""
        if gone and not anew:
            raise BookGone(f"{gone} {PUT_BACK}")
        store = cls(sqlite_engine(path), path)
        try:
            with told_plainly():
                if may_only_be_read(path):
                    store._refuse_what_needs_writing(path)
                else:
                    bring_up_to_date(store._writer, path)
                store._hold = Hold(path)
                store._meet_witness(path, is_new=is_new)
                store.doubt = store.doubt or gone
        except BaseException:
            store.close()
            raise
        return store

    def _refuse_what_needs_writing(self, path: Path) -> None:
        """Refuse a book that cannot be read without writing, where nothing may be written."""
        if beside(path, LOG).exists() and beside(path, LOG).stat().st_size:
            raise BookTrouble(
                f"{path.name} may only be read here, and the last entries are still in "
                f"{path.name}{LOG}. Copy both into a folder that can be written to, and look there."
            )
        with self._reader.begin() as connection:
            if version_of_tables(connection, path.name) < tables.SCHEMA:
                raise BookTrouble(
                    f"{path.name} is of an older version and may only be read here. Copy it into "
                    "a folder that can be written to; there it is brought up to date."
                )

    def _meet_witness(self, path: Path, *, is_new: bool) -> None:
        """See whether the book goes on from what this computer last saw of it."""
        seen = None if is_new else seen_before(path)
        with self.reading() as book:
            head = book.head_if_there()
            if head is not None and goes_on_from(book, seen):
                self._witness = witness_path(path)
            elif head is not None and seen is not None:
                self.doubt = doubt_said("This computer", seen, head, path.name)
        if head is not None and head != seen:
            self._keep_seen(head)

    @property
    def last(self) -> Head:
        """The end of the book as it was last seen here."""
        return self._hold.last if self._hold else Head()

    def compare(self, who: str, seen: Head) -> None:
        """Hold what somebody saw as the end of the book against it; what it does not hold is a doubt."""
        if self.doubt or self.path is None or seen.checkpoint == self.last.checkpoint:
            return
        with self.reading() as book:
            if not goes_on_from(book, seen):
                self.doubt = doubt_said(who, seen, book.head(), self.path.name)

    def go_on(self) -> None:
        """Take the book that is there for the one that is meant, from its next entry on."""
        self.doubt = ""
        if self.path is not None:
            self._witness = witness_path(self.path)

    def _keep_seen(self, head: Head) -> None:
        if self._witness is not None:
            keep_seen(self._witness, head)

    @property
    def replay(self) -> Replay | None:
        """What works the documents out again when the file has to be checked; None to spare it."""
        return self._hold.replay if self._hold else None

    @replay.setter
    def replay(self, replay: Replay) -> None:
        if self._hold is not None:
            self._hold.replay = replay

    @contextmanager
    def writing(self) -> Iterator[Writing]:
        """Give a transaction that no other writer is in; kept if it ends without an error.

        Raises
        ------
        BookExchanged
            If the file is not the one that was opened; told after the commit, nothing was
            acknowledged.
        """
        with self._lock:
            last = self._look()
            with self._begun(self._writer) as connection:
                transaction = Writing(connection)
                self._must_go_on_from(last, transaction)
                yield transaction
                transaction.flush()
            self._look()
            head = transaction.head()
            if head != last:
                self._saw(head)
                self._keep_seen(head)
            self._commits += 1
            if self._commits % self.commits_a_checkpoint == 0:
                self._checkpoint()

    @contextmanager
    def reading(self) -> Iterator[Reading]:
        """Give the book as it is at this moment.

        Raises
        ------
        BookExchanged
            If the file is not the one that was opened.
        """
        last = self._look()
        with self._begun(self._reader) as connection:
            reading = Reading(connection)
            self._must_go_on_from(last, reading)
            yield reading

    def _look(self) -> Head:
        """Look at the file, and return the end of the book as it was last seen."""
        if self._hold is None:
            return Head()
        self._hold.look()
        return self._hold.last

    def _must_go_on_from(self, last: Head, book: Reading) -> None:
        if self._hold is None or not last.seq:
            return
        head = book.head()
        if head == last:
            return
        if book.digest_at(last.seq) != last.digest or head.seq < last.seq:
            self._hold.stop()
        self._saw(head)

    def _saw(self, head: Head) -> None:
        if self._hold is not None and head.seq > self._hold.last.seq:
            self._hold.last = head

    def _checkpoint(self) -> None:
        if self._hold is not None:
            self._hold.checkpoint()
        else:
            with suppress(DBAPIError, sqlite3.Error):  # the log still holds everything
                pragma(self._writer, "wal_checkpoint(passive)")

    @contextmanager
    def _begun(self, engine: Engine) -> Iterator[Connection]:
        try:
            with told_plainly(), engine.begin() as connection:
                yield connection
        except BookTrouble as trouble:
            if not isinstance(trouble, BookBusy):
                # After a failed sync a connection's own idea of the file is not to be trusted.
                engine.dispose()
            raise

    def close(self) -> None:
        """Close every connection."""
        self._writer.dispose()
        if self._hold is not None:
            self._hold.let_go()
            self._hold = None

    def __enter__(self) -> Self:
        """Return itself."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Close every connection."""
        self.close()


def gone_said(path: Path) -> str:
    """Return what is known of a book that is not there; empty if there never was one.

    By what this computer saw in it, or by the copies that lie in their folder.
    """
    seen, copies = seen_before(path), copies_in(path.with_name(COPIES))
    if seen is not None:
        known = f"this computer saw {seen.seq} entries in it"
    elif copies:
        known = f"{copies[-1].path.name} in the folder {COPIES} holds {copies[-1].checkpoint.seq} entries of it"
    else:
        return ""
    return f"{path.name} is gone, moved or removed: {known}."


def _refuse_emptied(path: Path, *, create: bool) -> None:
    """Refuse a file that holds nothing, and held a book or should."""
    if not path.exists() or path.stat().st_size:
        return
    seen, log = seen_before(path), beside(path, LOG)
    if seen is not None:
        raise BookTrouble(
            f"{path.name} is empty, and this computer saw {seen.seq} entries in it. It was emptied "
            "or cut off; run: pourwright book restore COPY, with the newest file in the folder copies."
        )
    if log.exists() and log.stat().st_size:  # SQLite would throw it away
        raise BookTrouble(
            f"{path.name} is empty, and a log lies beside it. Move both into another folder, then "
            "run: pourwright book restore COPY."
        )
    if not create:
        raise BookTrouble(f"{path.name} is empty; there is no book in it.")
