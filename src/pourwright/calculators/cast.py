"""``pourwright figure cast``: how long slip must stand, and what a cast takes and gives."""

from __future__ import annotations

from typing import TYPE_CHECKING

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
from pourwright.calculators.shared import SOLIDS
from pourwright.errors import BadInput

if TYPE_CHECKING:
    from pourwright.materials.casting.fit import FittedRate
    from pourwright.materials.casting.shapes import Shape, Solid
    from pourwright.materials.casting.water import WaterBalance

_MOISTURES = (0.18, 0.22)
_SOURCES = (
    "The wall grows with the root of the time: Ceramics 8(1), 6 (2025), introduction; round faces from Darcy's law.",
    "Published rates: 4 mm in 3 min (a UK clay supplier's page on a terracotta slip); 3 mm in 10 min (from memory).",
    "Second and third casts in a row: the same supplier's page, 11 to 17 % and 25 % slower.",
    "Warmer slip: viscosity of water, IAPWS SR6-08.",
    "Water balance of slip, cast and mold: mass; a fresh cast's 18 to 22 % is practice and agrees with a UK ball-clay producer's booklet.",
)
FAR = 1.6
"""A wall this many times as thick as a test's takes 2.6 times as long; beyond it a test is asked for."""
_STEP = 0.5
"""What short times are rounded to. [min]"""
_ROW = ("length", "in", "duration")
_ROW_LIMITS = ((0.6, 100), (0.1, 10_000))

