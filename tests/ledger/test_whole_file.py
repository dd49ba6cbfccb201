"""Verify looks at the whole file, each kind of damage says what mends it, and rebuild mends it."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import timedelta

import pytest

from pourwright.ledger.book import Book
from pourwright.ledger.file.backup import back_up
from pourwright.ledger.file.chain import REBUILD, RESTORE
from pourwright.ledger.file.putting_back import rebuild
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.transaction import seal
from pourwright.ledger.file.trouble import BookTrouble
from pourwright.ledger.file.verify import verify
from pourwright.ledger.replaying import replay
from tests.ledger.desk import START, with_ware


def sql(*statements: str) -> Callable[[sqlite3.Connection], None]:
    def run(hand: sqlite3.Connection) -> None:
        for statement in statements:
            hand.execute(statement)

    return run


def absurd_text(hand: sqlite3.Connection) -> None:
    hand.execute("DROP TRIGGER entry_never_changed")
    hand.execute("UPDATE entry SET text = ? WHERE seq = 3", ("[" * 100_000,))


def answer_without_its_words(hand: sqlite3.Connection) -> None:
    """As a program may write it that knows how to seal, and not what an answer is."""
    hand.execute("DROP TRIGGER entry_never_changed")
    answer = '{"ok": true, "seq": 3}'
    digest, command = hand.execute("SELECT digest, command FROM entry WHERE seq = 3").fetchone()
    hand.execute(
        "UPDATE entry SET answer = ?, seal = ? WHERE seq = 3",
        (answer, seal(digest, command, answer)),
    )


def noise_in_the_index(hand: sqlite3.Connection) -> None:
    hand.execute("UPDATE entry_word_data SET block = x'00ff00ff00ff' WHERE id > 10")


DAMAGES: list[tuple[str, Callable[[sqlite3.Connection], None], str, str]] = [
    ("a guard is gone", sql("DROP TRIGGER head_counts_on"), "guard head_counts_on is missing", REBUILD),
    ("a guard is another", sql("DROP TRIGGER head_counts_on", "CREATE TRIGGER head_counts_on BEFORE UPDATE ON head WHEN 0 BEGIN SELECT 1; END"), "guard head_counts_on was changed", REBUILD),
    ("a guard that swallows", sql("CREATE TRIGGER mine BEFORE INSERT ON entry WHEN NEW.kind = 'note-taken' BEGIN SELECT raise(ignore); END"), "guard mine is none of a book's", REBUILD),
    ("a table more", sql("CREATE TABLE mine (a)"), "table mine is none of a book's", REBUILD),
    ("a view more", sql("CREATE VIEW mine AS SELECT * FROM entry"), "view mine is none of a book's", REBUILD),
    ("a column more", sql("ALTER TABLE thing ADD mine TEXT"), "table thing was changed", REBUILD),
    ("an index gone", sql("DROP INDEX entry_by_scope"), "index entry_by_scope is missing", REBUILD),
    ("an index more", sql("CREATE INDEX mine ON entry (kind)"), "index mine is none of a book's", REBUILD),
    ("noise in the index of words", noise_in_the_index, "index of words is damaged", REBUILD),
    ("the index of words emptied", sql("INSERT INTO entry_word (entry_word) VALUES ('delete-all')"), "index of words is not what the entries lead to", REBUILD),
    ("one word gone from the index", sql("INSERT INTO entry_word (entry_word, rowid, words) VALUES ('delete', 4, 'slip')"), 'index of words is not what the entries lead to: "slip"', REBUILD),
    ("one word more in the index", sql("INSERT INTO entry_word (rowid, words) VALUES (99, 'heron')"), 'index of words is not what the entries lead to: "heron"', REBUILD),
    ("the head gone", sql("DROP TRIGGER head_never_removed", "DELETE FROM head", "CREATE TRIGGER head_never_removed BEFORE DELETE ON head BEGIN SELECT RAISE(ABORT, 'the book only grows: head_never_removed'); END"), "head is missing", REBUILD),
    ("user_version 0", sql("PRAGMA user_version = 0"), "user_version is 0 and should be 6", REBUILD),
    ("user_version 1", sql("PRAGMA user_version = 1"), "user_version is 1 and should be 6", REBUILD),
    ("application_id 0", sql("PRAGMA application_id = 0"), "application_id is 0 and should be", REBUILD),
    ("two versions", sql("INSERT INTO alembic_version VALUES ('0005x')"), "version of its tables is", REBUILD),
    ("a document gone", sql("DELETE FROM thing WHERE id = 'M-001'"), "mold M-001 is not what the entries lead to", REBUILD),
    ("a document more", sql("INSERT INTO thing VALUES ('mold', 'M-999', 'tide-cup', '{}')"), "mold M-999 follows from no entry", REBUILD),
    ("absurd text", absurd_text, "its text is no entry", RESTORE),
    ("an answer without its words", answer_without_its_words, "Entry 3: the answer that was given for it cannot be read", RESTORE),
]  # fmt: skip
"""What was done, how, what verify says, and what mends it."""
IDS = [one[0] for one in DAMAGES]


@pytest.fixture(scope="module")
def sound(tmp_path_factory) -> bytes:
    folder = tmp_path_factory.mktemp("sound")
    with_ware(folder).book.store.close()
    return (folder / "book.db").read_bytes()


def by_hand(path, damage) -> None:
    with closing(sqlite3.connect(path)) as hand:
        damage(hand)
        hand.commit()
        hand.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def faults_of(path) -> list:
    with Store.open(path, create=False) as store, store.reading() as book:
        return verify(book, replay=replay)


@pytest.mark.parametrize(("what", "damage", "said", "mend"), DAMAGES, ids=IDS)
def test_each_damage_is_found_told_and_mended(sound, tmp_path, what, damage, said, mend):
    path = tmp_path / "book.db"
    path.write_bytes(sound)
    by_hand(path, damage)
    faults = faults_of(path)
    assert said in " ".join(map(str, faults))
    assert {fault.mend for fault in faults if said in str(fault)} == {mend}

    with pytest.raises(BookTrouble, match="not sound"), Store.open(path) as store:
        back_up(store.path, tmp_path / "copies", START, replay)
    assert list((tmp_path / "copies").iterdir()) == []

    if mend == REBUILD:
        head, otherwise = rebuild(path, tmp_path / "aside.db", replay)
        assert said in " ".join(otherwise)
        assert faults_of(path) == []
        with Store.open(path) as store, store.reading() as book:
            assert book.head() == head
    else:
        with pytest.raises(BookTrouble, match="Nothing is rebuilt, because an entry was altered"):
            rebuild(path, tmp_path / "aside.db", replay)


@pytest.mark.parametrize(
    ("version", "said"),
    [("0000", "none of that name"), ("x", "none of that name"), ("9" * 5000, "none of that name"),
     ("٠٠٠٣", "none of that name"), ("0001", "and they are not"), ("0007", "newer version")],
)  # fmt: skip
def test_an_odd_version_is_a_sentence(sound, tmp_path, version, said):
    path = tmp_path / "book.db"
    path.write_bytes(sound)
    by_hand(path, sql(f"UPDATE alembic_version SET version_num = '{version}'"))
    with pytest.raises(BookTrouble, match=said):
        Store.open(path)

    if "newer" not in said:
        rebuild(path, tmp_path / "aside.db", replay)
        assert faults_of(path) == []


def test_what_rebuild_put_aside_is_there_to_the_byte(sound, tmp_path):
    path = tmp_path / "book.db"
    path.write_bytes(sound)
    by_hand(path, sql("CREATE TABLE mine (a)"))
    before = path.read_bytes()
    rebuild(path, tmp_path / "aside.db", replay)

    assert (tmp_path / "aside.db").read_bytes() == before
    assert sorted(one.name for one in tmp_path.iterdir()) == ["aside.db", "book.db"]


def test_a_sound_book_is_not_rebuilt(sound, tmp_path):
    path = tmp_path / "book.db"
    path.write_bytes(sound)
    assert rebuild(path, tmp_path / "aside.db", replay)[1] == []
    assert path.read_bytes() == sound


def test_an_older_stocktake_in_another_order_is_mended(tmp_path):
    """An earlier version told what differs in the order it was typed: the book never verified."""
    desk = with_ware(tmp_path)
    desk.do("count-stock", counts="1 greenware, 2 bisque")
    desk.book.store.close()
    path = tmp_path / "book.db"
    of_it = "WHERE kind = 'finding' AND doc LIKE '%counted, %' AND id LIKE"
    by_hand(path, sql(
        f"UPDATE thing SET id = replace(id, '/0', '/t') {of_it} '%/0'",
        f"UPDATE thing SET id = replace(id, '/1', '/0') {of_it} '%/1'",
        f"UPDATE thing SET id = replace(id, '/t', '/1') {of_it} '%/t'",
    ))  # fmt: skip
    assert len(faults_of(path)) == 2
    rebuild(path, tmp_path / "aside.db", replay)

    assert faults_of(path) == []


def test_writing_with_a_damaged_index_of_words_says_what_mends_it(sound, tmp_path):
    path = tmp_path / "book.db"
    path.write_bytes(sound)
    by_hand(path, sql("DELETE FROM entry_word_data"))
    note = {"do": "note", "id": "n-1", "text": "seam ghost"}
    with (
        Store.open(path) as store,
        pytest.raises(BookTrouble, match="run: pourwright book rebuild"),
    ):
        Book(store).do(note, START + timedelta(days=9))
