"""Slip at the bench: a card for each mold, its clock, and what the next tap writes down.

A cast of a mold is timed as ``"M-007 cast 8"``: fill, drain, stiffen, open, and fettle after it
was written down. A wall that was measured in a cut spare gives the molds still standing a new
time, which is a step of its own, so that the book keeps what was believed when.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from pourwright.briefs.folder import brief_here
from pourwright.briefs.records import Brief, CastingTerms
from pourwright.errors import BadInput, as_written
from pourwright.ledger.documents import EditionDoc, MoldDoc, StepDoc
from pourwright.ledger.entry import clock_in
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.observations import (
    IN_THE_MOLD,
    WALL,
    State,
    cast_number,
    casts_in,
    mold_of_cast,
)
from pourwright.ledger.replaying import CORRECTED, effective
from pourwright.ledger.said import names_said
from pourwright.ledger.state.molds import is_called_dry, is_complete
from pourwright.ledger.things import Things
from pourwright.materials.casting.fit import minutes_still_to_stand, share_of_dry_rate
from pourwright.materials.casting.minutes import minutes_from_one_test, minutes_without_a_test
from pourwright.plan.standing_from_book import day_of, edition_doc
from pourwright.quantities import read, show
from pourwright.studio.bench.clocks import (
    OwnTime,
    Panel,
    TimedStep,
    due_of,
    length_text,
    minutes_between,
    own_time,
    seen_of,
    steps_of,
    take_back,
)
from pourwright.studio.editions import in_work
from pourwright.studio.lots import last_lots

TOP_UP, FETTLE = "top up ", "fettle"
BROKEN = "broken"
"""The phase of a mold with a broken part: it keeps its place, and there is nothing to press."""
_AFTER: dict[str, tuple[str, ...]] = {
    "fill": ("drain",),
    "drain": ("stiffen", "open"),
    "stiffen": ("open",),
    "open": (),
}
_ENOUGH = {"idle": "fill", "fill": "drain", "drain": "open", "stiffen": "open"}
"""The tap that is enough; that a cast stiffens is timed by who wants to."""
_PRESSES = {"fill": "Fill", "drain": "Drain", "stiffen": "Stiffen", "open": "Open"}
_UNTIL_FIRM = "open it once the wall has lost its shine: common practice, no source"
_WORDS = {
    "idle": "At rest",
    "fill": "Stands full",
    "drain": "Drains",
    "stiffen": "Stiffens",
    "open": "Open it, look at the cast",
    "done": "Written down",
    BROKEN: "Broken",
    FETTLE: "Fettling",
}
"""What goes on in a phase."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipCard:
    """A mold's card.

    Parameters
    ----------
    label, edition, edition_name : str
        The mold, and what it is of.
    what : str
        What its clock times, such as ``"M-007 cast 8"``.
    phase : str
        The phase it is in.
    panels : tuple of Panel
        One for each phase, in their order.
    dry : bool
        Whether the book says that it is dry.
    is_conditioning : bool
        Whether this cast is thrown away.
    cast_today : bool
        Whether it was cast today already.
    top_up : str
        The step that the next topping up is.
    topped : int
        How often it was topped up. [-]
    top_up_at : str
        When it is likely to need topping up next, by the studio's own casts; empty if never seen.
    due : str
        How its clock stands; see ``due_of``.
    left_min : float or None
        What is left on it. [min]
    news : tuple of str
        What two devices saw differently, and what else is odd about the cast.
    unsaid : str
        When the cast before this one was opened, if nobody has said what came out of it.
    take_back : mapping of str to str or None
        The fields that take back what its phase was seen by first; None at rest.
    """

    label: str
    edition: str
    edition_name: str
    what: str
    phase: str
    panels: tuple[Panel, ...]
    dry: bool
    is_conditioning: bool
    cast_today: bool
    top_up: str
    topped: int
    top_up_at: str
    due: str
    left_min: float | None
    news: tuple[str, ...]
    unsaid: str
    take_back: Mapping[str, str] | None

    @property
    def here(self) -> Panel:
        """The panel of the phase that it is in."""
        return next(panel for panel in self.panels if panel.phase == self.phase)

    @property
    def is_running(self) -> bool:
        """Whether a clock of it runs."""
        return self.phase not in ("idle", BROKEN)

    @property
    def is_drained(self) -> bool:
        """Whether its cast is drained and still in it."""
        return self.phase in ("drain", "stiffen", "open")

    @property
    def rests(self) -> str:
        """How it stands while nothing is in it, in a word or two."""
        if not self.dry:
            return "not dry"
        return "cast today" if self.cast_today else "dry"


