"""Published cone charts, in the degrees Fahrenheit or Celsius that they print."""

from __future__ import annotations

import numpy as np

from pourwright.materials.kiln import cones, heat_work, holds
from tests.sources.check import Check, printed_range

KILN_MANUAL = "A US kiln maker's manual, p. 40: self-supporting cones at 108 degF/h"
FAST_CHART = "Two copies of a US chart: self-supporting cones at 270 degF/h"
LARGE_CHART = "A New Zealand supplier's pages: large cones at 60 and 150 degC/h"
SLOW_CHART = "The US cone maker's chart C-022-14 (2016): self-supporting cones at 15 degC/h"
UK_CHART = "A UK clay supplier's page on pyrometric cones: 06 is 1013, 6 is 1243 degC"
SHOP = "A Swedish shop's page on cone 13: 1331 to 1348 degC"
BENDS = "The US cone maker's chart C-022-14 (2016): a cone bends in 15 to 25 minutes"

NAMES_60 = (
    "022 021 020 019 018 017 016 015 014 013 012 011 010 09 08 07 06 05.5 05 04 03 02 01 "
    "1 2 3 4 5 6 7 8 9 10"
).split()
DEGF_60 = (
    1087, 1112, 1159, 1252, 1319, 1360, 1422, 1456, 1485, 1539, 1582, 1607, 1657, 1688, 1728,
    1789, 1828, 1859, 1888, 1945, 1987, 2016, 2046, 2079, 2088, 2106, 2124, 2167, 2232, 2262,
    2280, 2300, 2345,
)  # fmt: skip
NAMES_150 = [name for name in NAMES_60 if name != "05.5"]
DEGF_150 = (
    1094, 1143, 1180, 1283, 1353, 1405, 1465, 1504, 1540, 1582, 1620, 1641, 1679, 1706, 1753,
    1809, 1855, 1911, 1971, 2019, 2052, 2080, 2109, 2127, 2138, 2161, 2205, 2269, 2295, 2320,
    2336, 2381,
)  # fmt: skip
TEN = ("022", "019", "012", "010", "06", "04", "1", "5", "6", "10")

# A degree Fahrenheit is printed whole, and so is ours in Celsius.
WHOLE_DEGREES = 0.6

MIDDLE_BEND, HALF_BEND = printed_range(15.0, 25.0)


def degc(degf: float) -> float:
    """Return degrees Celsius."""
    return (degf - 32) / 1.8


def _cone(source: str, cone: str, rate: float, published: float, **more: object) -> Check:
    kind = str(more.get("kind", "self-supporting"))
    return Check(
        "kiln.cones.cone_temperature",
        source,
        published,
        lambda: cones.cone_temperature(cone, rate, kind).temperature_degc,  # type: ignore[arg-type]
        WHOLE_DEGREES,
        "degC",
        counted=bool(more.get("counted", True)),
        note=f"cone {cone}, {kind}, {rate:g} degC/h{more.get('why', '')}",
    )


def _fahrenheit(source: str, names: list[str], degf: tuple[int, ...], rate: float) -> list[Check]:
    return [
        _cone(source, cone, rate, degc(heat))
        for cone, heat in zip(names, degf, strict=True)
        if cone in TEN
    ]


def _minutes_at_end(cone: str) -> float:
    end = float(heat_work.end_temperature_degc(cone, 60.0))
    return 1 / holds.work_done(np.array([0.0, 1.0]), np.array([end, end]), cone)


def _bend(cone: str) -> Check:
    return Check(
        "kiln.holds.work_done",
        BENDS,
        MIDDLE_BEND,
        lambda: _minutes_at_end(cone),
        HALF_BEND,
        "min",
        note=f"cone {cone}: standing at its end temperature does the work of the climb",
    )


def _slow(cone: str, published: float) -> Check:
    return Check(
        "kiln.heat_work.end_temperature_degc",
        SLOW_CHART,
        published,
        lambda: heat_work.end_temperature_degc(cone, 15.0),
        heat_work.bending(cone).error_degc,
        "degC",
        counted=False,
        note=f"cone {cone} at 15 degC/h from energies of 60 and 150; the tolerance is the law's",
    )


CHECKS = [
    *_fahrenheit(KILN_MANUAL, NAMES_60, DEGF_60, 60.0),
    *_fahrenheit(FAST_CHART, NAMES_150, DEGF_150, 150.0),
    *(
        _cone(LARGE_CHART, cone, rate, published, kind="large")
        for cone, rate, published in (
            ("04", 60.0, 1060),
            ("6", 60.0, 1220),
            ("10", 60.0, 1282),
            ("04", 150.0, 1070),
            ("6", 150.0, 1241),
            ("10", 150.0, 1303),
        )
    ),
    *(
        _cone(SLOW_CHART, cone, 15.0, published)
        for cone, published in (("019", 656), ("018", 686), ("010", 891), ("08", 922))
    ),
    _cone(UK_CHART, "06", 150.0, 1013),
    _cone(UK_CHART, "6", 150.0, 1243),
    _cone(SHOP, "13", 60.0, 1331),
    _cone(SHOP, "13", 150.0, 1348),
    *(_bend(cone) for cone in ("06", "04", "6", "10")),
    *(_slow(cone, published) for cone, published in (("018", 686), ("010", 891), ("08", 922))),
]
