"""Copies of the book that are known to be sound.

A copy's name carries its moment and its checkpoint, so each one bears witness to what the book
held: ``book-20270301T140500Z-4182-9c1d0a2b3c4d5e6f.db``.
"""

from __future__ import annotations

import os
import re
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

from sqlalchemy import NullPool, create_engine

from pourwright.files import put_in_place
from pourwright.ledger.file.chain import Checkpoint
from pourwright.ledger.file.connecting import READ_ONLY, address_of, connect
from pourwright.ledger.file.transaction import Head, Reading
from pourwright.ledger.file.trouble import BookTrouble, files_told_plainly
from pourwright.ledger.file.verify import Replay, verify
from pourwright.ledger.file.witness import seen_before, witness_faults

COPIES = "copies"
"""The folder beside a book in which its copies are kept, unless another is told."""

HOURLY, DAILY = 24, 30
"""How many hours and days, of those with a copy, keep their last one; every month does."""

_NAME = re.compile(r"book-([0-9]{8}T[0-9]{6}Z)-([0-9]+)-([0-9a-f]{16})\.db")
_MOMENT = "%Y%m%dT%H%M%SZ"


class Copy(NamedTuple):
    """A copy of the book.

    Parameters
    ----------
    path : Path
        Its file.
    made : datetime
        When, in UTC.
    checkpoint : Checkpoint
        What the book held then.
    """

    path: Path
    made: datetime
    checkpoint: Checkpoint


def copy_name(now: datetime, head: Head) -> str:
    """Return the name of a copy by its moment and the end of the book in it."""
    stamp = now.astimezone(UTC).strftime(_MOMENT)
    return f"book-{stamp}-{head.seq}-{head.digest[:16]}.db"


def copy_of_name(path: Path) -> Copy | None:
    """Return the copy that a file is by its name, None if it is named otherwise."""
    name = _NAME.fullmatch(path.name)
    return Copy(path, _moment(name[1]), Checkpoint(int(name[2]), name[3])) if name else None


def back_up(book: Path, folder: Path, now: datetime, replay: Replay | None = None) -> Copy:
    """Put a verified copy of the book into a folder, and let older ones go by the rotation.

    Writers may go on meanwhile. A copy of which the book no longer holds the end is never let go:
    it may be the only one of what was cut off.

    Parameters
    ----------
    book : Path
        The living book.
    folder : Path
        Where the copies are kept; made if it is not there.
    now : datetime
        The studio's clock, with a time zone.
    replay : callable, optional
        Works the documents out again, to compare them too.

    Raises
    ------
    BookTrouble
        If the copy is not sound, is less than this computer saw in the book, or cannot be
        written; the copies before are as they were.
    """
    with files_told_plainly():
        folder.mkdir(parents=True, exist_ok=True)
        seen = seen_before(book)  # before the copy: writers go on
        with _sound_copy(book, folder, replay) as (part, head):
            with read_only(part) as copy:
                cut_off = witness_faults(seen, copy)
                if cut_off:
                    raise BookTrouble(
                        f"No copy is made. {cut_off[0]} Run: pourwright book restore COPY, with "
                        "the newest copy that holds it."
                    )
                going = [
                    old
                    for old in to_let_go([*copies_in(folder), Copy(part, now, _end(head))])
                    if is_within(copy, old.checkpoint)
                ]
            path = folder / copy_name(now, head)
            put_in_place(part, path)
        for old in going:
            old.path.unlink(missing_ok=True)
    return Copy(path, now.astimezone(UTC).replace(microsecond=0), _end(head))


def _end(head: Head) -> Checkpoint:
    return Checkpoint(head.seq, head.digest[:16])


def is_within(book: Reading, checkpoint: Checkpoint) -> bool:
    """Return whether a book holds the entry that a checkpoint saw, as it saw it."""
    digest = Head().digest if checkpoint.seq == 0 else book.digest_at(checkpoint.seq)
    return digest is not None and digest.startswith(checkpoint.digits)


def copy_verified(book: Path, target: Path, replay: Replay | None = None) -> Head:
    """Put a verified copy of a book at a path.

    Returns
    -------
    Head
        The end of the copy.

    Raises
    ------
    BookTrouble
        If the copy is not sound or cannot be written; nothing is at the target then.
    """
    with files_told_plainly(), _sound_copy(book, target.parent, replay) as (part, head):
        put_in_place(part, target)
    return head


@contextmanager
def _sound_copy(book: Path, folder: Path, replay: Replay | None) -> Iterator[tuple[Path, Head]]:
    part = folder / f".{book.name}-{os.getpid()}.part"
    try:
        with closing(connect(book)) as source, closing(sqlite3.connect(part)) as target:
            # All pages in one step: in several, each write meanwhile begins it anew.
            source.backup(target)
            target.execute("pragma journal_mode=delete")
        yield part, head_of_sound(part, replay=replay)
    finally:
        part.unlink(missing_ok=True)


@contextmanager
def read_only(path: Path) -> Iterator[Reading]:
    """Yield a file that nobody writes to, to be read without a lock or a log."""
    address = address_of(path, READ_ONLY)
    engine = create_engine(
        "sqlite://", creator=lambda: sqlite3.connect(address, uri=True), poolclass=NullPool
    )
    with files_told_plainly(), engine.connect() as connection:
        yield Reading(connection)


def head_of_sound(
    path: Path, checkpoints: Sequence[Checkpoint] = (), replay: Replay | None = None
) -> Head:
    """Return the end of a copy that nobody writes to; refuse it if it is not sound.

    Raises
    ------
    BookTrouble
        If it is not sound.
    """
    with read_only(path) as reading:
        faults = verify(reading, checkpoints, replay)
        if faults:
            raise BookTrouble(
                f"The copy is not sound, and is not kept. {faults[0]} Look at the book with: "
                "pourwright book verify."
            )
        return reading.head()


def copies_in(folder: Path) -> list[Copy]:
    """Return the copies in a folder, oldest first; files of other names are left out."""
    named = map(copy_of_name, sorted(folder.glob("book-*.db")))
    copies = [copy for copy in named if copy is not None]
    return sorted(copies, key=lambda copy: (copy.made, copy.checkpoint.seq))


def _moment(stamp: str) -> datetime:
    return datetime.strptime(stamp, _MOMENT).replace(tzinfo=UTC)


def to_let_go(copies: Iterable[Copy]) -> list[Copy]:
    """Return the copies that the rotation no longer keeps.

    Kept are the last copy of each of the last 24 hours and 30 days that have one, and of every
    month.
    """
    ordered = sorted(copies, key=lambda copy: (copy.made, copy.checkpoint.seq))
    kept = {
        *_last_of_each(ordered, lambda made: made.strftime("%Y%m%d%H"))[-HOURLY:],
        *_last_of_each(ordered, lambda made: made.strftime("%Y%m%d"))[-DAILY:],
        *_last_of_each(ordered, lambda made: made.strftime("%Y%m")),
    }
    return [copy for copy in ordered if copy not in kept]


def _last_of_each(ordered: list[Copy], span: Callable[[datetime], str]) -> list[Copy]:
    return list({span(copy.made): copy for copy in ordered}.values())
