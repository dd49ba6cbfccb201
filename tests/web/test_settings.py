"""Settings: the studio's file changed by forms, and words of caution."""

import re
from html import unescape

import pytest

from pourwright.briefs.editing import tables_in
from pourwright.cautions import ALL_WORK
from pourwright.studio.care import AT_VERB
from tests.web.sample import HOSTILE, plain
from tests.web.sample import own as own
from tests.web.sample import sample as sample
from tests.web.test_begin import empty as empty
from tests.web.test_records import fields_of


def studio_file(browser):
    return browser.app.state.desk.folder / "studio.toml"


def test_what_is_told_stands_table_by_table(sample):
    page = plain(sample.get("/settings").text)

    for words in ("Zone Europe/Copenhagen", "Consistency 70", "Labor 190.00 DKK/h", "Working days"):
        assert words in page


@pytest.mark.parametrize("table", [one.name for one in tables_in("studio")])
def test_a_table_that_is_kept_as_it_stands_changes_no_byte(table, own):
    before = studio_file(own).read_bytes()
    form = own.get(f"/settings/studio/{table}")
    answer = own.post(f"/settings/studio/{table}", fields_of(form.text))

    assert (form.status_code, answer.status_code) == (200, 303)
    assert studio_file(own).read_bytes() == before


def test_comments_stay_and_only_what_was_changed_changes(own):
    before = studio_file(own).read_text(encoding="utf-8")
    sent = fields_of(own.get("/settings/studio/kiln").text)
    own.post("/settings/studio/kiln", sent | {"loads_a_week": "3", "power": "9 kW"})
    after = studio_file(own).read_text(encoding="utf-8")

    assert after.startswith("# A sample studio: no such people, no such room.\n")
    assert [one for one in after.splitlines() if one not in before.splitlines()] == [
        "loads_a_week = 3",
        'power = "9 kW"',
    ]
    assert own.app.state.desk.studio.kiln.loads_a_week == 3


def test_days_off_and_working_days_are_lists(own):
    own.post(
        "/settings/studio/time",
        {"working_days": ["mon", "tue", "wed"], "off": "12-24 to 01-02, 07-01", "public_holidays": "no"},
    )  # fmt: skip
    time = own.app.state.desk.studio.time

    assert time.working_days == (0, 1, 2)
    assert len(time.off) == 2
    assert time.public_holidays is False
    page = own.get("/settings/studio/time").text
    assert re.findall(r'name="working_days" value="([a-z]+)" checked', page) == ["mon", "tue", "wed"]  # fmt: skip


def test_us_units_show_us_examples(own):
    sent = fields_of(own.get("/settings/studio/studio").text)
    own.post("/settings/studio/studio", sent | {"units": "us"})

    assert "50 lb" in own.get("/settings/studio/plaster").text.replace("\u00a0", " ")


def test_what_cannot_be_is_refused_with_what_was_typed(own):
    before = studio_file(own).read_bytes()
    answer = own.post("/settings/studio/plaster", {"consistency": "700", "bag": HOSTILE, "bucket": "3 kg"})  # fmt: skip

    assert answer.status_code == 422
    for name in ("consistency", "bag", "bucket"):
        assert f'id="e-{name}"' in answer.text
    assert HOSTILE not in answer.text
    assert studio_file(own).read_bytes() == before


def test_a_number_below_1_beside_a_percent_sign_is_told_both_ways(own):
    """Before a sign stood beside it 0.05 was 5 %; what is kept with its sign stays as it is."""
    place, before = "/settings/studio/plaster", studio_file(own).read_bytes()
    sent = fields_of(own.get(place).text)
    answer = own.post(place, sent | {"spare": "0.05", "spare.unit": "%"})
    assert answer.status_code == 422
    told = unescape(plain(answer.text))
    assert 'Spare is "0.05"; a number below 1 may be either: write "5 %" or "0.05 %".' in told
    assert fields_of(answer.text)["spare.unit"] == "%"  # pressed again it is asked again
    assert studio_file(own).read_bytes() == before

    own.post(place, sent | {"spare": "0.5 %", "spare.unit": "%"})
    kept = studio_file(own).read_bytes()
    assert b'spare = "0.5 %"' in kept
    assert own.post(place, fields_of(own.get(place).text)).status_code == 303
    assert studio_file(own).read_bytes() == kept


def test_a_change_that_would_make_a_brief_unreadable_is_refused(own):
    """The briefs name prices in kroner, so the currency cannot be another any more."""
    before = studio_file(own).read_bytes()
    sent = fields_of(own.get("/settings/studio/studio").text)
    answer = own.post("/settings/studio/studio", sent | {"currency": "EUR"})

    assert answer.status_code == 422
    assert studio_file(own).read_bytes() == before


def test_the_first_setting_makes_the_file(empty):
    assert empty.get("/settings/studio.toml").status_code == 404
    answer = empty.post("/settings/studio/kiln", {"loads_a_week": "2"})

    assert answer.status_code == 303
    assert empty.get("/settings/studio.toml").text == "version = 1\n\n[kiln]\nloads_a_week = 2\n"


def test_a_file_with_a_fault_is_told_on_the_page(own):
    studio_file(own).write_text("version = 1\n\n[kiln]\nloads_a_week = 0\n", encoding="utf-8")
    page = own.get("/settings")

    assert page.status_code == 200
    assert "cannot be used as it is" in page.text
    assert "kiln.loads_a_week" in page.text


def test_the_studios_own_words_stand_beside_the_usual_ones(own):
    form = own.get("/settings/care")
    answer = own.post(
        "/settings/care", fields_of(form.text) | {"glaze": "Key of the kiln: blue hook."}
    )
    kiln = own.get("/kiln").text

    assert answer.status_code == 303
    assert "Key of the kiln: blue hook." in kiln
    assert "Damp ware bursts." in kiln
    notices = own.get("/settings/care").text.split('<details class="note-slip"')[1:]
    assert len(notices) == len(ALL_WORK)
    assert all('class="caution"' in one and "<textarea" in one for one in notices)


def test_own_words_are_text_and_not_too_long(own):
    own.post("/settings/care", {"glaze": HOSTILE + "\n\x07 and more"})
    page = own.get("/settings/care").text + own.get("/kiln").text
    long = own.post("/settings/care", {"slip": "x" * 601})

    assert HOSTILE not in page
    assert long.status_code == 422
    assert 'id="e-slip"' in long.text


@pytest.mark.parametrize("work", ALL_WORK)
def test_the_studios_own_words_stand_where_that_work_is_written_down(work, own):
    words = f"The respirators for {work} hang by the door."
    own.post("/settings/care", {work: words})
    places = [f"/do/{verb}" for verb, (_, works) in AT_VERB.items() if work in works]
    places += {"plaster": ["/bench/plaster"], "slip": ["/bench/slip"], "bisque": ["/kiln"], "glaze": ["/kiln"]}.get(work, [])  # fmt: skip

    assert places
    for place in places:
        text = plain(own.get(place).text)
        assert words in text, place
        assert text.count(words) == 1


@pytest.mark.parametrize("verb", AT_VERB)
def test_the_usual_cautions_stand_under_the_form_of_the_work(verb, own):
    text = plain(own.get(f"/do/{verb}").text)

    assert [title for title in AT_VERB[verb][0] if f"{title}." not in text] == []
