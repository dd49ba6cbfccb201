"""The whole plan of the metric example, from the two files to the checked plan."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from benchmarks.yardstick import ratio

EXAMPLE = Path(__file__).parents[1] / "examples" / "metric-bowl" / "edition.toml"


def bench_metric_example() -> float:
    """Plans made in one run of the yardstick."""
    from pourwright.actions.plan import make_plan

    return ratio(lambda: make_plan(EXAMPLE, date(2027, 3, 1)), turns=3)
