"""Before the first transaction: is it a book, is it of our time, are its tables there."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import NamedTuple

from sqlalchemy import Connection, Engine, insert, inspect, select

from pourwright.errors import as_written
from pourwright.ledger.entry import GENESIS
from pourwright.ledger.file import tables
from pourwright.ledger.file.connecting import READ_ONLY, address_of
from pourwright.ledger.file.trouble import BookTrouble, NewerBook


def look_at_file(path: Path, *, create: bool = True) -> None:
    """Refuse a file that is no book or one of a newer program, before it is opened to be written.

    Parameters
    ----------
    path : Path
        The book's file.
    create : bool, optional
        Whether it may be missing.

    Raises
    ------
    BookTrouble
        If it is no book, or missing and none may be made.
    NewerBook
        If a newer program wrote it.
    """
    if not path.parent.is_dir():
        raise BookTrouble(f"There is no folder {path.parent.name} for the book; make it first.")
    if not path.exists():
        if create:
            return
        raise BookTrouble(f"There is no book {path.name} here; look at the folder.")
    marks = marks_of(path)
    # 0: a book that was made a moment ago, its marks still in the log beside the file.
    if marks.application not in {0, tables.APPLICATION}:
        raise BookTrouble(f"{path.name} is not a book of this program; it is left as it is.")
    if marks.application:
        refuse_newer(marks.schema, path.name)


class Marks(NamedTuple):
    """What a book's file says in its first bytes: whose it is, and the version of its tables."""

    application: int
    schema: int


def marks_of(path: Path) -> Marks:
    """Return the marks of a file, without a lock, a log or a recovery.

    SQLite reads them: whatever else opened and closed the file would take away the locks that
    this program may have on it.

    Raises
    ------
    BookTrouble
        If it cannot be read or is no database.
    """
    if path.is_dir():
        raise BookTrouble(f"{path.name} cannot be read: it is a folder.")
    try:
        with closing(sqlite3.connect(address_of(path, READ_ONLY), uri=True)) as file:
            # A file whose end is still in the log is as good as any: its head alone is looked at.
            file.execute("pragma writable_schema=on")
            (application,) = file.execute("pragma application_id").fetchone()
            (schema,) = file.execute("pragma user_version").fetchone()
    except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
        if getattr(error, "sqlite_errorname", "") == "SQLITE_CANTOPEN":
            raise BookTrouble(
                f"{path.name} cannot be read: it is not there or belongs to somebody else."
            ) from error
        raise BookTrouble(
            f"{path.name} is not a book of this program; it is left as it is."
        ) from error
    return Marks(application, schema)


def is_older(path: Path) -> bool:
    """Return whether a file is a book of an older version, which opening it brings up to date."""
    try:
        marks = marks_of(path)
    except BookTrouble:
        return False
    return marks.application == tables.APPLICATION and 0 < marks.schema < tables.SCHEMA


def refuse_newer(schema: int, name: str) -> None:
    """Refuse tables that are newer than ours.

    Raises
    ------
    NewerBook
        If they are.
    """
    if schema > tables.SCHEMA:
        raise NewerBook(
            f"{name} was written by a newer version of this program (tables {schema}, known here "
            f"up to {tables.SCHEMA}); it is left as it is. Update the program."
        )


def version_of_tables(connection: Connection, name: str) -> int:
    """Return the version of a book's tables, 0 if it has none.

    Raises
    ------
    BookTrouble
        If the tables are another program's.
    NewerBook
        If a newer program made them.
    """
    present = set(inspect(connection).get_table_names())
    if not present:
        return 0
    if not {"entry", "head", "thing", "alembic_version"} <= present:
        raise BookTrouble(
            f"{name} is not a book of this program, or a part of it is missing; it is left as it "
            "is. If it was one, run: pourwright book rebuild."
        )
    written = str(connection.scalar(select(tables.version.c.version_num)))
    is_number = written.isascii() and written.isdecimal() and len(written) == len("0003")
    if not is_number or int(written) == 0:
        raise BookTrouble(
            f"{name} says that its tables are of version {as_written(written)}, and there is none "
            "of that name. Run: pourwright book rebuild."
        )
    refuse_newer(int(written), name)
    return int(written)


def make_tables(engine: Engine, path: Path) -> None:
    """Make the tables of a new book."""
    with engine.begin() as connection:
        if version_of_tables(connection, path.name):  # another program was a moment quicker
            return
        tables.metadata.create_all(connection)
        connection.execute(insert(tables.head).values(one=1, seq=0, digest=GENESIS, recorded=""))
        connection.execute(insert(tables.version).values(version_num=f"{tables.SCHEMA:04d}"))
        mark(connection, tables.SCHEMA)
    settle(engine)


def mark(connection: Connection, schema: int) -> None:
    """Write the marks of a book, by which it is known unopened, to a SQLite file's header."""
    if connection.dialect.name == "sqlite":
        connection.exec_driver_sql(f"PRAGMA application_id = {tables.APPLICATION}")
        connection.exec_driver_sql(f"PRAGMA user_version = {schema}")


def settle(engine: Engine) -> None:
    """Bring everything from the log beside a SQLite file into the file."""
    if engine.dialect.name == "sqlite":
        pragma(engine, "wal_checkpoint(truncate)")


def write_ahead(engine: Engine) -> None:
    """Have a SQLite file write into a log first; a copy that was put in its place does not yet."""
    if engine.dialect.name == "sqlite":
        pragma(engine, "journal_mode=wal")


def pragma(engine: Engine, what: str) -> None:
    """Give a pragma outside a transaction, where those about the log must be given."""
    raw = engine.raw_connection()
    try:
        raw.cursor().execute(f"pragma {what}").fetchall()
    finally:
        raw.close()
