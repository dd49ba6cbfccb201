"""The kiln: what stands in it, loads that can be built from what is ready, and the firing log."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from pourwright.briefs.folder import BriefHere, brief_here
from pourwright.briefs.records import Studio
from pourwright.ledger.causes import FIRING_CAUSES
from pourwright.ledger.documents import (
    EditionDoc,
    LoadDoc,
    NumberDoc,
    PieceDoc,
    TallyDoc,
    or_none,
    or_zero,
)
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.observations import LOST, OPENED, LoadSeen, Observation, load_seen
from pourwright.ledger.said import causes, many, names_said, piece_said
from pourwright.ledger.stages import firings_of, last_stage
from pourwright.ledger.state.apply import counters
from pourwright.ledger.state.loads import as_told, good_again, not_counted, stands_of_load
from pourwright.ledger.things import Things
from pourwright.materials.kiln.cones import cone_names
from pourwright.plan.standing_from_book import day_of, prepared_for
from pourwright.report.saying import day
from pourwright.studio.answers import pieces_at, stage_before_firing
from pourwright.studio.bench.clocks import take_back
from pourwright.studio.editions import known_editions
from pourwright.studio.records import LastWritten, last_written

MOST_LOADS = 24
"""Loads of the log; the rest is in the records."""
CONE_STATES = ("down", "soft", "stands")
MOST_EDITIONS = 12
"""Open editions whose loads are built on one page, the newest first."""
PREPARE = {"glaze": "glaze", "third": "decorate"}
"""What hands do to a piece before a firing, by the book's verb."""
MOST_DRAWN = 48
"""Places of a load that are drawn; a fuller kiln is told in words alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Build:
    """A load that could be built now.

    Parameters
    ----------
    edition, name : str
        Whose ware it is.
    firing : str
        Which firing.
    ready, damp : int
        Pieces that stand before it; of them cast in the last days and still damp. [-]
    holds : int or None
        Pieces in a full load, if the brief says. [-]
    cone : str
        The cone the brief asks for.
    words, note : str
        What can go in, and what else is to be known.
    places : tuple of str
        The drawn places: ``full``, ``damp`` or ``free``.
    count : int
        Unmarked pieces that go in. [-]
    pieces : tuple of str
        Marked pieces that go in, as they are written.
    to : str
        Where more is told of the load.
    prepare, prepared : str
        The verb that writes its glazing or decorating down, and what was done then; empty where
        hands do nothing to a piece before it.
    is_prepared : bool
        Whether as many as go in are glazed or decorated by the book.
    """

    edition: str
    name: str
    firing: str
    ready: int
    damp: int
    holds: int | None
    cone: str
    words: str
    note: str
    places: tuple[str, ...]
    count: int
    pieces: tuple[str, ...]
    to: str
    prepare: str
    prepared: str
    is_prepared: bool

    @property
    def is_full(self) -> bool:
        """Whether dry ware fills the load."""
        return self.holds is not None and self.ready - self.damp >= self.holds


@dataclass(frozen=True, slots=True)
class Waiting:
    """Fired ware that nobody has inspected yet.

    Parameters
    ----------
    name : str
        The edition's.
    words : str
        How much, and which marked pieces are among it.
    to : str
        Where it is inspected.
    """

    name: str
    words: str
    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadShown:
    """A load that stands in a kiln, or came out of it.

    ``cold`` is the day from which it is opened, ``seen`` what phones saw of it since it was closed,
    and ``may_be_off`` says that it is not cold yet and none saw it off. Of ``size`` pieces ``good`` came
    out so, and ``cones`` are as `cones_seen` tells them. ``take_back`` are the fields
    that take back what its stage was seen by, None if it was seen by a lost piece or not at all.
    """

    label: str
    edition: str
    name: str
    words: str
    closed: str
    cold: str
    is_due: bool
    opened: str
    firing: str
    good: int
    size: int
    lost: str
    cones: tuple[tuple[str, str], ...]
    kiln: str
    order: str
    seen: str
    may_be_off: bool
    take_back: Mapping[str, str] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LateLosses:
    """Pieces that were seen lost of a load after it was written down without them.

    ``words`` tells which, ``pieces`` are those of them that bear a number, as they are written.
    """

    label: str
    edition: str
    words: str
    pieces: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GoodAgain:
    """Pieces of a load that it was written down with as lost, and seen good since, in words."""

    label: str
    words: str


def builds(reading: Reading, folder: Path, today: date) -> tuple[Build, ...]:
    """Return the loads that can be built from what is ready, the fullest first."""
    waiting = [one for one in known_editions(reading) if one.state != "closed" and _waits(one)]
    found: list[Build] = []
    for edition in waiting[:MOST_EDITIONS]:
        here = brief_here(folder, edition.edition, today)
        found += _of_edition(reading.things, edition, here, today)
    return tuple(sorted(found, key=lambda one: -(one.ready - one.damp) / (one.holds or 10**6)))


def _waits(edition: EditionDoc) -> bool:
    """Return whether ware of an edition stands before a firing."""
    before = [stage_before_firing(edition, firing) for firing in firings_of(edition.route)]
    return any(pieces_at(edition, stage) for stage in before)


def _of_edition(
    things: Things, edition: EditionDoc, here: BriefHere | None, today: date
) -> Iterator[Build]:
    for firing in firings_of(edition.route):
        stage = stage_before_firing(edition, firing)
        marked = _marked(things, edition, stage)
        ready = edition.ware[stage] + len(marked)
        if ready:
            days = here.brief.firing.ware_dry_days if here and here.brief else WARE_DRY_DAYS
            damp = good_casts_lately(things, edition, today, days) if stage == "greenware" else 0
            loaded = [load for _, load in things.of(LoadDoc, edition.edition)]
            yield _build(edition, firing, here, ready, min(damp, ready), marked, loaded)


def _marked(things: Things, edition: EditionDoc, stage: str) -> list[str]:
    """Return the marked pieces at a stage that are in no kiln, as they are written."""
    if not edition.named[stage]:
        return []
    return [
        _written(things, edition, label, piece)
        for label, piece in things.of(PieceDoc, edition.edition)
        if piece.state == "here" and piece.stage == stage and not piece.load
    ]


def _written(things: Things, edition: EditionDoc, label: str, piece: PieceDoc) -> str:
    """Return how a marked piece is written: its number, or its label if it bears none."""
    number = things.get(NumberDoc, piece.number) if piece.number else None
    letters = f"{edition.proof_kind} " if number and number.kind == "proof" else ""
    return f"{letters}{number.n}" if number else label


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot:
    """One piece of a load or of fired ware, as a page draws it.

    Parameters
    ----------
    name : str
        What its field is called.
    number : str
        What is written on it; empty if it bears none.
    thing : str
        What an observation of it is of; empty where none is kept.
    cause : str
        Why it was seen lost; empty if it was not.
    stands : tuple of str
        The ids of the observations that say so.
    """

    name: str
    number: str
    thing: str = ""
    cause: str = ""
    stands: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadPieces:
    """Ware piece by piece, as a load is opened or what came out of it is inspected.

    Parameters
    ----------
    label, edition, name : str
        The load, empty for an inspection, and whose ware it is.
    words : str
        The firing, and since when it is closed; of a load that was opened, what came out.
    marked : tuple of str
        The marked pieces in it, as they are written.
    unmarked : int
        How many more are in it. [-]
    causes : tuple of str
        Why a piece may be lost in this firing.
    labels : tuple of str
        The labels of the marked pieces, in the same order; of a load.
    stands : tuple of Observation
        What was seen of the load and its pieces.
    firing : str
        Which firing; empty for an inspection.
    is_closed : bool
        Whether it still stands in the kiln.
    closed_at : str
        When it was closed; empty for an inspection.
    """

    label: str
    edition: str
    name: str
    words: str
    marked: tuple[str, ...]
    unmarked: int
    causes: tuple[str, ...]
    labels: tuple[str, ...] = ()
    stands: tuple[Observation, ...] = ()
    firing: str = ""
    is_closed: bool = True
    closed_at: str = ""

    @property
    def feet(self) -> tuple[Foot, ...]:
        """Every piece, the marked ones first."""
        places = tuple(f"unmarked {n}" for n in range(1, self.unmarked + 1))
        names = (*zip(self.marked, self.marked, strict=True), *((place, "") for place in places))
        if not self.label:
            return tuple(Foot(name=name, number=number) for name, number in names)
        lost = load_seen(self.stands, self.label).lost
        return tuple(
            self._foot(name, number, piece, lost.get(piece))
            for (name, number), piece in zip(names, (*self.labels, *places), strict=True)
        )

    def _foot(self, name: str, number: str, piece: str, first: Observation | None) -> Foot:
        thing = f"{self.label}, {piece}"
        return Foot(
            name=name,
            number=number,
            thing=thing,
            cause=first.cause if first else "",
            stands=tuple(one.id for one in self.stands if one.thing == thing),
        )


def load_pieces(things: Things, label: str, zone: str) -> LoadPieces | None:
    """Return a load piece by piece, None if there is none of that label."""
    load = things.get(LoadDoc, label)
    edition = things.get(EditionDoc, load.edition) if load else None
    if load is None or edition is None:
        return None
    found = [(name, piece) for name in load.pieces if (piece := things.get(PieceDoc, name))]
    words = f"{load.firing} of {edition.name}, closed since {day(day_of(load.closed_at, zone))}"
    if load.opened_at:
        when, lost = day(day_of(load.opened_at, zone)), _lost_in(load)
        came = (
            f"{load.size - sum(lost.values())} of {load.size} good, lost: {causes(lost) or 'none'}"
        )
        words = f"{label} was opened already, on {when}: {came}. If it was otherwise, correct that entry."
    return LoadPieces(
        label=label,
        edition=edition.edition,
        name=edition.name,
        words=words,
        marked=tuple(_written(things, edition, name, piece) for name, piece in found),
        labels=tuple(name for name, _ in found),
        stands=tuple(stands_of_load(things, label, load)),
        unmarked=load.count,
        causes=causes_in_a_load(things),
        firing=load.firing,
        is_closed=load.state == "closed",
        closed_at=load.closed_at,
    )


def hot_until(load: LoadPieces, today: date, zone: str, studio: Studio | None) -> str:
    """Return the day from which a load is cold; empty if it has come, or if somebody saw it opened."""
    if not load.label or load_seen(load.stands, load.label).load.stage == OPENED:
        return ""
    cold = cold_on(load.firing, load.closed_at, zone, studio)
    return day(cold) if cold > today else ""


def witness_cones(folder: Path, load: LoadPieces, today: date) -> tuple[str, ...]:
    """Return the cone that the brief fires a load to, between its neighbors; none if it says none."""
    here = brief_here(folder, load.edition, today)
    cone = getattr(here.brief.firing, f"{load.firing}_cone") if here and here.brief else ""
    names = [one for one in cone_names() if one == cone or "." not in one]
    if cone not in names:
        return (cone,) if cone else ()
    place = names.index(cone)
    return tuple(names[max(place - 1, 0) : place + 2])


def causes_in_a_load(things: Things) -> tuple[str, ...]:
    """Return what may be said of a piece that comes out of the kiln, the studio's own words among it."""
    own = or_none(counters(things).causes) or []
    return (*FIRING_CAUSES[:-1], *own, FIRING_CAUSES[-1])


