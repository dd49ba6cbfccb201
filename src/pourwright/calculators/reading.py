"""What was typed for a question, read ask by ask; everything wrong is told at once."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

from pourwright.briefs.days_text import read_day
from pourwright.briefs.fields import Field
from pourwright.briefs.first_questions import units_of
from pourwright.briefs.read_field import Sheet, read_value, short
from pourwright.calculators.question import (
    Ask,
    Given,
    Question,
    Told,
    Typed,
    Units,
)
from pourwright.calculators.rates import read_rate
from pourwright.errors import BadInput, Complaint, as_written, did_you_mean
from pourwright.quantities import read
from pourwright.units import DIMENSIONS

MOST_ENTRIES = 60
"""Times that an ask may be told."""

_US_WORDS = re.compile(r"(?<![\w])US\b|[0-9] *°?F\b|[0-9] *in\b")
_NUMBER = re.compile(r"[-+]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)")
_LONGEST = 80
_WHEN = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})(?:[ T]+([0-9]{1,2}:[0-9]{2}))?")


def read_given(
    question: Question,
    typed: Mapping[str, object],
    *,
    today: date,
    units: Units | None = None,
    studio: Path | None = None,
) -> Given:
    """Return the values that an answer is worked out from.

    Parameters
    ----------
    question : Question
        What is asked.
    typed : mapping
        What was typed, by the ask's name; a list where it was told more than once.
    today : date
        The day it is.
    units : {"metric", "us"}, optional
        What the answer is shown in, and whose pint a bare pint is. Without it: the
        studio's, or else those of what was typed, and a bare pint is asked about.
    studio : Path, optional
        A ``studio.toml`` that tells what was not typed.

    Returns
    -------
    Given

    Raises
    ------
    BadInput
        With a complaint for each thing that cannot be used.
    """
    known, of_studio = _from_studio(question, studio, today)
    prefer = units or of_studio
    shown: Units = prefer or ("us" if _looks_us(typed) else "metric")
    sheet = Sheet("", today, prefer or "metric")
    told: dict[str, Told] = {}
    complaints = _unknown(question, typed)
    for one in question.asks:
        try:
            found = _told(one, typed.get(one.name), known.get(one.name), sheet, shown)
        except BadInput as error:
            complaints += error.complaints
            continue
        if found is not None:
            told[one.name] = found
    given = {name for name in typed if typed[name] is not None}
    complaints += _missing(question, given | set(known)) + _groups(question, given)
    if complaints:
        raise BadInput(complaints)
    return Given(told, shown, today)


def _looks_us(typed: Mapping[str, object]) -> bool:
    texts = [text for raw in typed.values() for text in (raw if isinstance(raw, list) else [raw])]
    words = [text for text in texts if isinstance(text, str)]
    return units_of(*words) == "us" or any(_US_WORDS.search(text) for text in words)


def _from_studio(
    question: Question, path: Path | None, today: date
) -> tuple[dict[str, str], Units | None]:
    """Return what the studio's file tells of the asks, as it was written, and its units."""
    if path is None:
        return {}, None
    from pourwright.briefs.studio_file import read_studio  # NumPy comes with it

    studio = read_studio(path, today)
    known: dict[str, str] = {}
    for one in question.asks:
        origin = studio.origins.get(one.studio)
        if origin is not None and origin.kind == "studio" and origin.typed is not None:
            known[one.name] = origin.typed
    return known, studio.studio.units


def _unknown(question: Question, typed: Mapping[str, object]) -> list[Complaint]:
    names = [one.name for one in question.asks]
    return [
        Complaint(str(name)[:_LONGEST], as_written(raw), "nothing of that name is asked", did_you_mean(name, names))
        for name, raw in typed.items() if name not in names
    ]  # fmt: skip


def _missing(question: Question, known: set[str]) -> list[Complaint]:
    return [
        Complaint(one.option, None, f'write it such as {one.option} "{one.example}"', one.meaning)
        for one in question.asks
        if one.required and one.name not in known
    ]


