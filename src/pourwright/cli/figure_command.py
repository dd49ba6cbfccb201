"""``pourwright figure SUBJECT``: a question at the bench, made from its table."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from pourwright.calculators.question import Ask, Question


STUDIO_FILE = "studio.toml"
"""As :data:`pourwright.briefs.studio_file.STUDIO_FILE`, which brings NumPy."""


class Figures(click.Group):
    """The subjects, each made when it is asked for, so that ``--help`` of the program is quick."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the subjects in the order of the work."""
        from pourwright.calculators.table import SUBJECTS

        return list(SUBJECTS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return the command of a subject, None if there is none."""
        from pourwright.calculators.table import SUBJECTS, find_question

        return _command(find_question(cmd_name)) if cmd_name in SUBJECTS else None


@click.group(
    "figure",
    cls=Figures,
    epilog='\b\nExamples:\n  pourwright figure plaster --volume "3.2 l"\n'
    "  pourwright figure plaster --help\n",
)
def figure_command() -> None:
    """Answer one question at the bench.

    Each subject answers in words and numbers, with their ranges and sources; see
    "pourwright figure SUBJECT --help" for what it asks.
    """


def _command(question: Question) -> click.Command:
    """Return the command of a question: its asks as options, and three of the door's own."""
    from pourwright.calculators.words import command_line

    examples = "".join(f"  {command_line(question, one)}\n" for one in question.examples)
    return click.Command(
        question.id,
        params=[*map(_option, question.asks), *_door_options()],
        callback=lambda **typed: _answer(question, typed),
        help=question.words,
        short_help=f"{question.words.split('. ')[0].rstrip('.')}.",
        epilog=f"\b\nExamples:\n{examples}",
    )


def _option(ask: Ask[object]) -> click.Option:
    if ask.kind == "yes or no":
        return click.Option(
            [ask.option, ask.name], flag_value="yes", default=None, help=ask.meaning
        )
    such = "" if ask.kind == "choice" else f' Such as "{ask.example}".'
    without = f" [default: {ask.default}]" if ask.default is not None else ""
    among = f" One of: {', '.join(ask.choices)}." if ask.choices else ""
    return click.Option(
        [ask.option, ask.name],
        metavar="TEXT",
        multiple=ask.many,
        help=f"{ask.meaning}{among}{such}{without}",
    )


def _door_options() -> list[click.Option]:
    return [
        click.Option(
            ["--units", "units"],
            type=click.Choice(["metric", "us"]),
            help="Units the answer is shown in, and whose pint a bare pint is. Without it: the studio's, "
            "or those of what you type.",
        ),
        click.Option(
            ["--studio", "studio"],
            metavar="FILE",
            type=click.Path(path_type=Path),
            help="A studio.toml that tells what you do not. Without it: the one in this folder, if there is one.",
        ),
        click.Option(
            ["--json", "wants_json"],
            is_flag=True,
            help="Print the answer as JSON and nothing else.",
        ),
    ]


def _answer(question: Question, options: dict[str, Any]) -> None:
    """Ask, and print the answer."""
    from pourwright.calculators.table import ask

    units, studio = options.pop("units"), options.pop("studio")
    wants_json = options.pop("wants_json")
    told = {name: _listed(text) for name, text in options.items() if text not in (None, ())}
    today = datetime.now().astimezone().date()
    if studio is None and Path(STUDIO_FILE).is_file():
        studio = _studio_here(today)
    given, answer = ask(question.id, told, units, today=today, studio=studio)
    if wants_json:
        from pourwright.calculators.schema import json_text

        click.echo(json_text(question, given, answer).encode(), nl=False)
        return
    from pourwright.calculators.words import as_sections
    from pourwright.cli.show import console_for, show_sections

    show_sections(
        console_for(),
        question.words.split(". ")[0].rstrip(".") + ".",
        as_sections(question, given, answer),
    )


def _studio_here(today: date) -> Path | None:
    """Return the studio's file of this folder; one with a fault is named and left aside."""
    from pourwright.briefs.studio_file import studio_now

    _, fault = studio_now(Path(STUDIO_FILE), today)
    if not fault:
        return Path(STUDIO_FILE)
    click.echo(f"{STUDIO_FILE} in this folder is not used. {fault}", err=True)
    return None


def _listed(text: object) -> object:
    return list(text) if isinstance(text, tuple) else text
