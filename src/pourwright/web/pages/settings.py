"""Settings: the studio's file by a form for each of its tables, words of caution, phones."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.briefs.editing import change_studio, fields_of, stands, tables_in
from pourwright.cautions import ALL_WORK
from pourwright.studio.care import own_care, usual, write_own_care
from pourwright.web.desk import Desk, desk_of
from pourwright.web.forms import Form, Shown, Typed, TypedForm, filled, hold_shares_clear
from pourwright.web.refused import keep_page
from pourwright.web.render import back, page
from pourwright.web.toml_fields import TITLES, table_form, tables_told

router = APIRouter()

TOML = "application/toml"


@router.get("/settings")
def settings(request: Request) -> Response:
    """Show what the studio's file says, table by table."""
    desk = desk_of(request)
    path = desk.folder / "studio.toml"
    fault = desk.studio_fault
    tables = tables_told("studio", None if fault else path, "/settings/studio", desk.units)
    return page(
        request,
        "settings.html",
        title="Settings",
        here="settings",
        tables=tables,
        fault=fault,
        has_file=path.is_file(),
    )


@router.get("/settings/studio.toml")
def studio_file(request: Request) -> Response:
    """Give the studio's file as it is."""
    path = desk_of(request).folder / "studio.toml"
    if not path.is_file():
        raise HTTPException(404)
    return as_file(path.read_bytes(), "studio.toml")


def as_file(data: bytes, name: str) -> Response:
    """Return a file to be kept under a name, to the byte."""
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(data, media_type=TOML, headers=headers)


@router.get("/settings/studio/{table}")
def studio_form(request: Request, table: str) -> Response:
    """Show a table of the studio's file, to be changed."""
    return page(request, "table.html", **_studio_shown(desk_of(request), table))


@router.post("/settings/studio/{table}")
def change_room(request: Request, table: str, typed: TypedForm) -> Response:
    """Change a table of the studio's file; everything else in it stays to the byte."""
    desk = desk_of(request)
    keep_page(request, "table.html", typed=typed, **_studio_shown(desk, table, typed))
    hold_shares_clear(typed)
    change_studio(desk.folder, table, typed, desk.today())
    return back("/settings", f"{TITLES[table]}: kept.")


def _studio_shown(desk: Desk, table: str, typed: Typed | None = None) -> dict[str, Any]:
    found = next((one for one in tables_in("studio") if one.name == table), None)
    if found is None:
        raise HTTPException(404)
    fields = fields_of("studio", table)
    told = stands(desk.folder / "studio.toml", table, fields) if typed is None else typed
    to = f"/settings/studio/{table}"
    form = table_form(to, fields, told, desk.units, "/settings", currency=desk.currency)
    return {
        "title": TITLES[table],
        "here": "settings",
        "about": found.about,
        "drawn": table,
        "kicker": "Settings",
        "form": form,
        "note": "",
    }


@router.get("/settings/care")
def own_cautions(request: Request) -> Response:
    """Show the cautions of each kind of work, with the studio's own words beside them."""
    desk = desk_of(request)
    return page(request, "own_care.html", **_care_shown(own_care(desk.folder)))


@router.post("/settings/care")
def keep_care(request: Request, typed: TypedForm) -> Response:
    """Keep the studio's own words of caution."""
    keep_page(request, "own_care.html", typed=typed, **_care_shown(typed))
    write_own_care(desk_of(request).folder, typed)
    return back("/settings/care", "Kept.")


def _care_shown(told: Typed) -> dict[str, Any]:
    fields = tuple(
        Shown(work, f"{_called(work)}, in this studio", kind="long", rows=2) for work in ALL_WORK
    )
    form = Form(
        action="/settings/care", submit="Keep it", first=filled(fields, told), cancel="/settings"
    )
    return {
        "title": "Words of caution",
        "here": "settings",
        "form": form,
        "usual": [(_called(work), usual(work)) for work in ALL_WORK],
    }


def _called(work: str) -> str:
    return "Decals and lusters" if work == "third" else work.capitalize()
