"""The odds of a plan: finish as a range, molds for a chance, what may be promised, what carries the risk."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

import numpy as np

from pourwright.briefs.edition_fields import PREFER
from pourwright.briefs.records import Prefer
from pourwright.money import rounded
from pourwright.plan.case import (
    LIFE_SPREAD,
    MINUTES_STEP,
    SPOILED_LOAD_KEEPS,
    UNKNOWN_LIFE_SPREAD,
    YIELD_EXPERIENCE,
    Case,
    Neighbor,
)
from pourwright.plan.choice import (
    Way,
    added_cost,
    best_at,
    best_for_the_money,
    cheapest_or_sooner,
    in_time,
    money_of,
    recommended,
    recommended_late,
    spending_of,
    unbeaten,
    way_of,
)
from pourwright.plan.cost import Use, cost_of_plan, labor_h, use_of_runs
from pourwright.plan.molds import (
    MoldChoice,
    casts_in_time,
    courses_under,
    last_safe_pour,
    mold_counts,
)
from pourwright.plan.plan import (
    EVEN_CHANCE,
    CastsToPromise,
    FanDay,
    FinishRange,
    Forecast,
    FromMolds,
    FurtherMolds,
    HelpRow,
    Limit,
    MoldsDay,
    MoldsForChance,
    MoldsRow,
    Odds,
    OfferBy,
    Replacement,
    RiskRow,
    SafeToOffer,
    TwoSteps,
    word_for,
)
from pourwright.simulation.chance import Belief, Chance
from pourwright.simulation.cost import Cost
from pourwright.simulation.odds import (
    FRESH,
    CameOut,
    Futures,
    Runs,
    came_out,
    ends_of,
    quantile,
    quantiles,
)
from pourwright.simulation.problem import Policy, Workshop
from pourwright.simulation.race import Spending, first_rules, race
from pourwright.simulation.search import Found, courses


@dataclass(frozen=True, slots=True)
class Risk:
    """One input: its parameter in the chances, its field in the files, and how to measure it."""

    parameter: str
    what: str
    field: str
    measure: str
    matters: Callable[[Case], bool] = lambda case: True


def _loses(*names: str) -> Callable[[Case], bool]:
    return lambda case: any(getattr(case.brief.losses, name) > 0 for name in names)


RISKS = (
    Risk(
        "mold_drying",
        "how long molds dry",
        "drying.days_low",
        "weigh one strapped mold on two days: the rate tells its drying time",
    ),
    Risk(
        "life",
        "casts a mold gives",
        "mold.life",
        "hold every fifth cast against the first good one and note when detail goes soft",
    ),
    Risk(
        "fired_passed",
        "losses in the kiln",
        "losses.glaze",
        "fire one glaze load of test pieces and count",
        _loses("bisque", "glaze", "third"),
    ),
    Risk(
        "cast_passed",
        "losses in casting",
        "losses.casting",
        "count good and lost of the first twenty casts",
        _loses("casting"),
    ),
    Risk(
        "dry_passed",
        "losses in drying",
        "losses.drying",
        "count what cracks of the first twenty casts",
        _loses("drying"),
    ),
    Risk(
        "work", "hands' minutes a piece", "work.fettle", "time three casts from filling to fettled"
    ),
    Risk(
        "ware_drying",
        "how long ware dries",
        "firing.ware_dry_days",
        "weigh one cast each morning until it stops losing",
    ),
    Risk(
        "preparation",
        "the days before the first pour",
        "preparation.have",
        "make the test casts first: they settle what the masters wait for",
        lambda case: case.before.test_casts > 0,
    ),
    Risk(
        "preparation",
        "the days before the first pour",
        "preparation.have",
        "time the first step of it, and write its days into the brief",
        lambda case: case.edition.pour_from > 0 and not case.before.test_casts,
    ),
)


def shown_at(risk: Risk, case: Case, chance: Chance, quantile: float) -> str:
    """Return what a parameter is at a quantile of its belief, in words.

    A low quantile of a share that passes is a high loss, and is told as one.
    """
    from scipy import special

    edition, belief = case.edition, chance.belief
    z = float(special.ndtri(quantile))
    if risk.parameter in ("cast_passed", "dry_passed"):
        behind = belief.behind(int(risk.parameter == "dry_passed"))
        return _lost(getattr(edition, risk.parameter), behind, quantile)
    if risk.parameter == "fired_passed":
        return ", ".join(
            f"{f.name} {_lost(f.passed, belief.behind(2 + k), quantile)}"
            for k, f in enumerate(edition.firings)
            if f.passed < 1
        )
    if risk.parameter == "mold_drying":
        low, high = belief.mold_days
        spread = math.log(high / low) / (2 * float(special.ndtri(0.9)))
        reach = spread * math.sqrt(belief.mold_days_shared) * z
        return f"{math.sqrt(low * high) * math.exp(reach):.0f} days"
    if risk.parameter == "life":
        return f"{edition.life * math.exp(belief.life_spread * z):.0f} casts"
    if risk.parameter == "work":
        return (
            f"{(edition.cast_min + edition.fettle_min) * math.exp(belief.work_spread * z):.0f} min"
        )
    spread, days = {
        "ware_drying": (belief.ware_spread, edition.ware_dry_days),
        "preparation": (belief.preparation_spread, edition.pour_from),
    }[risk.parameter]
    return f"{days * math.exp(spread * z):.0f} days"


def _lost(passed: float, behind: float, quantile: float) -> str:
    from scipy import special

    share = float(special.betaincinv(passed * behind, (1 - passed) * behind, quantile))
    return f"{100 * (1 - share):.0f} % lost"


SEED = 1
RUNS = 10_000
BIAS = 0.013
"""Share of the days from first pour to finish by which a minute clock ends later than whole days:
the mean of thirteen rooms, see the table in ``docs/science/forecast.md``."""
_FAN_ROWS = 90
_TEN_WAYS = tuple((2 * n + 1) / 20 for n in range(10))
_HELD_DAYS = 80
_SAME_CHANCE, _WORTH_TELLING = 0.02, 0.05
_FAR_APART_DAYS, _LAST_MOLD_DAYS, _EACH_DAY = 2, 2, 3


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
    ``checked`` are the rules whose date was held against all runs, by which they are told.
    """

    case: Case
    choice: MoldChoice
    futures: Futures
    effort: Effort
    ways: tuple[Way, ...] = ()
    checked: tuple[Policy, ...] = ()

    @property
    def rules(self) -> tuple[Policy, ...]:
        """The rules that were looked at."""
        return tuple(found.rule for found in self.choice.found)

    @property
    def deadline(self) -> int | None:
        """Day by which the last piece must be finished."""
        day = self.case.brief.edition.deadline
        return None if day is None else (day - self.case.calendar.first).days

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
        """Return one plan for each number of molds: one that is named, or what would be taken of them."""
        found, terms, named = [], self.case.brief.edition, list(self.named())
        for molds in sorted({way.found.molds for way in self.ways}):
            own = [way for way in self.ways if way.found.molds == molds]
            known = [way for way in own if way.found.rule in named]
            taken = sorted(known, key=lambda way: named.index(way.found.rule))
            if not taken and (fit := in_time(own, terms.confidence)):
                taken = [cheapest_or_sooner(fit)]
            found.append((taken or [best_for_the_money(own, terms.week_saved)])[0].found)
        return found

    def runs(self) -> Runs:
        """Return the fresh runs of the plan itself."""
        return self.futures.runs(self.rule, self.effort.runs, FRESH)

    def cost_of(self, found: Found) -> Cost:
        """Return the one cost of a plan: what its runs use on average, of all plans the same runs."""
        return cost_of_plan(self.case, self.use_of(found))

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
        """Return the date of a day of the runs; a part of a day counts as the whole."""
        last = len(self.case.calendar.working) - 1
        return self.case.day(min(math.ceil(number), last) if math.isfinite(number) else last)

    def even_odds_by(self, found: Found) -> date:
        """Return the date by which half of a plan's runs are finished."""
        return self.range_of(self.runs_of(found).finish).p50

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


