"""The book as text and back: readable without us, checked line by line, whole or not at all."""

import hashlib
import json
import random

import pytest
import rfc8785

from pourwright.ledger.file.exporting import export_lines, export_to, import_from
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.trouble import BookTrouble
from pourwright.ledger.file.verify import verify
from pourwright.ledger.replaying import replay as real_replay
from tests.ledger.desk import with_ware
from tests.ledger.toy import book_of, give, replay, rounds


@pytest.fixture(scope="module")
def lines(tmp_path_factory) -> list[str]:
    path = book_of(tmp_path_factory.mktemp("book") / "book.db", given=12)
    with Store.open(path) as store, store.reading() as book:
        return list(export_lines(book))


def everything(store: Store) -> tuple:
    with store.reading() as book:
        rows = book.connection.exec_driver_sql("SELECT * FROM entry ORDER BY seq").fetchall()
        return book.head(), list(map(tuple, rows)), sorted(book.things.rows())


def test_the_text_is_one_json_line_an_entry_and_proves_itself(lines):
    """Read with nothing but JSON, RFC 8785 and SHA-256, as somebody would in thirty years."""
    first = json.loads(lines[0])
    last = "0" * 64
    for number, line in enumerate(lines[1:], 1):
        told = json.loads(line)
        text = rfc8785.dumps(told["entry"]).decode()
        last = hashlib.sha256(rfc8785.dumps([last, text])).hexdigest()
        assert (told["entry"]["seq"], told["digest"]) == (number, last)

    assert first == {"book": 1, "entries": 13, "checkpoint": f"13:{last}"}
    assert all(line.endswith("\n") and line.count("\n") == 1 for line in lines)


def test_a_text_read_again_is_the_same_book_to_the_byte(lines, tmp_path):
    with Store.open(tmp_path / "new.db") as store:
        head = import_from(lines, store, replay)
        with store.reading() as book:
            assert verify(book, replay=replay) == []
            assert list(export_lines(book)) == lines
        # A command that comes again gets the answer that it was given in the other book.
        assert give(store, "cup", "given-3")["number"] == 4
        assert give(store, "cup", "a new one")["number"] == 13
    assert head.seq == 13


def test_a_real_book_goes_out_and_comes_back(tmp_path):
    desk = with_ware(tmp_path)
    desk.do("note", text="seam ghost on the left – 2½ mm")
    export_to(desk.book.store, tmp_path / "book.jsonl")
    with Store.open(tmp_path / "new.db") as store:
        with (tmp_path / "book.jsonl").open(encoding="utf-8") as file:
            import_from(file, store, real_replay)

        assert everything(store) == everything(desk.book.store)
    desk.book.store.close()


def test_a_text_is_read_into_an_empty_book_only(lines, tmp_path):
    book_of(tmp_path / "book.db", given=1)
    with Store.open(tmp_path / "book.db") as store:
        with pytest.raises(BookTrouble, match="into an empty one"):
            import_from(lines, store, replay)
        assert everything(store)[0].seq == 2


def changed(lines: list[str], luck: random.Random) -> list[str]:
    """Return the lines with something in them changed, cut, doubled or out of order."""
    new = list(lines)
    at = luck.randrange(len(lines))
    match luck.choice(["character", "out", "twice", "swapped", "cut", "cut inside"]):
        case "character":
            line = new[at].rstrip("\n")
            place = luck.randrange(len(line))
            other = luck.choice([c for c in '0a{",' if c != line[place]])
            new[at] = line[:place] + other + line[place + 1 :] + "\n"
        case "out":
            del new[at]
        case "twice":
            new.insert(at, new[at])
        case "swapped":
            other = (at + 1) % len(new)
            new[at], new[other] = new[other], new[at]
        case "cut":
            del new[max(at, 1) :]
        case "cut inside":
            new[at:] = [new[at][: luck.randrange(len(new[at]) - 1)]]
    return new


@pytest.mark.rounds
def test_every_change_of_the_text_is_found_and_nothing_is_kept(lines, tmp_path):
    missed = []
    with Store.open(tmp_path / "new.db") as store:
        for number in range(rounds(100, 4000)):
            text = changed(lines, random.Random(number))
            try:
                import_from(text, store, replay)
            except BookTrouble:
                continue
            missed.append(number)
            break
        assert everything(store)[0].seq == 0

    assert missed == []


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ([], "Line 1 is not JSON"),
        (["[1]\n"], "Line 1 is no entry"),
        (['{"book":2,"entries":0,"checkpoint":"0:0"}\n'], "Line 1 should say"),
        (['{"book":1,"entries":3,"checkpoint":"2:' + "0" * 64 + '"}\n'], "Line 1 should say"),
        (['{"book":1,"entries":null,"checkpoint":null}\n'], "Line 1 should say"),
        (["[" * 100_000], "Line 1 is not JSON"),
        (
            ['{"book":1,"entries":0,"checkpoint":"0:' + "0" * 64 + '"}\n', "{}\n"],
            "has not the fields",
        ),
    ],
)
def test_what_is_no_text_of_a_book_is_told_by_line(tmp_path, text, said):
    with Store.open(tmp_path / "new.db") as store, pytest.raises(BookTrouble, match=said):
        import_from(text, store, replay)


def test_a_text_is_written_whole_or_not_at_all(tmp_path):
    book_of(tmp_path / "book.db", given=3)
    with Store.open(tmp_path / "book.db") as store:
        with pytest.raises(BookTrouble, match="No such file"):
            export_to(store, tmp_path / "nowhere" / "book.jsonl")
        export_to(store, tmp_path / "book.jsonl")
        (tmp_path / "folder").mkdir()
        with pytest.raises(BookTrouble, match="The book is as it was"):
            export_to(store, tmp_path / "folder")

    assert sorted(path.name for path in tmp_path.iterdir()) == ["book.db", "book.jsonl", "folder"]
