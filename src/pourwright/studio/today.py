"""Today: what to do now and next across the open editions, what spoils first in front."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from types import MappingProxyType
from urllib.parse import urlencode

from msgspec.structs import replace

from pourwright.briefs.folder import BriefHere, brief_here
from pourwright.ledger.documents import EditionDoc, FormDoc, MoldDoc, SpareDoc
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.observations import block_share
from pourwright.ledger.said import many, names_said
from pourwright.ledger.stages import firings_of
from pourwright.ledger.things import Things
from pourwright.plan.plan import Plan, PlanDay
from pourwright.plan.standing_from_book import day_of, has_masters, unapproved
from pourwright.report.calendar import DOING, MARKING, block_parts, doing_words, to_mark
from pourwright.report.saying import day_in_week, sentence
from pourwright.studio.answers import Drying, pieces_at, stage_before_firing, today_lists
from pourwright.studio.bench.clocks import TimedStep, due_of, steps_of, words_now
from pourwright.studio.bench.heat_fits import HeatWindows
from pourwright.studio.bench.plaster import (
    PlasterCard,
    block_begun,
    plaster_cards,
    poured_molds,
    to_write,
)
from pourwright.studio.bench.slip import SlipCard, slip_cards
from pourwright.studio.editions import in_work, known_editions
from pourwright.studio.kiln import WARE_DRY_DAYS, cold_on, good_casts_lately
from pourwright.studio.lots import last_lots
from pourwright.studio.put_off import put_off, work_named
from pourwright.studio.shelf import by_its_weighings, to_judge, weighed_dry_kg

NEARLY = 0.6
"""Share of a load from which on it is told how full it would be: our own choice."""
_CLOCK_STEPS = ("batch ", "M-", "L-")
_DUE = {"late": ("late", "Late"), "soon": ("soon", "Soon"), "": ("", "")}


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskLine:
    """One thing to do, and where it is done.

    Parameters
    ----------
    words, note : str
        What, and what it rests on.
    to : str
        The page's address.
    kind, word : str
        Its mark.
    start_ms : int or None
        When its clock began, if one runs. [ms since 1970]
    target_min : float or None
        How long it should take. [min]
    rank : float
        What it is ordered by among its like: less comes first.
    edition, task : str
        Whose it is and what it is, if it can be put off until tomorrow.
    stretches : str
        What goes on until when, where its clock has several stretches; see ``Panel.marks_text``.
    is_former : bool
        Whether a plan asks it that is being worked out again.
    """

    words: str
    to: str
    note: str = ""
    kind: str = ""
    word: str = ""
    start_ms: int | None = None
    target_min: float | None = None
    rank: float = 0.0
    edition: str = ""
    task: str = ""
    stretches: str = ""
    is_former: bool = False

    @property
    def target_s(self) -> int | None:
        """The same in whole seconds, as clocks take it. [s]"""
        return None if self.target_min is None else round(60 * self.target_min)


@dataclass(frozen=True, slots=True)
class Slate:
    """The slate by the door: clocks that run, what comes next, and what is worth knowing.

    Parameters
    ----------
    now, next, know : tuple of TaskLine
        In the order in which they spoil; findings and faults last.
    open_editions : tuple of (str, str)
        Ids and names.
    has_book : bool
        Whether there is any edition at all.
    others : str
        What is said of further open editions; empty if there are none.
    has_batch : bool
        Whether a batch of plaster is at work.
    off : frozenset of (str, str)
        Whose work is not done today, and which, because somebody said so.
    block_begun : mapping of str to collection of int
        Of each edition the batches of a block mold that are at work or open, counted from 1.
    """

    now: tuple[TaskLine, ...]
    next: tuple[TaskLine, ...]
    know: tuple[TaskLine, ...]
    open_editions: tuple[tuple[str, str], ...]
    has_book: bool
    others: str
    has_batch: bool
    off: frozenset[tuple[str, str]]
    block_begun: Mapping[str, Collection[int]]

    @property
    def put_off(self) -> tuple[str, ...]:
        """What is not done today, for a sentence."""
        return tuple(sorted({task for _, task in self.off}))


def slate(
    reading: Reading, folder: Path, now: datetime, units: str, windows: HeatWindows | None = None
) -> Slate:
    """Return what stands on the slate.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    folder : Path
        The studio's folder.
    now : datetime
        The instant, in the studio's zone.
    units : {"metric", "us"}
        What quantities are shown in.
    windows : HeatWindows, optional
        What the studio's thermometer logs say of a batch that is at work.
    """
    open_ones = in_work(reading)
    desks = [
        _Edition(reading, one, folder, now, units, windows, many_open=open_ones.of > 1)
        for one in open_ones.docs
    ]
    running = sorted((line for desk in desks for line in desk.now()), key=lambda one: one.rank)
    off = put_off(reading, now.date(), getattr(now.tzinfo, "key", "UTC"))
    all_ahead = [line for desk in desks for line in desk.next()]
    ahead = [line for line in all_ahead if (line.edition, line.task) not in off]
    return Slate(
        now=tuple(running),
        next=tuple(sorted(ahead, key=lambda one: one.rank)),
        know=tuple(line for desk in desks for line in desk.know()),
        open_editions=tuple((one.edition, one.name) for one in open_ones.docs),
        has_book=bool(known_editions(reading)),
        others=open_ones.words,
        has_batch=any(desk.batches for desk in desks),
        off=off,
        block_begun={desk.id: block_begun(desk.batches) for desk in desks},
    )


class _Edition:
    """One edition's lines."""

    def __init__(
        self,
        reading: Reading,
        doc: EditionDoc,
        folder: Path,
        now: datetime,
        units: str,
        windows: HeatWindows | None,
        *,
        many_open: bool,
    ) -> None:
        self.reading, self.things = reading, (things := reading.things)
        self.doc, self.now_at, self.units = doc, now, units
        self.id = edition = doc.edition
        self.zone: str = getattr(now.tzinfo, "key", "UTC")
        self.today: date = now.date()
        self.here: BriefHere | None = brief_here(folder, edition, self.today)
        self.brief = self.here.brief if self.here else None
        self.studio = self.here.studio if self.here else None
        self.lists = today_lists(things, edition, self.today, self.zone)
        self.steps = steps = steps_of(things, edition)
        self.batches = plaster_cards(things, edition, steps, self.brief, self.studio, now, windows)
        self.slips = slip_cards(things, edition, steps, self.brief, now, whole=False)
        self.of = f"{doc.name}: " if many_open else ""

    def now(self) -> Iterator[TaskLine]:
        """Yield the clocks that run: casts, batches, anything else that was started."""
        yield from (self._slip(card) for card in self.slips if card.is_running)
        yield from (self._plaster(card) for card in self.batches if not card.is_done)
        for what, steps in self.steps.items():
            last = steps[-1]
            if not what.startswith(_CLOCK_STEPS) and last.ended is None:
                yield self._other(last)

    def _slip(self, card: SlipCard) -> TaskLine:
        panel = next(one for one in card.panels if one.phase == card.phase)
        words, note = panel.press or panel.words, f"{panel.words.lower()}; {panel.note}"
        if card.phase == "open":  # what its button says is already an answer
            words, note = f"Say what came out of {card.label}", "the mold is free then"
        kind, word = _DUE[card.due]
        rank = 1e8 if card.left_min is None else card.left_min
        return TaskLine(
            words=words,
            note=f"{self.of}{note}",
            to=f"/bench/slip#card-{card.label}",
            kind=kind,
            word=word,
            start_ms=panel.start_ms,
            target_min=panel.target_min,
            rank=rank,
        )

    def _plaster(self, card: PlasterCard) -> TaskLine:
        panel = next(one for one in card.panels if one.phase == card.phase)
        kind, word = _DUE[card.due]
        passed = (self.now_at.timestamp() - (panel.start_ms or 0) / 1000) / 60
        rank = 1e8 if panel.target_min is None else panel.target_min - passed
        return TaskLine(
            words=f"{words_now(panel, round(1000 * self.now_at.timestamp()))}: {card.what}",
            note=f"{self.of}{panel.note}".rstrip("; "),
            to="/bench/plaster",
            kind=kind,
            word=word,
            start_ms=panel.start_ms,
            target_min=panel.target_min,
            rank=rank,
            stretches=panel.marks_text,
        )

    def _other(self, step: TimedStep) -> TaskLine:
        left = step.left_min(self.now_at)
        kind, word = _DUE[due_of(left)]
        ends = urlencode({"edition": self.id, "what": step.what, "step": step.name, "back": "/"})
        return TaskLine(
            words=f"{step.name} of {step.what}",
            note=f"{self.of}end it when it is over",
            to=f"/do/end-step?{ends}",
            kind=kind,
            word=word,
            start_ms=step.start_ms,
            target_min=step.target_min,
            rank=1e8 if left is None else left,
        )

    def next(self) -> Iterator[TaskLine]:
        """Yield what can be done, each kind with its place in the order of spoiling."""
        yield from self._to_write()
        yield from self._in_the_kiln()
        yield from self._broken()
        yield from self._dry()
        yield from self._weigh()
        yield from self._cast()
        yield from self._judge()
        yield from self._loads()

    def _to_write(self) -> Iterator[TaskLine]:
        done = [card.short for card in to_write(self.batches)]
        if done:
            yield TaskLine(
                words=f"Write {names_said(done)} down",
                note=f"{self.of}done, and not yet in the book",
                to=f"/bench/plaster#write-{self.id}",
                kind="soon",
                word="To write",
                rank=5,
            )

    def _in_the_kiln(self) -> Iterator[TaskLine]:
        for load in self.lists.in_the_kiln:
            if cold_on(load.firing, load.since, self.zone, self.studio) <= self.today:
                pieces = many(load.pieces, "piece")
                yield TaskLine(
                    words=f"Open {load.load}",
                    note=f"{self.of}{load.firing}, {pieces}; only ware that has cooled",
                    to=f"/kiln/{load.load}",
                    kind="soon",
                    word="Due",
                    rank=10,
                    edition=self.id,
                    task=f"open {load.load}",
                )

    def _broken(self) -> Iterator[TaskLine]:
        there = [spare for _, spare in self.things.of(SpareDoc, self.id)]
        spares = {spare.part for spare in there if spare.state == "spare"}
        for label in self.lists.incomplete:
            mold = self.things.get(MoldDoc, label)
            broken = [name for name, part in mold.parts.items() if part.broken] if mold else []
            lacking = [name for name in broken if name not in spares]
            if lacking and self._being_poured(lacking):
                continue  # its clock stands above
            words, note = (
                f"Swap {names_said(broken)} of {label}",
                "it is incomplete and cannot be cast",
            )
            to = _do("swap-part", mold=label, part=broken[0] if broken else "")
            if lacking:
                words, note = (
                    f"Pour {names_said(lacking)} for {label}",
                    f"{note}; there is no spare",
                )
                to = self._poured_at(lacking)
            yield TaskLine(
                words=words,
                note=f"{self.of}{note}",
                to=to,
                kind="odd",
                word="Broken",
                rank=50,
                edition=self.id,
                task=f"swap a part of {label}",
            )

    def _being_poured(self, parts: Sequence[str]) -> bool:
        """Return whether a batch at work fills these parts alone."""
        spares = [
            card.batch
            for card in self.batches
            if card.batch and not (card.failed or card.batch.whole_molds or block_share(card.what))
        ]
        return set(parts) <= {name for one in spares for name, _ in one.parts}

    def _poured_at(self, parts: Sequence[str]) -> str:
        """Return where spare parts are weighed and poured: the bench, where a brief tells their weights."""
        told = self.brief.mold.parts if self.brief else ()
        fields = {f"part-{n}": 1 for n, one in enumerate(told, 1) if one.name in parts}
        if not fields:
            return _do("pour-part", edition=self.id, part=parts[0])
        return f"/bench/plaster?{urlencode({'edition': self.id, **fields})}#pour-{self.id}"

    def _dry(self) -> Iterator[TaskLine]:
        stopped = [one.label for one in self.lists.drying if one.stopped_losing]
        if stopped:
            are, they_have = ("is", "it has") if len(stopped) == 1 else ("are", "they have")
            yield TaskLine(
                words=f"Say that {names_said(stopped)} {are} dry",
                note=f"{self.of}{they_have} stopped losing weight over two weighings",
                to=_at(stopped, _do("dry", edition=self.id, molds=", ".join(stopped))),
                kind="done",
                word="Dry",
                rank=20,
            )
        dry_kg = weighed_dry_kg(self.things, self.id, self.zone)
        molds = dict(self.things.of(MoldDoc, self.id))
        likely = [
            one.label
            for one in self.lists.drying
            if self._is_likely_dry(one, molds[one.label], dry_kg)
        ]
        if likely:
            are = "is" if len(likely) == 1 else "are"
            yield TaskLine(
                words=f"See whether {names_said(likely)} {are} dry",
                note=f"{self.of}ready to cast by now, if it goes on as weighed",
                to=_at(likely, _do("dry", edition=self.id, molds=", ".join(likely))),
                kind="raw",
                word="Likely dry",
                rank=28,
                edition=self.id,
                task="see whether molds are dry",
            )

    def _is_likely_dry(self, one: Drying, mold: MoldDoc, dry_kg: float | None) -> bool:
        """Return whether a mold that nobody called dry may be cast by now, as its weighings say.

        ``dry_kg`` is what another of its form weighed dry, where one was weighed. [kg]
        """
        if one.stopped_losing:
            return False
        told = by_its_weighings(
            self.things, mold, self.here, self.units, self.zone, another_kg=dry_kg
        )
        return told.is_dry or (told.ready is not None and told.ready[1] <= self.today)

    def _weigh(self) -> Iterator[TaskLine]:
        due = [one for one in self.lists.drying if one.weigh]
        if not due:
            return
        labels = [one.label for one in due]
        days = sorted({one.days for one in due})
        since = f"{days[0]} to {days[-1]} days" if len(days) > 1 else many(days[0], "day")
        told = f"drying for {since}" if days[-1] else "poured today"
        yield TaskLine(
            words=f"Weigh {names_said(labels)}, strapped",
            note=f"{self.of}{told}; once a day",
            to=f"/shelf/{labels[0]}/weigh",
            kind="raw",
            word="Drying",
            rank=30,
            edition=self.id,
            task="weigh molds",
        )

    def _cast(self) -> Iterator[TaskLine]:
        standing = {card.label for card in self.slips if card.is_running}
        ready = [label for label in self.lists.ready if label not in standing]
        if ready:
            yield TaskLine(
                words=f"Cast {names_said(ready)}",
                note=f"{self.of}dry, complete and not cast today; {self._slip_read()}",
                to="/bench/slip",
                kind="done",
                word="Dry",
                rank=25,
                edition=self.id,
                task="cast",
            )

    def _slip_read(self) -> str:
        lots = last_lots(self.things, "slip")
        last = lots[0][1].last if lots else None
        if last is None:
            return "read the slip first"
        age = (self.today - day_of(last.at, self.zone)).days
        return "slip read today" if age == 0 else f"slip read {many(age, 'day')} ago: read it first"

    def _judge(self) -> Iterator[TaskLine]:
        due = list(to_judge(self.reading, self.id))
        if due:
            yield TaskLine(
                words=f"Hold a cast of {names_said(due)} beside the reference piece",
                note=f"{self.of}every fifth cast",
                to=f"/shelf/{due[0]}#wear",  # each has a verdict of its own, the first one first
                kind="odd",
                word="Look",
                rank=40,
                edition=self.id,
                task="judge the wear",
            )

    def _loads(self) -> Iterator[TaskLine]:
        for firing in firings_of(self.doc.route):
            stage = stage_before_firing(self.doc, firing)
            there = pieces_at(self.doc, stage)
            is_green = stage == "greenware"
            fit = self._bone_dry(there) if is_green else there
            dry = "; only bone-dry ware" if is_green else ""
            size = getattr(self.brief.firing, f"{firing}_load") if self.brief else None
            if size is None:
                note, kind, word, rank = f"{many(fit, 'piece')} waiting", "raw", "Waits", 60
            elif fit >= size:
                note, kind, word, rank = f"{fit} ready, a load holds {size}", "soon", "Full", 15
            else:
                note, kind = f"{fit} ready of the {size} that a load holds", "raw"
                word, rank = "Nearly", 60
            if fit and fit >= NEARLY * (size or 0):
                yield TaskLine(
                    words=f"Build a {firing} load",
                    note=f"{self.of}{note}{dry}",
                    to="/kiln",
                    kind=kind,
                    word=word,
                    rank=rank,
                    edition=self.id,
                    task=f"build a {firing} load",
                )

    def _bone_dry(self, there: int) -> int:
        """Return the greenware that has stood for as long as the brief lets it dry."""
        days = self.brief.firing.ware_dry_days if self.brief else WARE_DRY_DAYS
        return max(there - good_casts_lately(self.things, self.doc, self.today, days), 0)

    def know(self) -> Iterator[TaskLine]:
        """Yield what is worth knowing: a brief that cannot be read, what was skipped, findings of the week."""
        if self.here is not None and self.here.fault:
            yield TaskLine(
                words=f"The brief of {self.doc.name} cannot be read",
                note=self.here.fault.splitlines()[0],
                to=f"/editions/{self.id}",
                kind="odd",
                word="Fault",
            )
        yield from self._skipped()
        for one in reversed(self.lists.findings):
            day = day_in_week(day_of(one.at, self.zone))
            yield TaskLine(
                words=one.said,
                note=f"{self.of}{day}, entry {one.seq}",
                to=f"/records/{one.seq}",
                kind="odd",
                word="Odd",
            )

    def _skipped(self) -> Iterator[TaskLine]:
        """Yield what the plan leaves out because molds or masters were made before it."""
        if self.brief is None or self.studio is None:
            return
        poured = poured_molds(self.things, self.id, self.steps, self.brief, self.studio)
        made = unapproved(self.things, self.doc, self.brief, poured)
        if not made:
            return
        forms = [form for _, form in self.things.of(FormDoc, self.id)]
        tests = self.brief.preparation.test_casts
        there = {
            "block mold": self.brief.preparation.have == "block mold"
            or any(one.what == "block mold" for one in forms),
            "test casts": not tests or any(one.tests.casts for one in forms),
            "approval": False,
            "masters": made == "masters" or has_masters(self.doc, forms),
        }
        were = "molds were poured" if made == "molds" else "masters were made"
        approved = "test casts are approved" if tests else "the approval"
        yield TaskLine(
            words=f"Skipped: {names_said(one for one, is_there in there.items() if not is_there)}",
            note=f"{self.of}{were} all the same; none may be offered before {approved}",
            to=_do("approve", edition=self.id),
            kind="odd",
            word="Skipped",
        )


