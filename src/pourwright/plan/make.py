"""The plan of an edition: what a maker decides on, worked out from a brief and a studio.

`make_plan` is what the page and the command call. It returns the same plan for the
same brief, studio and day.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal

from pourwright.briefs.records import Origin, Prefer
from pourwright.cautions import cautions_for
from pourwright.errors import NotDoable
from pourwright.plan.beside import beside_section, case_beside
from pourwright.plan.buying import to_buy
from pourwright.plan.case import LIVES_IF_UNKNOWN, Case, ToPlan, build_case
from pourwright.plan.choice import Way
from pourwright.plan.cost import cost_section
from pourwright.plan.days import calendar_section, stages_section
from pourwright.plan.limits import limits_for_violations
from pourwright.plan.molds import day_notes, ladder
from pourwright.plan.odds import last_safe_pour_by_odds, odds_section, two_steps, what_comes_out
from pourwright.plan.outlook import RUNS, Effort, Outlook, best_outlook
from pourwright.plan.plan import (
    NOT_GIVEN,
    BestFound,
    LadderStep,
    Limit,
    MoldCount,
    NumberSource,
    OtherLife,
    OtherSize,
    Plan,
    PlanAnswer,
    PlanCaution,
    PlannedEdition,
    PlannedStudio,
    PlanWay,
    Relief,
    TwoSteps,
)
from pourwright.plan.plaster import drying_section, plaster_section, pours_of
from pourwright.plan.relief import breaks_of, limit_and_cure
from pourwright.plan.violations import violations
from pourwright.plan.ware import (
    casting_section,
    dimensions_section,
    glaze_section,
    kiln_section,
    numbers_section,
    surplus_section,
)
from pourwright.simulation.odds import CameOut
from pourwright.simulation.problem import DayNote
from pourwright.simulation.search import Found, soonest_finish


def make_plan(
    edition: ToPlan, today: date, runs: int = RUNS, beside: Sequence[ToPlan] = ()
) -> Plan:
    """Return the plan of an edition; where the book knows it, the plan goes on from there.

    Parameters
    ----------
    edition : ToPlan
        Its brief and its studio, and what is true of it by the book.
    today : date
        The day on which the plan is made.
    runs : int
        How many runs of chance stand behind the odds. [-]
    beside : sequence of ToPlan
        Other editions in the same studio that have the first claim on kiln and
        hands, the first claim first.

    Returns
    -------
    Plan
        Without its ``book``, which whoever has read the book puts in.

    Raises
    ------
    StudioError
        If the edition cannot be made in this studio.
    """
    effort = Effort(runs)
    look = best_outlook(case_beside(edition, today, beside, effort), effort)
    case = look.case
    brief, studio = case.brief, case.studio
    begun = case.standing is not None
    taken, sizes = look.choice.chosen, _size_looks(look)
    notes = day_notes(case, taken)
    sessions, pours = pours_of(case, notes)
    cost = look.cost_of(taken)
    kiln = kiln_section(case, notes)
    plaster = plaster_section(case, notes, sessions, pours)
    casting = casting_section(case, taken)
    calendar, glaze = calendar_section(case, notes), glaze_section(case, kiln)
    limit, relief = limit_and_cure(look)
    came = what_comes_out(look, sizes.values())
    plan = Plan(
        version=1,
        as_of=today,
        edition=PlannedEdition(
            brief.edition.id, brief.edition.name, brief.edition.pieces, brief.edition.proofs
        ),
        studio=PlannedStudio(studio.studio.name, studio.studio.units, studio.studio.currency),
        beside=beside_section(case, taken),
        answer=_answer(look, notes, limit, relief, None if begun else cost.per_piece),
        molds=_molds(look),
        ways=_ways(look),
        ladder=() if begun else _ladder(case, taken),
        sizes=tuple(_size(pieces, other) for pieces, other in sizes.items()),
        two_steps=() if begun else _two_steps(look, sizes, came),
        lives=_lives(look) if _asks_for_lives(case) else (),
        odds=odds_section(look, limit, came),
        plaster=plaster,
        drying=drying_section(case),
        casting=casting,
        stages=stages_section(case, notes),
        calendar=calendar,
        kiln=kiln,
        glaze=glaze,
        numbers=numbers_section(case),
        surplus=surplus_section(case, notes),
        cost=cost_section(case, cost, taken, look.use_of(taken), look.cost_range(taken)),
        dimensions=dimensions_section(case),
        cautions=_cautions(_work(case, poured=bool(sessions)), studio.studio.units),
        sources=(*_sources(brief.origins), *_sources(studio.origins)),
        violations=(),
        to_buy=to_buy(case, taken.molds, plaster, casting, glaze, calendar),
    )
    if found := violations(limits_for_violations(case), plan):
        raise NotDoable(_broken(found))
    return plan


def _broken(found: list[str]) -> str:
    """Say that a plan was not shown because it breaks a rule; this is never the maker's fault."""
    return "The plan breaks its own rules and is not shown; please report it: " + " ".join(
        found[:3]
    )


