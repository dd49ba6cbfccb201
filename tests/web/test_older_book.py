"""A book of an older version: it is said before it is opened, and the server does it apart."""

import shutil
from pathlib import Path

import pytest

from pourwright.cli.main import run
from pourwright.studio.book import OLDER, said_before_opening
from pourwright.web import heavy, serve
from pourwright.web.worker import Worker

FIXTURES = Path(__file__).parents[1] / "ledger" / "fixtures"


@pytest.fixture(params=[1, 2])
def older(request, tmp_path):
    """Return a studio's folder with a book of an older version."""
    shutil.copyfile(FIXTURES / f"book-tables-{request.param}.db", tmp_path / "book.db")
    return tmp_path


def test_a_command_says_it_once_and_answers(older, capsys):
    assert run(["book", "verify", "--folder", str(older)]) == 0
    first = capsys.readouterr()
    assert run(["book", "verify", "--folder", str(older)]) == 0
    second = capsys.readouterr()

    assert " ".join(first.err.split()) == OLDER
    assert second.err == ""
    assert first.out == second.out
    assert len(list(older.glob("book-before-tables-*.db"))) == 1


@pytest.mark.parametrize("words", [["export", "told.jsonl"], ["backup", "--into", "copies"]])
def test_a_command_that_opens_it_by_itself_says_it_too(words, older, capsys, monkeypatch):
    monkeypatch.chdir(older)
    (older / "copies").mkdir()
    assert run(["book", *words, "--folder", str(older)]) == 0

    assert " ".join(capsys.readouterr().err.split()) == OLDER


def test_the_server_says_it_and_has_it_done_in_another_process(older, monkeypatch):
    said, asked = [], []
    call = Worker.call

    def seen(worker, work, *given, **more):
        asked.append(work)
        return call(worker, work, *given, **more)

    monkeypatch.setattr(Worker, "call", seen)
    for _ in range(2):
        serve._bring_up_to_date(older, said.append)

    assert (said, asked) == ([OLDER], [heavy.bring_book_up_to_date])
    assert said_before_opening(older) == ""


@pytest.mark.parametrize("content", [None, b"", b"no book", b"SQLite format 3\0" + bytes(200)])
def test_nothing_is_said_of_what_is_no_older_book(content, tmp_path):
    if content is not None:
        (tmp_path / "book.db").write_bytes(content)

    assert said_before_opening(tmp_path) == ""
