"""Plaster: parts, the mix, the pour list, and drying."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby
from typing import NamedTuple

from msgspec.structs import replace

from pourwright.plan.plan import BatchPart, BlockBatch, Plan, PlasterPlan, PourBatch, PourSession
from pourwright.quantities import read
from pourwright.report.blocks import (
    Align,
    Block,
    FactRow,
    Facts,
    Row,
    Section,
    Steps,
    Table,
    Text,
)
from pourwright.report.saying import Say, count, listed, range_of

TOLD_AS = {
    "water": "water that fills its master",
    "volume": "volume given",
    "box": "box less what the original fills",
    "dry mass": "weight of the dry mold",
    "recipe": "batches of your recipe",
}

MIXING = (
    "Weigh the water, then the plaster.",
    "Sift plaster into water, never water onto plaster. Let it soak 2 to 4 minutes.",
    "Mix 2 to 5 minutes. Once it thickens there are 2 to 3 minutes left.",
    "Pour a thin stream into one corner and let it rise.",
    "Open a mold when it has been hot and has begun to cool.",
)


def plaster_words(plan: Plan) -> Section:
    """Return the mix, the parts and the totals."""
    say = Say.of(plan)
    return Section("plaster", "Plaster", (_mix(plan, say), _parts(plan, say)))


def _mix(plan: Plan, say: Say) -> Facts:
    """Return the mix, one mold and the whole."""
    plaster = plan.plaster
    mold = plaster.per_mold
    fills = f"{say.volume(mold.volume_l)} of mix, before the spare"
    bag = say.mass(plaster.bag_kg).replace(".0 ", " ")
    bags = f"{count(plaster.bags, 'bag')} of {bag}"
    return Facts(
        (
            (
                "Consistency",
                f"{plaster.consistency:g}",
                "parts of water to 100 of plaster, by weight",
            ),
            ("Water for a mold", say.water(mold.water_kg), fills),
            ("Plaster for a mold", say.mass(mold.plaster_kg), "with that water"),
            ("Plaster in all", say.mass(plaster.total_plaster_kg), bags),
            (
                "Water in all",
                say.water(plaster.total_water_kg),
                "weigh it; a measure is for a check",
            ),
            ("Batches", str(mixed(plaster.batches)), _bound(plaster)),
            ("Sessions", str(plaster.sessions), _round(plaster, say)),
            *_idle_masters(plaster),
        )
    )


def _bound(plaster: PlasterPlan) -> str:
    """Return whether fewer batches could do; of a recipe there are as many as it tells."""
    if any(part.told_as == "recipe" for part in plaster.parts):
        return "your recipe's, each mixed by itself"
    if plaster.proved:
        return "the fewest that can hold these parts; no part is split"
    return f"the fewest found, at least {plaster.batches_bound}; no part is split"


def _round(plaster: PlasterPlan, say: Say) -> str:
    """Return how long one round of the masters takes."""
    return f"one round of pour, set, open, clean and reset takes {say.duration(plaster.round_min)}"


def _idle_masters(plaster: PlasterPlan) -> tuple[FactRow, ...]:
    """Return that a further master of some parts stands idle, if one does."""
    if not plaster.idle_masters:
        return ()
    others = "the other parts have no more, so a session gives no more molds for it"
    return (("A master that gains nothing", listed(plaster.idle_masters), others),)


def _parts(plan: Plan, say: Say) -> Table:
    """Return the parts of one mold."""
    return Table(
        caption="The parts of one mold",
        columns=(
            ("Part", "left"),
            ("Masters", "right"),
            ("Volume", "right"),
            ("Water", "right"),
            ("Plaster", "right"),
            ("Known from", "left"),
        ),
        rows=tuple(
            (
                part.name,
                str(part.masters),
                say.volume(part.volume_l),
                say.mass(part.water_kg),
                say.mass(part.plaster_kg),
                TOLD_AS.get(part.told_as, part.told_as),
            )
            for part in plan.plaster.parts
        ),
        narrow="cards",
    )


def batch_weights(
    batches: Sequence[PourBatch | BlockBatch], plaster: PlasterPlan, say: Say, *, jug: bool = False
) -> str:
    """Return what is weighed for batches, equal ones told once, the water in a ``jug`` too where that is asked."""
    step, water_of = plaster.scale_step_kg, say.water if jug else say.mass
    alike: dict[str, list[PourBatch | BlockBatch]] = {}
    for one in batches:
        water, plaster_kg = one.water_kg / one.mixes, one.plaster_kg / one.mixes
        weights = f"{water_of(water, step)} of water and {say.mass(plaster_kg, step)} of plaster"
        alike.setdefault(weights, []).append(one)
    return "; ".join(
        _so_many(some, weights) + _whose(some, batches) for weights, some in alike.items()
    )


def mixed(batches: Sequence[PourBatch | BlockBatch]) -> int:
    """Return how many buckets are mixed for batches: a recipe's batches are mixed one by one."""
    return sum(one.mixes for one in batches)


