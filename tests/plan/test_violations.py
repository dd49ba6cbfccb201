"""The checker finds what is planted, and nothing in the plans that are shown."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from typing import Any

import pytest

from pourwright.briefs.reading import read_brief
from pourwright.plan.case import build_case
from pourwright.plan.limits import limits_for_violations
from pourwright.plan.violations import AtHand, Limits, _rack, violations
from tests.plans import AS_OF, EXAMPLES, as_data, as_plan, brief_of, example_plan

Plan = dict[str, Any]


@cache
def limits_of(example: str) -> Limits:
    return limits_for_violations(build_case(*read_brief(brief_of(example), AS_OF), AS_OF))


def planned(example: str = "metric-bowl") -> tuple[Limits, Plan]:
    return limits_of(example), as_data(example_plan(example))


def days_with(plan: Plan, stage: str) -> list[tuple[Plan, Plan]]:
    return [(day, one) for day in plan["calendar"] for one in day["doing"] if one["stage"] == stage]


@pytest.mark.parametrize("example", EXAMPLES)
def test_the_plan_of_an_example_breaks_no_rule(example):
    limits, plan = planned(example)

    assert violations(limits, as_plan(plan)) == []


def closed_day_worked(plan: Plan) -> None:
    day = next(d for d in plan["calendar"] if not d["open"])
    day["doing"].append({"stage": "finish", "count": 1})


def day_opened(plan: Plan) -> None:
    next(d for d in plan["calendar"] if not d["open"])["open"] = True


def day_left_out(plan: Plan) -> None:
    del plan["calendar"][5]


def too_much_work(plan: Plan) -> None:
    days_with(plan, "finish")[0][0]["used_min"] = 5000


def too_many_finished(plan: Plan) -> None:
    days_with(plan, "finish")[0][1]["count"] += 30


def poured_before_masters(plan: Plan) -> None:
    day, pour = days_with(plan, "pour")[0]
    day["doing"].remove(pour)
    next(d for d in plan["calendar"] if d["open"])["doing"].append(pour)


def poured_twice(plan: Plan) -> None:
    _, pour = days_with(plan, "pour")[-1]
    pour["molds"][-1] = "M-001"


def cast_wet(plan: Plan) -> None:
    day, cast = days_with(plan, "conditioning")[0]
    day["doing"].remove(cast)
    poured = days_with(plan, "pour")[0][0]
    at = plan["calendar"].index(poured) + 1
    next(d for d in plan["calendar"][at:] if d["open"])["doing"].append(cast)


def cast_never_poured(plan: Plan) -> None:
    days_with(plan, "cast")[0][1]["molds"][0] = "M-099"


def cast_twice_a_day(plan: Plan) -> None:
    day, cast = days_with(plan, "cast")[0]
    day["doing"].append({"stage": "cast", "count": 1, "molds": [cast["molds"][0]]})


def cast_worn_out(plan: Plan) -> None:
    for _, cast in days_with(plan, "cast"):
        cast["molds"][:] = ["M-001"] * len(cast["molds"])


def not_conditioned(plan: Plan) -> None:
    days_with(plan, "conditioning")[0][1]["stage"] = "cast"


def miscounted_casts(plan: Plan) -> None:
    days_with(plan, "cast")[0][1]["count"] += 1


def fewer_fettled(plan: Plan) -> None:
    days_with(plan, "fettle")[0][1]["count"] -= 1


def fired_damp(plan: Plan) -> None:
    first = plan["calendar"].index(days_with(plan, "cast")[0][0])
    plan["calendar"][first]["doing"].append({"stage": "load bisque", "count": 3})


def overfull_load(plan: Plan) -> None:
    days_with(plan, "load glaze")[-1][1]["count"] = 500


def empty_load(plan: Plan) -> None:
    days_with(plan, "load bisque")[0][1]["count"] = 0


def two_loads_at_once(plan: Plan) -> None:
    day, load = days_with(plan, "load bisque")[-1]
    day["doing"].append(dict(load))


def taken_out_hot(plan: Plan) -> None:
    day, out = days_with(plan, "unload bisque")[0]
    loaded = days_with(plan, "load bisque")[0][0]
    day["doing"].remove(out)
    loaded["doing"].append(out)


def taken_out_of_an_empty_kiln(plan: Plan) -> None:
    plan["calendar"][3]["doing"].append({"stage": "unload glaze", "count": 2, "of": 2})


def more_out_than_in(plan: Plan) -> None:
    _, out = days_with(plan, "unload bisque")[0]
    out["count"] = out["of"] + 3


def gate_broken(plan: Plan) -> None:
    days_with(plan, "load glaze")[0][1]["count"] += 3


def part_left_unpoured(plan: Plan) -> None:
    plan["plaster"]["batches"][0]["parts"].pop()


def part_poured_twice(plan: Plan) -> None:
    parts = plan["plaster"]["batches"][0]["parts"]
    parts.append(dict(parts[0]))


def batch_too_small(plan: Plan) -> None:
    plan["plaster"]["batches"][0]["volume_l"] = 0.5


def batch_too_large(plan: Plan) -> None:
    plan["plaster"]["batches"][0]["volume_l"] = 90.0


def off_the_step(plan: Plan) -> None:
    plan["plaster"]["batches"][0]["water_kg"] += 0.0031


def off_the_consistency(plan: Plan) -> None:
    plan["plaster"]["batches"][0]["water_kg"] += 0.4


def water_sum_wrong(plan: Plan) -> None:
    plan["plaster"]["total_water_kg"] += 1


def too_few_bags(plan: Plan) -> None:
    plan["plaster"]["bags"] = 0


def cost_sum_wrong(plan: Plan) -> None:
    plan["cost"]["total"] = "1.00"


def sessions_wrong(plan: Plan) -> None:
    plan["plaster"]["session_list"][0]["molds"] += 1


def casts_said_wrong(plan: Plan) -> None:
    plan["answer"]["casts"] += 1


def finish_said_wrong(plan: Plan) -> None:
    later = date.fromisoformat(plan["answer"]["finish"]) + timedelta(days=1)
    plan["answer"]["finish"] = later.isoformat()


def deadline_said_wrong(plan: Plan) -> None:
    plan["answer"]["deadline_met"] = not plan["answer"]["deadline_met"]


def promise_not_kept(plan: Plan) -> None:
    days_with(plan, "finish")[-1][1]["count"] -= 1


def approved_untested(plan: Plan) -> None:
    day, approval = days_with(plan, "approval")[0]
    day["doing"].remove(approval)
    plan["calendar"][0]["doing"].append(approval)


def preparation_left_out(plan: Plan) -> None:
    for day, approval in days_with(plan, "approval"):
        day["doing"].remove(approval)


def fettled_before_cast(plan: Plan) -> None:
    days_with(plan, "fettle")[0][1]["count"] += 40


def nothing_lost_in_firing(plan: Plan) -> None:
    loaded = sum(one["count"] for _, one in days_with(plan, "load bisque"))
    out = days_with(plan, "unload bisque")
    out[-1][1]["count"] += loaded - sum(one["count"] for _, one in out)


def session_on_another_day(plan: Plan) -> None:
    plan["plaster"]["session_list"][0]["date"] = "2026-01-01"


def first_cast_said_wrong(plan: Plan) -> None:
    plan["answer"]["first_cast"] = "2026-01-01"


def session_miscounts_batches(plan: Plan) -> None:
    plan["plaster"]["session_list"][0]["batches"] += 1


def loads_miscounted(plan: Plan) -> None:
    plan["kiln"]["firings"][0]["loads"] += 1


def other_row_taken(plan: Plan) -> None:
    next(row for row in plan["molds"] if row["chosen"])["finish"] = "2026-01-01"


def another_date_for_as_many_molds(plan: Plan) -> None:
    plan["odds"]["molds_for_chance"]["rows"][0]["p50"] = "2026-01-01"


def one_more_mold_gains_otherwise(plan: Plan) -> None:
    plan["answer"]["relief"][0]["what"] = "one more mold"
    plan["answer"]["relief"][0]["days_gained"] += 40


def day_closed(plan: Plan) -> None:
    next(d for d in plan["calendar"] if d["open"])["open"] = False


def more_fettled_than_hands_can(plan: Plan) -> None:
    days_with(plan, "fettle")[0][1]["count"] += 90


def hours_told_too_low(plan: Plan) -> None:
    days_with(plan, "fettle")[0][0]["used_min"] = 1


def masters_unapproved(plan: Plan) -> None:
    day, masters = days_with(plan, "masters")[0]
    day["doing"].remove(masters)
    days_with(plan, "approval")[0][0]["doing"].append(masters)


def glazed_unfired(plan: Plan) -> None:
    days_with(plan, "glaze")[0][1]["count"] += 30


def held_otherwise(plan: Plan) -> None:
    days_with(plan, "unload glaze")[-1][1]["of"] += 2


def crowded_week(plan: Plan) -> None:
    crowded = next(d for d, _ in days_with(plan, "load bisque"))
    week = date.fromisoformat(crowded["date"]).isocalendar()[:2]
    for day in plan["calendar"]:
        if date.fromisoformat(day["date"]).isocalendar()[:2] == week and day["open"]:
            day["doing"].append({"stage": "load bisque", "count": 1})


def fired_tests_too_often(plan: Plan) -> None:
    """Three test firings beside each day's other work in one week."""
    fired = days_with(plan, "fire test casts")[0][0]
    fired["doing"] += 3 * [{"stage": "fire test casts", "count": 4}]


