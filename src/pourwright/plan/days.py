"""The days of the plan: stages with their first and last day, and every day's work."""

from __future__ import annotations

from datetime import date

from pourwright.plan.case import Case
from pourwright.plan.plan import Doing, PlanDay, Stage
from pourwright.simulation.problem import DayNote

PREPARING = {"glaze": "glaze", "third": "decorate"}
"""What hands do to a piece before a firing, by the firing's name."""


def stages_section(case: Case, notes: list[DayNote]) -> tuple[Stage, ...]:
    """Return the stages, each with its first and last day."""
    pours = [note.day for note in notes if note.poured]
    wet = [ready for note in notes for _, _, ready in note.poured]
    wet += [
        old.poured_day + case.edition.mold_dry_days
        for old in case.edition.already.molds
        if not old.dry
    ]
    stages = list(case.before)

    def add(name: str, days: list[int], note: str = "") -> None:
        if days:
            stages.append(Stage(name, case.day(days[0]), case.day(days[-1]), note))

    drying = case.studio.drying
    add("pouring", pours, f"{len(pours)} session{'s' if len(pours) > 1 else ''}")
    begun = case.edition.already.begun
    add(
        "mold drying",
        [0 if begun else pours[0], max(*wet, 0)] if wet else [],
        f"{drying.days_low} to {drying.days_high} days; planned with {case.edition.mold_dry_days}",
    )
    add("casting and fettling", [note.day for note in notes if note.cast])
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
            "proofs first: they open the glaze" if firing.gate else "",
        )
    add("marking and packing", [note.day for note in notes if note.finished])
    return tuple(stages)


def calendar_section(case: Case, notes: list[DayNote]) -> tuple[PlanDay, ...]:
    """Return every day from the first to the finish, with what is done and how long it takes."""
    days, cast_so_far = [], 0
    for note in notes:
        day = case.day(note.day)
        if day < case.brief.edition.start:
            continue
        doing = (*_before(case, day), *_work(case, note, cast_so_far))
        cast_so_far += sum(1 for _, _, good in note.cast if good)
        why = case.calendar.label(day)
        days.append(PlanDay(day, note.minutes > 0, note.minutes, _used_min(case, note), doing, why))
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
        + sum(handling[firing] for _, firing, _ in note.loaded)
        + (edition.setup_min + len(note.poured) * edition.set_min if note.poured else 0)
        + len(note.cast) * edition.cast_min
        + fettled * edition.fettle_min
    )


def _before(case: Case, day: date) -> list[Doing]:
    """Return the stage of preparation a day is in, on days that are worked."""
    if not case.calendar.is_open(day):
        return []
    return [Doing(s.name, 1) for s in case.before if s.starts <= day <= s.ends]


def _work(case: Case, note: DayNote, cast_so_far: int) -> list[Doing]:
    """Return a day's work in the order in which it has the first claim on hands."""
    doing = [Doing(f"unload {firing}", good, loaded) for _, firing, loaded, good in note.unloaded]
    doing += [Doing("finish", n) for n in note.finished.values()]
    doing += [
        Doing(PREPARING.get(firing, f"prepare for {firing}"), n) for _, firing, n in note.prepared
    ]
    doing += [Doing(f"load {firing}", n) for _, firing, n in note.loaded]
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
