"""A form for any verb of the book, made from its table; every list leads here."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request
from starlette.responses import Response

from pourwright.report.saying import day
from pourwright.studio.care import care_at
from pourwright.studio.commands import offered_editions, parts_offered, verb_groups
from pourwright.studio.commands import verb as verb_named
from pourwright.studio.records import drawn_beside, sale_left
from pourwright.web.desk import desk_of, who_asks
from pourwright.web.forms import (
    Form,
    Shown,
    Typed,
    TypedForm,
    as_choice,
    filled,
    hidden,
    of_verb,
    verb_fields,
)
from pourwright.web.refused import keep_page
from pourwright.web.render import back, new_id, page

router = APIRouter()

_LATER = frozenset({"at", "by"})
_OWN = frozenset({"back"})
"""What a link to a form may say beside the fields: where to go afterwards."""
_STAYS = "stays_sold"
"""The pieces of a sale that stay sold, where the rest of it is taken back."""
_SAID_WITH = {
    "lose": frozenset({"pieces", "cause"}),
    "finish": frozenset({"pieces", "lost_pieces"}),
}
"""What a maker comes to say where nothing has to be told: which pieces, and why they are lost."""
_SAID_FIRST = {"break-part": ("/bench/slip", "Say it at the slip bench")}
"""Where what a verb is asked about is said first."""


@router.get("/do")
def all_verbs(request: Request) -> Response:
    """Show what can be written down, about the edition that the address names if it names one."""
    edition = request.query_params.get("edition", "")[:40]
    return page(
        request,
        "do_list.html",
        title="Write something down",
        here="records",
        groups=verb_groups(),
        edition=edition,
    )


@router.get("/do/{verb}")
def verb_form(request: Request, verb: str) -> Response:
    """Show the form of a verb; the address fills fields in."""
    typed = dict(request.query_params)
    return page(request, "do.html", **_shown(request, verb, typed, way_back(typed)))


@router.post("/do/{verb}")
def do_verb(request: Request, verb: str, typed: TypedForm) -> Response:
    """Write down what a form says, then go back and show what the book answered."""
    typed = of_verb(typed, verb)
    shown = _shown(request, verb, typed, way_back(typed))
    keep_page(request, "do.html", **shown)
    fields = _of_the_sale({name: value for name, value in typed.items() if name not in _OWN})
    answer = desk_of(request).do(fields | {"do": verb}, who_asks(request))
    return back(way_back(typed), answer)


def way_back(typed: Typed) -> str:
    """Return where a form goes afterwards: a path of this studio, never another host's.

    Examples
    --------
    >>> way_back({"back": "/shelf/M-004"}), way_back({"back": "//elsewhere"}), way_back({})
    ('/shelf/M-004', '/', '/')
    """
    to = typed.get("back", "/")
    if not isinstance(to, str):
        return "/"
    is_ours = to.startswith("/") and to[1:2] not in ("/", "\\")
    return to if is_ours and to.isprintable() and len(to) < 300 else "/"


def _shown(request: Request, verb: str, typed: Typed, to: str) -> dict[str, Any]:
    """Return what the page of a verb shows."""
    kind = verb_named(verb)
    meant = typed.get("edition", "")
    offered = offered_editions(desk_of(request).book, str(meant))
    units = desk_of(request).units
    first, rest = verb_fields(
        kind,
        offered.choices,
        units,
        offered.words,
        only=offered.only,
        currency=desk_of(request).currency,
    )
    # whoever comes from a thing is not asked whose it is
    known = request.query_params.get("edition", "")
    if known in {one for one, _ in offered.choices}:
        typed = {**typed, "edition": known}
        name = dict(offered.choices)[known]
        first = [
            replace(hidden("edition"), label=name) if one.name == "edition" else one
            for one in first
        ]
    parts = parts_offered(desk_of(request).book, kind, typed)
    first = [as_choice(one, parts) if one.name == "part" and parts else one for one in first]
    at_once = _at_once(request, verb)
    usual = {"at": day(desk_of(request).today(), units=units), "by": who_asks(request).name}
    fields = [replace(one, usual=usual.get(one.name, one.usual)) for one in (*first, *rest)]
    asked = [one if one.name in at_once else _later(one) for one in fields]
    if verb == "correct" and typed.get("void"):
        asked += _what_of_the_sale(request, typed)
    form = Form(
        action=f"/do/{kind.verb}" + (f"?edition={quote(known)}" if known else ""),
        submit="Write it down",
        cancel=to,
        said_first=_SAID_FIRST.get(verb),
        is_grave=verb == "destroy",
        first=filled((hidden("id", new_id()), hidden("back", to), *asked), typed),
        is_ruled=True,
    )
    return {
        "title": kind.title,
        "about": drawn_beside(kind.kind),
        "name": dict(offered.choices).get(known, ""),
        "here": "records",
        "meaning": _within_sentence(kind.meaning),
        "form": form,
        "cautions": care_at(desk_of(request).folder, kind.verb),
    }


def _what_of_the_sale(request: Request, typed: Typed) -> list[Shown]:
    """Return what is asked where a piece of a sale that is to be taken back was shipped since."""
    with desk_of(request).book.reading() as reading:
        left = sale_left(reading, typed.get("entry"))
    if left is None:
        return []
    gone, are = left.shipped_said, "is" if len(left.shipped) == 1 else "are"
    choices = (
        (", ".join(left.shipped), f"Only {left.here_said}: {gone} {are} shipped, and sold"),
        ("nothing", f"{left.here_said} and {gone}: then {gone} {are} shipped and not sold"),
    )
    here = (choices[0][0],)  # what stands first takes back no more than is here
    return [Shown(_STAYS, "What was not sold", kind="choice", choices=choices, values=here)]


def _of_the_sale(fields: dict[str, str | list[str]]) -> dict[str, object]:
    """Return what takes a sale back: all of it, or all but the pieces that were shipped since."""
    stays = fields.pop(_STAYS, "")
    if stays == "nothing":
        return {**fields, "go_on": "yes"}
    if not stays:
        return {**fields}
    kept = {name: value for name, value in fields.items() if name != "void"}
    return {**kept, "changes": {"pieces": stays}}


def _at_once(request: Request, verb: str) -> frozenset[str]:
    """Return the fields that stand open: what a link leads to fill in, else what the verb is for."""
    named = frozenset(request.query_params) - _LATER - _OWN - {"edition"}
    return named or _SAID_WITH.get(verb, frozenset())


def _later(field: Shown) -> Shown:
    """Return a field as a word to press, if it may stay empty; which edition is meant never does."""
    return field if field.required or field.name == "edition" else replace(field, later=True)


def _within_sentence(meaning: str) -> str:
    """Return a sentence to stand behind a colon; N stays as it is.

    Examples
    --------
    >>> _within_sentence("A kiln load is closed."), _within_sentence("N or the proofs change.")
    ('a kiln load is closed.', 'N or the proofs change.')
    """
    return meaning if meaning.startswith("N ") else meaning[:1].lower() + meaning[1:]
