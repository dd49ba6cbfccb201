"""Chance, drawn before a run: counted random numbers and what is believed of a studio.

A random number here has an address: seed, run, stream, place. The seventh cast of
run 12 comes out or not whatever the policy is, so two policies meet the same
chances, any run can be made again alone, and another engine can be given the same.

What is not measured is not plugged in: each run draws its own yields, drying, mold
life and minutes from a `Belief`, and then its pieces from those.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from statistics import NormalDist
from typing import Any

import numpy as np

from pourwright.simulation.draws import Draws
from pourwright.simulation.problem import NEVER, Counts, Edition, Floats, Ints

CAST, DRY, FIRED, SPOILED, LIFE, ACCIDENT, MOLD_DRYING, BELIEF = 1, 2, 10, 20, 3, 4, 5, 40
"""Streams; ``FIRED`` and ``SPOILED`` are counted on by the firing, ``BELIEF`` by the parameter."""

PARAMETERS = (
    "cast_passed",
    "dry_passed",
    "fired_passed",
    "life",
    "mold_drying",
    "ware_drying",
    "preparation",
    "work",
)

MOLD_DAYS_SHARED = 0.8
"""What the room and the season have in the doubt of molds' drying before any was timed; common
practice, no source."""


def uniforms(seed: int, runs: Ints, stream: int, places: int) -> Floats:
    """Return the random numbers at an address, each in [0, 1).

    Parameters
    ----------
    seed : int
        0 or more.
    runs : ndarray of int, (n,)
        Numbers of the runs.
    stream : int
        What they are for, below 1024.
    places : int
        How many for each run.

    Returns
    -------
    ndarray of float, (n, places)
        The same whenever the address is the same. [-]

    Notes
    -----
    The address is mixed as in the SplitMix64 generator of Steele, Lea and Flood
    (2014), "Fast splittable pseudorandom number generators", OOPSLA.
    """
    from pourwright.simulation import luck

    drawn = np.empty((len(runs), places))
    luck.draw_uniforms(seed, stream, runs, drawn)
    return drawn


@dataclass(frozen=True, slots=True)
class Belief:
    """How sure the planner is of each parameter of an edition.

    Parameters
    ----------
    pieces_behind_yields : float
        Every share that passes is drawn from a beta distribution worth so many
        pieces of experience. [-]
    pieces_behind : tuple of float
        The same for casting, drying and each firing by itself, where they differ;
        empty where they do not. [-]
    life_spread, life_shape : float
        Standard deviation of the logarithm of the mean life, from run to run;
        Weibull shape of the life of one mold around it. [-]
    accident : float
        Chance that a mold breaks at any one cast. [-]
    mold_days : tuple of float
        The span that a mold's drying keeps in eight of ten runs. [days]
    mold_days_shared : float
        Share of the variance of its logarithm that all molds of a run have in common:
        what is unknown of the room and the season. The rest is each mold's own. [-]
    ware_spread, preparation_spread, work_spread : float
        Standard deviations of the logarithms of ware drying, of the days before
        the first pour and of hands' minutes. [-]
    made_again : tuple of (float, int)
        Chance that something is refused and made once more before the first pour,
        and the days that takes: a pair for each such thing, at most two. [-], [days]
    """

    pieces_behind_yields: float = 60.0
    life_spread: float = 0.2
    life_shape: float = 4.0
    accident: float = 0.003
    mold_days: tuple[float, float] = (7.0, 14.0)
    mold_days_shared: float = MOLD_DAYS_SHARED
    ware_spread: float = 0.15
    preparation_spread: float = 0.15
    work_spread: float = 0.15
    pieces_behind: tuple[float, ...] = ()
    made_again: tuple[tuple[float, int], ...] = ()

    def behind(self, number: int) -> float:
        """Return the pieces behind a share: 0 casting, 1 drying, 2 the first firing, and so on."""
        return self.pieces_behind[number] if self.pieces_behind else self.pieces_behind_yields


_NUMBERS = 16
"""Parameters of an edition are numbered below this."""
_PRIMES = [n for n in range(2, 1000) if all(n % k for k in range(2, math.isqrt(n) + 1))]
_RARE = 1e-6
"""Ages that fewer molds than this reach are left out of what the maker believes."""
_LONGEST = -math.log(1e-12)
"""So far, in wear, the ages are summed: rare lives must not be missing from a rare age's mean."""
# scipy is imported where it is used: its fifteen megabytes are for the process that plans.
_TEN_PERCENT = NormalDist().inv_cdf(0.9)


