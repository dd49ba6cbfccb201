"""What is to be bought: plaster for the molds that are still to be poured, against the lots there are."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from pourwright.briefs.records import Brief, Studio
from pourwright.ledger.documents import EditionDoc, LotDoc, MoldDoc
from pourwright.ledger.things import Things
from pourwright.materials.plaster.mix import batch_for_volume
from pourwright.plan.case import part_volume_l, plaster_of
from pourwright.studio.lots import last_lots


class EditionToPour(NamedTuple):
    """An edition whose molds are poured in this studio, with its brief and the studio's file."""

    edition: EditionDoc
    brief: Brief
    studio: Studio


@dataclass(frozen=True, slots=True)
class PlasterNeed:
    """Plaster for the molds still to be poured.

    Parameters
    ----------
    molds : tuple of (str, int)
        How many are still to be poured, by the plan: the editions' names and counts. [-]
    need_kg : float
        What they take, with what is mixed to spare. [kg]
    there_kg : float
        What is left of the lots whose mass the book knows. [kg]
    bags : int
        Bags to buy. [-]
    bag_kg : float
        What a bag holds. [kg]
    """

    molds: tuple[tuple[str, int], ...]
    need_kg: float
    there_kg: float
    bags: int
    bag_kg: float


def plaster_need(things: Things, pouring: Sequence[EditionToPour]) -> PlasterNeed | None:
    """Return the plaster that is to be bought for the editions in work, which share the bags.

    Returns
    -------
    PlasterNeed or None
        None if nothing needs to be bought: no molds are still to be poured, or the lots suffice.

    Notes
    -----
    Of a lot, what the molds of these editions took is counted by their briefs. Closed editions
    that shared its last bag, test mixes and plaster that set in the bag are not seen.
    """
    still: list[tuple[str, int]] = []
    need_kg = 0.0
    used: dict[str, float] = {}
    for edition, brief, studio in pouring:
        a_mold_kg = plaster_of_a_mold_kg(brief, studio) * (1 + studio.plaster.spare)
        molds = max((edition.molds_planned or 0) - edition.molds, 0)
        if molds:
            still.append((edition.name, molds))
            need_kg += molds * a_mold_kg
        for lot in _lots_of_molds(things, edition.edition):
            used[lot] = used.get(lot, 0.0) + a_mold_kg
    if not still:
        return None
    there_kg = _left_of_lots(things, "plaster", used)
    bag_kg = pouring[0].studio.plaster.bag_kg
    bags = math.ceil(max(need_kg - there_kg, 0.0) / bag_kg - 1e-9)
    return PlasterNeed(tuple(still), need_kg, there_kg, bags, bag_kg) if bags > 0 else None


def there_by_the_book(
    things: Things, edition: str, brief: Brief, studio: Studio
) -> dict[str, float]:
    """Return the plaster and the rubber that lie in the studio, for a plan of one edition. [kg]

    Of plaster, what this edition's molds took is taken off; rubber is counted while no
    master is made of it.
    """
    a_mold_kg = plaster_of_a_mold_kg(brief, studio) * (1 + studio.plaster.spare)
    used: dict[str, float] = {}
    for lot in _lots_of_molds(things, edition):
        used[lot] = used.get(lot, 0.0) + a_mold_kg
    there = {"plaster": _left_of_lots(things, "plaster", used)}
    return there | {"rubber": _left_of_lots(things, "rubber", {})}


def _left_of_lots(things: Things, what: str, used: Mapping[str, float]) -> float:
    """Return what is left of the lots whose mass the book knows. [kg]"""
    return sum(
        max(float(lot.mass.value) - used.get(label, 0.0), 0.0)
        for label, lot in last_lots(things, what)
        if lot.mass
    )


@dataclass(frozen=True, slots=True)
class LeftOfLot:
    """What is left of a lot of plaster, of what it held. [kg]"""

    left_kg: float
    held_kg: float


def left_of_plaster(
    things: Things, label: str, poured: Sequence[EditionToPour], editions: Sequence[str]
) -> LeftOfLot | None:
    """Return what is left of a lot of plaster, by the molds that were poured from it.

    Parameters
    ----------
    things : Things
        The book's documents.
    label : str
        The lot's, such as ``B-001``.
    poured : sequence of EditionToPour
        The editions whose brief can be read.
    editions : sequence of str
        All editions that may have poured from it.

    Returns
    -------
    LeftOfLot or None
        None if the book does not know the lot's mass, or no brief tells what a mold of it took.
        Test mixes and plaster that set in the bag are not seen.
    """
    lot = things.get(LotDoc, label)
    if lot is None or lot.mass is None or lot.what != "plaster":
        return None
    a_mold_kg = {
        one.edition.edition: plaster_of_a_mold_kg(one.brief, one.studio)
        * (1 + one.studio.plaster.spare)
        for one in poured
    }
    took_kg = 0.0
    for edition in editions:
        molds = _lots_of_molds(things, edition).count(label)
        if molds and edition not in a_mold_kg:
            return None
        took_kg += molds * a_mold_kg.get(edition, 0.0)
    held_kg = float(lot.mass.value)
    return LeftOfLot(max(held_kg - took_kg, 0.0), held_kg)


def plaster_of_a_mold_kg(brief: Brief, studio: Studio) -> float:
    """Return the plaster in one complete mold, nothing spare. [kg]"""
    plaster = plaster_of(studio)
    volume = sum(part_volume_l(part, plaster) for part in brief.mold.parts)
    return float(batch_for_volume(volume, plaster).plaster_kg)


def mold_volume_l(brief: Brief, studio: Studio) -> float:
    """Return the volume of one complete mold. [l]"""
    return sum(part_volume_l(part, plaster_of(studio)) for part in brief.mold.parts)


def _lots_of_molds(things: Things, edition: str) -> list[str]:
    """Return the lot of each mold that tells one: that of its first part that was not swapped in."""
    firsts = (
        next((part.lot for part in mold.parts.values() if not part.spare), None)
        for _, mold in things.of(MoldDoc, edition)
    )
    return [lot for lot in firsts if lot]
