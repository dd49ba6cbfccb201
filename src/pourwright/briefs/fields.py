"""The shape of a field: what may be written, what it means, what holds without it.

The tables of fields (``studio_fields`` and ``edition_fields``) are the only
place that knows them. They drive the reading, the defaults with their sources,
the commented files that ``ask`` writes and the page of fields in the site.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal[
    "box",
    "choice",
    "cone",
    "country",
    "currency",
    "date",
    "days off",
    "id",
    "life",
    "money",
    "number",
    "quantity",
    "region",
    "share",
    "text",
    "weekdays",
    "whole",
    "whole numbers",
    "yes or no",
    "zone",
]

COMMON = "common practice, no source"
NO_COST = "not given: the cost leaves it out and says so"

_SUFFIX = {
    "mass": "_kg",
    "volume": "_l",
    "length": "_mm",
    "area": "_m2",
    "duration": "_min",
    "power": "_kw",
    "liter weight": "_g_per_l",
    "coat": "_g_per_m2",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One field of a file.

    Parameters
    ----------
    path : str
        Table and key, such as ``"plaster.bucket"``; ``"mold.parts[].water"``
        for each entry of a list of tables.
    kind : str
        How it is read.
    meaning : str
        What it is, one sentence.
    source : str
        Where the default comes from; without a default, what holds then.
    example : object
        A value that may be written.
    example_us : object, optional
        The same for a studio in US units.
    default : object, optional
        As it would be written; None for none.
    required : bool
        Whether the file must have it.
    dimension, per : str, optional
        A quantity's dimension; what a price is for.
    low, high : float, optional
        The least and the most, both allowed. [house unit]
    below : float, optional
        A limit that itself is not allowed. [house unit]
    choices : tuple of str, optional
        What a choice is among.
    attr : str, optional
        The record's name for it, when that is not the key and its unit.
    """

    path: str
    kind: Kind
    meaning: str
    source: str
    example: object
    example_us: object = None
    default: object = None
    required: bool = False
    dimension: str = ""
    per: str = ""
    low: float | None = None
    high: float | None = None
    below: float | None = None
    choices: tuple[str, ...] = ()
    attr: str = ""

    @property
    def table(self) -> str:
        """The table it stands in; empty at the top."""
        return self.path.rpartition(".")[0]

    @property
    def key(self) -> str:
        """Its name in its table."""
        return self.path.rpartition(".")[2]

    @property
    def name_in_record(self) -> str:
        """The attribute that holds it: its key, and its unit."""
        if self.attr:
            return self.attr
        if self.kind == "money" and self.per:
            return f"{self.key}_per_{self.per.lower()}"
        return self.key + _SUFFIX.get(self.dimension, "")

    def example_for(self, units: str) -> object:
        """Return the example in the studio's units."""
        return self.example_us if units == "us" and self.example_us is not None else self.example


@dataclass(frozen=True, slots=True)
class Section:
    """A table of a file, and what it is about."""

    table: str
    about: str
