"""Water spreading through a wall, against closed solutions and a general solver."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from pourwright.errors import OutOfRange
from pourwright.materials.drying.wall import CELLS, MoldWall, diffuse
from pourwright.materials.plaster.hardened import REACHED_PORES
from pourwright.materials.plaster.mix import Plaster, porosity
from tests.sources.plaster_transport import held_full, shut

MIX = Plaster("plaster", 70, "a test")


def plain(diffusivity: float = 1e-8) -> MoldWall:
    return MoldWall(MIX, 20.0, diffusivity_m2_per_s=diffusivity, diffusivity_rise=0.0)


def crank_uptake(fourier: float) -> float:
    """Crank (1975), p. 48: uptake of a sheet, two hundred terms."""
    odd = 2 * np.arange(200) + 1
    return float(1 - (8 / np.pi**2 / odd**2 * np.exp(-(odd**2) * np.pi**2 * fourier / 4)).sum())


def crank_profile(fourier: float, place: np.ndarray) -> np.ndarray:
    """Crank (1975), p. 47: filling at a place counted from the closed face, two hundred terms."""
    n = np.arange(200)[:, None]
    odd = 2 * n + 1
    terms = (-1.0) ** n / odd * np.exp(-(odd**2) * np.pi**2 * fourier / 4)
    return np.asarray(1 - 4 / np.pi * (terms * np.cos(odd * np.pi * place / 2)).sum(axis=0))


@pytest.mark.parametrize("fourier", [0.05, 0.1, 0.2, 0.5, 1.0, 2.0])
def test_plain_diffusion_agrees_with_crank(fourier: float) -> None:
    """The Mathematics of Diffusion, 2nd ed. (1975), p. 47 f.: half a percent, as asked."""
    wall = plain()
    state, came, went = diffuse(
        wall, np.zeros(CELLS), fourier * 0.02**2 / 1e-8, held_full(wall), shut, first_step_min=0.02
    )
    # A cell counted from the face held full lies so far from the closed face:
    place = 1 - (np.arange(CELLS) + 0.5) / CELLS

    assert came / (wall.capacity * 0.02) == pytest.approx(crank_uptake(fourier), rel=5e-3)
    assert state == pytest.approx(crank_profile(fourier, place), abs=5e-3)
    assert went == 0.0


def test_a_step_that_spreads_agrees_with_its_cosine_series() -> None:
    """Carslaw and Jaeger, 3.3: a sheet with closed faces, its first third full at first."""
    wall = plain()
    first = np.where(np.arange(CELLS) < 10, 0.9, 0.0)
    fourier = 0.05
    state, came, went = diffuse(
        wall, first, fourier * 0.02**2 / 1e-8, shut, shut, first_step_min=0.02
    )
    n = np.arange(1, 300)[:, None]
    place = (np.arange(CELLS) + 0.5) / CELLS
    terms = 2 * 0.9 * np.sin(n * np.pi / 3) / (n * np.pi) * np.exp(-((n * np.pi) ** 2) * fourier)
    expected = 0.3 + (terms * np.cos(n * np.pi * place)).sum(axis=0)

    assert state == pytest.approx(expected, abs=5e-3)
    assert came == went == 0.0


@pytest.mark.parametrize("rise", [0.0, 3.0, 6.0, 9.0])
def test_any_rise_agrees_with_a_general_stiff_solver(rise: float) -> None:
    """SciPy's Radau on the same cells: a tenth of a percent of the saturation, and in the water."""
    wall = MoldWall(MIX, 30.0, diffusivity_rise=rise)
    first = np.where(np.arange(CELLS) < 6, 0.8, 0.05)
    give = 3e-8  # m/s to the air, less as the face dries

    def outflow(state: np.ndarray) -> tuple[float, float, float]:
        wet = max(float(state[-1]), 0.0)
        return give * wet / (wet + 0.02), give * 0.02 / (wet + 0.02) ** 2, 0.0

    def rate(_: float, state: np.ndarray) -> np.ndarray:
        potential = np.exp(rise * state) / rise if rise else state
        flux = np.zeros(CELLS + 1)
        flux[1:-1] = wall.diffusivity_m2_per_s / (wall.cell_mm / 1000) * -np.diff(potential)
        flux[-1] = outflow(state)[0] / wall.capacity
        return np.asarray(-np.diff(flux) / (wall.cell_mm / 1000))

    for hours in (0.5, 4.0, 24.0):
        mine, _, went = diffuse(wall, first, hours * 3600, shut, outflow, tolerance=1e-3)
        theirs = solve_ivp(rate, (0, hours * 3600), first, "Radau", rtol=1e-8, atol=1e-10).y[:, -1]
        gone = (first - theirs).sum() * (wall.cell_mm / 1000) * wall.capacity

        assert np.abs(mine - theirs).max() < 1e-3 * theirs.max()
        assert went == pytest.approx(gone, rel=1e-3)


