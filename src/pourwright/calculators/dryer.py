"""``pourwright figure dryer``: the air, the heater and the energy that dry molds in a cabinet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pourwright.calculators.question import (
    Answer,
    AnswerFigure,
    Ask,
    Given,
    Question,
    number,
    quantity,
)
from pourwright.calculators.rates import show_number
from pourwright.calculators.shared import CONSISTENCY

if TYPE_CHECKING:
    from pourwright.materials.drying.room import Dryer
    from pourwright.materials.plaster.mix import Plaster

_SOURCES = (
    "Air and heat: adiabatic uptake of water at constant enthalpy, ASHRAE Handbook, Fundamentals.",
    "Limit of 49 degC, advice 43 to 45: a plaster maker's bulletin, read second hand; Holmstrom 2001.",
    "Losses of half as much again: common practice, no source.",
    (
        "Rate of drying: textbook correlations and the falling rate; held against a plaster maker's drying bulletin, "
        "air at 4.6 m/s, 16 h."
    ),
)

WATER: Ask[float] = Ask(
    name="water",
    dimension="mass",
    low=0.01,
    high=5000,
    example="15.3 kg",
    example_us="33 lb 12 oz",
    meaning="Water to carry away, all molds together.",
)
VOLUME: Ask[float] = Ask(
    name="volume",
    dimension="volume",
    low=0.05,
    high=5000,
    example="3.2 l",
    example_us="3.4 US qt",
    meaning="Or plaster of one mold, fresh from the pour.",
)
WET_MASS: Ask[float] = Ask(
    name="wet_mass",
    dimension="mass",
    low=0.05,
    high=5000,
    example="5.06 kg",
    example_us="11 lb 2 oz",
    meaning="Or mass of one fresh, wet mold, without straps.",
)
MOLDS: Ask[int] = Ask(
    name="molds",
    kind="whole",
    low=1,
    high=500,
    default="1",
    example="10",
    meaning="Molds in the cabinet at once.",
    source="one mold",
)
TIME: Ask[float] = Ask(
    name="time",
    dimension="duration",
    low=60,
    high=40320,
    required=True,
    example="48 h",
    meaning="In how long they are to be dry.",
)
LEFT: Ask[float] = Ask(
    name="left",
    dimension="fraction",
    low=0,
    high=0.5,
    default="5 %",
    example="0 %",
    meaning="Free water that may stay in a mold, of its dry mass; 0 % is bone dry.",
    source="a working mold; a plaster maker's bulletin: 5 % is good practice, many shops go up to 15 %",
)
ROOM_TEMPERATURE: Ask[float] = Ask(
    name="room_temperature",
    dimension="temperature",
    low=0,
    high=45,
    default="20 C",
    default_us="68 F",
    example="18 C",
    example_us="64 F",
    meaning="Air that the cabinet draws in.",
    source="a room",
)
ROOM_HUMIDITY: Ask[float] = Ask(
    name="room_humidity",
    dimension="fraction",
    low=0,
    high=1,
    default="50 %",
    example="60 %",
    meaning="Relative humidity of that air.",
    source="a heated room; common practice, no source",
)
DRYER_TEMPERATURE: Ask[float] = Ask(
    name="dryer_temperature",
    dimension="temperature",
    low=5,
    high=70,
    default="45 C",
    default_us="113 F",
    example="43 C",
    example_us="110 F",
    meaning="Temperature of the heated air.",
    source="makers advise 43 to 49 degC",
    hint="Above 49 degC a dry mold loses its crystal water and goes soft.",
)
LEAVING_HUMIDITY: Ask[float] = Ask(
    name="leaving_humidity",
    dimension="fraction",
    low=0.3,
    high=0.9,
    default="50 %",
    example="60 %",
    meaning="Relative humidity of the air as it leaves; more where the air goes round.",
    source="common practice, no source",
)
LOSSES: Ask[float] = Ask(
    name="losses",
    dimension="fraction",
    low=0,
    high=2,
    default="50 %",
    example="30 %",
    meaning="Heat lost through the walls and into the plaster, over what the air needs.",
    source="common practice, no source",
)
DEPTH: Ask[float] = Ask(
    name="depth",
    dimension="length",
    low=2,
    high=200,
    example="25 mm",
    example_us="1 in",
    meaning="Plaster behind each open face: half of a slab open on both sides.",
    source="not given: whether the time is long enough is not told",
)
AIR_SPEED: Ask[float] = Ask(
    name="air_speed",
    kind="number",
    unit="m/s",
    low=0,
    high=8,
    default="1",
    example="4.6",
    meaning="Speed of the air along the molds.",
    source="a cabinet with a small fan; common practice, no source",
)
ASKS = (
    WATER,
    VOLUME,
    WET_MASS,
    MOLDS,
    TIME,
    CONSISTENCY,
    LEFT,
    ROOM_TEMPERATURE,
    ROOM_HUMIDITY,
    DRYER_TEMPERATURE,
    LEAVING_HUMIDITY,
    LOSSES,
    DEPTH,
    AIR_SPEED,
)


def answer(given: Given) -> Answer:
    """Return the air, the heater and the energy, and whether the time is long enough."""
    from pourwright.materials.drying.room import dryer
    from pourwright.materials.plaster.mix import Plaster

    plaster = Plaster("plaster", given[CONSISTENCY], "told")
    water_kg = _water(given, plaster)
    cabinet = dryer(
        water_kg,
        given[TIME] / 60,
        given[ROOM_TEMPERATURE],
        given[ROOM_HUMIDITY],
        given[DRYER_TEMPERATURE],
        given[LEAVING_HUMIDITY],
    )
    more = 1 + given[LOSSES]
    pace = _pace(given, plaster)
    air = show_number(float(cabinet.air_m3_per_h), "m3/h", given.units, 2)
    heater = given.show(cabinet.heater_kw * more, "power")
    energy = given.show(cabinet.energy_kwh * more, "energy")
    return Answer(
        says=f"{given.show(water_kg, 'mass')} of water in {given.show(given[TIME], 'duration')}: about "
        f"{air} of room air, a heater of {heater} and {energy} in all."
        f"{_verdict(given, pace)}",
        figures=(*_sizes(given, water_kg, cabinet), *pace),
        sources=_SOURCES,
        ranges=(
            (
                f"Heated air up to {given.show(70.0, 'temperature')}, above {given.show(49.0, 'temperature')} only on "
                "wet molds; it leaves at 30 to 90 % humidity. Power is the mean: the first hours take more."
            ),
            "A stack of molds is no flat plate, so the drying time is a range; weigh a mold (pourwright figure drying).",
        ),
        notes=(*_too_hot_when_dry(given), _safe(given)),
    )


def _water(given: Given, plaster: Plaster) -> float:
    """Return the water of all the molds. [kg]"""
    from pourwright.materials.drying.dryness import water_to_lose
    from pourwright.materials.plaster.mix import wet_density

    if WATER in given:
        return given[WATER]
    volume_l = given[VOLUME] if VOLUME in given else given[WET_MASS] / wet_density(plaster)
    return given[MOLDS] * float(water_to_lose(volume_l, plaster, given[LEFT]))


def _sizes(given: Given, water_kg: float, cabinet: Dryer) -> tuple[AnswerFigure, ...]:
    from pourwright.materials.drying.air import latent_heat

    more = 1 + given[LOSSES]
    bare = water_kg * float(latent_heat(min(float(cabinet.leaving_c), 100.0)))
    energy = float(cabinet.energy_kwh)
    return (
        quantity("water_kg", "water to carry away", water_kg, "mass"),
        number("air_m3_per_h", "room air drawn in", cabinet.air_m3_per_h, "m3/h"),
        quantity("leaving_c", "the air leaves at", cabinet.leaving_c, "temperature"),
        quantity(
            "heater_kw",
            "heater, mean",
            cabinet.heater_kw * more,
            "power",
            low=cabinet.heater_kw,
            high=cabinet.heater_kw * (1 + 2 * given[LOSSES]),
            note="without losses, to twice the losses told",
        ),
        quantity(
            "heat_kwh",
            "energy in all",
            energy * more,
            "energy",
            low=energy,
            high=energy * (1 + 2 * given[LOSSES]),
        ),
        quantity("evaporation_kwh", "evaporation alone takes", bare / 3600, "energy"),
        number("evaporation_kj_per_kg", "that is", bare / water_kg, "kJ/kg of water", digits=4),
    )


def _pace(given: Given, plaster: Plaster) -> tuple[AnswerFigure, ...]:
    """Return how long the plaster itself takes in that air, as a range."""
    if DEPTH not in given:
        return ()
    from pourwright.materials.drying.air import humidity_ratio, relative_humidity
    from pourwright.materials.drying.days import (
        CRITICAL_SATURATION,
        drying_hours,
        share_gone,
    )
    from pourwright.materials.drying.evaporation import heat_transfer
    from pourwright.materials.plaster.mix import free_water, porosity

    entering = humidity_ratio(given[ROOM_TEMPERATURE], given[ROOM_HUMIDITY])
    humidity = float(relative_humidity(given[DRYER_TEMPERATURE], entering))
    heat = heat_transfer(given[AIR_SPEED])
    wet = 1 - CRITICAL_SATURATION[1] * porosity(plaster) / free_water(plaster)
    until = {
        "wet_stage_min": ("face stays wet for", max(float(wet), 0.0)),
        "ready_min": ("down to the water that may stay", share_gone(plaster, given[LEFT])),
    }

    def minutes(coefficient: float, share: float) -> float:
        return 60 * float(
            drying_hours(
                plaster,
                given[DEPTH],
                given[DRYER_TEMPERATURE],
                min(humidity, 0.95),
                coefficient,
                until=min(share, 0.99),
                radiation_w_per_m2_k=0.0,
            )
        )

    return tuple(
        quantity(
            name,
            label,
            minutes(float(heat.likely), float(share)),
            "duration",
            low=minutes(float(heat.high), float(share)),
            high=minutes(float(heat.low), float(share)),
            grade="weak: three correlations of heat transfer",
        )
        for name, (label, share) in until.items()
    )


def _verdict(given: Given, pace: tuple[AnswerFigure, ...]) -> str:
    """Return whether the plaster gives its water up in the time told."""
    if not pace or pace[-1].low is None or pace[-1].high is None:
        return ""
    if given[TIME] < pace[-1].low:
        return " The plaster itself is slower than that: more time, more air along the molds, or fewer millimeters."
    if given[TIME] < pace[-1].high:
        return " Whether the plaster gives it up that fast is open: weigh a mold."
    return " The plaster gives it up in less than that."


def _too_hot_when_dry(given: Given) -> tuple[str, ...]:
    """Return that air this hot is for wet molds only."""
    from pourwright.materials.drying.room import HOTTEST_DRY_C

    if given[DRYER_TEMPERATURE] <= HOTTEST_DRY_C:
        return ()
    most = given.show(HOTTEST_DRY_C, "temperature")
    return (
        (
            f"So hot only while the molds are wet and cool to the hand: turn it down to {most} before "
            "the first edge is dry."
        ),
    )


def _safe(given: Given) -> str:
    from pourwright.materials.drying.air import humidity_ratio, relative_humidity
    from pourwright.materials.drying.dehydration import RISK_SAYS, dehydration_risk

    entering = humidity_ratio(given[ROOM_TEMPERATURE], given[ROOM_HUMIDITY])
    humidity = min(float(relative_humidity(given[DRYER_TEMPERATURE], entering)), 1.0)
    risk = dehydration_risk(given[DRYER_TEMPERATURE], humidity, 1.0)
    return (
        f"The heated air is at {100 * humidity:.0f} % humidity. For a mold that is nearly dry: "
        f"{RISK_SAYS[risk]}"
    )


QUESTION = Question(
    id="dryer",
    title="A drying cabinet",
    words="How much air, heat and energy it takes to dry molds in a cabinet, and whether the time is long enough. "
    "Tell the water, or the molds.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"volume": "3.2 l", "molds": "10", "time": "48 h"},
        {
            "volume": "3.2 l",
            "molds": "10",
            "time": "16 h",
            "dryer_temperature": "49 C",
            "air_speed": "4.6",
            "depth": "25 mm",
            "left": "3 %",
        },
        {"water": "1 kg", "time": "16 h"},
    ),
    cautions=("Heat for drying", "Lifting"),
    one_of=((WATER, VOLUME, WET_MASS),),
)
