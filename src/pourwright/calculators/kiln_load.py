"""What a load costs in energy: the second half of ``figure firing``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pourwright.calculators.question import Ask, Figure, Given, quantity
from pourwright.errors import BadInput

if TYPE_CHECKING:
    from pourwright.materials.kiln.schedule import Course


LOAD_ASKS = (
    Ask(
        name="kiln_volume", kind="quantity", dimension="volume", low=5, high=2000,
        meaning="Space inside the kiln: energy as a range, by metered loads of other kilns.",
        example="74 l", example_us="2.6 cu ft", studio="kiln.volume",
    ),
    Ask(
        name="power", kind="quantity", dimension="power", low=0.2, high=1000,
        meaning="Rated power of the kiln: energy by its schedule and the share of time the elements are on.",
        example="8 kW", studio="kiln.power",
    ),
    Ask(
        name="duty", kind="quantity", dimension="fraction", low=0.01, high=1,
        meaning="Share of the time that the elements are on; your meter gives it.", example="55 %",
        source="one US studio's page: 50 % for greenware, 65 % for a glaze firing, 15 % while preheating",
    ),
    Ask(
        name="stretch", kind="row", row=("duration", "at", "fraction"), many=True,
        limits=((1, 20_000), (0, 1)),
        meaning="Or a stretch of the firing and its share of time on, with the power.", example="9 h at 50 %",
    ),
    Ask(
        name="dry_ware", kind="quantity", dimension="mass", low=0, high=20_000,
        meaning="Dry raw ware in the load: the least heat it can do with.", example="20 kg", example_us="44 lb",
    ),
    Ask(
        name="fired_ware", kind="quantity", dimension="mass", low=0, high=20_000,
        meaning="Bisque ware in the load.", example="15 kg", example_us="33 lb",
    ),
    Ask(
        name="furniture", kind="quantity", dimension="mass", low=0, high=20_000,
        meaning="Shelves and posts in the load.", example="30 kg", example_us="66 lb", studio="kiln.furniture",
    ),
    Ask(
        name="water", kind="quantity", dimension="mass", low=0, high=20_000,
        meaning="Water still in ware or glaze.", example="1 kg", example_us="2 lb",
    ),
)  # fmt: skip

_MASSES = ("dry_ware", "fired_ware", "water")

_Part = tuple[tuple[Figure, ...], tuple[str, ...], tuple[str, ...]]


def load_figures(given: Given, firing: Course | None, top: float | None) -> _Part:
    """Return the figures, sentences and notes on a load's energy.

    Parameters
    ----------
    given : Given
        What was told.
    firing : Course or None
        The schedule, if there is one.
    top : float or None
        Its top temperature. [degC]

    Raises
    ------
    BadInput
        If a figure that the energy needs is missing.
    """
    found = [*_by_volume(given, top), *_by_power(given, firing), *_by_stretches(given)]
    least = _least(given, top)
    says = [f"It takes {_said(given, one)}, {one.label}." for one in found]
    says += [f"The least it can do with is {_said(given, one)}." for one in least]
    notes = ("Your own meter replaces these: read it before and after a load.",) if found else ()
    return (*found, *least), tuple(says), notes


def _said(given: Given, one: Figure) -> str:
    low, high = (None if end is None else given.show(end, "energy") for end in (one.low, one.high))
    if isinstance(one.value, float):
        return given.show(one.value, "energy")
    return f"{low} to {high}"


def _by_volume(given: Given, top: float | None) -> list[Figure]:
    from pourwright.materials.kiln.energy import energy_by_volume

    if "kiln_volume" not in given or top is None:
        if given.told.get("kiln_volume") and given.told["kiln_volume"].by == "typed":
            raise BadInput.one("--top", None, 'write the top temperature, such as "1000 C"')
        return []
    load = energy_by_volume(given["kiln_volume"], top)
    grade = "weak: metered loads of two kilns" + (
        ", carried beyond them" if load.extrapolated else ""
    )
    return [quantity("load_by_volume_kwh", "by the kiln's volume", None, "energy", low=load.low_kwh,
                     high=load.high_kwh, grade=grade)]  # fmt: skip


def _by_power(given: Given, firing: Course | None) -> list[Figure]:
    """Return the energy of the schedule by the kiln's power."""
    from pourwright.materials.kiln.energy import (
        BISQUE_DUTY,
        GLAZE_DUTY,
        energy_of_course,
    )
    from pourwright.materials.kiln.schedule import WATER_SMOKING_DEGC

    if (
        "power" not in given
        or firing is None
        or max(firing.temperatures_degc) <= WATER_SMOKING_DEGC[1]
    ):
        return []
    told = "duty" in given
    duty = given["duty"] if told else (GLAZE_DUTY if given["ware"] == "bisque" else BISQUE_DUTY)
    energy = energy_of_course(firing, given["power"], duty)
    low, high = (energy if told else energy_of_course(firing, given["power"], one)
                 for one in (BISQUE_DUTY, GLAZE_DUTY))  # fmt: skip
    share = given.show(duty, "fraction")
    note = f"{share} of the time on" + (
        "" if told else ", by one US studio's page; 50 to 65 % beside it"
    )
    return [quantity("load_by_power_kwh", "by the schedule and the kiln's power", energy, "energy", note=note,
                     low=low, high=high,
                     grade="weak: told for firings of about nine hours; a slow one has less")]  # fmt: skip


def _by_stretches(given: Given) -> list[Figure]:
    from pourwright.materials.kiln.energy import energy_by_power

    if "stretch" not in given:
        return []
    if "power" not in given:
        raise BadInput.one("--power", None, 'write the kiln\'s rated power, such as "8 kW"')
    parts = [
        float(energy_by_power(given["power"], minutes / 60, duty))
        for minutes, duty in given["stretch"]
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


def _least(given: Given, top: float | None) -> list[Figure]:
    """Return the heat that ware, water and shelves take up."""
    from pourwright.materials.kiln.heat import (
        fired_heat_kwh,
        raw_ware_heat_kwh,
        water_heat_kwh,
    )

    if not any(name in given for name in _MASSES):
        return []
    if top is None:
        raise BadInput.one("--top", None, 'write the top temperature, such as "1000 C"')
    low, high = (float(end) for end in raw_ware_heat_kwh(given.get("dry_ware") or 0.0, top))
    others = float(
        fired_heat_kwh((given.get("fired_ware") or 0.0) + (given.get("furniture") or 0.0), top)
    )
    others += float(water_heat_kwh(given.get("water") or 0.0))
    return [quantity("least_kwh", "into ware, water and shelves", None, "energy", low=low + others, high=high + others,
                     grade="a small electric kiln takes several times as much")]  # fmt: skip
