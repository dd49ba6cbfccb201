"""The plan of an edition: what a maker decides on, worked out from a brief and a studio.

`make_plan` is what the page and the command call. It returns the plan as plain
data, the same for the same brief, studio and day.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Any

from pourwright.briefs.records import Brief, Origin, Studio
from pourwright.cautions import cautions_for
from pourwright.errors import NotDoable
from pourwright.plan.beside import beside_section, case_beside
from pourwright.plan.case import LIVES_IF_UNKNOWN, Case, build_case
from pourwright.plan.cost import cost_of_plan, cost_section
from pourwright.plan.days import calendar_section, stages_section
from pourwright.plan.limits import limits_for_violations
from pourwright.plan.molds import (
    MoldChoice,
    choose_molds,
    day_notes,
    ladder,
    limits,
    refined,
)
from pourwright.plan.odds import (
    RUNS,
    Effort,
    Outlook,
    last_safe_pour_by_odds,
    odds_section,
    outlook,
)
from pourwright.plan.plaster import drying_section, plaster_section, pours_of
from pourwright.plan.standing import Standing
from pourwright.plan.ware import (
    casting_section,
    dimensions_section,
    glaze_section,
    kiln_section,
    numbers_section,
    surplus_section,
)
from pourwright.simulation.problem import DayNote
from pourwright.simulation.search import Found
from pourwright.simulation.violations import violations

PLAN_VERSION = 1


def make_plan(
    brief_path: Path,
    today: date,
    runs: int = RUNS,
    beside: Sequence[Path] = (),
    standings: Mapping[str, Standing] = MappingProxyType({}),
) -> dict[str, Any]:
    """Return the plan of a brief.

    Parameters
    ----------
    brief_path : Path
        The edition's file; the studio's is named in it.
    today : date
        The day on which the plan is made.
    runs : int
        How many runs of chance stand behind the odds. [-]
    beside : sequence of Path
        Briefs of other editions in the same studio that have the first claim
        on kiln and hands, the first claim first.
    standings : mapping of str to Standing, optional
        What is true by the book of the edition, and of those beside it, by the
        edition's id; the plan goes on from there.

    Returns
    -------
    dict
        As ``pourwright schema plan`` describes it.

    Raises
    ------
    StudioError
        If a file has faults (all are named), or the edition cannot be made in
        this studio.
    """
    effort = Effort(runs)
    case = case_beside(brief_path, today, beside, effort, standings)
    brief, studio = case.brief, case.studio
    begun = case.standing is not None
    look = outlook(case, choose_molds(case), effort)
    choice = look.choice
    notes = day_notes(case, choice.chosen)
    sessions, pours = pours_of(case, notes)
    cost = cost_of_plan(case, choice.chosen, pours.total_plaster_kg)
    kiln = kiln_section(case, notes)
    plan: dict[str, Any] = {
        "version": PLAN_VERSION,
        "as_of": today.isoformat(),
        "edition": {key: getattr(brief.edition, key) for key in ("id", "name", "pieces", "proofs")},
        "studio": {key: getattr(studio.studio, key) for key in ("name", "units", "currency")},
        "beside": beside_section(case, choice.chosen),
        "answer": _answer(look, notes, None if begun else cost.per_piece),
        "molds": _molds(case, choice),
        "ladder": [] if begun else _ladder(case, choice.chosen),
        "sizes": _sizes(look),
        "lives": _lives(look) if brief.mold.life is None and not begun else [],
        "odds": odds_section(look),
        "plaster": plaster_section(case, notes, sessions, pours),
        "drying": drying_section(case),
        "casting": casting_section(case, choice.chosen),
        "stages": stages_section(case, notes),
        "calendar": calendar_section(case, notes),
        "kiln": kiln,
        "glaze": glaze_section(case, kiln),
        "numbers": numbers_section(case),
        "surplus": surplus_section(case, notes),
        "cost": cost_section(cost, begun=begun),
        "dimensions": dimensions_section(case),
        "cautions": cautions_for(_work(case, poured=bool(sessions))),
        "sources": sources_section(brief, studio),
        "violations": [],
    }
    plan["violations"] = violations(limits_for_violations(case), plan)
    if plan["violations"]:
        raise NotDoable(_broken(plan["violations"]))
    return plan


def _broken(found: list[str]) -> str:
    """Say that a plan was not shown because it breaks a rule; this is never the maker's fault."""
    return "The plan breaks its own rules and is not shown; please report it: " + " ".join(
        found[:3]
    )


