"""Sheets: a hundred pour sheets beside a hundred documents with nothing on them."""

from __future__ import annotations

import json
from pathlib import Path
from time import process_time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

SHEETS = 100
PLAN = Path(__file__).parents[1] / "tests" / "fixtures" / "sample_plan.json"


def bench_pour_sheets_beside_empty_documents() -> float:
    """Pour sheets made in the time of as many empty documents; a third is wanted.

    Each sheet is of another edition, and each document says another word, so that nothing is
    laid out once for all. The two take turns, and processor time counts.
    """
    import msgspec

    from pourwright.paper.pour import pour_sheet
    from pourwright.paper.printing import Sheet, as_pdf
    from pourwright.plan.plan import Plan

    data = json.loads(PLAN.read_text(encoding="utf-8"))
    sheets = []
    for number in range(SHEETS):
        data["edition"]["name"] = f"Cup {number}"
        sheets.append(pour_sheet(msgspec.convert(data, Plan)))
    empty = [Sheet(title=f"Nothing {number}", of="", foot="") for number in range(SHEETS)]

    def took_s(work: Callable[[], object]) -> float:
        began = process_time()
        work()
        return process_time() - began

    as_pdf("empty", empty[0], "a4"), as_pdf("pour", sheets[0], "a4")
    turns = [
        (
            took_s(lambda: [as_pdf("empty", one, "a4") for one in empty]),
            took_s(lambda: [as_pdf("pour", one, "a4") for one in sheets]),
        )
        for _ in range(3)
    ]
    return min(nothing for nothing, _ in turns) / min(full for _, full in turns)
