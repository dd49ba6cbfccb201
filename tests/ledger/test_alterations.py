"""Random alterations: every local one is found, and every rewriting before a checkpoint.

Each is made in a transaction of its own, looked at, and rolled back. Whoever alters is taken to
know the tables: the guards are taken away first and put back after.
"""

import json
import random
import sqlite3
from collections import Counter
from collections.abc import Callable
from contextlib import closing

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from pourwright.ledger.entry import digest
from pourwright.ledger.file import tables
from pourwright.ledger.file.chain import Checkpoint, Row, _is_sound, row_faults
from pourwright.ledger.file.putting_back import restore
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.transaction import Head, Reading, seal
from pourwright.ledger.file.trouble import BookTrouble
from pourwright.ledger.file.verify import _ROW, verify
from pourwright.ledger.file.witness import seen_before, witness_faults
from tests.ledger.toy import book_of, give, replay, rounds

LOCAL, REWRITTEN, FLIPPED = rounds(440, 22_000), rounds(160, 8_000), rounds(100, 1_500)
LOGS, PAGE = rounds(12, 1_000), 4096 + 24
ENTRIES = 61
COLUMNS = [column.name for column in tables.entry.columns if column.name != "seq"]


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    path = book_of(tmp_path_factory.mktemp("book") / "book.db", given=ENTRIES - 1)
    with Store.open(path) as opened:
        yield opened


class Hand:
    """Someone with the file, the tables' names and time."""

    def __init__(self, connection, luck: random.Random) -> None:
        self.connection, self.luck = connection, luck

    def run(self, sql: str, **values) -> list:
        done = self.connection.execute(text(sql), values)
        return done.fetchall() if done.returns_rows else []

    def entry(self) -> int:
        return self.luck.randint(1, ENTRIES)

    def another(self, text_now: str) -> str:
        """Return the text with one character changed, taken out, put in, or two swapped."""
        at = self.luck.randrange(len(text_now)) if text_now else 0
        other = self.luck.choice([c for c in '0a9 é{}"' if c != text_now[at : at + 1]])
        changed = self.luck.choice([
            text_now[:at] + other + text_now[at + 1 :],
            text_now[:at] + text_now[at + 1 :],
            text_now[:at] + other + text_now[at:],
        ])  # fmt: skip
        return changed if changed != text_now else text_now + "x"


def change_a_character(hand: Hand) -> None:
    column, seq = hand.luck.choice(COLUMNS), hand.entry()
    ((now,),) = hand.run(f"SELECT {column} FROM entry WHERE seq = :seq", seq=seq)
    hand.run(f"UPDATE entry SET {column} = :new WHERE seq = :seq", new=hand.another(now), seq=seq)


