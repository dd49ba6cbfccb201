"""Plaster at the bench: the batches at work, what is scratched into them, and the molds they fill."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from urllib.parse import urlencode

from pourwright.briefs.folder import BriefHere, brief_here
from pourwright.briefs.records import Brief, Studio
from pourwright.ledger.documents import MoldDoc, StepDoc, or_none
from pourwright.ledger.file.stored_things import stored_answer
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.labels import label
from pourwright.ledger.observations import BATCH, FAILED, block_share, standing, state_of
from pourwright.ledger.said import names_said
from pourwright.ledger.state.apply import counters
from pourwright.ledger.state.record import step_id
from pourwright.ledger.things import Things
from pourwright.plan.plan import StandingMold
from pourwright.plan.standing_from_book import day_of, edition_doc
from pourwright.quantities import show
from pourwright.studio.bench.batches import BatchSheet, batch_named
from pourwright.studio.bench.clocks import (
    Panel,
    TimedStep,
    due_of,
    minutes_between,
    named,
    seen_of,
    steps_of,
    take_back,
)
from pourwright.studio.bench.heat_fits import HeatWindows
from pourwright.studio.bench.heat_logs import batch_steps
from pourwright.studio.bench.plaster_phases import (
    A_DAY_MIN,
    actuals_of,
    begun_of,
    minutes_of,
    panels_of,
)
from pourwright.studio.bench.pour_day import (
    LaidOut,
    laid_out,
    number_of,
    still_to_come,
)
from pourwright.studio.editions import in_work
from pourwright.studio.lots import last_lots
from pourwright.studio.reminders import PHASES

REASONS = (
    "too stiff to pour",
    "leaked",
    "lumps or bubbles",
    "did not set",
    "broke when it was opened",
    "other",
)
"""Why a batch comes to nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlasterCard:
    """A batch at work: its sheet, its phase, and what is scratched into it.

    Parameters
    ----------
    edition, edition_name : str
        What it is of.
    what, short : str
        Its name, and the first words of it.
    batch : BatchSheet or None
        None if no brief tells what its parts take.
    phase, panels, due
        As for a slip card; a batch that was not started yet is weighed, without a clock.
    labels : tuple of str
        What its molds, or its block mold, will be called in the book.
    actuals : tuple of (str, str, str)
        Phases that are over: word, when it began, how long it took.
    minutes : mapping of str to float
        How long soaking, mixing and setting took, as far as they were timed. [min]
    poured_at : str
        The instant of the pour; empty before it.
    begun : str
        The instant of its first step, which tells it from another batch of its number; empty before.
    failed : str
        Why it came to nothing; empty if it did not.
    times_written : int
        How often it was written down and taken back again. [-]
    take_back : mapping of str to str or None
        The fields that take back that it is open, or failed; None before that.
    """

    edition: str
    edition_name: str
    what: str
    short: str
    batch: BatchSheet | None
    phase: str
    panels: tuple[Panel, ...]
    due: str
    labels: tuple[str, ...]
    actuals: tuple[tuple[str, str, str], ...]
    minutes: Mapping[str, float]
    poured_at: str
    begun: str
    failed: str
    times_written: int
    take_back: Mapping[str, str] | None

    @property
    def key(self) -> str:
        """What the ids of the commands that write it down are made of."""
        return _key(self.edition, self.what, self.begun)

    @property
    def makes_block(self) -> bool:
        """Whether the block mold is whole with it: the last batch of one."""
        share = block_share(self.what)
        return share is not None and share[0] == share[1]

    @property
    def is_done(self) -> bool:
        """Whether it is open, or came to nothing, so that it can be written down."""
        return self.phase in ("open", "failed")


def next_batch(
    things: Things, edition: str, day: Sequence[LaidOut] = (), others: Sequence[str] = ()
) -> int:
    """Return the number of the next batch of an edition, behind all its own and those at the bench.

    Parameters
    ----------
    things : Things
        The book's documents.
    edition : str
        The edition.
    day : sequence of LaidOut
        The batches that were laid out for today, of any edition.
    others : sequence of str
        The editions that are worked on: no two buckets of a day have one number.
    """
    own = max(map(number_of, steps_of(things, edition)), default=0)
    return max(own, _last_at_bench(things, day, others)) + 1


