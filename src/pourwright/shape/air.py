"""Where air stays when a mold is filled through its opening: every top of the piece below it."""

from __future__ import annotations

import numpy as np

from pourwright.shape.edges import edges_of
from pourwright.shape.mesh import Mesh, as_place
from pourwright.shape.records import Air

LEAST_MM = 1.0
"""Tops that stand out less above what they hang together with are not told. [mm]"""


def air_of(inside: Mesh) -> tuple[Air, ...]:
    """Return where air stays while slip rises, the deepest first.

    Slip rises everywhere alike. Where a place of the surface is higher than all around it and no
    way leads up from there to the opening, air stays, as deep as one would have to go down to
    come up to a higher place.

    Parameters
    ----------
    inside : Mesh
        The piece with the spare on its opening, z up.
    """
    heights = inside.vertices_mm[:, 2]
    order = np.argsort(-heights, kind="stable")
    rank = np.empty(len(order), dtype=np.int64)
    rank[order] = np.arange(len(order))
    ends = edges_of(inside.faces).ends
    # each edge belongs to its lower end, and joins it to what is higher
    lower_first = np.where((rank[ends[:, 0]] > rank[ends[:, 1]])[:, None], ends, ends[:, ::-1])
    by_lower = lower_first[np.argsort(rank[lower_first[:, 0]], kind="stable")]
    lower, higher = by_lower[:, 0].tolist(), by_lower[:, 1].tolist()
    top = list(range(len(order)))  # the highest place of all that hangs together with each

    def top_of(one: int) -> int:
        while top[one] != one:
            top[one] = top[top[one]]
            one = top[one]
        return one

    # a recess from below has a top as well, but slip is above it
    upward = np.zeros(len(order))
    np.add.at(upward, inside.faces.ravel(), np.repeat(inside.crosses_mm2[:, 2], 3))
    found = []
    for low, high in zip(lower, higher, strict=True):
        first, second = top_of(low), top_of(high)
        if first == second:
            continue
        less, more = sorted((first, second), key=lambda one: -int(rank[one]))
        top[less] = more
        deep = float(heights[less] - heights[low])
        if deep >= LEAST_MM and upward[less] > 0:
            found.append(Air(as_place(inside.vertices_mm[less]), deep))
    return tuple(sorted(found, key=lambda one: -one.deep_mm))
