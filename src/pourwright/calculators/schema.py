"""An answer as JSON for a script, and its schema, which ``pourwright schema figure`` prints."""

from __future__ import annotations

import json
from datetime import date, datetime
from typing import Any, TypeAlias

from pourwright.calculators.question import (
    Answer,
    AnswerFigure,
    Given,
    Question,
    Rows,
    Told,
    Units,
)
from pourwright.calculators.table import SUBJECTS
from pourwright.calculators.words import cautions_of, figure_text

Schema: TypeAlias = dict[str, Any]
VERSION = 1


def as_json(question: Question, given: Given, answer: Answer) -> dict[str, Any]:
    """Return what was asked, told and answered, each number in the unit beside it."""
    return {
        "version": VERSION,
        "question": {"id": question.id, "title": question.title},
        "units": given.units,
        "given": [_told(one) for one in given.told.values()],
        "says": answer.says,
        "figures": [_figure(one, given.units) for one in answer.figures],
        "tables": [_table(one) for one in answer.tables],
        "notes": list(answer.notes),
        "sources": list(answer.sources),
        "ranges": list(answer.ranges),
        "cautions": [
            {"title": one.title, "text": one.text, "source": one.source}
            for one in cautions_of(question, answer)
        ],
    }


def _told(told: Told) -> dict[str, object]:
    return {
        "name": told.ask.name,
        "typed": told.typed,
        "value": _plain(told.value),
        "unit": told.ask.house_unit,
        "from": told.by,
        "source": told.ask.source if told.by == "default" else "",
    }


def _figure(figure: AnswerFigure, units: Units) -> dict[str, object]:
    return {
        "name": figure.name,
        "label": figure.label,
        "value": figure.value,
        "unit": figure.unit,
        "low": figure.low,
        "high": figure.high,
        "shown": figure_text(figure, units),
        "note": figure.note,
        "grade": figure.grade,
    }


def _table(table: Rows) -> dict[str, object]:
    return {
        "name": table.name,
        "caption": table.caption,
        "note": table.note,
        "columns": [
            {"name": one.name, "label": one.label, "unit": one.house_unit} for one in table.columns
        ],
        "rows": [list(row) for row in table.rows],
    }


def json_text(question: Question, given: Given, answer: Answer) -> str:
    """Return the same as text: UTF-8 characters as they are, one space a level."""
    data = as_json(question, given, answer)
    return json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _plain(value: object) -> object:
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


_ANY_VALUE: Schema = {
    "description": "In the unit beside it; a list where several were told.",
    "type": ["number", "string", "boolean", "null", "array"],
}
_CELL: Schema = {"type": ["number", "string", "boolean", "null"]}


def figure_schema() -> Schema:
    """Return the schema of every answer."""
    units = "What ``shown`` is written in; numbers never are."
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "pourwright figure --json",
        **record(
            "One question at the bench: what was told, and the answer with its range and sources.",
            version=of("integer", "Version of this format.", const=VERSION),
            question=record("", id=choice(*SUBJECTS), title=TEXT),
            units=choice("metric", "us") | {"description": units},
            given=list_of(_told_schema(), "What the answer was worked out from."),
            says=of("string", "The answer in a sentence or two.", minLength=1),
            figures=list_of(_figure_schema()),
            tables=list_of(_table_schema()),
            notes=list_of(TEXT),
            sources=list_of(TEXT, "What the answer rests on.", least=1),
            ranges=list_of(TEXT, "Where it holds.", least=1),
            cautions=list_of(record("", title=TEXT, text=TEXT, source=TEXT)),
        ),
    }


def _told_schema() -> Schema:
    return record(
        "",
        name=TEXT,
        typed=TEXT,
        value=_ANY_VALUE,
        unit=TEXT,
        source=of("string", "Of a default; empty otherwise."),
        **{"from": choice("typed", "studio", "default")},
    )


def _figure_schema() -> Schema:
    end = or_null(of("number", "In the figure's unit."))
    return record(
        "",
        name=of("string", "Ends in its unit.", pattern="^[a-z][a-z0-9_]*$"),
        label=TEXT,
        value=_CELL,
        unit=TEXT,
        low=end,
        high=end,
        shown=TEXT,
        note=TEXT,
        grade=of("string", "How far to trust it; empty if there is nothing to say."),
    )


def _table_schema() -> Schema:
    return record(
        "",
        name=TEXT,
        caption=TEXT,
        note=TEXT,
        columns=list_of(record("", name=TEXT, label=TEXT, unit=TEXT), least=1),
        rows=list_of(list_of(_CELL)),
    )
