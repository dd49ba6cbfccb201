"""What was typed for a question, read ask by ask; everything wrong is told at once."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from datetime import date, datetime
from pathlib import Path

from pourwright.briefs.first_questions import units_of
from pourwright.briefs.read_field import OWN
from pourwright.calculators.question import (
    Ask,
    Given,
    Group,
    Question,
    Told,
    ToldBy,
    Units,
)
from pourwright.calculators.rates import read_rate
from pourwright.errors import BadInput, Complaint, as_written, did_you_mean
from pourwright.fields import Field
from pourwright.reading import (
    LONGEST_TEXT,
    Reader,
    Sheet,
    missing,
    read_day,
    read_one,
    refusal,
    such_as,
)
from pourwright.units import DIMENSIONS

_US_WORDS = re.compile(r"(?<![\w])US\b|[0-9] *°?F\b|[0-9] *in\b")
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
    shown_in: Units = prefer or ("us" if _looks_us(typed) else "metric")
    sheet = Sheet("", today, prefer or "metric", example_units=shown_in)
    told: dict[str, Told] = {}
    complaints = _unknown(question, typed)
    typed = {name: raw for name, raw in typed.items() if raw not in (None, [])}
    for one in question.asks:
        try:
            found = _told(one, typed.get(one.name), known.get(one.name), sheet)
        except BadInput as error:
            complaints += error.complaints
            continue
        if found is not None:
            told[one.name] = found
    complaints += _missing(question, {*typed, *known}, sheet) + _groups(question, set(typed))
    if complaints:
        raise BadInput(complaints)
    return Given(told, shown_in, today, "" if studio is None else studio.name)


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
    right = "nothing of that name is asked"
    return [
        Complaint(str(name)[:LONGEST_TEXT], as_written(raw), right, did_you_mean(name, names))
        for name, raw in typed.items()
        if name not in names
    ]


def _missing(question: Question, known: set[str], sheet: Sheet) -> list[Complaint]:
    return [
        missing(one, one.option, sheet)
        for one in question.asks
        if one.required and one.name not in known
    ]


def _groups(question: Question, typed: set[str]) -> list[Complaint]:
    """Return what is wrong with asks that go together, or in each other's place."""
    found: list[Complaint] = []
    for group in question.one_of:
        found += _too_many(group, typed)
        if not any(one.name in typed for one in group):
            found.append(Complaint(_either(group), None, "give one of them"))
    for group in question.at_most_one:
        found += _too_many(group, typed)
    for group in question.together:
        found += _incomplete(group, typed)
    return found


def _too_many(group: Group, typed: set[str]) -> list[Complaint]:
    """Return what is wrong if more than one of a group was typed."""
    options = [one.option for one in group if one.name in typed]
    if len(options) < 2:
        return []
    first, *others = options
    right = f"give one of {_either(group)}"
    return [Complaint(first, f"told beside {' and '.join(others)}", right)]


def _incomplete(group: Group, typed: set[str]) -> list[Complaint]:
    """Return what is lacking if only some of a group were typed."""
    first = next((one for one in group if one.name in typed), None)
    if first is None:
        return []
    right = f"{first.option} needs it too"
    return [
        Complaint(one.option, None, right, one.meaning) for one in group if one.name not in typed
    ]


def _either(group: Group) -> str:
    *options, last = [one.option for one in group]
    return f"{', '.join(options)} or {last}" if options else last


def _told(ask: Ask[object], raw: object, known: str | None, sheet: Sheet) -> Told | None:
    """Return what was typed, else what the studio says, else the default, else nothing."""
    by: ToldBy
    if raw is not None:
        text, by = raw, "typed"
    elif known is not None:
        text, by = known, "studio"
    elif ask.default is not None:
        text, by = ask.default_for(sheet.example_units or sheet.units), "default"
    else:
        return None
    return Told(ask, _text_of(text), read_one(text, ask, ask.option, sheet, OWN_KINDS), by)


def _text_of(raw: object) -> str:
    if isinstance(raw, list):
        return "; ".join(_text_of(one) for one in raw)
    return raw if isinstance(raw, str) else as_written(raw)


def _row(raw: object, ask: Ask[object], path: str, sheet: Sheet) -> tuple[object, ...]:
    """Return the values of one entry, such as ``(5.0, 12.0)`` of "5 mm in 12 min"."""
    found = None
    if isinstance(raw, str) and len(raw) <= 2 * LONGEST_TEXT:
        found = re.fullmatch(_pattern(ask.row), raw.strip(), re.IGNORECASE)
    if found is None:
        raise refusal(path, raw, f"write it such as {such_as(ask, sheet)}")
    parts = [part for part in ask.row if _is_part(part)]
    limits = ask.limits or (None,) * len(parts)
    return tuple(
        read_one(text.strip(), _part(ask, part, ends), path, sheet, OWN_KINDS)
        for part, ends, text in zip(parts, limits, found.groups(), strict=True)
    )


_OTHER_PARTS = {
    "date": "2027-03-01",
    "when": "2027-03-01",
    "number": "2.5",
    "whole": "3",
    "text": "as it is",
}
"""What a row may hold beside quantities, such as this."""


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


def _part(ask: Ask[object], part: str, ends: tuple[float, float] | None) -> Field:
    """Return one part of a row as a field of its own."""
    low, high = ends or (None, None)
    is_quantity = part in DIMENSIONS
    return Field(
        name=ask.name,
        kind="quantity" if is_quantity else part,
        dimension=part if is_quantity else "",
        meaning=ask.meaning,
        low=low,
        high=high,
        example=_OTHER_PARTS.get(part),
        hint=ask.hint,
    )


def _when(raw: object, ask: Field, path: str, sheet: Sheet) -> datetime:
    """Return a moment of the studio's own clock; without a time of day, noon."""
    found = _WHEN.fullmatch(str(raw))
    day = read_day(found[1] if found else raw, sheet.today, path)
    hours, minutes = (int(one) for one in ((found and found[2]) or "12:00").split(":"))
    if hours > 23 or minutes > 59:
        raise refusal(path, raw, 'a time of day runs from "0:00" to "23:59"')
    return datetime(day.year, day.month, day.day, hours, minutes)  # noqa: DTZ001 - the wall clock


def _rate(raw: object, ask: Ask[object], path: str, sheet: Sheet) -> float:
    return read_rate(raw, path, str(ask.example_for(sheet.example_units)))


OWN_KINDS: dict[str, Reader] = {"cone": OWN["cone"], "rate": _rate, "row": _row, "when": _when}
"""The kinds of asks beside those of every field."""


def is_finite(value: object) -> bool:
    """Return whether a value may be shown: anything but an infinity or not a number.

    Examples
    --------
    >>> is_finite(1.5), is_finite(float("nan")), is_finite("cone 6")
    (True, False, True)
    """
    return not isinstance(value, float) or math.isfinite(value)
