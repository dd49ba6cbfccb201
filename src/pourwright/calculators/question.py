"""A question at the bench: what is asked, what is answered, and what the answer rests on.

One table of :class:`Question` records drives the command, the page, the JSON and the
guide. A subject's module holds its asks, each with the type of what it is told, and an
``answer`` that takes them out of what was given, ``given[WALL]``, and calls the laws.
NumPy's laws are imported inside, so that reading the table loads nothing heavy.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Generic, Literal, Protocol, TypeAlias, TypeVar, cast, overload

from pourwright.cautions import CAUTIONS, CareText
from pourwright.fields import HOUSE_UNIT, Field
from pourwright.quantities import show

if TYPE_CHECKING:
    from pourwright.materials.ranges import Floats

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)
ToldBy = Literal["typed", "studio", "default"]
Units = Literal["metric", "us"]
Typed: TypeAlias = str | list[str]
Value: TypeAlias = float | int | str | bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask(Field, Generic[T_co]):
    """One thing asked, a quantity unless its kind says otherwise.

    Its type is that of the value it is told: a float in house units, a whole number, a
    text, or a tuple of them for a row, and a tuple of those where several may be told.
    Beside the kinds of every field there are a heating ``"rate"``, a ``"cone"`` and a ``"row"``.

    Parameters
    ----------
    row : tuple of str
        A row's parts in their order: a dimension, ``"date"``, ``"when"`` (a date, and
        a time of day if need be), ``"number"``, ``"whole"`` or ``"text"``; anything else is a word
        that stands between, such as ``"in"`` of ``"5 mm in 12 min"``.
    limits : tuple of (float, float) or None
        The least and the most of each part of a row that is not a word between.
    studio : str
        The field of ``studio.toml`` that tells it, if a studio is given.
    """

    kind: str = "quantity"
    row: tuple[str, ...] = ()
    limits: tuple[tuple[float, float] | None, ...] = ()
    studio: str = ""


Group: TypeAlias = tuple[Ask[object], ...]
"""Asks that go together, or stand in one another's place."""


@dataclass(frozen=True, slots=True)
class Told:
    """What one ask was told: the text, its value in house units, and who told it."""

    ask: Ask[object]
    typed: str
    value: object
    by: ToldBy


@dataclass(frozen=True, slots=True)
class Given:
    """Everything an answer is worked out from.

    Parameters
    ----------
    told : mapping
        By the ask's name; what was not told and has no default is not in it.
    units : {"metric", "us"}
        What the answer is shown in.
    today : date
        The day it is.
    studio : str
        The name of the studio's file, if one was read.
    """

    told: Mapping[str, Told]
    units: Units
    today: date
    studio: str = ""

    def __contains__(self, ask: Ask[object]) -> bool:
        """Whether it was told, or has a default."""
        return ask.name in self.told

    def __getitem__(self, ask: Ask[T]) -> T:
        """Return a value that is always there: required, or with a default. [house unit]"""
        # what was read by the ask's kind is of the ask's type; a test holds each ask to it
        return cast("T", self.told[ask.name].value)

    @overload
    def get(self, ask: Ask[T]) -> T | None: ...

    @overload
    def get(self, ask: Ask[T], otherwise: T) -> T: ...

    def get(self, ask: Ask[T], otherwise: T | None = None) -> T | None:
        """Return a value, or something else if it was not told. [house unit]"""
        return cast("T", self.told[ask.name].value) if ask in self else otherwise

    def typed(self, ask: Ask[object]) -> str:
        """Return what was typed, for the sentence of a refusal."""
        return self.told[ask.name].typed

    def was_typed(self, ask: Ask[object]) -> bool:
        """Whether the maker told it, here or in the studio's file."""
        return ask in self and self.told[ask.name].by != "default"

    def show(self, value: Floats, dimension: str, step: float | None = None) -> str:
        """Return a number as the maker reads it. [house unit of the dimension]"""
        return show(float(value), dimension, self.units, step)


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerFigure:
    """One number of an answer; ``value`` None and a range where no single one is honest.

    Parameters
    ----------
    name : str
        ``snake_case``, ending in its unit.
    label : str
        What it is, in a maker's words.
    value : float, str or None
        In ``unit``.
    unit, dimension : str
        A quantity's dimension gives its unit; anything else names its own.
    low, high : float or None
        Its range, in ``unit``.
    step : float or None
        What it is rounded to where it is shown, in ``unit``.
    digits : int
        Significant digits shown of what has no dimension.
    text : str
        How it is read, where that is not the value and its unit.
    note : str
        A few words beside it.
    grade : str
        How far to trust it, such as ``"for ranking only"``.
    """

    name: str
    label: str
    value: Value
    unit: str = ""
    dimension: str = ""
    low: float | None = None
    high: float | None = None
    step: float | None = None
    digits: int = 3
    text: str = ""
    note: str = ""
    grade: str = ""


class Ranged(Protocol):
    """Anything with two ends and a likely figure, such as a law's ``Range``."""

    @property
    def low(self) -> Floats:
        """The lower end."""

    @property
    def likely(self) -> Floats:
        """The figure to plan with."""

    @property
    def high(self) -> Floats:
        """The upper end."""


