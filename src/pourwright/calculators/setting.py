"""``pourwright figure setting``: when a mix creams, sets and may be opened, and its heat."""

from __future__ import annotations

from typing import TYPE_CHECKING

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
    from pourwright.materials.plaster.heat import (
        HeatCurve,
        SettingPart,
        ThermometerFit,
    )

PRINTED_SET_MIN = (9.0, 24.0)
"""Printed set times of pottery plaster: 9 to 13 min (Vicat) and 14 to 24 (machine mix)."""
COOLED_K = 5.0
"""A middle this near the room counts as cooled: our own choice."""
MODEL_LOW_K = 1.4
"""By how much the curve's peak may lie too low; see the notes of `heat_curve`."""

_SOURCES = (
    ("Shape of the setting curve: Schiller, J. Appl. Chem. Biotechnol. 24 (1974) 379, the equation from memory; "
    "its constants are set to printed set times."),
    "Set time 9 to 13 min (a European pottery plaster's data sheet, 2017) and 14 to 24 (a US supplier's page).",
    "Heat of setting 105 to 133 J/g: four thermochemical tables.",
    "Working time of 2 to 3 min once it thickens: a supplier's page of instructions.",
    "Opening after about an hour: a handbook of slip casting and others.",
)  # fmt: skip

ASKS = (
    Ask(
        name="set", kind="quantity", dimension="duration", low=2, high=120, example="12 min",
        meaning="Your plaster's set time: from plaster meeting water until a fingernail leaves no mark.",
        source="not given: printed set times, 9 to 24 min, as a range",
    ),
    Ask(
        name="consistency", kind="number", low=25, high=120, default="70", example="70",
        meaning="Parts of water to 100 parts of plaster, by mass.",
        source="plaster makers' data sheets for pottery plaster: 68, 70 and 74; your bag decides",
        studio="plaster.consistency",
    ),
    Ask(
        name="mix_temperature", kind="quantity", dimension="temperature", low=2, high=45, default="20 C",
        example="20 C", example_us="68 F", meaning="Temperature of the mix as it is poured.", source="a room",
    ),
    Ask(
        name="room_temperature", kind="quantity", dimension="temperature", low=2, high=45, default="20 C",
        example="18 C", example_us="64 F", meaning="Temperature of the room.", source="a room",
    ),
    Ask(
        name="log", kind="row", row=("duration", "at", "temperature"), limits=((0, 1440), (0, 80)), many=True,
        meaning="A thermometer's reading in the middle of a part, counted from plaster meeting water; six or "
        "more, the last past the hottest.",
        example="20 min at 33 C", example_us="20 min at 91 F",
        source="not given: no curve and no peak is shown",
    ),
    Ask(
        name="logged_thickness", kind="quantity", dimension="length", low=5, high=400, example="60 mm",
        example_us="2 3/8 in", meaning="Thickness of the part that was logged.", source="told with the log",
    ),
    Ask(
        name="thickness", kind="quantity", dimension="length", low=5, high=400, example="40 mm",
        example_us="1 5/8 in", meaning="Thickness of the part to look at.",
        source="not given: the part that was logged",
    ),
    Ask(
        name="one_face", kind="yes or no", default="no", example="yes",
        meaning="One side lies on rubber or board, so that only the other loses heat.", source="both sides open",
    ),
)  # fmt: skip


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
    if "log" in given:
        return _from_log(given)
    times = _times(given)
    creams, sets = times[:2]
    when = (
        f"It creams about {given.show(creams.value, 'duration')} after plaster meets water and sets at "
        f"{given.show(sets.value, 'duration')}."
        if "set" in given
        else f"Printed plasters cream after {given.show(creams.low, 'duration')} to "
        f"{given.show(creams.high, 'duration')} and set after {given.show(sets.low, 'duration')} to "
        f"{given.show(sets.high, 'duration')}: time your own."
    )
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


_RANGES = (
    "Set time 2 to 120 min; times scale with the set time that you measured.",
    ("Warm water, hard mixing and old set plaster in the bucket shorten every time; cold water and more water "
    "lengthen it. Only a watch tells by how much."),
)  # fmt: skip


def _rule() -> str:
    from pourwright.materials.plaster.setting import OPENING_RULE

    return OPENING_RULE


