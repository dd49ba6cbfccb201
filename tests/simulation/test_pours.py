"""The pour list: every part once, on the scale's step, never short and never over the bucket."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourwright.errors import NotDoable, OutOfRange
from pourwright.simulation.pours import (
    Mix,
    PourList,
    largest_mix_l,
    pour_list,
    usable_l,
    weigh,
)
from pourwright.simulation.rounds import PourTimes
from pourwright.simulation.sessions import plan_sessions
from tests.ledger.toy import rounds

TIMES = PourTimes(mix_and_pour_min=15, set_min=60, turnaround_min=30)

mixes = st.builds(
    Mix,
    consistency=st.floats(25, 120),
    wet_kg_per_l=st.floats(1.3, 1.95),
    spare=st.floats(0.0, 0.2),
    step_kg=st.sampled_from([0.001, 0.005, 0.01, 0.02]),
    limit_l=st.floats(4.0, 30.0),
)


def on_step(mass_kg: float, step_kg: float) -> bool:
    """Whether a scale of this step can show the mass."""
    return math.isclose(mass_kg / step_kg, round(mass_kg / step_kg), abs_tol=1e-6)


@given(mixes, st.floats(0.02, 1.0))
@settings(max_examples=300)
def test_a_weighed_batch_fills_its_parts_and_fits_its_bucket(mix: Mix, share: float) -> None:
    """Mass is kept, so what is weighed over the mix's density is what it fills."""
    fills_l = share * usable_l(mix)

    weighed = weigh(fills_l, mix)

    mass_kg = weighed.water_kg + weighed.plaster_kg
    assert weighed.volume_l == pytest.approx(mass_kg / mix.wet_kg_per_l)
    assert fills_l - 1e-4 <= weighed.volume_l <= mix.limit_l + 1e-6
    assert on_step(weighed.water_kg, mix.step_kg)
    assert on_step(weighed.plaster_kg, mix.step_kg)
    exact_water_kg = weighed.plaster_kg * mix.consistency / 100
    assert abs(weighed.water_kg - exact_water_kg) <= mix.step_kg / 2 + 1e-9


@given(mixes, st.floats(0.1, 0.9))
@settings(max_examples=100)
def test_the_spare_is_there_and_rounding_adds_little(mix: Mix, share: float) -> None:
    """Where the bucket has room: spare and at most two steps of plaster with their water."""
    fills_l = share * usable_l(mix)

    left_l = weigh(fills_l, mix).volume_l - fills_l

    step_l = mix.step_kg / mix.wet_kg_per_l
    assert left_l >= fills_l * mix.spare - step_l / 2 - 1e-9
    most = fills_l * mix.spare + 2 * step_l * (1 + mix.consistency / 100) + step_l
    assert left_l <= most


def test_two_quarts_of_water_at_seventy_take_six_pounds_of_plaster() -> None:
    """
    A batch with 2 US quarts of water at consistency 70 takes 5.9 to 6.0 lb of plaster.

    Common practice, no source. The mix's density does not matter to the ratio.
    """
    water_kg = 2 * 0.946352946 * 0.998
    mix = Mix(70, 1.58, step_kg=0.001)

    weighed = weigh(water_kg * (1 + 1 / 0.70) / 1.58, mix)

    assert weighed.water_kg == pytest.approx(water_kg, abs=0.002)
    assert 5.9 <= weighed.plaster_kg / 0.45359237 <= 6.0


def test_the_published_mix_is_weighed() -> None:
    """
    A US plaster maker's data sheet for pottery plaster, typical physical properties:
    consistency 70, 99.0 lb/ft3 wet. A cubic foot of it is 99.0 lb, 70 to 100 in water.
    """
    pound_kg, cubic_foot_l = 0.45359237, 28.316846592
    mix = Mix(70, 99.0 * pound_kg / cubic_foot_l, step_kg=0.001)

    weighed = weigh(cubic_foot_l, mix)

    assert weighed.plaster_kg / pound_kg == pytest.approx(99.0 / 1.7, abs=0.005)
    assert weighed.water_kg / pound_kg == pytest.approx(99.0 * 0.7 / 1.7, abs=0.005)


molds = st.integers(1, 4).flatmap(
    lambda parts: st.tuples(
        st.lists(st.floats(0.1, 3.0), min_size=parts, max_size=parts),
        st.lists(st.integers(1, 2), min_size=parts, max_size=parts),
        st.integers(1, 12),
    )
)


def listed(case: tuple[list[float], list[int], int], mix: Mix) -> PourList:
    """Return the pour list of so many molds."""
    volumes, masters, wanted = case
    sessions = plan_sessions(
        wanted, volumes, masters, usable_l(mix), session_min=720, setup_min=60, times=TIMES
    )
    return pour_list(sessions, [f"part {n}" for n in range(len(volumes))], mix)


