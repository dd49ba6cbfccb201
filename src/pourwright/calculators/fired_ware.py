"""What ware weighs, drinks and shrinks to by its water: the second half of ``figure shrinkage``."""

from __future__ import annotations

from pourwright.calculators.question import Ask, Figure, Given, quantity

_DOUBT = 0.02
"""How well a critical moisture is taken to be known; our own choice. [-]"""

WARE_ASKS = (
    Ask(
        name="dry_mass", kind="quantity", dimension="mass", low=0.001, high=5000,
        meaning="A piece bone dry: what it weighs fired.", example="1000 g", example_us="2 lb 3 oz",
    ),
    Ask(
        name="loss_on_ignition", kind="quantity", dimension="fraction", low=0, high=0.4,
        meaning="What the body loses in the kiln, of its dry mass; the supplier's sheet says it.",
        example="10 %", source="never assumed; 10 to 12 % for most bodies",
    ),
    Ask(
        name="cast_moisture", kind="quantity", dimension="fraction", low=0.01, high=0.59,
        meaning="Water of the fresh cast, of its wet mass: dry shrinkage guessed from it.", example="20 %",
    ),
    Ask(
        name="critical_moisture", kind="quantity", dimension="fraction", low=0, high=0.5,
        meaning="Water at which it stops shrinking, of its wet mass.", example="16 %",
        source="never assumed; one ball clay's 16 % is all that was found in print",
    ),
    Ask(
        name="solids", kind="number", unit="kg/l", low=2.2, high=3.5, default="2.6", example="2.55",
        meaning="Density of the dry solids.", source="two handbooks: clays 2.5, with glaze materials to 2.6",
        studio="slip.solids_density",
    ),
    Ask(
        name="weighed", kind="row", row=("mass", "dry", "mass", "hung", "mass", "soaked"),
        limits=((0.001, 100), (0, 100), (0.001, 100)),
        meaning="A fired piece dry, hung in water after boiling and soaking, and wiped: absorption and porosity.",
        example="100 g dry 62 g hung 108 g soaked", example_us="4 oz dry 2.5 oz hung 4.3 oz soaked",
    ),
)  # fmt: skip


def ware_figures(given: Given) -> tuple[tuple[Figure, ...], tuple[str, ...]]:
    """Return what was worked out of masses and moistures, and notes on it.

    Parameters
    ----------
    given : Given
        What was told.

    Raises
    ------
    OutOfRange
        If the weighings do not stand in the order hung, dry, soaked.
    """
    figures: list[Figure] = []
    notes: list[str] = []
    if "dry_mass" in given:
        figures.append(_fired_mass(given))
    if "cast_moisture" in given:
        figures.append(_by_water(given))
        notes.append("Shrinkage by water is a guide only: a measured bar replaces it.")
    if "weighed" in given:
        figures += _tested(given)
        notes.append(
            "The test asks for five unglazed pieces of 50 g (1.8 oz) or more, boiled five hours and soaked a day (ASTM C373)."
        )
    return tuple(figures), tuple(notes)


def _fired_mass(given: Given) -> Figure:
    from pourwright.materials.ware.shrinkage import fired_mass_kg

    fired = fired_mass_kg(given["dry_mass"], given["loss_on_ignition"])
    return quantity("fired_kg", "weighs fired", fired, "mass")


def _by_water(given: Given) -> Figure:
    from pourwright.materials.ware.shrinkage import dry_shrinkage_from_moisture

    cast, critical = given["cast_moisture"], given["critical_moisture"]
    ends = (critical, min(critical + _DOUBT, cast), max(critical - _DOUBT, 0.0))
    best, low, high = (
        float(dry_shrinkage_from_moisture(cast, one, given["solids"])) for one in ends
    )
    return quantity("dry_shrinkage_by_water", "dry shrinkage by its water", best, "fraction", low=low, high=high,
                    note="critical moisture two points either way: our own choice",
                    grade="weak: a critical moisture is hardly ever published")  # fmt: skip


def _tested(given: Given) -> list[Figure]:
    from pourwright.materials.ware.fired_body import fired_body

    body = fired_body(*given["weighed"])
    return [
        quantity("absorption", "drinks, of its dry mass", body.absorption, "fraction"),
        quantity("porosity", "open pores, of its volume", body.porosity, "fraction"),
        quantity("bulk_kg_per_l", "bulk density", body.bulk_kg_per_l, "density"),
        quantity("apparent_kg_per_l", "density without open pores", body.apparent_kg_per_l, "density"),
    ]  # fmt: skip
