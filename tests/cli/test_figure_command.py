"""``pourwright figure``: the table of questions as commands."""

import json
import re
import subprocess
import sys

import jsonschema
import pytest

from pourwright.calculators.schema import figure_schema
from pourwright.calculators.table import SUBJECTS, find_question
from pourwright.calculators.words import command_line
from pourwright.cli.main import run

HEAVY = ("numpy", "scipy", "pint", "holidays", "rich")


def test_an_answer_is_printed_in_words_with_what_it_rests_on(capsys):
    assert run(["figure", "plaster", "--volume", "2 US qt", "--consistency", "70"]) == 0
    told = capsys.readouterr()

    assert (
        "Weigh 2 lb 13.5 oz of water (1 qt 12 fl oz) and 4 lb 1.0 oz of plaster: they" in told.out
    )
    assert re.search(r"^volume +2 US qt +as you told it$", told.out, re.MULTILINE)
    assert "Sources:" in told.out
    assert "Setting plaster burns." in told.out
    assert max(map(len, told.out.splitlines())) <= 80
    assert told.err == ""


def test_json_is_the_answer_and_nothing_else(capsys):
    assert run(["figure", "plaster", "--volume", "3.2 l", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)

    jsonschema.validate(data, figure_schema())
    assert data["version"] == 1
    assert data["question"]["id"] == "plaster"
    assert {one["name"]: one["from"] for one in data["given"]}["volume"] == "typed"


@pytest.mark.parametrize("subject", SUBJECTS)
def test_every_example_runs_as_it_is_printed(subject, capsys):
    import shlex

    for example in find_question(subject).examples:
        line = command_line(find_question(subject), example)
        assert run(shlex.split(line)[1:]) == 0, line
        printed = capsys.readouterr().out
        assert max(map(len, printed.splitlines())) <= 80


def test_a_studio_file_tells_what_is_not_typed(tmp_path, capsys):
    studio = tmp_path / "studio.toml"
    studio.write_text("version = 1\n[plaster]\nconsistency = 78\n[kiln]\nloads_a_week = 2\n")

    assert run(["figure", "plaster", "--volume", "1 l", "--studio", str(studio)]) == 0
    assert re.search(r"^consistency +78 +the studio's file$", capsys.readouterr().out, re.MULTILINE)


def test_a_studio_file_in_the_folder_is_used_and_named(tmp_path, monkeypatch, capsys):
    (tmp_path / "studio.toml").write_text(
        "version = 1\n[plaster]\nconsistency = 78\n[kiln]\nloads_a_week = 2\n"
    )
    monkeypatch.chdir(tmp_path)

    assert run(["figure", "plaster", "--volume", "1 l"]) == 0
    told = capsys.readouterr().out
    assert "From studio.toml: consistency 78." in told
    assert run(["figure", "cone", "--cone", "6"]) == 0
    assert "From studio.toml: the units." in capsys.readouterr().out
    (tmp_path / "studio.toml").write_text("version = 1\n[plaster]\nconsistency = 0.7\n")
    assert run(["figure", "plaster", "--volume", "1 l"]) == 0
    told = capsys.readouterr()
    assert "studio.toml in this folder is not used." in told.err
    assert "From studio.toml" not in told.out


def test_units_say_whose_pint_it_is(capsys):
    assert run(["figure", "plaster", "--volume", "2 pt", "--spare", "0 %", "--units", "us"]) == 0
    assert "they fill 1 qt, with no spare in it" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["plaster", "--volume", "2 pt"], 'say which: "2 US pt" or "2 imperial pt".'),
        (["plaster"], "--volume, --water-fill, --plaster-left, --dry-mass or --mix-water is missing; give one"),
        (["plaster", "--volume", ""], '--volume is ""; write a volume as a number and its unit'),
        (["plaster", "--volume", "1 l", "--studio", "nowhere.toml"], "there is no such file"),
        (["plastr"], "No such command"),
        (["plaster", "--volme", "1 l"], "No such option"),
    ],
)  # fmt: skip
def test_what_is_wrong_ends_with_2_and_a_sentence(arguments, said, capsys):
    assert run(["figure", *arguments]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert said in told.err
    assert "Traceback" not in told.err


def test_the_list_of_subjects_imports_nothing_heavy():
    code = (
        "import sys; from pourwright.cli.main import run; status = run(['figure', '--help']);"
        f"print('loaded', [n for n in {HEAVY!r} if n in sys.modules], status)"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert "loaded [] 0" in told.stdout
    for subject in SUBJECTS:
        assert f"\n  {subject} " in told.stdout


def test_a_subjects_help_imports_nothing_heavy():
    code = (
        "import sys; from pourwright.cli.main import run; status = run(['figure', 'drying', '--help']);"
        f"print('loaded', [n for n in {HEAVY!r} if n in sys.modules], status)"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert "loaded [] 0" in told.stdout