def slip_cards(
    things: Things,
    edition: str,
    steps: Mapping[str, list[TimedStep]],
    brief: Brief | None,
    now: datetime,
    *,
    whole: bool = True,
) -> tuple[SlipCard, ...]:
    """Return a card for each mold in use, in the order of their labels: places never move.

    One with a broken part keeps its place until the part is swapped or the mold is retired.

    Parameters
    ----------
    things : Things
        The book's documents.
    edition : str
        The edition.
    steps : mapping
        What was timed of it, as :func:`steps_of` has it.
    brief : Brief, optional
        Its brief, for the wall and the test cast.
    now : datetime
        The instant, in the studio's zone.
    whole : bool
        Whether each card has a panel for every phase; else only for the one it is in.

    Returns
    -------
    tuple of SlipCard
        One a mold, by label.
    """
    doc = edition_doc(things, edition)
    times, today = _Times(brief, steps), now.date()
    zone = ZoneInfo(getattr(now.tzinfo, "key", "UTC"))
    of_mold: dict[str, dict[str, list[TimedStep]]] = {}
    for what, mine in steps.items():
        of_mold.setdefault(mold_of_cast(what), {})[what] = mine
    made = (
        _card(label, mold, doc, of_mold.get(label, {}), times, today, zone, whole=whole)
        for label, mold in things.of(MoldDoc, edition)
        if mold.state == "in use"
    )
    cards = [_clocked(card, running, target_min, now) for card, running, target_min in made]
    return tuple(sorted(cards, key=lambda card: card.label))


def stands_in(things: Things, edition: str, now: datetime) -> dict[str, str]:
    """Return what stands in each mold of an edition that is not empty, in a few words, by its label."""
    cards = slip_cards(things, edition, steps_of(things, edition), None, now, whole=False)
    return {card.label: _stands(card.here, now) for card in cards if card.phase in IN_THE_MOLD}


def _stands(panel: Panel, now: datetime) -> str:
    begun_s = (panel.start_ms or 0) / 1000
    if panel.phase != "fill":
        return "Not counted" if panel.phase == "open" else "Cast in it"
    word, at_s = "since", begun_s
    if panel.target_s:
        word, at_s = "drain at", begun_s + panel.target_s
    return f"Full, {word} {datetime.fromtimestamp(at_s, now.tzinfo):%H:%M}"


def _clocked(
    card: SlipCard, running: TimedStep | None, target_min: float | None, now: datetime
) -> SlipCard:
    """Return a card with its clock read."""
    if running is None or target_min is None:
        return card
    left_min = _left(running, target_min, now)
    return replace(card, left_min=left_min, due=due_of(left_min))


