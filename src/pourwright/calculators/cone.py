"""``pourwright figure cone``: where a cone goes down, and what a hold or a witness says of it."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from pourwright.calculators.question import (
    Answer,
    AnswerFigure,
    AnswerPart,
    Ask,
    Column,
    Given,
    Question,
    Rows,
    joined,
    number,
    quantity,
)
from pourwright.calculators.rates import show_difference, show_rate
from pourwright.errors import BadInput, NotDoable, OutOfRange

if TYPE_CHECKING:
    from pourwright.materials.kiln.cones import Chart, ConeTemperature, Kind
    from pourwright.materials.ranges import FloatArray


def work_figure(
    minutes: FloatArray, temperatures_degc: FloatArray, cone: str, kind: Kind = "self-supporting"
) -> AnswerFigure:
    """Return how much of a cone's heat work a log or a schedule has done.

    The range takes the printed end 3 degC lower and higher.
    """
    from pourwright.materials.kiln.heat_work import (
        PRINTED_END_DEGC,
        bending,
        ramp_integral,
    )
    from pourwright.materials.kiln.holds import work_done

    done = work_done(minutes, temperatures_degc, cone, kind)
    fitted = bending(cone, kind)
    printed, low, high = (
        float(ramp_integral(fitted.end_degc + miss, fitted.energy_kj_per_mol))
        for miss in (0.0, PRINTED_END_DEGC, -PRINTED_END_DEGC)
    )
    return number(
        "work_done",
        f"of cone {cone}'s heat work",
        done,
        low=done * printed / low,
        high=done * printed / high,
        note="1 is a tip that touches",
        grade="weak: long holds are good to half a cone",
    )


_SOURCES = (
    "Self-supporting cones: the US cone maker's chart (2016), a US kiln maker's manual at 108 degF/h and two copies of a US chart at 270 degF/h.",
    "Large cones: a New Zealand supplier's pages, 60 and 150 degC/h. Figures marked from memory could not be read.",
    "Heat work: fitted here to the charts; it repeats 15 degC/h within 13 degC.",
    "A cone bends in 15 to 25 minutes: the US cone maker's chart.",
)
_KINDS: tuple[Kind, ...] = ("self-supporting", "large", "small", "iron-free")
_CHARTS: tuple[Chart, ...] = ("current", "older")
_FITTED = ("self-supporting", "large")

CONE: Ask[str] = Ask(
    name="cone",
    kind="cone",
    required=True,
    meaning="The cone; 06 is not 6.",
    example="06",
)
RATE: Ask[float] = Ask(
    name="rate",
    kind="rate",
    unit="degC/h",
    low=10,
    high=400,
    default="60 C/h",
    default_us="108 F/h",
    meaning="Heating rate over the last 100 °C (180 °F).",
    example="60 C/h",
    example_us="108 F/h",
    source="the slower of the two rates that every chart prints",
)
KIND: Ask[Kind] = Ask(
    name="kind",
    kind="choice",
    choices=_KINDS,
    default="self-supporting",
    example="large",
    meaning="The kind of cone.",
    source="the kind most often set as a witness",
)
CHART: Ask[Chart] = Ask(
    name="chart",
    kind="choice",
    choices=_CHARTS,
    default="current",
    example="older",
    meaning="The chart's edition; copies of the older one are still about.",
    source="the chart now in print",
)
STOP_AT: Ask[float] = Ask(
    name="stop_at",
    dimension="temperature",
    low=500,
    high=1400,
    meaning="Where the climb is to stop: the hold that does the rest.",
    example="1212 C",
    example_us="2214 F",
)
HOLD: Ask[float] = Ask(
    name="hold",
    dimension="duration",
    low=0,
    high=240,
    meaning="A hold at the top: how far below the cone's end the climb may stop, and what it takes off the kiln's offset.",
    example="15 min",
)
SHOWN: Ask[float] = Ask(
    name="shown",
    dimension="temperature",
    low=500,
    high=1400,
    meaning="Top temperature that the controller showed in a firing with witness cones.",
    example="1210 C",
    example_us="2210 F",
)
DOWN: Ask[str] = Ask(
    name="down",
    kind="cone",
    meaning="Hottest witness cone whose tip touched.",
    example="6",
)
STANDING: Ask[str] = Ask(
    name="standing",
    kind="cone",
    meaning="Coolest witness cone that had not begun to bend.",
    example="7",
)
LOG: Ask[tuple[tuple[float, float], ...]] = Ask(
    name="log",
    kind="row",
    row=("temperature", "after", "duration"),
    many=True,
    limits=((-50, 1500), (0, 20_000)),
    meaning="A point of a temperature log, at the cone: how much of its heat work was done.",
    example="1222 C after 1202 min",
    example_us="2232 F after 1202 min",
)
NEIGHBORS = 2
"""Cones shown to either side of the one that is asked about."""
ASKS = (CONE, RATE, KIND, CHART, STOP_AT, HOLD, SHOWN, DOWN, STANDING, LOG)


def answer(given: Given) -> Answer:
    """Return the cone's temperature, and what else was asked of it."""
    parts = (_goes_down(given), _stopped(given), _held(given), _witnessed(given), _logged(given))
    whole = joined(parts)
    return Answer(
        says=" ".join(whole.says),
        figures=whole.figures,
        sources=_SOURCES,
        ranges=(
            (
                "A temperature belongs to one chart, one kind of cone and one rate over the last "
                f"{show_difference(100, given.units)}."
            ),
            "Heat work: cones 019 to 10, self-supporting and large; long holds are good to half a cone.",
        ),
        tables=_tables(given),
        notes=whole.notes,
    )


