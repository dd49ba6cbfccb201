"""``pourwright figure shrinkage``: from the original to the fired piece, and back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pourwright.calculators.question import (
    Answer,
    AnswerFigure,
    AnswerPart,
    Ask,
    Column,
    Given,
    Question,
    Rows,
    joined,
    number,
    quantity,
)
from pourwright.calculators.shared import SOLIDS
from pourwright.errors import BadInput, as_written

if TYPE_CHECKING:
    from pourwright.materials.ware.dimension_chain import ChainStep
    from pourwright.materials.ware.shrinkage import FiredOn

_DOUBT = 0.02
"""How well a critical moisture is taken to be known; our own choice. [-]"""
_SOURCES = (
    "Shrinkages and their bases: ASTM C326, drying and firing shrinkages of ceramic whiteware clays.",
    "Shrinkages multiply; a length and its cube: geometry.",
    "Setting expansion of plaster, about 0.2 % free: plaster makers' data sheets.",
    "Loss on ignition, 10 to 12 %: two kiln controllers' manuals. Absorption and porosity: ASTM C373.",
)

ORIGINAL: Ask[float] = Ask(
    name="original",
    dimension="length",
    low=0.5,
    high=5000,
    meaning="A length on the original: what it fires to.",
    example="100 mm",
    example_us="4 in",
)
FIRED_LENGTH: Ask[float] = Ask(
    name="fired_length",
    dimension="length",
    low=0.5,
    high=5000,
    meaning="Or a length wanted on the fired piece: what the original must be.",
    example="100 mm",
    example_us="4 in",
)
DRY: Ask[float] = Ask(
    name="dry",
    dimension="fraction",
    low=0,
    high=0.199,
    meaning="Shrinkage from wet to dry, on the wet length; measure a test bar.",
    example="3 %",
    source="never assumed; not needed where the fired figure is the total",
)
FIRED: Ask[float] = Ask(
    name="fired",
    dimension="fraction",
    low=0,
    high=0.299,
    meaning="Shrinkage in the kiln, at your own firing.",
    example="9 %",
    source="never assumed: the supplier's sheet, or a test bar",
)
FIRED_ON: Ask[FiredOn] = Ask(
    name="fired_on",
    kind="choice",
    choices=("dry", "wet", "total"),
    example="dry",
    meaning="The length that the fired figure is told on: dry, wet, or total if drying is in it. Ask the supplier.",
    source="never assumed: the same figure differs by a percent and more",
)
BAR: Ask[tuple[tuple[float, float, float], ...]] = Ask(
    name="bar",
    kind="row",
    row=("length", "dried", "length", "fired", "length"),
    many=True,
    limits=((1, 2000), (1, 2000), (1, 2000)),
    meaning="Or a cast test bar of yours: marks when wet, when dry, when fired; may be told more than once.",
    example="100 mm dried 97 mm fired 88.3 mm",
    example_us="4 in dried 3.88 in fired 3.53 in",
)
RUBBER: Ask[float] = Ask(
    name="rubber",
    dimension="fraction",
    low=0,
    high=0.05,
    default="0 %",
    meaning="Linear shrinkage of the master's rubber; its data sheet says it.",
    example="0.1 %",
    source="our own choice: none until the data sheet is read",
)
PLASTER_EXPANSION: Ask[float] = Ask(
    name="plaster_expansion",
    dimension="fraction",
    low=0,
    high=0.02,
    default="0.2 %",
    meaning="Growth of the plaster as it sets; the bag's sheet says it.",
    example="0.15 %",
    source="plaster makers' data sheets: 0.15 to 0.30 % between consistency 65 and 75",
)
NO_BLOCK_MOLD: Ask[bool] = Ask(
    name="no_block_mold",
    kind="yes or no",
    default="no",
    example="yes",
    meaning="The master is taken straight from the original, without a block mold of plaster.",
    source="original, block mold, master, mold",
)
CLAY_ONLY: Ask[bool] = Ask(
    name="clay_only",
    kind="yes or no",
    default="no",
    example="yes",
    meaning="Leave plaster and rubber out: from the wet cast to the fired piece.",
    source="the whole way from the original",
)
CAPACITY: Ask[float] = Ask(
    name="capacity",
    dimension="volume",
    low=0.001,
    high=1000,
    meaning="Capacity of what was told: the original's, or that wanted of the fired piece.",
    example="0.5 l",
    example_us="16 US fl oz",
)
DRY_MASS: Ask[float] = Ask(
    name="dry_mass",
    dimension="mass",
    low=0.001,
    high=5000,
    meaning="A piece bone dry: what it weighs fired.",
    example="1000 g",
    example_us="2 lb 3 oz",
)
LOSS_ON_IGNITION: Ask[float] = Ask(
    name="loss_on_ignition",
    dimension="fraction",
    low=0,
    high=0.4,
    meaning="What the body loses in the kiln, of its dry mass; the supplier's sheet says it.",
    example="10 %",
    source="never assumed; 10 to 12 % for most bodies",
)
CAST_MOISTURE: Ask[float] = Ask(
    name="cast_moisture",
    dimension="fraction",
    low=0.01,
    high=0.59,
    meaning="Water of the fresh cast, of its wet mass: dry shrinkage guessed from it.",
    example="20 %",
)
CRITICAL_MOISTURE: Ask[float] = Ask(
    name="critical_moisture",
    dimension="fraction",
    low=0,
    high=0.5,
    meaning="Water at which it stops shrinking, of its wet mass.",
    example="16 %",
    source="never assumed; one ball clay's 16 % is all that was found in print",
)
WEIGHED: Ask[tuple[float, float, float]] = Ask(
    name="weighed",
    kind="row",
    row=("mass", "dry", "mass", "hung", "mass", "soaked"),
    limits=((0.001, 100), (0, 100), (0.001, 100)),
    meaning="A fired piece dry, hung in water after boiling and soaking, and wiped: absorption and porosity.",
    example="100 g dry 62 g hung 108 g soaked",
    example_us="4 oz dry 2.5 oz hung 4.3 oz soaked",
)

ASKS = (
    ORIGINAL,
    FIRED_LENGTH,
    DRY,
    FIRED,
    FIRED_ON,
    BAR,
    RUBBER,
    PLASTER_EXPANSION,
    NO_BLOCK_MOLD,
    CLAY_ONLY,
    CAPACITY,
    DRY_MASS,
    LOSS_ON_IGNITION,
    CAST_MOISTURE,
    CRITICAL_MOISTURE,
    SOLIDS,
    WEIGHED,
)


def answer(given: Given) -> Answer:
    """Return lengths along the way, and what the ware weighs and drinks."""
    ware = _ware(given)
    chain = (
        _chain(given) if _is_chain(given) else AnswerPart(says=(_ware_says(given, ware.figures),))
    )
    whole = joined((chain, ware))
    return Answer(
        says=" ".join(whole.says),
        figures=whole.figures,
        sources=_SOURCES,
        ranges=(
            "Free growth and shrinkage, the same in every direction.",
            "Pieces shrink a little less along the way they stood, and sag; a test cast shows it, a bar does not.",
        ),
        tables=whole.tables,
        notes=whole.notes,
    )


def _is_chain(given: Given) -> bool:
    """Whether the clay's shrinkage was told, so that lengths can be worked out."""
    is_told = BAR in given or FIRED in given
    if (ORIGINAL in given or FIRED_LENGTH in given) and not is_told:
        right = (
            'write the supplier\'s figure such as "9 %" with --fired-on, or a test bar with --bar'
        )
        raise BadInput.one("--fired", None, right, "It is never assumed.")
    return is_told


