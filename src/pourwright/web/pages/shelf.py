"""The shelf: boards with masters and molds standing on them."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.briefs.folder import brief_here
from pourwright.ledger.documents import EditionDoc, MoldDoc
from pourwright.ledger.state.molds import stopped_losing
from pourwright.studio.bench.heat import heat_shown
from pourwright.studio.bench.heat_logs import logs_of_mold
from pourwright.studio.shelf import (
    AT_ONCE,
    boards,
    chances_of,
    drying_of,
    facts_of,
    left_of,
    left_points,
    left_words,
    on_shelf,
    parts_of,
    weighed_of,
    weighings_svg,
)
from pourwright.web.desk import desk_of
from pourwright.web.forms import Form, Shown, hidden
from pourwright.web.kept_fits import consistency_of, fits_now
from pourwright.web.pages.photos import photos_shown
from pourwright.web.pictures import AskedLook, picture
from pourwright.web.render import begin_of, new_id, page

router = APIRouter()


@router.get("/shelf")
def shelf(request: Request) -> Response:
    """Show a board for each edition, with what stands on it."""
    desk, begin = desk_of(request), begin_of(request)
    with desk.book.reading() as reading:
        found = boards(reading, desk.today(), desk.zone.key, begin)
        rest = len(reading.editions) - begin - len(found)
    return page(
        request,
        "shelf.html",
        title="Shelf",
        here="shelf",
        boards=found,
        older=f"/shelf?after={begin + AT_ONCE}" if rest > 0 else "",
        left_points=left_points,
        left_words=left_words,
    )


@router.get("/shelf/{label}")
def mold_page(request: Request, label: str) -> Response:
    """Show one mold: dry or not, casts made and left, parts, weighings."""
    shown = _mold_shown(request, label)
    photos = photos_shown(desk_of(request), shown["mold"].edition, (label,), f"/shelf/{label}")
    return page(request, "mold.html", photos=photos, **shown)


@router.get("/shelf/{label}/weighings.svg")
def weighings_picture(request: Request, label: str, look: AskedLook) -> Response:
    """Draw a mold's weighings and how they go on."""
    drying = _mold_shown(request, label)["drying"]
    if drying.first is None:
        raise HTTPException(404)
    return picture(weighings_svg(label, drying, look.width, look.scheme))


def _mold_shown(request: Request, label: str) -> dict[str, Any]:
    desk = desk_of(request)
    with desk.book.reading() as reading:
        doc = reading.things.get(MoldDoc, label)
        if doc is None:
            raise HTTPException(404)
        edition = reading.things.get(EditionDoc, doc.edition)
        left = left_of(reading.things, doc.edition, label)
        weighed = weighed_of(reading, doc.edition, label)
        logs = logs_of_mold(reading.things, label, consistency_of(desk))
    here = brief_here(desk.folder, doc.edition, desk.today())
    zone = desk.zone.key
    fits = fits_now(desk, logs)
    mold = on_shelf(label, doc, left, desk.today(), zone)
    return {
        "title": label,
        "here": "shelf",
        "mold": mold,
        "facts": facts_of(mold, doc, zone),
        "chances": chances_of(left),
        "left_points": left_points,
        "left_words": left_words,
        "doc": doc,
        "edition": edition,
        "left": left,
        "parts": parts_of(doc),
        "heats": [heat_shown(one, fits[one], desk.units, zone) for one in logs],
        "drying": drying_of(weighed, here, desk.units, zone, stopped=stopped_losing(doc, zone)),
        "weigh": _weigh_form(label),
    }


def _weigh_form(label: str) -> Form:
    fields = (
        hidden("id", new_id()),
        hidden("back", f"/shelf/{label}"),
        hidden("mold", label),
        Shown(
            "mass",
            "What the scale shows",
            kind="code",
            required=True,
            size=10,
            inputmode="decimal",
            hint="Whole, strapped. Such as: 6.4 kg.",
        ),
    )
    return Form(action="/do/weigh", submit=f"Weigh {label}", first=fields)
