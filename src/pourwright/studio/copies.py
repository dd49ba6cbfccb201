"""Care of the book: copies that are known to be sound, a check of the whole, and a stocktake."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from pourwright.errors import BadInput, Complaint, as_written
from pourwright.ledger.file.backup import copies_in
from pourwright.ledger.said import many
from pourwright.ledger.stages import stages_of
from pourwright.report.saying import day
from pourwright.studio.book import (
    COPIES,
    Checked,
    back_up_book,
    open_book,
    verify_book,
)

CopyRow = tuple[str, str, str]
"""When it was made, its entries, its checkpoint."""


def copies_here(folder: Path, zone: str) -> tuple[CopyRow, ...]:
    """Return the copies beside the book, the newest first.

    Parameters
    ----------
    folder : Path
        The studio's.
    zone : str
        Its time zone.
    """
    return tuple(
        (_moment(one.made, zone), many(one.checkpoint.seq, "entry", "entries"), f"{one.checkpoint.seq}:{one.checkpoint.digits}")
        for one in reversed(copies_in(folder / COPIES))
    )  # fmt: skip


def _moment(made: datetime, zone: str) -> str:
    here = made.astimezone(ZoneInfo(zone))
    return f"{day(here.date())}, {here:%H:%M}"


def copy_book(folder: Path, now: datetime) -> str:
    """Put a verified copy beside the book, and say so.

    Parameters
    ----------
    folder : Path
        The studio's.
    now : datetime
        The studio's clock, with a time zone.
    """
    path, entries = back_up_book(folder, None, now)
    told = many(entries, "entry", "entries")
    return f"A copy of {told} is in {path.parent.name}: {path.name}. Keep another one elsewhere."


def check_book(folder: Path, checkpoint: str) -> Checked:
    """Check the whole book, against a checkpoint that was noted elsewhere if there is one.

    Parameters
    ----------
    folder : Path
        The studio's.
    checkpoint : str
        Such as ``"4182:9c1d0a2b3c4d5e6f"``, or nothing.

    Raises
    ------
    BadInput
        If the checkpoint cannot be read.
    """
    book = open_book(folder, create=False)
    with book.store:
        return verify_book(book, [checkpoint] if checkpoint.strip() else [])


def stock_stages(edition: Mapping[str, Any]) -> tuple[str, ...]:
    """Return what a stocktake of an edition counts: its stages, and its molds.

    Parameters
    ----------
    edition : mapping
        The edition's document.
    """
    return (*stages_of(edition["route"]), "molds")


def counts_of(edition: Mapping[str, Any], typed: Mapping[str, Any]) -> str:
    """Return what was counted, as the book takes it: ``8 greenware, 3 bisque``.

    Parameters
    ----------
    edition : mapping
        The edition's document.
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
        for stage, text in told.items() if text and not (text.isascii() and text.isdigit() and len(text) < 8)
    ]  # fmt: skip
    if wrong:
        raise BadInput(wrong)
    counted = [f"{int(text)} {stage}" for stage, text in told.items() if text]
    if not counted:
        raise BadInput.one("", None, "Nothing was counted; write at least one number.")
    return ", ".join(counted)