def _at(molds: Sequence[str], several: str) -> str:
    """Return where a mold is dealt with: its own page, or a form for several at once."""
    return f"/shelf/{molds[0]}" if len(molds) == 1 else several


def _do(verb: str, **fields: object) -> str:
    told = {name: value for name, value in fields.items() if value != ""}
    return f"/do/{verb}?{urlencode({**told, 'back': '/'})}"


BY_THE_BOOK = ("cast", "conditioning", "load ", "unload ")
"""What begins the plan's name of work that the book itself says is ready."""
LONGEST_AHEAD = 7


def by_the_plan(
    plans: Sequence[tuple[str, str, Plan]],
    today: date,
    off: Collection[tuple[str, str]] = (),
    block_begun: Mapping[str, Collection[int]] = MappingProxyType({}),
    former: Collection[str] = (),
) -> tuple[TaskLine, ...]:
    """Return what the plans ask next beside what the book says is ready.

    Each piece of work of an edition's next day is a row, which leads to where it is written down.

    Parameters
    ----------
    plans : sequence of (str, str, Plan)
        Id and name of each open edition, and its plan.
    today : date
        The day.
    off : collection of (str, str)
        Whose work is not done today, and which.
    block_begun : mapping of str to collection of int
        As :class:`Slate` has it: the clocks of these batches stand in front.
    former : collection of str
        Editions whose plan was worked out before, and is being worked out again.
    """
    lines = []
    for edition, name, plan in plans:
        for entry in plan.calendar:
            ahead = (entry.date - today).days
            work = [
                (words, to, task)
                for words, to, task in _work(edition, plan, entry, block_begun.get(edition, ()))
                if ahead or (edition, task) not in off
            ]
            if not work or not 0 <= ahead <= LONGEST_AHEAD:
                continue
            when = {0: "today", 1: "tomorrow"}.get(ahead, day_in_week(entry.date))
            lines += [
                TaskLine(
                    words=sentence(words)[:-1],
                    note=f"{name}: by its plan, {when}{_ONLY_LOST if to.startswith('/do/lose') else ''}",
                    to=to,
                    kind="raw" if ahead else "soon",
                    word=when[:1].upper() + when[1:],
                    rank=45 if ahead == 0 else 80 + ahead,
                    edition="" if ahead else edition,
                    task="" if ahead else task,
                    is_former=edition in former,
                )
                for words, to, task in work
            ]
            break
    return tuple(lines)


