"""Working days, held against NumPy's business days and counted by hand."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pourwright.errors import NotDoable, OutOfRange
from pourwright.simulation.calendar import (
    LONG_ENOUGH_DAYS,
    Calendar,
    ClosedDays,
    ClosedEveryYear,
    build_calendar,
)
from tests.sources.public_holidays import published

FIRST = date(2026, 1, 1)
ENGLAND = dict.fromkeys(published("England and Wales 2026"), "bank holiday")
# UK government, UK bank holidays, England and Wales: the first of 2027.
ENGLAND[date(2027, 1, 1)] = "New Year's Day"

calendars = st.builds(
    build_calendar,
    first=st.dates(date(2024, 1, 1), date(2037, 1, 1)),
    days=st.integers(200, 900),
    weekdays=st.sets(st.integers(0, 6), min_size=1),
    holidays=st.dictionaries(
        st.dates(date(2024, 1, 1), date(2039, 1, 1)), st.just("holiday"), max_size=60
    ),
    closed=st.lists(
        st.builds(
            ClosedDays,
            first=st.just(date(2026, 7, 1)),
            last=st.dates(date(2026, 7, 1), date(2026, 8, 30)),
        ),
        max_size=1,
    ),
)


def as_busday(calendar: Calendar) -> np.busdaycalendar:
    """Return NumPy's calendar of the same days: every day a weekday, the closed ones holidays."""
    days = np.datetime64(calendar.first, "D") + np.arange(len(calendar.working))
    return np.busdaycalendar("1111111", days[~calendar.working])


@given(calendars, st.data())
@settings(max_examples=150)
def test_working_days_agree_with_numpys_business_days(
    calendar: Calendar, data: st.DataObject
) -> None:
    """
    NumPy's busday functions, from the same closed days.

    Ours counts the nth working day strictly after a closed day; NumPy does when the
    closed day rolls back to the last open one.
    """
    busdays = as_busday(calendar)
    number = data.draw(st.integers(0, len(calendar.working) - 1))
    day = calendar.day(number)
    ahead = data.draw(st.integers(0, 25))
    later = data.draw(st.integers(number, len(calendar.working)))
    end = calendar.first + timedelta(days=later)

    assert calendar.is_open(day) == np.is_busday(day, busdaycal=busdays)
    assert calendar.count(day, end) == np.busday_count(day, end, busdaycal=busdays)
    roll = "backward" if ahead else "forward"
    wanted = np.busday_offset(day, ahead, roll=roll, busdaycal=busdays).item()
    if wanted > calendar.last:
        with pytest.raises(NotDoable):
            calendar.after(day, ahead)
    elif calendar.first <= wanted:
        assert calendar.after(day, ahead) == wanted
    roll = "forward" if ahead else "backward"
    wanted = np.busday_offset(day, -ahead, roll=roll, busdaycal=busdays).item()
    if wanted < calendar.first:
        with pytest.raises(NotDoable):
            calendar.before(day, ahead)
    elif wanted <= calendar.last:
        assert calendar.before(day, ahead) == wanted


@given(calendars, st.data())
@settings(max_examples=60)
def test_forth_and_back_again(calendar: Calendar, data: st.DataObject) -> None:
    """From a working day n ahead and n back is the day itself, and n lie between."""
    at = data.draw(st.integers(0, len(calendar.open_days) - 1))
    ahead = data.draw(st.integers(0, len(calendar.open_days) - 1 - at))
    day = calendar.day(int(calendar.open_days[at]))

    later = calendar.after(day, ahead)

    assert calendar.before(later, ahead) == day
    assert calendar.count(day, later) == ahead
    assert calendar.is_open(later)


def test_england_works_253_days_in_2026() -> None:
    """UK government, UK bank holidays: 2026 has 261 weekdays, eight of them bank holidays."""
    calendar = build_calendar(FIRST, 800, holidays=ENGLAND)

    assert calendar.count(FIRST, date(2027, 1, 1)) == 253


def test_ten_working_days_from_the_18th_of_december_2026_end_on_the_6th_of_january() -> None:
    """UK government, UK bank holidays: December 25 and 28, 2026, and January 1, 2027."""
    calendar = build_calendar(FIRST, 800, holidays=ENGLAND)

    assert calendar.after(date(2026, 12, 18), 10) == date(2027, 1, 6)
    assert calendar.before(date(2027, 1, 6), 10) == date(2026, 12, 18)


def test_the_united_states_work_250_days_in_2026() -> None:
    """US Office of Personnel Management: 261 weekdays, eleven federal holidays on them."""
    holidays = dict.fromkeys(published("United States 2026"), "federal holiday")

    assert build_calendar(FIRST, 400, holidays=holidays).count(FIRST, date(2027, 1, 1)) == 250


def test_two_hundred_casts_take_one_mold_forty_weeks() -> None:
    """One mold cast once a day, five days a week. Common practice, no source."""
    monday = date(2026, 1, 5)
    calendar = build_calendar(monday)

    last_cast = calendar.after(monday, 200 - 1)

    assert (last_cast - monday).days == 39 * 7 + 4  # the Friday of week 40


@pytest.mark.parametrize("year", [2026, 2027, 2028, 2031, 2036])
def test_days_off_over_the_new_year_come_every_year(year: int) -> None:
    """Ten days from December 24 to January 2, in whatever year one looks."""
    calendar = build_calendar(
        FIRST, weekdays=range(7), closed=[ClosedEveryYear((12, 24), (1, 2), "winter break")]
    )

    assert calendar.count(date(year, 12, 20), date(year + 1, 1, 8)) == 19 - 10
    assert (
        calendar.label(date(year, 12, 24)) == calendar.label(date(year + 1, 1, 2)) == "winter break"
    )
    assert calendar.is_open(date(year, 12, 23))
    assert calendar.is_open(date(year + 1, 1, 3))


