"""A book on a desk of our own invention, for tests: commands go in by verb."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from pourwright.errors import Refused
from pourwright.ledger import documents
from pourwright.ledger.answer import answer_text
from pourwright.ledger.book import Book
from pourwright.ledger.documents import Document
from pourwright.ledger.file.store import Store

Doc = dict[str, Any]
"""A document as the book stores it: plain JSON."""
KINDS = {
    one.KIND: one
    for one in vars(documents).values()
    if isinstance(one, type) and issubclass(one, Document) and hasattr(one, "KIND")
}
"""Every document's record, by what the book calls it."""

START = datetime(2027, 3, 1, 9, tzinfo=UTC)
NO_MASTER = (
    "No master of tide-cup is in the book, of left half and right half; enter each that was made, "
    "and the book watches over them. This is asked only now."
)
"""What the book asks before the first pour in ``with_molds``, and keeps."""


class Desk:
    """A book with a clock that goes a minute a command."""

    def __init__(self, folder: Path, name: str = "book.db") -> None:
        self.book = Book(Store.open(folder / name))
        self.now = START
        self.count = 0

    def do(self, verb: str, **fields: Any) -> dict[str, Any]:
        """Send a command with an id of its own."""
        self.count += 1
        self.now += timedelta(minutes=1)
        return self.send({"do": verb, "id": f"desk-{self.count}", **fields})

    def send(self, command: Any) -> dict[str, Any]:
        answer: dict[str, Any] = json.loads(answer_text(self.book.do(command, self.now)))
        return answer

    def refused(self, verb: str, **fields: Any) -> Refused:
        """Send a command that a rule refuses, and see that nothing was written."""
        before = self.picture()
        try:
            answer = self.do(verb, **fields)
        except Refused as refused:
            assert self.picture() == before
            return refused
        raise AssertionError(f"it was kept: {answer['said']}")

    def get(self, kind: str, key: str) -> Doc:
        with self.book.reading() as reading:
            texts = [row[3] for row in reading.things.rows() if row[:2] == (kind, key)]
        assert texts, (kind, key)
        found: Doc = json.loads(texts[0])
        return found

    def edition(self, name: str = "tide-cup") -> Doc:
        return self.get("edition", name)

    def picture(self) -> tuple[Any, ...]:
        """Return all that the book holds: its head, and every document's text."""
        with self.book.reading() as reading:
            return reading.head(), sorted(reading.things.rows())


def planned(folder: Path, **brief: Any) -> Desk:
    """Return a desk with an edition that is planned."""
    desk = Desk(folder)
    desk.do("plan-edition", **{"edition": "tide-cup", "pieces": 12, "proofs": 2, **brief})
    return desk


def with_molds(folder: Path, **brief: Any) -> Desk:
    """Return a desk with a declared edition and three dry molds of two parts."""
    desk = planned(folder, parts="left half, right half", **brief)
    desk.do("declare")
    desk.do("mix-lot", what="plaster")
    desk.do("mix-lot", what="slip")
    desk.do("pour", count=3, lot="B-001", go_on=True)
    desk.do("dry", molds="all")
    return desk


def with_ware(folder: Path, **brief: Any) -> Desk:
    """Return a desk with a first round thrown away and nine good casts in greenware."""
    desk = with_molds(folder, **brief)
    desk.do("cast", molds="all", lot="S-001")
    desk.do("cast", molds="all", each=3, lot="S-001")
    return desk


def with_finished(folder: Path, **brief: Any) -> Desk:
    """Return a desk with nine finished pieces that bear no number yet."""
    desk = with_ware(folder, **brief)
    desk.do("fire", firing="bisque", count=9)
    desk.do("fire", firing="glaze", count=9)
    desk.do("finish", count=9)
    return desk


def held(edition: Doc) -> int:
    """Return all casts of an edition that the book can still account for."""
    return int(
        edition["thrown"]
        + edition["lost_unnamed"]
        + sum(edition["ware"].values())
        + edition["loaded"]
        + sum(edition["surplus"].values())
        + edition["marked_in_all"]
    )


def findings_said(desk: Desk) -> list[str]:
    """Return what the book finds odd, in the order of its entries."""
    found = [doc for _, doc in docs_of(desk, "finding")]
    return [doc["said"] for doc in sorted(found, key=lambda doc: doc["seq"])]


def docs_of(desk: Desk, kind: str, edition: str = "tide-cup") -> Iterator[tuple[str, Doc]]:
    with desk.book.reading() as reading:
        rows = sorted(row for row in reading.things.rows() if (row[0], row[2]) == (kind, edition))
    yield from ((key, json.loads(text)) for _, key, _, text in rows)
