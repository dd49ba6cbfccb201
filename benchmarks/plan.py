"""Whole plans, from the two files to the checked plan: the metric example, and a workshop's large edition."""

from __future__ import annotations

import tempfile
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from benchmarks.yardstick import ratio

if TYPE_CHECKING:
    from pourwright.plan.plan import Plan

EXAMPLE = Path(__file__).parents[1] / "examples" / "metric-bowl" / "edition.toml"
WORKSHOP = Path(__file__).parent / "workshop" / "edition.toml"
DAY = date(2027, 3, 1)


def bench_metric_example() -> float:
    """Plans made in one run of the yardstick."""
    return ratio(lambda: _planned(EXAMPLE), turns=3)


def _planned(brief: Path) -> Plan:
    from pourwright.briefs.reading import read_brief
    from pourwright.plan.case import ToPlan
    from pourwright.plan.make import make_plan

    return make_plan(ToPlan(*read_brief(brief, DAY)), DAY)


def bench_workshop_of_a_thousand_pieces() -> float:
    """Plans of a thousand pieces from forty molds by three people."""
    return ratio(lambda: _planned(WORKSHOP), turns=1)


def bench_metric_example_with_page_and_charts() -> float:
    """Plans with 10,000 runs, written as JSON, page with charts and calendar file, in one run of the yardstick."""
    from pourwright.report.files import save_plan

    def whole() -> None:
        with tempfile.TemporaryDirectory() as folder:
            save_plan(_planned(EXAMPLE), Path(folder))

    return ratio(whole, turns=3)
