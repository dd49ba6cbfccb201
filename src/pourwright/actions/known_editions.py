"""Every edition of the book, read once for each state of the book: a page looks at them all."""

from __future__ import annotations

from pourwright.ledger.state import counters
from pourwright.ledger.things import Doc
from pourwright.ledger.transaction import Reading

_KEPT: dict[str, tuple[Doc, ...]] = {}
"""The editions at the end of one book, by its digest; only the last state is kept."""


def known_editions(reading: Reading) -> tuple[Doc, ...]:
    """Return the documents of all editions, which are not to be changed.

    Parameters
    ----------
    reading : Reading
        The book at one moment.

    Returns
    -------
    tuple of dict
        Those that are open first, and of each the one that was planned last.
    """
    digest = reading.head().digest
    kept = _KEPT.get(digest)
    if kept is None:
        kept = _read(reading)
        _KEPT.clear()
        _KEPT[digest] = kept
    return kept


def _read(reading: Reading) -> tuple[Doc, ...]:
    place = {name: at for at, name in enumerate(counters(reading.things)["editions"])}
    docs = [doc for doc in reading.editions() if doc["edition"] in place]
    return tuple(sorted(docs, key=lambda doc: (doc["state"] == "closed", -place[doc["edition"]])))