def _times(given: Given, set_min: float | None = None) -> tuple[Figure, ...]:
    """Return when it creams, sets and ends; as ranges where the set time is not known."""
    from pourwright.materials.plaster.setting import setting_times

    own = given.get("set") if set_min is None else set_min
    ends = (own, own) if own is not None else PRINTED_SET_MIN
    low, high = (setting_times(end) for end in ends)
    middle = setting_times(own if own is not None else (ends[0] * ends[1]) ** 0.5)
    spread = own is None
    grade = "calibrated, not published"
    rows = (
        (
            "creams_min",
            "creams: pour now",
            low.creams_min,
            middle.creams_min,
            high.creams_min,
            grade,
        ),
        ("sets_min", "sets", low.sets_min, middle.sets_min, high.sets_min, ""),
        ("ends_min", "nothing left to react", low.ends_min, middle.ends_min, high.ends_min, grade),
    )
    return tuple(
        quantity(
            name, label, likely, "duration", low=least if spread else None, high=most if spread else None,
            grade=how,
        )
        for name, label, least, likely, most, how in rows
    )  # fmt: skip


def _opening(hottest_min: float | None) -> Figure:
    from pourwright.materials.plaster.setting import opening_minutes

    return quantity(
        "open_min", "open, at the earliest", opening_minutes(hottest_min), "duration",
        note="past its hottest, cooling, firm to the fingernail",
    )  # fmt: skip


def _ceiling(given: Given) -> Figure:
    """Return the highest temperature that the mix can come to, losing no heat."""
    from pourwright.materials.plaster.mix import Plaster
    from pourwright.materials.plaster.setting import HEAT_OF_SETTING, adiabatic_rise

    plaster = Plaster("plaster", given["consistency"], "told")
    low, likely, high = (
        given["mix_temperature"] + adiabatic_rise(plaster, heat)
        for heat in (HEAT_OF_SETTING.low, HEAT_OF_SETTING.likely, HEAT_OF_SETTING.high)
    )
    return quantity(
        "ceiling_c", "no hotter than, in a large mass", likely, "temperature", low=low, high=high,
        grade="a ceiling, not a forecast",
    )  # fmt: skip


def _part(given: Given, thickness_mm: float) -> SettingPart:
    from pourwright.materials.plaster.heat import SettingPart
    from pourwright.materials.plaster.mix import Plaster

    return SettingPart(
        Plaster("plaster", given["consistency"], "told"), thickness_mm, 1 if given["one_face"] else 2,
        given["mix_temperature"], given["room_temperature"],
    )  # fmt: skip


def _from_log(given: Given) -> Answer:
    """Return the plaster's own times and the curve of a part, from a thermometer log."""
    from pourwright.materials.plaster.heat import fit_thermometer_log

    minutes, readings = zip(*sorted(given["log"]), strict=True)
    fit = fit_thermometer_log(_part(given, given["logged_thickness"]), minutes, readings)
    thickness_mm = given.get("thickness") or given["logged_thickness"]
    curve, cooled_min = _until_cool(given, fit, _part(given, thickness_mm))
    hottest = given.show(curve.hottest_min, "duration")
    return Answer(
        says=f"Your plaster sets at {given.show(fit.set_min, 'duration')}; a part of "
        f"{given.show(thickness_mm, 'length')} is hottest in the middle after {hottest}. {_rule()}",
        figures=(
            *_times(given, fit.set_min),
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
        cool = after & (curve.core_c <= given["room_temperature"] + COOLED_K)
        if cool.any():
            return curve, float(curve.minutes[cool.argmax()])
    return curve, None


def _peak(fit: ThermometerFit, curve: HeatCurve, cooled_min: float | None) -> tuple[Figure, ...]:
    off = 2 * fit.off_k
    return (
        quantity(
            "hottest_c", "hottest, in the middle", curve.hottest_c, "temperature",
            low=curve.hottest_c - off, high=curve.hottest_c + off + MODEL_LOW_K,
            note=f"the log lies {fit.off_k:.1f} K off the curve",
        ),
        quantity("hottest_face_c", "hottest, at an open face", float(curve.face_c.max()), "temperature"),
        quantity("hottest_min", "when the middle is hottest", curve.hottest_min, "duration"),
        quantity("cooled_min", "middle within 5 K of the room", cooled_min, "duration"),
    )  # fmt: skip


def _curve_table(curve: HeatCurve) -> Rows:
    """Return the curve at some dozen times."""
    last = float(curve.minutes[-1])
    step = next(one for one in (15, 30, 60, 120, 240) if last / one <= 13)
    rows = []
    for minute in range(0, int(last) + 1, step):
        place = int(abs(curve.minutes - minute).argmin())
        rows.append((float(minute), float(curve.core_c[place]), float(curve.face_c[place])))
    return Rows(
        name="curve", caption="Temperature of the part, from your log",
        columns=(
            Column(name="minutes_min", label="After the mix", dimension="duration"),
            Column(name="middle_c", label="Middle", dimension="temperature"),
            Column(name="face_c", label="Open face", dimension="temperature"),
        ),
        rows=tuple(rows),
    )  # fmt: skip


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
    together=(("log", "logged_thickness"),),
)
