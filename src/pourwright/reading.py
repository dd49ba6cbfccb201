"""What was told, read field by field and held against its limits: one set of sentences.

A file's numbers stand without quotes, and its fields are shown with their keys. At an
option, in a form or in a line for the book, numbers may come as text.
"""

from __future__ import annotations

import math
import re
from calendar import monthrange
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from fractions import Fraction
from typing import Any, TypeAlias

from pourwright.errors import BadInput, Complaint, as_written, did_you_mean
from pourwright.fields import Field
from pourwright.money import CURRENCIES, read_money
from pourwright.quantities import LARGEST, measures, read

LONGEST_TEXT = 80
CASTING_SLIP_G_PER_L = (1650.0, 1980.0)
"""Lightest and heaviest casting slip in suppliers' and makers' sheets."""
MOST_ENTRIES = 60

_NUMBER = re.compile(r"[-+]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)", re.ASCII)
_WHOLE = re.compile(r"[-+]?[0-9]{1,9}", re.ASCII)
_AMONG_WORDS = re.compile(r"[^0-9.,-]*([0-9]{1,9})[^0-9.,-]*")
_SPAN = re.compile(r"([0-9]{1,6}) *(?:-|\u2013|to) *([0-9]{1,6})", re.ASCII)
_A_WEEK = re.compile(
    r"(?:([0-9]{1,3}(?:\.[0-9]+)?)(?: +(1/2))?|(1/2)) *(?:loads? *)?((?:/|per|a) *week)?", re.ASCII
)
_ID = re.compile(r"[a-z0-9](?:[a-z0-9-]*[a-z0-9])?")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", re.ASCII)
_AHEAD = re.compile(r"in ([0-9]{1,4}|[a-z]+) (day|week|month)s?", re.IGNORECASE)
_IN_WORDS = "no one two three four five six seven eight nine ten eleven twelve".split()
MONTHS = (
    "January February March April May June July August September October November December".split()
)
WEEKDAYS = "Monday Tuesday Wednesday Thursday Friday Saturday Sunday".split()
WEEKDAYS_SHORT = tuple(name[:3] for name in WEEKDAYS)
_IN_LETTERS = re.compile(
    r"(?:([a-z]{3,}),? )?(?:([0-9]{1,2}) ([a-z]{3,})|([a-z]{3,}) ([0-9]{1,2})),? ([0-9]{4})",
    re.ASCII | re.IGNORECASE,
)
"""A date as it is printed here, in both studios' order: "Mon 31 May 2027", "May 31, 2027"."""
_YES_NO = {"yes": True, "true": True, "no": False, "false": False}


@dataclass(slots=True)
class Sheet:
    """What is being read: what the readers must know of it, and what is wrong so far.

    Parameters
    ----------
    file : str
        The file's name; empty for options, a form or a line for the book.
    today : date or None
        The day from which days are counted; without it only dates are read.
    units : {"metric", "us", "imperial"}
        Whose pint a bare pint is.
    currency : str
        The only one of all prices; empty where each price names its own.
    country : str or None
        Whose regions are known.
    example_units : str
        The units of examples and limits, if they are others.
    complaints : list of Complaint
        What is wrong so far.
    """

    file: str = ""
    today: date | None = None
    units: str = "metric"
    currency: str = "EUR"
    country: str | None = None
    example_units: str = ""
    complaints: list[Complaint] = field(default_factory=list)

    @property
    def prefer(self) -> str | None:
        """Whose pint a bare pint is; None where it is asked about."""
        return self.units if self.units in ("us", "imperial") else None

    def complain(self, path: str, value: str | None, right: str, hint: str = "") -> None:
        """Keep a complaint about this file."""
        self.complaints.append(Complaint(path, value, right, hint, self.file))


Reader: TypeAlias = Callable[[object, Any, str, Sheet], Any]
"""Reads one kind: what was told, its field, where it stands, and the sheet."""