class _Times:
    """How long each phase should take: by a test cast, or as it took before."""

    def __init__(self, brief: Brief | None, steps: Mapping[str, Sequence[TimedStep]]) -> None:
        self.own = {name: own_time(steps, name, ends) for name, ends in _AFTER.items() if ends}
        self._steps = steps
        self.fettle = own_time(steps, FETTLE, ())
        stiffen_min = brief.casting.stiffen_min if brief else None
        self.planned_min = {
            FETTLE: brief.work.fettle_min if brief else None,
            "drain": stiffen_min,
        }
        self.until_firm = _UNTIL_FIRM
        if stiffen_min:
            after = show(stiffen_min, "duration")
            self.until_firm = f"open it {after} after pouring off, by the brief"
        self.casts = {
            row: cast_time(brief.casting if brief else None, self.own["fill"], row)
            for row in (1, 2)
        }
        self.to_stand = {row: _to_stand(time) for row, time in self.casts.items()}

    def top_up_at(self, mine: Sequence[TimedStep], zone: ZoneInfo) -> str:
        """Return when a mold that stands full is likely to need topping up next, and why so.

        From filling to the first, and from each to the next: as it went in the studio's own
        casts. How fast a level sinks hangs on the spare's width, which no brief tells.
        """
        last = [one for one in mine if one.name == "fill" or one.name.startswith(TOP_UP)][-1]
        count = sum(one.name.startswith(TOP_UP) for one in mine)
        own = own_time(self._steps, last.name, (f"{TOP_UP}{count + 1}",))
        if own is None:
            return ""
        at = (last.started + timedelta(minutes=own.middle_min)).astimezone(zone)
        return f"{at:%H:%M}, as in {own.count} before, in the middle"

    def of(self, phase: str, row: int) -> CastTime:
        """Return target and note of a phase; ``row`` is which cast of the day it is."""
        if phase == "fill":
            return self.casts[row]
        own = self.fettle if phase == FETTLE else self.own.get(phase)
        if own is not None and own.target_min is not None:
            return CastTime(own.target_min, _as_before(own))
        if planned_min := self.planned_min.get(phase):
            return CastTime(planned_min, "by the brief")
        if own is not None:
            return CastTime(None, f"{_as_before(own)}; the clock counts up")
        until = f"; {self.until_firm}" if phase in ("drain", "stiffen") else ""
        return CastTime(None, f"never timed here; the clock counts up{until}")


def _to_stand(time: CastTime) -> str:
    if time.target_min is None:
        return f"not known how long it is to stand; {time.note}"
    return f"to stand full for {show(time.target_min, 'duration')}, {time.note}"


def _card(
    label: str,
    mold: MoldDoc,
    edition: EditionDoc,
    steps: Mapping[str, Sequence[TimedStep]],
    times: _Times,
    today: date,
    zone: ZoneInfo,
    *,
    whole: bool,
) -> tuple[SlipCard, TimedStep | None, float | None]:
    what = cast_name(label, mold.casts + 1)
    waiting = _casts_now(mold, steps)
    state = waiting[-1] if waiting else None
    mine = [one for name in (state.things if state else ()) for one in steps.get(name, ())]
    fettling = _fettling(steps.get(cast_name(label, mold.casts), []))
    phase, running = "idle", None
    if not is_complete(mold):
        phase, state = BROKEN, None
    elif state is not None:
        phase, running = state.stage, _running(state, steps)
    elif fettling is not None:
        phase, running = FETTLE, fettling
    cast_today = mold.last_cast is not None and day_of(mold.last_cast, zone.key) == today
    row = 2 if cast_today else 1
    target_min = _target(mine, running)
    is_conditioning = mold.casts < edition.conditioning
    made = _Made(label, mold, edition.edition, what, times, row, is_conditioning)
    topped = sum(one.name.startswith(TOP_UP) for one in mine)
    card = SlipCard(
        label=label,
        edition=edition.edition,
        edition_name=edition.name,
        what=what,
        phase=phase,
        panels=tuple(
            made.panel(name, running if name == phase else None, target_min)
            for name in (PHASES if whole and phase != BROKEN else (phase,))
        ),
        dry=is_called_dry(mold),
        is_conditioning=is_conditioning,
        cast_today=cast_today,
        top_up=f"{TOP_UP}{topped + 1}",
        topped=topped,
        top_up_at=times.top_up_at(mine, zone) if phase == "fill" else "",
        due="",
        left_min=None,
        news=_news(state, zone.key) if state else (),
        unsaid=_clock(waiting[-2].began["open"].at, zone.key) if len(waiting) > 1 else "",
        take_back=take_back(edition.edition, state.began[state.stage]) if state else None,
    )
    return card, running, target_min


