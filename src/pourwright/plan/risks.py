"""What moves the finish most, and the test that settles it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from pourwright.plan.case import (
    Case,
)
from pourwright.plan.cost import cost_of_plan, use_of_runs
from pourwright.plan.outlook import Outlook
from pourwright.plan.plan import (
    RiskRow,
)
from pourwright.simulation.chance import Chance
from pourwright.simulation.odds import Runs, ends_of


@dataclass(frozen=True, slots=True)
class Risk:
    """One input: its parameter in the chances, its field in the files, and how to measure it."""

    parameter: str
    what: str
    field: str
    measure: str
    matters: Callable[[Case], bool] = lambda case: True


def _loses(*names: str) -> Callable[[Case], bool]:
    return lambda case: any(getattr(case.brief.losses, name) > 0 for name in names)


_loses_fired = _loses("bisque", "glaze", "third")

RISKS = (
    Risk(
        "mold_drying",
        "how long molds dry",
        "drying.days_low",
        "weigh one strapped mold on two days: the rate tells its drying time",
    ),
    Risk(
        "life",
        "casts a mold gives",
        "mold.life",
        "hold every fifth cast against the first good one and note when detail goes soft",
    ),
    Risk(
        "fired_passed",
        "losses in the kiln",
        "losses.glaze",
        "count good and lost of the test casts",
        lambda case: _loses_fired(case) and case.before.test_casts > 0,
    ),
    Risk(
        "fired_passed",
        "losses in the kiln",
        "losses.glaze",
        "count good and lost of the next glaze load",
        lambda case: _loses_fired(case) and not case.before.test_casts,
    ),
    Risk(
        "cast_passed",
        "losses in casting",
        "losses.casting",
        "count good and lost of the next twenty casts",
        _loses("casting"),
    ),
    Risk(
        "dry_passed",
        "losses in drying",
        "losses.drying",
        "count what cracks of the next twenty casts",
        _loses("drying"),
    ),
    Risk(
        "work", "hands' minutes a piece", "work.fettle", "time three casts from filling to fettled"
    ),
    Risk(
        "ware_drying",
        "how long ware dries",
        "firing.ware_dry_days",
        "weigh one cast each morning until it stops losing",
    ),
    Risk(
        "preparation",
        "the days before the first pour",
        "preparation.have",
        "make the test casts first: they settle what the masters wait for",
        lambda case: case.before.test_casts > 0,
    ),
    Risk(
        "preparation",
        "the days before the first pour",
        "preparation.have",
        "time the first step of it, and write its days into the brief",
        lambda case: case.edition.pour_from > 0 and not case.before.test_casts,
    ),
)


def shown_at(risk: Risk, case: Case, chance: Chance, quantile: float) -> str:
    """Return what a parameter is at a quantile of its belief, in words.

    A low quantile of a share that passes is a high loss, and is told as one.
    """
    from scipy import special

    edition, belief = case.edition, chance.belief
    z = float(special.ndtri(quantile))
    if risk.parameter in ("cast_passed", "dry_passed"):
        behind = belief.behind(int(risk.parameter == "dry_passed"))
        return _lost(getattr(edition, risk.parameter), behind, quantile)
    if risk.parameter == "fired_passed":
        return ", ".join(
            f"{f.name} {_lost(f.passed, belief.behind(2 + k), quantile)}"
            for k, f in enumerate(edition.firings)
            if f.passed < 1
        )
    if risk.parameter == "mold_drying":
        low, high = belief.mold_days
        spread = math.log(high / low) / (2 * float(special.ndtri(0.9)))
        reach = spread * math.sqrt(belief.mold_days_shared) * z
        return f"{math.sqrt(low * high) * math.exp(reach):.0f} days"
    if risk.parameter == "life":
        return f"{edition.life * math.exp(belief.life_spread * z):.0f} casts"
    if risk.parameter == "work":
        return (
            f"{(edition.cast_min + edition.fettle_min) * math.exp(belief.work_spread * z):.0f} min"
        )
    spread, days = {
        "ware_drying": (belief.ware_spread, edition.ware_dry_days),
        "preparation": (belief.preparation_spread, edition.pour_from),
    }[risk.parameter]
    return f"{days * math.exp(spread * z):.0f} days"


def _lost(passed: float, behind: float, quantile: float) -> str:
    from scipy import special

    share = float(special.betaincinv(passed * behind, (1 - passed) * behind, quantile))
    return f"{100 * (1 - share):.0f} % lost"


def risk_rows(look: Outlook) -> tuple[RiskRow, ...]:
    """Return what moves the average finish most when it alone goes from its low to its high end."""
    risks = [risk for risk in RISKS if risk.matters(look.case)]
    held = [(risk.parameter, q) for risk in risks for q in _ENDS]
    ends = ends_of(look.futures, held, look.rule, look.effort.quick)
    rows = [_risk_row(look, risk, ends[2 * at], ends[2 * at + 1]) for at, risk in enumerate(risks)]
    return tuple(sorted(rows, key=lambda row: -row.days))


_ENDS = (0.1, 0.9)


def _risk_row(look: Outlook, risk: Risk, low: Runs, high: Runs) -> RiskRow:
    costs = [cost_of_plan(look.case, use_of_runs(runs)).total for runs in (low, high)]
    ends = [look.average_finish(runs) for runs in (low, high)]
    return RiskRow(
        what=risk.what,
        field=risk.field,
        low=shown_at(risk, look.case, look.futures.chance, _ENDS[0]),
        high=shown_at(risk, look.case, look.futures.chance, _ENDS[1]),
        finish_low=ends[0],
        finish_high=ends[1],
        days=abs((ends[1] - ends[0]).days),
        cost_low=costs[0],
        cost_high=costs[1],
        measure=risk.measure,
    )
