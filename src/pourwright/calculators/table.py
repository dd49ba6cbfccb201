"""The questions that can be asked, each in a module of its own, loaded when it is asked.

:func:`ask` is what a page and a command both call.
"""

from __future__ import annotations

import importlib
from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path

from pourwright.calculators.question import Answer, Given, Question, Units
from pourwright.calculators.reading import is_finite, read_given
from pourwright.errors import BadInput, NotDoable, as_written, did_you_mean

SUBJECTS: tuple[str, ...] = (
    "plaster",
    "setting",
    "rubber",
    "air",
    "drying",
    "dryer",
    "week",
    "slip",
    "cup",
    "dose",
    "cast",
    "shrinkage",
    "cone",
    "firing",
    "glaze",
    "wear",
    "limits",
)
"""Ids in the order of the work; each names a module of this room that holds its ``QUESTION``."""


def find_question(question_id: str) -> Question:
    """Return a question by its id; one of :data:`SUBJECTS`, else it is refused.

    Examples
    --------
    >>> find_question("plaster").title
    'Plaster and water'
    """
    if question_id not in SUBJECTS:
        right = f"it must be one of {', '.join(SUBJECTS)}"
        raise BadInput.one(
            "the subject", as_written(question_id), right, did_you_mean(question_id, SUBJECTS)
        )
    module = importlib.import_module(f"pourwright.calculators.{question_id}")
    question: Question = module.QUESTION
    return question


def all_questions() -> Iterator[Question]:
    """Yield every question, in the order of the work."""
    return map(find_question, SUBJECTS)


def ask(
    question_id: str,
    typed: Mapping[str, object],
    units: Units | None = None,
    *,
    today: date,
    studio: Path | None = None,
) -> tuple[Given, Answer]:
    """Return what was told, and the answer.

    Parameters
    ----------
    question_id : str
        One of :data:`SUBJECTS`.
    typed : mapping
        What was typed, by the ask's name; a list where it was told more than once.
    units : {"metric", "us"}, optional
        What the answer is shown in; see ``reading.read_given``.
    today : date
        The day it is.
    studio : Path, optional
        A ``studio.toml`` that tells what was not typed.

    Returns
    -------
    tuple of (Given, Answer)

    Raises
    ------
    StudioError
        If anything cannot be used, or the figures together cannot be worked with.

    Examples
    --------
    >>> _, answer = ask("plaster", {"volume": "3.2 l"}, today=date(2031, 1, 6))
    >>> answer.figures[0].name
    'water_kg'
    """
    question = find_question(question_id)
    given = read_given(question, typed, today=today, units=units, studio=studio)
    answer = question.answer(given)
    for one in answer.figures:
        if not all(map(is_finite, (one.value, one.low, one.high))):
            raise NotDoable(f"The {one.label} cannot be worked out from these figures together.")
    return given, answer
