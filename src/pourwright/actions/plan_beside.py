"""Several editions in one studio: those with the first claim are settled first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from pourwright.actions.brief import read_brief
from pourwright.actions.plan_case import Case, Neighbor, build_case
from pourwright.actions.plan_molds import choose_molds, joint_forecast
from pourwright.actions.plan_odds import Effort, outlook
from pourwright.actions.records import Brief, Studio
from pourwright.errors import NotDoable
from pourwright.planning.search import Found


def case_beside(
    brief: Brief, studio: Studio, today: date, beside: Sequence[Path], effort: Effort
) -> Case:
    """Return the case of a brief in a studio that other editions have the first claim on.

    Raises
    ------
    NotDoable
        If an edition stands twice, or is planned in another studio.
    """
    others = [read_brief(path, today) for path in beside]
    ids = [brief.edition.id, *(other.edition.id for other, _ in others)]
    for path, (other, room) in zip(beside, others, strict=True):
        if ids.count(other.edition.id) > 1:
            raise NotDoable(
                f"{path.name}: the edition {other.edition.id} is named twice; each edition once."
            )
        if room != studio:
            raise NotDoable(
                f"{path.name}: {other.edition.name} is planned in {room.studio.name} and {brief.edition.name} in "
                f"{studio.studio.name}. Editions that share a kiln name the same studio file."
            )
    first = min([brief.edition.start, *(other.edition.start for other, _ in others)])
    neighbors: tuple[Neighbor, ...] = ()
    for other, room in others:
        case = build_case(other, room, today, first=first, neighbors=neighbors)
        chosen = outlook(case, choose_molds(case), Effort(effort.quick)).choice.chosen
        neighbors = (*neighbors, Neighbor(case, chosen.policy, chosen.finish))
    return build_case(brief, studio, today, first=first, neighbors=neighbors)


def beside_section(case: Case, found: Found) -> list[dict[str, Any]]:
    """Return the editions that have the first claim, and when each is expected to end.

    ``alone`` is when it would end without this edition: a load of this one may
    be in the kiln on the day the other is ready.
    """
    lines = joint_forecast(case, found).lines if case.neighbors else ()
    return [
        {
            "id": neighbor.case.brief.edition.id,
            "name": neighbor.case.brief.edition.name,
            "finish": case.day(int(line.finish[0])).isoformat(),
            "alone": case.day(neighbor.finish).isoformat(),
        }
        for neighbor, line in zip(case.neighbors, lines, strict=False)
    ]
