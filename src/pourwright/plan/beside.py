"""Several editions in one studio: those with the first claim are settled first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

from pourwright.briefs.folder import edition_id
from pourwright.briefs.reading import read_brief
from pourwright.briefs.records import Brief, Studio
from pourwright.errors import NotDoable
from pourwright.plan.case import Case, Neighbor, build_case
from pourwright.plan.molds import choose_molds, joint_forecast
from pourwright.plan.odds import Effort, outlook
from pourwright.plan.plan import FirstClaim
from pourwright.plan.standing import Standing
from pourwright.simulation.search import Found


def case_beside(
    path: Path,
    today: date,
    beside: Sequence[Path],
    effort: Effort,
    standings: Mapping[str, Standing],
) -> Case:
    """Return the case of a brief in a studio that other editions have the first claim on.

    ``standings`` are what is true of editions by the book; the days of a plan that
    goes on from it begin on the book's own day.

    Raises
    ------
    NotDoable
        If an edition stands twice, or is planned in another studio.
    """
    brief, studio, standing = _read(path, today, standings)
    others = [_read(other, today, standings) for other in beside]
    ids = [brief.edition.id, *(other.edition.id for other, _, _ in others)]
    for one, (other, room, _) in zip(beside, others, strict=True):
        if ids.count(other.edition.id) > 1:
            raise NotDoable(
                f"{one.name}: the edition {other.edition.id} is named twice; each edition once."
            )
        if room != studio:
            raise NotDoable(
                f"{one.name}: {other.edition.name} is planned in {room.studio.name} and {brief.edition.name} in "
                f"{studio.studio.name}. Editions that share a kiln name the same studio file."
            )
    starts = [brief.edition.start, *(other.edition.start for other, _, _ in others)]
    first = min(starts) if standing is None else standing.as_of
    neighbors: tuple[Neighbor, ...] = ()
    for other, room, there in others:
        case = build_case(other, room, today, first=first, neighbors=neighbors, standing=there)
        chosen = outlook(case, choose_molds(case), Effort(effort.quick)).choice.chosen
        neighbors = (*neighbors, Neighbor(case, chosen.policy, chosen.finish))
    return build_case(brief, studio, today, first=first, neighbors=neighbors, standing=standing)


def _read(
    path: Path, today: date, standings: Mapping[str, Standing]
) -> tuple[Brief, Studio, Standing | None]:
    """Read a brief; one that the book knows counts its days from when it was planned."""
    standing = standings.get(edition_id(path)) if standings else None
    brief, studio = read_brief(path, today if standing is None else standing.planned_on)
    return brief, studio, standing


def beside_section(case: Case, found: Found) -> tuple[FirstClaim, ...]:
    """Return the editions that have the first claim, and when each is expected to end.

    ``alone`` is when it would end without this edition: a load of this one may
    be in the kiln on the day the other is ready.
    """
    lines = joint_forecast(case, found).lines if case.neighbors else ()
    return tuple(
        FirstClaim(
            neighbor.case.brief.edition.id,
            neighbor.case.brief.edition.name,
            finish=case.day(int(line.finish[0])),
            alone=case.day(neighbor.finish),
        )
        for neighbor, line in zip(case.neighbors, lines, strict=False)
    )
