"""Limits as data."""

from __future__ import annotations

import pytest

from pourwright.materials.limits import CAUTIONS, LIMITS, Limit


def limits_on(subject: str) -> list[Limit]:
    """Return the limits on a subject."""
    return [limit for limit in LIMITS if limit.subject == subject]


SUBJECTS = sorted({limit.subject for limit in LIMITS})


@pytest.mark.parametrize(
    "limit", LIMITS, ids=[f"{n}-{limit.where}" for n, limit in enumerate(LIMITS)]
)
def test_a_limit_says_who_set_it_and_where_it_was_read(limit: object) -> None:
    assert limit.where  # type: ignore[attr-defined]
    assert limit.source  # type: ignore[attr-defined]
    assert (limit.value is None) == (limit.unit == "")  # type: ignore[attr-defined]


@pytest.mark.parametrize("subject", SUBJECTS)
def test_each_subject_has_its_caution_and_its_list(subject: str) -> None:
    assert subject in CAUTIONS
    assert limits_on(subject)


@pytest.mark.parametrize(
    ("subject", "where", "value"),
    [
        ("silica", "US, OSHA", 0.050),
        ("silica", "EU", 0.1),
        ("silica", "US, ACGIH", 0.025),
        ("plaster dust", "US, OSHA", 15.0),
        ("burns", "a clinical study", 49.0),
        ("food contact", "US, FDA", 25.0),
        ("food contact", "EU", 1.5),
    ],
)
def test_the_figures_are_those_printed(subject: str, where: str, value: float) -> None:
    """Display strings: OSHA 29 CFR 1910.1053, Directive 2004/37/EC, Hutchinson (2008) and others."""
    assert value in [limit.value for limit in limits_on(subject) if limit.where == where]


def test_what_is_from_memory_says_so() -> None:
    assert [limit.where for limit in LIMITS if limit.from_memory] == ["UK, WEL"]


@pytest.mark.parametrize(
    ("where", "metal", "figures"),
    [
        ("US, FDA", "lead", [3.0, 2.0, 1.0, 0.5]),
        ("US, FDA", "cadmium", [0.5, 0.5, 0.25]),
        ("EU", "lead", [0.8, 4.0, 1.5]),
        ("EU", "cadmium", [0.07, 0.3, 0.1]),
        ("ISO", "lead", [0.8, 2.0, 1.0]),
        ("ISO", "cadmium", [0.07, 0.5, 0.25]),
    ],
)
def test_what_ware_may_leach_is_as_printed(where: str, metal: str, figures: list[float]) -> None:
    """WAC 246-215-04110 (2022), FDA CPG 545.400, Directive 84/500/EEC, ISO 6486-2 (1999)."""
    of_metal = [one for one in limits_on("food contact") if one.says.startswith(metal)]
    assert [one.value for one in of_metal if one.where == where] == figures
