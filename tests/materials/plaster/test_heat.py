"""The heat equation with its source, against closed solutions and a general solver."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from pourwright.errors import OutOfRange
from pourwright.materials.plaster.heat import (
    CELLS,
    WET_CONDUCTIVITY_W_PER_M_K,
    SettingPart,
    ThermometerFit,
    curve_from_fit,
    fit_thermometer_log,
    heat_curve,
)
from pourwright.materials.plaster.mix import Plaster, mix_yield
from pourwright.materials.plaster.setting import (
    adiabatic_rise,
    conversion,
    mix_heat_capacity,
)
from tests.sources.plaster_transport import numbers, robin_core

MIX = Plaster("plaster", 70, "a test")


def part(thickness: float = 50.0, **change: float) -> SettingPart:
    return SettingPart(MIX, thickness, **change)  # type: ignore[arg-type]


@pytest.mark.parametrize("face", [10.0, 200.0, 1000.0])
@pytest.mark.parametrize("minutes", [10.0, 15.0, 19.0])
def test_cooling_agrees_with_carslaw_and_jaeger(face: float, minutes: float) -> None:
    """
    Conduction of Heat in Solids, 2nd ed. (1959), 3.11: a slab that loses heat to air,
    forty terms. Half a percent, as asked of the model.
    """
    cooled = heat_curve(
        part(30.0, start_c=40.0, room_c=10.0, face_w_per_m2_k=face), 120.0, 0.0, minutes / 60
    )
    expected = robin_core(*numbers(30.0, face, minutes))

    assert (cooled.core_c[-1] - 10.0) / 30.0 == pytest.approx(expected, rel=5e-3)


@pytest.mark.parametrize(("thickness", "faces"), [(50.0, 2), (100.0, 2), (30.0, 1)])
def test_setting_agrees_with_a_general_stiff_solver(thickness: float, faces: int) -> None:
    """
    SciPy's Radau on the same cells and the same equation, its tolerance a hundred
    times ours: a tenth of a percent of the rise.
    """
    made = SettingPart(MIX, thickness, open_faces=faces)
    depth, plaster = thickness / 1000 / faces, 1000 / float(mix_yield(MIX))
    cell = depth / CELLS
    inside = WET_CONDUCTIVITY_W_PER_M_K / cell**2
    out = 1 / (cell / 2 / WET_CONDUCTIVITY_W_PER_M_K + 1 / made.face_w_per_m2_k) / cell

    def rate(minute: float, t: np.ndarray) -> np.ndarray:
        share = conversion(minute)
        root = max(float(np.cbrt(share)), 1e-9)
        rest = max(float(np.cbrt(1 - share)), 1e-9)
        turning = 3 / (20 / root**2 + 15 / rest**2) if 0 < share < 1 else 0.0
        flow = np.zeros(CELLS)
        flow[1:] += inside * (t[:-1] - t[1:])
        flow[:-1] += inside * (t[1:] - t[:-1])
        flow[-1] += out * (made.room_c - t[-1])
        return np.asarray(
            (flow * 60 + plaster * 118e3 * turning) / (plaster * mix_heat_capacity(MIX, share))
        )

    ours = heat_curve(made, 12.0, 118.0, 2.0)
    # The conversion starts and ends with a kink: let the solver restart there.
    state, told = np.full(CELLS, 20.0), {}
    for begin, end in ((0.0, 2.0), (2.0, 37.0), (37.0, 120.0)):
        at = np.array(
            [m for m in (10.0, 20.0, 30.0, 35.0, 37.0, 60.0, 120.0) if begin < m <= end] or [end]
        )
        found = solve_ivp(rate, (begin, end), state, "Radau", t_eval=at, rtol=1e-6, atol=1e-6)
        told |= dict(zip(at, found.y.T, strict=True))
        state = found.y[:, -1]

    rise = max(profile.max() for profile in told.values()) - 20.0
    for minute, profile in told.items():
        mine = ours.temperature_c[round(minute)]
        assert np.abs(mine - profile).max() < 1e-3 * rise


@given(
    st.floats(10, 200), st.floats(30, 110), st.floats(80, 140), st.floats(5, 60),
    st.floats(5, 35), st.sampled_from([1, 2]),
)  # fmt: skip
@settings(max_examples=30)
def test_energy_closes(
    thickness: float, consistency: float, q: float, set_min: float, start: float, faces: int
) -> None:
    """What was set free is in the plaster or went out of the face: a tenth of a percent."""
    mix = Plaster("plaster", consistency, "a test")
    made = SettingPart(mix, thickness, faces, start_c=start)
    curve = heat_curve(made, set_min, q, 4.0)
    depth, plaster = thickness / 1000 / faces, 1000 / float(mix_yield(mix))
    turned = np.asarray(conversion(curve.minutes, set_min))
    capacity = plaster * np.asarray(mix_heat_capacity(mix, (turned[1:] + turned[:-1]) / 2))
    stored = (capacity * np.diff(curve.temperature_c.mean(axis=1))).sum() * depth

    assert curve.heat_j_per_m2 == pytest.approx(plaster * q * 1000 * turned[-1] * depth, rel=1e-9)
    assert stored + curve.lost_j_per_m2 == pytest.approx(curve.heat_j_per_m2, rel=1e-6)


def test_no_part_gets_hotter_than_one_that_loses_nothing() -> None:
    peaks = [heat_curve(part(thickness)).hottest_c for thickness in (10, 20, 50, 100, 200, 400)]
    times = [heat_curve(part(thickness)).hottest_min for thickness in (20, 50, 100, 200)]

    assert all(a < b for a, b in pairwise(peaks))
    assert peaks[-1] < 20 + adiabatic_rise(MIX, 118.0)
    assert all(a <= b for a, b in pairwise(times))


def test_a_sealed_part_reaches_the_adiabatic_rise() -> None:
    """Less what holding the heat at its 25 degC value costs: the path of the falling capacity."""
    sealed = heat_curve(part(50.0, face_w_per_m2_k=0.0), 12.0, 118.0, 1.0)
    share = np.linspace(0, 1, 2001)
    path = np.trapezoid(118e3 / np.asarray(mix_heat_capacity(MIX, share)), share)

    assert sealed.core_c[-1] - 20.0 == pytest.approx(path, rel=1e-3)
    assert 0 < adiabatic_rise(MIX, 118.0) - path < 1.6
    assert sealed.lost_j_per_m2 == 0.0


@pytest.mark.parametrize("faces", [1, 2])
@pytest.mark.parametrize(("start_c", "most_min"), [(15.0, 40.0), (22.0, 15.0)])
def test_a_thicker_part_is_hottest_later(faces, start_c, most_min):
    """By minutes where the mix went in warm, by half an hour where it was poured cold."""
    made = [
        heat_curve(part(one, open_faces=faces, start_c=start_c), 12.0, 105.0).hottest_min
        for one in (15.0, 30.0, 60.0, 120.0)
    ]

    assert made == sorted(made)
    assert made[-1] - made[0] < most_min


def test_the_face_is_cooler_than_the_middle_and_a_wet_mix_than_a_dense_one() -> None:
    curve = heat_curve(part())
    wetter = heat_curve(SettingPart(Plaster("plaster", 80, "a test"), 50.0))

    assert curve.face_c.max() < curve.core_c.max() == curve.hottest_c
    assert wetter.hottest_c < curve.hottest_c


def test_the_hottest_comes_before_all_has_turned() -> None:
    """J. Synchrotron Rad. (2019): the temperature peaks well before the reaction is complete."""
    for thickness in (10.0, 20.0, 50.0):
        curve = heat_curve(part(thickness))
        assert conversion(curve.hottest_min) < 1.0


def test_one_open_face_is_half_a_slab_of_twice_the_thickness() -> None:
    one = heat_curve(SettingPart(MIX, 25.0, open_faces=1))
    two = heat_curve(SettingPart(MIX, 50.0, open_faces=2))

    assert one.core_c == pytest.approx(two.core_c)
    assert one.face_c == pytest.approx(two.face_c)


@pytest.mark.parametrize(("set_min", "q"), [(12.0, 112.0), (18.0, 125.0), (8.0, 105.0)])
def test_a_thermometer_log_gives_its_plaster_back(set_min: float, q: float) -> None:
    """Synthetic logs of known plaster, read to half a degree with noise."""
    made = part(60.0)
    truth = heat_curve(made, set_min, q, 2.0)
    at = np.arange(4.0, 4 * set_min + 40, 4.0)
    noise = np.random.default_rng(5).normal(0, 0.2, at.size)
    read = np.round(2 * (np.interp(at, truth.minutes, truth.core_c) + noise)) / 2

    fit = fit_thermometer_log(made, list(at), list(read))

    assert fit.set_min == pytest.approx(set_min, rel=0.04)
    assert fit.heat_j_per_g == pytest.approx(q, rel=0.04)
    assert fit.off_k < 0.6
    assert fit.readings == at.size


def test_the_fit_carries_over_to_another_part() -> None:
    fit = ThermometerFit(15.0, 110.0, 0.2, 10)

    assert (
        curve_from_fit(fit, part(30.0)).hottest_c == heat_curve(part(30.0), 15.0, 110.0).hottest_c
    )


RISING = [21, 24, 30, 40, 48, 50]


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: part(4.9), "thickness of the part"),
        (lambda: part(401.0), "thickness of the part"),
        (lambda: part(np.nan), "thickness of the part"),
        (lambda: part(open_faces=3), "open faces"),
        (lambda: part(open_faces=0), "open faces"),
        (lambda: part(start_c=46.0), "temperature of the mix"),
        (lambda: part(room_c=1.0), "room temperature"),
        (lambda: part(face_w_per_m2_k=-1.0), "heat transfer at the face"),
        (lambda: heat_curve(part(), 12.0, 141.0), "heat of setting"),
        (lambda: heat_curve(part(), 12.0, -1.0), "heat of setting"),
        (lambda: heat_curve(part(), 1.0), "set time"),
        (lambda: heat_curve(part(), hours=0.0), "time to follow"),
        (lambda: fit_thermometer_log(part(), [1, 2, 3], [20, 21, 20]), "number of readings"),
        (lambda: fit_thermometer_log(part(), range(6), RISING), "Keep reading until it cools"),
        (lambda: fit_thermometer_log(part(), range(7), RISING), "number of readings"),
        (
            lambda: fit_thermometer_log(part(), [0, 5, 5, 9, 12, 15], RISING),
            "one reading to the next",
        ),
        (lambda: fit_thermometer_log(part(), range(-1, 5), RISING), "time of a reading"),
        (
            lambda: fit_thermometer_log(part(), range(0, 60, 10), [68, 75, 99, 120, 118, 110]),
            "degF needs converting",
        ),
        (
            lambda: fit_thermometer_log(part(), range(0, 60, 10), [20, 60, 20, 60, 20, 20]),
            "thermometer in the middle",
        ),
    ],
)
def test_impossible_parts_and_logs_are_refused(call: object, match: str) -> None:
    with pytest.raises(OutOfRange, match=match):
        call()  # type: ignore[operator]


@pytest.mark.parametrize("face", [10.0, 200.0, 1000.0])
def test_the_open_face_cools_as_carslaw_and_jaeger_have_it(face: float) -> None:
    """The same series at the face itself, half a percent."""
    made = part(30.0, start_c=40.0, room_c=10.0, face_w_per_m2_k=face)
    cooled = heat_curve(made, 120.0, 0.0, 15.0 / 60)
    expected = robin_core(*numbers(30.0, face, 15.0), place=1.0)

    assert (cooled.face_c[-1] - 10.0) / 30.0 == pytest.approx(expected, rel=5e-3)


def test_the_usual_plaster_is_what_the_setting_page_says() -> None:
    usual, told = heat_curve(part()), heat_curve(part(), 12.0, 118.0, 3.0)

    assert usual.temperature_c == pytest.approx(told.temperature_c)
    assert usual.minutes[-1] == 180.0
    assert curve_from_fit(ThermometerFit(12.0, 118.0, 0.1, 9), part()).minutes[-1] == 180.0


def test_a_log_may_end_half_a_degree_below_its_hottest() -> None:
    truth = heat_curve(part(60.0), 12.0, 118.0, 2.0)
    at = [5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0]
    read = list(np.interp(at, truth.minutes, truth.core_c))
    read[-1] = max(read) - 0.5

    assert fit_thermometer_log(part(60.0), at, read).readings == 8


def test_the_edges_of_a_part_are_taken() -> None:
    for fine in ({"thickness": 5.0}, {"start_c": 2.0}, {"start_c": 45.0}, {"room_c": 2.0},
                 {"room_c": 45.0}, {"face_w_per_m2_k": 1000.0}, {"face_w_per_m2_k": 0.0}):  # fmt: skip
        part(**({"thickness": 50.0} | fine))
    for beyond in ({"thickness": 4.9}, {"start_c": 1.9}, {"room_c": 1.9}, {"room_c": 45.1},
                   {"face_w_per_m2_k": 1000.5}):  # fmt: skip
        with pytest.raises(OutOfRange):
            part(**({"thickness": 50.0} | beyond))


def test_a_face_that_loses_little_loses_something() -> None:
    """
    Lumped: half a watt a square meter and kelvin from two faces. Hardly a kelvin across, the part
    falls by ``exp(-2 h t / (rho c d))``, as any text on lumped cooling has it.
    """
    made = part(20.0, face_w_per_m2_k=0.5, open_faces=2)
    closed = heat_curve(part(20.0, face_w_per_m2_k=0.0, open_faces=2), 10.0, 112.0, 10.0)
    curve = heat_curve(made, 10.0, 112.0, 10.0)

    assert closed.face_c[-1] - curve.face_c[-1] > 5.0
    late = curve.minutes > 120
    over = np.log(curve.face_c[late] - made.room_c)
    slope_per_s = (over[-1] - over[0]) / (60 * np.ptp(curve.minutes[late]))
    # 20 mm of a square meter is 20 l.
    capacity_j_per_m2_k = 20.0 / float(mix_yield(MIX)) * float(mix_heat_capacity(MIX, 1.0))
    assert slope_per_s == pytest.approx(-2 * 0.5 / capacity_j_per_m2_k, rel=0.03)
