"""What a plan costs, with the prices that the studio gives."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from pourwright.materials.plaster.mix import batch_for_volume
from pourwright.materials.ware.glaze import dry_glaze_kg
from pourwright.plan.case import Case, route_of
from pourwright.plan.plan import CostPlan, PricedLine
from pourwright.plan.ware import balance_of, load_energy_kwh
from pourwright.simulation.cost import (
    Cost,
    Needs,
    UnitPrices,
    bags_needed,
    cost_of,
    edition_items,
)
from pourwright.simulation.kiln_loads import pieces_to_fire
from pourwright.simulation.odds import Runs
from pourwright.simulation.problem import Floats
from pourwright.simulation.search import Found


def cost_of_plan(case: Case, found: Found, plaster_kg: float | None = None) -> Cost:
    """Return the cost of a plan.

    A price for a master takes in its rubber.
    ``plaster_kg`` is what its pour list weighs; without it the plaster is
    worked out from the volume of the molds and the spare, which is what the
    table of mold counts does. [kg]
    """
    weighed = _plaster_kg(case, found) if plaster_kg is None else plaster_kg
    needs = Needs(
        plaster_bags=bags_needed(weighed, case.studio.plaster.bag_kg),
        masters=_masters(case),
        rubber_kg=None if _masters(case) and case.studio.prices.master is None else 0.0,
        slip_l=_slip_l(case, found),
        glaze_kg=_glaze_kg(case, found),
        energy_kwh=_energy_kwh(case, found),
        packed=case.edition.need - case.edition.already.finished,
        labor_h=_labor_h(case, found),
    )
    prices, studio = case.studio.prices, case.studio
    unit_prices = UnitPrices(
        plaster_per_bag=studio.plaster.bag_price,
        per_master=prices.master,
        rubber_per_kg=prices.rubber_per_kg,
        slip_per_l=studio.slip.price_per_l,
        glaze_per_kg=prices.glaze_per_kg,
        energy_per_kwh=studio.kiln.energy_price_per_kwh,
        packing_per_piece=prices.packing_per_piece,
        labor_per_h=prices.labor_per_h,
    )
    pieces = case.edition.need - case.brief.edition.proofs
    return cost_of(
        edition_items(needs, unit_prices), pieces=pieces, currency=studio.studio.currency
    )


def cost_of_runs(case: Case, found: Found, runs: Runs) -> Cost:
    """Return the cost of what runs use on average, rounded up to whole casts, molds and loads."""
    usual = replace(
        found,
        casts=min(math.ceil(runs.casts.mean()), case.draws.pieces),
        conditioning=math.ceil(runs.conditioning.mean()),
        molds_poured=math.ceil(runs.molds.mean()),
        sessions=math.ceil(runs.sessions.mean()),
        loads=tuple(math.ceil(n) for n in runs.loads.mean(axis=1)),
    )
    return cost_of_plan(case, usual)


def spent_by_run(case: Case, runs: Runs) -> Floats:
    """Return what each run spends, to compare plans by: money, or hours where hands have no price.

    What is the same for every plan of the edition, such as its packing, is left out.
    """
    studio, edition = case.studio, case.edition
    poured = np.maximum(runs.molds - len(edition.already.molds), 0)
    formed = edition.cast_passed * edition.dry_passed
    minutes = (
        runs.sessions * edition.setup_min
        + poured * edition.set_min
        + (runs.casts + runs.conditioning) * edition.cast_min
        + runs.casts * edition.fettle_min
    ).astype(float)
    for at, firing in enumerate(edition.firings):
        minutes += runs.loads[at] * firing.handling_min + runs.casts * formed * firing.prep_min
        formed *= firing.passed
    labor = studio.prices.labor_per_h
    if labor is None:
        return np.asarray(minutes / 60)
    spent = minutes / 60 * float(labor.amount)
    if studio.plaster.bag_price is not None:
        mold_kg = float(
            batch_for_volume(sum(case.part_volumes_l), case.plaster, case.mix.spare).plaster_kg
        )
        spent += np.ceil(poured * mold_kg / studio.plaster.bag_kg) * float(
            studio.plaster.bag_price.amount
        )
    balance = balance_of(case)
    if balance is not None and studio.slip.price_per_l is not None:
        slip_l = float(balance.kept_l) * (runs.casts + runs.conditioning)
        spent += slip_l * float(studio.slip.price_per_l.amount)
    if studio.kiln.energy_price_per_kwh is not None:
        for at, firing in enumerate(edition.firings):
            energy = load_energy_kwh(case, firing.name)
            if energy is not None:
                spent += (
                    runs.loads[at]
                    * sum(energy)
                    / 2
                    * float(studio.kiln.energy_price_per_kwh.amount)
                )
    return np.asarray(spent)


def cost_section(cost: Cost, *, begun: bool = False) -> CostPlan:
    """Return the cost part of the plan; of one that has begun it is what is still to be spent."""
    return CostPlan(
        currency=cost.currency,
        lines=tuple(
            PricedLine(line.name, line.quantity, line.unit, line.price, line.amount)
            for line in cost.lines
        ),
        not_priced=cost.not_priced,
        total=cost.total,
        per_piece=None if begun else cost.per_piece,
    )


def _plaster_kg(case: Case, found: Found) -> float:
    volume = case.to_pour(found.molds_poured) * sum(case.part_volumes_l)
    if not volume:
        return 0.0
    return float(batch_for_volume(volume, case.plaster, case.mix.spare).plaster_kg)


def _masters(case: Case) -> int:
    """Return the masters still to be made."""
    if case.brief.preparation.have == "masters":
        return 0
    return sum(part.masters for part in case.brief.mold.parts)


def _slip_l(case: Case, found: Found) -> float | None:
    balance = balance_of(case)
    return None if balance is None else float(balance.kept_l) * (found.casts + found.conditioning)


def _fired(case: Case, found: Found, firing: str) -> int:
    """Return the pieces that still come to a firing, those prepared for it already not counted."""
    already, at = case.edition.already, route_of(case.brief).index(firing)
    done = already.prepared_for(at) - already.inside(at)
    return pieces_to_fire(case.draws, found.casts, already)[at] - done


def _glaze_kg(case: Case, found: Found) -> float | None:
    glaze = case.brief.glaze
    if glaze.area_m2 is None or glaze.coat_g_per_m2 is None:
        return None
    pieces = _fired(case, found, "glaze")
    return float(dry_glaze_kg(glaze.area_m2, glaze.coat_g_per_m2, pieces)) if pieces else 0.0


def _energy_kwh(case: Case, found: Found) -> float | None:
    """Return the middle of the range of all loads, or None where one of them has no figure. [kWh]"""
    whole = 0.0
    for name, loads in zip(route_of(case.brief), found.loads, strict=True):
        energy = load_energy_kwh(case, name)
        if energy is None:
            return None
        whole += loads * sum(energy) / 2
    return whole


def _labor_h(case: Case, found: Found) -> dict[str, float]:
    edition = case.edition
    minutes = {
        "pouring sessions": found.sessions * edition.setup_min
        + case.to_pour(found.molds_poured) * edition.set_min,
        "casting": (found.casts + found.conditioning) * edition.cast_min,
        "fettling": found.casts * edition.fettle_min,
        "kiln": sum(n * f.handling_min for n, f in zip(found.loads, edition.firings, strict=True)),
        **{
            "glazing" if f.name == "glaze" else "third firing's work": f.prep_min
            * _fired(case, found, f.name)
            for f in edition.firings
            if f.prep_min
        },
        "marking and packing": (edition.need - edition.already.finished) * edition.finish_min,
    }
    return {what: math.ceil(spent) / 60 for what, spent in minutes.items()}
