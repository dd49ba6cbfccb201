"""The days along a chart: its reach, and which of them are named."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.report.charts.days import LEAST_DAYS, MONTHS, reach, short_day, ticks

DAYS = st.dates(date(1990, 1, 1), date(2090, 1, 1))


@given(st.lists(DAYS, min_size=1, max_size=9), st.none() | DAYS)
def test_every_day_is_within_reach(days, far):
    first, last = reach(days, far)

    assert first <= min(days)
    assert max(days) <= last
    assert (last - first).days >= LEAST_DAYS


@given(st.lists(DAYS, min_size=2, max_size=9), DAYS)
def test_a_far_day_at_most_triples_the_chart(days, far):
    """It is taken in where it lies within one more width on either side."""
    span = max((max(days) - min(days)).days, LEAST_DAYS)
    first, last = reach(days, far)

    assert (last - first).days <= 2.2 * span + 2
    if min(days) - timedelta(days=span) <= far <= max(days) + timedelta(days=span):
        assert first < far < last


@given(DAYS, st.integers(LEAST_DAYS, 20_000), st.floats(3, 14))
def test_names_fit_and_say_where_they_stand(first, days, room):
    last = first + timedelta(days=days)
    named = ticks(first, last, room)

    assert all(first <= tick.day <= last for tick in named)
    assert len(named) <= room + 1
    assert [tick.day for tick in named] == sorted({tick.day for tick in named})
    for tick in named:
        assert tick.label in (short_day(tick.day), MONTHS[tick.day.month - 1][:3])


@given(DAYS, st.integers(LEAST_DAYS, 20_000), st.floats(4, 14))
def test_the_year_is_said_once_and_where_it_changes(first, days, room):
    named = ticks(first, first + timedelta(days=days), room)
    years = [tick.year for tick in named if tick.year]

    assert years == [str(year) for year in sorted({tick.day.year for tick in named})]


@pytest.mark.parametrize(
    ("days", "room", "labels"),
    [
        (5, 9, ["26 Feb", "27 Feb", "28 Feb", "29 Feb", "1 Mar", "2 Mar"]),  # 2036 is a leap year
        (28, 6, ["3 Mar", "10 Mar", "17 Mar", "24 Mar"]),  # Mondays
        (120, 6, ["Mar", "Apr", "May", "Jun"]),
        (300, 5, ["Mar", "May", "Jul", "Sep", "Nov"]),
    ],
)
def test_names_are_as_fine_as_has_room(days, room, labels):
    """Calendar: 3 March 2036 is a Monday (ISO 8601 weeks; datetime agrees: weekday 0)."""
    first = date(2036, 2, 26)

    assert date(2036, 3, 3).weekday() == 0
    assert [tick.label for tick in ticks(first, first + timedelta(days=days), room)] == labels
