"""The pictures of docs/science: each law as a line, the published points beside it.

A module without curves of its own gets a picture of its checks: how far each counted
figure is from ours, as a share of what it may be. To add a curve, write a function
that returns a `Figure` and put it in ``CURVES``.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import altair as alt
import numpy as np
import vl_convert

from pourwright.materials import (
    air,
    dehydration,
    drying_time,
    evaporation,
    hardened,
    heat,
    moisture,
    plaster,
    room,
    setting,
    volumes,
    wall,
    wear,
)
from pourwright.materials.plaster import Plaster
from tests.sources import plaster_chemistry, plaster_mixes, plaster_transport
from tests.sources.check import all_checks

Series = tuple[str, Sequence[float], Sequence[float]]
COBALT, IRON, CELADON, GRAY = "#2b4c9b", "#9a4a2f", "#4f7f6b", "#6b6b6b"


@dataclass(frozen=True)
class Figure:
    """A picture: lines of ours, points of others."""

    module: str
    name: str
    title: str
    alt: str
    x: str
    y: str
    lines: tuple[Series, ...]
    points: tuple[Series, ...] = ()


def mix(consistency: object) -> Plaster:
    """Return a plaster for a curve."""
    return Plaster("plaster", consistency, "a curve")  # type: ignore[arg-type]


def numbers(values: object) -> list[float]:
    """Return an array as rounded floats: the same bytes on every machine."""
    return [float(f"{value:.6g}") for value in np.asarray(values, dtype=float).ravel()]


# --- the curves


def densities() -> Figure:
    """Return wet and dry density against the mix."""
    c = np.linspace(28, 100, 73)
    factor = plaster_mixes.LB_PER_FT3
    dots = [
        (state, [row[1] for row in plaster_mixes.DENSITIES if row[2] == state],
         [row[3] * factor for row in plaster_mixes.DENSITIES if row[2] == state])
        for state in ("wet", "dry")
    ]  # fmt: skip
    return Figure(
        "plaster", "plaster", "Density of a mix, wet and dry",
        "Two falling curves, wet above dry, with printed densities of six plasters on them.",
        "parts of water to 100 of plaster", "kg/l",
        (("wet, ours", numbers(c), numbers(plaster.wet_density(mix(c)))),
         ("dry, ours", numbers(c), numbers(plaster.dry_density(mix(c))))),
        tuple((f"{state}, printed", numbers(x), numbers(y)) for state, x, y in dots),
    )  # fmt: skip


def losses() -> Figure:
    """Return the share of a fresh mold that dries out."""
    c = np.linspace(28, 100, 73)
    pairs = [
        (70, 99.0, 69.0),
        (65, 100.0, 72.5),
        (45, 110.6, 90.0),
        (38, 115.0, 99.0),
        (32, 119.4, 108.7),
    ]
    return Figure(
        "drying", "drying", "What a fresh mold loses until it is dry",
        "A rising curve from 10 to 40 percent, with five makers' figures beside it.",
        "parts of water to 100 of plaster", "% of wet mass",
        (("chemistry, ours", numbers(c), numbers(100 * np.asarray(plaster.free_water_fraction(mix(c))))),),
        (("from printed wet and dry densities", [p[0] for p in pairs],
          numbers([100 * (wet - dry) / wet for _, wet, dry in pairs])),),
    )  # fmt: skip


def water() -> Figure:
    """Return the density of water."""
    t = np.linspace(0, 90, 91)
    return Figure(
        "volumes", "volumes", "Density of water",
        "A curve that falls from 1.000 to 0.965 kg/l, through five points of IAPWS-95.",
        "degC", "kg/l",
        (("Kell, ours", numbers(t), numbers(volumes.water_density(t))),),
        (("IAPWS-95", [c for c, _ in plaster_mixes.WATER], [d for _, d in plaster_mixes.WATER]),),
    )  # fmt: skip


def strengths() -> Figure:
    """Return dry strength against the mix."""
    c = np.linspace(30, 100, 71)
    return Figure(
        "hardened", "hardened", "Dry compressive strength, for ranking only",
        "A steeply falling curve through eight printed strengths that it was fitted to.",
        "parts of water to 100 of plaster", "MPa",
        (("fit, ours", numbers(c), numbers(hardened.dry_strength(mix(c)))),),
        (("printed; the fit runs through them", [c for c, _ in plaster_chemistry.STRENGTHS],
          [s for _, s in plaster_chemistry.STRENGTHS]),),
    )  # fmt: skip


def wet_bulbs() -> Figure:
    """Return the wet bulb against humidity."""
    from tests.sources.plaster_air import WET_BULBS

    humidity = np.linspace(0.1, 1.0, 91)
    return Figure(
        "air", "air", "Wet bulb",
        "Rising curves at 20, 30 and 40 degrees, with points of a psychrometric library.",
        "relative humidity, %", "degC",
        tuple((f"{t} degC, ours", numbers(100 * humidity), numbers(air.wet_bulb(float(t), humidity)))
              for t in (20, 30, 40)),
        (("psychrometric library", [100 * h for t, h, _ in WET_BULBS if t in (20, 30, 40)],
          [w for t, _, w in WET_BULBS if t in (20, 30, 40)]),),
    )  # fmt: skip


def fluxes() -> Figure:
    """Return evaporation against air speed by three correlations."""
    v = np.linspace(0, 3, 61)
    h = evaporation.heat_transfer(v)
    return Figure(
        "evaporation", "evaporation", "A wet face at 20 degC and 50 %",
        "Three rising curves, low, likely and high, which differ by a factor of two.",
        "air speed, m/s", "g/(m2 h)",
        tuple((name, numbers(v), numbers(evaporation.wet_face(20.0, 0.5, end).water_g_per_m2_h))
              for name, end in (("low", h.low), ("likely", h.likely), ("high", h.high))),
    )  # fmt: skip


def drying_curves() -> Figure:
    """Return the water left in a slab against the days, for three critical saturations."""
    gone = np.linspace(0.02, 0.995, 80)
    lines = []
    for critical in drying_time.CRITICAL_SATURATION:
        hours = drying_time.drying_hours(
            mix(70.0), 25.0, 20.0, 0.5, 7.6, until=gone, critical_saturation=critical
        )
        lines.append((f"falls from {critical:g} of saturation", numbers(np.asarray(hours) / 24),
                      numbers(100 * (1 - gone))))  # fmt: skip
    return Figure(
        "drying_time", "drying_time", "A slab of 50 mm at 20 degC, 50 %, half a meter a second",
        "Straight falling lines that bend before the end; the bend is not known and spreads the"
        " end from eight to twenty days.",
        "days", "% of the free water left", tuple(lines),
    )  # fmt: skip


def rooms() -> Figure:
    """Return the humidity of a room against the molds in it."""
    molds = np.arange(1, 31)
    lines = tuple(
        (f"{changes:g} air changes an hour", numbers(molds), numbers(100 * np.asarray(
            room.room_with_molds(0.13 * molds, 7.6, 50.0, changes, 20.0, 5.0, 0.8).relative_humidity)))
        for changes in (0.3, 1.0, 3.0)
    )  # fmt: skip
    return Figure(
        "room", "room", "A room of 50 m3 in winter, with wet molds of 0.13 m2",
        "The fewer air changes, the faster the humidity climbs with the number of molds.",
        "molds", "relative humidity, %", lines,
    )  # fmt: skip


def dehydration_line() -> Figure:
    """Return the humidity below which gypsum would give up its water."""
    t = np.linspace(10, 107, 98)
    return Figure(
        "dehydration", "dehydration", "Below the line dry gypsum would give up crystal water, given time",
        "A line that rises from 28 percent at 10 degrees to 100 percent near 107 degrees; measured, it"
        " ends at 101 degrees.",
        "degC", "relative humidity, %",
        (("Thermoddem, ours", numbers(t), numbers(100 * np.asarray(dehydration.equilibrium_humidity(t)))),),
        (("Shen et al. 2019", [25.0, 374.55 - 273.15],
          numbers([100 * (2.40 / 8.75) ** (1 / 1.5), 100.0])),),
    )  # fmt: skip


def conversions() -> Figure:
    """Return the conversion against time for three set times."""
    t = np.linspace(0, 70, 141)
    return Figure(
        "setting", "setting", "Share of plaster turned to gypsum",
        "Three S-shaped curves for set times of 8, 12 and 20 minutes; no measured curve was found.",
        "minutes", "%",
        tuple((f"set time {s} min", numbers(t), numbers(100 * np.asarray(setting.conversion(t, float(s)))))
              for s in (8, 12, 20)),
    )  # fmt: skip


def heats() -> Figure:
    """Return the temperature in the middle of three parts."""
    lines = []
    for thickness in (20.0, 50.0, 100.0):
        curve = heat.heat_curve(heat.SettingPart(mix(70.0), thickness), hours=2.5)
        lines.append((f"{thickness:g} mm", numbers(curve.minutes), numbers(curve.core_c)))
    return Figure(
        "heat", "heat", "Middle of a setting part, consistency 70, set time 12 min",
        "Three curves that rise together within half an hour; the thicker the part, the higher and"
        " the longer it stays hot.",
        "minutes", "degC", tuple(lines),
    )  # fmt: skip


def profiles() -> Figure:
    """Return our diffusion against Crank's series."""
    sheet = wall.MoldWall(mix(70.0), 20.0, diffusivity_m2_per_s=1e-8, diffusivity_rise=0.0)
    place = (np.arange(wall.CELLS) + 0.5) / wall.CELLS
    lines, points = [], []
    n = np.arange(200)[:, None]
    for fourier in (0.05, 0.2, 0.5):
        state = wall.diffuse(sheet, np.zeros(wall.CELLS), fourier * 0.02**2 / 1e-8,
                             plaster_transport.held_full(sheet), plaster_transport.shut,
                             first_step_min=0.02)[0]  # fmt: skip
        odd = 2 * n + 1
        terms = (-1.0) ** n / odd * np.exp(-(odd**2) * np.pi**2 * fourier / 4)
        closed = 1 - 4 / np.pi * (terms * np.cos(odd * np.pi * (1 - place) / 2)).sum(axis=0)
        lines.append((f"D t/a2 = {fourier:g}, ours", numbers(place), numbers(state)))
        points.append((f"D t/a2 = {fourier:g}, series", numbers(place[::3]), numbers(closed[::3])))
    return Figure(
        "wall", "wall", "A sheet held full at one face: ours and Crank's series",
        "Three profiles that fall from the full face inward; the points of the closed solution lie on them.",
        "place from the full face", "filling", tuple(lines), tuple(points),
    )  # fmt: skip


