"""A pouring session minute by minute: the hands and the masters there are.

Each pair of hands mixes and pours one batch at a time. A master is set up once in a
session, just before its first batch, so that the first batch need not wait for the
setting up of all. It is taken from then until its plaster has set and it has been
stripped, cleaned, reset and beveled, which takes hands again; only then can it be
poured once more. The session ends when the last batch has set: the last turnaround of
each master belongs to clearing away, which the minutes of the setup hold already.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from pourwright.errors import NotDoable, OutOfRange
from pourwright.simulation.plaster_batches import Pattern

_SEARCH_LIMIT = 5_000  # steps, not seconds: the same input must give the same bytes


@dataclass(frozen=True, slots=True)
class PourTimes:
    """What one batch takes, and the hands there are.

    Parameters
    ----------
    mix_and_pour_min : float
        Hands, to weigh, soak, mix and pour. [min]
    set_min : float
        The plaster alone, until it may be opened. [min]
    turnaround_min : float
        Hands, to strip, clean, reset and bevel what a batch filled. [min]
    part_turnaround_min : tuple of float
        The same for one copy of each part, where it is told by part; a batch then
        takes the sum of what it filled. Empty where it is not. [min]
    hands : int
        People who pour. [-]
    part_mixes : tuple of int
        How many batches of its own recipe one copy of each part takes, mixed one after the other
        and shared with no other part; 0 for a part that may share one. Empty where all may. [-]
    """

    mix_and_pour_min: float
    set_min: float
    turnaround_min: float
    part_turnaround_min: tuple[float, ...] = ()
    hands: int = 1
    part_mixes: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        """Refuse times that no session can have."""
        require_minutes("the time to mix and pour a batch", self.mix_and_pour_min, low=1)
        require_minutes("the time plaster sets", self.set_min)
        require_minutes("the turnaround of a batch", self.turnaround_min)
        for minutes in self.part_turnaround_min:
            require_minutes("the turnaround of a part", minutes)
        if self.hands < 1:
            raise OutOfRange("the people who pour", self.hands, "", "1 or more")

    @property
    def round_min(self) -> float:
        """From the start of a batch until its masters can be poured again [min]."""
        longest = max(1, *self.part_mixes, 0) * self.mix_and_pour_min
        return longest + self.set_min + self.turnaround_min

    @property
    def shortest_turnaround_min(self) -> float:
        """No batch is stripped and reset in less [min]."""
        return min(self.part_turnaround_min, default=self.turnaround_min)

    def mixes_of(self, batch: Pattern) -> int:
        """Return how many mixes are made for a batch, one after the other."""
        own = sum(k * m for k, m in zip(batch, self.part_mixes, strict=False))
        return max(own, 1)

    def pouring_of(self, batch: Pattern) -> float:
        """Return the hands' minutes to mix and pour a batch [min]."""
        return self.mixes_of(batch) * self.mix_and_pour_min

    def turnaround_of(self, batch: Pattern) -> float:
        """Return the hands' minutes to strip and reset what a batch filled [min]."""
        if not self.part_turnaround_min:
            return self.turnaround_min
        return math.fsum(k * t for k, t in zip(batch, self.part_turnaround_min, strict=True))


@dataclass(frozen=True, slots=True)
class Timetable:
    """When each batch of a session is mixed and when it is opened.

    Parameters
    ----------
    starts_min : tuple of float
        When hands start to mix each batch, from the start of the session. [min]
    opens_min : tuple of float
        When hands start to open each batch; of one that is opened as the room is
        cleared away, when it has set and nothing more is poured. [min]
    length_min : float
        From the start of the setup until the last batch has set. [min]
    hands_min : float
        Of these, how long hands are at work, the whole setup counted. [min]
    least_min : float
        No timetable of these batches is shorter than this. [min]
    """

    starts_min: tuple[float, ...]
    opens_min: tuple[float, ...]
    length_min: float
    hands_min: float
    least_min: float

    @property
    def proved(self) -> bool:
        """Whether it is proved that these batches take no less."""
        return self.length_min <= self.least_min + 1e-9


def require_minutes(what: str, minutes: float, *, low: float = 0) -> None:
    """Refuse what is not a number of minutes, or fewer than ``low``."""
    if not low <= minutes < math.inf:
        raise OutOfRange(what, minutes, "min", f"{low:g} or more")


class _Day(NamedTuple):
    """What does not change in a session."""

    batches: tuple[Pattern, ...]
    masters: tuple[int, ...]
    times: PourTimes
    setup_each_min: float  # of one master


