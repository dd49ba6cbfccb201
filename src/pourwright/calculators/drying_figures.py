"""The figures of ``pourwright figure drying``: masses, days, the verdict, and the air."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from pourwright.calculators.question import (
    Answer,
    Figure,
    Given,
    number,
    quantity,
    ranged,
)
from pourwright.errors import BadInput, NotDoable
from pourwright.materials.drying import dryness as drying
from pourwright.materials.drying.air import humidity_ratio, relative_humidity
from pourwright.materials.drying.days import (
    UNTIL_DRY,
    USUAL_HUMIDITY,
    Room,
    drying_depth,
    drying_forecast,
    open_area,
    share_gone,
)
from pourwright.materials.drying.dehydration import (
    RISK_SAYS,
    dehydration_risk,
    equilibrium_humidity,
)
from pourwright.materials.drying.evaporation import heat_transfer
from pourwright.materials.drying.together import DryingRoom, drying_together
from pourwright.materials.drying.weighings import forecast_from_weighings
from pourwright.materials.plaster import volumes
from pourwright.materials.plaster.mix import Plaster

USUAL_SPEED_M_PER_S = 0.5
LIGHTEST, HEAVIEST = 0.85, 1.10
"""Of the dry and of the fresh mold: beyond, a weighing is of something else (our own choice)."""
LB_KG = 0.45359237
_WEAK = "the weakest forecast here"
_SOURCES = (
    "Water to lose: chemistry, molar masses (Thermoddem, BRGM); 30.2 % at consistency 70, printed densities give 30.3.",
    ("Dry: mass steady within 0.1 % a day, as EN ISO 12570 has it, from memory; within 0.5 % of the predicted mass: "
    "common practice, no source."),
    "Ready to cast: 5 % free water is good practice, many shops go up to 15 % (a plaster maker's ceramic bulletin).",
)  # fmt: skip
_DAYS_SOURCE = (
    "Drying times: 7 days for small molds, 10 to 14 for larger, at 27 degC with fans (a workshop owner, potters' "
    "mailing list, 2004); they also set the model's critical saturation, which nobody has published."
)
_HEAT_SOURCES = (
    (
        "Crystal water: Thermoddem (BRGM), sheets of gypsum and bassanite; Wilkes, Atchley and Childs, ASHRAE (2004): "
        "lost at 40 degC and 0.2 % humidity, none reported at 11 to 12 %; makers' limit 49 degC."
    ),
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


def answer_drying(given: Given) -> Answer:
    """Return the whole answer of the question on drying."""
    mold = _mold(given)
    log = _log(given)
    if log:
        _refuse_impossible(given, mold, log)
    verdict = _verdict(given, mold, log) if log else None
    ahead = _ahead(given, mold, log, verdict)
    risk, risk_figures = _risk(given, mold, log)
    return Answer(
        says=_says(given, mold, verdict, ahead, risk),
        figures=(*_masses(given, mold), *_verdict_figures(verdict), *ahead, *_together(given, mold), *risk_figures),
        sources=(*_SOURCES, _DAYS_SOURCE, *(_HEAT_SOURCES if risk else ())),
        ranges=(
            "The water is sure. The days are the weakest forecast of all: weigh the mold.",
            "A first drying; a mold that was cast in many times dries slower (Seck et al., J. Mater. Sci. 2015 and later).",
        ),
        notes=(drying.DRY_CRITERION, drying.READY_CRITERION, drying.TOUCH_CRITERION, *_scale_note(given, verdict)),
    )  # fmt: skip


def _mold(given: Given) -> _Mold:
    plaster = Plaster("plaster", given["consistency"], "told")
    straps = given["straps"]
    if "volume" in given:
        volume = given["volume"]
    else:
        known = given.get("dry_mass")
        dry = (
            known
            if known is not None
            else drying.expected_dry_mass(given["wet_mass"], plaster, straps)
        )
        if dry - straps <= 0:
            raise NotDoable(
                f"The straps weigh {given.show(straps, 'mass')}, as much as the mold or more."
            )
        volume = volumes.volume_from_dry_mass(dry - straps, plaster)
    wet, dry_kg = (
        volumes.wet_mass(volume, plaster, straps),
        volumes.dry_mass(volume, plaster, straps),
    )
    return _Mold(plaster, float(volume), float(wet), float(dry_kg), straps)


def _log(given: Given) -> _Log | None:
    if "weighing" not in given:
        return None
    entries: list[tuple[datetime, float]] = sorted(given["weighing"])
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


def _verdict(given: Given, mold: _Mold, log: _Log) -> drying.Dryness | None:
    """Return what the last weighing and the latest one half a day or more before it say."""
    earlier = [place for place, day in enumerate(log.days) if (log.days[-1] - day) * 24 >= 12]
    if not earlier:
        return None
    before = earlier[-1]
    return drying.dryness(
        log.masses_kg[before], log.masses_kg[-1], (log.days[-1] - log.days[before]) * 24, mold.dry_kg,
        straps_kg=mold.straps_kg, scale_step_kg=given["scale_step"],
    )  # fmt: skip


def _masses(given: Given, mold: _Mold) -> tuple[Figure, ...]:
    good, most = (mold.dry_kg + share * mold.bare_dry_kg for share in drying.READY_FREE_WATER)
    return (
        quantity("wet_kg", "fresh from the pour", mold.wet_kg, "mass"),
        quantity("ready_kg", "ready to cast at", good, "mass", low=good, high=most,
                 note="5 % free water is good, many shops go to 15 %"),
        quantity("dry_kg", "bone dry", mold.dry_kg, "mass"),
        quantity("water_to_lose_kg", "water to lose", mold.wet_kg - mold.dry_kg, "mass"),
    )  # fmt: skip


def _verdict_figures(verdict: drying.Dryness | None) -> tuple[Figure, ...]:
    if verdict is None:
        return ()
    return (
        Figure(name="state", label="by its weighings", value=verdict.state.value),
        quantity("free_water_kg", "water it still holds", verdict.free_water_kg, "mass"),
        quantity("free_water", "of its dry mass", verdict.free_water, "fraction"),
        number(
            "loss_per_day", "loses a day, of its mass", 100 * verdict.loss_per_day, "%", digits=2
        ),
    )


def _ahead(
    given: Given, mold: _Mold, log: _Log | None, verdict: drying.Dryness | None
) -> tuple[Figure, ...]:
    """Return the days until ready and dry: from weighings, the room, or workshops' accounts."""
    if verdict is not None and verdict.state in (drying.MoldState.DRY, drying.MoldState.TOO_LIGHT):
        return ()
    if log is not None and len(log.days) > 1 and log.masses_kg[-1] < log.masses_kg[0]:
        return _from_weighings(given, mold, log)
    if log is not None and len(log.days) > 1 and verdict is None:
        return _from_weighings(given, mold, log)  # refuses it in words
    area = _area(given)
    if area is None:
        days = drying.drying_days()
        return (
            ranged(
                "dry_days",
                "dry, from the pour",
                days,
                "days",
                grade="workshops' accounts, not measured",
            ),
        )
    depth = float(drying_depth(mold.volume_l, area))
    room = Room(given.get("temperature"), given.get("humidity"), given.get("air_speed"))
    goals = (
        (
            "ready_days",
            "ready to cast, from the pour",
            share_gone(mold.plaster, drying.READY_FREE_WATER[0]),
        ),
        ("dry_days", "dry, from the pour", UNTIL_DRY),
    )
    found = [
        ranged(
            name,
            label,
            drying_forecast(mold.plaster, depth, room, float(until)),
            "days",
            grade=_WEAK,
        )
        for name, label, until in goals
    ]
    return (quantity("depth_mm", "plaster behind the open faces", depth, "length"), *found)


