"""How many complete molds one pouring session gives, and how many sessions it takes.

A session is as long as the studio says. What it gives follows from the batches
that a mold's parts need, from the masters there are and from the minutes that
weighing, setting and opening take.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from pourwright.errors import NotDoable, OutOfRange
from pourwright.simulation.plaster_batches import Batching, least_batches
from pourwright.simulation.rounds import (
    PourTimes,
    Timetable,
    require_minutes,
    session_timetable,
)

MOST_SETS = 60
"""Complete molds beyond which no session is searched for room."""
_LARGEST_GROUP = 6


@dataclass(frozen=True, slots=True)
class SessionCapacity:
    """What a pouring session gives.

    Parameters
    ----------
    sets : int
        Complete molds. [-]
    batching : Batching
        Their batches; ``batches[b]`` is timed by ``timetable.starts_min[b]``.
    timetable : Timetable
        When each batch is poured and opened.
    """

    sets: int
    batching: Batching
    timetable: Timetable

    def set_min(self, setup_min: float) -> int:
        """Return the hands' minutes of one mold, the setup of the session not among them. [min]"""
        return math.ceil((self.timetable.hands_min - setup_min) / self.sets)


def sets_in_a_session(
    volumes_l: Sequence[float],
    masters: Sequence[int],
    capacity_l: float,
    *,
    session_min: float,
    setup_min: float,
    times: PourTimes,
    at_most: int = MOST_SETS,
    names: Sequence[str] = (),
) -> SessionCapacity:
    """Return how many complete molds one pouring session gives.

    Parameters
    ----------
    volumes_l : sequence of float, one for each part
        What one copy of the part takes. [l]
    masters : sequence of int, one for each part
        Masters there are. [-]
    capacity_l : float
        What one batch may fill, spare taken off. [l]
    session_min : float
        How long a session may be, setup included. [min]
    setup_min : float
        Hands, before the first batch; paid once a session. [min]
    times : PourTimes
        What one batch takes.
    at_most : int
        Complete molds that are wanted. [-]
    names : sequence of str, optional
        What the parts are called, for the sentence of an error.

    Returns
    -------
    SessionCapacity
        The most complete molds whose timetable fits, with the fewest batches
        that fit. Batches may be more than the fewest of all: when parts of
        several molds share a batch, its masters wait for each other.

    Raises
    ------
    OutOfRange
        If a number cannot be one.
    NotDoable
        If a part is larger than a batch, or not one mold fits into a session;
        the sentence says how long it would have to be.

    Examples
    --------
    >>> times = PourTimes(mix_and_pour_min=15, set_min=60, turnaround_min=30)
    >>> session = sets_in_a_session([2.0, 1.5], [1, 1], 9.5,
    ...                             session_min=480, setup_min=180, times=times)
    >>> session.sets, session.timetable.length_min
    (3, 465.0)
    """
    require_minutes("the length of a session", session_min, low=1)
    if at_most < 1:
        raise OutOfRange("the molds wanted of a session", at_most, "", "1 or more")
    question = _Question(tuple(volumes_l), tuple(masters), capacity_l, setup_min, times)
    first = question.shortest(1, tuple(names))
    if first.timetable.length_min > session_min + 1e-9:
        raise NotDoable(_too_short(question, first, session_min))
    low, high, best = 1, min(at_most, question.most_sets(session_min)), first
    while low < high:  # what fits, fits with a mold less: leave that mold's parts out
        middle = (low + high + 1) // 2
        found = question.fitting(middle, session_min)
        low, high, best = (low, middle - 1, best) if found is None else (middle, high, found)
    return best


