"""The shopping list: what a plan still needs, by the day it is first used, in the shop's units."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from pourwright.errors import NotDoable
from pourwright.paper.printing import Sheet
from pourwright.plan.plan import Plan
from pourwright.report.buying import amount, bought
from pourwright.report.saying import Say


class ToBuyShown(Struct, frozen=True):
    """A line of the list: what to ask for, how much is needed and there, when it is first used."""

    buy: str
    need: str
    there: str
    by: str


class ShoppingSheet(Sheet, frozen=True, kw_only=True):
    """What stands on the shopping list: its lines, the soonest first, and what they rest on."""

    rows: tuple[ToBuyShown, ...]
    note: str


NOTE = (
    "Losses are counted in. What is sold otherwise at your shop belongs in the studio file; what a lot "
    "held when it came belongs in the book."
)


def shopping_sheet(plan: Plan, day: date | None = None) -> ShoppingSheet:
    """Return what is to be bought for a plan, or what of it is first used up to a day.

    Raises
    ------
    NotDoable
        If nothing is.
    """
    say = Say.of(plan)
    rows = tuple(
        ToBuyShown(
            buy=bought(row, say),
            need=amount(row, row.need, say),
            there=amount(row, row.there, say) if row.there else "",
            by=say.day(row.by),
        )
        for row in plan.to_buy
        if row.count and (day is None or row.by <= day)
    )
    if not rows:
        until = "" if day is None else f" until {say.day(day)}"
        raise NotDoable(
            f"Nothing is to be bought for {plan.edition.name}{until}, by what is known."
        )
    return ShoppingSheet(
        title=f"To buy: {plan.edition.name}",
        of=plan.edition.name,
        foot=f"{plan.studio.name} · {plan.edition.id}, planned on {say.day(plan.as_of)}",
        rows=rows,
        note=NOTE,
    )
