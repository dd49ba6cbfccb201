"""What a finished plan gets wrong, found by reading it and nothing else.

`violations` knows the studio's rules and the plan as it is shown. It knows nothing
of how the plan was made: no forecast, no search. A plan with a violation is not
shown to anyone.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise

from pourwright.plan.plan import BlockBatch, Doing, Plan, PlanDay, PourBatch

_TOLERANCE_L = 1e-3
_RATIO_SLACK = 1.0


@dataclass(frozen=True, slots=True)
class FiringLimit:
    """One firing of the route; ``prepared_by`` is what hands do before it, ``gate`` the pieces that go first.

    ``passed`` is the share of pieces that is expected to come out good.
    """

    name: str
    capacity: int
    days: int
    prepared_by: str | None
    gate: int
    passed: float


@dataclass(frozen=True, slots=True)
class AtHand:
    """What is there when a plan goes on from the book: molds by label with casts and the day they may be cast.

    ``drying`` holds greenware by the day it was cast, ``inside`` the firing,
    pieces and day of loading of what is in the kiln; ``block_mold_dry`` is the first day
    on which the block mold may be cast, None where the book has none.
    """

    molds: Mapping[str, tuple[int, date]]
    drying: tuple[tuple[date, int], ...]
    dry_passed: float
    waiting: Mapping[str, int]
    prepared: Mapping[str, int]
    inside: tuple[str, int, date] | None
    to_finish: int
    finished: int
    week_loads: float
    as_of: date
    kiln_free_on: date | None
    block_mold_dry: date | None

    def dry(self, day: date, ware_days: int) -> int:
        """Return how much of the greenware is dry by a day."""
        return sum(n for cast, n in self.drying if (day - cast).days >= ware_days)


@dataclass(frozen=True, slots=True)
class Limits:
    """The rules a plan must keep; times are in minutes, volumes in liters, masses in kilograms.

    ``preparation`` holds the stages before the first pour in their order, each
    with its working days and the days it waits after them; ``formed`` is the
    share of casts that is expected to come to the first firing.
    """

    preparation: tuple[tuple[str, int, int], ...]
    open_days: frozenset[date]
    minutes: float
    pour_not_before: date
    mold_days: int
    ware_days: int
    life: int
    conditioning: int
    casts_a_day: int
    loads_a_week: float
    need: int
    formed: float
    cast_min: float
    fettle_min: float
    finish_min: float
    handling_min: float
    setup_min: float
    prepare_min: Mapping[str, float]
    firings: tuple[FiringLimit, ...]
    parts: tuple[str, ...]
    part_volumes_l: tuple[float, ...]
    masters: tuple[int, ...]
    largest_mix_l: float
    scale_step_kg: float
    consistency: float
    mold_places: int | None = None
    rack: int | None = None
    at_hand: AtHand | None = None


def violations(limits: Limits, plan: Plan) -> list[str]:
    """Return a sentence for everything in which a plan breaks the rules.

    Parameters
    ----------
    limits : Limits
        The rules of the studio and the brief.
    plan : Plan
        The plan.

    Returns
    -------
    list of str
        Empty for a plan that may be shown.
    """
    days = plan.calendar
    return [
        *_days_and_hands(limits, days),
        *_preparation(limits, days),
        *_molds(limits, days),
        *_ware(limits, days),
        *_rack(limits, days),
        *_kiln(limits, days),
        *_plaster(limits, plan),
        *_sums(plan),
        *_answer(limits, plan),
        *_told_again(plan),
    ]


def _days_and_hands(limits: Limits, days: tuple[PlanDay, ...]) -> Iterator[str]:
    """Tell of work on closed days, of days out of order, and of more work than minutes."""
    for before, after in pairwise(day.date for day in days):
        if after - before != timedelta(days=1):
            yield f"{after} does not follow {before} in the calendar."
    for entry in days:
        day, open_day = entry.date, entry.date in limits.open_days
        if entry.open != open_day:
            yield f"{day} is {'open' if open_day else 'closed'} in the studio and not in the plan."
        if entry.doing and not open_day:
            yield f"{day} is closed and has work: {entry.doing[0].stage}."
        spent = sum(_least_minutes(limits, one) for one in entry.doing)
        if max(spent, entry.used_min) > limits.minutes + 1e-6:
            yield f"{day} has {spent:g} min of work and {limits.minutes:g} min of hands."
        if entry.used_min < spent - 1e-6:
            yield f"{day} has {spent:g} min of work and tells {entry.used_min:g} min."


def _least_minutes(limits: Limits, one: Doing) -> float:
    """Return the fewest minutes a piece of a day's work can take."""
    stage, count = one.stage, one.count
    if stage.startswith("load "):
        return limits.handling_min
    if stage == "pour":
        return limits.setup_min
    each = {
        "cast": limits.cast_min,
        "conditioning": limits.cast_min,
        "fettle": limits.fettle_min,
        "finish": limits.finish_min,
        **limits.prepare_min,
    }
    return float(count * each.get(stage, 0.0))