PHASES = ("idle", *IN_THE_MOLD, "done", FETTLE)


def cast_name(label: str, number: int) -> str:
    """Return what the clock of a mold's cast is called.

    Examples
    --------
    >>> cast_name("M-007", 8)
    'M-007 cast 8'
    """
    return f"{label} cast {number}"


def _casts_now(mold: MoldDoc, steps: Mapping[str, Sequence[TimedStep]]) -> tuple[State, ...]:
    """Return the casts of a mold that are not in the book yet."""
    # what was seen of casts long before the last one says nothing of today
    lately = (
        one for what, mine in steps.items() if cast_number(what) >= mold.casts - 1 for one in mine
    )
    at = mold.last_cast or ""
    written_at = datetime.fromisoformat(at) if len(at) > len("2027-03-01") else None
    return casts_in(seen_of(lately), mold.casts, written_at)


def _running(state: State, steps: Mapping[str, Sequence[TimedStep]]) -> TimedStep:
    """Return the stage that a cast is in, as who saw it first has it."""
    first = state.began[state.stage]
    docs = [one.doc for one in steps.get(first.thing, ()) if one.name == state.stage]
    seen = next((one for doc in docs if doc for one in doc.seen if one.id == first.id), None)
    target_min = float(seen.target.value) if seen and seen.target else None
    return TimedStep(first.thing, state.stage, first.at, None, target_min)


def _news(state: State, zone: str) -> tuple[str, ...]:
    """Return what two devices saw differently, each once, and that a cast bears two names."""
    found = [
        f"{_PRESSES[one.first.stage]}: {_who(one.first.device)} wrote it at "
        f"{_clock(one.first.at, zone)}, {_who(one.other.device)} at {_clock(one.other.at, zone)}; "
        "the earlier counts."
        for one in state.disagreements
    ]
    if len(state.things) > 1:
        numbers = names_said(f"cast {cast_number(one)}" for one in state.things)
        found.append(f"It was filled as {numbers}, and nobody opened it between: it is one cast.")
    return tuple(found)


def _who(device: str) -> str:
    return device or "nobody named"


def _clock(at: datetime, zone: str) -> str:
    return clock_in(at.isoformat(), zone)


def _fettling(steps: Sequence[TimedStep]) -> TimedStep | None:
    running = [one for one in steps if one.name == FETTLE and one.ended is None]
    return running[-1] if running else None


def _target(steps: Sequence[TimedStep], running: TimedStep | None) -> float | None:
    """Return the target of what runs: that of the wall measured last, if a mold stands."""
    if running is None:
        return None
    walls = [one for one in steps if one.name.startswith(WALL)]
    return walls[-1].target_min if walls and running.name == "fill" else running.target_min


def _left(running: TimedStep, target_min: float, now: datetime) -> float:
    return target_min - minutes_between(running.started, now)


