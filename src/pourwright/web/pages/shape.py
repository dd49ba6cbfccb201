"""The shape of an edition: what it tells, its pictures, and the model that turns."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.ledger.documents import EditionDoc
from pourwright.report.shape import part_weights, shape_facts, shape_sections, shape_verdict
from pourwright.shape.records import Shape
from pourwright.studio.shape import MODEL, OPENED, THREE_SIDES, ShapeHere, shape_here, shape_picture
from pourwright.web.desk import Desk, desk_of
from pourwright.web.render import page

router = APIRouter()

PARTS, DRAFT, WALL = "part", "draft", "wall"
"""What the model can be colored by, in the order of its bytes for each triangle."""

DRAFTS = (
    ("draft-free", "comes off freely"),
    ("draft-little", "leans 1° to 3°"),
    ("draft-least", "leans under 1°: drags"),
    ("draft-held", "holds"),
)
WALLS = (("wall-told", "the wall"), ("wall-thick", "thicker"), ("wall-solid", "casts solid"))
POURED = ("poured", "slip is poured here")
MOST_TINTS = 6
"""Parts that have a tint each; no way to part a mold has more."""


@router.get("/editions/{edition}/shape")
def shape_page(request: Request, edition: str) -> Response:
    """Show what the model of an edition's piece tells, and the mold opened."""
    desk = desk_of(request)
    name = _name(desk, edition)
    here = shape_here(desk.folder, edition, desk.today())
    shape, units = here.shape, desk.units
    return page(
        request,
        "shape.html",
        title=f"Shape of {name}",
        here="editions",
        edition=edition,
        name=name,
        found=here,
        verdict=shape_verdict(shape, units) if shape else "",
        weights=part_weights(shape, units) if shape and shape.mold else (),
        facts=shape_facts(shape, units) if shape else (),
        sections=shape_sections(shape, units) if shape else (),
        turning=_turning(shape, edition) if shape and MODEL in here.pictures else None,
        stills=_stills(here),
    )


@router.get("/editions/{edition}/shape/{picture}")
def give_picture(request: Request, edition: str, picture: str) -> Response:
    """Give a picture of the shape, or the model that turns, if it is there as it was written."""
    desk = desk_of(request)
    _name(desk, edition)
    data = shape_picture(desk.folder, edition, desk.today(), picture)
    if data is None:
        raise HTTPException(404)
    kind = "application/octet-stream" if picture == MODEL else "image/png"
    return Response(data, media_type=kind, headers={"cache-control": "private, no-cache"})


def _name(desk: Desk, edition: str) -> str:
    with desk.book.reading() as reading:
        doc = reading.things.get(EditionDoc, edition)
    if doc is None:
        raise HTTPException(404)
    return doc.name


def _turning(shape: Shape, edition: str) -> dict[str, Any] | None:
    """Return what the script needs to know of the model, and the keys to its colors."""
    if shape.view is None or shape.mold is None:
        return None
    parts = shape.mold.parts
    tints = [(f"part-{n % MOST_TINTS + 1}", one.name) for n, one in enumerate(parts)]
    keys = [
        (PARTS, "Part", [*tints, POURED]),
        (DRAFT, "Draft", [*DRAFTS, POURED]),
        (WALL, "Wall", [*WALLS, POURED] if shape.wall else []),
    ]
    return {
        "keys": [one for one in keys if one[2]],
        "file": shape.look.file,
        "data": {
            "from": f"/editions/{edition}/shape/{MODEL}",
            "bodies": shape.view.bodies,
            "parts": [{"name": one.name, "pull": one.pull} for one in parts],
        },
    }


def _stills(here: ShapeHere) -> list[tuple[str, str, str]]:
    """Return each still that is there: its name in an address, its title, and what it shows."""
    if here.shape is None or here.shape.mold is None:
        return []
    file = here.shape.look.file
    parts = ", ".join(one.name for one in here.shape.mold.parts)
    opened = f"The mold of {file} pulled apart around its piece, then each part from the side of the piece: {parts}."
    sides = (
        f"The piece of {file} from the front, from the right and from above. It is orange where it leans less "
        "than 1° away from its pull, ocher under 3°, and violet where it holds."
    )
    told = (
        (OPENED, "The mold opened", opened),
        (THREE_SIDES, "The piece from three sides", sides),
    )
    return [one for one in told if one[0] in here.pictures]
