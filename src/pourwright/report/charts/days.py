"""The days along a chart: how far it reaches, and which of them are named."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from pourwright.reading import MONTHS

LEAST_DAYS = 14
"""A shorter range is widened to this, so that one day is still a chart. [days]"""
STEPS = (1, 2, 3, 6, 12, 24, 60, 120, 240, 600)
"""Months from one name to the next. [months]"""
STRETCH = 1.0
"""How much wider than the rest a range may get for one far date. [-]"""


@dataclass(frozen=True, slots=True)
class Tick:
    """A day that is named: its label, and the year where it must be said."""

    day: date
    label: str
    year: str


def short_day(day: date, *, month_first: bool = False) -> str:
    """Return a day without its year.

    Examples
    --------
    >>> short_day(date(2036, 8, 5)), short_day(date(2036, 8, 5), month_first=True)
    ('5 Aug', 'Aug 5')
    """
    month = MONTHS[day.month - 1][:3]
    return f"{month} {day.day}" if month_first else f"{day.day} {month}"


def reach(
    days: Iterable[date], far: date | None = None, *, margin: float = 0.0
) -> tuple[date, date]:
    """Return the first and last day of a chart.

    Parameters
    ----------
    days : iterable of date
        Days that must be on it; at least one.
    far : date, optional
        A day that is taken in unless it lies so far off that the rest would get
        small, such as a deadline.
    margin : float
        What is kept free on either side of the days, as a share of them. [-]

    Returns
    -------
    tuple of date
        First and last day, at least two weeks apart; a far day has a few beside it.

    Examples
    --------
    >>> reach([date(2036, 8, 1), date(2036, 8, 31)], date(2036, 9, 9))
    (datetime.date(2036, 8, 1), datetime.date(2036, 9, 10))
    """
    first, last = min(all_days := list(days)), max(all_days)
    free = timedelta(days=math.ceil((last - first).days * margin))
    first, last = first - free, last + free
    most = timedelta(days=max((last - first).days, LEAST_DAYS) * STRETCH)
    if far is not None and first - most <= far <= last + most:
        beside = timedelta(days=max(1, (last - first).days // 20))
        first, last = min(first, far - beside), max(last, far + beside)
    short_by = LEAST_DAYS - (last - first).days
    if short_by > 0:
        first -= timedelta(days=short_by // 2)
        last += timedelta(days=short_by - short_by // 2)
    return first, last


def ticks(first: date, last: date, room: float, *, month_first: bool = False) -> list[Tick]:
    """Return the days to be named between two days, where so many labels have room.

    Days, weeks, months or years, as fine as has room; the year is said once, and again
    when it changes.

    Examples
    --------
    >>> [tick.label for tick in ticks(date(2036, 8, 5), date(2036, 11, 2), 6)]
    ['Sep', 'Oct', 'Nov']
    """
    span = (last - first).days
    if span / 7 + 1 <= room:
        start, step = (0, 1) if span < room else (-first.weekday() % 7, 7)  # days, or Mondays
        days = [first + timedelta(days=i) for i in range(start, span + 1, step)]
        return _named([(day, short_day(day, month_first=month_first)) for day in days])
    starts = list(_month_starts(first, last))
    step = next((s for s in STEPS if len(starts) <= s * room), STEPS[-1])
    return _named(
        [
            (day, MONTHS[day.month - 1][:3])
            for day in starts
            if (12 * day.year + day.month - 1) % step == 0
        ]
    )


def _month_starts(first: date, last: date) -> Iterator[date]:
    """Yield the first days of months between two days."""
    day = first if first.day == 1 else _next_month(first)
    while day <= last:
        yield day
        day = _next_month(day)


def _next_month(day: date) -> date:
    """Return the first day of the month after a day's."""
    return (day.replace(day=1) + timedelta(days=32)).replace(day=1)


def _named(days: list[tuple[date, str]]) -> list[Tick]:
    """Return days with their labels, and the year where it is new."""
    named, year = [], 0
    for day, label in days:
        named.append(Tick(day, label, "" if day.year == year else str(day.year)))
        year = day.year
    return named
