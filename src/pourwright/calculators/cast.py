"""``pourwright figure cast``: how long slip must stand, and what a cast takes and gives."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

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

if TYPE_CHECKING:
    from pourwright.materials.casting.fit import FittedRate
    from pourwright.materials.casting.minutes import Minutes
from typing import TYPE_CHECKING

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
        name="liter_weight", kind="quantity", dimension="liter weight", low=1200, high=2100, hint=liter_weight_hint,
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


TESTS = ("test", "second_test", "third_test")
_SOURCES = (
    "The wall grows with the root of the time: Ceramics 8(1), 6 (2025), introduction; round faces from Darcy's law.",
    "Published rates: 4 mm in 3 min (a UK clay supplier's page on a terracotta slip); 3 mm in 10 min (from memory).",
    "Second and third casts in a row: the same supplier's page, 11 to 17 % and 25 % slower.",
    "Warmer slip: viscosity of water, IAPWS SR6-08.",
    "Water balance of slip, cast and mold: mass; a fresh cast's 18 to 22 % is practice and agrees with a UK ball-clay producer's booklet.",
)
_STEP = 0.5
"""What short times are rounded to. [min]"""
_ROW = ("length", "in", "duration")
_ROW_LIMITS = ((0.6, 100), (0.1, 10_000))

ASKS = (
    Ask(
        name="wall", kind="quantity", dimension="length", low=0.5, high=50,
        meaning="Wall wanted, fresh in the mold.", example="5 mm", example_us="3/16 in",
        source="no time is worked out",
    ),
    Ask(
        name="test", kind="row", row=_ROW, limits=_ROW_LIMITS, many=True,
        meaning="A test cast in a dry mold: the wall that grew, and how long it stood.",
        example="4.1 mm in 6 min", example_us="5/32 in in 6 min",
        source="only a range from published rates: no single time before a test cast",
    ),
    Ask(
        name="second_test", kind="row", row=_ROW, limits=_ROW_LIMITS, many=True,
        meaning="The same of a mold's second cast in a row.", example="4 mm in 7 min", example_us="5/32 in in 7 min",
    ),
    Ask(
        name="third_test", kind="row", row=_ROW, limits=_ROW_LIMITS, many=True,
        meaning="The same of its third cast in a row.", example="4 mm in 8 min", example_us="5/32 in in 8 min",
    ),
    Ask(
        name="cast_in_a_row", kind="whole", low=1, high=3, default="1", example="2",
        hint="Nothing is published beyond the third: time a test cast.",
        meaning="Which cast of the mold in a row it will be.", source="a dry mold",
    ),
    Ask(
        name="shape", kind="choice", choices=("flat", "inside a tube", "inside a ball", "around a rod"),
        default="flat", meaning="The mold's face that the wall grows on.", example="inside a tube",
        source="most walls are thin beside their radius; a cup is a tube",
    ),
    Ask(
        name="radius", kind="quantity", dimension="length", low=1, high=5000,
        meaning="Radius of that face of the mold.", example="40 mm", example_us="1 1/2 in",
        source="needed unless the shape is flat",
    ),
    Ask(
        name="solid", kind="choice", choices=("slab", "rod", "ball"),
        meaning="Cast solid, in place of a wall: a slab between two faces, a rod or a ball.", example="slab",
    ),
    Ask(
        name="thickness", kind="quantity", dimension="length", low=1, high=200,
        meaning="How thick the slab is, or the rod's or ball's diameter.", example="6 mm", example_us="1/4 in",
    ),
    Ask(
        name="test_temperature", kind="quantity", dimension="temperature", low=0, high=60,
        meaning="Temperature of slip and mold in the test casts.", example="20 C", example_us="68 F",
    ),
    Ask(
        name="temperature", kind="quantity", dimension="temperature", low=0, high=60,
        meaning="Temperature of slip and mold today.", example="26 C", example_us="79 F",
        source="as in the test casts",
    ),
    Ask(
        name="spare", kind="row", row=("length", "after", "duration"), limits=_ROW_LIMITS,
        meaning="The wall found in a spare that was cut just now, and how long that mold had stood.",
        example="4.2 mm after 8 min", example_us="5/32 in after 8 min",
    ),
    Ask(
        name="stood", kind="quantity", dimension="duration", low=0, high=10_000,
        meaning="How long the other molds have stood now.", example="9 min",
        source="as long as the mold that was cut",
    ),
    *WATER_ASKS,
)  # fmt: skip


def answer(given: Given) -> Answer:
    """Return the time to stand, and what a cast takes of the slip and gives to the mold."""
    says, figures, notes = _time(given)
    told, balance, more = water_answer(given)
    if not (says or told):
        right = 'write the wall such as "5 mm", or the face such as --area "500 cm2"'
        raise BadInput.one("--wall", None, right)
    return Answer(
        says=" ".join((*says, *told)),
        figures=(*figures, *balance),
        sources=_SOURCES,
        ranges=(
            "Walls that grow with the root of time: one slip, one kind of mold, slip that does not gel.",
            "The share of a second or third cast is published for one terracotta slip in small molds.",
            "Sharp inside corners and edges that reach into the cast grow otherwise; the formulas know nothing of them.",
        ),
        notes=(*notes, *more),
    )


def _time(given: Given) -> _Part:
    """Return the sentence, figures and notes on time; nothing if no wall is wanted."""
    if "spare" in given:
        return _retimed(given)
    if "solid" in given:
        return _solid(given)
    if "wall" not in given:
        return (), (), ()
    rate = _rate(given)
    if rate is None:
        return _untested(given)
    return _tested(given, rate)


def _rate(given: Given) -> FittedRate | None:
    """Return the rate of the studio's own test casts, in a dry mold."""
    from pourwright.materials.casting.fit import fit_rate

    tests = [(*row, place) for place, name in enumerate(TESTS, 1) for row in given.get(name) or ()]
    return fit_rate(*zip(*tests, strict=True)) if tests else None


