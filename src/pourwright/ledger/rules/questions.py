"""What the book asks before it writes: the promise may stand in doubt, or a hand may have slipped.

A question is no rule. It is put to a command as it comes in and never to an entry that is in a
book, so no old book and no correction is refused by one. What was asked of a command that went
on all the same is kept in its entry, and is a finding for ever.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from pourwright.errors import did_you_mean
from pourwright.ledger.causes import CAUSES, nearest_cause, new_causes
from pourwright.ledger.documents import (
    EditionDoc,
    FormDoc,
    MoldDoc,
    Quantity,
    RemakingDoc,
    SpareDoc,
    StepDoc,
    as_quantity,
    or_none,
)
from pourwright.ledger.entry import Body, Entry, clock_in, day_in, day_said, instant, moment_in
from pourwright.ledger.observations import cast_number, casts_in, mold_of_cast
from pourwright.ledger.rules.edition import edition_named
from pourwright.ledger.said import many, names_said
from pourwright.ledger.state.apply import counters
from pourwright.ledger.state.edition import ONLY_PART
from pourwright.ledger.state.molds import (
    is_called_dry,
    mold_of,
    poured_last,
    stopped_losing,
    weighed,
)
from pourwright.ledger.state.promise import open_numbers, open_said
from pourwright.ledger.things import Things, told_day
from pourwright.quantities import show


@dataclass(frozen=True, slots=True)
class Asking:
    """What a question is judged by beside the state.

    Parameters
    ----------
    day : str
        The day on which it happened, by the studio's calendar.
    dry_days : int or None
        How soon a mold is dry in this studio, at the soonest. [days]
    """

    day: str
    dry_days: int | None


def asks_before_the_form_is_lost(things: Things, body: Body, asking: Asking) -> Iterator[str]:
    """Ask before something is destroyed that could still make a number that is owed to somebody."""
    edition = edition_named(things, body)
    still = open_said(edition, open_numbers(things, edition, asking.day))
    if still:
        names = names_said(name for name, _ in _destroyed(things, body))
        yield f"{names} could still make {edition.name}: {'; '.join(still)}."


def asks_after_closing(things: Things, body: Body, asking: Asking) -> Iterator[str]:
    """Ask before something is destroyed that was declared kept when the edition was closed."""
    edition = edition_named(things, body)
    if edition.closed is None:
        return
    day = told_day(things, edition.closed.at)
    for name, doc in _destroyed(things, body):
        where = f" ({doc.kept.where})" if doc.kept else ""
        yield f"{name} was declared kept{where} when {edition.name} was closed on {day}."


def _destroyed(things: Things, body: Body) -> list[tuple[str, RemakingDoc]]:
    named: tuple[tuple[str, type[RemakingDoc]], ...] = (
        ("forms", FormDoc),
        ("molds", MoldDoc),
        ("spares", SpareDoc),
    )
    found = [(name, things.get(kind, name)) for key, kind in named for name in body.get(key, ())]
    return [(name, doc) for name, doc in found if doc is not None]


def asks_for_a_living_master(things: Things, body: Body, asking: Asking) -> Iterator[str]:
    """Ask before plaster is poured for a part whose master is gone, or once if none was ever entered."""
    edition = edition_named(things, body)
    forms = things.of(FormDoc, edition.edition)
    masters = [(name, form) for name, form in forms if form.what == "master"]
    if not masters and _is_first_pour(things, edition, body):
        yield (
            f"No master of {edition.name} is in the book, of {names_said(edition.parts)}; enter "
            "each that was made, and the book watches over them. This is asked only now."
        )
    living = {form.part for _, form in masters if form.state == "here"}
    if not masters or None in living:  # a master that names no part may be for any
        return
    if edition.parts == [ONLY_PART] and living:  # its parts were never told
        return
    parts = [body["part"]] if "part" in body else edition.parts
    for part in parts:
        if part not in living:
            yield f"{part} has no master: {_last_master(things, masters, part)}."


def _is_first_pour(things: Things, edition: EditionDoc, body: Body) -> bool:
    """Return whether these are the first molds or parts of an edition whose parts are known.

    Who has poured without masters in the book was asked then, or had the book before it asked;
    whose masters were there when the edition was planned has told of them.
    """
    if or_none(edition.masters):
        return False
    is_known = edition.parts != [ONLY_PART]
    is_first = not edition.molds and not things.of(SpareDoc, edition.edition)
    return is_known and is_first and body.get("count", 1) > 0


def _last_master(things: Things, masters: list[tuple[str, FormDoc]], part: str) -> str:
    gone = [(name, form) for name, form in masters if form.part in (part, None)]
    if not gone:
        return "none of it is in the book; enter it if it was made"
    name, form = gone[-1]
    return f"{name} was destroyed on {told_day(things, str(form.destroyed_at))}"


def asks_before_it_can_be_dry(things: Things, body: Body, asking: Asking) -> Iterator[str]:
    """Ask before a mold is called dry sooner than any mold dries here, unless it was weighed dry."""
    if asking.dry_days is None:
        return
    by_day: dict[str, list[str]] = {}
    for name in body["molds"]:
        mold = mold_of(things, name)
        if not stopped_losing(things, mold, things.zone):
            by_day.setdefault(
                day_in(poured_last(things, mold, things.zone), things.zone), []
            ).append(name)
    for poured, names in by_day.items():
        days = (date.fromisoformat(asking.day) - date.fromisoformat(poured)).days
        if 0 <= days < asking.dry_days:
            were = "was" if len(names) == 1 else "were"
            ago = f"{many(days, 'day')} before" if days else "the same day"
            yield (
                f"{names_said(names)} {were} poured on {day_said(poured)}, {ago}, and molds dry in "
                f"{many(asking.dry_days, 'day')} here at the soonest; a mold is dry when two "
                "weighings a day apart are the same."
            )


_Question = Callable[[Things, Body, Asking], Iterator[str]]

QUESTIONS: dict[str, tuple[_Question, ...]] = {
    "form-destroyed": (asks_before_the_form_is_lost, asks_after_closing),
    "mold-destroyed": (asks_before_the_form_is_lost, asks_after_closing),
    "molds-poured": (asks_for_a_living_master,),
    "part-poured": (asks_for_a_living_master,),
    "mold-dried": (asks_before_it_can_be_dry,),
}
"""What is asked, by kind; what was asked of an entry is kept in it."""


def asks_about_a_new_cause(things: Things, body: Body, _: Asking) -> Iterator[str]:
    """Ask before a word becomes a cause of loss; from then on it is one."""
    added = list(new_causes(body))
    own = or_none(counters(things).causes) or [] if added else []
    for cause in added:
        if cause not in own:
            hint = nearest_cause(cause, own) or did_you_mean(cause, [*CAUSES, *own])
            said = f"{cause} is no cause of loss yet; it is one from now on if you go on. {hint}"
            yield said.rstrip()


def asks_about_a_part_that_is_none(things: Things, body: Body, _: Asking) -> Iterator[str]:
    """Ask about a master of a part that the edition's mold does not have."""
    edition, part = edition_named(things, body), body.get("part")
    if part is None or part in edition.parts or edition.parts == [ONLY_PART]:
        return
    hint = did_you_mean(part, edition.parts)
    said = (
        f"{part} is no part of {edition.name}'s mold, which has {names_said(edition.parts)}. {hint}"
    )
    yield said.rstrip()