def masters_lacking(plan: Plan) -> None:
    parts = plan["plaster"]["batches"][0]["parts"]
    parts[:] = [{"mold": mold, "part": "foot plug"} for mold in (1, 2)]


def plaster_off_the_step(plan: Plan) -> None:
    plan["plaster"]["batches"][0]["plaster_kg"] += 0.0031


def plaster_sum_wrong(plan: Plan) -> None:
    plan["plaster"]["total_plaster_kg"] -= 1


def too_little_bought(plan: Plan) -> None:
    next(row for row in plan["to_buy"] if row["what"] == "slip")["count"] -= 1


def conditioning_said_wrong(plan: Plan) -> None:
    plan["answer"]["conditioning_casts"] -= 1


def molds_said_wrong(plan: Plan) -> None:
    plan["answer"]["molds_poured"] += 1


def other_plan_recommended(plan: Plan) -> None:
    for way in plan["ways"]:
        way["recommended"] = not way["recommended"]


PLANTED = {
    another_date_for_as_many_molds: "end on different days",
    one_more_mold_gains_otherwise: "One more mold gains",
    day_closed: "is open in the studio",
    more_fettled_than_hands_can: "min of hands",
    hours_told_too_low: "and tells 1 min",
    masters_unapproved: "masters begins on",
    glazed_unfired: "are through glaze and",
    held_otherwise: "of the glaze load",
    crowded_week: "loads; 3 is the most",
    fired_tests_too_often: "loads; 3 is the most",
    masters_lacking: "1 masters of it",
    plaster_off_the_step: "(plaster_kg), which is not on",
    plaster_sum_wrong: "(plaster_kg) and the plan says",
    too_little_bought: "of slip are bought",
    conditioning_said_wrong: "(conditioning) and the answer",
    molds_said_wrong: "(pour) and the answer",
    other_plan_recommended: "recommended is not",
    approved_untested: "approval begins on",
    preparation_left_out: "has no approval",
    fettled_before_cast: "are fettled and",
    nothing_lost_in_firing: "fewer are expected",
    session_on_another_day: "days on which molds are poured",
    first_cast_said_wrong: "first days",
    session_miscounts_batches: "as many batches",
    loads_miscounted: "the kiln says other",
    other_row_taken: "row of molds",
    closed_day_worked: "closed and has work",
    day_opened: "closed in the studio",
    day_left_out: "does not follow",
    too_much_work: "min of hands",
    too_many_finished: "had come out of the kiln",
    poured_before_masters: "before the masters are made",
    poured_twice: "M-001 is poured twice",
    cast_wet: "days after it was poured",
    cast_never_poured: "M-099 is cast",
    cast_twice_a_day: "is cast 2 times",
    cast_worn_out: "beyond its life",
    not_conditioned: "are thrown away",
    miscounted_casts: "casts from",
    fewer_fettled: "fettled",
    fired_damp: "were ready",
    overfull_load: "holds 500",
    empty_load: "holds 0",
    two_loads_at_once: "still in it",
    taken_out_hot: "it takes",
    taken_out_of_an_empty_kiln: "was not in the kiln",
    more_out_than_in: "come out of the bisque load",
    gate_broken: "that go first",
    part_left_unpoured: "exactly once",
    part_poured_twice: "exactly once",
    batch_too_small: "smaller than its parts",
    batch_too_large: "the largest mix",
    off_the_step: "(water_kg), which is not on",
    off_the_consistency: "off the consistency",
    water_sum_wrong: "(water_kg) and the plan says",
    too_few_bags: "bags do not hold",
    cost_sum_wrong: "cost lines add up",
    sessions_wrong: "as many molds",
    casts_said_wrong: "(cast) and the answer",
    finish_said_wrong: "last piece is finished",
    deadline_said_wrong: "said wrongly",
    promise_not_kept: "are promised",
}


