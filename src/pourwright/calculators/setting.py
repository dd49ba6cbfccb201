"""``pourwright figure setting``: when a mix creams, sets and may be opened, and its heat."""

from __future__ import annotations

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
from pourwright.calculators.shared import CONSISTENCY, heat_ceiling

if TYPE_CHECKING:
    from pourwright.materials.plaster.heat import (
        HeatCurve,
        SettingPart,
        ThermometerFit,
    )
    from pourwright.materials.plaster.setting import SettingTimes
    from pourwright.materials.ranges import Floats

PRINTED_SET_MIN = (9.0, 24.0)
"""Printed set times of pottery plaster: 9 to 13 min (Vicat) and 14 to 24 (machine mix)."""
COOLED_K = 5.0
"""A middle this near the room counts as cooled: our own choice."""
MODEL_LOW_K = 1.4
"""By how much the curve's peak may lie too low; see the notes of `heat_curve`."""

_SOURCES = (
    (
        "Shape of the setting curve: Schiller, J. Appl. Chem. Biotechnol. 24 (1974) 379, the equation from memory; "
        "its constants are set to printed set times."
    ),
    "Set time 9 to 13 min (a European pottery plaster's data sheet, 2017) and 14 to 24 (a US supplier's page).",
    "Heat of setting 105 to 133 J/g: four thermochemical tables.",
    "Working time of 2 to 3 min once it thickens: a supplier's page of instructions.",
    "Opening after about an hour: a handbook of slip casting and others.",
)

SET: Ask[float] = Ask(
    name="set",
    dimension="duration",
    low=2,
    high=120,
    example="12 min",
    meaning="Your plaster's set time: from plaster meeting water until a fingernail leaves no mark.",
    source="not given: printed set times, 9 to 24 min, as a range",
)
MIX_TEMPERATURE: Ask[float] = Ask(
    name="mix_temperature",
    dimension="temperature",
    low=2,
    high=45,
    default="20 C",
    default_us="68 F",
    example="20 C",
    example_us="68 F",
    meaning="Temperature of the mix as it is poured.",
    source="a room",
)
ROOM_TEMPERATURE: Ask[float] = Ask(
    name="room_temperature",
    dimension="temperature",
    low=2,
    high=45,
    default="20 C",
    default_us="68 F",
    example="18 C",
    example_us="64 F",
    meaning="Temperature of the room.",
    source="a room",
)
LOG: Ask[tuple[tuple[float, float], ...]] = Ask(
    name="log",
    kind="row",
    row=("duration", "at", "temperature"),
    limits=((0, 1440), (0, 80)),
    many=True,
    meaning="A thermometer's reading in the middle of a part, counted from plaster meeting water; six or "
    "more, the last past the hottest.",
    example="20 min at 33 C",
    example_us="20 min at 91 F",
    source="not given: no curve and no peak is shown",
)
LOGGED_THICKNESS: Ask[float] = Ask(
    name="logged_thickness",
    dimension="length",
    low=5,
    high=400,
    example="60 mm",
    example_us="2 3/8 in",
    meaning="Thickness of the part that was logged.",
    source="told with the log",
)
THICKNESS: Ask[float] = Ask(
    name="thickness",
    dimension="length",
    low=5,
    high=400,
    example="40 mm",
    example_us="1 5/8 in",
    meaning="Thickness of the part to look at.",
    source="not given: the part that was logged",
)
ONE_FACE: Ask[bool] = Ask(
    name="one_face",
    kind="yes or no",
    default="no",
    example="yes",
    meaning="One side lies on rubber or board, so that only the other loses heat.",
    source="both sides open",
)
ASKS = (
    SET,
    CONSISTENCY,
    MIX_TEMPERATURE,
    ROOM_TEMPERATURE,
    LOG,
    LOGGED_THICKNESS,
    THICKNESS,
    ONE_FACE,
)


_RANGES = (
    "Set time 2 to 120 min; times scale with the set time that you measured.",
    (
        "Warm water, hard mixing and old set plaster in the bucket shorten every time; cold water and more water "
        "lengthen it. Only a watch tells by how much."
    ),
)
_WORKING = quantity(
    "working_min",
    "then pourable for",
    None,
    "duration",
    low=2.0,
    high=3.0,
    note="once it thickens; printed",
)