def asks_before_a_wet_mold_is_cast(things: Things, body: Body, _: Asking) -> Iterator[str]:
    """Ask before a mold is cast that nobody called dry, unless it was weighed dry."""
    molds = {name: mold_of(things, name) for name in body["molds"]}
    wet = [
        name
        for name, mold in molds.items()
        if not is_called_dry(mold) and not stopped_losing(things, mold, things.zone)
    ]
    if wet:
        yield (
            f"Nobody has called {names_said(wet)} dry; a mold is dry when two weighings a day "
            "apart are the same. Say first that it is dry, if it is."
        )


def asks_about_the_cast_in_it(things: Things, body: Body, _: Asking) -> Iterator[str]:
    """Ask what became of the cast in a mold before a part of it is broken; later none can be told."""
    name = body["mold"]
    mold = mold_of(things, name)
    seen = [
        one
        for _, step in things.of(StepDoc, mold.edition)
        if mold_of_cast(step.what) == name and cast_number(step.what) >= mold.casts - 1
        for one in step.observations()
    ]
    at = mold.last_cast or ""
    written_at = instant(at) if len(at) > len("2027-03-01") else None
    for cast in casts_in(seen, mold.casts, written_at):
        began = clock_in(min(one.at for one in cast.began.values()).isoformat(), things.zone)
        yield (
            f"A cast of {name}, begun at {began}, is not in the book yet, and none can be written "
            "down while a part is broken. Say first what came of it, good or lost, at the slip "
            "bench; or go on, and it is not counted."
        )


