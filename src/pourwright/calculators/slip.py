"""``pourwright figure slip``: what a weighed slip holds, and what goes in to change it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from pourwright.briefs.fields import liter_weight_hint
from pourwright.calculators.question import (
    Answer,
    Ask,
    Figure,
    Given,
    Question,
    number,
    quantity,
)
from pourwright.errors import BadInput, as_written

if TYPE_CHECKING:
    from pourwright.materials.slip.mixing import Adjustment


BATCH_ASKS = (
    Ask(
        name="target", kind="quantity", dimension="liter weight", low=1001, high=2600, hint=liter_weight_hint,
        meaning="What the slip is to weigh.", example="1780 g/l", example_us="29.7 oz/US pint",
        studio="slip.liter_weight", source="asked for with a volume to thin, stiffen or make",
    ),
    Ask(
        name="volume", kind="quantity", dimension="volume", low=0.01, high=5000,
        meaning="How much slip there is, to be thinned or stiffened to the target.",
        example="10 l", example_us="3 US gal",
    ),
    Ask(
        name="make", kind="quantity", dimension="volume", low=0.01, high=5000,
        meaning="How much slip to make at the target weight.", example="20 l", example_us="5 US gal",
    ),
    Ask(
        name="clay", kind="quantity", dimension="mass", low=0.01, high=5000,
        meaning="Or how much clay there is to make slip of.", example="25 kg", example_us="50 lb",
    ),
    Ask(
        name="clay_moisture", kind="quantity", dimension="fraction", low=0, high=0.5, default="0 %",
        meaning="Water in the clay that goes in, of its wet mass; plastic clay holds about 20 %.",
        example="20 %", source="dry powder; weigh a lump before and after drying",
    ),
    Ask(
        name="returns", kind="quantity", dimension="volume", low=0.01, high=5000,
        meaning="Slip from the molds that goes into what is made.", example="8 l", example_us="2 US gal",
    ),
    Ask(
        name="returns_weight", kind="quantity", dimension="liter weight", low=1001, high=2600, hint=liter_weight_hint,
        meaning="What those returns weigh.", example="1720 g/l", example_us="28.7 oz/US pint",
    ),
    Ask(
        name="deflocculant", kind="quantity", dimension="fraction", low=0, high=0.02,
        hint="Doses in print run from 0.1 to 0.7 % of the dry clay.",
        meaning="Deflocculant, of the dry clay: the supplier's dose, or that of your own series.",
        example="0.3 %", source="not weighed out; a dose is never taken from another body",
    ),
    Ask(
        name="mixed", kind="row", row=("mass", "dry", "mass", "water"), limits=((0.01, 5000), (0.01, 5000)),
        meaning="What went into the slip that was weighed: whether its weight can be true.",
        example="10 kg dry 5 kg water", example_us="10 lb dry 5 lb water",
    ),
)  # fmt: skip


def batch_figures(given: Given, weight: float | None) -> tuple[str, tuple[Figure, ...]]:
    """Return in words and figures what goes in; nothing if nothing is to be changed.

    Parameters
    ----------
    given : Given
        What was told.
    weight : float or None
        What the slip weighs that was read. [g/l]

    Raises
    ------
    BadInput
        If a weight is missing, or a reading cannot be true.
    OutOfRange
        If the slip cannot be made so.
    """
    judged = _judged(given, weight)
    if "make" in given or "clay" in given:
        return _made(given)
    if "volume" in given:
        return _changed(given, weight)
    return judged, ()


def _target(given: Given) -> float:
    if "target" not in given:
        raise BadInput.one("--target", None, 'write what it is to weigh, such as "1780 g/l"')
    return float(given["target"])


def _changed(given: Given, weight: float | None) -> tuple[str, tuple[Figure, ...]]:
    """Thin or stiffen the slip that there is."""
    from pourwright.materials.slip.mixing import stiffen, thin

    if weight is None:
        right = 'write what it weighs now, such as "1850 g/l"'
        raise BadInput.one("--liter-weight", None, right)
    target, volume = _target(given), given["volume"]
    goal = given.show(target, "liter weight")
    if target == weight:
        return f"It weighs {goal} already: add nothing.", ()
    if target < weight:
        added = thin(volume, weight, target)
        water = given.show(float(added.water_kg), "mass", 0.001)
        return f"Add {water} of water: it then weighs {goal}.", _figures(added)
    added = stiffen(volume, weight, target, given["clay_moisture"], given["solids"])
    clay = given.show(float(added.clay_kg), "mass", 0.001)
    return f"Stir in {clay} of clay: it then weighs {goal}.", _figures(added)


def _made(given: Given) -> tuple[str, tuple[Figure, ...]]:
    """Make slip of clay and water, and of returns if there are any."""
    from pourwright.materials.slip.batches import (
        make_slip,
        make_slip_with_returns,
        slip_from_clay,
    )

    moisture, solids = given["clay_moisture"], given["solids"]
    if "clay" in given:
        if "returns" in given:
            raise BadInput.one(
                "--returns", as_written(given.told["returns"].typed), "it goes with --make"
            )
        made = slip_from_clay(given["clay"], _target(given), moisture, solids)
    elif "returns" in given:
        made = make_slip_with_returns(given["make"], _target(given), given["returns"],
                                      given["returns_weight"], moisture, solids)  # fmt: skip
    else:
        made = make_slip(given["make"], _target(given), moisture, solids)
    clay, water = (given.show(float(mass), "mass") for mass in (made.clay_kg, made.water_kg))
    slip, goal = (
        given.show(float(made.makes_l), "volume"),
        given.show(_target(given), "liter weight"),
    )
    beside = (
        f" beside {given.show(given['returns'], 'volume')} of returns" if "returns" in given else ""
    )
    says = f"{clay} of clay and {water} of water{beside} make {slip} of slip of {goal}."
    return says, (*_figures(made), *_dose(given, made))


def _figures(added: Adjustment) -> tuple[Figure, ...]:
    clay = quantity("clay_kg", "clay to weigh in", added.clay_kg, "mass", step=0.001,
                    note="as it lies there, with its own moisture")  # fmt: skip
    water = quantity("water_kg", "water to weigh in", added.water_kg, "mass", step=0.001)
    weighed = tuple(one for one in (clay, water) if one.value)
    return (*weighed, quantity("makes_l", "slip then", added.makes_l, "volume"))


def _dose(given: Given, made: Adjustment) -> tuple[Figure, ...]:
    """Return the deflocculant for the dry clay that goes in."""
    from pourwright.materials.slip.batches import deflocculant_kg

    dry_kg = float(made.clay_kg) * (1 - given["clay_moisture"])
    if "deflocculant" not in given or dry_kg <= 0:
        return ()
    dose = deflocculant_kg(dry_kg, given["deflocculant"])
    note = "for the clay that goes in; returns and plastic clay bring their own"
    return (quantity("deflocculant_kg", "deflocculant", dose, "mass", note=note),)


def _judged(given: Given, weight: float | None) -> str:
    """Refuse a weight that what went in cannot have, and say that it can."""
    if "mixed" not in given:
        return ""
    from pourwright.materials.slip.reading import (
        judge_mix_reading,
        require_true_reading,
    )

    if weight is None:
        right = "write what the slip of that recipe weighed"
        raise BadInput.one("--liter-weight", None, right)
    require_true_reading(weight, *given["mixed"])
    fits = judge_mix_reading(weight, *given["mixed"])
    low, high = (
        given.show(end, "liter weight")
        for end in (fits.expected_low_g_per_l, fits.expected_high_g_per_l)
    )
    return f"The weight can be true: what went in weighs {low} to {high}."


READINGS = ("liter_weight", "weighed", "baume", "twaddell")

_SOURCES = (
    "Dry content from the weight of a liter: Norsker and Danisch, Forming Techniques for the Self-Reliant Potter (GTZ, 1991), appendix; the same law in Cardew, Pioneer Pottery (1969), p. 269.",
    "Density of the dry solids 2.5 to 2.6 kg/l: the same two books.",
    "Pint and ounce: exact by definition. Twaddell: a US chemist's handbook.",
    "Degrees Baume, the US scale for heavy liquids: Marks' Standard Handbook for Mechanical Engineers.",
)
_CASTING_SLIPS = (1650.0, 1980.0)
"""Lightest and heaviest casting slip in suppliers' and makers' sheets. [g/l]"""

HEAVIEST = 2100.0
"""Nothing heavier is taken for a slip: the heaviest in print, of fireclay, weighs 1980. [g/l]"""


def _hint(value: float) -> str:
    """Return what a weight beyond any slip's was probably meant to be."""
    from pourwright.materials.slip.liter_weight import likely_slip_of_hand
    from pourwright.materials.slip.scales import PINT_L

    imperial = value * PINT_L["US"] / PINT_L["imperial"]
    if value > HEAVIEST and _CASTING_SLIPS[0] <= imperial <= _CASTING_SLIPS[1]:
        return f"Was it a pint, and the imperial one? Then it is {imperial:.0f} g/l."
    return likely_slip_of_hand(value)


