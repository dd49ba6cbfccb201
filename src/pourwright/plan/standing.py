"""What is true of an edition now, as a plan takes it: counts, molds, a load, and the studio's own record.

The book fills these records; the plan reads them. Neither knows the other.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from types import MappingProxyType
from typing import Literal

from pourwright.briefs.records import Brief, Origin, Preparation, Studio
from pourwright.plan.plan import StandingLoad, StandingMold
from pourwright.simulation.chance import MOLD_DAYS_SHARED
from pourwright.simulation.learning import (
    days_after,
    life_after,
    likeness_of_a_load,
    minutes_after,
    pieces_as_one,
    share_after,
    unknown_of_days,
    weight_of_count,
)
from pourwright.simulation.problem import Already, LoadInside, OldMold

OWN_WEIGHT = 0.9
"""From this weight of its own counts on, a figure is called the studio's own."""


@dataclass(frozen=True, slots=True)
class OwnRecord:
    """What the studio has counted and timed itself.

    Parameters
    ----------
    yields : mapping of str to (int, int)
        Good of how many, by ``casting``, ``drying`` and each firing. [-]
    loads : mapping of str to tuple of (int, int)
        Good of how many in each load that was opened, by firing. [-]
    retired_at, holding_at : tuple of int
        Casts of worn-out molds, and of those that hold or were lost otherwise. [-]
    mold_days, still_drying : tuple of float
        Days from pouring to dry, and days so far of the molds that still dry. [days]
    minutes : mapping of str to tuple of float
        Minutes a piece that the bench clock took, by ``fettle``, ``glaze``,
        ``third`` and ``mark_and_pack``. [min]
    """

    yields: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    loads: Mapping[str, tuple[tuple[int, int], ...]] = field(default_factory=dict)
    retired_at: tuple[int, ...] = ()
    holding_at: tuple[int, ...] = ()
    mold_days: tuple[float, ...] = ()
    still_drying: tuple[float, ...] = ()
    minutes: Mapping[str, tuple[float, ...]] = field(default_factory=dict)

    @property
    def casts(self) -> int:
        """Casts that were counted good or lost."""
        return self.yields.get("casting", (0, 0))[1]


@dataclass(frozen=True, slots=True)
class Standing:
    """What is true of an edition at the beginning of a day.

    Parameters
    ----------
    as_of : date
        The first day that is still to be planned.
    planned_on : date
        The day from which the brief's "in 12 weeks" counts.
    have : str
        How far the preparation has come, in the brief's words.
    pieces, proofs : int
        Numbers and proofs that are declared, or planned as long as they are not. [-]
    molds : tuple of StandingMold
        Molds in use; retired, broken and destroyed ones are not among them.
    labels_given : int
        Number of the last mold's label. [-]
    drying : tuple of (date, int)
        Greenware by the day it was cast. [-]
    waiting, prepared : mapping of str to int
        Pieces before each firing but the first, and how many of them are
        glazed or decorated. [-]
    through : mapping of str to int
        Pieces that have come out of each firing. [-]
    load : StandingLoad or None
        This edition's load in the kiln.
    kiln_free_on : date or None
        When another edition's load leaves the kiln.
    week_loads : float
        Loads that have gone in since Monday, and the half load that the week before took beyond its own. [-]
    to_finish, finished : int
        Pieces through the last firing, and those found good. [-]
    proofs_made : int
        Proofs that are marked and were not lost: what is good beyond them has to be numbers. [-]
    block_mold_made : date or None
        When the block mold was made that the test casts wait for: it dries from that day.
    block_parts : tuple of str
        The parts of a block mold that were poured before this day, as long as it is not whole.
    from_brief : tuple of str
        What the book does not tell and the brief does, such as "6 proofs".
    unapproved : str
        What was made before any test cast was approved, nothing if nothing was.
    """

    as_of: date
    planned_on: date
    have: Preparation
    pieces: int
    proofs: int
    molds: tuple[StandingMold, ...] = ()
    labels_given: int = 0
    drying: tuple[tuple[date, int], ...] = ()
    waiting: Mapping[str, int] = field(default_factory=dict)
    prepared: Mapping[str, int] = field(default_factory=dict)
    through: Mapping[str, int] = field(default_factory=dict)
    load: StandingLoad | None = None
    kiln_free_on: date | None = None
    week_loads: float = 0
    to_finish: int = 0
    finished: int = 0
    own: OwnRecord = field(default_factory=OwnRecord)
    proofs_made: int = 0
    block_mold_made: date | None = None
    block_parts: tuple[str, ...] = ()
    from_brief: tuple[str, ...] = ()
    unapproved: Literal["", "molds", "masters"] = ""


