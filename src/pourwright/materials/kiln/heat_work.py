"""Heat work: what time and temperature together do to a cone.

A cone goes down when ``A integral of exp(-E / RT) dt`` reaches 1. The energy E is
fitted to one cone's two printed rates; A then makes the printed cone come out.
The fit is of the charts, not of the cone's physics: it gives other rates, holds
and schedules, each with its error said.

What this page leaves out: kiln atmosphere, and cones below 019 and above 10.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq
from scipy.special import expn

from pourwright.errors import NotDoable
from pourwright.materials.kiln.cones import (
    Kind,
    cone_name,
    cone_names,
    printed_temperatures,
)
from pourwright.materials.ranges import Floats, require, require_more_than

GAS_CONSTANT = 8.314462618e-3
"""Exact by definition. [kJ/mol/K]"""

ERROR_DEGC = {"low": 13.0, "middle": 12.0, "high": 12.0}
"""Largest miss against the charts at 15 degC/h, for cones 019 to 011, 010 to 01 and
1 to 10, with energies fitted at 60 and 150 degC/h. [degC]"""

PRINTED_END_DEGC = 3.0
"""How well a printed end temperature is taken to hold. [degC]

The charts' own kinds of cones differ by 7 degC down to -2 at equal rates.
"""


@dataclass(frozen=True, slots=True)
class Bending:
    """How one cone answers heat.

    Parameters
    ----------
    cone : str
        The cone.
    energy_kj_per_mol : float
        Fitted energy ``E``. [kJ/mol]
    end_degc : float
        Where it goes down at 60 degC/h. [degC]
    error_degc : float
        How far the law has been off, against the charts. [degC]
    """

    cone: str
    energy_kj_per_mol: float
    end_degc: float
    error_degc: float


def ramp_integral(top_degc: Floats, energy_kj_per_mol: Floats) -> Floats:
    """Return ``integral of exp(-E / RT) dT`` from absolute zero to a temperature.

    It is ``T E2(E / RT)``, E2 being the exponential integral of order two [1]_.
    Divided by a heating rate it is the heat work of a steady climb.

    Parameters
    ----------
    top_degc : float or array
        Temperature reached, above -273. [degC]
    energy_kj_per_mol : float or array
        Fitted energy, 100 to 2000. [kJ/mol]

    Returns
    -------
    float or array
        The integral; a very small number. [K]

    Raises
    ------
    OutOfRange
        If a value is outside its range.

    Examples
    --------
    >>> f"{ramp_integral(1222.0, 800.0) / ramp_integral(1212.0, 800.0):.2f}"
    '1.56'

    References
    ----------
    .. [1] NIST Digital Library of Mathematical Functions, 8.19.
    """
    require_more_than("temperature", top_degc, "degC", -273.15)
    energy = np.asarray(energy_kj_per_mol)
    good = (energy >= 100) & (energy <= 2000)
    require("energy", energy_kj_per_mol, "kJ/mol", "between 100 and 2000", good)
    kelvin = np.asarray(top_degc, dtype=np.float64) + 273.15
    integral: Floats = kelvin * expn(2, energy / (GAS_CONSTANT * kelvin))
    return integral


def bending(cone: str | float, kind: Kind = "self-supporting") -> Bending:
    """Return how a cone answers heat, fitted to its printed temperatures.

    E is what makes the printed climbs of 60 and 150 degC/h do equal work:
    ``ln(150 / 60) = ln I(T150) - ln I(T60)``.

    Parameters
    ----------
    cone : str or float
        From 019 to 10, as `pourwright.materials.kiln.cones.cone_name` takes it.
    kind : {"self-supporting", "large"}
        The kind of cone.

    Returns
    -------
    Bending
        Energy [kJ/mol] and end temperature [degC] with the law's error.

    Raises
    ------
    NotDoable
        If the cone is not printed at both rates, or below 019 or above 10.

    Examples
    --------
    >>> f"{bending('6').energy_kj_per_mol:.0f} kJ/mol"
    '798 kJ/mol'
    """
    printed = {p.rate_degc_per_h: p.temperature_degc for p in printed_temperatures(cone, kind)}
    family = _family(cone_name(cone))
    if family is None or not {60.0, 150.0} <= printed.keys():
        raise NotDoable(
            f"heat work is known for self-supporting and large cones from 019 to 10, "
            f'not for cone "{cone}" ({kind}).'
        )
    slow, fast = printed[60.0], printed[150.0]

    def miss(energy: float) -> float:
        """Return how far an energy is from making the two climbs do equal work."""
        ratio = ramp_integral(fast, energy) / ramp_integral(slow, energy)
        return float(np.log(ratio) - np.log(150 / 60))

    return Bending(
        cone=cone_name(cone),
        energy_kj_per_mol=float(brentq(miss, 150.0, 1900.0)),
        end_degc=slow,
        error_degc=ERROR_DEGC[family],
    )


def _family(cone: str) -> str | None:
    """Return which family of energies a cone belongs to."""
    names = cone_names()
    if cone not in names:
        return None
    place = names.index(cone)
    for family, last in (("", "020"), ("low", "011"), ("middle", "01"), ("high", "10")):
        if place <= names.index(last):
            return family or None
    return None


def end_temperature_degc(
    cone: str | float, rate_degc_per_h: Floats, kind: Kind = "self-supporting"
) -> Floats:
    """Return where a cone goes down at a steady rate, by heat work.

    Parameters
    ----------
    cone : str or float
        From 019 to 10.
    rate_degc_per_h : float or array
        Heating rate over the last 100 degC, 10 to 400; the charts carry 15 to
        150. [degC/h]
    kind : {"self-supporting", "large"}
        The kind of cone.

    Returns
    -------
    float or array
        Temperature at which the tip touches; within `Bending.error_degc` of the
        charts. [degC]

    Raises
    ------
    OutOfRange
        If the rate is outside its range.
    NotDoable
        If the cone has no fit.

    Examples
    --------
    >>> f"{end_temperature_degc('6', 100.0):.0f} degC"
    '1234 degC'
    """
    rates = np.asarray(rate_degc_per_h, dtype=np.float64)
    good = (rates >= 10) & (rates <= 400)
    require("heating rate", rate_degc_per_h, "degC/h", "between 10 and 400", good)
    answer = bending(cone, kind)
    wanted = np.log(rates / 60) + np.log(ramp_integral(answer.end_degc, answer.energy_kj_per_mol))
    low, high = (
        np.full_like(rates, answer.end_degc - 300),
        np.full_like(rates, answer.end_degc + 300),
    )
    for _ in range(60):
        middle = (low + high) / 2
        short = np.log(ramp_integral(middle, answer.energy_kj_per_mol)) < wanted
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    found = (low + high) / 2
    return found if found.ndim else float(found)
