"""The program that counts how odds come true: its truth is the forecast's, and its page is its numbers'."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from benchmarks import coverage
from benchmarks.coverage import (
    TRUTHS,
    Again,
    inside,
    judged,
    planned_again,
    played,
    promise_of,
    room_of,
    truths,
)
from benchmarks.coverage_page import Told, page
from pourwright.plan.outlook import futures_of
from pourwright.simulation.draws import Draws
from pourwright.simulation.forecast import forecast
from pourwright.simulation.problem import Ints
from tests.reference.simpy_day import Line


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
    futures.bias = 0.0
    for number in range(6):
        draws, worn_at = truths(studied, number)
        run = futures.runs(studied.policy, 1, TRUTHS + number).finish[0]

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


def luck_left(line: Line) -> Draws:
    """Return the tables of a studio from halfway on: what is left of its own, stage by stage."""
    there = [mold for p in line.places for mold in (p.mold, p.following) if mold and mold.whole]
    there.sort(key=lambda mold: (not mold.dry, mold.number))
    draws, poured = line.luck.draws, line.run.molds

    def molds(table: Ints) -> Ints:
        old = [table[0, mold.number] for mold in there]
        return np.concatenate([old, table[0, poured:]])[None, :]

    def left(table: Ints, used: int) -> Ints:
        counts = table[..., used:] - table[..., used : used + 1]
        return np.pad(counts, ((0, 0), (0, used)), mode="edge")

    out = [queue.taken_out for queue in line.queues]
    loads = [queue.loads - bool(queue.in_kiln) for queue in line.queues]
    return replace(
        draws,
        cast_good=left(draws.cast_good, line.run.casts),
        dry_good=left(draws.dry_good, line.dried),
        fired_good=np.stack([left(draws.fired_good[k], n) for k, n in enumerate(out)]),
        fired_spoiled=np.stack([left(draws.fired_spoiled[k], n) for k, n in enumerate(out)]),
        spoiled=np.stack([np.roll(draws.spoiled[k], -n, axis=1) for k, n in enumerate(loads)]),
        life=molds(draws.life),
        mold_dry_days=molds(draws.mold_dry_days),
        pour_from=np.zeros(1, np.int64),
    )


def test_a_plan_goes_on_from_the_book_as_the_studio_does(monkeypatch: pytest.MonkeyPatch) -> None:
    """From halfway on with the luck that is left: the same last day, over holidays and without proofs."""
    told = []

    def followed(line: Line, again: Again) -> None:
        coverage_follow(line, again)
        room = futures_of(again.case).workshop
        ours = forecast(room, [again.policy], [luck_left(line)], 1).lines[0]
        told.append((again.case.calendar.first, ours.finish[0]))

    coverage_follow = coverage.follow
    monkeypatch.setattr(coverage, "follow", followed)
    for example in ("metric-bowl", "us-pitcher"):
        studied = room_of(example, np.random.default_rng(3))
        for number in range(12):
            draws, worn_at = truths(studied, number)
            told.clear()
            finish = played(studied, draws, worn_at).finish

            [(first, days)] = told
            assert finish == (first - studied.case.calendar.first).days + days


def test_the_page_complains_of_what_is_off_and_only_where_studios_are_as_believed() -> None:
    right = Told((0.5, 0.8, 0.9), True, False, False, 0.0, 9, 10)
    wrong = replace(right, inside=(0.5, 0.7, 0.9), kept=8, late=True, days_late=3.0)

    for believed, other, complaints in ((right, wrong, 0), (wrong, right, 2)):
        told = {("as believed", "halfway"): [believed] * 100, ("drift", "before"): [other] * 100}
        text, found = page(told, "How.", {"drift": "what it is."})

        assert len(found) == complaints
        assert "by 3.0 days on average" in text
        assert "| drift | before the start | 100 |" in text
