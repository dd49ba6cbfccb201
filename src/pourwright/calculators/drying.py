"""``pourwright figure drying``: when a mold is dry, or ready to cast, and in which air."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from pourwright.calculators.question import (
    Answer,
    AnswerFigure,
    AnswerPart,
    Ask,
    Given,
    Question,
    number,
    quantity,
    ranged,
)
from pourwright.calculators.shared import CONSISTENCY
from pourwright.errors import BadInput, NotDoable

if TYPE_CHECKING:
    from pourwright.materials.drying.dryness import Dryness
    from pourwright.materials.plaster.mix import Plaster


USUAL_SPEED_M_PER_S = 0.5
LIGHTEST, HEAVIEST = 0.85, 1.10
"""Of the dry and of the fresh mold: beyond, a weighing is of something else (our own choice)."""
LB_KG = 0.45359237
_WEAK = "the weakest forecast here"
_SOURCES = (
    "Water to lose: chemistry, molar masses (Thermoddem, BRGM); 30.2 % at consistency 70, printed densities give 30.3.",
    (
        "Dry: mass steady within 0.1 % a day, as EN ISO 12570 has it, from memory; within 0.5 % of the predicted mass: "
        "common practice, no source."
    ),
    "Ready to cast: 5 % free water is good practice, many shops go up to 15 % (a plaster maker's ceramic bulletin).",
)
_DAYS_SOURCE = (
    "Drying times: 7 days for small molds, 10 to 14 for larger, at 27 degC with fans (a workshop owner, potters' "
    "mailing list, 2004); they also set the model's critical saturation, which nobody has published."
)
_HEAT_SOURCE = (
    "Crystal water: Thermoddem (BRGM), sheets of gypsum and bassanite; Wilkes, Atchley and Childs, ASHRAE (2004): "
    "lost at 40 degC and 0.2 % humidity, none reported at 11 to 12 %; makers' limit 49 degC."
)


@dataclass(frozen=True, slots=True)
class _Mold:
    """The mold's plaster and masses, straps and all. [kg], [l]"""

    plaster: Plaster
    volume_l: float
    wet_kg: float
    dry_kg: float
    straps_kg: float

    @property
    def bare_dry_kg(self) -> float:
        """Its dry plaster alone. [kg]"""
        return self.dry_kg - self.straps_kg


@dataclass(frozen=True, slots=True)
class _Log:
    """Weighings in the order of time: days since the first, and masses. [days], [kg]"""

    days: list[float]
    masses_kg: list[float]
    last: datetime


