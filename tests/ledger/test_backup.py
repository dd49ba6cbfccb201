"""Copies: sound or not kept, let go by the rotation, and the way back from one."""

import random
import shutil
import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from pourwright.ledger.file.backup import (
    Checkpoint,
    Copy,
    back_up,
    copies_in,
    copy_verified,
    to_let_go,
)
from pourwright.ledger.file.putting_back import restore
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.trouble import BookTrouble, NewerBook
from pourwright.ledger.file.verify import verify
from tests.ledger.toy import NOW, book_of, give, replay


def test_a_copy_is_named_by_its_moment_and_its_checkpoint(tmp_path):
    book_of(tmp_path / "book.db", given=4)
    with Store.open(tmp_path / "book.db") as store:
        copy = back_up(store.path, tmp_path / "copies", NOW, replay)
        with store.reading() as book:
            head = book.head()

    assert copy.path.name == f"book-20270301T093000Z-5-{head.digest[:16]}.db"
    assert copies_in(tmp_path / "copies") == [copy]
    assert [path.name for path in (tmp_path / "copies").iterdir()] == [copy.path.name]
    with Store.open(copy.path) as store, store.reading() as book:
        assert book.head() == head
        assert verify(book, [copy.checkpoint], replay) == []


def test_a_copy_is_sound_while_others_write(tmp_path):
    book_of(tmp_path / "book.db", size=10_000, given=50)
    stop = threading.Event()
    with Store.open(tmp_path / "book.db") as store:

        def write_on() -> None:
            number = 0
            while not stop.is_set():
                give(store, "cup", f"meanwhile-{number}")
                number += 1

        writer = threading.Thread(target=write_on)
        writer.start()
        try:
            copies = [
                back_up(store.path, tmp_path / "copies", NOW + timedelta(days=i), replay)
                for i in range(8)
            ]
        finally:
            stop.set()
            writer.join()
        places = [copy.checkpoint.seq for copy in copies]
        with store.reading() as book:
            assert verify(book, [copy.checkpoint for copy in copies], replay) == []

    assert places == sorted(places)
    assert places[-1] > places[0] >= 51


def test_a_copy_that_is_not_sound_is_not_kept(tmp_path):
    path = book_of(tmp_path / "book.db", given=4)
    with closing(sqlite3.connect(path)) as hand:
        hand.execute("DROP TRIGGER entry_never_changed")
        hand.execute("UPDATE entry SET text = replace(text, 'cup', 'cap') WHERE seq = 3")
        hand.commit()
    with Store.open(path) as store, pytest.raises(BookTrouble, match="The copy is not sound"):
        back_up(store.path, tmp_path / "copies", NOW)

    assert list((tmp_path / "copies").iterdir()) == []


def test_a_copy_that_cannot_be_written_is_told(tmp_path):
    path = book_of(tmp_path / "book.db", given=4)
    (tmp_path / "copies").write_text("a file where the folder should be")

    with Store.open(path) as store, pytest.raises(BookTrouble, match="copies: File exists"):
        back_up(store.path, tmp_path / "copies", NOW)


def copy_of(made: datetime) -> Copy:
    return Copy(Path(made.isoformat()), made, Checkpoint(1, "0" * 16))


def kept(copies: list[Copy]) -> list[datetime]:
    gone = set(to_let_go(copies))
    return [copy.made for copy in copies if copy not in gone]


