"""Heating rates and differences of temperature, as they are typed and as they are shown.

A difference is not a temperature: ten degrees more are 18 of the other kind, not 50.
"""

from __future__ import annotations

import re
from fractions import Fraction

from pourwright.errors import BadInput, as_written
from pourwright.unit_sizes import convert

_PER_HOUR = re.compile(
    r"([0-9]+(?:\.[0-9]+)?|\.[0-9]+)\s*(?:°|deg\.?\s*)?([CFK])\s*(?:/|\s+per\s+|\s+an\s+)\s*"
    r"(h|hr|hour|min|minute)",
    re.IGNORECASE,
)


def read_rate(raw: object, path: str, example: str = "60 C/h") -> float:
    """Return a heating or cooling rate; the path and the example are for a refusal. [degC/h]

    Examples
    --------
    >>> read_rate("108 F/h", "--rate"), read_rate("1 °C per minute", "--rate")
    (60.0, 60.0)
    """
    text = raw.strip() if isinstance(raw, str) else ""
    found = _PER_HOUR.fullmatch(text) if len(text) <= 40 else None
    if found is None:
        hint = "A rate is degrees over an hour, with its scale." if text else ""
        raise BadInput.one(path, as_written(raw), f'write a rate such as "{example}"', hint)
    degrees = float(found[1]) * (5 / 9 if found[2].upper() == "F" else 1.0)
    return round(degrees * (60 if found[3].lower().startswith("min") else 1), 9)


def show_rate(degc_per_h: float, units: str) -> str:
    """Return a rate as the maker reads it.

    Examples
    --------
    >>> show_rate(60.0, "metric"), show_rate(60.0, "us"), show_rate(13.75, "metric")
    ('60 °C/h', '108 °F/h', '14 °C/h')
    """
    return f"{show_difference(degc_per_h, units)}/h"


def show_difference(degc: float, units: str, *, sign: bool = False) -> str:
    """Return a difference of two temperatures as the maker reads it.

    Examples
    --------
    >>> show_difference(10.0, "metric"), show_difference(10.0, "us", sign=True)
    ('10 °C', '+18 °F')
    """
    degrees = degc * 1.8 if units == "us" else degc
    number = f"{degrees:+.0f}" if sign else f"{degrees:.0f}"
    return f"{number} °{'F' if units == 'us' else 'C'}"


# --- numbers whose unit is no dimension of the house's, as they are shown: metric or US

_US = {
    "MPa": ("psi", "megapascal", "pound_force_per_square_inch"),
    "kg/l": ("lb/qt", "kilogram/liter", "pound/quart"),
    "l/kg": ("qt/lb", "liter/kilogram", "quart/pound"),
    "m3/kg dry air": ("cu ft/lb dry air", "meter**3/kilogram", "foot**3/pound"),
    "m3/h": ("cu ft/min", "meter**3/hour", "foot**3/minute"),
    "g/m2 h": ("oz/sq ft h", "gram/meter**2", "ounce/foot**2"),
    "kJ/kg of water": ("Btu/lb of water", "kilojoule/kilogram", "Btu_it/pound"),
}
"""How a unit is written in the US, and the names of the two."""


def show_number(value: float, unit: str, units: str, digits: int = 3) -> str:
    """Return a number with its unit, as the maker reads it; a unit without a US one stays.

    Examples
    --------
    >>> show_number(14.62, "MPa", "metric"), show_number(14.62, "MPa", "us")
    ('14.6 MPa', '2120 psi')
    >>> show_number(2430.0, "kJ/kg of water", "us", 4)
    '1045 Btu/lb of water'
    """
    if units == "us" and unit in _US:
        unit, metric, us = _US[unit]
        value *= float(convert(Fraction(1), metric, us))
    return f"{significant(value, digits)} {unit}".rstrip()


def significant(value: float, digits: int) -> str:
    """Return a number of so many digits, without an exponent.

    Examples
    --------
    >>> significant(0.012345, 3), significant(12345.6, 3), significant(2.0, 3)
    ('0.0123', '12346', '2.00')
    """
    rounded = f"{value:#.{digits}g}"
    if "e" not in rounded:
        return rounded.rstrip(".")
    return f"{value:.0f}" if abs(value) >= 1 else f"{value:.{digits + 4}f}"