VOLUME: Ask[float] = Ask(
    name="volume",
    dimension="volume",
    low=0.05,
    high=500,
    example="3.2 l",
    example_us="3.4 US qt",
    meaning="Plaster of the mold, all its parts.",
)
WET_MASS: Ask[float] = Ask(
    name="wet_mass",
    dimension="mass",
    low=0.05,
    high=1000,
    example="5.06 kg",
    example_us="11 lb 2 oz",
    meaning="Or its mass on the day it was poured, with its straps.",
)
DRY_MASS: Ask[float] = Ask(
    name="dry_mass",
    dimension="mass",
    low=0.05,
    high=1000,
    example="3.53 kg",
    example_us="7 lb 12 oz",
    meaning="Or its mass when it was dry before, with its straps.",
)
STRAPS: Ask[float] = Ask(
    name="straps",
    dimension="mass",
    low=0,
    high=50,
    default="0 kg",
    example="120 g",
    example_us="4 oz",
    meaning="Straps and boards that are weighed with it, always the same.",
    source="weighed without straps",
)
WEIGHING: Ask[tuple[tuple[datetime, float], ...]] = Ask(
    name="weighing",
    kind="row",
    row=("when", "mass"),
    limits=(None, (0.05, 1000)),
    many=True,
    meaning="A weighing of the whole strapped mold, with its day, and time of day if you like.",
    example="2027-02-20 4.86 kg",
    example_us="2027-02-20 10 lb 11 oz",
    source="not given: a forecast, and no verdict",
)
SCALE_STEP: Ask[float] = Ask(
    name="scale_step",
    dimension="mass",
    low=0.0001,
    high=1,
    default="10 g",
    default_us="1/2 oz",
    example="5 g",
    example_us="1 oz",
    meaning="Step of the scale.",
    source="common practice, no source",
    studio="plaster.scale_step",
)
AREA: Ask[float] = Ask(
    name="area",
    dimension="area",
    low=0.001,
    high=50,
    example="0.13 m2",
    example_us="1.4 sq ft",
    meaning="Outside that the air reaches; of strapped parts, that of the whole block.",
    source="not given: the days are those of workshops' own accounts",
)
SIDES: Ask[tuple[float, float, float]] = Ask(
    name="sides",
    kind="row",
    row=("length", "by", "length", "by", "length"),
    limits=((10, 3000), (10, 3000), (10, 3000)),
    meaning="Or outer sides of the block: length by width by height.",
    example="200 mm by 150 mm by 120 mm",
    example_us="8 in by 6 in by 5 in",
    source="not given: the days are those of workshops' own accounts",
)
ON_BOARD: Ask[bool] = Ask(
    name="on_board",
    kind="yes or no",
    default="no",
    example="yes",
    meaning="The block stands on a board, so that air does not reach it from below.",
    source="on a rack",
)
TEMPERATURE: Ask[float] = Ask(
    name="temperature",
    dimension="temperature",
    low=2,
    high=70,
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
    meaning="Speed of the air along the molds: a fan not aimed at them gives 0.3 to 1.",
    source="not given: 0.2 to 1 m/s, as a range",
)
MOLDS: Ask[int] = Ask(
    name="molds",
    kind="whole",
    low=1,
    high=500,
    example="10",
    meaning="Alike molds that dry in the same room, poured on one day.",
    source="told with the room",
)
ROOM: Ask[float] = Ask(
    name="room",
    dimension="volume",
    low=2000,
    high=5_000_000,
    example="50 m3",
    example_us="1800 cu ft",
    meaning="Volume of the room.",
    source="not given: the molds do not wet its air",
)
AIR_CHANGES: Ask[float] = Ask(
    name="air_changes",
    kind="number",
    unit="an hour",
    low=0.05,
    high=60,
    default="0.5",
    example="3",
    meaning="Times an hour that the room's air is renewed: closed 0.3 to 1, windows ajar 2 to 5.",
    source="a closed old room; common practice, no source",
)
OUTSIDE_TEMPERATURE: Ask[float] = Ask(
    name="outside_temperature",
    dimension="temperature",
    low=0,
    high=50,
    default="10 C",
    default_us="50 F",
    example="5 C",
    example_us="41 F",
    meaning="Temperature outside; at frost give 0 C.",
    source="a mild day, our own choice",
)
OUTSIDE_HUMIDITY: Ask[float] = Ask(
    name="outside_humidity",
    dimension="fraction",
    low=0,
    high=1,
    default="80 %",
    example="80 %",
    meaning="Relative humidity outside.",
    source="a mild day, our own choice",
)
ASKS = (
    VOLUME,
    WET_MASS,
    DRY_MASS,
    CONSISTENCY,
    STRAPS,
    WEIGHING,
    SCALE_STEP,
    AREA,
    SIDES,
    ON_BOARD,
    TEMPERATURE,
    HUMIDITY,
    AIR_SPEED,
    MOLDS,
    ROOM,
    AIR_CHANGES,
    OUTSIDE_TEMPERATURE,
    OUTSIDE_HUMIDITY,
)


def answer(given: Given) -> Answer:
    """Return masses, days, the verdict of the weighings, and what the air does to plaster."""
    from pourwright.materials.drying.dryness import (
        DRY_CRITERION,
        READY_CRITERION,
        TOUCH_CRITERION,
    )

    mold = _mold(given)
    log = _log(given)
    if log:
        _refuse_impossible(given, mold, log)
    verdict = _verdict(given, mold, log) if log else None
    ahead = _ahead(given, mold, log, verdict)
    risk = _risk(given, mold, log)
    return Answer(
        says=" ".join((*_says(given, mold, verdict, ahead), *risk.says)),
        figures=(
            *_masses(mold),
            *_verdict_figures(verdict),
            *ahead,
            *_together(given, mold),
            *risk.figures,
        ),
        sources=(*_SOURCES, _DAYS_SOURCE, *((_HEAT_SOURCE,) if risk.says else ())),
        ranges=(
            "The water is sure. The days are the weakest forecast of all: weigh the mold.",
            "A first drying; a mold that was cast in many times dries slower (Seck et al., J. Mater. Sci. 2015 and later).",
        ),
        notes=(DRY_CRITERION, READY_CRITERION, TOUCH_CRITERION, *_scale_note(given, verdict)),
    )


