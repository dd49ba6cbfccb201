"""``pourwright figure week``: the water in a mold's wall over a week of casts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pourwright.calculators.question import (
    Answer,
    AnswerFigure,
    Ask,
    Column,
    Given,
    Question,
    Rows,
    quantity,
)
from pourwright.calculators.shared import CONSISTENCY

if TYPE_CHECKING:
    from pourwright.materials.drying.moisture import CastWeek

_SOURCES = (
    (
        "Slowing of casts: one pottery supplier's log of three molds (4 mm in 3, 3.5 and 4 min; 4 and 4.5; 5 and 6), "
        "which sets it and does not test it."
    ),
    "Speed of water in plaster: set by a plaster maker's ceramic bulletin; nobody has published it against consistency.",
    "A mold that holds more than 15 % free water is rested (the same bulletin: many shops go that far).",
    "Two or fewer casts in eight hours and 6 to 18 h of drying: printed practice, inside which it is held.",
)

THICKNESS: Ask[float] = Ask(
    name="thickness",
    dimension="length",
    low=10,
    high=150,
    required=True,
    example="30 mm",
    example_us="1 1/4 in",
    meaning="Wall of the mold, from the casting face to the outside.",
)
CAST_MINUTES: Ask[float] = Ask(
    name="cast_minutes",
    dimension="duration",
    low=0.5,
    high=240,
    required=True,
    example="12 min",
    meaning="Casting time in the dry mold, from your own test casts.",
    source="never assumed: a test cast tells it (pourwright figure cast)",
)
WALL: Ask[float] = Ask(
    name="wall",
    dimension="length",
    low=1,
    high=30,
    example="4 mm",
    example_us="5/32 in",
    meaning="Wall of the cast.",
)
WATER: Ask[float] = Ask(
    name="water",
    dimension="coat",
    low=10,
    high=10_000,
    example="970 g/m2",
    example_us="3.2 oz/ft2",
    meaning="Or water that a cast gives to a square meter of face.",
)
LITER_WEIGHT: Ask[float] = Ask(
    name="liter_weight",
    dimension="liter weight",
    low=1200,
    high=2200,
    default="1750 g/l",
    default_us="29.2 oz/US pint",
    example="1780 g/l",
    example_us="29 oz/US pint",
    meaning="Of the slip.",
    source="suppliers' sheets: 1650 to 1800 g/l; weigh yours",
    studio="slip.liter_weight",
)
CASTS_A_DAY: Ask[int] = Ask(
    name="casts_a_day",
    kind="whole",
    low=1,
    high=8,
    default="1",
    example="2",
    meaning="Casts on a casting day.",
    source="one cast a mold a day",
)
APART: Ask[float] = Ask(
    name="apart",
    dimension="duration",
    low=30,
    high=720,
    default="4 h",
    example="3 h",
    meaning="From one cast of a day to the next.",
    source="two casts in eight hours; printed practice",
)
DAYS: Ask[int] = Ask(
    name="days",
    kind="whole",
    low=1,
    high=7,
    default="5",
    example="6",
    meaning="Casting days a week.",
    source="our own choice",
)
WEEKS: Ask[int] = Ask(
    name="weeks",
    kind="whole",
    low=1,
    high=6,
    default="1",
    example="2",
    meaning="Weeks to look ahead.",
    source="a week",
)
TEMPERATURE: Ask[float] = Ask(
    name="temperature",
    dimension="temperature",
    low=2,
    high=49,
    example="20 C",
    example_us="68 F",
    meaning="Temperature of the air at the molds.",
    source="not given: 16 to 24 degC, as a range",
)
HUMIDITY: Ask[float] = Ask(
    name="humidity",
    dimension="fraction",
    low=0,
    high=0.95,
    example="50 %",
    meaning="Relative humidity of that air.",
    source="not given: 35 to 65 %, as a range",
)
AIR_SPEED: Ask[float] = Ask(
    name="air_speed",
    kind="number",
    unit="m/s",
    low=0,
    high=8,
    example="0.5",
    meaning="Speed of the air along the mold.",
    source="not given: 0.2 to 1 m/s, as a range",
)
LEFT_OPEN: Ask[bool] = Ask(
    name="left_open",
    kind="yes or no",
    default="no",
    example="yes",
    meaning="The mold stands open between casts, so that its casting face dries too.",
    source="strapped and closed",
)
LIMIT: Ask[float] = Ask(
    name="limit",
    dimension="fraction",
    low=0.01,
    high=0.4,
    default="15 %",
    example="10 %",
    meaning="Free water, of the dry mass, beyond which the mold is rested.",
    source="a plaster maker's ceramic bulletin: many shops go up to 15 %",
)
ASKS = (
    THICKNESS,
    CAST_MINUTES,
    WALL,
    WATER,
    LITER_WEIGHT,
    CASTS_A_DAY,
    APART,
    DAYS,
    WEEKS,
    CONSISTENCY,
    TEMPERATURE,
    HUMIDITY,
    AIR_SPEED,
    LEFT_OPEN,
    LIMIT,
)

_DAY_NAMES = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


@dataclass(frozen=True, slots=True)
class _Run:
    """The weeks worked through in one air.

    Parameters
    ----------
    week : CastWeek
        What the casts do to the wall.
    slower : list of float
        Time of each cast over that in the dry mold. [-]
    behind : int or None
        The first cast that finds the mold too wet, None if none does.
    """

    week: CastWeek
    slower: list[float]
    behind: int | None


def answer(given: Given) -> Answer:
    """Return how the casts slow down, and the day the mold falls behind."""
    at = list(_cast_hours(given))
    water = _water(given)
    quick, likely, slow = (_run(given, at, water, place) for place in range(3))
    return Answer(
        says=_says(given, at, quick, likely, slow),
        figures=_figures(given, at, water, quick, likely, slow),
        tables=(_table(given, at, quick, likely, slow),),
        sources=_SOURCES,
        ranges=(
            "Mold wall 10 to 150 mm, one dimension: no corners, seams or salts; a mold that starts the week dry.",
            "Quick and slow air are the ends of what was not told; the slowing is that of one log, so rank by it.",
            "Figures of bare immersion in water say nothing of casting: plaster drinks from slip a tenth as fast.",
        ),
        notes=(
            "Weigh the mold on Monday and on Friday: its free water is the test of this forecast.",
        ),
    )


def _cast_hours(given: Given) -> Iterator[float]:
    """Yield when each cast is poured, from the first Monday's first. [h]"""
    for week in range(given[WEEKS]):
        for day in range(given[DAYS]):
            for cast in range(given[CASTS_A_DAY]):
                yield 168.0 * week + 24.0 * day + cast * given[APART] / 60


