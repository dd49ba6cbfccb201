"""What a maker can do to be done sooner: what each gains in days and what it costs or saves."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from decimal import Decimal

from pourwright.briefs.records import Brief, Studio
from pourwright.money import rounded
from pourwright.plan.case import Case, mix_of, session_of
from pourwright.plan.cost import cost_of_plan, use_of
from pourwright.plan.molds import MoldChoice, found_with, limit_of, longer_days
from pourwright.plan.plan import Break, Limit, Relief
from pourwright.simulation.problem import Edition, Workshop
from pourwright.simulation.search import Found


@dataclass(frozen=True, slots=True)
class _Change:
    """One thing done otherwise, and which limit it loosens."""

    what: str
    limit: Limit
    room: Workshop
    edition: Edition
    molds: int
    bought: Decimal | None = Decimal(0)


def reliefs(case: Case, choice: MoldChoice) -> tuple[Relief, ...]:
    """Return what would bring the finish forward, each alone, with days and money.

    Both plans of a pair are found in the same way, so that their difference is the
    change's own. What is allowed may be left unused, so nothing gains less than 0 days.
    """
    base = found_with(case, case.workshop, case.edition, choice.chosen.molds)
    return tuple(_relief(case, base, change) for change in _changes(case, choice.chosen.molds))


def _relief(case: Case, base: Found, change: _Change) -> Relief:
    found = found_with(case, change.room, change.edition, change.molds)
    gained = max(base.finish - found.finish, 0) if found.finish >= 0 else 0
    return Relief(change.what, gained, change.limit, _added(case, base, found, change.bought))


def _added(case: Case, base: Found, found: Found, bought: Decimal | None) -> Decimal | None:
    """Return what a change adds to the cost; below 0 what it saves, None where that is not known."""
    before, after = (cost_of_plan(case, use_of(one)).total for one in (base, found))
    if before is None or after is None or bought is None:
        return None
    return after - before + bought


def _changes(case: Case, molds: int) -> list[_Change]:
    edition, room = case.edition, case.workshop
    quick = replace(edition, mold_dry_days=case.studio.drying.days_low)
    more_loads = replace(room, loads_a_week=room.loads_a_week + 1)
    changes = [
        _Change("one more mold", "molds", room, edition, molds + 1),
        _Change("one more kiln load a week", "kiln", more_loads, edition, molds),
        _Change("an hour more a day", "hours", longer_days(room, 60), edition, molds),
        _Change("molds dry in the shortest time", "drying", room, quick, molds),
    ]
    if case.to_pour(molds) > 1:
        brief, scarce = with_one_set_more(case.brief)
        poured = _poured(case, brief, case.studio)
        price = _price_of_masters(case, len(scarce))
        whole = len(scarce) == len(case.brief.mold.parts)
        what = "another set of masters" if whole else f"another master of {' and '.join(scarce)}"
        changes.append(_Change(what, "molds", room, poured, molds, price))
    people = case.studio.time.people + 1
    helped = replace(case.studio, time=replace(case.studio.time, people=people))
    more_hands = longer_days(room, case.day_minutes // case.studio.time.people)
    changes.append(
        _Change(
            "another pair of hands", "hours", more_hands, _poured(case, case.brief, helped), molds
        )
    )
    if case.to_pour(molds) and (bucket := _one_bucket(case)) is not None:
        poured = _poured(case, case.brief, bucket)
        changes.append(
            _Change("a bucket that holds the mix of a whole mold", "molds", room, poured, molds)
        )
    return changes


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
    """Return the studio with a bucket that holds a whole mold's mix; None if it has one."""
    whole_l = sum(case.part_volumes_l) * (1 + case.mix.spare)
    if whole_l <= case.mix.limit_l:
        return None
    stock = case.studio.plaster
    return replace(case.studio, plaster=replace(stock, bucket_l=1.02 * whole_l, mixer_kg=None))


def limit_and_cure(case: Case, choice: MoldChoice) -> tuple[Limit, tuple[Relief, ...]]:
    """Return what limits and what would loosen it: the limit is the one whose own cure gains most.

    Where nothing small gains any day, it is what gains most when it is taken away whole.
    """
    relief = reliefs(case, choice)
    best = max(relief, key=lambda one: one.days_gained)
    return (best.limit if best.days_gained else limit_of(case, choice)), relief


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
