"""What this computer saw in a book, compared when the book is opened, verified and copied."""

import os
from datetime import timedelta

import pytest

from pourwright.errors import Asks
from pourwright.ledger.book import Book
from pourwright.ledger.file.backup import back_up, copies_in, copy_verified
from pourwright.ledger.file.putting_back import restore
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.trouble import BookGone, BookTrouble
from pourwright.ledger.file.witness import seen_before, witness_path
from pourwright.studio.book import open_book
from tests.ledger.desk import START, with_ware
from tests.ledger.toy import NOW, book_of, give, replay


def test_an_emptied_file_is_no_book(tmp_path):
    path = book_of(tmp_path / "book.db", given=3)
    os.truncate(path, 0)
    for create in (True, False):
        with pytest.raises(BookTrouble, match="is empty, and this computer saw 4 entries in it"):
            Store.open(path, create=create)
    assert path.stat().st_size == 0


def test_an_empty_file_that_never_held_a_book_is_none_to_look_at(tmp_path):
    (tmp_path / "book.db").touch()
    with pytest.raises(BookTrouble, match="there is no book in it"):
        Store.open(tmp_path / "book.db", create=False)


def test_an_empty_file_with_a_log_keeps_its_log(tmp_path):
    """SQLite throws a log away that lies beside an empty file."""
    (tmp_path / "book.db").touch()
    (tmp_path / "book.db-wal").write_bytes(b"all that there is")
    with pytest.raises(BookTrouble, match="a log lies beside it"):
        Store.open(tmp_path / "book.db")
    assert (tmp_path / "book.db-wal").read_bytes() == b"all that there is"


def test_a_shrunken_book_is_not_as_written(tmp_path):
    desk = with_ware(tmp_path)
    desk.book.store.close()
    path = tmp_path / "book.db"
    older = path.read_bytes()
    with Store.open(path) as store:
        Book(store).do({"do": "note", "id": "later", "text": "the last"}, START + timedelta(days=9))
    path.write_bytes(older)

    with Store.open(path) as store:
        (fault,) = Book(store).verify()
        assert "does not hold entry 9," in str(fault)
        assert "cut, emptied or exchanged" in str(fault)
        with pytest.raises(
            BookTrouble, match="No copy is made. The book: it does not hold entry 9"
        ):
            back_up(path, tmp_path / "copies", NOW)

        note = {"do": "note", "id": "n1", "text": "other"}
        with pytest.raises(Asks, match="saw 9 entries in book.db, and an older book of 8 entries"):
            Book(store).do(note, START + timedelta(days=9))
        assert len(Book(store).verify()) == 1


def test_going_on_with_a_shrunken_book_is_kept_in_it_and_asked_once(tmp_path):
    path = book_of(tmp_path / "book.db", given=3)
    older = path.read_bytes()
    with Store.open(path) as store:
        give(store, "cup", "the last")
    path.write_bytes(older)

    note = {"do": "note", "id": "n1", "text": "the older one is meant", "go_on": True}
    with Store.open(path) as store:
        (finding,) = Book(store).do(note, NOW).findings
        assert finding.startswith("This computer saw 5 entries in book.db, and an older book of 4")
        Book(store).do({"do": "note", "id": "n2", "text": "a third"}, NOW)
    assert seen_before(path).seq == 6
    with Store.open(path) as store:
        Book(store).do({"do": "note", "id": "n3", "text": "a fourth"}, NOW)


def test_a_copy_that_was_restored_is_what_this_computer_knows_from_then_on(tmp_path):
    path = book_of(tmp_path / "book.db", given=3)
    copy_verified(path, tmp_path / "copy.db", replay)
    with Store.open(path) as store:
        give(store, "cup", "later")
    restore(tmp_path / "copy.db", path, tmp_path / "aside.db")

    assert seen_before(path).seq == 4
    back_up(path, tmp_path / "copies", NOW, replay)


def test_a_book_that_is_gone_is_not_begun_anew_unasked(tmp_path):
    path = book_of(tmp_path / "book.db", given=3)
    path.unlink()
    said = "book.db is gone, moved or removed: this computer saw 4 entries in it."
    with pytest.raises(BookGone, match=said):
        Store.open(path)
    with pytest.raises(BookGone, match=said):
        open_book(path, create=False)
    assert list(tmp_path.iterdir()) == []

    with Store.open(path, anew=True) as store:
        note = {"do": "note", "id": "n1", "text": "a new book"}
        with pytest.raises(Asks, match=said):
            Book(store).do(note, NOW)
        assert Book(store).do({**note, "go_on": True}, NOW).findings == (said,)
    assert seen_before(path).seq == 1


def test_copies_beside_it_tell_of_a_book_that_was_never_seen_here(tmp_path):
    path = book_of(tmp_path / "book.db", given=3)
    copy = back_up(path, tmp_path / "copies", NOW, replay)
    path.unlink()
    witness_path(path).unlink()
    with pytest.raises(BookGone, match=f"{copy.path.name} in the folder copies holds 4 entries"):
        Store.open(path)
    restore(copy.path, path)
    with Store.open(path) as store:
        assert store.doubt == ""


@pytest.mark.parametrize(
    "content",
    [b"", b"{", b"[]", b'{"entries": "x"}', b"\xff", b'{"entries":4,"digest":4,"recorded":""}'],
)
def test_a_witness_that_cannot_be_read_is_none(tmp_path, content):
    path = book_of(tmp_path / "book.db", given=3)
    witness_path(path).write_bytes(content)
    assert seen_before(path) is None
    with Store.open(path) as store:
        give(store, "cup", "later")
    assert seen_before(path).seq == 5


def test_where_no_witness_can_be_kept_the_book_is_written_all_the_same(tmp_path, monkeypatch):
    (tmp_path / "state").write_text("a file where the folder should be")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    path = book_of(tmp_path / "book.db", given=3)
    assert seen_before(path) is None


def test_copies_of_what_was_cut_off_are_never_let_go(tmp_path):
    """A book that was put back by hand, and copied every hour for a day and more."""
    path = book_of(tmp_path / "book.db", given=3)
    older = path.read_bytes()
    with Store.open(path) as store:
        give(store, "cup", "the last good one")
    good = back_up(path, tmp_path / "copies", NOW, replay)
    path.write_bytes(older)
    witness_path(path).unlink()  # on another computer, where nobody knows better
    for hours in range(1, 27):
        back_up(path, tmp_path / "copies", NOW + timedelta(hours=hours), replay)

    copies = copies_in(tmp_path / "copies")
    assert copies[0] == good
    assert len(copies) == 1 + 24
