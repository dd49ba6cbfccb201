"""The shelf: masters and molds, dry or not, casts made and left, what is due to be looked at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import msgspec
from msgspec.structs import replace

from pourwright.briefs.folder import BriefHere, brief_here
from pourwright.briefs.records import Studio
from pourwright.errors import BadInput, StudioError
from pourwright.ledger.book import Book
from pourwright.ledger.commands.reading import read_value
from pourwright.ledger.documents import (
    FormDoc,
    MoldDoc,
    MoldWeighing,
    Quantity,
    SpareDoc,
    or_none,
    present,
)
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.kinds.table import kind_of
from pourwright.ledger.replaying import CORRECTED, effective
from pourwright.ledger.rules.questions import likely_mass
from pourwright.ledger.said import many
from pourwright.ledger.state.molds import is_called_dry, is_complete, poured_last, stopped_losing
from pourwright.ledger.state.molds import weighed as weighed_in
from pourwright.ledger.things import Things
from pourwright.materials.drying.dryness import MoldState, dryness
from pourwright.materials.drying.weighings import forecast_from_weighings
from pourwright.materials.plaster.volumes import dry_mass, wet_mass
from pourwright.plan.case import plaster_of
from pourwright.plan.plan import StandingMold
from pourwright.plan.standing_from_book import day_of, edition_doc
from pourwright.quantities import show
from pourwright.report.charts.records import PHONE, Weighing
from pourwright.report.charts.render import svg_in_page
from pourwright.report.charts.weighings import weighings_chart, weighings_line
from pourwright.report.saying import day, day_in_week
from pourwright.studio.answers import CastsLeft, casts_left, today_lists
from pourwright.studio.bench.slip import BROKEN, SlipBench, SlipCard, casts_on, lost_last, stands_in
from pourwright.studio.deliveries import mold_volume_l
from pourwright.studio.edition import Fact
from pourwright.studio.editions import in_work, known_editions

_CLOSEST_H, _FARTHEST_H = 12.0, 240.0
"""How far apart two weighings must be to say whether a mold has stopped losing weight. [h]"""
WRITTEN_OF_A_MOLD = (
    "casts-made",
    "mold-dried",
    "mold-weighed",
    "mold-judged",
    "part-broken",
    "part-swapped",
    "mold-retired",
    "mold-destroyed",
)
"""What is taken back on a mold's own page: all but its pour, which the pour day takes back with its batches."""
AT_ONCE = 12
"""Boards on one page."""
JUDGE_EVERY = 5
"""Casts after which a mold's cast is held beside the reference piece: common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OnShelf:
    """A mold as it stands on its board.

    Parameters
    ----------
    label, edition : str
        Which one.
    state : str
        ``full``, ``dry``, ``wet``, ``incomplete``, ``retired`` or ``destroyed``.
    mark, word : str
        The mark's shape and its word.
    casts, thrown, lost : int
        Casts given; of them thrown away, and lost. [-]
    left : CastsLeft or None
        How many casts it may still give, if it is in use.
    judge_due : bool
        Whether its next cast is held beside the reference piece.
    verdict : str
        What was last said of it.
    days : int
        Since it was poured. [days]
    swapped : tuple of str
        Parts that are not its first ones.
    tag : str
        What its strap says.
    cracks : tuple of str
        Where its drawing is cracked: ``left``, ``right``, or ``across`` for any other part.
    """

    label: str
    edition: str
    state: str
    mark: str
    word: str
    casts: int
    thrown: int
    lost: int
    left: CastsLeft | None
    judge_due: bool
    verdict: str
    days: int
    swapped: tuple[str, ...]
    tag: str
    cracks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormOnShelf:
    """An original, block mold or master as it stands on its board."""

    label: str
    what: str
    name: str
    mark: str
    word: str


@dataclass(frozen=True, slots=True)
class SpareOnShelf:
    """A spare part, and which part it is."""

    label: str
    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A board of the shelf: an edition's forms and molds."""

    edition: str
    name: str
    state: str
    forms: tuple[FormOnShelf, ...]
    molds: tuple[OnShelf, ...]
    away: tuple[OnShelf, ...]
    spares: tuple[SpareOnShelf, ...]
    basis: str


