"""How many molds: the course of each plan, day by day, and what limits it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from pourwright.errors import NotDoable
from pourwright.plan.case import Case
from pourwright.plan.plan import Limit
from pourwright.simulation.forecast import forecast
from pourwright.simulation.outcome import Outcome
from pourwright.simulation.problem import (
    NEVER,
    DayNote,
    Edition,
    Firing,
    Policy,
    Workshop,
)
from pourwright.simulation.search import Found, courses, search

_LEAST_ROWS, _MOST_ROWS = 4, 14
_HELD_DAYS = 150


@dataclass(frozen=True, slots=True)
class MoldChoice:
    """The courses found, for one number of molds after the other, and the one to take."""

    found: tuple[Found, ...]
    chosen: Found
    deadline_met: bool | None

    def taking(self, chosen: Found, case: Case) -> MoldChoice:
        """Return the same plans with another of them taken."""
        deadline = case.brief.edition.deadline
        met = None if deadline is None else case.day(chosen.finish) <= deadline
        return replace(self, chosen=chosen, deadline_met=met)


def mold_counts(case: Case) -> range:
    """Return the numbers of molds to look at: as many as the brief allows, or as make sense."""
    terms, there = case.brief.edition, len(case.edition.already.molds)
    if there and not case.target:
        return range(there, there + 1)
    if terms.molds_at_most:
        return range(max(there, 1), max(terms.molds_at_most, terms.molds or 1, there) + 1)
    sensible = min(max(math.ceil(case.target / 10), _LEAST_ROWS), _MOST_ROWS)
    return range(max(there, 1), max(sensible, (terms.molds or 0) + 1, there + 2) + 1)


def courses_under(case: Case, rules: Sequence[Policy]) -> MoldChoice:
    """Return the course without chance under each of some rules; the soonest is taken for now.

    Raises
    ------
    NotDoable
        If the edition would not be finished in the years that are looked at.
    """
    found = courses(case.workshop, case.draws, case.target, rules, case.settled)
    ended = [one for one in found if one.finish >= 0]
    if not ended:
        raise NotDoable(
            f"With up to {found[-1].molds} molds {case.brief.edition.name} is not finished within "
            f"{len(case.workshop.minutes) // 366} years{_beside(case)}. More hours, more kiln loads or fewer "
            "pieces would help."
        )
    soonest = min(ended, key=lambda one: one.order)
    return MoldChoice(tuple(ended), soonest, None).taking(soonest, case)


def _beside(case: Case) -> str:
    """Name the editions that may starve this one."""
    names = " and ".join(neighbor.case.brief.edition.name for neighbor in case.neighbors)
    return f" beside {names}, which has the first claim on kiln and hands" if names else ""


def casts_in_time(case: Case, found: Found) -> bool:
    """Return whether the casting takes no more weeks than the brief wishes."""
    weeks = case.brief.edition.casting_weeks
    first = case.edition.pour_from + case.edition.mold_dry_days
    return weeks is None or found.last_cast - first <= 7 * weeks


def joint_forecast(case: Case, found: Found) -> Outcome:
    """Return a plan's run day by day, with the editions beside it."""
    settled = case.settled
    policies = [*(policy for policy, _ in settled), found.policy]
    draws = [*(tables for _, tables in settled), case.draws]
    return forecast(case.workshop, policies, draws, 1, notes=True)


def day_notes(case: Case, found: Found) -> list[DayNote]:
    """Return what happens to this edition on each day of a plan."""
    notes = joint_forecast(case, found).notes
    return [_own(note, case.edition.name) for note in notes if note.day <= found.finish]


def _own(note: DayNote, name: str) -> DayNote:
    """Return what a note says of one edition."""
    return DayNote(
        note.day,
        note.minutes,
        note.used_min,
        [one for one in note.poured if one[0] == name],
        [one for one in note.cast if one[0] == name],
        {who: n for who, n in note.fettled.items() if who == name},
        {who: n for who, n in note.dried.items() if who == name},
        [one for one in note.prepared if one[0] == name],
        [one for one in note.loaded if one[0] == name],
        [one for one in note.unloaded if one[0] == name],
        {who: n for who, n in note.finished.items() if who == name},
    )


def last_safe_pour(case: Case, choice: MoldChoice) -> date | None:
    """Return the latest day on which the last molds may be poured without missing the date.

    The date is the deadline if the plan keeps it, and else the plan's own
    finish. Each later day is tried by holding that session back. None where the
    date is kept without those molds, so that no day is the last.
    """
    chosen, deadline = choice.chosen, case.brief.edition.deadline
    limit = (
        (deadline - case.calendar.first).days if deadline and choice.deadline_met else chosen.finish
    )
    sessions = [len(note.poured) for note in day_notes(case, chosen) if note.poured]
    if not sessions:
        return None
    held = chosen.last_pour + np.arange(_HELD_DAYS)
    there = len(case.edition.already.molds)
    policy = chosen.policy.but(hold_from=there + sum(sessions[:-1]), hold_day=held)
    policies = [*(settled for settled, _ in case.settled), policy]
    draws = [*(tables for _, tables in case.settled), case.draws]
    line = forecast(case.workshop, policies, draws, _HELD_DAYS).lines[-1]
    good = (line.finish >= 0) & (line.finish <= limit)
    if good.all():
        return None
    safe = int(np.argmin(good))
    return case.day(int(line.last_pour[:safe].max())) if safe else None