def read_one(
    raw: object, spec: Field, path: str, sheet: Sheet, own: Mapping[str, Reader] | None = None
) -> Any:
    """Return a field's value, in house units and inside its limits; a tuple where many may be told.

    Parameters
    ----------
    raw : object
        What was told.
    spec : Field
        The field.
    path : str
        Where it stands, for the sentence of a refusal.
    sheet : Sheet
        What is being read.
    own : mapping, optional
        The readers of kinds that a room alone has.

    Raises
    ------
    BadInput
        If it cannot be that.
    """
    reader = (own or {}).get(spec.kind) or READERS[spec.kind]

    def one(entry: object, where: str) -> object:
        value = reader(entry, spec, where, sheet)
        check_limits(value, entry, spec, where, sheet)
        return value

    if not spec.many:
        return one(raw, path)
    entries = entries_of(raw, spec, path, sheet)
    is_alone = len(entries) == 1 and not sheet.file
    return (one(entries[0], path),) if is_alone else each(entries, path, one)


def entries_of(raw: object, spec: Field, path: str, sheet: Sheet) -> list[object]:
    """Return the entries of a list; in a text a semicolon or a line's end parts them."""
    if not isinstance(raw, list):
        if sheet.file:
            right = f"it must be a list in brackets, such as {such_as(spec, sheet)}"
            raise refusal(path, raw, right)
        raw = [raw]
    if not sheet.file:
        raw = [one for entry in raw for one in _parted(entry)]
    if len(raw) > MOST_ENTRIES:
        right = f"it has {len(raw)} entries; at most {MOST_ENTRIES} are read"
        raise refusal(path, raw, right)
    return raw


def _parted(entry: object) -> list[object]:
    parts = re.split(r"[;\n]", entry) if isinstance(entry, str) else []
    return [part.strip() for part in parts if part.strip()] or [entry]


def each(entries: list[object], path: str, one: Callable[[object, str], object]) -> tuple[Any, ...]:
    """Return every entry of a list, read; what is wrong with any of them is told at once."""
    values: list[object] = []
    complaints: list[Complaint] = []
    for number, entry in enumerate(entries, 1):
        try:
            values.append(one(entry, f"{path}[{number}]"))
        except BadInput as error:
            complaints += error.complaints
    if complaints:
        raise BadInput(complaints)
    return tuple(values)


# --- sentences


def refusal(path: str, raw: object, right: str, hint: str = "") -> BadInput:
    """Return the error for a value that cannot be used."""
    return BadInput.one(path, as_written(raw), right, hint)


def such_as(spec: Field, sheet: Sheet) -> str:
    """Return how a field is written, for a sentence."""
    example = spec.example_for(sheet.example_units or sheet.units)
    if isinstance(example, list):
        words = f"[{', '.join(as_written(one) for one in example)}]"
    else:
        words = str(example) if spec.kind in ("number", "whole") else as_written(example)
    return f"{spec.name.rpartition('.')[2]} = {words}" if sheet.file else words


def missing(spec: Field, path: str, sheet: Sheet) -> Complaint:
    """Return the complaint about a field that must be told and is not."""
    name = "" if sheet.file else f"{path} such as "
    return Complaint(path, None, f"write {name}{such_as(spec, sheet)}", spec.meaning, sheet.file)


def one_of(raw: object, choices: Iterable[str], path: str) -> str:
    """Return the choice that was meant."""
    by_word = {one.lower(): one for one in choices}
    text = " ".join(raw.lower().split()) if isinstance(raw, str) else ""
    if text in by_word:
        return by_word[text]
    listed = ", ".join(f'"{one}"' for one in by_word.values())
    hint = did_you_mean(raw, by_word.values()) if isinstance(raw, str) else ""
    raise refusal(path, raw, f"it must be one of {listed}", hint)


# --- limits


def check_limits(value: object, raw: object, spec: Field, path: str, sheet: Sheet) -> None:
    """Refuse a number outside the limits of its field.

    Raises
    ------
    BadInput
        If it is outside.
    """
    if isinstance(value, bool) or not isinstance(value, (int, float, Fraction)):
        return
    number = float(max(-LARGEST, min(value, LARGEST)))  # a whole number may be beyond a float
    if not _is_inside(number, spec):
        limits = spec.allowed(sheet.example_units or sheet.units)
        raise refusal(path, raw, f"it must be {limits}", _slip_of_hand(number, spec))


def _is_inside(number: float, spec: Field) -> bool:
    return (
        (spec.low is None or number >= spec.low)
        and (spec.high is None or number <= spec.high)
        and (spec.below is None or number < spec.below)
    )


_SMALLER = {"mass": ("g", "kg"), "volume": ("ml", "l")}


