"""The chain of digests, looked at from the first entry to the last.

A chain alone shows every local change. It cannot show that everything behind a point was
written anew, digests and all; a checkpoint that is known elsewhere can, for all up to its place.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields, replace
from typing import NamedTuple

import msgspec
from msgspec import MsgspecError

from pourwright.errors import BadInput, as_written
from pourwright.ledger.answer import read_answer
from pourwright.ledger.entry import VERSION, Entry, digest, read_entry, scope_of
from pourwright.ledger.file.transaction import Head, Writing, seal
from pourwright.ledger.file.trouble import BookTrouble

_FIELDS = {field.name for field in fields(Entry)}
_CHECKPOINT = re.compile(r"([0-9]{1,15}):([0-9a-f]{8,64})(?:\.\.\.|…)?")


RESTORE, REBUILD = "restore", "rebuild"
"""What mends a fault: a copy in the book's place, or all but the entries worked out anew."""


@dataclass(frozen=True, slots=True)
class Fault:
    """Something in the book that is not as it was written.

    Parameters
    ----------
    seq : int
        The entry's place; 0 if it is about no single entry.
    what : str
        What is wrong, as the second half of a sentence.
    mend : str
        What mends it: ``RESTORE``, or ``REBUILD`` where no entry is touched.
    """

    seq: int
    what: str
    mend: str = RESTORE

    def __str__(self) -> str:
        """Return it as a maker reads it."""
        return f"Entry {self.seq}: {self.what}." if self.seq else f"The book: {self.what}."


class Checkpoint(NamedTuple):
    """A place in the book and the digits of its digest, or the first of them."""

    seq: int
    digits: str


class Row(NamedTuple):
    """An entry as the table holds it, column by column."""

    seq: int
    text: str
    digest: str
    id: str
    kind: str
    scope: str
    recorded: str
    command_id: str
    command: str
    answer: str
    seal: str


def read_checkpoint(text: str) -> Checkpoint:
    """Return the checkpoint that is printed on a certificate, a label sheet or a backup.

    Raises
    ------
    BadInput
        If it is none.

    Examples
    --------
    >>> read_checkpoint("4182:9c1d0a2b…")
    Checkpoint(seq=4182, digits='9c1d0a2b')
    """
    found = _CHECKPOINT.fullmatch(text.strip().lower())
    if not found:
        raise BadInput.one(
            "checkpoint",
            as_written(text),
            "write the entry's number, a colon, and eight or more of the digits printed with it",
        )
    return Checkpoint(int(found[1]), found[2])


def chain_faults(
    rows: Iterable[Row], head: Head | None, checkpoints: Sequence[Checkpoint] = ()
) -> Iterator[Fault]:
    """Yield what is wrong with the entries of a whole book.

    Parameters
    ----------
    rows : iterable of Row
        All of them, in order.
    head : Head or None
        Where the book says that it ends; None if it does not say.
    checkpoints : sequence of Checkpoint
        Known from elsewhere.
    """
    last = Head()
    open_ones = sorted(checkpoints)
    # A checkpoint of the empty book holds for every book.
    yield from _checked(open_ones, last)
    for row in rows:
        if not _is_sound(row, last):
            yield from row_faults(row, last)
        last = Head(row.seq, str(row.digest), str(row.recorded))
        yield from _checked(open_ones, last)
    yield from _head_faults(last, head)
    for seq, _ in open_ones:
        yield Fault(0, f"it ends at entry {last.seq}, before the checkpoint of entry {seq}")


def _head_faults(last: Head, head: Head | None) -> Iterator[Fault]:
    if head is None:
        yield Fault(0, "its head is missing, the row that says where it ends", REBUILD)
    elif last != head:
        yield Fault(0, f"it ends at entry {last.seq} and its head tells of entry {head.seq}")


