"""The file that was opened, and whether it is still the one at its path.

SQLite writes into the file that it opened, wherever that has gone meanwhile. So the store looks
before every transaction and after every commit: at the path there must be the same file with the
same log beside it, changed by nobody but us. If it is not, nothing more is read or written, and
the path is not opened: the log that lies there could be played into a file that it is not of.
"""

from __future__ import annotations

import ctypes
import os
import sqlite3
import sys
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from threading import Lock
from typing import Literal, NoReturn

from sqlalchemy import NullPool
from sqlalchemy.exc import DBAPIError

from pourwright.errors import StudioError
from pourwright.files import put_in_place
from pourwright.ledger.file.backup import copy_name, head_of_sound
from pourwright.ledger.file.chain import Checkpoint, Fault
from pourwright.ledger.file.connecting import connect, set_up, sqlite_engine
from pourwright.ledger.file.transaction import Head, Reading
from pourwright.ledger.file.trouble import BookExchanged, BookTrouble
from pourwright.ledger.file.verify import Replay, verify

LOG, INDEX = "-wal", "-shm"
"""What SQLite puts beside a file: what was written last, and where in it each page stands."""

LOG_HEAD = 32
"""What stands at the beginning of a log. [byte]"""

Identity = tuple[int, int]
"""Device and number of a file, by the system."""

_held: Counter[Identity] = Counter()


def is_held(path: Path) -> bool:
    """Return whether this very program has a book open: then only SQLite may open its file.

    When a program closes a file, the system takes away all its locks on it, those of its other
    connections too; other programs would then write at the same time.
    """
    now = stamp_of(path, beside(path, LOG))
    return now is not None and _held[now.file] > 0


def beside(path: Path, end: str) -> Path:
    """Return a file beside a book, by its end."""
    return path.with_name(path.name + end)


@dataclass(frozen=True, slots=True)
class Stamp:
    """What the system tells of a book's file and the log beside it, without opening either.

    Parameters
    ----------
    file, log : tuple of int
        Which files they are; no log is None.
    written : tuple of int
        The file's size [byte] and when it was last written [ns].
    log_size : int
        How long the log is; it grows as long as anybody has the book open. [byte]
    """

    file: Identity
    log: Identity | None
    written: tuple[int, int]
    log_size: int


def stamp_of(path: Path, log_path: Path) -> Stamp | None:
    """Return the stamp of the book at a path and of the log beside it, None if there is no book."""
    try:
        file = path.stat()
    except OSError:
        return None
    try:
        log = log_path.stat()
    except OSError:
        log = None
    return Stamp(
        (file.st_dev, file.st_ino),
        (log.st_dev, log.st_ino) if log else None,
        (file.st_size, file.st_mtime_ns),
        log.st_size if log else 0,
    )


def is_whole(head: bytes) -> bool:
    """Return whether a log's head agrees with its checksum: SQLite's file format, 4.2."""
    order: Literal["big", "little"] = "big" if head[3:4] == b"\x83" else "little"
    words = [int.from_bytes(head[at : at + 4], order) for at in range(0, 24, 4)]
    one = two = 0
    for first, second in zip(words[::2], words[1::2], strict=True):
        one = (one + first + two) % 2**32
        two = (two + second + one) % 2**32
    is_log = head.startswith(b"\x37\x7f\x06")
    return is_log and head[24:] == one.to_bytes(4, "big") + two.to_bytes(4, "big")