def fired_pieces(things: Things, edition: str) -> LoadPieces | None:
    """Return the fired ware of an edition that waits to be inspected, None if there is none."""
    doc = things.get(EditionDoc, edition)
    if doc is None:
        return None
    stage = last_stage(doc.route)
    pieces = LoadPieces(
        label="",
        edition=edition,
        name=doc.name,
        words=f"Fired ware of {doc.name}",
        marked=tuple(_marked(things, doc, stage)),
        unmarked=doc.ware[stage],
        causes=causes_in_a_load(things),
    )
    return pieces if pieces.feet else None


def pieces_command(ware: LoadPieces, typed: Mapping[str, object]) -> dict[str, object]:
    """Return the book's command for ware that was looked at piece by piece.

    ``typed`` has the cause under the name of each piece that was lost.

    Examples
    --------
    >>> load = LoadPieces(label="L-001", edition="e", name="E", words="", marked=("7", "8"),
    ...                   labels=("P-00007", "P-00008"), unmarked=2, causes=("warp", "chip"))
    >>> told = pieces_command(load, {"8": "warp", "unmarked 1": "chip"})
    >>> told["lost_pieces"], told["lost"]
    ('8 warp', '1 chip')
    """
    lost = {one.name: str(typed[one.name]) for one in ware.feet if typed.get(one.name)}
    marked = ", ".join(f"{name} {lost[name]}" for name in ware.marked if name in lost)
    unmarked = Counter(cause for name, cause in lost.items() if name not in ware.marked)
    good = [name for name in ware.marked if name not in lost]
    what: dict[str, object] = {"do": "unload", "load": ware.label}
    if not ware.label:  # an inspection tells what is good as well
        count = ware.unmarked - unmarked.total()
        what = {"do": "finish", "count": count, "pieces": ", ".join(good)}
    command = {
        **what,
        "edition": ware.edition,
        "lost_pieces": marked,
        "lost": ", ".join(f"{count} {cause}" for cause, count in unmarked.items()),
        **{name: typed.get(name, "") for name in ("id", "cones", "note", "go_on")},
    }
    return {name: value for name, value in command.items() if value}


