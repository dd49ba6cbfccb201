"""A plan's milestones as ``plan.ics``, a calendar file by RFC 5545.

Each milestone keeps its id from one plan of an edition to the next, so that a
calendar that takes the file in again moves its entries and adds none twice.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from pourwright.plan.plan import Plan
from pourwright.report.answer import wanted
from pourwright.report.plaster import mixed
from pourwright.report.saying import Say, count

MAKER = "-//Pourwright//Edition plan 1//EN"
HOST = "pourwright.invalid"
"""No host of that name can exist (RFC 2606), so no other program makes the same ids."""
NUMBERED_FROM = date(2000, 1, 1)


@dataclass(frozen=True, slots=True)
class Milestone:
    """A day of the plan worth an entry: its key, its words, and what to know then."""

    key: str
    day: date
    words: str
    about: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """A whole-day entry of a calendar: its id, day and words, which change it is and when that was made."""

    uid: str
    day: date
    summary: str
    about: str
    sequence: int
    changed: datetime


def calendar_ics(name: str, entries: Iterable[Entry]) -> str:
    """Return entries as the text of a calendar by RFC 5545, lines ended by CR LF.

    The same entries give the same bytes.
    """
    from icalendar import Calendar, vText

    calendar = Calendar()
    calendar.add("prodid", MAKER)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    # RFC 7986; the library does not know that it is text, which is to be escaped
    calendar["name"] = vText(name)
    for entry in entries:
        calendar.add_component(_event(entry))
    text: str = calendar.to_ical().decode("utf-8")
    return text


def _event(entry: Entry) -> Any:
    from icalendar import Event

    event = Event()
    event.add("uid", entry.uid)
    event.add("dtstamp", entry.changed)
    event.add("last-modified", entry.changed)
    event.add("sequence", entry.sequence)
    event.add("dtstart", entry.day)
    event.add("dtend", entry.day + timedelta(days=1))  # RFC 5545: the end is not taken in
    event.add("summary", entry.summary)
    event.add("description", entry.about)
    event.add("transp", "TRANSPARENT")
    return event


def plan_ics(plan: Plan, zone: str = "UTC") -> str:
    """Return a plan's milestones as the text of ``plan.ics``.

    Parameters
    ----------
    plan : Plan
        The plan.
    zone : str
        IANA name of the studio's time zone. Milestones are whole days and mean
        the same everywhere; the zone only tells when the plan's own day began.

    Returns
    -------
    str
        A calendar of whole-day entries, lines ended by CR LF, the same for the
        same plan. Entries carry the ids ``<edition>.<milestone>@pourwright.invalid``
        and a sequence number that grows with the day of planning.

    Notes
    -----
    A milestone that a later plan no longer has (a fifth pour, say) is not in its
    file, and a calendar that was fed by hand keeps the old entry.
    """
    as_of = plan.as_of
    began = datetime(as_of.year, as_of.month, as_of.day, tzinfo=ZoneInfo(zone)).astimezone(UTC)
    planned = f"Planned on {Say.of(plan).day(as_of)}; a forecast, not a promise."
    entries = (
        Entry(
            uid=uid_of(plan, one),
            day=one.day,
            summary=f"{plan.edition.name}: {one.words}",
            about=f"{one.about} {planned}".strip(),
            sequence=least_sequence(as_of),
            changed=began,
        )
        for one in milestones(plan)
    )
    return calendar_ics(f"{plan.edition.name}, edition plan", entries)


def uid_of(plan: Plan, milestone: Milestone) -> str:
    """Return the id of a milestone's entry, the same in every plan of the edition."""
    return f"{plan.edition.id}.{milestone.key}@{HOST}"


def least_sequence(day: date) -> int:
    """Return the sequence number that a change made on a day has at least.

    Examples
    --------
    >>> least_sequence(date(2000, 1, 11))
    10
    """
    return max((day - NUMBERED_FROM).days, 0)


def milestones(plan: Plan) -> tuple[Milestone, ...]:
    """Return the days of a plan worth an entry, in their order.

    Returns
    -------
    tuple of Milestone
        Every pour, molds dry, first cast, last safe pour, proofs out of the
        glaze, the finish expected and with the confidence asked, and the date wished for.
    """
    found = [*_pours(plan), *_casting(plan), *_gate(plan), *_finish(plan)]
    return tuple(sorted(found, key=lambda one: (one.day, one.key)))


def _pours(plan: Plan) -> Iterator[Milestone]:
    """Yield every pouring session, with its cautions, and the last safe pour."""
    sessions = plan.plaster.session_list
    care = " ".join(c.text for c in plan.cautions if c.step == "pour-list")
    for number, one in enumerate(sessions, start=1):
        what = f"pour {count(one.molds, 'mold')}"
        mixes = mixed([batch for batch in plan.plaster.batches if batch.session == one.number])
        about = f"Session {number} of {len(sessions)}, {count(mixes, 'batch', 'batches')}."
        yield Milestone(
            f"pour-{number}",
            one.date,
            f"first pour, {count(one.molds, 'mold')}" if number == 1 else what,
            f"{about} {care}".strip(),
        )
    last = plan.answer.last_safe_pour
    if last is not None:
        yield Milestone(
            "last-safe-pour", last, "last safe pour", "A mold poured later does not help your date."
        )


def _casting(plan: Plan) -> Iterator[Milestone]:
    """Yield when all molds are dry and when the first cast that counts is made."""
    drying = next((s for s in plan.stages if s.name == "mold drying"), None)
    if drying is not None:
        about = f"Expected: {drying.note}. " if drying.note else ""
        yield Milestone(
            "molds-dry",
            drying.ends,
            "molds dry",
            f"{about}A mold is dry when two weighings a day apart agree.",
        )
    if plan.answer.first_cast is not None and plan.book is None:
        yield Milestone("first-cast", plan.answer.first_cast, "first cast")


def _gate(plan: Plan) -> Iterator[Milestone]:
    """Yield when the first load comes out of the glaze, if the others wait for it."""
    waits = {s.field: s.value for s in plan.sources}.get("firing.glaze_gate", "true")
    out = next(
        (
            entry.date
            for entry in plan.calendar
            if any(one.stage == "unload glaze" for one in entry.doing)
        ),
        None,
    )
    if out is not None and waits == "true":
        words = "proofs out of the glaze" if plan.edition.proofs else "first glaze load out"
        yield Milestone("glaze-gate", out, words, "Judge them before the next glaze load.")


def _finish(plan: Plan) -> Iterator[Milestone]:
    """Yield the finish at even odds and as may be promised, and the date wished for."""
    answer, odds = plan.answer, plan.odds
    done = f"{wanted(plan)} finished"
    yield Milestone(
        "finish", odds.finish.p50, f"{done}, at even odds", "As often later as earlier."
    )
    yield Milestone("finish-90", odds.finish.p90, f"{done}, nine times in ten")
    if answer.deadline is not None:
        word = f"At planning it was {odds.word}." if odds.word else ""
        yield Milestone("deadline", answer.deadline, "your date", word)
