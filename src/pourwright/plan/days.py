"""The days of the plan: stages with their first and last day, and every day's work."""

from __future__ import annotations

from datetime import date

from pourwright.plan.before import Task
from pourwright.plan.case import Case, planned_mold_days
from pourwright.plan.molds import firing_named
from pourwright.plan.plan import Doing, PartFull, PlanDay, Stage
from pourwright.simulation.problem import Claim, DayNote

PREPARING = {"glaze": "glaze", "third": "decorate"}
"""What hands do to a piece before a firing, by the firing's name."""


def stages_section(case: Case, notes: list[DayNote]) -> tuple[Stage, ...]:
    """Return the stages, each with its first and last day."""
    pours = [note.day for note in notes if note.poured]
    wet = [ready for note in notes for _, _, ready in note.poured]
    wet += [
        old.poured_day + int(case.draws.mold_dry_days[0, at])
        for at, old in enumerate(case.edition.already.molds)
        if not old.dry
    ]
    stages = list(case.before.stages)

    def add(name: str, days: list[int], note: str = "") -> None:
        if days:
            stages.append(Stage(name, case.day(days[0]), case.day(days[-1]), note))

    add("pouring", pours, f"{len(pours)} session{'s' if len(pours) > 1 else ''}")
    begun = case.edition.already.begun
    add(
        "mold drying",
        [0 if begun else pours[0], max(*wet, 0)] if wet else [],
        drying_note(case, poured=bool(pours)),
    )
    add("casting and fettling", [note.day for note in notes if note.cast])
    first = "proofs" if case.brief.edition.proofs else "a few"
    for firing in case.edition.firings:
        if firing.name in PREPARING:
            word = "glazing" if firing.name == "glaze" else "decorating"
            add(word, [n.day for n in notes if any(f == firing.name for _, f, _ in n.prepared)])
        fired = [
            n.day for n in notes if any(f == firing.name for _, f, *_ in [*n.loaded, *n.unloaded])
        ]
        add(
            f"{firing.name} firing",
            fired,
            f"{first} first: they open the glaze" if firing.gate else "",
        )
    add("marking and packing", [note.day for note in notes if note.finished])
    return tuple(stages)


def drying_note(case: Case, *, poured: bool) -> str:
    """Return how long molds dry, and how long the calendar gives them if that is not within it."""
    wet = [old for old in case.edition.already.molds if not old.dry]
    if wet and not poured and all(old.ready_days for old in wet):
        return "by their weighings"
    span, planned = case.studio.drying, case.edition.mold_dry_days
    days, beside = f"{span.days_low} to {span.days_high} days", case.edition.beside_days
    longer = f", and {beside:.1f} more for each other mold that is wet" if beside else ""
    if planned <= span.days_high:
        middle = planned == planned_mold_days(case.studio)
        why = "the middle" if middle else "so that the calendar ends near the even odds"
        one = " for one mold" if longer else ""
        return f"{days}{one}; planned with {planned}, {why}{longer}"
    return f"{days} for one mold; the calendar gives {planned}, for the delays that chance brings{longer}"


def calendar_section(case: Case, notes: list[DayNote]) -> tuple[PlanDay, ...]:
    """Return every day from the first to the finish, with what is done and how long it takes."""
    days, cast_so_far = [], 0
    for note in notes:
        day = case.day(note.day)
        if day < case.brief.edition.start:
            continue
        before = _before(case, day)
        doing = (
            *(Doing(task.what, task.count) for task in before),
            *_work(case, note, cast_so_far),
        )
        used_min = _used_min(case, note) + sum(task.minutes for task in before)
        cast_so_far += sum(1 for _, _, good in note.cast if good)
        why = case.calendar.label(day)
        days.append(PlanDay(day, note.minutes > 0, note.minutes, used_min, doing, why))
    return tuple(days)


def _used_min(case: Case, note: DayNote) -> int:
    """Return the hands' minutes that this edition takes on a day."""
    edition = case.edition
    prep = {f.name: f.prep_min for f in edition.firings}
    handling = {f.name: f.handling_min for f in edition.firings}
    fettled = sum(note.fettled.values())
    return (
        sum(note.finished.values()) * edition.finish_min
        + sum(n * prep[firing] for _, firing, n in note.prepared)
        + sum(handling[firing] for _, firing, *_ in note.loaded)
        + (edition.setup_min + len(note.poured) * edition.set_min if note.poured else 0)
        + len(note.cast) * edition.cast_min
        + fettled * edition.fettle_min
    )


def _before(case: Case, day: date) -> list[Task]:
    """Return what is done on a day before the first pour."""
    return [task for task in case.before.tasks if task.day == day]


PART_FULL: dict[Claim, PartFull] = {
    "gate": "proofs first",
    "full": "evened out",
    "last": "the last of them",
    "rack": "the rack is full",
    "waited": "for the days it saves",
}
"""Why a load goes in though more would fit, by what gave it the kiln."""


def _load(case: Case, name: str, count: int, claim: Claim) -> Doing:
    """Return a load that goes in; one that is not full says why."""
    holds = firing_named(case.edition, name).capacity
    why = PART_FULL[claim] if count < holds else None
    if why == "proofs first" and not case.brief.edition.proofs:
        why = "a few first to see the glaze"
    return Doing(f"load {name}", count, holds, why=why)


def _work(case: Case, note: DayNote, cast_so_far: int) -> list[Doing]:
    """Return a day's work in the order in which it has the first claim on hands."""
    doing = [Doing(f"unload {firing}", good, loaded) for _, firing, loaded, good in note.unloaded]
    doing += [Doing("finish", n) for n in note.finished.values()]
    doing += [
        Doing(PREPARING.get(firing, f"prepare for {firing}"), n) for _, firing, n in note.prepared
    ]
    doing += [_load(case, firing, n, claim) for _, firing, n, claim in note.loaded]
    poured = tuple(case.mold_label(number) for _, number, _ in note.poured)
    thrown = tuple(case.mold_label(number) for _, number, good in note.cast if not good)
    kept = tuple(case.mold_label(number) for _, number, good in note.cast if good)
    if poured:
        doing.append(Doing("pour", len(poured), molds=poured))
    if thrown:
        doing.append(Doing("conditioning", len(thrown), molds=thrown))
    if kept:
        doing.append(Doing("cast", len(kept), cast_so_far + len(kept), kept))
        doing.append(Doing("fettle", len(kept)))
    return doing
