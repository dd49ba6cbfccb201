"""The printed plan: what stands open on its page, black and white, at most six pages."""

import io
import re
from datetime import date, timedelta

import pikepdf
import pytest

from pourwright.paper.plan import MOST_WEEKS, plan_printed
from pourwright.paper.printing import as_pdf
from pourwright.plan.make import make_plan
from pourwright.report.sections import plan_sections
from tests.plan.test_random_briefs import TODAY, drawn
from tests.plans import EXAMPLES, as_data, as_plan, example_plan, late_us_plan, sample_plan, to_plan


@pytest.mark.whole
@pytest.mark.parametrize("size", ["a4", "us-letter"])
@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_is_at_most_six_pages(example, size):
    pdf = as_pdf("plan", plan_printed(example_plan(example)), size)

    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert len(opened.pages) <= 6


@pytest.mark.whole
@pytest.mark.parametrize("size", ["a4", "us-letter"])
def test_a_thousand_pieces_of_eight_parts_are_at_most_six_pages(tmp_path, size):
    large = {"pieces": 1000, "people": 3, "hours": 8, "load": 40, "loads": 4}
    drawn(2).case(tmp_path, **large, waters=[0.5] * 8)
    plan = make_plan(to_plan(tmp_path / "edition.toml", TODAY), TODAY, 200)
    printed = plan_printed(plan)

    with pikepdf.open(io.BytesIO(as_pdf("plan", printed, size))) as opened:
        assert len(opened.pages) <= 6
    blocks = [block for one in printed.sections for block in one.blocks]
    assert any("more on the plan's page" in one.text for one in blocks)


def test_what_is_folded_on_the_page_and_the_pour_list_are_left_out():
    plan = late_us_plan()
    printed = [one.heading for one in plan_printed(plan).sections]
    page = [one for one in plan_sections(plan) if one.id != "pour-list"]

    assert printed == [one.title for one in page if not one.folded]
    assert len(printed) < len(page)


def test_charts_have_no_color():
    blocks = [block for one in plan_printed(sample_plan()).sections for block in one.blocks]
    pictures = [block for block in blocks if block.is_a == "figure"]

    assert len(pictures) >= 2
    for one in pictures:
        shades = re.findall(r"#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})", one.svg)
        assert shades
        assert all(red == green == blue for red, green, blue in shades)
        assert one.picture_said


def test_a_long_calendar_says_how_many_weeks_it_leaves_out():
    data = as_data(sample_plan())
    day = {"open": True, "minutes": 300, "used_min": 60}
    weeks = MOST_WEEKS + 3
    data["calendar"] = [
        day
        | {
            "date": (date(2026, 9, 7) + timedelta(weeks=n)).isoformat(),
            "doing": [{"stage": "cast", "count": n + 1}],
        }
        for n in range(weeks)
    ]
    blocks = [block for one in plan_printed(as_plan(data)).sections for block in one.blocks]
    found = [block.text for block in blocks if "more on the plan's page" in block.text]

    assert found == ["3 weeks more on the plan's page."]
