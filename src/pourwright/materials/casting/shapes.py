"""How long a wall takes where the mold is round, and how long a solid cast takes.

Inside a tube or a ball the same wall holds less clay than on a flat face, so it
grows faster; on a rod slower. All follow from Darcy's law with the suction at
the mold's face and the resistance in the cast; at a wall that is thin against
the radius all give ``L^2 = k t``.

What this page leaves out: how much plaster stands behind the face. Inside
corners have more than a flat face, edges that reach into the cast have less and
cast thin; the formulas know nothing of either.
"""

from __future__ import annotations

from typing import Literal, TypeAlias

import numpy as np
from scipy.special import xlogy

from pourwright.errors import NotDoable
from pourwright.materials.ranges import FloatArray, Floats, require, require_more_than

Shape: TypeAlias = Literal["flat", "inside a tube", "inside a ball", "around a rod"]
Solid: TypeAlias = Literal["slab", "rod", "ball"]

_HALVINGS = 60
_MOST_OF_ROD = 4.0


def time_factor(shape: Shape, wall_over_radius: Floats) -> Floats:
    """Return how long a wall takes on a shape, over what it takes on a flat face.

    With ``x`` the wall over the radius of the mold's face, ``k t / R^2`` is
    ``x^2`` when flat, ``x - x^2/2 + (1-x)^2 ln(1-x)`` inside a tube,
    ``x^2 - (2/3) x^3`` inside a ball, and
    ``(1+x)^2 ln(1+x) - ((1+x)^2 - 1)/2`` around a rod; the factor is that over
    ``x^2``.

    Parameters
    ----------
    shape : {"flat", "inside a tube", "inside a ball", "around a rod"}
        The face that the wall grows on.
    wall_over_radius : float or array
        Wall over the radius of the face, more than 0; at most 1 inside, at most
        4 around a rod. [-]

    Returns
    -------
    float or array
        Time over the flat time. [-]

    Raises
    ------
    OutOfRange
        If the wall is thicker than the shape has room for.
    NotDoable
        If the shape is none of these.

    Notes
    -----
    Derived here from Darcy's law; filtration on round faces is treated by Tiller
    and Hsyung [1]_, whose paper could not be read.

    Examples
    --------
    >>> f"{time_factor('inside a tube', 0.1):.4f}"
    '0.9658'

    References
    ----------
    .. [1] Tiller and Hsyung, Journal of the American Ceramic Society 74 (1991) 210.
    """
    x = np.asarray(wall_over_radius, dtype=np.float64)
    _require_room(shape, x)
    with np.errstate(invalid="ignore", divide="ignore"):
        factor = np.where(x < 1e-3, _thin(shape, x), _round(shape, x) / x**2)
    return factor if factor.ndim else float(factor)


def _require_room(shape: Shape, x: FloatArray) -> None:
    """Refuse a wall that does not fit a shape."""
    most = {
        "flat": np.inf,
        "inside a tube": 1.0,
        "inside a ball": 1.0,
        "around a rod": _MOST_OF_ROD,
    }
    if shape not in most:
        raise NotDoable(f'the shape "{shape}" is not known; say one of {", ".join(most)}.')
    allowed = "more than 0" if shape == "flat" else f"more than 0 and at most {most[shape]:g}"
    good = (x > 0) & (x <= most[shape]) & np.isfinite(x)
    require("wall over radius", x, "", allowed, good, "The radius is the mold's, in the same unit.")


def _thin(shape: Shape, x: FloatArray) -> FloatArray:
    """Return the factor for thin walls, by its series, where the logarithms cancel."""
    slope = {"flat": 0.0, "inside a tube": -1 / 3, "inside a ball": -2 / 3, "around a rod": 1 / 3}
    bend = {"flat": 0.0, "inside a tube": -1 / 12, "inside a ball": 0.0, "around a rod": -1 / 12}
    return 1 + slope[shape] * x + bend[shape] * x**2


def _round(shape: Shape, x: FloatArray) -> FloatArray:
    """Return ``k t / R^2``."""
    if shape == "flat":
        return x**2
    if shape == "inside a ball":
        return x**2 - 2 / 3 * x**3
    edge = 1 - x if shape == "inside a tube" else 1 + x
    # Both are r^2 ln r + (1 - r^2)/2, r being where the wall ends over where it began.
    value: FloatArray = edge * xlogy(edge, edge) + (1 - edge**2) / 2
    return value