@dataclass(frozen=True, slots=True)
class _Clay:
    """A clay's shrinkage in drying and in the kiln, and the length the latter is told on. [-]"""

    dry: float
    fired: float
    fired_on: FiredOn


def _clay(given: Given) -> _Clay:
    """Return the clay's shrinkage, by test bars or by what was told."""
    if BAR in given:
        wet, dry, fired = (sum(column) for column in zip(*map(_bar, given[BAR]), strict=True))
        return _Clay(1 - dry / wet, 1 - fired / dry, "dry")
    if FIRED_ON not in given:
        right = "say dry, wet or total: which length the supplier measured it on"
        raise BadInput.one("--fired-on", None, right, "It is never assumed.")
    if DRY not in given and given[FIRED_ON] != "total":
        right = 'write the shrinkage from wet to dry, such as "3 %"; a test bar gives it'
        raise BadInput.one("--dry", None, right)
    return _Clay(given.get(DRY, 0.0), given[FIRED], given[FIRED_ON])


def _bar(bar: tuple[float, float, float]) -> tuple[float, float, float]:
    """Return a bar over its wet length, and refuse one that grew."""
    wet, dry, fired = bar
    if not wet >= dry >= fired > 0.5 * wet:
        typed = f'"{wet:g} mm dried {dry:g} mm fired {fired:g} mm"'
        raise BadInput.one(
            "--bar", typed, "each length must be at most the one before, and over half of the first"
        )
    return 1.0, dry / wet, fired / wet