def _so_many(some: Sequence[PourBatch | BlockBatch], weights: str) -> str:
    """Return how often something is weighed, and how many times for each mold where a recipe tells that."""
    number, each = mixed(some), some[0].mixes
    if number == 1:
        return weights
    a_mold = f", {each} for each mold" if 1 < each < number else ""
    return f"{number} batches of {weights} each{a_mold}"


def _whose(
    some: Sequence[PourBatch | BlockBatch], batches: Sequence[PourBatch | BlockBatch]
) -> str:
    """Return which parts of a block mold are weighed so, where more of them are weighed on the day."""
    parts = [one.part for one in some if isinstance(one, BlockBatch)]
    return f" for {listed(parts)}" if parts and len(batches) > 1 else ""


def block_weights(plan: Plan, day: date) -> str:
    """Return the parts of a block mold that are poured on a day, each with what is weighed for it."""
    say, step, block = Say.of(plan), plan.plaster.scale_step_kg, plan.plaster.block_mold
    return "; ".join(
        f"{one.part}, {say.mass(one.water_kg, step)} water and {say.mass(one.plaster_kg, step)} plaster"
        for one in (block.batches if block else ())
        if one.date == day
    )


def weighed_on(plan: Plan, day: date) -> str:
    """Return what is weighed on a day, empty where no plaster is poured."""
    block = plan.plaster.block_mold
    batches: list[PourBatch | BlockBatch] = [*batches_on(plan, day)]
    batches += [one for one in block.batches if one.date == day] if block is not None else []
    return batch_weights(batches, plan.plaster, Say.of(plan))


def batches_on(plan: Plan, day: date) -> list[PourBatch]:
    """Return the batches of molds that are poured on a day."""
    numbers = {one.number for one in plan.plaster.session_list if one.date == day}
    return [one for one in plan.plaster.batches if one.session in numbers]


def _block_mold(plaster: PlasterPlan, say: Say) -> tuple[Text, ...]:
    """Return what is weighed for the block mold, if it is still to be poured."""
    block = plaster.block_mold
    if block is None:
        return ()
    parts = (
        f"{one.part} on {say.day_in_week(one.date)}, {batch_weights([one], plaster, say, jug=True)}"
        for one in block.batches
    )
    taken = "It is taken to need what one mold does"
    return (Text(f"The block mold: {'; '.join(parts)}. {taken}."),)


def _clock_of_a_session(plan: Plan, say: Say) -> str:
    """Return what starts are counted from, and why a session is longer than the hands' time of its day."""
    sessions = plan.plaster.session_list
    if not plan.plaster.batches:
        return ""
    longest = max(sessions, key=lambda one: one.length_min)
    alike = len({one.length_min for one in sessions}) == 1
    day = "The day's" if alike else "The longest day's"
    ends = f"{day} last batch has set after {say.duration(longest.length_min)}"
    return f" {starts_counted(plan)} {ends}{_past_the_hours(plan, longest)}"


def _told(plan: Plan, field: str) -> str:
    """Return a field as it was told, empty where the plan does not hold it."""
    return next((one.value for one in plan.sources if one.field == field), "")


def _past_the_hours(plan: Plan, session: PourSession) -> str:
    """Return why hands are at work for less than a session, and that it is longer than the day where it is."""
    told = _told(plan, "time.hours_a_day")
    if not told or session.length_min <= read(told, "duration"):
        return ". Under Day by day it is less, because hands do nothing while plaster sets."
    return (
        f", and a day has {told} of hands. They are enough, because hands do nothing while plaster sets; Day by day "
        "tells their time. Whoever cannot stay so long tells a shorter pouring.session: then molds are "
        "poured on more days."
    )


