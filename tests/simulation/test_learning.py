"""What counts do to a belief, against published examples, closed forms and scipy's own distributions."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import integrate, special, stats

from pourwright.simulation.learning import (
    days_after,
    life_after,
    likeness_of_a_load,
    minutes_after,
    pieces_as_one,
    share_after,
    unknown_of_days,
    weight_of_count,
)


def test_a_share_after_births() -> None:
    """Placenta previa: 437 girls of 980 births, uniform prior: mean 0.446, standard deviation 0.016.

    Gelman, Carlin, Stern, Dunson, Vehtari and Rubin, Bayesian Data Analysis, 3rd ed. (2013), section 2.4.
    """
    mean, behind = share_after(0.5, 2, 437, 980)
    posterior = stats.beta(mean * behind, (1 - mean) * behind)
    assert round(mean, 3) == 0.446
    assert round(float(posterior.std()), 3) == 0.016
    low, high = posterior.ppf([0.025, 0.975])
    assert (round(float(low), 3), round(float(high), 3)) == (0.415, 0.477)


def test_nothing_counted_changes_nothing() -> None:
    assert share_after(0.94, 60, 0, 0) == (0.94, 60)
    assert life_after(30.0, 0.2, ()) == (30.0, 0.2)
    assert days_after(7.0, 14.0, 0.8, ()) == (7.0, 14.0, 0.8)
    assert pieces_as_one(0.94, 60, (), 0.2) == 1.0
    assert minutes_after(20.0, ()) == 20.0


@pytest.mark.parametrize(
    ("retired", "holding"),
    [
        ((25,), (30, 31, 12)),
        # One kind of mold alone adds nothing to what both together show.
        pytest.param((18, 22, 20), (), marks=pytest.mark.whole),
        pytest.param((), (40, 44), marks=pytest.mark.whole),
    ],
)
def test_life_is_the_posterior_that_quadrature_gives(
    retired: tuple[int, ...], holding: tuple[int, ...]
) -> None:
    """The same posterior by scipy's Weibull, normal and adaptive quadrature."""
    life, spread, shape = 30.0, 0.45, 4.0

    def weight(log_mean: float, power: int = 0) -> float:
        mold = stats.weibull_min(shape, scale=math.exp(log_mean) / special.gamma(1 + 1 / shape))
        density = stats.norm(math.log(life), spread).pdf(log_mean)
        for casts in retired:
            density *= mold.pdf(casts)
        for casts in holding:
            density *= mold.sf(casts)
        return float(log_mean**power * density)

    ends = math.log(life) - 3, math.log(life) + 3
    whole, first, second = (
        integrate.quad(weight, *ends, args=(n,), limit=400, epsabs=0)[0] for n in (0, 1, 2)
    )
    middle = first / whole
    after = math.sqrt(second / whole - middle**2)

    told = life_after(life, spread, retired, holding, shape=shape)

    assert told == pytest.approx((math.exp(middle), after), rel=2e-3)


# --- loads


def test_the_likeness_of_a_load_is_the_correlation_of_its_pieces() -> None:
    """Two pieces of each of 200,000 loads, three in a hundred of them spoiled."""
    rng = np.random.default_rng(3)
    passed, chance, kept = 0.9, 0.03, 0.2
    spoiled = rng.random(200_000) < chance
    share = np.where(spoiled, kept, (passed - chance * kept) / (1 - chance))
    first, second = rng.random((2, len(share))) < share

    found = np.corrcoef(first, second)[0, 1]

    assert likeness_of_a_load(passed, chance, kept) == pytest.approx(found, abs=0.01)
    assert likeness_of_a_load(1.0, chance, kept) == likeness_of_a_load(passed, 0.0, kept) > 0


def test_loads_tell_what_their_design_effect_leaves() -> None:
    """
    Counts of 4,000 loads of twelve from a beta-binomial law: their variance over that
    of as many pieces by themselves, which scipy gives, is how many count as one.
    """
    rng = np.random.default_rng(4)
    mean, likeness, size = 0.9, 0.15, 12
    behind = 1 / likeness - 1
    law = stats.betabinom(size, mean * behind, (1 - mean) * behind)
    loads = [(good, size) for good in law.rvs(4000, random_state=rng)]
    effect = law.var() / (size * mean * (1 - mean))

    assert effect == pytest.approx(1 + 11 * likeness)
    assert pieces_as_one(mean, 60, loads, likeness=0.5) == pytest.approx(effect, rel=0.06)
    assert pieces_as_one(mean, 60, [(1, 1)] * 50, likeness=0.5) == 1.0