def _slip_of_hand(value: float, spec: Field) -> str:
    """Return the field's own hint, else which other unit would put a value inside its limits."""
    if spec.hint:
        return spec.hint if isinstance(spec.hint, str) else spec.hint(value)
    if spec.dimension == "temperature" and _is_inside((value - 32) / 1.8, spec):
        return f"Was it read in °F? {value:g} °F is {(value - 32) / 1.8:.0f} °C."
    if spec.dimension in _SMALLER and _is_inside(value / 1000, spec):
        small, large = _SMALLER[spec.dimension]
        return f"Was it {value:g} {small} rather than {large}?"
    return ""


# --- kinds


def _quantity(raw: object, spec: Field, path: str, sheet: Sheet) -> float:
    return read(raw, spec.dimension, prefer=sheet.prefer, path=path, such_as=_written(spec, sheet))


def _written(spec: Field, sheet: Sheet) -> str:
    """Return how one value of a field is written."""
    example = spec.example_for(sheet.example_units or sheet.units)
    one = example[0] if isinstance(example, list) else example
    return one if isinstance(one, str) else ""


def _water(raw: object, spec: Field, path: str, sheet: Sheet) -> float:
    """Return the mass of water, weighed or measured: a liter counts as a kilogram. [kg]

    From 4 to 30 degC a liter is between 0.996 and 1 kg.
    """
    such_as = _written(spec, sheet)
    dimension = "mass" if measures(raw, "mass", sheet.prefer) else "volume"
    return read(raw, dimension, prefer=sheet.prefer, path=path, such_as=such_as)


def _slip_weight(raw: object, spec: Field, path: str, sheet: Sheet) -> float:
    """Return what a liter of casting slip weighs; a bare pint is the one that makes it a slip. [g/l]

    An imperial pint is a fifth more than a US one, and so is the heaviest casting slip
    than the lightest: only one of the two can be meant.
    """
    found = set()
    for country in ("us", "imperial"):
        try:
            found.add(read(raw, spec.dimension, prefer=country, path=path))
        except BadInput:
            break  # what is wrong with it is said below
    low, high = CASTING_SLIP_G_PER_L
    slips = [one for one in found if low <= one <= high]
    if sheet.prefer is None and len(found) == 2 and len(slips) == 1:
        return slips[0]
    return read(raw, spec.dimension, prefer=sheet.prefer, path=path, such_as=_written(spec, sheet))


def _money(raw: object, spec: Field, path: str, sheet: Sheet) -> object:
    words = re.findall(r"[A-Za-z]{3}", raw.upper()) if isinstance(raw, str) else []
    currency = sheet.currency or next((one for one in words if one in CURRENCIES), "")
    if not currency:
        raise refusal(
            path, raw, f"write an amount and its currency, such as {such_as(spec, sheet)}"
        )
    return read_money(raw, currency, per=spec.per, prefer=sheet.prefer, path=path)


def _number(raw: object, spec: Field, path: str, sheet: Sheet) -> float:
    text = raw.strip() if isinstance(raw, str) else ""
    is_number = len(text) <= LONGEST_TEXT and bool(_NUMBER.fullmatch(text))
    if is_number and not sheet.file:
        return float(text)
    if isinstance(raw, (int, float)) and not isinstance(raw, bool) and abs(raw) < 1e15:
        return float(raw)
    hint = "Leave out the quotes." if is_number else ""
    if re.fullmatch(r"[0-9]+,[0-9]+", text):
        hint = f"Write {text.replace(',', '.')[:30]} or {text.replace(',', '')[:30]}, whichever is meant."
    if not hint and isinstance(spec.hint, str):
        hint = spec.hint
    raise refusal(path, raw, f"it must be a number alone, such as {such_as(spec, sheet)}", hint)


def _whole(raw: object, spec: Field, path: str, sheet: Sheet) -> int:
    if isinstance(raw, int) and not isinstance(raw, bool):
        return raw
    is_whole = isinstance(raw, str) and bool(_WHOLE.fullmatch(raw.strip()))
    if is_whole and not sheet.file:
        return int(str(raw))
    hint = "Leave out the quotes." if is_whole else _one_number(raw)
    if isinstance(raw, float) and raw.is_integer() and abs(raw) < 1e15:
        hint = f"Write {raw:.0f}."
    span = "" if spec.low is None or spec.high is None else f" from {spec.low:g} to {spec.high:g}"
    right = f"it must be a whole number{span}, such as {such_as(spec, sheet)}"
    raise refusal(path, raw, right, hint)