def _from_weighings(given: Given, mold: _Mold, log: _Log) -> tuple[Figure, ...]:
    left = forecast_from_weighings(
        log.days,
        log.masses_kg,
        mold.dry_kg,
        straps_kg=mold.straps_kg,
        scale_step_kg=given["scale_step"],
    )
    said = "the middle 80 %"
    return (
        ranged(
            "ready_days", "ready to cast, from the last weighing", left.ready, "days", grade=said
        ),
        ranged("dry_days", "dry, from the last weighing", left.dry, "days", grade=said),
        ranged("loss_kg", "loses a day now", left.rate_kg_per_day, "mass", grade=said),
    )


def _area(given: Given) -> float | None:
    if "area" in given:
        return float(given["area"])
    if "sides" in given:
        return float(open_area(*given["sides"], on_rack=not given["on_board"]))
    return None


def _together(given: Given, mold: _Mold) -> tuple[Figure, ...]:
    """Return the days together in one room, if the room was told."""
    if "room" not in given:
        return ()
    area = _area(given)
    if area is None:
        raise NotDoable('The room needs the molds\' outside too: --area "0.13 m2" or --sides.')
    speed = given.get("air_speed", USUAL_SPEED_M_PER_S)
    room = DryingRoom(
        given["room"] / 1000, given["air_changes"], given.get("temperature", 20.0),
        given["outside_temperature"], given["outside_humidity"], float(heat_transfer(speed).likely),
    )  # fmt: skip
    found = drying_together(
        mold.plaster, float(drying_depth(mold.volume_l, area)), area, given["molds"], room
    )
    return (
        quantity("together_days", f"dry, {given['molds']} in this room", found.days, "days", grade=_WEAK),
        quantity("alone_days", "dry, one alone in it", found.alone_days, "days", grade=_WEAK),
        quantity("room_humidity", "the room comes to", found.wettest_humidity, "fraction",
                 note="relative humidity, first days"),
    )  # fmt: skip


