"""Whether a book's file holds what we make and nothing else: tables, guards, versions, words."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import zip_longest

from sqlalchemy import Connection, create_engine
from sqlalchemy.exc import DatabaseError

from pourwright.ledger.file import tables
from pourwright.ledger.file.chain import REBUILD, Fault
from pourwright.ledger.file.transaction import Reading

_CALLED = {"trigger": "guard"}

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


def words_faults(book: Reading, *, again: bool) -> Iterator[Fault]:
    """Yield what is wrong with the index of words: it is read through, or compared with a new one.

    Parameters
    ----------
    book : Reading
        The book.
    again : bool
        Whether the words of all entries are taken in again, and those of the index held against
        them: for each word how often it is there, and where.
    """
    if book.connection.dialect.name != "sqlite":
        return
    ask = book.connection.exec_driver_sql
    try:
        for name in ("word_read", "word_again_read", "word_again"):
            ask(f"DROP TABLE IF EXISTS temp.{name}")
        ask("CREATE VIRTUAL TABLE temp.word_read USING fts5vocab(main, entry_word, instance)")
        there = ask(_EACH_WORD.format("word_read"))
        if not again:
            there.all()
            return
        ask(tables.WORDS.replace("entry_word", "temp.word_again"))
        ask(tables.FILL_WORDS.replace("entry_word", "temp.word_again"), (0,))
        ask("CREATE VIRTUAL TABLE temp.word_again_read USING fts5vocab(temp, word_again, instance)")
        right = ask(_EACH_WORD.format("word_again_read"))
        for two in zip_longest(there, right):
            if two[0] != two[1]:
                word = min(one[0] for one in two if one is not None)  # both in one order
                said = f'the index of words is not what the entries lead to: "{word}"'
                yield Fault(0, said, REBUILD)
                return
    except DatabaseError as error:
        yield Fault(0, f"the index of words is damaged ({error.orig})", REBUILD)


# Sums are made by SQLite in a tenth of the time in which each of the words could be looked at here.
_EACH_WORD = (
    "SELECT term, count(*), sum(doc * (offset + 1)) FROM temp.{} GROUP BY term"  # our own names
)
