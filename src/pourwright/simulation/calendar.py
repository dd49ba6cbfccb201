"""Working days: which are open, and how far a number of them reaches.

Days are counted from the calendar's first day, which is day 0. Drying, setting
and firing go on over closed days by themselves; hands do not.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import numpy.typing as npt

from pourwright.errors import NotDoable, OutOfRange

Days = npt.NDArray[np.bool_]

LONG_ENOUGH_DAYS = 12 * 366
"""Days that a calendar holds unless it is told otherwise: more than ten years."""
MONDAY_TO_FRIDAY = (0, 1, 2, 3, 4)
DAY_OFF = "day off"


@dataclass(frozen=True, slots=True)
class ClosedDays:
    """A stretch without work, the first and the last day included."""

    first: date
    last: date
    label: str = DAY_OFF


@dataclass(frozen=True, slots=True)
class ClosedEveryYear:
    """A stretch without work every year; may run over the new year.

    ``first`` and ``last`` are (month, day), both included. The 29th of February
    counts in the years that have one.
    """

    first: tuple[int, int]
    last: tuple[int, int]
    label: str = DAY_OFF


Closed = ClosedDays | ClosedEveryYear


@dataclass(frozen=True, slots=True, eq=False)
class Calendar:
    """The days of a studio, open or closed.

    Made by `build_calendar`.

    Parameters
    ----------
    first : date
        Day 0.
    working : array of bool, one for each day
        Whether hands work on it.
    labels : mapping of date to str
        Why a day is closed, where there is more to say than its weekday.
    open_days : array of int
        The numbers of the working days, rising. [days]
    """

    first: date
    working: Days
    labels: Mapping[date, str]
    open_days: npt.NDArray[np.int64]

    @property
    def last(self) -> date:
        """The last day it holds."""
        return self.day(len(self.working) - 1)

    def day(self, number: int) -> date:
        """Return the day that is so many days after the first.

        Raises
        ------
        NotDoable
            If the calendar does not reach that far.
        """
        if not 0 <= number < len(self.working):
            raise NotDoable(self._too_far(f"day {number}"))
        return self.first + timedelta(days=int(number))

    def number(self, day: date) -> int:
        """Return how many days a day is after the first. [days]

        Raises
        ------
        NotDoable
            If the calendar does not hold the day.
        """
        number = (day - self.first).days
        if not 0 <= number < len(self.working):
            raise NotDoable(self._too_far(day.isoformat()))
        return number

    def is_open(self, day: date) -> bool:
        """Whether hands work on a day."""
        return bool(self.working[self.number(day)])

    def label(self, day: date) -> str:
        """Return why a day is closed; empty for an open day and a plain weekend."""
        return "" if self.is_open(day) else self.labels.get(day, "")

    def after(self, day: date, working_days: int) -> date:
        """Return the nth working day after a day.

        Parameters
        ----------
        day : date
            Open or closed; it does not count itself.
        working_days : int
            How many; 0 gives the day itself or, if it is closed, the next
            that is open. [days]

        Returns
        -------
        date
            A working day.

        Raises
        ------
        OutOfRange
            If the number is negative.
        NotDoable
            If the calendar does not reach that far.

        Examples
        --------
        >>> calendar = build_calendar(date(2026, 12, 1), 60, closed=[ClosedDays(date(2026, 12, 25), date(2027, 1, 1))])
        >>> calendar.after(date(2026, 12, 18), 5)
        datetime.date(2027, 1, 4)
        """
        _whole(working_days)
        at = self._open_before(self.number(day) + (working_days > 0))
        return self._open_day(
            at + max(working_days - 1, 0), f"{working_days} working days after {day}"
        )

    def before(self, day: date, working_days: int) -> date:
        """Return the nth working day before a day.

        Parameters
        ----------
        day : date
            Open or closed; it does not count itself.
        working_days : int
            How many; 0 gives the day itself or, if it is closed, the last
            one before that was open. [days]

        Returns
        -------
        date
            A working day.

        Raises
        ------
        OutOfRange
            If the number is negative.
        NotDoable
            If that is before the calendar's first day.
        """
        _whole(working_days)
        at = self._open_before(self.number(day) + (working_days == 0))
        return self._open_day(
            at - max(working_days, 1), f"{working_days} working days before {day}"
        )

    def count(self, first: date, end: date) -> int:
        """Return the working days from ``first`` up to, but without, ``end``. [days]

        Raises
        ------
        NotDoable
            If the calendar does not hold the days.
        """
        if first == end:
            return 0
        last = self.number(end - timedelta(days=1))
        return self._open_before(last + 1) - self._open_before(self.number(first))

    def _open_before(self, number: int) -> int:
        return int(np.searchsorted(self.open_days, number))

    def _open_day(self, at: int, what: str) -> date:
        if not 0 <= at < len(self.open_days):
            raise NotDoable(self._too_far(what))
        return self.day(int(self.open_days[at]))

    def _too_far(self, what: str) -> str:
        last = self.first + timedelta(days=len(self.working) - 1)
        return f"The calendar goes from {self.first} to {last}; {what} is not in it."


def _whole(working_days: int) -> None:
    if working_days < 0:
        raise OutOfRange("the number of working days", working_days, "", "0 or more")


def build_calendar(
    first: date,
    days: int = LONG_ENOUGH_DAYS,
    *,
    weekdays: Collection[int] = MONDAY_TO_FRIDAY,
    holidays: Mapping[date, str] | None = None,
    closed: Iterable[Closed] = (),
) -> Calendar:
    """Return the calendar of a studio.

    Parameters
    ----------
    first : date
        Its first day.
    days : int
        How many days it holds; fewer where the calendar of the computer itself
        ends, in the year 9999. [days]
    weekdays : collection of int
        The weekdays that are worked, Monday being 0.
    holidays : mapping of date to str, optional
        Public holidays and their names.
    closed : iterable of ClosedDays or ClosedEveryYear
        The studio's own days off.

    Returns
    -------
    Calendar
        Closed on the other weekdays, on holidays and on days off.

    Raises
    ------
    OutOfRange
        If it holds no day or a weekday is none.
    NotDoable
        If no day in it is worked.

    Examples
    --------
    >>> calendar = build_calendar(date(2031, 1, 1), 31, holidays={date(2031, 1, 1): "New Year's Day"})
    >>> calendar.count(date(2031, 1, 1), date(2031, 2, 1)), calendar.label(date(2031, 1, 1))
    (22, "New Year's Day")
    """
    if days < 1:
        raise OutOfRange("the length of a calendar", days, "days", "1 or more")
    for weekday in weekdays:
        if weekday not in range(7):
            raise OutOfRange("a weekday", weekday, "", "between 0 (Monday) and 6 (Sunday)")
    days = min(days, (date.max - first).days + 1)
    dates = np.datetime64(first, "D") + np.arange(days)
    working: Days = np.isin((first.weekday() + np.arange(days)) % 7, list(weekdays))
    labels: dict[date, str] = {}
    for stretch in closed:
        off = _within(dates, stretch)
        working &= ~off
        labels.update(dict.fromkeys(dates[off].tolist(), stretch.label))
    for day, name in sorted((holidays or {}).items()):
        if 0 <= (day - first).days < days:
            working[(day - first).days] = False
            labels[day] = name
    if not working.any():
        raise NotDoable(
            f"No day from {first} to {first + timedelta(days=days - 1)} is worked: "
            "give the studio some working days, or fewer days off."
        )
    return Calendar(first, working, labels, np.flatnonzero(working))


def _within(dates: npt.NDArray[np.datetime64], closed: Closed) -> Days:
    """Return which dates lie in a stretch."""
    if isinstance(closed, ClosedDays):
        within: Days = (dates >= np.datetime64(closed.first)) & (
            dates <= np.datetime64(closed.last)
        )
        return within
    months = dates.astype("datetime64[M]")
    # As 1224 for December 24; the 29th of February needs no rule of its own.
    month_days = (months.astype(int) % 12 + 1) * 100 + (dates - months).astype(int) + 1
    low, high = (100 * month + day for month, day in (closed.first, closed.last))
    from_low, to_high = month_days >= low, month_days <= high
    return np.asarray(from_low & to_high if low <= high else from_low | to_high)
