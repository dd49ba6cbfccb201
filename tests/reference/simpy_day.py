"""The rules of docs/science/forecast.md once more, with an object for every piece and mold.

FROZEN. This is a reference, not an opponent. It was written with SimPy from the rules in
words, to find out whether the forecast does what its page says. Nothing here is shared
with the forecast but the problem's records and the tables of chance: no cumulative counts, nothing
compiled, an object a piece. It is slow because it is plain, so the ratio of speeds in
benchmarks/forecast.py says what the forecast's compiled loop is worth, and nothing of SimPy.
It changes when the rules change, with the page, and for no other reason.

Time is in days. A day's events that need no hands (ware and molds turn dry, the kiln cools)
fall on the whole day, the hands work a quarter past, the day is written up at half past.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Generator, Sequence
from dataclasses import dataclass, field, replace

import simpy

from pourwright.simulation.draws import Draws
from pourwright.simulation.problem import Edition, Firing, Policy, Workshop

HANDS_AT, CLOSE_AT = 0.25, 0.5
SLACK = 1e-9
Events = Generator[simpy.Event, None, None]


@dataclass(slots=True, eq=False)
class Piece:
    """One good cast on its way to the box."""

    number: int
    prepared_on: float = -1.0


@dataclass(slots=True, eq=False)
class Mold:
    """One mold: what it will give, and what it has given."""

    number: int
    life: int
    used: int = 0
    dry: bool = False

    @property
    def whole(self) -> bool:
        return self.used < self.life


@dataclass(slots=True, eq=False)
class Place:
    """A place on the bench: the mold in use, and the one that will follow it."""

    mold: Mold | None = None
    following: Mold | None = None


@dataclass(slots=True, eq=False)
class Load:
    """What is in the kiln."""

    queue: FiringQueue
    pieces: list[Piece]
    cooled: bool = False


@dataclass(slots=True, eq=False)
class FiringQueue:
    """Pieces before one firing: unprepared ones, and those on the shelf by the kiln."""

    firing: Firing
    index: int
    capacity: int
    unprepared: deque[Piece] = field(default_factory=deque)
    shelf: deque[Piece] = field(default_factory=deque)
    arrivals: int = 0
    loads: int = 0
    taken_out: int = 0
    in_kiln: int = 0
    stood: int = 0
    largest: int = 0

    def arrive(self, piece: Piece) -> None:
        self.unprepared.append(piece)
        self.arrivals += 1

    @property
    def here(self) -> int:
        return len(self.unprepared) + len(self.shelf) + self.in_kiln

    @property
    def may_be_prepared(self) -> int:
        """How many of the unprepared the gate lets through."""
        gate = self.firing.gate
        if not gate or self.taken_out:
            return len(self.unprepared)
        prepared = self.arrivals - len(self.unprepared)
        return min(len(self.unprepared), max(gate - prepared, 0))


@dataclass(slots=True)
class LineRun:
    """What became of one edition in the run."""

    finish: int = -1
    casts: int = 0
    conditioning: int = 0
    molds: int = 0
    sessions: int = 0
    last_pour: int = -1
    last_cast: int = -1
    good: int = 0
    loads: list[int] = field(default_factory=list)
    largest_load: list[int] = field(default_factory=list)
    finished_by_day: list[int] = field(default_factory=list)
    molds_by_day: list[int] = field(default_factory=list)
    worn_by_day: list[int] = field(default_factory=list)


@dataclass(slots=True)
class DayRun:
    """What became of the run."""

    lines: list[LineRun]
    busiest_min: int = 0
    ended: int = -1


def run_days(
    workshop: Workshop, policies: Sequence[Policy], draws: Sequence[Draws], row: int
) -> DayRun:
    """Return one run; ``row`` is its row in the tables, and every policy value is one number."""
    env = simpy.Environment()
    room = Room(env, workshop, policies, draws, row)
    env.run(until=env.process(room.days()))
    return room.result()


class Luck:
    """One row of the tables, asked piece by piece."""

    def __init__(self, draws: Draws, row: int) -> None:
        self.draws, self.row = draws, row

    def of(self, table: object) -> object:
        """Return this run's row; a table of a single row serves every run."""
        return table[self.row if len(table) > 1 else 0]  # type: ignore[index,arg-type]

    def passes(self, table: object, number: int) -> bool:
        counts = self.of(table)
        return bool(counts[number + 1] > counts[number])  # type: ignore[index]

    def number(self, table: object, number: int | None = None) -> int:
        found = self.of(table)
        return int(found if number is None else found[number])  # type: ignore[call-overload,index]


