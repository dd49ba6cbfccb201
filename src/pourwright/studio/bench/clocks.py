"""The clocks of the bench: steps that were started, in what order, and what the studio needs itself.

Starting the next step of a thing ends the one before, so that one tap is enough at the bench;
only the last step of all is ended by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from statistics import median

from pourwright.ledger.documents import Seen, StepDoc, or_none
from pourwright.ledger.observations import Observation
from pourwright.ledger.said import many
from pourwright.ledger.things import Things

OWN_LATEST = 10
"""How many of the studio's own times count: the latest ones; slip and weather change."""
ENOUGH = 3
"""From how many times on they make a clock: of three, one hurried hand is outvoted. Our own choice."""
SOON_MIN = 1.0
"""From when on a clock is due soon. [min]"""
_LONGEST_OWN_MIN = 24 * 60.0
_DAY_S = 24 * 60 * 60


@dataclass(frozen=True, slots=True)
class TimedStep:
    """One step of one thing.

    Parameters
    ----------
    what : str
        A batch or a mold's cast.
    name : str
        The step.
    started, ended : datetime or None
        When it began; when it was ended by itself.
    target_min : float or None
        How long it should take. [min]
    was_ended : bool
        Whether anybody ever saw it end.
    doc : StepDoc, optional
        All that was seen of it.
    """

    what: str
    name: str
    started: datetime
    ended: datetime | None
    target_min: float | None
    was_ended: bool = False
    doc: StepDoc | None = None

    @property
    def start_ms(self) -> int:
        """When it began, as a browser counts. [ms since 1970]"""
        return int(self.started.timestamp() * 1000)

    def left_min(self, now: datetime) -> float | None:
        """Return how long it still should take; below zero it is late. [min]"""
        if self.target_min is None:
            return None
        return self.target_min - minutes_between(self.started, now)


