"""The plan on paper: its sections in two columns, the charts among them, at most six pages."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from msgspec import Struct

from pourwright.paper.printing import Sheet
from pourwright.plan.plan import Plan
from pourwright.report.blocks import (
    Block,
    Caution,
    Facts,
    Figure,
    Glance,
    Section,
    Steps,
    Table,
    Text,
    Weeks,
)
from pourwright.report.charts.records import LOOKS
from pourwright.report.charts.render import svg_image
from pourwright.report.plan_charts import chart
from pourwright.report.saying import Say, count
from pourwright.report.sections import COLOPHON, plan_sections

LEFT_OUT = frozenset({"pour-list"})
"""The pour list has sheets of its own."""


MOST_WEEKS = 14
"""Weeks of the calendar, those alike told as one, so that a plan of a year is no roll of paper."""
LETTERS = "Atkinson Hyperlegible"
"""Of the charts: the layout has no other letters without serifs."""


class Shown(Struct, frozen=True, kw_only=True):
    """A block as it is laid out: a paragraph, lines, a table, steps, a caution, a picture.

    Parameters
    ----------
    is_a : str
        ``text``, ``glance``, ``facts``, ``table``, ``week``, ``steps``, ``caution``
        or ``figure``.
    title, text : str
        What stands over it; its words, or what stands below.
    heads : tuple of str
        The titles of a table's columns.
    rights : tuple of int
        Columns that are set to the right.
    rows : tuple of tuple of str
        Lines of facts, steps or cells.
    svg : str
        A picture.
    picture_said : str
        The picture in a sentence.
    """

    is_a: str
    title: str = ""
    text: str = ""
    heads: tuple[str, ...] = ()
    rights: tuple[int, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    svg: str = ""
    picture_said: str = ""


class SectionShown(Struct, frozen=True):
    """A section with its blocks."""

    heading: str
    blocks: tuple[Shown, ...]


class PlanPrinted(Sheet, frozen=True, kw_only=True):
    """What stands on the printed plan; the first section is its answer."""

    name: str
    subtitle: str
    sections: tuple[SectionShown, ...]
    colophon: str


def plan_printed(plan: Plan, day: date | None = None) -> PlanPrinted:
    """Return a plan for paper: what stands open on its page, without the pour list.

    A ``day`` says nothing here; a plan is printed whole.
    """
    say = Say.of(plan)
    sections = (one for one in plan_sections(plan) if not one.folded and one.id not in LEFT_OUT)
    return PlanPrinted(
        title=f"Plan: {plan.edition.name}",
        of="Edition plan",
        foot=f"{plan.studio.name} · {plan.edition.id}, planned on {say.day(plan.as_of)}",
        name=plan.edition.name,
        subtitle=f"Planned on {say.day(plan.as_of)} for {plan.studio.name}",
        sections=tuple(_section(one, plan) for one in sections),
        colophon=COLOPHON,
    )


def _section(section: Section, plan: Plan) -> SectionShown:
    shown = (one for block in section.blocks for one in _shown(block, plan))
    return SectionShown(section.title, tuple(shown))


def _shown(block: Block, plan: Plan) -> Iterator[Shown]:
    match block:
        case Text(text):
            yield Shown(is_a="text", text=text)
        case Glance(sentence, rows):
            yield Shown(is_a="glance", text=sentence, rows=rows)
        case Facts(rows):
            yield Shown(is_a="facts", rows=rows)
        case Steps(items):
            yield Shown(is_a="steps", rows=tuple((one,) for one in items))
        case Caution(text, title):
            yield Shown(is_a="caution", title=title, text=text)
        case Table():
            yield _table(block)
        case Weeks():
            yield from _weeks(block)
        case Figure():
            yield _figure(block, plan)


def _table(table: Table) -> Shown:
    marked = dict.fromkeys(table.marked, f" ({table.mark_word})" if table.mark_word else "")
    return Shown(
        is_a="table",
        title=table.caption,
        text=table.note,
        heads=tuple(title for title, _ in table.columns),
        rights=tuple(at for at, (_, side) in enumerate(table.columns) if side == "right"),
        rows=tuple((row[0] + marked.get(at, ""), *row[1:]) for at, row in enumerate(table.rows)),
    )


def _weeks(weeks: Weeks) -> Iterator[Shown]:
    for week in weeks.weeks[:MOST_WEEKS]:
        yield Shown(
            is_a="week",
            title=week.title,
            text=week.note,
            rows=week.rows,
        )
    further = len(weeks.weeks) - MOST_WEEKS
    if further > 0:
        yield Shown(is_a="text", text=f"{count(further, 'week')} more on the plan's page.")


def _figure(figure: Figure, plan: Plan) -> Shown:
    look = next(one for one in LOOKS if one.name == "phone")
    drawing = chart(plan, figure.name, look)
    svg = svg_image(drawing, "paper", title=figure.title, alt=figure.alt, font=LETTERS).decode()
    return Shown(
        is_a="figure", title=figure.title, text=figure.key, svg=svg, picture_said=figure.alt
    )
