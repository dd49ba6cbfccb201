"""``pourwright figure glaze``: glaze for a number of pieces, and what thin bisque can take."""

from __future__ import annotations

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
from pourwright.errors import BadInput

_SOURCES = (
    "Dry content from the weight of a liter: Norsker and Danisch, Forming Techniques for the Self-Reliant Potter (GTZ, 1991), appendix.",
    "Density of glaze solids 2.5 to 2.65 kg/l: Cardew, Pioneer Pottery (1969), as quoted; CRC Handbook averages, as worked on a potters' list.",
    "Absorption of bisque, 6 to 9 % for cones 04 to 06: a potter's figures on a potters' discussion list (1999).",
    "Coats of 400 to 900 g/m2 on dipped tableware, and 1.2 to 2 for spraying: from memory; your own weighed piece decides.",
)
COATS = ("coat", "coat_test", "coat_thickness")

ASKS = (
    Ask(
        name="area", kind="quantity", dimension="area", low=0.0001, high=20,
        meaning="Glazed area of one piece.", example="800 cm2", example_us="124 sq in",
        source="no glaze for pieces is worked out",
    ),
    Ask(name="pieces", kind="whole", low=1, high=10_000, default="1", example="12", meaning="How many pieces.", source="one piece"),
    Ask(
        name="coat", kind="quantity", dimension="coat", low=20, high=3000,
        meaning="Dry glaze on the ware, by your own weighed piece.", example="700 g/m2", example_us="2.3 oz/ft2",
        source="never assumed: weigh a piece dry before and after glazing",
    ),
    Ask(
        name="coat_test", kind="row", row=("mass", "to", "mass", "on", "area"),
        limits=((0.001, 200), (0.001, 200), (0.0001, 20)),
        meaning="Or a test piece: dry bisque, the same glazed and dried, and its glazed area.",
        example="310 g to 346 g on 500 cm2", example_us="11 oz to 12.2 oz on 78 sq in",
    ),
    Ask(
        name="coat_thickness", kind="quantity", dimension="length", low=0.05, high=5,
        meaning="Or the thickness of the dry, unfired coat.", example="0.5 mm", example_us="1/32 in",
    ),
    Ask(
        name="packing", kind="quantity", dimension="fraction", low=0.3, high=0.74, default="55 %",
        meaning="Share of a dry coat that is solid, with its thickness.", example="50 %",
        source="an assumption, no source: weigh instead where it matters",
    ),
    Ask(
        name="liter_weight", kind="quantity", dimension="liter weight", low=1001, high=2200, hint=liter_weight_hint,
        meaning="What the glaze slurry weighs, a liter or a pint of it.", example="1500 g/l",
        example_us="25 oz/US pint", source="no slurry is worked out",
    ),
    Ask(
        name="solids", kind="number", unit="kg/l", low=2.2, high=3.5, default="2.6", example="2.65",
        meaning="Density of the dry glaze; more with lead, barium or zircon.",
        source="handbooks: 2.6 to 2.65 for glazes without lead or much barium or zircon",
    ),
    Ask(
        name="dry_glaze", kind="quantity", dimension="mass", low=0.01, high=2000,
        meaning="Dry glaze there is: the water it takes and the slurry it makes.", example="2 kg", example_us="4 lb 6 oz",
    ),
    Ask(
        name="left_in_bucket", kind="quantity", dimension="volume", low=0, high=1000, default="0 l",
        meaning="Slurry that must stand in the bucket for the last piece.", example="3 l", example_us="3 US qt",
        source="nothing added: measure how deep your piece dips",
    ),
    Ask(
        name="sprayed_past", kind="number", low=1, high=4, default="1", example="1.5",
        meaning="Slurry sprayed over what lands on the ware; 1 when dipping.",
        source="dipping; 1.2 to 2 for spraying is practice, from memory",
    ),
    Ask(
        name="wall", kind="quantity", dimension="length", low=0.5, high=50,
        meaning="Bisque wall: the most glaze that it can draw.", example="4 mm", example_us="5/32 in",
    ),
    Ask(
        name="absorption", kind="quantity", dimension="fraction", low=0.005, high=0.5,
        meaning="Water that the bisque takes up, of its dry mass: weigh a piece dry and soaked.", example="9 %",
        source="never assumed; 6 to 9 % for bisque of cones 04 to 06",
    ),
    Ask(
        name="bisque_density", kind="number", unit="kg/l", low=1, high=3, default="1.9", example="1.8",
        meaning="Bulk density of the bisque.", source="common practice, no source; figure shrinkage --weighed gives yours",
    ),
    Ask(
        name="faces", kind="whole", low=1, high=2, default="2", example="1",
        meaning="Faces that are glazed at one time.", source="inside and outside dipped together",
    ),
)  # fmt: skip


