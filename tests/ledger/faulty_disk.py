# ruff: noqa: N802 (the names are SQLite's own)
"""A disk in memory that loses what was not synced, or fails at its n-th write or sync.

SQLite runs on it through APSW's file system interface, and the book's own code on that through
the few methods that SQLAlchemy needs of a connection, so what is tested is the book itself: its
statements, pragmas and order. It is how SQLite's own crash tests work ("How SQLite Is Tested",
sqlite.org/testing.html, 3.2 and 3.3). What it cannot show: APSW brings its own SQLite, and its
files share no memory, hence the exclusive locking and one connection at a time.
"""

from __future__ import annotations

import itertools
import random
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import apsw
from sqlalchemy import StaticPool

from pourwright.ledger.file.connecting import sqlite_engine
from pourwright.ledger.file.store import Store

SECTOR = 512
NAMES = {
    apsw.IOError: "SQLITE_IOERR",
    apsw.FullError: "SQLITE_FULL",
    apsw.BusyError: "SQLITE_BUSY",
    apsw.CantOpenError: "SQLITE_CANTOPEN",
    apsw.CorruptError: "SQLITE_CORRUPT",
    apsw.NotADBError: "SQLITE_NOTADB",
}
_NUMBERS = itertools.count()


@dataclass
class File:
    """What a file holds now, what it held at its last sync, and what was done since."""

    now: bytearray
    synced: bytearray
    since: list[tuple[int, bytes | None]] = field(default_factory=list)

    def after_power_cut(self, luck: random.Random) -> bytes:
        """Return the synced bytes with nothing, a beginning, or any of the later writes."""
        left = bytearray(self.synced)
        choice = luck.choice(["nothing", "beginning", "any"])
        if choice == "nothing":
            return bytes(left)
        kept = self.since[: luck.randint(0, len(self.since))] if choice == "beginning" else [
            one for one in self.since if luck.random() < 0.5
        ]  # fmt: skip
        for offset, data in kept:
            write(left, offset, torn(data, luck))
        return bytes(left)


