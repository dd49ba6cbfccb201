"""The pour sheet: what is weighed and poured in a session, with blanks for when it was done."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date

from msgspec import Struct

from pourwright.errors import NotDoable
from pourwright.paper.printing import Care, Sheet
from pourwright.plan.plan import Plan, PlasterPlan, PourSession
from pourwright.report.plaster import (
    MIXING,
    Bucketful,
    bucketfuls,
    how_mixed,
    mixed,
    starts_counted,
)
from pourwright.report.saying import Say, count, listed


class PartShown(Struct, frozen=True):
    """A part of a mold in the row of parts: ``share`` is of the largest part's volume. [-]"""

    name: str
    volume: str
    share: float
    masters: str


class RecipeRow(Struct, frozen=True):
    """One line of the recipe: a figure, and what it is."""

    value: str
    words: str


class BatchShown(Struct, frozen=True):
    """A batch's line."""

    number: str
    starts: str
    water: str
    plaster: str
    fills: str


class SessionShown(Struct, frozen=True):
    """A session: its day, which of how many it is, what it holds, and its batches."""

    title: str
    which: str
    holds: str
    rows: tuple[BatchShown, ...]


class PourSheet(Sheet, frozen=True, kw_only=True):
    """What stands on the pour sheet.

    Parameters
    ----------
    parts_caption, parts_said : str
        What stands over the parts of a mold, and the same parts in a sentence.
    parts : tuple of PartShown
        One a part.
    recipe : tuple of RecipeRow
        What holds for every batch.
    sessions : tuple of SessionShown
        One a day.
    about_weights : str
        What the weights hold.
    steps : tuple of str
        How a batch is mixed.
    cautions : tuple of Care
        What can hurt.
    """

    parts_caption: str
    parts_said: str
    parts: tuple[PartShown, ...]
    recipe: tuple[RecipeRow, ...]
    sessions: tuple[SessionShown, ...]
    about_weights: str
    steps: tuple[str, ...]
    cautions: tuple[Care, ...]


ABOUT_WEIGHTS = (
    "Weights are on the scale's step and hold the spare.{mixing} {starts} "
    "Write the clock's time into the blanks."
)
SCRATCH = "Scratch the mold's name into each part while it is soft, and the date."


def pour_sheet(plan: Plan, day: date | None = None) -> PourSheet:
    """Return the pour sheet of a plan: every session still to come, or that of one day.

    Raises
    ------
    NotDoable
        If nothing is poured by the plan, or not on that day.
    """
    say, plaster = Say.of(plan), plan.plaster
    asked = [one for one in plaster.session_list if day in (None, one.date)]
    if not asked:
        raise NotDoable(_nothing(plan, day, say))
    return PourSheet(
        title=f"Pour sheet: {plan.edition.name}",
        of=f"Pour sheet · {plan.edition.name}",
        foot=f"{plan.studio.name} · {plan.edition.id}, planned on {say.day(plan.as_of)}",
        parts_caption="The parts of one mold, and the mix that fills each",
        parts_said=_parts_said(plaster, say),
        parts=tuple(_parts(plaster, say)),
        recipe=tuple(_recipe(plaster, say)),
        sessions=tuple(_session(one, plaster, say) for one in asked),
        about_weights=ABOUT_WEIGHTS.format(mixing=how_mixed(plaster), starts=starts_counted(plan)),
        steps=(*MIXING[:-1], SCRATCH, MIXING[-1]),
        cautions=cautions_at(plan, {"pour-list"}),
    )


def _nothing(plan: Plan, day: date | None, say: Say) -> str:
    """Return why there is nothing to print."""
    days = [say.day(one.date) for one in plan.plaster.session_list]
    if not days:
        return f"No mold of {plan.edition.name} is still to be poured, so there is no pour sheet."
    assert day is not None  # noqa: S101 - without a day every session is printed
    return f"{plan.edition.name} is not poured on {say.day(day)}; it is on {listed(days)}."


def cautions_at(plan: Plan, steps: Collection[str]) -> tuple[Care, ...]:
    """Return a plan's cautions at some of its steps."""
    return tuple(Care(one.title, one.text) for one in plan.cautions if one.step in steps)


def _parts_said(plaster: PlasterPlan, say: Say) -> str:
    """Return the parts in a sentence, for whoever cannot see the row."""
    parts = listed(f"{one.name}, {say.volume(one.volume_l)}" for one in plaster.parts)
    return f"The parts of one mold in a row: {parts}."


def _parts(plaster: PlasterPlan, say: Say) -> Iterator[PartShown]:
    largest_l = max(one.volume_l for one in plaster.parts)
    for one in plaster.parts:
        yield PartShown(
            one.name,
            say.volume(one.volume_l),
            one.volume_l / largest_l,
            count(one.masters, "master"),
        )


def _recipe(plaster: PlasterPlan, say: Say) -> Iterator[RecipeRow]:
    yield RecipeRow(f"{plaster.consistency:g}", "of water to 100 of plaster, by weight")
    mold = plaster.per_mold
    yield RecipeRow(say.volume(mold.volume_l), "of mix for a mold, before the spare")
    yield RecipeRow(say.duration(plaster.round_min), "until a master can be filled again")


def _session(session: PourSession, plaster: PlasterPlan, say: Say) -> SessionShown:
    batches = [one for one in plaster.batches if one.session == session.number]
    return SessionShown(
        title=say.day(session.date),
        which=f"Session {session.number} of {plaster.sessions}",
        holds=f"{count(session.molds, 'mold')} in {count(mixed(batches), 'batch', 'batches')}",
        rows=tuple(_batch(one, plaster, say) for b in batches for one in bucketfuls(b, say)),
    )


def _batch(one: Bucketful, plaster: PlasterPlan, say: Say) -> BatchShown:
    step = plaster.scale_step_kg
    return BatchShown(
        number=one.number,
        starts=one.starts,
        water=say.mass(one.water_kg, step),
        plaster=say.mass(one.plaster_kg, step),
        fills=one.fills,
    )