def weeks() -> Figure:
    """Return the casting time against the cast for three habits."""
    made = wall.MoldWall(mix(70.0), 30.0)
    habits = {
        "one a day": [24.0 * day for day in range(10)],
        "two a day": [24.0 * day + hour for day in range(5) for hour in (0, 4)],
        "one after the other": [0.75 * n for n in range(10)],
    }
    lines = tuple(
        (
            name,
            numbers(range(1, 11)),
            numbers(moisture.cast_week(made, hours, 0.973, 3.0).slower.likely),
        )
        for name, hours in habits.items()
    )
    return Figure(
        "moisture", "moisture", "Casting time over that of the dry mold, 30 mm wall, 4 mm cast",
        "One cast a day stays near 1.2; casts in a row climb by a sixth each; the potter's log that"
        " calibrated it lies on the first three.",
        "cast", "times as long", lines,
        (("one potter's log, which calibrated it", [1, 2, 3], numbers([1.0, 3.5 / 3, 4 / 3])),),
    )  # fmt: skip


def solubilities() -> Figure:
    """Return the solubility of gypsum."""
    t = np.linspace(0, 50, 51)
    table = sorted(plaster_chemistry.SOLUBILITY + plaster_chemistry.SOLUBILITY_SET)
    return Figure(
        "wear", "wear", "Gypsum that saturates water",
        "A flat arch with its top at 40 degrees, through seven points of a geochemical library.",
        "degC", "g/kg",
        (("parabola, ours", numbers(t), numbers(wear.gypsum_solubility(t))),),
        (("PHREEQC", [c for c, _ in table], numbers([m * 0.172172 for _, m in table])),),
    )  # fmt: skip


