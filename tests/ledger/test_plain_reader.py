"""A reader that knows the documented format alone agrees with the book, on books made at random."""

import random
from datetime import timedelta

import pytest

from pourwright.errors import StudioError
from pourwright.ledger.documents import LoadDoc, MoldDoc, NumberDoc
from pourwright.ledger.replaying import effective
from pourwright.ledger.state.loads import seen_lost
from tests.ledger.desk import Desk, with_finished
from tests.ledger.plain_reader import read
from tests.ledger.toy import rounds

BOOKS = rounds(2, 100)
COMMANDS = 25


def something(luck: random.Random, seq: int) -> dict:
    """Return a command that may well be refused."""
    labels = ", ".join(str(luck.randint(1, 5)) for _ in range(luck.randint(1, 3)))
    return luck.choice([
        {"do": "cast", "edition": "tide-cup", "molds": luck.choice(["all", labels]), "each": luck.randint(1, 3), "lost": luck.choice(["1 stuck", "0 warp"])},
        {"do": "count-casts", "mold": luck.randint(1, 4), "casts": luck.randint(1, 30)},
        {"do": "pour", "edition": "tide-cup", "count": luck.randint(1, 2)},
        {"do": "fire", "edition": "tide-cup", "firing": luck.choice(["bisque", "glaze"]), "count": luck.randint(1, 5)},
        {"do": "finish", "edition": "tide-cup", "count": luck.randint(1, 4)},
        {"do": "mark", "edition": "tide-cup", "numbers": str(luck.randint(1, 13)), "evidence": "shard"},
        {"do": "mark", "edition": "tide-cup", "numbers": str(luck.randint(1, 2)), "kind": "proof", "evidence": "photo"},
        {"do": "lose", "pieces": f"P-{luck.randint(1, 9):05d}", "cause": "chip", "evidence": "shard"},
        {"do": "start-step", "edition": "tide-cup", "what": f"L-001, unmarked {luck.randint(1, 3)}", "step": "lost", "cause": luck.choice(["crack", "dunt"]), "by": luck.choice(["kiln", "shelf"])},
        {"do": "undo-step", "edition": "tide-cup", "what": f"L-001, unmarked {luck.randint(1, 3)}", "step": "lost", "undoes": f"luck-{luck.randint(0, COMMANDS)}"},
        {"do": "note", "text": luck.choice(["seam – 2½ mm", "„Naht“", "a\nb", "\\u00e9 \\", "日本"])},
        {"do": "correct", "entry": luck.randint(1, seq), "void": True},
        {"do": "correct", "entry": luck.randint(1, seq), "changes": {"each": luck.randint(1, 4)}},
        {"do": "correct", "entry": luck.randint(1, seq), "changes": {"at": "2027-03-01"}},
    ])  # fmt: skip


def random_book(folder, luck: random.Random) -> Desk:
    desk = with_finished(folder)
    for number in range(COMMANDS):
        desk.now += timedelta(minutes=luck.randint(1, 600))
        command = something(luck, desk.book.head().seq)
        try:
            desk.send({"id": f"luck-{number}", **command})
        except StudioError:
            continue
    return desk


@pytest.mark.rounds
def test_the_plain_reader_and_the_book_say_the_same(tmp_path):
    corrected = replaced = taken_back = 0
    for number in range(BOOKS):
        folder = tmp_path / str(number)
        folder.mkdir()
        desk = random_book(folder, random.Random(number))
        told = read(str(folder / "book.db"))
        with desk.book.reading() as reading:
            head, entries = reading.head(), list(reading.entries())
            molds = reading.things.of(MoldDoc, "tide-cup")
            numbers = reading.things.of(NumberDoc, "tide-cup")
            load = reading.things.get(LoadDoc, "L-001")
            seen = seen_lost(reading.things, "L-001", load) if load else {}
        scopes = {entry.scope for entry in entries}
        counting = sorted(
            (one.seq, one.kind, one.at, one.body)
            for scope in scopes
            for one in effective(entry for entry in entries if entry.scope == scope)
        )

        assert told["faults"] == []
        assert told["head"] == (head.seq, head.digest, head.recorded)
        assert told["counting"] == counting
        assert told["casts"] == told["casts in things"] == {key: mold.casts for key, mold in molds}
        assert told["seen lost"] == {one.thing: one.cause for one in seen.values()}
        assert told["bearers"] == told["bearers in things"] == sorted(n.bearers for _, n in numbers)
        assert desk.book.verify() == []
        taken_back += sum(one.kind == "step-voided" for one in entries)
        corrected += len(entries) - len(counting) > 0
        replaced += any(len(one.bearers) > 1 for _, one in numbers)
        desk.book.store.close()
    assert corrected > BOOKS / 4
    assert taken_back or BOOKS < 10
    assert replaced or BOOKS < 10
