"""``pourwright book``: verbs, lines, questions, copies; nothing heavy for ``--help``."""

from __future__ import annotations

import io
import json
import re
import shlex
from datetime import date, timedelta
from pathlib import Path

import click
import pytest

from pourwright.cli.book.command import book_command
from pourwright.cli.main import run
from pourwright.studio.book import open_book
from tests.bench_studio import BRIEF, lay_out


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
    assert book(studio, "cast", "--molds", "1, 2") == 2
    assert "Nobody has called M-001 and M-002 dry" in capsys.readouterr().err
    assert book(studio, "cast", "--molds", "1, 2", "--go-on") == 0
    told = capsys.readouterr().out
    assert "2 casts" in told
    assert "Odd: " in told


def test_the_same_id_gives_the_same_answer(
    studio: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    for _ in range(2):
        assert (
            book(studio, "count-casts", "--mold", "1", "--casts", "1", "--id", "tap-1", "--json")
            == 0
        )
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
        '{"do":"cast","id":"1","molds":"1, 2","go_on":true}\n{"do":"cast","id":"2","molds":"all but 7"}\n'
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
    assert book(studio, "cast", "--molds", "1, 2", "--go-on") == 0
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


def test_a_book_that_is_gone_is_begun_anew_only_when_told_to_go_on(
    studio: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (studio / "book.db").unlink()
    capsys.readouterr()
    for words in (("note", "--text", "x"), ("verify",), ("cast", "--molds", "1", "--go-on")):
        assert book(studio, *words) == 2
        told = capsys.readouterr().err
        assert "this computer saw 2 entries in it. To put the right one back" in told
        assert "To begin a new one all the same, run: pourwright book note" in told
    assert book(studio, "note", "--text", "a new book", "--go-on") == 0
    assert "Odd: book.db is gone" in capsys.readouterr().out
    assert book(studio, "note", "--text", "and on") == 0


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
            assert "Odd:" not in answer.out, line
    assert said["Monday", "pour"] == "2 molds poured: M-007 and M-008, lost 1 failed batch.\n"
    assert said["Wednesday", "weigh"].splitlines()[1:] == [
        "M-006: Two weighings a day apart are the same: it has stopped losing water.",
        "M-007: it lost 250 g in 24 h, so it still dries.",
        "M-008: it lost 240 g in 24 h, so it still dries.",
    ]
    assert said["Wednesday", "cast"] == "5 casts: 3 good, lost 2 break.\n"
    assert "Entry 37" in said["Friday", "last"]
    assert said["Friday", "change"] == (
        "Entry 37 (cast) is corrected: 4 casts: 3 good, lost 1 other.\n"
    )
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


@pytest.mark.parametrize(
    ("typed", "status", "found"), [("y\n", 0, ASKED), ("n\n", 130, "Nothing odd")]
)
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


# --- what was just written, taken back, changed


def test_undo_takes_back_what_this_terminal_typed_last_and_then_the_one_before(
    studio: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book(studio, "note", "--text", "one")
    from_a_phone = studio / "phone.jsonl"
    from_a_phone.write_text('{"do": "note", "id": "phone-1", "text": "from the wheel room"}')
    book(studio, "run", str(from_a_phone))
    book(studio, "note", "--text", "two")
    capsys.readouterr()

    assert [book(studio, "undo") for _ in range(2)] == [0, 0]
    assert capsys.readouterr().out == (
        "Entry 5 (note) did not happen.\nEntry 3 (note) did not happen.\n"
    )
    assert book(studio, "change", "2", "count=3", "--why", "one more") == 0
    assert book(studio, "undo") == 0  # the change is what was typed last
    book(studio, "last", "20")
    lines = capsys.readouterr().out.splitlines()
    from_the_phone, mine = lines[-6], lines[-7]
    assert from_the_phone.startswith("Entry 4 ")
    assert "[Did not happen]" not in from_the_phone
    assert mine.startswith("Entry 3 ")
    assert mine.endswith("[Did not happen]")
    assert book(studio, "show", "stages") == 0


def test_undo_of_nothing_says_how_to_go_on(
    studio: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert [book(studio, "undo") for _ in range(2)] == [0, 0]
    capsys.readouterr()
    assert book(studio, "undo") == 2
    assert "pourwright book last" in capsys.readouterr().err


def test_change_takes_fields_and_refuses_what_is_none(
    studio: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book(studio, "cast", "--molds", "1, 2", "--conditioned", "0", "--note", "wet", "--go-on")
    capsys.readouterr()
    assert book(studio, "change", "3", "good=1", "note=") == 0
    assert capsys.readouterr().out == (
        "Entry 3 (cast) is corrected: 2 casts: 1 good, lost 1 other.\n"
    )
    assert book(studio, "last", "2") == 0
    first, second = capsys.readouterr().out.splitlines()
    assert first.endswith(": 2 casts: 1 good, lost 1 other. [Corrected]")
    assert second.endswith("Entry 3 (cast) is corrected: 2 casts: 1 good, lost 1 other.")
    assert [book(studio, "undo"), book(studio, "last", "3")] == [0, 0]
    assert "Cast: 2 casts: 2 good.\n" in capsys.readouterr().out
    assert book(studio, "change", "3", "good=1", "note=") == 0
    assert book(studio, "change", "3", "god=1") == 2
    assert "god" in capsys.readouterr().err
    assert book(studio, "change", "3", "good") == 2
    assert "write fields such as good=7" in capsys.readouterr().err
    assert book(studio, "show", "yields", "--by", "cause") == 0
    assert "other: 1 lost of 2" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["weigh", "--molds", "1-2", "--masses", "6.4 kg, 6.3 kg"], 'Each mold\'s number stands inside --masses, before its weight: --masses "6 6.40 kg, 7 7.05 kg".'),
        (["cast", "--molds", "1", "2"], 'Write several in one: --molds "1, 2" or 1-2.'),
        (["cast", "--molds", "1", "4"], 'Write several in one: --molds "1, 4".'),
        (["pour", "6"], "What is told stands behind its name, such as: pourwright book pour --edition"),
        (["sell", "--to", "K.", "--pieces", "3"], "write what tells you who it is with --reference"),
        (["change", "cast", "good=3"], "'cast' is no entry; write its number, as pourwright book last shows it."),
        (["load", "--firing", "glaze"], "told; 0 pieces without a number wait for it: write how many"),
    ],
)  # fmt: skip
def test_how_it_is_written_is_told(
    studio: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    assert book(studio, *words) == 2
    assert said in capsys.readouterr().err


# --- what plan-edition lacks


def test_plan_edition_takes_what_is_not_typed_from_the_brief(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lay_out(tmp_path)
    assert book(tmp_path, "plan-edition", "--pieces", "30") == 0
    told = capsys.readouterr()
    assert told.out == "Reed bowl is planned: 30 pieces, 2 proofs.\n"
    assert told.err.startswith("Taken from reed-bowl.toml: proofs 2, ")
    assert "life 30" in told.err
    assert "parts outside, foot" in told.err
    with open_book(tmp_path).store.reading() as reading:
        (entry,) = reading.entries()
        assert entry.body["brief"] == BRIEF.strip()
        assert entry.body["conditioning"] == 2


@pytest.mark.parametrize("given", ["editions/reed-bowl.toml", BRIEF])
def test_a_brief_is_named_or_given_as_text(tmp_path: Path, given: str) -> None:
    lay_out(tmp_path)
    brief = given.replace("../studio.toml", "studio.toml")
    assert book(tmp_path, "plan-edition", "--edition", "cup", "--brief", brief) == 0
    assert sorted(one.name for one in tmp_path.iterdir() if "brief" in one.name) == []


def test_a_brief_that_cannot_be_read_keeps_no_edition_from_being_planned(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lay_out(tmp_path, BRIEF.replace("route = ", "") + '[losses]\ncasting = "much"\n')
    command = ["plan-edition", "--edition", "reed-bowl", "--pieces", "5"]
    assert book(tmp_path, *command) == 0
    told = capsys.readouterr()
    assert "Nothing is taken from reed-bowl.toml" in told.err
    assert told.out == "reed-bowl is planned: 5 pieces, 0 proofs.\n"
    assert book(tmp_path, "plan-edition", "--edition", "other") == 2
    assert "pieces is missing" in capsys.readouterr().err


def test_a_weighing_is_answered_with_its_verdict(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two halves of 2.4 and 0.8 l of plaster, mixed 70 to 100: 3.5 kg dry, by the mix's density."""
    lay_out(tmp_path)
    book(tmp_path, "plan-edition", "--today", "2026-01-05")
    book(tmp_path, "pour", "--count", "2", "--today", "2026-01-06", "--go-on")
    book(tmp_path, "weigh", "--masses", "1 4.90 kg, 2 4.6 kg", "--today", "2026-01-07")
    capsys.readouterr()
    assert book(tmp_path, "weigh", "--masses", "1 4.50 kg, 2 4.6 kg", "--today", "2026-01-08") == 0
    said, first, second = capsys.readouterr().out.splitlines()
    assert said == "M-001 weighs 4.50 kg, M-002 weighs 4.6 kg."
    assert first.startswith("M-001: Ready to cast")
    assert second == (
        "M-002: Two weighings a day apart are the same: it has stopped losing water at 4.60 kg, "
        "and its mix says 3.53 kg: straps or boards on the scale, or another volume?"
    )


def test_commands_stand_under_the_work_they_belong_to_and_the_book_itself_is_last(
    capsys: pytest.CaptureFixture[str],
) -> None:
    run(["book", "--help"])
    told = capsys.readouterr().out
    groups = re.findall(r"^(\w[^:\n]+):$", told.split("Options:")[1], re.MULTILINE)
    assert groups[:2] == ["The edition", "Original, block mold and masters"]
    assert groups[-3:] == [
        "What the book says",
        "Putting right what was written",
        "Keeping the book itself",
    ]
    listed = re.findall(r"^  ([a-z][a-z-]+)  ", told.split("The edition:")[1], re.MULTILINE)
    context = click.Context(book_command)
    assert listed == book_command.list_commands(context)
    assert len(listed) == len(set(listed))
