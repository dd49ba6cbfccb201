"""The first run: a few questions, or a file from elsewhere; and an edition's brief, table by table."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response

from pourwright.briefs.editing import change_brief, fields_of, parts_told, stands, tables_in
from pourwright.briefs.first_questions import FURTHER, OR_DRY_MASS, FirstQuestion
from pourwright.briefs.folder import brief_here, brief_path
from pourwright.errors import BadInput
from pourwright.ledger.documents import EditionDoc
from pourwright.plan.standing_from_book import edition_doc
from pourwright.studio.begin import (
    ASKED,
    EXAMPLES,
    begin,
    begun_before,
    plan_edition_command,
    read_back,
)
from pourwright.studio.plans import size_unlike
from pourwright.web import heavy
from pourwright.web.desk import Desk, desk_of, who_asks
from pourwright.web.forms import (
    FileForm,
    Form,
    SentForm,
    Shown,
    Typed,
    TypedForm,
    filled,
    hidden,
    hold_shares_clear,
    single_texts,
)
from pourwright.web.pages.settings import as_file
from pourwright.web.refused import keep_page
from pourwright.web.render import back, new_id, page
from pourwright.web.toml_fields import TITLES, table_form, tables_told

router = APIRouter()

_LABELS = {
    "pieces": "Numbered pieces",
    "proofs": "Proofs",
    "deadline": "Date by which all are packed",
    "have": "What is there already",
    "water": "Water that fills each master",
    "dry_mass": "Dry mass of one mold",
    "glaze_load": "Pieces in a glaze load",
    "loads_a_week": "Kiln loads a week",
    "life": "Casts that a mold gives",
}
"""What each answer is, so that a sentence about it can name it."""
_THERE = (
    ("nothing", "Nothing yet"),
    ("original", "The original"),
    ("block mold", "A block mold"),
    ("approved", "Approved test casts"),
    ("masters", "The masters"),
)
_NO_MASTERS = ("nothing", "original", "block mold", "approved")
"""What may be there before there are masters, whose water could be weighed."""
_TAKES_EITHER = "What each master or part takes"
_TAKES = "Plaster that each part will take"
_TAKES_HINT = (
    "As a volume, by your drawing or your model, and a semicolon between the parts. "
    f"{OR_DRY_MASS} Such as: {{}}."
)
_TAKES_SUCH = {"metric": "1.9 l; 640 ml", "us": "2 qt; 0.7 qt"}
_SUCH = {one.key: one.example for one in FURTHER}
_NEEDS = {"water": "or the next", "dry_mass": "or the one before"}
_STARTS = "The brief is what the plan starts from. What the book says is true goes before it."
_UNITS = (("metric", "Kilograms and liters"), ("us", "Pounds and quarts"))


@router.get("/begin")
def begin_form(request: Request) -> Response:
    """Ask the first questions; an example fills them in."""
    desk, query = desk_of(request), request.query_params
    units = "us" if query.get("units", desk.units) == "us" else "metric"
    found = next((one for one in EXAMPLES if one.key == query.get("example")), None)
    asked = {"have": query["have"]} if query.get("have") else {}
    typed = dict(found.answers[units]) if found else asked
    return page(request, "begin.html", **_begin_shown(desk, typed, units))


@router.post("/begin")
def begin_edition(request: Request, typed: TypedForm) -> Response:
    """Write the brief, enter the edition into the book, and go on to its plan."""
    desk = desk_of(request)
    units = str(typed.get("units", desk.units))
    keep_page(request, "begin.html", typed=typed, **_begin_shown(desk, typed, units))
    texts = {name: value for name, value in typed.items() if isinstance(value, str)}
    sent = texts.get("id") or new_id()
    with desk.book.reading() as reading:
        if before := begun_before(reading, sent):  # the form was sent twice
            return back(f"/editions/{before}/plan")
        begun = begin(desk.folder, reading.things, texts, units, desk.today())
    answer = desk.do(begun.command | {"id": sent}, who_asks(request))
    return back(f"/editions/{begun.edition}/plan", answer)


def _begin_shown(desk: Desk, typed: Typed, units: str) -> dict[str, Any]:
    is_new = not (desk.folder / "studio.toml").exists()
    return {
        "title": "Begin an edition",
        "here": "editions",
        "is_new": is_new,
        "units": units,
        "examples": EXAMPLES,
        "form": _questions(typed, units, is_new=is_new),
    }


def _questions(typed: Typed, units: str, *, is_new: bool) -> Form:
    have = str(typed.get("have", ""))
    asked = [_question(one, units, have) for one in ASKED if is_new or one.key != "loads_a_week"]
    name = Shown("name", "Name of the edition", required=True, hint="Such as: Tide cup.")
    room = (
        Shown(
            "units",
            "What does your scale show?",
            kind="choice",
            required=True,
            choices=_UNITS,
            values=(units,),
        ),
        Shown("studio_name", "What is the studio called?"),
        Shown(
            "country",
            "Country",
            kind="code",
            size=16,
            hint="For the public holidays: its name or its two letters. "
            f"Such as: {_SUCH['country'][units]}.",
        ),
        Shown(
            "zone", "Time zone", kind="code", hint="Such as: Europe/Copenhagen. Empty means UTC."
        ),
        Shown(
            "kiln",
            "Kiln",
            kind="code",
            hint="Its space, what it draws and what a kilowatt hour costs: any of the three. "
            f"Such as: {_SUCH['kiln'][units]}. "
            "A load that costs more waits until it is fuller.",
        ),
        Shown(
            "hour",
            "What is an hour of your work worth?",
            kind="code",
            size=12,
            hint=f"Such as: {_SUCH['hour'][units]}. All prices are in its currency. "
            "Empty leaves costs out, and the plan with the least work is taken.",
        ),
    )
    return Form(
        action="/begin",
        submit="To the plan",
        first=filled((hidden("id", new_id()), name, *asked), typed),
        rest=filled(room, typed) if is_new else (),
        rest_title="About the studio",
    )


def _question(one: FirstQuestion, units: str, have: str) -> Shown:
    if one.key == "have":
        hint = "The furthest of these. The plan goes on from there."
        label = _LABELS[one.key]
        return Shown(
            one.key,
            label,
            kind="choice",
            choices=_THERE,
            values=("original",),
            hint=hint,
            on_shelf=True,
        )
    label, hint = _LABELS[one.key], f"{one.text} {one.help} Such as: {one.example[units]}."
    if one.key == "water" and have in _NO_MASTERS:
        label, hint = _TAKES, _TAKES_HINT.format(_TAKES_SUCH[units])
    elif one.key == "water" and not have:  # no script asks again when it is chosen on this page
        label, hint = _TAKES_EITHER, f"{hint.removesuffix('.')}, or {_TAKES_SUCH[units]}."
    return Shown(
        one.key,
        label,
        kind="code",
        required=not one.optional,
        hint=hint,
        need=_NEEDS.get(one.key, ""),
    )


@router.get("/begin/answer")
def answer_read_back(
    request: Request, key: str, text: str, units: str, have: str = ""
) -> JSONResponse:
    """Tell how one answer is understood, or what is wrong with it, before the next is asked."""
    one = next((one for one in ASKED if one.key == key), None)
    if one is None:
        raise HTTPException(404)
    shown = "us" if units == "us" else "metric"
    try:
        return JSONResponse({"read": read_back(key, text, shown, desk_of(request).today())})
    except BadInput as wrong:
        form = Form(action="/begin", submit="", first=(_question(one, shown, have),))
        return JSONResponse({"wrong": form.marked(wrong.complaints).first[0].error})


# --- a file from elsewhere


@router.get("/begin/file")
def file_form(request: Request) -> Response:
    """Ask for a brief or a studio's file that was made elsewhere."""
    return page(request, "take_in.html", **_file_shown({}))