def _work(
    edition: str, plan: Plan, entry: PlanDay, block_begun: Collection[int]
) -> Iterator[tuple[str, str, str]]:
    """Yield what a plan asks on a day beside what the book says is ready: words, where it is written down, its name."""
    names = [part.name for part in plan.plaster.parts]
    begun = [names[n - 1] for n in block_begun if n <= len(names)]
    for one in entry.doing:
        if one.stage == "block mold" and begun and not block_parts(plan, entry.date, begun):
            continue
        if not one.stage.startswith(BY_THE_BOOK):
            words = doing_words(plan, replace(entry, doing=(one,)), begun)
            if one.stage in MARKING[plan.numbers.marked]:
                if left := to_mark(plan, entry.date, one):
                    yield f"mark {many(left, 'piece')}", f"/editions/{edition}", "mark"
                words = DOING[one.stage].format(n=one.count)
            yield words, _written_at(edition, one.stage), work_named(one.stage)


_ONLY_LOST = "; only what is lost in it is written down"
_FORMS = {"original": "original", "masters": "master"}
"""What is written down when a stage before the first pour is done; a block mold is poured at the bench."""


def _written_at(edition: str, stage: str) -> str:
    """Return where a piece of work is written down; of fettling only what is lost is."""
    if stage in _FORMS:
        return _do("make-form", edition=edition, what=_FORMS[stage])
    if stage == "fettle":
        return _do("lose", edition=edition, stage="greenware", lost="")
    forms = {"test casts": "test-cast", "approval": "approve"}
    if stage in forms:
        return _do(forms[stage], edition=edition)
    pages = {"pour": "/bench/plaster", "block mold": f"/bench/plaster#session-{edition}"}
    pages |= {"finish": f"/kiln/inspect/{edition}"}
    pages |= dict.fromkeys(("glaze", "decorate", "prepare for third"), "/kiln")
    return pages.get(stage, f"/editions/{edition}/plan")


def first_words(lines: Sequence[TaskLine]) -> str:
    """Return the slate in one sentence, for its head.

    Examples
    --------
    >>> first_words([])
    'No clock runs.'
    """
    late = sum(one.kind == "late" for one in lines)
    if not lines:
        return "No clock runs."
    runs = f"{many(len(lines), 'clock')} {'runs' if len(lines) == 1 else 'run'}"
    return f"{runs}, {late} of them late." if late else f"{runs}."


def name_of(things: Things, edition: str) -> str | None:
    """Return what an edition is called, None if there is none of that id."""
    doc = things.get(EditionDoc, edition)
    return None if doc is None else doc.name
