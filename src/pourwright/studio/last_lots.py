"""The last lots of a kind: ten years leave more than a thousand, and a day needs the newest."""

from __future__ import annotations

from collections.abc import Iterator

from pourwright.ledger.entry import STUDIO
from pourwright.ledger.kept import once
from pourwright.ledger.kinds.record import LOT_LETTERS, LOTS
from pourwright.ledger.labels import label
from pourwright.ledger.state.apply import counters
from pourwright.ledger.things import Doc, Things

AT_ONCE = 12
"""Lots of a kind that are looked at."""
_LETTERS = dict(zip(LOTS, LOT_LETTERS, strict=True))


def last_lots(things: Things, what: str) -> tuple[tuple[str, Doc], ...]:
    """Return labels and documents of the last lots of a kind, the newest first.

    Parameters
    ----------
    things : Things
        The book's documents.
    what : str
        Such as ``"slip"``.
    """
    return once(things, STUDIO, ("last lots", what), lambda: tuple(_last(things, _LETTERS[what])))


def _last(things: Things, letter: str) -> Iterator[tuple[str, Doc]]:
    """Yield them by their labels, which are given in order."""
    highest = int(counters(things).get(letter, 0))
    for number in range(highest, max(highest - AT_ONCE, 0), -1):
        doc = things.get("lot", label(letter, number))
        if doc is not None:
            yield label(letter, number), doc
