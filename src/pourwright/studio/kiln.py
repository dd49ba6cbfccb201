"""The kiln: what stands in it, loads that can be built from what is ready, and the firing log."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from pourwright.briefs.folder import BriefHere, brief_here
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.said import causes, listed, many
from pourwright.ledger.stages import firings_of, last_stage, stage_before
from pourwright.ledger.things import Doc, Things
from pourwright.plan.standing_from_book import day_of
from pourwright.report.saying import day
from pourwright.studio.editions import known_editions

MOST_LOADS = 24
"""Loads of the log; the rest is in the records."""
MOST_EDITIONS = 12
"""Open editions whose loads are built on one page, the newest first."""
DRAWN = 48
"""Places of a load that are drawn; a fuller kiln is told in words alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Build:
    """A load that could be built now.

    Parameters
    ----------
    edition, name : str
        Whose ware it is.
    firing : str
        Which firing.
    ready, damp : int
        Pieces that stand before it; of them cast too lately to be dry. [-]
    holds : int or None
        Pieces in a full load, if the brief says. [-]
    cone : str
        The cone the brief asks for.
    words, note : str
        What can go in, and what else is to be known.
    places : tuple of str
        The drawn places: ``full``, ``damp`` or ``free``.
    to : str
        Where the load is written down.
    glaze : str
        Where its glazing is written down, if it is a glaze load.
    """

    edition: str
    name: str
    firing: str
    ready: int
    damp: int
    holds: int | None
    cone: str
    words: str
    note: str
    places: tuple[str, ...]
    to: str
    glaze: str


@dataclass(frozen=True, slots=True)
class Waiting:
    """Fired ware that nobody has inspected yet.

    Parameters
    ----------
    name : str
        The edition's.
    words : str
        How much, and which marked pieces are among it.
    to : str
        Where the inspection is written down.
    """

    name: str
    words: str
    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """A load that stands in a kiln, or came out of it."""

    label: str
    edition: str
    name: str
    words: str
    closed: str
    opened: str
    out: str
    lost: str
    cones: str
    kiln: str
    order: str


LogRow = tuple[tuple[str, str] | str, ...]
"""A load as the firing log shows it: label and address, whose, what, when, how much came out, losses, cones."""


def builds(reading: Reading, folder: Path, today: date) -> tuple[Build, ...]:
    """Return the loads that can be built from what is ready, the fullest first.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    folder : Path
        The studio's, where the briefs say what a load holds.
    today : date
        The day it is.
    """
    waiting = [doc for doc in known_editions(reading) if doc["state"] != "closed" and _waits(doc)]
    found = [
        build
        for doc in waiting[:MOST_EDITIONS]
        for build in _of_edition(
            reading.things, doc, brief_here(folder, doc["edition"], today), today
        )
    ]
    return tuple(sorted(found, key=lambda one: -(one.ready - one.damp) / (one.holds or 10**6)))


def _waits(doc: Doc) -> bool:
    """Return whether ware of an edition stands before a firing."""
    before = [_before(doc, firing) for firing in firings_of(doc["route"])]
    return any(doc["ware"][stage] + doc["named"][stage] for stage in before)


def _before(doc: Doc, firing: str) -> str:
    return stage_before(doc["route"], firing, again=False) or "greenware"


def _of_edition(things: Things, doc: Doc, here: BriefHere | None, today: date) -> Iterator[Build]:
    for firing in firings_of(doc["route"]):
        stage = _before(doc, firing)
        marked = _marked(things, doc["edition"], doc, stage) if doc["named"][stage] else []
        ready = doc["ware"][stage] + len(marked)
        if ready:
            damp = _damp(things, doc["edition"], here, today) if stage == "greenware" else 0
            yield _build(doc, firing, here, ready, min(damp, ready), marked)


def _marked(things: Things, edition: str, doc: Doc, stage: str) -> list[str]:
    """Return the marked pieces at a stage that are in no kiln, as they are written."""
    names = []
    for label, piece in things.of("piece", edition):
        if piece["state"] == "here" and piece["stage"] == stage and not piece["load"]:
            number = things.get("number", piece["number"]) if piece["number"] else None
            letters = f"{doc['proof_kind']} " if number and number["kind"] == "proof" else ""
            names.append(f"{letters}{number['n']}" if number else label)
    return names


def _damp(things: Things, edition: str, here: BriefHere | None, today: date) -> int:
    """Return the good casts of the last days, which are not dry yet; five days without a brief."""
    days = here.brief.firing.ware_dry_days if here and here.brief else 5
    lately = (today - timedelta(days=ago) for ago in range(days))
    tallies = (things.get("tally", f"{edition}/day/{one.isoformat()}") for one in lately)
    return sum(one["good"] for one in tallies if one)


