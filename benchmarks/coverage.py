"""How often what a plan tells comes true, over synthetic studios: writes docs/science/coverage.md.

    python -m benchmarks.coverage                 1,000 studios and 1,000 of other laws, some minutes
    python -m benchmarks.coverage --studios 100   fewer, to try a change; the page is not written

A studio's truth is drawn from what the plan believes before anything is counted, or from another
law, and played by the second engine of tests/reference, which shares nothing with the forecast but
the tables of luck. It is told its odds before the start, and once more when half of its pieces are
through the last firing, by what it has counted and timed until then. The run fails if what is drawn
from the plan's own beliefs comes true too rarely or too often.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import numpy as np
import simpy

from benchmarks.coverage_page import AS_BELIEVED, CONFIDENCE, SHARES, Told, page
from pourwright.briefs.reading import read_brief
from pourwright.briefs.records import Brief, Studio
from pourwright.plan.case import Case, build_case
from pourwright.plan.outlook import BIAS, chance_of_case, futures_of
from pourwright.plan.plan import StandingLoad, StandingMold
from pourwright.plan.standing import OwnRecord, Standing
from pourwright.simulation.chance import Chance, expected_casts_left
from pourwright.simulation.draws import Draws
from pourwright.simulation.odds import FRESH, Futures, quantile
from pourwright.simulation.problem import Floats, Ints, Policy
from pourwright.simulation.search import leads
from tests.reference.simpy_day import Line, Load, Place, Room
from tests.reference.simpy_minute import run_minutes

PAGE = Path(__file__).parents[1] / "docs" / "science" / "coverage.md"
EXAMPLES = ("metric-bowl", "us-pitcher", "tight-cup")
START = date(2030, 1, 7)
ROOMS, STUDIOS = 20, 1000
RUNS_BEFORE, RUNS_HALFWAY = 2500, 400
TRUTHS = 10_000_000
"""Runs from this number on are a studio's truth; no forecast makes them."""
SPOILED, LOSS_DRIFT, WEATHER_SPREAD, SPELL, SPELL_LIKENESS = 0.1, 2.0, 0.25, 10, 0.2
"""The other laws: loads spoiled, the factor by which losses grow or shrink over an edition, the
spread of the weather's part in drying, and how alike pieces are that dry in one spell of it."""


@dataclass(frozen=True, eq=False)
class Studied:
    """A room, the edition that is planned in it, its rule, and what was told of it before the start."""

    brief: Brief
    studio: Studio
    case: Case
    policy: Policy

    @cache  # noqa: B019 - as many as there are rooms
    def told(self, bias: float) -> Promise:
        """Return what is told before the start, put right for the clock by a share."""
        return promise_of(self.case, self.policy, RUNS_BEFORE, 1, bias)


@dataclass(frozen=True, eq=False)
class Promise:
    """Finish dates of a forecast's runs, and the pieces that are promised by each day."""

    finish: Floats
    promised: Ints
    days: tuple[int, ...]


@dataclass(frozen=True)
class Again:
    """The plan of a studio halfway."""

    case: Case
    policy: Policy


@dataclass(frozen=True)
class Truth:
    """What became of a studio: its finish, its pieces by day, and the plan it made halfway."""

    finish: int
    finished_by_day: list[int]
    halfway: Again | None = None


def rooms(rng: np.random.Generator) -> list[Studied]:
    """Return rooms with editions of other sizes, lives and molds, from the example briefs."""
    return [room_of(EXAMPLES[at % len(EXAMPLES)], rng) for at in range(ROOMS)]


def room_of(example: str, rng: np.random.Generator) -> Studied:
    """Return the room of an example, with an edition of another size, life and molds."""
    file = Path(__file__).parents[1] / "examples" / example / "edition.toml"
    brief, studio = read_brief(file, START)
    terms = replace(
        brief.edition, pieces=int(rng.integers(12, 81)), sizes=(), deadline=None, molds=None
    )
    life = int(rng.integers(12, 41))
    brief = replace(brief, edition=terms, mold=replace(brief.mold, life=life))
    case = build_case(brief, studio, START)
    molds = int(np.clip(np.ceil(terms.pieces / rng.uniform(5, 15)), 1, 10))
    rule = Policy(molds=molds, part_load_wait=4, lead=leads(case.edition)[1], eagerness=1.25)
    return Studied(brief, studio, case, rule)


