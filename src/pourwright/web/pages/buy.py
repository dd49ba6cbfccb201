"""What is to be bought for all editions that are worked on."""

from __future__ import annotations

from collections.abc import Sequence

from fastapi import APIRouter, Request
from starlette.responses import Response

from pourwright.plan.plan import Plan
from pourwright.studio.deliveries import (
    ToBuyShown,
    making_here,
    not_counted,
    planned_here,
    there_told,
    to_buy_shown,
)
from pourwright.studio.editions import in_work
from pourwright.studio.plans import NoPlan
from pourwright.web.desk import desk_of
from pourwright.web.render import page

router = APIRouter()

NO_BRIEF = "no brief of it lies in the studio's folder."


@router.get("/buy")
def buy(request: Request) -> Response:
    """Show what to buy, the soonest first, by the plan of each open edition; seconds of work for each."""
    desk = desk_of(request)
    with desk.book.reading() as reading:
        worked_on = in_work(reading)
    plans = [(one.edition, one.name, desk.plan_now(one.edition)) for one in worked_on.docs]
    sound = [(one, name, plan) for one, name, plan in plans if isinstance(plan, Plan)]
    planned = planned_here(desk.folder, sound, desk.today())
    with desk.book.reading() as reading:
        making = making_here(reading, desk.folder, desk.today())
        buys = to_buy_shown(reading.things, planned, making)
        there = there_told(reading, planned, making, desk.units)
    faults = [
        (name, plan.fault if isinstance(plan, NoPlan) else NO_BRIEF)
        for _, name, plan in plans
        if not isinstance(plan, Plan)
    ]
    columns, rows = _told_of(buys)
    return page(
        request,
        "buy.html",
        title="To buy",
        here="buy",
        buys=buys,
        columns=columns,
        rows=rows,
        there=there,
        faults=faults,
        others=worked_on.words,
        not_counted=not_counted(planned),
    )


_Columns = list[tuple[str, str]]


def _told_of(buys: Sequence[ToBuyShown]) -> tuple[_Columns, list[list[str]]]:
    """Return the columns of which any purchase tells something, and its rows in them."""
    columns = [("Buy", "left"), ("First used", "left"), ("For", "left")]
    columns += [("Needed", "right"), ("There", "right")]
    rows = [(one.words, one.first_used, one.names, one.need, one.there) for one in buys]
    told = [at for at in range(len(columns)) if any(row[at] for row in rows)]
    return [columns[at] for at in told], [[row[at] for at in told] for row in rows]
