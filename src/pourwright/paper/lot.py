"""The lot card: what a bucket or a bag holds, how it read, lines for the readings to come."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from pourwright.errors import BadInput, NotDoable, as_written
from pourwright.paper.at_hand import AtHand
from pourwright.paper.printing import Sheet
from pourwright.paper.tags import qr_svg
from pourwright.studio.lots import READ, last_lots, lot_shown

READINGS = 8
"""Lines for readings on a card, those there are among them. [-]"""


class FactShown(Struct, frozen=True):
    """One line of what is known of a lot."""

    words: str
    value: str
    note: str


class ReadingShown(Struct, frozen=True):
    """How a lot read on a day, as it was typed."""

    day: str
    liter_weight: str
    flow: str
    temperature: str


class Card(Struct, frozen=True):
    """A lot's card; ``lines`` are left for readings to come. [-]"""

    label: str
    name: str
    facts: tuple[FactShown, ...]
    readings: tuple[ReadingShown, ...]
    lines: int
    is_read: bool
    qr: str
    opens_said: str


class LotSheet(Sheet, frozen=True, kw_only=True):
    """Cards of lots, two a page."""

    cards: tuple[Card, ...]


def lot_sheet(at: AtHand) -> LotSheet:
    """Return cards of some lots by their labels, or of the slip and the glaze mixed last.

    Raises
    ------
    BadInput
        If a label is of no lot.
    NotDoable
        If there is no lot.
    """
    labels = at.of or tuple(
        label for what in READ for label, _ in last_lots(at.reading.things, what)[:1]
    )
    cards = tuple(_cards(at, labels))
    if not cards:
        raise NotDoable("There is no lot of slip or glaze yet; enter one first.")
    return LotSheet(
        title=f"Lot cards: {', '.join(one.label for one in cards)}",
        of="Lot card",
        foot=at.foot,
        cards=cards,
    )


def _cards(at: AtHand, labels: tuple[str, ...]) -> Iterator[Card]:
    for typed in labels:
        label = typed.strip().upper()
        shown = lot_shown(at.reading, label, at.zone)
        if shown is None:
            right = "name a lot by its label, such as S-003"
            raise BadInput.one("the lot", as_written(typed), right)
        readings = tuple(ReadingShown(*row) for row in reversed(shown.readings[:READINGS]))
        yield Card(
            label=label,
            name=shown.lot.name,
            facts=tuple(FactShown(*fact) for fact in shown.facts),
            readings=readings,
            lines=max(READINGS - len(readings), 3),
            is_read=shown.lot.what in READ,
            qr=qr_svg(f"{at.address}/lots/{label}") if at.address else "",
            opens_said=f"A code that opens lot {label} in the studio.",
        )
