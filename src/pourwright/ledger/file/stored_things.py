"""The documents of the living book: rows read when they are asked for, written at the commit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import MsgspecError
from sqlalchemy import Connection, bindparam, delete, func, insert, select, update

from pourwright.ledger.answer import BookAnswer, read_answer
from pourwright.ledger.documents import D, Document, doc_of, doc_text
from pourwright.ledger.file import tables
from pourwright.ledger.file.trouble import DAMAGED, BookTrouble
from pourwright.ledger.things import MemoryThings, place

_Both = tuple[str, str]
_Row = tuple[str, str]


class StoredThings:
    """Documents in a database, inside one transaction that was begun; see :class:`Things`."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self.zone = "UTC"
        # Scope and text by kind and id: as the database has those that were looked at, and as
        # those that were put are now.
        self._stored: dict[_Both, _Row | None] = {}
        self._now: dict[_Both, _Row | None] = {}
        self._lists: dict[tuple[str, str], Sequence[tuple[str, str]]] = {}

    def get(self, kind: type[D], key: str) -> D | None:
        """Return a copy of a document, or None."""
        both = kind.KIND, key
        row = self._now[both] if both in self._now else self._look(both)
        return None if row is None else stored_doc(kind, row[1])

    def put(self, key: str, doc: Document) -> None:
        """Keep a document in place of the one of its kind and id."""
        self._look((doc.KIND, key))
        self._now[doc.KIND, key] = doc.edition, doc_text(doc)

    def of(self, kind: type[D], edition: str) -> list[tuple[str, D]]:
        """Return ids and documents of a kind in a scope, shorter ids first."""
        rows = self._lists.get((kind.KIND, edition))
        if rows is None:
            asked = {"of_kind": kind.KIND, "of_edition": edition}
            rows = self._lists[kind.KIND, edition] = self._connection.execute(_OF, asked).all()
        mine = {both[1]: row for both, row in self._now.items() if both[0] == kind.KIND}
        if mine:
            put = [(key, row[1]) for key, row in mine.items() if row and row[0] == edition]
            there = [(key, text) for key, text in rows if key not in mine]
            rows = sorted([*there, *put], key=place)
        return [(key, stored_doc(kind, text)) for key, text in rows]

    def replace(self, edition: str | None, others: MemoryThings) -> None:
        """Put a replay's documents of a scope, or of every scope, in place of all that are there."""
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


def stored_doc(kind: type[D], text: str) -> D:
    """Return the document that a row tells; one that a hand has spoiled is the file's trouble."""
    try:
        return doc_of(kind, text)
    except MsgspecError as error:
        raise BookTrouble(DAMAGED) from error


def stored_answer(text: str) -> BookAnswer:
    """Return the answer that a row tells; one that a hand has spoiled is the file's trouble."""
    try:
        return read_answer(text)
    except MsgspecError as error:
        raise BookTrouble(DAMAGED) from error


def _row(both: _Both, kept: _Row | None = None) -> dict[str, str]:
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
    kind=bindparam("of_kind"),
    id=bindparam("of_id"),
    edition=bindparam("edition"),
    doc=bindparam("doc"),
)
_UPDATE = (
    update(tables.thing).where(_IS_IT).values(edition=bindparam("edition"), doc=bindparam("doc"))
)
_DELETE = delete(tables.thing).where(_IS_IT)
