"""The best expected plan: what must hold between plans, and the bare arithmetic of the trade."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourwright.planning.draws import casts_to_start, expected_draws
from pourwright.planning.forecast import forecast
from pourwright.planning.problem import NEVER, Edition, Firing, Policy, Workshop
from pourwright.planning.search import load_sizes, search

NEVER_ENDS = 10**6
MOST = 4


def room(edition: Edition, minutes: int, loads_a_week: int = 3, week: int = 5) -> Workshop:
    days = np.array([minutes if d % 7 < week else 0 for d in range(2200)])
    return Workshop(days, 0, loads_a_week, (edition,))


def finishes(edition: Edition, minutes: int, loads_a_week: int = 3, molds: int = MOST) -> list[int]:
    """Return the finish for 1, 2, ... molds."""
    pieces = math.ceil(edition.need / edition.passed) + 4 * (len(edition.firings) + 4)
    draws = expected_draws(edition, pieces, 300)
    target = casts_to_start(draws, edition.need)
    found = search(room(edition, minutes, loads_a_week), draws, target, range(1, molds + 1))
    assert all(one.bound <= one.finish for one in found if one.finish >= 0)
    return [one.finish if one.finish >= 0 else NEVER_ENDS for one in found]


@st.composite
def editions(draw: st.DrawFn) -> Edition:
    names = draw(st.sampled_from([("glaze",), ("bisque", "glaze"), ("bisque", "glaze", "third")]))
    firings = tuple(
        Firing(
            name,
            draw(st.integers(5, 24)),
            draw(st.integers(1, 3)),
            draw(st.sampled_from([0.9, 0.95, 1.0])),
            prep_min=0 if name == "bisque" else draw(st.integers(4, 12)),
            handling_min=40,
            gate=draw(st.sampled_from([0, 2])) if name == "glaze" else 0,
        )
        for name in names
    )
    return Edition(
        name="beaker",
        need=draw(st.integers(6, 40)),
        firings=firings,
        life=draw(st.integers(6, 30)),
        conditioning=draw(st.integers(0, 2)),
        cast_passed=draw(st.sampled_from([0.85, 0.95, 1.0])),
        dry_passed=0.97,
        ware_dry_days=draw(st.integers(1, 6)),
        mold_dry_days=draw(st.integers(5, 12)),
        cast_min=10,
        fettle_min=draw(st.integers(5, 30)),
        finish_min=8,
        setup_min=draw(st.sampled_from([60, 150])),
        set_min=45,
        sets_a_session=draw(st.integers(1, 3)),
    )


MINUTES = st.integers(14, 32).map(lambda quarters: 15 * quarters)


@settings(max_examples=12)
@given(editions(), MINUTES, st.integers(1, 8))
def test_more_hours_never_give_a_later_best_plan(edition, minutes, quarters):
    assert min(finishes(edition, minutes + 15 * quarters)) <= min(finishes(edition, minutes))


@settings(max_examples=12)
@given(editions(), MINUTES, st.integers(1, 12), st.data())
def test_a_bigger_kiln_never_gives_a_later_best_plan(edition, minutes, places, data):
    at = data.draw(st.integers(0, len(edition.firings) - 1))
    firings = tuple(
        replace(f, capacity=f.capacity + places) if k == at else f
        for k, f in enumerate(edition.firings)
    )

    assert min(finishes(replace(edition, firings=firings), minutes)) <= min(
        finishes(edition, minutes)
    )


@settings(max_examples=10)
@given(editions(), MINUTES, st.integers(1, 4))
def test_one_more_load_a_week_never_gives_a_later_best_plan(edition, minutes, loads):
    assert min(finishes(edition, minutes, loads + 1)) <= min(finishes(edition, minutes, loads))


@settings(max_examples=10)
@given(editions(), MINUTES)
def test_being_allowed_one_more_mold_never_gives_a_later_best_plan(edition, minutes):
    """The plans for fewer molds are among those for more, and are the same whether or not more are asked."""
    allowed_more = finishes(edition, minutes, molds=MOST)

    assert min(allowed_more) <= min(finishes(edition, minutes, molds=MOST - 1))
    assert allowed_more[:-1] == finishes(edition, minutes, molds=MOST - 1)


@settings(max_examples=12)
@given(editions(), MINUTES, st.integers(1, 10), st.floats(1.0, 1.6))
def test_a_longer_life_never_needs_more_molds(edition, minutes, longer, slack):
    short, long = (
        finishes(edition, minutes),
        finishes(replace(edition, life=edition.life + longer), minutes),
    )
    deadline = slack * min(short)

    def least(days: list[int]) -> int:
        return next(m for m, day in enumerate(days, start=1) if day <= deadline)

    assert min(long) <= min(short)
    assert least(long) <= least(short)


@settings(max_examples=40)
@given(editions(), st.floats(0.3, 0.9))
def test_a_lower_yield_starts_more_casts(edition, kept):
    pieces = math.ceil(4 * edition.need / edition.passed / kept) + 60
    worse = replace(edition, cast_passed=edition.cast_passed * kept)

    full, poor = (
        casts_to_start(expected_draws(e, pieces, 4), edition.need) for e in (edition, worse)
    )
    assert 0 < full < poor


@given(st.integers(1, 300), st.integers(1, 60))
def test_the_load_sizes_of_a_kiln_are_among_those_of_a_larger_one(pieces, capacity):
    sizes = load_sizes(pieces, capacity)

    assert set(sizes) <= set(load_sizes(pieces, capacity + 1))
    assert max(sizes) <= capacity
    assert -(-pieces // max(sizes)) == -(
        -pieces // min(capacity, pieces)
    )  # no more loads than need be


def test_the_same_search_gives_the_same_plans():
    edition = Edition("beaker", 20, (Firing("glaze", 9, 2, 0.9, prep_min=5, handling_min=30),), 12)

    assert finishes(edition, 300) == finishes(edition, 300)


@pytest.mark.parametrize(("molds", "weeks"), [(1, 40), (10, 4)])
def test_the_bare_arithmetic_of_the_trade(molds, weeks):
    """
    200 pieces, one cast a mold a working day, five days a week, nothing lost, no drying, no
    kiln to wait for: 1 mold takes 40 weeks and 10 molds 4. Common practice, no source.
    """
    free = Firing("glaze", NEVER, 0, 1.0)
    edition = Edition("beaker", 200, (free,), life=1000, conditioning=0, sets_a_session=99)
    draws = expected_draws(edition, 210, 20)

    line = forecast(
        room(edition, 480, loads_a_week=NEVER), [Policy(molds=molds, target=200)], [draws], 1
    ).lines[0]

    assert int(line.last_cast[0]) == 7 * (weeks - 1) + 4  # the Friday of that week
    assert int(line.casts[0]) == 200


def test_a_run_that_the_kiln_holds_back_takes_a_cycle_a_load():
    """
    Ten full loads of 40 through a kiln that takes four days each, seven days a week, all cast on
    day 0: the first goes in when ware is dry, the last comes out ten cycles later. Closed form.
    """
    edition = Edition(
        "tile",
        400,
        (Firing("glaze", 40, 4, 1.0),),
        life=1000,
        conditioning=0,
        ware_dry_days=12,
        sets_a_session=400,
    )
    draws = expected_draws(edition, 400, 400)

    line = forecast(
        room(edition, 480, NEVER, week=7), [Policy(molds=400, target=400)], [draws], 1
    ).lines[0]

    assert int(line.last_cast[0]) == 0
    assert int(line.finish[0]) == 12 + 10 * 4
    assert int(line.loads[0, 0]) == 10


def test_worn_molds_are_replaced_in_time():
    """One place, molds of ten casts, dry after seven days: with the replacement poured ahead no day is lost."""
    edition = Edition(
        "cup",
        50,
        (Firing("glaze", NEVER, 0, 1.0),),
        life=10,
        conditioning=0,
        mold_dry_days=7,
        sets_a_session=1,
    )
    draws = expected_draws(edition, 60, 20)

    line = forecast(
        room(edition, 480, NEVER), [Policy(molds=1, target=50, lead=6)], [draws], 1
    ).lines[0]

    assert int(line.molds[0]) == 5
    assert (
        int(line.last_cast[0]) == 7 + 7 * 10 - 3
    )  # 50 casts on 50 working days from day 7, a Monday
