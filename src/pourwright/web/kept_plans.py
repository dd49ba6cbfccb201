"""Plans that were worked out since the server started, kept while they hold."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from pourwright.briefs.folder import brief_path, file_digests
from pourwright.plan.plan import Plan
from pourwright.studio.plans import NoPlan
from pourwright.web import heavy

if TYPE_CHECKING:
    from pourwright.web.desk import Desk

MOST_KEPT = 32
"""A plan is some hundred kilobytes."""

Key = tuple[str, str, date, tuple[str, str]]
"""The edition, the head of the book, the day, and the digests of brief and studio's file."""


class KeptPlans:
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


def plan_now(desk: Desk, edition: str) -> Plan | NoPlan | None:
    """Return the plan of an edition, worked out if it has to be; a few seconds of work.

    None if no brief of it lies in the studio's folder.
    """
    key, path = _key(desk, edition), brief_path(desk.folder, edition)
    if key not in desk.kept.plans and path is not None:
        desk.kept.keep(key, desk.worker.call(heavy.edition_plan, desk.folder, path, desk.today()))
    return desk.kept.plans.get(key)


def plan_kept(desk: Desk, edition: str) -> Plan | NoPlan | None:
    """Return a plan that still holds: nothing was written, no file changed, it is the same day."""
    return desk.kept.plans.get(_key(desk, edition))


def chart_now(desk: Desk, edition: str, name: str, width: str, scheme: str) -> bytes | None:
    """Return a chart of the plan as an SVG file, drawn once.

    The rest is as for :func:`pourwright.studio.plans.chart_svg`; None if there is no plan,
    or nothing to show in it.
    """
    plan = plan_now(desk, edition)
    if not isinstance(plan, Plan):
        return None
    at = _key(desk, edition), name, width, scheme
    if at not in desk.kept.charts:
        desk.kept.charts[at] = desk.worker.call(heavy.plan_chart, plan, name, width, scheme)
    return desk.kept.charts[at]


def _key(desk: Desk, edition: str) -> Key:
    with desk.book.reading() as reading:
        head = reading.head().digest
    return edition, head, desk.today(), file_digests(desk.folder, edition)
