"""The plan that goes on from the book: what is true now, what was counted, and the first plan beside it."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

from msgspec.structs import replace

from pourwright.briefs.folder import edition_id, read_on
from pourwright.briefs.reading import read_brief
from pourwright.briefs.toml_file import load
from pourwright.errors import StudioError
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.replaying import effective
from pourwright.plan.beside import case_beside
from pourwright.plan.make import make_plan
from pourwright.plan.molds import choose_molds
from pourwright.plan.odds import RUNS, Effort, outlook, plan_outlook
from pourwright.plan.plan import (
    Forecast,
    FromBook,
    OfferBy,
    OwnFigure,
    Plan,
    StandingWare,
    Word,
)
from pourwright.plan.standing import Standing, in_order
from pourwright.plan.standing_from_book import (
    day_of,
    edition_doc,
    need_of,
    standing_from_book,
)
from pourwright.report.charts.palette import Scheme
from pourwright.report.charts.records import LOOKS
from pourwright.report.charts.render import svg_image
from pourwright.report.plan_charts import chart, plan_figures
from pourwright.studio.book import BOOK_FILE, open_book

STAGE_BEFORE = {"bisque": "greenware", "glaze": "bisque", "third": "fired"}
"""What waits before a firing is called, where the firing is not the first."""


def plan_from_book(
    brief_path: Path,
    today: date,
    runs: int = RUNS,
    beside: Sequence[Path] = (),
    where: Path | None = None,
) -> Plan:
    """Return the plan of a brief, going on from what the book says is true.

    Parameters
    ----------
    brief_path : Path
        The edition's file.
    today : date
        The day it is.
    runs : int
        How many runs of chance stand behind the odds. [-]
    beside : sequence of Path
        Briefs of other editions with the first claim; those that the book has go on from it too.
    where : Path, optional
        The folder of the book, or its file; without it, the studio file's folder.

    Raises
    ------
    StudioError
        If a file has faults, there is no book, or it does not have the edition.
    """
    folder = where or _studio_folder(brief_path)
    book = open_book(folder, create=False)
    with book.store, book.reading() as reading:
        standings = _standings(reading, brief_path, today, beside, book.zone)
        own = standings[edition_id(brief_path)]
        plan = make_plan(brief_path, today, runs, beside, standings)
        first = first_plan(reading, brief_path, own, Effort(max(runs // 5, 100)))
        return replace(plan, book=from_book(reading, plan, own, first))


def _studio_folder(brief_path: Path) -> Path:
    """Return the folder of the studio that a brief names."""
    written = load(brief_path).get("studio", "studio.toml")
    if not isinstance(written, str):
        return brief_path.parent
    return (brief_path.parent / written).parent


def _standings(
    reading: Reading, brief_path: Path, today: date, beside: Sequence[Path], zone: str
) -> dict[str, Standing]:
    """Return what is true of each edition that the book knows; the brief's own must be among them."""
    found = {}
    for path in (brief_path, *beside):
        name = edition_id(path)
        if path is not brief_path and reading.things.get("edition", name) is None:
            continue
        edition = edition_doc(reading.things, name)
        planned = read_on(path, day_of(edition["planned_at"], zone))
        brief, studio = read_brief(path, planned)
        standing = standing_from_book(reading.things, brief, studio, today)
        found[name] = dataclasses.replace(standing, planned_on=planned)
    return found


def first_plan(
    reading: Reading, brief_path: Path, standing: Standing, effort: Effort
) -> Forecast | None:
    """Return the outlook of the plan as it was when the edition was planned.

    Worked out again from the brief that the book kept, on the day it was kept, in
    the studio as its file says now.

    Returns
    -------
    Forecast or None
        None if the book kept no brief, or one that cannot be planned any more.
    """
    entries = effective(reading.entries(edition_id(brief_path)))
    kept = next((e.body.get("brief") for e in entries if e.kind == "edition-planned"), None)
    if kept is None:
        return None
    with ExitStack() as stack:
        folder = Path(stack.enter_context(TemporaryDirectory()))
        path = folder / brief_path.name
        path.write_text(kept, encoding="utf-8")
        written = load(path).get("studio", "studio.toml")
        studio = brief_path.parent / str(written)
        target = folder / str(written)
        if target.resolve().parent != folder.resolve():  # a studio elsewhere is named whole
            text = f"studio = {str(studio.resolve())!r}\n" + kept.replace(
                f'studio = "{written}"', ""
            )
            path.write_text(text, encoding="utf-8")
        else:
            target.write_bytes(studio.read_bytes())
        # An old brief may not be readable by this version; the new plan stands without it.
        try:
            case = case_beside(path, standing.planned_on, (), effort, {})
            look = outlook(case, choose_molds(case), effort)
        except StudioError:
            return None
    return plan_outlook(look, standing.planned_on)