def _goes_down(given: Given) -> AnswerPart:
    """Return where the cone goes down, by heat work where the chart ends."""
    found, carried = _temperature(given[CONE], given[RATE], given[KIND], given[CHART])
    notes = [
        "The kiln's own thermocouple is often further off than any two charts: set witness cones, and tell what they did."
    ]
    if carried:
        notes.insert(
            0, "The chart does not print this rate: the temperature is that of the heat-work law."
        )
    heat = given.show(found.temperature_degc, "temperature")
    rate = show_rate(given[RATE], given.units)
    last = show_difference(100, given.units)
    says = f"Cone {found.cone}, {found.kind}, goes down at {heat} when the last {last} climb at {rate}."
    return AnswerPart(
        says=(says,), figures=(_end(given, found, carried=carried),), notes=tuple(notes)
    )


def _temperature(cone: str, rate: float, kind: Kind, chart: Chart) -> tuple[ConeTemperature, bool]:
    """Return the cone's temperature, and whether heat work carries it beyond the chart."""
    from pourwright.materials.kiln.cones import cone_temperature
    from pourwright.materials.kiln.heat_work import end_temperature_degc

    try:
        return cone_temperature(cone, rate, kind, chart), False
    except OutOfRange:
        carried = None
        if kind in _FITTED and chart == "current":
            with suppress(NotDoable):  # then the chart's own refusal is the one to read
                carried = end_temperature_degc(cone, rate, kind)
        if carried is None:
            raise
    at_60 = cone_temperature(cone, 60.0, kind, chart)
    return replace(at_60, temperature_degc=carried, rate_degc_per_h=rate, printed=False), True


def _end(given: Given, found: ConeTemperature, *, carried: bool) -> AnswerFigure:
    from pourwright.materials.kiln.heat_work import PRINTED_END_DEGC, bending

    heat = float(found.temperature_degc)
    if carried:
        error = bending(given[CONE], given[KIND]).error_degc
        grade = "weak: beyond the printed rates, by heat work"
    else:
        error = PRINTED_END_DEGC
        memory = "" if found.grade == "read" else "; a printed figure from memory"
        grade = ("printed" if found.printed else "between two printed rates") + memory
    return quantity(
        "end_c",
        f"cone {found.cone} goes down at",
        heat,
        "temperature",
        low=heat - error,
        high=heat + error,
        grade=grade,
    )


def _stopped(given: Given) -> AnswerPart:
    """Return the hold that stands in for the last degrees."""
    from pourwright.materials.kiln.heat_work import end_temperature_degc
    from pourwright.materials.kiln.holds import hold_in_place_of_climb

    if STOP_AT not in given:
        return AnswerPart()
    cone, rate, kind = given[CONE], given[RATE], given[KIND]
    short = float(end_temperature_degc(cone, rate, kind)) - given[STOP_AT]
    if not 0 <= short <= 40:
        end = given.show(given[STOP_AT] + short, "temperature")
        far = show_difference(40, given.units)
        right = f"the cone ends at {end}; stop there or up to {far} below"
        raise BadInput.one("--stop-at", f'"{given.typed(STOP_AT)}"', right)
    hold = hold_in_place_of_climb(cone, short, rate, kind)
    figure = quantity(
        "hold_min",
        "hold there",
        hold.minutes,
        "duration",
        low=hold.low_min,
        high=hold.high_min,
        grade="weak: long holds are good to half a cone",
    )
    stop = given.show(given[STOP_AT], "temperature")
    says = f"Stopped at {stop}, hold {given.show(hold.minutes, 'duration')}."
    return AnswerPart(says=(says,), figures=(figure,), notes=(hold.note,) if hold.note else ())


def _held(given: Given) -> AnswerPart:
    """Return how far below its end a climb with a hold may stop."""
    from pourwright.materials.kiln.heat_work import PRINTED_END_DEGC
    from pourwright.materials.kiln.holds import degrees_that_a_hold_saves

    if HOLD not in given:
        return AnswerPart()
    saved = degrees_that_a_hold_saves(given[CONE], given[HOLD], given[RATE], given[KIND])
    by, minutes = show_difference(saved, given.units), given.show(given[HOLD], "duration")
    figure = number(
        "hold_saves_degc",
        "the hold is worth",
        saved,
        "degC",
        low=max(saved - PRINTED_END_DEGC, 0.0),
        high=saved + PRINTED_END_DEGC,
        grade="weak: good to half a cone past an hour",
    )
    return AnswerPart(says=(f"A hold of {minutes} is worth the last {by}.",), figures=(figure,))


