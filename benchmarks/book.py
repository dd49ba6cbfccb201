"""The book: three hundred thousand entries, one command, and the state of one edition.

One edition is played through the book itself; its entries are then copied under other editions
and labels until there are enough. "Plainly" is hashing and inserting the very same rows with
nothing but Python's own modules.
"""

from __future__ import annotations

import atexit
import functools
import gc
import json
import re
import shutil
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from typing import Any

from benchmarks.yardstick import ratio, seconds
from pourwright.ledger.answer import BookAnswer, answer_text
from pourwright.ledger.book import Book
from pourwright.ledger.documents import NumberDoc, PieceDoc
from pourwright.ledger.entry import GENESIS, digest, read_entry
from pourwright.ledger.file import tables
from pourwright.ledger.file.connecting import PRAGMAS
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.transaction import seal
from pourwright.ledger.file.verify import things_faults, verify
from pourwright.ledger.replaying import replay
from pourwright.studio.answers import casts_left, owed, stages, yields

ENTRIES, TURNS, COMMANDS = 300_000, 3, 400
START = datetime(2031, 1, 6, 8, tzinfo=UTC)
LABEL = re.compile(r'"([A-Z]{1,2})-([0-9]{3,})"')
COLUMNS = [column.name for column in tables.entry.columns]


@functools.cache
def folder() -> Path:
    """Return a folder that is gone when the benchmarks are done."""
    path = Path(tempfile.mkdtemp(prefix="book-bench-"))
    atexit.register(shutil.rmtree, path, ignore_errors=True)
    return path


def commands(pieces: int) -> Iterator[dict[str, Any]]:
    """Yield the commands of one edition: poured, cast day by day, fired, marked, sold."""
    yield {"do": "plan-edition", "pieces": pieces, "proofs": 2, "parts": "left half, right half"}
    yield {"do": "declare"}
    yield {"do": "mix-lot", "what": "plaster"}
    yield {"do": "mix-lot", "what": "slip"}
    yield {"do": "pour", "count": 6, "lot": "B-001", "go_on": True}
    yield {"do": "dry", "molds": "all"}
    good = marked = 0
    yield {"do": "cast", "molds": "all", "lot": "S-001"}  # conditions the molds
    while good < pieces + 6:
        yield {"do": "read-lot", "lot": "S-001", "liter_weight": "1750 g/l"}
        yield {"do": "cast", "molds": "all", "lot": "S-001"}
        good += 6
        if good % 18 == 0:
            yield {"do": "fire", "firing": "bisque", "count": 18}
            yield {"do": "fire", "firing": "glaze", "count": 18}
            yield {"do": "finish", "count": 18}
            for n in range(marked + 1, min(marked + 18, pieces) + 1):
                yield {"do": "mark", "numbers": str(n)}
                yield (
                    {"do": "sell", "pieces": f"P-{n:05d}"}
                    if n % 3
                    else {"do": "note", "text": f"number {n}"}
                )
            marked = min(marked + 18, pieces)


def played(path: Path, pieces: int) -> Book:
    """Return a book with one edition played in it."""
    book = Book(Store.open(path))
    for command, now in timed(pieces):
        book.do(command, now)
    return book


def timed(pieces: int, edition: str = "tide") -> Iterator[tuple[dict[str, Any], datetime]]:
    """Yield the commands of one edition with their ids and the clock."""
    for number, command in enumerate(commands(pieces)):
        if command["do"] not in {"mix-lot", "read-lot"}:
            command["edition"] = edition
        now = START + timedelta(minutes=10 * number)
        yield {"id": f"{edition}-{number}", **command}, now


# --- three hundred thousand entries


