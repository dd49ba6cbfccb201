"""What a plan costs, with the prices that the studio gives."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from pourwright.briefs.records import Studio
from pourwright.materials.plaster.mix import batch_for_volume
from pourwright.materials.ware.glaze import dry_glaze_kg
from pourwright.money import Money
from pourwright.plan.before import FIRE_TESTS, block_left
from pourwright.plan.case import Case, route_of
from pourwright.plan.plan import CostPlan, PricedLine, UsedUp
from pourwright.simulation.cost import (
    Cost,
    CostItem,
    Needs,
    UnitPrices,
    cost_of,
    edition_items,
)
from pourwright.simulation.kiln_loads import pieces_to_fire
from pourwright.simulation.odds import Runs
from pourwright.simulation.search import Found


@dataclass(frozen=True, slots=True)
class Use:
    """What a plan uses up: the counts of its expected course, or the averages of its runs."""

    casts: float
    conditioning: float
    molds_poured: float
    sessions: float
    loads: tuple[float, ...]


def use_of_runs(runs: Runs) -> Use:
    """Return what runs use up on average."""
    return Use(
        float(runs.casts.mean()),
        float(runs.conditioning.mean()),
        float(runs.molds.mean()),
        float(runs.sessions.mean()),
        tuple(float(n) for n in runs.loads.mean(axis=1)),
    )


def use_of_course(found: Found) -> Use:
    """Return what a course without chance uses up."""
    loads = tuple(float(n) for n in found.loads)
    return Use(found.casts, found.conditioning, found.molds_poured, found.sessions, loads)


def cost_of_plan(case: Case, use: Use, *, made_again: bool = True) -> Cost:
    """Return the cost of a plan by what it uses up, of plaster parts of bags as of slip parts of pails.

    What is left of the last bag or pail is the next edition's. A price for a master takes in its rubber. ``made_again`` counts in what may be refused.
    """
    needs = Needs(
        plaster_bags=_plaster_kg(case, use) / case.studio.plaster.bag_kg,
        masters=_masters(case),
        rubber_kg=_rubber_kg(case),
        slip_l=_slip_l(case, use),
        glaze_kg=_glaze_kg(case, use),
        energy_kwh=_energy_kwh(case, use),
        packed=case.edition.need - case.edition.already.finished,
        labor_h=labor_h(case, use),
    )
    pieces = case.edition.need - case.brief.edition.proofs
    items = (
        *edition_items(needs, _prices(case.studio)),
        *(_made_again(case) if made_again else ()),
        *_without_price(case, use),
    )
    return cost_of(items, pieces=pieces, currency=case.studio.studio.currency)


def _prices(studio: Studio) -> UnitPrices:
    prices = studio.prices
    return UnitPrices(
        plaster_per_bag=studio.plaster.bag_price,
        per_master=prices.master,
        rubber_per_kg=prices.rubber_per_kg,
        slip_per_l=studio.slip.price_per_l,
        glaze_per_kg=prices.glaze_per_kg,
        energy_per_kwh=studio.kiln.energy_price_per_kwh,
        packing_per_piece=prices.packing_per_piece,
        labor_per_h=prices.labor_per_h,
    )


def _made_again(case: Case) -> tuple[CostItem, ...]:
    """Return what may be refused and made once more: how often, and what it costs as far as that is priced."""
    items, currency = [], case.studio.studio.currency
    for one in case.before.again:
        needs = _one_master(case) if one.what == "one master" else _one_round_of_tests(case)
        lines = edition_items(needs, _prices(case.studio))
        total = cost_of(lines, pieces=1, currency=currency).total
        if total is not None:
            name = f"{one.what} once more, if refused"
            items.append(CostItem(name, one.chance, "time", Money(total, currency)))
    return tuple(items)


def _one_master(case: Case) -> Needs:
    """Return what one of the masters takes."""
    count, rubber_kg = _masters(case), _rubber_kg(case)
    minutes = _made_by_hand(case).get("masters") or 0.0
    return Needs(
        masters=1,
        rubber_kg=None if rubber_kg is None else rubber_kg / count,
        labor_h={"masters": minutes / count / 60},
    )


def _one_round_of_tests(case: Case) -> Needs:
    """Return what a block mold and its test casts take."""
    terms, balance = case.brief.preparation, case.balance
    one_mold = batch_for_volume(sum(case.part_volumes_l), case.plaster, case.mix.spare)
    energy = case.load_kwh.values() if terms.test_casts else ()
    minutes = case.before.minutes_of("test casts", FIRE_TESTS) + (terms.block_mold_min or 0.0)
    return Needs(
        plaster_bags=float(one_mold.plaster_kg) / case.studio.plaster.bag_kg,
        slip_l=None if balance is None else float(balance.kept_l) * terms.test_casts,
        glaze_kg=_glaze_on_kg(case, terms.test_casts),
        energy_kwh=sum(sum(load) / 2 for load in energy if load),
        labor_h={"test casts": minutes / 60},
    )


def _without_price(case: Case, use: Use) -> tuple[CostItem, ...]:
    """Return what the studio file has no price for, or of which nobody knows how much it takes."""
    strapped = _poured(case, use) + case.before.block_molds
    straps = strapped * case.brief.mold.straps if len(case.brief.mold.parts) > 1 else 0
    return (
        CostItem("straps", straps, "piece", None),
        *(
            CostItem(f"hands for the {what}", None, "h", None)
            for what, spent in _made_by_hand(case).items()
            if spent is None
        ),
    )


def _made_by_hand(case: Case) -> dict[str, float | None]:
    """Return what hands make before the first pour and their minutes, None where the brief does not tell them. [min]"""
    terms = case.brief.preparation
    made: dict[str, float | None] = {}
    if terms.have == "nothing":
        made["original"] = terms.original_min
    if case.before.block_molds:
        made["block mold"] = block_left(case.brief, case.standing).minutes
    made["test casts"] = case.before.minutes_of("test casts", FIRE_TESTS)
    if _masters(case) and case.studio.prices.master is None:
        made["masters"] = terms.masters_min
    return made


def cost_section(
    case: Case,
    cost: Cost,
    found: Found,
    use: Use,
    between: tuple[Decimal | None, Decimal | None],
) -> CostPlan:
    """Return the cost part of the plan; of one that has begun it is what is still to be spent.

    ``found`` is the course of the calendar, ``use`` what the runs use up on average, and
    ``between`` what 10 and 90 of a hundred of them cost at most.
    """
    course = use_of_course(found)
    return CostPlan(
        currency=cost.currency,
        lines=tuple(
            PricedLine(line.name, line.quantity, line.unit, line.price, line.amount)
            for line in cost.lines
        ),
        not_priced=cost.not_priced,
        total=cost.total,
        per_piece=None if case.standing is not None else cost.per_piece,
        used_up=UsedUp(round(use.casts, 1), round(_poured(case, use), 1), round(sum(use.loads), 1)),
        by_calendar=cost_of_plan(case, course, made_again=False).total,
        p10=between[0],
        p90=between[1],
    )


def _plaster_kg(case: Case, use: Use) -> float:
    # a block mold is taken to need what one mold does
    volume = _poured(case, use) * sum(case.part_volumes_l) + sum(case.block_volumes_l.values())
    if not volume:
        return 0.0
    return float(batch_for_volume(volume, case.plaster, case.mix.spare).plaster_kg)


def _poured(case: Case, use: Use) -> float:
    """Return the molds still to be poured."""
    return max(use.molds_poured - len(case.edition.already.molds), 0.0)


def _masters(case: Case) -> int:
    """Return the masters still to be made."""
    if case.brief.preparation.have == "masters":
        return 0
    return sum(part.masters for part in case.brief.mold.parts)


def _rubber_kg(case: Case) -> float | None:
    """Return the rubber to buy; nothing where masters are there or bought. [kg]"""
    if not _masters(case) or case.studio.prices.master is not None:
        return 0.0
    return case.brief.preparation.rubber_kg


def _slip_l(case: Case, use: Use) -> float | None:
    casts = use.casts + use.conditioning + case.before.test_casts
    return None if case.balance is None else float(case.balance.kept_l) * casts


def _fired(case: Case, use: Use, firing: str) -> int:
    """Return the pieces that still come to a firing, those prepared for it already not counted."""
    already, at = case.edition.already, route_of(case.brief).index(firing)
    done = already.prepared_for(at) - already.inside(at)
    return pieces_to_fire(case.draws, min(round(use.casts), case.draws.pieces), already)[at] - done


def _glaze_kg(case: Case, use: Use) -> float | None:
    return _glaze_on_kg(case, _fired(case, use, "glaze") + case.before.test_casts)


def _glaze_on_kg(case: Case, pieces: int) -> float | None:
    """Return the dry glaze on so many pieces, None where the brief does not tell the coat. [kg]"""
    glaze = case.brief.glaze
    if glaze.area_m2 is None or glaze.coat_g_per_m2 is None:
        return None
    return float(dry_glaze_kg(glaze.area_m2, glaze.coat_g_per_m2, pieces)) if pieces else 0.0


def _energy_kwh(case: Case, use: Use) -> float | None:
    """Return the middle of the range of all loads, those of test casts among them, or None where one of them has no figure. [kWh]"""
    whole = 0.0
    for energy, loads in zip(case.load_kwh.values(), use.loads, strict=True):
        if energy is None:
            return None
        whole += (loads + (case.before.test_casts > 0)) * sum(energy) / 2
    return whole


def labor_h(case: Case, use: Use) -> dict[str, float]:
    """Return the hours of hands by what they do. [h]"""
    edition = case.edition
    minutes = {
        **{what: spent or 0.0 for what, spent in _made_by_hand(case).items()},
        "pouring sessions": use.sessions * edition.setup_min + _poured(case, use) * edition.set_min,
        "casting": (use.casts + use.conditioning) * edition.cast_min,
        "fettling": use.casts * edition.fettle_min,
        "kiln": sum(n * f.handling_min for n, f in zip(use.loads, edition.firings, strict=True)),
        **{
            "glazing" if f.name == "glaze" else "third firing's work": f.prep_min
            * _fired(case, use, f.name)
            for f in edition.firings
            if f.prep_min
        },
        "marking and packing": (edition.need - edition.already.finished) * edition.finish_min,
    }
    return {what: math.ceil(spent) / 60 for what, spent in minutes.items()}
