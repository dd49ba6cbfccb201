"""What is to be bought for all editions in work, against the lots there are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

from msgspec.structs import replace

from pourwright.briefs.folder import brief_here
from pourwright.briefs.records import Brief, Studio
from pourwright.ledger.documents import EditionDoc, LotDoc, MoldDoc
from pourwright.ledger.entry import STUDIO
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.said import many, names_said
from pourwright.ledger.things import Things
from pourwright.materials.plaster.mix import batch_for_volume
from pourwright.plan.buying import counted
from pourwright.plan.case import part_volume_l, plaster_of
from pourwright.plan.plan import Plan, ToBuy
from pourwright.quantities import show
from pourwright.report.buying import amount, bought
from pourwright.report.saying import Say
from pourwright.studio.bench.clocks import steps_of
from pourwright.studio.bench.plaster import poured_molds
from pourwright.studio.editions import MOST_OPEN, known_editions
from pourwright.studio.lots import AT_ONCE, last_lots

ONE_HEAP = ("plaster", "rubber")
"""What all editions take from, and what lies there of it is told by the book's lots."""


class Making(NamedTuple):
    """An edition that is made in this studio, with its brief and the studio's file."""

    edition: str
    brief: Brief
    studio: Studio

    @property
    def mixed_for_a_mold_kg(self) -> float:
        """The plaster that one complete mold takes, with what is mixed to spare. [kg]"""
        return plaster_of_a_mold_kg(self.brief, self.studio) * (1 + self.studio.plaster.spare)


class Planned(NamedTuple):
    """An edition that is made, what it is called, and its plan that goes on from the book."""

    making: Making
    name: str
    plan: Plan


class Purchase(NamedTuple):
    """Something to buy, and the names of the editions that it is for."""

    row: ToBuy
    names: tuple[str, ...]


def purchases(
    things: Things, planned: Sequence[Planned], making: Sequence[Making]
) -> tuple[Purchase, ...]:
    """Return what to buy for all editions that are worked on, the soonest first.

    What there is, is counted by all editions that may have poured from the lots; see `making_here`.

    Notes
    -----
    Plaster and rubber are one heap for all editions: what each needs is added up, and what lies
    there is taken off once. Slip, glaze, straps and boxes are an edition's own.
    """
    there = there_by_the_book(things, making)
    found: dict[tuple[str, str], Purchase] = {}
    for (edition, _, _), name, plan in planned:
        for row in plan.to_buy:
            key = row.what, "" if row.what in ONE_HEAP else edition
            before = found.get(key)
            found[key] = Purchase(row, (name,)) if before is None else _with(before, row, name)
    sums = (
        one._replace(row=counted(one.row, there.get(one.row.what, 0.0))) for one in found.values()
    )
    return tuple(sorted((one for one in sums if one.row.count), key=lambda one: one.row.by))


def making_here(reading: Reading, folder: Path, today: date) -> tuple[Making, ...]:
    """Return the editions that may have poured from the lots there are, as far as they have a brief.

    These are the open ones and those that were closed last: what is left of a lot is told by all.
    """
    docs = known_editions(reading)[:MOST_OPEN]
    told = [(doc.edition, brief_here(folder, doc.edition, today)) for doc in docs]
    return tuple(
        Making(edition, here.brief, here.studio)
        for edition, here in told
        if here and here.brief and here.studio
    )


def planned_here(
    folder: Path, plans: Sequence[tuple[str, str, Plan]], today: date
) -> tuple[Planned, ...]:
    """Return the editions among some that have a plan, with their briefs.

    Parameters
    ----------
    folder : Path
        The studio's folder.
    plans : sequence of (str, str, Plan)
        Id and name of each edition, and its plan.
    today : date
        The day it is.
    """
    found = []
    for edition, name, plan in plans:
        here = brief_here(folder, edition, today)
        if here is not None and here.brief is not None and here.studio is not None:
            found.append(Planned(Making(edition, here.brief, here.studio), name, plan))
    return tuple(found)


class ToBuyShown(NamedTuple):
    """A purchase in words: what to ask for in the shop, when it is first used, and what it rests on.

    Parameters
    ----------
    what : str
        Such as plaster.
    words : str
        Such as "3 bags of plaster, 25 kg each".
    by : date
        The day on which it is first used.
    first_used, need, there, names : str
        The same day in words, how much is needed and there (nothing of pieces), and for which
        editions.
    """

    what: str
    words: str
    by: date
    first_used: str
    need: str
    there: str
    names: str


