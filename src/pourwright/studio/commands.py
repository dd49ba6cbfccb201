"""The verbs of the book, as a page needs them to make a form of any."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from pourwright.errors import StudioError
from pourwright.ledger.book import Book as Book
from pourwright.ledger.book import refusal
from pourwright.ledger.file.store import Store
from pourwright.ledger.kinds.fields import CAUSES, ENVELOPE
from pourwright.ledger.kinds.fields import Field as Field
from pourwright.ledger.kinds.fields import Kind as Kind
from pourwright.ledger.kinds.table import GROUPS, KINDS, kind_of
from pourwright.studio.book import BOOK_FILE
from pourwright.studio.editions import known_editions

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


MOST_CHOICES = 40
"""Editions that a form offers; more are no choice but a list."""


def editions(book: Book, meant: str = "") -> tuple[list[tuple[str, str]], str]:
    """Return ids and names of the editions that a form offers, and what is said of the others.

    Parameters
    ----------
    book : Book
        The book.
    meant : str
        One that is offered in any case: what the address or the form says.

    Returns
    -------
    tuple of (list of (str, str), str)
        Those that are open first, the newest in front.
    """
    with book.reading() as reading:
        known = known_editions(reading)
        offered = list(known[:MOST_CHOICES])
        if meant not in {doc["edition"] for doc in offered}:
            offered += [doc for doc in known[MOST_CHOICES:] if doc["edition"] == meant]
    words = ""
    if len(known) > len(offered):
        words = (
            f"The {len(offered)} offered here are the open ones and the newest of {len(known)}. "
            "For an older one begin at its page under Editions."
        )
    return [(doc["edition"], str(doc.get("name") or doc["edition"])) for doc in offered], words
