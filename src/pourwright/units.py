"""Which unit words are read, what kind each is of, and how many house units it holds.

How large each of them is stands in :mod:`pourwright.unit_sizes`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Dimension:
    """What a field measures: its house unit, and how a maker writes one.

    ``kind`` says which unit words fit; a quotient's is ``"mass/volume"``.
    """

    house: str
    kind: str
    article: str
    metric: str
    us: str

    def example(self, prefer: str | None) -> str:
        """Return how one is written, in quotes."""
        return f'"{self.us if prefer == "us" else self.metric}"'


DIMENSIONS: dict[str, Dimension] = {
    "mass": Dimension("kilogram", "mass", "a mass", "1.9 kg", "6 lb 3 oz"),
    "volume": Dimension("liter", "volume", "a volume", "2.5 l", "2 qt"),
    "length": Dimension("millimeter", "length", "a length", "120 mm", "4 3/4 in"),
    "area": Dimension("meter**2", "area", "an area", "350 cm2", "54 sq in"),
    "duration": Dimension("minute", "time", "a length of time", "1 h 30 min", "1 h 30 min"),
    "days": Dimension("day", "time", "a number of days", "10 days", "10 days"),
    "temperature": Dimension("degC", "temperature", "a temperature", "20 C", "68 F"),
    "power": Dimension("kilowatt", "power", "a power", "7.2 kW", "7.2 kW"),
    "energy": Dimension("kilowatt_hour", "energy", "an energy", "34 kWh", "34 kWh"),
    "fraction": Dimension("", "fraction", "a share", "6 %", "6 %"),
    "liter weight": Dimension(
        "gram/liter", "mass/volume", "a weight per volume", "1750 g/l", "29.2 oz/US pint"
    ),
    "density": Dimension("kilogram/liter", "mass/volume", "a density", "1.58 kg/l", "99 lb/ft3"),
    "coat": Dimension("gram/meter**2", "mass/area", "a mass per area", "900 g/m2", "3 oz/ft2"),
}

KINDS: dict[str, str] = {
    "mass": "a mass",
    "volume": "a volume",
    "length": "a length",
    "area": "an area",
    "time": "a length of time",
    "temperature": "a temperature",
    "power": "a power",
    "energy": "an energy",
    "fraction": "a share",
    "mass/volume": "a mass per volume",
    "mass/area": "a mass per area",
}

# kind: its name: the words for it, "_" standing for a space.
_WORDS: dict[str, dict[str, str]] = {
    "mass": {
        "gram": "g gram grams gramme grammes",
        "kilogram": "kg kgs kilo kilos kilogram kilograms",
        "metric_ton": "t tonne tonnes",
        "ounce": "oz ounce ounces",
        "pound": "lb lbs pound pounds",
    },
    "volume": {
        "liter": "l liter liters litre litres",
        "deciliter": "dl",
        "centiliter": "cl",
        "milliliter": "ml cc milliliter milliliters millilitre millilitres",
        "centimeter**3": "cm3 cu_cm",
        "meter**3": "m3",
        "inch**3": "in3 cu_in cubic_inch cubic_inches",
        "foot**3": "ft3 cu_ft cubic_foot cubic_feet",
    },
    "length": {
        "millimeter": "mm millimeter millimeters millimetre millimetres",
        "centimeter": "cm centimeter centimeters centimetre centimetres",
        "meter": "m meter meters metre metres",
        "inch": 'in inch inches "',
        "foot": "ft foot feet '",
    },
    "area": {
        "millimeter**2": "mm2 sq_mm",
        "centimeter**2": "cm2 sq_cm",
        "decimeter**2": "dm2",
        "meter**2": "m2 sq_m",
        "inch**2": "in2 sq_in square_inch square_inches",
        "foot**2": "ft2 sq_ft square_foot square_feet",
    },
    "time": {
        "second": "s sec secs second seconds",
        "minute": "min mins minute minutes",
        "hour": "h hr hrs hour hours",
        "day": "d day days",
        "week": "week weeks",
    },
    "temperature": {
        "degC": "C °C degC celsius",
        "degF": "F °F degF fahrenheit",
        "kelvin": "K kelvin",
    },
    "power": {"watt": "W watt watts", "kilowatt": "kW kilowatt kilowatts"},
    "energy": {"watt_hour": "Wh", "kilowatt_hour": "kWh", "megajoule": "MJ"},
    "fraction": {"percent": "% percent"},
}
# Liquid measures that two countries share: the name without its country.
_LIQUID_WORDS: dict[str, str] = {
    "pint": "pt pint pints",
    "quart": "qt qts quart quarts",
    "gallon": "gal gallon gallons",
    "fluid_ounce": "fl_oz floz fluid_ounce fluid_ounces",
    "cup": "cup cups",
}
_COUNTRY = re.compile(r"(?:(us)|(imperial|imp|uk)) (.+)")


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit that was read: its kind, and its name."""

    kind: str
    name: str


