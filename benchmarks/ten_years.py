"""Ten years of a studio's records: hundreds of editions, nearly all closed, a handful in work.

Two editions, one of 250 pieces and one of 60, are played through the book itself, from the first
plaster to the last mold broken up. Their entries are then told again under other names, labels
and days, in the order of their days; some of the last ones stop half way. The documents are
worked out from the entries as :meth:`Book.rebuild` does.
"""

from __future__ import annotations

import json
import re
import sqlite3
import tempfile
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from heapq import merge
from pathlib import Path
from typing import Any

from pourwright.ledger.book import Book
from pourwright.ledger.documents import EditionDoc
from pourwright.ledger.entry import GENESIS, digest, read_entry, written_instant
from pourwright.ledger.file import tables
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.transaction import seal
from pourwright.ledger.replaying import replay

LAST_DAY = date(2036, 11, 3)
BEGAN = datetime(2026, 1, 5, 8, tzinfo=UTC)
LARGE, SMALL = 250, 60
NAME = "tidecup"
OPEN_SHARES = (0.004, 0.04, 0.3, 0.55, 0.8)
"""How far the editions in work are: planned, poured, casting, firing, selling."""
MOLDS, LOAD = 6, 18
LABEL = re.compile(r"\b([A-Z])-([0-9]{3,})\b")
COLUMNS = tuple(column.name for column in tables.entry.columns)

STUDIO = """version = 1

[studio]
name = "The Patient Kiln"
country = "DK"
zone = "Europe/Copenhagen"
currency = "DKK"

[plaster]
consistency = 70
bag = "25 kg"
bucket = "12 l"
scale_step = "10 g"

[pouring]
working_time = "3 min"
set = "60 min"

[kiln]
loads_a_week = 2
"""

BRIEF = """version = 1
studio = "../studio.toml"

[edition]
id = "{edition}"
name = "{name}"
pieces = {pieces}
proofs = 2

[preparation]
have = "masters"

[mold]
life = 60
conditioning = 2

[[mold.parts]]
name = "left half"
masters = 2
volume = "2.4 l"

[[mold.parts]]
name = "right half"
masters = 2
volume = "2.3 l"

[casting]
fill = "1.2 l"
wall = "5 mm"

[casting.test]
wall = "4 mm"
time = "8 min"

[firing]
glaze_load = 18
bisque_load = 18
"""


# --- one edition, played through the book


def commands(pieces: int) -> Iterator[tuple[int, dict[str, Any]]]:
    """Yield the minute and the command of everything that happens to one edition."""
    yield from _begun(pieces)
    good = marked = day = 0
    day = 20
    while good < pieces + 8:
        at = 1440 * day
        if day % 6 == 0:
            yield at, {"do": "read-lot", "lot": "S-001", "liter_weight": "1750 g/l", "flow": "44 s"}
        if day % 4 == 0:
            yield from _clocked(at + 10, day - 19)
        lost = {"lost": "1 stuck"} if day % 15 == 0 else {}
        yield at + 90, {"do": "cast", "molds": "all", "lot": "S-001", **lost}
        good += MOLDS - len(lost) if day > 21 else 0
        if day % 5 == 0:
            yield at + 95, {"do": "judge", "molds": "all", "verdict": "same", "reference": "the first"}  # fmt: skip
        while good - marked >= LOAD + 6:
            yield from _fired(at + 100, marked, pieces)
            marked += LOAD
        day += 1
    while marked < good:
        yield from _fired(1440 * day, marked, pieces, good - marked)
        marked += min(LOAD, good - marked)
        day += 1
    yield from _closed(1440 * (day + 20))


