"""Run as a program: two writers of one book are killed, again and again, and the book looked at.

It forks, which a test runner with threads must not. What a writer was answered comes back
through a pipe, which outlives it.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from pathlib import Path

from pourwright.ledger.store import Store
from pourwright.ledger.verify import verify
from tests.ledger.toy import book_of, give, replay

WRITERS = 2


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
    """Let two writers write for a random moment, kill them, return what was acknowledged."""
    writers = [start(path, f"r{number}-w{i}") for i in range(WRITERS)]
    time.sleep(luck.uniform(0.01, 0.12))
    for process, _ in luck.sample(writers, WRITERS):
        os.kill(process, signal.SIGKILL)
    acknowledged: list[str] = []
    for process, out in writers:
        os.waitpid(process, 0)
        with os.fdopen(out) as file:
            acknowledged += [line.strip() for line in file if line.endswith("\n")]
    return acknowledged


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
