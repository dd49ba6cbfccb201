"""``pourwright book``: each verb of the book as a command, lines from a script, questions and copies."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pourwright.cli.book.files import (
    FILES,
    GO_ON,
    RUN,
    answered,
    clock_option,
    folder_option,
    now_at,
    opened,
)
from pourwright.cli.book.mending import MENDING, typed_id
from pourwright.cli.book.show import show_group

if TYPE_CHECKING:
    from pourwright.ledger.book import Book
    from pourwright.ledger.kinds.fields import BookField, Kind


class Verbs(click.Group):
    """The verbs, each made from the book's table when it is asked for; ``--help`` stays quick."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the verbs in the order of the work, then what is done with the book as a whole."""
        grouped = [name for _, names in _groups() for name in names]
        return [*grouped, *(name for name in super().list_commands(ctx) if name not in grouped)]

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the commands in groups, each under the work that it belongs to."""
        groups = _groups()
        grouped = {name for _, names in groups for name in names}
        groups[-1][1].extend(name for name in self.list_commands(ctx) if name not in grouped)
        for title, names in groups:
            commands = ((name, self.get_command(ctx, name)) for name in names)
            rows = [
                (name, one.get_short_help_str(140)) for name, one in commands if one is not None
            ]
            with formatter.section(title):
                formatter.write_dl(rows)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return the command of a verb, None if there is none."""
        from pourwright.ledger.kinds.table import verb_named

        own, verb = super().get_command(ctx, cmd_name), verb_named(cmd_name)
        return _command(verb) if own is None and verb is not None else own


_KEEPING = {
    "What the book says": ("show", "last"),
    "Putting right what was written": ("undo", "change", "correct"),
    "Keeping the book itself": ("backup", "verify", "restore", "run", "export", "import"),
}
"""What is no work at the bench, each group under what it is about; the book itself comes last."""


def _groups() -> list[tuple[str, list[str]]]:
    """Return every command under the work that it belongs to."""
    from pourwright.ledger.kinds.table import GROUPS

    elsewhere = {name for names in _KEEPING.values() for name in names}
    verbs = [
        (title, [kind.verb for kind in kinds if kind.verb not in elsewhere])
        for title, kinds in GROUPS
    ]
    verbs[-1][1].append("keep-photo")
    return [*verbs, *((title, list(names)) for title, names in _KEEPING.items())]


@click.group(
    "book",
    cls=Verbs,
    epilog="\b\nExamples:\n  pourwright book plan-edition --edition tide-cup --pieces 48\n"
    "  pourwright book cast --molds all --good 9\n"
    "  pourwright book show casts-left\n"
    "  pourwright book run year.jsonl\n",
)
def book_command() -> None:
    """Write down what happened, and ask what is true.

    The book only grows: what was wrong is corrected by a further entry. What must not
    happen is refused with a sentence, and nothing is written then.
    """


for _one in (RUN, *FILES, *MENDING, show_group):
    book_command.add_command(_one)


class Verb(click.Command):
    """A verb's command, which tells a hand that slipped how several molds are written."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read what was typed.

        Raises
        ------
        click.UsageError
            If it is not what the verb has.
        """
        typed = list(args)  # reading takes them away
        try:
            return super().parse_args(ctx, args)
        except click.UsageError as wrong:
            hint = _hint(self.name or "", typed, wrong)
            if not hint:
                raise
            raise click.UsageError(f"{wrong.format_message()} {hint}", ctx) from wrong


def _hint(verb: str, typed: list[str], wrong: click.UsageError) -> str:
    """Return how several molds are written, if that is what went wrong."""
    if isinstance(wrong, click.NoSuchOption):
        if verb == "sell" and wrong.option_name in ("--to", "--customer", "--name", "--buyer"):
            return (
                "Names of people are not kept in the book; write what tells you who it is with "
                "--reference, such as an invoice's number."
            )
        is_weighing = verb == "weigh" and wrong.option_name == "--molds"
        such = '--masses "6 6.40 kg, 7 7.05 kg"'
        told = f"Each mold's number stands inside --masses, before its weight: {such}."
        return told if is_weighing else ""
    for option, one, other in zip(typed, typed[1:], typed[2:], strict=False):
        if option.startswith("--") and one.isdecimal() and other.isdecimal():
            span = f" or {one}-{other}" if int(other) == int(one) + 1 else ""
            return f'Write several in one: {option} "{one}, {other}"{span}.'
    if typed and not typed[0].startswith("-"):
        from pourwright.ledger.kinds.table import kind_of

        such = example(kind_of(verb))
        return f"What is told stands behind its name, such as: {such}"
    return ""


