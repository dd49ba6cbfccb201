"""A spare is cut and its wall measured: the molds that still stand full get the time of that wall."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from pourwright.errors import BadInput, as_written
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.said import listed
from pourwright.quantities import read, show
from pourwright.studio.bench.clocks import clock_text
from pourwright.studio.bench.slip import WALL, SlipCard, slip_bench


def retimed(
    reading: Reading, folder: Path, typed: Mapping[str, Any], now: datetime, units: str
) -> tuple[list[dict[str, Any]], str]:
    """Return the commands for a wall that was measured in a cut spare, and what they do in words.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    folder : Path
        The studio's.
    typed : mapping
        ``cut`` (a mold's label), ``wall``, ``wanted`` and ``id``.
    now : datetime
        The instant of the cut.
    units : {"metric", "us"}
        Whose inches are meant.

    Raises
    ------
    BadInput
        If a wall cannot be read, or the mold does not stand full.
    """
    cut = str(typed.get("cut", ""))
    bench = next(
        (b for b in slip_bench(reading, folder, now) if cut in _standing(b["cards"])), None
    )
    if bench is None:
        right = "choose a mold that stands full"
        raise BadInput.one("cut", as_written(cut) if cut else None, right)
    found_mm, wanted_mm = (
        _wall(name, typed.get(name) or (bench["wall"] if name == "wanted" else None))
        for name in ("wall", "wanted")
    )
    commands, whole_s = retimings(bench["cards"], cut, found_mm, wanted_mm, now)
    prefix = str(typed.get("id") or f"wall-{now.timestamp():.3f}")
    numbered = [one | {"id": f"{prefix}-{n}"} for n, one in enumerate(commands)]
    molds = listed(_standing(bench["cards"]))
    stands = f"{molds} {'stands' if len(commands) == 1 else 'stand'} {clock_text(whole_s)} in all"
    return numbered, f"Wall {show(found_mm, 'length', units)} in the spare of {cut}: {stands}."


def _standing(cards: Sequence[SlipCard]) -> list[str]:
    return [card.label for card in cards if card.phase == "fill"]


def _wall(name: str, typed: Any) -> float:
    if not typed:
        raise BadInput.one(name, None, "write the wall, such as 4.2 mm")
    wall_mm = read(str(typed), "length", path=name)
    if not 0.5 <= wall_mm <= 60:
        raise BadInput.one(name, as_written(str(typed)), "a cast wall is 0.5 to 60 mm")
    return wall_mm


def retimings(
    cards: Sequence[SlipCard], cut: str, found_mm: float, wanted_mm: float, now: datetime
) -> tuple[list[dict[str, Any]], float]:
    """Return the commands that give the molds still standing the time of a cut spare's wall.

    Parameters
    ----------
    cards : sequence of SlipCard
        The cards of one edition.
    cut : str
        The mold whose spare was cut; it stands.
    found_mm, wanted_mm : float
        The wall that was found, and the wall wanted. [mm]
    now : datetime
        The instant of the cut.

    Returns
    -------
    tuple of (list of dict, float)
        A command for each mold that stands full, and the whole time since the filling [s]:
        a step such as ``wall 4.2 mm at 8.0 min`` with that time as its target.

    Raises
    ------
    StudioError
        If the wall cannot be worked with.
    """
    from pourwright.materials.casting.fit import minutes_still_to_stand

    standing = {card.label: card for card in cards if card.phase == "fill"}
    then = _stood_min(standing[cut], now)
    left = minutes_still_to_stand(wanted_mm, found_mm, then, then)
    # The rate of the cut spare is that of every mold of this slip, so the whole time is one for all.
    whole_s = max(1, round(60 * (float(left.best or 0.0) + then)))
    step = f"{WALL}{found_mm:.1f} mm at {then:.1f} min"
    commands: list[dict[str, Any]] = [
        {
            "do": "start-step", "edition": card.edition, "what": card.what, "step": step,
            "target": f"{whole_s} s",
        }
        for card in standing.values()
    ]  # fmt: skip
    return commands, whole_s


def _stood_min(card: SlipCard, now: datetime) -> float:
    """Return how long a mold has stood full. [min]"""
    start_ms = next(panel.start_ms for panel in card.panels if panel.phase == "fill")
    return max((now.timestamp() - (start_ms or 0) / 1000) / 60, 0.02)
