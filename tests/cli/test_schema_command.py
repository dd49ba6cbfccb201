"""``pourwright schema``: what is printed is the very schema that documents are held against."""

import json

import pytest
from jsonschema import Draft202012Validator

from pourwright.calculators.schema import figure_schema
from pourwright.cli.main import run
from pourwright.plan.plan import plan_schema
from pourwright.studio.commands import book_schema

SCHEMAS = {"plan": plan_schema, "book": book_schema, "figure": figure_schema}


@pytest.mark.parametrize("document", SCHEMAS)
def test_the_schema_is_printed_and_is_json_schema_2020_12(document, capsysbinary):
    """tests/actions hold plans, answers and the lines of a whole year against the declared ones."""
    assert run(["schema", document]) == 0
    told = capsysbinary.readouterr()
    schema = json.loads(told.out)

    assert schema == json.loads(json.dumps(SCHEMAS[document]()))
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(schema)
    assert told.err == b""


def test_another_document_is_refused_and_the_three_are_named(capsys):
    assert run(["schema", "brief"]) == 2
    assert "'plan', 'book', 'figure'" in capsys.readouterr().err