def _command(kind: Kind) -> click.Command:
    """Return the command of a verb: its fields as options, then those of every command."""
    return Verb(
        kind.verb,
        params=[
            *map(_option, kind.fields),
            *_usual(kind),
            _go_on(),
            folder_option(),
            _json(),
            clock_option(),
        ],
        callback=lambda **typed: _do(kind.verb, typed),
        help=kind.meaning,
        epilog=f"\b\nExample:\n  {example(kind)}\n",
    )


def example(kind: Kind) -> str:
    """Return a verb's example as it is typed."""
    told = {k: v for k, v in kind.example.items() if k not in ("do", "id")}
    words = [f"--{name.replace('_', '-')} {_quoted(value)}" for name, value in told.items()]
    return " ".join(["pourwright book", kind.verb, *words])


def _quoted(value: object) -> str:
    text = json.dumps(value) if isinstance(value, (dict, list)) else str(value)
    text = "yes" if value is True else text
    return text if text.replace("-", "").replace(".", "").isalnum() else f"'{text}'"


def _option(field: BookField) -> click.Option:
    such = json.dumps(field.example) if isinstance(field.example, dict) else field.example
    such = "yes" if such is True else such
    among = f" One of: {', '.join(field.choices)}." if field.kind == "choice" else ""
    without = f" [default: {field.source}]" if field.source else ""
    needed = " Needed, unless the brief in the folder tells it." if field.name == "pieces" else ""
    return click.Option(
        [f"--{field.name.replace('_', '-')}", field.name],
        metavar="TEXT",
        required=field.required and not needed,
        help=f"{field.meaning}{among} Such as {such}.{without}",
    )


def _usual(kind: Kind) -> list[click.Option]:
    """Return the options that every verb has; what a verb has of its own is not doubled."""
    from pourwright.ledger.kinds.table import USUAL

    own = {field.name for field in kind.fields}
    left_out = {"do", "age_s", "go_on", *own, *(("edition",) if kind.scope == "studio" else ())}
    return [
        click.Option(
            [f"--{one.name}", one.name],
            metavar="TEXT",
            help=f"{one.meaning} Such as {one.example}."
            + (f" [default: {one.source}]" if one.source else " [default: a new one]"),
        )
        for one in USUAL
        if one.name not in left_out
    ]


def _go_on() -> click.Option:
    return click.Option(
        [GO_ON, "go_on"],
        is_flag=True,
        default=None,
        help="Write it although the book asks. Without it: a terminal is asked, a script is refused.",
    )


def _json() -> click.Option:
    return click.Option(
        ["--json", "as_json"], is_flag=True, help="Print the answer as JSON and nothing else."
    )


def _do(verb: str, typed: dict[str, Any]) -> None:
    """Send one command, and print what the book answers."""
    folder, as_json, today = typed.pop("folder"), typed.pop("as_json"), typed.pop("today")
    told = {name: _typed(name, text) for name, text in typed.items() if text is not None}
    command = {"id": typed_id(), **told, "do": verb}
    if verb == "plan-edition":
        command = _filled(command, folder)
    may_begin = verb in ("plan-edition", "mix-lot", "note")
    book = opened(folder, create=may_begin, anew=bool(typed.get("go_on")))
    with book.store:
        now = now_at(today, book.zone)
        answer = answered(book, command, now)
        verdicts = _verdicts(book, folder, answer.seq, now) if verb == "weigh" else ()
    if as_json:
        from pourwright.ledger.answer import answer_text

        click.echo(answer_text(answer))
        return
    click.echo(answer.said)
    for verdict in verdicts:
        click.echo(verdict)
    for finding in answer.findings:
        click.echo(f"Odd: {finding}")


def _filled(command: dict[str, Any], folder: Path) -> dict[str, Any]:
    """Return what plans an edition, with what it lacks taken from its brief, and say so."""
    from pourwright.studio.begin import filled_from_brief

    told, words = filled_from_brief(command, folder, datetime.now().astimezone().date())
    if words:
        click.echo(words, err=True)
    return told


def _verdicts(book: Book, folder: Path, seq: int, now: datetime) -> list[str]:
    """Return what the weighings of the molds that were weighed say."""
    from pourwright.studio.shelf import verdicts_of

    with book.reading() as reading:
        return verdicts_of(reading, folder, seq, book, now)


def _typed(name: str, text: str) -> object:
    """Return what an option holds; the changes of a correction are typed as JSON."""
    if name != "changes":
        return text
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return text  # the book says what would be right
