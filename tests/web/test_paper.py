"""Sheets of the sample studio's book: what stands on them, and the pages that lead to them."""

import pytest

from pourwright.errors import BadInput
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


def test_a_sheet_is_shown_for_the_printer(sample):
    answer = sample.get("/paper/casting.pdf")

    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"] == 'inline; filename="casting.pdf"'
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


def test_tags_are_for_every_mold_in_use(sheet, sample):
    made = sheet("tags")

    assert [one.label for one in made.tags] == ["M-004", "M-005", "M-006", "M-007"]
    first = made.tags[0]
    assert (first.of, first.part) == ("Fern jug", "mold of 3 parts")
    assert (first.given, first.boxes) == (16, 24)
    assert first.day == "poured 27 Aug 2026"
    shelf = sample.get("/shelf").text
    assert "/paper/tags.pdf?of=F-005" in shelf
    assert "/paper/tags.pdf?of=F-002" not in shelf  # it is destroyed


def test_tags_are_for_masters_and_lots_by_their_labels(sheet):
    made = sheet("tags", "f-001", "S-003")

    assert [(one.label, one.boxes) for one in made.tags] == [("F-001", 0), ("S-003", 0)]
    assert made.tags[0].part == "original: carved plaster original"
    with pytest.raises(BadInput, match='the thing to tag is "M-071"; name a mold'):
        sheet("tags", "M-071")


def test_without_a_phones_address_a_tag_has_no_code(sample):
    with sample.app.state.desk.book.reading() as reading:
        desk = sample.app.state.desk
        at = at_hand(reading, desk.book, desk.folder, WEDNESDAY, ("M-004",))
        assert find_kind("tags").from_book(at).tags[0].qr == ""


def test_the_day_sheet_has_what_the_day_asks_for_in_its_order(sheet, sample):
    made = sheet("day")

    assert [(one.heading, [row.what for row in one.rows]) for one in made.groups] == [
        ("Open the kiln", ["L-010"]),
        ("Read the slip", ["S-003"]),
        ("Cast", ["M-004", "M-005", "M-006"]),
        ("Hold beside the reference piece", ["M-005", "M-006"]),
        ("Weigh, strapped", ["M-007"]),
        ("Load the kiln", ["bisque", "glaze"]),
    ]
    assert made.groups[5].rows[0].note == "10 ready of the 16 that a load holds; only bone-dry ware"
    assert "/paper/day.pdf" in sample.get("/").text


def test_the_kiln_sheet_has_the_loads_that_can_be_built(sheet, sample):
    made = sheet("kiln")

    assert [(one.title, one.name, one.cone, one.full, one.holds) for one in made.loads] == [
        ("Bisque load", "Fern jug", "04", 10, 16),
        ("Glaze load", "Fern jug", "6", 3, 9),
    ]
    assert "/paper/kiln.pdf" in sample.get("/kiln").text


def test_a_load_in_the_kiln_is_printed_by_its_label(sheet):
    load = sheet("kiln", "l-010").loads[0]

    assert (load.title, load.full, load.holds) == ("L-010 · glaze", 6, 6)
    with pytest.raises(BadInput, match='the load is "L-099"; name a load by its label'):
        sheet("kiln", "L-099")


def test_a_lots_card_has_its_readings_and_lines_for_more(sheet, sample):
    card = sheet("lot", "S-003").cards[0]

    assert [row.liter_weight for row in card.readings] == ["1744 g/l"]
    assert (card.lines, card.name) == (7, "white stoneware, third bucket")
    assert [one.label for one in sheet("lot").cards] == ["S-003", "G-002"]
    assert "/paper/lot.pdf?of=S-003" in sample.get("/lots/S-003").text
