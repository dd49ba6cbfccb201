"""Small rooms and editions for tests of the forecast and the search, and Hypothesis strategies for them."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
from hypothesis import strategies as st

from pourwright.simulation.draws import Draws, casts_to_start, expected_draws
from pourwright.simulation.problem import NEVER, Edition, Firing, Policy, Workshop

WEEK = range(7)
WORKDAYS = range(5)
DAYS = 900
FREE = Firing("glaze", NEVER, 0, 1.0)
"""A firing that holds nothing up and spoils nothing."""


def room(
    edition: Edition,
    minutes: int = NEVER,
    loads_a_week: float = NEVER,
    week: Iterable[int] = WEEK,
    first_weekday: int = 0,
    days: int = DAYS,
) -> Workshop:
    """Return a room that is open on some days of the week; day 0 is a ``first_weekday``."""
    open_on = set(week)
    at = [minutes if (first_weekday + day) % 7 in open_on else 0 for day in range(days)]
    return Workshop(np.array(at), first_weekday, loads_a_week, (edition,))


def tables(edition: Edition) -> tuple[Draws, int]:
    """Return the tables of a run as expected, and the casts to start."""
    pieces = math.ceil(edition.need / edition.passed) + 4 * (len(edition.firings) + 4)
    draws = expected_draws(edition, pieces, 400)
    target = casts_to_start(draws, edition.need)
    assert target > 0
    return draws, target


@st.composite
def editions(draw: st.DrawFn) -> Edition:
    """Small editions in which every rule of the day has something to do."""
    need = draw(st.integers(1, 24))
    names = draw(st.sampled_from([("glaze",), ("bisque", "glaze"), ("bisque", "glaze", "third")]))
    life = draw(st.integers(3, 24))
    return Edition(
        name="beaker",
        need=need,
        firings=tuple(draw(firings(name, need)) for name in names),
        life=life,
        conditioning=draw(st.integers(0, 2)),
        casts_a_day=draw(st.integers(1, 2)),
        cast_passed=draw(st.sampled_from([0.8, 0.94, 1.0])),
        dry_passed=draw(st.sampled_from([0.9, 0.97, 1.0])),
        ware_dry_days=draw(st.integers(0, 6)),
        mold_dry_days=draw(st.integers(1, 12)),
        cast_min=draw(st.sampled_from([0, 10])),
        fettle_min=draw(st.sampled_from([0, 16, 30])),
        finish_min=draw(st.sampled_from([0, 8])),
        setup_min=draw(st.sampled_from([0, 60])),
        set_min=draw(st.sampled_from([0, 30])),
        sets_a_session=draw(st.integers(1, 4)),
        pour_from=draw(st.integers(0, 5)),
    )


@st.composite
def firings(draw: st.DrawFn, name: str, need: int) -> Firing:
    """One firing; a gate only where it is a glaze firing, and no higher than a load or the edition."""
    capacity = draw(st.integers(1, 20))
    gate = draw(st.sampled_from([0, 1, 4])) if name == "glaze" else 0
    return Firing(
        name,
        capacity,
        draw(st.integers(1, 3)),
        draw(st.sampled_from([0.8, 0.92, 1.0])),
        prep_min=0 if name == "bisque" else draw(st.sampled_from([0, 8, 25])),
        handling_min=draw(st.sampled_from([0, 45, 90])),
        gate=min(gate, capacity, need),
    )


@st.composite
def rooms(draw: st.DrawFn, of: st.SearchStrategy[Edition] | None = None) -> Workshop:
    """A room with one edition: open on three to seven days a week, 2 h 30 min to 8 h."""
    week = draw(st.sampled_from([WORKDAYS, range(4), range(1, 6), WEEK, (0, 2, 4)]))
    return room(
        draw(editions() if of is None else of),
        15 * draw(st.integers(10, 32)),
        draw(st.integers(1, 5)),
        week,
        draw(st.integers(0, 6)),
    )


policies = st.builds(
    Policy,
    molds=st.integers(1, 5),
    part_load_wait=st.sampled_from([0, 1, 4, NEVER]),
    least_fill=st.sampled_from([0.0, 0.5]),
    lead=st.integers(0, 25),
    eagerness=st.sampled_from([1.0, 1.25, 4.0]),
)
"""What may be decided, but for the casts to start."""