def _last_at_bench(things: Things, day: Sequence[LaidOut], editions: Sequence[str]) -> int:
    """Return the highest number of a batch that is laid out today or at work, 0 if there is none."""
    names = [one.name for one in day]
    for edition in editions:
        steps = steps_of(things, edition)
        names += [what for what, mine in steps.items() if not any(one.was_ended for one in mine)]
    return max(map(number_of, names), default=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlasterBench:
    """What the plaster bench shows of an edition.

    Parameters
    ----------
    edition, name : str
        Which one.
    cards : tuple of PlasterCard
        Its batches at work, and those of the day that are still to come.
    here : BriefHere or None
        Its brief.
    lots : tuple of str
        Lots of plaster, the newest first.
    others : str
        What is said of further editions.
    """

    edition: str
    name: str
    cards: tuple[PlasterCard, ...]
    here: BriefHere | None
    lots: tuple[str, ...]
    others: str

    @property
    def block_begun(self) -> set[int]:
        """The batches of a block mold that are laid out, at work or open, counted from 1."""
        return block_begun(self.cards)

    @property
    def to_write(self) -> list[PlasterCard]:
        """The batches to be written down."""
        return to_write(self.cards)

    def waits_for(self, card: PlasterCard) -> str:
        """Return which parts of its block mold a batch waits for once it is open; empty if for none."""
        share = block_share(card.what)
        if share is None:
            return ""
        lacking = sorted(set(range(1, share[1] + 1)) - _open_shares(self.cards) - {share[0]})
        return names_said(f"part {n}" for n in lacking)


def block_begun(cards: Sequence[PlasterCard]) -> set[int]:
    """Return the batches of a block mold among these that did not fail, counted from 1."""
    shares = [block_share(card.what) for card in cards if not card.failed]
    return {share[0] for share in shares if share}


def to_write(cards: Sequence[PlasterCard]) -> list[PlasterCard]:
    """Return the batches of an edition that are done, a block mold's once all of it is open."""
    opened = _open_shares(cards)

    def is_held(card: PlasterCard) -> bool:
        share = block_share(card.what)
        return share is not None and len(opened) < share[1]

    return [card for card in cards if card.failed or (card.is_done and not is_held(card))]


def _open_shares(cards: Sequence[PlasterCard]) -> set[int]:
    """Return which parts of a block mold are open and not yet in the book, counted from 1."""
    shares = [block_share(card.what) for card in cards if card.is_done and not card.failed]
    return {share[0] for share in shares if share}


def plaster_bench(
    reading: Reading, folder: Path, now: datetime, windows: HeatWindows | None = None
) -> list[PlasterBench]:
    """Return what the plaster bench shows of each open edition that is looked into."""
    things = reading.things
    lots = tuple(label for label, _ in last_lots(things, "plaster"))
    found = []
    open_ones = in_work(reading)
    day = laid_out(folder, now.date())
    last = _last_at_bench(things, day, [one.edition for one in open_ones.docs])
    for one in open_ones.docs:
        here = brief_here(folder, one.edition, now.date())
        brief, studio = (here.brief, here.studio) if here else (None, None)
        mine = [batch for batch in day if batch.edition == one.edition]
        steps = steps_of(things, one.edition)
        before = _labels_before(reading, one.edition, steps)
        cards = plaster_cards(
            things, one.edition, steps, brief, studio, now, windows, mine, before, last
        )
        found.append(
            PlasterBench(
                edition=one.edition,
                name=one.name,
                cards=cards,
                here=here,
                lots=lots,
                others=open_ones.words,
            )
        )
    return _labelled(things, found)


def plaster_cards(
    things: Things,
    edition: str,
    steps: Mapping[str, list[TimedStep]],
    brief: Brief | None,
    studio: Studio | None,
    now: datetime,
    windows: HeatWindows | None = None,
    day: Sequence[LaidOut] = (),
    before: Mapping[str, tuple[str, ...]] | None = None,
    last: int = 0,
) -> tuple[PlasterCard, ...]:
    """Return a card for each batch at work, the one started first in front, and for those to come.

    New labels are given by :func:`plaster_bench`, which sees all editions.

    Parameters
    ----------
    things : Things
        The book's documents.
    edition : str
        The edition.
    steps : mapping
        What was timed of it, as :func:`steps_of` has it.
    brief, studio : Brief, Studio, optional
        For the weights and the times.
    now : datetime
        The instant, in the studio's zone.
    windows : HeatWindows, optional
        What the studio's thermometer logs say of batches like these.
    day : sequence of LaidOut
        The edition's batches that were laid out for today.
    before : mapping of str to tuple of str, optional
        The labels that the book gave a batch before it was taken back, by its name: they are
        scratched in, so it keeps them.
    last : int, optional
        The highest number of a batch at the bench, of any edition. [-]
    """
    batches = {what: mine for what, mine in steps.items() if BATCH.fullmatch(what)}
    cards = []
    name = edition_doc(things, edition).name
    for what, mine in sorted(batches.items(), key=lambda item: item[1][0].started):
        if any(one.was_ended for one in mine):
            continue
        batch = batch_named(brief, studio, what) if brief and studio else None
        is_of_parts = batch is not None and not batch.whole_molds and not block_share(what)
        labels = () if is_of_parts else (before or {}).get(what) or _told(things, edition, what)
        others = {name: one for name, one in batches.items() if name != what}
        cards.append(
            _card((edition, name, what), mine, batch, labels, others, studio, now, windows)
        )
    if brief and studio:
        started = {what: why_failed(mine) for what, mine in batches.items()}
        for batch in still_to_come(day, started, brief, studio, last):
            whose = edition, name, batch.name
            cards.append(_card(whose, (), batch, (), batches, studio, now, windows))
    return tuple(cards)


def poured_molds(
    things: Things,
    edition: str,
    steps: Mapping[str, list[TimedStep]],
    brief: Brief,
    studio: Studio,
) -> tuple[StandingMold, ...]:
    """Return the molds that are poured at the bench and not yet in the book, the first poured in front.

    A mold of several batches is one once its last part is poured. One that no label was scratched
    into takes the next.

    Parameters
    ----------
    things : Things
        The book's documents.
    edition : str
        The edition.
    steps : mapping
        What was timed of it, as :func:`steps_of` has it.
    brief, studio : Brief, Studio
        The edition's and its room's.
    """
    given = {"M": counters(things).highest("M")}
    parts = Counter({part.name: 0 for part in brief.mold.parts})
    found: list[StandingMold] = []
    waiting = [
        (named(mine, POURED)[0].started, what)
        for what, mine in steps.items()
        if BATCH.fullmatch(what)
        and not block_share(what)
        and named(mine, POURED)
        and not why_failed(mine)
        and not any(one.was_ended for one in mine)
    ]
    whole_before = 0
    for poured, what in sorted(waiting):
        batch = batch_named(brief, studio, what)
        if batch is None:
            continue
        labels = _told(things, edition, what) or _labels(batch, given)
        if not batch.whole_molds:
            parts.update(dict(batch.parts))
            more = min(parts.values()) - whole_before
            whole_before += more
            given["M"] += more
            labels = tuple(label("M", given["M"] - i) for i in reversed(range(more)))
        day = day_of(poured.isoformat(), studio.studio.zone)
        found += [
            StandingMold(one, 0, day, dry=False) for one in labels if not things.get(MoldDoc, one)
        ]
    return tuple(found)


def _labelled(things: Things, benches: Sequence[PlasterBench]) -> list[PlasterBench]:
    """Return the benches with the labels that their batches will have, none of them twice."""
    given = {letter: counters(things).highest(letter) for letter in "FM"}
    cards = [card for bench in benches for card in bench.cards if not card.failed]
    # what is poured has its labels scratched in; of the others what is started takes the next ones
    cards.sort(key=lambda card: (not card.labels, not card.begun, card.begun))
    labels: dict[tuple[str, str], tuple[str, ...]] = {}
    taken: set[str] = set()
    for card in cards:
        is_free = not any(one in taken or things.get(MoldDoc, one) for one in card.labels)
        mine = card.labels if card.labels and is_free else _labels(card.batch, given)
        labels[card.edition, card.what] = mine
        taken.update(mine)

    def with_labels(card: PlasterCard) -> PlasterCard:
        return replace(card, labels=labels.get((card.edition, card.what), ()))

    return [replace(one, cards=tuple(map(with_labels, one.cards))) for one in benches]


def _told(things: Things, edition: str, what: str) -> tuple[str, ...]:
    """Return the labels that were scratched into a batch as it was poured, though that tap was undone."""
    step = things.get(StepDoc, step_id({"edition": edition, "what": what, "step": "set"}))
    told = [labels for one in step.seen if (labels := or_none(one.scratched_in))] if step else []
    return tuple(told[0]) if told else ()


def _labels(batch: BatchSheet | None, given: dict[str, int]) -> tuple[str, ...]:
    """Return what is scratched into a batch, and count it as given."""
    if batch is None:
        return ()
    share = block_share(batch.name)
    letter, count = ("F", int(share[0] == share[1])) if share else ("M", batch.whole_molds)
    given[letter] += count
    return tuple(label(letter, given[letter] - i) for i in reversed(range(count)))


def _key(edition: str, what: str, begun: str) -> str:
    return f"{what.partition(':')[0]} of {edition}, {begun}"


def _begun_at(phases: Sequence[TimedStep]) -> str:
    return f"{phases[0].started:%y%m%d %H%M%S}" if phases else ""


def _times_written(steps: Sequence[TimedStep]) -> int:
    """Return how often a batch was written down: each time its clock was ended."""
    return sum(one.ended is True for step in steps if step.doc for one in step.doc.seen)


def _labels_before(
    reading: Reading, edition: str, steps: Mapping[str, Sequence[TimedStep]]
) -> dict[str, tuple[str, ...]]:
    """Return the labels of batches that were written down and taken back, by the batch's name."""
    names = {
        _key(edition, what, _begun_at(named(mine, PHASES))): what
        for what, mine in steps.items()
        if BATCH.fullmatch(what) and _times_written(mine) and not any(s.was_ended for s in mine)
    }
    found = reading.answers_of(names) if names else {}
    return {names[key]: stored_answer(text).made for key, text in found.items()}


def why_failed(steps: Sequence[TimedStep]) -> str:
    """Return why a batch came to nothing, empty if it did not."""
    failed = [one.name.removeprefix(FAILED) for one in steps if one.name.startswith(FAILED)]
    return failed[0] if failed else ""


def _card(
    whose: tuple[str, str, str],
    steps: Sequence[TimedStep],
    batch: BatchSheet | None,
    labels: tuple[str, ...],
    others: Mapping[str, Sequence[TimedStep]],
    studio: Studio | None,
    now: datetime,
    windows: HeatWindows | None,
) -> PlasterCard:
    """Return the card of a batch: ``whose`` are its edition's id and name, and its own."""
    edition, edition_name, what = whose
    phases, failed = named(steps, PHASES), why_failed(steps)
    phase = "failed" if failed else state_of(seen_of(steps), PHASES).stage or "weigh"
    begun = begun_of(phases, phase)
    panels = panels_of((edition, what), phases, phase, others, studio, windows)
    here = next(one for one in panels if one.phase == phase)
    left = None
    if begun is not None and here.target_min is not None:
        left = here.target_min - minutes_between(begun.started, now)
    poured = next((one.started for one in phases if one.name in ("pour", "set")), None)
    return PlasterCard(
        edition=edition,
        edition_name=edition_name,
        what=what,
        short=what.partition(":")[0],
        batch=batch,
        phase=phase,
        panels=panels,
        due=due_of(left),
        labels=labels,
        actuals=actuals_of(phases, now),
        minutes=minutes_of(phases),
        poured_at=poured.isoformat() if poured else "",
        begun=_begun_at(phases),
        failed=failed,
        times_written=_times_written(steps),
        take_back=_take_back(edition, steps, f"{FAILED}{failed}" if failed else "open"),
    )


def _take_back(edition: str, steps: Sequence[TimedStep], name: str) -> dict[str, str] | None:
    """Return the fields that take back that a batch came to its end, None if it did not."""
    seen = (one for one in standing(seen_of(steps)) if one.stage == name)
    first = min(seen, key=lambda one: one.at, default=None)
    return take_back(edition, first) if first else None


@dataclass(frozen=True, slots=True)
class DayWeights:
    """What all batches at the bench weigh: in a line, and each in a row of name, water, plaster."""

    said: str
    rows: tuple[tuple[str, str, str], ...]


def day_weights(benches: Sequence[PlasterBench], units: str) -> DayWeights | None:
    """Return what all batches at the bench weigh, in the units told; None for one alone."""
    batches = [
        (card.what, card.batch)
        for bench in benches
        for card in bench.cards
        if card.batch and not card.failed
    ]
    if len(batches) < 2:
        return None
    water_kg = sum(batch.water_kg for _, batch in batches)
    plaster_kg = sum(batch.plaster_kg for _, batch in batches)
    studios = [one.here.studio for one in benches if one.here and one.here.studio]
    step = min(one.plaster.scale_step_kg for one in studios)
    water, plaster = (show(mass, "mass", units, step) for mass in (water_kg, plaster_kg))
    return DayWeights(
        f"All {len(batches)} batches: {water} water, {plaster} plaster",
        tuple((what.capitalize(), batch.shown[0][1], batch.shown[1][1]) for what, batch in batches),
    )


def scratched(card: PlasterCard) -> str:
    """Return what is scratched into a batch while it is soft; empty if it is not known."""
    if card.labels:
        return names_said(card.labels)
    if block_share(card.what):
        return ""
    return names_said(name for name, _ in card.batch.parts) if card.batch else ""


# --- the buttons that lead to a thermometer's log

POURED = ("set", "heat", "cool", "open")
"""Phases of a batch that stands in its masters."""


def log_links(
    things: Things,
    benches: Sequence[PlasterBench],
    now: datetime,
    told: Mapping[str, str],
    back: str,
) -> list[tuple[str, str]]:
    """Return the buttons that lead to a thermometer's log: words and address, a batch in each if there is one.

    Batches that were poured and are at work come first; without any, the last one of a day.

    Parameters
    ----------
    things : Things
        The book's documents.
    benches : sequence of PlasterBench
        As :func:`plaster_bench` has them.
    now : datetime
        The instant, in the studio's zone.
    told : mapping
        Further fields that are known.
    back : str
        Where the form goes afterwards.
    """
    links = []
    for bench in benches:
        steps = steps_of(things, bench.edition)
        poured = [card.what for card in bench.cards if card.phase in POURED]
        for batch in poured or _last_batch(steps, now) or [""]:
            words = "Log a thermometer"
            words += f" in {batch.partition(':')[0]}" if batch else ""
            words += f" of {bench.name}" if len(benches) > 1 else ""
            fields = {"edition": bench.edition, **({"batch": batch} if batch else {}), **told}
            sifted = batch_steps(steps, batch).get("sift") if batch else None
            if sifted:
                fields["contact"] = sifted.started.astimezone(now.tzinfo).strftime("%H:%M:%S")
            links.append((words, f"/do/log-thermometer?{urlencode({**fields, 'back': back})}"))
    return links


def _last_batch(steps: Mapping[str, Sequence[TimedStep]], now: datetime) -> list[str]:
    """Return the batch that was poured last, if that is no longer ago than a day."""
    poured = [
        (one.started, what)
        for what, mine in steps.items()
        for one in mine
        if one.name == "pour" and minutes_between(one.started, now) < A_DAY_MIN
    ]
    return [max(poured)[1]] if poured else []
