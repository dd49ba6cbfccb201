"""The phones and tablets that may come in: a small table of its own.

It does not stand in the book, because restoring an older backup of the book must not let a
phone in again that was turned away since. Of a token only the SHA-256 is kept.
"""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import sqlalchemy as sa

IDLE_END = timedelta(days=30)
WHOLE_END = timedelta(days=90)
_SEEN_STEP = timedelta(minutes=10)
_TOKEN_BYTES = 32
_LINE_BYTES = 4
LONGEST_NAME = 40

_META = sa.MetaData()
_DEVICE = sa.Table(
    "device",
    _META,
    sa.Column("id", sa.String, primary_key=True),
    sa.Column("name", sa.String, nullable=False),
    sa.Column("digest", sa.String, nullable=False, unique=True),
    sa.Column("paired", sa.String, nullable=False),
    sa.Column("seen", sa.String, nullable=False),
    sa.Column("ended", sa.String, nullable=True),
)
_LINE = sa.Table("line", _META, sa.Column("line", sa.String, primary_key=True))
"""One row, see `Devices.line`."""


@dataclass(frozen=True, slots=True)
class Who:
    """Who is asking: a paired device, or the studio's own computer, which has no id.

    Entries say that they were written by the name.
    """

    id: str
    name: str

    @property
    def is_here(self) -> bool:
        """Whether it is the studio's own computer."""
        return not self.id


HERE = Who("", "studio computer")


@dataclass(frozen=True, slots=True)
class Device:
    """A device as the list shows it."""

    id: str
    name: str
    paired: datetime
    seen: datetime
    ended: datetime | None


class Devices:
    """The table of devices; its file is made if need be, readable by its owner only."""

    def __init__(self, path: Path) -> None:
        path.touch(mode=0o600)
        self._engine = sa.create_engine(f"sqlite:///{path}")
        sa.event.listen(self._engine, "connect", _set_up)
        _META.create_all(self._engine)
        with self._engine.connect() as connection:
            found = connection.execute(sa.select(_LINE.c.line)).scalar_one_or_none()
        self.line = found or self.new_line()
        """What the devices keep together with the end of the book that they saw."""

    def new_line(self) -> str:
        """Have what every device saw of the book count no longer: it was gone on with another one."""
        self.line = secrets.token_hex(_LINE_BYTES)
        with self._engine.begin() as connection:
            connection.execute(_LINE.delete())
            connection.execute(_LINE.insert().values(line=self.line))
        return self.line

    def close(self) -> None:
        """Let go of the file."""
        self._engine.dispose()

    def pair(self, name: str, now: datetime) -> str:
        """Take a device in and return its token, which is kept nowhere."""
        token = secrets.token_urlsafe(_TOKEN_BYTES)
        row = {
            "id": "d-" + secrets.token_hex(6),
            "name": name[:LONGEST_NAME] or "a phone",
            "digest": _digest(token),
            "paired": _text(now),
            "seen": _text(now),
        }
        with self._engine.begin() as connection:
            connection.execute(_DEVICE.insert().values(row))
        return token

    def who(self, token: str | None, now: datetime) -> Who | None:
        """Return whose token it is; None if nobody's, or if its time is over."""
        if not token:
            return None
        query = sa.select(_DEVICE).where(_DEVICE.c.digest == _digest(token))
        with self._engine.connect() as connection:
            row = connection.execute(query).one_or_none()
        if row is None or _is_over(row, now):
            return None
        if now - _instant(row.seen) > _SEEN_STEP:
            self._set(row.id, seen=_text(now))
        return Who(row.id, row.name)

    def end(self, device_id: str, now: datetime) -> str | None:
        """Turn a device away, from its next request on; return its name, None if there is none."""
        query = sa.select(_DEVICE.c.name).where(_DEVICE.c.id == device_id)
        with self._engine.connect() as connection:
            name: str | None = connection.execute(query).scalar_one_or_none()
        if name is not None:
            self._set(device_id, ended=_text(now))
        return name

    def all(self, now: datetime) -> list[Device]:
        """Return every device that may come in, the one seen last first."""
        query = sa.select(_DEVICE).order_by(_DEVICE.c.seen.desc(), _DEVICE.c.id)
        with self._engine.connect() as connection:
            rows = connection.execute(query).all()
        return [
            Device(row.id, row.name, _instant(row.paired), _instant(row.seen), None)
            for row in rows
            if not _is_over(row, now)
        ]

    def _set(self, device_id: str, **values: str) -> None:
        with self._engine.begin() as connection:
            connection.execute(_DEVICE.update().where(_DEVICE.c.id == device_id).values(values))


def _set_up(connection: sa.engine.interfaces.DBAPIConnection, _record: object) -> None:
    """Set what each new connection needs: a commit is on the disk when it returns."""
    cursor = connection.cursor()
    cursor.execute("PRAGMA journal_mode=WAL")
    cursor.execute("PRAGMA synchronous=FULL")
    cursor.close()


def _is_over(row: sa.Row[tuple[str, ...]], now: datetime) -> bool:
    is_idle = now - _instant(row.seen) > IDLE_END
    return bool(row.ended) or is_idle or now - _instant(row.paired) > WHOLE_END


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()


def _text(when: datetime) -> str:
    return when.astimezone(UTC).isoformat(timespec="seconds")


def _instant(text: str) -> datetime:
    return datetime.fromisoformat(text)
