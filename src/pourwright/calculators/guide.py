"""The site's page of the questions at the bench, made from their tables; ``make docs`` writes it.

Each subject's first example is worked as the page is made.
"""

from __future__ import annotations

from datetime import date

from pourwright.calculators.question import Answer, Given, Group, Question, Units
from pourwright.calculators.table import all_questions, ask
from pourwright.calculators.words import beside, command_line, figure_text, table_of
from pourwright.fields import guide_rows

THE_DAY = date(2027, 3, 1)
"""The day of every worked example, so that the page is the same whenever it is made."""

_HEAD = """\
# Questions at the bench

Each command below answers one question in words and numbers.
What an answer rests on stands below it: what you told, what was assumed and why, where the law holds, and its sources.
A figure that is not known to a point comes with its range, and a weak one says so.

Quantities are written as [in the brief](brief.md#how-things-are-written): `"2.5 l"`, `"6 lb 3 oz"`, `"6 %"`.
A bare pint is asked about, unless `--units us` or your studio's file says whose it is, or only one of the two makes a casting slip; a quart is the US one.
An option that may be told more than once may also be told once with semicolons: `"5 mm in 12 min; 6 mm in 17 min"`.

| Option of every subject | What it does |
| --- | --- |
| `--units` | `metric` or `us`: what the answer is shown in, and whose pint a bare pint is. Without it: the studio's, or those of what you type. |
| `--studio FILE` | A `studio.toml` that tells what you do not: your consistency, scale, slip. Without it the one in the folder you are in, and the answer says so. |
| `--json` | The answer as JSON and nothing else ([its schema](commands.md#pourwright-schema)); numbers are in the unit beside them. |

| Subject | What it answers |
| --- | --- |
{contents}
"""


def questions_page() -> str:
    """Return the page, as Markdown."""
    questions = list(all_questions())
    contents = "\n".join(
        f"| [`{one.id}`](#pourwright-figure-{one.id}) | {_first_sentence(one)} |"
        for one in questions
    )
    return _HEAD.format(contents=contents) + "".join(map(_subject, questions))


def _first_sentence(question: Question) -> str:
    return question.words.split(". ")[0].rstrip(".") + "."


def _subject(question: Question) -> str:
    lines = [
        "",
        f"## `pourwright figure {question.id}`",
        "",
        *_sentences(question.words),
        *_rules(question),
        "",
        *guide_rows(question.asks, lambda one: one.option),
        "",
        *_worked(question),
    ]
    return "\n".join(lines) + "\n"


def _sentences(words: str) -> list[str]:
    return words.replace(". ", ".\n").split("\n")


def _rules(question: Question) -> list[str]:
    said = [f"Tell exactly one of {_options(group)}." for group in question.one_of]
    said += [f"Tell at most one of {_options(group)}." for group in question.at_most_one]
    said += [f"Told together or not at all: {_options(one)}." for one in question.together]
    return said


def _options(group: Group) -> str:
    return ", ".join(f"`{one.option}`" for one in group)


def _worked(question: Question) -> list[str]:
    """Return the first example, typed and answered."""
    example = question.examples[0]
    given, answer = ask(question.id, example, today=THE_DAY)
    return [
        f"    {command_line(question, example)}",
        "",
        answer.says,
        "",
        *_figures(answer, given.units),
        *_tables(answer, given),
        *[f"{note}\n" for note in answer.notes],
        "Where it holds:",
        *answer.ranges,
        "",
        "Sources:",
        "",
        *[f"- {source}" for source in answer.sources],
    ]


def _figures(answer: Answer, units: Units) -> list[str]:
    rows = [
        f"| {one.label} | {figure_text(one, units)} | {beside(one, units)} |"
        for one in answer.figures
    ]
    return (
        ["| Figure | Value | Range, and how sure |", "| --- | --- | --- |", *rows, ""]
        if rows
        else []
    )


def _tables(answer: Answer, given: Given) -> list[str]:
    lines: list[str] = []
    for rows in answer.tables:
        table = table_of(rows, given.units)
        lines += [f"{table.caption}:", ""]
        lines += ["| " + " | ".join(title for title, _ in table.columns) + " |"]
        lines += [
            "| "
            + " | ".join("---:" if side == "right" else "---" for _, side in table.columns)
            + " |"
        ]
        lines += ["| " + " | ".join(cells) + " |" for cells in table.rows]
        lines += ["", *([table.note, ""] if table.note else [])]
    return lines