@dataclass(frozen=True, slots=True)
class Chance:
    """The seed and the beliefs from which an edition's draws are made.

    ``fixed`` holds parameters at a quantile of their belief in every run; that
    is how one parameter's part in the risk is told. ``line`` keeps the streams
    of several editions apart. However slow the hands of a run are, a cast with its
    fettling, a load, or the pouring of one mold takes no more than
    ``longest_day_min``: who is that slow works longer for once. [min]
    """

    edition: Edition
    belief: Belief
    seed: int = 1
    line: int = 0
    fixed: Mapping[str, float] | None = None
    longest_day_min: int = NEVER

    def holding(self, parameter: str, quantile: float) -> Chance:
        """Return the same chances with one parameter held at a quantile."""
        return replace(self, fixed={**(self.fixed or {}), parameter: quantile})

    def draws(self, first: int, runs: int, pieces: int, molds: int) -> Draws:
        """Return the tables of runs ``first`` to ``first + runs - 1``.

        Parameters
        ----------
        first, runs : int
            Which runs. [-]
        pieces, molds : int
            How far the tables reach. [-]

        Returns
        -------
        Draws
            One row a run.
        """
        at = _Rows(self, first, runs, pieces, molds)
        tables: dict[str, Any] = {}
        for parameter in PARAMETERS:
            tables |= at.tables(parameter)
        return Draws(casts_left=expected_casts_left(self.edition.life, self.belief), **tables)

    def drawn_otherwise(self, draws: Draws, parameter: str, quantile: float, first: int) -> Draws:
        """Return tables of the runs from ``first`` on with one parameter held at a quantile.

        All else in ``draws``, the tables of these chances, is as it was.
        """
        held = self.holding(parameter, quantile)
        runs, molds = draws.life.shape
        at = _Rows(held, first, runs, draws.pieces, molds)
        return replace(draws, **at.tables(parameter))


