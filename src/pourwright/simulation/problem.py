"""What the planner is asked: a workshop, the editions in it, and what it may decide.

Days are counted from the plan's first day, which is day 0. Every count is a
whole number of pieces, molds or minutes, so that two engines can agree exactly.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

Ints = npt.NDArray[np.int64]
Counts = npt.NDArray[np.int32]
Floats = npt.NDArray[np.float64]

NEVER = 1 << 40
"""A number of minutes, pieces or days that no plan reaches: "no limit"."""


@dataclass(frozen=True, slots=True)
class Firing:
    """One firing that every piece goes through, in the order of the route.

    ``passed`` is the share of pieces that come out good over many loads.
    A load may also be spoiled as a whole: ``spoiled_chance`` of the loads keep
    only ``spoiled_passed`` of their pieces; the other loads then do better, so
    that ``passed`` stays the mean.
    """

    name: str
    capacity: int
    cycle_days: int
    passed: float
    prep_min: int = 0
    handling_min: int = 0
    gate: int = 0
    spoiled_chance: float = 0.0
    spoiled_passed: float = 0.0


@dataclass(frozen=True, slots=True)
class OldMold:
    """A mold that is there when the plan begins: casts it has given, and how far it has dried.

    ``poured_day`` is 0 or less; a mold that is ``dry`` may be cast from day 0. Where its own
    weighings tell, ``ready_days`` are the days between which it is ready in eight of ten runs.
    """

    casts: int = 0
    poured_day: int = 0
    dry: bool = True
    ready_days: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class LoadInside:
    """What is in the kiln when the plan begins: the firing's place in the route, pieces, and when it is out."""

    firing: int
    pieces: int
    out_day: int


@dataclass(frozen=True, slots=True)
class Already:
    """What is true of an edition when the plan begins.

    Parameters
    ----------
    molds : tuple of OldMold
        Whole molds that may still be cast, the ones that are cast first, first.
    drying : tuple of (int, int)
        Day of casting, below 0, and good casts of that day that are not dry yet.
    waiting : tuple of int
        Pieces that have come to each firing and are not in the kiln; empty
        stands for none anywhere.
    prepared : tuple of int
        How many of those are glazed or decorated.
    load : LoadInside or None
        This edition's load in the kiln.
    to_finish, finished : int
        Pieces through the last firing, and pieces marked and packed.
    casts : int
        Casts started before day 0, those thrown away not counted.
    """

    molds: tuple[OldMold, ...] = ()
    drying: tuple[tuple[int, int], ...] = ()
    waiting: tuple[int, ...] = ()
    prepared: tuple[int, ...] = ()
    load: LoadInside | None = None
    to_finish: int = 0
    finished: int = 0
    casts: int = 0

    @property
    def green(self) -> int:
        """Good casts that are not dry yet."""
        return sum(count for _, count in self.drying)

    @property
    def ware(self) -> int:
        """Pieces there in all."""
        return self.green + sum(self.waiting) + self.inside() + self.to_finish + self.finished

    @property
    def begun(self) -> bool:
        """Whether anything is there at all."""
        return bool(self.molds or self.ware)

    def inside(self, firing: int | None = None) -> int:
        """Pieces in the kiln, for one firing or for any."""
        if self.load is None or firing not in (None, self.load.firing):
            return 0
        return self.load.pieces

    def came_to(self, firing: int) -> int:
        """Pieces that have come to a firing, those in the kiln for it among them."""
        return (self.waiting[firing] if self.waiting else 0) + self.inside(firing)

    def prepared_for(self, firing: int) -> int:
        """Pieces glazed or decorated for a firing, those in the kiln for it among them."""
        return (self.prepared[firing] if self.prepared else 0) + self.inside(firing)


NOTHING_YET = Already()


@dataclass(frozen=True, slots=True)
class Edition:
    """One edition as the planner sees it.

    Parameters
    ----------
    name : str
        What the maker calls it.
    need : int
        Good finished pieces wanted: the numbers and the proofs.
    proofs : int
        So many of them may be missing in the end: no cast is made up for a proof.
    firings : tuple of Firing
        The route through the kiln, first to last.
    life : int
        Casts a mold is expected to give, conditioning casts included.
    conditioning : int
        First casts of each new mold that are thrown away.
    casts_a_day : int
        Casts one mold gives on a working day.
    cast_passed, dry_passed : float
        Share that survives casting with fettling, and drying. [-]
    ware_dry_days, mold_dry_days : int
        Calendar days until ware may be fired and a mold be cast. [days]
    beside_days : float
        Days that any mold in the room dries longer for each of these that is wet when it is
        poured; 0 where their drying was timed beside others, and is as it was timed. [days]
    cast_min, fettle_min, finish_min : int
        Hands' minutes a piece. [min]
    setup_min, set_min : int
        Hands' minutes of a pouring session, and of each mold in it. [min]
    sets_a_session : int
        Complete molds that the masters there are give in one session. What was poured on day 0
        before the plan begins is of that day's, which is set up then.
    pour_from : int
        First day on which molds may be poured. [days]
    already : Already
        What is there when the plan begins.
    """

    name: str
    need: int
    firings: tuple[Firing, ...]
    life: int
    conditioning: int = 1
    casts_a_day: int = 1
    cast_passed: float = 1.0
    dry_passed: float = 1.0
    ware_dry_days: int = 0
    mold_dry_days: int = 0
    beside_days: float = 0.0
    cast_min: int = 0
    fettle_min: int = 0
    finish_min: int = 0
    setup_min: int = 0
    set_min: int = 0
    sets_a_session: int = 1
    pour_from: int = 0
    already: Already = NOTHING_YET
    proofs: int = 0

    @property
    def poured_today(self) -> int:
        """Molds that were poured on day 0 before the plan begins: the session of that day is begun."""
        return sum(one.poured_day == 0 and not one.dry for one in self.already.molds)

    @property
    def first_casts(self) -> int:
        """Casts from day 0 on with which so many are started as are expected to give numbers and proofs."""
        return math.ceil(self.need / self.passed - 1e-9) - self.already.casts

    @property
    def passed(self) -> float:
        """Share of casts that become finished pieces [-]."""
        share = self.cast_passed * self.dry_passed
        for firing in self.firings:
            share *= firing.passed
        return share