def best_outlook(case: Case, effort: Effort, rules: Sequence[Policy] | None = None) -> Outlook:
    """Return the outlook of a case with its plan chosen: the one answer to when it ends.

    With no number of molds in the brief, `recommended` takes a plan of those that keep
    the deadline at the confidence asked, or of all where there is none. If no plan keeps
    it, what is preferred is taken of all; else the best for the money, of those with an
    even chance where there are any. ``rules`` are tried instead of the usual ones, for the
    number of molds that is asked for and more: nothing is told of fewer then.
    """
    futures, terms, counts = futures_of(case), case.brief.edition, mold_counts(case)
    if rules is None:
        raced = race(futures, spending_of(case), counts, first_rules(case.edition), terms.molds)
    else:
        least = min(terms.molds or 0, counts[-1])
        enough = [molds for molds in counts if molds >= least]
        raced = race(futures, spending_of(case), enough, rules, terms.molds, near=False)
    look = Outlook(case, courses_under(case, raced), futures, effort)
    look = _held_against_all_runs(replace(look, ways=_worth_showing(look)))
    taken = _chosen(look).found
    return _with_its_calendar(replace(look, choice=look.choice.taking(taken, case)))


def _with_its_calendar(look: Outlook) -> Outlook:
    """Return the outlook with as many days for drying molds as let the calendar end where half of the runs do.

    Without them the calendar is too early: where nothing is left to chance, no late mold
    holds up the others. The last of several molds may well take longer than the range of one.
    """
    edition, days_high = look.case.edition, look.case.studio.drying.days_high
    best = look
    for days in range(edition.mold_dry_days + 1, days_high + _LAST_MOLD_DAYS + 1):
        if days_apart(best) <= _FAR_APART_DAYS:
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
    return abs(_middle(look) - look.choice.chosen.finish)