@dataclass(frozen=True, slots=True)
class Prior:
    """What is believed before anything was counted; see `Belief`."""

    life: int
    life_spread: float
    unknown_life_spread: float
    experience: float
    spoiled_chance: float
    spoiled_passed: float


@dataclass(frozen=True, slots=True)
class Learned:
    """How sure the plan is after the studio's own counts; see `Belief`."""

    pieces_behind: tuple[float, ...]
    life_spread: float
    mold_days: tuple[float, float] = (0.0, 0.0)
    mold_days_shared: float = MOLD_DAYS_SHARED


def already_of(
    standing: Standing, route: tuple[str, ...], cycle_days: Mapping[str, int], ware_days: int
) -> Already:
    """Return what is there on day 0, in the planner's days and counts.

    Greenware that has stood for ``ware_days`` waits for the first firing: it has
    come through its drying.
    """
    first = standing.as_of
    ages = [((cast - first).days, count) for cast, count in standing.drying if count]
    dry = sum(count for day, count in ages if -day >= max(ware_days, 1))
    wet = tuple((min(day, -1), count) for day, count in ages if -day < max(ware_days, 1))
    load = None
    if standing.load is not None and standing.load.pieces:
        out = standing.load.since + timedelta(days=cycle_days[standing.load.firing])
        at = route.index(standing.load.firing)
        load = LoadInside(at, standing.load.pieces, max((out - first).days, 0))
    return Already(
        molds=tuple(_old_mold(m, first) for m in in_order(standing)),
        drying=wet,
        waiting=(dry, *(standing.waiting.get(name, 0) for name in route[1:])),
        prepared=tuple(standing.prepared.get(name, 0) for name in route),
        load=load,
        to_finish=standing.to_finish,
        finished=standing.finished,
        casts=standing.own.casts,
    )


def _old_mold(mold: StandingMold, first: date) -> OldMold:
    ready = None
    if mold.ready_from is not None and mold.ready_by is not None:
        ready = (mold.ready_from - first).days, (mold.ready_by - first).days
    return OldMold(mold.casts, min((mold.poured - first).days, 0), mold.dry, ready)


def in_order(standing: Standing) -> list[StandingMold]:
    """Return the molds that are there in the order in which they are cast: dry and old ones first."""
    return sorted(standing.molds, key=lambda m: (not m.dry, m.poured, m.label))


