"""Four answers write two files, with every field in them, that read back as the smallest brief."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourwright.briefs import edition_fields, studio_fields
from pourwright.briefs.first_questions import (
    FURTHER,
    QUESTIONS,
    Answers,
    answers_from,
    brief_texts,
    edition_id_from,
    further_from,
    write_brief,
)
from pourwright.briefs.reading import read_brief
from pourwright.briefs.text import toml_value
from pourwright.errors import BadInput, StudioError
from tests.ledger.toy import rounds

TODAY = date(2031, 3, 3)

WATER = Answers(pieces=36, glaze_load=14, loads_a_week=2, water=("1.9 kg", "640 g"), life=25)
DRY = Answers(pieces=18, glaze_load=7, loads_a_week=1, dry_mass="4.8 kg")

MINIMAL_WATER = """\
version = 1
[edition]
id = "reed-cup"
pieces = 36
[mold]
life = 25
[[mold.parts]]
name = "part 1"
water = "1.9 kg"
[[mold.parts]]
name = "part 2"
water = "640 g"
[firing]
glaze_load = 14
"""
MINIMAL_DRY = """\
version = 1
[edition]
id = "reed-cup"
pieces = 18
[mold]
dry_mass = "4.8 kg"
[firing]
glaze_load = 7
"""


def minimal(folder: Path, edition: str, loads: int, units: str) -> Path:
    folder.mkdir()
    line = f'[studio]\nunits = "{units}"\n' if units == "us" else ""
    (folder / "studio.toml").write_text(f"version = 1\n{line}[kiln]\nloads_a_week = {loads}\n")
    (folder / "edition.toml").write_text(edition)
    return folder / "edition.toml"


@pytest.mark.parametrize(
    ("question", "typed", "told"),
    [
        ("hour", "28,50 EUR", "after a point"),
        ("hour", "1,250 DKK", "after a point"),
        ("hour", "28 or 30 EUR", '"28 or 30 EUR"'),
        ("hour", "-28 EUR", "between 0 and"),
        ("kiln", "180 l, 9 kW, 0,32 EUR/kWh", "after a point"),
        ("kiln", "180 l, 7,5 kW", 'write "7.5 kW" or "7500 kW"'),
    ],
)
def test_a_price_or_a_power_is_never_taken_for_a_part_of_it(question, typed, told):
    """28 is not what 28,50 says: a comma between digits is asked about, as in a file."""
    with pytest.raises(BadInput) as refused:
        further_from({question: typed})

    assert told in str(refused.value)


BY_KEY = {question.key: question for question in QUESTIONS}


@pytest.mark.parametrize(
    ("question", "typed", "read"),
    [
        ("pieces", "40 pieces", 40),
        ("pieces", "1 Piece", 1),
        ("glaze_load", "18 pieces", 18),
        ("life", "30 casts", 30),
        ("loads_a_week", "2 loads", 2),
        ("have", "masters, approved", "masters"),
        ("have", "original and block mold", "block mold"),
        ("have", "Approved; original", "approved"),
    ],
)
def test_an_answer_is_read_as_people_mean_it(question, typed, read):
    assert BY_KEY[question].parse(typed, "metric") == read


@pytest.mark.parametrize(
    ("question", "typed", "told"),
    [
        ("pieces", "40 creamers", "Is it 40? Write the number alone."),
        ("glaze_load", "about 18", "Is it 18? Write the number alone."),
        ("pieces", "30 kg", "Is it 30? Write the number alone."),
        ("have", "masters, clay", '"clay"; it must be one of'),
    ],
)
def test_an_answer_with_other_words_is_asked_about_with_the_likely_value(question, typed, told):
    with pytest.raises(BadInput) as refused:
        BY_KEY[question].parse(typed, "metric")

    assert told in str(refused.value)


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize(
    ("answers", "edition", "loads"),
    [(WATER, MINIMAL_WATER, 2), (DRY, MINIMAL_DRY, 1)],
    ids=["water", "dry"],
)
def test_what_was_written_reads_back_as_the_smallest_brief(
    answers, edition, loads, units, tmp_path
):
    written, studio_path = write_brief(answers, tmp_path / "Reed cup", units=units)

    assert (written.name, studio_path.name) == ("edition.toml", "studio.toml")
    assert read_brief(written, TODAY) == read_brief(
        minimal(tmp_path / "small", edition, loads, units), TODAY
    )


@pytest.mark.parametrize("answers", [WATER, DRY], ids=["water", "dry"])
@pytest.mark.parametrize("units", ["metric", "us"])
def test_every_field_stands_in_the_files_with_a_comment_before_it(answers, units):
    edition, studio = brief_texts(answers, edition_id="reed-cup", units=units)

    for text, fields in ((edition, edition_fields.FIELDS), (studio, studio_fields.FIELDS)):
        tables = lines_by_table(text)
        for one in fields:
            lines = tables[one.table.replace("[]", "")]
            at = next(
                (n for n, line in enumerate(lines) if re.match(rf"#?{one.key} = ", line)), None
            )
            assert at is not None, one.name
            block = " ".join(line.removeprefix("# ") for line in comment_above(lines, at))
            assert block.startswith(one.meaning), one.name
            if not one.required:
                assert one.source.removeprefix("not given: ") in block, one.name


def lines_by_table(text: str) -> dict[str, list[str]]:
    """Return the lines of each table, commented tables among them."""
    tables: dict[str, list[str]] = {"": []}
    here = ""
    for line in text.split("\n"):
        head = re.fullmatch(r"#?\[+([a-z_.]+)\]+", line)
        here = head[1] if head else here
        tables.setdefault(here, []).append(line)
    return tables


def comment_above(lines: list[str], at: int) -> list[str]:
    start = at
    while start > 0 and lines[start - 1].startswith("# "):
        start -= 1
    return lines[start:at]


def test_the_water_of_parts_may_stand_between_commas_that_are_no_decimal_commas():
    given = {"pieces": "8", "glaze_load": "4", "loads_a_week": "2"}

    def water(text):
        return answers_from({**given, "water": text}).water

    assert water("1.5 kg, 1.4 kg,640 g") == ("1.5 kg", "1.4 kg", "640 g")
    assert water("4 lb 3 oz, 1 lb 6 oz") == ("4 lb 3 oz", "1 lb 6 oz")
    assert water("4 qt; 3 3/4 qt") == ("4 qt", "3 3/4 qt")
    for unclear in ("4 lb, 3 oz", "1,5 kg, 1,4 kg", "1.5, 1.4 kg"):
        with pytest.raises(BadInput, match="Put a semicolon between the parts"):
            water(unclear)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_every_line_left_out_can_be_set(units):
    """With all its # taken away a file is still TOML, and each line that shows a default changes nothing."""
    for text in brief_texts(WATER, edition_id="reed-cup", units=units):
        everything = re.sub(r"(?m)^#(?=[a-z_]+ = )", "", text)
        tomllib.loads(everything)


