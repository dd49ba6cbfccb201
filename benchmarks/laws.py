"""The laws of plaster, air and water: arrays against a loop, our steps against a general solver."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from benchmarks.yardstick import ratio, seconds
from pourwright.materials.drying import (
    air,
    dehydration,
    evaporation,
)
from pourwright.materials.drying import (
    days as drying_time,
)
from pourwright.materials.drying.moisture import cast_week, drying_face
from pourwright.materials.drying.wall import CELLS, MoldWall
from pourwright.materials.plaster import mix as plaster
from pourwright.materials.plaster import setting, volumes, wear
from pourwright.materials.plaster.heat import CELLS as HEAT_CELLS
from pourwright.materials.plaster.heat import (
    WET_CONDUCTIVITY_W_PER_M_K,
    SettingPart,
    heat_curve,
)

POINTS = 100_000
LOOPED = 300  # a loop's time for a point does not depend on how many there are
TURNS = 3
MIX = plaster.Plaster("plaster", 70, "a benchmark")
MINUTES = np.arange(0, 181, 0.01)
TURNED = np.asarray(setting.conversion(MINUTES))
WEEK = [day * 24 + hour for day in range(5) for hour in (0, 4)]


def laws() -> dict[str, tuple[Callable[..., Any], tuple[float, float]]]:
    """Return each law as a function of one number, and the range to run it over."""

    def mix(consistency: Any) -> plaster.Plaster:
        return plaster.Plaster("plaster", consistency, "a benchmark")

    return {
        "wet_density": (lambda x: plaster.wet_density(mix(x)), (30, 110)),
        "dry_density": (lambda x: plaster.dry_density(mix(x)), (30, 110)),
        "batch_for_volume": (lambda x: plaster.batch_for_volume(x, MIX).water_kg, (0.1, 20)),
        "water_density": (volumes.water_density, (1, 99)),
        "saturation_pressure": (air.saturation_pressure, (1, 99)),
        "humidity_ratio": (lambda x: air.humidity_ratio(x, 0.5), (1, 60)),
        "wet_bulb": (lambda x: air.wet_bulb(x, 0.5), (10, 60)),
        "wet_face": (lambda x: evaporation.wet_face(x, 0.5, 9.0).water_g_per_m2_h, (10, 60)),
        "drying_hours": (lambda x: drying_time.drying_hours(MIX, x, 20.0, 0.5, 9.0), (5, 60)),
        "conversion": (setting.conversion, (0, 40)),
        "minutes_to": (setting.minutes_to, (0, 1)),
        "equilibrium_humidity": (dehydration.equilibrium_humidity, (10, 90)),
        "gypsum_solubility": (wear.gypsum_solubility, (0, 50)),
    }


def bench_laws_on_arrays_against_a_loop() -> float:
    """Return how many times as fast a point is in an array of 100,000, for the worst of the laws."""
    found = {}
    for name, (law, (low, high)) in laws().items():
        many = np.linspace(low, high, POINTS)
        few = [float(x) for x in np.linspace(low, high, LOOPED)]
        law(many)
        looped = min(seconds(lambda few=few, law=law: [law(x) for x in few]) for _ in range(TURNS))
        whole = min(seconds(lambda many=many, law=law: law(many)) for _ in range(TURNS))
        found[name] = looped / LOOPED / (whole / POINTS)
    slowest = min(found, key=found.__getitem__)
    print(f"    slowest on arrays: {slowest}, {found[slowest]:.0f} times")
    return found[slowest]


def lsoda_heat() -> None:
    """Solve the heat equation of a 50 mm part with a general solver, to about our own error."""
    depth, binder = 0.025, 1000 / float(plaster.mix_yield(MIX))
    cell = depth / HEAT_CELLS
    inside = WET_CONDUCTIVITY_W_PER_M_K / cell**2
    out = 1 / (cell / 2 / WET_CONDUCTIVITY_W_PER_M_K + 0.1) / cell

    def rate(minute: float, t: np.ndarray) -> np.ndarray:
        share = float(np.interp(minute, MINUTES, TURNED))
        root, rest = max(share ** (1 / 3), 1e-9), max((1 - share) ** (1 / 3), 1e-9)
        turning = 3 / (20 / root**2 + 15 / rest**2) if 0 < share < 1 else 0.0
        flow = np.zeros(HEAT_CELLS)
        flow[1:] += inside * (t[:-1] - t[1:])
        flow[:-1] += inside * (t[1:] - t[:-1])
        flow[-1] += out * (20.0 - t[-1])
        capacity = binder * float(setting.mix_heat_capacity(MIX, share))
        return np.asarray((flow * 60 + binder * 118e3 * turning) / capacity)

    state = np.full(HEAT_CELLS, 20.0)
    for begin, end in ((0.0, 2.0), (2.0, 37.0), (37.0, 180.0)):
        found = solve_ivp(
            rate, (begin, end), state, "LSODA", rtol=3e-6, atol=3e-5, lband=1, uband=1
        )
        state = found.y[:, -1]


def bench_setting_heat_against_a_general_solver() -> float:
    """Return how many times as fast ours is for a 50 mm part than LSODA with its banded Jacobian.

    Both are then within 3e-5 of the rise.
    """
    part = SettingPart(MIX, 50.0)
    heat_curve(part)
    theirs = min(seconds(lsoda_heat) for _ in range(TURNS))
    return theirs / min(seconds(lambda: heat_curve(part)) for _ in range(TURNS))


def lsoda_week() -> None:
    """Solve the week of casts with a general solver, restarted at each, to about our own error."""
    wall = MoldWall(MIX, 30.0)
    outer, state, cell = drying_face(wall), np.zeros(CELLS), wall.cell_mm / 1000
    ends = [*WEEK[1:], 168]
    for begun, following in zip(WEEK, ends, strict=True):
        span = 300 * (1 + 0.178 * float(state[:25].sum()) * wall.cell_mm * wall.capacity)
        for inflow, length in ((0.973e-3 / span, span), (0.0, (following - begun) * 3600 - span)):

            def rate(_: float, s: np.ndarray, inflow: float = inflow) -> np.ndarray:
                flux = np.empty(CELLS + 1)
                potential = np.exp(6.0 * np.minimum(s, 1.2)) / 6.0
                flux[1:-1] = wall.diffusivity_m2_per_s / cell * -np.diff(potential)
                room = min((1 - float(s[0])) / 0.05, 2.0)
                full = room - room**2 / 4
                flux[0], flux[-1] = inflow * full / wall.capacity, outer(s)[0] / wall.capacity
                return np.asarray(-np.diff(flux) / cell)

            found = solve_ivp(
                rate, (0, length), state, "LSODA", rtol=1e-4, atol=1e-5, lband=1, uband=1
            )
            state = found.y[:, -1]


def bench_a_week_of_casts_against_a_general_solver() -> float:
    """Return how many times as fast ours is for ten casts than LSODA with its banded Jacobian."""
    wall = MoldWall(MIX, 30.0)
    theirs = min(seconds(lsoda_week) for _ in range(TURNS))
    return theirs / min(
        seconds(lambda: cast_week(wall, WEEK, 0.973, 5.0, until_h=168.0)) for _ in range(TURNS)
    )


def bench_a_week_of_casts() -> float:
    """Return how many weeks of ten casts fit into the yardstick."""
    wall = MoldWall(MIX, 30.0)
    return ratio(lambda: cast_week(wall, WEEK, 0.973, 5.0, until_h=168.0), TURNS)