def _begun(pieces: int) -> Iterator[tuple[int, dict[str, Any]]]:
    yield 0, {"do": "plan-edition", "name": "Tide cup", "pieces": pieces, "proofs": 2, "parts": "left half, right half", "molds": MOLDS, "life": 60, "conditioning": 2}  # fmt: skip
    yield 5, {"do": "make-form", "what": "original"}
    yield 1000, {"do": "mix-lot", "what": "rubber"}
    for part in ("left half", "right half"):
        yield 1440, {"do": "make-form", "what": "master", "part": part, "lot": "R-001", "cure_test": "yes"}  # fmt: skip
    yield 2000, {"do": "declare"}
    yield 2880, {"do": "mix-lot", "what": "plaster", "mass": "25 kg"}
    for step in ("weigh", "sift", "soak", "mix", "pour", "set"):
        yield 2900, {"do": "start-step", "what": "batch 1", "step": step, "target": "3 min"}
    yield 2990, {"do": "end-step", "what": "batch 1", "step": "set"}
    yield 3000, {"do": "pour", "count": MOLDS, "lot": "B-001"}
    for mold in range(1, MOLDS + 1):
        for day, kg in ((6, 6.9), (9, 6.2), (12, 5.8), (14, 5.79)):
            yield 1440 * day + mold, {"do": "weigh", "mold": f"M-{mold:03d}", "mass": f"{kg} kg"}
    yield 1440 * 15, {"do": "dry", "molds": "all"}
    yield 1440 * 19, {"do": "mix-lot", "what": "slip", "mass": "30 kg", "water": "11.7 kg"}


def _clocked(at: int, cast: int) -> Iterator[tuple[int, dict[str, Any]]]:
    """Yield the taps of a cast: each mold through its steps."""
    for minute, step in enumerate(("fill", "drain", "stiffen", "open")):
        for mold in range(1, MOLDS + 1):
            what = {"what": f"M-{mold:03d} cast {cast}", "step": step, "target": "12 min"}
            yield at + 15 * minute, {"do": "start-step", **what}
    if cast == 5:  # a tap on the wrong card, taken back
        yield at + 70, {"do": "start-step", "what": f"M-001 cast {cast}", "step": "fettle"}
        yield at + 70, {"do": "correct", "entry": "last", "void": "yes"}


def _fired(at: int, marked: int, pieces: int, count: int = LOAD) -> Iterator[tuple[int, dict[str, Any]]]:  # fmt: skip
    count = min(count, LOAD)
    yield at, {"do": "fire", "firing": "bisque", "count": count, "cones": "04 down"}
    yield at + 1, {"do": "fire", "firing": "glaze", "count": count, "cones": "6 down"}
    yield at + 2, {"do": "finish", "count": count}
    numbers = range(marked + 1, min(marked + count, pieces) + 1)
    if numbers:
        yield at + 3, {"do": "mark", "numbers": f"{numbers[0]}-{numbers[-1]}"}
    for n in numbers:
        yield at + 3000 + n, {"do": "sell", "pieces": str(n), "price": "380 DKK", "reference": f"order {n}"}  # fmt: skip
    for first in range(0, len(numbers), 4):
        few = ", ".join(map(str, numbers[first : first + 4]))
        yield at + 6000 + first, {"do": "ship", "pieces": few}


def _closed(at: int) -> Iterator[tuple[int, dict[str, Any]]]:
    yield at, {"do": "mark", "kind": "proof", "numbers": "1-2"}
    yield at + 1, {"do": "surplus", "fate": "destroyed", "count": "rest"}
    yield at + 2, {"do": "destroy", "molds": "all", "how": "broken up"}
    yield at + 3, {"do": "destroy-form", "forms": "F-001, F-002, F-003", "how": "shredded"}
    yield at + 4, {"do": "close", "nothing_else": "yes"}


@dataclass(frozen=True)
class Pattern:
    """One edition as the book kept it: text, command and answer of each entry, and the minute."""

    pieces: int
    rows: tuple[tuple[int, str, str, str, str], ...]
    labels: Counter[str] = field(hash=False)