def wall_on_shape_mm(
    shape: Shape, minutes: Floats, rate_mm2_per_min: Floats, radius_mm: Floats
) -> Floats:
    """Return the wall that has grown on a round shape after a time.

    The inverse of ``L^2 / k`` times `time_factor`, by halving; a tube or ball that has closed
    up gives its radius.

    Parameters
    ----------
    shape : {"flat", "inside a tube", "inside a ball", "around a rod"}
        The face that the wall grows on.
    minutes : float or array
        Since the mold was full, zero or more. [min]
    rate_mm2_per_min : float or array
        Casting rate on a flat face, more than 0. [mm2/min]
    radius_mm : float or array
        Radius of the mold's face, more than 0; any for flat. [mm]

    Returns
    -------
    float or array
        Thickness of the wall. [mm]

    Raises
    ------
    OutOfRange
        If a value is impossible, or a wall around a rod passes 4 radii.
    NotDoable
        If the shape is none of these.

    Examples
    --------
    Ten minutes at 3 mm2/min in a mold of 25 mm radius:

    >>> [round(wall_on_shape_mm(shape, 10.0, 3.0, 25.0), 2) for shape in
    ...  ("flat", "inside a tube", "inside a ball", "around a rod")]
    [5.48, 5.71, 5.97, 5.3]
    """
    require("casting time", minutes, "min", "0 or more", np.asarray(minutes) >= 0)
    require_more_than("casting rate", rate_mm2_per_min, "mm2/min")
    require_more_than("radius of the mold's face", radius_mm, "mm")
    done = np.asarray(rate_mm2_per_min * minutes / np.square(radius_mm), dtype=np.float64)
    if shape == "flat":
        walls = np.sqrt(done) * radius_mm
        return walls if np.ndim(walls) else float(walls)
    _require_room(shape, np.asarray(0.5))
    most = _MOST_OF_ROD if shape == "around a rod" else 1.0
    full = float(_round(shape, np.asarray(most)))
    if shape == "around a rod":
        require("casting time over radius squared", done, "", f"at most {full:.0f}", done <= full)
    low, high = np.zeros_like(done), np.full_like(done, most)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        short = _round(shape, middle) < done
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    walls = (low + high) / 2 * radius_mm
    return walls if np.ndim(walls) else float(walls)


def minutes_to_fill(solid: Solid, half_mm: Floats, rate_mm2_per_min: Floats) -> Floats:
    """Return the time in which a solid cast closes.

    A slab between two faces takes ``R^2 / k``, a rod half and a ball a third of it,
    R being half the thickness. A slab cast from one face only has the whole
    thickness for R, and takes four times as long.

    Parameters
    ----------
    solid : {"slab", "rod", "ball"}
        What is cast solid.
    half_mm : float or array
        Half the thickness of the slab, or the radius, more than 0. [mm]
    rate_mm2_per_min : float or array
        Casting rate on a flat face, more than 0. [mm2/min]

    Returns
    -------
    float or array
        Until the two sides meet. [min]

    Raises
    ------
    OutOfRange
        If a value is not more than zero.
    NotDoable
        If the shape is none of these.

    Notes
    -----
    Keep feeding slip while a solid cast closes, or a hollow is left along its
    middle; ASTM C326 asks the same of cast test bars.

    Examples
    --------
    A handle 6 mm thick, between two faces and from one:

    >>> minutes_to_fill("slab", 3.0, 3.0), minutes_to_fill("slab", 6.0, 3.0)
    (3.0, 12.0)
    """
    share = {"slab": 1.0, "rod": 2.0, "ball": 3.0}
    if solid not in share:
        raise NotDoable(f'the solid shape "{solid}" is not known; say slab, rod or ball.')
    require_more_than("half thickness or radius", half_mm, "mm")
    require_more_than("casting rate", rate_mm2_per_min, "mm2/min")
    return half_mm**2 / (share[solid] * rate_mm2_per_min)
