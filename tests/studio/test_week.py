"""The week ahead, all editions together."""

from datetime import date, timedelta

from pourwright.studio.put_off import split_day
from pourwright.studio.today import by_the_plan
from pourwright.studio.week import week_ahead
from tests.plans import as_data, as_plan, sample_plan

MONDAY = date(2026, 9, 7)


def plan_with(*days):
    """Return a plan with these days: the day, its hands-on minutes, what is done, why it is closed."""
    data = as_data(sample_plan())
    data["calendar"] = [
        {
            "date": (MONDAY + timedelta(days=after)).isoformat(),
            "open": not why,
            "minutes": 0 if why else 240,
            "used_min": used_min,
            "doing": doing,
            "why": why,
        }
        for after, used_min, doing, why in days
    ]
    return as_plan(data)


def test_two_editions_share_a_day():
    jug = plan_with((0, 90, [{"stage": "cast", "count": 3}], ""), (1, 0, [], "holiday"))
    flask = plan_with((0, 60, [{"stage": "glaze", "count": 8}], ""))
    first, second, *rest = week_ahead([("Jug", jug), ("Flask", flask)], MONDAY)

    assert (first.words, first.hands) == ("Jug: cast 3; Flask: glaze 8", "2 h 30 min")
    assert first.share == 150 / 240
    assert (second.words, second.hands) == ("Holiday", "")
    assert [one.date for one in (first, second, *rest)] == [
        MONDAY + timedelta(days=after) for after in range(7)
    ]


def test_work_whose_hours_nobody_told_is_named_beside_the_hours_and_makes_a_week():
    block = plan_with((0, 0, [{"stage": "block mold", "count": 1}], ""))
    jug = plan_with((0, 120, [{"stage": "cast", "count": 3}], ""))
    day, *_ = week_ahead([("Flask", block), ("Jug", jug)], MONDAY)
    assert (day.hands, day.beside) == ("2 h", "and the block mold")
    day, *_ = week_ahead([("Flask", block)], MONDAY)
    assert (day.words, day.hands, day.beside) == ("Make the block mold", "", "")


def test_a_week_without_work_is_not_shown():
    assert (
        week_ahead([("Jug", plan_with((9, 90, [{"stage": "cast", "count": 3}], "")))], MONDAY) == ()
    )
    assert week_ahead([], MONDAY) == ()


def test_what_the_plans_ask_next_stands_beside_what_the_book_says():
    """Casting and loads are ready by the book; a day without other work leads to the next."""
    block = plan_with((1, 190, [{"stage": "block mold", "count": 1}], ""))
    today = plan_with(
        (0, 90, [{"stage": "cast", "count": 3}, {"stage": "glaze", "count": 8}], ""),
        (1, 60, [{"stage": "fettle", "count": 4}], ""),
    )
    plans = [("gale-flask", "Gale flask", block), ("fern-jug", "Fern jug", today)]
    flask, jug = by_the_plan(plans, MONDAY)

    assert (flask.words, flask.note) == ("Make the block mold", "Gale flask: by its plan, tomorrow")
    assert flask.to == "/bench/plaster#session-gale-flask"
    assert (jug.words, jug.task, jug.to) == ("Glaze 8", "glaze", "/kiln")
    packed = plan_with(
        (0, 90, [{"stage": "finish", "count": 7}, {"stage": "fettle", "count": 3}], "")
    )
    rest = by_the_plan([("x", "X", packed)], MONDAY, {("x", "fettle")})
    assert [one.words for one in rest] == ["Mark 7 pieces", "Inspect and pack 7"]
    both = [(one.words, one.to) for one in by_the_plan([("x", "X", packed)], MONDAY)]
    assert [words for words, _ in both] == ["Mark 7 pieces", "Inspect and pack 7", "Fettle 3"]
    assert [to for _, to in both][:2] == ["/editions/x", "/kiln/inspect/x"]
    assert flask.task == "", "what is not asked today cannot be put off"
    off = {("fern-jug", "glaze")}
    assert [one.words for one in by_the_plan(plans, MONDAY, off)][1] == "Fettle 4"
    assert by_the_plan(plans, MONDAY, {("gale-flask", "glaze")})[1].words == "Glaze 8"
    assert by_the_plan([("x", "X", plan_with((9, 60, [{"stage": "fettle", "count": 4}], "")))], MONDAY) == ()  # fmt: skip


def test_of_a_day_only_the_work_that_is_put_off_goes():
    doing = [{"stage": "cast", "count": 3}, {"stage": "unload glaze", "count": 8}]
    plan = plan_with((0, 90, doing, ""))

    assert split_day(plan, MONDAY, {"cast", "weigh molds"}) == (("cast",), ("open the glaze load",))
    assert split_day(plan, MONDAY, {"fettle"})[0] == ()
    assert split_day(plan, MONDAY, {"cast", "open L-004"})[1] == ()
