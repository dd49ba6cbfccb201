"""Editions: a tray of feet for each, its numbers, its plan, and what if it were otherwise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request
from msgspec.structs import asdict
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.briefs.folder import brief_here, brief_path
from pourwright.ledger.documents import EditionDoc
from pourwright.ledger.things import Things
from pourwright.plan.plan import Plan
from pourwright.report.answer import answer_words, outlook_words
from pourwright.report.blocks import Facts
from pourwright.report.money import cost_words
from pourwright.report.plan_charts import fan_figure, with_drawings
from pourwright.report.sections import plan_sections
from pourwright.studio.edition import (
    AT_ONCE,
    EditionShown,
    Foot,
    edition_cards,
    edition_shown,
    end_steps,
    feet,
)
from pourwright.studio.ending import ending_facts, ending_of
from pourwright.studio.kiln import causes_in_a_load
from pourwright.studio.number import number_shown, wrong_number
from pourwright.studio.plans import NoPlan
from pourwright.studio.what_if import (
    ASKED,
    WhatIf,
    Wish,
    as_planned,
    changed,
    what_if_figure,
    what_if_words,
    wish_of,
)
from pourwright.web import heavy
from pourwright.web.desk import Desk, desk_of, who_asks
from pourwright.web.forms import Form, Shown, TypedForm, filled, hidden
from pourwright.web.pages.photos import photos_shown
from pourwright.web.refused import keep_page
from pourwright.web.render import back, begin_of, new_id, page

router = APIRouter()


@router.get("/editions")
def editions(request: Request) -> Response:
    """Show every edition with its tray."""
    desk, begin = desk_of(request), begin_of(request)
    with desk.book.reading() as reading:
        cards = edition_cards(reading, desk.zone.key, begin)
        rest = len(reading.editions) - begin - len(cards)
    return page(
        request,
        "editions.html",
        title="Editions",
        here="editions",
        cards=cards,
        older=f"/editions?after={begin + AT_ONCE}" if rest > 0 else "",
    )


@router.get("/editions/{edition}")
def edition_page(request: Request, edition: str) -> Response:
    """Show one edition: its numbers, ware, losses, money and what can be done with it."""
    desk = desk_of(request)
    shown = _standing(desk, edition)
    plan = desk.plan_kept(edition)
    return page(
        request,
        "edition.html",
        title=shown["name"],
        here="editions",
        plan=plan,
        finish=_finish(plan),
        **shown,
    )


def _standing(desk: Desk, edition: str) -> dict[str, Any]:
    """Return what the book says of an edition."""
    with desk.book.reading() as reading:
        _known(reading.things, edition)
        shown = edition_shown(reading.things, edition, desk.zone.key, desk.today())
        more = _for_acts(desk, reading.things)
    here = brief_here(desk.folder, edition, desk.today())
    brief = here.brief if here else None
    has = {"has_brief": here is not None, "has_shape": bool(brief and brief.mold.shape)}
    return asdict(shown) | more | has | {"headlines": _headlines(shown)}


def _headlines(shown: EditionShown) -> dict[str, str]:
    """Return what stands in the place of each part of the page that is folded."""
    work = [f"{stage} {many}" for stage, *counts in shown.in_work if (many := _counted(counts))]
    return {
        "work": ", ".join(work) or "nothing",
        "yield": ", ".join(f"{step} {share}" for step, _, share, _ in shown.stage_yields),
        "money": ", ".join(f"{what.lower()} {value}" for what, value, _ in shown.money),
        "about": f"{len(shown.odd)} odd" if shown.odd else "",
    }


def _counted(counts: Sequence[str]) -> int:
    """Return the pieces of a stage, unmarked and marked; words are none."""
    return sum(int(one) for one in counts if one.isdecimal())


def _for_acts(desk: Desk, things: Things) -> dict[str, Any]:
    """Return what the acts on a tray need beside its numbers: causes of loss, and the currency."""
    return {"causes": causes_in_a_load(things), "currency": desk.currency}


def _known(things: Things, edition: str) -> EditionDoc:
    doc = things.get(EditionDoc, edition)
    if doc is None:
        raise HTTPException(404)
    return doc


def _finish(plan: Plan | NoPlan | None) -> dict[str, Any] | None:
    """Return what the page of an edition tells of its plan."""
    if plan is None:
        return None
    if not isinstance(plan, Plan):
        return {"fault": plan.fault}
    outlook = outlook_words(plan)
    more = replace(outlook, blocks=(*outlook.blocks, fan_figure(plan)))
    answer, more = with_drawings((answer_words(plan), more), plan)
    facts = next((one.rows for one in more.blocks if isinstance(one, Facts)), ())
    headline = ", ".join(f"{what.lower()} {value}" for what, value, _ in facts[:2])
    return {
        "fault": "",
        "answer": answer,
        "outlook": more,
        "headline": headline,
        "cost": cost_words(plan),
    }


@router.get("/editions/{edition}/end")
def end_page(request: Request, edition: str) -> Response:
    """Show how far an edition is from its end: open numbers, claims, and all that could remake the form."""
    desk = desk_of(request)
    with desk.book.reading() as reading:
        _known(reading.things, edition)
        end = ending_of(reading.things, edition, desk.today(), desk.zone.key)
        numbers = feet(reading.things, edition, "numbered")
        steps = end_steps(
            reading.things,
            edition,
            may_destroy=end.may_be_destroyed,
            may_close=end.closed_at is None and not end.against_closing,
        )
    return page(
        request,
        "end.html",
        title=f"The end of {end.name}",
        here="editions",
        end=end,
        told={name: (words, note) for name, words, note in ending_facts(end)},
        feet=left_here(numbers, is_closed=end.closed_at is not None),
        steps=steps,
    )


def left_here(numbers: Sequence[Foot], *, is_closed: bool) -> list[Foot]:
    """Return the feet that are still here or to come; once an edition is closed, nothing more comes."""
    not_here = {"away", "given", "gone", "settled"} | ({"none", "lost"} if is_closed else set())
    return [one for one in numbers if one.shape not in not_here]


@router.get("/editions/{edition}/plan")
def edition_plan_page(request: Request, edition: str) -> Response:
    """Work out the plan that goes on from the book, and show the whole of it."""
    desk = desk_of(request)
    name = _name(desk, edition)
    plan = desk.plan_now(edition)
    sound = plan if isinstance(plan, Plan) else None
    return page(
        request,
        "plan.html",
        title=f"Plan of {name}",
        here="editions",
        edition=edition,
        name=name,
        plan=plan,
        finish=_finish(plan),
        sections=with_drawings(plan_sections(sound), sound) if sound else (),
        papers=_papers(sound) if sound else (),
    )


def _papers(plan: Plan) -> list[tuple[str, str]]:
    """Return the sheets that a plan can be printed on: kind, and the words of its button."""
    return [("plan", "Print it"), *([("pour", "Pour sheet")] if plan.plaster.batches else [])]


def _name(desk: Desk, edition: str) -> str:
    with desk.book.reading() as reading:
        return _known(reading.things, edition).name


@router.get("/editions/{edition}/what-if")
def what_if_page(request: Request, edition: str) -> Response:
    """Ask how it would be with other molds, another size, another date, other hours."""
    desk = desk_of(request)
    name, path = _name(desk, edition), brief_path(desk.folder, edition)
    typed = {one: text for one in ASKED if (text := request.query_params.get(one, "").strip())}
    shown: dict[str, Any] = {
        "title": f"What if: {name}",
        "here": "editions",
        "edition": edition,
        "name": name,
        "form": _what_if_form(edition, typed),
        "has_brief": path is not None,
        "planned": {"molds": "", "pieces": ""},
        "glance": None,
    }
    if path is None:
        return page(request, "what_if.html", **shown)
    keep_page(request, "what_if.html", typed=typed, **shown)

    def outlook(wish: Wish) -> WhatIf:
        return desk.worker.call(heavy.what_if, desk.folder, path, desk.today(), wish)

    found = [outlook(Wish())]
    shown["planned"] = as_planned(found[0], desk.today())
    # the molds that an answer took are none wished for: another size, date or hours takes its own
    free = request.query_params.get(FREE, shown["planned"]["molds"])
    shown["form"] = _what_if_form(edition, shown["planned"] | typed | {FREE: free})
    keep_page(request, "what_if.html", typed=typed, **shown)
    wished = {one: text for one, text in typed.items() if (one, text) != ("molds", free)}
    wish = changed(wish_of(wished, desk.today(), desk.units), found[0])
    if wish != Wish():
        found.append(outlook(wish))
    molds = str(found[-1].molds)
    takes = {"molds": molds, FREE: "" if wish.molds else molds}
    shown["form"] = _what_if_form(edition, shown["planned"] | typed | takes)
    told = {"glance": what_if_words(found), "figure": what_if_figure(found)}
    return page(request, "what_if.html", **shown | told)


FREE = "free"
"""Tells beside the number of molds which one an answer took of itself; another one is a wish."""


def _what_if_form(edition: str, typed: dict[str, str]) -> Form:
    fields = (
        hidden(FREE),
        Shown("molds", "Molds in use at once", kind="code", inputmode="numeric"),
        Shown("pieces", "Numbered pieces", kind="code", inputmode="numeric"),
        Shown("deadline", "Last piece packed by", kind="code", hint="A date, or: in 20 weeks."),
        Shown("hours", "Hands-on hours of a person a day", kind="code", size=12),
    )
    return Form(
        action=f"/editions/{edition}/what-if", submit="What then", first=filled(fields, typed)
    )


@router.get("/editions/{edition}/numbers")
def chosen_number(request: Request, edition: str) -> Response:
    """Lead to the story of the number that is chosen in a tray."""
    query = request.query_params
    chosen = query.get("pieces") or query.get("numbers")
    if not chosen:
        return back(f"/editions/{edition}", "Choose a number first.")
    letters = ""
    if query.get("tray") == "proof" and " " not in chosen:
        with desk_of(request).book.reading() as reading:
            letters = _known(reading.things, edition).proof_kind
    return back(f"/editions/{edition}/numbers/{quote(letters + chosen.replace(' ', ''))}")


@router.get("/editions/{edition}/numbers/{n}")
def number_page(request: Request, edition: str, n: str) -> Response:
    """Tell the story of one number."""
    return page(request, "number.html", **_number(desk_of(request), edition, n))


@router.post("/editions/{edition}/numbers/{n}")
def correct_number(request: Request, edition: str, n: str, typed: TypedForm) -> Response:
    """Correct the number of the piece that bears this one, and show it under the right one."""
    desk = desk_of(request)
    keep_page(request, "number.html", typed=typed, **_number(desk, edition, n))
    right = str(typed.get("number", ""))
    with desk.book.reading() as reading:
        letters = _known(reading.things, edition).proof_kind if n[:1].isalpha() else ""
        command = wrong_number(reading, edition, n, right)
    answer = desk.do(command | {"id": typed.get("id") or new_id()}, who_asks(request))
    key = quote(letters + right.strip().partition("/")[0])
    return back(f"/editions/{edition}/numbers/{key}", answer, may_undo=True)


def _number(desk: Desk, edition: str, n: str) -> dict[str, Any]:
    """Return what the page of a number shows."""
    with desk.book.reading() as reading:
        doc = _known(reading.things, edition)
        shown = number_shown(reading, edition, n, desk.zone.key, desk.today())
        more = _for_acts(desk, reading.things)
    if shown is None:
        raise HTTPException(404)
    pieces = tuple(one.piece for one in shown.bearers)
    to = f"/editions/{edition}/numbers/{n}"
    return {
        "title": f"{shown.number}, {doc.name}",
        "here": "editions",
        "edition": edition,
        "name": doc.name,
        "to": to,
        "photos": photos_shown(desk, edition, pieces, to) if pieces else None,
        **asdict(shown),
        **more,
    }
