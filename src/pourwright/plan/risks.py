"""The inputs that may carry a plan's risk, each with the cheap measurement that would shrink it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from pourwright.plan.case import Case
from pourwright.simulation.chance import Chance


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


RISKS = (
    Risk(
        "mold_drying", "how long molds dry", "drying.days_low",
        "weigh one strapped mold on two days: the rate tells its drying time",
    ),
    Risk(
        "life", "casts a mold gives", "mold.life",
        "hold every fifth cast against the first good one and note when detail goes soft",
    ),
    Risk(
        "fired_passed", "losses in the kiln", "losses.glaze",
        "fire one glaze load of test pieces and count", _loses("bisque", "glaze", "third"),
    ),
    Risk("cast_passed", "losses in casting", "losses.casting", "count good and lost of the first twenty casts", _loses("casting")),
    Risk("dry_passed", "losses in drying", "losses.drying", "count what cracks of the first twenty casts", _loses("drying")),
    Risk("work", "hands' minutes a piece", "work.fettle", "time three casts from filling to fettled"),
    Risk("ware_drying", "how long ware dries", "firing.ware_dry_days", "weigh one cast each morning until it stops losing"),
    Risk(
        "preparation", "the days before the first pour", "preparation.have",
        "make the test casts first: they settle what the masters wait for", lambda case: case.edition.pour_from > 0,
    ),
)  # fmt: skip


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
        return f"{math.sqrt(low * high) * math.exp(spread * math.sqrt(0.8) * z):.0f} days"
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