def test_lines_are_short_and_the_files_end_in_one_line_end():
    for text in brief_texts(WATER, edition_id="reed-cup"):
        assert max(len(line) for line in text.split("\n")) <= 100
        assert text.endswith("\n")
        assert not text.endswith("\n\n")


def test_the_defaults_as_shown_are_the_defaults(tmp_path):
    """Taking the # from every line that shows a default reads as before."""
    written, studio_path = tmp_path / "edition.toml", tmp_path / "studio.toml"
    for path, text in zip(
        (written, studio_path), brief_texts(DRY, edition_id="reed-cup"), strict=True
    ):
        path.write_text(text)
    before = read_brief(written, TODAY)
    for path, fields in ((written, edition_fields.FIELDS), (studio_path, studio_fields.FIELDS)):
        text = path.read_text()
        for one in fields:
            # holidays need a country, and a part's masters need a part
            if (
                one.default not in (None, [])
                and one.name != "time.public_holidays"
                and "[]" not in one.name
            ):
                line = f"{one.key} = {toml_value(one.default)}"
                text = re.sub(rf"(?m)^#{re.escape(line)}$", line, text)
        path.write_text(text)
    after = read_brief(written, TODAY)

    for old, new in zip(before, after, strict=True):
        assert replace(old, origins={}) == replace(new, origins={})
    assert after[0].origins["work.cast"].kind == "brief"


def test_more_can_be_told_at_once(tmp_path):
    more = {"studio.country": "DK", "studio.currency": "DKK", "edition.deadline": "in 26 weeks",
            "edition.name": 'Cup "north"\\'}  # fmt: skip
    brief, studio = read_brief(write_brief(DRY, tmp_path / "cup", more=more)[0], TODAY)

    assert (studio.studio.country, studio.studio.currency) == ("DK", "DKK")
    assert brief.edition.deadline == date(2031, 9, 1)
    assert brief.edition.name == 'Cup "north"\\'


