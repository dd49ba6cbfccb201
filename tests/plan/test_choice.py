"""Which plan is taken: what a potter would take with the same table before them."""

from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.briefs.reading import read_brief
from pourwright.briefs.records import Prefer
from pourwright.plan.case import build_case
from pourwright.plan.choice import Way, best_at, recommended, unbeaten
from pourwright.plan.make import make_plan
from pourwright.plan.plan import Doing, Plan
from pourwright.plan.relief import idle_masters, with_one_set_more
from pourwright.report.answer import outlook_words
from pourwright.report.plaster import plaster_words
from tests.plans import (
    AS_OF,
    EXAMPLES,
    as_data,
    as_plan,
    brief_of,
    example_plan,
    sample_plan,
    to_plan,
)

TODAY = date(2031, 3, 3)
RUNS = 400
STUDIO = """\
version = 1
[studio]
currency = "EUR"
[plaster]
bag_price = "24.00 EUR"
[prices]
labor = "25.00 EUR/h"
[kiln]
loads_a_week = 3
energy_price = "0.30 EUR/kWh"
volume = "120 l"
"""
JUG = """\
version = 1
[edition]
id = "jug"
pieces = 120
proofs = 6
{wish}
[preparation]
have = "masters"
[mold]
life = 25
{parts}
[firing]
glaze_load = 10
bisque_load = 15
"""
PART = """\
[[mold.parts]]
name = "{name}"
water = "{water} kg"
"""


@pytest.fixture(scope="module")
def jugs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Plan]:
    """Return the plan of the jug as it is, and with the soonest or the fewest molds preferred."""
    date_kept = 'deadline = "in 40 weeks"'
    wishes = {"": date_kept} | {
        what: f'{date_kept}\nprefer = "{what}"' for what in ("soonest", "fewest molds")
    }
    return {what: jug(tmp_path_factory.mktemp("jug"), wish) for what, wish in wishes.items()}


def jug(folder: Path, wish: str) -> Plan:
    """Return the plan of a jug in five parts, 120 of them and 6 proofs."""
    waters = {"left": 1.9, "right": 1.9, "foot": 0.6, "spout": 0.7, "collar": 0.5}
    parts = "".join(PART.format(name=name, water=water) for name, water in waters.items())
    (folder / "studio.toml").write_text(STUDIO)
    path = folder / "edition.toml"
    path.write_text(JUG.format(wish=wish, parts=parts))
    return make_plan(to_plan(path, TODAY), TODAY, RUNS)


def test_a_lax_date_gets_no_worse_plan_than_a_tight_one(jugs: dict[str, Plan]) -> None:
    """Two molds keep a date nine months off, but more molds keep it for less and weeks sooner."""
    plan = jugs[""]

    chosen = next(way for way in plan.ways if way.recommended)
    in_time = [row for row in plan.odds.molds_for_chance.rows if (row.chance or 0) >= 0.9]
    assert chosen.cost is not None
    assert chosen.molds == plan.answer.molds
    assert chosen.cost <= min(row.cost for row in in_time if row.cost is not None)
    assert chosen.names[0] == "cheapest"
    two = next((row for row in in_time if row.molds == 2), None)
    assert two is None or (two.cost or 0) > chosen.cost


def test_what_is_preferred_is_taken(jugs: dict[str, Plan]) -> None:
    """Without a wish the cheapest."""
    for what, plan in jugs.items():
        taken = next(way.names for way in plan.ways if way.recommended)
        assert (what or "cheapest") in taken
    assert jugs["soonest"].odds.finish.p50 <= jugs[""].odds.finish.p50
    assert jugs["fewest molds"].answer.molds_poured <= jugs["soonest"].answer.molds_poured


def test_the_plan_has_one_cost(jugs: dict[str, Plan]) -> None:
    """The lines, the plan's row in each table and the choice tell one figure."""
    plan = jugs[""]

    costs = {
        plan.cost.total,
        next(row.cost for row in plan.molds if row.chosen),
        next(row.cost for row in plan.odds.molds_for_chance.rows if row.molds == plan.answer.molds),
        next(way.cost for way in plan.ways if way.recommended),
    }
    assert len(costs) == 1
    assert plan.cost.total == sum(line.amount for line in plan.cost.lines)


