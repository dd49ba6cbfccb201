"""What is to be bought: by pencil, from a small brief."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from msgspec.structs import replace as changed
from pytest import approx

from pourwright.briefs.reading import read_brief
from pourwright.briefs.records import Brief
from pourwright.errors import NotDoable
from pourwright.plan.before import Before
from pourwright.plan.buying import less_what_is_there, to_buy
from pourwright.plan.case import build_case
from pourwright.plan.cost import Use, cost_of_plan
from pourwright.plan.plan import Doing, PlanDay
from pourwright.simulation.cost import Cost
from tests.plans import AS_OF, brief_of, example_plan, sample_plan

TODAY = date(2031, 3, 3)
STUDIO = """\
version = 1
[shop]
slip = "20 l"
rubber = "1 kg"
glaze = "2 kg"
[kiln]
loads_a_week = 2
"""
EDITION = """\
version = 1
[edition]
id = "reed-cup"
pieces = 10
proofs = 2
[preparation]
rubber = "4.2 kg"
[[mold.parts]]
water = "1 kg"
[[mold.parts]]
water = "1 kg"
[firing]
glaze_load = 6
"""


def days(**first):
    """Return a calendar in which each kind of work, its spaces as underscores, is done on one day."""
    return tuple(
        PlanDay(date(2031, 3, day), True, 360, 60, (Doing(stage.replace("_", " "), 1),))
        for stage, day in first.items()
    )


def bought(tmp_path, calendar, **plaster):
    (tmp_path / "studio.toml").write_text(STUDIO)
    (tmp_path / "edition.toml").write_text(EDITION)
    case = build_case(*read_brief(tmp_path / "edition.toml", TODAY), TODAY)
    plan = sample_plan()
    casting = changed(plan.casting, slip_for_edition_l=18.0, kept_l=0.4, drained_l=0.6)
    mixes = changed(plan.plaster, bag_kg=25.0, **plaster)
    glaze = changed(plan.glaze, dry_kg=3.1)
    return {one.what: one for one in to_buy(case, 3, mixes, casting, glaze, calendar)}


def test_everything_is_bought_in_whole_units_by_the_day_it_is_first_used(tmp_path):
    """49 kg of plaster are 2 bags; 18 l kept and 3 x 0.6 l drained are 19.8 l, and four test casts
    keep 1.6 l: two pails; 3 molds and a block mold of 2 straps; 4.2 kg of rubber are 5 kits; 3.1 kg
    of glaze 2 bags; 10 pieces and 2 proofs."""
    calendar = days(masters=4, pour=10, cast=20, glaze=25, finish=30)
    rows = bought(tmp_path, calendar, total_plaster_kg=49.0)

    assert [(name, row.by.day, row.count) for name, row in rows.items()] == [
        ("rubber", 4, 5),
        ("plaster", 10, 2),
        ("straps", 10, 8),
        ("slip", 20, 2),
        ("glaze", 25, 2),
        ("boxes", 30, 12),
    ]
    assert rows["slip"].need == approx(21.4)


def test_a_block_mold_takes_plaster_and_what_is_there_is_not_bought_again(tmp_path):
    """52 kg, the block mold's among them, are 3 bags; 30 kg in the studio leave one to buy."""
    rows = bought(tmp_path, days(block_mold=3, pour=10), total_plaster_kg=52.0)
    left = less_what_is_there(tuple(rows.values()), {"plaster": 30.0})

    assert (rows["plaster"].by.day, rows["plaster"].count) == (3, 3)
    assert rows["straps"].by.day == 3
    assert {row.what: row.count for row in left}["plaster"] == 1
    enough = less_what_is_there(left, {"plaster": 60.0})
    assert {row.what: (row.count, row.there) for row in enough}["plaster"] == (0, 52.0)


def test_rubber_has_its_price_only_where_it_is_told_and_masters_are_made(tmp_path):
    from pourwright.plan.cost import _rubber_kg

    (tmp_path / "studio.toml").write_text(STUDIO)
    (tmp_path / "edition.toml").write_text(EDITION)
    case = build_case(*read_brief(tmp_path / "edition.toml", TODAY), TODAY)
    there = replace(case.brief, preparation=replace(case.brief.preparation, have="masters"))

    assert _rubber_kg(case) == 4.2
    assert _rubber_kg(replace(case, brief=there)) == 0.0


