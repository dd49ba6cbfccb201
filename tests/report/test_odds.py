"""The odds in words: words before numbers, and nothing said that the plan does not hold."""

from __future__ import annotations

import pytest

from pourwright.report.blocks import Facts, Table, Text
from pourwright.report.buying import has_test_casts
from pourwright.report.odds import odds_word, odds_words
from tests.plans import (
    EXAMPLES,
    as_data,
    as_plan,
    example_plan,
    late_us_plan,
    sample_plan,
    undated_plan,
)


def texts(plan) -> str:
    return "\n".join(block.text for block in odds_words(plan).blocks if isinstance(block, Text))


def tables(plan) -> list[Table]:
    return [block for block in odds_words(plan).blocks if isinstance(block, Table)]


@pytest.mark.parametrize(
    ("chance", "word"), [(0.95, "likely"), (0.9, "likely"), (0.6, "tight"), (0.2, "unlikely")]
)
def test_a_chance_is_a_word_before_thirty_casts_of_ones_own(chance, word):
    assert odds_word(sample_plan(), chance) == word


def test_a_chance_is_a_number_after_thirty_casts_of_ones_own():
    plan = sample_plan(odds={"own_casts": 30})

    assert odds_word(plan, 0.871) == "87 %"
    assert "30 casts of your own" in texts(plan)


def test_the_lead_of_few_casts_holds_no_percentage():
    lead = odds_words(sample_plan()).blocks[0]

    assert isinstance(lead, Text)
    assert "%" not in lead.text
    assert "likely" in lead.text


@pytest.mark.parametrize(
    ("chance", "own_casts", "told"),
    [(0.0, 0, "cannot be kept."), (0.6, 0, "is tight."), (0.6, 30, "holds with a chance of 60 %.")],
)
def test_the_lead_says_of_the_date_what_is_a_sentence(chance, own_casts, told):
    lead = texts(sample_plan(odds={"chance": chance, "own_casts": own_casts}))

    assert f"your date, Fri 18 Dec 2026, {told} " in lead


def test_the_number_stands_in_the_detail():
    assert "97 % of them your date is kept" in texts(sample_plan())


def test_the_two_assumptions_that_carry_the_range_are_named():
    plan = sample_plan()
    facts = next(block for block in odds_words(plan).blocks if isinstance(block, Facts))
    carried = next(value for label, value, _ in facts.rows if label == "Most depends on")

    assert all(one in carried for one in plan.odds.carried_by)


def test_without_a_date_no_date_is_judged():
    plan = undated_plan()
    columns = [title for title, _ in tables(plan)[0].columns]

    assert "Your date" not in columns
    assert "your date" not in texts(plan)


def test_what_helps_is_told_where_no_number_of_molds_does():
    plan = as_data(late_us_plan())
    plan["odds"]["molds_for_chance"].update(
        molds=None,
        limit="kiln",
        help_molds=2,
        help=[{"what": "one more kiln load a week", "chance": 0.93}],
    )
    plan = as_plan(plan)

    assert "the kiln holds it back. With 2 molds, which come nearest, each" in texts(plan)
    assert tables(plan)[1].rows == (("one more kiln load a week", "likely, better"),)


@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_marks_its_own_row_and_orders_its_risks(example):
    plan = example_plan(example)
    molds = tables(plan)[0]
    days = [row.days for row in plan.odds.risks]

    assert [molds.rows[at][0] for at in molds.marked] == [str(plan.answer.molds)]
    assert days == sorted(days, reverse=True)
    assert plan.odds.carried_by == tuple(row.what for row in plan.odds.risks[:2])
    by_a_load = [row.measure for row in plan.odds.risks if row.field == "losses.glaze"]
    assert ["test casts" in one for one in by_a_load] == [has_test_casts(plan)]
