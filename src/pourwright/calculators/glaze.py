"""``pourwright figure glaze``: glaze for a number of pieces, and what thin bisque can take."""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.briefs.fields import liter_weight_hint
from pourwright.calculators.question import (
    Answer,
    AnswerFigure,
    AnswerPart,
    Ask,
    Given,
    Question,
    joined,
    number,
    quantity,
)
from pourwright.calculators.shared import measure_of, of_a_measure
from pourwright.errors import BadInput

_SOURCES = (
    "Dry content from the weight of a liter: Norsker and Danisch, Forming Techniques for the Self-Reliant Potter (GTZ, 1991), appendix.",
    "Density of glaze solids 2.5 to 2.65 kg/l: Cardew, Pioneer Pottery (1969), as quoted; CRC Handbook averages, as worked on a potters' list.",
    "Absorption of bisque, 6 to 9 % for cones 04 to 06: a potter's figures on a potters' discussion list (1999).",
    "Coats of 400 to 900 g/m2 on dipped tableware, and 1.2 to 2 for spraying: from memory; your own weighed piece decides.",
)

AREA: Ask[float] = Ask(
    name="area",
    dimension="area",
    low=0.0001,
    high=20,
    meaning="Glazed area of one piece.",
    example="800 cm2",
    example_us="124 sq in",
    source="no glaze for pieces is worked out",
)
PIECES: Ask[int] = Ask(
    name="pieces",
    kind="whole",
    low=1,
    high=10_000,
    default="1",
    example="12",
    meaning="How many pieces.",
    source="one piece",
)
COAT: Ask[float] = Ask(
    name="coat",
    dimension="coat",
    low=20,
    high=3000,
    meaning="Dry glaze on the ware, by your own weighed piece.",
    example="700 g/m2",
    example_us="2.3 oz/ft2",
    source="never assumed: weigh a piece dry before and after glazing",
)
COAT_TEST: Ask[tuple[float, float, float]] = Ask(
    name="coat_test",
    kind="row",
    row=("mass", "to", "mass", "on", "area"),
    limits=((0.001, 200), (0.001, 200), (0.0001, 20)),
    meaning="Or a test piece: dry bisque, the same glazed and dried, and its glazed area.",
    example="310 g to 346 g on 500 cm2",
    example_us="11 oz to 12.2 oz on 78 sq in",
)
COAT_THICKNESS: Ask[float] = Ask(
    name="coat_thickness",
    dimension="length",
    low=0.05,
    high=5,
    meaning="Or the thickness of the dry, unfired coat.",
    example="0.5 mm",
    example_us="1/32 in",
)
PACKING: Ask[float] = Ask(
    name="packing",
    dimension="fraction",
    low=0.3,
    high=0.74,
    default="55 %",
    meaning="Share of a dry coat that is solid, with its thickness.",
    example="50 %",
    source="an assumption, no source: weigh instead where it matters",
)
LITER_WEIGHT: Ask[float] = Ask(
    name="liter_weight",
    dimension="liter weight",
    low=1001,
    high=2200,
    hint=liter_weight_hint,
    meaning="What the glaze slurry weighs, a liter or a pint of it.",
    example="1500 g/l",
    example_us="25 oz/US pint",
    source="no slurry is worked out",
)
SOLIDS: Ask[float] = Ask(
    name="solids",
    kind="number",
    unit="kg/l",
    low=2.2,
    high=3.5,
    default="2.6",
    example="2.65",
    meaning="Density of the dry glaze; more with lead, barium or zircon.",
    source="handbooks: 2.6 to 2.65 for glazes without lead or much barium or zircon",
)
DRY_GLAZE: Ask[float] = Ask(
    name="dry_glaze",
    dimension="mass",
    low=0.01,
    high=2000,
    meaning="Dry glaze there is: the water it takes and the slurry it makes.",
    example="2 kg",
    example_us="4 lb 6 oz",
)
LEFT_IN_BUCKET: Ask[float] = Ask(
    name="left_in_bucket",
    dimension="volume",
    low=0,
    high=1000,
    default="0 l",
    meaning="Slurry that must stand in the bucket for the last piece.",
    example="3 l",
    example_us="3 US qt",
    source="nothing added: measure how deep your piece dips",
)
SPRAYED_PAST: Ask[float] = Ask(
    name="sprayed_past",
    kind="number",
    low=1,
    high=4,
    default="1",
    example="1.5",
    meaning="Slurry sprayed over what lands on the ware; 1 when dipping.",
    source="dipping; 1.2 to 2 for spraying is practice, from memory",
)
WALL: Ask[float] = Ask(
    name="wall",
    dimension="length",
    low=0.5,
    high=50,
    meaning="Bisque wall: the most glaze that it can draw.",
    example="4 mm",
    example_us="5/32 in",
)
ABSORPTION: Ask[float] = Ask(
    name="absorption",
    dimension="fraction",
    low=0.005,
    high=0.5,
    meaning="Water that the bisque takes up, of its dry mass: weigh a piece dry and soaked.",
    example="9 %",
    source="never assumed; 6 to 9 % for bisque of cones 04 to 06",
)
BISQUE_DENSITY: Ask[float] = Ask(
    name="bisque_density",
    kind="number",
    unit="kg/l",
    low=1,
    high=3,
    default="1.9",
    example="1.8",
    meaning="Bulk density of the bisque.",
    source="common practice, no source; figure shrinkage --weighed gives yours",
)
FACES: Ask[int] = Ask(
    name="faces",
    kind="whole",
    low=1,
    high=2,
    default="2",
    example="1",
    meaning="Faces that are glazed at one time.",
    source="inside and outside dipped together",
)
ASKS = (
    AREA,
    PIECES,
    COAT,
    COAT_TEST,
    COAT_THICKNESS,
    PACKING,
    LITER_WEIGHT,
    SOLIDS,
    DRY_GLAZE,
    LEFT_IN_BUCKET,
    SPRAYED_PAST,
    WALL,
    ABSORPTION,
    BISQUE_DENSITY,
    FACES,
)