WARE_DRY_DAYS = 5
"""How long greenware dries where no brief tells it: common practice, no source. [days]"""


def good_casts_lately(things: Things, edition: EditionDoc, today: date, days: int) -> int:
    """Return the good casts of the last days, today among them, which are not dry yet. [-]"""
    lately = (today - timedelta(days=ago) for ago in range(days))
    keys = (f"{edition.edition}/day/{one.isoformat()}" for one in lately)
    tallies = (things.get(TallyDoc, key) for key in keys)
    return sum(or_zero(tally.good) for tally in tallies if tally)


def _build(
    edition: EditionDoc,
    firing: str,
    here: BriefHere | None,
    ready: int,
    damp: int,
    marked: list[str],
    loaded: Sequence[LoadDoc],
) -> Build:
    terms = here.brief.firing if here and here.brief else None
    holds = getattr(terms, f"{firing}_load") if terms else None
    fit = min(ready - damp, holds) if holds else ready - damp
    with_marks = marked[:fit]
    verb = PREPARE.get(firing, "")
    goes_in = {
        "edition": edition.edition,
        "count": max(fit - len(with_marks), 0),
        "pieces": ", ".join(with_marks),
    }
    return Build(
        edition=edition.edition,
        name=edition.name,
        firing=firing,
        ready=ready,
        damp=damp,
        holds=holds,
        cone=getattr(terms, f"{firing}_cone") if terms else "",
        words=_words(ready, damp, holds),
        note=_note(damp, marked),
        places=_places(ready, damp, holds),
        count=max(fit - len(with_marks), 0),
        pieces=tuple(with_marks),
        to=_do("load", **goes_in, firing=firing),
        prepare=verb,
        prepared=f"{verb}d" if verb else "",
        is_prepared=not verb or prepared_for(edition, loaded, firing) >= fit,
    )


