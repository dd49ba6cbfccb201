"""What is to be bought: plaster for the molds that are still to be poured, against the lots there are."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from pourwright.actions.last_lots import last_lots
from pourwright.actions.plan_case import part_volume_l, plaster_of
from pourwright.actions.records import Brief, Studio
from pourwright.ledger.kept import once
from pourwright.ledger.things import Things
from pourwright.materials.plaster import batch_for_volume


@dataclass(frozen=True, slots=True)
class PlasterNeed:
    """Plaster for the molds still to be poured.

    Parameters
    ----------
    molds : int
        Still to be poured, by the plan. [-]
    need_kg : float
        What they take, with what is mixed to spare. [kg]
    there_kg : float
        What is left of the lots whose mass the book knows. [kg]
    bags : int
        Bags to buy. [-]
    bag_kg : float
        What a bag holds. [kg]
    """

    molds: int
    need_kg: float
    there_kg: float
    bags: int
    bag_kg: float


def plaster_need(
    things: Things, edition: dict[str, Any], brief: Brief, studio: Studio
) -> PlasterNeed:
    """Return the plaster that is to be bought for an edition.

    Parameters
    ----------
    things : Things
        The book's documents.
    edition : dict
        The edition's document.
    brief, studio : Brief, Studio
        What its molds take, and what a bag holds.

    Returns
    -------
    PlasterNeed
        No bags if the plan tells no molds, or all are poured.

    Notes
    -----
    Of a lot, what the molds of this and every other edition took is counted with this
    edition's mold, so other editions that share a bag make the figure rough.
    """
    per_mold = plaster_of_a_mold_kg(brief, studio)
    molds = max(int(edition["molds_planned"] or 0) - int(edition["molds"]), 0)
    need = molds * per_mold * (1 + studio.plaster.spare)
    there = _there_kg(things, edition["edition"], per_mold * (1 + studio.plaster.spare))
    bag = studio.plaster.bag_kg
    bags = math.ceil(max(need - there, 0.0) / bag - 1e-9)
    return PlasterNeed(molds, need, there, bags, bag)


def plaster_of_a_mold_kg(brief: Brief, studio: Studio) -> float:
    """Return the plaster in one complete mold, nothing spare. [kg]"""
    plaster = plaster_of(studio)
    volume = sum(part_volume_l(part, plaster) for part in brief.mold.parts)
    return float(batch_for_volume(volume, plaster).plaster_kg)


def mold_volume_l(brief: Brief, studio: Studio) -> float:
    """Return the volume of one complete mold. [l]"""
    return sum(part_volume_l(part, plaster_of(studio)) for part in brief.mold.parts)


def _lots_of(things: Things, edition: str) -> list[str | None]:
    """Return the lot of each mold: that of its first part that was not swapped in."""
    return [
        next((p["lot"] for p in mold["parts"].values() if not p["from"]), None)
        for _, mold in things.of("mold", edition)
    ]


def _there_kg(things: Things, edition: str, per_mold_kg: float) -> float:
    lots = {
        name: float(doc["mass"]["value"])
        for name, doc in last_lots(things, "plaster")
        if doc["mass"]
    }
    used = dict.fromkeys(lots, 0.0)
    for lot in once(things, edition, "lots of its molds", lambda: _lots_of(things, edition)):
        if lot in used:
            used[lot] += per_mold_kg
    return sum(max(mass - used[name], 0.0) for name, mass in lots.items())