WALL: Ask[float] = Ask(
    name="wall",
    dimension="length",
    low=0.5,
    high=50,
    meaning="Wall wanted, fresh in the mold.",
    example="5 mm",
    example_us="3/16 in",
    source="no time is worked out",
)
TEST: Ask[tuple[tuple[float, float], ...]] = Ask(
    name="test",
    kind="row",
    row=_ROW,
    limits=_ROW_LIMITS,
    many=True,
    meaning="A test cast in a dry mold: the wall that grew, and how long it stood.",
    example="4.1 mm in 6 min",
    example_us="5/32 in in 6 min",
    source="only a range from published rates: no single time before a test cast",
)
SECOND_TEST: Ask[tuple[tuple[float, float], ...]] = Ask(
    name="second_test",
    kind="row",
    row=_ROW,
    limits=_ROW_LIMITS,
    many=True,
    meaning="The same of a mold's second cast in a row.",
    example="4 mm in 7 min",
    example_us="5/32 in in 7 min",
)
THIRD_TEST: Ask[tuple[tuple[float, float], ...]] = Ask(
    name="third_test",
    kind="row",
    row=_ROW,
    limits=_ROW_LIMITS,
    many=True,
    meaning="The same of its third cast in a row.",
    example="4 mm in 8 min",
    example_us="5/32 in in 8 min",
)
CAST_IN_A_ROW: Ask[int] = Ask(
    name="cast_in_a_row",
    kind="whole",
    low=1,
    high=3,
    default="1",
    example="2",
    hint="Nothing is published beyond the third: time a test cast.",
    meaning="Which cast of the mold in a row it will be.",
    source="a dry mold",
)
SHAPE: Ask[Shape] = Ask(
    name="shape",
    kind="choice",
    choices=("flat", "inside a tube", "inside a ball", "around a rod"),
    default="flat",
    meaning="The mold's face that the wall grows on.",
    example="inside a tube",
    source="most walls are thin beside their radius; a cup is a tube",
)
RADIUS: Ask[float] = Ask(
    name="radius",
    dimension="length",
    low=1,
    high=5000,
    meaning="Radius of that face of the mold.",
    example="40 mm",
    example_us="1 1/2 in",
    source="needed unless the shape is flat",
)
SOLID: Ask[Solid] = Ask(
    name="solid",
    kind="choice",
    choices=("slab", "rod", "ball"),
    meaning="Cast solid, in place of a wall: a slab between two faces, a rod or a ball.",
    example="slab",
)
THICKNESS: Ask[float] = Ask(
    name="thickness",
    dimension="length",
    low=1,
    high=200,
    meaning="How thick the slab is, or the rod's or ball's diameter.",
    example="6 mm",
    example_us="1/4 in",
)
TEST_TEMPERATURE: Ask[float] = Ask(
    name="test_temperature",
    dimension="temperature",
    low=0,
    high=60,
    meaning="Temperature of slip and mold in the test casts.",
    example="20 C",
    example_us="68 F",
)
TEMPERATURE: Ask[float] = Ask(
    name="temperature",
    dimension="temperature",
    low=0,
    high=60,
    meaning="Temperature of slip and mold today.",
    example="26 C",
    example_us="79 F",
    source="as in the test casts",
)
SPARE: Ask[tuple[float, float]] = Ask(
    name="spare",
    kind="row",
    row=("length", "after", "duration"),
    limits=_ROW_LIMITS,
    meaning="The wall found in a spare that was cut just now, and how long that mold had stood.",
    example="4.2 mm after 8 min",
    example_us="5/32 in after 8 min",
)
STOOD: Ask[float] = Ask(
    name="stood",
    dimension="duration",
    low=0,
    high=10_000,
    meaning="How long the other molds have stood now.",
    example="9 min",
    source="as long as the mold that was cut",
)
AREA: Ask[float] = Ask(
    name="area",
    dimension="area",
    low=0.0001,
    high=20,
    meaning="Face of the mold that the slip touches, for the water: with the wall it is the cast.",
    example="500 cm2",
    example_us="78 sq in",
    source="no water is worked out",
)
KEPT: Ask[float] = Ask(
    name="kept",
    dimension="volume",
    low=0.001,
    high=1000,
    meaning="Or slip that one cast kept: filled and topped up, less what was drained.",
    example="0.3 l",
    example_us="10 US fl oz",
)
LITER_WEIGHT: Ask[float] = Ask(
    name="liter_weight",
    dimension="liter weight",
    low=1200,
    high=2100,
    hint=liter_weight_hint,
    meaning="What the slip weighs, a liter or a pint of it.",
    example="1780 g/l",
    example_us="29.7 oz/US pint",
    studio="slip.liter_weight",
    source="needed for the water: weigh yours",
)
CAST_MOISTURE: Ask[float] = Ask(
    name="cast_moisture",
    dimension="fraction",
    low=0.05,
    high=0.4,
    default="20 %",
    meaning="Water in the fresh cast, of its wet mass.",
    example="21 %",
    source="practice, 18 to 22 %; both ends are worked out too",
)
DRY_MOLD: Ask[float] = Ask(
    name="dry_mold",
    dimension="mass",
    low=0.05,
    high=5000,
    meaning="The mold's dry mass: how many casts it takes before it must rest.",
    example="4 kg",
    example_us="9 lb",
)
FREE_WATER: Ask[float] = Ask(
    name="free_water",
    dimension="fraction",
    low=0,
    high=0.5,
    default="5 %",
    meaning="Free water that the mold holds now, of its dry mass.",
    example="8 %",
    source="a plaster maker's bulletin: good practice for a working mold",
)
MOST_FREE_WATER: Ask[float] = Ask(
    name="most_free_water",
    dimension="fraction",
    low=0.01,
    high=0.2,
    default="15 %",
    meaning="Free water at which it must rest, of its dry mass.",
    example="12 %",
    source="the same bulletin: the most that many shops allow; never measured in print",
)
DRIES_A_DAY: Ask[float] = Ask(
    name="dries_a_day",
    dimension="mass",
    low=0,
    high=1000,
    meaning="Water that the mold loses in a day and night, from two weighings or from figure drying.",
    example="100 g",
    example_us="4 oz",
    source="no cadence is worked out",
)
OCCUPIED: Ask[float] = Ask(
    name="occupied",
    dimension="duration",
    low=1,
    high=10_000,
    meaning="From filling the mold to the mold being empty again.",
    example="1 h 30 min",
)
WORKING_DAY: Ask[float] = Ask(
    name="working_day",
    dimension="duration",
    low=30,
    high=1440,
    default="8 h",
    meaning="Length of the working day.",
    example="7 h",
    source="our own choice",
)
FILL: Ask[float] = Ask(
    name="fill",
    dimension="volume",
    low=0.001,
    high=1000,
    meaning="What fills the mold, its spare included: how much slip to have ready.",
    example="0.9 l",
    example_us="30 US fl oz",
)
MOLDS: Ask[int] = Ask(
    name="molds",
    kind="whole",
    low=1,
    high=1000,
    default="1",
    example="4",
    meaning="Molds that stand filled at one time.",
    source="one mold",
)
TANK: Ask[float] = Ask(
    name="tank",
    dimension="volume",
    low=0.1,
    high=100_000,
    meaning="Slip in the tank that the returns go back to.",
    example="20 l",
    example_us="5 US gal",
)
ROUNDS: Ask[int] = Ask(
    name="rounds",
    kind="whole",
    low=1,
    high=10_000,
    default="10",
    example="10",
    meaning="Rounds through the molds since the tank was fresh.",
    source="our own choice",
)

