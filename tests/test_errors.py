"""Every error of ours reads as a sentence, and carries what it says."""

import inspect

import pytest

from pourwright import errors
from pourwright.errors import (
    BadInput,
    Complaint,
    NotDoable,
    OutOfRange,
    StudioError,
    as_written,
)


def test_out_of_range_says_value_range_and_hint():
    error = OutOfRange(
        "slip weight", 180.0, "g/l", "between 1000 and 2600", "Was it weighed in a 100 ml cup?"
    )

    assert str(error) == (
        "slip weight is 180 g/l; it must be between 1000 and 2600 g/l. Was it weighed in a 100 ml cup?"
    )
    assert (error.what, error.value, error.unit) == ("slip weight", 180.0, "g/l")
    assert (error.allowed, error.hint) == (
        "between 1000 and 2600",
        "Was it weighed in a 100 ml cup?",
    )
    assert isinstance(error, ValueError)


def test_out_of_range_without_a_unit_or_a_hint_has_no_loose_ends():
    assert (
        str(OutOfRange("casts a day", 0, "", "at least 1"))
        == "casts a day is 0; it must be at least 1."
    )


def test_bad_input_tells_everything_one_a_line():
    error = BadInput(
        [
            Complaint(
                "mold.lief",
                "15",
                "there is no such field",
                "Did you mean mold.life?",
                "edition.toml",
            ),
            Complaint("edition.pieces", None, "write pieces = 48"),
        ]
    )

    assert str(error).split("\n") == [
        "edition.toml: mold.lief is 15; there is no such field. Did you mean mold.life?",
        "edition.pieces is missing; write pieces = 48.",
    ]
    assert [one.path for one in error.complaints] == ["mold.lief", "edition.pieces"]


def test_a_complaint_can_be_told_where_it_stands():
    bare = BadInput.one("", '"6 lb"', "that is a mass").complaints[0]

    assert bare.sentence() == 'the value is "6 lb"; that is a mass.'
    assert bare.at("casting.fill", "edition.toml").sentence() == (
        'edition.toml: casting.fill is "6 lb"; that is a mass.'
    )


def test_the_family_is_one_and_its_drawing_is_whole():
    family = [
        one for _, one in inspect.getmembers(errors, inspect.isclass) if issubclass(one, Exception)
    ]

    assert all(issubclass(one, StudioError) for one in family)
    assert {OutOfRange, BadInput, NotDoable} < set(family)
    assert all(one.__name__ in (errors.__doc__ or "") for one in family)


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        ("2,5 l", '"2,5 l"'),
        (7, "7"),
        (0.5, "0.5"),
        (True, "true"),
        ({"a": 1}, "a table"),
        ([1, "a", [2]], '[1, "a", [...]]'),
        ([1, 2, 3, 4, 5], "[1, 2, 3, 4, ...]"),
        ("a\x1b[31m\nb", '"a?[31m?b"'),
        (10**30, "a number of more than 18 digits"),
    ],
)
def test_a_value_is_shown_as_it_was_written_on_one_line(value, shown):
    assert as_written(value) == shown


def test_a_long_value_is_cut():
    assert len(as_written("x" * 10_000)) < 70
