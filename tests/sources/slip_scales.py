"""Published figures on pints, degrees Twaddell and degrees Baume."""

from __future__ import annotations

from pourwright.materials.slip import scales as slip_scales
from tests.sources.check import Check

CARDEW = "Cardew, Pioneer Pottery (1969), p. 269: 20 ounces of water to the imperial pint"
CHEMIST = "A US chemist's handbook of paper and dyeing (1910s, scanned), p. 19, Twaddell's scale"
WATT = "Watt, The Art of Paper-Making (1890), tables, II: caustic soda at 59 degF, Tuennerman"
MARKS = "Marks' Standard Handbook for Mechanical Engineers, relative densities at 60/60 degF"
CRC = "CRC Handbook of Chemistry and Physics, 51st edition, Baume, quoted on a discussion list"
FORUM = "A French physics forum, silicate of 35 degrees Baume, its densities worked"


def _twaddell(source: str, degrees: float, density: float, tolerance: float) -> Check:
    return Check(
        "slip.scales.density_of_twaddell",
        source,
        density,
        lambda: slip_scales.density_of_twaddell(degrees),
        tolerance,
        "kg/l",
        note=f"{degrees:g} degrees Twaddell",
    )


CHECKS = [
    Check(
        "slip.scales.pint_weight_oz",
        CARDEW,
        36.0,
        lambda: slip_scales.pint_weight_oz(1800.0, "imperial"),
        0.1,
        "oz",
        grade="SECOND",
        note="1.80 kg/l; his 20 oz of water to the pint are 0.2 % low, hence the tolerance",
    ),
    _twaddell(CHEMIST, 168.0, 1.840, 5e-4),
    _twaddell(CHEMIST, 9.0, 1.045, 5e-4),
    _twaddell(CHEMIST, 25.0, 1.125, 5e-4),
    _twaddell(CHEMIST, 100.0, 1.500, 5e-4),
    Check(
        "slip.scales.twaddell_degrees",
        WATT,
        28.56,
        lambda: slip_scales.twaddell_degrees(1.1428),
        0.01,
        "degTw",
        note="specific gravity 1.1428, printed to four places",
    ),
    Check(
        "slip.scales.twaddell_degrees",
        WATT,
        47.84,
        lambda: slip_scales.twaddell_degrees(1.2392),
        0.01,
        "degTw",
        note="specific gravity 1.2392",
    ),
    Check(
        "slip.scales.density_of_baume",
        MARKS,
        145 / 110,
        lambda: slip_scales.density_of_baume(35.0),
        1e-6,
        "kg/l",
        grade="WORKED",
        note="its formula 145 / (145 - degrees) at 35 degrees",
    ),
    Check(
        "slip.scales.density_of_baume",
        FORUM,
        1.318,
        lambda: slip_scales.density_of_baume(35.0),
        5e-4,
        "kg/l",
        counted=False,
        note="a forum, though it works the figure in full",
    ),
    Check(
        "slip.scales.density_of_baume",
        CRC,
        1.842,
        lambda: slip_scales.density_of_baume(66.0),
        0.01,
        "kg/l",
        grade="SECOND",
        counted=False,
        note="66 degrees; the handbook's own figure needs 144.38 in place of its 145, so that "
        "the tolerance is ours",
    ),
]
