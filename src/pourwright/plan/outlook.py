"""The runs behind a plan, and the plan that is chosen by them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

import numpy as np

from pourwright.briefs.edition_fields import PREFER
from pourwright.briefs.records import Prefer
from pourwright.plan.case import (
    LIFE_SPREAD,
    SPOILED_LOAD_KEEPS,
    UNKNOWN_LIFE_SPREAD,
    YIELD_EXPERIENCE,
    Case,
    Neighbor,
    planned_mold_days,
)
from pourwright.plan.choice import (
    Way,
    best_at,
    in_order,
    in_time,
    money_of,
    spending_of,
    unbeaten,
    way_of,
)
from pourwright.plan.cost import Use, cost_of_plan, labor_h, use_of_runs
from pourwright.plan.molds import (
    MoldChoice,
    courses_under,
    mold_counts,
)
from pourwright.plan.plan import (
    FinishRange,
)
from pourwright.simulation.chance import Belief, Chance
from pourwright.simulation.cost import Cost
from pourwright.simulation.odds import (
    FRESH,
    Futures,
    Runs,
    quantile,
    quantiles,
)
from pourwright.simulation.problem import Policy, Workshop
from pourwright.simulation.race import first_rules, race
from pourwright.simulation.search import Found, courses

SEED = 1
RUNS = 10_000
BIAS = 0.013
"""Share of the days from first pour to finish by which a minute clock ends later than whole days:
the mean of thirteen rooms, see the table in ``docs/science/forecast.md``."""
FAR_APART_DAYS = 2
"""The calendar may end so far from the middle of the runs. [days]"""
_LAST_MOLD_DAYS = 2


@dataclass(frozen=True, slots=True)
class Effort:
    """How many runs a plan makes: for its own number of molds, for other rows, and for each risk."""

    runs: int = RUNS

    @property
    def row(self) -> int:
        """Runs for the numbers of molds that matter most."""
        return max(self.runs // 5, 100)

    @property
    def quick(self) -> int:
        """Runs for other numbers of molds, each end of a risk, and other sizes of the edition."""
        return max(self.runs // 20, 100)


@dataclass(frozen=True, slots=True)
class Outlook:
    """The runs behind a plan's odds.

    ``ways`` are the plans worth showing: those that none other beats, and the plan taken.
    ``rows`` are the rules that are taken for each number of molds, the fewest first.
    ``checked`` are the rules that were held against all runs, by which they are told.
    """

    case: Case
    choice: MoldChoice
    futures: Futures
    effort: Effort
    ways: tuple[Way, ...] = ()
    rows: tuple[Policy, ...] = ()
    checked: tuple[Policy, ...] = ()

    @property
    def rules(self) -> tuple[Policy, ...]:
        """The rules that were looked at."""
        return tuple(found.rule for found in self.choice.found)

    @property
    def deadline(self) -> int | None:
        """Day by which the last piece must be finished: the date, or the last working day before it."""
        day, open_days = self.case.brief.edition.deadline, self.case.calendar.open_days
        if day is None:
            return None
        number = (day - self.case.calendar.first).days
        return int(max(open_days[open_days <= number], default=number))

    @property
    def molds(self) -> int:
        """Molds of the plan."""
        return self.choice.chosen.molds

    @property
    def rule(self) -> Policy:
        """What the plan decides, whatever comes."""
        return self.choice.chosen.rule

    @property
    def least(self) -> int | None:
        """The fewest molds with which a plan keeps the date at the confidence asked."""
        confidence = self.case.brief.edition.confidence
        found = [way.found for way in self.ways]
        fit = (one.molds for one in found if (self.chance_of(one) or 0.0) >= confidence)
        return min(fit, default=None)

    def chance_of(self, found: Found) -> float | None:
        """Return the chance with which a plan keeps the date, by the runs that it is told by."""
        day = self.deadline
        return None if day is None else float((self.runs_of(found).finish <= day).mean())

    def named(self) -> dict[Policy, list[Prefer]]:
        """Return the rules of the cheapest plan, the soonest and that of fewest molds, and of the plan taken.

        Each keeps the date at the confidence asked, where any does.
        """
        fit = in_time(self.ways, self.case.brief.edition.confidence) or self.ways
        names: dict[Policy, list[Prefer]] = {self.rule: []}
        for name in PREFER:
            names.setdefault(best_at(fit, name).found.rule, []).append(name)
        return names

    def one_each(self) -> list[Found]:
        """Return one plan for each number of molds worth having: the one that is taken where so many are asked for."""
        courses = {found.rule: found for found in self.choice.found}
        shown = {way.found.molds for way in self.ways}
        return [courses[rule] for rule in self.rows if rule in courses and rule.molds in shown]

    def runs(self) -> Runs:
        """Return the fresh runs of the plan itself."""
        return self.futures.runs(self.rule, self.effort.runs, FRESH)

    def cost_of(self, found: Found) -> Cost:
        """Return the one cost of a plan: what its runs use on average, of all plans the same runs."""
        return cost_of_plan(self.case, self.use_of(found))

    def cost_range(self, found: Found) -> tuple[Decimal | None, Decimal | None]:
        """Return what 10 and 90 of a hundred of the runs that a plan's cost is told by cost at most. [currency]"""
        runs = self.futures.runs(found.rule, self.effort.row, FRESH)
        order = np.argsort(spending_of(self.case, money_of).of(runs))
        low, high = (int(order[int(share * (len(order) - 1))]) for share in (0.1, 0.9))
        return self._cost_of_run(runs, low), self._cost_of_run(runs, high)

    def _cost_of_run(self, runs: Runs, at: int) -> Decimal | None:
        return cost_of_plan(self.case, use_of_runs(runs.part(slice(at, at + 1)))).total

    def use_of(self, found: Found) -> Use:
        """Return what the runs of a plan use up on average, by which its cost is told."""
        return use_of_runs(self.futures.runs(found.rule, self.effort.row, FRESH))

    def hands_h_of(self, found: Found) -> float:
        """Return the hours of hands of a plan, by the runs that its cost is told by. [h]"""
        runs = self.futures.runs(found.rule, self.effort.row, FRESH)
        return round(sum(labor_h(self.case, use_of_runs(runs)).values()), 1)

    def runs_of(self, found: Found) -> Runs:
        """Return the fresh runs by which a plan is told: of the plan taken, and of one that was checked, all."""
        every = found.rule == self.rule or found.rule in self.checked
        return self.futures.runs(found.rule, self.effort.runs if every else self.effort.row, FRESH)

    def day(self, number: float) -> date:
        """Return the date on which runs that end on a day of their own are packed; see `packed_on`."""
        return self.case.day(self.packed_on(number))

    def packed_on(self, number: float) -> int:
        """Return the working day on which runs that end on a day of their own are packed.

        A part of a day counts as the whole, and hands inspect and pack the last piece: after
        a day off it is the next working day.
        """
        open_days = self.case.calendar.open_days
        at = int(np.searchsorted(open_days, number))
        return int(open_days[min(at, len(open_days) - 1)])

    def even_odds_by(self, found: Found) -> date:
        """Return the date by which half of a plan's runs are finished."""
        return self.range_of(self.runs_of(found).finish).p50

    def average_finish(self, runs: Runs) -> date:
        """Return the average day on which runs end; one that never does counts to the last day looked at."""
        last = len(self.case.workshop.minutes) - 1
        return self.case.day(round(float(np.minimum(runs.finish, last).mean())))

    def range_of(self, days: np.ndarray) -> FinishRange:
        """Return the dates that 10, 50 and 90 of a hundred runs keep."""
        return FinishRange(*map(self.day, quantiles(days, (0.1, 0.5, 0.9))))


