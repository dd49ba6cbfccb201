"""Every edition of the book, and those that are worked on."""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.ledger.documents import EditionDoc
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.state.apply import counters

MOST_OPEN = 12
"""Open editions that one page looks into; more are worked on by nobody at once."""
LATELY = 400
"""Entries at the end of the book that tell which of many open editions are worked on."""


def known_editions(reading: Reading) -> tuple[EditionDoc, ...]:
    """Return all editions: those that are open first, and of each the one that was planned last."""
    return tuple(
        sorted(_last_first(reading, reading.editions), key=lambda one: one.state == "closed")
    )


def _last_first(reading: Reading, docs: list[EditionDoc]) -> list[EditionDoc]:
    place = {name: at for at, name in enumerate(counters(reading.things).editions)}
    return sorted(docs, key=lambda one: -place[one.edition])


@dataclass(frozen=True, slots=True)
class InWork:
    """The open editions that a page looks into, and how many there are in all."""

    docs: tuple[EditionDoc, ...]
    of: int

    @property
    def words(self) -> str:
        """What is said where not all of them are looked into; else nothing."""
        if self.of <= len(self.docs):
            return ""
        return (
            f"{len(self.docs)} of {self.of} open editions are looked into here, those worked on last. "
            "The others are under Editions; close those that are over."
        )


def in_work(reading: Reading) -> InWork:
    """Return the open editions, or of very many those that were worked on or planned last."""
    open_ones = _last_first(reading, reading.open_editions)
    if len(open_ones) <= MOST_OPEN:
        return InWork(tuple(open_ones), len(open_ones))
    lately = reading.scopes_before_end(LATELY)
    far = len(lately)
    first = sorted(open_ones, key=lambda one: lately.get(one.edition, far))
    return InWork(tuple(first[:MOST_OPEN]), len(open_ones))