@dataclass(frozen=True, slots=True)
class _Made:
    """What the panels of one mold's card have in common."""

    label: str
    mold: MoldDoc
    edition: str
    what: str
    times: _Times
    row: int
    is_conditioning: bool

    def panel(self, phase: str, running: TimedStep | None, target_min: float | None) -> Panel:
        """Return the panel of a phase; with its clock if the mold is in it."""
        time = self.times.of(phase, self.row)
        note, target = self._note(phase, time), time.target_min
        if running is not None:
            target = target_min
            if phase == "fill" and target_min != running.target_min:
                note = "by the wall of a cut spare, today"
        verb, fields, press = self._tap(phase)
        aside = self._start("stiffen", self.what) if phase == "drain" else None
        return Panel(
            phase=phase,
            words=_WORDS[phase],
            note=note,
            start_ms=running.start_ms if running else None,
            target_min=target,
            verb=verb,
            fields=fields,
            press=press,
            aside_fields=aside,
            aside_press=f"Stiffen {self.label}" if aside else "",
        )

    def _note(self, phase: str, time: CastTime) -> str:
        if phase == "idle":
            return self.times.to_stand[self.row]
        if phase == "open":
            return "" if self.is_conditioning else "say what came out; the mold is free then"
        if phase == BROKEN:
            return "swap its part, or retire it"
        return "" if phase == "done" else time.note

    def _tap(self, phase: str) -> tuple[str, dict[str, str] | None, str]:
        if after := _ENOUGH.get(phase):
            return "start-step", self._start(after, self.what), f"{_PRESSES[after]} {self.label}"
        if phase == "open":
            fields = {"edition": self.edition, "molds": self.label}
            fields["cast"] = str(self.mold.casts + 1)
            is_kept = not self.is_conditioning
            words = f"{self.label} is good" if is_kept else f"{self.label}: cast thrown away"
            return "cast", fields, words
        if phase == BROKEN or (phase == "done" and self.is_conditioning):
            return "", None, ""  # what is thrown away is not fettled
        if phase == "done":
            return "start-step", self._start(FETTLE, self.what), f"Fettle {self.label}"
        before = cast_name(self.label, self.mold.casts)
        fields = {"edition": self.edition, "what": before, "step": FETTLE}
        return "end-step", fields, f"Fettled {self.label}"

    def _start(self, step: str, what: str) -> dict[str, str]:
        fields = {"edition": self.edition, "what": what, "step": step}
        target = self.times.of(step, self.row).target_s
        return fields | ({"target": f"{target} s"} if target else {})


def may_fettle(card: SlipCard, things: Things, lost: Collection[str] = ()) -> dict[str, str] | None:
    """Return what starts the fettling of the cast that a mold gave today.

    None if it was begun, the cast was thrown away as one of the mold's first, or the mold is among
    those whose cast was lost.
    """
    if not card.cast_today or card.phase != "idle" or card.label in lost:
        return None
    given = cast_number(card.what) - 1
    if given <= edition_doc(things, card.edition).conditioning:
        return None
    what = cast_name(card.label, given)
    begun = things.get(StepDoc, f"{card.edition}/{what}/{FETTLE}")
    if begun is not None and begun.begun is not None:
        return None
    done = next(panel for panel in card.panels if panel.phase == "done")
    return {**(done.fields or {}), "what": what}


CASTS_LOOKED_AT = 60
"""How many entries of casts are looked into for those of today. [-]"""


def casts_on(reading: Reading, edition: str, today: date, zone: str) -> Counter[str]:
    """Return how many casts each mold gave on a day, as far as the latest entries tell. [-]"""
    latest = reading.latest(CASTS_LOOKED_AT, scope=edition, kinds=("casts-made", CORRECTED))
    given: Counter[str] = Counter()
    for entry in effective(reversed(latest)):
        if day_of(entry.at, zone) == today:
            given.update(dict.fromkeys(entry.body["molds"], entry.body.get("each", 1)))
    return given


def lost_last(reading: Reading, edition: str) -> set[str]:
    """Return the molds whose last cast was lost whole, as far as its entry names the mold."""
    lost: set[str] = set()
    seen: set[str] = set()
    latest = reading.latest(CASTS_LOOKED_AT, scope=edition, kinds=("casts-made", CORRECTED))
    for entry in reversed(effective(reversed(latest))):
        molds = set(entry.body["molds"])
        named = set(entry.body.get("lost_molds", ()))
        casts = len(molds) * entry.body.get("each", 1)
        if sum(entry.body.get("lost", {}).values()) >= casts or entry.body.get("good") == 0:
            named = molds
        lost |= (named & molds) - seen
        seen |= molds
    return lost


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipBench:
    """What the slip bench shows of an edition.

    Parameters
    ----------
    edition, name : str
        Which one.
    cards : tuple of SlipCard
        Its molds.
    fettle : mapping of str to dict
        What starts the fettling of a mold's last cast, by its label; None if it was begun.
    lots : tuple of str
        Lots of slip, the newest first.
    others : str
        What is said of further editions.
    wall : str
        As the brief says; empty if it does not.
    """

    edition: str
    name: str
    cards: tuple[SlipCard, ...]
    fettle: Mapping[str, Mapping[str, str] | None]
    lots: tuple[str, ...]
    others: str
    wall: str


