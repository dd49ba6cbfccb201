"""Sheets and tags for the printer, one address for every kind."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.errors import NotDoable
from pourwright.paper.kinds import find_kind
from pourwright.paper.printing import size_for
from pourwright.reading import read_day
from pourwright.studio.plans import NoPlan
from pourwright.web import heavy
from pourwright.web.desk import desk_of

router = APIRouter()


@router.get("/paper/{kind}.pdf")
def paper(request: Request, kind: str) -> Response:
    """Print a sheet: a plan's by its edition, for one day of it if that is told."""
    desk, asked = desk_of(request), request.query_params
    wanted = find_kind(kind)
    told = asked.get("day")
    day = read_day(told, desk.today(), "day") if told else None
    plan = desk.plan_now(asked.get("edition", ""))
    if plan is None:
        raise HTTPException(404)
    if isinstance(plan, NoPlan):
        raise NotDoable(plan.fault)
    sheet = wanted.from_plan(plan, day)
    size = size_for(desk.studio.studio.country if desk.studio else None)
    pdf = desk.worker.call(heavy.print_sheet, wanted.name, sheet, size)
    named = f'attachment; filename="{wanted.name}.pdf"'
    return Response(pdf, media_type="application/pdf", headers={"content-disposition": named})
