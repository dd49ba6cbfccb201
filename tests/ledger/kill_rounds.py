"""Run as a program: two writers of one book are killed, again and again, and the book looked at.

It forks, which a test runner with threads must not. What a writer was answered comes back
through a pipe, which outlives it.
"""

from __future__ import annotations

import json
import os
import random
import select
import signal
import sys
import time
from pathlib import Path

from pourwright.ledger.file.store import Store
from pourwright.ledger.file.verify import verify
from tests.ledger.toy import book_of, give, replay

WRITERS = 2
PATIENCE_S = 60


def write_for_ever(path: Path, name: str, pipe: int) -> None:
    with Store.open(path) as store:
        for i in range(100_000):
            command = f"{name}-{i}"
            give(store, "cup", command)
            os.write(pipe, f"{command}\n".encode())


def start(path: Path, name: str) -> tuple[int, int]:
    """Start a writer; return its process and the end of the pipe it answers to."""
    out, into = os.pipe()
    process = os.fork()
    if process == 0:
        os.close(out)
        try:
            write_for_ever(path, name, into)
        finally:
            os._exit(1)
    os.close(into)
    return process, out


def kill_round(path: Path, number: int, luck: random.Random) -> list[str]:
    """Let two writers write for a while, kill them, return what was acknowledged.

    The while is counted in answers and then a few random milliseconds, so that a busy machine
    kills as late as a quiet one.
    """
    writers = [start(path, f"r{number}-w{i}") for i in range(WRITERS)]
    heard = {out: b"" for _, out in writers}
    wanted = luck.randint(1, 40)
    while sum(text.count(b"\n") for text in heard.values()) < wanted:
        ready, _, _ = select.select(list(heard), [], [], PATIENCE_S)
        if not ready:
            raise RuntimeError("the writers do not write")
        for out in ready:
            more = os.read(out, 4096)
            if not more:
                raise RuntimeError("a writer ended by itself")
            heard[out] += more
    time.sleep(luck.uniform(0, 0.005))
    for process, _ in luck.sample(writers, WRITERS):
        os.kill(process, signal.SIGKILL)
    for process, out in writers:
        os.waitpid(process, 0)
        with os.fdopen(out, "rb") as file:
            heard[out] += file.read()
    # A line that was cut is none: the writer was killed while it answered.
    return [line for text in heard.values() for line in text.decode().split("\n")[:-1]]


def main(folder: Path, many: int) -> dict[str, int]:
    luck = random.Random(1)
    path = book_of(folder / "book.db", size=10_000_000)
    counts = {"acknowledged": 0, "lost": 0, "unsound": 0, "unacknowledged": 0}
    all_of_them: set[str] = set()
    for number in range(many):
        acknowledged = kill_round(path, number, luck)
        all_of_them.update(acknowledged)
        with Store.open(path) as store, store.reading() as book:
            seen = {entry.command_id for entry in book.entries()}
            # The whole look takes longer as the book grows, so now and then and at the end.
            if number % 10 == 9 or number == many - 1:
                counts["unsound"] += bool(verify(book, replay=replay))
        counts["acknowledged"] += len(acknowledged)
        counts["lost"] += len(all_of_them - seen)
        counts["unacknowledged"] = len(seen - all_of_them) - 1
    return counts


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]))))
