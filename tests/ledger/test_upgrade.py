"""A book of each released version is opened, and brought up to date whole or not at all."""

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import Connection

from pourwright.ledger.documents import EditionDoc, FindingDoc, StepDoc
from pourwright.ledger.file import tables, upgrade
from pourwright.ledger.file import verify as verifying
from pourwright.ledger.file.chain import read_checkpoint
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.trouble import BookTrouble
from pourwright.ledger.file.verify import rebuild, verify
from pourwright.ledger.replaying import replay

FIXTURES = Path(__file__).parent / "fixtures"

# Each released version of the tables, with the checkpoint that was written down with it.
RELEASED = {
    1: "11:e2d71808c75b76e2832d62785c0ec3552cd1c9375592c5a990e3e28c6c793fb8",
    2: "19:6283cff84ffb7ca695c7e802b1c5ddb56b8cb36f091568bfab0e25e96bf5172b",
    3: "14:5fde43a67470b3db7a9befd540679be36116d078cfc1924ff54f14032b1d19a5",
    4: "16:d68b99feb29b71a301b0724249ade0c3dbc9179a8ec3c4951dd581c945e9b67f",
}


@pytest.fixture(params=RELEASED)
def released(request, tmp_path):
    path = tmp_path / "book.db"
    shutil.copyfile(FIXTURES / f"book-tables-{request.param}.db", path)
    return path, read_checkpoint(RELEASED[request.param])


@pytest.fixture
def next_version(monkeypatch):
    """Let the program be of the next version, whose step ends as the test says."""

    def with_step(end: Callable[[Connection], object] = lambda _: None) -> None:
        def shades(connection: Connection) -> None:
            connection.exec_driver_sql("ALTER TABLE thing ADD shade TEXT NOT NULL DEFAULT 'plain'")
            connection.exec_driver_sql("DROP INDEX thing_by_edition")
            end(connection)

        monkeypatch.setattr(upgrade, "STEPS", {**upgrade.STEPS, 6: shades})
        monkeypatch.setattr(tables, "SCHEMA", 6)
        # what a book of that version is made of is written nowhere
        monkeypatch.setattr(verifying, "shape_faults", lambda _: [])

    return with_step


def shape(path: Path) -> dict[str, object]:
    """Return columns, indexes and guards as SQLite tells them."""
    with closing(sqlite3.connect(path)) as book:
        names = [
            row[0] for row in book.execute("SELECT name FROM sqlite_master WHERE type='table'")
        ]
        triggers = book.execute("SELECT name, sql FROM sqlite_master WHERE type='trigger'")
        return {
            **{name: book.execute(f"PRAGMA table_xinfo({name})").fetchall() for name in names},
            **{
                f"{name} indexes": sorted(
                    (unique, origin, book.execute(f"PRAGMA index_info({index})").fetchall())
                    for _, index, unique, origin, _ in book.execute(f"PRAGMA index_list({name})")
                )
                for name in names
            },
            "guards": sorted(triggers.fetchall()),
            "head": book.execute("SELECT * FROM head").fetchall(),
            "version": book.execute("SELECT * FROM alembic_version").fetchall(),
        }


def test_the_steps_lead_to_the_tables_of_a_new_book(released, tmp_path):
    for path in (released[0], tmp_path / "new.db"):
        Store.open(path).close()
    older, new = shape(released[0]), shape(tmp_path / "new.db")

    assert older | {"head": new["head"]} == new


def test_a_released_book_opens_and_is_what_it_was(released):
    path, checkpoint = released
    with Store.open(path) as store:
        with store.writing() as book:
            rebuild(book, replay)
        with store.reading() as book:
            assert verify(book, [checkpoint], replay) == []
            assert book.head().seq == checkpoint.seq


def test_the_documents_of_an_older_book_are_worked_out_again(released):
    path, checkpoint = released
    with Store.open(path) as store, store.reading() as book:
        assert verify(book, [checkpoint], replay) == []


def test_an_evening_in_an_older_book_is_told_by_the_calendar_of_its_studio(tmp_path):
    """Cast on the day of the pour, shipped in the evening, closed after the claim window."""
    path = tmp_path / "book.db"
    shutil.copyfile(FIXTURES / "book-tables-2.db", path)
    with closing(sqlite3.connect(path)) as before:
        assert (
            before.execute("SELECT count(*) FROM thing WHERE kind = 'finding'").fetchone()[0] == 2
        )
    with Store.open(path) as store, store.reading() as book:
        edition = book.things.get(EditionDoc, "tide-cup")
        assert edition is not None
        assert edition.last_away == "2027-03-01"
        assert book.things.of(FindingDoc, "tide-cup") == []


