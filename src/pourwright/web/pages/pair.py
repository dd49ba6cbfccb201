"""Pairing: a phone types the code that the studio's own computer shows."""

from __future__ import annotations

from datetime import timedelta
from io import BytesIO
from typing import Any

import segno
from fastapi import APIRouter, Request
from starlette.responses import Response

from pourwright.errors import BadInput
from pourwright.web.desk import Desk, desk_of
from pourwright.web.devices import LONGEST_NAME, WHOLE_END
from pourwright.web.door import COOKIE
from pourwright.web.forms import Form, Shown, Typed, TypedForm, filled
from pourwright.web.pairing import spaced
from pourwright.web.refused import keep_page
from pourwright.web.render import back, page

router = APIRouter()


@router.get("/pair")
def pair_form(request: Request) -> Response:
    """Ask for the code; the address that the picture leads to holds it already."""
    return page(request, "pair.html", **_pair_shown(dict(request.query_params)))


@router.post("/pair")
def pair(request: Request, typed: TypedForm) -> Response:
    """Let a phone in that types the code."""
    desk = desk_of(request)
    keep_page(request, "pair.html", **_pair_shown(typed))
    name = str(typed.get("name", ""))[:LONGEST_NAME].strip()
    if not name.isprintable():
        raise BadInput.one(
            "name", "not readable", "write it in plain letters, such as wheel room phone"
        )
    desk.pairing.redeem(str(typed.get("code", "")), desk.clock.now())
    token = desk.devices.pair(name or "a phone", desk.clock.now())
    answer = back("/", "This phone is paired with the studio.")
    answer.set_cookie(
        COOKIE,
        token,
        max_age=int(WHOLE_END.total_seconds()),
        httponly=True,
        samesite="lax",
        secure=request.url.scheme == "https",
    )
    return answer


@router.get("/settings/devices")
def devices(request: Request) -> Response:
    """Show who is paired; on the studio's own computer, the code too."""
    desk, now = desk_of(request), desk_of(request).clock.now()
    offered = desk.pairing.shown(now) if request.state.who.is_here else None
    code, ends = offered or ("", now)
    return page(
        request,
        "devices.html",
        title="Phones",
        here="phones",
        devices=desk.devices.all(now),
        code=spaced(code) if code else "",
        ends=ends.astimezone(desk.zone),
        address=address_of(desk),
        idle_days=30,
        whole_days=WHOLE_END // timedelta(days=1),
    )


@router.post("/settings/devices/code")
def offer_code(request: Request) -> Response:
    """Make a new code; the one before is good no longer."""
    desk = desk_of(request)
    desk.pairing.offer(desk.clock.now())
    return back("/settings/devices#code")


@router.post("/settings/devices/end")
def end_device(request: Request, typed: TypedForm) -> Response:
    """Turn a device away, from its next request on."""
    desk = desk_of(request)
    name = desk.devices.end(str(typed.get("device", "")), desk.clock.now())
    said = f"{name} is turned away." if name else "There is no such device, or no longer."
    return back("/settings/devices", said)


@router.get("/settings/devices/qr.svg")
def code_picture(request: Request) -> Response:
    """Draw the address of the pairing page, with the code in it, for a phone's camera."""
    desk = desk_of(request)
    offered = desk.pairing.shown(desk.clock.now())
    if offered is None:
        return Response("No code is good now.", 404, media_type="text/plain")
    drawn = BytesIO()
    code = segno.make_qr(f"{address_of(desk)}/pair?code={offered[0]}", error="m")
    code.save(drawn, kind="svg", scale=6, border=4, light="#ffffff", dark="#000000")
    return Response(drawn.getvalue(), media_type="image/svg+xml")


def address_of(desk: Desk) -> str:
    """Return the address that a phone opens."""
    name = desk.names[0] if desk.names else "localhost"
    return f"http://{name}:{desk.port}" if desk.port != 80 else f"http://{name}"


def _pair_shown(typed: Typed) -> dict[str, Any]:
    fields = (
        Shown(
            "code",
            "Code",
            kind="code",
            required=True,
            size=10,
            hint="Eight characters, shown on the studio's computer under Phones.",
        ),
        Shown(
            "name",
            "What this phone is called",
            size=24,
            hint="It stands beside what is written down here. Such as: wheel room phone.",
        ),
    )
    form = Form(
        action="/pair",
        submit="Pair this phone",
        first=filled(fields, typed),
        is_ruled=True,
    )
    return {"title": "Pair this phone", "form": form}
