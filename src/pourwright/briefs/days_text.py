"""Days off as people write them: a day, a stretch, a stretch of every year."""

from __future__ import annotations

import re
from datetime import date

from pourwright.briefs.records import DaysOff, YearlyDaysOff
from pourwright.errors import BadInput, as_written
from pourwright.reading import a_date, why_no_date

RIGHT_OFF = 'write "2027-08-02", "2027-08-02 to 2027-08-15", or for every year "12-24 to 01-02"'

_EVERY_YEAR = re.compile(r"([0-9]{2})-([0-9]{2})")
_LEAP_YEAR = 2028  # has all days that a year can have


def read_days_off(value: object, path: str = "") -> DaysOff | YearlyDaysOff:
    """Return one entry of the days off.

    Examples
    --------
    >>> read_days_off("12-24 to 01-02")
    YearlyDaysOff(first=(12, 24), last=(1, 2))
    """
    shown = as_written(value)
    first, last = _ends(value)
    days = a_date(first), a_date(last)
    if days[0] and days[1]:
        if days[1] < days[0]:
            raise BadInput.one(path, shown, "the first day must not come after the last")
        return DaysOff(days[0], days[1])
    every_year = _month_day(first), _month_day(last)
    if every_year[0] and every_year[1]:
        return YearlyDaysOff(every_year[0], every_year[1])
    raise BadInput.one(path, shown, RIGHT_OFF, why_no_date(first) or why_no_date(last))


def _ends(value: object) -> tuple[object, object]:
    if not isinstance(value, str):
        return value, value
    first, to, last = value.partition(" to ")
    return first, last if to else first


def _month_day(value: object) -> tuple[int, int] | None:
    found = _EVERY_YEAR.fullmatch(value.strip()) if isinstance(value, str) else None
    if found is None:
        return None
    try:
        day = date(_LEAP_YEAR, int(found[1]), int(found[2]))
    except ValueError:
        return None
    return day.month, day.day
