"""A plan that begins in the middle: what is there on day 0 goes on from where it is.

Checks from outside: the second engine of tests/reference/simpy_day.py in every figure of 400 runs,
arithmetic by hand, and the conditional Weibull of scipy.stats.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special, stats

from pourwright.simulation.chance import Belief, Chance
from pourwright.simulation.draws import casts_to_start, expected_draws
from pourwright.simulation.forecast import forecast
from pourwright.simulation.kiln_loads import least_to_fire
from pourwright.simulation.problem import (
    NEVER,
    Already,
    Edition,
    Firing,
    LoadInside,
    OldMold,
    Policy,
)
from pourwright.simulation.search import NOTHING_TO_CAST, search, soonest_finish
from tests.ledger.toy import rounds
from tests.reference.simpy_day import run_days
from tests.simulation.rooms import WORKDAYS, editions, room
from tests.simulation.test_reference import BOWL, CUP, LUSTER, differences, of_run
from tests.simulation.test_reference import room as shared_room

RUNS = rounds(40, 100)
HALFWAY = Already(
    molds=(OldMold(12), OldMold(9), OldMold(0, poured_day=-6, dry=False)),
    drying=((-9, 2), (-3, 5), (-1, 3)),
    waiting=(4, 6),
    prepared=(0, 2),
    load=LoadInside(1, 7, 1),
    to_finish=3,
    finished=11,
)
POURING = (OldMold(12), OldMold(0, poured_day=0, dry=False))
SETTINGS = {
    "halfway, a glaze load inside": (
        shared_room(replace(BOWL, proofs=5, beside_days=0.4, already=replace(HALFWAY, casts=48))),
        (Policy(molds=4, lead=9),),
    ),
    "worn molds, the kiln is another's": (
        replace(
            shared_room(replace(BOWL, already=Already((OldMold(17), OldMold(25)))), weekday=3),
            kiln_free_on=9,
            week_loads=2,
        ),
        (Policy(molds=2, lead=6, eagerness=1.25),),
    ),
    "three firings, the first inside, nothing drying": (
        shared_room(
            replace(
                LUSTER,
                already=Already((OldMold(5),), (), (3, 2, 1), (), LoadInside(0, 9, 2), 0, 2),
            ),
            loads=2.5,
        ),
        (Policy(molds=3, part_load_wait=6, lead=4),),
    ),
    "one halfway, a session begun, beside one that begins": (
        shared_room(
            replace(BOWL, pour_from=0, already=replace(HALFWAY, molds=POURING)), CUP, minutes=420
        ),
        (Policy(molds=4, lead=9, part_load_wait=5), Policy(molds=3, lead=5)),
    ),
}


@pytest.mark.rounds
@pytest.mark.parametrize("name", SETTINGS)
def test_a_second_engine_goes_on_from_the_same_day(name: str) -> None:
    workshop, policies = SETTINGS[name]
    chances = [Chance(e, Belief(), seed=11, line=k) for k, e in enumerate(workshop.editions)]
    draws = [chance.draws(0, RUNS, 300, 70) for chance in chances]

    ours = forecast(workshop, policies, draws, RUNS, curves=True)

    assert not any(line.out_of_tables.any() for line in ours.lines)
    told = {
        run: differences(
            ours, run, run_days(workshop, [of_run(p, run) for p in policies], draws, run)
        )
        for run in range(RUNS)
    }
    assert {run: found for run, found in told.items() if found} == {}


TWO = (Firing("bisque", 10, 2, 1.0), Firing("glaze", 6, 2, 1.0))
JUG = Edition("jug", 12, TWO, life=20, ware_dry_days=4, mold_dry_days=8)


def expected(edition: Edition, molds: int = 1) -> tuple[int, int, int]:
    """Return finish, casts and molds of the expected run of an edition in a free room."""
    draws = expected_draws(edition, 200, 50)
    target = casts_to_start(draws, edition.need, edition.already)
    found = search(room(edition), draws, target, [molds])[0]
    return found.finish, found.casts, found.molds_poured


def test_everything_cast_leaves_drying_and_firing() -> None:
    """Twelve casts of yesterday: dry on day 3; bisque of ten and glaze of six, one load at a time.

    By hand, from the rules of the day: the kiln holds ten, then two (2 + 2 days) for the bisque, and
    two glaze loads of six (2 + 2 days). Bisque in on day 3, out on 5; the last two in on 5 or after
    the first glaze load: any order takes 8 days of kiln. 3 + 8 = 11.
    """
    begun = replace(JUG, already=Already((OldMold(12),), ((-1, 12),)))
    assert expected(begun) == (11, 0, 1)


def test_a_load_in_the_kiln_is_all_that_is_left() -> None:
    begun = replace(JUG, already=Already((), (), (), (), LoadInside(1, 5, 2), 0, 7))
    assert expected(begun) == (2, 0, 0)


def test_a_mold_that_was_weighed_is_ready_when_its_weighings_say() -> None:
    """Between day 1 and day 4, so day 3 by the calendar, done on 3 + 8; in one run of ten before day 1."""
    weighed = OldMold(0, -5, dry=False, ready_days=(1, 4))
    begun = replace(JUG, already=Already((weighed,), finished=11), conditioning=0)
    assert expected(begun) == (11, 1, 1)
    ready = Chance(begun, Belief(mold_days=(40, 50))).draws(0, 400, 5, 2).mold_dry_days - 5
    assert 0.7 < ((ready[:, 0] >= 1) & (ready[:, 0] <= 4)).mean() < 0.99
    assert (ready[:, 1] > 20).all()


def test_a_mold_goes_on_where_it_was() -> None:
    """Eleven are there, one is lacking: cast on day 0, dry on day 4, two firings of two days: day 8."""
    begun = replace(JUG, already=Already((OldMold(3),), finished=11))
    assert expected(begun) == (8, 1, 1)


def test_a_mold_still_drying_is_cast_when_it_is_dry() -> None:
    """Poured five days ago, eight to dry: cast on day 3, so done on day 3 + 8."""
    begun = replace(JUG, already=Already((OldMold(0, -5, dry=False),), finished=11), conditioning=0)
    assert expected(begun) == (11, 1, 1)


def test_a_worn_out_mold_is_replaced() -> None:
    """One cast left in the mold and three wanted: a second mold has to be poured, and dries 8 days."""
    begun = replace(JUG, already=Already((OldMold(19),), finished=9), conditioning=0)
    finish, casts, molds = expected(begun)
    assert (casts, molds) == (3, 2)
    assert (
        finish == 8 + 1 + 4 + 4
    )  # dry on day 8, two casts on 8 and 9, four days dry, four of fire


def test_what_is_there_is_taken_off_the_casts() -> None:
    """With four of five coming through each stage, worked by hand with whole pieces lost early."""
    lossy = replace(JUG, firings=(replace(TWO[0], passed=0.8), replace(TWO[1], passed=0.8)))
    begun = replace(lossy, already=Already((), (), (5, 5), (), None, 1, 4))
    draws = expected_draws(begun, 200, 10)
    # 12 - 5 = 7 lacking: 9 through the glaze, 5 are there: 4 from the bisque: 5 through it, and 5 are there
    assert casts_to_start(draws, begun.need, begun.already) == 0
    assert casts_to_start(draws, begun.need + 1, begun.already) == 2
    assert least_to_fire(draws, begun) == (5, 9)


@pytest.mark.parametrize(("casts", "more", "finish"), [(12, 0, 0), (11, 1, 8)])
def test_casts_of_before_are_among_those_after_which_no_proof_is_made_up_for(
    casts: int, more: int, finish: int
) -> None:
    """Ten numbers are there of ten and two proofs: only what is left of twelve casts is cast, of two lacking."""
    begun = replace(JUG, proofs=2, already=Already((OldMold(12),), finished=10, casts=casts))
    draws = expected_draws(begun, 100, 10)
    line = forecast(room(begun), [Policy(molds=1)], [draws], 1).lines[0]
    assert (line.casts[0], line.finish[0]) == (more, finish)


def test_nothing_to_cast_casts_nothing() -> None:
    done = replace(JUG, already=Already((OldMold(4),), (), (0, 12)))
    draws = expected_draws(done, 100, 10)
    line = forecast(room(done), [Policy(molds=1, target=NOTHING_TO_CAST)], [draws], 1).lines[0]
    assert (line.casts[0], line.finish[0]) == (0, 4)


@pytest.mark.rounds
@settings(max_examples=rounds(20, 60), deadline=None)
@given(editions(), st.data())
def test_a_finish_is_never_before_what_is_left_allows(
    edition: Edition, data: st.DataObject
) -> None:
    """However far it has come: the bound holds, and each stage still ahead takes its days."""
    counts = st.integers(0, 8)
    begun = replace(
        edition,
        already=Already(
            tuple(OldMold(n) for n in data.draw(st.lists(st.integers(0, 30), max_size=3))),
            ((-1, data.draw(counts)),),
            tuple(data.draw(counts) for _ in edition.firings),
            finished=data.draw(st.integers(0, edition.need - 1)),
        ),
    )
    draws = expected_draws(begun, 400, 400)
    target = casts_to_start(draws, begun.need, begun.already)
    workshop = room(begun, 480, 3, WORKDAYS)
    molds = max(len(begun.already.molds), 2)

    found = search(workshop, draws, target, [molds])[0]

    cycles = [f.cycle_days for f in begun.firings]
    fewest = least_to_fire(draws, begun)
    least = max((sum(cycles[k:]) for k, n in enumerate(fewest) if n), default=0)
    if target:
        least = sum(cycles) + max(begun.ware_dry_days, 1)
    assert found.finish >= max(least, soonest_finish(workshop, draws, target, molds))


@pytest.mark.rounds
@settings(max_examples=rounds(10, 40), deadline=None)
@given(editions())
def test_an_empty_beginning_changes_nothing(edition: Edition) -> None:
    """Already with nothing in it is the plan from the start, field by field."""
    draws = expected_draws(edition, 400, 400)
    target = casts_to_start(draws, edition.need)
    empty = replace(edition, already=Already(waiting=(0,) * len(edition.firings)))

    plain = search(room(edition, 480, 3, WORKDAYS), draws, target, [1, 3])
    begun = search(room(empty, 480, 3, WORKDAYS), draws, target, [1, 3])

    assert begun == plain


def test_casts_left_of_a_used_mold_are_the_rest_of_the_weibull() -> None:
    """Against scipy's Weibull, cut at the casts given: the two-sided Kolmogorov test of 4,000 molds."""
    shape, life, given_casts = 4.0, 30, 24
    edition = replace(JUG, life=life, already=Already((OldMold(given_casts),)))
    belief = Belief(life_spread=0.0, life_shape=shape, accident=0.0)
    lives = Chance(edition, belief).draws(0, 4000, 10, 2).life
    scale = life / special.gamma(1 + 1 / shape)
    whole = stats.weibull_min(shape, scale=scale)

    def cut(casts: np.ndarray) -> np.ndarray:
        return 1 - whole.sf(casts) / whole.sf(given_casts)

    for age in range(given_casts + 1, 50):
        share = (lives[:, 0] <= age).mean()
        assert share == pytest.approx(float(cut(np.array(age))), abs=4 * 0.5 / 4000**0.5)
    assert lives[:, 0].min() == given_casts + 1
    assert lives[:, 1].min() < given_casts  # a new mold has its whole life before it


