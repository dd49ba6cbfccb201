"""Chance by address: the generator against published outputs, distributions against scipy.stats."""

from __future__ import annotations

import warnings
from dataclasses import fields, replace
from itertools import combinations

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from scipy import special, stats

from pourwright.simulation import chance as at
from pourwright.simulation import luck
from pourwright.simulation.chance import (
    PARAMETERS,
    Belief,
    Chance,
    expected_casts_left,
    uniforms,
)
from pourwright.simulation.draws import Draws
from pourwright.simulation.problem import Edition, Firing

SPLITMIX_1234567 = (
    6457827717110365317,
    3203168211198807973,
    9817491932198370423,
    4593380528125082431,
    16408922859458223821,
)
"""First outputs of SplitMix64 from the state 1234567: Rosetta Code, task "Pseudo-random
numbers/Splitmix64", after G. L. Steele, D. Lea and C. H. Flood, "Fast splittable pseudorandom number
generators", OOPSLA 2014. A second implementation below is held against them too."""
GOLDEN = 0x9E3779B97F4A7C15
MASK = (1 << 64) - 1

FIRINGS = (
    Firing("bisque", 24, 2, 0.97),
    Firing("glaze", 16, 2, 0.92, spoiled_chance=0.1, spoiled_passed=0.3),
)
BOWL = Edition(
    "bowl", 60, FIRINGS, life=30, cast_passed=0.94, dry_passed=0.97, ware_dry_days=20, mold_dry_days=10,
    cast_min=100, fettle_min=200, finish_min=50, pour_from=40,
)  # fmt: skip


def mixed(z: int) -> int:
    """Mix 64 bits as SplitMix64 does, in Python's own whole numbers."""
    z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & MASK
    z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & MASK
    return z ^ (z >> 31)


# --- the generator


def test_the_mixing_is_that_of_splitmix64() -> None:
    states = [(1234567 + n * GOLDEN) & MASK for n in range(1, 6)]

    assert tuple(mixed(state) for state in states) == SPLITMIX_1234567
    assert tuple(int(luck.mixed(np.uint64(state))) for state in states) == SPLITMIX_1234567


def test_an_address_gives_what_whole_number_arithmetic_gives() -> None:
    """Seed and stream make a key, the run a row, the place a number; 53 bits of it are kept."""
    found = uniforms(3, np.array([0, 17, 123_456]), 20, 4)
    for row, run in zip(found, (0, 17, 123_456), strict=True):
        state = mixed((mixed(3 * 1024 + 20) + (run + 1) * GOLDEN) & MASK)
        for place, number in enumerate(row, start=1):
            assert number == (mixed((state + place * GOLDEN) & MASK) >> 11) / 2**53


def test_a_run_alone_is_the_run_in_a_batch() -> None:
    batch = uniforms(1, np.arange(500), at.CAST, 40)
    for run in (0, 1, 77, 499):
        assert_array_equal(uniforms(1, np.array([run]), at.CAST, 40)[0], batch[run])
    assert_array_equal(uniforms(1, np.arange(500), at.CAST, 25), batch[:, :25])


def test_numbers_are_uniform_along_runs_and_along_places() -> None:
    """Kolmogorov and Smirnov on 2,000 x 50 numbers; each row and column on its own as well."""
    found = uniforms(1, np.arange(2000), at.CAST, 50)

    assert found.min() >= 0.0
    assert found.max() < 1.0
    assert stats.kstest(found.ravel(), "uniform").pvalue > 0.01
    by_place = [stats.kstest(column, "uniform").pvalue for column in found.T]
    by_run = [stats.kstest(row, "uniform").pvalue for row in found[:300]]
    for values in (by_place, by_run):
        assert stats.kstest(values, "uniform").pvalue > 0.01
    assert stats.kstest(found.ravel() ** 1.03, "uniform").pvalue < 1e-6


def test_streams_runs_places_and_seeds_know_nothing_of_each_other() -> None:
    """Correlations of 20,000 pairs are normal around 0 with deviation 1/sqrt(n)."""
    n = 20_000
    columns = {
        (seed, stream): uniforms(seed, np.arange(n), stream, 3)
        for seed in (1, 2)
        for stream in (
            at.CAST,
            at.DRY,
            at.LIFE,
            at.MOLD_DRYING,
            at.FIRED,
            at.FIRED + 1,
            at.FIRED + 64,
        )
    }
    numbers = [column[:, place] for column in columns.values() for place in (0, 1)]
    numbers += [np.roll(numbers[0], 1), np.roll(numbers[3], 1)]
    off = [np.corrcoef(a, b)[0, 1] * n**0.5 for a, b in combinations(numbers, 2)]

    assert max(abs(z) for z in off) < stats.norm.isf(0.005 / len(off))
    assert stats.kstest(off, "norm").pvalue > 0.01


