"""The studio's rules in the form in which a finished plan is checked against them."""

from __future__ import annotations

from datetime import date, timedelta

from pourwright.briefs.records import Brief
from pourwright.plan.before import block_left
from pourwright.plan.case import Case
from pourwright.plan.days import PREPARING
from pourwright.plan.violations import AtHand, FiringLimit, Limits
from pourwright.simulation.draws import casts_to_start


def limits_for_violations(case: Case) -> Limits:
    """Return what a plan of this case must keep, taken from brief and studio and not from the search."""
    brief, studio, edition = case.brief, case.studio, case.edition
    kiln, terms = studio.kiln, brief.firing
    return Limits(
        preparation=_preparation(case),
        open_days=_open_days(case),
        minutes=studio.time.people * studio.time.minutes_a_day,
        pour_not_before=case.day(edition.pour_from),
        mold_days=studio.drying.days_low,
        ware_days=terms.ware_dry_days,
        life=edition.life,
        conditioning=edition.conditioning,
        casts_a_day=brief.mold.casts_a_day,
        loads_a_week=kiln.loads_a_week,
        need=_need(case),
        formed=(1 - brief.losses.casting) * (1 - brief.losses.drying),
        cast_min=brief.work.cast_min,
        fettle_min=brief.work.fettle_min,
        finish_min=brief.work.mark_and_pack_min,
        handling_min=kiln.handling_min,
        setup_min=studio.pouring.setup_min,
        prepare_min={"glaze": brief.work.glaze_min, "decorate": brief.work.third_min},
        firings=tuple(
            FiringLimit(
                f.name,
                getattr(terms, f"{f.name}_load"),
                getattr(kiln, f"{f.name}_days"),
                _prepared_by(brief, f.name),
                f.gate,
                1 - getattr(brief.losses, f.name),
            )
            for f in edition.firings
        ),
        parts=tuple(part.name for part in brief.mold.parts),
        part_volumes_l=case.part_volumes_l,
        masters=tuple(part.masters for part in brief.mold.parts),
        largest_mix_l=case.mix.limit_l,
        scale_step_kg=case.mix.step_kg,
        consistency=case.mix.consistency,
        mold_places=studio.drying.mold_places,
        rack=studio.drying.rack,
        at_hand=_at_hand(case),
    )


def _need(case: Case) -> int:
    """Return the pieces that must come: without the proofs where the first casts will not give them all."""
    edition = case.edition
    casts = casts_to_start(case.draws, edition.need, edition.already)
    return edition.need if casts <= edition.first_casts else edition.need - edition.proofs


def _at_hand(case: Case) -> AtHand | None:
    """Return what the book says is there, by labels and dates."""
    standing, already = case.standing, case.edition.already
    if standing is None:
        return None
    days = case.studio.drying.days_low
    names = [f.name for f in case.edition.firings]
    inside = standing.load
    return AtHand(
        molds={
            m.label: (
                m.casts,
                standing.as_of if m.dry else m.ready_from or m.poured + timedelta(days=days),
            )
            for m in standing.molds
        },
        drying=standing.drying,
        dry_passed=1 - case.brief.losses.drying,
        waiting={name: standing.waiting.get(name, 0) for name in names},
        prepared={name: standing.prepared.get(name, 0) for name in names},
        inside=(inside.firing, inside.pieces, inside.since) if inside and already.load else None,
        to_finish=standing.to_finish,
        finished=standing.finished,
        week_loads=standing.week_loads,
        as_of=standing.as_of,
        kiln_free_on=standing.kiln_free_on,
        block_mold_dry=standing.block_mold_made and standing.block_mold_made + timedelta(days=days),
    )


def _preparation(case: Case) -> tuple[tuple[str, int, int], ...]:
    """Return the stages that what is at hand leaves to do, with working days and days of waiting."""
    terms, kiln = case.brief.preparation, case.studio.kiln
    block = block_left(case.brief, case.standing)
    fired = case.brief.firing.ware_dry_days + sum(
        getattr(kiln, f"{firing.name}_days") for firing in case.edition.firings
    )
    steps = {
        "nothing": [("original", terms.original_days, 0)],
        "original": [("block mold", block.days, case.studio.drying.days_low)],
        "block mold": [
            ("test casts", terms.test_casts, fired),
            ("approval", terms.approval_days, 0),
        ],
        "approved": [("masters", terms.masters_days, 0)],
    }
    have = list(steps).index(terms.have) if terms.have in steps else len(steps)
    left = (step for several in list(steps.values())[have:] for step in several)
    return tuple(step for step in left if step[1])


def _prepared_by(brief: Brief, firing: str) -> str | None:
    """Return what hands do to a piece before a firing, if it takes them any time."""
    minutes = {"glaze": brief.work.glaze_min, "third": brief.work.third_min}
    return PREPARING[firing] if minutes.get(firing) else None


def _open_days(case: Case) -> frozenset[date]:
    first = case.calendar.first
    return frozenset(first + timedelta(days=int(n)) for n in case.calendar.open_days)