def how_mixed(plaster: PlasterPlan) -> str:
    """Return how batches and parts go together."""
    if all(one.mixes == 1 for one in plaster.batches):
        return " No part comes from two batches."
    return " Batches of your recipe numbered 1.1, 1.2 and so on are mixed and poured one after the other."


def starts_counted(plan: Plan) -> str:
    """Return what the starts of batches are counted from, and how much of the setting up comes before the first."""
    first_min = plan.plaster.batches[0].starts_min
    first = Say.of(plan).duration(first_min)
    told = _told(plan, "pouring.setup")
    counted = "Starts are counted from when the day's pouring begins"
    if told and read(told, "duration") > first_min:
        return (
            f"{counted}. Of the {told} of setting up {first} come before the first batch, the rest as further "
            "masters are filled."
        )
    return f"{counted}; the first {first} go to setting up."


def pour_list_words(plan: Plan) -> Section:
    """Return what to weigh for each batch, session by session."""
    say = Say.of(plan)
    plaster = plan.plaster
    blocks: list[Block] = [
        Text(
            "Weights are on the scale's step and hold the spare."
            + how_mixed(plaster)
            + _clock_of_a_session(plan, say)
        ),
    ]
    blocks += _block_mold(plaster, say)
    sessions = {session.number: session for session in plaster.session_list}
    if len(sessions) == mixed(plaster.batches) > 1:
        blocks.append(_one_batch_each(sessions, plaster, say))
    else:
        blocks += [_sessions(run, plaster, say) for run in _alike(sessions, plaster)]
    blocks += [Text("Left over: " + _left_over(plaster, say), "note"), Steps(MIXING)]
    return Section("pour-list", "Pour list", tuple(blocks), fresh_page=True)


POUR_COLUMNS: tuple[tuple[str, Align], ...] = (
    ("Starts after", "right"),
    ("Water", "right"),
    ("Plaster", "right"),
    ("For", "left"),
    ("Left over", "right"),
)


def _alike(sessions: dict[int, PourSession], plaster: PlasterPlan) -> list[list[PourSession]]:
    """Return the sessions in their order, those that follow each other and weigh alike together."""
    alike = groupby(sessions.values(), key=lambda session: _weighed(session, plaster))
    return [list(run) for _, run in alike]


def _weighed(session: PourSession, plaster: PlasterPlan) -> list[tuple[object, ...]]:
    """Return what makes two sessions alike: the batches, their parts counted from the first mold."""
    return [
        (one.starts_min, one.water_kg, one.plaster_kg, one.mixes, one.leftover_l, one.parts)
        for one in _batches_of(session, plaster, of_the_day=True)
    ]


def _batches_of(session: PourSession, plaster: PlasterPlan, *, of_the_day: bool) -> list[PourBatch]:
    """Return a session's batches, its molds counted from the first of the day or of the edition."""
    mine = [one for one in plaster.batches if one.session == session.number]
    before = min(part.mold for one in mine for part in one.parts) - 1 if of_the_day else 0
    return [
        replace(one, parts=tuple(replace(p, mold=p.mold - before) for p in one.parts))
        for one in mine
    ]


def _sessions(run: list[PourSession], plaster: PlasterPlan, say: Say) -> Table:
    """Return the batches of one session, or of several alike."""
    session, several = run[0], len(run) > 1
    batches = _batches_of(session, plaster, of_the_day=several)
    what = f"{count(session.molds, 'mold')} in {count(mixed(batches), 'batch', 'batches')}"
    when = f"Session {session.number}, {say.day(session.date)}"
    if several:
        numbers = range_of([one.number for one in run])
        days = listed(say.day_in_week(one.date) for one in run)
        when, what = (
            f"Sessions {numbers}, {days}",
            f"each {what}, molds counted from the day's first",
        )
    return Table(
        caption=f"{when}: {what}",
        columns=(("Batch", "left"), *POUR_COLUMNS),
        rows=tuple(
            (f"Batch {one.number}", *_cells(one, plaster, say))
            for at, b in enumerate(batches, 1)
            for one in bucketfuls(replace(b, number=at) if several else b, say)
        ),
        strong=(2, 3),
        narrow="cards",
        tick=True,
    )


