"""``pourwright figure wear``: how many casts a studio's molds have given, and what a cast takes off at most."""

from __future__ import annotations

from pourwright.calculators.question import (
    Answer,
    AnswerFigure,
    AnswerPart,
    Ask,
    Column,
    Given,
    Question,
    Rows,
    number,
)
from pourwright.errors import BadInput, as_written

_SOURCES = (
    "Casts of a mold: your own retired molds, by Kaplan and Meier, J. Am. Stat. Assoc. 53 (1958) 457, with Greenwood's standard error.",
    "Before any was retired, 15, 30 and 60 casts: common practice, no source.",
    "Gypsum in water: a geochemical library (PHREEQC, database of the Dutch waterworks); measured, 2.5 to 3.1 g/l at 25 degC, Lebedev and Kosorukov, Geochem. Int. 55 (2017) 205.",
    "Soda and gypsum, molecule for molecule: molar masses (IUPAC).",
)
_VERDICTS = ("same", "softer", "retire")

RETIRED: Ask[tuple[int, ...]] = Ask(
    name="retired",
    kind="whole",
    many=True,
    low=1,
    high=5000,
    example="30",
    meaning="Casts that a mold had given when it was retired worn out; told for each of them.",
    source="none retired: what others tell, as three cases",
)
IN_USE: Ask[tuple[int, ...]] = Ask(
    name="in_use",
    kind="whole",
    many=True,
    low=1,
    high=5000,
    example="25",
    meaning="Casts so far of a mold that is in use, or was lost in another way; told for each of them.",
    source="none counted",
)
JUDGED: Ask[tuple[tuple[int, str], ...]] = Ask(
    name="judged",
    kind="row",
    row=("whole", "text"),
    many=True,
    limits=((1, 5000), None),
    meaning="A cast of this mold beside the reference piece: same, softer or retire.",
    example="15 softer",
    source="not judged yet",
)
WALL: Ask[float] = Ask(
    name="wall",
    dimension="length",
    low=0.5,
    high=50,
    meaning="Wall of the cast: with the slip's weight what a cast takes off at most.",
    example="4 mm",
    example_us="5/32 in",
    source="no ceiling is worked out",
)
LITER_WEIGHT: Ask[float] = Ask(
    name="liter_weight",
    dimension="liter weight",
    low=1200,
    high=2100,
    meaning="What the slip weighs, a liter or a pint of it.",
    example="1780 g/l",
    example_us="29.7 oz/US pint",
    studio="slip.liter_weight",
    source="needed with the wall",
)
WATER: Ask[float] = Ask(
    name="water",
    kind="number",
    unit="kg/m2",
    low=0,
    high=20,
    example="1.1",
    meaning="Or the water that a cast gives to a square meter of face.",
    source="worked out from the wall",
)
DRY_CLAY: Ask[float] = Ask(
    name="dry_clay",
    kind="number",
    unit="kg/m2",
    low=0,
    high=100,
    example="7.8",
    meaning="Or the dry clay of a cast over a square meter of face, with the soda.",
    source="worked out from the wall",
)
SODA: Ask[float] = Ask(
    name="soda",
    dimension="fraction",
    low=0,
    high=0.02,
    example="0.2 %",
    meaning="Soda ash, or silicate counted as soda, of the dry clay.",
    hint="Doses in print run to 0.7 %.",
)
CONSISTENCY: Ask[float] = Ask(
    name="consistency",
    kind="number",
    low=25,
    high=120,
    default="70",
    example="75",
    meaning="Parts of water to 100 parts of plaster in the mold, by mass.",
    source="plaster makers' data sheets for pottery plaster: 68, 70 and 74",
    studio="plaster.consistency",
)
TEMPERATURE: Ask[float] = Ask(
    name="temperature",
    dimension="temperature",
    low=0,
    high=50,
    default="25 C",
    default_us="77 F",
    meaning="Temperature of the slip.",
    example="20 C",
    example_us="68 F",
    source="where gypsum in water was measured most",
)
ASKS = (
    RETIRED,
    IN_USE,
    JUDGED,
    WALL,
    LITER_WEIGHT,
    WATER,
    DRY_CLAY,
    SODA,
    CONSISTENCY,
    TEMPERATURE,
)


def answer(given: Given) -> Answer:
    """Return the studio's own life of molds, the judgement, and the ceilings."""
    from pourwright.materials.plaster.mold_life import casts_of_a_mold
    from pourwright.materials.plaster.wear import EFFLORESCENCE

    life = casts_of_a_mold(given.get(RETIRED, ()), given.get(IN_USE, ()))
    low, likely, high = (float(end) for end in (life.low, life.likely, life.high))
    own = RETIRED in given
    figure = AnswerFigure(
        name="casts_of_a_mold",
        label="casts a mold gives",
        value=likely if own else None,
        unit="casts",
        low=low,
        high=high,
        note=life.source,
        grade="from your own molds" if own else "what others tell: three cases",
        text=f"{likely:g}" if own else f"{low:g}, {likely:g} or {high:g}",
    )
    judged = _judged(given)
    return Answer(
        says=" ".join((_says(low, likely, high, own=own), *judged.says)),
        figures=(figure, *_ceilings(given)),
        sources=_SOURCES,
        ranges=(
            "A distribution over molds like these; never how many casts this mold has left.",
            "Molds of one master wear alike: ten of them are not ten witnesses.",
            "Ceilings take all the water saturated and all the soda at the face; much of it happens inside the pores.",
        ),
        tables=_held(given),
        notes=(
            *judged.notes,
            "Ceilings say why detail goes before shape; no law makes casts left of them.",
            EFFLORESCENCE,
        ),
    )


