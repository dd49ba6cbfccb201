"""Batches: proved least, equal to trying every partition, and to published problems."""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourwright.errors import NotDoable, OutOfRange, StudioError
from pourwright.simulation.plaster_batches import Batching, least_batches
from tests.ledger.toy import rounds
from tests.sources.bin_packing import instance


def partitions(parts: Sequence[int]) -> Iterator[list[list[int]]]:
    """Yield every way of sorting the copies into batches."""
    if not parts:
        yield []
        return
    for rest in partitions(parts[1:]):
        yield [[parts[0]], *rest]
        for at in range(len(rest)):
            yield [*rest[:at], [parts[0], *rest[at]], *rest[at + 1 :]]


def fewest_of_all(
    volumes: Sequence[Fraction], counts: Sequence[int], at_most: Sequence[int], room: Fraction
) -> int:
    """Return the fewest batches by trying every partition."""
    copies = [part for part, count in enumerate(counts) for _ in range(count)]
    return min(
        len(ways)
        for ways in partitions(copies)
        if all(
            sum(volumes[part] for part in batch) <= room
            and all(batch.count(part) <= at_most[part] for part in set(batch))
            for batch in ways
        )
    )


def bound_l2(sizes: Sequence[int], room: int) -> int:
    """Return the bound L2 of Martello and Toth (1990), part by part as they define it."""
    best = 0
    for alpha in range(room // 2 + 1):
        j1 = [w for w in sizes if w > room - alpha]
        j2 = [w for w in sizes if room - alpha >= w > room / 2]
        j3 = [w for w in sizes if room / 2 >= w >= alpha]
        over = sum(j3) - (len(j2) * room - sum(j2))
        best = max(best, len(j1) + len(j2) + max(0, math.ceil(over / room)))
    return best


def first_fit_decreasing(sizes: Sequence[int], room: int) -> int:
    """Return the bins of first fit decreasing."""
    free: list[int] = []
    for size in sorted(sizes, reverse=True):
        for at, left in enumerate(free):
            if left >= size:
                free[at] -= size
                break
        else:
            free.append(room - size)
    return len(free)


def of_sizes(sizes: Sequence[int], room: int) -> Batching:
    """Return the batches for plain bin packing."""
    counted = Counter(sizes)
    counts = list(counted.values())
    return least_batches([float(size) for size in counted], counts, counts, float(room))


def check_batches(
    batching: Batching,
    volumes: Sequence[float],
    counts: Sequence[int],
    at_most: Sequence[int],
    capacity: float,
) -> None:
    """Assert that every copy is poured once, in batches that can be mixed."""
    assert [sum(column) for column in zip(*batching.batches, strict=True)] == list(counts)
    for batch, volume in zip(batching.batches, batching.volumes_l, strict=True):
        assert sum(batch) > 0
        assert all(k <= most for k, most in zip(batch, at_most, strict=True))
        assert volume == pytest.approx(
            math.fsum(v * k for v, k in zip(volumes, batch, strict=True))
        )
        assert volume <= capacity + 1e-6 * (1 + sum(batch))
    assert 0 < batching.least_bound <= len(batching.batches)


small = (
    st.integers(1, 4)
    .flatmap(
        lambda parts: st.tuples(
            st.lists(st.integers(1, 12), min_size=parts, max_size=parts),
            st.lists(st.integers(1, 3), min_size=parts, max_size=parts),
            st.lists(st.integers(1, 3), min_size=parts, max_size=parts),
            st.integers(12, 30),
        )
    )
    .filter(lambda case: sum(case[1]) <= 7)
)


@pytest.mark.rounds
@given(small, st.sampled_from([1, 10, 3, 7]))
@settings(max_examples=rounds(80, 250))
def test_batches_are_as_few_as_trying_every_partition_finds(
    case: tuple[list[int], list[int], list[int], int], divisor: int
) -> None:
    """The second method is exhaustive and computes in fractions, so that 3 thirds are 1."""
    sizes, counts, at_most, room = case
    exact = [Fraction(size, divisor) for size in sizes]
    volumes, capacity = [float(size) for size in exact], float(Fraction(room, divisor))

    batching = least_batches(volumes, counts, at_most, capacity)

    check_batches(batching, volumes, counts, at_most, capacity)
    assert batching.proved
    assert len(batching.batches) == fewest_of_all(exact, counts, at_most, Fraction(room, divisor))


@pytest.mark.parametrize(
    ("masters", "capacity"),
    [
        *((masters, capacity) for capacity in (3.0, 5.24, 10.0) for masters in (1, 2)),
        (50, 3.0),
        (50, 5.24),
        pytest.param(50, 10.0, marks=pytest.mark.whole),  # takes as long as all the others
    ],
)
def test_fifty_molds_of_twelve_parts_are_proved_least(masters: int, capacity: float) -> None:
    """A size that the plain model with a yes or no for each part and batch never proves."""
    rng = random.Random(12)
    volumes = [rng.randint(300, 2600) / 1000 for _ in range(12)]
    at_most = [masters] * 12

    batching = least_batches(volumes, [50] * 12, at_most, capacity)

    check_batches(batching, volumes, [50] * 12, at_most, capacity)
    assert batching.proved


@pytest.mark.parametrize("triplets", [5, 10, 20])
def test_triplets_that_fill_their_bins_exactly_are_found(triplets: int) -> None:
    """
    Three parts were cut from each full batch, so the fewest are known: the "triplets" of
    E. Falkenauer, Journal of Heuristics 2 (1996). First fit decreasing misses them.
    """
    rng = random.Random(triplets)
    sizes = []
    for _ in range(triplets):
        large = rng.randint(380, 490)
        small_one = rng.randint(250, (1000 - large) // 2)
        sizes += [large, small_one, 1000 - large - small_one]

    batching = of_sizes(sizes, 1000)

    assert len(batching.batches) == triplets == batching.least_bound
    assert first_fit_decreasing(sizes, 1000) > triplets


@pytest.mark.whole
def test_a_published_problem_takes_the_published_number_of_batches() -> None:
    """E. Falkenauer (1996), OR-Library binpack1, u120_00: 48 bins; his triplets above are quicker."""
    room, fewest, sizes = instance("u120_00")

    batching = of_sizes(sizes, room)

    assert len(batching.batches) == batching.least_bound == fewest


@pytest.mark.parametrize("name", ["u120_08", "u120_19"])
def test_too_many_patterns_are_answered_with_an_honest_bound(name: str) -> None:
    """
    The published optimum (OR-Library binpack1) lies between bound and answer.

    Both have more patterns than are listed, so first fit answers. L2 equals the
    published optimum, which is how I. P. Gent settled them (Journal of Heuristics 3, 1998).
    """
    room, fewest, sizes = instance(name)

    batching = of_sizes(sizes, room)

    assert batching.least_bound == fewest == bound_l2(sizes, room)
    assert len(batching.batches) == fewest + 1
    assert not batching.proved


@given(st.lists(st.integers(1, 60), min_size=1, max_size=24), st.integers(60, 120))
@settings(max_examples=100)
def test_batches_lie_between_the_classical_bounds(sizes: list[int], room: int) -> None:
    """
    Not below L2 (Martello and Toth, Discrete Applied Mathematics 28, 1990), and
    first fit decreasing takes at most 11/9 of them and 6/9 (G. Dosa, "The tight bound of
    first fit decreasing bin-packing algorithm", ESCAPE 2007).
    """
    fewest = len(of_sizes(sizes, room).batches)
    greedy = first_fit_decreasing(sizes, room)

    assert bound_l2(sizes, room) <= fewest <= greedy
    assert 9 * greedy <= 11 * fewest + 6


def test_the_worst_case_of_first_fit_is_batched_in_six() -> None:
    """
    First fit decreasing takes 8 = 11/9 * 6 + 6/9, all that Dosa's bound (2007) allows.

    The family is D. S. Johnson's ("Near-optimal bin packing algorithms", MIT, 1973), with
    parts a little over and under a half and quarters. Six full batches hold them: four of
    51 + 26 + 23 and two of 27 + 27 + 23 + 23.
    """
    sizes = [51] * 4 + [27] * 4 + [26] * 4 + [23] * 8

    assert len(of_sizes(sizes, 100).batches) == 6
    assert first_fit_decreasing(sizes, 100) == 8


cases = st.integers(1, 5).flatmap(
    lambda parts: st.tuples(
        st.lists(st.floats(0.05, 4.0), min_size=parts, max_size=parts),
        st.lists(st.integers(0, 6), min_size=parts, max_size=parts).filter(any),
        st.lists(st.integers(1, 3), min_size=parts, max_size=parts),
        st.floats(4.0, 12.0),
    )
)


@pytest.mark.rounds
@given(cases, st.floats(1.0, 2.0))
@settings(max_examples=rounds(12, 30))
def test_a_larger_bucket_never_needs_more_batches(
    case: tuple[list[float], list[int], list[int], float], factor: float
) -> None:
    """More room is only room that need not be used."""
    volumes, counts, at_most, capacity = case

    few = least_batches(volumes, counts, at_most, capacity)
    fewer = least_batches(volumes, counts, at_most, capacity * factor)

    check_batches(few, volumes, counts, at_most, capacity)
    assert len(fewer.batches) <= len(few.batches)


@pytest.mark.rounds
@given(cases)
@settings(max_examples=rounds(12, 30))
def test_more_masters_never_need_more_batches_and_more_parts_never_fewer(
    case: tuple[list[float], list[int], list[int], float],
) -> None:
    """Nothing forces a master to be used, and a further part can only ask for more."""
    volumes, counts, at_most, capacity = case
    batches = len(least_batches(volumes, counts, at_most, capacity).batches)

    assert (
        len(least_batches(volumes, counts, [m + 1 for m in at_most], capacity).batches) <= batches
    )
    assert (
        len(least_batches(volumes, [n + 1 for n in counts], at_most, capacity).batches) >= batches
    )


@given(cases)
@settings(max_examples=15)
def test_the_same_question_gives_the_same_batches(
    case: tuple[list[float], list[int], list[int], float],
) -> None:
    """Same bytes: no clock and no chance decides."""
    assert repr(least_batches(*case)) == repr(least_batches(*case))


def test_batches_are_even_where_that_costs_no_further_batch() -> None:
    """Nine and one liters would do in two batches; five and five are lighter to lift."""
    assert least_batches([1.0], [10], [10], 9.0).volumes_l == (5.0, 5.0)


def test_no_part_is_left_over_and_none_is_poured_for_nothing() -> None:
    """A part of which none is wanted may be as large as it likes."""
    batching = least_batches([20.0, 2.0], [0, 3], [1, 1], 9.0)

    assert batching.batches == ((0, 1),) * 3
    assert batching.proved


def test_nothing_to_pour_takes_no_batches() -> None:
    """An edition that has all its molds."""
    assert least_batches([2.0], [0], [1], 9.0) == Batching((), (), 0)


def test_three_tenths_fill_three_tenths() -> None:
    """0.1 + 0.1 + 0.1 is more than 0.3 in floats; in a bucket it is not."""
    assert len(least_batches([0.1], [3], [3], 0.3).batches) == 1


def test_a_bucket_without_a_limit_takes_all_that_the_masters_allow() -> None:
    """The masters alone decide then."""
    assert least_batches([2.0, 1.0], [4, 4], [2, 1], math.inf).least_bound == 4


def test_a_part_larger_than_a_batch_is_refused_by_name() -> None:
    """A part cannot be poured from two batches."""
    with pytest.raises(
        NotDoable, match=r"the base takes 12\.00 l and the largest batch fills 9\.52 l"
    ):
        least_batches([3.0, 12.0], [1, 1], [1, 1], 9.52, names=["the lid", "the base"])


@pytest.mark.parametrize(
    ("volume", "count", "masters", "capacity"),
    [
        (0.0, 1, 1, 9.0),
        (-1.0, 1, 1, 9.0),
        (math.nan, 1, 1, 9.0),
        (math.inf, 1, 1, math.inf),
        (2.0, -1, 1, 9.0),
        (2.0, 1, 0, 9.0),
        (2.0, 1, 1, 0.0),
        (2.0, 1, 1, math.nan),
    ],
)
def test_numbers_that_cannot_be_are_refused(
    volume: float, count: int, masters: int, capacity: float
) -> None:
    """Nothing but our own errors leaves the module."""
    with pytest.raises(OutOfRange) as caught:
        least_batches([volume], [count], [masters], capacity)
    assert isinstance(caught.value, StudioError)
