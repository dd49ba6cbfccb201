"""Today: the slate by the door."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.briefs.folder import brief_path, stamps
from pourwright.report.saying import day
from pourwright.studio.today import first_words, name_of, slate
from pourwright.web import heavy
from pourwright.web.desk import Desk, desk_of
from pourwright.web.kept_fits import plaster_heat
from pourwright.web.render import page

router = APIRouter()

_MOST_KEPT = 32


@router.get("/")
def today(request: Request) -> Response:
    """Show what to do now and next, and how many pieces may be offered."""
    desk = desk_of(request)
    now = desk.now()
    with desk.book.reading() as reading:
        found = slate(reading, desk.folder, now, desk.units)
        seq = reading.head().seq
    if found.has_batch:  # its next taps have windows by the thermometer's logs, as at the bench
        windows = plaster_heat(desk).windows
        with desk.book.reading() as reading:
            found = slate(reading, desk.folder, now, desk.units, windows)
    offers = [(one, name, _kept(desk, one, seq)) for one, name in found.open_editions]
    return page(
        request, "today.html", title="Today", here="today", slate=found, offers=offers,
        day=day(now.date().isoformat()), sub=first_words(found.now),
    )  # fmt: skip


@router.get("/offered/{edition}")
def offered(request: Request, edition: str) -> Response:
    """Work out how many pieces of an edition may be offered today; a few seconds of work."""
    desk = desk_of(request)
    path = brief_path(desk.folder, edition)
    with desk.book.reading() as reading:
        name, seq = name_of(reading.things, edition), reading.head().seq
    if name is None:
        raise HTTPException(404)
    answer = _kept(desk, edition, seq)
    if answer is None and path is not None:
        answer = desk.worker.call(heavy.offered, desk.folder, path, desk.today())
        _keep(desk, edition, seq, answer)
    return page(
        request, "offered.html", title="May be offered", here="today", edition=edition, name=name,
        answer=answer, has_brief=path is not None, by_date=by_date,
    )  # fmt: skip


def _shelf(desk: Desk) -> dict[Any, dict[str, Any]]:
    """Return what was worked out since the server started, by edition, entry of the book and day."""
    kept: dict[Any, dict[str, Any]] = desk.__dict__.setdefault("offered_kept", {})
    return kept


def _kept(desk: Desk, edition: str, seq: int) -> dict[str, Any] | None:
    """Return an answer that still holds: nothing was written and no file changed since."""
    return _shelf(desk).get(_key(desk, edition, seq))


def _keep(desk: Desk, edition: str, seq: int, answer: dict[str, Any]) -> None:
    kept = _shelf(desk)
    if len(kept) >= _MOST_KEPT:
        kept.clear()
    kept[_key(desk, edition, seq)] = answer


def _key(desk: Desk, edition: str, seq: int) -> tuple[Any, ...]:

    return edition, seq, desk.today(), stamps(desk.folder, edition)


def by_date(answer: dict[str, Any]) -> list[tuple[str, str]]:
    """Return dates and pieces as the table shows them.

    Examples
    --------
    >>> by_date({"by_date": [{"date": "2036-08-05", "pieces": 12}]})
    [('Tue 5 Aug 2036', '12')]
    """
    return [(day(one["date"]), str(one["pieces"])) for one in answer["by_date"]]
