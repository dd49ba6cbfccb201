"""Several editions in one studio: those with the first claim are settled first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from pourwright.errors import NotDoable
from pourwright.plan.case import Case, Neighbor, ToPlan, build_case
from pourwright.plan.molds import joint_forecast
from pourwright.plan.outlook import Effort, best_outlook
from pourwright.plan.plan import FirstClaim
from pourwright.simulation.search import Found


def case_beside(edition: ToPlan, today: date, beside: Sequence[ToPlan], effort: Effort) -> Case:
    """Return the case of an edition in a studio that other editions have the first claim on.

    The days of a plan that goes on from the book begin on the book's own day.

    Raises
    ------
    NotDoable
        If an edition stands twice, or is planned in another studio.
    """
    terms, standing = edition.brief.edition, edition.standing
    ids = [terms.id, *(one.brief.edition.id for one in beside)]
    for one in beside:
        other = one.brief.edition
        if ids.count(other.id) > 1:
            raise NotDoable(
                f"{one.file}: the edition {other.id} is named twice; each edition once."
            )
        if one.studio != edition.studio:
            raise NotDoable(
                f"{one.file}: {other.name} is planned in {one.studio.studio.name} and {terms.name} in "
                f"{edition.studio.studio.name}. Editions that share a kiln name the same studio file."
            )
    starts = [terms.start, *(one.brief.edition.start for one in beside)]
    first = min(starts) if standing is None else standing.as_of
    neighbors: tuple[Neighbor, ...] = ()
    for one in beside:
        case = build_case(
            one.brief, one.studio, today, first=first, neighbors=neighbors, standing=one.standing
        )
        look = best_outlook(case, Effort(effort.quick))
        chosen = look.choice.chosen
        neighbors = (*neighbors, Neighbor(look.case, chosen.policy, chosen.finish))
    return build_case(
        edition.brief, edition.studio, today, first=first, neighbors=neighbors, standing=standing
    )


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