def _mold(given: Given) -> _Mold:
    from pourwright.materials.plaster.mix import Plaster
    from pourwright.materials.plaster.volumes import dry_mass, wet_mass

    plaster = Plaster("plaster", given[CONSISTENCY], "told")
    straps = given[STRAPS]
    volume = given[VOLUME] if VOLUME in given else _volume_by_mass(given, plaster)
    return _Mold(
        plaster,
        volume_l=volume,
        wet_kg=float(wet_mass(volume, plaster, straps)),
        dry_kg=float(dry_mass(volume, plaster, straps)),
        straps_kg=straps,
    )


def _volume_by_mass(given: Given, plaster: Plaster) -> float:
    """Return the plaster of a mold that was weighed, straps and all. [l]"""
    from pourwright.materials.drying.dryness import expected_dry_mass
    from pourwright.materials.plaster.volumes import volume_from_dry_mass

    straps = given[STRAPS]
    if DRY_MASS in given:
        dry = given[DRY_MASS]
    else:
        dry = float(expected_dry_mass(given[WET_MASS], plaster, straps))
    if dry - straps <= 0:
        raise NotDoable(
            f"The straps weigh {given.show(straps, 'mass')}, as much as the mold or more."
        )
    return float(volume_from_dry_mass(dry - straps, plaster))


def _log(given: Given) -> _Log | None:
    if WEIGHING not in given:
        return None
    entries = sorted(given[WEIGHING])
    first = entries[0][0]
    days = [(when - first).total_seconds() / 86400 for when, _ in entries]
    return _Log(days, [mass for _, mass in entries], entries[-1][0])


def _refuse_impossible(given: Given, mold: _Mold, log: _Log) -> None:
    """Refuse a mass that this mold can never have had."""
    least = mold.straps_kg + LIGHTEST * mold.bare_dry_kg
    most = mold.straps_kg + HEAVIEST * (mold.wet_kg - mold.straps_kg)
    for mass in log.masses_kg:
        if least <= mass <= most:
            continue
        wet, dry = given.show(mold.wet_kg, "mass"), given.show(mold.dry_kg, "mass")
        hint = "Is it the same mold, whole, with the same straps?"
        if least <= mass * LB_KG <= most:
            hint = f"Was it read in pounds? {mass:g} lb is {mass * LB_KG:.2f} kg."
        right = f"a mold of that plaster weighs {wet} fresh and {dry} dry"
        raise BadInput.one("--weighing", given.show(mass, "mass"), right, hint)


def _verdict(given: Given, mold: _Mold, log: _Log) -> Dryness | None:
    """Return what the last weighing and the latest one half a day or more before it say."""
    from pourwright.materials.drying.dryness import dryness

    earlier = [place for place, day in enumerate(log.days) if (log.days[-1] - day) * 24 >= 12]
    if not earlier:
        return None
    before = earlier[-1]
    return dryness(
        log.masses_kg[before],
        log.masses_kg[-1],
        (log.days[-1] - log.days[before]) * 24,
        mold.dry_kg,
        straps_kg=mold.straps_kg,
        scale_step_kg=given[SCALE_STEP],
    )


def _masses(mold: _Mold) -> tuple[AnswerFigure, ...]:
    from pourwright.materials.drying.dryness import READY_FREE_WATER

    good, most = (mold.dry_kg + share * mold.bare_dry_kg for share in READY_FREE_WATER)
    return (
        quantity("wet_kg", "fresh from the pour", mold.wet_kg, "mass"),
        quantity(
            "ready_kg",
            "ready to cast at",
            good,
            "mass",
            low=good,
            high=most,
            note="5 % free water is good, many shops go to 15 %",
        ),
        quantity("dry_kg", "bone dry", mold.dry_kg, "mass"),
        quantity("water_to_lose_kg", "water to lose", mold.wet_kg - mold.dry_kg, "mass"),
    )


def _verdict_figures(verdict: Dryness | None) -> tuple[AnswerFigure, ...]:
    if verdict is None:
        return ()
    return (
        AnswerFigure(name="state", label="by its weighings", value=verdict.state.value),
        quantity("free_water_kg", "water it still holds", verdict.free_water_kg, "mass"),
        quantity("free_water", "of its dry mass", verdict.free_water, "fraction"),
        number(
            "loss_per_day", "loses a day, of its mass", 100 * verdict.loss_per_day, "%", digits=2
        ),
    )


