"""What the book says is true of an edition, in the form in which a plan goes on from it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from itertools import chain
from typing import Literal, get_args

from pourwright.briefs.records import Brief, Preparation, Studio
from pourwright.errors import NotDoable
from pourwright.ledger.documents import (
    EditionDoc,
    FormDoc,
    LoadDoc,
    MoldDoc,
    PieceDoc,
    StepDoc,
    TallyDoc,
    or_zero,
)
from pourwright.ledger.entry import day_in
from pourwright.ledger.labels import number_of
from pourwright.ledger.observations import FAILED, block_share
from pourwright.ledger.stages import firings_of, last_stage, stage_before
from pourwright.ledger.state.apply import counters
from pourwright.ledger.state.molds import is_called_dry, is_complete, poured_last
from pourwright.ledger.things import Things
from pourwright.plan.before import monday_of
from pourwright.plan.case import route_of
from pourwright.plan.plan import StandingLoad, StandingMold
from pourwright.plan.standing import OwnRecord, Standing

PROMISED = ("numbered", "proof")
"""Kinds of pieces that count toward the edition."""
WORN = ("softer", "retire")
"""Verdicts after which a retired mold counts as worn; retired without one, it held."""
_POURED = ("pour", "set", "heat", "cool", "open")
"""Steps of a batch that stands in its mold."""
_LATER_LOSSES = {"bisque": "bisque", "glaze": "fired", "third": "third-fired"}
_TIMED = {
    "fettle": "fettle",
    "glaze": "glaze",
    "decorate": "third",
    "mark and pack": "mark_and_pack",
}
"""Steps of the bench clock that are hands' minutes a piece, and their field in the brief."""


def edition_doc(things: Things, edition: str) -> EditionDoc:
    """Return an edition as the book has it.

    Raises
    ------
    NotDoable
        If the book has no such edition.
    """
    found = things.get(EditionDoc, edition)
    if found is None:
        known = ", ".join(counters(things).editions) or "none yet"
        raise NotDoable(f"The book has no edition called {edition}. Its editions: {known}.")
    return found


def need_of(edition: EditionDoc) -> int:
    """Return the numbers and the proofs of an edition."""
    return edition.pieces + edition.proofs


def day_of(at: str, zone: str) -> date:
    """Return the studio's day of an instant or a date in the book."""
    return date.fromisoformat(day_in(at, zone))


def prepared_for(edition: EditionDoc, loads: Iterable[LoadDoc], firing: str) -> int:
    """Return pieces that were glazed or decorated for a firing and went into no load of it yet."""
    told = {"glaze": or_zero(edition.glazed), "third": or_zero(edition.decorated)}
    loaded = sum(one.size for one in loads if one.firing == firing and not one.refire)
    return told.get(firing, 0) - loaded


def standing_from_book(
    things: Things,
    brief: Brief,
    studio: Studio,
    today: date,
    poured: Sequence[StandingMold] = (),
) -> Standing:
    """Return what is true of a brief's edition at the beginning of the next day to be planned.

    That day is today, or tomorrow once casts of today are in the book.

    Parameters
    ----------
    things : Things
        The book's documents.
    brief, studio : Brief, Studio
        The edition's and its room's.
    today : date
        The day it is.
    poured : sequence of StandingMold
        Molds that are poured at the bench and not yet in the book.

    Raises
    ------
    NotDoable
        If the book has no such edition, it is closed, or nothing is left to make.
    """
    edition = edition_doc(things, brief.edition.id)
    closed = edition.closed
    if closed is not None:
        raise NotDoable(
            f"{edition.name} is closed at {closed.made} of {closed.of}; nothing is left to plan."
        )
    return _Reader(things, edition, brief, studio, today, poured).standing()


