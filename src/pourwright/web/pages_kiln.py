"""The kiln: what is in it, loads to build, the firing log."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import Response

from pourwright.web.desk import desk_of
from pourwright.web.render import page

router = APIRouter()


@router.get("/kiln")
def kiln(request: Request) -> Response:
    """Show what stands in the kiln, what could go in, and what came out."""
    from pourwright.actions.kiln_now import MOST_LOADS, builds, kiln_cautions, loads
    from pourwright.actions.own_care import OWN_TITLE, own_care

    desk = desk_of(request)
    zone = desk.zone.key
    with desk.book.reading() as reading:
        inside, rows = loads(reading, zone)
        ready = builds(reading, desk.folder, desk.today())
    return page(
        request, "kiln.html", title="Kiln", here="kiln", inside=inside, builds=ready, rows=rows,
        has_older=len(rows) >= MOST_LOADS, cautions=kiln_cautions(),
        own=[text for work, text in own_care(desk.folder).items() if text and work in ("bisque", "glaze", "third")],
        own_title=OWN_TITLE,
    )  # fmt: skip
