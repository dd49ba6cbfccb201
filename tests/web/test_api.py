"""The book by JSON: one command or a list, each answered as the book answers."""

import json
from collections import Counter
from itertools import product

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from schemathesis import GenerationMode

from tests.ledger.toy import rounds

CASES = rounds(100, 2000)


def send(browser, body, **more):
    return browser.request("POST", "/api/commands", json=body, **more)


def note(number, **more):
    return {"do": "note", "id": f"n-{number}", "text": f"note {number}"} | more


def test_a_command_is_answered_as_the_book_answers(here):
    answer = send(here, note(1))

    assert answer.status_code == 200
    assert answer.json() | {"entry": "", "said": ""} == {
        "ok": True, "id": "n-1", "entry": "", "seq": 2, "kind": "note-made", "said": "",
        "made": [], "late": False, "findings": [],
    }  # fmt: skip


def test_a_refusal_says_why_and_writes_nothing(app, here):
    answer = send(here, {"do": "cast", "id": "c-1", "molds": "7"})

    assert answer.status_code == 422
    assert answer.json()["ok"] is False
    assert any("There is no mold M-007" in one for one in answer.json()["refused"])
    assert app.state.desk.book.head().seq == 1


def test_a_list_is_done_in_order_and_one_refusal_stops_no_other(app, here):
    answer = send(here, [note(1), {"do": "cast", "id": "c", "molds": "7"}, 5, None, note(2)])

    assert [one["ok"] for one in answer.json()] == [True, False, False, False, True]
    assert [one["seq"] for one in answer.json() if one["ok"]] == [2, 3]


def test_a_command_that_comes_again_is_answered_again_and_written_once(app, here):
    first = send(here, note(1, age_s=1)).json()
    again = [send(here, note(1, age_s=age)).json() for age in (2, 90, 43_000)]

    assert again == [first] * 3
    assert app.state.desk.book.head().seq == 2


def test_a_tap_older_than_twelve_hours_is_refused_with_what_to_do(here):
    answer = send(here, note(1, age_s=43_201))

    assert answer.status_code == 422
    assert "12 hours" in answer.json()["refused"][0]


def test_the_device_stands_in_the_entry_unless_somebody_is_named(app, phone):
    send(phone, note(1))
    send(phone, note(2, by="the apprentice"))

    by = [one.by for one in app.state.desk.book.entries(after=1)]
    assert by == ["wheel room phone", "the apprentice"]


@pytest.mark.parametrize(
    ("kind", "status"),
    [("text/plain", 415), ("application/x-www-form-urlencoded", 415), ("", 415),
     ("application/json; charset=utf-8", 200), ("APPLICATION/JSON", 200)],
)  # fmt: skip
def test_only_json_is_read(kind, status, here):
    """A form of another page could send text, so the kind must be said."""
    headers = {"content-type": kind}
    answer = here.request("POST", "/api/commands", content=json.dumps(note(1)), headers=headers)

    assert answer.status_code == status


@pytest.mark.parametrize(
    "body",
    [b"", b"{", b"null", b"5", b'"note"', b"[]", b"\xff\xfe", b"[" * 100_000, b'{"do": NaN}',
     b"[" + b"1," * 300 + b"1]", b'{"do": "note", "id": "1", "text": 1e999}', b"9" * 5000],
    ids=lambda body: repr(body[:20]),
)  # fmt: skip
def test_what_is_no_command_is_refused(body, app, here):
    headers = {"content-type": "application/json"}
    answer = here.request("POST", "/api/commands", content=body, headers=headers)

    assert answer.status_code == 422
    assert answer.json()["refused"]
    assert app.state.desk.book.head().seq == 1


def test_no_value_of_a_field_is_our_fault(here):
    names = ("do", "id", "at", "age_s", "by", "zone", "edition", "text", "more")
    values = (True, 5, 5.5, [], {}, "", " ", "\u0000", "x" * 90, [[1]])
    for number, (name, value) in enumerate(product(names, values)):
        answer = send(here, note(number) | {name: value})

        assert answer.status_code in (200, 422), (name, value)
        assert answer.json()["ok"] is (answer.status_code == 200), (name, value)


def test_a_stranger_reads_why_in_json(stranger):
    answer = send(stranger, note(1))

    assert answer.status_code == 401
    assert answer.json() == {
        "ok": False, "refused": ["This phone is not paired with the studio, or no longer."],
    }  # fmt: skip


def test_the_clock_is_the_studios(here, move_clock):
    before = here.get("/api/clock").json()
    move_clock(3600)
    after = here.get("/api/clock").json()

    assert 3_600_000 <= after["now_ms"] - before["now_ms"] < 3_610_000
    assert after["seq"] == before["seq"] == 1


@pytest.mark.rounds
@pytest.mark.parametrize("mode", [GenerationMode.POSITIVE, GenerationMode.NEGATIVE])
def test_no_generated_command_is_our_fault(mode, app, here):
    """Commands made from the published schema, and ones that break it."""
    operation = schemathesis.openapi.from_dict(app.openapi())["/api/commands"]["POST"]
    counted: Counter[int] = Counter()

    @settings(max_examples=CASES, deadline=None, suppress_health_check=list(HealthCheck))
    @given(operation.as_strategy(generation_mode=mode))
    def send_one(case):
        content = case.body if isinstance(case.body, bytes) else json.dumps(case.body, default=str)
        headers = {"content-type": case.media_type or "application/json"}
        answer = here.request("POST", "/api/commands", content=content, headers=headers)
        assert answer.status_code in (200, 413, 415, 422), (answer.status_code, case.body)
        counted[answer.status_code] += 1

    send_one()
    assert sum(counted.values()) >= CASES
    assert counted[200] > 0 or mode is GenerationMode.NEGATIVE


def test_a_cast_that_another_phone_has_written_down_is_no_fault(here):
    """What was seen is kept twice, what is counted is counted once."""
    here.post("/api/commands", json={"do": "pour", "id": "p", "count": 1})
    step = {"do": "start-step", "edition": "tide-cup", "what": "M-001 cast 1", "step": "fill"}
    cast = {"do": "cast", "molds": "1", "cast": 1, "go_on": True}
    for tap, ids in ((step, "ab"), (cast, "cd")):
        first, second = (here.post("/api/commands", json=tap | {"id": one}) for one in ids)
        assert first.status_code == 200
    assert (second.status_code, second.json()["already"]) == (422, True)
    here.post("/api/commands", json={"do": "cast", "id": "e", "molds": "1", "good": 1, "conditioned": 0, "go_on": True})  # fmt: skip
    for tap in ({"do": "load", "firing": "bisque", "count": 1}, {"do": "unload", "load": 1}):
        first, second = (here.post("/api/commands", json=tap | {"id": f"{tap['do']} {n}"}) for n in (1, 2))  # fmt: skip
        assert (first.status_code, second.json()["already"]) == (200, True)
    other = here.post("/api/commands", json={"do": "cast", "id": "b-2", "molds": "7"})
    assert "already" not in other.json()
