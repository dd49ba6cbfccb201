"""``pourwright book show``: what the book answers."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pourwright.cli.book.files import folder_option, now_at, opened

if TYPE_CHECKING:
    from pourwright.ledger.file.transaction import Reading


@click.group(
    "show",
    epilog="\b\nExamples:\n  pourwright book show stages\n  pourwright book show number 7/48\n",
)
def show_group() -> None:
    """Show what is true by the book.

    Each question prints words, or JSON with --json.
    """


def _question(name: str, about: str, *extra: click.Parameter) -> Callable[[Any], click.Command]:
    """Return a decorator that makes a question of a function of the reading, edition and options."""

    def made(answer: Callable[..., tuple[object, str]]) -> click.Command:
        argument = " 7" if name == "number" else " --edition tide-cup"
        command = click.Command(
            name,
            params=[*extra, *_options()],
            callback=lambda **typed: _ask(answer, typed),
            help=about,
            epilog=f"\b\nExample:\n  pourwright book show {name}{argument}\n",
        )
        show_group.add_command(command)
        return command

    return made


def _options() -> list[click.Option]:
    return [
        click.Option(
            ["--edition", "edition"],
            metavar="ID",
            help="Which edition. Without it: the only one that is open.",
        ),
        folder_option(),
        click.Option(
            ["--json", "as_json"], is_flag=True, help="Print the answer as JSON and nothing else."
        ),
        click.Option(
            ["--today", "today"],
            metavar="DATE",
            help="Answer as if it were this day. Without it: the day it is.",
        ),
    ]


def _ask(answer: Callable[..., tuple[object, str]], typed: dict[str, Any]) -> None:
    """Ask the book of a folder, and print the answer."""
    from pourwright.studio.answers import the_edition

    folder: Path = typed.pop("folder")
    as_json, today, named = typed.pop("as_json"), typed.pop("today"), typed.pop("edition")
    book = opened(folder)
    with book.store, book.reading() as reading:
        edition = the_edition(reading.things, named)
        data, text = answer(reading, edition, now_at(today, book.zone), book.zone, **typed)
    if as_json:
        import msgspec

        text = json.dumps(msgspec.to_builtins(data), ensure_ascii=False, indent=1) + "\n"
    click.echo(text.encode(), nl=False)


@_question("casts-left", "Show how many casts each mold in use may still give.")
def _casts_left(reading: Reading, edition: str, *_: object) -> tuple[object, str]:
    from pourwright.studio.answers import casts_left
    from pourwright.studio.book_words import casts_left_text

    data = casts_left(reading.things, edition)
    return data, casts_left_text(data)


@_question("stages", "Show what each stage holds, and what is in the kiln.")
def _stages(reading: Reading, edition: str, _: object, zone: str) -> tuple[object, str]:
    from pourwright.studio.answers import stages
    from pourwright.studio.book_words import stages_text

    data = stages(reading.things, edition)
    return data, stages_text(data, zone)


@_question("owed", "Show what the edition owes: numbers and proofs still to make.")
def _owed(reading: Reading, edition: str, *_: object) -> tuple[object, str]:
    from pourwright.studio.answers import owed
    from pourwright.studio.book_words import owed_text

    data = owed(reading.things, edition)
    return data, owed_text(data)


_BY = click.Option(
    ["--by", "by"],
    type=click.Choice(["stage", "mold", "lot", "load", "cause"]),
    default="stage",
    show_default=True,
    help="What the yields are told by.",
)


@_question("yields", "Show good of how many, with the interval of nineteen in twenty.", _BY)
def _yields(reading: Reading, edition: str, *_: object, by: str) -> tuple[object, str]:
    from pourwright.studio.answers import yields, yields_told
    from pourwright.studio.book_words import yields_text

    rows = yields(reading.things, edition, by)
    return yields_told(rows, by), yields_text(rows, by)


@_question(
    "number", "Show everything about one NUMBER, such as 7 or AP 2.", click.Argument(["number"])
)
def _number(
    reading: Reading, edition: str, _: object, zone: str, number: str
) -> tuple[object, str]:
    from pourwright.studio.history import number_story, number_text

    data = number_story(reading, edition, number, zone)
    return data, number_text(data)


@_question("year", "Show the whole year of an edition as a page of text.")
def _year(reading: Reading, edition: str, _: object, zone: str) -> tuple[object, str]:
    from pourwright.studio.history import year_text

    text = year_text(reading, edition, zone)
    return {"edition": edition, "text": text}, text


@_question(
    "end",
    "Show the end of an edition: open numbers, claims, what could remake the form, what was destroyed.",
)
def _end(reading: Reading, edition: str, now: datetime, zone: str) -> tuple[object, str]:
    from zoneinfo import ZoneInfo

    from pourwright.studio.ending import ending_of, ending_text

    data = ending_of(reading.things, edition, now.astimezone(ZoneInfo(zone)).date(), zone)
    return data, ending_text(data)


@_question("findings", "Show what is odd, and was kept all the same.")
def _findings(reading: Reading, edition: str, _: object, zone: str) -> tuple[object, str]:
    from pourwright.studio.answers import findings
    from pourwright.studio.book_words import findings_text

    data = findings(reading.things, edition)
    return data, findings_text(data, zone)


@_question(
    "today", "Show what a day begins with: molds drying, to weigh, ready to cast, and loads."
)
def _today(reading: Reading, edition: str, now: datetime, zone: str) -> tuple[object, str]:
    from zoneinfo import ZoneInfo

    from pourwright.studio.answers import today_lists
    from pourwright.studio.book_words import today_text

    data = today_lists(reading.things, edition, now.astimezone(ZoneInfo(zone)).date(), zone)
    return data, today_text(data)
