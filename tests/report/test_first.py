"""The first look: what a maker does, weighs and buys next."""

from datetime import date

from pourwright.plan.plan import Plan
from pourwright.report.blocks import FactRow, Facts, Weeks
from pourwright.report.first import first_words
from pourwright.report.plaster import next_pour
from pourwright.report.saying import Say
from tests.plans import as_data, as_plan, sample_plan


def rows(plan: Plan) -> dict[str, FactRow]:
    """Return the lines of the first look by their label."""
    facts = [block for block in first_words(plan).blocks if isinstance(block, Facts)]
    return {row[0]: row for block in facts for row in block.rows}


def test_what_is_used_first_is_bought_now_and_the_rest_may_wait() -> None:
    buy = {"there": 0.0, "unit": "kg", "holds": 25.0, "shop_unit": "bag", "count": 2}
    plan = as_data(sample_plan())
    plan["to_buy"] = [
        buy | {"what": "plaster", "by": plan["as_of"], "need": 49.0},
        buy
        | {
            "what": "boxes",
            "by": "2036-12-01",
            "need": 12,
            "unit": "",
            "holds": 1,
            "shop_unit": "box",
        },
    ]
    told = rows(as_plan(plan))

    assert told["To buy"][1] == "2 bags of plaster, 25 kg each"
    assert told["Buy later"][1] == "boxes by Mon 1 Dec"


def test_molds_that_may_wear_out_too_soon_are_told_where_none_is_planned_for() -> None:
    more = {
        "molds": 2,
        "pour_p10": "2026-09-20",
        "pour_p50": "2026-09-24",
        "pour_p90": "2026-10-02",
        "chance_needed": 0.58,
        "session_cost": None,
    }
    plan = as_data(sample_plan(odds={"replacements": [more]}))
    plan["answer"]["molds_poured"] = plan["answer"]["molds"]
    told = rows(as_plan(plan))["Be ready for"]
    plan["answer"]["molds_poured"] += 1

    assert told[1] == "2 molds more"
    assert "58 %" in told[2]
    assert "break or wear out" in told[2]
    assert "Be ready for" not in rows(as_plan(plan))


def test_equal_batches_are_weighed_out_once() -> None:
    """Three alike: the weights of one, and how many."""
    plan = as_data(sample_plan())
    first = plan["plaster"]["session_list"][0]
    batch = next(b for b in plan["plaster"]["batches"] if b["session"] == first["number"])
    others = [b for b in plan["plaster"]["batches"] if b["session"] != first["number"]]
    alike = [batch | {"number": n} for n in (1, 2, 3)]
    plan["plaster"]["batches"] = [*alike, *others]
    plan["as_of"] = first["date"]

    [told] = next_pour(as_plan(plan), Say.of(as_plan(plan)))

    assert told[:2] == ("Next pour", Say.of(as_plan(plan)).day(date.fromisoformat(first["date"])))
    assert ": 3 batches of " in told[2]
    assert told[2].endswith("of plaster each")


def settled_next(plan: Plan, *fields: str, stages: bool = True) -> FactRow | None:
    """Return what is to be settled, weeks before the first pour, where these are the risks."""
    data = as_data(plan)
    first = data["odds"]["risks"][0]
    data["odds"]["risks"] = [first | {"field": field, "what": field} for field in fields]
    data["as_of"], data["answer"]["first_pour"] = "2026-08-03", "2026-09-14"
    data["stages"] = [
        {"name": "test casts", "starts": "2026-08-03", "ends": "2026-08-05", "note": ""},
        {"name": "approval", "starts": "2026-08-24", "ends": "2026-08-25", "note": ""},
    ][: 2 * stages] + data["stages"][-1:]
    return rows(as_plan(data)).get("Settle next")


def test_what_waits_for_the_test_casts_is_their_judging() -> None:
    told = settled_next(sample_plan(), "preparation.have", "losses.glaze")

    assert told is not None
    assert told[1] == "How the test casts come out"
    assert told[2].endswith("judged by Tue 25 Aug")


def test_no_mold_is_weighed_before_one_is_poured() -> None:
    """What can be tested with nothing poured is told instead, and nothing where there is no such thing."""
    told = settled_next(
        sample_plan(), "preparation.have", "drying.days_low", "losses.glaze", stages=False
    )

    assert told is not None
    assert told[1] == "Losses.glaze"
    assert told[2].endswith("best before the next pour, Mon 14 Sep")
    assert settled_next(sample_plan(), "drying.days_low", "mold.life") is None


def test_a_week_that_does_not_begin_now_says_so_and_test_casts_are_counted() -> None:
    """By pencil: three test casts, the first sixteen days from now."""
    data = as_data(sample_plan())
    day = data["calendar"][0] | {"doing": [{"stage": "test casts", "count": 1}]}
    data["as_of"] = "2026-08-03"
    data["calendar"] = [day | {"date": f"2026-08-{at}"} for at in (19, 20, 21)]

    def week(data: dict[str, object]) -> Weeks:
        return next(
            block for block in first_words(as_plan(data)).blocks if isinstance(block, Weeks)
        )

    assert week(data).caption == "The first week of work"
    assert [row[1] for row in week(data).weeks[0].rows] == ["Make one of the 3 test casts"]
    data["as_of"] = "2026-08-19"
    assert week(data).caption == "The next seven days"
