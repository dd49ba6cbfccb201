"""Commands read field by field: everything that is wrong is told at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction

from pourwright.errors import BadInput, Complaint, as_written, did_you_mean
from pourwright.ledger.causes import CAUSES
from pourwright.ledger.kinds.fields import ENVELOPE, Field, Kind
from pourwright.ledger.labels import (
    MOST,
    RIGHT_PIECES,
    Unreadable,
    label,
    read_label,
    read_numbers,
    read_piece,
    read_pieces,
    read_selection,
)
from pourwright.ledger.thermometer import read_clock, read_readings
from pourwright.money import CURRENCIES, read_money
from pourwright.quantities import read_exactly
from pourwright.units import DIMENSIONS

HOUSE = {
    "kilogram": "kg", "liter": "l", "millimeter": "mm", "meter**2": "m2", "minute": "min",
    "day": "days", "degC": "degC", "kilowatt": "kW", "kilowatt_hour": "kWh", "": "",
    "gram/liter": "g/l", "kilogram/liter": "kg/l", "gram/meter**2": "g/m2",
}  # fmt: skip
"""The house units as entries name them."""

Body = dict[str, object]


def read_fields(kind: Kind, command: Mapping[str, object], prefer: str | None = None) -> Body:
    """Return a command's own fields, read; what names things is not looked up yet.

    Parameters
    ----------
    kind : Kind
        What the command's verb stands for.
    command : mapping
        As it was sent.
    prefer : {"us", "imperial"}, optional
        Whose pint a pint is.

    Returns
    -------
    dict
        Plain JSON without floats; fields that were not given are left out.

    Raises
    ------
    BadInput
        With a complaint for each field that is wrong, missing or unknown.
    """
    complaints = list(_unknown(kind, command))
    body: Body = {}
    for field in kind.fields:
        value = command.get(field.name)
        if value is None:
            complaints += [missing(field)] if field.required else []
            continue
        try:
            body[field.name] = read_value(field, value, prefer)
        except Unreadable as wrong:
            complaints.append(wrong.complaint)
        except BadInput as wrong:
            complaints += wrong.complaints
    if complaints:
        raise BadInput(complaints)
    return body


def read_value(field: Field, value: object, prefer: str | None = None) -> object:
    """Return one field's value, read.

    Parameters
    ----------
    field : Field
        What it should be.
    value : object
        What was written.
    prefer : {"us", "imperial"}, optional
        Whose pint a pint is.

    Raises
    ------
    Unreadable, BadInput
        If it cannot be used.
    """
    if field.type == "quantity":
        return _quantity(field, value, prefer)
    return _READERS[field.type](field, value)


def missing(field: Field) -> Complaint:
    """Return the complaint about a field that must be written and is not."""
    return Complaint(field.name, None, f"write {such_as(field)}", field.meaning)


def such_as(field: Field) -> str:
    """Return how the field may be written."""
    return f"{field.name} such as {as_written(field.example)}"


def _unknown(kind: Kind, command: Mapping[str, object]) -> list[Complaint]:
    usual = [one.name for one in ENVELOPE if kind.scope != "studio" or one.name != "edition"]
    known = [*usual, *(one.name for one in kind.fields)]
    complaints = []
    for name, value in command.items():
        if name in known:
            continue
        hint = did_you_mean(name, known) or f"It takes {', '.join(known[4:])}."
        shown = as_written(str(name)).strip('"')
        complaints.append(
            Complaint(shown, as_written(value), f"{kind.verb} has no field of that name", hint)
        )
    return complaints


def _refuse(field: Field, value: object, right: str, hint: str = "") -> Unreadable:
    return Unreadable(field.name, value, right, hint)


def _text(field: Field, value: object) -> str:
    longest = int(field.high or 200)
    if not isinstance(value, str) or not value.strip():
        raise _refuse(field, value, f"write text, such as {as_written(field.example)}")
    text = " ".join(value.split())
    if not text.isprintable():
        raise _refuse(field, value, "write it without control characters")
    if len(text) > longest:
        raise _refuse(field, value, f"write at most {longest} characters")
    return text


def _long_text(field: Field, value: object) -> str:
    longest = int(field.high or 4000)
    if not isinstance(value, str) or not value.strip():
        raise _refuse(field, value, f"write text, such as {as_written(field.example)}")
    lines = [line.rstrip() for line in value.strip().splitlines()]
    if not all(char.isprintable() or char == "\t" for line in lines for char in line):
        raise _refuse(field, value, "write it without control characters")
    text = "\n".join(lines)
    if len(text) > longest:
        raise _refuse(field, value, f"write at most {longest} characters")
    return text


def _id(field: Field, value: object) -> str:
    if isinstance(value, str) and re.fullmatch(r"[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?", value):
        return value
    right = f'write small letters, digits and hyphens, at most 40, such as "{field.example}"'
    raise _refuse(field, value, right)


def _whole(field: Field, value: object) -> int:
    low, high = int(field.low if field.low is not None else 0), int(field.high or 100_000)
    if isinstance(value, str) and re.fullmatch(r" *[0-9]{1,9} *", value) and value.isascii():
        value = int(value)
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise _refuse(field, value, f"write a whole number from {low} to {high}")
    return value


def _yes_or_no(field: Field, value: object) -> bool:
    if isinstance(value, bool):
        return value
    words = {"yes": True, "true": True, "no": False, "false": False}
    if isinstance(value, str) and value.strip().lower() in words:
        return words[value.strip().lower()]
    raise _refuse(field, value, "write yes or no")


def _choice(field: Field, value: object) -> str:
    text = " ".join(value.split()).lower() if isinstance(value, str) else None
    found = next((one for one in field.choices if one.lower() == text), None)
    if found is not None:
        return found
    right = f"write one of {', '.join(field.choices)}"
    raise _refuse(field, value, right, did_you_mean(text or "", field.choices))


def _date(field: Field, value: object) -> str:
    try:
        if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
            return date.fromisoformat(value).isoformat()
    except ValueError:
        pass
    raise _refuse(field, value, 'write a date such as "2027-03-01"')


def _counts(field: Field, value: object) -> dict[str, int]:
    """Read ``{"stuck": 2}`` or ``"2 stuck, 1 warp"``."""
    pairs = _pairs(value)
    keys = field.choices or CAUSES
    shown = f'write counts such as "2 {keys[0]}, 1 {keys[-1]}", of {", ".join(keys)}'
    found: dict[str, int] = {}
    for word, count in pairs or []:
        key = " ".join(str(word).split()).lower()
        if key not in keys:
            raise _refuse(field, value, shown, did_you_mean(key, keys))
        if isinstance(count, bool) or not isinstance(count, int) or not 0 <= count <= 100_000:
            raise _refuse(field, value, f"{shown}; each count is a whole number")
        if key in found:
            raise _refuse(field, value, f"write {key} once")
        found[key] = count
    if pairs is None:
        raise _refuse(field, value, shown)
    # a count of nothing is told by a stocktake, and is no loss
    return found if field.type == "counts" else {key: n for key, n in found.items() if n}


def _pairs(value: object) -> list[tuple[object, object]] | None:
    if isinstance(value, Mapping):
        return [(key, _int(count)) for key, count in value.items()] if len(value) < 100 else None
    if not isinstance(value, str) or not value.strip() or len(value) > 2000:
        return None
    pairs: list[tuple[object, object]] = []
    for part in re.split(r" *(?:,|;|\band\b) *", value.strip()):
        found = re.fullmatch(r"([0-9]{1,6}) +(.+)", part, re.ASCII)
        if found is None:
            return None
        pairs.append((found[2], int(found[1])))
    return pairs


def _int(value: object) -> object:
    is_number = isinstance(value, str) and re.fullmatch(r"[0-9]{1,6}", value, re.ASCII)
    return int(str(value)) if is_number else value


def _piece_causes(field: Field, value: object) -> dict[str, str]:
    """Read ``{"7": "warp"}`` or ``"7 warp, AP 2 crawl"``."""
    right = 'write pieces and causes such as "7 warp, P-00012 crawl"'
    if isinstance(value, Mapping):
        pairs = [(str(piece), cause) for piece, cause in value.items()]
    elif isinstance(value, str) and value.strip() and len(value) < 8000:
        parts = re.split(r" *[,;] *", value.strip())
        words = "|".join(map(re.escape, CAUSES))
        found = [re.fullmatch(rf"(.+?) +({words})", part, re.IGNORECASE) for part in parts]
        pairs = [(one[1], one[2]) if one else ("", "") for one in found]
    else:
        raise _refuse(field, value, right)
    told: dict[str, str] = {}
    for piece, cause in pairs:
        name = read_piece(piece)
        word = cause.lower().strip() if isinstance(cause, str) else ""
        if name is None or word not in CAUSES or name in told or len(told) >= MOST:
            raise _refuse(field, value, f"{right}; the causes are {', '.join(CAUSES)}")
        told[name] = word
    return told


def _selection(field: Field, value: object) -> dict[str, object]:
    return read_selection(value, field.letter, field.name, all_allowed=True).as_json()


def _labels(field: Field, value: object) -> list[str]:
    return list(read_selection(value, field.letter, field.name, all_allowed=False).some)


def _label(field: Field, value: object) -> str:
    found = read_label(value, field.letter)
    if found is None:
        or_number = (
            " or 7" if len(field.letter) == 1 else ""
        )  # a lot's number alone says too little
        example = label(field.letter[0], 7)
        raise _refuse(field, value, f'write one label, such as "{example}"{or_number}')
    return found


def _piece(field: Field, value: object) -> str:
    found = read_piece(value)
    if found is None:
        raise _refuse(field, value, RIGHT_PIECES)
    return found


def _names(field: Field, value: object) -> list[str]:
    """Read names of parts: a list, or text with commas."""
    items = value.split(",") if isinstance(value, str) else value
    if not isinstance(items, (list, tuple)) or not 0 < len(items) <= 40:
        raise _refuse(field, value, f"write names such as {as_written(field.example)}, at most 40")
    one = Field(name=field.name, type="text", meaning="", example=field.example, high=60)
    names = [_text(one, item) for item in items]
    if len(set(names)) != len(names):
        raise _refuse(field, value, "write each name once")
    return names


def _digest(field: Field, value: object) -> str:
    if isinstance(value, str) and re.fullmatch(r"[0-9a-f]{64}", value):
        return value
    raise _refuse(field, value, "write the photo's SHA-256 as 64 small hexadecimal digits")


def _entry(field: Field, value: object) -> str | int:
    if isinstance(value, int) and not isinstance(value, bool) and 0 < value < 10**12:
        return value
    if isinstance(value, str):
        text = value.strip()
        if re.fullmatch(r"[0-9]{1,12}", text, re.ASCII) and int(text):
            return int(text)
        if re.fullmatch(r"e-[a-z2-7]{26}", text):
            return text
    raise _refuse(field, value, "write an entry's number such as 412, or its id")


def _changes(field: Field, value: object) -> dict[str, object]:
    if isinstance(value, Mapping) and value and all(isinstance(key, str) for key in value):
        return dict(value)
    right = 'write the fields that were wrong, as they should be, such as {"good": 7}'
    raise _refuse(field, value, right)


def _money(field: Field, value: object) -> dict[str, str]:
    codes = re.findall(r"[A-Za-z]{3}", value) if isinstance(value, str) else []
    currency = next((code.upper() for code in codes if code.upper() in CURRENCIES), "")
    if not currency:
        raise _refuse(field, value, f"write an amount and its currency, such as {field.example}")
    money = read_money(value, currency, path=field.name)
    typed = " ".join(str(value).split())
    return {"value": _plain(money.amount), "currency": currency, "typed": typed}


def _quantity(field: Field, value: object, prefer: str | None) -> dict[str, str]:
    exact = read_exactly(value, field.dimension, prefer=prefer, path=field.name)
    unit = HOUSE[DIMENSIONS[field.dimension].house]
    is_in_range = (field.low is None or exact >= Fraction(str(field.low))) and (
        field.high is None or exact <= Fraction(str(field.high))
    )
    if not is_in_range:
        raise _refuse(
            field, value, f"it must be between {field.low:g} and {field.high:g} {unit}".rstrip()
        )
    # a millionth of a house unit is below any scale in a pottery
    shown = Decimal(round(exact * 10**6)).scaleb(-6)
    return {"value": _plain(shown), "unit": unit, "typed": " ".join(str(value).split())}


def _plain(number: Decimal) -> str:
    text = f"{number:f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text) or "0"


_READERS: dict[str, Callable[[Field, object], object]] = {
    "causes": _counts,
    "changes": _changes,
    "choice": _choice,
    "counts": _counts,
    "date": _date,
    "digest": _digest,
    "entry": _entry,
    "id": _id,
    "label": _label,
    "labels": _labels,
    "long text": _long_text,
    "money": _money,
    "names": _names,
    "numbers": lambda field, value: read_numbers(value, field.name),
    "piece": _piece,
    "piece causes": _piece_causes,
    "pieces": lambda field, value: read_pieces(value, field.name),
    "readings": lambda field, value: read_readings(field.name, value),
    "selection": _selection,
    "text": _text,
    "time of day": lambda field, value: read_clock(field.name, value),
    "whole": _whole,
    "yes or no": _yes_or_no,
}