def _groups(question: Question, typed: set[str]) -> list[Complaint]:
    """Return what is wrong with asks that go together, or in each other's place."""
    found: list[Complaint] = []
    for group, is_needed in (
        *((one, True) for one in question.one_of),
        *((one, False) for one in question.at_most_one),
    ):
        here = [name for name in group if name in typed]
        options = _either([question.ask_named(name).option for name in group])
        if len(here) > 1:
            others = " and ".join(question.ask_named(name).option for name in here[1:])
            first = question.ask_named(here[0]).option
            found.append(Complaint(first, f"told beside {others}", f"give one of {options}"))
        elif not here and is_needed:
            found.append(Complaint(options, None, "give one of them"))
    for group in question.together:
        lacking = [name for name in group if name not in typed]
        if 0 < len(lacking) < len(group):
            first = next(name for name in group if name in typed)
            found += [
                Complaint(question.ask_named(name).option, None,
                          f"{question.ask_named(first).option} needs it too",
                          question.ask_named(name).meaning)
                for name in lacking
            ]  # fmt: skip
    return found


def _either(options: list[str]) -> str:
    return f"{', '.join(options[:-1])} or {options[-1]}" if len(options) > 1 else options[0]


def _told(ask: Ask, raw: object, known: str | None, sheet: Sheet, shown: str) -> Told | None:
    """Return what was typed, else what the studio says, else the default, else nothing."""
    if raw is not None:
        return Told(ask, _text_of(raw), _value(ask, raw, sheet, shown), "typed")
    if known is not None:
        return Told(ask, known, _value(ask, known, sheet, shown), "studio")
    if ask.default is not None:
        return Told(ask, ask.default, _value(ask, ask.default, sheet, shown), "default")
    return None


def _text_of(raw: object) -> str:
    if isinstance(raw, list):
        return "; ".join(_text_of(one) for one in raw)
    return raw if isinstance(raw, str) else as_written(raw)


def _value(ask: Ask, raw: object, sheet: Sheet, shown: str) -> Any:
    if not ask.many:
        return _one(ask, raw, ask.option, sheet, shown)
    entries: list[Typed] = [
        part for text in (raw if isinstance(raw, list) else [raw]) for part in _split(text)
    ]
    if not 0 < len(entries) <= MOST_ENTRIES:
        right = f'give 1 to {MOST_ENTRIES}, each such as "{ask.example_for(shown)}"'
        raise BadInput.one(ask.option, f"told {len(entries)} times", right)
    return _each(ask, entries, sheet, shown)


def _split(text: object) -> list[Any]:
    """Return the entries of one text: a semicolon or a line's end parts them."""
    if not isinstance(text, str):
        return [text]
    return [part.strip() for part in re.split(r"[;\n]", text) if part.strip()] or [text]


def _each(ask: Ask, entries: list[Typed], sheet: Sheet, shown: str) -> tuple[Any, ...]:
    values: list[Any] = []
    complaints: list[Complaint] = []
    for place, entry in enumerate(entries, 1):
        path = ask.option if len(entries) == 1 else f"{ask.option} ({place})"
        try:
            values.append(_one(ask, entry, path, sheet, shown))
        except BadInput as error:
            complaints += error.complaints
    if complaints:
        raise BadInput(complaints)
    return tuple(values)


def _one(ask: Ask, raw: object, path: str, sheet: Sheet, shown: str) -> Any:
    """Return one value, inside the limits of its ask."""
    if ask.kind == "row":
        return _row(ask, raw, path, sheet, shown)
    value = _READERS[ask.kind](ask, raw, path, sheet)
    limits = (ask.low, ask.high) if ask.low is not None and ask.high is not None else None
    _refuse_outside(ask, value, raw, path, limits, ask.dimension, shown)
    return value


