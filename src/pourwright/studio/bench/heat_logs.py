"""Thermometer logs as the book has them, and which of them are of the plaster at hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from pourwright.ledger.documents import LotDoc, MoldDoc, Quantity, SpareDoc, ThermometerDoc
from pourwright.ledger.labels import LETTERS
from pourwright.ledger.state.apply import counters
from pourwright.ledger.things import Things
from pourwright.studio.bench.clocks import TimedStep, minutes_between, steps_of
from pourwright.studio.lots import last_lots

USUAL_ROOM_C = 20.0
"""The room where none was told: a room. [degC]"""
START_WITHIN_MIN = 10.0
"""A first reading this early is the temperature of the mix: before that little has set. [min]"""
SAME_CONSISTENCY = 0.5
"""Consistencies this near are one. [parts of water to 100 of plaster]"""
LATEST = 10
"""How many logs count: the latest ones; plaster and weather change."""
EDITIONS = 40
"""Editions, the last ones planned, whose logs are looked through."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatLog:
    """A thermometer's log of one batch, with what a curve through it needs.

    Parameters
    ----------
    key : str
        The entry's id.
    edition, name : str
        What was poured: the edition, and the batch, mold or spare part.
    mold, spare, batch : str
        The same apart; empty where it was not told.
    at : str
        When it was written down.
    lot : str
        The plaster's lot, or empty.
    minutes, degc : tuple of float
        The readings, counted from plaster meeting water. [min], [degC]
    thickness_mm, open_faces
        Of the part that was logged. [mm], [-]
    consistency : float
        Parts of water to 100 of plaster; told, or the studio's. [-]
    start_c : float or None
        Temperature of the mix as it was poured. [degC]
    room_c : float
        Temperature of the room. [degC]
    room_told : bool
        Whether somebody told it.
    poured_min, opened_min : float or None
        When it was poured and opened, counted from plaster meeting water. [min]
    """

    key: str
    edition: str
    name: str
    mold: str
    spare: str
    batch: str
    at: str
    lot: str
    minutes: tuple[float, ...]
    degc: tuple[float, ...]
    thickness_mm: float
    open_faces: int
    consistency: float
    start_c: float | None
    room_c: float
    room_told: bool
    poured_min: float | None
    opened_min: float | None


def logs_of(things: Things, edition: str, consistency: float) -> list[HeatLog]:
    """Return an edition's thermometer logs, the latest in front."""
    docs = things.of(ThermometerDoc, edition)
    steps = steps_of(things, edition) if docs else {}
    found = [_log(key, doc, steps, consistency) for key, doc in docs]
    return sorted(found, key=lambda one: one.at, reverse=True)


def logs_of_plaster(things: Things, consistency: float, lot: str = "") -> list[HeatLog]:
    """Return the latest logs of one plaster at one consistency, of all editions.

    Parameters
    ----------
    things : Things
        The book's documents.
    consistency : float
        Parts of water to 100 of plaster. [-]
    lot : str, optional
        The plaster's lot: logs of lots with another name on the bag are left out. "Pottery plaster,
        May" and "Pottery plaster, June" are one plaster.
    """
    everything = [
        log
        for edition in counters(things).editions[-EDITIONS:]
        for log in logs_of(things, edition, consistency)
    ]
    plaster = _plaster_named(things, lot)
    alike = [
        one
        for one in sorted(everything, key=lambda log: log.at, reverse=True)
        if abs(one.consistency - consistency) <= SAME_CONSISTENCY
        and ("" in (plaster, mine := _plaster_named(things, one.lot)) or plaster == mine)
    ]
    return alike[:LATEST]


def logs_of_mold(things: Things, label: str, consistency: float) -> list[HeatLog]:
    """Return the logs of a mold's batch, and of spare parts that were swapped into it.

    A batch and a mold belong together where both were poured at the same second.
    """
    mold = things.get(MoldDoc, label)
    if mold is None:
        return []
    swapped = {part.spare for part in mold.parts.values() if part.spare}
    steps = steps_of(things, mold.edition)
    return [
        log
        for log in logs_of(things, mold.edition, consistency)
        if log.mold == label
        or log.spare in swapped
        or (len(mold.poured_at) > _A_DAY and mold.poured_at in _poured_at(things, log, steps))
    ]


def newest_plaster(things: Things) -> str:
    """Return the plaster lot that was opened last, empty if the book has none."""
    return next((name for name, _ in last_lots(things, "plaster")), "")


def batch_steps(steps: Mapping[str, Sequence[TimedStep]], batch: str) -> dict[str, TimedStep]:
    """Return the steps of a batch by their names; ``batch 4`` is meant by ``batch 4: 2 molds``."""
    short = batch.partition(":")[0].strip().lower()
    mine = next((one for what, one in steps.items() if what.partition(":")[0].lower() == short), ())
    return {one.name: one for one in mine}


_A_DAY = len("2027-03-01")


def _log(
    key: str, doc: ThermometerDoc, steps: Mapping[str, Sequence[TimedStep]], consistency: float
) -> HeatLog:
    minutes, degc = tuple(map(float, doc.after_min)), tuple(map(float, doc.degc))
    room, mine = _number(doc.room_temperature), batch_steps(steps, doc.batch or "-")
    start = _number(doc.mix_temperature)
    if start is None and minutes[0] <= START_WITHIN_MIN:
        start = degc[0]
    return HeatLog(
        key=key,
        edition=doc.edition,
        name=doc.batch or doc.mold or doc.spare or "",
        mold=doc.mold or "",
        spare=doc.spare or "",
        batch=doc.batch or "",
        at=doc.at,
        lot=doc.lot or "",
        minutes=minutes,
        degc=degc,
        thickness_mm=float(doc.thickness.value),
        open_faces=1 if doc.one_face else 2,
        consistency=float(doc.consistency or consistency),
        start_c=start,
        room_c=USUAL_ROOM_C if room is None else room,
        room_told=room is not None,
        poured_min=_or(_number(doc.poured), _since_contact(mine, "set")),
        opened_min=_since_contact(mine, "open"),
    )


def _number(quantity: Quantity | None) -> float | None:
    return None if quantity is None else float(quantity.value)


def _or(told: float | None, timed: float | None) -> float | None:
    return timed if told is None else told


def _since_contact(steps: Mapping[str, TimedStep], name: str) -> float | None:
    """Return how long after sifting began a step of a batch did. [min]"""
    if "sift" not in steps or name not in steps:
        return None
    minutes = minutes_between(steps["sift"].started, steps[name].started)
    return minutes if 0 < minutes < 24 * 60 else None


def _poured_at(things: Things, log: HeatLog, steps: Mapping[str, Sequence[TimedStep]]) -> set[str]:
    """Return the instants at which what was logged was poured, as the book writes them."""
    docs = (things.get(MoldDoc, log.mold), things.get(SpareDoc, log.spare))
    found = {doc.poured_at for doc in docs if doc}
    begun = batch_steps(steps, log.batch) if log.batch else {}
    pour = begun.get("pour") or begun.get("set")
    return found | ({_written(pour.started)} if pour else set())


def _written(moment: datetime) -> str:
    return moment.isoformat(timespec="seconds").replace("+00:00", "Z")


def _plaster_named(things: Things, lot: str) -> str:
    """Return what a plaster lot's bag says, which bag it is left out; empty if nothing is known."""
    doc = things.get(LotDoc, lot) if lot.startswith(LETTERS["plaster"]) else None
    return doc.name.partition(",")[0].strip().lower() if doc else ""
