"""A small cache of plans and their charts, in memory: gone with the server."""

from __future__ import annotations

from datetime import date

from pourwright.plan.plan import Plan
from pourwright.studio.plans import NoPlan

MOST_KEPT = 32
"""A plan is some hundred kilobytes."""

Key = tuple[str, str, date, tuple[str, str]]
"""The edition, the head of the book, the day, and the digests of brief and studio's file."""


class PlanCache:
    """Plans and the charts drawn of them, each under all that it rests on; the oldest go first."""

    def __init__(self) -> None:
        self.plans: dict[Key, Plan | NoPlan] = {}
        self.charts: dict[tuple[Key, str, str, str], bytes | None] = {}

    def keep(self, key: Key, plan: Plan | NoPlan) -> None:
        """Keep a plan."""
        if len(self.plans) >= MOST_KEPT:
            oldest = next(iter(self.plans))
            del self.plans[oldest]
            self.charts = {at: svg for at, svg in self.charts.items() if at[0] != oldest}
        self.plans[key] = plan