def answer(given: Given) -> Answer:
    """Return glaze and slurry, and what the bisque can draw."""
    coat = _coat(given)
    whole = joined((_content(given), _mixed(given), _pieces(given, coat), _ceiling(given, coat)))
    figures = whole.figures if coat is None else (coat.figure(), *whole.figures)
    if not figures:
        right = (
            'write what the slurry weighs such as "1500 g/l", or a coat such as --coat "700 g/m2"'
        )
        raise BadInput.one("--liter-weight", None, right)
    says = whole.says
    if coat is not None and not says:
        says = (f"The coat is {given.show(coat.likely, 'coat')} of dry glaze.",)
    return Answer(
        says=" ".join(says),
        figures=figures,
        sources=_SOURCES,
        ranges=(
            "Slurries without air in them; a density of the solids 0.05 kg/l off moves the dry glaze by 1.2 %.",
            "What the bisque can draw is a ceiling: a quick dip does not fill the wall, and what clings wet comes on top.",
        ),
        notes=_notes(given),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Coat:
    """The coat of dry glaze by weight, and its range if it is not weighed. [g/m2]"""

    likely: float
    low: float | None = None
    high: float | None = None
    note: str = ""
    grade: str = ""

    def figure(self) -> AnswerFigure:
        """Return it as a figure."""
        return quantity(
            "coat_g_per_m2",
            "coat, dry",
            self.likely,
            "coat",
            low=self.low,
            high=self.high,
            note=self.note,
            grade=self.grade,
        )


def _coat(given: Given) -> _Coat | None:
    """Return the coat by weight, however it was told."""
    from pourwright.materials.ware.glaze import (
        coat_from_test_g_per_m2,
        coat_of_thickness_g_per_m2,
    )

    if COAT in given:
        return _Coat(likely=given[COAT])
    if COAT_TEST in given:
        found = coat_from_test_g_per_m2(*given[COAT_TEST])
        return _Coat(likely=float(found), note="by your weighed piece")
    if COAT_THICKNESS in given:
        packing = given[PACKING]
        loose, dense = (packing, packing) if given.was_typed(PACKING) else (0.45, 0.65)
        likely, low, high = (
            float(coat_of_thickness_g_per_m2(given[COAT_THICKNESS], one, given[SOLIDS]))
            for one in (packing, loose, dense)
        )
        return _Coat(
            likely=likely,
            low=low,
            high=high,
            grade="weak: by its thickness and an assumed packing, 45 to 65 %",
        )
    return None


def _content(given: Given) -> AnswerPart:
    """Return what a liter of the slurry holds."""
    from pourwright.materials.slip.liter_weight import dry_kg_per_l, water_kg_per_l

    if LITER_WEIGHT not in given:
        return AnswerPart()
    dry, water = (
        float(law(given[LITER_WEIGHT], given[SOLIDS])) for law in (dry_kg_per_l, water_kg_per_l)
    )
    measure, liters = measure_of(given)
    held, wet = (given.show(one * liters, "mass", 0.001) for one in (dry, water))
    said = f"A {measure} of slurry holds {held} of dry glaze in {wet} of water."
    figures = (
        *of_a_measure(given, dry, water, "dry glaze"),
        number("dry_to_water", "dry glaze over water", dry / water, digits=4),
    )
    return AnswerPart(says=(said,), figures=figures)


def _mixed(given: Given) -> AnswerPart:
    """Return the water that a mass of dry glaze takes."""
    from pourwright.materials.slip.liter_weight import water_to_dry
    from pourwright.materials.ware.glaze import slurry_l

    if DRY_GLAZE not in given:
        return AnswerPart()
    weight = _weight(given)
    water = given[DRY_GLAZE] * float(water_to_dry(weight, given[SOLIDS]))
    makes = float(slurry_l(given[DRY_GLAZE], weight, given[SOLIDS]))
    said = f"{given.show(given[DRY_GLAZE], 'mass')} of dry glaze and {given.show(water, 'mass')} of water make {given.show(makes, 'volume')}."
    figures = (
        quantity("water_kg", "water for the dry glaze", water, "mass"),
        quantity("makes_l", "slurry it makes", makes, "volume"),
    )
    return AnswerPart(says=(said,), figures=figures)


def _weight(given: Given) -> float:
    if LITER_WEIGHT not in given:
        raise BadInput.one(
            "--liter-weight", None, 'write what the slurry weighs, such as "1500 g/l"'
        )
    return given[LITER_WEIGHT]


def _pieces(given: Given, coat: _Coat | None) -> AnswerPart:
    """Return the glaze for the pieces, dry and as slurry."""
    from pourwright.materials.ware.glaze import (
        dry_glaze_kg,
        slurry_l,
        slurry_to_mix_l,
    )

    if AREA not in given:
        return AnswerPart()
    if coat is None:
        right = 'write the coat such as "700 g/m2"; weigh a piece dry before and after glazing'
        raise BadInput.one("--coat", None, right, "It is never assumed.")
    likely = float(dry_glaze_kg(given[AREA], coat.likely, given[PIECES]))
    low, high = (
        None if end is None else float(dry_glaze_kg(given[AREA], end, given[PIECES]))
        for end in (coat.low, coat.high)
    )
    many = "1 piece" if given[PIECES] == 1 else f"{given[PIECES]} pieces"
    said = f"{given.show(likely, 'mass')} of dry glaze for {many}"
    dry = quantity("pieces_kg", f"dry glaze for {many}", likely, "mass", low=low, high=high)
    if LITER_WEIGHT not in given:
        return AnswerPart(says=(f"{said}.",), figures=(dry,))
    on_ware = float(slurry_l(likely, given[LITER_WEIGHT], given[SOLIDS]))
    mix = float(slurry_to_mix_l(on_ware, given[LEFT_IN_BUCKET], given[SPRAYED_PAST]))
    figures = (
        dry,
        quantity("on_ware_l", "slurry on the ware", on_ware, "volume"),
        quantity(
            "to_mix_l",
            "slurry to have ready",
            mix,
            "volume",
            note="with what stays in the bucket or flies past",
        ),
    )
    says = f"{said}: have {given.show(mix, 'volume')} of slurry ready."
    return AnswerPart(says=(says,), figures=figures)


def _ceiling(given: Given, coat: _Coat | None) -> AnswerPart:
    """Return the most that the bisque can draw, and whether the coat is more."""
    from pourwright.materials.ware.glaze import most_coat_g_per_m2

    if WALL not in given:
        return AnswerPart()
    if ABSORPTION not in given:
        right = 'write what the bisque takes up, such as "9 %"; weigh a piece dry and soaked'
        raise BadInput.one("--absorption", None, right, "It is never assumed.")
    most = most_coat_g_per_m2(
        given[WALL],
        given[BISQUE_DENSITY],
        given[ABSORPTION],
        _weight(given),
        given[FACES],
        given[SOLIDS],
    )
    said = f"The wall can draw at most {given.show(most, 'coat')} onto each face"
    if coat is not None and coat.likely > float(most):
        said += f", less than the coat of {given.show(coat.likely, 'coat')}: glaze one face, dry the piece, then the other, or take a heavier slurry"
    figure = quantity(
        "most_coat_g_per_m2",
        "the bisque can draw, each face",
        None,
        "coat",
        low=0.0,
        high=most,
        grade="a ceiling",
    )
    return AnswerPart(says=(f"{said}.",), figures=(figure,))


def _notes(given: Given) -> tuple[str, ...]:
    notes = []
    if COAT_THICKNESS in given:
        notes.append(
            f"A pin reads {'0.004 in' if given.units == 'us' else '0.1 mm'}, a fifth of a usual coat: weigh a piece where it matters."
        )
    if WALL in given:
        notes.append("Let the wall dry after a first coat, or the second does not take.")
    return (
        *notes,
        "A coat that fits says nothing of food contact: figure limits shows what is leached at most.",
    )


QUESTION = Question(
    id="glaze",
    title="Glaze",
    words="Glaze and slurry for a number of pieces, and the most that thin bisque can draw. "
    "Tell the slurry's weight, the glazed area and a coat from a piece that you weighed.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"liter_weight": "1500 g/l"},
        {
            "area": "800 cm2",
            "pieces": "20",
            "coat": "700 g/m2",
            "liter_weight": "1500 g/l",
            "left_in_bucket": "3 l",
        },
        {"coat_test": "310 g to 346 g on 500 cm2", "area": "500 cm2", "pieces": "12"},
        {
            "wall": "4 mm",
            "absorption": "9 %",
            "liter_weight": "1500 g/l",
            "coat_thickness": "0.5 mm",
        },
        {"dry_glaze": "2 kg", "liter_weight": "1450 g/l"},
    ),
    cautions=("Glaze powder", "Food and drink"),
    at_most_one=((COAT, COAT_TEST, COAT_THICKNESS),),
)
