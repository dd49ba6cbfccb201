"""One published figure beside ours, so that they can be tested and printed alike."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import tests.sources

GRADES = {
    "READ": "the figure was read in the source named, or in a stored excerpt of it",
    "SECOND": "the figure was read in a second-hand account of the source named",
    "LIBRARY": "computed by the independent general-purpose library named",
    "WORKED": "worked from figures read in the source named; the working is in the note",
    "CLOSED": "a closed-form solution of the same equations, from the book named",
    "MEMORY": "from memory of the source named; shown, never counted",
}


@dataclass(frozen=True, slots=True)
class Check:
    """A published figure, what our law gives, and how far apart they may be.

    Parameters
    ----------
    law : str
        The public function, or constant, held against the figure, as ``plaster.dry_density``.
    source : str
        Author, title, year, table or page. One string for one table: no more
        than ten counted rows may carry the same one.
    published : float
        The figure as printed, in ``unit``; the middle of a printed range.
    ours : Callable[[], float]
        Works out our figure, in ``unit``.
    tolerance : float
        How far apart they may be, in ``unit``, from the precision of the print
        or the printed range.
    unit : str
        The unit of the two figures.
    grade : str
        A key of `GRADES`.
    counted : bool
        Whether it counts as evidence. Not when the figure calibrated a constant
        of ours, when it is a legal limit, an anecdote or from memory.
    note : str
        The inputs, the working, or why the row is not counted.
    """

    law: str
    source: str
    published: float
    ours: Callable[[], Any]
    tolerance: float
    unit: str
    grade: str = "READ"
    counted: bool = True
    note: str = ""

    def __post_init__(self) -> None:
        """Keep out rows that would count for more than they show."""
        if self.grade not in GRADES:
            raise ValueError(f"{self.law}: grade {self.grade!r} is none of {', '.join(GRADES)}")
        if self.counted and self.grade == "MEMORY":
            raise ValueError(f"{self.law}: a figure from memory may be shown, not counted")
        if not self.counted and not self.note:
            raise ValueError(f"{self.law}: say in the note why the row is not counted")
        if not self.tolerance >= 0:
            raise ValueError(f"{self.law}: the tolerance must be zero or more")

    @property
    def deviation(self) -> float:
        """Ours less the published figure, in ``unit``."""
        return float(self.ours()) - self.published

    @property
    def holds(self) -> bool:
        """Whether the two agree within the tolerance (and the floats' last digits)."""
        return abs(self.deviation) <= self.tolerance + 1e-9 * max(1.0, abs(self.published))


def printed_range(low: float, high: float) -> tuple[float, float]:
    """Return the middle and the half width of a printed range."""
    return (low + high) / 2, (high - low) / 2


def all_checks() -> list[Check]:
    """Return the rows of every module in this folder, in the order of their names."""
    rows: list[Check] = []
    for module in sorted(m.name for m in pkgutil.iter_modules(tests.sources.__path__)):
        rows += getattr(importlib.import_module(f"tests.sources.{module}"), "CHECKS", [])
    return rows