def span_of(raw: object) -> tuple[int, int] | None:
    """Return the two ends of what was told as a range, None if it is none.

    Examples
    --------
    >>> span_of("25-30"), span_of("25 to 30"), span_of("30-25")
    ((25, 30), (25, 30), None)
    """
    found = _SPAN.fullmatch(raw.strip()) if isinstance(raw, str) else None
    if found is None or int(found[1]) > int(found[2]):
        return None
    return int(found[1]), int(found[2])


def _one_number(raw: object) -> str:
    """Return which number may be meant where a range was told, or words beside a number."""
    if span := span_of(raw):
        return f"Write one number, such as the middle, {sum(span) // 2}."
    found = _AMONG_WORDS.fullmatch(raw) if isinstance(raw, str) else None
    return "" if found is None else f"Is it {found[1]}? Write the number alone."


def _loads_a_week(raw: object, spec: Field, path: str, sheet: Sheet) -> float:
    """Return the loads of a week, whole ones or a half more; another part of a load is asked about."""
    said = _A_WEEK.fullmatch(raw.strip()) if isinstance(raw, str) else None
    if said is not None and (said[4] or not sheet.file):
        raw = float(said[1] or 0) + (0.5 if said[2] or said[3] else 0.0)
    if not isinstance(raw, float) or not 0 < raw < 100:
        return _whole(raw, spec, path, sheet)
    if raw.is_integer():
        return int(raw)
    if (2 * raw).is_integer():
        return raw
    near = max(math.floor(2 * raw) / 2, 0.5)
    right = f"a week is planned in loads and half loads; write {near:g} or {near + 0.5:g}"
    raise refusal(path, raw, right)


