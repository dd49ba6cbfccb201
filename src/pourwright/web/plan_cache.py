"""A small cache of plans, in memory: gone with the server."""

from __future__ import annotations

from datetime import date

from pourwright.plan.plan import Plan
from pourwright.studio.plans import NoPlan

MOST_KEPT = 32
"""A plan is some hundred kilobytes."""

Key = tuple[str, str, date, tuple[str, str]]
"""The edition, the head of the book, the day, and the digests of brief and studio's file."""


class PlanCache:
    """Plans, each under all that it rests on; the oldest go first."""

    def __init__(self) -> None:
        self.plans: dict[Key, Plan | NoPlan] = {}

    def keep(self, key: Key, plan: Plan | NoPlan) -> None:
        """Keep a plan."""
        if len(self.plans) >= MOST_KEPT:
            del self.plans[next(iter(self.plans))]
        self.plans[key] = plan
