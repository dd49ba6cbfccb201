"""The phases of a batch of plaster: how long each lasts, and the tap that begins the next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from itertools import pairwise

from pourwright.briefs.records import Studio
from pourwright.quantities import show
from pourwright.studio.bench.clocks import (
    OwnTime,
    Panel,
    TimedStep,
    clock_text,
    length_text,
    minutes_between,
    own_time,
)
from pourwright.studio.bench.heat import (
    USUAL_OPENING_MIN,
    earliest_opening_min,
    earliest_words,
    target_of,
)
from pourwright.studio.bench.heat_fits import HeatWindows
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
_PRINTED = {
    "soak": "one or two minutes: common practice, no source",
    "mix": "two or three minutes: common practice, no source",
}
A_DAY_MIN = 24 * 60
"""A day. [min]"""


def panels_of(
    whose: tuple[str, str],
    phases: Sequence[TimedStep],
    phase: str,
    others: Mapping[str, Sequence[TimedStep]],
    studio: Studio | None,
    windows: HeatWindows | None,
) -> tuple[Panel, ...]:
    """Return the panel of each phase of a batch; the clock of the one that it is in has begun.

    Parameters
    ----------
    whose : tuple of str
        Its edition's id, and its own name.
    phases : sequence of TimedStep
        Those of its phases that have begun.
    phase : str
        The one that it is in.
    others : mapping
        What was timed of the edition's other batches, by their names.
    studio : Studio or None
        For the times that were never taken.
    windows : HeatWindows or None
        What the studio's thermometer logs say of batches like this.
    """
    times = _times(others, studio)
    times |= _by_logs(phases, windows, times)
    begun = begun_of(phases, phase)
    mixing = _mixing(others, times, studio)
    panels = []
    for name in (*PHASES, "failed"):
        panel = _panel(name, *whose, times)
        if name == "sift":
            panel = replace(
                panel, marks=mixing[0], note=mixing[1], target_min=mixing[0][-1][0] / 60
            )
        if name == phase:
            panel = replace(panel, start_ms=begun.start_ms if begun else None)
        panels.append(panel)
    return tuple(panels)


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


def begun_of(phases: Sequence[TimedStep], phase: str) -> TimedStep | None:
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


def actuals_of(phases: Sequence[TimedStep], now: datetime) -> tuple[tuple[str, str, str], ...]:
    """Return of each phase that is over what went on in it, when it began and how long it took."""
    rows = []
    for one, after in pairwise(phases):
        began = one.started.astimezone(now.tzinfo).strftime("%H:%M")
        took = clock_text((after.started - one.started).total_seconds())
        rows.append((_WORDS[one.name].partition(",")[0], began, took))
    return tuple(rows)


def minutes_of(phases: Sequence[TimedStep]) -> dict[str, float]:
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
    return {name: minutes for name, minutes in took.items() if 0 <= minutes < A_DAY_MIN}