def _preparation(limits: Limits, days: tuple[PlanDay, ...]) -> Iterator[str]:
    """Tell where a stage before the first pour begins before the one before it is over."""
    begins: dict[str, date] = {}
    for entry in days:
        for one in entry.doing:
            begins.setdefault(one.stage, entry.date)
    open_days, before, free = sorted(limits.open_days), "block mold drying", date.min
    if limits.at_hand is not None and limits.at_hand.block_mold_dry is not None:
        free = limits.at_hand.block_mold_dry
    pour = () if limits.at_hand is not None and "pour" not in begins else (("pour", 0, 0),)
    for name, working, waiting in (*limits.preparation, *pour):
        if name not in begins:
            yield f"The plan has no {name}."
            continue
        begin = begins[name]
        if begin < free:
            yield f"{name} begins on {begin}; {before} takes until then and is over on {free}."
        last = open_days[bisect_left(open_days, begin) + max(working - 1, 0)]
        before, free = name, last + timedelta(days=waiting + 1)


def _molds(limits: Limits, days: tuple[PlanDay, ...]) -> Iterator[str]:
    """Molds are poured once, dried, conditioned, cast no oftener than allowed, and not beyond their life."""
    there = {} if limits.at_hand is None else limits.at_hand.molds
    poured = {
        label: ready - timedelta(days=limits.mold_days) for label, (_, ready) in there.items()
    }
    casts = Counter({label: given for label, (given, _) in there.items()})
    for entry in days:
        day, today = entry.date, Counter[str]()
        for one in entry.doing:
            labels = one.molds
            if one.stage == "pour":
                yield from _poured(limits, day, labels, poured)
            if one.stage not in ("cast", "conditioning"):
                continue
            if one.count != len(labels):
                yield f"{day} has {one.count} casts from {len(labels)} molds."
            for label in labels:
                yield from _one_cast(limits, day, label, poured, casts[label], one.stage)
                casts[label] += 1
                today[label] += 1
        for label, count in today.items():
            if count > limits.casts_a_day:
                yield f"{label} is cast {count} times on {day}; {limits.casts_a_day} is the most."
        wet = sum((day - at).days < limits.mold_days for at in poured.values())
        if limits.mold_places is not None and wet > limits.mold_places:
            yield f"{wet} molds are wet on {day}; there is room for {limits.mold_places}."


def _poured(
    limits: Limits, day: date, labels: tuple[str, ...], poured: dict[str, date]
) -> Iterator[str]:
    if day < limits.pour_not_before:
        yield f"Molds are poured on {day}, before the masters are made on {limits.pour_not_before}."
    for label in labels:
        if label in poured:
            yield f"{label} is poured twice, on {poured[label]} and {day}."
        poured[label] = day