def change_a_field(hand: Hand) -> None:
    """Change a number in the text, and the column that shows it."""
    seq = hand.luck.randint(2, ENTRIES)
    ((now,),) = hand.run("SELECT text FROM entry WHERE seq = :seq", seq=seq)
    entry = json.loads(now)
    entry["body"]["number"] += hand.luck.choice([-1, 1, 10])
    new = json.dumps(entry, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    hand.run("UPDATE entry SET text = :new WHERE seq = :seq", new=new, seq=seq)


def change_with_its_digest(hand: Hand) -> None:
    """Change an entry and its own digest, seal and answer, but not those that follow."""
    seq = hand.luck.randint(2, ENTRIES - 1)
    rewrite(hand, seq, upto=seq)


def remove(hand: Hand) -> None:
    hand.run("DELETE FROM entry WHERE seq = :seq", seq=hand.entry())


def remove_and_close_the_gap(hand: Hand) -> None:
    seq = hand.luck.randint(1, ENTRIES - 1)
    hand.run("DELETE FROM entry WHERE seq = :seq", seq=seq)
    for later in range(seq + 1, ENTRIES + 1):
        hand.run("UPDATE entry SET seq = :new WHERE seq = :old", new=later - 1, old=later)
    hand.run("UPDATE head SET seq = seq - 1")


def swap(hand: Hand) -> None:
    one, two = hand.luck.sample(range(1, ENTRIES + 1), 2)
    for new, old in ((-1, one), (one, two), (two, -1)):
        hand.run("UPDATE entry SET seq = :new WHERE seq = :old", new=new, old=old)


def insert_a_copy(hand: Hand) -> None:
    names = ", ".join(COLUMNS)
    copied = ", ".join(
        f"{name} || 'x'" if name in {"id", "command_id"} else name for name in COLUMNS
    )
    seq = hand.luck.choice([0, -3, ENTRIES + 1, ENTRIES + 7])
    hand.run(
        f"INSERT INTO entry (seq, {names}) SELECT :new, {copied} FROM entry WHERE seq = :old",
        new=seq, old=hand.entry(),
    )  # fmt: skip
    if hand.luck.random() < 0.5:
        hand.run("UPDATE head SET seq = :seq", seq=max(seq, ENTRIES))


def cut_off(hand: Hand) -> None:
    hand.run("DELETE FROM entry WHERE seq > :seq", seq=hand.luck.randint(0, ENTRIES - 1))


def change_the_head(hand: Hand) -> None:
    column = hand.luck.choice(["digest", "recorded", "seq"])
    ((now,),) = hand.run(f"SELECT {column} FROM head")
    new = now + hand.luck.choice([-1, 1]) if column == "seq" else hand.another(now)
    hand.run(f"UPDATE head SET {column} = :new", new=new)


def remove_a_guard(hand: Hand) -> None:
    hand.run(f"DROP TRIGGER {hand.luck.choice(list(tables.GUARDS))}")


def change_a_thing(hand: Hand) -> None:
    things = hand.run("SELECT kind, id, edition, doc FROM thing ORDER BY kind, id")
    kind, key, edition, doc = hand.luck.choice(things)
    match hand.luck.choice(["doc", "edition", "gone", "more"]):
        case "doc":
            sql, new = "UPDATE thing SET doc = :new WHERE kind = :kind AND id = :key", doc
            hand.run(sql, new=hand.another(new), kind=kind, key=key)
        case "edition":
            sql = "UPDATE thing SET edition = :new WHERE kind = :kind AND id = :key"
            hand.run(sql, new=hand.another(edition), kind=kind, key=key)
        case "gone":
            hand.run("DELETE FROM thing WHERE kind = :kind AND id = :key", kind=kind, key=key)
        case "more":
            sql = "INSERT INTO thing VALUES (:kind, :key, :edition, :doc)"
            hand.run(sql, kind=kind, key=key + "x", edition=edition, doc=doc)


def add_to_the_schema(hand: Hand) -> None:
    hand.run(hand.luck.choice([
        "CREATE TABLE mine (a)", "CREATE VIEW mine AS SELECT * FROM entry",
        "CREATE INDEX mine ON thing (doc)", "ALTER TABLE head ADD mine TEXT",
        "CREATE TRIGGER mine AFTER INSERT ON head BEGIN SELECT 1; END",
        "CREATE TRIGGER mine BEFORE INSERT ON entry WHEN NEW.kind = 'x' BEGIN SELECT raise(ignore); END",
        "CREATE VIRTUAL TABLE mine USING fts5(words)",
    ]))  # fmt: skip


def take_from_the_schema(hand: Hand) -> None:
    hand.run(
        f"DROP INDEX {hand.luck.choice(['entry_by_scope', 'entry_by_kind', 'thing_by_edition'])}"
    )


def change_a_mark(hand: Hand) -> None:
    """A version that none of our books has, or the one of another version."""
    hand.run(hand.luck.choice([
        f"PRAGMA user_version = {hand.luck.choice([0, 1, 2])}", "PRAGMA application_id = 0",
        "INSERT INTO alembic_version VALUES ('0002')",
    ]))  # fmt: skip


def change_the_words(hand: Hand) -> None:
    match hand.luck.choice(["noise", "emptied", "cut"]):
        case "noise":
            hand.run("UPDATE entry_word_data SET block = x'00ff00ff' WHERE id > 10")
        case "emptied":
            hand.run("INSERT INTO entry_word (entry_word) VALUES ('delete-all')")
        case "cut":
            hand.run("DELETE FROM entry_word_data WHERE id > 10")


ALTERATIONS: dict[Callable[[Hand], None], int] = {
    change_a_character: 8, change_a_field: 4, change_with_its_digest: 3, remove: 2,
    remove_and_close_the_gap: 1, swap: 2, insert_a_copy: 2, cut_off: 2, change_the_head: 2,
    remove_a_guard: 1, change_a_thing: 4, add_to_the_schema: 2, take_from_the_schema: 1,
    change_a_mark: 1, change_the_words: 1,
}  # fmt: skip


def rewrite(hand: Hand, start: int, upto: int = ENTRIES) -> None:
    """Write an entry anew, and digests, seals and head of all that follow, as the book would."""
    rows = hand.run(
        "SELECT seq, text, command, answer FROM entry WHERE seq >= :start AND seq <= :upto"
        " ORDER BY seq", start=start, upto=upto,
    )  # fmt: skip
    ((last,),) = hand.run("SELECT digest FROM entry WHERE seq = :s", s=start - 1) or [("0" * 64,)]
    for seq, now, command, answer in rows:
        if seq == start:
            entry = json.loads(now)
            entry["by"] += "!"
            now = json.dumps(entry, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        last = digest(last, now)
        hand.run(
            "UPDATE entry SET text = :text, digest = :digest, seal = :seal WHERE seq = :seq",
            text=now, digest=last, seal=seal(last, command, answer), seq=seq,
        )  # fmt: skip
    if upto == ENTRIES:
        hand.run("UPDATE head SET digest = :digest", digest=last)


def found_after(store: Store, alter: Callable[[Hand], None], luck, checkpoints=(), replay=replay):
    """Alter the book in a transaction, look at it, roll back."""
    connection = store._writer.connect()
    with connection, connection.begin() as transaction:
        for name in tables.GUARDS:
            connection.execute(text(f"DROP TRIGGER {name}"))
        try:
            if alter is not remove_a_guard:
                alter(Hand(connection, luck))
        except IntegrityError:
            # A second row of the same id: the table itself refuses it, whoever writes.
            transaction.rollback()
            return ["refused by the table"]
        for name in tables.GUARDS:
            connection.exec_driver_sql(tables.guard_sql(name))
        if alter is remove_a_guard:
            alter(Hand(connection, luck))
        faults = verify(Reading(connection), checkpoints, replay)
        transaction.rollback()
    return faults


def test_the_quick_look_and_the_one_that_says_what_agree(store):
    """Every row, each in turn with one column changed or put to another type."""
    with store.reading() as book:
        rows = [Row._make(row) for row in book.rows(_ROW)]
    last, luck = Head(), random.Random(8)
    for row in rows:
        assert _is_sound(row, last)
        assert list(row_faults(row, last)) == []
        for name in Row._fields:
            other = luck.choice([None, b"x", "", "x", 7, "{}", "[]", '{"v":1}'])
            changed = row._replace(**{name: other})
            if changed == row:
                continue
            assert not _is_sound(changed, last)
            assert list(row_faults(changed, last)) != [], (name, other)
        last = Head(row.seq, row.digest, row.recorded)


def test_the_unaltered_book_is_sound(store):
    assert found_after(store, lambda _: None, random.Random(0)) == []


@pytest.mark.rounds
def test_every_local_alteration_is_found(store):
    luck = random.Random(5)
    kinds = luck.choices(list(ALTERATIONS), list(ALTERATIONS.values()), k=LOCAL)
    missed = [
        (number, alter.__name__)
        for number, alter in enumerate(kinds)
        if not found_after(store, alter, random.Random(number))
    ]
    for name, count in sorted(Counter(alter.__name__ for alter in kinds).items()):
        print(f"{name.replace('_', ' ')}: {count} found")

    assert missed == []


def checkpoint_at(store: Store, seq: int, digits: int) -> Checkpoint:
    with store.reading() as book:
        asked = text("SELECT digest FROM entry WHERE seq = :seq")
        return Checkpoint(seq, book.connection.execute(asked, {"seq": seq}).scalar()[:digits])


@pytest.mark.rounds
def test_every_rewriting_at_or_before_a_checkpoint_is_found(store):
    luck = random.Random(6)
    for number in range(REWRITTEN):
        seen = luck.randint(1, ENTRIES)
        start = luck.randint(1, seen)
        checkpoint = checkpoint_at(store, seen, luck.choice([8, 16, 64]))
        faults = found_after(
            store, lambda hand, start=start: rewrite(hand, start), luck, [checkpoint], None
        )

        assert [fault.seq for fault in faults] == [seen], f"rewriting {number} from {start}"


def test_a_rewriting_behind_every_checkpoint_cannot_be_found(store):
    """The limit of a chain, said plainly: only a witness outside the book can tell."""
    checkpoint = checkpoint_at(store, 30, 64)

    faults = found_after(
        store, lambda hand: rewrite(hand, 31), random.Random(0), [checkpoint], None
    )
    assert faults == []


def test_a_book_cut_off_before_a_checkpoint_is_found(store):
    """Cut off with its head put right, so that the chain alone has nothing to say."""
    checkpoint = checkpoint_at(store, 40, 16)

    def cut(hand: Hand) -> None:
        hand.run("DELETE FROM entry WHERE seq > 39")
        hand.run(
            "UPDATE head SET seq = 39, digest = (SELECT digest FROM entry WHERE seq = 39), "
            "recorded = (SELECT recorded FROM entry WHERE seq = 39)"
        )

    assert found_after(store, cut, random.Random(0), [], None) == []
    (fault,) = found_after(store, cut, random.Random(0), [checkpoint], None)
    assert str(fault) == "The book: it ends at entry 39, before the checkpoint of entry 40."


@pytest.mark.rounds
def test_flipped_bytes_in_the_file_are_found(tmp_path):
    """A byte in the file goes bad: it is found, or was in a place that holds nothing."""
    path = book_of(tmp_path / "book.db", given=40)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("VACUUM")  # so that nothing old is left in the room
    sound = path.read_bytes()
    with Store.open(path) as store, store.reading() as book:
        right = list(book.entries())
    written = [at for at in range(100, len(sound)) if sound[at]]  # zeros are mostly room
    luck, quiet = random.Random(7), 0
    for _ in range(FLIPPED):
        at = luck.choice(written)
        spoiled = bytearray(sound)
        spoiled[at] ^= 1 << luck.randrange(8)
        path.write_bytes(spoiled)
        if found_in(path):
            continue
        quiet += 1
        with Store.open(path) as store, store.reading() as book:
            assert list(book.entries()) == right
        path.with_name("book.db-wal").unlink(missing_ok=True)

    assert quiet < FLIPPED / 10, "almost every written byte matters"


@pytest.mark.rounds
def test_a_log_with_flipped_bytes_never_loses_an_entry_quietly(tmp_path):
    """SQLite passes over a damaged log without a word; what this computer saw tells it all the same."""
    path = book_of(tmp_path / "book.db", given=3)
    with Store.open(path) as store:
        for i in range(6):
            give(store, "cup", f"logged-{i}")
        kept = {end: (tmp_path / f"book.db{end}").read_bytes() for end in ("", "-wal")}
    seen = seen_before(path)
    sound, luck, counts = kept["-wal"], random.Random(9), Counter()
    for number in range(LOGS):
        spoiled, at = bytearray(sound), luck.randrange(len(sound))
        spoiled[at] ^= 1 << luck.randrange(8)
        path.write_bytes(kept[""])
        path.with_name("book.db-wal").write_bytes(spoiled)
        new = tmp_path / f"restored-{number}.db"
        try:
            seq = restore(path, new).seq
        except BookTrouble:
            counts["restoring refused"] += 1
        else:
            counts["restored whole" if seq == 10 else "restored without the last page"] += 1
            # a damaged head of the last page of all looks like one that was never ended
            assert seq == 10 or at >= len(sound) - PAGE
        path.with_name("book.db-shm").unlink(missing_ok=True)
        try:
            with Store.open(path) as store, store.reading() as book:
                told = [*verify(book, replay=replay), *witness_faults(seen, book)]
                assert told or book.head().seq == 10
                counts["told" if told else "no harm"] += 1
        except BookTrouble:
            counts["told"] += 1
    print(dict(counts))
    assert counts["told"] > LOGS / 2
    assert counts["restoring refused"] > LOGS / 2


def found_in(path) -> bool:
    try:
        with Store.open(path, create=False) as store, store.reading() as book:
            return bool(verify(book, replay=replay))
    except BookTrouble:
        return True


def test_a_guard_refuses_what_the_code_must_never_do(store):
    for sql in (
        "UPDATE entry SET kind = 'x'",
        "DELETE FROM entry WHERE seq = 3",
        "INSERT OR REPLACE INTO entry SELECT * FROM entry WHERE seq = 3",
        "UPDATE head SET seq = 3",
        "DELETE FROM head",
    ):
        with pytest.raises(Exception, match="the book only grows"), store.writing() as book:
            book.connection.execute(text(sql))
    assert give(store, "cup", "after")["number"] == ENTRIES
