"""``pourwright paper KIND``: a sheet for the wall or the bench, as a PDF."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from pourwright.paper.printing import Size

EXAMPLES = """\b
Kinds:
  pour      a session at the bucket: batches, weights, times to write in
\b
Examples:
  pourwright paper pour edition.toml
  pourwright paper pour edition.toml --day 2027-03-08 --out monday.pdf
"""
SIZES = {"a4": "a4", "letter": "us-letter"}


@click.command("paper", epilog=EXAMPLES)
@click.argument("kind")
@click.argument("brief", type=click.Path(path_type=Path), default=Path("edition.toml"))
@click.option(
    "--day",
    metavar="DATE",
    help="The day that the sheet is for. Without it: every day of the plan that has one.",
)
@click.option(
    "--today",
    metavar="DATE",
    help="Print as if it were this day. Without it: the day it is.",
)
@click.option(
    "--size",
    "named",
    type=click.Choice(list(SIZES)),
    help="The paper in the printer. Without it: by the studio's country.",
)
@click.option(
    "--out",
    "path",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help="The PDF to write. Without it: the kind's name in this folder, such as pour.pdf.",
)
def paper_command(
    kind: str,
    brief: Path,
    day: str | None,
    today: str | None,
    named: str | None,
    path: Path | None,
) -> None:
    """Print a sheet of a KIND as a PDF: what leaves the screen.

    The plan of the BRIEF is made anew, and goes on from the book if one lies beside the studio
    file. Needs the extra "paper".
    """
    from pourwright.cli.progress import working
    from pourwright.paper.extra import require_extra
    from pourwright.paper.kinds import find_kind
    from pourwright.paper.printing import as_pdf
    from pourwright.reading import read_day

    wanted = find_kind(kind)
    require_extra()
    now = datetime.now().astimezone().date()
    as_of = now if today is None else read_day(today, now, "--today")
    asked = None if day is None else read_day(day, as_of, "--day")
    with working("Planning"):
        from pourwright.studio.plans import plan_of_brief

        sheet = wanted.from_plan(plan_of_brief(brief, as_of), asked)
    out = path or Path(f"{kind}.pdf")
    _write(out, as_pdf(kind, sheet, _size(named, brief, as_of)))
    click.echo(f"Written: {out}")


def _size(named: str | None, brief: Path, today: date) -> Size:
    """Return the paper that is named, or the one of the brief's studio."""
    from pourwright.briefs.reading import open_brief
    from pourwright.paper.printing import size_for

    if named is not None:
        return "a4" if named == "a4" else "us-letter"
    file = open_brief(brief)
    _, studio = file.read(file.day_read(today))
    return size_for(studio.studio.country)


def _write(path: Path, content: bytes) -> None:
    """Write a file whole, or say why it cannot be."""
    from pourwright.errors import NotDoable
    from pourwright.files import write_whole

    try:
        write_whole(path, content)
    except OSError as refusal:
        reason = refusal.strerror or type(refusal).__name__
        raise NotDoable(
            f"{path} cannot be written: {reason}. Name a file of yours with --out."
        ) from refusal
