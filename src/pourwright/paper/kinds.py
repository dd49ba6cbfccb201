"""The kinds of sheets: for each its layout's name, what it is for, and what makes its record."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from pourwright.errors import BadInput, as_written, did_you_mean
from pourwright.paper.at_hand import AtHand
from pourwright.paper.casting import casting_sheet
from pourwright.paper.day import day_sheet
from pourwright.paper.kiln import kiln_sheet
from pourwright.paper.lot import lot_sheet
from pourwright.paper.plan import plan_printed
from pourwright.paper.pour import pour_sheet
from pourwright.paper.printing import Sheet
from pourwright.paper.shopping import shopping_sheet
from pourwright.paper.tags import tag_sheet
from pourwright.plan.plan import Plan


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of sheet, made from a plan or from the book.

    Parameters
    ----------
    name : str
        What it is asked for by; its layout is ``layouts/<name>.typ``.
    about : str
        What it is for.
    from_plan : callable, optional
        What makes its record from a plan, for one day of it or for all.
    from_book : callable, optional
        What makes it from the book.
    """

    name: str
    about: str
    from_plan: Callable[[Plan, date | None], Sheet] | None = None
    from_book: Callable[[AtHand], Sheet] | None = None


KINDS = (
    Kind(
        "pour",
        "a session at the bucket: batches, weights, times to write in",
        from_plan=pour_sheet,
    ),
    Kind(
        "shopping",
        "what is to be bought, the soonest first, in the shop's units",
        from_plan=shopping_sheet,
    ),
    Kind(
        "plan",
        "the plan with its charts in two columns, at most six pages",
        from_plan=plan_printed,
    ),
    Kind(
        "casting",
        "a day's casts: molds, times, good and lost to write in",
        from_book=casting_sheet,
    ),
    Kind(
        "day",
        "everything that a day asks for, over all editions, with blanks",
        from_book=day_sheet,
    ),
    Kind(
        "kiln",
        "loads to build, or some by their labels: places, a log, what was lost",
        from_book=kiln_sheet,
    ),
    Kind(
        "lot",
        "a card for the bucket, by its label: what it holds, readings to write in",
        from_book=lot_sheet,
    ),
    Kind(
        "tags",
        "for molds, masters and lots by their labels: name, casts to tick, QR code",
        from_book=tag_sheet,
    ),
)


def find_kind(name: str) -> Kind:
    """Return a kind of sheet by its name.

    Raises
    ------
    BadInput
        If there is none of that name.
    """
    known = {one.name: one for one in KINDS}
    if name not in known:
        right = f"name one of {', '.join(known)}"
        raise BadInput.one("the kind of sheet", as_written(name), right, did_you_mean(name, known))
    return known[name]