# --- what is told


def promise_of(case: Case, policy: Policy, runs: int, seed: int, bias: float) -> Promise:
    """Return what the forecast tells of a case: with luck that no other studio's forecast has."""
    futures = futures_of(case)
    futures.chance, futures.bias = replace(futures.chance, seed=seed), bias
    finish = np.ceil(futures.runs(policy, runs, FRESH).finish)  # as dates are told
    by_day = np.sort(futures.curves(policy, runs)[0], axis=0)
    promised = by_day[max(int((1 - CONFIDENCE) * len(by_day)) - 1, 0)]
    return Promise(finish, promised, _days(futures, by_day))


def _days(futures: Futures, by_day: Ints) -> tuple[int, ...]:
    """Return three days on which a promise is looked at: a third, two thirds and all, half of the time."""
    middle = by_day[len(by_day) // 2]
    need = futures.edition.need
    already = int(middle[0])
    wanted = [already + (need - already) * part / 3 for part in (1, 2, 3)]
    return tuple(int(np.argmax(middle >= one)) for one in wanted)


def inside(day: int, runs: Floats, share: float) -> float:
    """Return how much of a day lies within the middle share of some runs' finishes.

    Days are whole, so the ends of a range are; the part of an end's runs that the range
    does not need counts as outside. So the mean over studios is the share itself, if the
    studios are as believed [1]_.

    References
    ----------
    .. [1] Czado, Gneiting and Held (2009), "Predictive model assessment for count data",
       Biometrics 65, 1254-1261, section 3.

    Examples
    --------
    >>> inside(3, np.array([1.0, 2.0, 3.0, 4.0]), 0.5)
    1.0
    >>> inside(1, np.array([1.0, 1.0, 3.0, 4.0]), 0.5)
    0.5
    """
    before, upto = float((runs < day).mean()), float((runs <= day).mean())
    low, high = (1 - share) / 2, (1 + share) / 2
    if before == upto:
        return float(low <= upto <= high)
    return max(min(upto, high) - max(before, low), 0.0) / (upto - before)


def judged(truth: Truth, promise: Promise, first: int = 0) -> Told:
    """Return how a promise made on the morning of day ``first`` came true."""
    day = truth.finish - first
    low, high = quantile(promise.finish, 0.1), quantile(promise.finish, 0.9)
    last = len(truth.finished_by_day) - 1
    kept = [
        truth.finished_by_day[min(first + by, last)] >= promise.promised[by]
        for by in promise.days
        if last >= 0 and promise.promised[by] > 0
    ]
    return Told(
        inside=tuple(inside(day, promise.finish, share) for share in SHARES),
        within_dates=low <= day <= high,
        late=day > high,
        early=day < low,
        days_late=max(day - high, 0.0),
        kept=sum(kept),
        promised=len(kept),
    )


# --- what becomes of a studio


@dataclass
class Diary:
    """What a studio writes down day by day, read off the engine's pieces and molds each evening."""

    line: Line
    poured: dict[int, int] = field(default_factory=dict)
    dry: dict[int, int] = field(default_factory=dict)
    good_casts: list[int] = field(default_factory=list)
    out: dict[str, list[tuple[int, int]]] = field(default_factory=dict)
    load: tuple[Load | None, int] = (None, 0)

    def evening(self, day: int, load: Load | None) -> None:
        """Write down what changed by the evening of a day."""
        line = self.line
        for mold in line.molds:
            self.poured.setdefault(mold.number, day)
            if mold.dry:
                self.dry.setdefault(mold.number, day)
        self.good_casts.append(line.dried + line.drying - sum(self.good_casts))
        for queue, good in zip(line.queues, self.good(), strict=True):
            loads = self.out.setdefault(queue.firing.name, [])
            new = queue.taken_out - sum(of for _, of in loads)
            if new:
                loads.append((good - sum(one for one, _ in loads), new))
        if load is not self.load[0]:
            self.load = (load, day)

    def good(self) -> list[int]:
        """Return the pieces that have come good out of each firing."""
        line = self.line
        through = [queue.arrivals for queue in line.queues[1:]]
        return [*through, len(line.fired) + len(line.finished)]

    def drying(self, first: date) -> tuple[tuple[date, int], ...]:
        """Return the greenware, dry or not, by the day it was cast: the last casts are still there."""
        line, days = self.line, []
        left = line.drying + len(line.queues[0].unprepared) + len(line.queues[0].shelf)
        for day in range(len(self.good_casts) - 1, -1, -1):
            count = min(self.good_casts[day], left)
            if count:
                days.append((first + timedelta(day), count))
            left -= count
        return tuple(reversed(days))

    def own(self, today: int, worn_at: Ints) -> OwnRecord:
        """Return what the studio has counted and timed; it knows a worn mold from a broken one."""
        line = self.line
        route = [queue.firing.name for queue in line.queues]
        yields = {
            "casting": (line.dried + line.drying, line.run.casts),
            "drying": (line.queues[0].arrivals, line.dried),
        }
        loads = {name: tuple(self.out[name]) for name in route if self.out.get(name)}
        yields |= {
            name: (sum(g for g, _ in m), sum(of for _, of in m)) for name, m in loads.items()
        }
        worn = [m for m in line.molds if not m.whole and m.used >= worn_at[m.number]]
        held = [m for m in line.molds if m not in worn and m.used]
        return OwnRecord(
            yields={step: counts for step, counts in yields.items() if counts[1]},
            loads=loads,
            retired_at=tuple(m.used for m in worn),
            holding_at=tuple(m.used for m in held),
            mold_days=tuple(float(self.dry[n] - self.poured[n]) for n in self.dry),
            still_drying=tuple(
                float(today - self.poured[m.number]) for m in line.molds if not m.dry
            ),
        )

    def molds(self, first: date) -> tuple[StandingMold, ...]:
        """Return the molds that may still be cast."""
        there = [m for p in self.line.places for m in (p.mold, p.following) if m and m.whole]
        return tuple(
            StandingMold(
                f"M-{m.number + 1:03d}",
                m.used,
                first + timedelta(self.poured[m.number]),
                dry=m.dry,
            )
            for m in there
        )


def standing_of(room: Room, diary: Diary, studied: Studied, today: int, worn_at: Ints) -> Standing:
    """Return how an edition stands on the morning of a day, as its book would tell it."""
    line, terms, first = diary.line, studied.brief.edition, studied.case.calendar.first
    as_of = first + timedelta(today)
    later = {queue.firing.name: queue for queue in line.queues[1:]}
    load, since = diary.load
    return Standing(
        as_of=as_of,
        planned_on=first,
        have="masters" if line.molds else studied.brief.preparation.have,
        pieces=terms.pieces,
        proofs=terms.proofs,
        molds=diary.molds(first),
        labels_given=len(line.molds),
        drying=diary.drying(first),
        waiting={name: len(q.unprepared) + len(q.shelf) for name, q in later.items()},
        prepared={name: len(queue.shelf) for name, queue in later.items()},
        through={queue.firing.name: queue.taken_out for queue in line.queues},
        load=StandingLoad(load.queue.firing.name, len(load.pieces), first + timedelta(since))
        if load
        else None,
        week_loads=0 if as_of.weekday() == 0 else room.loads_this_week,
        to_finish=len(line.fired),
        finished=len(line.finished),
        own=diary.own(today, worn_at),
    )


def played(studied: Studied, draws: Draws, worn_at: Ints | None = None) -> Truth:
    """Return what becomes of a studio by the second engine.

    With the casts at which each mold is worn, it plans again by its book halfway and goes
    on by that plan; without, it keeps to the first one.
    """
    workshop, need = futures_of(studied.case).workshop, studied.case.edition.need
    env = simpy.Environment()
    room = Room(env, workshop, [studied.policy], [draws], 0)
    line, halfway = room.lines[0], None
    diary, days = Diary(line), env.process(room.days())
    for day in range(len(workshop.minutes)):
        env.run(until=day + 0.75)  # the day is written up at half past
        if days.triggered:
            break
        if worn_at is None or halfway is not None:
            continue
        diary.evening(day, room.load)
        if len(line.fired) + len(line.finished) >= need / 2:
            standing = standing_of(room, diary, studied, day + 1, worn_at)
            halfway = planned_again(studied, standing)
            follow(line, halfway)
    return Truth(line.run.finish, line.run.finished_by_day, halfway)


def planned_again(studied: Studied, standing: Standing) -> Again:
    """Return the plan that goes on from where the studio stands, by what it has counted and timed."""
    case = build_case(studied.brief, studied.studio, standing.as_of, standing=standing)
    poured_all = standing.labels_given >= int(studied.policy.molds)
    molds = max(len(standing.molds), 1) if poured_all else int(studied.policy.molds)
    return Again(case, studied.policy.but(molds=molds))


def follow(line: Line, again: Again) -> None:
    """Let the studio go on by a new plan: what it believes, and all its molds in use."""
    edition = futures_of(again.case).edition
    for queue, firing in zip(line.queues, edition.firings, strict=True):
        queue.firing, queue.stood = line.as_quick(firing, queue.index), 0
    line.edition = replace(edition, already=replace(edition.already, casts=0))  # the line has them
    left = expected_casts_left(edition.life, chance_of_case(again.case).belief)
    line.luck.draws = replace(line.luck.draws, casts_left=left)
    there = [m for p in line.places for m in (p.mold, p.following) if m and m.whole]
    there.sort(key=lambda mold: (not mold.dry, mold.number))
    molds = int(again.policy.molds)
    line.places = [Place(mold) for mold in there] + [Place() for _ in range(molds - len(there))]
    line.policy = line.policy.but(molds=line.run.molds + molds - len(there))


# --- laws


Law = Callable[[Studied, Draws, np.random.Generator], Draws]


def as_believed(studied: Studied, draws: Draws, rng: np.random.Generator) -> Draws:
    """Leave everything as the plan believes it may be."""
    return draws


def drifting(studied: Studied, draws: Draws, rng: np.random.Generator) -> Draws:
    """Let losses in casting and in the last firing grow, or shrink, from first to last."""
    edition = studied.case.edition
    pieces = np.arange(draws.pieces)
    way = rng.choice([-1.0, 1.0])
    drift = LOSS_DRIFT ** (way * (2 * np.minimum(pieces / (edition.need / edition.passed), 1) - 1))
    fired = draws.fired_good.copy()
    fired[-1] = _counts(fired[-1], drift, rng)
    return replace(draws, cast_good=_counts(draws.cast_good, drift, rng), fired_good=fired)


def _counts(table: Ints, factor: Floats, rng: np.random.Generator) -> Ints:
    """Return a table of counts whose losses are as in another table, times a factor piece by piece."""
    loss = 1 - table[0, -1] / (table.shape[1] - 1)
    passed = rng.random(table.shape[1] - 1) >= np.minimum(loss * factor, 1.0)
    return np.concatenate([[0], np.cumsum(passed)])[None, :].astype(np.int64)


def spoiled_loads(studied: Studied, draws: Draws, rng: np.random.Generator) -> Draws:
    """Let whole loads be spoiled more often than the studio told."""
    return replace(draws, spoiled=rng.random(draws.spoiled.shape) < SPOILED)


def shared_weather(studied: Studied, draws: Draws, rng: np.random.Generator) -> Draws:
    """Let molds and ware dry by one weather, and ware crack in spells of it."""
    slower = float(np.exp(WEATHER_SPREAD * rng.standard_normal()))
    passed = studied.case.edition.dry_passed
    behind = 1 / SPELL_LIKENESS - 1
    spells = rng.beta(passed * behind, (1 - passed) * behind, draws.pieces // SPELL + 1)
    good = rng.random(draws.pieces) < np.repeat(spells, SPELL)[: draws.pieces]
    return replace(
        draws,
        dry_good=np.concatenate([[0], np.cumsum(good)])[None, :].astype(np.int64),
        mold_dry_days=np.maximum(np.rint(draws.mold_dry_days * slower), 1).astype(np.int64),
        ware_dry_days=np.rint(draws.ware_dry_days * slower).astype(np.int64),
    )


LAWS: dict[str, Law] = {
    "losses that drift": drifting,
    "more spoiled loads": spoiled_loads,
    "shared weather": shared_weather,
}
BY_THE_MINUTE = "a clock of minutes"
MEANING = {
    "losses that drift": "losses in casting and in the last firing grow from first to last, or shrink, "
    f"from 1/{LOSS_DRIFT:g} of the studio's own to {LOSS_DRIFT:g} times as much.",
    "more spoiled loads": f"of a hundred loads {100 * SPOILED:.0f} are spoiled as a whole, more than the studio "
    "told. Who sees it writes it into `kiln.spoiled_loads`.",
    "shared weather": f"one weather makes molds and ware dry slower or quicker together (spread {WEATHER_SPREAD:g} of "
    f"the logarithm), and pieces crack in spells of {SPELL} that are alike by {SPELL_LIKENESS:g}.",
    BY_THE_MINUTE: "everything as believed, played by the minute and not by the day. Told before the start only, "
    "since that engine begins with nothing; the dates have the share put in that the page of the rules states.",
}


def truths(studied: Studied, number: int) -> tuple[Draws, Ints]:
    """Return the luck of a studio, and the casts at which each of its molds is worn if nothing breaks it."""
    chance: Chance = chance_of_case(studied.case)
    pieces, molds = futures_of(studied.case).reach()
    draws = chance.draws(TRUTHS + number, 1, 2 * pieces, 2 * molds)
    whole = replace(chance, belief=replace(chance.belief, accident=0.0))
    return draws, whole.draws(TRUTHS + number, 1, 1, 2 * molds).life[0]


def studios(law: str, count: int, every: list[Studied]) -> Iterator[tuple[str, Told]]:
    """Yield how odds came true, before the start and halfway, in so many studios of a law."""
    rng = np.random.default_rng([7, *law.encode()])
    for number in range(count):
        studied = every[number % len(every)]
        draws, worn_at = truths(studied, number)
        if law == BY_THE_MINUTE:
            yield "before", judged(by_the_minute(studied, draws), studied.told(BIAS))
            continue
        draws = LAWS.get(law, as_believed)(studied, draws, rng)
        yield "before", judged(played(studied, draws), studied.told(0.0))
        truth = played(studied, draws, worn_at)
        if (again := truth.halfway) is not None:
            first = (again.case.calendar.first - studied.case.calendar.first).days
            promise = promise_of(again.case, again.policy, RUNS_HALFWAY, 1000 + number, bias=0.0)
            yield "halfway", judged(truth, promise, first)


def by_the_minute(studied: Studied, draws: Draws) -> Truth:
    """Return what becomes of a studio by the clock; of its promises only the finish is known."""
    workshop = futures_of(studied.case).workshop
    (line,) = run_minutes(workshop, [studied.policy], [draws], 0, rests=True)
    return Truth(line.finish, [])


def about(every: list[Studied], count: int) -> str:
    """Return how the studios were made."""
    pieces = [one.brief.edition.pieces for one in every]
    return (
        f"{count} studios were drawn from what a plan believes before anything is counted, and {count} of "
        f"{len(MEANING)} other laws, spread over {len(every)} rooms made from the example briefs: {min(pieces)} to "
        f"{max(pieces)} pieces, {min(int(one.policy.molds) for one in every)} to "
        f"{max(int(one.policy.molds) for one in every)} molds in use. "
        "What became of each was played by an engine that shares nothing with the forecast but the luck.\n"
        f"Before the start the dates are those of {RUNS_BEFORE} runs. Halfway, on the morning after half of the "
        "pieces came through the last firing, the plan goes on from what is there, with what the studio has "
        f"counted, load by load, and the molds it has timed, and the studio goes on by it; then the dates are those "
        f"of {RUNS_HALFWAY} runs."
    )


def main() -> int:
    """Measure, write the page, and say whether what was believed came true."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--studios", type=int, default=STUDIOS)
    count = parser.parse_args().studios
    every = rooms(np.random.default_rng(1))
    others = [*LAWS, BY_THE_MINUTE]
    told: dict[tuple[str, str], list[Told]] = {}
    for law in (AS_BELIEVED, *others):
        each = count if law == AS_BELIEVED else count // len(others)
        for when, one in studios(law, each, every):
            told.setdefault((law, when), []).append(one)
        print(f"{law}: {each} studios", file=sys.stderr)
    text, complaints = page(told, about(every, count), MEANING)
    if count == STUDIOS:
        PAGE.write_text(text, encoding="utf-8")
    else:
        print(text)
    print("\n".join(complaints), file=sys.stderr)
    return bool(complaints)


if __name__ == "__main__":
    sys.exit(main())