def test_the_rotation_keeps_hours_days_and_every_month():
    """Three years of a copy each half hour, counted by hand: 24 hours, 30 days, 37 months."""
    first = datetime(2027, 1, 1, tzinfo=UTC)
    copies = [copy_of(first + timedelta(minutes=30 * i)) for i in range(2 * 24 * (3 * 365 + 2))]
    random.Random(1).shuffle(copies)
    left = sorted(kept(copies))
    last = first + timedelta(days=3 * 365 + 2, minutes=-30)

    assert last == datetime(2030, 1, 1, 23, 30, tzinfo=UTC)
    hours = [last - timedelta(hours=i) for i in range(24)]
    days = [last - timedelta(days=i) for i in range(30)]
    months = [
        datetime(2027 + m // 12, m % 12 + 1, 1, tzinfo=UTC) - timedelta(minutes=30)
        for m in range(1, 37)
    ]
    assert left == sorted({*hours, *days, *months, last})


def test_the_rotation_lets_nothing_go_while_there_is_little():
    assert to_let_go([copy_of(NOW + timedelta(hours=i)) for i in range(24)]) == []
    assert to_let_go([copy_of(NOW + timedelta(days=i)) for i in range(30)]) == []
    assert to_let_go([copy_of(NOW + timedelta(days=31 * i)) for i in range(100)]) == []


def test_the_rotation_touches_no_other_file(tmp_path):
    folder = tmp_path / "copies"
    folder.mkdir()
    others = ["book-of-recipes.db", "book-20270301T093000Z-5-xyz.db", "notes.txt"]
    for name in others:
        (folder / name).write_text("mine")
    book_of(tmp_path / "book.db")
    with Store.open(tmp_path / "book.db") as store:
        for i in range(30):
            give(store, "cup", f"c{i}")
            back_up(store.path, folder, NOW + timedelta(minutes=i))

    assert sorted(path.name for path in folder.iterdir() if path.name in others) == sorted(others)
    assert [copy.checkpoint.seq for copy in copies_in(folder)] == [31]


# --- the way back


@pytest.fixture
def copied(tmp_path):
    book_of(tmp_path / "book.db", given=4)
    copy_verified(tmp_path / "book.db", tmp_path / "copy.db", replay)
    with Store.open(tmp_path / "book.db") as store:
        give(store, "cup", "after the copy")
    return tmp_path


def seq_of(path) -> int:
    with Store.open(path, create=False) as store, store.reading() as book:
        assert verify(book, replay=replay) == []
        return book.head().seq


def test_a_living_book_is_not_replaced_unless_it_is_kept_aside(copied):
    with pytest.raises(BookTrouble, match="say where it is to be kept aside"):
        restore(copied / "copy.db", copied / "book.db")
    assert seq_of(copied / "book.db") == 6

    head = restore(copied / "copy.db", copied / "book.db", copied / "aside.db")
    assert head.seq == seq_of(copied / "book.db") == 5
    assert seq_of(copied / "aside.db") == 6
    assert sorted(path.name for path in copied.iterdir()) == ["aside.db", "book.db", "copy.db"]


def test_a_book_that_is_gone_comes_back(copied):
    (copied / "book.db").unlink()

    assert restore(copied / "copy.db", copied / "book.db").seq == 5
    assert seq_of(copied / "book.db") == 5


def test_a_damaged_book_is_replaced_with_its_log(copied):
    """Damaged in the middle and with a log left beside: the log must not meet the copy."""
    log = copied / "book.db-wal"
    with closing(sqlite3.connect(copied / "book.db")) as writer:
        writer.execute("UPDATE thing SET doc = doc")
        writer.commit()
        left = log.read_bytes()
    spoiled = bytearray((copied / "book.db").read_bytes())
    spoiled[:50] = b"\0" * 50
    (copied / "book.db").write_bytes(spoiled)
    log.write_bytes(left)

    restore(copied / "copy.db", copied / "book.db", copied / "aside.db")
    assert seq_of(copied / "book.db") == 5
    assert (copied / "aside.db").read_bytes() == spoiled
    assert (copied / "aside.db-wal").read_bytes() == left


def test_a_book_that_is_open_is_not_replaced(copied):
    with Store.open(copied / "book.db") as store:
        give(store, "cup", "still working")
        with pytest.raises(BookTrouble, match="has book.db open; close it"):
            restore(copied / "copy.db", copied / "book.db", copied / "aside.db")
        give(store, "cup", "and on")
    assert seq_of(copied / "book.db") == 8
    assert not (copied / "aside.db").exists()


def test_a_file_kept_aside_before_is_not_written_over(copied):
    (copied / "aside.db").write_text("an older book")

    with pytest.raises(BookTrouble, match="name another one"):
        restore(copied / "copy.db", copied / "book.db", copied / "aside.db")


def test_a_spoiled_copy_is_not_restored(copied):
    spoiled = bytearray((copied / "copy.db").read_bytes())
    at = spoiled.index(b'"number":2')
    spoiled[at : at + 10] = b'"number":3'
    (copied / "copy.db").write_bytes(spoiled)

    with pytest.raises(BookTrouble, match="not sound"):
        restore(copied / "copy.db", copied / "book.db", copied / "aside.db")
    assert seq_of(copied / "book.db") == 6
    assert not list(copied.glob(".*"))


def test_what_is_no_book_is_not_restored(copied):
    with pytest.raises(BookTrouble, match="no book nothing.db here"):
        restore(copied / "nothing.db", copied / "book.db", copied / "aside.db")
    (copied / "notes.db").write_text("not a book" * 20)
    with pytest.raises(BookTrouble, match="not a book of this program"):
        restore(copied / "notes.db", copied / "book.db", copied / "aside.db")
    with closing(sqlite3.connect(copied / "copy.db")) as newer:
        newer.execute("PRAGMA user_version = 9")
    with pytest.raises(NewerBook):
        restore(copied / "copy.db", copied / "book.db", copied / "aside.db")


# --- all that belongs to a copy


@pytest.fixture
def killed(tmp_path):
    """A book whose program was killed: what was written last is in the log alone."""
    return killed_after(tmp_path, given=3)


def killed_after(tmp_path, given):
    book_of(tmp_path / "book.db", given=given)
    with Store.open(tmp_path / "book.db") as store:
        for i in range(3):
            give(store, "cup", f"in the log {i}")
        live = tmp_path / "live"
        live.mkdir()
        for end in ("", "-wal"):
            shutil.copyfile(tmp_path / f"book.db{end}", live / f"book.db{end}")
    return live


def test_what_is_in_the_log_beside_a_copy_is_restored_with_it(killed, tmp_path):
    before = {one.name: one.read_bytes() for one in killed.iterdir()}
    assert restore(killed / "book.db", tmp_path / "new.db").seq == 7
    assert seq_of(tmp_path / "new.db") == 7
    assert {one.name: one.read_bytes() for one in killed.iterdir()} == before


@pytest.mark.parametrize("at", [5, 20, 28, 40, 60, 3000, 9000, -3000])
def test_a_log_that_is_damaged_is_refused_and_not_passed_over(killed, tmp_path, at):
    log = bytearray((killed / "book.db-wal").read_bytes())
    log[at] ^= 1
    (killed / "book.db-wal").write_bytes(log)

    with pytest.raises(BookTrouble, match="book.db-wal is damaged"):
        restore(killed / "book.db", tmp_path / "new.db")
    assert not (tmp_path / "new.db").exists()


def test_the_log_of_another_book_is_refused(tmp_path):
    """Its log holds the last pages; of a small book that would be all of them."""
    killed = killed_after(tmp_path, given=40)
    book_of(tmp_path / "other.db", size=400, given=40)
    shutil.copyfile(tmp_path / "other.db", killed / "book.db")

    with pytest.raises(BookTrouble):
        restore(killed / "book.db", tmp_path / "new.db")
    assert not (tmp_path / "new.db").exists()


def test_a_copy_that_a_program_has_open_is_not_restored(copied):
    with Store.open(copied / "book.db"), pytest.raises(BookTrouble, match="has book.db open"):
        restore(copied / "book.db", copied / "new.db")


def test_another_program_that_has_the_book_open_is_noticed(copied):
    """By the lock that SQLite itself sets as long as a file is open."""
    wait = "import sqlite3, sys; c = sqlite3.connect(sys.argv[1]); c.execute('select * from head').fetchall(); print(flush=True); sys.stdin.read()"
    with Store.open(copied / "book.db"):
        pass
    with subprocess.Popen(
        [sys.executable, "-S", "-c", wait, str(copied / "book.db")],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE,
    ) as other:  # fmt: skip
        other.stdout.readline()
        with pytest.raises(BookTrouble, match="has book.db open"):
            restore(copied / "copy.db", copied / "book.db", copied / "aside.db")
        other.communicate()
    assert restore(copied / "copy.db", copied / "book.db", copied / "aside.db").seq == 5


def test_a_copy_that_is_not_what_its_name_says_is_refused(copied):
    named = back_up(copied / "book.db", copied / "copies", NOW, replay).path
    for other in (
        named.name.replace("-6-", "-7-"),
        named.name[:-4] + "f.db",
        named.name[:-4] + "0.db",
    ):
        (copied / other).write_bytes(named.read_bytes())
        if other != named.name:
            with pytest.raises(BookTrouble, match="not what its name says"):
                restore(copied / other, copied / "new.db")
    assert restore(named, copied / "new.db").seq == 6


def test_forged_documents_are_not_restored(copied):
    with closing(sqlite3.connect(copied / "copy.db")) as hand:
        hand.execute("UPDATE thing SET doc = replace(doc, 'given\":4', 'given\":1')")
        hand.commit()

    with pytest.raises(BookTrouble, match="edition cup is not what the entries lead to"):
        restore(copied / "copy.db", copied / "new.db", replay=replay)


def test_what_is_put_aside_opens_again_as_it_was(killed, tmp_path):
    copy_verified(tmp_path / "book.db", tmp_path / "copy.db", replay)
    restore(tmp_path / "copy.db", killed / "book.db", killed / "aside.db")

    assert seq_of(killed / "aside.db") == 7
    assert seq_of(killed / "book.db") == 7
    assert not (killed / "book.db-wal").exists()
