"""What is to be bought for an edition: by the day it is first used, in the units of the shop."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date

from msgspec.structs import replace

from pourwright.materials.ware.glaze import dry_glaze_kg
from pourwright.plan.before import FIRE_TESTS
from pourwright.plan.case import Case, route_of
from pourwright.plan.plan import CastingPlan, GlazePlan, PlanDay, PlasterPlan, ToBuy

USED_IN = {
    "plaster": ("block mold", "pour"),
    "rubber": ("masters",),
    "straps": ("block mold", "pour"),
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
    Of slip it takes what the casts keep, test casts among them, and once what is drained
    from all molds in use; of glaze what the test casts take too.
    """
    sold = _sold(case, molds, plaster, casting, glaze, calendar)
    tested = _glaze_of_tests(case, calendar)
    rows = [row for one in sold if (row := _row(one, calendar, tested)) is not None]
    return tuple(sorted(rows, key=lambda row: row.by))


def less_what_is_there(rows: tuple[ToBuy, ...], there: Mapping[str, float]) -> tuple[ToBuy, ...]:
    """Return what is to be bought where so much of it lies in the studio: none of what suffices. [kg]"""
    return tuple(counted(row, there.get(row.what, 0.0)) for row in rows)


def _sold(
    case: Case,
    molds: int,
    plaster: PlasterPlan,
    casting: CastingPlan,
    glaze: GlazePlan,
    calendar: tuple[PlanDay, ...],
) -> tuple[_Sold, ...]:
    brief, shop = case.brief, case.studio.shop
    tests = case.before.test_casts
    slip_l = casting.slip_for_edition_l
    if slip_l is not None and casting.kept_l is not None:
        slip_l += tests * casting.kept_l
    if slip_l is not None and casting.drained_l is not None:
        slip_l += molds * casting.drained_l
    glaze_kg = glaze.dry_kg
    if glaze_kg is not None and tests:
        glaze_kg += _one_glaze_kg(case) * tests
    new = max(molds - len(case.edition.already.molds), 0) + case.before.block_molds
    told_whole = brief.mold.dry_mass_kg is not None or brief.mold.mix_water_kg is not None
    straps = brief.mold.straps * new if told_whole or len(brief.mold.parts) > 1 else 0
    boxes = case.edition.need - case.edition.already.finished
    return (
        _Sold("plaster", plaster.total_plaster_kg, "kg", plaster.bag_kg, "bag"),
        _Sold("rubber", brief.preparation.rubber_kg, "kg", shop.rubber_kg, "kit"),
        _Sold("straps", straps, "", 1, "strap"),
        _Sold("slip", slip_l, "l", shop.slip_l, "pail"),
        _Sold("glaze", glaze_kg, "kg", shop.glaze_kg, "bag"),
        _Sold("boxes", boxes, "", 1, "box"),
    )


def _one_glaze_kg(case: Case) -> float:
    """Return the dry glaze on one piece. [kg]"""
    glaze = case.brief.glaze
    if glaze.area_m2 is None or glaze.coat_g_per_m2 is None:
        return 0.0
    return float(dry_glaze_kg(glaze.area_m2, glaze.coat_g_per_m2, 1))


def _glaze_of_tests(case: Case, calendar: tuple[PlanDay, ...]) -> date | None:
    """Return the day on which the test casts are glazed: that of their glaze firing."""
    fired = [day.date for day in calendar if any(one.stage == FIRE_TESTS for one in day.doing)]
    at = route_of(case.brief).index("glaze")
    return fired[at] if at < len(fired) else None


def _row(sold: _Sold, calendar: tuple[PlanDay, ...], tested: date | None) -> ToBuy | None:
    by = _first_day(calendar, USED_IN[sold.what])
    if sold.what == "glaze":
        by = tested or by
    if by is None or not sold.need:
        return None
    need = round(sold.need, 3)
    return counted(ToBuy(sold.what, by, need, 0.0, sold.unit, sold.holds, sold.shop_unit, 0), 0.0)


def counted(row: ToBuy, there: float) -> ToBuy:
    """Return a row with what of it is there, and how many of the shop's units are still to buy."""
    used = min(there, row.need)
    count = math.ceil((row.need - used) / row.holds - 1e-9)
    return replace(row, there=round(used, 3), count=count)


def _first_day(calendar: tuple[PlanDay, ...], stages: Collection[str]) -> date | None:
    days = (day.date for day in calendar if any(one.stage in stages for one in day.doing))
    return next(days, None)