def answer(given: Given) -> Answer:
    """Return the times, and the curve if a thermometer log was told."""
    if LOG in given:
        return _from_log(given)
    low, likely, high = _times(given.get(SET))
    if SET in given:
        when = (
            f"It creams about {given.show(likely.creams_min, 'duration')} after plaster meets water and sets at "
            f"{given.show(likely.sets_min, 'duration')}."
        )
    else:
        when = (
            f"Printed plasters cream after {given.show(low.creams_min, 'duration')} to "
            f"{given.show(high.creams_min, 'duration')} and set after {given.show(low.sets_min, 'duration')} to "
            f"{given.show(high.sets_min, 'duration')}: time your own."
        )
    times = _time_figures(low, likely, high, is_known=SET in given)
    return Answer(
        says=f"{when} {_rule()}",
        figures=(*times, _WORKING, _opening(None), _ceiling(given)),
        sources=_SOURCES,
        ranges=_RANGES,
        notes=(
            (
                "No curve is shown: log a thermometer in the middle of a part (--log, --logged-thickness) and it "
                "is that of your plaster."
            ),
        ),
    )


def _rule() -> str:
    from pourwright.materials.plaster.setting import OPENING_RULE

    return OPENING_RULE


def _times(set_min: float | None) -> tuple[SettingTimes, SettingTimes, SettingTimes]:
    """Return when it creams, sets and ends: at the least, likely and at the most."""
    from pourwright.materials.plaster.setting import setting_times

    low, high = PRINTED_SET_MIN if set_min is None else (set_min, set_min)
    likely = (low * high) ** 0.5 if set_min is None else set_min
    return setting_times(low), setting_times(likely), setting_times(high)


def _time_figures(
    low: SettingTimes, likely: SettingTimes, high: SettingTimes, *, is_known: bool
) -> tuple[AnswerFigure, ...]:
    """Return when it creams, sets and ends; as ranges where the set time is not known."""

    def span(
        name: str, label: str, least: Floats, middle: Floats, most: Floats, grade: str = ""
    ) -> AnswerFigure:
        if is_known:
            return quantity(name, label, middle, "duration", grade=grade)
        return quantity(name, label, middle, "duration", low=least, high=most, grade=grade)

    ours = "calibrated, not published"
    return (
        span(
            "creams_min",
            "creams: pour now",
            low.creams_min,
            likely.creams_min,
            high.creams_min,
            ours,
        ),
        span("sets_min", "sets", low.sets_min, likely.sets_min, high.sets_min),
        span(
            "ends_min",
            "nothing left to react",
            low.ends_min,
            likely.ends_min,
            high.ends_min,
            ours,
        ),
    )


def _opening(hottest_min: float | None) -> AnswerFigure:
    from pourwright.materials.plaster.setting import opening_minutes

    return quantity(
        "open_min",
        "open, at the earliest",
        opening_minutes(hottest_min),
        "duration",
        note="past its hottest, cooling, firm to the fingernail",
    )


def _ceiling(given: Given) -> AnswerFigure:
    from pourwright.materials.plaster.mix import Plaster

    return heat_ceiling(Plaster("plaster", given[CONSISTENCY], "told"), given[MIX_TEMPERATURE])


def _part(given: Given, thickness_mm: float) -> SettingPart:
    from pourwright.materials.plaster.heat import SettingPart
    from pourwright.materials.plaster.mix import Plaster

    return SettingPart(
        Plaster("plaster", given[CONSISTENCY], "told"),
        thickness_mm,
        1 if given[ONE_FACE] else 2,
        given[MIX_TEMPERATURE],
        given[ROOM_TEMPERATURE],
    )