def boards(reading: Reading, now: datetime, begin: int = 0) -> tuple[Board, ...]:
    """Return boards of the shelf, those of open editions first.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    now : datetime
        The instant, in the studio's zone.
    begin : int
        How many of them to pass over; there are at most `AT_ONCE`. [-]
    """
    things = reading.things
    shown = known_editions(reading)[begin : begin + AT_ONCE]
    return tuple(_board(things, one.edition, now) for one in shown)


def _board(things: Things, edition: str, now: datetime) -> Board:
    doc = edition_doc(things, edition)
    stands = {} if doc.state == "closed" else stands_in(things, edition, now)
    left = {one.label: one for one in casts_left(things, edition)}
    molds = [
        on_shelf(label, mold, left.get(label), now, stands.get(label, ""))
        for label, mold in things.of(MoldDoc, edition)
    ]
    spares = things.of(SpareDoc, edition)
    return Board(
        edition=edition,
        name=doc.name,
        state=doc.state,
        forms=tuple(_form(label, form) for label, form in things.of(FormDoc, edition)),
        molds=tuple(one for one in molds if one.state not in _OUT_OF_USE),
        away=tuple(one for one in molds if one.state in _OUT_OF_USE),
        spares=tuple(
            SpareOnShelf(label, one.part) for label, one in spares if one.state == "spare"
        ),
        basis=next((one.basis for one in left.values()), ""),
    )


_OUT_OF_USE = ("retired", "destroyed")


def _form(label: str, form: FormDoc) -> FormOnShelf:
    mark, word = "raw", "Here"
    if form.state == "destroyed":
        mark, word = "lost", "Destroyed"
    elif form.kept:
        mark, word = "half", "Declared kept"
    elif form.approved:
        mark, word = "done", "Approved"
    return FormOnShelf(label=label, what=form.what, name=form.name, mark=mark, word=word)


def on_shelf(
    label: str, mold: MoldDoc, left: CastsLeft | None, now: datetime, stands: str
) -> OnShelf:
    """Return a mold as it stands on its board; ``stands`` is what is in it, empty of an empty one."""
    zone: str = getattr(now.tzinfo, "key", "UTC")
    is_cast = bool(mold.last_cast) and day_of(mold.last_cast or "", zone) == now.date()
    state, mark, word = ("full", "soon", stands) if stands else _state(mold, is_cast=is_cast)
    return OnShelf(
        label=label,
        edition=mold.edition,
        state=state,
        mark=mark,
        word=word,
        casts=mold.casts,
        thrown=mold.thrown,
        lost=mold.lost,
        left=left,
        judge_due=judge_due(mold),
        verdict=mold.verdict.word if mold.verdict else "",
        days=(now.date() - day_of(mold.poured_at, zone)).days,
        swapped=tuple(f"{name} from {p.spare}" for name, p in mold.parts.items() if p.spare),
        tag=mold.tag or "",
        cracks=tuple(_side(name) for name, part in mold.parts.items() if part.broken),
    )


def _side(part: str) -> str:
    return next((side for side in ("left", "right") if side in part.lower()), "across")


def _state(mold: MoldDoc, *, is_cast: bool) -> tuple[str, str, str]:
    if mold.state == "destroyed":
        is_broken = all(part.broken for part in mold.parts.values())
        return "destroyed", "lost", "Broken, gone" if is_broken else "Destroyed"
    if mold.state == "retired":
        return "retired", "half", "Retired, kept"
    if not is_complete(mold):
        return "incomplete", "odd", "Incomplete"
    if not is_called_dry(mold):
        return "wet", "raw", "Drying"
    return ("dry", "half", "Cast today") if is_cast else ("dry", "done", "Dry")


