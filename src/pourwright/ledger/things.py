"""What is true now, as small documents: one code for the living book and for a replay.

A document is plain JSON without floats and has a kind, an id and, in its ``"edition"``, a scope.
``get`` gives a copy of its own at each call: what a caller changes counts only once it is ``put``.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any, Protocol

from pourwright.ledger.entry import day_in, scope_of

Doc = dict[str, Any]


class Things(Protocol):
    """Documents by kind and id, such as ``get("mold", "M-017")``."""

    zone: str
    """The time zone of whoever asks: by its calendar days are told."""

    def get(self, kind: str, key: str) -> Doc | None:
        """Return a copy of a document, or None."""
        ...

    def put(self, kind: str, key: str, doc: Doc) -> None:
        """Keep a document in place of the one with its kind and id."""
        ...

    def of(self, kind: str, edition: str) -> list[tuple[str, Doc]]:
        """Return ids and documents of a kind in a scope, shorter ids first, then by the alphabet.

        So M-999 comes before M-1000.
        """
        ...


def told_day(things: Things, at: str) -> str:
    """Return the day of an instant or a date in the book, as whoever asks calls it.

    Parameters
    ----------
    things : Things
        The documents, with the zone of whoever asks.
    at : str
        An instant in UTC, or a date alone.

    Returns
    -------
    str
    """
    return day_in(at, things.zone)


def doc_text(doc: Doc) -> str:
    """Return a document as it is kept: compact JSON, keys in order.

    Parameters
    ----------
    doc : dict
        Plain JSON.

    Returns
    -------
    str
    """
    return _ENCODE(doc)


_ENCODE = json.JSONEncoder(
    sort_keys=True, ensure_ascii=False, separators=(",", ":"), allow_nan=False
).encode


def place(id_and_any: tuple[str, Any]) -> tuple[int, str]:
    """Return what documents of a kind are ordered by.

    Parameters
    ----------
    id_and_any : tuple
        The id, and anything.

    Returns
    -------
    tuple
    """
    return len(id_and_any[0]), id_and_any[0]


class MemoryThings:
    """Documents in memory: for a replay and for tests."""

    def __init__(self) -> None:
        self.zone = "UTC"
        self._scopes: dict[tuple[str, str], str] = {}
        self._texts: dict[tuple[str, str], dict[str, str]] = {}

    def get(self, kind: str, key: str) -> Doc | None:
        """Return a copy of a document, or None."""
        scope = self._scopes.get((kind, key))
        return None if scope is None else json.loads(self._texts[kind, scope][key])

    def put(self, kind: str, key: str, doc: Doc) -> None:
        """Keep a document in place of the one with its kind and id."""
        scope, text = scope_of(doc), doc_text(doc)
        before = self._scopes.setdefault((kind, key), scope)
        if before != scope:
            del self._texts[kind, before][key]
            self._scopes[kind, key] = scope
        self._texts.setdefault((kind, scope), {})[key] = text

    def of(self, kind: str, edition: str) -> list[tuple[str, Doc]]:
        """Return ids and documents of a kind in a scope, shorter ids first."""
        texts = self._texts.get((kind, edition), {})
        return [(key, json.loads(text)) for key, text in sorted(texts.items(), key=place)]

    def rows(self, scope: str | None = None) -> Iterator[tuple[str, str, str, str]]:
        """Yield kind, id, scope and text of every document, or of those of one scope."""
        for (kind, mine), texts in self._texts.items():
            if scope in {None, mine}:
                yield from ((kind, key, mine, text) for key, text in texts.items())