def _factor(given: Given) -> float:
    """Return time on the shape over time on a flat face. [-]."""
    from pourwright.materials.casting.shapes import time_factor

    if given["shape"] == "flat":
        return 1.0
    if "radius" not in given:
        right = 'write the radius of the mold\'s face, such as "40 mm"'
        raise BadInput.one("--radius", None, right, "A round face needs it.")
    return float(time_factor(given["shape"], given["wall"] / given["radius"]))


def _warmth(given: Given) -> float:
    """Return today's rate over that of the tests, by temperature. [-]."""
    from pourwright.materials.casting.physics import rate_at_temperature

    if "temperature" not in given:
        return 1.0
    if "test_temperature" not in given:
        right = 'write the temperature of the tests, such as "20 C"'
        raise BadInput.one("--test-temperature", None, right)
    return float(rate_at_temperature(1.0, given["test_temperature"], given["temperature"]))


def _untested(given: Given) -> _Part:
    from pourwright.materials.casting.minutes import minutes_without_a_test

    found = minutes_without_a_test(given["wall"])
    by = _factor(given)
    low, high = float(found.low) * by, float(found.high) * by
    time = quantity("stand_min", "stand", None, "duration", low=low, high=high, note=found.basis)
    ends = f"{given.show(low, 'duration')} to {given.show(high, 'duration')}"
    says = f"Published rates give {ends} for {given.show(given['wall'], 'length')}; no single time is honest before a test cast."
    note = (
        'Cast one, cut it, and tell it: --test "4 mm in 6 min". Each further one narrows the range.'
    )
    return (says,), (time,), (note,)


def _tested(given: Given, rate: FittedRate) -> _Part:
    from pourwright.materials.casting.fit import share_of_dry_rate

    by = _factor(given) / _warmth(given)
    slow, fast = share_of_dry_rate(given["cast_in_a_row"])
    found = rate.minutes(given["wall"])
    low, best, high = (
        float(end) * by / share
        for end, share in (
            (found.low, fast),
            (found.best or 0.0, (slow + fast) / 2),
            (found.high, slow),
        )
    )
    stand = quantity("stand_min", "stand", best, "duration", low=low, high=high,
                     note=f"nine casts of ten; {found.basis}")  # fmt: skip
    ends = f"{given.show(low, 'duration')} to {given.show(high, 'duration')}"
    wall = given.show(given["wall"], "length")
    says = f"Let it stand {given.show(best, 'duration')} for {wall}; nine casts of ten take {ends}."
    speed = number("rate_mm2_per_min", "casting rate, dry mold", rate.best_mm2_per_min, "mm2/min",
                   low=rate.low_mm2_per_min, high=rate.high_mm2_per_min)  # fmt: skip
    return (says,), (stand, speed), _doubts(given, rate)


