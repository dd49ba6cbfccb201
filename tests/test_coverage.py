"""The program that counts how odds come true: its truth is the forecast's, and its page is its numbers'."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from benchmarks.coverage import (
    TRUTHS,
    inside,
    judged,
    planned_again,
    played,
    promise_of,
    room_of,
    truths,
)
from benchmarks.coverage_page import Told, page
from pourwright.plan.odds import futures_of


@pytest.mark.parametrize("share", [0.5, 0.8, 0.9])
def test_days_of_the_runs_themselves_lie_inside_as_often_as_the_share_says(share: float) -> None:
    """Whatever heap of days it is: a coarse one has only its part of an end counted."""
    rng = np.random.default_rng(1)
    for days in (rng.integers(0, 4, 300), rng.poisson(80, 300), np.full(300, 7)):
        runs = days.astype(np.float64)

        assert np.mean([inside(day, runs, share) for day in days]) == pytest.approx(share)


def test_a_studio_as_believed_is_a_run_of_the_forecast_until_it_plans_again() -> None:
    """With spoiled loads and the same luck; a truth that lacked one of them would flatter the odds."""
    studied = room_of("metric-bowl", np.random.default_rng(3))
    futures = futures_of(studied.case)
    futures.bias, futures.policies[int(studied.policy.molds)] = 0.0, studied.policy
    for number in range(6):
        draws, worn_at = truths(studied, number)
        run = futures.runs(int(studied.policy.molds), 1, TRUTHS + number).finish[0]

        assert played(studied, draws).finish == run

    again = played(studied, draws, worn_at).halfway
    assert again is not None
    standing = again.case.standing
    assert standing is not None
    need, own = studied.case.edition.need, standing.own
    assert need / 2 <= standing.finished + standing.to_finish < need
    assert (
        sum(of for _, of in own.loads["glaze"])
        == own.yields["glaze"][1]
        == standing.through["glaze"]
    )
    assert planned_again(studied, standing).case.edition == again.case.edition
    promise = promise_of(again.case, again.policy, 100, seed=5, bias=0.0)
    first = (again.case.calendar.first - studied.case.calendar.first).days
    told = judged(played(studied, draws, worn_at), promise, first)
    assert told.within_dates + told.late + told.early == 1


def test_the_page_complains_of_what_is_off_and_only_where_studios_are_as_believed() -> None:
    right = Told((0.5, 0.8, 0.9), True, False, False, 0.0, 9, 10)
    wrong = replace(right, inside=(0.5, 0.7, 0.9), kept=8, late=True, days_late=3.0)

    for believed, other, complaints in ((right, wrong, 0), (wrong, right, 2)):
        told = {("as believed", "halfway"): [believed] * 100, ("drift", "before"): [other] * 100}
        text, found = page(told, "How.", {"drift": "what it is."})

        assert len(found) == complaints
        assert "by 3.0 days on average" in text
        assert "| drift | before the start | 100 |" in text
