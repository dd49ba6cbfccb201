"""What this computer last saw of a book, kept apart from it: how many entries, and the last digest.

A chain cannot show that its end was cut off, and an empty file shows nothing at all. This can, as
long as the book stays where it is; it holds nothing of what was written, and no name.
"""

from __future__ import annotations

import hashlib
import json
import os
from contextlib import suppress
from pathlib import Path

from platformdirs import user_state_path

from pourwright.ledger.file.chain import Fault
from pourwright.ledger.file.transaction import Head, Reading

PUT_BACK = (
    "To put the right one back, end the studio if it is served, then run: "
    "pourwright book restore COPY, with the newest file in the folder copies."
)
"""What can be done about a book that lies in another's place."""

_LENGTH = 256
"""Of a witness, with spaces at its end. [byte]"""


def witness_path(book: Path) -> Path:
    """Return the file of the witness of the book at a path; its folder is made if need be."""
    name = hashlib.sha256(str(book.absolute()).encode(errors="surrogateescape")).hexdigest()[:32]
    folder = user_state_path("pourwright", appauthor=False) / "books"
    with suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
    return folder / f"{name}.json"


def seen_before(book: Path) -> Head | None:
    """Return the end of the book as this computer last saw it at that path; None if it never did."""
    try:
        told = json.loads(witness_path(book).read_text(encoding="utf-8"))
        seq, digest, recorded = told["entries"], told["digest"], told["recorded"]
    except (OSError, ValueError, TypeError, KeyError):
        return None
    is_one = isinstance(seq, int) and isinstance(digest, str) and isinstance(recorded, str)
    return Head(seq, digest, recorded) if is_one and seq > 0 else None


def keep_seen(witness: Path, head: Head) -> None:
    """Keep the end of a book in its witness, whose folder is there if anything can be kept.

    It is not synced: after a power cut it may be behind, and what is cut off then is less.
    """
    told = {"entries": head.seq, "digest": head.digest, "recorded": head.recorded}
    with suppress(OSError):
        # Written over and as long as before: to cut a file first costs a write as much again.
        file = os.open(witness, os.O_WRONLY | os.O_CREAT, 0o600)
        try:
            os.write(file, json.dumps(told).ljust(_LENGTH).encode())
        finally:
            os.close(file)


def goes_on_from(book: Reading, seen: Head | None) -> bool:
    """Return whether a book still holds the entry that was once its last."""
    return seen is None or book.digest_at(seen.seq) == seen.digest


def doubt_said(who: str, seen: Head, head: Head, name: str) -> str:
    """Return why a book may not be the one that was written in: who saw something else in it.

    Examples
    --------
    >>> doubt_said("This computer", Head(41), Head(38), "book.db")
    'This computer saw 41 entries in book.db, and an older book of 38 entries lies in its place.'
    """
    lies = "an older" if head.seq < seen.seq else "another"
    of = f"{lies} book of {head.seq} entries" if head.seq else "an empty book"
    return f"{who} saw {seen.seq} entries in {name}, and {of} lies in its place."


def witness_faults(seen: Head | None, book: Reading) -> list[Fault]:
    """Return what this computer saw as the end of a book, if it is there no more."""
    if seen is None or goes_on_from(book, seen):
        return []
    return [
        Fault(
            0,
            f"it does not hold entry {seen.seq}, recorded {seen.recorded[:16]}Z, that this "
            f"computer saw in it (checkpoint {seen.short_checkpoint}); it was cut, emptied or "
            "exchanged",
        )
    ]