HEAVIER, LIGHTER = 1.5, 0.6
"""How much more or less than before a mold may weigh unasked; dry it weighs seven tenths of wet."""


GAINS, LOSES_A_DAY = 0.01, 0.15
"""Share that a mold may have gained since it was last weighed, and lost a day, unasked: our own choice.

It gains no water by itself; straps and the scale's last figure are well within a hundredth.
"""


def asks_about_a_weight_far_off(things: Things, body: Body, asking: Asking) -> Iterator[str]:
    """Ask about a mold that weighs far more or less than when it was last on the scale."""
    for name, told in weighed(body).items():
        mold, mass = mold_of(things, name), as_quantity(told)
        if not mold.weighings:
            continue
        last = mold.weighings[-1]
        if LIGHTER <= _times(mass, last.mass) <= HEAVIER:
            yield from _odd_since(things, name, mold, mass, asking)
            continue
        meant = likely_mass(last.mass, mass)
        times = f"{_times(mass, last.mass):.2g} times"
        said = f"{name} weighed {last.mass.typed} on {told_day(things, last.at)}, and {mass.typed} is {times} that."
        yield f"{said} Was it {meant}?" if meant else said


def _odd_since(
    things: Things, name: str, mold: MoldDoc, mass: Quantity, asking: Asking
) -> Iterator[str]:
    """Yield what is odd about a mass since the weighing before, if nothing wetted the mold between."""
    last = mold.weighings[-1]
    day = day_in(last.at, things.zone)
    wetted = max(poured_last(things, mold, things.zone), mold.last_cast or "")
    if asking.day < day or day_in(wetted, things.zone) >= day:
        return
    more_kg = float(mass.value) - float(last.mass.value)
    share = more_kg / float(last.mass.value)
    days = max((date.fromisoformat(asking.day) - date.fromisoformat(day)).days, 1)
    if -LOSES_A_DAY * days <= share <= GAINS:
        return
    is_us = any(word in mass.typed.lower() for word in ("lb", "oz", "pound", "ounce"))
    off = f"{show(abs(more_kg), 'mass', 'us' if is_us else 'metric')} {'more' if more_kg > 0 else 'less'}"
    why = "a mold gains no water by itself" if more_kg > 0 else "no mold dries that fast"
    yield (
        f"{name} weighed {last.mass.typed} on {told_day(things, last.at)}, and {mass.typed} is "
        f"{off}; {why}. Read the scale again, or keep it."
    )


def _times(mass: Quantity, before: Quantity) -> float:
    return float(mass.value) / float(before.value)


def likely_mass(before: Quantity, mass: Quantity) -> str:
    """Return what was probably meant where a point was left out or set wrong, else an empty text.

    Examples
    --------
    >>> last, typed = ({"value": kg, "unit": "kg", "typed": f"{kg} kg"} for kg in ("6.12", "61"))
    >>> likely_mass(as_quantity(last), as_quantity(typed))
    '6.1 kg'
    """
    number, _, unit = mass.typed.partition(" ")
    if not re.fullmatch(r"[0-9]+(?:\.[0-9]+)?", number):
        return ""
    shifts = (-1, -2, -3, 1, 2, 3)
    times = _times(mass, before)
    fit = [one for one in shifts if LIGHTER <= times * 10.0**one <= HEAVIER]
    return f"{Decimal(number).scaleb(fit[0]).normalize():f} {unit}" if fit else ""


