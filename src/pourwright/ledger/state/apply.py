"""One entry applied to the state: the same code for the living book and for every replay."""

from __future__ import annotations

from collections.abc import Callable

from pourwright.ledger.causes import new_causes
from pourwright.ledger.documents import CountersDoc
from pourwright.ledger.entry import Body, Entry
from pourwright.ledger.labels import number_of
from pourwright.ledger.state import edition, molds, numbers, record, ware
from pourwright.ledger.things import Things

BOOK = "book"
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
    """Apply one entry, which no rule refuses, and return what the book now says, one sentence.

    Only documents of the entry's scope change.
    """
    return APPLY[entry.kind](things, entry)


def counters(things: Things) -> CountersDoc:
    """Return the highest number of each label's letter, and the editions in order."""
    return things.get(CountersDoc, "labels") or CountersDoc(edition=BOOK)


def count_labels(things: Things, kind: str, body: Body) -> None:
    """Keep the labels that an entry made from ever being given again, and the causes it added.

    It is done once for every entry and never undone, so that a label whose entry is voided is
    not printed on another thing.
    """
    made = [*(body.get("made") or ()), *(body.get("scratched_in") or ())]
    # one that was only seen is asked about as its load is written down
    added = [] if kind == "step-started" else list(new_causes(body))
    is_new = kind == "edition-planned" and "edition" in body  # it is not, if it did not happen
    if not made and not added and not is_new:
        return
    counted = counters(things)
    if added:
        counted.causes = list(dict.fromkeys([*(counted.causes or ()), *added]))
    for name in made:
        counted.count_up(name[0], number_of(name))
    if is_new and body["edition"] not in counted.editions:
        counted.editions.append(body["edition"])
    things.put("labels", counted)