def _water(given: Given) -> float:
    """Return the water that a cast gives to a square meter of face. [kg/m2]"""
    if WATER in given:
        return given[WATER] / 1000
    from pourwright.materials.casting.water import cast_volume_l, water_balance

    balance = water_balance(cast_volume_l(1.0, given[WALL]), given[LITER_WEIGHT])
    return float(balance.water_to_mold_kg)


def _run(given: Given, at: list[float], water_kg_per_m2: float, place: int) -> _Run:
    """Return the weeks in quick (0), likely (1) or slow (2) air."""
    import numpy as np

    from pourwright.materials.drying.days import (
        USUAL_AIR_SPEED_M_PER_S,
        USUAL_HUMIDITY,
        USUAL_TEMPERATURE_C,
    )
    from pourwright.materials.drying.evaporation import heat_transfer
    from pourwright.materials.drying.moisture import cast_week, falls_behind
    from pourwright.materials.drying.wall import MoldWall
    from pourwright.materials.plaster.mix import Plaster

    def told_or_usual(ask: Ask[float], usual: tuple[float, float, float]) -> float:
        return given.get(ask, usual[place])

    heat = heat_transfer(told_or_usual(AIR_SPEED, USUAL_AIR_SPEED_M_PER_S))
    wall = MoldWall(
        Plaster("plaster", given[CONSISTENCY], "told"),
        given[THICKNESS],
        told_or_usual(TEMPERATURE, USUAL_TEMPERATURE_C),
        told_or_usual(HUMIDITY, USUAL_HUMIDITY),
        float((heat.high, heat.likely, heat.low)[place]),
        given[LEFT_OPEN],
    )
    week = cast_week(wall, at, water_kg_per_m2, given[CAST_MINUTES])
    slower = (week.slower.low, week.slower.likely, week.slower.high)[place]
    each = [float(one) for one in np.atleast_1d(slower)]
    return _Run(week, each, falls_behind(week, wall, given[LIMIT]))


