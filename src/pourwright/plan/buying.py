"""What is to be bought for an edition: by the day it is first used, in the units of the shop."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date

from msgspec.structs import replace

from pourwright.plan.case import Case
from pourwright.plan.plan import CastingPlan, GlazePlan, PlanDay, PlasterPlan, ToBuy

USED_IN = {
    "plaster": ("block mold", "pour"),
    "rubber": ("masters",),
    "straps": ("pour",),
    "slip": ("test casts", "conditioning", "cast"),
    "glaze": ("glaze",),
    "boxes": ("finish",),
}
"""On which work of the calendar each thing is first used."""


@dataclass(frozen=True, slots=True)
class _Sold:
    """How much of a thing is needed, and what it is sold in."""

    what: str
    need: float | None
    unit: str
    holds: float
    shop_unit: str


def to_buy(
    case: Case,
    molds: int,
    plaster: PlasterPlan,
    casting: CastingPlan,
    glaze: GlazePlan,
    calendar: tuple[PlanDay, ...],
) -> tuple[ToBuy, ...]:
    """Return what is to be bought, the soonest first.

    Parameters
    ----------
    case : Case
        The edition in its room.
    molds : int
        Molds in use at once. [-]
    plaster, casting, glaze : PlasterPlan, CastingPlan, GlazePlan
        What the plan takes of each.
    calendar : tuple of PlanDay
        Its days, which tell when each is first used.

    Notes
    -----
    Of slip it takes what the casts keep, and once what is drained from all molds in use.
    """
    sold = _sold(case, molds, plaster, casting, glaze, calendar)
    rows = [row for one in sold if (row := _row(one, calendar)) is not None]
    return tuple(sorted(rows, key=lambda row: row.by))


def less_what_is_there(rows: tuple[ToBuy, ...], there: Mapping[str, float]) -> tuple[ToBuy, ...]:
    """Return what is still to be bought where so much of it lies in the studio. [kg]"""
    left = (
        _counted(row, min(there.get(row.what, 0.0), row.need)) if row.what in there else row
        for row in rows
    )
    return tuple(row for row in left if row.count)


def _sold(
    case: Case,
    molds: int,
    plaster: PlasterPlan,
    casting: CastingPlan,
    glaze: GlazePlan,
    calendar: tuple[PlanDay, ...],
) -> tuple[_Sold, ...]:
    brief, shop = case.brief, case.studio.shop
    plaster_kg = plaster.total_plaster_kg
    if _first_day(calendar, ("block mold",)) is not None:
        plaster_kg += plaster.per_mold.plaster_kg  # taken to need what one mold does
    slip_l = casting.slip_for_edition_l
    if slip_l is not None and casting.drained_l is not None:
        slip_l += molds * casting.drained_l
    new = max(molds - len(case.edition.already.molds), 0)
    straps = brief.mold.straps * new if len(brief.mold.parts) > 1 else 0
    boxes = case.edition.need - case.edition.already.finished
    return (
        _Sold("plaster", plaster_kg, "kg", plaster.bag_kg, "bag"),
        _Sold("rubber", brief.preparation.rubber_kg, "kg", shop.rubber_kg, "kit"),
        _Sold("straps", straps, "", 1, "strap"),
        _Sold("slip", slip_l, "l", shop.slip_l, "pail"),
        _Sold("glaze", glaze.dry_kg, "kg", shop.glaze_kg, "bag"),
        _Sold("boxes", boxes, "", 1, "box"),
    )


def _row(sold: _Sold, calendar: tuple[PlanDay, ...]) -> ToBuy | None:
    by = _first_day(calendar, USED_IN[sold.what])
    if by is None or not sold.need:
        return None
    need = round(sold.need, 3)
    return _counted(ToBuy(sold.what, by, need, 0.0, sold.unit, sold.holds, sold.shop_unit, 0), 0.0)


def _counted(row: ToBuy, there: float) -> ToBuy:
    count = math.ceil((row.need - there) / row.holds - 1e-9)
    return replace(row, there=round(there, 3), count=max(count, 0))


def _first_day(calendar: tuple[PlanDay, ...], stages: Collection[str]) -> date | None:
    days = (day.date for day in calendar if any(one.stage in stages for one in day.doing))
    return next(days, None)
