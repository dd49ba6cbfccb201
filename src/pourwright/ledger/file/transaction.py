"""One transaction with the book: what is read in it, and what is written at its end.

What a command writes is gathered and sent to the database at once, just before the commit: the
entry with its answer, the documents that changed, and the head.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from sqlalchemy import (
    ColumnElement,
    Connection,
    Integer,
    Select,
    bindparam,
    func,
    insert,
    literal_column,
    or_,
    select,
    text,
    update,
)

from pourwright.ledger.documents import EditionDoc
from pourwright.ledger.entry import (
    GENESIS,
    VERSION,
    Draft,
    Entry,
    canonical,
    digest,
    quoted,
    read_entry,
    written_instant,
)
from pourwright.ledger.file import tables
from pourwright.ledger.file.stored_things import StoredThings, stored_doc
from pourwright.ledger.file.trouble import DAMAGED, HEADLESS, BookTrouble

_ROWS_AT_ONCE = 2000


@dataclass(frozen=True, slots=True)
class Head:
    """The end of the book: what a checkpoint, printed or kept elsewhere, bears witness to.

    Parameters
    ----------
    seq : int
        The last entry's place; 0 for an empty book.
    digest : str
        Its digest.
    recorded : str
        When it was written; empty for an empty book.
    """

    seq: int = 0
    digest: str = GENESIS
    recorded: str = ""

    @property
    def checkpoint(self) -> str:
        """Return the whole checkpoint, such as "4182:9c1d...", 64 digits behind the colon."""
        return f"{self.seq}:{self.digest}"

    @property
    def short_checkpoint(self) -> str:
        """Return the checkpoint as it is printed: 16 digits behind the colon."""
        return f"{self.seq}:{self.digest[:16]}"


def seal(entry_digest: str, command: str, answer: str) -> str:
    """Return the digest that ties an answer to its entry and its command.

    Returns
    -------
    str
        64 hexadecimal digits.
    """
    three = f"[{quoted(entry_digest)}, {quoted(command)}, {quoted(answer)}]"
    return hashlib.sha256(three.encode()).hexdigest()


class Reading:
    """The book as it is at one moment, whatever is written meanwhile.

    Parameters
    ----------
    connection : Connection
        With a transaction begun.
    """

    def __init__(self, connection: Connection) -> None:
        self.connection = connection
        self._head: Head | None = None

    @cached_property
    def things(self) -> StoredThings:
        """What is true now."""
        return StoredThings(self.connection)

    def head(self) -> Head:
        """Return the end of the book, entries of this transaction among it."""
        if self._head is None:
            self._head = self.head_if_there()
        if self._head is None:
            raise BookTrouble(HEADLESS)
        return self._head

    def head_if_there(self) -> Head | None:
        """Return the end of the book as its head row tells it, None if there is no such row."""
        found = self.connection.execute(_HEAD).first()
        return None if found is None else Head(*found)

    def digest_at(self, seq: int) -> str | None:
        """Return the digest of the entry at a place, None if there is none."""
        asked = select(tables.entry.c.digest).where(tables.entry.c.seq == seq)
        return self.connection.scalar(asked)

    def answer_of(self, command_id: str) -> tuple[str, str] | None:
        """Return digest and answer of a command that was kept before, or None."""
        found = self.connection.execute(_ANSWER, {"command_id": command_id}).one_or_none()
        return None if found is None else (found[0], found[1])

    def _span(self, scope: str) -> tuple[int, int]:
        """Return the first and the last place of a scope's entries; nothing between them if it has none."""
        entry = tables.entry.c
        asked = select(func.min(entry.seq), func.max(entry.seq)).where(entry.scope == scope)
        first, last = self.connection.execute(asked).one()
        return (1, 0) if first is None else (first, last)

    def answers_of(self, command_ids: Collection[str]) -> dict[str, str]:
        """Return the kept answers of some commands, by their ids."""
        entry = tables.entry.c
        asked = select(entry.command_id, entry.answer).where(entry.command_id.in_(command_ids))
        return {row[0]: row[1] for row in self.connection.execute(asked)}

    def corrections(self, ids: Collection[str]) -> list[Entry]:
        """Return the corrections of some entries, the first in front."""
        # An entry's id stands in the index for its corrections alone, not for itself.
        wanted = " OR ".join(f'"{one.removeprefix("e-")}"' for one in ids)
        both = tables.entry_word.join(tables.entry, tables.entry.c.seq == _PLACE)
        asked = select(tables.entry.c.text).select_from(both)
        asked = asked.where(text("entry_word MATCH :wanted")).order_by(_PLACE)
        asked = asked.where(tables.entry.c.kind == CORRECTION).params(wanted=wanted)
        return [_entry(one) for one in self.connection.execute(asked).scalars()]

    def entry(self, seq_or_id: int | str) -> Entry | None:
        """Return one entry, by its place or its id, or None."""
        column = tables.entry.c.seq if isinstance(seq_or_id, int) else tables.entry.c.id
        text = self.connection.scalar(select(tables.entry.c.text).where(column == seq_or_id))
        return None if text is None else _entry(text)

    def entries(
        self,
        scope: str | None = None,
        after: int = 0,
        kinds: Collection[str] | None = None,
        naming: Collection[str] = (),
    ) -> Iterator[Entry]:
        """Yield entries in their order: of one scope, behind a place, of some kinds, naming one of some labels."""
        asked = select(tables.entry.c.text).where(tables.entry.c.seq > after)
        if scope is not None:
            asked = asked.where(tables.entry.c.scope == scope)
        if kinds is not None:
            asked = asked.where(tables.entry.c.kind.in_(kinds))
        if naming:
            asked = asked.where(or_(*(tables.entry.c.text.contains(one) for one in naming)))
        texts = self.connection.execute(asked.order_by(tables.entry.c.seq)).scalars()
        for block in texts.partitions(_ROWS_AT_ONCE):
            yield from map(_entry, block)

    def lately(self, kind: str, after: int, since: str) -> list[Entry]:
        """Return the entries of a kind that were written behind a place and since an instant."""
        told = {"kind": kind, "after": after, "since": since}
        return [_entry(text) for text in self.connection.execute(_LATELY, told).scalars()]

    def latest(
        self,
        most: int,
        before: int | None = None,
        scope: str | None = None,
        kinds: Collection[str] | None = None,
        holds: Collection[str] = (),
        words: Collection[str] = (),
        after: int = 0,
    ) -> list[Entry]:
        """Return entries from the end backwards: before a place, and with some words in them.

        Parameters
        ----------
        most : int
            How many at most. [-]
        before : int, optional
            The place before which to begin.
        scope : str, optional
            Only those of a scope.
        kinds : collection of str, optional
            Only those of some kinds.
        holds : collection of str
            Texts that the entry's own text must hold, whatever their case; it is read for them.
        words : collection of str
            Words that it must hold, whatever their case, or beginnings of some; one that ends
            in a space is meant whole. They are looked up.
        after : int
            The place behind which to stop.
        """
        entry = tables.entry.c
        place: ColumnElement[int] = entry.seq
        asked = select(entry.text).limit(most)
        if words:
            # In the order of the index of words, so that the search ends with the last one asked for.
            place = _PLACE
            both = tables.entry_word.join(tables.entry, entry.seq == place)
            wanted = _wanted(words, scope, kinds)
            asked = asked.select_from(both).where(text("entry_word MATCH :wanted"))
            asked = asked.params(wanted=wanted)
            if scope is not None:  # common words of one edition stand within its own time
                first, last = self._span(scope)
                asked = asked.where((place >= first) & (place <= last))
        asked = asked.order_by(place.desc())
        if before is not None:
            asked = asked.where(place < before)
        if after:
            asked = asked.where(place > after)
        if scope is not None:
            asked = asked.where(entry.scope == scope)
        if kinds is not None:
            asked = asked.where(entry.kind.in_(kinds))
        for one in holds:
            asked = asked.where(entry.text.icontains(one, autoescape=True))
        return [_entry(text) for text in self.connection.execute(asked).scalars()]

    def scopes_before_end(self, most: int) -> dict[str, int]:
        """Return the scopes of the last entries, each with its place from the end: 0 is the last."""
        entry = tables.entry.c
        asked = select(entry.scope).order_by(entry.seq.desc()).limit(most)
        scopes = dict.fromkeys(self.connection.execute(asked).scalars())
        return {scope: place for place, scope in enumerate(scopes)}

    @cached_property
    def editions(self) -> list[EditionDoc]:
        """Every edition, as the transaction found it."""
        thing = tables.thing.c
        asked = select(thing.doc).where(thing.kind == EditionDoc.KIND)
        return [stored_doc(EditionDoc, text) for text in self.connection.execute(asked).scalars()]

    @cached_property
    def open_editions(self) -> list[EditionDoc]:
        """Every edition that is not closed, as the transaction found it."""
        thing = tables.thing.c
        is_open = func.json_extract(thing.doc, "$.state") != "closed"
        asked = select(thing.doc).where(thing.kind == EditionDoc.KIND, is_open)
        return [stored_doc(EditionDoc, text) for text in self.connection.execute(asked).scalars()]

    def rows(self, asked: Select[*tuple[str, ...]]) -> Iterator[tuple[str, ...]]:
        """Yield the rows of a select, some thousands in memory at a time."""
        for block in self.connection.execute(asked).partitions(_ROWS_AT_ONCE):
            yield from (tuple(row) for row in block)