def _middle(look: Outlook) -> float:
    middle = quantile(look.runs().finish, 0.5)
    return math.ceil(middle) if math.isfinite(middle) else math.inf


def _held_against_all_runs(look: Outlook) -> Outlook:
    """Return the outlook in which the plan to take keeps the date on all runs too, if it is one that keeps it.

    One that seemed to, and does not, is told as late: nobody is shown a likely plan that is not taken.
    """
    if look.deadline is None:
        return look
    while (way := _chosen(look)).found.rule not in look.checked:
        rule = way.found.rule
        chance = look.futures.chance_of(rule, look.deadline, look.effort.runs)
        ways = tuple(replace(one, chance=chance) if one is way else one for one in look.ways)
        look = replace(look, ways=ways, checked=(*look.checked, rule))
    return look


def _chosen(look: Outlook) -> Way:
    """Return the plan to take."""
    case, terms, dated = look.case, look.case.brief.edition, look.deadline is not None
    ways = [way for way in look.ways if way.found.molds == terms.molds] or list(look.ways)
    fit = in_time(ways, terms.confidence) if dated else ways
    if not fit:
        return recommended_late(case, ways)
    short = [way for way in fit if casts_in_time(case, way.found)]
    return recommended(case, short or fit, dated=dated)


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
    """Return the plans that none other beats, those of the molds asked for, and the one taken."""
    asked = look.case.brief.edition.molds
    best = unbeaten(ways)
    return tuple(
        way for way in ways if way in best or way.found.molds == asked or way.found.rule == taken
    )


def _ways(look: Outlook, found: Iterable[Found], count: int, first: int) -> list[Way]:
    return [
        way_of(look.case, one, look.futures.runs(one.rule, count, first), look.deadline)
        for one in found
    ]


def last_safe_pour_by_odds(look: Outlook, sessions: list[int]) -> date | None:
    """Return the last day on which the last session's molds may be poured and the date still be as likely.

    As likely is the confidence asked, or, where the date is tighter than that,
    no more than two points below the plan's own chance. ``sessions`` are the
    molds of each session of the plan. None where the last session's molds are spared
    without a loss, so that no day is the last, and where the date is unlikely at best.
    """
    chance = look.chance_of(look.choice.chosen)
    if not sessions or (chance is not None and chance < EVEN_CHANCE):
        return None
    if look.deadline is None:
        return last_safe_pour(look.case, look.choice)
    first = look.choice.chosen.last_pour
    open_days = [int(d) for d in look.case.calendar.open_days if first <= d <= first + _HELD_DAYS]
    # what is poured later than this cannot give a cast before the last one: it is not needed
    wanted_until = look.choice.chosen.last_cast - look.case.studio.drying.days_low
    tried = open_days[: sum(day <= wanted_until for day in open_days) + 1]
    there = len(look.case.edition.already.molds)
    chances = look.futures.chances_held(
        look.rule, there + sum(sessions[:-1]), tried, look.deadline, look.effort.quick
    )
    least = min(look.case.brief.edition.confidence, float(chances[0])) - _SAME_CHANCE
    safe_days = int(np.argmin(chances >= least)) if (chances < least).any() else len(tried)
    safe = tried[max(safe_days - 1, 0)]
    return look.day(safe) if safe <= wanted_until else None