def belief_of(case: Case) -> Belief:
    """Return how sure the plan is of the brief's figures: less, the fewer own casts stand behind them."""
    drying = case.studio.drying
    known = case.brief.mold.life is not None
    belief = Belief(
        pieces_behind_yields=max(YIELD_EXPERIENCE, float(case.brief.losses.from_casts)),
        life_spread=LIFE_SPREAD if known else UNKNOWN_LIFE_SPREAD,
        mold_days=(float(drying.days_low), float(drying.days_high)),
        accident=case.brief.mold.accident,
        made_again=tuple((one.chance, one.days) for one in case.before.again),
    )
    learned = case.learned
    if learned is None:
        return belief
    return replace(
        belief,
        pieces_behind=learned.pieces_behind,
        life_spread=learned.life_spread,
        mold_days=learned.mold_days,
        mold_days_shared=learned.mold_days_shared,
    )


def chance_of_case(case: Case) -> Chance:
    """Return the chances of a case: its edition with spoiled loads, and the belief."""
    spoiled = case.studio.kiln.spoiled_loads
    firings = tuple(
        replace(f, spoiled_chance=spoiled, spoiled_passed=min(SPOILED_LOAD_KEEPS, f.passed))
        for f in case.edition.firings
    )
    return Chance(
        replace(case.edition, firings=firings),
        belief_of(case),
        SEED,
        longest_day_min=case.day_minutes,
    )


