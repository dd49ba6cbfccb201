"""What it costs, and where each number came from."""

from __future__ import annotations

from fractions import Fraction
from typing import TypeAlias

from pourwright.money import rounded
from pourwright.plan.plan import NOT_GIVEN, NumberSource, Plan, PricedLine
from pourwright.report.answer import not_priced
from pourwright.report.blocks import Align, Block, Row, Section, Table, Text
from pourwright.report.buying import has_test_casts
from pourwright.report.saying import Say, count, priced_about, priced_at, sentence

Columns: TypeAlias = tuple[tuple[str, Align], ...]

PER = {
    "kg": "a kg",
    "lb": "a lb",
    "l": "a liter",
    "gal": "a gallon",
    "kWh": "a kWh",
    "h": "an hour",
    "bag": "a bag",
    "piece": "each",
    "time": "each time",
}
"""What a price is for, by the unit of its quantity."""

IN_US = {"kg": ("lb", Fraction("0.45359237")), "l": ("gal", Fraction("3.785411784"))}
"""The unit that US studios buy by, and the house units in one; both by definition."""

SHOWN_AS = {"kg": ("mass", 1), "l": ("volume", 1), "kWh": ("energy", 1), "h": ("duration", 60)}
"""The dimension of a quantity, and its house units in one of the line's."""


def cost_words(plan: Plan) -> Section:
    """Return the cost lines, the total, a piece's share, and what is not priced."""
    say, cost = Say.of(plan), plan.cost
    blocks: list[Block] = []
    if cost.lines:
        blocks.append(_lines(plan, say))
        blocks += _averages(plan, say)
    else:
        blocks.append(
            Text(
                "No price is given, so there is no cost. Prices are written once for the studio, in its file or in its settings."
            )
        )
    if cost.not_priced:
        blocks.append(_left_out(plan))
    return Section("cost", "Cost", tuple(blocks))


def _averages(plan: Plan, say: Say) -> tuple[Text, ...]:
    """Return that the cost is an average, and what it is by the counts of the calendar."""
    used, course = plan.cost.used_up, plan.cost.by_calendar
    if course is None:
        return ()
    answer, loads = plan.answer, sum(one.loads for one in plan.kiln.firings)
    tests = ", those of the test casts apart" if has_test_casts(plan) else ""
    return (
        Text(
            f"These are averages over all the ways it may go, with {used.casts:g} casts, "
            f"{used.molds:g} molds poured and {used.loads:g} kiln loads{tests}.{_range(plan)} By the counts of the calendar, "
            f"{answer.casts} casts, {answer.molds_poured} molds and {loads} loads, it is "
            f"{say.money(course)}; spoiled loads, molds that wear early and what is refused make the rest. "
            "To buy counts whole bags and pails, by the calendar."
        ),
    )


def _range(plan: Plan) -> str:
    """Return what it costs eight times in ten, and that a load's energy has a range of its own."""
    low, high = priced_about(plan.cost.p10), priced_about(plan.cost.p90)
    if low == high:
        return ""
    priced = any(line.unit == "kWh" for line in plan.cost.lines)
    wide = any(one.energy_kwh_low != one.energy_kwh_high for one in plan.kiln.firings)
    energy = "; of a load's energy the middle of its range is counted" if priced and wide else ""
    return (
        f" Eight times in ten it is {low} to {high} {plan.cost.currency}, as more or fewer casts, "
        f"molds and loads are needed{energy}."
    )


def _left_out(plan: Plan) -> Table:
    """Return what is not priced, and why."""
    return Table(
        caption="Not priced, and not in the sum",
        columns=(("What", "left"), ("Why", "left")),
        rows=tuple(
            (sentence(what)[:-1], why or "no price is given") for what, why in not_priced(plan)
        ),
        note="Not priced is not free.",
        narrow="fit",
    )


