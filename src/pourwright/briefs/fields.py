"""The shape of a field of a file, and of the tables that fields stand in.

The tables of fields (``studio_fields`` and ``edition_fields``) are the only
place that knows them. They drive the reading, the defaults with their sources,
the commented files that ``ask`` writes and the page of fields in the site.
"""

from __future__ import annotations

from dataclasses import dataclass

from pourwright import fields

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
class FileField(fields.Field):
    """One field of a file.

    Parameters
    ----------
    attr : str, optional
        The record's name for it, when that is not the key and its unit.
    """

    attr: str = ""

    @property
    def table(self) -> str:
        """The table it stands in; empty at the top. ``"mold.parts[]"`` is a list of tables."""
        return self.name.rpartition(".")[0]

    @property
    def key(self) -> str:
        """Its name in its table."""
        return self.name.rpartition(".")[2]

    @property
    def name_in_record(self) -> str:
        """The attribute that holds it: its key, and its unit."""
        if self.attr:
            return self.attr
        if self.kind == "money" and self.per:
            return f"{self.key}_per_{self.per.lower()}"
        return self.key + _SUFFIX.get(self.dimension, "")


@dataclass(frozen=True, slots=True)
class FileTable:
    """A table of a file, and what it is about."""

    name: str
    about: str


def liter_weight_hint(value: float) -> str:
    """Return what an impossible liter weight was probably meant to say. [g/l]"""
    from pourwright.materials.slip.liter_weight import likely_slip_of_hand  # NumPy comes with it

    return likely_slip_of_hand(value)


def ratio_hint(value: float) -> str:
    """Return how a ratio of water to plaster is written as a consistency. [-]"""
    return f"A ratio of {value:g} is written {100 * value:g}." if 0.25 <= value <= 1.2 else ""