CURVES = (
    densities, losses, water, strengths, wet_bulbs, fluxes, drying_curves, rooms, dehydration_line,
    conversions, heats, profiles, weeks, solubilities,
)  # fmt: skip


def deviations(module: str) -> Figure | None:
    """Return how far a module's counted figures are from ours, or None without any."""
    rows = [row for row in all_checks() if row.counted and row.law.partition(".")[0] == module]
    if not rows:
        return None
    laws = list(dict.fromkeys(row.law.partition(".")[2] for row in rows))
    points = []
    for law in laws:
        mine = [(n, row) for n, row in enumerate(rows, 1) if row.law.endswith(f".{law}")]
        shares = [
            row.deviation / (row.tolerance or 1e-9) if row.deviation else 0.0 for _, row in mine
        ]
        points.append((law, [n for n, _ in mine], numbers(np.round(shares, 4))))
    ends = [0.5, len(rows) + 0.5]
    return Figure(
        module, module, "Ours less the published figure, as a share of what it may differ by",
        f"{len(rows)} points between the two lines at plus and minus one.",
        "row of the table below that counts", "share of the tolerance",
        (("may differ by", ends, [1.0, 1.0]), ("and so far", ends, [-1.0, -1.0])), tuple(points),
    )  # fmt: skip


@cache
def figures() -> tuple[Figure, ...]:
    """Return all pictures: the curves, and the checks of the modules without one."""
    curves = [draw() for draw in CURVES]
    drawn_for = {figure.module for figure in curves}
    others = sorted({row.law.partition(".")[0] for row in all_checks()} - drawn_for)
    return (*curves, *(figure for name in others if (figure := deviations(name))))