def _finish(case: Case, workshop: Workshop, edition: Edition, molds: int) -> int:
    """Return the finish with the room or the edition changed; far off if it never ends."""
    found = found_with(case, workshop, edition, molds)
    return found.finish if found.finish >= 0 else len(workshop.minutes)


def found_with(case: Case, workshop: Workshop, edition: Edition, molds: int) -> Found:
    """Return a plan with the room or the edition changed, the quickest found."""
    changed = case.with_edition(edition)
    room = case.room(edition, workshop)
    return search(room, changed.draws, changed.target, [molds], before=case.settled)[0]


def limit_of(case: Case, choice: MoldChoice) -> Limit:
    """Return what holds the finish back most.

    Each thing is taken away whole, and the one whose absence gains most days is the limit.
    """
    edition, room, m = case.edition, case.workshop, choice.chosen.molds
    finish = _finish(case, room, edition, m)
    free_kiln = tuple(
        replace(f, capacity=NEVER, cycle_days=0, handling_min=0, gate=0) for f in edition.firings
    )
    without: dict[Limit, int] = {
        "molds": _finish(case, room, replace(edition, sets_a_session=NEVER), max(4 * m, 24)),
        "kiln": _finish(
            case, replace(room, loads_a_week=NEVER), replace(edition, firings=free_kiln), m
        ),
        "hours": _finish(case, longer_days(room, 100 * case.day_minutes), edition, m),
        "drying": _finish(
            case,
            replace(room, mold_places=NEVER, rack=NEVER),
            replace(edition, mold_dry_days=1, beside_days=0.0, ware_dry_days=1),
            m,
        ),
        "preparation": finish - edition.pour_from,
    }
    gains = {what: max(finish - day, 0) for what, day in without.items()}
    return max(gains, key=lambda what: gains[what])


def longer_days(room: Workshop, minutes: int) -> Workshop:
    """Return the room with more hands' minutes on each open day."""
    return replace(room, minutes=np.where(room.minutes > 0, room.minutes + minutes, 0))


def ladder(case: Case, chosen: Found) -> list[tuple[str, int]]:
    """Return the last day as one thing after another is counted in, from bare arithmetic to the plan.

    The first steps end with the last cast; from "ware dries" on, with the last
    finished piece.
    """
    edition, m = case.edition, chosen.molds
    terms = case.brief.edition
    pieces = edition.need - terms.proofs
    firings = tuple(
        replace(f, capacity=NEVER, cycle_days=0, handling_min=0, prep_min=0, gate=0)
        for f in edition.firings
    )
    free = replace(longer_days(case.workshop, NEVER), loads_a_week=NEVER)
    lasting = replace(edition, life=case.target + edition.conditioning + 1, firings=firings)
    worn = replace(edition, firings=firings)
    ungated = replace(edition, firings=tuple(replace(f, gate=0) for f in edition.firings))

    def casting(days_of_casting: int) -> int:
        day = case.day(edition.pour_from)
        return case.calendar.number(
            case.calendar.after(day, days_of_casting - 1 if days_of_casting else 0)
        )

    a_day = m * edition.casts_a_day
    rows = [
        (
            "bare arithmetic: one cast a mold a working day, nothing lost",
            casting(-(-pieces // a_day)),
        ),
        ("proofs, and what is lost on the way", casting(-(-case.target // a_day))),
        (
            "first casts of new molds, thrown away",
            casting(-(-(case.target + m * edition.conditioning) // a_day)),
        ),
        ("molds are poured in sessions and dry first", _last_cast(case, free, lasting, m)),
        ("worn molds are replaced", _last_cast(case, free, worn, m)),
        (
            "ware dries and shares one kiln",
            _finish(case, longer_days(case.workshop, NEVER), ungated, m),
        ),
        ("hands have so many hours", _finish(case, case.workshop, ungated, m)),
    ]
    if any(f.gate for f in edition.firings):
        first = "proofs" if case.brief.edition.proofs else "a few"
        rows.append(
            (f"{first} go through the glaze first", _finish(case, case.workshop, edition, m))
        )
    rows.append(("loads wait until they are worth firing", chosen.finish))
    return [(what, min(day, chosen.finish)) for what, day in rows]


def _last_cast(case: Case, room: Workshop, edition: Edition, molds: int) -> int:
    return found_with(case, room, edition, molds).last_cast


def firing_named(edition: Edition, name: str) -> Firing:
    """Return a firing of the route by its name."""
    return next(f for f in edition.firings if f.name == name)