@pytest.mark.parametrize("name", ["edition.toml", "studio.toml"])
def test_a_file_that_is_there_is_never_overwritten(name, tmp_path):
    (tmp_path / name).write_text("mine")

    with pytest.raises(BadInput, match="never overwritten"):
        write_brief(DRY, tmp_path)

    assert (tmp_path / name).read_text() == "mine"
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_a_folder_that_is_a_file_is_refused(tmp_path):
    (tmp_path / "there").write_text("a file")

    with pytest.raises(BadInput, match="name another folder"):
        write_brief(DRY, tmp_path / "there")


def test_the_folder_names_the_edition():
    assert edition_id_from(Path("Moth Cup")) == "moth-cup"
    assert edition_id_from(Path("a")) == "edition-a"
    assert edition_id_from(Path("---")) == "edition"
    assert edition_id_from(Path("\u00e9t\u00e9 2031")) == "t-2031"


# --- the questions


TYPED = {
    "pieces": "36",
    "water": "1.9 kg; 640 g",
    "glaze_load": "14",
    "loads_a_week": "2",
    "life": "25",
}


def test_four_questions_are_asked_each_with_its_words():
    assert {one.number for one in QUESTIONS} == {1, 2, 3, 4}
    assert all(one.text.endswith("?") and one.help.endswith(".") for one in QUESTIONS)
    for units in ("metric", "us"):
        for one in QUESTIONS:
            one.parse(one.example[units], units)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_examples_of_the_room_are_those_of_the_fields(units):
    """Of one currency, so that both may be typed as they stand."""
    typed = {one.key: one.example[units] for one in FURTHER if one.key in ("kiln", "hour")}
    told = further_from(typed, units)
    specs = {one.name: one.example_for(units) for one in studio_fields.FIELDS}
    paths = "kiln.volume", "kiln.power", "kiln.energy_price", "prices.labor"

    assert {path: told[path] for path in paths} == {path: specs[path] for path in paths}


def test_answers_are_read():
    assert answers_from(TYPED) == WATER
    dry = {**TYPED, "water": "", "dry_mass": "4.8 kg", "life": "don't know"}
    assert answers_from(dry) == Answers(36, 14, 2, (), "4.8 kg", None)
    assert answers_from({**TYPED, "water": "4 lb 3 oz\n1 lb 6 oz"}, "us").water == (
        "4 lb 3 oz",
        "1 lb 6 oz",
    )


@pytest.mark.parametrize("life", ["", "?", "Don\u2019t know", "unknown", "dont know"])
def test_not_knowing_the_life_is_an_answer(life):
    assert answers_from({**TYPED, "life": life}).life is None


@pytest.mark.parametrize(
    ("change", "path", "says"),
    [
        ({"pieces": ""}, "pieces", "a whole number"),
        ({"pieces": "many"}, "pieces", "a whole number"),
        ({"pieces": "0"}, "pieces", "between 1 and 10000"),
        ({"pieces": "9" * 50}, "pieces", "a whole number"),
        ({"water": "1.9 m"}, "water of part 1", "a mass belongs here"),
        ({"water": "1.9 kg; 2,5 kg"}, "water of part 2", '"2.5 kg"'),
        ({"water": "1.9"}, "water of part 1", "which unit"),
        ({"water": "", "dry_mass": "3 t"}, "dry mass of a mold", "200 kg"),
        ({"water": ""}, "the mold", "not told"),
        ({"dry_mass": "4 kg"}, "dry mass of a mold", "one of the two"),
        ({"glaze_load": "0"}, "pieces in a glaze load", "between 1 and 5000"),
        ({"loads_a_week": "20"}, "loads a week", "between 0.5 and 14"),
        ({"life": "0"}, "casts from a mold", "between 1 and 500"),
        ({"life": "lots"}, "casts from a mold", "a whole number"),
    ],
)
def test_an_answer_that_cannot_be_used_is_told(change, path, says):
    with pytest.raises(BadInput) as caught:
        answers_from({**TYPED, **change})

    assert [one.path for one in caught.value.complaints] == [path]
    assert says in str(caught.value)


def test_all_wrong_answers_are_told_at_once():
    with pytest.raises(BadInput) as caught:
        answers_from({"pieces": "x", "loads_a_week": "x"})

    assert [one.path for one in caught.value.complaints] == [
        "pieces",
        "pieces in a glaze load",
        "loads a week",
    ]


@pytest.mark.rounds
@settings(max_examples=rounds(30, 100))
@given(st.dictionaries(st.sampled_from([one.key for one in QUESTIONS]), st.text(max_size=20)))
def test_any_answers_are_read_or_refused(typed):
    try:
        answers = answers_from(typed)
    except StudioError:
        return
    assert answers.pieces > 0
