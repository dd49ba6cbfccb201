"""A line of a list on a page: words, what they rest on, and where they lead."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryLine:
    """A line that leads to an entry of the book.

    Parameters
    ----------
    words, note : str
        What is told, and the day, the place or what else it rests on.
    to : str
        The entry's address.
    kind, word : str
        Its mark, if it has one.
    about : str
        The thing that is drawn beside it, on a page of the book.
    """

    words: str
    note: str
    to: str
    kind: str = ""
    word: str = ""
    about: str = ""
