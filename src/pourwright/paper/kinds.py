"""The kinds of sheets: for each its layout's name, what it is for, and what makes its record."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from pourwright.errors import BadInput, as_written, did_you_mean
from pourwright.paper.pour import pour_sheet
from pourwright.paper.printing import Sheet
from pourwright.plan.plan import Plan


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of sheet.

    Parameters
    ----------
    name : str
        What it is asked for by; its layout is ``layouts/<name>.typ``.
    about : str
        What it is for.
    from_plan : callable
        What makes its record from a plan, for one day of it or for all.
    """

    name: str
    about: str
    from_plan: Callable[[Plan, date | None], Sheet]


KINDS = (Kind("pour", "a session at the bucket: batches, weights, times to write in", pour_sheet),)


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
