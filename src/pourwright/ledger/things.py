"""What is true now, document by document: one code for the living book and for a replay.

``get`` gives a copy of its own at each call: what a caller changes counts only once it is ``put``.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

from pourwright.ledger.documents import D, Document, doc_of, doc_text
from pourwright.ledger.entry import day_in, day_said


class Things(Protocol):
    """Documents by their record and id, such as ``get(MoldDoc, "M-017")``."""

    zone: str
    """The time zone of whoever asks: by its calendar days are told."""

    def get(self, kind: type[D], key: str) -> D | None:
        """Return a copy of a document, or None."""
        ...

    def put(self, key: str, doc: Document) -> None:
        """Keep a document in place of the one of its kind and id."""
        ...

    def of(self, kind: type[D], edition: str) -> list[tuple[str, D]]:
        """Return ids and documents of a kind in a scope, shorter ids first, then by the alphabet.

        So M-999 comes before M-1000.
        """
        ...


def told_day(things: Things, at: str) -> str:
    """Return the day of an instant or a date in the book, as sentences have it, where whoever asks is."""
    return day_said(day_in(at, things.zone))


def place(id_and_any: tuple[str, object]) -> tuple[int, str]:
    """Return what documents of a kind are ordered by: an id's length, then the id."""
    return len(id_and_any[0]), id_and_any[0]


class MemoryThings:
    """Documents in memory: for a replay and for tests."""

    def __init__(self) -> None:
        self.zone = "UTC"
        self._scopes: dict[tuple[str, str], str] = {}
        self._texts: dict[tuple[str, str], dict[str, str]] = {}

    def get(self, kind: type[D], key: str) -> D | None:
        """Return a copy of a document, or None."""
        scope = self._scopes.get((kind.KIND, key))
        return None if scope is None else doc_of(kind, self._texts[kind.KIND, scope][key])

    def put(self, key: str, doc: Document) -> None:
        """Keep a document in place of the one of its kind and id."""
        kind, scope = doc.KIND, doc.edition
        before = self._scopes.setdefault((kind, key), scope)
        if before != scope:
            del self._texts[kind, before][key]
            self._scopes[kind, key] = scope
        self._texts.setdefault((kind, scope), {})[key] = doc_text(doc)

    def of(self, kind: type[D], edition: str) -> list[tuple[str, D]]:
        """Return ids and documents of a kind in a scope, shorter ids first."""
        texts = self._texts.get((kind.KIND, edition), {})
        return [(key, doc_of(kind, text)) for key, text in sorted(texts.items(), key=place)]

    def rows(self, scope: str | None = None) -> Iterator[tuple[str, str, str, str]]:
        """Yield kind, id, scope and text of every document, or of those of one scope."""
        for (kind, mine), texts in self._texts.items():
            if scope in {None, mine}:
                yield from ((kind, key, mine, text) for key, text in texts.items())
