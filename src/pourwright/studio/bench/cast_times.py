"""How long a filled mold should stand: by the test cast of the brief, else as it stood before.

Casting minutes are never a default: without a test cast and without a time of the studio's own
there is only the range that published rates give, and the clock counts up.
"""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.briefs.records import CastingTerms
from pourwright.studio.bench.clocks import OwnTime, clock_text


@dataclass(frozen=True, slots=True)
class CastTime:
    """A target, and where it comes from.

    Parameters
    ----------
    target_min : float or None
        How long; None where no single time is honest. [min]
    note : str
        From what.
    """

    target_min: float | None
    note: str

    @property
    def target_s(self) -> int | None:
        """The same in whole seconds, as clocks take it. [s]"""
        return None if self.target_min is None else round(60 * self.target_min)


def cast_time(casting: CastingTerms | None, own: OwnTime | None, row: int) -> CastTime:
    """Return how long a mold should stand full.

    Parameters
    ----------
    casting : CastingTerms or None
        What the brief says of the cast.
    own : OwnTime or None
        How long molds of the edition stood before.
    row : int
        Which cast of the mold it is today, 1 to 3. [-]

    Notes
    -----
    A second cast in a row takes longer by the published share of the dry rate; see
    ``materials/casting_fit``.
    """
    from pourwright.materials.casting.fit import share_of_dry_rate
    from pourwright.materials.casting.minutes import (
        minutes_from_one_test,
        minutes_without_a_test,
    )

    if casting is not None and casting.wall_mm and casting.test is not None:
        test = casting.test
        minutes = minutes_from_one_test(casting.wall_mm, test.wall_mm, test.time_min)
        share = sum(share_of_dry_rate(row)) / 2
        slower = "" if row == 1 else ", longer for the second of a day"
        low, high = (clock_text(60 * float(end) / share) for end in (minutes.low, minutes.high))
        note = f"by your test cast{slower}: {low} to {high}"
        return CastTime(float(minutes.best or 0.0) / share, note)
    if own is not None:
        return CastTime(own.middle_min, f"as it stood in {own.count} before")
    if casting is not None and casting.wall_mm:
        guess = minutes_without_a_test(casting.wall_mm)
        low, high = (clock_text(60 * float(end)) for end in (guess.low, guess.high))
        return CastTime(None, f"published rates say {low} to {high}: cut a spare")
    return CastTime(None, "no test cast and no wall known: cut a spare")