def _build(
    doc: Doc, firing: str, here: BriefHere | None, ready: int, damp: int, marked: list[str]
) -> Build:
    terms = here.brief.firing if here and here.brief else None
    holds = getattr(terms, f"{firing}_load") if terms else None
    fit = min(ready - damp, holds) if holds else ready - damp
    with_marks = marked[:fit]
    goes_in = {
        "edition": doc["edition"], "count": max(fit - len(with_marks), 0), "pieces": ", ".join(with_marks),
    }  # fmt: skip
    return Build(
        edition=doc["edition"], name=doc["name"], firing=firing, ready=ready, damp=damp, holds=holds,
        cone=getattr(terms, f"{firing}_cone") if terms else "", words=_words(ready, damp, holds),
        note=_note(damp, marked), places=_places(ready, damp, holds), to=_do("load", **goes_in, firing=firing),
        glaze=_do("glaze", **goes_in) if firing == "glaze" else "",
    )  # fmt: skip


def _do(verb: str, **fields: object) -> str:
    told = {name: value for name, value in fields.items() if value}
    return f"/do/{verb}?{urlencode({**told, 'back': '/kiln'})}"


def uninspected(reading: Reading) -> tuple[Waiting, ...]:
    """Return the fired ware that waits to be inspected, by edition.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    """
    found = []
    for doc in known_editions(reading):
        stage = last_stage(doc["route"])
        if doc["state"] != "closed" and doc["ware"][stage] + doc["named"][stage]:
            marks = _marked(reading.things, doc["edition"], doc, stage) if doc["named"][stage] else []  # fmt: skip
            if ready := doc["ware"][stage] + len(marks):
                to = _do("finish", edition=doc["edition"], count=doc["ware"][stage], pieces=", ".join(marks))  # fmt: skip
                words = f"{many(ready, 'piece')} fired and not inspected"
                told = f"{words}, {listed(marks)} among them" if marks else words
                found.append(Waiting(doc["name"], told, to))
    return tuple(found)


def _words(ready: int, damp: int, holds: int | None) -> str:
    dry = ready - damp
    if not holds:
        return f"{many(dry, 'piece')} could go in"
    if dry >= holds:
        rest = dry - holds
        return f"A full load of {holds}" + (f", and {rest} left over" if rest else "")
    return f"{dry} of the {holds} that a load holds"


def _note(damp: int, marked: list[str]) -> str:
    told = [f"{many(damp, 'piece')} cast too lately to be dry; damp ware bursts"] if damp else []
    told += [f"marked among them: {', '.join(marked)}"] if marked else []
    note = "; ".join(told)
    return note[:1].upper() + note[1:]


def _places(ready: int, damp: int, holds: int | None) -> tuple[str, ...]:
    if not holds or holds > DRAWN:
        return ()
    dry = min(ready - damp, holds)
    wet = min(damp, holds - dry)
    return ("full",) * dry + ("damp",) * wet + ("free",) * (holds - dry - wet)


def loads(reading: Reading, zone: str) -> tuple[tuple[Load, ...], tuple[LogRow, ...]]:
    """Return the loads that are closed, and the firing log: those that were opened last.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    zone : str
        The studio's time zone.
    """
    names = {doc["edition"]: doc["name"] for doc in known_editions(reading)}
    full = [doc for doc in known_editions(reading) if doc["loaded"] + doc["loaded_named"]]
    inside = [
        _load(label, load, doc["name"], zone)
        for doc in full
        for label, load in reading.things.of("load", doc["edition"])
        if load["state"] == "closed"
    ]
    out = []
    for entry in reading.latest(MOST_LOADS, kinds=("load-opened", "load-fired")):
        label = entry.body["made"][0] if entry.kind == "load-fired" else entry.body["load"]
        load = reading.things.get("load", label)
        if load is not None and load["state"] == "opened":  # by a correction it may not be
            out.append(_load(label, load, names[entry.scope], zone))
    rows = tuple(
        ((one.label, f"/photos?about={one.label}&edition={one.edition}"), one.name, one.words, one.opened, one.out, one.lost, one.cones)
        for one in out
    )  # fmt: skip
    return tuple(sorted(inside, key=lambda one: one.order, reverse=True)), rows


def _load(label: str, load: dict[str, Any], name: str, zone: str) -> Load:
    size = load["count"] + len(load["pieces"])
    lost = dict(load["lost"])
    for cause in load["lost_pieces"].values():
        lost[cause] = lost.get(cause, 0) + 1
    opened = load["opened_at"]
    again = " again" if load["refire"] else ""
    return Load(
        label=label, edition=load["edition"], name=name, words=f"{load['firing']}{again}, {many(size, 'piece')}",
        closed=day(day_of(load["closed_at"], zone)),
        opened=day(day_of(opened, zone)) if opened else "",
        out=f"{size - sum(lost.values())} of {size}" if opened else "", lost=causes(lost) or "none",
        cones=load["cones"] or "", kiln=load["kiln"] or "", order=f"{opened or load['closed_at']} {label}",
    )  # fmt: skip
