"""Heating rates and differences of temperature, as they are typed and as they are shown.

A difference is not a temperature: ten degrees more are 18 of the other kind, not 50.
"""

from __future__ import annotations

import re

from pourwright.errors import BadInput, as_written

_PER_HOUR = re.compile(
    r"([0-9]+(?:\.[0-9]+)?|\.[0-9]+)\s*(?:°|deg\.?\s*)?([CFK])\s*(?:/|\s+per\s+|\s+an\s+)\s*"
    r"(h|hr|hour|min|minute)",
    re.IGNORECASE,
)


def read_rate(raw: object, path: str, example: str = "60 C/h") -> float:
    """Return a heating or cooling rate.

    Parameters
    ----------
    raw : object
        What was typed, such as ``"60 C/h"``, ``"108 F/h"`` or ``"2 C/min"``.
    path : str
        The field, for the sentence of a refusal.
    example : str
        What may be typed.

    Returns
    -------
    float
        [degC/h]

    Raises
    ------
    BadInput
        If it cannot be read.

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
