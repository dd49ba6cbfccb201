"""The rows that the rules of a day are played in, laid out from rooms, decisions and tables of chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from pourwright.simulation.draws import Draws
from pourwright.simulation.problem import NEVER, Counts, Edition, Floats, Ints, Policy, Workshop


class RoomRow:
    """The hands and the kiln of one run."""

    minutes_at: int  # where its days begin among all minutes
    days: int
    lines_at: int  # where its editions begin among all lines
    lines: int
    first_weekday: int
    loads_a_week: float
    kiln_free_on: int
    mold_places: int
    rack: int
    minutes_limit: int
    give_up: int
    week_loads: float
    kiln_line: int  # -1 is an empty kiln
    kiln_firing: int
    kiln_out_on: int
    hands: int
    busiest: int
    ended: int  # the last day played
    events: int


class LineRow:
    """One edition in one run: what is given, where its tables begin, and its counts."""

    number: int
    need: int
    proofs: int
    first_casts: int
    firings_at: int
    firings: int
    places_at: int  # where its places begin among those of a run
    places: int
    days_at: int  # where its days of casting are remembered
    days: int
    conditioning: int
    casts_a_day: int
    sets_a_session: int
    poured_today: int
    begun: int
    beside_days: float
    dry_passed: float
    passed: float

    molds: int
    target: int
    safety: float
    part_load_wait: int
    least_fill: float
    lead: int
    eagerness: float
    life_limit: int
    spare_life: int
    hold_from: int
    hold_day: int

    ware_dry_days: int
    pour_from: int
    cast_min: int
    fettle_min: int
    finish_min: int
    setup_min: int
    set_min: int
    pieces_at: int
    pieces_last: int
    molds_at: int
    molds_last: int
    left_at: int
    left_last: int
    old_at: int
    old_molds: int
    green_at: int
    green_days: int

    green: int  # good casts that were drying on day 0
    dry: int  # pieces that had come to the first firing by then
    want: int
    cast: int
    cast_ok: int
    drying_done: int
    dried: int
    finished: int
    conditioned: int
    poured: int
    sessions: int
    worn: int  # molds replaced since
    spent: int  # molds worn out that stand in their places yet
    last_pour: int
    last_cast: int
    done: int  # the day of the last piece, -1 before it
    short: int  # 1 once a table was too short


class FiringRow:
    """One firing of an edition in one run."""

    capacity: int
    cycle_days: int
    prep_min: int
    handling_min: int
    gate: int
    may_spoil: int
    share: float  # what passes it and all that follow
    good_at: int
    good_last: int
    spoiled_at: int
    spoiled_last: int

    prepared: int
    ready: int
    loaded: int
    unloaded: int
    good_out: int
    loads: int
    waited: int
    largest: int


class PlaceRow:
    """A place on the bench: the mold in use, and the one that will follow it; number -1 is none."""

    now_number: int
    now_life: int
    now_used: int
    now_ready: int
    next_number: int
    next_life: int
    next_ready: int


class OldMoldRow:
    """A mold that is there on day 0."""

    casts: int
    poured_day: int
    dry: int


class GreenRow:
    """Good casts of one day before day 0 that are not dry yet."""

    day: int
    count: int


def dtype_of(row: type) -> np.dtype[np.void]:
    """Return the numbers of a row as NumPy and Numba lay them out."""
    kinds = {"int": np.int64, "float": np.float64}
    return np.dtype([(name, kinds[kind]) for name, kind in row.__annotations__.items()])


class Tables(NamedTuple):
    """What chance decides and what was there, the tables of all editions one behind the other."""

    minutes: Ints
    cast_good: Counts
    dry_good: Counts
    fired_good: Counts
    fired_spoiled: Counts
    spoiled: npt.NDArray[np.bool_]
    life: Ints
    mold_dry_days: Ints
    casts_left: Floats
    old_molds: Sequence[OldMoldRow]
    green: Sequence[GreenRow]


class Told(NamedTuple):
    """What is written on the way, if there is room for it.

    Finished pieces, live molds and worn ones by (edition, run, day), and the events of the days.
    """

    finished: npt.NDArray[np.int16]
    live: npt.NDArray[np.int16]
    worn: npt.NDArray[np.int16]
    events: Ints


ROOM, LINE, FIRING = dtype_of(RoomRow), dtype_of(LineRow), dtype_of(FiringRow)
PLACE, OLD_MOLD, GREEN = dtype_of(PlaceRow), dtype_of(OldMoldRow), dtype_of(GreenRow)

# What has the same name in a record and in a row.
_OF_ROOM = (
    "first_weekday",
    "loads_a_week",
    "kiln_free_on",
    "week_loads",
    "mold_places",
    "rack",
)
_OF_EDITION = (
    "need",
    "proofs",
    "first_casts",
    "conditioning",
    "casts_a_day",
    "sets_a_session",
    "poured_today",
    "beside_days",
    "dry_passed",
    "passed",
)
_OF_POLICY = (
    "molds",
    "target",
    "safety",
    "part_load_wait",
    "least_fill",
    "lead",
    "eagerness",
    "life_limit",
    "hold_from",
    "hold_day",
)
_OF_DRAWS = (
    "ware_dry_days",
    "pour_from",
    "cast_min",
    "fettle_min",
    "finish_min",
    "setup_min",
    "set_min",
)
_OF_FIRING = ("cycle_days", "gate")
_OF_FIRING_DRAWS = ("prep_min", "handling_min")


@dataclass(frozen=True, slots=True)
class Part:
    """Runs that share a room, its editions and their tables.

    Parameters
    ----------
    workshop : Workshop
        Days, hands, kiln and editions, the edition with the first claim first.
    policies, draws : sequence of Policy, of Draws
        One of each an edition.
    runs : int
        How many runs; with fewer rows of draws the rows are used over again,
        so that several policies meet the same chances. [-]
    """

    workshop: Workshop
    policies: Sequence[Policy]
    draws: Sequence[Draws]
    runs: int


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of one part: by run, by run and edition, by run and firing of each edition in turn."""

    rooms: np.ndarray
    lines: np.ndarray
    firings: np.ndarray


