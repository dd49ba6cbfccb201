"""``pourwright figure cone``: where a cone goes down, and what a hold or a witness says of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pourwright.calculators.question import (
    Answer,
    Ask,
    Column,
    Figure,
    Given,
    Question,
    Rows,
    number,
    quantity,
)
from pourwright.calculators.rates import show_difference, show_rate
from pourwright.errors import BadInput, NotDoable, OutOfRange

if TYPE_CHECKING:
    from pourwright.materials.kiln.cones import ConeTemperature
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pourwright.materials.kiln.cones import Kind
    from pourwright.materials.ranges import FloatArray


def work_figure(
    minutes: FloatArray, temperatures_degc: FloatArray, cone: str, kind: Kind = "self-supporting"
) -> Figure:
    """Return how much of a cone's heat work a log or a schedule has done.

    The range takes the printed end 3 degC lower and higher.

    Parameters
    ----------
    minutes : array of shape (n,)
        Times, rising. [min]
    temperatures_degc : array of shape (n,)
        Temperature at the cone at each. [degC]
    cone : str
        From 019 to 10.
    kind : {"self-supporting", "large"}
        The kind of cone.

    Raises
    ------
    StudioError
        If the cone has no fit, or the log cannot be used.
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
        "work_done", f"of cone {cone}'s heat work", done, low=done * printed / low, high=done * printed / high,
        note="1 is a tip that touches", grade="weak: long holds are good to half a cone",
    )  # fmt: skip


_SOURCES = (
    "Self-supporting cones: the US cone maker's chart (2016), a US kiln maker's manual at 108 degF/h and two copies of a US chart at 270 degF/h.",
    "Large cones: a New Zealand supplier's pages, 60 and 150 degC/h. Figures marked from memory could not be read.",
    "Heat work: fitted here to the charts; it repeats 15 degC/h within 13 degC.",
    "A cone bends in 15 to 25 minutes: the US cone maker's chart.",
)
_KINDS = ("self-supporting", "large", "small", "iron-free")
_FITTED = ("self-supporting", "large")

ASKS = (
    Ask(name="cone", kind="cone", required=True, meaning="The cone; 06 is not 6.", example="06"),
    Ask(
        name="rate", kind="rate", unit="degC/h", low=10, high=400, default="60 C/h",
        meaning="Heating rate over the last 100 °C (180 °F).", example="60 C/h", example_us="108 F/h",
        source="the slower of the two rates that every chart prints",
    ),
    Ask(
        name="kind", kind="choice", choices=_KINDS, default="self-supporting", example="large",
        meaning="The kind of cone.", source="the kind most often set as a witness",
    ),
    Ask(
        name="chart", kind="choice", choices=("current", "older"), default="current", example="older",
        meaning="The chart's edition; copies of the older one are still about.", source="the chart now in print",
    ),
    Ask(
        name="stop_at", kind="quantity", dimension="temperature", low=500, high=1400,
        meaning="Where the climb is to stop: the hold that does the rest.", example="1212 C", example_us="2214 F",
    ),
    Ask(
        name="hold", kind="quantity", dimension="duration", low=0, high=240,
        meaning="A hold at the top: how far below the cone's end the climb may stop, and what it takes off the kiln's offset.",
        example="15 min",
    ),
    Ask(
        name="shown", kind="quantity", dimension="temperature", low=500, high=1400,
        meaning="Top temperature that the controller showed in a firing with witness cones.",
        example="1210 C", example_us="2210 F",
    ),
    Ask(name="down", kind="cone", meaning="Hottest witness cone whose tip touched.", example="6"),
    Ask(name="standing", kind="cone", meaning="Coolest witness cone that had not begun to bend.", example="7"),
    Ask(
        name="log", kind="row", row=("temperature", "after", "duration"), many=True,
        limits=((-50, 1500), (0, 20_000)),
        meaning="A point of a temperature log, at the cone: how much of its heat work was done.",
        example="1222 C after 1202 min", example_us="2232 F after 1202 min",
    ),
)  # fmt: skip


