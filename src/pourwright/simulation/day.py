"""The rules of a day, played for one run after another: compiled, and stated nowhere else.

`docs/science/forecast.md` states them in words, and the functions below stand in its order.
Every stage is first in, first out. So a run is a handful of cumulative counts (how many
were ever cast, dried, loaded), and no piece needs an object of its own.

A run is a row: a `RoomRow`, a `LineRow` for each edition and a `FiringRow` for each of its
firings. What is given and what has come of it stand in the same row, so whatever is asked of a
run after its last day is a column. No two rows need to have anything in common.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from pourwright.simulation.compiled import compiled
from pourwright.simulation.problem import NEVER, Counts, Ints
from pourwright.simulation.rows import (
    FiringRow,
    LineRow,
    PlaceRow,
    RoomRow,
    Tables,
    Told,
)

CEIL_SLACK = 1e-9
"""Keeps a whole number that floats have made a hair too large from being rounded up."""

DRIED, UNLOADED, FINISHED, PREPARED, LOADED, POURED, CAST, USED = range(8)
"""What an event tells of: its day, what it is, the edition's place in the room, and three numbers."""
EVENT_NUMBERS = 6
GATE, FULL, LAST, RACK, WAITED, NO_CLAIM = range(6)
"""Why a firing claims the kiln, the first claim first; `problem.CLAIMS` names them."""


@compiled
def nth(first: int, at: int) -> int:
    """Return where the row with a number stands, counted from a first one.

    Unsigned: of a number that might be below 0 it is asked at each reading whether it counts
    from the end, and that was a sixth of all time.
    """
    return np.uint64(first + at)  # type: ignore[return-value]


@compiled
def note(
    events: Ints, room: RoomRow, day: int, what: int, line: int, a: int, b: int, c: int
) -> None:
    """Write an event down where there is room for it; count it in any case."""
    at = room.events
    if at < len(events):
        events[at, 0], events[at, 1], events[at, 2] = day, what, line
        events[at, 3], events[at, 4], events[at, 5] = a, b, c
    room.events = at + 1


@compiled
def look(table: Counts, first: int, last: int, index: int, line: LineRow) -> int:
    """Read a table; past its end the last number stands, and the run is marked short."""
    if index > last:
        line.short = 1
        return table[nth(first, last)]  # type: ignore[no-any-return]
    return table[nth(first, index)]  # type: ignore[no-any-return]


# --- where a run begins


@compiled
def begin(line: LineRow, places: Sequence[PlaceRow], cast_by_day: Ints, tables: Tables) -> None:
    """Lay out the drying ware and the molds that are there on day 0."""
    for day in range(-line.days, 0):
        count = 0
        for at in range(line.green_at, line.green_at + line.green_days):
            if tables.green[at].day <= day:
                count += tables.green[at].count
        cast_by_day[line.days_at + day % line.days] = count
    for at in range(line.places):
        place = places[nth(line.places_at, at)]
        place.now_number, place.next_number, place.now_used = -1, -1, 0
        if at < line.old_molds:
            old, table = tables.old_molds[line.old_at + at], line.molds_at + at
            place.now_number, place.now_used = at, old.casts
            place.now_life = min(tables.life[table], line.life_limit)
            place.now_ready = 0 if old.dry else max(old.poured_day + tables.mold_dry_days[table], 0)
            line.spent += place.now_used >= place.now_life


# --- a day, in the order of the page


@compiled
def dry(
    day: int, room: RoomRow, line: LineRow, cast_by_day: Ints, tables: Tables, events: Ints
) -> None:
    """Let what was cast long enough ago, and not today, count as dry."""
    before, cast_on = line.dried, day - max(line.ware_dry_days, 1)
    line.drying_done = cast_by_day[line.days_at + cast_on % line.days]
    passed = look(tables.dry_good, line.pieces_at, line.pieces_last, line.drying_done, line)
    line.dried = passed + line.dry
    if line.dried > before:
        note(events, room, day, DRIED, line.number, line.dried - before, 0, 0)


