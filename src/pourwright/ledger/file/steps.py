"""What brings the tables of an older book to those of today, one function a version.

A step keeps what it made, whatever ``tables`` says today.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from sqlalchemy import Connection


def found_by_kind_and_words(connection: Connection) -> None:
    """Find entries by their kind and by the words in them without reading the whole book."""
    for statement in (INDEX, WORDS, FILL_WORDS):
        connection.exec_driver_sql(statement)


INDEX = "CREATE INDEX entry_by_kind ON entry (kind, seq)"
WORDS = "CREATE VIRTUAL TABLE entry_word USING fts5(words, content='', columnsize=0)"
FILL_WORDS = (
    "INSERT INTO entry_word (rowid, words) SELECT seq, kind || ' ' || scope || ' ' || "
    "json_extract(text, '$.at') || ' ' || json_extract(text, '$.by') || ' ' || "
    "coalesce(json_extract(text, '$.corrects'), '') || ' ' || "
    "replace(json_extract(text, '$.body'), '\\n', ' ') FROM entry ORDER BY seq"
)

STEPS: Mapping[int, Callable[[Connection], None]] = {2: found_by_kind_and_words}
"""By the version that a step leads to. Version 3 tells days by the studio's calendar, in the
documents alone, which are worked out again after all steps."""