def answer(given: Given) -> Answer:
    """Return glaze and slurry, and what the bisque can draw."""
    coat = _coat(given)
    parts = (_content(given), _mixed(given), _pieces(given, coat), _drawn(given, coat))
    says = [said for part in parts for said in part[0]]
    figures = [one for part in parts for one in part[1]]
    if coat is not None:
        figures.insert(0, coat)
    if not figures:
        right = (
            'write what the slurry weighs such as "1500 g/l", or a coat such as --coat "700 g/m2"'
        )
        raise BadInput.one("--liter-weight", None, right)
    if not says:
        says = [f"The coat is {given.show(float(coat.value), 'coat')} of dry glaze."]  # type: ignore[union-attr, arg-type]
    return Answer(
        says=" ".join(says),
        figures=tuple(figures),
        sources=_SOURCES,
        ranges=(
            "Slurries without air in them; a density of the solids 0.05 kg/l off moves the dry glaze by 1.2 %.",
            "What the bisque can draw is a ceiling: a quick dip does not fill the wall, and what clings wet comes on top.",
        ),
        notes=_notes(given),
    )


_Part = tuple[list[str], list[Figure]]


def _coat(given: Given) -> Figure | None:
    """Return the coat by weight, however it was told."""
    from pourwright.materials.ware.glaze import (
        coat_from_test_g_per_m2,
        coat_of_thickness_g_per_m2,
    )

    if "coat" in given:
        return quantity("coat_g_per_m2", "coat, dry", given["coat"], "coat")
    if "coat_test" in given:
        found = coat_from_test_g_per_m2(*given["coat_test"])
        return quantity("coat_g_per_m2", "coat, dry", found, "coat", note="by your weighed piece")
    if "coat_thickness" in given:
        ends = (
            given["packing"],
            *((given["packing"],) * 2 if given.was_typed("packing") else (0.45, 0.65)),
        )
        best, low, high = (
            coat_of_thickness_g_per_m2(given["coat_thickness"], one, given["solids"])
            for one in ends
        )
        return quantity("coat_g_per_m2", "coat, dry", best, "coat", low=low, high=high,
                        grade="weak: by its thickness and an assumed packing, 45 to 65 %")  # fmt: skip
    return None


def _content(given: Given) -> _Part:
    """Return what a liter of the slurry holds."""
    from pourwright.materials.slip.liter_weight import dry_kg_per_l, water_kg_per_l

    if "liter_weight" not in given:
        return [], []
    dry, water = (
        float(law(given["liter_weight"], given["solids"])) for law in (dry_kg_per_l, water_kg_per_l)
    )
    said = f"A liter of slurry holds {given.show(dry, 'mass', 0.001)} of dry glaze in {given.show(water, 'mass', 0.001)} of water."
    return [said], [
        number("dry_kg_per_l", "dry glaze in a liter", dry, "kg/l", digits=4),
        number("water_kg_per_l", "water in a liter", water, "kg/l", digits=4),
        number("dry_to_water", "dry glaze over water", dry / water, digits=4),
    ]


def _mixed(given: Given) -> _Part:
    """Return the water that a mass of dry glaze takes."""
    from pourwright.materials.slip.liter_weight import water_to_dry
    from pourwright.materials.ware.glaze import slurry_l

    if "dry_glaze" not in given:
        return [], []
    weight = _weight(given)
    water = given["dry_glaze"] * float(water_to_dry(weight, given["solids"]))
    makes = float(slurry_l(given["dry_glaze"], weight, given["solids"]))
    said = f"{given.show(given['dry_glaze'], 'mass')} of dry glaze and {given.show(water, 'mass')} of water make {given.show(makes, 'volume')}."
    return [said], [
        quantity("water_kg", "water for the dry glaze", water, "mass"),
        quantity("makes_l", "slurry it makes", makes, "volume"),
    ]


