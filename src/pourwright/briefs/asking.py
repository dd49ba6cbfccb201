"""What a conversation needs beside the questions: which to ask, and why an answer will not do."""

from __future__ import annotations

import re
from collections.abc import Collection

from pourwright.briefs.first_questions import Question
from pourwright.errors import BadInput

_US_WORDS = re.compile(r"\b(?:lbs?|oz|pounds?|ounces?)\b", re.IGNORECASE)
_EITHER = {"water": "dry_mass", "dry_mass": "water"}


def refusal(question: Question, typed: str, units: str) -> str:
    """Return why an answer cannot be used, as a sentence; nothing if it can."""
    try:
        question.parse(typed, units)
    except BadInput as refused:
        return str(refused)
    return ""


def is_asked(question: Question, answered: Collection[str]) -> bool:
    """Return whether a question is still open: the mold is told in one of two ways.

    Parameters
    ----------
    question : Question
        The question.
    answered : collection of str
        The keys that have an answer which is not empty.
    """
    return question.key not in answered and _EITHER.get(question.key) not in answered


def units_of(*typed: str) -> str:
    """Return the units a maker writes in, by the words of what was typed.

    Examples
    --------
    >>> units_of("4 lb 3 oz"), units_of("1.9 kg; 640 g"), units_of()
    ('us', 'metric', 'metric')
    """
    return "us" if any(_US_WORDS.search(text) for text in typed) else "metric"
