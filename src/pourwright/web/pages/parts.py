"""The parts of a mold in an edition's brief: one form a part."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.briefs.editing import MOST_PARTS, change_part, drop_part, part_fields, parts_told
from pourwright.web.desk import Desk, desk_of
from pourwright.web.forms import Typed, TypedForm
from pourwright.web.pages.begin import brief_of
from pourwright.web.refused import keep_page
from pourwright.web.render import back, page
from pourwright.web.toml_fields import table_form

router = APIRouter()

_FIRST = "The first part takes the place of the mold's own dry mass, which then leaves the brief."


@router.get("/editions/{edition}/brief/parts/{place}")
def part_form(request: Request, edition: str, place: int) -> Response:
    """Show a part of the mold, to be changed; the place after the last is a new one."""
    return page(request, "part.html", **_part_shown(desk_of(request), edition, place))


@router.post("/editions/{edition}/brief/parts/{place}")
def change_mold_part(request: Request, edition: str, place: int, typed: TypedForm) -> Response:
    """Change a part of the mold, or add one."""
    desk = desk_of(request)
    keep_page(request, "part.html", typed=typed, **_part_shown(desk, edition, place, typed))
    change_part(desk.folder, edition, place, typed, desk.today())
    return back(_brief(edition), f"{typed.get('name') or f'Part {place}'}: kept.")


@router.post("/editions/{edition}/brief/parts/{place}/drop")
def drop_mold_part(request: Request, edition: str, place: int, typed: TypedForm) -> Response:
    """Take a part of the mold out of the brief."""
    desk = desk_of(request)
    shown = _part_shown(desk, edition, place)
    if shown["is_new"]:
        raise HTTPException(404)
    keep_page(request, "part.html", typed=typed, **shown)
    drop_part(desk.folder, edition, place, desk.today())
    return back(_brief(edition), f"{shown['title']}: taken out of the brief.")


def _brief(edition: str) -> str:
    return f"/editions/{edition}/brief"


def _part_shown(desk: Desk, edition: str, place: int, typed: Typed | None = None) -> dict[str, Any]:
    name, path = brief_of(desk, edition)
    parts = parts_told(path)
    is_new = place == len(parts) + 1
    if not ((is_new and place <= MOST_PARTS) or 1 <= place <= len(parts)):
        raise HTTPException(404)
    stood = {} if is_new else parts[place - 1]
    told = stood if typed is None else typed
    to = f"{_brief(edition)}/parts/{place}"
    return {
        "title": "A new part" if is_new else stood.get("name", f"Part {place}"),
        "here": "editions",
        "kicker": f"{name}: parts of the mold",
        "to": to,
        "is_new": is_new,
        "form": table_form(to, part_fields(), told, desk.units, _brief(edition)),
        "may_drop": not is_new and len(parts) > 1,
        "note": "" if parts else _FIRST,
    }