def slip_bench(reading: Reading, folder: Path, now: datetime) -> list[SlipBench]:
    """Return what the slip bench shows of each open edition that is looked into."""
    things = reading.things
    lots = tuple(label for label, _ in last_lots(things, "slip"))
    found = []
    open_ones = in_work(reading)
    for one in open_ones.docs:
        here = brief_here(folder, one.edition, now.date())
        brief = here.brief if here else None
        cards = slip_cards(things, one.edition, steps_of(things, one.edition), brief, now)
        lost = lost_last(reading, one.edition) if any(card.cast_today for card in cards) else set()
        wall_mm = brief.casting.wall_mm if brief else None
        found.append(
            SlipBench(
                edition=one.edition,
                name=one.name,
                cards=cards,
                fettle={card.label: may_fettle(card, things, lost) for card in cards},
                lots=lots,
                others=open_ones.words,
                wall=f"{wall_mm:g} mm" if wall_mm else "",
            )
        )
    return found


# --- a spare is cut and its wall measured: the molds that still stand full get the time of that wall


def retimed(
    reading: Reading, folder: Path, typed: Mapping[str, object], now: datetime, units: str
) -> tuple[list[dict[str, str]], str]:
    """Return the commands for a wall that was measured in a cut spare, and what they do in words.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    folder : Path
        The studio's.
    typed : mapping
        ``cut`` (a mold's label), ``wall``, ``wanted`` and ``id``.
    now : datetime
        The instant of the cut.
    units : {"metric", "us"}
        Whose inches are meant.

    Raises
    ------
    BadInput
        If a wall cannot be read, or the mold does not stand full.
    """
    cut = str(typed.get("cut", ""))
    benches = slip_bench(reading, folder, now)
    bench = next((one for one in benches if cut in _standing(one.cards)), None)
    if bench is None:
        right = "choose a mold that stands full"
        raise BadInput.one("cut", as_written(cut) if cut else None, right)
    found_mm = _wall("wall", typed.get("wall"))
    wanted_mm = _wall("wanted", typed.get("wanted") or bench.wall)
    commands, whole_s = retimings(bench.cards, cut, found_mm, wanted_mm, now)
    prefix = str(typed.get("id") or f"wall-{now.timestamp():.3f}")
    numbered = [one | {"id": f"{prefix}-{n}"} for n, one in enumerate(commands)]
    molds = names_said(_standing(bench.cards))
    stands = f"{molds} {'stands' if len(commands) == 1 else 'stand'} {length_text(whole_s)} in all"
    return numbered, f"Wall {show(found_mm, 'length', units)} in the spare of {cut}: {stands}."


def _standing(cards: Sequence[SlipCard]) -> list[str]:
    return [card.label for card in cards if card.phase == "fill"]


def _wall(name: str, typed: object) -> float:
    if not typed:
        raise BadInput.one(name, None, "write the wall, such as 4.2 mm")
    wall_mm = read(str(typed), "length", path=name, such_as="4.2 mm")
    if not 0.5 <= wall_mm <= 60:
        raise BadInput.one(name, as_written(str(typed)), "a cast wall is 0.5 to 60 mm")
    return wall_mm