def judge_due(mold: MoldDoc) -> bool:
    """Return whether every fifth cast has come round since a mold was last judged; it is complete."""
    last = mold.verdict.casts if mold.verdict else 0
    return mold.state == "in use" and is_complete(mold) and mold.casts - last >= JUDGE_EVERY


def to_judge(reading: Reading, edition: str) -> dict[str, MoldDoc]:
    """Return the molds whose last cast is held beside the reference piece, by their labels.

    Of one whose last cast was lost whole there is nothing to hold: its next one is.
    """
    due = {label: one for label, one in reading.things.of(MoldDoc, edition) if judge_due(one)}
    lost = lost_last(reading, edition) if due else set()
    return {label: mold for label, mold in due.items() if label not in lost}


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingByWeight:
    """What the weighings of a mold say.

    Parameters
    ----------
    at : tuple of datetime
        When it was weighed with the strap on, in the studio's zone.
    days, masses_kg : tuple of float
        Days since the first of these, and what it weighed. [days], [kg]
    units : {"metric", "us"}
        What its weights are shown in.
    dry_kg, wet_kg : float or None
        What the mold weighs dry and fresh by its mix; dry as one of its form was weighed where
        that is far from it. [kg]
    ready, dry : tuple of (date, date) or None
        Between which days it will be ready to cast, and dry.
    is_dry : bool
        Whether it is dry by its last two weighings.
    says : str
        The same in a sentence.
    """

    at: tuple[datetime, ...]
    days: tuple[float, ...]
    masses_kg: tuple[float, ...]
    units: str
    dry_kg: float | None
    wet_kg: float | None
    ready: tuple[date, date] | None
    dry: tuple[date, date] | None
    is_dry: bool
    says: str

    @property
    def rows(self) -> tuple[tuple[str, str, str], ...]:
        """Day and time, mass, and loss since the one before, as they are shown."""
        losses_kg = (before - mass for before, mass in pairwise(self.masses_kg))
        losses = ("", *(show(loss_kg, "mass", self.units) for loss_kg in losses_kg))
        return tuple(
            (at.strftime("%-d %b, %H:%M"), show(mass, "mass", self.units), loss)
            for at, mass, loss in zip(self.at, self.masses_kg, losses, strict=False)
        )


@dataclass(frozen=True, slots=True)
class WeighedMold:
    """What a mold weighed with its strap on, and when: as an entry has it."""

    at: str
    mass_kg: float


def weighed_of(reading: Reading, edition: str, label: str, zone: str) -> list[WeighedMold]:
    """Return the weighings of a mold with its strap on that still hold, since its last part was poured."""
    entries = reading.entries(edition, kinds=("mold-weighed", CORRECTED))
    weighed = [
        WeighedMold(entry.at, float(weighed_in(entry.body)[label]["value"]))
        for entry in effective(entries)
        if label in weighed_in(entry.body) and entry.body.get("strapped", True)
    ]
    mold = reading.things.get(MoldDoc, label)
    return weighed if mold is None else since_its_last_part(reading.things, mold, weighed, zone)


def since_its_last_part(
    things: Things, mold: MoldDoc, weighed: Sequence[WeighedMold], zone: str
) -> list[WeighedMold]:
    """Return the weighings of a mold as it is now; those from before a fresh part say nothing of it."""
    since = day_of(poured_last(things, mold, zone), zone)
    return [one for one in weighed if day_of(one.at, zone) >= since]


def verdicts_of(reading: Reading, folder: Path, seq: int, book: Book, now: datetime) -> list[str]:
    """Return what their weighings say of the molds that an entry weighed, a sentence each."""
    entry = reading.entry(seq)
    if entry is None:
        return []
    here = brief_here(folder, entry.scope, now.date())
    units = "us" if book.prefer == "us" else "metric"
    told = []
    for label in weighed_in(entry.body):
        rows = weighed_of(reading, entry.scope, label, book.zone)
        mold = reading.things.get(MoldDoc, label)
        stopped = mold is not None and stopped_losing(reading.things, mold, book.zone)
        another = weighed_dry_kg(reading.things, entry.scope, book.zone)
        drying = drying_of(rows, here, units, book.zone, stopped=stopped, another_kg=another)
        says = drying.says
        if drying.dry_kg is None and not stopped:
            says = _loss_said(rows, units, book.zone)
        told.append(f"{label}: {says}")
    return told


