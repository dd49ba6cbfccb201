"""The page that tells how odds came true: every number and every sentence is made from what was counted."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

SHARES = (0.5, 0.8, 0.9)
WITHIN = (0.045, 0.035, 0.025)
"""How far a share may be off where studios are as believed: about three standard errors of 1,000."""
CONFIDENCE = 0.9
AS_BELIEVED = "as believed"
WHEN = {"before": "before the start", "halfway": "halfway"}


@dataclass(frozen=True)
class Told:
    """How what was told to one studio came true.

    Parameters
    ----------
    inside : tuple of float
        How much of its last day lies within the middle half, 80 % and 90 %. [-]
    within_dates, late, early : bool
        Whether it ended between the two dates that are told for eight of ten, later, or
        sooner.
    days_late : float
        Days after the later date, 0 if in time. [days]
    kept, promised : int
        Promises of pieces by a day that were kept, and promises made. [-]
    """

    inside: tuple[float, ...]
    within_dates: bool
    late: bool
    early: bool
    days_late: float
    kept: int
    promised: int


@dataclass(frozen=True)
class Counted:
    """What was counted of a law, before the start or halfway."""

    law: str
    when: str
    studios: int
    shares: tuple[float, ...]
    dates: float
    late: float
    early: float
    days_late: float
    kept: float | None

    @property
    def off(self) -> float:
        """How far eight of ten are off. [-]"""
        return self.shares[1] - SHARES[1]


def counted(law: str, when: str, told: Sequence[Told]) -> Counted:
    """Return the shares of some studios of one law."""
    many = len(told)
    promised = sum(one.promised for one in told)
    late = [one.days_late for one in told if one.late]
    return Counted(
        law=law,
        when=when,
        studios=many,
        shares=tuple(sum(one.inside[at] for one in told) / many for at in range(len(SHARES))),
        dates=sum(one.within_dates for one in told) / many,
        late=sum(one.late for one in told) / many,
        early=sum(one.early for one in told) / many,
        days_late=sum(late) / len(late) if late else 0.0,
        kept=sum(one.kept for one in told) / promised if promised else None,
    )


def page(
    told: Mapping[tuple[str, str], Sequence[Told]], about: str, laws: Mapping[str, str]
) -> tuple[str, list[str]]:
    """Return the page, and what came true too rarely or too often where studios are as believed.

    ``about`` tells how it was counted, ``laws`` what each law is.
    """
    rows = [counted(law, when, ones) for (law, when), ones in told.items()]
    believed = [row for row in rows if row.law == AS_BELIEVED]
    others = [row for row in rows if row.law != AS_BELIEVED]
    complaints = [said for row in believed for said in _complaints(row)]
    parts = [
        HEAD,
        about,
        "## Studios as the plan believes they are",
        _table(believed),
        _verdict(complaints),
        *(_meaning(row) for row in believed),
        "## Studios of other laws",
        "\n".join(f"- **{law}**: {what}" for law, what in laws.items()),
        _table(others),
        *(_meaning(row) for row in others),
        FOOT,
    ]
    return "\n\n".join(parts) + "\n", complaints


HEAD = """# Do the odds come true?

[The rules of a day](forecast.md)

A plan says between which dates eight of ten such editions end, and how many pieces may be promised so that nine of ten promises are kept.
Here both are held against studios whose truth is known, because a program made it up.
`python -m benchmarks.coverage` counts again and writes this page; no number on it was typed."""

FOOT = """## How it is counted

Days are whole, so a range of dates always holds a little more than its share: the dates themselves are part of it.
The columns 50, 80 and 90 % count only that part of the last day that the range needs, as Czado, Gneiting and Held do (2009, "Predictive model assessment for count data", Biometrics 65, 1254-1261); the column *dates* counts what a maker counts, the first and the last date included.
A promise is looked at on three days: when half of the runs have a third, two thirds and all of what is still wanted; whole pieces are rounded down, so more promises are kept than asked.
The ± is one standard error, or a little more than one."""


def _table(rows: Sequence[Counted]) -> str:
    head = (
        "| studios | told | how many | 50 % | 80 % | 90 % | dates of eight in ten | ended later | ended sooner "
        f"| promises at {_percent(CONFIDENCE)} kept |"
    )
    lines = [head, "| --- | --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |"]
    for row in rows:
        shares = " | ".join(_with_error(share, row.studios) for share in row.shares)
        kept = "not counted" if row.kept is None else _percent(row.kept)
        lines.append(
            f"| {row.law} | {WHEN[row.when]} | {row.studios} | {shares} | {_percent(row.dates)} "
            f"| {_percent(row.late)} | {_percent(row.early)} | {kept} |"
        )
    return "\n".join(lines)


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _with_error(share: float, studios: int) -> str:
    error = math.sqrt(max(share * (1 - share), 0.0) / studios)
    return f"{100 * share:.1f} ± {100 * error:.1f} %"


def _complaints(row: Counted) -> list[str]:
    """Return what is off by more than chance lets it be."""
    off = [
        f"{_percent(share)} held {100 * found:.1f} % {WHEN[row.when]}, and may be off by {100 * within:.1f}"
        for share, found, within in zip(SHARES, row.shares, WITHIN, strict=True)
        if abs(found - share) > within
    ]
    if row.kept is not None and row.kept < CONFIDENCE - WITHIN[-1]:
        off.append(f"{_percent(row.kept)} of promises at {_percent(CONFIDENCE)} were kept")
    return off


def _verdict(complaints: Sequence[str]) -> str:
    allowed = ", ".join(
        f"{_percent(share)} by {100 * within:.1f} points"
        for share, within in zip(SHARES, WITHIN, strict=True)
    )
    if complaints:
        return f"Off by more than it may be ({allowed}): {'; '.join(complaints)}."
    return f"None is off by more than it may be: {allowed}."


def _meaning(row: Counted) -> str:
    """Return what it means for whoever reads the dates."""
    later = f"{100 * row.late:.0f} later"
    if row.late:
        later += f", by {row.days_late:.1f} days on average"
    dates = (
        f"**{row.law[0].upper()}{row.law[1:]}, {WHEN[row.when]}.** Of a hundred such studios "
        f"{100 * row.dates:.0f} ended between the two dates told for eighty, "
        f"{100 * row.early:.0f} sooner and {later}."
    )
    return " ".join([dates, _advice(row), *_about_promises(row)])


def _advice(row: Counted) -> str:
    error = math.sqrt(SHARES[1] * (1 - SHARES[1]) / row.studios)
    if row.off > 2 * error:
        return "The dates are further apart than they need be."
    if row.off >= -2 * error:
        return "The dates can be taken as they are told."
    if row.late > 2 * row.early:
        return "The dates are too early: leave days after the later one, and plan again once something is counted."
    if row.early > 2 * row.late:
        return (
            "The dates are too late: most of the studios that miss them are done before the first."
        )
    return "The dates are too close together: they are missed on both sides."


def _about_promises(row: Counted) -> list[str]:
    if row.kept is None:
        return []
    tail = "as asked or better" if row.kept >= CONFIDENCE - WITHIN[-1] else "fewer than asked"
    return [
        f"Of a hundred promises of pieces made at {_percent(CONFIDENCE)}, {round(100 * row.kept)} were kept, {tail}."
    ]
