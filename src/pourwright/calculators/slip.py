"""``pourwright figure slip``: what a weighed slip holds, and what goes in to change it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from pourwright.briefs.fields import liter_weight_hint
from pourwright.calculators.question import (
    Answer,
    AnswerFigure,
    AnswerPart,
    Ask,
    Given,
    Question,
    number,
    quantity,
)
from pourwright.calculators.shared import SOLIDS, dose_step, measure_of, of_a_measure
from pourwright.errors import BadInput, as_written
from pourwright.quantities import read
from pourwright.reading import CASTING_SLIP_G_PER_L

if TYPE_CHECKING:
    from pourwright.materials.slip.mixing import Adjustment

_SOURCES = (
    "Dry content from the weight of a liter: Norsker and Danisch, Forming Techniques for the Self-Reliant Potter (GTZ, 1991), appendix; the same law in Cardew, Pioneer Pottery (1969), p. 269.",
    "Density of the dry solids 2.5 to 2.6 kg/l: the same two books.",
    "Pint and ounce: exact by definition. Twaddell: a US chemist's handbook.",
    "Degrees Baume, the US scale for heavy liquids: Marks' Standard Handbook for Mechanical Engineers.",
)
_PINT = re.compile(r"\b(?:pint|pints|pt)\b", re.IGNORECASE)
_COUNTRY = re.compile(r"\b(?:us|imp|imperial|uk)\b", re.IGNORECASE)
HEAVIEST = 2100.0
"""Nothing heavier is taken for a slip: the heaviest in print, of fireclay, weighs 1980. [g/l]"""


def _hint(value: float) -> str:
    """Return what a weight beyond any slip's was probably meant to be."""
    from pourwright.materials.slip.liter_weight import likely_slip_of_hand
    from pourwright.materials.slip.scales import PINT_L

    imperial = value * PINT_L["US"] / PINT_L["imperial"]
    if value > HEAVIEST and CASTING_SLIP_G_PER_L[0] <= imperial <= CASTING_SLIP_G_PER_L[1]:
        return f"Was it a pint, and the imperial one? Then it is {imperial:.0f} g/l."
    return likely_slip_of_hand(value)


LITER_WEIGHT: Ask[float] = Ask(
    name="liter_weight",
    kind="slip weight",
    dimension="liter weight",
    low=1001,
    high=HEAVIEST,
    hint=_hint,
    meaning="What the slip weighs, a liter or a pint of it, or its specific gravity.",
    example="1750 g/l",
    example_us="29.2 oz/US pint",
)
WEIGHED: Ask[tuple[float, float]] = Ask(
    name="weighed",
    kind="row",
    row=("mass", "in", "volume"),
    limits=((0.01, 100), (0.01, 50)),
    meaning="Or slip that was weighed in a measure of known volume, the measure's own weight taken off.",
    example="65 g in 50 ml",
    example_us="29.2 oz in 1 US pint",
)
BAUME: Ask[float] = Ask(
    name="baume",
    kind="number",
    unit="degrees Baume",
    low=0.2,
    high=75.9,
    example="62",
    meaning="Or a hydrometer's degrees on the US scale for heavy liquids; it reads high in slip that gels.",
)
TWADDELL: Ask[float] = Ask(
    name="twaddell",
    kind="number",
    unit="degrees Twaddell",
    low=0.2,
    high=220,
    example="150",
    meaning="Or a hydrometer's degrees Twaddell.",
)
TARGET: Ask[float] = Ask(
    name="target",
    kind="slip weight",
    dimension="liter weight",
    low=1001,
    high=2600,
    hint=liter_weight_hint,
    meaning="What the slip is to weigh.",
    example="1780 g/l",
    example_us="29.7 oz/US pint",
    studio="slip.liter_weight",
    source="asked for with a volume to thin, stiffen or make",
)
VOLUME: Ask[float] = Ask(
    name="volume",
    dimension="volume",
    low=0.01,
    high=5000,
    meaning="How much slip there is, to be thinned or stiffened to the target.",
    example="10 l",
    example_us="3 US gal",
)
MAKE: Ask[float] = Ask(
    name="make",
    dimension="volume",
    low=0.01,
    high=5000,
    meaning="How much slip to make at the target weight.",
    example="20 l",
    example_us="5 US gal",
)
CLAY: Ask[float] = Ask(
    name="clay",
    dimension="mass",
    low=0.01,
    high=5000,
    meaning="Or how much clay there is to make slip of.",
    example="25 kg",
    example_us="50 lb",
)
CLAY_MOISTURE: Ask[float] = Ask(
    name="clay_moisture",
    dimension="fraction",
    low=0,
    high=0.5,
    default="0 %",
    meaning="Water in the clay that goes in, of its wet mass; plastic clay holds about 20 %.",
    example="20 %",
    source="dry powder; weigh a lump before and after drying",
)
RETURNS: Ask[float] = Ask(
    name="returns",
    dimension="volume",
    low=0.01,
    high=5000,
    meaning="Slip from the molds that goes into what is made.",
    example="8 l",
    example_us="2 US gal",
)
RETURNS_WEIGHT: Ask[float] = Ask(
    name="returns_weight",
    kind="slip weight",
    dimension="liter weight",
    low=1001,
    high=2600,
    hint=liter_weight_hint,
    meaning="What those returns weigh.",
    example="1720 g/l",
    example_us="28.7 oz/US pint",
)
DEFLOCCULANT: Ask[float] = Ask(
    name="deflocculant",
    dimension="fraction",
    low=0,
    high=0.02,
    hint="Doses in print run from 0.1 to 0.7 % of the dry clay.",
    meaning="Deflocculant, of the dry clay: the supplier's dose, or that of your own series.",
    example="0.3 %",
    source="not weighed out; a dose is never taken from another body",
)
ADDITION: Ask[float] = Ask(
    name="addition",
    dimension="fraction",
    low=0,
    high=0.5,
    meaning="Anything else that is weighed by the dry clay, such as a stain, grog or bentonite.",
    example="5 %",
    source="not weighed out",
)
MIXED: Ask[tuple[float, float]] = Ask(
    name="mixed",
    kind="row",
    row=("mass", "dry", "mass", "water"),
    limits=((0.01, 5000), (0.01, 5000)),
    meaning="What went into the slip that was weighed: whether its weight can be true.",
    example="10 kg dry 5 kg water",
    example_us="10 lb dry 5 lb water",
)

