"""Plaster at the bench: the phases of a batch with their clocks, and what is written down of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from urllib.parse import urlencode

from pourwright.briefs.folder import BriefHere, brief_here
from pourwright.briefs.records import Brief, Studio
from pourwright.ledger.documents import MoldDoc, StepDoc, or_none
from pourwright.ledger.file.stored_things import stored_answer
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.kinds.table import BY_KIND
from pourwright.ledger.labels import label
from pourwright.ledger.observations import BATCH, FAILED, block_share, standing, state_of
from pourwright.ledger.replaying import CORRECTED, effective
from pourwright.ledger.said import names_said
from pourwright.ledger.state.apply import counters
from pourwright.ledger.state.record import step_id
from pourwright.ledger.things import Things
from pourwright.plan.plan import StandingMold
from pourwright.plan.standing_from_book import day_of, edition_doc
from pourwright.quantities import show
from pourwright.studio.bench.batches import BatchSheet, batch_named
from pourwright.studio.bench.clocks import (
    OwnTime,
    Panel,
    TimedStep,
    clock_text,
    due_of,
    length_text,
    minutes_between,
    named,
    own_time,
    seen_of,
    steps_of,
    take_back,
)
from pourwright.studio.bench.heat import (
    USUAL_OPENING_MIN,
    earliest_opening_min,
    earliest_words,
    target_of,
)
from pourwright.studio.bench.heat_fits import HeatWindows
from pourwright.studio.bench.heat_logs import batch_steps
from pourwright.studio.bench.pour_day import (
    LaidOut,
    laid_out,
    number_of,
    still_to_come,
)
from pourwright.studio.editions import in_work
from pourwright.studio.lots import last_lots
from pourwright.studio.reminders import PHASES

_NEXT = dict(pairwise(PHASES))
_COUNTED_FROM_THE_POUR = ("set", "heat", "cool")
_ENOUGH = {
    "weigh": "sift",
    **dict.fromkeys(("sift", "soak", "mix", "cream", "pour"), "set"),
    **dict.fromkeys(("set", "heat", "cool"), "open"),
}
"""The tap that is enough: plaster into water, poured, open. Who times every step taps them too."""
_TAPS = {
    "sift": "Plaster into water, {}",
    "soak": "Soak {}",
    "mix": "Mix {}",
    "cream": "It creams, {}",
    "pour": "Pour {}",
    "set": "{} is poured",
    "heat": "{} has set",
    "cool": "{} is at its hottest",
    "open": "Open {}",
}
"""The words of the tap that begins a phase."""
_WORDS = {
    "weigh": "Weigh",
    "sift": "Sift in, let it soak",
    "soak": "Soaks",
    "mix": "Mix, and watch for creaming",
    "cream": "It creams",
    "pour": "Pour",
    "set": "Sets",
    "heat": "Warms to its hottest",
    "cool": "Cools",
    "open": "Open",
    "failed": "Failed",
}
"""What goes on in a phase."""
SOAKED_MIN, MIXED_MIN = 3.0, 3.0
"""Sifting and soaking, then mixing, until a studio has timed its own; common practice, no source. [min]"""
REASONS = (
    "too stiff to pour",
    "leaked",
    "lumps or bubbles",
    "did not set",
    "broke when it was opened",
    "other",
)
"""Why a batch comes to nothing."""
_PRINTED = {
    "soak": "one or two minutes: common practice, no source",
    "mix": "two or three minutes: common practice, no source",
}


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
        shares = [block_share(card.what) for card in self.cards if not card.failed]
        return {share[0] for share in shares if share}

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
    things: Things, edition: str, brief: Brief, studio: Studio
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
    brief, studio : Brief, Studio
        The edition's and its room's.
    """
    given = {"M": counters(things).highest("M")}
    parts = Counter({part.name: 0 for part in brief.mold.parts})
    found: list[StandingMold] = []
    waiting = [
        (named(mine, POURED)[0].started, what)
        for what, mine in steps_of(things, edition).items()
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


def _times(
    batches: Mapping[str, Sequence[TimedStep]], studio: Studio | None
) -> dict[str, tuple[float | None, str]]:
    """Return the target of each phase [min], and from what it comes."""
    found = {name: _time(own_time(batches, name, (after,)), name) for name, after in _NEXT.items()}
    found["heat"] = _time(own_time(batches, "set", ("cool",)), "heat")  # counted from the pour
    if studio is not None:
        working, opens = studio.pouring.working_time_min, studio.pouring.set_min
        for name, minutes, field in (
            ("cream", working, "working_time"),
            ("pour", working, "working_time"),
            ("set", opens, "set"),
            ("cool", opens, "set"),
        ):
            if found[name][0] is None or name in ("set", "cool"):
                origin = studio.origins[f"pouring.{field}"]
                whose = "a default" if origin.kind == "default" else "your studio file"
                found[name] = minutes, f"{show(minutes, 'duration')} by {whose}"
    return found


def _by_logs(
    phases: Sequence[TimedStep],
    windows: HeatWindows | None,
    times: Mapping[str, tuple[float | None, str]],
) -> dict[str, tuple[float | None, str]]:
    """Return the targets of this batch by the studio's thermometer logs, counted from its pour."""
    begun = {one.name: one.started for one in phases}
    if windows is None or "sift" not in begun or "set" not in begun:
        return {}
    poured_min = minutes_between(begun["sift"], begun["set"])
    heat = target_of(windows.hottest, poured_min, "hottest")
    if heat is None or windows.hottest is None:
        return {}
    aim, note = times["cool"]
    hottest_min = windows.hottest.high_min - poured_min
    earliest = earliest_opening_min(hottest_min, aim or USUAL_OPENING_MIN)
    opened = target_of(windows.opened, poured_min, "opened")
    # what the clock counts to, and no other figure beside it
    is_told = earliest == aim != USUAL_OPENING_MIN
    why = note if is_told else earliest_words(earliest)
    notes = [why, opened[1] if opened else ""]
    opens = earliest, "; ".join(one for one in notes if one)
    return {"heat": heat, "set": opens, "cool": opens}


def _time(own: OwnTime | None, name: str) -> tuple[float | None, str]:
    if own is None:
        return None, _PRINTED.get(name, "never timed here")
    ends = length_text(60 * own.low_min, 60 * own.high_min)
    if own.target_min is None:
        printed = _PRINTED.get(name, "")
        return None, f"{own.last_unlike(None)}{'; ' * bool(printed)}{printed}"
    return own.target_min, f"{ends} in {own.count} batches of yours"


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
    times = _times(others, studio)
    times |= _by_logs(phases, windows, times)
    phase = "failed" if failed else state_of(seen_of(steps), PHASES).stage or "weigh"
    begun = _begun(phases, phase)
    mixing = _mixing(others, times, studio)
    panels = []
    for name in (*PHASES, "failed"):
        panel = _panel(name, edition, what, times)
        if name == "sift":
            panel = replace(
                panel, marks=mixing[0], note=mixing[1], target_min=mixing[0][-1][0] / 60
            )
        if name == phase:
            panel = replace(panel, start_ms=begun.start_ms if begun else None)
        panels.append(panel)
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
        panels=tuple(panels),
        due=due_of(left),
        labels=labels,
        actuals=_actuals(phases, now),
        minutes=_minutes(phases),
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


def _begun(phases: Sequence[TimedStep], phase: str) -> TimedStep | None:
    """Return the step that the clock of a phase counts from: the pour's end, once it was poured."""
    counted = ("set", phase) if phase in _COUNTED_FROM_THE_POUR else (phase,)
    found = (one for name in counted for one in phases if one.name == name)
    return next(found, phases[-1] if phases else None)


def _mixing(
    others: Mapping[str, Sequence[TimedStep]],
    times: Mapping[str, tuple[float | None, str]],
    studio: Studio | None,
) -> tuple[tuple[tuple[int, str], ...], str]:
    """Return what goes on until when after plaster met water [s], and what that rests on.

    Soaking and mixing as the studio timed them, else by common practice; then as long as it pours.
    """
    soaked, mixing = own_time(others, "sift", ("mix",)), times["mix"][0]
    soaked_min = soaked.target_min if soaked else None
    mix_at = soaked_min or SOAKED_MIN
    pour_at = mix_at + (mixing or MIXED_MIN)
    pours_min, pours_note = times["cream"]
    stiff_at = pour_at + (pours_min or MIXED_MIN)
    marks = (
        (round(60 * mix_at), _WORDS["sift"]),
        (round(60 * pour_at), _WORDS["mix"]),
        (round(60 * stiff_at), "Pour"),
    )
    is_own = soaked_min is not None and mixing is not None
    whose = "as you timed it" if is_own else "common practice, no source"
    pours = f"then it pours for {pours_note}" if pours_min else "then pour before it stiffens"
    return marks, (
        f"mix at {length_text(60 * mix_at)}, pour at {length_text(60 * pour_at)}: {whose}; {pours}"
    )


def _panel(
    name: str, edition: str, what: str, times: Mapping[str, tuple[float | None, str]]
) -> Panel:
    target, note = times.get(name, (None, ""))
    short = what.partition(":")[0]
    enough, after = _ENOUGH.get(name, ""), _NEXT.get(name, "")
    aside = after if after != enough and name in _ENOUGH else ""
    return Panel(
        phase=name,
        words=_WORDS[name],
        note=note,
        target_min=target,
        verb="start-step" if enough else "",
        fields=_starts(edition, what, enough, times) if enough else None,
        press=_tap(enough, short),
        keeps=name in ("heat", "cool"),
        aside_fields=_starts(edition, what, aside, times) if aside else None,
        aside_press=_tap(aside, short),
    )


def _tap(phase: str, short: str) -> str:
    said = _TAPS[phase].format(short) if phase else ""
    return said[:1].upper() + said[1:]


def _starts(
    edition: str, what: str, step: str, times: Mapping[str, tuple[float | None, str]]
) -> dict[str, str]:
    aim = times.get(step, (None, ""))[0]
    target = {"target": f"{round(60 * aim)} s"} if aim else {}
    return {"edition": edition, "what": what, "step": step, **target}


def _actuals(phases: Sequence[TimedStep], now: datetime) -> tuple[tuple[str, str, str], ...]:
    rows = []
    for one, after in pairwise(phases):
        began = one.started.astimezone(now.tzinfo).strftime("%H:%M")
        took = clock_text((after.started - one.started).total_seconds())
        rows.append((_WORDS[one.name].partition(",")[0], began, took))
    return tuple(rows)


def _minutes(phases: Sequence[TimedStep]) -> dict[str, float]:
    """Return how long soaking and mixing took, and from the pour until it had set. [min]

    What two phones tapped in another order than it is done timed nothing.
    """
    started = {one.name: one.started for one in phases}
    spans = {"soak": ("soak", "mix"), "mix": ("mix", "cream"), "set": ("pour", "heat")}
    took = {
        name: minutes_between(started[begin], started[end])
        for name, (begin, end) in spans.items()
        if begin in started and end in started
    }
    return {name: minutes for name, minutes in took.items() if 0 <= minutes < _A_DAY_MIN}


def written_down(bench: PlasterBench, typed: Mapping[str, object]) -> list[dict[str, object]]:
    """Return the commands that write the batches that are done into the book, and end their clocks.

    Sent twice, they write once: their ids are those of the batches.

    Parameters
    ----------
    bench : PlasterBench
        The edition's bench.
    typed : mapping
        ``lot``, ``water_temperature`` and ``note``; ``came-4``, the complete molds that came out of
        batch 4, if fewer than it was poured for; ``go_on`` if the book asked and it is to be
        written all the same.

    Returns
    -------
    list of dict
        ``pour`` for a batch of whole molds, one for the molds that several batches fill together,
        ``pour-part`` for what is left over, and ``make-form`` for a block mold; then ``end-step``
        for each batch.
    """
    every = bench.to_write
    blocks = [card for card in every if block_share(card.what)]
    done = [card for card in every if card not in blocks]
    base: dict[str, object] = {"edition": bench.edition}
    base |= {key: typed[key] for key in ("lot", "water_temperature", "go_on") if typed.get(key)}
    note = str(typed.get("note") or "")
    whole = [card for card in done if card.failed or card.batch is None or card.batch.whole_molds]
    commands = [
        {"do": "pour", **base, **_came_out(card, typed), **_timed_of(card, note)} for card in whole
    ]
    commands += _of_parts(bench, [card for card in done if card not in whole], base, note)
    commands += [_failed_block(card) for card in blocks if card.failed]
    commands += _of_block([card for card in blocks if not card.failed], typed)
    commands += [
        {
            "do": "end-step",
            "edition": bench.edition,
            "what": card.what,
            "step": f"{FAILED}{card.failed}" if card.failed else card.phase,
            "id": f"end of {card.key}{', again ' * bool(n)}{n or ''}",
        }
        for card in every
        for n in (card.times_written,)
    ]
    return commands


def _failed_block(card: PlasterCard) -> dict[str, object]:
    """Return a note of why a batch of a block mold failed."""
    told: dict[str, object] = {"edition": card.edition, "id": card.key}
    told |= {"at": card.poured_at} if card.poured_at else {}
    said = f"{card.what} failed: {card.failed}"
    return {"do": "note", **told, "about": "block mold", "text": said}


def _of_block(
    cards: Sequence[PlasterCard], typed: Mapping[str, object]
) -> Iterator[dict[str, object]]:
    """Yield the block mold that batches make together, with the masses of each; it is whole with the last."""
    for made in (card for card in cards if card.makes_block):
        told: dict[str, object] = {"edition": made.edition, "id": made.key}
        poured_at = max(card.poured_at for card in cards)
        told |= {"at": poured_at} if poured_at else {}
        rest = [f"plaster {typed['lot']}" if typed.get("lot") else ""]
        rest += [f"water at {typed['water_temperature']}" if typed.get("water_temperature") else ""]
        said = [_weights_said(card) for card in cards]
        note = "; ".join(filter(None, [*said, *rest, str(typed.get("note") or "")]))
        yield {"do": "make-form", **told, "what": "block mold", "note": note[:MOST_NOTED]}


def as_before(
    reading: Reading, commands: Sequence[Mapping[str, object]]
) -> Iterator[Mapping[str, object]]:
    """Yield the commands of :func:`written_down`, put right for what was written down and taken back.

    Its entry stands again, with what is told now: so its molds keep the labels that are
    scratched into them.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    commands : sequence of mapping
        What is to be written down.
    """
    answers = reading.answers_of([str(one["id"]) for one in commands if one["do"] != "end-step"])
    for command in commands:
        text = answers.get(str(command["id"]))
        yield _stands_again(reading, stored_answer(text).seq, command) if text else command


def _stands_again(
    reading: Reading, seq: int, command: Mapping[str, object]
) -> Mapping[str, object]:
    entry = reading.entry(seq)
    assert entry is not None  # noqa: S101 - its answer names it
    told = [entry, *reading.entries(entry.scope, seq, (CORRECTED,))]
    if any(one.id == entry.id for one in effective(told)):
        return command  # nobody took it back: the book answers as before
    fields = [one.name for one in BY_KIND[entry.kind].fields]
    changes = {one: command.get(one) for one in fields if one in command or one in entry.body}
    times = sum(one.corrects == entry.id for one in told)
    return {"do": "correct", "id": f"{command['id']}, {times}", "entry": seq, "changes": changes}


def _came_out(card: PlasterCard, typed: Mapping[str, object]) -> dict[str, object]:
    """Return how many molds came out of a batch, and what was lost."""
    molds = card.batch.whole_molds or 1 if card.batch else 1
    if card.failed:
        return {"count": 0, "lost": f"{molds} failed batch"}
    return {"count": typed.get(f"came-{number_of(card.what)}") or molds}


def _timed_of(card: PlasterCard, note: str) -> dict[str, object]:
    """Return what a batch was weighed and timed at, and the id of its entry."""
    told: dict[str, object] = {"note": _note_of([card], note)}
    told |= {"id": card.key, "batches": 1}
    told |= {"scratched_in": ", ".join(card.labels)} if card.labels else {}
    told |= {name: f"{round(60 * minutes)} s" for name, minutes in card.minutes.items()}
    told |= {"at": card.poured_at} if card.poured_at else {}
    return told | _weighed([card])


def _weighed(cards: Sequence[PlasterCard]) -> dict[str, object]:
    """Return the masses of a batch, if all of them were the same."""
    weights = {(one.batch.water_kg, one.batch.plaster_kg) for one in cards if one.batch}
    if len(weights) != 1:
        return {}
    ((water_kg, plaster_kg),) = weights
    return {"water": f"{water_kg:g} kg", "plaster": f"{plaster_kg:g} kg"}


def _note_of(cards: Sequence[PlasterCard], note: str) -> str:
    """Return which batches an entry is of, with their masses where they differ, and the maker's note."""
    said = []
    for card in cards:
        one = card.short if _weighed(cards) else _weights_said(card)
        said.append(f"{one} failed: {card.failed}" if card.failed else one)
    return "; ".join([*said, *([note] if note else [])])


def _weights_said(card: PlasterCard) -> str:
    """Return which batch it is, and what was weighed for it."""
    if card.batch is None:
        return card.short
    return f"{card.short}: {card.batch.water_kg:g} kg water, {card.batch.plaster_kg:g} kg plaster"


def _of_parts(
    bench: PlasterBench, cards: Sequence[PlasterCard], base: Mapping[str, object], note: str
) -> list[dict[str, object]]:
    """Return the molds that batches of parts make together, and the parts that are left over."""
    brief = bench.here.brief if bench.here else None
    if not cards or brief is None:
        return []
    names = [part.name for part in brief.mold.parts]
    counts = dict.fromkeys(names, 0)
    for card in cards:
        for name, count in card.batch.parts if card.batch else ():
            counts[name] += count
    told = {**base, "at": cards[0].poured_at} if cards[0].poured_at else dict(base)
    told |= {"note": _note_of(cards, note)[:MOST_NOTED], "batches": len(cards), **_weighed(cards)}
    molds = min(counts.values())
    key = cards[-1].key
    found: list[dict[str, object]] = []
    if molds:
        found.append({"do": "pour", **told, "count": molds, "id": key})
    found += [
        {
            "do": "pour-part",
            **told,
            "part": name,
            "count": count - molds,
            "id": f"{names.index(name) + 1} {key}",
        }
        for name, count in counts.items()
        if count > molds
    ]
    return found


MOST_NOTED = 2000
"""Characters of a note that tells the masses of many batches. [-]"""


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
_A_DAY_MIN = 24 * 60


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
        if one.name == "pour" and minutes_between(one.started, now) < _A_DAY_MIN
    ]
    return [max(poured)[1]] if poured else []