@router.post("/begin/file")
def take_file(request: Request, typed: FileForm) -> Response:
    """Put a file into the studio's folder, and its edition into the book."""
    desk = desk_of(request)
    kept = single_texts(typed)
    keep_page(request, "take_in.html", typed=kept, **_file_shown(kept))
    data = _data(typed)
    if not data:
        raise BadInput.one("file", None, "choose a file, or write what it holds below")
    what, name = desk.worker.call(heavy.take_in_file, desk.folder, data, desk.today())
    if what == "studio":
        return back("/settings", f"The studio's file is kept: {name}.")
    path = brief_path(desk.folder, name)
    with desk.book.reading() as reading:
        is_known = reading.things.get(EditionDoc, name) is not None
    if path is None or is_known:
        return back(f"/editions/{name}", f"The brief of {name} is kept.")
    answer = desk.do(plan_edition_command(path, desk.today()) | {"id": new_id()}, who_asks(request))
    return back(f"/editions/{name}", answer)


def _data(sent: SentForm) -> bytes:
    """Return what was sent: a file's bytes, or the text that was written."""
    files = [one for one in sent.get("file", ()) if isinstance(one, UploadFile)]
    if len(files) == 1:
        with files[0].file as file:
            return file.read()
    return single_texts(sent).get("text", "").encode()