class Line:
    """One edition in the room."""

    def __init__(
        self, room: Room, edition: Edition, policy: Policy, draws: Draws, row: int
    ) -> None:
        self.room, self.env, self.edition, self.policy = room, room.env, edition, policy
        self.luck = Luck(draws, row)
        limits = policy.capacity_limits or tuple(f.capacity for f in edition.firings)
        self.queues = [
            FiringQueue(self.as_quick(f, k), k, min(f.capacity, int(limit)))
            for k, (f, limit) in enumerate(zip(edition.firings, limits, strict=True))
        ]
        self.molds: list[Mold] = []
        self.places = [Place() for _ in range(int(policy.molds))]
        self.fired: deque[Piece] = deque()
        self.finished: list[Piece] = []
        self.drying = 0
        self.dried = 0
        self.run = LineRun()
        self.cast_min = self.luck.number(draws.cast_min)
        self.fettle_min = self.luck.number(draws.fettle_min)
        self.finish_min = self.luck.number(draws.finish_min)
        self.setup_min = self.luck.number(draws.setup_min)
        self.set_min = self.luck.number(draws.set_min)
        self.pour_from = self.luck.number(draws.pour_from)
        self.ware_days = max(self.luck.number(draws.ware_dry_days), 1)
        self.loads_before = [0] * len(self.queues)
        self.begin()

    def as_quick(self, firing: Firing, k: int) -> Firing:
        """Return a firing with the minutes that this run's hands take."""
        draws = self.luck.draws
        return replace(
            firing,
            prep_min=self.luck.number(draws.prep_min, k),
            handling_min=self.luck.number(draws.handling_min, k),
        )

    def begin(self) -> None:
        """Set out what is there on day 0."""
        already = self.edition.already
        for number, old in enumerate(already.molds):
            life = min(self.luck.number(self.luck.draws.life, number), int(self.policy.life_limit))
            mold = Mold(number, life, old.casts, old.dry)
            self.molds.append(mold)
            self.places[number].mold = mold
            days = self.luck.number(self.luck.draws.mold_dry_days, number)
            if not old.dry:
                self.env.process(self.old_mold_dries(mold, max(old.poured_day + days, 0)))
        self.run.molds = len(self.molds)
        for cast_on, count in sorted(already.drying):
            self.drying += count
            self.env.process(self.old_ware_dries(count, max(cast_on + self.ware_days, 0)))
        for k, queue in enumerate(self.queues):
            for n in range(already.waiting[k] if already.waiting else 0):
                queue.arrive(Piece(-1))
                if already.prepared and n < already.prepared[k]:
                    queue.shelf.append(queue.unprepared.popleft())
        self.fired.extend(Piece(-1) for _ in range(already.to_finish))
        self.finished.extend(Piece(-1) for _ in range(already.finished))

    def old_mold_dries(self, mold: Mold, days: int) -> Events:
        yield self.env.timeout(days)
        mold.dry = True

    def old_ware_dries(self, count: int, days: int) -> Events:
        yield self.env.timeout(days)
        self.ware_is_dry(count)

    @property
    def day(self) -> int:
        return math.floor(self.env.now)

    # Ware

    def ware_dries(self, count: int) -> Events:
        """A day's good casts stand until they are dry; some crack."""
        yield self.env.timeout(self.ware_days - HANDS_AT)
        self.ware_is_dry(count)

    def ware_is_dry(self, count: int) -> None:
        self.drying -= count
        for _ in range(count):
            number, self.dried = self.dried, self.dried + 1
            if self.luck.passes(self.luck.draws.dry_good, number):
                self.queues[0].arrive(Piece(number))

    def finish(self) -> None:
        while self.fired and self.room.spend(self.finish_min):
            self.finished.append(self.fired.popleft())
        if len(self.finished) >= self.edition.need and self.run.finish < 0:
            self.run.finish = self.day

    def prepare(self) -> None:
        for queue in reversed(self.queues):
            for _ in range(queue.may_be_prepared):
                if not self.room.spend(queue.firing.prep_min):
                    break
                piece = queue.unprepared.popleft()
                piece.prepared_on = self.day if queue.firing.prep_min else -1.0
                queue.shelf.append(piece)

    def ready(self, queue: FiringQueue) -> int:
        """What was prepared before today waits at the front of the shelf."""
        return sum(1 for piece in queue.shelf if piece.prepared_on < self.day)

    def wanted(self) -> int:
        if self.policy.target:
            return max(int(self.policy.target) - self.run.casts, 0)
        hoped, doubt = float(len(self.finished) + len(self.fired)), 0.0
        share = 1.0
        for queue in reversed(self.queues):
            share *= queue.firing.passed
            hoped += queue.here * share
            doubt += queue.here * share * (1.0 - share)
        share *= self.edition.dry_passed
        hoped += self.drying * share
        doubt += self.drying * share * (1.0 - share)
        share *= self.edition.cast_passed
        aim = self.edition.need
        started = self.edition.already.casts + self.run.casts
        if started >= math.ceil(self.edition.need / self.edition.passed - SLACK):
            aim -= self.edition.proofs
        lacking = aim + float(self.policy.safety) * math.sqrt(doubt) - hoped
        return max(math.ceil(lacking / share - SLACK), 0)

    def come_through(self) -> None:
        """Done without all proofs, if nothing more comes."""
        in_work = self.drying or self.fired or any(queue.here for queue in self.queues)
        enough = len(self.finished) >= self.edition.need - self.edition.proofs
        if self.run.finish < 0 and enough and not in_work and not self.wanted():
            self.run.finish = self.day

    def claim(self, queue: FiringQueue, wanted: int) -> int | None:
        """Return the rank of the firing's best claim to the kiln, if it has any."""
        ready = self.ready(queue)
        if not ready:
            return None
        shut = queue.firing.gate and not queue.taken_out
        if shut and ready >= queue.firing.gate:
            return 0
        if ready >= queue.capacity:
            return 1
        earlier = self.queues[: queue.index]
        unready = len(queue.unprepared) + len(queue.shelf) - ready
        if not (wanted or self.drying or unready or any(q.here for q in earlier)):
            return 2
        if queue.index == 0 and self.room.rack_is_full_and_dry():
            return 3
        if shut:
            return None
        enough = ready >= self.policy.least_fill * queue.capacity
        return 4 if enough and queue.stood >= self.policy.part_load_wait else None

    # Molds

    def mold_dries(self, mold: Mold, days: int) -> Events:
        yield self.env.timeout(days - HANDS_AT)
        mold.dry = True

    def believed(self, mold: Mold) -> float:
        """Casts that a mold in use is believed to give yet, thrown-away ones included."""
        if not mold.whole:
            return 0.0
        table = self.luck.draws.casts_left
        left = float(table[min(mold.used, len(table) - 1)])
        return left - self.life_withheld

    @property
    def life_withheld(self) -> int:
        return max(self.edition.life - int(self.policy.life_limit), 0)

    def pour(self, wanted: int) -> None:
        for place in self.places:
            if place.mold and not place.mold.whole and place.following:
                place.mold, place.following = place.following, None
        missing = int(self.policy.molds) - self.run.molds
        if self.edition.already.begun and not wanted:
            missing = 0
        if missing > 0:
            spots = [place for place in self.places if place.mold is None]
            count = missing
        else:
            spots = self.open_places()
            count = min(self.replacements(wanted), len(spots))
        if self.day < self.pour_from:
            return
        if self.day < self.policy.hold_day:
            count = min(count, int(self.policy.hold_from) - self.run.molds)
        wet = sum(line.wet_molds() for line in self.room.lines)
        count = min(count, self.room.workshop.mold_places - wet)
        self.session(spots, min(count, self.edition.sets_a_session - self.poured_before()))

    def poured_before(self) -> int:
        """How many molds of day 0 were poured before it was planned: its session is set up."""
        today = [old for old in self.edition.already.molds if old.poured_day == 0 and not old.dry]
        return len(today) if self.day == 0 else 0

    def open_places(self) -> list[Place]:
        return [
            place
            for place in self.places
            if place.mold
            and place.following is None
            and self.believed(place.mold) <= self.policy.lead
        ]

    def replacements(self, wanted: int) -> int:
        """How many new molds would give the casts that those at hand do not."""
        conditioning = self.edition.conditioning
        a_new_one = float(self.luck.draws.casts_left[0]) - self.life_withheld - conditioning
        at_hand = 0.0
        for place in self.places:
            if place.mold:
                thrown_away = max(conditioning - place.mold.used, 0)
                at_hand += max(self.believed(place.mold) - thrown_away, 0.0)
            if place.following:
                at_hand += a_new_one
        lacking = max(math.ceil(wanted * float(self.policy.eagerness) - at_hand - SLACK), 0)
        return math.ceil(lacking / max(a_new_one, 1.0))

    def session(self, spots: list[Place], count: int) -> None:
        """Set up and pour as many of ``count`` molds as the hands have minutes for."""
        is_set_up = self.poured_before() > 0
        setup_min = 0 if is_set_up else self.setup_min
        left = self.room.hands - setup_min
        while count > 0 and left < count * self.set_min:
            count -= 1
        if count <= 0 or left < 0:
            return
        self.room.spend(setup_min + count * self.set_min)
        longer = self.edition.beside_days * (count - 1)
        for line in self.room.lines:
            longer += line.edition.beside_days * line.wet_molds()
        longer = round(longer) if self.edition.beside_days > 0 else 0
        for place in spots[:count]:
            mold = self.new_mold(longer)
            if place.mold is None:
                place.mold = mold
            else:
                place.following = mold
        self.run.sessions += not is_set_up
        self.run.last_pour = self.day

    def wet_molds(self) -> int:
        return sum(not one.dry for p in self.places for one in (p.mold, p.following) if one)

    def new_mold(self, longer: int) -> Mold:
        number, draws = self.run.molds, self.luck.draws
        self.run.molds += 1
        life = min(self.luck.number(draws.life, number), int(self.policy.life_limit))
        mold = Mold(number, life)
        self.molds.append(mold)
        days = self.luck.number(draws.mold_dry_days, number) + longer
        if days == 0:
            mold.dry = True
        else:
            self.env.process(self.mold_dries(mold, days))
        return mold

    @property
    def on_the_rack(self) -> int:
        return self.drying + len(self.queues[0].unprepared) + len(self.queues[0].shelf)

    def cast(self, wanted: int) -> None:
        good, wanted = 0, min(wanted, self.room.left_on_the_rack())
        for _ in range(self.edition.casts_a_day):
            if wanted <= 0:
                break
            kept = self.round(wanted)
            for _ in range(kept):
                number, self.run.casts = self.run.casts, self.run.casts + 1
                good += self.luck.passes(self.luck.draws.cast_good, number)
            wanted -= kept
            if kept:
                self.run.last_cast = self.day
        if good:
            self.drying += good
            self.env.process(self.ware_dries(good))

    def round(self, wanted: int) -> int:
        """Cast the dry molds once each, as far as is wanted; return the casts that count."""
        whole_cast = self.cast_min + self.fettle_min
        molds = [p.mold for p in self.places if p.mold and p.mold.dry and p.mold.whole]
        if whole_cast:
            molds = molds[: self.room.hands // whole_cast]
        kept = 0
        for mold in molds:
            counts = mold.used >= self.edition.conditioning
            if counts and kept == wanted:
                break
            mold.used += 1
            kept += counts
            self.run.conditioning += not counts
            self.room.spend(whole_cast if counts else self.cast_min)
        return kept

    def write_up(self) -> None:
        """Note how the day ended."""
        run = self.run
        run.good = len(self.finished)
        run.finished_by_day.append(run.good)
        run.molds_by_day.append(sum(1 for p in self.places if p.mold and p.mold.whole))
        run.worn_by_day.append(sum(1 for mold in self.molds if not mold.whole))
        run.loads = [
            queue.loads - n for queue, n in zip(self.queues, self.loads_before, strict=True)
        ]
        run.largest_load = [queue.largest for queue in self.queues]


class Room:
    """The hands, the kiln and the editions."""

    def __init__(
        self,
        env: simpy.Environment,
        workshop: Workshop,
        policies: Sequence[Policy],
        draws: Sequence[Draws],
        row: int,
    ) -> None:
        self.env, self.workshop, self.policies = env, workshop, policies
        self.lines = [
            Line(self, edition, policy, tables, row)
            for edition, policy, tables in zip(workshop.editions, policies, draws, strict=True)
        ]
        self.load: Load | None = None
        self.loads_this_week = workshop.week_loads
        for line in self.lines:
            if (inside := line.edition.already.load) is not None:
                queue = line.queues[inside.firing]
                queue.arrivals += inside.pieces
                queue.in_kiln, queue.loads = inside.pieces, 1
                line.loads_before[inside.firing] = 1
                self.load = Load(queue, [Piece(-1) for _ in range(inside.pieces)])
                env.process(self.old_load_cools(self.load, inside.out_day))
        self.hands = 0
        self.busiest = 0
        self.ended = -1

    def result(self) -> DayRun:
        return DayRun([line.run for line in self.lines], self.busiest, self.ended)

    def old_load_cools(self, load: Load, out_day: int) -> Events:
        yield self.env.timeout(out_day)
        load.cooled = True

    def left_on_the_rack(self) -> int:
        return max(self.workshop.rack - sum(line.on_the_rack for line in self.lines), 0)

    def rack_is_full_and_dry(self) -> bool:
        return not self.left_on_the_rack() and not any(line.drying for line in self.lines)

    def spend(self, minutes: int) -> bool:
        """Take minutes from the hands, if they have them."""
        if minutes > self.hands:
            return False
        self.hands -= minutes
        return True

    def days(self) -> Events:
        """Work day after day until every edition has its pieces."""
        for day, minutes in enumerate(self.workshop.minutes.tolist()):
            if day and (self.workshop.first_weekday + day) % 7 == 0:
                left = self.workshop.loads_a_week - self.loads_this_week
                self.loads_this_week = -left if -1 < left < 0 else 0
            yield self.env.timeout(HANDS_AT)
            if minutes > 0:
                self.hands = start = min(minutes, int(self.policies[-1].minutes_limit))
                self.work()
                assert sum(line.on_the_rack for line in self.lines) <= self.workshop.rack
                assert sum(line.wet_molds() for line in self.lines) <= self.workshop.mold_places
                self.busiest = max(self.busiest, start - self.hands)
            yield self.env.timeout(CLOSE_AT - HANDS_AT)
            for line in self.lines:
                line.write_up()
            self.ended = day
            if all(line.run.finish >= 0 for line in self.lines):
                return
            if day >= self.policies[-1].give_up:
                return
            yield self.env.timeout(1 - CLOSE_AT)

    def work(self) -> None:
        self.unload()
        for line in self.lines:
            line.finish()
        for line in self.lines:
            line.prepare()
        wanted = [line.wanted() for line in self.lines]
        self.fill_kiln(wanted)
        for line, casts in zip(self.lines, wanted, strict=True):
            line.pour(casts)
        for line, casts in zip(self.lines, wanted, strict=True):
            line.cast(casts)
        for line in self.lines:
            line.come_through()

    def unload(self) -> None:
        if self.load is None or not self.load.cooled:
            return
        load, queue, self.load = self.load, self.load.queue, None
        line = next(line for line in self.lines if queue in line.queues)
        luck, tables = line.luck, line.luck.draws
        spoiled = queue.firing.spoiled_chance > 0 and bool(
            luck.number(tables.spoiled[queue.index], queue.loads - 1)
        )
        table = (tables.fired_spoiled if spoiled else tables.fired_good)[queue.index]
        for piece in load.pieces:
            number, queue.taken_out = queue.taken_out, queue.taken_out + 1
            queue.in_kiln -= 1
            if not luck.passes(table, number):
                continue
            if queue is line.queues[-1]:
                line.fired.append(piece)
            else:
                line.queues[queue.index + 1].arrive(piece)

    def fill_kiln(self, wanted: list[int]) -> None:
        """Give an empty kiln to the best claim that the hands can still load."""
        may_load = self.env.now >= self.workshop.kiln_free_on
        if may_load and self.load is None and self.loads_this_week < self.workshop.loads_a_week:
            claims = []
            for number, (line, casts) in enumerate(zip(self.lines, wanted, strict=True)):
                for queue in line.queues:
                    rank = line.claim(queue, casts)
                    if rank is not None and queue.firing.handling_min <= self.hands:
                        claims.append((rank, number, -queue.index))
            if claims:
                _, number, index = min(claims)
                self.put_in(self.lines[number], self.lines[number].queues[-index])
        for line in self.lines:
            for queue in line.queues:
                queue.stood = queue.stood + 1 if line.ready(queue) else 0

    def put_in(self, line: Line, queue: FiringQueue) -> None:
        count = min(line.ready(queue), queue.capacity)
        pieces = [queue.shelf.popleft() for _ in range(count)]
        self.spend(queue.firing.handling_min)
        queue.loads += 1
        queue.in_kiln = count
        queue.largest = max(queue.largest, count)
        queue.stood = 0
        self.loads_this_week += 1
        self.load = Load(queue, pieces)
        self.env.process(self.fire(self.load))

    def fire(self, load: Load) -> Events:
        """The kiln goes on by itself, on closed days too."""
        yield self.env.timeout(max(load.queue.firing.cycle_days, 1) - HANDS_AT)
        load.cooled = True