@pytest.mark.parametrize(
    ("plant", "sentence"), PLANTED.items(), ids=lambda one: getattr(one, "__name__", "")
)
def test_a_planted_fault_is_found(plant, sentence):
    limits, plan = planned()
    plant(plan)

    found = violations(limits, as_plan(plan))

    assert any(sentence in one for one in found), found


@pytest.mark.parametrize(
    ("room", "sentence"),
    [({"mold_places": 1}, "molds are wet on"), ({"rack": 3}, "pieces stand on the rack on")],
)
def test_more_than_there_is_room_for_is_found(room, sentence):
    limits, plan = planned()

    found = violations(replace(limits, **room), as_plan(plan))

    assert found
    assert all(sentence in one for one in found), found


def test_greenware_that_stands_by_the_book_takes_its_room_on_the_rack():
    """Half is dry, and of the wet a half is lost: nine of twelve; the studio's own excess is no fault."""
    limits, plan = planned()
    first = date.fromisoformat(days_with(plan, "cast")[0][0]["date"])
    there = AtHand(
        molds={}, drying=((first - timedelta(30), 6), (first, 6)), dry_passed=0.5, waiting={}, prepared={},
        inside=None, to_finish=0, finished=0, week_loads=0, as_of=first, kiln_free_on=None, block_mold_dry=None,
    )  # fmt: skip

    def found(rack: int, at_hand: AtHand | None) -> list[str]:
        room = replace(limits, rack=rack, at_hand=at_hand)
        return list(_rack(room, as_plan(plan).calendar))

    least = next(rack for rack in range(100) if not found(rack, None))
    assert found(least + 8, there)
    assert not found(least + 9, there)
    for day, cast in days_with(plan, "cast"):
        day["doing"].remove(cast)
    for day, load in days_with(plan, "load bisque"):
        day["doing"].remove(load)
    assert not found(3, there)


def test_a_half_load_too_much_is_found_over_two_weeks():
    """Three loads in each of two weeks are six, and of two and a half a week five are the most."""
    limits, plan = planned()
    weeks: dict[date, list[Plan]] = {}
    for day in plan["calendar"]:
        day["doing"] = [one for one in day["doing"] if not one["stage"].startswith("load ")]
        when = date.fromisoformat(day["date"])
        weeks.setdefault(when - timedelta(days=when.weekday()), []).append(day)
    for week in list(weeks.values())[4:6]:
        for day in week[:3]:
            day["doing"].append({"stage": "load bisque", "count": 1})

    found = violations(replace(limits, loads_a_week=2.5), as_plan(plan))

    assert any("have 6 loads; 5 is the most" in one for one in found), found
    assert not any("is the most" in one for one in violations(limits, as_plan(plan)))


def test_a_block_mold_is_weighed_as_every_batch_is():
    limits, plan = planned("us-pitcher")
    plan["plaster"]["block_mold"]["batches"][0]["water_kg"] *= 1.1

    assert any("of the block mold is off" in one for one in violations(limits, as_plan(plan)))
