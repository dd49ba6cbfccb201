"""What counts do to a belief, against published examples, closed forms and scipy's own distributions."""

from __future__ import annotations

import math

import pytest
from scipy import integrate, special, stats

from pourwright.simulation.learning import (
    days_after,
    life_after,
    minutes_after,
    share_after,
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
    assert days_after(7.0, 14.0, ()) == (7.0, 14.0)
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


def test_a_timed_drying_is_a_normal_mean_with_known_variance() -> None:
    """Section 2.5 of the same book: precisions add, and a future value has both variances."""
    low, high, timed = 7.0, 14.0, [12.0, 13.0, 12.0, 14.0, 11.0]
    variance = stats.norm.ppf(0.9) ** -2 * (math.log(high / low) / 2) ** 2
    room, own = 0.8 * variance, 0.2 * variance
    precision = 1 / room + len(timed) / own
    mean = (math.log(low * high) / 2 / room + sum(map(math.log, timed)) / own) / precision
    after = stats.norm(mean, math.sqrt(1 / precision + own))

    assert days_after(low, high, timed) == pytest.approx(
        (math.exp(after.ppf(0.1)), math.exp(after.ppf(0.9)))
    )


def test_many_timings_leave_little_of_the_default() -> None:
    low, high = days_after(7.0, 14.0, [20.0] * 200)
    assert 17 < low < 20 < high < 24
    assert minutes_after(10.0, [20.0] * 99) == pytest.approx(19.9, abs=0.1)


def test_minutes_are_a_geometric_mean() -> None:
    assert minutes_after(20.0, [30.0, 30.0]) == pytest.approx((20 * 30 * 30) ** (1 / 3))
    assert minutes_after(0.0, [30.0]) == 0.0