def copies(texts: list[str]) -> Iterator[str]:
    """Yield the entries of one edition again and again, under other names and labels."""
    seq = 0
    for copy in range(ENTRIES // len(texts) + 1):

        def other(found: re.Match[str], copy: int = copy) -> str:
            return f'"{found[1]}-{int(found[2]) + 100 * copy:03d}"'

        for text in texts:
            seq += 1
            if seq > ENTRIES:
                return
            entry = json.loads(LABEL.sub(other, text.replace("tide", f"tide{copy}")))
            entry |= {"seq": seq, "id": f"e-{seq:026d}", "recorded": "2031-03-01T08:00:00.000Z"}
            yield json.dumps(entry, sort_keys=True, ensure_ascii=False, separators=(",", ":"))


def rows(texts: Iterator[str]) -> Iterator[tuple[Any, ...]]:
    """Yield rows of the entry table."""
    last = GENESIS
    for text in texts:
        entry = read_entry(text)
        last = digest(last, text)
        said = BookAnswer(
            id=entry.command_id, entry=entry.id, seq=entry.seq, kind=entry.kind,
            said=f"{entry.kind}.", made=(), late=False, findings=(),
        )  # fmt: skip
        answer = answer_text(said)
        command = sha256(entry.command_id.encode()).hexdigest()
        row = {
            "seq": entry.seq, "id": entry.id, "kind": entry.kind, "scope": entry.scope,
            "recorded": entry.recorded, "command_id": entry.command_id, "text": text,
            "digest": last, "command": command, "answer": answer,
            "seal": seal(last, command, answer),
        }  # fmt: skip
        yield tuple(row[name] for name in COLUMNS)


@functools.cache
def large_book() -> Book:
    """Return a sound book of three hundred thousand entries."""
    small = played(folder() / "small.db", 40)
    with small.reading() as reading:
        texts = [text for (text,) in reading.rows(tables.entry.select().with_only_columns(tables.entry.c.text))]  # fmt: skip
    path = folder() / "large.db"
    Store.open(path).close()
    with closing(sqlite3.connect(path)) as hand:
        for name in tables.GUARDS:
            hand.execute(f"DROP TRIGGER {name}")
        marks = ", ".join("?" for _ in COLUMNS)
        hand.executemany(f"INSERT INTO entry VALUES ({marks})", rows(copies(texts)))
        hand.execute(tables.FILL_WORDS, (0,))
        hand.execute(
            "UPDATE head SET (seq, digest, recorded) = (SELECT seq, digest, recorded FROM entry "
            "ORDER BY seq DESC LIMIT 1)"
        )
        for name in tables.GUARDS:
            hand.execute(tables.guard_sql(name))
        hand.commit()
    book = Book(Store.open(path))
    with book.reading() as reading:
        things = list(replay(reading.entries()).rows())
    with closing(sqlite3.connect(path)) as hand:
        hand.executemany("INSERT INTO thing VALUES (?, ?, ?, ?)", things)
        hand.commit()
    return book


@functools.cache
def kept_rows() -> list[tuple[Any, ...]]:
    """Return every row of the large book's entries."""
    with closing(sqlite3.connect(folder() / "large.db")) as source:
        return source.execute("SELECT * FROM entry ORDER BY seq").fetchall()


def plainly() -> None:
    """Hash and insert the same rows with Python's own modules, into a table without an index."""
    path = folder() / "plain.db"
    path.unlink(missing_ok=True)
    text_at, marks = COLUMNS.index("text"), ", ".join("?" for _ in COLUMNS)
    with closing(sqlite3.connect(path)) as target:
        target.execute(f"CREATE TABLE entry (seq INTEGER PRIMARY KEY, {', '.join(COLUMNS[1:])})")
        last = GENESIS
        for row in kept_rows():
            last = sha256(json.dumps([last, row[text_at]]).encode()).hexdigest()
        target.executemany(f"INSERT INTO entry VALUES ({marks})", kept_rows())
        target.commit()


def beside_plainly(work: Callable[[], None]) -> float:
    """Return how often the work could be done while the rows are hashed and inserted. [-]"""
    kept_rows()
    gc.freeze()  # the rows held here are none of the work's business
    times = [(seconds(plainly), seconds(work)) for _ in range(TURNS)]
    gc.unfreeze()
    return min(plain for plain, _ in times) / min(took for _, took in times)


def bench_verifying_against_hashing_and_inserting_plainly() -> float:
    """Every entry of 300,000 verified: file, guards, chain, columns, answers. Aim: over 0.2."""
    book = large_book()

    def look() -> None:
        with book.reading() as reading:
            if verify(reading):
                raise AssertionError("the book should be sound")

    return beside_plainly(look)


def bench_rebuilding_against_hashing_and_inserting_plainly() -> float:
    """Work every document of 300,000 entries out again, equal to the live ones. Aim: over 0.2."""
    book = large_book()

    def again() -> None:
        with book.reading() as reading:
            if things_faults(reading, replay):
                raise AssertionError("replay and living book should be equal")

    return beside_plainly(again)


# --- one command, one edition


def bench_a_command_against_a_bare_synced_transaction() -> float:
    """Nineteen in twenty commands are acknowledged in this; a bare transaction's over it. Aim: over 0.33.

    Both take turns, so that a slow moment of the disk meets both.
    """
    book = Book(Store.open(folder() / "commands.db"))
    bare = sqlite3.connect(folder() / "bare.db", isolation_level=None)
    for pragma in ("journal_mode=wal", *PRAGMAS, "wal_autocheckpoint=1000"):
        bare.execute(f"pragma {pragma}")
    bare.execute("CREATE TABLE entry (seq INTEGER PRIMARY KEY, text)")

    def insert() -> None:
        bare.execute("BEGIN IMMEDIATE")
        bare.execute("INSERT INTO entry (text) VALUES (?)", ("x" * 1000,))
        bare.execute("COMMIT")

    took, plain = [], []
    for command, now in timed(2 * COMMANDS):
        took.append(seconds(lambda: book.do(command, now)))  # noqa: B023
        plain.append(seconds(insert))
        if len(took) == COMMANDS:
            break
    bare.close()
    book.store.close()
    return percentile_95(plain) / percentile_95(took)


def percentile_95(values: list[float]) -> float:
    """Return what 19 in 20 of the values do not exceed."""
    return sorted(values)[int(0.95 * len(values))]


def bench_the_state_of_250_pieces() -> float:
    """Tell what an edition of 250 holds, owes, yields and can still cast. Aim: over 13.75, 20 ms."""
    book = played(folder() / "edition.db", 250)

    def state() -> None:
        with book.reading() as reading:
            things = reading.things
            stages(things, "tide"), owed(things, "tide"), yields(things, "tide")
            casts_left(things, "tide")
            if min(len(things.of(kind, "tide")) for kind in (PieceDoc, NumberDoc)) < 200:
                raise AssertionError("the edition should have its pieces")

    return ratio(state)
