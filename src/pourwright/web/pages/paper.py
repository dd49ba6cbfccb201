"""Sheets and tags for the printer, one address for every kind."""

from __future__ import annotations

from datetime import date

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.errors import NotDoable
from pourwright.paper.at_hand import at_hand
from pourwright.paper.kinds import Kind, find_kind
from pourwright.paper.label_size import LabelSize, read_label_size
from pourwright.paper.printing import Sheet, size_for
from pourwright.plan.plan import Plan
from pourwright.reading import read_day
from pourwright.studio.plans import NoPlan
from pourwright.web import heavy
from pourwright.web.desk import Desk, desk_of
from pourwright.web.pages.pair import address_of

router = APIRouter()


@router.get("/paper/{kind}.pdf")
def paper(request: Request, kind: str) -> Response:
    """Print a sheet: a plan's by its ``edition``, the book's ``of`` some labels, for a ``day``."""
    desk, asked = desk_of(request), request.query_params
    wanted = find_kind(kind)
    told = asked.get("day")
    day = read_day(told, desk.today(), "day") if told else None
    if wanted.from_plan is not None:
        sheet = wanted.from_plan(_plan(desk, asked.get("edition", "")), day)
    else:
        labels = read_label_size(asked["labels"]) if asked.get("labels") else None
        sheet = _of_book(desk, wanted, day, tuple(asked.getlist("of")), labels)
    size = size_for(desk.studio.studio.country if desk.studio else None)
    pdf = desk.worker.call(heavy.print_sheet, wanted.name, sheet, size)
    # shown and not saved: on a phone a file that was saved is nowhere to be seen
    of = f"-{asked['edition']}" if wanted.from_plan is not None else ""
    named = f'inline; filename="{wanted.name}{of}.pdf"'
    return Response(pdf, media_type="application/pdf", headers={"content-disposition": named})


def _plan(desk: Desk, edition: str) -> Plan:
    plan = desk.plan_now(edition)
    if plan is None:
        raise HTTPException(404)
    if isinstance(plan, NoPlan):
        raise NotDoable(plan.fault)
    return plan


def _of_book(
    desk: Desk, kind: Kind, day: date | None, of: tuple[str, ...], labels: LabelSize | None
) -> Sheet:
    assert kind.from_book is not None  # noqa: S101 - a kind is made from a plan or from the book
    address = address_of(desk) if desk.lan else ""
    with desk.book.reading() as reading:
        at = at_hand(reading, desk.book, desk.folder, day or desk.today(), of, address, labels)
        return kind.from_book(at)
