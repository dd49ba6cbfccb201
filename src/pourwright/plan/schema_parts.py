"""The bricks of the plan's JSON Schema: kinds of values, records, lists."""

from __future__ import annotations

from typing import Any, TypeAlias

Schema: TypeAlias = dict[str, Any]


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
YES_NO = of("boolean")
COUNT = of("integer", minimum=0)
FROM_ONE = of("integer", minimum=1)
AMOUNT = of("number", minimum=0)
DAYS = of("integer", "Days; negative when it comes sooner.")
DATE = of("string", "A day, ISO 8601.", format="date", pattern=r"^\d{4}-\d{2}-\d{2}$")
MONEY = of("string", "An exact amount of the plan's currency.", pattern=r"^-?\d+(\.\d+)?$")
