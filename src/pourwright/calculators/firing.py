"""``pourwright figure firing``: how long a schedule takes, where it is too fast, what it costs in energy."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from pourwright.calculators.cone import work_figure
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
from pourwright.calculators.rates import read_rate, show_difference, show_rate
from pourwright.errors import BadInput, Complaint, as_written
from pourwright.quantities import read

if TYPE_CHECKING:
    from pourwright.materials.kiln.schedule import Course, Segment

_SOURCES = (
    "Quartz's change at 573 degC, 0.45 % of length: Fraser, as cited in an encyclopedia; its fastest cooling, 50 degC/h: Fortuna, Sanitaryware (2000), as cited.",
    "Water smoking, cristobalite, candling and the bisque schedule: common practice, no source.",
    "Heat into a thick foot: Carslaw and Jaeger, Conduction of Heat in Solids (1959); kaolin's conductivity from Michot and others (2008), the fast end from memory.",
    "Duty cycles, 15, 50 and 65 %: a US studio's page on firing costs. Metered loads: a US studio's log (2006) and a potter's kiln log (2001).",
    "Heat of raw and fired ware: MacGee, J. Am. Ceram. Soc. 9 (1926); specific heat of dehydroxylated kaolin, abstract; water: IAPWS.",
)
_WARE = ("greenware", "damp greenware", "bisque")

SEGMENT: Ask[tuple[str, ...]] = Ask(
    name="segment",
    kind="text",
    many=True,
    meaning="A stretch of the schedule: its rate, where it ends, and a hold if there is one.",
    example="100 C/h to 600 C hold 15 min",
    example_us="180 F/h to 1112 F hold 15 min",
    source="no schedule of yours is looked at",
)
BISQUE_TO: Ask[float] = Ask(
    name="bisque_to",
    dimension="temperature",
    low=800,
    high=1280,
    meaning="Or: a bisque schedule to start from, up to this.",
    example="1060 C",
    example_us="1940 F",
)
TOP: Ask[float] = Ask(
    name="top",
    dimension="temperature",
    low=600,
    high=1320,
    meaning="Or only the top temperature, for the energy.",
    example="1000 C",
    example_us="1832 F",
)
START: Ask[float] = Ask(
    name="start",
    dimension="temperature",
    low=-10,
    high=300,
    default="20 C",
    default_us="68 F",
    meaning="Temperature of the kiln at the start.",
    example="15 C",
    example_us="59 F",
    source="a room",
)
CONE: Ask[str] = Ask(
    name="cone",
    kind="cone",
    meaning="A cone: how much of its heat work the schedule does.",
    example="6",
)
WARE: Ask[str] = Ask(
    name="ware",
    kind="choice",
    choices=_WARE,
    default="greenware",
    example="bisque",
    meaning="What is in the kiln.",
    source="the ware that cracks and bursts",
)
THICKEST: Ask[float] = Ask(
    name="thickest",
    dimension="length",
    low=1,
    high=100,
    default="6 mm",
    meaning="Thickest part of the ware: foot, handle, joint.",
    example="12 mm",
    example_us="1/2 in",
    source="common practice, no source: the thinnest that needs no slower start",
)
CRISTOBALITE: Ask[bool] = Ask(
    name="cristobalite",
    kind="yes or no",
    default="no",
    example="yes",
    meaning="The body grows cristobalite: high-fired and rich in silica.",
    source="most bodies grow little",
)
FOOT: Ask[float] = Ask(
    name="foot",
    dimension="length",
    low=1,
    high=100,
    meaning="Thickness of a foot: how far its core lags behind its face.",
    example="20 mm",
    example_us="3/4 in",
)
HEATED_BOTH_SIDES: Ask[bool] = Ask(
    name="heated_both_sides",
    kind="yes or no",
    default="no",
    example="yes",
    meaning="That foot is heated from both faces.",
    source="it stands on a shelf and is heated from above only",
)
KILN_VOLUME: Ask[float] = Ask(
    name="kiln_volume",
    dimension="volume",
    low=5,
    high=2000,
    meaning="Space inside the kiln: energy as a range, by metered loads of other kilns.",
    example="74 l",
    example_us="2.6 cu ft",
    studio="kiln.volume",
)
POWER: Ask[float] = Ask(
    name="power",
    dimension="power",
    low=0.2,
    high=1000,
    meaning="Rated power of the kiln: energy by its schedule and the share of time the elements are on.",
    example="8 kW",
    studio="kiln.power",
)
DUTY: Ask[float] = Ask(
    name="duty",
    dimension="fraction",
    low=0.01,
    high=1,
    meaning="Share of the time that the elements are on; your meter gives it.",
    example="55 %",
    source="one US studio's page: 50 % for greenware, 65 % for a glaze firing, 15 % while preheating",
)
STRETCH: Ask[tuple[tuple[float, float], ...]] = Ask(
    name="stretch",
    kind="row",
    row=("duration", "at", "fraction"),
    many=True,
    limits=((1, 20_000), (0, 1)),
    meaning="Or a stretch of the firing and its share of time on, with the power.",
    example="9 h at 50 %",
)
DRY_WARE: Ask[float] = Ask(
    name="dry_ware",
    dimension="mass",
    low=0,
    high=20_000,
    meaning="Dry raw ware in the load: the least heat it can do with.",
    example="20 kg",
    example_us="44 lb",
)
FIRED_WARE: Ask[float] = Ask(
    name="fired_ware",
    dimension="mass",
    low=0,
    high=20_000,
    meaning="Bisque ware in the load.",
    example="15 kg",
    example_us="33 lb",
)
FURNITURE: Ask[float] = Ask(
    name="furniture",
    dimension="mass",
    low=0,
    high=20_000,
    meaning="Shelves and posts in the load.",
    example="30 kg",
    example_us="66 lb",
    studio="kiln.furniture",
)
WATER: Ask[float] = Ask(
    name="water",
    dimension="mass",
    low=0,
    high=20_000,
    meaning="Water still in ware or glaze.",
    example="1 kg",
    example_us="2 lb",
)

ASKS = (
    SEGMENT,
    BISQUE_TO,
    TOP,
    START,
    CONE,
    WARE,
    THICKEST,
    CRISTOBALITE,
    FOOT,
    HEATED_BOTH_SIDES,
    KILN_VOLUME,
    POWER,
    DUTY,
    STRETCH,
    DRY_WARE,
    FIRED_WARE,
    FURNITURE,
    WATER,
)


def answer(given: Given) -> Answer:
    """Return time, bands, the foot's lag and energy, as far as they were asked for."""
    firing, segments = _course(given)
    top = float(max(firing.temperatures_degc)) if firing else _top(given)
    load = _load(given, firing, top)  # what it lacks is told before what the schedule lacks
    whole = joined((_schedule(given, firing, segments), load))
    if not whole.figures:
        right = 'write a stretch such as "100 C/h to 600 C", or the top with --kiln-volume'
        raise BadInput.one("--segment", None, right)
    return Answer(
        says=" ".join(whole.says),
        figures=whole.figures,
        sources=_SOURCES,
        ranges=(
            "Rates hold for the ware as long as the kiln follows its schedule; it cools as it likes unless it is told to.",
            "The lag in a foot leaves out the clay's own water, steam and the shelf's shade: for comparing two schedules only.",
            "Energy: five metered firings of two kilns to 751 to 1285 degC; walls and furniture take most of it.",
        ),
        tables=whole.tables,
        notes=whole.notes,
    )