def _quantity(ask: Ask, raw: object, path: str, sheet: Sheet) -> float:
    return read(raw, ask.dimension, prefer=sheet.prefer, path=path)


def _number(ask: Ask, raw: object, path: str, sheet: Sheet) -> float:
    text = raw.strip() if isinstance(raw, str) else raw
    if isinstance(text, str) and len(text) <= _LONGEST and _NUMBER.fullmatch(text):
        return float(text)
    if isinstance(text, (int, float)) and not isinstance(text, bool) and abs(text) < 1e15:
        return float(text)
    hint = ""
    if isinstance(text, str) and re.fullmatch(r"[0-9]+,[0-9]+", text):
        hint = f"Write {text.replace(',', '.')[:30]} or {text.replace(',', '')[:30]}, whichever is meant."
    if not hint and isinstance(ask.hint, str):
        hint = ask.hint
    right = f"it must be a number alone, such as {ask.example}"
    raise BadInput.one(path, as_written(raw), right, hint)


def _whole(ask: Ask, raw: object, path: str, sheet: Sheet) -> int:
    if isinstance(raw, int) and not isinstance(raw, bool):
        return raw
    if isinstance(raw, str) and re.fullmatch(r"[-+]?[0-9]{1,9}", raw.strip()):
        return int(raw)
    raise BadInput.one(path, as_written(raw), f"it must be a whole number, such as {ask.example}")


def _rate(ask: Ask, raw: object, path: str, sheet: Sheet) -> float:
    return read_rate(raw, path, ask.example_for(sheet.units))


def _yes(ask: Ask, raw: object, path: str, sheet: Sheet) -> bool:
    if raw in ("yes", "no"):
        return raw == "yes"
    if isinstance(raw, bool):
        return raw
    raise BadInput.one(path, as_written(raw), 'it must be "yes" or "no"')


def _text(ask: Ask, raw: object, path: str, sheet: Sheet) -> str:
    if isinstance(raw, str) and raw.strip() and len(raw) <= _LONGEST and raw.isprintable():
        return raw.strip()
    right = f'it must be one line of 1 to {_LONGEST} letters, such as "{ask.example}"'
    raise BadInput.one(path, as_written(raw), right)


def _by_field(ask: Ask, raw: object, path: str, sheet: Sheet) -> object:
    kind: Any = ask.kind
    spec = Field(
        path=path, kind=kind, meaning="", source="", example=ask.example, choices=ask.choices
    )
    return read_value(raw, spec, path, sheet)


_READERS: dict[str, Callable[[Ask, object, str, Sheet], Any]] = {
    "quantity": _quantity,
    "number": _number,
    "whole": _whole,
    "rate": _rate,
    "yes": _yes,
    "text": _text,
    "choice": _by_field,
    "date": _by_field,
    "cone": _by_field,
}


def _refuse_outside(
    ask: Ask, value: object, raw: object, path: str, limits: tuple[float, float] | None,
    dimension: str, shown: str,
) -> None:  # fmt: skip
    if limits is None or isinstance(value, bool) or not isinstance(value, (int, float)):
        return
    low, high = limits
    if low <= value <= high:
        return
    unit = f" {ask.unit}" if ask.unit and not dimension else ""
    ends = [short(end, dimension, shown) if dimension else f"{end:g}" for end in limits]
    right = f"it must be between {ends[0]} and {ends[1]}{unit}"
    raise BadInput.one(path, as_written(raw), right, _hint(ask, value, dimension, limits))


def _hint(ask: Ask, value: float, dimension: str, limits: tuple[float, float]) -> str:
    """Return the ask's own hint, else the likely slip of hand."""
    if callable(ask.hint):
        return ask.hint(value)
    if ask.hint:
        return ask.hint
    if dimension == "liter weight":
        from pourwright.materials.slip.liter_weight import likely_slip_of_hand

        return likely_slip_of_hand(value)
    return _likely_slip(value, dimension, limits)


