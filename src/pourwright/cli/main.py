"""The command line: one action a command, and the one place where errors are caught."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from time import monotonic

import click

from pourwright.cli import log
from pourwright.cli.ask_command import ask_command
from pourwright.cli.book.command import book_command
from pourwright.cli.figure_command import figure_command
from pourwright.cli.paper_command import paper_command
from pourwright.cli.plan_command import plan_command
from pourwright.cli.schema_command import schema_command
from pourwright.cli.shape_command import shape_command
from pourwright.cli.studio_command import studio_command
from pourwright.errors import EXIT_STATUS, StudioError

OUR_FAULT = """\
Something went wrong inside Pourwright. This is our fault, not yours.
The log holds the whole of it, without names or folders: {place}
"""


@click.group(
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Begin with: pourwright ask",
)
@click.version_option(package_name="pourwright", message="%(prog)s %(version)s")
def cli() -> None:
    """Plan a numbered edition of slip-cast ceramics.

    From a brief to molds, weights, pours, days, kiln loads and cost.
    """


cli.add_command(ask_command)
cli.add_command(plan_command)
cli.add_command(studio_command)
cli.add_command(figure_command)
cli.add_command(book_command)
cli.add_command(shape_command)
cli.add_command(paper_command)
cli.add_command(schema_command)


def main() -> None:
    """Run the command line and leave with its exit status."""
    _forgive_narrow_encodings()
    sys.exit(run(sys.argv[1:]))


def run(arguments: Sequence[str]) -> int:
    """Run what was typed after the program's name and return the exit status; every error ends here.

    It is 0 when done, 2 for what a maker can put right, 1 for a fault of ours, and 130 when
    stopped by hand.
    """
    kept = log.open_log()
    command = next((word for word in arguments if word in cli.commands), "no command")
    log.note(f"{command}: {log.surroundings()}")
    began = monotonic()
    try:
        status = cli.main(list(arguments), "pourwright", standalone_mode=False) or 0
        sys.stdout.flush()
    except (Exception, KeyboardInterrupt) as error:  # noqa: BLE001 - the one place; never a traceback
        status = _answer_to(error, arguments, kept)
    log.note(f"{command}: ended with {status} after {monotonic() - began:.1f} s")
    log.close_log()
    return int(status)


def _answer_to(error: BaseException, arguments: Sequence[str], kept: Path | None) -> int:
    """Say what an error means on standard error, and return the exit status."""
    match error:
        case StudioError():
            click.echo(str(error), err=True)
            return EXIT_STATUS
        case click.Abort() | KeyboardInterrupt():
            click.echo("Stopped.", err=True)
            return 130
        case click.ClickException():
            error.show()
            return EXIT_STATUS
        case BrokenPipeError():
            _leave_quietly()
            return 1
        case OSError(errno=errno.ENOSPC):
            click.echo("There is no space left where the output goes.", err=True)
            _leave_quietly()
            return EXIT_STATUS
    log.note_fault(error, arguments)
    place = kept or "none, it could not be kept"
    click.echo(OUR_FAULT.format(place=place), err=True, nl=False)
    return 1


def _forgive_narrow_encodings() -> None:
    """Let a terminal that lacks a character show a question mark for it."""
    for stream in (sys.stdout, sys.stderr):
        with suppress(AttributeError, ValueError, OSError):
            stream.reconfigure(errors="replace")  # type: ignore[union-attr]


def _leave_quietly() -> None:
    """Point standard output nowhere, so that the last flush cannot fail again."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


if __name__ == "__main__":
    main()