def _top(given: Given) -> float | None:
    from pourwright.materials.kiln.cones import cone_temperature

    if TOP in given:
        return given[TOP]
    return float(cone_temperature(given[CONE]).temperature_degc) if CONE in given else None


def _course(given: Given) -> tuple[Course | None, tuple[Segment, ...]]:
    """Return the schedule over time, None if there is none."""
    from pourwright.materials.kiln.bands import bisque_segments
    from pourwright.materials.kiln.schedule import course

    if SEGMENT in given:
        segments = _segments(given[SEGMENT], given)
    elif BISQUE_TO in given:
        dry = given[WARE] != "damp greenware"
        segments = bisque_segments(given[BISQUE_TO], given[THICKEST], dry=dry)
    else:
        return None, ()
    firing = course(segments, given[START])
    if len(firing.minutes) < 2:
        right = "it goes nowhere: no stretch leaves the temperature at the start"
        raise BadInput.one("--segment", f'"{given.typed(SEGMENT)}"', right)
    return firing, segments


def _segments(typed: tuple[str, ...], given: Given) -> tuple[Segment, ...]:
    """Return the stretches; everything wrong with any of them is told at once."""
    found, complaints = [], list[Complaint]()
    for place, text in enumerate(typed, 1):
        path = "--segment" if len(typed) == 1 else f"--segment ({place})"
        try:
            found.append(_segment(text, path, given.units))
        except BadInput as error:
            complaints += error.complaints
    if complaints:
        raise BadInput(complaints)
    return tuple(found)


