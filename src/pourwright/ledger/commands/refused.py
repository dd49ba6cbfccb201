"""What a rule of the book refuses."""

from __future__ import annotations

from collections.abc import Iterable

from pourwright.errors import StudioError


class Refused(StudioError):
    """The book refuses a command; nothing was written.

    Parameters
    ----------
    sentences : iterable of str
        At least one: what stands against it, and what would be right.
    rules : iterable of str, optional
        The names of the rules that refused.

    Examples
    --------
    >>> print(Refused(["There is no mold M-071."]))
    There is no mold M-071.
    """

    def __init__(self, sentences: Iterable[str], rules: Iterable[str] = ()) -> None:
        self.sentences = tuple(sentences)
        self.rules = tuple(rules)
        super().__init__("\n".join(self.sentences))