def test_the_clocks_of_an_older_book_go_on(tmp_path):
    """A step that was ended and started again, one that was taken back by a correction."""
    path = tmp_path / "book.db"
    shutil.copyfile(FIXTURES / "book-tables-3.db", path)
    with Store.open(path) as store, store.reading() as book:
        steps = dict(book.things.of(StepDoc, "tide-cup"))
    assert sorted(steps) == [
        "tide-cup/M-001 cast 1/drain", "tide-cup/M-001 cast 1/fill", "tide-cup/batch 1/soak"
    ]  # fmt: skip
    fill, soak = steps["tide-cup/M-001 cast 1/fill"], steps["tide-cup/batch 1/soak"]
    assert (fill.started, fill.ended, fill.target.value) == ("2027-03-01T09:07:00Z", None, "12")
    assert (soak.started, soak.ended) == ("2027-03-01T09:09:00Z", "2027-03-01T09:10:00Z")


def test_the_findings_of_an_older_book_are_told_with_days_written_out(tmp_path):
    path = tmp_path / "book.db"
    shutil.copyfile(FIXTURES / "book-tables-4.db", path)
    with Store.open(path) as store, store.reading() as book:
        said = [finding.said for _, finding in book.things.of(FindingDoc, "tide-cup")]
    assert "M-001 was poured on 1 Mar 2027 and is cast on 20 Feb 2027." in said
    assert "M-002 was retired on 1 Mar 2027 and is cast." in said


def test_an_older_book_is_brought_up_to_date_after_a_copy_was_kept(released, next_version):
    path, checkpoint = released
    with closing(sqlite3.connect(path)) as before:
        entries = before.execute("SELECT * FROM entry ORDER BY seq").fetchall()
    next_version()
    Store.open(path).close()

    with closing(sqlite3.connect(path)) as after:
        assert after.execute("SELECT * FROM entry ORDER BY seq").fetchall() == entries
        assert after.execute("SELECT version_num FROM alembic_version").fetchall() == [("0006",)]
        assert after.execute("PRAGMA user_version").fetchone() == (6,)
        assert {row[0] for row in after.execute("SELECT shade FROM thing")} == {"plain"}
    with closing(sqlite3.connect(path.with_name("book-before-tables-6.db"))) as kept:
        assert kept.execute("SELECT * FROM entry ORDER BY seq").fetchall() == entries
        assert kept.execute("PRAGMA user_version").fetchone()[0] < 6
    with Store.open(path) as store, store.reading() as book:
        assert book.head().seq == checkpoint.seq
        assert verify(book, [checkpoint]) == []


def lights_out(_: Connection) -> None:
    raise RuntimeError("the light went out")


def forget(connection: Connection) -> None:
    connection.exec_driver_sql("DELETE FROM entry")


@pytest.mark.parametrize("end", [lights_out, forget])
def test_a_step_that_fails_leaves_the_book_as_it_was(released, next_version, end, monkeypatch):
    path, checkpoint = released
    before = shape(path)
    next_version(end)
    with pytest.raises(Exception, match="the light went out|the book only grows"):
        Store.open(path)

    assert shape(path) == before
    monkeypatch.undo()
    with Store.open(path) as store, store.reading() as book:
        assert verify(book, [checkpoint]) == []


def test_a_damaged_older_book_is_not_touched(released, next_version):
    path, _ = released
    with closing(sqlite3.connect(path)) as hand:
        hand.execute("DROP TRIGGER entry_never_changed")
        hand.execute("UPDATE entry SET text = replace(text, '2027', '2028') WHERE seq = 3")
        hand.commit()
    before = shape(path)
    next_version()

    with pytest.raises(BookTrouble, match="The copy is not sound"):
        Store.open(path)
    assert shape(path) == before


def test_the_words_of_an_older_book_are_found_as_those_of_a_new_one(released, tmp_path):
    path, _ = released
    with Store.open(path) as store, store.reading() as book:
        entries = list(book.entries())
    with Store.open(tmp_path / "new.db") as new, new.writing() as book:
        for entry in entries:
            book.put_entry(entry)
    found = []
    for one in (path, tmp_path / "new.db"):
        with closing(sqlite3.connect(one)) as hand:
            hand.execute(
                "CREATE VIRTUAL TABLE temp.v USING fts5vocab('main', 'entry_word', 'instance')"
            )
            found.append(
                hand.execute("SELECT term, doc, offset FROM temp.v ORDER BY 1, 2, 3").fetchall()
            )

    assert found[0] == found[1]
    assert len(found[0]) > 100