ASKS = (
    WALL,
    TEST,
    SECOND_TEST,
    THIRD_TEST,
    CAST_IN_A_ROW,
    SHAPE,
    RADIUS,
    SOLID,
    THICKNESS,
    TEST_TEMPERATURE,
    TEMPERATURE,
    SPARE,
    STOOD,
    AREA,
    KEPT,
    LITER_WEIGHT,
    CAST_MOISTURE,
    SOLIDS,
    DRY_MOLD,
    FREE_WATER,
    MOST_FREE_WATER,
    DRIES_A_DAY,
    OCCUPIED,
    WORKING_DAY,
    FILL,
    MOLDS,
    TANK,
    ROUNDS,
)


def answer(given: Given) -> Answer:
    """Return the time to stand, and what a cast takes of the slip and gives to the mold."""
    whole = joined((_time(given), _water(given)))
    if not whole.says:
        right = 'write the wall such as "5 mm", or the face such as --area "500 cm2"'
        raise BadInput.one("--wall", None, right)
    return Answer(
        says=" ".join(whole.says),
        figures=whole.figures,
        sources=_SOURCES,
        ranges=(
            "Walls that grow with the root of time: one slip, one kind of mold, slip that does not gel.",
            "The share of a second or third cast is published for one terracotta slip in small molds.",
            "Sharp inside corners and edges that reach into the cast grow otherwise; the formulas know nothing of them.",
        ),
        notes=whole.notes,
    )


def _time(given: Given) -> AnswerPart:
    """Return the sentence, figures and notes on time; nothing if no wall is wanted."""
    if SPARE in given:
        return _retimed(given)
    if SOLID in given:
        return _solid(given)
    if WALL not in given:
        return AnswerPart()
    rate = _rate(given)
    if rate is None:
        return _untested(given)
    return _tested(given, rate)


def _rate(given: Given) -> FittedRate | None:
    """Return the rate of the studio's own test casts, in a dry mold."""
    from pourwright.materials.casting.fit import fit_rate

    tests = [
        (wall, minutes, place)
        for place, ask in enumerate((TEST, SECOND_TEST, THIRD_TEST), 1)
        for wall, minutes in given.get(ask) or ()
    ]
    return fit_rate(*zip(*tests, strict=True)) if tests else None


def _factor(given: Given) -> float:
    """Return time on the shape over time on a flat face. [-]."""
    from pourwright.materials.casting.shapes import time_factor

    if given[SHAPE] == "flat":
        return 1.0
    if RADIUS not in given:
        right = 'write the radius of the mold\'s face, such as "40 mm"'
        raise BadInput.one("--radius", None, right, "A round face needs it.")
    return float(time_factor(given[SHAPE], given[WALL] / given[RADIUS]))


