"""Several asks of a question told at once, at and between their ends: finite numbers or a sentence."""

import pytest
from hypothesis import given as drawn_from
from hypothesis import settings
from hypothesis import strategies as st

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.schema import json_text
from pourwright.calculators.table import SUBJECTS, ask, find_question
from pourwright.errors import StudioError
from pourwright.fields import HOUSE_UNIT
from tests.ledger.toy import rounds

CONES = ("022", "019", "06", "05.5", "04", "1", "6", "10", "12", "14")


def texts(one):
    """Return what may be typed for an ask: its examples, its ends, and something between."""
    known = st.sampled_from([one.example, *filter(None, (one.example_us, one.default))])
    if one.kind == "choice":
        return st.sampled_from(one.choices)
    if one.kind == "cone":
        return st.sampled_from(CONES)
    if one.kind == "yes":
        return st.just("yes")
    if one.low is None or one.high is None:
        return known
    ends = st.sampled_from([one.low, one.high]) | st.floats(one.low, one.high)
    return known | ends.map(lambda value: written(one, value))


def written(one, value):
    """Return a number of the house's unit as it is typed."""
    if one.kind == "whole":
        return str(int(value))
    if one.kind == "number":
        return f"{value:.9f}"
    if one.kind == "rate":
        return f"{value:.9f} C/h"
    if one.dimension == "fraction":
        return f"{100 * value:.9f} %"
    return f"{value:.9f} {HOUSE_UNIT[one.dimension]}"


@pytest.mark.rounds
@pytest.mark.parametrize("subject", SUBJECTS)
@settings(max_examples=rounds(12, 60))
@drawn_from(data=st.data())
def test_whatever_is_told_together_is_answered_with_finite_numbers_in_their_ranges(subject, data):
    question = find_question(subject)
    typed = dict(data.draw(st.sampled_from(question.examples)))
    for one in data.draw(st.lists(st.sampled_from(question.asks), max_size=4, unique=True)):
        for group in (*question.one_of, *question.at_most_one):
            names = {other.name for other in group}
            if one.name in names:
                typed = {name: text for name, text in typed.items() if name not in names}
        told = data.draw(st.lists(texts(one), min_size=1, max_size=3 if one.many else 1))
        typed[one.name] = told if one.many else told[0]
    try:
        given, answer = ask(subject, typed, today=THE_DAY)
    except StudioError:
        return  # a sentence; any other error fails the test
    json_text(question, given, answer)  # refuses nan and infinity
    assert answer.sources
    assert answer.ranges
    for one in answer.figures:
        if isinstance(one.value, float) and one.low is not None and one.high is not None:
            slack = 1e-9 * abs(one.value) + 1e-9
            assert one.low <= one.value + slack
            assert one.value <= one.high + slack
