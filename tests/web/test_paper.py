"""Sheets of the sample studio's book: what stands on them, and the pages that lead to them."""

import pytest

from pourwright.paper.at_hand import at_hand
from pourwright.paper.kinds import find_kind
from tests.web.sample import WEDNESDAY, plain
from tests.web.sample import sample as sample


@pytest.fixture
def sheet(sample):
    """Return a function that makes a sheet of the sample's book, of some labels or of all."""

    def made(kind, *of, day=WEDNESDAY):
        desk = sample.app.state.desk
        with desk.book.reading() as reading:
            at = at_hand(reading, desk.book, desk.folder, day, of, "http://studio.lan:8484")
            return find_kind(kind).from_book(at)

    return made


def test_a_sheet_comes_as_a_file_for_the_printer(sample):
    answer = sample.get("/paper/casting.pdf")

    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"] == 'attachment; filename="casting.pdf"'
    assert answer.content == sample.get("/paper/casting.pdf").content
    assert answer.content.startswith(b"%PDF-1.7")


def test_a_kind_or_a_day_that_is_none_is_a_sentence(sample):
    assert "Did you mean casting?" in plain(sample.get("/paper/castin.pdf").text)
    assert "day is" in plain(sample.get("/paper/casting.pdf?day=soon").text)


def test_the_casting_sheet_has_the_molds_that_are_dry(sheet, sample):
    """As the slip bench has them: three of the jug, each given 16 casts, judged at 15 but one."""
    made = sheet("casting")

    assert [one.name for one in made.editions] == ["Fern jug"]
    assert [(row.mold, row.cast) for row in made.editions[0].rows] == [
        ("M-004", "17"),
        ("M-005", "17"),
        ("M-006", "17"),
    ]
    assert made.editions[0].times.startswith("fill 950 ml, stands 15 min (by your test cast")
    assert made.slip == "S-003"
    assert "/paper/casting.pdf" in sample.get("/bench/slip").text