def _day(given: Given, at: list[float], cast: int) -> str:
    """Return the day of a cast in words."""
    hour = at[cast]
    week, day = int(hour // 168), int(hour % 168 // 24)
    in_week = f" of week {week + 1}" if given[WEEKS] > 1 else ""
    of_day = f", cast {cast % given[CASTS_A_DAY] + 1}" if given[CASTS_A_DAY] > 1 else ""
    return f"{_DAY_NAMES[day]}{in_week}{of_day}"


def _says(given: Given, at: list[float], quick: _Run, likely: _Run, slow: _Run) -> str:
    last = f"the last of {len(at)} casts takes {likely.slower[-1]:.2f} times as long as the first"
    if likely.behind is not None:
        return f"The mold falls behind: rest it before {_day(given, at, likely.behind)}; {last} if you do not."
    if slow.behind is not None:
        return f"The mold keeps up in usual air, and falls behind on {_day(given, at, slow.behind)} in slow air; {last}."
    return f"The mold keeps up; {last}."


def _figures(
    given: Given, at: list[float], water: float, quick: _Run, likely: _Run, slow: _Run
) -> tuple[AnswerFigure, ...]:
    runs, dry_min = (quick, likely, slow), given[CAST_MINUTES]
    shortest, last, longest = (run.slower[-1] * dry_min for run in runs)
    wet = sorted(float(run.week.free_water.max()) for run in runs)
    soonest, rest, latest = (
        None if run.behind is None else _day(given, at, run.behind) for run in (slow, likely, quick)
    )
    return (
        AnswerFigure(
            name="rest_before",
            label="rest it before",
            value=rest,
            text=rest or "it keeps up",
            note=f"quick air: {latest or 'keeps up'}; slow air: {soonest or 'keeps up'}",
        ),
        quantity(
            "last_min",
            "the last cast takes",
            last,
            "duration",
            step=0.5,
            low=shortest,
            high=longest,
            grade="weak: one log",
        ),
        quantity(
            "free_water",
            "wettest before a cast",
            wet[1],
            "fraction",
            low=wet[0],
            high=wet[2],
            note="free water of the wall, of its dry mass",
        ),
        quantity("water_g_per_m2", "a cast gives to the face", 1000 * water, "coat"),
        quantity(
            "refused_g_per_m2",
            "water a full face could not take",
            1000 * likely.week.refused_kg_per_m2,
            "coat",
        ),
    )


def _table(given: Given, at: list[float], quick: _Run, likely: _Run, slow: _Run) -> Rows:
    from pourwright.materials.drying.moisture import NEAR_FACE_MM

    week, dry_min = likely.week, given[CAST_MINUTES]
    near = max(1, round(week.profile.shape[1] * min(NEAR_FACE_MM / given[THICKNESS], 1.0)))
    rows = tuple(
        (
            _day(given, at, cast),
            dry_min * likely.slower[cast],
            dry_min * quick.slower[cast],
            dry_min * slow.slower[cast],
            float(week.free_water[cast]),
            float(week.profile[cast, :near].mean()),
            float(week.profile[cast, near:].mean()) if near < week.profile.shape[1] else None,
        )
        for cast in range(len(at))
    )
    return Rows(
        name="casts",
        caption="Each cast of the dry mold's time, as the mold stands when it is poured",
        columns=(
            Column(name="day", label="Cast"),
            Column(name="likely_min", label="Takes", dimension="duration", step=0.5),
            Column(name="low_min", label="at least", dimension="duration", step=0.5),
            Column(name="high_min", label="at most", dimension="duration", step=0.5),
            Column(name="free_water", label="Free water", dimension="fraction"),
            Column(name="near_face", label="Full near the face", dimension="fraction"),
            Column(name="outside", label="Full behind", dimension="fraction"),
        ),
        rows=rows,
    )


QUESTION = Question(
    id="week",
    title="A week of casts",
    words="How wet a mold's wall gets over a week of casts, how the casts slow down, and the day it falls behind. "
    "Tell the mold's wall, the casting time in the dry mold, and the wall of the cast.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"thickness": "30 mm", "cast_minutes": "12 min", "wall": "4 mm", "casts_a_day": "2"},
        {
            "thickness": "30 mm",
            "cast_minutes": "3 min",
            "water": "970 g/m2",
            "casts_a_day": "3",
            "apart": "30 min",
            "days": "1",
        },
        {
            "thickness": "40 mm",
            "cast_minutes": "12 min",
            "wall": "5 mm",
            "temperature": "20 C",
            "humidity": "50 %",
            "air_speed": "0.5",
            "left_open": "yes",
            "weeks": "2",
        },
    ),
    one_of=((WALL, WATER),),
)
