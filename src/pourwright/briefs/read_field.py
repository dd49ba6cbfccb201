"""The kinds of fields that only a file has, and every field of a file read by its kind."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from importlib.resources import files
from typing import Any

from pourwright.briefs.days_text import read_days_off
from pourwright.briefs.studio_fields import WEEKDAYS
from pourwright.errors import BadInput, did_you_mean
from pourwright.fields import Field
from pourwright.money import CURRENCIES
from pourwright.reading import (
    READERS,
    Reader,
    Sheet,
    each,
    entries_of,
    one_of,
    read_one,
    refusal,
    span_of,
    such_as,
)

FORMAT_VERSION = 1


def read_file_value(raw: object, spec: Field, path: str, sheet: Sheet) -> Any:
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
    return read_one(raw, spec, path, sheet, OWN)


def _days_off(raw: object, spec: Field, path: str, sheet: Sheet) -> object:
    return each(entries_of(raw, spec, path, sheet), path, read_days_off)


def _weekdays(raw: object, spec: Field, path: str, sheet: Sheet) -> tuple[int, ...]:
    entries = entries_of(raw, spec, path, sheet)
    names = each(entries, path, lambda entry, where: one_of(entry, WEEKDAYS, where))
    if not names:
        right = f"somebody must work on one day at least, such as {such_as(spec, sheet)}"
        raise refusal(path, raw, right)
    return tuple(sorted({WEEKDAYS.index(name) for name in names}))


def _box(raw: object, spec: Field, path: str, sheet: Sheet) -> object:
    sides = entries_of(raw, spec, path, sheet)
    if len(sides) != 3:
        right = f"it must be length, width and height, such as {such_as(spec, sheet)}"
        raise refusal(path, raw, right)

    side = replace(spec, kind="quantity")
    return each(sides, path, lambda entry, where: read_one(entry, side, where, sheet))


def _life(raw: object, spec: Field, path: str, sheet: Sheet) -> object:
    if raw == "unknown":
        return None
    if (span := span_of(raw)) is not None:
        return sum(span) // 2
    try:
        return READERS["whole"](raw, spec, path, sheet)
    except BadInput:
        hint = did_you_mean(raw, ("unknown",)) if isinstance(raw, str) else ""
        right = 'it must be a whole number of casts, a range such as "25-30", or "unknown"'
        raise refusal(path, raw, right, hint) from None


def _cone(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    from pourwright.materials.kiln.cones import cone_name, cone_names  # NumPy is loaded with it

    names = cone_names()
    if isinstance(raw, str) and cone_name(raw) in names:
        return cone_name(raw)
    right = f'it must be a cone from "{names[0]}" to "{names[-1]}", in quotes since 06 is not 6'
    raise refusal(path, raw, right)


def _currency(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    if isinstance(raw, str) and raw in CURRENCIES:
        return raw
    right = 'it must be a currency\'s three letters (ISO 4217), such as "EUR" or "USD"'
    raise refusal(path, raw, right, did_you_mean(raw, CURRENCIES) if isinstance(raw, str) else "")


def _country(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    if isinstance(raw, str) and raw in _countries():
        return raw
    right = 'it must be a country\'s two letters (ISO 3166) whose holidays are known, such as "US" or "DK"'
    code = country_code(raw) if isinstance(raw, str) else ""
    raise refusal(path, raw, right, f"Did you mean {code}?" if code in _countries() else "")


def country_code(text: str) -> str:
    """Return the two letters of a country that is told by them, by another code or by its English name.

    What names none is returned as it was told.

    Examples
    --------
    >>> country_code("de"), country_code("South Korea"), country_code("UK"), country_code("Atlantis")
    ('DE', 'KR', 'GB', 'Atlantis')
    """
    from holidays.registry import COUNTRIES

    told = text.strip().casefold()
    for name, (_, code, *others) in COUNTRIES.items():
        if told in {name.replace("_", " "), *(one.casefold() for one in (code, *others))}:
            return code
    return text


def _region(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    text = str(READERS["text"](raw, spec, path, sheet))
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
    raise refusal(path, raw, right, did_you_mean(text, regions))


@cache
def _countries() -> dict[str, list[str]]:
    import holidays  # a quarter of a second; only a file that names a country pays it

    return holidays.list_supported_countries(include_aliases=False)


def _zone(raw: object, spec: Field, path: str, sheet: Sheet) -> str:
    zones = _zones()
    if isinstance(raw, str) and raw in zones:
        return raw
    right = 'it must be a time zone\'s IANA name, such as "Europe/Copenhagen"'
    raise refusal(
        path, raw, right, did_you_mean(raw, sorted(zones)) if isinstance(raw, str) else ""
    )


@cache
def _zones() -> frozenset[str]:
    return frozenset((files("tzdata") / "zones").read_text(encoding="utf-8").split())


OWN: dict[str, Reader] = {
    "box": _box,
    "cone": _cone,
    "country": _country,
    "currency": _currency,
    "days off": _days_off,
    "life": _life,
    "region": _region,
    "weekdays": _weekdays,
    "zone": _zone,
}
"""The kinds that only a file has; a calculator reads a cone too."""
