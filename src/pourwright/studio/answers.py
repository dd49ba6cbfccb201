"""Questions the book answers: casts left, what each stage holds, what is owed, yields, lists for today.

Each takes the book's documents and returns plain data, which page and command show.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from datetime import date
from statistics import NormalDist
from typing import Any

import numpy as np

from pourwright.errors import BadInput, NotDoable
from pourwright.ledger.stages import firings_of, stage_before, stages_of
from pourwright.ledger.state.apply import counters
from pourwright.ledger.state.molds import is_complete
from pourwright.ledger.things import Doc, Things
from pourwright.materials.plaster.mold_life import mold_survival
from pourwright.plan.case import LIFE_IF_UNKNOWN, LIFE_SPREAD, UNKNOWN_LIFE_SPREAD
from pourwright.plan.standing_from_book import (
    WORN,
    day_of,
    edition_doc,
    need_of,
    yields_of,
)
from pourwright.simulation.learning import life_after

LEAST_WORN = 5
"""Worn molds from which on their own record alone tells how long the others hold."""
LIFE_SHAPE = 4.0
_STEPS = (1, 2, 5, 10, 15, 20, 30, 40, 60)
_NINETY_FIVE = NormalDist().inv_cdf(0.975)
BY = ("stage", "mold", "lot", "load", "cause")


def editions(things: Things) -> list[dict[str, Any]]:
    """Return every edition: id, name, state, numbers and proofs."""
    docs = (
        edition_doc(things, name)
        for name in counters(things)["editions"]
        if things.get("edition", name)
    )
    keys = ("edition", "name", "state", "pieces", "proofs")
    return [{key: doc[key] for key in keys} for doc in docs]


def the_edition(things: Things, named: str | None) -> str:
    """Return the edition that is meant: the one that is named, or the only one that is open.

    Raises
    ------
    BadInput
        If none is named and several, or none, are open.
    """
    if named:
        return str(edition_doc(things, named)["edition"])
    known = editions(things)
    open_ones = [one["edition"] for one in known if one["state"] != "closed"]
    chosen = open_ones if open_ones or len(known) != 1 else [known[0]["edition"]]
    if len(chosen) == 1:
        return str(chosen[0])
    names = ", ".join(one["edition"] for one in known) or "the book has none yet"
    raise BadInput.one("edition", None, f"name one: {names}")


def wilson(good: int, of: int) -> tuple[float, float]:
    """Return the interval of nineteen in twenty around a share.

    Parameters
    ----------
    good, of : int
        How many of how many. [-]

    Returns
    -------
    tuple of float
        Low and high end; the whole range if nothing was counted. [-]

    Notes
    -----
    The score interval of Wilson, "Probable inference, the law of succession, and
    statistical inference", J. Am. Stat. Assoc. 22 (1927) 209.

    Examples
    --------
    >>> low, high = wilson(30, 37)
    >>> round(low, 3), round(high, 3)
    (0.658, 0.905)
    """
    if of <= 0:
        return 0.0, 1.0
    share, square = good / of, _NINETY_FIVE**2
    middle = (share + square / (2 * of)) / (1 + square / of)
    reach = (
        _NINETY_FIVE
        / (1 + square / of)
        * math.sqrt(share * (1 - share) / of + square / (4 * of * of))
    )
    return max(middle - reach, 0.0), min(middle + reach, 1.0)


def casts_left(things: Things, edition: str) -> list[dict[str, Any]]:
    """Return, for each mold in use, how many casts it may still give: a distribution and a range.

    Returns
    -------
    list of dict
        ``label``, ``casts`` given, ``left`` with ``p10``, ``p50`` and ``p90`` (the
        casts that nine, five and one in ten such molds still give), ``chances`` of
        at least so many more, and ``basis``. [-]

    Notes
    -----
    From `LEAST_WORN` worn molds of the edition on, the share that holds is their
    own, by `mold_survival`; before, it is a Weibull law around what the plan
    believes, narrowed by what was counted. Either is cut off at the casts given.
    """
    doc = edition_doc(things, edition)
    molds = [(label, mold) for label, mold in things.of("mold", edition)]
    worn = [m["casts"] for _, m in molds if _is_worn(m) and m["casts"]]
    held = [m["casts"] for _, m in molds if not _is_worn(m) and m["casts"]]
    ages = np.arange(0, 1 + 4 * max([doc["life"] or LIFE_IF_UNKNOWN, *worn, *held]))
    holding, basis = _holding(doc, worn, held, ages)
    return [
        {"label": label, "casts": mold["casts"], **_left(holding, mold["casts"]), "basis": basis}
        for label, mold in molds
        if mold["state"] == "in use"
    ]


def _is_worn(mold: Doc) -> bool:
    return mold["state"] != "in use" and (mold["verdict"] or {}).get("is") in WORN


def _holding(
    edition: Doc, worn: list[int], held: list[int], ages: np.ndarray
) -> tuple[np.ndarray, str]:
    """Return the share of molds that give at least so many casts, and on what it rests."""
    counted = f"{len(worn)} worn molds, {len(held)} that held"
    if len(worn) >= LEAST_WORN:
        survival = mold_survival(worn, held)
        before = np.searchsorted(survival.casts, ages, side="left")
        shares = np.concatenate([[1.0], survival.holding])
        return shares[before], f"the studio's own: {counted}"
    known = edition["life"]
    spread = LIFE_SPREAD if known else UNKNOWN_LIFE_SPREAD
    life, _ = life_after(float(known or LIFE_IF_UNKNOWN), spread, worn, held, shape=LIFE_SHAPE)
    scale = life / math.gamma(1 + 1 / LIFE_SHAPE)
    holding = np.exp(-((np.maximum(ages - 1, 0) / scale) ** LIFE_SHAPE))
    whose = "the brief's life" if known else f"{LIFE_IF_UNKNOWN} casts, as nothing is known"
    return holding, f"{whose}, with {counted}: about {life:.0f} casts"


def _left(holding: np.ndarray, given: int) -> dict[str, Any]:
    """Return how many more casts come, given so many."""
    at = min(given, len(holding) - 1)
    rest = holding[at + 1 :] / holding[at] if holding[at] > 0 else np.zeros(0)
    left = {
        name: int((rest >= share - 1e-12).sum())
        for name, share in (("p10", 0.9), ("p50", 0.5), ("p90", 0.1))
    }
    chances = [
        {"more": step, "chance": round(float(rest[step - 1]) if step <= len(rest) else 0.0, 3)}
        for step in _STEPS
    ]
    return {"left": left, "chances": chances}


def stages(things: Things, edition: str) -> dict[str, Any]:
    """Return what each stage holds, the marked pieces in it, and what is in a kiln. [-]"""
    doc = edition_doc(things, edition)
    rows = [
        {"stage": stage, "unmarked": doc["ware"][stage], "marked": doc["named"][stage],
         "count": doc["ware"][stage] + doc["named"][stage]}
        for stage in stages_of(doc["route"])
    ]  # fmt: skip
    loads = [
        {"load": label, "firing": load["firing"], "pieces": load["count"] + len(load["pieces"]), "since": load["closed_at"]}
        for label, load in things.of("load", edition)
        if load["state"] == "closed"
    ]  # fmt: skip
    return {
        "edition": edition,
        "stages": rows,
        "in_the_kiln": loads,
        "cast": doc["cast"],
        "good": doc["good"],
    }


def owed(things: Things, edition: str) -> dict[str, Any]:
    """Return what an edition owes: numbers and proofs not made yet, lost ones to be made again.

    Returns
    -------
    dict
        For ``numbers`` and ``proofs``: ``of``, ``living``, ``gone`` (broken after
        they left), ``settled``, ``owed`` (with which), ``unmarked`` and
        ``to_make``; and the unmarked good ``ware`` in work that may take them. [-]
    """
    doc = edition_doc(things, edition)
    lost = [n for _, n in things.of("number", edition) if n["status"] == "owed"]
    told: dict[str, Any] = {"edition": edition, "state": doc["state"]}
    for name, key, kind in (
        ("numbers", "numbers", "numbered"),
        ("proofs", "proof_numbers", "proof"),
    ):
        of = doc["pieces"] if kind == "numbered" else doc["proofs"]
        counts = {what: doc[key].get(what, 0) for what in ("living", "gone", "settled", "owed")}
        which = sorted(n["n"] for n in lost if n["kind"] == kind)
        unmarked = of - sum(counts.values())
        told[name] = {
            "of": of,
            **counts,
            "which": which,
            "unmarked": unmarked,
            "to_make": unmarked + counts["owed"],
        }
    told["ware"] = sum(doc["ware"].values()) + doc["loaded"]
    told["undeclared_surplus"] = doc.get("undeclared", 0)
    return told


def yields(things: Things, edition: str, by: str = "stage") -> list[dict[str, Any]]:
    """Return good of how many, with the interval of nineteen in twenty.

    Parameters
    ----------
    things : Things
        The book's documents.
    edition : str
        The edition.
    by : str
        "stage", "mold", "lot", "load" or "cause". Of a cause it is the share of
        all casts that was lost to it.

    Raises
    ------
    BadInput
        If ``by`` is none of these.
    """
    if by not in BY:
        raise BadInput.one("by", repr(by), f"write one of {', '.join(BY)}")
    doc = edition_doc(things, edition)
    rows: Iterable[tuple[str, int, int]]
    match by:
        case "stage":
            rows = [(step, good, of) for step, (good, of) in yields_of(doc).items()]
        case "mold":
            rows = _by_mold(things, edition)
        case "lot":
            rows = _by_lot(things, edition)
        case "load":
            rows = _by_load(things, edition)
        case _:
            rows = _by_cause(doc)
    return [_share(by, *row) for row in rows]


def _share(by: str, name: str, good: int, of: int) -> dict[str, Any]:
    low, high = wilson(good, of)
    share = None if of == 0 else round(good / of, 4)
    count = "lost" if by == "cause" else "good"
    return {
        by: name,
        count: good,
        "of": of,
        "share": share,
        "low": round(low, 4),
        "high": round(high, 4),
    }


def _by_mold(things: Things, edition: str) -> Iterable[tuple[str, int, int]]:
    for label, mold in things.of("mold", edition):
        tried = mold["casts"] - mold["thrown"]
        yield label, tried - min(mold["lost"], tried), tried


def _by_lot(things: Things, edition: str) -> Iterable[tuple[str, int, int]]:
    prefix = f"{edition}/lot/"
    for key, tally in things.of("tally", edition):
        tried = tally.get("cast", 0) - tally.get("thrown", 0)
        if key.startswith(prefix) and tried:
            later = sum(tally.get("lost_later", {}).values())
            yield key.removeprefix(prefix), max(tally["good"] - later, 0), tried


def _by_load(things: Things, edition: str) -> Iterable[tuple[str, int, int]]:
    for label, load in things.of("load", edition):
        if load["state"] == "opened":
            size = load["count"] + len(load["pieces"])
            lost = sum(load["lost"].values()) + len(load["lost_pieces"])
            yield (
                f"{label}, {load['firing']}{' again' if load['refire'] else ''}",
                size - lost,
                size,
            )


def _by_cause(edition: Doc) -> list[tuple[str, int, int]]:
    counts: dict[str, int] = {}
    for lost in edition["lost"].values():
        for cause, count in lost.items():
            counts[cause] = counts.get(cause, 0) + count
    tried = edition["cast"] - edition["thrown"]
    ordered = sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    return [(cause, count, max(tried, count)) for cause, count in ordered if count]


def findings(things: Things, edition: str) -> list[dict[str, Any]]:
    """Return what is odd about an edition, the oldest first."""
    rows = [doc for _, doc in things.of("finding", edition)]
    ordered = sorted(rows, key=lambda doc: doc["seq"])
    return [{key: doc[key] for key in ("seq", "at", "what", "said")} for doc in ordered]


def today_lists(things: Things, edition: str, today: date, zone: str) -> dict[str, Any]:
    """Return what a day begins with: molds drying, due weighings, ready to cast, loads, what is owed.

    Returns
    -------
    dict
        ``drying`` (label, days since, last weighing), ``weigh`` (labels that were
        not weighed today and yesterday only once), ``ready`` (labels), ``incomplete``,
        ``loads`` that can go in (firing, pieces), ``in_the_kiln`` and ``findings``.
    """
    doc = edition_doc(things, edition)
    molds = [(label, m) for label, m in things.of("mold", edition) if m["state"] == "in use"]
    wet = [_drying(things, label, m, today, zone) for label, m in molds if m["wet"]]
    whole = [(label, m) for label, m in molds if is_complete(m)]
    cast_today = {
        label for label, m in molds if m["last_cast"] and day_of(m["last_cast"], zone) == today
    }
    return {
        "edition": edition,
        "drying": wet,
        "weigh": [one["label"] for one in wet if one["weigh"]],
        "ready": [label for label, m in whole if not m["wet"] and label not in cast_today],
        "cast_today": sorted(cast_today),
        "incomplete": [label for label, m in molds if not is_complete(m)],
        "loads": _loads_that_can_go_in(doc),
        "in_the_kiln": stages(things, edition)["in_the_kiln"],
        "findings": [
            one for one in findings(things, edition) if (today - day_of(one["at"], zone)).days <= 7
        ],
    }


def _drying(things: Things, label: str, mold: Doc, today: date, zone: str) -> dict[str, Any]:
    """Return a mold that dries: it is weighed once a day until two weighings a day apart agree."""
    fresh = [things.get("part", p["from"]) for p in mold["parts"].values() if p["from"]]
    poured = [mold["poured_at"], *(spare["poured_at"] for spare in fresh if spare)]
    since = max(day_of(one, zone) for one in poured)
    weighings = mold["weighings"]
    days = [day_of(one["at"], zone) for one in weighings]
    stopped = len(days) > 1 and days[-1] > days[-2] and _same(weighings[-1], weighings[-2])
    return {
        "label": label,
        "days": (today - since).days,
        "last_kg": weighings[-1]["mass"]["value"] if weighings else None,
        "stopped_losing": stopped,
        "weigh": not stopped and (not days or days[-1] < today),
    }


def _same(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Return whether two weighings agree within five parts in a thousand; common practice, no source."""
    masses = [float(weighing["mass"]["value"]) for weighing in (one, other)]
    return one["strapped"] == other["strapped"] and abs(masses[0] - masses[1]) <= 0.005 * masses[1]


