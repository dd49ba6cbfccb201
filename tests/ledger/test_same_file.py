"""The file is the one that was opened: moved, removed, written over while a program has it open."""

import builtins
import io
import os
import random
import shutil
import subprocess
import sys
import threading
from collections import Counter
from contextlib import suppress
from pathlib import Path

import pytest

from pourwright.ledger.file import hold
from pourwright.ledger.file.backup import back_up, copies_in, copy_verified
from pourwright.ledger.file.exporting import export_to
from pourwright.ledger.file.putting_back import restore
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.trouble import BookExchanged, BookTrouble
from pourwright.ledger.file.verify import verify
from tests.ledger.toy import NOW, book_of, do, give, replay, rounds


def rename_over(book: Path, old: Path) -> None:
    old.rename(book)


def copy_over(book: Path, old: Path) -> None:
    """Write into the very file: its name and number stay."""
    shutil.copyfile(old, book)


def remove(book: Path, _old: Path) -> None:
    book.unlink()


def remove_log(book: Path, _old: Path) -> None:
    book.with_name("book.db-wal").unlink()


def exchange_log(book: Path, old: Path) -> None:
    shutil.copyfile(old, book.with_name("other"))
    book.with_name("other").rename(book.with_name("book.db-wal"))


def cut_log(book: Path, _old: Path) -> None:
    os.truncate(book.with_name("book.db-wal"), 0)


def move_away(book: Path, _old: Path) -> None:
    book.rename(book.with_name("elsewhere.db"))


SWAPS = [rename_over, copy_over, remove, remove_log, exchange_log, cut_log, move_away]
LOST_WITH_THE_FILE = [copy_over, cut_log]
"""What is written over in the very file is gone for everybody who has it open, too."""


@pytest.fixture
def folder(tmp_path):
    """A book of sixteen entries, and its state of twelve entries before in another file."""
    book_of(tmp_path / "book.db", given=3)
    copy_verified(tmp_path / "book.db", tmp_path / "old.db", replay)
    with Store.open(tmp_path / "book.db") as store:
        for i in range(12):
            give(store, "cup", f"long-{i}", by="x" * 900)
    return tmp_path


@pytest.mark.parametrize("swap", SWAPS, ids=lambda swap: swap.__name__)
def test_after_a_swap_nothing_more_is_acknowledged_and_what_was_is_kept(folder, swap):
    book = folder / "book.db"
    store = Store.open(book)
    for i in range(4):
        give(store, "cup", f"before-{i}")
    swap(book, folder / "old.db")
    with pytest.raises(BookExchanged, match="no longer the file that was opened") as told:
        give(store, "cup", "after")
    with pytest.raises(BookExchanged), store.reading():
        raise AssertionError("it was read")
    store.close()

    kept = list(folder.glob("book-20*.db"))
    assert len(kept) == (swap not in LOST_WITH_THE_FILE)
    for one in kept:
        assert f"book restore {one.name}" in str(told.value)
        assert restore(one, folder / "mended.db").seq == 20
        with Store.open(one, create=False) as again, again.reading() as reading:
            assert [entry.command_id for entry in reading.entries()][-1] == "before-3"
            assert verify(reading, replay=replay) == []
    if not kept:
        assert "newest file in the folder copies" in str(told.value)
    # Nobody who opens the path now plays our log into what lies there.
    assert swap is exchange_log or not book.with_name("book.db-wal").exists()


def test_the_file_that_was_moved_in_is_left_as_it_is(folder):
    before = (folder / "old.db").read_bytes()
    store = Store.open(folder / "book.db")
    give(store, "cup", "before")
    rename_over(folder / "book.db", folder / "old.db")
    with pytest.raises(BookExchanged):
        give(store, "cup", "after")
    store.close()

    assert (folder / "book.db").read_bytes() == before


def test_what_is_exchanged_between_commit_and_answer_is_not_acknowledged(folder):
    """The entry stands in a file that nobody finds any more; so nobody was told that it stands."""
    store = Store.open(folder / "book.db")

    def write_and_swap() -> None:
        with store.writing() as writing:
            do(writing, "number-given", {"edition": "cup", "number": 16}, "late")
            rename_over(folder / "book.db", folder / "old.db")

    with pytest.raises(BookExchanged):
        write_and_swap()
    store.close()


def test_a_file_that_another_of_our_programs_brought_up_to_date_is_looked_through(folder):
    """A checkpoint of another program changes the file; the whole book is checked, and work goes on."""
    looked = []
    with Store.open(folder / "book.db") as mine, Store.open(folder / "book.db") as other:
        faults = mine._hold._faults
        mine._hold._faults = lambda: looked.append(1) or faults()
        other.commits_a_checkpoint = 1
        give(other, "cup", "by the other")
        assert give(mine, "cup", "by me")["number"] == 17
        assert give(mine, "cup", "by me again")["number"] == 18
    assert looked == [1]


def test_our_own_checkpoints_need_no_look(folder):
    with Store.open(folder / "book.db") as store:
        store._hold._faults = lambda: pytest.fail("the whole book was checked for nothing")
        store.commits_a_checkpoint = 2
        sizes = set()
        for i in range(9):
            give(store, "cup", f"c{i}")
            sizes.add((folder / "book.db").stat().st_mtime_ns)
    assert len(sizes) == 5


