"""Entries from the end backwards, and every edition: against reading the whole book."""

import pytest

from tests.ledger.desk import Desk


@pytest.fixture
def book(tmp_path):
    """Return a book with two editions and some entries of the studio."""
    desk = Desk(tmp_path)
    for edition in ("tide-cup", "moth-cup"):
        desk.do("plan-edition", edition=edition, pieces=12)
        desk.do("pour", edition=edition, count=2)
        desk.do("cast", edition=edition, molds="all")
    desk.do("mix-lot", what="slip", name="50 % white_slip")
    desk.do("note", edition="tide-cup", text="The LIP leans; 50 % of them")
    return desk.book


def seqs(entries):
    return [one.seq for one in entries]


@pytest.mark.parametrize("scope", [None, "tide-cup", "moth-cup", "studio", "no-such"])
@pytest.mark.parametrize("kinds", [None, ("casts-made",), ("casts-made", "molds-poured"), ()])
@pytest.mark.parametrize("before", [None, 1, 5, 99])
def test_latest_is_the_whole_book_backwards(book, scope, kinds, before):
    with book.reading() as reading:
        every = [
            one for one in reading.entries(scope, 0, kinds) if before is None or one.seq < before
        ]
        found = reading.latest(100, before, scope, kinds)
        three = reading.latest(3, before, scope, kinds)

    assert seqs(found) == list(reversed(seqs(every)))
    assert seqs(three) == list(reversed(seqs(every)))[:3]


@pytest.mark.parametrize(
    ("words", "count"),
    [(["leans"], 1), (["LIP", "leans"], 1), (["lip", "stands"], 0), (["50 %"], 2), (["%"], 2), (["_s"], 1), (["'"], 0)],
)  # fmt: skip
def test_words_are_found_as_they_are_whatever_their_case(book, words, count):
    with book.reading() as reading:
        assert len(reading.latest(100, holds=words)) == count


def test_every_edition_is_read(book):
    with book.reading() as reading:
        assert {one["edition"] for one in reading.editions()} == {"tide-cup", "moth-cup"}
        assert all(reading.things.get("edition", one["edition"]) == one for one in reading.editions())  # fmt: skip
