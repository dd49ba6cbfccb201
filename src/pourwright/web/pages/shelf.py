"""The shelf: boards with masters and molds standing on them."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from msgspec.structs import replace
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.briefs.folder import brief_here
from pourwright.errors import BadInput
from pourwright.ledger.documents import EditionDoc, MoldDoc
from pourwright.ledger.state.molds import stopped_losing
from pourwright.studio.bench.heat import heat_shown
from pourwright.studio.bench.heat_logs import logs_of_mold
from pourwright.studio.bench.slip import stands_in
from pourwright.studio.photos import wear_photos
from pourwright.studio.records import last_written, noted_of
from pourwright.studio.shelf import (
    AT_ONCE,
    WRITTEN_OF_A_MOLD,
    OnScale,
    boards,
    chances_of,
    drying_of,
    facts_of,
    left_of,
    left_points,
    left_words,
    on_scale,
    on_shelf,
    parts_of,
    weighed_dry_kg,
    weighed_of,
    weighings_drawn,
)
from pourwright.web.desk import desk_of, who_asks
from pourwright.web.forms import Typed, TypedForm, with_units
from pourwright.web.kept_fits import consistency_of, fits_now
from pourwright.web.pages.photos import photos_shown
from pourwright.web.refused import keep_page
from pourwright.web.render import back, begin_of, page

router = APIRouter()


@router.get("/shelf")
def shelf(request: Request) -> Response:
    """Show a board for each edition, with what stands on it."""
    desk, begin = desk_of(request), begin_of(request)
    with desk.book.reading() as reading:
        found = boards(reading, desk.now(), begin)
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


def _mold_shown(request: Request, label: str) -> dict[str, Any]:
    desk = desk_of(request)
    with desk.book.reading() as reading:
        doc = reading.things.get(MoldDoc, label)
        if doc is None:
            raise HTTPException(404)
        edition = reading.things.get(EditionDoc, doc.edition)
        stopped = stopped_losing(reading.things, doc, desk.zone.key)
        left = left_of(reading.things, doc.edition, label)
        stands = stands_in(reading.things, doc.edition, desk.now()).get(label, "")
        weighed = weighed_of(reading, doc.edition, label, desk.zone.key)
        wear = wear_photos(reading.things, doc.edition, label, desk.zone.key)
        last = last_written(reading, label, doc.edition, WRITTEN_OF_A_MOLD, desk.zone.key)
        noted = noted_of(reading, doc.edition, desk.now()).get(label, "")
        logs = logs_of_mold(reading.things, label, consistency_of(desk))
        another = weighed_dry_kg(reading.things, doc.edition, desk.zone.key)
    here = brief_here(desk.folder, doc.edition, desk.today())
    zone, studio = desk.zone.key, desk.studio
    fits = fits_now(desk, logs)
    mold = on_shelf(label, doc, left, desk.now(), stands)
    drying = drying_of(weighed, here, desk.units, zone, stopped=stopped, another_kg=another)
    return {
        "title": label,
        "here": "shelf",
        "mold": mold,
        "facts": facts_of(mold, doc, zone),
        "last": last,
        "noted": noted,
        "chances": chances_of(left),
        "left_points": left_points,
        "left_words": left_words,
        "doc": doc,
        "edition": edition,
        "left": left,
        "wear": wear,
        "parts": parts_of(doc),
        "of_batch": [one.mold for one in logs if one.mold not in ("", label)],
        "heats": [heat_shown(one, fits[one], desk.units, zone, studio) for one in logs],
        "drying": drying,
        "weighings": weighings_drawn(drying),
    }


# --- a mold on the scale


@router.get("/shelf/{label}/weigh")
def weigh_page(request: Request, label: str) -> Response:
    """Ask what the scale shows; a mass in the address is told what it means."""
    typed = with_units(dict(request.query_params))
    return page(request, "weigh.html", **_weigh_shown(request, label, typed))


@router.post("/shelf/{label}/weigh")
def weigh(request: Request, label: str, typed: TypedForm) -> Response:
    """Write down what a mold weighs, and go on to the next one that waits, after the last to Today."""
    if "meant" in typed:  # the answer to a figure that was far off
        typed = {**typed, "mass": typed["meant"]}
    shown = _weigh_shown(request, label, typed)
    keep_page(request, "weigh.html", typed=typed, **shown)
    scale: OnScale = shown["scale"]
    if not typed.get("mass"):
        raise BadInput.one("mass", None, "write what the scale shows, such as 6.12 kg")
    command = {name: typed[name] for name in ("id", "mass", "go_on") if typed.get(name)}
    answer = desk_of(request).do({"do": "weigh", "mold": label, **command}, who_asks(request))
    said = replace(answer, said=f"{answer.said} {scale.says}".rstrip())
    return back(f"/shelf/{scale.after[0]}/weigh" if scale.after else "/", said)


def _weigh_shown(request: Request, label: str, typed: Typed) -> dict[str, Any]:
    desk = desk_of(request)
    mass = str(typed.get("mass", ""))
    with desk.book.reading() as reading:
        scale = on_scale(reading, desk.folder, label, mass, desk.units, desk.now())
    if scale is None:
        raise HTTPException(404)
    return {
        "title": f"Weigh {label}",
        "here": "shelf",
        "scale": scale,
        "mass": mass,
        "weighings": weighings_drawn(scale.then, is_low=True),
    }