@pytest.mark.parametrize(
    ("first", "last", "closed_2027", "closed_2028"),
    [
        ((2, 29), (2, 29), 0, 1),
        ((2, 27), (2, 29), 2, 3),
        ((2, 28), (3, 1), 2, 3),
        ((2, 29), (3, 2), 2, 3),
    ],
)
def test_the_29th_of_february_counts_in_the_years_that_have_one(
    first: tuple[int, int], last: tuple[int, int], closed_2027: int, closed_2028: int
) -> None:
    """2028 is a leap year, 2027 is none (Gregorian rule)."""
    calendar = build_calendar(FIRST, weekdays=range(7), closed=[ClosedEveryYear(first, last)])

    assert calendar.count(date(2027, 1, 1), date(2028, 1, 1)) == 365 - closed_2027
    assert calendar.count(date(2028, 1, 1), date(2029, 1, 1)) == 366 - closed_2028


@given(
    st.tuples(st.integers(1, 12), st.integers(1, 28)),
    st.tuples(st.integers(1, 12), st.integers(1, 28)),
    st.integers(2026, 2037),
)
@settings(max_examples=80)
def test_yearly_days_off_agree_with_going_through_the_year(
    first: tuple[int, int], last: tuple[int, int], year: int
) -> None:
    """Day by day from the first to the last, into the next year if the last comes earlier."""
    day = date(year, *first)
    end = date(year + (last < first), *last)
    length = (end - day).days + 1
    assume(length < 365 and end < date(2037, 12, 31))

    calendar = build_calendar(FIRST, weekdays=range(7), closed=[ClosedEveryYear(first, last)])

    assert calendar.count(day, end + timedelta(days=1)) == 0
    assert not any(calendar.is_open(day + timedelta(days=n)) for n in range(length))
    after = end + timedelta(days=1)
    begins_again = date(after.year + ((after.month, after.day) > first), *first)
    if begins_again <= calendar.last:
        assert calendar.count(after, begins_again) == (begins_again - after).days


def test_a_stretch_off_is_closed_from_its_first_to_its_last_day() -> None:
    """Two weeks of August 2027, a Monday to a Friday: ten working days less."""
    off = ClosedDays(date(2027, 8, 2), date(2027, 8, 13), "summer")
    calendar = build_calendar(FIRST, closed=[off])

    assert calendar.count(date(2027, 8, 1), date(2027, 9, 1)) == 22 - 10
    assert calendar.label(date(2027, 8, 2)) == calendar.label(date(2027, 8, 13)) == "summer"
    assert calendar.label(date(2027, 8, 16)) == ""


def test_a_holiday_in_the_days_off_keeps_its_own_name() -> None:
    """The name says more than that the studio is closed."""
    calendar = build_calendar(FIRST, holidays=ENGLAND, closed=[ClosedEveryYear((12, 24), (1, 2))])

    assert calendar.label(date(2026, 12, 25)) == "bank holiday"
    assert calendar.label(date(2026, 12, 24)) == "day off"
    assert calendar.label(date(2026, 12, 22)) == ""


def test_a_calendar_holds_more_than_ten_years() -> None:
    """Whatever day it begins on."""
    calendar = build_calendar(FIRST)

    assert len(calendar.working) == LONG_ENOUGH_DAYS
    assert calendar.last > date(2036, 12, 31)


def test_a_calendar_ends_where_dates_end() -> None:
    """A start in the year 9999 is odd, not a crash."""
    calendar = build_calendar(date(9999, 12, 1))

    assert calendar.last == date(9999, 12, 31)
    assert calendar.count(date(9999, 12, 1), date(9999, 12, 31)) == 22
    with pytest.raises(NotDoable):
        calendar.after(date(9999, 12, 31), 5)


def test_a_day_before_or_beyond_the_calendar_is_said_so() -> None:
    """The sentence holds both ends."""
    calendar = build_calendar(FIRST, 31)

    with pytest.raises(NotDoable, match="from 2026-01-01 to 2026-01-31; 2026-02-01 is not in it"):
        calendar.is_open(date(2026, 2, 1))
    with pytest.raises(NotDoable, match="40 working days after 2026-01-05"):
        calendar.after(date(2026, 1, 5), 40)
    with pytest.raises(NotDoable, match="3 working days before 2026-01-05"):
        calendar.before(date(2026, 1, 5), 3)


def test_a_studio_that_never_works_is_told_so() -> None:
    """All days off, or no weekday."""
    with pytest.raises(NotDoable, match="some working days"):
        build_calendar(FIRST, 31, closed=[ClosedEveryYear((1, 1), (12, 31))])
    with pytest.raises(NotDoable, match="some working days"):
        build_calendar(FIRST, 31, weekdays=())


def test_numbers_that_cannot_be_are_refused() -> None:
    """Nothing but our own errors leaves the module."""
    calendar = build_calendar(FIRST, 31)

    for refused in (
        lambda: build_calendar(FIRST, 0),
        lambda: build_calendar(FIRST, 31, weekdays=(7,)),
        lambda: calendar.after(FIRST, -1),
        lambda: calendar.before(FIRST, -1),
    ):
        with pytest.raises(OutOfRange):
            refused()
