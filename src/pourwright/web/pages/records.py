"""Records: entries searched and shown, corrected by a form, a stocktake, copies of the book."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from msgspec.structs import asdict
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.ledger.documents import EditionDoc
from pourwright.ledger.said import many
from pourwright.studio.commands import verbs
from pourwright.studio.copies import copies_here, counts_of, stock_stages
from pourwright.studio.records import (
    correct,
    entry_shown,
    search_entries,
    taking_back,
    to_correct,
)
from pourwright.web import heavy
from pourwright.web.desk import Desk, desk_of, who_asks
from pourwright.web.forms import Form, Shown, Typed, TypedForm, corrected_fields, filled, hidden
from pourwright.web.pages.do import way_back
from pourwright.web.pages.photos import photos_shown
from pourwright.web.refused import keep_page
from pourwright.web.render import back, new_id, page

router = APIRouter()

_LARGEST = 10**12
_COPY_MIN = 10.0
"""Ten years of records are worked out again in a minute or two."""
_MOST_UNDONE = 200
"""More no press writes. [-]"""


@router.get("/records")
def records(request: Request) -> Response:
    """Show the newest entries, or those that a search finds."""
    desk, asked = desk_of(request), _asked(request)
    with desk.book.reading() as reading:
        head = reading.head()
        found = search_entries(
            reading,
            desk.zone.key,
            words=asked["words"],
            edition=asked["edition"],
            kind=asked["kind"],
            before=_place(request.query_params.get("before", "")),
        )
    told = {name: value for name, value in asked.items() if value}
    older = f"/records?{urlencode(told | {'before': found.older})}" if found.older else ""
    return page(
        request,
        "records.html",
        title="Records",
        here="records",
        days=found.days,
        older=older,
        asked=told,
        fields=_search_fields(asked),
        entries=head.seq,
        checkpoint=head.short_checkpoint,
        kinds=verbs(),
    )


def _asked(request: Request) -> dict[str, str]:
    """Return what is searched; a link to everything about something is a search too."""
    query = request.query_params
    words = query.get("words", "") or query.get("about", "")
    return {
        "words": words.strip()[:200],
        "edition": query.get("edition", ""),
        "kind": query.get("kind", ""),
    }


def _place(text: str) -> int | None:
    """Return a place in the book, None if what was written is none."""
    is_number = text.isascii() and text.isdigit() and len(text) < 13
    return int(text) if is_number else None


def _search_fields(asked: dict[str, str]) -> tuple[Shown, ...]:
    kinds = [(one.kind, one.title) for one in verbs()]
    fields = (
        Shown("words", "Words or labels", kind="code", need="", hint="Such as: M-007 stuck."),
        Shown("edition", "Edition", kind="code", need="", hint="Its short name, or: studio."),
        Shown("kind", "What happened", kind="pick", need="", choices=(("", "Anything"), *kinds)),
    )
    return filled(fields, asked)


# --- copies and the check


@router.get("/records/care")
def care_of_book(request: Request) -> Response:
    """Show the copies of the book, and offer a copy and a check."""
    return page(request, "care.html", **_care_shown(desk_of(request)))


@router.post("/records/care/copy")
def copy(request: Request) -> Response:
    """Put a verified copy beside the book."""
    desk = desk_of(request)
    keep_page(request, "care.html", **_care_shown(desk))
    said = desk.worker.call(heavy.copy_book, desk.folder, desk.clock.now(), longest_min=_COPY_MIN)
    return back("/records/care", said)


@router.post("/records/care/check")
def check(request: Request, typed: TypedForm) -> Response:
    """Check the whole book and say what is not as it was written."""
    desk = desk_of(request)
    shown = _care_shown(desk, typed)
    keep_page(request, "care.html", typed=typed, **shown)
    checkpoint = str(typed.get("checkpoint", ""))
    found = desk.worker.call(heavy.check_book, desk.folder, checkpoint, longest_min=_COPY_MIN)
    return page(request, "care.html", **shown | {"found": found})


@router.post("/records/care/go-on")
def go_on(request: Request, typed: TypedForm) -> Response:
    """Go on with the book that lies here, though a phone or this computer saw another."""
    desk = desk_of(request)
    if not desk.doubt(who_asks(request), ""):  # it was said before
        return back("/")
    note = {"id": typed.get("id") or new_id(), "text": "Gone on with the book that lies here."}
    return back("/", desk.go_on(note, who_asks(request)))


def _care_shown(desk: Desk, typed: Typed | None = None) -> dict[str, Any]:
    with desk.book.reading() as reading:
        head = reading.head()
    field = Shown(
        "checkpoint",
        "A checkpoint you noted",
        kind="code",
        size=28,
        hint="Such as: 4182:9c1d0a2b3c4d5e6f. Without one the book is checked against itself.",
    )
    form = Form(
        action="/records/care/check", submit="Check the book", first=filled((field,), typed or {})
    )
    return {
        "title": "Care of the book",
        "here": "records",
        "copies": copies_here(desk.folder, desk.zone.key),
        "checkpoint": head.short_checkpoint,
        "entries": head.seq,
        "form": form,
        "found": None,
    }


# --- a stocktake


@router.get("/records/stocktake/{edition}")
def stocktake(request: Request, edition: str) -> Response:
    """Ask what is really there, stage by stage, without showing what the book has."""
    return page(request, "stocktake.html", **_stock_shown(desk_of(request), edition)[1])


@router.post("/records/stocktake/{edition}")
def take_stock(request: Request, edition: str, typed: TypedForm) -> Response:
    """Write down what was counted; what differs is a finding and changes nothing."""
    desk = desk_of(request)
    doc, shown = _stock_shown(desk, edition, typed)
    keep_page(request, "stocktake.html", typed=typed, **shown)
    command: dict[str, object] = {
        "do": "count-stock",
        "edition": edition,
        "counts": counts_of(doc, typed),
    }
    command |= {name: typed[name] for name in ("id", "note", "go_on") if typed.get(name)}
    return back(f"/editions/{edition}", desk.do(command, who_asks(request)))


def _stock_shown(
    desk: Desk, edition: str, typed: Typed | None = None
) -> tuple[EditionDoc, dict[str, Any]]:
    with desk.book.reading() as reading:
        doc = reading.things.get(EditionDoc, edition)
    if doc is None:
        raise HTTPException(404)
    counts = tuple(
        Shown(one, one.capitalize(), kind="code", inputmode="numeric", size=8, need="")
        for one in stock_stages(doc)
    )
    fields = (hidden("id", new_id()), *counts, Shown("note", "Note", kind="long", later=True))
    form = Form(
        action=f"/records/stocktake/{edition}",
        submit="Write it down",
        first=filled(fields, typed or {}),
        cancel=f"/editions/{edition}",
    )
    return doc, {
        "title": f"Stocktake: {doc.name}",
        "here": "records",
        "name": doc.name,
        "form": form,
    }


# --- one entry


@router.get("/records/{seq}")
def entry(request: Request, seq: str) -> Response:
    """Show one entry whole, with its corrections."""
    desk, place = desk_of(request), _known_place(seq)
    with desk.book.reading() as reading:
        shown = entry_shown(reading, place, desk.zone.key)
    if shown is None:
        raise HTTPException(404)
    photos = photos_shown(desk, shown.edition or "studio", (f"entry {place}",), f"/records/{place}")
    return page(
        request,
        "entry.html",
        title=f"Entry {place}",
        here="records",
        lines=shown.corrections,
        photos=photos,
        why=Shown("why", "Why it did not", hint="Such as: it was the other shelf.", later=True),
        **asdict(shown),
    )


def _known_place(seq: str) -> int:
    place = _place(seq)
    if place is None or not 0 < place < _LARGEST:
        raise HTTPException(404)
    return place


@router.post("/records/{seq}/undo")
def undo(request: Request, seq: str, typed: TypedForm) -> Response:
    """Take back an entry and all that the same press wrote, by the book's own undo."""
    desk, who = desk_of(request), who_asks(request)
    told = str(typed.get("entries") or seq).split(".")[:_MOST_UNDONE]
    places = [_place(one) or 0 for one in told]
    with desk.book.reading() as reading:
        commands = taking_back(reading, places, str(typed.get("id") or new_id()))
    for command in commands:
        desk.do(command, who)
    return back(way_back(typed), f"Taken back: {many(len(commands), 'entry', 'entries')}.")


