"""A pouring session minute by minute: two hands and the masters there are.

Hands mix and pour one batch at a time. The masters of a batch are taken from
the start of its mixing until its plaster has set and it has been stripped,
cleaned, reset and beveled, which takes hands again; only then can they be
poured once more. A session ends when the last batch is out of its masters. Its
setup is paid once, however little is poured.
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
    """What one batch takes.

    Parameters
    ----------
    mix_and_pour_min : float
        Hands, to weigh, soak, mix and pour. [min]
    set_min : float
        The plaster alone, until it may be opened. [min]
    turnaround_min : float
        Hands, to strip, clean, reset and bevel. [min]
    """

    mix_and_pour_min: float
    set_min: float
    turnaround_min: float

    def __post_init__(self) -> None:
        """Refuse times that no session can have."""
        require_minutes("the time to mix and pour a batch", self.mix_and_pour_min, low=1)
        require_minutes("the time plaster sets", self.set_min)
        require_minutes("the turnaround of a batch", self.turnaround_min)

    @property
    def round_min(self) -> float:
        """From the start of a batch until its masters can be poured again [min]."""
        return self.mix_and_pour_min + self.set_min + self.turnaround_min


@dataclass(frozen=True, slots=True)
class Timetable:
    """When each batch of a session is mixed and when it is opened.

    Parameters
    ----------
    starts_min : tuple of float
        When hands start on each batch, from the start of the session. [min]
    opens_min : tuple of float
        When hands start to open each batch. [min]
    length_min : float
        From the start of the setup until the last master is reset. [min]
    hands_min : float
        Of these, how long hands are at work. [min]
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


class _Turns(NamedTuple):
    """The rounds that masters have before them."""

    batches: tuple[Pattern, ...]
    masters: tuple[int, ...]

    def left(self, waiting: Sequence[int]) -> int:
        """Return the most rounds that any master has before it."""
        copies = (sum(self.batches[b][part] for b in waiting) for part in range(len(self.masters)))
        return max((-(-k // m) for k, m in zip(copies, self.masters, strict=True)), default=0)


class _State(NamedTuple):
    """A session up to some minute."""

    now: float
    starts: tuple[tuple[int, float], ...]  # batch and start, in the order of pouring
    opens: tuple[tuple[int, float], ...]
    setting: tuple[tuple[int, float], ...]  # batch and when it has set, oldest first
    free: tuple[int, ...]  # masters at hand, by part
    waiting: tuple[int, ...]  # batches not poured yet


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
        What one batch takes.
    setup_min : float
        Hands, before the first batch. [min]

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
    One master: each batch waits until the one before has been opened.

    >>> times = PourTimes(mix_and_pour_min=15, set_min=60, turnaround_min=30)
    >>> session_timetable([(1,), (1,)], [1], times, setup_min=180).starts_min
    (180.0, 285.0)

    Two masters: the second is poured while the first sets.

    >>> session_timetable([(1,), (1,)], [2], times, setup_min=180).starts_min
    (180.0, 195.0)
    """
    require_minutes("the setup of a session", setup_min)
    if not all(k <= m for batch in batches for k, m in zip(batch, masters, strict=True)):
        raise NotDoable("A batch fills more copies of a part than there are masters for it.")
    start = _State(float(setup_min), (), (), (), tuple(masters), tuple(range(len(batches))))
    turns = _Turns(tuple(batches), tuple(masters))
    bound = _least_length(start, turns, times)
    best = min(
        (_listed(start, batches, times, open_first=first) for first in (False, True)),
        key=lambda state: state.now,
    )
    best, complete = _searched(start, turns, times, best)
    return Timetable(
        starts_min=tuple(at for _, at in sorted(best.starts)),
        opens_min=tuple(at for _, at in sorted(best.opens)),
        length_min=best.now,
        hands_min=setup_min + len(batches) * (times.mix_and_pour_min + times.turnaround_min),
        least_min=best.now if complete else bound,
    )


def _pour(state: _State, batch: int, batches: Sequence[Pattern], times: PourTimes) -> _State:
    poured = state.now + times.mix_and_pour_min
    return _State(
        now=poured,
        starts=(*state.starts, (batch, state.now)),
        opens=state.opens,
        setting=(*state.setting, (batch, poured + times.set_min)),
        free=tuple(m - k for m, k in zip(state.free, batches[batch], strict=True)),
        waiting=tuple(other for other in state.waiting if other != batch),
    )


def _open(
    state: _State, batch: int, has_set: float, batches: Sequence[Pattern], times: PourTimes
) -> _State:
    begins = max(state.now, has_set)
    return _State(
        now=begins + times.turnaround_min,
        starts=state.starts,
        opens=(*state.opens, (batch, begins)),
        setting=tuple(one for one in state.setting if one[0] != batch),
        free=tuple(m + k for m, k in zip(state.free, batches[batch], strict=True)),
        waiting=state.waiting,
    )


def _pourable(state: _State, batches: Sequence[Pattern]) -> list[int]:
    """Return the batches whose masters are free, one for each kind of batch."""
    kinds = {batches[batch]: batch for batch in reversed(state.waiting)}
    return [
        batch
        for kind, batch in reversed(kinds.items())
        if all(k <= m for k, m in zip(kind, state.free, strict=True))
    ]


def _openable(state: _State, batches: Sequence[Pattern]) -> list[tuple[int, float]]:
    """Return the batches in their masters, the oldest of each kind, oldest first."""
    kinds = {batches[one[0]]: one for one in reversed(state.setting)}
    return list(reversed(kinds.values()))


def _listed(
    state: _State, batches: Sequence[Pattern], times: PourTimes, *, open_first: bool
) -> _State:
    """Return the session where hands always do the next thing that can be done."""
    while state.waiting or state.setting:
        pourable = _pourable(state, batches)
        has_set = bool(state.setting) and state.setting[0][1] <= state.now
        if pourable and not (open_first and has_set):
            state = _pour(state, pourable[0], batches, times)
        else:
            state = _open(state, *state.setting[0], batches, times)
    return state


def _searched(start: _State, turns: _Turns, times: PourTimes, best: _State) -> tuple[_State, bool]:
    """Return the shortest session found and whether every order was ruled out or tried."""
    batches, todo, steps = turns.batches, [start], 0
    while todo:
        state = todo.pop()
        steps += 1
        if steps > _SEARCH_LIMIT:
            return best, False
        if _least_length(state, turns, times) >= best.now - 1e-9:
            continue
        if not state.waiting and not state.setting:
            best = state
            continue
        opening = [_open(state, *one, batches, times) for one in _openable(state, batches)]
        pouring = [_pour(state, one, batches, times) for one in _pourable(state, batches)]
        todo += [*reversed(opening), *reversed(pouring)]  # pouring is looked into first
    return best, True


def _least_length(state: _State, turns: _Turns, times: PourTimes) -> float:
    """Return a minute before which a session that has come so far cannot end.

    Three bounds: the work that hands have left; the last batch, which still has
    to set; the part whose masters have the most rounds before them.
    """
    to_pour, to_open = len(state.waiting), len(state.waiting) + len(state.setting)
    hands = to_pour * times.mix_and_pour_min + to_open * times.turnaround_min
    if not state.waiting:
        return state.now + hands
    last = to_pour * times.mix_and_pour_min + times.set_min + times.turnaround_min
    return state.now + max(hands, last, turns.left(state.waiting) * times.round_min)
