"""The marks of charts, placed in pixels: lines, grounds and discs, and the shapes made of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TypeAlias

from pourwright.report.charts.palette import Token
from pourwright.report.charts.sheet import At, ChartSheet

LINE_PX, THIN_PX = 2.0, 1.0
DISC_PX = 4.0
"""Radius of a disc. [px]"""

Point: TypeAlias = tuple[float, float]
"""How far from the left and from the top. [px]"""


@dataclass(frozen=True, slots=True)
class LineMark:
    """A line through points."""

    points: tuple[Point, ...]
    color: Token
    width_px: float = THIN_PX
    dashed: bool = False


@dataclass(frozen=True, slots=True)
class Ground:
    """What is filled within points, with or without an edge."""

    points: tuple[Point, ...]
    fill: Token
    edge: Token | None = None
    dashed: bool = False


@dataclass(frozen=True, slots=True)
class Disc:
    """A disc about a point; open, it is a ring."""

    middle: Point
    color: Token
    radius_px: float = DISC_PX
    open_: bool = False


Mark: TypeAlias = LineMark | Ground | Disc


# --- over days or minutes


def curve(
    sheet: ChartSheet[At],
    values: Iterable[tuple[At, float]],
    color: Token,
    width_px: float = LINE_PX,
    *,
    dashed: bool = False,
    stepped: bool = False,
) -> LineMark:
    """Return a line through a value of each day or minute, in their order."""
    return LineMark(_points(sheet, values, stepped=stepped), color, width_px, dashed)


def band(
    sheet: ChartSheet[At],
    ends: Sequence[tuple[At, float, float]],
    fill: Token,
    *,
    stepped: bool = False,
) -> Ground:
    """Return the ground between two values of each day or minute."""
    lower: tuple[Point, ...] = _points(sheet, ((at, low) for at, low, _ in ends), stepped=stepped)
    upper: tuple[Point, ...] = _points(sheet, ((at, high) for at, _, high in ends), stepped=stepped)
    return Ground((*lower, *reversed(upper)), fill)


def _points(
    sheet: ChartSheet[At], values: Iterable[tuple[At, float]], *, stepped: bool
) -> tuple[Point, ...]:
    """Return values as points; stepped, each holds until the next."""
    points: list[Point] = []
    for at, value in values:
        x, y = sheet.at_px(at), sheet.up_px(value)
        if stepped and points:
            points.append((x, points[-1][1]))
        points.append((x, y))
    return tuple(points)


def upright(
    sheet: ChartSheet[At], at: At, color: Token, width_px: float = THIN_PX, *, dashed: bool = False
) -> LineMark:
    """Return a line from bottom to top on a day or minute."""
    x = sheet.at_px(at)
    return LineMark(((x, sheet.bottom_px), (x, sheet.top_px)), color, width_px, dashed)


def level(sheet: ChartSheet[At], value: float, color: Token) -> LineMark:
    """Return a line from left to right at a value."""
    y = sheet.up_px(value)
    return LineMark(((sheet.left_px, y), (sheet.right_px, y)), color)


def disc(
    sheet: ChartSheet[At],
    at: At,
    value: float,
    color: Token,
    radius_px: float = DISC_PX,
    *,
    open_: bool = False,
) -> Disc:
    """Return a disc or a ring at a value of a day or minute."""
    return Disc((sheet.at_px(at), sheet.up_px(value)), color, radius_px, open_)


def diamond(
    sheet: ChartSheet[At], at: At, value: float, color: Token, half_px: float = 5
) -> Ground:
    """Return a diamond at a value of a day or minute."""
    x, y = sheet.at_px(at), sheet.up_px(value)
    corners = ((x - half_px, y), (x, y - half_px), (x + half_px, y), (x, y + half_px))
    return Ground(corners, color)


def triangle(
    sheet: ChartSheet[At], at: At, value: float, color: Token, half_px: float = 4
) -> Ground:
    """Return a triangle that stands at a value of a day or minute."""
    x, y = sheet.at_px(at), sheet.up_px(value)
    return Ground(((x, y - half_px), (x - half_px, y + half_px), (x + half_px, y + half_px)), color)


# --- on a sheet of rows, whose values are pixels


def bar(
    sheet: ChartSheet[date],
    first: date,
    until: date,
    middle_px: float,
    fill: Token,
    edge: Token | None = None,
    *,
    thick_px: float = 10,
    dashed: bool = False,
) -> Ground:
    """Return a bar from a day until another, about a height."""
    top, bottom = middle_px - thick_px / 2, middle_px + thick_px / 2
    return box(sheet.at_px(first), top, sheet.at_px(until), bottom, fill, edge, dashed=dashed)


def box(
    left_px: float,
    top_px: float,
    right_px: float,
    bottom_px: float,
    fill: Token,
    edge: Token | None = None,
    *,
    dashed: bool = False,
) -> Ground:
    """Return a rectangle."""
    corners = (
        (left_px, top_px),
        (right_px, top_px),
        (right_px, bottom_px),
        (left_px, bottom_px),
    )
    return Ground(corners, fill, edge, dashed)