def _answer(
    look: Outlook,
    notes: list[DayNote],
    limited_by: Limit,
    relief: tuple[Relief, ...],
    per_piece: Decimal | None,
) -> PlanAnswer:
    case, choice = look.case, look.choice
    chosen = choice.chosen
    sessions = [len(note.poured) for note in notes if note.poured]
    bound = soonest_finish(case.workshop, case.draws, case.target, chosen.molds)
    return PlanAnswer(
        molds=chosen.molds,
        molds_poured=case.to_pour(chosen.molds_poured),
        casts=chosen.casts,
        conditioning_casts=chosen.conditioning,
        first_pour=_first(case, notes, lambda n: bool(n.poured)),
        first_cast=_first(case, notes, lambda n: bool(n.cast)),
        finish=case.day(chosen.finish),
        deadline=case.brief.edition.deadline,
        deadline_met=choice.deadline_met,
        last_safe_pour=last_safe_pour_by_odds(look, sessions),
        limited_by=limited_by,
        relief=relief,
        breaks=breaks_of(case, chosen),
        cost_per_piece=per_piece,
        currency=case.studio.studio.currency,
        best_found=BestFound(case.day(bound), proved=bound == chosen.finish),
    )


def _first(case: Case, notes: list[DayNote], holds: Callable[[DayNote], bool]) -> date | None:
    return next((case.day(note.day) for note in notes if holds(note)), None)