def from_book(reading: Reading, plan: Plan, standing: Standing, first: Forecast | None) -> FromBook:
    """Return what a plan says of the book."""
    edition = edition_doc(reading.things, plan.edition.id)
    head = reading.head()
    ends = plan.odds.finish
    now = Forecast(
        as_of=plan.as_of,
        finish=plan.answer.finish,
        p10=ends.p10,
        p50=ends.p50,
        p90=ends.p90,
        word=plan.odds.word,
    )
    stages = _stages(standing)
    inside = standing.load.pieces if standing.load else 0
    there = sum(row.count for row in stages) + standing.finished + inside
    return FromBook(
        entries=head.seq,
        head=head.digest,
        state=edition["state"],
        have=standing.have,
        molds=tuple(in_order(standing)),
        stages=stages,
        load=standing.load,
        finished=standing.finished,
        wanted=max(need_of(edition) - there, 0),
        own=tuple(
            OwnFigure(row.field, row.value, row.source)
            for row in plan.sources
            if row.kind == "book"
        ),
        first_plan=first,
        now=now,
        days_later=None if first is None else (now.finish - first.finish).days,
    )


def _stages(standing: Standing) -> tuple[StandingWare, ...]:
    return (
        StandingWare("greenware", sum(count for _, count in standing.drying)),
        *(StandingWare(STAGE_BEFORE[firing], count) for firing, count in standing.waiting.items()),
        StandingWare("through the last firing", standing.to_finish),
    )


# --- the plan of an edition that is in the book, and its charts: heavy, so done aside

PAGE_RUNS = 1000
"""Runs of a page's plan: enough for a range, and some seconds of work."""


@dataclass(frozen=True, slots=True)
class NoPlan:
    """Why an edition cannot be planned any more."""

    fault: str


def edition_plan(folder: Path, brief: Path, today: date) -> Plan | NoPlan:
    """Return the plan of an edition, going on from the book.

    Parameters
    ----------
    folder : Path
        The studio's.
    brief : Path
        The edition's file.
    today : date
        The day it is.

    Returns
    -------
    Plan or NoPlan
        Why not, if it cannot be planned any more, so that the page with everything else comes up.
    """
    try:
        return _plan(folder, brief, today, PAGE_RUNS)
    except StudioError as no:
        return NoPlan(str(no))


def chart_svg(plan: Plan, name: str, width: str, scheme: Scheme) -> bytes | None:
    """Return a chart of a plan as an SVG file.

    Parameters
    ----------
    plan : Plan
        The plan.
    name : str
        Of the chart: "fan", "use", "timeline", "molds" or "risks".
    width : {"phone", "desktop"}
        The size it is drawn in.
    scheme : {"light", "dark"}
        The page it is for.

    Returns
    -------
    bytes or None
        None if the plan has nothing to show in it.
    """
    figure = plan_figures(plan).get(name)
    if figure is None:
        return None
    look = next(one for one in LOOKS if one.name == width)
    return svg_image(chart(plan, name, look), scheme, title=figure.title, alt=figure.alt)


# --- how many pieces may be offered today, by the plan that goes on from the book; heavy, so done aside

OFFER_RUNS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """How many numbered pieces of an edition may be offered today, and what that rests on."""

    today: int
    of: int
    by_date: tuple[OfferBy, ...]
    confidence: float
    word: Word | None
    carried_by: tuple[str, ...]
    own_casts: int
    fault: str = ""


def offered(folder: Path, brief: Path, today: date) -> Offer | NoPlan:
    """Return how many numbered pieces may be offered, and what that rests on.

    Parameters
    ----------
    folder : Path
        The studio's.
    brief : Path
        The edition's file.
    today : date
        The day it is.
    """
    # Today shows every edition: one that cannot be planned is told in words beside the others.
    try:
        plan = _plan(folder, brief, today, OFFER_RUNS)
    except StudioError as no:
        return NoPlan(str(no))
    odds = plan.odds
    return Offer(
        today=odds.safe_to_offer.today,
        of=plan.edition.pieces,
        by_date=odds.safe_to_offer.by_date,
        confidence=odds.safe_to_offer.confidence,
        word=odds.word,
        carried_by=odds.carried_by,
        own_casts=odds.own_casts,
    )


def _plan(folder: Path, brief: Path, today: date, runs: int) -> Plan:
    if (folder / BOOK_FILE).is_file():
        return plan_from_book(brief, today, runs, (), folder)
    return make_plan(brief, today, runs)