def _one_cast(
    limits: Limits, day: date, label: str, poured: dict[str, date], before: int, stage: str
) -> Iterator[str]:
    if label not in poured:
        yield f"{label} is cast on {day} and was never poured."
    elif (day - poured[label]).days < limits.mold_days:
        yield f"{label} is cast on {day}, {(day - poured[label]).days} days after it was poured."
    there = {} if limits.at_hand is None else limits.at_hand.molds
    if before >= max(limits.life, there.get(label, (0, day))[0] + 1):
        yield f"{label} is cast on {day} beyond its life of {limits.life} casts."
    if (stage == "conditioning") != (before < limits.conditioning):
        yield f"Cast {before + 1} of {label} on {day} is {stage}; the first {limits.conditioning} are thrown away."


def _ware(limits: Limits, days: tuple[PlanDay, ...]) -> Iterator[str]:
    """No stage has more pieces than the stage before has given it, and ware is dry before it is fired."""
    done: Counter[str] = Counter()
    there = limits.at_hand
    cast_by_day: dict[date, int] = defaultdict(int)
    for entry in days:
        day = entry.date
        for one in entry.doing:
            done[one.stage] += one.count
            if one.stage == "cast":
                cast_by_day[day] += one.count
        dry = _dry(limits, day, cast_by_day)
        if done["fettle"] > done["cast"]:
            yield f"By {day} {done['fettle']} are fettled and {done['cast']} cast."
        arrived, share = _formed(limits, day, dry), limits.formed
        for firing in limits.firings:
            arrived += 0 if there is None else there.waiting[firing.name]
            if firing.prepared_by is not None:
                prepared = done[firing.prepared_by]
                prepared += 0 if there is None else there.prepared[firing.name]
                if prepared > arrived:
                    yield f"By {day} {prepared} are through {firing.prepared_by} and {arrived} had come."
                arrived = prepared
            if done[f"load {firing.name}"] > arrived:
                yield f"By {day} {done[f'load {firing.name}']} are loaded for {firing.name} and {arrived} were ready."
            arrived = done[f"unload {firing.name}"]
            fired = done[f"load {firing.name}"] + _inside(there, firing.name)
            share *= firing.passed
            last = there is None and firing is limits.firings[-1]
            if arrived > (_expected(dry, share) if last else _about(fired * firing.passed)):
                yield f"By {day} {arrived} are good after {firing.name}; fewer are expected to be."
        arrived += 0 if there is None else there.to_finish
        if done["finish"] > arrived:
            yield f"By {day} {done['finish']} are finished and {arrived} had come out of the kiln."
    if done["fettle"] != done["cast"]:
        yield f"{done['cast']} are cast and {done['fettle']} fettled."


def _rack(limits: Limits, days: tuple[PlanDay, ...]) -> Iterator[str]:
    """No more stands on the rack, from the cast to the first firing, than it holds."""
    there, cast, loaded = limits.at_hand, 0, 0
    stood, drying = 0, 0.0
    if there is not None:
        stood = there.dry(there.as_of, max(limits.ware_days, 1))
        drying = (sum(n for _, n in there.drying) - stood) * there.dry_passed
    for entry in days:
        today = sum(one.count for one in entry.doing if one.stage == "cast")
        cast += today
        first = f"load {limits.firings[0].name}"
        loaded += sum(one.count for one in entry.doing if one.stage == first)
        stands = stood + _at_least(drying + cast * limits.formed) - loaded
        # a rack that the studio overfilled itself is no plan's fault: it casts no more
        if limits.rack is not None and today and stands > limits.rack:
            yield f"At least {stands} pieces stand on the rack on {entry.date}; it holds {limits.rack}."


def _dry(limits: Limits, day: date, cast_by_day: Mapping[date, int]) -> int:
    """Return how many casts of the plan are dry by a day."""
    wait = max(limits.ware_days, 1)
    return sum(n for cast, n in cast_by_day.items() if (day - cast).days >= wait)