@pytest.mark.rounds
@given(molds, mixes)
@settings(max_examples=rounds(10, 60))
def test_every_part_is_poured_once_and_the_sums_are_the_totals(
    case: tuple[list[float], list[int], int], mix: Mix
) -> None:
    """Volumes, masses and parts each add up."""
    volumes, _, wanted = case

    plan = listed(case, mix)

    parts = [part for pour in plan.pours for part in pour.parts]
    assert sorted(parts) == [
        (m, f"part {n}") for m in range(1, wanted + 1) for n in range(len(volumes))
    ]
    assert math.fsum(p.fills_l for p in plan.pours) == pytest.approx(wanted * math.fsum(volumes))
    assert plan.total_water_kg == pytest.approx(sum(p.water_kg for p in plan.pours))
    assert plan.total_plaster_kg == pytest.approx(sum(p.plaster_kg for p in plan.pours))
    for pour in plan.pours:
        size = math.fsum(volumes[int(name.split()[1])] for _, name in pour.parts)
        assert pour.fills_l == pytest.approx(size)
        assert pour.leftover_l == pytest.approx(pour.volume_l - size, abs=2e-4)
        off = abs(100 * pour.water_kg / pour.plaster_kg - mix.consistency)
        assert off <= plan.consistency_off + 1e-9
        assert off <= 50 * mix.step_kg / pour.plaster_kg + 1e-6
    assert 1 <= plan.least_batches <= len(plan.pours)


@pytest.mark.rounds
@given(molds, mixes)
@settings(max_examples=rounds(8, 40))
def test_the_list_is_in_the_order_of_work_and_molds(
    case: tuple[list[float], list[int], int], mix: Mix
) -> None:
    """Sessions, batches and the copies of each part count up."""
    plan = listed(case, mix)

    order = [(pour.session, pour.number) for pour in plan.pours]
    assert order == sorted(order)
    starts = [(pour.session, pour.starts_min) for pour in plan.pours]
    assert starts == sorted(starts)
    for name in {name for pour in plan.pours for _, name in pour.parts}:
        copies = [mold for pour in plan.pours for mold, part in pour.parts if part == name]
        assert copies == sorted(copies)


@pytest.mark.rounds
@given(molds, mixes)
@settings(max_examples=rounds(2, 30))
def test_twice_the_molds_take_about_twice_the_plaster(
    case: tuple[list[float], list[int], int], mix: Mix
) -> None:
    """But for the rounding of each batch, a step up at most twice and never down with a spare."""
    volumes, masters, wanted = case
    one, two = listed(case, mix), listed((volumes, masters, 2 * wanted), mix)

    slack = 2 * mix.step_kg * (2 * len(one.pours) + len(two.pours))
    spare_kg = mix.spare * two.total_plaster_kg  # a full bucket may leave part of the spare out
    assert abs(two.total_plaster_kg - 2 * one.total_plaster_kg) <= slack + spare_kg


def test_a_full_bucket_still_fits_what_the_scale_adds() -> None:
    """Without a spare the largest batch is what the scale can weigh within the bucket."""
    mix = Mix(70, 1.58, step_kg=0.5, limit_l=10.0)

    fills_l = usable_l(mix)

    assert 9.0 < fills_l < 10.0
    assert weigh(fills_l, mix).volume_l <= 10.0
    with pytest.raises(NotDoable, match="do not fit into a batch of 10.00 l"):
        weigh(10.0, mix)


def test_bucket_and_mixer_both_limit_a_batch() -> None:
    """The smaller of the two counts."""
    assert largest_mix_l(1.6, bucket_l=10.0) == 10.0
    assert largest_mix_l(1.6, bucket_l=10.0, mixer_kg=8.0) == 5.0
    assert largest_mix_l(1.6) == math.inf
    assert usable_l(Mix(70, 1.6)) == math.inf


def test_a_scale_too_coarse_is_named() -> None:
    """A bathroom scale cannot weigh the water for a cup."""
    with pytest.raises(NotDoable, match="steps of 1 kg is too coarse"):
        weigh(0.3, Mix(30, 1.9, step_kg=1.0))
    with pytest.raises(NotDoable, match="too coarse"):
        usable_l(Mix(70, 1.58, step_kg=1.0, limit_l=0.5))


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("consistency", 0.0),
        ("consistency", math.nan),
        ("wet_kg_per_l", -1.0),
        ("spare", -0.1),
        ("spare", 1.5),
        ("step_kg", 0.0),
        ("limit_l", 0.0),
        ("limit_l", math.nan),
    ],
)
def test_figures_that_cannot_be_are_refused(field: str, value: float) -> None:
    """Nothing but our own errors leaves the module."""
    with pytest.raises(OutOfRange):
        Mix(**{"consistency": 70.0, "wet_kg_per_l": 1.58, field: value})


@pytest.mark.parametrize("fills_l", [0.0, -1.0, math.nan, math.inf])
def test_volumes_that_cannot_be_are_refused(fills_l: float) -> None:
    """A batch of nothing is not weighed."""
    with pytest.raises(OutOfRange):
        weigh(fills_l, Mix(70, 1.58))
