"""Water spreading through a mold's wall: the diffusion equation and the method that solves it.

Nobody has published how fast water moves in mold plaster against its consistency.
The diffusivity here was set by two figures of a plaster maker's bulletin; those do
not test it. What is tested is the mathematics: closed solutions, a general solver,
and that no water is lost.

What this page leaves out: corners, salts, cracks, the vapor that moves in nearly dry
plaster (the drying face stands for it), and any difference between wetting and drying.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeAlias

import numpy as np
from scipy.linalg.lapack import dgttrf, dgttrs

from pourwright.materials.plaster.hardened import REACHED_PORES
from pourwright.materials.plaster.mix import Plaster, dry_density, porosity
from pourwright.materials.ranges import FloatArray, require_between

DRY_DIFFUSIVITY_M2_PER_S = 1.2e-8
DIFFUSIVITY_RISE = 6.0
"""``D = 1.2e-8 exp(6 s)``: calibrated, not published.

Together they let a dry mold drink 0.38 g/cm2 in the first minute, as a maker's
bulletin has it of bare immersion, and keep a face wet down to a tenth of saturation.
"""
CELLS = 30
TOLERANCE = 2e-2
_SMALL = 0.02
_LONGEST_S = 7200.0  # longer steps look past a bend of the drying rate
_PLAIN = 1e-3  # below it the exponential's differences drown in rounding
_MOST = 1.2  # a stage may overshoot; its exponential must not


@dataclass(frozen=True, slots=True)
class MoldWall:
    """The wall of a mold and the air around it.

    Parameters
    ----------
    plaster : Plaster
        The mix.
    thickness_mm : float
        From the casting face to the outside, 10 to 150. [mm]
    temperature_c, relative_humidity : float
        Of the air. [degC], [-]
    heat_w_per_m2_k : float
        Coefficient of heat transfer, see
        `pourwright.materials.drying.evaporation.heat_transfer`. [W/(m2 K)]
    inside_open : bool
        Whether the casting face dries too between casts (mold left open).
    diffusivity_m2_per_s : float
        Of nearly dry plaster. [m2/s]
    diffusivity_rise : float
        Its rise with saturation; 0 is plain diffusion, 12 the most. [-]

    Attributes
    ----------
    capacity : float
        Volume of water that a volume of wall takes up. [-]
    cell_mm : float
        Thickness of one cell of the model. [mm]

    Raises
    ------
    OutOfRange
        If a figure is outside its range.
    """

    plaster: Plaster
    thickness_mm: float
    temperature_c: float = 20.0
    relative_humidity: float = 0.5
    heat_w_per_m2_k: float = 7.6
    inside_open: bool = False
    diffusivity_m2_per_s: float = DRY_DIFFUSIVITY_M2_PER_S
    diffusivity_rise: float = DIFFUSIVITY_RISE
    capacity: float = field(init=False)
    cell_mm: float = field(init=False)

    def __post_init__(self) -> None:
        """Refuse what no wall can be; work out what every step of the model needs."""
        require_between("thickness of the mold wall", self.thickness_mm, "mm", 10.0, 150.0)
        require_between("diffusivity", self.diffusivity_m2_per_s, "m2/s", 1e-10, 1e-5)
        require_between("rise of the diffusivity", self.diffusivity_rise, "[-]", 0.0, 12.0)
        object.__setattr__(self, "capacity", REACHED_PORES[1] * float(porosity(self.plaster)))
        object.__setattr__(self, "cell_mm", self.thickness_mm / CELLS)

    def free_water(self, saturation: FloatArray | float) -> FloatArray:
        """Return free water over dry mass at a saturation of the reached pores. [-]."""
        return np.asarray(saturation) * self.capacity / float(dry_density(self.plaster))


Face: TypeAlias = Callable[[FloatArray], tuple[float, float, float]]
"""From the wall's saturation to a flux and its slopes by the cell there and by the mean [m/s]."""


def diffuse(
    wall: MoldWall,
    saturation: FloatArray,
    seconds: float,
    inflow: Face,
    outflow: Face,
    *,
    first_step_min: float = 0.3,
    tolerance: float = TOLERANCE,
) -> tuple[FloatArray, float, float]:
    """Return the saturation after a time, and the water that came in and went out.

    ``ds/dt = d/dx(D(s) ds/dx)``, ``D = D0 exp(B s)``, in thirty cells; the
    Rosenbrock method RODAS3 [1]_ of third order, its steps held by the second-order
    method inside it. The fluxes through the faces are summed with the weights of the
    method, so that what the cells gain is what crossed the faces.

    Parameters
    ----------
    wall : MoldWall
        The wall.
    saturation : array of shape (cells,)
        Of the reached pores, from the casting face outward. [-]
    seconds : float
        How long. [s]
    inflow, outflow : callable
        From the saturation to the flux through the casting face and the outside,
        and its slopes by the saturation of the cell there and by the mean. [m/s]
    first_step_min : float
        Tried first; the error decides on the rest. [min]
    tolerance : float
        Error of saturation allowed in a step, over the saturation and 0.02. [-]

    Returns
    -------
    tuple of array, float, float
        Saturation; water in and water out over the face. [-, m, m]

    Examples
    --------
    >>> wall = MoldWall(Plaster("pottery plaster", 70, "the bag"), 30.0)
    >>> def shut(saturation):
    ...     return 0.0, 0.0, 0.0
    >>> wet_inside = np.where(np.arange(30) < 10, 0.9, 0.0)
    >>> after, _, _ = diffuse(wall, wet_inside, 86400.0, shut, shut)
    >>> f"{after.mean():.4f} of {wet_inside.mean():.4f}"
    '0.3000 of 0.3000'

    References
    ----------
    .. [1] Sandu et al., Benchmarking stiff ODE solvers for atmospheric chemistry
       problems II: Rosenbrock solvers, Atmos. Environ. 31 (1997) 3459.
    """
    state, came, went, left, step = saturation, 0.0, 0.0, seconds, first_step_min * 60
    while left > 1e-9:
        h = min(step, left)
        change, error, more, less = _step(wall, state, h, inflow, outflow)
        if not error <= tolerance:  # also where it ran away
            step = h * 0.4
            continue
        state, came, went, left = state + change, came + more, went + less, left - h
        step = h * min(
            _LONGEST_S / h, 3.0, max(0.5, 0.9 * (tolerance / max(error, 1e-12)) ** (1 / 3))
        )
    return state, came, went


