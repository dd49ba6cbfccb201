"""Glaze for an edition: dry glaze from area and coat, slurry from its weight.

The coat is never assumed. It comes from a weighed test: one piece before and
after glazing, both dry, over its glazed area.

Glaze powders are dust, some of them toxic, and spray carries: extraction, a
fitted respirator, gloves, and the suppliers' safety sheets. A coat that fits says
nothing of food contact.

What this page leaves out: how much slurry must stand in the bucket to dip a piece at
all, and how much a spray gun blows past the ware. Both are the maker's to know, and
`slurry_to_mix_l` takes them.
"""

from __future__ import annotations

import numpy as np

from pourwright.materials.ranges import Floats, require, require_between, require_more_than
from pourwright.materials.slip.liter_weight import (
    SOLIDS_KG_PER_L,
    dry_kg_per_l,
    require_liter_weight,
    water_kg_per_l,
)


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


def coat_from_test_g_per_m2(before_kg: Floats, after_kg: Floats, area_m2: Floats) -> Floats:
    """Return the coat of a test piece, weighed dry before and dry after glazing.

    Parameters
    ----------
    before_kg : float or array
        The bisque, dry, more than 0. [kg]
    after_kg : float or array
        The same piece, glazed and dried, more than ``before_kg``. [kg]
    area_m2 : float or array
        Glazed area, more than 0. [m2]

    Returns
    -------
    float or array
        Dry glaze on a square meter. [g/m2]

    Raises
    ------
    OutOfRange
        If the piece did not gain weight, or a value is impossible.

    Notes
    -----
    A fired piece will not do: bisque loses little, but glaze loses a part of its
    dry weight in the kiln.

    Examples
    --------
    >>> f"{coat_from_test_g_per_m2(0.310, 0.346, 0.05):.0f} g/m2"
    '720 g/m2'
    """
    require_more_than("bisque before glazing", before_kg, "kg")
    require_more_than("glazed area", area_m2, "m2")
    gained = np.asarray(after_kg) > np.asarray(before_kg)
    require(
        "piece after glazing",
        after_kg,
        "kg",
        f"more than {float(np.max(before_kg)):g}",
        gained,
        "Weigh both dry.",
    )
    return 1000 * (after_kg - before_kg) / area_m2


def coat_of_thickness_g_per_m2(
    coat_mm: Floats, packing: Floats = 0.55, solids_kg_per_l: Floats = SOLIDS_KG_PER_L
) -> Floats:
    """Return the dry glaze in a coat of measured thickness, ``t phi S``.

    Parameters
    ----------
    coat_mm : float or array
        Thickness of the dry, unfired coat, 0.05 to 5. [mm]
    packing : float or array
        Share of the coat that is solid, 0.3 to 0.74; 0.55 is an assumption. [-]
    solids_kg_per_l : float or array
        Density of the dry glaze, 2.2 to 3.5. [kg/l]

    Returns
    -------
    float or array
        Dry glaze on a square meter. [g/m2]

    Raises
    ------
    OutOfRange
        If a value is outside its range.

    Notes
    -----
    A pin and a scale bar read 0.1 mm, which is a fifth of a usual coat: weigh
    instead where it matters.

    Examples
    --------
    >>> f"{coat_of_thickness_g_per_m2(0.5):.0f} g/m2"
    '715 g/m2'
    """
    require_between("thickness of the coat", coat_mm, "mm", 0.05, 5.0)
    require_between("packing of the coat", packing, "", 0.3, 0.74)
    require_between("density of the dry glaze", solids_kg_per_l, "kg/l", 2.2, 3.5)
    return 1000 * coat_mm * packing * solids_kg_per_l


def most_coat_g_per_m2(
    wall_mm: Floats,
    bisque_kg_per_l: Floats,
    absorption: Floats,
    liter_weight_g_per_l: Floats,
    faces: Floats = 2.0,
    solids_kg_per_l: Floats = SOLIDS_KG_PER_L,
) -> Floats:
    """Return the most dry glaze that a thin bisque wall can draw onto each face.

    The wall drinks until it is full, and each liter of water that it drinks leaves
    its glaze behind: ``wall rho A (dry / water) / faces``.

    Parameters
    ----------
    wall_mm : float or array
        Thickness of the bisque wall, more than 0. [mm]
    bisque_kg_per_l : float or array
        Bulk density of the bisque, 1 to 3. [kg/l]
    absorption : float or array
        Water that it takes up over its dry mass, 0 to 0.5; 0.06 to 0.09 for
        bisque of cones 04 to 06 [1]_. [-]
    liter_weight_g_per_l : float or array
        What a liter of the slurry weighs. [g/l]
    faces : float or array
        How many faces are glazed at once, 1 or 2. [-]
    solids_kg_per_l : float or array
        Density of the dry glaze, 2.2 to 3.5. [kg/l]

    Returns
    -------
    float or array
        Dry glaze on each face, at most. [g/m2]

    Raises
    ------
    OutOfRange
        If a value is outside its range.

    Notes
    -----
    A ceiling: a quick dip does not fill the wall. After a first coat the wall must
    dry, or the second does not take. What clings as wet glaze comes on top.

    Examples
    --------
    >>> f"{most_coat_g_per_m2(4.0, 1.9, 0.09, 1500.0):.0f} g/m2"
    '404 g/m2'

    References
    ----------
    .. [1] A potter's figures on a potters' discussion list (1999).
    """
    require_more_than("wall", wall_mm, "mm")
    require_between("bulk density of the bisque", bisque_kg_per_l, "kg/l", 1.0, 3.0)
    require_between("absorption", absorption, "", 0.0, 0.5)
    require("glazed faces", faces, "", "1 or 2", np.isin(faces, (1, 2)))
    require_liter_weight("glaze weight", liter_weight_g_per_l, solids_kg_per_l)
    dry_to_water = dry_kg_per_l(liter_weight_g_per_l, solids_kg_per_l) / water_kg_per_l(
        liter_weight_g_per_l, solids_kg_per_l
    )
    return 1000 * wall_mm * bisque_kg_per_l * absorption * dry_to_water / faces


def slurry_to_mix_l(
    used_l: Floats, left_in_bucket_l: Floats = 0.0, sprayed_past: Floats = 1.0
) -> Floats:
    """Return the slurry to mix, with what stays in the bucket or flies past.

    Parameters
    ----------
    used_l : float or array
        Slurry that ends up on the ware, more than 0. [l]
    left_in_bucket_l : float or array
        Slurry that must stand in the bucket for the last piece to be dipped, zero
        or more. [l]
    sprayed_past : float or array
        Slurry sprayed over what lands on the ware, 1 to 4; 1 when dipping, 1.2 to
        2 when spraying (practice, from memory). [-]

    Returns
    -------
    float or array
        Slurry to mix. [l]

    Raises
    ------
    OutOfRange
        If a value is outside its range.

    Examples
    --------
    >>> f"{slurry_to_mix_l(1.4, left_in_bucket_l=3.0):.1f} l"
    '4.4 l'
    """
    require_more_than("slurry on the ware", used_l, "l")
    good = np.asarray(left_in_bucket_l) >= 0
    require("slurry left in the bucket", left_in_bucket_l, "l", "0 or more", good)
    require_between("sprayed over what lands", sprayed_past, "", 1.0, 4.0)
    return used_l * sprayed_past + left_in_bucket_l
