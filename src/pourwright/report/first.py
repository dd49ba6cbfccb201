"""What a maker looks at first: this week's work, the next pour in weights, what to buy, what to settle."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import groupby

from pourwright.plan.plan import Plan, PourSession
from pourwright.report.blocks import Block, FactRow, Facts, Section, Week, Weeks
from pourwright.report.buying import bought
from pourwright.report.calendar import days_in_words
from pourwright.report.odds import percent
from pourwright.report.plaster import batch_weights
from pourwright.report.saying import Say, count, sentence


def first_words(plan: Plan) -> Section:
    """Return the week ahead, and what it takes."""
    say = Say.of(plan)
    week = _week(plan)
    blocks: list[Block] = [Weeks(_week_name(plan), (week,))] if week.rows else []
    need = (
        *_next_pour(plan, say),
        *_to_buy(plan, say),
        *_to_be_ready_for(plan),
        *_to_settle(plan),
    )
    if need:
        blocks.append(Facts(need))
    return Section("first", "The work ahead", tuple(blocks))


def _week_name(plan: Plan) -> str:
    """Return what the week is called: the next seven days, or a later one in which work begins."""
    soon = (_first_busy(plan) - plan.as_of).days < 7
    return "The next seven days" if soon else "The first week of work"


def _week(plan: Plan) -> Week:
    """Return what is done in the seven days from the first on which something is."""
    first = _first_busy(plan)
    say = Say.of(plan)
    days = days_in_words(plan, first, first + timedelta(days=6))
    return Week(say.span(first, first + timedelta(days=6)), days)


def _first_busy(plan: Plan) -> date:
    """Return the first day on which something is done."""
    busy = (entry.date for entry in plan.calendar if entry.doing and entry.date >= plan.as_of)
    return next(busy, plan.as_of)


def _next_pour(plan: Plan, say: Say) -> tuple[FactRow, ...]:
    """Return the next session's batches in weights, equal ones told once."""
    session, block = _next_session(plan), plan.plaster.block_mold
    if block is not None and block.date >= plan.as_of:
        weights = batch_weights(block.batches, plan.plaster, say)
        return (("Next pour", f"{say.day(block.date)}, the block mold", weights),)
    if session is None:
        return ()
    batches = [one for one in plan.plaster.batches if one.session == session.number]
    weights = batch_weights(batches, plan.plaster, say)
    molds = count(session.molds, "mold")
    if len(batches) != session.molds:
        molds += f" in {count(len(batches), 'batch', 'batches')}"
    return (("Next pour", f"{say.day(session.date)}, {molds}", weights),)


def _next_session(plan: Plan) -> PourSession | None:
    return next((one for one in plan.plaster.session_list if one.date >= plan.as_of), None)


def _to_buy(plan: Plan, say: Say) -> tuple[FactRow, ...]:
    """Return what to buy for the next two weeks of work, and until when the rest may wait."""
    buys = [one for one in plan.to_buy if one.count]
    if not buys:
        return ()
    soon = max(buys[0].by, _first_busy(plan) + timedelta(days=14))
    now = [one for one in buys if one.by <= soon]
    later = buys[len(now) :]
    rows = [
        (
            "To buy",
            "; ".join(bought(one, say) for one in alike),
            f"first used on {say.day(day, weekday=False)}",
        )
        for day, alike in groupby(now, key=lambda one: one.by)
    ]
    if later:
        wait = ", ".join(f"{one.what} by {say.day_in_week(one.by)}" for one in later)
        rows.append(("Buy later", wait, "more under To buy"))
    return tuple(rows)


def _to_be_ready_for(plan: Plan) -> tuple[FactRow, ...]:
    """Return molds that wear out sooner than hoped may have to be followed by others."""
    return tuple(
        (
            "Be ready for",
            count(one.molds, "mold more", "molds more"),
            f"in about {percent(one.chance_needed)} of all cases the first break or wear out early",
        )
        for one in plan.odds.replacements
        if plan.answer.molds_poured <= plan.answer.molds
    )


_BY_TEST_CASTS = "preparation.have"
_WITHOUT_MOLDS = ("losses.glaze",)
"""What else can be settled while no mold is there yet."""


def _to_settle(plan: Plan) -> tuple[FactRow, ...]:
    """Return what to test next: what the date depends on most, of what can be tested by now."""
    pour = plan.answer.first_pour
    ahead = pour is not None and pour > plan.as_of
    none_there = ahead and (plan.book is None or not plan.book.molds)
    judged = _judged(plan)
    for risk in plan.odds.risks:
        if risk.field == _BY_TEST_CASTS and judged is not None:
            until = f"the masters wait for it; judged by {Say.of(plan).day_in_week(judged)}"
            return (("Settle next", "How the test casts come out", until),)
        if risk.field != _BY_TEST_CASTS and (risk.field in _WITHOUT_MOLDS or not none_there):
            until = (
                f"; best before the next pour, {Say.of(plan).day_in_week(pour)}"
                if ahead and pour
                else ""
            )
            return (("Settle next", sentence(risk.what)[:-1], f"{risk.measure}{until}"),)
    return ()


def _judged(plan: Plan) -> date | None:
    """Return the day by which the test casts are judged, None where none are ahead."""
    ends = {stage.name: stage.ends for stage in plan.stages}
    return ends.get("approval") if "test casts" in ends else None
