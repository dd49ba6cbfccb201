"""Before the first transaction: is it a book, is it of our time, are its tables there."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection, Engine, insert, inspect, select

from pourwright.ledger.entry import GENESIS
from pourwright.ledger.file import tables
from pourwright.ledger.file.trouble import BookTrouble, NewerBook

_MAGIC = b"SQLite format 3\0"
_USER_VERSION, _APPLICATION_ID = slice(60, 64), slice(68, 72)


def look_at_file(path: Path, *, create: bool = True) -> None:
    """Refuse a file that is no book or one of a newer program, without opening its database.

    Opening alone could write: a log beside the file, or a recovery.

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
    try:
        with path.open("rb") as file:
            header = file.read(100)
    except OSError as error:
        raise BookTrouble(f"{path.name} cannot be read: {error.strerror}.") from error
    _look_at_header(header, path.name)


def is_older(path: Path) -> bool:
    """Return whether a file is a book of an older version, which opening it brings up to date."""
    try:
        with path.open("rb") as file:
            header = file.read(100)
    except OSError:
        return False
    if int.from_bytes(header[_APPLICATION_ID]) != tables.APPLICATION:
        return False
    return 0 < int.from_bytes(header[_USER_VERSION]) < tables.SCHEMA


def _look_at_header(header: bytes, name: str) -> None:
    if not header:
        return
    application = int.from_bytes(header[_APPLICATION_ID])
    # 0: a book that was made a moment ago, its marks still in the log beside the file.
    if not header.startswith(_MAGIC) or application not in {0, tables.APPLICATION}:
        raise BookTrouble(f"{name} is not a book of this program; it is left as it is.")
    if application:
        refuse_newer(int.from_bytes(header[_USER_VERSION]), name)


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
    written = None
    if {"entry", "head", "thing", "alembic_version"} <= present:
        written = connection.scalar(select(tables.version.c.version_num))
    if not (isinstance(written, str) and written.isdecimal()):
        raise BookTrouble(f"{name} is not a book of this program; it is left as it is.")
    refuse_newer(int(written), name)
    return int(written)


def make_tables(engine: Engine, path: Path) -> None:
    """Make the tables of a new book."""
    if engine.dialect.name == "sqlite":
        _pragma(engine, "journal_mode=wal")
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
        _pragma(engine, "wal_checkpoint(truncate)")


def _pragma(engine: Engine, pragma: str) -> None:
    # Outside a transaction, where these two must be given.
    raw = engine.raw_connection()
    try:
        raw.cursor().execute(f"pragma {pragma}").fetchall()
    finally:
        raw.close()
