"""Threads and programs race for the last numbers, commands come twice, the clock goes back."""

import random
import subprocess
import sys
import threading
from datetime import timedelta

import pytest

from pourwright.errors import Refused
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.verify import verify
from tests.ledger.desk import docs_of, with_finished
from tests.ledger.toy import NOW, SoldOut, ToyEdition, book_of, give, replay

THREADS = 16


def race(store: Store, commands: list[list[str]]) -> tuple[list[int], int]:
    """Send a list of commands from each thread at once; return numbers given and refusals."""
    given, refused, lock = [], [], threading.Lock()
    gate = threading.Barrier(len(commands))

    def send(mine: list[str]) -> None:
        gate.wait()
        for command in mine:
            try:
                number = give(store, "cup", command)["number"]
            except SoldOut:
                with lock:
                    refused.append(command)
            else:
                with lock:
                    given.append((command, number))

    threads = [threading.Thread(target=send, args=(mine,)) for mine in commands]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return given, len(refused)


@pytest.mark.parametrize("size", [1, 3, 50])
def test_sixteen_threads_race_for_the_last_number(tmp_path, size):
    book_of(tmp_path / "book.db", size=size)
    with Store.open(tmp_path / "book.db") as store:
        given, refused = race(store, [[f"t{t}-{i}" for i in range(5)] for t in range(THREADS)])
        with store.reading() as book:
            faults = verify(book, replay=replay)

    assert sorted(number for _, number in given) == list(range(1, size + 1))
    assert refused == THREADS * 5 - size
    assert faults == []


def test_every_command_comes_up_to_five_times_in_any_order_and_counts_once(tmp_path):
    book_of(tmp_path / "book.db", size=500)
    luck = random.Random(3)
    lists = []
    for _ in range(8):
        mine = [f"c{i}" for i in range(40) for _ in range(luck.randint(1, 5))]
        luck.shuffle(mine)
        lists.append(mine)
    with Store.open(tmp_path / "book.db") as store:
        given, refused = race(store, lists)
        with store.reading() as book:
            entries = list(book.entries(kinds=["number-given"]))

    assert refused == 0
    assert len(entries) == 40
    assert len(set(given)) == 40, "the same command was answered in two ways"
    assert sorted({number for _, number in given}) == list(range(1, 41))


def test_sixteen_threads_race_for_the_last_numbers_of_a_real_edition(tmp_path):
    """Nine pieces are finished and N is six: no number twice, none above N, the rest refused."""
    desk = with_finished(tmp_path, pieces=6)
    kept, refused, lock = [], [], threading.Lock()
    gate = threading.Barrier(THREADS)

    def mark(thread: int) -> None:
        gate.wait()
        for n in range(1, 9):
            command = {
                "do": "mark",
                "id": f"t{thread}-{n}",
                "edition": "tide-cup",
                "numbers": str(n),
            }
            try:
                answer = desk.book.do(command, desk.now)
            except Refused as error:
                with lock:
                    refused.append(str(error))
            else:
                with lock:
                    kept.append(answer.seq)

    threads = [threading.Thread(target=mark, args=(thread,)) for thread in range(THREADS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    borne = [key for key, doc in docs_of(desk, "number") if doc["living"]]
    assert borne == [f"tide-cup/{n}" for n in range(1, 7)]
    assert (len(kept), len(refused)) == (6, THREADS * 8 - 6)
    assert desk.book.verify() == []
    desk.book.store.close()


def test_two_programs_share_a_book(root, tmp_path):
    book_of(tmp_path / "book.db", size=1000)
    program = (
        "import sys; from pathlib import Path; from pourwright.ledger.file.store import Store\n"
        "from tests.ledger.toy import give\n"
        "with Store.open(Path(sys.argv[1])) as store:\n"
        "    print(*(give(store, 'cup', f'{sys.argv[2]}-{i}')['number'] for i in range(60)))\n"
    )
    running = [
        subprocess.Popen(
            [sys.executable, "-c", program, str(tmp_path / "book.db"), name],
            cwd=root, stdout=subprocess.PIPE, text=True,
        )
        for name in ("a", "b")
    ]  # fmt: skip
    numbers = [int(one) for program in running for one in program.communicate()[0].split()]

    assert [program.returncode for program in running] == [0, 0]
    assert sorted(numbers) == list(range(1, 121))


def test_a_clock_set_back_never_lets_recorded_run_backwards(tmp_path):
    book_of(tmp_path / "book.db")
    hours = [0, 5, -3, 6, -40, 1]
    with Store.open(tmp_path / "book.db") as store:
        for i, hour in enumerate(hours):
            give(store, "cup", f"c{i}", now=NOW + timedelta(hours=hour))
        with store.reading() as book:
            recorded = [entry.recorded for entry in book.entries(after=1)]
            faults = verify(book)

    assert recorded == [
        "2027-03-01T09:30:00.000Z", "2027-03-01T14:30:00.000Z", "2027-03-01T14:30:00.000Z",
        "2027-03-01T15:30:00.000Z", "2027-03-01T15:30:00.000Z", "2027-03-01T15:30:00.000Z",
    ]  # fmt: skip
    assert faults == []


def test_a_reader_sees_one_moment_while_others_write(tmp_path):
    book_of(tmp_path / "book.db", given=3)
    with Store.open(tmp_path / "book.db") as store, store.reading() as before:
        assert before.head().seq == 4
        give(store, "cup", "meanwhile")

        assert len(list(before.entries())) == 4
        assert before.things.get(ToyEdition, "cup").given == 3
        with store.reading() as after:
            assert after.head().seq == 5
