"""The day sheet: everything that a day asks for, over all editions, with blanks to fill in."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from pourwright.errors import NotDoable
from pourwright.paper.at_hand import AtHand
from pourwright.paper.printing import Care, Sheet
from pourwright.studio.day import (
    BLANKS,
    BROKEN,
    CAUSES_OF,
    IN_ORDER,
    TITLES,
    DayTask,
    Doing,
    day_tasks,
)


class TaskShown(Struct, frozen=True):
    """A line: what, of which edition, what to know."""

    what: str
    name: str
    note: str


class TasksShown(Struct, frozen=True):
    """The lines of one kind, and what is written down of each."""

    heading: str
    blanks: tuple[str, ...]
    rows: tuple[TaskShown, ...]


class DaySheet(Sheet, frozen=True, kw_only=True):
    """What stands on the day sheet.

    Parameters
    ----------
    groups : tuple of TasksShown
        In the order of the day.
    broken : tuple of str
        What is written down of a part that broke.
    causes : str
        Why something may be lost, as the book takes it; empty where nothing can be.
    typed_in : str
        Where the blanks are typed in afterwards.
    cautions : tuple of Care
        What can hurt.
    """

    groups: tuple[TasksShown, ...]
    broken: tuple[str, ...]
    causes: str
    typed_in: str
    cautions: tuple[Care, ...]


TYPED_IN = (
    "Tick what is done; a cast that is ticked and has no loss is good. Afterwards type it in, in this "
    "order: Today, Type a day sheet in."
)
LOST_IN: dict[Doing, str] = {"cast": "A cast is lost by", "open": "Ware in a load is lost by"}
CARE: dict[Doing, tuple[str, ...]] = {
    "open": ("bisque",),
    "cast": ("slip",),
    "weigh": ("Lifting",),
    "pour": ("plaster",),
    "load": ("bisque",),
}
"""The kinds of work whose cautions go with each, or the caution's title."""


def day_sheet(at: AtHand) -> DaySheet:
    """Return the day sheet: what the open editions ask of a day.

    Raises
    ------
    NotDoable
        If they ask for nothing.
    """
    tasks = day_tasks(at.reading, tuple(at.editions()), at.day, at.zone)
    if not tasks:
        raise NotDoable(f"The open editions ask for nothing on {at.day_said}.")
    groups = tuple(_group(doing, tasks) for doing in IN_ORDER if _of(doing, tasks))
    work = dict.fromkeys(
        one for doing in IN_ORDER if _of(doing, tasks) for one in CARE.get(doing, ())
    )
    return DaySheet(
        title=at.day_said,
        of="Day sheet",
        foot=at.foot,
        groups=groups,
        broken=tuple(one.words for one in BROKEN),
        causes=" ".join(
            f"{LOST_IN[doing]}: {', '.join(words)}."
            for doing, words in CAUSES_OF.items()
            if _of(doing, tasks)
        ),
        typed_in=TYPED_IN,
        cautions=at.cautions(*work),
    )


def _of(doing: Doing, tasks: Sequence[DayTask]) -> list[DayTask]:
    return [one for one in tasks if one.doing == doing]


def _group(doing: Doing, tasks: Sequence[DayTask]) -> TasksShown:
    rows = tuple(TaskShown(one.what, one.name, one.note) for one in _of(doing, tasks))
    return TasksShown(TITLES[doing], tuple(one.words for one in BLANKS[doing]), rows)
