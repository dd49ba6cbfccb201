"""Today: the slate by the door."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.briefs.folder import brief_path
from pourwright.ledger.said import names_said
from pourwright.ledger.things import Things
from pourwright.plan.plan import Plan
from pourwright.report.saying import day
from pourwright.studio.deliveries import ToBuyShown, making_here, planned_here, to_buy_shown
from pourwright.studio.edition import Foot, feet
from pourwright.studio.plans import NoPlan, Offer, offer_of, spoken_for
from pourwright.studio.today import by_the_plan, first_words, name_of, slate
from pourwright.studio.week import week_ahead
from pourwright.web.desk import desk_of
from pourwright.web.kept_fits import plaster_heat
from pourwright.web.render import page

router = APIRouter()


@router.get("/")
def today(request: Request) -> Response:
    """Show what to do now and next, and how many pieces may be offered."""
    desk = desk_of(request)
    now = desk.now()
    with desk.book.reading() as reading:
        found = slate(reading, desk.folder, now, desk.units)
        making = making_here(reading, desk.folder, now.date())
    if found.has_batch:  # its next taps have windows by the thermometer's logs, as at the bench
        windows = plaster_heat(desk).windows
        with desk.book.reading() as reading:
            found = slate(reading, desk.folder, now, desk.units, windows)
    kept = desk.plans_kept(one for one, _ in found.open_editions)
    plans = [(one, name, kept[one]) for one, name in found.open_editions]
    waits = [one for one, *_ in plans if kept[one] is None and brief_path(desk.folder, one)]
    shown = [
        (one, name, desk.plan_before(one) if one in waits else plan) for one, name, plan in plans
    ]
    sound = [(one, name, plan) for one, name, plan in shown if isinstance(plan, Plan)]
    with desk.book.reading() as reading:
        offers = [(one, name, _offer(plan, reading.things, one)) for one, name, plan in plans]
        planned_ones = planned_here(desk.folder, sound, now.date())
        buys = to_buy_shown(reading.things, planned_ones, making)
    week = week_ahead([(name, plan) for _, name, plan in sound], now.date())
    in_week = [(one, name) for one, name, plan in sound if week_ahead([(name, plan)], now.date())]
    planned = by_the_plan(sound, now.date(), found.off, found.block_begun, waits)
    return page(
        request,
        "today.html",
        title="Today",
        here="today",
        slate=found,
        next=sorted((*found.next, *planned), key=lambda one: one.rank),
        offers=offers,
        week=week,
        former=former_said(in_week, waits),
        waits=waits,
        buy=soon_to_buy(buys, now.date()),
        day=day(now.date()),
        sub=first_words(found.now),
    )


def former_said(in_week: Sequence[tuple[str, str]], waits: Collection[str]) -> str:
    """Return whose part of the week is of a plan from before; nobody is named where all of it is.

    Parameters
    ----------
    in_week : sequence of (str, str)
        Id and name of each edition that has work in the week.
    waits : collection of str
        Editions whose plan is being worked out again.

    Examples
    --------
    >>> former_said([("jug", "Jug"), ("cup", "Cup")], ["cup"]), former_said([("jug", "Jug")], ["cup"])
    ('Cup as worked out before', '')
    """
    names = [name for one, name in in_week if one in waits]
    whose = f"{names_said(names)} " if len(names) < len(in_week) else ""
    return f"{whose}as worked out before" if names else ""


SOON = timedelta(days=14)
"""How far Today looks ahead for what is to be bought, as the plan's own page does: our own choice."""


def soon_to_buy(buys: Sequence[ToBuyShown], today: date) -> tuple[str, str] | None:
    """Return what is to be bought soon, and when it is first used; None if nothing is to be bought."""
    if not buys:
        return None
    soon = max(buys[0].by, today + SOON)
    now = [one for one in buys if one.by <= soon]
    note = f"first used on {buys[0].first_used}"
    note += "; more later" if len(buys) > len(now) else ""
    return "; ".join(one.words for one in now), note


def _offer(plan: Plan | NoPlan | None, things: Things, edition: str) -> Offer | NoPlan | None:
    spoken = spoken_for(things, edition) if isinstance(plan, Plan) else 0
    return None if plan is None else offer_of(plan, spoken)


@router.get("/offered/{edition}")
def offered(request: Request, edition: str) -> Response:
    """Work out how many pieces of an edition may be offered today; a few seconds of work."""
    desk = desk_of(request)
    with desk.book.reading() as reading:
        name = name_of(reading.things, edition)
    if name is None:
        raise HTTPException(404)
    plan = desk.plan_now(edition)
    with desk.book.reading() as reading:
        answer = _offer(plan, reading.things, edition)
        numbers = feet(reading.things, edition, "numbered")
    return page(
        request,
        "offered.html",
        title="May be offered",
        here="today",
        edition=edition,
        name=name,
        answer=answer,
        has_brief=plan is not None,
        shelves=shelves_of(answer, numbers, desk.today(), desk.units)
        if isinstance(answer, Offer)
        else (),
    )


@dataclass(frozen=True, slots=True)
class OfferShelf:
    """Feet that may be promised by the same day, or are set aside: the words above them, and a note."""

    words: str
    note: str
    feet: tuple[Foot, ...]


SET_ASIDE = ("sold", "away", "given", "gone", "settled")
NEAREST_FIRST = ("done", "fired", "kiln", "half", "raw", "none", "lost")
"""The feet that may be promised, those that are soonest in a box first."""


def shelves_of(
    answer: Offer, all_feet: Sequence[Foot], today: date, units: str
) -> list[OfferShelf]:
    """Return a shelf for each day on which more may be promised than before, then what is set aside.

    Which piece is ready by a day is not known; those that are farthest on stand on the first shelf.
    """
    aside = tuple(one for one in all_feet if one.is_sold or one.shape in SET_ASIDE)
    waiting = sorted(
        (one for one in all_feet if one not in aside),
        key=lambda one: NEAREST_FIRST.index(one.shape),
    )
    shelves, before = [], 0
    for one in answer.by_date:
        if one.pieces > before:
            by = "Today" if one.date <= today else f"By {day(one.date, units=units)}"
            note = f"{one.pieces - before} more, {one.pieces} in all" if before else f"{one.pieces}"
            shelves.append(OfferShelf(by, note, tuple(waiting[before : one.pieces])))
            before = one.pieces
    left = tuple(waiting[before:])
    shelves += (
        [OfferShelf("Not promised", f"{len(left)} held against losses", left)] if left else []
    )
    if aside:
        shelves.append(OfferShelf("Set aside", f"{len(aside)} sold, gone or settled", aside))
    return shelves
