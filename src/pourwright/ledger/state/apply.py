"""One entry applied to the state: the same code for the living book and for every replay."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from pourwright.ledger.entry import Entry
from pourwright.ledger.kept import COUNTS
from pourwright.ledger.labels import number_of
from pourwright.ledger.state import edition, molds, numbers, record, ware
from pourwright.ledger.things import Things

BOOK = COUNTS
"""The scope of what belongs to no edition and is never worked out again: the label counters."""

APPLY: dict[str, Callable[[Things, Entry], str]] = {
    **edition.APPLY,
    **molds.APPLY,
    **ware.APPLY,
    **numbers.APPLY,
    **record.APPLY,
}
"""What each kind does; ``entry-corrected`` is in ``corrections``, because it needs the book."""


def apply(things: Things, entry: Entry) -> str:
    """Apply one entry, which no rule refuses, to the state of its scope.

    Parameters
    ----------
    things : Things
        The state; only documents of the entry's scope change.
    entry : Entry
        What happened.

    Returns
    -------
    str
        What the book now says, one sentence.
    """
    return APPLY[entry.kind](things, entry)


def counters(things: Things) -> dict[str, Any]:
    """Return the highest number of each label's letter, and the editions in order.

    Parameters
    ----------
    things : Things
        The state.
    """
    return things.get("counter", "labels") or {"edition": BOOK, "editions": []}


def count_labels(things: Things, kind: str, body: Mapping[str, Any]) -> None:
    """Keep the labels that an entry made from ever being given again.

    It is done once for every entry and never undone, so that a label whose entry is voided is
    not printed on another thing.

    Parameters
    ----------
    things : Things
        The state.
    kind : str
        The entry's kind.
    body : mapping
        Its body.
    """
    made = body.get("made")
    if not made and kind != "edition-planned":
        return
    doc = counters(things)
    for name in made or ():
        letter = name[0]
        doc[letter] = max(doc.get(letter, 0), number_of(name))
    if kind == "edition-planned" and body["edition"] not in doc["editions"]:
        doc["editions"].append(body["edition"])
    things.put("counter", "labels", doc)
