"""The book as text: a first line that says how it ends, then one JSON line an entry.

It is meant to be readable in thirty years without this program. Each line holds the entry, its
digest, the answer that was given and the digest of the command; the chain is checked line by
line when it is read again.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from sqlalchemy import select

from pourwright.files import whole_file
from pourwright.ledger.entry import Entry, canonical, read_entry
from pourwright.ledger.file import tables
from pourwright.ledger.file.chain import Row, take_row
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.transaction import Head, Reading, Writing
from pourwright.ledger.file.trouble import BookTrouble, files_told_plainly
from pourwright.ledger.file.verify import Replay
from pourwright.ledger.one_json import one_json

FORMAT = 1
"""The version of the text."""

_COLUMNS = ("text", "digest", "command", "answer", "seal")
_LINES = select(*(tables.entry.c[name] for name in _COLUMNS)).order_by(tables.entry.c.seq)
_FIELDS = {"entry": dict, "digest": str, "command": str, "answer": str, "seal": str}
_SENT_AT_ONCE = 1000


def export_lines(book: Reading) -> Iterator[str]:
    """Yield the lines of the book's text, each with its line end."""
    head = book.head()
    yield _line({"book": FORMAT, "entries": head.seq, "checkpoint": head.checkpoint})
    for text, digest, command, answer, seal in book.rows(_LINES):
        rest = _line({"digest": digest, "command": command, "answer": answer, "seal": seal})
        # The entry stands there as it was hashed.
        yield f'{{"entry":{text},{rest[1:]}'


def _line(fields: Mapping[str, Any]) -> str:
    return json.dumps(fields, ensure_ascii=False, separators=(",", ":")) + "\n"


def export_to(store: Store, path: Path) -> Head:
    """Write the book's text to a file, whole or not at all.

    Returns
    -------
    Head
        The end of what was written.

    Raises
    ------
    BookTrouble
        If it cannot be written.
    """
    with files_told_plainly(), store.reading() as book:
        with whole_file(path) as file:
            file.writelines(line.encode() for line in export_lines(book))
        return book.head()


def import_from(lines: Iterable[str], store: Store, replay: Replay) -> Head:
    """Fill an empty book from a text, checked line by line, whole or not at all.

    Parameters
    ----------
    lines : iterable of str
        The text, such as an open file.
    store : Store
        An empty book.
    replay : callable
        Works out what is true from the entries.

    Returns
    -------
    Head
        The end of the book.

    Raises
    ------
    BookTrouble
        If a line is not as it was written, lines are missing, or the book is not empty.
    """
    with store.writing() as book:
        if book.head().seq:
            raise BookTrouble("The book has entries already; a text is read into an empty one.")
        numbered = enumerate(lines, 1)
        end = _read_first(next(numbered, (1, ""))[1])
        for number, line in numbered:
            _take(book, number, line)
        if book.head().checkpoint != end:
            raise BookTrouble(
                f"The text ends at entry {book.head().seq} and its first line tells of "
                f"{end.partition(':')[0]}; it was cut or changed."
            )
        book.flush()
        book.things.replace(None, replay(book.entries()))
        return book.head()


def _read_first(line: str) -> str:
    fields = _read_object(1, line)
    end = fields.get("checkpoint")
    right = {"book": FORMAT, "entries": fields.get("entries"), "checkpoint": end}
    if (
        fields != right
        or not isinstance(end, str)
        or end.partition(":")[0] != str(fields["entries"])
    ):
        raise BookTrouble(
            f'Line 1 should say "book":{FORMAT} and its checkpoint; it is not the text of a book '
            "that this program knows."
        )
    return end


def _read_object(number: int, line: str) -> dict[str, Any]:
    try:
        fields = one_json(line)
    except ValueError as error:
        raise BookTrouble(f"Line {number} is not JSON; the text was cut or changed.") from error
    if not isinstance(fields, dict):
        raise BookTrouble(f"Line {number} is no entry; the text was cut or changed.")
    return fields


def _take(book: Writing, number: int, line: str) -> None:
    fields = _read_object(number, line)
    right = fields.keys() == _FIELDS.keys()
    if not right or not all(isinstance(fields[name], kind) for name, kind in _FIELDS.items()):
        raise BookTrouble(f"Line {number} has not the fields {', '.join(_FIELDS)}.")
    try:
        text, entry = _entry_of(fields["entry"])
    except (ValueError, TypeError) as error:
        raise BookTrouble(f"Line {number} holds no entry; the text was changed.") from error
    rest = (fields[name] for name in ("command", "answer", "seal"))
    row = Row(
        entry.seq,
        text,
        fields["digest"],
        entry.id,
        entry.kind,
        entry.scope,
        entry.recorded,
        entry.command_id,
        *rest,
    )
    take_row(book, row, f"Line {number} is not as it was written. ")
    if number % _SENT_AT_ONCE == 0:
        book.flush()


def _entry_of(fields: Mapping[str, Any]) -> tuple[str, Entry]:
    entry = read_entry(json.dumps(fields))
    return canonical(entry), entry