def to_buy_shown(
    things: Things, planned: Sequence[Planned], making: Sequence[Making]
) -> tuple[ToBuyShown, ...]:
    """Return what to buy for all editions that are worked on, in the shop's units; see `purchases`."""
    if not planned:
        return ()
    say = Say.of(planned[0].plan)
    return tuple(
        ToBuyShown(
            what=row.what,
            words=bought(row, say),
            by=row.by,
            first_used=say.day(row.by, weekday=False),
            need=amount(row, row.need, say) if row.unit else "",
            there=amount(row, row.there, say) if row.there else "",
            names=names_said(names),
        )
        for row, names in purchases(things, planned, making)
    )


def not_counted(planned: Sequence[Planned]) -> tuple[str, ...]:
    """Return a sentence for each thing of which the briefs do not tell how much is needed."""
    no_slip = [one for one in planned if one.plan.casting.slip_for_edition_l is None]
    drained = [one.name for one in no_slip if one.plan.casting.fill_l is not None]
    slip = [one.name for one in no_slip if one.plan.casting.fill_l is None]
    glaze = [one.name for one in planned if one.plan.glaze.dry_kg is None]
    rubber = [one.name for one in planned if _lacks_rubber(one)]
    told = (
        ("Rubber", rubber, "how much the masters take"),
        ("Slip", drained, "what is drained from a mold"),
        ("Slip", slip, "what a mold takes to fill and what is drained from it"),
        ("Glaze", glaze, "the area to glaze and its coat"),
    )
    return tuple(
        f"{what} for {names_said(names)} is not counted before the brief tells {need}."
        for what, names, need in told
        if names
    )


def _lacks_rubber(one: Planned) -> bool:
    """Return whether masters are still to be made and the brief does not tell their rubber."""
    masters = any(work.stage == "masters" for day in one.plan.calendar for work in day.doing)
    return masters and one.making.brief.preparation.rubber_kg is None


def _with(before: Purchase, row: ToBuy, name: str) -> Purchase:
    """Return a purchase with what another edition needs of the same."""
    need, by = before.row.need + row.need, min(before.row.by, row.by)
    return Purchase(replace(before.row, need=need, by=by), (*before.names, name))


def there_by_the_book(things: Things, making: Sequence[Making]) -> dict[str, float]:
    """Return the plaster and the rubber that lie in the studio, for some editions together. [kg]

    Of plaster, what these editions' molds took is taken off. Rubber is counted while no master is
    made of it.
    """
    used = _used_of_lots(things, making)
    return {what: sum(_left_of_lots(things, what, used).values()) for what in ONE_HEAP}


def _used_of_lots(things: Things, making: Sequence[Making]) -> dict[str, float]:
    """Return what some editions' molds took of each lot by their briefs, by its label. [kg]

    What is poured and not yet in the book is taken off the lot mixed or delivered last, as the bench
    offers it. Test mixes and plaster that set in the bag are not seen.
    """
    used: dict[str, float] = {}
    for one in making:
        edition = things.get(EditionDoc, one.edition)
        is_over = edition is not None and edition.state == "closed"
        steps = {} if is_over else steps_of(things, one.edition)
        poured = poured_molds(things, one.edition, steps, one.brief, one.studio)
        of_the_last = [label for label, _ in last_lots(things, "plaster")[:1]] * len(poured)
        for lot in (*_lots_of_molds(things, one.edition), *of_the_last):
            used[lot] = used.get(lot, 0.0) + one.mixed_for_a_mold_kg
    return used


def _left_of_lots(things: Things, what: str, used: Mapping[str, float]) -> dict[str, float]:
    """Return what is left of each lot whose mass the book knows, by its label. [kg]"""
    return {
        label: max(float(lot.mass.value) - used.get(label, 0.0), 0.0)
        for label, lot in last_lots(things, what)
        if lot.mass
    }


class ThereTold(NamedTuple):
    """What is counted as there of a heap, and from where.

    Parameters
    ----------
    what : str
        Such as plaster.
    words : str
        What is counted, and what is not.
    to_weigh : tuple of (str, str)
        The lots whose mass the book does not know: label, and the address that tells it.
    """

    what: str
    words: str
    to_weigh: tuple[tuple[str, str], ...]