def _risk(given: Given, mold: _Mold, log: _Log | None) -> tuple[str, tuple[Figure, ...]]:
    """Return what this air does to the plaster, if it was told."""
    if "temperature" not in given:
        return "", ()
    temperature, water = given["temperature"], mold.wet_kg - mold.dry_kg
    gone = (mold.wet_kg - log.masses_kg[-1]) / water if log else 1.0
    dried = min(max(gone, 0.0), 1.0)
    limit = float(equilibrium_humidity(temperature))
    humidity = given.get("humidity", _heated(temperature))
    stage = "as it is now" if log else "once it is nearly dry"
    guessed = "" if "humidity" in given else ", if it is dry room air that was heated"
    says = RISK_SAYS[dehydration_risk(temperature, humidity, dried)]
    return f"The air{guessed}, for the mold {stage}: {says[0].lower()}{says[1:]}", (
        quantity("crystal_humidity", "gypsum keeps its water above", min(limit, 1.0), "fraction",
                 low=max(limit - 0.08, 0.0), high=min(limit + 0.08, 1.0),
                 note="relative humidity at this temperature; below 40 °C it is too slow to matter"),
    )  # fmt: skip


def _heated(temperature_c: float) -> float:
    """Return the humidity of a heated workshop's dry air, warmed to a temperature. [-]"""
    dry = humidity_ratio(20.0, USUAL_HUMIDITY[0])
    return min(float(relative_humidity(temperature_c, dry)), 1.0)


def _says(
    given: Given, mold: _Mold, verdict: drying.Dryness | None, ahead: tuple[Figure, ...], risk: str
) -> str:
    parts = []
    if verdict is not None:
        held = given.show(verdict.free_water, "fraction")
        parts.append(
            f"By its weighings the mold is {verdict.state.value}; it holds {held} free water."
        )
    else:
        wet, dry = given.show(mold.wet_kg, "mass"), given.show(mold.dry_kg, "mass")
        parts.append(f"From {wet} wet the mold comes to {dry} dry.")
    for one in ahead:
        if one.name in ("ready_days", "dry_days") and one.low is not None and one.high is not None:
            low, high = given.show(one.low, "days"), given.show(one.high, "days")
            first = one.label[0].upper() + one.label[1:]
            parts.append(f"{first}: {low} to {high}." if low != high else f"{first}: {low}.")
    return " ".join([*parts, *([risk] if risk else [])])


def _scale_note(given: Given, verdict: drying.Dryness | None) -> tuple[str, ...]:
    if verdict is None or verdict.scale_fine_enough:
        return ()
    step = given.show(given["scale_step"], "mass")
    return (
        (f"A scale of {step} steps cannot show a loss of 0.1 % a day on this mold: the verdict rests on the "
        "predicted mass alone."),
    )  # fmt: skip
