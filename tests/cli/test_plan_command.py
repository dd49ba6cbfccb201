"""``pourwright plan`` on the examples: files, JSON, days, the same bytes, and refusals."""

import json

import pytest

from pourwright.cli.main import run
from pourwright.plan.plan import plan_json
from tests.plans import EXAMPLES, RUNS, as_plan, brief_of, example_plan, sample_plan


@pytest.fixture
def elsewhere(tmp_path, monkeypatch):
    """Run in a folder of the test's own; the examples are reached by their path."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def quick(monkeypatch):
    """Plan without planning, and without drawing, where only the command is in question."""
    monkeypatch.setattr("pourwright.cli.plan_command.plan_afresh", lambda *_: sample_plan())
    monkeypatch.setattr("pourwright.report.files.plan_page", lambda _: "<!doctype html>")


@pytest.mark.parametrize(
    "example",
    [EXAMPLES[0], *(pytest.param(one, marks=pytest.mark.whole) for one in EXAMPLES[1:])],
)
def test_an_example_is_planned_to_the_same_bytes_again(example, elsewhere, capsys):
    """Once by the command, and once by the action it calls."""
    brief = str(brief_of(example))
    plan = example_plan(example)

    assert run(["plan", brief, "--today", plan.as_of.isoformat(), "--runs", str(RUNS)]) == 0
    told = capsys.readouterr().out

    assert {path.name for path in elsewhere.iterdir()} == {"plan.json", "plan.html", "plan.ics"}
    assert (elsewhere / "plan.json").read_text(encoding="utf-8") == plan_json(plan)
    page = (elsewhere / "plan.html").read_bytes()
    assert page.count(b"<svg") == 12
    assert b"\r" not in page
    assert told.endswith("Written: plan.json, plan.html and plan.ics\n")
    assert max(map(len, told.splitlines())) <= 80
    assert "\x1b" not in told


def test_json_is_all_that_is_printed_and_no_file_is_written(quick, elsewhere, capsys):
    assert run(["plan", "edition.toml", "--json"]) == 0
    told = capsys.readouterr()

    assert as_plan(json.loads(told.out)) == sample_plan()
    assert told.err == ""
    assert list(elsewhere.iterdir()) == []


def test_json_with_a_folder_writes_as_well(quick, elsewhere, capsys):
    assert run(["plan", "edition.toml", "--json", "--out", "plans"]) == 0

    assert (elsewhere / "plans" / "plan.json").read_text(
        encoding="utf-8"
    ) == capsys.readouterr().out


@pytest.mark.parametrize("day", ["3.8.2026", "2026-02-30", "yesterday", "", "2026-8-3"])
def test_a_day_that_is_none_is_told(day, quick, elsewhere, capsys):
    assert run(["plan", "edition.toml", "--today", day]) == 2
    told = capsys.readouterr().err

    assert told.startswith("--today is")
    assert '"2027-03-01"' in told
    assert list(elsewhere.iterdir()) == []


def test_a_folder_that_is_a_file_is_told(quick, elsewhere, capsys):
    (elsewhere / "plans").write_text("a file")

    assert run(["plan", "edition.toml", "--out", "plans"]) == 2
    assert "cannot be written into plans" in capsys.readouterr().err


@pytest.mark.parametrize("brief", ["missing.toml", ".", "", "no/such/folder/edition.toml"])
def test_a_brief_that_is_not_there_is_told(brief, elsewhere, capsys):
    assert run(["plan", brief]) == 2
    told = capsys.readouterr()

    assert told.out == ""
    assert told.err.count("\n") == 1
    assert "Traceback" not in told.err


def test_the_first_look_is_short_and_names_the_week_the_pour_and_what_to_buy(
    quick, elsewhere, capsys
):
    """Molds, this week's weights and the date within a screen; the rest is a name away."""
    assert run(["plan", "edition.toml"]) == 0
    told = capsys.readouterr().out
    plan = sample_plan()

    for words in ("Molds to pour", "Next pour", "To buy", "Even odds by", "The rest: --all"):
        assert words in told
    assert f"{plan.plaster.batches[0].plaster_kg:.2f}".rstrip("0").rstrip(".") in told
    assert "Where each number came from" not in told


@pytest.mark.parametrize("example", EXAMPLES)
def test_the_first_look_at_an_example_fits_a_terminal_of_forty_lines(
    example, quick, elsewhere, capsys, monkeypatch
):
    monkeypatch.setattr("pourwright.cli.plan_command.plan_afresh", lambda *_: example_plan(example))
    assert run(["plan", "edition.toml"]) == 0

    assert len(capsys.readouterr().out.splitlines()) <= 40


def test_a_part_of_the_plan_is_printed_by_its_name_and_all_by_all(quick, elsewhere, capsys):
    assert run(["plan", "edition.toml", "--section", "plaster"]) == 0
    part = capsys.readouterr().out
    assert run(["plan", "edition.toml", "--all"]) == 0
    whole = capsys.readouterr().out

    assert "Consistency" in part
    assert "Molds to pour" not in part
    assert len(whole.splitlines()) > 3 * len(part.splitlines())


@pytest.mark.parametrize("name", ["how many molds", "COST", "to buy"])
def test_a_part_of_the_plan_goes_by_its_printed_title_too(name, quick, elsewhere, capsys):
    assert run(["plan", "edition.toml", "--section", name]) == 0
    assert f"\n{name.capitalize()} ─" in capsys.readouterr().out


def test_a_part_that_no_plan_has_is_told(quick, elsewhere, capsys):
    assert run(["plan", "edition.toml", "--section", "plastr"]) == 2
    assert "Did you mean plaster?" in capsys.readouterr().err
