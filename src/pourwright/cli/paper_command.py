"""``pourwright paper KIND``: a sheet for the wall or the bench, as a PDF."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pourwright.cli.book.files import folder_option

if TYPE_CHECKING:
    from pourwright.paper.kinds import Kind
    from pourwright.paper.printing import Sheet, Size

EXAMPLES = """\b
Kinds, of a plan's BRIEF:
  pour      a session at the bucket: batches, weights, times to write in
  shopping  what is to be bought, the soonest first, in the shop's units
  plan      the plan with its charts in two columns, at most six pages
\b
Kinds, of the book in --folder:
  casting   a day's casts: molds, times, good and lost to write in
  day       everything that a day asks for, over all editions, with blanks
  kiln      loads to build, or some by their labels: places, a log, what was lost
  lot       a card for the bucket, by its label: what it holds, readings to write in
  tags      for molds, masters and lots by their labels: name, casts to tick, QR code
\b
Examples:
  pourwright paper pour edition.toml
  pourwright paper pour edition.toml --day 2027-03-08 --out monday.pdf
  pourwright paper casting --folder pottery
  pourwright paper tags M-007 F-002 --address http://studio.lan:8484 --labels "70 x 37 mm"
"""
SIZES: dict[str, Size] = {"a4": "a4", "letter": "us-letter"}


@dataclass(frozen=True, slots=True)
class Asked:
    """What was typed: what the sheet is of, the studio's folder, the days, how tags are printed."""

    of: tuple[str, ...]
    folder: Path
    day: date | None
    today: date
    address: str
    labels: str | None


@click.command("paper", epilog=EXAMPLES)
@click.argument("kind")
@click.argument("of", nargs=-1)
@click.option(
    "--day",
    metavar="DATE",
    help="The day that the sheet is for. Without it: every day of the plan that has one; of the book, today.",
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
    "--address",
    metavar="URL",
    default="",
    help="Where phones open the studio, such as http://studio.lan:8484, for the QR codes of tags. Without it: no code.",
)
@click.option(
    "--labels",
    metavar="SIZE",
    help='Tags on labels of this size, such as "70 x 37 mm". Without it: plain paper with lines to cut along.',
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
    of: tuple[str, ...],
    folder: Path,
    day: str | None,
    today: str | None,
    named: str | None,
    address: str,
    labels: str | None,
    path: Path | None,
) -> None:
    """Print a sheet of a KIND as a PDF: what leaves the screen.

    OF is the brief of a plan's sheet, edition.toml without it; the plan is made anew, and goes on
    from the book if one lies beside the studio file. Of the book's sheets OF are labels. Needs the
    extra "paper".
    """
    from pourwright.cli.progress import working
    from pourwright.extras import require_extra
    from pourwright.paper.kinds import find_kind
    from pourwright.paper.printing import as_pdf
    from pourwright.reading import read_day

    wanted = find_kind(kind)
    require_extra("paper")
    now = datetime.now().astimezone().date()
    as_of = now if today is None else read_day(today, now, "--today")
    for_day = None if day is None else read_day(day, as_of, "--day")
    asked = Asked(of, folder, for_day, as_of, address.rstrip("/"), labels)
    with working("Printing"):
        sheet, size = _sheet(wanted, asked)
        pdf = as_pdf(kind, sheet, SIZES[named] if named else size)
    out = path or Path(f"{kind}.pdf")
    _write(out, pdf)
    click.echo(f"Written: {out}")


paper_command.params.append(folder_option())


def _sheet(kind: Kind, asked: Asked) -> tuple[Sheet, Size]:
    """Return the sheet that is asked for, and the paper that its studio prints on."""
    if kind.from_plan is not None:
        return _of_plan(kind, asked)
    return _of_book(kind, asked)


def _of_plan(kind: Kind, asked: Asked) -> tuple[Sheet, Size]:
    from pourwright.briefs.reading import open_brief
    from pourwright.paper.printing import size_for
    from pourwright.studio.plans import plan_of_brief

    assert kind.from_plan is not None  # noqa: S101 - looked at before
    brief = Path(asked.of[0] if asked.of else "edition.toml")
    file = open_brief(brief)
    _, studio = file.read(file.day_read(asked.today))
    sheet = kind.from_plan(plan_of_brief(brief, asked.today), asked.day)
    return sheet, size_for(studio.studio.country)


def _of_book(kind: Kind, asked: Asked) -> tuple[Sheet, Size]:
    from pourwright.cli.book.files import opened
    from pourwright.paper.at_hand import at_hand
    from pourwright.paper.label_size import read_label_size
    from pourwright.paper.printing import size_for

    assert kind.from_book is not None  # noqa: S101 - a kind is made from the one or the other
    day, labels = asked.day or asked.today, read_label_size(asked.labels) if asked.labels else None
    book = opened(asked.folder)
    with book.store, book.reading() as reading:
        at = at_hand(reading, book, asked.folder, day, asked.of, asked.address, labels)
        return kind.from_book(at), size_for(at.studio.studio.country if at.studio else None)


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
