"""A folder and a copy in which nothing may be written: shown, checked and written out all the same."""

import ctypes
import json
import os
import subprocess
import sys

import pytest

from pourwright.ledger.file.backup import back_up
from pourwright.ledger.replaying import replay
from tests.ledger.desk import START, with_ware

COMMANDS = [
    ["book", "verify", "--folder", "FOLDER"],
    ["book", "show", "year", "--edition", "tide-cup", "--folder", "FOLDER"],
    ["book", "export", "TOLD", "--folder", "FOLDER"],
    ["book", "verify", "--folder", "COPY"],
    ["book", "note", "--text", "x", "--folder", "FOLDER"],
    ["studio", "FOLDER", "--no-browser", "--port", "0"],
    ["book", "backup", "--folder", "FOLDER", "--into", "ELSEWHERE"],
]
RUN = """
import contextlib, io, json, sys
from pourwright.cli.main import run
answers = []
for words in json.loads(sys.argv[1]):
    told = io.TextIOWrapper(io.BytesIO(), "utf-8")
    with contextlib.redirect_stdout(told), contextlib.redirect_stderr(told):
        status = run(words)
    told.flush()
    answers.append((status, told.buffer.getvalue().decode()))
print(json.dumps(answers))
"""
_PR_CAPBSET_DROP, _CAP_DAC_OVERRIDE = 24, 1


def be_nobody_special() -> None:
    """Let root be bound by what files say who may write, as everybody else is."""
    ctypes.CDLL(None).prctl(_PR_CAPBSET_DROP, _CAP_DAC_OVERRIDE)


@pytest.fixture
def protected(tmp_path):
    """Return a folder with a book and a copy of it, in which nobody may write."""
    folder = tmp_path / "protected"
    folder.mkdir()
    desk = with_ware(folder)
    desk.book.store.close()
    copy = back_up(folder / "book.db", folder, START, replay).path
    for one in (*folder.iterdir(), folder):
        one.chmod(0o555 if one.is_dir() else 0o444)
    yield folder, copy
    folder.chmod(0o755)


@pytest.mark.skipif(sys.platform != "linux", reason="asks Linux to bind root")
def test_what_only_looks_works_and_what_writes_says_why_not(protected, tmp_path, root):
    folder, copy = protected
    names = {"FOLDER": folder, "COPY": copy, "TOLD": tmp_path / "told.jsonl", "ELSEWHERE": tmp_path}
    words = [[str(names.get(word, word)) for word in line] for line in COMMANDS]
    before = {one.name: one.read_bytes() for one in folder.iterdir()}
    done = subprocess.run(
        [sys.executable, "-c", RUN, json.dumps(words)],
        cwd=root, capture_output=True, text=True, check=True, preexec_fn=be_nobody_special,
        env={**os.environ, "XDG_STATE_HOME": str(tmp_path / "state")},
    )  # fmt: skip
    verified, shown, told, copied, noted, served, backed_up = json.loads(done.stdout)

    assert (verified[0], verified[1][:22]) == (0, "8 entries, all as writ")
    assert shown[0] == told[0] == copied[0] == backed_up[0] == 0
    assert copied[1] == verified[1]
    assert len((tmp_path / "told.jsonl").read_text().splitlines()) == 9
    assert noted == [2, "The book may only be read here; make its file and folder writable.\n"]
    assert served[0] == 2
    assert "may only be read, and the studio writes into it" in served[1]
    assert {one.name: one.read_bytes() for one in folder.iterdir()} == before
