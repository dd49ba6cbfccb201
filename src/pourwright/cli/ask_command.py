"""``pourwright ask``: the four first questions, and a brief to refine."""

from __future__ import annotations

import sys
from pathlib import Path

import click

EXAMPLES = """\b
Examples:
  pourwright ask harbor-cup
  pourwright ask harbor-cup --pieces 36 --water "1.9 kg; 640 g" \\
    --glaze-load 18 --loads-a-week 2 --life 30
  pourwright ask pitcher --units us --pieces 24 --dry-mass "10 lb 9 oz" \\
    --glaze-load 12 --loads-a-week 3
"""


@click.command("ask", epilog=EXAMPLES)
@click.argument("folder", type=click.Path(path_type=Path), default=Path())
@click.option("--pieces", help="Numbered pieces, proofs not among them.")
@click.option("--water", help="Water that fills each master, a semicolon between the parts.")
@click.option("--dry-mass", help="Dry weight of one whole mold, if the water was not weighed.")
@click.option("--glaze-load", help="Pieces that a glaze load holds.")
@click.option("--loads-a-week", help="Loads of any kind a week.")
@click.option("--life", help='Casts that a mold gives, or "don\'t know".')
@click.option(
    "--units",
    type=click.Choice(["metric", "us"]),
    help="Units the plan is shown in. Without it: those of the weights you give.",
)
def ask_command(folder: Path, units: str | None, **given: str | None) -> None:
    """Ask the first questions and write edition.toml and studio.toml into FOLDER.

    What is not given as an option is asked. Every other field stands in the
    files as a comment: what it means, what is assumed, and where that comes
    from. Nothing is overwritten.
    """
    from pourwright.briefs.first_questions import answers_from, units_of, write_brief

    typed = {key: text for key, text in given.items() if text is not None}
    if not typed or sys.stdin.isatty():
        _ask_the_rest(typed, units)
    shown_in = units or units_of(*typed.values())
    brief, studio = write_brief(answers_from(typed, shown_in), folder, units=shown_in)
    click.echo(f"Written: {brief} and {studio}")
    click.echo(f"Next: pourwright plan {brief}")


def _ask_the_rest(typed: dict[str, str], units: str | None) -> None:
    """Ask each question that is open until its answer will do; ``typed`` is filled in."""
    from pourwright.briefs.first_questions import QUESTIONS, is_asked, units_of, why_refused

    for question in QUESTIONS:
        if not is_asked(question, [key for key, text in typed.items() if text.strip()]):
            continue
        now = units or units_of(*typed.values())
        click.echo(f"\n{question.text}\n  {question.help}\n  Such as: {question.example[now]}")
        while why := why_refused(question, answer := _prompt(), now):
            click.echo(f"  {why}")
        typed[question.key] = answer


def _prompt() -> str:
    """Return a line that is typed; an empty one counts."""
    return str(click.prompt(">", default="", show_default=False, prompt_suffix=" "))