def test_hands_before_the_first_pour_are_paid_where_they_are_told(tmp_path: Path) -> None:
    """By pencil: 5 h in two days and 11 h in five are 150 and 132 min a day, and 16 h at 34.00 USD are 544.00."""
    text = brief_of("us-pitcher").read_text()
    studio = brief_of("us-pitcher").with_name("studio.toml").read_text()
    (tmp_path / "studio.toml").write_text(studio.replace('master = "210.00 USD"', ""))
    text = text.replace("original_days = 12", 'original_days = 12\nrefused = "0 %"')
    path, told = tmp_path / "edition.toml", 'block_mold_hours = "5 h"\nmasters_hours = "11 h"\n'

    def cost(hours: str) -> tuple[Cost, Before]:
        path.write_text(text.replace("[mold]\n", f"{hours}[mold]\n", 1))
        case = build_case(*read_brief(path, AS_OF), AS_OF)
        return cost_of_plan(case, Use(49, 4, 4, 2, (3, 5))), case.before

    (silent, _), (said, before) = cost(""), cost(told)

    not_known = {what.partition(":")[0] for what in silent.not_priced}
    assert {"hands for the block mold", "hands for the masters"} <= not_known
    assert not any("hands" in what for what in said.not_priced)
    assert said.total is not None
    assert silent.total is not None
    assert said.total - silent.total == Decimal("544.00")
    assert {task.minutes for task in before.tasks if task.what == "masters"} == {132}
    with pytest.raises(NotDoable, match="masters_days = 6 or more"):
        cost('masters_hours = "31 h"\n')


def test_what_may_be_refused_is_told_with_its_days_and_stands_in_the_cost() -> None:
    """By pencil: a block mold again from Thu 17 Sep is poured in two days, dries 14, is cast on four working
    days until Thu 8 Oct; the casts dry and are fired until Mon 19 Oct and judged on two days, 35 in all.

    One master in twenty of 210.00 is 10.50; a round of tests takes 5 h 42 min of hands and 12 lb 6 oz of
    plaster, 193.80 and 10.15 of USD, and slip, glaze and two loads besides.
    """
    brief, studio = read_brief(brief_of("us-pitcher"), AS_OF)
    case = build_case(brief, studio, AS_OF)
    cost = cost_of_plan(case, Use(49, 4, 4, 2, (3, 5)))
    lines = {line.name: line for line in cost.lines}

    assert [(one.what, one.chance, one.days) for one in case.before.again] == [
        ("test casts", 0.05, 35),
        ("one master", 0.05, 7),
    ]
    assert {stage.name: stage.note for stage in case.before.stages if stage.note} == {
        "block mold drying": "14 days, the longest for a mold: it is the thickest; common practice, no source",
        "approval": "the gate before rubber; 35 days more where they are refused",
        "masters": "7 days more where one is refused",
    }
    assert lines["one master once more, if refused"].amount == Decimal("10.50")
    assert 193.80 + 10.15 < lines["test casts once more, if refused"].price < 260

    never = replace(brief, preparation=replace(brief.preparation, refused=0.0))
    sure = build_case(never, studio, AS_OF)
    assert sure.before.again == ()
    silent = cost_of_plan(sure, Use(49, 4, 4, 2, (3, 5)))
    more = sum(line.amount for name, line in lines.items() if "refused" in name)
    assert cost.total == (silent.total or 0) + more


def test_test_casts_take_hands_and_a_load_of_each_firing() -> None:
    """By pencil: 5 h 42 min of hands, and 3 and 5 loads with those of the test casts are 4 and 6 without."""
    brief, studio = read_brief(brief_of("us-pitcher"), AS_OF)
    approved = replace(brief, preparation=replace(brief.preparation, have="approved"))

    def used(brief: Brief, loads: tuple[int, int]) -> dict[str, Decimal]:
        cost = cost_of_plan(build_case(brief, studio, AS_OF), Use(49, 4, 4, 2, loads))
        return {line.name: line.quantity for line in cost.lines}

    tested = used(brief, (3, 5))
    assert tested["labor: test casts"] == Decimal("5.7")
    assert tested["kiln energy"] == used(approved, (4, 6))["kiln energy"]


def test_test_casts_are_glazed_and_the_block_mold_is_weighed_as_one_mold_is():
    """By pencil, of 4 test casts: their glaze is that of 4 pieces, bought for their second firing."""
    plan = example_plan("us-pitcher")
    pitcher, _ = read_brief(brief_of("us-pitcher"), AS_OF)
    row = {one.what: one for one in plan.to_buy}
    glaze, tested = pitcher.glaze, pitcher.preparation.test_casts
    fired = [
        day.date for day in plan.calendar for one in day.doing if one.stage == "fire test casts"
    ]
    each_kg = (glaze.area_m2 or 0.0) * (glaze.coat_g_per_m2 or 0.0) / 1000
    block, mold = plan.plaster.block_mold, plan.plaster.per_mold

    assert row["glaze"].need == approx((plan.glaze.dry_kg or 0.0) + tested * each_kg, abs=0.002)
    assert row["glaze"].by == fired[1]
    assert block is not None
    assert [one.part for one in block.batches] == [one.name for one in plan.plaster.parts]
    assert block.batches[0].date < block.batches[-1].date  # part by part over its days
    assert sum(one.plaster_kg for one in block.batches) == approx(1.05 * mold.plaster_kg, rel=0.02)
    assert block.date == row["plaster"].by == row["straps"].by
    assert row["plaster"].need == approx(plan.plaster.total_plaster_kg, abs=0.001)
    assert row["plaster"].count == plan.plaster.bags
    assert row["straps"].count == 2 * (plan.answer.molds + 1)
    told = {one.partition(":")[0] for one in plan.cost.not_priced}
    assert told == {"straps", "hands for the block mold"}