def _formed(limits: Limits, day: date, dry: int) -> int:
    """Return how many casts are expected to have come to the first firing, old greenware first."""
    there = limits.at_hand
    if there is None:
        return _about(dry * limits.formed)
    wait = max(limits.ware_days, 1)
    stood = there.dry(there.as_of, wait)
    since = there.dry(day, wait) - stood
    return stood + _about(since * there.dry_passed + dry * limits.formed)


def _inside(there: AtHand | None, firing: str) -> int:
    """Return the pieces that the kiln held for a firing when the plan began."""
    if there is None or there.inside is None or there.inside[0] != firing:
        return 0
    return there.inside[1]


def _expected(count: int, share: float) -> int:
    """Return how many of a count are expected to be good, whole pieces only."""
    return math.floor(count * share + 1e-9)


def _about(good: float) -> int:
    """Return the most that may be good at one stage: what is lost of a piece may be carried to the next."""
    return math.ceil(good - 1e-9) + 1


def _at_least(good: float) -> int:
    """Return the fewest that may be good at one stage: what is lost of a piece at another may be taken here."""
    return max(math.floor(good + 1e-9) - 1, 0)


def _kiln(limits: Limits, days: tuple[PlanDay, ...]) -> Iterator[str]:
    """One load at a time, no fuller than it can be, out no sooner than fired, and the gate kept."""
    there = limits.at_hand
    inside = None if there is None else there.inside
    weeks: dict[date, float] = defaultdict(float)
    loaded: set[date] = set()
    if there is not None:
        weeks[_monday(there.as_of)] += there.week_loads
    by_name = {firing.name: firing for firing in limits.firings}
    out: Counter[str] = Counter()
    for entry in days:
        day = entry.date
        for one in entry.doing:
            action, _, name = one.stage.partition(" ")
            if one.stage == "fire test casts":
                weeks[_monday(day)] += 1
                loaded.add(_monday(day))
            if action == "unload" and name in by_name:
                yield from _taken_out(by_name[name], day, one, inside)
                out[name] += one.count if one.of is None else one.of
                inside = None
            if action == "load" and name in by_name:
                if inside is not None:
                    yield f"The kiln is loaded for {name} on {day} with {inside[0]} still in it."
                if there is not None and there.kiln_free_on and day < there.kiln_free_on:
                    yield f"The kiln is loaded on {day}; another's load is in it until {there.kiln_free_on}."
                yield from _put_in(by_name[name], day, one, out[name])
                inside = (name, one.count, day)
                weeks[_monday(day)] += 1
                loaded.add(_monday(day))
    for monday in sorted(loaded):  # a week that the studio overfilled itself is no plan's fault
        if (loads := weeks[monday]) > math.ceil(limits.loads_a_week):
            yield f"The week of {monday} has {loads:g} loads; {limits.loads_a_week:g} is the most."
        both = loads + weeks.get(monday - timedelta(days=7), 0)
        if limits.loads_a_week % 1 and both > 2 * limits.loads_a_week:
            yield f"The two weeks to that of {monday} have {both:g} loads; {2 * limits.loads_a_week:g} is the most."


def _monday(day: date) -> date:
    """Return the Monday of a day's week."""
    return day - timedelta(days=day.weekday())


def _put_in(firing: FiringLimit, day: date, one: Doing, out: int) -> Iterator[str]:
    if not 0 < one.count <= firing.capacity:
        yield f"The {firing.name} load of {day} holds {one.count}; it takes 1 to {firing.capacity}."
    if firing.gate and not out and one.count > firing.gate:
        yield f"The {firing.name} load of {day} holds more than the {firing.gate} that go first."