def _lines(plan: Plan, say: Say) -> Table:
    """Return the cost lines and their sum."""
    cost = plan.cost
    rows = [_line(line, say) for line in cost.lines]
    marked = (len(rows),)
    rows.append(("Together", "", "", priced_at(cost.total)))
    if cost.per_piece is not None:
        rows.append(("A piece", "", "", priced_about(cost.per_piece)))
    what = "Still to be spent" if plan.book is not None else "Cost of the edition"
    return Table(
        caption=f"{what}, {say.currency}",
        columns=(("For", "left"), ("Quantity", "right"), ("Price", "right"), ("Amount", "right")),
        rows=tuple(rows),
        marked=marked,
        mark_word="",
        note="Materials are counted by what is used up: what is left in the last bag or pail is the next edition's.",
    )


def _line(line: PricedLine, say: Say) -> Row:
    """Return one cost line, its quantity and price in the units that the studio buys by."""
    quantity, unit = line.quantity, line.unit
    if unit in SHOWN_AS:
        dimension, factor = SHOWN_AS[unit]
        amount = float(quantity) * factor
        shown = say.bulk(amount) if unit == "l" else say.quantity(amount, dimension)
    else:
        shown = count(float(quantity), unit)
    return sentence(line.name)[:-1], shown, _price(line, say), str(line.amount)


def _price(line: PricedLine, say: Say) -> str:
    """Return a price and what it is for."""
    price, unit = line.price, line.unit
    if say.units == "us" and unit in IN_US:
        unit, size = IN_US[unit]
        price = rounded(price * size.numerator / size.denominator, say.currency)
    return f"{price} {PER.get(unit, unit)}"


ORIGINS = {
    "default": ("Defaults, because nothing was written", "Why this"),
    NOT_GIVEN: ("Left open", "What follows"),
    "worked out": ("Worked out from the others", "From"),
    "book": ("Counted by the studio itself, in the book", "From"),
    "brief": ("Written in the brief", ""),
    "studio": ("Written in the studio file", ""),
}
"""Captions by kind of origin, what was assumed first, and the title of the reason's column."""


def sources_words(plan: Plan) -> Section:
    """Return every number's origin: a default, worked out, the brief, or the studio."""
    text = Text(
        "A default is a start, not a measurement. To replace one, write its field in the brief or "
        "the studio file."
    )
    sources = [one for one in plan.sources if not _is_untold_part(one)]
    tables = (_origin(kind, [s for s in sources if _kind(s) == kind]) for kind in ORIGINS)
    title = "Where each number came from"
    return Section("sources", title, (text, *filter(None, tables)), folded=True)


def _kind(source: NumberSource) -> str:
    """Return under which heading a number stands; what has none is left open."""
    return NOT_GIVEN if source.value == NOT_GIVEN else source.kind


def _is_untold_part(source: NumberSource) -> bool:
    """Return whether a line only says that a part was told in another of the four ways."""
    return source.field.startswith("mold.parts[") and _kind(source) == NOT_GIVEN


def _origin(kind: str, mine: list[NumberSource]) -> Table | None:
    """Return the numbers of one origin; the reason is a column only if there is one."""
    caption, reason = ORIGINS[kind]
    if not mine:
        return None
    value: Columns = () if kind == NOT_GIVEN else (("Value", "left"),)
    why: Columns = ((reason, "left"),) if reason else ()
    return Table(
        caption=f"{caption} ({len(mine)})",
        columns=(("Field", "left"), *value, *why),
        rows=tuple(_source(one, value=bool(value), why=bool(why)) for one in mine),
        narrow="list" if value else "cards",
    )


def _source(source: NumberSource, *, value: bool, why: bool) -> Row:
    """Return the cells of one number's origin."""
    reason = source.source.removeprefix(NOT_GIVEN).removeprefix(": ")
    return (
        source.field,
        *((source.value,) if value else ()),
        *((reason,) if why else ()),
    )
