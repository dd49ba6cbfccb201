"""The calendar to subscribe to: who may read it, ids that stay, a sequence that rises with each change."""

import stat
from datetime import UTC, datetime, timedelta
from urllib.parse import unquote

import pytest

from pourwright.web.feed import Feed
from tests.plans import as_data, as_plan, sample_plan
from tests.report.test_ics import later, read, taken_in
from tests.web.browser import LAN, PHONE, Browser
from tests.web.sample import sample as sample

NOW = datetime(2026, 8, 3, 9, 30, tzinfo=UTC)
NEXT_DAY = NOW + timedelta(days=1)


@pytest.fixture
def feed(tmp_path):
    opened = Feed(tmp_path / "calendar.db")
    yield opened
    opened.close()


def moved_finish(days):
    """Return the sample plan with another day of even odds, and nothing else different."""
    data = as_data(sample_plan())
    finish = datetime.fromisoformat(data["odds"]["finish"]["p50"]) + timedelta(days=days)
    data["odds"]["finish"]["p50"] = finish.date().isoformat()
    return as_plan(data)


def test_what_did_not_change_is_the_same_to_the_byte_on_another_day(feed):
    one = feed.calendar("The studio", [sample_plan()], NOW)

    assert feed.calendar("The studio", [sample_plan()], NEXT_DAY) == one
    data = as_data(sample_plan()) | {"as_of": "2026-08-04"}
    assert feed.calendar("The studio", [as_plan(data)], NEXT_DAY) == one


def test_each_change_has_a_greater_sequence_and_moves_its_entry_alone(feed):
    texts = [feed.calendar("The studio", [moved_finish(n)], NOW) for n in (0, 1, 2, 1)]
    uid = "harbor-cup.finish@pourwright.invalid"
    found = [read(text) for text in texts]
    numbers = [one[uid].sequence for one in found]

    assert numbers == sorted(set(numbers))
    for one in found[1:]:
        still = {name: event for name, event in one.items() if name != uid}
        assert still == {name: event for name, event in found[0].items() if name != uid}
    calendar = {}
    for text in texts:
        calendar = taken_in(calendar, text)
    assert calendar == found[-1]


def test_a_feed_goes_on_from_an_earlier_import_of_the_plans_file(feed):
    """Where both were taken into one calendar, the later plan of the feed is the newer."""
    from pourwright.report.ics import plan_ics

    plan = later(sample_plan(), 3)
    calendar = taken_in({}, plan_ics(sample_plan()))
    fed = feed.calendar("The studio", [plan], NOW + timedelta(days=3))

    assert taken_in(calendar, fed) == read(fed)


def test_a_token_is_good_until_another_is_made_or_it_is_ended(feed, tmp_path):
    one = feed.open(NOW)
    assert feed.is_good(one)
    assert feed.made() == NOW
    two = feed.open(NEXT_DAY)
    assert not feed.is_good(one)
    assert feed.is_good(two)
    feed.end()
    assert not feed.is_good(two)
    assert feed.made() is None
    assert two.encode() not in (tmp_path / "calendar.db").read_bytes()
    assert stat.S_IMODE((tmp_path / "calendar.db").stat().st_mode) == 0o600


def test_a_calendar_reads_the_milestones_with_its_address_alone(app, here, monkeypatch):
    desk = app.state.desk
    monkeypatch.setattr(desk, "plan_now", lambda edition: sample_plan())
    said = here.post("/settings/calendar/make", {})
    told = unquote(said.headers["set-cookie"])
    token = desk.feed.open(desk.clock.now())  # the page has shown another by now
    stranger = Browser(app, LAN, PHONE, {})
    answer = stranger.get(f"/calendar/{token}.ics")

    assert said.status_code == 303
    assert "Subscribe to http://studio.lan:8484/calendar/" in told
    assert "it is not shown again" in told
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    assert "harbor-cup.finish@pourwright.invalid" in read(answer.text)
    here.post("/settings/calendar/end", {})
    assert stranger.get(f"/calendar/{token}.ics").status_code == 404