ASKS = (
    LITER_WEIGHT,
    WEIGHED,
    BAUME,
    TWADDELL,
    SOLIDS,
    TARGET,
    VOLUME,
    MAKE,
    CLAY,
    CLAY_MOISTURE,
    RETURNS,
    RETURNS_WEIGHT,
    DEFLOCCULANT,
    ADDITION,
    MIXED,
)
READINGS = (LITER_WEIGHT, WEIGHED, BAUME, TWADDELL)
"""What the slip's weight may be told by."""


def answer(given: Given) -> Answer:
    """Return what the slip holds, and what goes in to change it or make it."""
    weight = _reading(given)
    if weight is None and MAKE not in given and CLAY not in given:
        raise BadInput.one(
            "the slip",
            None,
            'tell its weight such as --liter-weight "1750 g/l", or what to make such as --make "20 l"',
        )
    batch = _batch(given, weight)
    is_changed = VOLUME in given and bool(batch.figures)
    content = AnswerPart() if weight is None else _content(given, weight, is_changed=is_changed)
    return Answer(
        says=" ".join(batch.says or content.says),
        figures=(*batch.figures, *content.figures),
        sources=_SOURCES,
        ranges=(
            "Any mix of clay and water between the weight of water and that of the solids, without air in it.",
            "Solids 0.05 kg/l denser or lighter than told move the dry clay by 1.2 %.",
        ),
        notes=content.notes,
    )


def _reading(given: Given) -> float | None:
    """Return the weight of a liter from whatever was read, None if nothing was. [g/l]."""
    from pourwright.materials.slip.scales import density_of_baume, density_of_twaddell

    if LITER_WEIGHT in given:
        return given[LITER_WEIGHT]
    if WEIGHED in given:
        mass_kg, volume_l = given[WEIGHED]
        return _of_a_measure(mass_kg, volume_l, given)
    if BAUME in given:
        return float(1000 * density_of_baume(given[BAUME]))
    if TWADDELL in given:
        return float(1000 * density_of_twaddell(given[TWADDELL]))
    return None


def _of_a_measure(mass_kg: float, volume_l: float, given: Given) -> float:
    """Return the weight of a liter of what filled a measure. [g/l]."""
    weight = 1000 * mass_kg / volume_l
    if not 1000 < weight <= HEAVIEST:
        right = (
            f"a liter of that would weigh {weight:.0f} g, and slip weighs 1000 to {HEAVIEST:.0f}"
        )
        hint = _hint(weight) or "Was the measure full?"
        raise BadInput.one("--weighed", f'"{given.typed(WEIGHED)}"', right, hint)
    return weight


def _says(given: Given, weight: float) -> str:
    from pourwright.materials.slip import liter_weight as slip

    measure, liters = measure_of(given)
    dry, water = (
        given.show(liters * float(law(weight, given[SOLIDS])), "mass", 0.001)
        for law in (slip.dry_kg_per_l, slip.water_kg_per_l)
    )
    share = given.show(float(slip.water_to_dry(weight, given[SOLIDS])), "fraction")
    return f"A {measure} holds {dry} of dry clay and {water} of water: the water is {share} of the dry clay."


