"""``pourwright figure cast``: how long slip must stand, and what a cast takes and gives."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pourwright.calculators.cast_water import WATER_ASKS, water_answer
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


_Part = tuple[tuple[str, ...], tuple[Figure, ...], tuple[str, ...]]


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
