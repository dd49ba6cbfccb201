"""One run of the workshop as expected, day by day: what must hold of any run, and what follows by hand."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pourwright.simulation.draws import Draws
from pourwright.simulation.forecast import forecast
from pourwright.simulation.outcome import LineOutcome
from pourwright.simulation.problem import (
    NEVER,
    DayNote,
    Edition,
    Firing,
    Policy,
    Workshop,
)
from tests.ledger.toy import rounds
from tests.simulation.rooms import (
    FREE,
    WEEK,
    WORKDAYS,
    policies,
    room,
    rooms,
    tables,
)

BARE = Edition("tile", 1, (FREE,), life=1000, conditioning=0, sets_a_session=NEVER)
"""Nothing is lost, nothing takes minutes, molds and ware are dry the same day or the next."""


def played(
    workshop: Workshop, policy: Policy, draws: Draws | None = None
) -> tuple[LineOutcome, list[DayNote], Draws]:
    """Run a room once and keep the notes; as many casts as expected, if the policy does not say."""
    made, target = tables(workshop.editions[0])
    policy = policy if policy.target else policy.but(target=target)
    outcome = forecast(workshop, [policy], [draws or made], 1, notes=True)
    return outcome.lines[0], outcome.notes, draws or made


def each_day(notes: list[DayNote], count: Callable[[DayNote], int]) -> np.ndarray:
    """Return a running count over the days."""
    return np.cumsum([count(note) for note in notes])


def of_firing(name: str, what: str, at: int = 2) -> Callable[[DayNote], int]:
    return lambda note: sum(one[at] for one in getattr(note, what) if one[1] == name)


def finished(note: DayNote) -> int:
    return sum(note.finished.values())


def counted(note: DayNote) -> int:
    """Casts that are meant for pieces."""
    return sum(good for _, _, good in note.cast)


def test_the_compiler_is_loaded_by_the_first_forecast() -> None:
    """The studio's server imports the forecast for its records, and is to stay small."""
    asked = "import sys, pourwright.simulation.odds, pourwright.simulation.search; print('numba' in sys.modules)"
    told = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)

    assert told.stdout == "False\n"


# --- any run


@pytest.mark.rounds
@settings(max_examples=rounds(25, 120))
@given(rooms(), policies)
def test_no_piece_is_made_or_lost_but_by_the_tables(workshop, policy):
    """
    At the end of every day the pieces past each stage are those that came to it less those that
    the stage's table loses, counted here from the casts on and not from what the run says it holds.
    """
    edition = workshop.editions[0]
    line, notes, draws = played(workshop, policy)
    cast = each_day(notes, counted)
    formed, wait = draws.cast_good[0][cast], max(edition.ware_dry_days, 1)
    dried = draws.dry_good[0][np.concatenate([np.zeros(wait, int), formed])[: len(notes)]]

    # Before pouring may begin a day is passed over; nothing can be drying then.
    assert (each_day(notes, lambda note: sum(note.dried.values())) == dried).all()
    came = dried
    for firing, table in zip(edition.firings, draws.fired_good, strict=True):
        if firing.prep_min:
            prepared = each_day(notes, of_firing(firing.name, "prepared"))
            assert (prepared <= came).all()
            came = np.concatenate([[0], prepared[:-1]])  # what was glazed today waits a night
        loaded = each_day(notes, of_firing(firing.name, "loaded"))
        out = each_day(notes, of_firing(firing.name, "unloaded"))
        good = each_day(notes, of_firing(firing.name, "unloaded", 3))
        assert (loaded <= came).all()
        assert (out <= loaded).all()
        assert (good == table[0][out]).all()
        came = good
    done = each_day(notes, finished)
    assert (done <= came).all()
    assert cast[-1] == line.casts[0]
    assert done[-1] == line.good[0]
    assert line.finish[0] < 0 or done[line.finish[0]] >= edition.need > done[line.finish[0] - 1]


