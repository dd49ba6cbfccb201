"""Entries from the end backwards, and every edition: against reading the whole book."""

from datetime import UTC, datetime
from itertools import product

import pytest

from pourwright.ledger.documents import EditionDoc
from tests.ledger.desk import Desk


def written(folder):
    """Return a book with two editions and some entries of the studio."""
    desk = Desk(folder)
    for edition in ("tide-cup", "moth-cup"):
        desk.do("plan-edition", edition=edition, pieces=12)
        desk.do("pour", edition=edition, count=2)
        desk.do(
            "cast",
            edition=edition,
            molds="1, 2" if edition == "tide-cup" else "3, 4",
            go_on=True,
        )
    desk.do("mix-lot", what="slip", name="50 % white_slip")
    desk.do("note", edition="tide-cup", text="The LIP leans; 50 % of them")
    return desk.book


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    """Return a book that is only read."""
    return written(tmp_path_factory.mktemp("book"))


@pytest.fixture(scope="module")
def book_with_lines(tmp_path_factory):
    """Return a book with a note of two lines, that is only read from then on."""
    book = written(tmp_path_factory.mktemp("lines"))
    note = {"do": "note", "id": "n", "edition": "moth-cup", "text": "One under\nlines of it"}
    book.do(note, datetime(2027, 3, 2, tzinfo=UTC))
    return book


def seqs(entries):
    return [one.seq for one in entries]


@pytest.mark.parametrize("scope", [None, "tide-cup", "moth-cup", "studio", "no-such"])
def test_latest_is_the_whole_book_backwards(book, scope):
    some_kinds = [None, ("casts-made",), ("casts-made", "molds-poured"), ()]
    for kinds, before in product(some_kinds, [None, 1, 5, 99]):
        with book.reading() as reading:
            every = seqs(reading.entries(scope, 0, kinds))
            found = reading.latest(100, before, scope, kinds)
            three = reading.latest(3, before, scope, kinds)

        backwards = [seq for seq in reversed(every) if before is None or seq < before]
        assert seqs(found) == backwards, (kinds, before)
        assert seqs(three) == backwards[:3], (kinds, before)


@pytest.mark.parametrize(
    ("words", "count"),
    [(["leans"], 1), (["LIP", "leans"], 1), (["lip", "stands"], 0), (["50 %"], 2), (["%"], 2), (["_s"], 1), (["'"], 0)],
)  # fmt: skip
def test_words_are_found_as_they_are_whatever_their_case(book, words, count):
    with book.reading() as reading:
        assert len(reading.latest(100, holds=words)) == count


def test_every_edition_is_read(book):
    with book.reading() as reading:
        assert {one.edition for one in reading.editions} == {"tide-cup", "moth-cup"}
        for one in reading.editions:
            assert reading.things.get(EditionDoc, one.edition) == one


@pytest.mark.parametrize(
    ("words", "count"),
    [
        (["leans"], 1), (["LEAN"], 1), (["eans"], 0), (["lip", "leans"], 1), (["lip", "stands"], 0),
        (["white"], 1), (["slip"], 1), (["M-001 "], 2), (["m-00"], 0), (["M-002 "], 2), (["50"], 2), (["5"], 0),
        (["casts-made"], 2), (["tide-cup"], 4), (['le"ans'], 0), (["OR"], 0), (["NEAR"], 0), (["under"], 1), (["lines"], 1), (["AND*"], 0),
    ],
)  # fmt: skip
def test_words_are_looked_up_by_how_they_begin(book_with_lines, words, count):
    with book_with_lines.reading() as reading:
        found = reading.latest(100, words=words)
        limited = reading.latest(1, words=words, before=found[0].seq if found else None)

    assert len(found) == count, [one.body for one in found]
    assert seqs(found) == sorted(seqs(found), reverse=True)
    assert seqs(limited) == seqs(found)[1:2]


def test_words_are_looked_up_within_a_scope_and_kinds(book):
    with book.reading() as reading:
        mine = reading.latest(100, scope="tide-cup", words=["tide"])
        casts = reading.latest(100, kinds=("casts-made", "molds-poured"), words=["cup"])

        assert {one.scope for one in mine} == {"tide-cup"}
        assert len(mine) == 4
        assert {one.kind for one in casts} == {"casts-made", "molds-poured"}
        assert len(casts) == 4
        assert reading.latest(9, scope="nobody", words=["tide"]) == []


def test_corrections_are_looked_up_by_what_they_correct(tmp_path):
    book = written(tmp_path)
    now = datetime(2027, 3, 2, tzinfo=UTC)
    said = [book.do({"do": "note", "id": f"n{n}", "text": f"x{n}"}, now) for n in range(3)]
    change = {"do": "correct", "id": "a", "entry": said[1].seq, "changes": {"text": "y"}}
    first = book.do(change, now)
    book.do({"do": "correct", "id": "b", "entry": first.seq, "void": True}, now)
    with book.reading() as reading:
        assert [one.command_id for one in reading.corrections([said[1].entry])] == ["a"]
        assert [one.command_id for one in reading.corrections([one.entry for one in (first, *said)])] == ["a", "b"]  # fmt: skip
        assert reading.corrections([said[0].entry]) == []