def loads_of(plan: Plan, firing: str) -> list[Doing]:
    """Return the loads of a firing as the days have them."""
    return [one for day in plan.calendar for one in day.doing if one.stage == f"load {firing}"]


def test_loads_are_those_a_potter_would_fire(jugs: dict[str, Plan]) -> None:
    """By pencil: 126 need 137 in the glaze; six proofs first and 13 full loads of ten leave one.

    142 bisques are ten loads of fifteen. Two loads more of each are let pass; each that is
    not full says why, and none holds less than half but the proofs and the last.
    """
    plan = jugs[""]
    glaze, bisque = loads_of(plan, "glaze"), loads_of(plan, "bisque")

    assert len(glaze) <= 17
    assert len(bisque) <= 12
    for load in (*glaze, *bisque):
        assert (load.why is None) == (load.count == load.of)
        if load.why not in ("proofs first", "the last of them", None):
            assert 2 * load.count >= load.of


def test_a_load_for_one_piece_is_fired_only_for_what_it_is_worth(jugs: dict[str, Plan]) -> None:
    """The one plan that may fire a load for a few pieces in between is the one for the soonest finish."""
    for wish, plan in jugs.items():
        small = [
            one
            for one in loads_of(plan, "glaze")
            if one.count <= 2 and one.why != "the last of them"
        ]
        assert not small or wish == "soonest"
        assert all(one.why == "for the days it saves" for one in small)


def way(finish: float, spent: float, poured: int) -> Way:
    """Return a plan of which only this is in question."""
    return Way(None, finish, spent, poured, 1.0)  # type: ignore[arg-type]


def case_with(**wished: object) -> Any:
    """Return a case of which only the wishes are in question."""
    terms = SimpleNamespace(confidence=0.9, casting_weeks=None, prefer=None, week_saved=0.0)
    edition = SimpleNamespace(pour_from=0, mold_dry_days=0)
    brief = SimpleNamespace(edition=SimpleNamespace(**vars(terms) | wished))
    return SimpleNamespace(brief=brief, edition=edition)


numbers = st.integers(1, 6)
ways = st.lists(
    st.tuples(numbers, numbers, numbers).map(
        lambda one: way(10.0 * one[0], 100.0 * one[1], one[2])
    ),
    min_size=1,
    max_size=12,
)


@given(ways)
def test_what_is_shown_is_not_beaten_and_what_is_left_out_is(found: list[Way]) -> None:
    """By the plain definition: as good in all three and better in one."""
    kept = unbeaten(found)

    def beaten(one: Way, by: list[Way]) -> bool:
        three = (one.spent, one.finish, one.poured)
        others = [(way.spent, way.finish, way.poured) for way in by]
        return any(
            o != three and all(a <= b for a, b in zip(o, three, strict=True)) for o in others
        )

    assert kept
    assert not any(beaten(one, found) for one in kept)
    assert all(beaten(one, found) for one in found if one not in kept)


@pytest.mark.parametrize(("week_saved", "molds"), [(0.0, 1), (0.02, 1), (0.03, 2), (0.12, 4)])
def test_without_a_date_a_week_is_bought_for_what_it_is_worth(
    week_saved: float, molds: int
) -> None:
    """By pencil: 1,000 EUR in 20 weeks, 1,100 in 16 (25 a week saved), 1,500 in 12 (100 a week)."""
    made = {1: (140.0, 1000.0), 2: (112.0, 1100.0), 4: (84.0, 1500.0)}
    offered = [way(finish, spent, n) for n, (finish, spent) in made.items()]

    taken = recommended(case_with(week_saved=week_saved), offered, dated=False)

    assert taken.poured == molds
    assert best_at(offered, "soonest").poured == 4


