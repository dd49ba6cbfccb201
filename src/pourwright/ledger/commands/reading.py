"""Commands read field by field: everything that is wrong is told at once."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from pourwright.errors import BadInput, Complaint, as_written, did_you_mean
from pourwright.ledger.causes import CAUSES, read_cause
from pourwright.ledger.kinds.fields import ENVELOPE, BookField, Kind
from pourwright.ledger.labels import (
    MOST,
    RIGHT_PIECES,
    label,
    read_label,
    read_numbers,
    read_piece,
    read_pieces,
    read_selection,
)
from pourwright.ledger.thermometer import read_clock, read_readings
from pourwright.money import Money
from pourwright.quantities import read_exactly
from pourwright.reading import Reader, Sheet, missing, read_one, refusal

Fields = dict[str, object]
"""A command's fields, read: what a body is made of."""


def read_fields(kind: Kind, command: Mapping[str, object], prefer: str | None = None) -> Fields:
    """Return a command's own fields, read; what names things is not looked up yet.

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
    fields: Fields = {}
    for field in kind.fields:
        value = command.get(field.name)
        if value is None:
            complaints += [missing(field, field.name, Sheet())] if field.required else []
            continue
        try:
            fields[field.name] = read_value(field, value, prefer)
        except BadInput as wrong:
            complaints += wrong.complaints
    if complaints:
        raise BadInput(complaints)
    return fields


def read_value(field: BookField, value: object, prefer: str | None = None) -> object:
    """Return one field's value, read.

    Raises
    ------
    BadInput
        If it cannot be used.
    """
    if field.kind == "text" and isinstance(value, str):
        value = " ".join(value.split())  # a line's end is no fault in what a phone sends
    read = read_one(value, field, field.name, Sheet(units=prefer or "metric", currency=""), OWN)
    if isinstance(read, date):
        return read.isoformat()
    if isinstance(read, Money):
        told = {"value": _plain(read.amount), "currency": read.currency}
    elif isinstance(read, Fraction):
        # a millionth of a house unit is below any scale in a pottery
        shown = Decimal(round(read * 10**6)).scaleb(-6)
        told = {"value": _plain(shown), "unit": field.house_unit}
    else:
        return read
    return told | {"typed": " ".join(str(value).split())}


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


def _long_text(value: object, field: BookField, path: str, sheet: Sheet) -> str:
    longest = int(field.high or 4000)
    if not isinstance(value, str) or not value.strip():
        raise refusal(path, value, f"write text, such as {as_written(field.example)}")
    lines = [line.rstrip() for line in value.strip().splitlines()]
    if not all(char.isprintable() or char == "\t" for line in lines for char in line):
        raise refusal(path, value, "write it without control characters")
    text = "\n".join(lines)
    if len(text) > longest:
        raise refusal(path, value, f"write at most {longest} characters")
    return text


def _counts(value: object, field: BookField, path: str, sheet: Sheet) -> dict[str, int]:
    """Read ``{"stuck": 2}`` or ``"2 stuck, 1 warp"``."""
    pairs = _pairs(value)
    keys = field.choices or CAUSES
    shown = f'write counts such as "2 {keys[0]}, 1 {keys[-1]}", of {", ".join(keys)}'
    found: dict[str, int] = {}
    for word, count in pairs or []:
        key = " ".join(str(word).split()).lower()
        if field.kind == "causes":
            key = read_cause(key) or ""
        if not key or (field.kind == "counts" and key not in keys):
            raise refusal(path, value, shown, did_you_mean(key, keys))
        if isinstance(count, bool) or not isinstance(count, int) or not 0 <= count <= 100_000:
            raise refusal(path, value, f"{shown}; each count is a whole number")
        if key in found:
            raise refusal(path, value, f"write {key} once")
        found[key] = count
    if pairs is None:
        raise refusal(path, value, shown)
    # a count of nothing is told by a stocktake, and is no loss
    return found if field.kind == "counts" else {key: n for key, n in found.items() if n}


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


def _piece_causes(value: object, field: BookField, path: str, sheet: Sheet) -> dict[str, str]:
    """Read ``{"7": "warp"}`` or ``"7 warp, AP 2 crawl"``."""
    right = 'write pieces and causes such as "7 warp, P-00012 crawl"'
    if isinstance(value, Mapping):
        pairs = [(str(piece), cause) for piece, cause in value.items()]
    elif isinstance(value, str) and value.strip() and len(value) < 8000:
        parts = re.split(r" *[,;] *", value.strip())
        found = [re.fullmatch(r"(.*?[0-9][0-9/]*) +([^0-9]+)", part) for part in parts]
        pairs = [(one[1], one[2]) if one else ("", "") for one in found]
    else:
        raise refusal(path, value, right)
    told: dict[str, str] = {}
    for piece, cause in pairs:
        name, word = read_piece(piece), read_cause(cause)
        if name is None or word is None or name in told or len(told) >= MOST:
            raise refusal(path, value, f"{right}; the causes are {', '.join(CAUSES)}")
        told[name] = word
    return told


def _cause(value: object, field: BookField, path: str, sheet: Sheet) -> str:
    found = read_cause(value)
    if found is None:
        raise refusal(path, value, f"write one of {', '.join(CAUSES)}")
    return found


def _masses(value: object, field: BookField, path: str, sheet: Sheet) -> dict[str, object]:
    """Read ``{"M-004": "6.41 kg"}`` or ``"4 6.41 kg, 5 6.38 kg"``."""
    right = f"write molds and what each weighs, such as {as_written(field.example)}"
    if isinstance(value, Mapping):
        pairs = [(str(name), one) for name, one in value.items()]
    elif isinstance(value, str) and value.strip() and len(value) < 8000:
        parts = re.split(r" *(?:;|\n|,(?![0-9])|(?<=[a-zA-Z]),) *", value.strip().rstrip(","))
        found = [re.fullmatch(r"([mM][- ]?[0-9]+|[0-9]+)(?: *[:=] *| +)(.+)", one) for one in parts]
        pairs = [(one[1], one[2]) if one else ("", "") for one in found]
    else:
        raise refusal(path, value, right)
    told: dict[str, object] = {}
    one = replace(field, name=path, kind="quantity", dimension="mass", example="6.4 kg")
    for name, mass in pairs:
        label_of = read_label(name, "M")
        if label_of is None or label_of in told or len(told) >= MOST:
            raise refusal(path, value, right)
        told[label_of] = read_value(one, mass, sheet.prefer)
    return told


def _selection(value: object, field: BookField, path: str, sheet: Sheet) -> dict[str, object]:
    return read_selection(value, field.letter, path, all_allowed=True).as_json()


def _labels(value: object, field: BookField, path: str, sheet: Sheet) -> list[str]:
    return list(read_selection(value, field.letter, path, all_allowed=False).some)


def _label(value: object, field: BookField, path: str, sheet: Sheet) -> str:
    found = read_label(value, field.letter)
    if found is None:
        or_number = (
            " or 7" if len(field.letter) == 1 else ""
        )  # a lot's number alone says too little
        example = label(field.letter[0], 7)
        raise refusal(path, value, f'write one label, such as "{example}"{or_number}')
    return found


def _piece(value: object, field: BookField, path: str, sheet: Sheet) -> str:
    found = read_piece(value)
    if found is None:
        raise refusal(path, value, RIGHT_PIECES)
    return found


def _names(value: object, field: BookField, path: str, sheet: Sheet) -> list[str]:
    """Read names of parts: a list, or text with commas."""
    items = value.split(",") if isinstance(value, str) else value
    if not isinstance(items, (list, tuple)) or not 0 < len(items) <= 40:
        raise refusal(path, value, f"write names such as {as_written(field.example)}, at most 40")
    one = BookField(name=field.name, kind="text", meaning="", example=field.example, high=60)
    names = [str(read_value(one, item)) for item in items]
    if len(set(names)) != len(names):
        raise refusal(path, value, "write each name once")
    return names


def _digest(value: object, field: BookField, path: str, sheet: Sheet) -> str:
    if isinstance(value, str) and re.fullmatch(r"[0-9a-f]{64}", value):
        return value
    raise refusal(path, value, "write the photo's SHA-256 as 64 small hexadecimal digits")


def _entry(value: object, field: BookField, path: str, sheet: Sheet) -> str | int:
    if isinstance(value, int) and not isinstance(value, bool) and 0 < value < 10**12:
        return value
    if isinstance(value, str):
        text = value.strip()
        if re.fullmatch(r"[0-9]{1,12}", text, re.ASCII) and int(text):
            return int(text)
        if re.fullmatch(r"e-[a-z2-7]{26}", text):
            return text
    raise refusal(path, value, "write an entry's number such as 412, or its id")


def _changes(value: object, field: BookField, path: str, sheet: Sheet) -> dict[str, object]:
    if isinstance(value, Mapping) and value and all(isinstance(key, str) for key in value):
        return dict(value)
    right = 'write the fields that were wrong, as they should be, such as {"good": 7}'
    raise refusal(path, value, right)


def _quantity(value: object, field: BookField, path: str, sheet: Sheet) -> Fraction:
    such_as = str(field.example)
    return read_exactly(value, field.dimension, prefer=sheet.prefer, path=path, such_as=such_as)


def _plain(number: Decimal) -> str:
    text = f"{number:f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text) or "0"


OWN: dict[str, Reader] = {
    "quantity": _quantity,
    "cause": _cause,
    "causes": _counts,
    "changes": _changes,
    "counts": _counts,
    "digest": _digest,
    "entry": _entry,
    "label": _label,
    "labels": _labels,
    "long text": _long_text,
    "masses": _masses,
    "names": _names,
    "numbers": lambda value, field, path, sheet: read_numbers(value, path),
    "piece": _piece,
    "piece causes": _piece_causes,
    "pieces": lambda value, field, path, sheet: read_pieces(value, path),
    "readings": lambda value, field, path, sheet: read_readings(path, value),
    "selection": _selection,
    "time of day": lambda value, field, path, sheet: read_clock(path, value),
}
