"""Casts that molds gave, against a general-purpose estimate of survival."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import CensoredData, ecdf

from pourwright.errors import OutOfRange
from pourwright.materials.plaster.mold_life import (
    TOLD_BY_OTHERS,
    casts_of_a_mold,
    mold_survival,
)

CASTS = st.lists(st.integers(1, 120), min_size=1, max_size=30)


@given(CASTS, st.lists(st.integers(1, 120), max_size=30))
def test_survival_agrees_with_the_general_library(retired: list[int], in_use: list[int]) -> None:
    """SciPy's ecdf of right-censored data, an independent product-limit estimate."""
    ours = mold_survival(retired, in_use)
    theirs = ecdf(CensoredData(uncensored=retired, right=in_use)).sf

    assert ours.holding == pytest.approx(theirs.evaluate(ours.casts), abs=1e-12)
    assert np.all(np.diff(ours.holding) < 0)
    assert np.all((ours.holding >= 0) & (ours.holding < 1))


def test_without_molds_in_use_the_error_is_the_binomial_one() -> None:
    """Greenwood's formula comes down to sqrt(S (1 - S)/n) when nothing is cut short."""
    held = mold_survival([10, 20, 30, 40])

    expected = np.sqrt(held.holding * (1 - held.holding) / 4)
    assert held.standard_error == pytest.approx(expected)


def test_molds_that_still_hold_raise_the_share() -> None:
    without = mold_survival([20, 30, 40])
    with_them = mold_survival([20, 30, 40], [35, 50, 60])

    assert np.all(with_them.holding > without.holding)


def test_nine_five_and_one_in_ten_reach_the_range() -> None:
    retired = list(range(1, 101))
    casts = casts_of_a_mold(retired)

    assert (casts.low, casts.likely, casts.high) == (10.0, 50.0, 90.0)
    assert casts.source == "100 retired molds and 0 in use"


def test_before_any_mold_was_retired_others_are_asked() -> None:
    assert casts_of_a_mold([], [10, 20]) is TOLD_BY_OTHERS
    assert "no source" in TOLD_BY_OTHERS.source


def test_a_share_that_was_never_reached_is_the_most_that_was_seen() -> None:
    casts = casts_of_a_mold([20], [50, 60, 70])

    assert casts.low == 20.0
    assert casts.likely == casts.high == 70.0


@pytest.mark.parametrize(
    ("retired", "in_use", "match"),
    [
        ([], [], "retired molds"),
        ([0], [], "casts of a retired mold"),
        ([np.nan], [], "casts of a retired mold"),
        ([np.inf], [], "casts of a retired mold"),
        ([10], [-1], "casts of a mold in use"),
        ([10], [np.nan], "casts of a mold in use"),
    ],
)
def test_impossible_molds_are_refused(
    retired: list[float], in_use: list[float], match: str
) -> None:
    with pytest.raises(OutOfRange, match=match):
        mold_survival(retired, in_use)


def test_others_tell_fifteen_thirty_and_sixty() -> None:
    assert (TOLD_BY_OTHERS.low, TOLD_BY_OTHERS.likely, TOLD_BY_OTHERS.high) == (15.0, 30.0, 60.0)


def test_the_last_mold_leaves_none_and_no_error() -> None:
    held = mold_survival([10, 20, 30], [5])

    assert held.holding[-1] == 0.0
    assert held.standard_error[-1] == 0.0
    assert np.all(np.isfinite(held.standard_error))
    assert np.all(held.standard_error[:-1] > 0)


def test_nine_in_ten_is_reached_at_the_tenth_of_a_hundred() -> None:
    assert casts_of_a_mold(range(1, 1001)).high == 900.0
    assert casts_of_a_mold(range(1, 1001)).low == 100.0
