"""How large the units are: exact by definition, so that a pound is 0.45359237 kg to the last digit.

Every size here is fixed by law or standard and none is measured, so none ever changes: in
NIST Handbook 44, appendix C, and NIST SP 811, appendix B.8; the imperial measures in the Weights
and Measures Act 1985, schedule 1. The tests hold each of them against another library's registry.
"""

from __future__ import annotations

import re
from fractions import Fraction

_INCH = Fraction("0.0254")
_FOOT = 12 * _INCH
_POUND = Fraction("0.45359237")
_LITER = Fraction("0.001")
_US_GALLON = 231 * _INCH**3
_IMPERIAL_GALLON = Fraction("4.54609") * _LITER
_HOUR = Fraction(3600)
_GRAVITY = Fraction("9.80665")

_SIZES: dict[str, tuple[str, Fraction]] = {
    "gram": ("mass", Fraction("0.001")),
    "kilogram": ("mass", Fraction(1)),
    "metric_ton": ("mass", Fraction(1000)),
    "ounce": ("mass", _POUND / 16),
    "pound": ("mass", _POUND),
    "liter": ("volume", _LITER),
    "deciliter": ("volume", _LITER / 10),
    "centiliter": ("volume", _LITER / 100),
    "milliliter": ("volume", _LITER / 1000),
    "gallon": ("volume", _US_GALLON),
    "quart": ("volume", _US_GALLON / 4),
    "pint": ("volume", _US_GALLON / 8),
    "US_pint": ("volume", _US_GALLON / 8),
    "cup": ("volume", _US_GALLON / 16),
    "fluid_ounce": ("volume", _US_GALLON / 128),
    "imperial_gallon": ("volume", _IMPERIAL_GALLON),
    "imperial_quart": ("volume", _IMPERIAL_GALLON / 4),
    "imperial_pint": ("volume", _IMPERIAL_GALLON / 8),
    "imperial_fluid_ounce": ("volume", _IMPERIAL_GALLON / 160),
    "millimeter": ("length", Fraction("0.001")),
    "centimeter": ("length", Fraction("0.01")),
    "decimeter": ("length", Fraction("0.1")),
    "meter": ("length", Fraction(1)),
    "inch": ("length", _INCH),
    "foot": ("length", _FOOT),
    "second": ("time", Fraction(1)),
    "minute": ("time", Fraction(60)),
    "hour": ("time", _HOUR),
    "day": ("time", 24 * _HOUR),
    "week": ("time", 168 * _HOUR),
    "watt": ("power", Fraction(1)),
    "kilowatt": ("power", Fraction(1000)),
    "watt_hour": ("energy", _HOUR),
    "kilowatt_hour": ("energy", 1000 * _HOUR),
    "kilojoule": ("energy", Fraction(1000)),
    "megajoule": ("energy", Fraction(1_000_000)),
    "Btu_it": ("energy", Fraction("1055.05585262")),
    "megapascal": ("pressure", Fraction(1_000_000)),
    "pound_force_per_square_inch": ("pressure", _POUND * _GRAVITY / _INCH**2),
    "percent": ("fraction", Fraction("0.01")),
    "": ("fraction", Fraction(1)),
}
"""What each unit measures, and how many of the SI's unit it holds: kg, m3, m, s, W, J, Pa."""

_DEGREES: dict[str, tuple[Fraction, Fraction]] = {
    "kelvin": (Fraction(1), Fraction(0)),
    "degC": (Fraction(1), Fraction("273.15")),
    "degF": (Fraction(5, 9), Fraction("459.67") * Fraction(5, 9)),
}
"""How many kelvin a degree is, and how many its zero is above absolute zero."""

_POWER = re.compile(r"([a-z]+)\*\*([23])")
_POWERS = {"2": "area", "3": "volume"}


def convert(value: Fraction, unit: str, house: str) -> Fraction:
    """Return a value in another unit, exactly.

    Parameters
    ----------
    value : Fraction
        How many of the unit. [unit]
    unit, house : str
        The unit it is in and the unit it is wanted in, such as ``"ounce/imperial_pint"`` and
        ``"gram/liter"``.

    Returns
    -------
    Fraction
        The value in the unit wanted. [house]

    Raises
    ------
    ValueError
        If there is no such unit, or the two measure different things.

    Examples
    --------
    >>> convert(Fraction(1), "pound", "kilogram") == Fraction("0.45359237")
    True
    >>> convert(Fraction(68), "degF", "degC")
    Fraction(20, 1)
    """
    if unit == house:
        return value
    if unit in _DEGREES and house in _DEGREES:
        (size, zero), (wanted_size, wanted_zero) = _DEGREES[unit], _DEGREES[house]
        return (value * size + zero - wanted_zero) / wanted_size
    (kind, size), (wanted, wanted_size) = _whole(unit), _whole(house)
    if kind != wanted:
        raise ValueError(f"{unit} is {kind}, and {house} is {wanted}")
    return value * size / wanted_size


def _whole(name: str) -> tuple[str, Fraction]:
    """Return what a unit or a quotient of two measures, and its size in the SI's units."""
    above, *below = [_single(one) for one in name.split("/")]
    kind, size = above
    for under, by in below:
        kind, size = f"{kind}/{under}", size / by
    return kind, size


def _single(name: str) -> tuple[str, Fraction]:
    power = _POWER.fullmatch(name)
    if power:
        kind, size = _SIZES.get(power[1], ("", Fraction(0)))
        if kind == "length":
            return _POWERS[power[2]], size ** int(power[2])
    elif name in _SIZES:
        return _SIZES[name]
    raise ValueError(f"no unit is called {name}")
