"""An answer in words: the sections that a terminal prints and a page draws."""

from __future__ import annotations

import shlex
from collections.abc import Mapping
from dataclasses import dataclass

from pourwright.calculators.question import (
    Answer,
    AnswerFigure,
    Column,
    Given,
    Question,
    Rows,
    Told,
    Value,
    care,
)
from pourwright.calculators.rates import show_difference, show_number, show_rate
from pourwright.cautions import CareText
from pourwright.quantities import show
from pourwright.report.blocks import (
    Align,
    Block,
    Caution,
    Facts,
    Section,
    Steps,
    Table,
    Text,
)

NOT_KNOWN = "not known"


def as_sections(question: Question, given: Given, answer: Answer) -> tuple[Section, ...]:
    """Return an answer as sections: the answer, what it rests on, and the care to take."""
    return (
        Section("answer", question.title, _answer_blocks(given, answer)),
        Section("rests-on", "What it rests on", _ground_blocks(given, answer)),
        *_care_sections(cautions_of(question, answer), given.units),
    )


@dataclass(frozen=True, slots=True)
class Layer:
    """What goes into a vessel: its name, its figure in words, and its share of the mass in it. [-]"""

    name: str
    label: str
    figure: str
    share: float


IN_ONE_VESSEL = {
    "plaster": ("water_kg", "plaster_kg"),
    "rubber": ("base_kg", "hardener_kg", "reclaimed_kg"),
    "slip": ("dry_kg_per_l", "water_kg_per_l"),
    "glaze": ("dry_kg_per_l", "water_kg_per_l"),
}
"""The figures of an answer that are weighed into one vessel, the lowest first, by question."""


def layers_of(question: Question, answer: Answer, units: str) -> tuple[Layer, ...]:
    """Return what lies in the vessel of an answer, the lowest first; nothing where none is filled."""
    names = IN_ONE_VESSEL.get(question.id, ())
    found = {
        one.name: (one, one.value)
        for one in answer.figures
        if one.name in names and isinstance(one.value, float) and one.value > 0
    }
    whole = sum(value for _, value in found.values())
    return tuple(
        Layer(
            name, found[name][0].label, figure_text(found[name][0], units), found[name][1] / whole
        )
        for name in names
        if name in found
    )


def cautions_of(question: Question, answer: Answer) -> tuple[CareText, ...]:
    """Return the question's own cautions, then the answer's, none twice."""
    return tuple(dict.fromkeys((*care(*question.cautions), *answer.cautions)))


def _answer_blocks(given: Given, answer: Answer) -> tuple[Block, ...]:
    rows = tuple(
        (one.label, figure_text(one, given.units), beside(one, given.units))
        for one in answer.figures
    )
    blocks: list[Block] = [Text(answer.says, "lead")]
    blocks += [Facts(rows)] if rows else []
    blocks += [table_of(one, given.units) for one in answer.tables]
    blocks += [Text(one, "note") for one in (*answer.notes, *_of_the_studio(given))]
    return tuple(blocks)


def _of_the_studio(given: Given) -> tuple[str, ...]:
    """Return what the studio's file has told."""
    if not given.studio:
        return ()
    told = [
        f"{name} {_as_told(one, given.units)}"
        for name, one in given.told.items()
        if one.by == "studio"
    ]
    return (f"From {given.studio}: {', '.join(told).replace('_', ' ') or 'the units'}.",)


def _as_told(told: Told, units: str) -> str:
    """Return what was told, a liter weight that is a number alone with its unit."""
    is_bare = told.ask.dimension == "liter weight" and not any(map(str.isalpha, told.typed))
    if is_bare and isinstance(told.value, float):
        return show(told.value, "liter weight", units)
    return told.typed


def _ground_blocks(given: Given, answer: Answer) -> tuple[Block, ...]:
    rows = tuple(
        (one.ask.name.replace("_", " "), _as_told(one, given.units), _who(one))
        for one in given.told.values()
    )
    blocks: list[Block] = [Facts(rows)] if rows else []
    blocks += [Text(one) for one in answer.ranges]
    blocks += [Text("Sources:"), Steps(answer.sources)]
    return tuple(blocks)


def _care_sections(cautions: tuple[CareText, ...], units: str) -> tuple[Section, ...]:
    if not cautions:
        return ()
    blocks = tuple(Caution(one.said(units), one.title) for one in cautions)
    return (Section("care", "Take care", blocks),)


def _who(told: Told) -> str:
    if told.by == "default":
        return f"assumed: {told.ask.source}" if told.ask.source else "assumed"
    return "as you told it" if told.by == "typed" else "the studio's file"


def figure_text(figure: AnswerFigure, units: str) -> str:
    """Return a figure as it is read, in metric or US units.

    Examples
    --------
    >>> figure_text(AnswerFigure(name="volume_l", label="fills", value=3.2, dimension="volume"), "metric")
    '3.20 l'
    >>> figure_text(AnswerFigure(name="strength_mpa", label="strength", value=14.62, unit="MPa"), "us")
    '2120 psi'
    """
    if figure.text:
        return figure.text
    if figure.value is None:
        return _ends(figure, units) or NOT_KNOWN
    return _said(figure.value, figure, units)


def beside(figure: AnswerFigure, units: str) -> str:
    """Return the range, the note and the grade of a figure, as they stand beside it."""
    ends = _ends(figure, units) if figure.value is not None else ""
    return "; ".join(part for part in (ends, figure.note, figure.grade) if part)


def _ends(figure: AnswerFigure, units: str) -> str:
    if figure.low is None or figure.high is None:
        return ""
    low, high = (_said(end, figure, units) for end in (figure.low, figure.high))
    return f"{low} to {high}" if low != high else low


def _said(value: Value, of: AnswerFigure | Column, units: str) -> str:
    """Return a number with its unit, or a word as it is."""
    if value is None:
        return NOT_KNOWN
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value
    if of.dimension:
        return show(value, of.dimension, units, of.step)
    if of.unit in ("degC", "degC/h"):  # a difference or a rate: no dimension of the house's
        return (show_rate if of.unit == "degC/h" else show_difference)(value, units)
    if isinstance(value, int):
        return f"{value} {of.unit}".rstrip()
    return show_number(value, of.unit, units, of.digits)


def table_of(rows: Rows, units: str) -> Table:
    """Return a table of an answer with its numbers in words."""
    columns: list[tuple[str, Align]] = [
        (one.label, "left" if _is_words(rows, place) else "right")
        for place, one in enumerate(rows.columns)
    ]
    cells = tuple(
        tuple(_said(value, column, units) for value, column in zip(row, rows.columns, strict=True))
        for row in rows.rows
    )
    return Table(rows.caption, tuple(columns), cells, note=rows.note)


def _is_words(rows: Rows, column: int) -> bool:
    return any(isinstance(row[column], str) for row in rows.rows)


def command_line(question: Question, example: Mapping[str, str | list[str]]) -> str:
    """Return what is typed at a terminal to tell an example, by the ask's name."""
    words = ["pourwright figure", question.id]
    for name, typed in example.items():
        ask = question.ask_named(name)
        for text in typed if isinstance(typed, list) else [typed]:
            if ask.kind == "yes or no" and text == "yes":
                words.append(ask.option)
            else:
                quoted = f'"{text}"' if " " in text and '"' not in text else shlex.quote(text)
                words.append(f"{ask.option} {quoted}")
    return " ".join(words)
