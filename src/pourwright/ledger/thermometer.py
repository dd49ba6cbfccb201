"""A thermometer's readings as people type them, or paste them from a logger.

A line each, or several with ``;`` between them: a time and a temperature, such as
``3 min 21.5 C``. A time is counted from plaster meeting water, or it is a time of day;
a heading such as ``min,F`` tells the units of bare numbers. A unit is never guessed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from pourwright.quantities import read_exactly
from pourwright.reading import refusal

LEAST, MOST = 2, 500
"""Readings of one log. [-]"""
LONGEST_TEXT = 20_000
"""Characters of one log."""
COLDEST_C, HOTTEST_C = 0, 80
"""No mix of plaster and water is outside this: it would be frozen, or hotter than any can get."""
LONGEST_MIN = 1440
RIGHT = 'write a time and a temperature for each, such as "3 min 21.5 C; 6 min 24 C"'
RIGHT_CLOCK = 'write a time of day such as "14:02"'

_MINUTES = {"h": Fraction(60), "m": Fraction(1), "s": Fraction(1, 60)}
_DAY_MIN = 1440
_LONGEST_LINE = 80
_UNIT_OF_TIME = r"(?:hours?|hrs?|h|minutes?|mins?|m|seconds?|secs?|s)"
_NUMBER = r"[0-9]{1,7}(?:\.[0-9]{1,9})?"
_SPAN = rf"{_NUMBER}(?: ?{_UNIT_OF_TIME}\b(?: {_NUMBER} ?{_UNIT_OF_TIME}\b)*)?"
_CLOCK = r"(?:[0-9]{4}-[0-9]{2}-[0-9]{2}[T ])?[0-9]{1,2}:[0-9]{2}(?::[0-9]{2}(?:\.[0-9]{1,6})?)?(?: ?[ap]m\b)?"
_HEAT = r"[-+]?[0-9]{1,4}(?:\.[0-9]{1,9})?(?: ?(?:°|deg)? ?(?:celsius|fahrenheit|C|F))?"
_READING = re.compile(
    rf"(?:(?P<clock>{_CLOCK})|(?P<span>{_SPAN}))(?: ?[,;\t] ?| (?:at )?)(?P<heat>{_HEAT})",
    re.IGNORECASE | re.ASCII,
)
_PARTS_OF_CLOCK = re.compile(
    r"(?:([0-9-]{10})[T ])?([0-9]{1,2}):([0-9]{2})(?::([0-9]{2}(?:\.[0-9]+)?))?(?: ?([ap])m)?",
    re.IGNORECASE | re.ASCII,
)
_HEADING_HEAT = re.compile(r"(?:°|deg|\b) ?(celsius|fahrenheit|C|F)\b", re.IGNORECASE | re.ASCII)
_HEADING_TIME = re.compile(rf"\b{_UNIT_OF_TIME}\b", re.IGNORECASE | re.ASCII)


@dataclass(frozen=True, slots=True)
class _Row:
    """One reading: its words, its minute, whether that is of the day, its temperature."""

    words: str
    minute: Fraction
    is_clock: bool
    degc: Fraction


def read_readings(path: str, value: object) -> dict[str, object]:
    r"""Return a thermometer's readings, read.

    Parameters
    ----------
    path : str
        The field, for the sentence of a refusal.
    value : object
        Text of a reading a line, or a list of such lines.

    Returns
    -------
    dict
        ``after_min`` (counted from plaster meeting water) or ``clock_min`` (from midnight of the
        first day), ``degc``, and ``typed``; numbers as decimal strings. [min], [degC]

    Raises
    ------
    BadInput
        If a line is no reading, a unit is missing, times do not rise, or a temperature is none
        that plaster can have.

    Examples
    --------
    >>> read_readings("readings", "3 min 21.5 C; 6 min 24 C")["degc"]
    ['21.5', '24']
    >>> read_readings("readings", "time,F\n14:05,70.7\n14:08,75.2")["clock_min"]
    ['845', '848']
    """
    text = _text(path, value)
    rows = _rows(path, text)
    if not LEAST <= len(rows) <= MOST:
        right = f"write {LEAST} to {MOST} readings; a curve needs six, the last past the hottest"
        raise refusal(path, text, right)
    if len({row.is_clock for row in rows}) > 1:
        right = "write all times as minutes after plaster met water, or all as times of day"
        raise refusal(path, text, right)
    minutes = _rising(path, rows)
    key = "clock_min" if rows[0].is_clock else "after_min"
    return {
        key: [_plain(one) for one in minutes],
        "degc": [_plain(row.degc) for row in rows],
        "typed": text,
    }


def read_clock(path: str, value: object) -> str:
    """Return a time of day as hours and minutes, with seconds where they were told.

    Examples
    --------
    >>> read_clock("contact", "2:05 pm"), read_clock("contact", "14:05:30")
    ('14:05', '14:05:30')
    """
    text = " ".join(value.split()) if isinstance(value, str) else ""
    found = _PARTS_OF_CLOCK.fullmatch(text)
    minute = None if found is None or found[1] else _minute_of_day(found)
    if minute is None:
        raise refusal(path, value, RIGHT_CLOCK)
    seconds = round(60 * minute)
    hours, rest = divmod(seconds, 3600)
    told = f"{hours:02d}:{rest // 60:02d}"
    return f"{told}:{rest % 60:02d}" if rest % 60 else told


def minutes_after_contact(
    readings: Mapping[str, Sequence[str]], contact: str | None
) -> list[Decimal]:
    """Return the minutes of readings after plaster met water; over midnight, if need be.

    Parameters
    ----------
    readings : mapping
        As :func:`read_readings` has them.
    contact : str or None
        When plaster met water, by the clock; needed for readings by the clock.

    Examples
    --------
    >>> minutes_after_contact({"clock_min": ["1438", "1446"]}, "23:50")
    [Decimal('8'), Decimal('16')]
    """
    if "after_min" in readings:
        return [Decimal(one) for one in readings["after_min"]]
    found = _PARTS_OF_CLOCK.fullmatch(contact or "")
    start = (_minute_of_day(found) if found else None) or Fraction(0)
    met = Decimal(_plain(start))
    at = [Decimal(one) for one in readings["clock_min"]]
    over = Decimal(_DAY_MIN) if at[0] < met else Decimal(0)
    return [one - met + over for one in at]


def _text(path: str, value: object) -> str:
    if isinstance(value, (list, tuple)) and value and all(isinstance(one, str) for one in value):
        value = "\n".join(value)
    if not isinstance(value, str) or not value.strip():
        raise refusal(path, value, RIGHT)
    lines = [
        " ".join(line.replace("\t", " , ").split()).replace(" , ", ", ")
        for line in value.strip().splitlines()
    ]
    text = "\n".join(line for line in lines if line)
    if not all(line.isprintable() for line in lines):
        raise refusal(path, value, "write it without control characters")
    if len(text) > LONGEST_TEXT:
        raise refusal(path, value, f"write at most {LONGEST_TEXT} characters")
    return text


def _rows(path: str, text: str) -> list[_Row]:
    """Return the readings of a text, its heading read for their units."""
    lines = text.replace("℃", "°C").replace("℉", "°F").split("\n")
    span_unit, heat_unit = "m", ""
    if len(lines) > 1 and not _READING.fullmatch(lines[0]) and not re.search("[0-9]", lines[0]):
        heading = lines.pop(0)
        heat = _HEADING_HEAT.findall(heading)
        heat_unit = heat[-1][0].upper() if heat else ""
        time = _HEADING_TIME.search(heading)
        span_unit = time[0][0].lower() if time else "m"
    found = [_READING.fullmatch(one) or one for line in lines for one in _readings_in(line)]
    return [_row(path, one, n, span_unit, heat_unit) for n, one in enumerate(found, 1)]


def _readings_in(line: str) -> list[str]:
    """Return the readings of a line: itself, or its pieces between ``;`` or commas."""
    if len(line) <= _LONGEST_LINE and _READING.fullmatch(line):
        return [line]
    pieces = [one.strip() for one in line.split(";") if one.strip()]
    if len(pieces) == 1:
        by_comma = [one.strip() for one in line.split(",") if one.strip()]
        return by_comma if all(map(_READING.fullmatch, by_comma)) else [line]
    # "3;21,5" is one reading that cannot be read, and no two
    has_bare = any(re.fullmatch(_NUMBER, one) for one in pieces)
    return [line] if has_bare else pieces


def _row(
    path: str, found: re.Match[str] | str, number: int, span_unit: str, heat_unit: str
) -> _Row:
    if isinstance(found, str):
        hint = "A decimal is written with a point." if "," in found else ""
        raise refusal(path, found, f"reading {number} is none; {RIGHT}", hint)
    words, heat = found[0], found["heat"]
    unit = heat.lstrip("+-0123456789. °").lower().removeprefix("deg").strip() or heat_unit.lower()
    if not unit:
        right = f'say C or F with reading {number}, or in a first line such as "min,C"'
        raise refusal(path, words, right)
    number_text = re.match(r"[-+]?[0-9.]+", heat)
    degc = read_exactly(
        f"{number_text[0] if number_text else ''} {unit[0].upper()}", "temperature", path=path
    )
    if not COLDEST_C <= degc <= HOTTEST_C:
        right = f"reading {number} must be between {COLDEST_C} and {HOTTEST_C} °C, or 32 and 176 °F"
        hint = "No mix of plaster and water is outside that. " + (
            "Was it read in °F?" if unit[0] == "c" and degc > HOTTEST_C else ""
        )
        raise refusal(path, words, right, hint.strip())
    minute = (
        _clock_minute(path, found["clock"]) if found["clock"] else _span(found["span"], span_unit)
    )
    if not found["clock"] and minute > LONGEST_MIN:
        raise refusal(path, words, f"reading {number} must be within {LONGEST_MIN} min, a day")
    return _Row(words, minute, bool(found["clock"]), degc)


def _span(text: str, unit: str) -> Fraction:
    """Return a span such as ``1 h 5 min``; a bare number is of the heading's unit. [min]"""
    pairs = re.findall(rf"({_NUMBER}) ?([A-Za-z]?)[A-Za-z]*", text)
    return sum(
        (Fraction(number) * _MINUTES[(letter or unit).lower()] for number, letter in pairs),
        Fraction(0),
    )


