"""``pourwright figure week``: the water in a mold's wall over a week of casts."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

from pourwright.calculators.question import (
    Answer,
    Ask,
    Column,
    Figure,
    Given,
    Question,
    Rows,
    quantity,
)

if TYPE_CHECKING:
    from pourwright.materials.drying.moisture import CastWeek

_SOURCES = (
    ("Slowing of casts: one pottery supplier's log of three molds (4 mm in 3, 3.5 and 4 min; 4 and 4.5; 5 and 6), "
    "which sets it and does not test it."),
    "Speed of water in plaster: set by a plaster maker's ceramic bulletin; nobody has published it against consistency.",
    "A mold that holds more than 15 % free water is rested (the same bulletin: many shops go that far).",
    "Two or fewer casts in eight hours and 6 to 18 h of drying: printed practice, inside which it is held.",
)  # fmt: skip

ASKS = (
    Ask(
        name="thickness", kind="quantity", dimension="length", low=10, high=150, required=True, example="30 mm",
        example_us="1 1/4 in", meaning="Wall of the mold, from the casting face to the outside.",
    ),
    Ask(
        name="cast_minutes", kind="quantity", dimension="duration", low=0.5, high=240, required=True,
        example="12 min", meaning="Casting time in the dry mold, from your own test casts.",
        source="never assumed: a test cast tells it (pourwright figure cast)",
    ),
    Ask(
        name="wall", kind="quantity", dimension="length", low=1, high=30, example="4 mm", example_us="5/32 in",
        meaning="Wall of the cast.",
    ),
    Ask(
        name="water", kind="quantity", dimension="coat", low=10, high=10_000, example="970 g/m2",
        example_us="3.2 oz/ft2", meaning="Or water that a cast gives to a square meter of face.",
    ),
    Ask(
        name="liter_weight", kind="quantity", dimension="liter weight", low=1200, high=2200, default="1750 g/l",
        example="1780 g/l", example_us="29 oz/US pint", meaning="Of the slip.",
        source="suppliers' sheets: 1650 to 1800 g/l; weigh yours", studio="slip.liter_weight",
    ),
    Ask(
        name="casts_a_day", kind="whole", low=1, high=8, default="1", example="2", meaning="Casts on a casting day.",
        source="one cast a mold a day",
    ),
    Ask(
        name="apart", kind="quantity", dimension="duration", low=30, high=720, default="4 h", example="3 h",
        meaning="From one cast of a day to the next.", source="two casts in eight hours; printed practice",
    ),
    Ask(
        name="days", kind="whole", low=1, high=7, default="5", example="6", meaning="Casting days a week.",
        source="our own choice",
    ),
    Ask(
        name="weeks", kind="whole", low=1, high=6, default="1", example="2", meaning="Weeks to look ahead.",
        source="a week",
    ),
    Ask(
        name="consistency", kind="number", low=25, high=120, default="70", example="70",
        meaning="Parts of water to 100 parts of plaster, by mass.",
        source="plaster makers' data sheets for pottery plaster: 68, 70 and 74; your bag decides",
        studio="plaster.consistency",
    ),
    Ask(
        name="temperature", kind="quantity", dimension="temperature", low=2, high=49, example="20 C",
        example_us="68 F", meaning="Temperature of the air at the molds.", source="not given: 16 to 24 degC, as a range",
    ),
    Ask(
        name="humidity", kind="quantity", dimension="fraction", low=0, high=0.95, example="50 %",
        meaning="Relative humidity of that air.", source="not given: 35 to 65 %, as a range",
    ),
    Ask(
        name="air_speed", kind="number", unit="m/s", low=0, high=8, example="0.5",
        meaning="Speed of the air along the mold.", source="not given: 0.2 to 1 m/s, as a range",
    ),
    Ask(
        name="left_open", kind="yes or no", default="no", example="yes",
        meaning="The mold stands open between casts, so that its casting face dries too.", source="strapped and closed",
    ),
    Ask(
        name="limit", kind="quantity", dimension="fraction", low=0.01, high=0.4, default="15 %", example="10 %",
        meaning="Free water, of the dry mass, beyond which the mold is rested.",
        source="a plaster maker's ceramic bulletin: many shops go up to 15 %",
    ),
)  # fmt: skip

_DAY_NAMES = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


class _Run(NamedTuple):
    """A week worked through in one air: its casts, and the first one that finds it too wet."""

    week: CastWeek
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
    for week in range(given["weeks"]):
        for day in range(given["days"]):
            for cast in range(given["casts_a_day"]):
                yield 168.0 * week + 24.0 * day + cast * given["apart"] / 60


def _water(given: Given) -> float:
    """Return the water that a cast gives to a square meter of face. [kg/m2]"""
    if "water" in given:
        return float(given["water"]) / 1000
    from pourwright.materials.casting.water import cast_volume_l, water_balance

    balance = water_balance(cast_volume_l(1.0, given["wall"]), given["liter_weight"])
    return float(balance.water_to_mold_kg)


def _run(given: Given, at: list[float], water_kg_per_m2: float, place: int) -> _Run:
    """Return the weeks in quick (0), likely (1) or slow (2) air."""
    from pourwright.materials.drying import days as drying_time
    from pourwright.materials.drying.evaporation import heat_transfer
    from pourwright.materials.drying.moisture import cast_week, falls_behind
    from pourwright.materials.drying.wall import MoldWall
    from pourwright.materials.plaster.mix import Plaster

    def of(name: str, usual: tuple[float, float, float]) -> float:
        return float(given[name] if name in given else usual[place])

    heat = heat_transfer(of("air_speed", drying_time.USUAL_AIR_SPEED_M_PER_S))
    wall = MoldWall(
        Plaster("plaster", given["consistency"], "told"), given["thickness"],
        of("temperature", drying_time.USUAL_TEMPERATURE_C), of("humidity", drying_time.USUAL_HUMIDITY),
        float((heat.high, heat.likely, heat.low)[place]), given["left_open"],
    )  # fmt: skip
    week = cast_week(wall, at, water_kg_per_m2, given["cast_minutes"])
    return _Run(week, falls_behind(week, wall, given["limit"]))


def _at(values: Any, cast: int) -> float:
    """Return the entry of one cast."""
    return float(values[cast])


def _day(given: Given, at: list[float], cast: int) -> str:
    """Return the day of a cast in words."""
    hour = at[cast]
    week, day = int(hour // 168), int(hour % 168 // 24)
    in_week = f" of week {week + 1}" if given["weeks"] > 1 else ""
    of_day = f", cast {cast % given['casts_a_day'] + 1}" if given["casts_a_day"] > 1 else ""
    return f"{_DAY_NAMES[day]}{in_week}{of_day}"


def _says(given: Given, at: list[float], quick: _Run, likely: _Run, slow: _Run) -> str:
    last = f"the last of {len(at)} casts takes {_at(likely.week.slower.likely, -1):.2f} times as long as the first"
    if likely.behind is not None:
        return f"The mold falls behind: rest it before {_day(given, at, likely.behind)}; {last} if you do not."
    if slow.behind is not None:
        return f"The mold keeps up in usual air, and falls behind on {_day(given, at, slow.behind)} in slow air; {last}."
    return f"The mold keeps up; {last}."


def _figures(
    given: Given, at: list[float], water: float, quick: _Run, likely: _Run, slow: _Run
) -> tuple[Figure, ...]:
    ends = [run.week for run in (quick, likely, slow)]
    dry_min = given["cast_minutes"]
    last = [
        _at(ends[0].slower.low, -1),
        _at(ends[1].slower.likely, -1),
        _at(ends[2].slower.high, -1),
    ]
    wet = sorted(float(week.free_water.max()) for week in ends)
    told = [
        None if run.behind is None else _day(given, at, run.behind) for run in (quick, likely, slow)
    ]
    return (
        Figure(name="rest_before", label="rest it before", value=told[1], shown=told[1] or "it keeps up",
               note=f"quick air: {told[0] or 'keeps up'}; slow air: {told[2] or 'keeps up'}"),
        quantity("last_min", "the last cast takes", last[1] * dry_min, "duration", step=0.5, low=last[0] * dry_min,
                 high=last[2] * dry_min, grade="weak: one log"),
        quantity("free_water", "wettest before a cast", wet[1], "fraction", low=wet[0], high=wet[2],
                 note="free water of the wall, of its dry mass"),
        quantity("water_g_per_m2", "a cast gives to the face", 1000 * water, "coat"),
        quantity("refused_g_per_m2", "water a full face could not take", 1000 * ends[1].refused_kg_per_m2, "coat"),
    )  # fmt: skip


def _table(given: Given, at: list[float], quick: _Run, likely: _Run, slow: _Run) -> Rows:
    from pourwright.materials.drying.moisture import NEAR_FACE_MM

    week, dry_min = likely.week, given["cast_minutes"]
    near = max(1, round(week.profile.shape[1] * min(NEAR_FACE_MM / given["thickness"], 1.0)))
    rows = tuple(
        (
            _day(given, at, cast),
            dry_min * _at(week.slower.likely, cast),
            dry_min * _at(quick.week.slower.low, cast),
            dry_min * _at(slow.week.slower.high, cast),
            float(week.free_water[cast]),
            float(week.profile[cast, :near].mean()),
            float(week.profile[cast, near:].mean()) if near < week.profile.shape[1] else None,
        )
        for cast in range(len(at))
    )
    return Rows(
        name="casts", caption="Each cast of the dry mold's time, as the mold stands when it is poured",
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
    )  # fmt: skip


QUESTION = Question(
    id="week",
    title="A week of casts",
    words="How wet a mold's wall gets over a week of casts, how the casts slow down, and the day it falls behind. "
    "Tell the mold's wall, the casting time in the dry mold, and the wall of the cast.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"thickness": "30 mm", "cast_minutes": "12 min", "wall": "4 mm", "casts_a_day": "2"},
        {"thickness": "30 mm", "cast_minutes": "3 min", "water": "970 g/m2", "casts_a_day": "3", "apart": "30 min",
         "days": "1"},
        {"thickness": "40 mm", "cast_minutes": "12 min", "wall": "5 mm", "temperature": "20 C", "humidity": "50 %",
         "air_speed": "0.5", "left_open": "yes", "weeks": "2"},
    ),
    one_of=(("wall", "water"),),
)  # fmt: skip
