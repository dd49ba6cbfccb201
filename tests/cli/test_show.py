"""The plan on a terminal: 80 columns, no color, nothing cut off."""

import io

import pytest

from pourwright.cli.show import WIDTH, console_for, show_sections
from pourwright.report.blocks import (
    Caution,
    Facts,
    Figure,
    Glance,
    Section,
    Steps,
    Table,
    Text,
    Week,
    Weeks,
)
from pourwright.report.sections import plan_sections
from tests.report.test_sections import PLANS, words_of


def printed(sections, width: int = WIDTH) -> str:
    stream = io.StringIO()
    console = console_for(stream)
    console.width = width
    show_sections(console, "Harbor cup", sections)
    return stream.getvalue()


@pytest.fixture(scope="module", params=PLANS.values(), ids=PLANS.keys())
def sections(request):
    return plan_sections(request.param())


@pytest.fixture(scope="module")
def text(sections):
    return printed(sections)


def test_every_line_fits_80_columns(text):
    lines = text.splitlines()

    assert len(lines) > 150
    assert max(map(len, lines)) <= 80
    assert not any(line != line.rstrip() for line in lines)


def test_piped_output_has_no_color_and_nothing_is_cut(text):
    assert "\x1b" not in text
    assert "…" not in text


def test_every_word_of_the_plan_is_printed(sections, text):
    """Lines break, words do not: each word of each section is found in order of no matter what."""
    words = set(text.replace("*", " ").split())

    for section in sections:
        missing = [w for w in words_of(section).split() if w not in words]
        assert missing == [], section.id


@pytest.mark.parametrize(
    "width", [40, *(pytest.param(width, marks=pytest.mark.whole) for width in (60, 100))]
)
def test_other_widths_lose_nothing_either(sections, width):
    text = printed(sections, width)

    assert max(map(len, text.splitlines())) <= width
    assert "…" not in text


@pytest.mark.parametrize("width", [80, 60, 40])
def test_a_table_that_is_too_wide_folds_and_cuts_no_letter(width):
    row = ("whole mold", "1", "2 gal 25 fl oz", "11 lb 15 oz", "17 lb 1 oz", "batches of a recipe")
    titles = ("Part", "Masters", "Volume", "Water", "Plaster", "Known from")
    table = Table("Parts", tuple((title, "left") for title in titles), (row, row))

    text = printed([Section("plaster", "Plaster", (table,))], width)

    for letter in set("".join((*titles, *row))) - {" "}:
        wanted = "".join((*titles, *row, *row, "Harbor cup", "Plaster", "Parts"))
        assert text.count(letter) == wanted.count(letter), letter


def test_the_chosen_row_is_marked_by_a_sign_and_a_word():
    text = printed(plan_sections(PLANS["dated"]()))

    assert "\n* 3 " in text
    assert "\n* this plan\n" in text


def test_a_picture_is_told_in_words():
    table = Table("Finished", (("Day", "left"), ("Pieces", "right")), (("1", "4"),))
    figure = Figure("fan", "Pieces finished", "A curve that rises.", table, "", "<svg/>", "<svg/>")
    text = printed((Section("odds", "Odds", (figure,)),))

    assert "A curve that rises." in text
    assert "<svg" not in text


def test_no_cell_of_a_table_of_short_cells_is_cut():
    """Each cell alone would stay on its line; together they are wider than the paper."""
    row = ("whole mold", "1", "1 gal 19 fl oz", "6 lb 4 oz", "8 lb 14 oz", "weight of the dry mold")
    names = ("Part", "Masters", "Volume", "Water", "Plaster", "Known from")
    sides = ("left", "right", "right", "right", "right", "left")
    text = printed(
        (Section("one", "", (Table("", tuple(zip(names, sides, strict=True)), (row,)),)),)
    )

    assert all(cell in text for cell in row[:-1])
    assert "weight of the dry\n" in text
    assert text.rstrip().endswith(" mold")


def test_a_terminal_gets_its_width_up_to_a_limit(monkeypatch):
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    monkeypatch.setenv("COLUMNS", "240")
    assert console_for(Terminal()).width == 100
    monkeypatch.setenv("COLUMNS", "64")
    assert console_for(Terminal()).width == 64


@pytest.mark.parametrize("width", [48, 66, 79])
def test_no_amount_and_no_date_breaks_at_the_end_of_a_line(width):
    """In any block, wherever its lines end."""
    whole = ("12 lb 9.5 oz", "1 h 40 min", "Tue 5 Aug 2036", "90 %", "24.00 EUR")
    told = " and ".join(f"some {one}" for one in whole * 3)
    blocks = (
        Text(told),
        Glance(told, (("Label", "3", told),)),
        Facts((("Label", "a value that is long", told),)),
        Table("Caption", (("Name", "left"), ("What", "left")), (("row", told),), note=told),
        Caution(told),
        Steps((told,)),
        Weeks("Calendar", (Week("Week", (("Mon", told, "12 h 40 min"),)),)),
        Figure("chart", "Title", told, Table("", (), ())),
    )
    for block in blocks:
        text = printed([Section("one", "", (block,))], width)
        for one in whole:
            assert text.count(one) == 3 * told_in(block, told), (type(block), one)


def told_in(block, told: str) -> int:
    return repr(block).count(told)