def _warmth(given: Given) -> float:
    """Return today's rate over that of the tests, by temperature. [-]."""
    from pourwright.materials.casting.physics import rate_at_temperature

    if TEMPERATURE not in given:
        return 1.0
    if TEST_TEMPERATURE not in given:
        right = 'write the temperature of the tests, such as "20 C"'
        raise BadInput.one("--test-temperature", None, right)
    return float(rate_at_temperature(1.0, given[TEST_TEMPERATURE], given[TEMPERATURE]))


def _untested(given: Given) -> AnswerPart:
    from pourwright.materials.casting.minutes import minutes_without_a_test

    found = minutes_without_a_test(given[WALL])
    by = _factor(given)
    low, high = float(found.low) * by, float(found.high) * by
    time = quantity("stand_min", "stand", None, "duration", low=low, high=high, note=found.basis)
    ends = f"{given.show(low, 'duration')} to {given.show(high, 'duration')}"
    says = f"Published rates give {ends} for {given.show(given[WALL], 'length')}; no single time is honest before a test cast."
    note = (
        f'Cast one, cut it, and tell it: --test "{TEST.example_for(given.units)}". '
        "Each further one narrows the range."
    )
    return AnswerPart(says=(says,), figures=(time,), notes=(note,))


def _tested(given: Given, rate: FittedRate) -> AnswerPart:
    from pourwright.materials.casting.fit import share_of_dry_rate

    by = _factor(given) / _warmth(given)
    slow, fast = share_of_dry_rate(given[CAST_IN_A_ROW])
    found = rate.minutes(given[WALL])
    low, best, high = (
        float(end) * by / share
        for end, share in (
            (found.low, fast),
            (found.best or 0.0, (slow + fast) / 2),
            (found.high, slow),
        )
    )
    stand = quantity(
        "stand_min",
        "stand",
        best,
        "duration",
        low=low,
        high=high,
        note=f"nine casts of ten; {found.basis}",
    )
    ends = f"{given.show(low, 'duration')} to {given.show(high, 'duration')}"
    wall = given.show(given[WALL], "length")
    says = f"Let it stand {given.show(best, 'duration')} for {wall}; nine casts of ten take {ends}."
    speed = number(
        "rate_mm2_per_min",
        "casting rate, dry mold",
        rate.best_mm2_per_min,
        "mm2/min",
        low=rate.low_mm2_per_min,
        high=rate.high_mm2_per_min,
    )
    return AnswerPart(
        says=(says, *_far_from_tests(given)), figures=(stand, speed), notes=_doubts(given, rate)
    )


def _far_from_tests(given: Given) -> tuple[str, ...]:
    """Return a warning if the wall is far thicker or thinner than any that was tested."""
    walls = [wall for ask in (TEST, SECOND_TEST, THIRD_TEST) for wall, _ in given.get(ask) or ()]
    thinnest, thickest = min(walls), max(walls)
    if thinnest / FAR <= given[WALL] <= thickest * FAR:
        return ()
    nearest = min((thinnest, thickest), key=lambda wall: abs(wall - given[WALL]))
    times = max(given[WALL] / nearest, nearest / given[WALL])
    size = "thick" if given[WALL] > nearest else "thin"
    return (
        (
            f"That wall is {times:.2g} times as {size} as your test's {given.show(nearest, 'length')}, "
            "and nothing shows that the law goes so far: cast a test nearer to it first."
        ),
    )


def _doubts(given: Given, rate: FittedRate) -> tuple[str, ...]:
    """Return what tells against the tests, or what would narrow them."""
    from pourwright.materials.casting.fit import fits_root_of_time
    from pourwright.materials.casting.minutes import BELIEVABLE_RATES

    notes = []
    low, high = BELIEVABLE_RATES
    if not low <= rate.best_mm2_per_min <= high:
        notes.append("No such casting rate is published: measure its wall and time once more.")
    walls, times = (
        [wall for wall, _ in given.get(TEST) or ()],
        [time for _, time in given.get(TEST) or ()],
    )
    if walls and fits_root_of_time(walls, times) is False:
        notes.append(
            "These walls do not grow with the root of time: the slip may gel; do not use this time."
        )
    notes.append(
        "On the day: cut the spare, measure the wall, and tell it with --spare; the others get the time of that wall."
    )
    return tuple(notes)


