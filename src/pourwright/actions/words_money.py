"""What it costs, and where each number came from."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from pourwright.actions.saying import Plan, Say, listed, sentence
from pourwright.paper.blocks import Block, Row, Section, Table, Text


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


def sources_words(plan: Plan) -> Section:
    """Return every number's origin: the brief, the studio, a default, or worked out."""
    rows = tuple((s["field"], s["value"], _origin(s)) for s in plan["sources"])
    table = Table(
        caption="Every number the plan rests on",
        columns=(("Field", "left"), ("Value", "left"), ("From", "left")),
        rows=rows,
        narrow="list",
    )
    text = Text(
        "A default is a start, not a measurement. To replace one, write its field in the brief or "
        "the studio file."
    )
    return Section("sources", "Where each number came from", (text, table))


def _origin(source: dict[str, Any]) -> str:
    """Return the kind of origin, with its source when there is one."""
    return f"{source['kind']}: {source['source']}" if source["source"] else str(source["kind"])
