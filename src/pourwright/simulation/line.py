"""One edition's way through the workshop in every run at once: counts of pieces, and molds in their places."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pourwright.simulation.draws import Draws
from pourwright.simulation.problem import (
    NEVER,
    Already,
    Edition,
    Ints,
    OldMold,
    Policy,
)

CEIL_SLACK = 1e-9
"""Keeps a whole number that floats have made a hair too large from being rounded up."""


_COUNTS = (
    "cast",
    "cast_ok",
    "dried",
    "fin",
    "conditioned",
    "poured",
    "sessions",
    "drying_done",
    "worn",
)


class Line:
    """One edition's counts and molds in every run still going."""

    per_run = (
        "row molds target safety wait lead eagerness life_limit spare_life worn hold_from hold_day ware_dry pour_from cast_min "
        "fettle_min finish_min cast cast_ok dried fin last_cast conditioned poured sessions last_pour short done"
    ).split()
    per_place = "now_life now_used now_ready now_number next_life next_ready next_number".split()
    per_firing = "capacity prepared ready loaded unloaded good_out loads waited largest".split()

    cast: Ints
    cast_ok: Ints
    dried: Ints
    fin: Ints
    conditioned: Ints
    poured: Ints
    sessions: Ints
    drying_done: Ints
    worn: Ints
    now_life: Ints
    now_used: Ints
    now_ready: Ints
    now_number: Ints
    next_life: Ints
    next_ready: Ints
    next_number: Ints
    prepared: list[Ints]
    ready: list[Ints]
    loaded: list[Ints]
    unloaded: list[Ints]
    good_out: list[Ints]
    loads: list[Ints]
    waited: list[Ints]
    largest: list[Ints]

    def __init__(self, edition: Edition, policy: Policy, draws: Draws, runs: int) -> None:
        self.edition, self.draws, self.count = edition, draws, runs
        self.row = np.arange(runs) % draws.cast_good.shape[0]
        self._take_policy(policy)
        self.ware_dry, self.pour_from = self._each(draws.ware_dry_days), self._each(draws.pour_from)
        self.cast_min, self.fettle_min = self._each(draws.cast_min), self._each(draws.fettle_min)
        self.finish_min = self._each(draws.finish_min)
        for name in _COUNTS:
            setattr(self, name, np.zeros(runs, dtype=np.int64))
        self.last_pour, self.last_cast = self._each(-1), self._each(-1)
        self.short, self.done = np.zeros(runs, dtype=bool), self._each(-1)
        for name in self.per_firing[1:]:
            setattr(self, name, [np.zeros(runs, dtype=np.int64) for _ in edition.firings])
        slots = max(int(self.molds.max(initial=1)), len(edition.already.molds))
        for name in self.per_place:
            empty = -1 if name.endswith("number") else 0
            setattr(self, name, np.full((slots, runs), empty, dtype=np.int64))
        self.ring = int(self.ware_dry.max(initial=1)) + 2
        self.history = np.zeros((runs, self.ring), dtype=np.int64)
        self._begin_with(edition.already)
        shares = [f.passed for f in edition.firings]
        self.share_from = np.cumprod([1.0, *shares[::-1]])[::-1]

    def _begin_with(self, already: Already) -> None:
        """Put what is there on day 0 into the counts, the drying, the kiln and the places."""
        firings = range(len(self.edition.firings))
        self.green, self.dry = already.green, already.came_to(0)
        self.cast_ok += self.green
        self.dried += self.dry
        self.fin += already.finished
        for k in firings:
            self.prepared[k] += already.prepared_for(k)
            self.loaded[k] += already.inside(k)
            self.loads[k] += already.inside(k) > 0
            last = already.to_finish + already.finished
            self.good_out[k] += already.came_to(k + 1) if k < firings[-1] else last
        self.loads_before = [int(loads[0]) if len(loads) else 0 for loads in self.loads]
        for day in range(-self.ring, 0):
            self.history[:, day % self.ring] = sum(n for cast, n in already.drying if cast <= day)
        if already.begun and already.finished >= self.edition.need:
            self.done[:] = 0
        self._stand_molds(already.molds)

    def _stand_molds(self, molds: Sequence[OldMold]) -> None:
        """Put the molds that are there into the first places."""
        self.poured += len(molds)
        for at, mold in enumerate(molds):
            life, days = self.draws.life[:, at], self.draws.mold_dry_days[:, at]
            self.now_number[at] = at
            self.now_used[at] = mold.casts
            self.now_life[at] = np.minimum(life[self.row % len(life)], self.life_limit)
            wet = np.maximum(mold.poured_day + days[self.row % len(days)], 0)
            self.now_ready[at] = 0 if mold.dry else wet

    def _take_policy(self, policy: Policy) -> None:
        """Give every run its own value of what was decided."""
        self.molds, self.target = self._each(policy.molds), self._each(policy.target)
        self.wait, self.lead = self._each(policy.part_load_wait), self._each(policy.lead)
        self.safety = np.array(np.broadcast_to(policy.safety, (self.count,)), dtype=np.float64)
        self.eagerness = np.array(
            np.broadcast_to(policy.eagerness, (self.count,)), dtype=np.float64
        )
        self.life_limit = self._each(policy.life_limit)
        self.spare_life = np.maximum(self.edition.life - self.life_limit, 0)
        self.hold_from, self.hold_day = self._each(policy.hold_from), self._each(policy.hold_day)
        firings = self.edition.firings
        limits = policy.capacity_limits or (NEVER,) * len(firings)
        self.capacity = [
            np.minimum(self._each(n), f.capacity) for n, f in zip(limits, firings, strict=True)
        ]

    def _each(self, value: int | Ints) -> Ints:
        """Return one value a run; fewer values are used over again."""
        array = np.atleast_1d(np.asarray(value, dtype=np.int64))
        return np.asarray(array[np.arange(self.count) % len(array)])

    def keep(self, kept: np.ndarray) -> None:
        """Drop the runs that are over."""
        for name in self.per_run:
            setattr(self, name, getattr(self, name)[kept])
        for name in self.per_place:
            setattr(self, name, np.ascontiguousarray(getattr(self, name)[:, kept]))
        for name in self.per_firing:
            setattr(self, name, [array[kept] for array in getattr(self, name)])
        self.history = self.history[kept]

    def look(self, table: np.ndarray, index: np.ndarray) -> np.ndarray:
        """Read a table at one index a run; past its end the run is marked short."""
        last = table.shape[1] - 1
        self.short |= index > last
        if table.shape[0] == 1:
            return np.asarray(table[0].take(index, mode="clip"))
        return np.asarray(table.ravel().take(self.row * (last + 1) + np.minimum(index, last)))

    def came_in(self, k: int) -> Ints:
        """How many pieces ever came to firing k."""
        return self.dried if k == 0 else self.good_out[k - 1]

    def wanted(self) -> Ints:
        """Casts still to start, given what is in work: see the science page."""
        if self.target[0] != 0:
            return np.asarray(np.maximum(self.target - self.cast, 0))
        edition, share = self.edition, self.share_from
        hoped = self.good_out[-1].astype(float)
        spread = np.zeros_like(hoped)
        for k in range(len(edition.firings)):
            inside = self.came_in(k) - self.unloaded[k]
            hoped += inside * share[k]
            spread += inside * (share[k] * (1 - share[k]))
        drying, q = self.cast_ok - self.drying_done, edition.dry_passed * share[0]
        hoped += drying * q
        spread += drying * (q * (1 - q))
        lacking = edition.need + self.safety * np.sqrt(spread) - hoped
        casts = np.ceil(lacking / edition.passed - CEIL_SLACK)
        return np.asarray(np.maximum(casts, 0), dtype=np.int64)

    def advance_drying(self, day: int) -> None:
        """Let what was cast long enough ago count as dry."""
        source = day - np.maximum(self.ware_dry, 1)  # what is cast today is not dry today
        self.drying_done = self.history[np.arange(len(source)), source % self.ring]
        self.dried = self.look(self.draws.dry_good, self.drying_done) + self.dry

    def swap(self, dead: np.ndarray) -> None:
        """Put the replacement in the place of a worn-out mold."""
        for name in ("life", "ready", "number"):
            now, following = getattr(self, f"now_{name}"), getattr(self, f"next_{name}")
            now[dead] = following[dead]
        self.now_used[dead] = 0
        self.worn = self.worn + dead.sum(axis=0)
        self.next_number[dead] = -1
