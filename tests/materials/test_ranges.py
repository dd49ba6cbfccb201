"""Numbers are refused in one way, arrays like single ones."""

from __future__ import annotations

import numpy as np
import pytest

from pourwright.errors import OutOfRange
from pourwright.materials.ranges import plain, require, require_between, require_more_than


def test_the_first_offender_of_an_array_is_shown() -> None:
    with pytest.raises(OutOfRange, match="wall is -3 mm; it must be more than 0 mm"):
        require_more_than("wall", np.array([2.0, -3.0, -4.0]), "mm")


@pytest.mark.parametrize("value", [np.nan, np.array([1.0, np.nan])])
def test_nan_never_passes_even_where_the_caller_says_so(value: object) -> None:
    with pytest.raises(OutOfRange, match="wall is nan mm"):
        require("wall", value, "mm", "more than 0", True)  # type: ignore[arg-type]


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf, 0.0, -1.0])
def test_more_than_refuses(value: float) -> None:
    with pytest.raises(OutOfRange):
        require_more_than("wall", value, "mm")


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf, 0.99, 2.01])
def test_between_refuses(value: float) -> None:
    with pytest.raises(OutOfRange, match=r"it must be between 1 and 2 mm\. Count again\."):
        require_between("wall", value, "mm", 1.0, 2.0, "Count again.")


@pytest.mark.parametrize("value", [1.0, 2.0, np.array([1.0, 1.5, 2.0])])
def test_between_allows_its_ends(value: float) -> None:
    require_between("wall", value, "mm", 1.0, 2.0)


def test_more_than_counts_from_its_own_limit() -> None:
    require_more_than("wall", 2.1, "mm", 2.0)
    with pytest.raises(OutOfRange, match="more than 2 mm"):
        require_more_than("wall", 2.0, "mm", 2.0)


def test_plain_gives_a_float_for_a_number_and_an_array_for_many() -> None:
    assert type(plain(np.float64(2.0))) is float
    assert isinstance(plain([1.0, 2.0]), np.ndarray)


def test_a_refusal_without_a_hint_ends_with_what_would_be_right() -> None:
    for law, words in (
        (lambda: require("wall", 0.0, "mm", "more than 0", False), "more than 0 mm."),
        (lambda: require_more_than("wall", 0.0, "mm"), "more than 0 mm."),
        (lambda: require_between("wall", 0.0, "mm", 1.0, 2.0), "between 1 and 2 mm."),
    ):
        with pytest.raises(OutOfRange) as told:
            law()
        assert str(told.value) == f"wall is 0 mm; it must be {words}"


def test_whole_numbers_and_lists_of_yes_and_no_are_taken() -> None:
    require("wall", np.array([1, 2]), "mm", "any", [1, 1])
    with pytest.raises(OutOfRange, match="wall is 2 mm"):
        require("wall", [1, 2], "mm", "odd", [1, 0])  # type: ignore[arg-type]
    assert type(plain(3)) is float
    require_between("wall", [1, 2], "mm", 1, 2)  # type: ignore[arg-type]
    with pytest.raises(OutOfRange):
        require_more_than("wall", [1, 0], "mm")  # type: ignore[arg-type]