def _text(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    longest = int(spec.high or LONGEST_TEXT)
    if isinstance(raw, str) and raw.strip() and len(raw) <= longest and raw.isprintable():
        return raw.strip()
    line = (
        f"one line of 1 to {longest} letters"
        if isinstance(raw, str) or not sheet.file
        else "text in quotes"
    )
    raise refusal(path, raw, f"it must be {line}, such as {such_as(spec, sheet)}")


def _id(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    least, most = int(spec.low or 1), int(spec.high or 40)
    if isinstance(raw, str) and least <= len(raw) <= most and _ID.fullmatch(raw):
        return raw
    tidy = re.sub(r"[^a-z0-9]+", "-", raw.lower()).strip("-")[:most] if isinstance(raw, str) else ""
    hint = f'Write "{tidy}".' if len(tidy) >= least and _ID.fullmatch(tidy) else ""
    right = f"it must be {least} to {most} small letters, digits and hyphens"
    raise refusal(path, raw, right, hint)


def _choice(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    return one_of(raw, spec.choices, path)


def _yes_or_no(raw: object, spec: Field, path: str, sheet: Sheet) -> bool:
    if isinstance(raw, bool):
        return raw
    word = raw.strip().lower() if isinstance(raw, str) and not sheet.file else ""
    if word in _YES_NO:
        return _YES_NO[word]
    right = "true or false, without quotes" if sheet.file else '"yes" or "no"'
    raise refusal(path, raw, f"it must be {right}")


def _date(raw: object, spec: Field, path: str, sheet: Sheet) -> date:
    return read_day(raw, sheet.today, path)


READERS: dict[str, Reader] = {
    "choice": _choice,
    "date": _date,
    "id": _id,
    "loads a week": _loads_a_week,
    "money": _money,
    "number": _number,
    "quantity": _quantity,
    "slip weight": _slip_weight,
    "text": _text,
    "water": _water,
    "whole": _whole,
    "yes or no": _yes_or_no,
}
"""The kinds that every room may have."""


# --- days


def read_day(value: object, today: date | None, path: str = "") -> date:
    """Return the day that was meant.

    Parameters
    ----------
    value : str or date
        ``"2027-03-01"``, ``"1 Mar 2027"``, ``"Mar 1, 2027"``, ``"today"``, ``"in 10 days"``,
        ``"in 26 weeks"`` or ``"in 6 months"``.
    today : date or None
        The day from which is counted; without it only a date is a day.
    path : str, optional
        The field, for the sentence of a refusal.

    Raises
    ------
    BadInput
        If it is no day.

    Examples
    --------
    >>> read_day("in 2 weeks", date(2031, 1, 6))
    datetime.date(2031, 1, 20)
    >>> read_day("in six months", date(2031, 1, 6))
    datetime.date(2031, 7, 6)
    >>> read_day("Mon 31 May 2027", None)
    datetime.date(2027, 5, 31)
    """
    found = a_date(value)
    if found:
        return found
    if today and value == "today":
        return today
    ahead = _AHEAD.fullmatch(value.strip()) if today and isinstance(value, str) else None
    many = _count_ahead(ahead[1].lower()) if ahead else 0
    if today and ahead and many is not None:
        unit = ahead[2].lower()
        try:
            if unit == "month":
                return _months_later(today, many)
            return today + timedelta(days=many * (7 if unit == "week" else 1))
        except (OverflowError, ValueError):
            raise refusal(path, value, "no calendar goes that far") from None
    counted = ', or "in 6 months"' if today else ""
    raise refusal(path, value, f'write a date such as "2027-03-01"{counted}', why_no_date(value))


def _count_ahead(written: str) -> int | None:
    """Return a count in figures or, up to twelve, in words; None if it is none."""
    if written.isdecimal():
        return int(written)
    return _IN_WORDS.index(written) if written in _IN_WORDS[1:] else None


def a_date(value: object) -> date | None:
    """Return the date that was written, None if it is none."""
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    if isinstance(value, str) and _DATE.fullmatch(value.strip()):
        try:
            return date.fromisoformat(value.strip())
        except ValueError:
            return None
    written = _IN_LETTERS.fullmatch(value.strip()) if isinstance(value, str) else None
    return _date_in_letters(written) if written else None


def _date_in_letters(written: re.Match[str]) -> date | None:
    """Return a date with its month in letters; None if there is none such, or on another weekday."""
    weekday, *_, year = written.groups()
    month = _place_of(written[3] or written[4], MONTHS)
    try:
        day = date(int(year), month + 1, int(written[2] or written[5]))
    except ValueError:
        return None
    return None if weekday and _place_of(weekday, WEEKDAYS) != day.weekday() else day


def _place_of(word: str, names: list[str]) -> int:
    """Return the place of a name that may be cut short, -1 if it is none."""
    starts = [name.lower().startswith(word.lower()) for name in names]
    return starts.index(True) if True in starts else -1


def _months_later(day: date, months: int) -> date:
    """Return the same day some months later, or that month's last."""
    years, month = divmod(day.month - 1 + months, 12)
    last = monthrange(day.year + years, month + 1)[1]
    return date(day.year + years, month + 1, min(day.day, last))


def why_no_date(value: object) -> str:
    """Return a sentence on why something is no date, empty if there is nothing to say."""
    if isinstance(value, datetime):
        return "Leave out the time of day."
    if isinstance(value, str) and any(one.fullmatch(value.strip()) for one in (_DATE, _IN_LETTERS)):
        return "The calendar has no such day."
    if isinstance(value, str) and re.search(r"[0-9][./][0-9]+[./][0-9]", value):
        return "The year comes first, then month and day."
    return ""


# --- a date as it is printed


def day(when: date, *, weekday: bool = True, units: str = "metric") -> str:
    """Return a date, the month in letters and in front where US units are used.

    Examples
    --------
    >>> day(date(2036, 8, 5)), day(date(2036, 8, 5), weekday=False)
    ('Tue 5 Aug 2036', '5 Aug 2036')
    >>> day(date(2036, 8, 5), units="us")
    'Tue Aug 5, 2036'
    """
    comma = "," if units == "us" else ""
    text = f"{day_and_month(when, units)}{comma} {when.year}"
    return f"{WEEKDAYS_SHORT[when.weekday()]} {text}" if weekday else text


def day_and_month(when: date, units: str) -> str:
    """Return a date without weekday and year, in the studio's order."""
    month = MONTHS[when.month - 1][:3]
    return f"{month} {when.day}" if units == "us" else f"{when.day} {month}"


def why_past(when: date, today: date, units: str) -> str:
    """Return why a day that must lie ahead does not, empty where it does.

    Examples
    --------
    >>> why_past(date(2026, 8, 3), date(2026, 8, 4), "metric")
    'it is in the past; today is Tue 4 Aug 2026'
    """
    return f"it is in the past; today is {day(today, units=units)}" if when < today else ""
