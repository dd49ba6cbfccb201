"""Laws fitted through thermometer logs since the server started, kept while they hold."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from pourwright.studio.bench.heat_fits import windows_of
from pourwright.studio.bench.heat_logs import logs_of_plaster, newest_plaster
from pourwright.web import heavy
from pourwright.web.desk import Desk

if TYPE_CHECKING:
    from pourwright.studio.bench.heat_fits import HeatFit, HeatWindows
    from pourwright.studio.bench.heat_logs import HeatLog

_MOST_KEPT = 200
_USUAL_CONSISTENCY = 70.0


def fits_now(desk: Desk, logs: Sequence[HeatLog]) -> dict[HeatLog, HeatFit]:
    """Return the law through each log, fitted in the worker if it has to be.

    A log that was corrected is another log.
    """
    kept: dict[HeatLog, HeatFit] = desk.__dict__.setdefault("heat_fits", {})
    new = [one for one in dict.fromkeys(logs) if one not in kept]
    if new:
        found = desk.worker.call(heavy.heat_fits, new)
        if len(kept) + len(new) > _MOST_KEPT:
            kept.clear()
        kept.update(zip(new, found, strict=True))
    missing = [one for one in logs if one not in kept]  # another page cleared them meanwhile
    return {one: kept[one] for one in logs} if not missing else fits_now(desk, logs)


class PlasterHeat(NamedTuple):
    """The plaster at hand: its lot, its logs with the latest first, the law through each, the windows of all."""

    lot: str
    logs: list[HeatLog]
    fits: dict[HeatLog, HeatFit]
    windows: HeatWindows


def plaster_heat(desk: Desk) -> PlasterHeat:
    """Return what thermometer logs say of the plaster at hand."""
    with desk.book.reading() as reading:
        lot = newest_plaster(reading.things)
        logs = logs_of_plaster(reading.things, consistency_of(desk), lot)
    fits = fits_now(desk, logs)
    return PlasterHeat(lot, logs, fits, windows_of(logs, fits))


def consistency_of(desk: Desk) -> float:
    """Return the studio's parts of water to 100 of plaster; the usual ones until it is told."""
    studio = desk.studio
    return studio.plaster.consistency if studio else _USUAL_CONSISTENCY