def futures_of(
    case: Case, *, chance: Chance | None = None, room: Workshop | None = None
) -> Futures:
    """Return the futures of a case, or of the same case with other chances or another room."""
    own = chance or chance_of_case(case)
    before = [_neighbor_chance(neighbor, at) for at, neighbor in enumerate(case.neighbors)]
    editions = (*(other.edition for other, _ in before), own.edition)
    workshop = replace(room or case.workshop, editions=editions)
    return Futures(workshop, replace(own, line=len(before)), before, bias=BIAS)


def _neighbor_chance(neighbor: Neighbor, line: int) -> tuple[Chance, Policy]:
    """Return the chances of an edition with the first claim, and its rule."""
    return replace(chance_of_case(neighbor.case), line=line), neighbor.policy.but(target=0)


def best_outlook(
    case: Case,
    effort: Effort,
    rules: Sequence[Policy] | None = None,
    futures: Futures | None = None,
) -> Outlook:
    """Return the outlook of a case with its plan chosen: the one answer to when it ends.

    With a number of molds in the brief, the first with so many `in_order` is taken, else the
    first of all. ``rules`` are tried instead of the usual ones, for the
    number of molds that is asked for and more: nothing is told of fewer then. ``futures``
    are those of the case, where they are there already.
    """
    terms, counts = case.brief.edition, mold_counts(case)
    futures = futures or futures_of(case)
    if rules is None:
        raced = race(futures, spending_of(case), counts, first_rules(case.edition), terms.molds)
    else:
        least = min(terms.molds or 0, counts[-1])
        enough = [molds for molds in counts if molds >= least]
        raced = race(futures, spending_of(case), enough, rules, terms.molds, near=False)
    look = Outlook(case, courses_under(case, raced), futures, effort)
    look = _taking(replace(look, ways=_worth_showing(look)))
    return _with_its_calendar(_held_against_all_runs(look))


def with_molds(look: Outlook, molds: int) -> Outlook | None:
    """Return the outlook of the same case with a number of molds asked for, None where no such number can be looked at."""
    case = look.case
    brief = replace(case.brief, edition=replace(case.brief.edition, molds=molds))
    first = replace(case.edition, mold_dry_days=planned_mold_days(case.studio))
    asked = replace(case.with_edition(first), brief=brief)
    return (
        best_outlook(asked, look.effort, futures=look.futures)
        if molds in mold_counts(asked)
        else None
    )


def _with_its_calendar(look: Outlook) -> Outlook:
    """Return the outlook with as many days for drying molds as let the calendar end where half of the runs do.

    Without them the calendar is too early: where nothing is left to chance, no late mold
    holds up the others. The last of several molds may well take longer than the range of one.
    """
    edition, days_high = look.case.edition, look.case.studio.drying.days_high
    best = look
    for days in range(edition.mold_dry_days + 1, days_high + _LAST_MOLD_DAYS + 1):
        if days_apart(best) <= FAR_APART_DAYS:
            break
        other = _planned_with(look, days)
        if other is not None and days_apart(other) < days_apart(best):
            best = other
    return best


