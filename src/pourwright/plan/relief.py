"""What a maker can do to be done sooner: what each gains in days and what it costs or saves."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from decimal import Decimal

import numpy as np

from pourwright.briefs.records import Brief, Studio
from pourwright.money import rounded
from pourwright.plan.case import Case, mix_of, session_of
from pourwright.plan.choice import added_cost, money_of, spending_of
from pourwright.plan.molds import limit_of, longer_days, mold_counts
from pourwright.plan.outlook import Outlook, chance_of_case, futures_of, with_molds
from pourwright.plan.plan import Break, Limit, Relief
from pourwright.simulation.chance import Chance
from pourwright.simulation.odds import FRESH, Runs
from pourwright.simulation.problem import Edition, Policy, Workshop
from pourwright.simulation.race import Spending
from pourwright.simulation.search import Found


@dataclass(frozen=True, slots=True)
class _Change:
    """One thing done otherwise, and which limit it loosens."""

    what: str
    limit: Limit
    room: Workshop
    chance: Chance
    rule: Policy
    bought: Decimal | None = Decimal(0)


def reliefs(look: Outlook) -> tuple[Relief, ...]:
    """Return what would bring the finish forward, each alone, with days and money.

    Every change meets the luck of the plan's own runs. Days that the runs cannot tell
    from none are none.
    """
    base = look.futures.runs(look.rule, look.effort.quick, FRESH)
    money = spending_of(look.case, money_of)
    changed = (_relief(look, base, one, money) for one in _changes(look))
    return (*_one_more_mold(look), *changed)


def _one_more_mold(look: Outlook) -> tuple[Relief, ...]:
    """Return what one more mold gains: what comes out if so many are asked for.

    Nothing where fewer molds beat all plans of so many.
    """
    count, other = look.molds + 1, look
    if count not in mold_counts(look.case):
        asked = with_molds(look, count)
        if asked is None:
            return ()
        other = asked
    more = next((one for one in other.one_each() if one.molds == count), None)
    if more is None:
        return ()
    days = (look.even_odds_by(look.choice.chosen) - other.even_odds_by(more)).days
    paid, dear = look.cost_of(look.choice.chosen).total, other.cost_of(more).total
    added = None if paid is None or dear is None else dear - paid
    return (Relief("one more mold", max(days, 0), "molds", added),)


def _relief(look: Outlook, base: Runs, change: _Change, money: Spending) -> Relief:
    futures = futures_of(look.case, chance=change.chance, room=change.room)
    runs = futures.runs(change.rule, len(base), FRESH)
    added = added_cost(look.case, runs, base, money)
    if added is not None and change.bought is not None:
        added += change.bought
    return Relief(
        change.what,
        days_gained(base, runs),
        change.limit,
        None if change.bought is None else added,
    )


def days_gained(before: Runs, after: Runs) -> int:
    """Return the days by which runs end sooner on average, 0 where luck may have done it. [days]"""
    ended = np.isfinite(before.finish) & np.isfinite(after.finish)
    gained = before.finish[ended] - after.finish[ended]
    if len(gained) < 2:
        return 0
    error = float(gained.std(ddof=1)) / math.sqrt(len(gained))
    return max(round(float(gained.mean())), 0) if gained.mean() > 2 * error else 0


def _changes(look: Outlook) -> list[_Change]:
    case, room, own, rule = look.case, look.case.workshop, chance_of_case(look.case), look.rule
    low = float(case.studio.drying.days_low)
    quick = replace(own, belief=replace(own.belief, mold_days=(low, low * 1.05)))
    more_loads = replace(room, loads_a_week=room.loads_a_week + 1)
    changes = [
        _Change("one more kiln load a week", "kiln", more_loads, own, rule),
        _Change("an hour more a day", "hours", longer_days(room, 60), own, rule),
        _Change("molds dry in the shortest time", "drying", room, quick, rule),
    ]
    if (dry := _window_ajar(case, own)) is not None:
        changes.append(_Change("a window ajar where molds dry", "drying", room, dry, rule))
    if case.studio.drying.rack is not None:
        larger = replace(room, rack=math.ceil(1.5 * room.rack))
        what = "racks for half as many pieces more"
        changes.append(_Change(what, "drying", larger, own, rule))
    if case.studio.drying.mold_places is not None and case.to_pour(look.molds) > 1:
        wider = replace(room, mold_places=room.mold_places + 1)
        changes.append(_Change("room to dry one more mold", "drying", wider, own, rule))
    if case.to_pour(look.molds) > 1:
        brief, scarce = with_one_set_more(case.brief)
        poured = _chance_poured(case, brief, case.studio)
        price = _price_of_masters(case, len(scarce))
        whole = len(scarce) == len(case.brief.mold.parts)
        what = "another set of masters" if whole else f"another master of {' and '.join(scarce)}"
        changes.append(_Change(what, "molds", room, poured, rule, price))
    people = case.studio.time.people + 1
    helped = replace(case.studio, time=replace(case.studio.time, people=people))
    more_hands = longer_days(room, case.day_minutes // case.studio.time.people)
    poured = _chance_poured(case, case.brief, helped)
    changes.append(_Change("another pair of hands", "hours", more_hands, poured, rule))
    if case.to_pour(look.molds) and (bucket := _one_bucket(case)) is not None:
        poured = _chance_poured(case, case.brief, bucket)
        what = "a bucket that holds the mix of a whole mold"
        changes.append(_Change(what, "molds", room, poured, rule))
    return changes


_AJAR_AN_HOUR = 3.0
"""Air changes with windows ajar, the middle of 2 to 5; common practice, no source."""


def _window_ajar(case: Case, own: Chance) -> Chance | None:
    """Return the chances with the air of the drying room renewed as by a window ajar; None where it is already."""
    share = case.studio.drying.air_changes / _AJAR_AN_HOUR
    if not own.edition.beside_days or share >= 1:
        return None
    edition = replace(own.edition, beside_days=share * own.edition.beside_days)
    return replace(own, edition=edition)


def _chance_poured(case: Case, brief: Brief, studio: Studio) -> Chance:
    """Return the chances of the edition as its molds are poured with other masters, hands or bucket."""
    return chance_of_case(replace(case, edition=_poured(case, brief, studio)))


def _poured(case: Case, brief: Brief, studio: Studio) -> Edition:
    """Return the edition as its molds are poured with other masters, hands or bucket."""
    mix = mix_of(studio, case.plaster)
    minutes = case.day_minutes * studio.time.people // case.studio.time.people
    session = session_of(brief, studio, case.part_volumes_l, mix, minutes)
    return replace(
        case.edition, sets_a_session=session.sets, set_min=session.set_min(studio.pouring.setup_min)
    )


def with_one_set_more(brief: Brief) -> tuple[Brief, list[str]]:
    """Return the brief with one whole set of masters more, and the parts that lack one for it."""
    sets = min(part.masters for part in brief.mold.parts) + 1
    parts = tuple(replace(part, masters=max(part.masters, sets)) for part in brief.mold.parts)
    scarce = [part.name for part in brief.mold.parts if part.masters < sets]
    return replace(brief, mold=replace(brief.mold, parts=parts)), scarce


def _price_of_masters(case: Case, count: int) -> Decimal | None:
    price = case.studio.prices.master
    if price is None:
        return None
    return rounded(price.amount * count, price.currency)


def _one_bucket(case: Case) -> Studio | None:
    """Return the studio with a bucket that holds a whole mold's mix; None if it has one or a recipe tells the batch."""
    if any(part.mixes for part in case.brief.mold.parts):
        return None
    whole_l = sum(case.part_volumes_l) * (1 + case.mix.spare)
    if whole_l <= case.mix.limit_l:
        return None
    stock = case.studio.plaster
    return replace(case.studio, plaster=replace(stock, bucket_l=1.02 * whole_l, mixer_kg=None))


