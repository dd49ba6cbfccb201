"""Plans that were worked out since the server started, kept while they hold."""

from __future__ import annotations

from typing import Any

from pourwright.briefs.folder import brief_path, stamps
from pourwright.web import heavy
from pourwright.web.desk import Desk

_MOST_KEPT = 6
"""A plan is some hundred kilobytes."""


def plan_now(desk: Desk, edition: str) -> dict[str, Any] | None:
    """Return the plan of an edition, worked out if it has to be; a few seconds of work.

    Parameters
    ----------
    desk : Desk
        The studio.
    edition : str
        The edition's id.

    Returns
    -------
    dict or None
        None if no brief of it lies in the studio's folder.
    """
    found = plan_kept(desk, edition)
    path = brief_path(desk.folder, edition)
    if found is None and path is not None:
        found = desk.worker.call(heavy.edition_plan, desk.folder, path, desk.today())
        _keep(_shelf(desk), _key(desk, edition), found)
    return found


def plan_kept(desk: Desk, edition: str) -> dict[str, Any] | None:
    """Return a plan that still holds: nothing was written, no file changed, it is the same day.

    Parameters
    ----------
    desk : Desk
        The studio.
    edition : str
        The edition's id.
    """
    found: dict[str, Any] | None = _shelf(desk).get(_key(desk, edition))
    return found


def chart_now(desk: Desk, edition: str, name: str, width: str, scheme: str) -> bytes | None:
    """Return a chart of the plan as an SVG file, drawn once.

    Parameters
    ----------
    desk : Desk
        The studio.
    edition, name, width, scheme : str
        As for :func:`pourwright.studio.plans.chart_svg`.

    Returns
    -------
    bytes or None
        None if there is no plan, or nothing to show in it.
    """
    plan = plan_now(desk, edition)
    if plan is None or "fault" in plan:
        return None
    drawn, key = _shelf(desk), (*_key(desk, edition), name, width, scheme)
    if key not in drawn:
        svg = desk.worker.call(heavy.plan_chart, plan, name, width, scheme)
        _keep(drawn, key, svg)
    svg_kept: bytes | None = drawn[key]
    return svg_kept


def _shelf(desk: Desk) -> dict[Any, Any]:
    kept: dict[Any, Any] = desk.__dict__.setdefault("plans_kept", {})
    return kept


def _keep(kept: dict[Any, Any], key: tuple[Any, ...], what: Any) -> None:
    """Keep something; plans that nothing asks for any more go first."""
    plans = [one for one in kept if len(one) == len(_EMPTY_KEY)]
    if len(plans) >= _MOST_KEPT:
        kept.clear()
    kept[key] = what


_EMPTY_KEY = ("edition", 0, "day", "stamps")


def _key(desk: Desk, edition: str) -> tuple[Any, ...]:

    with desk.book.reading() as reading:
        seq = reading.head().seq
    return edition, seq, desk.today(), stamps(desk.folder, edition)
