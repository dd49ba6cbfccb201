"""What a maker looks at first: the next pour in weights, this week's work, what to buy, what to settle."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import groupby

from pourwright.plan.plan import Plan
from pourwright.report.blocks import FactRow, Facts, Week, Weeks
from pourwright.report.buying import bought
from pourwright.report.calendar import days_in_words
from pourwright.report.plaster import batches_on, mixed, weighed_on
from pourwright.report.saying import Say, count, sentence


def week_ahead(plan: Plan) -> tuple[Weeks, ...]:
    """Return the work of the week ahead, nothing where none is left."""
    week = _week(plan)
    return (Weeks(_week_name(plan), (week,)),) if week.rows else ()


def to_see_to(plan: Plan) -> tuple[Facts, ...]:
    """Return what to buy and what to settle, nothing where there is no such thing."""
    rows = (*_to_buy(plan, Say.of(plan)), *_to_settle(plan))
    return (Facts(rows),) if rows else ()


def _week_name(plan: Plan) -> str:
    """Return what the week is called: the next seven days, or a later one in which work begins."""
    soon = (_first_busy(plan) - plan.as_of).days < 7
    return "The next seven days" if soon else "The first week of work"


def _week(plan: Plan) -> Week:
    """Return what is done in the seven days from the first on which something is."""
    first, last = _first_busy(plan), _week_ends(plan)
    return Week(Say.of(plan).span(first, last), days_in_words(plan, first, last))


def _week_ends(plan: Plan) -> date:
    """Return the last day of the week ahead."""
    return _first_busy(plan) + timedelta(days=6)


def _first_busy(plan: Plan) -> date:
    """Return the first day on which something is done."""
    busy = (entry.date for entry in plan.calendar if entry.doing and entry.date >= plan.as_of)
    return next(busy, plan.as_of)


def next_pour(plan: Plan) -> tuple[FactRow, ...]:
    """Return what is weighed at the next pour after the week ahead, nothing where that week has one of molds."""
    say, day = Say.of(plan), _next_pour_day(plan)
    if day is None:
        return ()
    return (("Next pour", say.day_in_week(day), weighed_on(plan, day) + _and_then(plan, day)),)


def _and_then(plan: Plan, day: date) -> str:
    """Return how many batches follow on the next days of pouring molds, to stand behind those of the first."""
    days = sorted({one.date for one in plan.plaster.session_list if one.date >= day})
    if len(days) == 1 or days[:1] != [day]:
        return ""
    soon = [one for one in days[1:] if one <= day + timedelta(days=6)] or days[1:2]
    first, *others = (batches_on(plan, one) for one in (day, *soon))
    then = [one for batches in others for one in batches]
    kinds = {(one.water_kg / one.mixes, one.plaster_kg / one.mixes) for one in (*first, *then)}
    more = f"{mixed(then)} more" if len(kinds) == 1 else count(mixed(then), "batch", "batches")
    return f", and {more} {'on' if len(soon) == 1 else 'by'} {Say.of(plan).day_in_week(soon[-1])}"


def _next_pour_day(plan: Plan) -> date | None:
    """Return the first day after the week ahead on which plaster is poured, None if molds are poured within it."""
    block, sessions = plan.plaster.block_mold, [one.date for one in plan.plaster.session_list]
    if any(plan.as_of <= day <= _week_ends(plan) for day in sessions):
        return None
    days = sessions + ([one.date for one in block.batches] if block is not None else [])
    return min((day for day in days if day > _week_ends(plan)), default=None)


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
            f"first used on {say.day_in_week(day)}",
        )
        for day, alike in groupby(now, key=lambda one: one.by)
    ]
    if later:
        wait = ", ".join(f"{one.what} by {say.day_in_week(one.by)}" for one in later)
        rows.append(("Buy later", wait, ""))
    return tuple(rows)


_BY_TEST_CASTS = "preparation.have"
_BY_A_LOAD = "losses.glaze"
"""What is settled by a glaze load: that of the test casts, while no mold is there yet."""


def _to_settle(plan: Plan) -> tuple[FactRow, ...]:
    """Return what to test next: what the date depends on most, of what can be tested by now."""
    pour = plan.answer.first_pour
    ahead = pour is not None and pour > plan.as_of
    none_there = ahead and (plan.book is None or not plan.book.molds)
    judged = _judged(plan)
    for risk in plan.odds.risks:
        if not round(risk.days):
            continue
        if risk.field == _BY_TEST_CASTS and judged is not None:
            until = f"the masters wait; judged by {Say.of(plan).day_in_week(judged)}"
            return (("Settle next", "How the test casts come out", until),)
        by_a_load = risk.field == _BY_A_LOAD
        if risk.field != _BY_TEST_CASTS and (not none_there or (by_a_load and judged)):
            until = (
                f"; best before the next pour, {Say.of(plan).day_in_week(pour)}"
                if ahead and pour and (judged or not by_a_load)
                else ""
            )
            return (("Settle next", sentence(risk.what)[:-1], f"{risk.measure}{until}"),)
    return ()


def _judged(plan: Plan) -> date | None:
    """Return the day by which the test casts are judged, None where none are ahead."""
    ends = {stage.name: stage.ends for stage in plan.stages}
    return ends.get("approval") if "test casts" in ends else None