def _from_log(given: Given) -> Answer:
    """Return the plaster's own times and the curve of a part, from a thermometer log."""
    from pourwright.materials.plaster.heat import fit_thermometer_log

    minutes, readings = zip(*sorted(given[LOG]), strict=True)
    fit = fit_thermometer_log(_part(given, given[LOGGED_THICKNESS]), minutes, readings)
    thickness_mm = given.get(THICKNESS) or given[LOGGED_THICKNESS]
    curve, cooled_min = _until_cool(given, fit, _part(given, thickness_mm))
    hottest = given.show(curve.hottest_min, "duration")
    return Answer(
        says=f"Your plaster sets at {given.show(fit.set_min, 'duration')}; a part of "
        f"{given.show(thickness_mm, 'length')} is hottest in the middle after {hottest}. {_rule()}",
        figures=(
            *_time_figures(*_times(fit.set_min), is_known=True),
            _WORKING,
            *_peak(fit, curve, cooled_min),
            _opening(curve.hottest_min),
            _ceiling(given),
        ),
        tables=(_curve_table(curve),),
        sources=(
            *_SOURCES,
            "Your own thermometer log, fitted through the heat equation of the part.",
        ),
        ranges=(*_RANGES, "Thickness 5 to 400 mm, away from edges and corners, which cool faster."),
        notes=("The curve is of the plaster. It says nothing on whether it can be touched.",),
    )


def _until_cool(
    given: Given, fit: ThermometerFit, part: SettingPart
) -> tuple[HeatCurve, float | None]:
    """Return the curve, long enough to see it cool, and when it has."""
    from pourwright.materials.plaster.heat import curve_from_fit

    for hours in (3.0, 8.0, 24.0, 48.0):
        curve = curve_from_fit(fit, part, hours)
        after = curve.minutes > curve.hottest_min
        cool = after & (curve.core_c <= given[ROOM_TEMPERATURE] + COOLED_K)
        if cool.any():
            return curve, float(curve.minutes[cool.argmax()])
    return curve, None


def _peak(
    fit: ThermometerFit, curve: HeatCurve, cooled_min: float | None
) -> tuple[AnswerFigure, ...]:
    off = 2 * fit.off_k
    return (
        quantity(
            "hottest_c",
            "hottest, in the middle",
            curve.hottest_c,
            "temperature",
            low=curve.hottest_c - off,
            high=curve.hottest_c + off + MODEL_LOW_K,
            note=f"the log lies {fit.off_k:.1f} K off the curve",
        ),
        quantity(
            "hottest_face_c", "hottest, at an open face", float(curve.face_c.max()), "temperature"
        ),
        quantity("hottest_min", "when the middle is hottest", curve.hottest_min, "duration"),
        quantity("cooled_min", "middle within 5 K of the room", cooled_min, "duration"),
    )


def _curve_table(curve: HeatCurve) -> Rows:
    """Return the curve at some dozen times."""
    last = float(curve.minutes[-1])
    step = next(one for one in (15, 30, 60, 120, 240) if last / one <= 13)
    rows = []
    for minute in range(0, int(last) + 1, step):
        place = int(abs(curve.minutes - minute).argmin())
        rows.append((float(minute), float(curve.core_c[place]), float(curve.face_c[place])))
    return Rows(
        name="curve",
        caption="Temperature of the part, from your log",
        columns=(
            Column(name="minutes_min", label="After the mix", dimension="duration"),
            Column(name="middle_c", label="Middle", dimension="temperature"),
            Column(name="face_c", label="Open face", dimension="temperature"),
        ),
        rows=tuple(rows),
    )


QUESTION = Question(
    id="setting",
    title="Setting and heat",
    words="When a mix creams, sets and may be opened, and how hot it can get. "
    "Tell your own set time; the curve of its heat is shown once a thermometer log of a part has fitted it.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"set": "12 min"},
        {"mix_temperature": "15 C"},
        {
            "log": [
                (
                    "5 min at 20.2 C; 10 min at 22 C; 15 min at 26.1 C; 20 min at 33 C; 25 min at 40.4 C; "
                    "30 min at 46.7 C; 35 min at 49.3 C; 40 min at 48.6 C; 50 min at 46 C; 60 min at 43.3 C"
                )
            ],
            "logged_thickness": "60 mm",
            "thickness": "30 mm",
        },
    ),
    cautions=("Setting plaster burns", "Plaster dust"),
    together=((LOG, LOGGED_THICKNESS),),
)
