"""The verbs of the book, as a page needs them to make a form of any."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from pourwright.actions.book import BOOK_FILE
from pourwright.errors import StudioError
from pourwright.ledger.book import Book as Book
from pourwright.ledger.book import refusal
from pourwright.ledger.fields import CAUSES, ENVELOPE
from pourwright.ledger.fields import Field as Field
from pourwright.ledger.fields import Kind as Kind
from pourwright.ledger.kinds import GROUPS, KINDS, kind_of
from pourwright.ledger.state import counters
from pourwright.ledger.store import Store

LOSS_CAUSES = CAUSES
"""Why a piece is lost."""


def verbs() -> tuple[Kind, ...]:
    """Return every verb, in the order of the guide."""
    return KINDS


def verb_groups() -> tuple[tuple[str, tuple[Kind, ...]], ...]:
    """Return every verb in the order of the guide, each group under what it is about."""
    return GROUPS


def verb(name: str) -> Kind:
    """Return one verb.

    Parameters
    ----------
    name : str
        Such as ``"cast"``.

    Raises
    ------
    BadInput
        If there is none of that name.
    """
    return kind_of(name)


def usual_field(name: str) -> Field:
    """Return a field that every command may have, such as ``"at"`` or ``"edition"``.

    Examples
    --------
    >>> usual_field("edition").example
    'tide-cup'
    """
    return next(one for one in ENVELOPE if one.name == name)


def answered(
    book: Book, command: Any, usual: Mapping[str, object], now: datetime
) -> dict[str, Any]:
    """Return what the book answers to a command, or why it was refused.

    Parameters
    ----------
    book : Book
        The book.
    command : object
        As it was sent.
    usual : mapping
        Fields that hold where the command does not say otherwise.
    now : datetime
        The instant.
    """
    try:
        named = {**usual, **command} if isinstance(command, dict) else command
        return book.do(named, now)
    except StudioError as refused:
        return refusal(command, refused)


def open_studio_book(folder: Path) -> Book:
    """Return the book of a studio's folder, made if there is none.

    Parameters
    ----------
    folder : Path
        Where ``book.db`` is.

    Raises
    ------
    StudioError
        If the file is there and is no book that can be used.
    """
    return Book(Store.open(folder / BOOK_FILE))


def editions(book: Book) -> list[tuple[str, str]]:
    """Return id and name of every edition in the book, the newest first."""
    with book.reading() as reading:
        known = [
            (one, reading.things.get("edition", one))
            for one in counters(reading.things)["editions"]
        ]
    return [(one, str(doc.get("name") or one)) for one, doc in reversed(known) if doc]
