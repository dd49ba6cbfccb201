"""What charts are told beside their tables: size, deadline, stages and molds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal, TypeAlias

from pourwright.report.charts.words import LINE

Kind: TypeAlias = Literal["prepare", "hands", "dry", "fire"]
Days: TypeAlias = tuple[date, date]
"""First and last day, both taken in."""


@dataclass(frozen=True, slots=True)
class Look:
    """The size a chart is drawn in.

    ``edge_px`` is kept free on the left and right: on a phone the image reaches
    from edge to edge of the screen. ``month_first`` tells how its days are written.
    """

    name: Literal["phone", "desktop"]
    width_px: int
    text_px: int
    edge_px: int
    month_first: bool = False

    @property
    def line_px(self) -> float:
        """From one line of text to the next. [px]"""
        return self.text_px * LINE

    @property
    def head_px(self) -> tuple[float, float]:
        """Heights of the two lines of words above a chart. [px]"""
        return self.line_px * 0.55, self.line_px * 1.6

    @property
    def top_px(self) -> float:
        """Where a chart begins below these words. [px]"""
        return self.line_px * 2.15 + 6


PHONE = Look("phone", 360, 13, 16)
DESKTOP = Look("desktop", 720, 14, 2)
LOOKS = (PHONE, DESKTOP)


@dataclass(frozen=True, slots=True)
class Deadline:
    """The date wished for, and the word that stands at its line."""

    day: date
    word: str = "your date"


@dataclass(frozen=True, slots=True)
class StageBar:
    """A stage of the work: its name, what kind of work it is, and when it is done."""

    name: str
    kind: Kind
    spells: tuple[Days, ...]


@dataclass(frozen=True, slots=True)
class MoldLife:
    """A mold, or several poured together: poured, first and last used, and whether worn by then."""

    name: str
    poured: date
    used: Days | None = None
    worn: bool = False


@dataclass(frozen=True, slots=True)
class MoldsFinish:
    """When the edition is finished with so many molds: so many runs in a hundred by each day.

    ``word`` is said beside the count, and may be empty.
    """

    molds: int
    p10: date
    p50: date
    p90: date
    word: str = ""


@dataclass(frozen=True, slots=True)
class RiskBar:
    """An input, its ends in words, and by when half the runs are finished at each of them."""

    what: str
    low: str
    high: str
    finish_low: date
    finish_high: date

    @property
    def days(self) -> Days:
        """The earlier and the later of its two days."""
        return min(self.finish_low, self.finish_high), max(self.finish_low, self.finish_high)


@dataclass(frozen=True, slots=True)
class Weighing:
    """What a mold weighed on a day. [kg]"""

    day: date
    kg: float


@dataclass(frozen=True, slots=True)
class HeatReading:
    """A thermometer's reading, so long after plaster met water. [min]"""

    minute: float
    degrees: float


@dataclass(frozen=True, slots=True)
class LawReading:
    """What the fitted law says of that moment, and its range. [min]"""

    minute: float
    degrees: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Finish:
    """When the last piece is finished, and between which days eight runs in ten are."""

    day: date
    spell: Days | None = None
