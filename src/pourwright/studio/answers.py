"""Questions the book answers: casts left, what each stage holds, what is owed, yields, lists for today.

Each takes the book's documents and returns a record, which page and command show; as JSON its
fields are the keys.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from statistics import NormalDist

import numpy as np

from pourwright.errors import BadInput, NotDoable
from pourwright.ledger.documents import (
    EditionDoc,
    FindingDoc,
    LoadDoc,
    MoldDoc,
    NumberDoc,
    TallyDoc,
    or_none,
    or_zero,
)
from pourwright.ledger.observations import load_named
from pourwright.ledger.stages import firings_of, last_stage, stage_before, stages_of
from pourwright.ledger.state.apply import counters
from pourwright.ledger.state.loads import good_again, not_counted
from pourwright.ledger.state.molds import is_called_dry, is_complete, poured_last, stopped_losing
from pourwright.ledger.state.numbers import number_id
from pourwright.ledger.things import Things
from pourwright.materials.plaster.mold_life import mold_survival
from pourwright.plan.case import LIFE_IF_UNKNOWN, LIFE_SPREAD, UNKNOWN_LIFE_SPREAD
from pourwright.plan.standing_from_book import (
    day_of,
    edition_doc,
    is_worn,
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


def planned_editions(things: Things) -> list[EditionDoc]:
    """Return every edition, in the order they were planned."""
    found = (things.get(EditionDoc, name) for name in counters(things).editions)
    return [edition for edition in found if edition]


def the_edition(things: Things, named: str | None) -> str:
    """Return the edition that is meant: the one that is named, or the only one that is open.

    Raises
    ------
    BadInput
        If none is named and several, or none, are open.
    """
    if named:
        return edition_doc(things, named).edition
    known = planned_editions(things)
    open_ones = [one.edition for one in known if one.state != "closed"]
    chosen = open_ones if open_ones or len(known) != 1 else [known[0].edition]
    if len(chosen) == 1:
        return chosen[0]
    names = ", ".join(one.edition for one in known) or "the book has none yet"
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


# --- casts left


@dataclass(frozen=True, slots=True)
class MoreCasts:
    """The casts that nine, five and one in ten such molds still give. [-]"""

    p10: int
    p50: int
    p90: int


@dataclass(frozen=True, slots=True)
class ChanceOfMore:
    """The chance of at least so many more casts. [-]"""

    more: int
    chance: float


@dataclass(frozen=True, slots=True)
class CastsLeft:
    """How many casts a mold has given and may still give, and on what that rests."""

    label: str
    casts: int
    left: MoreCasts
    chances: tuple[ChanceOfMore, ...]
    basis: str


def casts_left(things: Things, edition: str) -> list[CastsLeft]:
    """Return, for each mold in use, how many casts it may still give: a distribution and a range.

    Notes
    -----
    From `LEAST_WORN` worn molds of the edition on, the share that holds is their
    own, by `mold_survival`; before, it is a Weibull law around what the plan
    believes, narrowed by what was counted. Either is cut off at the casts given.
    """
    doc = edition_doc(things, edition)
    molds = things.of(MoldDoc, edition)
    worn = [mold.casts for _, mold in molds if is_worn(mold) and mold.casts]
    held = [mold.casts for _, mold in molds if not is_worn(mold) and mold.casts]
    ages = np.arange(0, 1 + 4 * max([doc.life or LIFE_IF_UNKNOWN, *worn, *held]))
    holding, basis = _holding(doc, worn, held, ages)
    return [
        CastsLeft(label, mold.casts, *_left(holding, mold.casts), basis)
        for label, mold in molds
        if mold.state == "in use"
    ]


def _holding(
    edition: EditionDoc, worn: list[int], held: list[int], ages: np.ndarray
) -> tuple[np.ndarray, str]:
    """Return the share of molds that give at least so many casts, and on what it rests."""
    counted = f"{len(worn)} worn molds, {len(held)} that held"
    if len(worn) >= LEAST_WORN:
        survival = mold_survival(worn, held)
        before = np.searchsorted(survival.casts, ages, side="left")
        shares = np.concatenate([[1.0], survival.holding])
        return shares[before], f"the studio's own: {counted}"
    known = edition.life
    spread = LIFE_SPREAD if known else UNKNOWN_LIFE_SPREAD
    life, _ = life_after(float(known or LIFE_IF_UNKNOWN), spread, worn, held, shape=LIFE_SHAPE)
    scale = life / math.gamma(1 + 1 / LIFE_SHAPE)
    holding = np.exp(-((np.maximum(ages - 1, 0) / scale) ** LIFE_SHAPE))
    whose = "the brief's life" if known else f"{LIFE_IF_UNKNOWN} casts, as nothing is known"
    return holding, f"{whose}, with {counted}: about {life:.0f} casts"


def _left(holding: np.ndarray, given: int) -> tuple[MoreCasts, tuple[ChanceOfMore, ...]]:
    """Return how many more casts come, given so many."""
    at = min(given, len(holding) - 1)
    rest = holding[at + 1 :] / holding[at] if holding[at] > 0 else np.zeros(0)
    p10, p50, p90 = (int((rest >= share - 1e-12).sum()) for share in (0.9, 0.5, 0.1))
    chances = (float(rest[step - 1]) if step <= len(rest) else 0.0 for step in _STEPS)
    return MoreCasts(p10, p50, p90), tuple(
        ChanceOfMore(step, round(chance, 3)) for step, chance in zip(_STEPS, chances, strict=True)
    )


# --- what each stage holds


@dataclass(frozen=True, slots=True)
class StageHolds:
    """What stands at a stage: unmarked ware, marked pieces, and both together. [-]"""

    stage: str
    unmarked: int
    marked: int
    count: int


@dataclass(frozen=True, slots=True)
class LoadInKiln:
    """A load that is in the kiln, and since when."""

    load: str
    firing: str
    pieces: int
    since: str


@dataclass(frozen=True, slots=True)
class Stages:
    """What each stage of an edition holds, what is in the kiln, and its casts so far. [-]"""

    edition: str
    stages: tuple[StageHolds, ...]
    in_the_kiln: tuple[LoadInKiln, ...]
    cast: int
    good: int


def stages(things: Things, edition: str) -> Stages:
    """Return what each stage holds, the marked pieces in it, and what is in a kiln."""
    doc = edition_doc(things, edition)
    return Stages(
        edition=edition,
        stages=tuple(
            StageHolds(stage, doc.ware[stage], doc.named[stage], pieces_at(doc, stage))
            for stage in stages_of(doc.route)
        ),
        in_the_kiln=loads_in_kiln(things, edition),
        cast=doc.cast,
        good=doc.good,
    )


def loads_in_kiln(things: Things, edition: str) -> tuple[LoadInKiln, ...]:
    """Return the loads of an edition that are in the kiln."""
    return tuple(
        LoadInKiln(label, load.firing, load.size, load.closed_at)
        for label, load in things.of(LoadDoc, edition)
        if load.state == "closed"
    )


# --- what is owed


@dataclass(frozen=True, slots=True, kw_only=True)
class OwedNumbers:
    """How an edition's numbers, or its proofs, stand.

    Parameters
    ----------
    of : int
        How many there are. [-]
    living, gone, settled, owed : int
        With a living piece; broken after they left; never made again, by decision; lost. [-]
    which : tuple of int
        Those that are owed.
    unmarked, to_make : int
        Never marked yet; these and those that are owed. [-]
    """

    of: int
    living: int
    gone: int
    settled: int
    owed: int
    which: tuple[int, ...]
    unmarked: int
    to_make: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Owed:
    """What an edition owes, and the unmarked good ware in work that may take a number. [-]"""

    edition: str
    state: str
    numbers: OwedNumbers
    proofs: OwedNumbers
    ware: int
    undeclared_surplus: int


def owed(things: Things, edition: str) -> Owed:
    """Return what an edition owes: numbers and proofs not made yet, lost ones to be made again."""
    doc = edition_doc(things, edition)
    lost = [number for _, number in things.of(NumberDoc, edition) if number.status == "owed"]
    numbers, proofs = (
        sorted(number.n for number in lost if number.kind == kind) for kind in ("numbered", "proof")
    )
    return Owed(
        edition=edition,
        state=doc.state,
        numbers=_owed_numbers(doc.pieces, doc.numbers, numbers),
        proofs=_owed_numbers(doc.proofs, doc.proof_numbers, proofs),
        ware=unmarked_in_work(doc),
        undeclared_surplus=or_zero(doc.undeclared),
    )


def _owed_numbers(of: int, counts: dict[str, int], which: list[int]) -> OwedNumbers:
    living, gone, settled, owed = (
        counts.get(standing, 0) for standing in ("living", "gone", "settled", "owed")
    )
    unmarked = of - living - gone - settled - owed
    return OwedNumbers(
        of=of,
        living=living,
        gone=gone,
        settled=settled,
        owed=owed,
        which=tuple(which),
        unmarked=unmarked,
        to_make=unmarked + owed,
    )


def unmarked_in_work(edition: EditionDoc) -> int:
    """Return the pieces without a number that are in work, in the kiln or not. [-]"""
    return sum(edition.ware.values()) + edition.loaded


# --- yields


@dataclass(frozen=True, slots=True, kw_only=True)
class Yield:
    """Good of how many, and between which shares that lies in nineteen of twenty.

    Parameters
    ----------
    name : str
        The stage, mold, lot, load or cause.
    counted, of : int
        Good ones, or those lost to a cause, of how many. [-]
    share : float or None
        None if there were none. [-]
    low, high : float
        Ends of the interval. [-]
    """

    name: str
    counted: int
    of: int
    share: float | None
    low: float
    high: float


def yields(things: Things, edition: str, by: str = "stage") -> list[Yield]:
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
    return [_yield(*row) for row in rows]


def yields_told(rows: Iterable[Yield], by: str) -> list[dict[str, object]]:
    """Return yields as JSON tells them: the name under what it is, the count as good or lost."""
    counted = "lost" if by == "cause" else "good"
    return [
        {
            by: one.name,
            counted: one.counted,
            "of": one.of,
            "share": one.share,
            "low": one.low,
            "high": one.high,
        }
        for one in rows
    ]


def _yield(name: str, counted: int, of: int) -> Yield:
    low, high = wilson(counted, of)
    share = None if of == 0 else round(counted / of, 4)
    return Yield(
        name=name, counted=counted, of=of, share=share, low=round(low, 4), high=round(high, 4)
    )


def _by_mold(things: Things, edition: str) -> Iterable[tuple[str, int, int]]:
    for label, mold in things.of(MoldDoc, edition):
        tried = mold.casts - mold.thrown
        yield label, tried - min(mold.lost, tried), tried


def _by_lot(things: Things, edition: str) -> Iterable[tuple[str, int, int]]:
    prefix = f"{edition}/lot/"
    for key, tally in things.of(TallyDoc, edition):
        tried = or_zero(tally.cast) - or_zero(tally.thrown)
        if key.startswith(prefix) and tried:
            later = sum((or_none(tally.lost_later) or {}).values())
            yield key.removeprefix(prefix), max(or_zero(tally.good) - later, 0), tried


def _by_load(things: Things, edition: str) -> Iterable[tuple[str, int, int]]:
    for label, load in things.of(LoadDoc, edition):
        if load.state == "opened":
            lost = sum(load.lost.values()) + len(load.lost_pieces)
            name = f"{label}, {load.firing}{' again' if load.refire else ''}"
            yield name, load.size - lost, load.size


def _by_cause(edition: EditionDoc) -> list[tuple[str, int, int]]:
    counts: dict[str, int] = {}
    for lost in edition.lost.values():
        for cause, count in lost.items():
            counts[cause] = counts.get(cause, 0) + count
    tried = edition.cast - edition.thrown
    ordered = sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    return [(cause, count, max(tried, count)) for cause, count in ordered if count]


# --- what is odd


@dataclass(frozen=True, slots=True)
class Odd:
    """What was odd about an entry: its place, when it happened, which finding, and the sentence."""

    seq: int
    at: str
    what: str
    said: str


def findings(things: Things, edition: str) -> list[Odd]:
    """Return what is odd about an edition, the oldest first.

    What a load was written down without stays odd only until the kiln's page counts it, or what
    was seen is taken back.
    """
    docs = [finding for _, finding in things.of(FindingDoc, edition)]
    odd = (one for one in docs if one.what != OF_A_LOAD or _is_uncounted(things, one.thing))
    ordered = sorted(odd, key=lambda one: one.seq)
    return [Odd(one.seq, one.at, one.what, one.said) for one in ordered]


OF_A_LOAD = "load_was_written_down"


def _is_uncounted(things: Things, seen: str) -> bool:
    """Return whether a load still waits for a piece that was seen too late to be counted."""
    label, piece = load_named(seen)
    load = things.get(LoadDoc, label)
    waiting = (
        ()
        if load is None
        else (*not_counted(things, label, load), *good_again(things, label, load))
    )
    return piece in waiting


# --- what a day begins with


@dataclass(frozen=True, slots=True, kw_only=True)
class Drying:
    """A mold that dries.

    Parameters
    ----------
    label : str
        Which one.
    days : int
        Since its last part was poured. [days]
    last_kg : str or None
        What it weighed last, as the book has it. [kg]
    stopped_losing : bool
        Whether two weighings a day apart agree.
    weigh : bool
        Whether it is due on the scale today.
    """

    label: str
    days: int
    last_kg: str | None
    stopped_losing: bool
    weigh: bool


@dataclass(frozen=True, slots=True)
class LoadToBuild:
    """A firing that ware stands before, and how many pieces. [-]"""

    firing: str
    pieces: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLists:
    """What a day begins with; molds are told by their labels.

    Parameters
    ----------
    edition : str
        Whose they are.
    drying : tuple of Drying
        Molds that nobody has called dry.
    weigh : tuple of str
        Those that were not weighed today and have not stopped losing.
    ready, cast_today, incomplete : tuple of str
        Called dry, whole and not cast today; cast today; with a broken part.
    loads : tuple of LoadToBuild
        What can go into the kiln.
    in_the_kiln : tuple of LoadInKiln
        What is in it.
    findings : tuple of Odd
        Of the last seven days.
    """

    edition: str
    drying: tuple[Drying, ...]
    weigh: tuple[str, ...]
    ready: tuple[str, ...]
    cast_today: tuple[str, ...]
    incomplete: tuple[str, ...]
    loads: tuple[LoadToBuild, ...]
    in_the_kiln: tuple[LoadInKiln, ...]
    finish: int
    mark: int
    findings: tuple[Odd, ...]


def today_lists(things: Things, edition: str, today: date, zone: str) -> DayLists:
    """Return what a day begins with: molds drying, due weighings, ready to cast, loads, what is odd."""
    doc = edition_doc(things, edition)
    molds = [(label, m) for label, m in things.of(MoldDoc, edition) if m.state == "in use"]
    wet = [_drying(things, label, m, today, zone) for label, m in molds if not is_called_dry(m)]
    cast_today = {label for label, m in molds if m.last_cast and day_of(m.last_cast, zone) == today}
    ready = [label for label, m in molds if is_complete(m) and is_called_dry(m)]
    odd = findings(things, edition)
    return DayLists(
        edition=edition,
        drying=tuple(wet),
        weigh=tuple(one.label for one in wet if one.weigh),
        ready=tuple(label for label in ready if label not in cast_today),
        cast_today=tuple(sorted(cast_today)),
        incomplete=tuple(label for label, m in molds if not is_complete(m)),
        loads=tuple(_loads_that_can_go_in(doc)),
        in_the_kiln=loads_in_kiln(things, edition),
        finish=pieces_at(doc, last_stage(doc.route)),
        mark=doc.ware["finished"],
        findings=tuple(one for one in odd if (today - day_of(one.at, zone)).days <= 7),
    )


def _drying(things: Things, label: str, mold: MoldDoc, today: date, zone: str) -> Drying:
    """Return a mold that dries: it is weighed once a day until two weighings a day apart agree."""
    since = day_of(poured_last(things, mold, zone), zone)
    weighings = mold.weighings
    days = [day_of(one.at, zone) for one in weighings]
    stopped = stopped_losing(things, mold, zone)
    return Drying(
        label=label,
        days=(today - since).days,
        last_kg=weighings[-1].mass.value if weighings else None,
        stopped_losing=stopped,
        weigh=not stopped and (not days or days[-1] < today),
    )


def _loads_that_can_go_in(edition: EditionDoc) -> Iterable[LoadToBuild]:
    for firing in firings_of(edition.route):
        pieces = pieces_at(edition, stage_before_firing(edition, firing))
        if pieces:
            yield LoadToBuild(firing, pieces)


def stage_before_firing(edition: EditionDoc, firing: str) -> str:
    """Return the stage that a firing of an edition's route takes ware from."""
    return stage_before(edition.route, firing, again=False) or "greenware"