def _one_batch_each(sessions: dict[int, PourSession], plaster: PlasterPlan, say: Say) -> Table:
    """Return all sessions in one table when each of them mixes once."""
    return Table(
        caption=f"{len(sessions)} sessions, one batch in each",
        columns=(("Session", "left"), *POUR_COLUMNS),
        rows=tuple(
            (say.day(sessions[b.session].date), *_cells(one, plaster, say))
            for b in plaster.batches
            for one in bucketfuls(b, say)
        ),
        strong=(2, 3),
        narrow="cards",
        tick=True,
    )


class Bucketful(NamedTuple):
    """One mix of a batch, as it is weighed: its number, when it starts, its weights, and what it fills."""

    number: str
    starts: str
    water_kg: float
    plaster_kg: float
    fills: str
    leftover_l: float


def bucketfuls(batch: PourBatch, say: Say) -> Iterator[Bucketful]:
    """Yield the mixes of a batch: one, or as many of a recipe, numbered 1.1, 1.2 and so on."""
    most, fills = batch.mixes, parts_filled(batch.parts)
    for at in range(1, most + 1):
        yield Bucketful(
            f"{batch.number}" if most == 1 else f"{batch.number}.{at}",
            say.duration(batch.starts_min) if at == 1 else "then",
            batch.water_kg / most,
            batch.plaster_kg / most,
            fills if most == 1 else f"{fills}, {at} of {most}",
            batch.leftover_l if at == most else 0.0,
        )


def _cells(one: Bucketful, plaster: PlasterPlan, say: Say) -> Row:
    """Return the cells of one mix; its weights show the scale's every step."""
    step = plaster.scale_step_kg
    return (
        one.starts,
        say.water(one.water_kg, step),
        say.mass(one.plaster_kg, step),
        one.fills,
        say.volume(one.leftover_l) if one.leftover_l else "",
    )


def parts_filled(parts: tuple[BatchPart, ...]) -> str:
    """Return the parts a batch fills, mold by mold, molds alike together."""
    by_mold: dict[int, Counter[str]] = {}
    for part in parts:
        by_mold.setdefault(part.mold, Counter())[part.part] += 1
    alike: dict[str, list[int]] = {}
    for mold, names in by_mold.items():
        alike.setdefault(" + ".join(_times(n, name) for name, n in names.items()), []).append(mold)
    return "; ".join(f"{_molds(molds)}: {names}" for names, molds in alike.items())


def _times(number: int, name: str) -> str:
    """Return a part, and how many when there is more than one."""
    return name if number == 1 else f"{number} x {name}"


def _molds(molds: list[int]) -> str:
    """Return mold numbers with their noun."""
    return f"mold {molds[0]}" if len(molds) == 1 else f"molds {range_of(molds)}"


def _left_over(plaster: PlasterPlan, say: Say) -> str:
    """Return how much mix is left over in all, and what to do with it."""
    total_l = sum(batch.leftover_l for batch in plaster.batches)
    return (
        f"{say.volume(total_l)} of mix in all. Have a small mold or a slab ready for it, or let it "
        "set in the bucket."
    )


def _beside(plan: Plan) -> tuple[FactRow, ...]:
    """Return what each other wet mold adds, where the room is told."""
    longer = plan.drying.beside_days
    if not longer:
        return ()
    why = "its water wets the room's air; a window ajar carries it off"
    return (("Each other wet mold", f"{longer:.1f} days more", why),)


def drying_words(plan: Plan) -> Section:
    """Return what a mold must lose, how long it takes, and how it is known to be dry."""
    say, drying = Say.of(plan), plan.drying
    days = f"{drying.days_low} to {drying.days_high} days"
    usual = any(one.field == "drying.days_high" and one.kind == "default" for one in plan.sources)
    whose = "; usual figures, not yet your room's" if usual else ""
    rows = (
        ("A mold when opened", say.mass(drying.wet_kg), "all parts, strapped"),
        ("The same mold dry", say.mass(drying.dry_kg), "worked out; weigh one to know"),
        ("Water to lose", say.mass(drying.water_to_lose_kg), "for each mold"),
        ("Days", days, f"a range, because rooms differ{whose}"),
        *_beside(plan),
    )
    test = (
        "Weigh each mold whole, strapped, twice a day apart. It is dry when the two weighings "
        "agree. It is ready to cast earlier: working molds hold 5 to 15 % of water."
    )
    note = "Two weighings in your own room shorten the range more than anything else."
    return Section("drying", "Drying", (Facts(rows), Text(test), Text(note, "note")))