def _ahead(
    given: Given, mold: _Mold, log: _Log | None, verdict: Dryness | None
) -> tuple[AnswerFigure, ...]:
    """Return the days until ready and dry: from weighings, the room, or workshops' accounts."""
    from pourwright.materials.drying.dryness import MoldState, drying_days

    if verdict is not None and verdict.state in (MoldState.DRY, MoldState.TOO_LIGHT):
        return ()
    if log is not None and len(log.days) > 1 and log.masses_kg[-1] < log.masses_kg[0]:
        return _from_weighings(given, mold, log)
    if log is not None and len(log.days) > 1 and verdict is None:
        return _from_weighings(given, mold, log)  # refuses it in words
    area = _area(given)
    if area is not None:
        return _in_this_room(given, mold, area)
    grade = "workshops' accounts, not measured"
    return (ranged("dry_days", "dry, from the pour", drying_days(), "days", grade=grade),)


def _in_this_room(given: Given, mold: _Mold, area: float) -> tuple[AnswerFigure, ...]:
    """Return the days until ready and dry by the mold's outside and the air of its room."""
    from pourwright.materials.drying.days import (
        UNTIL_DRY,
        Room,
        drying_depth,
        drying_forecast,
        share_gone,
    )
    from pourwright.materials.drying.dryness import READY_FREE_WATER

    depth = float(drying_depth(mold.volume_l, area))
    room = Room(given.get(TEMPERATURE), given.get(HUMIDITY), given.get(AIR_SPEED))
    until_ready = float(share_gone(mold.plaster, READY_FREE_WATER[0]))
    ready = drying_forecast(mold.plaster, depth, room, until_ready)
    dry = drying_forecast(mold.plaster, depth, room, UNTIL_DRY)
    return (
        quantity("depth_mm", "plaster behind the open faces", depth, "length"),
        ranged("ready_days", "ready to cast, from the pour", ready, "days", grade=_WEAK),
        ranged("dry_days", "dry, from the pour", dry, "days", grade=_WEAK),
    )


def _from_weighings(given: Given, mold: _Mold, log: _Log) -> tuple[AnswerFigure, ...]:
    from pourwright.materials.drying.weighings import forecast_from_weighings

    left = forecast_from_weighings(
        log.days,
        log.masses_kg,
        mold.dry_kg,
        straps_kg=mold.straps_kg,
        scale_step_kg=given[SCALE_STEP],
    )
    grade = "the middle 80 %"
    return (
        ranged(
            "ready_days", "ready to cast, from the last weighing", left.ready, "days", grade=grade
        ),
        ranged("dry_days", "dry, from the last weighing", left.dry, "days", grade=grade),
        ranged("loss_kg", "loses a day now", left.rate_kg_per_day, "mass", grade=grade),
    )


def _area(given: Given) -> float | None:
    from pourwright.materials.drying.days import open_area

    if AREA in given:
        return given[AREA]
    if SIDES in given:
        return float(open_area(*given[SIDES], on_rack=not given[ON_BOARD]))
    return None


def _together(given: Given, mold: _Mold) -> tuple[AnswerFigure, ...]:
    """Return the days together in one room, if the room was told."""
    from pourwright.materials.drying.days import drying_depth
    from pourwright.materials.drying.evaporation import heat_transfer
    from pourwright.materials.drying.together import DryingRoom, drying_together

    if ROOM not in given:
        return ()
    area = _area(given)
    if area is None:
        raise NotDoable('The room needs the molds\' outside too: --area "0.13 m2" or --sides.')
    speed = given.get(AIR_SPEED, USUAL_SPEED_M_PER_S)
    room = DryingRoom(
        given[ROOM] / 1000,
        given[AIR_CHANGES],
        given.get(TEMPERATURE, 20.0),
        given[OUTSIDE_TEMPERATURE],
        given[OUTSIDE_HUMIDITY],
        float(heat_transfer(speed).likely),
    )
    found = drying_together(
        mold.plaster, float(drying_depth(mold.volume_l, area)), area, given[MOLDS], room
    )
    return (
        quantity(
            "together_days", f"dry, {given[MOLDS]} in this room", found.days, "days", grade=_WEAK
        ),
        quantity("alone_days", "dry, one alone in it", found.alone_days, "days", grade=_WEAK),
        quantity(
            "room_humidity",
            "the room comes to",
            found.wettest_humidity,
            "fraction",
            note="relative humidity, first days",
        ),
    )


