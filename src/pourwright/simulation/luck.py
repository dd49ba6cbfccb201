"""Random numbers by address, compiled: seed, run, stream and place give the number."""

from __future__ import annotations

import numpy as np

from pourwright.simulation.compiled import compiled
from pourwright.simulation.problem import Counts, Floats, Ints

_STREAMS = np.uint64(1024)
_GOLDEN = np.uint64(0x9E3779B97F4A7C15)
_MIX_1 = np.uint64(0xBF58476D1CE4E5B9)
_MIX_2 = np.uint64(0x94D049BB133111EB)
_ONE, _KEPT, _SHIFT_1, _SHIFT_2, _SHIFT_3 = (np.uint64(n) for n in (1, 11, 30, 27, 31))
_TO_UNIT = 1.0 / (1 << 53)


@compiled
def mixed(z: np.uint64) -> np.uint64:
    """Mix 64 bits so that neighbors have nothing in common."""
    z = (z ^ (z >> _SHIFT_1)) * _MIX_1
    z = (z ^ (z >> _SHIFT_2)) * _MIX_2
    return z ^ (z >> _SHIFT_3)


@compiled
def state_of(seed: int, stream: int, run: int) -> np.uint64:
    """Return where the numbers of a run begin."""
    key = mixed(np.uint64(seed) * _STREAMS + np.uint64(stream))
    return mixed(key + (np.uint64(run) + _ONE) * _GOLDEN)


@compiled
def number_at(state: np.uint64, place: int) -> float:
    """Return the number at a place, in [0, 1)."""
    whole = mixed(state + np.uint64(place + 1) * _GOLDEN) >> _KEPT
    return float(whole) * _TO_UNIT


@compiled
def draw_uniforms(seed: int, stream: int, runs: Ints, drawn: Floats) -> None:
    """Fill (runs, places) with random numbers."""
    for row in range(drawn.shape[0]):
        state = state_of(seed, stream, runs[row])
        for place in range(drawn.shape[1]):
            drawn[row, place] = number_at(state, place)


@compiled
def count_passes(seed: int, stream: int, runs: Ints, share: Floats, counts: Counts) -> None:
    """Fill (runs, pieces + 1) with how many of the first n pieces pass, each with its run's share."""
    for row in range(counts.shape[0]):
        state, passed, own = state_of(seed, stream, runs[row]), 0, share[row]
        counts[row, 0] = 0
        for place in range(counts.shape[1] - 1):
            passed += number_at(state, place) < own
            counts[row, place + 1] = passed
