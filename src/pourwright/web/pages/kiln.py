"""The kiln: what is in it, loads to build, the firing log."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.errors import Refused
from pourwright.ledger.documents import EditionDoc
from pourwright.studio.care import KILN, care_here
from pourwright.studio.kiln import (
    MOST_DRAWN,
    MOST_LOADS,
    LoadPieces,
    all_good,
    all_lost,
    builds,
    count_good,
    count_in,
    fired_pieces,
    first_to_do,
    hot_until,
    load_pieces,
    loads,
    pieces_command,
    uninspected,
    witness_cones,
)
from pourwright.web.desk import Desk, desk_of, who_asks
from pourwright.web.forms import Typed, TypedForm
from pourwright.web.refused import keep_page
from pourwright.web.render import back, new_id, page

router = APIRouter()


@router.get("/kiln")
def kiln(request: Request) -> Response:
    """Show what stands in the kiln, what could go in, and what came out."""
    desk = desk_of(request)
    with desk.book.reading() as reading:
        now = loads(reading, desk.today(), desk.zone.key, desk.studio)
        ready = builds(reading, desk.folder, desk.today())
        waiting = uninspected(reading)
    return page(
        request,
        "kiln.html",
        title="Kiln",
        here="kiln",
        inside=now.inside,
        late=now.late,
        again=now.again,
        last=now.last,
        closed=now.closed,
        builds=ready,
        waiting=waiting,
        now=first_to_do(now.inside, ready, waiting),
        log=now.log,
        drawn=MOST_DRAWN,
        has_older=len(now.log) >= MOST_LOADS,
        cautions=care_here(desk.folder, KILN, ("bisque", "glaze", "third")),
    )


@router.get("/kiln/{label}")
def load_page(request: Request, label: str) -> Response:
    """Show a closed load piece by piece: all good until one is said to be lost."""
    desk = desk_of(request)
    load = _load(desk, label)
    if not load.is_closed:
        return back("/kiln", load.words)
    return page(request, "kiln_load.html", typed={}, **_shown(desk, load, f"Opening {label}"))


@router.post("/kiln/{label}")
def open_load(request: Request, label: str, typed: TypedForm) -> Response:
    """Write down that a load was opened, and what was lost in it."""
    desk = desk_of(request)
    load = _load(desk, label)
    if not load.is_closed:
        return back("/kiln", load.words)
    return _written(request, load, typed, _shown(desk, load, f"Opening {label}"))


@router.post("/kiln/{label}/late")
def late(request: Request, label: str, typed: TypedForm) -> Response:
    """Count in what was seen lost after a load was written down, or take it back: it is good."""
    with desk_of(request).book.reading() as reading:
        told = count_in(reading, label)
        taken_back = all_good(reading, label) if typed.get("good") else []
    if told is None:
        return back("/kiln", f"Nothing of {label} waits to be counted.")
    return _settled(request, typed, label, told, taken_back)


@router.post("/kiln/{label}/again")
def good_again(request: Request, label: str, typed: TypedForm) -> Response:
    """Count as good what was seen good after a load was written down, or keep it lost."""
    with desk_of(request).book.reading() as reading:
        told = count_good(reading, label)
        kept = all_lost(reading, label) if typed.get("lost") else []
    if told is None:
        return back("/kiln", f"Nothing of {label} was taken back.")
    return _settled(request, typed, label, told, kept)


def _settled(
    request: Request,
    typed: Typed,
    label: str,
    told: dict[str, object],
    stays: list[dict[str, object]],
) -> Response:
    """Write the correction of a load down, or in its place what leaves the load as it was written."""
    desk, who, given = desk_of(request), who_asks(request), str(typed.get("id") or new_id())
    for n, command in enumerate(stays):
        desk.do({**command, "id": f"{given}-{n}"}, who)
    if stays:
        return back("/kiln", f"{label} stays as it was written down.")
    try:
        answer = desk.do({**told, "id": given}, who)
    except Refused as refused:  # the ware went on since; what stands against it is told
        return back("/kiln", str(refused))
    return back("/kiln", answer, may_undo=True)


@router.get("/kiln/inspect/{edition}")
def inspect_page(request: Request, edition: str) -> Response:
    """Show the fired ware of an edition piece by piece, to be inspected."""
    desk = desk_of(request)
    ware = _fired(desk, edition)
    if ware is None:
        return back("/kiln", "Nothing waits to be inspected.")
    return page(request, "kiln_load.html", typed={}, **_shown(desk, ware, f"Inspect {ware.name}"))


@router.post("/kiln/inspect/{edition}")
def inspect(request: Request, edition: str, typed: TypedForm) -> Response:
    """Write down what was found good, and what was lost."""
    desk = desk_of(request)
    ware = _fired(desk, edition)
    if ware is None:
        return back("/kiln", "Nothing waits to be inspected.")
    return _written(request, ware, typed, _shown(desk, ware, f"Inspect {ware.name}"))


def _written(request: Request, ware: LoadPieces, typed: Typed, shown: dict[str, Any]) -> Response:
    keep_page(request, "kiln_load.html", typed=typed, **shown)
    answer = desk_of(request).do(pieces_command(ware, typed), who_asks(request))
    return back("/kiln", answer)


def _shown(desk: Desk, ware: LoadPieces, title: str) -> dict[str, Any]:
    # what is opened was fired: damp ware bursts in a bisque
    cautions = care_here(desk.folder, KILN[:1], ()) if ware.firing == "bisque" else []
    cones = witness_cones(desk.folder, ware, desk.today()) if ware.firing else ()
    hot = hot_until(ware, desk.today(), desk.zone.key, desk.studio)
    return {
        "title": title,
        "here": "kiln",
        "load": ware,
        "hot_until": hot,
        "cautions": cautions,
        "cones": cones,
    }


def _fired(desk: Desk, edition: str) -> LoadPieces | None:
    with desk.book.reading() as reading:
        if reading.things.get(EditionDoc, edition) is None:
            raise HTTPException(404)
        return fired_pieces(reading.things, edition)


def _load(desk: Desk, label: str) -> LoadPieces:
    with desk.book.reading() as reading:
        load = load_pieces(reading.things, label, desk.zone.key)
    if load is None:
        raise HTTPException(404)
    return load
