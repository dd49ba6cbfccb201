"""Slip, glaze, clay, plaster and rubber: lots, readings, and what goes in to change one."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from msgspec.structs import asdict
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.ledger.kinds.table import kind_of
from pourwright.quantities import show
from pourwright.studio.deliveries import LeftOfLot, left_of_plaster, making_here
from pourwright.studio.lots import AT_ONCE, READ, adjustment, lot_shown, lots
from pourwright.web.desk import Desk, desk_of
from pourwright.web.forms import Form, Shown, filled, hidden, measured, verb_fields, with_units
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
    return page(
        request,
        "lots.html",
        title="Slip, glaze, clay",
        here="lots",
        groups=found,
        read=READ,
        at_once=AT_ONCE,
    )


@router.get("/lots/{label}")
def lot(request: Request, label: str) -> Response:
    """Show one lot; told how much there is, work out what goes in to bring it to its weight."""
    desk = desk_of(request)
    with desk.book.reading() as reading:
        found = lot_shown(reading, label, desk.zone.key)
        making = making_here(reading, desk.folder, desk.today())
        left = left_of_plaster(reading, label, making)
    if found is None:
        raise HTTPException(404)
    names = ("volume", "target")
    told = with_units(request.query_params)
    typed = {one: text for one in names if (text := str(told.get(one, "")).strip())}
    shown: dict[str, Any] = {
        "title": label,
        "here": "lots",
        "is_read": found.lot.what in READ,
        "left": left.left_kg / left.held_kg if left and left.held_kg else None,
        "left_words": _left_words(left, found.held, desk.units),
        "form": _reading_form(label, desk.units),
        "adjust": _adjust_form(desk, label, typed),
        "sections": (),
        **asdict(found),
        "photos": photos_shown(desk, "studio", (label,), f"/lots/{label}"),
    }
    keep_page(request, "lot.html", typed=typed, **shown)
    if typed:
        path = desk.folder / "studio.toml"
        studio = path if desk.studio is not None else None
        shown["sections"] = adjustment(label, found.weight, typed, desk.units, desk.today(), studio)
    return page(request, "lot.html", **shown)


def _left_words(left: LeftOfLot | None, held: str, units: str) -> str:
    if left is None:
        return ""
    return f"About {show(left.left_kg, 'mass', units)} of {held} left after its molds"


_READ = ("liter_weight", "flow", "temperature")


def _reading_form(label: str, units: str) -> Form:
    asked, _ = verb_fields(kind_of("read-lot"), (), units)
    fields = (
        hidden("id", new_id()),
        hidden("back", f"/lots/{label}"),
        hidden("lot", label),
        *(one for one in asked if one.name in _READ),
    )
    return Form(action="/do/read-lot", submit="Write the reading down", first=fields)


def _adjust_form(desk: Desk, label: str, typed: dict[str, str]) -> Form:
    us = desk.units == "us"
    own = "Empty means the studio file's." if desk.studio is not None else ""
    fields = (
        measured(
            Shown("volume", "Amount", kind="code", need=""),
            "volume",
            "3 US gal" if us else "10 l",
            desk.units,
        ),
        Shown(
            "target",
            "Liter weight wanted",
            kind="code",
            size=12,
            need="",
            hint=f"Such as: {'29.7 oz/US pint' if us else '1780 g/l'}. {own}",
        ),
    )
    return Form(action=f"/lots/{label}", submit="What goes in", first=filled(fields, typed))
