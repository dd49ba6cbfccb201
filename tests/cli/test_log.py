"""The log says what ran, rotates, and holds nothing personal."""

import logging
import re
from logging.handlers import RotatingFileHandler
from pathlib import Path

import pytest

from pourwright.cli import log
from pourwright.cli.main import run

BRIEF = """\
version = 1
[edition]
id = "gull-cup"
name = "Gull cup for Ottoline Brackwater"
"""
STUDIO = """\
version = 1
[studio]
name = 'Brackwater & Daughters'
"""


@pytest.fixture
def studio(tmp_path):
    """Return a brief in a folder whose names are nobody's business."""
    folder = tmp_path / "ottoline" / "secret commission"
    folder.mkdir(parents=True)
    (folder / "edition.toml").write_text(BRIEF, encoding="utf-8")
    (folder / "studio.toml").write_text(STUDIO, encoding="utf-8")
    return folder / "edition.toml"


def logged() -> str:
    path = log.open_log()
    log.close_log()
    assert path is not None
    return path.read_text(encoding="utf-8")


def test_a_fault_is_logged_whole_without_names_or_folders(studio, monkeypatch, capsys):
    def fails(brief: Path, *_: object) -> None:
        try:
            raise OSError(5, "cannot read", str(brief))
        except OSError as cause:
            raise ValueError(
                f"'{brief}' or {brief.parent}: Gull cup for Ottoline Brackwater of Brackwater & Daughters, "
                f"write to o.brackwater@example.org, {Path.home()}/pots"
            ) from cause

    monkeypatch.setattr("pourwright.cli.plan_command.plan_afresh", fails)
    assert run(["plan", str(studio), "--out", str(studio.parent / "plans")]) == 1
    capsys.readouterr()
    told = logged()

    assert "OSError" in told
    assert "which led to" in told
    assert "ValueError" in told
    assert "pourwright.cli.plan_command:" in told
    assert "edition.toml" in told
    for private in ("Ottoline", "ottoline", "Brackwater", "secret", "@", str(Path.home())):
        assert private not in told, private
    assert "/" not in re.sub(r"\d / \d", "", told.rpartition("fault of ours")[2])


def test_a_run_is_two_lines_without_what_was_typed(studio, capsys):
    run(["plan", str(studio), "--today", "Brackwater day"])
    capsys.readouterr()
    began, ended = logged().splitlines()[-2:]

    assert re.search(r"INFO plan: pourwright \S+, Python 3\.\d+\.\d+, \w+$", began)
    assert re.search(r"INFO plan: ended with 2 after \d+\.\d s$", ended)


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("open /srv/mira's pots/edition.toml", "open edition.toml"),
        ("in /srv/mira's pots, alas", "in (folder), alas"),
        ("'/srv/secret pots/edition.toml' is gone", "'edition.toml' is gone"),
        (r'"C:\Users\mira\edition.toml"', '"edition.toml"'),
        (r"C:\Users\mira\edition.toml", "edition.toml"),
        ("../mira/edition.toml", "edition.toml"),
        ("~/mira/edition.toml", "edition.toml"),
        ("mira/edition.toml", "edition.toml"),
        ("1 / 0 and 3/30", "1 / 0 and 30"),
        ("write to mira@example.org", "write to (address)"),
        ("Mira and Miranda", "(name) and Miranda"),
    ],
)
def test_paths_and_names_are_taken_out(text, left):
    assert log.discreet(text, ["mira"], ["/srv/mira's pots"]) == left


def test_names_come_from_the_files_given_and_the_account(studio):
    words = log.private_words(["plan", str(studio)])

    assert {"Gull cup for Ottoline Brackwater", "Brackwater & Daughters"} <= words


@pytest.mark.parametrize("argument", ["missing.toml", "/", "", "x" * 5000 + ".toml", "\0.toml"])
def test_odd_arguments_do_not_break_the_log(argument):
    assert isinstance(log.private_words([argument]), set)


def test_the_log_rotates():
    log.open_log()
    (handler,) = logging.getLogger("pourwright").handlers
    log.close_log()

    assert isinstance(handler, RotatingFileHandler)
    assert handler.maxBytes == log.LARGEST_BYTES
    assert handler.backupCount == log.KEPT


def test_a_full_log_is_put_aside(monkeypatch):
    monkeypatch.setattr(log, "LARGEST_BYTES", 500)
    path = log.open_log()
    for number in range(100):
        log.note(f"line {number} of many")
    log.close_log()

    files = sorted(path.parent.glob("pourwright.log*"))
    assert len(files) == log.KEPT + 1
    assert all(file.stat().st_size <= 500 for file in files)


def test_a_log_that_cannot_be_written_troubles_nobody(monkeypatch, capsys):
    log.open_log()
    (handler,) = logging.getLogger("pourwright").handlers
    monkeypatch.setattr(handler, "shouldRollover", lambda *_: 1 / 0)
    log.note("a line")
    log.close_log()

    assert capsys.readouterr().err == ""
