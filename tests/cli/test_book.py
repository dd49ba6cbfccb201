"""``pourwright book``: verbs, lines, questions, copies; nothing heavy for ``--help``."""

from __future__ import annotations

import io
import json
import re
import shlex
from datetime import date, timedelta
from pathlib import Path

import pytest

from pourwright.cli.main import run


def book(folder: Path, *words: str) -> int:
    return run(["book", *words, "--folder", str(folder)])


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    assert (
        book(
            tmp_path, "plan-edition", "--edition", "tide-cup", "--pieces", "5", "--at", "2026-01-02"
        )
        == 0
    )
    assert book(tmp_path, "pour", "--count", "2") == 0
    return tmp_path


def test_a_verb_is_kept_and_told(studio: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert book(studio, "cast", "--molds", "all") == 0
    told = capsys.readouterr().out
    assert "2 casts" in told
    assert "Odd: " in told


def test_the_same_id_gives_the_same_answer(
    studio: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    for _ in range(2):
        assert book(studio, "cast", "--molds", "1", "--id", "tap-1", "--json") == 0
    first, again = map(json.loads, capsys.readouterr().out.splitlines())
    assert first == again


def test_what_is_refused_ends_with_2_and_a_sentence(
    studio: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert book(studio, "cast", "--molds", "9") == 2
    assert capsys.readouterr().err == "There is no mold M-009 in the book; the last one is M-002.\n"


def test_a_correction_takes_its_changes_as_json(
    studio: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert book(studio, "count-casts", "--mold", "1", "--casts", "6") == 0
    assert book(studio, "correct", "--entry", "3", "--changes", '{"casts": 5}') == 0
    assert book(studio, "correct", "--entry", "3", "--changes", "casts 5") == 2
    assert "such as" in capsys.readouterr().err


def test_lines_in_lines_out_and_2_if_any_was_refused(
    studio: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = studio / "day.jsonl"
    file.write_text(
        '{"do":"cast","id":"1","molds":"all"}\n{"do":"cast","id":"2","molds":"all but 7"}\n'
    )
    capsys.readouterr()
    assert book(studio, "run", str(file)) == 2
    told = capsys.readouterr()
    assert [json.loads(line)["ok"] for line in told.out.splitlines()] == [True, False]
    assert told.err == "1 done, 1 refused.\n"


def test_verified_copied_restored_and_read_again(
    studio: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert book(studio, "verify") == 0
    checkpoint = capsys.readouterr().out.split()[-1]
    assert book(studio, "backup") == 0
    (copy,) = (studio / "copies").glob("book-*-2-*.db")
    assert book(studio, "cast", "--molds", "all") == 0
    assert book(studio, "verify", "--checkpoint", checkpoint) == 0
    assert book(studio, "verify", "--checkpoint", "2:0123456789abcdef") == 2
    text = studio / "book.jsonl"
    assert book(studio, "export", str(text)) == 0
    other = studio / "other"
    other.mkdir()
    assert book(other, "import", str(text)) == 0
    assert book(studio, "restore", str(copy)) == 0
    capsys.readouterr()
    assert book(studio, "verify") == 0
    assert capsys.readouterr().out.startswith("2 entries")
    assert book(other, "verify") == 0
    assert capsys.readouterr().out.startswith("3 entries")


@pytest.mark.parametrize(
    "question", ["casts-left", "stages", "owed", "yields", "year", "findings", "today"]
)
def test_every_question_is_answered_in_words_and_json(
    question: str, studio: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert book(studio, "show", question) == 0
    assert capsys.readouterr().out.strip()
    assert book(studio, "show", question, "--json") == 0
    json.loads(capsys.readouterr().out)


def test_no_book_is_a_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert book(tmp_path, "show", "stages") == 2
    assert "There is no book" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_the_guide_s_day_is_five_entries_that_the_book_takes(root: Path, tmp_path: Path) -> None:
    """Every command in the guide's boxes is done, in order, in a studio with two dry molds."""
    page = (root / "docs" / "guide" / "book.md").read_text(encoding="utf-8")
    commands = commands_of(page, "A day")
    assert len(commands) == 5
    begun(page, tmp_path)
    for command in commands:
        assert run([*command, "--folder", str(tmp_path)]) == 0, command


def commands_of(page: str, section: str) -> list[list[str]]:
    """Return the words of the commands in the boxes of a section of the guide."""
    told = page.split(f"## {section}\n")[1].split("\n## ")[0].splitlines()
    boxes = [line.strip() for line in told if line.startswith("    pourwright book ")]
    assert all(len(line) < 80 for line in boxes)
    return [shlex.split(line)[1:] for line in boxes]


def begun(page: str, folder: Path) -> None:
    """Write what the guide's beginning says into a new book."""
    file = folder / "before.jsonl"
    file.write_text(page.split("```")[1].removeprefix("json\n"))
    assert book(folder, "run", str(file)) == 0


def test_the_guide_s_week_is_25_short_commands_and_none_is_refused(
    root: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Delivery, a failed batch, weighings, casts, a crack, numbers, a sale, a parcel, a mistake."""
    page = (root / "docs" / "guide" / "book.md").read_text(encoding="utf-8")
    begun(page, tmp_path)
    for command in commands_of(page, "A day"):
        assert run([*command, "--today", "2026-03-28", "--folder", str(tmp_path)]) == 0, command
    week = page.split("## A week\n")[1].split("\n## ")[0]
    days = [part.split("**") for part in re.split(r"\n(?=\*\*[A-Z])", week)[1:]]
    assert [name for _, name, *_ in days] == ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"]  # fmt: skip
    commands = commands_of(page, "A week")
    assert len(commands) <= 25
    said = {}
    for place, (_, name, told) in enumerate(days):
        day = date(2026, 3, 30) + timedelta(days=place)
        for line in re.findall(r"^    pourwright (.+)$", told, re.MULTILINE):
            words = shlex.split(line)
            when = [] if words[1] == "last" else ["--today", day.isoformat()]
            capsys.readouterr()
            assert run([*words, *when, "--folder", str(tmp_path)]) == 0, line
            answer = capsys.readouterr()
            said[name, words[1]] = answer.out
            assert "Odd" not in answer.out, line
    assert said["Monday", "pour"] == "2 molds poured: M-007 and M-008, lost 1 failed batch.\n"
    assert "M-006: Two weighings a day apart are the same" in said["Wednesday", "weigh"]
    assert said["Wednesday", "cast"] == "5 casts: 3 good, lost 2 break.\n"
    assert "Entry 33" in said["Friday", "last"]
    assert said["Friday", "change"] == "Entry 33 (cast) is corrected.\n"
    book(tmp_path, "show", "stages")
    # 9 before the week, 3 good on Wednesday, 10 into the bisque, 3 good on Friday
    assert "greenware: 4\n" in capsys.readouterr().out
    assert book(tmp_path, "verify") == 0


# --- what the book asks

ASKED = "M-001 could still make tide-cup: 1-5 of 5 are not made."


class Terminal(io.StringIO):
    """A terminal at which somebody types."""

    def isatty(self) -> bool:
        return True


def test_without_a_terminal_a_question_is_a_refusal_that_names_the_option(
    studio: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert book(studio, "destroy", "--molds", "1") == 2
    assert capsys.readouterr().err == (
        f"{ASKED}\nNothing is written. To go on all the same, add --go-on.\n"
    )
    assert book(studio, "destroy", "--molds", "1", "--go-on") == 0
    assert capsys.readouterr().out == f"M-001 destroyed.\nOdd: {ASKED}\n"


@pytest.mark.parametrize(("typed", "status", "found"), [("y\n", 0, ASKED), ("n\n", 130, "Nothing odd")])
def test_at_a_terminal_it_is_asked_once(
    studio: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    typed: str,
    status: int,
    found: str,
) -> None:
    capsys.readouterr()
    monkeypatch.setattr("sys.stdin", Terminal(typed))
    assert book(studio, "destroy", "--molds", "1") == status
    asked = capsys.readouterr().err
    assert asked.startswith(f"{ASKED}\nGo on all the same?")
    assert asked.count("Go on") == 1
    assert book(studio, "show", "findings") == 0
    assert found in capsys.readouterr().out


def test_a_line_that_is_asked_about_says_so(
    studio: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    lines = [{"do": "destroy", "id": "l-1", "molds": "1"}, {"do": "destroy", "id": "l-2", "molds": "1", "go_on": True}]  # fmt: skip
    file = tmp_path / "lines.jsonl"
    file.write_text("\n".join(map(json.dumps, lines)))
    capsys.readouterr()
    assert book(studio, "run", str(file)) == 2
    asked, done = map(json.loads, capsys.readouterr().out.splitlines())
    assert asked == {"ok": False, "id": "l-1", "refused": [ASKED], "line": 1, "asks": True}
    assert done["findings"] == [ASKED]
