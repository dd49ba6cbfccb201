"""Plans that were worked out since the server started, kept while they hold."""

from __future__ import annotations

from pourwright.briefs.folder import brief_path, file_digests
from pourwright.plan.plan import Plan
from pourwright.studio.plans import NoPlan
from pourwright.web import heavy
from pourwright.web.desk import Desk
from pourwright.web.plan_cache import Key


def plan_now(desk: Desk, edition: str) -> Plan | NoPlan | None:
    """Return the plan of an edition, worked out if it has to be; a few seconds of work.

    None if no brief of it lies in the studio's folder.
    """
    key, path = _key(desk, edition), brief_path(desk.folder, edition)
    if key not in desk.plan_cache.plans and path is not None:
        desk.plan_cache.keep(
            key, desk.worker.call(heavy.edition_plan, desk.folder, path, desk.today())
        )
    return desk.plan_cache.plans.get(key)


def plan_kept(desk: Desk, edition: str) -> Plan | NoPlan | None:
    """Return a plan that still holds: nothing was written, no file changed, it is the same day."""
    return desk.plan_cache.plans.get(_key(desk, edition))


def _key(desk: Desk, edition: str) -> Key:
    with desk.book.reading() as reading:
        head = reading.head().digest
    return edition, head, desk.today(), file_digests(desk.folder, edition)
