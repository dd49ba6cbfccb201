"""A whole year of the invented Heron jug, from its brief to its closing, by one command."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from pourwright.briefs.reading import read_brief
from pourwright.cli.main import run
from pourwright.ledger.book import Book
from pourwright.ledger.documents import EditionDoc, MoldDoc, doc_of, doc_text
from pourwright.ledger.replaying import replay
from pourwright.plan.plan import plan_schema
from pourwright.plan.standing_from_book import standing_from_book
from pourwright.studio.answers import (
    OwedNumbers,
    casts_left,
    findings,
    owed,
    stages,
    today_lists,
    yields,
)
from pourwright.studio.book import open_book
from pourwright.studio.commands import book_schema
from pourwright.studio.history import number_story, number_text, year_text
from tests.ledger.desk import KINDS

EXAMPLE = Path(__file__).parents[2] / "examples" / "heron-jug"
JUG, DISH, ZONE = "heron-jug", "heron-dish", "Europe/Copenhagen"


def studio(folder: Path) -> Path:
    for name in ("studio.toml", "edition.toml", "dish.toml"):
        shutil.copy(EXAMPLE / name, folder)
    return folder


@pytest.fixture(scope="module")
def year(tmp_path_factory: pytest.TempPathFactory) -> Book:
    folder = studio(tmp_path_factory.mktemp("year"))
    file = str(EXAMPLE / "year.jsonl")
    assert run(["book", "run", file, "--clock-in-file", "--folder", str(folder)]) == 0
    return open_book(folder, create=False)


def lines() -> list[dict[str, Any]]:
    text = (EXAMPLE / "year.jsonl").read_text(encoding="utf-8").splitlines()
    return [json.loads(line) for line in text if not line.startswith("#")]


def test_the_year_is_sound_and_is_worked_out_again_the_same(year: Book) -> None:
    assert year.verify() == []
    with year.reading() as reading:
        entries = list(reading.entries())
        assert len(entries) == sum("do" in line for line in lines())
        again = replay(entries)
        assert sorted(again.rows()) == sorted(reading.things.rows())


def test_every_document_of_the_year_is_read_and_kept_again_alike(year: Book) -> None:
    """As JSON has them, keys in order, nothing added and nothing left out by its record."""
    with year.reading() as reading:
        rows = list(reading.things.rows())
    for kind, _, edition, text in rows:
        doc = doc_of(KINDS[kind], text)
        plain = json.dumps(
            json.loads(text), sort_keys=True, ensure_ascii=False, separators=(",", ":")
        )
        assert doc_text(doc) == text == plain
        assert doc.edition == edition
    assert len({row[0] for row in rows}) > 12


def test_both_editions_end_as_they_did(year: Book) -> None:
    """Forty of forty, and ten of eighteen, counted by hand from the file's marks."""
    with year.reading() as reading:
        jug, dish = (reading.things.get(EditionDoc, one) for one in (JUG, DISH))
    assert jug is not None
    assert dish is not None
    assert jug.closed is not None
    assert dish.closed is not None
    marked = [line for line in lines() if line.get("do") == "mark" and line["edition"] == DISH]
    assert [line["numbers"] for line in marked if line.get("kind") != "proof"] == ["1-5", "6-10"]
    assert (dish.closed.made, dish.closed.of, dish.closed.short) == (10, 18, True)
    assert (jug.closed.made, jug.closed.of, jug.closed.short) == (40, 40, False)


def test_counts_are_those_of_the_file(year: Book) -> None:
    """Every piece that was cast good is somewhere: told by hand from the lines, not from the book."""
    with year.reading() as reading:
        told, debts = stages(reading.things, JUG), owed(reading.things, JUG)
    casts = [one for one in lines() if one.get("do") == "cast" and one["edition"] == JUG]
    good = sum(int(one["good"]) for one in casts if "good" in one)
    first_of_new_molds = [one for one in casts if "good" not in one]
    assert len(first_of_new_molds) == 2  # of four molds, and of two beside two old ones
    corrected = 1
    assert told.good == good + 2 - corrected
    assert debts.numbers == OwedNumbers(
        of=40, living=39, gone=1, settled=0, owed=0, which=(), unmarked=0, to_make=0
    )


