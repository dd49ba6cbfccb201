"""What becomes of casts: thrown away as conditioning, lost, good. Counts only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pourwright.ledger.documents import EditionDoc, MoldDoc
from pourwright.ledger.entry import Body


@dataclass(frozen=True, slots=True)
class CastTally:
    """What some casts came to.

    Parameters
    ----------
    casts : int
        How many were cast.
    thrown : int
        Thrown away to condition new molds.
    good : int
        Good ones; negative if more is told as lost than was cast.
    lost : dict of str to int
        By cause.
    """

    casts: int
    thrown: int
    good: int
    lost: dict[str, int]


def conditioning_casts(casts_before: int, new: int, conditioning: int) -> int:
    """Return how many of a mold's new casts are among its first, which are thrown away.

    Examples
    --------
    >>> conditioning_casts(0, 3, 2), conditioning_casts(1, 1, 2), conditioning_casts(5, 1, 2)
    (2, 1, 0)
    """
    return max(0, min(new, conditioning - casts_before))


def tally_casts(casts: int, thrown: int, body: Body) -> CastTally:
    """Return what casts came to, from what a command told of them.

    Parameters
    ----------
    casts : int
        How many were cast.
    thrown : int
        How many the brief has thrown away, unless the command tells it.
    body : mapping
        ``good``, ``lost`` and ``conditioned``, as far as they were told.

    Returns
    -------
    CastTally
        What is neither good, lost nor thrown away is lost to the cause "other".

    Examples
    --------
    >>> tally_casts(9, 0, {"good": 8, "lost": {}})
    CastTally(casts=9, thrown=0, good=8, lost={'other': 1})
    """
    thrown = int(body.get("conditioned", thrown))
    lost = dict(body.get("lost", {}))
    rest = casts - thrown - sum(lost.values())
    good = body.get("good", rest)
    if rest > good:
        lost["other"] = lost.get("other", 0) + rest - good
    return CastTally(casts, thrown, good, lost)


def casts_of(
    edition: EditionDoc, molds: Mapping[str, MoldDoc], new: Mapping[str, int], body: Body
) -> CastTally:
    """Return what a ``casts-made`` or ``casts-counted`` entry came to.

    Parameters
    ----------
    edition : EditionDoc
        The edition, before the entry.
    molds : mapping
        Its molds by label, before the entry.
    new : mapping
        As :func:`new_casts` gives it.
    body : mapping
        The entry's body.
    """
    conditioning = edition.conditioning
    thrown = 0
    for name, mold in molds.items():
        if mold.casts < conditioning:
            thrown += conditioning_casts(mold.casts, new[name], conditioning)
    return tally_casts(sum(new.values()), thrown, body)


def new_casts(molds: Mapping[str, MoldDoc], body: Body) -> dict[str, int]:
    """Return how many casts an entry adds to each mold: told, or the difference to a count."""
    if "casts" in body:
        return {name: max(0, body["casts"] - mold.casts) for name, mold in molds.items()}
    return dict.fromkeys(molds, int(body.get("each", 1)))


def add_counts(to: dict[str, int], more: Mapping[str, int]) -> None:
    """Add counts by key to others, in place."""
    for key, count in more.items():
        to[key] = to.get(key, 0) + count
