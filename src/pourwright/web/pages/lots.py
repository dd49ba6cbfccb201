"""Slip, glaze, clay, plaster and rubber: lots, readings, and what goes in to change one."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from msgspec.structs import asdict
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.studio.lots import AT_ONCE, READ, adjustment, lot_shown, lots
from pourwright.web.desk import Desk, desk_of
from pourwright.web.forms import Form, Shown, filled, marked
from pourwright.web.pages.photos import photos_shown
from pourwright.web.refused import keep_page
from pourwright.web.render import new_id, page

router = APIRouter()


@router.get("/lots")
def all_lots(request: Request) -> Response:
    """Show every lot, by what it is."""
    desk = desk_of(request)
    with desk.book.reading() as reading:
        found = lots(reading, desk.zone.key)
    return page(request, "lots.html", title="Slip, glaze, clay", here="lots", groups=found, read=READ, at_once=AT_ONCE)  # fmt: skip


@router.get("/lots/{label}")
def lot(request: Request, label: str) -> Response:
    """Show one lot; told how much there is, work out what goes in to bring it to its weight."""
    desk = desk_of(request)
    with desk.book.reading() as reading:
        found = lot_shown(reading, label, desk.zone.key)
    if found is None:
        raise HTTPException(404)
    names = ("volume", "target")
    typed = {one: text for one in names if (text := request.query_params.get(one, "").strip())}
    shown: dict[str, Any] = {
        "title": label, "here": "lots", "is_read": found.lot.what in READ, "form": _reading_form(label),
        "adjust": _adjust_form(desk, label, typed), "marked": marked, "sections": (), **asdict(found),
        "photos": photos_shown(desk, "studio", (label,), f"/lots/{label}"),
    }  # fmt: skip
    keep_page(request, "lot.html", typed=typed, **shown)
    if typed:
        path = desk.folder / "studio.toml"
        studio = path if desk.studio is not None else None
        shown["sections"] = adjustment(label, found.weight, typed, desk.units, desk.today(), studio)  # fmt: skip
    return page(request, "lot.html", **shown)


def _reading_form(label: str) -> Form:
    fields = (
        Shown(name="id", label="", kind="hidden", value=new_id()),
        Shown(name="back", label="", kind="hidden", value=f"/lots/{label}"),
        Shown(name="lot", label="", kind="hidden", value=label),
        Shown(name="liter_weight", label="What a liter weighs", kind="code", size=12, hint="Or a pint. Such as: 1750 g/l."),
        Shown(name="flow", label="The cup runs", kind="code", size=12, hint="Such as: 42 s."),
        Shown(name="temperature", label="Its temperature", kind="code", size=12, hint="Such as: 20 C."),
    )  # fmt: skip
    return Form(action="/do/read-lot", submit=f"Write the reading of {label} down", first=fields)


def _adjust_form(desk: Desk, label: str, typed: dict[str, str]) -> Form:
    us = desk.units == "us"
    own = "Empty means the studio file's." if desk.studio is not None else ""
    fields = (
        Shown(
            name="volume", label="How much there is", kind="code", size=12, need="",
            hint=f"Such as: {'3 US gal' if us else '10 l'}.",
        ),
        Shown(
            name="target", label="What it should weigh", kind="code", size=12, need="",
            hint=f"Such as: {'29.7 oz/US pint' if us else '1780 g/l'}. {own}",
        ),
    )  # fmt: skip
    return Form(action=f"/lots/{label}", submit="What goes in", first=filled(fields, typed))