ASKS = (
    Ask(
        name="liter_weight", kind="quantity", dimension="liter weight", low=1001, high=HEAVIEST, hint=_hint,
        meaning="What the slip weighs, a liter or a pint of it.",
        example="1750 g/l", example_us="29.2 oz/US pint",
    ),
    Ask(
        name="weighed", kind="row", row=("mass", "in", "volume"), limits=((0.01, 100), (0.01, 50)),
        meaning="Or slip that was weighed in a measure of known volume, the measure's own weight taken off.",
        example="65 g in 50 ml", example_us="29.2 oz in 1 US pint",
    ),
    Ask(
        name="baume", kind="number", unit="degrees Baume", low=0.2, high=75.9, example="62",
        meaning="Or a hydrometer's degrees on the US scale for heavy liquids; it reads high in slip that gels.",
    ),
    Ask(
        name="twaddell", kind="number", unit="degrees Twaddell", low=0.2, high=220, example="150",
        meaning="Or a hydrometer's degrees Twaddell.",
    ),
    Ask(
        name="solids", kind="number", unit="kg/l", low=2.2, high=3.5, default="2.6", example="2.55",
        meaning="Density of the dry solids.", source="two handbooks: clays 2.5, with glaze materials to 2.6",
        studio="slip.solids_density",
    ),
    *BATCH_ASKS,
)  # fmt: skip


