"""Lots of slip, glaze, plaster, rubber and clay: what they were made of, how they read, what they became."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from pourwright.calculators.table import ask, find
from pourwright.calculators.words import as_sections
from pourwright.errors import BadInput
from pourwright.ledger.entry import STUDIO
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.kinds.record import LOT_LETTERS, LOTS
from pourwright.ledger.labels import label
from pourwright.ledger.said import listed, many
from pourwright.ledger.state.apply import counters
from pourwright.ledger.things import Doc, Things
from pourwright.plan.standing_from_book import day_of
from pourwright.report.blocks import Section
from pourwright.report.saying import day
from pourwright.studio.edition import Fact
from pourwright.studio.editions import known_editions

MOST_EDITIONS = 8
"""Editions that are looked through for what became of a lot, the newest first."""
READ = ("slip", "glaze")
"""What is read before use."""
_TAKEN = (("liter_weight", "weighs"), ("flow", "runs"), ("temperature", "is"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """A lot as it stands: a bucket, a bag or a can."""

    label: str
    what: str
    name: str
    mixed: str
    last: str
    used: str


def lots(reading: Reading, zone: str) -> tuple[tuple[str, tuple[Lot, ...]], ...]:
    """Return the last lots of each kind, the newest first.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    zone : str
        The studio's time zone.
    """
    uses = _uses(reading)
    return tuple(
        (what, tuple(_lot(uses, *one, zone) for one in last_lots(reading.things, what)))
        for what in LOTS
    )


def _lot(uses: Mapping[str, list[str]], name: str, doc: Doc, zone: str) -> Lot:
    return Lot(
        label=name, what=doc["what"], name=doc["name"], mixed=day(day_of(doc["at"], zone)),
        last=_reading_words(doc["last"]) if doc["last"] else "", used="; ".join(uses.get(name, ())),
    )  # fmt: skip


def _reading_words(reading: Mapping[str, Any]) -> str:
    return ", ".join(reading[key]["typed"] for key, _ in _TAKEN if key in reading)


def _uses(reading: Reading) -> dict[str, list[str]]:
    """Return what became of each lot in the editions that were planned last."""
    used: dict[str, list[str]] = {}
    for doc in known_editions(reading)[:MOST_EDITIONS]:
        for lot, words in _uses_in(reading.things, doc).items():
            used.setdefault(lot, []).extend(words)
    return used


def _uses_in(things: Things, doc: Doc) -> dict[str, list[str]]:
    """Return what became of each lot in one edition."""
    edition, prefix = doc["edition"], f"{doc['edition']}/lot/"
    used: dict[str, list[str]] = {}
    for key, tally in things.of("tally", edition):
        words = used.setdefault(key.removeprefix(prefix), []) if key.startswith(prefix) else []
        if tally.get("cast"):
            words.append(f"{many(tally['cast'], 'cast')} of {doc['name']}, {tally['good']} good")
        if tally.get("glazed"):
            words.append(f"{many(tally['glazed'], 'piece')} of {doc['name']} glazed")
    made: dict[str, list[str]] = {}
    for name, mold in things.of("mold", edition):
        for lot in {part["lot"] for part in mold["parts"].values()} - {None}:
            made.setdefault(lot, []).append(name)
    for name, form in things.of("form", edition):
        if form["lot"]:
            made.setdefault(form["lot"], []).append(name)
    for lot, names in made.items():
        used.setdefault(lot, []).append(f"{listed(names)} of {doc['name']}")
    return used


def lot_shown(reading: Reading, label: str, zone: str) -> dict[str, Any] | None:
    """Return what the page of a lot shows, None if there is no such lot.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    label : str
        Such as ``S-003``.
    zone : str
        The studio's time zone.

    Returns
    -------
    dict or None
        ``lot``, ``facts``, ``readings`` (rows), ``weight`` as it was typed last or
        nothing, and ``figures`` (words and address).
    """
    doc = reading.things.get("lot", label)
    if doc is None:
        return None
    lot = _lot(_uses(reading), label, doc, zone)
    told = reading.latest(AT_ONCE, scope=STUDIO, kinds=("lot-read",), words=(f"lot {label} ",))
    # a correction may have changed a reading, or taken it away
    docs = (reading.things.get("reading", one.id) for one in reversed(told))
    taken = [one for one in docs if one is not None]
    return {
        "lot": lot, "facts": _facts(doc, lot),
        "readings": [_reading_row(one, zone) for one in reversed(taken)],
        "weight": _last(taken, "liter_weight"), "figures": _figures(doc["what"], taken),
    }  # fmt: skip


def _facts(doc: Doc, lot: Lot) -> list[Fact]:
    facts = [("What", lot.what, lot.name), ("Mixed or opened", lot.mixed, "")]
    facts += [("Dry", doc["mass"]["typed"], "")] if doc["mass"] else []
    facts += [("Water", doc["water"]["typed"], "")] if doc["water"] else []
    return [*facts, ("Became", lot.used or "nothing yet", "")]


def _reading_row(reading: Mapping[str, Any], zone: str) -> tuple[str, ...]:
    return (
        day(day_of(reading["at"], zone)),
        *(reading[key]["typed"] if key in reading else "" for key, _ in _TAKEN),
    )


def _last(taken: list[Doc], key: str) -> str:
    return next((one[key]["typed"] for one in reversed(taken) if key in one), "")


def _figures(what: str, taken: list[Doc]) -> list[tuple[str, str]]:
    """Return the questions at the bench that a lot leads to, with what was read filled in."""
    weight, flow = _last(taken, "liter_weight"), _last(taken, "flow")
    asked: dict[str, tuple[tuple[str, str, dict[str, str]], ...]] = {
        "slip": (
            ("What it holds, and what goes in to change it", "slip", {"liter_weight": weight}),
            ("The flow cup", "cup", {"drained": flow}),
            ("The deflocculant's series", "dose", {}),
        ),
        "glaze": (("Coat, and how much is left", "glaze", {"liter_weight": weight}),),
        "plaster": (("Plaster and water", "plaster", {}),),
        "rubber": (("Rubber of a master", "rubber", {}),),
        "clay": (("Slip made of it", "slip", {}),),
    }
    return [
        (words, f"/figures/{subject}?{urlencode({k: v for k, v in fields.items() if v})}".rstrip("?"))
        for words, subject, fields in asked[what]
    ]  # fmt: skip


def adjustment(
    lot: str, weight: str, typed: Mapping[str, str], units: str, today: date, studio: Path | None
) -> tuple[Section, ...]:
    """Return what goes into a slip so that it weighs what it should, with the arithmetic.

    Parameters
    ----------
    lot : str
        The lot.
    weight : str
        What it was last read to weigh, as it was typed.
    typed : mapping
        ``volume`` there is and, if it is not the studio's own, the ``target``.
    units : {"metric", "us"}
        What the answer is shown in.
    today : date
        The day it is.
    studio : Path or None
        The studio's file.

    Raises
    ------
    StudioError
        If the lot was never weighed, or the figures cannot be worked with.
    """
    if not weight:
        raise BadInput.one("the weight", None, f"read {lot} first: weigh a liter or a pint of it")
    asked = {name: typed[name] for name in ("volume", "target") if typed.get(name)}
    given, answer = ask(
        "slip", asked | {"liter_weight": weight}, "us" if units == "us" else "metric",
        today=today, studio=studio,
    )  # fmt: skip
    return as_sections(find("slip"), given, answer)


# --- the last lots of a kind: ten years leave more than a thousand, and a day needs the newest

AT_ONCE = 12
"""Lots of a kind that are looked at."""
_LETTERS = dict(zip(LOTS, LOT_LETTERS, strict=True))


def last_lots(things: Things, what: str) -> tuple[tuple[str, Doc], ...]:
    """Return labels and documents of the last lots of a kind, the newest first.

    Parameters
    ----------
    things : Things
        The book's documents.
    what : str
        Such as ``"slip"``.
    """
    return tuple(_newest(things, _LETTERS[what]))


def _newest(things: Things, letter: str) -> Iterator[tuple[str, Doc]]:
    """Yield them by their labels, which are given in order."""
    highest = int(counters(things).get(letter, 0))
    for number in range(highest, max(highest - AT_ONCE, 0), -1):
        doc = things.get("lot", label(letter, number))
        if doc is not None:
            yield label(letter, number), doc
