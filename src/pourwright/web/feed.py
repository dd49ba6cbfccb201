"""The calendar that other programs subscribe to: one secret address, and how often each entry changed.

As with phones, only the SHA-256 of the address's token is kept, in a file of its own, so that
restoring an older backup of the book opens no address again that was ended since.
"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

import sqlalchemy as sa

from pourwright.plan.plan import Plan
from pourwright.report.ics import (
    Entry,
    Milestone,
    calendar_ics,
    least_sequence,
    milestones,
    uid_of,
)

FORECAST = "A forecast, not a promise."
_TOKEN_BYTES = 32
_META = sa.MetaData()
_FEED = sa.Table(
    "feed",
    _META,
    sa.Column("digest", sa.String, primary_key=True),
    sa.Column("made", sa.String, nullable=False),
)
_ENTRY = sa.Table(
    "entry",
    _META,
    sa.Column("uid", sa.String, primary_key=True),
    sa.Column("told", sa.String, nullable=False),
    sa.Column("sequence", sa.Integer, nullable=False),
    sa.Column("changed", sa.String, nullable=False),
)


class Feed:
    """The feed's file, made if need be and readable by its owner only."""

    def __init__(self, path: Path) -> None:
        path.touch(mode=0o600)
        self._engine = sa.create_engine(f"sqlite:///{path}")
        _META.create_all(self._engine)

    def close(self) -> None:
        """Let go of the file."""
        self._engine.dispose()

    def open(self, now: datetime) -> str:
        """Return the token of a new address, which is kept nowhere; the one before is good no longer."""
        token = secrets.token_urlsafe(_TOKEN_BYTES)
        row = {"digest": _digest(token), "made": now.astimezone(UTC).isoformat(timespec="seconds")}
        with self._engine.begin() as connection:
            connection.execute(_FEED.delete())
            connection.execute(_FEED.insert().values(row))
        return token

    def end(self) -> None:
        """Have no address be good any more."""
        with self._engine.begin() as connection:
            connection.execute(_FEED.delete())

    def made(self) -> datetime | None:
        """Return when the address that is good was made, None if none is."""
        with self._engine.connect() as connection:
            found = connection.execute(sa.select(_FEED.c.made)).scalar_one_or_none()
        return None if found is None else datetime.fromisoformat(found)

    def is_good(self, token: str) -> bool:
        """Return whether it is the token of the address that is good."""
        query = sa.select(_FEED.c.digest).where(_FEED.c.digest == _digest(token))
        with self._engine.connect() as connection:
            return connection.execute(query).one_or_none() is not None

    def calendar(self, name: str, plans: Sequence[Plan], now: datetime) -> str:
        """Return the milestones of some plans as a calendar.

        An entry keeps its id as long as its edition has it; what it says is compared with what
        it said when it was last asked for, and a change has a greater sequence number.

        Parameters
        ----------
        name : str
            What the calendar is called.
        plans : sequence of Plan
            Those of the open editions.
        now : datetime
            The instant, for what has changed.
        """
        with self._engine.begin() as connection:
            entries = [
                self._entry(connection, plan, one, now)
                for plan in plans
                for one in milestones(plan)
            ]
        return calendar_ics(name, entries)

    def _entry(
        self, connection: sa.Connection, plan: Plan, milestone: Milestone, now: datetime
    ) -> Entry:
        """Return a milestone's entry, and keep what it says where that is new."""
        uid, day = uid_of(plan, milestone), milestone.day
        summary = f"{plan.edition.name}: {milestone.words}"
        about = f"{milestone.about} {FORECAST}".strip()
        told = _digest(f"{day.isoformat()}\n{summary}\n{about}")
        known = connection.execute(sa.select(_ENTRY).where(_ENTRY.c.uid == uid)).one_or_none()
        if known is not None and known.told == told:
            changed = datetime.fromisoformat(known.changed)
            return Entry(uid, day, summary, about, known.sequence, changed)
        changed = now.astimezone(UTC).replace(microsecond=0)
        next_one = 0 if known is None else known.sequence + 1
        sequence = max(next_one, least_sequence(changed.date()))
        row = {"uid": uid, "told": told, "sequence": sequence, "changed": changed.isoformat()}
        connection.execute(_ENTRY.delete().where(_ENTRY.c.uid == uid))
        connection.execute(_ENTRY.insert().values(row))
        return Entry(uid, day, summary, about, sequence, changed)


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()