def _content(given: Given, weight: float, *, is_changed: bool) -> AnswerPart:
    """Return what a liter holds, and its weight by every scale; said to be of now where it changes."""
    label, note = (
        ("weighs now", "and so the rows below: before anything goes in")
        if is_changed
        else ("weighs", "")
    )
    return AnswerPart(
        says=(_says(given, weight),),
        figures=(
            quantity("liter_weight_g_per_l", label, weight, "liter weight", note=note),
            *_shares(weight, given),
            *_by_every_scale(weight),
        ),
        notes=_notes(given, weight),
    )


def _shares(weight: float, given: Given) -> tuple[AnswerFigure, ...]:
    """Return what of a liter, or of a US pint, is clay and what is water."""
    from pourwright.materials.slip import liter_weight as slip

    solids = given[SOLIDS]
    dry = float(slip.dry_kg_per_l(weight, solids))
    water = float(slip.water_kg_per_l(weight, solids))
    return (
        *of_a_measure(given, dry, water, "dry clay"),
        quantity(
            "water_of_slip",
            "water, of the slip",
            slip.water_fraction(weight, solids),
            "fraction",
            note="wet basis, as textbooks give it",
        ),
        quantity(
            "water_of_dry",
            "water, of the dry clay",
            slip.water_to_dry(weight, solids),
            "fraction",
            note="dry basis, as recipes give it",
        ),
        quantity(
            "solids_of_volume",
            "solids, of the volume",
            slip.solids_volume_fraction(weight, solids),
            "fraction",
        ),
    )


def _by_every_scale(weight: float) -> tuple[AnswerFigure, ...]:
    from pourwright.materials.slip.scales import (
        baume_degrees,
        pint_weight_oz,
        twaddell_degrees,
    )

    return (
        number(
            "pint_us_oz",
            "a US pint weighs",
            pint_weight_oz(weight, "US"),
            "oz",
            digits=4,
        ),
        number(
            "pint_imperial_oz",
            "an imperial pint weighs",
            pint_weight_oz(weight, "imperial"),
            "oz",
            digits=4,
        ),
        number("baume_degrees", "degrees Baume, US scale", baume_degrees(weight / 1000)),
        number(
            "twaddell_degrees",
            "degrees Twaddell",
            twaddell_degrees(weight / 1000),
            digits=4,
        ),
    )


def _notes(given: Given, weight: float) -> tuple[str, ...]:
    """Return whose pint was meant, and what a weight out of the usual was probably meant to be."""
    if CASTING_SLIP_G_PER_L[0] <= weight <= CASTING_SLIP_G_PER_L[1]:
        return _whose_pint(given, weight)
    low, high = (given.show(end, "liter weight") for end in CASTING_SLIP_G_PER_L)
    said = f"Casting slips in print weigh {low} to {high}; this one lies outside."
    return (f"{said} {_other_pint(given, weight)}".rstrip(),)


def _whose_pint(given: Given, weight: float) -> tuple[str, ...]:
    """Return which pint a bare one was read as."""
    typed = given.typed(LITER_WEIGHT) if LITER_WEIGHT in given else ""
    if not _PINT.search(typed) or _COUNTRY.search(typed):
        return ()
    is_us = abs(read(typed, "liter weight", prefer="us") - weight) < 0.01
    return (f"The pint was read as the {'US' if is_us else 'imperial'} one.",)


def _other_pint(given: Given, weight: float) -> str:
    """Ask about the pint, if the US one makes a casting slip of what is too light."""
    from pourwright.materials.slip.scales import PINT_L

    typed = " ".join(given.typed(ask) for ask in READINGS if ask in given).lower()
    us = weight * PINT_L["imperial"] / PINT_L["US"]
    if not _PINT.search(typed) or not CASTING_SLIP_G_PER_L[0] <= us <= CASTING_SLIP_G_PER_L[1]:
        return ""
    return f"Was it the US pint? Then it is {us:.0f} g/l."


def _batch(given: Given, weight: float | None) -> AnswerPart:
    """Return what goes in; nothing if nothing is to be changed."""
    judged = _judged(given, weight)
    if MAKE in given or CLAY in given:
        return _made(given)
    if VOLUME in given:
        return _changed(given, weight)
    return judged


def _target(given: Given) -> float:
    if TARGET not in given:
        raise BadInput.one("--target", None, 'write what it is to weigh, such as "1780 g/l"')
    return given[TARGET]


