"""The book told: everything about one number, and the whole year of an edition as a page of text."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from itertools import groupby
from typing import Any

from pourwright.ledger.entry import Entry
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.replaying import CORRECTED, effective
from pourwright.ledger.said import number_name
from pourwright.ledger.things import Doc
from pourwright.plan.standing_from_book import day_of, edition_doc
from pourwright.report.saying import count, day
from pourwright.studio.answers import findings, number_of, owed, stages, yields

WIDTH = 78
NOTE_AT_MOST = 160
"""Letters of a note in a list of entries."""
_STEPS = ("step-started", "step-ended")
"""Entries of the bench clock are left out of a year's page: there are thousands."""


def told(reading: Reading, entry: Entry, zone: str) -> dict[str, Any]:
    """Return an entry as it is told: its place, day, kind and what the book said to it."""
    return all_told(reading, [entry], zone)[0]


def all_told(reading: Reading, entries: Sequence[Entry], zone: str) -> list[dict[str, Any]]:
    """Return entries as they are told; what the book said to all of them is read at once."""
    answers = reading.answers_of([one.command_id for one in entries])
    return [_told(one, answers.get(one.command_id), zone) for one in entries]


def _told(entry: Entry, answer: str | None, zone: str) -> dict[str, Any]:
    said = json.loads(answer)["said"] if answer else entry.kind
    return {
        "seq": entry.seq,
        "day": day_of(entry.at, zone).isoformat(),
        "kind": entry.kind,
        "said": _with_note(said, entry),
        "by": entry.by,
        "late": entry.is_late,
    }


def _with_note(said: str, entry: Entry) -> str:
    """Return what the book said; a note's own words after it, as "Noted." alone tells nothing."""
    if entry.kind != "note-made":
        return said
    words = " ".join(entry.body["text"].split())
    short = words if len(words) <= NOTE_AT_MOST else f"{words[: NOTE_AT_MOST - 1]}…"
    return f"{said.removesuffix('.')}: {short}"


def number_story(reading: Reading, edition: str, written: str, zone: str) -> dict[str, Any]:
    """Return everything about one number: each bearer, and every entry that names one.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    edition : str
        The edition.
    written : str
        Such as ``"7"``, ``"7/48"`` or ``"AP 2"``.
    zone : str
        The studio's time zone.

    Returns
    -------
    dict
        ``number``, ``status``, ``bearers`` in their order with what became of each,
        and ``entries``.

    Raises
    ------
    StudioError
        If there is no such number, or no piece has borne it.
    """
    things = reading.things
    doc = edition_doc(things, edition)
    _, number = number_of(things, edition, written)
    bearers = [_bearer(reading, label, zone) for label in number["bearers"]]
    labels = {one["piece"] for one in bearers} | _loads(bearers)
    naming = [
        *reading.entries(edition, naming=labels),
        *reading.entries(edition, kinds=("number-settled",)),
    ]
    named = [e for e in sorted(naming, key=lambda one: one.seq) if _names(e, labels, number)]
    named = list({e.seq: e for e in named}.values())
    return {
        "edition": edition,
        "number": number_name(doc, number["kind"], number["n"]),
        "status": number["status"],
        "why": number.get("why"),
        "bearers": bearers,
        "entries": all_told(reading, named, zone),
    }


def _bearer(reading: Reading, label: str, zone: str) -> dict[str, Any]:
    piece = reading.things.get("piece", label) or {}
    keys = ("state", "stage", "replaces", "mold", "firings", "cause", "evidence", "declared")
    days = {
        name: day_of(piece[key], zone).isoformat()
        for name, key in (("marked", "marked_at"), ("lost", "lost_at"), ("left", "away_at"))
        if piece.get(key)
    }
    sold = (piece.get("sold") or {}).get("at")
    loads = [
        name
        for name, load in reading.things.of("load", piece["edition"])
        if label in load["pieces"]
    ]
    return {
        "piece": label,
        **{key: piece.get(key) for key in keys},
        "days": days | ({"sold": day_of(sold, zone).isoformat()} if sold else {}),
        "loads": loads,
        "photos": len(piece.get("photos", ())),
    }


def _loads(bearers: Iterable[dict[str, Any]]) -> set[str]:
    return {load for one in bearers for load in one["loads"]}


def _names(entry: Entry, labels: set[str], number: Doc) -> bool:
    """Return whether an entry names one of some labels, or settles the number."""
    body = entry.body
    if entry.kind == "number-settled":
        return number["n"] in body["numbers"] and body["kind"] == number["kind"]
    named: list[Any] = [body.get("about"), body.get("load")]
    for key in ("made", "pieces", "lost_pieces"):
        named += list(body.get(key, ()) or ()) if not isinstance(body.get(key), int) else []
    return bool(labels & {one for one in named if isinstance(one, str)})