def _answer(look: Outlook, notes: list[DayNote], per_piece: object) -> dict[str, Any]:
    case, choice = look.case, look.choice
    chosen, deadline = choice.chosen, case.brief.edition.deadline
    limited_by, relief = limits(case, choice)
    sessions = [len(note.poured) for note in notes if note.poured]
    bound = case.day(chosen.bound).isoformat()
    return {
        "molds": chosen.molds,
        "molds_poured": case.to_pour(chosen.molds_poured),
        "casts": chosen.casts,
        "conditioning_casts": chosen.conditioning,
        "first_pour": _first(case, notes, lambda n: bool(n.poured)),
        "first_cast": _first(case, notes, lambda n: bool(n.cast)),
        "finish": case.day(chosen.finish).isoformat(),
        "deadline": deadline.isoformat() if deadline else None,
        "deadline_met": choice.deadline_met,
        "last_safe_pour": last_safe_pour_by_odds(look, sessions),
        "limited_by": limited_by,
        "relief": [{"what": what, "days_gained": days} for what, days in relief],
        "cost_per_piece": None if per_piece is None else str(per_piece),
        "currency": case.studio.studio.currency,
        "best_found": {"bound": bound, "proved": chosen.bound == chosen.finish},
    }


def _first(case: Case, notes: list[DayNote], holds: Callable[[DayNote], bool]) -> str | None:
    return next((case.day(note.day).isoformat() for note in notes if holds(note)), None)


def _molds(case: Case, choice: MoldChoice) -> list[dict[str, Any]]:
    deadline = case.brief.edition.deadline
    return [
        {
            "count": found.molds,
            "finish": case.day(found.finish).isoformat(),
            "working_days": case.calendar.count(
                case.day(case.edition.pour_from), case.day(found.finish)
            )
            + 1,
            "casts_per_mold": -(-(found.casts + found.conditioning) // max(found.molds_poured, 1)),
            "life": case.edition.life,
            "replaced": _replaced(found),
            "sessions": found.sessions,
            "meets_deadline": None if deadline is None else case.day(found.finish) <= deadline,
            "chosen": found is choice.chosen,
            "cost": _total(case, found),
        }
        for found in choice.found
    ]


def _replaced(found: Found) -> int:
    """Return the molds poured beyond the first ones; the last of those may not be needed in time."""
    return max(found.molds_poured - found.molds, 0)


def _total(case: Case, found: Found) -> str | None:
    total = cost_of_plan(case, found).total
    return None if total is None else str(total)


def _ladder(case: Case, chosen: Found) -> list[dict[str, Any]]:
    rows, before = [], None
    for step, day in ladder(case, chosen):
        added = 0 if before is None else day - before
        rows.append({"step": step, "finish": case.day(day).isoformat(), "days_added": added})
        before = day
    return rows


def _sizes(look: Outlook) -> list[dict[str, Any]]:
    case, choice = look.case, look.choice
    sizes = sorted({*case.brief.edition.sizes, case.brief.edition.pieces})
    rows = []
    for pieces in sizes if len(sizes) > 1 else []:
        same = pieces == case.brief.edition.pieces
        other = case if same else _again(case, pieces=pieces)
        chosen = choice.chosen if same else _choose(other, look)
        rows.append(
            {
                "pieces": pieces,
                "molds": chosen.molds,
                "casts": chosen.casts,
                "finish": other.day(chosen.finish).isoformat(),
                "cost": _total(other, chosen),
            }
        )
    return rows


def _again(case: Case, *, pieces: int | None = None, life: int | None = None) -> Case:
    """Return the case for another size or life, beside the same editions."""
    first, neighbors = case.calendar.first, case.neighbors
    return build_case(
        case.brief,
        case.studio,
        case.as_of,
        pieces=pieces,
        life=life,
        first=first,
        neighbors=neighbors,
    )


def _choose(case: Case, look: Outlook) -> Found:
    """Return the plan for another size or life, chosen as the plan itself but with fewer runs."""
    choice = choose_molds(case, first_only=True)
    return refined(case, outlook(case, choice, Effort(look.effort.quick), look).choice.chosen)


def _lives(look: Outlook) -> list[dict[str, Any]]:
    rows = []
    for life in LIVES_IF_UNKNOWN:
        other = _again(look.case, life=life)
        chosen = _choose(other, look)
        finish = other.day(chosen.finish).isoformat()
        rows.append(
            {"life": life, "molds": chosen.molds, "replaced": _replaced(chosen), "finish": finish}
        )
    return rows


def _work(case: Case, *, poured: bool) -> set[str]:
    """Return the kinds of work in the plan, for the cautions beside them."""
    work = {"drying", "slip", "numbers", *(f.name for f in case.edition.firings)}
    work |= {"plaster"} if poured else set()
    return work if case.brief.preparation.have == "masters" else work | {"rubber"}


# --- where each number of a plan came from

_NOT_NUMBERS = {"version", "studio"}
NOT_GIVEN = "not given"


def sources_section(brief: Brief, studio: Studio) -> list[dict[str, str]]:
    """Return every field of the brief and the studio with its value and origin."""
    return [*_rows(brief.origins), *_rows(studio.origins)]


def _rows(origins: Mapping[str, Origin]) -> list[dict[str, str]]:
    return [
        {
            "field": path,
            "value": origin.typed or NOT_GIVEN,
            "kind": origin.kind,
            "source": origin.source,
        }
        for path, origin in origins.items()
        if path not in _NOT_NUMBERS
    ]