class _Reader:
    """One edition's documents, read for a plan."""

    def __init__(
        self,
        things: Things,
        edition: EditionDoc,
        brief: Brief,
        studio: Studio,
        today: date,
        poured: Sequence[StandingMold],
    ) -> None:
        self.things, self.edition, self.brief, self.studio = things, edition, brief, studio
        self.id = edition.edition
        self.zone = studio.studio.zone
        cast_today = things.get(TallyDoc, f"{self.id}/day/{today.isoformat()}")
        self.as_of = today + timedelta(days=1) if cast_today else today
        self.molds, self.poured = things.of(MoldDoc, self.id), poured
        self.loads = [load for _, load in things.of(LoadDoc, self.id)]
        self.pieces = [p for _, p in things.of(PieceDoc, self.id) if p.kind in PROMISED]
        self.route = edition.route
        if firings_of(self.route) != route_of(brief):
            raise NotDoable(
                f"firing.route of the brief is {brief.firing.route} and {self.id} was planned in the book as "
                f"{self.route}. Write the same route in both."
            )

    def standing(self) -> Standing:
        finished = self.finished()
        need = need_of(self.edition)
        if finished >= need:
            raise NotDoable(f"All {need} pieces of {self.edition.name} are finished.")
        firings = firings_of(self.route)
        return Standing(
            as_of=self.as_of,
            planned_on=self.day(self.edition.planned_at),
            have=self.have(),
            pieces=self.edition.pieces,
            proofs=self.edition.proofs,
            molds=(
                *(self.mold(label, mold) for label, mold in self.molds if _castable(mold)),
                *self.poured,
            ),
            labels_given=max(
                [counters(self.things).highest("M"), *(number_of(one.label) for one in self.poured)]
            ),
            drying=self.drying(),
            waiting={name: self.at_stage(self.before(name)) for name in firings[1:]},
            prepared={name: self.prepared(name) for name in firings},
            through=self.through(),
            load=self.load(),
            kiln_free_on=self.kiln_free_on(),
            week_loads=self.week_loads(),
            to_finish=self.at_stage(last_stage(self.route)),
            finished=finished,
            own=self.own(),
            proofs_made=self.proofs_made(),
            block_mold_made=self.block_mold_made(),
            block_parts=self.block_parts(),
            unapproved=unapproved(self.things, self.edition, self.brief, self.poured),
        )

    def day(self, at: str) -> date:
        return day_of(at, self.zone)

    def before(self, firing: str) -> str:
        return stage_before(self.route, firing, again=False) or "greenware"

    def at_stage(self, stage: str) -> int:
        """Return pieces of the edition at a stage and not in a kiln: those without a number, and marked ones."""
        marked = [p for p in self.pieces if p.state == "here" and p.stage == stage and not p.load]
        return self.edition.ware.get(stage, 0) + len(marked)

    def finished(self) -> int:
        """Return pieces that need not be made any more, settled numbers among them."""
        away = len([p for p in self.pieces if p.state == "away"])
        numbers = (self.edition.numbers, self.edition.proof_numbers)
        over = sum(counts.get(what, 0) for counts in numbers for what in ("gone", "settled"))
        return self.at_stage("finished") + away + over

    def proofs_made(self) -> int:
        """Return proofs that are there or have left the studio, settled ones among them."""
        made = [p for p in self.pieces if p.kind == "proof" and p.state in ("here", "away")]
        over = sum(self.edition.proof_numbers.get(what, 0) for what in ("gone", "settled"))
        return min(len(made) + over, self.edition.proofs)

    def have(self) -> Preparation:
        """Return how far the preparation is: by the book or by the brief, whichever is further."""
        steps: tuple[Preparation, ...] = get_args(Preparation)
        forms = [form for _, form in self.things.of(FormDoc, self.id)]
        reached = {
            "original": any(f.what in ("original", "printed form", "model file") for f in forms),
            "block mold": any(f.what == "block mold" for f in forms),
            "approved": any(f.approved for f in forms),
            "masters": bool(self.molds or self.poured) or has_masters(self.edition, forms),
        }
        by_book = [step for step in steps if reached.get(step)]
        return max([self.brief.preparation.have, *by_book], key=steps.index)

    def block_mold_made(self) -> date | None:
        """Return the day on which the last block mold was made, if test casts are to come from it."""
        if self.have() != "block mold":
            return None
        forms = [form for _, form in self.things.of(FormDoc, self.id)]
        made = [f.made_at for f in forms if f.what == "block mold" and f.state == "here"]
        return max(map(self.day, made), default=None)

    def block_parts(self) -> tuple[str, ...]:
        """Return the parts of a block mold that were poured before this day; none once it is whole."""
        steps: tuple[Preparation, ...] = get_args(Preparation)
        if steps.index(self.have()) >= steps.index("block mold"):
            return ()
        names = [part.name for part in self.brief.mold.parts]
        batches: dict[str, list[StepDoc]] = {}
        for _, step in self.things.of(StepDoc, self.id):
            share = block_share(step.what)
            if share and share[1] == len(names):
                batches.setdefault(step.what, []).append(step)
        poured = {
            (block_share(what) or (0, 0))[0]
            for what, mine in batches.items()
            if self.is_poured(mine)
        }
        return tuple(name for n, name in enumerate(names, 1) if n in poured)

    def is_poured(self, steps: list[StepDoc]) -> bool:
        """Return whether a batch was poured before this day; not if it failed or was written down."""
        is_over = any(
            one.was_ended or (one.started and one.step.startswith(FAILED)) for one in steps
        )
        begun = [self.day(one.started) for one in steps if one.step in _POURED and one.started]
        return not is_over and bool(begun) and min(begun) < self.as_of

    def mold(self, label: str, mold: MoldDoc) -> StandingMold:
        """Return a mold; with a fresh part it dries again from the day that part was poured."""
        dry = is_called_dry(mold)
        poured = mold.poured_at if dry else poured_last(self.things, mold, self.zone)
        return StandingMold(label, mold.casts, self.day(poured), dry=dry)

    def drying(self) -> tuple[tuple[date, int], ...]:
        """Return the greenware by the day it was cast: what was cast last is still there."""
        left, days = self.at_stage("greenware"), []
        prefix = f"{self.id}/day/"
        tallies = {
            key: or_zero(tally.good)
            for key, tally in self.things.of(TallyDoc, self.id)
            if key.startswith(prefix)
        }
        for key in sorted(tallies, reverse=True):
            if left <= 0:
                break
            days.append((date.fromisoformat(key.removeprefix(prefix)), min(tallies[key], left)))
            left -= days[-1][1]
        if left > 0:  # counted without a day, so as long ago as any
            days.append((self.day(self.edition.planned_at), left))
        return tuple((day, count) for day, count in reversed(days) if count)

    def prepared(self, firing: str) -> int:
        """Return pieces that are glazed or decorated and wait for the kiln."""
        waits = prepared_for(self.edition, self.loads, firing)
        return max(min(waits, self.at_stage(self.before(firing))), 0)

    def through(self) -> dict[str, int]:
        """Return how many pieces have come out of each firing."""
        counts: dict[str, int] = {}
        for load in self.loads:
            if load.state == "opened":
                counts[load.firing] = counts.get(load.firing, 0) + load.size
        return counts

    def load(self) -> StandingLoad | None:
        """Return the load that is in the kiln; of several the one that went in last."""
        closed = [load for load in self.loads if load.state == "closed"]
        if not closed:
            return None
        last = max(closed, key=lambda load: (self.day(load.closed_at), load.closed_at))
        return StandingLoad(last.firing, last.size, self.day(last.closed_at))

    def others(self) -> Iterable[LoadDoc]:
        """Yield the loads of other editions."""
        for other in counters(self.things).editions:
            if other != self.id:
                yield from (load for _, load in self.things.of(LoadDoc, other))

    def kiln_free_on(self) -> date | None:
        """Return the day on which another edition's load leaves the kiln."""
        ends = [
            self.day(load.closed_at)
            + timedelta(days=getattr(self.studio.kiln, f"{load.firing}_days"))
            for load in self.others()
            if load.state == "closed"
        ]
        return max(ends, default=None)

    def week_loads(self) -> float:
        """Return the loads since Monday, of any edition, with the half that the week before took beyond its own."""
        monday = monday_of(self.as_of)
        days = [self.day(load.closed_at) for load in chain(self.loads, self.others())]
        last = sum(monday - timedelta(days=7) <= day < monday for day in days)
        over = last - self.studio.kiln.loads_a_week
        return sum(monday <= day < self.as_of for day in days) + (over if 0 < over < 1 else 0)

    def own(self) -> OwnRecord:
        """Return what the studio has counted of this edition."""
        worn = [m for _, m in self.molds if is_worn(m)]
        held = [m for _, m in self.molds if not is_worn(m)]
        whole = [m for _, m in self.molds if not any(part.spare for part in m.parts.values())]
        timed = [(self.day(m.dry_at) - self.day(m.poured_at)).days for m in whole if m.dry_at]
        still = [
            (self.as_of - self.day(m.poured_at)).days
            for m in whole
            if m.wet and not m.dry_at and m.state == "in use"
        ]
        return OwnRecord(
            yields=yields_of(self.edition),
            loads=self.opened(),
            retired_at=tuple(m.casts for m in worn if m.casts),
            holding_at=tuple(m.casts for m in held if m.casts),
            mold_days=tuple(float(days) for days in timed if days > 0),
            still_drying=tuple(float(days) for days in still if days > 0),
            minutes=self.minutes(),
        )

    def opened(self) -> dict[str, tuple[tuple[int, int], ...]]:
        """Return good of how many in each load that was opened, by firing."""
        counts: dict[str, list[tuple[int, int]]] = {}
        for load in self.loads:
            if load.state == "opened":
                lost = sum(load.lost.values()) + len(load.lost_pieces)
                counts.setdefault(load.firing, []).append((load.size - lost, load.size))
        return {firing: tuple(loads) for firing, loads in counts.items()}

    def minutes(self) -> dict[str, tuple[float, ...]]:
        """Return the minutes a piece that the bench clock has taken."""
        found: dict[str, list[float]] = {}
        for _, step in self.things.of(StepDoc, self.id):
            field = _TIMED.get(step.step)
            if field and step.ended and len(step.started) > len("2027-03-01"):
                began, ended = map(datetime.fromisoformat, (step.started, step.ended))
                spent = ended - began
                found.setdefault(field, []).append(spent.total_seconds() / 60)
        return {field: tuple(m for m in minutes if m > 0) for field, minutes in found.items()}