def pieces_at(edition: EditionDoc, stage: str) -> int:
    """Return the pieces at a stage, marked or not. [-]"""
    return edition.ware[stage] + edition.named[stage]


# --- one number


def number_written(things: Things, edition: str, written: str) -> NumberDoc:
    """Return a number that a piece has borne, written as 7, 7/48, AP 2 or AP 2/4.

    Raises
    ------
    BadInput
        If it is no number of the edition.
    NotDoable
        If no piece has borne it yet.
    """
    doc = edition_doc(things, edition)
    plain = written.strip().split("/")[0].upper()
    letters = doc.proof_kind.upper()
    is_proof = plain.startswith(letters)
    digits = plain.removeprefix(letters).strip() if is_proof else plain
    most = doc.proofs if is_proof else doc.pieces
    if not digits.isascii() or not digits.isdecimal() or not 1 <= int(digits[:9]) <= most:
        right = f"write 1 to {doc.pieces}, or {letters} 1 to {doc.proofs}"
        raise BadInput.one("number", repr(written), right)
    kind = "proof" if is_proof else "numbered"
    found = things.get(NumberDoc, number_id(doc, kind, int(digits)))
    if found is None:
        raise NotDoable(
            f"No piece bears {written.strip()} yet; {need_of(doc)} pieces are to be made."
        )
    return found
