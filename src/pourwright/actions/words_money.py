"""What it costs, and where each number came from."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from pourwright.actions.saying import Plan, Say, listed, sentence
from pourwright.paper.blocks import Align, Block, Row, Section, Table, Text


def cost_words(plan: Plan) -> Section:
    """Return the cost lines, the total, a piece's share, and what is not priced."""
    say, cost = Say.of(plan), plan["cost"]
    blocks: list[Block] = []
    if cost["lines"]:
        blocks.append(_lines(plan, say))
    else:
        blocks.append(
            Text("No price is given, so there is no cost. Prices belong in the studio file.")
        )
    if cost["not_priced"]:
        missing = listed(cost["not_priced"])
        blocks.append(
            Text(f"Not priced, and not in the sum: {missing}. Not priced is not free.", "note")
        )
    return Section("cost", "Cost", tuple(blocks))


def _lines(plan: Plan, say: Say) -> Table:
    """Return the cost lines and their sum."""
    cost = plan["cost"]
    rows = [_line(line) for line in cost["lines"]]
    rows.append(("Together", "", "", cost["total"]))
    rows.append(("A piece", "", "", cost["per_piece"]))
    return Table(
        caption=f"Cost of the edition, {say.currency}",
        columns=(("For", "left"), ("Quantity", "right"), ("Price", "right"), ("Amount", "right")),
        rows=tuple(rows),
        marked=(len(rows) - 2,),
        mark_word="",
    )


def _line(line: dict[str, Any]) -> Row:
    """Return one cost line, as it was priced."""
    quantity = f"{Decimal(line['quantity']).normalize():f} {line['unit']}"
    return sentence(line["name"])[:-1], quantity, line["price"], line["amount"]


ORIGINS = {
    "default": ("Defaults, because nothing was written", "Why this"),
    "worked out": ("Worked out from the others", "From"),
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
    tables = (_origin(kind, plan["sources"]) for kind in ORIGINS)
    return Section("sources", "Where each number came from", (text, *filter(None, tables)))


def _origin(kind: str, sources: list[dict[str, str]]) -> Table | None:
    """Return the numbers of one origin; the reason is a column only if there is one."""
    mine = [one for one in sources if one["kind"] == kind]
    caption, reason = ORIGINS[kind]
    if not mine:
        return None
    last: tuple[tuple[str, Align], ...] = ((reason, "left"),) if reason else ()
    return Table(
        caption=f"{caption} ({len(mine)})",
        columns=(("Field", "left"), ("Value", "left"), *last),
        rows=tuple((s["field"], s["value"], *((s["source"],) if reason else ())) for s in mine),
        narrow="list",
    )
