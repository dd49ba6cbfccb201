"""Glaze for an edition: dry glaze from area and coat, slurry from its weight.

The coat is never assumed. It comes from a weighed test: one piece before and
after glazing, both dry, over its glazed area.

What this page leaves out: the slurry that must stand in the bucket to dip a
piece at all, and what a spray gun blows past the ware.
"""

from __future__ import annotations

from pourwright.materials.ranges import Floats, require_between, require_more_than
from pourwright.materials.slip import SOLIDS_KG_PER_L, dry_kg_per_l, require_liter_weight


def dry_glaze_kg(area_m2: Floats, coat_g_per_m2: Floats, pieces: Floats = 1.0) -> Floats:
    """Return the dry glaze that a number of pieces carries.

    Parameters
    ----------
    area_m2 : float or array
        Glazed area of one piece, more than 0. [m2]
    coat_g_per_m2 : float or array
        Dry glaze on a square meter, 20 to 3000; weigh a test piece. [g/m2]
    pieces : float or array
        How many pieces, more than 0. [-]

    Returns
    -------
    float or array
        Dry glaze, nothing added for waste. [kg]

    Raises
    ------
    OutOfRange
        If a value is outside its range.

    Notes
    -----
    Dipped tableware carries 400 to 900 g/m2 (practice, from memory); an
    industry figure for studio ware was not found.

    Examples
    --------
    >>> f"{dry_glaze_kg(0.08, 700.0, pieces=20):.2f} kg"
    '1.12 kg'
    """
    require_more_than("glazed area", area_m2, "m2")
    require_between("coat", coat_g_per_m2, "g/m2", 20.0, 3000.0)
    require_more_than("number of pieces", pieces, "")
    return area_m2 * coat_g_per_m2 / 1000 * pieces


def slurry_l(
    dry_kg: Floats, liter_weight_g_per_l: Floats, solids_kg_per_l: Floats = SOLIDS_KG_PER_L
) -> Floats:
    """Return the glaze slurry that holds so much dry glaze.

    Parameters
    ----------
    dry_kg : float or array
        Dry glaze, more than 0. [kg]
    liter_weight_g_per_l : float or array
        What one liter of the slurry weighs. [g/l]
    solids_kg_per_l : float or array
        Density of the dry glaze, 2.2 to 3.5; 2.6 to 2.65 for glazes without
        lead or much barium or zircon. [kg/l]

    Returns
    -------
    float or array
        Slurry, nothing added for what stays in the bucket. [l]

    Raises
    ------
    OutOfRange
        If the weight is impossible.

    Examples
    --------
    >>> f"{slurry_l(1.12, 1500.0):.2f} l"
    '1.38 l'
    """
    require_more_than("dry glaze", dry_kg, "kg")
    require_liter_weight("glaze weight", liter_weight_g_per_l, solids_kg_per_l)
    return dry_kg / dry_kg_per_l(liter_weight_g_per_l, solids_kg_per_l)
