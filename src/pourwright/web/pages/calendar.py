"""The calendar to subscribe to: a secret address, made and ended on the studio's own computer."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.plan.plan import Plan
from pourwright.studio.editions import in_work
from pourwright.web.desk import Desk, desk_of
from pourwright.web.pages.pair import address_of
from pourwright.web.render import back, page

router = APIRouter()


@router.get("/settings/calendar")
def calendar_page(request: Request) -> Response:
    """Show whether a calendar can be subscribed to, and since when."""
    desk = desk_of(request)
    made = desk.feed.made()
    return page(
        request,
        "calendar.html",
        title="Calendar",
        here="settings",
        made=made.astimezone(desk.zone) if made else None,
    )


@router.post("/settings/calendar/make")
def make_address(request: Request) -> Response:
    """Make a new address; the one before is good no longer. It is shown once."""
    desk = desk_of(request)
    token = desk.feed.open(desk.clock.now())
    address = f"{address_of(desk)}/calendar/{token}.ics"
    return back("/settings/calendar", f"Subscribe to {address} now: it is not shown again.")


@router.post("/settings/calendar/end")
def end_address(request: Request) -> Response:
    """Have the address be good no longer."""
    desk_of(request).feed.end()
    return back("/settings/calendar", "The address is good no longer.")


@router.get("/calendar/{token}.ics")
def feed(request: Request, token: str) -> Response:
    """Answer with the milestones of all open editions to whoever has the address."""
    desk = desk_of(request)
    if not desk.feed.is_good(token):
        raise HTTPException(404)
    text = desk.feed.calendar(desk.name, list(_plans(desk)), desk.clock.now())
    return Response(text.encode(), media_type="text/calendar; charset=utf-8")


def _plans(desk: Desk) -> list[Plan]:
    """Return the plans of the open editions that can be planned."""
    with desk.book.reading() as reading:
        editions = [one.edition for one in in_work(reading).docs]
    plans = (desk.plan_now(one) for one in editions)
    return [one for one in plans if isinstance(one, Plan)]