def _checked(open_ones: list[Checkpoint], last: Head) -> Iterator[Fault]:
    while open_ones and open_ones[0].seq <= last.seq:
        seq, digits = open_ones.pop(0)
        if seq < last.seq or not last.digest.startswith(digits):
            yield Fault(seq, f"it or one before it is not what the checkpoint {digits} saw")


def _is_sound(row: Row, last: Head) -> bool:
    """Return whether nothing at all is wrong with an entry, at a third of the time of saying what.

    What it holds to be sound, ``row_faults`` finds nothing in; a test keeps the two together.
    """
    try:
        told = msgspec.json.decode(row.text)
        return (
            row.seq == last.seq + 1
            and digest(last.digest, row.text) == row.digest
            and seal(row.digest, row.command, row.answer) == row.seal
            and row.recorded >= last.recorded
            and told.keys() == _FIELDS
            and told["v"] == VERSION
            and (told["seq"], told["id"], told["kind"]) == (row.seq, row.id, row.kind)
            and (told["recorded"], told["command_id"]) == (row.recorded, row.command_id)
            and scope_of(told["body"]) == row.scope
            and _is_readable(row.answer)
        )
    except (MsgspecError, TypeError, ValueError, AttributeError, KeyError, RecursionError):
        return False


def _is_readable(answer: str) -> bool:
    """Return whether a kept answer can be given again, and told in the records; it may be empty."""
    try:
        return not answer or read_answer(answer).ok
    except MsgspecError:
        return False


def row_faults(row: Row, last: Head) -> Iterator[Fault]:
    """Yield what is wrong with one entry, seen from the one before."""
    if not all(isinstance(value, str) for value in row[1:]):
        yield Fault(row.seq, "it holds something that is no text")
        return
    if row.seq != last.seq + 1:
        yield Fault(row.seq, f"it follows entry {last.seq}; entries are missing or out of place")
    if digest(last.digest, row.text) != row.digest:
        yield Fault(row.seq, "it or the one before was changed; text and digest do not agree")
    if seal(row.digest, row.command, row.answer) != row.seal:
        yield Fault(row.seq, "the answer that was given for it was changed")
    elif not _is_readable(row.answer):
        yield Fault(row.seq, "the answer that was given for it cannot be read")
    if row.recorded < last.recorded:
        yield Fault(row.seq, "it was recorded before the one that it follows")
    try:
        entry = read_entry(row.text)
    except ValueError:
        yield Fault(row.seq, "its text is no entry")
        return
    for name in _unlike(row, entry):
        yield Fault(row.seq, f"its column {name} was changed")


def _unlike(row: Row, entry: Entry) -> list[str]:
    if (row.seq, row.id, row.kind, row.recorded, row.command_id, row.scope) == (
        entry.seq,
        entry.id,
        entry.kind,
        entry.recorded,
        entry.command_id,
        entry.scope,
    ):
        return []
    names = ("seq", "id", "kind", "recorded", "command_id", "scope")
    return [name for name in names if getattr(row, name) != getattr(entry, name)]


def text_faults(rows: Iterable[tuple[int, str, str]], head: Head | None) -> Iterator[Fault]:
    """Yield what is wrong with place, text and digest alone, which every older book has too."""
    last = Head()
    for seq, text, its_digest in rows:
        if seq != last.seq + 1 or digest(last.digest, str(text)) != its_digest:
            yield Fault(seq, "it or the one before was changed or is missing")
        last = Head(seq, its_digest)
    yield from _head_faults(last, replace(head, recorded="") if head else None)


def take_row(book: Writing, row: Row, but: str) -> None:
    """Append an entry from elsewhere, as it was written there.

    Raises
    ------
    BookTrouble
        If it is not as it was written; the sentence begins as ``but`` says.
    """
    fault = next(row_faults(row, book.head()), None)
    if fault:
        raise BookTrouble(f"{but}{fault}")
    book.put_entry(read_entry(row.text))
    book.keep_answer(row.command_id, row.command, row.answer)
