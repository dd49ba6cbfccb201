"""``pourwright figure rubber``: what to weigh for a master, and how much at a time."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from pourwright.calculators.question import (
    Answer,
    AnswerFigure,
    Ask,
    Given,
    Question,
    number,
    quantity,
)

if TYPE_CHECKING:
    from pourwright.materials.rubber import RubberBatch

_SOURCES = (
    "Density, mix, pot life and shrinkage: the data sheet of your rubber, as you told them.",
    "At most 30 % of reclaimed rubber, and a fifth of the pot life kept back: common practice, no source.",
)

VOLUME: Ask[float] = Ask(
    name="volume",
    dimension="volume",
    low=0.005,
    high=1000,
    example="2 l",
    example_us="2 US qt",
    meaning="The gap between model and jacket.",
)
WATER_FILL: Ask[float] = Ask(
    name="water_fill",
    dimension="mass",
    low=0.005,
    high=1000,
    example="2 kg",
    example_us="4 lb 6 oz",
    meaning="Or water that fills that gap, weighed at room temperature.",
)
DENSITY: Ask[float] = Ask(
    name="density",
    dimension="density",
    low=0.8,
    high=1.6,
    required=True,
    example="1.1 kg/l",
    example_us="69 lb/ft3",
    meaning="Of the cured rubber, from its data sheet.",
    hint="A specific gravity of 1.1 is 1.1 kg/l; 1100 kg/m3 is 1.1 kg/l.",
)
HARDENER: Ask[float] = Ask(
    name="hardener",
    kind="number",
    low=0.5,
    high=200,
    required=True,
    example="10",
    meaning="Hardener to 100 parts of base, by mass, from the data sheet.",
    hint="1:1 is 100; 10:1 is 10.",
)
RECLAIMED: Ask[float] = Ask(
    name="reclaimed",
    dimension="fraction",
    low=0,
    high=0.3,
    default="0 %",
    example="15 %",
    meaning="Old rubber of the same kind, shredded, stirred in as filler; of the volume.",
    source="none",
    hint="More than 30 % leaves too little new rubber to bind it.",
)
SPARE: Ask[float] = Ask(
    name="spare",
    dimension="fraction",
    low=0,
    high=0.5,
    default="5 %",
    example="5 %",
    meaning="What stays in the cup.",
    source="common practice, no source",
)
SCALE_STEP: Ask[float] = Ask(
    name="scale_step",
    dimension="mass",
    low=0.0001,
    high=0.1,
    default="1 g",
    default_us="1/10 oz",
    example="1 g",
    meaning="Step of the scale.",
    source="common practice, no source",
)
POT_LIFE: Ask[float] = Ask(
    name="pot_life",
    dimension="duration",
    low=1,
    high=600,
    example="30 min",
    meaning="From the data sheet: how long it can be poured.",
    source="not given: how much at a time is not told",
)
MIXING: Ask[float] = Ask(
    name="mixing",
    dimension="duration",
    low=0,
    high=480,
    example="6 min",
    meaning="Stirring one batch, and standing under vacuum if there is one.",
    source="told with the pot life",
)
POURING: Ask[float] = Ask(
    name="pouring",
    dimension="duration",
    low=0.1,
    high=60,
    example="3 min",
    meaning="Pouring one kilogram.",
    source="told with the pot life",
)
SHRINKAGE: Ask[float] = Ask(
    name="shrinkage",
    dimension="fraction",
    low=0,
    high=0.05,
    example="0.3 %",
    meaning="Linear shrinkage of the rubber, from its data sheet.",
    source="never assumed: the data sheet tells it, or a bar of known length that is measured a week later",
)
LENGTH: Ask[float] = Ask(
    name="length",
    dimension="length",
    low=1,
    high=3000,
    example="120 mm",
    example_us="4 3/4 in",
    meaning="A length of the model, to see what the master makes of it.",
    source="told with the shrinkage",
)
ASKS = (
    VOLUME,
    WATER_FILL,
    DENSITY,
    HARDENER,
    RECLAIMED,
    SPARE,
    SCALE_STEP,
    POT_LIFE,
    MIXING,
    POURING,
    SHRINKAGE,
    LENGTH,
)


def answer(given: Given) -> Answer:
    """Return what to weigh, in how many batches, and what shrinks."""
    from pourwright.materials.plaster.volumes import volume_from_water_fill
    from pourwright.materials.rubber import PATCH_TEST, rubber_batch

    if VOLUME in given:
        volume_l = given[VOLUME]
    else:
        volume_l = float(volume_from_water_fill(given[WATER_FILL]))
    batch = rubber_batch(
        volume_l, given[DENSITY], given[HARDENER], reclaimed=given[RECLAIMED], spare=given[SPARE]
    )
    step = given[SCALE_STEP]
    parts = [f"{given.show(batch.base_kg, 'mass', step)} of base"]
    parts += [f"{given.show(batch.hardener_kg, 'mass', step)} of hardener"]
    if given[RECLAIMED] > 0:
        parts += [f"{given.show(batch.reclaimed_kg, 'mass', step)} of shredded rubber"]
    weigh = ", ".join(parts[:-1]) + f" and {parts[-1]}"
    return Answer(
        says=f"Weigh {weigh}. Try a patch first.",
        figures=(*_weights(batch, volume_l, step), *_batches(given, batch), *_lengths(given)),
        sources=_SOURCES,
        ranges=(
            "Density 0.8 to 1.6 kg/l, hardener 0.5 to 200 parts, reclaimed rubber up to 30 %.",
        ),
        notes=(PATCH_TEST, *_notes(given)),
    )


def _weights(batch: RubberBatch, volume_l: float, step: float) -> tuple[AnswerFigure, ...]:
    return (
        quantity("base_kg", "base", batch.base_kg, "mass", step=step),
        quantity("hardener_kg", "hardener", batch.hardener_kg, "mass", step=step),
        quantity("reclaimed_kg", "shredded rubber", batch.reclaimed_kg, "mass", step=step),
        quantity("total_kg", "all of it", batch.total_kg, "mass", step=step),
        quantity("volume_l", "for a gap of", volume_l, "volume"),
    )


def _batches(given: Given, batch: RubberBatch) -> tuple[AnswerFigure, ...]:
    """Return how much is mixed at a time, and how often."""
    if POT_LIFE not in given:
        return ()
    from pourwright.materials.rubber import most_rubber_at_a_time

    most = float(most_rubber_at_a_time(given[POT_LIFE], given[MIXING], given[POURING]))
    batches = max(1, math.ceil(float(batch.total_kg) / most - 1e-9))
    return (
        quantity(
            "at_a_time_kg",
            "most at a time",
            most,
            "mass",
            grade="common practice, no source",
            note="a fifth of the pot life is kept back",
        ),
        number("batches", "batches, of one size", batches, "", text=str(batches)),
        quantity(
            "each_kg", "each", float(batch.total_kg) / batches, "mass", step=given[SCALE_STEP]
        ),
    )


def _lengths(given: Given) -> tuple[AnswerFigure, ...]:
    """Return what a length of the model becomes in the master."""
    if SHRINKAGE not in given:
        return ()
    from pourwright.materials.ware.dimension_chain import dimension_chain

    steps = dimension_chain(dry=0.0, fired=0.0, fired_on="dry", rubber_shrinkage=given[SHRINKAGE])
    factor = next(float(step.factor) for step in steps if step.name == "master")
    return (
        quantity("master_mm", "that length in the master", given[LENGTH] * factor, "length"),
        number("factor", "master over model", factor, "", digits=4),
    )


def _notes(given: Given) -> tuple[str, ...]:
    found = []
    if given[RECLAIMED] > 0:
        found.append(
            "Shredded rubber must be clean, dry and of the same kind; destroying a master this way counts."
        )
    if SHRINKAGE not in given:
        found.append(
            "Shrinkage is never assumed: the data sheet tells it. It belongs to the chain of sizes."
        )
    return tuple(found)


QUESTION = Question(
    id="rubber",
    title="Rubber for masters",
    words="What to weigh for a rubber master, and how much of it at a time. "
    "Tell the gap between model and jacket, and what the rubber's data sheet says.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"volume": "2 l", "density": "1.1 kg/l", "hardener": "10", "spare": "0 %"},
        {
            "water_fill": "2.4 kg",
            "density": "1.12 kg/l",
            "hardener": "100",
            "reclaimed": "15 %",
            "pot_life": "20 min",
            "mixing": "4 min",
            "pouring": "3 min",
            "shrinkage": "0.3 %",
            "length": "120 mm",
        },
    ),
    cautions=("Rubber", "Release and alcohol spray"),
    one_of=((VOLUME, WATER_FILL),),
    together=((POT_LIFE, MIXING, POURING), (SHRINKAGE, LENGTH)),
)