def _do(verb: str, **fields: object) -> str:
    told = {name: value for name, value in fields.items() if value}
    return f"/do/{verb}?{urlencode({**told, 'back': '/kiln'})}"


def uninspected(reading: Reading) -> tuple[Waiting, ...]:
    """Return the fired ware that waits to be inspected, by edition."""
    open_ones = [one for one in known_editions(reading) if one.state != "closed"]
    waiting = (_waiting(reading.things, one) for one in open_ones)
    return tuple(one for one in waiting if one is not None)


def _waiting(things: Things, edition: EditionDoc) -> Waiting | None:
    stage = last_stage(edition.route)
    unmarked, marks = edition.ware[stage], _marked(things, edition, stage)
    ready = unmarked + len(marks)
    if not ready:
        return None
    told = f"{many(ready, 'piece')} fired and not inspected"
    if marks:
        told += f", {names_said(marks)} among them" if unmarked else f": {names_said(marks)}"
    return Waiting(edition.name, told, f"/kiln/inspect/{edition.edition}")


def _words(ready: int, damp: int, holds: int | None) -> str:
    dry = ready - damp
    if not holds:
        return f"{many(dry, 'piece')} could go in"
    if dry >= holds:
        rest = dry - holds
        return f"A full load of {holds}" + (f", and {rest} left over" if rest else "")
    return f"{dry} of the {holds} that a load holds"


