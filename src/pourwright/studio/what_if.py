"""What if there were other molds, another size, another date or other hours."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from pourwright.briefs.edition_fields import FIELDS
from pourwright.briefs.read_field import read_file_value
from pourwright.briefs.reading import open_brief
from pourwright.briefs.studio_fields import FIELDS as STUDIO_FIELDS
from pourwright.errors import BadInput, Complaint, as_written
from pourwright.ledger.documents import EditionDoc
from pourwright.plan.beside import case_beside
from pourwright.plan.case import ToPlan
from pourwright.plan.odds import plan_outlook
from pourwright.plan.outlook import Effort, best_outlook
from pourwright.plan.plan import Forecast
from pourwright.reading import Sheet
from pourwright.report.answer import TONES
from pourwright.report.blocks import Figure, Glance, Table
from pourwright.report.charts.molds import molds_chart
from pourwright.report.charts.records import PHONE, Deadline, MoldsFinish
from pourwright.report.charts.render import svg_in_page
from pourwright.report.saying import Say, count, day
from pourwright.studio.book import BOOK_FILE, open_book
from pourwright.studio.plans import read_edition

_SPECS = {one.name: one for one in (*FIELDS, *STUDIO_FIELDS)}
ASKED = {
    "pieces": "edition.pieces",
    "molds": "edition.molds",
    "deadline": "edition.deadline",
    "hours": "time.hours_a_day",
}
"""What may be other than in the brief, and the field that it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What is to be other than in the brief; None for what stays.

    ``minutes`` are the hands-on time of one person on a working day. [min]
    """

    pieces: int | None = None
    molds: int | None = None
    deadline: date | None = None
    minutes: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """The outlook of an edition as it is wished: what it takes, when it ends, what it costs."""

    pieces: int
    molds: int
    casts: int
    loads: int
    deadline: date | None
    minutes: float
    cost: Decimal | None
    say: Say
    forecast: Forecast


def wish_of(typed: Mapping[str, str], today: date, units: str = "metric") -> Wish:
    """Return what was typed, by the names of `ASKED`, as a wish; everything wrong told at once.

    Raises
    ------
    BadInput
        With a complaint for each that cannot be used.

    Examples
    --------
    >>> wish_of({"molds": "5", "hours": "4 h"}, date(2036, 1, 1)).minutes
    240.0
    """
    sheet, complaints = Sheet("", today, units), list[Complaint]()
    found: dict[str, Any] = {}
    for name, path in ASKED.items():
        if text := typed.get(name, "").strip():
            try:
                found[name] = read_file_value(text, _SPECS[path], name, sheet)
            except BadInput as error:
                complaints += error.complaints
    if isinstance(found.get("deadline"), date) and found["deadline"] <= today:
        complaints.append(
            Complaint(
                "deadline",
                as_written(typed["deadline"]),
                f"it must be after today, {day(today, units=units)}",
            )
        )
    if complaints:
        raise BadInput(complaints)
    found["minutes"] = found.pop("hours", None)
    return Wish(**found)


def what_if(folder: Path, path: Path, today: date, wish: Wish) -> WhatIf:
    """Return the outlook of an edition with some things other than in its brief.

    Raises
    ------
    StudioError
        If the brief cannot be read, or such an edition cannot be made here.
    """
    edition = _wished(_read(folder, path, today, wish), wish)
    effort = Effort()
    case = case_beside(edition, today, (), effort)
    there = len(case.edition.already.molds)
    if wish.molds is not None and wish.molds < there:
        raise BadInput.one(
            "molds", str(wish.molds), f"write at least {there}; so many stand already"
        )
    look = best_outlook(case, effort)
    chosen = look.choice.chosen
    return WhatIf(
        pieces=case.brief.edition.pieces,
        molds=chosen.molds,
        casts=chosen.casts + chosen.conditioning,
        loads=sum(chosen.loads),
        deadline=case.brief.edition.deadline,
        minutes=case.studio.time.minutes_a_day,
        cost=look.cost_of(chosen).total,
        say=Say(case.studio.studio.units, case.studio.studio.currency),
        forecast=plan_outlook(look, today),
    )


def _read(folder: Path, path: Path, today: date, wish: Wish) -> ToPlan:
    """Read the brief and, where the book has the edition, what is true of it."""
    file = open_brief(path)
    if not (folder / BOOK_FILE).is_file():
        return ToPlan(*file.read(file.day_read(today)))
    book = open_book(folder, create=False)
    with book.store, book.reading() as reading:
        edition = read_edition(file, today, reading, book.zone)
        doc = reading.things.get(EditionDoc, file.edition_id)
    if doc is None or edition.standing is None:
        return edition
    return replace(edition, standing=replace(edition.standing, pieces=_size(doc, wish)))


def _size(doc: EditionDoc, wish: Wish) -> int:
    """Return the size that is wished; it is free until a number is marked."""
    now = doc.pieces
    if wish.pieces not in (None, now) and doc.frozen:
        raise BadInput.one(
            "pieces", str(wish.pieces), f"a piece bearing /{now} is marked, so it stays {now}"
        )
    return wish.pieces or now


def _wished(edition: ToPlan, wish: Wish) -> ToPlan:
    brief, studio = edition.brief, edition.studio
    declared = replace(
        brief.edition,
        pieces=wish.pieces or brief.edition.pieces,
        molds=wish.molds or brief.edition.molds,
        deadline=wish.deadline or brief.edition.deadline,
    )
    brief = replace(brief, edition=declared)
    if wish.minutes is not None:
        studio = replace(studio, time=replace(studio.time, minutes_a_day=wish.minutes))
    return replace(edition, brief=brief, studio=studio)


def changed(wish: Wish, planned: WhatIf) -> Wish:
    """Return a wish without what is as planned anyway; so many molds as planned may be wished for.

    Without a wish another size takes as many molds as it needs.
    """
    kept = {
        name: None if told == getattr(planned, name) else told
        for name, told in asdict(wish).items()
    }
    return Wish(**kept | {"molds": wish.molds})


def as_planned(planned: WhatIf, today: date) -> dict[str, str]:
    """Return the outlook as planned as it would be typed, by the names of `ASKED`; a date that is past, empty."""
    deadline = planned.deadline if planned.deadline and planned.deadline > today else None
    return {
        "molds": str(planned.molds),
        "pieces": str(planned.pieces),
        "deadline": planned.say.day(deadline, weekday=False) if deadline else "",
        "hours": planned.say.duration(planned.minutes),
    }


def what_if_words(found: Sequence[WhatIf]) -> Glance:
    """Return the outlook in one look: the one wished for beside the one as planned, or that alone."""
    planned, then = found[0], found[-1]
    rows: tuple[tuple[str, Callable[[WhatIf], str]], ...] = (
        ("The date", lambda one: one.forecast.word or "none to keep"),
        ("Molds in use at once", lambda one: str(one.molds)),
        ("Casts to make", lambda one: str(one.casts)),
        ("Kiln loads to fire", lambda one: str(one.loads)),
        ("Still to spend", lambda one: one.say.money(one.cost)),
    )
    days = (then.forecast.p50 - planned.forecast.p50).days
    moved = f"{count(abs(days), 'day')} {'later' if days > 0 else 'sooner'} than planned"
    if not days:
        moved = "the day that is planned"
    ends = f"Even odds by {then.say.day(then.forecast.p50)}"
    return Glance(
        f"{ends}, {moved}" if then is not planned else ends,
        tuple(
            (
                label,
                tell(then),
                "" if tell(then) == tell(planned) else f"{tell(planned)} as planned",
            )
            for label, tell in rows
        ),
        TONES.get(then.forecast.word, "open"),
    )


def what_if_figure(found: Sequence[WhatIf]) -> Figure:
    """Return when the last piece is packed, a bar for each outlook, drawn as narrow as a phone."""
    named = list(zip(("as planned", "what if"), found, strict=False))
    ends = [
        (one.say.day(one.forecast.p10, weekday=False), one.say.day(one.forecast.p90, weekday=False))
        for one in found
    ]
    bars = [
        MoldsFinish(one.molds, one.forecast.p10, one.forecast.p50, one.forecast.p90, word)
        for word, one in named
    ]
    deadline = found[-1].deadline
    look = replace(PHONE, month_first=found[0].say.units == "us")
    drawing = molds_chart(bars, look, deadline=Deadline(deadline) if deadline else None)
    return Figure(
        "what-if",
        "When the last piece is packed, by molds in use",
        "; ".join(
            f"with {count(one.molds, 'mold')}, {word}, eight times in ten between {first} and {last}"
            for (word, one), (first, last) in zip(named, ends, strict=True)
        ).capitalize(),
        Table(
            "Eight times in ten between",
            (("Outlook", "left"), ("Molds", "right"), ("From", "left"), ("To", "left")),
            tuple(
                (word.capitalize(), str(one.molds), first, last)
                for (word, one), (first, last) in zip(named, ends, strict=True)
            ),
        ),
        key="Bar: eight times in ten. Disc: even odds.",
        svg_phone=svg_in_page(drawing),
    )