@router.get("/records/{seq}/correct")
def correct_form(request: Request, seq: str) -> Response:
    """Show an entry's fields as they stand, to be changed."""
    return page(request, "correct.html", **_correct_shown(request, _known_place(seq)))


@router.post("/records/{seq}/correct")
def correct_entry(request: Request, seq: str, typed: TypedForm) -> Response:
    """Correct an entry by what was changed in its fields."""
    place, desk = _known_place(seq), desk_of(request)
    shown = _correct_shown(request, place, typed)
    keep_page(request, "correct.html", typed=typed, **shown)
    answer = correct(lambda command: desk.do(command, who_asks(request)), shown["entry_now"], typed)
    return back(f"/records/{place}", answer, may_undo=True)


def _correct_shown(request: Request, place: int, typed: Typed | None = None) -> dict[str, Any]:
    """Return the form of an entry's fields; what is typed stands in it in the place of what is."""
    with desk_of(request).book.reading() as reading:
        found = to_correct(reading, place)
    if found is None:
        raise HTTPException(404)
    desk = desk_of(request)
    fields = corrected_fields(found.kind, desk.units, desk.currency)
    stands = found.stands if typed is None else typed
    why = Shown("why", "Why", kind="words", hint="Such as: counted again.")
    told = {name: value for name, value in stands.items() if value}
    form = Form(
        action=f"/records/{place}/correct",
        submit="Correct it",
        cancel=f"/records/{place}",
        first=filled((hidden("id", new_id()), *fields, why), told),
        is_ruled=True,
    )
    return {
        "title": f"Correct entry {place}",
        "here": "records",
        "form": form,
        "entry_now": found,
        "place": place,
    }
