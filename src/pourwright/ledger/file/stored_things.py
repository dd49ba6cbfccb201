"""The documents of the living book: rows read when they are asked for, written at the commit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import msgspec
from sqlalchemy import Connection, bindparam, delete, func, insert, select, update

from pourwright.ledger.entry import scope_of
from pourwright.ledger.file import tables
from pourwright.ledger.things import Doc, MemoryThings, doc_text, place

_Both = tuple[str, str]
_Row = tuple[str, str]


class StoredThings:
    """Documents in a database, inside one transaction; see :class:`Things`.

    Parameters
    ----------
    connection : Connection
        With a transaction begun.
    """

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self.zone = "UTC"
        # Scope and text by kind and id: as the database has those that were looked at, and as
        # those that were put are now.
        self._stored: dict[_Both, _Row | None] = {}
        self._now: dict[_Both, _Row | None] = {}
        self._lists: dict[tuple[str, str], Sequence[tuple[str, str]]] = {}

    def get(self, kind: str, key: str) -> Doc | None:
        """Return a copy of a document, or None."""
        both = kind, key
        row = self._now[both] if both in self._now else self._look(both)
        return None if row is None else msgspec.json.decode(row[1])

    def put(self, kind: str, key: str, doc: Doc) -> None:
        """Keep a document in place of the one with its kind and id."""
        self._look((kind, key))
        self._now[kind, key] = scope_of(doc), doc_text(doc)

    def of(self, kind: str, edition: str) -> list[tuple[str, Doc]]:
        """Return ids and documents of a kind in a scope, shorter ids first."""
        rows = self._lists.get((kind, edition))
        if rows is None:
            asked = {"of_kind": kind, "of_edition": edition}
            rows = self._lists[kind, edition] = self._connection.execute(_OF, asked).all()
        mine = {both[1]: row for both, row in self._now.items() if both[0] == kind}
        if mine:
            put = [(key, row[1]) for key, row in mine.items() if row and row[0] == edition]
            there = [(key, text) for key, text in rows if key not in mine]
            return _read(sorted([*there, *put], key=place))
        return _read(rows)

    def replace(self, edition: str | None, others: MemoryThings) -> None:
        """Put a replay's documents of a scope in place of all that are there.

        Parameters
        ----------
        edition : str or None
            The scope; None for all of them.
        others : MemoryThings
            What the replay gave.
        """
        asked = _ALL if edition is None else _ALL.where(_C.edition == edition)
        for both, row in self._now.items():
            if row is not None and edition in {None, row[0]}:
                self._now[both] = None
        for kind, key, scope, text in self._connection.execute(asked):
            self._stored[kind, key] = scope, text
            self._now.setdefault((kind, key), None)
        for kind, key, scope, text in others.rows(edition):
            if edition is not None:  # a document of that name may stand in another scope
                self._look((kind, key))
            self._stored.setdefault((kind, key), None)
            self._now[kind, key] = scope, text

    def rows(self) -> Iterator[tuple[str, str, str, str]]:
        """Yield kind, id, scope and text of every document that the database holds."""
        for row in self._connection.execute(_ALL):
            yield row[0], row[1], row[2], row[3]

    def flush(self) -> None:
        """Write what differs from the database to it."""
        changed = {both: kept for both, kept in self._now.items() if kept != self._stored[both]}
        gone = [_row(both) for both, kept in changed.items() if kept is None]
        new = [
            _row(both, kept) for both, kept in changed.items() if kept and not self._stored[both]
        ]
        moved = [_row(both, kept) for both, kept in changed.items() if kept and self._stored[both]]
        for statement, rows in ((_DELETE, gone), (_INSERT, new), (_UPDATE, moved)):
            if rows:
                self._connection.execute(statement, rows)
        self._stored.update(changed)
        self._lists.clear()

    def _look(self, both: _Both) -> _Row | None:
        if both not in self._stored:
            row = self._connection.execute(_GET, _row(both)).one_or_none()
            self._stored[both] = None if row is None else (row[0], row[1])
        return self._stored[both]


def _read(rows: Iterable[tuple[str, str]]) -> list[tuple[str, Doc]]:
    return [(key, msgspec.json.decode(text)) for key, text in rows]


def _row(both: _Both, kept: _Row | None = None) -> dict[str, Any]:
    row = {"of_kind": both[0], "of_id": both[1]}
    return row if kept is None else {**row, "edition": kept[0], "doc": kept[1]}


_C = tables.thing.c
_IS_IT = (_C.kind == bindparam("of_kind")) & (_C.id == bindparam("of_id"))
_GET = select(_C.edition, _C.doc).where(_IS_IT)
_ALL = select(_C.kind, _C.id, _C.edition, _C.doc)
_OF = (
    select(_C.id, _C.doc)
    .where((_C.edition == bindparam("of_edition")) & (_C.kind == bindparam("of_kind")))
    .order_by(func.length(_C.id), _C.id)  # as `place` has them
)
_INSERT = insert(tables.thing).values(
    kind=bindparam("of_kind"), id=bindparam("of_id"), edition=bindparam("edition"),
    doc=bindparam("doc"),
)  # fmt: skip
_UPDATE = (
    update(tables.thing).where(_IS_IT).values(edition=bindparam("edition"), doc=bindparam("doc"))
)
_DELETE = delete(tables.thing).where(_IS_IT)