def _loss_said(weighed: Sequence[WeighedMold], units: str, zone: str) -> str:
    """Return what weighings say of a mold whose volume no brief tells."""
    rows = sorted(weighed, key=lambda one: _moment(one.at, zone))
    if len(rows) < 2:
        return "weigh it again in a day; it is dry when two weighings a day apart are the same."
    before, last = rows[-2:]
    loss_kg = before.mass_kg - last.mass_kg
    if loss_kg <= 0:
        return "it weighs no less than before; weigh it again in a day."
    hours = (_moment(last.at, zone) - _moment(before.at, zone)).total_seconds() / 3600
    return f"it lost {show(loss_kg, 'mass', units)} in {hours:.0f} h, so it still dries."


FAR_FROM_MIX = 0.10
"""A dry mold that is farther from what its mix says is told so; our own choice. [-]"""


def weighed_dry_kg(things: Things, edition: str, zone: str) -> float | None:
    """Return what the dry mold of a form that was weighed last stopped at, None if none was. [kg]"""
    last = [
        one.weighings[-1]
        for _, one in things.of(MoldDoc, edition)
        if is_called_dry(one) and stopped_losing(things, one, zone) and one.weighings[-1].strapped
    ]
    newest = max(last, key=lambda one: _moment(one.at, zone), default=None)
    return float(newest.mass.value) if newest else None


def drying_of(
    weighed: Sequence[WeighedMold],
    here: BriefHere | None,
    units: str,
    zone: str,
    *,
    stopped: bool,
    another_kg: float | None = None,
) -> DryingByWeight:
    """Return what a mold's weighings say, and when it will be dry by them.

    Parameters
    ----------
    weighed : sequence of WeighedMold
        As :func:`weighed_of` has them.
    here : BriefHere or None
        The edition's brief, for the mold's volume and mix.
    units : {"metric", "us"}
        What it is shown in.
    zone : str
        The studio's.
    stopped : bool
        Whether the book says that the mold has stopped losing weight.
    another_kg : float, optional
        What another mold of the form weighed dry, as `weighed_dry_kg` has it; it counts where it
        is far from what the mix says. [kg]
    """
    weighed = sorted(weighed, key=lambda one: _moment(one.at, zone))
    at = [_moment(one.at, zone) for one in weighed]
    masses = [one.mass_kg for one in weighed]
    brief, studio = (here.brief, here.studio) if here else (None, None)
    mix_kg = wet_kg = None
    if brief is not None and studio is not None:
        volume, plaster = mold_volume_l(brief, studio), plaster_of(studio)
        mix_kg, wet_kg = float(dry_mass(volume, plaster)), float(wet_mass(volume, plaster))
    dry_kg, unlike = mix_kg, ""
    own_kg = masses[-1] if stopped and masses else another_kg
    if mix_kg and own_kg and abs(own_kg - mix_kg) > FAR_FROM_MIX * mix_kg:
        dry_kg = own_kg
        dry_said, mix_said = (show(one, "mass", units) for one in (own_kg, mix_kg))
        unlike = f"{dry_said}, and its mix says {mix_said}: straps or boards on the scale, or another volume?"
    days = [(one - at[0]).total_seconds() / 86400 for one in at]
    state = _state_by_weight(days, masses, dry_kg, studio) if dry_kg and studio else ""
    ready, dry, says = _forecast(days, masses, dry_kg, studio, at, state)
    if unlike and ready and not stopped:
        says += f" Another mold of it stopped at {unlike}"
    if stopped:
        ready = dry = None
        says = "Two weighings a day apart are the same: it has stopped losing water."
        if unlike:
            says = f"{says[:-1]} at {unlike}"
        elif state and dry_kg:
            says += f" By its mix it is dry at {show(dry_kg, 'mass', units)}: {state}."
    return DryingByWeight(
        at=tuple(at),
        days=tuple(days),
        masses_kg=tuple(masses),
        units=units,
        dry_kg=dry_kg,
        wet_kg=wet_kg,
        ready=ready,
        dry=dry,
        is_dry=stopped or state == MoldState.DRY.value,
        says=says,
    )