def _planned_with(look: Outlook, mold_dry_days: int) -> Outlook | None:
    """Return the outlook with another number of days for drying molds in its courses; None if the taken one never ends."""
    case = look.case.with_edition(replace(look.case.edition, mold_dry_days=mold_dry_days))
    made = courses(case.workshop, case.draws, case.target, look.rules, case.settled)
    found = {one.rule: one for one in made if one.finish >= 0}
    if look.rule not in found:
        return None
    choice = replace(look.choice, found=tuple(found.values()))
    ways = [
        replace(way, found=course, poured=case.to_pour(course.molds_poured))
        for way in look.ways
        if (course := found.get(way.found.rule)) is not None
    ]
    # other molds may be poured in these courses, so that another plan is beaten now
    kept = _kept(look, ways, look.rule)
    return replace(look, case=case, ways=kept, choice=choice.taking(found[look.rule], case))


def days_apart(look: Outlook) -> float:
    """Return the days between the calendar's end and the day by which half of the runs end. [days]"""
    return abs(middle_day(look) - look.choice.chosen.finish)


def middle_day(look: Outlook) -> float:
    """Return the day by which half of the runs end, infinite where they do not. [days]"""
    middle = quantile(look.runs().finish, 0.5)
    return math.ceil(middle) if math.isfinite(middle) else math.inf


def _taking(look: Outlook) -> Outlook:
    """Return the outlook with the plan that is taken for each number of molds, and the one of all or of those asked for."""
    order = in_order(look.case, look.ways, dated=look.deadline is not None)
    best = {way.found.molds: way.found for way in reversed(order)}
    taken = best.get(look.case.brief.edition.molds or 0, order[0].found)
    rows = tuple(best[molds].rule for molds in sorted(best))
    return replace(look, rows=rows, choice=look.choice.taking(taken, look.case))


def _held_against_all_runs(look: Outlook) -> Outlook:
    """Return the outlook in which the plans side by side, and those of one more mold, end as they do on all runs.

    One that seemed to keep the date, and does not, is told as late: nobody is shown a likely plan
    that is not taken, nor one that is called the soonest and is not.
    """

    def unsure(look: Outlook) -> list[Policy]:
        near = (look.molds, look.molds + 1)
        beside = [rule for rule in look.rows if rule.molds in near]
        shown = dict.fromkeys((*beside, *look.named()))
        return [rule for rule in shown if rule not in look.checked]

    while fresh := unsure(look):
        look.futures.prepare(fresh, look.effort.runs, FRESH)
        look = replace(look, checked=(*look.checked, *fresh))
        ways = [_on_its_runs(look, way) if way.found.rule in fresh else way for way in look.ways]
        look = _taking(replace(look, ways=_kept(look, ways)))
    return look


def _on_its_runs(look: Outlook, way: Way) -> Way:
    """Return a plan with its end by the runs that it is told by; what it spends is compared on the same runs as all."""
    told = way_of(look.case, way.found, look.runs_of(way.found), look.deadline)
    return replace(way, finish=told.finish, chance=told.chance)


def _worth_showing(look: Outlook) -> tuple[Way, ...]:
    """Return the plans that none other beats, and that of the molds asked for.

    All race on few runs; those that are not beaten there meet on more, which are the
    runs that are then told.
    """
    few = max(look.effort.quick // 2, 100)
    look.futures.prepare(look.rules, few)
    found = [way.found for way in _kept(look, _ways(look, look.choice.found, few, 0))]
    look.futures.prepare([one.rule for one in found], look.effort.row, FRESH)
    return _kept(look, _ways(look, found, look.effort.row, FRESH))


def _kept(look: Outlook, ways: Sequence[Way], taken: Policy | None = None) -> tuple[Way, ...]:
    """Return the plans that none other beats, the one taken, and those of the molds asked for where all are beaten."""
    asked, best = look.case.brief.edition.molds, unbeaten(ways)
    if all(way.found.molds != asked for way in best):
        best += [way for way in ways if way.found.molds == asked]
    return tuple(way for way in ways if way in best or way.found.rule == taken)


def _ways(look: Outlook, found: Iterable[Found], count: int, first: int) -> list[Way]:
    return [
        way_of(look.case, one, look.futures.runs(one.rule, count, first), look.deadline)
        for one in found
    ]