def _clock_minute(path: str, text: str) -> Fraction:
    """Return a time of day, on the day that it names if it names one. [min]"""
    found = _PARTS_OF_CLOCK.fullmatch(text)
    minute = _minute_of_day(found) if found else None
    if found is None or minute is None:
        raise refusal(path, text, RIGHT_CLOCK)
    if not found[1]:
        return minute
    try:
        return minute + _DAY_MIN * date.fromisoformat(found[1]).toordinal()
    except ValueError:
        raise refusal(path, text, 'write a date such as "2027-03-01" before the time') from None


def _minute_of_day(found: re.Match[str]) -> Fraction | None:
    """Return hours, minutes and seconds since midnight, None if no clock shows them. [min]"""
    hour, minute, second = int(found[2]), int(found[3]), Fraction(found[4] or 0)
    if found[5]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if found[5].lower() == "p" else 0)
    if hour > 23 or minute > 59 or second >= 60:
        return None
    return 60 * hour + minute + second / 60


def _rising(path: str, rows: Sequence[_Row]) -> list[Fraction]:
    """Return the times of readings, over midnight if need be, that only rise. [min]"""
    first_day = rows[0].minute // _DAY_MIN * _DAY_MIN if rows[0].is_clock else 0
    minutes: list[Fraction] = []
    for number, row in enumerate(rows, 1):
        minute = row.minute - first_day
        if row.is_clock and minutes and minutes[-1] - minute > _DAY_MIN // 2 and minute >= 0:
            minute += _DAY_MIN  # past midnight
        if minutes and minute <= minutes[-1]:
            raise refusal(
                path,
                row.words,
                f"reading {number} must come after reading {number - 1}, {rows[number - 2].words}",
            )
        minutes.append(minute)
    if minutes[-1] - minutes[0] > LONGEST_MIN:
        raise refusal(
            path, rows[-1].words, f"the last reading must be within {LONGEST_MIN} min of the first"
        )
    return minutes


def _plain(number: Fraction) -> str:
    """Return a number as a decimal string, to a thousandth."""
    text = f"{Decimal(round(number * 1000)).scaleb(-3):f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text) or "0"
