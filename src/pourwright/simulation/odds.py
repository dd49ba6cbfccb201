"""What may be promised: finish dates, molds, casts and pieces as chances over many runs.

A `Futures` keeps the runs made so far under each rule and makes more when a question
needs them. All rules meet the same chances, so that a mold's worth is not drowned in luck.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from pourwright.simulation.chance import Chance
from pourwright.simulation.draws import Draws
from pourwright.simulation.forecast import forecast
from pourwright.simulation.outcome import LineOutcome
from pourwright.simulation.problem import (
    Edition,
    Floats,
    Ints,
    Policy,
    Workshop,
    joint,
)

_MOST_CURVES = 2500
"""Runs of which every day is kept; more would only take more memory."""
_PLACES_AT_ONCE = 300_000
"""Runs times casts whose tables are made at once, some eight megabytes: more takes longer to get
from the system than to fill."""
FRESH = 1_000_000
"""Runs from this number on are kept for reporting; none of them is used to choose."""
_LUCKY = 1.3
"""So many times their expected casts are followed of molds that are cast until they are worn out."""


@dataclass(slots=True)
class Runs:
    """The outcome of runs; see `LineOutcome` for the names."""

    finish: Floats
    casts: Ints
    conditioning: Ints
    molds: Ints
    sessions: Ints
    last_pour: Ints
    loads: Ints

    def __len__(self) -> int:
        """Return how many runs there are."""
        return len(self.finish)

    def part(self, own: slice) -> Runs:
        """Return some of the runs."""
        return Runs(*(getattr(self, name)[..., own] for name in _NAMES))


@dataclass
class Futures:
    """The futures of one edition in its room, by the rule that it is made by.

    Parameters
    ----------
    workshop : Workshop
        With this edition last: editions before it have the first claim.
    chance : Chance
        Of this edition.
    before : sequence of (Chance, Policy)
        Of the editions with the first claim.
    bias : float
        Share of the days from first pour to finish that counting whole days
        leaves out; see ``docs/science/forecast.md``. [-]
    """

    workshop: Workshop
    chance: Chance
    before: Sequence[tuple[Chance, Policy]] = ()
    bias: float = 0.0
    _kept: dict[tuple[Policy, int], Runs] = field(default_factory=dict)
    _curves: dict[Policy, tuple[Ints, Ints, Ints]] = field(default_factory=dict)
    _reach: tuple[int, int] = (0, 0)

    @property
    def edition(self) -> Edition:
        """The edition that is looked at."""
        return self.workshop.editions[-1]

    def reach(self) -> tuple[int, int]:
        """Return how far tables go: pieces, and molds; doubled whenever a run needs more."""
        if self._reach == (0, 0):
            already, early = self.edition.already, math.exp(2 * self.chance.belief.life_spread)
            pieces = math.ceil(1.5 * self.edition.need / self.edition.passed) + 60 + already.ware
            molds = math.ceil(2 * early * pieces / max(self.edition.life, 2))
            molds += 24 + len(already.molds)
            self._reach = pieces, molds
        return self._reach

    def runs(self, rule: Policy, count: int, first: int = 0) -> Runs:
        """Return ``count`` runs under a rule, from run ``first`` on, making what is missing."""
        self.prepare([rule], count, first)
        kept = self._kept[rule, first]
        return kept if len(kept) == count else kept.part(slice(0, count))

    def side_by_side(self, rules: Sequence[Policy], count: int, first: int = 0) -> Runs:
        """Return the same ``count`` runs under several rules, rule after rule, none of them kept."""
        parts = []
        for at, size in self.at_once(first, count):
            policy = joint(rules, size) if len(rules) > 1 else rules[0]
            parts.append(self.told(self._run(policy, at, size, len(rules) * size)))
        return joined(parts, len(rules))

    def at_once(self, first: int, count: int) -> Iterator[tuple[int, int]]:
        """Yield the first of the runs whose tables are made at once, and how many these are."""
        most, end = max(_PLACES_AT_ONCE // self.reach()[0], 1), first + count
        for at in range(first, end, most):
            yield at, min(most, end - at)

    def prepare(self, rules: Sequence[Policy], count: int, first: int = 0) -> None:
        """Make what is missing of ``count`` runs under several rules at once."""
        made = {rule: self._made(rule, first) for rule in rules}
        fresh = [rule for rule, many in made.items() if many < count]
        if not fresh:
            return
        done = min(made[rule] for rule in fresh)
        size = count - done
        whole = self.side_by_side(fresh, size, first + done)
        for at, rule in enumerate(fresh):
            more = whole.part(slice(at * size, (at + 1) * size))
            if done:
                more = joined([self._kept[rule, first].part(slice(0, done)), more])
            self._kept[rule, first] = more

    def _made(self, rule: Policy, first: int) -> int:
        """Return how many runs there are under a rule from run ``first`` on."""
        kept = self._kept.get((rule, first))
        return 0 if kept is None else len(kept)

    def curves(self, rule: Policy, count: int) -> tuple[Ints, Ints, Ints]:
        """Return finished pieces, live molds and worn ones by day, (runs, days), of fresh runs.

        The last day, on which all of these runs have ended, stands for all that follow;
        `on_day` looks it up.
        """
        if rule not in self._curves:
            size = min(count, _MOST_CURVES)
            ends = self.runs(rule, size, FRESH).finish
            days = int(ends.max()) + 2 if np.isfinite(ends).all() else None
            parts = [
                self._run(rule, at, some, some, curves=True, days=days).curves()
                for at, some in self.at_once(FRESH, size)
            ]
            finished, live, worn = (np.concatenate(one) for one in zip(*parts, strict=True))
            self._curves[rule] = finished, live, worn
        return self._curves[rule]

    def on_day(self, by_day: Ints, day: int) -> Ints:
        """Return one of the `curves` on a day that is put right for the bias."""
        return np.asarray(by_day[:, min(self.counted(day), by_day.shape[1] - 1)])

    def chances_held(
        self, rule: Policy, hold_from: int, days: Sequence[int], deadline: int, count: int
    ) -> Floats:
        """Return the chance of a deadline if molds from a number on are held back until each of some days."""
        held = rule.but(hold_from=hold_from, hold_day=np.repeat(days, count), give_up=deadline)
        line = self._run(held, FRESH, count, len(days) * count)
        in_time = self.late(line.finish) <= deadline
        return np.asarray(in_time.reshape(len(days), count).mean(axis=1))

    def _run(
        self,
        policy: Policy,
        first: int,
        rows: int,
        runs: int,
        *,
        curves: bool = False,
        days: int | None = None,
    ) -> LineOutcome:
        workshop = replace(self.workshop, minutes=self.workshop.minutes[:days])
        while True:
            pieces, molds = self.reach()
            chances = [*(chance for chance, _ in self.before), self.chance]
            policies = [*(other for _, other in self.before), policy]
            draws = [chance.draws(first, rows, pieces, molds) for chance in chances]
            line = forecast(workshop, policies, draws, runs, curves=curves).lines[-1]
            if not line.out_of_tables.any():
                return line
            self.widen()

    def widen(self) -> None:
        """Let tables go twice as far."""
        pieces, molds = self.reach()
        self._reach = 2 * pieces, 2 * molds

    def told(self, line: LineOutcome) -> Runs:
        """Return an outcome with its days put right for the bias."""
        return Runs(
            self.late(line.finish),
            line.casts,
            line.conditioning,
            line.molds,
            line.sessions,
            line.last_pour,
            line.loads,
        )

    def late(self, day: Ints) -> Floats:
        """Return days put right for the bias; a run that never ends is infinitely late. [days]"""
        making = np.maximum(day - self.edition.pour_from, 0)
        return np.where(day < 0, np.inf, day + self.bias * making)

    def counted(self, day: int) -> int:
        """Return the last day of the runs that, put right for the bias, is no later than a day. [days]"""
        making = day - self.edition.pour_from
        return (
            day
            if making <= 0
            else self.edition.pour_from + math.floor(making / (1 + self.bias) + 1e-9)
        )

    def chance_of(self, rule: Policy, deadline: int, count: int, first: int = FRESH) -> float:
        """Return the share of runs under a rule that finish by a day."""
        return float((self.runs(rule, count, first).finish <= deadline).mean())


_NAMES = ("finish", "casts", "conditioning", "molds", "sessions", "last_pour", "loads")


def joined(parts: Sequence[Runs], rules: int = 1) -> Runs:
    """Return parts of the same runs under some rules as one, rule after rule."""
    if len(parts) == 1:
        return parts[0]

    def whole(name: str) -> np.ndarray:
        columns = [getattr(part, name) for part in parts]
        by_rule = [one.reshape(*one.shape[:-1], rules, -1) for one in columns]
        return np.concatenate(by_rule, axis=-1).reshape(*columns[0].shape[:-1], -1)

    return Runs(*(whole(name) for name in _NAMES))


def ends_of(
    futures: Futures, ends: Sequence[tuple[str, float]], rule: Policy, count: int
) -> list[Runs]:
    """Return the fresh runs of the edition under a rule with a parameter held at a quantile, for each of some ends."""
    parts = [_ends(futures, ends, rule, *some) for some in futures.at_once(FRESH, count)]
    return [joined(own) for own in zip(*parts, strict=True)]


def _ends(
    futures: Futures, ends: Sequence[tuple[str, float]], rule: Policy, first: int, count: int
) -> list[Runs]:
    """Return the same of the runs from ``first`` on."""
    policies = [*(other for _, other in futures.before), rule]
    while True:
        pieces, reach = futures.reach()
        before = [chance.draws(first, count, pieces, reach) for chance, _ in futures.before]
        own = futures.chance.draws(first, count, pieces, reach)
        lines = []
        for parameter, held in ends:
            draws = futures.chance.drawn_otherwise(own, parameter, held, first)
            lines.append(forecast(futures.workshop, policies, [*before, draws], count).lines[-1])
        if not any(line.out_of_tables.any() for line in lines):
            return [futures.told(line) for line in lines]
        futures.widen()


def quantile(values: np.ndarray, share: float) -> float:
    """Return the least value that so great a share of the runs does not exceed.

    Examples
    --------
    >>> quantile(np.array([5.0, 1.0, 4.0, 2.0, 3.0]), 0.5)
    3.0
    """
    return quantiles(values, [share])[0]


def quantiles(values: np.ndarray, shares: Iterable[float]) -> list[float]:
    """Return the least values that so great shares of the runs do not exceed, sorted once."""
    ordered = np.sort(values)
    last = len(ordered) - 1
    return [float(ordered[min(max(math.ceil(q * len(ordered)) - 1, 0), last)]) for q in shares]


@dataclass(frozen=True, slots=True)
class CameOut:
    """What comes out of an edition's casts, run by run, however many days that takes.

    Parameters
    ----------
    need : int
        Numbers and proofs. [-]
    reached : ndarray of int, (runs, casts + 1)
        Good pieces, by the casts that are started at once. [-]
    given : ndarray of int, (runs, molds)
        Casts that the first molds give, by their number, each cast until it is worn out;
        molds that are there count with the casts they have left. [-]
    """

    need: int
    reached: np.ndarray
    given: Ints

    def casts_for(self, confidence: float) -> tuple[int, np.ndarray]:
        """Return the casts to start so that enough come out, and what is then over in each run.

        Parameters
        ----------
        confidence : float
            Chance asked for that numbers and proofs all come out. [-]

        Returns
        -------
        tuple of int and ndarray of int, (runs,)
            Casts, and good pieces beyond those needed (negative: missing).
        """
        enough = self.reached >= self.need
        first = np.where(enough.any(axis=1), enough.argmax(axis=1), self.reached.shape[1] - 1)
        casts = int(quantile(first, confidence))
        return casts, self.reached[:, casts] - self.need

    def pieces_from(self, molds: int, confidence: float) -> int:
        """Return the finished pieces that so many molds, and no more, give.

        Parameters
        ----------
        molds : int
            Molds poured in all. [-]
        confidence : float
            Share of the runs that give at least so many. [-]
        """
        return -int(quantile(-self._good_from(molds), confidence))

    def too_few(self, molds: int, need: int) -> float:
        """Return the share of the runs in which so many molds, and no more, give fewer finished pieces than needed."""
        return float((self._good_from(molds) < need).mean())

    def _good_from(self, molds: int) -> Ints:
        """Return the finished pieces that so many molds, and no more, give in each run."""
        given = self.given[:, molds - 1] if molds else 0
        casts = np.minimum(given, self.reached.shape[1] - 1)
        return np.asarray(self.reached[np.arange(len(self.reached)), casts])


def came_out(chance: Chance, count: int, pieces: int, molds: int) -> CameOut:
    """Return what comes out of the casts of so many fresh runs.

    Parameters
    ----------
    chance : Chance
        Of the edition.
    count : int
        Runs. [-]
    pieces : int
        Casts that are looked at, at least. [-]
    molds : int
        The most molds that are asked about. [-]
    """
    already = chance.edition.already
    # what molds of luckier runs give beyond this is far from the runs that decide
    most = math.ceil(_LUCKY * molds * chance.edition.life) + already.ware
    pieces = max(pieces, most)
    reached = np.empty((count, pieces + 1), dtype=np.int32)
    given = np.empty((count, molds), dtype=np.int64)
    step = max(_PLACES_AT_ONCE // pieces, 1)
    for first in range(0, count, step):
        own = slice(first, min(first + step, count))
        size = own.stop - own.start
        draws = chance.draws(FRESH + first, size, pieces, max(molds, len(already.molds)))
        _come_out(chance.edition, draws, reached[own])
        given[own] = _casts_given(chance.edition, draws)[:, :molds]
    reached += already.to_finish + already.finished
    return CameOut(chance.edition.need, reached, given)


def _casts_given(edition: Edition, draws: Draws) -> Ints:
    """Return the casts that the first molds give until they are worn out, by their number."""
    used = np.zeros(draws.life.shape[1], dtype=np.int64)
    there = [mold.casts for mold in edition.already.molds]
    used[: len(there)] = there
    thrown_away = np.maximum(edition.conditioning - used, 0)
    return np.asarray(np.cumsum(np.maximum(draws.life - used - thrown_away, 0), axis=1))


def _come_out(edition: Edition, draws: Draws, reached: np.ndarray) -> None:
    """Fill in the pieces through the last firing, by the casts that are started."""
    from pourwright.simulation import coming_out

    firings = edition.firings
    capacity = np.array([firing.capacity for firing in firings])
    came_to = np.array([edition.already.came_to(k) for k in range(len(firings))])
    coming_out.come_out(
        draws.cast_good,
        draws.dry_good,
        draws.fired_good,
        draws.fired_spoiled,
        draws.spoiled,
        capacity,
        edition.already.green,
        came_to,
        np.empty(draws.pieces + 1, dtype=np.int64),
        reached,
    )
