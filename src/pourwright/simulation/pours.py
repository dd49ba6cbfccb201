"""The pour list: what is weighed for each batch, and which parts it fills.

A batch is mixed for the parts it fills and some spare. Its plaster is rounded
to the scale's step, up, so that it does not run short; the water then follows
the consistency, to the step. Rounding changes the mix a little; the list says
by how much.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourwright.errors import NotDoable, OutOfRange
from pourwright.simulation.sessions import SessionCapacity

_NOISE = 1e-9  # what floats may add to a whole number of steps
_DROP_L = 1e-4  # a tenth of a milliliter: batches are composed to the microliter


@dataclass(frozen=True, slots=True)
class Mix:
    """A plaster at its consistency, as the weighing needs it.

    Parameters
    ----------
    consistency : float
        Parts of water to 100 parts of plaster, by mass. [-]
    wet_kg_per_l : float
        What a liter of the mix weighs. [kg/l]
    spare : float
        Added to what the parts take, as a share of it. [-]
    step_kg : float
        What the scale shows. [kg]
    limit_l : float
        The largest mix; see `largest_mix_l`. [l]
    """

    consistency: float
    wet_kg_per_l: float
    spare: float = 0.0
    step_kg: float = 0.01
    limit_l: float = math.inf

    def __post_init__(self) -> None:
        """Refuse figures that no mix and no scale can have."""
        _require("the consistency", self.consistency, "parts of water to 100 of plaster")
        _require("what a liter of the mix weighs", self.wet_kg_per_l, "kg")
        _require("the scale's step", self.step_kg, "kg")
        if not 0 <= self.spare <= 1:
            raise OutOfRange("the spare of a batch", self.spare, "", "between 0 and 1")
        if not self.limit_l > 0:
            raise OutOfRange("the largest mix", self.limit_l, "l", "more than 0")

    @property
    def plaster_kg_per_l(self) -> float:
        """The plaster in a liter of the mix [kg/l]."""
        return self.wet_kg_per_l / (1 + self.consistency / 100)


@dataclass(frozen=True, slots=True)
class Weighed:
    """Water and plaster on the scale's step.

    Parameters
    ----------
    water_kg, plaster_kg : float
        What is weighed. [kg]
    volume_l : float
        What they fill together. [l]
    """

    water_kg: float
    plaster_kg: float
    volume_l: float


@dataclass(frozen=True, slots=True)
class Pour:
    """One batch of the list.

    Parameters
    ----------
    session, number : int
        The pouring session, and the batch in it in the order of pouring, from 1.
    parts : tuple of (int, str)
        The mold's number, from 1, and the part's name, for each part it fills.
    fills_l : float
        What the parts take. [l]
    volume_l : float
        What is mixed, spare and rounding included. [l]
    water_kg, plaster_kg : float
        What is weighed, on the scale's step. [kg]
    leftover_l : float
        What stays in the bucket: spare and rounding. [l]
    starts_min : float
        When hands start on it, from the start of the session. [min]
    mixes : int
        How many batches of its own recipe make it up, mixed one after the other. [-]
    """

    session: int
    number: int
    parts: tuple[tuple[int, str], ...]
    fills_l: float
    volume_l: float
    water_kg: float
    plaster_kg: float
    leftover_l: float
    starts_min: float
    mixes: int = 1


@dataclass(frozen=True, slots=True)
class PourList:
    """All batches of all sessions, and their sums.

    Parameters
    ----------
    pours : tuple of Pour
        In the order of pouring.
    total_water_kg, total_plaster_kg : float
        Sums over the batches. [kg]
    leftover_l : float
        Sum over the batches. [l]
    consistency_off : float
        The most that rounding moves a batch off its consistency. [parts to 100]
    least_batches : int
        No way of batching these sessions needs fewer batches. [-]
    """

    pours: tuple[Pour, ...]
    total_water_kg: float
    total_plaster_kg: float
    leftover_l: float
    consistency_off: float
    least_batches: int

    @property
    def proved(self) -> bool:
        """Whether it is proved that no fewer batches do."""
        return len(self.pours) == self.least_batches


def _require(what: str, value: float, unit: str) -> None:
    if not 0 < value < math.inf:  # also refuses nan
        raise OutOfRange(what, value, unit, "more than 0")


def largest_mix_l(
    wet_kg_per_l: float, *, bucket_l: float | None = None, mixer_kg: float | None = None
) -> float:
    """Return the largest mix that both the bucket and the mixer take.

    Parameters
    ----------
    wet_kg_per_l : float
        What a liter of the mix weighs. [kg/l]
    bucket_l : float, optional
        The largest mix the bucket takes. [l]
    mixer_kg : float, optional
        The largest mix the mixer turns. [kg]

    Returns
    -------
    float
        Infinity if neither is given. [l]

    Raises
    ------
    OutOfRange
        If a number is not more than zero.

    Examples
    --------
    >>> largest_mix_l(1.6, bucket_l=10.0, mixer_kg=12.0)
    7.5
    """
    _require("what a liter of the mix weighs", wet_kg_per_l, "kg")
    if bucket_l is not None:
        _require("the largest mix the bucket takes", bucket_l, "l")
    if mixer_kg is not None:
        _require("the largest mix the mixer turns", mixer_kg, "kg")
    by_mixer_l = math.inf if mixer_kg is None else mixer_kg / wet_kg_per_l
    return min(math.inf if bucket_l is None else bucket_l, by_mixer_l)


def usable_l(mix: Mix) -> float:
    """Return what the parts of one batch may take together.

    The spare has to fit into the bucket and the mixer as well, and so has what
    the scale's step adds.

    Parameters
    ----------
    mix : Mix
        The plaster, the spare, the scale and the largest mix.

    Returns
    -------
    float
        The volume of parts that a batch may fill, nothing added; infinity if
        nothing limits it. [l]

    Raises
    ------
    NotDoable
        If the scale cannot weigh a batch that small.

    Examples
    --------
    A bucket for 10 liters and 5 % of spare:

    >>> round(usable_l(Mix(70, 1.58, spare=0.05, limit_l=10.0)), 2)
    9.52
    """
    if mix.limit_l == math.inf:
        return math.inf
    weighable_l = _mix_l(_most_steps(mix), mix)
    return min(mix.limit_l / (1 + mix.spare), weighable_l)


def weigh(fills_l: float, mix: Mix, mixes: int = 1) -> Weighed:
    """Return the water and the plaster for a batch, on the scale's step.

    Parameters
    ----------
    fills_l : float
        What the parts take, nothing added. [l]
    mix : Mix
        The plaster, the spare, the scale and the largest mix.
    mixes : int, optional
        In how many equal mixes it is made, each of them on the step. [-]

    Returns
    -------
    Weighed
        Never less than the parts take, never more than the largest mix. The
        plaster includes the spare and is rounded up, unless the largest mix
        leaves no room for that; the water is within half a step of the
        consistency.

    Raises
    ------
    OutOfRange
        If the volume is not more than zero.
    NotDoable
        If the parts do not fit into the largest mix on this scale, or the
        scale is too coarse to weigh the water.

    Examples
    --------
    >>> weighed = weigh(3.2, Mix(70, 1.58, spare=0.05))
    >>> f"{weighed.water_kg:.2f} kg water, {weighed.plaster_kg:.2f} kg plaster"
    '2.19 kg water, 3.13 kg plaster'
    """
    if mixes > 1:
        one = weigh(fills_l / mixes, mix)
        return Weighed(
            round(mixes * one.water_kg, 9), round(mixes * one.plaster_kg, 9), mixes * one.volume_l
        )
    _require("the volume to pour", fills_l, "l")
    plaster = math.ceil(fills_l * (1 + mix.spare) * mix.plaster_kg_per_l / mix.step_kg - _NOISE)
    if _mix_l(plaster, mix) < fills_l:  # the water was rounded down, and there is no spare
        plaster += 1
    if mix.limit_l < math.inf:
        plaster = min(plaster, _most_steps(mix))
    if _mix_l(plaster, mix) < fills_l - _DROP_L:
        raise NotDoable(
            f"{fills_l:.2f} l of parts do not fit into a batch of {mix.limit_l:.2f} l "
            f"that is weighed in steps of {mix.step_kg:g} kg."
        )
    water = _water_steps(plaster, mix)
    if water < 1:
        raise NotDoable(_too_coarse(mix))
    return Weighed(_on_step(water, mix), _on_step(plaster, mix), _mix_l(plaster, mix))


def _most_steps(mix: Mix) -> int:
    """Return the most steps of plaster whose batch stays within the largest mix."""
    limit = mix.limit_l * mix.wet_kg_per_l / mix.step_kg + _NOISE
    steps = math.floor(limit / (1 + mix.consistency / 100)) + 1
    while steps > 0 and steps + _water_steps(steps, mix) > limit:
        steps -= 1
    if steps < 1:
        raise NotDoable(_too_coarse(mix))
    return steps


def _water_steps(plaster_steps: int, mix: Mix) -> int:
    return math.floor(plaster_steps * mix.consistency / 100 + 0.5)


def _mix_l(plaster_steps: int, mix: Mix) -> float:
    return (plaster_steps + _water_steps(plaster_steps, mix)) * mix.step_kg / mix.wet_kg_per_l


def _on_step(steps: int, mix: Mix) -> float:
    """Return so many steps without the dust of binary fractions."""
    return round(steps * mix.step_kg, 9)


def _too_coarse(mix: Mix) -> str:
    return (
        f"A scale that shows steps of {mix.step_kg:g} kg is too coarse for a batch this small; "
        "weigh on a finer scale or mix more at once."
    )


def pour_list(
    sessions: Sequence[SessionCapacity],
    names: Sequence[str],
    mix: Mix,
    part_mixes: Sequence[int] = (),
) -> PourList:
    """Return what to weigh for each batch and which parts it fills.

    Parameters
    ----------
    sessions : sequence of SessionCapacity
        The sessions, first to last; see `pourwright.simulation.sessions.plan_sessions`.
    names : sequence of str, one for each part
        What the parts are called.
    mix : Mix
        The plaster, the spare, the scale and the largest mix.
    part_mixes : sequence of int, optional
        As `pourwright.simulation.rounds.PourTimes` has them. [-]

    Returns
    -------
    PourList
        Every part of every mold exactly once. Molds are numbered in the order
        in which their parts are poured.

    Raises
    ------
    OutOfRange, NotDoable
        As `weigh` does.

    Examples
    --------
    >>> from pourwright.simulation.rounds import PourTimes
    >>> from pourwright.simulation.sessions import plan_sessions
    >>> sessions = plan_sessions(2, [2.0, 1.5], [1, 1], 9.5, session_min=480, setup_min=180,
    ...                          times=PourTimes(15, 60, 30))
    >>> for pour in pour_list(sessions, ["left", "right"], Mix(70, 1.58)).pours:
    ...     print(pour.parts, pour.water_kg, "kg water,", pour.plaster_kg, "kg plaster")
    ((1, 'left'), (1, 'right')) 2.28 kg water, 3.26 kg plaster
    ((2, 'left'), (2, 'right')) 2.28 kg water, 3.26 kg plaster
    """
    pours: list[Pour] = []
    poured = [0] * len(names)  # copies of each part so far: the next one's mold
    for number, session in enumerate(sessions, start=1):
        pours += _session_pours(number, session, names, poured, mix, part_mixes)
    return PourList(
        pours=tuple(pours),
        total_water_kg=round(math.fsum(pour.water_kg for pour in pours), 9),
        total_plaster_kg=round(math.fsum(pour.plaster_kg for pour in pours), 9),
        leftover_l=math.fsum(pour.leftover_l for pour in pours),
        consistency_off=max((_consistency_off(pour, mix) for pour in pours), default=0.0),
        least_batches=sum(session.batching.least_bound for session in sessions),
    )


def _session_pours(
    session_number: int,
    session: SessionCapacity,
    names: Sequence[str],
    poured: list[int],
    mix: Mix,
    part_mixes: Sequence[int],
) -> list[Pour]:
    """Return the batches of one session, counting its parts into ``poured``."""
    starts, batching = session.timetable.starts_min, session.batching
    pours = []
    in_order = sorted(range(len(starts)), key=lambda at: starts[at])
    for number, at in enumerate(in_order, start=1):
        fills_l = batching.volumes_l[at]
        own = sum(k * m for k, m in zip(batching.batches[at], part_mixes, strict=False))
        weighed = weigh(fills_l, mix, max(own, 1))
        parts = _parts(batching.batches[at], names, poured)
        pours.append(
            Pour(
                session=session_number,
                number=number,
                parts=parts,
                fills_l=fills_l,
                volume_l=weighed.volume_l,
                water_kg=weighed.water_kg,
                plaster_kg=weighed.plaster_kg,
                leftover_l=max(0.0, weighed.volume_l - fills_l),
                starts_min=starts[at],
                mixes=max(own, 1),
            )
        )
    return pours


def _parts(
    pattern: Sequence[int], names: Sequence[str], poured: list[int]
) -> tuple[tuple[int, str], ...]:
    """Return the mold and the name of each part a batch fills, mold by mold."""
    parts = []
    for part, copies in enumerate(pattern):
        for _ in range(copies):
            poured[part] += 1
            parts.append((poured[part], part))
    return tuple((mold, names[part]) for mold, part in sorted(parts))


def _consistency_off(pour: Pour, mix: Mix) -> float:
    return abs(100 * pour.water_kg / pour.plaster_kg - mix.consistency)
