"""An older book's tables, brought up to date by one function a version.

Entries are never migrated: only the tables move, and the documents are worked out again from the
entries. Before anything is changed, a verified copy of the book is put beside it, and all of it is
one transaction.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from sqlalchemy import Connection, Engine, update
from sqlalchemy.exc import OperationalError

from pourwright.ledger.file import tables
from pourwright.ledger.file.backup import copy_verified
from pourwright.ledger.file.opening import (
    make_tables,
    mark,
    settle,
    version_of_tables,
    write_ahead,
)
from pourwright.ledger.file.transaction import Writing
from pourwright.ledger.file.trouble import BookTrouble, trouble_of
from pourwright.ledger.file.verify import rebuild
from pourwright.ledger.replaying import replay


def found_by_kind_and_words(connection: Connection) -> None:
    """Find entries by their kind and by the words in them without reading the whole book.

    A step keeps what it made, whatever ``tables`` says today.
    """
    for statement in (INDEX, WORDS, FILL_WORDS):
        connection.exec_driver_sql(statement)


INDEX = "CREATE INDEX entry_by_kind ON entry (kind, seq)"
WORDS = "CREATE VIRTUAL TABLE entry_word USING fts5(words, content='', columnsize=0)"
FILL_WORDS = (
    "INSERT INTO entry_word (rowid, words) SELECT seq, kind || ' ' || scope || ' ' || "
    "json_extract(text, '$.at') || ' ' || json_extract(text, '$.by') || ' ' || "
    "coalesce(json_extract(text, '$.corrects'), '') || ' ' || "
    "replace(json_extract(text, '$.body'), '\\n', ' ') FROM entry ORDER BY seq"
)

STEPS: Mapping[int, Callable[[Connection], None]] = {2: found_by_kind_and_words}
"""By the version that a step leads to. Version 3 tells days by the studio's calendar, version 4
keeps all that was seen of a step, version 5 writes the days of findings out, version 6 has in a
finding what was timed or seen; all in the documents alone, which are worked out again after all
steps."""


def bring_up_to_date(engine: Engine, path: Path) -> None:
    """Make the tables of a new book, or bring those of an older one up to date.

    Raises
    ------
    BookTrouble
        If the tables are another program's.
    """
    with engine.execution_options(reads_only=True).begin() as connection:
        schema = version_of_tables(connection, path.name)
    write_ahead(engine)
    if schema == 0:
        make_tables(engine, path)
    elif schema < tables.SCHEMA:
        upgrade(engine, path)


def upgrade(engine: Engine, path: Path) -> Path:
    """Bring an older book up to date.

    Returns
    -------
    Path
        The verified copy of the book as it was before.
    """
    to = tables.SCHEMA
    with engine.execution_options(reads_only=True).begin() as connection:
        before = version_of_tables(connection, path.name)
    kept = path.with_name(f"{path.stem}-before-tables-{to}{path.suffix}")
    copy_verified(path, kept)
    with engine.begin() as connection:
        if version_of_tables(connection, path.name) == before:  # else another program was quicker
            for number in range(before + 1, to + 1):
                if number in STEPS:
                    _step(STEPS[number], connection, path.name, before)
            connection.execute(update(tables.version).values(version_num=f"{to:04d}"))
            # What verify works out today is in the book too: last_away and findings by local days.
            _documents_again(connection)
            mark(connection, to)
    settle(engine)
    return kept


def _step(
    step: Callable[[Connection], None], connection: Connection, name: str, before: int
) -> None:
    try:
        step(connection)
    except OperationalError as error:
        if trouble_of(error):
            raise
        raise BookTrouble(
            f"{name} says that its tables are of version {before}, and they are not "
            f"({error.orig}). Run: pourwright book rebuild."
        ) from error


def _documents_again(connection: Connection) -> None:
    writing = Writing(connection)
    rebuild(writing, replay)
    writing.flush()