def test_threads_read_and_write_through_checkpoints(folder):
    with Store.open(folder / "book.db") as store:
        store._hold._faults = lambda: pytest.fail("the whole book was checked for nothing")
        store.commits_a_checkpoint = 1
        stop, seen = threading.Event(), []

        def read_on() -> None:
            while not stop.is_set():
                with store.reading() as book:
                    seen.append(book.head().seq)

        readers = [threading.Thread(target=read_on) for _ in range(3)]
        for one in readers:
            one.start()
        for i in range(40):
            give(store, "cup", f"c{i}")
        stop.set()
        for one in readers:
            one.join()
    assert max(seen) <= 56
    assert len(seen) > 3


def test_a_book_that_goes_on_from_another_end_is_not_written_to(folder):
    """Same file, same size, same time, as far as the system tells; but another history."""
    with Store.open(folder / "book.db") as store:
        give(store, "cup", "mine")
        store._hold.last = hold.Head(store._hold.last.seq, "f" * 64)
        with pytest.raises(BookExchanged):
            give(store, "cup", "next")


def test_a_folder_that_was_moved_goes_on_where_it_is(folder):
    store = Store.open(folder / "book.db")
    give(store, "cup", "before")
    folder.rename(folder.with_name("moved"))
    with pytest.raises(BookExchanged, match="start it again where the folder is now"):
        give(store, "cup", "after")
    store.close()

    other = folder.with_name("copied")  # this program still has the moved one open
    shutil.copytree(folder.with_name("moved"), other)
    with Store.open(other / "book.db") as again, again.reading() as book:
        assert [entry.command_id for entry in book.entries()][-1] == "before"


ROUNDS = rounds(7, 350)


@pytest.mark.rounds
def test_a_swap_at_any_moment_loses_nothing_that_was_acknowledged(folder, tmp_path_factory):
    """Somebody exchanges the file while taps come in; what was answered is in what is kept."""
    counts = Counter()
    for number in range(ROUNDS):
        luck, swap = random.Random(number), SWAPS[number % len(SWAPS)]
        here = tmp_path_factory.mktemp("round")
        for one in ("book.db", "old.db"):
            shutil.copyfile(folder / one, here / one)
        store, acknowledged = Store.open(here / "book.db"), []
        give(store, "cup", "first")
        timer = threading.Timer(luck.uniform(0, 0.02), swap, (here / "book.db", here / "old.db"))
        timer.start()
        with suppress(BookTrouble):
            for i in range(100_000):
                give(store, "cup", f"c{i}")
                acknowledged.append(f"c{i}")
        timer.join()
        with pytest.raises(BookTrouble):
            give(store, "cup", "after")
        store.close()
        counts[swap.__name__, "stopped"] += 1
        for one in here.glob("book-20*.db"):
            with Store.open(one, create=False) as again, again.reading() as reading:
                kept = {entry.command_id for entry in reading.entries()}
            assert set(acknowledged) <= kept
            counts[swap.__name__, "all kept beside"] += 1
    for (name, what), count in sorted(counts.items()):
        print(f"{name.replace('_', ' ')}: {count} {what}")
    for swap in SWAPS:
        if swap not in LOST_WITH_THE_FILE:
            assert counts[swap.__name__, "all kept beside"] == counts[swap.__name__, "stopped"]


# --- nobody but SQLite opens the file


def is_the_books(path: object, folder: Path) -> bool:
    if not isinstance(path, str | bytes | os.PathLike):
        return False
    name = Path(os.fsdecode(path))
    return name.parent == folder and name.name in {"book.db", "book.db-shm"}


def test_while_a_book_is_held_nothing_but_sqlite_opens_its_files(folder, monkeypatch):
    """Closing any other descriptor would take away this program's locks; none lies on the log."""
    opened = []

    def watched(function):
        def watching(path, *more, **named):
            if is_the_books(path, folder):
                opened.append(path)
            return function(path, *more, **named)

        return watching

    with Store.open(folder / "book.db") as store:
        for module, name in ((builtins, "open"), (io, "open"), (os, "open")):
            monkeypatch.setattr(module, name, watched(getattr(module, name)))
        give(store, "cup", "a")
        with Store.open(folder / "book.db") as second:
            give(second, "cup", "b")
        with store.reading() as book:
            assert verify(book, replay=replay) == []
        back_up(store.path, folder / "copies", NOW, replay)
        export_to(store, folder / "book.jsonl")
        (folder / "old.db").read_bytes()
    monkeypatch.undo()

    assert opened == []
    assert len(copies_in(folder / "copies")) == 1


def test_a_second_look_does_not_take_the_locks_away(folder):
    """Another program that asks for the file alone is refused as long as we have it open."""
    asks_alone = (
        "import sqlite3, sys\n"
        "hand = sqlite3.connect(sys.argv[1], timeout=0)\n"
        "try:\n    hand.execute('pragma journal_mode=delete')\n"
        "except sqlite3.OperationalError as error:\n    print(error)\n"
    )
    with Store.open(folder / "book.db") as store:
        give(store, "cup", "a")
        Store.open(folder / "book.db").close()
        done = subprocess.run(
            [sys.executable, "-S", "-c", asks_alone, str(folder / "book.db")],
            capture_output=True, text=True, check=True,
        )  # fmt: skip
    assert done.stdout == "database is locked\n"