def answer(given: Given) -> Answer:
    """Return the cone's temperature, and what else was asked of it."""
    found, carried = _temperature(given)
    says = [_says(given, found)]
    figures, notes = [_end(given, found, carried=carried)], list(_notes(given, carried=carried))
    for part in (_stopped, _held, _witnessed, _logged):
        said, more, beside = part(given)
        says += said
        figures += more
        notes += beside
    return Answer(
        says=" ".join(says),
        figures=tuple(figures),
        sources=_SOURCES,
        ranges=(
            "A temperature belongs to one chart, one kind of cone and one rate over the last 100 °C (180 °F).",
            "Heat work: cones 019 to 10, self-supporting and large; long holds are good to half a cone.",
        ),
        tables=_tables(given),
        notes=tuple(notes),
    )


def _temperature(given: Given) -> tuple[ConeTemperature, bool]:
    """Return the cone's temperature, by heat work where the chart ends, and whether it is."""
    from dataclasses import replace

    from pourwright.materials.kiln.cones import cone_temperature
    from pourwright.materials.kiln.heat_work import end_temperature_degc

    cone, rate, kind, chart = (given[name] for name in ("cone", "rate", "kind", "chart"))
    try:
        return cone_temperature(cone, rate, kind, chart), False
    except OutOfRange:
        if kind not in _FITTED or chart != "current":
            raise
        try:
            carried = end_temperature_degc(cone, rate, kind)
        except NotDoable:
            carried = None
        if carried is None:
            raise
    at_60 = cone_temperature(cone, 60.0, kind, chart)
    return replace(at_60, temperature_degc=carried, rate_degc_per_h=rate, printed=False), True


def _says(given: Given, found: ConeTemperature) -> str:
    heat = given.show(float(found.temperature_degc), "temperature")
    rate = show_rate(given["rate"], given.units)
    return f"Cone {found.cone}, {found.kind}, goes down at {heat} when the last 100 °C (180 °F) climb at {rate}."


def _end(given: Given, found: ConeTemperature, *, carried: bool) -> Figure:
    from pourwright.materials.kiln.heat_work import PRINTED_END_DEGC, bending

    heat = float(found.temperature_degc)
    if carried:
        error = bending(given["cone"], given["kind"]).error_degc
        grade = "weak: beyond the printed rates, by heat work"
    else:
        error = PRINTED_END_DEGC
        memory = "" if found.grade == "read" else "; a printed figure from memory"
        grade = ("printed" if found.printed else "between two printed rates") + memory
    return quantity("end_c", f"cone {found.cone} goes down at", heat, "temperature",
                    low=heat - error, high=heat + error, grade=grade)  # fmt: skip


def _notes(given: Given, *, carried: bool) -> tuple[str, ...]:
    notes = [
        "The kiln's own thermocouple is often further off than any two charts: set witness cones, and tell what they did."
    ]
    if carried:
        notes.insert(
            0, "The chart does not print this rate: the temperature is that of the heat-work law."
        )
    return tuple(notes)


_Part = tuple[list[str], list[Figure], list[str]]
_NOTHING: _Part = ([], [], [])


def _stopped(given: Given) -> _Part:
    """Return the hold that stands in for the last degrees."""
    from pourwright.materials.kiln.heat_work import end_temperature_degc
    from pourwright.materials.kiln.holds import hold_in_place_of_climb

    if "stop_at" not in given:
        return _NOTHING
    cone, rate, kind = (given[name] for name in ("cone", "rate", "kind"))
    short = float(end_temperature_degc(cone, rate, kind)) - given["stop_at"]
    if not 0 <= short <= 40:
        end = given.show(given["stop_at"] + short, "temperature")
        far = show_difference(40, given.units)
        right = f"the cone ends at {end}; stop there or up to {far} below"
        raise BadInput.one("--stop-at", f'"{given.told["stop_at"].typed}"', right)
    hold = hold_in_place_of_climb(cone, short, rate, kind)
    figure = quantity("hold_min", "hold there", hold.minutes, "duration", low=hold.low_min,
                      high=hold.high_min, grade="weak: long holds are good to half a cone")  # fmt: skip
    stop, minutes = (
        given.show(given["stop_at"], "temperature"),
        given.show(hold.minutes, "duration"),
    )
    return [f"Stopped at {stop}, hold {minutes}."], [figure], [hold.note] if hold.note else []