def _weight(given: Given) -> float:
    if "liter_weight" not in given:
        raise BadInput.one(
            "--liter-weight", None, 'write what the slurry weighs, such as "1500 g/l"'
        )
    return float(given["liter_weight"])


def _pieces(given: Given, coat: Figure | None) -> _Part:
    """Return the glaze for the pieces, dry and as slurry."""
    from pourwright.materials.ware.glaze import (
        dry_glaze_kg,
        slurry_l,
        slurry_to_mix_l,
    )

    if "area" not in given:
        return [], []
    if coat is None:
        right = 'write the coat such as "700 g/m2"; weigh a piece dry before and after glazing'
        raise BadInput.one("--coat", None, right, "It is never assumed.")
    best, low, high = (
        None if end is None else float(dry_glaze_kg(given["area"], float(end), given["pieces"]))
        for end in (coat.value, coat.low, coat.high)
    )
    many = "1 piece" if given["pieces"] == 1 else f"{given['pieces']} pieces"
    said = f"{given.show(float(best or 0), 'mass')} of dry glaze for {many}"
    figures = [quantity("pieces_kg", f"dry glaze for {many}", best, "mass", low=low, high=high)]
    if "liter_weight" not in given:
        return [said + "."], figures
    on_ware = float(slurry_l(best or 0.0, given["liter_weight"], given["solids"]))
    mix = float(slurry_to_mix_l(on_ware, given["left_in_bucket"], given["sprayed_past"]))
    figures += [
        quantity("on_ware_l", "slurry on the ware", on_ware, "volume"),
        quantity("to_mix_l", "slurry to have ready", mix, "volume", note="with what stays in the bucket or flies past"),
    ]  # fmt: skip
    return [f"{said}: have {given.show(mix, 'volume')} of slurry ready."], figures


def _drawn(given: Given, coat: Figure | None) -> _Part:
    """Return the most that the bisque can draw, and whether the coat is more."""
    from pourwright.materials.ware.glaze import most_coat_g_per_m2

    if "wall" not in given:
        return [], []
    if "absorption" not in given:
        right = 'write what the bisque takes up, such as "9 %"; weigh a piece dry and soaked'
        raise BadInput.one("--absorption", None, right, "It is never assumed.")
    most = float(most_coat_g_per_m2(given["wall"], given["bisque_density"], given["absorption"],
                                    _weight(given), given["faces"], given["solids"]))  # fmt: skip
    shown = given.show(most, "coat")
    said = f"The wall can draw at most {shown} onto each face"
    wanted = None if coat is None or coat.value is None else float(coat.value)
    if wanted is not None and wanted > most:
        said += f", less than the coat of {given.show(wanted, 'coat')}: glaze one face, dry the piece, then the other, or take a heavier slurry"
    figure = quantity("most_coat_g_per_m2", "the bisque can draw, each face", None, "coat", low=0.0, high=most,
                      grade="a ceiling")  # fmt: skip
    return [said + "."], [figure]


def _notes(given: Given) -> tuple[str, ...]:
    notes = []
    if "coat_thickness" in given:
        notes.append(
            "A pin reads 0.1 mm (0.004 in), a fifth of a usual coat: weigh a piece where it matters."
        )
    if "wall" in given:
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
        {"area": "800 cm2", "pieces": "20", "coat": "700 g/m2", "liter_weight": "1500 g/l", "left_in_bucket": "3 l"},
        {"coat_test": "310 g to 346 g on 500 cm2", "area": "500 cm2", "pieces": "12"},
        {"wall": "4 mm", "absorption": "9 %", "liter_weight": "1500 g/l", "coat_thickness": "0.5 mm"},
        {"dry_glaze": "2 kg", "liter_weight": "1450 g/l"},
    ),
    cautions=("Glaze powder", "Food and drink"),
    at_most_one=(COATS,),
)  # fmt: skip