class Hold:
    """Holds a book's file as long as a store is open, and knows what it last looked like.

    Parameters
    ----------
    path : Path
        The book's file, which is a book of today's tables.
    """

    def __init__(self, path: Path) -> None:
        self.path = path.absolute()
        self._log_path = beside(self.path, LOG)
        self.replay: Replay | None = None
        self.stopped = ""
        self._lock = Lock()
        before = stamp_of(self.path, self._log_path)
        self._connection = connect(self.path)
        set_up(self._connection)
        # Read at once, so that the log is opened together with the file.
        found = self._connection.execute("SELECT seq, digest, recorded FROM head").fetchone()
        self.last = Head(*found) if found else Head()
        now = stamp_of(self.path, self._log_path)
        if before is None or now is None or before.file != now.file:
            raise BookExchanged(f"{path.name} was exchanged while it was opened; try again.")
        self._seen, self._log_size = now, now.log_size
        # No lock lies on the log, so it alone may be opened beside SQLite. On Windows SQLite could
        # then not remove it.
        is_looked_at = now.log is not None and sys.platform != "win32"
        self._log_file = os.open(beside(self.path, LOG), os.O_RDONLY) if is_looked_at else None
        self._log_head = b""
        _held[now.file] += 1

    def look(self) -> None:
        """Refuse if the file at the path is not the one that was opened, or somebody changed it.

        Raises
        ------
        BookExchanged
            With what to do; from then on always.
        """
        if self.stopped:
            raise BookExchanged(self.stopped)
        now = stamp_of(self.path, self._log_path)
        if self._is_as_seen(now) and self._log_begins():
            self._log_size = max(self._log_size, now.log_size if now else 0)
        else:
            self._look_closer()

    def _is_as_seen(self, now: Stamp | None) -> bool:
        seen = self._seen
        return (
            now is not None
            and (now.file, now.log, now.written) == (seen.file, seen.log, seen.written)
            and now.log_size >= self._log_size
        )

    def _log_begins(self) -> bool:
        """Return whether the log has its beginning: one that was cut off and grew again has zeros."""
        if sys.platform == "win32" or self._log_file is None:
            return True
        head = os.pread(self._log_file, LOG_HEAD, 0)
        if head != self._log_head and head and not is_whole(head):
            return False
        self._log_head = head
        return True

    def _look_closer(self) -> None:
        with self._lock:
            if self.stopped:
                raise BookExchanged(self.stopped)
            now = stamp_of(self.path, self._log_path)
            if self._is_as_seen(now) and self._log_begins():  # it was us, a moment ago
                return
            if now is None or (now.file, now.log) != (self._seen.file, self._seen.log):
                self._stop()
            if not self._log_begins():
                self._stop()
            # Another of our programs brings its log into the file; so does whoever copies over it.
            if self._faults():
                self._stop()
            self._seen, self._log_size = now, now.log_size

    def _faults(self) -> list[Fault]:
        """Check the whole book through a connection that has nothing of it in memory yet."""
        engine = sqlite_engine(self.path, poolclass=NullPool)
        known = [Checkpoint(self.last.seq, self.last.digest)] if self.last.seq else []
        try:
            with engine.execution_options(reads_only=True).begin() as connection:
                return verify(Reading(connection), known, self.replay)
        except (DBAPIError, sqlite3.Error, StudioError) as error:
            return [Fault(0, str(error))]

    def checkpoint(self) -> None:
        """Bring what the log holds into the file, as far as nobody reads the old pages."""
        with self._lock:
            if not self._is_as_seen(stamp_of(self.path, self._log_path)):
                return  # the next look says what it is
            with suppress(sqlite3.Error):  # the log still holds everything
                self._connection.execute("pragma wal_checkpoint(passive)").fetchall()
            self._seen = stamp_of(self.path, self._log_path) or self._seen

    def stop(self) -> NoReturn:
        """Stop for good: what was read does not go on from what was read before."""
        with self._lock:
            if self.stopped:
                raise BookExchanged(self.stopped)
            self._stop()

    def _stop(self) -> NoReturn:
        if not self.path.parent.is_dir():
            self.stopped = (
                f"The folder of {self.path.name} was moved or removed. Nothing more is read or "
                "written here; end the program, and start it again where the folder is now."
            )
            raise BookExchanged(self.stopped)
        kept = self._rescued()
        log = self._put_log_aside()
        told = (
            f"{self.path.name} is no longer the file that was opened: it was moved, removed or "
            "written over. Nothing more is read or written here, and what you do now is not in "
            "the book. End the program (the studio: Ctrl-C), then run: pourwright book restore "
        )
        if kept is not None:
            told += f"{kept.name}. It holds all {self.last.seq} entries that were written down."
        else:
            told += "COPY, with the newest file in the folder copies."
        if log is not None and kept is None:
            told += f" What was written since the file was last whole is in {log.name}; keep it."
        self.stopped = told
        raise BookExchanged(told)

    def _rescued(self) -> Path | None:
        """Put what is still open beside the book, if it is whole; return its file."""
        part = self.path.with_name(f".{self.path.name}-{os.getpid()}-kept.part")
        try:
            target = sqlite3.connect(part)
            try:
                self._connection.backup(target)
                target.execute("pragma journal_mode=delete")
            finally:
                target.close()
            head = head_of_sound(part)
            if head.seq < self.last.seq:
                return None
            kept = self.path.with_name(copy_name(datetime.now(UTC), head))
            put_in_place(part, kept)
        except (sqlite3.Error, OSError, BookTrouble):
            return None
        finally:
            with suppress(OSError):
                part.unlink(missing_ok=True)
        return kept

    def _put_log_aside(self) -> Path | None:
        """Take our log from beside a file that it is not of; return where it is now."""
        log = beside(self.path, LOG)
        stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%SZ")
        aside = self.path.with_name(f"{self.path.stem}-log-{stamp}.kept")
        with suppress(OSError):
            found = log.stat()
            if (found.st_dev, found.st_ino) == self._seen.log:
                log.rename(aside)
                beside(self.path, INDEX).unlink(missing_ok=True)
                return aside
        return None

    def let_go(self) -> None:
        """Close the file; the last one to close it brings the log into it, if it is still ours."""
        if self.stopped or not self._is_as_seen(stamp_of(self.path, self._log_path)):
            # Never closed, until the system ends the program: closing would play the log into
            # whatever lies at the path now.
            ctypes.pythonapi.Py_IncRef(ctypes.py_object(self._connection))
            return
        _held[self._seen.file] -= 1
        if self._log_file is not None:
            os.close(self._log_file)
        self._connection.close()