def there_told(
    reading: Reading, planned: Sequence[Planned], making: Sequence[Making], units: str
) -> tuple[ThereTold, ...]:
    """Return what is counted as there of all that editions take from one heap, as far as one needs it."""
    things, needed = reading.things, {row.what for one in planned for row in one.plan.to_buy}
    used = _used_of_lots(things, making)
    return tuple(
        _there_told(reading, what, _left_of_lots(things, what, used), planned, units)
        for what in ONE_HEAP
        if what in needed
    )


def _there_told(
    reading: Reading,
    what: str,
    left: Mapping[str, float],
    planned: Sequence[Planned],
    units: str,
) -> ThereTold:
    things = reading.things
    masses = [f"{show(kg, 'mass', units)} of {label}" for label, kg in left.items() if kg]
    said = f"{what.capitalize()} there: none counted. What stands here counts once it is entered."
    if left and not masses:
        said = f"{what.capitalize()} there: none, because the book's lots are used up."
    if masses:
        after = ", less what its molds took by their briefs" if what == "plaster" else ""
        said = f"{what.capitalize()} there: {names_said(masses)}, by the book's lots{after}."
    unweighed = [label for label, lot in last_lots(things, what) if not lot.mass]
    if unweighed:
        said += f" Not counted: {names_said(unweighed)}, entered without a mass."
    unnamed = {one.name: _poured_of_no_lot(things, one.making.edition) for one in planned}
    if what == "plaster" and any(unnamed.values()):
        molds = [f"{many(n, 'mold')} of {name}" for name, n in unnamed.items() if n]
        said += f" {names_said(molds)} poured without a lot: what they took is taken off none."
    return ThereTold(what, said, tuple((one, _entered_at(reading, one)) for one in unweighed))


def _poured_of_no_lot(things: Things, edition: str) -> int:
    return len(things.of(MoldDoc, edition)) - len(_lots_of_molds(things, edition))


def _entered_at(reading: Reading, label: str) -> str:
    """Return where the entry of a lot is corrected; the note of another lot may name it too."""
    named = reading.latest(AT_ONCE, scope=STUDIO, kinds=("lot-mixed",), words=[f"{label} "])
    mixed = next((one for one in named if label in one.body["made"]), None)
    return f"/records/{mixed.seq}/correct" if mixed else f"/lots/{label}"


class LeftOfLot(NamedTuple):
    """What is left of a lot of plaster, of what it held. [kg]"""

    left_kg: float
    held_kg: float


def left_of_plaster(reading: Reading, label: str, making: Sequence[Making]) -> LeftOfLot | None:
    """Return what is left of a lot of plaster, by the molds that were poured from it.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    label : str
        The lot's, such as ``B-001``.
    making : sequence of Making
        The editions that may have poured from it and whose brief can be read; see `making_here`.

    Returns
    -------
    LeftOfLot or None
        None if the book does not know the lot's mass, or no brief tells what a mold of it took.
    """
    things = reading.things
    lot = things.get(LotDoc, label)
    if lot is None or lot.mass is None or lot.what != "plaster":
        return None
    told = [one.edition for one in making]
    untold = [one.edition for one in known_editions(reading)[:MOST_OPEN] if one.edition not in told]
    if any(label in _lots_of_molds(things, edition) for edition in untold):
        return None
    held_kg = float(lot.mass.value)
    used_kg = _used_of_lots(things, making).get(label, 0.0)
    return LeftOfLot(max(held_kg - used_kg, 0.0), held_kg)


def plaster_of_a_mold_kg(brief: Brief, studio: Studio) -> float:
    """Return the plaster in one complete mold, nothing spare. [kg]"""
    plaster = plaster_of(studio)
    volume = sum(part_volume_l(part, plaster) for part in brief.mold.parts)
    return float(batch_for_volume(volume, plaster).plaster_kg)


def mold_volume_l(brief: Brief, studio: Studio) -> float:
    """Return the volume of one complete mold. [l]"""
    return sum(part_volume_l(part, plaster_of(studio)) for part in brief.mold.parts)


def _lots_of_molds(things: Things, edition: str) -> list[str]:
    """Return the lot of each mold that tells one: that of its first part that was not swapped in."""
    firsts = (
        next((part.lot for part in mold.parts.values() if not part.spare), None)
        for _, mold in things.of(MoldDoc, edition)
    )
    return [lot for lot in firsts if lot]
