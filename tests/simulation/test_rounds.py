"""Timetables: nothing overlaps, none is longer than need be, and a session holds what it says."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourwright.errors import NotDoable, OutOfRange
from pourwright.simulation.plaster_batches import Pattern, least_batches
from pourwright.simulation.rounds import PourTimes, Timetable, session_timetable
from pourwright.simulation.sessions import (
    SessionCapacity,
    plan_sessions,
    sets_in_a_session,
)
from tests.ledger.toy import rounds

TIMES = PourTimes(mix_and_pour_min=15, set_min=60, turnaround_min=30)


def check_timetable(
    table: Timetable,
    batches: Sequence[Pattern],
    masters: Sequence[int],
    times: PourTimes,
    setup_min: float,
) -> None:
    """Assert what a session of one pair of hands obeys, from its starts alone."""
    pours = [(at, at + times.mix_and_pour_min) for at in table.starts_min]
    opens = [
        (at, at + times.turnaround_of(batch))
        for at, batch in zip(table.opens_min, batches, strict=True)
    ]
    assert len(pours) == len(opens) == len(batches)
    poured_out = max((end for _, end in pours), default=0.0)
    in_session = [one for one in opens if one[0] < poured_out]  # the others: while clearing away
    work = sorted([*pours, *in_session])
    assert all(before[1] <= after[0] + 1e-9 for before, after in itertools.pairwise(work))
    for (_, poured), (opened, _) in zip(pours, opens, strict=True):
        assert opened >= poured + times.set_min - 1e-9
    for begins, _ in pours:  # when a batch begins is when masters are most in use
        for part, owned in enumerate(masters):
            in_use = sum(
                batch[part]
                for batch, (taken, _), (_, free) in zip(batches, pours, opens, strict=True)
                if taken <= begins < free
            )
            assert in_use <= owned
    assert table.length_min == pytest.approx(poured_out + times.set_min if pours else setup_min)
    spent = setup_min + sum(end - begin for begin, end in work)
    assert table.hands_min == pytest.approx(spent)
    assert table.least_min <= table.length_min + 1e-9


def shortest_of_all(
    batches: Sequence[Pattern], masters: Sequence[int], times: PourTimes, setup_min: float
) -> float:
    """Return the shortest session by trying every order of setting up, pouring and opening."""
    copies = [sum(batch[part] for batch in batches) for part in range(len(masters))]
    each = setup_min / max(sum(map(min, copies, masters)), 1)

    def ends(
        now: float,
        waiting: frozenset[int],
        setting: frozenset[tuple[int, float]],
        reset: tuple[int, ...],
        fresh: tuple[int, ...],
    ) -> float:
        if not waiting:
            return max((has_set for _, has_set in setting), default=setup_min)
        found = math.inf
        for batch in waiting:
            ways = (
                range(max(k - ready, 0), min(k, new) + 1)
                for k, ready, new in zip(batches[batch], reset, fresh, strict=True)
            )
            for set_up in itertools.product(*ways):
                done = now + sum(set_up) * each + times.mix_and_pour_min
                sets = setting | {(batch, done + times.set_min)}
                ready = tuple(
                    r - (k - n) for r, k, n in zip(reset, batches[batch], set_up, strict=True)
                )
                left = tuple(f - n for f, n in zip(fresh, set_up, strict=True))
                found = min(found, ends(done, waiting - {batch}, sets, ready, left))
        for batch, has_set in setting:
            back = tuple(m + k for m, k in zip(reset, batches[batch], strict=True))
            done = max(now, has_set) + times.turnaround_of(batches[batch])
            found = min(found, ends(done, waiting, setting - {(batch, has_set)}, back, fresh))
        return found

    none_yet = (0,) * len(masters)
    return ends(0.0, frozenset(range(len(batches))), frozenset(), none_yet, tuple(masters))


pour_times = st.builds(
    PourTimes,
    mix_and_pour_min=st.integers(1, 30),
    set_min=st.integers(0, 90),
    turnaround_min=st.integers(0, 45),
)
sessions = st.lists(st.integers(1, 2), min_size=1, max_size=3).flatmap(
    lambda masters: st.tuples(
        st.lists(
            st.tuples(*(st.integers(0, m) for m in masters)).filter(any), min_size=0, max_size=4
        ),
        st.just(masters),
    )
)
long_sessions = st.lists(st.integers(1, 3), min_size=1, max_size=3).flatmap(
    lambda masters: st.tuples(
        st.lists(
            st.tuples(*(st.integers(0, m) for m in masters)).filter(any), min_size=5, max_size=12
        ),
        st.just(masters),
    )
)


@given(sessions, pour_times, st.integers(0, 90), st.booleans())
@settings(max_examples=120)
def test_a_session_is_as_short_as_trying_every_order_finds(
    case: tuple[list[Pattern], list[int]], times: PourTimes, setup_min: int, by_part: bool
) -> None:
    """The second method knows nothing of rules or bounds."""
    batches, masters = case
    if by_part:
        told = tuple(float(10 + 7 * part) for part in range(len(masters)))
        times = replace(times, part_turnaround_min=told)

    table = session_timetable(batches, masters, times, setup_min)

    check_timetable(table, batches, masters, times, setup_min)
    assert table.proved
    assert table.length_min == pytest.approx(shortest_of_all(batches, masters, times, setup_min))


@given(sessions, pour_times)
@settings(max_examples=60)
def test_another_pair_of_hands_never_makes_a_session_longer(
    case: tuple[list[Pattern], list[int]], times: PourTimes
) -> None:
    """They may stand by."""
    batches, masters = case
    alone = session_timetable(batches, masters, times)
    together = session_timetable(batches, masters, replace(times, hands=2))

    assert together.length_min <= alone.length_min + 1e-9


def test_two_pairs_of_hands_pour_side_by_side() -> None:
    """Two masters: both are full after 15 min and have set after 75; one master gains nothing."""
    two = replace(TIMES, hands=2)

    assert session_timetable([(1,)] * 2, [2], two).length_min == 15 + 60
    assert session_timetable([(1,)] * 2, [1], two).length_min == 15 + 60 + 30 + 15 + 60


def test_ten_molds_of_five_parts_are_poured_in_four_days() -> None:
    """By pencil: a master of each part is set up, filled, stripped and filled again every 105 min.

    30 min of setup, three batches of 15 min a mold, 30 min to strip and reset each: the third
    round has set before 7 h are over, and three molds a day are ten in four days.
    """
    table = session_timetable(
        [(1, 1, 0, 0, 0), (0, 0, 1, 1, 0), (0, 0, 0, 0, 1)] * 3, [1] * 5, TIMES, setup_min=30
    )
    assert table.length_min <= 420
    days = plan_sessions(
        10, [1.9] * 4 + [3.0], [1] * 5, 4.0, session_min=420, setup_min=30, times=TIMES
    )
    assert [day.sets for day in days] == [3, 3, 3, 1]


def test_two_rounds_fit_six_hours_with_three_of_setup() -> None:
    """By pencil: 3 h of setup, 105 min for the first round, 15 to pour the second and 60 to set are 6 h.

    Its opening and reset belong to clearing away, so that no mold takes a day of its own.
    """
    volumes, bucket_l = [3.0], 10.0
    two = sets_in_a_session(
        volumes, [1], bucket_l, session_min=360, setup_min=180, times=TIMES, at_most=5
    )
    four = sets_in_a_session(
        volumes, [2], bucket_l, session_min=360, setup_min=180, times=TIMES, at_most=5
    )

    assert (two.sets, two.timetable.length_min) == (2, 360)
    assert four.sets == 4


@pytest.mark.rounds
@given(long_sessions, pour_times, st.integers(0, 240))
@settings(max_examples=rounds(25, 60))
def test_a_long_session_obeys_hands_plaster_and_masters(
    case: tuple[list[Pattern], list[int]], times: PourTimes, setup_min: int
) -> None:
    """Where not every order can be tried the bound says how far off it may be."""
    batches, masters = case

    check_timetable(
        session_timetable(batches, masters, times, setup_min), batches, masters, times, setup_min
    )


def test_one_master_takes_a_whole_round_for_each_batch() -> None:
    """Rounds of 15 + 60 + 30 min after the setup; the last reset is part of clearing away."""
    table = session_timetable([(1,)] * 4, [1], TIMES, setup_min=180)

    assert table.length_min == 180 + 3 * (15 + 60 + 30) + 15 + 60
    assert table.hands_min == 180 + 4 * 15 + 3 * 30


def test_the_first_batch_starts_when_its_own_setup_is_done() -> None:
    """Three masters in 90 min: the first is mixed for after 30, the last has set 15 + 60 after 90 + 2 x 15."""
    table = session_timetable([(1, 0, 0), (0, 1, 0), (0, 0, 1)], [1] * 3, TIMES, setup_min=90)

    assert min(table.starts_min) == 30
    assert table.length_min == 90 + 2 * 15 + 15 + 60


def test_masters_without_limit_leave_hands_as_the_only_limit() -> None:
    """
    Two batches of 15 min poured one after the other set side by side; the second
    has set 90 min after the start.
    """
    assert session_timetable([(1,)] * 2, [2], TIMES).length_min == 15 + 15 + 60


def test_hands_that_never_wait_take_the_sum_of_their_work() -> None:
    """Two machines in a row with every job alike and no setting: the hands are the only one."""
    times = PourTimes(mix_and_pour_min=10, set_min=0, turnaround_min=20)

    assert session_timetable([(1,)] * 5, [1], times).length_min == 5 * 10 + 4 * 20


def test_a_batch_beyond_the_masters_is_refused() -> None:
    """Nobody can pour two copies into one master."""
    with pytest.raises(NotDoable, match="masters"):
        session_timetable([(2,)], [1], TIMES)


def test_parts_that_share_a_batch_across_molds_wait_for_each_other() -> None:
    """
    Of three equal parts two fit into a batch. The fewest batches for two molds are
    three, but each waits for the one before: two rounds of 105 min and a pour that sets.
    Four batches, mold by mold, take turns and end sooner, so the longer list is poured.
    """
    fewest = least_batches([1.0] * 3, [2] * 3, [1] * 3, 2.0)
    assert len(fewest.batches) == 3
    assert session_timetable(fewest.batches, [1] * 3, TIMES).length_min == 2 * 105 + 75

    session = sets_in_a_session([1.0] * 3, [1] * 3, 2.0, session_min=225, setup_min=0, times=TIMES)

    assert session.sets == 2
    assert len(session.batching.batches) == 4
    assert session.timetable.length_min == 225
    assert not session.batching.proved  # three would do, were there more time


molds = st.integers(1, 4).flatmap(
    lambda parts: st.tuples(
        st.lists(st.floats(0.2, 4.0), min_size=parts, max_size=parts),
        st.lists(st.integers(1, 3), min_size=parts, max_size=parts),
        st.floats(4.0, 12.0),
    )
)


def capacity(
    mold: tuple[list[float], list[int], float], session_min: float, setup_min: float = 60
) -> SessionCapacity:
    """Return what a session gives of a mold."""
    volumes, masters, room = mold
    return sets_in_a_session(
        volumes, masters, room, session_min=session_min, setup_min=setup_min, times=TIMES
    )


@pytest.mark.rounds
@given(molds, st.integers(600, 900))
@settings(max_examples=rounds(4, 40))
def test_a_session_holds_what_it_says_and_not_one_mold_more(
    mold: tuple[list[float], list[int], float], session_min: int
) -> None:
    """One more would need more hands or rounds than there are, by the bounds or by trying."""
    volumes, masters, room = mold

    session = capacity(mold, session_min)

    assert session.timetable.length_min <= session_min + 1e-9
    check_timetable(session.timetable, session.batching.batches, masters, TIMES, 60)
    totals = [sum(column) for column in zip(*session.batching.batches, strict=True)]
    assert totals == [session.sets] * len(volumes)
    counts = [session.sets + 1] * len(volumes)
    one_more = least_batches(volumes, counts, masters, room)
    table = session_timetable(one_more.batches, masters, TIMES, 60)
    assert table.length_min > session_min


@pytest.mark.rounds
@given(molds, st.integers(600, 800), st.integers(0, 200))
@settings(max_examples=rounds(2, 30))
def test_more_time_or_less_setup_never_gives_fewer_molds(
    mold: tuple[list[float], list[int], float], session_min: int, more_min: int
) -> None:
    """What fits into a session fits into a longer one."""
    sets = capacity(mold, session_min).sets

    assert capacity(mold, session_min + more_min).sets >= sets
    assert capacity(mold, session_min, setup_min=max(0, 60 - more_min)).sets >= sets


@pytest.mark.rounds
@given(molds, st.integers(600, 800))
@settings(max_examples=rounds(2, 30))
def test_another_set_of_masters_never_gives_fewer_molds(
    mold: tuple[list[float], list[int], float], session_min: int
) -> None:
    """A master may stay on the shelf."""
    volumes, masters, room = mold

    richer = capacity((volumes, [m + 1 for m in masters], room), session_min)

    assert richer.sets >= capacity(mold, session_min).sets


@pytest.mark.rounds
@given(molds, st.integers(0, 30))
@settings(max_examples=rounds(6, 30))
def test_sessions_pour_every_mold(mold: tuple[list[float], list[int], float], wanted: int) -> None:
    """Full sessions first, then what is left."""
    volumes, masters, room = mold
    planned = plan_sessions(
        wanted, volumes, masters, room, session_min=600, setup_min=60, times=TIMES
    )
    sets = [session.sets for session in planned]

    assert sum(sets) == wanted
    assert sets == sorted(sets, reverse=True)
    assert all(session.timetable.length_min <= 600 for session in planned)


def test_a_session_too_short_for_one_mold_says_what_would_do() -> None:
    """180 of setup, two batches and the set of the last; in one batch 180 + 75 min."""
    with pytest.raises(NotDoable) as caught:
        sets_in_a_session([6.0, 5.0], [1, 1], 9.0, session_min=260, setup_min=180, times=TIMES)

    assert str(caught.value) == (
        "One complete mold needs a session of 4 h 30 min (3 h of setup, 2 batches) "
        "and a session is 4 h 20 min. A larger bucket or mixer would do, one that fills all 11.0 l "
        "of the mold at once (4 h 15 min); or a longer session, or a shorter setup."
    )


def test_a_session_shorter_than_its_setup_is_refused() -> None:
    """No bucket helps where the setup alone takes the session."""
    with pytest.raises(NotDoable, match="A longer session would do, or a shorter setup"):
        sets_in_a_session([6.0], [1], 9.0, session_min=120, setup_min=180, times=TIMES)


def test_no_more_molds_than_are_wanted_are_poured() -> None:
    """A day has room for six; three are asked for."""
    assert capacity(([1.0], [3], 9.0), 900).sets > 3
    assert (
        sets_in_a_session(
            [1.0], [3], 9.0, session_min=900, setup_min=60, times=TIMES, at_most=3
        ).sets
        == 3
    )


@pytest.mark.parametrize(
    ("mix", "sets", "turn"),
    [(0.0, 60, 30), (-5, 60, 30), (15, -1, 30), (15, 60, math.nan), (math.inf, 60, 30)],
)
def test_times_that_cannot_be_are_refused(mix: float, sets: float, turn: float) -> None:
    """A batch takes at least a minute of hands."""
    with pytest.raises(OutOfRange):
        PourTimes(mix, sets, turn)


@pytest.mark.parametrize(("session_min", "setup_min"), [(0, 0), (math.nan, 0), (600, -1)])
def test_sessions_that_cannot_be_are_refused(session_min: float, setup_min: float) -> None:
    """Nothing but our own errors leaves the module."""
    with pytest.raises(OutOfRange):
        sets_in_a_session(
            [1.0], [1], 9.0, session_min=session_min, setup_min=setup_min, times=TIMES
        )