def _loads_that_can_go_in(edition: Doc) -> list[dict[str, Any]]:
    rows = []
    for firing in firings_of(edition["route"]):
        stage = stage_before(edition["route"], firing, again=False) or "greenware"
        pieces = edition["ware"][stage] + edition["named"][stage]
        if pieces:
            rows.append({"firing": firing, "pieces": pieces})
    return rows


def number_of(things: Things, edition: str, written: str) -> tuple[str, Doc]:
    """Return the id and document of a number, written as 7, 7/48, AP 2 or AP 2/4.

    Raises
    ------
    BadInput
        If it is no number of the edition.
    NotDoable
        If no piece has borne it yet.
    """
    doc = edition_doc(things, edition)
    plain = written.strip().split("/")[0].upper()
    kind = str(doc["proof_kind"]).upper()
    proof = plain.startswith(kind)
    digits = plain.removeprefix(kind).strip() if proof else plain
    most = doc["proofs"] if proof else doc["pieces"]
    if not digits.isascii() or not digits.isdecimal() or not 1 <= int(digits[:9]) <= most:
        raise BadInput.one(
            "number", repr(written), f"write 1 to {doc['pieces']}, or {kind} 1 to {doc['proofs']}"
        )
    key = f"{edition}/{doc['proof_kind']}/{int(digits)}" if proof else f"{edition}/{int(digits)}"
    found = things.get("number", key)
    if found is None:
        raise NotDoable(
            f"No piece bears {written.strip()} yet; {need_of(doc)} pieces are to be made."
        )
    return key, found