def _note(damp: int, marked: list[str]) -> str:
    told = [f"{many(damp, 'piece')} of the last days still damp; damp ware bursts"] if damp else []
    told += [f"marked among them: {', '.join(marked)}"] if marked else []
    note = "; ".join(told)
    return note[:1].upper() + note[1:]


def _places(ready: int, damp: int, holds: int | None) -> tuple[str, ...]:
    if not holds or holds > MOST_DRAWN:
        return ()
    dry = min(ready - damp, holds)
    wet = min(damp, holds - dry)
    return ("full",) * dry + ("damp",) * wet + ("free",) * (holds - dry - wet)


def cold_on(firing: str, closed_at: str, zone: str, studio: Studio | None) -> date:
    """Return the day from which a load is opened, by the studio's days of that firing."""
    days = getattr(studio.kiln, f"{firing}_days") if studio else 1
    return day_of(closed_at, zone) + timedelta(days=days)


def first_to_do(
    inside: Sequence[LoadShown], ready: Sequence[Build], waiting: Sequence[Waiting]
) -> str:
    """Return what is to be done now at the kiln, by a load's label or where it is done; empty if nothing.

    A load that has cooled is opened first; then a full one is fired, if the kiln is free; then
    what came out is looked at; and last a load is fired that is not full.
    """
    cold = [one.label for one in inside if one.is_due]
    loads_now = [] if inside else [one for one in ready if one.count or one.pieces]
    full = [one.to for one in loads_now if one.is_full]
    order = [*cold, *full, *(one.to for one in waiting), *(one.to for one in loads_now)]
    return order[0] if order else ""


@dataclass(frozen=True, slots=True)
class Loads:
    """The loads of a studio: what stands in a kiln, the firing log, and what was seen too late."""

    inside: tuple[LoadShown, ...]
    log: tuple[LoadShown, ...]
    late: tuple[LateLosses, ...]
    again: tuple[GoodAgain, ...]
    last: LastWritten | None
    """The opening that was written last."""
    closed: Mapping[str, LastWritten]
    """By the label of a load that stands in a kiln, what it was closed by."""


