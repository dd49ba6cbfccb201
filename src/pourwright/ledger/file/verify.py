"""Is the book as it was written: file, chain, checkpoints, and all that follows from the entries."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager

from sqlalchemy import select
from sqlalchemy.exc import DatabaseError

from pourwright.ledger.entry import Entry
from pourwright.ledger.file import tables
from pourwright.ledger.file.chain import (
    REBUILD,
    Checkpoint,
    Fault,
    Row,
    chain_faults,
    text_faults,
)
from pourwright.ledger.file.opening import version_of_tables
from pourwright.ledger.file.shape import shape_faults, words_faults
from pourwright.ledger.file.transaction import Reading, Writing
from pourwright.ledger.things import MemoryThings

Replay = Callable[[Iterable[Entry]], MemoryThings]
"""Works out from all entries what is true now."""

_ROW = select(*(tables.entry.c[name] for name in Row._fields)).order_by(tables.entry.c.seq)
_TEXT = select(*(tables.entry.c[name] for name in Row._fields[:3])).order_by(tables.entry.c.seq)


def verify(
    book: Reading, checkpoints: Sequence[Checkpoint] = (), replay: Replay | None = None
) -> list[Fault]:
    """Return everything in the book that is not as it was written.

    Parameters
    ----------
    book : Reading
        The book at one moment.
    checkpoints : sequence of Checkpoint
        Known from elsewhere: printed, in a backup's name, on a certificate.
    replay : callable, optional
        Works the documents out again; they and the index of words are compared if the chain is
        sound.

    Returns
    -------
    list of Fault
        Empty for a sound book.
    """
    try:
        older = version_of_tables(book.connection, "the book") < tables.SCHEMA
        faults = [*file_faults(book), *_chain(book, checkpoints, older=older)]
        again = replay is not None and not faults
        if replay is not None and not faults:
            faults += things_faults(book, replay)
        if not older:
            faults += [*shape_faults(book), *words_faults(book, again=again)]
    except DatabaseError as error:
        return [Fault(0, f"its file is damaged ({error.orig})")]
    return faults


def _chain(book: Reading, checkpoints: Sequence[Checkpoint], *, older: bool) -> Iterator[Fault]:
    head = book.head_if_there()
    if older:  # its other columns are those of its time
        rows = ((int(seq), text, its) for seq, text, its in book.rows(_TEXT))
        return text_faults(rows, head)
    return chain_faults(map(Row._make, book.rows(_ROW)), head, checkpoints)


def file_faults(book: Reading) -> Iterator[Fault]:
    """Yield what the database itself finds wrong."""
    if book.connection.dialect.name != "sqlite":
        return
    for (found,) in book.connection.exec_driver_sql("PRAGMA integrity_check(20)"):
        if found != "ok":
            yield Fault(0, f"its file is damaged ({found})", REBUILD)


def things_faults(book: Reading, replay: Replay) -> list[Fault]:
    """Return the documents that are not what the entries lead to."""
    with nothing_thrown_away():
        live = {row[:2]: row[2:] for row in book.things.rows()}
        try:
            again = replay(book.entries())
        except Exception as error:  # noqa: BLE001 - no rule was asked before a forged entry stood here
            return [Fault(0, f"nothing can be worked out from its entries ({error!r})")]
        faults = [
            Fault(0, f"{kind} {key} is not what the entries lead to", REBUILD)
            for kind, key, *right in again.rows()
            if live.pop((kind, key), None) != tuple(right)
        ]
    return [
        *faults,
        *(Fault(0, f"{kind} {key} follows from no entry", REBUILD) for kind, key in sorted(live)),
    ]


@contextmanager
def nothing_thrown_away() -> Iterator[None]:
    """Hold Python's collector while many things are made that are all kept.

    It would look through all of them again and again, a third of the time of a replay.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def rebuild(book: Writing, replay: Replay) -> None:
    """Put what the entries lead to in place of all documents."""
    with nothing_thrown_away():
        book.things.replace(None, replay(book.entries()))
