"""The tables of the book, the same on every database, and the guards that refuse a change.

New books are made from here; an older one is brought here by the functions in ``steps``.
A test holds that both ways lead to the same tables.
"""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    Connection,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    event,
    table,
)

SCHEMA = 6
"""The version of tables and documents; in a SQLite file also its ``user_version``."""

APPLICATION = 0x504F5552
"""Marks a SQLite file as a book: "POUR" in the header's ``application_id``."""

metadata = MetaData()
_Seq = BigInteger().with_variant(Integer(), "sqlite")

entry = Table(
    "entry",
    metadata,
    Column("seq", _Seq, primary_key=True, autoincrement=False),
    Column("id", Text, nullable=False, unique=True),
    Column("kind", Text, nullable=False),
    Column("scope", Text, nullable=False),
    Column("recorded", Text, nullable=False),
    Column("command_id", Text, nullable=False, unique=True),
    Column("text", Text, nullable=False),
    Column("digest", Text, nullable=False),
    # What the command was, as a digest, and what it was answered; sealed over both.
    Column("command", Text, nullable=False),
    Column("answer", Text, nullable=False),
    Column("seal", Text, nullable=False),
    Index("entry_by_scope", "scope", "seq"),
    Index("entry_by_kind", "kind", "seq"),
)
"""What happened. One row a command, with the answer that it was given."""

head = Table(
    "head",
    metadata,
    Column("one", Integer, CheckConstraint("one = 1"), primary_key=True, autoincrement=False),
    Column("seq", _Seq, nullable=False),
    Column("digest", Text, nullable=False),
    Column("recorded", Text, nullable=False),
)
"""One row: the last entry's place, digest and time."""

thing = Table(
    "thing",
    metadata,
    Column("kind", Text, primary_key=True),
    Column("id", Text, primary_key=True),
    Column("edition", Text, nullable=False),
    Column("doc", Text, nullable=False),
    Index("thing_by_edition", "edition", "kind"),
)
"""What is true now; it can be worked out again from the entries at any time."""

version = Table(
    "alembic_version",
    metadata,
    Column("version_num", String(32), primary_key=True),
)
"""One row: the version that the tables stand at, "0005". The name is that of the first books."""

GUARDS = {
    "entry_never_changed": "BEFORE UPDATE ON entry",
    "entry_never_removed": "BEFORE DELETE ON entry",
    "entry_follows_head": ("BEFORE INSERT ON entry WHEN NEW.seq <> (SELECT seq + 1 FROM head)"),
    "head_counts_on": "BEFORE UPDATE ON head WHEN NEW.seq <> OLD.seq + 1",
    "head_never_removed": "BEFORE DELETE ON head",
}
"""Triggers by name: a fault in the code, or a hand in the file, gets an error for them."""


def guard_sql(name: str) -> str:
    """Return the statement that makes a guard in SQLite."""
    return (
        f"CREATE TRIGGER {name} {GUARDS[name]} "
        f"BEGIN SELECT RAISE(ABORT, 'the book only grows: {name}'); END"
    )


WORDS = "CREATE VIRTUAL TABLE entry_word USING fts5(words, content='', columnsize=0)"
"""What finds entries by the words in them, in SQLite: worked out from them, and no witness.

It holds no text of its own: the words are looked up in it, and read in the entry.
"""

# Not by a trigger: with trusted_schema off SQLite lets none write to such a table.
# A line's end is written as \\n in JSON, and would stick to the word behind it.
_WORDS_OF = (
    "kind || ' ' || scope || ' ' || json_extract(text, '$.at') || ' ' || "
    "json_extract(text, '$.by') || ' ' || coalesce(json_extract(text, '$.corrects'), '') || ' ' || "
    "replace(json_extract(text, '$.body'), '\\n', ' ')"
)
"""An entry's words: what it is, whose, when, by whom, what it corrects, and what it says."""

FILL_WORDS = (
    f"INSERT INTO entry_word (rowid, words) SELECT seq, {_WORDS_OF} FROM entry WHERE seq > ?"  # noqa: S608 - our own words
)
"""Puts the words of every entry behind a place into the index."""

entry_word = table("entry_word")


def _guard(_tables: object, connection: Connection, **_more: object) -> None:
    if connection.dialect.name == "sqlite":
        connection.exec_driver_sql(WORDS)
        for name in GUARDS:
            connection.exec_driver_sql(guard_sql(name))


event.listen(metadata, "after_create", _guard)
