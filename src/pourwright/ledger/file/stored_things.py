"""The documents of the living book: rows read when they are asked for, written at the commit."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import msgspec
from sqlalchemy import Connection, bindparam, delete, insert, select, update

from pourwright.ledger.entry import scope_of
from pourwright.ledger.file import tables
from pourwright.ledger.kept import Kept
from pourwright.ledger.things import Doc, MemoryThings, doc_text, place

_Both = tuple[str, str]
_Kept = tuple[str, str]


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
        # Scope and text by kind and id, as they are in the database and as they are now.
        self._stored: dict[_Both, _Kept | None] = {}
        self._now: dict[_Both, _Kept | None] = {}

    def get(self, kind: str, key: str) -> Doc | None:
        """Return a copy of a document, or None."""
        kept = self._look((kind, key))
        return None if kept is None else msgspec.json.decode(kept[1])

    def put(self, kind: str, key: str, doc: Doc) -> None:
        """Keep a document in place of the one with its kind and id."""
        self._look((kind, key))
        self._now[kind, key] = scope_of(doc), doc_text(doc)

    def of(self, kind: str, edition: str) -> list[tuple[str, Doc]]:
        """Return ids and documents of a kind in a scope, shorter ids first."""
        asked = {"of_kind": kind, "of_edition": edition}
        for key, text in self._connection.execute(_OF, asked):
            self._remember((kind, key), (edition, text))
        mine = [
            (key, kept[1])
            for (its_kind, key), kept in self._now.items()
            if its_kind == kind and kept is not None and kept[0] == edition
        ]
        return [(key, msgspec.json.decode(text)) for key, text in sorted(mine, key=place)]

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
        for kind, key, scope, text in self._connection.execute(asked):
            self._remember((kind, key), (scope, text))
        for both, kept in self._now.items():
            if kept is not None and edition in {None, kept[0]}:
                self._now[both] = None
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

    def _look(self, both: _Both) -> _Kept | None:
        if both not in self._now:
            row = self._connection.execute(_GET, _row(both)).one_or_none()
            self._remember(both, None if row is None else (row[0], row[1]))
        return self._now[both]

    def _remember(self, both: _Both, kept: _Kept | None) -> None:
        if both not in self._stored:
            self._stored[both] = self._now[both] = kept


class KeptThings(StoredThings):
    """Documents that are only read; what one reader read, the next one need not read again.

    Parameters
    ----------
    connection : Connection
        With a transaction begun.
    kept : Kept
        What holds at the entry that this transaction sees as the last.
    """

    def __init__(self, connection: Connection, kept: Kept) -> None:
        super().__init__(connection)
        self.kept = kept

    def of(self, kind: str, edition: str) -> list[tuple[str, Doc]]:
        """Return ids and documents of a kind in a scope, shorter ids first."""
        rows = self.kept.lists.get((kind, edition))
        if rows is None:
            asked = {"of_kind": kind, "of_edition": edition}
            found = self._connection.execute(_OF, asked)
            rows = tuple(sorted(((key, text) for key, text in found), key=place))
            self.kept.hold_list(kind, edition, rows)
        return [(key, msgspec.json.decode(text)) for key, text in rows]

    def _look(self, both: _Both) -> _Kept | None:
        if both in self.kept.docs:
            return self.kept.docs.get(both)
        row = self._connection.execute(_GET, _row(both)).one_or_none()
        found = None if row is None else (row[0], row[1])
        self.kept.hold(*both, found)
        return found


def _row(both: _Both, kept: _Kept | None = None) -> dict[str, Any]:
    row = {"of_kind": both[0], "of_id": both[1]}
    return row if kept is None else {**row, "edition": kept[0], "doc": kept[1]}


_C = tables.thing.c
_IS_IT = (_C.kind == bindparam("of_kind")) & (_C.id == bindparam("of_id"))
_GET = select(_C.edition, _C.doc).where(_IS_IT)
_ALL = select(_C.kind, _C.id, _C.edition, _C.doc)
_OF = select(_C.id, _C.doc).where(
    (_C.edition == bindparam("of_edition")) & (_C.kind == bindparam("of_kind"))
)
_INSERT = insert(tables.thing).values(
    kind=bindparam("of_kind"), id=bindparam("of_id"), edition=bindparam("edition"),
    doc=bindparam("doc"),
)  # fmt: skip
_UPDATE = (
    update(tables.thing).where(_IS_IT).values(edition=bindparam("edition"), doc=bindparam("doc"))
)
_DELETE = delete(tables.thing).where(_IS_IT)