@pytest.mark.parametrize(
    ("three", "four", "prefer", "molds"),
    [
        ((112.0, 1003.0), (84.0, 1300.0), None, 3),  # four weeks sooner for 3 EUR
        ((112.0, 1006.0), (84.0, 1300.0), None, 2),
        ((112.0, 1003.0), (106.0, 1004.0), None, 4),
        ((134.0, 999.0), (133.6, 996.0), None, 3),  # no sooner to the day, one mold less
        ((140.0, 996.0), (140.0, 997.0), "cheapest", 2),
        ((112.0, 1003.0), (106.0, 1004.0), "fewest molds", 2),
        ((84.3, 1304.0), (84.0, 1300.0), "soonest", 3),
    ],
)
@pytest.mark.parametrize("dated", [True, False])
def test_of_plans_that_cost_the_same_the_soonest_is_taken_then_that_of_fewest_molds(
    three: tuple[float, float], four: tuple[float, float], prefer: Prefer, molds: int, dated: bool
) -> None:
    """By pencil: half a percent of 1,000 EUR for two molds in 20 weeks are 5 EUR."""
    offered = [way(140.0, 1000.0, 2), way(*three, 3), way(*four, 4)]

    assert recommended(case_with(prefer=prefer), offered, dated=dated).poured == molds
    assert best_at(offered, prefer or "cheapest").poured == molds


def test_the_cheapest_of_plans_that_cost_the_same_is_told_plainly() -> None:
    """Of 13,300 and 13,310 one is called the cheapest, of 13,300 and 13,400 one is."""

    def told(dearer: str) -> str:
        cheap, other = as_data(sample_plan())["ways"][:2]
        ways = [cheap | {"names": ["cheapest"], "cost": "13300.00"}]
        ways += [other | {"names": ["soonest"], "cost": dearer}]
        return repr(outlook_words(as_plan(as_data(sample_plan()) | {"ways": ways})))

    why = "Of plans with the same cost within half a percent, the soonest is the cheapest"
    assert why in told("13310.00")
    assert why not in told("13400.00")


@pytest.mark.parametrize(
    ("prefer", "chances", "molds"),
    [
        ("soonest", (0.0, 0.2, 0.22), 4),
        ("fewest molds", (0.0, 0.6, 0.8), 1),
        (None, (0.0, 0.2, 0.22), 2),
        (None, (0.0, 0.1, 0.4), 4),
        (None, (0.0, 0.84, 0.88), 2),
    ],
)
def test_where_no_plan_keeps_the_date_what_is_preferred_wins_and_else_the_money(
    prefer: str | None, chances: tuple[float, ...], molds: int
) -> None:
    """By pencil: four weeks for 100 EUR are worth it at 30 a week, four more for 400 only for the date.

    Where two times in five keep it, it is worth trying; 84 and 88 of a hundred are much the same.
    """
    made = zip((140.0, 112.0, 84.0), (1000.0, 1100.0, 1500.0), (1, 2, 4), chances, strict=True)
    offered = [Way(None, *one) for one in made]  # type: ignore[arg-type]
    case = case_with(prefer=prefer, week_saved=0.03)

    assert recommended(case, offered, dated=True).poured == molds


def test_what_one_break_costs_is_told(tmp_path: Path) -> None:
    """By pencil: 1 - 0.99^n over the casts of the one mold, and over the pours of five single masters."""
    plan = jug(tmp_path, "molds = 1").answer
    mold, master = plan.breaks

    assert (mold.what, master.what) == ("the one mold", "the one master of a part")
    assert mold.chance == pytest.approx(
        1 - 0.997 ** (plan.casts + plan.conditioning_casts), abs=0.001
    )
    assert master.chance == pytest.approx(1 - 0.997 ** (5 * plan.molds_poured), abs=0.001)


def test_only_the_master_that_a_set_lacks_is_bought(jugs: dict[str, Plan]) -> None:
    """A set of five lacks one of each; where one part has two, the others lack one."""
    whole = [one.what for one in jugs[""].answer.relief]

    assert "another set of masters" in whole
    bowl, _ = read_brief(brief_of("metric-bowl"), AS_OF)
    lacks, scarce = with_one_set_more(bowl)
    assert [part.masters for part in lacks.mold.parts] == [2, 2]
    assert scarce == ["foot plug"]


