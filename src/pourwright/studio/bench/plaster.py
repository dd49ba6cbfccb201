"""Plaster at the bench: the phases of a batch with their clocks, and what is written down of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from urllib.parse import urlencode

from pourwright.briefs.folder import BriefHere, brief_here
from pourwright.briefs.records import Brief, Studio
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.labels import label
from pourwright.ledger.said import names_said
from pourwright.ledger.state.apply import counters
from pourwright.ledger.things import Things
from pourwright.plan.standing_from_book import edition_doc
from pourwright.quantities import show
from pourwright.studio.bench.batches import BATCH, BatchSheet, batch_named
from pourwright.studio.bench.clocks import (
    OwnTime,
    Panel,
    TimedStep,
    clock_text,
    due_of,
    farthest,
    minutes_between,
    named,
    own_time,
    steps_of,
)
from pourwright.studio.bench.heat import earliest_opening_min, target_of
from pourwright.studio.bench.heat_fits import HeatWindows
from pourwright.studio.bench.heat_logs import batch_steps
from pourwright.studio.editions import in_work
from pourwright.studio.lots import last_lots
from pourwright.studio.reminders import PHASES

_NEXT = dict(pairwise(PHASES))
_COUNTED_FROM_THE_POUR = ("set", "heat", "cool")
_WORDS = {
    "weigh": ("Weigh", "Sift"),
    "sift": ("Sift", "Soak"),
    "soak": ("Soaks", "Mix"),
    "mix": ("Mix, and watch for creaming", "It creams,"),
    "cream": ("It creams", "Pour"),
    "pour": ("Pour", "Poured,"),
    "set": ("Sets", "Set,"),
    "heat": ("Warms to its hottest", "Hottest now,"),
    "cool": ("Cools", "Opened,"),
    "open": ("Open", ""),
}
"""What goes on in a phase, and the word of the tap that ends it, before the batch's name."""
_PRINTED = {
    "soak": "one or two minutes: common practice, no source",
    "mix": "two or three minutes: common practice, no source",
    "set": "printed plasters set 9 to 24 min after they met water: time your own",
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
        As for a slip card.
    labels : tuple of str
        What its molds will be called in the book.
    actuals : tuple of (str, str, str)
        Phases that are over: word, when it began, how long it took.
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


def next_batch(things: Things, edition: str) -> int:
    """Return the number of the next batch of an edition, counted from 1."""
    numbers = [int(m[1]) for what in steps_of(things, edition) if (m := BATCH.fullmatch(what))]
    return max(numbers, default=0) + 1


@dataclass(frozen=True, slots=True, kw_only=True)
class PlasterBench:
    """What the plaster bench shows of an edition.

    Parameters
    ----------
    edition, name : str
        Which one.
    cards : tuple of PlasterCard
        Its batches at work.
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


def plaster_bench(
    reading: Reading, folder: Path, now: datetime, windows: HeatWindows | None = None
) -> list[PlasterBench]:
    """Return what the plaster bench shows of each open edition that is looked into."""
    things = reading.things
    lots = tuple(label for label, _ in last_lots(things, "plaster"))
    found = []
    open_ones = in_work(reading)
    for one in open_ones.docs:
        here = brief_here(folder, one.edition, now.date())
        brief, studio = (here.brief, here.studio) if here else (None, None)
        cards = plaster_cards(things, one.edition, brief, studio, now, windows)
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
    return found


def plaster_cards(
    things: Things,
    edition: str,
    brief: Brief | None,
    studio: Studio | None,
    now: datetime,
    windows: HeatWindows | None = None,
) -> tuple[PlasterCard, ...]:
    """Return a card for each batch at work, the one started first in front.

    Parameters
    ----------
    things : Things
        The book's documents.
    edition : str
        The edition.
    brief, studio : Brief, Studio, optional
        For the weights and the times.
    now : datetime
        The instant, in the studio's zone.
    windows : HeatWindows, optional
        What the studio's thermometer logs say of batches like these.
    """
    steps = steps_of(things, edition)
    batches = {what: mine for what, mine in steps.items() if BATCH.fullmatch(what)}
    cards, given = [], counters(things).highest("M")
    for what, mine in sorted(batches.items(), key=lambda item: item[1][0].started):
        phases, last = named(mine, PHASES), farthest(mine, PHASES)
        if last is None or last.ended is not None:
            continue
        batch = batch_named(brief, studio, what) if brief and studio else None
        molds = batch.whole_molds if batch else 0
        labels = tuple(label("M", given + i) for i in range(1, molds + 1))
        given += molds
        times = _times({name: one for name, one in batches.items() if name != what}, studio)
        times |= _by_logs(phases, windows, times)
        cards.append(
            _card(
                edition_doc(things, edition).name,
                edition,
                what,
                phases,
                last,
                batch,
                labels,
                times,
                now,
            )
        )
    return tuple(cards)


def _times(
    batches: Mapping[str, Sequence[TimedStep]], studio: Studio | None
) -> dict[str, tuple[float | None, str]]:
    """Return the target of each phase [min], and from what it comes."""
    found = {name: _time(own_time(batches, name, (after,)), name) for name, after in _NEXT.items()}
    for name in _COUNTED_FROM_THE_POUR:  # set, hottest and open are all counted from the pour
        found[name] = _time(own_time(batches, "set", (_NEXT[name],)), name)
    if studio is not None:
        working, opens = studio.pouring.working_time_min, studio.pouring.set_min
        for name, minutes, field in (
            ("cream", working, "working_time"),
            ("pour", working, "working_time"),
            ("cool", opens, "set"),
        ):
            if found[name][0] is None or name == "cool":
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
    earliest = max(aim or 0.0, earliest_opening_min(windows.hottest.high_min - poured_min))
    opened = target_of(windows.opened, poured_min, "opened")
    notes = [note, opened[1] if opened else "never before its hottest"]
    return {"heat": heat, "cool": (earliest, "; ".join(one for one in notes if one))}


def _time(own: OwnTime | None, name: str) -> tuple[float | None, str]:
    if own is None:
        return None, _PRINTED.get(name, "never timed here")
    ends = f"{clock_text(60 * own.low_min)} to {clock_text(60 * own.high_min)}"
    if own.count == 1:
        return own.middle_min, f"{clock_text(60 * own.middle_min)} the one time before"
    return own.middle_min, f"{ends} in {own.count} batches of yours"


def _card(
    edition_name: str,
    edition: str,
    what: str,
    phases: Sequence[TimedStep],
    last: TimedStep,
    batch: BatchSheet | None,
    labels: tuple[str, ...],
    times: Mapping[str, tuple[float | None, str]],
    now: datetime,
) -> PlasterCard:
    short = what.partition(":")[0]
    from_step = _clock_of(phases, last)
    panels = []
    for name in PHASES:
        panel = _panel(name, edition, what, short, times)
        if name == last.name:
            panel = replace(panel, start_ms=from_step.start_ms)
        panels.append(panel)
    target = times.get(last.name, (None, ""))[0]
    left = None if target is None else target - minutes_between(from_step.started, now)
    poured = next((one.started for one in phases if one.name == "pour"), None)
    return PlasterCard(
        edition=edition,
        edition_name=edition_name,
        what=what,
        short=short,
        batch=batch,
        phase=last.name,
        panels=tuple(panels),
        due=due_of(left),
        labels=labels,
        actuals=_actuals(phases, now),
        minutes=_minutes(phases),
        poured_at=poured.isoformat() if poured else "",
    )


def _clock_of(phases: Sequence[TimedStep], last: TimedStep) -> TimedStep:
    """Return the step that the clock counts from: the pour's end, once it has been poured."""
    if last.name in _COUNTED_FROM_THE_POUR:
        return next((one for one in phases if one.name == "set"), last)
    return last


def _panel(
    name: str,
    edition: str,
    what: str,
    short: str,
    times: Mapping[str, tuple[float | None, str]],
) -> Panel:
    words, press = _WORDS[name]
    target, note = times.get(name, (None, ""))
    after = _NEXT.get(name)
    fields = {"edition": edition, "what": what, "step": after} if after else None
    if fields and after and (aim := times.get(after, (None, ""))[0]):
        fields["target"] = f"{round(60 * aim)} s"
    return Panel(
        phase=name,
        words=words,
        note=note,
        target_min=target,
        verb="start-step" if after else "",
        fields=fields,
        press=f"{press} {short}" if press else "",
        keeps=name in ("heat", "cool"),
    )


def _actuals(phases: Sequence[TimedStep], now: datetime) -> tuple[tuple[str, str, str], ...]:
    rows = []
    for one, after in pairwise(phases):
        began = one.started.astimezone(now.tzinfo).strftime("%H:%M")
        took = clock_text((after.started - one.started).total_seconds())
        rows.append((_WORDS[one.name][0].partition(",")[0], began, took))
    return tuple(rows)


def _minutes(phases: Sequence[TimedStep]) -> dict[str, float]:
    """Return how long soaking and mixing took, and from the pour until it had set. [min]"""
    started = {one.name: one.started for one in phases}
    spans = {"soak": ("soak", "mix"), "mix": ("mix", "cream"), "set": ("pour", "heat")}
    return {
        name: minutes_between(started[begin], started[end])
        for name, (begin, end) in spans.items()
        if begin in started and end in started
    }


def written_down(
    card: PlasterCard, typed: Mapping[str, object], command_id: str
) -> list[dict[str, object]]:
    """Return the commands that write an opened batch into the book and end its clock.

    Parameters
    ----------
    card : PlasterCard
        The batch.
    typed : mapping
        ``came_out`` (complete molds), ``lot``, ``water_temperature``; what is typed counts.
        ``go_on`` if the book asked and it is to be written all the same.
    command_id : str
        The id of the first command; the others are made from it.

    Returns
    -------
    list of dict
        ``pour`` for whole molds or ``pour-part`` for each part, then ``end-step``.
    """
    batch = card.batch
    told = {key: typed[key] for key in ("lot", "water_temperature", "note") if typed.get(key)}
    told |= {name: f"{round(60 * minutes)} s" for name, minutes in card.minutes.items()}
    told |= {"at": card.poured_at} if card.poured_at else {}
    if batch is not None:
        told |= {
            "batches": 1,
            "water": f"{batch.water_kg:g} kg",
            "plaster": f"{batch.plaster_kg:g} kg",
        }
    base = {"edition": card.edition}
    told |= {"go_on": True} if typed.get("go_on") else {}
    commands: list[dict[str, object]] = []
    if batch is not None and not batch.whole_molds:
        for name, count in batch.parts:
            commands.append({"do": "pour-part", **base, "part": name, "count": count, **told})
    else:
        came_out = typed.get("came_out") or (batch.whole_molds if batch else 1)
        commands.append({"do": "pour", **base, "count": came_out, **told})
    commands.append({"do": "end-step", **base, "what": card.what, "step": card.phase})
    return [one | {"id": f"{command_id}-{n}"} for n, one in enumerate(commands)]


def scratched(card: PlasterCard) -> str:
    """Return what is scratched into a batch while it is soft; empty if it is not known."""
    if card.labels:
        return names_said(card.labels)
    return names_said(name for name, _ in card.batch.parts) if card.batch else ""


def phase_words(name: str) -> str:
    """Return what goes on in a phase.

    Examples
    --------
    >>> phase_words("heat")
    'Warms to its hottest'
    """
    return _WORDS[name][0]


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