def quantity(
    name: str,
    label: str,
    value: Floats | None,
    dimension: str,
    *,
    low: Floats | None = None,
    high: Floats | None = None,
    step: float | None = None,
    note: str = "",
    grade: str = "",
) -> AnswerFigure:
    """Return the figure of a quantity, its numbers in the house unit of the dimension.

    Examples
    --------
    >>> quantity("water_kg", "water", 1.3, "mass").unit
    'kg'
    """
    return AnswerFigure(
        name=name,
        label=label,
        value=_float(value),
        unit=HOUSE_UNIT[dimension],
        dimension=dimension,
        low=_float(low),
        high=_float(high),
        step=step,
        note=note,
        grade=grade,
    )


def ranged(name: str, label: str, found: Ranged, dimension: str, grade: str = "") -> AnswerFigure:
    """Return the figure of a law's range, its likely value in front."""
    return quantity(
        name, label, found.likely, dimension, low=found.low, high=found.high, grade=grade
    )


def number(
    name: str,
    label: str,
    value: Floats | None,
    unit: str = "",
    *,
    low: Floats | None = None,
    high: Floats | None = None,
    digits: int = 3,
    text: str = "",
    note: str = "",
    grade: str = "",
) -> AnswerFigure:
    """Return the figure of a number whose unit is no dimension of the house's."""
    return AnswerFigure(
        name=name,
        label=label,
        value=_float(value),
        unit=unit,
        low=_float(low),
        high=_float(high),
        digits=digits,
        text=text,
        note=note,
        grade=grade,
    )


def _float(value: Floats | None) -> float | None:
    return None if value is None else float(value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a table: its name, its title, and what its numbers are."""

    name: str
    label: str
    dimension: str = ""
    unit: str = ""
    step: float | None = None
    digits: int = 3

    @property
    def house_unit(self) -> str:
        """The unit of its numbers; empty for words and shares."""
        return HOUSE_UNIT[self.dimension] if self.dimension else self.unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """A table of an answer; words and numbers in house units."""

    name: str
    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What is answered.

    Parameters
    ----------
    says : str
        The answer in a sentence or two.
    figures : tuple of AnswerFigure
        Its numbers.
    sources : tuple of str
        What it rests on; at least one.
    ranges : tuple of str
        Where it holds, one sentence each; at least one.
    tables : tuple of Rows
        Numbers by step, day or case.
    notes : tuple of str
        What a maker should know beside it, one sentence each.
    cautions : tuple of CareText
        Beyond those that the question always shows.
    """

    says: str
    figures: tuple[AnswerFigure, ...]
    sources: tuple[str, ...]
    ranges: tuple[str, ...]
    tables: tuple[Rows, ...] = ()
    notes: tuple[str, ...] = ()
    cautions: tuple[CareText, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerPart:
    """A part of an answer; empty where nothing of it was asked."""

    says: tuple[str, ...] = ()
    figures: tuple[AnswerFigure, ...] = ()
    tables: tuple[Rows, ...] = ()
    notes: tuple[str, ...] = ()


def joined(parts: Iterable[AnswerPart]) -> AnswerPart:
    """Return several parts of an answer as one, in their order."""
    parts = tuple(parts)
    return AnswerPart(
        says=tuple(one for part in parts for one in part.says),
        figures=tuple(one for part in parts for one in part.figures),
        tables=tuple(one for part in parts for one in part.tables),
        notes=tuple(one for part in parts for one in part.notes),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question at the bench.

    Parameters
    ----------
    id : str
        The word after ``pourwright figure``.
    title : str
        A few words.
    words : str
        What it answers and what it needs; the first sentence stands in the list of commands.
    asks : tuple of Ask
        What is asked.
    answer : callable
        Works it out.
    examples : tuple of mapping
        What may be typed, by the ask's name; the first one is worked in the guide.
    cautions : tuple of str
        Titles in the table of cautions; always shown.
    one_of : tuple of tuple of Ask
        Groups of asks of which exactly one is told.
    at_most_one : tuple of tuple of Ask
        Groups of asks of which one at most is told.
    together : tuple of tuple of Ask
        Groups of asks that are told all or not at all.
    """

    id: str
    title: str
    words: str
    asks: tuple[Ask[object], ...]
    answer: Callable[[Given], Answer]
    examples: tuple[Mapping[str, Typed], ...]
    cautions: tuple[str, ...] = ()
    one_of: tuple[Group, ...] = ()
    at_most_one: tuple[Group, ...] = ()
    together: tuple[Group, ...] = ()

    def ask_named(self, name: str) -> Ask[object]:
        """Return one of its asks."""
        return next(one for one in self.asks if one.name == name)


_CARE = {one.title: one for one in CAUTIONS}


def care(*titles: str) -> tuple[CareText, ...]:
    """Return cautions of the house by their titles.

    Examples
    --------
    >>> [one.title for one in care("Plaster dust")]
    ['Plaster dust']
    """
    return tuple(_CARE[title] for title in titles)
