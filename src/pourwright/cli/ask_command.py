"""``pourwright ask``: the first questions, and a brief to refine."""

from __future__ import annotations

import sys
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from pourwright.briefs.first_questions import FirstQuestion

EXAMPLES = """\b
Examples:
  pourwright ask harbor-cup
  pourwright ask harbor-cup --pieces 36 --water "1.9 kg; 640 g" \\
    --glaze-load 18 --loads-a-week 2 --life 30 --deadline "in 26 weeks"
  pourwright ask pitcher --units us --pieces 24 --dry-mass "10 lb 9 oz" \\
    --glaze-load 12 --loads-a-week 3 --country US --hour "32 USD"
  pourwright ask --every-field
"""


@click.command("ask", epilog=EXAMPLES)
@click.argument("folder", type=click.Path(path_type=Path), default=Path())
@click.option("--pieces", help="Numbered pieces, proofs not among them.")
@click.option("--proofs", help="Proofs beyond the numbers.")
@click.option(
    "--have",
    help="What is there already: nothing, original, block mold, approved or masters.",
)
@click.option("--water", help="Water that fills each master, a semicolon between the parts.")
@click.option("--dry-mass", help="Dry weight of one whole mold, if the water was not weighed.")
@click.option("--glaze-load", help="Pieces that a glaze load holds.")
@click.option("--loads-a-week", help="Loads of any kind a week.")
@click.option("--life", help='Casts that a mold gives, a range, or "don\'t know".')
@click.option("--name", help="What the edition is called.")
@click.option("--deadline", help="Day by which the last piece must be packed.")
@click.option("--country", help="A name or two letters, for the public holidays.")
@click.option("--kiln", help="Its space, its power, the price of a kWh; any of the three.")
@click.option("--hour", help="What an hour of work is worth, with its currency.")
@click.option(
    "--units",
    type=click.Choice(["metric", "us"]),
    help="Units the plan is shown in. Without it: those of the weights you give.",
)
@click.option(
    "--every-field",
    is_flag=True,
    help="Print every field that the two files may hold, with what holds without it, and write nothing.",
)
def ask_command(folder: Path, units: str | None, *, every_field: bool, **given: str | None) -> None:
    """Ask the first questions and write edition.toml and studio.toml into FOLDER.

    What is not given as an option is asked; Enter skips what need not be told. The
    files hold what was told and the fields that are set next. Nothing is overwritten.
    """
    from pourwright.briefs.first_questions import (
        answers_from,
        further_from,
        units_of,
        write_brief,
    )

    if every_field:
        _print_every_field(units or "metric")
        return
    typed = {key: text for key, text in given.items() if text is not None}
    if not typed or sys.stdin.isatty():
        _ask_the_rest(typed, units)
    shown_in = units or units_of(*typed.values())
    answers, more = answers_from(typed, shown_in), further_from(typed, shown_in)
    brief, studio = write_brief(answers, folder, units=shown_in, more=_dated(more, shown_in))
    click.echo(f"Written: {brief} and {studio}")
    click.echo("Every other field that they may hold: pourwright ask --every-field")
    click.echo(f"Next: pourwright plan {brief}")


def _dated(more: dict[str, object], units: str) -> dict[str, object]:
    """Return what was told with the deadline as a date, which is the same tomorrow."""
    from pourwright.briefs.first_questions import deadline_on

    if "edition.deadline" not in more:
        return more
    day = deadline_on(str(more["edition.deadline"]), _today(), units)
    return more | {"edition.deadline": day.isoformat()}


def _today() -> date:
    return datetime.now().astimezone().date()


def _print_every_field(units: str) -> None:
    from pourwright.briefs.first_questions import every_field_text

    click.echo(every_field_text(units), nl=False)


def _ask_the_rest(typed: dict[str, str], units: str | None) -> None:
    """Ask each question that is open until its answer will do; ``typed`` is filled in."""
    from pourwright.briefs.first_questions import FURTHER, QUESTIONS, is_asked, units_of

    for question in (*QUESTIONS, *FURTHER):
        if is_asked(question, [key for key, text in typed.items() if text.strip()]):
            typed[question.key] = _asked(question, units or units_of(*typed.values()))


def _asked(question: FirstQuestion, units: str) -> str:
    """Return an answer that will do."""
    from pourwright.briefs.first_questions import deadline_on, why_refused
    from pourwright.report.saying import day

    skip = " Enter skips it." if question.optional else ""
    click.echo(f"\n{question.text}")
    _tell(f"{question.help}{skip}")
    _tell(f"Such as: {question.example[units]}")
    today = _today()
    while why := why_refused(question, answer := _prompt(), units, today):
        _tell(why)
    if question.key == "deadline" and answer.strip():
        _tell(f"That is {day(deadline_on(answer, today, units), units=units)}.")
    return answer


def _tell(text: str) -> None:
    """Print what is said of a question, broken between words."""
    click.echo(click.wrap_text(text, initial_indent="  ", subsequent_indent="  "))


def _prompt() -> str:
    """Return a line that is typed; an empty one counts."""
    return str(click.prompt(">", default="", show_default=False, prompt_suffix=" "))
