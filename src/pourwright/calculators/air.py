"""``pourwright figure air``: what the room's air holds, and how fast a wet face dries in it."""

from __future__ import annotations

from collections.abc import Callable
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
from pourwright.errors import OutOfRange

if TYPE_CHECKING:
    from pourwright.materials.ranges import Floats

_SOURCES = (
    "Saturation pressure and dew point: IAPWS R7-97(2012), region 4.",
    "Humidity ratio, wet bulb, volume and heat of moist air: ASHRAE Handbook, Fundamentals, Psychrometrics.",
    (
        "Heat transfer to a face: a laminar plate, McAdams (after Juerges) and Geankoplis, three textbook "
        "correlations, from memory; they are the range."
    ),
)

TEMPERATURE: Ask[float] = Ask(
    name="temperature",
    dimension="temperature",
    low=2,
    high=70,
    required=True,
    example="20 C",
    example_us="68 F",
    meaning="Temperature of the air.",
)
HUMIDITY: Ask[float] = Ask(
    name="humidity",
    dimension="fraction",
    low=0,
    high=1,
    required=True,
    example="50 %",
    meaning="Relative humidity of the air.",
)
PRESSURE: Ask[float] = Ask(
    name="pressure",
    kind="number",
    unit="hPa",
    low=600,
    high=1100,
    default="1013.25",
    example="900",
    meaning="Air pressure where you are, not reduced to the sea.",
    source="sea level; 1000 m up about 900",
    hint="A barometer shows it in hPa or mbar; 29.9 inHg is 1013.",
)
AIR_SPEED: Ask[float] = Ask(
    name="air_speed",
    kind="number",
    unit="m/s",
    low=0,
    high=8,
    example="0.5",
    meaning="Speed of the air along the face: a fan not aimed at the molds gives 0.3 to 1.",
    source="not given: 0.2 to 1 m/s, as a range",
)
AREA: Ask[float] = Ask(
    name="area",
    dimension="area",
    low=0.0005,
    high=500,
    example="0.13 m2",
    example_us="1.4 sq ft",
    meaning="Wet face that the air reaches.",
    source="not given: a square meter",
)
ASKS = (TEMPERATURE, HUMIDITY, PRESSURE, AIR_SPEED, AREA)


def answer(given: Given) -> Answer:
    """Return the state of the air, and what a wet face gives it."""
    from pourwright.materials.drying import air

    temperature, humidity = given[TEMPERATURE], given[HUMIDITY]
    pressure = given[PRESSURE] * 100
    water = air.humidity_ratio(temperature, humidity, pressure)
    face = _face(given, pressure)
    return Answer(
        says=_says(given, face),
        figures=(
            *_state(given, water, pressure),
            *(() if face is None else _given_off(given, face)),
        ),
        sources=_SOURCES,
        ranges=(
            (
                f"Air of {given.show(2.0, 'temperature')} to {given.show(70.0, 'temperature')}, 600 to 1100 hPa; moist "
                "air as an ideal gas, half a percent."
            ),
            "A wet face in the open; edges, molds in each other's lee, sunshine and salts are left out.",
        ),
        notes=(
            "A formula for open pools, taken at the air's temperature, gives three times too much: a mold cools.",
        ),
    )


def _state(given: Given, water: Floats, pressure: float) -> tuple[AnswerFigure, ...]:
    """Return what the air is like: its wet bulb, dew point, water, vapor, volume and heat."""
    from pourwright.materials.drying import air

    temperature, humidity = given[TEMPERATURE], given[HUMIDITY]
    return (
        _above_freezing(
            "wet_bulb_c", "wet bulb", lambda: air.wet_bulb(temperature, humidity, pressure)
        ),
        _above_freezing(
            "dew_point_c",
            "dew point",
            lambda: air.dew_point(air.vapor_pressure(temperature, humidity)),
        ),
        number("water_g_per_kg", "water in the air", water * 1000, "g/kg dry air"),
        number(
            "vapor_pa",
            "pressure of its vapor",
            air.vapor_pressure(temperature, humidity),
            "Pa",
            digits=4,
        ),
        number(
            "deficit_pa",
            "what it lacks to saturation",
            air.saturation_pressure(temperature) - air.vapor_pressure(temperature, humidity),
            "Pa",
            digits=4,
        ),
        number(
            "air_m3_per_kg",
            "volume",
            air.air_volume(temperature, water, pressure),
            "m3/kg dry air",
        ),
        number("heat_kj_per_kg", "heat in it", air.enthalpy(temperature, water), "kJ/kg dry air"),
    )


def _says(given: Given, face: tuple[float, float, float, float] | None) -> str:
    """Return what a wet face does in this air."""
    if face is None:
        return "A wet face freezes in this air, and frost breaks a wet mold: warm the room first."
    low, likely, high = (given.show(rate / 1000, "mass") for rate in face[1:])
    return (
        f"A wet face comes to about {given.show(face[0], 'temperature', 0.1)} in this air and gives "
        f"{likely} of water an hour from a square meter, {low} to {high}."
    )


def _above_freezing(name: str, label: str, law: Callable[[], Floats]) -> AnswerFigure:
    """Return a temperature whose law knows no ice."""
    try:
        return quantity(name, label, law(), "temperature", step=0.1)
    except OutOfRange:
        return AnswerFigure(name=name, label=label, value=None, unit="degC", text="below freezing")


def _face(given: Given, pressure_pa: float) -> tuple[float, float, float, float] | None:
    """Return a face's likely temperature, and its low, likely and high water; None if it freezes.

    [degC], [g/(m2 h)]
    """
    from pourwright.materials.drying.days import USUAL_AIR_SPEED_M_PER_S
    from pourwright.materials.drying.evaporation import heat_transfer, wet_face

    speed = given.get(AIR_SPEED)
    fast, likely, slow = USUAL_AIR_SPEED_M_PER_S if speed is None else (speed, speed, speed)
    coefficients = (heat_transfer(slow).low, heat_transfer(likely).likely, heat_transfer(fast).high)
    try:
        faces = [
            wet_face(given[TEMPERATURE], given[HUMIDITY], heat, pressure_pa=pressure_pa)
            for heat in coefficients
        ]
    except OutOfRange:
        return None
    low, middle, high = (max(float(face.water_g_per_m2_h), 0.0) for face in faces)
    return float(faces[1].surface_c), low, middle, high


def _given_off(given: Given, face: tuple[float, float, float, float]) -> tuple[AnswerFigure, ...]:
    surface, low, likely, high = face
    weak = "weak: three correlations differ by a factor of two"
    area, day = given.get(AREA), 24 / 1000
    found = [
        quantity("face_c", "a wet face comes to", surface, "temperature", step=0.1),
        number(
            "water_g_per_m2_h", "and gives off", likely, "g/m2 h", low=low, high=high, grade=weak
        ),
    ]
    if area is not None:
        ends = [rate * area * day for rate in (low, likely, high)]
        found.append(
            quantity(
                "water_day_kg",
                "from your face in a day",
                ends[1],
                "mass",
                low=ends[0],
                high=ends[2],
                note="while it stays wet",
            )
        )
    return tuple(found)


QUESTION = Question(
    id="air",
    title="Air, and a wet face in it",
    words="What the room's air holds, and how fast a wet mold gives its water to it. "
    "Tell temperature and relative humidity.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"temperature": "20 C", "humidity": "50 %", "air_speed": "1"},
        {"temperature": "27 C", "humidity": "40 %", "area": "0.13 m2"},
    ),
)
