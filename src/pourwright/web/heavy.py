"""The heavy work that the server has done by its worker, one function a thing.

Each imports what it needs when it is called: that is loaded in the worker's process and ends
with it, so that the server stays small.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pourwright.paper.printing import Sheet, Size
    from pourwright.plan.plan import Plan
    from pourwright.studio.bench.heat_fits import HeatFit
    from pourwright.studio.bench.heat_logs import HeatLog
    from pourwright.studio.book import Checked
    from pourwright.studio.plans import NoPlan
    from pourwright.studio.what_if import WhatIf, Wish


def edition_plan(folder: Path, brief: Path, today: date) -> Plan | NoPlan:
    """Return the plan of an edition, going on from the book."""
    from pourwright.studio import plans

    return plans.edition_plan(folder, brief, today)


def what_if(folder: Path, brief: Path, today: date, wish: Wish) -> WhatIf:
    """Return the outlook of an edition with some things other than in its brief."""
    from pourwright.studio import what_if

    return what_if.what_if(folder, brief, today, wish)


def print_sheet(layout: str, sheet: Sheet, size: Size) -> bytes:
    """Return a sheet as a PDF."""
    from pourwright.paper import printing

    return printing.as_pdf(layout, sheet, size)


def take_in_file(folder: Path, data: bytes, today: date) -> tuple[str, str]:
    """Keep a brief or a studio's file from elsewhere; return which, and its name."""
    from pourwright.studio import begin

    return begin.take_in_file(folder, data, today)


def heat_fits(logs: Sequence[HeatLog]) -> list[HeatFit]:
    """Return the law through each thermometer log."""
    from pourwright.studio.bench import heat_fits

    return heat_fits.heat_fits(logs)


def copy_book(folder: Path, now: datetime) -> str:
    """Put a verified copy beside the book; return what is said of it."""
    from pourwright.studio import copies

    return copies.copy_book(folder, now)


def check_book(folder: Path, checkpoint: str) -> Checked:
    """Check the whole book, against a checkpoint if one is given."""
    from pourwright.studio import copies

    return copies.check_book(folder, checkpoint)


def bring_book_up_to_date(folder: Path) -> None:
    """Bring a book of an older version up to date."""
    from pourwright.studio import book

    book.bring_book_up_to_date(folder)
