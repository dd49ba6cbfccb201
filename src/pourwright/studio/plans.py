"""The plan that goes on from the book: what is true now, what was counted, and the first plan beside it."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from msgspec.structs import replace

from pourwright.briefs.folder import BriefHere
from pourwright.briefs.reading import BriefFile, open_brief, open_briefs
from pourwright.briefs.records import Brief
from pourwright.errors import StudioError
from pourwright.ledger.documents import EditionDoc, PieceDoc
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.replaying import CORRECTED, effective
from pourwright.ledger.stages import last_stage, stage_when_marked
from pourwright.ledger.things import Things
from pourwright.plan.beside import case_beside
from pourwright.plan.buying import less_what_is_there
from pourwright.plan.case import ToPlan
from pourwright.plan.make import make_plan
from pourwright.plan.odds import plan_outlook
from pourwright.plan.outlook import RUNS, Effort, best_outlook
from pourwright.plan.plan import (
    Forecast,
    FromBook,
    Marked,
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
    standing_from_book,
)
from pourwright.report.saying import count
from pourwright.studio.bench.clocks import steps_of
from pourwright.studio.bench.plaster import poured_molds
from pourwright.studio.book import BOOK_FILE, book_path, open_book
from pourwright.studio.deliveries import Making, making_here, there_by_the_book
from pourwright.studio.put_off import put_off, split_day
from pourwright.studio.shelf import told_by_weighings

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
    own_file, *files = open_briefs((brief_path, *beside))
    book = open_book(where or own_file.folder, create=False)
    with book.store, book.reading() as reading:
        edition_doc(reading.things, own_file.edition_id)  # refuses an edition that the book has not
        own, *others = (
            read_edition(file, today, reading, book.zone) for file in (own_file, *files)
        )
        off = {
            what
            for whose, what in put_off(reading, today, book.zone)
            if whose == own_file.edition_id
        }
        plan = make_plan(own, today, runs, others)
        not_now, left = split_day(plan, today, off)
        if not_now and not left:
            own = read_edition(own_file, today, reading, book.zone, begin=today + timedelta(days=1))
            plan, not_now = make_plan(own, today, runs, others), ()
        assert own.standing is not None  # noqa: S101 - the book has the edition
        first = first_plan(reading, own_file, own.standing.planned_on, Effort(runs))
        read = ((own_file, own), *zip(files, others, strict=True))
        making = {file.edition_id: Making(file.edition_id, e.brief, e.studio) for file, e in read}
        folder = book_path(where or own_file.folder).parent
        making |= {one.edition: one for one in making_here(reading, folder, today)}
        there = there_by_the_book(reading.things, tuple(making.values()))
        bought = less_what_is_there(plan.to_buy, there)
        known = from_book(reading, plan, own.standing, first)
        known = replace(known, put_off=not_now)
        return replace(plan, to_buy=bought, book=known)


def read_edition(
    file: BriefFile, today: date, reading: Reading, zone: str, begin: date | None = None
) -> ToPlan:
    """Return an edition to plan as its brief and the book have it.

    One that the book knows counts its days from when it was planned, and goes on from
    what is true of it, from the day on which it is said to begin or else today; another
    is as its brief says.
    """
    doc = reading.things.get(EditionDoc, file.edition_id)
    if doc is None:
        return ToPlan(*file.read(file.day_read(today)), file=file.path.name)
    planned_on = file.day_read(day_of(doc.planned_at, zone))
    brief, studio = file.read(planned_on)
    steps = steps_of(reading.things, file.edition_id)
    poured = poured_molds(reading.things, file.edition_id, steps, brief, studio)
    standing = standing_from_book(reading.things, brief, studio, begin or today, poured)
    here = BriefHere(file.path, brief, studio)
    molds = (
        told_by_weighings(reading, file.edition_id, mold, here, zone) for mold in standing.molds
    )
    standing = dataclasses.replace(standing, planned_on=planned_on, molds=tuple(molds))
    if brief.edition.proofs and not _tells_proofs(reading, file.edition_id):
        proofs = brief.edition.proofs
        said = (count(proofs, "proof"),)
        standing = dataclasses.replace(standing, proofs=proofs, from_brief=said)
    return ToPlan(brief, studio, standing, file.path.name)


def _tells_proofs(reading: Reading, edition: str) -> bool:
    """Return whether an entry of an edition tells how many proofs it has, none among them."""
    kinds = ("edition-planned", "edition-declared", "edition-resized", CORRECTED)
    entries = effective(reading.entries(edition, kinds=kinds))
    return any("proofs" in entry.body for entry in entries)


def size_unlike(reading: Reading, brief: Brief) -> str:
    """Return what the book says of pieces and proofs where a brief says other; empty if it does not."""
    terms = brief.edition
    doc = edition_doc(reading.things, terms.id)
    proofs = doc.proofs if _tells_proofs(reading, terms.id) else terms.proofs
    if (terms.pieces, terms.proofs) == (doc.pieces, proofs):
        return ""
    said = f"{count(doc.pieces, 'piece')} and {count(proofs, 'proof')}"
    return f"The book says {said}, and what it says goes before the brief."


def first_plan(
    reading: Reading, file: BriefFile, planned_on: date, effort: Effort
) -> Forecast | None:
    """Return the outlook of the plan as it was when the edition was planned.

    Worked out again from the brief that the book kept, on the day it was kept, in
    the studio as its file says now; None if the book kept no brief, or one that
    cannot be planned any more.
    """
    entries = effective(reading.entries(file.edition_id))
    kept = next((e.body.get("brief") for e in entries if e.kind == "edition-planned"), None)
    if kept is None:
        return None
    # An old brief may not be readable by this version; the new plan stands without it.
    try:
        edition = ToPlan(*file.with_text(kept).read(planned_on))
        look = best_outlook(case_beside(edition, planned_on, (), effort), effort)
    except StudioError:
        return None
    return plan_outlook(look, planned_on)


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
        state="declared" if edition.state == "declared" else "planned",
        have=standing.have,
        molds=tuple(in_order(standing)),
        stages=stages,
        load=standing.load,
        finished=standing.finished,
        wanted=max(standing.pieces + standing.proofs - there, 0),
        own=tuple(
            OwnFigure(row.field, row.value, row.source)
            for row in plan.sources
            if row.kind == "book"
        ),
        first_plan=first,
        now=now,
        days_later=None if first is None else (now.finish - first.finish).days,
        from_brief=standing.from_brief,
        unapproved=standing.unapproved,
        marked=_marked_already(edition, standing, plan.numbers.marked),
    )


def _marked_already(edition: EditionDoc, standing: Standing, marked: Marked) -> int:
    """Return the pieces that wait for the work that marking goes with, and are marked. [-]"""
    if marked == "end":
        return edition.named[last_stage(edition.route)]
    if marked == "leather-hard":  # the days to come mark what they cast
        return 0
    return max(edition.named[stage_when_marked(edition)] - standing.prepared.get("glaze", 0), 0)


def _stages(standing: Standing) -> tuple[StandingWare, ...]:
    return (
        StandingWare("greenware", sum(count for _, count in standing.drying)),
        *(StandingWare(STAGE_BEFORE[firing], count) for firing, count in standing.waiting.items()),
        StandingWare("through the last firing", standing.to_finish),
    )


def plan_of_brief(brief: Path, today: date, folder: Path | None = None) -> Plan:
    """Return the plan of a brief, going on from the book if one lies in its studio's folder.

    Parameters
    ----------
    brief : Path
        The edition's file.
    today : date
        The day it is.
    folder : Path, optional
        The studio's; without it, where the brief's studio file is.

    Raises
    ------
    StudioError
        If a file has faults, or the book that lies there does not have the edition.
    """
    file = open_brief(brief)
    where = folder or file.folder
    if (where / BOOK_FILE).is_file():
        return plan_from_book(brief, today, where=where)
    return make_plan(ToPlan(*file.read(file.day_read(today))), today)


# --- the plan of an edition of this studio, and its charts: heavy, so done aside


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
        return plan_of_brief(brief, today, folder)
    except StudioError as no:
        return NoPlan(str(no))


# --- how many pieces may be offered today, by the plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """How many numbered pieces of an edition may still be offered today, and what that rests on."""

    today: int
    of: int
    spoken_for: int
    """Of those that may be promised, so many are sold or have left the studio. [-]"""
    awaits_approval: bool = False
    """Whether the test casts are still to be approved, before which nothing is promised."""
    by_date: tuple[OfferBy, ...]
    confidence: float
    word: Word | None
    carried_by: tuple[str, ...]
    own_casts: int
    fault: str = ""


def spoken_for(things: Things, edition: str) -> int:
    """Return how many numbers of an edition are sold or have left the studio. [-]"""
    pieces = [piece for _, piece in things.of(PieceDoc, edition) if piece.kind == "numbered"]
    return len({one.number for one in pieces if one.sold or one.state == "away"})


def offer_of(plan: Plan | NoPlan, spoken: int) -> Offer | NoPlan:
    """Return how many numbered pieces may still be offered by a plan, and what that rests on.

    Parameters
    ----------
    plan : Plan or NoPlan
        It goes on from the book.
    spoken : int
        How many are `spoken_for`. [-]
    """
    if isinstance(plan, NoPlan):
        return plan
    odds = plan.odds
    by_date = (
        replace(one, pieces=max(one.pieces - spoken, 0)) for one in odds.safe_to_offer.by_date
    )
    return Offer(
        today=max(odds.safe_to_offer.today - spoken, 0),
        of=plan.edition.pieces,
        spoken_for=spoken,
        awaits_approval=plan.awaits_approval,
        by_date=tuple(by_date),
        confidence=odds.safe_to_offer.confidence,
        word=odds.word,
        carried_by=odds.carried_by,
        own_casts=odds.own_casts,
    )