def _risk(given: Given, mold: _Mold, log: _Log | None) -> AnswerPart:
    """Return what this air does to the plaster, if it was told."""
    from pourwright.materials.drying.dehydration import (
        RISK_SAYS,
        dehydration_risk,
        equilibrium_humidity,
    )

    if TEMPERATURE not in given:
        return AnswerPart()
    temperature, water = given[TEMPERATURE], mold.wet_kg - mold.dry_kg
    gone = (mold.wet_kg - log.masses_kg[-1]) / water if log else 1.0
    dried = min(max(gone, 0.0), 1.0)
    limit = float(equilibrium_humidity(temperature))
    humidity, guessed = given.get(HUMIDITY), ""
    if humidity is None:
        humidity, guessed = _heated(temperature), ", if it is dry room air that was heated"
    stage = "as it is now" if log else "once it is nearly dry"
    says = RISK_SAYS[dehydration_risk(temperature, humidity, dried)]
    figure = quantity(
        "crystal_humidity",
        "gypsum keeps its water above",
        min(limit, 1.0),
        "fraction",
        low=max(limit - 0.08, 0.0),
        high=min(limit + 0.08, 1.0),
        note="relative humidity at this temperature; "
        f"below {given.show(40.0, 'temperature')} it is too slow to matter",
    )
    says = f"The air{guessed}, for the mold {stage}: {says[0].lower()}{says[1:]}"
    return AnswerPart(says=(says,), figures=(figure,))


def _heated(temperature_c: float) -> float:
    """Return the humidity of a heated workshop's dry air, warmed to a temperature. [-]"""
    from pourwright.materials.drying.air import humidity_ratio, relative_humidity
    from pourwright.materials.drying.days import USUAL_HUMIDITY

    dry = humidity_ratio(20.0, USUAL_HUMIDITY[0])
    return min(float(relative_humidity(temperature_c, dry)), 1.0)


def _says(
    given: Given, mold: _Mold, verdict: Dryness | None, ahead: tuple[AnswerFigure, ...]
) -> tuple[str, ...]:
    says = []
    if verdict is not None:
        held = given.show(verdict.free_water, "fraction")
        says.append(
            f"By its weighings the mold is {verdict.state.value}; it holds {held} free water."
        )
    else:
        wet, dry = given.show(mold.wet_kg, "mass"), given.show(mold.dry_kg, "mass")
        says.append(f"From {wet} wet the mold comes to {dry} dry.")
    for one in ahead:
        if one.name in ("ready_days", "dry_days") and one.low is not None and one.high is not None:
            low, high = given.show(one.low, "days"), given.show(one.high, "days")
            first = one.label[0].upper() + one.label[1:]
            says.append(f"{first}: {low} to {high}." if low != high else f"{first}: {low}.")
    return tuple(says)


def _scale_note(given: Given, verdict: Dryness | None) -> tuple[str, ...]:
    if verdict is None or verdict.scale_fine_enough:
        return ()
    step = given.show(given[SCALE_STEP], "mass")
    note = (
        f"A scale of {step} steps cannot show a loss of 0.1 % a day on this mold: the verdict rests on the "
        "predicted mass alone."
    )
    return (note,)


QUESTION = Question(
    id="drying",
    title="Drying a mold",
    words="When a mold is dry, when it is ready to cast, and whether its air is too warm or too dry. "
    "Tell its plaster, or what it weighed; two or more weighings tighten the forecast and give a verdict.",
    asks=ASKS,
    answer=answer,
    examples=(
        {
            "wet_mass": "5.06 kg",
            "weighing": ["2027-02-20 3.540 kg", "2027-02-21 3.538 kg"],
            "scale_step": "1 g",
        },
        {"volume": "3.2 l"},
        {
            "volume": "3.2 l",
            "sides": "200 mm by 150 mm by 120 mm",
            "temperature": "20 C",
            "humidity": "50 %",
            "air_speed": "1",
        },
        {
            "volume": "3.2 l",
            "weighing": ["2027-02-20 5.06 kg; 2027-02-21 4.86 kg; 2027-02-22 4.66 kg"],
        },
        {
            "volume": "3.2 l",
            "area": "0.13 m2",
            "temperature": "20 C",
            "molds": "10",
            "room": "50 m3",
            "air_changes": "0.5",
        },
        {"volume": "3.2 l", "temperature": "40 C", "humidity": "1 %"},
    ),
    cautions=("Heat for drying", "Lifting"),
    one_of=((VOLUME, WET_MASS, DRY_MASS),),
    at_most_one=((AREA, SIDES),),
    together=((MOLDS, ROOM),),
)
