"""Whole plans, from the two files to the checked plan: the metric example, and a workshop's large edition."""

from __future__ import annotations

import tempfile
from datetime import date
from pathlib import Path

from benchmarks.yardstick import ratio

EXAMPLE = Path(__file__).parents[1] / "examples" / "metric-bowl" / "edition.toml"
WORKSHOP = Path(__file__).parent / "workshop" / "edition.toml"


def bench_metric_example() -> float:
    """Plans made in one run of the yardstick."""
    from pourwright.plan.make import make_plan

    return ratio(lambda: make_plan(EXAMPLE, date(2027, 3, 1)), turns=3)


def bench_workshop_of_a_thousand_pieces() -> float:
    """Plans of a thousand pieces from forty molds by three people."""
    from pourwright.plan.make import make_plan

    return ratio(lambda: make_plan(WORKSHOP, date(2026, 8, 3)), turns=1)


def bench_metric_example_with_page_and_charts() -> float:
    """Plans with 10,000 runs, written as JSON, page with charts and calendar file, in one run of the yardstick."""
    from pourwright.plan.make import make_plan
    from pourwright.report.files import save_plan

    def whole() -> None:
        with tempfile.TemporaryDirectory() as folder:
            save_plan(make_plan(EXAMPLE, date(2027, 3, 1)), Path(folder))

    return ratio(whole, turns=3)
