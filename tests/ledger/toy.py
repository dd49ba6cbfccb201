"""The smallest book that can go wrong: numbers of an edition, each given once, none above N."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path

from pourwright.errors import StudioError
from pourwright.ledger.answer import BookAnswer, answer_text, read_answer
from pourwright.ledger.documents import Document
from pourwright.ledger.entry import Draft, Entry, id_from
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.transaction import Writing
from pourwright.ledger.things import MemoryThings, Things

NOW = datetime(2027, 3, 1, 9, 30, tzinfo=UTC)


def rounds(usual: int, soak: int) -> int:
    """Return how often to try: the usual number, or with POURWRIGHT_SOAK set the long one."""
    return soak if os.environ.get("POURWRIGHT_SOAK") else usual


class SoldOut(StudioError):
    """Every number is given."""


class ToyEdition(Document, kw_only=True):
    """An edition: how many numbers it has, and how many are given."""

    KIND = "edition"

    size: int
    given: int = 0


class ToyNumber(Document, kw_only=True):
    """A number: by which entry it was given, and to whom."""

    KIND = "number"

    entry: str = ""
    to: str = ""


def apply(things: Things, entry: Entry) -> None:
    edition = entry.scope
    if entry.kind == "edition-planned":
        things.put(edition, ToyEdition(edition=edition, size=entry.body["size"]))
    elif entry.kind == "number-given":
        doc = things.get(ToyEdition, edition)
        doc.given = entry.body["number"]
        things.put(edition, doc)
        number = f"{edition}/{entry.body['number']}"
        things.put(number, ToyNumber(edition=edition, entry=entry.id, to=entry.by))


def replay(entries: Iterable[Entry]) -> MemoryThings:
    things = MemoryThings()
    for entry in entries:
        apply(things, entry)
    return things


def do(
    book: Writing, kind: str, body: dict, command_id: str, now: datetime = NOW, by: str = ""
) -> dict:
    """Append one entry and keep its answer; the same command again gets the same answer."""
    command = hashlib.sha256(json.dumps([kind, body, by]).encode()).hexdigest()
    draft = Draft(
        kind=kind, at="2027-03-01", zone="Europe/Berlin", by=by, command_id=command_id, body=body,
        id=id_from(command_id),
    )  # fmt: skip
    entry = book.append(draft, now)
    apply(book.things, entry)
    answer = BookAnswer(
        id=command_id, entry=entry.id, seq=entry.seq, kind=kind, said=str(body.get("number", "")),
        made=(), late=False, findings=(),
    )  # fmt: skip
    book.keep_answer(command_id, command, answer_text(answer))
    return told(answer)


def told(answer: BookAnswer) -> dict:
    return {"ok": True, "seq": answer.seq, "number": int(answer.said) if answer.said else None}


def plan(store: Store, edition: str, size: int) -> None:
    with store.writing() as book:
        do(book, "edition-planned", {"edition": edition, "size": size}, f"plan-{edition}")


def give(store: Store, edition: str, command_id: str, now: datetime = NOW, by: str = "") -> dict:
    """Give the next number of an edition."""
    with store.writing() as book:
        before = book.answer_of(command_id)
        if before:
            return told(read_answer(before[1]))
        doc = book.things.get(ToyEdition, edition)
        if doc.given >= doc.size:
            raise SoldOut(f"{edition} has {doc.size} numbers, and all are given")
        body = {"edition": edition, "number": doc.given + 1}
        return do(book, "number-given", body, command_id, now, by)


def book_of(path: Path, size: int = 500, given: int = 0) -> Path:
    """Make a book in a file with some numbers of the edition "cup" given, and close it."""
    with Store.open(path) as store:
        plan(store, "cup", size)
        for i in range(given):
            give(store, "cup", f"given-{i}", by=f"buyer é{i}")
    return path
