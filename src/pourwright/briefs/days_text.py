"""Days as people write them: a date, "in 26 weeks", a stretch without work."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta

from pourwright.briefs.records import DaysOff, YearlyDaysOff
from pourwright.errors import BadInput, as_written

RIGHT_DAY = 'write a date such as "2027-03-01", or "in 26 weeks"'
RIGHT_OFF = 'write "2027-08-02", "2027-08-02 to 2027-08-15", or for every year "12-24 to 01-02"'

_IN = re.compile(r"in ([0-9]{1,4}) (day|week)s?")
_EVERY_YEAR = re.compile(r"([0-9]{2})-([0-9]{2})")
_LEAP_YEAR = 2028  # has all days that a year can have


def read_day(value: object, today: date, path: str = "") -> date:
    """Return the day that was meant.

    Parameters
    ----------
    value : str or date
        ``"2027-03-01"``, ``"today"``, ``"in 10 days"`` or ``"in 26 weeks"``.
    today : date
        The day from which is counted.
    path : str, optional
        The field, for the sentence of a refusal.

    Returns
    -------
    date

    Raises
    ------
    BadInput
        If it is no day.

    Examples
    --------
    >>> read_day("in 2 weeks", date(2031, 1, 6))
    datetime.date(2031, 1, 20)
    """
    found = _date(value)
    if found:
        return found
    if value == "today":
        return today
    ahead = _IN.fullmatch(value.strip()) if isinstance(value, str) else None
    if ahead:
        days = int(ahead[1]) * (7 if ahead[2] == "week" else 1)
        try:
            return today + timedelta(days=days)
        except OverflowError:
            raise BadInput.one(path, as_written(value), "no calendar goes that far") from None
    raise BadInput.one(path, as_written(value), RIGHT_DAY, _why_no_date(value))


def _date(value: object) -> date | None:
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value.strip()):
        try:
            return date.fromisoformat(value.strip())
        except ValueError:
            return None
    return None


def _why_no_date(value: object) -> str:
    if isinstance(value, datetime):
        return "Leave out the time of day."
    if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value.strip()):
        return "The calendar has no such day."
    if isinstance(value, str) and re.search(r"[0-9][./][0-9]+[./][0-9]", value):
        return "The year comes first, then month and day."
    return ""


def read_days_off(value: object, path: str = "") -> DaysOff | YearlyDaysOff:
    """Return one entry of the days off.

    Examples
    --------
    >>> read_days_off("12-24 to 01-02")
    YearlyDaysOff(first=(12, 24), last=(1, 2))
    """
    shown = as_written(value)
    first, last = _ends(value)
    days = _date(first), _date(last)
    if days[0] and days[1]:
        if days[1] < days[0]:
            raise BadInput.one(path, shown, "the first day must not come after the last")
        return DaysOff(days[0], days[1])
    every_year = _month_day(first), _month_day(last)
    if every_year[0] and every_year[1]:
        return YearlyDaysOff(every_year[0], every_year[1])
    raise BadInput.one(path, shown, RIGHT_OFF, _why_no_date(first) or _why_no_date(last))


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