def answer(given: Given) -> Answer:
    """Return what the slip holds, and what goes in to change it or make it."""
    weight = reading(given)
    if weight is None and "make" not in given and "clay" not in given:
        raise BadInput.one(
            "the slip",
            None,
            'tell its weight such as --liter-weight "1750 g/l", or what to make such as --make "20 l"',
        )
    says, batch = batch_figures(given, weight)
    content = () if weight is None else _content(given, weight)
    return Answer(
        says=says or _says(given, weight or 0.0),
        figures=(*batch, *content),
        sources=_SOURCES,
        ranges=_ranges(),
        notes=_notes(given, weight),
    )


def reading(given: Given) -> float | None:
    """Return the weight of a liter from whatever was read, None if nothing was. [g/l]."""
    from pourwright.materials.slip.scales import density_of_baume, density_of_twaddell

    if "liter_weight" in given:
        return float(given["liter_weight"])
    if "weighed" in given:
        mass_kg, volume_l = given["weighed"]
        return _of_a_measure(mass_kg, volume_l, given)
    if "baume" in given:
        return float(1000 * density_of_baume(given["baume"]))
    if "twaddell" in given:
        return float(1000 * density_of_twaddell(given["twaddell"]))
    return None


def _of_a_measure(mass_kg: float, volume_l: float, given: Given) -> float:
    """Return the weight of a liter of what filled a measure. [g/l]."""
    weight = 1000 * mass_kg / volume_l
    if not 1000 < weight <= HEAVIEST:
        right = (
            f"a liter of that would weigh {weight:.0f} g, and slip weighs 1000 to {HEAVIEST:.0f}"
        )
        hint = _hint(weight) or "Was the measure full?"
        raise BadInput.one("--weighed", f'"{given.told["weighed"].typed}"', right, hint)
    return weight


def _says(given: Given, weight: float) -> str:
    from pourwright.materials.slip import liter_weight as slip

    dry, water = (
        given.show(float(law(weight, given["solids"])), "mass", 0.001)
        for law in (slip.dry_kg_per_l, slip.water_kg_per_l)
    )
    share = given.show(float(slip.water_to_dry(weight, given["solids"])), "fraction")
    return f"A liter holds {dry} of dry clay and {water} of water: the water is {share} of the dry clay."