def two_steps(look: Outlook, pieces: int, larger: Outlook) -> TwoSteps:
    """Return until when an edition may still become a larger one, and what it takes then.

    With a date it is the last day on which the molds that the larger edition needs beyond
    this one's may be poured; without one, the day from which they dry while this one's
    last casts are made. Where it needs none, it is the day of this one's last cast.
    """
    now, then = look.choice.chosen, larger.choice.chosen
    more = max(then.molds_poured - now.molds_poured, 0)
    if look.deadline is not None and larger.deadline is not None:
        by = _last_day_held(larger, now.molds_poured, larger.deadline, now.last_cast)
    else:
        dry_days = look.case.edition.mold_dry_days if more else 0
        by = _open_day_before(look.case, max(now.last_cast - dry_days, now.last_pour))
    return TwoSteps(pieces, None if by is None else look.day(by), more)


def _last_day_held(look: Outlook, held: int, deadline: int, last: int) -> int | None:
    """Return the last day until which molds beyond some may be held back, None where the date does not hold.

    No later than a last day, from which on masters and molds are no longer kept.
    """
    first, terms = look.case.edition.pour_from, look.case.brief.edition
    days = [int(d) for d in look.case.calendar.open_days if first <= d <= last][::_EACH_DAY]
    chances = look.futures.chances_held(look.rule, held, days, deadline, look.effort.quick)
    fine = chances >= terms.confidence - _SAME_CHANCE
    if not fine[0]:
        return None
    return days[-1] if fine.all() else days[max(int(np.argmin(fine)) - 1, 0)]


def _open_day_before(case: Case, day: int) -> int:
    """Return a day, or the last before it that is worked."""
    return case.calendar.number(case.calendar.before(case.day(day), 0))


def apart(look: Outlook, runs: Runs) -> str:
    """Return why the calendar ends far from the middle of the runs, empty where it does not.

    The calendar is the course without chance.
    """
    chosen = look.choice.chosen
    days = _middle(look) - chosen.finish
    if not math.isfinite(days):
        return "More than half of all ways it may go do not end in the years that are looked at."
    if abs(days) <= _FAR_APART_DAYS:
        return ""
    loads = float(np.median(runs.loads.sum(axis=0))) - sum(chosen.loads)
    molds = float(np.median(runs.molds)) - chosen.molds_poured
    casts = float(np.median(runs.casts)) - chosen.casts
    more = {"kiln load": loads, "mold": molds, "cast": casts}
    told = [f"{abs(n):.0f} {what}{'s' * (abs(n) != 1)}" for what, n in more.items() if n * days > 0]
    also = f", and with {' and '.join(told)} {'more' if days > 0 else 'fewer'}" if told else ""
    return (
        f"Half of all ways it may go end {abs(days):.0f} days {'after' if days > 0 else 'before'} the calendar does"
        f"{also}: what is lost by chance is made up for at the end, and one late thing holds up the next."
    )


def odds_section(look: Outlook, limit: Limit) -> Odds:
    """Return the odds of the plan, which ``limit`` holds back most."""
    case, choice, day = look.case, look.choice, look.deadline
    runs = look.runs()
    confidence = case.brief.edition.confidence
    chance = None if day is None else float((runs.finish <= day).mean())
    word = None if chance is None else word_for(chance, confidence)
    risks, came = risk_rows(look), what_comes_out(look)
    late = np.mean(runs.finish[np.isfinite(runs.finish)] - case.edition.pour_from)
    return Odds(
        runs=look.effort.runs,
        seed=SEED,
        own_casts=case.brief.losses.from_casts,
        confidence=confidence,
        word=word,
        chance=None if chance is None else round(chance, 3),
        finish=look.range_of(runs.finish),
        surely=look.day(quantile(runs.finish, confidence)),
        first_date=_first_date(look) if word == "cannot" else None,
        expected_finish=case.day(choice.chosen.finish),
        carried_by=tuple(row.what for row in risks[:2]),
        molds_for_chance=molds_for_chance(look, limit),
        replacements=replacements(look, runs),
        safe_to_offer=safe_to_offer(look, runs),
        casts=casts_to_promise(look, came),
        from_molds=from_molds(look, came),
        risks=risks,
        fan=fan(look, look.futures.curves(look.rule, look.effort.row)[0]),
        molds_in_use=molds_in_use(look),
        bias_days=round(BIAS * float(late), 1),
        bias_note=BIAS_NOTE,
        ten_ways=tuple(map(look.day, quantiles(runs.finish, _TEN_WAYS))),
        apart=apart(look, runs),
        further_molds=further_molds(look, runs),
    )


