"""Numbers whose unit is no dimension of the house's, as they are shown: metric or US.

Pressures, flows of air, yields: they are never typed with a unit, so the grammar of
quantities does not know them.
"""

from __future__ import annotations

from fractions import Fraction

from pourwright.unit_sizes import convert

_US = {
    "MPa": ("psi", "megapascal", "pound_force_per_square_inch"),
    "l/kg": ("US qt/lb", "liter/kilogram", "quart/pound"),
    "m3/h": ("cu ft/min", "meter**3/hour", "foot**3/minute"),
    "g/m2 h": ("oz/sq ft h", "gram/meter**2", "ounce/foot**2"),
    "kJ/kg of water": ("Btu/lb of water", "kilojoule/kilogram", "Btu_it/pound"),
}
"""How a unit is written in the US, and the names of the two."""


def show_number(value: float, unit: str, units: str, digits: int = 3) -> str:
    """Return a number with its unit, as the maker reads it.

    Parameters
    ----------
    value : float
        In ``unit``. [any]
    unit : str
        As it is written beside the number; one that has no US counterpart stays.
    units : {"metric", "us"}
        What it is shown in.
    digits : int
        Significant digits.

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
