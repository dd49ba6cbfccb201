"""Published figures on shrinkage and on fired bodies."""

from __future__ import annotations

from pourwright.materials.ware import dimension_chain, fired_body, shrinkage
from tests.sources.check import Check

BALL_CLAY = "A ball clay's data sheet: extruded at 25 % water, critical 16 %, dry contraction 6.5 %"
THUMB = "A potter's page on shrinkage tests: 6 % dry, 6 to 8 % fired, 12 to 14 % in all"
TILES = "A potters' discussion list (2003): six-inch tiles of a clay that shrinks 11.5 %"
BLOG = "A potter's blog: an original of 60 mm gave a piece just under 54 mm, made 1.11 times larger"
C373 = "ASTM C373, its calculations"

CHECKS = [
    Check(
        "ware.shrinkage.dry_shrinkage_from_moisture",
        BALL_CLAY,
        0.065,
        lambda: shrinkage.dry_shrinkage_from_moisture(0.25, 0.16),
        0.008,
        "[-]",
        note="moistures printed to 1 %: half of it in each moves the answer by 0.4 %",
    ),
    Check(
        "ware.shrinkage.total_shrinkage",
        THUMB,
        0.12,
        lambda: shrinkage.total_shrinkage(0.06, 0.06, "dry"),
        0.005,
        "[-]",
        counted=False,
        note="a rule of thumb, which adds what multiplies",
    ),
    Check(
        "ware.shrinkage.total_shrinkage",
        THUMB,
        0.14,
        lambda: shrinkage.total_shrinkage(0.06, 0.08, "dry"),
        0.005,
        "[-]",
        counted=False,
        note="the same, upper end",
    ),
    Check(
        "ware.dimension_chain.length_before",
        TILES,
        6.78,
        lambda: dimension_chain.length_before(6.0, (dimension_chain.ChainStep("fired", 0.885),)),
        0.005,
        "in",
        counted=False,
        note="a discussion list, though it works the figure in full",
    ),
    Check(
        "ware.dimension_chain.length_before",
        BLOG,
        60.0,
        lambda: dimension_chain.length_before(54.0, (dimension_chain.ChainStep("fired", 0.9),)),
        0.3,
        "mm",
        counted=False,
        note="an anecdote; factor 1.11",
    ),
    Check(
        "ware.fired_body.fired_body",
        C373,
        2.174,
        lambda: fired_body.fired_body(0.100, 0.062, 0.108).bulk_kg_per_l,
        5e-4,
        "kg/l",
        grade="MEMORY",
        counted=False,
        note="its procedure was read, its formulas are from memory",
    ),
]
