"""``pourwright figure plaster``: what to weigh for a volume, and what the set mold is like."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pourwright.calculators.question import (
    Answer,
    AnswerFigure,
    Ask,
    Given,
    Question,
    number,
    quantity,
    ranged,
)
from pourwright.calculators.shared import heat_ceiling
from pourwright.errors import BadInput
from pourwright.quantities import round_to_step

if TYPE_CHECKING:
    from pourwright.materials.plaster.mix import Batch, Plaster
    from pourwright.materials.ranges import Floats

_SOURCES = (
    "Water that plaster binds as it sets: molar masses (Thermoddem, BRGM; IUPAC), 18.6 parts to 100.",
    "Density of plaster powder 2.68 kg/l: Villavecchia, Treatise on Applied Analytical Chemistry 1, p. 176.",
    "Density of gypsum 2.32 kg/l: handbooks of minerals, 2.31 to 2.33.",
    "Held against a plaster maker's and a US supplier's printed densities, consistency 32 to 74.",
    "Absorption, strength, growth: printed values of data sheets.",
)


def _hint(value: float) -> str:
    if 0.25 <= value <= 1.2:
        return f"A ratio of {value:g} is written {100 * value:g}."
    if 120 < value <= 400:
        return f"{value:g} of plaster to 100 of water is consistency {10000 / value:.0f}."
    return "70 means 700 g of water to 1000 g of plaster."


VOLUME: Ask[float] = Ask(
    name="volume",
    dimension="volume",
    low=0.005,
    high=5000,
    meaning="Volume to fill: one part's, a mold's or a batch's.",
    example="3.2 l",
    example_us="2 US qt",
)
WATER_FILL: Ask[float] = Ask(
    name="water_fill",
    dimension="mass",
    low=0.005,
    high=5000,
    meaning="Or water that fills the rubber master level, weighed.",
    example="3.2 kg",
    example_us="7 lb 1 oz",
)
PLASTER_LEFT: Ask[float] = Ask(
    name="plaster_left",
    dimension="mass",
    low=0.005,
    high=5000,
    meaning="Or plaster left in the bag: how much water it takes and what it fills.",
    example="4 kg",
    example_us="8 lb 13 oz",
)
DRY_MASS: Ask[float] = Ask(
    name="dry_mass",
    dimension="mass",
    low=0.005,
    high=5000,
    meaning="Or a mold that was weighed dry, to be poured again.",
    example="3.5 kg",
    example_us="7 lb 12 oz",
)
MIX_WATER: Ask[float] = Ask(
    name="mix_water",
    kind="water",
    dimension="mass",
    low=0.005,
    high=5000,
    meaning="Or the mixing water of a batch, measured or weighed, ice in it counted.",
    example="2 l",
    example_us="2 qt",
)
BATCHES: Ask[int] = Ask(
    name="batches",
    kind="whole",
    low=1,
    high=10_000,
    meaning="How many batches of that water.",
    example="30",
    source="one",
)
ICE: Ask[float] = Ask(
    name="ice",
    dimension="mass",
    low=0.001,
    high=2000,
    meaning="How much of the mixing water is ice.",
    example="300 g",
    example_us="10 oz",
    source="not given: no ice",
)
CONSISTENCY: Ask[float] = Ask(
    name="consistency",
    kind="number",
    low=25,
    high=120,
    default="70",
    example="70",
    meaning="Parts of water to 100 parts of plaster, by mass; the bag says it.",
    hint=_hint,
    source="plaster makers' data sheets for pottery plaster: 68, 70 and 74; your bag decides",
    studio="plaster.consistency",
)
SPARE: Ask[float] = Ask(
    name="spare",
    dimension="fraction",
    low=0,
    high=0.5,
    default="5 %",
    example="8 %",
    meaning="Mixed beyond the volume, so that the batch does not run short.",
    source="as in a plan; inside the 3 to 10 % that teaching rules and charts for a batch build in",
    studio="plaster.spare",
)
SCALE_STEP: Ask[float] = Ask(
    name="scale_step",
    dimension="mass",
    low=0.0001,
    high=1,
    default="10 g",
    default_us="1/2 oz",
    example="5 g",
    example_us="1 oz",
    meaning="Step of the scale; weights are rounded to it.",
    source="common practice, no source",
    studio="plaster.scale_step",
)
WATER_TEMPERATURE: Ask[float] = Ask(
    name="water_temperature",
    dimension="temperature",
    low=0,
    high=60,
    default="20 C",
    default_us="68 F",
    example="20 C",
    example_us="68 F",
    meaning="Temperature of the water: of what filled the master, or of the mixing water.",
    source="a room; 40 degC changes the volume by less than 1 %",
)
ROOM_TEMPERATURE: Ask[float] = Ask(
    name="room_temperature",
    dimension="temperature",
    low=2,
    high=45,
    default="20 C",
    default_us="68 F",
    example="18 C",
    example_us="64 F",
    meaning="Temperature of the room, and so of the dry plaster.",
    source="a room",
)
YIELD: Ask[float] = Ask(
    name="yield",
    kind="number",
    unit="l/kg",
    low=0.4,
    high=2.5,
    example="1.09",
    meaning="Liters of mix that a kilogram of your plaster made, if you know it.",
    source="worked out from the consistency and the densities",
    studio="plaster.yield_l_per_kg",
)
OWN_BATCH: Ask[tuple[tuple[float, float], ...]] = Ask(
    name="own_batch",
    kind="row",
    row=("mass", "fills", "volume"),
    many=True,
    limits=((0.01, 5000), (0.01, 5000)),
    meaning="A batch of yours: dry plaster and the volume its mix filled.",
    example="3 kg fills 3.3 l",
    example_us="6 lb 10 oz fills 3.5 US qt",
    source="worked out from the consistency and the densities",
)
LOW_EXPANSION: Ask[bool] = Ask(
    name="low_expansion",
    kind="yes or no",
    default="no",
    example="yes",
    meaning="The bag says low expansion, as alpha plasters for cases and masters do.",
    source="an ordinary plaster",
)
ASKS = (
    VOLUME,
    WATER_FILL,
    PLASTER_LEFT,
    DRY_MASS,
    MIX_WATER,
    BATCHES,
    ICE,
    CONSISTENCY,
    SPARE,
    SCALE_STEP,
    WATER_TEMPERATURE,
    ROOM_TEMPERATURE,
    YIELD,
    OWN_BATCH,
    LOW_EXPANSION,
)


def answer(given: Given) -> Answer:
    """Return what to weigh, and what the mold is like wet and dry."""
    _refuse_without_mix_water(given)
    plaster = _plaster(given)
    batch = _batch(given, plaster)
    return Answer(
        says=_says(given, batch),
        figures=(
            *_weights(given, batch),
            *_heat(given, plaster),
            *_mold(given, plaster, batch),
        ),
        sources=_SOURCES,
        ranges=_ranges(given, plaster),
        notes=(*_notes(given), *_scale_note(given, batch)),
    )


def _refuse_without_mix_water(given: Given) -> None:
    """Refuse what belongs to a recipe where none is told, and more ice than water."""
    for one in (BATCHES, ICE):
        if one in given and MIX_WATER not in given:
            raise BadInput.one(one.option, given.typed(one), "it needs --mix-water too")
    if ICE in given and given[ICE] > given[MIX_WATER]:
        right = f"it is part of the mixing water, {given.typed(MIX_WATER)}"
        raise BadInput.one(ICE.option, given.typed(ICE), right)


def _measured(given: Given, batch: Batch) -> str:
    """Return the water as a jug shows it: what the scale does, a kilogram a liter."""
    weighed = round_to_step(float(batch.water_kg), given[SCALE_STEP])
    return given.show(weighed or batch.water_kg, "volume")


def _says(given: Given, batch: Batch) -> str:
    """Return what to weigh, what it fills and what spare is in it."""
    step, spare = given[SCALE_STEP], given[SPARE]
    water, dry = (given.show(mass, "mass", step) for mass in (batch.water_kg, batch.plaster_kg))
    measured = _measured(given, batch)
    held = f"{given.show(spare, 'fraction')} spare" if spare else "no spare"
    says = (
        f"Weigh {water} of water ({measured}) and {dry} of plaster: they fill "
        f"{given.show(batch.volume_l, 'volume')}, with {held} in it."
    )
    count = given.get(BATCHES, 1)
    if count == 1:
        return says
    all_water, all_dry = (
        given.show(mass * count, "mass") for mass in (batch.water_kg, batch.plaster_kg)
    )
    return f"{says} {count} of them take {all_dry} of plaster and {all_water} of water."


def _plaster(given: Given) -> Plaster:
    """Return the mix, with the studio's own yield if it was told."""
    import numpy as np

    from pourwright.materials.plaster.mix import Plaster, own_yield

    consistency = given[CONSISTENCY]
    if OWN_BATCH not in given:
        return Plaster("plaster", consistency, "told", given.get(YIELD))
    for mass, volume in given[OWN_BATCH]:
        Plaster("plaster", consistency, "told", volume / mass)  # refuses one that is far off
    masses, volumes = (np.array(column) for column in zip(*given[OWN_BATCH], strict=True))
    return own_yield(Plaster("plaster", consistency, "told"), masses, volumes)