def _segment(text: str, path: str, units: str) -> Segment:
    from pourwright.materials.kiln.schedule import Segment

    climb, _, hold = text.partition(" hold ")
    rate, to, heat = climb.partition(" to ")
    example = SEGMENT.example_for(units)
    if not to:
        raise BadInput.one(path, as_written(text), f'write a stretch such as "{example}"')
    rate_degc_per_h = read_rate(rate, path)
    _check(rate_degc_per_h, (1, 1500), f"{path}: its rate", rate, "1 and 1500 °C/h")
    to_degc = read(heat, "temperature", path=path)
    _check(to_degc, (0, 1400), f"{path}: its end", heat, "0 and 1400 °C")
    hold_min = read(hold, "duration", path=path) if hold else 0.0
    _check(hold_min, (0, 10080), f"{path}: its hold", hold, "0 min and 168 h")
    return Segment(rate_degc_per_h, to_degc, hold_min)


def _check(value: float, limits: tuple[float, float], path: str, typed: str, allowed: str) -> None:
    if not limits[0] <= value <= limits[1]:
        raise BadInput.one(path, as_written(typed), f"it must be between {allowed}")


def _schedule(given: Given, firing: Course | None, segments: tuple[Segment, ...]) -> AnswerPart:
    """Return what is said of a schedule; nothing without one."""
    if firing is None:
        return AnswerPart()
    minutes, top = float(firing.minutes[-1]), float(max(firing.temperatures_degc))
    fast, words = _too_fast(given, firing)
    figures = (
        quantity("whole_min", "takes in all", minutes, "duration"),
        quantity("top_c", "top", top, "temperature"),
        *_last_climb(given, firing),
        *_work(given, firing),
        *_foot(given, firing),
    )
    says = f"The schedule takes {given.show(minutes, 'duration')} to {given.show(top, 'temperature')}. {words}"
    return AnswerPart(
        says=(says,),
        figures=figures,
        tables=(_segment_rows(given, segments), *fast),
        notes=_notes(given),
    )


def _last_climb(given: Given, firing: Course) -> tuple[AnswerFigure, ...]:
    """Return the rate by which cones are charted, if the schedule climbs so far."""
    from pourwright.materials.kiln.schedule import last_climb_degc_per_h

    if float(max(firing.temperatures_degc)) - float(firing.temperatures_degc[0]) <= 100:
        return ()
    rate = last_climb_degc_per_h(firing)
    return (
        number(
            "last_climb_degc_per_h",
            f"rate over the last {show_difference(100, given.units)}",
            rate,
            "degC/h",
            note="by which cones are charted",
        ),
    )


def _work(given: Given, firing: Course) -> tuple[AnswerFigure, ...]:
    if CONE not in given:
        return ()
    return (work_figure(firing.minutes, firing.temperatures_degc, given[CONE]),)


def _foot(given: Given, firing: Course) -> tuple[AnswerFigure, ...]:
    """Return how far the core of a foot is behind at quartz's change."""
    from pourwright.materials.kiln.bands import QUARTZ_DEGC
    from pourwright.materials.kiln.thick_foot import (
        DIFFUSIVITY_MM2_PER_S,
        lag_when_face_is_at_degc,
    )

    if FOOT not in given:
        return ()
    depth = given[FOOT] / (2 if given[HEATED_BOTH_SIDES] else 1)
    slow, quick = (
        lag_when_face_is_at_degc(firing, QUARTZ_DEGC, depth, one) for one in DIFFUSIVITY_MM2_PER_S
    )
    quartz = given.show(QUARTZ_DEGC, "temperature")
    grade = "weak: heat spreads in clay by a factor of three; compare schedules only"
    heating, cooling = (sorted((abs(quick[way]), abs(slow[way]))) for way in (0, 1))
    figures = (
        number(
            "lag_up_degc",
            f"foot's core behind at {quartz}, heating",
            None,
            "degC",
            low=heating[0],
            high=heating[1],
            grade=grade,
        ),
        number(
            "lag_down_degc",
            f"foot's core ahead at {quartz}, cooling",
            None,
            "degC",
            low=cooling[0],
            high=cooling[1],
            grade=grade,
        ),
    )
    # a schedule that does not pass it on one of its ways has no lag there
    return tuple(one for one in figures if not math.isnan(one.low or 0.0))


