"""The casting sheet: the molds that can be cast on a day, their times, blanks for what came of it."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from pourwright.briefs.folder import BriefHere
from pourwright.errors import NotDoable
from pourwright.ledger.causes import CASTING_CAUSES
from pourwright.ledger.documents import EditionDoc, MoldDoc
from pourwright.paper.at_hand import AtHand
from pourwright.paper.printing import Care, Sheet
from pourwright.studio.bench.clocks import steps_of
from pourwright.studio.bench.slip import SlipCard, slip_cards
from pourwright.studio.lots import last_lots
from pourwright.studio.shelf import judge_due

THROWN = "a first cast: throw it away"
HELD = "hold it beside the reference piece"


class MoldToCast(Struct, frozen=True):
    """A mold's line: its label, which cast of its life it is, what else is to be done with it."""

    mold: str
    cast: str
    note: str


class EditionToCast(Struct, frozen=True):
    """An edition's molds, and what holds for each of their casts."""

    name: str
    times: str
    rows: tuple[MoldToCast, ...]


class CastingSheet(Sheet, frozen=True, kw_only=True):
    """What stands on the casting sheet.

    Parameters
    ----------
    slip : str
        The lot of slip that was mixed last; empty if there is none.
    editions : tuple of EditionToCast
        Open editions with a mold that is dry.
    causes : str
        Why a cast may be lost, as the book takes it.
    cautions : tuple of Care
        What can hurt.
    """

    slip: str
    editions: tuple[EditionToCast, ...]
    causes: str
    cautions: tuple[Care, ...]


def casting_sheet(at: AtHand) -> CastingSheet:
    """Return the casting sheet of a day: molds that are dry, whole and not cast on it yet.

    Raises
    ------
    NotDoable
        If there is none.
    """
    editions = tuple(_editions(at))
    if not editions:
        raise NotDoable(f"No mold of an open edition is dry and uncast on {at.day_said}.")
    lots = last_lots(at.reading.things, "slip")
    return CastingSheet(
        title=at.day_said,
        of="Casting sheet",
        foot=at.foot,
        slip=lots[0][0] if lots else "",
        editions=editions,
        causes=", ".join(CASTING_CAUSES),
        cautions=at.cautions("slip"),
    )


def _editions(at: AtHand) -> Iterator[EditionToCast]:
    things = at.reading.things
    for doc, here in at.editions():
        steps = steps_of(things, doc.edition)
        cards = slip_cards(things, doc.edition, steps, here.brief if here else None, at.noon)
        ready = [one for one in cards if one.phase == "idle" and one.dry and not one.cast_today]
        if ready:
            rows = tuple(_row(one, things.get(MoldDoc, one.label)) for one in ready)
            yield EditionToCast(doc.name, casting_times(at, doc, here, ready[0]), rows)


def casting_times(at: AtHand, doc: EditionDoc, here: BriefHere | None, card: SlipCard) -> str:
    """Return what an edition's casts take: slip to fill and how long it stands and drains."""
    casting = here.brief.casting if here and here.brief else None
    fill, drain = (_panel(card, phase, at) for phase in ("fill", "drain"))
    told = [
        f"fill {at.show(casting.fill_l, 'volume')}" if casting and casting.fill_l else "",
        f"stands {fill}",
        f"drains {drain}" if drain else "",
        f"wall {at.show(casting.wall_mm, 'length')}" if casting and casting.wall_mm else "",
    ]
    return ", ".join(filter(None, told))


def _panel(card: SlipCard, phase: str, at: AtHand) -> str:
    panel = next(one for one in card.panels if one.phase == phase)
    if panel.target_min is None:
        return panel.note if phase == "fill" else ""
    return f"{at.show(panel.target_min, 'duration')} ({panel.note})"


def _row(card: SlipCard, mold: MoldDoc | None) -> MoldToCast:
    number = card.what.rpartition(" ")[2]
    if card.is_conditioning:
        return MoldToCast(card.label, number, THROWN)
    return MoldToCast(card.label, number, HELD if mold and judge_due(mold) else "")
