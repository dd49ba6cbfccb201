"""The questions at the bench, each a form made from its table."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import Response

from pourwright.calculators.table import all_questions, ask, find_question
from pourwright.calculators.words import as_sections, layers_of
from pourwright.web.desk import desk_of
from pourwright.web.forms import (
    Form,
    Shown,
    Typed,
    TypedForm,
    filled,
    hold_shares_clear,
    question_fields,
    question_typed,
)
from pourwright.web.refused import keep_page
from pourwright.web.render import page

router = APIRouter()

_UNITS = (("metric", "Metric"), ("us", "US"))


@router.get("/figures")
def all_figures(request: Request) -> Response:
    """Show what can be asked."""
    questions = list(all_questions())
    return page(request, "figures.html", title="Figures", here="figures", questions=questions)


@router.get("/figures/{subject}")
def figure_form(request: Request, subject: str) -> Response:
    """Show the form of a question; the address fills fields in."""
    return page(request, "figure.html", **_shown(request, subject, dict(request.query_params)))


@router.post("/figures/{subject}")
def answer_figure(request: Request, subject: str, typed: TypedForm) -> Response:
    """Work a question out and show the answer above its form."""
    shown = _shown(request, subject, typed)
    keep_page(request, "figure.html", **shown)
    hold_shares_clear(typed)
    desk = desk_of(request)
    path = desk.folder / "studio.toml"
    studio = path if desk.studio is not None else None
    asked = question_typed(shown["question"], typed)
    units = typed.get("units", desk.units)
    given, answer = ask(
        subject, asked, "us" if units == "us" else "metric", today=desk.today(), studio=studio
    )
    sections = as_sections(shown["question"], given, answer)
    told = {"sections": sections, "layers": layers_of(shown["question"], answer, given.units)}
    return page(request, "figure.html", **shown | told)


def _shown(request: Request, subject: str, typed: Typed) -> dict[str, Any]:
    question, units = find_question(subject), desk_of(request).units
    first, rest = question_fields(question, units)
    # the first stands open beside its tool, whatever else is needed too
    asked = [
        replace(one, later=n > 0 and not one.required) for n, one in enumerate((*first, *rest))
    ]
    usual = dict(_UNITS)[units].lower()
    shown_in = Shown("units", "Answer in", kind="choice", choices=_UNITS, later=True, usual=usual)
    form = Form(
        action=f"/figures/{subject}",
        submit="Work it out",
        first=filled((*asked, shown_in), typed),
    )
    return {
        "title": question.title,
        "here": "figures",
        "question": question,
        "form": form,
        "sections": (),
        "layers": (),
    }
