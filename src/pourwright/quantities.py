"""Quantities as people write them, and as people read them.

A small grammar of our own reads what is typed at a door. Inside, every
quantity is a float in its house unit: kg, l, mm, m², min, days, °C, kW, kWh,
g/l, g/m², kg/l, and a plain number for a share.

The grammar: a number (``2``, ``2.5``, ``1/2``, ``1 1/2``, ``1½``) and its unit,
or several such pairs of one kind, each smaller than the one before
(``6 lb 3 oz``, ``1 h 30 min``). A quotient is ``g/l`` or ``oz per US pint``.
A comma is never guessed at, and neither is a pint: in a studio that works in
US units it is the US one, anywhere else we ask. A quart is the US one everywhere.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from itertools import takewhile

from pourwright.errors import BadInput, OutOfRange, as_written, did_you_mean
from pourwright.unit_sizes import convert
from pourwright.units import DIMENSIONS, KINDS, Unit, find_unit, is_ambiguous, plain_word, words_of

LONGEST_TEXT = 80
"""Characters; no quantity needs more."""
LARGEST = 1e300
HEAVIEST_SPECIFIC_GRAVITY = Fraction("2.6")
"""Of clay itself; no slip or glaze is as heavy."""

_NUMBER = re.compile(r"[-+]?(?:[0-9]+ +[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*\.[0-9]+|[0-9]+)")
_UNIT = re.compile(
    r"""(?:[^\W\d]|[°%'"/ ]|\.(?![0-9])|(?<=[mnt])[23](?![0-9./]))*""", re.IGNORECASE
)
_COMMA = re.compile(r"([0-9]+(?:,[0-9]+)+)")


@dataclass(frozen=True, slots=True)
class _Typed:
    """What was typed where a quantity belongs, and what is expected of it."""

    text: object
    dimension: str
    prefer: str | None
    path: str
    such_as: str = ""

    def refusal(self, right: str, hint: str = "") -> BadInput:
        return BadInput.one(self.path, as_written(self.text), right, hint)

    @property
    def example(self) -> str:
        """How one is written, in quotes: the field's own, or else the dimension's."""
        own = as_written(self.such_as)
        return own if self.such_as else DIMENSIONS[self.dimension].example(self.prefer)

    @property
    def unit(self) -> str:
        """The unit that the example begins with; none for a weight that a number alone tells."""
        if self.dimension == "liter weight":
            return ""
        words = self.example.strip('"').split()
        start = next(n for n, word in enumerate(words) if not word[0].isdigit())
        return " ".join(takewhile(lambda word: not word[0].isdigit(), words[start:]))

    @property
    def article(self) -> str:
        return DIMENSIONS[self.dimension].article


def read(
    value: object,
    dimension: str,
    *,
    prefer: str | None = None,
    path: str = "",
    such_as: str = "",
) -> float:
    """Return a quantity in its house unit.

    Parameters
    ----------
    value : str, int or float
        What was typed.
    dimension : str
        One of ``DIMENSIONS``, such as ``"mass"`` or ``"liter weight"``.
    prefer : {"us", "imperial"}, optional
        Whose pint, gallon, cup and fluid ounce is meant without a country;
        without it they are asked about.
    path : str, optional
        The field, for the sentence of a refusal.
    such_as : str, optional
        How the field is written, for the sentence; without it, how any of the dimension is.

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
    >>> read("1.75", "liter weight"), read("1750", "liter weight")
    (1750.0, 1750.0)
    """
    return float(read_exactly(value, dimension, prefer=prefer, path=path, such_as=such_as))


def read_exactly(
    value: object,
    dimension: str,
    *,
    prefer: str | None = None,
    path: str = "",
    such_as: str = "",
) -> Fraction:
    """Return a quantity in its house unit, as a fraction; see :func:`read`."""
    typed = _Typed(value, dimension, prefer, path, such_as)
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise typed.refusal(f"it must be {typed.article} in quotes, such as {typed.example}")
    if not isinstance(value, str):
        return _bare(typed, value)
    pairs = _pairs(typed, value)
    if dimension == "liter weight" and len(pairs) == 1 and not pairs[0][1]:
        return _weight_alone(typed, pairs[0][0])
    if dimension == "fraction" and len(pairs) == 1 and not pairs[0][1]:
        return _share(typed, pairs[0][0])
    return _total(typed, pairs)


def measures(value: object, dimension: str, prefer: str | None = None) -> bool:
    """Return whether a text ends in a unit of this dimension, whichever country's.

    Examples
    --------
    >>> measures("2 pints", "volume"), measures("4 lb", "volume")
    (True, False)
    """
    text = _plain_characters(value) if isinstance(value, str) else ""
    word = re.search(r"[^\W\d][^0-9]*[23]?$", text)  # the last one, such as "US qt" or "cm3"
    unit = find_unit(word[0], prefer or "us") if word else None
    return unit is not None and unit.kind == DIMENSIONS[dimension].kind


def _bare(typed: _Typed, number: float) -> Fraction:
    # neither nan nor infinite, nor a whole number that no float holds
    if not abs(number) < LARGEST:
        raise typed.refusal(f"it must be {typed.article}, such as {typed.example}")
    if typed.dimension == "fraction":
        return _share(typed, Fraction(str(number)))
    if typed.dimension == "liter weight":
        return _weight_alone(typed, Fraction(str(number)))
    written, unit = f"{number:.12g}", typed.unit
    raise typed.refusal(
        f"a number alone does not say which unit; write {typed.article} such as {typed.example}",
        f'For {unit} write "{written} {unit}".' if unit and len(written) < 13 else "",
    )


def _weight_alone(typed: _Typed, number: Fraction) -> Fraction:
    """Return what a liter weighs, told as grams or as times the weight of water. [g/l]"""
    heaviest = HEAVIEST_SPECIFIC_GRAVITY
    if _is_weight_alone(number):
        return number * 1000 if number <= heaviest else number
    raise typed.refusal(
        f"a number alone is a specific gravity between 1 and {float(heaviest):g}, or grams a liter "
        f"between 1000 and {float(heaviest * 1000):g}; write {typed.article} such as {typed.example}"
    )


def _is_weight_alone(number: Fraction) -> bool:
    return 1 < number <= HEAVIEST_SPECIFIC_GRAVITY or (
        1000 <= number <= HEAVIEST_SPECIFIC_GRAVITY * 1000
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
        raise typed.refusal(
            f"write {typed.article} as a number and its unit, such as {typed.example}"
        )
    return pairs


def _plain_characters(text: str) -> str:
    """Return the text with typographic signs written out: ½ as 1/2, ² as 2."""
    out = []
    for char in text:
        shape = unicodedata.decomposition(char)
        plain_word = unicodedata.normalize("NFKC", char)
        # "1½" must not become "11/2"
        out.append(
            " " + plain_word.replace("\u2044", "/")
            if shape.startswith("<fraction>")
            else plain_word
        )
    joined = "".join(out).replace("\u2212", "-").replace("\u2019", "'").replace("\u201d", '"')
    return " ".join(joined.split())


def _refuse_comma(typed: _Typed, text: str) -> None:
    comma = _COMMA.search(text)
    if comma is None:
        return
    written = comma[1]
    whole, *groups = written.split(",")
    is_share = typed.dimension == "fraction" and int(whole) == 0
    rest = text[comma.end() :] or ("" if is_share else f" {typed.unit}")
    thousands = whole + "".join(group.ljust(3, "0") for group in groups)
    readings = [f"{whole}.{groups[0]}{rest}"] if len(groups) == 1 else []
    readings += [f"{thousands}{rest}"] if int(whole) else []
    if typed.dimension == "liter weight" and not rest.strip():
        readings = [one for one in readings if _is_weight_alone(Fraction(one.strip()))]
    choice = " or ".join(as_written(one.strip()) for one in readings)
    if len(readings) == 2:
        right = f"a comma can be read in two ways; write {choice}, whichever is meant"
    else:
        right = f"write it without a comma, {choice or f'such as {typed.example}'}"
    raise typed.refusal(right)


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
    parts = (
        convert(abs(number), unit.name, house)
        for (number, _), unit in zip(pairs, units, strict=True)
    )
    if len(pairs) == 1:
        return convert(pairs[0][0], units[0].name, house)
    return sign * sum(parts, Fraction(0))


def _refuse_odd_parts(typed: _Typed, numbers: list[Fraction], units: list[Unit]) -> None:
    house = DIMENSIONS[typed.dimension].house
    if units[0].kind == "temperature":
        raise typed.refusal(f"one number and one unit say it, such as {typed.example}")
    sizes = [convert(Fraction(1), unit.name, house) for unit in units]
    for number, size, larger in zip(numbers[1:], sizes[1:], sizes[:-1], strict=True):
        if number * size >= larger:
            raise typed.refusal("each part must be less than one of the unit before it")


_WHOSE = {"mass/volume": ", as a slip or a glaze has one", "mass/area": ", as a coat has one"}
"""What has a quantity of a kind, where its name alone does not say."""


def _unit(typed: _Typed, word: str) -> Unit:
    kind = DIMENSIONS[typed.dimension].kind
    if not word:
        raise typed.refusal(
            f"a number alone does not say which unit; write {typed.article} such as {typed.example}"
        )
    unit = find_unit(word, typed.prefer)
    meant = unit or find_unit(word, "us")  # of whichever country, it is of one kind
    if meant is not None and meant.kind != kind:
        fluid = kind == "volume" and meant.name == "ounce"
        raise typed.refusal(
            f"that is {KINDS.get(meant.kind, 'another quantity')}{_WHOSE.get(meant.kind, '')}, and "
            f"{typed.article} belongs here, such as {typed.example}",
            'For fluid ounces write "fl oz".' if fluid else "",
        )
    if unit is None:
        raise _unknown(typed, word, kind)
    return unit


def _unknown(typed: _Typed, word: str, kind: str) -> BadInput:
    if is_ambiguous(word, typed.prefer):
        return typed.refusal(
            "two countries have a measure of that name; "
            f"say which: {_with_country(typed, word, 'US')} or {_with_country(typed, word, 'imperial')}"
        )
    return typed.refusal(
        f"{as_written(word)} is not a unit of {KINDS[kind].split(' ', 1)[1]} known here; "
        f"write {typed.article} such as {typed.example}",
        did_you_mean(plain_word(word), words_of(kind)),
    )


def _with_country(typed: _Typed, word: str, country: str) -> str:
    text = str(typed.text)
    at = text.lower().find(word.split("/")[-1].split(" per ")[-1].strip().lower())
    return as_written(
        f"{text[:at]}{country} {text[at:]}".strip() if at >= 0 else f"{country} {word}"
    )


@dataclass(frozen=True, slots=True)
class _Scale:
    """Below ``limit`` [of the unit] a quantity is shown in this unit, on this step.

    ``part`` is a smaller unit that carries the rest; the step is then its own.
    ``between`` is a unit between the two.
    """

    limit: str
    word: str
    name: str
    step: str
    part: tuple[str, str] | None = None
    between: tuple[str, str] | None = None

    @property
    def small(self) -> str:
        """The unit that is counted: the part's, or the only one."""
        return self.part[1] if self.part else self.name

    @property
    def per_unit(self) -> Fraction:
        """How many of the counted unit make one of the larger."""
        return convert(Fraction(1), self.name, self.small)


_METRIC: dict[str, tuple[_Scale, ...]] = {
    "mass": (
        _Scale("10", "g", "gram", "0.1"),
        _Scale("1000", "g", "gram", "1"),
        _Scale("10", "kg", "kilogram", "0.01"),
        _Scale("100", "kg", "kilogram", "0.1"),
        _Scale("", "kg", "kilogram", "1"),
    ),
    "volume": (
        _Scale("10", "ml", "milliliter", "0.1"),
        _Scale("1000", "ml", "milliliter", "1"),
        _Scale("10", "l", "liter", "0.01"),
        _Scale("100", "l", "liter", "0.1"),
        _Scale("", "l", "liter", "1"),
    ),
    "length": (
        _Scale("10", "mm", "millimeter", "0.1"),
        _Scale("1000", "mm", "millimeter", "1"),
        _Scale("", "m", "meter", "0.01"),
    ),
    "area": (
        _Scale("10", "cm²", "centimeter**2", "0.1"),
        _Scale("10000", "cm²", "centimeter**2", "1"),
        _Scale("", "m²", "meter**2", "0.01"),
    ),
    "temperature": (_Scale("", "°C", "degC", "1"),),
    "liter weight": (_Scale("", "g/l", "gram/liter", "1"),),
    "density": (_Scale("", "kg/l", "kilogram/liter", "0.001"),),
    "coat": (_Scale("", "g/m²", "gram/meter**2", "1"),),
}
_OUNCES = ("oz", "ounce")
_FLUID = ("fl oz", "fluid_ounce")
_US: dict[str, tuple[_Scale, ...]] = {
    "mass": (
        _Scale("16", "oz", "ounce", "0.1"),
        _Scale("100", "lb", "pound", "1", _OUNCES),
        _Scale("", "lb", "pound", "1"),
    ),
    "volume": (
        _Scale("32", "fl oz", "fluid_ounce", "0.1"),
        _Scale("4", "qt", "quart", "1", _FLUID),
        _Scale("10", "gal", "gallon", "1", _FLUID, ("qt", "quart")),
        _Scale("100", "gal", "gallon", "0.1"),
        _Scale("", "gal", "gallon", "1"),
    ),
    "length": (_Scale("72", "in", "inch", "1/16"), _Scale("", "ft", "foot", "0.1")),
    "area": (
        _Scale("10", "sq in", "inch**2", "0.1"),
        _Scale("300", "sq in", "inch**2", "1"),
        _Scale("", "sq ft", "foot**2", "0.1"),
    ),
    "temperature": (_Scale("", "°F", "degF", "1"),),
    "liter weight": (_Scale("", "oz/US pint", "ounce/US_pint", "0.1"),),
    "density": (_Scale("", "lb/ft3", "pound/foot**3", "0.1"),),
    "coat": (_Scale("", "oz/sq ft", "ounce/foot**2", "0.01"),),
}
_EVERYWHERE: dict[str, tuple[_Scale, ...]] = {
    "duration": (
        _Scale("60", "s", "second", "1"),
        _Scale("60", "min", "minute", "1"),
        _Scale("", "h", "hour", "1", ("min", "minute")),
    ),
    "days": (_Scale("10", "days", "day", "0.1"), _Scale("", "days", "day", "1")),
    "power": (_Scale("", "kW", "kilowatt", "0.1"),),
    "energy": (
        _Scale("10", "kWh", "kilowatt_hour", "0.1"),
        _Scale("", "kWh", "kilowatt_hour", "1"),
    ),
    "fraction": (
        _Scale("10", "%", "percent", "0.01"),
        _Scale("", "%", "percent", "0.1"),
    ),
}
_US_STEPS = tuple(Fraction(one) for one in "1/100 1/10 1/5 1/2 1 2 4 8 16".split())
"""Steps of a scale that shows ounces."""
_SIXTEENTH = Fraction(1, 16)
_INCHES = tuple(Fraction(one) for one in "1/1000 1/100 1/50 1/16 1/8 1/4 1/2 1".split())
"""A caliper shows decimals of an inch, a tape sixteenths."""


def show(value: float, dimension: str, units: str = "metric", step: float | None = None) -> str:
    """Return a quantity as it is shown to the maker.

    Parameters
    ----------
    value : float
        [house unit of the dimension]
    dimension : str
        One of ``DIMENSIONS``.
    units : {"metric", "us"}
        The studio's choice.
    step : float, optional
        What it is rounded to, such as a scale's step; in US units the next
        coarser step in use there. [house unit of the dimension]

    Returns
    -------
    str
        Such as ``"1.35 kg"``, ``"6 lb 3 oz"`` or ``"3 3/4 in"``.

    Raises
    ------
    OutOfRange
        If the value is not a finite number.

    Examples
    --------
    >>> show(1.3478, "mass"), show(1.3478, "mass", step=0.01), show(2.81, "mass", "us")
    ('1.35 kg', '1.35 kg', '6 lb 3 oz')
    >>> show(95.0, "duration"), show(95.25, "length", "us"), show(0.06, "fraction")
    ('1 h 35 min', '3 3/4 in', '6 %')
    """
    if not math.isfinite(value):
        raise OutOfRange(f"{dimension} to show", value, "", "a finite number")
    if value < 0 and dimension != "temperature":
        return "-" + show(-value, dimension, units, step)
    scales = _EVERYWHERE.get(dimension) or (_US if units == "us" else _METRIC)[dimension]
    house = DIMENSIONS[dimension].house
    for scale in scales:
        by = _step(scale, step, house, is_us=scales in _US.values())
        count = round(_in_unit(value, house, scale.small) / by)  # halves go to the even one
        amount = count * by
        if not scale.limit or amount < int(scale.limit) * scale.per_unit:
            break
    return _written(amount, by, scale)


def times(number: int, shown: str) -> str:
    """Return what is weighed, and how many times where it is more than once, on one line.

    Examples
    --------
    >>> times(1, "2.1 kg"), times(3, "2.1 kg").replace("\N{NO-BREAK SPACE}", " ")
    ('2.1 kg', '3 x 2.1 kg')
    """
    return shown if number == 1 else f"{number}\N{NO-BREAK SPACE}x\N{NO-BREAK SPACE}{shown}"


def short(value: float, dimension: str, units: str = "metric") -> str:
    """Return a quantity without the noughts that only tell its rounding, for a sentence.

    Examples
    --------
    >>> short(10.0, "volume", "metric"), short(1.5, "volume", "metric")
    ('10 l', '1.5 l')
    """
    return re.sub(r"(\.[0-9]*?)0+(?= )", r"\1", show(value, dimension, units)).replace(". ", " ")


def _in_unit(value: float, house: str, unit: str) -> Fraction:
    if house == "degC":
        return convert(Fraction(value), house, unit)
    return Fraction(value) * convert(Fraction(1), house, unit)


def _step(scale: _Scale, step: float | None, house: str, *, is_us: bool) -> Fraction:
    """Return what an amount in the scale's smaller unit is rounded to."""
    usual = Fraction(scale.step)
    if step is None:
        return usual
    asked = Fraction(repr(step)) * convert(Fraction(1), house, scale.small)
    if not is_us:
        return asked if _decimals(asked) is not None else usual
    ladder = _INCHES if scale.name == "inch" else _US_STEPS
    # a thousandth of grace: 28.35 g is the step of a scale that shows ounces
    return next((one for one in ladder if one >= asked * Fraction(999, 1000)), usual)


def _decimals(step: Fraction) -> int | None:
    """Return how many decimals a multiple of the step needs, None if no four do."""
    return next((digits for digits in range(5) if step * 10**digits % 1 == 0), None)


def _written(amount: Fraction, step: Fraction, scale: _Scale) -> str:
    if scale.part:
        whole, rest = divmod(amount, scale.per_unit)
        pairs = [f"{whole} {scale.word}"] if whole else []
        if scale.between:
            word, name = scale.between
            some, rest = divmod(rest, convert(Fraction(1), name, scale.small))
            pairs += [f"{some} {word}"] if some else []
        pairs += [f"{_decimal(rest, step)} {scale.part[0]}"] if rest or not whole else []
        return " ".join(pairs)
    if scale.name == "inch" and step >= _SIXTEENTH:
        return f"{_mixed(amount)} in"
    number = _decimal(amount, step)
    if scale.word in ("days", "%") and "." in number:
        number = number.rstrip("0").rstrip(".")
    return f"{number} {'day' if (number, scale.word) == ('1', 'days') else scale.word}"


def _decimal(amount: Fraction, step: Fraction) -> str:
    return f"{float(amount):.{_decimals(step) or 0}f}" if amount else "0"


def _mixed(amount: Fraction) -> str:
    whole, rest = divmod(amount, 1)
    return f"{whole} {rest}" if whole and rest else str(rest or whole)


def round_to_step(value: float, step: float, *, up: bool = False, down: bool = False) -> float:
    """Return a value on a scale's step.

    Parameters
    ----------
    value, step : float
        In one unit; the step is more than 0. [any]
    up, down : bool
        Never below, or never above, the value, instead of the nearest.

    Returns
    -------
    float
        A multiple of the step; halfway goes to the even one. [any]

    Raises
    ------
    OutOfRange
        If the step is not more than 0, or the value is not finite.

    Examples
    --------
    >>> round_to_step(2.087, 0.01), round_to_step(2.081, 0.05, up=True)
    (2.09, 2.1)
    """
    if not (step > 0 and math.isfinite(step)):
        raise OutOfRange("step to round to", step, "", "more than 0")
    if not math.isfinite(value):
        raise OutOfRange("number to round", value, "", "a finite number")
    # floats put 0.3 a hair below three steps of 0.1; it is three steps all the same
    count = Fraction(round(value / step, 9))
    steps = math.ceil(count) if up else math.floor(count) if down else round(count)
    return float(steps * Fraction(repr(step)))
