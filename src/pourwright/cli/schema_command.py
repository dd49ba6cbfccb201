"""``pourwright schema``: the shape of what other programs read and write."""

from __future__ import annotations

import json

import click


@click.command(
    "schema",
    epilog="\b\nExamples:\n  pourwright schema plan\n  pourwright schema book > book.schema.json\n",
)
@click.argument("document", type=click.Choice(["plan", "book", "figure"]))
def schema_command(document: str) -> None:
    """Print the JSON Schema (2020-12) of a document.

    "plan" is plan.json, "book" a line for "pourwright book run" and its answer,
    "figure" what "pourwright figure SUBJECT --json" prints.
    """
    click.echo(
        (json.dumps(_schema(document), indent=1, ensure_ascii=False) + "\n").encode(), nl=False
    )


def _schema(document: str) -> dict[str, object]:
    if document == "plan":
        from pourwright.plan.plan import plan_schema

        return plan_schema()
    if document == "book":
        from pourwright.studio.commands import book_schema

        return book_schema()
    from pourwright.calculators.schema import figure_schema

    return figure_schema()
