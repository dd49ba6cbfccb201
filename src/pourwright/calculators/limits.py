"""``pourwright figure limits``: what others have set on dust, burns, drains and food contact."""

from __future__ import annotations

from collections.abc import Sequence

from pourwright.calculators.question import (
    Answer,
    Ask,
    Column,
    Given,
    Question,
    Rows,
)
from pourwright.cautions import CareText
from pourwright.errors import BadInput, as_written
from pourwright.materials.limits import CAUTIONS, DEFERS, LIMITS, Limit

SUBJECTS = ("food contact", "silica", "plaster dust", "burns", "drains", "storage")

ON: Ask[str] = Ask(
    name="on",
    kind="choice",
    choices=SUBJECTS,
    example="food contact",
    meaning="What the limits are on.",
    source="all of them",
)
WHERE: Ask[str] = Ask(
    name="where",
    kind="text",
    example="EU",
    meaning="Only those of a country or body whose name holds this.",
    source="all of them",
)
ASKS = (ON, WHERE)


def answer(given: Given) -> Answer:
    """Return the limits as they were published, with who set them and where they were read."""

    def fits(one: Limit) -> bool:
        asked = given.get(WHERE, "")
        return given.get(ON) in (None, one.subject) and asked.lower() in one.where.lower()

    found = [one for one in LIMITS if fits(one)]
    if not found:
        known = "; ".join(
            dict.fromkeys(one.where for one in LIMITS if given.get(ON) in (None, one.subject))
        )
        raise BadInput.one("--where", as_written(given[WHERE]), f"there are limits of {known}")
    subjects = tuple(one for one in SUBJECTS if any(limit.subject == one for limit in found))
    memory = any(one.from_memory for one in found)
    return Answer(
        says=f"{len(found)} published limits on {', '.join(subjects)}. They are shown, and are never a verdict.",
        figures=(),
        sources=tuple(dict.fromkeys(one.source for one in found)),
        ranges=(
            DEFERS,
            "The list is not complete: your own country or town may have set others, and a limit may have changed since it was read.",
        ),
        tables=tuple(
            _table(one, [limit for limit in found if limit.subject == one]) for one in subjects
        ),
        notes=("What is marked from memory could not be read: look it up before you rely on it.",)
        if memory
        else (),
        cautions=tuple(
            CareText("", "numbers", one.capitalize(), CAUTIONS[one], DEFERS) for one in subjects
        ),
    )


def _table(subject: str, limits: Sequence[Limit]) -> Rows:
    columns = (
        Column(name="where", label="Who set it"),
        Column(name="says", label="On what"),
        Column(name="value", label="Limit", digits=2),
        Column(name="unit", label="Unit"),
        Column(name="source", label="Read in"),
    )
    rows = tuple(
        (
            one.where,
            one.says,
            "" if one.value is None else one.value,
            one.unit,
            one.source + (", from memory" if one.from_memory else ""),
        )
        for one in limits
    )
    return Rows(
        name=subject.replace(" ", "_"), caption=subject.capitalize(), columns=columns, rows=rows
    )


QUESTION = Question(
    id="limits",
    title="Published limits",
    words="What others have set on food contact, dust, burns, drains and storage, with sources and dates. "
    "It shows and never judges: the law of your place, safety sheets and licensed practice decide.",
    asks=ASKS,
    answer=answer,
    examples=({"on": "food contact", "where": "EU"}, {"on": "silica"}, {"where": "US"}),
)