def _solid(given: Given) -> AnswerPart:
    from pourwright.materials.casting.minutes import (
        PUBLISHED_RATE_HIGH,
        PUBLISHED_RATE_LOW,
    )
    from pourwright.materials.casting.shapes import minutes_to_fill

    half, warm, rate = given[THICKNESS] / 2, _warmth(given), _rate(given)
    rates = (
        (PUBLISHED_RATE_LOW, PUBLISHED_RATE_HIGH)
        if rate is None
        else (rate.low_mm2_per_min, rate.high_mm2_per_min)
    )
    high, low = (float(minutes_to_fill(given[SOLID], half, one)) / warm for one in rates)
    best = (
        None
        if rate is None
        else float(minutes_to_fill(given[SOLID], half, rate.best_mm2_per_min)) / warm
    )
    ends = f"{given.show(low, 'duration', _STEP)} to {given.show(high, 'duration', _STEP)}"
    stand = quantity("stand_min", "closes in", best, "duration", low=low, high=high, step=_STEP)
    says = (
        f"It closes in {ends}."
        if best is None
        else f"It closes in {given.show(best, 'duration', _STEP)}; {ends} in nine casts of ten."
    )
    notes = (
        "Keep feeding slip until it has closed, or a hollow is left along its middle (ASTM C326 asks the same).",
        "From one face only, a slab takes four times as long.",
    )
    return AnswerPart(says=(says,), figures=(stand,), notes=notes)


def _retimed(given: Given) -> AnswerPart:
    """Return how much longer the molds stand, from the wall of a cut spare."""
    from pourwright.materials.casting.fit import minutes_still_to_stand

    if WALL not in given:
        raise BadInput.one("--wall", None, 'write the wall that is wanted, such as "5 mm"')
    wall, then = given[SPARE]
    now = given.get(STOOD, then)
    left = minutes_still_to_stand(given[WALL], wall, then, now)
    low, best, high = (float(end) for end in (left.low, left.best or 0.0, left.high))
    rate = number("rate_mm2_per_min", "casting rate today", wall**2 / then, "mm2/min")
    stand = quantity(
        "more_min",
        "still to stand",
        max(best, 0.0),
        "duration",
        step=_STEP,
        low=max(low, 0.0),
        high=max(high, 0.0),
        note=left.basis,
    )
    if best <= 0:
        return AnswerPart(says=("Drain now: the wall is there already.",), figures=(stand, rate))
    ends = (
        f"{given.show(max(low, 0.0), 'duration', _STEP)} to {given.show(high, 'duration', _STEP)}"
    )
    says = f"Let them stand {given.show(best, 'duration', _STEP)} more; {ends}, as a wall reads to a quarter of a millimeter."
    return AnswerPart(says=(says,), figures=(stand, rate))


def _water(given: Given) -> AnswerPart:
    """Return where slip and water go; nothing if no cast was told."""
    if AREA not in given and KEPT not in given:
        _refuse_alone(given)
        return AnswerPart()
    if LITER_WEIGHT not in given:
        raise BadInput.one("--liter-weight", None, 'write what the slip weighs, such as "1780 g/l"')
    made = _balance(given, given[CAST_MOISTURE])
    figures = (
        *_moved(given, made),
        *_rest(given, made),
        *_ready(given, made),
        *_carried(given, made),
    )
    water, cast = (given.show(float(kg), "mass") for kg in (made.water_to_mold_kg, made.cast_kg))
    says = f"One cast of {cast} keeps {given.show(float(made.kept_l), 'volume')} of slip and gives {water} of water to the mold."
    return AnswerPart(says=(says,), figures=figures, notes=_water_notes(given))


