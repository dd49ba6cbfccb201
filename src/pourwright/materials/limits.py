"""Limits that others have set, as data: dust, silica, burns, drains, storage.

Each carries its source and the year. They are shown where the step is and are never
a verdict: local codes, the product's safety sheet and licensed practice decide.

What this page leaves out: everything your own country or town has set. The list is
not complete, and a limit may have changed since it was read.
"""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.errors import BadInput


@dataclass(frozen=True, slots=True)
class Limit:
    """A published limit.

    Parameters
    ----------
    subject : str
        What it is about: ``plaster dust``, ``silica``, ``burns``, ``drains``, ``storage``.
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


_DUST = "mg/m3, 8 h"
LIMITS: tuple[Limit, ...] = (
    Limit("plaster dust", "US, OSHA", "total dust of plaster of Paris", 15.0, _DUST,
          "NIOSH, 1988 OSHA PEL documentation, CAS 7778-18-9 (1989)"),
    Limit("plaster dust", "US, OSHA", "respirable dust of plaster of Paris", 5.0, _DUST,
          "NIOSH, 1988 OSHA PEL documentation, CAS 7778-18-9 (1989)"),
    Limit("plaster dust", "US, NIOSH", "total dust, recommended", 10.0, _DUST,
          "second-hand, two public pages on plaster of Paris"),
    Limit("plaster dust", "US, NIOSH", "respirable dust, recommended", 5.0, _DUST,
          "second-hand, two public pages on plaster of Paris"),
    Limit("plaster dust", "US, ACGIH", "inhalable calcium sulfate", 10.0, _DUST,
          "Haz-Map, agent 337, calcium sulfate"),
    Limit("plaster dust", "Germany, MAK", "inhalable calcium sulfate", 4.0, _DUST,
          "Haz-Map, agent 337, calcium sulfate"),
    Limit("plaster dust", "Germany, MAK", "respirable calcium sulfate", 1.5, _DUST,
          "Haz-Map, agent 337, calcium sulfate"),
    Limit("plaster dust", "UK, WEL", "inhalable dust of plaster of Paris", 10.0, _DUST,
          "second-hand, public page on plaster"),
    Limit("plaster dust", "UK, WEL", "respirable dust of plaster of Paris", 4.0, _DUST,
          "second-hand, public page on plaster"),
    Limit("silica", "US, OSHA", "respirable crystalline silica, permissible", 0.050, _DUST,
          "29 CFR 1910.1053 (2016), second-hand"),
    Limit("silica", "US, OSHA", "respirable crystalline silica, action level", 0.025, _DUST,
          "29 CFR 1910.1053 (2016), second-hand"),
    Limit("silica", "US, NIOSH", "respirable crystalline silica, recommended", 0.05, _DUST,
          "NIOSH Manual of Analytical Methods, chapter R, table 2"),
    Limit("silica", "US, ACGIH", "respirable crystalline silica", 0.025, _DUST,
          "construction safety database, second-hand"),
    Limit("silica", "EU", "respirable crystalline silica, binding", 0.1, _DUST,
          "Directive 2004/37/EC, annex III"),
    Limit("silica", "UK, WEL", "respirable crystalline silica", 0.1, _DUST, "EH40", from_memory=True),
    Limit("burns", "a clinical study", "above this under setting plaster a second-degree burn takes"
          " 8 minutes, a third-degree burn 12", 49.0, "degC",
          "Hutchinson and Hutchinson, J. Orthop. Surg. Res. 3 (2008) 10"),
    Limit("burns", "a clinical study", "the lowest skin temperature that did damage, after 6 hours", 44.0, "degC",
          "Moritz and Henriques (1947), second-hand"),
    Limit("burns", "UK, a court's record", "never cast a hand, foot or face in bulk plaster: a pupil lost eight"
          " digits, up to this temperature", 60.0, "degC", "press reports of the hearing (October 2009)"),
    Limit("drains", "UK", "no plaster, wet or dry, to a drain or surface water: let it set, then bin it", None, "",
          "NetRegs, plaster and plasterboard"),
    Limit("drains", "UK", "gypsum waste apart from what rots: together they give off hydrogen sulfide", None, "",
          "NetRegs, plaster and plasterboard"),
    Limit("storage", "common practice", "use plaster within so many months, kept cool and dry", 6.0, "months",
          "second-hand, three public pages"),
)  # fmt: skip

CAUTIONS = {
    "plaster dust": "Dry plaster and clay dust: wet-clean, no dry sanding, open the bag gently; a respirator"
    " comes second. Clay is the silica hazard; plaster may carry traces, see its safety sheet.",
    "silica": "Clay and glaze dust holds quartz that scars lungs for good: wet-clean, never sweep, no dry"
    " sanding; a respirator comes second.",
    "burns": "Setting plaster is hot enough to burn: never a hand, foot or face in it.",
    "drains": "Plaster and slip never go down a drain: settle a day, pour off the water, bin what set.",
    "storage": "Lumpy plaster has drawn water: not for molds. Test a small batch of an old bag.",
}
DEFERS = "Local codes, the product's safety sheet and licensed practice decide."


def limits_on(subject: str) -> tuple[Limit, ...]:
    """Return the published limits on a subject.

    Parameters
    ----------
    subject : str
        ``plaster dust``, ``silica``, ``burns``, ``drains`` or ``storage``.

    Returns
    -------
    tuple of Limit
        In the order of the list, with their sources.

    Raises
    ------
    BadInput
        If there is none under that name.

    Examples
    --------
    >>> limits_on("burns")[1].value
    44.0
    """
    found = tuple(limit for limit in LIMITS if limit.subject == subject)
    if not found:
        names = ", ".join(dict.fromkeys(limit.subject for limit in LIMITS))
        raise BadInput.one("subject", subject, f"there are limits on {names}")
    return found