def _changed(given: Given, weight: float | None) -> AnswerPart:
    """Thin or stiffen the slip that there is."""
    from pourwright.materials.slip.mixing import stiffen, thin

    if weight is None:
        right = 'write what it weighs now, such as "1850 g/l"'
        raise BadInput.one("--liter-weight", None, right)
    target, volume = _target(given), given[VOLUME]
    goal = given.show(target, "liter weight")
    if target == weight:
        return AnswerPart(says=(f"It weighs {goal} already: add nothing.",))
    if target < weight:
        added = thin(volume, weight, target)
        water = given.show(added.water_kg, "mass", 0.001)
        says = f"Add {water} of water: it then weighs {goal}."
        return AnswerPart(says=(says,), figures=(*_figures(added), _weighs_then(target)))
    added = stiffen(volume, weight, target, given[CLAY_MOISTURE], given[SOLIDS])
    clay = given.show(added.clay_kg, "mass", 0.001)
    says = f"Stir in {clay} of clay: it then weighs {goal}."
    return AnswerPart(says=(says,), figures=(*_figures(added), _weighs_then(target)))


def _weighs_then(target: float) -> AnswerFigure:
    return quantity("then_g_per_l", "weighs then", target, "liter weight")


def _made(given: Given) -> AnswerPart:
    """Make slip of clay and water, and of returns if there are any."""
    from pourwright.materials.slip.batches import (
        make_slip,
        make_slip_with_returns,
        slip_from_clay,
    )

    moisture, solids = given[CLAY_MOISTURE], given[SOLIDS]
    if CLAY in given:
        if RETURNS in given:
            raise BadInput.one("--returns", as_written(given.typed(RETURNS)), "it goes with --make")
        made = slip_from_clay(given[CLAY], _target(given), moisture, solids)
    elif RETURNS in given:
        made = make_slip_with_returns(
            given[MAKE], _target(given), given[RETURNS], given[RETURNS_WEIGHT], moisture, solids
        )
    else:
        made = make_slip(given[MAKE], _target(given), moisture, solids)
    clay, water = (given.show(mass, "mass") for mass in (made.clay_kg, made.water_kg))
    slip = given.show(made.makes_l, "volume")
    goal = given.show(_target(given), "liter weight")
    beside = ""
    if RETURNS in given:
        beside = f" beside {given.show(given[RETURNS], 'volume')} of returns"
    says = f"{clay} of clay and {water} of water{beside} make {slip} of slip of {goal}."
    return AnswerPart(says=(says,), figures=(*_figures(made), *_dose(given, made)))


def _figures(added: Adjustment) -> tuple[AnswerFigure, ...]:
    clay = quantity(
        "clay_kg",
        "clay to weigh in",
        added.clay_kg,
        "mass",
        step=0.001,
        note="as it lies there, with its own moisture",
    )
    water = quantity("water_kg", "water to weigh in", added.water_kg, "mass", step=0.001)
    weighed = tuple(one for one in (clay, water) if one.value)
    return (*weighed, quantity("makes_l", "slip then", added.makes_l, "volume"))


def _dose(given: Given, made: Adjustment) -> tuple[AnswerFigure, ...]:
    """Return the deflocculant, and another addition, for the dry clay that goes in."""
    from pourwright.materials.slip.batches import deflocculant_kg

    dry_kg = float(made.clay_kg) * (1 - given[CLAY_MOISTURE])
    if dry_kg <= 0:
        return ()
    weighed = []
    if DEFLOCCULANT in given:
        dose = deflocculant_kg(dry_kg, given[DEFLOCCULANT])
        weighed.append(("deflocculant_kg", "deflocculant", float(dose)))
    if ADDITION in given:
        weighed.append(("addition_kg", "addition", dry_kg * given[ADDITION]))
    note = "for the clay that goes in; returns and plastic clay bring their own"
    return tuple(
        quantity(name, label, kg, "mass", step=dose_step(kg), note=note)
        for name, label, kg in weighed
    )


def _judged(given: Given, weight: float | None) -> AnswerPart:
    """Refuse a weight that what went in cannot have, and say that it can."""
    if MIXED not in given:
        return AnswerPart()
    from pourwright.materials.slip.reading import (
        judge_mix_reading,
        require_true_reading,
    )

    if weight is None:
        right = "write what the slip of that recipe weighed"
        raise BadInput.one("--liter-weight", None, right)
    require_true_reading(weight, *given[MIXED])
    fits = judge_mix_reading(weight, *given[MIXED])
    low, high = (
        given.show(end, "liter weight")
        for end in (fits.expected_low_g_per_l, fits.expected_high_g_per_l)
    )
    says = f"The weight can be true: what went in weighs {low} to {high}."
    return AnswerPart(says=(says,))


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
    at_most_one=(READINGS, (VOLUME, MAKE, CLAY)),
    together=((RETURNS, RETURNS_WEIGHT),),
)
