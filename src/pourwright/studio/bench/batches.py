"""What to weigh for chosen molds or parts, in as many batches as bucket and mixer need.

A batch is called ``"batch 4: 2 molds"``, ``"batch 5: 2 outside + 1 foot plug"`` or
``"batch 1: block mold"``: the name says what is in it, so that any phone can take it up from the
book alone.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pourwright.briefs.records import Brief, Studio
from pourwright.errors import BadInput, NotDoable, as_written
from pourwright.ledger.observations import BATCH, block_share
from pourwright.ledger.said import many, names_said
from pourwright.plan.case import mix_of, part_mixes_of, part_volume_l, plaster_of, pour_times
from pourwright.quantities import show, times
from pourwright.simulation.pours import pour_list, usable_l, weigh
from pourwright.simulation.sessions import plan_sessions

MOST = 40
"""Molds or parts that are chosen at once."""
_LONGEST_NAME = 60
_SOME = re.compile(r"([0-9]{1,3}) (.+)")
_UNNAMED = re.compile(r"part [0-9]+")
"""A part that the brief does not name is called by its place in the list."""


@dataclass(frozen=True, slots=True)
class BatchSheet:
    """What is weighed for one batch.

    Parameters
    ----------
    name : str
        Such as ``"batch 4: 2 molds"``.
    parts : tuple of (str, int)
        Parts and how many of each.
    water_kg, plaster_kg : float
        On the scale's step. [kg]
    volume_l, over_l : float
        What the mix fills, and what is left of it. [l]
    shown : tuple of (str, str)
        The same in the studio's units: water, plaster, mix, volume.
    masters : tuple of int
        How many masters there are of each of these parts; none for a block mold. [-]
    starts_min : float
        When hands start on it, from the start of the session. [min]
    """

    name: str
    parts: tuple[tuple[str, int], ...]
    water_kg: float
    plaster_kg: float
    volume_l: float
    over_l: float
    shown: tuple[tuple[str, str], ...]
    masters: tuple[int, ...]
    starts_min: float = 0.0

    @property
    def whole_molds(self) -> int:
        """How many complete molds it fills; 0 if it fills parts of some."""
        counts = {count for _, count in self.parts}
        is_of_molds = " mold" in self.name and block_share(self.name) is None
        return counts.pop() if len(counts) == 1 and is_of_molds else 0

    @property
    def fills_words(self) -> str:
        """What it fills, as a maker says it: a set where it is one, else each part by its name."""
        sets = self.whole_molds
        if sets and len(self.parts) > 1:
            names = [name for name, _ in self.parts if not _UNNAMED.fullmatch(name)]
            return ("a set" if sets == 1 else f"{sets} sets") + (
                f" of {names_said(names)}" if names else f" of {len(self.parts)} parts"
            )
        return names_said(
            f"{count} of {name}" if name[-1:].isdigit() else f"{count} {name}"
            for name, count in self.parts
        )

    @property
    def fills_text(self) -> str:
        """The masters that it fills, of those there are, as the page's script takes them."""
        told = zip(self.parts, self.masters, strict=True) if self.masters else ()
        return "|".join(f"{count} of {masters} {name}" for (name, count), masters in told)


def wanted_parts(brief: Brief, typed: Mapping[str, object]) -> dict[str, int]:
    """Return what is to be poured: molds, or parts, as it was typed.

    Parameters
    ----------
    brief : Brief
        The edition's.
    typed : mapping
        ``molds``, ``part-1``, ``part-2`` and so on; whole numbers.

    Returns
    -------
    dict
        How many complete molds under an empty name, and how many of each part beside them; empty
        if nothing was typed.

    Raises
    ------
    BadInput
        If a number cannot be read.
    """
    numbers = enumerate(brief.mold.parts, 1)
    counts = {"": _whole("molds", typed.get("molds"))}
    counts |= {part.name: _whole(f"part-{n}", typed.get(f"part-{n}")) for n, part in numbers}
    return {name: count for name, count in counts.items() if count}


