"""``pourwright plan``: a brief in, the plan on the terminal and in two files."""

from __future__ import annotations

import gc
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from pourwright.plan.plan import Plan

IN_STUDIO = "the studio's folder"
"""Stands for the folder of the studio file when --book names none."""
EXAMPLES = """\b
Examples:
  pourwright plan edition.toml
  pourwright plan edition.toml --today 2027-03-01 --out plans
  pourwright plan edition.toml --json > plan.json
  pourwright plan edition.toml --beside ../jug/edition.toml
  pourwright plan edition.toml --book
"""


@click.command("plan", epilog=EXAMPLES)
@click.argument("brief", type=click.Path(path_type=Path), default=Path("edition.toml"))
@click.option(
    "--today",
    metavar="DATE",
    help="Plan as if it were this day, such as 2027-03-01. Without it: the day it is.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON and nothing else.")
@click.option(
    "--beside",
    "beside",
    metavar="BRIEF",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Another edition in the same studio that has the first claim on kiln and hands. May be "
    "given more than once, the first claim first.",
)
@click.option(
    "--book",
    "book",
    metavar="[FOLDER]",
    is_flag=False,
    flag_value=IN_STUDIO,
    type=click.Path(path_type=Path),
    help="Go on from what the book says is true, and show the first plan beside it. FOLDER holds book.db; "
    "without it: the studio file's folder.",
)
@click.option(
    "--runs",
    type=click.IntRange(100, 200_000),
    default=10_000,
    show_default=True,
    help="How many ways it may go are played through for the odds.",
)
@click.option(
    "--all", "whole", is_flag=True, help="Print the whole plan; without it: the first look."
)
@click.option(
    "--section",
    "names",
    metavar="NAME",
    multiple=True,
    help="Print this part of the plan, such as plaster or calendar. May be given more than once.",
)
@click.option(
    "--out",
    "folder",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="Where plan.json, plan.html and plan.ics are written; made if need be. Without it: this folder, "
    "or nowhere with --json.",
)
def plan_command(
    brief: Path,
    today: str | None,
    beside: tuple[Path, ...],
    book: Path | None,
    runs: int,
    folder: Path | None,
    names: tuple[str, ...],
    *,
    whole: bool,
    as_json: bool,
) -> None:
    """Plan an edition from its BRIEF; without one, from edition.toml in this folder.

    Prints what to look at first and writes the whole as plan.json, plan.html and plan.ics.
    The studio's own file is named in the brief.
    """
    gc.disable()  # a plan makes no rings of garbage; looking for some is a tenth of its time
    click.get_current_context().call_on_close(gc.enable)
    click.get_current_context().call_on_close(
        gc.freeze
    )  # first, else all that stays is looked through
    from pourwright.cli.progress import working
    from pourwright.plan.plan import plan_json
    from pourwright.reading import read_day
    from pourwright.report.files import save_plan

    now = datetime.now().astimezone().date()
    as_of = now if today is None else read_day(today, now, "--today")
    with working("Planning"):
        plan = (
            plan_afresh(brief, as_of, runs, beside)
            if book is None
            else _from_book(brief, as_of, runs, beside, book)
        )
    written = () if as_json and folder is None else save_plan(plan, folder or Path())
    if as_json:
        click.echo(plan_json(plan).encode(), nl=False)
    else:
        _show(plan, written, names, whole=whole)


def plan_afresh(brief: Path, as_of: date, runs: int, beside: tuple[Path, ...]) -> Plan:
    """Plan by the briefs alone."""
    from pourwright.briefs.reading import open_briefs
    from pourwright.plan.case import ToPlan
    from pourwright.plan.make import make_plan

    own, *others = (
        ToPlan(*file.read(as_of), file=file.path.name) for file in open_briefs((brief, *beside))
    )
    return make_plan(own, as_of, runs, others)


def _from_book(brief: Path, as_of: date, runs: int, beside: tuple[Path, ...], book: Path) -> Plan:
    """Plan on from the book; a plan without one does not load what reads it."""
    from pourwright.studio.plans import plan_from_book

    return plan_from_book(brief, as_of, runs, beside, None if str(book) == IN_STUDIO else book)


def _show(plan: Plan, written: tuple[Path, ...], names: tuple[str, ...], *, whole: bool) -> None:
    """Print what is asked for, and below it where the rest is."""
    from pourwright.cli.show import console_for, show_sections
    from pourwright.report.sections import chosen_sections, plan_sheet

    sheet, sections = plan_sheet(plan), chosen_sections(plan, names, whole=whole)
    show_sections(console_for(), f"{sheet.title}. {sheet.subtitle}.", sections)
    rest = "The rest: --all, or --section with odds, molds, pour-list, calendar ..."
    click.echo("" if whole or names else f"\n{rest}")
    *most, last = map(str, written)
    click.echo(f"Written: {', '.join(most)} and {last}")
