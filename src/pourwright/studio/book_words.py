"""The book's answers as lines of text for a terminal or a printed page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from pourwright.ledger.entry import day_in
from pourwright.report.saying import count, listed

Rows = Iterable[Mapping[str, Any]]


def casts_left_text(rows: Rows) -> str:
    """Return the casts left of each mold, and on what they rest."""
    found = list(rows)
    if not found:
        return "No mold is in use.\n"
    lines = [
        f"{one['label']}: {count(one['casts'], 'cast')} given, {one['left']['p50']} more likely "
        f"({one['left']['p10']} to {one['left']['p90']} in eight of ten)"
        for one in found
    ]
    return "\n".join([*lines, f"From {found[0]['basis']}."]) + "\n"


def stages_text(data: Mapping[str, Any], zone: str) -> str:
    """Return what each stage holds, with days by the calendar of a zone."""
    lines = [f"{data['edition']}: {count(data['cast'], 'cast')}, {data['good']} good"]
    lines += [
        f"{one['stage']}: {one['count']}"
        + (f", {one['marked']} of them marked" if one["marked"] else "")
        for one in data["stages"]
    ]
    lines += [
        f"{one['load']}, {one['firing']} firing, in the kiln since {day_in(one['since'], zone)}: {one['pieces']}"
        for one in data["in_the_kiln"]
    ]
    return "\n".join(lines) + "\n"


def owed_text(data: Mapping[str, Any]) -> str:
    """Return what is still to be made."""
    lines = []
    for name in ("numbers", "proofs"):
        one = data[name]
        which = f" ({listed([str(n) for n in one['which']])})" if one["which"] else ""
        lines.append(
            f"{name}: {one['of']} in all, {one['living']} living, {one['gone']} broken after they left, "
            f"{one['settled']} settled, {one['owed']} owed{which}, {one['unmarked']} not marked yet"
        )
    lines.append(f"{count(data['ware'], 'piece')} without a number in work")
    if data["undeclared_surplus"]:
        lines.append(f"{count(data['undeclared_surplus'], 'surplus piece')} not declared")
    return "\n".join(lines) + "\n"


def yields_text(rows: Rows, by: str) -> str:
    """Return yields with their intervals, a line each."""
    lines = []
    for one in rows:
        number, what = (one["lost"], "lost") if by == "cause" else (one["good"], "good")
        span = f"{100 * one['low']:.0f} to {100 * one['high']:.0f} %"
        lines.append(f"{one[by]}: {number} {what} of {one['of']}, {span}")
    return (
        "\n".join(
            [*lines, "The range holds in nineteen of twenty."]
            if lines
            else ["Nothing counted yet."]
        )
        + "\n"
    )


def findings_text(rows: Rows, zone: str) -> str:
    """Return what is odd, a line each, with days by the calendar of a zone."""
    lines = [f"{day_in(one['at'], zone)}, entry {one['seq']}: {one['said']}" for one in rows]
    return "\n".join(lines or ["Nothing odd."]) + "\n"


def today_text(data: Mapping[str, Any]) -> str:
    """Return the lists of a day."""
    drying = [f"{one['label']} ({count(one['days'], 'day')})" for one in data["drying"]]
    stopped = [one["label"] for one in data["drying"] if one["stopped_losing"]]
    lists = {
        "Ready to cast": data["ready"],
        "Drying": drying,
        "Weigh today": data["weigh"],
        "Stopped losing weight": stopped,
        "Incomplete": data["incomplete"],
        "Can be fired": [f"{one['pieces']} for {one['firing']}" for one in data["loads"]],
        "In the kiln": [f"{one['load']} ({one['firing']})" for one in data["in_the_kiln"]],
        "Odd this week": [one["said"] for one in data["findings"]],
    }
    return "".join(
        f"{name}: {listed(names) if names else 'none'}\n" for name, names in lists.items()
    )