def _refuse_alone(given: Given) -> None:
    """Refuse what is of no use without a cast."""
    for ask in (DRY_MOLD, FILL, TANK, DRIES_A_DAY):
        if ask in given:
            raise BadInput.one("--area", None, f"{ask.option} needs it, or --kept")


def _balance(given: Given, moisture: float) -> WaterBalance:
    from pourwright.materials.casting.water import (
        balance_of_kept_slip,
        cast_volume_l,
        water_balance,
    )

    weight, solids = given[LITER_WEIGHT], given[SOLIDS]
    if KEPT in given:
        return balance_of_kept_slip(given[KEPT], weight, moisture, solids)
    if WALL not in given:
        raise BadInput.one(
            "--wall", None, 'write the wall, such as "5 mm": with the face it is the cast'
        )
    return water_balance(cast_volume_l(given[AREA], given[WALL]), weight, moisture, solids)


def _ends(given: Given) -> tuple[WaterBalance, WaterBalance] | None:
    """Return the balance at both ends of practice, if the moisture was not told."""
    from pourwright.materials.slip.liter_weight import water_fraction

    driest = float(water_fraction(given[LITER_WEIGHT], given[SOLIDS]))
    if given.was_typed(CAST_MOISTURE) or driest <= _MOISTURES[1]:
        return None
    return _balance(given, _MOISTURES[1]), _balance(given, _MOISTURES[0])


def _moved(given: Given, made: WaterBalance) -> tuple[AnswerFigure, ...]:
    ends = _ends(given)
    water = (float(one.water_to_mold_kg) for one in ends) if ends else (None, None)
    low, high = water
    return (
        quantity("cast_kg", "fresh cast", made.cast_kg, "mass"),
        quantity("cast_l", "its volume", made.cast_l, "volume"),
        quantity("dry_kg", "dry clay in it", made.dry_kg, "mass"),
        quantity("kept_l", "slip that a cast keeps", made.kept_l, "volume"),
        quantity(
            "top_up_l", "sinks while it stands", made.top_up_l, "volume", note="to be topped up"
        ),
        quantity(
            "water_to_mold_kg",
            "water into the mold",
            made.water_to_mold_kg,
            "mass",
            low=low,
            high=high,
            note="cast of 22 % water to 18 %" if ends else "",
        ),
        number(
            "water_per_cast_l",
            "water, of the cast's volume",
            made.water_to_mold_kg / made.cast_l,
            "kg/l",
        ),
    )


def _rest(given: Given, made: WaterBalance) -> tuple[AnswerFigure, ...]:
    """Return how many casts before the mold rests, and how many a day in the long run."""
    ends = _ends(given) or (made, made)
    least, likely, most = (float(one.water_to_mold_kg) for one in (ends[0], made, ends[1]))
    figures: list[AnswerFigure] = []
    if DRY_MOLD in given:
        figures += _before_rest(given, least, likely, most)
    if DRIES_A_DAY in given:
        if OCCUPIED not in given:
            right = 'write how long a cast takes up the mold, such as "1 h 30 min"'
            raise BadInput.one("--occupied", None, right)
        figures.append(_a_day(given, least, likely, most))
    return tuple(figures)


def _before_rest(given: Given, least: float, likely: float, most: float) -> list[AnswerFigure]:
    from pourwright.materials.casting.rest import casts_before_rest, free_water_after

    mold, now, limit = given[DRY_MOLD], given[FREE_WATER], given[MOST_FREE_WATER]
    low, casts, high = (
        int(casts_before_rest(one, mold, now, limit)) for one in (most, likely, least)
    )
    after = float(free_water_after(casts, likely, mold, now))
    return [
        AnswerFigure(
            name="casts_before_rest",
            label="casts in a row before it must rest",
            value=casts,
            unit="casts",
            low=low,
            high=high,
            grade="weak: by the mold's mean water; its face is wetter",
        ),
        quantity("free_water_then", "free water then, of the dry mold", after, "fraction"),
    ]