def _doubts(given: Given, rate: FittedRate) -> tuple[str, ...]:
    """Return what tells against the tests, or what would narrow them."""
    from pourwright.materials.casting.fit import fits_root_of_time
    from pourwright.materials.casting.minutes import BELIEVABLE_RATES

    notes = []
    low, high = BELIEVABLE_RATES
    if not low <= rate.best_mm2_per_min <= high:
        notes.append("No such casting rate is published: measure its wall and time once more.")
    dry: Any = given.get("test") or ()
    if len(dry) and fits_root_of_time(*zip(*dry, strict=True)) is False:
        notes.append(
            "These walls do not grow with the root of time: the slip may gel; do not use this time."
        )
    notes.append(
        "On the day: cut the spare, measure the wall, and tell it with --spare; it retimes the others."
    )
    return tuple(notes)


def _solid(given: Given) -> _Part:
    from pourwright.materials.casting.minutes import (
        PUBLISHED_RATE_HIGH,
        PUBLISHED_RATE_LOW,
    )
    from pourwright.materials.casting.shapes import minutes_to_fill

    half, warm, rate = given["thickness"] / 2, _warmth(given), _rate(given)
    rates = (
        (PUBLISHED_RATE_LOW, PUBLISHED_RATE_HIGH)
        if rate is None
        else (rate.low_mm2_per_min, rate.high_mm2_per_min)
    )
    high, low = (float(minutes_to_fill(given["solid"], half, one)) / warm for one in rates)
    best = (
        None
        if rate is None
        else float(minutes_to_fill(given["solid"], half, rate.best_mm2_per_min)) / warm
    )
    ends = f"{given.show(low, 'duration', _STEP)} to {given.show(high, 'duration', _STEP)}"
    stand = quantity("stand_min", "closes in", best, "duration", low=low, high=high, step=_STEP)
    says = (
        f"It closes in {ends}."
        if best is None
        else f"It closes in {given.show(best, 'duration', _STEP)}; {ends} in nine casts of ten."
    )
    notes = ("Keep feeding slip until it has closed, or a hollow is left along its middle (ASTM C326 asks the same).",
             "From one face only, a slab takes four times as long.")  # fmt: skip
    return (says,), (stand,), notes


def _retimed(given: Given) -> _Part:
    """Return how much longer the molds stand, from the wall of a cut spare."""
    from pourwright.materials.casting.fit import minutes_still_to_stand

    if "wall" not in given:
        raise BadInput.one("--wall", None, 'write the wall that is wanted, such as "5 mm"')
    wall, then = given["spare"]
    now = then if given.get("stood") is None else given["stood"]
    left: Minutes = minutes_still_to_stand(given["wall"], wall, then, now)
    low, best, high = (float(end) for end in (left.low, left.best or 0.0, left.high))
    rate = number("rate_mm2_per_min", "casting rate today", wall**2 / then, "mm2/min")
    stand = quantity("more_min", "still to stand", max(best, 0.0), "duration", step=_STEP, low=max(low, 0.0),
                     high=max(high, 0.0), note=left.basis)  # fmt: skip
    if best <= 0:
        return ("Drain now: the wall is there already.",), (stand, rate), ()
    ends = (
        f"{given.show(max(low, 0.0), 'duration', _STEP)} to {given.show(high, 'duration', _STEP)}"
    )
    return (
        (
            f"Let them stand {given.show(best, 'duration', _STEP)} more; {ends}, as a wall reads to a quarter of a millimeter.",
        ),
        (stand, rate),
        (),
    )


QUESTION = Question(
    id="cast",
    title="Casting",
    words="How long slip must stand for a wall, and what a cast takes of the slip and gives to the mold. "
    "Tell the wall and your test casts; for the water also the face and the slip's weight. "
    "A spare that was cut retimes the molds that still stand.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"wall": "5 mm", "test": ["4.1 mm in 6 min", "5.9 mm in 12 min", "4.9 mm in 8.5 min"]},
        {"wall": "5 mm"},
        {"wall": "5 mm", "spare": "4.2 mm after 8 min", "stood": "9 min"},
        {"wall": "5 mm", "test": "6 mm in 12 min", "shape": "inside a tube", "radius": "25 mm"},
        {"solid": "slab", "thickness": "6 mm", "test": "6 mm in 12 min"},
        {"wall": "4 mm", "area": "0.05 m2", "liter_weight": "1780 g/l", "dry_mold": "4 kg",
         "fill": "0.9 l", "molds": "4", "tank": "20 l", "rounds": "10"},
    ),
    cautions=("Lifting", "Soda ash and silicate"),
    together=(("solid", "thickness"),),
    at_most_one=(("wall", "solid"),),
)  # fmt: skip