def number_text(story: dict[str, Any]) -> str:
    """Return the story of a number as lines of text."""
    lines = [f"{story['number']} of {story['edition']}: {story['status']}"]
    lines += [f"  {story['why']}"] if story["why"] else []
    for one in story["bearers"]:
        lines += ["", _bearer_line(one)]
        lines += [f"  {name}: {day(date.fromisoformat(iso))}" for name, iso in one["days"].items()]
        lines += [f"  replaces {one['replaces']}"] if one["replaces"] else []
        lines += [f"  lost: {one['cause'] or 'broken'}"] if "lost" in one["days"] else []
        lines += [f"  shown by: {one['evidence']}"] if one["evidence"] else []
        lines += [f"  from {one['mold']}"] if one["mold"] else []
        lines += [f"  loads: {', '.join(one['loads'])}"] if one["loads"] else []
    lines += ["", "Entries", *(_entry_line(one) for one in story["entries"])]
    return "\n".join(lines) + "\n"


def _bearer_line(one: dict[str, Any]) -> str:
    where = {"here": f"here, {one['stage']}", "away": "has left the studio"}
    return f"{one['piece']}: {where.get(one['state'], one['state'])}"


def _entry_line(one: dict[str, Any], corrected: str = "") -> str:
    marks = "".join((" (late)" if one["late"] else "", corrected))
    return f"  {one['seq']:>5}  {one['day']}  {one['said']}{marks}"


def year_text(reading: Reading, edition: str, zone: str) -> str:
    """Return the whole year of an edition as a page of text.

    What it came to stands first, then every entry by month: corrected ones with
    the correction, late ones marked.
    """
    doc = edition_doc(reading.things, edition)
    entries = list(reading.entries(edition))
    blocks = [_title(doc, zone), _came_to(reading, doc), _yields(reading, edition)]
    odd = findings(reading.things, edition)
    blocks.append(
        [f"What was odd ({len(odd)})", *(f"  {one['seq']:>5}  {one['said']}" for one in odd)]
    )
    blocks += _months(reading, entries, zone)
    head = reading.head()
    blocks.append([f"The book ends at entry {head.seq}, checkpoint {head.short_checkpoint}."])
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _title(doc: Doc, zone: str) -> list[str]:
    if doc["closed"] is not None:
        closed = doc["closed"]
        state = f"closed at {closed['made']} of {closed['of']} on {day(day_of(closed['at'], zone))}"
    else:
        state = doc["state"]
    line = f"{doc['name']} ({doc['edition']}): {state}"
    proofs = f" and {count(doc['proofs'], 'proof')}" if doc["proofs"] else ""
    planned = day(day_of(doc["planned_at"], zone))
    return [
        line,
        "=" * min(len(line), WIDTH),
        f"{count(doc['pieces'], 'piece')}{proofs}, planned on {planned}",
    ]


def _came_to(reading: Reading, doc: Doc) -> list[str]:
    edition = doc["edition"]
    debts = owed(reading.things, edition)
    lines = [
        f"{doc['molds']} molds poured, {doc['cast']} casts, {doc['thrown']} of them to condition molds, {doc['good']} good"
    ]
    lines += [
        f"{one['stage']}: {one['count']}"
        for one in stages(reading.things, edition)["stages"]
        if one["count"]
    ]
    for name in ("numbers", "proofs"):
        one = debts[name]
        if one["of"]:
            lines.append(
                f"{name}: {one['living']} living, {one['gone']} broken after they left, {one['settled']} settled, "
                f"{one['owed']} owed, {one['unmarked']} never marked"
            )
    return lines


def _yields(reading: Reading, edition: str) -> list[str]:
    lines = ["Yields, with nineteen in twenty"]
    for one in yields(reading.things, edition, "stage"):
        low, high = 100 * one["low"], 100 * one["high"]
        lines.append(
            f"  {one['stage']:<10} {one['good']:>4} of {one['of']:<4} ({low:.0f} to {high:.0f} %)"
        )
    lost = [f"{one['lost']} {one['cause']}" for one in yields(reading.things, edition, "cause")]
    return [*lines, f"  lost: {', '.join(lost) or 'none'}"] if len(lines) > 1 else []


def _months(reading: Reading, entries: list[Entry], zone: str) -> Iterator[list[str]]:
    """Yield the entries by the month in which they happened."""
    standing = {e.id: e for e in effective(entries)}
    by_whom = {str(e.corrects): e.seq for e in entries if e.kind == CORRECTED}
    shown = [e for e in entries if e.kind not in _STEPS]
    ordered = sorted(shown, key=lambda e: (day_of(e.at, zone), e.seq))
    for month, group in groupby(ordered, key=lambda e: day_of(e.at, zone).isoformat()[:7]):
        yield [month, *(_year_line(reading, e, standing, by_whom, zone) for e in group)]


def _year_line(
    reading: Reading, entry: Entry, standing: dict[str, Entry], by_whom: dict[str, int], zone: str
) -> str:
    mark = ""
    if entry.id in by_whom:
        what = "corrected" if entry.id in standing else "did not happen"
        mark = f" [{what}, see entry {by_whom[entry.id]}]"
    return _entry_line(told(reading, entry, zone), mark)