def _steps(given: Given, clay: _Clay) -> tuple[ChainStep, ...]:
    from pourwright.materials.ware.dimension_chain import dimension_chain

    steps = dimension_chain(
        dry=clay.dry,
        fired=clay.fired,
        fired_on=clay.fired_on,
        rubber_shrinkage=given[RUBBER],
        plaster_expansion=given[PLASTER_EXPANSION],
        block_mold=not given[NO_BLOCK_MOLD],
    )
    if BAR not in given and DRY not in given:
        steps = tuple(step for step in steps if step.name != "dry")  # it is not known by itself
    names = [step.name for step in steps]
    return steps[names.index("clay") :] if given[CLAY_ONLY] else steps


def _chain(given: Given) -> AnswerPart:
    """Return the two lengths, the capacities, and every length between."""
    from pourwright.materials.ware.dimension_chain import whole_factor

    clay = _clay(given)
    steps = _steps(given, clay)
    factor = float(whole_factor(steps))
    first = "wet cast" if given[CLAY_ONLY] else "original"
    start, end = _ends(given, steps)
    says = f"{first.capitalize()} to fired piece: {factor:.4f} of the length; make the {first} {1 / factor:.4f} times as long."
    figures: list[AnswerFigure] = [
        number("whole_factor", f"fired piece over {first}", factor, digits=5),
        number("model_factor", f"{first} over fired piece", 1 / factor, digits=5),
    ]
    if start is not None and end is not None:
        if ORIGINAL in given:
            says = f"{given.show(start, 'length')} fires to {_fine(given, end)}."
        else:
            says = f"{given.show(end, 'length')} needs on the {first} {_fine(given, start)}."
        figures += [
            quantity("original_mm", first, start, "length", step=0.01),
            quantity("fired_mm", "fired piece", end, "length", step=0.01),
        ]
    if CAPACITY in given:
        figures.append(_capacity(given, first, factor))
    return AnswerPart(
        says=(says,),
        figures=(*figures, *_clay_figures(given, clay)),
        tables=_along(steps, start),
        notes=_spread(given),
    )


def _capacity(given: Given, first: str, factor: float) -> AnswerFigure:
    from pourwright.materials.ware.shrinkage import volume_factor

    by = float(volume_factor(factor))
    if FIRED_LENGTH in given:
        label, holds = f"the {first} must hold", given[CAPACITY] / by
    else:
        label, holds = "the fired piece holds", given[CAPACITY] * by
    return quantity("capacity_l", label, holds, "volume", note="as the cube of the length")


