"""What readers share is what a reader of its own would read, at every entry."""

import random

import pytest

from pourwright.ledger import kept
from pourwright.ledger.file.stored_things import KeptThings, StoredThings
from tests.ledger.desk import Desk

KINDS = ("edition", "mold", "lot", "reading", "note", "tally", "counter", "finding")
SCOPES = ("tide-cup", "moth-cup", "studio", "book")


@pytest.fixture
def desk(tmp_path):
    made = Desk(tmp_path)
    for edition in ("tide-cup", "moth-cup"):
        made.do("plan-edition", edition=edition, pieces=12)
        made.do("pour", edition=edition, count=2)
    return made


def same_as_read_anew(book):
    """Hold every kind and scope against documents that were read anew."""
    with book.reading() as reading:
        assert isinstance(reading.things, KeptThings)
        fresh = StoredThings(reading.connection)
        for kind in KINDS:
            for scope in SCOPES:
                assert reading.things.of(kind, scope) == fresh.of(kind, scope)
        for name in ("M-001", "M-003", "M-005", "M-006"):
            assert reading.things.get("mold", name) == fresh.get("mold", name)
        assert reading.things.get("counter", "labels") == fresh.get("counter", "labels")


def test_it_holds_after_every_entry_and_correction(desk):
    luck = random.Random(4)
    same_as_read_anew(desk.book)
    for number in range(40):
        edition = luck.choice(("tide-cup", "moth-cup"))
        match luck.randrange(5):
            case 0:
                desk.do("pour", edition=edition, count=1)
            case 1:
                desk.do("cast", edition=edition, molds="all")
            case 2:
                desk.do("mix-lot", what="slip")
            case 3:
                noted = desk.do("note", edition=edition, text=f"note {number}")
                desk.do("correct", entry=noted["seq"], void=True)
            case _:
                desk.do("note", text="of the studio")
        same_as_read_anew(desk.book)


def test_what_another_program_wrote_is_seen(desk, tmp_path):
    same_as_read_anew(desk.book)
    other = Desk(tmp_path)
    other.count, other.now = desk.count, desk.now
    other.do("cast", edition="tide-cup", molds="all")

    same_as_read_anew(desk.book)


def test_a_reader_that_began_before_an_entry_does_not_see_it(desk):
    with desk.book.reading() as before:
        assert before.head().seq == 4
        desk.do("note", edition="tide-cup", text="later")
        same_as_read_anew(desk.book)
        assert before.things.of("note", "tide-cup") == []

    same_as_read_anew(desk.book)


def test_a_document_that_is_changed_by_its_reader_is_a_copy(desk):
    with desk.book.reading() as reading:
        reading.things.of("mold", "tide-cup")[0][1]["state"] = "gone"
        (reading.things.get("mold", "M-001") or {})["state"] = "gone"

    same_as_read_anew(desk.book)


def test_documents_put_right_without_an_entry_are_read_anew(desk):
    with desk.book.store._writer.begin() as hand:
        hand.exec_driver_sql(
            "UPDATE thing SET doc = replace(doc, 'in use', 'retired') WHERE kind = 'mold'"
        )
    same_as_read_anew(desk.book)

    assert len(desk.book.rebuild()) == 4
    same_as_read_anew(desk.book)


def test_when_it_is_too_much_all_of_it_is_let_go(desk, monkeypatch):
    monkeypatch.setattr(kept, "MOST_CHARS", 500)
    for _ in range(3):
        same_as_read_anew(desk.book)
    with desk.book.reading() as reading:
        reading.things.of("mold", "tide-cup")
        assert reading.things.kept.chars < 2000
