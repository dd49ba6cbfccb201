"""Whether a book's file holds what we make and nothing else: tables, guards, versions, words."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from sqlalchemy import Connection, create_engine
from sqlalchemy.exc import DatabaseError

from pourwright.ledger.file import tables
from pourwright.ledger.file.chain import REBUILD, Fault
from pourwright.ledger.file.transaction import Reading

_CALLED = {"trigger": "guard"}
_LOOKED_UP = 16
"""Entries that are looked up by their words, spread over the whole book. [-]"""

Parts = dict[tuple[str, str], str]


def shape_faults(book: Reading) -> Iterator[Fault]:
    """Yield what of the file's own making is missing, strange, or another than we make it."""
    if book.connection.dialect.name != "sqlite":
        return
    there, ours = _parts(book.connection), _parts_we_make()
    for kind, name in sorted(ours.keys() | there.keys()):
        called = f"the {_CALLED.get(kind, kind)} {name}"
        if (kind, name) not in there:
            yield Fault(0, f"{called} is missing", REBUILD)
        elif (kind, name) not in ours:
            yield Fault(0, f"{called} is none of a book's", REBUILD)
        elif there[kind, name] != ours[kind, name]:
            yield Fault(0, f"{called} was changed", REBUILD)
    yield from _version_faults(book.connection)


@cache
def _parts_we_make() -> Parts:
    """Return what a new book is made of, by making one in memory; it is always the same."""
    engine = create_engine("sqlite://")
    try:
        with engine.begin() as connection:
            tables.metadata.create_all(connection)
            return _parts(connection)
    finally:
        engine.dispose()


def _parts(connection: Connection) -> Parts:
    """Return the statement that made each table, index, guard and view."""
    rows = connection.exec_driver_sql("SELECT type, name, sql FROM sqlite_master")
    return {(kind, name): " ".join(str(sql).split()) for kind, name, sql in rows}


def _version_faults(connection: Connection) -> Iterator[Fault]:
    numbers = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalars().all()
    marks = (
        ("the version of its tables", numbers, [f"{tables.SCHEMA:04d}"]),
        ("its user_version", _pragma(connection, "user_version"), tables.SCHEMA),
        ("its application_id", _pragma(connection, "application_id"), tables.APPLICATION),
    )
    for called, found, right in marks:
        if found != right:
            yield Fault(0, f"{called} is {found} and should be {right}", REBUILD)


def _pragma(connection: Connection, name: str) -> object:
    return connection.exec_driver_sql(f"PRAGMA {name}").scalar()


def words_faults(book: Reading) -> Iterator[Fault]:
    """Yield what is wrong with the index of words: all of it is read, some entries are looked up."""
    if book.connection.dialect.name != "sqlite":
        return
    try:
        book.connection.exec_driver_sql(
            "CREATE VIRTUAL TABLE temp.word_read USING fts5vocab(main, entry_word, row)"
        )
        book.connection.exec_driver_sql("SELECT sum(cnt) FROM temp.word_read").all()
        book.connection.exec_driver_sql("DROP TABLE temp.word_read")
        for seq in _not_found(book):
            yield Fault(0, f"the index of words does not find entry {seq}", REBUILD)
            return
    except DatabaseError as error:
        yield Fault(0, f"the index of words is damaged ({error.orig})", REBUILD)


def _not_found(book: Reading) -> Iterator[int]:
    """Yield entries that the index does not know by all their words in a row."""
    last: int | None = book.connection.exec_driver_sql("SELECT max(seq) FROM entry").scalar()
    if last is None:
        return
    for seq in sorted({1 + (last - 1) * part // _LOOKED_UP for part in range(_LOOKED_UP + 1)}):
        if book.connection.exec_driver_sql(tables.FIND_WORDS, (seq, seq)).first() is None:
            yield seq