def _fine(given: Given, length_mm: float) -> str:
    return given.show(length_mm, "length", 0.01)


def _ends(given: Given, steps: tuple[ChainStep, ...]) -> tuple[float | None, float | None]:
    """Return the length on the original and on the fired piece, None where none was told. [mm]"""
    from pourwright.materials.ware.dimension_chain import length_after, length_before

    if ORIGINAL in given:
        return given[ORIGINAL], float(length_after(given[ORIGINAL], steps))
    if FIRED_LENGTH in given:
        return float(length_before(given[FIRED_LENGTH], steps)), given[FIRED_LENGTH]
    return None, None


_STEP_WORDS = {
    "original": "the original",
    "block mold": "the block mold's cavity",
    "master": "the master",
    "mold": "the mold's cavity",
    "clay": "the wet cast",
    "dry": "the dry piece",
    "fired": "the fired piece",
}


def _along(steps: tuple[ChainStep, ...], start: float | None) -> tuple[Rows, ...]:
    from pourwright.materials.ware.dimension_chain import lengths_along

    if start is None:
        return ()
    columns = (
        Column(name="on", label="On"),
        Column(name="length_mm", label="Length", dimension="length", step=0.01),
        Column(name="factor", label="Of the one before", digits=5),
    )
    lengths = lengths_along(start, steps)
    rows = tuple(
        (_STEP_WORDS[step.name], float(length), float(step.factor))
        for step, length in zip(steps, lengths, strict=True)
    )
    return (Rows(name="lengths", caption="The length along the way", columns=columns, rows=rows),)


def _clay_figures(given: Given, clay: _Clay) -> tuple[AnswerFigure, ...]:
    """Return the clay's shrinkage on every base, and what it does to a volume."""
    from pourwright.materials.ware.shrinkage import clay_factors, total_shrinkage

    total = float(total_shrinkage(clay.dry, clay.fired, clay.fired_on))
    figures = [quantity("total_shrinkage", "clay, wet to fired", total, "fraction", step=0.0001)]
    if clay.fired_on != "total" or DRY in given:
        burned = 1 - float(clay_factors(clay.dry, clay.fired, clay.fired_on)[1])
        figures += [
            quantity(
                "dry_shrinkage",
                "clay, wet to dry",
                clay.dry,
                "fraction",
                note="on the wet length",
                step=0.0001,
            ),
            quantity(
                "fired_shrinkage",
                "clay, dry to fired",
                burned,
                "fraction",
                note="on the dry length",
                step=0.0001,
            ),
        ]
    volume = 1 - (1 - total) ** 3
    return (
        *figures,
        quantity("volume_shrinkage", "clay, of its volume", volume, "fraction", step=0.0001),
    )


def _spread(given: Given) -> tuple[str, ...]:
    """Return how far the studio's own bars lie apart."""
    if BAR not in given:
        return (
            "A test bar cast in your own mold and fired in your own kiln replaces the supplier's figure: --bar.",
        )
    totals = sorted(1 - fired / wet for wet, _, fired in given[BAR])
    if len(totals) == 1:
        return (
            "One bar: cast and fire more of them to see how far they lie apart (ASTM C326 asks for ten).",
        )
    low, high = (given.show(end, "fraction") for end in (totals[0], totals[-1]))
    return (f"Your {len(totals)} bars shrank {low} to {high} in all; the mean is used.",)


def _ware_says(given: Given, ware: tuple[AnswerFigure, ...]) -> str:
    if not ware:
        right = (
            'write a shrinkage such as --fired "9 %", a bar, or a mass such as --dry-mass "1 kg"'
        )
        typed = as_written(
            next((one.typed for one in given.told.values() if one.by == "typed"), "")
        )
        raise BadInput.one(
            "the shrinkage", None if typed == '""' else f"not told beside {typed}", right
        )
    return "; ".join(f"{one.label}: {_said(given, one)}" for one in ware[:3]).capitalize() + "."