@dataclass(frozen=True, slots=True)
class Layout:
    """The rows of a part, the tables they look into, and the room one run needs.

    ``places`` and ``days`` are the places on the bench and the days of casting
    remembered, of all editions in the room.
    """

    rows: Rows
    tables: Tables
    places: int
    days: int


def laid_out(part: Part) -> Layout:
    """Return the rows of a part as they stand before day 0."""
    rows = Rows(
        np.zeros(part.runs, ROOM),
        np.zeros((part.runs, len(part.workshop.editions)), LINE),
        np.zeros((part.runs, _route(part)), FIRING),
    )
    tables = _Tables()
    _lay(rows, part, tables)
    places, days = (
        int((rows.lines[f"{name}_at"] + rows.lines[name]).max(initial=1))
        for name in ("places", "days")
    )
    return Layout(rows, tables.joined(), places, days)


def _route(part: Part) -> int:
    """Return the firings of all editions in a room."""
    return sum(len(edition.firings) for edition in part.workshop.editions)


def _lay(rows: Rows, part: Part, tables: _Tables) -> None:
    """Write a part into its rows."""
    editions, runs = part.workshop.editions, np.arange(part.runs)
    _lay_room(rows.rooms, part, tables)
    rows.rooms["lines_at"] = runs * len(editions)
    firing = place = day = 0
    for number, edition in enumerate(editions):
        lines, end = rows.lines[:, number], firing + len(edition.firings)
        _lay_line(lines, part, number, tables)
        _lay_firings(rows.firings[:, firing:end], part, number, tables)
        lines["firings_at"] = runs * _route(part) + firing
        lines["places_at"], lines["days_at"] = place, day
        firing = end
        place += int(lines["places"].max(initial=0))
        day += int(lines["days"].max(initial=0))


class _Tables:
    """The tables of all editions in a room, one behind the other."""

    def __init__(self) -> None:
        self.kept: dict[str, list[np.ndarray]] = {name: [] for name in Tables._fields}
        self.length = dict.fromkeys(Tables._fields, 0)

    def add(self, name: str, table: np.ndarray) -> int:
        """Put a table behind those of its name; return where it begins."""
        begins = self.length[name]
        self.kept[name].append(np.ascontiguousarray(table).reshape(-1))
        self.length[name] += table.size
        return begins

    def joined(self) -> Tables:
        """Return the tables; one that stands alone is not copied."""
        return Tables(*(_joined(some) for some in self.kept.values()))


def _joined(tables: list[np.ndarray]) -> Any:
    return tables[0] if len(tables) == 1 else np.concatenate(tables)


def _each(value: Any, runs: int) -> np.ndarray:
    """Return one value a run; fewer values are used over again."""
    return np.resize(value, runs) if np.ndim(value) else np.asarray(value)


def _lay_room(rooms: np.ndarray, part: Part, tables: _Tables) -> None:
    """Write the hands and the kiln into the rows of a part."""
    workshop, last = part.workshop, part.policies[-1]
    for name in _OF_ROOM:
        rooms[name] = getattr(workshop, name)
    rooms["minutes_at"] = tables.add("minutes", np.asarray(workshop.minutes, dtype=np.int64))
    rooms["days"], rooms["lines"] = len(workshop.minutes), len(workshop.editions)
    rooms["minutes_limit"] = _each(last.minutes_limit, part.runs)
    rooms["give_up"] = _each(last.give_up, part.runs)
    rooms["kiln_line"], rooms["ended"] = -1, -1
    for number, edition in enumerate(workshop.editions):
        if (inside := edition.already.load) is not None:
            rooms["kiln_line"], rooms["kiln_firing"] = number, inside.firing
            rooms["kiln_out_on"] = inside.out_day


