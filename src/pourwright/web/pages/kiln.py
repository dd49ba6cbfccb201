"""The kiln: what is in it, loads to build, the firing log."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import Response

from pourwright.studio.care import KILN, care_here
from pourwright.studio.kiln import MOST_LOADS, builds, loads, uninspected
from pourwright.web.desk import desk_of
from pourwright.web.render import page

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
