"""The week ahead: what the plans ask of each day, all editions together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from pourwright.ledger.said import names_said
from pourwright.plan.plan import Plan, PlanDay
from pourwright.quantities import show
from pourwright.report.calendar import doing_words
from pourwright.report.saying import sentence

DAYS = 7


@dataclass(frozen=True, slots=True)
class DayAhead:
    """One day of the week ahead, as the plans of all open editions have it.

    Parameters
    ----------
    date : date
        The day.
    words : str
        What is done, or why the day is closed; empty if hands have nothing to do.
    used_min, open_min : int
        Hands-on time, and how much of it the day has. [min]
    untimed : tuple of str
        What is done beside it whose hands-on time nobody has told.
    """

    date: date
    words: str
    used_min: int
    open_min: int
    untimed: tuple[str, ...] = ()

    @property
    def share(self) -> float:
        """The part of the day that is used, at most all of it. [-]"""
        return (
            min(self.used_min / self.open_min, 1.0) if self.open_min else float(self.used_min > 0)
        )

    @property
    def hands(self) -> str:
        """The hands-on time in words."""
        return show(self.used_min, "duration") if self.used_min else ""

    @property
    def beside(self) -> str:
        """What the hands-on time does not count, in words; empty without either."""
        return f"and {names_said(self.untimed)}" if self.used_min and self.untimed else ""


def week_ahead(plans: Sequence[tuple[str, Plan]], today: date) -> tuple[DayAhead, ...]:
    """Return seven days from today on, empty if there is no plan or none has work in them.

    Parameters
    ----------
    plans : sequence of (str, Plan)
        The name of each open edition and its plan, worked out from the book.
    today : date
        The first of the days.
    """
    days = [today + timedelta(days=after) for after in range(DAYS)]
    week = tuple(
        _day(
            day,
            [
                (name, plan, entry)
                for name, plan in plans
                for entry in plan.calendar
                if entry.date == day
            ],
        )
        for day in days
    )
    return week if any(one.used_min or one.untimed for one in week) else ()


_NOT_TIMED = {
    "original": "the original",
    "block mold": "the block mold",
    "approval": "the judging",
    "masters": "the masters",
}
"""Work before the first pour, whose minutes a brief need not tell."""


def _untimed(entries: list[tuple[str, Plan, PlanDay]]) -> tuple[str, ...]:
    """Return what is done on a day without any minutes in the plan."""
    stages = [one.stage for *_, entry in entries if not entry.used_min for one in entry.doing]
    return tuple(dict.fromkeys(_NOT_TIMED[one] for one in stages if one in _NOT_TIMED))


def _day(day: date, entries: list[tuple[str, Plan, PlanDay]]) -> DayAhead:
    """Return one day of the week; editions are named where several have work."""
    busy = [(name, words) for name, plan, entry in entries if (words := doing_words(plan, entry))]
    if len(busy) > 1:
        words = "; ".join(f"{name}: {words}" for name, words in busy)
    else:
        words = sentence(busy[0][1])[:-1] if busy else ""
    closed = next((entry.why or "day off" for *_, entry in entries if not entry.open), "")
    return DayAhead(
        date=day,
        words=words or closed.capitalize(),
        used_min=sum(entry.used_min for *_, entry in entries),
        open_min=max((entry.minutes for *_, entry in entries), default=0),
        untimed=_untimed(entries),
    )