@pytest.mark.parametrize(
    ("spoiled_chance", "least", "before"),
    [(0.03, 0.76, (0.75, 0.54, 0.37)), (0.1, 0.7, (0.22, 0.40, 0.31))],
)
def test_a_belief_in_eight_of_ten_holds_in_about_eight_of_ten_studios(
    spoiled_chance: float, least: float, before: tuple[float, ...]
) -> None:
    """
    Studios whose share is drawn from what is believed, with as many spoiled loads as they told
    or three times as many: 5 and 15 loads of 12 and 20 of 20. With every piece counted by
    itself the share lay in as few as ``before``.
    """
    mean, behind, kept, studios = 0.92, 60.0, 0.2, 500
    told = likeness_of_a_load(mean, 0.03, kept)
    for (loads, size), few in zip(((5, 12), (15, 12), (20, 20)), before, strict=True):
        rng = np.random.default_rng(loads)
        share = rng.beta(mean * behind, (1 - mean) * behind, studios)
        sound = np.minimum((share - spoiled_chance * kept) / (1 - spoiled_chance), 1.0)
        share = spoiled_chance * kept + (1 - spoiled_chance) * sound
        spoiled = rng.random((loads, studios)) < spoiled_chance
        good = rng.binomial(size, np.where(spoiled, kept, sound)).T

        def held(counted: np.ndarray, truth: float, as_one: float, size: int = size) -> bool:
            of = len(counted) * size
            after, weight = share_after(mean, behind, float(counted.sum()), of, as_one)
            low, high = special.betaincinv(after * weight, (1 - after) * weight, [0.1, 0.9])
            return bool(low <= truth <= high)

        by_load = [
            held(one, truth, pieces_as_one(mean, behind, [(float(g), size) for g in one], told))
            for one, truth in zip(good, share, strict=True)
        ]
        by_piece = [held(one, truth, 1.0) for one, truth in zip(good, share, strict=True)]

        assert least < np.mean(by_load) < 0.9
        assert np.mean(by_piece) == pytest.approx(few, abs=0.05)


# --- molds that dry


def test_a_timed_drying_is_a_normal_mean_with_known_variance() -> None:
    """Section 2.5 of the same book: precisions add, and a future value has both variances."""
    low, high, timed = 7.0, 14.0, [12.0, 13.0, 12.0, 14.0, 11.0]
    variance = stats.norm.ppf(0.9) ** -2 * (math.log(high / low) / 2) ** 2
    room, own = 0.8 * variance, 0.2 * variance
    precision = 1 / room + len(timed) / own
    mean = (math.log(low * high) / 2 / room + sum(map(math.log, timed)) / own) / precision
    after = stats.norm(mean, math.sqrt(1 / precision + own))
    shared = (1 / precision) / (1 / precision + own)

    assert days_after(low, high, 0.8, timed) == pytest.approx(
        (math.exp(after.ppf(0.1)), math.exp(after.ppf(0.9)), shared)
    )


def test_a_mold_not_dry_yet_is_the_posterior_that_quadrature_gives() -> None:
    low, high, timed, still = 7.0, 14.0, [11.0, 12.5], [9.0, 14.0, 15.0]
    variance = stats.norm.ppf(0.9) ** -2 * (math.log(high / low) / 2) ** 2
    room, own = math.sqrt(0.8 * variance), math.sqrt(0.2 * variance)

    def weight(mean: float, power: int) -> float:
        mold = stats.norm(mean, own)
        density = stats.norm(math.log(low * high) / 2, room).pdf(mean)
        density *= mold.pdf(np.log(timed)).prod() * mold.sf(np.log(still)).prod()
        return float(mean**power * density)

    whole, first, second = (
        integrate.quad(weight, 1.5, 3.5, args=(n,), limit=400, epsabs=0)[0] for n in (0, 1, 2)
    )
    mean = first / whole
    unknown = second / whole - mean**2
    after = stats.norm(mean, math.sqrt(unknown + own**2))

    assert days_after(low, high, 0.8, timed, still) == pytest.approx(
        (math.exp(after.ppf(0.1)), math.exp(after.ppf(0.9)), unknown / (unknown + own**2)), rel=1e-5
    )


def test_molds_not_dry_yet_keep_the_middle_where_it_is() -> None:
    """
    Twelve molds poured over a fortnight, looked at on day 14: those that are dry by then are
    the quick ones, and by them alone the middle is several percent short.
    """
    rng = np.random.default_rng(6)
    spread = math.log(2) / (2 * stats.norm.ppf(0.9))
    short: dict[str, list[float]] = {"all": [], "timed": []}
    for middle in np.exp(math.log(98**0.5) + spread * 0.8**0.5 * rng.standard_normal(1500)):
        days = middle * np.exp(spread * 0.2**0.5 * rng.standard_normal(12))
        so_far = np.linspace(14, 3, 12)
        timed, still = days[days <= so_far], so_far[days > so_far]
        for name, wet in (("all", still), ("timed", [])):
            low, high, _ = days_after(7.0, 14.0, 0.8, timed, wet)
            short[name].append(math.log((low * high) ** 0.5 / middle))

    assert np.mean(short["all"]) == pytest.approx(0.0, abs=0.015)
    assert np.mean(short["timed"]) < -0.04


def test_timing_molds_leaves_what_differs_from_mold_to_mold() -> None:
    """Of 200 molds alike nothing is unknown any more of the room, and each keeps its own scatter."""
    low, high, shared = days_after(7.0, 14.0, 0.8, [20.0] * 200)
    own = 0.2 * (math.log(2) / (2 * stats.norm.ppf(0.9))) ** 2
    before, after = unknown_of_days(7.0, 14.0, 0.8), unknown_of_days(low, high, shared)

    assert 17 < low < 20 < high < 24
    assert after == pytest.approx(own / 200, rel=0.01)
    assert weight_of_count(before, after) > 0.99
    assert minutes_after(10.0, [20.0] * 99) == pytest.approx(19.9, abs=0.1)


def test_minutes_are_a_geometric_mean() -> None:
    assert minutes_after(20.0, [30.0, 30.0]) == pytest.approx((20 * 30 * 30) ** (1 / 3))
    assert minutes_after(0.0, [30.0]) == 0.0
