"""Editions that share a studio: the first claim is kept, and a conflict is named."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from pourwright.errors import NotDoable
from pourwright.plan.beside import case_beside
from pourwright.plan.make import make_plan
from pourwright.plan.molds import joint_forecast
from pourwright.plan.outlook import Effort, best_outlook
from pourwright.plan.plan import Plan
from tests.plans import to_plan

TODAY = date(2031, 3, 3)
RUNS = 100
STUDIO = """\
version = 1
[time]
hours_a_day = "5 h"
[kiln]
loads_a_week = {loads}
"""
EDITION = """\
version = 1
[edition]
id = "{id}"
name = "{id}"
pieces = {pieces}
molds_at_most = 3
[preparation]
have = "masters"
[mold]
dry_mass = "3 kg"
life = 25
[firing]
glaze_load = 8
glaze_gate = false
"""


def written(folder: Path, name: str, pieces: int = 12, loads: int = 3) -> Path:
    folder.mkdir(exist_ok=True)
    (folder / "studio.toml").write_text(STUDIO.format(loads=loads))
    path = folder / f"{name}.toml"
    path.write_text(EDITION.format(id=name, pieces=pieces))
    return path


def planned(path: Path, beside: tuple[Path, ...] = ()) -> Plan:
    others = [to_plan(one, TODAY) for one in beside]
    return make_plan(to_plan(path, TODAY), TODAY, RUNS, others)


def test_an_edition_beside_another_never_finishes_sooner_than_alone(tmp_path):
    jug, cup = written(tmp_path, "the-jug", 20), written(tmp_path, "the-cup")
    alone, beside = planned(cup), planned(cup, (jug,))

    assert beside.answer.finish > alone.answer.finish
    assert [one.id for one in beside.beside] == ["the-jug"]
    assert beside.violations == ()


def test_the_edition_with_the_first_claim_says_what_it_would_be_alone(tmp_path):
    jug, cup = written(tmp_path, "the-jug", 20), written(tmp_path, "the-cup")

    first = planned(cup, (jug,)).beside[0]

    assert first.alone == planned(jug).answer.finish
    assert first.finish >= first.alone


def test_hands_and_kiln_are_not_given_out_twice(tmp_path):
    """What both editions do fits into each day and week, and the kiln is empty whenever it is loaded."""
    jug, cup = written(tmp_path, "the-jug", 20), written(tmp_path, "the-cup")
    case = case_beside(to_plan(cup, TODAY), TODAY, [to_plan(jug, TODAY)], Effort(RUNS))
    notes = joint_forecast(case, best_outlook(case, Effort(RUNS)).choice.chosen).notes
    loads, inside = {}, None
    for note in notes:
        week = case.day(note.day).isocalendar()[:2]
        for name, firing, _, _ in note.unloaded:
            assert inside == (name, firing)
            inside = None
        for name, firing, *_ in note.loaded:
            assert inside is None
            inside = (name, firing)
            loads[week] = loads.get(week, 0) + 1

    assert {name for note in notes for name, *_ in note.loaded} == {"the-jug", "the-cup"}
    assert max(note.used_min for note in notes) <= 300
    assert max(loads.values()) <= 3


def test_one_edition_named_twice_is_refused(tmp_path):
    cup = written(tmp_path, "the-cup")

    with pytest.raises(NotDoable, match="the-cup is named twice"):
        planned(cup, (cup,))


def test_editions_of_two_studios_do_not_share_a_kiln(tmp_path):
    cup, jug = written(tmp_path / "one", "the-cup"), written(tmp_path / "two", "the-jug", loads=2)

    with pytest.raises(NotDoable, match="name the same studio file"):
        planned(cup, (jug,))


def test_an_edition_that_is_starved_is_told_by_which(tmp_path, monkeypatch):
    """One load a week, and another edition takes all of them: the sentence names both."""
    monkeypatch.setattr("pourwright.plan.case._MOST_YEARS", 1)
    jug, cup = written(tmp_path, "the-jug", 210, loads=1), written(tmp_path, "the-cup", loads=1)

    with pytest.raises(NotDoable, match="the-cup is not finished within 1 years beside the-jug"):
        planned(cup, (jug,))