def test_pairs_fill_the_square_evenly() -> None:
    """Neighbors in place and in run: a chi-square over 20 by 20 squares."""
    found = uniforms(9, np.arange(4000), at.CAST, 50)
    for first, second in ((found[:, :-1], found[:, 1:]), (found[:-1], found[1:])):
        counted, _, _ = np.histogram2d(
            first.ravel(), second.ravel(), bins=20, range=[[0, 1], [0, 1]]
        )

        assert stats.chisquare(counted.ravel()).pvalue > 0.01


# --- draws


def same(a: Draws, b: Draws, rows: slice) -> None:
    """Assert that b's tables are these rows of a's."""
    for field in fields(Draws):
        ours, theirs = getattr(a, field.name), getattr(b, field.name)
        for one, other in zip(*((t if t.ndim == 3 else (t,)) for t in (ours, theirs)), strict=True):
            assert_array_equal(one if field.name == "casts_left" else one[rows], other)


def test_a_run_drawn_alone_is_the_run_drawn_among_others() -> None:
    chances = Chance(BOWL, Belief(), seed=5, line=2)
    batch = chances.draws(0, 60, 90, 12)

    same(batch, chances.draws(37, 1, 90, 12), slice(37, 38))
    same(batch, chances.draws(20, 40, 90, 12), slice(20, 60))