def told_by_weighings(
    reading: Reading, edition: str, mold: StandingMold, here: BriefHere, zone: str
) -> StandingMold:
    """Return a mold that still dries with what its weighings say, as its page on the shelf says it."""
    doc = reading.things.get(MoldDoc, mold.label)
    rows = weighed_of(reading, edition, mold.label, zone)
    if doc is None or mold.dry or len(rows) < 2:
        return mold
    another = weighed_dry_kg(reading.things, edition, zone)
    stopped = stopped_losing(reading.things, doc, zone)
    told = drying_of(rows, here, "metric", zone, stopped=stopped, another_kg=another)
    if told.is_dry or told.ready is None:
        return replace(mold, dry=told.is_dry)
    return replace(mold, ready_from=told.ready[0], ready_by=told.ready[1])


def _moment(at: str, zone: str) -> datetime:
    if len(at) == len("2027-03-01"):  # typed in with a day alone: the middle of that day
        return datetime.fromisoformat(at + "T12:00:00").replace(tzinfo=ZoneInfo(zone))
    return datetime.fromisoformat(at).astimezone(ZoneInfo(zone))


def _forecast(
    days: Sequence[float],
    masses: Sequence[float],
    dry_kg: float | None,
    studio: Studio | None,
    at: Sequence[datetime],
    state: str,
) -> tuple[tuple[date, date] | None, tuple[date, date] | None, str]:
    if dry_kg is None or studio is None:
        return None, None, "No brief here tells the mold's volume, so there is no forecast."
    if len(days) < 2:
        return None, None, "Two weighings, half a day apart or more, make a forecast."
    # A mold that gained weight, or two weighings in an hour, are the scale's story, not an error of the page.
    try:
        found = forecast_from_weighings(
            days, masses, dry_kg, scale_step_kg=studio.plaster.scale_step_kg
        )
    except StudioError as no:
        return None, None, f"No forecast: {no}"
    ready, dry = (
        (_later(at[-1], float(one.low)), _later(at[-1], float(one.high)))
        for one in (found.ready, found.dry)
    )
    if state:
        return None, None, f"By its last two weighings it is {state}."
    says = (
        f"Ready to cast {_between(ready, at[-1].year)}, dry {_between(dry, at[-1].year)}: "
        "eight in ten, by its own weighings."
    )
    return ready, dry, says


def _state_by_weight(
    days: Sequence[float], masses: Sequence[float], dry_kg: float, studio: Studio
) -> str:
    """Return what the last two weighings say where that is not that it still dries; else nothing."""
    hours = 24 * (days[-1] - days[-2]) if len(days) > 1 else 0.0
    if not _CLOSEST_H <= hours <= _FARTHEST_H:
        return ""
    step = studio.plaster.scale_step_kg
    state = dryness(masses[-2], masses[-1], hours, dry_kg, scale_step_kg=step).state
    return "" if state in (MoldState.DRYING, MoldState.READY) else state.value


def _later(moment: datetime, days: float) -> date:
    return (moment + timedelta(days=days)).date()


def _between(span: tuple[date, date], year: int) -> str:
    """Return between which days, with their years unless both are in the one that is told."""
    low, high = (day(one) if span[1].year != year else day_in_week(one) for one in span)
    return f"by {low}" if low == high else f"between {low} and {high}"


# --- what is asked before a mold is filled


