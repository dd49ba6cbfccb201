"""A question at the bench: what is asked, what is answered, and what the answer rests on.

One table of :class:`Question` records drives the command, the page, the JSON and the
guide. A subject's module holds its table and an ``answer`` that calls the laws; it
imports them inside ``answer``, so that reading the table loads nothing heavy.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal, Protocol, TypeAlias

from pourwright.cautions import CAUTIONS, CareText
from pourwright.fields import HOUSE_UNIT, Field
from pourwright.quantities import show

ToldBy = Literal["typed", "studio", "default"]
Units = Literal["metric", "us"]
Typed: TypeAlias = str | list[str]
Value: TypeAlias = float | int | str | bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask(Field):
    """One thing asked; its kind may also be a heating ``"rate"``, a ``"cone"`` or a ``"row"``.

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

    row: tuple[str, ...] = ()
    limits: tuple[tuple[float, float] | None, ...] = ()
    studio: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """What one ask was told: the text, its value in house units, and who told it."""

    ask: Ask
    typed: str
    value: Any
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
    """

    told: Mapping[str, Told]
    units: Units
    today: date

    def __contains__(self, name: object) -> bool:
        """Whether it was told, or has a default."""
        return name in self.told

    def __getitem__(self, name: str) -> Any:
        """Return a value that is always there: required, or with a default. [house unit]"""
        return self.told[name].value

    def get(self, name: str, otherwise: Any = None) -> Any:
        """Return a value, or something else if it was not told. [house unit]"""
        return self.told[name].value if name in self.told else otherwise

    def was_typed(self, name: str) -> bool:
        """Whether the maker told it, here or in the studio's file."""
        return name in self.told and self.told[name].by != "default"

    def show(self, value: Any, dimension: str, step: float | None = None) -> str:
        """Return a number as the maker reads it. [house unit of the dimension]"""
        return show(float(value), dimension, self.units, step)


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
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
    shown : str
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
    shown: str = ""
    note: str = ""
    grade: str = ""


class Ranged(Protocol):
    """Anything with two ends and a likely figure, such as a law's ``Range``."""

    @property
    def low(self) -> Any:
        """The lower end."""

    @property
    def likely(self) -> Any:
        """The figure to plan with."""

    @property
    def high(self) -> Any:
        """The upper end."""


def quantity(
    name: str,
    label: str,
    value: Any,
    dimension: str,
    *,
    low: Any = None,
    high: Any = None,
    step: float | None = None,
    note: str = "",
    grade: str = "",
) -> Figure:
    """Return the figure of a quantity.

    Parameters
    ----------
    name, label : str
        See :class:`Figure`.
    value, low, high : float or None
        In the house unit of the dimension. [any]
    dimension : str
        Such as ``"mass"``.
    step : float or None
        See :class:`Figure`. [any]
    note, grade : str
        See :class:`Figure`.

    Examples
    --------
    >>> quantity("water_kg", "water", 1.3, "mass").unit
    'kg'
    """
    return Figure(
        name=name, label=label, value=_float(value), unit=HOUSE_UNIT[dimension], dimension=dimension,
        low=_float(low), high=_float(high), step=step, note=note, grade=grade,
    )  # fmt: skip


def ranged(name: str, label: str, found: Ranged, dimension: str, **more: Any) -> Figure:
    """Return the figure of a law's range, its likely value in front.

    Parameters
    ----------
    name, label, dimension : str
        See :func:`quantity`.
    found : Ranged
        What the law gave. [house unit of the dimension]
    **more
        See :func:`quantity`.
    """
    return quantity(name, label, found.likely, dimension, low=found.low, high=found.high, **more)


def number(name: str, label: str, value: Any, unit: str = "", **more: Any) -> Figure:
    """Return the figure of a number whose unit is no dimension of the house's.

    Parameters
    ----------
    name, label, unit : str
        See :class:`Figure`.
    value : float or None
        In ``unit``. [any]
    **more
        ``low``, ``high``, ``digits``, ``note``, ``grade`` and ``shown`` of :class:`Figure`.
    """
    for end in ("low", "high"):
        more[end] = _float(more.get(end))
    return Figure(name=name, label=label, value=_float(value), unit=unit, **more)


def _float(value: Any) -> float | None:
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
    figures : tuple of Figure
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
    figures: tuple[Figure, ...]
    sources: tuple[str, ...]
    ranges: tuple[str, ...]
    tables: tuple[Rows, ...] = ()
    notes: tuple[str, ...] = ()
    cautions: tuple[CareText, ...] = ()


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
    one_of : tuple of tuple of str
        Groups of asks of which exactly one is told.
    at_most_one : tuple of tuple of str
        Groups of asks of which one at most is told.
    together : tuple of tuple of str
        Groups of asks that are told all or not at all.
    """

    id: str
    title: str
    words: str
    asks: tuple[Ask, ...]
    answer: Callable[[Given], Answer]
    examples: tuple[Mapping[str, Typed], ...]
    cautions: tuple[str, ...] = ()
    one_of: tuple[tuple[str, ...], ...] = ()
    at_most_one: tuple[tuple[str, ...], ...] = ()
    together: tuple[tuple[str, ...], ...] = ()

    def ask_named(self, name: str) -> Ask:
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
