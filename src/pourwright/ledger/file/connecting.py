"""How SQLite opens a book: the pragmas, and when a transaction begins."""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event

PRAGMAS = (
    "busy_timeout=10000",
    "cache_size=-1000",  # a connection for each thread that reads; the system keeps the pages too
    "synchronous=full",
    "foreign_keys=on",
    "recursive_triggers=on",  # else INSERT OR REPLACE would slip past the guards
    "trusted_schema=off",
    # The store does it: a change of the file that it did not make itself is looked into.
    "wal_autocheckpoint=0",
    # Without these two a sync on macOS does not reach the platter.
    "fullfsync=on",
    "checkpoint_fullfsync=on",
)


READ_ONLY = "mode=ro&immutable=1"
"""How a file is opened that nobody writes to: without a lock, a log or a recovery."""


def sqlite_engine(path: Path, **options: Any) -> Engine:
    """Return the engine for a book in a SQLite file."""
    options = {"creator": lambda: connect(path), **options}
    engine = create_engine("sqlite:///book", **options)
    event.listen(engine, "connect", set_up)
    event.listen(engine, "begin", _begin)
    return engine


def connect(path: Path) -> sqlite3.Connection:
    """Return a connection to a book; where nothing may be written, one that needs no log.

    Raises
    ------
    sqlite3.Error
        If it cannot be opened.
    """
    how = READ_ONLY if may_only_be_read(path) else "mode=rwc"
    return sqlite3.connect(address_of(path, how), uri=True, check_same_thread=False)


def address_of(path: Path, how: str) -> str:
    """Return a file's address, with how SQLite is to open it behind the question mark.

    Examples
    --------
    >>> address_of(Path("/studio 1/what?.db"), "mode=ro")
    'file:///studio%201/what%3F.db?mode=ro'
    """
    return f"{path.absolute().as_uri()}?{how}"


def may_only_be_read(path: Path) -> bool:
    """Return whether a book is there and its file or its folder cannot be written to."""
    if not path.exists():
        return False
    return not (os.access(path, os.W_OK) and os.access(path.parent, os.W_OK))


def set_up(connection: Any, _record: object = None) -> None:
    """Prepare a new connection."""
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
