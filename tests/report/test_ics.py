"""The calendar file: read back by an independent reader, and held to RFC 5545 line by line."""

import re
from datetime import UTC, date, datetime, timedelta
from types import SimpleNamespace

import pytest
import vobject
from msgspec.structs import replace

from pourwright.plan.plan import NumberSource, Plan, PourSession
from pourwright.report.ics import milestones, plan_ics
from tests.plans import as_data, as_plan, example_plan, late_us_plan, sample_plan, undated_plan

PLANS = {"dated": sample_plan, "late": late_us_plan, "undated": undated_plan}


def read(text: str) -> dict[str, SimpleNamespace]:
    """Return the entries by id, as vobject, a reader that shares no code with ours, reads them."""
    found = {}
    for event in vobject.readOne(text).contents.get("vevent", []):
        uid = event.uid.value
        assert uid not in found
        found[uid] = SimpleNamespace(
            day=event.dtstart.value,
            end=event.dtend.value,
            words=event.summary.value,
            about=event.description.value,
            sequence=int(event.sequence.value),
            stamp=event.dtstamp.value,
        )
    return found


def taken_in(kept: dict[str, SimpleNamespace], text: str) -> dict[str, SimpleNamespace]:
    """
    Return a calendar after a file was taken in, by RFC 5546, section 2.1.5: entries are one by
    their UID; the greater SEQUENCE is newer, and where it is the same, the later DTSTAMP.
    """
    merged = dict(kept)
    for uid, event in read(text).items():
        old = merged.get(uid)
        if old is None or (event.sequence, event.stamp) >= (old.sequence, old.stamp):
            merged[uid] = event
    return merged


def later(plan: Plan, days: int) -> Plan:
    """Return the same plan made so many days later, all its days moved as many on."""

    def moved(value):
        if isinstance(value, dict):
            return {key: moved(one) for key, one in value.items()}
        if isinstance(value, list):
            return [moved(one) for one in value]
        if isinstance(value, str) and re.fullmatch(r"\d{4}-\d\d-\d\d", value):
            return (date.fromisoformat(value) + timedelta(days=days)).isoformat()
        return value

    return as_plan(moved(as_data(plan)))


# --- what it says


@pytest.mark.parametrize("name", PLANS)
def test_every_milestone_is_read_back(name):
    plan = PLANS[name]()
    found = read(plan_ics(plan))

    assert len(found) == len(milestones(plan)) >= 6
    for one in milestones(plan):
        event = found[f"{plan.edition.id}.{one.key}@pourwright.invalid"]
        assert event.day == one.day
        assert event.words == f"{plan.edition.name}: {one.words}"


def test_the_days_are_those_of_the_plan():
    plan = sample_plan()
    days = {one.key: one.day.isoformat() for one in milestones(plan)}

    assert days == {
        "pour-1": "2026-09-03",
        "molds-dry": "2026-09-14",
        "first-cast": "2026-09-15",
        "last-safe-pour": "2026-09-23",
        "glaze-gate": "2026-09-25",
        "finish": "2026-10-26",
        "finish-90": "2026-11-08",
        "deadline": "2026-12-18",
    }


def test_milestones_come_in_their_order():
    days = [one.day for one in milestones(sample_plan())]

    assert days == sorted(days)


def test_entries_are_whole_days_that_block_no_time():
    """RFC 5545, 3.6.1: DTEND is not taken in; 3.8.2.7: TRANSPARENT does not take up time."""
    text = plan_ics(sample_plan())

    assert all(e.end == e.day + timedelta(days=1) for e in read(text).values())
    assert all(type(e.day) is date for e in read(text).values())
    assert text.count("TRANSP:TRANSPARENT") == text.count("BEGIN:VEVENT")


def test_a_plan_without_a_date_has_no_such_entry():
    keys = {one.key for one in milestones(undated_plan())}

    assert "deadline" not in keys
    assert "last-safe-pour" not in keys
    assert {"pour-1", "finish", "finish-90"} <= keys


def test_no_gate_where_the_glaze_does_not_wait():
    plan = sample_plan()
    gate = NumberSource("firing.glaze_gate", "false", "brief", "")
    plan = replace(plan, sources=(*plan.sources, gate))

    assert "glaze-gate" not in {one.key for one in milestones(plan)}


def test_without_proofs_the_gate_is_a_load():
    plan = sample_plan(edition={"proofs": 0})
    words = {one.key: one.words for one in milestones(plan)}

    assert words["glaze-gate"] == "first glaze load out"
    assert words["finish"] == "30 pieces finished, at even odds"


def test_each_pour_is_an_entry_with_its_care_beside_it():
    plan = example_plan("tight-cup")
    pours = [one for one in milestones(plan) if one.key.startswith("pour-")]

    assert len(pours) == len(plan.plaster.session_list) > 1
    assert pours[0].words.startswith("first pour, ")
    assert all("Never put a hand" in one.about for one in pours)


