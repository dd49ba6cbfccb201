"""What can hurt, at the step where it can, with published figures and who decides.

Nothing here is a verdict on a room, a kiln or a piece. Each text defers to the
product's safety sheet, to local codes and to licensed practice.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal, get_args

Work = Literal["rubber", "plaster", "drying", "slip", "bisque", "glaze", "third", "numbers"]
"""Work that a plan may hold; plans without masters to make hold no rubber."""

ALL_WORK: tuple[str, ...] = get_args(Work)


@dataclass(frozen=True, slots=True)
class CareText:
    """One caution.

    ``step`` is the section of the plan beside which it stands, ``work`` what must
    be in the plan for it to be shown, and ``source`` where its figures were read.
    ``text_us`` is the text for a studio that reads °F, where it holds a temperature.
    """

    step: str
    work: Work
    title: str
    text: str
    source: str
    text_us: str = ""

    def said(self, units: str) -> str:
        """Return the text with the temperatures of the studio's own scale first."""
        return self.text_us if units == "us" and self.text_us else self.text


_FOOD = (
    "If a piece will hold either, a laboratory tests the finished piece. US limits on what is "
    "leached, lead then cadmium: flatware 3.0 and 0.5 mg/l, small hollow ware 2.0 and 0.5, "
    "from {large} on 1.0 and 0.25, and 0.5 of lead for cups, mugs and pitchers. EU: flat 0.8 "
    "and 0.07 mg/dm², hollow 4.0 and 0.3 mg/l, cooking ware and large storage 1.5 and "
    "0.1 mg/l. The plan gives no verdict; the law of the place where it is sold decides."
)
"""The law tells a large piece in liters."""

