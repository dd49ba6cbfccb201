"""Published figures on casting, and the same physics by independent libraries."""

from __future__ import annotations

import numpy as np
from iapws import IAPWS95
from scipy.integrate import solve_ivp

from pourwright.materials.casting import (
    fit as casting_fit,
)
from pourwright.materials.casting import (
    minutes as casting,
)
from pourwright.materials.casting import (
    physics as casting_physics,
)
from pourwright.materials.casting import (
    shapes as casting_shapes,
)
from pourwright.materials.slip import batches
from pourwright.materials.slip import liter_weight as slip
from tests.sources.check import Check

UK_SUPPLIER = "A UK clay supplier's page on its terracotta casting slip, recommended timings"
ROOT = "Ceramics 8(1), 6 (2025), introduction: wall proportional to the root of the casting time"
RADIAL = "scipy.integrate.solve_ivp on Darcy's law behind a round face"
WATER = "iapws for Python: IAPWS-95 with the IAPWS viscosity formulation of 2008, 0.101325 MPa"
BLOG = "A casting blog's worked example of a deflocculation test (2010)"
POWDER = "A UK clay supplier's recipe for casting slip from powdered clay"
SIEVED = "A ceramics reference site, caption of a slip poured in a mold (2014)"

ENDS = {"inside a tube": -1.0, "around a rod": 1.0, "inside a ball": -1.0}


def darcy_factor(shape: str, wall_over_radius: float) -> float:
    """Grow a wall behind a round face and return its time over a flat wall's.

    The flow through the cast is the same at every radius, so that its resistance is
    the integral of dr over the area; the wall's end moves with the flow there.
    k = 1 and R = 1, for which a flat wall takes x^2.
    """
    way, power = ENDS[shape], 2 if shape == "inside a ball" else 1

    def pace(x: float, t: np.ndarray) -> list[float]:
        radii = np.linspace(1.0, 1 + way * x, 2001)
        resistance = abs(np.trapezoid(1 / radii**power, radii))
        return [2 * resistance * (1 + way * x) ** power]

    start = 1e-6
    grown = solve_ivp(pace, (start, wall_over_radius), [start**2], rtol=1e-9, atol=1e-15)
    return float(grown.y[0, -1]) / wall_over_radius**2


def _rate(wall: float, minutes: float, published: float, mold: str) -> Check:
    return Check(
        "casting.minutes.casting_rate",
        UK_SUPPLIER,
        published,
        lambda: casting.casting_rate(wall, minutes),
        0.01,
        "mm2/min",
        grade="WORKED",
        counted=False,
        note=f"{mold}: {wall:g} mm in {minutes:g} min; these calibrate our published range",
    )


def _round(shape: str, x: float) -> Check:
    return Check(
        "casting.shapes.time_factor",
        RADIAL,
        darcy_factor(shape, x),
        lambda: casting_shapes.time_factor(shape, x),
        1e-5,
        "[-]",
        grade="LIBRARY",
        note=f"{shape}, wall over radius {x:g}",
    )


def _viscosity(degc: float) -> Check:
    return Check(
        "casting.physics.water_viscosity_mpa_s",
        WATER,
        1000 * IAPWS95(T=degc + 273.15, P=0.101325).mu,
        lambda: casting_physics.water_viscosity_mpa_s(degc),
        0.002,
        "mPa s",
        grade="LIBRARY",
        note=f"{degc:g} degC; the short formula is stated to agree within 0.17 %",
    )


CHECKS = [
    _rate(4.0, 3.0, 5.33, "small one-part mold, first cast"),
    _rate(4.0, 3.5, 4.57, "the same, second cast"),
    _rate(4.0, 4.0, 4.00, "the same, third cast"),
    _rate(4.0, 5.0, 3.20, "medium mold, first cast"),
    Check(
        "casting.fit.share_of_dry_rate",
        UK_SUPPLIER,
        3.0 / 3.5,
        lambda: np.mean(casting_fit.share_of_dry_rate(2)),
        0.03,
        "[-]",
        grade="WORKED",
        counted=False,
        note="second cast over first; calibrates our range",
    ),
    Check(
        "casting.minutes.casting_minutes",
        ROOT,
        4.0,
        lambda: casting.casting_minutes(8.0, 3.0) / casting.casting_minutes(4.0, 3.0),
        1e-9,
        "[-]",
        grade="WORKED",
        note="twice the wall takes four times as long",
    ),
    _round("inside a tube", 0.1),
    _round("inside a tube", 0.5),
    _round("inside a ball", 0.2),
    _round("inside a ball", 0.9),
    _round("around a rod", 0.3),
    _round("around a rod", 2.0),
    *(_viscosity(degc) for degc in (5.0, 10.0, 20.0, 25.0, 30.0, 40.0)),
    Check(
        "casting.physics.rate_at_temperature",
        WATER,
        IAPWS95(T=293.15, P=0.101325).mu / IAPWS95(T=303.15, P=0.101325).mu,
        lambda: casting_physics.rate_at_temperature(1.0, 20.0, 30.0),
        0.002,
        "[-]",
        grade="LIBRARY",
        note="from 20 to 30 degC",
    ),
    Check(
        "slip.batches.deflocculant_kg",
        BLOG,
        0.6,
        lambda: 1000 * batches.deflocculant_kg(0.6, 0.001),
        0.05,
        "g",
        note="0.1 % of soda ash on 600 g of dry material",
    ),
    Check(
        "slip.batches.slip_from_clay",
        POWDER,
        10.0,
        lambda: batches.slip_from_clay(25.0, 1770.0).water_kg,
        0.5,
        "kg",
        counted=False,
        note="25 kg of powder to 10 l; the page prints no liter weight, 1770 g/l is Brongniart's",
    ),
    Check(
        "slip.liter_weight.water_fraction",
        SIEVED,
        0.28,
        lambda: slip.water_fraction(1790.0),
        0.005,
        "[-]",
        note="28 % of water at a specific gravity of 1.79",
    ),
]
