"""The same workshop by the minute: what does counting in whole days leave out?

FROZEN. This is a reference, not an opponent. The forecast does a day's work in one fixed order and
lets nothing happen between morning and evening. Here one pair of hands (a SimPy PriorityResource)
takes task after task within the working day, each piece asks for them on its own, and a kiln
loaded at three is cool at three. Nobody's speed is compared with it. Its one use is to measure by how
many days the forecast is early or late. It changes when the rules of docs/science/forecast.md
change, and for no other reason.

What it keeps of those rules: what is wanted and when molds are replaced, the order of claims on the
kiln, the gate, loads a week, and that nearer the box goes first when two tasks wait for the hands.

What the clock decides here:

- A day of drying or firing is 24 hours from the minute the work on it ended (``exact``), or, not
  exact, ends on the morning of its last day, as trade practice counts "two days in the kiln".
- Half of the handling is loading, half unloading, and unloading waits for the hands.
- What was glazed may be loaded at once, or, if it ``rests``, from the next working morning on.
- A task is begun only if it ends within the working day; a session is one task.
- A mold is poured when its session ends; a cast is fettled as soon as hands are free.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Generator
from dataclasses import dataclass, field, replace

import simpy

from pourwright.simulation.draws import Draws
from pourwright.simulation.problem import Edition, Firing, Policy, Workshop

DAY = 1440
UNLOAD, FINISH, PREPARE, LOAD, POUR, FETTLE, CAST = range(7)
"""Tasks; the lower number has the hands first."""
_NIGHT = -1
SLACK = 1e-9
Events = Generator[simpy.Event, object, None]
Turn = Generator[simpy.Event, object, simpy.resources.resource.PriorityRequest]


class Hands:
    """One person or more, at work from the beginning of each open day until its minutes are over."""

    def __init__(self, env: simpy.Environment, minutes: list[int], people: int) -> None:
        self.env, self.people = env, people
        self.lengths = [m // people for m in minutes]
        self.resource = simpy.PriorityResource(env, capacity=people)
        self.mornings = simpy.Event(env)
        for number in range(people):
            env.process(self.nights(first=number == 0))

    @property
    def day(self) -> int:
        return int(self.env.now // DAY)

    @property
    def left(self) -> float:
        """Minutes left of the working day."""
        return self.lengths[self.day] - self.env.now % DAY

    def nights(self, *, first: bool) -> Events:
        """Keep the hands from the end of a day until the next one begins."""
        for day in [day for day, length in enumerate(self.lengths) if length]:
            with self.resource.request(priority=_NIGHT) as turn:
                yield turn
                yield self.env.timeout(day * DAY - self.env.now)
                if first:
                    self.mornings, morning = simpy.Event(self.env), self.mornings
                    morning.succeed()
                yield self.env.timeout(0)  # those woken ask for the hands before they are free
            yield self.env.timeout(self.lengths[day])
        yield self.resource.request(priority=_NIGHT)

    def asked(self, task: int, minutes: float) -> Turn:
        """Wait for the hands until they have so many minutes left in a day; the caller gives them back."""
        while True:
            request = self.resource.request(priority=task)
            yield request
            if self.left >= minutes:
                return request
            self.resource.release(request)
            yield self.env.timeout(max(self.left, 0) + 0.5)  # by then it is night

    def work(self, task: int, minutes: float) -> Events:
        """Do a task."""
        turn = yield from self.asked(task, minutes)
        yield self.env.timeout(minutes)
        self.resource.release(turn)


@dataclass(slots=True, eq=False)
class Mold:
    """A mold, and the process that waits for its turn in the place."""

    life: int
    used: int = 0
    turn: simpy.Event | None = None

    @property
    def whole(self) -> bool:
        return self.used < self.life


@dataclass(slots=True, eq=False)
class Place:
    """A place on the bench."""

    mold: Mold | None = None
    following: Mold | None = None


@dataclass(slots=True, eq=False)
class Shelf:
    """Pieces on their way through one firing."""

    firing: Firing
    capacity: int
    arrivals: int = 0
    taken_out: int = 0
    unready: int = 0
    pieces: int = 0
    in_kiln: int = 0
    loads: int = 0
    stood: int = 0
    behind_the_gate: deque[simpy.Event] = field(default_factory=deque)

    @property
    def here(self) -> int:
        return self.unready + self.pieces + self.in_kiln


@dataclass(slots=True)
class MinuteRun:
    """What became of one edition."""

    finish: int = -1
    casts: int = 0
    molds: int = 0


class Line:
    """One edition."""

    def __init__(
        self, shop: Shop, edition: Edition, policy: Policy, draws: Draws, row: int
    ) -> None:
        self.shop, self.env, self.edition, self.policy, self.draws = (
            shop, shop.env, edition, policy, draws,
        )  # fmt: skip
        self.row = row
        own = zip(
            draws.prep_min[row % len(draws.prep_min)],
            draws.handling_min[row % len(draws.handling_min)],
            strict=True,
        )
        self.shelves = [
            Shelf(replace(f, prep_min=int(prep), handling_min=int(handling)), f.capacity)
            for f, (prep, handling) in zip(edition.firings, own, strict=True)
        ]
        self.places = [Place() for _ in range(int(policy.molds))]
        self.run = MinuteRun()
        self.in_hand = self.drying = self.dried = self.fired = self.finished = self.wet = 0
        self.cast_min, self.fettle_min, self.finish_min, self.pour_from, self.ware_days = (
            int(table[row % len(table)])
            for table in (
                draws.cast_min, draws.fettle_min, draws.finish_min, draws.pour_from, draws.ware_dry_days,
            )
        )  # fmt: skip
        self.setup_min, self.set_min = (
            int(table[row % len(table)]) for table in (draws.setup_min, draws.set_min)
        )

    def passes(self, table: object, number: int) -> bool:
        counts = table[self.row % len(table)]  # type: ignore[index,arg-type]
        return bool(counts[number + 1] > counts[number])

    # Ware

    def cast_piece(self) -> Events:
        """One piece, in hand already, from the emptied mold to dry ware."""
        number, self.run.casts = self.run.casts, self.run.casts + 1
        yield from self.shop.hands.work(FETTLE, self.fettle_min)
        self.in_hand -= 1
        if self.passes(self.draws.cast_good, number):
            self.drying += 1
            yield self.shop.days_from_now(max(self.ware_days, 1))
            self.drying -= 1
            number, self.dried = self.dried, self.dried + 1
            if self.passes(self.draws.dry_good, number):
                self.arrive(0)
        self.shop.notify()

    def arrive(self, k: int) -> None:
        """Count one piece more before a firing, now: the kiln may ask before the piece's process begins."""
        self.shelves[k].arrivals += 1
        self.shelves[k].unready += 1
        self.env.process(self.before_firing(k, self.shelves[k].arrivals))

    def before_firing(self, k: int, number: int) -> Events:
        """One piece is prepared for a firing, behind the gate if there is one, and put by the kiln."""
        shelf = self.shelves[k]
        gate = shelf.firing.gate
        if gate and number > gate and not shelf.taken_out:
            opened = simpy.Event(self.env)
            shelf.behind_the_gate.append(opened)
            yield opened
        if shelf.firing.prep_min:
            yield from self.shop.hands.work(PREPARE, shelf.firing.prep_min)
            if self.shop.rests:
                yield self.shop.hands.mornings
        shelf.unready -= 1
        shelf.pieces += 1
        self.shop.notify()

    def out_of_the_kiln(self, k: int, count: int) -> None:
        """Take out a load; the good ones go on."""
        shelf, tables = self.shelves[k], self.draws
        bad = shelf.firing.spoiled_chance > 0 and bool(
            tables.spoiled[k][self.row % len(tables.spoiled[k])][shelf.loads - 1]
        )
        table = tables.fired_spoiled[k] if bad else tables.fired_good[k]
        for _ in range(count):
            number, shelf.taken_out = shelf.taken_out, shelf.taken_out + 1
            shelf.in_kiln -= 1
            if not self.passes(table, number):
                continue
            if k + 1 < len(self.shelves):
                self.arrive(k + 1)
            else:
                self.fired += 1
                self.env.process(self.finish_piece())
        if shelf.taken_out:
            while shelf.behind_the_gate:
                shelf.behind_the_gate.popleft().succeed()
        self.shop.notify()

    def finish_piece(self) -> Events:
        yield from self.shop.hands.work(FINISH, self.finish_min)
        self.fired -= 1
        self.finished += 1
        if self.finished == self.edition.need:
            self.run.finish = self.shop.hands.day
            self.shop.ended()

    def wanted(self) -> int:
        """Casts still to start; a cast not yet fettled is hoped for like one not yet begun."""
        hoped, doubt, share = float(self.finished + self.fired), 0.0, 1.0
        for shelf in reversed(self.shelves):
            share *= shelf.firing.passed
            hoped += shelf.here * share
            doubt += shelf.here * share * (1 - share)
        share *= self.edition.dry_passed
        hoped += self.drying * share
        doubt += self.drying * share * (1 - share)
        share *= self.edition.cast_passed
        lacking = self.edition.need + float(self.policy.safety) * math.sqrt(doubt) - hoped
        return max(math.ceil(lacking / share - SLACK) - self.in_hand, 0)

    def claim(self, k: int) -> int | None:
        """Return the rank of this firing's claim to the kiln, if it has one."""
        shelf = self.shelves[k]
        if not shelf.pieces:
            return None
        shut = shelf.firing.gate and not shelf.taken_out
        if shut and shelf.pieces >= shelf.firing.gate:
            return 0
        if shelf.pieces >= shelf.capacity:
            return 1
        coming = self.wanted() or self.in_hand or self.drying or shelf.unready
        if not coming and not any(earlier.here for earlier in self.shelves[:k]):
            return 2
        if shut:
            return None
        enough = shelf.pieces >= self.policy.least_fill * shelf.capacity
        return 3 if enough and shelf.stood >= self.policy.part_load_wait else None

    # Molds

    def pouring(self) -> Events:
        """Each morning, see whether molds are wanted, and pour them in one session."""
        hands = self.shop.hands
        while True:
            yield hands.mornings
            self.replace_worn()
            if hands.day < self.pour_from or not self.molds_wanted()[1]:
                continue
            setup, each = self.setup_min, self.set_min
            turn = yield from hands.asked(POUR, setup + each)
            self.replace_worn()
            spots, count = self.molds_wanted()
            fit = int((hands.left - setup) // each) if each else count
            count = min(count, fit, self.edition.sets_a_session)
            yield self.env.timeout(setup + count * each if count > 0 else 0)
            hands.resource.release(turn)
            longer = self.days_longer(count)
            for place in spots[: max(count, 0)]:
                self.new_mold(place, longer)

    def replace_worn(self) -> None:
        for place in self.places:
            if place.mold and not place.mold.whole and place.following:
                place.mold, place.following = place.following, None
                if place.mold.turn is not None and not place.mold.turn.triggered:
                    place.mold.turn.succeed()

    def molds_wanted(self) -> tuple[list[Place], int]:
        """Return the places that want a mold, and how many."""
        missing = int(self.policy.molds) - self.run.molds
        if missing > 0:
            return [place for place in self.places if place.mold is None], missing
        spots = [
            place
            for place in self.places
            if place.mold
            and place.following is None
            and self.believed(place.mold) <= self.policy.lead
        ]
        conditioning = self.edition.conditioning
        a_new_one = float(self.draws.casts_left[0]) - conditioning
        at_hand = 0.0
        for place in self.places:
            if place.mold:
                thrown_away = max(conditioning - place.mold.used, 0)
                at_hand += max(self.believed(place.mold) - thrown_away, 0.0)
            at_hand += a_new_one if place.following else 0.0
        lacking = max(math.ceil(self.wanted() * float(self.policy.eagerness) - at_hand - SLACK), 0)
        return spots, min(math.ceil(lacking / max(a_new_one, 1.0)), len(spots))

    def believed(self, mold: Mold) -> float:
        table = self.draws.casts_left
        return float(table[min(mold.used, len(table) - 1)]) if mold.whole else 0.0

    def new_mold(self, place: Place, longer: int) -> None:
        number, self.run.molds = self.run.molds, self.run.molds + 1
        life = self.draws.life[self.row % len(self.draws.life)][number]
        days = self.draws.mold_dry_days[self.row % len(self.draws.mold_dry_days)][number]
        mold = Mold(int(life), turn=simpy.Event(self.env))
        if place.mold is None:
            place.mold = mold
            mold.turn.succeed()  # type: ignore[union-attr]
        else:
            place.following = mold
        self.env.process(self.mold_in_use(mold, int(days) + longer))

    def days_longer(self, count: int) -> int:
        """Return the days that molds dry longer for those of all editions that are wet beside them."""
        own = self.edition.beside_days
        if own <= 0:
            return 0
        others = (line.edition.beside_days * line.wet for line in self.shop.lines)
        return round(sum(others, own * (count - 1)))

    def one_less_wet(self) -> None:
        self.wet -= 1

    def mold_in_use(self, mold: Mold, days: int) -> Events:
        """A mold dries, waits for its place, and is cast day after day until it is worn out."""
        hands = self.shop.hands
        dry = self.shop.days_from_now(days)
        self.wet += 1
        dry.callbacks.append(lambda _: self.one_less_wet())
        yield dry & mold.turn if mold.turn is not None else dry
        last_day, today = -1, 0
        while mold.whole:
            if hands.day == last_day and today == self.edition.casts_a_day:
                yield hands.mornings
            if self.wanted() <= 0:
                yield hands.mornings
                continue
            turn = yield from hands.asked(CAST, self.cast_min)
            if self.wanted() > 0:
                today = today + 1 if hands.day == last_day else 1
                last_day = hands.day
                counts = mold.used >= self.edition.conditioning
                self.in_hand += counts
                yield self.env.timeout(self.cast_min)
                mold.used += 1
                if counts:
                    self.env.process(self.cast_piece())
            hands.resource.release(turn)


class Shop:
    """The hands, the kiln and the editions."""

    def __init__(
        self,
        env: simpy.Environment,
        workshop: Workshop,
        policies: list[Policy],
        draws: list[Draws],
        row: int,
        *,
        people: int,
        exact: bool,
        rests: bool,
    ) -> None:
        self.env, self.workshop, self.exact, self.rests = env, workshop, exact, rests
        self.hands = Hands(env, workshop.minutes.tolist(), people)
        self.changed = simpy.Event(env)
        self.all_done = simpy.Event(env)
        self.loads_in: dict[int, int] = {}
        self.lines = [
            Line(self, edition, policy, tables, row)
            for edition, policy, tables in zip(workshop.editions, policies, draws, strict=True)
        ]
        for line in self.lines:
            env.process(line.pouring())
        env.process(self.kiln())
        env.process(self.evenings())
        env.process(self.mornings())

    def days_from_now(self, days: int) -> simpy.Event:
        """Return the end of so many days from now, or, not exact, the morning of the last of them."""
        since = 0 if self.exact else self.env.now % DAY
        return self.env.timeout(max(days * DAY - since, 0))

    def notify(self) -> None:
        """Tell the kiln that something changed."""
        self.changed, told = simpy.Event(self.env), self.changed
        told.succeed()

    def ended(self) -> None:
        if all(line.run.finish >= 0 for line in self.lines):
            self.all_done.succeed()

    def mornings(self) -> Events:
        while True:
            yield self.hands.mornings
            self.notify()

    def evenings(self) -> Events:
        """At the end of each open day, count how long pieces have stood by the kiln."""
        for day, length in enumerate(self.hands.lengths):
            if not length:
                continue
            yield self.env.timeout(day * DAY + length + 1 - self.env.now)
            for line in self.lines:
                for shelf in line.shelves:
                    shelf.stood = shelf.stood + 1 if shelf.pieces else 0

    @property
    def week(self) -> int:
        return (self.hands.day + self.workshop.first_weekday) // 7

    def loads_of(self, week: int) -> float:
        """Return a week's loads, and the half that the week before took beyond its own."""
        if week < 0:
            return 0
        own, most = self.loads_in.get(week, 0), self.workshop.loads_a_week
        over = self.loads_of(week - 1) - most if most % 1 else 0
        return own + over if 0 < over < 1 else own

    def best_claim(self) -> tuple[Line, int] | None:
        if self.loads_of(self.week) >= self.workshop.loads_a_week:
            return None
        claims = [
            (rank, number, -k)
            for number, line in enumerate(self.lines)
            for k in range(len(line.shelves))
            if (rank := line.claim(k)) is not None
        ]
        if not claims:
            return None
        _, number, k = min(claims)
        return self.lines[number], -k

    def kiln(self) -> Events:
        """Load, fire, cool, unload, and again."""
        while True:
            best = self.best_claim()
            if best is None:
                yield self.changed
                continue
            firing = best[0].shelves[best[1]].firing
            turn = yield from self.hands.asked(LOAD, firing.handling_min / 2)
            best = self.best_claim()  # it may be another by now
            if best is None:
                self.hands.resource.release(turn)
                continue
            line, k = best
            shelf = line.shelves[k]
            count = min(shelf.pieces, shelf.capacity)
            shelf.pieces -= count
            shelf.in_kiln, shelf.stood = count, 0
            shelf.loads += 1
            self.loads_in[self.week] = self.loads_in.get(self.week, 0) + 1
            yield self.env.timeout(shelf.firing.handling_min / 2)
            self.hands.resource.release(turn)
            yield self.days_from_now(max(shelf.firing.cycle_days, 1))
            yield from self.hands.work(UNLOAD, shelf.firing.handling_min / 2)
            line.out_of_the_kiln(k, count)


def run_minutes(
    workshop: Workshop,
    policies: list[Policy],
    draws: list[Draws],
    row: int,
    *,
    people: int = 1,
    exact: bool = True,
    rests: bool = False,
) -> list[MinuteRun]:
    """Return what became of each edition in one run; ``finish`` is a day, -1 if the days ran out."""
    env = simpy.Environment()
    shop = Shop(env, workshop, policies, draws, row, people=people, exact=exact, rests=rests)
    env.run(until=shop.all_done | env.timeout(len(workshop.minutes) * DAY - 1))
    return [line.run for line in shop.lines]