class _State(NamedTuple):
    """A session up to some minute."""

    hands: tuple[float, ...]  # when each pair is free, the first first
    starts: tuple[tuple[int, float], ...]  # batch and start, in the order of pouring
    opens: tuple[tuple[int, float], ...]
    setting: tuple[tuple[int, float], ...]  # batch and when it has set, oldest first
    reset: tuple[tuple[float, ...], ...]  # for each part, when its masters can be poured again
    fresh: tuple[int, ...]  # for each part, masters that are not set up yet
    waiting: tuple[int, ...]  # batches not poured yet
    turned_min: float = 0.0  # hands' minutes spent on turnarounds


def session_timetable(
    batches: Sequence[Pattern],
    masters: Sequence[int],
    times: PourTimes,
    setup_min: float = 0.0,
) -> Timetable:
    """Return when each batch of a session is poured and opened.

    List scheduling gives a first timetable, two rules each way; a search over
    the orders of work then looks for a shorter one. For up to about six batches
    the search is complete.

    Parameters
    ----------
    batches : sequence of tuple of int
        For each batch, how many of each part it fills.
    masters : sequence of int, one for each part
        Masters there are. [-]
    times : PourTimes
        What one batch takes, and the hands.
    setup_min : float
        Hands, to set up the masters that are used and to clear away; the same for
        each master. [min]

    Returns
    -------
    Timetable
        In the order of ``batches``. Its ``least_min`` is its own length if the
        search was complete, else a bound.

    Raises
    ------
    OutOfRange
        If the setup is not a time.
    NotDoable
        If a batch fills more of a part than there are masters.

    Examples
    --------
    One master: the second batch waits until the first has been opened and the master
    reset, and the session ends when it has set.

    >>> times = PourTimes(mix_and_pour_min=15, set_min=60, turnaround_min=30)
    >>> table = session_timetable([(1,), (1,)], [1], times, setup_min=180)
    >>> table.starts_min, table.length_min
    ((180.0, 285.0), 360.0)

    Two masters, each set up in half the time: the second is set up and poured while
    the first sets.

    >>> session_timetable([(1,), (1,)], [2], times, setup_min=180).starts_min
    (90.0, 195.0)
    """
    require_minutes("the setup of a session", setup_min)
    if not all(k <= m for batch in batches for k, m in zip(batch, masters, strict=True)):
        raise NotDoable("A batch fills more copies of a part than there are masters for it.")
    copies = [sum(column) for column in zip(*batches, strict=True)]
    used = sum(min(k, m) for k, m in zip(copies, masters, strict=False))
    day = _Day(tuple(batches), tuple(masters), times, setup_min / max(used, 1))
    start = _State(
        hands=(0.0,) * times.hands,
        starts=(),
        opens=(),
        setting=(),
        reset=((),) * len(masters),
        fresh=tuple(masters),
        waiting=tuple(range(len(batches))),
    )
    bound = _least_length(start, day)
    best = min((_listed(start, day, open_first=first) for first in (False, True)), key=_length)
    best, complete = _searched(start, day, best)
    length = _length(best) if batches else float(setup_min)
    cleared = ((batch, max(has_set, best.hands[-1])) for batch, has_set in best.setting)
    return Timetable(
        starts_min=tuple(at for _, at in sorted(best.starts)),
        opens_min=tuple(at for _, at in sorted((*best.opens, *cleared))),
        length_min=length,
        hands_min=setup_min + math.fsum(map(times.pouring_of, batches)) + best.turned_min,
        least_min=length if complete else bound,
    )


def _length(state: _State) -> float:
    """Return when the last batch has set; what is still in its master is opened as the room is cleared."""
    return max((has_set for _, has_set in state.setting), default=0.0)


def _pour(state: _State, batch: int, day: _Day, *, sparing: bool = False) -> _State | None:
    """Return the session with a batch poured next; None if its masters are all in use.

    Masters are set up rather than waited for, unless hands are ``sparing`` with it.
    """
    begins, to_set_up = state.hands[0], 0
    reset, fresh = list(state.reset), list(state.fresh)
    for part, copies in enumerate(day.batches[batch]):
        at_hand = sum(sparing or at <= state.hands[0] for at in reset[part])
        new = min(max(copies - at_hand, 0), fresh[part])
        if copies - new > len(reset[part]):
            return None
        taken = reset[part][: copies - new]
        begins = max(begins, *taken, 0.0)
        reset[part] = reset[part][copies - new :]
        fresh[part] -= new
        to_set_up += new
    mixes = begins + to_set_up * day.setup_each_min
    poured = mixes + day.times.pouring_of(day.batches[batch])
    has_set = (batch, poured + day.times.set_min)
    return state._replace(
        hands=tuple(sorted((*state.hands[1:], poured))),
        starts=(*state.starts, (batch, mixes)),
        setting=tuple(sorted((*state.setting, has_set), key=lambda one: one[1])),
        reset=tuple(reset),
        fresh=tuple(fresh),
        waiting=tuple(other for other in state.waiting if other != batch),
    )