def _too_fast(given: Given, firing: Course) -> tuple[tuple[Rows, ...], str]:
    """Return where the schedule is faster than its bands allow, and that in words."""
    from pourwright.materials.kiln.bands import too_fast

    found = too_fast(
        firing, given[THICKEST], greenware=given[WARE] != "bisque", cristobalite=given[CRISTOBALITE]
    )
    if not found:
        return (), "No band is passed too fast."
    rows = tuple((one.band, one.rate_degc_per_h, one.limit_degc_per_h, one.basis) for one in found)
    columns = (
        Column(name="band", label="Where"),
        Column(name="rate_degc_per_h", label="Here", unit="degC/h"),
        Column(name="limit_degc_per_h", label="At most", unit="degC/h"),
        Column(name="basis", label="By"),
    )
    table = Rows(name="too_fast", caption="Too fast for the ware", columns=columns, rows=rows)
    bands = "; ".join(
        f"{one.band}, {show_rate(one.rate_degc_per_h, given.units)} where"
        f" {show_rate(one.limit_degc_per_h, given.units)} is advised"
        for one in found
    )
    return (table,), f"Too fast: {bands}."


def _segment_rows(given: Given, segments: tuple[Segment, ...]) -> Rows:
    heat, clock = given[START], 0.0
    rows: list[tuple[float, ...]] = []
    for one in segments:
        took = 60 * abs(one.to_degc - heat) / one.rate_degc_per_h
        clock += took + one.hold_min
        rows.append((one.rate_degc_per_h, one.to_degc, took, one.hold_min, clock))
        heat = one.to_degc
    columns = (
        Column(name="rate_degc_per_h", label="Rate", unit="degC/h"),
        Column(name="to_c", label="To", dimension="temperature"),
        Column(name="took_min", label="Takes", dimension="duration"),
        Column(name="hold_min", label="Hold", dimension="duration"),
        Column(name="clock_min", label="Then it is", dimension="duration"),
    )
    return Rows(name="segments", caption="The schedule", columns=columns, rows=tuple(rows))


def _notes(given: Given) -> tuple[str, ...]:
    from pourwright.materials.kiln.bands import (
        candling_minutes,
        water_smoking_limit_degc_per_h,
    )

    notes = [
        "Set slow stretches by temperature, never by the clock: they slide away when the kiln lags."
    ]
    if given[WARE] != "bisque":
        short, long = (
            given.show(float(end), "duration") for end in candling_minutes(given[THICKEST])
        )
        limit = show_rate(float(water_smoking_limit_degc_per_h(given[THICKEST])), given.units)
        low, high = given.show(80, "temperature"), given.show(95, "temperature")
        notes.append(
            f"Ware that is not dry is held at {low} to {high} until a mirror at the vent stays clear,"
            f" {short if short == long else f'{short} to {long}'} in practice; then at most {limit} past the boiling point."
        )
    if BISQUE_TO in given:
        notes.append(
            "A schedule to start from: the kiln's manual and the clay's supplier go before it."
        )
    if FOOT in given:
        from pourwright.materials.kiln.bands import QUARTZ_DEGC

        notes.append(
            f"While only one of face and core has passed {given.show(QUARTZ_DEGC, 'temperature')}, "
            "they differ by 0.45 % of length."
        )
    return tuple(notes)


def _load(given: Given, firing: Course | None, top: float | None) -> AnswerPart:
    """Return what is said of a load's energy; nothing if nothing of it was told."""
    found = [*_by_volume(given, top), *_by_power(given, firing), *_by_stretches(given)]
    least = _least(given, top)
    says = [f"It takes {_said(given, one)}, {one.label}." for one in found]
    says += [f"The least it can do with is {_said(given, one)}." for one in least]
    notes = ("Your own meter replaces these: read it before and after a load.",) if found else ()
    return AnswerPart(says=tuple(says), figures=(*found, *least), notes=notes)


def _said(given: Given, one: AnswerFigure) -> str:
    low, high = (None if end is None else given.show(end, "energy") for end in (one.low, one.high))
    if isinstance(one.value, float):
        return given.show(one.value, "energy")
    return f"{low} to {high}"


def _by_volume(given: Given, top: float | None) -> list[AnswerFigure]:
    from pourwright.materials.kiln.energy import energy_by_volume

    if KILN_VOLUME not in given or top is None:
        if KILN_VOLUME in given and given.told[KILN_VOLUME.name].by == "typed":
            raise BadInput.one("--top", None, 'write the top temperature, such as "1000 C"')
        return []
    load = energy_by_volume(given[KILN_VOLUME], top)
    grade = "weak: metered loads of two kilns" + (
        ", carried beyond them" if load.extrapolated else ""
    )
    return [
        quantity(
            "load_by_volume_kwh",
            "by the kiln's volume",
            None,
            "energy",
            low=load.low_kwh,
            high=load.high_kwh,
            grade=grade,
        )
    ]