def played(pieces: int, folder: Path) -> Pattern:
    """Return an edition that was played through the book, command by command."""
    path = folder / f"pattern-{pieces}.db"
    minutes: list[int] = []
    with Store.open(path) as store:
        book = Book(store)
        for minute, command in sorted(commands(pieces), key=lambda one: one[0]):
            book.do(_whole(book, command, len(minutes)), BEGAN + timedelta(minutes=minute))
            minutes.append(minute)
    with closing(sqlite3.connect(path)) as hand:
        rows = hand.execute("SELECT kind, text, command, answer FROM entry ORDER BY seq").fetchall()
    labels: Counter[str] = Counter()
    for _, text, *_ in rows:
        for letter, number in LABEL.findall(text):
            labels[letter] = max(labels[letter], int(number))
    return Pattern(pieces, tuple((m, *row) for m, row in zip(minutes, rows, strict=True)), labels)


def _whole(book: Book, command: dict[str, Any], number: int) -> dict[str, Any]:
    """Return a command with its id and edition, and with what only the book knows."""
    whole = {"id": f"{NAME}-{number}", **command}
    if command["do"] not in {"mix-lot", "read-lot", "correct", "weigh"}:
        whole["edition"] = NAME
    if command.get("entry") == "last":
        whole["entry"] = book.head().seq
    if command.get("count") == "rest":
        with book.reading() as reading:
            edition = reading.things.get(EditionDoc, NAME)
        assert edition is not None
        whole["count"] = sum(edition.ware.values())
    return whole


# --- told again, hundreds of times


@dataclass
class Copy:
    """One edition of the ten years: which it is like, when it began, and how far it went."""

    pattern: Pattern
    number: int
    began: datetime
    upto: int
    before: Counter[str]
    places: dict[int, int] = field(default_factory=dict)

    def moments(self) -> Iterator[tuple[datetime, int, int]]:
        """Yield when each of its entries was written, which edition, and which entry."""
        for at in range(self.upto):
            minute = self.pattern.rows[at][0]
            yield self.began + timedelta(minutes=minute), self.number, at


def schedule(patterns: Iterable[tuple[Pattern, int]], shares: tuple[float, ...]) -> list[Copy]:
    """Return the editions: begun one after the other through ten years, the last ones in work."""
    # both sizes spread evenly over the years
    dealt = [((n + 0.5) / count, pattern) for pattern, count in patterns for n in range(count)]
    order = [pattern for _, pattern in sorted(dealt, key=lambda one: one[0])]
    end = datetime.combine(LAST_DAY, BEGAN.timetz())
    before: Counter[str] = Counter()
    copies = []
    for number, pattern in enumerate(order):
        from_end = len(order) - number
        is_open = from_end <= len(shares)
        upto = _cut(pattern, shares[from_end - 1]) if is_open else len(pattern.rows)
        lasted = timedelta(minutes=pattern.rows[upto - 1][0])
        last = end if is_open else end - (end - BEGAN) * (from_end / (len(order) + 1)) * 0.97
        copies.append(Copy(pattern, number, last - lasted, upto, Counter(before)))
        before += pattern.labels
    return copies


def _cut(pattern: Pattern, share: float) -> int:
    """Return how many entries an edition in work has; past the plan its molds drain just now."""
    upto = max(1, int(len(pattern.rows) * share))
    drains = (
        at for at in range(upto, len(pattern.rows)) if '"step":"drain"' in pattern.rows[at][2]
    )
    return next(drains, upto) if share > 0.1 else upto


def edition_of(number: int) -> str:
    """Return the id of an edition of the ten years."""
    return f"tide-{number:04d}"


