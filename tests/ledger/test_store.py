"""The book's database: what it opens, refuses, keeps and gives back."""

import sqlite3
from contextlib import closing

import pytest
from hypothesis import given as for_all
from hypothesis import settings
from hypothesis import strategies as st

from pourwright.errors import StudioError
from pourwright.ledger.answer import read_answer
from pourwright.ledger.documents import Document
from pourwright.ledger.entry import Draft
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.transaction import Head
from pourwright.ledger.file.trouble import BookBusy, BookTrouble, NewerBook
from pourwright.ledger.file.verify import rebuild, verify
from pourwright.ledger.things import MemoryThings
from tests.ledger.toy import NOW, ToyEdition, ToyNumber, book_of, give, plan, replay


@pytest.fixture
def store(tmp_path):
    with Store.open(tmp_path / "book.db") as opened:
        yield opened


def test_a_new_book_is_empty_and_sound(store):
    with store.reading() as book:
        assert book.head() == Head(0, "0" * 64, "")
        assert list(book.entries()) == []
        assert verify(book, replay=replay) == []


def test_an_entry_and_its_answer_are_kept_together(store):
    plan(store, "cup", 3)
    answer = give(store, "cup", "c1", by="bench")

    with store.reading() as book:
        first, second = book.entries()
        assert (first.seq, first.kind, second.seq, second.kind) == (
            1, "edition-planned", 2, "number-given",
        )  # fmt: skip
        assert book.entry(2) == book.entry(second.id) == second
        assert book.entry(3) is book.entry("e-none") is None
        assert read_answer(book.answer_of("c1")[1]).seq == 2
        assert book.answer_of("c2") is None
        assert book.head().checkpoint.startswith("2:")
        assert len(book.head().short_checkpoint) == len("2:") + 16
    assert give(store, "cup", "c1", by="bench") == answer


def test_entries_are_found_by_scope_place_and_kind(store):
    plan(store, "cup", 3)
    plan(store, "bowl", 3)
    for i in range(3):
        give(store, "cup", f"c{i}")
        give(store, "bowl", f"b{i}")
    with store.reading() as book:
        assert [entry.seq for entry in book.entries("bowl")] == [2, 4, 6, 8]
        assert [entry.seq for entry in book.entries("bowl", after=4)] == [6, 8]
        assert [e.seq for e in book.entries(kinds=["edition-planned"])] == [1, 2]
        assert len(list(book.entries())) == 8


def fails_after_writing(store: Store) -> None:
    with store.writing() as book:
        book.things.put("cup", ToyEdition(edition="cup", size=9, given=9))
        draft = Draft(kind="x", at="2027-03-01", zone="UTC", by="", command_id="x", body={})
        book.append(draft, NOW)
        raise StudioError("no")


def test_nothing_is_kept_of_a_transaction_that_fails(store):
    plan(store, "cup", 3)
    with pytest.raises(StudioError, match="no"):
        fails_after_writing(store)

    with store.reading() as book:
        assert book.head().seq == 1
        assert book.things.get(ToyEdition, "cup").size == 3
        assert verify(book, replay=replay) == []


def test_the_pragmas_are_in_force(store):
    with store.reading() as book:
        told = {
            name: book.connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "recursive_triggers",
                         "busy_timeout", "trusted_schema", "application_id", "user_version")
        }  # fmt: skip

    # 2 is FULL: sqlite.org/pragma.html, synchronous.
    assert told == {
        "journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "recursive_triggers": 1,
        "busy_timeout": 10000, "trusted_schema": 0, "application_id": 0x504F5552, "user_version": 6,
    }  # fmt: skip


