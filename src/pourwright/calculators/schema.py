"""An answer as JSON for a script, and its schema, which ``pourwright schema figure`` prints."""

from __future__ import annotations

import json
from datetime import date, datetime
from typing import Any, TypeAlias

from pourwright.calculators.question import Answer, Given, Question
from pourwright.calculators.table import SUBJECTS
from pourwright.calculators.words import cautions_of, shown

Schema: TypeAlias = dict[str, Any]
VERSION = 1


def as_json(question: Question, given: Given, answer: Answer) -> dict[str, Any]:
    """Return what was asked, told and answered, as plain data.

    Parameters
    ----------
    question : Question
        What was asked.
    given : Given
        What was told.
    answer : Answer
        What was answered.

    Returns
    -------
    dict
        Numbers are in the unit that stands beside them.
    """
    return {
        "version": VERSION,
        "question": {"id": question.id, "title": question.title},
        "units": given.units,
        "given": [
            {
                "name": one.ask.name, "typed": one.typed, "value": _plain(one.value),
                "unit": one.ask.house_unit, "from": one.by,
                "source": one.ask.source if one.by == "default" else "",
            }
            for one in given.told.values()
        ],
        "says": answer.says,
        "figures": [
            {
                "name": one.name, "label": one.label, "value": one.value, "unit": one.unit,
                "low": one.low, "high": one.high, "shown": shown(one, given.units),
                "note": one.note, "grade": one.grade,
            }
            for one in answer.figures
        ],
        "tables": [
            {
                "name": table.name, "caption": table.caption, "note": table.note,
                "columns": [
                    {"name": one.name, "label": one.label, "unit": one.house_unit} for one in table.columns
                ],
                "rows": [list(row) for row in table.rows],
            }
            for table in answer.tables
        ],
        "notes": list(answer.notes),
        "sources": list(answer.sources),
        "ranges": list(answer.ranges),
        "cautions": [
            {"title": one.title, "text": one.text, "source": one.source}
            for one in cautions_of(question, answer)
        ],
    }  # fmt: skip


def json_text(question: Question, given: Given, answer: Answer) -> str:
    """Return the same as text: UTF-8 characters as they are, one space a level."""
    data = as_json(question, given, answer)
    return json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _plain(value: Any) -> Any:
    if isinstance(value, tuple | list):
        return [_plain(one) for one in value]
    return value.isoformat() if isinstance(value, date | datetime) else value


def of(kind: str, about: str = "", **more: Any) -> Schema:
    """Return the schema of one kind of value."""
    return {"type": kind, **({"description": about} if about else {}), **more}


def or_null(schema: Schema) -> Schema:
    """Return a schema that allows null, for what is not known."""
    return {**schema, "type": [schema["type"], "null"]}


def record(about: str, /, *optional: str, **fields: Schema) -> Schema:
    """Return the schema of an object that holds these fields and no others."""
    required = [name for name in fields if name not in optional]
    return of("object", about, properties=fields, required=required, additionalProperties=False)


def list_of(items: Schema, about: str = "", least: int = 0) -> Schema:
    """Return the schema of a list."""
    return of("array", about, items=items, **({"minItems": least} if least else {}))


def choice(*values: str) -> Schema:
    """Return the schema of one of a few words."""
    return of("string", enum=list(values))


TEXT = of("string")


def figure_schema() -> Schema:
    """Return the schema of every answer."""
    any_value: Schema = {
        "description": "In the unit beside it; a list where several were told.",
        "type": ["number", "string", "boolean", "null", "array"],
    }
    cell: Schema = {"type": ["number", "string", "boolean", "null"]}
    end = or_null(of("number", "In the figure's unit."))
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "pourwright figure --json",
        **record(
            "One question at the bench: what was told, and the answer with its range and sources.",
            version=of("integer", "Version of this format.", const=VERSION),
            question=record("", id=choice(*SUBJECTS), title=TEXT),
            units=choice("metric", "us") | {"description": "What ``shown`` is written in; numbers never are."},
            given=list_of(
                record(
                    "", name=TEXT, typed=TEXT, value=any_value, unit=TEXT,
                    source=of("string", "Of a default; empty otherwise."),
                    **{"from": choice("typed", "studio", "default")},
                ),
                "What the answer was worked out from.",
            ),
            says=of("string", "The answer in a sentence or two.", minLength=1),
            figures=list_of(
                record(
                    "", name=of("string", "Ends in its unit.", pattern="^[a-z][a-z0-9_]*$"), label=TEXT,
                    value=cell, unit=TEXT, low=end, high=end, shown=TEXT, note=TEXT,
                    grade=of("string", "How far to trust it; empty if there is nothing to say."),
                ),
            ),
            tables=list_of(
                record(
                    "", name=TEXT, caption=TEXT, note=TEXT,
                    columns=list_of(record("", name=TEXT, label=TEXT, unit=TEXT), least=1),
                    rows=list_of(list_of(cell)),
                ),
            ),
            notes=list_of(TEXT),
            sources=list_of(TEXT, "What the answer rests on.", least=1),
            ranges=list_of(TEXT, "Where it holds.", least=1),
            cautions=list_of(record("", title=TEXT, text=TEXT, source=TEXT)),
        ),
    }  # fmt: skip
