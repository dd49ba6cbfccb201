"""What may be promised: shares, least molds, casts to start."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from pourwright.simulation.chance import Belief, Chance
from pourwright.simulation.odds import (
    FRESH,
    Futures,
    came_out,
    quantile,
)
from pourwright.simulation.problem import Edition, Firing, Policy, Workshop

WEEK = np.array([360 if d % 7 < 5 else 0 for d in range(1500)])


def edition(**changes) -> Edition:
    values = {
        "name": "beaker",
        "need": 24,
        "firings": (
            Firing("bisque", 16, 2, 0.97, handling_min=40),
            Firing(
                "glaze",
                10,
                2,
                0.92,
                prep_min=6,
                handling_min=40,
                gate=2,
                spoiled_chance=0.03,
                spoiled_passed=0.2,
            ),
        ),
        "life": 20,
        "conditioning": 1,
        "cast_passed": 0.94,
        "dry_passed": 0.97,
        "ware_dry_days": 4,
        "mold_dry_days": 8,
        "cast_min": 10,
        "fettle_min": 15,
        "finish_min": 8,
        "setup_min": 120,
        "set_min": 45,
        "sets_a_session": 2,
    }
    return Edition(**(values | changes))


def futures(**changes) -> Futures:
    one = edition(**changes)
    return Futures(Workshop(WEEK, 0, 3, (one,)), Chance(one, Belief()))


def rule(molds: int) -> Policy:
    return Policy(molds=molds, lead=8, eagerness=1.25, part_load_wait=1)


def test_a_quantile_is_a_value_that_so_many_runs_do_not_exceed():
    """numpy's inverted_cdf method (Hyndman and Fan 1996, definition 1) is the outside witness."""
    values = np.random.default_rng(5).integers(0, 40, 997)

    for share in (0.1, 0.5, 0.9, 1.0):
        assert quantile(values, share) == np.quantile(values, share, method="inverted_cdf")


def test_casts_for_certain_stages_agree_with_the_binomial():
    """
    One stage with a known yield: the least casts S so that P(Binomial(S, y) >= n) >= 0.9.
    n = 50, y = 0.8 gives 68 (scipy.stats.binom); drawn, one cast either way.
    """
    one = edition(
        need=50, firings=(Firing("glaze", 500, 1, 1.0),), cast_passed=0.8, dry_passed=1.0
    )  # fmt: skip
    sure = Belief(pieces_behind_yields=1e9)
    casts, over = came_out(Chance(one, sure), 4000, 120, 1).casts_for(0.9)
    known = next(s for s in range(50, 200) if stats.binom.sf(49, s, 0.8) >= 0.9)

    assert known == 68
    assert abs(casts - known) <= 1
    assert (over >= 0).mean() >= 0.9


def test_casts_for_a_doubtful_yield_agree_with_the_beta_binomial():
    """A yield drawn from Beta(0.8 v, 0.2 v): the good of S casts are beta-binomial (scipy.stats.betabinom)."""
    one = edition(need=50, firings=(Firing("glaze", 500, 1, 1.0),), cast_passed=0.8, dry_passed=1.0)
    behind = 60.0
    chance = Chance(one, Belief(pieces_behind_yields=behind))
    casts, _ = came_out(chance, 4000, 200, 1).casts_for(0.9)
    known = next(
        s for s in range(50, 300) if stats.betabinom.sf(49, s, 0.8 * behind, 0.2 * behind) >= 0.9
    )

    assert abs(casts - known) <= 2
    assert known > 68  # doubt costs casts


def test_a_run_is_the_same_alone_and_among_others():
    together, alone = futures(), futures()

    among = together.runs(rule(2), 600).finish
    assert among[417] == alone.runs(rule(2), 1, first=417).finish[0]


def test_rules_side_by_side_give_what_each_gives_alone():
    """They differ in all that a rule holds, the limits of their loads among it."""
    future = futures()
    rules = [
        rule(2),
        rule(3).but(safety=2.0, least_fill=0.5, part_load_wait=0),
        rule(4).but(capacity_limits=(9, 7), eagerness=4.0, lead=3),
    ]

    together = future.side_by_side(rules, 50)
    future.prepare(rules[:2], 20)  # two of them have runs already
    future.prepare(rules, 50)

    for at, one in enumerate(rules):
        alone, own = futures().runs(one, 50), together.part(slice(50 * at, 50 * at + 50))
        for made in (own, future.runs(one, 50)):
            assert made.finish.tolist() == alone.finish.tolist()
            assert made.loads.tolist() == alone.loads.tolist()


def test_a_finish_is_put_later_by_the_days_that_whole_days_leave_out():
    plain, put_right = futures(), futures()
    put_right.bias = 0.03
    days = plain.runs(rule(2), 300).finish

    assert put_right.runs(rule(2), 300).finish == pytest.approx(days * 1.03)


def test_molds_give_what_their_lives_and_the_losses_leave() -> None:
    """By SciPy: of the casts that k molds give, one thrown away each, a binomial number comes out.

    The pieces that may be promised are what nine runs in ten give at least.
    """
    cup = edition(
        need=10, firings=(Firing("glaze", 10_000, 1, 1.0),), cast_passed=0.9, dry_passed=1.0
    )
    sure = Belief(pieces_behind_yields=1e9, accident=0.0)
    chance = Chance(cup, sure, 1)
    lives = chance.draws(FRESH, 4000, 2000, 6).life - cup.conditioning

    came = came_out(chance, 4000, 100, 6)
    given = [came.pieces_from(molds, 0.9) for molds in range(1, 7)]

    for molds, pieces in zip(range(1, 7), given, strict=True):
        casts = lives[:, :molds].sum(axis=1)
        assert stats.binom.sf(pieces - 2, casts, 0.9).mean() >= 0.9
        assert stats.binom.sf(pieces + 1, casts, 0.9).mean() <= 0.9
    assert given == sorted(given)