class Writing(Reading):
    """A transaction that appends. Nothing is in the book until it has ended without an error.

    Parameters
    ----------
    connection : Connection
        With a transaction begun that no other writer can be in.
    """

    def __init__(self, connection: Connection) -> None:
        super().__init__(connection)
        self._began_at: Head = self.head()
        self._new: list[tuple[Entry, str, str]] = []
        self._answers: dict[str, tuple[str, str]] = {}

    def append(self, draft: Draft, now: datetime) -> Entry:
        """Give a draft its place; a clock set back never lets ``recorded`` run backwards."""
        before = self.head()
        entry = Entry(
            v=VERSION,
            id=draft.id,
            seq=before.seq + 1,
            kind=draft.kind,
            at=draft.at,
            recorded=max(written_instant(now), before.recorded),
            zone=draft.zone,
            by=draft.by,
            command_id=draft.command_id,
            corrects=draft.corrects,
            body=dict(draft.body),
        )
        self.put_entry(entry)
        return entry

    def put_entry(self, entry: Entry) -> None:
        """Append an entry that has its place already, as an import does."""
        text = canonical(entry)
        new_digest = digest(self.head().digest, text)
        self._new.append((entry, text, new_digest))
        self._head = Head(entry.seq, new_digest, entry.recorded)

    def keep_answer(self, command_id: str, command_digest: str, answer: str) -> None:
        """Keep what the command of an entry of this transaction was answered.

        Parameters
        ----------
        command_id : str
            The command that an entry of this transaction carries.
        command_digest : str
            What tells the same command from another one with the same id.
        answer : str
            The text that is given again if the command comes again.
        """
        self._answers[command_id] = command_digest, answer

    def flush(self) -> None:
        """Send everything gathered to the database; :class:`Store` does it before the commit."""
        self.things.flush()
        for entry, written, new_digest in self._new:
            self._send(entry, written, new_digest)
        if self._new and self.connection.dialect.name == "sqlite":
            before = self._new[0][0].seq - 1
            self.connection.exec_driver_sql(tables.FILL_WORDS, (before,))
        self._new, self._answers = [], {}

    def _send(self, entry: Entry, text: str, new_digest: str) -> None:
        command, answer = self._answers.get(entry.command_id, ("", ""))
        row = {
            "seq": entry.seq,
            "id": entry.id,
            "kind": entry.kind,
            "scope": entry.scope,
            "recorded": entry.recorded,
            "command_id": entry.command_id,
            "text": text,
            "digest": new_digest,
            "command": command,
            "answer": answer,
            "seal": seal(new_digest, command, answer),
        }
        self.connection.execute(_APPEND, row)
        moved = {"before": entry.seq - 1, "seq": entry.seq, "digest": new_digest}
        done = self.connection.execute(_MOVE_HEAD, {**moved, "recorded": entry.recorded})
        if done.rowcount != 1:
            raise AssertionError(f"the head was not at {entry.seq - 1}")