def retimings(
    cards: Sequence[SlipCard], cut: str, found_mm: float, wanted_mm: float, now: datetime
) -> tuple[list[dict[str, str]], float]:
    """Return the commands that give the molds still standing the time of a cut spare's wall.

    Parameters
    ----------
    cards : sequence of SlipCard
        The cards of one edition.
    cut : str
        The mold whose spare was cut; it stands.
    found_mm, wanted_mm : float
        The wall that was found, and the wall wanted. [mm]
    now : datetime
        The instant of the cut.

    Returns
    -------
    tuple of (list of dict, float)
        A command for each mold that stands full, and the whole time since the filling [s]:
        a step such as ``wall 4.2 mm at 8.0 min of M-004`` with that time as its target.

    Raises
    ------
    StudioError
        If the wall cannot be worked with.
    """
    standing = {card.label: card for card in cards if card.phase == "fill"}
    then = _stood_min(standing[cut], now)
    left = minutes_still_to_stand(wanted_mm, found_mm, then, then)
    # The rate of the cut spare is that of every mold of this slip, so the whole time is one for all.
    whole_s = max(1, round(60 * (float(left.best or 0.0) + then)))
    step = f"{WALL}{found_mm:.1f} mm at {then:.1f} min of {cut}"
    commands = [
        {
            "do": "start-step",
            "edition": card.edition,
            "what": card.what,
            "step": step,
            "target": f"{whole_s} s",
        }
        for card in standing.values()
    ]
    return commands, whole_s


def _stood_min(card: SlipCard, now: datetime) -> float:
    """Return how long a mold has stood full. [min]"""
    start_ms = next(panel.start_ms for panel in card.panels if panel.phase == "fill")
    return max((now.timestamp() - (start_ms or 0) / 1000) / 60, 0.02)


# --- how long a filled mold should stand: by the test cast of the brief, else as it stood before


@dataclass(frozen=True, slots=True)
class CastTime:
    """A target, and where it comes from.

    Parameters
    ----------
    target_min : float or None
        How long; None where no single time is honest. [min]
    note : str
        From what.
    """

    target_min: float | None
    note: str

    @property
    def target_s(self) -> int | None:
        """The same in whole seconds, as clocks take it. [s]"""
        return None if self.target_min is None else round(60 * self.target_min)


def cast_time(casting: CastingTerms | None, own: OwnTime | None, row: int) -> CastTime:
    """Return how long a mold should stand full.

    Parameters
    ----------
    casting : CastingTerms or None
        What the brief says of the cast.
    own : OwnTime or None
        How long molds of the edition stood before.
    row : int
        Which cast of the mold it is today, 1 or 2. [-]

    Notes
    -----
    A second cast in a row takes longer by the published share of the dry rate; see
    ``materials/casting_fit``. A cast that was drained in haste is told and makes no clock alone:
    what stood 14, 15 and 8 min stands 14.
    """
    if casting is not None and casting.wall_mm and casting.test is not None:
        test = casting.test
        minutes = minutes_from_one_test(casting.wall_mm, test.wall_mm, test.time_min)
        share = sum(share_of_dry_rate(row)) / 2
        slower = "" if row == 1 else ", longer for the second of a day"
        ends = length_text(*(60 * float(end) / share for end in (minutes.low, minutes.high)))
        span = f"between {ends.replace(' to ', ' and ')}"
        target_min = float(minutes.best or 0.0) / share
        last = own.last_unlike(target_min) if own else ""
        note = f"by your test cast{slower}: {span}{'; ' * bool(last)}{last}"
        return CastTime(target_min, note)
    if own is not None and own.target_min is not None:
        return CastTime(own.target_min, _as_before(own))
    last = f"{_as_before(own)}; " if own else ""
    if casting is not None and casting.wall_mm:
        guess = minutes_without_a_test(casting.wall_mm)
        span = length_text(60 * float(guess.low), 60 * float(guess.high))
        return CastTime(None, f"{last}published rates say {span}: cut a spare")
    return CastTime(None, f"{last or 'no test cast and no wall told: '}cut a spare")


def _as_before(own: OwnTime) -> str:
    """Return how long it took before, in words."""
    last = own.last_unlike(own.target_min)
    if own.target_min is None:
        return last
    return f"the middle of {own.count} before{'; ' * bool(last)}{last}"