def _spelled(words: str) -> list[str]:
    return [word.replace("_", " ") for word in words.split()]


_UNITS: dict[str, Unit] = {
    word.lower(): Unit(kind, name)
    for kind, names in _WORDS.items()
    for name, words in names.items()
    for word in _spelled(words)
}
_LIQUIDS: dict[str, str] = {
    word: name for name, words in _LIQUID_WORDS.items() for word in _spelled(words)
}


def plain_word(word: str) -> str:
    """Return a unit word as the tables spell it: no dots, single spaces, small letters."""
    return " ".join(word.replace(".", " ").split()).lower()


def is_ambiguous(word: str, prefer: str | None) -> bool:
    """Whether the word is a liquid measure whose country nobody has told; a quart is the US one."""
    names = [_LIQUIDS.get(one, "quart") for one in _sides(plain_word(word))]
    return any(name != "quart" for name in names) and prefer not in ("us", "imperial")


def find_unit(word: str, prefer: str | None = None) -> Unit | None:
    """Return the unit a word stands for, or None; ``prefer`` tells whose pint a bare pint is.

    Examples
    --------
    >>> find_unit("oz per imperial pint")
    Unit(kind='mass/volume', name='ounce/imperial_pint')
    >>> find_unit("pint") is None, find_unit("quart")
    (True, Unit(kind='volume', name='quart'))
    """
    sides = [_find_simple(side, prefer) for side in _sides(plain_word(word))]
    known = [side for side in sides if side is not None]
    if len(known) != len(sides) or len(known) > 2:
        return None
    return Unit("/".join(one.kind for one in known), "/".join(one.name for one in known))


def _sides(word: str) -> list[str]:
    return [side.strip() for side in re.split(r"/| per ", word)]


def _find_simple(word: str, prefer: str | None) -> Unit | None:
    country = _COUNTRY.fullmatch(word)
    if country:
        us, _, rest = country.groups()
        return _liquid(rest, "us" if us else "imperial")
    return _UNITS.get(word) or _liquid(word, prefer)


def _liquid(word: str, country: str | None) -> Unit | None:
    if word not in _LIQUIDS:
        return None
    if country is None and _LIQUIDS[word] == "quart":
        country = "us"  # nobody measures by the imperial quart any more
    if country not in ("us", "imperial"):
        return None
    if _LIQUIDS[word] == "cup":  # no law defines an imperial one
        return Unit("volume", "cup") if country == "us" else None
    # a name without a prefix is the US measure
    return Unit("volume", _LIQUIDS[word] if country == "us" else f"imperial_{_LIQUIDS[word]}")


def words_of(kind: str) -> list[str]:
    """Return every unit word of a kind."""
    of_kind = [name for name, unit in _UNITS.items() if unit.kind == kind]
    return [*of_kind, *_LIQUIDS] if kind == "volume" else of_kind


def unit_words() -> dict[str, tuple[str, ...]]:
    """Return the shortest word of every unit that is read, by kind.

    Examples
    --------
    >>> unit_words()["mass"]
    ('g', 'kg', 't', 'oz', 'lb')
    """
    words = {
        kind: tuple(_spelled(words)[0] for words in names.values())
        for kind, names in _WORDS.items()
    }
    liquids = tuple(_spelled(words)[0] for words in _LIQUID_WORDS.values())
    return {**words, "volume": (*words["volume"], *liquids)}
