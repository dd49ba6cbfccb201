"""One field's value, read by its kind and held against its limits."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from zoneinfo import available_timezones

from pourwright.briefs.days_text import read_day, read_days_off
from pourwright.briefs.fields import Field
from pourwright.briefs.studio_fields import WEEKDAYS
from pourwright.errors import BadInput, Complaint, as_written, did_you_mean
from pourwright.money import CURRENCIES, read_money
from pourwright.quantities import read, show

FORMAT_VERSION = 1

_ID = re.compile(r"[a-z0-9][a-z0-9-]{2,59}")
_LONGEST_TEXT = 80
_LONGEST_PATH = 300
_MOST_ENTRIES = 60


@dataclass(slots=True)
class Sheet:
    """The file being read: what the readers must know of it, and what is wrong so far."""

    file: str
    today: date
    units: str = "metric"
    currency: str = "EUR"
    country: str | None = None
    complaints: list[Complaint] = field(default_factory=list)

    @property
    def prefer(self) -> str | None:
        """Whose pint a bare pint is."""
        return "us" if self.units == "us" else None

    def complain(self, path: str, value: str | None, right: str, hint: str = "") -> None:
        """Keep a complaint about this file."""
        self.complaints.append(Complaint(path, value, right, hint, self.file))


def read_value(raw: object, spec: Field, path: str, sheet: Sheet) -> object:
    """Return a field's value, in house units and inside its limits.

    Parameters
    ----------
    raw : object
        What the file holds.
    spec : Field
        The field.
    path : str
        Where it stands, with its place in a list.
    sheet : Sheet
        The file.

    Raises
    ------
    BadInput
        If it cannot be that.
    """
    value = _READERS[spec.kind](raw, spec, path, sheet)
    _check_limits(value, raw, spec, path, sheet)
    return value


def right_example(spec: Field, sheet: Sheet) -> str:
    """Return how the field is written, for a sentence."""
    example = spec.example_for(sheet.units)
    if isinstance(example, list):
        return f"{spec.key} = [{', '.join(as_written(one) for one in example)}]"
    return f"{spec.key} = {as_written(example)}"


def _refuse(raw: object, path: str, right: str, hint: str = "") -> BadInput:
    return BadInput.one(path, as_written(raw), right, hint)


def _among(raw: object, choices: tuple[str, ...], path: str) -> str:
    if isinstance(raw, str) and raw in choices:
        return raw
    listed = ", ".join(f'"{one}"' for one in choices)
    raise _refuse(raw, path, f"it must be one of {listed}", did_you_mean(raw, choices))


def _text(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    longest = _LONGEST_PATH if spec.path == "studio" else _LONGEST_TEXT
    example = right_example(spec, sheet)
    if not isinstance(raw, str):
        raise _refuse(raw, path, f"it must be text in quotes, such as {example}")
    if not raw.strip():
        raise _refuse(
            raw, path, f"write at least one letter, such as {example}, or leave the line out"
        )
    if len(raw) > longest or not raw.isprintable():
        raise _refuse(raw, path, f"it must be one line of at most {longest} letters")
    return raw.strip()


def _id(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    if isinstance(raw, str) and _ID.fullmatch(raw):
        return raw
    tidy = re.sub(r"[^a-z0-9]+", "-", raw.lower()).strip("-")[:60] if isinstance(raw, str) else ""
    raise _refuse(
        raw, path, "it must be 3 to 60 small letters, digits and hyphens",
        f'Write "{tidy}".' if _ID.fullmatch(tidy) else "",
    )  # fmt: skip


def _whole(raw: object, spec: Field, path: str, sheet: Sheet) -> int:
    if isinstance(raw, int) and not isinstance(raw, bool):
        return raw
    hint = ""
    if isinstance(raw, str) and raw.strip().isascii() and raw.strip().isdigit():
        hint = "Leave out the quotes."
    elif isinstance(raw, float) and raw.is_integer():
        hint = f"Write {raw:.0f}."
    raise _refuse(
        raw, path, f"it must be a whole number, such as {right_example(spec, sheet)}", hint
    )


def _number(raw: object, spec: Field, path: str, sheet: Sheet) -> float:
    if isinstance(raw, (int, float)) and not isinstance(raw, bool):
        try:
            if math.isfinite(raw):
                return float(raw)
        except OverflowError:
            pass  # a whole number beyond what a float holds
    raise _refuse(
        raw, path, f"it must be a number without quotes, such as {right_example(spec, sheet)}"
    )


def _quantity(raw: object, spec: Field, path: str, sheet: Sheet) -> float:
    return read(raw, spec.dimension, prefer=sheet.prefer, path=path)


def _money(raw: object, spec: Field, path: str, sheet: Sheet) -> object:
    return read_money(raw, sheet.currency, per=spec.per, prefer=sheet.prefer, path=path)


def _choice(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    return _among(raw, spec.choices, path)


def _yes_or_no(raw: object, spec: Field, path: str, sheet: Sheet) -> bool:
    if isinstance(raw, bool):
        return raw
    raise _refuse(raw, path, "it must be true or false, without quotes")


def _date(raw: object, spec: Field, path: str, sheet: Sheet) -> date:
    return read_day(raw, sheet.today, path)


def _list(raw: object, path: str, right: str) -> list[object]:
    if not isinstance(raw, list):
        raise _refuse(raw, path, f"it must be a list in brackets, such as {right}")
    if len(raw) > _MOST_ENTRIES:
        raise _refuse(raw, path, f"it has {len(raw)} entries; at most {_MOST_ENTRIES} are read")
    return raw


def _each(
    raw: object, spec: Field, path: str, sheet: Sheet, one: Callable[[object, str], object]
) -> tuple[object, ...]:
    """Read every entry of a list; what is wrong with any of them is told at once."""
    values: list[object] = []
    complaints: list[Complaint] = []
    for number, entry in enumerate(_list(raw, path, right_example(spec, sheet)), 1):
        try:
            values.append(one(entry, f"{path}[{number}]"))
        except BadInput as error:
            complaints += error.complaints
    if complaints:
        raise BadInput(complaints)
    return tuple(values)


def _days_off(raw: object, spec: Field, path: str, sheet: Sheet) -> object:
    return _each(raw, spec, path, sheet, read_days_off)


def _whole_numbers(raw: object, spec: Field, path: str, sheet: Sheet) -> object:
    def one(entry: object, where: str) -> int:
        number = _whole(entry, spec, where, sheet)
        _check_limits(number, entry, spec, where, sheet)
        return number

    return _each(raw, spec, path, sheet, one)


def _weekdays(raw: object, spec: Field, path: str, sheet: Sheet) -> tuple[int, ...]:
    names = _each(raw, spec, path, sheet, lambda entry, where: _among(entry, WEEKDAYS, where))
    if not names:
        raise _refuse(
            raw,
            path,
            f"somebody must work on one day at least, such as {right_example(spec, sheet)}",
        )
    return tuple(sorted({WEEKDAYS.index(str(name)) for name in names}))


def _box(raw: object, spec: Field, path: str, sheet: Sheet) -> object:
    example = right_example(spec, sheet)
    if len(_list(raw, path, example)) != 3:
        raise _refuse(raw, path, f"it must be length, width and height, such as {example}")

    def one(entry: object, where: str) -> float:
        side = _quantity(entry, spec, where, sheet)
        _check_limits(side, entry, spec, where, sheet)
        return side

    return _each(raw, spec, path, sheet, one)


def _life(raw: object, spec: Field, path: str, sheet: Sheet) -> int | None:
    if raw == "unknown":
        return None
    if isinstance(raw, int) and not isinstance(raw, bool):
        return raw
    right = 'it must be a whole number of casts, or "unknown"'
    raise _refuse(raw, path, right, did_you_mean(raw, ("unknown",)) if isinstance(raw, str) else "")


def _cone(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    from pourwright.materials.kiln.cones import cone_name, cone_names  # NumPy is loaded with it

    names = cone_names()
    if isinstance(raw, str) and cone_name(raw) in names:
        return cone_name(raw)
    right = f'it must be a cone from "{names[0]}" to "{names[-1]}", in quotes since 06 is not 6'
    raise _refuse(raw, path, right)


def _currency(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    if isinstance(raw, str) and raw in CURRENCIES:
        return raw
    right = 'it must be a currency\'s three letters (ISO 4217), such as "EUR" or "USD"'
    raise _refuse(raw, path, right, did_you_mean(raw, CURRENCIES) if isinstance(raw, str) else "")


def _country(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    if isinstance(raw, str) and raw in _countries():
        return raw
    right = 'it must be a country\'s two letters (ISO 3166) whose holidays are known, such as "US" or "DK"'
    upper = raw.upper() if isinstance(raw, str) else ""
    hint = f"Did you mean {upper}?" if upper in _countries() else ""
    raise _refuse(raw, path, right, hint)


def _region(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    text = _text(raw, spec, path, sheet)
    if sheet.country is None:
        return text  # the missing country is complained of elsewhere
    regions = _countries()[sheet.country]
    if text in regions:
        return text
    listed = ", ".join(regions[:60])
    right = (
        f"it must be one of {listed}"
        if regions
        else "holidays there do not differ by region; leave the line out"
    )
    raise _refuse(raw, path, right, did_you_mean(text, regions))


@cache
def _countries() -> dict[str, list[str]]:
    import holidays  # a quarter of a second; only a file that names a country pays it

    return holidays.list_supported_countries(include_aliases=False)


def _zone(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    zones = _zones()
    if isinstance(raw, str) and raw in zones:
        return raw
    right = 'it must be a time zone\'s IANA name, such as "Europe/Copenhagen"'
    raise _refuse(
        raw, path, right, did_you_mean(raw, sorted(zones)) if isinstance(raw, str) else ""
    )


@cache
def _zones() -> frozenset[str]:
    return frozenset(available_timezones())


_READERS: dict[str, Callable[[object, Field, str, Sheet], object]] = {
    "box": _box,
    "choice": _choice,
    "cone": _cone,
    "country": _country,
    "currency": _currency,
    "date": _date,
    "days off": _days_off,
    "id": _id,
    "life": _life,
    "money": _money,
    "number": _number,
    "quantity": _quantity,
    "region": _region,
    "share": _quantity,
    "text": _text,
    "weekdays": _weekdays,
    "whole": _whole,
    "whole numbers": _whole_numbers,
    "yes or no": _yes_or_no,
    "zone": _zone,
}


def _check_limits(value: object, raw: object, spec: Field, path: str, sheet: Sheet) -> None:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return
    too_low = spec.low is not None and value < spec.low
    too_high = spec.high is not None and value > spec.high
    if too_low or too_high or (spec.below is not None and value >= spec.below):
        raise _refuse(raw, path, f"it must be {_allowed(spec, sheet)}", _slip_of_hand(value, spec))


def _allowed(spec: Field, sheet: Sheet) -> str:
    low = _shown(spec.low, spec, sheet)
    if spec.below is not None:
        return f"at least {low} and less than {_shown(spec.below, spec, sheet)}"
    if spec.high is None:
        return f"at least {low}"
    return f"between {low} and {_shown(spec.high, spec, sheet)}"


def _shown(limit: float | None, spec: Field, sheet: Sheet) -> str:
    if limit is None:
        return "nothing"
    return short(limit, spec.dimension, sheet.units) if spec.dimension else f"{limit:g}"


def short(value: float, dimension: str, units: str) -> str:
    """Return a quantity without the noughts that only tell its rounding, for a sentence.

    Examples
    --------
    >>> short(10.0, "volume", "metric"), short(1.5, "volume", "metric")
    ('10 l', '1.5 l')
    """
    return re.sub(r"(\.[0-9]*?)0+(?= )", r"\1", show(value, dimension, units)).replace(". ", " ")


def _slip_of_hand(value: float, spec: Field) -> str:
    if spec.path == "plaster.consistency" and 0.25 <= value <= 1.2:
        return f"A ratio of {value:g} is written {100 * value:g}."
    if spec.dimension != "liter weight":
        return ""
    from pourwright.materials.slip.liter_weight import likely_slip_of_hand

    return likely_slip_of_hand(value)