def test_shares_may_be_known_differently_well() -> None:
    """Beta posteriors: mean and spread of each stage by its own pieces, against scipy's beta."""
    edition = replace(JUG, cast_passed=0.9, dry_passed=0.9)
    belief = Belief(pieces_behind=(400.0, 40.0, 60.0, 60.0))
    draws = Chance(edition, belief).draws(0, 2000, 1000, 2)
    for table, behind in ((draws.cast_good, 400.0), (draws.dry_good, 40.0)):
        share = table[:, -1] / 1000
        beta = stats.beta(0.9 * behind, 0.1 * behind)
        binomial = 0.9 * 0.1 / 1000
        assert share.mean() == pytest.approx(0.9, abs=0.005)
        assert share.std() == pytest.approx(float((beta.var() + binomial) ** 0.5), rel=0.06)


def test_old_molds_outlive_their_expectation_by_a_cast() -> None:
    draws = expected_draws(replace(JUG, already=Already((OldMold(5), OldMold(33)))), 10, 4)
    assert draws.life.tolist() == [[20, 34, 20, 20]]
    assert draws.life.max() < NEVER


@pytest.mark.parametrize(
    ("poured_day", "days", "sessions"), [(0, [0, 1, 1, 1], 1), (-1, [0] * 3 + [1], 2)]
)
def test_the_rest_of_a_session_that_is_begun_is_poured_that_day_and_set_up_no_more(
    poured_day, days, sessions
):
    """By pencil: three molds a session, six wanted, two poured: one more today if that was today, else three."""
    begun = Already((OldMold(0, poured_day, dry=False),) * 2)
    edition = replace(JUG, need=60, sets_a_session=3, setup_min=60, already=begun)
    draws = expected_draws(edition, 400, 50)
    target = casts_to_start(draws, edition.need, edition.already)
    outcome = forecast(room(edition), [Policy(molds=6, target=target)], [draws], 1, notes=True)

    assert [note.day for note in outcome.notes for _ in note.poured] == days
    assert outcome.lines[0].sessions[0] == sessions