def test_longer_tables_begin_as_shorter_ones() -> None:
    short, long = (Chance(BOWL, Belief()).draws(0, 20, n, n // 5) for n in (50, 100))

    assert_array_equal(short.cast_good, long.cast_good[:, :51])
    assert_array_equal(short.fired_spoiled[1], long.fired_spoiled[1][:, :51])
    assert_array_equal(short.life, long.life[:, :10])


def test_a_better_yield_only_ever_turns_lost_pieces_into_good_ones() -> None:
    worse, better = (
        np.diff(
            Chance(replace(BOWL, cast_passed=share), Belief()).draws(0, 200, 100, 1).cast_good,
            axis=1,
        )
        for share in (0.90, 0.94)
    )

    assert (better >= worse).all()
    assert (better > worse).any()


def test_editions_have_luck_of_their_own() -> None:
    first, second = (Chance(BOWL, Belief(), line=line).draws(0, 2000, 30, 5) for line in (0, 1))
    together = np.corrcoef(first.life[:, 0], second.life[:, 0])[0, 1]

    assert abs(together) * 2000**0.5 < 3
    assert not (first.cast_good == second.cast_good).all()


SURE = Belief(pieces_behind_yields=1e9, life_spread=0.0, accident=0.0)


@pytest.mark.parametrize("mean", [0.5, 0.86, 0.97])
def test_a_share_has_the_quantiles_of_a_beta_distribution(mean: float) -> None:
    """Held at a quantile, a yield is scipy's; drawn, its levels are even."""
    behind = 60.0
    edition = replace(BOWL, cast_passed=mean)
    for level in (0.02, 0.1, 0.5, 0.9, 0.98):
        expected = stats.beta.ppf(level, mean * behind, (1 - mean) * behind)
        chances = Chance(edition, Belief(behind)).holding("cast_passed", level)
        rows = at._Rows(chances, 0, 3, 1, 1)
        assert_allclose(rows.share("cast_passed", mean, 0), expected, rtol=1e-12)

        passed = chances.draws(0, 400, 200, 1).cast_good[:, -1]
        error = (200 * expected * (1 - expected)) ** 0.5 / 400**0.5
        assert abs(passed.mean() - 200 * expected) <= 3 * error


def test_good_pieces_are_beta_binomial() -> None:
    good = (
        Chance(replace(BOWL, cast_passed=0.86), Belief(150.0), seed=4)
        .draws(0, 20_000, 50, 1)
        .cast_good[:, -1]
    )
    chances = stats.betabinom.pmf(np.arange(51), 50, 129, 21)
    counted = np.bincount(good, minlength=51)
    thick = chances * len(good) >= 5
    seen, hoped = (
        np.append(counted[thick], counted[~thick].sum()),
        np.append(chances[thick], chances[~thick].sum()),
    )

    assert stats.chisquare(seen, hoped * len(good)).pvalue > 0.01


@pytest.mark.parametrize("shape", [1.5, 4.0, 8.0])
def test_lives_are_weibull_rounded_up(shape: float) -> None:
    life = (
        Chance(replace(BOWL, life=400), replace(SURE, life_shape=shape), seed=6)
        .draws(0, 400, 1, 25)
        .life
    )
    wear = stats.weibull_min(shape, scale=400 / special.gamma(1 + 1 / shape))
    u = uniforms(6, np.arange(400), at.LIFE, 25)

    assert wear.mean() == pytest.approx(400)
    assert_array_equal(life, np.ceil(wear.ppf(u)))
    assert stats.kstest(life.ravel() - 0.5, wear.cdf).pvalue > 0.01


def test_accidents_cut_lives_short_as_a_geometric_distribution_does() -> None:
    """With wear far away the life is the first of independent accidents."""
    breaking = replace(SURE, accident=0.06)
    life = Chance(replace(BOWL, life=100_000), breaking, seed=7).draws(0, 4000, 1, 10).life.ravel()
    counted = np.bincount(np.minimum(life, 60), minlength=61)[1:]
    chances = stats.geom.pmf(np.arange(1, 60), 0.06)

    assert stats.chisquare(counted, np.append(chances, 1 - chances.sum()) * len(life)).pvalue > 0.01


@pytest.mark.parametrize(
    ("name", "table", "expected", "spread"),
    [
        ("ware_drying", "ware_dry_days", 20_000, 0.15),
        ("preparation", "pour_from", 40_000, 0.3),
        ("work", "cast_min", 10_000, 0.2),
        ("work", "prep_min", 11_000, 0.2),
        ("work", "handling_min", 12_000, 0.2),
        ("work", "setup_min", 13_000, 0.2),
        ("work", "set_min", 14_000, 0.2),
    ],
)
def test_days_and_minutes_are_lognormal_around_what_is_expected(
    name: str, table: str, expected: int, spread: float
) -> None:
    """Half of the runs have less; the logarithm's standard deviation is the belief's."""
    belief = Belief(ware_spread=0.15, preparation_spread=0.3, work_spread=0.2)
    glaze = replace(FIRINGS[1], prep_min=11_000, handling_min=12_000)
    edition = replace(
        BOWL, firings=(glaze,), ware_dry_days=20_000, pour_from=40_000, cast_min=10_000,
        setup_min=13_000, set_min=14_000,
    )  # fmt: skip
    drawn = getattr(Chance(edition, belief, seed=8).draws(0, 5000, 1, 1), table).ravel()
    believed = stats.lognorm(spread, scale=expected)

    assert stats.kstest(drawn, believed.cdf).pvalue > 0.01
    for level in (0.1, 0.5, 0.9):
        held = getattr(Chance(edition, belief).holding(name, level).draws(0, 2, 1, 1), table)
        assert_allclose(held, believed.ppf(level), atol=0.51)


def test_what_is_refused_takes_its_days_once_more() -> None:
    """By pencil: 30 % take 20 days more and 10 % take 7, so 63, 7, 27 and 3 of a hundred take 0, 7, 20 and 27."""
    belief = replace(SURE, made_again=((0.3, 20), (0.1, 7)))
    plain, drawn = (
        Chance(BOWL, one, seed=8).draws(0, 10_000, 1, 1).pour_from for one in (SURE, belief)
    )

    more, counted = np.unique(drawn - plain, return_counts=True)

    assert_array_equal(more, [0, 7, 20, 27])
    assert_allclose(counted / 10_000, [0.63, 0.07, 0.27, 0.03], atol=0.005)


def test_no_work_is_drawn_longer_than_the_longest_day() -> None:
    """A session of 220 min in a day of 240: slow hands fill the day, and pour; none has nothing to do."""
    edition = replace(BOWL, cast_min=100, fettle_min=130, setup_min=180, set_min=40, finish_min=1)
    draws = Chance(edition, Belief(work_spread=0.6), longest_day_min=240).draws(0, 500, 1, 1)

    for both in (draws.cast_min + draws.fettle_min, draws.setup_min + draws.set_min):
        assert both.max() == 240
        assert both.min() < 150
    assert draws.finish_min.min() == 1


def test_a_molds_drying_keeps_its_span_in_eight_of_ten_runs() -> None:
    """Low and high are the tenth and the ninetieth percentile; four fifths of the variance are the run's."""
    days = (
        Chance(BOWL, Belief(mold_days=(700.0, 1400.0)), seed=9).draws(0, 6000, 1, 2).mold_dry_days
    )
    deviation = np.log(2) / (2 * stats.norm.ppf(0.9))
    believed = stats.lognorm(deviation, scale=(700 * 1400) ** 0.5)

    assert_allclose(believed.ppf([0.1, 0.9]), [700, 1400], rtol=1e-12)
    assert stats.kstest(days[:, 0], believed.cdf).pvalue > 0.01
    together = np.corrcoef(np.log(days), rowvar=False)[0, 1]
    assert together == pytest.approx(0.8, abs=3 * (1 - 0.8**2) / 6000**0.5)


def test_molds_of_a_room_that_is_known_differ_by_themselves() -> None:
    """With a tenth of the variance in common, that is how alike two molds of a run are."""
    belief = Belief(mold_days=(700.0, 1400.0), mold_days_shared=0.1)
    days = Chance(BOWL, belief, seed=9).draws(0, 6000, 1, 2).mold_dry_days
    deviation = np.log(2) / (2 * stats.norm.ppf(0.9))

    assert stats.kstest(days[:, 0], stats.lognorm(deviation, scale=980_000**0.5).cdf).pvalue > 0.01
    together = np.corrcoef(np.log(days), rowvar=False)[0, 1]
    assert together == pytest.approx(0.1, abs=3 / 6000**0.5)


def test_a_spoiled_share_of_loads_keeps_what_it_keeps() -> None:
    draws = Chance(BOWL, SURE, seed=10).draws(0, 4000, 60, 1)
    sound, bad = draws.fired_good[1][:, -1] / 60, draws.fired_spoiled[1][:, -1] / 60

    for seen, expected, n in (
        (sound, (0.92 - 0.1 * 0.3) / 0.9, 4000 * 60),
        (bad, 0.3, 4000 * 60),
        (draws.spoiled[1], 0.1, draws.spoiled[1].size),
    ):
        assert abs(seen.mean() - expected) <= 3 * (expected * (1 - expected) / n) ** 0.5
    assert_array_equal(draws.fired_good[0], draws.fired_spoiled[0])


@pytest.mark.parametrize("parameter", PARAMETERS)
def test_a_parameter_held_is_the_same_in_every_run(parameter: str) -> None:
    """Its part of the spread goes; held at its middle it is what most think."""
    held = Chance(BOWL, Belief(), seed=11).holding(parameter, 0.5)
    rows = at._Rows(held, 0, 50, 1, 1)
    levels = {name: rows.level(name, 13) for name in PARAMETERS}

    assert (levels[parameter] == 0.5).all()
    assert all(len(set(levels[name])) == 50 for name in PARAMETERS if name != parameter)


# --- what the maker believes


@pytest.mark.parametrize(
    ("life", "belief"),
    [(2, Belief()), (30, Belief()), (60, Belief(life_shape=1.5, accident=0.05)), (15, SURE)],
)
def test_casts_left_are_the_mean_of_the_lives_that_are_drawn(life: int, belief: Belief) -> None:
    """E[L - a | L > a], summed directly with scipy's survival function, and from drawn lives."""
    left = expected_casts_left(life, belief)
    wear = stats.weibull_min(
        belief.life_shape, scale=life / special.gamma(1 + 1 / belief.life_shape)
    )

    def survives(k: np.ndarray) -> np.ndarray:
        return wear.sf(k) * (1 - belief.accident) ** k

    for age in sorted({0, 1, life // 2, life, len(left) - 1}):
        ahead = survives(np.arange(age, 60 * life + 200))
        assert left[age] == pytest.approx(ahead.sum() / survives(np.array(age)), rel=3e-6)

    lives = (
        Chance(replace(BOWL, life=life), replace(belief, life_spread=0.0), seed=12)
        .draws(0, 4000, 1, 10)
        .life
    )
    for age in (0, life // 2):
        rest = lives[lives > age] - age
        assert abs(rest.mean() - left[age]) <= 3.5 * rest.std() / len(rest) ** 0.5


def test_casts_left_never_fall_below_one() -> None:
    """A mold that is still whole gives at least one more cast."""
    left = expected_casts_left(20, Belief())

    assert left.min() >= 1.0
    assert (np.diff(left) < 0).all()


def test_no_warning_for_any_seed_or_run() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for seed in (0, 1, 2**31, 2**53):
            assert uniforms(seed, np.array([0, 2**40]), 1023, 2).shape == (2, 2)
