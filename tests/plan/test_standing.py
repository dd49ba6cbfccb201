"""A plan that goes on from what is true now: its rules are kept, its page can be printed, and it says less is left."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import msgspec
import pytest

from pourwright.briefs.reading import read_brief
from pourwright.plan.beside import case_beside
from pourwright.plan.case import build_case, route_of
from pourwright.plan.limits import limits_for_violations
from pourwright.plan.make import make_plan
from pourwright.plan.outlook import Effort
from pourwright.plan.plan import (
    Forecast,
    FromBook,
    Plan,
    StandingLoad,
    StandingMold,
    StandingWare,
)
from pourwright.plan.standing import (
    Learned,
    OwnRecord,
    Prior,
    Standing,
    brief_from_here,
    studio_from_here,
)
from pourwright.plan.violations import Limits, violations
from pourwright.report.answer import _honest, answer_words
from pourwright.report.blocks import Glance, Text
from pourwright.report.molds import _declare_note, _from_molds
from pourwright.report.odds import _facts as odds_facts
from pourwright.report.saying import Say
from pourwright.report.sections import plan_sections
from tests.plans import as_data, as_plan, to_plan

EXAMPLE = Path(__file__).parents[2] / "examples" / "metric-bowl" / "edition.toml"
PLANNED, NOW = date(2036, 1, 7), date(2036, 3, 10)
RUNS = 200
PRIOR = Prior(30, 0.2, 0.45, 60.0, spoiled_chance=0.03, spoiled_passed=0.2)
MOLDS = (
    StandingMold("M-001", 14, PLANNED + timedelta(8), dry=True),
    StandingMold("M-002", 12, PLANNED + timedelta(8), dry=True),
    StandingMold("M-005", 0, NOW - timedelta(4), dry=False),
)
START = Standing(NOW, PLANNED, "masters", pieces=36, proofs=3)


def plan_from(standing: Standing) -> Plan:
    return make_plan(to_plan(EXAMPLE, NOW, standing), standing.as_of, RUNS)


def stages(plan: Plan) -> set[str]:
    return {one.stage for entry in plan.calendar for one in entry.doing}


HALFWAY = replace(
    START,
    molds=MOLDS,
    labels_given=5,
    drying=((NOW - timedelta(9), 3), (NOW - timedelta(2), 4)),
    waiting={"glaze": 5},
    prepared={"glaze": 2},
    through={"glaze": 9},
    load=StandingLoad("glaze", 6, NOW - timedelta(1)),
    to_finish=1,
    finished=8,
    week_loads=1,
    own=OwnRecord(
        yields={"casting": (30, 37), "glaze": (9, 9)},
        loads={"glaze": ((4, 4), (5, 5))},
        retired_at=(22,),
        holding_at=(14, 12),
        mold_days=(11.0, 12.0),
        still_drying=(4.0,),
        minutes={"fettle": (26.0, 30.0)},
    ),
)


@pytest.fixture(scope="module")
def halfway() -> Plan:
    return plan_from(HALFWAY)


def test_a_plan_halfway_keeps_every_rule_and_starts_now(halfway: Plan) -> None:
    assert halfway.violations == ()
    assert halfway.calendar[0].date == NOW
    assert halfway.answer.finish > NOW
    first = next(one for e in halfway.calendar for one in e.doing if "unload" in one.stage)
    assert (first.stage, first.of) == ("unload glaze", 6)


def test_fewer_casts_are_left_than_the_whole_edition_takes(halfway: Plan) -> None:
    whole = plan_from(START)
    in_work = 8 + 1 + 6 + 5 + 7
    assert whole.answer.casts - in_work * 1.4 < halfway.answer.casts
    assert halfway.answer.casts < whole.answer.casts - in_work
    assert halfway.answer.finish < whole.answer.finish


def test_new_molds_are_called_after_the_last_label(halfway: Plan) -> None:
    doing = [one for entry in halfway.calendar for one in entry.doing]
    cast = {label for one in doing for label in one.molds if one.stage != "pour"}
    poured = [label for one in doing for label in one.molds if one.stage == "pour"]
    assert {"M-001", "M-002", "M-005"} <= cast
    assert poured == [f"M-{6 + n:03d}" for n in range(len(poured))]


def test_the_studio_s_own_counts_are_named(halfway: Plan) -> None:
    own = {row.field: row for row in halfway.sources if row.kind == "book"}
    assert own["losses.casting"].source == "37 casts of yours, weight 38 %"  # 37 of 60 + 37
    glaze = re.fullmatch(
        r"9 pieces of yours in 2 loads, weight (\d+) %", own["losses.glaze"].source
    )
    assert glaze is not None
    assert 1 <= int(glaze[1]) < 13  # 9 of 60 + 9, if they had not shared two fires
    days = own["drying.days_low"].source
    assert (
        days == "2 molds of yours timed and 1 not dry yet, weight 89 %"
    )  # 2 / 0.2 of that and 1 / 0.8
    assert own["work.fettle"].source == "2 timings of yours, weight 67 %"
    assert own["mold.life"].source.startswith("1 mold of yours worn and 2 that held, weight ")
    assert halfway.odds.own_casts == 37


@pytest.mark.parametrize(("of", "said"), [(530, "weight 90"), (550, "studio's own: 550 casts")])
def test_a_figure_is_the_studio_s_own_only_when_it_is(of: int, said: str) -> None:
    """Of 60 + 530 casts of experience the studio counted 89.8 %, of 60 + 550 it counted 90.2 %."""
    brief, _ = read_brief(EXAMPLE, NOW)
    standing = replace(START, own=OwnRecord(yields={"casting": (of - 20, of)}))
    learned, _ = brief_from_here(brief, standing, route_of(brief), PRIOR)
    assert said in learned.origins["losses.casting"].source


def test_molds_that_still_dry_are_told_only_when_they_say_something() -> None:
    """Wet after three days is what everybody expects of seven to fourteen; wet after thirteen is not."""
    _, studio = read_brief(EXAMPLE, NOW)
    for days, moved in ((3.0, False), (13.0, True)):
        standing = replace(START, own=OwnRecord(still_drying=(days,) * 6))
        after, learned = studio_from_here(studio, Learned((), 0.2), standing)
        assert (after.origins["drying.days_low"].kind == "book") == moved
        assert (learned.mold_days > (studio.drying.days_low, studio.drying.days_high)) or not moved


def test_in_a_room_that_is_told_wet_molds_slow_each_other_until_they_are_timed() -> None:
    """By pencil: 723 kg of air a day take 8.5 g each at most, 6.2 kg, of the 2.85 kg in each mold: 0.46 days."""
    brief, studio = read_brief(EXAMPLE, NOW)
    told = replace(studio, drying=replace(studio.drying, room_l=50_000.0))
    timed = replace(START, own=OwnRecord(mold_days=(9.0,)))

    assert build_case(brief, studio, NOW).edition.beside_days == 0
    assert build_case(brief, told, NOW).edition.beside_days == pytest.approx(0.46, abs=0.01)
    assert build_case(brief, told, NOW, standing=START).edition.beside_days > 0.4
    assert build_case(brief, told, NOW, standing=timed).edition.beside_days == 0


def test_a_session_that_is_begun_leaves_less_of_its_day() -> None:
    """By pencil: of the day its setup and two molds are gone; a mold of the day before takes nothing."""
    brief, studio = read_brief(EXAMPLE, NOW)
    begun = [StandingMold(label, 0, NOW, dry=False) for label in ("M-006", "M-007")]
    before = build_case(brief, studio, NOW, standing=replace(START, molds=MOLDS))
    case = build_case(brief, studio, NOW, standing=replace(START, molds=(*MOLDS, *begun)))
    spent_min = case.edition.setup_min + 2 * case.edition.set_min

    assert before.workshop.minutes[0] == case.day_minutes == before.day_minutes
    assert case.workshop.minutes[0] == case.day_minutes - spent_min > 0
    assert case.workshop.minutes[1] == case.day_minutes


def test_everything_cast_leaves_only_fire_and_hands() -> None:
    """36 + 3 wanted and 60 are dry: nothing is poured or cast, and there is still something to say."""
    plan = plan_from(replace(START, molds=MOLDS[:2], drying=((NOW - timedelta(30), 60),)))
    assert stages(plan) <= {
        "load bisque",
        "unload bisque",
        "glaze",
        "load glaze",
        "unload glaze",
        "finish",
    }
    assert (plan.answer.casts, plan.answer.molds_poured) == (0, 0)
    assert plan.answer.first_pour is None
    assert plan.answer.first_cast is None
    plan = msgspec.structs.replace(plan, book=a_book(plan))
    assert "('Molds to pour', 'none" in repr(plan_sections(plan))
    assert as_plan(as_data(plan)) == plan


def test_no_cast_is_made_up_for_a_proof() -> None:
    """37 of 36 + 3 came of 66 casts, where some 53 should have given all: the two proofs stay away."""
    own = OwnRecord(yields={"casting": (60, 66)})
    plan = plan_from(replace(START, molds=MOLDS[:2], to_finish=2, finished=35, own=own))
    assert (plan.answer.casts, stages(plan), plan.violations) == (0, {"finish"}, ())
    assert plan.answer.finish == NOW
    assert plan.surplus.expected == 0


def test_proofs_that_are_there_make_no_numbers() -> None:
    """37 of 36 + 3 again, the three proofs among them: two numbers are still to be cast."""
    own = OwnRecord(yields={"casting": (60, 66)})
    there = replace(START, molds=MOLDS[:2], to_finish=2, finished=35, own=own, proofs_made=3)
    assert plan_from(there).answer.casts >= 2


def test_molds_all_gone_and_the_last_load_in_the_kiln() -> None:
    load = StandingLoad("glaze", 4, NOW - timedelta(1))
    plan = plan_from(replace(START, load=load, finished=37, through={"glaze": 40}))
    assert plan.answer.casts == 0
    assert NOW < plan.answer.finish <= NOW + timedelta(5)


def test_the_molds_at_hand_count_in_what_may_be_declared(halfway: Plan) -> None:
    """Three are there and one more is poured, say: from four molds so many may be declared."""
    answer = msgspec.structs.replace(halfway.answer, molds_poured=1)
    book = msgspec.structs.replace(a_book(halfway), molds=MOLDS)
    one_more = msgspec.structs.replace(halfway, answer=answer, book=book)
    table = _from_molds(one_more)
    assert [table.rows[at][0] for at in table.marked] == ["4"]
    assert "This plan has 4, of which 1 is still to be poured" in _declare_note(one_more)


def test_why_the_calendar_ends_elsewhere_stands_beside_its_end(halfway: Plan) -> None:
    why = "Half of all ways it may go end 9 days after the calendar does."
    odds = msgspec.structs.replace(halfway.odds, apart=why)
    late = msgspec.structs.replace(halfway, odds=odds)
    [even] = [row for row in odds_facts(late, Say.of(late)) if row[0] == "Even odds by"]
    assert even[2].startswith("the calendar ends on ")
    assert even[2].endswith(why)
    assert f"its own end is {Say.of(late).day(late.answer.finish)}. {why}" in _honest(late)
    assert "let it end where half" not in _honest(late)


def test_why_test_casts_are_dropped_stands_at_the_head(halfway: Plan) -> None:
    book = msgspec.structs.replace(a_book(halfway), unapproved="molds")
    glance, why, *_ = answer_words(msgspec.structs.replace(halfway, book=book)).blocks
    assert isinstance(glance, Glance)
    assert isinstance(why, Text)
    assert why.text.startswith(
        "Molds were poured before the test casts were approved, so this plan"
    )


def test_another_s_load_keeps_the_kiln(halfway: Plan) -> None:
    free = NOW + timedelta(3)
    plan = plan_from(replace(START, drying=((NOW - timedelta(20), 60),), kiln_free_on=free))
    loads = [e.date for e in plan.calendar for o in e.doing if o.stage[:4] == "load"]
    assert min(loads) >= free


def test_nothing_there_is_the_plan_from_today(tmp_path: Path) -> None:
    """The empty book of a studio whose masters are made: the plan made today, field by field."""
    brief = tmp_path / "edition.toml"
    text = EXAMPLE.read_text().replace('have = "block mold"', 'have = "masters"')
    text = re.sub(r"(?m)^pieces = .*$", "pieces = 24\nmolds_at_most = 3", text)
    brief.write_text(re.sub(r"(?m)^(start|sizes|test_casts) = .*$", "", text))
    (tmp_path / "studio.toml").write_text(EXAMPLE.with_name("studio.toml").read_text())
    fresh = as_data(make_plan(to_plan(brief, NOW), NOW, RUNS))
    empty = Standing(NOW, NOW, "masters", fresh["edition"]["pieces"], fresh["edition"]["proofs"])

    begun = as_data(make_plan(to_plan(brief, NOW, empty), NOW, RUNS))

    asked_of_a_new_plan = {"ladder", "sizes", "lives"}
    same = set(fresh) - asked_of_a_new_plan - {"cost", "answer"}
    assert {k: begun[k] for k in same} == {k: fresh[k] for k in same}
    for section, per_piece in (("cost", "per_piece"), ("answer", "cost_per_piece")):
        assert fresh[section] | {per_piece: None} == begun[section]


def moved(plan: Plan, stage: str, changes: dict[str, Any]) -> Plan:
    """Return the plan with the first work of a stage changed."""
    other = as_data(plan)
    one = next(o for e in other["calendar"] for o in e["doing"] if o["stage"] == stage)
    one.update(changes)
    return as_plan(other)


@pytest.mark.parametrize(
    ("stage", "changes", "said"),
    [
        ("cast", {"molds": ["M-099", "M-002"], "count": 2}, "M-099 is cast on"),
        ("conditioning", {"stage": "cast"}, "the first 2 are thrown away"),
        ("unload glaze", {"of": 5}, "come out of the glaze load"),
        ("load bisque", {"count": 40}, "it takes 1 to"),
        ("glaze", {"count": 90}, "are through glaze and"),
        ("finish", {"count": 90}, "are finished and"),
    ],
)
def test_planted_faults_are_found_in_a_plan_that_goes_on(
    halfway: Plan, stage: str, changes: dict[str, Any], said: str
) -> None:
    limits = limits_of(HALFWAY)
    assert violations(limits, halfway) == []
    found = violations(limits, moved(halfway, stage, changes))
    assert any(said in one for one in found), found


def test_losses_that_do_not_come_are_found_in_a_plan_that_goes_on(halfway: Plan) -> None:
    other = as_data(halfway)
    for one in (o for e in other["calendar"] for o in e["doing"]):
        if one["stage"] == "unload glaze":
            one["count"] = one["of"]

    found = violations(limits_of(HALFWAY), as_plan(other))

    assert any("fewer are expected to be" in one for one in found), found


def test_what_is_there_must_be_kept_by_the_plan(halfway: Plan) -> None:
    """The same plan in a room where less is there breaks a rule for each thing that is missing."""
    for change, said in (
        ({"molds": MOLDS[1:]}, "M-001 is cast on"),
        ({"load": None}, "was not in the kiln"),
        ({"finished": 5}, "are promised"),
        ({"kiln_free_on": NOW + timedelta(60)}, "another's load is in it"),
        ({"waiting": {"glaze": 0}}, "had come"),
        ({"drying": ()}, "were ready"),
    ):
        found = violations(limits_of(replace(HALFWAY, **change)), halfway)
        assert any(said in one for one in found), (change, found)


def test_test_casts_from_a_wet_block_mold_are_found(halfway: Plan) -> None:
    """It is made today and dries for seven days at least; so the first work of the plan comes too early."""
    limits = limits_of(replace(HALFWAY, have="block mold", block_mold_made=NOW))
    found = violations(limits, moved(halfway, "unload glaze", {"stage": "test casts"}))
    assert any("block mold drying takes until then" in one for one in found), found


def test_a_week_that_the_studio_overfilled_itself_is_no_fault_of_the_plan() -> None:
    """Four loads have gone in since Monday, three is the most: the plan waits for the next week."""
    wednesday = NOW + timedelta(2)
    there = replace(
        HALFWAY,
        as_of=wednesday,
        load=None,
        waiting={"glaze": 18},
        prepared={"glaze": 18},
        week_loads=0,
    )
    overfilled = replace(there, week_loads=4)

    in_time, waits = plan_from(there), plan_from(overfilled)

    next_week = NOW + timedelta(7)
    assert min(loads_of(waits)) >= next_week > min(loads_of(in_time))
    found = violations(limits_of(overfilled), in_time)
    assert any("loads; " in one for one in found), found


def loads_of(plan: Plan) -> list[date]:
    """Return the days on which the kiln is loaded."""
    return [e.date for e in plan.calendar for one in e.doing if one.stage.startswith("load ")]


def limits_of(standing: Standing) -> Limits:
    case = case_beside(to_plan(EXAMPLE, NOW, standing), NOW, (), Effort(RUNS))
    return limits_for_violations(case)


def a_book(plan: Plan) -> FromBook:
    ends = plan.odds.finish
    now = Forecast(plan.as_of, plan.answer.finish, ends.p10, ends.p50, ends.p90, plan.odds.word)
    return FromBook(
        entries=3, head="0" * 64, state="declared", have="masters", molds=MOLDS[:1],
        stages=(StandingWare("greenware", 60),), load=None, finished=0, wanted=0, own=(),
        first_plan=None, now=now, days_later=None,
    )  # fmt: skip