def brief_from_here(
    brief: Brief, standing: Standing, route: tuple[str, ...], prior: Prior
) -> tuple[Brief, Learned]:
    """Return the brief with what is true now and what the studio's own counts make of it."""
    own, origins = standing.own, dict(brief.origins)
    losses, behind = {}, []
    experience = max(prior.experience, float(brief.losses.from_casts))
    for name in ("casting", "drying", *route):
        after, weight = _share_of_step(
            own, name, 1 - getattr(brief.losses, name), experience, prior
        )
        losses[name] = 1 - after
        behind.append(weight)
        if name in own.yields:
            shown = f"{100 * (1 - after):.1f} %"
            origins[f"losses.{name}"] = _own(shown, 1 - experience / weight, *_counted(own, name))
    told_spread = prior.life_spread if brief.mold.life else prior.unknown_life_spread
    believed = float(brief.mold.life or prior.life)
    life, spread = life_after(believed, told_spread, own.retired_at, own.holding_at)
    if own.retired_at or own.holding_at:
        weight = weight_of_count(told_spread**2, spread**2)
        counted = _both(len(own.retired_at), "worn", len(own.holding_at), "that held")
        origins["mold.life"] = _own(f"{life:.0f}", weight, *counted)
    terms = replace(
        brief.edition,
        start=standing.as_of,
        pieces=standing.pieces,
        proofs=standing.proofs,
        sizes=(),
        molds=max(brief.edition.molds, len(standing.molds)) if brief.edition.molds else None,
    )
    work = {}
    for name, timed in own.minutes.items():
        before = getattr(brief.work, f"{name}_min")
        work[f"{name}_min"] = minutes_after(before, timed)
        shown, weight = f"{work[f'{name}_min']:.0f} min", len(timed) / (1 + len(timed))
        origins[f"work.{name}"] = _own(shown, weight, _many(len(timed), "timing"))
    known = brief.mold.life is not None or bool(own.retired_at)
    brief = replace(
        brief,
        edition=terms,
        preparation=replace(brief.preparation, have=standing.have),
        mold=replace(brief.mold, life=max(round(life), 2) if known else None),
        work=replace(brief.work, **work),
        losses=replace(brief.losses, **losses, from_casts=max(brief.losses.from_casts, own.casts)),
        origins=MappingProxyType(origins),
    )
    return brief, Learned(tuple(behind), spread)


def _share_of_step(
    own: OwnRecord, step: str, mean: float, experience: float, prior: Prior
) -> tuple[float, float]:
    """Return the share that passes a step and the pieces behind it, after what was counted there.

    What was lost after a load was opened counts with the rest of the firing, not with its load.
    """
    good, of = own.yields.get(step, (0, 0))
    kept = min(prior.spoiled_passed, mean)
    likeness = likeness_of_a_load(mean, prior.spoiled_chance, kept)
    as_one = pieces_as_one(mean, experience, own.loads.get(step, ()), likeness)
    return share_after(mean, experience, good, of, as_one)


def _counted(own: OwnRecord, step: str) -> tuple[str, str]:
    """Return what was counted at a step, and in how many loads, in words."""
    _, of = own.yields[step]
    loads = own.loads.get(step, ())
    counted = _many(of, "cast" if step == "casting" else "piece")
    return counted, f" in {_many(len(loads), 'load')}" if loads else ""


def studio_from_here(
    studio: Studio, learned: Learned, standing: Standing
) -> tuple[Studio, Learned]:
    """Return the studio with the drying that it has timed itself; molds not dry yet count as such."""
    span, own = studio.drying, standing.own
    told = float(span.days_low), float(span.days_high), learned.mold_days_shared
    # nobody may have written down that a mold is dry: it tells no more than the longest usual days
    still = [min(days, told[1]) for days in own.still_drying]
    low, high, shared = days_after(*told, own.mold_days, still)
    learned = replace(learned, mold_days=(low, high), mold_days_shared=shared)
    days = replace(span, days_low=max(round(low), 1), days_high=max(round(high), 1))
    if not own.mold_days and days == span:  # those that still dry have said nothing yet
        return studio, learned
    weight = weight_of_count(unknown_of_days(*told), unknown_of_days(low, high, shared))
    counted = _both(len(own.mold_days), "timed", len(still), "not dry yet")
    origins = dict(studio.origins)
    for name in ("days_low", "days_high"):
        origins[f"drying.{name}"] = _own(f"{getattr(days, name)}", weight, *counted)
    return replace(studio, drying=days, origins=MappingProxyType(origins)), learned


def _own(value: str, weight: float, counted: str, more: str = "") -> Origin:
    """Return where a figure comes from that the studio's own counts have a part in."""
    if weight >= OWN_WEIGHT:
        return Origin("book", value, f"studio's own: {counted}{more}")
    return Origin("book", value, f"{counted} of yours{more}, weight {100 * weight:.0f} %")


def _both(first: int, what: str, second: int, other: str) -> tuple[str, str]:
    """Return molds of two sorts in words; a sort of which there are none is left out."""
    if not first:
        return _many(second, "mold"), f" {other}"
    return _many(first, "mold"), f" {what}" + (f" and {second} {other}" if second else "")


def _many(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"
