"""Published figures on what a liter of slip holds."""

from __future__ import annotations

from pourwright.materials.slip import basis as slip_basis
from pourwright.materials.slip import liter_weight as slip
from tests.sources.check import Check, printed_range

NORSKER = (
    "Norsker and Danisch, Forming Techniques for the Self-Reliant Potter (GTZ, 1991),"
    ' appendix, "Dry content of liquid"'
)
CARDEW = (
    "Cardew, Pioneer Pottery (1969), p. 269, quoted in full on a potters' discussion list (2000)"
)
LIST_1998 = "Worked examples on a potters' discussion list (1998)"
LIST_2004 = "A worked example on a potters' discussion list (2004)"
KIT = "A UK clay supplier's page on its white stoneware casting slip"
PORCELAIN_RECIPE = (
    "A US ceramics page, recipe for porcelain casting slip (36 % water on dry, SG 1.8)"
)
MANUFACTURING_TEXT = "A manufacturing textbook's section on slip casting: 25 to 40 % water"

IMPERIAL_PINT_OF_WATER_OZ = 20.0

WATER_SHARE, WATER_SHARE_HALF = printed_range(0.25, 0.40)


def _ounces_dry_per_pint(ounces: float, solids: float) -> float:
    """Cardew weighs in ounces per imperial pint and takes 20 ounces of water to a pint."""
    grams_per_l = 1000 * ounces / IMPERIAL_PINT_OF_WATER_OZ
    return slip.dry_kg_per_l(grams_per_l, solids) * IMPERIAL_PINT_OF_WATER_OZ


CHECKS = [
    Check(
        "slip.liter_weight.dry_kg_per_l",
        NORSKER,
        1166,
        lambda: 1000 * slip.dry_kg_per_l(1700.0, 2.5),
        1,
        "g/l",
        note="1700 g/l, solids 2.5 kg/l; the book drops the decimals",
    ),
    Check(
        "slip.liter_weight.dry_kg_per_l",
        CARDEW,
        26.67,
        lambda: _ounces_dry_per_pint(36.0, 2.5),
        0.01,
        "oz/pint",
        grade="WORKED",
        note="his formula W = (P - 20) g / (g - 1) at 36 oz to the pint, g = 2.5",
    ),
    Check(
        "slip.liter_weight.dry_kg_per_l",
        LIST_1998,
        833.3,
        lambda: 1000 * slip.dry_kg_per_l(1500.0, 2.5),
        0.1,
        "g/l",
        counted=False,
        note="1500 g/l, solids 2.5; a discussion list",
    ),
    Check(
        "slip.liter_weight.water_kg_per_l",
        LIST_1998,
        500,
        lambda: 1000 * slip.water_kg_per_l(1750.0, 2.5),
        0.1,
        "g/l",
        counted=False,
        note="1750 g/l, solids 2.5; a discussion list",
    ),
    Check(
        "slip.liter_weight.dry_kg_per_l",
        LIST_2004,
        24.1,
        lambda: 50 * slip.dry_kg_per_l(1300.0, 2.65),
        0.1,
        "g",
        counted=False,
        note="50 ml weigh 65 g, solids 2.65; a discussion list",
    ),
    Check(
        "slip.basis.volume_of_mix_l",
        KIT,
        1.2,
        lambda: slip_basis.volume_of_mix_l(1.5, 0.6),
        0.05,
        "l",
        note="1.5 kg of powder and 600 ml of water; printed to 0.1 l",
    ),
    Check(
        "slip.basis.liter_weight_of_mix",
        PORCELAIN_RECIPE,
        1.8,
        lambda: slip_basis.liter_weight_of_mix(100.0, 36.0, 2.55) / 1000,
        0.05,
        "kg/l",
        note="36 % of water on dry clay; printed to 0.1",
    ),
    Check(
        "slip.liter_weight.water_fraction",
        MANUFACTURING_TEXT,
        WATER_SHARE,
        lambda: slip.water_fraction(1750.0),
        WATER_SHARE_HALF,
        "[-]",
        note="a liter weight of 1750 g must fall in the printed range",
    ),
]