@given(
    st.lists(st.floats(0.0, 0.95), min_size=CELLS, max_size=CELLS),
    st.floats(1e-9, 1e-7),
    st.floats(0.0, 8.0),
    st.floats(1.0, 1e5),
    st.floats(0.0, 5e-8),
)
@settings(max_examples=50)
def test_no_water_is_lost(
    first: list[float], diffusivity: float, rise: float, seconds: float, give: float
) -> None:
    """What came in, less what went out, is what the cells hold more: to the last digits."""
    wall = MoldWall(MIX, 30.0, diffusivity_m2_per_s=diffusivity, diffusivity_rise=rise)

    def outflow(state: np.ndarray) -> tuple[float, float, float]:
        wet, mean = max(float(state[-1]), 0.0), float(state.mean())
        share = wet / (wet + 0.02)
        return give * mean * share, give * mean * 0.02 / (wet + 0.02) ** 2, give * share

    before = np.array(first)
    after, came, went = diffuse(wall, before, seconds, held_full(wall), outflow)
    held = (after - before).sum() * (wall.cell_mm / 1000) * wall.capacity

    assert came - went == pytest.approx(held, abs=1e-12)
    assert after.min() > -0.02
    assert after.max() < 1.05


def test_a_tighter_tolerance_changes_little() -> None:
    wall = MoldWall(MIX, 30.0)
    first = np.where(np.arange(CELLS) < 6, 0.8, 0.0)
    loose, _, _ = diffuse(wall, first, 86400.0, shut, shut)
    tight, _, _ = diffuse(wall, first, 86400.0, shut, shut, tolerance=1e-5)

    assert np.abs(loose - tight).max() < 5e-3


def test_water_spreads_faster_where_it_is_wetter() -> None:
    """Of the same step, the wetter one has come further in ten minutes; plain diffusion does not care."""
    step = np.where(np.arange(CELLS) < 10, 1.0, 0.0)

    def reached(wall: MoldWall, height: float) -> float:
        return float(diffuse(wall, height * step, 600.0, shut, shut)[0][14] / height)

    assert reached(MoldWall(MIX, 30.0), 0.9) > 2 * reached(MoldWall(MIX, 30.0), 0.1)
    assert reached(plain(), 0.9) == pytest.approx(reached(plain(), 0.1), rel=0.02)


def test_the_wall_knows_its_capacity() -> None:
    wall = MoldWall(MIX, 30.0)

    assert wall.capacity == pytest.approx(REACHED_PORES[1] * porosity(MIX))
    assert wall.cell_mm * CELLS == pytest.approx(30.0)
    assert float(wall.free_water(1.0)) == pytest.approx(0.38, abs=0.005)


@pytest.mark.parametrize(
    ("change", "match"),
    [
        ({"thickness_mm": 9.9}, "thickness of the mold wall"),
        ({"thickness_mm": 151.0}, "thickness of the mold wall"),
        ({"thickness_mm": np.nan}, "thickness of the mold wall"),
        ({"diffusivity_m2_per_s": 0.0}, "diffusivity"),
        ({"diffusivity_m2_per_s": 1e-4}, "diffusivity"),
        ({"diffusivity_rise": -1.0}, "rise of the diffusivity"),
        ({"diffusivity_rise": 13.0}, "rise of the diffusivity"),
    ],
)
def test_impossible_walls_are_refused(change: dict[str, float], match: str) -> None:
    with pytest.raises(OutOfRange, match=match):
        MoldWall(**({"plaster": MIX, "thickness_mm": 30.0} | change))  # type: ignore[arg-type]
