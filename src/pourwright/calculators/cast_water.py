"""What a cast takes of the slip and gives to the mold: the second half of ``figure cast``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pourwright.calculators.question import Ask, Figure, Given, number, quantity
from pourwright.errors import BadInput

if TYPE_CHECKING:
    from pourwright.materials.casting.water import WaterBalance

WATER_ASKS = (
    Ask(
        name="area", kind="quantity", dimension="area", low=0.0001, high=20,
        meaning="Face of the mold that the slip touches, for the water: with the wall it is the cast.",
        example="500 cm2", example_us="78 sq in", source="no water is worked out",
    ),
    Ask(
        name="kept", kind="quantity", dimension="volume", low=0.001, high=1000,
        meaning="Or slip that one cast kept: filled and topped up, less what was drained.",
        example="0.3 l", example_us="10 US fl oz",
    ),
    Ask(
        name="liter_weight", kind="quantity", dimension="liter weight", low=1200, high=2100,
        meaning="What the slip weighs, a liter or a pint of it.", example="1780 g/l",
        example_us="29.7 oz/US pint", studio="slip.liter_weight", source="needed for the water: weigh yours",
    ),
    Ask(
        name="cast_moisture", kind="quantity", dimension="fraction", low=0.05, high=0.4, default="20 %",
        meaning="Water in the fresh cast, of its wet mass.", example="21 %",
        source="practice, 18 to 22 %; both ends are worked out too",
    ),
    Ask(
        name="solids", kind="number", unit="kg/l", low=2.2, high=3.5, default="2.6", example="2.55",
        meaning="Density of the dry solids.", source="two handbooks: clays 2.5, with glaze materials to 2.6",
        studio="slip.solids_density",
    ),
    Ask(
        name="dry_mold", kind="quantity", dimension="mass", low=0.05, high=5000,
        meaning="The mold's dry mass: how many casts it takes before it must rest.",
        example="4 kg", example_us="9 lb",
    ),
    Ask(
        name="free_water", kind="quantity", dimension="fraction", low=0, high=0.5, default="5 %",
        meaning="Free water that the mold holds now, of its dry mass.", example="8 %",
        source="a plaster maker's bulletin: good practice for a working mold",
    ),
    Ask(
        name="most_free_water", kind="quantity", dimension="fraction", low=0.01, high=0.2, default="15 %",
        meaning="Free water at which it must rest, of its dry mass.", example="12 %",
        source="the same bulletin: the most that many shops allow; never measured in print",
    ),
    Ask(
        name="dries_a_day", kind="quantity", dimension="mass", low=0, high=1000,
        meaning="Water that the mold loses in a day and night, from two weighings or from figure drying.",
        example="100 g", example_us="4 oz", source="no cadence is worked out",
    ),
    Ask(
        name="occupied", kind="quantity", dimension="duration", low=1, high=10_000,
        meaning="From filling the mold to the mold being empty again.", example="1 h 30 min",
    ),
    Ask(
        name="working_day", kind="quantity", dimension="duration", low=30, high=1440, default="8 h",
        meaning="Length of the working day.", example="7 h", source="our own choice",
    ),
    Ask(
        name="fill", kind="quantity", dimension="volume", low=0.001, high=1000,
        meaning="What fills the mold, its spare included: how much slip to have ready.",
        example="0.9 l", example_us="30 US fl oz",
    ),
    Ask(
        name="molds", kind="whole", low=1, high=1000, default="1", example="4",
        meaning="Molds that stand filled at one time.", source="one mold",
    ),
    Ask(
        name="tank", kind="quantity", dimension="volume", low=0.1, high=100_000,
        meaning="Slip in the tank that the returns go back to.", example="20 l", example_us="5 US gal",
    ),
    Ask(
        name="rounds", kind="whole", low=1, high=10_000, default="10", example="10",
        meaning="Rounds through the molds since the tank was fresh.", source="our own choice",
    ),
)  # fmt: skip

_MOISTURES = (0.18, 0.22)

_Part = tuple[tuple[str, ...], tuple[Figure, ...], tuple[str, ...]]


def water_answer(given: Given) -> _Part:
    """Return in words and figures where slip and water go; nothing if no cast was told.

    Parameters
    ----------
    given : Given
        What was told.

    Raises
    ------
    BadInput
        If the cast cannot be reckoned from what was told.
    """
    if "area" not in given and "kept" not in given:
        _refuse_alone(given)
        return (), (), ()
    if "liter_weight" not in given:
        raise BadInput.one("--liter-weight", None, 'write what the slip weighs, such as "1780 g/l"')
    made = _balance(given, given["cast_moisture"])
    figures = (
        *_moved(given, made),
        *_rest(given, made),
        *_ready(given, made),
        *_carried(given, made),
    )
    water, cast = (given.show(float(kg), "mass") for kg in (made.water_to_mold_kg, made.cast_kg))
    says = f"One cast of {cast} keeps {given.show(float(made.kept_l), 'volume')} of slip and gives {water} of water to the mold."
    return (says,), figures, _notes(given)


def _refuse_alone(given: Given) -> None:
    """Refuse what is of no use without a cast."""
    for name in ("dry_mold", "fill", "tank", "dries_a_day"):
        if name in given:
            raise BadInput.one("--area", None, f"{given.told[name].ask.option} needs it, or --kept")


def _balance(given: Given, moisture: float) -> WaterBalance:
    from pourwright.materials.casting.water import (
        balance_of_kept_slip,
        cast_volume_l,
        water_balance,
    )

    weight, solids = given["liter_weight"], given["solids"]
    if "kept" in given:
        return balance_of_kept_slip(given["kept"], weight, moisture, solids)
    if "wall" not in given:
        raise BadInput.one(
            "--wall", None, 'write the wall, such as "5 mm": with the face it is the cast'
        )
    return water_balance(cast_volume_l(given["area"], given["wall"]), weight, moisture, solids)


def _ends(given: Given) -> tuple[WaterBalance, WaterBalance] | None:
    """Return the balance at both ends of practice, if the moisture was not told."""
    from pourwright.materials.slip.liter_weight import water_fraction

    driest = float(water_fraction(given["liter_weight"], given["solids"]))
    if given.was_typed("cast_moisture") or driest <= _MOISTURES[1]:
        return None
    return _balance(given, _MOISTURES[1]), _balance(given, _MOISTURES[0])


def _moved(given: Given, made: WaterBalance) -> tuple[Figure, ...]:
    ends = _ends(given)
    water = (float(one.water_to_mold_kg) for one in ends) if ends else (None, None)
    low, high = water
    return (
        quantity("cast_kg", "fresh cast", made.cast_kg, "mass"),
        quantity("cast_l", "its volume", made.cast_l, "volume"),
        quantity("dry_kg", "dry clay in it", made.dry_kg, "mass"),
        quantity("kept_l", "slip that a cast keeps", made.kept_l, "volume"),
        quantity("top_up_l", "sinks while it stands", made.top_up_l, "volume", note="to be topped up"),
        quantity("water_to_mold_kg", "water into the mold", made.water_to_mold_kg, "mass", low=low, high=high,
                 note="cast of 22 % water to 18 %" if ends else ""),
        number("water_per_cast_l", "water, of a liter of cast",
               made.water_to_mold_kg / made.cast_l, "kg/l"),
    )  # fmt: skip


def _rest(given: Given, made: WaterBalance) -> tuple[Figure, ...]:
    """Return how many casts before the mold rests, and how many a day in the long run."""
    ends = _ends(given) or (made, made)
    least, likely, most = (float(one.water_to_mold_kg) for one in (ends[0], made, ends[1]))
    figures: list[Figure] = []
    if "dry_mold" in given:
        figures += _before_rest(given, least, likely, most)
    if "dries_a_day" in given:
        if "occupied" not in given:
            right = 'write how long a cast takes up the mold, such as "1 h 30 min"'
            raise BadInput.one("--occupied", None, right)
        figures.append(_a_day(given, least, likely, most))
    return tuple(figures)


def _before_rest(given: Given, least: float, likely: float, most: float) -> list[Figure]:
    from pourwright.materials.casting.rest import casts_before_rest, free_water_after

    mold, now, limit = given["dry_mold"], given["free_water"], given["most_free_water"]
    low, casts, high = (
        int(casts_before_rest(one, mold, now, limit)) for one in (most, likely, least)
    )
    after = float(free_water_after(casts, likely, mold, now))
    return [
        Figure(name="casts_before_rest", label="casts in a row before it must rest", value=casts, unit="casts",
               low=low, high=high, grade="weak: by the mold's mean water; its face is wetter"),
        quantity("free_water_then", "free water then, of the dry mold", after, "fraction"),
    ]  # fmt: skip


def _a_day(given: Given, least: float, likely: float, most: float) -> Figure:
    from pourwright.materials.casting.rest import casts_a_day

    low, daily, high = (
        float(casts_a_day(one, given["dries_a_day"], given["occupied"], given["working_day"]))
        for one in (most, likely, least)
    )
    return number("casts_a_day", "casts a day, week after week", daily, low=low, high=high,
                  grade="weak: drying is the least certain law")  # fmt: skip


def _ready(given: Given, made: WaterBalance) -> tuple[Figure, ...]:
    from pourwright.materials.casting.water import slip_to_have_ready_l

    if "fill" not in given:
        return ()
    ready = slip_to_have_ready_l(given["fill"], made.top_up_l, given["molds"])
    return (
        quantity("ready_l", "slip to have ready", ready, "volume", note="5 % for what clings and spills: common practice, no source"),
    )  # fmt: skip


def _carried(given: Given, made: WaterBalance) -> tuple[Figure, ...]:
    """Return how often the slip in the tank has been through the molds."""
    from pourwright.materials.slip.returns import rounds_in_the_tank

    if "tank" not in given:
        return ()
    share = float(made.kept_l) * given["molds"] / given["tank"]
    if share > 1:
        right = (
            f"a round keeps {given.show(share * given['tank'], 'volume')}; the tank must hold more"
        )
        raise BadInput.one("--tank", f'"{given.told["tank"].typed}"', right)
    mean = float(rounds_in_the_tank(share, given["rounds"]))
    return (
        number("rounds_in_the_tank", "rounds behind the slip in the tank", mean,
               note=f"what each round picks up in the molds stays so many times over, after {given['rounds']}"),
        number("rounds_in_the_end", "and in the end", (1 - share) / share),
    )  # fmt: skip


def _notes(given: Given) -> tuple[str, ...]:
    notes = [
        "The film that drained slip leaves on the wall is in no source: a few tenths of a millimeter more."
    ]
    if "dry_mold" in given:
        notes.append(
            "Two casts or fewer in eight hours, then 6 to 18 hours of drying, is what industry gives a mold (European patent application 0 211 653)."
        )
        notes.append(
            "The bare-immersion absorption of plaster makers' sheets says nothing of how fast a cast grows."
        )
    if "tank" in given:
        notes.append(
            "No source measured what returns do to a slip: watch the drain time against your own earlier ones."
        )
    return tuple(notes)