def _batch(given: Given, plaster: Plaster) -> Batch:
    from pourwright.materials.plaster.mix import (
        batch_for_volume,
        batch_from_plaster,
        batch_from_water,
    )
    from pourwright.materials.plaster.volumes import (
        volume_from_dry_mass,
        volume_from_water_fill,
    )

    if MIX_WATER in given:
        return batch_from_water(given[MIX_WATER], plaster)
    if PLASTER_LEFT in given:
        return batch_from_plaster(given[PLASTER_LEFT], plaster)
    if VOLUME in given:
        volume_l: Floats = given[VOLUME]
    elif WATER_FILL in given:
        volume_l = volume_from_water_fill(given[WATER_FILL], given[WATER_TEMPERATURE])
    else:
        volume_l = volume_from_dry_mass(given[DRY_MASS], plaster)
    return batch_for_volume(volume_l, plaster, given[SPARE])


def _weights(given: Given, batch: Batch) -> tuple[AnswerFigure, ...]:
    both, step = batch.water_kg + batch.plaster_kg, given[SCALE_STEP]
    measured = _measured(given, batch)
    count = given.get(BATCHES, 1)
    in_all = quantity("all_plaster_kg", "plaster in all", batch.plaster_kg * count, "mass")
    return (
        quantity("water_kg", "water", batch.water_kg, "mass", step=step, note=measured),
        quantity(
            "plaster_kg",
            "plaster",
            batch.plaster_kg,
            "mass",
            step=step,
            note="into the water, never the water onto it",
        ),
        quantity(
            "mix_kg", "mix", both, "mass", step=step, note="what the bucket and the mixer carry"
        ),
        quantity("volume_l", "fills", batch.volume_l, "volume"),
        *((in_all,) if count > 1 else ()),
    )