@compiled
def unload(
    day: int, room: RoomRow, line: LineRow, firing: FiringRow, tables: Tables, events: Ints
) -> None:
    """Take out what has cooled, and count what came out good."""
    table = tables.fired_good
    if firing.may_spoil:
        load = max(firing.loads - 1, 0)
        if load > firing.spoiled_last:
            line.short = 1
        if tables.spoiled[firing.spoiled_at + min(load, firing.spoiled_last)]:
            table = tables.fired_spoiled
    low = look(table, firing.good_at, firing.good_last, firing.unloaded, line)
    good = look(table, firing.good_at, firing.good_last, firing.loaded, line) - low
    count = firing.loaded - firing.unloaded
    note(events, room, day, UNLOADED, line.number, room.kiln_firing, count, good)
    firing.good_out += good
    firing.unloaded = firing.loaded
    room.kiln_line = -1


@compiled
def afford(room: RoomRow, count: int, each_min: int) -> int:
    """Return how many of a count the hands have minutes for, and take the minutes."""
    if each_min > 0:
        count = min(count, room.hands // each_min)
    room.hands -= count * each_min
    return count


@compiled
def finish(day: int, room: RoomRow, line: LineRow, last: FiringRow, events: Ints) -> None:
    """Mark, pack and number what has come through the last firing."""
    if last.good_out <= line.finished:
        return
    count = afford(room, last.good_out - line.finished, line.finish_min)
    line.finished += count
    if line.finished >= line.need and line.done < 0:
        line.done = day
    if count > 0:
        note(events, room, day, FINISHED, line.number, count, 0, 0)


@compiled
def came_to(line: LineRow, firings: Sequence[FiringRow], k: int) -> int:
    """How many pieces ever came to firing k."""
    return line.dried if k == 0 else firings[nth(line.firings_at, k - 1)].good_out


@compiled
def prepare(
    day: int, room: RoomRow, line: LineRow, firings: Sequence[FiringRow], events: Ints
) -> None:
    """Glaze or decorate what has come to each firing, the last firing first; it is ready tomorrow."""
    for k in range(line.firings - 1, -1, -1):
        firing = firings[nth(line.firings_at, k)]
        may = came_to(line, firings, k)
        if firing.gate and firing.unloaded == 0:
            may = min(may, firing.gate)
        if not firing.prep_min:
            firing.prepared = firing.ready = may
            continue
        firing.ready = firing.prepared
        if may > firing.prepared:
            count = afford(room, may - firing.prepared, firing.prep_min)
            firing.prepared += count
            if count > 0:
                note(events, room, day, PREPARED, line.number, k, count, 0)


@compiled
def wanted(line: LineRow, firings: Sequence[FiringRow]) -> int:
    """Casts still to start, given what is in work."""
    if line.target != 0:
        return max(line.target - line.cast, 0)
    hoped, spread = float(firings[nth(line.firings_at, line.firings - 1)].good_out), 0.0
    for k in range(line.firings):
        firing = firings[nth(line.firings_at, k)]
        inside, share = came_to(line, firings, k) - firing.unloaded, firing.share
        hoped += inside * share
        spread += inside * (share * (1 - share))
    drying, share = (
        line.cast_ok - line.drying_done,
        line.dry_passed * firings[line.firings_at].share,
    )
    hoped += drying * share
    spread += drying * (share * (1 - share))
    aim = line.need if line.cast < line.first_casts else line.need - line.proofs
    lacking = aim + line.safety * math.sqrt(spread) - hoped
    return max(int(np.ceil(lacking / line.passed - CEIL_SLACK)), 0)


@compiled
def come_through(line: LineRow, firings: Sequence[FiringRow]) -> bool:
    """Tell whether nothing is wanted, nothing is in work, and all that came out is finished."""
    if wanted(line, firings) > 0 or line.drying_done != line.cast_ok:
        return False
    for k in range(line.firings):
        if firings[nth(line.firings_at, k)].unloaded != came_to(line, firings, k):
            return False
    return line.finished == firings[nth(line.firings_at, line.firings - 1)].good_out


@compiled
def on_the_rack(line: LineRow, firings: Sequence[FiringRow]) -> int:
    """How many good casts are wet, or dry and not yet in their first firing."""
    dry_ones = line.dried - firings[line.firings_at].loaded
    return line.cast_ok - line.drying_done + dry_ones


@compiled
def room_on_the_rack(room: RoomRow, lines: Sequence[LineRow], firings: Sequence[FiringRow]) -> int:
    """How many more casts the rack of all editions holds."""
    free = room.rack
    for at in range(room.lines_at, room.lines_at + room.lines):
        free -= on_the_rack(lines[at], firings)
    return max(free, 0)


@compiled
def is_stuck(room: RoomRow, lines: Sequence[LineRow], firings: Sequence[FiringRow]) -> int:
    """Tell whether the rack is full and nothing on it has still to dry: only a load makes room."""
    for at in range(room.lines_at, room.lines_at + room.lines):
        if lines[at].drying_done != lines[at].cast_ok:
            return 0
    return int(room_on_the_rack(room, lines, firings) == 0)


@compiled
def claim(line: LineRow, firings: Sequence[FiringRow], k: int, stuck: int) -> int:
    """Return why a firing claims the kiln, if it does; ``stuck`` is told of the rack."""
    firing = firings[nth(line.firings_at, k)]
    waiting = firing.ready - firing.loaded
    if waiting <= 0:
        return NO_CLAIM
    shut = firing.gate > 0 and firing.unloaded == 0
    if shut and firing.ready >= firing.gate:
        return GATE
    if waiting >= firing.capacity:
        return FULL
    coming = line.want > 0 or line.drying_done != line.cast_ok
    for at in range(k + 1):
        here, came = firings[nth(line.firings_at, at)], came_to(line, firings, at)
        coming = coming or here.ready != came or (at < k and here.unloaded != came)
    if not coming:
        return LAST
    if k == 0 and stuck:
        return RACK
    if shut:
        return NO_CLAIM
    enough = waiting >= line.least_fill * firing.capacity
    return WAITED if enough and firing.waited >= line.part_load_wait else NO_CLAIM


@compiled
def beyond(week_loads: float, loads_a_week: float) -> float:
    """Return the part of a load that a week took beyond its loads: it counts in the next one."""
    over = week_loads - loads_a_week
    return over if 0 < over < 1 else 0.0


@compiled
def load(
    day: int,
    room: RoomRow,
    lines: Sequence[LineRow],
    firings: Sequence[FiringRow],
    events: Ints,
) -> None:
    """Give the empty kiln the load with the first claim; what was glazed today waits a night."""
    if room.kiln_line < 0 and room.week_loads < room.loads_a_week and day >= room.kiln_free_on:
        best, first, which = NO_CLAIM, 0, 0
        stuck = is_stuck(room, lines, firings)
        for number in range(room.lines):
            line = lines[nth(room.lines_at, number)]
            for k in range(line.firings - 1, -1, -1):
                if firings[nth(line.firings_at, k)].handling_min <= room.hands:
                    rank = claim(line, firings, k, stuck)
                    if rank < best:
                        best, first, which = rank, number, k
        if best < NO_CLAIM:
            at = lines[nth(room.lines_at, first)].firings_at + which
            put_in(day, room, first, which, best, firings[at], events)
    for number in range(room.lines):
        line = lines[nth(room.lines_at, number)]
        for k in range(line.firings):
            firing = firings[nth(line.firings_at, k)]
            firing.waited = firing.waited + 1 if firing.ready > firing.loaded else 0


@compiled
def put_in(
    day: int, room: RoomRow, line: int, k: int, why: int, firing: FiringRow, events: Ints
) -> None:
    """Load the kiln with one firing."""
    count = min(firing.ready - firing.loaded, firing.capacity)
    firing.loaded += count
    firing.loads += 1
    firing.largest = max(firing.largest, count)
    firing.waited = 0
    room.hands -= firing.handling_min
    room.kiln_line, room.kiln_firing = line, k
    room.kiln_out_on = day + firing.cycle_days
    room.week_loads += 1
    note(events, room, day, LOADED, line, k, count, why)


@compiled
def believed(line: LineRow, place: PlaceRow, tables: Tables) -> float:
    """Casts that the mold in a place is believed to give yet, thrown-away ones included."""
    if place.now_number < 0 or place.now_used >= place.now_life:
        return 0.0
    left = tables.casts_left[nth(line.left_at, min(place.now_used, line.left_last))]
    return left - line.spare_life  # type: ignore[no-any-return]


@compiled
def wants_mold(line: LineRow, place: PlaceRow, left: float) -> bool:
    """Tell whether a place has no replacement, and its mold is believed to give few casts more."""
    return place.now_number >= 0 and place.next_number < 0 and left <= line.lead


@compiled
def replacements(line: LineRow, places: Sequence[PlaceRow], tables: Tables) -> int:
    """Return how many new molds would give what the molds at hand do not."""
    if line.want <= 0:
        return 0
    fresh = tables.casts_left[line.left_at] - line.spare_life - line.conditioning
    at_hand, waiting, opened = 0.0, 0, 0
    for at in range(line.places):
        place = places[nth(line.places_at, at)]
        left = believed(line, place, tables)
        opened += wants_mold(line, place, left)
        if place.now_number >= 0:
            at_hand += max(left - max(line.conditioning - place.now_used, 0), 0.0)
        waiting += place.next_number >= 0
    at_hand += waiting * fresh
    lacking = max(np.ceil(line.want * line.eagerness - at_hand - CEIL_SLACK), 0.0)
    return min(int(np.ceil(lacking / max(fresh, 1.0))), opened)


@compiled
def replace_worn(line: LineRow, places: Sequence[PlaceRow]) -> None:
    """Put the replacement in the place of each worn-out mold."""
    if line.spent == 0:
        return
    for at in range(line.places):
        place = places[nth(line.places_at, at)]
        worn = place.now_number >= 0 and place.now_used >= place.now_life
        if worn and place.next_number >= 0:
            place.now_number, place.next_number = place.next_number, -1
            place.now_life, place.now_ready = place.next_life, place.next_ready
            place.now_used = 0
            line.worn += 1
            line.spent -= 1


@compiled
def pour(
    day: int,
    room: RoomRow,
    line: LineRow,
    lines: Sequence[LineRow],
    places: Sequence[PlaceRow],
    tables: Tables,
    events: Ints,
) -> None:
    """Pour first molds, or replacements for molds that are nearly worn out."""
    replace_worn(line, places)
    if day < line.pour_from:
        return
    first = max(line.molds - line.poured, 0)
    if line.begun and line.want <= 0:
        first = 0
    count = first if first > 0 else replacements(line, places, tables)
    if day < line.hold_day:
        count = min(count, line.hold_from - line.poured)
    # what was poured this morning belongs to the session of day 0, which is set up then
    before = line.poured_today if day == 0 else 0
    setup_min = 0 if before > 0 else line.setup_min
    count = min(count, line.sets_a_session - before)
    if line.set_min:
        count = min(count, (room.hands - setup_min) // line.set_min)
    count = min(count, places_to_dry(day, room, lines, places))
    if count <= 0 or room.hands < setup_min:
        return
    longer = days_longer(day, count, room, line, lines, places)
    room.hands -= setup_min + count * line.set_min
    if before == 0:
        line.sessions += 1
    line.last_pour = day
    for at in range(line.places):
        place = places[nth(line.places_at, at)]
        if first > 0:
            takes = place.now_number < 0 and at < line.molds
        else:
            takes = wants_mold(line, place, believed(line, place, tables))
        if takes and count > 0:
            new_mold(day, longer, room, line, place, tables, events)
            count -= 1


@compiled
def days_longer(
    day: int,
    count: int,
    room: RoomRow,
    line: LineRow,
    lines: Sequence[LineRow],
    places: Sequence[PlaceRow],
) -> int:
    """Return the days that molds poured today dry longer for those of all editions that are wet beside them."""
    if line.beside_days <= 0:
        return 0
    days = line.beside_days * (count - 1)
    for at in range(room.lines_at, room.lines_at + room.lines):
        days += lines[at].beside_days * wet(day, lines[at], places)
    return round(days)


@compiled
def places_to_dry(
    day: int, room: RoomRow, lines: Sequence[LineRow], places: Sequence[PlaceRow]
) -> int:
    """Return how many more molds there is room to dry."""
    free = room.mold_places
    if free < NEVER:
        for at in range(room.lines_at, room.lines_at + room.lines):
            free -= wet(day, lines[at], places)
    return free


@compiled
def wet(day: int, line: LineRow, places: Sequence[PlaceRow]) -> int:
    """Return how many molds are not dry yet."""
    count = 0
    for at in range(line.places):
        place = places[nth(line.places_at, at)]
        count += place.now_number >= 0 and place.now_ready > day
        count += place.next_number >= 0 and place.next_ready > day
    return count


@compiled
def new_mold(
    day: int,
    longer: int,
    room: RoomRow,
    line: LineRow,
    place: PlaceRow,
    tables: Tables,
    events: Ints,
) -> None:
    """Put a mold poured today to dry in its place, so many days longer for those it dries beside."""
    number = line.poured
    line.poured += 1
    if number > line.molds_last:
        line.short = 1
    table = line.molds_at + min(number, line.molds_last)
    life = min(tables.life[table], line.life_limit)
    ready = day + tables.mold_dry_days[table] + longer
    if place.now_number < 0:
        place.now_number, place.now_life, place.now_ready = number, life, ready
    else:
        place.next_number, place.next_life, place.next_ready = number, life, ready
    note(events, room, day, POURED, line.number, number, ready, 0)


@compiled
def cast(
    day: int,
    room: RoomRow,
    line: LineRow,
    places: Sequence[PlaceRow],
    tables: Tables,
    events: Ints,
) -> None:
    """Cast each dry mold that still has casts in it, first places first, round after round."""
    for _ in range(line.casts_a_day):
        if line.want <= 0:
            break
        cast_round(day, room, line, places, events)
    passed = look(tables.cast_good, line.pieces_at, line.pieces_last, line.cast, line)
    line.cast_ok = passed + line.green


@compiled
def cast_round(
    day: int, room: RoomRow, line: LineRow, places: Sequence[PlaceRow], events: Ints
) -> None:
    """Go through the molds once, as far as minutes and what is wanted go."""
    whole = line.cast_min + line.fettle_min
    most = room.hands // whole if whole > 0 else line.places
    for at in range(line.places):
        place = places[nth(line.places_at, at)]
        if place.now_number < 0 or place.now_ready > day or place.now_used >= place.now_life:
            continue
        counts = place.now_used >= line.conditioning
        if most <= 0 or (counts and line.want <= 0):
            break
        most -= 1
        place.now_used += 1
        line.spent += place.now_used == place.now_life
        room.hands -= line.cast_min
        if counts:
            room.hands -= line.fettle_min
            line.want -= 1
            line.cast += 1
            line.last_cast = day
        else:
            line.conditioned += 1
        note(events, room, day, CAST, line.number, place.now_number, int(counts), 0)


@compiled
def work(
    day: int,
    room: RoomRow,
    lines: Sequence[LineRow],
    firings: Sequence[FiringRow],
    places: Sequence[PlaceRow],
    tables: Tables,
    events: Ints,
) -> None:
    """Work from the finished end backward: what is nearest to the box comes first."""
    first, end = room.lines_at, room.lines_at + room.lines
    if room.kiln_line >= 0 and room.kiln_out_on <= day:
        line = lines[first + room.kiln_line]
        unload(day, room, line, firings[nth(line.firings_at, room.kiln_firing)], tables, events)
    for at in range(first, end):
        last = firings[nth(lines[at].firings_at, lines[at].firings - 1)]
        finish(day, room, lines[at], last, events)
    for at in range(first, end):
        prepare(day, room, lines[at], firings, events)
    for at in range(first, end):
        lines[at].want = wanted(lines[at], firings)
    load(day, room, lines, firings, events)
    for at in range(first, end):
        pour(day, room, lines[at], lines, places, tables, events)
    for at in range(first, end):
        lines[at].want = min(lines[at].want, room_on_the_rack(room, lines, firings))
        cast(day, room, lines[at], places, tables, events)
    for at in range(first, end):
        line = lines[at]
        without_proofs = line.done < 0 and line.finished >= line.need - line.proofs
        if without_proofs and come_through(line, firings):
            line.done = day


# --- how a day and a run end


@compiled
def tell(day: int, run: int, line: LineRow, places: Sequence[PlaceRow], told: Told) -> None:
    """Write down how the day ended for an edition."""
    live = 0
    for at in range(line.places):
        place = places[nth(line.places_at, at)]
        if place.now_number >= 0:
            live += place.now_used < place.now_life
    told.finished[line.number, run, day] = line.finished
    told.live[line.number, run, day] = live
    told.worn[line.number, run, day] = line.worn + line.spent


@compiled
def tell_the_rest(run: int, room: RoomRow, told: Told) -> None:
    """After the last day what is finished and worn stays so."""
    for number in range(room.lines):
        for day in range(room.ended + 1, room.days):
            told.finished[number, run, day] = told.finished[number, run, room.ended]
            told.worn[number, run, day] = told.worn[number, run, room.ended]


@compiled
def play_run(
    run: int,
    room: RoomRow,
    lines: Sequence[LineRow],
    firings: Sequence[FiringRow],
    places: Sequence[PlaceRow],
    cast_by_day: Ints,
    tables: Tables,
    told: Told,
) -> None:
    """Play a run to its end."""
    curves, events = told.finished.shape[2] > 0, told.events
    first, end = room.lines_at, room.lines_at + room.lines
    idle_until = min(room.days, room.give_up)
    for at in range(first, end):
        begin(lines[at], places, cast_by_day, tables)
        idle_until = min(idle_until, 0 if lines[at].begun else lines[at].pour_from)
    for day in range(room.days):
        room.ended = day
        if day > 0 and (room.first_weekday + day) % 7 == 0:
            room.week_loads = beyond(room.week_loads, room.loads_a_week)
        if day < idle_until:  # nothing is there, and no mold may be poured yet
            continue
        for at in range(first, end):
            dry(day, room, lines[at], cast_by_day, tables, events)
        minutes = tables.minutes[room.minutes_at + day]
        if minutes > 0:
            start = room.hands = min(minutes, room.minutes_limit)
            work(day, room, lines, firings, places, tables, events)
            room.busiest = max(room.busiest, start - room.hands)
            note(events, room, day, USED, 0, start - room.hands, 0, 0)
        done = True
        for at in range(first, end):
            line = lines[at]
            cast_by_day[line.days_at + day % line.days] = line.cast_ok
            done = done and line.done >= 0
            if curves:
                tell(day, run, line, places, told)
        if done or room.give_up <= day:
            break
    if curves:
        tell_the_rest(run, room, told)


@compiled
def play(
    rooms: Sequence[RoomRow],
    lines: Sequence[LineRow],
    firings: Sequence[FiringRow],
    places: Sequence[PlaceRow],
    cast_by_day: Ints,
    tables: Tables,
    told: Told,
    luck_rows: int,
) -> None:
    """Play every run to its end, in its own rows.

    Parameters
    ----------
    rooms, lines, firings : array of RoomRow, LineRow, FiringRow
        What is given, and what comes of it.
    places : array of PlaceRow
        Room for the molds of one run.
    cast_by_day : array of int
        Room for the good casts up to each of the last days of one run.
    tables : Tables
        What chance decides, and what was there.
    told : Told
        Where curves and events are written.
    luck_rows : int
        How many rows a table of chance has. Runs so many apart meet the same luck, and are
        played one after the other, while it is at hand. [-]
    """
    for first in range(luck_rows):
        for run in range(first, len(rooms), luck_rows):
            play_run(run, rooms[run], lines, firings, places, cast_by_day, tables, told)