def _open(state: _State, batch: int, has_set: float, day: _Day) -> _State:
    """Return the session with a batch opened next and its masters reset."""
    pattern = day.batches[batch]
    begins, takes = max(state.hands[0], has_set), day.times.turnaround_of(pattern)
    ends = begins + takes
    return state._replace(
        hands=tuple(sorted((*state.hands[1:], ends))),
        opens=(*state.opens, (batch, begins)),
        setting=tuple(one for one in state.setting if one[0] != batch),
        reset=tuple(
            tuple(sorted((*ready, *(ends,) * k)))
            for ready, k in zip(state.reset, pattern, strict=True)
        ),
        turned_min=state.turned_min + takes,
    )


def _pourings(state: _State, day: _Day) -> list[_State]:
    """Return the session with each kind of batch poured next that can be."""
    kinds = {day.batches[batch]: batch for batch in reversed(state.waiting)}
    made = (_pour(state, batch, day) for batch in reversed(kinds.values()))
    return [one for one in made if one is not None]


def _sparing_pourings(state: _State, day: _Day) -> list[_State]:
    """Return the same with no master set up that could be waited for."""
    kinds = {day.batches[batch]: batch for batch in reversed(state.waiting)}
    made = (_pour(state, batch, day, sparing=True) for batch in reversed(kinds.values()))
    return [one for one in made if one is not None]


def _openings(state: _State, day: _Day) -> list[_State]:
    """Return the session with each kind of batch opened next, the oldest first."""
    kinds = {day.batches[one[0]]: one for one in reversed(state.setting)}
    return [_open(state, *one, day) for one in reversed(kinds.values())]


def _listed(state: _State, day: _Day, *, open_first: bool) -> _State:
    """Return the session where hands always do the next thing that can be done."""
    while state.waiting:
        pourings = _pourings(state, day)
        has_set = bool(state.setting) and state.setting[0][1] <= state.hands[0]
        if pourings and not (open_first and has_set):
            state = pourings[0]
        else:
            state = _open(state, *state.setting[0], day)
    return state


def _searched(start: _State, day: _Day, best: _State) -> tuple[_State, bool]:
    """Return the shortest session found and whether every order was ruled out or tried."""
    todo, steps = [start], 0
    while todo:
        state = todo.pop()
        steps += 1
        if steps > _SEARCH_LIMIT:
            return best, False
        if _least_length(state, day) >= _length(best) - 1e-9:
            continue
        if not state.waiting:
            best = state
            continue
        pourings = _pourings(state, day)
        waiting = [one for one in _sparing_pourings(state, day) if one not in pourings]
        # pouring is looked into first
        todo += [*reversed(_openings(state, day)), *reversed(waiting), *reversed(pourings)]
    return best, True


def _least_length(state: _State, day: _Day) -> float:
    """Return a minute before which a session that has come so far cannot end.

    Three bounds: what is setting already; the work that hands have left before the last
    batch is poured; the part whose masters have the most rounds before them.
    """
    times = day.times
    last = _length(state)
    if not state.waiting:
        return last
    mix, turn = times.mix_and_pour_min, times.shortest_turnaround_min
    opens, rounds = 0, 1
    for part, masters in enumerate(day.masters):
        wanted = [day.batches[b][part] for b in state.waiting]
        copies = sum(wanted)
        at_hand = state.fresh[part] + len(state.reset[part])
        largest = max((batch[part] for batch in day.batches), default=1)
        opens = max(opens, -(-(copies - at_hand) // max(largest, 1)))
        rounds = max(rounds, -(-copies // masters))
    mixing = math.fsum(times.pouring_of(day.batches[b]) for b in state.waiting)
    work = math.fsum(state.hands) + mixing + opens * turn
    hands = work / len(state.hands) + times.set_min
    turns = state.hands[0] + rounds * (mix + times.set_min) + (rounds - 1) * turn
    return max(last, hands, turns)