def _first_date(look: Outlook) -> date:
    """Return the first day that any of the plans keeps at the confidence asked."""
    confidence = look.case.brief.edition.confidence
    days = (quantile(look.runs_of(way.found).finish, confidence) for way in look.ways)
    return look.day(min(days))


def plan_outlook(look: Outlook, as_of: date) -> Forecast:
    """Return the expected finish, the range of eight runs in ten, and the word for the date."""
    runs, day = look.runs(), look.deadline
    chance = None if day is None else float((runs.finish <= day).mean())
    ends = look.range_of(runs.finish)
    return Forecast(
        as_of=as_of,
        finish=look.case.day(look.choice.chosen.finish),
        p10=ends.p10,
        p50=ends.p50,
        p90=ends.p90,
        word=None if chance is None else word_for(chance, look.case.brief.edition.confidence),
    )


BIAS_NOTE = (
    "Whole days are counted. A model that follows each minute ends up to 4.2 % later from the first pour "
    "on, and in one of thirteen rooms 1.3 % sooner; the dates have 1.3 % put in."
)


def molds_for_chance(look: Outlook, limit: Limit) -> MoldsForChance:
    """Return the fewest molds for the confidence asked, and each number's range and cost."""
    confidence, least = look.case.brief.edition.confidence, look.least
    money = spending_of(look.case, money_of)
    rows: list[MoldsRow] = []
    last: Found | None = None
    for found in look.one_each():
        runs = look.runs_of(found)
        ends = look.range_of(runs.finish)
        added = dearer(look, found.rule, last.rule, money) if last else None
        last = found
        rows.append(
            MoldsRow(
                molds=found.molds,
                chance=_share_in_time(runs, look.deadline),
                p10=ends.p10,
                p50=ends.p50,
                p90=ends.p90,
                cost=look.cost_of(found).total,
                added_cost=added,
                least=found.molds == least,
            )
        )
    if look.deadline is not None and least is None:
        return MoldsForChance(confidence, None, limit, help_rows(look, look.deadline), tuple(rows))
    return MoldsForChance(confidence, least, None, (), tuple(rows))


def dearer(look: Outlook, rule: Policy, than: Policy, money: Spending) -> Decimal | None:
    """Return what a rule costs more than another, by the same runs; below 0 what it saves. [currency]"""
    runs, before = (look.futures.runs(one, look.effort.row, FRESH) for one in (rule, than))
    return added_cost(look.case, runs, before, money)


def _share_in_time(runs: Runs, deadline: int | None) -> float | None:
    return None if deadline is None else round(float((runs.finish <= deadline).mean()), 3)


def help_rows(look: Outlook, deadline: int) -> tuple[HelpRow, ...]:
    """Return what would raise the chance of the deadline, each alone, the most helpful first."""
    case, room = look.case, look.case.workshop
    look.futures.prepare(look.rules, look.effort.quick, FRESH)
    best = max(
        look.rules, key=lambda rule: look.futures.chance_of(rule, deadline, look.effort.quick)
    )
    most = max(int(rule.molds) for rule in look.rules)
    own = chance_of_case(case)
    low = float(case.studio.drying.days_low)
    fewer = (
        math.ceil(0.9 * (own.edition.need - case.brief.edition.proofs)) + case.brief.edition.proofs
    )
    open_more = np.where(room.minutes > 0, room.minutes + 4 * MINUTES_STEP, 0)
    changed = {
        "one more mold than looked at": (own, room, best.but(molds=most + 1)),
        "one more kiln load a week": (own, replace(room, loads_a_week=room.loads_a_week + 1), best),
        "an hour more a day": (own, replace(room, minutes=open_more), best),
        "molds that dry in the shortest time": (
            replace(own, belief=replace(own.belief, mold_days=(low, low * 1.05))),
            room,
            best,
        ),
        f"{fewer - case.brief.edition.proofs} pieces instead": (
            replace(own, edition=replace(own.edition, need=fewer)),
            room,
            best,
        ),
        "a week earlier start": (
            replace(own, edition=replace(own.edition, pour_from=max(own.edition.pour_from - 7, 0))),
            room,
            best,
        ),
    }
    rows = []
    for what, (chance, workshop, rule) in changed.items():
        futures = futures_of(case, chance=chance, room=workshop)
        held = futures.chance_of(rule, deadline, look.effort.quick)
        rows.append(HelpRow(what, round(held, 3)))
    return tuple(sorted(rows, key=lambda row: -row.chance))


