"""The table of kinds: whole, of one form, and its own examples can be written."""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime

import pytest

from pourwright.errors import BadInput
from pourwright.ledger.commands.moments import read_at
from pourwright.ledger.commands.reading import read_fields, read_value
from pourwright.ledger.findings import FINDINGS
from pourwright.ledger.kinds.fields import ENVELOPE
from pourwright.ledger.kinds.table import BY_KIND, BY_VERB, KINDS, kind_of
from pourwright.ledger.labels import read_selection
from pourwright.ledger.rules.table import RULES
from pourwright.ledger.state.apply import APPLY

NOW = datetime(2027, 3, 1, 12, tzinfo=UTC)


def test_kinds_are_nouns_in_the_past_tense_and_verbs_are_unique():
    past = re.compile(r"[a-z]+-(?:[a-z]+ed|made|sold|given|kept|lost|broken|read)")

    assert [one.kind for one in KINDS if not past.fullmatch(one.kind)] == []
    assert len(BY_VERB) == len(BY_KIND) == len(KINDS)


def test_every_kind_has_rules_and_changes_the_state():
    correction = {"entry-corrected"}

    assert set(APPLY) == set(RULES) == set(BY_KIND) - correction
    assert set(FINDINGS) <= set(BY_KIND)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.verb)
def test_the_example_of_a_kind_can_be_read(kind):
    body = read_fields(kind, kind.example)

    assert kind.example["do"] == kind.verb
    assert set(kind.example) - {"do", "id", "edition"} == set(body) - {"edition"}
    json.dumps(body, allow_nan=False)
    assert "." not in re.sub(r'"[^"]*"', "", json.dumps(body)), "a float is in it"


def test_no_field_is_called_as_one_of_every_command():
    usual = {one.name for one in ENVELOPE}

    assert [one for kind in KINDS for one in kind.fields if one.name in usual] == []


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("M-007", ["M-007"]), ("7", ["M-007"]), (7, ["M-007"]), ("m 7", ["M-007"]),
        ("3, 7-9", ["M-003", "M-007", "M-008", "M-009"]), ("3 and 7", ["M-003", "M-007"]),
        ([3, "7-8"], ["M-003", "M-007", "M-008"]), ("7, 7", ["M-007"]), ("M-1000", ["M-1000"]),
        ("M-007 to M-009", ["M-007", "M-008", "M-009"]),
    ],
)  # fmt: skip
def test_molds_are_named_as_people_name_them(typed, meant):
    assert list(read_selection(typed, "M", "molds", all_allowed=True).some) == meant


@pytest.mark.parametrize(
    ("typed", "but"),
    [("all", []), ("All", []), ("all except 3 and 7", ["M-003", "M-007"]), ("all but 2-4", ["M-002", "M-003", "M-004"]),
     ("all, except M-7", ["M-007"])],
)  # fmt: skip
def test_all_may_leave_some_out(typed, but):
    found = read_selection(typed, "M", "molds", all_allowed=True)

    assert found.is_all
    assert list(found.some) == but


@pytest.mark.parametrize(
    "typed",
    [{"stuck": 2, "warp": 1}, "2 stuck, 1 warp", "2 stuck and 1 Warp", {"stuck": "2", "warp": 1}],
)
def test_causes_are_told_as_people_tell_them(typed):
    field = BY_VERB["cast"].field("lost")

    assert read_value(field, typed) == {"stuck": 2, "warp": 1}


def test_a_quantity_keeps_the_text_that_was_typed():
    mass = BY_VERB["weigh"].field("mass")

    # a pound is 0.45359237 kg exactly (NIST Handbook 44, appendix C)
    assert read_value(mass, "7 lb 8 oz") == {
        "value": "3.401943",
        "unit": "kg",
        "typed": "7 lb 8 oz",
    }
    assert read_value(BY_VERB["sell"].field("price"), "420.00 DKK") == {
        "value": "420", "currency": "DKK", "typed": "420.00 DKK",
    }  # fmt: skip


def test_an_unknown_verb_is_told_the_nearest():
    with pytest.raises(BadInput, match="Did you mean count-casts"):
        kind_of("count-cast")


def test_a_time_without_an_offset_is_read_in_the_zone():
    at = {"at": "2027-03-01T09:30"}

    assert read_at(at, NOW, "Europe/Copenhagen") == "2027-03-01T08:30:00Z"
    assert read_at({"at": "2027-03-01T09:30:00+05:00"}, NOW, "UTC") == "2027-03-01T04:30:00Z"


def test_today_is_the_studios_today():
    late = datetime(2027, 3, 1, 23, 30, tzinfo=UTC)

    assert read_at({"at": "2027-03-02"}, late, "Asia/Tokyo") == "2027-03-02"
    with pytest.raises(BadInput, match="to today, 2027-03-01"):
        read_at({"at": "2027-03-02"}, late, "America/New_York")
