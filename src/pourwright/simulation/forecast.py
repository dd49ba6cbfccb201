"""The workshop run forward, day by day, for many runs at once.

Every stage is first in, first out. So a run is a handful of cumulative counts (how
many were ever cast, dried, loaded), and thousands of runs are arrays of them; no
piece needs an object of its own. `docs/science/forecast.md` states the rules of a
day in words; the tests hold a second engine, written from those words, against
this one run by run.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pourwright.simulation.draws import Draws
from pourwright.simulation.line import CEIL_SLACK, Line
from pourwright.simulation.outcome import Outcome, blank_outcome
from pourwright.simulation.problem import (
    NEVER,
    DayNote,
    Firing,
    Ints,
    Policy,
    Workshop,
)

_COMPACT_BELOW = 0.7
"""Finished runs are dropped from the arrays once they are this much of them or less."""


class _Kiln:
    """The one kiln: which firing is in it, until when, and the loads of the week."""

    per_run = ("line", "firing", "out_on", "week_loads")

    def __init__(self, runs: int) -> None:
        self.line = np.full(runs, -1)
        self.firing = np.full(runs, -1)
        self.out_on = np.zeros(runs, dtype=np.int64)
        self.week_loads = np.zeros(runs, dtype=np.int64)


def forecast(
    workshop: Workshop,
    policies: Sequence[Policy],
    draws: Sequence[Draws],
    runs: int,
    *,
    notes: bool = False,
    curves: bool = False,
) -> Outcome:
    """Run the workshop forward until every edition is finished.

    Parameters
    ----------
    workshop : Workshop
        Days, hands, kiln and editions, the edition with the first claim first.
    policies, draws : sequence of Policy, of Draws
        One of each an edition.
    runs : int
        How many runs; with fewer rows of draws the rows are used over again,
        so that several policies meet the same chances. [-]
    notes : bool
        Keep a note of every day; only with a single run.
    curves : bool
        Keep finished pieces and live molds by day.

    Returns
    -------
    Outcome
        Days, counts and, if asked for, notes and curves.
    """
    days = len(workshop.minutes)
    lines = [
        Line(e, p, d, runs) for e, p, d in zip(workshop.editions, policies, draws, strict=True)
    ]
    room = _Room(workshop, lines, policies, runs, notes=notes, curves=curves)
    for day in range(days):
        if not len(room.alive):
            break
        room.day(day, int(workshop.minutes[day]))
    room.store(room.going, days)
    return Outcome(tuple(room.results), room.busiest, room.notes)


class _Room:
    """All runs still going, and the steps of their day."""

    def __init__(
        self,
        workshop: Workshop,
        lines: list[Line],
        policies: Sequence[Policy],
        runs: int,
        *,
        notes: bool,
        curves: bool,
    ) -> None:
        self.workshop, self.lines, self.kiln = workshop, lines, _Kiln(runs)
        self.alive = np.arange(runs)
        self.going = np.ones(runs, dtype=bool)
        limit = np.asarray(policies[-1].minutes_limit, dtype=np.int64)
        self.limit = np.array(np.broadcast_to(limit, (runs,)))
        self.give_up = np.array(np.broadcast_to(policies[-1].give_up, (runs,)), dtype=np.int64)
        self.busiest = np.zeros(runs, dtype=np.int64)
        days = len(workshop.minutes)
        self.results = [
            blank_outcome(len(line.edition.firings), runs, days, curves=curves) for line in lines
        ]
        self.notes: list[DayNote] = []
        self.keep_notes = notes
        self.first_day = min((_first_day(line, days) for line in lines), default=0)
        self.kiln.week_loads[:] = workshop.week_loads
        for number, line in enumerate(lines):
            if (load := line.edition.already.load) is not None:
                self.kiln.line[:], self.kiln.firing[:] = number, load.firing
                self.kiln.out_on[:] = load.out_day
        self.note = DayNote(0, 0)

    def day(self, day: int, minutes: int) -> None:
        """Do one day's work in every run."""
        if self.keep_notes:
            self.note = DayNote(day, minutes)
            self.notes.append(self.note)
        if day < self.first_day:
            return
        if (self.workshop.first_weekday + day) % 7 == 0:
            self.kiln.week_loads[:] = 0
        for line in self.lines:
            before = line.dried
            line.advance_drying(day)
            if self.keep_notes and line.dried[0] > before[0]:
                self.note.dried[line.edition.name] = int(line.dried[0] - before[0])
        if minutes > 0:
            self.hands = np.minimum(minutes, self.limit)
            start = self.hands.copy()
            self.work(day)
            used = start - self.hands
            at = self.alive[self.going]
            self.busiest[at] = np.maximum(self.busiest[at], used[self.going])
            self.note.used_min = int(used[0]) if len(used) else 0
        self.close(day)

    def work(self, day: int) -> None:
        """Work from the finished end backward: what is nearest to the box comes first."""
        if ((self.kiln.line >= 0) & (self.kiln.out_on <= day)).any():
            for number, line in enumerate(self.lines):
                self.unload(number, line, day)
        for line in self.lines:
            line.ready = [done.copy() for done in line.prepared]
            self.finish(line, day)
        for line in self.lines:
            self.prepare(line)
        wanted = [line.wanted() for line in self.lines]
        self.load(day, wanted)
        for line, want in zip(self.lines, wanted, strict=True):
            self.pour(line, day, want)
        for line, want in zip(self.lines, wanted, strict=True):
            self.cast(line, day, want)

    def unload(self, number: int, line: Line, day: int) -> None:
        """Take out what has cooled, and count what came out good."""
        for k, firing in enumerate(line.edition.firings):
            out = (self.kiln.line == number) & (self.kiln.firing == k) & (self.kiln.out_on <= day)
            if not out.any():
                continue
            low, high = line.unloaded[k], line.loaded[k]
            sound = line.look(line.draws.fired_good[k], high) - line.look(
                line.draws.fired_good[k], low
            )
            if firing.spoiled_chance:
                bad = line.look(line.draws.fired_spoiled[k], high) - line.look(
                    line.draws.fired_spoiled[k], low
                )
                sound = np.where(
                    line.look(line.draws.spoiled[k], np.maximum(line.loads[k] - 1, 0)), bad, sound
                )
            line.good_out[k] = line.good_out[k] + np.where(out, sound, 0)
            line.unloaded[k] = np.where(out, high, low)
            self.kiln.line[out] = -1
            if self.keep_notes:
                self.note.unloaded.append(
                    (line.edition.name, firing.name, int((high - low)[0]), int(sound[0]))
                )

    def finish(self, line: Line, day: int) -> None:
        """Mark, pack and number what has come through the last firing."""
        waiting = line.good_out[-1] - line.fin
        if not waiting.any():
            return
        n = self.afford(waiting, line.finish_min)
        line.fin = line.fin + n
        just = (line.fin >= line.edition.need) & (line.done < 0)
        line.done[just] = day
        if self.keep_notes and n[0]:
            self.note.finished[line.edition.name] = int(n[0])

    def afford(self, count: Ints, minutes: Ints | int) -> Ints:
        """Return how many of ``count`` the hands have minutes for, and take the minutes."""
        each = np.maximum(minutes, 1)
        n = np.minimum(count, np.where(np.asarray(minutes) > 0, self.hands // each, NEVER))
        self.hands = self.hands - n * minutes
        return n

    def prepare(self, line: Line) -> None:
        """Glaze or decorate what has come to each firing, the last firing first."""
        for k in reversed(range(len(line.edition.firings))):
            firing = line.edition.firings[k]
            may = line.came_in(k)
            if firing.gate:
                may = np.where(line.unloaded[k] >= firing.gate, may, np.minimum(may, firing.gate))
            if not firing.prep_min:
                line.prepared[k] = may
                line.ready[k] = may
                continue
            waiting = np.maximum(may - line.prepared[k], 0)
            if not waiting.any():
                continue
            n = self.afford(waiting, firing.prep_min)
            line.prepared[k] = line.prepared[k] + n
            if self.keep_notes and n[0]:
                self.note.prepared.append((line.edition.name, firing.name, int(n[0])))

    def load(self, day: int, wanted: list[Ints]) -> None:
        """Give the empty kiln the load with the first claim; what was glazed today waits a night."""
        if not any(
            (r > o).any()
            for line in self.lines
            for r, o in zip(line.ready, line.loaded, strict=True)
        ):
            return
        empty = (self.kiln.line < 0) & (self.kiln.week_loads < self.workshop.loads_a_week)
        empty &= day >= self.workshop.kiln_free_on
        choices = self.claims(wanted) if empty.any() else []
        gets = np.zeros((len(choices), len(empty)), dtype=bool)
        for rank in range(4):
            for at, (_, _, firing, claims) in enumerate(choices):
                go = empty & claims[rank] & (self.hands >= firing.handling_min)
                gets[at] |= go
                empty &= ~go
        for got, (number, k, firing, _) in zip(gets, choices, strict=True):
            if got.any():
                self.put_in(number, k, firing, got, day)
        self.age()

    def claims(self, wanted: list[Ints]) -> list[tuple[int, int, Firing, list[np.ndarray]]]:
        """List, for each firing, where it claims the kiln and by which of four reasons.

        In order: it opens a gate; it is full; nothing more is coming to it; it
        has waited long enough.
        """
        choices = []
        for number, line in enumerate(self.lines):
            quiet = (wanted[number] <= 0) & (line.drying_done == line.cast_ok)
            per_firing = []
            for k, firing in enumerate(line.edition.firings):
                waiting = line.ready[k] - line.loaded[k]
                quiet = quiet & (line.ready[k] == line.came_in(k))
                some = waiting > 0
                gate = (
                    some
                    & (line.loaded[k] == 0)
                    & (line.ready[k] >= firing.gate)
                    & (firing.gate > 0)
                )
                full = waiting >= line.capacity[k]
                waited = some & (line.waited[k] >= line.wait)
                per_firing.append((number, k, firing, [gate, full & some, some & quiet, waited]))
                quiet = quiet & (line.unloaded[k] == line.came_in(k))
            choices.extend(reversed(per_firing))
        return choices

    def put_in(self, number: int, k: int, firing: Firing, go: np.ndarray, day: int) -> None:
        """Load the kiln with one firing in the runs where ``go`` holds."""
        line = self.lines[number]
        at = np.nonzero(go)[0]
        n = np.minimum(line.ready[k][at] - line.loaded[k][at], line.capacity[k][at])
        line.loaded[k][at] += n
        line.loads[k][at] += 1
        line.largest[k][at] = np.maximum(line.largest[k][at], n)
        line.waited[k][at] = 0
        self.hands[at] -= firing.handling_min
        self.kiln.line[at], self.kiln.firing[at] = number, k
        self.kiln.out_on[at] = day + firing.cycle_days
        self.kiln.week_loads[at] += 1
        if self.keep_notes:
            self.note.loaded.append((line.edition.name, firing.name, int(n[0])))

    def age(self) -> None:
        """Count the working days that pieces have stood before the kiln."""
        for line in self.lines:
            for k, waited in enumerate(line.waited):
                line.waited[k] = np.where(line.ready[k] > line.loaded[k], waited + 1, 0)

    def pour(self, line: Line, day: int, want: Ints) -> None:
        """Pour first molds, or replacements for molds that are nearly worn out."""
        dead = (line.now_number >= 0) & (line.now_used >= line.now_life) & (line.next_number >= 0)
        if dead.any():
            line.swap(dead)
        first = np.maximum(line.molds - line.poured, 0)
        if line.edition.already.begun:
            first = np.where(want > 0, first, 0)
        places, n = self.places(line, want, first)
        n = np.where(day >= line.pour_from, n, 0)
        n = np.where(
            (line.poured + n > line.hold_from) & (day < line.hold_day),
            line.hold_from - line.poured,
            n,
        )
        edition = line.edition
        most = (self.hands - edition.setup_min) // max(edition.set_min, 1) if edition.set_min else n
        n = np.maximum(np.minimum(np.minimum(n, edition.sets_a_session), most), 0)
        n = np.where(self.hands >= edition.setup_min, n, 0)
        if not (n > 0).any():
            return
        self.hands = self.hands - np.where(n > 0, edition.setup_min + n * edition.set_min, 0)
        at = np.nonzero(n)[0]
        open_here = places[:, at]
        self.place_molds(line, open_here & (_up_to_here(open_here) <= n[at]), at, day)
        line.poured = line.poured + n
        line.sessions = line.sessions + (n > 0)
        line.last_pour = np.where(n > 0, day, line.last_pour)

    def places(self, line: Line, want: Ints, first: Ints) -> tuple[np.ndarray, Ints]:
        """Return which places on the bench want a mold, and how many molds to pour."""
        has = line.now_number >= 0
        empty = ~has & (np.arange(len(has))[:, None] < line.molds)
        if (first > 0).all():
            return empty, first
        believed = line.draws.casts_left.take(line.now_used, mode="clip") - line.spare_life
        left = believed * (has & (line.now_used < line.now_life))
        places = has & (line.next_number < 0) & (left <= line.lead)
        at = np.nonzero(places.any(axis=0) & (want > 0) & (first <= 0))[0]
        n = first.copy()
        n[at] = np.minimum(
            self.replacements(line, left[:, at], want[at], at), places[:, at].sum(axis=0)
        )
        return np.where(first > 0, empty, places) if (first > 0).any() else places, n

    def replacements(self, line: Line, left: np.ndarray, want: Ints, at: np.ndarray) -> Ints:
        """Return how many new molds would give what the molds at hand do not, in runs ``at``."""
        conditioning = line.edition.conditioning
        thrown_away = np.maximum(conditioning - line.now_used[:, at], 0)
        usable = left - thrown_away * (line.now_number[:, at] >= 0)
        fresh = float(line.draws.casts_left[0]) - line.spare_life[at] - conditioning
        waiting = (line.next_number[:, at] >= 0).sum(axis=0)
        at_hand = np.maximum(usable, 0).sum(axis=0) + waiting * fresh
        lacking = np.maximum(np.ceil(want * line.eagerness[at] - at_hand - CEIL_SLACK), 0)
        return np.asarray(np.ceil(lacking / np.maximum(fresh, 1.0)), dtype=np.int64)

    def place_molds(self, line: Line, taken: np.ndarray, at: Ints, day: int) -> None:
        """Put the molds poured today to dry in their places; a column of ``taken`` for each run ``at``."""
        slots, columns = np.nonzero(taken)
        runs = at[columns]
        number = (line.poured[at] + _up_to_here(taken) - 1)[taken]
        draws, row = line.draws, line.row[runs]
        over = number >= draws.life.shape[1]
        line.short[runs[over]] = True
        index = np.minimum(number, draws.life.shape[1] - 1)
        rows = row if draws.life.shape[0] > 1 else 0
        life = np.minimum(draws.life[rows, index], line.life_limit[runs])
        ready = day + draws.mold_dry_days[row if draws.mold_dry_days.shape[0] > 1 else 0, index]
        fresh = line.now_number[slots, runs] < 0
        for which, prefix in ((fresh, "now"), (~fresh, "next")):
            cells = slots[which], runs[which]
            getattr(line, f"{prefix}_life")[cells] = life[which]
            getattr(line, f"{prefix}_ready")[cells] = ready[which]
            getattr(line, f"{prefix}_number")[cells] = number[which]
        if self.keep_notes:
            self.note.poured += [
                (line.edition.name, int(n), int(r)) for n, r in zip(number, ready, strict=True)
            ]

    def cast(self, line: Line, day: int, want: Ints) -> None:
        """Cast each dry mold that still has casts in it, first places first."""
        for _ in range(line.edition.casts_a_day):
            if not (want > 0).any():
                break
            live = (
                (line.now_number >= 0) & (line.now_ready <= day) & (line.now_used < line.now_life)
            )
            if not live.any():
                break
            seasoned = live & (line.now_used >= line.edition.conditioning)
            whole = np.maximum(line.cast_min + line.fettle_min, 1)
            most = np.where(line.cast_min + line.fettle_min > 0, self.hands // whole, NEVER)
            made = live & (want > 0)
            if (live.sum(axis=0) > most).any():
                made &= _up_to_here(live) <= most
            if (seasoned.sum(axis=0) > want).any():
                made &= _up_to_here(seasoned) <= want
            good = (made & seasoned).sum(axis=0)
            tries = made.sum(axis=0)
            self.hands = self.hands - tries * line.cast_min - good * line.fettle_min
            line.now_used = line.now_used + made
            line.cast = line.cast + good
            line.last_cast = np.where(good > 0, day, line.last_cast)
            line.conditioned = line.conditioned + tries - good
            want = want - good
            if self.keep_notes:
                self.note_casts(line, made[:, 0], seasoned[:, 0])
        line.cast_ok = line.look(line.draws.cast_good, line.cast) + line.green

    def note_casts(self, line: Line, made: np.ndarray, seasoned: np.ndarray) -> None:
        """Write down which molds were cast, and which of the casts are thrown away."""
        name = line.edition.name
        for slot in np.nonzero(made)[0]:
            self.note.cast.append((name, int(line.now_number[slot, 0]), bool(seasoned[slot])))
        self.note.fettled[name] = self.note.fettled.get(name, 0) + int((made & seasoned).sum())

    def close(self, day: int) -> None:
        """End the day: remember it, and let finished runs go."""
        ended, at = np.ones(len(self.alive), dtype=bool), self.alive[self.going]
        for line, result in zip(self.lines, self.results, strict=True):
            line.history[:, day % line.ring] = line.cast_ok
            ended &= line.done >= 0
            if (
                result.finished_by_day is not None
                and result.molds_by_day is not None
                and result.worn_by_day is not None
            ):
                result.finished_by_day[at, day] = line.fin[self.going]
                live = (line.now_number >= 0) & (line.now_used < line.now_life)
                result.molds_by_day[at, day] = live[:, self.going].sum(axis=0)
                dead = line.worn + ((line.now_number >= 0) & ~live).sum(axis=0)
                result.worn_by_day[at, day] = dead[self.going]
        over = self.going & (ended | (self.give_up <= day))
        if over.any():
            self.store(over, day)
            self.going &= ~over
            if self.going.mean() < _COMPACT_BELOW:
                self.drop()

    def store(self, over: np.ndarray, day: int) -> None:
        """Write the runs that are over into the results, as they stand on their last day."""
        at = self.alive[over]
        for line, result in zip(self.lines, self.results, strict=True):
            pairs = (
                (result.finish, line.done),
                (result.casts, line.cast),
                (result.conditioning, line.conditioned),
                (result.molds, line.poured),
                (result.sessions, line.sessions),
                (result.last_pour, line.last_pour),
                (result.good, line.fin),
                (result.out_of_tables, line.short),
                (result.last_cast, line.last_cast),
            )
            for stored, now in pairs:
                stored[at] = now[over]
            if result.finished_by_day is not None and result.worn_by_day is not None and len(at):
                result.finished_by_day[at, day + 1 :] = line.fin[over][:, None]
                result.worn_by_day[at, day + 1 :] = result.worn_by_day[
                    at, min(day, result.worn_by_day.shape[1] - 1)
                ][:, None]
            for k in range(len(line.edition.firings)):
                result.loads[k, at] = line.loads[k][over] - line.loads_before[k]
                result.largest_load[k, at] = line.largest[k][over]

    def drop(self) -> None:
        """Take the runs that are over out of the arrays."""
        kept = self.going
        for line in self.lines:
            line.keep(kept)
        for name in _Kiln.per_run:
            setattr(self.kiln, name, getattr(self.kiln, name)[kept])
        self.limit, self.alive, self.give_up = (
            self.limit[kept],
            self.alive[kept],
            self.give_up[kept],
        )
        self.going = self.going[kept]


def _first_day(line: Line, days: int) -> int:
    """Return the first day on which an edition has anything for anyone to do."""
    return 0 if line.edition.already.begun else int(line.pour_from.min(initial=days))


def _up_to_here(chosen: np.ndarray) -> Ints:
    """Count, place by place, how many are chosen up to it; ten times as fast as a cumulative sum."""
    counts = chosen.astype(np.int64)
    for place in range(1, len(counts)):
        counts[place] += counts[place - 1]
    return counts