def test_a_lost_load_a_swap_and_a_late_entry_are_in_it(year: Book) -> None:
    with year.reading() as reading:
        loads = yields(reading.things, JUG, "load")
        mold = reading.things.get(MoldDoc, "M-003")
        late = [e.seq for e in reading.entries() if e.is_late]
        text = year_text(reading, JUG, ZONE)
    worst = min(loads, key=lambda one: one.counted / one.of)
    assert (worst.counted, worst.of) == (1, 12)
    assert mold is not None
    assert mold.parts["left half"].spare == "T-001"
    assert len(late) == 1
    assert "(late)" in text
    assert "[corrected, see entry" in text
    assert "closed at 40 of 40" in text
    assert max(len(line) for line in text.splitlines()[:3]) < 80


def test_a_number_given_again_shows_both_bearers(year: Book) -> None:
    with year.reading() as reading:
        story = number_story(reading, JUG, "7/40", ZONE)
    first, second = story.bearers
    assert (first.state, first.evidence) == ("broken", "shard in box 2")
    assert (second.replaces, second.state) == (first.piece, "away")
    text = number_text(story)
    assert "Piece 1: broken" in text
    assert "Piece 2: has left the studio" in text


def test_wear_and_the_stocktake_are_found_odd(year: Book) -> None:
    with year.reading() as reading:
        said = [one.what for one in findings(reading.things, JUG)]
        left = casts_left(reading.things, JUG)
    assert "stocktake_differs" in said
    assert "mold_is_past_its_life" in said
    assert left == []  # every mold is destroyed


def test_every_line_and_answer_keeps_the_published_schema(year: Book) -> None:
    schema = book_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    command, answer = (
        jsonschema.Draft202012Validator({**schema, "anyOf": [{"$ref": f"#/$defs/{one}"}]})
        for one in ("command", "answer")
    )
    for line in lines():
        if "do" in line:
            command.validate(line)
    with year.reading() as reading:
        for entry in reading.entries():
            kept = reading.answer_of(entry.command_id)
            assert kept is not None
            answer.validate(json.loads(kept[1]))


