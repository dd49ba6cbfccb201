"""A thermometer's log: read as it is typed or pasted, refused where it cannot be, kept and replayed.

Degrees: 0 °C is 32 °F and a kelvin is 1.8 °F (NIST Special Publication 811, B.8).
"""

import itertools

import pytest

from pourwright.errors import BadInput, StudioError
from pourwright.ledger.thermometer import (
    minutes_after_contact,
    read_clock,
    read_readings,
)
from tests.ledger.desk import docs_of, planned, with_molds

TWO = (["3", "6"], ["21.5", "24"])


def read(text):
    return read_readings("readings", text)


@pytest.mark.parametrize(
    "text",
    [
        "3 min 21.5 C; 6 min 24 C",
        "3 min at 21.5 °C\n6 min at 24 °C",
        "3 min 21.5 C, 6 min 24 C",
        "180 s 21.5 celsius\n0.1 h 24 degC",
        "min,C\n3,21.5\n6,24\n",
        "Time (s)\tTemp (°C)\r\n180\t21.5\r\n360\t24",
        "time;temperature in C\n3;21.5\n6;24",
        "min,F\n3,70.7\n6,75.2",
        "3 min 70.7 F; 6 min 24 C",
        ["3 min 21.5 C", "6 min 24 C"],
        "3 21.5 C\n6 24℃",
    ],
)
def test_readings_are_read_as_people_type_and_paste_them(text):
    found = read(text)

    assert (found["after_min"], found["degc"]) == TWO


@pytest.mark.parametrize(
    ("text", "contact"),
    [
        ("14:05 21.5 C; 14:08 24 C", "14:02"),
        ("2:05 pm 70.7 F\n2:08 pm 75.2 F", "2:02 pm"),
        ("time,C\n2027-03-01 14:05:00,21.5\n2027-03-01T14:08:00,24", "14:02"),
        ("0:01 21.5 C; 0:04 24 C", "23:58"),
        ("2027-03-01 23:59:30,21.5 C\n2027-03-02 00:02:30,24 C", "23:56:30"),
        ("23:59:30 21.5 C; 0:02:30 24 C", "23:56:30"),
    ],
)
def test_times_of_day_are_counted_from_plaster_meeting_water(text, contact):
    found = read(text)
    minutes = minutes_after_contact(found, read_clock("contact", contact))

    assert ([f"{one.normalize():f}" for one in minutes], found["degc"]) == TWO


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("3 min 95 C; 6 min 24 C", "between 0 and 80 °C"),
        ("3 min 95 C; 6 min 24 C", "read in °F"),
        ("3 min 21 C; 6 min -4 C", "reading 2 must be between"),
        ("3 min 300 F; 6 min 70 F", "32 and 176 °F"),
        ("3,21.5\n6,24", "say C or F with reading 1"),
        ("6 min 21 C; 3 min 24 C", "must come after reading 1, 6 min 21 C"),
        ("3 min 21 C; 3 min 24 C", "must come after"),
        ("3 min 21 C", "2 to 500 readings"),
        ("3 min 21 C; 14:05 24 C", "all as times of day"),
        ("3 min 21,5 C; 6 min 24 C", "written with a point"),
        ("min;C\n3;21,5\n6;24,1", "written with a point"),
        ("it got warm", "reading 1 is none"),
        ("3 min 21 C; 2000 min 24 C", "within 1440 min"),
        ("25:05 21 C; 25:08 24 C", "time of day"),
        ("2027-02-30 14:05,21 C\n2027-02-30 14:08,24 C", "write a date"),
        ("12:59 21 C; 1:02 24 C", "must come after"),
        ("3 min 21 C\x00; 6 min 24 C", "control characters"),
        ("\n".join(f"{n} min 21 C" for n in range(501)), "2 to 500"),
        ("3 min 21 C " * 4000, "at most 20000 characters"),
        ("1" * 19_000, "reading 1 is none"),
        (17, "write a time and a temperature"),
        ([17], "write a time and a temperature"),
        ("", "write a time and a temperature"),
    ],
)
def test_readings_that_cannot_be_are_refused_with_a_sentence(text, said):
    with pytest.raises(BadInput) as refused:
        read(text)

    assert said in str(refused.value)