def replacements(look: Outlook, runs: Runs) -> tuple[Replacement, ...]:
    """Return when replacement molds must be poured, in how many of the runs, and what a session costs."""
    more = runs.molds - look.molds
    needed = more > 0
    if needed.mean() < _WORTH_TELLING:
        return ()
    edition = look.case.edition
    rate = look.case.studio.prices.labor_per_h
    usual = int(quantile(more[needed], 0.5))
    minutes = edition.setup_min + usual * edition.set_min
    days = look.range_of(runs.last_pour[needed])
    one = Replacement(
        molds=usual,
        pour_p10=days.p10,
        pour_p50=days.p50,
        pour_p90=days.p90,
        chance_needed=round(float(needed.mean()), 3),
        session_cost=None
        if rate is None
        else rounded(rate.times(minutes / 60).amount, rate.currency),
    )
    return (one,)


def further_molds(look: Outlook, runs: Runs) -> FurtherMolds | None:
    """Return the molds that runs pour beyond those of the plan, and in how many of the runs."""
    more = runs.molds - look.choice.chosen.molds_poured
    needed = more > 0
    if needed.mean() < _WORTH_TELLING:
        return None
    return FurtherMolds(int(quantile(more[needed], 0.5)), round(float(needed.mean()), 3))


def safe_to_offer(look: Outlook, runs: Runs) -> SafeToOffer:
    """Return how many numbered pieces may be promised by each date, and today for the date that counts."""
    confidence = look.case.brief.edition.confidence
    finished = look.futures.curves(look.rule, look.effort.row)[0]
    proofs, pieces = (
        look.case.brief.edition.proofs,
        look.case.edition.need - look.case.brief.edition.proofs,
    )
    last = len(look.case.workshop.minutes) - 1
    # by the day that so great a share of the runs is done, all pieces are, whatever fewer runs say
    sure = math.ceil(min(quantile(runs.finish, confidence), last))
    at = sure if look.deadline is None else min(look.deadline, last)
    steps = np.unique(np.linspace(look.case.edition.pour_from, max(sure, at), 13).astype(int))

    def promised(number: int) -> int:
        if number >= sure:
            return pieces
        low = _low_end(look.futures.on_day(finished, number), confidence)
        return min(max(low - proofs, 0), pieces)

    rows = tuple(OfferBy(look.day(int(d)), promised(int(d))) for d in steps if promised(int(d)) > 0)
    return SafeToOffer(confidence, rows, today=promised(at))


def _low_end(counts: np.ndarray, confidence: float) -> int:
    """Return what so great a share of the runs reaches at least."""
    ordered = np.sort(counts)
    return int(ordered[max(math.floor((1 - confidence) * len(ordered) + 1e-9) - 1, 0)])


_FROM_MOLDS_BELOW, _FROM_MOLDS_ABOVE = 6, 4
_MOST_PLACES = 6_000_000
"""Runs times casts that are looked at: some twenty megabytes."""


def _molds_asked(look: Outlook) -> range:
    """Return the molds poured that are asked about: fewer than the plan pours, and more."""
    there = len(look.case.edition.already.molds)
    poured = max(look.choice.chosen.molds_poured, there, 1)
    return range(max(poured - _FROM_MOLDS_BELOW, there, 1), poured + _FROM_MOLDS_ABOVE + 1)