def _by_power(given: Given, firing: Course | None) -> list[AnswerFigure]:
    """Return the energy of the schedule by the kiln's power."""
    from pourwright.materials.kiln.energy import (
        BISQUE_DUTY,
        GLAZE_DUTY,
        energy_of_course,
    )
    from pourwright.materials.kiln.schedule import WATER_SMOKING_DEGC

    if (
        POWER not in given
        or firing is None
        or max(firing.temperatures_degc) <= WATER_SMOKING_DEGC[1]
    ):
        return []
    if DUTY in given:
        duty = low = high = given[DUTY]
    else:
        duty = GLAZE_DUTY if given[WARE] == "bisque" else BISQUE_DUTY
        low, high = BISQUE_DUTY, GLAZE_DUTY
    note = f"{given.show(duty, 'fraction')} of the time on"
    if DUTY not in given:
        note += ", by one US studio's page; 50 to 65 % beside it"
    return [
        quantity(
            "load_by_power_kwh",
            "by the schedule and the kiln's power",
            energy_of_course(firing, given[POWER], duty),
            "energy",
            low=energy_of_course(firing, given[POWER], low),
            high=energy_of_course(firing, given[POWER], high),
            note=note,
            grade="weak: told for firings of about nine hours; a slow one has less",
        )
    ]


def _by_stretches(given: Given) -> list[AnswerFigure]:
    from pourwright.materials.kiln.energy import energy_by_power

    if STRETCH not in given:
        return []
    if POWER not in given:
        raise BadInput.one("--power", None, 'write the kiln\'s rated power, such as "8 kW"')
    parts = [
        float(energy_by_power(given[POWER], minutes / 60, duty)) for minutes, duty in given[STRETCH]
    ]
    note = " + ".join(given.show(part, "energy") for part in parts)
    return [
        quantity(
            "load_by_stretches_kwh",
            "by the stretches told",
            sum(parts),
            "energy",
            step=0.1,
            note=note,
        )
    ]


def _least(given: Given, top: float | None) -> list[AnswerFigure]:
    """Return the heat that ware, water and shelves take up."""
    from pourwright.materials.kiln.heat import (
        fired_heat_kwh,
        raw_ware_heat_kwh,
        water_heat_kwh,
    )

    if not any(ask in given for ask in (DRY_WARE, FIRED_WARE, WATER)):
        return []
    if top is None:
        raise BadInput.one("--top", None, 'write the top temperature, such as "1000 C"')
    low, high = (float(end) for end in raw_ware_heat_kwh(given.get(DRY_WARE, 0.0), top))
    others = float(fired_heat_kwh((given.get(FIRED_WARE, 0.0)) + (given.get(FURNITURE, 0.0)), top))
    others += float(water_heat_kwh(given.get(WATER, 0.0)))
    return [
        quantity(
            "least_kwh",
            "into ware, water and shelves",
            None,
            "energy",
            low=low + others,
            high=high + others,
            grade="a small electric kiln takes several times as much",
        )
    ]


QUESTION = Question(
    id="firing",
    title="Firing",
    words="How long a firing schedule takes, where it is too fast for the ware, and what the load costs in energy. "
    "Tell its stretches, or ask for a bisque schedule to start from; for the energy the kiln's volume or power.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"segment": ["180 C/h to 470 C", "85 C/h to 520 C", "100 C/h to 786 C", "60 C/h to 876 C"]},
        {"power": "11.52 kW", "stretch": ["7 h at 15 %", "9 h at 50 %"]},
        {"top": "998 C", "kiln_volume": "2.6 ft3"},
        {"bisque_to": "1060 C", "thickest": "12 mm", "ware": "damp greenware", "power": "8 kW"},
        {
            "segment": ["150 C/h to 1122 C", "60 C/h to 1222 C hold 10 min", "200 C/h to 100 C"],
            "cone": "6",
            "ware": "bisque",
            "foot": "20 mm",
        },
        {"top": "1060 C", "dry_ware": "20 kg", "furniture": "30 kg", "water": "1 kg"},
    ),
    cautions=("Damp ware bursts", "A kiln at work"),
    at_most_one=((SEGMENT, BISQUE_TO, TOP),),
)
