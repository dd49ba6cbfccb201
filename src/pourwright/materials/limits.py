"""Limits that others have set, as data: dust, silica, burns, drains, storage, food contact.

The table itself is ``limits.csv``, one limit a line, each with its source and the year, and
"read" or "memory" for how it was found. They are shown where the step is and are never a
verdict: local codes, the product's safety sheet and licensed practice decide.

What this page leaves out: everything your own country or town has set. The list is
not complete, and a limit may have changed since it was read.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from importlib.resources import files


@dataclass(frozen=True, slots=True)
class Limit:
    """A published limit.

    Parameters
    ----------
    subject : str
        What it is about: ``plaster dust``, ``silica``, ``burns``, ``drains``, ``storage``,
        ``food contact``.
    where : str
        Country or body that set it.
    says : str
        The limit in words.
    value : float or None
        Its figure, where there is one. [as in ``unit``]
    unit : str
        Unit of the figure.
    source : str
        Where it was read, with the year.
    from_memory : bool
        True where no source could be read: look it up before you rely on it.
    """

    subject: str
    where: str
    says: str
    value: float | None
    unit: str
    source: str
    from_memory: bool = False


def _limits() -> tuple[Limit, ...]:
    text = files("pourwright.materials").joinpath("limits.csv").read_text("utf-8")
    return tuple(
        Limit(
            row["subject"],
            row["where"],
            row["says"],
            float(row["value"]) if row["value"] else None,
            row["unit"],
            row["source"],
            from_memory=row["grade"] == "memory",
        )
        for row in csv.DictReader(text.splitlines())
    )


LIMITS = _limits()
CAUTIONS = {
    "plaster dust": "Dry plaster and clay dust: wet-clean, no dry sanding, open the bag gently; a respirator"
    " comes second. Clay is the silica hazard; plaster may carry traces, see its safety sheet.",
    "silica": "Clay and glaze dust holds quartz that scars lungs for good: wet-clean, never sweep, no dry"
    " sanding; a respirator comes second.",
    "burns": "Setting plaster is hot enough to burn: never a hand, foot or face in it.",
    "drains": "Plaster and slip never go down a drain: settle a day, pour off the water, bin what set.",
    "storage": "Lumpy plaster has drawn water: not for molds. Test a small batch of an old bag.",
    "food contact": "A laboratory tests the finished piece, fired as it is sold; no recipe and no firing"
    " answers for it.",
}
DEFERS = "Local codes, the product's safety sheet and licensed practice decide."
