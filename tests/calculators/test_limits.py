"""Limits: statutes and guides as they print them, through the question that is asked."""

import re

import pytest

from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.table import ask
from pourwright.errors import StudioError


def answered(**typed):
    return ask("limits", typed, today=THE_DAY)[1]


def values(answer, where, starts):
    return [
        row[2]
        for table in answer.tables
        for row in table.rows
        if row[0] == where and row[1].startswith(starts)
    ]


@pytest.mark.parametrize(
    ("where", "lead", "cadmium"),
    [
        ("US, FDA", [3.0, 2.0, 1.0, 0.5], [0.5, 0.5, 0.25]),
        ("EU", [0.8, 4.0, 1.5], [0.07, 0.3, 0.1]),
    ],
)
def test_what_ware_may_leach_is_shown_as_printed(where, lead, cadmium):
    """WAC 246-215-04110 (2022), FDA CPG 545.400, Directive 84/500/EEC (1984), article 2."""
    answer = answered(on="food contact")

    assert values(answer, where, "lead") == lead
    assert values(answer, where, "cadmium") == cadmium


def test_silica_is_shown_as_printed():
    """29 CFR 1910.1053 (2016): 0.05, action from 0.025; Directive 2004/37/EC, annex III: 0.1 mg/m3."""
    answer = answered(on="silica")

    assert values(answer, "US, OSHA", "respirable") == [0.05, 0.025]
    assert values(answer, "EU", "respirable") == [0.1]
    assert any("from memory" in note for note in answer.notes)


@pytest.mark.parametrize(
    "typed", [{}, {"on": "burns"}, {"where": "eu"}, {"on": "drains", "where": "UK"}]
)
def test_limits_are_data_with_their_source_and_no_verdict(typed):
    answer = answered(**typed)

    assert "never a verdict" in answer.says
    assert answer.figures == ()
    assert all(row[4] for table in answer.tables for row in table.rows)
    assert "Local codes" in answer.ranges[0]
    assert [one.title.lower() for one in answer.cautions] == [
        table.caption.lower() for table in answer.tables
    ]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"on": "noise"}, "it must be one of"),
        ({"where": "the moon"}, "there are limits of US, OSHA;"),
    ],
)
def test_what_is_not_there_is_answered_with_what_is(typed, said):
    with pytest.raises(StudioError, match=re.escape(said)):
        answered(**typed)
