"""What the book answers to a command: what it now says, or why it refused."""

from __future__ import annotations

import json
from typing import Literal

import msgspec
from msgspec import UNSET, Struct, UnsetType


class BookAnswer(Struct, kw_only=True, frozen=True):
    """What the book said to a command that it kept; the same command again gets the same answer.

    Parameters
    ----------
    id : str
        The command's id.
    entry, seq, kind
        Its entry's id, its place in the book, and its kind.
    said : str
        What the book now says.
    made : tuple of str
        Labels that were given.
    late : bool
        Whether it was typed in long after it happened.
    findings : tuple of str
        What is odd, and was kept.
    """

    ok: Literal[True] = True
    id: str
    entry: str
    seq: int
    kind: str
    said: str
    made: tuple[str, ...]
    late: bool
    findings: tuple[str, ...]


class BookRefusal(Struct, kw_only=True, frozen=True):
    """Why a command was refused.

    Parameters
    ----------
    id : str or None
        The command's id, if it had one.
    refused : tuple of str
        Sentences.
    line : int, optional
        The line of a file that it stood in.
    asks : bool, optional
        Whether it is a question: the same command is written once it says to go on.
    already : bool, optional
        Whether somebody else has written the same cast down before, so that nothing is missing.
    """

    ok: Literal[False] = False
    id: str | None
    refused: tuple[str, ...]
    line: int | UnsetType = UNSET
    asks: Literal[True] | UnsetType = UNSET
    already: Literal[True] | UnsetType = UNSET


def answer_text(answer: BookAnswer | BookRefusal) -> str:
    """Return an answer as it is kept and printed: one line of JSON."""
    return json.dumps(msgspec.to_builtins(answer), ensure_ascii=False)


def read_answer(text: str) -> BookAnswer:
    """Return the answer that a text tells.

    Raises
    ------
    MsgspecError
        If it is none.
    """
    return _ANSWER.decode(text)


_ANSWER = msgspec.json.Decoder(BookAnswer)
