"""Make the tables of the first released book."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make entry, head, thing and the guards; the version's own table is Alembic's to fill."""
    place = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
    op.create_table(
        "entry",
        sa.Column("seq", place, primary_key=True, autoincrement=False),
        *(sa.Column(name, sa.Text, nullable=False) for name in ENTRY),
        sa.UniqueConstraint("id"),
        sa.UniqueConstraint("command_id"),
    )
    op.create_index("entry_by_scope", "entry", ["scope", "seq"])
    head = op.create_table(
        "head",
        sa.Column(
            "one", sa.Integer, sa.CheckConstraint("one = 1"), primary_key=True, autoincrement=False
        ),
        sa.Column("seq", place, nullable=False),
        sa.Column("digest", sa.Text, nullable=False),
        sa.Column("recorded", sa.Text, nullable=False),
    )
    op.create_table(
        "thing",
        sa.Column("kind", sa.Text, primary_key=True),
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("edition", sa.Text, nullable=False),
        sa.Column("doc", sa.Text, nullable=False),
    )
    op.create_index("thing_by_edition", "thing", ["edition", "kind"])
    op.bulk_insert(head, [{"one": 1, "seq": 0, "digest": "0" * 64, "recorded": ""}])
    if op.get_bind().dialect.name == "sqlite":
        for name, when in GUARDS:
            op.execute(
                f"CREATE TRIGGER {name} {when} "
                f"BEGIN SELECT RAISE(ABORT, 'the book only grows: {name}'); END"
            )


ENTRY = (
    "id", "kind", "scope", "recorded", "command_id", "text", "digest", "command", "answer", "seal",
)  # fmt: skip

# A step keeps what it made, whatever tables.py says today.
GUARDS = (
    ("entry_never_changed", "BEFORE UPDATE ON entry"),
    ("entry_never_removed", "BEFORE DELETE ON entry"),
    ("entry_follows_head", "BEFORE INSERT ON entry WHEN NEW.seq <> (SELECT seq + 1 FROM head)"),
    ("head_counts_on", "BEFORE UPDATE ON head WHEN NEW.seq <> OLD.seq + 1"),
    ("head_never_removed", "BEFORE DELETE ON head"),
)
