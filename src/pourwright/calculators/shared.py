"""Asks and figures that several subjects share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pourwright.calculators.question import AnswerFigure, Ask, Given, number, quantity

if TYPE_CHECKING:
    from pourwright.materials.plaster.mix import Plaster
    from pourwright.materials.ranges import Floats

CONSISTENCY: Ask[float] = Ask(
    name="consistency",
    kind="number",
    low=25,
    high=120,
    default="70",
    example="70",
    meaning="Parts of water to 100 parts of plaster, by mass.",
    source="plaster makers' data sheets for pottery plaster: 68, 70 and 74; your bag decides",
    studio="plaster.consistency",
)
SOLIDS: Ask[float] = Ask(
    name="solids",
    kind="number",
    unit="kg/l",
    low=2.2,
    high=3.5,
    default="2.6",
    example="2.55",
    meaning="Density of the dry solids.",
    source="two handbooks: clays 2.5, with glaze materials to 2.6",
    studio="slip.solids_density",
)


US_PINT_L = 0.473176473
"""By definition."""


def measure_of(given: Given) -> tuple[str, float]:
    """Return the measure that slip and slurry are weighed in, and its volume. [l]"""
    return ("US pint", US_PINT_L) if given.units == "us" else ("liter", 1.0)


def of_a_measure(
    given: Given, dry_kg_per_l: float, water_kg_per_l: float, dry_name: str
) -> tuple[AnswerFigure, AnswerFigure]:
    """Return what a liter, or a US pint, of slip or slurry holds of its dry part and of water."""
    name, liters = measure_of(given)

    def held(key: str, what: str, kg_per_l: float) -> AnswerFigure:
        text = "" if name == "liter" else given.show(kg_per_l * liters, "mass", 0.001)
        return number(key, f"{what} in a {name}", kg_per_l, "kg/l", digits=4, text=text)

    return (
        held("dry_kg_per_l", dry_name, dry_kg_per_l),
        held("water_kg_per_l", "water", water_kg_per_l),
    )


def dose_step(mass_kg: Floats) -> float:
    """Return the step that a small dose is weighed on: a tenth of a gram up to 100 g. [kg]"""
    return 0.0001 if mass_kg < 0.1 else 0.001


def heat_ceiling(plaster: Plaster, start_c: Floats) -> AnswerFigure:
    """Return the highest temperature that a mix can come to, losing no heat. [degC]"""
    from pourwright.materials.plaster.setting import HEAT_OF_SETTING, adiabatic_rise

    low, likely, high = (
        start_c + adiabatic_rise(plaster, heat)
        for heat in (HEAT_OF_SETTING.low, HEAT_OF_SETTING.likely, HEAT_OF_SETTING.high)
    )
    return quantity(
        "ceiling_c",
        "no hotter than, in a large mass",
        likely,
        "temperature",
        low=low,
        high=high,
        grade="a ceiling, not a forecast",
    )
