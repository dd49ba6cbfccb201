"""What may be promised: finish dates, molds, casts and pieces as chances over many runs.

A `Futures` keeps the runs made so far under each rule and makes more when a question
needs them. All rules meet the same chances, so that a mold's worth is not drowned in luck.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

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

CHUNK = 2500
"""Runs made at once; more would only take more memory."""
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
    _kept: dict[tuple[Policy, int], list[Runs]] = field(default_factory=dict)
    _curves: dict[Policy, tuple[Ints, Ints, Ints]] = field(default_factory=dict)
    _reach: tuple[int, int] = (0, 0)

    @property
    def edition(self) -> Edition:
        """The edition that is looked at."""
        return self.workshop.editions[-1]

    def reach(self) -> tuple[int, int]:
        """Return how far tables go: pieces, and molds; doubled whenever a run needs more."""
        if self._reach == (0, 0):
            already = self.edition.already
            pieces = math.ceil(1.5 * self.edition.need / self.edition.passed) + 60 + already.ware
            molds = 40 + math.ceil(3 * pieces / max(self.edition.life, 2)) + len(already.molds)
            self._reach = pieces, molds
        return self._reach

    def runs(self, rule: Policy, count: int, first: int = 0) -> Runs:
        """Return ``count`` runs under a rule, from run ``first`` on, making what is missing."""
        chunks = self._kept.setdefault((rule, first), [])
        while (done := sum(len(chunk) for chunk in chunks)) < count:
            size = min(CHUNK, count - done)
            chunks.append(self.told(self._run(rule, first + done, size, size)))
        whole = _joined(chunks)
        chunks[:] = [whole]
        return whole if len(whole) == count else whole.part(slice(0, count))

    def side_by_side(self, rules: Sequence[Policy], count: int, first: int = 0) -> Runs:
        """Return the same ``count`` runs under several rules, rule after rule, none of them kept."""
        return self.told(self._run(joint(rules, count), first, count, len(rules) * count))

    def prepare(self, rules: Sequence[Policy], count: int, first: int = 0) -> None:
        """Make the first ``count`` runs under several rules in one forecast."""
        fresh = [rule for rule in dict.fromkeys(rules) if not self._kept.get((rule, first))]
        if not fresh:
            return
        whole = self.side_by_side(fresh, count, first)
        for at, rule in enumerate(fresh):
            self._kept[rule, first] = [whole.part(slice(at * count, (at + 1) * count))]

    def curves(self, rule: Policy, count: int) -> tuple[Ints, Ints, Ints]:
        """Return finished pieces, live molds and worn ones by day, (runs, days), of fresh runs."""
        if rule not in self._curves:
            size = min(count, CHUNK)
            line = self._run(rule, FRESH, size, size, curves=True)
            self._curves[rule] = line.curves()
        return self._curves[rule]

    def chances_held(
        self, rule: Policy, hold_from: int, days: Sequence[int], deadline: int, count: int
    ) -> Floats:
        """Return the chance of a deadline if molds from a number on are held back until each of some days."""
        held = rule.but(hold_from=hold_from, hold_day=np.repeat(days, count))
        line = self._run(held, FRESH, count, len(days) * count)
        in_time = self.late(line.finish) <= deadline
        return np.asarray(in_time.reshape(len(days), count).mean(axis=1))

    def _run(
        self, policy: Policy, first: int, rows: int, runs: int, *, curves: bool = False
    ) -> LineOutcome:
        while True:
            pieces, molds = self.reach()
            chances = [*(chance for chance, _ in self.before), self.chance]
            policies = [*(other for _, other in self.before), policy]
            draws = [chance.draws(first, rows, pieces, molds) for chance in chances]
            line = forecast(self.workshop, policies, draws, runs, curves=curves).lines[-1]
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


def _joined(chunks: list[Runs]) -> Runs:
    if len(chunks) == 1:
        return chunks[0]
    return Runs(
        *(np.concatenate([getattr(chunk, name) for chunk in chunks], axis=-1) for name in _NAMES)
    )


def ends_of(futures: Futures, chances: Sequence[Chance], rule: Policy, count: int) -> list[Runs]:
    """Return the fresh runs of the same edition under several chances.

    The chances differ in what is held fixed; the edition and its rule are the same.
    """
    policies = [*(other for _, other in futures.before), rule]
    while True:
        pieces, reach = futures.reach()
        before = [chance.draws(FRESH, count, pieces, reach) for chance, _ in futures.before]
        lines = []
        for chance in chances:
            draws = [*before, chance.draws(FRESH, count, pieces, reach)]
            lines.append(forecast(futures.workshop, policies, draws, count).lines[-1])
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
    ordered = np.sort(values)
    return float(ordered[min(max(math.ceil(share * len(ordered)) - 1, 0), len(ordered) - 1)])


def casts_for(
    chance: Chance, confidence: float, count: int, reach: tuple[int, int]
) -> tuple[int, Ints]:
    """Return the casts to start at once so that enough come out, and what is then over in each run.

    Parameters
    ----------
    chance : Chance
        Of the edition.
    confidence : float
        Chance asked for that numbers and proofs all come out. [-]
    count : int
        Runs. [-]
    reach : tuple of int
        How far the tables go: pieces, molds. [-]

    Returns
    -------
    tuple of int and ndarray of int, (count,)
        Casts, and good pieces beyond those needed (negative: missing).
    """
    firsts = range(FRESH, FRESH + count, CHUNK)
    sizes = (min(CHUNK, FRESH + count - first) for first in firsts)
    draws = (chance.draws(first, n, *reach) for first, n in zip(firsts, sizes, strict=True))
    reached = np.concatenate([_come_out(chance, some).astype(np.int32) for some in draws])
    enough = reached >= chance.edition.need
    first = np.where(enough.any(axis=1), enough.argmax(axis=1), reached.shape[1] - 1)
    casts = int(quantile(first, confidence))
    return casts, reached[:, casts] - chance.edition.need


def pieces_from_molds(
    chance: Chance, confidence: float, count: int, reach: tuple[int, int], molds: Sequence[int]
) -> list[int]:
    """Return the finished pieces that so many molds, and no more, give with the confidence asked.

    Each mold is cast until it is worn out; molds that are there count with the casts they
    have left. The days it takes are not asked.

    Parameters
    ----------
    chance : Chance
        Of the edition.
    confidence : float
        Share of the runs that must give at least so many. [-]
    count : int
        Runs. [-]
    reach : tuple of int
        How far the tables go: pieces, molds. [-]
    molds : sequence of int
        Molds poured in all, at most as many as the tables reach. [-]
    """
    edition = chance.edition
    pieces, _ = reach
    # what molds of luckier runs give beyond this is far from the runs that decide
    most = math.ceil(_LUCKY * max(molds) * edition.life) + edition.already.ware
    draws = chance.draws(FRESH, count, max(pieces, most), max(molds))
    used = np.zeros(draws.life.shape[1], dtype=np.int64)
    there = [mold.casts for mold in edition.already.molds]
    used[: len(there)] = there
    thrown_away = np.maximum(edition.conditioning - used, 0)
    given = np.cumsum(np.maximum(draws.life - used - thrown_away, 0), axis=1)
    reached = _come_out(chance, draws)
    rows, last = np.arange(count), reached.shape[1] - 1
    good = (reached[rows, np.minimum(given[:, k - 1], last)] for k in molds)
    return [int(quantile(-one, confidence) * -1) for one in good]


def _come_out(chance: Chance, draws: Draws) -> Ints:
    """Return the pieces that come out in each run, by the casts that are started."""
    count = draws.cast_good.shape[0]
    rows, already = np.arange(count)[:, None], chance.edition.already
    reached = draws.dry_good[rows, np.minimum(draws.cast_good + already.green, draws.pieces)]
    for k, table in enumerate(draws.fired_good):
        came = reached + already.came_to(k)
        reached = _through_loads(
            chance.edition, k, came, table, draws.fired_spoiled[k], draws.spoiled[k]
        )
    return np.asarray(reached + already.to_finish + already.finished)


def _through_loads(
    edition: Edition, k: int, came: Ints, sound: Ints, spoiled: Ints, bad: np.ndarray
) -> Ints:
    """Return how many are good after a firing in full loads, for each number of casts."""
    size = edition.firings[k].capacity
    pieces = sound.shape[1] - 1
    of_piece = np.minimum(np.arange(pieces) // size, bad.shape[1] - 1)
    good = np.where(bad[:, of_piece], np.diff(spoiled, axis=1), np.diff(sound, axis=1))
    counted = np.concatenate(
        [np.zeros((len(good), 1), dtype=np.int64), np.cumsum(good, axis=1)], axis=1
    )
    return np.take_along_axis(counted, np.minimum(came, pieces), axis=1)