def loads(reading: Reading, today: date, zone: str, studio: Studio | None) -> Loads:
    """Return the loads that are closed, the first closed in front, and those opened last, the firing log."""
    known = known_editions(reading)
    names = {one.edition: one.name for one in known}
    full = [one for one in known if one.loaded + one.loaded_named]
    inside = [
        _load(reading.things, label, load, edition.name, zone, studio, today)
        for edition in full
        for label, load in reading.things.of(LoadDoc, edition.edition)
        if load.state == "closed"
    ]
    out: list[LoadShown] = []
    late: list[LateLosses] = []
    again: list[GoodAgain] = []
    for entry in reading.latest(MOST_LOADS, kinds=_OPENINGS):
        label = entry.body["made"][0] if entry.kind == "load-fired" else entry.body["load"]
        load = reading.things.get(LoadDoc, label)
        is_told = any(one.label == label for one in out)  # taken back and written again
        if load is not None and load.state == "opened" and not is_told:
            name = names[entry.scope]
            out.append(_load(reading.things, label, load, name, zone, studio, today))
            late += _late(reading.things, label, load, zone)
            again += _again(reading.things, label, load)
    in_order = sorted(inside, key=lambda one: (not one.is_due, one.order))
    opened = [last_written(reading, one.label, one.edition, _OPENINGS, zone) for one in out[:1]]
    closings = {
        one.label: last_written(reading, one.label, one.edition, ("load-closed",), zone)
        for one in inside
    }
    return Loads(
        inside=tuple(in_order),
        log=tuple(out),
        late=tuple(late),
        again=tuple(again),
        last=next(iter(opened), None),
        closed={label: one for label, one in closings.items() if one},
    )


_OPENINGS = ("load-opened", "load-fired")


def _late(things: Things, label: str, load: LoadDoc, zone: str) -> Iterator[LateLosses]:
    edition, late = things.get(EditionDoc, load.edition), not_counted(things, label, load)
    if edition is None or not late:
        return
    told = [
        f"{piece_said(things, piece)}, {one.cause}"
        f"{f', by {one.device}' if one.device else ''} at {clock_of(one.at, zone)}"
        for piece, one in late.items()
    ]
    found = ((name, things.get(PieceDoc, name)) for name in late)
    marked = [_written(things, edition, name, piece) for name, piece in found if piece]
    yield LateLosses(
        label=label, edition=load.edition, words="; ".join(told), pieces=", ".join(marked)
    )


def _again(things: Things, label: str, load: LoadDoc) -> Iterator[GoodAgain]:
    good = good_again(things, label, load)
    if good:
        told = (f"{piece_said(things, piece)}, {cause}" for piece, cause in good.items())
        yield GoodAgain(label=label, words="; ".join(told))


def count_in(reading: Reading, label: str) -> dict[str, object] | None:
    """Return the correction that counts in what was seen lost too late, None if nothing was.

    It has no id yet.
    """
    load = reading.things.get(LoadDoc, label)
    late = not_counted(reading.things, label, load) if load else {}
    if load is None or not late:
        return None
    unmarked, marked = as_told(late)
    lost = dict(Counter(load.lost) + Counter(unmarked))
    lost_pieces = {**load.lost_pieces, **marked}
    changes = {"lost": lost, "lost_pieces": lost_pieces}
    told = {name: value for name, value in changes.items() if value}
    return {"do": "correct", "entry": _opening(reading, label, load), "changes": told}


def _opening(reading: Reading, label: str, load: LoadDoc) -> int:
    """Return the place of the entry that a load was written down by."""
    entries = reading.entries(load.edition, kinds=_OPENINGS, naming=[f'"{label}"'])
    *_, opened = entries  # one that is taken back has another behind it
    return opened.seq


def count_good(reading: Reading, label: str) -> dict[str, object] | None:
    """Return the correction that counts as good what was seen good again, None if nothing was.

    It has no id yet.
    """
    load = reading.things.get(LoadDoc, label)
    good = good_again(reading.things, label, load) if load else {}
    if load is None or not good:
        return None
    unmarked = Counter(cause for piece, cause in good.items() if piece not in load.pieces)
    changes: dict[str, object] = {}
    if unmarked:
        changes["lost"] = dict(Counter(load.lost) - unmarked) or None
    if pieces := [piece for piece in good if piece in load.pieces]:
        rest = {piece: why for piece, why in load.lost_pieces.items() if piece not in pieces}
        changes["lost_pieces"] = rest or None
    return {"do": "correct", "entry": _opening(reading, label, load), "changes": changes}