def _heat(given: Given, plaster: Plaster) -> tuple[AnswerFigure, ...]:
    """Return the temperature that a recipe starts at, and what it cannot pass."""
    from pourwright.materials.plaster.setting import mix_temperature

    if MIX_WATER not in given:
        return ()
    start_c = mix_temperature(
        plaster,
        given[WATER_TEMPERATURE],
        given[ROOM_TEMPERATURE],
        given.get(ICE, 0.0) / given[MIX_WATER],
    )
    return (
        quantity("starts_c", "the mix starts at", start_c, "temperature"),
        heat_ceiling(plaster, start_c),
    )


def _mold(given: Given, plaster: Plaster, batch: Batch) -> tuple[AnswerFigure, ...]:
    from pourwright.materials.plaster import hardened, mix
    from pourwright.materials.plaster.volumes import dry_mass, wet_mass

    volume_l = float(batch.volume_l) * given.get(BATCHES, 1) / (1 + given[SPARE])
    wet, dry = wet_mass(volume_l, plaster), dry_mass(volume_l, plaster)
    growth = hardened.setting_expansion(plaster, low_expansion=given[LOW_EXPANSION])
    return (
        quantity("wet_kg", "set, still wet", wet, "mass", note="the mold without what was spare"),
        quantity("dry_kg", "dry", dry, "mass"),
        quantity(
            "water_to_lose_kg",
            "water to lose",
            wet - dry,
            "mass",
            note=f"{given.show(float(mix.free_water_fraction(plaster)), 'fraction')} of the fresh mold",
        ),
        quantity("wet_kg_per_l", "density wet", mix.wet_density(plaster), "density"),
        quantity("dry_kg_per_l", "density dry", mix.dry_density(plaster), "density"),
        _yield(given, plaster),
        quantity("porosity", "pores, dry", mix.porosity(plaster), "fraction"),
        ranged(
            "absorption",
            "drinks, of its dry mass",
            hardened.absorption(plaster),
            "fraction",
            grade="weak: two printed figures set it",
        ),
        number(
            "strength_mpa",
            "compressive strength, dry",
            hardened.dry_strength(plaster),
            "MPa",
            grade="for ranking mixes only",
        ),
        ranged("setting_expansion", "grows as it sets", growth, "fraction"),
    )


