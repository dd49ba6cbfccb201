"""The site's page of the book's commands, made of the commands; ``make docs`` writes it."""

from __future__ import annotations

from collections.abc import Iterator

import click

from pourwright.cli.book.command import book_command
from pourwright.fields import Field, guide_rows
from pourwright.ledger.kinds.table import USUAL, verb_named

HEAD = """\
# The commands of the book

[The book in five minutes a day](book.md) · [all commands](commands.md) · [what a line may say](commands.md#pourwright-schema)

This page is made of the commands themselves.
Labels may be typed short: `7` is `M-007` where a mold is meant.
Every command is also a line for `pourwright book run`: the command's name is its `do`, an option its field, with `_` for `-`.
Beside their own options, commands that write into the book take these, and `--folder`, `--json` and `--today`:

{usual}
"""


def guide_text() -> str:
    """Return the page."""
    usual = guide_rows([one for one in USUAL if one.name not in ("do", "age_s")], _option)
    lines = [HEAD.format(usual="\n".join(usual)), *_of("pourwright book", book_command)]
    return "\n".join(lines).rstrip() + "\n"


def _of(path: str, command: click.Command, depth: int = 2) -> Iterator[str]:
    yield f"{'#' * depth} `{path}`\n"
    yield f"{' '.join((command.help or '').split())}\n"
    verb = verb_named(command.name or "")
    options = [one for one in command.params if isinstance(one, click.Option)]
    if verb is not None:
        yield "\n".join(guide_rows(verb.fields, _option)) + "\n"
    elif options:
        yield "| Option | Meaning |\n| --- | --- |"
        yield from (_row(one) for one in options)
        yield ""
    if command.epilog:
        yield f"```\n{_examples(command.epilog)}\n```\n"
    if isinstance(command, click.Group):
        context = click.Context(command)
        for name in command.list_commands(context):
            found = command.get_command(context, name)
            if found is not None:
                yield from _of(f"{path} {name}", found, depth + 1)


def _option(field: Field) -> str:
    return field.option


def _row(option: click.Option) -> str:
    name = max(option.opts, key=len)
    typed = f"`{name}`" if option.is_flag else f"`{name} {option.make_metavar(_CONTEXT)}`"
    needed = " Needed." if option.required else ""
    about = " ".join((option.help or "").split()).replace("|", "\\|")
    return f"| {typed} | {about}{needed} |"


def _examples(epilog: str) -> str:
    lines = [line.strip() for line in epilog.splitlines()]
    return "\n".join(line for line in lines if line.startswith("pourwright"))


_CONTEXT = click.Context(book_command)
