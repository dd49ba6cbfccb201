"""What is to be bought, by day and as the shop sells it."""

from __future__ import annotations

from pourwright.plan.plan import Plan, ToBuy
from pourwright.report.blocks import Section, Table, Text
from pourwright.report.saying import Say, count

PLURAL = {"box": "boxes"}
NOT_SEEN = "Nothing to buy can be worked out: tell casting.fill, glaze.area and preparation.rubber."

ALL_THERE = "Nothing: what the book says is there is enough."


def buying_words(plan: Plan) -> Section:
    """Return everything to buy, the soonest first."""
    say = Say.of(plan)
    if not plan.to_buy:
        return Section("to-buy", "To buy", (Text(NOT_SEEN),))
    buys = [row for row in plan.to_buy if row.count]
    if not buys:
        return Section("to-buy", "To buy", (Text(ALL_THERE),))
    there = any(row.there for row in buys)
    packed = there or any(row.unit for row in buys)  # else what to buy is what is needed
    table = Table(
        caption="To buy, the soonest first",
        columns=(
            ("First used", "left"),
            ("Buy", "left"),
            *((("Needed", "right"),) if packed else ()),
            *((("There", "right"),) if there else ()),
        ),
        rows=tuple(
            (
                say.day(row.by, weekday=False),
                bought(row, say),
                *((amount(row, row.need, say),) if packed else ()),
                *((amount(row, row.there, say) if row.there else "",) if there else ()),
            )
            for row in buys
        ),
        note=_counted(plan),
        narrow="fit",
    )
    return Section("to-buy", "To buy", (table,))


def _counted(plan: Plan) -> str:
    """Return by what it is counted."""
    slip = any(row.what == "slip" for row in plan.to_buy)
    fill = " The slip is also what fills the molds and is drained back at the end." if slip else ""
    return (
        "Whole bags and pails for what the calendar takes, losses counted in; the cost counts only what is used up."
        f"{fill} What is sold otherwise at your shop belongs in the studio file."
    )


def bought(row: ToBuy, say: Say) -> str:
    """Return what to ask for in the shop, such as "3 bags of plaster, 50 lb each"."""
    if not row.unit:
        return count(row.count, row.shop_unit, PLURAL.get(row.shop_unit, ""))
    each = " each" if row.count > 1 else ""
    return f"{count(row.count, row.shop_unit)} of {row.what}, {amount(row, row.holds, say)}{each}"


def has_test_casts(plan: Plan) -> bool:
    """Return whether test casts are still to be made."""
    return any(stage.name == "test casts" for stage in plan.stages)


def with_more(plan: Plan, what: str, more: str) -> str:
    """Return how much is bought of something that is used for more, empty where it is not told."""
    say = Say.of(plan)
    need = next((amount(row, row.need, say) for row in plan.to_buy if row.what == what), "")
    return f"; {need} with {more}" if need else ""


def amount(row: ToBuy, quantity: float, say: Say) -> str:
    """Return how much of it, in the studio's units."""
    if not row.unit:
        return f"{quantity:g}"
    return say.bulk(quantity) if row.unit == "l" else say.bought(quantity)
