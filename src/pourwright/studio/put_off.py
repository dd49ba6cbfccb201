"""What was put off until tomorrow: a note in the book for each piece of work, which Today and the plan read."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.replaying import CORRECTED, effective
from pourwright.plan.plan import Plan
from pourwright.plan.standing_from_book import day_of
from pourwright.report.calendar import DOING

NOT_TODAY = "not today"
"""What such a note is about; it tells what is put off."""
LATELY = 200
"""Notes and corrections that are looked at. [-]"""


def put_off(reading: Reading, today: date, zone: str) -> frozenset[tuple[str, str]]:
    """Return what is not done on a day, as notes tell it: whose, and what.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    today : date
        The day.
    zone : str
        The studio's time zone.
    """
    lately = reading.latest(LATELY, kinds=("note-made", CORRECTED))
    return frozenset(
        (one.scope, str(one.body["text"]))
        for one in effective(sorted(lately, key=lambda one: one.seq))
        if one.body.get("about") == NOT_TODAY and day_of(one.at, zone) == today
    )


def work_named(stage: str) -> str:
    """Return what a stage of the plan is called where it is put off, without its count.

    Examples
    --------
    >>> work_named("glaze"), work_named("conditioning"), work_named("load bisque")
    ('glaze', 'cast', 'build a bisque load')
    """
    kiln, _, firing = stage.partition(" ")
    if kiln == "load":
        return f"build a {firing} load"
    if kiln == "unload":
        return f"open the {firing} load"
    words = "cast" if stage == "conditioning" else DOING.get(stage, stage)
    return stage if "{n} " in words else words.partition(" {")[0]


def is_put_off(stage: str, tasks: Collection[str]) -> bool:
    """Return whether a stage of the plan is among what is put off; a load that is opened goes by its label there."""
    if stage.startswith("unload "):
        return any(one.startswith("open ") for one in tasks)
    return work_named(stage) in tasks


def split_day(
    plan: Plan, today: date, tasks: Collection[str]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return what is put off of a day's work by a plan, and what stays."""
    asked = [one.stage for entry in plan.calendar if entry.date == today for one in entry.doing]
    off = tuple(dict.fromkeys(work_named(one) for one in asked if is_put_off(one, tasks)))
    left = tuple(dict.fromkeys(work_named(one) for one in asked if not is_put_off(one, tasks)))
    return off, left