def limit_and_cure(look: Outlook) -> tuple[Limit, tuple[Relief, ...]]:
    """Return what limits and what would loosen it: the limit is the one whose own cure gains most.

    Where nothing small gains any day, it is what gains most when it is taken away whole.
    """
    relief = reliefs(look)
    best = max(relief, key=lambda one: one.days_gained)
    return (best.limit if best.days_gained else limit_of(look.case, look.choice)), relief


def breaks_of(case: Case, chosen: Found) -> tuple[Break, ...]:
    """Return what a break costs where there is only one mold, or one master of some part."""
    accident, found = case.brief.mold.accident, []
    if chosen.molds == 1:
        casts = chosen.casts + chosen.conditioning
        dry_days = case.edition.mold_dry_days + 1
        found.append(Break("the one mold", _chance_of(accident, casts), dry_days))
    alone = sum(part.masters == 1 for part in case.brief.mold.parts)
    pours = alone * case.to_pour(chosen.molds_poured)
    if pours > 1:
        a_week = max(len(case.studio.time.working_days), 1)
        days = math.ceil(case.brief.preparation.masters_days * 7 / a_week)
        what = "the one master" if len(case.brief.mold.parts) == 1 else "the one master of a part"
        found.append(Break(what, _chance_of(accident, pours), days))
    return tuple(found)


def _chance_of(accident: float, times: int) -> float:
    """Return the chance that something breaks at least once in so many times."""
    return round(1 - (1 - accident) ** times, 3)


def idle_masters(case: Case) -> tuple[str, ...]:
    """Return the parts of which a further master gains nothing while the others have no more."""
    idle = []
    for at, part in enumerate(case.brief.mold.parts):
        if part.masters == 1:
            continue
        parts = list(case.brief.mold.parts)
        parts[at] = replace(part, masters=part.masters - 1)
        fewer = replace(case.brief, mold=replace(case.brief.mold, parts=tuple(parts)))
        session = session_of(fewer, case.studio, case.part_volumes_l, case.mix, case.day_minutes)
        if session.sets >= case.session.sets:
            idle.append(part.name)
    return tuple(idle)