def _says(low: float, likely: float, high: float, *, own: bool) -> str:
    if own:
        return f"Nine of ten of your molds gave {low:g} casts or more, half of them {likely:g} or more, one of ten {high:g}."
    return f"No mold of yours is retired yet: others tell of {low:g}, {likely:g} or {high:g} casts; plan with all three."


def _judged(given: Given) -> AnswerPart:
    """Return what the reference piece says, and when to hold a cast beside it again."""
    from pourwright.materials.plaster.wear import JUDGE_EVERY_CASTS

    if JUDGED not in given:
        note = f"Hold every {JUDGE_EVERY_CASTS}th cast beside the reference piece: same, softer, retire."
        return AnswerPart(notes=(note,))
    for cast, word in given[JUDGED]:
        if word not in _VERDICTS:
            right = f'say same, softer or retire after the cast, such as "{cast} softer"'
            raise BadInput.one("--judged", as_written(f"{cast} {word}"), right)
    last, word = max(given[JUDGED])
    due = (last // JUDGE_EVERY_CASTS + 1) * JUDGE_EVERY_CASTS
    if any(one == "retire" for _, one in given[JUDGED]):
        return AnswerPart(says=("It was judged to be retired: cast no edition piece in it.",))
    notes = ("Softer once: look again at every cast that matters.",) if word == "softer" else ()
    return AnswerPart(says=(f"At cast {last} it was {word}; judge cast {due} next.",), notes=notes)


def _ceilings(given: Given) -> tuple[AnswerFigure, ...]:
    """Return what one cast can take off the face at most."""
    from pourwright.materials.plaster.mix import Plaster
    from pourwright.materials.plaster.wear import dissolved_depth, exchanged_depth

    mix = Plaster("plaster", given[CONSISTENCY], "told")
    water, clay = _of_the_wall(given)
    figures = []
    if water is not None:
        deep = float(dissolved_depth(water, mix, given[TEMPERATURE]))
        figures.append(_ceiling("dissolved_um", "dissolved, at most", deep))
    if clay is not None and SODA in given:
        deep = float(exchanged_depth(clay, given[SODA], mix))
        figures.append(_ceiling("exchanged_um", "turned to chalk by soda, at most", deep))
    return tuple(figures)


def _ceiling(name: str, label: str, deep_um: float) -> AnswerFigure:
    return number(
        name,
        label,
        None,
        "um",
        low=0.0,
        high=deep_um,
        text=f"{deep_um:.1f} µm a cast",
        grade="a ceiling, never casts left",
    )


def _of_the_wall(given: Given) -> tuple[float | None, float | None]:
    """Return water and dry clay of a cast over its face. [kg/m2]."""
    from pourwright.materials.casting.water import cast_volume_l, water_balance

    if WALL not in given:
        if SODA in given and DRY_CLAY not in given:
            raise BadInput.one("--dry-clay", None, "--soda needs it, or --wall")
        return given.get(WATER), given.get(DRY_CLAY)
    if LITER_WEIGHT not in given:
        raise BadInput.one("--liter-weight", None, 'write what the slip weighs, such as "1780 g/l"')
    made = water_balance(cast_volume_l(1.0, given[WALL]), given[LITER_WEIGHT])
    return float(made.water_to_mold_kg), float(made.dry_kg)


def _held(given: Given) -> tuple[Rows, ...]:
    """Return the share of molds that held for longer than each number of casts."""
    from pourwright.materials.plaster.mold_life import mold_survival

    if RETIRED not in given:
        return ()
    held = mold_survival(given[RETIRED], given.get(IN_USE, ()))
    rows = tuple(
        (int(casts), float(share), float(error))
        for casts, share, error in zip(held.casts, held.holding, held.standard_error, strict=True)
    )
    columns = (
        Column(name="casts", label="Casts"),
        Column(name="holding", label="Held for longer", dimension="fraction"),
        Column(name="standard_error", label="Standard error", dimension="fraction"),
    )
    return (Rows(name="survival", caption="Your molds", columns=columns, rows=rows),)


QUESTION = Question(
    id="wear",
    title="Wear of molds",
    words="How many casts your molds have given, as a range, and what one cast takes off a mold at most. "
    "Tell the casts of each retired mold and of those in use; it never says how many casts a mold has left.",
    asks=ASKS,
    answer=answer,
    examples=(
        {
            "retired": ["20", "30", "30", "45"],
            "in_use": ["25", "50"],
            "judged": ["10 same", "15 softer"],
        },
        {"water": "1.1", "dry_clay": "3", "soda": "0.2 %", "consistency": "70"},
        {"wall": "4 mm", "liter_weight": "1780 g/l", "soda": "0.2 %"},
    ),
    cautions=("Plaster waste",),
    at_most_one=((WALL, WATER), (WALL, DRY_CLAY)),
)