CAUTIONS: tuple[CareText, ...] = (
    CareText(
        "stages",
        "rubber",
        "Rubber",
        "Uncured rubber irritates skin and lungs, and polyurethanes hold isocyanates: gloves, eye "
        "protection, moving air. Sulfur clay and fresh resin prints can keep rubber from curing, "
        "so try a patch before the mass. The rubber's safety sheet decides.",
        "common practice, no source",
    ),
    CareText(
        "stages",
        "rubber",
        "Release and alcohol spray",
        "They burn easily: no flame, spark or hot kiln in the room, and moving air. The can's "
        "safety sheet and the local fire code decide.",
        "common practice, no source",
    ),
    CareText(
        "pour-list",
        "plaster",
        "Plaster dust",
        "Sift low and slowly, clean wet, never sand or sweep dry; a respirator comes after that, "
        "not instead. Workplace limits over 8 hours run from 4 to 15 mg/m³ of all plaster dust "
        "and from 1.5 to 5 mg/m³ of its fine part, and a bag may carry traces of quartz. The "
        "bag's safety sheet and the limits of your place decide.",
        "OSHA PEL 15 and 5, NIOSH REL 10 and 5, ACGIH TLV 10, German MAK 4 and 1.5, "
        "UK WEL 10 and 4 mg/m³ (NIOSH pel88 7778-18; Haz-Map agent 337; pages read second hand)",
    ),
    CareText(
        "pour-list",
        "plaster",
        "Setting plaster burns",
        "A large pour reaches about 60 °C (140 °F). Above 49 °C (120 °F) skin burns within minutes. "
        "Never put a hand, a foot or a face into plaster that sets; there is no moment we would "
        "call safe to touch. For a burn, the bag's safety sheet and a doctor decide.",
        "Court report of a 2007 school accident, in the press of October 2009 (up to 60 °C); "
        "Hutchinson and Hutchinson 2008, J. Orthop. Surg. Res. 3:10 (burns above 49 °C)",
        "A large pour reaches about 140 °F (60 °C). Above 120 °F (49 °C) skin burns within minutes. "
        "Never put a hand, a foot or a face into plaster that sets; there is no moment we would "
        "call safe to touch. For a burn, the bag's safety sheet and a doctor decide.",
    ),
    CareText(
        "pour-list",
        "plaster",
        "Mixer and bucket",
        "An electric mixer stands beside water: use an outlet that cuts off at a fault to ground, "
        "tie back hair and sleeves, have the bucket held. Wiring is for a licensed electrician "
        "under the local code.",
        "common practice, no source",
    ),
    CareText(
        "pour-list",
        "plaster",
        "Plaster waste",
        "Let what is left set in its bucket, then put it in the bin; rinse tools in a bucket that "
        "settles. No plaster, wet or dry, goes down a drain. Gypsum kept with food or garden waste "
        "gives off hydrogen sulfide, so keep them apart. Your local waste rules decide.",
        "NetRegs guidance on plaster and plasterboard (UK); a US university's plaster notes",
    ),
    CareText(
        "drying",
        "drying",
        "Lifting",
        "A mold is heaviest wet, and heavier still when it is full of slip. Lift and turn it with "
        "two people or a cradle, on a bench of the right height. The lifting rules of your place "
        "decide.",
        "common practice, no source",
    ),
    CareText(
        "drying",
        "drying",
        "Heat for drying",
        "Keep the air at 43 °C (110 °F) or cooler, and never above 49 °C (120 °F): past that, and in "
        "very dry air even before, the plaster itself loses water and softens. A heater is not "
        "left alone; its manual and the local fire code decide.",
        "A plaster maker's bulletin (43 to 49 °C for molding and pottery plasters), read second "
        "hand; Holmstrom 2001 (49 °C for any mold)",
        "Keep the air at 110 °F (43 °C) or cooler, and never above 120 °F (49 °C): past that, and in "
        "very dry air even before, the plaster itself loses water and softens. A heater is not "
        "left alone; its manual and the local fire code decide.",
    ),
    CareText(
        "casting",
        "slip",
        "Soda ash and silicate",
        "Both burn eyes: wear eye protection while slip is mixed or thinned, and have water at "
        "hand. Slip goes back to the tank or settles in a bucket, never down a drain. The "
        "product's safety sheet decides.",
        "common practice, no source",
    ),
    CareText(
        "casting",
        "slip",
        "Clay dust",
        "Fettle damp, sponge seams instead of sanding them, clean wet. Dry clay dust carries fine "
        "silica. Limits over 8 hours: 0.05 mg/m³ in the US, with action from 0.025; 0.1 mg/m³ in "
        "the EU and the UK. The limits of your place decide; wet work and air come first, a "
        "respirator second.",
        "OSHA PEL 0.05 and action level 0.025 mg/m³ (read second hand); Directive 2004/37/EC "
        "Annex III 0.1 mg/m³; UK EH40 0.1 mg/m³",
    ),
    CareText(
        "kiln",
        "bisque",
        "Damp ware bursts",
        "Water left in a piece turns to steam and breaks it. Before firing, a piece feels no "
        "cooler on the cheek than one that has been dry for weeks. The kiln's manual decides.",
        "A kiln maker's manual (touch test against an old dry piece)",
    ),
    CareText(
        "kiln",
        "bisque",
        "A kiln at work",
        "Somebody stays within reach. Vent it outdoors: clay, wax and metals give off carbon "
        "monoxide, sulfur and metal fumes. Look in only through firing glasses, and unload only "
        "ware that has cooled. Wiring and vents are for licensed trades under the local code; "
        "the kiln's manual decides.",
        "Trade guidance on venting electric kilns; US EPA Region 7 school survey",
    ),
    CareText(
        "kiln",
        "third",
        "Decals and lusters",
        "Their oils and solvents leave the kiln as fumes early in the firing: vent outdoors and "
        "stay out of the room. The product's safety sheet decides.",
        "common practice, no source",
    ),
    CareText(
        "glaze",
        "glaze",
        "Glaze powder",
        "Weigh and sieve it wet or under a hood: it carries silica, and some colors carry metals "
        "that must not be breathed or swallowed. The glaze's safety sheet decides.",
        "common practice, no source",
    ),
    CareText(
        "glaze",
        "glaze",
        "Food and drink",
        _FOOD.format(large="1.1 l"),
        "FDA Food Code 4-101.13 as WAC 246-215-04110; FDA CPG 545.400; Directive 84/500/EEC",
        _FOOD.format(large="1.2 qt"),
    ),
    CareText(
        "numbers",
        "numbers",
        "Engraving and breaking",
        "Eye protection and gloves for both. Engrave wet, and break pieces and molds inside a bag, "
        "because the dust carries silica. The tool's manual decides.",
        "common practice, no source",
    ),
)


def cautions_for(work: Collection[str] = ALL_WORK) -> tuple[CareText, ...]:
    """Return the cautions of a plan that holds these kinds of work, in the order of the work.

    Examples
    --------
    >>> [caution.title for caution in cautions_for({"third"})]
    ['Decals and lusters']
    """
    return tuple(one for one in CAUTIONS if one.work in work)