def asked_before_filling(
    reading: Reading, folder: Path, bench: SlipBench, units: str, now: datetime
) -> dict[str, str]:
    """Return why molds are not to be filled yet, by their labels: they are wet, or gave their casts today.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    folder : Path
        The studio's.
    bench : SlipBench
        The molds of one edition.
    units : {"metric", "us"}
        What a mass is shown in.
    now : datetime
        The instant, in the studio's zone.
    """
    here, today = brief_here(folder, bench.edition, now.date()), now.date()
    zone: str = getattr(now.tzinfo, "key", "UTC")
    a_day = here.brief.mold.casts_a_day if here and here.brief else 1
    is_cast = any(card.cast_today for card in bench.cards)
    given = casts_on(reading, bench.edition, today, zone) if is_cast else {}
    molds = dict(reading.things.of(MoldDoc, bench.edition))
    another = weighed_dry_kg(reading.things, bench.edition, zone)
    found = {}
    for card in bench.cards:
        mold = molds.get(card.label)
        if card.phase == BROKEN:
            continue  # there is nothing to press
        if mold is not None and not card.dry and not stopped_losing(reading.things, mold, zone):
            found[card.label] = _wet_said(reading.things, card, mold, here, units, zone, another)
        elif card.cast_today and (done := given.get(card.label, 1)) >= a_day:
            found[card.label] = (
                f"{card.label} gave {many(done, 'cast')} today and is planned for {a_day} a day"
            )
    return found


def by_its_weighings(
    things: Things,
    mold: MoldDoc,
    here: BriefHere | None,
    units: str,
    zone: str,
    *,
    another_kg: float | None,
) -> DryingByWeight:
    """Return what the weighings of a mold say that nobody called dry, and that loses weight.

    ``another_kg`` is as :func:`drying_of` has it.
    """
    weighed = [WeighedMold(one.at, float(one.mass.value)) for one in mold.weighings if one.strapped]
    weighed = since_its_last_part(things, mold, weighed, zone)
    return drying_of(weighed, here, units, zone, stopped=False, another_kg=another_kg)


def _wet_said(
    things: Things,
    card: SlipCard,
    mold: MoldDoc,
    here: BriefHere | None,
    units: str,
    zone: str,
    another_kg: float | None,
) -> str:
    """Return what is known of a mold that nobody called dry: its weight, and when it will be ready."""
    told = by_its_weighings(things, mold, here, units, zone, another_kg=another_kg)
    known = [show(told.masses_kg[-1], "mass", units) if told.masses_kg else "not weighed yet"]
    if told.dry_kg:
        known.append(f"dry at about {show(told.dry_kg, 'mass', units)}")
    poured = day_of(poured_last(things, mold, zone), zone)
    ready = told.ready
    if ready is None and here and here.studio and not told.is_dry:
        drying = here.studio.drying
        ready = poured + timedelta(drying.days_low), poured + timedelta(drying.days_high)
    if ready is not None:
        known.append(f"ready {_between(ready, poured.year)}")
    return f"{card.label} is not called dry ({', '.join(known)})"


# --- a mold on the scale