def specification(figure: Figure) -> dict[str, object]:
    """Return the Vega-Lite specification of a picture."""
    rows = [
        {"x": x, "y": y, "series": name, "kind": kind}
        for kind, group in (("line", figure.lines), ("point", figure.points))
        for name, xs, ys in group
        for x, y in zip(xs, ys, strict=True)
    ]
    names = [name for name, _, _ in (*figure.lines, *figure.points)]
    palette = [COBALT, IRON, CELADON, GRAY, "#8a6d1f", "#7a4b86", "#2f7f93", "#b0455b"]
    x = alt.X("x:Q", title=figure.x, scale=alt.Scale(zero=False, nice=True))
    y = alt.Y("y:Q", title=figure.y, scale=alt.Scale(zero=False, nice=True))
    shades = [palette[n % len(palette)] for n in range(len(names))]
    color = alt.Color("series:N", title=None, sort=names, scale=alt.Scale(domain=names, range=shades),
                      legend=alt.Legend(orient="bottom", columns=2, labelLimit=320))  # fmt: skip
    base = alt.Chart(alt.Data(values=rows)).encode(x=x, y=y, color=color)
    lines = base.transform_filter("datum.kind == 'line'").mark_line(strokeWidth=2)
    points = base.transform_filter("datum.kind == 'point'").mark_point(
        size=60, filled=True, opacity=0.9
    )
    chart = alt.layer(lines, points).properties(
        width=560, height=300, title=figure.title, background="white"
    )
    return dict(chart.to_dict())


def drawn(figure: Figure) -> str:
    """Return a picture as SVG."""
    return str(vl_convert.vegalite_to_svg(json.dumps(specification(figure), sort_keys=True))) + "\n"
