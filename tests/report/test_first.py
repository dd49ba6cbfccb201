"""The first look: what a maker does, weighs and buys next."""

from datetime import date

from pourwright.plan.plan import Plan
from pourwright.report.blocks import FactRow
from pourwright.report.first import next_pour, to_see_to, week_ahead
from pourwright.report.plaster import batch_weights
from pourwright.report.saying import Say
from tests.plans import as_data, as_plan, sample_plan


def rows(plan: Plan) -> dict[str, FactRow]:
    """Return the lines of the first look by their label."""
    facts = [row for block in to_see_to(plan) for row in block.rows]
    return {row[0]: row for row in (*next_pour(plan), *facts)}


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


def test_equal_batches_are_weighed_out_once() -> None:
    """Three alike: the weights of one, and how many."""
    plan = as_data(sample_plan())
    first = plan["plaster"]["session_list"][0]
    batch = next(b for b in plan["plaster"]["batches"] if b["session"] == first["number"])
    others = [b for b in plan["plaster"]["batches"] if b["session"] != first["number"]]
    alike = [batch | {"number": n} for n in (1, 2, 3)]
    plan["plaster"]["batches"] = [*alike, *others]
    plan["as_of"] = first["date"]

    [week] = week_ahead(as_plan(plan))

    told = week.weeks[0].rows[0][1]
    assert "; weigh 3 batches of " in told
    assert told.endswith("of plaster each")


def test_days_that_pour_alike_are_told_once_with_their_first_and_last_mold() -> None:
    data = as_data(sample_plan())
    session = data["plaster"]["session_list"][0]
    batch = data["plaster"]["batches"][0]
    at = next(n for n, day in enumerate(data["calendar"]) if day["date"] == session["date"])
    days = data["calendar"][at : at + 2]
    for day, mold in zip(days, ("M-001", "M-002"), strict=True):
        day["doing"], day["used_min"] = [{"stage": "pour", "count": 1, "molds": [mold]}], 210
    data["plaster"]["session_list"] = [
        session | {"number": n, "date": day["date"]} for n, day in enumerate(days, 1)
    ]
    data["plaster"]["batches"] = [batch | {"session": n, "number": n} for n in (1, 2)]
    data["as_of"] = session["date"]

    [week] = week_ahead(as_plan(data))

    assert week.weeks[0].rows[0] == (
        "Thu 3 to Fri 4 Sep",
        "Each day pour 1 mold, M-001 and M-002; weigh 3.02 kg of water and 4.31 kg of plaster",
        "3 h 30 min each day",
    )


def test_a_block_mold_of_two_parts_is_weighed_part_by_part_on_its_days() -> None:
    data = as_data(sample_plan())
    first, second = (date.fromisoformat(day["date"]) for day in data["calendar"][:2])
    for day in data["calendar"][:2]:
        day["doing"] = [{"stage": "block mold", "count": 1}]
    data["as_of"] = first.isoformat()
    data["plaster"]["block_mold"] = {
        "date": first.isoformat(),
        "batches": [
            {"part": "left", "date": first.isoformat(), "water_kg": 1.65, "plaster_kg": 2.35},
            {"part": "right", "date": second.isoformat(), "water_kg": 1.58, "plaster_kg": 2.26},
        ],
    }
    plan = as_plan(data)
    [week] = week_ahead(plan)

    assert [row[1] for row in week.weeks[0].rows[:2]] == [
        "Make the block mold: left, 1.65 kg water and 2.35 kg plaster",
        "Make the block mold: right, 1.58 kg water and 2.26 kg plaster",
    ]