def _step(
    wall: MoldWall, state: FloatArray, h: float, inflow: Face, outflow: Face
) -> tuple[FloatArray, float, float, float]:
    """Return the change in one step, its error, and the water in and out. [-, -, m, m].

    RODAS3 in the form that needs no product with the Jacobian. ``faces`` is the
    water through the two faces in a stage; it follows the cells' own four stages.
    """
    half = h / 2
    exponential = np.exp(wall.diffusivity_rise * np.minimum(state, _MOST))
    now = inflow(state), outflow(state)
    solve = _solver(wall, exponential, half, *now)
    gain = _gain(wall, state, exponential, half, now[0][0], now[1][0])
    k1, faces1 = solve(gain, half * now[0][0], half * now[1][0])
    k2, faces2 = solve(
        gain + 2 * k1, half * now[0][0] + 2 * faces1[0], half * now[1][0] + 2 * faces1[1]
    )
    mixed = 0.5 * (k1 - k2)
    mixed_in, mixed_out = 0.5 * (faces1[0] - faces2[0]), 0.5 * (faces1[1] - faces2[1])

    ahead = state + 2 * k1
    flux_in, flux_out = inflow(ahead)[0], outflow(ahead)[0]
    gain = _gain(wall, ahead, None, half, flux_in, flux_out) + mixed
    k3, faces3 = solve(gain, half * flux_in + mixed_in, half * flux_out + mixed_out)

    ahead = ahead + k3
    flux_in, flux_out = inflow(ahead)[0], outflow(ahead)[0]
    gain = _gain(wall, ahead, None, half, flux_in, flux_out) + mixed - (4 / 3) * k3
    k4, faces4 = solve(
        gain,
        half * flux_in + mixed_in - (4 / 3) * faces3[0],
        half * flux_out + mixed_out - (4 / 3) * faces3[1],
    )
    error = float(np.maximum.reduce(np.abs(k4) / (_SMALL + np.abs(state))))
    came = 2 * faces1[0] + faces3[0] + faces4[0]
    went = 2 * faces1[1] + faces3[1] + faces4[1]
    return 2 * k1 + k3 + k4, error, came, went


def _gain(
    wall: MoldWall,
    state: FloatArray,
    exponential: FloatArray | None,
    seconds: float,
    flux_in: float,
    flux_out: float,
) -> FloatArray:
    """Return the change of saturation at this rate over some seconds. [-]."""
    rise, cell = wall.diffusivity_rise, wall.cell_mm / 1000
    scale = seconds / cell
    if exponential is None:
        exponential = np.exp(rise * np.minimum(state, _MOST))
    potential = exponential if rise > _PLAIN else state
    flux = np.empty(CELLS + 1)
    spread = wall.diffusivity_m2_per_s / (cell * (rise if rise > _PLAIN else 1.0))
    np.multiply(potential[:-1] - potential[1:], scale * spread, out=flux[1:-1])
    flux[0], flux[-1] = scale / wall.capacity * flux_in, scale / wall.capacity * flux_out
    return np.asarray(flux[:-1] - flux[1:])


def _solver(
    wall: MoldWall,
    exponential: FloatArray,
    half: float,
    at_inside: tuple[float, float, float],
    at_outside: tuple[float, float, float],
) -> Callable[[FloatArray, float, float], tuple[FloatArray, tuple[float, float]]]:
    """Return what solves ``(1 - h J/2) k = gain``, and tells the water through the faces.

    J has three bands, and a row at each face where the flux hangs on the mean; both
    rows are alike, so Sherman and Morrison's formula turns them into one more solve.
    """
    (_, cell_in, mean_in), (_, cell_out, mean_out) = at_inside, at_outside
    cell = wall.cell_mm / 1000
    spread = exponential * (half * wall.diffusivity_m2_per_s / cell**2)
    middle = 1 + 2 * spread
    unit = half / (wall.capacity * cell)
    middle[0] -= spread[0] + unit * cell_in
    middle[-1] -= spread[-1] - unit * cell_out
    factors = dgttrf(-spread[:-1], middle, -spread[1:])[:5]
    row = np.zeros(CELLS)
    row[0], row[-1] = -unit * mean_in, unit * mean_out
    along = dgttrs(*factors, row)[0]
    share = 1 + np.add.reduce(along) / CELLS

    def solve(
        gain: FloatArray, through_in: float, through_out: float
    ) -> tuple[FloatArray, tuple[float, float]]:
        k = dgttrs(*factors, gain)[0]
        mean = np.add.reduce(k) / CELLS / share
        k -= mean * along
        return k, (
            through_in + half * (cell_in * k[0] + mean_in * mean),
            through_out + half * (cell_out * k[-1] + mean_out * mean),
        )

    return solve