def _file_shown(typed: Typed) -> dict[str, Any]:
    fields = (
        Shown(
            "file",
            "A file",
            kind="file",
            accept=".toml",
            need="",
            hint="An edition's brief or a studio's file, as TOML.",
        ),
        Shown("text", "Or what it holds", kind="long", rows=12, need=""),
    )
    form = Form(
        action="/begin/file", submit="Take it in", first=filled(fields, typed), cancel="/begin"
    )
    return {"title": "A file from elsewhere", "here": "editions", "form": form}


# --- an edition's brief


@router.get("/editions/{edition}/brief")
def brief_page(request: Request, edition: str) -> Response:
    """Show what an edition's brief says, table by table."""
    desk = desk_of(request)
    name, path = brief_of(desk, edition)
    parts = [one.get("name", f"Part {place}") for place, one in enumerate(parts_told(path), 1)]
    here = brief_here(desk.folder, edition, desk.today())
    brief = here.brief if here else None
    return page(
        request,
        "brief.html",
        title=f"Brief of {name}",
        here="editions",
        edition=edition,
        name=name,
        tables=tables_told("edition", path, f"/editions/{edition}/brief", desk.units),
        unlike=_unlike(desk, edition),
        parts=parts,
        has_shape=bool(brief and brief.mold.shape),
    )


def brief_of(desk: Desk, edition: str) -> tuple[str, Path]:
    """Return the name of an edition and the file of its brief; both must be there."""
    path = brief_path(desk.folder, edition)
    with desk.book.reading() as reading:
        doc = reading.things.get(EditionDoc, edition)
    if doc is None or path is None:
        raise HTTPException(404)
    return doc.name, path


@router.get("/editions/{edition}/brief.toml")
def brief_file(request: Request, edition: str) -> Response:
    """Give an edition's brief as it is."""
    _, path = brief_of(desk_of(request), edition)
    return as_file(path.read_bytes(), path.name)


@router.get("/editions/{edition}/brief/{table}")
def brief_form(request: Request, edition: str, table: str) -> Response:
    """Show a table of an edition's brief, to be changed."""
    return page(request, "table.html", **_table_shown(desk_of(request), edition, table))


@router.post("/editions/{edition}/brief/{table}")
def change_table(request: Request, edition: str, table: str, typed: TypedForm) -> Response:
    """Change a table of an edition's brief; everything else in it stays to the byte."""
    desk = desk_of(request)
    keep_page(request, "table.html", typed=typed, **_table_shown(desk, edition, table, typed))
    hold_shares_clear(typed)
    before = _unlike(desk, edition)
    change_brief(desk.folder, edition, table, typed, desk.today())
    said, unlike = f"{TITLES[table]}: kept.", _unlike(desk, edition)
    if unlike is None or unlike == before:
        return back(f"/editions/{edition}/brief", said)
    return back(unlike.to, f"{said} {unlike.words}")


@dataclass(frozen=True, slots=True)
class _Unlike:
    """That the book says other pieces or proofs than the brief, and where the book is told."""

    words: str
    to: str
    size: tuple[int, int]


def _unlike(desk: Desk, edition: str) -> _Unlike | None:
    """Return where pieces and proofs of a brief are not those of the book, and where to change the book."""
    here = brief_here(desk.folder, edition, desk.today())
    if here is None or here.brief is None:
        return None
    with desk.book.reading() as reading:
        words = size_unlike(reading, here.brief)
        doc = edition_doc(reading.things, edition)
    size, to = here.brief.edition, f"/editions/{edition}/brief"
    if not words:
        return None
    if doc.state == "planned":
        told = {"edition": edition, "pieces": size.pieces, "proofs": size.proofs, "back": to}
        words, to = f"{words} Change its size there too.", f"/do/change-size?{urlencode(told)}"
    return _Unlike(words, to, (size.pieces, size.proofs))


def _table_shown(
    desk: Desk, edition: str, table: str, typed: Typed | None = None
) -> dict[str, Any]:
    name, path = brief_of(desk, edition)
    found = next((one for one in tables_in("edition") if one.name == table), None)
    if found is None:
        raise HTTPException(404)
    fields = fields_of("edition", table)
    told = stands(path, table, fields) if typed is None else typed
    to = f"/editions/{edition}/brief"
    return {
        "title": TITLES[table],
        "here": "editions",
        "about": found.about,
        "drawn": table,
        "kicker": name,
        "form": table_form(f"{to}/{table}", fields, told, desk.units, to, currency=desk.currency),
        "note": _STARTS if table == "edition" else "",
    }
