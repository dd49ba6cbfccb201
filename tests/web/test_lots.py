"""Lots: readings, what they became, and what goes in to change one, with the arithmetic."""

import re
from urllib.parse import unquote

import pytest

from tests.web.sample import HOSTILE, plain
from tests.web.sample import own as own
from tests.web.sample import sample as sample


def test_every_lot_stands_with_its_last_reading_and_what_it_became(sample):
    page = sample.get("/lots").text

    assert re.findall(r'class="bucket-label">([^<]+)<', page) == [
        "S-003", "S-002", "S-001", "G-002", "G-001", "B-003", "B-002", "B-001", "R-002", "R-001",
    ]  # fmt: skip
    words = plain(page)
    assert "1744 g/l, 36 s, 17 °C" in words
    assert "9 casts of Fern jug, 8 good" in words
    assert "M-004, M-005 and M-006 of Fern jug" in words
    assert "24 pieces of Fern jug glazed" in words


def test_what_was_made_of_a_lot_stands_on_its_page_and_leads_on(sample):
    plaster, slip = (sample.get(f"/lots/{label}").text for label in ("B-001", "S-003"))

    made = re.findall(r'href="(/shelf/M-[0-9]+)"', plaster)
    assert made == ["/shelf/M-001", "/shelf/M-002", "/shelf/M-003"]
    assert re.search(r"About [0-9.]+ kg of 25 kg left after its molds", plain(plaster))
    assert 'class="lot-in"' in plaster
    assert "9 casts of Fern jug, 8 good" in plain(slip)
    assert 'class="lot-in"' not in slip  # nothing tells how much slip there is


def test_readings_are_listed_and_a_new_one_is_written_down(own):
    answer = own.post(
        "/do/read-lot", {"id": "r-1", "lot": "S-003", "liter_weight": "1758 g/l", "back": "/lots/S-003"}
    )  # fmt: skip
    own.do("read-lot", lot="S-002", liter_weight="1700 g/l", note="thinner than lot S-003 is")
    page = own.get("/lots/S-003").text

    assert answer.status_code == 303
    assert re.findall(r'data-title="A liter weighs">([^<]+)<', page.replace("\u00a0", " ")) == [
        "1758 g/l",
        "1744 g/l",
    ]
    assert "It last weighed 1758 g/l" in plain(page)


def test_what_goes_in_is_worked_out_with_its_arithmetic(sample):
    """A mass balance by hand: clay of 2.6 kg/l stirred into 18 l of 1.744 kg/l to reach 1.760 kg/l.

    (18 * 1.744 + m) / (18 + m / 2.6) = 1.760 gives m = 18 * 0.016 / (1 - 1.760 / 2.6) = 0.891 kg.
    """
    page = plain(sample.get("/lots/S-003?volume=18&volume.unit=l&target=1760").text)
    mass_g = 1000 * 18 * 0.016 / (1 - 1.760 / 2.6)

    assert f"Stir in {mass_g:.0f} g of clay: it then weighs 1760 g/l" in page
    assert "dry clay in a liter" in page
    assert "Sources" in page


@pytest.mark.parametrize("volume", [HOSTILE, "2,5", "-3 l", "4 kg", "9" * 400])
def test_a_volume_that_is_none_is_refused_and_kept(volume, sample):
    answer = sample.get("/lots/S-003", params={"volume": volume})

    assert answer.status_code == 422
    assert HOSTILE not in answer.text
    assert 'id="e-volume"' in answer.text


def test_a_slip_that_was_never_weighed_is_read_first(own):
    own.do("mix-lot", what="slip", name=HOSTILE)
    page = own.get("/lots/S-004").text
    refused = own.get("/lots/S-004?volume=10+l")

    assert "Read its weight first" in page
    assert HOSTILE not in page + own.get("/lots").text
    assert refused.status_code == 422
    assert "read S-004 first" in plain(refused.text)


def test_the_questions_at_the_bench_have_its_readings_filled_in(sample):
    page = sample.get("/lots/S-003").text
    to = re.search(r'href="(/figures/cup\?[^"]+)"', page)[1].replace("&amp;", "&")

    page = sample.get(to).text
    assert re.search(r'name="drained" value="36"', page)
    assert '<option value="s" selected>' in page


@pytest.mark.parametrize("label", ["S-999", "M-004", "x", HOSTILE])
def test_a_lot_that_is_none_has_no_page(label, sample):
    assert sample.get(f"/lots/{label}").status_code == 404


def test_a_reading_is_answered_with_its_units(own):
    """A weight may be typed as a number alone, and degrees without their sign."""
    sent = {"id": "r-u", "lot": "S-003", "liter_weight": "1752", "temperature": "17 C", "back": "/"}
    said = unquote(own.post("/do/read-lot", sent).headers["set-cookie"])

    assert r"S-003 read: 1752 g/l, 17 \u00b0C." in said


def test_a_cup_that_runs_forty_needs_no_unit_typed(own):
    """Seconds stand beside the field, as beside every other measured one."""
    form = own.get("/lots/S-003").text
    [unit] = re.findall(r'name="flow\.unit"[^>]*><option value="([^"]+)" selected', form)
    sent = {"id": "r-f", "lot": "S-003", "flow": "40", "flow.unit": unit, "back": "/"}
    said = unquote(own.post("/do/read-lot", sent).headers["set-cookie"])

    assert "S-003 read: 40 s." in said
