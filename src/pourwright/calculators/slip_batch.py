"""What goes into a slip to change it or make it: the second half of ``figure slip``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pourwright.calculators.question import Ask, Figure, Given, quantity
from pourwright.errors import BadInput, as_written

if TYPE_CHECKING:
    from pourwright.materials.slip.mixing import Adjustment

BATCH_ASKS = (
    Ask(
        name="target", kind="quantity", dimension="liter weight", low=1001, high=2600,
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
        name="returns_weight", kind="quantity", dimension="liter weight", low=1001, high=2600,
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