def test_whatever_is_pasted_is_read_or_refused():
    """Nothing but our own two errors leaves the reader, whatever pieces come together."""
    pieces = ["3", " min", "14:05", ",", ";", "\n", "21.5", " C", "F", "-", "99:99", "2027-13-01 "]
    for text in map("".join, itertools.product(pieces, repeat=4)):
        try:
            found = read(text)
        except BadInput:
            continue
        assert len(found["degc"]) >= 2


def test_a_log_is_kept_corrected_and_replayed(tmp_path):
    desk = with_molds(tmp_path)
    kept = desk.do("log-thermometer", mold="1", thickness="2 in", readings="14:05 70.7 F; 14:08 75.2 F", contact="14:02", lot="B-001", one_face="yes")  # fmt: skip
    ((key, doc),) = docs_of(desk, "heat")

    assert (kept["kind"], kept["said"]) == ("thermometer-logged", "Thermometer in M-001: 2 readings.")  # fmt: skip
    assert (key, doc["after_min"], doc["degc"]) == (kept["entry"], *TWO)
    assert doc["thickness"] == {"value": "50.8", "unit": "mm", "typed": "2 in"}

    desk.do("correct", entry=kept["seq"], changes={"contact": "14:00"})
    ((_, again),) = docs_of(desk, "heat")
    assert again["after_min"] == ["5", "8"]
    assert desk.book.rebuild() == []
    assert desk.book.verify() == []
    desk.do("correct", entry=kept["seq"], void=True)
    assert list(docs_of(desk, "heat")) == []


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"readings": "3 min 21 C; 6 min 24 C"}, "write batch, mold or spare"),
        ({"batch": "batch 1", "readings": "14:05 21 C; 14:08 24 C"}, "write contact"),
        ({"batch": "batch 1", "readings": "14:05 21 C; 14:08 24 C", "contact": "14:06"}, "before plaster met water at 14:06"),
        ({"mold": 9, "readings": "3 min 21 C; 6 min 24 C"}, "no mold M-009"),
        ({"spare": "T-009", "readings": "3 min 21 C; 6 min 24 C"}, "no spare part T-009"),
    ],
)  # fmt: skip
def test_a_log_that_hangs_in_the_air_is_refused(tmp_path, told, said):
    desk = with_molds(tmp_path)
    refused = desk.refused("log-thermometer", edition="tide-cup", thickness="50 mm", **told)

    assert said in str(refused)


def test_an_old_book_takes_the_new_kind_without_being_worked_out_again(tmp_path):
    """The entries of before say nothing of heat, and nothing of theirs changes."""
    desk = with_molds(tmp_path)
    before = desk.picture()[1]
    desk.do("log-thermometer", edition="tide-cup", batch="batch 1", thickness="50 mm", readings="3 min 21 C; 6 min 24 C")  # fmt: skip
    after = desk.picture()[1]

    assert [row for row in after if row not in before] == [row for row in after if row[0] == "heat"]
    assert [row for row in before if row not in after] == []


@pytest.mark.parametrize(
    "text", ["", "2:60", "24:00", "13:00 pm", "noon", "2027-03-01 14:02", 14, None]
)
def test_a_time_of_day_is_read_or_refused(text):
    with pytest.raises(BadInput, match="time of day"):
        read_clock("contact", text)


def test_a_part_that_is_too_thin_for_a_thermometer_is_refused(tmp_path):
    desk = planned(tmp_path)
    with pytest.raises(StudioError, match="between 5 mm and 400 mm"):
        desk.do("log-thermometer", batch="batch 1", thickness="2 mm", readings="3 min 21 C; 6 min 24 C")  # fmt: skip
