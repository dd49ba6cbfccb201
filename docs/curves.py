"""The curves of the site: laws as lines, where others printed figures to put beside them as points.

To add a curve, write a function that returns lines and points, and name its law above it.
Its docstring is read out to those who do not see the picture.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import altair as alt
import numpy as np
import vl_convert

from pourwright.materials.drying import air, dehydration, moisture, wall
from pourwright.materials.plaster import mix as plaster
from pourwright.materials.plaster import volumes, wear
from tests.sources import plaster_air, plaster_chemistry, plaster_mixes, plaster_transport

# By name: lines as places and values, points as pairs.
Series = tuple[Mapping[str, Any], Mapping[str, Any]]
SHADES = ["#2b4c9b", "#9a4a2f", "#4f7f6b", "#6b6b6b", "#8a6d1f", "#7a4b86"]
CONSISTENCY, HUMIDITY = "parts of water to 100 of plaster", "relative humidity, %"
CURVES: dict[Any, tuple[Callable[[], Series], str, str, str]] = {}


def curve(law: Any, title: str, x: str, y: str) -> Callable[[Callable[[], Series]], None]:
    """Return a decorator that keeps a function as the curve of a law."""
    return lambda series: CURVES.update({law: (series, title, x, y)})


def svg(series: Callable[[], Series], title: str, x: str, y: str) -> str:
    """Return a curve as a picture; rounded numbers give the same bytes on every machine."""
    lines, points = series()
    drawn = [(name, "line", zip(*ends, strict=True)) for name, ends in lines.items()]
    drawn += [(name, "point", pairs) for name, pairs in points.items()]
    rows = [
        {"x": float(f"{at:.6g}"), "y": float(f"{value:.6g}"), "name": name, "kind": kind}
        for name, kind, pairs in drawn
        for at, value in pairs
    ]
    near, below, aside = alt.Scale(zero=False), alt.Axis(tickCount=10), alt.Axis(titlePadding=16)
    legend = alt.Legend(orient="bottom", columns=2, columnPadding=24, labelLimit=320)
    color = alt.Color("name:N", title=None, sort=None, scale=alt.Scale(range=SHADES), legend=legend)
    base = alt.Chart(alt.Data(values=rows), title=title, width=560, height=300).encode(
        alt.X("x:Q", title=x, scale=near, axis=below),
        alt.Y("y:Q", title=y, scale=near, axis=aside),
        color,
    )
    line = base.transform_filter("datum.kind == 'line'").mark_line()
    point = base.transform_filter("datum.kind == 'point'").mark_point(size=60, filled=True)
    return str(vl_convert.vegalite_to_svg((line + point).to_json(allow_nan=False)))


def mix(consistency: Any) -> plaster.Plaster:
    """Return a plaster for a curve."""
    return plaster.Plaster("plaster", consistency, "a curve")


@curve(plaster.dry_density, "Density of a mix, wet and dry", CONSISTENCY, "kg/l")
def densities() -> Series:
    """Two falling curves, wet above dry, with printed densities of six plasters on them."""
    c, per_ft3 = np.linspace(28, 100, 73), plaster_mixes.LB_PER_FT3
    points: dict[str, list[tuple[float, float]]] = {"wet, printed": [], "dry, printed": []}
    for row in plaster_mixes.DENSITIES:
        points[f"{row[2]}, printed"].append((row[1], row[3] * per_ft3))
    wet, dry = plaster.wet_density(mix(c)), plaster.dry_density(mix(c))
    return {"wet, ours": (c, wet), "dry, ours": (c, dry)}, points


@curve(plaster.free_water_fraction, "What a fresh mold loses", CONSISTENCY, "% of wet mass")
def losses() -> Series:
    """Rising curve from 10 to 40 percent, with five makers' figures beside it."""
    c, at = np.linspace(28, 100, 73), (70, 65, 45, 38, 32)
    wet, dry = np.array([99.0, 100.0, 110.6, 115.0, 119.4]), (69.0, 72.5, 90.0, 99.0, 108.7)
    points = {"from printed densities": zip(at, 100 * (wet - dry) / wet, strict=True)}
    return {"chemistry, ours": (c, 100 * plaster.free_water_fraction(mix(c)))}, points


