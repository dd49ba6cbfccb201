"""Quantities as people write them, and as people read them.

A small grammar of our own reads what is typed at a door. Inside, every
quantity is a float in its house unit: kg, l, mm, m², min, days, °C, kW, kWh,
g/l, g/m², kg/l, and a plain number for a share.

The grammar: a number (``2``, ``2.5``, ``1/2``, ``1 1/2``, ``1½``) and its unit,
or several such pairs of one kind, each smaller than the one before
(``6 lb 3 oz``, ``1 h 30 min``). A quotient is ``g/l`` or ``oz per US pint``.
A comma is never guessed at, and neither is a pint: in a studio that works in
US units it is the US one, anywhere else we ask.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from fractions import Fraction

from pourwright.errors import BadInput, as_written
from pourwright.units import DIMENSIONS, KINDS, Unit, convert, find_unit, is_ambiguous, nearest_unit

LONGEST_TEXT = 80
"""Characters; no quantity needs more."""

_NUMBER = re.compile(r"[-+]?(?:[0-9]+ +[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*\.[0-9]+|[0-9]+)")
_UNIT = re.compile(r"""(?:[^\W\d]|[°%'"/ ]|\.(?![0-9])|(?<=[mnt])[23](?![0-9./]))*""", re.IGNORECASE)
_COMMA = re.compile(r"([0-9]+(?:,[0-9]+)+)")


@dataclass(frozen=True, slots=True)
class _Typed:
    """What was typed where a quantity belongs, and what is expected of it."""

    text: object
    dimension: str
    prefer: str | None
    path: str

    def refusal(self, right: str, hint: str = "") -> BadInput:
        return BadInput.one(self.path, as_written(self.text), right, hint)

    @property
    def example(self) -> str:
        return DIMENSIONS[self.dimension].example(self.prefer)

    @property
    def article(self) -> str:
        return DIMENSIONS[self.dimension].article


def read(value: object, dimension: str, *, prefer: str | None = None, path: str = "") -> float:
    """Return a quantity in its house unit.

    Parameters
    ----------
    value : str, int or float
        What was typed.
    dimension : str
        One of ``DIMENSIONS``, such as ``"mass"`` or ``"liter weight"``.
    prefer : {"us", "imperial"}, optional
        Whose pint, quart, gallon, cup and fluid ounce is meant without a
        country; without it they are asked about.
    path : str, optional
        The field, for the sentence of a refusal.

    Returns
    -------
    float
        [house unit of the dimension]

    Raises
    ------
    BadInput
        If it cannot be read, or is of another dimension.

    Examples
    --------
    >>> read("2 1/2 l", "volume")
    2.5
    >>> round(read("6 lb 3 oz", "mass"), 4)
    2.8066
    >>> read("68 F", "temperature")
    20.0
    """
    return float(read_exactly(value, dimension, prefer=prefer, path=path))


def read_exactly(
    value: object, dimension: str, *, prefer: str | None = None, path: str = ""
) -> Fraction:
    """Return a quantity in its house unit, as a fraction; see :func:`read`."""
    typed = _Typed(value, dimension, prefer, path)
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise typed.refusal(f"it must be {typed.article} in quotes, such as {typed.example}")
    if not isinstance(value, str):
        return _bare(typed, value)
    pairs = _pairs(typed, value)
    if dimension == "fraction" and len(pairs) == 1 and not pairs[0][1]:
        return _share(typed, pairs[0][0])
    return _total(typed, pairs)


def _bare(typed: _Typed, number: float) -> Fraction:
    if not math.isfinite(number):
        raise typed.refusal(f"it must be {typed.article}, such as {typed.example}")
    if typed.dimension == "fraction":
        return _share(typed, Fraction(str(number)))
    written = f"{number:.12g}"
    unit = typed.example.strip('"').rsplit(" ", 1)[-1] if " per " not in typed.example else ""
    raise typed.refusal(
        f"a number alone does not say which unit; write {typed.article} such as {typed.example}",
        f'For {unit} write "{written} {unit}".' if len(written) < 13 else "",
    )


def _share(typed: _Typed, number: Fraction) -> Fraction:
    if number >= 1:
        shown = f"{float(number):g}"
        raise typed.refusal(
            f'a share is a percentage or a number below 1; write "{shown} %" if per cent is meant'
        )
    return number


def _pairs(typed: _Typed, text: str) -> list[tuple[Fraction, str]]:
    """Split what was typed into numbers and unit words."""
    if len(text) > LONGEST_TEXT:
        raise typed.refusal(f"it must be {typed.article}, such as {typed.example}")
    clean = _plain_characters(text)
    _refuse_comma(typed, clean)
    pairs: list[tuple[Fraction, str]] = []
    at = 0
    while at < len(clean):
        number = _NUMBER.match(clean, at)
        if number is None or (pairs and number[0][0] in "+-"):
            break
        unit = _UNIT.match(clean, number.end())
        end = unit.end() if unit else number.end()
        pairs.append((_number(typed, number[0]), clean[number.end() : end].strip()))
        at = end
    if not pairs or at < len(clean):
        raise typed.refusal(f"write {typed.article} as a number and its unit, such as {typed.example}")
    return pairs


def _plain_characters(text: str) -> str:
    """Return the text with typographic signs written out: ½ as 1/2, ² as 2."""
    out = []
    for char in text:
        shape = unicodedata.decomposition(char)
        plain = unicodedata.normalize("NFKC", char)
        # "1½" must not become "11/2"
        out.append(" " + plain.replace("\u2044", "/") if shape.startswith("<fraction>") else plain)
    joined = "".join(out).replace("\u2212", "-").replace("\u2019", "'").replace("\u201d", '"')
    return " ".join(joined.split())


def _refuse_comma(typed: _Typed, text: str) -> None:
    comma = _COMMA.search(text)
    if comma is None:
        return
    written = comma[1]
    rest = text[comma.end() :]
    whole, *groups = written.split(",")
    thousands = whole + "".join(group.ljust(3, "0") for group in groups)
    readings = [f"{whole}.{groups[0]}{rest}"] if len(groups) == 1 else []
    readings.append(f"{thousands}{rest}")
    choice = " or ".join(f'"{one.strip()}"' for one in readings)
    raise typed.refusal(f"a comma can be read in two ways; write {choice}, whichever is meant")


def _number(typed: _Typed, text: str) -> Fraction:
    try:
        return sum((Fraction(part) for part in text.split()), Fraction(0))
    except ZeroDivisionError:
        raise typed.refusal("a fraction cannot have 0 below its line") from None


def _total(typed: _Typed, pairs: list[tuple[Fraction, str]]) -> Fraction:
    house = DIMENSIONS[typed.dimension].house
    units = [_unit(typed, word) for _, word in pairs]
    if len(pairs) > 1:
        _refuse_odd_parts(typed, [number for number, _ in pairs], units)
    sign = -1 if pairs[0][0] < 0 else 1
    parts = (convert(abs(number), unit.pint, house) for (number, _), unit in zip(pairs, units, strict=True))
    if len(pairs) == 1:
        return convert(pairs[0][0], units[0].pint, house)
    return sign * sum(parts, Fraction(0))


def _refuse_odd_parts(typed: _Typed, numbers: list[Fraction], units: list[Unit]) -> None:
    house = DIMENSIONS[typed.dimension].house
    if units[0].kind == "temperature":
        raise typed.refusal(f"one number and one unit say it, such as {typed.example}")
    sizes = [convert(Fraction(1), unit.pint, house) for unit in units]
    for number, size, larger in zip(numbers[1:], sizes[1:], sizes[:-1], strict=True):
        if number * size >= larger:
            raise typed.refusal("each part must be less than one of the unit before it")


def _unit(typed: _Typed, word: str) -> Unit:
    kind = DIMENSIONS[typed.dimension].kind
    if not word:
        raise typed.refusal(
            f"a number alone does not say which unit; write {typed.article} such as {typed.example}"
        )
    unit = find_unit(word, typed.prefer)
    if unit is None:
        raise _unknown(typed, word, kind)
    if unit.kind != kind:
        fluid = kind == "volume" and unit.pint == "ounce"
        raise typed.refusal(
            f"that is {KINDS.get(unit.kind, 'another quantity')}, and {typed.article} belongs here, "
            f"such as {typed.example}",
            'For fluid ounces write "fl oz".' if fluid else "",
        )
    return unit


def _unknown(typed: _Typed, word: str, kind: str) -> BadInput:
    if is_ambiguous(word, typed.prefer):
        return typed.refusal(
            "two countries have a measure of that name; "
            f'say which: "{_with_country(typed, word, "US")}" or "{_with_country(typed, word, "imperial")}"'
        )
    near = nearest_unit(word, kind)
    return typed.refusal(
        f"{as_written(word)} is not a unit of {KINDS[kind].split(' ', 1)[1]} known here; "
        f"write {typed.article} such as {typed.example}",
        f"Did you mean {near}?" if near else "",
    )


def _with_country(typed: _Typed, word: str, country: str) -> str:
    text = str(typed.text)
    at = text.lower().find(word.split("/")[-1].split(" per ")[-1].strip().lower())
    return f"{text[:at]}{country} {text[at:]}".strip() if at >= 0 else f"{country} {word}"


def round_to_step(value: float, step: float, *, up: bool = False, down: bool = False) -> float:
    """Return a value on a scale's step.

    Parameters
    ----------
    value, step : float
        In one unit; the step is more than 0. [any]
    up, down : bool
        Round away from, or towards, less than nothing instead of to the nearest.

    Returns
    -------
    float
        The nearest multiple; halves go to the even one. [any]

    Examples
    --------
    >>> round_to_step(2.087, 0.01), round_to_step(2.081, 0.05, up=True)
    (2.09, 2.1)
    """
    unit = Decimal(repr(step))
    # a value that floats put a hair off a multiple is that multiple
    count = Decimal(repr(round(value / step, 9)))
    how = ROUND_CEILING if up else ROUND_FLOOR if down else ROUND_HALF_EVEN
    return float(count.to_integral_value(how) * unit)
