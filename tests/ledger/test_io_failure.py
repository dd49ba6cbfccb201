"""The n-th write or sync fails: the maker is told, and the book stays sound."""

import apsw
import pytest

from pourwright.errors import StudioError
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.trouble import BookTrouble
from pourwright.ledger.file.verify import verify
from tests.ledger.faulty_disk import Disk, store_on
from tests.ledger.toy import book_of, give, replay, rounds

COMMANDS = 8
# A command takes 26 writes and syncs, or 42 while the log is brought into the file: every fifth
# of eight commands meets each of them once, in one command or another.
FAILURES = range(1, 216, rounds(usual=5, soak=1))


@pytest.fixture(scope="module")
def fresh(tmp_path_factory) -> bytes:
    return book_of(tmp_path_factory.mktemp("fresh") / "book.db").read_bytes()


def send_all(store: Store) -> tuple[set[str], list[str]]:
    """Send every command, one that fails once more; return what was acknowledged and told."""
    acknowledged, told = set(), []
    for i in range(COMMANDS):
        for _ in range(2):
            try:
                give(store, "cup", f"c{i}")
            except BookTrouble as trouble:
                told.append(str(trouble))
            else:
                acknowledged.add(f"c{i}")
                break
    return acknowledged, told


def close(store: Store, disk: Disk) -> None:
    """Close the book; a failure that was not reached yet is called off."""
    if not disk.failed:
        disk.fails_at = None
    store.close()


def kept_in(disk: Disk, folder) -> list[str]:
    """Return the commands in the book, opened by Python's own SQLite and sound."""
    disk.leave(folder)
    with Store.open(folder / "book.db") as store, store.reading() as book:
        assert verify(book, replay=replay) == []
        return [entry.command_id for entry in book.entries()][1:]


@pytest.mark.rounds
@pytest.mark.parametrize("for_good", [False, True], ids=["once", "for good"])
@pytest.mark.parametrize("error", [apsw.IOError, apsw.FullError], ids=["error", "full"])
def test_the_nth_failure_is_told_and_the_book_stays_sound(fresh, tmp_path, error, for_good):
    fired = 0
    for n in FAILURES:
        disk = Disk({"book.db": fresh})
        disk.fails_at, disk.for_good, disk.error = n, for_good, error
        store = store_on(disk)
        acknowledged, told = send_all(store)
        failed = disk.failed
        close(store, disk)
        folder = tmp_path / str(n)
        folder.mkdir()
        kept = kept_in(disk, folder)

        fired += failed > 0
        assert bool(told) == (failed > 0), f"failure {n} was kept quiet"
        assert acknowledged <= set(kept), f"failure {n} lost something"
        assert len(kept) == len(set(kept)), f"failure {n} wrote something twice"
        if not for_good:
            assert len(acknowledged) == COMMANDS, "sent once more, every command is kept"
    assert fired > 0.9 * len(FAILURES), "the failures were never reached"


@pytest.mark.rounds
@pytest.mark.parametrize("error", [apsw.IOError, apsw.FullError], ids=["error", "full"])
def test_a_failure_while_the_log_is_brought_into_the_file_loses_nothing(fresh, tmp_path, error):
    """That failure may stay untold, because the log still holds everything."""
    for n in FAILURES:
        disk = Disk({"book.db": fresh})
        disk.fails_at, disk.for_good, disk.error = n, n % 2 == 0, error
        store = store_on(disk, commits_a_checkpoint=1)
        acknowledged, _ = send_all(store)
        close(store, disk)
        folder = tmp_path / str(n)
        folder.mkdir()

        assert acknowledged <= set(kept_in(disk, folder)), f"failure {n} lost something"


@pytest.mark.parametrize(
    ("error", "said"),
    [(apsw.FullError, "make room and send it again"), (apsw.IOError, "it counts only once")],
)
def test_a_full_or_broken_disk_is_told_in_a_sentence(fresh, error, said):
    disk = Disk({"book.db": fresh})
    store = store_on(disk)
    give(store, "cup", "before")
    disk.fails_at, disk.for_good, disk.error = disk.done + 1, True, error

    with pytest.raises(StudioError, match=said):
        give(store, "cup", "after")
    store.close()


def given_until_full(store: Store) -> tuple[int, str]:
    """Give numbers until the disk is full; return how many were given, and what was said."""
    for given in range(1000):
        try:
            give(store, "cup", f"c{given}", by="x" * 900)
        except BookTrouble as trouble:
            return given, str(trouble)
    raise AssertionError("the disk never was full")


def test_on_a_full_disk_a_command_goes_through_once_there_is_room(tmp_path):
    """The same without a simulator: SQLite's own limit on the pages of a file."""
    book_of(tmp_path / "book.db")
    with Store.open(tmp_path / "book.db") as store:
        with store.reading() as book:
            full = book.connection.exec_driver_sql("PRAGMA page_count").scalar()
            book.connection.exec_driver_sql(f"PRAGMA max_page_count = {full}")
        given, said = given_until_full(store)
        assert "no room left" in said
        with store.reading() as book:
            assert book.head().seq == 1 + given
            assert verify(book, replay=replay) == []
            book.connection.exec_driver_sql("PRAGMA max_page_count = 100000")

        # The trouble closed the connection, so the limit is gone with it or was raised.
        assert give(store, "cup", f"c{given}", by="x" * 900)["number"] == given + 1