def _content(given: Given, weight: float) -> tuple[Figure, ...]:
    """Return what a liter holds, and its weight by every scale."""
    from pourwright.materials.slip import liter_weight as slip
    from pourwright.materials.slip import scales as slip_scales

    solids = given["solids"]
    return (
        quantity("liter_weight_g_per_l", "weighs", weight, "liter weight"),
        number("dry_kg_per_l", "dry clay in a liter", slip.dry_kg_per_l(weight, solids), "kg/l", digits=4),
        number("water_kg_per_l", "water in a liter", slip.water_kg_per_l(weight, solids), "kg/l", digits=4),
        quantity("water_of_slip", "water, of the slip", slip.water_fraction(weight, solids), "fraction",
                 note="wet basis, as textbooks give it"),
        quantity("water_of_dry", "water, of the dry clay", slip.water_to_dry(weight, solids), "fraction",
                 note="dry basis, as recipes give it"),
        quantity("solids_of_volume", "solids, of the volume", slip.solids_volume_fraction(weight, solids),
                 "fraction"),
        number("pint_us_oz", "a US pint weighs", slip_scales.pint_weight_oz(weight, "US"), "oz", digits=4),
        number("pint_imperial_oz", "an imperial pint weighs", slip_scales.pint_weight_oz(weight, "imperial"),
               "oz", digits=4),
        number("baume_degrees", "degrees Baume, US scale", slip_scales.baume_degrees(weight / 1000)),
        number("twaddell_degrees", "degrees Twaddell", slip_scales.twaddell_degrees(weight / 1000), digits=4),
    )  # fmt: skip


def _ranges() -> tuple[str, ...]:
    return (
        "Any mix of clay and water between the weight of water and that of the solids, without air in it.",
        "Solids 0.05 kg/l denser or lighter than told move the dry clay by 1.2 %.",
    )


def _notes(given: Given, weight: float | None) -> tuple[str, ...]:
    """Return what a weight out of the usual was probably meant to be."""
    if weight is None or _CASTING_SLIPS[0] <= weight <= _CASTING_SLIPS[1]:
        return ()
    low, high = (given.show(end, "liter weight") for end in _CASTING_SLIPS)
    said = f"Casting slips in print weigh {low} to {high}; this one lies outside."
    return (f"{said} {_other_pint(given, weight)}".rstrip(),)


def _other_pint(given: Given, weight: float) -> str:
    """Ask about the pint, if the US one makes a casting slip of what is too light."""
    from pourwright.materials.slip.scales import PINT_L

    typed = " ".join(given.told[name].typed for name in READINGS if name in given).lower()
    us = weight * PINT_L["imperial"] / PINT_L["US"]
    if (
        not re.search(r"\b(pint|pints|pt)\b", typed)
        or not _CASTING_SLIPS[0] <= us <= _CASTING_SLIPS[1]
    ):
        return ""
    return f"Was it the US pint? Then it is {us:.0f} g/l."


QUESTION = Question(
    id="slip",
    title="Slip",
    words="What a weighed slip holds, and what goes in to thin it, stiffen it or make it. "
    "Tell its weight; with a volume and a target weight also what to add. "
    "Or tell what to make, of dry or plastic clay and of returns.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"liter_weight": "1700 g/l", "solids": "2.5"},
        {"weighed": "65 g in 50 ml", "solids": "2.65"},
        {"liter_weight": "1850 g/l", "volume": "10 l", "target": "1780 g/l"},
        {"clay": "25 kg", "target": "1750 g/l", "solids": "2.5"},
        {"make": "20 l", "target": "1780 g/l", "returns": "8 l", "returns_weight": "1720 g/l"},
        {"make": "5 US gal", "target": "29.2 oz/US pint", "clay_moisture": "20 %"},
        {"liter_weight": "1700 g/l", "mixed": "10 kg dry 5 kg water"},
    ),
    cautions=("Clay dust", "Soda ash and silicate"),
    at_most_one=(READINGS, ("volume", "make", "clay")),
    together=(("returns", "returns_weight"),),
)