@curve(volumes.water_density, "Density of water", "degC", "kg/l")
def water() -> Series:
    """Falling curve from 1.000 to 0.965 kg/l, through five points of IAPWS-95."""
    t = np.linspace(0, 90, 91)
    return {"Kell, ours": (t, volumes.water_density(t))}, {"IAPWS-95": plaster_mixes.WATER}


@curve(air.wet_bulb, "Wet bulb", HUMIDITY, "degC")
def wet_bulbs() -> Series:
    """Rising curves at 20, 30 and 40 degrees, with points of a psychrometric library."""
    h, at = np.linspace(0.1, 1.0, 91), (20.0, 30.0, 40.0)
    points = [(100 * h, wet) for t, h, wet in plaster_air.WET_BULBS if t in at]
    lines = {f"{t:g} degC, ours": (100 * h, air.wet_bulb(t, h)) for t in at}
    return lines, {"psychrometric library": points}


@curve(dehydration.equilibrium_humidity, "Below it gypsum loses crystal water", "degC", HUMIDITY)
def dehydrations() -> Series:
    """Line from 28 percent at 10 degrees to 100 near 107 degrees; measured, it ends at 101."""
    t, measured = np.linspace(10, 107, 98), 100 * (2.40 / 8.75) ** (1 / 1.5)
    points = {"Shen et al. 2019": [(25.0, measured), (374.55 - 273.15, 100.0)]}
    return {"Thermoddem, ours": (t, 100 * dehydration.equilibrium_humidity(t))}, points


@curve(wall.diffuse, "A sheet held full at one face", "place from the full face", "filling")
def profiles() -> Series:
    """Three profiles that fall inward; the points of Crank's closed solution lie on them."""
    sheet = wall.MoldWall(mix(70.0), 20.0, diffusivity_m2_per_s=1e-8, diffusivity_rise=0.0)
    place, odd = (np.arange(wall.CELLS) + 0.5) / wall.CELLS, 2 * np.arange(200)[:, None] + 1
    faces, dry = (plaster_transport.held_full(sheet), plaster_transport.shut), np.zeros(wall.CELLS)
    lines, points = {}, {}
    for fourier in (0.05, 0.2, 0.5):
        found = wall.diffuse(sheet, dry, fourier * 0.02**2 / 1e-8, *faces, first_step_min=0.02)
        terms = (-1.0) ** (odd // 2) / odd * np.exp(-(odd**2) * np.pi**2 * fourier / 4)
        closed = 1 - 4 / np.pi * (terms * np.cos(odd * np.pi * (1 - place) / 2)).sum(axis=0)
        lines[f"D t/a2 = {fourier:g}, ours"] = place, found[0]
        points[f"D t/a2 = {fourier:g}, series"] = zip(place[::3], closed[::3], strict=True)
    return lines, points


@curve(moisture.cast_week, "Casting time over a dry mold's, 30 mm wall", "cast", "times as long")
def weeks() -> Series:
    """One cast a day stays near 1.2; casts in a row climb by a sixth each, as the log says."""
    n, lines, made = np.arange(10), {}, wall.MoldWall(mix(70.0), 30.0)
    habits = {"one a day": 24 * n, "two a day": 24 * (n // 2) + 4 * (n % 2), "in a row": 0.75 * n}
    for name, hours in habits.items():
        lines[name] = n + 1, moisture.cast_week(made, 1.0 * hours, 0.973, 3.0).slower.likely
    return lines, {"a potter's log, which calibrated it": [(1, 1.0), (2, 3.5 / 3), (3, 4 / 3)]}


@curve(wear.gypsum_solubility, "Gypsum that saturates water", "degC", "g/kg")
def solubilities() -> Series:
    """Flat arch with its top at 40 degrees, through seven points of a geochemical library."""
    t, library = np.linspace(0, 50, 51), [*plaster_chemistry.SOLUBILITY]
    library += plaster_chemistry.SOLUBILITY_SET
    points = {"PHREEQC": [(c, molal * 0.172172) for c, molal in library]}
    return {"parabola, ours": (t, wear.gypsum_solubility(t))}, points
