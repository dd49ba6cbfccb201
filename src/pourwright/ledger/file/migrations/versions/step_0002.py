"""Find entries by their kind and by the words in them without reading the whole book."""

from __future__ import annotations

from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make both indexes, and fill that of the words from the entries there are."""
    op.create_index("entry_by_kind", "entry", ["kind", "seq"])
    if op.get_bind().dialect.name == "sqlite":
        for statement in (TABLE, FILLED):
            op.get_bind().exec_driver_sql(statement)


# A step keeps what it made, whatever tables.py says today.
TABLE = "CREATE VIRTUAL TABLE entry_word USING fts5(words, content='', columnsize=0)"
FILLED = (
    "INSERT INTO entry_word (rowid, words) SELECT seq, kind || ' ' || scope || ' ' || "
    "json_extract(text, '$.at') || ' ' || json_extract(text, '$.by') || ' ' || "
    "coalesce(json_extract(text, '$.corrects'), '') || ' ' || "
    "replace(json_extract(text, '$.body'), '\\n', ' ') FROM entry ORDER BY seq"
)