def _taken_out(
    firing: FiringLimit, day: date, one: Doing, inside: tuple[str, int, date] | None
) -> Iterator[str]:
    if inside is None or inside[0] != firing.name:
        yield f"A {firing.name} load is taken out on {day} and was not in the kiln."
        return
    _, loaded, since = inside
    if (day - since).days < firing.days:
        yield f"The {firing.name} load of {since} is taken out on {day}; it takes {firing.days} days."
    if not one.count <= loaded == (loaded if one.of is None else one.of):
        yield f"{one.count} come out of the {firing.name} load of {since}, which held {loaded}."


def _plaster(limits: Limits, plan: Plan) -> Iterator[str]:
    """Every part of every mold is in one batch; batches fit, are weighed on the step, and hold enough."""
    volumes = dict(zip(limits.parts, limits.part_volumes_l, strict=True))
    masters = dict(zip(limits.parts, limits.masters, strict=True))
    covered: Counter[tuple[int, str]] = Counter()
    for batch in plan.plaster.batches:
        where = f"Batch {batch.number} of session {batch.session}"
        names = [part.part for part in batch.parts]
        covered.update((part.mold, part.part) for part in batch.parts)
        if math.fsum(volumes[name] for name in names) > batch.volume_l + _TOLERANCE_L:
            yield f"{where} is smaller than its parts."
        if batch.volume_l / batch.mixes > limits.largest_mix_l + _TOLERANCE_L:
            yield f"{where} holds {batch.volume_l / batch.mixes:g} l; the largest mix is {limits.largest_mix_l:.2f} l."
        for name, count in Counter(names).items():
            if count > masters[name]:
                yield f"{where} fills {count} of {name}; there are {masters[name]} masters of it."
        yield from _weights(limits, where, batch)
    block = plan.plaster.block_mold
    for weighed in block.batches if block else ():
        yield from _weights(limits, "A batch of the block mold", weighed)
    molds = plan.answer.molds_poured
    wanted = Counter({(mold, part): 1 for mold in range(1, molds + 1) for part in limits.parts})
    if covered != wanted:
        yield f"The batches do not fill each part of {molds} molds exactly once."


def _weights(limits: Limits, where: str, batch: PourBatch | BlockBatch) -> Iterator[str]:
    for what, mass_kg in (("water_kg", batch.water_kg), ("plaster_kg", batch.plaster_kg)):
        steps = mass_kg / batch.mixes / limits.scale_step_kg
        if abs(steps - round(steps)) > 1e-6 * max(steps, 1.0):
            yield f"{where} has {mass_kg} kg ({what}), which is not on the scale's step."
    slack = 100 * batch.mixes * limits.scale_step_kg / batch.plaster_kg + 1e-6
    ratio = 100 * batch.water_kg / batch.plaster_kg
    if abs(ratio - limits.consistency) > max(slack, _RATIO_SLACK):
        yield f"{where} is off the consistency of {limits.consistency:g}."


def _sums(plan: Plan) -> Iterator[str]:
    """Totals are the sums of what is listed."""
    plaster, cost = plan.plaster, plan.cost
    block = plaster.block_mold
    weighed: tuple[PourBatch | BlockBatch, ...] = (
        *plaster.batches,
        *(block.batches if block else ()),
    )
    for what, masses_kg, told_kg in (
        ("water_kg", (batch.water_kg for batch in weighed), plaster.total_water_kg),
        ("plaster_kg", (batch.plaster_kg for batch in weighed), plaster.total_plaster_kg),
    ):
        total = math.fsum(masses_kg)
        if abs(total - told_kg) > 1e-6:
            yield f"The batches add up to {total:g} kg ({what}) and the plan says {told_kg:g}."
    if plaster.bags * plaster.bag_kg < plaster.total_plaster_kg - 1e-9:
        yield f"{plaster.bags} bags do not hold {plaster.total_plaster_kg:g} kg of plaster."
    for row in plan.to_buy:
        if row.count * row.holds + row.there < row.need - 1e-6:
            yield f"{row.count} times {row.holds:g} of {row.what} are bought and {row.need:g} are needed."
    if cost.total is not None:
        amount = sum((line.amount for line in cost.lines), Decimal(0))
        if amount != cost.total:
            yield f"The cost lines add up to {amount} and the plan says {cost.total}."
    if sum(session.molds for session in plaster.session_list) != plan.answer.molds_poured:
        yield "The sessions do not pour as many molds as the plan has."


