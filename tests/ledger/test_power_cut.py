"""The power is cut in the middle of anything: what was acknowledged is in the book."""

import random
from pathlib import Path

import pytest

from pourwright.ledger.file.store import Store
from pourwright.ledger.file.trouble import BookTrouble
from pourwright.ledger.file.verify import verify
from tests.ledger.faulty_disk import Disk, store_on
from tests.ledger.toy import book_of, give, replay, rounds

COMMANDS = 24

pytestmark = pytest.mark.rounds


@pytest.fixture(scope="module")
def fresh(tmp_path_factory) -> bytes:
    return book_of(tmp_path_factory.mktemp("fresh") / "book.db").read_bytes()


def acknowledged_until_the_cut(disk: Disk, synchronous: str, luck: random.Random) -> list[str]:
    """Give numbers until the disk stops at a random write, or all are given."""
    disk.fails_at, disk.for_good = luck.randint(1, 25 * COMMANDS), True
    # Small logs are brought into the file often, so that the cut meets that too.
    commits = luck.choice([1, 3, 100])
    store = store_on(disk, synchronous=synchronous, commits_a_checkpoint=commits)
    acknowledged: list[str] = []
    try:
        for i in range(COMMANDS):
            give(store, "cup", f"c{i}")
            acknowledged.append(f"c{i}")
    except BookTrouble:
        pass
    disk.cut_power(luck, Path(luck.folder))
    disk.fails_at = None
    store.close()
    return acknowledged


def play(fresh: bytes, folder: Path, synchronous: str, many: int) -> dict[str, int]:
    """Cut the power so many times; count what was acknowledged, lost, and cannot be read."""
    counts = {"acknowledged": 0, "lost": 0, "rounds with a loss": 0, "unsound": 0}
    for number in range(many):
        luck = random.Random(number)
        luck.folder = folder / f"round-{number}"
        luck.folder.mkdir()
        acknowledged = acknowledged_until_the_cut(Disk({"book.db": fresh}), synchronous, luck)
        kept, sound = what_is_kept(luck.folder / "book.db")
        lost = set(acknowledged) - kept
        counts["acknowledged"] += len(acknowledged)
        counts["lost"] += len(lost)
        counts["rounds with a loss"] += bool(lost)
        counts["unsound"] += not sound
        for path in luck.folder.iterdir():
            path.unlink()
    return counts


def what_is_kept(path: Path) -> tuple[set[str], bool]:
    """Return the commands in a book opened by Python's own SQLite, and whether it is sound."""
    try:
        with Store.open(path) as store, store.reading() as book:
            faults = verify(book, replay=replay)
            return {entry.command_id for entry in book.entries()}, not faults
    except BookTrouble:
        return set(), False


def test_a_power_cut_loses_nothing_that_was_acknowledged(fresh, tmp_path):
    many = rounds(60, 1000)
    counts = play(fresh, tmp_path, "full", many)

    assert counts["acknowledged"] > 5 * many
    assert (counts["lost"], counts["unsound"]) == (0, 0), counts


def test_the_power_cut_has_teeth_normal_loses(fresh, tmp_path):
    """
    SQLite's page on the pragma: in WAL mode with NORMAL "a transaction might roll back
    following a power loss", and the file stays sound.
    """
    counts = play(fresh, tmp_path, "normal", rounds(20, 400))

    assert counts["rounds with a loss"] > rounds(5, 100), counts
    assert counts["unsound"] == 0, counts


def test_the_power_cut_has_teeth_off_corrupts(fresh, tmp_path):
    """The same page: with OFF "the database might become corrupted" in a power loss."""
    counts = play(fresh, tmp_path, "off", rounds(20, 400))

    assert counts["rounds with a loss"] > rounds(10, 200), counts
    assert counts["unsound"] > 0, counts
