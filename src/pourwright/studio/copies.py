"""Care of the book: copies that are known to be sound, a check of the whole, and a stocktake."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from pourwright.errors import BadInput, Complaint, as_written
from pourwright.ledger.documents import EditionDoc
from pourwright.ledger.file.backup import COPIES, Copy, copies_in
from pourwright.ledger.said import many
from pourwright.ledger.stages import stages_of
from pourwright.report.saying import day
from pourwright.studio.book import (
    Checked,
    back_up_book,
    open_book,
    verify_book,
)

CopyRow = tuple[str, str, str]
"""When it was made, its entries, its checkpoint."""


def copies_here(folder: Path, zone: str) -> tuple[CopyRow, ...]:
    """Return the copies beside the book, the newest first."""
    return tuple(_copy_row(one, zone) for one in reversed(copies_in(folder / COPIES)))


def _copy_row(copy: Copy, zone: str) -> CopyRow:
    seq, digits = copy.checkpoint
    return _moment(copy.made, zone), many(seq, "entry", "entries"), f"{seq}:{digits}"


def _moment(made: datetime, zone: str) -> str:
    here = made.astimezone(ZoneInfo(zone))
    return f"{day(here.date())}, {here:%H:%M}"


def copy_book(folder: Path, now: datetime) -> str:
    """Put a verified copy beside the book, and say so."""
    path, entries = back_up_book(folder, None, now)
    told = many(entries, "entry", "entries")
    return f"A copy of {told} is in {path.parent.name}: {path.name}. Keep another one elsewhere."


def check_book(folder: Path, checkpoint: str) -> Checked:
    """Check the whole book, against a checkpoint that was noted elsewhere if there is one.

    Raises
    ------
    BadInput
        If the checkpoint cannot be read.
    """
    book = open_book(folder, create=False)
    with book.store:
        return verify_book(book, [checkpoint] if checkpoint.strip() else [])


def stock_stages(edition: EditionDoc) -> tuple[str, ...]:
    """Return what a stocktake of an edition counts: its stages, and its molds."""
    return (*stages_of(edition.route), "molds")


def counts_of(edition: EditionDoc, typed: Mapping[str, object]) -> str:
    """Return what was counted, as the book takes it: ``8 greenware, 3 bisque``.

    Parameters
    ----------
    edition : EditionDoc
        The edition.
    typed : mapping
        What the form sent, by stage; a stage that was left empty was not counted.

    Raises
    ------
    BadInput
        If nothing was counted, or something is no count.
    """
    told = {stage: str(typed.get(stage, "")).strip() for stage in stock_stages(edition)}
    wrong = [
        Complaint(stage, as_written(text), "write a whole number, such as 8")
        for stage, text in told.items()
        if text and not (text.isascii() and text.isdigit() and len(text) < 8)
    ]
    if wrong:
        raise BadInput(wrong)
    counted = [f"{int(text)} {stage}" for stage, text in told.items() if text]
    if not counted:
        raise BadInput.one("", None, "Nothing was counted; write at least one number.")
    return ", ".join(counted)