_SMALLER = {"mass": ("g", "kg"), "volume": ("ml", "l")}


def _likely_slip(value: float, dimension: str, limits: tuple[float, float]) -> str:
    """Return which other unit would put a value inside its limits, as a question."""
    low, high = limits
    if dimension == "temperature" and low <= (value - 32) / 1.8 <= high:
        return f"Was it read in °F? {value:g} °F is {(value - 32) / 1.8:.0f} °C."
    if dimension in _SMALLER and low <= value / 1000 <= high:
        small, large = _SMALLER[dimension]
        return f"Was it {value:g} {small} rather than {large}?"
    return ""


def _row(ask: Ask, raw: object, path: str, sheet: Sheet, shown: str) -> tuple[Any, ...]:
    """Return the values of one entry, such as ``(5.0, 12.0)`` of "5 mm in 12 min"."""
    right = f'write it such as "{ask.example_for(shown)}"'
    if not isinstance(raw, str) or len(raw) > 2 * _LONGEST:
        raise BadInput.one(path, as_written(raw), right)
    parts = [part for part in ask.row if _is_part(part)]
    found = re.fullmatch(_pattern(ask.row), raw.strip(), re.IGNORECASE)
    if found is None:
        raise BadInput.one(path, as_written(raw), right)
    values = []
    for place, (part, text) in enumerate(zip(parts, found.groups(), strict=True)):
        value = _part(ask, part, text.strip(), path, sheet)
        limits = ask.limits[place] if ask.limits else None
        dimension = part if part in DIMENSIONS else ""
        _refuse_outside(ask, value, text.strip(), path, limits, dimension, shown)
        values.append(value)
    return tuple(values)


_OTHER_PARTS = {
    "date": "date",
    "when": "date",
    "number": "number",
    "whole": "whole",
    "text": "text",
}


def _is_part(word: str) -> bool:
    return word in DIMENSIONS or word in _OTHER_PARTS


_PART_PATTERN = {
    "date": r"([0-9]{4}-[0-9]{2}-[0-9]{2})",
    "when": r"([0-9]{4}-[0-9]{2}-[0-9]{2}(?:[ T]+[0-9]{1,2}:[0-9]{2})?)",
    "number": r"([^\s]+)",
    "whole": r"([^\s]+)",
}


def _pattern(row: tuple[str, ...]) -> str:
    patterns = [
        _PART_PATTERN.get(word, "(.+)") if _is_part(word) else re.escape(word) for word in row
    ]
    return r"\s+".join(patterns)


def _part(ask: Ask, part: str, text: str, path: str, sheet: Sheet) -> Any:
    if part in DIMENSIONS:
        return read(text, part, prefer=sheet.prefer, path=path)
    if part == "when":
        return _when(text, path, sheet)
    if part == "date":
        return read_day(text, sheet.today, path)
    example = {"number": "2.5", "whole": "3", "text": "as it is"}[part]
    return _READERS[part](replace(ask, example=example), text, path, sheet)


def _when(text: str, path: str, sheet: Sheet) -> datetime:
    """Return a moment of the studio's own clock; without a time of day, noon."""
    found = _WHEN.fullmatch(text)
    day = read_day(found[1] if found else text, sheet.today, path)
    clock = (found[2] if found else None) or "12:00"
    hours, minutes = (int(one) for one in clock.split(":"))
    if hours > 23 or minutes > 59:
        right = 'a time of day runs from "0:00" to "23:59"'
        raise BadInput.one(path, as_written(text), right)
    return datetime(day.year, day.month, day.day, hours, minutes)  # noqa: DTZ001 - the wall clock


def is_finite(value: object) -> bool:
    """Return whether a value may be shown: anything but an infinity or not a number.

    Examples
    --------
    >>> is_finite(1.5), is_finite(float("nan")), is_finite("cone 6")
    (True, False, True)
    """
    return not isinstance(value, float) or math.isfinite(value)
