"""Run as a program: a copy, a restoring, a rebuilding and an upgrade are stopped at their n-th step.

A step is a call of the system that opens, renames, removes or syncs a file, or a statement of
SQL. There the program is killed, or the power is cut (a file that was not synced is then half or
empty), or the call fails. It forks, which a test runner with threads must not.
"""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import sqlite3
import sys
from collections.abc import Callable
from contextlib import closing
from datetime import timedelta
from functools import partial
from pathlib import Path

from sqlalchemy import Engine, event

from pourwright.errors import StudioError
from pourwright.ledger.file.backup import back_up, copies_in, copy_of_name
from pourwright.ledger.file.putting_back import rebuild, restore
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.verify import verify
from pourwright.ledger.replaying import replay
from tests.ledger.desk import START, with_ware

COUNTED = {"open", "os.rename", "os.remove", "os.mkdir", "sqlite3.connect"}
ENDS = ("killed", "power cut", "failed")
DONE, TOLD, OUR_FAULT = 0, 3, 4
EARLY = 11
"""As many steps as each of them has at least. [-]"""
OLDER = Path(__file__).parent / "fixtures" / "book-tables-2.db"


def lay_out(folder: Path, what: str) -> None:
    """Lay out a book, an older copy of it, and something in its log alone."""
    if what == "upgrade":
        shutil.copyfile(OLDER, folder / "book.db")
        return
    desk = with_ware(folder)
    back_up(folder / "book.db", folder / "copies", START, replay)
    desk.book.store.close()
    with Store.open(folder / "book.db") as store:
        desk.book.store = store
        desk.do("note", text="after the copy")
        logged = {end: (folder / f"book.db{end}").read_bytes() for end in ("", "-wal")}
    for end, content in logged.items():
        (folder / f"book.db{end}").write_bytes(content)
    if what == "rebuild":
        with closing(sqlite3.connect(folder / "book.db")) as hand:
            hand.execute("DELETE FROM thing WHERE kind = 'mold'")
            hand.commit()


def do(folder: Path, what: str) -> None:
    book, aside = folder / "book.db", folder / "aside.db"
    if what == "backup":
        back_up(book, folder / "copies", START + timedelta(days=1), replay)
    elif what == "restore":
        (copy,) = copies_in(folder / "copies")
        restore(copy.path, book, aside, replay)
    elif what == "rebuild":
        rebuild(book, aside, replay)
    else:
        Store.open(book).close()


def child(folder: Path, what: str, end: str, n: int) -> int:
    """Do it, and be stopped at the n-th step; return how it ended."""
    steps, synced = 0, set()

    def step() -> None:
        nonlocal steps
        steps += 1
        if steps != n:
            return
        if end == "failed":
            raise OSError(5, "Input/output error", "a file")
        if end == "power cut":
            lose_what_is_not_synced(folder, synced)
        os.kill(os.getpid(), signal.SIGKILL)

    def heard(name: str, given: tuple) -> None:
        if name in COUNTED and str(folder) in str(given[0]):
            step()

    sync = os.fsync

    def synced_too(file: int) -> None:
        step()
        sync(file)
        synced.add(os.fstat(file).st_ino)

    before = {one.stat().st_ino for one in folder.rglob("*")}
    synced |= before
    os.fsync = synced_too
    sys.addaudithook(heard)
    event.listen(Engine, "before_cursor_execute", lambda *_: step() if end != "failed" else None)
    try:
        do(folder, what)
        folder.with_suffix(".steps").write_text(str(steps))
    except (StudioError, OSError):
        return TOLD
    except BaseException as error:  # noqa: BLE001 - what is no sentence is counted
        print(repr(error), file=sys.stderr)
        return OUR_FAULT
    return DONE


def lose_what_is_not_synced(folder: Path, synced: set[int]) -> None:
    """Cut every file in half that was made and not synced; half of them lose everything."""
    for one in folder.rglob("*"):
        if one.is_file() and one.stat().st_ino not in synced:
            os.truncate(one, one.stat().st_size // 2 if one.stat().st_ino % 2 else 0)


def forked(work: Callable[[], int]) -> int | None:
    """Return the exit status of some work in a process of its own, None if it was killed."""
    process = os.fork()
    if process == 0:
        status = OUR_FAULT
        try:
            status = work()
        finally:
            os._exit(status)
    _, told = os.waitpid(process, 0)
    return os.WEXITSTATUS(told) if os.WIFEXITED(told) else None


def commands_in(path: Path) -> set[str] | None:
    """Return the commands in a sound book, None if it is not sound."""
    try:
        with Store.open(path, create=False) as store, store.reading() as book:
            faults = [fault for fault in verify(book, replay=replay) if "mold" not in str(fault)]
            return None if faults else {entry.command_id for entry in book.entries()}
    except StudioError:
        return None


def looked_at(folder: Path, what: str, all_of_them: set[str]) -> list[str]:
    """Return what is wrong after a stop: a copy that is none, or an entry that is nowhere."""
    wrong = []
    for copy in filter(None, map(copy_of_name, (folder / "copies").glob("*.db"))):
        found = commands_in(copy.path)
        if found is None or len(found) != copy.checkpoint.seq:
            wrong.append(f"{copy.path.name} is no copy")
    here = commands_in(folder / "book.db")
    aside = commands_in(folder / "aside.db") if (folder / "aside.db").exists() else None
    if here is None:
        wrong.append("the book is not sound")
    elif here != all_of_them and not (what == "restore" and aside == all_of_them):
        wrong.append(f"{len(all_of_them - here)} entries are gone")
    return wrong


def steps_of(laid: Path, here: Path, what: str, end: str) -> int:
    """Return how many steps something has, by doing it once to its end."""
    shutil.copytree(laid, here)
    assert forked(partial(child, here, what, end, 0)) == DONE
    return int(here.with_suffix(".steps").read_text())


def main(folder: Path, some: int) -> dict[str, dict[str, object]]:
    """Stop each thing at some of its first steps, or at every one if ``some`` is 0."""
    table: dict[str, dict[str, object]] = {}
    for what in ("backup", "restore", "rebuild", "upgrade"):
        laid = folder / what
        laid.mkdir()
        lay_out(laid, what)
        whole = folder / f"{what}-whole"
        shutil.copytree(laid, whole)
        all_of_them = commands_in(whole / "book.db") or set()
        for end in ENDS:
            stopped, wrong = 0, []
            last = EARLY if some else steps_of(laid, folder / f"{what}-{end}", what, end)
            steps = range(1, last + 1)
            for n in random.Random(1).sample(steps, some) if some else steps:
                here = folder / f"{what}-{end}-{n}"
                shutil.copytree(laid, here)
                status = forked(partial(child, here, what, end, n))
                if status == OUR_FAULT:
                    wrong.append(f"step {n}: a fault of ours")
                wrong += [f"step {n}: {one}" for one in looked_at(here, what, all_of_them)]
                stopped += status != DONE
                shutil.rmtree(here)
            table[f"{what}, {end}"] = {"stopped": stopped, "wrong": wrong}
    return table


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]).resolve(), int(sys.argv[2]))))