def test_a_pour_after_the_week_ahead_is_weighed_in_a_line_of_its_own() -> None:
    data = as_data(sample_plan())
    session = data["plaster"]["session_list"][0]
    weighed = batch_weights(
        [b for b in sample_plan().plaster.batches if b.session == session["number"]],
        sample_plan().plaster,
        Say.of(sample_plan()),
    )
    data["as_of"] = session["date"]
    in_it = rows(as_plan(data))
    data["as_of"] = "2026-08-10"
    for one in data["plaster"]["session_list"]:
        one["date"] = "2026-08-28"

    assert "Next pour" not in in_it
    assert rows(as_plan(data))["Next pour"][1] == "Fri 28 Aug"
    assert rows(as_plan(data))["Next pour"][2].startswith(weighed)


def test_two_parts_of_a_block_mold_poured_on_a_day_are_each_told_their_weights() -> None:
    data = as_data(sample_plan())
    day = data["calendar"][0]["date"]
    data["calendar"][0]["doing"] = [{"stage": "block mold", "count": 1}]
    data["as_of"] = day
    data["plaster"]["block_mold"] = {
        "date": day,
        "batches": [
            {"part": "left", "date": day, "water_kg": 1.65, "plaster_kg": 2.35},
            {"part": "right", "date": day, "water_kg": 1.58, "plaster_kg": 2.26},
        ],
    }
    [week] = week_ahead(as_plan(data))

    assert (
        week.weeks[0]
        .rows[0][1]
        .endswith(
            "Make the block mold: left, 1.65 kg water and 2.35 kg plaster; "
            "right, 1.58 kg water and 2.26 kg plaster"
        )
    )


def test_the_next_pour_names_the_second_day_and_its_batches() -> None:
    """Batches that weigh alike are more of the same; others are told as batches."""
    data = as_data(sample_plan())
    plaster = data["plaster"]
    one, session = plaster["batches"][0], plaster["session_list"][0]
    plaster["session_list"] = [
        session | {"number": n, "date": day, "batches": 2}
        for n, day in ((1, "2026-08-28"), (2, "2026-08-31"))
    ]
    plaster["batches"] = [
        one | {"session": session, "number": number} for session in (1, 2) for number in (1, 2)
    ]
    data["as_of"] = "2026-08-10"
    alike = rows(as_plan(data))["Next pour"][2]
    plaster["batches"][3] |= {"water_kg": 0.5}
    unlike = rows(as_plan(data))["Next pour"][2]

    assert alike.endswith("of plaster each, and 2 more on Mon 31 Aug")
    assert unlike.endswith("of plaster each, and 2 batches on Mon 31 Aug")


def settled_next(plan: Plan, *fields: str, stages: bool = True, days: int = 16) -> FactRow | None:
    """Return what is to be settled, weeks before the first pour, where these are the risks."""
    data = as_data(plan)
    first = data["odds"]["risks"][0]
    data["odds"]["risks"] = [
        first | {"field": field, "what": field, "days": days} for field in fields
    ]
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
    """What the test casts tell is told instead, and nothing where there are none to come."""
    fields = "drying.days_low", "losses.glaze"
    told = settled_next(sample_plan(), *fields)

    assert told is not None
    assert told[1] == "Losses.glaze"
    assert told[2].endswith("best before the next pour, Mon 14 Sep")
    assert settled_next(sample_plan(), *fields, "mold.life", stages=False) is None
    assert settled_next(sample_plan(), *fields, days=0) is None  # it hardly changes the date


def test_a_week_that_does_not_begin_now_says_so_and_test_casts_are_counted() -> None:
    """By pencil: three test casts, the first sixteen days from now."""
    data = as_data(sample_plan())
    day = data["calendar"][0] | {"doing": [{"stage": "test casts", "count": 1}]}
    data["as_of"] = "2026-08-03"
    data["calendar"] = [day | {"date": f"2026-08-{at}"} for at in (19, 20, 21)]
    [week] = week_ahead(as_plan(data))
    data["as_of"] = "2026-08-19"
    [now] = week_ahead(as_plan(data))

    assert week.caption == "The first week of work"
    assert [row[1] for row in week.weeks[0].rows] == ["Make one of the 3 test casts"]
    assert now.caption == "The next seven days"
