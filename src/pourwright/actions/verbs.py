"""The verbs of the book, as a page needs them to make a form of any."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from pourwright.errors import BadInput, StudioError, as_written
from pourwright.ledger.fields import CAUSES, ENVELOPE
from pourwright.ledger.fields import Field as Field
from pourwright.ledger.fields import Kind as Kind
from pourwright.ledger.kinds import KINDS, kind_of

LOSS_CAUSES = CAUSES
"""Why a piece is lost."""


def verbs() -> tuple[Kind, ...]:
    """Return every verb, in the order of the guide."""
    return KINDS


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
    book: Any, command: object, usual: Mapping[str, object], now: datetime
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
    named = command.get("id") if isinstance(command, dict) else None
    try:
        if not isinstance(command, dict):
            raise BadInput.one("the command", as_written(command), "write an object with do and id")
        answer: dict[str, Any] = book.do({**usual, **command}, now)
    except StudioError as refused:
        sentences = getattr(refused, "sentences", None) or str(refused).splitlines()
        return {"ok": False, "id": named, "refused": list(sentences)}
    return answer


def editions(book: Any) -> list[tuple[str, str]]:
    """Return id and name of every edition in the book."""
    return [(one, str(doc.get("name") or one)) for one, doc in book.things().of("edition")]