def all_lost(reading: Reading, label: str) -> list[dict[str, object]]:
    """Return what marks as lost once more what was taken back of a load; they have no ids yet."""
    load = reading.things.get(LoadDoc, label)
    good = good_again(reading.things, label, load) if load else {}
    of = {"do": "start-step", "edition": load.edition if load else "", "step": LOST}
    return [{**of, "what": f"{label}, {piece}", "cause": cause} for piece, cause in good.items()]


def all_good(reading: Reading, label: str) -> list[dict[str, object]]:
    """Return what takes back all that was seen lost too late of a load; they have no ids yet."""
    load = reading.things.get(LoadDoc, label)
    if load is None:
        return []
    late = [one.thing for one in not_counted(reading.things, label, load).values()]
    of = {"do": "undo-step", "edition": load.edition, "step": LOST}
    return [
        {**of, "what": one.thing, "undoes": one.id}
        for one in stands_of_load(reading.things, label, load)
        if one.thing in late
    ]


def cones_seen(told: str) -> tuple[tuple[str, str], ...]:
    """Return cones as they were written down, each with how it stood; empty where it is told otherwise.

    Examples
    --------
    >>> cones_seen("6 down, 7 soft"), cones_seen("5 nearly down")
    ((('6', 'down'), ('7', 'soft')), (('5 nearly down', ''),))
    """
    parts = (one.strip() for one in told.split(","))
    split = ((one, *one.split(" ")) for one in parts if one)
    return tuple(
        (how[0], how[1]) if len(how) == 2 and how[1] in CONE_STATES else (one, "")
        for one, *how in split
    )


def _lost_in(load: LoadDoc) -> dict[str, int]:
    """Return how many pieces were lost in a load, by cause."""
    return dict(Counter(load.lost) + Counter(load.lost_pieces.values()))


def _load(
    things: Things,
    label: str,
    load: LoadDoc,
    name: str,
    zone: str,
    studio: Studio | None,
    today: date,
) -> LoadShown:
    lost = _lost_in(load)
    opened, again = load.opened_at, " again" if load.refire else ""
    cold = cold_on(load.firing, load.closed_at, zone, studio)
    stands = [] if opened else stands_of_load(things, label, load)
    seen = load_seen(stands, label) if not opened else None
    return LoadShown(
        label=label,
        edition=load.edition,
        name=name,
        words=f"{load.firing}{again}, {many(load.size, 'piece')}",
        closed=day(day_of(load.closed_at, zone)),
        cold=day(cold),
        is_due=cold <= today or (seen is not None and seen.load.stage == OPENED),
        opened=day(day_of(opened, zone)) if opened else "",
        firing=load.firing,
        good=load.size - sum(lost.values()),
        size=load.size,
        lost=causes(lost),
        cones=cones_seen(load.cones or ""),
        kiln=load.kiln or "",
        order=f"{opened or load.closed_at} {label}",
        seen=_seen_words(seen, zone, today) if seen else "",
        may_be_off=seen is not None and not seen.load.stage and cold > today,
        take_back=_take_back(label, load, stands, seen.load.stage if seen else ""),
    )


def _take_back(
    label: str, load: LoadDoc, stands: Sequence[Observation], stage: str
) -> dict[str, str] | None:
    """Return the fields that take back what the stage of a load was seen by first."""
    first = next((one for one in stands if (one.thing, one.stage) == (label, stage)), None)
    if first is None:
        return None
    return take_back(load.edition, first)


def _seen_words(seen: LoadSeen, zone: str, today: date) -> str:
    """Return what phones saw of a load that is not written down yet."""
    stage = seen.load.stage
    if not stage:
        return ""
    at = seen.load.began[stage].at
    when = at.astimezone(ZoneInfo(zone)).date()
    told = f"{stage} at {clock_of(at, zone)}" + ("" if when == today else f", {day(when)}")
    return told + (f"; {len(seen.lost)} seen lost so far" if seen.lost else "")


def clock_of(at: datetime, zone: str) -> str:
    """Return the time of day of an instant, by the clocks of a zone."""
    return f"{at.astimezone(ZoneInfo(zone)):%H:%M}"