def _said(given: Given, figure: AnswerFigure) -> str:
    value = figure.value
    return (
        given.show(float(value), figure.dimension)
        if isinstance(value, (int, float))
        else str(value)
    )


def _ware(given: Given) -> AnswerPart:
    """Return what is worked out of masses and moistures."""
    figures: list[AnswerFigure] = []
    notes: list[str] = []
    if DRY_MASS in given:
        figures.append(_fired_mass(given))
    if CAST_MOISTURE in given:
        figures.append(_by_water(given))
        notes.append("Shrinkage by water is a guide only: a measured bar replaces it.")
    if WEIGHED in given:
        figures += _tested(given)
        notes.append(
            f"The test asks for five unglazed pieces of {given.show(0.05, 'mass')} or more, boiled five hours and soaked a day (ASTM C373)."
        )
    return AnswerPart(figures=tuple(figures), notes=tuple(notes))


def _fired_mass(given: Given) -> AnswerFigure:
    from pourwright.materials.ware.shrinkage import fired_mass_kg

    fired = fired_mass_kg(given[DRY_MASS], given[LOSS_ON_IGNITION])
    return quantity("fired_kg", "weighs fired", fired, "mass")


def _by_water(given: Given) -> AnswerFigure:
    from pourwright.materials.ware.shrinkage import dry_shrinkage_from_moisture

    cast, critical = given[CAST_MOISTURE], given[CRITICAL_MOISTURE]
    ends = (critical, min(critical + _DOUBT, cast), max(critical - _DOUBT, 0.0))
    best, low, high = (float(dry_shrinkage_from_moisture(cast, one, given[SOLIDS])) for one in ends)
    return quantity(
        "dry_shrinkage_by_water",
        "dry shrinkage by its water",
        best,
        "fraction",
        low=low,
        high=high,
        note="critical moisture two points either way: our own choice",
        grade="weak: a critical moisture is hardly ever published",
    )


def _tested(given: Given) -> list[AnswerFigure]:
    from pourwright.materials.ware.fired_body import fired_body

    body = fired_body(*given[WEIGHED])
    return [
        quantity("absorption", "drinks, of its dry mass", body.absorption, "fraction"),
        quantity("porosity", "open pores, of its volume", body.porosity, "fraction"),
        quantity("bulk_kg_per_l", "bulk density", body.bulk_kg_per_l, "density"),
        quantity(
            "apparent_kg_per_l", "density without open pores", body.apparent_kg_per_l, "density"
        ),
    ]


QUESTION = Question(
    id="shrinkage",
    title="Shrinkage",
    words="What the original must be for a fired size, and what an original fires to. "
    "Tell the clay's shrinkages and what the fired one is measured on, or a test bar. "
    "Also capacity, fired mass, and absorption from three weighings.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"fired_length": "100 mm", "fired": "12 %", "fired_on": "total", "clay_only": "yes"},
        {
            "original": "100 mm",
            "dry": "3 %",
            "fired": "9 %",
            "fired_on": "dry",
            "capacity": "0.5 l",
        },
        {
            "fired_length": "100 mm",
            "bar": ["100 mm dried 97 mm fired 88.3 mm", "100 mm dried 96.9 mm fired 88 mm"],
        },
        {"dry_mass": "1000 g", "loss_on_ignition": "10 %"},
        {"weighed": "100 g dry 62 g hung 108 g soaked"},
        {"cast_moisture": "20 %", "critical_moisture": "16 %"},
    ),
    at_most_one=((ORIGINAL, FIRED_LENGTH), (BAR, FIRED), (BAR, DRY), (BAR, FIRED_ON)),
    together=((DRY_MASS, LOSS_ON_IGNITION), (CAST_MOISTURE, CRITICAL_MOISTURE)),
)
