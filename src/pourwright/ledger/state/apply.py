"""One entry applied to the state: the same code for the living book and for every replay."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from pourwright.ledger.entry import Entry
from pourwright.ledger.kept import COUNTS
from pourwright.ledger.labels import number_of
from pourwright.ledger.state import (
    edition as state_edition,
)
from pourwright.ledger.state import (
    molds as state_molds,
)
from pourwright.ledger.state import (
    numbers as state_numbers,
)
from pourwright.ledger.state import (
    record as state_record,
)
from pourwright.ledger.state import (
    ware as state_ware,
)
from pourwright.ledger.things import Things

BOOK = COUNTS
"""The scope of what belongs to no edition and is never worked out again: the label counters."""

APPLY: dict[str, Callable[[Things, Entry], str]] = {
    "edition-planned": state_edition.edition_planned,
    "edition-declared": state_edition.edition_declared,
    "edition-resized": state_edition.edition_resized,
    "edition-closed": state_edition.edition_closed,
    "form-made": state_edition.form_made,
    "casts-tested": state_edition.casts_tested,
    "form-approved": state_edition.form_approved,
    "form-destroyed": state_edition.form_destroyed,
    "form-kept": state_edition.form_kept,
    "molds-poured": state_molds.molds_poured,
    "part-poured": state_molds.part_poured,
    "part-swapped": state_molds.part_swapped,
    "part-broken": state_molds.part_broken,
    "mold-weighed": state_molds.mold_weighed,
    "mold-dried": state_molds.mold_dried,
    "straps-tagged": state_molds.straps_tagged,
    "mold-judged": state_molds.mold_judged,
    "mold-retired": state_molds.mold_retired,
    "mold-destroyed": state_molds.mold_destroyed,
    "casts-made": state_ware.casts_made,
    "casts-counted": state_ware.casts_counted,
    "ware-lost": state_ware.ware_lost,
    "ware-glazed": state_ware.ware_glazed,
    "load-closed": state_ware.load_closed,
    "load-opened": state_ware.load_opened,
    "load-fired": state_ware.load_fired,
    "ware-finished": state_ware.ware_finished,
    "piece-marked": state_numbers.piece_marked,
    "piece-sold": state_numbers.piece_sold,
    "piece-shipped": state_numbers.piece_shipped,
    "piece-given": state_numbers.piece_given,
    "piece-returned": state_numbers.piece_returned,
    "piece-broken": state_numbers.piece_broken,
    "number-settled": state_numbers.number_settled,
    "surplus-declared": state_numbers.surplus_declared,
    "lot-mixed": state_record.lot_mixed,
    "lot-read": state_record.lot_read,
    "thermometer-logged": state_record.thermometer_logged,
    "stock-counted": state_record.stock_counted,
    "note-made": state_record.note_made,
    "photo-kept": state_record.photo_kept,
    "photo-erased": state_record.photo_erased,
    "step-started": state_record.step_started,
    "step-ended": state_record.step_ended,
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
