"""The temperature at which a pyrometric cone goes down, by chart, kind and rate.

A cone answers heat work, not temperature: heated faster, it goes down hotter. A
cone number therefore has a temperature only together with the chart's edition,
the kind of cone and the heating rate over the last 100 degC. Cone 06 is printed
as 981, 995, 998, 999, 1011 and 1013 degC, and each of them is right.

The table itself is ``cones.csv``, one printed figure a line, with a grade:
"read" in a chart, or "memory". What this page leaves out: the kiln's own
thermocouple, which is often further off than any two charts; see
`pourwright.materials.kiln.witness.witness_offset`.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Literal, TypeAlias

import numpy as np

from pourwright.errors import NotDoable
from pourwright.materials.ranges import Floats, require

Kind: TypeAlias = Literal["self-supporting", "large", "small", "iron-free"]
Chart: TypeAlias = Literal["current", "older"]
Grade: TypeAlias = Literal["read", "memory"]


@dataclass(frozen=True, slots=True)
class Printed:
    """One printed figure of a cone chart.

    Parameters
    ----------
    rate_degc_per_h : float
        Heating rate over the last 100 degC. [degC/h]
    temperature_degc : float
        Where the cone's tip touches. [degC]
    grade : {"read", "memory"}
        Whether the figure was read in a chart or is from memory.
    """

    rate_degc_per_h: float
    temperature_degc: float
    grade: Grade


@dataclass(frozen=True, slots=True)
class ConeTemperature:
    """A cone's temperature with all that it hangs on.

    Parameters
    ----------
    cone : str
        The cone as the charts print it.
    temperature_degc : float or array
        Where its tip touches. [degC]
    rate_degc_per_h : float or array
        Heating rate over the last 100 degC. [degC/h]
    kind : {"self-supporting", "large", "small", "iron-free"}
        The kind of cone.
    chart : {"current", "older"}
        Edition of the chart.
    grade : {"read", "memory"}
        "memory" if any figure that was used is from memory.
    printed : bool
        Whether every rate asked for is printed; if not, the temperature is read
        between two printed rates.
    """

    cone: str
    temperature_degc: Floats
    rate_degc_per_h: Floats
    kind: Kind
    chart: Chart
    grade: Grade
    printed: bool


@cache
def _table() -> dict[tuple[str, str], dict[str, tuple[Printed, ...]]]:
    """Read the printed charts: by chart and kind, then by cone, slowest rate first."""
    table: dict[tuple[str, str], dict[str, tuple[Printed, ...]]] = {}
    text = files("pourwright.materials.kiln").joinpath("cones.csv").read_text("utf-8")
    for row in csv.DictReader(text.splitlines()):
        figure = Printed(
            float(row["rate_degc_per_h"]),
            float(row["temperature_degc"]),
            "read" if row["grade"] == "read" else "memory",
        )
        cones = table.setdefault((row["chart"], row["kind"]), {})
        cones[row["cone"]] = (*cones.get(row["cone"], ()), figure)
    return table


def cone_names(kind: Kind = "self-supporting", chart: Chart = "current") -> tuple[str, ...]:
    """Return the cones of a chart, coolest first.

    Parameters
    ----------
    kind : {"self-supporting", "large", "small", "iron-free"}
        The kind of cone.
    chart : {"current", "older"}
        Edition of the chart.

    Returns
    -------
    tuple of str
        "022" to "14", with "05.5" and "5.5" where they are printed.

    Raises
    ------
    NotDoable
        If there is no such chart.

    Examples
    --------
    >>> cone_names("iron-free")
    ('010', '09', '08')
    """
    if (chart, kind) not in _table():
        known = "; ".join(f"{kind} ({chart})" for chart, kind in _table())
        raise NotDoable(f'there is no chart "{kind} ({chart})" of cones; there is: {known}.')
    return tuple(_table()[chart, kind])


def cone_name(text: str | int | float) -> str:
    """Return a cone as the charts print it.

    Parameters
    ----------
    text : str, int or float
        "04", "cone 04", "^04", "6", 6, "5 1/2" or 5.5. The leading nought is
        the difference between 04 and 4, so a number is taken as printed.

    Returns
    -------
    str
        Such as "04", "6" or "5.5".

    Examples
    --------
    >>> cone_name("Cone 5 1/2"), cone_name("^04"), cone_name(6)
    ('5.5', '04', '6')
    """
    plain = str(text).strip().lower().removeprefix("cone").strip().lstrip("^").strip()
    return plain.replace("½", ".5").replace(" 1/2", ".5").removesuffix(".0")


def printed_temperatures(
    cone: str | int | float, kind: Kind = "self-supporting", chart: Chart = "current"
) -> tuple[Printed, ...]:
    """Return what a chart prints for one cone, slowest rate first.

    Parameters
    ----------
    cone : str, int or float
        As `cone_name` takes it.
    kind : {"self-supporting", "large", "small", "iron-free"}
        The kind of cone.
    chart : {"current", "older"}
        Edition of the chart.

    Returns
    -------
    tuple of Printed
        One figure for each printed rate. [degC/h and degC]

    Raises
    ------
    NotDoable
        If the chart has no such cone.

    Examples
    --------
    >>> [(p.rate_degc_per_h, p.temperature_degc) for p in printed_temperatures("6")]
    [(15.0, 1185.0), (60.0, 1222.0), (150.0, 1243.0)]
    """
    names = cone_names(kind, chart)
    name = cone_name(cone)
    if name not in names:
        raise NotDoable(
            f'cone "{cone}" is not in the {chart} chart of {kind} cones; '
            f"it goes from {names[0]} to {names[-1]}. Is a leading nought missing, as in 04?"
        )
    return _table()[chart, kind][name]


def cone_temperature(
    cone: str | int | float,
    rate_degc_per_h: Floats = 60.0,
    kind: Kind = "self-supporting",
    chart: Chart = "current",
) -> ConeTemperature:
    """Return the temperature at which a cone's tip touches, at a heating rate.

    Between two printed rates it goes with the logarithm of the rate,
    ``T(r) = T1 + (T2 - T1) ln(r / r1) / ln(r2 / r1)``; beyond them there is no
    answer.

    Parameters
    ----------
    cone : str, int or float
        As `cone_name` takes it.
    rate_degc_per_h : float or array
        Heating rate over the last 100 degC, within the rates printed for this
        cone (60 to 150 for nearly all, from 15 for many). [degC/h]
    kind : {"self-supporting", "large", "small", "iron-free"}
        The kind of cone.
    chart : {"current", "older"}
        Edition of the chart.

    Returns
    -------
    ConeTemperature
        The temperature [degC] with its grade and whether it is printed.

    Raises
    ------
    NotDoable
        If the chart has no such cone.
    OutOfRange
        If the rate is not within the printed ones.

    Notes
    -----
    The charts count a cone of one edition and kind as good to a few degrees;
    between two printed rates the logarithm agrees with the heat-work law to
    0.2 degC.

    Examples
    --------
    >>> cone_temperature("04").temperature_degc
    1063.0
    >>> f"{cone_temperature('6', 100.0).temperature_degc:.0f} degC"
    '1234 degC'
    """
    figures = printed_temperatures(cone, kind, chart)
    rates = np.array([figure.rate_degc_per_h for figure in figures])
    asked = np.asarray(rate_degc_per_h, dtype=np.float64)
    what = f"heating rate for cone {cone_name(cone)} ({kind}, {chart} chart)"
    one = f"{rates[0]:g}" if rates.size == 1 else f"between {rates[0]:g} and {rates[-1]:g}"
    require(what, rate_degc_per_h, "degC/h", one, (asked >= rates[0]) & (asked <= rates[-1]))
    heats = np.array([figure.temperature_degc for figure in figures])
    found: Floats = np.interp(np.log(asked), np.log(rates), heats)
    used = [figure for figure in figures if _is_used(figure.rate_degc_per_h, rates, asked)]
    return ConeTemperature(
        cone=cone_name(cone),
        temperature_degc=float(found) if asked.ndim == 0 else found,
        rate_degc_per_h=rate_degc_per_h,
        kind=kind,
        chart=chart,
        grade="memory" if any(figure.grade == "memory" for figure in used) else "read",
        printed=bool(np.isin(asked, rates).all()),
    )


def _is_used(rate: float, rates: np.ndarray, asked: np.ndarray) -> bool:
    """Say whether a printed rate takes part in answering the rates asked for."""
    place = int(np.searchsorted(rates, rate))
    below = rates[place - 1] if place > 0 else rate
    above = rates[place + 1] if place + 1 < rates.size else rate
    return bool(((asked == rate) | ((asked > below) & (asked < above))).any())
