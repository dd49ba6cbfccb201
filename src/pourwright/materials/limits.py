"""Limits that others have set, as data: dust, silica, burns, drains, storage, food contact.

Each carries its source and the year. They are shown where the step is and are never
a verdict: local codes, the product's safety sheet and licensed practice decide.

What this page leaves out: everything your own country or town has set. The list is
not complete, and a limit may have changed since it was read.
"""

from __future__ import annotations

from dataclasses import dataclass


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


_DUST = "mg/m3, 8 h"
_FOOD_CODE = "FDA Food Code 4-101.13 as WAC 246-215-04110 (filed 2020, in force 2022)"
_GUIDE = "FDA CPG 545.400, leached as in ASTM C738 (undated copy)"
_EU_FOOD = "Directive 84/500/EEC (1984), article 2"
_ISO_FOOD = "ISO 6486-2 (1999), second-hand, a table that compares countries"
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
    Limit("food contact", "US, FDA", "flatware: internal depth to the rim up to this; hollow ware is deeper", 25.0,
          "mm", _GUIDE),
    Limit("food contact", "US, FDA", "large hollow ware: capacity from this on; small hollow ware holds less", 1.1,
          "l", _GUIDE),
    Limit("food contact", "US, FDA", "lead, flatware", 3.0, "mg/l", _FOOD_CODE),
    Limit("food contact", "US, FDA", "lead, small hollow ware without cups and mugs", 2.0, "mg/l", _FOOD_CODE),
    Limit("food contact", "US, FDA", "lead, large hollow ware without pitchers", 1.0, "mg/l", _FOOD_CODE),
    Limit("food contact", "US, FDA", "lead, cups, mugs and pitchers", 0.5, "mg/l", _FOOD_CODE),
    Limit("food contact", "US, FDA", "cadmium, flatware, mean of 6", 0.5, "mg/l", _GUIDE),
    Limit("food contact", "US, FDA", "cadmium, small hollow ware, any of 6", 0.5, "mg/l", _GUIDE),
    Limit("food contact", "US, FDA", "cadmium, large hollow ware, any of 6", 0.25, "mg/l", _GUIDE),
    Limit("food contact", "US, FDA", "decorative ware that could be taken for tableware: a label and a permanent"
          " statement that it is not for food and may poison it, or a hole through it", None, "",
          "Federal Register vol. 59 no. 8, 94-706 (12 January 1994), 21 CFR 109"),
    Limit("food contact", "EU", "lead, flat ware and what cannot be filled", 0.8, "mg/dm2", _EU_FOOD),
    Limit("food contact", "EU", "lead, ware that can be filled", 4.0, "mg/l", _EU_FOOD),
    Limit("food contact", "EU", "lead, cooking ware and storage over 3 l", 1.5, "mg/l", _EU_FOOD),
    Limit("food contact", "EU", "cadmium, flat ware and what cannot be filled", 0.07, "mg/dm2", _EU_FOOD),
    Limit("food contact", "EU", "cadmium, ware that can be filled", 0.3, "mg/l", _EU_FOOD),
    Limit("food contact", "EU", "cadmium, cooking ware and storage over 3 l", 0.1, "mg/l", _EU_FOOD),
    Limit("food contact", "EU", "up to half over a limit is let pass if three others of the kind or more are"
          " within it on average and none is half over", None, "", "Directive 84/500/EEC (1984), article 2 (5)"),
    Limit("food contact", "EU", "how it is tested: 4 % acetic acid by volume, 22 degC give or take 2, for 24 hours"
          " give or take a half", None, "", "Directive 84/500/EEC (1984), annex I"),
    Limit("food contact", "ISO", "lead, flatware", 0.8, "mg/dm2", _ISO_FOOD),
    Limit("food contact", "ISO", "lead, small hollow ware", 2.0, "mg/l", _ISO_FOOD),
    Limit("food contact", "ISO", "lead, large hollow ware from 1.1 l", 1.0, "mg/l", _ISO_FOOD),
    Limit("food contact", "ISO", "cadmium, flatware", 0.07, "mg/dm2", _ISO_FOOD),
    Limit("food contact", "ISO", "cadmium, small hollow ware", 0.5, "mg/l", _ISO_FOOD),
    Limit("food contact", "ISO", "cadmium, large hollow ware from 1.1 l", 0.25, "mg/l", _ISO_FOOD),
)  # fmt: skip

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
