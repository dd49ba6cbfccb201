"""A temperature log's heat work as a figure with its range: ``figure cone`` and ``figure firing``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pourwright.calculators.question import Figure, number

if TYPE_CHECKING:
    from pourwright.materials.kiln.cones import Kind
    from pourwright.materials.ranges import FloatArray


def work_figure(
    minutes: FloatArray, temperatures_degc: FloatArray, cone: str, kind: Kind = "self-supporting"
) -> Figure:
    """Return how much of a cone's heat work a log or a schedule has done.

    The range takes the printed end 3 degC lower and higher.

    Parameters
    ----------
    minutes : array of shape (n,)
        Times, rising. [min]
    temperatures_degc : array of shape (n,)
        Temperature at the cone at each. [degC]
    cone : str
        From 019 to 10.
    kind : {"self-supporting", "large"}
        The kind of cone.

    Raises
    ------
    StudioError
        If the cone has no fit, or the log cannot be used.
    """
    from pourwright.materials.kiln.heat_work import (
        PRINTED_END_DEGC,
        bending,
        ramp_integral,
    )
    from pourwright.materials.kiln.holds import work_done

    done = work_done(minutes, temperatures_degc, cone, kind)
    fitted = bending(cone, kind)
    printed, low, high = (
        float(ramp_integral(fitted.end_degc + miss, fitted.energy_kj_per_mol))
        for miss in (0.0, PRINTED_END_DEGC, -PRINTED_END_DEGC)
    )
    return number(
        "work_done", f"of cone {cone}'s heat work", done, low=done * printed / low, high=done * printed / high,
        note="1 is a tip that touches", grade="weak: long holds are good to half a cone",
    )  # fmt: skip