@dataclass(frozen=True, slots=True)
class Workshop:
    """The room that editions share: its days, its hands and its one kiln.

    ``minutes[d]`` is what the hands can do on day d; 0 is a closed day, on
    which drying and the kiln go on by themselves. ``first_weekday`` is the
    weekday of day 0, Monday being 0; the kiln takes at most ``loads_a_week``
    loads from Monday to Sunday, where half a load a week is one in two weeks. ``kiln_free_on`` is the day on which another's
    load is out, ``week_loads`` the loads of this week that have gone in. No more than ``mold_places``
    molds are wet at once, and no more than ``rack`` good casts stand there that have not gone into
    their first firing.
    """

    minutes: Ints
    first_weekday: int
    loads_a_week: float
    editions: tuple[Edition, ...]
    kiln_free_on: int = 0
    week_loads: float = 0
    mold_places: int = NEVER
    rack: int = NEVER


@dataclass(frozen=True, slots=True)
class Policy:
    """What may be decided for one edition.

    Each value is one number, or an array with one number a run.

    ``part_load_wait`` is how many working days pieces wait before a load that
    is not full goes in, and ``least_fill`` the share of the load that it must
    hold while more is coming; ``lead`` is how many casts a mold may have left when
    its replacement is poured; ``eagerness`` above 1 pours a replacement even
    when the molds at hand would just do. ``target`` casts are started, or, at
    0, as many as the pieces in work leave wanting, with ``safety`` standard
    deviations on top; below 0 none are started. ``minutes_limit`` and ``capacity_limits`` leave hours
    and kiln places unused (the last edition's limit of minutes is the room's); ``life_limit`` retires a mold after so many casts. Molds numbered ``hold_from`` and later are not
    poured before ``hold_day``. A run is dropped unfinished at the end of day ``give_up``.
    """

    molds: int | Ints = 1
    target: int | Ints = 0
    safety: float | Floats = 0.5
    part_load_wait: int | Ints = NEVER
    least_fill: float | Floats = 0.0
    lead: int | Ints = 8
    eagerness: float | Floats = 1.0
    minutes_limit: int | Ints = NEVER
    capacity_limits: tuple[int | Ints, ...] = ()
    life_limit: int | Ints = NEVER
    hold_from: int | Ints = NEVER
    hold_day: int | Ints = 0
    give_up: int | Ints = NEVER

    def but(self, **changes: Any) -> Policy:
        """Return the policy with some values changed."""
        return replace(self, **changes)


_OF_RULE = ("molds", "safety", "part_load_wait", "least_fill", "lead", "eagerness")


def joint(rules: Sequence[Policy], runs: int = 1) -> Policy:
    """Return several rules as one policy, each for so many runs, one rule after the other.

    They may differ in what a rule holds: molds, safety, waits, fill, lead,
    eagerness and the limits of loads.
    """

    def column(values: Iterable[Any]) -> np.ndarray:
        return np.repeat(list(values), runs)

    own = {name: column(getattr(rule, name) for rule in rules) for name in _OF_RULE}
    firings = max(len(rule.capacity_limits) for rule in rules)
    limits = [rule.capacity_limits or (NEVER,) * firings for rule in rules]
    by_firing = tuple(column(limit[k] for limit in limits) for k in range(firings))
    return Policy(**own, capacity_limits=by_firing)


Claim = Literal["gate", "full", "last", "rack", "waited"]
CLAIMS: tuple[Claim, ...] = ("gate", "full", "last", "rack", "waited")
"""Why a load goes in: it opens a gate, it is full, nothing more is coming, the rack is full of dry ware, it has waited long enough."""


@dataclass(slots=True)
class DayNote:
    """What happened on one day of one run; the plan's calendar is made of these.

    ``loaded`` holds the edition, the firing, the pieces and why the load goes in.
    """

    day: int
    minutes: int
    used_min: int = 0
    poured: list[tuple[str, int, int]] = field(default_factory=list)
    cast: list[tuple[str, int, bool]] = field(default_factory=list)
    fettled: dict[str, int] = field(default_factory=dict)
    dried: dict[str, int] = field(default_factory=dict)
    prepared: list[tuple[str, str, int]] = field(default_factory=list)
    loaded: list[tuple[str, str, int, Claim]] = field(default_factory=list)
    unloaded: list[tuple[str, str, int, int]] = field(default_factory=list)
    finished: dict[str, int] = field(default_factory=dict)