def _whole(field: str, value: object) -> int:
    text = str(value or "0").strip()
    if not (text.isascii() and text.isdecimal() and int(text[:4]) <= MOST):
        raise BadInput.one(field, as_written(text), f"write a whole number, 0 to {MOST}")
    return int(text)


def batches_for(
    brief: Brief, studio: Studio, wanted: Mapping[str, int], first: int
) -> tuple[BatchSheet, ...]:
    """Return the batches for molds, as many as bucket and mixer need, and one behind them for parts.

    Parameters
    ----------
    brief, studio : Brief, Studio
        The edition's and its room's.
    wanted : mapping
        As :func:`wanted_parts` has it.
    first : int
        The number of the first batch.

    Raises
    ------
    NotDoable
        If chosen parts do not fit into one bucket, or a mold into none.
    """
    batches = _mold_batches(brief, studio, wanted[""], first) if "" in wanted else []
    parts = {name: count for name, count in wanted.items() if name}
    own = {part.name for part in brief.mold.parts if part.mixes}
    together = {name: count for name, count in parts.items() if name not in own}
    each = [{name: 1} for name, count in parts.items() if name in own for _ in range(count)]
    for counts in (*([together] if together else []), *each):
        batches.append(batch_of(brief, studio, counts, first + len(batches), whole=False))
    return tuple(batches)


def _mold_batches(brief: Brief, studio: Studio, molds: int, first: int) -> list[BatchSheet]:
    names = [part.name for part in brief.mold.parts]
    volumes = [part_volume_l(part, plaster_of(studio)) for part in brief.mold.parts]
    mix, pouring = mix_of(studio, plaster_of(studio)), studio.pouring
    sessions = plan_sessions(
        molds,
        volumes,
        [part.masters for part in brief.mold.parts],
        usable_l(mix),
        session_min=pouring.session_min,
        setup_min=pouring.setup_min,
        names=names,
        times=pour_times(brief, studio),
    )
    found = []
    for number, pour in enumerate(
        pour_list(sessions, names, mix, part_mixes_of(brief)).pours, first
    ):
        poured = [part for _, part in pour.parts]
        counts = {name: poured.count(name) for name in names if name in poured}
        whole = is_whole(counts, names)
        found.append(batch_of(brief, studio, counts, number, pour.starts_min, whole=whole))
    return found


def block_batches(brief: Brief, studio: Studio, first: int) -> tuple[BatchSheet, ...]:
    """Return the batches of the block mold, one a part; it is taken to need what one mold does.

    Parameters
    ----------
    brief, studio : Brief, Studio
        The edition's and its room's.
    first : int
        The number of the first batch. [-]

    Raises
    ------
    NotDoable
        If a part fits into no bucket.
    """
    parts = enumerate(brief.mold.parts, first)
    sheets = [batch_of(brief, studio, {one.name: 1}, n, whole=False) for n, one in parts]
    of = len(sheets)
    shares = [f", {n} of {of}" if of > 1 else "" for n in range(1, of + 1)]
    return tuple(
        replace(one, name=f"batch {number}: block mold{share}", masters=(), starts_min=0.0)
        for number, (one, share) in enumerate(zip(sheets, shares, strict=True), first)
    )


def is_whole(counts: Mapping[str, int], names: Sequence[str]) -> bool:
    """Return whether a batch fills every part of some molds.

    Examples
    --------
    >>> is_whole({"outside": 2, "foot": 2}, ["outside", "foot"])
    True
    >>> is_whole({"outside": 2, "foot": 1}, ["outside", "foot"])
    False
    """
    return set(counts) == set(names) and len(set(counts.values())) == 1