def told(copies: list[Copy]) -> Iterator[tuple[Any, ...]]:
    """Yield the rows of the entry table, in the order of their days."""
    last, last_recorded = GENESIS, ""
    by_number = {one.number: one for one in copies}
    for seq, (moment, number, at) in enumerate(merge(*(one.moments() for one in copies)), 1):
        copy = by_number[number]
        copy.places[at + 1] = seq
        _, kind, text, command, answer = copy.pattern.rows[at]
        entry = json.loads(_renamed(copy, text))
        entry |= {
            "seq": seq,
            "at": written_instant(moment)[:19] + "Z",
            "id": _id(copy, entry["id"]),
        }
        entry["recorded"] = last_recorded = max(written_instant(moment), last_recorded)
        said = json.loads(_renamed(copy, answer))
        said |= {"seq": seq, "entry": entry["id"]}
        if kind == "entry-corrected":
            entry["corrects"] = _id(copy, entry["corrects"])
            was, now = entry["body"]["entry"], copy.places[entry["body"]["entry"]]
            entry["body"]["entry"] = now
            said["said"] = said["said"].replace(f"Entry {was} ", f"Entry {now} ")
        written = json.dumps(entry, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
        kept = json.dumps(said, ensure_ascii=False)
        last = digest(last, written)
        row = read_entry(written)
        yield (
            seq, row.id, kind, row.scope, row.recorded, row.command_id, written, last, command,
            kept, seal(last, command, kept),
        )  # fmt: skip


def _renamed(copy: Copy, text: str) -> str:
    before = copy.before

    def other(found: re.Match[str]) -> str:
        width = len(found[2])
        return f"{found[1]}-{int(found[2]) + before[found[1]]:0{width}d}"

    named = text.replace(NAME, edition_of(copy.number)).replace(
        "Tide cup", f"Tide cup {copy.number}"
    )
    return LABEL.sub(other, named)


def _id(copy: Copy, entry_id: str) -> str:
    """Return an id of its own for a copied entry: the last four letters tell the copy."""
    letters, number, tail = "abcdefghijklmnopqrstuvwxyz234567", copy.number, ""
    for _ in range(4):
        number, at = divmod(number, 32)
        tail += letters[at]
    return entry_id[:-4] + tail


def write_book(path: Path, copies: list[Copy]) -> int:
    """Write the entries and their documents into a new book; return the entries."""
    assert COLUMNS == (
        "seq", "id", "kind", "scope", "recorded", "command_id", "text", "digest", "command",
        "answer", "seal",
    )  # fmt: skip
    Store.open(path).close()
    marks = ", ".join("?" for _ in COLUMNS)
    with closing(sqlite3.connect(path)) as hand:
        hand.execute("PRAGMA synchronous=off")
        for name in tables.GUARDS:
            hand.execute(f"DROP TRIGGER {name}")
        hand.executemany(f"INSERT INTO entry VALUES ({marks})", told(copies))
        hand.execute(tables.FILL_WORDS, (0,))
        hand.execute(
            "UPDATE head SET (seq, digest, recorded) = (SELECT seq, digest, recorded FROM entry "
            "ORDER BY seq DESC LIMIT 1)"
        )
        for name in tables.GUARDS:
            hand.execute(tables.guard_sql(name))
        hand.commit()
    with Store.open(path) as store, store.reading() as reading:
        things = list(replay(reading.entries()).rows())
        entries = reading.head().seq
    with closing(sqlite3.connect(path)) as hand:
        hand.executemany("INSERT INTO thing VALUES (?, ?, ?, ?)", things)
        hand.commit()
    return entries


def lay_out(folder: Path, large: int, small: int, shares: tuple[float, ...] = OPEN_SHARES) -> list[Copy]:  # fmt: skip
    """Lay out a studio with so many editions of each size; the last of them are in work."""
    (folder / "editions").mkdir(parents=True)
    (folder / "studio.toml").write_text(STUDIO, encoding="utf-8")
    with tempfile.TemporaryDirectory() as aside:
        sizes = ((LARGE, large), (SMALL, small))
        patterns = [(played(size, Path(aside)), count) for size, count in sizes if count]
    copies = schedule(patterns, shares)
    for one in copies:
        text = BRIEF.format(edition=edition_of(one.number), name=f"Tide cup {one.number}", pieces=one.pattern.pieces)  # fmt: skip
        (folder / "editions" / f"{edition_of(one.number)}.toml").write_text(text, encoding="utf-8")
    write_book(folder / "book.db", copies)
    return copies
