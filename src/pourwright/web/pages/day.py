"""The day sheet typed in afterwards: one form in the sheet's order, and late entries come of it."""

from __future__ import annotations

from datetime import date
from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import Response

from pourwright.errors import Asks, Refused
from pourwright.ledger.answer import BookRefusal
from pourwright.paper.at_hand import at_hand
from pourwright.reading import read_day
from pourwright.studio.commands import answered
from pourwright.studio.day import (
    BLANKS,
    DONE,
    IN_ORDER,
    TICKED,
    TITLES,
    DayTask,
    day_tasks,
    written_commands,
)
from pourwright.web.desk import Desk, desk_of, who_asks
from pourwright.web.forms import Typed, TypedForm
from pourwright.web.refused import keep_page
from pourwright.web.render import back, new_id, page

router = APIRouter()


@router.get("/day")
def day_form(request: Request) -> Response:
    """Show what the day asked for, with a field for each blank of the sheet."""
    desk = desk_of(request)
    day = _day(desk, request.query_params.get("day", ""))
    return page(request, "day.html", **_shown(desk, day))


@router.post("/day")
def write_day(request: Request, typed: TypedForm) -> Response:
    """Write down what was filled in, each thing by itself; what is refused stays on the page."""
    desk = desk_of(request)
    day = _day(desk, str(typed.get("day", "")))
    usual = {"by": who_asks(request).name, "zone": desk.zone.key}
    go_on = {"go_on": "yes"} if typed.get("go_on") else {}
    said: list[str] = []
    refused: list[BookRefusal] = []
    for at, command in enumerate(written_commands(_tasks(desk, day), typed, day)):
        named = command | go_on | {"id": f"{typed.get('id') or new_id()}-{at}"}
        answer = answered(desk.book, named, usual, desk.clock.now())
        if isinstance(answer, BookRefusal):
            refused.append(answer)
        else:
            said.append(answer.said)
    keep_page(request, "day.html", **_shown(desk, day, typed, tuple(said)))
    if refused:
        why = [sentence for one in refused for sentence in one.refused]
        raise (Asks if all(one.asks for one in refused) else Refused)(why)
    return back("/", " ".join(said) or "Nothing was filled in, so nothing was written down.")


def _day(desk: Desk, told: str) -> date:
    return read_day(told, desk.today(), "day") if told else desk.today()


def _tasks(desk: Desk, day: date) -> tuple[DayTask, ...]:
    with desk.book.reading() as reading:
        at = at_hand(reading, desk.book, desk.folder, day)
        return day_tasks(reading, tuple(at.editions()), day, at.zone)


def _shown(
    desk: Desk, day: date, typed: Typed | None = None, written: tuple[str, ...] = ()
) -> dict[str, Any]:
    """Return what the page shows; what was written down already is not asked again."""
    tasks = _tasks(desk, day)
    groups = [
        (TITLES[doing], BLANKS[doing], [one for one in tasks if one.doing == doing])
        for doing in IN_ORDER
    ]
    return {
        "title": "Type the day sheet in",
        "here": "today",
        "day": day,
        "groups": [group for group in groups if group[2]],
        "done": DONE,
        "ticked": TICKED,
        "written": written,
        "typed": typed or {},
    }