def _a_day(given: Given, least: float, likely: float, most: float) -> AnswerFigure:
    from pourwright.materials.casting.rest import casts_a_day

    low, daily, high = (
        float(casts_a_day(one, given[DRIES_A_DAY], given[OCCUPIED], given[WORKING_DAY]))
        for one in (most, likely, least)
    )
    return number(
        "casts_a_day",
        "casts a day, week after week",
        daily,
        low=low,
        high=high,
        grade="weak: drying is the least certain law",
    )


def _ready(given: Given, made: WaterBalance) -> tuple[AnswerFigure, ...]:
    from pourwright.materials.casting.water import slip_to_have_ready_l

    if FILL not in given:
        return ()
    ready = slip_to_have_ready_l(given[FILL], made.top_up_l, given[MOLDS])
    return (
        quantity(
            "ready_l",
            "slip to have ready",
            ready,
            "volume",
            note="5 % for what clings and spills: common practice, no source",
        ),
    )


def _carried(given: Given, made: WaterBalance) -> tuple[AnswerFigure, ...]:
    """Return how often the slip in the tank has been through the molds."""
    from pourwright.materials.slip.returns import rounds_in_the_tank

    if TANK not in given:
        return ()
    share = float(made.kept_l) * given[MOLDS] / given[TANK]
    if share > 1:
        right = (
            f"a round keeps {given.show(share * given[TANK], 'volume')}; the tank must hold more"
        )
        raise BadInput.one("--tank", f'"{given.typed(TANK)}"', right)
    mean = float(rounds_in_the_tank(share, given[ROUNDS]))
    return (
        number(
            "rounds_in_the_tank",
            "rounds behind the slip in the tank",
            mean,
            note=f"what each round picks up in the molds stays so many times over, after {given[ROUNDS]}",
        ),
        number("rounds_in_the_end", "and in the end", (1 - share) / share),
    )


def _water_notes(given: Given) -> tuple[str, ...]:
    notes = [
        "The film that drained slip leaves on the wall is in no source: a few tenths of a millimeter more."
    ]
    if DRY_MOLD in given:
        notes.append(
            "Two casts or fewer in eight hours, then 6 to 18 hours of drying, is what industry gives a mold (European patent application 0 211 653)."
        )
        notes.append(
            "The bare-immersion absorption of plaster makers' sheets says nothing of how fast a cast grows."
        )
    if TANK in given:
        notes.append(
            "No source measured what returns do to a slip: watch the drain time against your own earlier ones."
        )
    return tuple(notes)


QUESTION = Question(
    id="cast",
    title="Casting",
    words="How long slip must stand for a wall, and what a cast takes of the slip and gives to the mold. "
    "Tell the wall and your test casts; for the water also the face and the slip's weight. "
    "The wall in a cut spare gives the molds that still stand their time.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"wall": "5 mm", "test": ["4.1 mm in 6 min", "5.9 mm in 12 min", "4.9 mm in 8.5 min"]},
        {"wall": "5 mm"},
        {"wall": "5 mm", "spare": "4.2 mm after 8 min", "stood": "9 min"},
        {"wall": "5 mm", "test": "6 mm in 12 min", "shape": "inside a tube", "radius": "25 mm"},
        {"solid": "slab", "thickness": "6 mm", "test": "6 mm in 12 min"},
        {
            "wall": "4 mm",
            "area": "0.05 m2",
            "liter_weight": "1780 g/l",
            "dry_mold": "4 kg",
            "fill": "0.9 l",
            "molds": "4",
            "tank": "20 l",
            "rounds": "10",
        },
    ),
    cautions=("Lifting", "Soda ash and silicate"),
    together=((SOLID, THICKNESS),),
    at_most_one=((WALL, SOLID),),
)