@pytest.mark.rounds
@settings(max_examples=rounds(25, 120))
@given(rooms(), policies)
def test_the_kiln_holds_one_load_for_its_days_and_a_week_holds_so_many(workshop, policy):
    edition = workshop.editions[0]
    by_name = {firing.name: firing for firing in edition.firings}
    _, notes, _ = played(workshop, policy)
    open_days = np.flatnonzero(workshop.minutes)
    inside: tuple[str, int, int] | None = None
    weeks: Counter[int] = Counter()
    for note in notes:
        for _, name, count, _ in note.unloaded:
            assert inside is not None
            assert (name, count) == inside[:2]
            cool = inside[2] + max(by_name[name].cycle_days, 1)
            assert note.day == open_days[open_days >= cool][0]
            inside = None
        assert len(note.loaded) <= 1
        for _, name, count, _ in note.loaded:
            assert inside is None
            assert 0 < count <= by_name[name].capacity
            inside = (name, count, note.day)
            weeks[(workshop.first_weekday + note.day) // 7] += 1
    assert max(weeks.values(), default=0) <= workshop.loads_a_week


@pytest.mark.rounds
@settings(max_examples=rounds(25, 120))
@given(rooms(), policies)
def test_nothing_passes_a_gate_before_the_first_pieces_are_out(workshop, policy):
    edition = workshop.editions[0]
    assume(any(firing.gate for firing in edition.firings))
    _, notes, _ = played(workshop, policy)
    for firing in edition.firings:
        out_before = np.concatenate([[0], each_day(notes, of_firing(firing.name, "unloaded"))[:-1]])
        for what in ("prepared", "loaded"):
            begun = each_day(notes, of_firing(firing.name, what))
            shut = out_before + _out_today(notes, firing.name) < firing.gate
            assert (begun[shut] <= firing.gate).all()


def _out_today(notes: list[DayNote], name: str) -> np.ndarray:
    return np.array([of_firing(name, "unloaded")(note) for note in notes])


@pytest.mark.rounds
@settings(max_examples=rounds(25, 120))
@given(rooms(), policies)
def test_every_mold_is_dried_conditioned_and_worn_as_it_should_be(workshop, policy):
    edition = workshop.editions[0]
    line, notes, _ = played(workshop, policy)
    ready: dict[int, int] = {}
    casts: Counter[int] = Counter()
    for note in notes:
        today: Counter[int] = Counter()
        assert len(note.poured) <= edition.sets_a_session
        for _, number, dry_on in note.poured:
            assert number == len(ready)
            assert note.day >= edition.pour_from
            assert dry_on == note.day + edition.mold_dry_days
            ready[number] = dry_on
        for _, number, good in note.cast:
            assert note.day >= ready[number]
            assert good == (casts[number] >= edition.conditioning)
            casts[number] += 1
            today[number] += 1
        assert max(today.values(), default=0) <= edition.casts_a_day
        assert len(today) <= policy.molds
    assert max(casts.values(), default=0) <= edition.life
    assert len(ready) == line.molds[0]
    assert sum(min(n, edition.conditioning) for n in casts.values()) == line.conditioning[0]


@pytest.mark.rounds
@settings(max_examples=rounds(25, 120))
@given(rooms(), policies)
def test_no_day_has_more_work_than_minutes_and_a_closed_day_has_none(workshop, policy):
    edition = workshop.editions[0]
    prep = {firing.name: firing.prep_min for firing in edition.firings}
    handling = {firing.name: firing.handling_min for firing in edition.firings}
    _, notes, _ = played(workshop, policy)
    for note in notes:
        spent = (
            finished(note) * edition.finish_min
            + sum(count * prep[name] for _, name, count in note.prepared)
            + sum(handling[name] for _, name, *_ in note.loaded)
            + bool(note.poured) * edition.setup_min + len(note.poured) * edition.set_min
            + len(note.cast) * edition.cast_min + counted(note) * edition.fettle_min
        )  # fmt: skip
        assert spent == note.used_min <= note.minutes
        if not note.minutes:
            work = (note.poured, note.cast, note.prepared, note.loaded, note.unloaded)
            assert not any(work)
            assert not finished(note)


@settings(max_examples=15)
@given(rooms(), st.lists(policies, min_size=2, max_size=9))
def test_a_run_is_the_same_alone_and_beside_others(workshop, several):
    draws, target = tables(workshop.editions[0])
    several = [one.but(target=target) for one in several]
    columns = {
        field.name: np.array([getattr(one, field.name) for one in several])
        for field in fields(Policy)
        if field.name != "capacity_limits"
    }
    together = forecast(workshop, [Policy(**columns)], [draws], len(several))
    for at, policy in enumerate(several):
        alone = forecast(workshop, [policy], [draws], 1)
        assert alone.busiest_min[0] == together.busiest_min[at]
        for name, one, all_of_them in _figures(alone.lines[0], together.lines[0]):
            assert np.array_equal(one[..., 0], all_of_them[..., at]), name


def _figures(
    alone: LineOutcome, together: LineOutcome
) -> Iterator[tuple[str, np.ndarray, np.ndarray]]:
    for field in fields(LineOutcome):
        if getattr(alone, field.name) is not None:
            yield field.name, getattr(alone, field.name), getattr(together, field.name)


# --- by hand


@pytest.mark.parametrize(("molds", "weeks"), [(1, 40), (10, 4)])
def test_the_bare_arithmetic_of_the_trade(molds, weeks):
    """
    200 pieces, one cast a mold a working day, five days a week, nothing lost, no drying, no kiln
    to wait for: 1 mold takes 40 weeks and 10 molds 4. Common practice, no source.
    """
    edition = replace(BARE, need=200)

    line, _, _ = played(room(edition, week=WORKDAYS), Policy(molds=molds))

    assert line.casts[0] == 200
    assert line.last_cast[0] == 7 * (weeks - 1) + 4  # the Friday of that week


def test_a_run_that_the_kiln_holds_back_takes_a_cycle_a_load():
    """
    400 pieces, a kiln of 40 that takes two days a load and never stands empty: ten bisque and ten
    glaze loads are 20 cycles of two days. Molds dry for seven days and ware for five, so the first
    load goes in on day 12 and the last comes out on day 12 + 4 * 10 = 52. Closed form: a load that
    goes in on day d is out on day d + 2, when the next one follows.
    """
    kiln = tuple(Firing(name, 40, 2, 1.0) for name in ("bisque", "glaze"))
    edition = replace(BARE, need=400, firings=kiln, mold_dry_days=7, ware_dry_days=5)

    line, notes, _ = played(room(edition), Policy(molds=400))

    assert [n.day for n in notes if n.cast] == [7]
    assert [n.day for n in notes if n.loaded] == list(range(12, 52, 2))
    assert line.finish[0] == 52


@pytest.mark.rounds
@settings(max_examples=rounds(20, 100))
@given(st.integers(1, 40), st.integers(1, 7))
def test_so_many_loads_a_week_make_so_many_weeks(loads, a_week):
    """Loads of one piece, a day each, from a Monday on: the n-th is the ((n - 1) mod w)-th of its week."""
    edition = replace(BARE, need=loads, firings=(Firing("glaze", 1, 1, 1.0),))

    line, _, _ = played(room(edition, loads_a_week=a_week, first_weekday=6), Policy(molds=loads))

    weeks, day = divmod(loads - 1, a_week)
    assert line.finish[0] == 1 + 7 * weeks + day + 1  # day 0 is a Sunday, for casting and drying


def test_a_mold_dries_longer_for_each_that_is_wet_beside_it():
    """0.4 days for each: with two beside it a mold dries 6 days in place of 5, with five beside it 7."""
    edition = replace(BARE, need=6, mold_dry_days=5, beside_days=0.4, sets_a_session=3)

    _, notes, _ = played(room(edition), Policy(molds=6))

    poured = [(note.day, ready - note.day) for note in notes for _, _, ready in note.poured]
    assert poured == [(0, 6)] * 3 + [(1, 7)] * 3


def test_molds_of_another_edition_that_are_wet_slow_each_other():
    """By pencil: the bowl's three are slowed by two at 0.4 days, the cup's two by three and by one at 0.5."""
    bowl = replace(BARE, name="bowl", need=3, mold_dry_days=5, beside_days=0.4, sets_a_session=3)
    cup = replace(bowl, name="cup", need=2, beside_days=0.5)
    timed = replace(cup, name="timed", beside_days=0.0)
    shared = replace(room(bowl), editions=(bowl, cup, timed))
    made = [tables(one) for one in shared.editions]
    policies = [
        Policy(molds=one.need, target=target)
        for one, (_, target) in zip(shared.editions, made, strict=True)
    ]

    notes = forecast(shared, policies, [draws for draws, _ in made], 1, notes=True).notes

    dry = {(who, ready - note.day) for note in notes for who, _, ready in note.poured}
    assert dry == {("bowl", 6), ("cup", 7), ("timed", 5)}


@pytest.mark.parametrize(
    ("a_week", "loads"), [(0.5, [1, 0, 1, 0, 1, 0]), (2.5, [3, 2, 3, 2, 3, 2])]
)
def test_half_a_load_a_week_is_one_in_two_weeks(a_week, loads):
    """Ware for twenty loads waits from a Monday on: what one week takes too much, the next lacks."""
    edition = replace(BARE, need=20, firings=(Firing("glaze", 1, 1, 1.0),))

    _, notes, _ = played(room(edition, loads_a_week=a_week, first_weekday=6), Policy(molds=20))

    weeks = [(note.day - 1) // 7 for note in notes for _ in note.loaded]
    assert [weeks.count(week) for week in range(6)] == loads


def test_hands_cast_as_many_as_they_have_minutes_for():
    """Two hours, 10 min a cast and 20 min of fettling: four a day of ten molds, so 40 take ten days."""
    edition = replace(BARE, need=40, cast_min=10, fettle_min=20)

    line, notes, _ = played(room(edition, 120), Policy(molds=10))

    assert line.last_cast[0] == 9
    assert [len(n.cast) for n in notes][:11] == [4] * 10 + [0]


def test_worn_molds_are_replaced_in_time():
    """One place, molds of ten casts, dry after seven days: with the replacement poured ahead no day is lost."""
    edition = replace(BARE, need=50, life=10, mold_dry_days=7, sets_a_session=1)

    line, _, _ = played(room(edition, week=WORKDAYS), Policy(molds=1, lead=6))

    assert line.molds[0] == 5
    assert line.last_cast[0] == 7 + 7 * 10 - 3  # 50 working days from day 7, a Monday, to a Friday


def test_a_replacement_poured_when_the_mold_is_worn_costs_its_drying():
    """Poured on the day after the tenth cast and dry seven days later: 17 days a mold of ten casts."""
    edition = replace(BARE, need=50, life=10, mold_dry_days=7, sets_a_session=1)

    line, notes, _ = played(room(edition), Policy(molds=1, lead=0))

    assert [n.day for n in notes if n.poured] == [0, 17, 34, 51, 68]
    assert line.last_cast[0] == 68 + 7 + 9


def test_the_piece_that_is_lost_is_the_one_in_its_turn():
    """
    Ten pieces in loads of four, and the sixth to come to the kiln is the one that cracks: it is in
    the second load, the fifth to the eighth, for whatever comes first goes first.
    """
    edition = replace(BARE, need=9, firings=(Firing("glaze", 4, 1, 0.9),))
    draws, _ = tables(edition)
    counts = np.arange(draws.pieces + 1)
    sixth = (counts - (counts >= 6))[None, :]
    tables_of_one = np.array([sixth])
    draws = replace(draws, fired_good=tables_of_one, fired_spoiled=tables_of_one)

    _, notes, _ = played(room(edition), Policy(molds=2, target=10), draws)

    loads = [(count, good) for n in notes for _, _, count, good in n.unloaded]
    assert loads == [(4, 4), (4, 3), (2, 2)]


def test_ware_dries_and_the_kiln_cools_on_closed_days():
    """Cast on a Thursday, dry on Saturday; loaded on Monday for five days, out on the Monday after."""
    edition = replace(BARE, need=1, firings=(Firing("glaze", 4, 5, 1.0),), ware_dry_days=2)

    line, notes, _ = played(room(edition, week=WORKDAYS, first_weekday=3), Policy(molds=1))

    assert [n.day for n in notes if n.dried] == [2]  # Saturday
    assert [n.day for n in notes if n.loaded] == [4]  # Monday
    assert line.finish[0] == 11  # five days later it is a Saturday again


@pytest.mark.parametrize("casts", [7, 8])
def test_two_casts_a_day_are_dried_to_the_last(casts):
    """With an odd number the last day has one cast; it is dried and fired as the others are."""
    edition = replace(BARE, need=casts, casts_a_day=2, ware_dry_days=3)

    line, notes, _ = played(room(edition), Policy(molds=1))

    assert [len(n.cast) for n in notes][:4] == [2, 2, 2, 2 - casts % 2]
    assert (
        line.finish[0] == 3 + 3 + 1
    )  # the fourth day, dry after three, out of the kiln the day after


def test_the_first_casts_of_every_mold_are_thrown_away():
    """Three molds of six casts, two for conditioning each: 4 a mold, so 12 pieces and 6 thrown away."""
    edition = replace(BARE, need=12, life=6, conditioning=2)

    line, notes, _ = played(room(edition), Policy(molds=3))

    assert (line.molds[0], line.conditioning[0], line.casts[0]) == (3, 6, 12)
    assert [counted(n) for n in notes][:7] == [0, 0, 3, 3, 3, 3, 0]


def test_a_gate_holds_the_glaze_until_its_pieces_are_out():
    """Two open the glaze: they are glazed on day 1 and fired from day 2 to 4; the others follow then."""
    glaze = Firing("glaze", 20, 2, 1.0, prep_min=10, gate=2)
    edition = replace(BARE, need=12, firings=(glaze,))

    _, notes, _ = played(room(edition, 600), Policy(molds=12))

    assert [(n.day, n.prepared[0][2]) for n in notes if n.prepared] == [(1, 2), (4, 10)]
    assert [(n.day, n.loaded[0][2]) for n in notes if n.loaded] == [(2, 2), (5, 10)]


def test_a_load_that_is_not_full_waits_as_long_as_it_is_told():
    """One mold, one piece a day, loads of five: told to wait two days, a load goes in with what is there."""
    edition = replace(BARE, need=6, firings=(Firing("glaze", 5, 1, 1.0),))

    patient, _, _ = played(room(edition), Policy(molds=1, part_load_wait=NEVER))
    _, notes, _ = played(room(edition), Policy(molds=1, part_load_wait=2))

    assert patient.loads[0, 0] == 2
    assert [(n.day, n.loaded[0][2]) for n in notes if n.loaded] == [(3, 3), (6, 3)]


def test_a_load_waits_until_it_is_full_enough_and_the_last_takes_what_is_there():
    """One mold, one piece a day, loads of five, three at least: 3 and 3 of six, and of seven the last alone."""
    edition = replace(BARE, need=7, firings=(Firing("glaze", 5, 1, 1.0),))

    _, notes, _ = played(room(edition), Policy(molds=1, part_load_wait=0, least_fill=0.6))

    assert [n.loaded[0][2:] for n in notes if n.loaded] == [
        (3, "waited"),
        (3, "waited"),
        (1, "last"),
    ]


def test_what_is_held_back_or_left_unused_stays_so():
    edition = replace(BARE, need=30, cast_min=10)
    held = Policy(molds=3, hold_from=1, hold_day=5, minutes_limit=25, capacity_limits=(4,))

    line, notes, _ = played(room(edition, 600, week=WEEK), held)

    assert [(n.day, len(n.poured)) for n in notes if n.poured] == [(0, 1), (5, 2)]
    assert max(n.used_min for n in notes) == 20
    assert line.largest_load[0, 0] == 4


def test_a_run_is_given_up_on_the_day_it_is_told_to():
    edition = replace(BARE, need=30)
    draws, target = tables(edition)
    policy = Policy(molds=1, target=target, give_up=np.array([10, NEVER]))

    line = forecast(room(edition), [policy], [draws], 2).lines[0]

    assert list(line.finish) == [-1, 31]
    assert list(line.casts) == [11, 30]


def test_without_a_number_of_casts_as_many_are_started_as_are_lacking():
    """Losses of one in four, none seen before the kiln: 12 pieces want 16 casts, of which 12 come out."""
    edition = replace(BARE, need=12, firings=(Firing("glaze", 16, 1, 0.75),))
    draws, _ = tables(edition)

    line = forecast(room(edition), [Policy(molds=4, safety=0.0)], [draws], 1).lines[0]

    assert (line.casts[0], line.good[0]) == (16, 12)