def _wanted(words: Collection[str], scope: str | None, kinds: Collection[str] | None) -> str:
    """Return what the index of words is asked: every word, the last part of each as a beginning.

    Scope and kind stand in the index too, so that common words of a rare kind are few.
    """
    wanted = [_phrase(one) if _is_whole(one) else f"{_phrase(one)}*" for one in words]
    wanted += [_phrase(scope)] if scope is not None else []
    wanted += [f"({' OR '.join(map(_phrase, kinds))})"] if kinds else []
    return " AND ".join(wanted)


def _is_whole(word: str) -> bool:
    """Return whether a word is no beginning: so told, or so short that half the book begins with it."""
    last = re.split(r"[\W_]+", word.rstrip())[-1]
    return word.endswith(" ") or len(last) < SHORT


def _phrase(words: str) -> str:
    # the index's own language ends at a NUL, and the quotation mark behind it is missed
    plain = words.replace("\0", " ")
    return '"' + plain.strip().replace('"', '""') + '"'


def _entry(text: str) -> Entry:
    try:
        return read_entry(text)
    except ValueError as error:
        raise BookTrouble(DAMAGED) from error


CORRECTION = "entry-corrected"
SHORT = 3
"""A shorter word is no beginning of another: half the book begins with a 1. [-]"""
_PLACE: ColumnElement[int] = literal_column("entry_word.rowid", Integer)
_HEAD = select(tables.head.c.seq, tables.head.c.digest, tables.head.c.recorded)
_ANSWER = select(tables.entry.c.command, tables.entry.c.answer).where(
    tables.entry.c.command_id == bindparam("command_id")
)
_LATELY = (
    select(tables.entry.c.text)
    .where(tables.entry.c.kind == bindparam("kind"))
    .where(tables.entry.c.seq > bindparam("after"))
    .where(tables.entry.c.recorded >= bindparam("since"))
    .order_by(tables.entry.c.seq)
)
_APPEND = insert(tables.entry)
_MOVE_HEAD = (
    update(tables.head)
    .where(tables.head.c.seq == bindparam("before"))
    .values(seq=bindparam("seq"), digest=bindparam("digest"), recorded=bindparam("recorded"))
)