def _lay_line(lines: np.ndarray, part: Part, number: int, tables: _Tables) -> None:
    """Write one edition, its rule and where its tables are into the rows of a part."""
    edition, draws = part.workshop.editions[number], part.draws[number]
    if len(edition.already.molds) > draws.life.shape[1]:
        raise ValueError(f"{len(edition.already.molds)} molds, tables for {draws.life.shape[1]}")
    lines["number"], lines["firings"] = number, len(edition.firings)
    for name in _OF_EDITION:
        lines[name] = getattr(edition, name)
    for name in _OF_POLICY:
        lines[name] = _each(getattr(part.policies[number], name), part.runs)
    for name in _OF_DRAWS:
        lines[name] = _each(getattr(draws, name), part.runs)
    lines["spare_life"] = np.maximum(edition.life - lines["life_limit"], 0)
    lines["places"] = np.maximum(lines["molds"], len(edition.already.molds))
    lines["days"] = np.maximum(lines["ware_dry_days"], 1) + 2
    lines["last_pour"], lines["last_cast"], lines["done"] = -1, -1, -1
    _point_to_tables(lines, draws, tables)
    _lay_what_is_there(lines, edition, tables)


def _lay_firings(firings: np.ndarray, part: Part, number: int, tables: _Tables) -> None:
    """Write the route of one edition, and what has come to each firing, into the rows of a part."""
    edition, draws = part.workshop.editions[number], part.draws[number]
    limits = part.policies[number].capacity_limits or (NEVER,) * len(edition.firings)
    good_at = tables.add("fired_good", draws.fired_good)
    tables.add("fired_spoiled", draws.fired_spoiled)
    spoiled_at = tables.add("spoiled", draws.spoiled)
    shares = np.cumprod([f.passed for f in reversed(edition.firings)])[::-1]
    for k, firing in enumerate(edition.firings):
        own = firings[:, k]
        for name in _OF_FIRING:
            own[name] = getattr(firing, name)
        for name in _OF_FIRING_DRAWS:
            own[name] = _each(getattr(draws, name)[:, k], part.runs)
        own["capacity"] = np.minimum(_each(limits[k], part.runs), firing.capacity)
        own["may_spoil"], own["share"] = firing.spoiled_chance > 0, shares[k]
        good, spoiled = draws.fired_good[k], draws.spoiled[k]
        _point(own, "good", good, good_at + k * good.size)
        _point(own, "spoiled", spoiled, spoiled_at + k * spoiled.size)
        _lay_what_has_come(own, edition, k)


def _point_to_tables(lines: np.ndarray, draws: Draws, tables: _Tables) -> None:
    """Write where in the tables each run's own numbers begin and how many there are."""
    _point(lines, "pieces", draws.cast_good, tables.add("cast_good", draws.cast_good))
    tables.add("dry_good", draws.dry_good)
    _point(lines, "molds", draws.life, tables.add("life", draws.life))
    tables.add("mold_dry_days", draws.mold_dry_days)
    left = draws.casts_left[None, :]
    _point(lines, "left", left, tables.add("casts_left", left))


def _point(rows: np.ndarray, name: str, table: np.ndarray, begins: int) -> None:
    """Write where each run's row of a table begins, and its last place."""
    rows[f"{name}_at"] = begins + (np.arange(len(rows)) % len(table)) * table.shape[1]
    rows[f"{name}_last"] = table.shape[1] - 1


def _lay_what_is_there(lines: np.ndarray, edition: Edition, tables: _Tables) -> None:
    """Write the molds, the drying ware and the finished pieces of day 0 into the rows."""
    already = edition.already
    molds = [(mold.casts, mold.poured_day, mold.dry) for mold in already.molds]
    lines["old_at"] = tables.add("old_molds", np.array(molds, OLD_MOLD))
    lines["old_molds"] = lines["poured"] = len(molds)
    lines["green_at"] = tables.add("green", np.array(list(already.drying), GREEN))
    lines["green_days"] = len(already.drying)
    lines["green"] = lines["cast_ok"] = already.green
    lines["dry"] = lines["dried"] = already.came_to(0)
    lines["finished"], lines["begun"] = already.finished, already.begun
    if already.begun and already.finished >= edition.need:
        lines["done"] = 0


def _lay_what_has_come(firings: np.ndarray, edition: Edition, k: int) -> None:
    """Write the ware of day 0 at one firing into the rows."""
    already = edition.already
    firings["prepared"] = already.prepared_for(k)
    firings["loaded"] = already.inside(k)
    firings["loads"] = already.inside(k) > 0
    last = k == len(edition.firings) - 1
    firings["good_out"] = already.to_finish + already.finished if last else already.came_to(k + 1)
