"""The plaster of the plan: parts, batches, sessions, totals, and how each mold dries."""

from __future__ import annotations

import math

from pourwright.materials.drying.dryness import water_to_lose
from pourwright.materials.plaster.mix import (
    batch_for_volume,
    dry_density,
    wet_density,
)
from pourwright.materials.plaster.volumes import dry_mass, wet_mass
from pourwright.plan.case import Case, part_mixes_of, pour_times
from pourwright.plan.plan import (
    BatchPart,
    BlockBatch,
    BlockPour,
    MoldDrying,
    MoldPart,
    PerMold,
    PlasterPlan,
    PourBatch,
    PourSession,
)
from pourwright.plan.relief import idle_masters
from pourwright.simulation.cost import bags_needed
from pourwright.simulation.pours import Pour, PourList, pour_list, usable_l, weigh
from pourwright.simulation.problem import DayNote
from pourwright.simulation.sessions import SessionCapacity, sets_in_a_session


def pours_of(case: Case, notes: list[DayNote]) -> tuple[tuple[SessionCapacity, ...], PourList]:
    """Return the pouring sessions of a plan and what is weighed for each batch."""
    counts = [len(note.poured) for note in notes if note.poured]
    sessions = tuple(_session_of(case, sets) for sets in counts)
    names = [part.name for part in case.brief.mold.parts]
    return sessions, pour_list(sessions, names, case.mix, part_mixes_of(case.brief))


def _session_of(case: Case, sets: int) -> SessionCapacity:
    if sets == case.session.sets:
        return case.session
    pouring = case.studio.pouring
    return sets_in_a_session(
        case.part_volumes_l,
        [part.masters for part in case.brief.mold.parts],
        usable_l(case.mix),
        session_min=pouring.session_min,
        setup_min=pouring.setup_min,
        times=pour_times(case.brief, case.studio),
        at_most=sets,
    )


def plaster_section(
    case: Case, notes: list[DayNote], sessions: tuple[SessionCapacity, ...], pours: PourList
) -> PlasterPlan:
    """Return the plaster part of the plan."""
    volume = sum(case.part_volumes_l)
    one = batch_for_volume(volume, case.plaster)
    days = [case.day(note.day) for note in notes if note.poured]
    block = _block_mold(case)
    weighed: tuple[Pour | BlockBatch, ...] = (*pours.pours, *(block.batches if block else ()))
    plaster_kg = round(math.fsum(one.plaster_kg for one in weighed), 9)
    return PlasterPlan(
        consistency=case.studio.plaster.consistency,
        wet_kg_per_l=round(float(wet_density(case.plaster)), 4),
        dry_kg_per_l=round(float(dry_density(case.plaster)), 4),
        parts=_parts(case),
        per_mold=PerMold(
            volume_l=round(volume, 4),
            plaster_kg=round(float(one.plaster_kg), 4),
            water_kg=round(float(one.water_kg), 4),
        ),
        batches=tuple(_batch(pour) for pour in pours.pours),
        sessions=len(sessions),
        session_list=tuple(
            PourSession(
                n,
                day,
                session.sets,
                len(session.batching.batches),
                round(session.timetable.length_min, 2),
            )
            for n, (day, session) in enumerate(zip(days, sessions, strict=True), start=1)
        ),
        batches_bound=pours.least_batches,
        proved=pours.proved,
        round_min=pour_times(case.brief, case.studio).round_min,
        idle_masters=idle_masters(case),
        total_plaster_kg=plaster_kg,
        total_water_kg=round(math.fsum(one.water_kg for one in weighed), 9),
        bags=bags_needed(plaster_kg, case.studio.plaster.bag_kg),
        bag_kg=case.studio.plaster.bag_kg,
        scale_step_kg=case.studio.plaster.scale_step_kg,
        block_mold=block,
    )


def _block_mold(case: Case) -> BlockPour | None:
    """Return what each part of the block mold takes; its parts share the days of its making.

    A part is poured against the one before it, once that has set.
    """
    days = [task.day for task in case.before.tasks if task.what == "block mold"]
    if not case.before.block_molds or not days:
        return None
    left, batches = case.before.block_parts, []
    mixes = {part.name: max(part.mixes, 1) for part in case.brief.mold.parts}
    for at, (name, volume) in enumerate(case.block_volumes_l.items()):
        weighed, day = weigh(volume, case.mix, mixes[name]), days[at * len(days) // len(left)]
        batches.append(BlockBatch(name, day, weighed.water_kg, weighed.plaster_kg, mixes[name]))
    return BlockPour(days[0], tuple(batches))


def _parts(case: Case) -> tuple[MoldPart, ...]:
    rows = []
    for part, volume in zip(case.brief.mold.parts, case.part_volumes_l, strict=True):
        batch = batch_for_volume(volume, case.plaster)
        rows.append(
            MoldPart(
                name=part.name,
                volume_l=round(volume, 4),
                told_as=part.told_as,
                plaster_kg=round(float(batch.plaster_kg), 4),
                water_kg=round(float(batch.water_kg), 4),
                masters=part.masters,
            )
        )
    return tuple(rows)


def _batch(pour: Pour) -> PourBatch:
    return PourBatch(
        session=pour.session,
        number=pour.number,
        parts=tuple(BatchPart(mold, part) for mold, part in pour.parts),
        volume_l=round(pour.volume_l, 4),
        water_kg=pour.water_kg,
        plaster_kg=pour.plaster_kg,
        leftover_l=round(pour.leftover_l, 4),
        starts_min=pour.starts_min,
        mixes=pour.mixes,
    )


def drying_section(case: Case) -> MoldDrying:
    """Return what one mold must lose, and what it weighs strapped, wet and dry."""
    volume = sum(case.part_volumes_l)
    return MoldDrying(
        water_to_lose_kg=round(float(water_to_lose(volume, case.plaster)), 3),
        days_low=case.studio.drying.days_low,
        days_high=case.studio.drying.days_high,
        wet_kg=round(float(wet_mass(volume, case.plaster)), 3),
        dry_kg=round(float(dry_mass(volume, case.plaster)), 3),
        beside_days=round(case.edition.beside_days, 2),
    )