def batch_of(
    brief: Brief,
    studio: Studio,
    counts: Mapping[str, int],
    number: int,
    starts_min: float = 0.0,
    *,
    whole: bool,
) -> BatchSheet:
    """Return what is weighed for some parts.

    Parameters
    ----------
    brief, studio : Brief, Studio
        The edition's and its room's.
    counts : mapping of str to int
        How many of each part. [-]
    number : int
        The batch's. [-]
    starts_min : float
        When hands start on it, from the start of the session. [min]
    whole : bool
        Whether it is called by the molds that it fills, not by their parts.

    Raises
    ------
    NotDoable
        If they do not fit into one bucket.
    """
    names = [part.name for part in brief.mold.parts]
    plaster = plaster_of(studio)
    mix = mix_of(studio, plaster)
    volumes = {part.name: part_volume_l(part, plaster) for part in brief.mold.parts}
    fills_l = sum(volumes[name] * count for name, count in counts.items())
    mixes = max(1, sum(counts.get(part.name, 0) * part.mixes for part in brief.mold.parts))
    weighed = weigh(fills_l, mix, mixes)
    units, step = studio.studio.units, studio.plaster.scale_step_kg
    water, plaster_kg = weighed.water_kg / mixes, weighed.plaster_kg / mixes
    shown = (
        ("Water", times(mixes, show(water, "mass", units, step))),
        ("Plaster", times(mixes, show(plaster_kg, "mass", units, step))),
        ("Mix in the bucket", times(mixes, show(water + plaster_kg, "mass", units, step))),
        ("It fills", show(weighed.volume_l, "volume", units)),
    )
    name = _name(number, counts, names, whole=whole)
    return BatchSheet(
        name,
        tuple(counts.items()),
        weighed.water_kg,
        weighed.plaster_kg,
        weighed.volume_l,
        max(weighed.volume_l - fills_l, 0.0),
        shown,
        tuple(part.masters for name in counts for part in brief.mold.parts if part.name == name),
        starts_min,
    )


def _name(number: int, counts: Mapping[str, int], names: Sequence[str], *, whole: bool) -> str:
    """Return a batch's name; parts with long names are told by their numbers."""
    if whole:
        return f"batch {number}: {many(next(iter(counts.values())), 'mold')}"
    told = f"batch {number}: " + " + ".join(f"{count} {name}" for name, count in counts.items())
    if len(told) <= _LONGEST_NAME:
        return told
    by_number = (f"{count} of part {names.index(name) + 1}" for name, count in counts.items())
    return f"batch {number}: " + " + ".join(by_number)


def batch_named(
    brief: Brief, studio: Studio, what: str, starts_min: float = 0.0
) -> BatchSheet | None:
    """Return the batch that a name tells of, None if it is no batch of this brief."""
    found = BATCH.fullmatch(what)
    if found is None:
        return None
    names = [part.name for part in brief.mold.parts]
    if block_share(what):
        return _block_named(brief, studio, what)
    if whole := re.fullmatch(r"([0-9]{1,3}) molds?", found[2]):
        counts = dict.fromkeys(names, int(whole[1]))
    else:
        counts = {}
        for one in found[2].split(" + "):
            some = _SOME.fullmatch(one)
            if some is not None:
                counts[_part(some[2], names)] = int(some[1])
    if not counts or not set(counts) <= set(names) or not all(counts.values()):
        return None
    # A bucket that shrank since: the batch at work is shown without its sheet.
    try:
        return batch_of(brief, studio, counts, int(found[1]), starts_min, whole=bool(whole))
    except NotDoable:
        return None


def _block_named(brief: Brief, studio: Studio, what: str) -> BatchSheet | None:
    """Return the batch of a block mold that a name tells of; None if it takes other batches by now."""
    number, share = int(what.partition(":")[0].rpartition(" ")[2]), block_share(what) or (1, 1)
    try:
        sheets = block_batches(brief, studio, number - share[0] + 1)
    except NotDoable:
        return None
    return next((one for one in sheets if one.name == what), None)


def _part(told: str, names: Sequence[str]) -> str:
    by_number = re.fullmatch(r"of part ([0-9]+)", told)
    if by_number and told not in names and 0 < int(by_number[1]) <= len(names):
        return names[int(by_number[1]) - 1]
    return told