def _witnessed(given: Given) -> AnswerPart:
    """Return the kiln's offset by its witness cones, and what to set for the cone."""
    from pourwright.materials.kiln.witness import shown_for_cone, witness_offset

    if SHOWN not in given:
        return AnswerPart()
    rate, kind, hold = given[RATE], given[KIND], given.get(HOLD, 0.0)
    seen = witness_offset(given[SHOWN], given[DOWN], given[STANDING], rate, kind, hold)
    to_set = shown_for_cone(given[CONE], seen.offset_degc, rate, kind, hold)
    offset = show_difference(seen.offset_degc, given.units, sign=True)
    error = seen.error_degc
    figures = (
        number(
            "offset_degc",
            "the ware gets, beyond what is shown",
            seen.offset_degc,
            "degC",
            text=offset,
            low=seen.offset_degc - error,
            high=seen.offset_degc + error,
        ),
        quantity(
            "reached_c",
            "the ware got",
            (seen.reached_low_degc + seen.reached_high_degc) / 2,
            "temperature",
            low=seen.reached_low_degc,
            high=seen.reached_high_degc,
        ),
        quantity(
            "set_c",
            "to set for the cone",
            to_set,
            "temperature",
            low=to_set - error,
            high=to_set + error,
        ),
    )
    says = f"Your kiln's ware gets {offset} beside what is shown: set {given.show(to_set, 'temperature')} for cone {given[CONE]}."
    note = "The offset grows as a thermocouple ages, and differs from shelf to shelf."
    return AnswerPart(says=(says,), figures=figures, notes=(note,))


def _logged(given: Given) -> AnswerPart:
    """Return how much of the cone's heat work a log has done."""
    import numpy as np

    if LOG not in given:
        return AnswerPart()
    heats, minutes = zip(*sorted(given[LOG], key=lambda point: point[1]), strict=True)
    figure = work_figure(np.array(minutes), np.array(heats), given[CONE], given[KIND])
    done = f"{100 * float(figure.value or 0):.0f} %"
    says = f"The log has done {done} of cone {given[CONE]}'s heat work; at 100 % its tip touches."
    return AnswerPart(says=(says,), figures=(figure,))


def _tables(given: Given) -> tuple[Rows, ...]:
    """Return the cone and its neighbors at the maker's own rate, at half of it and at twice."""
    from pourwright.materials.kiln.cones import cone_name, cone_names

    names, rate = cone_names(given[KIND], given[CHART]), given[RATE]
    at = names.index(cone_name(given[CONE]))
    near = names[max(at - NEIGHBORS, 0) : at + NEIGHBORS + 1]
    rates = (rate / 2, rate, 2 * rate)
    words = ("half as fast", "your rate", "twice as fast")
    columns = (
        Column(name="cone", label="Cone"),
        *(
            Column(
                name=f"{word.replace(' ', '_')}_c",
                label=f"{word}, {show_rate(one, given.units)}",
                dimension="temperature",
            )
            for word, one in zip(words, rates, strict=True)
        ),
    )
    rows = tuple((name, *(_goes_down_at(given, name, one) for one in rates)) for name in near)
    return (
        Rows(
            name="near",
            caption=f"Cone {given[CONE]} and its neighbors, by how fast the last degrees climb",
            columns=columns,
            rows=rows,
        ),
    )


def _goes_down_at(given: Given, cone: str, rate_degc_per_h: float) -> float | None:
    """Return where another cone goes down at another rate, None where nothing tells it. [degC]"""
    try:
        found, _ = _temperature(cone, rate_degc_per_h, given[KIND], given[CHART])
    except (NotDoable, OutOfRange):
        return None
    return float(found.temperature_degc)


QUESTION = Question(
    id="cone",
    title="Cone",
    words="Where a cone goes down at your heating rate, and what a hold or your witness cones say. "
    "A cone has a temperature only together with its chart, its kind and the rate of the last 100 °C.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"cone": "06"},
        {"cone": "6", "rate": "100 C/h"},
        {"cone": "04", "kind": "large", "rate": "270 F/h"},
        {"cone": "6", "stop_at": "1212 C"},
        {"cone": "6", "hold": "15 min"},
        {"cone": "6", "shown": "1210 C", "down": "6", "standing": "7"},
        {"cone": "6", "log": ["20 C after 0 min", "1222 C after 1202 min"]},
    ),
    cautions=("A kiln at work",),
    together=((SHOWN, DOWN, STANDING),),
)