@dataclass(frozen=True, slots=True)
class _Rows:
    """The draws of some runs, parameter by parameter."""

    chance: Chance
    first: int
    runs: int
    pieces: int
    molds: int

    def tables(self, parameter: str) -> dict[str, Any]:
        """Return the tables of `Draws` that hang on one of `PARAMETERS`, by their names."""
        edition, belief = self.chance.edition, self.chance.belief
        match parameter:
            case "cast_passed":
                share = self.share("cast_passed", edition.cast_passed, 0)
                return {"cast_good": self.passes(share, CAST)}
            case "dry_passed":
                share = self.share("dry_passed", edition.dry_passed, 1)
                return {"dry_good": self.passes(share, DRY)}
            case "fired_passed":
                good, bad = self.fired()
                return {"fired_good": good, "fired_spoiled": bad, "spoiled": self.spoiled()}
            case "life":
                return {"life": self.lives()}
            case "mold_drying":
                return {"mold_dry_days": self.mold_days()}
            case "ware_drying":
                factor = self.factor("ware_drying", belief.ware_spread, 11)
                return {"ware_dry_days": self.whole(edition.ware_dry_days, factor)}
            case "preparation":
                factor = self.factor("preparation", belief.preparation_spread, 12)
                days = self.whole(edition.pour_from, factor)
                return {"pour_from": days + self.made_again_days()}
            case _:
                return self.hands_min()

    @property
    def numbers(self) -> Ints:
        """The numbers of the runs."""
        return np.arange(self.first, self.first + self.runs)

    def stream(self, number: int) -> int:
        """Return a stream of this edition's own."""
        return number + 64 * self.chance.line

    def uniform(self, stream: int, places: int) -> Floats:
        return uniforms(self.chance.seed, self.numbers, self.stream(stream), places)

    def level(self, parameter: str, number: int) -> Floats:
        """Return where in its belief each run's parameter lies, as a quantile.

        Runs that follow each other are spread evenly over the belief, each parameter in
        steps of its own, the square root of a prime (R. D. Richtmyer, "The evaluation of
        definite integrals, and a quasi-Monte-Carlo method based on the properties of
        algebraic numbers", Los Alamos report LA-1342, 1951); the seed says where they begin.
        """
        fixed = (self.chance.fixed or {}).get(parameter)
        if fixed is not None:
            return np.full(self.runs, fixed)
        shift = uniforms(self.chance.seed, np.zeros(1, np.int64), self.stream(BELIEF + number), 1)
        step = math.sqrt(_PRIMES[(number + _NUMBERS * self.chance.line) % len(_PRIMES)])
        return np.asarray((shift[0, 0] + self.numbers * step) % 1.0)

    def share(self, parameter: str, mean: float, number: int) -> Floats:
        """Draw a share that passes; a share of 1 is believed."""
        if mean >= 1.0:
            return np.ones(self.runs)
        from scipy import special

        behind = self.chance.belief.behind(number)
        return np.asarray(
            special.betaincinv(mean * behind, (1 - mean) * behind, self.level(parameter, number))
        )

    def factor(self, parameter: str, spread: float, number: int) -> Floats:
        """Draw a factor around 1."""
        from scipy import special

        level = np.clip(self.level(parameter, number), 1e-12, 1 - 1e-12)
        return np.asarray(np.exp(spread * special.ndtri(level)))

    def whole(self, expected: int, factor: Floats) -> Ints:
        return np.rint(expected * factor).astype(np.int64)

    def made_again_days(self) -> Ints:
        """Draw the days that what is refused before the first pour takes once more."""
        days = np.zeros(self.runs, dtype=np.int64)
        for at, (chance, more) in enumerate(self.chance.belief.made_again):
            days += np.where(self.level("made_again", 6 + at) < chance, more, 0)
        return days

    def hands_min(self) -> dict[str, Ints]:
        """Draw the minutes of all that hands do: in each run they are as quick at one thing as at another."""
        edition, most = self.chance.edition, self.chance.longest_day_min
        factor = self.factor("work", self.chance.belief.work_spread, 13)

        def drawn(expected: int) -> Ints:
            minutes = np.maximum(self.whole(expected, factor), min(expected, 1))
            return np.asarray(np.minimum(minutes, most))

        cast, one_mold = drawn(edition.cast_min), drawn(edition.set_min)
        return {
            "cast_min": cast,
            "fettle_min": np.minimum(drawn(edition.fettle_min), most - cast),
            "finish_min": drawn(edition.finish_min),
            "prep_min": np.stack([drawn(f.prep_min) for f in edition.firings], axis=1),
            "handling_min": np.stack([drawn(f.handling_min) for f in edition.firings], axis=1),
            "setup_min": np.minimum(drawn(edition.setup_min), most - one_mold),
            "set_min": one_mold,
        }

    def passes(self, share: Floats, stream: int) -> Counts:
        """Count how many of the first n pieces pass."""
        counts = np.empty((self.runs, self.pieces + 1), dtype=np.int32)
        self.count(share, stream, counts)
        return counts

    def count(self, share: Floats, stream: int, counts: Counts) -> None:
        """Write into a table how many of the first n pieces pass."""
        from pourwright.simulation import luck

        luck.count_passes(self.chance.seed, self.stream(stream), self.numbers, share, counts)

    def fired(self) -> tuple[Counts, Counts]:
        """Count passes of each firing in sound loads and in spoiled ones."""
        firings = self.chance.edition.firings
        good = np.empty((len(firings), self.runs, self.pieces + 1), dtype=np.int32)
        if not any(firing.spoiled_chance for firing in firings):
            bad = good
        else:
            bad = np.empty_like(good)
        for k, firing in enumerate(firings):
            q, kept = firing.spoiled_chance, firing.spoiled_passed
            share = self.share("fired_passed", firing.passed, 2 + k)
            sound = np.clip((share - q * kept) / (1 - q), 0.0, 1.0)
            self.count(sound, FIRED + k, good[k])
            if q:
                self.count(np.full(self.runs, kept), FIRED + k, bad[k])
            elif bad is not good:
                bad[k] = good[k]
        return good, bad

    def spoiled(self) -> np.ndarray:
        """Draw which loads of each firing are spoiled."""
        firings = self.chance.edition.firings
        spoiled = np.zeros((len(firings), self.runs, self.pieces), dtype=bool)
        for k, firing in enumerate(firings):
            if firing.spoiled_chance:
                spoiled[k] = self.uniform(SPOILED + k, self.pieces) < firing.spoiled_chance
        return spoiled

    def lives(self) -> Ints:
        """Draw each mold's casts: wear around the run's mean, cut short by accidents."""
        from scipy import special

        belief = self.chance.belief
        mean = self.chance.edition.life * self.factor("life", belief.life_spread, 10)
        scale = mean / special.gamma(1 + 1 / belief.life_shape)
        given = _casts_given(self.chance.edition, self.molds)
        wear = -np.log1p(-self.uniform(LIFE, self.molds))
        if given.any():  # a mold that has held so far has spent that much of its wear
            wear += (given[None, :] / scale[:, None]) ** belief.life_shape
        life = np.maximum(np.ceil(scale[:, None] * wear ** (1 / belief.life_shape)), given + 1)
        if belief.accident > 0:
            broken = np.ceil(
                np.log1p(-self.uniform(ACCIDENT, self.molds)) / np.log1p(-belief.accident)
            )
            life = np.minimum(life, given + np.maximum(broken, 1))
        return np.asarray(life.astype(np.int64))

    def mold_days(self) -> Ints:
        """Draw each mold's drying: the room and season of the run, and a little of its own.

        One that was weighed is dry when its weighings say, whatever the room.
        """
        from scipy import special

        low, high = self.chance.belief.mold_days
        shared = self.chance.belief.mold_days_shared
        spread = np.log(high / low) / (2 * _TEN_PERCENT)
        middle = np.sqrt(low * high) * self.factor("mold_drying", spread * np.sqrt(shared), 14)
        level = np.clip(self.uniform(MOLD_DRYING, self.molds), 1e-12, 1 - 1e-12)
        own = np.exp(spread * np.sqrt(1 - shared) * special.ndtri(level))
        days = np.maximum(np.rint(middle[:, None] * own), 1)
        for at, mold in enumerate(self.chance.edition.already.molds):
            if mold.ready_days is not None:
                first, last = mold.ready_days
                reach = (last - first) / (2 * _TEN_PERCENT)
                ready = (first + last) / 2 + reach * special.ndtri(level[:, at])
                days[:, at] = np.rint(ready) - mold.poured_day
        return np.asarray(days.astype(np.int64))


def _casts_given(edition: Edition, molds: int) -> Ints:
    """Return the casts that each mold of the tables has given already."""
    given = np.zeros(molds, dtype=np.int64)
    for at, mold in enumerate(edition.already.molds):
        given[at] = mold.casts
    return given


def expected_casts_left(life: int, belief: Belief) -> Floats:
    """Return how many casts a mold is expected to give yet, by the casts it has given.

    Parameters
    ----------
    life : int
        Mean casts of a mold. [-]
    belief : Belief
        Shape of its life, and accidents.

    Returns
    -------
    ndarray of float, (casts + 1,)
        The mean of what is left after a casts, ``sum(S(k), k >= a) / S(a)``: a
        mold that has given a casts and is still whole gives at least one more.
    """
    from scipy import special

    scale = life / special.gamma(1 + 1 / belief.life_shape)
    ages = np.arange(math.ceil(scale * _LONGEST ** (1 / belief.life_shape)) + 2)
    survival = np.exp(-((ages / scale) ** belief.life_shape)) * (1 - belief.accident) ** ages
    tail = np.cumsum(survival[::-1])[::-1]
    kept = survival > _RARE
    return np.asarray(tail[kept] / survival[kept])