def _held(given: Given) -> _Part:
    """Return how far below its end a climb with a hold may stop."""
    from pourwright.materials.kiln.heat_work import PRINTED_END_DEGC
    from pourwright.materials.kiln.holds import degrees_that_a_hold_saves

    if "hold" not in given:
        return _NOTHING
    saved = degrees_that_a_hold_saves(given["cone"], given["hold"], given["rate"], given["kind"])
    by, minutes = show_difference(saved, given.units), given.show(given["hold"], "duration")
    figure = number("hold_saves_degc", "the hold is worth", saved, "degC", low=max(saved - PRINTED_END_DEGC, 0.0),
                    high=saved + PRINTED_END_DEGC, grade="weak: good to half a cone past an hour")  # fmt: skip
    return [f"A hold of {minutes} is worth the last {by}."], [figure], []


def _witnessed(given: Given) -> _Part:
    """Return the kiln's offset by its witness cones, and what to set for the cone."""
    from pourwright.materials.kiln.witness import shown_for_cone, witness_offset

    if "shown" not in given:
        return _NOTHING
    rate, kind, hold = given["rate"], given["kind"], given.get("hold") or 0.0
    seen = witness_offset(given["shown"], given["down"], given["standing"], rate, kind, hold)
    to_set = shown_for_cone(given["cone"], seen.offset_degc, rate, kind, hold)
    offset = show_difference(seen.offset_degc, given.units, sign=True)
    error = seen.error_degc
    figures = [
        number("offset_degc", "the ware gets, beyond what is shown", seen.offset_degc, "degC", shown=offset,
               low=seen.offset_degc - error, high=seen.offset_degc + error),
        quantity("reached_c", "the ware got", (seen.reached_low_degc + seen.reached_high_degc) / 2,
                 "temperature", low=seen.reached_low_degc, high=seen.reached_high_degc),
        quantity("set_c", "to set for the cone", to_set, "temperature", low=to_set - error, high=to_set + error),
    ]  # fmt: skip
    says = f"Your kiln's ware gets {offset} beside what is shown: set {given.show(to_set, 'temperature')} for cone {given['cone']}."
    note = "The offset grows as a thermocouple ages, and differs from shelf to shelf."
    return [says], figures, [note]


def _logged(given: Given) -> _Part:
    """Return how much of the cone's heat work a log has done."""
    import numpy as np

    if "log" not in given:
        return _NOTHING
    heats, minutes = zip(*sorted(given["log"], key=lambda point: point[1]), strict=True)
    figure = work_figure(np.array(minutes), np.array(heats), given["cone"], given["kind"])
    done = f"{100 * float(figure.value or 0):.0f} %"
    return (
        [f"The log has done {done} of cone {given['cone']}'s heat work; at 100 % its tip touches."],
        [figure],
        [],
    )


def _tables(given: Given) -> tuple[Rows, ...]:
    """Return what every chart of ours prints for the cone."""
    from pourwright.materials.kiln.cones import printed_temperatures

    rows: list[Any] = []
    for chart in ("current", "older"):
        for kind in _KINDS:
            try:
                figures = printed_temperatures(given["cone"], kind, chart)  # type: ignore[arg-type]
            except NotDoable:
                continue
            rows += [
                (kind, chart, one.rate_degc_per_h, one.temperature_degc,
                 "" if one.grade == "read" else "from memory")
                for one in figures
            ]  # fmt: skip
    columns = (
        Column(name="kind", label="Cone"),
        Column(name="chart", label="Chart"),
        Column(name="rate_degc_per_h", label="Last 100 °C (180 °F)", unit="degC/h"),
        Column(name="end_c", label="Goes down at", dimension="temperature"),
        Column(name="grade", label="Grade"),
    )
    return (
        Rows(
            name="printed",
            caption=f"What charts print for cone {given['cone']}",
            columns=columns,
            rows=tuple(rows),
        ),
    )


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
    together=(("shown", "down", "standing"),),
)
