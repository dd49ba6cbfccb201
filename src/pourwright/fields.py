"""A field: one thing that a maker may tell, in a file, to a calculator or to the book.

The rooms' tables of fields are the only place that knows what may be told. They drive
the reading, the options, the forms, the published schemas and the guide.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from pourwright.quantities import short

HOUSE_UNIT = {
    "mass": "kg",
    "volume": "l",
    "length": "mm",
    "area": "m2",
    "duration": "min",
    "days": "days",
    "temperature": "degC",
    "power": "kW",
    "energy": "kWh",
    "fraction": "",
    "liter weight": "g/l",
    "density": "kg/l",
    "coat": "g/m2",
}
"""How the house unit of each dimension is written beside a number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One field.

    Parameters
    ----------
    name : str
        In a file its table and key, such as ``"plaster.bucket"``; elsewhere ``snake_case``,
        which an option spells ``--kebab-case``.
    kind : str
        How it is read: ``"quantity"``, ``"number"``, ``"whole"``, ``"text"``, ``"choice"``,
        ``"yes or no"``, ``"date"``, ``"money"``, ``"water"`` (weighed or measured), or a kind that
        its room alone has.
    meaning : str
        What it is, one sentence.
    example : object
        A value that may be written.
    example_us : object
        The same in US units; empty if it reads alike.
    dimension : str
        A quantity's dimension.
    unit : str
        A plain number's unit, such as ``"m/s"``.
    per : str
        What a price is for, such as ``"kg"``.
    default : object
        As it would be written; None for none.
    default_us : object
        The default where US units are used; empty if it is the same.
    source : str
        Where the default comes from; without a default, what holds then.
    low, high : float or None
        The least and the most, both allowed; of a text ``high`` is its longest. [house unit]
    below : float or None
        A limit that itself is not allowed. [house unit]
    hint : str or callable
        A further sentence for a value out of its limits; may depend on the value.
    choices : tuple of str
        What a choice is among.
    required : bool
        Whether it must be told.
    many : bool
        Whether several may be told.
    """

    name: str
    kind: str
    meaning: str
    example: object
    example_us: object = None
    dimension: str = ""
    unit: str = ""
    per: str = ""
    default: object = None
    default_us: object = None
    source: str = ""
    low: float | None = None
    high: float | None = None
    below: float | None = None
    hint: str | Callable[[float], str] = ""
    choices: tuple[str, ...] = ()
    required: bool = False
    many: bool = False

    @property
    def option(self) -> str:
        """How a command spells it."""
        return "--" + self.name.replace("_", "-")

    @property
    def house_unit(self) -> str:
        """The unit of its value; empty for words and shares."""
        return HOUSE_UNIT[self.dimension] if self.dimension else self.unit

    def example_for(self, units: str) -> object:
        """Return the example in these units."""
        return self.example_us if units == "us" and self.example_us is not None else self.example

    def default_for(self, units: str) -> object:
        """Return the default in these units."""
        return self.default_us if units == "us" and self.default_us is not None else self.default

    def allowed(self, units: str = "metric") -> str:
        """Return its limits in words, empty if it has none.

        Examples
        --------
        >>> Field(name="wall", kind="quantity", meaning="", example="4 mm", dimension="length", low=0.5, high=60).allowed()
        'between 0.5 mm and 60 mm'
        """
        low, high, below = (self._end(end, units) for end in (self.low, self.high, self.below))
        if not low:
            return ""
        if below:
            return f"at least {low} and less than {below}"
        ends = f"between {low} and {high}" if high else f"at least {low}"
        return ends if self.dimension or not self.unit else f"{ends} {self.unit}"

    def _end(self, end: float | None, units: str) -> str:
        if end is None:
            return ""
        return short(end, self.dimension, units) if self.dimension else f"{end:g}"


def guide_rows(
    fields: Iterable[Field],
    name: Callable[[Field], str],
    written: Callable[[object], str] = str,
) -> list[str]:
    """Return a guide's table of some fields, as lines of Markdown.

    ``name`` tells how a field is named where it is told, ``written`` how a value is.
    """
    lines = [
        "| Field | What it is | Such as | Between | Without it |",
        "| --- | --- | --- | --- | --- |",
    ]
    for one in fields:
        such = one.choices or [one.example, *([one.example_us] if one.example_us else [])]
        such = () if one.kind == "yes or no" else such  # a file's true is an option's flag
        many = " More than one may be told." if one.many else ""
        limits = one.allowed().removeprefix("between ") if one.kind != "text" else ""
        cells = (
            f"`{name(one)}`",
            one.meaning + many,
            " or ".join(f"`{written(value)}`" for value in such),
            limits,
            _without(one, written),
        )
        lines.append("| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |")
    return lines


def _without(field: Field, written: Callable[[object], str]) -> str:
    if field.required:
        return "it must be told"
    if field.default in (None, []):
        return field.source.removeprefix("not given: ")
    in_us = f" (US `{written(field.default_us)}`)" if field.default_us is not None else ""
    source = f"; {field.source}" if field.source else ""
    return f"`{written(field.default)}`{in_us}{source}"
