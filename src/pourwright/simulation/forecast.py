"""The workshop run forward, day by day: many runs in one call.

`docs/science/forecast.md` states the rules of a day in words, and `day` plays them; the
tests hold a second engine, written from those words, against this one run by run.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from pourwright.simulation.draws import Draws
from pourwright.simulation.outcome import LineOutcome, Outcome
from pourwright.simulation.problem import CLAIMS, DayNote, Edition, Ints, Policy, Workshop
from pourwright.simulation.rows import PLACE, Part, Rows, Told, laid_out


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
    part = Part(workshop, policies, draws, runs)
    rows, told = _played(part, curves=curves)
    outcome = _outcome(rows, part, told if curves else None)
    if notes:  # the first time tells how many events there are
        rows, told = _played(part, events=int(rows.rooms["events"][0]))
        outcome.notes = _notes(workshop, told.events, int(rows.rooms["ended"][0]))
    return outcome


def _played(part: Part, *, curves: bool = False, events: int = 0) -> tuple[Rows, Told]:
    """Play the rows of a part to their ends and return them."""
    from pourwright.simulation import day as rules

    layout = laid_out(part)
    rows, days = layout.rows, len(part.workshop.minutes) if curves else 0
    by_day = (len(part.workshop.editions), part.runs, days)
    finished, live, worn = (np.zeros(by_day, dtype=np.int16) for _ in range(3))
    told = Told(finished, live, worn, np.zeros((events, rules.EVENT_NUMBERS), dtype=np.int64))
    places, remembered = np.zeros(layout.places, PLACE), np.zeros(layout.days, dtype=np.int64)
    lines, firings = rows.lines.reshape(-1), rows.firings.reshape(-1)
    play: Any = rules.play
    luck_rows = max(len(own.cast_good) for own in part.draws)
    play(rows.rooms, lines, firings, places, remembered, layout.tables, told, luck_rows)
    return rows, told


def _outcome(rows: Rows, part: Part, told: Told | None) -> Outcome:
    """Return what stands in the rows of a part after their last day."""
    lines, firing = [], 0
    for number, edition in enumerate(part.workshop.editions):
        end = firing + len(edition.firings)
        own = Rows(rows.rooms, rows.lines[:, number], rows.firings[:, firing:end])
        lines.append(_line_outcome(own, edition, number, told))
        firing = end
    return Outcome(tuple(lines), rows.rooms["busiest"].copy())


def _line_outcome(rows: Rows, edition: Edition, number: int, told: Told | None) -> LineOutcome:
    """Return what became of one edition."""
    lines, firings = rows.lines, rows.firings
    before = [edition.already.inside(k) > 0 for k in range(len(edition.firings))]
    return LineOutcome(
        finish=lines["done"].copy(),
        casts=lines["cast"].copy(),
        conditioning=lines["conditioned"].copy(),
        molds=lines["poured"].copy(),
        sessions=lines["sessions"].copy(),
        last_pour=lines["last_pour"].copy(),
        last_cast=lines["last_cast"].copy(),
        good=lines["finished"].copy(),
        loads=(firings["loads"] - before).T.copy(),
        largest_load=firings["largest"].T.copy(),
        out_of_tables=lines["short"] > 0,
        finished_by_day=told.finished[number] if told else None,
        molds_by_day=told.live[number] if told else None,
        worn_by_day=told.worn[number] if told else None,
    )


def _notes(workshop: Workshop, events: Ints, ended: int) -> list[DayNote]:
    """Return a note of every day, made of the events written down on the way."""
    from pourwright.simulation import day as rules

    notes = [
        DayNote(day, int(minutes)) for day, minutes in enumerate(workshop.minutes[: ended + 1])
    ]
    for day, what, line, *numbers in events.tolist():
        if what == rules.USED:
            notes[day].used_min = numbers[0]
        else:
            _write(notes[day], workshop.editions[line], what, *numbers)
    return notes


def _write(note: DayNote, edition: Edition, what: int, a: int, b: int, c: int) -> None:
    """Write one event of an edition into the note of its day."""
    from pourwright.simulation import day as rules

    name = edition.name
    match what:
        case rules.DRIED:
            note.dried[name] = a
        case rules.UNLOADED:
            note.unloaded.append((name, edition.firings[a].name, b, c))
        case rules.FINISHED:
            note.finished[name] = a
        case rules.PREPARED:
            note.prepared.append((name, edition.firings[a].name, b))
        case rules.LOADED:
            note.loaded.append((name, edition.firings[a].name, b, CLAIMS[c]))
        case rules.POURED:
            note.poured.append((name, a, b))
        case rules.CAST:
            note.cast.append((name, a, bool(b)))
            note.fettled[name] = note.fettled.get(name, 0) + b