def _answer(limits: Limits, plan: Plan) -> Iterator[str]:
    """Tell where the answer says other than what the days do."""
    answer = plan.answer
    totals: Counter[str] = Counter()
    for entry in plan.calendar:
        for one in entry.doing:
            totals[one.stage] += one.count
    for stage, said in (
        ("cast", answer.casts),
        ("conditioning", answer.conditioning_casts),
        ("pour", answer.molds_poured),
    ):
        if totals[stage] != said:
            yield f"The days have {totals[stage]} ({stage}) and the answer says {said}."
    finished = totals["finish"] + (limits.at_hand.finished if limits.at_hand else 0)
    if finished < limits.need:
        yield f"{finished} pieces are finished and {limits.need} are promised."
    finishing = [e.date for e in plan.calendar if any(one.stage == "finish" for one in e.doing)]
    last = max(finishing, default=None)
    if last != answer.finish:
        yield f"The last piece is finished on {last} and the answer says {answer.finish}."
    if answer.deadline is not None and answer.deadline_met != (answer.finish <= answer.deadline):
        yield "Whether the deadline is met is said wrongly."


def _told_again(plan: Plan) -> Iterator[str]:
    """Tell where a section repeats other than what the days and the batches hold."""
    work = [(entry.date, one) for entry in plan.calendar for one in entry.doing]
    answer, sessions = plan.answer, plan.plaster.session_list
    poured = [(day, one.count) for day, one in work if one.stage == "pour"]
    cast = [day for day, one in work if one.stage in ("cast", "conditioning")]
    if [(session.date, session.molds) for session in sessions] != poured:
        yield "The sessions are not on the days on which molds are poured."
    first = [next((day for day, _ in poured), None), next(iter(cast), None)]
    if [answer.first_pour, answer.first_cast] != first:
        yield "The answer's first days are not those of the calendar."
    batches = Counter(batch.session for batch in plan.plaster.batches)
    if batches != Counter({session.number: session.batches for session in sessions}):
        yield "The sessions do not have as many batches as are listed."
    for firing in plan.kiln.firings:
        loads = [one.count for _, one in work if one.stage == f"load {firing.name}"]
        if (firing.loads, firing.pieces) != (len(loads), sum(loads)):
            yield f"The days have {len(loads)} {firing.name} loads of {sum(loads)} pieces in all and the kiln says other."
    taken = [(row.count, row.finish) for row in plan.molds if row.chosen]
    if taken != [(answer.molds, plan.odds.finish.p50)]:
        yield "The row of molds that is taken is not the answer."
    yield from _told_twice(plan)
    if [way.molds for way in plan.ways if way.recommended] != [answer.molds]:
        yield "The plan that is recommended is not the answer."


def _told_twice(plan: Plan) -> Iterator[str]:
    """Tell where one figure stands in two places of the plan and differs."""
    by_molds = {row.count: row.finish for row in plan.molds}
    odds = {row.molds: row.p50 for row in plan.odds.molds_for_chance.rows}
    if by_molds != odds:
        yield "The table of molds and that of their odds end on different days."
    more = by_molds.get(plan.answer.molds + 1)
    for one in plan.answer.relief:
        gained = 0 if more is None else max((plan.odds.finish.p50 - more).days, 0)
        if one.what == "one more mold" and more is not None and one.days_gained != gained:
            yield f"One more mold gains {one.days_gained} days; by the table of molds it is {gained}."
    for row in plan.sizes:
        if row.pieces == plan.edition.pieces and row.finish != plan.odds.finish.p50:
            yield "The row of this edition's size ends on another day than the plan."