def _yield(given: Given, plaster: Plaster) -> AnswerFigure:
    """Return the yield; over several batches of one's own, with the least and the most of them."""
    from pourwright.materials.plaster.mix import mix_yield

    # rounded as own_yield does
    own = [round(volume / mass, 4) for mass, volume in given.get(OWN_BATCH, ())]
    several = len(own) > 1
    return number(
        "yield_l_per_kg",
        f"mix from a {'pound' if given.units == 'us' else 'kilogram'} of plaster",
        mix_yield(plaster),
        "l/kg",
        digits=3 if given.units == "us" else 4,
        low=min(own) if several else None,
        high=max(own) if several else None,
    )


def _ranges(given: Given, plaster: Plaster) -> tuple[str, ...]:
    from pourwright.materials.plaster.mix import beyond_published

    held = "Consistency 25 to 120; densities are published for 32 to 74 and agree there within 2 %."
    if beyond_published(plaster):
        held += " This mix lies beyond them: the law is carried on from the chemistry alone."
    cold, warm = (given.show(one, "temperature") for one in (4.0, 30.0))
    measured = (
        "Measured water counts as a kilogram a liter (2.09 lb a quart), which it is within 0.5 % "
        f"from {cold} to {warm}."
    )
    return (
        held,
        "Entrained air and impure or damp plaster lower every density.",
        *((measured,) if MIX_WATER in given else ()),
    )


def _notes(given: Given) -> tuple[str, ...]:
    """Return what the studio's own batches change."""
    if OWN_BATCH in given:
        counted = len(given[OWN_BATCH])
        batches = "your weighed batch" if counted == 1 else f"your {counted} weighed batches"
        return (f"The yield is that of {batches}, in place of the computed one.",)
    if YIELD in given:
        return ("The yield is your own, in place of the computed one.",)
    return (
        "Weigh a batch and measure what it fills: --own-batch puts your own yield in place of this.",
    )


def _scale_note(given: Given, batch: Batch) -> tuple[str, ...]:
    """Return how far the scale's step alone can shift a small batch's consistency."""
    half = given[SCALE_STEP] / 2
    water, dry = float(batch.water_kg), float(batch.plaster_kg)
    if half >= dry or half >= water:
        return ("The scale's step is as large as what is weighed: mix more, or use a finer scale.",)
    low, high = 100 * (water - half) / (dry + half), 100 * (water + half) / (dry - half)
    if high - low < 2.0:
        return ()
    step = given.show(given[SCALE_STEP], "mass")
    note = (
        f"A scale of {step} steps can put this mix anywhere from consistency {low:.0f} to {high:.0f}: mix more, "
        "or use a finer scale."
    )
    return (note,)


QUESTION = Question(
    id="plaster",
    title="Plaster and water",
    words="What to weigh for a volume of plaster, and what the mold weighs wet and dry. "
    "Tell the volume, the water that fills the master, the plaster that is left, a dry mold's mass, or the "
    "mixing water of your recipe and how many batches.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"volume": "3.2 l", "consistency": "70"},
        {"volume": "2 US qt", "consistency": "70"},
        {"mix_water": "2 qt", "batches": "30"},
        {"mix_water": "2 l", "ice": "300 g", "water_temperature": "15 C"},
        {"plaster_left": "4 kg"},
        {
            "water_fill": "3.2 kg",
            "spare": "5 %",
            "own_batch": ["3 kg fills 3.3 l", "2.4 kg fills 2.62 l"],
        },
    ),
    cautions=("Plaster dust", "Setting plaster burns", "Mixer and bucket", "Plaster waste"),
    one_of=((VOLUME, WATER_FILL, PLASTER_LEFT, DRY_MASS, MIX_WATER),),
    at_most_one=((YIELD, OWN_BATCH),),
)