class _Question(NamedTuple):
    """What a session is asked, but for the number of molds."""

    volumes_l: tuple[float, ...]
    masters: tuple[int, ...]
    capacity_l: float
    setup_min: float
    times: PourTimes

    def batched(self, sets: int, names: Sequence[str] = ()) -> Batching:
        counts = [sets] * len(self.volumes_l)
        return least_batches(
            self.volumes_l,
            counts,
            self.masters,
            self.capacity_l,
            names=names,
            alone=tuple(map(bool, self.times.part_mixes)),
        )

    def timed(self, sets: int, batching: Batching) -> SessionCapacity:
        table = session_timetable(batching.batches, self.masters, self.times, self.setup_min)
        return SessionCapacity(sets, batching, table)

    def shortest(self, sets: int, names: Sequence[str] = ()) -> SessionCapacity:
        """Return the session as short as the groupings allow."""
        joint = self.batched(sets, names)
        return min(
            (self.timed(sets, one) for one in self.groupings(sets, joint)),
            key=lambda one: one.timetable.length_min,
        )

    def fitting(self, sets: int, session_min: float) -> SessionCapacity | None:
        """Return the session with the fewest batches that fits, if one does."""
        joint = self.batched(sets)
        for batching in sorted(self.groupings(sets, joint), key=lambda one: len(one.batches)):
            session = self.timed(sets, batching)
            if session.timetable.length_min <= session_min + 1e-9:
                return session
        return None

    def groupings(self, sets: int, joint: Batching) -> list[Batching]:
        """Return the batches of all molds together, and those of smaller groups, repeated."""
        ways = [joint]
        for group in range(min(sets - 1, _LARGEST_GROUP), 0, -1):
            whole, rest = self.batched(group), sets % group
            parts = [whole] * (sets // group) + ([self.batched(rest)] if rest else [])
            ways.append(
                Batching(
                    batches=tuple(batch for part in parts for batch in part.batches),
                    volumes_l=tuple(volume for part in parts for volume in part.volumes_l),
                    least_bound=joint.least_bound,
                )
            )
        return ways

    def most_sets(self, session_min: float) -> int:
        """Return a number of molds that hands and masters cannot exceed."""
        times = self.times
        first = times.mix_and_pour_min + times.set_min
        batches = int(times.hands * (session_min - times.set_min) // times.mix_and_pour_min)
        by_volume = math.floor(batches * self.capacity_l / math.fsum(self.volumes_l) + 1e-6)
        again = first + times.shortest_turnaround_min
        by_masters = min(self.masters) * (1 + int((session_min - first) // again))
        return max(1, min(by_volume, by_masters, MOST_SETS))


def _too_short(question: _Question, first: SessionCapacity, session_min: float) -> str:
    """Return the sentence for a session in which not even one mold can be poured."""
    table, times = first.timetable, question.times
    batches = sum(map(times.mixes_of, first.batching.batches))
    sentence = (
        f"One complete mold needs a session of {_clock(table.length_min)} "
        f"({_clock(question.setup_min)} of setup, {batches} {'batch' if batches == 1 else 'batches'}) "
        f"and a session is {_clock(session_min)}. "
    )
    at_once = question.setup_min + times.mix_and_pour_min + times.set_min
    if batches > 1 and at_once <= session_min and not any(times.part_mixes):
        whole_l = math.fsum(question.volumes_l)
        return sentence + (
            f"A larger bucket or mixer would do, one that fills all {whole_l:.1f} l "
            f"of the mold at once ({_clock(at_once)}); or a longer session, or a shorter setup."
        )
    return sentence + "A longer session would do, or a shorter setup."


def _clock(minutes: float) -> str:
    """Return minutes as a maker reads them, rounded up to the minute."""
    hours, rest = divmod(math.ceil(minutes - 1e-9), 60)
    return f"{hours} h {rest} min" if hours and rest else f"{hours} h" if hours else f"{rest} min"


def plan_sessions(
    molds: int,
    volumes_l: Sequence[float],
    masters: Sequence[int],
    capacity_l: float,
    *,
    session_min: float,
    setup_min: float,
    times: PourTimes,
    names: Sequence[str] = (),
) -> tuple[SessionCapacity, ...]:
    """Return the sessions that pour so many complete molds: full ones first.

    The first molds dry while the others are poured, so the last session is the
    one with fewer.

    Parameters
    ----------
    molds : int
        Complete molds to pour. [-]
    volumes_l, masters, capacity_l, session_min, setup_min, times, names
        As for `sets_in_a_session`.

    Returns
    -------
    tuple of SessionCapacity
        One for each session; their ``sets`` add up to ``molds``.

    Raises
    ------
    OutOfRange, NotDoable
        As `sets_in_a_session` does.

    Examples
    --------
    >>> sessions = plan_sessions(5, [2.0, 1.5], [1, 1], 9.5, session_min=480, setup_min=180,
    ...                          times=PourTimes(15, 60, 30))
    >>> [session.sets for session in sessions]
    [3, 2]
    """
    if molds < 0:
        raise OutOfRange("the molds to pour", molds, "", "0 or more")

    def at_most(wanted: int) -> SessionCapacity:
        return sets_in_a_session(
            volumes_l,
            masters,
            capacity_l,
            session_min=session_min,
            setup_min=setup_min,
            times=times,
            at_most=wanted,
            names=names,
        )

    full = at_most(MOST_SETS)
    sessions = [full] * (molds // full.sets)
    while rest := molds - sum(session.sets for session in sessions):
        sessions.append(at_most(rest))
    return tuple(sessions)