SLIPS: dict[str, tuple[_Question, ...]] = dict.fromkeys(
    (
        "casts-tested",
        "molds-poured",
        "casts-made",
        "casts-counted",
        "ware-lost",
        "load-opened",
        "load-fired",
        "ware-finished",
    ),
    (asks_about_a_new_cause,),
)
SLIPS["part-broken"] = (asks_about_the_cast_in_it,)
SLIPS["form-made"] = (asks_about_a_part_that_is_none,)
SLIPS["casts-made"] += (asks_before_a_wet_mold_is_cast,)
SLIPS["mold-weighed"] = (asks_about_a_weight_far_off,)
"""What is asked because a hand may have slipped; nothing of it is kept."""
UNASKED = (
    "step-started",
    "step-ended",
    "step-voided",
    "piece-sold",
    "piece-shipped",
    "piece-given",
    "piece-returned",
    "piece-broken",
    "number-settled",
)
"""Kinds that are never asked about for coming twice: their rules see to that, as for numbers."""
TWICE_WITHIN = timedelta(minutes=10)
_WORKED_OUT = ("made", "book", "asked")


def same_before(body: Body, at: str, zone: str, lately: Iterable[Entry]) -> Entry | None:
    """Return the last of some entries that says the same, None if none does.

    Parameters
    ----------
    body : mapping
        What is to be written.
    at, zone : str
        When it happened, and in which zone.
    lately : iterable of Entry
        Entries of its kind that were written within minutes.
    """
    told = _told(body)
    same = (
        entry for entry in lately if _told(entry.body) == told and _is_one_time(entry, at, zone)
    )
    return max(same, key=lambda entry: entry.seq, default=None)


def _told(body: Body) -> dict[str, object]:
    return {key: value for key, value in body.items() if key not in _WORKED_OUT}


def _is_one_time(entry: Entry, at: str, zone: str) -> bool:
    """Return whether two moments may be one: the same day, and as instants within minutes."""
    if len(at) == len(entry.at) > len("2027-03-01"):
        return abs(instant(at) - instant(entry.at)) <= TWICE_WITHIN
    return day_in(at, zone) == day_in(entry.at, zone)


def cast_before(body: Body, at: str, zone: str, lately: Iterable[Entry]) -> list[str]:
    """Return the molds of a round whose casts were written down one by one within minutes."""
    molds = set(body["molds"])
    parts = (one for one in lately if set(one.body["molds"]) < molds)
    return sorted(
        {name for one in parts if _is_one_time(one, at, zone) for name in one.body["molds"]}
    )


def cast_before_said(names: Sequence[str]) -> str:
    """Return the question whether those molds were cast once more."""
    said = (
        f"{names_said(names)} {'was' if len(names) == 1 else 'were'} written down as cast just now."
    )
    return f"{said} Did {'it' if len(names) == 1 else 'each'} give a second cast since?"


def twice_said(entry: Entry, zone: str) -> str:
    """Return the question whether something really happened a second time."""
    made = f" ({names_said(entry.body['made'])})" if entry.body.get("made") else ""
    when = moment_in(entry.recorded, zone)[: len("2027-03-01 09:30")]
    return (
        f"The same was written down at {when[-5:]}, entry {entry.seq}{made}. Did it happen twice?"
    )


def slips_of(things: Things, kind: str, body: Body, asking: Asking) -> list[tuple[str, str]]:
    """Return what the book asks because a hand may have slipped: name and sentence."""
    return _asked(SLIPS, things, kind, body, asking)


def asked_of(things: Things, kind: str, body: Body, asking: Asking) -> list[tuple[str, str]]:
    """Return what the book asks of an entry, by the state before it: each question's name and sentence."""
    return _asked(QUESTIONS, things, kind, body, asking)


def _asked(
    table: dict[str, tuple[_Question, ...]], things: Things, kind: str, body: Body, asking: Asking
) -> list[tuple[str, str]]:
    return [
        (ask.__name__, said) for ask in table.get(kind, ()) for said in ask(things, body, asking)
    ]