def unapproved(
    things: Things, edition: EditionDoc, brief: Brief, poured: Sequence[StandingMold] = ()
) -> Literal["", "molds", "masters"]:
    """Return what was made before any test cast was approved: molds, or masters; empty if nothing was.

    Ware through its last firing has shown what test casts would.

    Parameters
    ----------
    things : Things
        The book's documents.
    edition : EditionDoc
        The edition.
    brief : Brief
        Its brief: where it has neither test casts nor days of judging, nothing is to be approved.
    poured : sequence of StandingMold
        Molds that are poured at the bench and not yet in the book.
    """
    steps: tuple[Preparation, ...] = get_args(Preparation)
    terms = brief.preparation
    forms = [form for _, form in things.of(FormDoc, edition.edition)]
    if steps.index(terms.have) >= steps.index("approved") or any(one.approved for one in forms):
        return ""
    if not terms.test_casts and not terms.approval_days:
        return ""
    last = firings_of(edition.route)[-1]
    loads = [load for _, load in things.of(LoadDoc, edition.edition)]
    if any(one.state == "opened" and one.firing == last and one.size for one in loads):
        return ""
    if poured or things.of(MoldDoc, edition.edition):
        return "molds"
    return "masters" if has_masters(edition, forms) else ""


def has_masters(edition: EditionDoc, forms: Sequence[FormDoc]) -> bool:
    """Return whether every part has a master; masters that name no part are for all."""
    masters = [f for f in forms if f.what == "master" and f.state == "here"]
    named = {f.part for f in masters}
    return bool(masters) and (None in named or named >= set(edition.parts))


def _castable(mold: MoldDoc) -> bool:
    return mold.state == "in use" and is_complete(mold)


def is_worn(mold: MoldDoc) -> bool:
    """Return whether a mold went out of use because it was worn."""
    return mold.state != "in use" and mold.verdict is not None and mold.verdict.word in WORN


def yields_of(edition: EditionDoc) -> dict[str, tuple[int, int]]:
    """Return good of how many at each step: casting, drying and the firings.

    A step that nothing has come through yet is left out.
    """
    greenware = edition.ware["greenware"] + edition.named["greenware"]
    firings = firings_of(edition.route)
    tried = {
        "casting": edition.tried.get("casting", 0),
        "drying": edition.good - greenware,
        **{firing: edition.tried.get(f"{firing} firing", 0) for firing in firings},
    }
    lost = {"casting": _lost(edition, "casting"), "drying": _lost(edition, "greenware")}
    for firing in firings:
        lost[firing] = _lost(edition, f"{firing} firing", _LATER_LOSSES[firing])
    return {step: (max(of - lost[step], 0), of) for step, of in tried.items() if of > 0}


def _lost(edition: EditionDoc, *stages: str) -> int:
    return sum(sum(edition.lost.get(stage, {}).values()) for stage in stages)
