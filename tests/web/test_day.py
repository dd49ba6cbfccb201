"""The day sheet typed in afterwards: each line an entry of its day, refusals beside what was written."""

from html import unescape

import pytest

from tests.web.sample import WEDNESDAY, plain
from tests.web.sample import own as own
from tests.web.sample import sample as sample

FILLED = {
    "day": WEDNESDAY.isoformat(),
    "id": "w-day",
    "open:fern-jug:L-010.cones": "6 down",
    "read::S-003.liter_weight": "1752 g/l",
    "cast:fern-jug:M-004.done": "yes",
    "cast:fern-jug:M-005.lost": "stuck",
    "judge:fern-jug:M-006.verdict": "softer",
    "weigh:fern-jug:M-007.mass": "4.7 kg",
    "load:fern-jug:bisque.count": "10",
}


def entries(browser, since):
    with browser.app.state.desk.book.reading() as reading:
        head = reading.head().seq
        return [reading.entry(seq) for seq in range(since + 1, head + 1)]


def seq_of(browser):
    return browser.app.state.desk.book.head().seq


def test_the_form_has_the_lines_of_the_sheet_in_its_order(sample):
    page = plain(sample.get("/day").text)
    lines = ("L-010, Fern jug", "S-003", "M-004, Fern jug", "M-007,", "bisque,")
    places = [page.index(one) for one in lines]

    assert places == sorted(places)


def test_a_filled_sheet_becomes_entries_of_its_day(own):
    before = seq_of(own)
    answer = own.post("/day", FILLED)
    found = entries(own, before)

    assert answer.status_code == 303, plain(answer.text)
    assert [one.kind for one in found] == [
        "load-opened",
        "lot-read",
        "casts-made",
        "mold-judged",
        "mold-weighed",
        "load-closed",
    ]
    assert {one.at for one in found} == {WEDNESDAY.isoformat()}
    cast = found[2].body
    assert (cast["molds"], cast["lost"], cast["lot"]) == (["M-004", "M-005"], {"stuck": 1}, "S-003")


def test_what_is_refused_stays_on_the_page_and_the_rest_is_written(own):
    before = seq_of(own)
    answer = own.post("/day", FILLED | {"weigh:fern-jug:M-007.mass": "heavy"})

    assert answer.status_code == 422
    assert 'mass is "heavy"' in unescape(plain(answer.text)), plain(answer.text)
    assert 'value="heavy"' in answer.text
    assert "does not ask for any more" not in answer.text
    assert seq_of(own) == before + 5


def test_what_stands_on_the_sheet_is_typed_as_it_stands_there(own):
    """A number with the cause from its other blank, figures beside their unit, and the lines for anything else."""
    before = seq_of(own)
    sheet = {
        "open:fern-jug:L-010.lost": "1 crawl",
        "open:fern-jug:L-010.lost_pieces": "18",
        "weigh:fern-jug:M-007.mass": "5,9",
        "weigh:fern-jug:M-007.mass.unit": "kg",
        "note": "the heating failed at noon",
        "broken.mold": "M-004",
        "broken.part": "foot",
        "broken.how": "dropped",
        "by": "Mira",
    }

    answer = own.post("/day", sheet | {"day": WEDNESDAY.isoformat(), "go_on": "yes"})

    assert answer.status_code == 303, plain(answer.text)
    opened, weighed, broken, noted = entries(own, before)
    assert list(opened.body["lost_pieces"].values()) == ["crawl"]
    assert (weighed.kind, noted.body["text"]) == ("mold-weighed", sheet["note"])
    assert (broken.kind, broken.body["mold"]) == ("part-broken", "M-004")
    assert {one.by for one in (opened, weighed, broken, noted)} == {"Mira"}


def test_a_broken_part_that_is_written_is_not_written_again_with_what_was_refused(own):
    broken = {"broken.mold": "M-004", "broken.part": "foot", "broken.how": "dropped"}
    answer = own.post("/day", FILLED | broken | {"weigh:fern-jug:M-007.mass": "heavy"})

    assert answer.status_code == 422
    assert "foot" in plain(answer.text)
    assert 'value="dropped"' not in answer.text


def test_a_liter_weight_typed_without_a_unit_is_shown_with_one(own):
    own.do("read-lot", lot="S-003", liter_weight="1752")

    assert "1752 g/l" in plain(own.get("/lots").text)


def test_an_opened_load_tells_its_numbers_and_the_causes(sample):
    page = plain(sample.get("/day").text)

    assert "marked 16, 17, 18, 19, 20, 21; only" in page
    assert "Causes: seam ghost, warp, crack" in page


def test_a_line_for_what_another_phone_has_done_meanwhile_is_told_and_kept(own):
    own.do("unload", load="L-010", edition="fern-jug")
    answer = own.post("/day", FILLED | {"open:fern-jug:L-010.lost": "2 crawl"})

    assert answer.status_code == 422
    assert "does not ask for any more" in plain(answer.text)
    assert 'value="2 crawl"' in answer.text


def test_nothing_filled_in_writes_nothing(own):
    before = seq_of(own)

    assert own.post("/day", {"day": WEDNESDAY.isoformat()}).status_code == 303
    assert seq_of(own) == before


@pytest.mark.parametrize("day", ["soon", "2026-13-01"])
def test_a_day_that_is_none_is_a_sentence(sample, day):
    assert "day is" in plain(sample.get(f"/day?day={day}").text)


@pytest.mark.parametrize("day", ["29.11.2026", "11/29/2026"])
def test_a_day_as_a_country_writes_it_is_refused_with_the_right_form(sample, day):
    found = unescape(plain(sample.get("/day", params={"day": day}).text))

    assert "The year comes first, then month and day." in found
