"""Every published figure of this part's laws, held against ours."""

from __future__ import annotations

import importlib
from collections import Counter

import pytest

from tests.sources.check import Check, all_checks

CHECKS = all_checks()


@pytest.mark.parametrize(
    "check", CHECKS, ids=[f"{check.law}-{number}" for number, check in enumerate(CHECKS)]
)
def test_law_agrees_with_the_published_figure(check: Check) -> None:
    """The source, the working and the tolerance are in the row itself."""
    assert check.holds, (
        f"{check.law}: published {check.published:g} {check.unit}, ours {float(check.ours()):g},"
        f" tolerance {check.tolerance:g}. {check.source}. {check.note}"
    )


def test_no_table_counts_more_than_ten_times() -> None:
    """Many rows of one table are one witness; ten of them are enough."""
    counts = Counter(check.source for check in CHECKS if check.counted)

    assert {source: count for source, count in counts.items() if count > 10} == {}


def test_every_row_names_a_public_law() -> None:
    """A row under a name that nobody can look up would be evidence for nothing."""
    unknown = []
    for law in sorted({check.law for check in CHECKS}):
        module, _, name = law.rpartition(".")
        part = importlib.import_module(f"pourwright.materials.{module}")
        if name.startswith("_") or not hasattr(part, name):
            unknown.append(law)

    assert unknown == []