def what_comes_out(look: Outlook) -> CameOut:
    """Return what comes out of the edition's casts, with as many runs as there is room for."""
    pieces, molds = look.futures.reach()[0], _molds_asked(look)[-1]
    casts = max(pieces, molds * look.case.edition.life)
    runs = min(look.effort.runs, max(_MOST_PLACES // casts, look.effort.row))
    return came_out(look.futures.chance, runs, pieces, molds)


def casts_to_promise(look: Outlook, came: CameOut) -> CastsToPromise:
    """Return the casts to start so that numbers and proofs come out with the confidence asked."""
    confidence = look.case.brief.edition.confidence
    casts, over = came.casts_for(confidence)
    middle, high = quantiles(over, (0.5, 0.9))
    return CastsToPromise(
        confidence=confidence,
        to_start=casts,
        conditioning=look.choice.chosen.conditioning,
        surplus_p50=max(int(middle), 0),
        surplus_p90=max(int(high), 0),
        fate=look.case.brief.surplus.fate,
    )


def from_molds(look: Outlook, came: CameOut) -> tuple[FromMolds, ...]:
    """Return the pieces that may be declared with fewer molds poured than the plan pours, and with more."""
    terms = look.case.brief.edition
    return tuple(
        FromMolds(k, max(came.pieces_from(k, terms.confidence) - terms.proofs, 0))
        for k in _molds_asked(look)
    )


def fan(look: Outlook, finished: np.ndarray) -> tuple[FanDay, ...]:
    """Return finished pieces by date at five levels of luck."""
    rows = []
    for day in _days(look):
        counts = np.minimum(look.futures.on_day(finished, day), look.case.edition.need)
        levels = quantiles(counts, (0.1, 0.25, 0.5, 0.75, 0.9))
        rows.append(FanDay(look.day(day), *map(int, levels)))
    return tuple(rows)


def _days(look: Outlook) -> list[int]:
    """Return the days a chart shows: from the first pour to past the late end and the deadline."""
    runs = look.runs()
    late = quantile(runs.finish, 0.95)
    end = min(max(late, look.deadline or 0), len(look.case.workshop.minutes) - 1)
    step = max(1, math.ceil((end - look.case.edition.pour_from) / _FAN_ROWS))
    return [*range(look.case.edition.pour_from, int(end), step), int(end)]


def molds_in_use(look: Outlook) -> tuple[MoldsDay, ...]:
    """Return molds that can still be cast, by date, and how many are worn out by then."""
    _, live, worn = look.futures.curves(look.rule, look.effort.row)
    rows = []
    for day in _days(look):
        whole, done = (look.futures.on_day(by_day, day) for by_day in (live, worn))
        low, middle, high = map(int, quantiles(whole, (0.1, 0.5, 0.9)))
        rows.append(MoldsDay(look.day(day), low, middle, high, int(quantile(done, 0.5))))
    return tuple(rows)


def risk_rows(look: Outlook) -> tuple[RiskRow, ...]:
    """Return what moves the mean finish most when it alone goes from its low to its high end."""
    risks = [risk for risk in RISKS if risk.matters(look.case)]
    held = [(risk.parameter, q) for risk in risks for q in _ENDS]
    ends = ends_of(look.futures, held, look.rule, look.effort.quick)
    rows = [_risk_row(look, risk, ends[2 * at], ends[2 * at + 1]) for at, risk in enumerate(risks)]
    return tuple(sorted(rows, key=lambda row: -row.days))


_ENDS = (0.1, 0.9)


def _risk_row(look: Outlook, risk: Risk, low: Runs, high: Runs) -> RiskRow:
    costs = [cost_of_plan(look.case, use_of_runs(runs)).total for runs in (low, high)]
    means = [float(np.mean(np.minimum(runs.finish, 1e6))) for runs in (low, high)]
    return RiskRow(
        what=risk.what,
        field=risk.field,
        low=shown_at(risk, look.case, look.futures.chance, _ENDS[0]),
        high=shown_at(risk, look.case, look.futures.chance, _ENDS[1]),
        finish_low=look.day(quantile(low.finish, 0.5)),
        finish_high=look.day(quantile(high.finish, 0.5)),
        days=round(abs(means[1] - means[0]), 1),
        cost_low=costs[0],
        cost_high=costs[1],
        measure=risk.measure,
    )