UNITS = {"metric": ("kg", "g"), "us": ("lb", "oz")}
"""What a scale may show, the usual one first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OnScale:
    """A mold that is being weighed, and what a figure would mean.

    Parameters
    ----------
    label, name : str
        The mold, and its edition's name.
    state : str
        As :class:`OnShelf` has it.
    units : tuple of str
        What the scale may show, the one that was used last in front.
    before : str
        What it weighed last, in a sentence.
    says : str
        What the figure means; empty without one.
    meant : str
        What was probably meant, if the figure is far off.
    drying : DryingByWeight
        What the weighings so far say.
    then : DryingByWeight
        What they say with the figure; the same without one.
    after : tuple of str
        The other molds that wait to be weighed today, the next one in front.
    """

    label: str
    name: str
    state: str
    units: tuple[str, ...]
    before: str
    says: str
    meant: str
    drying: DryingByWeight
    then: DryingByWeight
    after: tuple[str, ...]


def on_scale(
    reading: Reading, folder: Path, label: str, typed: str, units: str, now: datetime
) -> OnScale | None:
    """Return a mold that is being weighed, None if there is none of that label.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    folder : Path
        The studio's.
    label : str
        The mold.
    typed : str
        What the scale shows, as it was typed with its unit; may be empty or no mass yet.
    units : {"metric", "us"}
        What quantities are shown in.
    now : datetime
        The instant, in the studio's zone.
    """
    doc = reading.things.get(MoldDoc, label)
    if doc is None:
        return None
    zone: str = getattr(now.tzinfo, "key", "UTC")
    here = brief_here(folder, doc.edition, now.date())
    rows = weighed_of(reading, doc.edition, label, zone)
    weighings, mass = doc.weighings, _mass_of(typed)
    another = weighed_dry_kg(reading.things, doc.edition, zone)
    stopped = stopped_losing(reading.things, doc, zone)
    drying = then = drying_of(rows, here, units, zone, stopped=stopped, another_kg=another)
    says, meant = "", ""
    if mass is not None:
        at = now.astimezone(ZoneInfo("UTC")).isoformat(timespec="seconds")
        new = MoldWeighing(at=at, mass=mass, strapped=True)
        weighed = replace(doc, weighings=[*weighings, new])
        stopped = stopped_losing(reading.things, weighed, zone)
        more = [*rows, WeighedMold(at, float(mass.value))]
        then = drying_of(more, here, units, zone, stopped=stopped, another_kg=another)
        says = _said_of(more, then, units, zone, stopped=stopped)
        meant = likely_mass(weighings[-1].mass, mass) if weighings else ""
    unit = weighings[-1].mass.typed.rpartition(" ")[2] if weighings else ""
    known = UNITS[units]
    return OnScale(
        label=label,
        name=edition_doc(reading.things, doc.edition).name,
        state=_state(doc, is_cast=False)[0],
        units=known if unit not in known else (unit, *(one for one in known if one != unit)),
        before=_before_said(weighings, zone, now.date()),
        says=says,
        meant=meant,
        drying=drying,
        then=then,
        after=_to_weigh_after(reading, label, now.date(), zone),
    )


def _mass_of(typed: str) -> Quantity | None:
    """Return what was typed as a mass, None while it is none."""
    field = next(one for one in kind_of("weigh").fields if one.name == "mass")
    try:
        return msgspec.convert(read_value(field, typed), Quantity) if typed else None
    except BadInput:
        return None


def _before_said(weighings: Sequence[MoldWeighing], zone: str, today: date) -> str:
    if not weighings:
        return "It was never weighed."
    ago = (today - day_of(weighings[-1].at, zone)).days
    when = {0: "Earlier today", 1: "Yesterday"}.get(ago, f"{ago} days ago")
    return f"{when} it weighed {weighings[-1].mass.typed}."


def _said_of(
    rows: Sequence[WeighedMold], drying: DryingByWeight, units: str, zone: str, *, stopped: bool
) -> str:
    """Return what weighings say of a mold, whether or not a brief tells its volume."""
    if drying.dry_kg is None and not stopped:
        said = _loss_said(rows, units, zone)
        return said[:1].upper() + said[1:]
    return drying.says


def _to_weigh_after(reading: Reading, label: str, today: date, zone: str) -> tuple[str, ...]:
    """Return the molds of all open editions that wait to be weighed, from the one after this on."""
    due = [
        one
        for doc in in_work(reading).docs
        for one in today_lists(reading.things, doc.edition, today, zone).weigh
    ]
    place = due.index(label) if label in due else -1
    return tuple(one for one in (*due[place + 1 :], *due[: place + 1]) if one != label)


def left_of(things: Things, edition: str, label: str) -> CastsLeft | None:
    """Return how many casts one mold may still give, None if it is not in use."""
    return next((one for one in casts_left(things, edition) if one.label == label), None)


def parts_of(mold: MoldDoc) -> list[Fact]:
    """Return the parts of a mold: name, plaster lot, and what is to be said of it."""
    told = []
    for name, part in mold.parts.items():
        words = f"swapped in, {part.spare}" if part.spare else "its first"
        told.append((name, part.lot or "not told", "broken; swap it" if part.broken else words))
    return told


CURVE_MOST = 60
"""How many more casts the small curve of a mold reaches to. [-]"""
CURVE_HIGH = 20
"""How high it is, in its own units. [-]"""


def left_points(left: CastsLeft) -> str:
    """Return the points of the small curve: the chance that a mold gives at least so many more.

    Examples
    --------
    >>> from pourwright.studio.answers import ChanceOfMore, MoreCasts
    >>> chances = (ChanceOfMore(1, 1.0), ChanceOfMore(20, 0.25))
    >>> left_points(CastsLeft("M-007", 8, MoreCasts(4, 12, 23), chances, "the brief's life"))
    '0,0 1,0.0 20,15.0 60,20'
    """
    points = [f"{one.more},{CURVE_HIGH * (1 - one.chance):.1f}" for one in left.chances]
    last = left.chances[-1].more if left.chances else 0
    ends = [] if last >= CURVE_MOST else [f"{CURVE_MOST},{CURVE_HIGH}"]
    return " ".join(["0,0", *points, *ends])


def left_words(left: CastsLeft) -> str:
    """Return the casts left in words, such as "4 to 23 more, about 12"."""
    more = left.left
    return f"{more.p10} to {more.p90} more, about {more.p50}"


def chances_of(left: CastsLeft | None) -> list[tuple[str, str]]:
    """Return the chances of so many more casts as a table shows them."""
    rows = left.chances if left else ()
    return [(str(one.more), f"{100 * one.chance:.0f} %") for one in rows]


def facts_of(mold: OnShelf, doc: MoldDoc, zone: str) -> list[Fact]:
    """Return what is told of a mold first: label, value and a few words."""

    def on(at: str) -> str:
        return day_in_week(day_of(at, zone))

    last = f"; last {on(doc.last_cast)}" if doc.last_cast else ""
    away = f"{mold.thrown} thrown away as first casts, {mold.lost} lost"
    judged = "every fifth cast beside the reference piece"
    if doc.verdict:
        judged = f"after {doc.verdict.casts} casts"
    facts = [
        ("Poured", on(doc.poured_at), f"{mold.days} days ago"),
        ("Casts", str(mold.casts), f"{away}{last}"),
        ("Wear", mold.verdict or "not judged yet", judged),
    ]
    if doc.dry_at:
        facts.insert(1, ("Dry", on(doc.dry_at), "by the book"))
    if mold.tag:
        facts.append(("Strap", mold.tag, ""))
    if mold.state in _OUT_OF_USE:
        ended = doc.destroyed_at if mold.state == "destroyed" else doc.retired_at
        facts.append((mold.word, on(present(ended)), or_none(doc.why) or or_none(doc.how) or ""))
    if doc.kept:
        facts.append(("Declared kept", doc.kept.where, doc.kept.why or ""))
    return facts


# --- a mold's weighings as a picture


def weighings_drawn(drying: DryingByWeight, *, is_low: bool = False) -> str:
    """Return the weighings of a mold as a drawing for a page, empty before a second day's.

    One that ``is_low`` has the line alone.
    """
    by_day = {}
    for at, kg in zip(drying.at, drying.masses_kg, strict=True):
        by_day[at.date()] = kg  # the last of a day counts
    if len(by_day) < 2:
        return ""
    rows = [Weighing(day, kg) for day, kg in sorted(by_day.items())]
    draw = weighings_line if is_low else weighings_chart
    return svg_in_page(draw(rows, PHONE, dry_kg=drying.dry_kg, dry=drying.dry))
