"""A plan in plain studio words: sections for the page and the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pourwright.errors import BadInput, as_written, did_you_mean
from pourwright.plan.plan import Plan
from pourwright.report.answer import answer_words, outlook_words
from pourwright.report.blocks import Block, Caution, Figure, Section, Text
from pourwright.report.book import book_words
from pourwright.report.buying import buying_words
from pourwright.report.calendar import calendar_words, stages_words
from pourwright.report.casting import casting_words, dimensions_words
from pourwright.report.headlines import headline
from pourwright.report.kiln import glaze_words, kiln_words, numbers_words
from pourwright.report.molds import molds_words
from pourwright.report.money import cost_words, sources_words
from pourwright.report.odds import odds_words
from pourwright.report.page import PageSheet
from pourwright.report.plaster import drying_words, plaster_words, pour_list_words
from pourwright.report.saying import Say

SECTIONS = (
    calendar_words,
    pour_list_words,
    buying_words,
    molds_words,
    stages_words,
    plaster_words,
    drying_words,
    casting_words,
    kiln_words,
    glaze_words,
    numbers_words,
    cost_words,
    dimensions_words,
    odds_words,
    sources_words,
)
"""After the first look: the two sheets for the wall, how the work goes, and the proof of it all."""


COLOPHON = (
    "Worked out by Pourwright from the brief and the studio file. A plan is a forecast, not a "
    "promise. Cautions defer to safety sheets, local codes and licensed practice."
)


def plan_sections(plan: Plan) -> tuple[Section, ...]:
    """Return the whole plan in words, each caution beside its step.

    Returns
    -------
    tuple of Section
        The answer first, where each number came from last.
    """
    return tuple(
        replace(_with_cautions(section, plan), headline=headline(section.id, plan))
        for section in _sections(plan)
    )


def _sections(plan: Plan) -> Iterator[Section]:
    """Yield the sections that have something to say in a plan."""
    for words in FIRST_LOOK:
        yield words(plan)
    if plan.book is not None:
        yield book_words(plan.book, Say.of(plan))
    for words in SECTIONS:
        if plan.plaster.batches or words not in (plaster_words, pour_list_words):
            yield words(plan)


def chosen_sections(plan: Plan, names: Sequence[str], *, whole: bool) -> tuple[Section, ...]:
    """Return the sections to print: the first look, those that are named, or all.

    Raises
    ------
    BadInput
        If a name is of no section of this plan.
    """
    if not names and not whole:
        first = (_with_cautions(words(plan), plan) for words in FIRST_LOOK)
        blocks = (one for section in first for one in section.blocks if not _is_soft(one))
        return (Section("first-look", "", tuple(blocks)),)
    sections = plan_sections(plan)
    if whole:
        return sections
    known = {section.id: section for section in sections}
    printed = {section.title.casefold(): section for section in sections} | known
    for name in names:
        if name.casefold() not in printed:
            right = f"name one of {', '.join(known)}"
            raise BadInput.one("--section", as_written(name), right, did_you_mean(name, known))
    return tuple(printed[name.casefold()] for name in names)


def _is_soft(block: Block) -> bool:
    """Return whether a block is a note or a picture, which stand in the whole plan."""
    return isinstance(block, Figure) or (isinstance(block, Text) and block.tone == "note")


FIRST_LOOK = (answer_words, outlook_words)
"""What a maker looks at first; the rest is a name away."""


def plan_sheet(plan: Plan) -> PageSheet:
    """Return the words around the sections: title, date, foot and colophon."""
    edition, as_of = plan.edition, Say.of(plan).day(plan.as_of)
    return PageSheet(
        kicker="Edition plan",
        title=edition.name,
        subtitle=f"Planned on {as_of} for {plan.studio.name}",
        foot=f"{edition.id}, planned on {as_of}",
        colophon=(COLOPHON,),
    )


def _with_cautions(section: Section, plan: Plan) -> Section:
    """Return a section with the cautions of its step after its blocks."""
    cautions: tuple[Block, ...] = tuple(
        Caution(c.text, c.title) for c in plan.cautions if c.step == section.id
    )
    return replace(section, blocks=section.blocks + cautions)
