"""Asks that several subjects share."""

from __future__ import annotations

from pourwright.calculators.question import Ask

CONSISTENCY: Ask[float] = Ask(
    name="consistency",
    kind="number",
    low=25,
    high=120,
    default="70",
    example="70",
    meaning="Parts of water to 100 parts of plaster, by mass.",
    source="plaster makers' data sheets for pottery plaster: 68, 70 and 74; your bag decides",
    studio="plaster.consistency",
)
SOLIDS: Ask[float] = Ask(
    name="solids",
    kind="number",
    unit="kg/l",
    low=2.2,
    high=3.5,
    default="2.6",
    example="2.55",
    meaning="Density of the dry solids.",
    source="two handbooks: clays 2.5, with glaze materials to 2.6",
    studio="slip.solids_density",
)
