"""Plans obey the schema that ``pourwright schema plan`` prints; what is wrong with one is found."""

import pytest
from jsonschema import Draft202012Validator

from pourwright.plan.plan import plan_schema
from tests.plans import EXAMPLES, as_data, example_plan, late_us_plan, sample_plan, undated_plan


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    return Draft202012Validator(plan_schema(), format_checker=Draft202012Validator.FORMAT_CHECKER)


@pytest.mark.parametrize("make", [sample_plan, late_us_plan, undated_plan])
def test_hand_made_plans_obey(validator, make):
    assert [e.message for e in validator.iter_errors(as_data(make()))] == []


@pytest.mark.parametrize("example", EXAMPLES)
def test_plans_of_the_examples_obey(validator, example):
    errors = validator.iter_errors(as_data(example_plan(example)))

    assert [f"{error.json_path}: {error.message}" for error in errors] == []


@pytest.mark.parametrize(
    ("section", "fields", "path"),
    [
        ("answer", {"finish": "21 Oct 2026"}, "$.answer.finish"),
        ("answer", {"finish": "2026-02-30"}, "$.answer.finish"),
        ("answer", {"molds": 0}, "$.answer.molds"),
        ("answer", {"molds": 2.5}, "$.answer.molds"),
        ("answer", {"cost_per_piece": 12.4}, "$.answer.cost_per_piece"),
        ("answer", {"mood": "good"}, "$.answer"),
        ("drying", {"wet_kg": -1.0}, "$.drying.wet_kg"),
        ("edition", {"id": "Cup One"}, "$.edition.id"),
        ("studio", {"units": "imperial"}, "$.studio.units"),
    ],
)
def test_a_wrong_plan_is_found(validator, section, fields, path):
    plan = as_data(example_plan(EXAMPLES[0]))
    plan[section].update(fields)

    assert {error.json_path for error in validator.iter_errors(plan)} == {path}


def test_a_plan_that_breaks_a_rule_is_not_a_plan(validator):
    plan = as_data(example_plan(EXAMPLES[0]))
    plan["violations"] = ["two loads at once"]

    assert not validator.is_valid(plan)


@pytest.mark.parametrize("section", sorted(as_data(sample_plan())))
def test_no_section_may_be_missing(validator, section):
    plan = as_data(example_plan(EXAMPLES[0]))
    del plan[section]

    assert not validator.is_valid(plan)
