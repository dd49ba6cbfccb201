"""The kiln: what is in it, loads to build, the firing log."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.studio.care import KILN, care_here
from pourwright.studio.kiln import (
    MOST_LOADS,
    LoadPieces,
    builds,
    load_pieces,
    loads,
    opened_command,
    uninspected,
)
from pourwright.web.desk import Desk, desk_of, who_asks
from pourwright.web.forms import TypedForm
from pourwright.web.refused import keep_page
from pourwright.web.render import back, page

router = APIRouter()


@router.get("/kiln")
def kiln(request: Request) -> Response:
    """Show what stands in the kiln, what could go in, and what came out."""
    desk = desk_of(request)
    zone = desk.zone.key
    with desk.book.reading() as reading:
        inside, rows = loads(reading, zone)
        ready = builds(reading, desk.folder, desk.today())
        waiting = uninspected(reading)
    return page(
        request,
        "kiln.html",
        title="Kiln",
        here="kiln",
        inside=inside,
        builds=ready,
        waiting=waiting,
        rows=rows,
        has_older=len(rows) >= MOST_LOADS,
        cautions=care_here(desk.folder, KILN, ("bisque", "glaze", "third")),
    )


@router.get("/kiln/{label}")
def load_page(request: Request, label: str) -> Response:
    """Show a closed load piece by piece: all good until one is said to be lost."""
    desk = desk_of(request)
    load = _load(desk, label)
    if not load.is_closed:
        return back("/kiln", f"{label} was opened already.")
    return page(request, "kiln_load.html", typed={}, **_load_shown(desk, load))


@router.post("/kiln/{label}")
def open_load(request: Request, label: str, typed: TypedForm) -> Response:
    """Write down that a load was opened, and what was lost in it."""
    desk = desk_of(request)
    load = _load(desk, label)
    keep_page(request, "kiln_load.html", typed=typed, **_load_shown(desk, load))
    answer = desk.do(opened_command(load, typed), who_asks(request))
    return back("/kiln", answer)


def _load_shown(desk: Desk, load: LoadPieces) -> dict[str, Any]:
    cautions = care_here(desk.folder, KILN, ("bisque", "glaze", "third"))[:1]
    return {"title": f"Opening {load.label}", "here": "kiln", "load": load, "cautions": cautions}


def _load(desk: Desk, label: str) -> LoadPieces:
    with desk.book.reading() as reading:
        load = load_pieces(reading.things, label, desk.zone.key)
    if load is None:
        raise HTTPException(404)
    return load