def _molds(look: Outlook) -> tuple[MoldCount, ...]:
    case, choice = look.case, look.choice
    deadline = case.brief.edition.deadline
    first = case.day(case.edition.pour_from)
    return tuple(
        MoldCount(
            count=found.molds,
            finish=look.even_odds_by(found),
            working_days=case.calendar.count(first, look.even_odds_by(found)) + 1,
            casts_per_mold=-(-(found.casts + found.conditioning) // max(found.molds_poured, 1)),
            life=case.edition.life,
            replaced=_replaced(found),
            sessions=found.sessions,
            meets_deadline=None if deadline is None else look.even_odds_by(found) <= deadline,
            chosen=found is choice.chosen,
            cost=look.cost_of(found).total,
        )
        for found in look.one_each()
    )


def _ways(look: Outlook) -> tuple[PlanWay, ...]:
    """Return the cheapest plan, the soonest and that of fewest molds, equal ones told once."""
    names = look.named()
    return tuple(
        _way(look, way, names[way.found.rule]) for way in look.ways if way.found.rule in names
    )


def _way(look: Outlook, way: Way, names: Sequence[Prefer]) -> PlanWay:
    runs = look.runs_of(way.found)
    chance = None if look.deadline is None else float((runs.finish <= look.deadline).mean())
    return PlanWay(
        names=tuple(names),
        molds=way.found.molds,
        molds_poured=way.poured,
        loads=sum(way.found.loads),
        finish=look.range_of(runs.finish),
        chance=None if chance is None else round(chance, 3),
        cost=look.cost_of(way.found).total,
        recommended=way.found is look.choice.chosen,
        hands_h=look.hands_h_of(way.found),
    )


def _replaced(found: Found) -> int:
    """Return the molds poured beyond the first ones; the last of those may not be needed in time."""
    return max(found.molds_poured - found.molds, 0)


def _ladder(case: Case, chosen: Found) -> tuple[LadderStep, ...]:
    steps = ladder(case, chosen)
    before = [steps[0][1], *(day for _, day in steps)]
    return tuple(
        LadderStep(step, case.day(day), day - last)
        for (step, day), last in zip(steps, before, strict=False)
    )


def _size_looks(look: Outlook) -> dict[int, Outlook]:
    """Return the outlook of each size that is thought of, this one's among them; none where it is the only one."""
    terms = look.case.brief.edition
    sizes = sorted({*terms.sizes, terms.pieces})
    if len(sizes) < 2:
        return {}
    return {
        pieces: look if pieces == terms.pieces else _choose(_again(look.case, pieces=pieces), look)
        for pieces in sizes
    }


def _two_steps(look: Outlook, sizes: Mapping[int, Outlook], came: CameOut) -> tuple[TwoSteps, ...]:
    own = look.case.brief.edition.pieces
    return tuple(two_steps(look, n, other, came) for n, other in sizes.items() if n > own)


def _size(pieces: int, other: Outlook) -> OtherSize:
    case, chosen = other.case, other.choice.chosen
    poured = case.to_pour(chosen.molds_poured)
    finish, cost = other.even_odds_by(chosen), other.cost_of(chosen).total
    return OtherSize(pieces, chosen.molds, poured, chosen.casts, finish, cost)


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


def _choose(case: Case, look: Outlook) -> Outlook:
    """Return the outlook of another size or life, chosen as the plan itself but with fewer runs.

    The rules that were best here are tried there.
    """
    shown = (way.found.rule for way in look.ways)
    rules = dict.fromkeys(rule.but(molds=1, capacity_limits=()) for rule in shown)
    return best_outlook(case, Effort(look.effort.quick), tuple(rules))


def _asks_for_lives(case: Case) -> bool:
    """Return whether nobody knows how many casts a mold gives, and no mold is there to show it."""
    already = case.edition.already
    return case.brief.mold.life is None and not already.begun and not already.molds


def _lives(look: Outlook) -> tuple[OtherLife, ...]:
    return tuple(_life(look, life) for life in LIVES_IF_UNKNOWN)


def _life(look: Outlook, life: int) -> OtherLife:
    own = life == look.case.edition.life
    other = look if own else _choose(_again(look.case, life=life), look)
    chosen = other.choice.chosen
    return OtherLife(life, chosen.molds, _replaced(chosen), other.even_odds_by(chosen))


def _work(case: Case, *, poured: bool) -> set[str]:
    """Return the kinds of work in the plan, for the cautions beside them."""
    work = {"drying", "slip", "numbers", *(f.name for f in case.edition.firings)}
    work |= {"plaster"} if poured else set()
    return work if case.brief.preparation.have == "masters" else work | {"rubber"}


def _cautions(work: set[str], units: str) -> tuple[PlanCaution, ...]:
    return tuple(
        PlanCaution(one.step, one.title, one.said(units), one.source) for one in cautions_for(work)
    )


# --- where each number of a plan came from

_NOT_NUMBERS = {"version", "studio"}


def _sources(origins: Mapping[str, Origin]) -> Iterator[NumberSource]:
    """Yield every field of a file with its value and origin."""
    for path, origin in origins.items():
        if path not in _NOT_NUMBERS:
            yield NumberSource(path, origin.typed or NOT_GIVEN, origin.kind, origin.source)