def test_another_program_that_writes_for_long_is_waited_for_and_then_told(store, monkeypatch):
    with store.reading() as book:
        book.connection.exec_driver_sql("PRAGMA busy_timeout = 50")
    with closing(sqlite3.connect(store.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(BookBusy, match="send it again"):
            plan(store, "cup", 3)
        other.execute("ROLLBACK")
    plan(store, "cup", 3)


# --- what is no book of ours


def untouched(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_a_newer_book_is_refused_untouched(tmp_path):
    path = book_of(tmp_path / "book.db", given=2)
    with closing(sqlite3.connect(path)) as newer:
        newer.execute("UPDATE alembic_version SET version_num = '0007'")
        newer.execute("PRAGMA user_version = 7")
        newer.commit()
        newer.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    before = untouched(tmp_path)

    with pytest.raises(NewerBook, match="tables 7, known here up to 6.*Update the program"):
        Store.open(path)
    assert untouched(tmp_path) == before


def test_a_newer_book_is_refused_by_its_tables_too(tmp_path):
    """A header that was not brought up to date does not open the door."""
    path = book_of(tmp_path / "book.db", given=2)
    with closing(sqlite3.connect(path)) as newer:
        newer.execute("UPDATE alembic_version SET version_num = '0007'")
        newer.commit()

    with pytest.raises(NewerBook):
        Store.open(path)


@pytest.mark.parametrize("content", [b"kiln log\n" * 40, b"SQLite format 3\0" + b"\xff" * 200])
def test_a_file_that_is_no_book_is_left_as_it_is(tmp_path, content):
    (tmp_path / "book.db").write_bytes(content)

    with pytest.raises(BookTrouble, match="not a book of this program"):
        Store.open(tmp_path / "book.db")
    assert untouched(tmp_path) == {"book.db": content}


def test_another_programs_database_is_left_as_it_is(tmp_path):
    path = tmp_path / "book.db"
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE entry (id, text)")
        other.commit()
    before = untouched(tmp_path)

    with pytest.raises(BookTrouble, match="left as it is"):
        Store.open(path)
    assert untouched(tmp_path) == before


def test_a_file_that_is_not_there_is_made_only_if_it_may_be(tmp_path):
    with pytest.raises(BookTrouble, match="no book shelf.db here"):
        Store.open(tmp_path / "shelf.db", create=False)
    with pytest.raises(BookTrouble, match="no folder nowhere"):
        Store.open(tmp_path / "nowhere" / "book.db")
    (tmp_path / "folder.db").mkdir()
    with pytest.raises(BookTrouble, match="folder.db cannot be read"):
        Store.open(tmp_path / "folder.db")
    assert [path.name for path in tmp_path.iterdir()] == ["folder.db"]


def test_an_empty_file_becomes_a_book(tmp_path):
    (tmp_path / "book.db").touch()
    with Store.open(tmp_path / "book.db") as store:
        plan(store, "cup", 3)


# --- documents


class ToyMold(Document, kw_only=True):
    """A mold, and the days it was cast."""

    KIND = "mold"

    days: list[int]


def test_documents_are_copies_until_they_are_put(store):
    with store.writing() as book:
        book.things.put("M-001", ToyMold(edition="cup", days=[1]))
        book.things.get(ToyMold, "M-001").days.append(2)
        assert book.things.get(ToyMold, "M-001") == ToyMold(edition="cup", days=[1])


def test_a_document_that_was_spoiled_by_hand_is_told_in_a_sentence(store):
    plan(store, "cup", 3)
    with closing(sqlite3.connect(store.path)) as hand:
        hand.execute("""UPDATE thing SET doc = '{"edition":"cup","size":"three"}'""")
        hand.commit()
    with pytest.raises(BookTrouble, match="damaged; restore it"), store.reading() as book:
        book.things.get(ToyEdition, "cup")


def test_documents_come_in_the_order_of_their_labels(store):
    labels = ["M-1000", "M-999", "M-002"]
    memory = MemoryThings()
    with store.writing() as book:
        for things in (memory, book.things):
            for label in labels:
                things.put(label, ToyMold(edition="cup", days=[]))
            assert [key for key, _ in things.of(ToyMold, "cup")] == ["M-002", "M-999", "M-1000"]
    with store.reading() as book:
        assert book.things.of(ToyMold, "cup") == memory.of(ToyMold, "cup")


def test_documents_that_are_wrong_are_found_and_made_anew(store):
    plan(store, "cup", 3)
    give(store, "cup", "c1")
    with store.writing() as book:
        book.things.put("cup/3", ToyNumber(edition="cup"))
        book.things.put("cup", ToyEdition(edition="bowl", size=4))
    with store.reading() as book:
        assert [str(fault) for fault in verify(book, replay=replay)] == [
            "The book: edition cup is not what the entries lead to.",
            "The book: number cup/3 follows from no entry.",
        ]
    with store.writing() as book:
        rebuild(book, replay)
    with store.reading() as book:
        assert verify(book, replay=replay) == []


class ToyA(Document, kw_only=True):
    """Anything with a number."""

    KIND = "a"

    n: int


class ToyB(ToyA, kw_only=True):
    """Anything else with a number."""

    KIND = "b"


KINDS = st.sampled_from([ToyA, ToyB])
KEYS, SCOPES = st.sampled_from(["1", "2", "10"]), st.sampled_from("xyz")
PUTS = st.tuples(st.just("put"), KINDS, KEYS, SCOPES, st.integers(0, 9))
STEPS = st.one_of(
    PUTS,
    st.tuples(st.just("get"), KINDS, KEYS),
    st.tuples(st.just("of"), KINDS, SCOPES),
    st.tuples(st.just("replace"), SCOPES, st.lists(PUTS, max_size=3)),
    st.tuples(st.just("commit")),
)


@settings(max_examples=60)
@for_all(st.lists(STEPS, max_size=30))
def test_stored_documents_are_those_in_memory(tmp_path_factory, steps):
    path = tmp_path_factory.mktemp("book") / "book.db"
    memory: dict = {}
    with Store.open(path) as store:
        for transaction in in_transactions(steps):
            with store.writing() as book:
                for step in transaction:
                    play(step, book.things, memory)
        with store.reading() as book:
            rows = {(kind, key): (scope, text) for kind, key, scope, text in book.things.rows()}
    assert rows == {
        (kind.KIND, key): (doc.edition, f'{{"edition":"{doc.edition}","n":{doc.n}}}')
        for (kind, key), doc in memory.items()
    }


def in_transactions(steps):
    part = []
    for step in steps:
        if step[0] == "commit":
            yield part
            part = []
        else:
            part.append(step)
    yield part


def play(step, things, memory) -> None:
    match step:
        case ("put", kind, key, scope, n):
            memory[kind, key] = kind(edition=scope, n=n)
            things.put(key, kind(edition=scope, n=n))
        case ("get", kind, key):
            assert things.get(kind, key) == memory.get((kind, key))
        case ("of", kind, scope):
            mine = {k[1]: doc for k, doc in memory.items() if k[0] == kind and doc.edition == scope}
            assert dict(things.of(kind, scope)) == mine
        case ("replace", scope, puts):
            others = MemoryThings()
            for _, kind, key, _, n in puts:
                others.put(key, kind(edition=scope, n=n))
            things.replace(scope, others)
            for both in [both for both, doc in memory.items() if doc.edition == scope]:
                del memory[both]
            memory.update({(p[1], p[2]): p[1](edition=scope, n=p[4]) for p in puts})
