"""The book's answers as lines of text for a terminal or a printed page."""

from __future__ import annotations

from collections.abc import Sequence

from pourwright.ledger.entry import day_in
from pourwright.report.saying import count, listed
from pourwright.studio.answers import CastsLeft, DayLists, Odd, Owed, Stages, Yield


def casts_left_text(rows: Sequence[CastsLeft]) -> str:
    """Return the casts left of each mold, and on what they rest."""
    if not rows:
        return "No mold is in use.\n"
    lines = [
        f"{one.label}: {count(one.casts, 'cast')} given, {one.left.p50} more likely "
        f"({one.left.p10} to {one.left.p90} in eight of ten)"
        for one in rows
    ]
    return "\n".join([*lines, f"From {rows[0].basis}."]) + "\n"


def stages_text(told: Stages, zone: str) -> str:
    """Return what each stage holds, with days by the calendar of a zone."""
    lines = [f"{told.edition}: {count(told.cast, 'cast')}, {told.good} good"]
    for stage in told.stages:
        marked = f", {stage.marked} of them marked" if stage.marked else ""
        lines.append(f"{stage.stage}: {stage.count}{marked}")
    for load in told.in_the_kiln:
        since = day_in(load.since, zone)
        lines.append(f"{load.load}, {load.firing} firing, in the kiln since {since}: {load.pieces}")
    return "\n".join(lines) + "\n"


def owed_text(told: Owed) -> str:
    """Return what is still to be made."""
    lines = []
    for name, one in (("numbers", told.numbers), ("proofs", told.proofs)):
        which = f" ({listed([str(n) for n in one.which])})" if one.which else ""
        lines.append(
            f"{name}: {one.of} in all, {one.living} living, {one.gone} broken after they left, "
            f"{one.settled} settled, {one.owed} owed{which}, {one.unmarked} not marked yet"
        )
    lines.append(f"{count(told.ware, 'piece')} without a number in work")
    if told.undeclared_surplus:
        lines.append(f"{count(told.undeclared_surplus, 'surplus piece')} not declared")
    return "\n".join(lines) + "\n"


def yields_text(rows: Sequence[Yield], by: str) -> str:
    """Return yields with their intervals, a line each."""
    if not rows:
        return "Nothing counted yet.\n"
    what = "lost" if by == "cause" else "good"
    lines = []
    for one in rows:
        span = f"{100 * one.low:.0f} to {100 * one.high:.0f} %"
        lines.append(f"{one.name}: {one.counted} {what} of {one.of}, {span}")
    return "\n".join([*lines, "The range holds in nineteen of twenty."]) + "\n"


def findings_text(rows: Sequence[Odd], zone: str) -> str:
    """Return what is odd, a line each, with days by the calendar of a zone."""
    lines = [f"{day_in(one.at, zone)}, entry {one.seq}: {one.said}" for one in rows]
    return "\n".join(lines or ["Nothing odd."]) + "\n"


def today_text(told: DayLists) -> str:
    """Return the lists of a day."""
    lists = {
        "Ready to cast": told.ready,
        "Drying": [f"{one.label} ({count(one.days, 'day')})" for one in told.drying],
        "Weigh today": told.weigh,
        "Stopped losing weight": [one.label for one in told.drying if one.stopped_losing],
        "Incomplete": told.incomplete,
        "Can be fired": [f"{one.pieces} for {one.firing}" for one in told.loads],
        "In the kiln": [f"{one.load} ({one.firing})" for one in told.in_the_kiln],
        "Can be finished": [count(told.finish, "piece")] if told.finish else (),
        "Can be numbered": [count(told.mark, "piece")] if told.mark else (),
    }
    lines = [f"{name}: {listed(names) if names else 'none'}\n" for name, names in lists.items()]
    return "".join([*lines, *(f"Odd this week: {one.said}\n" for one in told.findings)])
