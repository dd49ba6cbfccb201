"""The book's database: opened, read as of one moment, written by one at a time.

SQLite in WAL mode with ``synchronous=FULL``: what was acknowledged is on the disk. Its busy
handler is not fair, so the writers of one program wait for one lock, and SQLite's own lock only
keeps other programs out.
"""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import URL

from pourwright.ledger.file.opening import look_at_file
from pourwright.ledger.file.transaction import Reading, Writing
from pourwright.ledger.file.trouble import BookBusy, BookTrouble, told_plainly
from pourwright.ledger.file.upgrade import bring_up_to_date

PRAGMAS = (
    "busy_timeout=10000",
    "cache_size=-1000",  # a connection for each thread that reads; the system keeps the pages too
    "synchronous=full",
    "foreign_keys=on",
    "recursive_triggers=on",  # else INSERT OR REPLACE would slip past the guards
    "trusted_schema=off",
    # Without these two a sync on macOS does not reach the platter.
    "fullfsync=on",
    "checkpoint_fullfsync=on",
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
        self._lock = threading.Lock()
        self._writer = engine
        self._reader = engine.execution_options(reads_only=True)

    @classmethod
    def open(cls, where: str | Path, *, create: bool = True) -> Self:
        """Open the book in a file; make a new one if there is none.

        An older book is brought up to date, after a verified copy of it was put aside.

        Raises
        ------
        BookTrouble
            If the file is no book, or damaged, or not there and none may be made.
        NewerBook
            If a newer program wrote it; the file is left untouched.
        """
        path = Path(where)
        look_at_file(path, create=create)
        store = cls(sqlite_engine(path), path)
        try:
            with told_plainly():
                bring_up_to_date(store._writer, path)
        except BaseException:
            store.close()
            raise
        return store

    @contextmanager
    def writing(self) -> Iterator[Writing]:
        """Give a transaction that no other writer is in; kept if it ends without an error."""
        with self._lock, self._begun(self._writer) as connection:
            transaction = Writing(connection)
            yield transaction
            transaction.flush()

    @contextmanager
    def reading(self) -> Iterator[Reading]:
        """Give the book as it is at this moment."""
        with self._begun(self._reader) as connection:
            yield Reading(connection)

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


def sqlite_engine(path: Path, **options: Any) -> Engine:
    """Return the engine for a book in a SQLite file."""
    engine = create_engine(URL.create("sqlite", database=str(path)), **options)
    event.listen(engine, "connect", _set_up)
    event.listen(engine, "begin", _begin)
    return engine


def _set_up(connection: Any, _record: object) -> None:
    # Else the driver begins transactions by itself, and reads that turn into writes are refused.
    connection.isolation_level = None
    try:
        for pragma in PRAGMAS:
            connection.execute(f"pragma {pragma}")
    except UnicodeDecodeError as error:  # SQLite names what is damaged by the damaged bytes
        raise sqlite3.DatabaseError("Could not decode what is wrong") from error


def _begin(connection: Connection) -> None:
    reads_only = connection.get_execution_options().get("reads_only")
    connection.exec_driver_sql("BEGIN" if reads_only else "BEGIN IMMEDIATE")
