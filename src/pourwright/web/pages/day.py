"""The day sheet typed in afterwards: one form in the sheet's order, and late entries come of it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import Response

from pourwright.errors import Asks, Refused
from pourwright.ledger.answer import BookRefusal
from pourwright.ledger.kinds.table import kind_of
from pourwright.paper.at_hand import at_hand
from pourwright.reading import read_day
from pourwright.studio.commands import answered
from pourwright.studio.day import (
    BLANKS,
    BROKEN,
    BROKEN_KEY,
    CAUSES_OF,
    DONE,
    IN_ORDER,
    TICKED,
    TITLES,
    DayTask,
    Doing,
    day_tasks,
    left_over,
    written_commands,
)
from pourwright.web.desk import Desk, desk_of, who_asks
from pourwright.web.forms import Typed, TypedForm, corrected_fields, with_units
from pourwright.web.refused import keep_page
from pourwright.web.render import back, new_id, page

router = APIRouter()

MEASURED: dict[Doing, str] = {"read": "read-lot", "weigh": "weigh"}
"""The work whose blanks take figures with a unit, and the verb that has those fields."""

WRITTEN_ONCE = {"note": "note", "break-part": BROKEN_KEY}
"""Verbs of lines that no day asks for, and how their fields begin."""

NOT_ASKED = (
    "Some of it the day does not ask for any more, perhaps because it is written down already. "
    "It was not written now and stands below; empty it, or write it down on the page of the thing."
)


@router.get("/day")
def day_form(request: Request) -> Response:
    """Show what the day asked for, with a field for each blank of the sheet."""
    desk = desk_of(request)
    typed = with_units(dict(request.query_params))
    day = _day(request, desk, typed)
    return page(request, "day.html", **_shown(desk, day, typed))


@router.post("/day")
def write_day(request: Request, typed: TypedForm) -> Response:
    """Write down what was filled in, each thing by itself; what is refused stays on the page."""
    desk = desk_of(request)
    day = _day(request, desk, typed)
    by = str(typed.get("by", "")).strip() or who_asks(request).name
    usual = {"by": by, "zone": desk.zone.key}
    go_on = {"go_on": "yes"} if typed.get("go_on") else {}
    said: list[str] = []
    places: list[int] = []
    refused: list[BookRefusal] = []
    tasks = _tasks(desk, day)
    left = left_over(tasks, typed)
    for at, command in enumerate(written_commands(tasks, typed, day)):
        named = command | go_on | {"id": f"{typed.get('id') or new_id()}-{at}"}
        answer = answered(desk.book, named, usual, desk.clock.now())
        if isinstance(answer, BookRefusal):
            refused.append(answer)
        else:
            said.append(answer.said)
            places.append(answer.seq)
            typed = _without(typed, WRITTEN_ONCE.get(str(command["do"]), ""))
    keep_page(request, "day.html", **_shown(desk, day, typed, tuple(said), left))
    if refused or left:
        why = [sentence for one in refused for sentence in one.refused]
        why += [NOT_ASKED] if left else []
        raise (Refused if left or not all(one.asks for one in refused) else Asks)(why)
    words = " ".join(said) or "Nothing was filled in, so nothing was written down."
    return back("/", words, undo=places)


def _without(typed: Typed, begins: str) -> Typed:
    """Return what was typed without the fields that begin so, which are written down already."""
    return {name: text for name, text in typed.items() if not begins or not name.startswith(begins)}


def _day(request: Request, desk: Desk, typed: Typed) -> date:
    today, told = desk.today(), str(typed.get("day", ""))
    if not told:
        return today
    keep_page(request, "day.html", **_shown(desk, today, typed))
    return read_day(told, today, "day")


def _tasks(desk: Desk, day: date) -> tuple[DayTask, ...]:
    with desk.book.reading() as reading:
        at = at_hand(reading, desk.book, desk.folder, day)
        return day_tasks(reading, tuple(at.editions()), day, at.zone)


def _shown(
    desk: Desk,
    day: date,
    typed: Typed | None = None,
    written: tuple[str, ...] = (),
    left: Mapping[str, str] | None = None,
) -> dict[str, Any]:
    """Return what the page shows; what was written down already is not asked again."""
    tasks = _tasks(desk, day)
    groups = [
        (
            TITLES[doing],
            BLANKS[doing],
            CAUSES_OF.get(doing, ()),
            [one for one in tasks if one.doing == doing],
        )
        for doing in IN_ORDER
    ]
    units = {
        (doing, one.name): one.units[:1]
        for doing, verb in MEASURED.items()
        for one in corrected_fields(kind_of(verb), desk.units)
    }
    return {
        "units": units,
        "title": "Type the day sheet in",
        "here": "today",
        "day": day,
        "groups": [group for group in groups if group[3]],
        "broken": BROKEN,
        "broken_key": BROKEN_KEY,
        "done": DONE,
        "ticked": TICKED,
        "written": written,
        "left": left_over(tasks, typed or {}) if left is None else left,
        "typed": typed or {},
    }
