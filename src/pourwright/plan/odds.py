"""The odds of a plan: finish as a range, molds for a chance, what may be promised."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np

from pourwright.money import rounded
from pourwright.plan.case import (
    MINUTES_STEP,
    Case,
)
from pourwright.plan.choice import (
    added_cost,
    money_of,
    spending_of,
)
from pourwright.plan.molds import last_safe_pour, mold_counts
from pourwright.plan.outlook import (
    BIAS,
    FAR_APART_DAYS,
    SEED,
    Outlook,
    chance_of_case,
    futures_of,
    middle_day,
)
from pourwright.plan.plan import (
    EVEN_CHANCE,
    CastsToPromise,
    FanDay,
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
    SafeToOffer,
    TwoSteps,
    word_for,
)
from pourwright.plan.risks import risk_rows
from pourwright.simulation.odds import (
    FRESH,
    CameOut,
    Runs,
    came_out,
    quantile,
    quantiles,
)
from pourwright.simulation.problem import Policy
from pourwright.simulation.race import Spending
from pourwright.simulation.search import Found

_FAN_ROWS = 90
_TEN_WAYS = tuple((2 * n + 1) / 20 for n in range(10))
_HELD_DAYS = 80
_SAME_CHANCE, _WORTH_TELLING = 0.02, 0.05
_EACH_DAY = 3


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


def two_steps(look: Outlook, pieces: int, larger: Outlook, came: CameOut) -> TwoSteps:
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
    too_few = came.too_few(now.molds_poured + more, pieces + look.case.brief.edition.proofs)
    return TwoSteps(pieces, None if by is None else look.day(by), more, round(too_few, 3))


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
    days = middle_day(look) - chosen.finish
    if not math.isfinite(days):
        return "More than half of all ways it may go do not end in the years that are looked at."
    if abs(days) <= FAR_APART_DAYS:
        return ""
    days = look.packed_on(middle_day(look)) - chosen.finish
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


def odds_section(look: Outlook, limit: Limit, came: CameOut) -> Odds:
    """Return the odds of the plan, which ``limit`` holds back most; ``came`` is `what_comes_out`."""
    case, choice, day = look.case, look.choice, look.deadline
    runs = look.runs()
    confidence = case.brief.edition.confidence
    chance = None if day is None else float((runs.finish <= day).mean())
    word = None if chance is None else word_for(chance, confidence)
    risks = risk_rows(look)
    late = np.mean(runs.finish[np.isfinite(runs.finish)] - case.edition.pour_from)
    first_date, first_molds = _first_date(look) if word == "cannot" else (None, None)
    return Odds(
        runs=look.effort.runs,
        seed=SEED,
        own_casts=case.brief.losses.from_casts,
        confidence=confidence,
        word=word,
        chance=None if chance is None else round(chance, 3),
        finish=look.range_of(runs.finish),
        average_finish=look.average_finish(runs),
        surely=look.day(quantile(runs.finish, confidence)),
        first_date=first_date,
        first_date_molds=first_molds,
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
        further_molds=further_molds(look, runs, came),
    )


def _first_date(look: Outlook) -> tuple[date, int]:
    """Return the first day that any number of molds keeps at the confidence asked, and the fewest that do."""
    confidence, found = look.case.brief.edition.confidence, look.choice.found
    look.futures.prepare([one.rule for one in found], look.effort.row, FRESH)
    return min(
        (look.day(quantile(look.runs_of(one).finish, confidence)), one.molds) for one in found
    )


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
        near = max(look.one_each(), key=lambda one: (look.chance_of(one), one.rule == look.rule))
        helps = help_rows(look, near, look.deadline)
        return MoldsForChance(confidence, None, limit, near.molds, helps, tuple(rows))
    return MoldsForChance(confidence, least, None, None, (), tuple(rows))


def dearer(look: Outlook, rule: Policy, than: Policy, money: Spending) -> Decimal | None:
    """Return what a rule costs more than another, by the same runs; below 0 what it saves. [currency]"""
    runs, before = (look.futures.runs(one, look.effort.row, FRESH) for one in (rule, than))
    return added_cost(look.case, runs, before, money)


def _share_in_time(runs: Runs, deadline: int | None) -> float | None:
    return None if deadline is None else round(float((runs.finish <= deadline).mean()), 3)


def help_rows(look: Outlook, found: Found, deadline: int) -> tuple[HelpRow, ...]:
    """Return what would raise the chance of the deadline with a plan, each alone, the most helpful first.

    What it raises is counted on the same runs and added to the chance that the plan is told by.
    """
    case, room, rule = look.case, look.case.workshop, found.rule
    told, count = look.chance_of(found) or 0.0, look.effort.row
    before = look.futures.chance_of(rule, deadline, count)
    more = mold_counts(case)[-1] + 1
    own = chance_of_case(case)
    low = float(case.studio.drying.days_low)
    fewer = (
        math.ceil(0.9 * (own.edition.need - case.brief.edition.proofs)) + case.brief.edition.proofs
    )
    open_more = np.where(room.minutes > 0, room.minutes + 4 * MINUTES_STEP, 0)
    changed = {
        f"{more} molds, one more than were looked at": (own, room, rule.but(molds=more)),
        "one more kiln load a week": (own, replace(room, loads_a_week=room.loads_a_week + 1), rule),
        "an hour more a day": (own, replace(room, minutes=open_more), rule),
        "molds that dry in the shortest time": (
            replace(own, belief=replace(own.belief, mold_days=(low, low * 1.05))),
            room,
            rule,
        ),
        f"an edition of {fewer - case.brief.edition.proofs}": (
            replace(own, edition=replace(own.edition, need=fewer)),
            room,
            rule,
        ),
        "a week earlier start": (
            replace(own, edition=replace(own.edition, pour_from=max(own.edition.pour_from - 7, 0))),
            room,
            rule,
        ),
    }
    rows = []
    for what, (chance, workshop, changed_rule) in changed.items():
        futures = futures_of(case, chance=chance, room=workshop)
        raised = futures.chance_of(changed_rule, deadline, count) - before
        rows.append(HelpRow(what, round(min(max(told + raised, 0.0), 1.0), 3)))
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
        chance_poured=round(float(needed.mean()), 3),
        session_cost=None
        if rate is None
        else rounded(rate.times(minutes / 60).amount, rate.currency),
    )
    return (one,)


def further_molds(look: Outlook, runs: Runs, came: CameOut) -> FurtherMolds | None:
    """Return the molds that runs pour beyond those of the plan, how often, and how often they are needed."""
    poured = look.choice.chosen.molds_poured
    more = runs.molds - poured
    chance = float((more > 0).mean())
    if chance < _WORTH_TELLING:
        return None
    too_few = came.too_few(poured, came.need)
    return FurtherMolds(int(quantile(more[more > 0], 0.5)), round(chance, 3), round(too_few, 3))


def safe_to_offer(look: Outlook, runs: Runs) -> SafeToOffer:
    """Return how many numbered pieces may be promised by each date, and today for the date that counts."""
    confidence = look.case.brief.edition.confidence
    finished = look.futures.curves(look.rule, look.effort.row)[0]
    proofs, pieces = (
        look.case.brief.edition.proofs,
        look.case.edition.need - look.case.brief.edition.proofs,
    )
    # by the day that so great a share of the runs is done, all pieces are, whatever fewer runs say
    sure = look.packed_on(quantile(runs.finish, confidence))
    at = sure if look.deadline is None else look.deadline
    days = np.linspace(look.case.edition.pour_from, max(sure, at), 13).astype(int)
    steps = sorted({look.packed_on(day) for day in days})

    def promised(number: int) -> int:
        if number >= sure:
            return pieces
        low = _low_end(look.futures.on_day(finished, number), confidence)
        return min(max(low - proofs, 0), pieces)

    rows = tuple(OfferBy(look.day(d), promised(d)) for d in steps if promised(d) > 0)
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


def what_comes_out(look: Outlook, larger: Iterable[Outlook] = ()) -> CameOut:
    """Return what comes out of the edition's casts, with as many runs as there is room for.

    It reaches as far as the molds of ``larger`` editions.
    """
    poured = (other.choice.chosen.molds_poured for other in larger)
    pieces, molds = look.futures.reach()[0], max(_molds_asked(look)[-1], *poured, 0)
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
        rows.append(FanDay(look.case.day(day), *map(int, levels)))
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
        rows.append(MoldsDay(look.case.day(day), low, middle, high, int(quantile(done, 0.5))))
    return tuple(rows)
