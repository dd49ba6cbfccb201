"""``pourwright studio``: the studio in the browser."""

from __future__ import annotations

from datetime import UTC, datetime, time
from pathlib import Path

import click

EXAMPLES = """\b
Examples:
  pourwright studio
  pourwright studio pottery --port 8080 --no-browser
  pourwright studio pottery --lan
  pourwright studio trial --sample
"""
PORT = 8484


@click.command("studio", epilog=EXAMPLES)
@click.argument("folder", type=click.Path(path_type=Path), default=Path())
@click.option(
    "--lan",
    is_flag=True,
    help="Let paired phones in over the network. It is plain http: use a network of the studio's own.",
)
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=PORT,
    show_default=True,
    help="Where it is served; 0 for any that is free.",
)
@click.option(
    "--name",
    "names",
    multiple=True,
    metavar="NAME",
    help="A further name of this computer in the network, such as studio.lan.",
)
@click.option(
    "--sample",
    is_flag=True,
    help="Lay out an invented studio in FOLDER first, if FOLDER is empty or not there yet.",
)
@click.option("--no-browser", "quiet", is_flag=True, help="Do not open a browser.")
@click.option(
    "--today",
    metavar="DATE",
    help="Act as if it were this day, such as 2027-03-01. Without it: the day it is.",
)
def studio_command(
    folder: Path,
    port: int,
    names: tuple[str, ...],
    today: str | None,
    *,
    lan: bool,
    sample: bool,
    quiet: bool,
) -> None:
    """Serve the studio in FOLDER to a browser on this computer.

    FOLDER holds studio.toml, the editions' briefs, the book and the photos; what is
    missing is made when it is needed. Phones come in with --lan, each paired once by a
    code that this computer shows.
    """
    from pourwright.reading import read_day
    from pourwright.web.serve import serve

    if sample:
        _lay_out_sample(folder, today)
    else:
        _make(folder)
    day = None if today is None else read_day(today, _now().date(), "--today")
    serve(
        folder,
        port=port,
        lan=lan,
        names=names,
        today=day,
        browse=not quiet,
        say=click.echo,
    )


def _make(folder: Path) -> None:
    """Make the studio's folder where there is none yet."""
    from pourwright.errors import BadInput

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        right = f"write a folder that there is or can be made; {error.strerror}"
        raise BadInput.one("FOLDER", str(folder), right) from None


def _lay_out_sample(folder: Path, today: str | None) -> None:
    """Lay out the sample studio, its days counted back from the day it is to be."""
    from pourwright.reading import read_day
    from pourwright.studio.sample import lay_out_sample

    now = _now()
    if today is not None:
        now = datetime.combine(read_day(today, now.date(), "--today"), time(12), UTC)
    lay_out_sample(folder, now)


def _now() -> datetime:
    return datetime.now().astimezone()
