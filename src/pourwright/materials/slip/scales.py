"""Other ways of telling how heavy a slip is: pints in ounces, Baume, Twaddell.

Pints are the trap: a pint is 473 ml in the USA and 568 ml in Britain, and its
weight in ounces is told without saying which. 36 ounces are 1796 g/l by the
imperial pint, a good casting slip, and 2157 g/l by the US pint, which is none.
Baume degrees are a second trap: three scales share the name; the one here is
the US scale, which is printed on the deflocculants sold there.

What this page leaves out: hydrometers, which read too high in a slip that stands
and gels. Weigh instead.
"""

from __future__ import annotations

from typing import Literal, TypeAlias

from pourwright.errors import NotDoable
from pourwright.materials.ranges import Floats, require_between
from pourwright.materials.slip.liter_weight import require_liter_weight

Pint: TypeAlias = Literal["US", "imperial"]

PINT_L: dict[str, float] = {"US": 0.473176473, "imperial": 0.56826125}
"""Exact by definition. [l]"""

OUNCE_G = 28.349523125
"""Ounce avoirdupois, exact by definition. [g]"""


def pint_weight_oz(liter_weight_g_per_l: Floats, pint: Pint) -> Floats:
    """Return what a pint of a slip weighs.

    Parameters
    ----------
    liter_weight_g_per_l : float or array
        What one liter weighs. [g/l]
    pint : {"US", "imperial"}
        Which pint; there is no default.

    Returns
    -------
    float or array
        What one pint weighs. [oz]

    Raises
    ------
    OutOfRange
        If the liter weight is impossible.
    NotDoable
        If the pint is neither.

    Examples
    --------
    >>> f"{pint_weight_oz(1750.0, 'imperial'):.1f} or {pint_weight_oz(1750.0, 'US'):.1f} oz"
    '35.1 or 29.2 oz'
    """
    require_liter_weight("slip weight", liter_weight_g_per_l)
    return liter_weight_g_per_l * _pint_l(pint) / OUNCE_G


def _pint_l(pint: Pint) -> float:
    """Return a pint in liters, or ask which one is meant."""
    if pint not in PINT_L:
        raise NotDoable(f'the pint is "{pint}"; say "US" (473 ml) or "imperial" (568 ml).')
    return PINT_L[pint]


def baume_degrees(density_kg_per_l: Floats) -> Floats:
    """Return the degrees Baume of a liquid heavier than water, ``145 - 145 / SG``.

    Parameters
    ----------
    density_kg_per_l : float or array
        Specific gravity at 60 degF, 1 to 3. [kg/l]

    Returns
    -------
    float or array
        Degrees on the US scale for heavy liquids [1]_ [2]_. [degBe]

    Raises
    ------
    OutOfRange
        If the liquid is lighter than water.

    Notes
    -----
    Older European scales have 144 or 146.78 in place of 145 [2]_; at 1.75 they
    read 0.4 lower and 0.8 higher.

    Examples
    --------
    >>> f"{baume_degrees(1.75):.1f}"
    '62.1'

    References
    ----------
    .. [1] Marks' Standard Handbook for Mechanical Engineers, table of relative
       densities at 60/60 degF.
    .. [2] CRC Handbook of Chemistry and Physics, 51st edition, "Baume".
    """
    require_between("density", density_kg_per_l, "kg/l", 1.0, 3.0)
    return 145 - 145 / density_kg_per_l


def density_of_baume(degrees: Floats) -> Floats:
    """Return the density of a heavy liquid from its degrees Baume, ``145 / (145 - Be)``.

    Parameters
    ----------
    degrees : float or array
        Degrees on the US scale for heavy liquids, 0 to 96. [degBe]

    Returns
    -------
    float or array
        Specific gravity at 60 degF. [kg/l]

    Raises
    ------
    OutOfRange
        If the degrees are off the scale.

    Examples
    --------
    >>> f"{density_of_baume(35.0):.3f}"
    '1.318'
    """
    require_between("degrees Baume", degrees, "degBe", 0.0, 96.0)
    return 145 / (145 - degrees)


def twaddell_degrees(density_kg_per_l: Floats) -> Floats:
    """Return the degrees Twaddell of a liquid heavier than water, ``200 (SG - 1)``.

    Parameters
    ----------
    density_kg_per_l : float or array
        Specific gravity at 60 degF, 1 to 3. [kg/l]

    Returns
    -------
    float or array
        Degrees Twaddell [1]_. [degTw]

    Raises
    ------
    OutOfRange
        If the liquid is lighter than water.

    Examples
    --------
    >>> f"{twaddell_degrees(1.75):.0f}"
    '150'

    References
    ----------
    .. [1] A US chemist's handbook (1910s, scanned): multiply by 5, add 1000,
       divide by 1000.
    """
    require_between("density", density_kg_per_l, "kg/l", 1.0, 3.0)
    return 200 * (density_kg_per_l - 1)


def density_of_twaddell(degrees: Floats) -> Floats:
    """Return the density of a heavy liquid from its degrees Twaddell, ``1 + Tw / 200``.

    Parameters
    ----------
    degrees : float or array
        Degrees Twaddell, 0 to 400. [degTw]

    Returns
    -------
    float or array
        Specific gravity at 60 degF. [kg/l]

    Raises
    ------
    OutOfRange
        If the degrees are off the scale.

    Examples
    --------
    >>> density_of_twaddell(140.0)
    1.7
    """
    require_between("degrees Twaddell", degrees, "degTw", 0.0, 400.0)
    return 1 + degrees / 200