@pytest.fixture(scope="module")
def halfway(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = studio(tmp_path_factory.mktemp("halfway"))
    text = (EXAMPLE / "year.jsonl").read_text(encoding="utf-8")
    until = text[: text.index("# Halfway")]
    (folder / "half.jsonl").write_text(until, encoding="utf-8")
    arguments = ["book", "run", str(folder / "half.jsonl"), "--clock-in-file"]
    assert run([*arguments, "--folder", str(folder)]) == 0
    return folder


def test_halfway_the_plan_goes_on_from_the_book(
    halfway: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The new forecast stands beside the first; what is there is what the lines say by hand."""
    monkeypatch.setattr("pourwright.report.files.with_drawings", lambda sections, _: sections)
    brief, out = str(halfway / "edition.toml"), halfway / "plans"
    arguments = ["plan", brief, "--book", "--today", "2031-04-23", "--runs", "200"]
    assert run([*arguments, "--out", str(out)]) == 0
    plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    jsonschema.validate(plan, plan_schema())
    book = plan["book"]
    assert book["load"] == {"firing": "bisque", "pieces": 18, "since": "2031-04-22"}
    assert book["finished"] == 5  # four of the first glaze load, one of the lost one
    assert [m["label"] for m in book["molds"]] == ["M-001", "M-002", "M-003", "M-004"]
    assert book["first_plan"]["as_of"] == "2031-01-06"
    assert book["now"]["finish"] >= "2031-04-23"
    assert {row["field"] for row in book["own"]} >= {"losses.casting", "losses.glaze", "mold.life"}
    assert "The first plan and the new one" in (out / "plan.html").read_text(encoding="utf-8")
    assert plan["violations"] == []


def test_halfway_a_day_begins_with_its_lists(halfway: Path) -> None:
    book = open_book(halfway, create=False)
    with book.store, book.reading() as reading:
        from datetime import date

        told = today_lists(reading.things, JUG, date(2031, 4, 23), ZONE)
        dish = today_lists(reading.things, DISH, date(2031, 4, 23), ZONE)
        left = casts_left(reading.things, JUG)
    assert told.ready == ("M-001", "M-002", "M-003", "M-004")
    assert [one.label for one in dish.drying] == ["M-005", "M-006"]
    assert dish.weigh == ("M-005", "M-006")
    assert [one.firing for one in told.in_the_kiln] == ["bisque"]
    for one in left:
        assert one.left.p10 <= one.left.p50 <= one.left.p90


def test_a_closed_edition_is_not_planned_on(year: Book, capsys: pytest.CaptureFixture[str]) -> None:
    assert year.store.path is not None
    brief = str(year.store.path.with_name("edition.toml"))
    assert run(["plan", brief, "--book", "--today", "2031-12-20"]) == 2
    assert "closed at 40 of 40" in capsys.readouterr().err


def test_the_jugs_load_keeps_the_kiln_from_the_dish(halfway: Path) -> None:
    """It went in on the 22nd and takes two days; the dish's own molds are not dry."""
    from datetime import date

    today = date(2031, 4, 23)
    brief, room = read_brief(halfway / "dish.toml", date(2031, 4, 7))
    book = open_book(halfway, create=False)
    with book.store, book.reading() as reading:
        there = standing_from_book(reading.things, brief, room, today)
    assert there.kiln_free_on == date(2031, 4, 24)
    assert [(one.label, one.dry) for one in there.molds] == [("M-005", False), ("M-006", False)]


def test_loads_and_molds_not_dry_yet_are_counted_from_the_book(halfway: Path) -> None:
    """As the lines of the file say: one bisque crack of 18; all four, and one of twelve when the relay stuck."""
    from datetime import date

    book = open_book(halfway, create=False)
    own = {}
    with book.store, book.reading() as reading:
        for edition, brief, start in (
            (JUG, "edition.toml", date(2031, 1, 6)),
            (DISH, "dish.toml", date(2031, 4, 7)),
        ):
            files = read_brief(halfway / brief, start)
            own[edition] = standing_from_book(reading.things, *files, date(2031, 4, 23)).own
    assert own[JUG].loads == {"bisque": ((17, 18),), "glaze": ((4, 4), (1, 12))}
    assert own[JUG].yields["glaze"] == (5, 16)
    assert (own[JUG].still_drying, own[DISH].mold_days) == ((), ())
    assert own[DISH].still_drying == (13.0, 13.0)  # poured on the 10th


@pytest.mark.whole
def test_the_dish_is_planned_on_beside_the_jug(halfway: Path) -> None:
    """The jug's load is in the one kiln, whether the jug is named beside the dish or not."""
    from datetime import date

    from pourwright.studio.plans import plan_from_book

    brief, jug, today = halfway / "dish.toml", halfway / "edition.toml", date(2031, 4, 23)
    alone = plan_from_book(brief, today, 200)
    beside = plan_from_book(brief, today, 200, [jug])
    for plan in (alone, beside):
        assert plan.violations == ()
        loads = [e.date for e in plan.calendar for o in e.doing if "load" in o.stage]
        assert min(loads) >= date(2031, 4, 24)  # the bisque went in on the 22nd and takes two days
    assert beside.beside[0].id == JUG
    assert beside.answer.finish >= alone.answer.finish
    assert alone.book is not None
    assert {one.label for one in alone.book.molds} == {"M-005", "M-006"}
    assert not any(one.dry for one in alone.book.molds)