@dataclass(frozen=True, slots=True)
class OwnTime:
    """How long a step took in this studio before: its middle, its ends, the last, how many times.

    Parameters
    ----------
    low_min, middle_min, high_min, last_min : float
        Shortest, middle, longest, and the last one. [min]
    count : int
        How many times it was timed. [-]
    """

    low_min: float
    middle_min: float
    high_min: float
    last_min: float
    count: int

    @property
    def target_min(self) -> float | None:
        """What the next clock runs to: the middle, None while one hurried hand would make it. [min]"""
        return self.middle_min if self.count >= ENOUGH else None

    def last_unlike(self, target_min: float | None) -> str:
        """Return how long it took last in words, if that is over a tenth off what a clock runs to.

        Examples
        --------
        >>> own = OwnTime(8.0, 14.0, 15.0, last_min=8.0, count=3)
        >>> own.last_unlike(own.target_min), own.last_unlike(8.2)
        ('last time 8:00 min', '')
        """
        if target_min is not None and abs(self.last_min - target_min) <= target_min / 10:
            return ""
        return f"last time {length_text(60 * self.last_min)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """What a card shows in one phase, and what the tap in it writes down.

    Parameters
    ----------
    phase : str
        Which one.
    words : str
        What is going on.
    note : str
        Where its target comes from, or what to look for.
    start_ms : int or None
        When it began, if it is the phase the mold is in. [ms since 1970]
    target_min : float or None
        How long it should take. [min]
    verb, fields, press
        The entry that the tap makes, and the words on it; no tap where ``press`` is empty.
    keeps : bool
        Whether its clock goes on from the phase before.
    aside_fields, aside_press
        A further tap, for who times every step.
    marks : tuple of (int, str)
        What goes on until so many seconds after its beginning, where one clock has several
        stretches; the last ends with the target. [s]
    """

    phase: str
    words: str
    note: str = ""
    start_ms: int | None = None
    target_min: float | None = None
    verb: str = ""
    fields: Mapping[str, str] | None = None
    press: str = ""
    keeps: bool = False
    aside_fields: dict[str, str] | None = None
    aside_press: str = ""
    marks: tuple[tuple[int, str], ...] = ()

    @property
    def target_s(self) -> int | None:
        """The same in whole seconds, as clocks take it. [s]"""
        return None if self.target_min is None else round(60 * self.target_min)

    @property
    def marks_text(self) -> str:
        """Its stretches as clocks take them.

        Examples
        --------
        >>> Panel(phase="sift", words="", marks=((180, "Soak"), (540, "Pour"))).marks_text
        '180 Soak|540 Pour'
        """
        return "|".join(f"{until_s} {words}" for until_s, words in self.marks)


def words_now(panel: Panel, now_ms: int) -> str:
    """Return what goes on in a panel at an instant.

    Examples
    --------
    >>> panel = Panel(phase="sift", words="Sift", start_ms=0, marks=((180, "Soak"), (540, "Pour")))
    >>> words_now(panel, 60_000), words_now(panel, 900_000)
    ('Soak', 'Pour')
    """
    if panel.start_ms is None or not panel.marks:
        return panel.words
    passed_s = (now_ms - panel.start_ms) / 1000
    return next((words for until_s, words in panel.marks if passed_s < until_s), panel.marks[-1][1])


def shown_clock(panel: Panel, now_ms: int) -> str:
    """Return what a panel's clock reads when its page is made, for a browser without scripts.

    Examples
    --------
    >>> panel = Panel(phase="fill", words="Stands full", start_ms=0, target_min=12)
    >>> shown_clock(panel, 60_000), shown_clock(panel, 780_000), shown_clock(panel, 773_280_000)
    ('11:00', '+1:00', '9 days')
    """
    if panel.start_ms is None:
        return clock_text(panel.target_s) if panel.target_s else "0:00"
    passed = max(0.0, (now_ms - panel.start_ms) / 1000)
    if not panel.target_s:
        return clock_text(passed)
    until_s = next((one for one, _ in panel.marks if passed < one), panel.target_s)
    left = until_s - passed
    if left > 0:
        return clock_text(left)
    return f"+{clock_text(-left)}" if -left < _DAY_S else clock_text(-left)


def steps_of(things: Things, edition: str) -> dict[str, list[TimedStep]]:
    """Return the steps of an edition by the thing that was timed, in the order they were started.

    What is returned is shared and not to be changed.
    """
    found: dict[str, list[TimedStep]] = {}
    for _, step in things.of(StepDoc, edition):
        begun = step.begun
        if begun and len(begun.at) > len("2027-03-01"):  # with a day alone it timed nothing
            found.setdefault(step.what, []).append(_timed(step, begun))
    for steps in found.values():
        steps.sort(key=lambda one: one.started)
    return found


def _timed(step: StepDoc, begun: Seen) -> TimedStep:
    ended, target = step.ended or "", or_none(begun.target)
    return TimedStep(
        what=step.what,
        name=step.step,
        started=datetime.fromisoformat(begun.at),
        ended=datetime.fromisoformat(ended) if len(ended) > len("2027-03-01") else None,
        target_min=float(target.value) if target else None,
        was_ended=step.was_ended,
        doc=step,
    )


def named(steps: Sequence[TimedStep], names: Sequence[str]) -> list[TimedStep]:
    """Return the steps of some names, in the order in which they were started.

    The book keeps whole seconds: of two that were started in one, the order of the names tells
    which came first.
    """
    found = [one for one in steps if one.name in names]
    return sorted(found, key=lambda one: (one.started, names.index(one.name)))


def seen_of(steps: Iterable[TimedStep]) -> list[Observation]:
    """Return all that was seen of some steps, undos among it."""
    return [one for step in steps if step.doc for one in step.doc.observations()]


def take_back(edition: str, seen: Observation) -> dict[str, str]:
    """Return the fields of ``undo-step`` that take back what one device saw of an edition."""
    return {"edition": edition, "what": seen.thing, "step": seen.stage, "undoes": seen.id}


def own_time(
    steps: Mapping[str, Sequence[TimedStep]], first: str, until: Sequence[str]
) -> OwnTime | None:
    """Return how long it took the studio from one step to another, None if it never did both.

    Parameters
    ----------
    steps : mapping
        By thing, as :func:`steps_of` has them.
    first : str
        The step that begins.
    until : sequence of str
        The step that ends it: whichever of these came first after it.
    """
    spans = []
    for mine in steps.values():
        begun = next((one for one in mine if one.name == first), None)
        if begun is None:
            continue
        after = [s.started for s in mine if s.name in until and s.started > begun.started]
        ends = min(after, default=begun.ended)
        if ends is not None:
            spans.append((begun.started, minutes_between(begun.started, ends)))
    spans = [one for one in spans if 0 < one[1] < _LONGEST_OWN_MIN]
    latest = [minutes for _, minutes in sorted(spans)[-OWN_LATEST:]]
    if not latest:
        return None
    middle_min = float(median(latest))
    return OwnTime(min(latest), middle_min, max(latest), latest[-1], len(latest))


def minutes_between(start: datetime, end: datetime) -> float:
    """Return the time from one instant to another. [min]"""
    return (end - start).total_seconds() / 60


def due_of(left_min: float | None) -> str:
    """Return how a clock stands: late, soon due, or neither.

    Examples
    --------
    >>> due_of(-0.1), due_of(0.4), due_of(10.0), due_of(None)
    ('late', 'soon', '', '')
    """
    if left_min is None or left_min > SOON_MIN:
        return ""
    return "late" if left_min <= 0 else "soon"


def length_text(*seconds: float) -> str:
    """Return how long something takes, or from how long to how long, with its unit: no time of day.

    Examples
    --------
    >>> length_text(807, 1382), length_text(3300, 3900)
    ('13:27 to 23:02 min', '0:55:00 to 1:05:00 h')
    >>> length_text(90_000), length_text(50_000, 90_000)
    ('1 day', '13:53:20 h to 1 day')
    """
    hour_s, longest_s = 3600, round(max(seconds))
    if longest_s < hour_s:
        return f"{' to '.join(map(clock_text, seconds))} min"
    told = [f"{'0:' * (round(one) < hour_s)}{clock_text(one)}" for one in seconds]
    if longest_s < _DAY_S:
        return f"{' to '.join(told)} h"
    pairs = zip(seconds, told, strict=True)
    return " to ".join(words if round(one) >= _DAY_S else f"{words} h" for one, words in pairs)


def clock_text(seconds: float) -> str:
    """Return minutes and seconds as the clocks of the pages read.

    Examples
    --------
    >>> clock_text(754.2), clock_text(3725), clock_text(774_197)
    ('12:34', '1:02:05', '9 days')
    """
    whole = round(seconds)
    if whole >= _DAY_S:
        return many(round(whole / _DAY_S), "day")
    minutes, rest = divmod(whole, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02d}:{rest:02d}" if hours else f"{minutes}:{rest:02d}"
