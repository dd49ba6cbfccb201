"""The pour sheet's record: every batch of the plan once, its weights as the pour list has them."""

from datetime import date

import pytest

from pourwright.errors import NotDoable
from pourwright.paper.pour import pour_sheet
from tests.plans import as_data, as_plan, late_us_plan, sample_plan


def test_every_batch_stands_on_its_day():
    plan = sample_plan()
    sheet = pour_sheet(plan)

    assert [one.title for one in sheet.sessions] == ["Thu 3 Sep 2026"]
    assert [row.number for one in sheet.sessions for row in one.rows] == ["1", "2", "3"]
    assert {(row.water, row.plaster) for row in sheet.sessions[0].rows} == {("3.02 kg", "4.31 kg")}
    assert sheet.sessions[0].rows[1].starts == "4 h 45 min"
    assert (
        "from when the day's pouring begins; the first 3 h go to setting up" in sheet.about_weights
    )


def test_a_us_studio_reads_pounds_and_its_own_dates():
    sheet = pour_sheet(late_us_plan())

    assert sheet.sessions[0].title == "Thu Sep 3, 2026"
    assert sheet.sessions[0].rows[0].water == "6 lb 10.5 oz"


def test_parts_are_drawn_by_their_volumes():
    parts = pour_sheet(sample_plan()).parts

    assert [one.name for one in parts] == ["left half", "right half", "foot"]
    assert [round(one.share, 3) for one in parts] == [1.0, 1.0, 0.316]


def test_a_day_without_a_session_is_refused_with_those_that_have_one():
    with pytest.raises(NotDoable, match="is not poured on Fri 4 Sep 2026; it is on Thu 3 Sep 2026"):
        pour_sheet(sample_plan(), date(2026, 9, 4))


def test_a_plan_that_pours_nothing_has_no_pour_sheet():
    data = as_data(sample_plan())
    data["plaster"]["batches"] = data["plaster"]["session_list"] = []

    with pytest.raises(NotDoable, match="No mold of Harbor cup is still to be poured"):
        pour_sheet(as_plan(data))