def test_a_second_master_of_one_part_gains_nothing_and_is_told(tmp_path: Path) -> None:
    """Of five parts the left one has two masters: the other four hold a second mold up all the same."""
    path = tmp_path / "edition.toml"
    (tmp_path / "studio.toml").write_text(STUDIO)

    def idle(*scarce: str) -> tuple[str, ...]:
        parts = [
            PART.format(name=name, water=1.2) for name in ("left", "right", "foot", "spout", "lid")
        ]
        second = [
            part if part.split('"')[1] in scarce else f"{part}masters = 2\n" for part in parts
        ]
        path.write_text(JUG.format(wish="", parts="".join(second)))
        return idle_masters(build_case(*read_brief(path, TODAY), TODAY))

    assert idle("right", "foot", "spout", "lid") == ("left",)
    assert idle() == ()
    told = sample_plan(plaster={"idle_masters": ["left"]})
    assert "A master that gains nothing" in repr(plaster_words(told))


@pytest.mark.parametrize("example", EXAMPLES)
def test_what_limits_is_what_its_own_cure_loosens_most(example: str) -> None:
    """Getting to masters once limited, and one more mold was the cure."""
    answer = example_plan(example).answer
    best = max(answer.relief, key=lambda one: one.days_gained)

    assert best.days_gained > 0
    assert best.limit == answer.limited_by


def test_a_small_rack_and_few_places_to_dry_hold_the_plan_up_and_say_so(tmp_path: Path) -> None:
    """A dozen pieces fit where fifteen fill the kiln: the rack is emptied part full, or nothing is ever cast again."""
    path = tmp_path / "edition.toml"
    path.write_text(JUG.format(wish="molds = 6", parts=PART.format(name="cup", water=1.9)))

    def with_room(told: str) -> Plan:
        (tmp_path / "studio.toml").write_text(STUDIO + told)
        return make_plan(to_plan(path, TODAY), TODAY, RUNS)

    free = with_room("")
    full = with_room("[drying]\nrack = 12\nmold_places = 1\n")
    poured = [one.molds for one in full.plaster.session_list]
    loads = [one for day in full.calendar for one in day.doing if one.stage == "load bisque"]
    cures = {one.what: one.days_gained for one in full.answer.relief}

    assert full.odds.finish.p50 > free.odds.finish.p50
    assert max(poured) == 1 < max(one.molds for one in free.plaster.session_list)
    assert max(one.count for one in loads) <= 12
    assert "the rack is full" in {one.why for one in loads}
    assert full.answer.limited_by == "drying"
    assert cures["racks for half as many pieces more"] > 0
    assert "room to dry one more mold" in cures
    assert not any("rack" in one.what for one in free.answer.relief)


def test_without_proofs_no_load_is_called_theirs(tmp_path: Path) -> None:
    path = tmp_path / "edition.toml"
    (tmp_path / "studio.toml").write_text(STUDIO)
    part = PART.format(name="cup", water=1.9)
    path.write_text(JUG.format(wish="", parts=part).replace("proofs = 6", "proofs = 0"))
    plan = make_plan(to_plan(path, TODAY), TODAY, RUNS)

    why = {load.why for load in loads_of(plan, "glaze")}

    assert "a few first to see the glaze" in why
    assert "proofs first" not in why
    assert not any("proofs" in stage.note for stage in plan.stages)


@pytest.mark.parametrize(("pieces", "first"), [(30, 5), (28, 4), (36, 4)])
def test_the_few_that_go_first_are_those_that_full_loads_leave_over(
    tmp_path: Path, pieces: int, first: int
) -> None:
    """By pencil, 8 % lost: 33 are 5, 14 and 14; of 31 three are left over, and of 40 more than half a load."""
    path = tmp_path / "edition.toml"
    (tmp_path / "studio.toml").write_text(STUDIO)
    told = JUG.format(wish="", parts=PART.format(name="cup", water=1.9))
    for one, other in (
        ("pieces = 120", f"pieces = {pieces}"),
        ("proofs = 6", ""),
        ("glaze_load = 10", "glaze_load = 14"),
    ):
        told = told.replace(one, other)
    path.write_text(told)

    case = build_case(*read_brief(path, TODAY), TODAY)
    (glaze,) = (one for one in case.edition.firings if one.gate)

    assert glaze.gate == first


def test_a_date_that_is_unlikely_has_no_last_safe_pour() -> None:
    """The pitcher's fifteen weeks hold the days of Christmas if it begins in December."""
    winter = date(2026, 11, 29)
    late = make_plan(to_plan(brief_of("us-pitcher"), winter), winter, RUNS)

    assert late.odds.word == "unlikely"
    assert late.answer.last_safe_pour is None