def test_what_a_maker_named_is_read_back_as_written():
    """RFC 5545, 3.3.11: comma, semicolon and backslash are escaped, a new line is a backslash n."""
    name = 'Cup, "gull"; blue\\white: 釉薬 ' + "long " * 30 + "end"
    plan = sample_plan(edition={"name": name})

    assert all(e.words.startswith(f"{name}: ") for e in read(plan_ics(plan)).values())


# --- taking it in again


def test_the_same_plan_gives_the_same_bytes():
    assert plan_ics(sample_plan()) == plan_ics(sample_plan())


def test_taking_it_in_twice_doubles_nothing():
    text = plan_ics(sample_plan())
    once = taken_in({}, text)

    assert taken_in(once, text) == once


@pytest.mark.parametrize("days", [1, 9, 400])
def test_a_later_plan_moves_the_entries_and_doubles_none(days):
    plan = sample_plan()
    first, second = plan_ics(plan), plan_ics(later(plan, days))
    calendar = taken_in(taken_in({}, first), second)

    assert set(calendar) == set(read(first))
    for uid, event in calendar.items():
        assert event.day == read(first)[uid].day + timedelta(days=days)
        assert event.sequence == read(first)[uid].sequence + days


def test_an_older_file_changes_nothing():
    plan = sample_plan()
    new, old = plan_ics(later(plan, 7)), plan_ics(plan)

    assert taken_in(taken_in({}, new), old) == taken_in({}, new)


def test_a_pour_that_is_added_is_one_entry_more():
    plan = sample_plan()
    more = later(plan, 1)
    sessions = (*more.plaster.session_list, PourSession(2, date(2026, 9, 30), 1, 1, 360.0))
    more = replace(more, plaster=replace(more.plaster, session_list=sessions))
    calendar = taken_in(taken_in({}, plan_ics(plan)), plan_ics(more))

    assert len(calendar) == len(read(plan_ics(plan))) + 1


def test_two_editions_never_meet():
    one, other = sample_plan(), sample_plan(edition={"id": "other-cup"})

    assert not set(read(plan_ics(one))) & set(read(plan_ics(other)))


@pytest.mark.parametrize(
    ("zone", "began"),
    [
        ("UTC", datetime(2026, 8, 3, tzinfo=UTC)),
        ("Europe/Copenhagen", datetime(2026, 8, 2, 22, tzinfo=UTC)),
        ("America/Denver", datetime(2026, 8, 3, 6, tzinfo=UTC)),
    ],
)
def test_the_stamp_is_the_start_of_the_planning_day_in_the_studio(zone, began):
    """IANA time zones: in August Copenhagen is 2 h before UTC and Denver 6 h behind."""
    stamps = {event.stamp for event in read(plan_ics(sample_plan(), zone)).values()}

    assert stamps == {began}


# --- RFC 5545, line by line

NAME = r"[A-Za-z0-9-]+"
LINE = re.compile(rf"{NAME}(?:;{NAME}=(?:\"[^\"]*\"|[^\";:,]*))*:[^\x00-\x08\x0a-\x1f\x7f]*")
TEXT = re.compile(r"(?:[^\\;,]|\\[\\;,nN])*")


@pytest.mark.parametrize("name", PLANS)
def test_every_line_obeys_the_standard(name):
    """
    RFC 5545, 3.1: lines end with CR LF, are at most 75 octets without it, and folded ones go on
    after a space, never inside a character. 3.4 to 3.6: what must be there, once.
    """
    plan = PLANS[name]()
    plan = replace(plan, edition=replace(plan.edition, name="Möwe 釉薬; " * 12))
    data = plan_ics(plan).encode("utf-8")
    lines = data.split(b"\r\n")

    assert lines.pop() == b""
    assert b"\n" not in data.replace(b"\r\n", b"")
    assert max(map(len, lines)) <= 75
    for line in lines:
        line.decode("utf-8")
    whole = data.replace(b"\r\n ", b"").decode("utf-8").split("\r\n")[:-1]
    assert all(LINE.fullmatch(line) for line in whole)
    for line in whole:
        if line.startswith(("SUMMARY", "DESCRIPTION", "NAME")):
            assert TEXT.fullmatch(line.partition(":")[2])
    assert whole[0] == "BEGIN:VCALENDAR"
    assert whole[-1] == "END:VCALENDAR"
    assert {"VERSION:2.0", "METHOD:PUBLISH"} <= set(whole)
    once(whole)


def once(lines: list[str]) -> None:
    """Hold every entry to one of each property (RFC 5545, 3.6.1)."""
    entries = "\n".join(lines).split("BEGIN:VEVENT\n")[1:]
    for entry in entries:
        names = [re.split("[;:]", line)[0] for line in entry.split("END:VEVENT")[0].splitlines()]
        assert len(names) == len(set(names))
        assert {"UID", "DTSTAMP", "DTSTART", "SUMMARY", "SEQUENCE", "LAST-MODIFIED"} <= set(names)


def test_a_doubled_entry_would_be_found():
    text = plan_ics(sample_plan())
    entry = text[text.index("BEGIN:VEVENT") : text.index("END:VEVENT") + len("END:VEVENT\r\n")]

    with pytest.raises(AssertionError):
        read(text.replace("END:VCALENDAR", entry + "END:VCALENDAR"))