def torn(data: bytes | None, luck: random.Random) -> bytes | None:
    """Return the data, now and then only its first sectors."""
    if data and luck.random() < 0.2:
        return data[: SECTOR * luck.randint(0, len(data) // SECTOR)]
    return data


def write(content: bytearray, offset: int, data: bytes | None) -> None:
    """Write at an offset; without data, cut the file there."""
    if data is None:
        del content[offset:]
        return
    if len(content) < offset:
        content.extend(bytes(offset - len(content)))
    content[offset : offset + len(data)] = data


class Disk(apsw.VFS):
    """Files by name. Every write, cut and sync counts, and may be told to fail."""

    def __init__(self, files: dict[str, bytes]) -> None:
        self.name = f"faulty-{next(_NUMBERS)}"
        super().__init__(self.name, base="")
        self.files = {name: File(bytearray(data), bytearray(data)) for name, data in files.items()}
        self.done = 0
        self.fails_at: int | None = None
        self.for_good = False
        self.error: type[Exception] = apsw.IOError
        self.failed = 0
        self.silent = False

    def step(self) -> None:
        """Count one write, cut or sync, and fail if it is the one."""
        self.done += 1
        if self.fails_at is None or self.silent:
            return
        if self.done == self.fails_at or (self.for_good and self.done > self.fails_at):
            self.failed += 1
            raise self.error("the disk fails, as it was told to")

    def cut_power(self, luck: random.Random, folder: Path) -> None:
        """Write to a real folder what a power cut leaves."""
        for name, file in self.files.items():
            (folder / Path(name).name).write_bytes(file.after_power_cut(luck))

    def leave(self, folder: Path) -> None:
        """Write to a real folder what is there after the program ended by itself."""
        for name, file in self.files.items():
            (folder / Path(name).name).write_bytes(file.now)

    def xOpen(self, name, flags):
        path = name.filename() if isinstance(name, apsw.URIFilename) else name
        file = self.files.setdefault(
            path or f"temporary-{next(_NUMBERS)}", File(bytearray(), bytearray())
        )
        return Handle(self, file)

    def xDelete(self, name, _sync):
        self.step()
        if not self.silent:
            self.files.pop(name, None)

    def xAccess(self, name, _flags):
        return name in self.files

    def xFullPathname(self, name):
        return name


class Handle:
    """An open file, with the methods that SQLite calls."""

    def __init__(self, disk: Disk, file: File) -> None:
        self.disk, self.file = disk, file

    def xRead(self, amount, offset):
        return bytes(self.file.now[offset : offset + amount])

    def xWrite(self, data, offset):
        self._change(offset, bytes(data))

    def xTruncate(self, size):
        self._change(size, None)

    def _change(self, offset, data):
        self.disk.step()
        if not self.disk.silent:
            write(self.file.now, offset, data)
            self.file.since.append((offset, data))

    def xSync(self, _flags):
        self.disk.step()
        if not self.disk.silent:
            for offset, data in self.file.since:
                write(self.file.synced, offset, data)
            self.file.since.clear()

    def xFileSize(self):
        return len(self.file.now)

    def xLock(self, _level): ...

    def xUnlock(self, _level): ...

    def xCheckReservedLock(self):
        return False

    def xFileControl(self, _op, _pointer):
        return False

    def xSectorSize(self):
        return SECTOR

    def xDeviceCharacteristics(self):
        return 0

    def xClose(self): ...


class Cursor:
    """APSW's cursor with the names that SQLAlchemy calls."""

    arraysize = 1
    lastrowid = None

    def __init__(self, connection: apsw.Connection) -> None:
        self.connection = connection
        self.cursor = connection.cursor()
        self.cursor.exec_trace = self._look
        self.description, self.rowcount, self.rows = None, -1, iter(())

    def _look(self, cursor, _sql, _bindings):
        told = cursor.get_description()
        self.description = [(one[0], *[None] * 6) for one in told] or None
        return True

    def execute(self, sql, parameters=()):
        with as_the_driver_says():
            self.rows = iter(self.cursor.execute(sql, parameters).fetchall())
            self.rowcount = self.connection.changes()
        return self

    def executemany(self, sql, many):
        for parameters in many:
            self.execute(sql, parameters)
        return self

    def fetchone(self):
        return next(self.rows, None)

    def fetchmany(self, size=1):
        return list(itertools.islice(self.rows, size))

    def fetchall(self):
        return list(self.rows)

    def __iter__(self):
        return self.rows

    def close(self):
        self.cursor.close()


class Connection:
    """APSW's connection with the names that SQLAlchemy calls."""

    isolation_level = None

    def __init__(self, disk: Disk, name: str) -> None:
        self.disk = disk
        with as_the_driver_says():
            self.apsw = apsw.Connection(name, vfs=disk.name)
            try:
                self.apsw.execute("pragma locking_mode=exclusive").fetchall()
            except apsw.Error:
                self.close()
                raise

    def cursor(self):
        return Cursor(self.apsw)

    def execute(self, sql, parameters=()):
        # What weakens the book for a test must outlast the book's own pragma.
        if sql == "pragma synchronous=full" and getattr(self, "synchronous", None):
            sql = f"pragma synchronous={self.synchronous}"
        return self.cursor().execute(sql, parameters)

    def commit(self):
        if self.apsw.in_transaction:
            self.execute("COMMIT")

    def rollback(self):
        if self.apsw.in_transaction:
            self.execute("ROLLBACK")

    def create_function(self, *_arguments, **_more): ...

    def close(self):
        # SQLite swallows what fails while it closes, which APSW would complain about: a disk
        # that failed for good takes nothing in meanwhile, and says nothing.
        self.disk.silent = self.disk.for_good and self.disk.failed > 0
        self.apsw.close(True)
        self.disk.silent = False


@contextmanager
def as_the_driver_says() -> Iterator[None]:
    """Turn APSW's errors into those of Python's driver."""
    try:
        yield
    except apsw.Error as error:
        told = sqlite3.OperationalError(str(error))
        told.sqlite_errorname = next(
            (name for known, name in NAMES.items() if isinstance(error, known)), "SQLITE_ERROR"
        )
        raise told from error


def store_on(disk: Disk, *, synchronous: str = "full", commits_a_checkpoint: int = 100) -> Store:
    """Return the book in the file "book.db" of a faulty disk."""

    def connect() -> Connection:
        connection = Connection(disk, "book.db")
        connection.synchronous = synchronous
        return connection

    store = Store(sqlite_engine(Path("book.db"), creator=connect, poolclass=StaticPool))
    store.commits_a_checkpoint = commits_a_checkpoint
    return store
