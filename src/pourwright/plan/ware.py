"""The ware of the plan: slip and casting, kiln, glaze, numbers, surplus and sizes."""

from __future__ import annotations

from pourwright.materials.casting.minutes import (
    Minutes,
    minutes_from_one_test,
    minutes_without_a_test,
)
from pourwright.materials.ware.dimension_chain import (
    dimension_chain,
    lengths_along,
)
from pourwright.materials.ware.glaze import dry_glaze_kg, slurry_l
from pourwright.plan.case import Case, cone_degc
from pourwright.plan.plan import (
    CastingPlan,
    Dimensions,
    FiringPlan,
    GlazePlan,
    KilnPlan,
    NumbersPlan,
    SizeStep,
    Surplus,
)
from pourwright.simulation.problem import DayNote
from pourwright.simulation.search import Found

REFERENCE_WALL_MM = 5.0


def casting_section(case: Case, found: Found) -> CastingPlan:
    """Return slip, water and minutes of one cast, and the slip of the edition."""
    casting, balance = case.brief.casting, case.balance
    kept = None if balance is None else float(balance.kept_l)
    fill = casting.fill_l
    minutes = _minutes(case)
    casts = found.casts + found.conditioning
    return CastingPlan(
        fill_l=fill,
        kept_l=None if kept is None else round(kept, 4),
        drained_l=None if kept is None or fill is None else round(max(fill - kept, 0.0), 4),
        water_to_mold_kg=None if balance is None else round(float(balance.water_to_mold_kg), 4),
        slip_for_edition_l=None if kept is None else round(kept * casts, 2),
        minutes=None if minutes.best is None else round(float(minutes.best), 1),
        minutes_low=round(float(minutes.low), 1),
        minutes_high=round(float(minutes.high), 1),
        wall_mm=casting.wall_mm,
        note=minutes.basis,
    )


def _minutes(case: Case) -> Minutes:
    casting = case.brief.casting
    wall = casting.wall_mm or (casting.test.wall_mm if casting.test else REFERENCE_WALL_MM)
    if casting.test is None:
        return minutes_without_a_test(wall)
    return minutes_from_one_test(wall, casting.test.wall_mm, casting.test.time_min)


def kiln_section(case: Case, notes: list[DayNote]) -> KilnPlan:
    """Return each firing's cone, loads, pieces and energy."""
    firings = tuple(_firing(case, notes, firing.name) for firing in case.edition.firings)
    middles = [
        (f.energy_kwh_low + f.energy_kwh_high) / 2
        for f in firings
        if f.energy_kwh_low is not None and f.energy_kwh_high is not None
    ]
    whole = round(sum(middles), 1) if len(middles) == len(firings) else None
    return KilnPlan(firings, whole)


def _firing(case: Case, notes: list[DayNote], name: str) -> FiringPlan:
    counts = [n for note in notes for _, firing, n, _ in note.loaded if firing == name]
    cone = getattr(case.brief.firing, f"{name}_cone")
    energy = case.load_kwh[name]
    low, high = (None, None) if energy is None else (round(e * len(counts), 1) for e in energy)
    return FiringPlan(
        name=name,
        cone=cone,
        temperature_c=cone_degc(cone),
        capacity=next(f.capacity for f in case.edition.firings if f.name == name),
        loads=len(counts),
        pieces=sum(counts),
        energy_kwh_low=low,
        energy_kwh_high=high,
    )


def glaze_section(case: Case, kiln: KilnPlan) -> GlazePlan:
    """Return the dry glaze and the slurry for all pieces that are glazed."""
    glaze = case.brief.glaze
    pieces = next(f.pieces for f in kiln.firings if f.name == "glaze")
    if glaze.area_m2 is None or glaze.coat_g_per_m2 is None:
        note = (
            "Weigh a test piece dry before and after glazing: the gain over its glazed area is the coat. "
            "Write both as glaze.area and glaze.coat."
        )
        return GlazePlan(None, None, note)
    dry = float(dry_glaze_kg(glaze.area_m2, glaze.coat_g_per_m2, pieces)) if pieces else 0.0
    slurry = (
        None
        if glaze.slurry_g_per_l is None or not pieces
        else round(float(slurry_l(dry, glaze.slurry_g_per_l)), 2)
    )
    note = (
        ""
        if slurry is not None
        else "Weigh a liter of the slurry to know how much to mix (glaze.slurry)."
    )
    return GlazePlan(round(dry, 3), slurry, note)


def numbers_section(case: Case) -> NumbersPlan:
    """Return the numbers and proofs that are promised."""
    pieces = case.edition.need - case.brief.edition.proofs
    return NumbersPlan(
        first=f"1/{pieces}",
        last=f"{pieces}/{pieces}",
        proofs=case.brief.edition.proofs,
        kind=case.brief.numbers.proof_kind,
        marked=case.brief.numbers.marked,
    )


def surplus_section(case: Case, notes: list[DayNote]) -> Surplus:
    """Return how many good pieces are expected beyond those promised."""
    finished = sum(sum(note.finished.values()) for note in notes)
    out = sum(
        good
        for note in notes
        for _, name, _, good in note.unloaded
        if name == case.edition.firings[-1].name
    )
    already = case.edition.already
    out, finished = (
        out + already.to_finish + already.finished,
        finished + already.finished,
    )
    return Surplus(
        max(out, finished, case.edition.need) - case.edition.need, case.brief.surplus.fate
    )


def dimensions_section(case: Case) -> Dimensions:
    """Return the sizes from the original to the fired piece, or why there are none."""
    terms = case.brief.dimensions
    shrinkage = terms.shrinkage
    if shrinkage is None:
        return Dimensions(given=False, steps=(), note="")
    steps = dimension_chain(
        dry=shrinkage.dry,
        fired=shrinkage.fired,
        fired_on=shrinkage.fired_on,
        rubber_shrinkage=terms.rubber_shrinkage,
        plaster_expansion=terms.plaster_expansion,
    )
    sizes = {name: getattr(terms, name) for name in ("height_mm", "width_mm", "depth_mm")}
    along = {name: lengths_along(mm, steps) for name, mm in sizes.items() if mm is not None}
    note = "" if along else "Write dimensions.height, width and depth of the original to see sizes."
    rows = tuple(
        SizeStep(
            step.name,
            round(float(step.factor), 5),
            **{name: round(float(mm[at]), 2) for name, mm in along.items()},
        )
        for at, step in enumerate(steps)
    )
    return Dimensions(given=True, steps=rows, note=note)
