"""Photos: taken in by a form of their own, shown beside what they are of."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.errors import BadInput
from pourwright.ledger.documents import EditionDoc, FormDoc
from pourwright.ledger.said import called, names_said
from pourwright.studio.photos import keep_photo, photo_file, photos_of
from pourwright.web.desk import Desk, desk_of, who_asks
from pourwright.web.forms import (
    FileForm,
    Form,
    SentForm,
    Shown,
    Typed,
    filled,
    hidden,
    single_texts,
)
from pourwright.web.pages.do import way_back
from pourwright.web.refused import keep_page
from pourwright.web.render import back, new_id, page

router = APIRouter()

MOST_BYTES = 21_000_000
"""A photo of 20 MB, and the fields beside it. [bytes]"""
_TYPES = "image/jpeg,image/png,image/webp"
_FIELDS = ("camera", "photo")


@router.get("/photos")
def photos(request: Request) -> Response:
    """Show the photos of a thing that has no page of its own, such as a master or a load."""
    desk, query = desk_of(request), request.query_params
    about, edition = query.get("about", "").strip()[:60], query.get("edition", "")
    with desk.book.reading() as reading:
        doc = reading.things.get(EditionDoc, edition) if edition else None
        form = reading.things.get(FormDoc, about)
    if not about or (edition and doc is None):
        raise HTTPException(404)
    to = "/photos?" + urlencode({"about": about} | ({"edition": edition} if edition else {}))
    shown = photos_shown(desk, edition or "studio", (about,), to)
    return page(
        request,
        "photos.html",
        title=shown["about"],
        here="records",
        name=doc.name if doc else "",
        what=form.name.capitalize() if form else "",
        photos=shown,
    )


@router.get("/photos/add")
def photo_form(request: Request) -> Response:
    """Ask for a photo of something."""
    return page(request, "photo.html", **_shown(dict(request.query_params)))


@router.post("/photos/add", max_body_size=MOST_BYTES)
def add_photo(request: Request, typed: FileForm) -> Response:
    """Take in a photo, and name it in the book for each thing that it shows."""
    about = _about(typed)
    kept = single_texts(typed) | {"about": ", ".join(about)}
    keep_page(request, "photo.html", typed=kept, **_shown(kept))
    data = _one_file([one for name in _FIELDS for one in typed.get(name, ())])
    desk = desk_of(request)
    told = {"by": who_asks(request).name, "zone": desk.zone.key}
    told |= {name: kept[name] for name in ("id", "edition") if name in kept}
    kept_of = keep_photo(desk.folder, desk.book, data, told, about, desk.now())
    said = kept_of[0] if len(kept_of) == 1 else f"One photo of {names_said(about)} kept."
    return back(way_back(kept), said)


def _about(typed: SentForm) -> list[str]:
    """Return what a photo shows: things by their labels, pieces and numbers of a tray."""
    told = [one for name in ("about", "pieces", "numbers") for one in typed.get(name, ())]
    return [one.strip() for text in told if isinstance(text, str) for one in text.split(",")]


def _one_file(sent: list[str | UploadFile]) -> bytes:
    """Return what the one file that was sent holds; every file that was sent is let go of."""
    files = [one for one in sent if isinstance(one, UploadFile)]
    held = []
    for one in files:
        with one.file as file:
            held.append(file.read() if len(files) == 1 else b"")
    if not files:
        raise BadInput.one("photo", None, "choose a photo: JPEG, PNG or WebP")
    if len(files) > 1:
        raise BadInput.one("photo", f"{len(files)} files", "send one photo at a time")
    return held[0]


def _shown(typed: Typed) -> dict[str, Any]:
    about = str(typed.get("about", ""))[:60]
    fields = (
        hidden("id", new_id()),
        hidden("back", way_back(typed)),
        hidden("edition"),
        hidden("about"),
        Shown("camera", "Take it now", kind="file", accept="image/*", camera=True, need=""),
        Shown(
            "photo",
            "One that is there",
            kind="file",
            accept=_TYPES,
            need="",
            hint="JPEG, PNG or WebP, up to 20 MB. Where and with what it was taken is left out.",
        ),
    )
    told = {name: typed[name] for name in ("edition", "about") if name in typed}
    form = Form(
        action="/photos/add",
        submit="Keep the photo",
        first=filled(fields, told),
        cancel=way_back(typed),
    )
    return {
        "title": f"A photo of {about}" if about else "A photo",
        "here": "records",
        "form": form,
    }


@router.get("/photos/{scope}/{digest}.jpg")
def photo(request: Request, scope: str, digest: str) -> Response:
    """Give a photo that the book names and that was not erased; small, if that is asked for."""
    desk = desk_of(request)
    if len(digest) != 64 or not digest.isalnum() or not digest.isascii():
        raise HTTPException(404)
    small = "small" in request.query_params
    with desk.book.reading() as reading:
        data = photo_file(reading.things, desk.folder, scope, digest, small=small)
    if data is None:
        raise HTTPException(404)
    headers = {
        "cache-control": "private, no-cache",
        "content-disposition": f'inline; filename="photo-{digest[:12]}.jpg"',
    }
    return Response(data, media_type="image/jpeg", headers=headers)


def photos_shown(desk: Desk, scope: str, about: tuple[str, ...], to: str) -> dict[str, Any]:
    """Return what the part about photos shows on the page that stands at an address.

    The scope is the edition that the things belong to, or "studio"; a new photo is of the last.
    """
    with desk.book.reading() as reading:
        found = photos_of(reading.things, scope, *about, zone=desk.book.zone)
        name = called(reading.things, about[-1])
    fields = {"about": about[-1], "back": to} | ({} if scope == "studio" else {"edition": scope})
    return {"found": found, "fields": fields, "about": name}
